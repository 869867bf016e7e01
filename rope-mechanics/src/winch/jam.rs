//! A jammed rope: how fast the force rises, and how soon it reaches a limit.

use super::{Winch, WinchError};
use crate::error::{self, InputError};
use crate::math;
use crate::quantity::in_si;
use crate::quantity::{Force, Length, Stiffness, Time, Velocity};
use uom::si::{ISQ, Quantity, SI};
use uom::typenum::{N3, P1, Z0};

/// Force per time.
pub type ForceRate = Quantity<ISQ<P1, P1, N3, Z0, Z0, Z0, Z0>, SI<f64>, f64>;

/// How fast the force rises when a load jams and the rope keeps coming.
///
/// dF/dt = (EA/L)·v, with L the rope between winch and jam. A watch must be quicker than that: near the head, with
/// a few metres of rope left, there is no time to react.
///
/// ```
/// use rope_mechanics::quantity::{Force, Length, Velocity, unit::{kilonewton, meter, meter_per_second}};
/// use rope_mechanics::winch::jam_rate;
///
/// let rope = Force::new::<kilonewton>(40.0);
/// let speed = Velocity::new::<meter_per_second>(0.1);
/// let far = jam_rate(rope, Length::new::<meter>(40.0), speed)?;
/// let near = jam_rate(rope, Length::new::<meter>(5.0), speed)?;
/// assert!((far.value - 100.0).abs() < 1e-9); // N/s
/// assert!((near.value - 800.0).abs() < 1e-9);
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
///
/// # Errors
/// Unless stiffness and length are above zero and the speed at least zero.
pub fn jam_rate(
    axial_stiffness: Force,
    free_length: Length,
    line_speed: Velocity,
) -> Result<ForceRate, InputError> {
    let ea = error::positive("axial_stiffness", axial_stiffness)?;
    let length = error::positive("free_length", free_length)?;
    let v = error::non_negative("line_speed", line_speed)?;
    // dF/dt = (EA/L)·v
    Ok(in_si(ea / length * v))
}

/// A winch that hauls against a jam.
///
/// The line slows as the force grows, v = v₀ − c·F, so that with the stiffness k of the rope
///
/// F(t) = F_s − (F_s − F₀)·e^(−k·c·t),  F_s the stall
///
/// Assumed: full speed, a linear rope whose length hardly changes meanwhile, no energy from the turning rotor (it
/// adds to the force: at most ½Jω² goes into the rope). A current limit or a slipping grab ends the rise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Jam {
    /// The force when it jams.
    pub start: Force,
    /// How fast the force rises at first.
    pub rate: ForceRate,
    /// Where the rise ends: at the stall, or where a limit or a slipping grab comes first.
    pub greatest: Force,
    stall: f64,
    per_s: f64,
}

impl Winch {
    /// What happens when the load jams while the winch hauls: see [`Jam`].
    ///
    /// # Errors
    /// Those of [`hauling`](Self::hauling) for the pull before the jam; an input error unless the stiffness is above
    /// zero.
    pub fn jam(&self, rope: Stiffness, pull: Force) -> Result<Jam, WinchError> {
        let k = error::positive("rope_stiffness", rope)?;
        let v = self.hauling(pull)?.line_speed.value;
        let stall = self.motor_stall_n();
        Ok(Jam {
            start: pull,
            rate: in_si(k * v),
            greatest: self.stall().pull,
            stall,
            // k·c, with c = v/(F_s − F)
            per_s: k * v / (stall - pull.value),
        })
    }
}

impl Jam {
    /// The force so long after the jam.
    ///
    /// # Errors
    /// Unless the time is at least zero.
    pub fn force_after(&self, time: Time) -> Result<Force, InputError> {
        let t = error::non_negative("time", time)?;
        let f0 = self.start.value;
        // F = F₀ + (F_s − F₀)·(1 − e^(−k·c·t))
        let force = f0 - (self.stall - f0) * math::exp_m1(-self.per_s * t);
        Ok(in_si(force.min(self.greatest.value)))
    }

    /// How long it takes until the force reaches a limit; none if it stays below.
    ///
    /// # Errors
    /// Unless the limit is at least zero.
    pub fn time_to(&self, limit: Force) -> Result<Option<Time>, InputError> {
        let limit = error::non_negative("limit", limit)?;
        let f0 = self.start.value;
        if limit <= f0 {
            return Ok(Some(in_si(0.0)));
        }
        if limit > self.greatest.value || limit >= self.stall {
            return Ok(None);
        }
        // t = −ln(1 − (F − F₀)/(F_s − F₀))/(k·c)
        Ok(Some(in_si(-math::ln_1p(-(limit - f0) / (self.stall - f0)) / self.per_s)))
    }
}
