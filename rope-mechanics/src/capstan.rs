//! Rope wrapped on a capstan, bollard or rail: what the tail must hold, and whether a hand can.
//!
#![doc = include_str!("docs/pictures/capstan.svg")]
//!
//! T_load = T_tail·e^(μθ), the law of Euler and Eytelwein, with the wrap θ in radians.
//!
//! Friction is known only within a band, and every question takes the end that is on the safe side: the low
//! coefficient for "does it hold?", the high one for "does it release?" and "what does it drag?".
//!
//! Nothing here needs a heap.
//!
//! **Caution.** Wet, icy, dirty or new rope, a hot drum, or wraps that ride over each other leave any band. A
//! hand is no brake to rely on: back it up. See the page of the crate.

use crate::error::{self, InputError};
use crate::math;
use crate::quantity::{Angle, Band, Force, Ratio, newtons, radians, ratio};
use crate::sheave::Turn;
use core::f64::consts::{PI, TAU};

/// The largest wrap: 100 turns.
const MAX_WRAP_RAD: f64 = 100.0 * TAU;

/// A drum, bollard or bar with rope wrapped round it.
///
/// Assumed: rigid and much thicker than the rope, friction in proportion to pressure, wraps side by side. Not for
/// pulleys or pins hardly thicker than the rope, which lose by the bend: see [`Turn`].
///
/// ```
/// use rope_mechanics::capstan::{Capstan, Hand};
/// use rope_mechanics::quantity::{Angle, Force, unit::{newton, revolution}};
///
/// // 2670 N and three turns: the tail needs up to 405 N, more than most hands hold.
/// let tail = Capstan::DRUM.tail(Force::new::<newton>(2670.0), Angle::new::<revolution>(3.0))?;
/// assert!((tail.high.get::<newton>() - 405.0).abs() < 1.0);
/// assert_eq!(Hand::that_holds(tail.high)?, Hand::Strongest);
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Capstan {
    low: f64,
    high: f64,
    wedge: f64,
}

/// Whether a rope slips on its capstan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
pub enum Grip {
    /// It holds even with the lowest friction.
    Holds,
    /// It depends on the friction: count on neither.
    Uncertain,
    /// It slips even with the highest friction.
    Slips,
}

/// The turns that a capstan needs to hold a load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TurnsToHold {
    /// The wrap that just holds, with the lowest friction.
    pub wrap: Angle,
    /// Whole turns, rounded up.
    pub whole: u32,
}

impl Capstan {
    /// A smooth metal drum: μ 0.10 to 0.30. From memory.
    pub const DRUM: Self = Self { low: 0.10, high: 0.30, wedge: 1.0 };

    /// A capstan by the lowest and highest coefficient of friction that its rope may have on it.
    ///
    /// # Errors
    /// Unless the lowest is above 0 and the highest at least as high and at most 2.
    pub fn new(friction_low: Ratio, friction_high: Ratio) -> Result<Self, InputError> {
        let low = error::positive("friction_low", friction_low)?;
        let high = error::within("friction_high", friction_high, low, 2.0)?;
        Ok(Self { low, high, wedge: 1.0 })
    }

    /// With the rope wedged in a V-groove of this full angle between its flanks.
    ///
    /// μ' = μ/sin(γ/2): a groove of 60° doubles the friction. Range: 10° to 180°, which is flat.
    ///
    /// # Errors
    /// Unless the angle is from 10° to 180°.
    pub fn with_groove(self, groove: Angle) -> Result<Self, InputError> {
        let groove = error::within("groove", groove, PI / 18.0, PI)?;
        Ok(Self { wedge: 1.0 / math::sin(0.5 * groove), ..self })
    }

    /// The tail force that holds a load, for the wrap taken: from `low`, if friction is at its highest, to
    /// `high`, which holds in any case. Expected at the mean of both coefficients.
    ///
    /// T_tail = T·e^(−μθ)
    ///
    /// # Errors
    /// Unless the load is at least zero and the wrap from 0 to 100 turns.
    pub fn tail(&self, load: Force, wrap: Angle) -> Result<Band<Force>, InputError> {
        let load_n = error::non_negative("load", load)?;
        let (weak, strong) = self.exponents(wrap)?;
        Ok(Band { low: strong, expected: 0.5 * (weak + strong), high: weak }
            .map(|exponent| newtons(load_n * math::exp(-exponent))))
    }

    /// The load that a tail force drags or holds: `low` is held in any case; above `high` the rope runs in any
    /// case. Letting go to a tail force, this is the load at which it releases; while the drum turns under the
    /// rope, this is what it can pull.
    ///
    /// T = T_tail·e^(μθ), at most what a number holds
    ///
    /// # Errors
    /// Unless the tail force is at least zero and the wrap from 0 to 100 turns.
    pub fn load(&self, tail: Force, wrap: Angle) -> Result<Band<Force>, InputError> {
        let tail_n = error::non_negative("tail", tail)?;
        let (weak, strong) = self.exponents(wrap)?;
        let grown = |exponent: f64| newtons((tail_n * math::exp(exponent.min(600.0))).min(f64::MAX));
        Ok(Band { low: weak, expected: 0.5 * (weak + strong), high: strong }.map(grown))
    }

    /// Whether a tail force holds a load.
    ///
    /// # Errors
    /// Unless both forces are at least zero and the wrap from 0 to 100 turns.
    pub fn grip(&self, load: Force, tail: Force, wrap: Angle) -> Result<Grip, InputError> {
        let needed = self.tail(load, wrap)?;
        error::non_negative("tail", tail)?;
        Ok(if tail >= needed.high {
            Grip::Holds
        } else if tail >= needed.low {
            Grip::Uncertain
        } else {
            Grip::Slips
        })
    }

    /// The wrap that lets a hand hold a load, with the lowest friction.
    ///
    /// θ = ln(T/T_hand)/μ, none where the hand holds the load alone
    ///
    /// # Errors
    /// Unless the load is at least zero and the hand force above zero.
    pub fn turns_to_hold(&self, load: Force, hand: Force) -> Result<TurnsToHold, InputError> {
        let load_n = error::non_negative("load", load)?;
        let hand_n = error::positive("hand", hand)?;
        let wrap = if load_n > hand_n { math::ln(load_n / hand_n) / (self.low * self.wedge) } else { 0.0 };
        let turns = math::ceil(wrap / TAU);
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "at least 0; `as` saturates"
        )]
        Ok(TurnsToHold { wrap: radians(wrap), whole: turns as u32 })
    }

    /// μθ with the lowest and the highest friction.
    fn exponents(&self, wrap: Angle) -> Result<(f64, f64), InputError> {
        let wrap = error::within("wrap", wrap, 0.0, MAX_WRAP_RAD)?;
        Ok((self.low * self.wedge * wrap, self.high * self.wedge * wrap))
    }
}

/// Which hands hold a rope: bands from a test in which people gripped a moving rope.
///
/// The weakest held 46 N, the average 209 N, the strongest 425 N.
///
/// Source: Mauthner, in Moyer, International Technical Rescue Symposium 2006. Rope, glove and number of people
/// are not known here: measure your own hands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
pub enum Hand {
    /// Up to 46 N: everybody tested held it.
    Everybody,
    /// Up to 209 N: an average hand held it, weaker ones did not.
    Average,
    /// Up to 425 N: only hands stronger than the average held it.
    Strongest,
    /// Above 425 N: nobody held it.
    Nobody,
}

impl Hand {
    /// What the weakest, the average and the strongest hand held on a moving rope, in newtons.
    pub const HELD_N: [f64; 3] = [46.0, 209.0, 425.0];

    /// The hands that hold a tail force on a moving rope.
    ///
    /// # Errors
    /// Unless the force is at least zero.
    pub fn that_holds(tail: Force) -> Result<Self, InputError> {
        let tail_n = error::non_negative("tail", tail)?;
        let [weakest, average, strongest] = Self::HELD_N;
        Ok(if tail_n <= weakest {
            Self::Everybody
        } else if tail_n <= average {
            Self::Average
        } else if tail_n <= strongest {
            Self::Strongest
        } else {
            Self::Nobody
        })
    }
}

/// A test of friction with a hanging weight: the pull that just raises it over a bar, and the one that just
/// lets it down.
///
/// ```
/// use rope_mechanics::capstan::RaiseLowerTest;
/// use rope_mechanics::quantity::{Angle, Mass, unit::{degree, kilogram}, weight_of};
///
/// let kg = |m| weight_of(Mass::new::<kilogram>(m));
/// let test = RaiseLowerTest::new(kg(98.0), kg(50.0), Angle::new::<degree>(90.0))?;
/// assert!((test.friction().value - 0.214).abs() < 5e-4);
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RaiseLowerTest {
    raising_n: f64,
    lowering_n: f64,
    wrap_rad: f64,
}

impl RaiseLowerTest {
    /// A test by its two pulls and the wrap.
    ///
    /// # Errors
    /// Unless the lowering pull is above zero, the raising pull at least as large, and the wrap above 0 and at
    /// most 100 turns.
    pub fn new(raising: Force, lowering: Force, wrap: Angle) -> Result<Self, InputError> {
        let lowering_n = error::positive("lowering", lowering)?;
        let raising_n = error::check("raising", raising, error::Allowed::AtLeast(lowering_n))?;
        error::positive("wrap", wrap)?;
        Ok(Self { raising_n, lowering_n, wrap_rad: error::within("wrap", wrap, 0.0, MAX_WRAP_RAD)? })
    }

    /// One coefficient for both directions, for which the weight need not be known.
    ///
    /// μ = ln(T_raise/T_lower)/(2φ)
    #[must_use]
    pub fn friction(&self) -> Ratio {
        ratio(math::ln(self.raising_n / self.lowering_n) / (2.0 * self.wrap_rad))
    }

    /// A coefficient for each direction, from the weight that hung on the rope: raising, then lowering.
    ///
    /// μ_raise = ln(T_raise/W)/φ,  μ_lower = ln(W/T_lower)/φ
    ///
    /// # Errors
    /// Unless the weight is from the lowering to the raising pull.
    pub fn frictions(&self, weight: Force) -> Result<(Ratio, Ratio), InputError> {
        let weight_n = error::within("weight", weight, self.lowering_n, self.raising_n)?;
        Ok((
            ratio(math::ln(self.raising_n / weight_n) / self.wrap_rad),
            ratio(math::ln(weight_n / self.lowering_n) / self.wrap_rad),
        ))
    }

    /// A turn with the [`frictions`](Self::frictions) of the two directions.
    ///
    /// # Errors
    /// Unless the weight is from the lowering to the raising pull, and both coefficients are at most 2.
    pub fn turn(&self, weight: Force) -> Result<Turn, InputError> {
        let (raising, lowering) = self.frictions(weight)?;
        Turn::bar(raising, lowering)
    }
}
