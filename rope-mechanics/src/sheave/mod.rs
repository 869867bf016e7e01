//! What a rope loses where it turns: over a sheave, a bare connector, or a fixed bar.
//!
#![doc = include_str!("../docs/pictures/sheave.svg")]
//!
//! A moving rope pulls harder behind the turn than before it. A rope at rest may hold any tension between the two
//! ratios that the two directions of motion would give: a band, not a number.
//!
//! Nothing here needs a heap.

use crate::error::{self, Allowed, InputError};
use crate::math;
use crate::motion::Motion;
use crate::quantity::{Angle, Band, Ratio, ratio};
use core::f64::consts::PI;

mod measured;

pub use measured::{Bar, Measured, PULLEY};

/// How much of a rope's tension gets around a turn.
///
/// A sheave loses mostly where the rope bends on and off it, and little by the angle:
///
/// η(θ) = η₁₈₀ + (1 − η₁₈₀)·c·(1 − θ/π),  c = 0.28
///
/// with a straight ramp to 1 below 10° of turn, where a rope hardly touches (our assumption: no measurement was
/// found there). A fixed bar, edge or capstan loses e^(μθ), with one coefficient raising and another lowering,
/// since the two were measured not to be reciprocal.
///
/// [`Measured`] has efficiencies of pulleys, connectors and descenders.
///
/// Sources: c from one pulley that passed 0.842 over 180° and 0.747 over two turns of 90° (Pöysti 2020), so that
/// (√0.747 − 0.842)/(1 − 0.842)·2 = 0.282, from 0.273 to 0.291 by the rounding of both; it rests on this one
/// pulley. Delaney 2022 for bars.
///
/// ```
/// use rope_mechanics::quantity::{Angle, Ratio, unit::{degree, percent}};
/// use rope_mechanics::sheave::Turn;
///
/// // A pulley that passes 90 % over half a turn, in a redirect of 90°: 1/0.914 hauling, 0.914 lowering.
/// let band = Turn::sheave(Ratio::new::<percent>(90.0))?.band(Angle::new::<degree>(90.0))?;
/// assert!((band.high.value - 1.0941).abs() < 5e-5 && (band.low.value - 0.9140).abs() < 5e-5);
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turn(Kind);

#[derive(Debug, Clone, Copy, PartialEq)]
enum Kind {
    Sheave { efficiency: f64 },
    Bar { raising: f64, lowering: f64 },
}

/// One of the numbers that say what a turn loses.
#[cfg(feature = "alloc")]
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Loss {
    Efficiency,
    Raising,
    Lowering,
}

/// The share of a sheave's loss that grows with the angle: (√0.747 − 0.842)/(1 − 0.842)·2 = 0.282.
const ANGLE_SHARE: f64 = 0.28;
/// The largest wrap, 32 turns: e^(μθ) stays a number.
pub(crate) const MAX_WRAP_RAD: f64 = 64.0 * PI;
/// Below this turn the loss ramps down to nothing.
const FULL_CONTACT_RAD: f64 = 10.0 * PI / 180.0;

impl Turn {
    /// A turn that loses nothing.
    pub const FRICTIONLESS: Self = Self(Kind::Sheave { efficiency: 1.0 });

    /// A sheave by its efficiency over a turn of 180°: tension after by tension before.
    ///
    /// # Errors
    /// Unless the efficiency is from 0.01 to 1.
    pub fn sheave(efficiency: Ratio) -> Result<Self, InputError> {
        error::check("sheave_efficiency", efficiency, Allowed::AtMost(1.0))?;
        let efficiency = error::check("sheave_efficiency", efficiency, Allowed::AtLeast(0.01))?;
        Ok(Self(Kind::Sheave { efficiency }))
    }

    /// A fixed bar, edge or capstan by its coefficients of friction with the rope, raising and lowering.
    ///
    /// # Errors
    /// Unless both are from 0 to 2.
    pub fn bar(friction_raising: Ratio, friction_lowering: Ratio) -> Result<Self, InputError> {
        Ok(Self(Kind::Bar {
            raising: error::within("friction_raising", friction_raising, 0.0, 2.0)?,
            lowering: error::within("friction_lowering", friction_lowering, 0.0, 2.0)?,
        }))
    }

    /// How much of the tension a sheave passes over 180°; nothing for a bar.
    #[must_use]
    pub fn efficiency(&self) -> Option<Ratio> {
        match self.0 {
            Kind::Sheave { efficiency } => Some(ratio(efficiency)),
            Kind::Bar { .. } => None,
        }
    }

    /// The coefficients of friction of a bar, raising and lowering; nothing for a sheave.
    #[must_use]
    pub fn friction(&self) -> Option<[Ratio; 2]> {
        match self.0 {
            Kind::Sheave { .. } => None,
            Kind::Bar { raising, lowering } => Some([ratio(raising), ratio(lowering)]),
        }
    }

    /// Tension on the pulling side by the tension on the load's side, for a turn of `angle`: `high` while hauling, at
    /// least 1, `low` while lowering, at most 1, and anything between them at rest.
    ///
    /// A sheave: 1/η and η. A bar: e^(μθ) and e^(−μθ), each with its own μ; without friction, 1. A sheave counts as one bend at any angle up to 180°, and as one more for each further half
    /// turn.
    ///
    /// # Errors
    /// Unless the angle is from 0 to 32 turns.
    pub fn band(&self, angle: Angle) -> Result<Band<Ratio>, InputError> {
        let angle = error::within("turn", angle, 0.0, MAX_WRAP_RAD)?;
        let (hauling, lowering) = self.ratios(angle);
        Ok(Band { low: ratio(lowering), expected: ratio(1.0), high: ratio(hauling) })
    }

    /// ln of the ratio for a turn in radians, 0 at rest, and its derivative by the angle.
    #[cfg_attr(not(feature = "alloc"), allow(dead_code))]
    pub(crate) fn log_ratio(&self, angle: f64, motion: Motion) -> (f64, f64) {
        let (hauling, lowering) = self.ratios(angle);
        let ratio = match motion {
            Motion::Hauling => hauling,
            Motion::Lowering => lowering,
            Motion::AtRest => return (0.0, 0.0),
        };
        let slope = match self.0 {
            Kind::Sheave { efficiency } => {
                let rest = angle - math::floor(angle / PI) * PI;
                let per_rad = (1.0 - efficiency) * ANGLE_SHARE / PI;
                let at = |theta: f64| efficiency + (1.0 - efficiency) * ANGLE_SHARE * (1.0 - theta / PI);
                // d ln η/dθ
                let d_eta = if rest >= FULL_CONTACT_RAD {
                    -per_rad / at(rest)
                } else {
                    let ramp = (1.0 - at(FULL_CONTACT_RAD)) / FULL_CONTACT_RAD;
                    -ramp / (1.0 - ramp * rest)
                };
                if motion == Motion::Hauling { -d_eta } else { d_eta }
            }
            Kind::Bar { raising, lowering } => {
                if motion == Motion::Hauling {
                    raising
                } else {
                    -lowering
                }
            }
        };
        (math::ln(ratio), slope)
    }

    /// The derivative of ln of the ratio by what the turn loses, if it has such a number.
    #[cfg(feature = "alloc")]
    pub(crate) fn log_ratio_by(&self, loss: Loss, angle: f64, motion: Motion) -> Option<f64> {
        let by = match (self.0, loss) {
            (Kind::Sheave { efficiency }, Loss::Efficiency) => {
                let halves = math::floor(angle / PI);
                let rest = angle - halves * PI;
                // ∂η(θ)/∂η₁₈₀ = 1 − c·(1 − θ/π)
                let full = |theta: f64| 1.0 - ANGLE_SHARE * (1.0 - theta / PI);
                let at = |theta: f64| 1.0 - (1.0 - efficiency) * full(theta);
                let part = if rest >= FULL_CONTACT_RAD {
                    full(rest) / at(rest)
                } else {
                    let ramp = rest / FULL_CONTACT_RAD;
                    full(FULL_CONTACT_RAD) * ramp / (1.0 - (1.0 - at(FULL_CONTACT_RAD)) * ramp)
                };
                let by = halves / efficiency + part;
                if motion == Motion::Hauling { -by } else { by }
            }
            (Kind::Bar { .. }, Loss::Raising) if motion == Motion::Hauling => angle,
            (Kind::Bar { .. }, Loss::Lowering) if motion == Motion::Lowering => -angle,
            (Kind::Bar { .. }, Loss::Raising | Loss::Lowering) => 0.0,
            _ => return None,
        };
        Some(if motion == Motion::AtRest { 0.0 } else { by })
    }

    /// (hauling, lowering) ratio for a turn in radians.
    pub(crate) fn ratios(&self, angle: f64) -> (f64, f64) {
        match self.0 {
            Kind::Sheave { efficiency } => {
                let halves = math::floor(angle / PI);
                let rest = angle - halves * PI;
                let mut eta = if halves > 0.0 { math::powf(efficiency, halves) } else { 1.0 };
                if rest > 0.0 {
                    // η(θ) = η₁₈₀ + (1 − η₁₈₀)·c·(1 − θ/π)
                    let at = |theta: f64| efficiency + (1.0 - efficiency) * ANGLE_SHARE * (1.0 - theta / PI);
                    eta *= if rest >= FULL_CONTACT_RAD {
                        at(rest)
                    } else {
                        1.0 - (1.0 - at(FULL_CONTACT_RAD)) * rest / FULL_CONTACT_RAD
                    };
                }
                (1.0 / eta, eta)
            }
            // T₂/T₁ = e^(μθ)
            Kind::Bar { raising, lowering } => (math::exp(raising * angle), math::exp(-lowering * angle)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::radians;

    #[test]
    fn two_right_angles_lose_more_than_a_half_turn() {
        let pulley = Turn::sheave(ratio(0.842)).unwrap();
        let (_, one) = pulley.ratios(PI);
        let (_, quarter) = pulley.ratios(PI / 2.0);
        assert!((one - 0.842).abs() < 1e-15);
        // Pöysti 2020: 0.747 for two turns of 90°; half a unit of its last digit.
        assert!((quarter * quarter - 0.747).abs() < 0.0005, "{}", quarter * quarter);
    }

    #[test]
    fn the_loss_has_no_step_anywhere() {
        let pulley = Turn::sheave(ratio(0.9)).unwrap();
        for centre in [FULL_CONTACT_RAD, PI, 2.0 * PI] {
            let (_, below) = pulley.ratios(centre - 1e-9);
            let (_, above) = pulley.ratios(centre + 1e-9);
            assert!((below - above).abs() < 1e-8, "{centre}");
        }
        assert_eq!(pulley.ratios(0.0), (1.0, 1.0));
    }

    #[test]
    fn the_slope_of_the_ratio_is_its_difference_quotient() {
        let h = 1e-6;
        for turn in [Turn::sheave(ratio(0.8)).unwrap(), Turn::bar(ratio(0.2), ratio(0.15)).unwrap()] {
            for motion in [Motion::Hauling, Motion::Lowering, Motion::AtRest] {
                for angle in [0.01, 0.1, 1.0, 3.0] {
                    let at = |angle| turn.log_ratio(angle, motion).0;
                    let difference = (at(angle + h) - at(angle - h)) / (2.0 * h);
                    // rounding: 2⁻⁵²/h
                    assert!((difference - turn.log_ratio(angle, motion).1).abs() < 1e-9, "{turn:?} {angle}");
                }
            }
        }
    }

    #[cfg(feature = "alloc")]
    #[test]
    fn the_slope_by_each_coefficient_is_its_difference_quotient() {
        let h = 1e-6;
        let bar = |r, l| Turn::bar(ratio(r), ratio(l)).unwrap();
        let sheave = |e| Turn::sheave(ratio(e)).unwrap();
        for motion in [Motion::Hauling, Motion::Lowering, Motion::AtRest] {
            for angle in [0.1, 1.0, 3.0, 7.0] {
                let cases = [
                    (Loss::Efficiency, sheave(0.8), [sheave(0.8 - h), sheave(0.8 + h)]),
                    (Loss::Raising, bar(0.2, 0.15), [bar(0.2 - h, 0.15), bar(0.2 + h, 0.15)]),
                    (Loss::Lowering, bar(0.2, 0.15), [bar(0.2, 0.15 - h), bar(0.2, 0.15 + h)]),
                ];
                for (loss, turn, [less, more]) in cases {
                    let at = |turn: &Turn| turn.log_ratio(angle, motion).0;
                    let difference = (at(&more) - at(&less)) / (2.0 * h);
                    // rounding: 2⁻⁵²/h
                    assert!((difference - turn.log_ratio_by(loss, angle, motion).unwrap()).abs() < 1e-9);
                }
            }
        }
        assert_eq!(sheave(0.8).log_ratio_by(Loss::Raising, 1.0, Motion::Hauling), None);
        assert_eq!(bar(0.1, 0.1).log_ratio_by(Loss::Efficiency, 1.0, Motion::Hauling), None);
    }

    #[test]
    fn a_bar_keeps_its_two_coefficients() {
        let bar = Turn::bar(ratio(0.2), ratio(0.15)).unwrap();
        let band = bar.band(radians(PI)).unwrap();
        assert!((band.high.value - (0.2 * PI).exp()).abs() < 1e-15);
        assert!((band.low.value - (-0.15 * PI).exp()).abs() < 1e-15);
    }
}
