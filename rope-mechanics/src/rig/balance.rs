//! What counts as balance: the forces left over at a state, what may be left, and what the ground or a slack rope
//! holds fast. Both ways to an equilibrium, with friction and without, are judged by it.
#![allow(clippy::indexing_slicing, reason = "every index was made together with the array it goes into")]

use super::sparse::{Factor, Matrix};
use super::system::{self, State, System};
use alloc::string::String;
use alloc::vec::Vec;

/// Out of balance by the largest force in the rig: what an answer may have at most.
const BALANCE: f64 = 1e-9;
/// A pivot must keep this part of its diagonal; less is a mechanism, or unstable.
pub(super) const LEAST_PIVOT: f64 = 1e-13;

/// By how much the stiffness of what is held is raised: enough to keep it to the last digit.
const HELD_FAST: f64 = 1e40;

/// An equilibrium.
#[derive(Debug, Clone)]
pub(super) struct Equilibrium {
    pub(super) state: State,
    pub(super) factor: Factor,
    pub(super) iterations: u32,
    /// Largest force out of balance, in newtons.
    pub(super) residual_n: f64,
}

/// How large the rig is: the farthest two things can reasonably be apart.
pub(super) fn size_m(system: &System<'_>, at: &[nalgebra::Vector3<f64>]) -> f64 {
    let mut lo = nalgebra::Vector3::repeat(f64::INFINITY);
    let mut hi = -lo;
    for r in at {
        lo = lo.inf(r);
        hi = hi.sup(r);
    }
    let extent = if at.is_empty() { 0.0 } else { system::largest(&(hi - lo)) };
    let longest = system.runs.iter().fold(0.0_f64, |l, run| l.max(run.total_m));
    let size = extent.max(longest);
    // Everything in one place: any scale will do.
    if size > 0.0 { size } else { 1.0 }
}

/// Whether each variable is held by the ground: it may not go below zero, and would. Empty where none can.
pub(super) fn pressed(system: &System<'_>, state: &State) -> Vec<bool> {
    let mut list = Vec::new();
    for seat in system.seats.iter().filter(|seat| seat.grounded) {
        let v = seat.first as usize;
        if state.x[v] <= 0.0 && state.unbalanced[v] > 0.0 {
            list.resize(system.variables(), false);
            list[v] = true;
        }
    }
    list
}

fn is_pressed(pressed: &[bool], variable: usize) -> bool {
    pressed.get(variable).is_some_and(|&p| p)
}

/// The largest force out of balance, the ground's reaction taken as balance, and the variable it belongs to.
pub(super) fn worst(system: &System<'_>, state: &State) -> (f64, usize) {
    let pressed = pressed(system, state);
    let mut worst = (0.0, 0);
    for (v, f) in state.unbalanced.iter().enumerate() {
        if !(f.abs() <= worst.0) && !is_pressed(&pressed, v) {
            worst = (f.abs(), v);
        }
    }
    worst
}

/// The point a variable belongs to.
pub(super) fn point_of(system: &System<'_>, variable: usize) -> usize {
    for (p, seat) in system.seats.iter().enumerate() {
        if (seat.first as usize..seat.first as usize + usize::from(seat.count)).contains(&variable) {
            return p;
        }
    }
    for (r, rope) in system.rig.ropes.iter().enumerate() {
        for (node, &point) in rope.nodes.iter().enumerate() {
            if system.knot(r, node) as usize == variable {
                return point as usize;
            }
        }
    }
    0
}

/// The stiffness of what may not move.
pub(super) fn fastened(diagonal: f64) -> f64 {
    HELD_FAST * diagonal.max(f64::MIN_POSITIVE / HELD_FAST)
}

/// Keeps what the ground presses on from moving at all.
pub(super) fn hold_fast(system: &System<'_>, state: &State, matrix: &mut Matrix) {
    for (v, _) in pressed(system, state).iter().enumerate().filter(|(_, held)| **held) {
        let diagonal = matrix.diagonal_mut(&system.pattern, v);
        *diagonal = fastened(*diagonal);
    }
}

/// The stiffest rope, taken whole.
pub(super) fn rope_stiffness(system: &System<'_>) -> f64 {
    let stiffness =
        |(rope, run): (&super::model::RopeData, &system::RunForm)| rope.stretch.a_n() / run.total_m;
    let given = system.rig.ropes.iter().zip(&system.runs).filter(|(_, run)| run.total_m > 0.0);
    given.map(stiffness).fold(0.0, f64::max)
}

/// What may be left out of balance: a part of the largest force, or what the last digit of a coordinate decides.
pub(super) fn allowed(scale_n: f64, stiffest_n_per_m: f64, size_m: f64) -> f64 {
    (BALANCE * scale_n).max(64.0 * f64::EPSILON * stiffest_n_per_m * size_m)
}

/// Holds fast the shares that a slack rope leaves open; returns the largest stiffness.
pub(super) fn steady(system: &System<'_>, state: &State, matrix: &mut Matrix, size: f64) -> f64 {
    // Where all is slack, as if the largest load hung in a rope as long as the rig.
    let slack = (state.scale_n / size).max(1e-12 * rope_stiffness(system));
    let mut stiffest = slack.max(f64::MIN_POSITIVE);
    for v in 0..system.variables() {
        stiffest = stiffest.max(*matrix.diagonal_mut(&system.pattern, v));
    }
    for v in system.coordinates..system.variables() {
        // Between two slack parts the share of a weightless rope doesn't matter: leave it where it is.
        let diagonal = matrix.diagonal_mut(&system.pattern, v);
        if *diagonal == 0.0 && state.unbalanced[v] == 0.0 {
            *diagonal = stiffest;
        }
    }
    stiffest
}

pub(super) fn name(system: &System<'_>, point: usize) -> String {
    system.rig.points[point].name.clone()
}
