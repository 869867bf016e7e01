//! A rig as text: every quantity with its unit, points and ropes by name.

use super::ids::PointId;
use super::{FreePoint, Hold, Rig, RopeEnd, RopeRun, RopeSupply, Supplied};
use crate::error::{self, InputError};
use crate::geometry::{Direction3, Force3, Point3};
use crate::motion::Motion;
use crate::quantity::{Force, Length, LineMass, LineWeight, Ratio, line_weight_of, metres, newtons, ratio};
use crate::rig::error::RigError;
use crate::rope::Stretch;
use crate::sheave::Turn;
use crate::text::as_text;
use alloc::borrow::ToOwned;
use alloc::collections::BTreeMap;
use alloc::format;
use alloc::string::String;
use alloc::vec::Vec;
use core::fmt;
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

fn direction([x, y, z]: [f64; 3]) -> Result<Direction3, InputError> {
    Direction3::new(ratio(x), ratio(y), ratio(z))
}

/// A number of a spec: what the core calls it, its key, its value in SI.
type Given = (&'static str, String, f64);

fn three(core: &'static str, key: String, values: [f64; 3]) -> impl Iterator<Item = Given> {
    values.into_iter().enumerate().map(move |(axis, value)| (core, format!("{key}[{axis}]"), value))
}

/// An error about a number, at its place.
fn placed(why: RigError, of: fmt::Arguments<'_>, given: impl Iterator<Item = Given>) -> RigError {
    let RigError::Input(why) = why else { return why };
    let mut keys = given.filter(|(core, ..)| *core == why.field);
    let key = keys.find(|(.., value)| value.to_bits() == why.value.to_bits());
    let path = format!("{of}.{}", key.as_ref().map_or(why.field, |(_, key, _)| key));
    RigError::At { path, why }
}

impl HoldSpec {
    /// Its key and place; the key of its direction, and that.
    fn parts(self) -> (&'static str, Point3, &'static str, [f64; 3]) {
        match self {
            Self::Plane { through, normal } => ("plane", through, "normal", normal),
            Self::Line { through, along } => ("line", through, "along", along),
            Self::Ground { through, normal } => ("ground", through, "normal", normal),
        }
    }
}

impl PointSpec {
    fn add_to(&self, rig: &mut Rig) -> Result<PointId, RigError> {
        let wrong = |what| RigError::Spec { name: self.name.clone(), what };
        if self.fixed {
            if self.weight.is_some() || self.force.is_some() || self.held.is_some() {
                let what = "is fixed, so nothing else can hold or load it: leave out \"weight\", \"force\" and \"held\"";
                return Err(wrong(what));
            }
            let place = self.at.ok_or_else(|| wrong("is fixed, but has no place: give \"at\""))?;
            return rig.fixed(&self.name, place);
        }
        let mut free = match self.held {
            None => FreePoint::anywhere(),
            Some(HoldSpec::Plane { through, normal }) => FreePoint::on_plane(through, direction(normal)?)?,
            Some(HoldSpec::Line { through, along }) => FreePoint::on_line(through, direction(along)?)?,
            Some(HoldSpec::Ground { through, normal }) => {
                FreePoint::above_ground(through, direction(normal)?)
            }
        };
        if let Some(weight) = self.weight {
            free = free.with_weight(weight);
        }
        if let Some([x, y, z]) = self.force {
            free = free.with_force(Force3::new(x.0, y.0, z.0));
        }
        if let Some(at) = self.at {
            free = free.with_start(at);
        }
        rig.point(&self.name, free)
    }

    fn given(&self) -> impl Iterator<Item = Given> {
        let at = self.at.map(|at| list(at.si()));
        let weight = self.weight.map(|weight| ("weight", "weight".to_owned(), weight.value));
        let force =
            self.force.map(|force| three("force", "force".to_owned(), force.map(|along| along.0.value)));
        let held = self.held.map(|held| {
            let (kind, through, key, [x, y, z]) = held.parts();
            let key = format!("held.{kind}.{key}");
            three("through", format!("held.{kind}.through"), list(through.si())).chain([
                ("x", format!("{key}[0]"), x),
                ("y", format!("{key}[1]"), y),
                ("z", format!("{key}[2]"), z),
                // All of them zero.
                ("direction", key, 0.0),
            ])
        });
        ["at", "start"]
            .into_iter()
            .flat_map(move |core| at.map(|at| three(core, "at".to_owned(), at)))
            .flatten()
            .chain(weight)
            .chain(force.into_iter().flatten())
            .chain(held.into_iter().flatten())
    }
}

impl RopeRunSpec {
    fn add_to(&self, rig: &mut Rig, ids: &BTreeMap<&str, PointId>) -> Result<(), RigError> {
        let wrong = |what| RigError::Spec { name: self.name.clone(), what };
        let find = |name: &str| {
            let unknown = || RigError::Spec {
                name: name.to_owned(),
                what: "is no point of this rig: add it to the points",
            };
            ids.get(name).copied().ok_or_else(unknown)
        };
        let supply = match (self.length, self.tension) {
            (Some(length), None) => RopeSupply::Length(length),
            (None, Some(tension)) => {
                RopeSupply::Tension { at: self.tension_at.unwrap_or(self.hand), tension }
            }
            _ => return Err(wrong("needs either a length or a tension, and not both")),
        };
        if self.tension.is_none() && self.tension_at.is_some() {
            return Err(wrong("has an end for a tension, but no tension"));
        }
        let weight = match (self.mass, self.weight) {
            (Some(_), Some(_)) => return Err(wrong("has both a mass and a weight: leave one out")),
            (Some(mass), None) => {
                error::non_negative("mass", mass)?;
                line_weight_of(mass)
            }
            (None, weight) => weight.unwrap_or_default(),
        };
        let stretch = Stretch::stiffening(self.stretch, self.stiffening.unwrap_or_default())?;
        let mut run = RopeRun::new(stretch, supply, find(&self.from)?, find(&self.to)?)
            .with_weight(weight)
            .with_strands(self.strands)
            .with_motion(self.motion, self.hand);
        for over in &self.over {
            let turn = match (over.efficiency, over.friction) {
                (None, None) => Turn::FRICTIONLESS,
                (Some(efficiency), None) => Turn::sheave(efficiency)?,
                (None, Some(mu)) => Turn::bar(ratio(mu.raising), ratio(mu.lowering))?,
                _ => return Err(wrong("has a turn with both an efficiency and a friction: leave one out")),
            };
            run = run.over_with_wraps(find(&over.point)?, turn, over.wraps);
        }
        rig.rope(&self.name, run).map(|_| ())
    }

    fn given(&self) -> impl Iterator<Item = Given> {
        let one = |core, key: &str, value: Option<f64>| value.map(|value| (core, key.to_owned(), value));
        let turns = self.over.iter().enumerate().flat_map(move |(index, over)| {
            let key = |key: &str| format!("over[{index}].{key}");
            let friction = over.friction;
            [
                one("sheave_efficiency", &key("efficiency"), over.efficiency.map(|share| share.value)),
                one("friction_raising", &key("friction.raising"), friction.map(|mu| mu.raising)),
                one("friction_lowering", &key("friction.lowering"), friction.map(|mu| mu.lowering)),
                one("wraps", &key("wraps"), Some(f64::from(over.wraps))),
            ]
        });
        [
            one("rope_length", "length", self.length.map(|length| length.value)),
            one("set_tension", "tension", self.tension.map(|tension| tension.value)),
            one("stretch_a", "stretch", Some(self.stretch.value)),
            one("stretch_b", "stiffening", self.stiffening.map(|stiffening| stiffening.value)),
            one("rope_weight", "weight", self.weight.map(|weight| weight.value)),
        ]
        .into_iter()
        .chain(turns)
        .flatten()
    }
}

impl RigSpec {
    /// The rig.
    ///
    /// # Errors
    /// What [`Rig::fixed`], [`Rig::point`] and [`Rig::rope`] refuse, a number with its place here
    /// ([`RigError::At`]); a name that no point has; a fixed point without a
    /// place, or with a weight, a force or something that holds it; a rope with neither or both of length and tension,
    /// with both of mass and weight, or with an end for a tension that isn't set; a turn with both of efficiency and
    /// friction.
    pub fn build(&self) -> Result<Rig, RigError> {
        let mut rig = Rig::new();
        let mut ids: BTreeMap<&str, PointId> = BTreeMap::new();
        for (index, point) in self.points.iter().enumerate() {
            let id = point
                .add_to(&mut rig)
                .map_err(|why| placed(why, format_args!("points[{index}]"), point.given()))?;
            ids.insert(&point.name, id);
        }
        for (index, rope) in self.ropes.iter().enumerate() {
            rope.add_to(&mut rig, &ids)
                .map_err(|why| placed(why, format_args!("ropes[{index}]"), rope.given()))?;
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
