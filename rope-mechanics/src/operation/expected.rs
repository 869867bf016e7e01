//! What the load cell will show on the travel, after the procedure that the study assumes.

use super::model::Model;
use super::plan::SitePlan;
use super::travel::Moved;
use crate::error::InputError;
use crate::geometry::Point3;
use crate::history::{Carriage, HistoryError, LockedTrack};
use crate::motion::Motion;
use crate::quantity::{Band, Force, Length, Ratio, metres, newtons, ratio};
use crate::reeving::{DoubledTrackPlaces, DoubledTrackTurns};
use crate::sheave::{PULLEY, Turn};
use alloc::vec::Vec;

/// Places at which the rope is followed, and those for each end of the doubt on its sheaves: between them the reading
/// is drawn straight, and its band widened by what that may miss.
const FOLLOWED: usize = 17;
const FOLLOWED_IN_DOUBT: usize = 9;
/// An efficiency that the site file gives is taken as good to so much either way.
const GIVEN_WITHIN: f64 = 0.05;

/// The reading that is set is taken as good to this share. Locked, a rope set so much tighter reads no more than that
/// tighter under its load.
const SET_WITHIN: f64 = 0.03;

/// An efficiency, and whether the site file gives it.
pub(crate) type Efficiency = (Ratio, bool);

/// The efficiencies of the track rope's turns: redirect, head, far sheave.
pub(crate) fn efficiencies(plan: &SitePlan, given: [bool; 3]) -> [Efficiency; 3] {
    let [redirect, head, far] = given;
    [(plan.redirect_efficiency, redirect), (plan.track_head_efficiency, head), (plan.far_efficiency, far)]
}

/// What the load cell will show at each position.
pub(crate) struct Readings {
    /// On the way in.
    pub(crate) hauled: Vec<Band<Force>>,
    /// On the way out again, from the last position as far as the load can be lowered.
    pub(crate) lowered: Vec<Option<Band<Force>>>,
    /// Why it can't be followed there.
    pub(crate) not_lowered: Option<NotFollowed>,
}

/// Why what the load cell will show can't be followed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum NotFollowed {
    /// The rope behind the head stretches otherwise than the track rope.
    OtherRopeBehind,
    Hauling(HistoryError),
    Lowering(HistoryError),
}

impl From<HistoryError> for NotFollowed {
    fn from(why: HistoryError) -> Self {
        Self::Hauling(why)
    }
}

impl From<InputError> for NotFollowed {
    fn from(why: InputError) -> Self {
        Self::Hauling(why.into())
    }
}

/// The reading at each position hauled in order, after: taken in until the cell shows `set`, locked, load on at the
/// first position, hauled from one to the next; and lowered again from the last one.
///
/// Expected with the efficiencies as they are; low and high over both ends of the doubt on all of them, the crew setting
/// to the same reading within 3 %.
pub(crate) fn readings(
    model: &Model<'_>,
    set: Force,
    states: &[Moved<'_, '_>],
    efficiencies: [Efficiency; 3],
) -> Result<Readings, NotFollowed> {
    let values = model.values();
    if values.track.stretch_behind != values.track.rope.stretch() {
        return Err(NotFollowed::OtherRopeBehind);
    }
    let head = Point3::new(metres(0.0), metres(0.0), values.head_height);
    let places = DoubledTrackPlaces {
        capstan: values.track.capstan,
        redirect: values.track.redirect.at,
        head,
        far_sheave: Point3::new(values.far.x - model.head().x, metres(0.0), values.far.z - values.base.z),
        anchor: values.track.cell_anchor,
    };
    let track = |turns: [Turn; 3]| {
        let [redirect, head, far_sheave] = turns;
        let turns = DoubledTrackTurns { redirect, frame: Some(head), far_sheave };
        LockedTrack::new(places, turns, values.track.rope.weight(), values.track.rope.stretch())
    };
    let procedure = Procedure { model, set, states };
    let expected =
        procedure.follow(&track(turns(efficiencies, |(efficiency, _)| efficiency.value)?)?, FOLLOWED)?;
    let low =
        turns(
            efficiencies,
            |(efficiency, given)| {
                if given { (efficiency.value - GIVEN_WITHIN).max(0.01) } else { PULLEY.low }
            },
        )?;
    let high =
        turns(
            efficiencies,
            |(efficiency, given)| {
                if given { (efficiency.value + GIVEN_WITHIN).min(1.0) } else { PULLEY.high }
            },
        )?;
    let one = procedure.follow(&track(low)?, FOLLOWED_IN_DOUBT)?;
    let other = procedure.follow(&track(high)?, FOLLOWED_IN_DOUBT)?;
    let band = |i: usize, way: &dyn Fn(&Followed) -> &OneWay| {
        let x_m = states.get(i)?.hauling.balance.carriage.x.value;
        let all = [&expected, &one, &other].map(|followed| way(followed).at(i, x_m));
        let [Some(expected), Some(one), Some(other)] = all else { return None };
        let least = [expected, one, other].map(|(n, off)| n - off).into_iter().fold(f64::MAX, f64::min);
        let most = [expected, one, other].map(|(n, off)| n + off).into_iter().fold(0.0, f64::max);
        Some(Band {
            low: newtons(least * (1.0 - SET_WITHIN)),
            expected: newtons(expected.0),
            high: newtons(most * (1.0 + SET_WITHIN)),
        })
    };
    Ok(Readings {
        hauled: (0..states.len()).filter_map(|i| band(i, &|followed| &followed.hauled)).collect(),
        lowered: (0..states.len()).map(|i| band(i, &|followed| &followed.lowered)).collect(),
        not_lowered: [&expected, &one, &other].into_iter().find_map(|followed| followed.not_lowered),
    })
}

fn turns(efficiencies: [Efficiency; 3], end: impl Fn(Efficiency) -> f64) -> Result<[Turn; 3], InputError> {
    let [redirect, head, far] = efficiencies.map(|one| Turn::sheave(ratio(end(one))));
    Ok([redirect?, head?, far?])
}

struct Procedure<'a, 'm, 'g> {
    model: &'a Model<'g>,
    set: Force,
    states: &'a [Moved<'m, 'g>],
}

/// The way in, and out again.
struct Followed {
    hauled: OneWay,
    lowered: OneWay,
    not_lowered: Option<NotFollowed>,
}

/// Readings at some positions in their order, and how far a straight line between them may be off.
struct OneWay {
    at: Vec<(usize, f64, f64)>,
    off_n: f64,
}

impl Procedure<'_, '_, '_> {
    fn follow(&self, track: &LockedTrack, places: usize) -> Result<Followed, HistoryError> {
        let mut state = track.tensioned(self.set, Motion::Hauling)?;
        let last = self.states.len().saturating_sub(1);
        let steps = places.saturating_sub(1).min(last).max(1);
        let mut at: Vec<(usize, f64, f64)> = Vec::with_capacity(places);
        for step in 0..=steps {
            let i = step * last / steps;
            let Some(moved) = self.states.get(i) else { break };
            let hauled = &moved.hauling;
            let carriage = self.carriage(hauled)?;
            state =
                if step == 0 { track.loaded(&state, carriage)? } else { track.moved(&state, carriage)? };
            at.push((i, hauled.balance.carriage.x.value, state.cell.value));
        }
        let mut back: Vec<(usize, f64, f64)> = Vec::with_capacity(places);
        let mut not_lowered = None;
        for (i, x_m, _) in at.iter().rev() {
            let Some(lowered) = self.states.get(*i).and_then(|moved| moved.lowering.as_ref()) else { break };
            match self.carriage(lowered).and_then(|carriage| track.moved(&state, carriage)) {
                Ok(next) => state = next,
                Err(why) => {
                    not_lowered = Some(NotFollowed::Lowering(why));
                    break;
                }
            }
            back.push((*i, *x_m, state.cell.value));
        }
        back.reverse();
        Ok(Followed { hauled: OneWay::through(at), lowered: OneWay::through(back), not_lowered })
    }

    fn carriage(&self, moved: &super::State<'_, '_>) -> Result<Carriage, HistoryError> {
        let (head, at) = (self.model.head(), moved.balance.carriage);
        let friction = self.model.values().load.wheel_friction;
        let carriage = Carriage::new(self.model.weight(), at.x - head.x)?
            .with_wheel_friction(friction, moved.situation.motion)?;
        let height: Length = at.z - head.z;
        Ok(if moved.on_ground() { carriage.at_height(height)? } else { carriage })
    }
}

impl OneWay {
    fn through(at: Vec<(usize, f64, f64)>) -> Self {
        // Between every second of them a straight line misses the one between by so much: half of that is left of a
        // corner in the middle between neighbours, and a quarter of a bow.
        let off_n = at.windows(3).fold(0.0, |most: f64, three| match three {
            [a, b, c] => most.max((b.2 - straight(a, c, b.1)).abs()),
            _ => most,
        });
        Self { at, off_n: 0.5 * off_n }
    }

    /// The reading at a position, its carriage at x, and how far it may be off; nothing beyond the positions followed.
    fn at(&self, position: usize, x_m: f64) -> Option<(f64, f64)> {
        let behind = self.at.partition_point(|(i, ..)| *i < position);
        match (self.at.get(behind.checked_sub(1).unwrap_or(self.at.len())), self.at.get(behind)) {
            (_, Some(there)) if there.0 == position => Some((there.2, self.off_n)),
            (Some(a), Some(b)) => Some((straight(a, b, x_m), self.off_n)),
            _ => None,
        }
    }
}

fn straight(a: &(usize, f64, f64), b: &(usize, f64, f64), x_m: f64) -> f64 {
    a.2 + (b.2 - a.2) * (x_m - a.1) / (b.1 - a.1)
}
