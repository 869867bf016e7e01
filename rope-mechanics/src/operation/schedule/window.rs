//! The lengths of track rope that keep every limit with the load at one place.

use super::super::travel::Moved;
use super::judge::{Judge, Kept};
use crate::geometry::Point2;
use crate::math::roots;
use crate::motion::Motion;
use crate::quantity::{Length, metres, newtons};
use alloc::vec::Vec;
use serde::Serialize;

/// Ends of a window are found to this.
const END_TOLERANCE_M: f64 = 1e-6;
/// Lengths looked at between the highest and the lowest that the litter may hang.
const BETWEEN: usize = 4;
/// Beyond the lowest, each step is so many times the one before,
const GROWS: f64 = 1.7;
/// and there are so many, at most.
const MOST_BEYOND: usize = 14;
/// Steps of the search for the length that comes nearest where none keeps every limit.
const GOLDEN_STEPS: usize = 24;
const GOLDEN: f64 = 0.618_033_988_749_894_9;

/// An interval of lengths of each strand that keeps every limit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Window {
    /// The shortest strand, unstretched, as it is locked without load.
    #[serde(rename = "shortest_strand_m")]
    pub shortest: Length,
    /// What is passed with a shorter one; absent where none was looked at.
    pub shorter_passes: Option<Kept>,
    /// The longest strand.
    #[serde(rename = "longest_strand_m")]
    pub longest: Length,
    /// What is passed with a longer one; absent where none was looked at.
    pub longer_passes: Option<Kept>,
}

/// Where no length keeps every limit: the length that comes nearest, and what it fails by.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Clash {
    /// The strand whose worst limit is passed by least.
    #[serde(rename = "strand_m")]
    pub strand: Length,
    /// The limit passed on the side of a shorter strand,
    pub shorter: Kept,
    /// and on that of a longer one. Where it is the same limit, no length of rope helps against it.
    pub longer: Kept,
}

/// What was found at one place.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Found {
    pub(crate) windows: Vec<Window>,
    pub(crate) clash: Option<Clash>,
}

struct Look<'m, 'g> {
    strand_m: f64,
    least: Kept,
    /// Its states, from which those of lengths nearby are found in half of the time.
    moved: Option<Moved<'m, 'g>>,
}

impl<'a, 'g> Judge<'a, 'g> {
    /// The lengths that keep every limit with the load at x, or without load.
    pub(crate) fn windows(&self, x: Option<Length>) -> Found {
        let mut looks: Vec<Look<'a, 'g>> = Vec::with_capacity(32);
        for strand_m in self.lengths(x) {
            let nearby = looks.last().and_then(|look| look.moved.as_ref());
            looks.push(self.look(strand_m, x, nearby));
        }
        let mut windows: Vec<Window> = Vec::new();
        let mut open: Option<(Length, Option<Kept>)> = None;
        if let Some(first) = looks.first()
            && first.least.slack >= 0.0
        {
            open = Some((metres(first.strand_m), None));
        }
        for pair in looks.windows(2) {
            let [a, b] = pair else { continue };
            let inside = |look: &Look<'_, '_>| look.least.slack >= 0.0;
            match (inside(a), inside(b)) {
                (false, true) => open = Some(self.end(x, b, a)),
                (true, false) => {
                    let (longest, passes) = self.end(x, a, b);
                    if let Some((shortest, shorter_passes)) = open.take() {
                        windows.push(Window { shortest, shorter_passes, longest, longer_passes: passes });
                    }
                }
                _ => {}
            }
        }
        if let (Some((shortest, shorter_passes)), Some(last)) = (open, looks.last()) {
            let longest = metres(last.strand_m);
            windows.push(Window { shortest, shorter_passes, longest, longer_passes: None });
        }
        if !windows.is_empty() {
            return Found { windows, clash: None };
        }
        // Where the shortest comes nearest, shorter ones may come nearer still, and so may longer than the longest.
        let (shortest_m, longest_m) = (0.5 * self.model.chord().value, 1.5 * self.model.chord().value);
        let first_step = 0.02 * self.model.chord().value;
        let mut step = first_step;
        while let [first, second, ..] = looks.as_slice()
            && first.least.slack >= second.least.slack
            && first.strand_m - step > shortest_m
        {
            let next = self.look(first.strand_m - step, x, first.moved.as_ref());
            step *= GROWS;
            looks.insert(0, next);
        }
        step = first_step;
        while let [.., before, last] = looks.as_slice()
            && last.least.slack >= before.least.slack
            && last.strand_m + step < longest_m
        {
            let next = self.look(last.strand_m + step, x, last.moved.as_ref());
            step *= GROWS;
            looks.push(next);
        }
        self.nearest(x, &looks)
    }

    fn look(&self, strand_m: f64, x: Option<Length>, nearby: Option<&Moved<'_, '_>>) -> Look<'a, 'g> {
        let judged = self.at(metres(strand_m), x, nearby);
        Look { strand_m, least: judged.least(), moved: judged.moved }
    }

    /// Between two lengths of which one keeps every limit: the last one that does, and what the next one passes.
    fn end(
        &self,
        x: Option<Length>,
        inside: &Look<'_, '_>,
        outside: &Look<'_, '_>,
    ) -> (Length, Option<Kept>) {
        let (mut good, mut bad) = (inside.strand_m, outside.strand_m);
        let (mut at_good, mut passed) = (inside.least.slack, outside.least);
        let (low, high) = (good.min(bad), good.max(bad));
        // The search itself keeps the best of both sides.
        let _ = roots::bracketed(low, high, END_TOLERANCE_M, |strand_m| {
            if strand_m == good {
                return at_good;
            }
            if strand_m == bad {
                return passed.slack;
            }
            let least = self.at(metres(strand_m), x, inside.moved.as_ref()).least();
            if least.slack >= 0.0 {
                (good, at_good) = (strand_m, least.slack);
            } else {
                (bad, passed) = (strand_m, least);
            }
            least.slack
        });
        (metres(good), Some(passed))
    }

    /// Where every length looked at passes something: the one in between that does it least, by the golden section.
    fn nearest(&self, x: Option<Length>, looks: &[Look<'_, '_>]) -> Found {
        let best = (0..looks.len()).max_by(|a, b| {
            let slack = |i: &usize| looks.get(*i).map_or(f64::NEG_INFINITY, |look| look.least.slack);
            slack(a).total_cmp(&slack(b))
        });
        let at = |i: usize| looks.get(i.min(looks.len().saturating_sub(1)));
        let Some((Some(best), Some(shorter), Some(longer))) =
            best.map(|i| (at(i), at(i.saturating_sub(1)), at(i + 1)))
        else {
            return Found { windows: Vec::new(), clash: None };
        };
        let (mut low, mut high) = (shorter.strand_m, longer.strand_m);
        let mut top = (best.strand_m, best.least);
        let (mut below, mut above) = (shorter.least, longer.least);
        for _ in 0..GOLDEN_STEPS {
            let reach = GOLDEN * (high - low);
            let (left, right) = (high - reach, low + reach);
            let look = |strand_m: f64| self.look(strand_m, x, best.moved.as_ref());
            let looked = [look(left), look(right)];
            let [one, other] = [&looked[0], &looked[1]].map(|look| look.least);
            for inside in looked {
                let Look { strand_m, least, .. } = inside;
                if least.slack >= 0.0 {
                    let (shortest, shorter_passes) = self.end(x, &inside, shorter);
                    let (longest, longer_passes) = self.end(x, &inside, longer);
                    let window = Window { shortest, shorter_passes, longest, longer_passes };
                    return Found { windows: [window].into_iter().collect(), clash: None };
                }
                if least.slack > top.1.slack {
                    top = (strand_m, least);
                }
            }
            if one.slack > other.slack {
                (high, above) = (right, other);
            } else {
                (low, below) = (left, one);
            }
            if high - low < END_TOLERANCE_M {
                break;
            }
        }
        let clash = Clash { strand: metres(top.0), shorter: below, longer: above };
        Found { windows: Vec::new(), clash: Some(clash) }
    }

    /// The lengths looked at, growing: closely about those at which the litter hangs as high and as low as it may.
    fn lengths(&self, x: Option<Length>) -> Vec<f64> {
        let model = self.model;
        let chord_m = model.chord().value;
        let slackest_m = (1.5 * chord_m).min(self.longest_strand.value.max(1e-3 * chord_m) * (1.0 + 1e-6));
        let strongest = self.tightest_m(x).unwrap_or(0.5 * chord_m);
        let mut lengths: Vec<f64> = Vec::with_capacity(40);
        let (tight_m, loose_m) = match x {
            Some(x) => {
                let at_height = |height: Length, motions: &[Motion]| self.for_height(x, height, motions);
                let worse = self.in_doubt.at(Some(x));
                let highest = self.limits.litter_height - metres(worse.higher_m);
                let high = at_height(highest, &[Motion::Hauling]);
                let floats = x <= self.floats_from;
                let least = self.limits.least_litter_height + metres(worse.lower_m);
                let low = if floats { least } else { metres(0.0) };
                let low = at_height(low, &[Motion::Lowering, Motion::AtRest, Motion::Hauling]);
                let tight_m = high.unwrap_or(strongest).max(strongest);
                (tight_m, low.unwrap_or(tight_m + 0.01 * chord_m).max(tight_m))
            }
            None => (strongest, chord_m),
        };
        let near = 0.4 * END_TOLERANCE_M;
        let spread = (loose_m - tight_m).max(1e-4 * chord_m);
        lengths.push(tight_m - 0.1 * spread);
        lengths.push(tight_m - near);
        lengths.push(tight_m + near);
        for i in 1..=BETWEEN {
            lengths.push(tight_m + (loose_m - tight_m) * i as f64 / (BETWEEN + 1) as f64);
        }
        lengths.push(loose_m - near);
        lengths.push(loose_m + near);
        // A litter that floats hangs the lower the longer the rope is. One that need not may drag on any longer one.
        let drags = x.is_none_or(|x| x > self.floats_from);
        let mut step = 0.25 * spread;
        let mut next = loose_m + step;
        for _ in 0..if drags { MOST_BEYOND } else { 1 } {
            lengths.push(next.min(slackest_m));
            step *= GROWS;
            next += step;
        }
        lengths.retain(|strand_m| *strand_m > 0.0);
        lengths.sort_by(f64::total_cmp);
        lengths.dedup_by(|a, b| *a - *b < 0.5 * near);
        lengths
    }

    /// The strand on which the litter hangs at this height with the load at x, moved one of these ways.
    pub(super) fn for_height(&self, x: Length, height: Length, motions: &[Motion]) -> Option<f64> {
        let model = self.model;
        let ground_m = model.ground_m(x.value).filter(|_| height.value.is_finite())?;
        let point = Point2::new(x, metres(ground_m) + model.values().load.hang + height);
        motions.iter().find_map(|motion| {
            let held = model.way(model.chord(), *motion).ok()?.held;
            self.strand_m(&held.length_for_point(point).ok()?)
        })
    }

    /// The strand on which the track rope pulls with all of its strength, and a little more.
    fn tightest_m(&self, x: Option<Length>) -> Option<f64> {
        let model = self.model;
        let part = self.parts.iter().find(|part| part.place == super::super::Place::TrackRope)?;
        let both = newtons(2.0 * part.strength?.value / self.limits.factor_of(part.kind));
        match x {
            Some(x) => {
                let held = model.way(model.chord(), Motion::Hauling).ok()?.held;
                self.strand_m(&held.length_for_tension(x, both).ok()?)
            }
            None => model.unloaded_strand(crate::line::End::First, both).ok().map(|strand| strand.value),
        }
    }

    /// The strand, locked without load, of a loaded track.
    fn strand_m(&self, state: &crate::carriage::CarriageState) -> Option<f64> {
        self.model.strand_of_loaded(state).ok().map(|strand| strand.value)
    }
}
