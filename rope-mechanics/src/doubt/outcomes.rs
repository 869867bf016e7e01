//! The band of an output, and the probability that it passes a limit.

use super::{DoubtError, normal};
use crate::error::{Allowed, InputError, check, within};
use crate::math;
use core::cmp::Ordering;

/// The side, the worse one, on which a run without an answer counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Without {
    /// As if it were above every other: for a tension, whose greatest values hurt.
    CountHigh,
    /// As if it were below every other: for a height or a margin.
    CountLow,
}

/// The outputs of the runs of a sample, in ascending order.
///
/// A run without an answer is `None`. It is never left out: leaving it out would make the rest look better than the
/// whole.
///
/// ```
/// use rope_mechanics::doubt::{Outcomes, Without};
/// use rope_mechanics::quantity::{Length, unit::meter};
///
/// // A hundred heights from 0.00 to 0.99 m, and in five more runs the litter can't be held at all.
/// let mut heights = [None; 105];
/// for (i, height) in heights.iter_mut().enumerate().take(100) {
///     *height = Some(Length::new::<meter>(i as f64 / 100.0));
/// }
/// let outcomes = Outcomes::new(&mut heights, Without::CountLow)?;
/// assert_eq!(outcomes.without_answer(), 5);
/// // Of 105 runs 5 % are without an answer or below the first.
/// assert_eq!(outcomes.quantile(0.02)?, None);
/// assert_eq!(outcomes.quantile(0.5)?, Some(Length::new::<meter>(0.47)));
/// // Below 0.10 m: ten, and the five.
/// let low = outcomes.below(Length::new::<meter>(0.1), 0.9)?;
/// assert_eq!(low.count, 15);
/// assert!(low.low < 15.0 / 105.0 && low.high > 15.0 / 105.0);
/// # Ok::<(), rope_mechanics::doubt::DoubtError>(())
/// ```
#[derive(Debug, PartialEq)]
pub struct Outcomes<'a, Q> {
    sorted: &'a [Option<Q>],
    without: Without,
    missing: usize,
}

/// A share of the runs, and the interval that contains the probability it estimates.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Share {
    /// The number of runs that count.
    pub count: usize,
    /// The number of all runs.
    pub of: usize,
    /// The lower end of the interval.
    pub low: f64,
    /// Its upper end: what to count on, if passing the limit hurts.
    pub high: f64,
}

impl Share {
    /// The interval of Wilson for a count out of so many independent runs.
    ///
    /// p = (k + z²/2 ± z·√(k·(n − k)/n + z²/4))/(n + z²)
    ///
    /// It never leaves 0 to 1, and a count of zero has an upper end above zero. Runs that fill the inputs evenly do
    /// better than independent ones: for those it is on the safe side.
    ///
    /// # Errors
    /// Unless there is at least one run, the count is no larger than that, and the confidence is from 0.5 to 0.9999.
    ///
    /// Source: Wilson, J. Am. Stat. Assoc. 22 (1927).
    pub fn wilson(count: usize, of: usize, confidence: f64) -> Result<Self, InputError> {
        let n = check("runs", of as f64, Allowed::AtLeast(1.0))?;
        let k = within("count", count as f64, 0.0, n)?;
        let z = two_sided(confidence)?;
        let z2 = z * z;
        let half = z * math::sqrt(k * (n - k) / n + 0.25 * z2);
        let ends = |side: f64| (k + 0.5 * z2 + side * half) / (n + z2);
        // Rounding must not leave a chance of zero or one out.
        let low = if count == 0 { 0.0 } else { ends(-1.0) };
        let high = if count == of { 1.0 } else { ends(1.0) };
        Ok(Self { count, of, low, high })
    }

    /// The share itself.
    #[must_use]
    pub fn share(&self) -> f64 {
        self.count as f64 / self.of as f64
    }
}

/// z for an interval of this confidence, both sides alike.
fn two_sided(confidence: f64) -> Result<f64, InputError> {
    let confidence = within("confidence", confidence, 0.5, 0.9999)?;
    Ok(normal::quantile(0.5 + 0.5 * confidence))
}

impl<'a, Q: Copy + PartialOrd> Outcomes<'a, Q> {
    /// Sorts the outputs of the runs.
    ///
    /// # Errors
    /// Unless there is a run; [`DoubtError::NotANumber`] for a value that doesn't compare with itself.
    pub fn new(values: &'a mut [Option<Q>], without: Without) -> Result<Self, DoubtError> {
        check("runs", values.len() as f64, Allowed::AtLeast(1.0))?;
        let unlike = |value: &Option<Q>| value.is_some_and(|q| q.partial_cmp(&q).is_none());
        if let Some(run) = values.iter().position(unlike) {
            return Err(DoubtError::NotANumber { run });
        }
        values.sort_unstable_by(|a, b| match (a, b) {
            (Some(a), Some(b)) => a.partial_cmp(b).unwrap_or(Ordering::Equal),
            (None, None) => Ordering::Equal,
            (None, Some(_)) if without == Without::CountLow => Ordering::Less,
            (None, Some(_)) => Ordering::Greater,
            (Some(_), None) if without == Without::CountLow => Ordering::Greater,
            (Some(_), None) => Ordering::Less,
        });
        let missing = values.iter().filter(|value| value.is_none()).count();
        Ok(Self { sorted: values, without, missing })
    }

    /// How many runs have no answer.
    #[must_use]
    pub fn without_answer(&self) -> usize {
        self.missing
    }

    /// The value that this share of the runs doesn't exceed: of N runs in order, number ⌈p·N⌉. `None` if that run has
    /// no answer.
    ///
    /// # Errors
    /// Unless the share is above 0 and at most 1.
    pub fn quantile(&self, share: f64) -> Result<Option<Q>, InputError> {
        check("share", share, Allowed::Above(0.0))?;
        check("share", share, Allowed::AtMost(1.0))?;
        Ok(self.at_share(share))
    }

    fn at_share(&self, share: f64) -> Option<Q> {
        // A product that rounding carries above a whole number is that number.
        let place = math::ceil(share * self.sorted.len() as f64 * (1.0 - f64::EPSILON)).max(1.0);
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "from 1 to the number of runs"
        )]
        let place = (place as usize).min(self.sorted.len());
        self.sorted.get(place - 1).copied().flatten()
    }

    /// The values between which the quantile of all possible runs lies with this confidence: those at the ends of the
    /// interval of Wilson for the share.
    ///
    /// # Errors
    /// As for [`Outcomes::quantile`] and [`Share::wilson`].
    pub fn quantile_interval(&self, share: f64, confidence: f64) -> Result<[Option<Q>; 2], InputError> {
        check("share", share, Allowed::Above(0.0))?;
        check("share", share, Allowed::AtMost(1.0))?;
        let n = self.sorted.len();
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "from 0 to the number of runs"
        )]
        let count = math::round(share * n as f64) as usize;
        let Share { low, high, .. } = Share::wilson(count, n, confidence)?;
        Ok([self.at_share(low), self.at_share(high)])
    }

    /// The probability that the output is below a limit; runs without an answer count if they count low.
    ///
    /// # Errors
    /// As for [`Share::wilson`].
    pub fn below(&self, limit: Q, confidence: f64) -> Result<Share, InputError> {
        self.passing(confidence, Without::CountLow, |q| q < limit)
    }

    /// The probability that the output is above a limit; runs without an answer count if they count high.
    ///
    /// # Errors
    /// As for [`Share::wilson`].
    pub fn above(&self, limit: Q, confidence: f64) -> Result<Share, InputError> {
        self.passing(confidence, Without::CountHigh, |q| q > limit)
    }

    fn passing(
        &self,
        confidence: f64,
        side: Without,
        passes: impl Fn(Q) -> bool,
    ) -> Result<Share, InputError> {
        let counts = |value: &&Option<Q>| value.map_or(self.without == side, &passes);
        Share::wilson(self.sorted.iter().filter(counts).count(), self.sorted.len(), confidence)
    }
}
