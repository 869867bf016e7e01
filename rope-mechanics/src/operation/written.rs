//! What is wrong with a key, in the units that a crew reads and writes.

use crate::error::{Allowed, InputError};
use crate::math;
use crate::quantity::unit::{kilogram, kilogram_per_meter};
use crate::quantity::{
    LineMass, Mass, amperes, coulombs, kelvins, metres, metres_per_second, n_per_m, newtons, ohms, radians,
    ratio, volt_seconds, volts,
};
use crate::text::{self, Text, Written};
use alloc::format;
use alloc::string::{String, ToString};

/// Plain numbers; whatever else has no unit is a share, which a crew writes in percent.
const PLAIN: [&str; 2] = ["gear_ratio", "peukert_exponent"];

/// "is 91.4 m (300 ft), but must be from 0.05 m (0.164 ft) to 50 m (164 ft)": rounded, but never so far that the
/// value looks like a bound that it isn't.
pub(crate) fn problem(why: &InputError) -> String {
    let plain = PLAIN.contains(&why.field);
    let (lo, hi) = match why.allowed {
        Allowed::Above(x)
        | Allowed::Below(x)
        | Allowed::AtLeast(x)
        | Allowed::AtMost(x)
        | Allowed::OtherThan(x)
        | Allowed::ZeroOrAtLeast(x) => (x, x),
        Allowed::Within(lo, hi) => (lo, hi),
        Allowed::Finite => (why.value, why.value),
    };
    let write = |x, digits| write(x, why.unit, plain, digits);
    // In either system of units.
    let looks_like = |bound: f64, digits| {
        let (bound_said, said) = (write(bound, digits), write(why.value, digits));
        bound != why.value && bound_said.split(" (").zip(said.split(" (")).any(|(a, b)| a == b)
    };
    let digits = (3..17).find(|digits| !looks_like(lo, *digits) && !looks_like(hi, *digits)).unwrap_or(17);
    let (value, lo, hi) = (write(why.value, digits), write(lo, digits), write(hi, digits));
    match why.allowed {
        Allowed::Finite => format!("is {value}, but must be finite"),
        Allowed::Above(_) => format!("is {value}, but must be above {lo}"),
        Allowed::Below(_) => format!("is {value}, but must be below {lo}"),
        Allowed::AtLeast(_) => format!("is {value}, but must be at least {lo}"),
        Allowed::AtMost(_) => format!("is {value}, but must be at most {lo}"),
        Allowed::OtherThan(_) => format!("is {value}, but must be other than {lo}"),
        Allowed::ZeroOrAtLeast(_) => format!("is {value}, but must be zero, or at least {lo}"),
        Allowed::Within(..) => format!("is {value}, but must be from {lo} to {hi}"),
    }
}

/// The number in both systems of units.
fn write(value: f64, unit: &str, plain: bool, digits: u8) -> String {
    macro_rules! both {
        ($in_si:expr) => {
            short(text::both($in_si(value)).with_digits(digits))
        };
    }
    match unit {
        "m" => both!(metres),
        "N" => both!(newtons),
        "kg" => both!(Mass::new::<kilogram>),
        "kg/m" => both!(LineMass::new::<kilogram_per_meter>),
        "N/m" => both!(n_per_m),
        "m/s" => both!(metres_per_second),
        "A" => both!(amperes),
        "V" => both!(volts),
        "Ω" => both!(ohms),
        "C" => both!(coulombs),
        "K" => both!(kelvins),
        "N·m/A" => both!(volt_seconds),
        "rad" => both!(radians).replace(" deg", "°"),
        "s" => time(value),
        "" if !plain => both!(ratio),
        "" => format!("{value}"),
        _ => format!("{value} {unit}"),
    }
}

/// In the largest unit of which there is one or more, to a thousandth.
fn time(seconds: f64) -> String {
    let (size, unit) = match seconds.abs() {
        x if x >= 3600.0 => (3600.0, "h"),
        x if x >= 60.0 => (60.0, "min"),
        _ => (1.0, "s"),
    };
    format!("{} {unit}", math::floor(seconds / size * 1e3 + 0.5) / 1e3)
}

/// Without the zeros behind a point that say nothing here: "50 m", not "50.0 m".
fn short<Q: Text>(written: Written<Q>) -> String {
    let mut said = String::new();
    for word in written.to_string().split(' ') {
        if !said.is_empty() {
            said.push(' ');
        }
        let number = word.trim_start_matches('(');
        said += if number.contains('.') && number.parse::<f64>().is_ok() {
            word.trim_end_matches('0').trim_end_matches('.')
        } else {
            word
        };
    }
    said
}
