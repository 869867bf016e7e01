//! Winches by motor, gear and supply.
//!
//! A winch built for pulling may be barred by its own standard from lifting people: ask its maker.
//!
//! ```text
//! Hauling: I = I0 + F*r/(N*ef*kt)    lowering: I = I0 - F*r*eb/(N*kt)    w = (Voc - I*R)/kt    v = w*r/N
//! Stall: I = Voc/R, F = kt*(I - I0)*N*ef/r    jam: F(t) = Fs - (Fs - F0)*exp(-k*c*t), on the side of more force, sooner
//! kt motor constant, I0 current without load, N gear ratio, ef and eb efficiency forward and backward, r drum radius, R all
//! resistances in the circuit. Assumed: steady turning, brake off, no slip. Range: pull from zero to the stall.
//! Balance put back: Voc*I = losses + F*v. CAUTION. A gear that doesn't run back is not a brake.
//! Source: the law of the permanent-magnet motor; recomputed, no published check of jam.
//! ```
//!
//! ```c
//! rmech_winch winch = RMECH_INIT(rmech_winch);
//! winch.motor_constant = rmech_n_m_per_a(0.055);
//! winch.no_load_current = rmech_a(4.0);
//! winch.winding = rmech_mohm(18.0);
//! winch.gear_ratio = rmech_fraction(180.0);
//! winch.gear_efficiency = rmech_percent(72.0);
//! winch.radius = rmech_mm(36.0);
//! winch.open_circuit = rmech_v(25.0);
//! winch.battery = rmech_mohm(8.0);
//! winch.leads = rmech_mohm(3.0);
//! rmech_winch_state state = RMECH_INIT(rmech_winch_state);
//! rmech_force pull = rmech_kn(2.1);
//! if (rmech_winch_turning(&winch, RMECH_MOTION_HAULING, &pull, NULL, &state, &error) == RMECH_OK)
//!     printf("%.0f A, %.1f m/min\n", rmech_in_a(state.current), 60.0 * rmech_in_m_per_s(state.line_speed)); // 15 A, 5.4 m/min
//! ```

pub mod battery;
pub mod fit;
pub mod gauge;
pub mod haul;
pub mod heat;
pub mod parts;

use crate::call::{
    call, growing, growing_output, input, no_flags, output, versions, writable, writable_growing,
};
use crate::error::{
    Failure, Named, RMECH_ERR_ENUMERATOR, RMECH_ERR_GEOMETRY, RMECH_ERR_UNSOLVED, RMECH_ERR_VALUE,
    rmech_error,
};
use crate::quantity::{
    rmech_current, rmech_energy, rmech_force, rmech_force_rate, rmech_length, rmech_motor_constant,
    rmech_power, rmech_ratio, rmech_resistance, rmech_stiffness, rmech_time, rmech_torque,
    rmech_turning_speed, rmech_velocity, rmech_voltage,
};
use crate::sheave::{RMECH_MOTION_HAULING, RMECH_MOTION_LOWERING};
use rope_mechanics::motion::Motion;
use rope_mechanics::winch::{Bound, Gear, Motor, Supply, Winch, WinchError, WinchState, jam_rate};

impl From<WinchError> for Failure {
    fn from(why: WinchError) -> Self {
        match why {
            WinchError::Input(why) => why.into(),
            WinchError::TooFast { .. } | WinchError::TooSlow { .. } => {
                Self::of(RMECH_ERR_GEOMETRY, "line_speed", why)
            }
            WinchError::BeyondTable { .. } => Self::of(RMECH_ERR_VALUE, "pull", why),
            WinchError::NoSpeedInTable => Self::of(RMECH_ERR_VALUE, "line_speed", why),
            WinchError::TooFewPoints { .. } => Self::of(RMECH_ERR_VALUE, "points", why),
            WinchError::ImpossibleFit { .. } | WinchError::CannotTellApart { .. } => {
                Self::of(RMECH_ERR_GEOMETRY, "points", why)
            }
            WinchError::RowOutOfOrder { .. } => Self::of(RMECH_ERR_GEOMETRY, "rows", why),
            WinchError::DrumFull { .. } => Self::of(RMECH_ERR_VALUE, "rope_on_drum", why),
            WinchError::BurnsOut { .. } => Self::of(RMECH_ERR_GEOMETRY, "duration", why),
            WinchError::HeatUnsolved { .. } => Self::of(RMECH_ERR_UNSOLVED, "heat", why),
            WinchError::PowerUnsolved { .. } => Self::of(RMECH_ERR_UNSOLVED, "winch", why),
            WinchError::TooManyIntervals { .. } => Self::of(RMECH_ERR_UNSOLVED, "steps", why),
            WinchError::CyclesBurnOut => Self::of(RMECH_ERR_GEOMETRY, "time_on", why),
            _ => Self::of(RMECH_ERR_GEOMETRY, "pull", why),
        }
    }
}

/// The back-driven efficiency of the gear is given in `back_efficiency`; without this flag it is 2 − 1/η.
pub const RMECH_WINCH_BACK_EFFICIENCY: u32 = 1;

/// A winch with a permanent-magnet motor, at one state of charge of its battery.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_winch {
    /// sizeof(rmech_winch); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// `RMECH_WINCH_BACK_EFFICIENCY` or zero.
    pub flags: u32,
    /// Torque of the motor per ampere.
    pub motor_constant: rmech_motor_constant,
    /// What turns the motor and its gear without load.
    pub no_load_current: rmech_current,
    /// Of the winding with its brushes at 25 °C.
    pub winding: rmech_resistance,
    /// Turns of the motor for one of the drum.
    pub gear_ratio: rmech_ratio,
    /// Of the gear, hauling.
    pub gear_efficiency: rmech_ratio,
    /// Of the gear, when the load drives; read only with `RMECH_WINCH_BACK_EFFICIENCY`.
    pub back_efficiency: rmech_ratio,
    /// From the axis to the middle of the rope.
    pub radius: rmech_length,
    /// Of the battery, without current.
    pub open_circuit: rmech_voltage,
    /// Inside the battery.
    pub battery: rmech_resistance,
    /// Of the leads, out and back.
    pub leads: rmech_resistance,
    /// What controller or fuse let through the motor; zero for no limit.
    pub current_limit: rmech_current,
    /// At which a grab or clutch slips; zero if there is none.
    pub slip: rmech_force,
}

versions!(rmech_winch: 104);

impl rmech_winch {
    pub(crate) fn get(self) -> Result<Winch, Failure> {
        no_flags(self.flags & !RMECH_WINCH_BACK_EFFICIENCY)?;
        let motor = Motor::new(self.motor_constant.get(), self.no_load_current.get(), self.winding.get())
            .named("winding_resistance", "winding")?;
        let mut gear = Gear::new(self.gear_ratio.get(), self.gear_efficiency.get())?;
        if self.flags & RMECH_WINCH_BACK_EFFICIENCY != 0 {
            gear = gear.with_back_efficiency(self.back_efficiency.get())?;
        }
        let supply = Supply::new(self.open_circuit.get(), self.battery.get(), self.leads.get())
            .named("open_circuit_voltage", "open_circuit")
            .named("battery_resistance", "battery")
            .named("lead_resistance", "leads")?;
        let mut winch = Winch::new(motor, gear, self.radius.get(), supply).named("winch_radius", "radius")?;
        if self.current_limit.amperes != 0.0 {
            winch = winch.with_current_limit(self.current_limit.get())?;
        }
        if self.slip.newtons != 0.0 {
            winch = winch.with_slip(self.slip.get()).named("slip_force", "slip")?;
        }
        Ok(winch)
    }
}

/// A winch at work.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_winch_state {
    /// sizeof(rmech_winch_state); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// Zero.
    pub flags: u32,
    /// One of `RMECH_MOTION_...`.
    pub motion: i32,
    /// Zero.
    pub reserved: i32,
    /// On the rope where it leaves the winch.
    pub pull: rmech_force,
    /// From the battery; negative while the load drives and current flows back.
    pub current: rmech_current,
    /// In the motor.
    pub motor_current: rmech_current,
    /// At the end of the leads.
    pub terminal_voltage: rmech_voltage,
    /// At the battery's posts.
    pub battery_voltage: rmech_voltage,
    /// Of the motor, at least zero in either direction.
    pub motor_speed: rmech_turning_speed,
    /// At the motor's shaft; negative while the load drives it.
    pub motor_torque: rmech_torque,
    /// Of the rope, at least zero in either direction.
    pub line_speed: rmech_velocity,
    /// What the battery gives up: its voltage without current, times the current.
    pub electrical_power: rmech_power,
    /// What the rope takes up; negative lowering.
    pub mechanical_power: rmech_power,
    /// Lost inside the battery.
    pub battery_loss: rmech_power,
    /// Lost in the leads, or in the resistor of a winch that runs back.
    pub lead_loss: rmech_power,
    /// Lost in the winding.
    pub winding_loss: rmech_power,
    /// Lost to idle drag.
    pub idle_loss: rmech_power,
    /// Lost in the gear.
    pub gear_loss: rmech_power,
    /// Mechanical by electrical power, hauling; zero lowering, where it has no meaning.
    pub efficiency: rmech_ratio,
    /// How well the power balance closes.
    pub residual: f64,
}

versions!(rmech_winch_state: 152);

impl From<WinchState> for rmech_winch_state {
    fn from(state: WinchState) -> Self {
        Self {
            struct_size: 0,
            flags: 0,
            motion: if state.motion == Motion::Lowering {
                RMECH_MOTION_LOWERING
            } else {
                RMECH_MOTION_HAULING
            },
            reserved: 0,
            pull: state.pull.into(),
            current: state.current.into(),
            motor_current: state.motor_current.into(),
            terminal_voltage: state.terminal_voltage.into(),
            battery_voltage: state.battery_voltage.into(),
            motor_speed: state.motor_speed.into(),
            motor_torque: state.motor_torque.into(),
            line_speed: state.line_speed.into(),
            electrical_power: state.electrical_power.into(),
            mechanical_power: state.mechanical_power.into(),
            battery_loss: state.losses.battery.into(),
            lead_loss: state.losses.leads.into(),
            winding_loss: state.losses.winding.into(),
            idle_loss: state.losses.idle.into(),
            gear_loss: state.losses.gear.into(),
            efficiency: state.efficiency().unwrap_or_default().into(),
            residual: state.report.residual,
        }
    }
}

/// The winch hauling or lowering a `pull`; `line_speed` is what a controller holds, NULL for full speed.
///
/// `motion` is `RMECH_MOTION_HAULING` or `RMECH_MOTION_LOWERING`. A pull beyond the stall, a limit or a slipping grab
/// is `RMECH_ERR_GEOMETRY`, with the numbers in the message. Formula and source: at the top of this topic in rope_mechanics.h.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_winch_turning(
    winch: *const rmech_winch,
    motion: i32,
    pull: *const rmech_force,
    line_speed: *const rmech_velocity,
    state: *mut rmech_winch_state,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (winch, pull) = unsafe { (growing("winch", winch)?, input("pull", pull)?.get()) };
        let speed = if line_speed.is_null() {
            None
        } else {
            // SAFETY: as above.
            Some(unsafe { input("line_speed", line_speed)? }.get())
        };
        // SAFETY: as above.
        unsafe { writable_growing("state", state)? };
        let winch = winch.get()?;
        let found = match (crate::sheave::motion("motion", motion)?, speed) {
            (Motion::Hauling, None) => winch.hauling(pull)?,
            (Motion::Hauling, Some(speed)) => winch.hauling_at(pull, speed)?,
            (Motion::Lowering, None) => winch.lowering(pull)?,
            (Motion::Lowering, Some(speed)) => winch.lowering_at(pull, speed)?,
            (Motion::AtRest, _) => {
                let why = "motion is at rest: ask rmech_winch_holding";
                return Err(Failure::of(RMECH_ERR_ENUMERATOR, "motion", why));
            }
        };
        // SAFETY: as above.
        unsafe { growing_output("state", state, found.into()) }
    })
}

/// The load turning the winch back, its motor cut off from the battery and closed over a resistor (zero: shorted).
///
/// It never stops the load: only a brake does.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_winch_running_back(
    winch: *const rmech_winch,
    pull: *const rmech_force,
    resistor: *const rmech_resistance,
    state: *mut rmech_winch_state,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (winch, pull, resistor) =
            unsafe { (growing("winch", winch)?, input("pull", pull)?, input("resistor", resistor)?) };
        // SAFETY: as above.
        unsafe { writable_growing("state", state)? };
        let found = winch.get()?.running_back(pull.get(), resistor.get())?;
        // SAFETY: as above.
        unsafe { growing_output("state", state, found.into()) }
    })
}

/// What holds a load still with the motor alone, the brake off: below `least` it runs back, above `most` it comes up.
///
/// `least` is zero where friction alone seems to hold it, which is never to be counted as a brake.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_winch_holding(
    winch: *const rmech_winch,
    pull: *const rmech_force,
    least: *mut rmech_current,
    most: *mut rmech_current,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (winch, pull) = unsafe { (growing("winch", winch)?, input("pull", pull)?) };
        writable("least", least)?;
        writable("most", most)?;
        let holding = winch.get()?.holding(pull.get())?;
        // SAFETY: as above.
        unsafe {
            output("least", least, holding.least.into())?;
            output("most", most, holding.most.into())
        }
    })
}

/// Nothing but the motor's own stall bounds a jammed winch: rope and anchors go first.
pub const RMECH_BOUND_STALL: i32 = 1;
/// The limit of the controller or fuse bounds it.
pub const RMECH_BOUND_CURRENT_LIMIT: i32 = 2;
/// A slipping grab or clutch bounds it.
pub const RMECH_BOUND_SLIP: i32 = 3;

/// A winch with its rotor locked: what a jammed rope gets.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_stall {
    /// In the motor, once it stands.
    pub current: rmech_current,
    /// On the rope.
    pub pull: rmech_force,
    /// The same if the gear lost nothing: what anchors, frame and rope must be checked against.
    pub pull_without_gear_loss: rmech_force,
    /// One of `RMECH_BOUND_...`.
    pub bound: i32,
    /// Zero.
    pub reserved: i32,
}

/// The winch with its rotor locked, and what bounds its pull.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_winch_stall(
    winch: *const rmech_winch,
    stall: *mut rmech_stall,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let winch = unsafe { growing("winch", winch)? };
        writable("stall", stall)?;
        let found = winch.get()?.stall();
        let value = rmech_stall {
            current: found.current.into(),
            pull: found.pull.into(),
            pull_without_gear_loss: found.pull_without_gear_loss.into(),
            bound: match found.bound {
                Bound::Stall => RMECH_BOUND_STALL,
                Bound::CurrentLimit => RMECH_BOUND_CURRENT_LIMIT,
                Bound::Slip => RMECH_BOUND_SLIP,
            },
            reserved: 0,
        };
        // SAFETY: as above.
        unsafe { output("stall", stall, value) }
    })
}

/// A winch that hauls against a jam.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_jam {
    /// The fastest that the force can rise at first.
    pub rate: rmech_force_rate,
    /// The greatest force that can come, none of the gear's loss counted: hold it against rope, anchors and frame.
    pub greatest: rmech_force,
    /// The soonest that the force can reach the limit asked about; infinite if it stays below.
    pub time_to_limit: rmech_time,
}

/// What happens when the load jams while the winch hauls `pull`: how fast the force rises in a rope of this stiffness
/// (EA by the length from winch to jam), where it ends, and how soon it reaches `limit`. `rotor_energy` is ½·J·ω² of the
/// rotor and what turns with it at the motor's speed before the jam: rather too much than too little, zero for none.
///
/// All of it on the side of more force, sooner. Formula: at the top of this topic in rope_mechanics.h.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_winch_jam(
    winch: *const rmech_winch,
    rope_stiffness: *const rmech_stiffness,
    pull: *const rmech_force,
    rotor_energy: *const rmech_energy,
    limit: *const rmech_force,
    jam: *mut rmech_jam,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (winch, rope, pull, rotor, limit) = unsafe {
            (
                growing("winch", winch)?,
                input("rope_stiffness", rope_stiffness)?,
                input("pull", pull)?,
                input("rotor_energy", rotor_energy)?,
                input("limit", limit)?,
            )
        };
        writable("jam", jam)?;
        let found = winch.get()?.jam(rope.get(), pull.get())?.with_rotor(rotor.get())?;
        let never = rmech_time { seconds: f64::INFINITY };
        let value = rmech_jam {
            rate: found.rate.into(),
            greatest: found.greatest.into(),
            time_to_limit: found.time_to(limit.get())?.map_or(never, Into::into),
        };
        // SAFETY: as above.
        unsafe { output("jam", jam, value) }
    })
}

/// The greatest force that can be so long after the load jams while the winch hauls `pull`, in a rope of this stiffness.
///
/// Formula: at the top of this topic in rope_mechanics.h.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_winch_jam_force_after(
    winch: *const rmech_winch,
    rope_stiffness: *const rmech_stiffness,
    pull: *const rmech_force,
    rotor_energy: *const rmech_energy,
    time: *const rmech_time,
    force: *mut rmech_force,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (winch, rope, pull, rotor, time) = unsafe {
            (
                growing("winch", winch)?,
                input("rope_stiffness", rope_stiffness)?,
                input("pull", pull)?,
                input("rotor_energy", rotor_energy)?,
                input("time", time)?,
            )
        };
        writable("force", force)?;
        let jam = winch.get()?.jam(rope.get(), pull.get())?.with_rotor(rotor.get())?;
        let value = jam.force_after(time.get())?.into();
        // SAFETY: as above.
        unsafe { output("force", force, value) }
    })
}

/// How fast the force rises in a jam: (EA/L)·v.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_jam_rate(
    axial_stiffness: *const rmech_force,
    free_length: *const rmech_length,
    line_speed: *const rmech_velocity,
    rate: *mut rmech_force_rate,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (stiffness, length, speed) = unsafe {
            (
                input("axial_stiffness", axial_stiffness)?.get(),
                input("free_length", free_length)?.get(),
                input("line_speed", line_speed)?.get(),
            )
        };
        writable("rate", rate)?;
        let value = jam_rate(stiffness, length, speed)?.into();
        // SAFETY: as above.
        unsafe { output("rate", rate, value) }
    })
}
