//! The least change of one input that opens a window where no length of track rope keeps every limit.

use super::super::model_of;
use super::super::plan::{SiteError, SitePlan};
use super::super::power::Drive;
use super::super::rated;
use super::super::schedule::{InDoubt, Judge, NoLength, capstan_exponent};
use super::super::site::Site;
use super::super::study::{LimitsUsed, Study};
use super::knob::Knob;
use super::search::{CHANGE, LOOKS, Trials};
use super::slack::NOT_AT_ALL;
use crate::math::roots;
use crate::quantity::Length;
use alloc::vec::Vec;
use core::cell::Cell;

/// So many positions of a stretch are judged at the end, and as often the search may begin anew with one of them.
const PLACES: usize = 5;

/// By how much the best length keeps every limit at one place; the width of its window in metres where it does.
fn best_at(site: &Site, x: Option<Length>) -> Result<f64, SiteError> {
    let plan = SitePlan::new(site)?;
    let drive = Drive::new(site, &mut Vec::new())?;
    let model = model_of::model(site, &plan)?;
    let parts = rated::components(site, &plan);
    if x.is_some_and(|x| x > plan.far.x - plan.start || x < plan.head.x + plan.end) {
        // The load doesn't come there any more.
        return Ok(1.0);
    }
    let judge = Judge {
        model: &model,
        drive: &drive,
        limits: &LimitsUsed::new(site, &plan, drive.rated_pull),
        parts: &parts,
        floats_from: plan.far.x - plan.float_from,
        longest_strand: 0.5 * (plan.on_hand - plan.used),
        capstan_exponent: capstan_exponent(plan.capstan_friction.value, plan.wraps),
        in_doubt: &InDoubt::nothing(),
        judged: Cell::new(0),
    };
    let found = judge.windows(x);
    let width = found.windows.iter().map(|window| (window.longest - window.shortest).value).reduce(f64::max);
    let short = found.clash.as_ref().map_or(NOT_AT_ALL, |clash| clash.shorter.slack.max(clash.longer.slack));
    Ok(width.unwrap_or(short.min(-f64::MIN_POSITIVE)))
}

impl Trials<'_> {
    /// The value of an input that opens every position of a stretch, and changes it least.
    pub(super) fn opens(&self, knob: &Knob, study: &Study, stretch: &NoLength) -> Option<f64> {
        let x = |position: usize| study.positions.get(position).map(|p| p.carriage.x);
        let places: Vec<Option<Length>> = match (stretch.from, stretch.to) {
            (Some(from), Some(to)) => {
                (0..PLACES).filter_map(|i| x(from + (to - from) * i / (PLACES - 1))).map(Some).collect()
            }
            _ => [None].into_iter().collect(),
        };
        let best = |value: f64, x: Option<Length>| {
            if !(self.go_on)() {
                return NOT_AT_ALL;
            }
            self.solved.set(self.solved.get() + 1);
            best_at(&knob.set(self.site, value), x).unwrap_or(NOT_AT_ALL)
        };
        let mut at = stretch.at.and_then(x);
        let mut beyond = knob.now;
        for _ in 0..PLACES {
            let value = Self::first(knob, beyond, |value| best(value, at))?;
            match places.iter().find(|place| best(value, **place) < 0.0) {
                None => return Some(value),
                // Another position needs more.
                Some(place) => (at, beyond) = (*place, value),
            }
        }
        None
    }

    /// The value nearest to the input's own, and no nearer than `beyond`, at which a slack is not negative.
    fn first(knob: &Knob, beyond: f64, slack: impl Fn(f64) -> f64) -> Option<f64> {
        let mut brackets: Vec<(f64, f64)> = Vec::new();
        for end in [knob.least, knob.most] {
            // What was needed for one position is needed on the same side for the next.
            let other_side = (beyond - knob.now) * (end - knob.now) < 0.0;
            if end == knob.now || other_side {
                continue;
            }
            let mut before = beyond;
            for share in LOOKS {
                let value = knob.now + share * (end - knob.now);
                if (value - knob.now).abs() <= (beyond - knob.now).abs() {
                    continue;
                }
                if slack(value) >= 0.0 {
                    brackets.push((before, value));
                    break;
                }
                before = value;
            }
        }
        let (bad, good) =
            brackets.into_iter().min_by(|a, b| (a.1 - knob.now).abs().total_cmp(&(b.1 - knob.now).abs()))?;
        let mut best = good;
        let _ = roots::bracketed(bad.min(good), bad.max(good), CHANGE * (good - knob.now).abs(), |value| {
            let slack = if value == bad { NOT_AT_ALL } else { slack(value) };
            if slack >= 0.0 && (value - knob.now).abs() < (best - knob.now).abs() {
                best = value;
            }
            if slack == 0.0 { f64::MIN_POSITIVE } else { slack }
        });
        Some(best)
    }
}
