//! Every failure at the places of the load that govern: a matrix, the worst of each, and where it only sets the litter
//! down.

use super::{Consequence, Detail, Failure, FailureEnd, FailureError, FailureValues};
use crate::operation::place::Place;
use crate::operation::state::State;
use crate::operation::under_ropes::UnderRopes;
use crate::quantity::{Angle, Force, Length};
use alloc::vec::Vec;
use core::convert::Infallible;
use core::ops::ControlFlow;

/// Places of the load that are judged, at most, evenly spread; those with the greatest pull, height and track tension
/// come on top.
const SPREAD: usize = 7;

/// A failure with the load at one place.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Cell {
    /// Index in the states that were given.
    pub state: usize,
    /// Where the carriage is then.
    pub x: Length,
    /// What happens.
    pub consequence: Consequence,
}

/// A failure at every place that is judged.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Row {
    /// What fails.
    pub failure: Failure,
    /// At each place, in the order of [`Failures::states`].
    pub cells: Vec<Cell>,
    /// Index of the worst cell: by its end, then by how fast the litter meets the ground, by its least factor and by how
    /// far it goes down.
    pub worst: usize,
    /// The longest stretch of travel, between two places judged, over which this at most sets the litter down: from x to
    /// x, outward first; nothing where it does so nowhere.
    pub sets_down: Option<(Length, Length)>,
    /// Why there are no cells, where there are none.
    pub refused: Option<FailureError>,
}

impl Row {
    /// The worst of it.
    #[must_use]
    pub fn worst(&self) -> Option<&Cell> {
        self.cells.get(self.worst)
    }
}

/// Every failure of a rig over its travel.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Failures {
    /// Indices of the states that were judged, in their order.
    pub states: Vec<usize>,
    /// A row for each failure.
    pub rows: Vec<Row>,
    /// Where every failure of a rope, an anchor, a redirect, a brake or a capstan's tail at most sets the litter down;
    /// what holds up the frame is another matter.
    pub sets_down: Option<(Length, Length)>,
}

/// What the consequences of two failures have in common: they are the same but for their name.
const fn same_as(failure: Failure) -> Failure {
    match failure {
        Failure::FarAnchor => Failure::TrackRope,
        Failure::WinchBrake => Failure::HaulRope,
        other => other,
    }
}

/// Whether it belongs to what holds the load, and not to the frame, the power or the load itself.
const fn of_ropes(failure: Failure) -> bool {
    !matches!(failure, Failure::Guy(_) | Failure::Foot(_) | Failure::Power | Failure::Jam)
}

/// Worst first.
fn order(a: &Consequence, b: &Consequence) -> core::cmp::Ordering {
    let speed = |c: &Consequence| c.impact.map_or(0.0, |impact| impact.into_ground.bound.value);
    let factor = |c: &Consequence| c.least_factor.map_or(f64::INFINITY, |(_, factor)| factor);
    a.end
        .cmp(&b.end)
        .then(speed(b).total_cmp(&speed(a)))
        .then(factor(a).total_cmp(&factor(b)))
        .then(b.drop.bound.value.total_cmp(&a.drop.bound.value))
}

impl Failures {
    /// Every failure at the states that govern.
    ///
    /// Of the states, one after the other on the way of the load, seven are judged that are evenly spread, the first and
    /// the last among them, and those with the greatest pull, the greatest height of the litter and the greatest tension
    /// of the track. Each failure is bounded in closed form at all of them, and followed in time where that bound is the
    /// worst of its row, until the worst of the row is one that was followed: at most twice in each row, and up to three
    /// times more where its bound in closed form says that it isn't survivable or that something breaks. Where track or
    /// haul rope part, so are the hardest pull on the rope that catches the load and the deepest fall. A cell that could not be followed says so by its [`Detail`]; a row that could
    /// not be bounded has no cells, and says why.
    ///
    /// # Errors
    /// [`FailureError::NoLoad`] without states.
    pub fn of(states: &[State<'_, '_>], values: &FailureValues<'_>) -> Result<Self, FailureError> {
        match Self::of_while(states, values, |_, _| ControlFlow::<Infallible>::Continue(()))? {
            ControlFlow::Continue(failures) => Ok(failures),
            ControlFlow::Break(never) => match never {},
        }
    }

    /// The same, for as long as `progress` says to go on. It is asked after each row, with how many of how many are done; what
    /// it breaks off with is returned in place of the failures. Between two questions lies the work of one failure.
    ///
    /// # Errors
    /// As [`Failures::of`].
    pub fn of_while<B>(
        states: &[State<'_, '_>],
        values: &FailureValues<'_>,
        mut progress: impl FnMut(usize, usize) -> ControlFlow<B>,
    ) -> Result<ControlFlow<B, Self>, FailureError> {
        let judged = governing(states);
        let Some(first) = states.first() else { return Err(FailureError::NoLoad) };
        let asked = |failure: &Failure| *failure != Failure::Jam || values.winch.is_some();
        let of = first.model().failures(values.anchors).filter(asked).count();
        let mut rows: Vec<Row> = Vec::with_capacity(of);
        for failure in first.model().failures(values.anchors).filter(asked) {
            let twin = rows.iter().find(|row| same_as(failure) == row.failure);
            let cells = match twin {
                Some(Row { refused: Some(why), .. }) => Err(*why),
                Some(twin) => {
                    let named = |cell: &Cell| Cell {
                        consequence: Consequence { failure, ..cell.consequence.clone() },
                        ..*cell
                    };
                    Ok(twin.cells.iter().map(named).collect())
                }
                None => {
                    let track_lost = rows.iter().find(|row| row.failure == Failure::TrackRope);
                    bounded(failure, &judged, states, values, track_lost).map(|mut cells| {
                        follow(failure, &mut cells, states, values);
                        cells
                    })
                }
            };
            let (cells, refused): (Vec<Cell>, _) = match cells {
                Ok(cells) => (cells, None),
                Err(why) => (Vec::new(), Some(why)),
            };
            let worst = worst(&cells).unwrap_or(0);
            let sets_down = stretch(&cells, |i| {
                cells.get(i).is_some_and(|cell| cell.consequence.end.at_most_sets_down())
            });
            rows.push(Row { failure, cells, worst, sets_down, refused });
            if let ControlFlow::Break(why) = progress(rows.len(), of) {
                return Ok(ControlFlow::Break(why));
            }
        }
        let all = |i: usize| {
            rows.iter()
                .filter(|row| of_ropes(row.failure))
                .all(|row| row.cells.get(i).is_some_and(|cell| cell.consequence.end.at_most_sets_down()))
        };
        let sets_down = rows.first().and_then(|row| stretch(&row.cells, all));
        Ok(ControlFlow::Continue(Self { states: judged, rows, sets_down }))
    }
}

/// A failure at each state that is judged, bounded in closed form. A capstan's tail that is let go falls as the track
/// does where that is lost: what was followed of it is not followed again.
fn bounded(
    failure: Failure,
    judged: &[usize],
    states: &[State<'_, '_>],
    values: &FailureValues<'_>,
    track_lost: Option<&Row>,
) -> Result<Vec<Cell>, FailureError> {
    let cell = |(i, state): (usize, &usize)| {
        let at = states.get(*state).ok_or(FailureError::NoLoad)?;
        let x = at.carriage().ok_or(FailureError::NoLoad)?.x;
        let lost = track_lost.and_then(|row| row.cells.get(i)).map(|cell| &cell.consequence);
        let consequence = match lost {
            Some(lost) if failure == Failure::CapstanTail => at.tail_let_go(values, lost)?,
            _ => at.failure(failure, values, Detail::Bounds)?,
        };
        Ok(Cell { state: *state, x, consequence })
    };
    judged.iter().enumerate().map(cell).collect()
}

/// Follows the cells of a row in time that govern it. One that can't be followed keeps its bounds in closed form.
fn follow(failure: Failure, cells: &mut [Cell], states: &[State<'_, '_>], values: &FailureValues<'_>) {
    // A closed bound may be the worst without being near what happens: what was followed makes way for the next.
    const MOST: usize = 5;
    const USUAL: usize = 2;
    let mut tried: Vec<usize> = Vec::with_capacity(MOST);
    follow_worst(cells, states, values, &mut tried, order, |done, cell| {
        done < USUAL || (done < MOST && matches!(cell.end, FailureEnd::NotSurvivable | FailureEnd::Breaks))
    });
    // The summary has the hardest pull on the rope that catches the load, and the deepest fall or longest run.
    if matches!(failure, Failure::TrackRope | Failure::HaulRope) {
        let hardest = |c: &Consequence| {
            let [haul, belay] = [Place::HaulRope, Place::BelayRope].map(|place| c.peaks[place].bound.value);
            if failure == Failure::TrackRope { haul } else { belay }
        };
        follow_worst(
            cells,
            states,
            values,
            &mut tried,
            |a, b| hardest(b).total_cmp(&hardest(a)),
            |_, _| true,
        );
        let deepest = |c: &Consequence| c.drop.bound.value;
        follow_worst(
            cells,
            states,
            values,
            &mut tried,
            |a, b| deepest(b).total_cmp(&deepest(a)),
            |_, _| true,
        );
    }
}

/// Follows the worst cell in one respect, until that is one that was followed, and for as long as it is worth it.
fn follow_worst(
    cells: &mut [Cell],
    states: &[State<'_, '_>],
    values: &FailureValues<'_>,
    tried: &mut Vec<usize>,
    order: impl Fn(&Consequence, &Consequence) -> core::cmp::Ordering,
    worth_it: impl Fn(usize, &Consequence) -> bool,
) {
    loop {
        // What was followed and is still the worst governs: no other needs to be.
        let among =
            |cell: &&mut Cell| cell.consequence.detail == Detail::InTime || !tried.contains(&cell.state);
        let worst = cells.iter_mut().filter(among).min_by(|a, b| order(&a.consequence, &b.consequence));
        let Some(cell) = worst else { break };
        let consequence = &cell.consequence;
        let done = consequence.detail == Detail::InTime || consequence.drop.bound.value <= 0.0;
        if done || !worth_it(tried.len(), consequence) {
            break;
        }
        tried.push(cell.state);
        let Some(state) = states.get(cell.state) else { break };
        if let Ok(followed) = state.failure(consequence.failure, values, Detail::InTime) {
            cell.consequence = followed;
        }
    }
}

fn worst(cells: &[Cell]) -> Option<usize> {
    cells.iter().enumerate().min_by(|a, b| order(&a.1.consequence, &b.1.consequence)).map(|(i, _)| i)
}

/// The longest run of cells that hold, by the way between their places.
fn stretch(cells: &[Cell], holds: impl Fn(usize) -> bool) -> Option<(Length, Length)> {
    let x = |cell: usize| cells.get(cell).map(|cell| cell.x);
    let mut longest: Option<(Length, Length)> = None;
    let mut from: Option<usize> = None;
    for i in 0..cells.len() {
        if !holds(i) {
            from = None;
            continue;
        }
        let begins = *from.get_or_insert(i);
        if let (Some(a), Some(b)) = (x(begins), x(i))
            && longest.is_none_or(|(c, d)| (a - b).abs() > (c - d).abs())
        {
            longest = Some((a, b));
        }
    }
    longest
}

/// Which of the states are judged.
fn governing(states: &[State<'_, '_>]) -> Vec<usize> {
    let last = states.len().saturating_sub(1);
    let spread = SPREAD.min(states.len());
    let spaces = spread.saturating_sub(1).max(1);
    let mut chosen: Vec<usize> = (0..spread).map(|i| (i * last + spaces / 2) / spaces).collect();
    let greatest = |value: &dyn Fn(&State<'_, '_>) -> f64| {
        states.iter().enumerate().max_by(|a, b| value(a.1).total_cmp(&value(b.1))).map(|(i, _)| i)
    };
    chosen.extend(greatest(&|state| state.pull().value));
    chosen.extend(greatest(&|state| state.litter_height().value));
    chosen.extend(greatest(&|state| state.strand_tension_head().value));
    chosen.sort_unstable();
    chosen.dedup();
    chosen
}

impl Consequence {
    /// The frame's margin, negative where it falls; nothing where nothing tips it or no leg is left.
    #[must_use]
    pub fn frame_margin(&self) -> Option<Angle> {
        match &self.frame {
            Some(UnderRopes::Stands(worst)) => Some(worst.margin),
            Some(UnderRopes::Falls(tipping)) => Some(tipping.margin),
            None => None,
        }
    }

    /// The greatest peak of any rope, anchor or part, by its bound, and where.
    #[must_use]
    pub fn greatest_peak(&self) -> Option<(Place, Force)> {
        let peaks = self.peaks.iter().map(|(place, peak)| (place, peak.bound));
        peaks.max_by(|a, b| a.1.value.total_cmp(&b.1.value))
    }
}
