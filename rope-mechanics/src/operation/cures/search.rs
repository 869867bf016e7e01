//! The least change of one input with which a limit is kept.

use super::super::asked::Asked;
use super::super::plan::SiteError;
use super::super::site::Site;
use super::super::solve::solve_asked;
use super::super::study::Study;
use super::knob::Knob;
use super::slack::{Broken, NOT_AT_ALL};
use crate::math::roots;
use alloc::string::String;
use alloc::vec::Vec;
use core::cell::{Cell, RefCell};
use core::ops::ControlFlow;

/// Shares of the way to the end of a range that are tried first.
pub(super) const LOOKS: [f64; 8] = [0.01, 0.03, 0.07, 0.15, 0.28, 0.45, 0.7, 1.0];
/// Positions of these first tries.
const COARSE: u32 = 24;
/// A change is found to this share of itself.
pub(super) const CHANGE: f64 = 1e-3;
/// The bracket of the fine search starts with this share of the change, and doubles so often at most.
const FINE: f64 = 0.01;
const MOST_DOUBLINGS: usize = 7;

/// What a change of one input leads to.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Mended {
    pub(super) value: f64,
    pub(super) site: Site,
    /// The study of that site.
    pub(super) study: Study,
}

/// Solves changed sites.
pub(super) struct Trials<'s> {
    pub(super) site: &'s Site,
    /// The parts of each study.
    pub(super) asked: Asked,
    /// How many sites were solved.
    pub(super) solved: Cell<usize>,
    /// Whether to go on; having said no it goes on saying so.
    pub(super) go_on: &'s dyn Fn() -> bool,
}

impl Trials<'_> {
    /// The study of a site, with no more than tells what is broken. Once it is told to stop every site is one that can't be
    /// studied, so that all searches end at once; what they found is thrown away.
    pub(super) fn study(&self, site: &Site) -> Result<Study, SiteError> {
        let asked = |_, _| if (self.go_on)() { ControlFlow::Continue(()) } else { ControlFlow::Break(()) };
        if asked(0, 0).is_break() {
            return Err(stopped());
        }
        self.solved.set(self.solved.get() + 1);
        solve_asked(site, &self.asked, asked)?.continue_value().ok_or_else(stopped)
    }

    /// The same at few positions.
    pub(super) fn coarse(&self, site: &Site) -> Result<Study, SiteError> {
        let mut site = site.clone();
        let positions = site.travel.positions.unwrap_or(200);
        site.travel.positions = Some(positions.min(COARSE));
        self.study(&site)
    }

    fn slack(broken: Broken, study: &Result<Study, SiteError>) -> f64 {
        study.as_ref().map_or(NOT_AT_ALL, |study| broken.slack(study))
    }

    /// The first tries of an input, the way down and the way up, from its value outward.
    pub(super) fn looks(&self, knob: &Knob) -> [Vec<(f64, Result<Study, SiteError>)>; 2] {
        [knob.least, knob.most].map(|end| {
            if end == knob.now {
                return Vec::new();
            }
            let at = LOOKS.map(|share| knob.now + share * (end - knob.now));
            at.into_iter().map(|value| (value, self.coarse(&knob.set(self.site, value)))).collect()
        })
    }

    /// The least change of an input that mends what is broken, by its first tries.
    pub(super) fn least_change(
        &self,
        broken: Broken,
        knob: &Knob,
        looks: &[Vec<(f64, Result<Study, SiteError>)>; 2],
    ) -> Option<Mended> {
        let found = looks.each_ref().map(|looks| {
            let i = looks.iter().position(|(_, study)| Self::slack(broken, study) >= 0.0)?;
            let before = i.checked_sub(1).and_then(|i| looks.get(i)).map_or(knob.now, |(value, _)| *value);
            looks.get(i).map(|(value, _)| (before, *value))
        });
        // The side on which a smaller share of the way mends it.
        let size =
            |bracket: &Option<(f64, f64)>| bracket.map_or(f64::INFINITY, |(_, good)| (good - knob.now).abs());
        let [down, up] = &found;
        let (before, good) = if size(down) <= size(up) { (*down)? } else { (*up)? };
        let coarse = Tried::new(broken, knob, |value| self.coarse(&knob.set(self.site, value)));
        for (value, study) in looks.iter().flatten() {
            coarse.know(*value, Self::slack(broken, study));
        }
        let value = coarse.narrowed(before, good);
        self.certified(broken, knob, value)
    }

    /// The same at every position of the study: a bracket about what few positions say, and narrowed again. Of the parts of a
    /// study only what this limit needs is looked at, until it is found.
    fn certified(&self, broken: Broken, knob: &Knob, coarse: f64) -> Option<Mended> {
        let own = Trials { asked: broken.asks(Asked::PLAIN), solved: Cell::new(0), ..*self };
        let tried = Tried::new(broken, knob, |value| own.study(&knob.set(self.site, value)));
        let value = tried.bracketed(coarse).map(|(bad, good)| tried.narrowed(bad, good));
        drop(tried);
        self.solved.set(self.solved.get() + own.solved.get());
        let value = value?;
        let site = knob.set(self.site, value);
        let study = self.study(&site).ok()?;
        (broken.slack(&study) >= 0.0).then_some(Mended { value, site, study })
    }
}

fn stopped() -> SiteError {
    SiteError { key: String::new(), problem: String::new() }
}

/// The values of an input that were tried for one limit, each solved once.
struct Tried<'k, F> {
    broken: Broken,
    knob: &'k Knob,
    study: F,
    /// Values and by how much each keeps the limit.
    known: RefCell<Vec<(f64, f64)>>,
}

impl<'k, F: Fn(f64) -> Result<Study, SiteError>> Tried<'k, F> {
    fn new(broken: Broken, knob: &'k Knob, study: F) -> Self {
        // The value of the site breaks it.
        Self { broken, knob, study, known: RefCell::new(alloc::vec![(knob.now, NOT_AT_ALL)]) }
    }

    fn know(&self, value: f64, slack: f64) {
        self.known.borrow_mut().push((value, slack));
    }

    fn slack(&self, value: f64) -> f64 {
        let known = self.known.borrow().iter().find(|(known, _)| *known == value).map(|(_, slack)| *slack);
        known.unwrap_or_else(|| {
            let slack = Trials::slack(self.broken, &(self.study)(value));
            self.know(value, slack);
            slack
        })
    }

    /// The end of a bracket that keeps the limit, narrowed to a share of the change.
    fn narrowed(&self, bad: f64, good: f64) -> f64 {
        let now = self.knob.now;
        let mut best = good;
        let tolerance = CHANGE * (good - now).abs();
        let _ = roots::bracketed(bad.min(good), bad.max(good), tolerance, |value| {
            let slack = self.slack(value);
            if slack >= 0.0 && (value - now).abs() < (best - now).abs() {
                best = value;
            }
            // Nothing is no sign.
            if slack == 0.0 { f64::MIN_POSITIVE } else { slack }
        });
        best
    }

    /// A value that breaks the limit and one that keeps it, about a first guess.
    fn bracketed(&self, guess: f64) -> Option<(f64, f64)> {
        let knob = self.knob;
        let change = guess - knob.now;
        let keeps = self.slack(guess) >= 0.0;
        let (mut bad, mut good) = (guess, guess);
        let mut step = FINE * change;
        for _ in 0..MOST_DOUBLINGS {
            if keeps {
                bad = if (step / change) < 1.0 { guess - step } else { knob.now };
                if bad == knob.now || self.slack(bad) < 0.0 {
                    return Some((bad, good));
                }
                good = bad;
            } else {
                good = (guess + step).clamp(knob.least, knob.most);
                if self.slack(good) >= 0.0 {
                    return Some((bad, good));
                }
                bad = good;
            }
            step *= 2.0;
        }
        None
    }
}
