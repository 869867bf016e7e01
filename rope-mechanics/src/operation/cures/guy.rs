//! A guy that keeps a frame up: where to, and its greatest force over all places.

use super::super::study::{PlaceAtApparatus, Study};
use super::search::Trials;
use super::slack::Broken;
use crate::geometry::{Piece, Point3};
use crate::math;
use crate::quantity::{Force, Ratio, metres, ratio};
use alloc::vec::Vec;
use core::f64::consts::TAU;
use serde::Serialize;

/// Directions tried, all round.
const DIRECTIONS: usize = 16;
/// Its anchor lies so many heights of the head away, on the level or on the ground.
const AWAY: f64 = 2.0;

/// One or two guys that keep a frame up where it falls or stands too near to tipping.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct NewGuys {
    /// Their anchors, from the base of the frame.
    pub anchors: Vec<PlaceAtApparatus>,
    /// The greatest force along any of them, at the worst of all places and of what friction may leave.
    #[serde(rename = "greatest_force_n")]
    pub greatest_force: Force,
    /// Index in the study's positions where that is; none before the load is on.
    pub position: Option<usize>,
    /// What each has to hold with the factor of a guy.
    #[serde(rename = "strength_n")]
    pub strength: Force,
    /// How steeply they rise to the head: vertical by horizontal part.
    #[serde(rename = "slope_fraction")]
    pub slope: Ratio,
}

/// What was found, and the study with it.
pub(super) struct Guyed {
    pub(super) guys: NewGuys,
    pub(super) study: Study,
}

impl Trials<'_> {
    /// One guy in one of sixteen directions or, where none does, two alike to the left and to the right: of those that mend
    /// it the one that is pulled least.
    pub(super) fn guyed(&self) -> Option<Guyed> {
        let free = 8_usize.saturating_sub(self.site.frame.guys.len());
        let directions = (0..DIRECTIONS).map(|i| TAU * i as f64 / DIRECTIONS as f64);
        let one: Vec<Vec<Point3>> = directions
            .clone()
            .filter_map(|azimuth| Some([self.anchor(azimuth)?].into_iter().collect()))
            .collect();
        let two: Vec<Vec<Point3>> = directions
            .filter(|azimuth| *azimuth > 0.0 && *azimuth < 0.5 * TAU)
            .filter_map(|azimuth| Some([self.anchor(azimuth)?, self.anchor(-azimuth)?].into_iter().collect()))
            .collect();
        for (count, candidates) in [(1, one), (2, two)] {
            if count > free {
                break;
            }
            let mut by_force: Vec<(f64, Vec<Point3>)> = candidates
                .into_iter()
                .filter_map(|anchors| {
                    let study = self.coarse(&self.with(&anchors)).ok()?;
                    let keeps = Broken::FrameStands.slack(&study) >= 0.0;
                    keeps.then(|| (greatest(&study, anchors.len()).0, anchors))
                })
                .collect();
            by_force.sort_by(|a, b| a.0.total_cmp(&b.0));
            for (_, anchors) in by_force {
                let Ok(study) = self.study(&self.with(&anchors)) else { continue };
                if Broken::FrameStands.slack(&study) >= 0.0 {
                    return Some(self.told(anchors, study));
                }
            }
        }
        None
    }

    fn with(&self, anchors: &[Point3]) -> super::super::site::Site {
        let mut site = self.site.clone();
        site.frame.guys.extend_from_slice(anchors);
        site
    }

    /// The ground at this azimuth from the base, from x towards y: that of the profile straight out and straight back, level
    /// to the side.
    fn anchor(&self, azimuth: f64) -> Option<Point3> {
        let frame = &self.site.frame;
        let away = AWAY * frame.height.value().value;
        let (x, y) = (away * math::cos(azimuth), away * math::sin(azimuth));
        let ground = |x_m: f64| Piece::at(&self.site.ground, x_m).map(|piece| piece.height_m(x_m));
        let z = ground(frame.x.value + x)? - ground(frame.x.value)?;
        let (y, z) = (if y.abs() < 1e-9 * away { 0.0 } else { y }, z.max(-away));
        Some(Point3::new(metres(x), metres(y), metres(z)))
    }

    fn told(&self, anchors: Vec<Point3>, study: Study) -> Guyed {
        let (greatest_n, position) = greatest(&study, anchors.len());
        let height = self.site.frame.height.value();
        let slope = anchors.first().map_or(0.0, |p| (height - p.z).value / math::hypot(p.x.value, p.y.value));
        let force = crate::quantity::newtons(greatest_n);
        let guys = NewGuys {
            anchors: anchors.into_iter().map(Into::into).collect(),
            greatest_force: force,
            position,
            strength: force * study.limits.factor_of(super::super::study::PartKind::Guy),
            slope: ratio(slope),
        };
        Guyed { guys, study }
    }
}

/// The greatest force along the last so many guys, and where.
fn greatest(study: &Study, guys: usize) -> (f64, Option<usize>) {
    let loaded = study.positions.iter().enumerate().map(|(i, p)| (Some(i), &p.frame));
    core::iter::once((None, &study.unloaded.frame))
        .chain(loaded)
        .filter_map(|(at, frame)| {
            let frame = frame.as_ref()?;
            let new = frame.guys.iter().rev().take(guys).map(|force| force.value);
            Some((new.fold(0.0, f64::max), at))
        })
        .reduce(|a, b| if b.0 > a.0 { b } else { a })
        .unwrap_or((0.0, None))
}
