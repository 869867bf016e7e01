//! The least energy of a rig without friction, by Newton's method with a line search on the slope of the energy.
//!
//! Where the energy is convex (weightless ropes over any sheaves, heavy ropes without) this finds the one
//! equilibrium from any start. Where it isn't (heavy ropes over sheaves) it goes downhill to a stable one, and
//! never stops at an unstable one: the pivots of the factorised stiffness are all positive at what is returned.
#![allow(clippy::indexing_slicing, reason = "every index was made together with the array it goes into")]

use super::error::RigError;
use super::sparse::{Factor, Matrix};
use super::system::{self, Form, MOST_STRAIN, Mode, NONE, State, System};
use crate::math;
use alloc::vec::Vec;

/// Steps before giving up.
const MOST_STEPS: u32 = 400;
/// Out of balance by the largest force in the rig: what an answer may have at most.
pub(super) const BALANCE: f64 = 1e-9;
/// Where no better is sought.
const FINE: f64 = 1e-13;
/// A line search ends where the slope has fallen to this part.
const SLOPE_LEFT: f64 = 0.3;
/// A pivot must keep this part of its diagonal; less is a mechanism, or unstable.
pub(super) const LEAST_PIVOT: f64 = 1e-13;

/// An equilibrium.
#[derive(Debug, Clone)]
pub(super) struct Equilibrium {
    pub(super) state: State,
    pub(super) matrix: Matrix,
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
    extent.max(longest).max(f64::MIN_POSITIVE)
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

pub(super) fn is_pressed(pressed: &[bool], variable: usize) -> bool {
    pressed.get(variable).is_some_and(|&p| p)
}

/// The largest force out of balance, the ground's reaction taken as balance, and the variable it belongs to.
pub(super) fn worst(system: &System<'_>, state: &State) -> (f64, usize) {
    let pressed = pressed(system, state);
    let mut worst = (0.0, 0);
    for (v, f) in state.unbalanced.iter().enumerate() {
        if f.abs() > worst.0 && !is_pressed(&pressed, v) {
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

/// How far a step may go before a part has lost nine tenths of its length, or a point has crossed the rig.
pub(super) fn longest_step(system: &System<'_>, x: &[f64], step: &[f64], reach_m: f64) -> f64 {
    let mut most = 1.0_f64;
    let moved = step[..system.coordinates].iter().fold(0.0_f64, |m, d| m.max(d.abs()));
    if moved > reach_m {
        most = reach_m / moved;
    }
    for (r, rope) in system.rig.ropes.iter().enumerate() {
        if system.runs[r].form != Form::Shared {
            continue;
        }
        let total = system.runs[r].total_m;
        let value = |node: usize, of: &[f64], end: f64| {
            let knot = system.knot(r, node);
            if knot != NONE { of[knot as usize] } else if node == 0 { 0.0 } else { end }
        };
        for k in 0..rope.parts() {
            let length = value(k + 1, x, total) - value(k, x, total);
            let change = value(k + 1, step, 0.0) - value(k, step, 0.0);
            if change < -0.9 * length {
                most = most.min(0.9 * length / -change);
            } else if change > 4.0 * length + reach_m {
                most = most.min((4.0 * length + reach_m) / change);
            }
        }
    }
    most
}

/// Moves from `from` by `part` of the step, keeping what is above the ground above it; the slope of the energy
/// along the way that was really taken.
pub(super) fn advance(system: &System<'_>, from: &[f64], step: &[f64], part: f64, to: &mut State) -> Result<f64, RigError> {
    to.x.clear();
    to.x.extend(from.iter().zip(step).map(|(x, d)| x + part * d));
    for seat in &system.seats {
        if seat.grounded {
            let v = &mut to.x[seat.first as usize];
            *v = v.max(0.0);
        }
    }
    system.evaluate(to)?;
    let mut slope: f64 = step.iter().zip(&to.unbalanced).map(|(d, g)| d * g).sum();
    for seat in system.seats.iter().filter(|seat| seat.grounded) {
        let v = seat.first as usize;
        if step[v] < 0.0 && from[v] + part * step[v] <= 0.0 {
            slope -= step[v] * to.unbalanced[v];
        }
    }
    Ok(slope)
}

/// The equilibrium that the start leads to.
pub(super) fn minimise(system: &System<'_>, start: Vec<f64>) -> Result<Equilibrium, RigError> {
    debug_assert_eq!(system.mode, Mode::Frictionless);
    let mut state = State { x: start, ..State::default() };
    system.evaluate(&mut state)?;
    let size = size_m(system, &state.at);
    let mut trial = State::default();
    let mut best = State::default();
    let mut matrix = system::matrix_for(system);
    let mut factor = Factor::new(&system.pattern, true);
    let mut local = Vec::new();
    let mut step = Vec::new();
    let mut iterations = 0;
    let mut best_residual = f64::INFINITY;
    let mut shift = 0.0;
    loop {
        let (residual, at) = worst(system, &state);
        system.assemble(&state, &mut matrix, &mut local);
        let held = pressed(system, &state);
        let stiffest = steady(system, &state, &mut matrix, &held);
        let enough = allowed(state.scale_n, stiffest, size);
        let stable = factor.factor(&system.pattern, &matrix, 0.0, LEAST_PIVOT).is_ok();
        let stuck = best_residual <= enough && residual >= 0.5 * best_residual;
        if stable && (residual <= FINE * state.scale_n || stuck && residual <= best_residual) {
            return Ok(Equilibrium { state, matrix, factor, iterations, residual_n: residual });
        }
        if stuck {
            // The step before was as good as it gets.
            core::mem::swap(&mut state, &mut best);
            best_residual = f64::INFINITY;
            let (residual, _) = worst(system, &state);
            system.assemble(&state, &mut matrix, &mut local);
            let held = pressed(system, &state);
            steady(system, &state, &mut matrix, &held);
            if factor.factor(&system.pattern, &matrix, 0.0, LEAST_PIVOT).is_ok() {
                return Ok(Equilibrium { state, matrix, factor, iterations, residual_n: residual });
            }
        }
        if iterations == MOST_STEPS {
            return Err(why_not(system, &state, size, residual, at, iterations));
        }
        iterations += 1;
        if !stable && residual <= enough {
            // In balance, yet not stable: leave it downhill.
            nudge(system, &mut state, &matrix, &mut factor, stiffest, size)?;
            best_residual = f64::INFINITY;
            continue;
        }
        if residual < best_residual {
            best_residual = residual;
            best.clone_from(&state);
        }
        shift = if stable { 0.0 } else { shifted(system, &matrix, &mut factor, stiffest, shift) };
        step.clear();
        step.extend(state.unbalanced.iter().enumerate().map(|(v, f)| if is_pressed(&held, v) { 0.0 } else { -f }));
        factor.solve(&system.pattern, &mut step);
        if residual <= enough {
            // The slope of the energy is lost in its rounding; the step itself isn't.
            advance(system, &state.x, &step, 1.0, &mut trial)?;
            core::mem::swap(&mut state, &mut trial);
            continue;
        }
        let part = search(system, &state, &step, size, &mut trial)?;
        core::mem::swap(&mut state, &mut trial);
        if let Some(point) = gone(system, &state, size) {
            return Err(RigError::RunsAway { point: name(system, point) });
        }
        if step.iter().all(|d| (part * d).abs() <= 1e-15 * size) {
            let (residual, at) = worst(system, &state);
            if residual > allowed(state.scale_n, stiffest, size) {
                return Err(why_not(system, &state, size, residual, at, iterations));
            }
        }
    }
}

/// What may be left out of balance: a part of the largest force, or what the last digit of a coordinate decides.
pub(super) fn allowed(scale_n: f64, stiffest_n_per_m: f64, size_m: f64) -> f64 {
    (BALANCE * scale_n).max(64.0 * f64::EPSILON * stiffest_n_per_m * size_m)
}

/// Holds fast what is pressed on the ground and what a slack rope leaves open; returns the largest stiffness.
pub(super) fn steady(system: &System<'_>, state: &State, matrix: &mut Matrix, held: &[bool]) -> f64 {
    let mut stiffest = f64::MIN_POSITIVE;
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
    for (v, _) in held.iter().enumerate().filter(|(_, held)| **held) {
        *matrix.diagonal_mut(&system.pattern, v) += 1e40 * stiffest;
    }
    stiffest
}

/// Factors the stiffness with enough added to its diagonal to make it positive; returns what was added.
fn shifted(system: &System<'_>, matrix: &Matrix, factor: &mut Factor, stiffest: f64, before: f64) -> f64 {
    let mut shift = (0.125 * before).max(1e-6 * stiffest);
    while factor.factor(&system.pattern, matrix, shift, LEAST_PIVOT).is_err() && shift < 1e6 * stiffest {
        shift *= 8.0;
    }
    shift
}

/// Goes along the step to where the energy stops falling; leaves the state there in `trial`.
fn search(system: &System<'_>, state: &State, step: &[f64], size: f64, trial: &mut State) -> Result<f64, RigError> {
    let slope: f64 = step.iter().zip(&state.unbalanced).map(|(d, g)| d * g).sum();
    let (mut lo, mut slope_lo) = (0.0, slope);
    let (mut hi, mut slope_hi) = (f64::INFINITY, f64::NAN);
    let mut part = longest_step(system, &state.x, step, size);
    for _ in 0..60 {
        let here = advance(system, &state.x, step, part, trial);
        let here = match here {
            Ok(value) if value.is_finite() => value,
            _ => f64::INFINITY,
        };
        if here <= 0.0 && hi == f64::INFINITY || here.abs() <= SLOPE_LEFT * slope.abs() {
            return Ok(part);
        }
        if here > 0.0 {
            hi = part;
            slope_hi = here;
        } else {
            lo = part;
            slope_lo = here;
        }
        let width = hi - lo;
        if width <= 1e-14 * hi {
            break;
        }
        let secant = if slope_hi.is_finite() { lo - slope_lo * width / (slope_hi - slope_lo) } else { lo + 0.5 * width };
        part = secant.clamp(lo + 0.1 * width, hi - 0.1 * width);
    }
    // The slope jumps here: stay on the side where the energy still fell.
    advance(system, &state.x, step, lo, trial)?;
    Ok(lo)
}

/// A point that has left the rig for good.
fn gone(system: &System<'_>, state: &State, size: f64) -> Option<usize> {
    let known = system.rig.points.iter().fold(0.0_f64, |m, p| m.max(system::largest(&p.at)));
    let far = 1e4 * (size + known);
    system.seats.iter().zip(&state.at).position(|(seat, r)| seat.count > 0 && system::largest(r) > far)
}

pub(super) fn name(system: &System<'_>, point: usize) -> alloc::string::String {
    system.rig.points[point].name.clone()
}

/// Moves an equilibrium that isn't stable a little along its softest mode.
fn nudge(
    system: &System<'_>,
    state: &mut State,
    matrix: &Matrix,
    factor: &mut Factor,
    stiffest: f64,
    size: f64,
) -> Result<(), RigError> {
    let shift = shifted(system, matrix, factor, stiffest, 0.0);
    let (stiffness, mode) = super::stability::softest(system, factor, matrix);
    let largest = mode.iter().enumerate().fold((0.0, 0), |m, (v, d)| if d.abs() > m.0 { (d.abs(), v) } else { m });
    if stiffness > -1e-9 * stiffest {
        return Err(RigError::Loose { point: name(system, point_of(system, largest.1)), stiffness });
    }
    let _ = shift;
    let by: Vec<f64> = mode.iter().map(|d| d / largest.0 * 1e-3 * size).collect();
    let part = longest_step(system, &state.x, &by, size);
    for (x, d) in state.x.iter_mut().zip(&by) {
        *x += part * d;
    }
    system.evaluate(state)
}

/// Names what makes an equilibrium impossible, as far as it can be told.
fn why_not(system: &System<'_>, state: &State, size: f64, residual: f64, worst: usize, iterations: u32) -> RigError {
    for (r, rope) in system.rig.ropes.iter().enumerate() {
        let run = &system.runs[r];
        for k in 0..rope.parts() {
            let part = &state.parts[run.parts as usize + k];
            let (a, b) = (rope.nodes[k] as usize, rope.nodes[k + 1] as usize);
            let chord = math::sqrt((state.at[b] - state.at[a]).norm_squared());
            if rope.turns.is_empty() || chord > 1e-6 * size && part.length_m > 1e-6 * size {
                continue;
            }
            let inner = |node: usize| node > 0 && node < rope.parts();
            let (moves, meets) = if inner(k) && system.seats[a].count > 0 { (a, b) } else { (b, a) };
            if chord <= 1e-6 * size {
                return RigError::RunsTo {
                    point: name(system, moves),
                    meets: name(system, meets),
                    rope: rope.name.clone(),
                };
            }
            let over = if inner(k) { a } else { b };
            return RigError::RunsOut { rope: rope.name.clone(), point: name(system, over) };
        }
    }
    RigError::Unsolved { point: name(system, point_of(system, worst)), residual, iterations }
}

/// Refuses strains that no rope takes.
pub(super) fn check_strains(system: &System<'_>, state: &State) -> Result<(), RigError> {
    for (r, rope) in system.rig.ropes.iter().enumerate() {
        let first = system.runs[r].parts as usize;
        for part in &state.parts[first..first + rope.parts()] {
            let strain = part.first.strain.max(part.last.strain);
            if strain > MOST_STRAIN {
                return Err(RigError::Overstretched { rope: rope.name.clone(), strain, limit: MOST_STRAIN });
            }
        }
    }
    Ok(())
}
