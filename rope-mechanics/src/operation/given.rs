//! What the site file gives that a report repeats.

use super::place::Place;
use super::plan::{SitePlan, diameter};
use super::site::{Holds, Site, SiteDocument, SiteRope, SiteSheave, TackleKind, TrackSetting};
use crate::quantity::{Angle, Force, Length, Mass};
use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec::Vec;
use serde::Serialize;

/// What the site file gives that a crew has to find on the spot: the load, the ropes, how the track rope is set.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Given {
    /// Who wrote the plan and when, as far as the file says.
    pub document: SiteDocument,
    /// The patient.
    #[serde(rename = "patient_kg")]
    pub patient: Mass,
    /// The litter with its rigging.
    #[serde(rename = "litter_kg")]
    pub litter: Mass,
    /// Attendants that hang on the line; none if they walk.
    #[serde(rename = "attendants_kg")]
    pub attendants: Option<Mass>,
    /// Carriage, connectors and whatever else hangs on the line.
    #[serde(rename = "carriage_kg")]
    pub carriage: Mass,
    /// All that hangs on the line.
    #[serde(rename = "load_kg")]
    pub load: Mass,
    /// From the track rope down to the litter's underside.
    #[serde(rename = "hang_m")]
    pub hang: Length,
    /// How the track rope is set.
    pub set: TrackSetting,
    /// Full turns of rope on the capstan.
    pub wraps: f64,
    /// The tackle in the haul rope.
    pub tackle: TackleKind,
    /// How far one setting of it hauls the load.
    #[serde(rename = "throw_m")]
    pub throw: Option<Length>,
    /// Slack of the belay rope; absent without one.
    #[serde(rename = "belay_slack_m")]
    pub belay_slack: Option<Length>,
    /// Track, haul and belay rope.
    pub ropes: Vec<GivenRope>,
    /// What the file says of the sheaves beside their efficiency and strength; empty where it says nothing.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub sheaves: Vec<GivenSheave>,
    /// How the ropes pull at anchors that the file gives by what they are.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub anchors: Vec<GivenAnchor>,
}

/// How the ropes pull at an anchor that the file gives by what it is. What it holds stands with the study's components.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct GivenAnchor {
    /// Where it is.
    pub place: Place,
    /// How steeply the rope that pulls it rises above the level, at least,
    #[serde(rename = "least_rise_rad")]
    pub least_rise: Angle,
    /// and at most.
    #[serde(rename = "most_rise_rad")]
    pub most_rise: Angle,
    /// The steepest rise that its figure is good for: of pickets 10°, a choice; of a buried beam its slope.
    #[serde(rename = "good_to_rise_rad")]
    pub good_to_rise: Option<Angle>,
}

/// The least diameter of a sheave by that of its rope that is asked for of kernmantle ropes: 4.
///
/// Common practice, no source; the maker of rope and sheave says what counts.
pub const LEAST_SHEAVE_RATIO: f64 = 4.0;

/// What the file says of a sheave beside its efficiency and its strength.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct GivenSheave {
    /// Which one: "sheave at the far anchor".
    pub name: String,
    /// Where it is.
    pub place: Place,
    /// Its diameter where the rope lies, if the file says.
    #[serde(rename = "diameter_m")]
    pub diameter: Option<Length>,
    /// That diameter by the rope's; absent where one of them isn't known.
    pub ratio: Option<f64>,
    /// What is asked of that ratio: [`LEAST_SHEAVE_RATIO`], common practice without a source.
    pub least_ratio: f64,
    /// Whether a swivel lets it turn, if the file says. Without one, the two strands of a track may wind round each other.
    pub swivel: Option<bool>,
}

fn pulled(holds: &Holds) -> GivenAnchor {
    let [least_rise, most_rise] = holds.rises;
    GivenAnchor { place: holds.place, least_rise, most_rise, good_to_rise: holds.most_rise }
}

fn sheaves(site: &Site) -> Vec<GivenSheave> {
    let (track, haul) = (diameter(&site.track.rope), diameter(&site.haul.rope));
    let mut list = alloc::vec![
        (Place::Far, "sheave at the far anchor".to_string(), site.far_anchor.sheave, track),
        (Place::TrackRedirect, "track redirect".to_string(), site.track.redirect_sheave, track),
        (Place::Head, "track rope's sheaves at the head".to_string(), site.track.head_sheave, track),
        (Place::CarriageWheel, "carriage's wheel".to_string(), site.load.wheel, track),
        (Place::HaulHead, "haul rope's sheave at the head".to_string(), site.haul.head_sheave, haul),
        (Place::Tackle, "pulleys of the haul tackle".to_string(), site.haul.tackle_sheave, haul),
    ];
    let redirects = site.haul.redirects.iter().enumerate();
    list.extend(redirects.map(|(i, redirect)| {
        (Place::HaulRedirect(i), format!("haul redirect {}", i + 1), redirect.sheave, haul)
    }));
    let given = |(place, name, sheave, rope): (Place, String, Option<SiteSheave>, Option<Length>)| {
        let SiteSheave { diameter, swivel } = sheave?;
        // D/d
        let ratio = diameter.zip(rope).map(|(sheave, rope)| (sheave / rope).value);
        Some(GivenSheave { name, place, diameter, ratio, least_ratio: LEAST_SHEAVE_RATIO, swivel })
    };
    list.into_iter().filter_map(given).collect()
}

/// A rope as the site file has it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct GivenRope {
    /// What it does: "track rope".
    pub name: String,
    /// Its class; empty for a rope with its own values.
    pub class: String,
    /// Its own diameter, if the file gives it.
    #[serde(rename = "diameter_m")]
    pub diameter: Option<Length>,
    /// How much of it there is, if the file says.
    #[serde(rename = "on_hand_m")]
    pub on_hand: Option<Length>,
    /// What it holds with its knots.
    #[serde(rename = "strength_n")]
    pub strength: Force,
}

impl Given {
    pub(crate) fn new(site: &Site, plan: &SitePlan) -> Self {
        let rope = |name: &str, rope: &SiteRope, on_hand, strength| GivenRope {
            name: name.to_string(),
            class: rope.class.clone().unwrap_or_default(),
            diameter: rope.diameter,
            on_hand,
            strength,
        };
        let mut ropes = alloc::vec![
            rope("track rope", &site.track.rope, Some(site.track.on_hand), plan.track_strength.strength),
            rope("haul rope", &site.haul.rope, site.haul.on_hand, plan.haul_strength.strength),
        ];
        if let (Some(belay), Some(planned)) = (&site.belay, &plan.belay) {
            ropes.push(rope("belay rope", &belay.rope, belay.on_hand, planned.strength.strength));
        }
        Self {
            document: site.document.clone(),
            patient: site.load.patient.value(),
            litter: site.load.litter.value(),
            attendants: site.load.attendants.map(|mass| mass.value()),
            carriage: site.load.carriage.value(),
            load: plan.load,
            hang: site.load.hang.value(),
            set: site.track.set,
            wraps: site.capstan.wraps,
            tackle: site.haul.tackle,
            throw: site.haul.throw,
            belay_slack: site.belay.as_ref().map(|belay| belay.slack),
            ropes,
            sheaves: sheaves(site),
            anchors: plan.anchors.iter().map(pulled).collect(),
        }
    }
}
