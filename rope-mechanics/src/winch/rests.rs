//! A motor that rests whenever it is as hot as it may get.

use super::heat::OneNode;
use crate::error::{self, InputError};
use crate::math;
use crate::quantity::{ElectricCurrent, TemperatureInterval, Time, kelvins_apart, seconds};

/// A motor that needs more rests than this is the wrong one for the haul.
const MOST_RESTS: u32 = 200;

/// How a motor gets through a row of pulls, resting whenever it reaches its limit.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct WithRests {
    /// The hottest that it was, above the air: the limit, if it had to rest.
    pub hottest: TemperatureInterval,
    /// At the end, above the air.
    pub at_end: TemperatureInterval,
    /// How often it had to rest.
    pub rests: u32,
    /// All rests together.
    pub resting: Time,
    /// Whether it got through, with at most 200 rests.
    pub gets_through: bool,
}

/// A stretch of time on the way through a row of pulls.
#[derive(Debug, Clone, Copy)]
#[cfg_attr(
    not(all(feature = "alloc", feature = "serde")),
    expect(dead_code, reason = "only a whole operation looks")
)]
pub(crate) struct Stretch {
    /// Which pull, counted from 0.
    pub(crate) pull: usize,
    pub(crate) time: Time,
    /// Whether it rests, in the middle of that pull.
    pub(crate) resting: bool,
}

impl OneNode {
    /// How the motor gets through a row of pulls, each with a steady current for some time; no current is a pause.
    ///
    /// Whenever it reaches the limit, it rests until it has cooled to `resume`, and goes on where it was:
    ///
    /// a rest from ϑ to `resume` takes τ·ln(ϑ/resume)
    ///
    /// Assumed: as for [`OneNode`]; it rests without current, in air that stays as it is.
    ///
    /// ```
    /// use rope_mechanics::quantity::{ElectricCurrent, TemperatureInterval, Time};
    /// use rope_mechanics::quantity::unit::{ampere, kelvin_interval, minute};
    /// use rope_mechanics::winch::OneNode;
    ///
    /// let kelvin = |x| TemperatureInterval::new::<kelvin_interval>(x);
    /// let minutes = |x| Time::new::<minute>(x);
    /// let motor = OneNode::new(ElectricCurrent::new::<ampere>(60.0), kelvin(80.0), minutes(20.0))?;
    /// // Twice its current: 5.75 min from cold to the limit, then a rest of 20·ln 2 min, and the rest of the pull.
    /// let pull = (ElectricCurrent::new::<ampere>(120.0), minutes(7.0));
    /// let haul = motor.with_rests(kelvin(0.0), [pull], kelvin(80.0), kelvin(40.0))?;
    /// assert_eq!(haul.rests, 1);
    /// assert!((haul.resting.get::<minute>() - 20.0 * 2.0_f64.ln()).abs() < 1e-12);
    /// assert_eq!(haul.hottest, kelvin(80.0));
    /// # Ok::<(), rope_mechanics::error::InputError>(())
    /// ```
    ///
    /// # Errors
    /// Unless the currents and the start are finite, the times at least zero, the limit above zero, and `resume` above
    /// zero and below the limit.
    pub fn with_rests(
        &self,
        start: TemperatureInterval,
        pulls: impl IntoIterator<Item = (ElectricCurrent, Time)>,
        limit: TemperatureInterval,
        resume: TemperatureInterval,
    ) -> Result<WithRests, InputError> {
        self.each_with_rests(start, pulls, (limit, resume), |_| {})
    }

    /// The same, telling each stretch of time in its order.
    pub(crate) fn each_with_rests(
        &self,
        start: TemperatureInterval,
        pulls: impl IntoIterator<Item = (ElectricCurrent, Time)>,
        (limit, resume): (TemperatureInterval, TemperatureInterval),
        mut told: impl FnMut(Stretch),
    ) -> Result<WithRests, InputError> {
        let mut rise = error::finite("starting_rise", start)?;
        let limit_k = error::positive("limit_rise", limit)?;
        let resume_k = error::positive("resume_rise", resume)?;
        error::check("resume_rise", resume, error::Allowed::Below(limit_k))?;
        let mut found = WithRests {
            hottest: kelvins_apart(rise),
            at_end: start,
            rests: 0,
            resting: seconds(0.0),
            gets_through: true,
        };
        for (pull, (current, time)) in pulls.into_iter().enumerate() {
            let i = error::finite("current", current)?;
            let mut left_s = error::non_negative("duration", time)?;
            loop {
                // Without a current it only cools, however hot.
                let to_limit = if self.lasting_k(i) > limit_k {
                    self.time_to(kelvins_apart(rise), current, limit)?.map(|time| time.value)
                } else {
                    None
                };
                match to_limit {
                    Some(to_limit_s) if to_limit_s < left_s => {
                        if found.rests == MOST_RESTS {
                            found.gets_through = false;
                            found.at_end = kelvins_apart(rise);
                            return Ok(found);
                        }
                        left_s -= to_limit_s;
                        let from_k = rise.max(limit_k);
                        found.hottest = kelvins_apart(found.hottest.value.max(from_k));
                        found.rests += 1;
                        // t = τ·ln(ϑ/ϑ_resume)
                        let rest = seconds(self.tau_s() * math::ln(from_k / resume_k));
                        found.resting += rest;
                        told(Stretch { pull, time: seconds(to_limit_s), resting: false });
                        told(Stretch { pull, time: rest, resting: true });
                        rise = resume_k;
                    }
                    _ => {
                        told(Stretch { pull, time: seconds(left_s), resting: false });
                        rise = self.rise_k(rise, i, left_s);
                        found.hottest = kelvins_apart(found.hottest.value.max(rise));
                        break;
                    }
                }
            }
        }
        found.at_end = kelvins_apart(rise);
        Ok(found)
    }
}
