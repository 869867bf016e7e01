//! A rig as text: every quantity with its unit, points and ropes by name.

use super::ids::PointId;
use super::{FreePoint, Hold, Rig, RopeEnd, RopeRun, RopeSupply, Supplied};
use crate::geometry::{Direction3, Force3, Point3};
use crate::motion::Motion;
use crate::quantity::{Force, Length, LineMass, LineWeight, Ratio, line_weight_of, metres, newtons, ratio};
use crate::rig::error::RigError;
use crate::rope::Stretch;
use crate::sheave::Turn;
use crate::text::as_text;
use alloc::borrow::ToOwned;
use alloc::collections::BTreeMap;
use alloc::string::String;
use alloc::vec::Vec;
use nalgebra::Vector3;
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
    pub ropes: Vec<RopeRunSpec>,
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
pub struct RopeRunSpec {
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
    /// At which end the tension is set; where the hand is, if absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tension_at: Option<RopeEnd>,
    /// Where the hand, winch or brake is.
    #[serde(default = "last")]
    pub hand: RopeEnd,
    /// Axial stiffness of one strand, a in T = aε + bε².
    #[serde(with = "as_text")]
    pub stretch: Force,
    /// b in T = aε + bε².
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub stiffening: Option<Force>,
    /// Mass per metre of one strand; neither this nor a weight for a weightless rope.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub mass: Option<LineMass>,
    /// Weight per metre of one strand, in place of a mass.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub weight: Option<LineWeight>,
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
    /// Of a sheave: how much of the tension gets around half a turn; all, if neither this nor a friction is given.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub efficiency: Option<Ratio>,
    /// Of a fixed bar or edge: its coefficient of friction, both ways.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub friction: Option<FrictionSpec>,
    /// Whole turns around it, besides what the directions of the rope show.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub wraps: u32,
}

/// The friction of a bar or edge.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FrictionSpec {
    /// While the load comes.
    pub raising: f64,
    /// While it goes.
    pub lowering: f64,
}

fn is_zero(wraps: &u32) -> bool {
    *wraps == 0
}

fn last() -> RopeEnd {
    RopeEnd::Last
}

fn one() -> u32 {
    1
}

fn at_rest() -> Motion {
    Motion::AtRest
}

fn direction([x, y, z]: [f64; 3]) -> Result<Direction3, RigError> {
    Ok(Direction3::new(ratio(x), ratio(y), ratio(z))?)
}

impl RigSpec {
    /// The rig.
    ///
    /// # Errors
    /// What [`Rig::fixed`], [`Rig::point`] and [`Rig::rope`] refuse; a name that no point has; a fixed point without a
    /// place, or with a weight, a force or something that holds it; a rope with neither or both of length and tension,
    /// with both of mass and weight, or with an end for a tension that isn't set; a turn with both of efficiency and
    /// friction.
    pub fn build(&self) -> Result<Rig, RigError> {
        let mut rig = Rig::new();
        let mut ids: BTreeMap<&str, PointId> = BTreeMap::new();
        for point in &self.points {
            let missing = |what| RigError::Spec { name: point.name.clone(), what };
            let id = if point.fixed {
                if point.weight.is_some() || point.force.is_some() || point.held.is_some() {
                    let what = "is fixed, so nothing else can hold or load it: leave out \"weight\", \"force\" and \"held\"";
                    return Err(missing(what));
                }
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
            let wrong = |what| RigError::Spec { name: rope.name.clone(), what };
            let supply = match (rope.length, rope.tension) {
                (Some(length), None) => RopeSupply::Length(length),
                (None, Some(tension)) => {
                    RopeSupply::Tension { at: rope.tension_at.unwrap_or(rope.hand), tension }
                }
                _ => return Err(wrong("needs either a length or a tension, and not both")),
            };
            if rope.tension.is_none() && rope.tension_at.is_some() {
                return Err(wrong("has an end for a tension, but no tension"));
            }
            let weight = match (rope.mass, rope.weight) {
                (Some(_), Some(_)) => return Err(wrong("has both a mass and a weight: leave one out")),
                (mass, weight) => weight.unwrap_or_else(|| line_weight_of(mass.unwrap_or_default())),
            };
            let stretch = Stretch::stiffening(rope.stretch, rope.stiffening.unwrap_or_default())?;
            let mut run = RopeRun::new(stretch, supply, find(&rope.from)?, find(&rope.to)?)
                .with_weight(weight)
                .with_strands(rope.strands)
                .with_motion(rope.motion, rope.hand);
            for over in &rope.over {
                let turn = match (over.efficiency, over.friction) {
                    (None, None) => Turn::FRICTIONLESS,
                    (Some(efficiency), None) => Turn::sheave(efficiency)?,
                    (None, Some(mu)) => Turn::bar(ratio(mu.raising), ratio(mu.lowering))?,
                    _ => {
                        return Err(wrong(
                            "has a turn with both an efficiency and a friction: leave one out",
                        ));
                    }
                };
                run = run.over_with_wraps(find(&over.point)?, turn, over.wraps);
            }
            rig.rope(&rope.name, run)?;
        }
        Ok(rig)
    }
}

fn list(v: Vector3<f64>) -> [f64; 3] {
    v.into()
}

impl Rig {
    /// The rig as text, which builds the same rig again.
    #[must_use]
    pub fn spec(&self) -> RigSpec {
        let name = |node: &u32| self.points.get(*node as usize).map_or_else(String::new, |p| p.name.clone());
        let points = self.points.iter().map(|point| {
            let fixed = point.hold == Hold::Fixed;
            let held = match point.hold {
                Hold::Fixed | Hold::Free => None,
                Hold::Plane { through, normal } => {
                    Some(HoldSpec::Plane { through: Point3::from_si(through), normal: list(normal) })
                }
                Hold::Line { through, along } => {
                    Some(HoldSpec::Line { through: Point3::from_si(through), along: list(along) })
                }
                Hold::Ground { through, normal } => {
                    Some(HoldSpec::Ground { through: Point3::from_si(through), normal: list(normal) })
                }
            };
            let force = point.force_n;
            PointSpec {
                name: point.name.clone(),
                at: point.has_start.then(|| Point3::from_si(point.at)),
                fixed,
                held,
                weight: (point.weight_n != 0.0).then(|| newtons(point.weight_n)),
                force: (force != Vector3::zeros()).then(|| list(force).map(|f| ForceText(newtons(f)))),
            }
        });
        let ropes = self.ropes.iter().map(|rope| {
            let (stretch, weight) = rope.strand;
            let over = rope.nodes.iter().skip(1).zip(&rope.turns).map(|(node, around)| TurnSpec {
                point: name(node),
                efficiency: around.turn.efficiency().filter(|_| around.turn != Turn::FRICTIONLESS),
                friction: around.turn.friction().map(|[raising, lowering]| FrictionSpec {
                    raising: raising.value,
                    lowering: lowering.value,
                }),
                wraps: around.wraps,
            });
            let (length, tension, tension_at) = match rope.supply {
                Supplied::Length(length) => (Some(metres(length)), None, None),
                Supplied::Tension(end, tension) => (None, Some(newtons(tension)), Some(end)),
            };
            RopeRunSpec {
                name: rope.name.clone(),
                from: rope.nodes.first().map(name).unwrap_or_default(),
                over: over.collect(),
                to: rope.nodes.last().map(name).unwrap_or_default(),
                length,
                tension,
                tension_at: tension_at.filter(|end| *end != rope.hand),
                hand: rope.hand,
                stretch: stretch.a(),
                stiffening: (!stretch.is_linear()).then(|| stretch.b()),
                mass: None,
                weight: (weight.value != 0.0).then_some(weight),
                strands: rope.strands,
                motion: rope.motion,
            }
        });
        RigSpec { points: points.collect(), ropes: ropes.collect() }
    }
}
