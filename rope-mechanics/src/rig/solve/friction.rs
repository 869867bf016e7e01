//! Ropes that move over turns which lose tension.
//!
//! Friction has no potential, so the equations are not the gradient of anything: at each turn of a moving rope
//! T after = ρ(θ)·T before takes the place of equal tensions, with ρ from the turn, its angle and the direction of
//! motion. The frictionless equilibrium is carried over to the full loss, in as few steps as Newton's method allows.
//! Where that ends before the full loss the rig slides ([`settle`]) from many starts until it comes to rest. What is
//! found must be stable: every eigenvalue of its stiffness has a real part above zero.
#![allow(clippy::indexing_slicing, reason = "every index was made together with the array it goes into")]

use super::settle::settle;
use super::{elsewhere, newton, refusal, search, stability, start, step};
use crate::rig::equations::balance::{self, Equilibrium, allowed, size_m, worst};
use crate::rig::equations::sparse::Factor;
use crate::rig::equations::{self, Equations, Mode, NONE, RigState, RopeForm};
use crate::rig::error::RigError;
use crate::rig::options::Options;
use alloc::vec::Vec;

/// The equilibrium with every rope moving as stated, and its least stiffness.
///
/// It is looked for from the frictionless one, then from where the rig slides to, from many starts.
pub(crate) fn moving(
    frictionless: &Equations<'_>,
    from: Result<Equilibrium, RigError>,
) -> Result<(Equations<'static>, Equilibrium, f64), RigError> {
    let mut system = Equations::new(&frictionless.rig, Mode::Moving).within(frictionless.budget);
    let mut iterations = 0;
    let (mut refusal, base) = match from {
        Ok(from) => {
            iterations = from.iterations;
            let x = carry_over(frictionless, &from.state, &system);
            match raise(&mut system, x, &mut iterations).and_then(|state| stable(&system, state, iterations))
            {
                Ok((found, stiffness)) => return Ok((system.into_owned(), found, stiffness)),
                Err(error) => (error, from.state.x),
            }
        }
        // What slides or falls without friction may be held by it.
        Err(RigError::RunsAway { point }) => {
            (RigError::RunsOn { point, friction: 0.0 }, start::guess(frictionless))
        }
        Err(error) => (error, start::guess(frictionless)),
    };
    if let RigError::RunsTo { certain, .. } = &mut refusal {
        *certain = false;
    }
    system.friction_level = 1.0;
    let plain = elsewhere::plain(&system);
    for number in 0..search::tries(&system) {
        let starts = [
            elsewhere::cut_up(&plain, &base, number, &mut iterations).ok(),
            (number < Options::DEFAULT.slide_scattered).then(|| elsewhere::scattered(&system, number)),
        ];
        for x in starts.into_iter().flatten() {
            let mut state = RigState { x, ..RigState::default() };
            if settle(&system, &mut state, &mut iterations)
                && balance(&system, &mut state, &mut iterations).is_ok()
                && let Ok((found, stiffness)) = stable(&system, state, iterations)
            {
                return Ok((system.into_owned(), found, stiffness));
            }
        }
    }
    Err(refusal)
}

/// The equilibrium of a rig with all of its friction near the variables of a state, and its least stiffness.
pub(crate) fn nearby(system: &Equations<'_>, mut state: RigState) -> Option<(Equilibrium, f64)> {
    let mut iterations = 0;
    balance(system, &mut state, &mut iterations).ok()?;
    stable(system, state, iterations).ok()
}

/// Adds the friction in stages.
fn raise(system: &mut Equations<'_>, from: Vec<f64>, iterations: &mut u32) -> Result<RigState, RigError> {
    let mut state = RigState { x: from, ..RigState::default() };
    let begin = *iterations;
    let (mut reached, mut rise) = (0.0_f64, 1.0_f64);
    while reached < 1.0 {
        let level = (reached + rise).min(1.0);
        system.friction_level = level;
        let mut next = state.clone();
        if balance(system, &mut next, iterations).is_ok() {
            (state, reached) = (next, level);
            rise *= 2.0;
        } else {
            rise *= 0.25;
            if rise < Options::DEFAULT.least_rise || *iterations > begin + Options::DEFAULT.rise_steps {
                system.friction_level = reached;
                return Err(no_further(system, &mut state, reached));
            }
        }
    }
    Ok(state)
}

/// The equilibrium at a state in balance and its least stiffness, if it is stable and no rope is stretched too far.
fn stable(system: &Equations<'_>, state: RigState, iterations: u32) -> Result<(Equilibrium, f64), RigError> {
    refusal::check_strains(system, &state)?;
    let mut matrix = equations::matrix_for(system);
    system.assemble(&state, &mut matrix, &mut Vec::new());
    let size = size_m(system, &state.at);
    balance::steady(system, &state, &mut matrix, size);
    balance::hold_fast(system, &state, &mut matrix);
    let mut factor = Factor::new(&system.pattern, false);
    let (_, at) = worst(system, &state);
    let factored = factor.factor(&system.pattern, &matrix, 0.0, Options::DEFAULT.least_pivot).is_ok();
    let stiffness = if factored { stability::least_real_part(system, &factor) } else { Some(0.0) };
    match stiffness {
        Some(stiffness) if stiffness > balance::least_felt(system, &state) => {
            Ok((Equilibrium { state, factor, iterations }, stiffness))
        }
        stiffness => {
            let point = balance::name(system, balance::point_of(system, at));
            Err(RigError::Unstable { point, stiffness: stiffness.unwrap_or(f64::NAN) })
        }
    }
}

/// Why the friction can't be raised beyond the level reached.
fn no_further(system: &Equations<'_>, state: &mut RigState, reached: f64) -> RigError {
    // Its forces are those of the level it stands at; its places and lengths are what counts here.
    if let Err(error) = system.evaluate(state) {
        return error;
    }
    for (r, rope) in system.rig.ropes.iter().enumerate() {
        let parts = &state.parts[system.runs[r].parts as usize..][..rope.parts()];
        let total: f64 = parts.iter().map(|p| p.length_m).sum();
        let shortest = (0..parts.len()).min_by(|&a, &b| parts[a].length_m.total_cmp(&parts[b].length_m));
        if let Some(k) = shortest
            && refusal::runs(rope)
            && parts[k].length_m < Options::DEFAULT.slide_used_up * total
            && !system.stays(rope, k)
        {
            return refusal::runs_to(system, r, k, false);
        }
    }
    let (_, at) = worst(system, state);
    RigError::RunsOn { point: balance::name(system, balance::point_of(system, at)), friction: reached }
}

/// The variables of one system in another of the same rig.
fn carry_over(from: &Equations<'_>, state: &RigState, to: &Equations<'_>) -> Vec<f64> {
    let mut x = equations::zeros(to.variables());
    x[..to.coordinates].copy_from_slice(&state.x[..from.coordinates]);
    for (r, rope) in to.rig.ropes.iter().enumerate() {
        if to.runs[r].form != RopeForm::Shared {
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

/// No equilibrium at this level.
struct Lost;

/// How far all forces together are out of balance, each by what may be left.
fn misfit(system: &Equations<'_>, state: &RigState) -> f64 {
    let pressed = balance::pressed(system, state);
    let counts = |v: usize| !pressed.get(v).is_some_and(|&p| p);
    let free = state.unbalanced.iter().enumerate().filter(|(v, _)| counts(*v));
    crate::math::sqrt(free.map(|(_, f)| f * f).sum())
}

/// Newton's method at one level of friction, with steps cut until things get better, or no better is possible.
fn balance(system: &Equations<'_>, state: &mut RigState, iterations: &mut u32) -> Result<(), Lost> {
    system.evaluate(state).map_err(|_| Lost)?;
    let size = size_m(system, &state.at);
    let mut matrix = equations::matrix_for(system);
    let mut factor = Factor::new(&system.pattern, false);
    let mut local = Vec::new();
    let mut trial = RigState::default();
    let mut step = Vec::new();
    let (mut held, mut room) = (Vec::new(), newton::Room::default());
    for _ in 0..Options::DEFAULT.level_steps {
        let residual = misfit(system, state);
        system.assemble(state, &mut matrix, &mut local);
        balance::steady(system, state, &mut matrix, size);
        let enough = worst(system, state).0 <= allowed(system, state);
        balance::pressed_into(system, state, &mut held);
        if !newton::direction(system, state, &mut matrix, &mut factor, 0.0, &mut held, &mut step, &mut room) {
            return Err(Lost);
        }
        let mut part = step::longest_step(system, &state.x, &step, size);
        loop {
            let fits = step::advance(system, &state.x, &step, part, &mut trial).is_ok();
            if fits && misfit(system, &trial) < (1.0 - 0.1 * part) * residual {
                core::mem::swap(state, &mut trial);
                *iterations += 1;
                break;
            }
            if enough {
                return Ok(());
            }
            part *= 0.5;
            if part < 1e-4 {
                return Err(Lost);
            }
        }
    }
    if worst(system, state).0 <= allowed(system, state) { Ok(()) } else { Err(Lost) }
}
