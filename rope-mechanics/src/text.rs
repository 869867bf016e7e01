//! Quantities as text: "145 ft" in and out.
//!
//! Reading is strict: one finite number, one unit of the right kind, and nothing else. A bare number is refused,
//! and so is "lb" for a force, since a pound is a mass: write "lbf". Writing gives SI, US units, or both.
//!
//! ```
//! use rope_mechanics::quantity::{Force, Length, unit::newton};
//! use rope_mechanics::text::{self, Text};
//!
//! let reading = Force::from_text("740 lbf")?;
//! assert_eq!(text::both(reading).to_string(), "3.29 kN (740 lbf)");
//! assert_eq!(text::si(Length::from_text("145 ft")?).to_string(), "44.2 m");
//! assert!(Force::from_text("740 lb").unwrap_err().to_string().contains("lbf"));
//! # Ok::<(), text::TextError>(())
//! ```

use crate::math;
use crate::quantity::{
    Angle, Area, ElectricCharge, ElectricCurrent, ElectricPotential, ElectricalResistance, Energy, Force,
    Length, LineMass, LineWeight, Mass, MotorConstant, Power, Ratio, ThermodynamicTemperature, Time,
    TurningSpeed, Velocity, exact,
};
use core::fmt;

/// "a length", "an angle".
fn article(name: &str) -> &'static str {
    if name.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" }
}

/// Why a text is not a quantity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum TextError {
    /// There is no number at the start: a digit must come first, a point before the decimals, no commas.
    #[error("{} {quantity} starts with a number, as in \"{example}\"", article(.quantity))]
    NotANumber {
        /// What was to be read.
        quantity: &'static str,
        /// A text that can be read.
        example: &'static str,
    },
    /// The number is too large for any computer number.
    #[error("the number is too large for {} {quantity}", article(.quantity))]
    TooLarge {
        /// What was to be read.
        quantity: &'static str,
    },
    /// A number without a unit.
    #[error("{} {quantity} needs a unit after the number: {units}", article(.quantity))]
    NoUnit {
        /// What was to be read.
        quantity: &'static str,
        /// The units that can be read.
        units: Units,
    },
    /// Not a unit of this quantity.
    #[error("that is not a unit of {quantity}; the units are {units}")]
    UnknownUnit {
        /// What was to be read.
        quantity: &'static str,
        /// The units that can be read.
        units: Units,
    },
    /// Not how a unit is written here, but what is meant is clear.
    #[error("that is not how a unit of {quantity} is written here: write {unit}")]
    OtherSpelling {
        /// What was to be read.
        quantity: &'static str,
        /// The unit that is meant.
        unit: &'static str,
    },
    /// Feet and inches, as in "4 ft 6 in".
    #[error("a length is one number and one unit: write 4.5 ft for 4 ft 6 in")]
    FeetAndInches,
    /// "lb" or "kg" for a force.
    #[error(
        "pounds and kilograms measure mass, not force: write \"lbf\" for pounds-force, or \"N\", \"kN\" or \"kgf\""
    )]
    MassForForce,
}

/// The units that a quantity can be read in.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct Units(&'static [&'static str]);

impl fmt::Display for Units {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, name) in self.0.iter().enumerate() {
            if i > 0 {
                f.write_str(", ")?;
            }
            f.write_str(name)?;
        }
        Ok(())
    }
}

impl fmt::Debug for Units {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_list().entries(self.0).finish()
    }
}

mod private {
    /// SI value = (number + shift)·size.
    #[derive(Debug, Clone, Copy)]
    pub struct UnitSize {
        pub size: f64,
        pub shift: f64,
    }

    pub trait Sealed {
        const QUANTITY: &'static str;
        const EXAMPLE: &'static str;
        const NAMES: &'static [&'static str];
        const SIZES: &'static [UnitSize];
        /// Which of the names is written in SI, which in US units, and which is the SI base.
        const SI: usize;
        const US: usize;
        const BASE: usize;
        fn from_si(value: f64) -> Self;
        fn to_si(&self) -> f64;
    }
}

use private::{Sealed, UnitSize};

/// A quantity that can be read from text and written as text.
pub trait Text: Sealed + Copy {
    /// Reads a number and a unit, with or without a space between them.
    ///
    /// # Errors
    /// A [`TextError`] that says what is missing and what can be read.
    fn from_text(text: &str) -> Result<Self, TextError>;
}

impl<Q: Sealed + Copy> Text for Q {
    fn from_text(text: &str) -> Result<Self, TextError> {
        let text = text.trim();
        let (number, unit) = text.split_at(number_length(text));
        let not_a_number = TextError::NotANumber { quantity: Q::QUANTITY, example: Q::EXAMPLE };
        // "1,000 N": a number that goes on where it may not.
        if unit.starts_with([',', '.', '_', '\'']) {
            return Err(not_a_number);
        }
        let number: f64 = number.parse().map_err(|_| not_a_number)?;
        let unit = unit.trim_start();
        if unit.is_empty() {
            return Err(TextError::NoUnit { quantity: Q::QUANTITY, units: Units(Q::NAMES) });
        }
        let known = Q::NAMES.iter().zip(Q::SIZES).find(|(name, _)| **name == unit);
        let Some((_, size)) = known else {
            if Q::QUANTITY == "force" && matches!(unit, "lb" | "lbs" | "pound" | "pounds" | "kg" | "g" | "t")
            {
                return Err(TextError::MassForForce);
            }
            if Q::QUANTITY == "length"
                && unit.strip_prefix("ft").is_some_and(|rest| number_length(rest.trim()) > 0)
            {
                return Err(TextError::FeetAndInches);
            }
            if let Some(unit) = meant(unit, Q::NAMES) {
                return Err(TextError::OtherSpelling { quantity: Q::QUANTITY, unit });
            }
            return Err(TextError::UnknownUnit { quantity: Q::QUANTITY, units: Units(Q::NAMES) });
        };
        let value = (number + size.shift) * size.size;
        // So far that it stays a number in every unit that it may be written in.
        if value.abs() <= 1e300 {
            Ok(Q::from_si(value))
        } else {
            Err(TextError::TooLarge { quantity: Q::QUANTITY })
        }
    }
}

/// How else a crew may write a unit, in small letters, and how it is written here.
const OTHER_SPELLINGS: [(&str, &str); 44] = [
    ("feet", "ft"),
    ("foot", "ft"),
    ("inch", "in"),
    ("inches", "in"),
    ("meter", "m"),
    ("meters", "m"),
    ("metre", "m"),
    ("metres", "m"),
    ("pound", "lb"),
    ("pounds", "lb"),
    ("lbs", "lb"),
    ("kgs", "kg"),
    ("kilo", "kg"),
    ("kilos", "kg"),
    ("newton", "N"),
    ("newtons", "N"),
    ("lbsf", "lbf"),
    ("lbfs", "lbf"),
    ("degree", "deg"),
    ("degrees", "deg"),
    ("percent", "%"),
    ("c", "°C"),
    ("degc", "°C"),
    ("f", "°F"),
    ("degf", "°F"),
    ("sec", "s"),
    ("second", "s"),
    ("seconds", "s"),
    ("mins", "min"),
    ("minute", "min"),
    ("minutes", "min"),
    ("hr", "h"),
    ("hrs", "h"),
    ("hour", "h"),
    ("hours", "h"),
    ("fpm", "ft/min"),
    ("amp", "A"),
    ("amps", "A"),
    ("volt", "V"),
    ("volts", "V"),
    ("ohms", "ohm"),
    ("milliohm", "mohm"),
    ("a·h", "Ah"),
    ("watts", "W"),
];

/// The unit that is meant by another spelling of it.
fn meant(unit: &str, names: &'static [&'static str]) -> Option<&'static str> {
    let other = OTHER_SPELLINGS.iter().find(|(other, _)| other.eq_ignore_ascii_case(unit)).map(|pair| pair.1);
    let known = |name: &&&str| name.eq_ignore_ascii_case(unit) || other == Some(**name);
    names.iter().find(known).copied()
}

/// How many bytes of the text are its number: sign, digits, decimals, exponent.
fn number_length(text: &str) -> usize {
    let bytes = text.as_bytes();
    let digits_from = |start: usize| bytes.iter().skip(start).take_while(|b| b.is_ascii_digit()).count();
    let is = |at: usize, set: &[u8]| bytes.get(at).is_some_and(|b| set.contains(b));

    let mut end = usize::from(is(0, b"+-"));
    let whole = digits_from(end);
    if whole == 0 {
        return 0;
    }
    end += whole;
    if is(end, b".") {
        let decimals = digits_from(end + 1);
        if decimals == 0 {
            return 0;
        }
        end += 1 + decimals;
    }
    if is(end, b"eE") {
        let sign = usize::from(is(end + 1, b"+-"));
        let exponent = digits_from(end + 1 + sign);
        if exponent > 0 {
            end += 1 + sign + exponent;
        }
    }
    end
}

macro_rules! text {
    ($($quantity:ident, $name:literal, $example:literal, si $si:literal, us $us:literal, base $base:literal:
        $($unit:literal = $size:expr $(, shift $shift:expr)?);+;)*) => { $(
        impl Sealed for $quantity {
            const QUANTITY: &'static str = $name;
            const EXAMPLE: &'static str = $example;
            const NAMES: &'static [&'static str] = &[$($unit),+];
            const SIZES: &'static [UnitSize] = &[$(UnitSize { size: $size, shift: 0.0 $(+ $shift)? }),+];
            const SI: usize = place($si, Self::NAMES);
            const US: usize = place($us, Self::NAMES);
            const BASE: usize = place($base, Self::NAMES);
            fn from_si(value: f64) -> Self {
                Self { dimension: core::marker::PhantomData, units: core::marker::PhantomData, value }
            }
            fn to_si(&self) -> f64 { self.value }
        }
    )* };
}

/// Where a unit's name stands in the list; a name that isn't there stops the compiler.
#[allow(clippy::indexing_slicing, clippy::panic, reason = "runs in the compiler only")]
const fn place(name: &str, names: &[&str]) -> usize {
    let mut at = 0;
    while at < names.len() {
        let (a, b) = (name.as_bytes(), names[at].as_bytes());
        let mut same = a.len() == b.len();
        let mut i = 0;
        while same && i < a.len() {
            same = a[i] == b[i];
            i += 1;
        }
        if same {
            return at;
        }
        at += 1;
    }
    panic!("the unit is not in the list")
}

const DEGREE: f64 = core::f64::consts::PI / 180.0;

text! {
    Length, "length", "145 ft", si "m", us "ft", base "m":
        "m" = 1.0; "mm" = 1e-3; "cm" = 1e-2; "km" = 1e3; "ft" = exact::FOOT_M; "in" = exact::FOOT_M / 12.0;
    Force, "force", "3.29 kN", si "kN", us "lbf", base "N":
        "N" = 1.0; "kN" = 1e3; "lbf" = exact::POUND_FORCE_N; "kgf" = exact::GRAVITY_M_PER_S2;
    Mass, "mass", "250 kg", si "kg", us "lb", base "kg":
        "kg" = 1.0; "g" = 1e-3; "t" = 1e3; "lb" = exact::POUND_KG;
    LineMass, "mass per length", "85 g/m", si "g/m", us "lb/ft", base "kg/m":
        "kg/m" = 1.0; "g/m" = 1e-3; "lb/ft" = exact::POUND_KG / exact::FOOT_M;
    LineWeight, "force per length", "0.83 N/m", si "N/m", us "lbf/ft", base "N/m":
        "N/m" = 1.0; "kN/m" = 1e3; "lbf/ft" = exact::POUND_FORCE_N / exact::FOOT_M;
    Angle, "angle", "35 deg", si "deg", us "deg", base "rad":
        "deg" = DEGREE; "°" = DEGREE; "rad" = 1.0;
    Ratio, "share", "2 %", si "%", us "%", base "%":
        "%" = 1e-2;
    ThermodynamicTemperature, "temperature", "20 °C", si "°C", us "°F", base "K":
        "°C" = 1.0, shift 273.15; "°F" = 5.0 / 9.0, shift 459.67; "K" = 1.0;
    Time, "time", "12 min", si "s", us "s", base "s":
        "s" = 1.0; "min" = 60.0; "h" = 3600.0;
    Velocity, "speed", "0.1 m/s", si "m/s", us "ft/min", base "m/s":
        "m/s" = 1.0; "m/min" = 1.0 / 60.0; "ft/min" = exact::FOOT_M / 60.0; "ft/s" = exact::FOOT_M;
    ElectricCurrent, "current", "65 A", si "A", us "A", base "A":
        "A" = 1.0;
    ElectricPotential, "voltage", "25.6 V", si "V", us "V", base "V":
        "V" = 1.0; "mV" = 1e-3;
    ElectricalResistance, "resistance", "8 mohm", si "mohm", us "mohm", base "ohm":
        "ohm" = 1.0; "mohm" = 1e-3; "Ω" = 1.0; "mΩ" = 1e-3;
    ElectricCharge, "charge", "100 Ah", si "Ah", us "Ah", base "C":
        "Ah" = 3600.0; "C" = 1.0;
    Power, "power", "2 kW", si "W", us "hp", base "W":
        "W" = 1.0; "kW" = 1e3; "hp" = exact::HORSEPOWER_W;
    Energy, "energy", "18 kJ", si "kJ", us "kJ", base "J":
        "J" = 1.0; "kJ" = 1e3; "Wh" = 3600.0;
    MotorConstant, "motor constant", "0.055 N·m/A", si "N·m/A", us "N·m/A", base "N·m/A":
        "N·m/A" = 1.0; "Nm/A" = 1.0;
    TurningSpeed, "turning speed", "4350 rpm", si "rpm", us "rpm", base "rad/s":
        "rpm" = core::f64::consts::PI / 30.0; "rad/s" = 1.0;
    Area, "area", "35 mm²", si "mm²", us "mm²", base "m²":
        "mm²" = 1e-6; "mm2" = 1e-6; "m²" = 1.0; "m2" = 1.0;
}

/// A quantity on its way to text, three significant digits unless another number is given.
#[derive(Debug, Clone, Copy)]
pub struct Written<Q> {
    quantity: Q,
    systems: Systems,
    digits: u8,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Systems {
    Si,
    Us,
    Both,
}

impl<Q> Written<Q> {
    /// With this many significant digits, 1 to 17.
    #[must_use]
    pub const fn with_digits(mut self, digits: u8) -> Self {
        self.digits = if digits < 1 {
            1
        } else if digits > 17 {
            17
        } else {
            digits
        };
        self
    }
}

/// In SI: "3.29 kN".
#[must_use]
pub const fn si<Q: Text>(quantity: Q) -> Written<Q> {
    Written { quantity, systems: Systems::Si, digits: 3 }
}

/// In US units: "740 lbf".
#[must_use]
pub const fn us<Q: Text>(quantity: Q) -> Written<Q> {
    Written { quantity, systems: Systems::Us, digits: 3 }
}

/// In both: "3.29 kN (740 lbf)".
#[must_use]
pub const fn both<Q: Text>(quantity: Q) -> Written<Q> {
    Written { quantity, systems: Systems::Both, digits: 3 }
}

impl<Q: Text> fmt::Display for Written<Q> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let write = |f: &mut fmt::Formatter<'_>, at: usize| match (Q::NAMES.get(at), Q::SIZES.get(at)) {
            (Some(name), Some(unit)) => {
                write_number(f, self.quantity.to_si() / unit.size - unit.shift, self.digits)?;
                write!(f, " {name}")
            }
            _ => Err(fmt::Error),
        };
        match self.systems {
            Systems::Us => write(f, Q::US),
            Systems::Si => write(f, Q::SI),
            Systems::Both if Q::SI == Q::US => write(f, Q::SI),
            Systems::Both => {
                write(f, Q::SI)?;
                f.write_str(" (")?;
                write(f, Q::US)?;
                f.write_str(")")
            }
        }
    }
}

/// The number with that many significant digits, never in powers of ten, whole digits kept.
fn write_number(f: &mut fmt::Formatter<'_>, x: f64, digits: u8) -> fmt::Result {
    if !x.is_finite() || x == 0.0 {
        return write!(f, "{x}");
    }
    // A number that rounding carries to the next power of ten (9.996 → 10.0) loses a decimal.
    let digits = i32::from(digits);
    let log = math::floor(math::ln(x.abs()) / core::f64::consts::LN_10);
    let carried =
        x.abs() * (1.0 + 0.5 * math::powf(10.0, -f64::from(digits - 1)) * math::powf(10.0, log) / x.abs());
    let log = math::floor(math::ln(carried) / core::f64::consts::LN_10);
    #[allow(clippy::cast_possible_truncation, reason = "a logarithm of an f64 is within ±400")]
    let decimals = (digits - 1 - log as i32).clamp(0, 20);
    let rounded_to_zero = x.abs() < 0.5 * math::powf(10.0, -f64::from(decimals));
    write!(f, "{:.*}", decimals.unsigned_abs() as usize, if rounded_to_zero { 0.0 } else { x })
}

/// serde: a quantity as text, read strictly and written in its SI base unit so that it reads back to the same bits.
///
/// `#[serde(with = "rope_mechanics::text::as_text")]` for a quantity, `…::as_text::option` for one that may be
/// absent (with `#[serde(default)]`).
#[cfg(feature = "serde")]
pub mod as_text {
    use super::Text;
    use core::{fmt, marker::PhantomData};
    use serde::{Deserializer, Serializer, de};

    pub(crate) struct Exact<Q>(pub(crate) Q);

    impl<Q: Text> fmt::Display for Exact<Q> {
        fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            let (Some(name), Some(unit)) = (Q::NAMES.get(Q::BASE), Q::SIZES.get(Q::BASE)) else {
                return Err(fmt::Error);
            };
            write!(f, "{} {name}", self.0.to_si() / unit.size)
        }
    }

    struct Reader<Q>(PhantomData<Q>);

    impl<Q: Text> de::Visitor<'_> for Reader<Q> {
        type Value = Q;

        fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            write!(
                f,
                "{} {} with its unit, as in \"{}\"",
                super::article(Q::QUANTITY),
                Q::QUANTITY,
                Q::EXAMPLE
            )
        }

        fn visit_str<E: de::Error>(self, text: &str) -> Result<Q, E> {
            Q::from_text(text).map_err(|why| {
                if ["±", "+/-", "+-", " to "].iter().any(|mark| text.contains(mark)) {
                    E::custom(format_args!(
                        "\"{text}\" has a tolerance, but none is drawn on here: write the value alone"
                    ))
                } else {
                    E::custom(format_args!("\"{text}\": {why}"))
                }
            })
        }
    }

    /// Writes the quantity in its SI base unit.
    ///
    /// # Errors
    /// Those of the serializer.
    pub fn serialize<Q: Text, S: Serializer>(quantity: &Q, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(&Exact(*quantity))
    }

    /// Reads a quantity strictly.
    ///
    /// # Errors
    /// What [`super::Text::from_text`] refuses, with the text.
    pub fn deserialize<'de, Q: Text, D: Deserializer<'de>>(deserializer: D) -> Result<Q, D::Error> {
        deserializer.deserialize_str(Reader(PhantomData))
    }

    /// The same for a quantity that may be absent.
    pub mod option {
        use super::{Deserializer, Exact, Serializer, Text};
        use serde::Deserialize;

        struct Present<Q>(Q);

        impl<'de, Q: Text> Deserialize<'de> for Present<Q> {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                super::deserialize(deserializer).map(Present)
            }
        }

        /// Writes the quantity, or nothing.
        ///
        /// # Errors
        /// Those of the serializer.
        pub fn serialize<Q: Text, S: Serializer>(
            quantity: &Option<Q>,
            serializer: S,
        ) -> Result<S::Ok, S::Error> {
            match quantity {
                Some(q) => serializer.collect_str(&Exact(*q)),
                None => serializer.serialize_none(),
            }
        }

        /// Reads a quantity, or nothing.
        ///
        /// # Errors
        /// What [`super::super::Text::from_text`] refuses, with the text.
        pub fn deserialize<'de, Q: Text, D: Deserializer<'de>>(
            deserializer: D,
        ) -> Result<Option<Q>, D::Error> {
            Ok(Option::<Present<Q>>::deserialize(deserializer)?.map(|present| present.0))
        }
    }
}
