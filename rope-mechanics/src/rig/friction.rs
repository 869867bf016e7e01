//! Ropes that move over turns which lose tension.
//!
//! Friction has no potential, so the equations are not the gradient of anything: at each turn of a moving rope
//! T after = ρ(θ)·T before takes the place of equal tensions, with ρ from the turn, its angle and the direction of
//! motion. The frictionless equilibrium is carried over to the full loss, in as few steps as Newton's method allows.
#![allow(clippy::indexing_slicing, reason = "every index was made together with the array it goes into")]

use super::balance::{self, Equilibrium, allowed, size_m, worst};
use super::error::RigError;
use super::model::RopeData;
use super::newton;
use super::sparse::Factor;
use super::system::{self, Form, Mode, NONE, State, System};
use crate::sheave::Motion;
use alloc::vec::Vec;

/// Newton's steps at one level of friction.
const MOST_STEPS: u32 = 40;
/// The smallest part of the friction that is added at a time.
const LEAST_RISE: f64 = 1e-3;

/// The equilibrium with every rope moving as stated, found from the frictionless one.
pub(super) fn moving(
    frictionless: &System<'_>,
    from: &Equilibrium,
) -> Result<(System<'static>, Equilibrium), RigError> {
    let mut system = System::new(&frictionless.rig, Mode::Moving);
    let mut state = State { x: carry_over(frictionless, &from.state, &system), ..State::default() };
    let mut iterations = from.iterations;
    let (mut reached, mut rise) = (0.0_f64, 1.0_f64);
    while reached < 1.0 {
        let level = (reached + rise).min(1.0);
        system.friction_level = level;
        let mut next = State { x: state.x.clone(), ..State::default() };
        match balance(&system, &mut next, &mut iterations) {
            Ok(()) => {
                reached = level;
                rise *= 2.0;
                state = next;
            }
            Err(error) => {
                rise *= 0.25;
                if rise < LEAST_RISE {
                    return Err(error);
                }
            }
        }
    }
    let mut matrix = system::matrix_for(&system);
    system.assemble(&state, &mut matrix, &mut Vec::new());
    let size = size_m(&system, &state.at);
    balance::steady(&system, &state, &mut matrix, size);
    balance::hold_fast(&system, &state, &mut matrix);
    let mut factor = Factor::new(&system.pattern, false);
    let (residual_n, at) = worst(&system, &state);
    if factor.factor(&system.pattern, &matrix, 0.0, balance::LEAST_PIVOT).is_err() {
        let point = balance::name(&system, balance::point_of(&system, at));
        return Err(RigError::Unsolved { point, residual: residual_n, iterations });
    }
    Ok((system.into_owned(), Equilibrium { state, factor, iterations, residual_n }))
}

/// The variables of one system in another of the same rig.
fn carry_over(from: &System<'_>, state: &State, to: &System<'_>) -> Vec<f64> {
    let mut x = system::zeros(to.variables());
    x[..to.coordinates].copy_from_slice(&state.x[..from.coordinates]);
    for (r, rope) in to.rig.ropes.iter().enumerate() {
        if to.runs[r].form != Form::Shared {
            continue;
        }
        let parts = &state.parts[from.runs[r].parts as usize..][..rope.parts()];
        let total: f64 = parts.iter().map(|p| p.length_m).sum();
        // s counts from the end that is tied to a given length.
        let mut s = if to.knot(r, 0) == NONE { 0.0 } else { -total };
        for node in 0..=rope.parts() {
            let knot = to.knot(r, node);
            if knot != NONE {
                x[knot as usize] = s;
            }
            s += parts.get(node).map_or(0.0, |p| p.length_m);
        }
    }
    x
}

/// Newton's method at one level of friction, halving steps that make things worse.
fn balance(system: &System<'_>, state: &mut State, iterations: &mut u32) -> Result<(), RigError> {
    system.evaluate(state)?;
    let size = size_m(system, &state.at);
    let mut matrix = system::matrix_for(system);
    let mut factor = Factor::new(&system.pattern, false);
    let mut local = Vec::new();
    let mut trial = State::default();
    let mut step = Vec::new();
    for _ in 0..MOST_STEPS {
        let (residual, at) = worst(system, state);
        system.assemble(state, &mut matrix, &mut local);
        balance::steady(system, state, &mut matrix, size);
        let enough = allowed(state.scale_n, balance::rope_stiffness(system), size);
        let stopped = |residual, iterations| RigError::Unsolved {
            point: balance::name(system, balance::point_of(system, at)),
            residual,
            iterations,
        };
        let mut held = balance::pressed(system, state);
        if !newton::direction(system, state, &mut matrix, &mut factor, 0.0, &mut held, &mut step) {
            return Err(stopped(residual, *iterations));
        }
        let mut part = newton::longest_step(system, &state.x, &step, size);
        loop {
            let better = newton::advance(system, &state.x, &step, part, &mut trial).is_ok()
                && worst(system, &trial).0 < (1.0 - 0.1 * part) * residual;
            if better {
                core::mem::swap(state, &mut trial);
                *iterations += 1;
                break;
            }
            if residual <= enough {
                return Ok(());
            }
            part *= 0.5;
            if part < 1e-4 {
                return Err(stopped(residual, *iterations));
            }
        }
    }
    Err(RigError::Unsolved {
        point: balance::name(system, 0),
        residual: worst(system, state).0,
        iterations: *iterations,
    })
}

impl RopeData {
    /// Whether it moves over a turn that loses something.
    pub(super) fn has_moving_friction(&self) -> bool {
        self.motion != Motion::AtRest
            && self.turns.iter().any(|around| around.turn != crate::sheave::Turn::FRICTIONLESS)
    }
}
