//! What can be seen from the road: marks on the haul rope, distances on the slope, and what to expect at each.

use super::super::model::Model;
use super::super::power::Drive;
use super::super::state::{Situation, State, StateError};
use super::super::study::{LimitsUsed, Position, Xz, in_newtons};
use super::super::words;
use crate::geometry::Point2;
use crate::math;
use crate::motion::Motion;
use crate::quantity::{Band, ElectricCurrent, Force, Length, metres, newtons, ratio};
use crate::sheave::{PULLEY, Turn};
use alloc::string::String;
use alloc::vec::Vec;
use serde::Serialize;
use serde::ser::SerializeStruct;

/// The edge is where the ground outward of the head begins to fall as steeply as this: 15°, a choice.
const EDGE_SLOPE: f64 = 0.267_949_192_431_122_7;
/// No more marks than this, so that a spacing of a centimetre stays bounded.
const MOST_MARKS: usize = 400;
/// An efficiency that the site file gives is taken as good to so much either way.
const GIVEN_WITHIN: f64 = 0.05;
/// Between two marks a change of less than this share is none.
const STEADY: f64 = 0.01;

/// A place of the load as it can be seen without a survey.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Seen {
    /// Haul rope that has come in past the head since the start.
    #[serde(rename = "rope_taken_in_m")]
    pub rope_taken_in: Length,
    /// The same in marks on the haul rope.
    pub marks: f64,
    /// Straight from the edge of the slope to the point of the ground below the carriage.
    #[serde(rename = "slope_distance_m")]
    pub slope_distance: Length,
}

/// Whether something grows on the way to the next mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Trend {
    /// By more than 1 %.
    Rises,
    /// By less either way.
    Steady,
    /// By more than 1 %.
    Falls,
}

/// A mark on the haul rope as it comes in over the head, and what to expect then.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct HaulMark {
    /// Counted from 1.
    pub mark: u32,
    /// Haul rope that has come in past the head since the start.
    #[serde(rename = "rope_taken_in_m")]
    pub rope_taken_in: Length,
    /// Rope that the winch has taken in, through its tackle.
    #[serde(rename = "winch_rope_m")]
    pub winch_rope: Length,
    /// Where the carriage is.
    pub carriage: Xz,
    /// Straight from the edge of the slope to the point of the ground below the carriage.
    #[serde(rename = "slope_distance_m")]
    pub slope_distance: Length,
    /// Height of the litter's underside, hauled.
    #[serde(rename = "litter_height_m")]
    pub litter_height: Length,
    /// What the load cell shows: see [`Position::reading_expected`]; where that is absent, [`Position::reading`].
    #[serde(serialize_with = "in_newtons")]
    pub reading: Band<Force>,
    /// The pull at the winch, over both ends of the doubt on the turns of the haul rope: 73 to 95 % where the site gives
    /// none and 5 points either way where it does. The doubt on the load is not in it.
    #[serde(serialize_with = "in_newtons")]
    pub winch_pull: Band<Force>,
    /// The winch's current at these pulls; absent where it can't pull so hard.
    #[serde(serialize_with = "maybe_in_amperes")]
    pub current: Option<Band<ElectricCurrent>>,
    /// Stop when the load cell shows more: the limit on the reading, or all that friction explains at the positions on
    /// either side, whichever is less.
    #[serde(rename = "stop_above_reading_n")]
    pub stop_above_reading: Force,
    /// Stop when the winch draws more: the limit on the current, or the high end of what is expected, whichever is less.
    /// Absent where there is neither.
    #[serde(rename = "stop_above_current_a")]
    pub stop_above_current: Option<ElectricCurrent>,
    /// How the reading goes on to the next mark,
    pub reading_goes_on: Trend,
    /// and the current.
    pub current_goes_on: Trend,
}

fn maybe_in_amperes<S: serde::Serializer>(
    band: &Option<Band<ElectricCurrent>>,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    let Some(band) = band else { return serializer.serialize_none() };
    let mut fields = serializer.serialize_struct("Band", 3)?;
    fields.serialize_field("low_a", &band.low)?;
    fields.serialize_field("expected_a", &band.expected)?;
    fields.serialize_field("high_a", &band.high)?;
    fields.end()
}

/// How a reading stands to its band.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Stands {
    /// Below it, or falling where it should not.
    Low,
    /// Inside.
    AsExpected,
    /// Above it, or rising where it should not.
    High,
}

/// What it may be when the readings leave their bands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Cause {
    /// Carriage or litter is caught, or the haul rope jams.
    Snag,
    /// The litter is on the ground.
    LitterGrounded,
    /// The capstan slips, an anchor gives, or a knot pulls tight.
    AnchorCreeps,
    /// The haul rope is slack: the load rolls in, or something let go.
    HaulSlack,
    /// The load is heavier than planned, or the track shorter.
    MoreLoad,
}

/// What a pair of readings outside their bands means.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Meaning {
    /// The load cell on the track rope.
    pub reading: Stands,
    /// The current of the haul winch.
    pub current: Stands,
    /// What it may be.
    pub cause: Cause,
    /// The same in words.
    pub text: String,
}

/// From the tables of what fails how: a snag stops the carriage, so that its pull rises while the track stays as it is; the
/// ground takes part of the load off the track and adds its friction to the pull; what gives at an end of the track lowers
/// its tension alone.
pub(super) fn meanings() -> Vec<Meaning> {
    use Stands::{AsExpected, High, Low};
    [
        (AsExpected, High, Cause::Snag),
        (Low, High, Cause::LitterGrounded),
        (Low, AsExpected, Cause::AnchorCreeps),
        (Low, Low, Cause::HaulSlack),
        (AsExpected, Low, Cause::HaulSlack),
        (High, AsExpected, Cause::MoreLoad),
        (High, High, Cause::MoreLoad),
    ]
    .into_iter()
    .map(|(reading, current, cause)| Meaning { reading, current, cause, text: words::cause(cause) })
    .collect()
}

/// The edge of the slope: the first point of the ground, outward of the head, from which it falls steeply; the base where
/// it does so at once, or nowhere.
pub(in crate::operation) fn edge(model: &Model<'_>) -> Point2 {
    let base = model.values().base;
    if model.ground_slope(base.x.value) <= -EDGE_SLOPE {
        return base;
    }
    let ground = model.values().ground;
    let pieces = ground.windows(2).filter_map(|pair| match pair {
        [a, b] if a.x >= base.x => Some((*a, (b.z - a.z) / (b.x - a.x))),
        _ => None,
    });
    pieces.into_iter().find(|(_, slope)| slope.value <= -EDGE_SLOPE).map_or(base, |(from, _)| from)
}

/// From the edge to the ground below a carriage.
pub(super) fn slope_distance(model: &Model<'_>, edge: Point2, x: Length) -> Length {
    let z_m = model.ground_m(x.value).unwrap_or(edge.z.value);
    metres(math::hypot((x - edge.x).value, z_m - edge.z.value))
}

/// The marks of the haul rope over the travel.
pub(super) struct Road<'a, 'g> {
    pub(super) model: &'a Model<'g>,
    pub(super) drive: &'a Drive,
    pub(super) strand: Length,
    pub(super) positions: &'a [Position],
    pub(super) spacing: Length,
    /// Whether the site file gives the efficiencies of the haul rope's turns: head, redirects, tackle.
    pub(super) given: [bool; 3],
    pub(super) limits: &'a LimitsUsed,
}

impl<'g> Road<'_, 'g> {
    /// Every mark that comes in between the first position and the last.
    pub(super) fn marks(&self) -> Result<Vec<HaulMark>, StateError> {
        let (Some(first), Some(last)) = (self.positions.first(), self.positions.last()) else {
            return Ok(Vec::new());
        };
        let edge = edge(self.model);
        let [lossy, free] = [self.with_turns(Which::Low)?, self.with_turns(Which::High)?];
        let mut found: Vec<HaulMark> = Vec::new();
        let mut near: Option<State<'_, '_>> = None;
        for number in 1..=MOST_MARKS {
            let taken_in = number as f64 * self.spacing;
            let rope = first.haul_length - taken_in;
            if rope < last.haul_length {
                break;
            }
            let situation = Situation::on_rope(self.strand, rope, Motion::Hauling);
            let state = match &near {
                Some(near) => self.model.state_near(&situation, near),
                None => self.model.state(&situation),
            }?;
            let carriage = state.balance.carriage;
            let pull_of = |model: &Model<'_>| -> Result<Force, StateError> {
                Ok(model.haul_line(carriage, state.pull())?.winch)
            };
            let pull = Band { low: pull_of(&free)?, expected: pull_of(self.model)?, high: pull_of(&lossy)? };
            let amperes = |pull| self.drive.at(pull, carriage.x).ok().map(|driven| driven.current);
            let current = match (amperes(pull.low), amperes(pull.expected), amperes(pull.high)) {
                (Some(low), Some(expected), Some(high)) => Some(Band { low, expected, high }),
                _ => None,
            };
            let reading = self.reading(carriage.x).map_or_else(|| state.reading(), Ok)?;
            let (limit, most) = (self.limits.current, current.map(|band| band.high));
            found.push(HaulMark {
                mark: number as u32,
                rope_taken_in: taken_in,
                winch_rope: self.model.velocity_ratio() * taken_in,
                carriage: carriage.into(),
                slope_distance: slope_distance(self.model, edge, carriage.x),
                litter_height: state.litter_height(),
                reading,
                winch_pull: pull,
                current,
                stop_above_reading: self.stop_above(carriage.x, reading.high),
                stop_above_current: match (limit, most) {
                    (Some(limit), Some(most)) => Some(limit.min(most)),
                    (limit, most) => limit.or(most),
                },
                reading_goes_on: Trend::Steady,
                current_goes_on: Trend::Steady,
            });
            near = Some(state);
        }
        for i in 1..found.len() {
            let (before, now) = (found.get(i - 1).copied(), found.get(i).copied());
            if let (Some(before), Some(now), Some(into)) = (before, now, found.get_mut(i - 1)) {
                let trend = |a: f64, b: f64| match b / a - 1.0 {
                    by if by > STEADY => Trend::Rises,
                    by if by < -STEADY => Trend::Falls,
                    _ => Trend::Steady,
                };
                into.reading_goes_on = trend(before.reading.expected.value, now.reading.expected.value);
                if let (Some(a), Some(b)) = (before.current, now.current) {
                    into.current_goes_on = trend(a.expected.value, b.expected.value);
                }
            }
        }
        Ok(found)
    }

    /// What the load cell is expected to show with the carriage at x: between the positions on either side, in a straight
    /// line.
    fn reading(&self, x: Length) -> Option<Band<Force>> {
        let [a, b] = self.beside(x)?;
        let (one, other) = (a.reading_expected?, b.reading_expected?);
        let share = ((x - a.carriage.x) / (b.carriage.x - a.carriage.x)).value.clamp(0.0, 1.0);
        let between = |one: Force, other: Force| newtons(one.value + (other.value - one.value) * share);
        Some(Band {
            low: between(one.low, other.low),
            expected: between(one.expected, other.expected),
            high: between(one.high, other.high),
        })
    }

    /// The reading above which something is wrong.
    fn stop_above(&self, x: Length, expected_high: Force) -> Force {
        let beside = self.beside(x).into_iter().flatten();
        let friction = beside.map(Position::greatest_reading).fold(expected_high, Force::max);
        self.limits.reading.map_or(friction, |limit| limit.min(friction))
    }

    /// The positions on either side.
    fn beside(&self, x: Length) -> Option<[&Position; 2]> {
        // They go from the far anchor to the head.
        let behind =
            self.positions.partition_point(|p| p.carriage.x > x).clamp(1, self.positions.len().max(2) - 1);
        Some([self.positions.get(behind - 1)?, self.positions.get(behind)?])
    }

    /// The rig with the haul rope's turns at one end of what they may be.
    fn with_turns(&self, which: Which) -> Result<Model<'g>, StateError> {
        let [head, redirects, tackle] = self.given;
        let end = |turn: &Turn, given: bool| {
            // Of half a turn: η to 1/η.
            let efficiency = 1.0 / turn.ratios(core::f64::consts::PI).0;
            let at = match (which, given) {
                (Which::Low, true) => (efficiency - GIVEN_WITHIN).max(0.01),
                (Which::High, true) => (efficiency + GIVEN_WITHIN).min(1.0),
                (Which::Low, false) => PULLEY.low.min(efficiency),
                (Which::High, false) => PULLEY.high.max(efficiency),
            };
            Turn::sheave(ratio(at)).unwrap_or(*turn)
        };
        let changed = self.model.with(|values| {
            let haul = &mut values.haul;
            haul.head_turn = end(&haul.head_turn, head);
            for redirect in &mut haul.redirects {
                redirect.turn = end(&redirect.turn, redirects);
            }
            haul.tackle_turn = end(&haul.tackle_turn, tackle);
        });
        changed.map_err(|_| StateError::NotHeld)
    }
}

/// An end of a doubt.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Which {
    Low,
    High,
}
