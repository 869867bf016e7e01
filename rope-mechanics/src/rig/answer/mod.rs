//! What a solved rig says: places, tensions, forces, and the proof of them.
#![allow(clippy::indexing_slicing, reason = "pairs out of windows of two")]

#[cfg(feature = "serde")]
pub(crate) mod record;
pub(crate) mod response;
mod sensitivity;

use super::equations::balance::Equilibrium;
use super::equations::part::{PartState, Tip};
use super::equations::{Equations, RigState};
use super::error::RigError;
use super::model::ids::{PointId, RopeId, SheaveId};
use super::model::{Rig, RopeData};
use super::solve::again::Again;
use crate::geometry::{Force3, Point3, angle_between};
use crate::line::span::{self, Span};
use crate::math;
use crate::quantity::{Angle, Force, Length, Ratio, Stiffness, metres, newtons, radians, ratio};
use alloc::boxed::Box;
use alloc::vec::Vec;
use nalgebra::Vector3;

/// The proof of an equilibrium: what is left over when the answer is put back, and how stable it is.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Certificate {
    /// Steps taken.
    pub iterations: u32,
    /// The largest component of force out of balance at any point that moves, and the largest difference of
    /// tension over any turn from what it should be.
    pub force_residual: Force,
    /// The largest distance by which a part, computed from the force at one end, misses the other.
    pub closing_residual: Length,
    /// The largest force in the rig, against which to judge the first residual.
    pub largest_force: Force,
    /// The least stiffness of the rig against any small movement of its points and of its ropes through their
    /// sheaves: the least eigenvalue of the reduced Hessian, where both count in metres, by inverse iteration. Above
    /// zero by more than what the last digits of the stiffest part decide: stable. Less is refused.
    ///
    /// With ropes that move over turns with friction it is the least real part of the eigenvalues of the unsymmetric
    /// stiffness: of all of them in a rig of up to 120 variables, of those nearest to zero in a larger one.
    pub least_stiffness: Stiffness,
    /// Whether no other equilibrium exists: true where the energy is convex, that is unless a heavy rope runs over
    /// a sheave or has a set tension, or a rope moves with friction. Then there may be others, which other starts
    /// would find.
    pub unique: bool,
}

/// One part of a rope, between two neighbours on its way. Forces count all strands together.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct RopePart {
    /// Where it starts.
    pub from: PointId,
    /// Where it ends.
    pub to: PointId,
    /// The unstretched length of rope in it. A slack rope without weight may share its length in any way: then
    /// this is one of them.
    pub share: Length,
    /// Distance of its ends.
    pub chord: Length,
    /// Tension where it starts.
    pub tension_first: Force,
    /// Tension where it ends.
    pub tension_last: Force,
    /// Strain where it is largest.
    pub strain: Ratio,
    /// Force on the point where it starts.
    pub pull_first: Force3,
    /// Force on the point where it ends.
    pub pull_last: Force3,
    /// Whether it is slack: a weightless part without tension, or a heavy one longer than its chord.
    pub slack: bool,
    /// Strands that share the tension.
    pub strands: u32,
}

/// A turn of a rope.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Sheave {
    /// Where it is.
    pub point: PointId,
    /// By how much the rope changes its direction: 0 straight on, 180° straight back.
    pub turn: Angle,
    /// The angle between its two parts: 180° less the turn.
    pub interior: Angle,
    /// Tension of the part before.
    pub tension_before: Force,
    /// Tension of the part after.
    pub tension_after: Force,
    /// Force of the rope on the sheave.
    pub force: Force3,
}

/// An equilibrium of a rig.
///
/// Tensions and forces are estimates from the inputs; they take no account of knots, wear, or of movement.
#[derive(Debug, Clone)]
pub struct Solution {
    pub(crate) system: Equations<'static>,
    pub(crate) found: Equilibrium,
    certificate: Certificate,
    /// The pull of all ropes on each point.
    forces_n: Vec<Vector3<f64>>,
    /// Room to solve it again, from the first time on.
    pub(super) again: Option<Box<Again>>,
}

/// A rope of a solution: what it is, and the states of its parts.
struct Led<'s> {
    data: &'s RopeData,
    states: &'s [PartState],
}

impl Solution {
    pub(crate) fn new(system: Equations<'_>, found: Equilibrium, certificate: Certificate) -> Self {
        let mut forces_n = Vec::new();
        forces(&system, &found.state, &mut forces_n);
        Self { system: system.into_owned(), found, certificate, forces_n, again: None }
    }

    /// What follows from another equilibrium of the same rig.
    pub(super) fn renew(&mut self, certificate: Certificate) {
        self.certificate = certificate;
        forces(&self.system, &self.found.state, &mut self.forces_n);
    }

    /// The proof.
    #[must_use]
    pub fn certificate(&self) -> Certificate {
        self.certificate
    }

    /// The rig as it was solved.
    #[must_use]
    pub fn rig(&self) -> &Rig {
        &self.system.rig
    }

    /// Where a point is.
    ///
    /// # Errors
    /// If the point is another rig's.
    pub fn position(&self, point: PointId) -> Result<Point3, RigError> {
        let at = self.system.rig.point_at(point)?;
        let moves = self.system.seats.get(at).is_some_and(|seat| seat.count > 0);
        Ok(Point3::from_si(match self.found.state.at.get(at) {
            Some(from_here) if moves => self.system.origin + from_here,
            _ => self.system.rig.points.get(at).map_or_else(Vector3::zeros, |p| p.at),
        }))
    }

    /// The force of all ropes together on a point.
    ///
    /// # Errors
    /// If the point is another rig's.
    pub fn rope_force(&self, point: PointId) -> Result<Force3, RigError> {
        let at = self.system.rig.point_at(point)?;
        Ok(Force3::from_si(self.forces_n.get(at).copied().unwrap_or_default()))
    }

    /// The reaction at a point: of the anchor of a fixed one, of the plane, line or ground
    /// of a held one. Nothing, to within the residual, for a point that is free.
    ///
    /// # Errors
    /// If the point is another rig's.
    pub fn reaction(&self, point: PointId) -> Result<Force3, RigError> {
        let at = self.system.rig.point_at(point)?;
        Ok(Force3::from_si(self.held_n(at)))
    }

    /// Whether a point above ground lies on it.
    ///
    /// # Errors
    /// If the point is another rig's.
    pub fn on_ground(&self, point: PointId) -> Result<bool, RigError> {
        let at = self.system.rig.point_at(point)?;
        let state = &self.found.state;
        Ok(self.system.seats.get(at).is_some_and(|seat| {
            seat.grounded && state.x.get(seat.first as usize).is_some_and(|&height| height <= 0.0)
        }))
    }

    /// The parts of a rope, from its first end to its last.
    ///
    /// # Errors
    /// If the rope is another rig's.
    pub fn parts(&self, rope: RopeId) -> Result<Vec<RopePart>, RigError> {
        let led = self.led(rope)?;
        Ok((0..led.states.len()).filter_map(|number| self.part_of(&led, number)).collect())
    }

    /// One part of a rope, counted from 0 at its first end; none beyond its last.
    ///
    /// # Errors
    /// If the rope is another rig's.
    pub fn part(&self, rope: RopeId, number: usize) -> Result<Option<RopePart>, RigError> {
        Ok(self.part_of(&self.led(rope)?, number))
    }

    /// The unstretched length of a rope between its ends: as given, or as its set tension makes it.
    ///
    /// # Errors
    /// If the rope is another rig's.
    pub fn length(&self, rope: RopeId) -> Result<Length, RigError> {
        Ok(metres(self.led(rope)?.states.iter().map(|s| s.length_m).sum()))
    }

    /// How far each part of a rope hangs below the straight line between its ends, measured plumb; of a part
    /// between two points of one plumb line, how far it hangs below the lower of them.
    ///
    /// # Errors
    /// If the rope is another rig's.
    pub fn sags(&self, rope: RopeId) -> Result<Vec<Length>, RigError> {
        let led = self.led(rope)?;
        (0..led.states.len()).filter_map(|number| self.sag_of(&led, number).transpose()).collect()
    }

    /// The sag of one part of a rope, counted from 0 at its first end; none beyond its last.
    ///
    /// # Errors
    /// If the rope is another rig's.
    pub fn sag(&self, rope: RopeId, number: usize) -> Result<Option<Length>, RigError> {
        self.sag_of(&self.led(rope)?, number)
    }

    /// A turn of a rope.
    ///
    /// # Errors
    /// If the sheave is another rig's.
    pub fn sheave(&self, sheave: SheaveId) -> Result<Sheave, RigError> {
        let foreign = RigError::Foreign { kind: "sheave" };
        let led = self.led(sheave.rope())?;
        let k = sheave.turn as usize;
        let (Some(before), Some(after), Some(&index), Some(around)) =
            (led.states.get(k), led.states.get(k + 1), led.data.nodes.get(k + 1), led.data.turns.get(k))
        else {
            return Err(foreign);
        };
        let headings = [self.heading(&before.last, led.data, k), self.heading(&after.first, led.data, k + 1)];
        let turn = angle_between(&headings[0], &headings[1]);
        Ok(Sheave {
            point: self.system.rig.ids.point(index),
            turn: radians(turn + core::f64::consts::TAU * f64::from(around.wraps)),
            interior: radians(core::f64::consts::PI - turn),
            tension_before: newtons(before.last.tension),
            tension_after: newtons(after.first.tension),
            force: Force3::from_si(after.first.along - before.last.along),
        })
    }

    /// The reaction at a point.
    pub(crate) fn held_n(&self, at: usize) -> Vector3<f64> {
        let load = self.system.rig.points.get(at).map_or_else(Vector3::zeros, |p| p.load_n);
        -(self.forces_n.get(at).copied().unwrap_or_default() + load)
    }

    /// From where part `number` of a rope starts to where it ends.
    pub(crate) fn chord_m(&self, rope: &RopeData, number: usize) -> Vector3<f64> {
        let place = |node: usize| {
            let at = rope.nodes.get(node).and_then(|&p| self.found.state.at.get(p as usize));
            at.copied().unwrap_or_default()
        };
        place(number + 1) - place(number)
    }

    /// Which way a rope runs at a tip of a part: along its tension, or along its chord where it is slack.
    pub(crate) fn heading(&self, tip: &Tip, rope: &RopeData, number: usize) -> Vector3<f64> {
        if tip.tension > 0.0 {
            return tip.direction();
        }
        let chord = self.chord_m(rope, number);
        let distance = math::sqrt(chord.norm_squared());
        if distance > 0.0 { chord / distance } else { Vector3::zeros() }
    }

    /// A part of a heavy rope as a line between its two ends.
    pub(crate) fn span(&self, rope: &RopeData, number: usize, length_m: f64) -> Span {
        let chord = self.chord_m(rope, number);
        let span_m = math::hypot(chord.x, chord.y);
        Span {
            span_m: if span_m <= PLUMB * length_m { 0.0 } else { span_m },
            rise_m: chord.z,
            length_m,
            weight_n_per_m: rope.weight_n_per_m,
            stretch: rope.stretch,
        }
    }

    fn part_of(&self, led: &Led<'_>, number: usize) -> Option<RopePart> {
        let state = led.states.get(number)?;
        let &[from, to] = led.data.nodes.get(number..number + 2)? else { return None };
        let chord = math::sqrt(self.chord_m(led.data, number).norm_squared());
        let weightless = led.data.weight_n_per_m == 0.0;
        let slack = if weightless { state.first.tension == 0.0 } else { state.length_m > chord };
        let ids = &self.system.rig.ids;
        Some(RopePart {
            from: ids.point(from),
            to: ids.point(to),
            share: metres(state.length_m),
            chord: metres(chord),
            tension_first: newtons(state.first.tension),
            tension_last: newtons(state.last.tension),
            strain: ratio(state.first.strain.max(state.last.strain)),
            pull_first: Force3::from_si(state.first.along),
            pull_last: Force3::from_si(-state.last.along),
            slack,
            strands: led.data.strands,
        })
    }

    fn sag_of(&self, led: &Led<'_>, number: usize) -> Result<Option<Length>, RigError> {
        let Some(state) = led.states.get(number) else { return Ok(None) };
        let span = self.span(led.data, number, state.length_m);
        if span.weight_n_per_m == 0.0 {
            return Ok(Some(metres(0.0)));
        }
        let line =
            span::solve(&span).map_err(|source| RigError::Part { rope: led.data.name.clone(), source })?;
        Ok(Some(metres(line.sag())))
    }

    /// A rope and the states of its parts.
    fn led(&self, rope: RopeId) -> Result<Led<'_>, RigError> {
        let at = self.system.rig.rope_at(rope)?;
        let foreign = RigError::Foreign { kind: "rope" };
        let (Some(data), Some(run)) = (self.system.rig.ropes.get(at), self.system.runs.get(at)) else {
            return Err(foreign);
        };
        let first = run.parts as usize;
        let states = self.found.state.parts.get(first..first + data.parts()).ok_or(foreign)?;
        Ok(Led { data, states })
    }
}

/// Ends of a part that are nearer to one plumb line than this, by its length, stand in it.
const PLUMB: f64 = 1e-9;

/// The pull of all ropes on each point.
fn forces(system: &Equations<'_>, state: &RigState, forces: &mut Vec<Vector3<f64>>) {
    forces.clear();
    forces.resize(system.rig.points.len(), Vector3::zeros());
    for (rope, run) in system.rig.ropes.iter().zip(&system.runs) {
        let parts = state.parts.iter().skip(run.parts as usize);
        for (pair, part) in rope.nodes.windows(2).zip(parts) {
            for (node, pull) in [(pair[0], part.first.along), (pair[1], -part.last.along)] {
                if let Some(force) = forces.get_mut(node as usize) {
                    *force += pull;
                }
            }
        }
    }
}

/// How far along a part hangs lowest below its chord, or below all in a plumb line.
pub(crate) fn lowest(span: &Span, line: &span::Solved) -> f64 {
    // The rope is parallel to its chord where V = H·Z/X; at its lowest where V = 0.
    let upward = if span.span_m == 0.0 { 0.0 } else { line.ends.h_n * (span.rise_m / span.span_m) };
    ((upward + line.ends.v_first_n) / span.weight_n_per_m).clamp(0.0, span.length_m)
}
