//! "90 kg ± 20 kg": quantities with their doubt, from text.

use super::Uncertain;
use crate::error::InputError;
use crate::quantity::Ratio;
use crate::text::{Text, TextError};
use core::fmt::Write;

/// Why a text is not a quantity with its doubt.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum UncertainTextError {
    /// The value, or the lower limit, is not a quantity.
    #[error(transparent)]
    Value(#[from] TextError),
    /// What follows ± is not a quantity of the kind.
    #[error("after \"±\": {0}")]
    Spread(TextError),
    /// What follows "to" is not a quantity of the kind.
    #[error("after \"to\": {0}")]
    Upper(TextError),
    /// More than one ± or "to".
    #[error("one \"±\" or one \"to\" is enough")]
    Twice,
    /// The spread is not above zero.
    #[error("what follows \"±\" must be above zero; leave it out for an exact value")]
    NoSpread,
    /// A share of the value, of a value that is not above zero or has no natural zero.
    #[error("a percentage of this value says little: give the spread in a unit, as in \"± 0.5 {unit}\"")]
    ShareOfNothing {
        /// A unit of the quantity.
        unit: &'static str,
    },
    /// A share above 100 %.
    #[error("a spread of {percent} % is more than the value itself: give two limits instead, with \"to\"")]
    TooWide {
        /// The share, in per cent.
        percent: f64,
    },
    /// The limits are not in ascending order.
    #[error("the lower limit comes first: \"85 % to 95 %\"")]
    Descending,
    /// The quantity can't be used.
    #[error(transparent)]
    Input(#[from] InputError),
}

/// Longer than any number with a unit.
const LONGEST_UNIT: usize = 32;

impl<Q: Text> Uncertain<Q> {
    /// Reads a quantity with or without its doubt, both with units.
    ///
    /// | text | meaning |
    /// |---|---|
    /// | "90 kg" | exact |
    /// | "90 kg ± 20 kg" | normal, 90 % between 70 and 110 kg |
    /// | "50 kN ± 30 %" | known to a factor: 90 % between 50/1.3 and 50·1.3 kN, as [`Uncertain::lognormal`] |
    /// | "90 % ± 3 %" | of a share: normal, 90 % between 87 % and 93 % |
    /// | "85 % to 95 %" | anything between alike, nothing beyond |
    ///
    /// "+/-" and "+-" stand for "±".
    ///
    /// # Errors
    /// An [`UncertainTextError`] that says which side of the mark is wrong, and how.
    ///
    /// ```
    /// use rope_mechanics::doubt::Uncertain;
    /// use rope_mechanics::quantity::{Mass, Ratio};
    ///
    /// assert!(Uncertain::<Ratio>::from_text("85 % to 95 %")?.least() >= Ratio::new::<rope_mechanics::quantity::unit::percent>(85.0));
    /// let wrong = Uncertain::<Mass>::from_text("90 kg ± 20").unwrap_err();
    /// assert_eq!(wrong.to_string(), "after \"±\": a mass needs a unit after the number: kg, g, t, lb");
    /// # Ok::<(), rope_mechanics::doubt::UncertainTextError>(())
    /// ```
    pub fn from_text(text: &str) -> Result<Self, UncertainTextError> {
        let (value, mark, second) = parts(text)?;
        let value_q = Q::from_text(value)?;
        match mark {
            Sign::None => Ok(Self::exact(value_q)?),
            Sign::To => {
                let upper = Q::from_text(second).map_err(UncertainTextError::Upper)?;
                if !(upper.to_si() > value_q.to_si()) {
                    return Err(UncertainTextError::Descending);
                }
                Ok(Self::uniform(value_q, upper)?)
            }
            Sign::PlusMinus => {
                // Of a share, "± 3 %" are points: its own unit goes first.
                let of_its_own = Q::from_text(second).is_ok();
                if !of_its_own && let Ok(share) = Ratio::from_text(second) {
                    return known_to_a_share(value_q, share.value);
                }
                let spread = Q::from_text(second).map_err(UncertainTextError::Spread)?;
                // A unit may start from a zero of its own, as °C does: count from there.
                let distance = spread.to_si() - zero_of::<Q>(second);
                if distance > 0.0 {
                    Ok(Self::within_distance(value_q, distance))
                } else {
                    Err(UncertainTextError::NoSpread)
                }
            }
        }
    }
}

fn known_to_a_share<Q: Text>(value: Q, share: f64) -> Result<Uncertain<Q>, UncertainTextError> {
    if !(share > 0.0) {
        return Err(UncertainTextError::NoSpread);
    }
    if share > 1.0 {
        return Err(UncertainTextError::TooWide { percent: 100.0 * share });
    }
    let unit = Q::NAMES.get(Q::SI).copied().unwrap_or_default();
    if !(value.to_si() > 0.0) || zero_in::<Q>(unit) != 0.0 {
        return Err(UncertainTextError::ShareOfNothing { unit });
    }
    Ok(Uncertain::within_factor(value, share))
}

/// The SI value of zero in the unit of a text that was read already.
fn zero_of<Q: Text>(text: &str) -> f64 {
    let unit = Q::NAMES.iter().filter(|name| text.ends_with(*name)).max_by_key(|name| name.len());
    unit.map_or(0.0, |unit| zero_in::<Q>(unit))
}

/// The SI value of zero in a unit.
fn zero_in<Q: Text>(unit: &str) -> f64 {
    let mut zero = arrayvec::ArrayString::<LONGEST_UNIT>::new();
    // No unit is that long; if one were, it would count from zero, as all but temperatures do.
    if write!(zero, "0 {unit}").is_err() {
        return 0.0;
    }
    Q::from_text(&zero).map_or(0.0, |zero| zero.to_si())
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Sign {
    None,
    PlusMinus,
    To,
}

/// The two sides of the one mark in a text.
fn parts(text: &str) -> Result<(&str, Sign, &str), UncertainTextError> {
    let marks =
        [("±", Sign::PlusMinus), ("+/-", Sign::PlusMinus), ("+-", Sign::PlusMinus), (" to ", Sign::To)];
    let mut found = None;
    for (written, mark) in marks {
        for (at, _) in text.match_indices(written) {
            if found.is_some() {
                return Err(UncertainTextError::Twice);
            }
            found = Some((at, at + written.len(), mark));
        }
    }
    let Some((end, start, mark)) = found else { return Ok((text.trim(), Sign::None, "")) };
    // Both ends of a mark lie between characters.
    let (value, second) = (text.get(..end).unwrap_or_default(), text.get(start..).unwrap_or_default());
    Ok((value.trim(), mark, second.trim()))
}

#[cfg(feature = "serde")]
mod as_text {
    //! A quantity with its doubt as a string of a file.

    use super::super::spread::{Spread, widths};
    use super::{Text, Uncertain};
    use crate::math;
    use crate::text::as_text::Exact;
    use core::{fmt, marker::PhantomData};
    use serde::{Deserialize, Deserializer, Serialize, Serializer, de, ser};

    struct Reader<Q>(PhantomData<Q>);

    impl<Q: Text> de::Visitor<'_> for Reader<Q> {
        type Value = Uncertain<Q>;

        fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            write!(f, "a {} with its unit, as in \"{}\"", Q::QUANTITY, Q::EXAMPLE)
        }

        fn visit_str<E: de::Error>(self, text: &str) -> Result<Self::Value, E> {
            Uncertain::from_text(text).map_err(|why| E::custom(format_args!("\"{text}\": {why}")))
        }
    }

    impl<'de, Q: Text> Deserialize<'de> for Uncertain<Q> {
        fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
            deserializer.deserialize_str(Reader(PhantomData))
        }
    }

    /// Writes the quantity as [`Uncertain::from_text`] reads it, in its SI base unit. What no text stands for is an error:
    /// a triangular spread, a share that is known to a factor.
    impl<Q: Text> Serialize for Uncertain<Q> {
        fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
            let value = Exact(self.value);
            let exact = |si: f64| Exact(Q::from_si(si));
            match self.spread {
                Spread::Exact => serializer.collect_str(&value),
                Spread::Normal { deviation } => {
                    let distance = 0.5 * deviation * widths();
                    serializer.collect_str(&format_args!("{value} ± {}", exact(distance)))
                }
                Spread::LogNormal { deviation } if Q::QUANTITY != "share" => {
                    let percent = 100.0 * (math::exp(0.5 * deviation * widths()) - 1.0);
                    serializer.collect_str(&format_args!("{value} ± {percent} %"))
                }
                Spread::Uniform { low, high } => {
                    serializer.collect_str(&format_args!("{} to {}", exact(low), exact(high)))
                }
                Spread::LogNormal { .. } | Spread::Triangular { .. } => {
                    Err(ser::Error::custom("no text stands for this spread"))
                }
            }
        }
    }
}
