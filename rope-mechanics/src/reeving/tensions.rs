//! The tensions of a rope through its turns, and what they do to what it runs over.

use super::{MAX_PARTS, MAX_TURNS, Side};
use crate::error::SolveReport;
use crate::geometry::Force3;
use crate::quantity::{Angle, Band, Force, newtons};

/// The tension of a part of the rope at its two sides. At rest friction leaves a band, expected without friction.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct PartTension {
    /// Where it leaves towards the pulling end.
    pub pulling_side: Band<Force>,
    /// Where it arrives at the next turn or the standing end.
    pub standing_side: Band<Force>,
}

/// What the rope does to a turn.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct TurnLoad {
    /// How far the rope wraps it.
    pub wrap: Angle,
    /// The force on what holds it; at rest the greatest that friction may leave there.
    pub load: Force,
    /// The same as a vector, if the directions of both parts are known.
    pub force: Option<Force3>,
}

/// The highest tension in the rope.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Highest {
    /// The part, counted from the pulling end.
    pub part: usize,
    /// Which of its sides.
    pub side: Side,
    /// The tension; at rest the upper end of its band.
    pub tension: Force,
}

/// The tensions of every part, and what they do to every turn and both ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tensions {
    pub(super) parts: [PartTension; MAX_PARTS],
    pub(super) turns: [TurnLoad; MAX_TURNS],
    pub(super) count: usize,
    pub(super) pulling_end: Option<Force3>,
    pub(super) standing_end: Option<Force3>,
    pub(super) report: SolveReport,
}

impl Default for Tensions {
    /// Of a slack rope without a turn: what [`Reeving::tensions_into`](super::Reeving::tensions_into) starts from.
    fn default() -> Self {
        Self {
            parts: [PartTension::default(); MAX_PARTS],
            turns: [TurnLoad::default(); MAX_TURNS],
            count: 0,
            pulling_end: None,
            standing_end: None,
            report: SolveReport::new(0, 0.0),
        }
    }
}

impl Tensions {
    /// Back to nothing, for a rope of so many turns. Member by member: a whole one would stand on the stack first.
    pub(super) fn clear(&mut self, turns: usize) {
        self.parts.iter_mut().for_each(|part| *part = PartTension::default());
        self.turns.iter_mut().for_each(|turn| *turn = TurnLoad::default());
        self.count = turns;
        (self.pulling_end, self.standing_end) = (None, None);
        self.report = SolveReport::new(0, 0.0);
    }

    /// Every part, from the pulling end.
    #[must_use]
    pub fn parts(&self) -> &[PartTension] {
        self.parts.get(..=self.count).unwrap_or(&self.parts)
    }

    /// Every turn, from the pulling end.
    #[must_use]
    pub fn turns(&self) -> &[TurnLoad] {
        self.turns.get(..self.count).unwrap_or(&self.turns)
    }

    /// The rope's pull on whatever holds its pulling end, if the direction of part 0 is known.
    #[must_use]
    pub fn pulling_end(&self) -> Option<Force3> {
        self.pulling_end
    }

    /// The rope's pull on whatever holds its standing end, if the direction of the last part is known.
    #[must_use]
    pub fn standing_end(&self) -> Option<Force3> {
        self.standing_end
    }

    /// The highest tension anywhere in the rope, and where. Of equal ones, the one nearest the pulling end.
    #[must_use]
    pub fn highest(&self) -> Highest {
        let mut best = Highest { part: 0, side: Side::Pulling, tension: newtons(-1.0) };
        for (part, tension) in self.parts().iter().enumerate() {
            for (side, band) in
                [(Side::Pulling, tension.pulling_side), (Side::Standing, tension.standing_side)]
            {
                if band.high > best.tension {
                    best = Highest { part, side, tension: band.high };
                }
            }
        }
        best
    }

    /// The closing error of the ratios at all turns, of the strands and of the known tension.
    #[must_use]
    pub fn report(&self) -> SolveReport {
        self.report
    }
}
