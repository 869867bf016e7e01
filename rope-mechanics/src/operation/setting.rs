//! The length of the track rope by what a crew sets it to: a reading, a sag, a height, with the load on or off.

use super::model::Model;
use super::state::{Situation, State, StateError};
use super::travel::{TravelError, Wanted};
use crate::error::{positive, within};
use crate::geometry::Point2;
use crate::line::End;
use crate::line::elastic::ElasticSpan;
use crate::motion::Motion;
use crate::quantity::{Force, Length, metres, newtons};

/// A reading is set to this share of it.
const READING: f64 = 1e-9;
/// Rounds to it, at most. The share that the turns pass on hardly changes with the tension: each round gains several
/// digits.
const MOST_ROUNDS: u32 = 20;
/// A strand that shows too little is tried so much harder.
const HARDER: f64 = 1.25;
/// The first longer strand, where the ground carries some of the load, is longer by this share,
const FIRST_STEP: f64 = 1e-4;
/// and what is between two strands is halved so often: to their last digits.
const MOST_HALVES: u32 = 60;

impl Model<'_> {
    /// The strand on which both strands together pull so hard without load, at one end.
    pub(super) fn unloaded_strand(&self, end: End, both: Force) -> Result<Length, StateError> {
        Ok(self.empty()?.length_for_tension(end, both)?)
    }

    fn empty(&self) -> Result<ElasticSpan, StateError> {
        let (span_m, rise_m) = self.chord_m();
        Ok(ElasticSpan::new(metres(span_m), metres(rise_m), self.track_weight, self.track_stretch)?)
    }

    /// The strand that shows what is wanted of the track rope alone, or with the load at one place; nothing for what is
    /// wanted of a whole travel.
    pub(super) fn strand_set_to(&self, wanted: Wanted) -> Result<Option<Length>, TravelError> {
        Ok(Some(match wanted {
            Wanted::UnloadedTension(tension) => {
                within("unloaded_tension", tension, 1.0, 1e6).map_err(StateError::from)?;
                self.unloaded_strand(End::First, 2.0 * tension)?
            }
            Wanted::UnloadedReading { reading, turned } => {
                within("reading", reading, 1.0, 1e6).map_err(StateError::from)?;
                self.by_reading(
                    reading,
                    turned,
                    |tension| self.unloaded_strand(End::First, 2.0 * tension),
                    |strand| self.state(&Situation::unloaded(strand)),
                )?
            }
            Wanted::UnloadedSag(sag) => {
                positive("sag", sag).map_err(StateError::from)?;
                self.empty()?.length_for_sag(sag).map_err(StateError::from)?
            }
            Wanted::Strand(strand) => metres(positive("strand", strand).map_err(StateError::from)?),
            Wanted::LoadedReading { at, reading, turned } => {
                within("reading", reading, 1.0, 1e6).map_err(StateError::from)?;
                self.by_reading(
                    reading,
                    turned,
                    |tension| self.strand_pulling(at, tension),
                    |strand| self.state(&Situation::at_x(strand, at, Motion::Hauling)),
                )?
            }
            Wanted::LoadedHeight { at, height } => {
                crate::error::non_negative("litter_height", height).map_err(StateError::from)?;
                self.strand_at_height(at, height)?
            }
            Wanted::GreatestTension(_) | Wanted::LitterHeight(_) => return Ok(None),
        }))
    }

    /// By the mean tension of the strands, which the reading follows nearly in proportion; by halves where the ground carries
    /// some of the load, and it doesn't.
    fn by_reading<'m, 'g: 'm>(
        &'m self,
        reading: Force,
        turned: Motion,
        strand_for: impl Fn(Force) -> Result<Length, StateError>,
        state_on: impl Fn(Length) -> Result<State<'m, 'g>, StateError>,
    ) -> Result<Length, TravelError>
    where
        Self: 'm,
    {
        let shown_on = |strand| reading_after(&state_on(strand)?, turned);
        let is_met = |shown: Force| (shown - reading).abs() <= READING * reading;
        let mut tension = reading;
        for _ in 0..MOST_ROUNDS {
            let Ok((strand, shown)) = strand_for(tension).and_then(|strand| Ok((strand, shown_on(strand)?)))
            else {
                break;
            };
            if is_met(shown) {
                return Ok(strand);
            }
            // T ← T·R/R(T)
            tension *= (reading / shown).value;
        }
        // A strand short enough to show more.
        let mut tension = reading;
        let mut shorter = strand_for(tension);
        for _ in 0..MOST_ROUNDS {
            if shorter.is_ok_and(|strand| shown_on(strand).is_ok_and(|shown| shown >= reading)) {
                break;
            }
            tension *= HARDER;
            shorter = strand_for(tension);
        }
        let mut shorter = shorter?;
        if shown_on(shorter)? < reading {
            return Err(TravelError::TooTight);
        }
        // Longer strands, in growing steps, until one shows too little or holds no load there.
        let most = 2.0 * shorter;
        let mut step = FIRST_STEP * shorter;
        let mut longer = shorter + step;
        while longer < most && shown_on(longer).is_ok_and(|shown| shown >= reading) {
            shorter = longer;
            step *= 2.0;
            longer += step;
        }
        for _ in 0..MOST_HALVES {
            let middle = 0.5 * (shorter + longer);
            match shown_on(middle) {
                Ok(shown) if is_met(shown) => return Ok(middle),
                Ok(shown) if shown > reading => shorter = middle,
                _ => longer = middle,
            }
        }
        Err(TravelError::TooSlack { longest: shorter })
    }

    /// The strand on which each strand pulls so hard at the head, the load hauled to x and floating.
    fn strand_pulling(&self, x: Length, tension: Force) -> Result<Length, StateError> {
        let held = self.way(self.chord(), Motion::Hauling)?.held;
        let found =
            held.length_for_tension(x, 2.0 * tension).map_err(|why| StateError::Carriage { x, why })?;
        self.strand_of_loaded(&found)
    }

    /// The strand on which the litter hangs so high with the load hauled to x.
    fn strand_at_height(&self, x: Length, height: Length) -> Result<Length, StateError> {
        let ground_m = self.ground_m(x.value).ok_or(StateError::OffGround { x })?;
        let point = Point2::new(x, metres(ground_m) + self.values().load.hang + height);
        let held = self.way(self.chord(), Motion::Hauling)?.held;
        let found = held.length_for_point(point).map_err(|why| StateError::Carriage { x, why })?;
        self.strand_of_loaded(&found)
    }

    /// The strand, locked without load, of a loaded track found by what it is to give.
    pub(super) fn strand_of_loaded(
        &self,
        state: &crate::carriage::CarriageState,
    ) -> Result<Length, StateError> {
        let behind_m = self.behind_track.rope_m(state.tension.head.value).0;
        self.strand_of(state.track_length + metres(behind_m))
    }
}

/// What the load cell shows when the capstan turned last this way: taking in is hauling, easing lowering.
pub(super) fn reading_after(state: &State<'_, '_>, turned: Motion) -> Result<Force, StateError> {
    // Moving, a tension has one value; at rest the middle of what may be is that of a rope without friction.
    Ok(match turned {
        Motion::AtRest => state.strand_tension_head(),
        moving => state.track_tensions(moving)?.map_or(newtons(0.0), |tensions| tensions.cell().high),
    })
}
