//! Equilibrium of the head, then of each foot.

use super::forces::{FrameForces, GuyForces, HeadForces, LegForces, Sharing};
use super::legs_and_guys::Members;
use super::stability::{Sides, nearest_edge, stability};
use super::{Frame, FrameError, MOST_GUYS, MOST_HOBBLES, MOST_LEGS, Tipping, direction, factor, quotient};
use crate::error::SolveReport;
use crate::geometry::Force3;
use crate::math;
use crate::members::{self, Member, MemberForces};
use crate::quantity::{Force, newtons, radians, ratio};
use nalgebra::{SVector, Vector3};

pub(super) fn solve(frame: &Frame, r: Vector3<f64>) -> Result<FrameForces, FrameError> {
    let members = Members::of(frame)?;
    let balance = balance(frame, &members, r)?;
    let stability = stability(frame, &members, r);

    let mut forces = FrameForces {
        resultant: Force3::from_si(r),
        sharing: sharing(frame, members.all()),
        stability,
        report: SolveReport::new(balance.steps, balance.residual),
        legs: ([LegForces::default(); MOST_LEGS], frame.legs.len()),
        guys: ([GuyForces::default(); MOST_GUYS], frame.guys.len()),
        hobbles: ([Force::default(); MOST_HOBBLES], 0),
    };
    let mut on_ground = [Vector3::zeros(); MOST_LEGS];
    for ((ground, member), x) in
        on_ground.iter_mut().zip(members.all()).zip(&balance.forces).take(frame.legs.len())
    {
        *ground = -member.along * *x;
    }
    let hobbles = hobbles(frame, &mut on_ground)?;
    forces.hobbles = (hobbles.map(newtons), frame.hobbles.len());
    for ((((out, leg), ground), compression_n), length_m) in forces
        .legs
        .0
        .iter_mut()
        .zip(frame.legs.iter())
        .zip(&on_ground)
        .zip(&balance.forces)
        .zip(&members.lengths_m)
    {
        *out = LegForces {
            compression: newtons(*compression_n),
            on_ground: Force3::from_si(*ground),
            friction_needed: friction(*ground, *compression_n),
            factor: factor(leg.strength_n(*length_m), *compression_n),
        };
    }
    for ((out, guy), tension_n) in
        forces.guys.0.iter_mut().zip(frame.guys.iter()).zip(balance.forces.iter().skip(frame.legs.len()))
    {
        *out = GuyForces { tension: newtons(*tension_n), factor: factor(guy.strength_n, *tension_n) };
    }
    Ok(forces)
}

/// Legs, guys and margin only.
pub(super) fn at_head(
    frame: &Frame,
    members: &Members,
    sides: &Sides,
    r: Vector3<f64>,
) -> Result<HeadForces, FrameError> {
    let balance = balance(frame, members, r)?;
    let nearest = nearest_edge(frame, members, sides, r);
    let mut forces = HeadForces {
        margin: nearest.margin,
        edge: nearest.edge,
        report: SolveReport::new(balance.steps, balance.residual),
        legs: ([Force::default(); MOST_LEGS], frame.legs.len()),
        guys: ([Force::default(); MOST_GUYS], frame.guys.len()),
    };
    let mut found = balance.forces.iter().map(|force_n| newtons(*force_n));
    for (out, force) in forces.legs.0.iter_mut().take(forces.legs.1).zip(&mut found) {
        *out = force;
    }
    for (out, force) in forces.guys.0.iter_mut().take(forces.guys.1).zip(&mut found) {
        *out = force;
    }
    Ok(forces)
}

/// The members' forces against r, or how the frame falls.
fn balance(frame: &Frame, members: &Members, r: Vector3<f64>) -> Result<MemberForces, FrameError> {
    let balance = members::balance(members.all(), -r).ok_or(FrameError::Unsolved)?;
    if balance.holds() {
        return Ok(balance);
    }
    let mut wrong_guys = [false; MOST_GUYS];
    for (wrong, guy) in wrong_guys.iter_mut().zip(members.all().iter().skip(frame.legs.len())) {
        // A guy that pulls away from what is missing: more than a right angle, beyond rounding.
        *wrong = guy.along.dot(&balance.missing) < -1e-9 * math::sqrt(balance.missing.norm_squared());
    }
    let (x, y) = (balance.missing.x, balance.missing.y);
    let level = math::hypot(x, y) > 1e-9 * balance.missing.z.abs();
    let nearest = nearest_edge(frame, members, &Sides::of(members), r);
    Err(FrameError::Falls(Tipping {
        margin: nearest.margin,
        edge: nearest.edge,
        missing: Force3::from_si(balance.missing),
        guy_needed_towards: level.then(|| radians(math::atan2(y, x))),
        wrong_guys,
    }))
}

/// μ ≥ h/v at the foot
fn friction(on_ground: Vector3<f64>, compression_n: f64) -> Option<crate::quantity::Ratio> {
    let level = math::hypot(on_ground.x, on_ground.y);
    if compression_n == 0.0 && level == 0.0 {
        Some(ratio(0.0))
    } else if on_ground.z < 0.0 {
        quotient(level, -on_ground.z)
    } else {
        None
    }
}

/// Whether equilibrium alone gives the forces: no more members than are independent.
fn sharing(frame: &Frame, members: &[Member]) -> Sharing {
    let mut independent = [Vector3::zeros(); 3];
    for (rank, m) in members.iter().enumerate() {
        let mut v = m.along;
        for _ in 0..2 {
            for q in independent.iter().take(rank) {
                v -= q * q.dot(&v);
            }
        }
        let size = math::sqrt(v.norm_squared());
        match independent.get_mut(rank) {
            Some(slot) if size > 1e-9 => *slot = v / size,
            _ => {
                let given = frame.legs.iter().all(|l| l.stiffness_n.is_some())
                    && frame.guys.iter().all(|g| g.stiffness_n.is_some());
                return if given { Sharing::Stiffness } else { Sharing::AssumedStiffness };
            }
        }
    }
    Sharing::Statics
}

/// Tensions of the hobbles, which leave the least horizontal force to the feet; and what is left there.
fn hobbles(
    frame: &Frame,
    on_ground: &mut [Vector3<f64>; MOST_LEGS],
) -> Result<[f64; MOST_HOBBLES], FrameError> {
    if frame.hobbles.len() == 0 {
        return Ok([0.0; MOST_HOBBLES]);
    }
    const LEVEL: usize = 2 * MOST_LEGS;
    let mut columns = [SVector::<f64, LEVEL>::zeros(); MOST_HOBBLES];
    let mut runs = [Vector3::zeros(); MOST_HOBBLES];
    for (index, ((column, run), (a, b))) in
        columns.iter_mut().zip(&mut runs).zip(frame.hobbles.iter()).enumerate()
    {
        if let (Some(one), Some(other)) = (frame.legs.get(*a), frame.legs.get(*b)) {
            (*run, _) = direction("hobbles", index, other.foot_m - one.foot_m)?;
            place(column, *a, *run);
            place(column, *b, -*run);
        }
    }
    let mut thrust = SVector::<f64, LEVEL>::zeros();
    for (foot, ground) in on_ground.iter().enumerate() {
        place(&mut thrust, foot, *ground);
    }
    let size = thrust.amax();
    if size == 0.0 {
        return Ok([0.0; MOST_HOBBLES]);
    }
    // Σ Tⱼ·hⱼ = −thrust, as nearly as T ≥ 0 allows
    let columns = columns.get(..frame.hobbles.len()).unwrap_or_default();
    let (tensions, _) = members::non_negative_fit::<LEVEL, MOST_HOBBLES>(columns, -thrust / size)
        .ok_or(FrameError::Unsolved)?;
    let tensions = tensions.map(|t| t * size);
    for ((tension, run), (a, b)) in tensions.iter().zip(&runs).zip(frame.hobbles.iter()) {
        if let Some(foot) = on_ground.get_mut(*a) {
            *foot += run * *tension;
        }
        if let Some(foot) = on_ground.get_mut(*b) {
            *foot -= run * *tension;
        }
    }
    Ok(tensions)
}

/// Puts the level part of a force in the two rows of a foot.
fn place<const N: usize>(rows: &mut SVector<f64, N>, foot: usize, force: Vector3<f64>) {
    if let Some(row) = rows.get_mut(2 * foot) {
        *row = force.x;
    }
    if let Some(row) = rows.get_mut(2 * foot + 1) {
        *row = force.y;
    }
}
