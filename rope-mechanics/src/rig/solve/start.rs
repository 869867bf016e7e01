//! Where the search for an equilibrium starts.
#![allow(clippy::indexing_slicing, reason = "every index was made together with the array it goes into")]

use crate::math;
use crate::rig::equations::balance::size_m;
use crate::rig::equations::sparse::Factor;
use crate::rig::equations::{self, Equations, NONE, RopeForm, Seat};
use crate::rig::error::RigError;
use crate::rig::model::{Hold, Rig, RopeData, RopeEnd, Supplied};
use crate::rig::options::Options;
use alloc::vec::Vec;
use nalgebra::Vector3;

/// The points that no such rope ties to anything that stays where it is, in groups that are tied together.
pub(crate) fn untied(rig: &Rig, ties: impl Fn(&RopeData) -> bool) -> Vec<Vec<usize>> {
    // Each point leads to another of its group, the last one to itself.
    let mut group: Vec<u32> = (0..rig.points.len() as u32).collect();
    fn root(group: &mut [u32], mut p: u32) -> u32 {
        while group[p as usize] != p {
            group[p as usize] = group[group[p as usize] as usize];
            p = group[p as usize];
        }
        p
    }
    for rope in rig.ropes.iter().filter(|rope| ties(rope)) {
        for pair in rope.nodes.windows(2) {
            let (a, b) = (root(&mut group, pair[0]), root(&mut group, pair[1]));
            group[a as usize] = b;
        }
    }
    let mut groups: Vec<Vec<usize>> = rig.points.iter().map(|_| Vec::new()).collect();
    for p in 0..rig.points.len() {
        groups[root(&mut group, p as u32) as usize].push(p);
    }
    groups.retain(|group| !group.is_empty() && group.iter().all(|&p| rig.points[p].hold != Hold::Fixed));
    groups
}

/// Refuses a point that no rope ties to anything that stays where it is.
pub(crate) fn check_tied(rig: &Rig) -> Result<(), RigError> {
    if let Some(&point) = untied(rig, |_| true).iter().flatten().min() {
        return Err(RigError::HangsInNothing { point: rig.points[point].name.clone() });
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
pub(crate) fn guess(system: &Equations<'_>) -> Vec<f64> {
    let rig = &system.rig;
    let n = system.variables();
    let mut x = equations::zeros(n);
    let asked = rig.points.iter().zip(&system.seats).any(|(p, seat)| seat.count > 0 && !p.has_start);
    let mut at = Vec::new();
    if asked {
        net(system, &mut x, &mut at);
    }
    for (point, seat) in rig.points.iter().zip(&system.seats) {
        if point.has_start {
            seat_at(seat, &(point.at - system.origin), &mut x);
        } else {
            lift(seat, &mut x);
        }
    }
    share_out(system, &mut x);
    x
}

/// Puts a point as near to a place as what holds it lets it come; places are measured from [`Equations::origin`].
pub(crate) fn seat_at(seat: &Seat, at: &Vector3<f64>, x: &mut [f64]) {
    for k in 0..usize::from(seat.count) {
        x[seat.first as usize + k] = seat.basis[k].dot(&(at - seat.origin));
    }
    lift(seat, x);
}

/// Lifts what would start below its ground onto it.
fn lift(seat: &Seat, x: &mut [f64]) {
    if seat.grounded {
        let height = &mut x[seat.first as usize];
        *height = height.max(0.0);
    }
}

/// Keeps the coordinates of these variables, and divides the length of each shared rope as its chords are.
pub(crate) fn share_out(system: &Equations<'_>, x: &mut Vec<f64>) {
    x.truncate(system.coordinates);
    x.resize(system.variables(), 0.0);
    let mut at = Vec::new();
    system.positions(x, &mut at);
    share(system, &at, x);
}

fn net(system: &Equations<'_>, x: &mut [f64], at: &mut Vec<Vector3<f64>>) {
    let rig = &system.rig;
    let mut matrix = crate::rig::equations::sparse::SparseMatrix::symmetric(&system.pattern);
    let mut local = Vec::new();
    let mut factor = Factor::new(&system.pattern, true);
    let mut springs: Vec<f64> = core::iter::repeat_n(1.0, system.part_count).collect();
    let mut load = equations::zeros(system.variables());
    for (seat, point) in system.seats.iter().zip(&rig.points) {
        equations::spread(seat, &point.load_n, &mut load);
    }
    for rope in &rig.ropes {
        if let (Supplied::Length(length), true) = (rope.supply, rope.weight_n_per_m > 0.0) {
            let half = Vector3::new(0.0, 0.0, -0.5 * rope.weight_n_per_m * length / rope.parts() as f64);
            for pair in rope.nodes.windows(2) {
                equations::spread(&system.seats[pair[0] as usize], &half, &mut load);
                equations::spread(&system.seats[pair[1] as usize], &half, &mut load);
            }
        }
    }
    let zero = equations::zeros(system.variables());
    let mut origin = Vec::new();
    system.positions(&zero, &mut origin);
    for round in 0.. {
        system.assemble_net(&springs, &mut matrix, &mut local);
        if factor.factor(&system.pattern, &matrix, 0.0, Options::DEFAULT.least_pivot).is_err() {
            // Some point is tied only to others that slide: any place will do.
            if factor.factor(&system.pattern, &matrix, 1e-3, 0.0).is_err() {
                return;
            }
        }
        let mut pull = equations::zeros(system.variables());
        for (rope, run) in rig.ropes.iter().zip(&system.runs) {
            for (pair, spring) in rope.nodes.windows(2).zip(&springs[run.parts as usize..]) {
                let (a, b) = (pair[0] as usize, pair[1] as usize);
                let chord = (origin[b] - origin[a]) * *spring;
                equations::spread(&system.seats[a], &chord, &mut pull);
                equations::spread(&system.seats[b], &-chord, &mut pull);
            }
        }
        let mut sink = load.clone();
        factor.solve(&system.pattern, &mut pull);
        factor.solve(&system.pattern, &mut sink);
        let by = depth(system, &origin, &pull, &sink, &load);
        for (v, x) in x.iter_mut().enumerate() {
            *x = pull[v] + by * sink[v];
        }
        if system.coordinates <= Options::DEFAULT.net_small || round == Options::DEFAULT.net_rounds {
            return;
        }
        // A spring that came out too long for its rope is made stiffer, one that came out too short, softer.
        system.positions(x, at);
        for (rope, run) in rig.ropes.iter().zip(&system.runs) {
            let Supplied::Length(length) = rope.supply else { continue };
            let chord =
                |pair: &[u32]| math::sqrt((at[pair[1] as usize] - at[pair[0] as usize]).norm_squared());
            let sum: f64 = rope.nodes.windows(2).map(chord).sum();
            let first = run.parts as usize;
            for spring in &mut springs[first..first + rope.parts()] {
                *spring *= (sum / length).clamp(0.1, 10.0);
            }
        }
    }
}

/// How far along `sink` from `flat` the straight ropes carry the load: where their energy is least, roughly.
fn depth(system: &Equations<'_>, origin: &[Vector3<f64>], flat: &[f64], sink: &[f64], load: &[f64]) -> f64 {
    let deepest = sink[..system.coordinates].iter().fold(0.0_f64, |m, d| m.max(d.abs()));
    if deepest == 0.0 {
        return 0.0;
    }
    let (mut at, mut down) = (Vec::new(), Vec::new());
    system.positions(flat, &mut at);
    system.positions(sink, &mut down);
    for (d, o) in down.iter_mut().zip(origin) {
        *d -= *o;
    }
    let size = size_m(system, &at);
    let fall: f64 = load.iter().zip(sink).map(|(f, d)| f * d).sum();
    // The slope of the energy along the way down, which rises.
    let rising = |by: f64| {
        let mut slope = -fall;
        for rope in &system.rig.ropes {
            let (mut sum, mut growth) = (0.0, 0.0);
            for pair in rope.nodes.windows(2) {
                let (a, b) = (pair[0] as usize, pair[1] as usize);
                let d = down[b] - down[a];
                let chord = at[b] - at[a] + d * by;
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
        return hi;
    }
    for _ in 0..12 {
        let middle = 0.5 * (lo + hi);
        if rising(middle) {
            hi = middle;
        } else {
            lo = middle;
        }
    }
    hi
}

/// The length of each shared rope, divided as its chords are.
fn share(system: &Equations<'_>, at: &[Vector3<f64>], x: &mut [f64]) {
    for (r, rope) in system.rig.ropes.iter().enumerate() {
        if system.runs[r].form != RopeForm::Shared {
            continue;
        }
        let chord = |k| rope.chord_m(k, at);
        let sum: f64 = (0..rope.parts()).map(chord).sum();
        // A rope with all its points in one place is as long as the rig is large.
        let sum = if sum > 0.0 { sum } else { size_m(system, at) };
        let floor = 1e-3 * sum / rope.parts() as f64;
        let sum: f64 = (0..rope.parts()).map(|k| chord(k).max(floor)).sum();
        let (total, mut reached) = match rope.supply {
            Supplied::Length(total) => (total, 0.0),
            Supplied::Tension(end, tension) => {
                let total = sum / (1.0 + rope.stretch.strain_at(tension));
                (total, if end == RopeEnd::First { -total } else { 0.0 })
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
