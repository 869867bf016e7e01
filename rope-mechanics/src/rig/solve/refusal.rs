//! Why there is no equilibrium, judged from a state that the search came to: what has run where, or what is stretched.
#![allow(clippy::indexing_slicing, reason = "every index was made together with the array it goes into")]

use super::start;
use super::step::{advance, largest};
use crate::math;
use crate::rig::equations::balance::{name, point_of};
use crate::rig::equations::{self, Equations, RigState, RopeForm, Seat};
use crate::rig::error::RigError;
use crate::rig::model::{RopeData, RopeEnd, Supplied};
use crate::rig::options::Options;
use nalgebra::Vector3;

/// Names what makes an equilibrium impossible, as far as it can be told.
pub(crate) fn why_not(
    system: &Equations<'_>,
    state: &RigState,
    size: f64,
    residual: f64,
    worst: usize,
    iterations: u32,
) -> RigError {
    for (r, rope) in system.rig.ropes.iter().enumerate().filter(|(_, rope)| runs(rope)) {
        let run = &system.runs[r];
        for k in 0..rope.parts() {
            let part = &state.parts[run.parts as usize + k];
            let (a, b) = (rope.nodes[k] as usize, rope.nodes[k + 1] as usize);
            let at_one_place = rope.chord_m(k, &state.at) <= Options::DEFAULT.used_up * size;
            if at_one_place && !system.stays(rope, k) {
                return runs_to(system, r, k, false);
            }
            if part.length_m <= Options::DEFAULT.used_up * size {
                // A heavy rope might have hung there as a bight.
                if at_one_place {
                    let (from, to) = (name(system, a), name(system, b));
                    return RigError::NoSpan { rope: rope.name.clone(), from, to };
                }
                let over = if k > 0 { a } else { b };
                return runs_out(system, r, over);
            }
        }
    }
    lets_out(system, state, size)
        .or_else(|| overstretched(system, state))
        .or_else(|| runs_away(system, state, size))
        .unwrap_or_else(|| RigError::Unsolved {
            point: name(system, point_of(system, worst)),
            residual,
            iterations,
        })
}

/// The rope that is stretched most, if that is more than any rope takes.
pub(crate) fn overstretched(system: &Equations<'_>, state: &RigState) -> Option<RigError> {
    let mut most = (Options::DEFAULT.most_strain, None);
    for (rope, run) in system.rig.ropes.iter().zip(&system.runs) {
        for part in &state.parts[run.parts as usize..][..rope.parts()] {
            let strain = part.first.strain.max(part.last.strain);
            if strain > most.0 {
                most = (strain, Some(rope));
            }
        }
    }
    let (strain, rope) = most;
    rope.map(|rope| RigError::Overstretched {
        rope: rope.name.clone(),
        strain,
        limit: Options::DEFAULT.most_strain,
    })
}

/// Refuses strains that no rope takes.
pub(crate) fn check_strains(system: &Equations<'_>, state: &RigState) -> Result<(), RigError> {
    overstretched(system, state).map_or(Ok(()), Err)
}

/// Whether a rope can run through until there is nothing left of a part of it.
pub(crate) fn runs(rope: &RopeData) -> bool {
    !rope.turns.is_empty() || matches!(rope.supply, Supplied::Tension(..))
}

fn moves(system: &Equations<'_>, point: u32) -> bool {
    system.seats[point as usize].count > 0
}

/// The shortest part of all ropes that run, of those that can change: its chord, rope and number.
pub(crate) fn nearest(system: &Equations<'_>, at: &[Vector3<f64>]) -> Option<(f64, usize, usize)> {
    let mut nearest: Option<(f64, usize, usize)> = None;
    for (r, rope) in system.rig.ropes.iter().enumerate().filter(|(_, rope)| runs(rope)) {
        for k in 0..rope.parts() {
            if system.stays(rope, k) {
                continue;
            }
            let gap = rope.chord_m(k, at);
            if nearest.is_none_or(|(least, ..)| gap < least) {
                nearest = Some((gap, r, k));
            }
        }
    }
    nearest
}

/// The least share of its rope that a part of a shared rope has.
pub(crate) fn shortest_share(system: &Equations<'_>, state: &RigState) -> f64 {
    let mut least = f64::INFINITY;
    for (rope, run) in system.rig.ropes.iter().zip(&system.runs) {
        if run.form == RopeForm::Shared {
            let parts = &state.parts[run.parts as usize..][..rope.parts()];
            let total: f64 = parts.iter().map(|p| p.length_m).sum();
            least = parts.iter().fold(least, |l, p| l.min(p.length_m / total));
        }
    }
    least
}

/// Part `k` of a rope has no length left: which of its ends has run to the other.
pub(crate) fn runs_to(system: &Equations<'_>, rope: usize, k: usize, certain: bool) -> RigError {
    let data = &system.rig.ropes[rope];
    let (a, b) = (data.nodes[k], data.nodes[k + 1]);
    // The one that moves; of two that do, the sheave.
    let first = moves(system, a) && (k > 0 || !moves(system, b));
    let (moves, meets) = if first { (a, b) } else { (b, a) };
    RigError::RunsTo {
        point: name(system, moves as usize),
        meets: name(system, meets as usize),
        rope: data.name.clone(),
        certain,
    }
}

fn runs_out(system: &Equations<'_>, rope: usize, over: usize) -> RigError {
    RigError::RunsOut { rope: system.rig.ropes[rope].name.clone(), point: name(system, over) }
}

/// A heavy rope let out without end by a set tension that is less than its own weight asks for.
fn lets_out(system: &Equations<'_>, state: &RigState, size: f64) -> Option<RigError> {
    for (r, (rope, run)) in system.rig.ropes.iter().zip(&system.runs).enumerate() {
        let Supplied::Tension(end, tension) = rope.supply else { continue };
        let parts = &state.parts[run.parts as usize..][..rope.parts()];
        let length: f64 = parts.iter().map(|p| p.length_m).sum();
        // A part hangs in two legs at most, each no deeper than T/w; T grows by w with each metre of height.
        let most = 4.0 * rope.parts() as f64 * (tension / rope.weight_n_per_m + size);
        if rope.weight_n_per_m > 0.0 && !(length < most) {
            let at = if end == RopeEnd::First { rope.nodes[0] } else { rope.nodes[rope.parts()] };
            return Some(runs_out(system, r, at as usize));
        }
    }
    None
}

/// A point of a rig with a convex energy that leaves it for good: where the energy still falls along a straight way
/// at a million times the size of the rig, by more than rounding, there is no least value short of that.
fn runs_away(system: &Equations<'_>, state: &RigState, size: f64) -> Option<RigError> {
    if !system.is_convex() {
        return None;
    }
    let falls = |way: &[f64]| {
        let (most, _) = largest(way);
        let length = math::sqrt(way.iter().map(|d| d * d).sum());
        let mut trial = RigState::default();
        most > 0.0
            && advance(system, &state.x, way, Options::DEFAULT.far * size / most, &mut trial)
                .is_ok_and(|slope| slope < -Options::DEFAULT.force_rounding * trial.scale_n * length)
    };
    let mut way = equations::zeros(system.variables());
    // Points that nothing but set tensions holds, tied together or alone, by their load.
    for group in start::untied(&system.rig, |rope| matches!(rope.supply, Supplied::Length(_))) {
        let mut load: Vector3<f64> = group.iter().map(|&p| system.loads_n[p]).sum();
        // All go together where planes, lines and the ground let them.
        for seat in group.iter().map(|&p| &system.seats[p]) {
            let along = |k: usize| {
                let part = seat.basis[k].dot(&load);
                seat.basis[k] * if seat.grounded && k == 0 { part.max(0.0) } else { part }
            };
            load = (0..usize::from(seat.count)).map(along).sum();
        }
        way.fill(0.0);
        for &p in &group {
            equations::spread(&system.seats[p], &load, &mut way);
        }
        let size = |p: &usize| equations::largest(&system.loads_n[*p]);
        if falls(&way)
            && let Some(point) = group.into_iter().max_by(|a, b| size(a).total_cmp(&size(b)))
        {
            return Some(RigError::RunsAway { point: name(system, point) });
        }
    }
    // All together that are far away already.
    let (most, farthest) = largest(&state.x[..system.coordinates]);
    let far = |&x: &f64| if x.abs() > 0.5 * most { x } else { 0.0 };
    way.fill(0.0);
    way[..system.coordinates].iter_mut().zip(&state.x).for_each(|(way, x)| *way = far(x));
    falls(&way).then(|| RigError::RunsAway { point: name(system, point_of(system, farthest)) })
}

/// A point that has left the rig for good, or a rope that has run out without end.
pub(crate) fn gone(system: &Equations<'_>, state: &RigState, size: f64) -> Option<RigError> {
    let told = system.rig.points.iter().filter(|p| p.has_start);
    let known = told.fold(0.0_f64, |m, p| m.max(equations::largest(&(p.at - system.origin))));
    let far = 1e4 * (size + known);
    for (r, rope) in system.rig.ropes.iter().enumerate() {
        let parts = &state.parts[system.runs[r].parts as usize..][..rope.parts()];
        if let (Supplied::Tension(end, _), RopeForm::Shared) = (rope.supply, system.runs[r].form)
            && parts.iter().map(|p| p.length_m).sum::<f64>() > far
        {
            let node = if end == RopeEnd::First { 0 } else { rope.parts() };
            return Some(runs_out(system, r, rope.nodes[node] as usize));
        }
    }
    let away = |(seat, r): (&Seat, &Vector3<f64>)| seat.count > 0 && equations::largest(r) > far;
    let point = system.seats.iter().zip(&state.at).position(away)?;
    // What hangs in a rope of given length comes to rest far away, and the rope is refused then.
    if overstretched(system, state).is_some() {
        return None;
    }
    Some(RigError::RunsAway { point: name(system, point) })
}
