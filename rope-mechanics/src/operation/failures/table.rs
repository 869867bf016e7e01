//! The failures of a study, as they go out.

use super::matrix::{Cell, Failures};
use super::{AtMost, Detail, Failure, FailureEnd, FailureValues, Holds, Impact, WinchPull};
use crate::operation::place::{ByPlace, Place};
use crate::operation::plan::{SiteError, SitePlan};
use crate::operation::site::Site;
use crate::operation::state::State;
use crate::operation::study::{HaulFailure, RatedPart, TrackFailure};
use crate::operation::words;
use crate::quantity::unit::revolution;
use crate::quantity::{Angle, Force, Length, newtons};
use crate::rope::Stretch;
use alloc::string::{String, ToString};
use alloc::vec::Vec;
use core::ops::ControlFlow;
use serde::Serialize;

/// What happens when a part fails: every part at the positions that govern.
///
/// What is bounded and what is followed in time stands with [`Failures::of`].
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct FailureTable {
    /// Indices of the positions that are judged; each row has a cell for each.
    pub positions: Vec<usize>,
    /// A row for each part.
    pub rows: Vec<FailureRow>,
    /// The stretch of travel over which each failure of a rope, an anchor, a redirect, a brake or a capstan's tail at most
    /// sets the litter down, from x to x; none where one doesn't anywhere.
    #[serde(rename = "sets_down_m")]
    pub sets_down: Option<(Length, Length)>,
}

/// A part that fails, at each position that is judged.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct FailureRow {
    /// What fails.
    pub failure: Failure,
    /// The same in words.
    pub name: String,
    /// At each of the positions.
    pub cells: Vec<FailureCell>,
    /// Index of the worst of the cells.
    pub worst: usize,
    /// What happens there, in a sentence; or why it can't be said.
    pub text: String,
    /// The stretch of travel over which this at most sets the litter down, from x to x.
    #[serde(rename = "sets_down_m")]
    pub sets_down: Option<(Length, Length)>,
}

/// The place that a failure loads most, by its strength.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct FailureFactor {
    /// Where.
    pub place: Place,
    /// The peak there.
    #[serde(rename = "peak_n")]
    pub peak: AtMost<Force>,
    /// Strength by the bound of that peak.
    pub factor: f64,
}

/// What happens when a part fails with the load at one position.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct FailureCell {
    /// Index in the positions.
    pub position: usize,
    /// How it ends, judged by the bounds.
    pub end: FailureEnd,
    /// What holds next.
    pub holds: Holds,
    /// How far the litter goes down until it first lands, or at most.
    #[serde(rename = "drop_m")]
    pub drop: AtMost<Length>,
    /// How far the carriage runs out.
    #[serde(rename = "run_m")]
    pub run: AtMost<Length>,
    /// How it meets the ground, if it does.
    pub impact: Option<Impact>,
    /// The most loaded of what has a rated strength.
    pub least_factor: Option<FailureFactor>,
    /// The frame's margin under what is left, negative where it falls; none where nothing tips it.
    #[serde(rename = "frame_margin_rad")]
    pub frame_margin: Option<Angle>,
    /// Height of the litter when all is still again; none where there is no such state.
    #[serde(rename = "still_height_m")]
    pub still_height: Option<Length>,
    /// Whether the haul can go on as it is.
    pub haul_goes_on: bool,
    /// How much was computed.
    pub detail: Detail,
}

impl FailureCell {
    fn of(cell: &Cell) -> Self {
        let c = &cell.consequence;
        Self {
            position: cell.state,
            end: c.end,
            holds: c.holds,
            drop: c.drop,
            run: c.run,
            impact: c.impact,
            least_factor: c.least_factor.map(|(place, factor)| FailureFactor {
                place,
                peak: c.peaks[place],
                factor,
            }),
            frame_margin: c.frame_margin(),
            still_height: c.still.ok().map(|still| still.litter_height),
            haul_goes_on: c.haul_goes_on,
            detail: c.detail,
        }
    }
}

impl FailureTable {
    fn of(failures: &Failures, head: Length) -> Self {
        let rows = failures.rows.iter().map(|row| {
            let cells: Vec<FailureCell> = row.cells.iter().map(FailureCell::of).collect();
            let text = match (row.worst(), row.refused) {
                (Some(cell), _) => words::consequence(&cell.consequence, cell.x - head),
                (None, Some(why)) => words::not_computed(row.failure, &why),
                (None, None) => String::new(),
            };
            FailureRow {
                failure: row.failure,
                name: words::failure(row.failure),
                cells,
                worst: row.worst,
                text,
                sets_down: row.sets_down,
            }
        });
        Self { positions: failures.states.clone(), rows: rows.collect(), sets_down: failures.sets_down }
    }
}

/// What the summary of a study says of its failures.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Lost {
    /// The track rope, where that pulls hardest on the haul rope.
    pub(crate) track: Option<TrackFailure>,
    /// The track rope, where the litter falls farthest.
    pub(crate) farthest: Option<TrackFailure>,
    /// The haul rope, where its loss pulls hardest on the belay.
    pub(crate) haul: Option<HaulFailure>,
}

impl Lost {
    fn of(failures: &Failures, strengths: &ByPlace<Option<Force>>, states: &[State<'_, '_>]) -> Self {
        let cells = |failure: Failure| {
            let row = failures.rows.iter().find(|row| row.failure == failure);
            row.map_or(&[][..], |row| &row.cells)
        };
        let factor = |place: Place, peak: Force| {
            strengths[place].map_or(f64::INFINITY, |strength| strength.value / peak.value)
        };
        let track = |cell: &Cell| {
            let c = &cell.consequence;
            let peak_bound = c.peaks[Place::HaulRope].bound;
            TrackFailure {
                position: cell.state,
                drop: c.drop.bound,
                speed: c.impact.map(|impact| impact.speed.bound),
                speed_onto_ground: c.impact.map(|impact| impact.into_ground.bound),
                lands: c.still.map_or(c.impact.is_some(), |still| still.on_ground),
                still_pull: c.still.ok().map(|still| still.pull),
                peak_bound,
                factor: factor(Place::HaulRope, peak_bound),
            }
        };
        let haul = |cell: &Cell| {
            let c = &cell.consequence;
            let peak = c.peaks[Place::BelayRope].bound;
            let lost = states.get(cell.state)?.pull();
            (c.holds == Holds::TrackAndBelay && peak.value > 0.0).then(|| HaulFailure {
                position: cell.state,
                lost,
                travel: c.run.bound,
                still_pull: c.still.ok().map(|still| still.pull),
                peak,
                factor: factor(Place::BelayRope, peak),
            })
        };
        let tracks = || cells(Failure::TrackRope).iter().map(track);
        let hauls = cells(Failure::HaulRope).iter().filter_map(haul);
        Self {
            track: tracks().reduce(|a, b| if b.peak_bound > a.peak_bound { b } else { a }),
            farthest: tracks().reduce(|a, b| if b.drop > a.drop { b } else { a }),
            haul: hauls.reduce(|a, b| if b.peak > a.peak { b } else { a }),
        }
    }
}

/// Stiffness EA of the sling between carriage and litter: a sewn sling of 44 kN stretches by some 9 % at its
/// strength.
///
/// From memory, no source. Safe side for peaks: the stiffer.
const SLING_STIFFNESS_N: f64 = 500e3;

/// What failures need of a site beyond its rig.
pub(crate) fn values(
    site: &Site,
    plan: &SitePlan,
    components: &[RatedPart],
    winch: Option<WinchPull>,
) -> Result<FailureValues<'static>, SiteError> {
    let mut strengths: ByPlace<Option<Force>> = ByPlace::default();
    let mut weakest = |place: Place, strength: Force| {
        let least = strengths[place].map_or(strength, |other| other.min(strength));
        strengths[place] = Some(least);
    };
    for part in components {
        if let Some(strength) = part.strength {
            weakest(part.place, strength);
        }
    }
    if let Some(belay) = &plan.belay {
        weakest(Place::BelayRope, belay.strength.strength);
    }
    Ok(FailureValues {
        strengths,
        capstan_friction: plan.capstan_friction,
        capstan_wrap: Angle::new::<revolution>(site.capstan.wraps),
        // Let go: nothing pulls there.
        capstan_tail: newtons(0.0),
        winch,
        sling: Stretch::linear(newtons(SLING_STIFFNESS_N)).map_err(|why| SiteError::at("load", why))?,
        anchors: &[],
    })
}

/// The failures of a study, at the states of its travel.
pub(crate) fn table<B>(
    site: &Site,
    plan: &SitePlan,
    components: &[RatedPart],
    winch: Option<WinchPull>,
    states: &[State<'_, '_>],
    mut go_on: impl FnMut() -> ControlFlow<B>,
) -> Result<ControlFlow<B, (FailureTable, Lost)>, SiteError> {
    let values = values(site, plan, components, winch)?;
    let failures = Failures::of_while(states, &values, |_, _| go_on());
    let failures = match failures.map_err(|why| SiteError::new("travel", why.to_string()))? {
        ControlFlow::Continue(failures) => failures,
        ControlFlow::Break(why) => return Ok(ControlFlow::Break(why)),
    };
    let lost = Lost::of(&failures, &values.strengths, states);
    Ok(ControlFlow::Continue((FailureTable::of(&failures, plan.head.x), lost)))
}
