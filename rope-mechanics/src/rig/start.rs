//! Where the search for an equilibrium starts.
#![allow(clippy::indexing_slicing, reason = "every index was made together with the array it goes into")]

use super::error::RigError;
use super::model::{End, Hold, Rig, Supplied};
use super::newton::{LEAST_PIVOT, size_m};
use super::sparse::Factor;
use super::system::{self, Form, NONE, System};
use crate::math;
use alloc::vec::Vec;
use nalgebra::Vector3;

/// Refuses a point that no rope ties to anything that stays where it is.
pub(super) fn check_tied(rig: &Rig) -> Result<(), RigError> {
    // Each point leads to another of its group, the last one to itself.
    let mut group: Vec<u32> = (0..rig.points.len() as u32).collect();
    fn root(group: &mut [u32], mut p: u32) -> u32 {
        while group[p as usize] != p {
            group[p as usize] = group[group[p as usize] as usize];
            p = group[p as usize];
        }
        p
    }
    for rope in &rig.ropes {
        for pair in rope.nodes.windows(2) {
            let (a, b) = (root(&mut group, pair[0]), root(&mut group, pair[1]));
            group[a as usize] = b;
        }
    }
    let mut tied = system::zeros(rig.points.len());
    for (p, point) in rig.points.iter().enumerate() {
        if matches!(point.hold, Hold::Fixed) {
            tied[root(&mut group, p as u32) as usize] = 1.0;
        }
    }
    for (p, point) in rig.points.iter().enumerate() {
        if point.hold != Hold::Fixed && tied[root(&mut group, p as u32) as usize] == 0.0 {
            return Err(RigError::HangsInNothing { point: point.name.clone() });
        }
    }
    for rope in &rig.ropes {
        for pair in rope.nodes.windows(2) {
            let (a, b) = (&rig.points[pair[0] as usize], &rig.points[pair[1] as usize]);
            if a.hold == Hold::Fixed && b.hold == Hold::Fixed && a.at == b.at && rope.weight_n_per_m == 0.0 {
                return Err(RigError::NoSpan {
                    rope: rope.name.clone(),
                    from: a.name.clone(),
                    to: b.name.clone(),
                });
            }
        }
    }
    Ok(())
}

/// A first guess: the shape of a net of equal springs under the rig's loads, sunk until the ropes are as long as
/// they are; then the points that the user gave a start.
pub(super) fn guess(system: &System<'_>) -> Vec<f64> {
    let rig = &system.rig;
    let n = system.variables();
    let mut x = system::zeros(n);
    let asked = rig.points.iter().zip(&system.seats).any(|(p, seat)| seat.count > 0 && !p.has_start);
    let mut at = Vec::new();
    if asked {
        net(system, &mut x, &mut at);
    }
    for (point, seat) in rig.points.iter().zip(&system.seats) {
        if point.has_start {
            for k in 0..usize::from(seat.count) {
                x[seat.first as usize + k] = seat.basis[k].dot(&(point.at - seat.origin));
            }
        }
        if seat.grounded {
            let v = &mut x[seat.first as usize];
            *v = v.max(0.0);
        }
    }
    system.positions(&x, &mut at);
    share(system, &at, &mut x);
    x
}

fn net(system: &System<'_>, x: &mut [f64], at: &mut Vec<Vector3<f64>>) {
    let rig = &system.rig;
    let mut matrix = super::sparse::Matrix::symmetric(&system.pattern);
    let mut local = Vec::new();
    system.assemble_net(&mut matrix, &mut local);
    let mut factor = Factor::new(&system.pattern, true);
    if factor.factor(&system.pattern, &matrix, 0.0, LEAST_PIVOT).is_err() {
        // Some point is tied only to others that slide: any place will do.
        if factor.factor(&system.pattern, &matrix, 1e-3, 0.0).is_err() {
            return;
        }
    }
    system.positions(x, at);
    let mut pull = system::zeros(system.variables());
    let mut load = system::zeros(system.variables());
    let mut total_load = 0.0_f64;
    for rope in &rig.ropes {
        for pair in rope.nodes.windows(2) {
            let (a, b) = (pair[0] as usize, pair[1] as usize);
            let chord = at[b] - at[a];
            system::spread(&system.seats[a], &chord, &mut pull);
            system::spread(&system.seats[b], &-chord, &mut pull);
        }
        if let (Supplied::Length(length), true) = (rope.supply, rope.weight_n_per_m > 0.0) {
            let half = Vector3::new(0.0, 0.0, -0.5 * rope.weight_n_per_m * length / rope.parts() as f64);
            for pair in rope.nodes.windows(2) {
                system::spread(&system.seats[pair[0] as usize], &half, &mut load);
                system::spread(&system.seats[pair[1] as usize], &half, &mut load);
            }
        }
    }
    for (seat, point) in system.seats.iter().zip(&rig.points) {
        system::spread(seat, &point.load_n, &mut load);
    }
    for f in &load {
        total_load = total_load.max(f.abs());
    }
    let mut sink = load.clone();
    factor.solve(&system.pattern, &mut pull);
    factor.solve(&system.pattern, &mut sink);
    let deepest = sink[..system.coordinates].iter().fold(0.0_f64, |m, d| m.max(d.abs()));
    system.positions(&pull, at);
    if deepest == 0.0 {
        x.copy_from_slice(&pull);
        return;
    }
    let size = size_m(system, at);
    // The slope of the energy of straight ropes along the way down, which rises.
    let flat = at.clone();
    let zero = system::zeros(system.variables());
    let mut origin = Vec::new();
    system.positions(&zero, &mut origin);
    let mut down = Vec::new();
    system.positions(&sink, &mut down);
    for (d, o) in down.iter_mut().zip(&origin) {
        *d -= *o;
    }
    let fall: f64 = load.iter().zip(&sink).map(|(f, d)| f * d).sum();
    let rising = |by: f64| {
        let mut slope = -fall;
        for rope in &rig.ropes {
            let (mut sum, mut growth) = (0.0, 0.0);
            for pair in rope.nodes.windows(2) {
                let (a, b) = (pair[0] as usize, pair[1] as usize);
                let d = down[b] - down[a];
                let chord = flat[b] - flat[a] + d * by;
                let distance = math::sqrt(chord.norm_squared());
                sum += distance;
                if distance > 0.0 {
                    growth += chord.dot(&d) / distance;
                }
            }
            let tension = match rope.supply {
                Supplied::Length(length) => rope.stretch.tension_at(((sum - length) / length).max(0.0)),
                Supplied::Tension(_, tension) => tension,
            };
            slope += tension * growth;
        }
        slope > 0.0
    };
    let (mut lo, mut hi) = (0.0, size / deepest);
    if !rising(hi) {
        lo = hi;
    }
    for _ in 0..12 {
        let middle = 0.5 * (lo + hi);
        if rising(middle) {
            hi = middle;
        } else {
            lo = middle;
        }
    }
    for (v, x) in x.iter_mut().enumerate() {
        *x = pull[v] + hi * sink[v];
    }
}

/// The length of each shared rope, divided as its chords are.
pub(super) fn share(system: &System<'_>, at: &[Vector3<f64>], x: &mut [f64]) {
    for (r, rope) in system.rig.ropes.iter().enumerate() {
        if system.runs[r].form != Form::Shared {
            continue;
        }
        let chord = |k: usize| {
            let d = at[rope.nodes[k + 1] as usize] - at[rope.nodes[k] as usize];
            math::sqrt(d.norm_squared())
        };
        let sum: f64 = (0..rope.parts()).map(chord).sum();
        let floor = 1e-3 * sum / rope.parts() as f64 + f64::MIN_POSITIVE;
        let sum: f64 = (0..rope.parts()).map(|k| chord(k).max(floor)).sum();
        let (total, mut reached) = match rope.supply {
            Supplied::Length(total) => (total, 0.0),
            Supplied::Tension(end, tension) => {
                let total = sum / (1.0 + rope.stretch.strain_at(tension));
                (total, if end == End::First { -total } else { 0.0 })
            }
        };
        for node in 0..=rope.parts() {
            let knot = system.knot(r, node);
            if knot != NONE {
                x[knot as usize] = reached;
            }
            if node < rope.parts() {
                reached += total * (chord(node).max(floor) / sum);
            }
        }
    }
}
