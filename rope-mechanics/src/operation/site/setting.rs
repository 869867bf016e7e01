//! How the track rope is tensioned: `track.set`.

use super::reading::one_of;
use crate::doubt::Uncertain;
use crate::quantity::{Force, Length};
use crate::text::as_text;
use alloc::string::{String, ToString};
use serde::{Deserialize, Serialize};

/// How the track rope is tensioned: one of these wishes. All but the greatest reading and the least height are procedures:
/// what the crew sees when the rope is set.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "SetKeys", into = "SetKeys")]
#[non_exhaustive]
pub enum TrackSetting {
    /// The tension of each strand at the head, without the load.
    UnloadedTension(Uncertain<Force>),
    /// The greatest load-cell reading to expect while the load travels.
    GreatestReading(Uncertain<Force>),
    /// The least height of the litter above the ground over the part that is to float.
    LitterHeight(Uncertain<Length>),
    /// The load-cell reading of the empty line while the capstan takes in.
    Reading(Uncertain<Force>),
    /// The load-cell reading of the empty line after the capstan eased.
    EasedReading(Uncertain<Force>),
    /// The sag of the empty line: its greatest vertical distance below the chord.
    Sag(Uncertain<Length>),
    /// The length of each strand, unstretched.
    Strand(Uncertain<Length>),
    /// The load-cell reading with the load hauled to x, in the axes of the ground, while the capstan takes in.
    LoadedReading {
        /// x of the carriage.
        at: Length,
        /// What the load cell shows.
        reading: Uncertain<Force>,
    },
    /// The height of the litter with the load hauled to x, in the axes of the ground.
    LoadedHeight {
        /// x of the carriage.
        at: Length,
        /// Of the litter above the ground.
        height: Uncertain<Length>,
    },
}

#[derive(Serialize, Deserialize, Default)]
#[serde(
    deny_unknown_fields,
    expecting = "one of { unloaded_tension = \"…\" }, { greatest_reading = \"…\" }, { litter_height = \"…\" }, { reading = \"…\" }, { eased_reading = \"…\" }, { sag = \"…\" } and { strand = \"…\" }"
)]
struct SetKeys {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    unloaded_tension: Option<Uncertain<Force>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    greatest_reading: Option<Uncertain<Force>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    litter_height: Option<Uncertain<Length>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    reading: Option<Uncertain<Force>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    eased_reading: Option<Uncertain<Force>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    sag: Option<Uncertain<Length>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    strand: Option<Uncertain<Length>>,
    /// x of the carriage, with `reading` or `litter_height`.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    loaded_at: Option<Length>,
}

impl TryFrom<SetKeys> for TrackSetting {
    type Error = String;

    fn try_from(keys: SetKeys) -> Result<Self, String> {
        let set = one_of([
            ("unloaded_tension", keys.unloaded_tension.map(Self::UnloadedTension)),
            ("greatest_reading", keys.greatest_reading.map(Self::GreatestReading)),
            ("litter_height", keys.litter_height.map(Self::LitterHeight)),
            ("reading", keys.reading.map(Self::Reading)),
            ("eased_reading", keys.eased_reading.map(Self::EasedReading)),
            ("sag", keys.sag.map(Self::Sag)),
            ("strand", keys.strand.map(Self::Strand)),
        ])?;
        match (keys.loaded_at, set) {
            (None, set) => Ok(set),
            (Some(at), Self::Reading(reading)) => Ok(Self::LoadedReading { at, reading }),
            (Some(at), Self::LitterHeight(height)) => Ok(Self::LoadedHeight { at, height }),
            (Some(_), _) => Err("loaded_at goes with reading or litter_height only".to_string()),
        }
    }
}

impl From<TrackSetting> for SetKeys {
    fn from(set: TrackSetting) -> Self {
        let none = Self::default();
        match set {
            TrackSetting::UnloadedTension(tension) => Self { unloaded_tension: Some(tension), ..none },
            TrackSetting::GreatestReading(reading) => Self { greatest_reading: Some(reading), ..none },
            TrackSetting::LitterHeight(height) => Self { litter_height: Some(height), ..none },
            TrackSetting::Reading(reading) => Self { reading: Some(reading), ..none },
            TrackSetting::EasedReading(reading) => Self { eased_reading: Some(reading), ..none },
            TrackSetting::Sag(sag) => Self { sag: Some(sag), ..none },
            TrackSetting::Strand(strand) => Self { strand: Some(strand), ..none },
            TrackSetting::LoadedReading { at, reading } => {
                Self { reading: Some(reading), loaded_at: Some(at), ..none }
            }
            TrackSetting::LoadedHeight { at, height } => {
                Self { litter_height: Some(height), loaded_at: Some(at), ..none }
            }
        }
    }
}

impl TrackSetting {
    /// The key that holds the value.
    pub(crate) const fn key(&self) -> &'static str {
        match self {
            Self::UnloadedTension(_) => "track.set.unloaded_tension",
            Self::GreatestReading(_) => "track.set.greatest_reading",
            Self::LitterHeight(_) | Self::LoadedHeight { .. } => "track.set.litter_height",
            Self::Reading(_) | Self::LoadedReading { .. } => "track.set.reading",
            Self::EasedReading(_) => "track.set.eased_reading",
            Self::Sag(_) => "track.set.sag",
            Self::Strand(_) => "track.set.strand",
        }
    }

    /// Whether its value carries a tolerance.
    pub(crate) fn is_exact(&self) -> bool {
        match self {
            Self::UnloadedTension(force)
            | Self::GreatestReading(force)
            | Self::Reading(force)
            | Self::EasedReading(force)
            | Self::LoadedReading { reading: force, .. } => force.is_exact(),
            Self::LitterHeight(length)
            | Self::Sag(length)
            | Self::Strand(length)
            | Self::LoadedHeight { height: length, .. } => length.is_exact(),
        }
    }
}
