//! A rig as text: every quantity with its unit, points and ropes by name.

use super::error::RigError;
use super::model::{End, FreePoint, PointId, Rig, Run, Supply};
use super::solution::Solution;
use crate::geometry::{Direction3, Force3, Point3};
use crate::quantity::{Force, Length, LineMass, Ratio, line_weight_of};
use crate::rope::Stretch;
use crate::sheave::{Motion, Turn};
use crate::text::as_text;
use alloc::borrow::ToOwned;
use alloc::collections::BTreeMap;
use alloc::string::String;
use alloc::vec::Vec;
use serde::{Deserialize, Serialize};

/// A rig to be read from a file, or written to one.
///
/// ```
/// use rope_mechanics::rig::RigSpec;
///
/// let spec: RigSpec = serde_json::from_str(r#"{
///     "points": [
///         { "name": "left", "at": ["0 m", "0 m", "0 m"], "fixed": true },
///         { "name": "right", "at": ["30 m", "0 m", "4 m"], "fixed": true },
///         { "name": "carriage", "weight": "2 kN" }
///     ],
///     "ropes": [
///         { "name": "track", "from": "left", "over": [{ "point": "carriage" }], "to": "right",
///           "length": "32 m", "stretch": "40 kN", "mass": "85 g/m" }
///     ]
/// }"#)?;
/// let rig = spec.build()?;
/// let record = rig.solve()?.record();
/// println!("{}", serde_json::to_string_pretty(&record)?);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RigSpec {
    /// The points.
    pub points: Vec<PointSpec>,
    /// The ropes.
    pub ropes: Vec<RopeSpec>,
}

/// A point by name.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PointSpec {
    /// What it is called.
    pub name: String,
    /// Where it is fixed, or where the search for it starts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<Point3>,
    /// Whether it stays there.
    #[serde(default)]
    pub fixed: bool,
    /// What holds it, if it moves.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub held: Option<HoldSpec>,
    /// Its weight.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub weight: Option<Force>,
    /// A force on it: x, y, z.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub force: Option<[ForceText; 3]>,
}

/// A force as text.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct ForceText(#[serde(with = "as_text")] pub Force);

/// What holds a point that moves.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum HoldSpec {
    /// A plane, by a point and its normal.
    Plane {
        /// A point of it.
        through: Point3,
        /// At right angles to it.
        normal: [f64; 3],
    },
    /// A line, by a point and its direction.
    Line {
        /// A point of it.
        through: Point3,
        /// Along it.
        along: [f64; 3],
    },
    /// Ground that only pushes, by a point and its upward normal.
    Ground {
        /// A point of it.
        through: Point3,
        /// At right angles to it, out of the ground.
        normal: [f64; 3],
    },
}

/// A rope by the names of its points.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RopeSpec {
    /// What it is called.
    pub name: String,
    /// The point it starts from.
    pub from: String,
    /// What it runs over, in order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub over: Vec<TurnSpec>,
    /// The point it ends at.
    pub to: String,
    /// Unstretched length; either this or a set tension.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub length: Option<Length>,
    /// The tension set at an end, all strands together.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub tension: Option<Force>,
    /// At which end the tension is set, and where the hand, winch or brake is.
    #[serde(default = "last")]
    pub hand: End,
    /// Axial stiffness of one strand, a in T = aε + bε².
    #[serde(with = "as_text")]
    pub stretch: Force,
    /// b in T = aε + bε².
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub stiffening: Option<Force>,
    /// Mass per metre of one strand; none for a weightless rope.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub mass: Option<LineMass>,
    /// Strands side by side.
    #[serde(default = "one")]
    pub strands: u32,
    /// What the rope is doing.
    #[serde(default = "at_rest")]
    pub motion: Motion,
}

/// A turn of a rope.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TurnSpec {
    /// Over what.
    pub point: String,
    /// How much of the tension gets around half a turn; all, if absent.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub efficiency: Option<Ratio>,
}

fn last() -> End {
    End::Last
}

fn one() -> u32 {
    1
}

fn at_rest() -> Motion {
    Motion::AtRest
}

fn direction([x, y, z]: [f64; 3]) -> Result<Direction3, RigError> {
    let ratio = crate::quantity::ratio;
    Ok(Direction3::new(ratio(x), ratio(y), ratio(z))?)
}

impl RigSpec {
    /// The rig.
    ///
    /// # Errors
    /// What [`Rig::fixed`], [`Rig::point`] and [`Rig::rope`] refuse; a name that no point has; a fixed point without a
    /// place; a rope with neither or both of length and tension.
    pub fn build(&self) -> Result<Rig, RigError> {
        let mut rig = Rig::new();
        let mut ids: BTreeMap<&str, PointId> = BTreeMap::new();
        for point in &self.points {
            let missing = |what| RigError::Spec { name: point.name.clone(), what };
            let id = if point.fixed {
                rig.fixed(
                    &point.name,
                    point.at.ok_or_else(|| missing("is fixed, but has no place: give \"at\""))?,
                )?
            } else {
                let mut free = match point.held {
                    None => FreePoint::anywhere(),
                    Some(HoldSpec::Plane { through, normal }) => {
                        FreePoint::on_plane(through, direction(normal)?)?
                    }
                    Some(HoldSpec::Line { through, along }) => {
                        FreePoint::on_line(through, direction(along)?)?
                    }
                    Some(HoldSpec::Ground { through, normal }) => {
                        FreePoint::above_ground(through, direction(normal)?)
                    }
                };
                if let Some(weight) = point.weight {
                    free = free.with_weight(weight);
                }
                if let Some([x, y, z]) = point.force {
                    free = free.with_force(Force3::new(x.0, y.0, z.0));
                }
                if let Some(at) = point.at {
                    free = free.with_start(at);
                }
                rig.point(&point.name, free)?
            };
            ids.insert(&point.name, id);
        }
        let find = |name: &str| {
            let unknown = || RigError::Spec {
                name: name.to_owned(),
                what: "is no point of this rig: add it to the points",
            };
            ids.get(name).copied().ok_or_else(unknown)
        };
        for rope in &self.ropes {
            let supply = match (rope.length, rope.tension) {
                (Some(length), None) => Supply::Length(length),
                (None, Some(tension)) => Supply::Tension { at: rope.hand, tension },
                _ => {
                    let what = "needs either a length or a tension, and not both";
                    return Err(RigError::Spec { name: rope.name.clone(), what });
                }
            };
            let stretch = Stretch::stiffening(rope.stretch, rope.stiffening.unwrap_or_default())?;
            let mut run = Run::new(stretch, supply, find(&rope.from)?, find(&rope.to)?)
                .with_weight(line_weight_of(rope.mass.unwrap_or_default()))
                .with_strands(rope.strands)
                .with_motion(rope.motion, rope.hand);
            for over in &rope.over {
                let turn = over.efficiency.map_or(Ok(Turn::FRICTIONLESS), Turn::sheave)?;
                run = run.over(find(&over.point)?, turn);
            }
            rig.rope(&rope.name, run)?;
        }
        Ok(rig)
    }
}

/// A solution to be written to a file.
#[derive(Debug, Clone, PartialEq, Serialize)]
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
    /// See [`super::Certificate::least_stiffness`]; absent where nothing moves.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub least_stiffness_n_per_m: Option<f64>,
    /// See [`super::Certificate::unique`].
    pub unique: bool,
}

/// A point of a solution.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct PointRecord {
    /// Its name.
    pub name: String,
    /// Where it is.
    pub at: Point3,
    /// The force of the ropes on it: x, y, z.
    pub rope_force: [ForceText; 3],
    /// What has to hold it: x, y, z.
    pub reaction: [ForceText; 3],
}

/// A rope of a solution.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct RopeRecord {
    /// Its name.
    pub name: String,
    /// Its unstretched length.
    #[serde(with = "as_text")]
    pub length: Length,
    /// Its parts in order.
    pub parts: Vec<PartRecord>,
}

/// A part of a rope of a solution. Tensions count all strands together.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct PartRecord {
    /// Unstretched length in it.
    #[serde(with = "as_text")]
    pub share: Length,
    /// Tension where it starts.
    #[serde(with = "as_text")]
    pub tension_first: Force,
    /// Tension where it ends.
    #[serde(with = "as_text")]
    pub tension_last: Force,
    /// Whether it is slack.
    pub slack: bool,
}

fn texts(f: Force3) -> [ForceText; 3] {
    [ForceText(f.x), ForceText(f.y), ForceText(f.z)]
}

impl Solution {
    /// Names and numbers, to be written to a file.
    #[must_use]
    pub fn record(&self) -> RigRecord {
        let rig = self.rig();
        let points = rig
            .points()
            .filter_map(|id| {
                Some(PointRecord {
                    name: rig.point_name(id).ok()?.to_owned(),
                    at: self.position(id).ok()?,
                    rope_force: texts(self.rope_force(id).ok()?),
                    reaction: texts(self.reaction(id).ok()?),
                })
            })
            .collect();
        let ropes = rig
            .ropes()
            .filter_map(|id| {
                let parts = self.parts(id).ok()?.into_iter().map(|p| PartRecord {
                    share: p.share,
                    tension_first: p.tension_first,
                    tension_last: p.tension_last,
                    slack: p.slack,
                });
                Some(RopeRecord {
                    name: rig.rope_name(id).ok()?.to_owned(),
                    length: self.length(id).ok()?,
                    parts: parts.collect(),
                })
            })
            .collect();
        let proof = self.certificate();
        RigRecord {
            points,
            ropes,
            iterations: proof.iterations,
            force_residual: proof.force_residual,
            closing_residual: proof.closing_residual,
            least_stiffness_n_per_m: Some(proof.least_stiffness.value).filter(|k| k.is_finite()),
            unique: proof.unique,
        }
    }
}
