//! The gear between motor and drum.

use crate::error::{self, InputError};
use crate::quantity::{Ratio, ratio};

/// A gear: turns of the motor for one of the drum, and the share of the torque that gets through each way.
///
/// Forward, hauling: drum torque = motor torque · N · η_f. Back-driven, lowering: motor torque = drum torque · η_b/N.
/// Unless it is set, η_b = 2 − 1/η_f, which takes the same torque to be lost both ways.
///
/// At η_f ≤ 0.5 the gear does not run back under load: self-locking. That is friction, not a brake, and must never
/// be counted as one: it goes with oil, heat, shaking and wear.
///
/// Assumed: the loss is a share of the torque; idle drag belongs to the motor's no-load current.
///
/// Source: what an efficiency is, no more; that both ways lose the same torque is an assumption, no source.
///
/// ```
/// use rope_mechanics::quantity::{Ratio, unit::ratio};
/// use rope_mechanics::winch::Gear;
///
/// let gear = Gear::new(Ratio::new::<ratio>(180.0), Ratio::new::<ratio>(0.72))?;
/// assert!((gear.back_efficiency().get::<ratio>() - 0.6111).abs() < 1e-4);
/// assert!(!gear.is_self_locking());
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gear {
    ratio: f64,
    forward: f64,
    back: f64,
}

impl Gear {
    /// A gear by its ratio and its forward efficiency; back-driven by the equal-loss assumption.
    ///
    /// Planetary gears of winches: 0.70 (0.60–0.85), from memory.
    ///
    /// # Errors
    /// Unless the ratio is above zero and the efficiency from 0.01 to 1.
    pub fn new(ratio: Ratio, efficiency: Ratio) -> Result<Self, InputError> {
        let ratio = error::positive("gear_ratio", ratio)?;
        let forward = error::within("gear_efficiency", efficiency, 0.01, 1.0)?;
        // η_b = 2 − 1/η_f
        Ok(Self { ratio, forward, back: 2.0 - 1.0 / forward })
    }

    /// With a measured efficiency when the load drives; zero or below where the gear locks and must be driven down.
    ///
    /// # Errors
    /// Unless it is from −100 to 1.
    pub fn with_back_efficiency(self, efficiency: Ratio) -> Result<Self, InputError> {
        Ok(Self { back: error::within("back_efficiency", efficiency, -100.0, 1.0)?, ..self })
    }

    /// Turns of the motor for one of the drum.
    #[must_use]
    pub fn ratio(&self) -> Ratio {
        ratio(self.ratio)
    }

    /// Share of the torque that gets through when the motor drives.
    #[must_use]
    pub fn efficiency(&self) -> Ratio {
        ratio(self.forward)
    }

    /// Share of the torque that gets through when the load drives; zero or below where the gear locks.
    #[must_use]
    pub fn back_efficiency(&self) -> Ratio {
        ratio(self.back)
    }

    /// Whether the load can't turn the gear back. Never to be counted as a brake.
    #[must_use]
    pub fn is_self_locking(&self) -> bool {
        self.back <= 0.0
    }

    /// The same ratio with all of the torque.
    pub(crate) fn without_loss(self) -> Self {
        Self { forward: 1.0, back: 1.0, ..self }
    }

    pub(crate) fn n(&self) -> f64 {
        self.ratio
    }

    pub(crate) fn forward(&self) -> f64 {
        self.forward
    }

    pub(crate) fn back(&self) -> f64 {
        self.back
    }
}
