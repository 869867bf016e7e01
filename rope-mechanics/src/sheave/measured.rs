//! What was measured of rope over pulleys, connectors and descenders.

use super::{Kind, Turn};
use crate::quantity::{Band, Ratio, ratio};

/// Efficiency over half a turn of a pulley of which nothing is known: 0.73 to 0.95, 0.844 expected.
///
/// Take the low end for what must be pulled and how strong things must be, the high end for what must hold or be let
/// down. Read: eight pulleys of one text, mean 0.844, standard deviation 0.058, so that a ninth lies within ± 0.12 of it
/// nine times in ten (Delaney 2022, in notes on it); a ninth by another author has 0.842 (Pöysti 2020). All nine lie in
/// the band. The customary 0.90 is too good for seven of the eight.
pub const PULLEY: Band<f64> = Band { low: 0.73, expected: 0.844, high: 0.95 };

/// What a rope is bent over that doesn't turn: coefficients of friction, raising and lowering.
///
/// The two are not the same: one coefficient for both says too much for either, by 7 to 64 % of the pull. They also depend
/// on the wrap, the more so the less the rope is bent, which is why the bands are wide. A wet, dirty or icy rope leaves
/// them: test your own ([`RaiseLowerTest`](crate::capstan::RaiseLowerTest)).
///
/// Source: 75 kg raised and lowered on a low-stretch rope with a polyester sheath, 14 tests (Delaney 2022, read in two
/// transcriptions; the tests stand in `tests/data/bars.csv`).
///
/// ```
/// use rope_mechanics::quantity::{Angle, unit::degree};
/// use rope_mechanics::sheave::{Bar, Turn};
///
/// // Over a metal rail, a quarter turn: at most 1.38 times the load to raise it, at least 0.62 of it to hold it back.
/// let (raising, lowering) = (Bar::Metal.raising(), Bar::Metal.lowering());
/// let hardest = Turn::bar(raising.high, lowering.high)?.band(Angle::new::<degree>(90.0))?;
/// assert!((hardest.high.value - 1.38).abs() < 0.005 && (hardest.low.value - 0.62).abs() < 0.005);
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
#[non_exhaustive]
pub enum Bar {
    /// Steel and aluminium, 10 to 60 mm, quarter and half turns: eleven tests.
    Metal,
    /// Wood, flat and on edge, half turns: two tests.
    Wood,
    /// A concrete edge, a quarter turn: one test, so that the ends are only its rounding.
    Concrete,
}

impl Bar {
    /// The coefficient while the load is raised; the high end for what a haul takes.
    #[must_use]
    pub fn raising(self) -> Band<Ratio> {
        match self {
            Self::Metal => Band { low: 0.045, expected: 0.136, high: 0.205 },
            Self::Wood => Band { low: 0.195, expected: 0.238, high: 0.28 },
            Self::Concrete => Band { low: 0.37, expected: 0.374, high: 0.38 },
        }
        .map(ratio)
    }

    /// The coefficient while it is lowered or held; the low end for what must hold.
    #[must_use]
    pub fn lowering(self) -> Band<Ratio> {
        match self {
            Self::Metal => Band { low: 0.22, expected: 0.26, high: 0.305 },
            Self::Wood => Band { low: 0.47, expected: 0.492, high: 0.515 },
            Self::Concrete => Band { low: 0.5, expected: 0.504, high: 0.51 },
        }
        .map(ratio)
    }
}

/// What a rope turned over by half a turn, and how much of its tension arrived behind it.
///
/// Each is the tension behind by the tension before, hauling. Rope, diameter, load and wear move them by some
/// hundredths, and one text is the only source: measure your own where it matters.
///
/// Source: Delaney 2022, p. 90, read in notes on it.
///
/// ```
/// use rope_mechanics::quantity::{Angle, unit::degree};
/// use rope_mechanics::sheave::Measured;
///
/// // Over one bare connector 1 kN needs 1.69 kN.
/// let [connector, _] = Measured::Connector.turns();
/// assert!((connector.band(Angle::new::<degree>(180.0))?.high.value - 1.69).abs() < 0.005);
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
#[non_exhaustive]
pub enum Measured {
    /// A pulley of rescue size on ball bearings: 0.86 to 0.93.
    RescuePulley,
    /// A pulley on bushings: 0.80.
    BushedPulley,
    /// A small pulley with a progress capture in it: 0.74 to 0.88.
    CapturePulley,
    /// One bare connector: 0.59.
    Connector,
    /// Two bare connectors side by side: 0.54.
    TwoConnectors,
    /// A descender with the load on it, used as a redirect: 0.38 to 0.45.
    Descender,
}

impl Measured {
    /// Least and greatest efficiency over half a turn; the same where one figure is all there is.
    #[must_use]
    pub fn efficiency(self) -> [Ratio; 2] {
        self.range().map(ratio)
    }

    /// A turn that loses the most that was measured, for what a haul takes at worst, and one that loses the least,
    /// for what a load may pull at worst while it is let down.
    #[must_use]
    pub fn turns(self) -> [Turn; 2] {
        self.range().map(|efficiency| Turn(Kind::Sheave { efficiency }))
    }

    const fn range(self) -> [f64; 2] {
        match self {
            Self::RescuePulley => [0.86, 0.93],
            Self::BushedPulley => [0.80, 0.80],
            Self::CapturePulley => [0.74, 0.88],
            Self::Connector => [0.59, 0.59],
            Self::TwoConnectors => [0.54, 0.54],
            Self::Descender => [0.38, 0.45],
        }
    }
}
