//! A quantity with its doubt: a value, and how it is distributed about it.

use super::normal::{self, LEAST_SHARE};
use crate::error::{Allowed, InputError};
use crate::math;
use crate::text::Text;

/// Between these shares lie the 90 % that a tolerance names.
pub(super) const BAND: [f64; 2] = [0.05, 0.95];

/// A quantity that is not exactly known.
///
/// | made by | what is drawn |
/// |---|---|
/// | [`exact`](Self::exact) | always the value |
/// | [`normal`](Self::normal) | normal, 90 % between the two limits |
/// | [`lognormal`](Self::lognormal) | its logarithm normal, 90 % between the two limits |
/// | [`uniform`](Self::uniform) | anything between the two limits alike |
/// | [`triangular`](Self::triangular) | from the least to the greatest, most often the likely one |
///
/// A draw is the inverse of the distribution at a share from 0 to 1: the same share always gives the same value, and a
/// greater share never a smaller one.
///
/// Reads from text, "90 kg ± 20 kg", "50 kN ± 30 %", "85 % to 95 %": see [`Uncertain::from_text`].
///
/// ```
/// use rope_mechanics::doubt::Uncertain;
/// use rope_mechanics::quantity::{Force, unit::kilonewton};
///
/// let stiffness = Uncertain::<Force>::from_text("50 kN ± 30 %")?;
/// let [low, high] = stiffness.band();
/// assert!((low.get::<kilonewton>() - 50.0 / 1.3).abs() < 1e-9 && (high.get::<kilonewton>() - 65.0).abs() < 1e-9);
/// assert!((stiffness.at(0.5)?.get::<kilonewton>() - 50.0).abs() < 1e-12);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Uncertain<Q> {
    pub(super) value: Q,
    pub(super) spread: Spread,
}

/// A quantity without doubt. Whether it can be used is for whoever uses it to say.
impl<Q: Text> From<Q> for Uncertain<Q> {
    fn from(value: Q) -> Self {
        Self { value, spread: Spread::Exact }
    }
}

/// How it is distributed, in the SI unit of the quantity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Spread {
    Exact,
    Normal { deviation: f64 },
    LogNormal { deviation: f64 },
    Uniform { low: f64, high: f64 },
    Triangular { low: f64, high: f64 },
}

/// The distance between the 5 % and the 95 % limit of a normal distribution, in standard deviations.
pub(super) fn widths() -> f64 {
    normal::quantile(BAND[1]) - normal::quantile(BAND[0])
}

/// The SI value, if it is finite.
fn finite<Q: Text>(field: &'static str, quantity: Q) -> Result<f64, InputError> {
    let value = quantity.to_si();
    if value.is_finite() { Ok(value) } else { Err(InputError::new(field, value, "in SI", Allowed::Finite)) }
}

/// Two limits, the second above the first.
fn ascending<Q: Text>(low: Q, high: Q) -> Result<(f64, f64), InputError> {
    let (low, high) = (finite("low", low)?, finite("high", high)?);
    if high > low {
        Ok((low, high))
    } else {
        Err(InputError::new("high", high, "in SI", Allowed::Above(low)))
    }
}

impl<Q: Text> Uncertain<Q> {
    /// A quantity without doubt.
    ///
    /// # Errors
    /// Unless it is finite.
    pub fn exact(value: Q) -> Result<Self, InputError> {
        finite("value", value)?;
        Ok(Self { value, spread: Spread::Exact })
    }

    /// Normal about the middle of two limits, between which it lies in 90 % of cases; 5 % lie on either side.
    ///
    /// A tenth of a millionth lies further out than 3.2 times the half width: what must stay above zero is checked
    /// with [`Uncertain::least`].
    ///
    /// # Errors
    /// Unless both are finite and the second is above the first.
    pub fn normal(low: Q, high: Q) -> Result<Self, InputError> {
        let (low, high) = ascending(low, high)?;
        Ok(Self {
            value: Q::from_si(0.5 * (low + high)),
            spread: Spread::Normal { deviation: (high - low) / widths() },
        })
    }

    /// Its logarithm normal between two limits, between which it lies in 90 % of cases: for what is known to a factor.
    ///
    /// # Errors
    /// Unless both are finite and above zero, and the second is above the first.
    pub fn lognormal(low: Q, high: Q) -> Result<Self, InputError> {
        let (low, high) = ascending(low, high)?;
        if !(low > 0.0) {
            return Err(InputError::new("low", low, "in SI", Allowed::Above(0.0)));
        }
        Ok(Self {
            value: Q::from_si(math::sqrt(low) * math::sqrt(high)),
            spread: Spread::LogNormal { deviation: math::ln(high / low) / widths() },
        })
    }

    /// A value above zero, known to a factor: 90 % between value/(1 + share) and value·(1 + share).
    pub(crate) fn within_factor(value: Q, share: f64) -> Self {
        let deviation = 2.0 * math::ln_1p(share) / widths();
        Self { value, spread: Spread::LogNormal { deviation } }
    }

    /// A value with 90 % within this distance of it.
    pub(crate) fn within_distance(value: Q, distance_si: f64) -> Self {
        Self { value, spread: Spread::Normal { deviation: 2.0 * distance_si / widths() } }
    }

    /// Anything between two limits alike, and nothing beyond them.
    ///
    /// # Errors
    /// Unless both are finite and the second is above the first.
    pub fn uniform(low: Q, high: Q) -> Result<Self, InputError> {
        let (low, high) = ascending(low, high)?;
        Ok(Self { value: Q::from_si(0.5 * (low + high)), spread: Spread::Uniform { low, high } })
    }

    /// From the least to the greatest, most often near the likely value, which is its value.
    ///
    /// # Errors
    /// Unless all are finite, the greatest is above the least and the likely one is neither below nor above both.
    pub fn triangular(least: Q, likely: Q, greatest: Q) -> Result<Self, InputError> {
        let (low, high) = ascending(least, greatest)?;
        let mode = finite("likely", likely)?;
        if !(low..=high).contains(&mode) {
            return Err(InputError::new("likely", mode, "in SI", Allowed::Within(low, high)));
        }
        Ok(Self { value: likely, spread: Spread::Triangular { low, high } })
    }

    /// The same in the SI unit, as a plain number.
    #[cfg(all(feature = "alloc", feature = "serde"))]
    pub(crate) fn in_si(&self) -> Uncertain<crate::quantity::Ratio> {
        Uncertain { value: crate::quantity::ratio(self.value.to_si()), spread: self.spread }
    }

    /// The value that a calculation without doubt uses.
    #[must_use]
    pub fn value(&self) -> Q {
        self.value
    }

    /// Whether it is free of doubt.
    #[must_use]
    pub fn is_exact(&self) -> bool {
        self.spread == Spread::Exact
    }

    /// The value below which this share of the draws lies.
    ///
    /// # Errors
    /// Unless the share is from 2⁻³⁴ to 1 − 2⁻³⁴, as those of all samples are.
    pub fn at(&self, share: f64) -> Result<Q, InputError> {
        if !(LEAST_SHARE..=1.0 - LEAST_SHARE).contains(&share) {
            let allowed = Allowed::Within(LEAST_SHARE, 1.0 - LEAST_SHARE);
            return Err(InputError::new("share", share, "", allowed));
        }
        Ok(self.at_share(share))
    }

    fn at_share(&self, u: f64) -> Q {
        let value = self.value.to_si();
        Q::from_si(match self.spread {
            Spread::Exact => value,
            // x = μ + σ·z
            Spread::Normal { deviation } => value + deviation * normal::quantile(u),
            // x = m·e^(σ·z)
            Spread::LogNormal { deviation } => value * math::exp(deviation * normal::quantile(u)),
            Spread::Uniform { low, high } => low + u * (high - low),
            Spread::Triangular { low, high } => {
                let below = (value - low) / (high - low);
                if u <= below {
                    // x = a + √(u·(b − a)·(m − a))
                    low + math::sqrt(u * (high - low) * (value - low))
                } else {
                    // x = b − √((1 − u)·(b − a)·(b − m))
                    high - math::sqrt((1.0 - u) * (high - low) * (high - value))
                }
            }
        })
    }

    /// The 5 % and the 95 % limit.
    #[must_use]
    pub fn band(&self) -> [Q; 2] {
        BAND.map(|share| self.at_share(share))
    }

    /// No draw is below this.
    #[must_use]
    pub fn least(&self) -> Q {
        self.at_share(LEAST_SHARE)
    }

    /// No draw is above this.
    #[must_use]
    pub fn greatest(&self) -> Q {
        self.at_share(1.0 - LEAST_SHARE)
    }
}

/// The share at which one of several things is drawn that are alike and share a cause of doubt.
///
/// Two sheaves of one make, two ropes of one batch: part of what is not known of them is the same for all, part each
/// one's own. With the shares u_c drawn for the cause in common and u_o for its own,
///
/// u = Φ(√ρ·z(u_c) + √(1 − ρ)·z(u_o))
///
/// so that each is still distributed as it was given, and any two are correlated by ρ in their normal scores. All
/// that belong together go into one group of a [`Design`](super::Design).
///
/// # Errors
/// Unless the shares are from 2⁻³⁴ to 1 − 2⁻³⁴ and the correlation is from 0 to 1.
///
/// ```
/// use rope_mechanics::doubt::in_common;
///
/// assert_eq!(in_common(0.2, 0.9, 0.0)?, 0.9);
/// assert_eq!(in_common(0.2, 0.9, 1.0)?, 0.2);
/// let half = in_common(0.2, 0.9, 0.5)?;
/// assert!(half > 0.5 && half < 0.9);
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
pub fn in_common(common: f64, own: f64, correlation: f64) -> Result<f64, InputError> {
    for (field, share) in [("common", common), ("own", own)] {
        crate::error::within(field, share, LEAST_SHARE, 1.0 - LEAST_SHARE)?;
    }
    let rho = crate::error::within("correlation", correlation, 0.0, 1.0)?;
    if rho == 0.0 {
        return Ok(own);
    }
    if rho == 1.0 {
        return Ok(common);
    }
    // u = Φ(√ρ·z_c + √(1 − ρ)·z_o)
    let z = math::sqrt(rho) * normal::quantile(common) + math::sqrt(1.0 - rho) * normal::quantile(own);
    Ok(normal::share_below(z).clamp(LEAST_SHARE, 1.0 - LEAST_SHARE))
}
