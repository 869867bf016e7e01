//! `[changeover]`: how the load is taken over at the head and swung in to the road.

use super::reading::Words;
use crate::geometry::Point3;
use crate::quantity::{Angle, Length, Ratio};
use crate::text::as_text;
use alloc::format;
use alloc::string::String;
use serde::{Deserialize, Serialize};

/// How the load is taken over at the head: the litter as a body, how far the haul rope is taken in before the track rope is
/// let down, what pulls the litter in to the road. All of it may be left out.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(
    deny_unknown_fields,
    expecting = "the table of the changeover: litter_length, litter_width, litter_depth, litter_tilt, litter_lies, rope, least_rope, clearance, pulled_in_by, pull_from, pull_efficiency, edge, inside"
)]
#[non_exhaustive]
pub struct SiteChangeover {
    /// Length of the litter.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub litter_length: Option<Length>,
    /// Width of the litter.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub litter_width: Option<Length>,
    /// From the underside of the litter to the top of who lies in it.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub litter_depth: Option<Length>,
    /// How far its outer end is lower, or its left end where it lies across.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub litter_tilt: Option<Angle>,
    /// Which way its long side lies at the head.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub litter_lies: Option<LitterWay>,
    /// Haul rope between the head and the carriage when the track rope is let down: the most that carries the litter over
    /// the edge with the clearance, unless given.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub rope: Option<Length>,
    /// What carriage and connectors need of it at least.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub least_rope: Option<Length>,
    /// Wanted clearance of the litter from the ground and from the frame.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub clearance: Option<Length>,
    /// What pulls the litter in from under the head.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pulled_in_by: Option<PullingIn>,
    /// From where the belay rope pulls it in: its device, unless given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pull_from: Option<Point3>,
    /// Efficiency over half a turn of the sheave there, where the belay rope goes on to its device.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub pull_efficiency: Option<Ratio>,
    /// x of the edge, in the ground's axes: where the ground begins to fall by more than 30°, unless given.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub edge: Option<Length>,
    /// How far inside the edge the outer end of the litter is set down.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub inside: Option<Length>,
}

/// Which way the long side of the litter lies at the head.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", try_from = "Words")]
#[non_exhaustive]
pub enum LitterWay {
    /// Outward, in the plane of the line: "along".
    Along,
    /// Across it: "across".
    Across,
}

impl TryFrom<Words> for LitterWay {
    type Error = String;

    fn try_from(words: Words) -> Result<Self, String> {
        match String::from(words).as_str() {
            "along" => Ok(Self::Along),
            "across" => Ok(Self::Across),
            other => Err(format!("\"{other}\" is no way for a litter to lie: write \"along\" or \"across\"")),
        }
    }
}

/// What pulls the litter in from under the head.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", try_from = "Words")]
#[non_exhaustive]
pub enum PullingIn {
    /// The belay rope, off the head and straight from behind: "belay".
    Belay,
    /// People at the litter: "hands".
    Hands,
}

impl TryFrom<Words> for PullingIn {
    type Error = String;

    fn try_from(words: Words) -> Result<Self, String> {
        match String::from(words).as_str() {
            "belay" => Ok(Self::Belay),
            "hands" => Ok(Self::Hands),
            other => Err(format!("\"{other}\" doesn't pull a litter in: write \"belay\" or \"hands\"")),
        }
    }
}
