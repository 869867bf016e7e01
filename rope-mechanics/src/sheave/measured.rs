//! What was measured of rope over pulleys, connectors and descenders.

use super::{Kind, Turn};
use crate::quantity::{Ratio, ratio};

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
