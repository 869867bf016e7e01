//! Wooden poles against the limits of a rigging manual.

use super::{Frame, FrameError};
use crate::error;
use crate::math;
use crate::quantity::{Length, Ratio, ratio};
use core::f64::consts::FRAC_PI_4;

/// How many times its least thickness a pole may be long.
const SLENDEREST: f64 = 60.0;
/// What a leg of shears or a tripod may bear, by what a gin pole of its size does.
const SHARED: f64 = 7.0 / 8.0;
/// A pole just at a limit may come out a rounding beyond it.
const ROUNDING: f64 = 1e-12;

impl Frame {
    /// The share of a wooden gin pole's tabulated capacity that each leg may bear, all of them as thick as this where
    /// they are thinnest: 1 for a gin pole, 7/8 for a leg of shears or a tripod.
    ///
    /// The table is the manual's or the maker's; give the capacity times this share to
    /// [`Leg::with_strength`](super::Leg::with_strength). Poles outside the limits are refused: longer than 60 times
    /// their least thickness, or a gin pole that leans by more than 45°.
    ///
    /// Source: US Navy Steelworker manual, chapter on rigging (read; public domain). For sound wooden poles only.
    ///
    /// # Errors
    /// Unless the thickness is above zero; [`FrameError::Slender`]; [`FrameError::Leans`].
    ///
    /// ```
    /// use rope_mechanics::frame::{Frame, FrameError, Leg};
    /// use rope_mechanics::geometry::Point3;
    /// use rope_mechanics::quantity::{Length, unit::{foot, inch}};
    ///
    /// let ft = Length::new::<foot>;
    /// let at = |x, y, z| Point3::new(ft(x), ft(y), ft(z));
    /// let shears = Frame::new(at(0.0, 0.0, 24.0), &[Leg::new(at(0.0, 6.0, 0.0))?, Leg::new(at(0.0, -6.0, 0.0))?], &[])?;
    /// assert_eq!(shears.pole_share(Length::new::<inch>(6.0))?.value, 0.875);
    /// assert!(matches!(shears.pole_share(Length::new::<inch>(4.0)), Err(FrameError::Slender { .. })));
    /// # Ok::<(), FrameError>(())
    /// ```
    pub fn pole_share(&self, least_thickness: Length) -> Result<Ratio, FrameError> {
        let most_m = SLENDEREST * error::positive("least_thickness", least_thickness)?;
        for (index, leg) in self.legs.iter().enumerate() {
            let length_m = math::sqrt((self.head_m - leg.foot_m).norm_squared());
            if length_m > most_m * (1.0 + ROUNDING) {
                return Err(FrameError::Slender { index, length_m, most_m });
            }
        }
        if self.legs.len() > 1 {
            return Ok(ratio(SHARED));
        }
        for leg in self.legs.iter() {
            let run = self.head_m - leg.foot_m;
            let lean_rad = math::atan2(math::hypot(run.x, run.y), run.z);
            if lean_rad > FRAC_PI_4 * (1.0 + ROUNDING) {
                return Err(FrameError::Leans { lean_rad });
            }
        }
        Ok(ratio(1.0))
    }
}
