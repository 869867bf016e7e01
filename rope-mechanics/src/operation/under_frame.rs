//! The frame under all ropes on its head, at the worst of what friction may leave in them.

use super::apparatus::Apparatus;
use super::plan::SiteError;
use super::study::FrameState;
use super::words;
use crate::frame::{Edge, FrameError, HeadForces, HeadPull, resultant};
use crate::geometry::{Direction3, Force3, Point2, Point3};
use crate::math;
use crate::quantity::{Angle, Force};
use alloc::format;
use alloc::string::String;
use alloc::vec;
use alloc::vec::Vec;
use nalgebra::Vector3;

/// The haul rope at the head: where its carriage is, its pull there, and its tension behind the head.
pub(crate) type Hauled = (Point2, Force, Force);

/// What the ropes that go out do to the head, in one balance of the load.
pub(crate) struct OnHead {
    /// Tension of both strands of the track rope together.
    pub(crate) strands: Force,
    /// Their pull on the head.
    pub(crate) line: Force3,
    /// Where the haul rope goes, and its pull.
    pub(crate) haul: Option<(Point2, Force)>,
}

impl Apparatus<'_> {
    /// The resultant of all ropes on the head without friction in the track rope, the haul rope as given.
    pub(crate) fn resultant_without_friction(
        &self,
        both: Force,
        line: Force3,
        hauled: Option<Hauled>,
        at: &str,
    ) -> Result<Force3, SiteError> {
        let mut pulls = Vec::with_capacity(5);
        pulls.push(HeadPull::force(line));
        pulls.push(HeadPull::towards(self.site.track.redirect, 0.5 * both));
        pulls.push(HeadPull::towards(self.site.track.cell_anchor, 0.5 * both));
        if let Some((to, pull, behind)) = hauled {
            pulls.push(HeadPull::towards(self.seen_from_base(to), pull));
            pulls.push(HeadPull::towards(self.behind_head, behind));
        }
        let pulls = pulls.into_iter().collect::<Result<Vec<_>, _>>().map_err(|why| fail(at, &why))?;
        resultant(self.head, &pulls).map_err(|why| fail(at, &why))
    }

    /// The frame at every corner of what friction may leave: each leg and guy at its greatest, the margin at its least.
    ///
    /// What the ropes pull behind the head depends on how they came to rest. With ρ of each turn from η to 1/η, S the
    /// tension of both strands at the head and P the pull of the haul rope,
    ///
    /// T₂ = S·ρ₃/(1 + ρ₃), T₃ = S/(1 + ρ₃), to the redirect ρ₂·T₂, to the cell T₃/ρ₄, to the winch ρ_h·P
    ///
    /// with ρ₂ and ρ₄ at the head, ρ₃ at the far anchor, ρ_h the haul rope's at the head. Margin and members are linear
    /// or linear-fractional in each of these, so that their extremes are at corners.
    pub(crate) fn frame_under(
        &self,
        states: &[OnHead],
        at: &str,
    ) -> Result<Result<FrameState, String>, SiteError> {
        let mut worst: Option<Worst> = None;
        let mut falls = None;
        for state in states {
            for forces in self.frame.under_each(self.corners(state, at)?) {
                match forces {
                    Ok(forces) => take_worse(&mut worst, &forces),
                    Err(FrameError::Falls(fall)) => falls = falls.or_else(|| Some(words::falls(&fall))),
                    Err(why) => return Err(fail(at, &why)),
                }
            }
        }
        let worst = worst.map(|worst| FrameState {
            legs: worst.legs,
            guys: worst.guys,
            margin: worst.margin,
            over: worst.edge.map_or_else(String::new, words::over),
        });
        Ok(match (falls, worst) {
            (None, Some(worst)) => Ok(worst),
            (falls, _) => Err(falls.unwrap_or_default()),
        })
    }

    /// The force on the head at each corner of the friction box.
    fn corners(&self, state: &OnHead, at: &str) -> Result<Vec<Force3>, SiteError> {
        let towards = |place: Point3| {
            Direction3::between(self.head, place).map(|along| along.unit()).map_err(|why| fail(at, &why))
        };
        let line = state.line.si();
        let out = line / math::sqrt(line.norm_squared());
        let (to_redirect, to_cell) =
            (towards(self.site.track.redirect)?, towards(self.site.track.cell_anchor)?);
        let (head, far) = (self.track_head_turn, self.far_turn.ratios(core::f64::consts::PI));
        // The rope turns by what the two parts leave of a half turn.
        let (leaving, returning) =
            (head.ratios(turn_rad(to_redirect, out)), head.ratios(turn_rad(out, to_cell)));
        let (hauled, winch, haul) = match state.haul {
            None => (Vector3::zeros(), Vector3::zeros(), (1.0, 1.0)),
            Some((place, pull)) => {
                let (to_load, behind) = (towards(self.seen_from_base(place))?, towards(self.behind_head)?);
                let ratios = self.haul_head_turn.ratios(turn_rad(to_load, behind));
                (pull.value * to_load, pull.value * behind, ratios)
            }
        };
        let both = state.strands.value;
        // Each end, and whether it is the high one.
        let ends = |(hauling, lowering): (f64, f64)| {
            if hauling > lowering { vec![(hauling, true), (lowering, false)] } else { vec![(1.0, true)] }
        };
        let lossy = |(hauling, lowering): (f64, f64)| hauling > lowering;
        let all_lossy = lossy(far) && lossy(leaving) && lossy(returning);
        let mut corners = Vec::with_capacity(12);
        for (far, far_high) in ends(far) {
            // T₃ = S/(1 + ρ₃), T₂ = ρ₃·T₃
            let back_n = both / (1.0 + far);
            let out_n = far * back_n;
            for (leaving, leaving_high) in ends(leaving) {
                for (returning, returning_high) in ends(returning) {
                    // With ρ₃ high the pulls (ρ₂·T₂, T₃/ρ₄) span one rectangle, with ρ₃ low another, further up and to
                    // the left. Of each, the corner that looks towards the other lies between the other corners.
                    if all_lossy && leaving_high == returning_high && leaving_high != far_high {
                        continue;
                    }
                    for (haul, _) in ends(haul) {
                        corners.push(Force3::from_si(
                            line + leaving * out_n * to_redirect
                                + back_n / returning * to_cell
                                + hauled
                                + haul * winch,
                        ));
                    }
                }
            }
        }
        Ok(corners)
    }
}

fn fail(at: &str, why: &dyn core::fmt::Display) -> SiteError {
    SiteError::new("frame", format!("{at}: {why}"))
}

/// The angle by which a rope turns that goes off both ways from here.
fn turn_rad(one: Vector3<f64>, other: Vector3<f64>) -> f64 {
    let cross = one.cross(&other);
    // θ = atan2(|a × b|, −a · b)
    math::atan2(math::sqrt(cross.norm_squared()), -one.dot(&other))
}

/// Each leg and guy at its greatest so far, the margin at its least.
struct Worst {
    legs: Vec<Force>,
    guys: Vec<Force>,
    margin: Angle,
    edge: Option<Edge>,
}

fn take_worse(worst: &mut Option<Worst>, forces: &HeadForces) {
    let Some(worst) = worst else {
        *worst = Some(Worst {
            legs: forces.legs().to_vec(),
            guys: forces.guys().to_vec(),
            margin: forces.margin,
            edge: forces.edge,
        });
        return;
    };
    for (greatest, force) in worst.legs.iter_mut().zip(forces.legs()) {
        *greatest = greatest.max(*force);
    }
    for (greatest, force) in worst.guys.iter_mut().zip(forces.guys()) {
        *greatest = greatest.max(*force);
    }
    if forces.margin < worst.margin {
        (worst.margin, worst.edge) = (forces.margin, forces.edge);
    }
}
