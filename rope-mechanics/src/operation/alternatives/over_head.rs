//! The frame under ropes that each go over the head on their own: nothing ties their tensions behind it together.

use crate::geometry::{Direction3, Force3, Point3};
use crate::operation::model::Model;
use crate::operation::state::StateError;
use crate::operation::track_turns::turn_rad;
use crate::operation::under_ropes::{HeadRopes, UnderRopes, WorstOf};
use crate::quantity::{Force, newtons};
use crate::sheave::Turn;
use alloc::vec::Vec;
use nalgebra::Vector3;

/// A rope over the head: what it pulls outward, and between which tensions friction leaves it behind.
#[derive(Debug, Clone, Copy)]
pub(super) struct OverHead {
    out_n: Vector3<f64>,
    behind: Vector3<f64>,
    /// At the least and at the most.
    behind_n: [f64; 2],
    tension_n: f64,
}

impl OverHead {
    /// With this pull outward and this tension there, going to a place behind.
    fn new(
        model: &Model<'_>,
        out_n: Vector3<f64>,
        tension_n: f64,
        to: Point3,
        turn: Turn,
    ) -> Result<Self, StateError> {
        let behind = Direction3::between(model.head_at, to)?.unit();
        let (high, low) = turn.ratios(turn_rad(out_n, behind));
        Ok(Self { out_n, behind, behind_n: [low * tension_n, high * tension_n], tension_n })
    }

    /// A track rope by the line's pull on the head.
    pub(super) fn track(
        model: &Model<'_>,
        line: Force3,
        tension: Force,
        to: Point3,
        turn: Turn,
    ) -> Result<Self, StateError> {
        Self::new(model, line.si(), tension.value, to, turn)
    }

    /// The rope to the load; none without one.
    pub(super) fn load_rope(model: &Model<'_>, ropes: &HeadRopes) -> Result<Option<Self>, StateError> {
        let Some((rope, carriage, pull)) = ropes.load_rope else { return Ok(None) };
        let (turn, behind) = model.load_rope(rope)?;
        let to_load = Direction3::between(model.head_at, model.seen_from_base(carriage))?.unit();
        Self::new(model, pull.value * to_load, pull.value, behind, turn).map(Some)
    }

    /// The greatest tension behind the head.
    pub(super) fn behind(&self) -> Force {
        newtons(self.behind_n[1])
    }

    /// The greatest tension on either side of the head.
    pub(super) fn highest(&self) -> Force {
        newtons(self.tension_n.max(self.behind_n[1]))
    }
}

/// The frame at every corner of what friction may leave behind it: margin and members are linear or linear-fractional in
/// each tension there.
pub(super) fn head_under(model: &Model<'_>, ropes: &[Option<OverHead>]) -> Result<UnderRopes, StateError> {
    let mut corners: Vec<Vector3<f64>> = alloc::vec![Vector3::zeros()];
    for rope in ropes.iter().flatten() {
        let both = corners
            .iter()
            .flat_map(|so_far| rope.behind_n.map(|behind_n| so_far + rope.out_n + behind_n * rope.behind));
        corners = both.collect();
    }
    let mut found = WorstOf::default();
    found.add(model, corners.into_iter().map(Force3::from_si))?;
    found.worst()
}
