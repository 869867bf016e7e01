//! One system of units on a page: how each quantity is rounded and written.

use rope_mechanics::quantity::unit::{
    ampere, foot, foot_per_second, kilogram, kilonewton, meter, meter_per_second, pound, pound_force,
};
use rope_mechanics::quantity::{Force, Length, Mass, Velocity};
use serde::Serialize;

/// The system of units of card and report.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum Units {
    Si,
    Us,
}

/// Which way a number is rounded to its step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Round {
    Nearest,
    Down,
    Up,
}

impl Round {
    fn to(self, value: f64, step: f64) -> f64 {
        // A value that stands on its step stays there, whatever its last digit.
        let steps = value / step;
        step * match self {
            Self::Nearest => steps.round(),
            Self::Down => (steps + 1e-9).floor(),
            Self::Up => (steps - 1e-9).ceil(),
        }
    }
}

/// A number with its decimals, and never "-0".
fn plain(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    if text.trim_start_matches('-').chars().all(|c| c == '0' || c == '.') {
        text.trim_start_matches('-').to_owned()
    } else {
        text
    }
}

impl Units {
    pub(crate) fn other(self) -> Self {
        match self {
            Self::Si => Self::Us,
            Self::Us => Self::Si,
        }
    }

    pub(crate) fn force_unit(self) -> &'static str {
        if self == Self::Si { "kN" } else { "lbf" }
    }

    pub(crate) fn length_unit(self) -> &'static str {
        if self == Self::Si { "m" } else { "ft" }
    }

    /// A force as a plain number.
    pub(crate) fn of_force(self, force: Force) -> f64 {
        if self == Self::Si { force.get::<kilonewton>() } else { force.get::<pound_force>() }
    }

    /// A length as a plain number.
    pub(crate) fn of_length(self, length: Length) -> f64 {
        if self == Self::Si { length.get::<meter>() } else { length.get::<foot>() }
    }

    /// A force as a load cell is read: to 0.05 kN or 10 lbf, without its unit.
    pub(crate) fn reading(self, force: Force, round: Round) -> String {
        let value = self.of_force(force);
        if self == Self::Si { plain(round.to(value, 0.05), 2) } else { plain(round.to(value, 10.0), 0) }
    }

    /// Whether two readings, each rounded towards the other, are still two: else a cell can't be kept between them.
    pub(crate) fn has_window(self, [low, high]: [Force; 2]) -> bool {
        let step = if self == Self::Si { 0.05 } else { 10.0 };
        let (low, high) = (Round::Up.to(self.of_force(low), step), Round::Down.to(self.of_force(high), step));
        low + 0.5 * step < high
    }

    /// The same with its unit.
    pub(crate) fn reading_with_unit(self, force: Force, round: Round) -> String {
        format!("{} {}", self.reading(force, round), self.force_unit())
    }

    /// A force as it is computed: to 0.01 kN or 1 lbf, without its unit.
    pub(crate) fn force(self, force: Force) -> String {
        plain(self.of_force(force), if self == Self::Si { 2 } else { 0 })
    }

    /// To the same digit, rounded away from what is safe to believe, with its unit.
    pub(crate) fn force_rounded(self, force: Force, round: Round) -> String {
        let (step, decimals) = if self == Self::Si { (0.01, 2) } else { (1.0, 0) };
        format!("{} {}", plain(round.to(self.of_force(force), step), decimals), self.force_unit())
    }

    pub(crate) fn force_with_unit(self, force: Force) -> String {
        format!("{} {}", self.force(force), self.force_unit())
    }

    /// Rope or ground that is measured off: to half a metre or a foot, without its unit.
    pub(crate) fn distance(self, length: Length) -> String {
        let value = self.of_length(length);
        if self == Self::Us {
            return plain(value.round(), 0);
        }
        let text = plain(Round::Nearest.to(value, 0.5), 1);
        text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
    }

    pub(crate) fn distance_with_unit(self, length: Length) -> String {
        format!("{} {}", self.distance(length), self.length_unit())
    }

    /// Between things at the apparatus: to a decimetre or a foot.
    pub(crate) fn pace(self, length: Length) -> String {
        let value = self.of_length(length);
        format!("{} {}", plain(value, if self == Self::Si { 1 } else { 0 }), self.length_unit())
    }

    /// A height that matters to the hand's breadth: to a decimetre or half a foot, downwards, without its unit.
    pub(crate) fn height(self, length: Length) -> String {
        let value = self.of_length(length);
        if self == Self::Si {
            plain(Round::Down.to(value, 0.1), 1)
        } else {
            plain(Round::Down.to(value, 0.5), 1)
        }
    }

    /// A length to the table's digit: 0.01 m or 0.1 ft, without its unit.
    pub(crate) fn fine(self, length: Length) -> String {
        plain(self.of_length(length), if self == Self::Si { 2 } else { 1 })
    }

    pub(crate) fn mass(self, mass: Mass) -> String {
        if self == Self::Si {
            format!("{:.0} kg", mass.get::<kilogram>())
        } else {
            format!("{:.0} lb", mass.get::<pound>())
        }
    }

    pub(crate) fn speed(self, speed: Velocity) -> String {
        if self == Self::Si {
            format!("{:.1} m/s", speed.get::<meter_per_second>())
        } else {
            format!("{:.0} ft/s", speed.get::<foot_per_second>())
        }
    }

    /// The round steps in which rope is marked, from small to large.
    pub(crate) fn marks(self) -> &'static [f64] {
        if self == Self::Si {
            &[1.0, 2.0, 5.0, 10.0, 20.0, 25.0, 50.0, 100.0]
        } else {
            &[5.0, 10.0, 20.0, 25.0, 50.0, 100.0, 200.0, 500.0]
        }
    }
}

pub(crate) fn amperes(current: rope_mechanics::quantity::ElectricCurrent) -> String {
    plain(current.get::<ampere>(), 0)
}

/// A factor; beyond 99 it says no more. Rounded down: 5.96 is not 6.
pub(crate) fn factor(factor: f64) -> String {
    if factor > 99.0 { "> 99".to_owned() } else { plain(Round::Down.to(factor, 0.1), 1) }
}

#[cfg(test)]
#[allow(clippy::float_cmp, reason = "whole steps")]
mod tests {
    use super::*;
    use rope_mechanics::quantity::unit::newton;

    #[test]
    fn a_limit_is_never_rounded_up_and_a_band_never_inward() {
        for n in (0..200_000).step_by(37) {
            let force = Force::new::<newton>(f64::from(n) * 0.1);
            for units in [Units::Si, Units::Us] {
                let value = units.of_force(force);
                let step = if units == Units::Si { 0.05 } else { 10.0 };
                let down: f64 = units.reading(force, Round::Down).parse().unwrap();
                let up: f64 = units.reading(force, Round::Up).parse().unwrap();
                assert!(down <= value + 1e-6 && value < down + step + 1e-6, "{value}: {down}");
                assert!(up >= value - 1e-6 && value > up - step - 1e-6, "{value}: {up}");
            }
        }
    }

    #[test]
    fn a_window_narrower_than_a_cell_is_read_is_none() {
        let kn = Force::new::<kilonewton>;
        assert!(Units::Si.has_window([kn(1.21), kn(1.31)]));
        // 1.25 to 1.20, and 1.20 to 1.20.
        assert!(!Units::Si.has_window([kn(1.21), kn(1.24)]));
        assert!(!Units::Si.has_window([kn(1.19), kn(1.22)]));
        assert!(Units::Us.has_window([kn(1.21), kn(1.31)]) && !Units::Us.has_window([kn(1.21), kn(1.24)]));
    }

    #[test]
    fn a_value_on_its_step_stays_there() {
        let lbf = Force::new::<pound_force>;
        assert_eq!(Units::Us.reading(lbf(520.0), Round::Down), "520");
        assert_eq!(Units::Us.reading(lbf(520.0), Round::Up), "520");
        assert_eq!(Units::Us.reading(lbf(529.9), Round::Down), "520");
        assert_eq!(Units::Si.reading(Force::new::<kilonewton>(2.35), Round::Down), "2.35");
        assert_eq!(Units::Si.reading(Force::new::<kilonewton>(2.349), Round::Up), "2.35");
    }

    #[test]
    fn heights_and_factors_are_rounded_down_and_zero_has_no_sign() {
        let m = Length::new::<meter>;
        assert_eq!(Units::Si.height(m(0.69)), "0.6");
        assert_eq!(Units::Us.height(Length::new::<foot>(2.4)), "2.0");
        assert_eq!(Units::Si.distance(m(-0.1)), "0");
        assert_eq!(Units::Si.distance(m(10.4)), "10.5");
        assert_eq!(factor(5.96), "5.9");
        assert_eq!(factor(6.0), "6.0");
        assert_eq!(factor(120.0), "> 99");
    }
}
