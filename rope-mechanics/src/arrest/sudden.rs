//! A load that is being lowered is stopped at once.

use super::pieces::Pieces;
use super::{Arrest, ArrestError, DeviceState, certified};
use crate::error::{InputError, SolveReport, non_negative, positive};
use crate::quantity::{
    Force, Length, STANDARD_GRAVITY_M_PER_S2 as G, Velocity, metres, newtons, unit::meter_per_second,
};
use crate::rope::Stretch;

/// A load that hangs on a rope, or on several end to end, and is being lowered: the rope is locked at once.
///
/// Assumed: the load moves at a steady speed v, its whole weight W on a weightless rope. From the strains at rest the
/// pieces of rope take up what moves:
///
/// ½m·v² = Σ Lᵢ·∫(Tᵢ − W) dε,  m = W/g
///
/// under the peak force, which is the same in all of them. Linear pieces are one spring of 1/k = Σ Lᵢ/EAᵢ, and give
///
/// F = W + v·√(m·k)
///
/// ```
/// use rope_mechanics::arrest::SuddenStop;
/// use rope_mechanics::quantity::{Force, Length, Mass, Velocity, weight_of};
/// use rope_mechanics::quantity::unit::{kilogram, kilonewton, meter, meter_per_second};
/// use rope_mechanics::rope::Stretch;
///
/// let litter = weight_of(Mass::new::<kilogram>(250.0));
/// let rope = Stretch::linear(Force::new::<kilonewton>(80.0))?;
/// let at = |length| {
///     SuddenStop::new(litter, Velocity::new::<meter_per_second>(0.5), Length::new::<meter>(length), rope)
/// };
/// // The shorter the rope that is out, the harder the stop; a soft piece in it makes it gentler.
/// let near = at(5.0)?.arrest()?;
/// assert!(near.peak_force > at(40.0)?.arrest()?.peak_force);
/// let soft = Stretch::linear(Force::new::<kilonewton>(20.0))?;
/// let gentler = at(5.0)?.with_in_series(soft, Length::new::<meter>(2.0))?.arrest()?;
/// assert!(gentler.peak_force < near.peak_force);
/// # Ok::<(), rope_mechanics::arrest::ArrestError>(())
/// ```
///
/// Source: energy balance; the kinetic part is problem 4.18 of Bansal, Strength of Materials, ch. 4.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SuddenStop {
    weight_n: f64,
    speed_m_per_s: f64,
    rope: Pieces,
}

impl SuddenStop {
    /// A stop by the weight of the load, the speed at which it is lowered, the unstretched rope that is out, and the
    /// stretch of the rope in a fall.
    ///
    /// # Errors
    /// Unless the weight is above zero, the speed at least zero and the rope at least a millimetre long.
    pub fn new(weight: Force, speed: Velocity, length: Length, stretch: Stretch) -> Result<Self, InputError> {
        Ok(Self {
            weight_n: positive("weight", weight)?,
            speed_m_per_s: non_negative("speed", speed)?,
            rope: Pieces::one(length, stretch)?,
        })
    }

    /// Adds another piece of rope end to end with the first, which stretches in its own way: a lanyard, a sling,
    /// the rest of the rope beyond a knot to another one. Their order makes no difference.
    ///
    /// # Errors
    /// Unless the piece is at least a millimetre long; if there are [`MOST_PIECES`](super::MOST_PIECES) already.
    pub fn with_in_series(self, stretch: Stretch, length: Length) -> Result<Self, InputError> {
        Ok(Self { rope: self.rope.and(length, stretch)?, ..self })
    }

    /// How the load is stopped. The stopping distance counts from where the rope is locked, the elongation from the
    /// unstretched length.
    ///
    /// # Errors
    /// [`ArrestError::Unsolved`] if the energy balance doesn't close to its promised residual.
    pub fn arrest(&self) -> Result<Arrest, ArrestError> {
        let Self { weight_n, speed_m_per_s, rope } = *self;
        // ½m·v²
        let kinetic_j = 0.5 * weight_n / G * speed_m_per_s * speed_m_per_s;
        // Σ Lᵢ·∫(Tᵢ − W) dε = ½m·v²
        let stopped = rope.beyond(weight_n).stop(0.0, kinetic_j);
        let left_j = (stopped.energy_j - kinetic_j).abs();
        let residual = if kinetic_j > 0.0 { certified(left_j / kinetic_j)? } else { 0.0 };
        Ok(Arrest {
            peak_force: newtons(weight_n + stopped.peak_n),
            elongation: metres(rope.elongation_m(weight_n) + stopped.elongation_m),
            slip: metres(0.0),
            device: DeviceState::Idle,
            stopping_distance: metres(stopped.elongation_m),
            total_drop: metres(stopped.elongation_m),
            speed: Velocity::new::<meter_per_second>(speed_m_per_s),
            report: SolveReport::new(stopped.steps, residual),
        })
    }
}
