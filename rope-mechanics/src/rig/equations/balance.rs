//! What counts as balance: the forces left over at a state, what may be left, and what the ground or a slack rope
//! holds fast. Both ways to an equilibrium, with friction and without, are judged by it.
#![allow(clippy::indexing_slicing, reason = "every index was made together with the array it goes into")]

use super::sparse::{Factor, SparseMatrix};
use super::{Equations, RigState, RopeForm, RopeLayout, largest};
use crate::rig::model::RopeData;
use crate::rig::options::Options;
use alloc::string::String;
use alloc::vec::Vec;

/// An equilibrium.
#[derive(Debug, Clone)]
pub(crate) struct Equilibrium {
    pub(crate) state: RigState,
    pub(crate) factor: Factor,
    pub(crate) iterations: u32,
}

/// How large the rig is: the farthest two things can reasonably be apart.
pub(crate) fn size_m(system: &Equations<'_>, at: &[nalgebra::Vector3<f64>]) -> f64 {
    let mut lo = nalgebra::Vector3::repeat(f64::INFINITY);
    let mut hi = -lo;
    for r in at {
        lo = lo.inf(r);
        hi = hi.sup(r);
    }
    let extent = if at.is_empty() { 0.0 } else { largest(&(hi - lo)) };
    let longest = system.runs.iter().fold(0.0_f64, |l, run| l.max(run.total_m));
    let size = extent.max(longest);
    // Everything in one place: any scale will do.
    if size > 0.0 { size } else { 1.0 }
}

/// Whether each variable is held by the ground: it may not go below zero, and would. Empty where none can.
pub(crate) fn pressed(system: &Equations<'_>, state: &RigState) -> Vec<bool> {
    let mut list = Vec::new();
    pressed_into(system, state, &mut list);
    list
}

/// The same, in a list that is kept.
pub(crate) fn pressed_into(system: &Equations<'_>, state: &RigState, list: &mut Vec<bool>) {
    list.clear();
    for seat in system.seats.iter().filter(|seat| seat.grounded) {
        let v = seat.first as usize;
        if state.x[v] <= 0.0 && state.unbalanced[v] > 0.0 {
            list.resize(system.variables(), false);
            list[v] = true;
        }
    }
}

/// Whether a variable is held by the ground.
fn is_pressed(system: &Equations<'_>, state: &RigState, variable: usize) -> bool {
    state.unbalanced[variable] > 0.0
        && state.x[variable] <= 0.0
        && system.seats.iter().any(|seat| seat.grounded && seat.first as usize == variable)
}

/// The largest force out of balance, the ground's reaction taken as balance, and the variable it belongs to.
pub(crate) fn worst(system: &Equations<'_>, state: &RigState) -> (f64, usize) {
    let mut worst = (0.0, 0);
    for (v, f) in state.unbalanced.iter().enumerate() {
        if !(f.abs() <= worst.0) && !is_pressed(system, state, v) {
            worst = (f.abs(), v);
        }
    }
    worst
}

/// The point a variable belongs to.
pub(crate) fn point_of(system: &Equations<'_>, variable: usize) -> usize {
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
pub(crate) fn fastened(diagonal: f64) -> f64 {
    Options::DEFAULT.held_fast * diagonal.max(f64::MIN_POSITIVE / Options::DEFAULT.held_fast)
}

/// Keeps what the ground presses on from moving at all.
pub(crate) fn hold_fast(system: &Equations<'_>, state: &RigState, matrix: &mut SparseMatrix) {
    let grounded = system.seats.iter().filter(|seat| seat.grounded).map(|seat| seat.first as usize);
    for v in grounded.filter(|&v| is_pressed(system, state, v)) {
        let diagonal = matrix.diagonal_mut(&system.pattern, v);
        *diagonal = fastened(*diagonal);
    }
}

/// What the last digits of the places and lengths decide, in newtons: stiffness times one digit of the longest number
/// that the part which feels it most is computed from.
///
/// A part that has next to nothing left of its rope could feel anything: it counts as if it had a millionth.
fn digit(system: &Equations<'_>, state: &RigState) -> f64 {
    let mut most = 0.0_f64;
    for (r, (rope, run)) in system.rig.ropes.iter().zip(&system.runs).enumerate() {
        let mut reached = 0.0;
        for (pair, part) in rope.nodes.windows(2).zip(&state.parts[run.parts as usize..]) {
            let far = |p: u32| largest(&state.at[p as usize]);
            let (at, last) = (far(pair[0]).max(far(pair[1])), reached + part.length_m);
            let stiffness = match run.form {
                RopeForm::Whole => state.slopes[r],
                RopeForm::Single => rope.stretch.tangent_at(part.last.strain) / part.length_m,
                RopeForm::Shared => {
                    rope.stretch.tangent_at(part.last.strain)
                        / part.length_m.max(Options::DEFAULT.used_up * last.max(at))
                }
            };
            let longest = at.max(if run.form == RopeForm::Single { part.length_m } else { last });
            most = most.max(stiffness * longest);
            reached = last;
        }
    }
    f64::EPSILON * most
}

/// The stiffest rope, taken whole.
fn rope_stiffness(system: &Equations<'_>) -> f64 {
    let stiffness = |(rope, run): (&RopeData, &RopeLayout)| rope.stretch.a_n() / run.total_m;
    let given = system.rig.ropes.iter().zip(&system.runs).filter(|(_, run)| run.total_m > 0.0);
    given.map(stiffness).fold(0.0, f64::max)
}

/// What may be left out of balance: a part of the largest force, or what the last digits of coordinates decide.
pub(crate) fn allowed(system: &Equations<'_>, state: &RigState) -> f64 {
    (Options::DEFAULT.balance * state.scale_n).max(Options::DEFAULT.digits * digit(system, state))
}

/// The least stiffness that is more than the rounding of the rope which feels it most, over the size of the rig.
pub(crate) fn least_felt(system: &Equations<'_>, state: &RigState) -> f64 {
    Options::DEFAULT.digits * digit(system, state) / size_m(system, &state.at)
}

/// Holds fast the shares that a slack rope leaves open; returns the largest stiffness.
pub(crate) fn steady(system: &Equations<'_>, state: &RigState, matrix: &mut SparseMatrix, size: f64) -> f64 {
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

pub(crate) fn name(system: &Equations<'_>, point: usize) -> String {
    system.rig.points[point].name.clone()
}
