//! The track rope after its first minutes: what relaxation, knots and capstan leave of its reading and of the litter's
//! height.
//!
//! A rope that is set and locked gives by itself: it relaxes, knots pull tight, the capstan may let some back. The study is of
//! the rope as it was set, which is the bad side for every force; the rope as it settles is the bad side for every
//! height.

use super::model::{Model, ModelError};
use super::plan::Settling;
use super::setting::reading_after;
use super::state::{Situation, State, StateError};
use super::study::{At, in_newtons};
use super::travel::{Moved, Travel, TravelError, Wanted};
use crate::line::End;
use crate::motion::Motion;
use crate::quantity::{Band, Force, Length, Ratio, ratio};
use crate::rope::Rope;
use serde::Serialize;

/// The track rope in one state of its settling, with what a crew sees of it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct TrackThen {
    /// The unstretched length of each strand, locked without load.
    #[serde(rename = "strand_m")]
    pub strand: Length,
    /// Tension of each strand at the head without load.
    #[serde(rename = "strand_tension_head_n")]
    pub strand_tension_head: Force,
    /// What the load cell shows without load, every turn of the rope as the capstan left it when it took in.
    #[serde(rename = "reading_n")]
    pub reading: Force,
    /// The least height of the litter from where it is to float, hauled, at rest or lowered, and at which position; zero
    /// where it drags.
    #[serde(rename = "least_litter_height_m")]
    pub least_litter_height: At<Length>,
    /// The greatest mean tension of the strands at the head, in the same ways.
    #[serde(rename = "greatest_strand_tension_n")]
    pub greatest_strand_tension: At<Force>,
}

/// What is left of the reading and of the litter's height after the first ten minutes.
///
/// L' = L(T·(1 − c)) + (k + s)/2, with c the share of the tension T that relaxation takes, k what knots and s what the
/// capstan give, half of it to each strand; L(T) the strand that pulls T.
///
/// Assumed: relaxation takes the same share in every part of the rope, and knots give at the load cell, so that every turn
/// stays as the capstan left it when it took in. Rope that the capstan lets back reaches the cell later, if at all: then it
/// shows more, never more than when it was set. Safe side: for heights what is left at most, for forces the rope as set.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct SettledTrack {
    /// Share of its tension that the rope loses by relaxation: what to expect,
    #[serde(rename = "relaxation_fraction")]
    pub relaxation: Ratio,
    /// and the most to count on.
    #[serde(rename = "most_relaxation_fraction")]
    pub most_relaxation: Ratio,
    /// Rope that knots and capstan give: what to expect,
    #[serde(rename = "given_m")]
    pub given: Length,
    /// and the most to count on.
    #[serde(rename = "most_given_m")]
    pub most_given: Length,
    /// The load cell without load, after the first minutes: as set at the high end, settled the most at the low one.
    #[serde(rename = "reading_after_minutes", serialize_with = "in_newtons")]
    pub reading_after_minutes: Band<Force>,
    /// The rope as it was set.
    pub as_set: TrackThen,
    /// As it settles.
    pub settled: TrackThen,
    /// As it settles at the most.
    pub settled_most: TrackThen,
    /// As it was set, of a rope that was pulled hard before, where the site file says how stiff it is then: the bad side for
    /// forces. Absent otherwise.
    pub worked_in: Option<TrackThen>,
}

impl SettledTrack {
    /// Of a rope that was set to this strand.
    pub(crate) fn of(
        model: &Model<'_>,
        settling: &Settling,
        strand: Length,
        wanted: Wanted,
        travel: &Travel,
        places: &[Length],
    ) -> Result<Self, TravelError> {
        let tension = model.state(&Situation::unloaded(strand))?.strand_tension_head();
        let at = |strand| TrackThen::of(model, strand, travel, places);
        let after = |relaxation: Ratio, given: Length| -> Result<TrackThen, TravelError> {
            let mut settled = strand;
            if relaxation > ratio(0.0) {
                settled = model.unloaded_strand(End::First, 2.0 * tension * (ratio(1.0) - relaxation))?;
            }
            if given > Length::default() {
                settled = model.strand_of(model.locked_rope(settled)? + 0.5 * given)?;
            }
            Ok(at(settled)?)
        };
        let Settling { relaxation: [relaxation, most_relaxation], knots, slip, worked_in, .. } = *settling;
        let (given, most_given) = (knots[0] + slip[0], knots[1] + slip[1]);
        let (as_set, settled, settled_most) =
            (at(strand)?, after(relaxation, given)?, after(most_relaxation, most_given)?);
        let worked_in = match worked_in {
            None => None,
            Some(stretch) => {
                let track = &model.values().track;
                let rope = Rope::new(track.rope.mass(), stretch, track.rope.breaking_strength());
                let rope = rope.map_err(StateError::from)?;
                let own_behind = track.stretch_behind == track.rope.stretch();
                let stiffer = model
                    .with(|values| {
                        values.track.rope = rope;
                        if own_behind {
                            values.track.stretch_behind = stretch;
                        }
                    })
                    .map_err(|why| match why {
                        ModelError::TrackRope(why) => StateError::Input(why),
                        _ => StateError::NotHeld, // nothing else was changed
                    })?;
                let strand = stiffer.strand_for(wanted, travel)?;
                Some(TrackThen::of(&stiffer, strand, travel, places)?)
            }
        };
        Ok(Self {
            relaxation,
            most_relaxation,
            given,
            most_given,
            reading_after_minutes: Band {
                low: settled_most.reading,
                expected: settled.reading,
                high: as_set.reading,
            },
            as_set,
            settled,
            settled_most,
            worked_in,
        })
    }
}

impl TrackThen {
    fn of(model: &Model<'_>, strand: Length, travel: &Travel, places: &[Length]) -> Result<Self, StateError> {
        let bare = model.state(&Situation::unloaded(strand))?;
        let (mut least, mut greatest): (Option<At<Length>>, Option<At<Force>>) = (None, None);
        let mut last: Option<Moved<'_, '_>> = None;
        for (position, x) in places.iter().enumerate() {
            let moved = match model.moved(strand, *x, last.as_ref()) {
                // On a slacker rope it rolls in further out: from there it isn't put on.
                Err(StateError::RollsIn { .. }) => continue,
                // Where even the carriage lies, so does the litter.
                Err(StateError::LiesDown { .. }) => {
                    if *x <= travel.floats_from {
                        least = Some(At { si: Length::default(), position });
                    }
                    continue;
                }
                moved => moved?,
            };
            let height =
                moved.ways().map(State::litter_height).fold(moved.hauling.litter_height(), Length::min);
            if *x <= travel.floats_from && least.is_none_or(|least| height < least.si) {
                least = Some(At { si: height, position });
            }
            let tension = moved.ways().map(State::strand_tension_head).fold(Force::default(), Force::max);
            if greatest.is_none_or(|greatest| tension > greatest.si) {
                greatest = Some(At { si: tension, position });
            }
            last = Some(moved);
        }
        Ok(Self {
            strand,
            strand_tension_head: bare.strand_tension_head(),
            reading: reading_after(&bare, Motion::Hauling)?,
            least_litter_height: least.unwrap_or(At { si: Length::default(), position: 0 }),
            greatest_strand_tension: greatest.unwrap_or(At { si: Force::default(), position: 0 }),
        })
    }
}
