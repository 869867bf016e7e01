//! One length of track rope as a crew sets it and checks it: by readings, heights, sags.

use super::super::model::Model;
use super::super::setting::reading_after;
use super::super::state::Situation;
use super::super::state::{State, StateError};
use super::super::study::in_newtons;
use super::super::travel::Moved;
use crate::history::Relaxation;
use crate::line::End;
use crate::motion::Motion;
use crate::quantity::{Band, Force, Length, Ratio, Time, metres, ratio};
use alloc::vec::Vec;
use serde::Serialize;

/// The first minutes after the rope was set: the reading is looked at again then.
const FIRST_MINUTES_S: f64 = 600.0;
/// Tenfolds of time count from one minute.
const REFERENCE_S: f64 = 60.0;

/// What the load cell shows of one rope, by what the capstan did last.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Readings {
    /// While it takes in, and just after.
    #[serde(rename = "taking_in_n")]
    pub taking_in: Force,
    /// While it eases, and just after.
    #[serde(rename = "easing_n")]
    pub easing: Force,
    /// At rest after anything else: the band that friction may leave, and the mean of both strands.
    #[serde(rename = "at_rest", serialize_with = "in_newtons")]
    pub at_rest: Band<Force>,
}

/// The track rope without its load.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct EmptyLine {
    /// What the load cell shows.
    pub reading: Readings,
    /// What it shows ten minutes after the rope was taken in and locked: a rope that doesn't relax at the high end, one
    /// that does as much as is counted on at the low one.
    #[serde(rename = "reading_after_minutes", serialize_with = "in_newtons")]
    pub reading_after_minutes: Band<Force>,
    /// Tension of each strand at the head.
    #[serde(rename = "strand_tension_head_n")]
    pub strand_tension_head: Force,
    /// What the capstan pulls while it takes in.
    #[serde(rename = "capstan_pull_n")]
    pub capstan_pull: Force,
    /// Greatest vertical distance below the chord.
    #[serde(rename = "sag_m")]
    pub sag: Length,
}

/// The track rope with its load hauled to a place.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct LoadedLine {
    /// Index in the study's positions.
    pub position: usize,
    /// What the load cell shows.
    pub reading: Readings,
    /// Tension of each strand at the head.
    #[serde(rename = "strand_tension_head_n")]
    pub strand_tension_head: Force,
    /// What the capstan pulls while it takes in.
    #[serde(rename = "capstan_pull_n")]
    pub capstan_pull: Force,
    /// Height of the litter's underside, hauled,
    #[serde(rename = "litter_height_m")]
    pub litter_height: Length,
    /// and the least of hauled, at rest and lowered.
    #[serde(rename = "least_litter_height_m")]
    pub least_litter_height: Length,
    /// The carriage below the chord of the track.
    #[serde(rename = "sag_m")]
    pub sag: Length,
    /// Pull of the haul rope at the carriage.
    #[serde(rename = "haul_pull_n")]
    pub haul_pull: Force,
}

/// One length of track rope by everything that it can be set to or checked by. Each of these gives all of the others: see
/// [`Wanted`](super::super::Wanted).
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct SetPoint {
    /// Of each strand between head and far sheave, unstretched, locked without load.
    #[serde(rename = "strand_m")]
    pub strand: Length,
    /// Both strands and what lies behind the head, unstretched: what the capstan takes in shortens this.
    #[serde(rename = "rope_in_line_m")]
    pub rope_in_line: Length,
    /// Without the load.
    pub empty: EmptyLine,
    /// With it at some places.
    pub loaded: Vec<LoadedLine>,
    /// The strand that pulls as much as this one does after it has relaxed in the first minutes.
    #[serde(rename = "relaxed_strand_m")]
    pub relaxed_strand: Length,
}

/// The share of its tension that a set rope keeps over the first minutes.
///
/// T(t) = T₀·(1 − c·log₁₀(1 + t/t₀)), with c such that the share lost after ten minutes is the one given
pub(super) fn kept_after_minutes(lost: Ratio) -> Result<Ratio, StateError> {
    let second = |value| Time { value, ..Time::default() };
    let tenfolds = crate::math::ln_1p(FIRST_MINUTES_S / REFERENCE_S) / core::f64::consts::LN_10;
    let relaxation = Relaxation::new(lost / tenfolds, second(REFERENCE_S))?;
    Ok(relaxation.left(second(FIRST_MINUTES_S))?)
}

fn readings(state: &State<'_, '_>) -> Result<Readings, StateError> {
    Ok(Readings {
        taking_in: reading_after(state, Motion::Hauling)?,
        easing: reading_after(state, Motion::Lowering)?,
        at_rest: state.reading()?,
    })
}

fn capstan_pull(state: &State<'_, '_>) -> Result<Force, StateError> {
    Ok(state.track_tensions(Motion::Hauling)?.map_or_else(Force::default, |found| found.capstan().high))
}

/// A strand with all that it shows, at these places with the load on.
pub(super) fn set_point(
    model: &Model<'_>,
    strand: Length,
    places: &[(usize, Length)],
    relaxes: Ratio,
) -> Result<SetPoint, StateError> {
    let bare = model.state(&Situation::unloaded(strand))?;
    let reading = readings(&bare)?;
    let left = kept_after_minutes(relaxes)?;
    let half_left = kept_after_minutes(0.5 * relaxes)?;
    let (head, far) = (model.head(), model.values().far);
    let slope = (far.z - head.z) / (far.x - head.x);
    let below_chord = |x: Length, z: Length| head.z + slope * (x - head.x) - z;
    let mut loaded = Vec::with_capacity(places.len());
    let mut last: Option<Moved<'_, '_>> = None;
    for (position, x) in places {
        let moved = model.moved(strand, *x, last.as_ref())?;
        let state = &moved.hauling;
        let carriage = state.balance.carriage;
        loaded.push(LoadedLine {
            position: *position,
            reading: readings(state)?,
            strand_tension_head: state.strand_tension_head(),
            capstan_pull: capstan_pull(state)?,
            litter_height: state.litter_height(),
            least_litter_height: moved
                .ways()
                .map(State::litter_height)
                .fold(state.litter_height(), Length::min),
            sag: below_chord(carriage.x, carriage.z),
            haul_pull: state.pull(),
        });
        last = Some(moved);
    }
    let tension = bare.strand_tension_head();
    Ok(SetPoint {
        strand,
        rope_in_line: 2.0 * model.locked_rope(strand)?,
        empty: EmptyLine {
            reading,
            reading_after_minutes: Band {
                low: reading.taking_in * left,
                expected: reading.taking_in * half_left,
                high: reading.taking_in,
            },
            strand_tension_head: tension,
            capstan_pull: capstan_pull(&bare)?,
            sag: bare.track_shape().iter().map(|p| below_chord(p.x, p.z)).fold(metres(0.0), Length::max),
        },
        loaded,
        relaxed_strand: if relaxes == ratio(0.0) {
            strand
        } else {
            model.unloaded_strand(End::First, 2.0 * tension * left)?
        },
    })
}
