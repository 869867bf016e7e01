//! A solution, and a response, as text: names and numbers, every quantity with its unit.

use super::Solution;
use super::response::Response;
use crate::geometry::{Force3, Point3};
use crate::quantity::{Angle, Force, Length, Ratio};
use crate::rig::Rig;
use crate::rig::error::RigError;
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

/// The name of the point at turn `k` of a rope.
fn turns_at(rig: &Rig, rope: usize, k: usize) -> String {
    let node = rig.ropes.get(rope).and_then(|rope| rope.nodes.get(k + 1));
    let point = node.and_then(|&node| rig.points.get(node as usize));
    point.map_or_else(String::new, |point| point.name.clone())
}

impl Solution {
    /// Names and numbers, to be written to a file.
    #[must_use]
    pub fn record(&self) -> RigRecord {
        let rig = self.rig();
        let point = |id| {
            Ok::<_, RigError>(PointRecord {
                name: rig.point_name(id)?.to_owned(),
                at: self.position(id)?,
                rope_force: texts(self.rope_force(id)?),
                reaction: texts(self.reaction(id)?),
                on_ground: Some(self.on_ground(id)?),
            })
        };
        let rope = |id| {
            let parts = self.parts(id)?.into_iter().zip(self.sags(id)?).map(|(p, sag)| PartRecord {
                share: p.share,
                chord: p.chord,
                tension_first: p.tension_first,
                tension_last: p.tension_last,
                strain: p.strain,
                sag,
                pull_first: texts(p.pull_first),
                pull_last: texts(p.pull_last),
                slack: Some(p.slack),
            });
            let at = rig.rope_at(id)?;
            let sheaves = rig.sheaves(id)?.enumerate().map(|(k, sheave)| {
                let sheave = self.sheave(sheave)?;
                Ok(SheaveRecord {
                    point: turns_at(rig, at, k),
                    turn: sheave.turn,
                    interior: sheave.interior,
                    tension_before: sheave.tension_before,
                    tension_after: sheave.tension_after,
                    force: texts(sheave.force),
                })
            });
            Ok::<_, RigError>(RopeRecord {
                name: rig.rope_name(id)?.to_owned(),
                length: self.length(id)?,
                parts: parts.collect(),
                sheaves: sheaves.collect::<Result<_, RigError>>()?,
            })
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
        let point = |id| {
            Ok::<_, RigError>(PointRecord {
                name: rig.point_name(id)?.to_owned(),
                at: self.position(id)?,
                rope_force: texts(self.rope_force(id)?),
                reaction: texts(self.reaction(id)?),
                on_ground: None,
            })
        };
        let rope = |id| {
            let parts = self.parts(id)?.into_iter().map(|p| PartRecord {
                share: p.share,
                chord: p.chord,
                tension_first: p.tension_first,
                tension_last: p.tension_last,
                strain: p.strain,
                sag: p.sag,
                pull_first: texts(p.pull_first),
                pull_last: texts(p.pull_last),
                slack: None,
            });
            let at = rig.rope_at(id)?;
            let sheaves = rig.sheaves(id)?.enumerate().map(|(k, sheave)| {
                let sheave = self.sheave(sheave)?;
                Ok(SheaveRecord {
                    point: turns_at(rig, at, k),
                    turn: sheave.turn,
                    interior: sheave.interior,
                    tension_before: sheave.tension_before,
                    tension_after: sheave.tension_after,
                    force: texts(sheave.force),
                })
            });
            Ok::<_, RigError>(RopeRecord {
                name: rig.rope_name(id)?.to_owned(),
                length: self.length(id)?,
                parts: parts.collect(),
                sheaves: sheaves.collect::<Result<_, RigError>>()?,
            })
        };
        Ok(ResponseRecord {
            points: self.ids.points().map(point).collect::<Result<_, _>>()?,
            ropes: self.ids.ropes().map(rope).collect::<Result<_, _>>()?,
        })
    }
}
