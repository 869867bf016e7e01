//! How a solved rig answers to a small change of what it was given.

use crate::geometry::{Force3, Point3};
use crate::quantity::{Angle, Force, Length, LineWeight, Ratio, metres, newtons, radians, ratio};
use crate::rig::error::RigError;
use crate::rig::model::ids::{Lineage, PointId, RopeId, SheaveId};
use alloc::vec::Vec;
use nalgebra::Vector3;

/// A small change of one input.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Change {
    /// More rope at the last end of a rope of given length.
    Length(RopeId, Length),
    /// More tension where a rope's tension is set, all strands together.
    Tension(RopeId, Force),
    /// A stiffer rope: the whole curve T = aε + bε² raised by this part.
    Stiffness(RopeId, Ratio),
    /// More of a alone, of one strand.
    StretchA(RopeId, Force),
    /// More of b alone, of one strand.
    StretchB(RopeId, Force),
    /// A heavier rope, all strands together. The rope must have weight already: a rope without weight has another
    /// shape, not a slightly different one.
    Weight(RopeId, LineWeight),
    /// A sheave that passes more of the tension over 180°. What a rope at rest loses counts for nothing. A moving rope
    /// must lose something at one of its turns already.
    Efficiency(SheaveId, Ratio),
    /// A rougher bar, raising.
    FrictionRaising(SheaveId, Ratio),
    /// A rougher bar, lowering.
    FrictionLowering(SheaveId, Ratio),
    /// A force added to the load on a point that moves.
    Load(PointId, Force3),
    /// A fixed point moved.
    Place(PointId, Point3),
    /// The plane, line or ground of a point moved.
    Through(PointId, Point3),
    /// This added to the unit vector that is normal to the plane or ground of a point, or along its line; what it has
    /// in that direction doesn't count. The plane, line or ground turns about the point it was given through.
    Tilt(PointId, [Ratio; 3]),
}

/// What a small change of an input does to every output, to first order.
///
/// Proportional to the change: half the change, half the response. True for changes so small that no rope goes slack
/// or taut and nothing lands on or leaves the ground. A turn of just 0° or 180° can only become more or less: its
/// response is that of a change in this sense, not in the other.
///
/// Left out: whether a point lies on the ground, which doesn't change by little, and the certificate.
#[derive(Debug, Clone)]
pub struct Response {
    pub(crate) ids: Lineage,
    pub(crate) at: Vec<Vector3<f64>>,
    pub(crate) forces: Vec<Vector3<f64>>,
    pub(crate) reactions: Vec<Vector3<f64>>,
    pub(crate) parts: Vec<PartChange>,
    /// First part and number of parts of each rope.
    pub(crate) ropes: Vec<(usize, usize)>,
}

/// The change of one part of a rope.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct PartResponse {
    /// More unstretched rope in it. Of a slack rope without weight, the change of the share that was given.
    pub share: Length,
    /// More distance of its ends.
    pub chord: Length,
    /// More tension where it starts.
    pub tension_first: Force,
    /// More tension where it ends.
    pub tension_last: Force,
    /// More strain where it is largest.
    pub strain: Ratio,
    /// More sag.
    pub sag: Length,
    /// More force on the point where it starts.
    pub pull_first: Force3,
    /// More force on the point where it ends.
    pub pull_last: Force3,
}

/// The change of one turn of a rope.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct SheaveResponse {
    /// More turn.
    pub turn: Angle,
    /// More of the angle between its two parts.
    pub interior: Angle,
    /// More tension of the part before.
    pub tension_before: Force,
    /// More tension of the part after.
    pub tension_after: Force,
    /// More force of the rope on the sheave.
    pub force: Force3,
}

#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct PartChange {
    pub(crate) first: Vector3<f64>,
    pub(crate) last: Vector3<f64>,
    pub(crate) tension_first: f64,
    pub(crate) tension_last: f64,
    pub(crate) length: f64,
    pub(crate) chord: f64,
    pub(crate) strain: f64,
    pub(crate) sag: f64,
    /// Of the turn behind the part.
    pub(crate) turn: f64,
}

impl Response {
    /// How far a point moves.
    ///
    /// # Errors
    /// If the point is another rig's.
    pub fn position(&self, point: PointId) -> Result<Point3, RigError> {
        Ok(Point3::from_si(self.of_point(&self.at, point)?))
    }

    /// More force of all ropes together on a point.
    ///
    /// # Errors
    /// If the point is another rig's.
    pub fn rope_force(&self, point: PointId) -> Result<Force3, RigError> {
        Ok(Force3::from_si(self.of_point(&self.forces, point)?))
    }

    /// The change of the reaction at a point.
    ///
    /// # Errors
    /// If the point is another rig's.
    pub fn reaction(&self, point: PointId) -> Result<Force3, RigError> {
        Ok(Force3::from_si(self.of_point(&self.reactions, point)?))
    }

    /// What each part of a rope does, from its first end to its last.
    ///
    /// # Errors
    /// If the rope is another rig's.
    pub fn parts(&self, rope: RopeId) -> Result<Vec<PartResponse>, RigError> {
        Ok(self.of_rope(rope)?.iter().map(PartChange::response).collect())
    }

    /// What one part of a rope does, counted from 0 at its first end; none beyond its last.
    ///
    /// # Errors
    /// If the rope is another rig's.
    pub fn part(&self, rope: RopeId, number: usize) -> Result<Option<PartResponse>, RigError> {
        Ok(self.of_rope(rope)?.get(number).map(PartChange::response))
    }

    /// More unstretched length of a rope between its ends.
    ///
    /// # Errors
    /// If the rope is another rig's.
    pub fn length(&self, rope: RopeId) -> Result<Length, RigError> {
        Ok(metres(self.of_rope(rope)?.iter().map(|p| p.length).sum()))
    }

    /// What a turn of a rope does.
    ///
    /// # Errors
    /// If the sheave is another rig's.
    pub fn sheave(&self, sheave: SheaveId) -> Result<SheaveResponse, RigError> {
        let k = sheave.turn as usize;
        match self.of_rope(sheave.rope())?.get(k..k + 2) {
            Some([before, after]) => Ok(SheaveResponse {
                turn: radians(before.turn),
                interior: radians(-before.turn),
                tension_before: newtons(before.tension_last),
                tension_after: newtons(after.tension_first),
                force: Force3::from_si(after.first - before.last),
            }),
            _ => Err(RigError::Foreign { kind: "sheave" }),
        }
    }

    fn of_point(&self, list: &[Vector3<f64>], point: PointId) -> Result<Vector3<f64>, RigError> {
        let at = self.ids.point_at(point).and_then(|at| list.get(at));
        at.copied().ok_or(RigError::Foreign { kind: "point" })
    }

    fn of_rope(&self, rope: RopeId) -> Result<&[PartChange], RigError> {
        let range = self.ids.rope_at(rope).and_then(|at| self.ropes.get(at));
        let parts = range.and_then(|&(first, count)| self.parts.get(first..first + count));
        parts.ok_or(RigError::Foreign { kind: "rope" })
    }
}

impl PartChange {
    fn response(&self) -> PartResponse {
        PartResponse {
            share: metres(self.length),
            chord: metres(self.chord),
            tension_first: newtons(self.tension_first),
            tension_last: newtons(self.tension_last),
            strain: ratio(self.strain),
            sag: metres(self.sag),
            pull_first: Force3::from_si(self.first),
            pull_last: Force3::from_si(-self.last),
        }
    }
}
