//! Ground that bulges towards the line: which point is in the way, and where a far anchor sees past it.

use super::super::site::Site;
use super::super::state::Situation;
use super::super::study::{Study, Xz};
use crate::geometry::{Piece, Point2};
use crate::quantity::{Length, metres};
use alloc::vec::Vec;
use serde::Serialize;

/// Far anchors looked at, between which an end of a stretch is halved.
const LOOKS: usize = 400;
const HALVINGS: usize = 40;

/// What a point of the ground does to the line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum InTheWay {
    /// It stands above the straight line from the head to the far anchor: no rope passes.
    Blocks,
    /// It stands below that, but the track rope comes down on it and rests there.
    Supports,
}

/// The point of the ground that is most in the way, and what clears it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Bulge {
    /// Index in the ground's points.
    pub point: usize,
    /// Where it is.
    pub at: Xz,
    /// What it does.
    pub does: InTheWay,
    /// How far it stands above the straight line from the head to the far anchor; negative below it.
    #[serde(rename = "above_line_m")]
    pub above_line: Length,
    /// The least height of the head that puts the straight line over every point.
    #[serde(rename = "head_height_m")]
    pub head_height: Length,
    /// The least height of the far anchor's sheave that does; absent where none below the head would.
    #[serde(rename = "far_height_m")]
    pub far_height: Option<Length>,
    /// Stretches of x on which a far anchor of the present height has a straight line to the head over every point.
    #[serde(rename = "clear_anchors_m")]
    pub clear_anchors: Vec<[Length; 2]>,
}

/// The straight line from the head to the far anchor over the ground.
struct Sight<'a> {
    ground: &'a [Point2],
    head: (f64, f64),
    far_height_m: f64,
}

impl Sight<'_> {
    fn ground_m(&self, x_m: f64) -> Option<f64> {
        Piece::at(self.ground, x_m).map(|piece| piece.height_m(x_m))
    }

    /// Points of the ground strictly between the head and x.
    fn between(&self, x_m: f64) -> impl Iterator<Item = (usize, &Point2)> {
        let head = self.head.0;
        self.ground.iter().enumerate().filter(move |(_, p)| p.x.value > head && p.x.value < x_m)
    }

    /// How far the most exposed point stands above the line to a point, and which it is.
    fn most(&self, far: (f64, f64)) -> Option<(usize, f64)> {
        let (x0, z0) = self.head;
        let slope = (far.1 - z0) / (far.0 - x0);
        self.between(far.0)
            .map(|(i, p)| (i, p.z.value - z0 - slope * (p.x.value - x0)))
            .reduce(|a, b| if b.1 > a.1 { b } else { a })
    }

    fn clear(&self, x_m: f64) -> bool {
        let Some(ground_m) = self.ground_m(x_m) else { return false };
        self.most((x_m, ground_m + self.far_height_m)).is_none_or(|(_, above)| above < 0.0)
    }

    /// Stretches of far anchors that see the head.
    fn stretches(&self, from_m: f64, to_m: f64) -> Vec<[Length; 2]> {
        let at = |i: usize| from_m + (to_m - from_m) * i as f64 / LOOKS as f64;
        let end = |inside: f64, outside: f64| {
            let (mut good, mut bad) = (inside, outside);
            for _ in 0..HALVINGS {
                let middle = 0.5 * (good + bad);
                if self.clear(middle) {
                    good = middle;
                } else {
                    bad = middle;
                }
            }
            metres(good)
        };
        let mut list = Vec::new();
        let mut open: Option<Length> = self.clear(at(0)).then(|| metres(at(0)));
        for i in 0..LOOKS {
            match (self.clear(at(i)), self.clear(at(i + 1))) {
                (false, true) => open = Some(end(at(i + 1), at(i))),
                (true, false) => list.extend(open.take().map(|open| [open, end(at(i), at(i + 1))])),
                _ => {}
            }
        }
        list.extend(open.map(|open| [open, metres(at(LOOKS))]));
        list
    }
}

/// How far a point stands above a rope drawn by straight pieces.
fn above_rope_m(shape: &[Point2], point: &Point2) -> Option<f64> {
    shape.windows(2).find_map(|pair| match pair {
        [a, b] if (a.x <= point.x) == (point.x <= b.x) && a.x != b.x => {
            let share = ((point.x - a.x) / (b.x - a.x)).value;
            Some((point.z - (a.z + (b.z - a.z) * share)).value)
        }
        _ => None,
    })
}

/// The point of the ground that stands highest above the track rope, or comes nearest to it, where the rope is lowest of all
/// that a study found.
fn under_the_rope(site: &Site, study: &Study, sight: &Sight<'_>) -> Option<usize> {
    let model = site.model().ok()?;
    let loaded = study.positions.iter().map(|p| (p.track_clearance, Some(p.carriage.x)));
    let lowest = core::iter::once((study.unloaded.clearance, None)).chain(loaded);
    let (_, at) = lowest.reduce(|a, b| if b.0 < a.0 { b } else { a })?;
    let strand = study.unloaded.strand_length;
    let shapes: Vec<Vec<Point2>> = match at {
        None => {
            [model.state(&Situation::unloaded(strand)).ok()?.track_shape().to_vec()].into_iter().collect()
        }
        Some(x) => {
            let moved = model.moved(strand, x, None).ok()?;
            moved.ways().map(|state| state.track_shape().to_vec()).collect()
        }
    };
    let above = |point: &Point2| {
        shapes.iter().filter_map(|shape| above_rope_m(shape, point)).fold(f64::NEG_INFINITY, f64::max)
    };
    let far_m = site.far_anchor.x.value().value;
    sight
        .between(far_m)
        .map(|(i, point)| (i, above(point)))
        .reduce(|a, b| if b.1 > a.1 { b } else { a })
        .map(|(i, _)| i)
}

/// The point of a site's ground that is in the way of its line: of one that can't be studied the most exposed to the
/// straight line, of one that was the nearest to its rope. Nothing where the ground, or the ends of the line, are not such
/// that there is one.
pub(super) fn bulge(site: &Site, study: Option<&Study>) -> Option<Bulge> {
    let ground = site.ground.as_slice();
    let ordered = ground.windows(2).all(|pair| matches!(pair, [a, b] if b.x > a.x));
    let x0 = site.frame.x.value;
    let base_m = ordered.then(|| Piece::at(ground, x0))??.height_m(x0);
    let head = (x0, base_m + site.frame.height.value().value);
    let sight = Sight { ground, head, far_height_m: site.far_anchor.height.value().value };
    let x_m = site.far_anchor.x.value().value;
    if !(x_m > x0) {
        return None;
    }
    let far = (x_m, sight.ground_m(x_m)? + sight.far_height_m);
    let (mut point, mut above) = sight.most(far)?;
    if above < 0.0
        && let Some(under) = study.and_then(|study| under_the_rope(site, study, &sight))
    {
        let at = ground.get(under)?;
        point = under;
        // z − (z₀ + (z₁ − z₀)·u)
        above = at.z.value - head.1 - (far.1 - head.1) * (at.x.value - x0) / (far.0 - x0);
    }
    let share = |p: &Point2| (p.x.value - x0) / (far.0 - x0);
    // z₀ + (z₁ − z₀)·u ≥ z for every point: z₀ ≥ (z − z₁·u)/(1 − u), z₁ ≥ (z − z₀·(1 − u))/u
    let head_z = sight.between(far.0).map(|(_, p)| (p.z.value - far.1 * share(p)) / (1.0 - share(p)));
    let far_z = sight.between(far.0).map(|(_, p)| (p.z.value - head.1 * (1.0 - share(p))) / share(p));
    let (head_z, far_z) = (head_z.fold(f64::NEG_INFINITY, f64::max), far_z.fold(f64::NEG_INFINITY, f64::max));
    let far_height = far_z - (far.1 - sight.far_height_m);
    let last = ground.last()?.x.value;
    Some(Bulge {
        point,
        at: Xz::from(*ground.get(point)?),
        does: if above >= 0.0 { InTheWay::Blocks } else { InTheWay::Supports },
        above_line: metres(above),
        head_height: metres((head_z - base_m).max(0.0)),
        far_height: (far_z < head.1).then(|| metres(far_height.max(0.0))),
        clear_anchors: sight.stretches((x0 + 1.0).min(last), last),
    })
}
