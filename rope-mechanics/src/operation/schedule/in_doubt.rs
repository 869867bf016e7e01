//! How much worse than the study each output is at the bad side of the doubt, place by place.

use super::super::doubt::{Doubt, OutputBand};
use super::super::place::{ByPlace, Place};
use super::super::study::Position;
use crate::quantity::Length;
use alloc::vec::Vec;

/// What the bad side of the doubt adds to the worst that friction leaves.
///
/// Assumed: on a rope set otherwise the doubt spreads an output as it does on the one that was sampled: a height, an angle
/// and a clearance by as much, a force and a current by the same share.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Worse {
    /// The litter hangs so much lower,
    pub(super) lower_m: f64,
    /// or so much higher.
    pub(super) higher_m: f64,
    pub(super) reading: f64,
    pub(super) winch_pull: f64,
    pub(super) current: f64,
    pub(super) margin_rad: f64,
    pub(super) clearance_m: f64,
    /// Shares, of the forces at their worst on the travel.
    pub(super) forces: ByPlace<f64>,
}

impl Worse {
    /// Nothing is in doubt.
    pub(super) fn nothing() -> Self {
        let ones: ByPlace<f64> = ByPlace::default().map(|_: f64| 1.0);
        Self {
            lower_m: 0.0,
            higher_m: 0.0,
            reading: 1.0,
            winch_pull: 1.0,
            current: 1.0,
            margin_rad: 0.0,
            clearance_m: 0.0,
            forces: ones,
        }
    }

    /// Between two places, in a straight line.
    fn between(&self, other: &Self, share: f64) -> Self {
        // What is infinite at either end is so between them.
        let mix =
            |a: f64, b: f64| if a.is_finite() && b.is_finite() { a + (b - a) * share } else { a.max(b) };
        Self {
            lower_m: mix(self.lower_m, other.lower_m),
            higher_m: mix(self.higher_m, other.higher_m),
            reading: mix(self.reading, other.reading),
            winch_pull: mix(self.winch_pull, other.winch_pull),
            current: mix(self.current, other.current),
            margin_rad: mix(self.margin_rad, other.margin_rad),
            clearance_m: mix(self.clearance_m, other.clearance_m),
            forces: self.forces,
        }
    }
}

/// The same along the travel.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct InDoubt {
    /// By x, falling: from the far anchor to the head.
    at: Vec<(f64, Worse)>,
    empty: Worse,
}

impl InDoubt {
    /// A site that is studied as if everything were known.
    pub(crate) fn nothing() -> Self {
        Self { at: Vec::new(), empty: Worse::nothing() }
    }

    /// The bad side of a doubt.
    pub(crate) fn of(doubt: &Doubt, positions: &[Position]) -> Self {
        let mut forces = Worse::nothing().forces;
        for place in Place::all() {
            let key = place.key();
            let band = doubt.extremes.iter().find(|band| band.output.strip_prefix("force at ") == Some(key));
            if let Some(band) = band {
                forces[place] = share(band);
            }
        }
        let empty = Worse { forces, ..Worse::nothing() };
        let at = doubt.positions.iter().filter_map(|of| {
            let x = positions.get(of.position)?.carriage.x.value;
            let band = |output: &str| of.bands.iter().find(|band| band.output == output);
            let share = |output: &str| band(output).map_or(1.0, share);
            let less = |output: &str| band(output).map_or(0.0, |band| below(band.nominal, band.low));
            let worse = Worse {
                lower_m: less("litter_height"),
                higher_m: band("greatest_litter_height").map_or(0.0, |band| below(band.high, band.nominal)),
                reading: share("greatest_reading"),
                winch_pull: share("winch_pull"),
                current: share("current"),
                margin_rad: less("frame_margin"),
                clearance_m: less("track_clearance"),
                forces,
            };
            Some((x, worse))
        });
        Self { at: at.collect(), empty }
    }

    /// At one place, or before the load is on.
    pub(super) fn at(&self, x: Option<Length>) -> Worse {
        let Some(x) = x else { return self.empty };
        let behind = self.at.partition_point(|(at, _)| *at > x.value);
        match (behind.checked_sub(1).and_then(|i| self.at.get(i)), self.at.get(behind)) {
            (Some((a, one)), Some((b, other))) => one.between(other, (x.value - a) / (b - a)),
            (Some((_, only)), None) | (None, Some((_, only))) => *only,
            (None, None) => self.empty,
        }
    }
}

/// By how much a value lies below another; without an answer at the bad side, by more than any room.
fn below(upper: Option<f64>, lower: Option<f64>) -> f64 {
    match (upper, lower) {
        (Some(upper), Some(lower)) => (upper - lower).max(0.0),
        _ => f64::INFINITY,
    }
}

/// The high end of a band by the study's own value.
fn share(band: &OutputBand) -> f64 {
    match (band.nominal, band.high) {
        (Some(nominal), Some(high)) if nominal > 0.0 => (high / nominal).max(1.0),
        _ => 1.0,
    }
}
