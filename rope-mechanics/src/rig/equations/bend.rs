//! One turn of a rope that moves: by how much the tension falls over it, and how that changes.
#![allow(clippy::indexing_slicing, reason = "every index was made together with the array it goes into")]

use super::part::Tip;
use crate::geometry::angle_between;
use crate::math;
use crate::rig::model::{RopeData, RopeEnd};
use crate::sheave::Loss;
use nalgebra::Vector3;

/// What the equation of a turn changes by when the tension vectors beside it do.
pub(crate) struct BendSlopes {
    pub(crate) before: Vector3<f64>,
    pub(crate) after: Vector3<f64>,
}

/// θ between the rope's directions before and after a turn.
pub(crate) fn turn_angle(before: &Tip, after: &Tip) -> f64 {
    angle_between(&before.direction(), &after.direction())
}

/// All of the angle that counts: between the directions, and of the wraps.
fn wrapped(rope: &RopeData, turn: usize, angle: f64) -> f64 {
    angle + core::f64::consts::TAU * f64::from(rope.turns[turn].wraps)
}

/// Pulling side by load's side: the last end pulls, or the first.
fn sign(rope: &RopeData, level: f64) -> f64 {
    if rope.hand == RopeEnd::Last { level } else { -level }
}

/// ρ = T after / T before, and dρ/dθ, for a part `level` of the friction.
fn ratio(rope: &RopeData, turn: usize, angle: f64, level: f64) -> (f64, f64) {
    let (log, slope) = rope.turns[turn].turn.log_ratio(wrapped(rope, turn, angle), rope.motion);
    let sign = sign(rope, level);
    let rho = math::exp(sign * log);
    (rho, rho * sign * slope)
}

/// What the equation of a turn changes by when what it loses there does; nothing, if it has no such coefficient.
pub(crate) fn by_loss(rope: &RopeData, turn: usize, loss: Loss, before: &Tip, after: &Tip) -> Option<f64> {
    let angle = turn_angle(before, after);
    let by = rope.turns[turn].turn.log_ratio_by(loss, wrapped(rope, turn, angle), rope.motion)?;
    // ∂(T after − ρ·T before)/∂c = −ρ·(∂ ln ρ/∂c)·T before
    Some(-ratio(rope, turn, angle, 1.0).0 * sign(rope, 1.0) * by * before.tension)
}

/// T after − ρ(θ)·T before
pub(crate) fn unbalanced(rope: &RopeData, turn: usize, level: f64, before: &Tip, after: &Tip) -> f64 {
    after.tension - ratio(rope, turn, turn_angle(before, after), level).0 * before.tension
}

pub(crate) fn slopes(rope: &RopeData, turn: usize, level: f64, before: &Tip, after: &Tip) -> BendSlopes {
    let (a, b) = (before.direction(), after.direction());
    let cos = a.dot(&b);
    let sin = math::sqrt(a.cross(&b).norm_squared());
    let (rho, by_angle) = ratio(rope, turn, turn_angle(before, after), level);
    let mut slopes = BendSlopes { before: a * -rho, after: b };
    if sin > 1e-9 {
        // ∂θ/∂F = −(other − cos θ·own)/(T·sin θ)
        let weight = -by_angle * before.tension;
        slopes.before += (b - a * cos) * (-weight / (sin * before.tension));
        slopes.after += (a - b * cos) * (-weight / (sin * after.tension));
    }
    slopes
}
