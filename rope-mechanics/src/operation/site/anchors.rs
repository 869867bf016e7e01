//! Anchors by what they are, where nobody has rated them: a vehicle, pickets, a buried beam.
//!
//! What each holds comes from [`anchor`](crate::anchor). No margin is in it: the factor that is wanted of anchors must cover what
//! the tables haven't seen.

use super::reading::one_of;
use crate::anchor::{Beam, Deadman, DeadmanSoil, Picket, PicketSoil, Pickets, Surface, Vehicle};
use crate::error::InputError;
use crate::math;
use crate::operation::place::Place;
use crate::operation::plan::SiteError;
use crate::quantity::{Angle, Force, Length, Mass, Ratio, radians};
use crate::text::{as_text, both, si};
use alloc::format;
use alloc::string::{String, ToString};
use serde::{Deserialize, Serialize};

/// Anchors by what they are. Each takes the place of `ratings.….anchor` there.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(
    deny_unknown_fields,
    expecting = "the table of anchors by what they are: far, redirect, cell, capstan, haul_redirect, tackle, winch"
)]
#[non_exhaustive]
pub struct SiteAnchors {
    /// The far anchor.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub far: Option<SiteAnchor>,
    /// Of the redirect of the track rope.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub redirect: Option<SiteAnchor>,
    /// Behind the load cell.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cell: Option<SiteAnchor>,
    /// Of the capstan: the vehicle that carries it, say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub capstan: Option<SiteAnchor>,
    /// Of each redirect of the haul rope.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub haul_redirect: Option<SiteAnchor>,
    /// Of the haul tackle.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tackle: Option<SiteAnchor>,
    /// Of the haul winch: the vehicle that carries it, say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub winch: Option<SiteAnchor>,
}

/// What an anchor is.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "AnchorKeys", into = "AnchorKeys")]
#[non_exhaustive]
pub enum SiteAnchor {
    /// A vehicle on its brakes.
    Vehicle(SiteVehicle),
    /// Pickets.
    Pickets(SitePickets),
    /// A buried beam.
    Buried(SiteBuried),
}

#[derive(Default, Serialize, Deserialize)]
#[serde(
    deny_unknown_fields,
    expecting = "one of { vehicle = { … } }, { pickets = { … } } and { buried = { … } }"
)]
struct AnchorKeys {
    /// A vehicle on its brakes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    vehicle: Option<SiteVehicle>,
    /// Pickets.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pickets: Option<SitePickets>,
    /// A buried beam.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    buried: Option<SiteBuried>,
}

impl TryFrom<AnchorKeys> for SiteAnchor {
    type Error = String;

    fn try_from(keys: AnchorKeys) -> Result<Self, String> {
        one_of([
            ("vehicle", keys.vehicle.map(Self::Vehicle)),
            ("pickets", keys.pickets.map(Self::Pickets)),
            ("buried", keys.buried.map(Self::Buried)),
        ])
    }
}

impl From<SiteAnchor> for AnchorKeys {
    fn from(anchor: SiteAnchor) -> Self {
        let none = Self::default();
        match anchor {
            SiteAnchor::Vehicle(vehicle) => Self { vehicle: Some(vehicle), ..none },
            SiteAnchor::Pickets(pickets) => Self { pickets: Some(pickets), ..none },
            SiteAnchor::Buried(buried) => Self { buried: Some(buried), ..none },
        }
    }
}

/// A vehicle as an anchor: see [`Vehicle`].
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, expecting = "the table of a vehicle: mass, surface or friction, grade, braked")]
#[non_exhaustive]
pub struct SiteVehicle {
    /// Its mass.
    #[serde(with = "as_text")]
    pub mass: Mass,
    /// What its wheels stand on: "asphalt-dry", "asphalt-wet", "gravel-wet", "snow", "earth-wet" or "ice".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub surface: Option<Surface>,
    /// The friction of its locked wheels, in the place of a surface.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub friction: Option<Ratio>,
    /// How much the road falls in the direction of the pull; negative where it rises.
    #[serde(with = "as_text")]
    pub grade: Angle,
    /// The share of its weight on braked wheels: a parking brake often holds one axle only.
    #[serde(with = "as_text")]
    pub braked: Ratio,
}

/// Pickets as an anchor: see [`Picket`].
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(
    deny_unknown_fields,
    expecting = "the table of pickets: arrangement, soil, thickness, length, driven"
)]
#[non_exhaustive]
pub struct SitePickets {
    /// "one", "one-one", "one-one-one", "two-one" or "three-two-one", counted from the load backwards.
    pub arrangement: Pickets,
    /// "undisturbed-loam", "wet-clay-and-gravel" or "wet-river-clay-and-sand".
    pub soil: PicketSoil,
    /// Thickness of each.
    #[serde(with = "as_text")]
    pub thickness: Length,
    /// Length of each.
    #[serde(with = "as_text")]
    pub length: Length,
    /// How deep each is driven.
    #[serde(with = "as_text")]
    pub driven: Length,
}

/// A buried beam as an anchor: see [`Deadman`].
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(
    deny_unknown_fields,
    expecting = "the table of a buried beam: depth, slope, soil, length, diameter, or face and thickness"
)]
#[non_exhaustive]
pub struct SiteBuried {
    /// Mean depth.
    #[serde(with = "as_text")]
    pub depth: Length,
    /// How steeply the rope rises to it, by its run: "25 %" to "100 %". Steeper holds less.
    #[serde(with = "as_text")]
    pub slope: Ratio,
    /// "hardpan-or-rock", "loam" or "fine-wet-or-sandy".
    pub soil: DeadmanSoil,
    /// Length of the beam.
    #[serde(with = "as_text")]
    pub length: Length,
    /// Diameter of a log.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub diameter: Option<Length>,
    /// Height of the face of a timber,
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub face: Option<Length>,
    /// and its thickness along the pull.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub thickness: Option<Length>,
}

/// What an anchor holds, and how that comes about.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Holds {
    pub(crate) place: Place,
    pub(crate) strength: Force,
    pub(crate) basis: String,
}

impl SiteAnchors {
    fn all(&self) -> [(Place, &'static str, Option<SiteAnchor>); 7] {
        [
            (Place::Far, "far", self.far),
            (Place::TrackRedirect, "redirect", self.redirect),
            (Place::Cell, "cell", self.cell),
            (Place::Capstan, "capstan", self.capstan),
            (Place::HaulRedirect(0), "haul_redirect", self.haul_redirect),
            (Place::Tackle, "tackle", self.tackle),
            (Place::Winch, "winch", self.winch),
        ]
    }

    /// What each holds.
    pub(crate) fn holds(
        &self,
        rated: impl Fn(&str) -> Option<Force>,
    ) -> Result<alloc::vec::Vec<Holds>, SiteError> {
        let mut list = alloc::vec::Vec::new();
        for (place, name, anchor) in self.all() {
            let Some(anchor) = anchor else { continue };
            let key = format!("anchors.{name}");
            if rated(name).is_some() {
                return Err(SiteError::new(
                    key,
                    format!("ratings.{name}.anchor says what it holds, too: leave one of them out"),
                ));
            }
            let (strength, basis) = match anchor {
                SiteAnchor::Vehicle(vehicle) => vehicle.holds(&format!("{key}.vehicle"))?,
                SiteAnchor::Pickets(pickets) => pickets.holds(&format!("{key}.pickets"))?,
                SiteAnchor::Buried(buried) => buried.holds(&format!("{key}.buried"))?,
            };
            list.push(Holds { place, strength, basis });
        }
        Ok(list)
    }
}

/// An input error of the anchor at the key that it came from.
fn at(key: &str, field: impl Fn(&str) -> &'static str) -> impl Fn(InputError) -> SiteError {
    move |why| SiteError::at(format!("{key}.{}", field(why.field)), why)
}

impl SiteVehicle {
    /// F = m·g·(μ·cos γ − sin γ)/√(1 + μ²): the least over all directions in which the rope may rise or fall, which is where
    /// it rises by atan μ. μ is the friction by the share of weight on braked wheels.
    fn holds(&self, key: &str) -> Result<(Force, String), SiteError> {
        let friction = match (self.surface, self.friction) {
            (Some(surface), None) => surface.friction(),
            (None, Some(friction)) => friction,
            _ => return Err(SiteError::new(key, "give one of surface and friction")),
        };
        let named = |field: &str| match field {
            "mass" => "mass",
            "grade" => "grade",
            "braked_share" => "braked",
            _ => "friction",
        };
        let vehicle = Vehicle::new(self.mass, friction)
            .and_then(|vehicle| vehicle.with_grade(self.grade))
            .and_then(|vehicle| vehicle.with_braked_share(self.braked))
            .and_then(|vehicle| {
                vehicle.with_rope_rise(radians(math::atan2((friction * self.braked).value, 1.0)))
            })
            .map_err(at(key, named))?;
        let strength = vehicle.holds().map_err(|why| SiteError::new(key, why.to_string()))?;
        let basis = format!(
            "a vehicle of {} begins to slide, with {} of friction on {} of its weight, in the worst direction of the rope; no margin is in it",
            both(self.mass),
            si(friction),
            si(self.braked)
        );
        Ok((strength, basis))
    }
}

impl SitePickets {
    fn holds(&self, key: &str) -> Result<(Force, String), SiteError> {
        let named = |field: &str| match field {
            "thickness" => "thickness",
            "length" => "length",
            _ => "driven",
        };
        let picket = Picket::new(self.thickness, self.length, self.driven).map_err(at(key, named))?;
        let strength = picket.hold(self.arrangement, self.soil);
        Ok((
            strength,
            "pickets by a published table, pulled along the ground; no margin is in it".to_string(),
        ))
    }
}

impl SiteBuried {
    fn holds(&self, key: &str) -> Result<(Force, String), SiteError> {
        let beam = match (self.diameter, self.face, self.thickness) {
            (Some(diameter), None, None) => Beam::Log { diameter },
            (None, Some(face), Some(thickness)) => Beam::Timber { face, thickness },
            _ => {
                return Err(SiteError::new(
                    key,
                    "give the diameter of a log, or face and thickness of a timber",
                ));
            }
        };
        let named = |field: &str| match field {
            "mean_depth" => "depth",
            "slope" => "slope",
            "face" => "face",
            "thickness" => "thickness",
            "diameter" => "diameter",
            _ => "length",
        };
        let deadman = Deadman::new(self.depth, self.slope, beam, self.soil).map_err(at(key, named))?;
        let strength = deadman.hold(self.length).map_err(|why| match why {
            crate::anchor::AnchorError::Input(why) => SiteError::at(format!("{key}.length"), why),
            why => SiteError::new(format!("{key}.length"), why.to_string()),
        })?;
        let basis = format!(
            "a buried beam by a published table, with a rope that rises by {} of its run; no margin is in it",
            si(self.slope)
        );
        Ok((strength, basis))
    }
}
