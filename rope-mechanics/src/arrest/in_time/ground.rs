//! The ground as straight pieces that a point can stand on.

use crate::geometry::Point2;
use crate::math;

/// A profile and its friction.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ground<'a> {
    pub(super) points: &'a [Point2],
    pub(super) friction: f64,
}

/// One straight piece of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Piece {
    from: [f64; 2],
    slope: f64,
    /// The unit vectors along it, outward, and across it, up.
    pub(super) along: [f64; 2],
    pub(super) up: [f64; 2],
}

impl Ground<'_> {
    /// The piece below a place; beyond the ends the first and last ones go on.
    pub(super) fn piece_below(&self, x_m: f64) -> Piece {
        let beyond = self.points.partition_point(|point| point.x.value <= x_m);
        let last = self.points.len().saturating_sub(1);
        let to = beyond.clamp(1, last.max(1));
        match self.points.get(to - 1..=to) {
            Some([a, b]) => {
                let (run, rise) = (b.x.value - a.x.value, b.z.value - a.z.value);
                let length = math::hypot(run, rise);
                let along = [run / length, rise / length];
                Piece { from: [a.x.value, a.z.value], slope: rise / run, along, up: [-along[1], along[0]] }
            }
            // A profile has at least two points.
            _ => Piece { from: [0.0; 2], slope: 0.0, along: [1.0, 0.0], up: [0.0, 1.0] },
        }
    }
}

impl Piece {
    pub(super) fn height(&self, x_m: f64) -> f64 {
        self.from[1] + self.slope * (x_m - self.from[0])
    }
}
