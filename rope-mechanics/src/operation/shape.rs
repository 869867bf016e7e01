//! Where the ropes of a state run, and how high above the ground.

use super::state::{Line, State};
use crate::geometry::{Point2, clearance_m};
use crate::quantity::{Length, metres};
use arrayvec::ArrayVec;

/// Points of a drawn rope, at most.
pub const SHAPE_POINTS: usize = 61;
/// Points of a track with a load on it, its carriage besides.
const LOADED_POINTS: usize = 40;

impl State<'_, '_> {
    /// The shape of the track rope from the head to the far anchor, in even steps along the rope and with a point at the
    /// carriage; no point where it is gone.
    #[must_use]
    pub fn track_shape(&self) -> ArrayVec<Point2, SHAPE_POINTS> {
        let mut shape = ArrayVec::new();
        match &self.balance.line {
            Line::Gone => {}
            Line::Bare(solved) => {
                let head = self.model.head();
                let steps = SHAPE_POINTS - 1;
                for i in 0..=steps {
                    let (x, z) = solved.point(solved.span.length_m * i as f64 / steps as f64);
                    shape.push(Point2::new(head.x + metres(x), head.z + metres(z)));
                }
            }
            Line::Loaded(state) => {
                let mut points = [Point2::default(); LOADED_POINTS];
                state.draw(&mut points);
                let carriage = state.position;
                shape.extend(points.iter().copied().filter(|p| p.x < carriage.x));
                shape.push(carriage);
                shape.extend(points.iter().copied().filter(|p| !(p.x < carriage.x)));
            }
        }
        shape
    }

    /// Least height of the track rope above the ground between its ends, negative where it would hang below; infinite
    /// where it is gone.
    ///
    /// Found at the points of [`State::track_shape`] and over every corner of the ground.
    #[must_use]
    pub fn track_clearance(&self) -> Length {
        metres(clearance_m(self.model.values().ground, &self.track_shape()))
    }
}
