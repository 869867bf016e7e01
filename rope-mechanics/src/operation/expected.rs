//! What the load cell will show on the travel, after the procedure that the study assumes.

use super::model::Model;
use super::plan::SitePlan;
use super::travel::Moved;
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

/// The reading at each position hauled in order, after: taken in until the cell shows `set`, locked, load on at the
/// first position, hauled from one to the next.
///
/// Expected with the efficiencies as they are; low and high over both ends of the doubt on all of them, the crew setting
/// to the same reading within 3 %. Nothing where the rope behind the head isn't the track rope.
pub(crate) fn readings(
    model: &Model<'_>,
    set: Force,
    states: &[Moved<'_, '_>],
    efficiencies: [Efficiency; 3],
) -> Result<Vec<Band<Force>>, HistoryError> {
    let values = model.values();
    if values.track.stretch_behind != values.track.rope.stretch() {
        return Ok(Vec::new());
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
    Ok((0..states.len())
        .map(|i| {
            let x_m = states.get(i).map_or(0.0, |moved| moved.hauling.balance.carriage.x.value);
            let (expected, [one, other]) = (expected.at(i, x_m), [&one, &other].map(|way| way.at(i, x_m)));
            let least = [expected, one, other].map(|(n, off)| n - off).into_iter().fold(f64::MAX, f64::min);
            let most = [expected, one, other].map(|(n, off)| n + off).into_iter().fold(0.0, f64::max);
            Band {
                low: newtons(least * (1.0 - SET_WITHIN)),
                expected: newtons(expected.0),
                high: newtons(most * (1.0 + SET_WITHIN)),
            }
        })
        .collect())
}

fn turns(
    efficiencies: [Efficiency; 3],
    end: impl Fn(Efficiency) -> f64,
) -> Result<[Turn; 3], crate::error::InputError> {
    let [redirect, head, far] = efficiencies.map(|one| Turn::sheave(ratio(end(one))));
    Ok([redirect?, head?, far?])
}

struct Procedure<'a, 'm, 'g> {
    model: &'a Model<'g>,
    set: Force,
    states: &'a [Moved<'m, 'g>],
}

/// Readings at some positions, and how far a straight line between them may be off.
struct Followed {
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
        // Between every second of them a straight line misses the one between by so much: half of that is left of a
        // corner in the middle between neighbours, and a quarter of a bow.
        let off_n = at.windows(3).fold(0.0, |most: f64, three| match three {
            [a, b, c] => most.max((b.2 - straight(a, c, b.1)).abs()),
            _ => most,
        });
        Ok(Followed { at, off_n: 0.5 * off_n })
    }

    fn carriage(&self, hauled: &super::State<'_, '_>) -> Result<Carriage, HistoryError> {
        let (head, at) = (self.model.head(), hauled.balance.carriage);
        let friction = self.model.values().load.wheel_friction;
        let carriage = Carriage::new(self.model.weight(), at.x - head.x)?
            .with_wheel_friction(friction, Motion::Hauling)?;
        let height: Length = at.z - head.z;
        Ok(if hauled.on_ground() { carriage.at_height(height)? } else { carriage })
    }
}

impl Followed {
    /// The reading at a position, its carriage at x, and how far it may be off.
    fn at(&self, position: usize, x_m: f64) -> (f64, f64) {
        let behind = self.at.iter().position(|(i, ..)| *i >= position).unwrap_or(0).max(1);
        match (self.at.get(behind - 1), self.at.get(behind)) {
            (Some(a), Some(b)) => (straight(a, b, x_m), self.off_n),
            (Some(only), None) => (only.2, self.off_n),
            _ => (0.0, 0.0), // there is a position at least
        }
    }
}

fn straight(a: &(usize, f64, f64), b: &(usize, f64, f64), x_m: f64) -> f64 {
    a.2 + (b.2 - a.2) * (x_m - a.1) / (b.1 - a.1)
}
