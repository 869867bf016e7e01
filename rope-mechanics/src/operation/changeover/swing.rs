//! The load between the haul rope over the head and what pulls it in.

use crate::error::{Allowed, InputError};
#[cfg(all(feature = "alloc", feature = "serde"))]
use crate::geometry::Direction3;
use crate::geometry::Point3;
use crate::math;
use crate::quantity::{Force, metres, newtons};
use nalgebra::Vector3;

/// What pulls the load in from under the head.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum PullsIn {
    /// A rope straight from this place behind the head, seen from the base of the frame.
    RopeFrom(Point3),
    /// People at the litter, level.
    Hands,
}

/// A load at rest between the haul rope and what pulls it in.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct PulledIn {
    /// Where the load is: the point at which its ropes meet, seen from the base of the frame.
    pub load: Point3,
    /// Tension of the haul rope between the head and the load.
    pub haul: Force,
    /// What pulls it in pulls so hard.
    pub inward: Force,
    /// What is left over of the forces, by the largest of them.
    pub residual: f64,
}

/// The head, what pulls in, and the weight between them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Swing {
    head_m: Vector3<f64>,
    by: PullsIn,
    weight_n: f64,
    /// Level, from below the head towards what pulls.
    along: Vector3<f64>,
    /// How far off that is, in plan.
    plan_m: f64,
}

impl Swing {
    /// A load of this weight below this head, pulled in by this.
    ///
    /// Two ropes hold a load in the vertical plane through their ends only, so that it moves in that plane: straight
    /// inward for [`PullsIn::Hands`].
    ///
    /// # Errors
    /// Unless head and place are finite, the weight is above zero, and the place lies inward of the head.
    pub fn new(head: Point3, weight: Force, by: PullsIn) -> Result<Self, InputError> {
        let head_m = head.finite("head")?;
        let weight_n = crate::error::positive("weight", weight)?;
        let (along, plan_m) = match by {
            PullsIn::Hands => (-Vector3::x(), f64::INFINITY),
            PullsIn::RopeFrom(place) => {
                let to = place.finite("pull_from")? - head_m;
                crate::error::check("pull_from.x", metres(place.x.value), Allowed::Below(head_m.x))?;
                let plan_m = math::hypot(to.x, to.y);
                (Vector3::new(to.x, to.y, 0.0) / plan_m, plan_m)
            }
        };
        Ok(Self { head_m, by, weight_n, along, plan_m })
    }

    /// The load so far inward of the head, in plan along the plane of both ropes, and at this height above the base.
    #[must_use]
    pub fn place(&self, inward_m: f64, height_m: f64) -> Point3 {
        let below = Vector3::new(self.head_m.x, self.head_m.y, height_m);
        Point3::from_si(below + inward_m * self.along)
    }

    #[cfg(all(feature = "alloc", feature = "serde"))]
    /// How far outward of the head, in x, a load is that is so far inward along the plane.
    pub(super) fn outward(&self, inward_m: f64) -> f64 {
        inward_m * self.along.x
    }

    #[cfg(all(feature = "alloc", feature = "serde"))]
    /// From below the head to below what pulls, in plan; infinite for people.
    pub(super) fn plan_m(&self) -> f64 {
        self.plan_m
    }

    /// The forces with the load so far inward at this height. Nothing where no pull holds it there: outward of the head,
    /// beyond what pulls, or so high that one of both would have to push.
    ///
    /// T₁·u₁ + T₂·u₂ = W·ẑ, in the plane of both
    #[must_use]
    pub fn at(&self, inward_m: f64, height_m: f64) -> Option<PulledIn> {
        let load = self.place(inward_m, height_m);
        let at = load.si();
        let unit = |to: Vector3<f64>| {
            let size = math::sqrt(to.norm_squared());
            (size > 1e-9).then(|| to / size)
        };
        let haul = unit(self.head_m - at)?;
        let pull = match self.by {
            PullsIn::Hands => -Vector3::x(),
            PullsIn::RopeFrom(place) => unit(place.si() - at)?,
        };
        // In the plane: a level, b upward. a₁ = −d/r is exactly zero below the head.
        let (a1, b1) = (haul.dot(&self.along), haul.z);
        let (a2, b2) = (pull.dot(&self.along), pull.z);
        // T₁ = W·a₂/(a₂·b₁ − a₁·b₂), T₂ = −W·a₁/(a₂·b₁ − a₁·b₂)
        let both = a2 * b1 - a1 * b2;
        if !(inward_m >= 0.0 && a2 > 0.0 && both > 1e-9) {
            return None;
        }
        let (haul_n, inward_n) = (self.weight_n * a2 / both, (-self.weight_n * a1 / both).max(0.0));
        let left = haul * haul_n + pull * inward_n - Vector3::new(0.0, 0.0, self.weight_n);
        let residual = math::sqrt(left.norm_squared()) / haul_n.max(inward_n).max(self.weight_n);
        Some(PulledIn { load, haul: newtons(haul_n), inward: newtons(inward_n), residual })
    }

    #[cfg(all(feature = "alloc", feature = "serde"))]
    /// Towards what pulls, as seen from the load.
    pub(super) fn pull_direction(&self, load: Point3) -> Result<Direction3, InputError> {
        match self.by {
            PullsIn::Hands => Direction3::between(load, Point3::from_si(load.si() - Vector3::x())),
            PullsIn::RopeFrom(place) => Direction3::between(load, place),
        }
    }
}
