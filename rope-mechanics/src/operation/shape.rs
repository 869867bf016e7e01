//! Where the ropes of a state run, and how high above the ground.

use super::state::{HoldingRope, Line, State};
use crate::geometry::{Point2, clearance_m};
use crate::line::elastic::{ElasticSpan, End};
use crate::line::span::{self, Span};
use crate::quantity::{Length, metres};
use crate::rope::Rope;
use arrayvec::ArrayVec;

/// Points of a drawn rope, at most.
pub const SHAPE_POINTS: usize = 61;
/// Points of a track with a load on it, its carriage besides.
const LOADED_POINTS: usize = 40;
/// Points of a drawn rope from the head to the load.
pub const LOAD_ROPE_POINTS: usize = 33;

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

    /// The shape of a rope to the load as it hangs by its own weight, from the head to the carriage: the one that holds the
    /// load under its pull there, the belay beside it with its slack. Nothing without a load or without such a rope, and
    /// where the rope that holds the load is too slack to hang free.
    #[must_use]
    pub fn load_rope_shape(&self, rope: HoldingRope) -> Option<ArrayVec<Point2, LOAD_ROPE_POINTS>> {
        let carriage = self.carriage()?;
        let values = self.model.values();
        let (head, reach_m) = (self.model.head(), self.model.reach_m(carriage));
        let (across, up) = (carriage.x - head.x, carriage.z - head.z);
        let strand = |rope: &Rope, length_m: f64| Span {
            span_m: across.value,
            rise_m: up.value,
            length_m,
            weight_n_per_m: rope.weight().value,
            stretch: rope.stretch(),
        };
        let hangs = match rope {
            _ if rope == self.situation.held_by => {
                let rope = match rope {
                    HoldingRope::Haul => &values.haul.rope,
                    HoldingRope::Belay => &values.belay.as_ref()?.rope,
                };
                let span = ElasticSpan::new(across, up, rope.weight(), rope.stretch()).ok()?;
                strand(rope, span.length_for_tension(End::Last, self.pull()).ok()?.value)
            }
            HoldingRope::Belay => {
                let belay = values.belay.as_ref()?;
                strand(&belay.rope, reach_m + belay.slack.value)
            }
            HoldingRope::Haul => return None,
        };
        let solved = span::solve(&hangs).ok()?;
        let steps = LOAD_ROPE_POINTS - 1;
        let point = |i: usize| {
            let (x, z) = solved.point(hangs.length_m * i as f64 / steps as f64);
            Point2::new(head.x + metres(x), head.z + metres(z))
        };
        Some((0..=steps).map(point).collect())
    }
}
