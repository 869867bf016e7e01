//! Motor, gear, radius and supply together, at steady state.

use super::{Gear, Motor, Supply, WinchError};
use crate::error::{self, InputError, SolveReport};
use crate::math;
use crate::motion::Motion;
use crate::quantity::{
    ElectricCurrent, ElectricPotential, ElectricalResistance, Force, Length, Power, Ratio, Torque,
    TurningSpeed, Velocity, amperes, metres, metres_per_second, newton_metres, newtons, radians_per_second,
    volts, watts,
};

/// How well V_oc·I = losses + F·v must close, by its largest term. Rounding leaves some 1e-15 of a winch.
const CERTIFIED: f64 = 1e-9;

/// A winch with a permanent-magnet motor, its gear, the radius at which its rope runs, and its supply.
///
/// Hauling: I = I0 + F·r/(N·η_f·kt). Lowering, driven out by the motor: I = I0 − F·r·η_b/(N·kt), which turns
/// negative where the load drives and the battery is charged. Both: ω = (V_oc − I·ΣR)/kt, v = ω·r/N.
///
/// Assumed: everything turns steadily, the rope neither slips nor climbs, the brake is off. Starting, a motor
/// takes up to its stall current for a moment.
///
/// **Caution.** A winch built for pulling may be barred by its own standard from lifting people: ask its maker.
///
/// ```
/// use rope_mechanics::quantity::{
///     ElectricCurrent, ElectricPotential, ElectricalResistance, Force, Length, MotorConstant, Ratio,
///     unit::{ampere, meter_per_second, milliohm, millimeter, newton, ratio, volt},
/// };
/// use rope_mechanics::text::Text;
/// use rope_mechanics::winch::{Gear, Motor, Supply, Winch};
///
/// let milliohms = |x| ElectricalResistance::new::<milliohm>(x);
/// let motor = Motor::new(
///     MotorConstant::from_text("0.055 N·m/A")?,
///     ElectricCurrent::new::<ampere>(6.0),
///     milliohms(20.0),
/// )?;
/// let gear = Gear::new(Ratio::new::<ratio>(180.0), Ratio::new::<ratio>(0.72))?;
/// let supply = Supply::new(ElectricPotential::new::<volt>(25.6), milliohms(8.0), milliohms(3.0))?;
/// let winch = Winch::new(motor, gear, Length::new::<millimeter>(36.0), supply)?;
///
/// let state = winch.hauling(Force::new::<newton>(2000.0))?;
/// assert!((state.current.get::<ampere>() - 16.10).abs() < 0.005);
/// assert!((state.line_speed.get::<meter_per_second>() - 0.0913).abs() < 5e-5);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Winch {
    motor: Motor,
    gear: Gear,
    radius: f64,
    supply: Supply,
    current_limit: f64,
    slip: f64,
}

/// A winch at work.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct WinchState {
    /// The pull of the rope where it leaves the winch.
    pub pull: Force,
    /// Whether the winch hauls or lowers.
    pub motion: Motion,
    /// The current drawn from the battery; negative while the load drives the winch and charges it.
    ///
    /// Where a controller or fuse blocks that current, the voltage rises instead.
    pub current: ElectricCurrent,
    /// The current in the motor: the battery's at full speed, more where a controller holds the speed down.
    pub motor_current: ElectricCurrent,
    /// The voltage at the end of the leads, at the motor or controller.
    pub terminal_voltage: ElectricPotential,
    /// The voltage at the battery's posts.
    pub battery_voltage: ElectricPotential,
    /// The speed of the motor, at least zero in either direction.
    pub motor_speed: TurningSpeed,
    /// The torque at the motor's shaft, positive in the direction of turning; negative while the load drives it.
    pub motor_torque: Torque,
    /// The speed of the rope, at least zero in either direction.
    pub line_speed: Velocity,
    /// The power that the battery gives up: V_oc·I.
    pub electrical_power: Power,
    /// The power that the rope takes up: F·v hauling, −F·v lowering.
    pub mechanical_power: Power,
    /// Where the difference of the two powers goes.
    pub losses: PowerLosses,
    /// The residual of V_oc·I = losses + F·v.
    pub report: SolveReport,
}

impl WinchState {
    /// The mechanical power divided by the electrical one, hauling; none lowering, where it has no meaning.
    #[must_use]
    pub fn efficiency(&self) -> Option<Ratio> {
        (self.motion == Motion::Hauling && self.electrical_power.value > 0.0)
            .then(|| self.mechanical_power / self.electrical_power)
    }
}

/// The losses of a winch: the power that doesn't reach the rope.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct PowerLosses {
    /// The loss inside the battery: I²·R.
    pub battery: Power,
    /// The loss in the leads: I²·R.
    pub leads: Power,
    /// The loss in the winding: I²·R of the motor's current.
    pub winding: Power,
    /// The idle drag of the motor: kt·I0·ω.
    pub idle: Power,
    /// The loss in the gear, in proportion to F·v.
    pub gear: Power,
}

impl PowerLosses {
    /// The sum of all losses.
    #[must_use]
    pub fn total(&self) -> Power {
        self.battery + self.leads + self.winding + self.idle + self.gear
    }
}

/// A winch with its rotor locked: what a jammed rope gets.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Stall {
    /// The current in the stalled motor, which burns the winding in seconds.
    pub current: ElectricCurrent,
    /// The pull on the rope.
    pub pull: Force,
    /// The pull if the gear lost nothing. Check anchors, frame and rope against this one, since nobody guarantees the
    /// loss; the energy of the turning rotor comes on top.
    pub pull_without_gear_loss: Force,
    /// What keeps the pull from growing further.
    pub bound: Bound,
}

/// What bounds the pull of a jammed winch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
pub enum Bound {
    /// Nothing but the motor's own stall. Far above the rated pull: rope and anchors go first.
    Stall,
    /// The limit of the controller or fuse.
    CurrentLimit,
    /// A slipping grab or clutch.
    Slip,
}

/// What it takes to keep a load still with the motor alone, the brake off.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct HoldingCurrent {
    /// Below this motor current the load runs back; zero where friction alone seems to hold it, which is never to
    /// be counted as a brake.
    pub least: ElectricCurrent,
    /// Above this motor current the load comes up.
    pub most: ElectricCurrent,
}

impl Winch {
    /// A winch whose rope runs at this radius: from the axis to the middle of the rope.
    ///
    /// # Errors
    /// Unless the radius is above zero.
    pub fn new(motor: Motor, gear: Gear, radius: Length, supply: Supply) -> Result<Self, InputError> {
        let radius = error::positive("winch_radius", radius)?;
        Ok(Self { motor, gear, radius, supply, current_limit: f64::INFINITY, slip: f64::INFINITY })
    }

    /// The same winch with its rope at another radius: another layer of its drum.
    ///
    /// # Errors
    /// Unless the radius is above zero.
    pub fn with_radius(self, radius: Length) -> Result<Self, InputError> {
        Ok(Self { radius: error::positive("winch_radius", radius)?, ..self })
    }

    /// The same winch on another supply, or on its own at another state of charge.
    #[must_use]
    pub const fn with_supply(self, supply: Supply) -> Self {
        Self { supply, ..self }
    }

    /// The same winch with another motor, or with its own at another temperature.
    #[must_use]
    pub const fn with_motor(self, motor: Motor) -> Self {
        Self { motor, ..self }
    }

    /// With a controller or fuse that lets no more than this through the motor.
    ///
    /// # Errors
    /// Unless the limit is above zero.
    pub fn with_current_limit(self, limit: ElectricCurrent) -> Result<Self, InputError> {
        Ok(Self { current_limit: error::positive("current_limit", limit)?, ..self })
    }

    /// With a grab or clutch that slips at this force.
    ///
    /// # Errors
    /// Unless the force is above zero.
    pub fn with_slip(self, force: Force) -> Result<Self, InputError> {
        Ok(Self { slip: error::positive("slip_force", force)?, ..self })
    }

    /// The motor.
    #[must_use]
    pub const fn motor(&self) -> Motor {
        self.motor
    }

    /// The gear.
    #[must_use]
    pub const fn gear(&self) -> Gear {
        self.gear
    }

    /// The supply.
    #[must_use]
    pub const fn supply(&self) -> Supply {
        self.supply
    }

    /// From the axis to the middle of the rope.
    #[must_use]
    pub fn radius(&self) -> Length {
        metres(self.radius)
    }

    /// The winch hauling at full speed.
    ///
    /// Range: a pull from zero up to the stall.
    ///
    /// # Errors
    /// [`WinchError::BeyondStall`], [`BeyondCurrentLimit`](WinchError::BeyondCurrentLimit) or
    /// [`Slips`](WinchError::Slips) where the pull is more than the winch moves;
    /// [`PowerUnsolved`](WinchError::PowerUnsolved) for constants of no winch; an input error unless the pull is finite
    /// and at least zero.
    pub fn hauling(&self, pull: Force) -> Result<WinchState, WinchError> {
        self.turning(pull, Turning::Haul, None)
    }

    /// The winch hauling at a speed that a controller holds.
    ///
    /// The controller is taken to lose nothing: V_m·I_m = V·I with the motor's voltage V_m = I_m·R + kt·ω.
    ///
    /// # Errors
    /// Those of [`hauling`](Self::hauling); [`WinchError::TooFast`] above full speed; an input error unless the
    /// speed is above zero.
    pub fn hauling_at(&self, pull: Force, speed: Velocity) -> Result<WinchState, WinchError> {
        let speed = error::positive("line_speed", speed)?;
        self.turning(pull, Turning::Haul, Some(speed))
    }

    /// The winch driving the rope out at full speed, the load helping.
    ///
    /// Where the load drives, it runs faster than without load and charges the battery.
    ///
    /// A winch with a brake that its load sets (most vehicle winches) drags that brake all the way down: it takes
    /// more current than this, and heats.
    ///
    /// # Errors
    /// [`WinchError::CannotPayOut`] where the gear locks so hard that the motor can't drive it;
    /// [`BeyondCurrentLimit`](WinchError::BeyondCurrentLimit) and [`Slips`](WinchError::Slips), where the load
    /// would run; an input error unless the pull is finite and at least zero.
    pub fn lowering(&self, pull: Force) -> Result<WinchState, WinchError> {
        self.turning(pull, Turning::Lower, None)
    }

    /// The winch driving the rope out at a speed that a controller holds, losing nothing in it.
    ///
    /// # Errors
    /// Those of [`lowering`](Self::lowering); [`WinchError::TooFast`] above full speed; [`WinchError::TooSlow`] where
    /// holding the load back at this speed takes more power than the battery has; an input error unless the speed is
    /// above zero.
    pub fn lowering_at(&self, pull: Force, speed: Velocity) -> Result<WinchState, WinchError> {
        let speed = error::positive("line_speed", speed)?;
        self.turning(pull, Turning::Lower, Some(speed))
    }

    /// The load turning the winch, the motor cut off from the battery and closed over a resistor: how fast it runs.
    ///
    /// I = F·r·η_b/(N·kt) − I0,  ω = I·(R + R_resistor)/kt
    ///
    /// Losses in the resistor stand under `leads`. Zero ohms is the motor shorted, the slowest it can run. It
    /// never stops the load: only a brake does.
    ///
    /// # Errors
    /// [`WinchError::DoesNotRunBack`] where the load is too light or the gear locks; those of the limits as in
    /// [`lowering`](Self::lowering); an input error unless pull and resistance are finite and at least zero.
    pub fn running_back(
        &self,
        pull: Force,
        resistor: ElectricalResistance,
    ) -> Result<WinchState, WinchError> {
        let f = error::non_negative("pull", pull)?;
        let extra = error::non_negative("resistor", resistor)?;
        let torque = f * self.radius * self.gear.back() / self.gear.n();
        let (kt, i0) = (self.motor.kt(), self.motor.i0_a());
        let i = torque / kt - i0;
        if i <= 0.0 {
            let needed = if self.gear.is_self_locking() {
                f64::INFINITY
            } else {
                i0 * kt * self.gear.n() / (self.radius * self.gear.back())
            };
            return Err(WinchError::DoesNotRunBack { pull: f, needed });
        }
        self.within_limits(f, i)?;
        // ω = I·(R + R_resistor)/kt
        let w = i * (self.motor.r_ohm() + extra) / kt;
        let drawn = Currents { battery: 0.0, motor: -i, lead_loss: i * i * extra };
        self.state(f, Turning::Lower, drawn, w, i * extra)
    }

    /// The motor's current at which a load neither comes nor goes, the brake off.
    ///
    /// F·r·η_b/(N·kt) − I0 ≤ I ≤ F·r/(N·η_f·kt) + I0
    ///
    /// # Errors
    /// Those of the limits as in [`hauling`](Self::hauling), for the least current; an input error unless the pull
    /// is finite and at least zero.
    pub fn holding(&self, pull: Force) -> Result<HoldingCurrent, WinchError> {
        let f = error::non_negative("pull", pull)?;
        let i0 = self.motor.i0_a();
        let least = (f * self.amperes_per_newton(Turning::Lower) - i0).max(0.0);
        if least > self.motor_stall_a() {
            return Err(WinchError::BeyondStall { pull: f, stall: self.motor_stall_n() });
        }
        self.within_limits(f, least)?;
        Ok(HoldingCurrent {
            least: amperes(least),
            most: amperes(i0 + f * self.amperes_per_newton(Turning::Haul)),
        })
    }

    /// The winch with its rotor locked: what a jammed rope gets, and what bounds it.
    ///
    /// I = V_oc/ΣR,  F = kt·(I − I0)·N·η_f/r, or less where a limit or a slipping grab comes first.
    ///
    /// ```
    /// # use rope_mechanics::quantity::{ElectricCurrent, ElectricPotential, ElectricalResistance, Force, Length,
    /// #     MotorConstant, Ratio, unit::{ampere, kilonewton, milliohm, millimeter, ratio, volt}};
    /// # use rope_mechanics::text::Text;
    /// # use rope_mechanics::winch::{Bound, Gear, Motor, Supply, Winch};
    /// # let m = |x| ElectricalResistance::new::<milliohm>(x);
    /// # let motor = Motor::new(MotorConstant::from_text("0.055 N·m/A")?, ElectricCurrent::new::<ampere>(6.0), m(20.0))?;
    /// # let gear = Gear::new(Ratio::new::<ratio>(180.0), Ratio::new::<ratio>(0.72))?;
    /// # let supply = Supply::new(ElectricPotential::new::<volt>(25.6), m(8.0), m(3.0))?;
    /// # let winch = Winch::new(motor, gear, Length::new::<millimeter>(36.0), supply)?;
    /// let jammed = winch.stall();
    /// assert!(jammed.pull.get::<kilonewton>() > 160.0); // the rope breaks long before
    /// assert_eq!(jammed.bound, Bound::Stall);
    ///
    /// let jammed = winch.with_slip(Force::new::<kilonewton>(6.0))?.stall();
    /// assert_eq!((jammed.pull.get::<kilonewton>(), jammed.bound), (6.0, Bound::Slip));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn stall(&self) -> Stall {
        let motor = self.motor_stall_a();
        let (i, bound) = if self.current_limit < motor {
            (self.current_limit, Bound::CurrentLimit)
        } else {
            (motor, Bound::Stall)
        };
        let (pull, lossless) = (self.pull_at(i), self.without_gear_loss().pull_at(i));
        if self.slip < pull {
            let i = self.motor.i0_a() + self.slip * self.amperes_per_newton(Turning::Haul);
            return Stall {
                current: amperes(i),
                pull: newtons(self.slip),
                pull_without_gear_loss: newtons(self.slip),
                bound: Bound::Slip,
            };
        }
        Stall {
            current: amperes(i),
            pull: newtons(pull),
            pull_without_gear_loss: newtons(lossless.min(self.slip)),
            bound,
        }
    }

    fn total_ohm(&self) -> f64 {
        self.motor.r_ohm() + self.supply.r_battery() + self.supply.r_leads()
    }

    /// The motor's own stall, without limits: its current.
    pub(crate) fn motor_stall_a(&self) -> f64 {
        self.supply.v() / self.total_ohm()
    }

    /// What controller or fuse let through the motor; infinite without one.
    pub(crate) fn current_limit_a(&self) -> f64 {
        self.current_limit
    }

    /// Where a grab or clutch slips; infinite without one.
    pub(crate) fn slip_n(&self) -> f64 {
        self.slip
    }

    /// The motor's own stall, without limits: its pull.
    pub(crate) fn motor_stall_n(&self) -> f64 {
        self.pull_at(self.motor_stall_a())
    }

    /// The same winch with a gear that loses nothing.
    pub(crate) fn without_gear_loss(self) -> Self {
        Self { gear: self.gear.without_loss(), ..self }
    }

    /// The pull that a motor current hauls; zero below the current without load.
    fn pull_at(&self, i: f64) -> f64 {
        // F = kt·(I − I0)·N·η_f/r
        (i - self.motor.i0_a()).max(0.0) / self.amperes_per_newton(Turning::Haul)
    }

    /// Motor current for each newton of pull: above that without load hauling, below it lowering.
    pub(crate) fn amperes_per_newton(&self, way: Turning) -> f64 {
        let through = match way {
            Turning::Haul => 1.0 / self.gear.forward(),
            Turning::Lower => self.gear.back(),
        };
        self.radius * through / (self.gear.n() * self.motor.kt())
    }

    fn within_limits(&self, pull: f64, current: f64) -> Result<(), WinchError> {
        if pull > self.slip {
            return Err(WinchError::Slips { pull, slip: self.slip });
        }
        if current.abs() > self.current_limit {
            return Err(WinchError::BeyondCurrentLimit { pull, current, limit: self.current_limit });
        }
        Ok(())
    }

    fn turning(&self, pull: Force, way: Turning, speed: Option<f64>) -> Result<WinchState, WinchError> {
        let f = error::non_negative("pull", pull)?;
        let kt = self.motor.kt();
        // I = I0 + F·r/(N·η_f·kt) hauling, I0 − F·r·η_b/(N·kt) lowering
        let i = match way {
            Turning::Haul => self.motor.i0_a() + f * self.amperes_per_newton(way),
            Turning::Lower => self.motor.i0_a() - f * self.amperes_per_newton(way),
        };
        // ω = (V_oc − I·ΣR)/kt
        let full = (self.supply.v() - i * self.total_ohm()) / kt;
        if full <= 0.0 {
            return Err(match way {
                Turning::Haul => WinchError::BeyondStall { pull: f, stall: self.motor_stall_n() },
                Turning::Lower => {
                    WinchError::CannotPayOut { pull: f, current: i, stall: self.motor_stall_a() }
                }
            });
        }
        self.within_limits(f, i)?;
        let w = match speed {
            None => full,
            Some(v) => {
                let w = v * self.gear.n() / self.radius;
                // A speed read off an earlier answer must not fail by its last bit.
                if w > full * (1.0 + 4.0 * f64::EPSILON) {
                    let greatest = full * self.radius / self.gear.n();
                    return Err(WinchError::TooFast { speed: v, pull: f, greatest });
                }
                w
            }
        };
        let battery = match speed {
            None => i,
            Some(_) => {
                // P = V_m·I,  V_m = I·R + kt·ω;  V_oc·I_b − I_b²·R_s = P, the smaller root
                let p = (i * self.motor.r_ohm() + kt * w) * i;
                let (v, r) = (self.supply.v(), self.supply.r_battery() + self.supply.r_leads());
                // P ≤ V_oc²/(4·R_s), which at full speed may just be reached.
                let within = v * v - 4.0 * p * r;
                if within < -1e-12 * v * v {
                    return Err(WinchError::TooSlow {
                        speed: w * self.radius / self.gear.n(),
                        pull: f,
                        power: p,
                        greatest: v * v / (4.0 * r),
                    });
                }
                2.0 * p / (v + math::sqrt(within.max(0.0)))
            }
        };
        let drawn = Currents { battery, motor: i, lead_loss: battery * battery * self.supply.r_leads() };
        let terminals = self.supply.v() - battery * (self.supply.r_battery() + self.supply.r_leads());
        self.state(f, way, drawn, w, terminals)
    }

    fn state(
        &self,
        f: f64,
        way: Turning,
        drawn: Currents,
        w: f64,
        terminals: f64,
    ) -> Result<WinchState, WinchError> {
        let v = w * self.radius / self.gear.n();
        let electrical = self.supply.v() * drawn.battery;
        let (mechanical, gear) = match way {
            // hauling, the gear takes F·v·(1/η_f − 1); lowering, F·v·(1 − η_b)
            Turning::Haul => (f * v, f * v * (1.0 / self.gear.forward() - 1.0)),
            Turning::Lower => (-f * v, f * v * (1.0 - self.gear.back())),
        };
        let losses = PowerLosses {
            battery: watts(drawn.battery * drawn.battery * self.supply.r_battery()),
            leads: watts(drawn.lead_loss),
            winding: watts(drawn.motor * drawn.motor * self.motor.r_ohm()),
            idle: watts(self.motor.kt() * self.motor.i0_a() * w),
            gear: watts(gear),
        };
        // V_oc·I = losses + F·v
        let open = electrical - losses.total().value - mechanical;
        let largest = electrical.abs().max(mechanical.abs()).max(losses.total().value);
        let residual = if open == 0.0 { 0.0 } else { open.abs() / largest };
        // False for NaN too.
        if !(residual <= CERTIFIED && largest.is_finite()) {
            return Err(WinchError::PowerUnsolved { residual });
        }
        Ok(WinchState {
            pull: newtons(f),
            motion: match way {
                Turning::Haul => Motion::Hauling,
                Turning::Lower => Motion::Lowering,
            },
            current: amperes(drawn.battery),
            motor_current: amperes(drawn.motor),
            terminal_voltage: volts(terminals),
            battery_voltage: volts(self.supply.v() - drawn.battery * self.supply.r_battery()),
            motor_speed: radians_per_second(w),
            motor_torque: newton_metres(self.motor.kt() * (drawn.motor - self.motor.i0_a())),
            line_speed: metres_per_second(v),
            electrical_power: watts(electrical),
            mechanical_power: watts(mechanical),
            losses,
            report: SolveReport::new(0, residual),
        })
    }
}

/// Whether the winch takes rope in or drives it out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Turning {
    Haul,
    Lower,
}

/// Currents of battery and motor, and what is lost between them.
struct Currents {
    battery: f64,
    motor: f64,
    lead_loss: f64,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{ohms, ratio, volt_seconds};

    #[test]
    fn powers_that_do_not_add_up_are_refused() {
        let motor = Motor::new(volt_seconds(0.055), amperes(6.0), ohms(0.02)).unwrap();
        let gear = Gear::new(ratio(180.0), ratio(0.72)).unwrap();
        let winch = Winch::new(
            motor,
            gear,
            metres(0.036),
            Supply::new(volts(25.6), ohms(0.008), ohms(0.003)).unwrap(),
        )
        .unwrap();
        let good = winch.hauling(newtons(2000.0)).unwrap();
        let (i, w) = (good.motor_current.value, good.motor_speed.value);
        let again = |battery: f64, w: f64| {
            let drawn = Currents { battery, motor: i, lead_loss: battery * battery * 0.003 };
            winch.state(2000.0, Turning::Haul, drawn, w, good.terminal_voltage.value)
        };
        assert_eq!(again(i, w), Ok(good));
        // A current a millionth too large, a speed that is no number, a power beyond all numbers.
        for (battery, w) in [(i * 1.000_001, w), (i, f64::NAN), (i, f64::INFINITY), (1e200, w)] {
            let refused = again(battery, w);
            assert!(matches!(refused, Err(WinchError::PowerUnsolved { .. })), "{refused:?}");
        }
    }
}
