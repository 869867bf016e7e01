//! A jammed rope: how fast the force rises, and how soon it reaches a limit.

use super::{Winch, WinchError};
use crate::error::{self, InputError};
use crate::math;
use crate::quantity::{
    Energy, Force, Length, Stiffness, Time, Velocity, metres, metres_per_second, n_per_m, newtons, seconds,
};
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
    Ok(newtons(ea) / metres(length) * metres_per_second(v))
}

/// A winch that hauls against a jam: the most force that can come, and how soon.
///
/// The line slows as the force grows, v = c·(F_s − F), so that with the stiffness k of the rope
///
/// F(t) = F_s − (F_s − F₀)·e^(−k·c·t)
///
/// with the stall F_s and the speed of a gear that loses nothing, η_f = 1: nobody promises a gear's loss, and a warm,
/// run-in or back-driven one has less of it than its data sheet. So every number here lies on the side of **more
/// force, sooner**: hold [`greatest`](Self::greatest) against rope, anchors and frame. Don't count on this force to
/// break anything loose, nor on it to come.
///
/// Assumed: full speed, a linear rope whose length hardly changes meanwhile, nothing that breaks. A current limit or a
/// slipping grab ends the rise. The energy of the turning rotor comes on top: [`with_rotor`](Self::with_rotor).
///
/// ```
/// # use rope_mechanics::quantity::{ElectricCurrent, ElectricPotential, ElectricalResistance, Energy, Force, Length,
/// #     MotorConstant, Ratio, Stiffness, unit::{ampere, joule, kilonewton, milliohm, millimeter, newton, ratio, volt}};
/// # use rope_mechanics::text::Text;
/// # use rope_mechanics::winch::{Gear, Motor, Supply, Winch};
/// # let m = |x| ElectricalResistance::new::<milliohm>(x);
/// # let motor = Motor::new(MotorConstant::from_text("0.055 N·m/A")?, ElectricCurrent::new::<ampere>(6.0), m(20.0))?;
/// # let gear = Gear::new(Ratio::new::<ratio>(180.0), Ratio::new::<ratio>(0.72))?;
/// # let supply = Supply::new(ElectricPotential::new::<volt>(25.6), m(8.0), m(3.0))?;
/// # let winch = Winch::new(motor, gear, Length::new::<millimeter>(36.0), supply)?;
/// let limited = winch.with_current_limit(ElectricCurrent::new::<ampere>(30.0))?;
/// let jam = limited.jam(Stiffness::from_text("8 kN/m")?, Force::new::<newton>(2000.0))?;
/// // 0.055 N·m/A·(30 A − 6 A)·180/36 mm, whatever the gear's efficiency of 0.72 would take off.
/// assert!((jam.greatest.get::<kilonewton>() - 6.6).abs() < 1e-12);
/// // A rotor with 20 J adds √(2·8 kN/m·20 J).
/// let with_rotor = jam.with_rotor(Energy::new::<joule>(20.0))?;
/// assert!((with_rotor.greatest.get::<kilonewton>() - 7.166).abs() < 0.001);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// Source: the motor's law and a linear rope, nothing else; recomputed values, no published check.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Jam {
    /// The force when it jams.
    pub start: Force,
    /// How fast the force can rise at first. Safe side: the fastest.
    pub rate: ForceRate,
    /// Where the rise ends at the latest: at the stall, or where a current limit or a slipping grab comes first, none
    /// of the gear's loss counted. Safe side: the greatest.
    pub greatest: Force,
    stall_n: f64,
    per_s: f64,
    stiffness_n_per_m: f64,
    /// Where the rise ends without a rotor.
    held_n: f64,
    slip_n: f64,
    rotor_n: f64,
}

impl Winch {
    /// What happens when the load jams while the winch hauls: see [`Jam`].
    ///
    /// # Errors
    /// Those of [`hauling`](Self::hauling) for the pull before the jam; an input error unless the stiffness is above
    /// zero.
    pub fn jam(&self, rope: Stiffness, pull: Force) -> Result<Jam, WinchError> {
        let k = error::positive("rope_stiffness", rope)?;
        self.hauling(pull)?;
        let lossless = self.without_gear_loss();
        let v = lossless.hauling(pull)?.line_speed.value;
        let (stall_n, held_n) = (lossless.motor_stall_n(), lossless.stall().pull.value);
        Ok(Jam {
            start: pull,
            rate: n_per_m(k) * metres_per_second(v),
            greatest: newtons(held_n),
            stall_n,
            // k·c, with c = v/(F_s − F)
            per_s: k * v / (stall_n - pull.value),
            stiffness_n_per_m: k,
            held_n,
            slip_n: self.slip_n(),
            rotor_n: 0.0,
        })
    }
}

impl Jam {
    /// With the energy ½·J·ω² of the rotor and what turns with it, at the motor's speed before the jam.
    ///
    /// The rotor slows down as the force rises. Beyond the force that the motor itself can hold, all of its energy may go
    /// into the rope: ½·(F − F_held)²/k = ½·J·ω², which adds √(2·k·½·J·ω²). A current limit doesn't prevent that; a
    /// slipping grab does. Safe side: more force, so take the energy too large rather than too small.
    ///
    /// # Errors
    /// Unless the energy is at least zero.
    pub fn with_rotor(self, energy: Energy) -> Result<Self, InputError> {
        let energy_j = error::non_negative("rotor_energy", energy)?;
        // ΔF = √(2·k·½Jω²)
        let rotor_n = math::sqrt(2.0 * self.stiffness_n_per_m * energy_j);
        Ok(Self { greatest: newtons((self.held_n + rotor_n).min(self.slip_n)), rotor_n, ..self })
    }

    /// The most that the force can be so long after the jam.
    ///
    /// # Errors
    /// Unless the time is at least zero.
    pub fn force_after(&self, time: Time) -> Result<Force, InputError> {
        let t = error::non_negative("time", time)?;
        let f0 = self.start.value;
        // F = F₀ + (F_s − F₀)·(1 − e^(−k·c·t))
        let force = f0 - (self.stall_n - f0) * math::exp_m1(-self.per_s * t) + self.rotor_n;
        Ok(newtons(force.min(self.greatest.value)))
    }

    /// How soon the force can reach a limit; none if it stays below. Safe side: the soonest.
    ///
    /// # Errors
    /// Unless the limit is at least zero.
    pub fn time_to(&self, limit: Force) -> Result<Option<Time>, InputError> {
        let limit = error::non_negative("limit", limit)?;
        let f0 = self.start.value;
        if limit <= f0 + self.rotor_n {
            // With a rotor: at once, on the safe side.
            return Ok((limit <= self.greatest.value).then_some(seconds(0.0)));
        }
        let driven = limit - self.rotor_n;
        if limit > self.greatest.value || driven >= self.stall_n {
            return Ok(None);
        }
        // t = −ln(1 − (F − F₀)/(F_s − F₀))/(k·c)
        Ok(Some(seconds(-math::ln_1p(-(driven - f0) / (self.stall_n - f0)) / self.per_s)))
    }
}
