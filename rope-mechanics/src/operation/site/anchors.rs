//! Anchors by what they are, where nobody has rated them: a vehicle, pickets, a buried beam, several legs.
//!
//! What each holds comes from [`anchor`](crate::anchor), along the directions in which its ropes pull: of all that occur, the one
//! in which it holds least. No margin is in it: the factor that is wanted of anchors must cover what the tables haven't seen.

use super::reading::one_of;
use crate::anchor::{
    Anchor, AnchorLeg, Beam, Deadman, DeadmanSoil, Picket, PicketSoil, Pickets, Surface, Vehicle,
};
use crate::error::InputError;
use crate::geometry::{Force3, Point3};
use crate::math;
use crate::math::roots;
use crate::operation::place::Place;
use crate::operation::plan::{SiteError, check_place, check_range};
use crate::operation::pulls::{self, Pull};
use crate::quantity::{Angle, Force, Length, Mass, Ratio, radians};
use crate::text::{as_text, both, si};
use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec::Vec;
use core::f64::consts::FRAC_PI_2;
use serde::{Deserialize, Serialize};

/// Anchors by what they are. Each takes the place of `ratings.….anchor` there.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
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
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "AnchorKeys", into = "AnchorKeys")]
#[non_exhaustive]
pub enum SiteAnchor {
    /// A vehicle on its brakes.
    Vehicle(SiteVehicle),
    /// Pickets.
    Pickets(SitePickets),
    /// A buried beam.
    Buried(SiteBuried),
    /// Legs that share the pull.
    Legs(Vec<SiteLeg>),
}

#[derive(Default, Serialize, Deserialize)]
#[serde(
    deny_unknown_fields,
    expecting = "one of { vehicle = { … } }, { pickets = { … } }, { buried = { … } } and { legs = [ … ] }"
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
    /// Legs that share the pull.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    legs: Option<Vec<SiteLeg>>,
}

impl TryFrom<AnchorKeys> for SiteAnchor {
    type Error = String;

    fn try_from(keys: AnchorKeys) -> Result<Self, String> {
        one_of([
            ("vehicle", keys.vehicle.map(Self::Vehicle)),
            ("pickets", keys.pickets.map(Self::Pickets)),
            ("buried", keys.buried.map(Self::Buried)),
            ("legs", keys.legs.map(Self::Legs)),
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
            SiteAnchor::Legs(legs) => Self { legs: Some(legs), ..none },
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

/// A leg of an anchor: see [`AnchorLeg`].
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, expecting = "the table of a leg: at, strength, stiffness, slack")]
#[non_exhaustive]
pub struct SiteLeg {
    /// Its own anchor, from the point where the legs meet: x outward, y to the left, z up.
    pub at: Point3,
    /// What it holds with its own anchor.
    #[serde(with = "as_text")]
    pub strength: Force,
    /// Its stiffness: force by strain.
    #[serde(with = "as_text")]
    pub stiffness: Force,
    /// By how much it is too long; zero unless given.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub slack: Option<Length>,
}

/// What an anchor holds, and how that comes about.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Holds {
    pub(crate) place: Place,
    pub(crate) strength: Force,
    pub(crate) basis: String,
    /// The least and the greatest rise of the ropes that pull it.
    pub(crate) rises: [Angle; 2],
    /// A steeper rise than this its table hasn't seen.
    pub(crate) most_rise: Option<Angle>,
}

/// Pickets hold as their table says for a rope along the ground: one that rises by no more than this. A choice.
const ALONG_THE_GROUND_RAD: f64 = 0.174_532_925_199_432_95;
/// What legs hold is found to this share of it.
const LEGS: f64 = 1e-9;
/// Legs that hold less than this share of what they do together are no anchor.
const SPREAD: f64 = 1e-3;

impl SiteAnchors {
    fn all(&self) -> [(Place, &'static str, Option<&SiteAnchor>); 7] {
        [
            (Place::Far, "far", self.far.as_ref()),
            (Place::TrackRedirect, "redirect", self.redirect.as_ref()),
            (Place::Cell, "cell", self.cell.as_ref()),
            (Place::Capstan, "capstan", self.capstan.as_ref()),
            (Place::HaulRedirect(0), "haul_redirect", self.haul_redirect.as_ref()),
            (Place::Tackle, "tackle", self.tackle.as_ref()),
            (Place::Winch, "winch", self.winch.as_ref()),
        ]
    }

    /// What each holds.
    pub(crate) fn holds(
        &self,
        rated: impl Fn(&str) -> Option<Force>,
        pulled: impl Fn(Place) -> Vec<Pull>,
    ) -> Result<Vec<Holds>, SiteError> {
        let mut list = Vec::new();
        for (place, name, anchor) in self.all() {
            let Some(anchor) = anchor else { continue };
            let pulled = pulled(place);
            if pulled.is_empty() {
                // No rope: a redirect that isn't there.
                continue;
            }
            let rises = pulls::rises(&pulled);
            let key = format!("anchors.{name}");
            if rated(name).is_some() {
                return Err(SiteError::new(
                    key,
                    format!("ratings.{name}.anchor says what it holds, too: leave one of them out"),
                ));
            }
            let (strength, basis) = match anchor {
                SiteAnchor::Vehicle(vehicle) => vehicle.holds(&format!("{key}.vehicle"), rises)?,
                SiteAnchor::Pickets(pickets) => pickets.holds(&format!("{key}.pickets"))?,
                SiteAnchor::Buried(buried) => buried.holds(&format!("{key}.buried"))?,
                SiteAnchor::Legs(legs) => legs_hold(&format!("{key}.legs"), legs, &pulled)?,
            };
            let most_rise = match anchor {
                SiteAnchor::Pickets(_) => Some(ALONG_THE_GROUND_RAD),
                SiteAnchor::Buried(buried) => Some(math::atan2(buried.slope.value, 1.0)),
                _ => None,
            };
            let (rises, most_rise) = (rises.map(radians), most_rise.map(radians));
            list.push(Holds { place, strength, basis, rises, most_rise });
        }
        Ok(list)
    }
}

/// An input error of the anchor at the key that it came from.
fn at(key: &str, field: impl Fn(&str) -> &'static str) -> impl Fn(InputError) -> SiteError {
    move |why| SiteError::at(format!("{key}.{}", field(why.field)), why)
}

impl SiteVehicle {
    /// F = m·g·(μ·cos γ − sin γ)/(cos δ + μ·sin δ), with δ the rise of the rope over the road, which falls by γ. The least over
    /// the directions in which it is pulled: where it rises by atan μ, or as near to that as any of them comes. μ is the
    /// friction by the share of weight on braked wheels.
    fn holds(&self, key: &str, [least, most]: [f64; 2]) -> Result<(Force, String), SiteError> {
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
        let worst = math::atan2((friction * self.braked).value, 1.0);
        let rise = (worst - self.grade.value).clamp(least, most) + self.grade.value;
        let vehicle = Vehicle::new(self.mass, friction)
            .and_then(|vehicle| vehicle.with_grade(self.grade))
            .and_then(|vehicle| vehicle.with_braked_share(self.braked))
            .and_then(|vehicle| vehicle.with_rope_rise(radians(rise.clamp(-FRAC_PI_2, FRAC_PI_2))))
            .map_err(at(key, named))?;
        let strength = vehicle.holds().map_err(|why| SiteError::new(key, why.to_string()))?;
        let basis = format!(
            "a vehicle of {} begins to slide, with {} of friction on {} of its weight, under a rope that rises by {} over its road; no margin is in it",
            both(self.mass),
            si(friction),
            si(self.braked),
            si(radians(rise))
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

/// The pull at which the first of some legs takes its strength: the least over the directions in which they are pulled.
///
/// max over legs of Tᵢ(F·u)/Sᵢ = 1, the legs settled under F·u
fn legs_hold(key: &str, legs: &[SiteLeg], pulled: &[Pull]) -> Result<(Force, String), SiteError> {
    let mut list = Vec::with_capacity(legs.len());
    for (i, leg) in legs.iter().enumerate() {
        let key = format!("{key}[{i}]");
        check_place(&format!("{key}.at"), leg.at)?;
        check_range(&format!("{key}.strength"), leg.strength, 10.0, 1e7)?;
        let named = |field: &str| if field == "at" { "at" } else { "stiffness" };
        let made = AnchorLeg::new(leg.at, leg.stiffness).map_err(at(&key, named))?;
        list.push(match leg.slack {
            Some(slack) => made.with_slack(slack).map_err(at(&key, |_| "slack"))?,
            None => made,
        });
    }
    let fail = |why: crate::anchor::AnchorError| SiteError::new(key, why.to_string());
    let anchor = Anchor::new(Point3::default(), &list).map_err(fail)?;
    let all: Force = legs.iter().map(|leg| leg.strength).fold(Force::default(), |a, b| a + b);
    let mut least = all;
    let mut worst = 0;
    for pull in pulled {
        let used = |force_n: f64| {
            let settled = anchor.settle(Force3::from_si(*pull * force_n))?;
            let tensions = settled.shares.tensions().iter().zip(legs).enumerate();
            let shares = tensions.map(|(i, (tension, leg))| (i, (*tension / leg.strength).value));
            Ok(shares.fold((0, 0.0), |most, leg| if leg.1 > most.1 { leg } else { most }))
        };
        // Never more than all together, nor does a leg take more than the whole pull before it is all that is left.
        let (high_n, mut why) = (least.value, None);
        if used(high_n).map_err(fail)?.1 <= 1.0 {
            continue;
        }
        let low_n = SPREAD * high_n;
        let found = roots::bracketed(low_n, high_n, LEGS * high_n, |force_n| match used(force_n) {
            Ok((_, share)) => share - 1.0,
            Err(error) => {
                why = Some(error);
                1.0
            }
        });
        if let Some(why) = why {
            return Err(fail(why));
        }
        let found = found.ok_or_else(|| {
            SiteError::new(
                key,
                "stand so wide apart, or so far to the side of the pull, that they hold next to nothing",
            )
        })?;
        let holds_n = found.x * (1.0 - 2.0 * LEGS);
        (least, worst) = (crate::quantity::newtons(holds_n), used(holds_n).map_err(fail)?.0);
    }
    let basis = format!(
        "{} legs share the pull, and leg {} is the first to take what it holds; no margin is in it",
        legs.len(),
        worst + 1
    );
    Ok((least, basis))
}
