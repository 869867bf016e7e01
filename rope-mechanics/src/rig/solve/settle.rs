//! A rig that slides until it comes to rest, where no equilibrium lies near the state it starts from.
//!
//! Each variable moves as if in thick oil, c·dx/dt = −F(x), by steps of the implicit Euler rule,
//!
//! c/τ·(x − x₀) + F(x) = 0,
//!
//! solved by Newton's method. The time τ of a step grows while that is easy, and so the steps become those of Newton's
//! method where the rig comes to rest. Where ∂F/∂x has an eigenvalue below zero the rig slides away: what it comes to
//! rest at is stable.
//!
//! Source: pseudo-transient continuation, C. T. Kelley and D. E. Keyes, SIAM J. Numer. Anal. 35 (1998) 508.
#![allow(clippy::indexing_slicing, reason = "every index was made together with the array it goes into")]

use super::{newton, refusal, step};
use crate::rig::equations::balance::{self, allowed, size_m, worst};
use crate::rig::equations::sparse::{Factor, SparseMatrix};
use crate::rig::equations::{self, Equations, RigState};
use crate::rig::options::Options;
use alloc::vec::Vec;

/// Lets the rig slide from a state; whether it came to rest.
pub(crate) fn settle(system: &Equations<'_>, state: &mut RigState, iterations: &mut u32) -> bool {
    if system.evaluate(state).is_err() {
        return false;
    }
    let size = size_m(system, &state.at);
    let mut room = Room {
        matrix: equations::matrix_for(system),
        factor: Factor::new(&system.pattern, false),
        local: Vec::new(),
        step: Vec::new(),
        held: Vec::new(),
        of_step: newton::Room::default(),
        trial: RigState::default(),
    };
    let first = worst(system, state).0.max(f64::MIN_POSITIVE) / (Options::DEFAULT.slide_first * size);
    let mut drag = first;
    let mut used_up = 0;
    for _ in 0..Options::DEFAULT.slide_steps {
        if worst(system, state).0 <= allowed(system, state) {
            return true;
        }
        loop {
            match slide(system, state, drag, size, &mut room, iterations) {
                Some(rounds) => {
                    core::mem::swap(state, &mut room.trial);
                    used_up = if refusal::shortest_share(system, state) < Options::DEFAULT.used_up {
                        used_up + 1
                    } else {
                        0
                    };
                    if used_up > Options::DEFAULT.steps_used_up {
                        return false;
                    }
                    if rounds <= Options::DEFAULT.slide_easy {
                        drag /= Options::DEFAULT.slide_longer;
                    }
                    break;
                }
                None if drag < first / Options::DEFAULT.slide_shortest => {
                    drag /= Options::DEFAULT.slide_shorter
                }
                None => return false,
            }
        }
    }
    false
}

struct Room {
    matrix: SparseMatrix,
    factor: Factor,
    local: Vec<f64>,
    step: Vec<f64>,
    held: Vec<bool>,
    of_step: newton::Room,
    trial: RigState,
}

/// One step from `state`, left in `room.trial`: how many of Newton's steps it took, if it was found.
fn slide(
    system: &Equations<'_>,
    state: &RigState,
    drag: f64,
    size: f64,
    room: &mut Room,
    iterations: &mut u32,
) -> Option<u32> {
    let Room { matrix, factor, local, step, held, of_step, trial } = room;
    trial.clone_from(state);
    let mut x = Vec::new();
    for round in 1..=Options::DEFAULT.slide_rounds {
        *iterations += 1;
        system.assemble(trial, matrix, local);
        balance::steady(system, trial, matrix, size);
        for ((f, x), from) in trial.unbalanced.iter_mut().zip(&trial.x).zip(&state.x) {
            *f += drag * (x - from);
        }
        balance::pressed_into(system, trial, held);
        if !(newton::direction(system, trial, matrix, factor, drag, held, step, of_step)
            && step::longest_step(system, &trial.x, step, Options::DEFAULT.slide_farthest * size) >= 1.0)
        {
            return None;
        }
        x.clone_from(&trial.x);
        step::advance(system, &x, step, 1.0, trial).ok()?;
        let moved = trial.x.iter().zip(&state.x).map(|(x, from)| (x - from) * (x - from));
        let left = step.iter().map(|d| d * d);
        if left.sum::<f64>() <= Options::DEFAULT.slide_met * Options::DEFAULT.slide_met * moved.sum::<f64>() {
            return Some(round);
        }
    }
    None
}
