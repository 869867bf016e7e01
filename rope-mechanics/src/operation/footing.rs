//! What the feet of the frame need of the ground, and the hobbles between them.

use super::model::Model;
use super::state::{State, StateError};
use super::under_ropes::HeadRopes;
use crate::frame::{FrameError, HeadPull, LegForces, MOST_HOBBLES, MOST_LEGS};
use crate::geometry::Point3;
use crate::math;
use crate::quantity::{Force, Ratio, newtons, ratio};
use arrayvec::ArrayVec;

/// Feet and hobbles, each at its worst of what friction may leave in the ropes.
#[derive(Debug, Clone, PartialEq, Default)]
#[non_exhaustive]
pub struct Footing {
    /// Friction that each foot needs against the ground, horizontal by vertical part, in the order of the feet.
    pub friction: ArrayVec<Ratio, MOST_LEGS>,
    /// Greatest tension of each hobble, in their order.
    pub hobbles: ArrayVec<Force, MOST_HOBBLES>,
}

impl Footing {
    /// The greater of each.
    #[must_use]
    pub fn max(mut self, other: &Self) -> Self {
        if self.friction.is_empty() {
            return other.clone();
        }
        for (greatest, ratio) in self.friction.iter_mut().zip(&other.friction) {
            *greatest = greatest.max(*ratio);
        }
        for (greatest, force) in self.hobbles.iter_mut().zip(&other.hobbles) {
            *greatest = greatest.max(*force);
        }
        self
    }
}

impl State<'_, '_> {
    /// What feet and hobbles take under the ropes of this state.
    ///
    /// # Errors
    /// As [`Model::footing_under`].
    pub fn footing(&self) -> Result<Footing, StateError> {
        self.model.footing_under(&self.head_ropes())
    }
}

impl Model<'_> {
    /// What feet and hobbles take under these ropes, at the worst of the corners of what friction may leave in them.
    ///
    /// With c the compression of a leg along u, T the tension of a hobble along h and w the weight of a leg, a foot bears
    ///
    /// F = −c·u + Σ T·h − w/2·z,  μ = |F_xy|/−F_z
    ///
    /// Assumed: hobbles take as much of the thrust as they can (see [`FrameForces`](crate::frame::FrameForces)), which is
    /// their greatest tension; none is counted on where a leg that it ties bears nothing. Without hobbles and without
    /// weight a foot needs |u_xy|/u_z under any ropes. Corners at which the frame falls are left out: see
    /// [`Model::frame_under`].
    ///
    /// # Errors
    /// [`StateError::Frame`] where the forces can't be solved; for ropes whose pulls are not finite.
    pub fn footing_under(&self, ropes: &HeadRopes) -> Result<Footing, StateError> {
        let frame = &self.frame;
        let untied = frame.with_hobbles(&[]).map_err(StateError::Frame)?;
        let mut worst = Footing::default();
        for pull in self.corners(ropes)? {
            let pulls = [HeadPull::force(self.with_weight(pull))?];
            let mut forces = match frame.solve(&pulls) {
                Err(FrameError::Falls(_)) => continue,
                solved => solved.map_err(StateError::Frame)?,
            };
            let hobbles = forces.hobbles().iter().copied().collect();
            let hobbled = &self.values().frame.hobbles;
            let idle = |foot: &usize| forces.legs().get(*foot).is_none_or(|leg| leg.compression.value <= 0.0);
            if hobbled.iter().any(|(a, b)| idle(a) || idle(b)) {
                forces = untied.solve(&pulls).map_err(StateError::Frame)?;
            }
            let friction = forces.legs().iter().map(|leg| self.friction_of(leg)).collect();
            worst = worst.max(&Footing { friction, hobbles });
        }
        Ok(worst)
    }

    /// |F_xy|/−F_z of a foot that stands under its leg's lower half.
    fn friction_of(&self, leg: &LegForces) -> Ratio {
        let on_ground = leg.on_ground.si();
        let (level_n, down_n) = (math::hypot(on_ground.x, on_ground.y), self.on_foot.value - on_ground.z);
        ratio(if level_n > 0.0 { level_n / down_n } else { 0.0 })
    }

    /// The worst of all these states.
    #[cfg_attr(not(all(feature = "alloc", feature = "serde")), allow(dead_code))]
    pub(super) fn footing_over<'s, 'm: 's, 'g: 'm>(
        &self,
        states: impl IntoIterator<Item = &'s State<'m, 'g>>,
    ) -> Result<Footing, StateError> {
        if !self.values().frame.hobbles.is_empty() || self.on_foot > newtons(0.0) {
            return states
                .into_iter()
                .try_fold(Footing::default(), |worst, state| Ok(worst.max(&state.footing()?)));
        }
        // The same under any ropes: |u_xy|/u_z.
        let meet_at = self.meet_at.si();
        let needed = |foot: &Point3| {
            let leg = meet_at - foot.si();
            ratio(math::hypot(leg.x, leg.y) / leg.z)
        };
        Ok(Footing { friction: self.values().feet.iter().map(needed).collect(), hobbles: ArrayVec::new() })
    }
}
