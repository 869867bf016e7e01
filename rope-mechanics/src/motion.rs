//! Which way a load moves.

use crate::quantity::Band;

/// What the rope is doing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
pub enum Motion {
    /// The load comes towards the hand, winch or capstan.
    Hauling,
    /// The load goes away from it.
    Lowering,
    /// Nothing moves. Friction holds somewhere between the two.
    AtRest,
}

impl Motion {
    /// What this motion leaves of a band of friction: its high end while hauling, its low end while lowering, all of it
    /// at rest.
    ///
    /// ```
    /// use rope_mechanics::motion::Motion;
    /// use rope_mechanics::quantity::{Angle, Band, Ratio, unit::{degree, percent}};
    /// use rope_mechanics::sheave::Turn;
    ///
    /// let band = Turn::sheave(Ratio::new::<percent>(80.0))?.band(Angle::new::<degree>(180.0))?;
    /// assert_eq!(Motion::Hauling.of(band), Band::exact(band.high));
    /// assert_eq!(Motion::AtRest.of(band), band);
    /// # Ok::<(), rope_mechanics::error::InputError>(())
    /// ```
    #[must_use]
    pub const fn of<Q: Copy>(self, band: Band<Q>) -> Band<Q> {
        match self {
            Self::Hauling => Band::exact(band.high),
            Self::Lowering => Band::exact(band.low),
            Self::AtRest => band,
        }
    }
}
