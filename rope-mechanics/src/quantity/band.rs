//! A value that is only known to lie between two others.

/// The least and the greatest that a value may be, and what to expect of it.
///
/// What friction at rest leaves is a band: `expected` is then the value without friction. What is exactly known has three
/// equal values. Which end is the safe one depends on the question: judge strength at `high`, what must hold or pull at
/// `low`.
///
/// ```
/// use rope_mechanics::quantity::{Band, Force, unit::newton};
///
/// let n = Force::new::<newton>;
/// let reading = Band { low: n(3600.0), expected: n(4000.0), high: n(4400.0) };
/// assert_eq!(reading.map(|force| 2.0 * force).high, n(8800.0));
/// assert_eq!(Band::exact(n(700.0)).low, n(700.0));
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[cfg_attr(
    feature = "serde",
    derive(serde::Serialize, serde::Deserialize),
    serde(bound = "Q: crate::text::Text")
)]
pub struct Band<Q> {
    /// At least this.
    #[cfg_attr(feature = "serde", serde(with = "crate::text::as_text"))]
    pub low: Q,
    /// What to expect.
    #[cfg_attr(feature = "serde", serde(with = "crate::text::as_text"))]
    pub expected: Q,
    /// At most this.
    #[cfg_attr(feature = "serde", serde(with = "crate::text::as_text"))]
    pub high: Q,
}

impl<Q: Copy> Band<Q> {
    /// A value without doubt.
    #[must_use]
    pub const fn exact(value: Q) -> Self {
        Self { low: value, expected: value, high: value }
    }

    /// Each of the three values put through a function that never falls.
    #[must_use]
    pub fn map<R>(self, f: impl Fn(Q) -> R) -> Band<R> {
        Band { low: f(self.low), expected: f(self.expected), high: f(self.high) }
    }
}

impl<Q: Copy + PartialOrd> Band<Q> {
    /// A band whose expected value is kept between its ends, where rounding may carry it a digit beyond.
    pub(crate) fn around(low: Q, expected: Q, high: Q) -> Self {
        let expected = if expected < low {
            low
        } else if expected > high {
            high
        } else {
            expected
        };
        Self { low, expected, high }
    }
}
