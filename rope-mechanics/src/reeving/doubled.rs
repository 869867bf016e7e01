//! The doubled track rope: capstan, redirect, frame, far sheave, back over the frame, load cell, anchor.

use super::{
    Bend, Highest, Known, MAX_PARTS, MAX_TURNS, Reeving, ReevingError, Side, Strand, Tensions, TurnLoad,
};
use crate::error::SolveReport;
use crate::geometry::{Force3, Point3};
use crate::motion::Motion;
use crate::quantity::{Band, Force};
use crate::sheave::Turn;

/// Where a doubled track rope runs, from its pulling end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DoubledTrackPlaces {
    /// The powered capstan.
    pub capstan: Point3,
    /// The redirect beside the frame.
    pub redirect: Point3,
    /// The head of the frame, over which both strands run.
    pub head: Point3,
    /// The sheave at the far anchor.
    pub far_sheave: Point3,
    /// The anchor of the standing end. The load cell hangs between it and the head.
    pub anchor: Point3,
}

/// What a doubled track rope turns on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DoubledTrackTurns {
    /// The redirect beside the frame.
    pub redirect: Turn,
    /// The frame, for each of the two crossings; `None` where the rope passes it without contact.
    pub frame: Option<Turn>,
    /// The sheave at the far anchor.
    pub far_sheave: Turn,
}

/// What is known of a doubled track rope.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum TrackKnown {
    /// What the load cell shows: the tension of the last part.
    Cell(Force),
    /// The pull of the capstan: the tension of the first part.
    Capstan(Force),
    /// The tensions of both strands at the head together: what a line solver gives for the doubled rope.
    StrandsAtHead(Force),
    /// The tensions of both strands at the far sheave together.
    StrandsAtFarSheave(Force),
}

/// A doubled track rope: capstan → redirect → over the frame → far sheave → back over the frame → load cell →
/// anchor.
///
/// **Caution.** Both strands are one rope on one sheave. If the rope, the sheave or either end fails, both
/// strands go: a doubled track rope has no redundancy.
///
/// Assumed: straight strands of even tension between head and far sheave, unless [`DoubledTrack::with_strands`]
/// says otherwise.
///
/// ```
/// use rope_mechanics::geometry::Point3;
/// use rope_mechanics::quantity::{Force, Length, Ratio, unit::{meter, newton, ratio}};
/// use rope_mechanics::reeving::{DoubledTrack, DoubledTrackPlaces, DoubledTrackTurns, TrackKnown};
/// use rope_mechanics::motion::Motion;
/// use rope_mechanics::sheave::Turn;
///
/// let at = |x, y, z| Point3::new(Length::new::<meter>(x), Length::new::<meter>(y), Length::new::<meter>(z));
/// let sheave = Turn::sheave(Ratio::new::<ratio>(0.9))?;
/// let track = DoubledTrack::new(
///     DoubledTrackPlaces {
///         capstan: at(-8.0, 2.0, -2.0),
///         redirect: at(-1.0, 1.5, -2.5),
///         head: at(0.0, 0.0, 0.0),
///         far_sheave: at(70.0, 0.0, -45.0),
///         anchor: at(-10.0, -1.0, -2.0),
///     },
///     DoubledTrackTurns { redirect: sheave, frame: Some(sheave), far_sheave: sheave },
/// )?;
/// // While tensioning, the strand that comes back and the load cell lag behind.
/// let tensions = track.tensions(TrackKnown::StrandsAtHead(Force::new::<newton>(3000.0)), Motion::Hauling)?;
/// assert!(tensions.cell().high < tensions.strand_back().pulling_side.high);
/// assert_eq!(tensions.highest().part, 0);
/// # Ok::<(), rope_mechanics::reeving::ReevingError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DoubledTrack {
    reeving: Reeving,
    out: usize,
}

impl DoubledTrack {
    /// A doubled track rope through its places.
    ///
    /// # Errors
    /// Places that are not finite, or two neighbours at the same place.
    #[inline(never)] // so that the track stands on the stack of what calls it once
    pub fn new(places: DoubledTrackPlaces, turns: DoubledTrackTurns) -> Result<Self, ReevingError> {
        let mut track = Self { reeving: Reeving::STRAIGHT, out: if turns.frame.is_some() { 2 } else { 1 } };
        track.place(&places, &turns)?;
        Ok(track)
    }

    #[inline(never)] // its frame must not add to that of what calls it
    fn place(&mut self, places: &DoubledTrackPlaces, turns: &DoubledTrackTurns) -> Result<(), ReevingError> {
        let redirect = Bend::at(places.redirect, turns.redirect)?;
        let far = Bend::at(places.far_sheave, turns.far_sheave)?;
        places.head.finite("head")?;
        let head = match turns.frame {
            Some(frame) => Some(Bend::at(places.head, frame)?),
            None => None,
        };
        let in_order = [Some(redirect), head, Some(far), head];
        for bend in in_order.into_iter().flatten() {
            self.reeving.add(bend)?;
        }
        self.reeving.set_ends(places.capstan, places.anchor)?;
        self.reeving.geometry(&mut [None; MAX_PARTS], &mut [0.0; MAX_TURNS])
    }

    /// With loaded strands between head and far sheave: first the one that goes out, then the one that comes back.
    ///
    /// Each is seen along the rope from the pulling end: the one going out loses tension on its way down, so its
    /// rise is negative, and the one coming back gains it.
    ///
    /// # Errors
    /// None for a track that exists; the result is that of [`Reeving::with_strand`].
    pub fn with_strands(mut self, out: Strand, back: Strand) -> Result<Self, ReevingError> {
        self.set_strands(out, back)?;
        Ok(self)
    }

    /// [`with_strands`](Self::with_strands) in its place.
    ///
    /// # Errors
    /// None for a track that exists.
    pub fn set_strands(&mut self, out: Strand, back: Strand) -> Result<(), ReevingError> {
        self.reeving.set_strand(self.out, out)?;
        self.reeving.set_strand(self.out + 1, back)
    }

    /// The rope and its turns: the redirect, the frame if it touches, the far sheave, the frame again.
    #[must_use]
    pub fn reeving(&self) -> &Reeving {
        &self.reeving
    }

    /// The number of the part that goes out to the far sheave. The next one comes back.
    #[must_use]
    pub fn part_out(&self) -> usize {
        self.out
    }

    /// The tension of every part; tensioning is hauling, easing is lowering.
    ///
    /// # Errors
    /// As [`Reeving::tensions`].
    pub fn tensions(&self, known: TrackKnown, motion: Motion) -> Result<TrackTensions, ReevingError> {
        let mut found = TrackTensions::default();
        self.tensions_into(known, motion, &mut found)?;
        Ok(found)
    }

    /// [`tensions`](Self::tensions) into memory of the caller: some 1.6 kB less on the stack of a controller.
    ///
    /// # Errors
    /// As [`Reeving::tensions`]; what is in `found` then says nothing.
    pub fn tensions_into(
        &self,
        known: TrackKnown,
        motion: Motion,
        found: &mut TrackTensions,
    ) -> Result<(), ReevingError> {
        let (out, back) = (self.out, self.out + 1);
        let known = match known {
            TrackKnown::Cell(tension) => Known::at(self.reeving.turns(), Side::Standing, tension),
            TrackKnown::Capstan(tension) => Known::at(0, Side::Pulling, tension),
            TrackKnown::StrandsAtHead(sum) => Known::sum((out, Side::Pulling), (back, Side::Standing), sum),
            TrackKnown::StrandsAtFarSheave(sum) => {
                Known::sum((out, Side::Standing), (back, Side::Pulling), sum)
            }
        }?;
        found.out = out;
        self.reeving.tensions_into(known, motion, &mut found.all)
    }
}

/// The tensions of a doubled track rope.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct TrackTensions {
    all: Tensions,
    out: usize,
}

impl TrackTensions {
    /// Every part and turn.
    #[must_use]
    pub fn all(&self) -> &Tensions {
        &self.all
    }

    /// What the capstan pulls.
    #[must_use]
    pub fn capstan(&self) -> Band<Force> {
        self.part(0).pulling_side
    }

    /// What the load cell shows.
    #[must_use]
    pub fn cell(&self) -> Band<Force> {
        self.part(self.all.count).standing_side
    }

    /// The strand that goes out: its pulling side at the head, its standing side at the far sheave.
    #[must_use]
    pub fn strand_out(&self) -> super::PartTension {
        self.part(self.out)
    }

    /// The strand that comes back: its pulling side at the far sheave, its standing side at the head.
    #[must_use]
    pub fn strand_back(&self) -> super::PartTension {
        self.part(self.out + 1)
    }

    /// The highest tension anywhere in the rope, and where.
    #[must_use]
    pub fn highest(&self) -> Highest {
        self.all.highest()
    }

    /// The load on the redirect beside the frame.
    #[must_use]
    pub fn redirect(&self) -> TurnLoad {
        self.turn(0)
    }

    /// The load on the far sheave and its anchor.
    #[must_use]
    pub fn far_sheave(&self) -> TurnLoad {
        self.turn(self.out)
    }

    /// The load of each crossing of the head: first the rope going out, then coming back; zero without contact.
    #[must_use]
    pub fn head_crossings(&self) -> [Force; 2] {
        if self.out == 1 { [Force::default(); 2] } else { [self.turn(1).load, self.turn(3).load] }
    }

    /// What the rope pulls at the head towards the redirect, and towards the load cell; at rest the upper ends of
    /// their bands, which don't occur together.
    #[must_use]
    pub fn behind_head(&self) -> (Force, Force) {
        if self.out == 1 {
            // No contact: the strands go straight on.
            return (self.strand_out().pulling_side.high, self.strand_back().standing_side.high);
        }
        (self.part(self.out - 1).standing_side.high, self.part(self.out + 2).pulling_side.high)
    }

    /// The force of both crossings on the head of the frame; zero if the rope passes without contact. At rest,
    /// each crossing at its greatest.
    #[must_use]
    pub fn frame(&self) -> Force3 {
        if self.out == 1 {
            return Force3::default();
        }
        let crossing = |turn| self.turn(turn).force.unwrap_or_default();
        let (one, other) = (crossing(1), crossing(3));
        Force3::new(one.x + other.x, one.y + other.y, one.z + other.z)
    }

    /// The closing error.
    #[must_use]
    pub fn report(&self) -> SolveReport {
        self.all.report()
    }

    fn part(&self, part: usize) -> super::PartTension {
        self.all.parts().get(part).copied().unwrap_or_default()
    }

    fn turn(&self, turn: usize) -> TurnLoad {
        self.all.turns().get(turn).copied().unwrap_or_default()
    }
}
