//! The frame under all ropes on its head, at the worst of what friction may leave in the track rope.

use super::apparatus::Apparatus;
use super::plan::SiteError;
use super::study::FrameState;
use crate::frame::{Edge, FrameError, FrameMember, HeadPull, Tipping, resultant};
use crate::geometry::{Force3, Point2};
use crate::motion::Motion;
use crate::quantity::{Angle, Force};
use crate::text;
use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec::Vec;

/// The haul rope at the head: where its carriage is, its pull there, and its tension behind the head.
pub(crate) type Hauled = (Point2, Force, Force);

impl Apparatus<'_> {
    /// The resultant at the head without friction, and the frame under it and under both ends of what friction may
    /// hold: each leg and guy at its greatest, the margin at its least.
    ///
    /// `both` is the tension of both strands at the head, `on_head` their pull. What the rope pulls towards the
    /// redirect and towards the load cell depends on how it came to rest: as it was tensioned, as it was eased.
    pub(crate) fn frame_under(
        &self,
        both: Force,
        on_head: Force3,
        hauled: Option<Hauled>,
        at: &str,
    ) -> Result<(Force3, Result<FrameState, String>), SiteError> {
        let fail = |why: &dyn core::fmt::Display| SiteError::new("frame", format!("{at}: {why}"));
        let mut resultant_at_rest = None;
        let mut worst: Option<FrameState> = None;
        let mut falls = None;
        for motion in [Motion::AtRest, Motion::Hauling, Motion::Lowering] {
            let (to_redirect, to_cell) = match motion {
                Motion::AtRest => (0.5 * both, 0.5 * both),
                _ => self.track_tensions(both, motion)?.behind_head(),
            };
            let mut pulls = Vec::with_capacity(5);
            pulls.push(HeadPull::force(on_head));
            pulls.push(HeadPull::towards(self.site.track.redirect, to_redirect));
            pulls.push(HeadPull::towards(self.site.track.cell_anchor, to_cell));
            if let Some((to, pull, behind)) = hauled {
                pulls.push(HeadPull::towards(self.seen_from_base(to), pull));
                pulls.push(HeadPull::towards(self.behind_head(), behind));
            }
            let pulls = pulls.into_iter().collect::<Result<Vec<_>, _>>().map_err(|why| fail(&why))?;
            if resultant_at_rest.is_none() {
                resultant_at_rest = Some(resultant(self.head, &pulls).map_err(|why| fail(&why))?);
            }
            match self.frame.solve(&pulls) {
                Ok(forces) => {
                    let state = FrameState {
                        legs: forces.legs().iter().map(|leg| leg.compression).collect(),
                        guys: forces.guys().iter().map(|guy| guy.tension).collect(),
                        margin: forces.stability.margin,
                        over: forces.stability.edge.map_or_else(String::new, over),
                    };
                    worst = Some(match worst {
                        None => state,
                        Some(worst) => worse(worst, state),
                    });
                }
                Err(FrameError::Falls(fall)) => falls = falls.or_else(|| Some(told(&fall))),
                Err(why) => return Err(fail(&why)),
            }
        }
        let frame = match (falls, worst) {
            (None, Some(worst)) => Ok(worst),
            (falls, _) => Err(falls.unwrap_or_default()),
        };
        Ok((resultant_at_rest.unwrap_or_default(), frame))
    }
}

fn worse(a: FrameState, b: FrameState) -> FrameState {
    let greatest = |a: Vec<Force>, b: Vec<Force>| a.into_iter().zip(b).map(|(a, b)| a.max(b)).collect();
    let (margin, over) = if b.margin < a.margin { (b.margin, b.over) } else { (a.margin, a.over) };
    FrameState { legs: greatest(a.legs, b.legs), guys: greatest(a.guys, b.guys), margin, over }
}

/// What a frame tips over, in words.
fn over(edge: Edge) -> String {
    let part = |part: FrameMember| match part {
        FrameMember::Leg(i) => format!("the foot of leg {}", i + 1),
        FrameMember::Guy(i) => format!("the anchor of guy {}", i + 1),
    };
    if edge.from == edge.to {
        part(edge.from)
    } else {
        format!("the line from {} to {}", part(edge.from), part(edge.to))
    }
}

/// How it falls and what would keep it up, in words.
fn told(fall: &Tipping) -> String {
    let mut text = String::from("the frame falls");
    if let Some(edge) = fall.edge {
        text += &format!(" over {}", over(edge));
    }
    for guy in fall.wrong_guys() {
        text += &format!("; guy {} would have to push: it is on the wrong side", guy + 1);
    }
    text += &match fall.guy_needed_towards {
        Some(side) => format!("; a guy is needed {}", towards(side)),
        None => "; the ropes lift it, or a leg is needed below the head".to_string(),
    };
    if fall.missing.magnitude().value >= 1.0 {
        text += &format!(", for {} at the head", text::both(fall.missing.magnitude()));
    }
    text
}

/// A side as seen by somebody at the head who looks out over the slope.
fn towards(azimuth: Angle) -> &'static str {
    const SIDES: [&str; 8] = [
        "outward, over the slope",
        "outward and to the left",
        "to the left",
        "behind and to the left",
        "behind, away from the slope",
        "behind and to the right",
        "to the right",
        "outward and to the right",
    ];
    let eighth = crate::math::floor(azimuth.value / core::f64::consts::FRAC_PI_4 + 0.5);
    let index = eighth - 8.0 * crate::math::floor(eighth / 8.0);
    SIDES.get(index as usize).copied().unwrap_or(SIDES[0])
}
