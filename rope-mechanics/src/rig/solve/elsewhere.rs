//! Starts for rigs whose energy isn't convex, all over what there is.
//!
//! Some are places of the points, spread over the rig. Others are shares of the ropes: those that run are cut at their
//! turns. With the length of every part given each part is a rope of its own, and the energy is convex: there is one
//! equilibrium, and Newton's method finds it. Only the lengths are left to choose, so they are spread over all that
//! they can be, and the search goes on from where the cut rig hangs, its ropes made whole again. The weight of the
//! ropes stands at their ends for that ([`Mode::Rough`]): it is a start, and must cost little.
#![allow(clippy::indexing_slicing, reason = "every index was made together with the array it goes into")]

use super::newton::{Effort, minimise};
use super::start::{seat_at, share_out};
use crate::math;
use crate::rig::equations::balance::size_m;
use crate::rig::equations::{self, Equations, Mode, NONE, RopeForm};
use crate::rig::error::RigError;
use crate::rig::model::{Hold, Rig, RopeEnd, Supplied};
use crate::rig::options::Options;
use alloc::vec::Vec;
use nalgebra::Vector3;

/// Whether a rope shares its length among parts in a way that makes the energy other than convex.
fn bends(system: &Equations<'_>, rope: usize) -> bool {
    let data = &system.rig.ropes[rope];
    system.runs[rope].form == RopeForm::Shared && (data.weight_n_per_m > 0.0 || system.is_lossy(data))
}

/// The rig with ropes that don't stiffen, which take three times as long: to find places to go on from.
pub(crate) fn plain<'r>(system: &Equations<'r>) -> Equations<'r> {
    let mut plain = system.clone();
    for rope in &mut plain.rig.to_mut().ropes {
        rope.stretch = rope.stretch.without_stiffening();
    }
    plain
}

/// Variables to start from: where the rig hangs with its ropes cut at their bends, looked for from the coordinates `base`.
///
/// What steps that takes are added to `spent`.
pub(crate) fn cut_up(
    system: &Equations<'_>,
    base: &[f64],
    number: u32,
    spent: &mut u32,
) -> Result<Vec<f64>, RigError> {
    let x = base[..system.coordinates].to_vec();
    let mut at = Vec::new();
    system.positions(&x, &mut at);
    let cut = cut(system, &at, number);
    let mut parts = Equations::new(&cut.rig, Mode::Rough).within(system.budget);
    parts.soften_m = Options::DEFAULT.cut_blunt * size_m(system, &at);
    // A rough rig has no shares: its variables are the coordinates.
    let hangs = minimise(&parts, x, Effort::full(Options::DEFAULT.cut_steps), spent)?;
    // The ropes made whole again.
    let mut x = hangs.state.x;
    share_out(system, &mut x);
    for (knot, length) in cut.shares {
        x[knot] = length;
    }
    Ok(x)
}

/// A rig of which some ropes are cut, and the variables and lengths of the whole rig at the cuts.
struct Cut {
    rig: Rig,
    shares: Vec<(usize, f64)>,
}

/// The rig with its ropes that bend cut into parts, the lengths of which are number `number` of a sequence that fills all
/// there is evenly.
fn cut(system: &Equations<'_>, at: &[Vector3<f64>], number: u32) -> Cut {
    let mut rig = system.rig.clone().into_owned();
    let mut shares = Vec::new();
    let ropes = core::mem::take(&mut rig.ropes);
    let chosen = |r| bends(system, r);
    let turns = ropes.iter().enumerate().filter(|(r, _)| chosen(*r)).map(|(_, rope)| rope.turns.len() + 1);
    let mut next = spread(turns.sum(), number);
    for (r, rope) in ropes.into_iter().enumerate() {
        if !chosen(r) {
            rig.ropes.push(rope);
            continue;
        }
        let chord = |k| rope.chord_m(k, at);
        let stays = |k| system.stays(&rope, k);
        let parts = rope.parts();
        let (total, mut reached) = match rope.supply {
            Supplied::Length(length) => (length, 0.0),
            Supplied::Tension(end, _) => {
                let chords: f64 = (0..parts).map(chord).sum();
                let total = chords
                    * (Options::DEFAULT.cut_shortest
                        + (Options::DEFAULT.cut_longest - Options::DEFAULT.cut_shortest) * next());
                (total, if end == RopeEnd::First { -total } else { 0.0 })
            }
        };
        // What lies between points that stay is as long as their chord; the rest is divided anywhere.
        let taken: f64 = (0..parts).filter(|&k| stays(k)).map(chord).sum();
        let left = (total - taken).max(0.0);
        let mut places: Vec<f64> = (0..parts).filter(|&k| !stays(k)).skip(1).map(|_| next()).collect();
        places.sort_by(f64::total_cmp);
        places.push(1.0);
        let (mut place, mut before) = (places.into_iter(), 0.0);
        let mut lengths: Vec<f64> = (0..parts)
            .map(|k| {
                let length = if stays(k) {
                    chord(k)
                } else {
                    let here = place.next().unwrap_or(1.0);
                    left * (here - core::mem::replace(&mut before, here))
                };
                length.max(Options::DEFAULT.cut_least * total)
            })
            .collect();
        let sum: f64 = lengths.iter().sum();
        lengths.iter_mut().for_each(|length| *length *= total / sum);
        for node in 0..=parts {
            let knot = system.knot(r, node);
            if knot != NONE {
                shares.push((knot as usize, reached));
            }
            if let Some(&length) = lengths.get(node) {
                reached += length;
                let mut part = rope.clone();
                part.nodes = rope.nodes[node..node + 2].to_vec();
                part.turns.clear();
                part.supply = Supplied::Length(length);
                rig.ropes.push(part);
            }
        }
    }
    Cut { rig, shares }
}

/// Points anywhere in and below the rig, the ropes shared out as their chords are: number `number` of many, every
/// other one as far away as its longest rope.
pub(crate) fn scattered(system: &Equations<'_>, number: u32) -> Vec<f64> {
    let fixed = system.rig.points.iter().filter(|p| p.hold == Hold::Fixed);
    let fixed: Vec<_> = fixed.map(|p| p.at - system.origin).collect();
    let (mut lo, mut hi) = (Vector3::zeros(), Vector3::zeros());
    for at in &fixed {
        lo = at.inf(&lo);
        hi = at.sup(&hi);
    }
    let extent = (hi - lo).max();
    let size = if number.is_multiple_of(2) || extent == 0.0 { size_m(system, &fixed) } else { extent };
    let room = Vector3::repeat(Options::DEFAULT.beside * size);
    (lo, hi) = (lo - room, hi + room);
    lo.z -= Options::DEFAULT.below * size;
    // A number between 0 and 1 at a time (SplitMix64).
    let mut seed = u64::from(number).wrapping_add(1).wrapping_mul(0xD1B5_4A32_D192_ED03);
    let mut next = || {
        seed = seed.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = seed;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    };
    let mut x = equations::zeros(system.variables());
    for seat in system.seats.iter().filter(|seat| seat.count > 0) {
        let part = Vector3::new(next(), next(), next());
        let at = lo + (hi - lo).component_mul(&part);
        seat_at(seat, &at, &mut x);
    }
    share_out(system, &mut x);
    x
}

/// Numbers from 0 to 1, one for each choice: the fractions of n/φ, n/φ², …, where φ^(d+1) = φ + 1 for d choices.
///
/// Source: the generalised golden ratio; for one choice the sequence of n/φ, which leaves the most even gaps.
fn spread(choices: usize, number: u32) -> impl FnMut() -> f64 {
    let mut phi = 2.0_f64;
    for _ in 0..60 {
        phi = math::powf(1.0 + phi, 1.0 / (choices as f64 + 1.0));
    }
    let mut power = 1.0;
    move || {
        power /= phi;
        let x = 0.5 + f64::from(number) * power;
        x - math::floor(x)
    }
}
