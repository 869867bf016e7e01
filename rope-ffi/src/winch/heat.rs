//! How warm a winch's motor gets.
//!
//! ```text
//! One body:   dT = dTn*(I/In)^2*(1 - exp(-t/tau)) from cold
//! Two bodies: C1*x1' = I^2*R(x1) - (x1 - x2)/R12    C2*x2' = P_idle + (x1 - x2)/R12 - (x2 - air)/R2
//! Assumed: loss as I^2. A winding runs ahead of its case: one body is late for short, hard pulls. Range: -100 to 300 C.
//! Source: the balance of heat; IEC 60028 for copper (from memory). No published check.
//! ```
//!
//! ```c
//! rmech_motor_heat heat = {0};
//! heat.kind = RMECH_HEAT_ONE_NODE;
//! heat.continuous_current = rmech_a(60.0);
//! heat.rated_rise = rmech_kelvin(80.0);
//! heat.time_constant = rmech_min(20.0);
//! rmech_current current = rmech_a(90.0);
//! rmech_ratio share;
//! if (rmech_motor_lasting_share(&heat, &current, &share, &error) == RMECH_OK)
//!     printf("%.0f %% of the time\n", rmech_in_percent(share)); // 44 % of the time
//! ```

use crate::call::{call, input, no_reserved, output, writable};
use crate::error::{Failure, Named, RMECH_ERR_ENUMERATOR, rmech_error};
use crate::quantity::{
    rmech_current, rmech_current_squared_time, rmech_heat_capacity, rmech_power, rmech_ratio,
    rmech_resistance, rmech_temperature, rmech_temperature_interval, rmech_thermal_resistance, rmech_time,
};
use rope_mechanics::winch::{Heat, Heating, OneNode, Temperatures, TwoNode};

/// Heat is not followed.
pub const RMECH_HEAT_NONE: i32 = 0;
/// The motor is one lump: `continuous_current`, `rated_rise` and `time_constant` count.
pub const RMECH_HEAT_ONE_NODE: i32 = 1;
/// The motor is a winding in a case: the last four members count.
pub const RMECH_HEAT_TWO_NODES: i32 = 2;

/// How a motor takes up heat. What doesn't count for its kind is not read.
///
/// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_motor_heat {
    /// One of `RMECH_HEAT_...`.
    pub kind: i32,
    /// Zero.
    pub reserved: i32,
    /// What the motor bears for ever.
    pub continuous_current: rmech_current,
    /// How far that warms it above the air.
    pub rated_rise: rmech_temperature_interval,
    /// Its time constant.
    pub time_constant: rmech_time,
    /// Of the winding.
    pub winding: rmech_heat_capacity,
    /// Of the case.
    pub case_: rmech_heat_capacity,
    /// From winding to case.
    pub winding_to_case: rmech_thermal_resistance,
    /// From case to air.
    pub case_to_air: rmech_thermal_resistance,
}

impl rmech_motor_heat {
    pub(crate) fn get(self) -> Result<Option<Heat>, Failure> {
        no_reserved("motor_heat", self.reserved.into())?;
        Ok(match self.kind {
            RMECH_HEAT_NONE => None,
            RMECH_HEAT_ONE_NODE => {
                let (current, rise) = (self.continuous_current.get(), self.rated_rise.get());
                let node = OneNode::new(current, rise, self.time_constant.get());
                Some(node.named("thermal_time_constant", "time_constant")?.into())
            }
            RMECH_HEAT_TWO_NODES => {
                let (inner, outer) = (self.winding_to_case.get(), self.case_to_air.get());
                let nodes = TwoNode::new(self.winding.get(), self.case_.get(), inner, outer)
                    .named("winding_heat_capacity", "winding")
                    .named("case_heat_capacity", "case_")?;
                Some(nodes.into())
            }
            kind => return Err(Failure::unknown("kind", kind, "one of RMECH_HEAT_...")),
        })
    }
}

/// What warms a motor, and the air around it.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_heating {
    /// In the winding.
    pub current: rmech_current,
    /// Of the winding at 25 °C; not read for one node.
    pub winding: rmech_resistance,
    /// Idle drag; not read for one node.
    pub idle: rmech_power,
    /// Of the air.
    pub air: rmech_temperature,
}

impl rmech_heating {
    fn get(self) -> Heating {
        Heating {
            current: self.current.get(),
            winding: self.winding.get(),
            idle: self.idle.get(),
            air: self.air.get(),
        }
    }
}

/// The temperatures of a motor; one node has only a winding, and its case is taken to be as warm.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_motor_temperatures {
    /// Of the winding.
    pub winding: rmech_temperature,
    /// Of the case.
    pub case_: rmech_temperature,
}

impl From<Temperatures> for rmech_motor_temperatures {
    fn from(warm: Temperatures) -> Self {
        Self { winding: warm.winding.into(), case_: warm.case.into() }
    }
}

impl rmech_motor_temperatures {
    pub(crate) fn get(self) -> Temperatures {
        Temperatures { winding: self.winding.get(), case: self.case_.get() }
    }
}

/// What the core calls the members of what warms a motor, and of where it starts.
fn heating<T>(found: Result<T, impl Into<Failure>>) -> Result<T, Failure> {
    found
        .named("winding_resistance", "winding")
        .named("winding_temperature", "winding")
        .named("case_temperature", "case_")
        .named("idle_power", "idle")
        .named("air_temperature", "air")
        .named("winding_limit", "limit")
}

fn nothing_to_follow() -> Failure {
    Failure::of(RMECH_ERR_ENUMERATOR, "kind", "kind is RMECH_HEAT_NONE: there is nothing to follow")
}

/// The motor's temperatures after a time of steady heating, and how long it may go on until the winding reaches
/// `limit`: from `start`, infinite if it never does.
///
/// `limit` and `time_to_limit` may both be NULL. Formula: at the top of this topic in rope_mechanics.h.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_motor_warmed(
    heat: *const rmech_motor_heat,
    start: *const rmech_motor_temperatures,
    heating: *const rmech_heating,
    duration: *const rmech_time,
    limit: *const rmech_temperature,
    after: *mut rmech_motor_temperatures,
    time_to_limit: *mut rmech_time,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (heat, start, heating, duration) = unsafe {
            (
                input("heat", heat)?,
                input("start", start)?,
                input("heating", heating)?,
                input("duration", duration)?.get(),
            )
        };
        let limit = if limit.is_null() && time_to_limit.is_null() {
            None
        } else {
            writable("time_to_limit", time_to_limit)?;
            // SAFETY: as above.
            Some(unsafe { input("limit", limit)? })
        };
        writable("after", after)?;
        let heat = heat.get()?.ok_or_else(nothing_to_follow)?;
        let (start, by) = (start.get(), heating.get());
        let warm = self::heating(heat.after(start, by, duration))?.into();
        let time = match limit {
            None => None,
            Some(limit) => Some(self::heating(heat.time_to(start, by, limit.get()))?),
        };
        // SAFETY: as above.
        unsafe {
            output("after", after, warm)?;
            match time {
                None => Ok(()),
                Some(time) => {
                    let never = rmech_time { seconds: f64::INFINITY };
                    output("time_to_limit", time_to_limit, time.map_or(never, Into::into))
                }
            }
        }
    })
}

/// How warm the motor gets in cycles of pull and rest that go on for ever: at the end of each pull, when the winding
/// is hottest, and at the end of each rest, when it is coolest.
///
/// Either output may be NULL. Formula: at the top of this topic in rope_mechanics.h.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_motor_duty_cycle(
    heat: *const rmech_motor_heat,
    pull: *const rmech_heating,
    time_on: *const rmech_time,
    time_off: *const rmech_time,
    after_pull: *mut rmech_motor_temperatures,
    after_rest: *mut rmech_motor_temperatures,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (heat, pull, on, off) = unsafe {
            (
                input("heat", heat)?,
                input("pull", pull)?,
                input("time_on", time_on)?.get(),
                input("time_off", time_off)?.get(),
            )
        };
        if !after_pull.is_null() {
            writable("after_pull", after_pull)?;
        }
        if !after_rest.is_null() {
            writable("after_rest", after_rest)?;
        }
        let cycle = heating(heat.get()?.ok_or_else(nothing_to_follow)?.duty_cycle(pull.get(), on, off))?;
        // SAFETY: as above.
        unsafe {
            if !after_pull.is_null() {
                output("after_pull", after_pull, cycle.after_pull.into())?;
            }
            if after_rest.is_null() {
                Ok(())
            } else {
                output("after_rest", after_rest, cycle.after_rest.into())
            }
        }
    })
}

/// Where the motor's temperatures settle under steady heating; infinite if the winding runs away.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_motor_settles_at(
    heat: *const rmech_motor_heat,
    heating: *const rmech_heating,
    settled: *mut rmech_motor_temperatures,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (heat, heating) = unsafe { (input("heat", heat)?, input("heating", heating)?) };
        writable("settled", settled)?;
        let endless = rmech_temperature { kelvin: f64::INFINITY };
        let runs_away = rmech_motor_temperatures { winding: endless, case_: endless };
        let settled_at = heat.get()?.ok_or_else(nothing_to_follow)?.settles_at(heating.get());
        let value = self::heating(settled_at)?.map_or(runs_away, Into::into);
        // SAFETY: as above.
        unsafe { output("settled", settled, value) }
    })
}

fn lump(heat: rmech_motor_heat) -> Result<OneNode, Failure> {
    match heat.get()? {
        Some(Heat::OneNode(node)) => Ok(node),
        _ => Err(Failure::of(
            RMECH_ERR_ENUMERATOR,
            "kind",
            "kind must be RMECH_HEAT_ONE_NODE: this is a rule for a motor as one lump",
        )),
    }
}

/// What the winding takes from cold to its rated rise when it has no time to cool: I²t. For `RMECH_HEAT_ONE_NODE`
/// only.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_motor_current_squared_time(
    heat: *const rmech_motor_heat,
    taken: *mut rmech_current_squared_time,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let heat = unsafe { input("heat", heat)? };
        writable("taken", taken)?;
        let value = lump(heat)?.current_squared_time().into();
        // SAFETY: as above.
        unsafe { output("taken", taken, value) }
    })
}

/// The share of the time for which a current may flow for ever, in cycles much shorter than the time constant, at
/// most 1. For `RMECH_HEAT_ONE_NODE` only.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_motor_lasting_share(
    heat: *const rmech_motor_heat,
    current: *const rmech_current,
    share: *mut rmech_ratio,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (heat, current) = unsafe { (input("heat", heat)?, input("current", current)?) };
        writable("share", share)?;
        let value = lump(heat)?.lasting_share(current.get())?.into();
        // SAFETY: as above.
        unsafe { output("share", share, value) }
    })
}
