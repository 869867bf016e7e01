//! How warm a winch's motor gets.

use crate::call::{call, input, output, writable};
use crate::error::{Failure, RMECH_ERR_ENUMERATOR, rmech_error};
use crate::quantity::{
    rmech_current, rmech_heat_capacity, rmech_power, rmech_resistance, rmech_temperature,
    rmech_temperature_interval, rmech_thermal_resistance, rmech_time,
};
use rope_mechanics::winch::{Heat, Heating, OneNode, Temperatures, TwoNode, WinchError};

/// Heat is not followed.
pub const RMECH_HEAT_NONE: i32 = 0;
/// The motor is one lump: `continuous_current`, `rated_rise` and `time_constant` count.
pub const RMECH_HEAT_ONE_NODE: i32 = 1;
/// The motor is a winding in a case: the last four members count.
pub const RMECH_HEAT_TWO_NODES: i32 = 2;

/// How a motor takes up heat. What doesn't count for its kind is not read.
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
        Ok(match self.kind {
            RMECH_HEAT_NONE => None,
            RMECH_HEAT_ONE_NODE => Some(
                OneNode::new(self.continuous_current.get(), self.rated_rise.get(), self.time_constant.get())?
                    .into(),
            ),
            RMECH_HEAT_TWO_NODES => Some(
                TwoNode::new(
                    self.winding.get(),
                    self.case_.get(),
                    self.winding_to_case.get(),
                    self.case_to_air.get(),
                )?
                .into(),
            ),
            kind => {
                let why = format_args!("heat.kind is {kind}, but must be one of RMECH_HEAT_...");
                return Err(Failure::of(RMECH_ERR_ENUMERATOR, "heat.kind", why));
            }
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

/// The temperatures of a motor; one node has only a winding.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_motor_temperatures {
    /// Of the winding.
    pub winding: rmech_temperature,
    /// Of the case.
    pub case_: rmech_temperature,
}

fn kelvin_above(warm: rmech_temperature, air: rmech_temperature) -> rmech_temperature_interval {
    rmech_temperature_interval { kelvin: warm.kelvin - air.kelvin }
}

fn nothing_to_follow() -> Failure {
    Failure::of(RMECH_ERR_ENUMERATOR, "heat.kind", "heat.kind is RMECH_HEAT_NONE: there is nothing to follow")
}

/// The motor's temperatures after a time of steady heating, and how long it may go on until the winding reaches
/// `limit`: from `start`, infinite if it never does.
///
/// `limit` and `time_to_limit` may both be NULL. Formula: `rope_mechanics::winch::OneNode` and `TwoNode` in the
/// library's documentation.
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
        let (warm, time) = match heat.get()?.ok_or_else(nothing_to_follow)? {
            Heat::OneNode(node) => {
                let rise = kelvin_above(start.winding, heating.air).get();
                let after = node.rise_after(rise, heating.current.get(), duration)?;
                let winding = rmech_temperature { kelvin: heating.air.kelvin + after.value };
                let time = match limit {
                    None => None,
                    Some(limit) => Some(node.time_to(
                        rise,
                        heating.current.get(),
                        kelvin_above(limit, heating.air).get(),
                    )?),
                };
                (rmech_motor_temperatures { winding, case_: winding }, time)
            }
            Heat::TwoNode(nodes) => {
                let at = Temperatures { winding: start.winding.get(), case: start.case_.get() };
                let by = Heating {
                    current: heating.current.get(),
                    winding: heating.winding.get(),
                    idle: heating.idle.get(),
                    air: heating.air.get(),
                };
                let after = nodes.after(at, by, duration)?;
                let time = match limit {
                    None => None,
                    Some(limit) => Some(nodes.time_to(at, by, limit.get()).map_err(WinchError::from)?),
                };
                (rmech_motor_temperatures { winding: after.winding.into(), case_: after.case.into() }, time)
            }
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

/// How warm the winding gets at the end of each pull, in cycles of pull and rest that go on for ever.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_motor_duty_cycle(
    heat: *const rmech_motor_heat,
    pull: *const rmech_heating,
    time_on: *const rmech_time,
    time_off: *const rmech_time,
    hottest_winding: *mut rmech_temperature,
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
        writable("hottest_winding", hottest_winding)?;
        let value = match heat.get()?.ok_or_else(nothing_to_follow)? {
            Heat::OneNode(node) => {
                let cycle = node.duty_cycle(pull.current.get(), on, off)?;
                rmech_temperature { kelvin: pull.air.kelvin + cycle.hottest.value }
            }
            Heat::TwoNode(nodes) => {
                let by = Heating {
                    current: pull.current.get(),
                    winding: pull.winding.get(),
                    idle: pull.idle.get(),
                    air: pull.air.get(),
                };
                nodes.duty_cycle(by, on, off)?.winding.into()
            }
        };
        // SAFETY: as above.
        unsafe { output("hottest_winding", hottest_winding, value) }
    })
}
