//! The least energy of a rig without friction, by Newton's method with a line search on the slope of the energy.
//!
//! Where the energy isn't convex (heavy ropes over sheaves) it goes downhill to a stable equilibrium, and never stops at
//! an unstable one: the pivots of the factorised stiffness are all positive at what is returned.
#![allow(clippy::indexing_slicing, reason = "every index was made together with the array it goes into")]

use super::refusal::{gone, shortest_share, why_not};
use super::stability;
use super::step::{advance, largest, longest_step, slope};
use crate::rig::equations::balance::{
    Equilibrium, allowed, fastened, hold_fast, name, point_of, pressed_into, size_m, steady, worst,
};
use crate::rig::equations::sparse::{Factor, SparseMatrix};
use crate::rig::equations::{self, Equations, Mode, RigState};
use crate::rig::error::RigError;
use crate::rig::options::Options;
use alloc::vec::Vec;

/// Room for one step.
#[derive(Debug, Clone, Default)]
pub(crate) struct Room {
    loose: Vec<(usize, f64)>,
    pull: Vec<f64>,
    pub(crate) ordered: Vec<f64>,
    product: Vec<f64>,
}

/// Newton's step, by which nothing goes below the ground: what would is put on it, what would be pulled down by
/// the ground is released, until neither happens.
///
/// `held` says where to begin, and in the end what lies on the ground after the step.
#[allow(clippy::too_many_arguments, reason = "the state of one minimisation, at one of its steps")]
pub(crate) fn direction(
    system: &Equations<'_>,
    state: &RigState,
    matrix: &mut SparseMatrix,
    factor: &mut Factor,
    shift: f64,
    held: &mut Vec<bool>,
    step: &mut Vec<f64>,
    Room { loose, pull, ordered, product }: &mut Room,
) -> bool {
    if system.budget.is_some_and(|budget| !budget.spend()) {
        return false;
    }
    for round in 0.. {
        step.clear();
        step.extend(state.unbalanced.iter().map(|f| -f));
        loose.clear();
        for (v, _) in held.iter().enumerate().filter(|(_, held)| **held) {
            let diagonal = matrix.diagonal_mut(&system.pattern, v);
            loose.push((v, *diagonal));
            *diagonal = fastened(*diagonal);
            // Down to the ground, exactly.
            step[v] = -state.x[v] * (*diagonal + shift);
        }
        let factored = factor.factor(&system.pattern, matrix, shift, Options::DEFAULT.least_pivot).is_ok();
        if factored {
            factor.solve_in(&system.pattern, step, ordered);
        }
        for &(v, diagonal) in loose.iter() {
            step[v] = -state.x[v];
            *matrix.diagonal_mut(&system.pattern, v) = diagonal;
        }
        if !factored {
            return false;
        }
        let grounded = || system.seats.iter().filter(|seat| seat.grounded).map(|seat| seat.first as usize);
        if round == Options::DEFAULT.ground_rounds || grounded().next().is_none() {
            // Whatever still goes below stops at the ground: the next step sees it there.
            for v in grounded() {
                step[v] = step[v].max(-state.x[v]);
            }
            return true;
        }
        held.resize(system.variables(), false);
        if !loose.is_empty() {
            matrix.times_in(&system.pattern, step, pull, [&mut *ordered, &mut *product]);
        }
        let mut changed = false;
        for v in grounded() {
            if held[v] {
                // What the ground would have to push with.
                if state.unbalanced[v] + pull[v] < 0.0 {
                    held[v] = false;
                    changed = true;
                }
            } else if state.x[v] + step[v] < 0.0 {
                held[v] = true;
                changed = true;
            }
        }
        if !changed {
            return true;
        }
    }
    true
}

/// How long a way down may be looked for.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Effort {
    most_steps: u32,
    searches: u32,
}

impl Effort {
    /// To an equilibrium.
    pub(crate) fn full(most_steps: u32) -> Self {
        Self { most_steps, searches: Options::DEFAULT.searches }
    }

    /// To a place from where it is worth while to go on.
    pub(crate) fn scout(most_steps: u32) -> Self {
        Self { most_steps, searches: Options::DEFAULT.few_searches }
    }
}

/// The equilibrium that the start leads to by Newton's steps.
///
/// What steps it takes are added to `spent`, whatever comes of them.
pub(crate) fn minimise(
    system: &Equations<'_>,
    start: Vec<f64>,
    Effort { most_steps, searches }: Effort,
    spent: &mut u32,
) -> Result<Equilibrium, RigError> {
    debug_assert!(system.mode != Mode::Moving);
    if let Some(budget) = system.budget.filter(|budget| budget.refused()) {
        return Err(budget.spent());
    }
    let mut state = RigState { x: start, ..RigState::default() };
    system.evaluate(&mut state)?;
    let size = size_m(system, &state.at);
    let mut trial = RigState::default();
    let mut best = RigState::default();
    let mut matrix = equations::matrix_for(system);
    let mut factor = Factor::new(&system.pattern, true);
    let mut local = Vec::new();
    let mut step = Vec::new();
    let (mut held, mut room) = (Vec::new(), Room::default());
    let mut iterations = 0;
    let mut best_residual = f64::INFINITY;
    let mut shift = 0.0_f64;
    let mut used_up = 0;
    loop {
        let (residual, at) = worst(system, &state);
        system.assemble(&state, &mut matrix, &mut local);
        let stiffest = steady(system, &state, &mut matrix, size);
        let enough = allowed(system, &state);
        pressed_into(system, &state, &mut held);
        let stable =
            direction(system, &state, &mut matrix, &mut factor, 0.0, &mut held, &mut step, &mut room);
        let stuck = residual >= 0.5 * best_residual;
        if residual <= Options::DEFAULT.fine * state.scale_n || stuck {
            if stuck && residual > best_residual {
                core::mem::swap(&mut state, &mut best);
            } else if stable && !system.has_ground() {
                // The factors at hand are those of this state.
                return Ok(Equilibrium { state, factor, iterations });
            }
            if let Some(found) = certain(system, &state, iterations, size) {
                return Ok(found);
            }
        }
        if iterations == most_steps {
            return Err(why_not(system, &state, size, residual, at, iterations));
        }
        iterations += 1;
        *spent += 1;
        if residual <= enough && stable {
            if residual < best_residual {
                best_residual = residual;
                best.clone_from(&state);
            }
            // The slope of the energy is lost in its rounding; the step itself isn't.
            advance(system, &state.x, &step, 1.0, &mut trial)?;
            core::mem::swap(&mut state, &mut trial);
            continue;
        }
        best_residual = f64::INFINITY;
        used_up = if shortest_share(system, &state) < Options::DEFAULT.used_up { used_up + 1 } else { 0 };
        if used_up > Options::DEFAULT.steps_used_up {
            return Err(why_not(system, &state, size, residual, at, iterations));
        }
        let leaving = !stable
            && residual <= Options::DEFAULT.near_saddle * state.scale_n
            && downhill(system, &state, &matrix, &mut factor, stiffest, size, residual <= enough, &mut step)?;
        if leaving && search(system, &state, &step, size, searches, &mut trial)? > 0.0 {
            core::mem::swap(&mut state, &mut trial);
            continue;
        }
        if stable {
            shift = 0.0;
        } else {
            shift = (0.125 * shift).max(1e-6 * stiffest);
            pressed_into(system, &state, &mut held);
            while !(direction(
                system,
                &state,
                &mut matrix,
                &mut factor,
                shift,
                &mut held,
                &mut step,
                &mut room,
            ) && slope(&step, &state) < 0.0)
            {
                shift *= 8.0;
                pressed_into(system, &state, &mut held);
                if !(shift < 1e9 * stiffest) {
                    return Err(why_not(system, &state, size, residual, at, iterations));
                }
            }
        }
        let reach = size_m(system, &state.at);
        let part = search(system, &state, &step, reach, searches, &mut trial)?;
        core::mem::swap(&mut state, &mut trial);
        if let Some(error) = gone(system, &state, size) {
            return Err(error);
        }
        if step.iter().all(|d| (part * d).abs() <= 1e-15 * size) {
            let (residual, at) = worst(system, &state);
            if residual > allowed(system, &state) {
                return Err(why_not(system, &state, size, residual, at, iterations));
            }
        }
    }
}

/// The equilibrium at a state in balance, if it is stable.
fn certain(system: &Equations<'_>, state: &RigState, iterations: u32, size: f64) -> Option<Equilibrium> {
    let mut matrix = equations::matrix_for(system);
    system.assemble(state, &mut matrix, &mut Vec::new());
    steady(system, state, &mut matrix, size);
    hold_fast(system, state, &mut matrix);
    let mut factor = Factor::new(&system.pattern, true);
    factor.factor(&system.pattern, &matrix, 0.0, Options::DEFAULT.least_pivot).ok()?;
    Some(Equilibrium { state: state.clone(), factor, iterations })
}

/// Factors the stiffness with enough added to its diagonal to make it positive, and says how much.
fn shifted(system: &Equations<'_>, matrix: &SparseMatrix, factor: &mut Factor, stiffest: f64) -> f64 {
    let mut shift = Options::DEFAULT.stiffness_rounding * stiffest;
    while factor.factor(&system.pattern, matrix, shift, Options::DEFAULT.least_pivot).is_err()
        && shift < 1e6 * stiffest
    {
        shift *= 8.0;
    }
    shift
}

/// Goes along the step to where the energy stops falling; leaves the state there in `trial`.
fn search(
    system: &Equations<'_>,
    state: &RigState,
    step: &[f64],
    size: f64,
    most_tries: u32,
    trial: &mut RigState,
) -> Result<f64, RigError> {
    let slope = slope(step, state);
    let (mut lo, mut slope_lo) = (0.0, slope);
    let (mut hi, mut slope_hi) = (f64::INFINITY, f64::NAN);
    let mut part = longest_step(system, &state.x, step, size);
    for number in 1..=most_tries {
        let here = advance(system, &state.x, step, part, trial);
        let here = match here {
            Ok(value) if value.is_finite() => value,
            _ => f64::INFINITY,
        };
        if here <= 0.0 && hi == f64::INFINITY
            || here.abs() <= Options::DEFAULT.slope_left * slope_lo.abs().max(slope.abs())
        {
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
        let secant = if slope_hi.is_finite() && !number.is_multiple_of(Options::DEFAULT.halve) {
            lo - slope_lo * width / (slope_hi - slope_lo)
        } else {
            lo + 0.5 * width
        };
        part = secant.clamp(lo + 0.1 * width, hi - 0.1 * width);
    }
    // The slope jumps here: stay on the side where the energy still fell.
    advance(system, &state.x, step, lo, trial)?;
    Ok(lo)
}

/// A step down along the softest mode, where that is unstable: whether there is one.
///
/// Near an equilibrium that isn't stable the forces say little and Newton's steps lead back to it.
#[allow(clippy::too_many_arguments, reason = "the state of one minimisation, at one of its steps")]
fn downhill(
    system: &Equations<'_>,
    state: &RigState,
    matrix: &SparseMatrix,
    factor: &mut Factor,
    stiffest: f64,
    size: f64,
    balanced: bool,
    step: &mut Vec<f64>,
) -> Result<bool, RigError> {
    let mut matrix = matrix.clone();
    hold_fast(system, state, &mut matrix);
    let shift = shifted(system, &matrix, factor, stiffest);
    let (stiffness, mode) = stability::softest(system, factor, shift);
    let largest = largest(&mode);
    if !(stiffness <= -Options::DEFAULT.stiffness_rounding * stiffest) {
        return if balanced && stiffness <= Options::DEFAULT.stiffness_rounding * stiffest {
            Err(RigError::Loose { point: name(system, point_of(system, largest.1)), stiffness })
        } else {
            Ok(false)
        };
    }
    let scale = if slope(&mode, state) > 0.0 { -Options::DEFAULT.leave } else { Options::DEFAULT.leave }
        * size
        / largest.0;
    step.clear();
    step.extend(mode.iter().map(|d| d * scale));
    // Nothing goes below the ground, nor along it by what the ground holds.
    for seat in system.seats.iter().filter(|seat| seat.grounded) {
        let v = seat.first as usize;
        step[v] = step[v].max(-state.x[v]);
    }
    Ok(true)
}

/// The least stiffness of an equilibrium, and the variable that moves most in its mode.
pub(crate) fn least_stiffness(system: &Equations<'_>, found: &Equilibrium) -> (f64, usize) {
    least_stiffness_in(system, found, &mut Default::default(), &mut Vec::new())
}

/// The same in room that is kept.
pub(crate) fn least_stiffness_in(
    system: &Equations<'_>,
    found: &Equilibrium,
    [mode, next]: &mut [Vec<f64>; 2],
    room: &mut Vec<f64>,
) -> (f64, usize) {
    if system.variables() == 0 {
        return (f64::INFINITY, 0);
    }
    let stiffness = stability::softest_in(system, &found.factor, 0.0, [mode, next], room);
    (stiffness, largest(mode).1)
}
