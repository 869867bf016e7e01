//! A vehicle as an anchor, on its brakes.

use super::AnchorError;
use crate::error::{self, InputError};
use crate::math;
use crate::quantity::{Angle, Force, Mass, Ratio, newtons, ratio, weight_of};
use core::f64::consts::FRAC_PI_2;

/// What the braked wheels stand on, with a coefficient of friction for locked tyres.
///
/// Each is the low end of the range printed for that surface: don't count on more where a vehicle must hold. Read in a table of tyre friction; real ones scatter by a third or more, and a thin film of mud, sand or ice
/// changes everything.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
#[non_exhaustive]
pub enum Surface {
    /// 0.7, of 0.7–0.8
    AsphaltDry,
    /// 0.45, of 0.45–0.55
    AsphaltWet,
    /// 0.4, of 0.4–0.5
    GravelWet,
    /// Packed. 0.25, of 0.25–0.35
    Snow,
    /// 0.15, of 0.15–0.25
    EarthWet,
    /// 0.05, of 0.05–0.15
    Ice,
}

impl Surface {
    /// The coefficient of friction.
    #[must_use]
    pub fn friction(self) -> Ratio {
        ratio(match self {
            Self::AsphaltDry => 0.7,
            Self::AsphaltWet => 0.45,
            Self::GravelWet => 0.4,
            Self::Snow => 0.25,
            Self::EarthWet => 0.15,
            Self::Ice => 0.05,
        })
    }
}

/// A vehicle with its brakes set, pulled along the road by a rope.
///
/// F = m·g·(μ·cos γ − sin γ) / (cos δ + μ·sin δ)
///
/// γ is the grade, positive where the pull is downhill; δ the rise of the rope over the road, which lightens the
/// vehicle. This is the pull at which it begins to slide; chocks, tipping and the strength of the point it is
/// tied to are left out.
///
/// Assumed: all wheels braked and weight spread evenly, unless a share is given: then μ times the share stands
/// for μ. A parking brake often holds one axle only.
///
/// ```
/// use rope_mechanics::anchor::{Surface, Vehicle};
/// use rope_mechanics::quantity::{Angle, Mass, unit::{degree, kilogram, kilonewton, radian}};
///
/// let truck = Vehicle::new(Mass::new::<kilogram>(12_000.0), Surface::GravelWet.friction())?
///     .with_grade(Angle::new::<radian>(0.06_f64.atan()))?
///     .with_rope_rise(Angle::new::<degree>(10.0))?;
/// assert!((truck.holds()?.get::<kilonewton>() - 37.88).abs() < 0.005);
/// # Ok::<(), rope_mechanics::anchor::AnchorError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vehicle {
    weight_n: f64,
    friction: f64,
    grade: f64,
    rise: f64,
    braked: f64,
}

impl Vehicle {
    /// A vehicle on a level road, pulled level, with all wheels braked.
    ///
    /// # Errors
    /// Unless the mass is above zero and the friction from 0 to 2.
    pub fn new(mass: Mass, friction: Ratio) -> Result<Self, InputError> {
        error::positive("mass", mass)?;
        Ok(Self {
            weight_n: weight_of(mass).value,
            friction: error::within("friction", friction, 0.0, 2.0)?,
            grade: 0.0,
            rise: 0.0,
            braked: 1.0,
        })
    }

    /// The same vehicle on a grade, positive where the rope pulls downhill. A grade of 6 % is an angle of atan 0.06.
    ///
    /// # Errors
    /// Unless from −60° to 60°.
    pub fn with_grade(mut self, grade: Angle) -> Result<Self, InputError> {
        let steepest = core::f64::consts::FRAC_PI_3;
        self.grade = error::within("grade", grade, -steepest, steepest)?;
        Ok(self)
    }

    /// The same vehicle with a rope that rises from it at this angle to the road; negative for one that falls.
    ///
    /// # Errors
    /// Unless from −90° to 90°.
    pub fn with_rope_rise(mut self, rise: Angle) -> Result<Self, InputError> {
        self.rise = error::within("rope_rise", rise, -FRAC_PI_2, FRAC_PI_2)?;
        Ok(self)
    }

    /// The same vehicle with this share of its weight on braked wheels.
    ///
    /// # Errors
    /// Unless from 0 to 1.
    pub fn with_braked_share(mut self, share: Ratio) -> Result<Self, InputError> {
        self.braked = error::within("braked_share", share, 0.0, 1.0)?;
        Ok(self)
    }

    /// The pull at which it begins to slide.
    ///
    /// # Errors
    /// [`AnchorError::Slides`] if it doesn't stand by itself, towards the rope or away from it, which is unless
    /// μ·cos γ > |sin γ|: a runaway is no anchor, however hard its rope must pull it up the grade.
    /// [`AnchorError::NoSliding`] if the rope pulls it onto the road so steeply that it never slides.
    pub fn holds(&self) -> Result<Force, AnchorError> {
        let friction = self.friction * self.braked;
        // μ·cos γ > |sin γ|
        let (holds, runs) = (friction * math::cos(self.grade), math::sin(self.grade));
        if holds <= runs.abs() {
            return Err(AnchorError::Slides { grade_rad: self.grade, friction });
        }
        // μ·cos γ − sin γ
        let grip = holds - runs;
        // cos δ + μ·sin δ
        let lever = math::cos(self.rise) + friction * math::sin(self.rise);
        if lever <= 0.0 {
            return Err(AnchorError::NoSliding { rise_rad: self.rise });
        }
        Ok(newtons(self.weight_n * grip / lever))
    }
}
