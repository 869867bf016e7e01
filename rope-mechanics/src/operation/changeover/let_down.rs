//! The track rope let down over a load that hangs on the locked haul rope.

use super::over_head::OverHead;
use crate::carriage::{CarriageError, CarriageState};
use crate::geometry::{Point2, clearance_m};
use crate::math;
use crate::motion::Motion;
use crate::operation::model::Model;
use crate::operation::state::StateError;
use crate::quantity::metres;

/// A load between the track and the ropes over the head, which lean by an angle from plumb.
#[derive(Debug, Clone, Copy)]
pub(super) struct Between {
    pub(super) leans_rad: f64,
    /// From the head to the load.
    pub(super) way_m: f64,
    pub(super) haul_n: f64,
    pub(super) belay_n: f64,
    pub(super) track: CarriageState,
    /// Locked rope of each strand.
    pub(super) locked_m: f64,
    pub(super) residual: f64,
}

impl Between {
    pub(super) fn carriage(&self) -> Point2 {
        self.track.position
    }
}

/// The ways that are tried for one angle, at most.
const STEPS: u32 = 40;
/// The tension of the ropes over the head and what the load asks of them agree to this share of the load.
const CERTIFIED: f64 = 1e-12;
/// Points of the track at which its height above the ground is looked at, besides over all corners of the ground.
const POINTS: usize = 40;

/// The load at this lean on the ropes over the head, and the length of track that balances it there.
///
/// p = head + r·(sin ψ, −cos ψ), with T(r) of the ropes over the head, track and weight in balance: from the lean follow,
/// for any r, the track's length and the pull that the load asks of those ropes; r is where they give it. How that pull
/// depends on r is small against their stiffness, so that each step leaves some thousandth of the error.
pub(super) fn at_lean(
    model: &Model<'_>,
    over: &OverHead,
    leans_rad: f64,
    motion: Motion,
    near_way_m: f64,
) -> Result<Between, StateError> {
    let held = model.way(model.chord(), motion)?.held;
    let (sin, cos) = (math::sin(leans_rad), math::cos(leans_rad));
    let mut way_m = near_way_m;
    let (mut residual, mut at) = (f64::INFINITY, model.head);
    for _ in 0..STEPS {
        at = Point2::new(model.head.x + metres(way_m * sin), model.head.z - metres(way_m * cos));
        let track = held.length_for_point(at).map_err(|why| StateError::Carriage { x: at.x, why })?;
        let pull_n = track.haul.map_or(0.0, |haul| haul.at_carriage.value);
        let (haul_n, belay_n, _) = over.tensions_n(way_m);
        residual = (haul_n + belay_n - pull_n).abs() / model.weight.value;
        let next_m = over.way_m(pull_n);
        if residual <= CERTIFIED || (residual <= 1e2 * CERTIFIED && next_m == way_m) {
            let residual = residual.max(track.report.residual);
            // What is behind the head is locked with it.
            let locked_m = track.track_length.value + model.behind_track.rope_m(track.tension.head.value).0;
            return Ok(Between { leans_rad, way_m, haul_n, belay_n, track, locked_m, residual });
        }
        way_m = next_m;
    }
    Err(StateError::Carriage { x: at.x, why: CarriageError::Unsolved { iterations: STEPS, residual } })
}

/// The least height of the track above the ground between its ends.
pub(super) fn track_clearance_m(model: &Model<'_>, between: &Between) -> f64 {
    let mut points = [Point2::default(); POINTS];
    between.track.draw(&mut points);
    clearance_m(model.values().ground, &points)
}
