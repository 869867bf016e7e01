//! A solution, and a response, as text: names and numbers, every quantity with its unit.

use super::response::{PartResponse, Response, SheaveResponse};
use super::{RopePart, Sheave, Solution};
use crate::geometry::{Force3, Point3};
use crate::quantity::{Angle, Force, Length, Ratio};
use crate::rig::Rig;
use crate::rig::error::RigError;
use crate::rig::model::ids::{PointId, RopeId, SheaveId};
use crate::rig::model::spec::ForceText;
use crate::text::as_text;
use alloc::borrow::ToOwned;
use alloc::string::String;
use alloc::vec::Vec;
use serde::{Deserialize, Serialize};

/// A solution to be written to a file, or read from one.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct RigRecord {
    /// Every point.
    pub points: Vec<PointRecord>,
    /// Every rope.
    pub ropes: Vec<RopeRecord>,
    /// Steps taken.
    pub iterations: u32,
    /// See [`super::Certificate::force_residual`].
    #[serde(with = "as_text")]
    pub force_residual: Force,
    /// See [`super::Certificate::closing_residual`].
    #[serde(with = "as_text")]
    pub closing_residual: Length,
    /// See [`super::Certificate::largest_force`].
    #[serde(with = "as_text")]
    pub largest_force: Force,
    /// See [`super::Certificate::least_stiffness`]; absent where nothing moves.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub least_stiffness_n_per_m: Option<f64>,
    /// See [`super::Certificate::unique`].
    pub unique: bool,
}

/// A response to be written to a file, or read from one: of every output, by how much more it is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct ResponseRecord {
    /// Every point: how far it moves, and the forces on it.
    pub points: Vec<PointRecord>,
    /// Every rope.
    pub ropes: Vec<RopeRecord>,
}

/// A point of a solution, or how it answers to a change.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct PointRecord {
    /// Its name.
    pub name: String,
    /// Where it is, or how far it moves.
    pub at: Point3,
    /// The force of the ropes on it: x, y, z.
    pub rope_force: [ForceText; 3],
    /// What has to hold it: x, y, z.
    pub reaction: [ForceText; 3],
    /// Whether it lies on its ground; absent in a response.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on_ground: Option<bool>,
}

/// A rope of a solution, or how it answers to a change.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct RopeRecord {
    /// Its name.
    pub name: String,
    /// Its unstretched length.
    #[serde(with = "as_text")]
    pub length: Length,
    /// Its parts in order.
    pub parts: Vec<PartRecord>,
    /// Its turns in order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sheaves: Vec<SheaveRecord>,
}

/// A part of a rope of a solution, or how it answers to a change. Forces count all strands together.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct PartRecord {
    /// Unstretched length in it.
    #[serde(with = "as_text")]
    pub share: Length,
    /// Distance of its ends.
    #[serde(with = "as_text")]
    pub chord: Length,
    /// Tension where it starts.
    #[serde(with = "as_text")]
    pub tension_first: Force,
    /// Tension where it ends.
    #[serde(with = "as_text")]
    pub tension_last: Force,
    /// Strain where it is largest.
    #[serde(with = "as_text")]
    pub strain: Ratio,
    /// How far it hangs below its chord.
    #[serde(with = "as_text")]
    pub sag: Length,
    /// Force on the point where it starts: x, y, z.
    pub pull_first: [ForceText; 3],
    /// Force on the point where it ends: x, y, z.
    pub pull_last: [ForceText; 3],
    /// Whether it is slack; absent in a response.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub slack: Option<bool>,
}

/// A turn of a rope of a solution, or how it answers to a change.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct SheaveRecord {
    /// The point where it is.
    pub point: String,
    /// By how much the rope changes its direction, with its wraps.
    #[serde(with = "as_text")]
    pub turn: Angle,
    /// The angle between its two parts.
    #[serde(with = "as_text")]
    pub interior: Angle,
    /// Tension of the part before.
    #[serde(with = "as_text")]
    pub tension_before: Force,
    /// Tension of the part after.
    #[serde(with = "as_text")]
    pub tension_after: Force,
    /// Force of the rope on the sheave: x, y, z.
    pub force: [ForceText; 3],
}

fn texts(f: Force3) -> [ForceText; 3] {
    [ForceText(f.x), ForceText(f.y), ForceText(f.z)]
}

impl PointRecord {
    fn new(
        rig: &Rig,
        id: PointId,
        at: Point3,
        [rope_force, reaction]: [Force3; 2],
    ) -> Result<Self, RigError> {
        let name = rig.point_name(id)?.to_owned();
        Ok(Self { name, at, rope_force: texts(rope_force), reaction: texts(reaction), on_ground: None })
    }
}

impl RopeRecord {
    fn new(
        rig: &Rig,
        id: RopeId,
        length: Length,
        parts: impl Iterator<Item = PartRecord>,
        sheave: impl Fn(SheaveId) -> Result<SheaveResponse, RigError>,
    ) -> Result<Self, RigError> {
        let rope = rig.ropes.get(rig.rope_at(id)?).ok_or(RigError::Foreign { kind: "rope" })?;
        let turned_at = rope.nodes.iter().skip(1).filter_map(|&node| rig.points.get(node as usize));
        let sheaves = rig.sheaves(id)?.zip(turned_at).map(|(id, point)| {
            let SheaveResponse { turn, interior, tension_before, tension_after, force } = sheave(id)?;
            let (point, force) = (point.name.clone(), texts(force));
            Ok(SheaveRecord { point, turn, interior, tension_before, tension_after, force })
        });
        let sheaves = sheaves.collect::<Result<_, RigError>>()?;
        Ok(Self { name: rope.name.clone(), length, parts: parts.collect(), sheaves })
    }
}

impl From<PartResponse> for PartRecord {
    fn from(part: PartResponse) -> Self {
        let PartResponse { share, chord, tension_first, tension_last, strain, sag, .. } = part;
        let (pull_first, pull_last) = (texts(part.pull_first), texts(part.pull_last));
        Self { share, chord, tension_first, tension_last, strain, sag, pull_first, pull_last, slack: None }
    }
}

impl Solution {
    /// Names and numbers, to be written to a file.
    #[must_use]
    pub fn record(&self) -> RigRecord {
        let rig = self.rig();
        let point = |id| {
            let forces = [self.rope_force(id)?, self.reaction(id)?];
            let on_ground = Some(self.on_ground(id)?);
            Ok::<_, RigError>(PointRecord {
                on_ground,
                ..PointRecord::new(rig, id, self.position(id)?, forces)?
            })
        };
        let rope = |id| {
            let parts = self.parts(id)?.into_iter().zip(self.sags(id)?);
            let parts = parts.map(|(p, sag)| PartRecord { slack: Some(p.slack), ..p.with_sag(sag).into() });
            RopeRecord::new(rig, id, self.length(id)?, parts, |id| Ok(self.sheave(id)?.without_point()))
        };
        let proof = self.certificate();
        RigRecord {
            // The rig's own points and ropes: none is refused.
            points: rig.points().filter_map(|id| point(id).ok()).collect(),
            ropes: rig.ropes().filter_map(|id| rope(id).ok()).collect(),
            iterations: proof.iterations,
            force_residual: proof.force_residual,
            closing_residual: proof.closing_residual,
            largest_force: proof.largest_force,
            least_stiffness_n_per_m: Some(proof.least_stiffness.value).filter(|k| k.is_finite()),
            unique: proof.unique,
        }
    }
}

impl Response {
    /// Names and numbers, to be written to a file; the names are those of the rig or of any copy of it.
    ///
    /// # Errors
    /// If the response is another rig's.
    pub fn record(&self, rig: &Rig) -> Result<ResponseRecord, RigError> {
        let point =
            |id| PointRecord::new(rig, id, self.position(id)?, [self.rope_force(id)?, self.reaction(id)?]);
        let rope = |id| {
            let parts = self.parts(id)?.into_iter().map(PartRecord::from);
            RopeRecord::new(rig, id, self.length(id)?, parts, |id| self.sheave(id))
        };
        Ok(ResponseRecord {
            points: self.ids.points().map(point).collect::<Result<_, _>>()?,
            ropes: self.ids.ropes().map(rope).collect::<Result<_, _>>()?,
        })
    }
}

impl RopePart {
    fn with_sag(&self, sag: Length) -> PartResponse {
        let Self { share, chord, tension_first, tension_last, strain, pull_first, pull_last, .. } = *self;
        PartResponse { share, chord, tension_first, tension_last, strain, sag, pull_first, pull_last }
    }
}

impl Sheave {
    fn without_point(&self) -> SheaveResponse {
        let Self { turn, interior, tension_before, tension_after, force, .. } = *self;
        SheaveResponse { turn, interior, tension_before, tension_after, force }
    }
}
