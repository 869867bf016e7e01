//! What a solved rig says: places, tensions, forces, and the proof of them.
#![allow(clippy::indexing_slicing, reason = "pairs out of windows of two")]

use super::balance::Equilibrium;
use super::error::RigError;
use super::model::{PointId, Rig, RopeId, SheaveId};
use super::part::{PartState, Tip};
use super::system::{Form, State, System};
use super::{bend, stability};
use crate::geometry::{Force3, Point3};
use crate::line::span::{self, Span};
use crate::math;
use crate::quantity::{Angle, Force, Length, Ratio, Stiffness, metres, n_per_m, newtons, radians, ratio};
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
    /// The largest distance by which a part, worked out from the force at one end, misses the other.
    pub closing_residual: Length,
    /// The largest force in the rig, against which to judge the first residual.
    pub largest_force: Force,
    /// The least stiffness of the rig against any small movement of its points and of its ropes through their
    /// sheaves: the least eigenvalue of the reduced Hessian, where both count in metres. Above zero: stable.
    ///
    /// With ropes that move over turns with friction it is the eigenvalue of the unsymmetric stiffness nearest to 0.
    pub least_stiffness: Stiffness,
    /// Whether no other equilibrium exists: true where the energy is convex, that is unless a heavy rope runs over
    /// a sheave or a rope moves with friction. Then there may be others, which other starts would find.
    pub unique: bool,
}

/// One part of a rope, between two neighbours on its way. Forces count all strands together.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Part {
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
    pub(super) system: System<'static>,
    pub(super) found: Equilibrium,
    certificate: Certificate,
}

impl Solution {
    pub(super) fn new(system: System<'_>, found: Equilibrium) -> Self {
        let unique = system.runs.iter().zip(&system.rig.ropes).all(|(run, rope)| {
            (run.form != Form::Shared || rope.weight_n_per_m == 0.0) && !rope.has_moving_friction()
        });
        let least = if system.variables() == 0 {
            f64::INFINITY
        } else {
            stability::softest(&system, &found.factor, 0.0).0
        };
        let certificate = Certificate {
            iterations: found.iterations,
            force_residual: newtons(found.residual_n),
            closing_residual: metres(closing(&system, &found.state)),
            largest_force: newtons(found.state.scale_n),
            least_stiffness: n_per_m(least),
            unique,
        };
        Self { system: system.into_owned(), found, certificate }
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
        Ok(Point3::from_si(self.found.state.at.get(at).copied().unwrap_or_default()))
    }

    /// The force of all ropes together on a point.
    ///
    /// # Errors
    /// If the point is another rig's.
    pub fn rope_force(&self, point: PointId) -> Result<Force3, RigError> {
        let at = self.system.rig.point_at(point)?;
        Ok(Force3::from_si(rope_force(&self.system, &self.found.state, at)))
    }

    /// The force that whatever holds a point has to bring up: the anchor of a fixed one, the plane, line or ground
    /// of a held one. Nothing, to within the residual, for a point that is free.
    ///
    /// # Errors
    /// If the point is another rig's.
    pub fn reaction(&self, point: PointId) -> Result<Force3, RigError> {
        let at = self.system.rig.point_at(point)?;
        let load = self.system.rig.points.get(at).map_or_else(Vector3::zeros, |p| p.load_n);
        Ok(Force3::from_si(-(rope_force(&self.system, &self.found.state, at) + load)))
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
    pub fn parts(&self, rope: RopeId) -> Result<Vec<Part>, RigError> {
        let (nodes, states, strands, weightless) = self.rope(rope)?;
        Ok(nodes
            .windows(2)
            .zip(states)
            .map(|(pair, state)| {
                let [a, b] = [pair[0], pair[1]];
                let at = |p: u32| self.found.state.at.get(p as usize).copied().unwrap_or_default();
                let chord = math::sqrt((at(b) - at(a)).norm_squared());
                let slack = if weightless { state.first.tension == 0.0 } else { state.length_m > chord };
                let id = |index| PointId { rig: rope.rig, index };
                Part {
                    from: id(a),
                    to: id(b),
                    share: metres(state.length_m),
                    chord: metres(chord),
                    tension_first: newtons(state.first.tension),
                    tension_last: newtons(state.last.tension),
                    strain: ratio(state.first.strain.max(state.last.strain)),
                    pull_first: Force3::from_si(state.first.along),
                    pull_last: Force3::from_si(-state.last.along),
                    slack,
                    strands,
                }
            })
            .collect())
    }

    /// The unstretched length of a rope between its ends: as given, or as its set tension makes it.
    ///
    /// # Errors
    /// If the rope is another rig's.
    pub fn length(&self, rope: RopeId) -> Result<Length, RigError> {
        let (_, states, ..) = self.rope(rope)?;
        Ok(metres(states.iter().map(|s| s.length_m).sum()))
    }

    /// How far each part of a rope hangs below the straight line between its ends, measured plumb; of a part
    /// between two points of one plumb line, how far it hangs below the lower of them.
    ///
    /// # Errors
    /// If the rope is another rig's.
    pub fn sags(&self, rope: RopeId) -> Result<Vec<Length>, RigError> {
        let at = self.system.rig.rope_at(rope)?;
        let (nodes, states, ..) = self.rope(rope)?;
        let data = self.system.rig.ropes.get(at).ok_or(RigError::Foreign { kind: "rope" })?;
        let mut sags = Vec::with_capacity(states.len());
        for (pair, state) in nodes.windows(2).zip(states) {
            let place = |p: u32| self.found.state.at.get(p as usize).copied().unwrap_or_default();
            let chord = place(pair[1]) - place(pair[0]);
            let span = Span {
                span_m: math::hypot(chord.x, chord.y),
                rise_m: chord.z,
                length_m: state.length_m,
                weight_n_per_m: data.weight_n_per_m,
                stretch: data.stretch,
            };
            let sag = if span.weight_n_per_m == 0.0 {
                0.0
            } else {
                let line = span::solve(&span)
                    .map_err(|source| RigError::Part { rope: data.name.clone(), source })?;
                sag(&span, &line)
            };
            sags.push(metres(sag));
        }
        Ok(sags)
    }

    /// A turn of a rope.
    ///
    /// # Errors
    /// If the sheave is another rig's.
    pub fn sheave(&self, sheave: SheaveId) -> Result<Sheave, RigError> {
        let foreign = RigError::Foreign { kind: "sheave" };
        let (nodes, states, ..) = self.rope(sheave.rope())?;
        let k = sheave.turn as usize;
        let (Some(before), Some(after), Some(&index)) = (states.get(k), states.get(k + 1), nodes.get(k + 1))
        else {
            return Err(foreign);
        };
        let (before, after) = (&before.last, &after.first);
        let turn = bend::turn_angle(before, after);
        Ok(Sheave {
            point: PointId { rig: sheave.rig, index },
            turn: radians(turn),
            interior: radians(core::f64::consts::PI - turn),
            tension_before: newtons(before.tension),
            tension_after: newtons(after.tension),
            force: Force3::from_si(after.along - before.along),
        })
    }

    /// The points of a rope, its parts' states, its strands, and whether it is weightless.
    #[allow(clippy::type_complexity, reason = "taken apart at once by both callers")]
    fn rope(&self, rope: RopeId) -> Result<(&[u32], &[PartState], u32, bool), RigError> {
        let at = self.system.rig.rope_at(rope)?;
        let foreign = RigError::Foreign { kind: "rope" };
        let (Some(data), Some(run)) = (self.system.rig.ropes.get(at), self.system.runs.get(at)) else {
            return Err(foreign);
        };
        let first = run.parts as usize;
        let states = self.found.state.parts.get(first..first + data.parts()).ok_or(foreign)?;
        Ok((&data.nodes, states, data.strands, data.weight_n_per_m == 0.0))
    }
}

/// The pull of all ropes on a point.
pub(super) fn rope_force(system: &System<'_>, state: &State, point: usize) -> Vector3<f64> {
    let mut force = Vector3::zeros();
    for (rope, run) in system.rig.ropes.iter().zip(&system.runs) {
        let parts = state.parts.iter().skip(run.parts as usize);
        for (pair, part) in rope.nodes.windows(2).zip(parts) {
            if pair.first() == Some(&(point as u32)) {
                force += part.first.along;
            }
            if pair.last() == Some(&(point as u32)) {
                force -= part.last.along;
            }
        }
    }
    force
}

/// How far the lowest-hanging particle is below the chord.
fn sag(span: &Span, line: &span::Solved) -> f64 {
    let steep = span.rise_m / span.span_m;
    let plumb = span.span_m <= 1e-9 * span.length_m;
    // The rope is parallel to its chord where V = H·Z/X; at its lowest where V = 0.
    let upward = if plumb { 0.0 } else { line.ends.h_n * steep };
    let s = ((upward + line.ends.v_first_n) / span.weight_n_per_m).clamp(0.0, span.length_m);
    let (x, z) = line.point(s);
    let below = if plumb { span.rise_m.min(0.0) - z } else { steep * x - z };
    below.max(0.0)
}

/// The largest distance by which a part misses its last end when it is laid out from its first.
fn closing(system: &System<'_>, state: &State) -> f64 {
    let mut worst = 0.0_f64;
    for (r, (rope, run)) in system.rig.ropes.iter().zip(&system.runs).enumerate() {
        let parts = state.parts.iter().skip(run.parts as usize);
        let mut sum = (0.0, 0.0);
        for (pair, part) in rope.nodes.windows(2).zip(parts) {
            let at =
                |k: usize| pair.get(k).and_then(|&p| state.at.get(p as usize)).copied().unwrap_or_default();
            let chord = at(1) - at(0);
            let distance = math::sqrt(chord.norm_squared());
            let Tip { along, tension, strain } = part.first;
            if run.form == Form::Whole {
                sum = (sum.0 + distance, sum.1 + part.length_m * (1.0 + strain));
            } else if rope.weight_n_per_m == 0.0 {
                let miss = distance - part.length_m * (1.0 + strain);
                worst = worst.max(if tension > 0.0 { miss.abs() } else { miss.max(0.0) });
            } else {
                let h = math::hypot(along.x, along.y);
                let (x, z) = span::run(h, along.z, rope.weight_n_per_m, part.length_m, &rope.stretch);
                let span_m = math::hypot(chord.x, chord.y);
                worst = worst.max((x - span_m).abs()).max((z - chord.z).abs());
            }
        }
        if run.form == Form::Whole {
            let slack = state.slopes.get(r) == Some(&0.0)
                && state.parts.get(run.parts as usize).is_some_and(|p| p.first.tension == 0.0);
            let miss = sum.0 - sum.1;
            worst = worst.max(if slack { miss.max(0.0) } else { miss.abs() });
        }
    }
    worst
}
