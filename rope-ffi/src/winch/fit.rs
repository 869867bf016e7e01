//! A motor's constants from measured points.
//!
//! ```text
//! kt*w + R*I = V and kt*I - kt*I0 = torque, least squares, each reading good to the same share of its greatest value
//! Winch: kt*(N/r)*v + R*I = V and I = I0 + s*F, with ef = r/(N*kt*s)
//! Range: two points at least that differ; what the readings can't tell is said, not guessed. Source: least squares.
//! ```
//!
//! ```c
//! rmech_motor_point points[3];
//! for (int i = 0; i < 3; ++i) {
//!     const double current[3] = {6.0, 106.0, 370.0}, speed[3] = {434.0, 398.0, 302.0}, torque[3] = {0.0, 5.5, 20.0};
//!     points[i].voltage = rmech_v(24.0);
//!     points[i].current = rmech_a(current[i]);
//!     points[i].speed = rmech_rad_per_s(speed[i]);
//!     points[i].torque = rmech_n_m(torque[i]);
//! }
//! rmech_motor_fit fit = RMECH_INIT(rmech_motor_fit);
//! if (rmech_motor_fit_points(points, 3, NULL, &fit, &error) == RMECH_OK)
//!     printf("%.4f N m/A\n", rmech_in_n_m_per_a(fit.motor.constant)); // 0.0550 N m/A
//! ```

use crate::call::{apart, call, growing_output, input, inputs, versions, writable, writable_growing};
use crate::error::{Named, rmech_error};
use crate::quantity::{
    rmech_current, rmech_force, rmech_length, rmech_motor_constant, rmech_ratio, rmech_resistance,
    rmech_torque, rmech_turning_speed, rmech_velocity, rmech_voltage,
};
use crate::winch::parts::rmech_motor;
use rope_mechanics::winch::{
    Confounded, Constant, Fitted, Motor, MotorFit, MotorPoint, WinchFit, WinchPoint, fit_motor, fit_winch,
};

/// A motor on the bench, or one row of its data sheet.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_motor_point {
    /// At its terminals.
    pub voltage: rmech_voltage,
    /// Through it.
    pub current: rmech_current,
    /// Of its shaft.
    pub speed: rmech_turning_speed,
    /// At its shaft.
    pub torque: rmech_torque,
}

/// A winch at work, hauling, read off its meters.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_winch_point {
    /// At the motor's terminals.
    pub voltage: rmech_voltage,
    /// Through the motor.
    pub current: rmech_current,
    /// Of the rope.
    pub line_speed: rmech_velocity,
    /// On the rope.
    pub pull: rmech_force,
}

/// How far a point of a motor lies from its fit: measured less fitted.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_motor_residual {
    /// Of the voltage at the current and speed.
    pub voltage: rmech_voltage,
    /// Of the torque at the current.
    pub torque: rmech_torque,
}

/// How far a point of a winch lies from its fit: measured less fitted.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_winch_residual {
    /// Of the voltage at the current and line speed.
    pub voltage: rmech_voltage,
    /// Of the current at the pull.
    pub current: rmech_current,
}

/// No constant.
pub const RMECH_CONSTANT_NONE: i32 = 0;
/// The motor constant.
pub const RMECH_CONSTANT_MOTOR: i32 = 1;
/// The winding's resistance.
pub const RMECH_CONSTANT_WINDING: i32 = 2;
/// The current without load.
pub const RMECH_CONSTANT_NO_LOAD: i32 = 3;
/// The gear's efficiency.
pub const RMECH_CONSTANT_GEAR: i32 = 4;

/// A motor fitted to points.
///
/// A standard error is infinite where there is no reading to spare.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_motor_fit {
    /// sizeof(rmech_motor_fit); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// Zero.
    pub flags: u32,
    /// The best constants.
    pub motor: rmech_motor,
    /// Of the gear; zero for a motor on the bench.
    pub gear_efficiency: rmech_ratio,
    /// Standard error of the motor constant.
    pub constant_error: rmech_motor_constant,
    /// Standard error of the current without load.
    pub no_load_error: rmech_current,
    /// Standard error of the winding's resistance.
    pub winding_error: rmech_resistance,
    /// Standard error of the gear's efficiency; zero for a motor on the bench.
    pub gear_error: rmech_ratio,
    /// The largest difference of a voltage.
    pub worst_voltage: rmech_voltage,
    /// The largest difference of a torque; zero for a winch.
    pub worst_torque: rmech_torque,
    /// The largest difference of a current; zero for a motor on the bench.
    pub worst_current: rmech_current,
    /// One of `RMECH_CONSTANT_...` if the points hardly distinguish two constants, otherwise `RMECH_CONSTANT_NONE`.
    pub confounded: i32,
    /// The other.
    pub confounded_with: i32,
    /// Of the errors of the two.
    pub correlation: f64,
    /// Readings wrong by 1 % may leave a constant wrong by about this many per cent; zero where that is below 30.
    pub condition: f64,
    /// How many readings there are beyond those needed.
    pub spare_readings: u64,
}

versions!(rmech_motor_fit: 128);

fn number(constant: Constant) -> i32 {
    match constant {
        Constant::MotorConstant => RMECH_CONSTANT_MOTOR,
        Constant::WindingResistance => RMECH_CONSTANT_WINDING,
        Constant::NoLoadCurrent => RMECH_CONSTANT_NO_LOAD,
        Constant::GearEfficiency => RMECH_CONSTANT_GEAR,
    }
}

fn error_of<Q: Copy, C: From<Q>>(fitted: &Fitted<Q>, unknown: C) -> C {
    fitted.standard_error.map_or(unknown, C::from)
}

struct Common {
    motor: Motor,
    confounded: Option<Confounded>,
    spare: usize,
}

fn common(from: &Common) -> rmech_motor_fit {
    let none = (RMECH_CONSTANT_NONE, RMECH_CONSTANT_NONE, 0.0, 0.0);
    let (confounded, confounded_with, correlation, condition) = from
        .confounded
        .map_or(none, |pair| (number(pair.one), number(pair.other), pair.correlation, pair.condition));
    rmech_motor_fit {
        struct_size: 0,
        flags: 0,
        motor: rmech_motor {
            constant: from.motor.constant().into(),
            no_load_current: from.motor.no_load_current().into(),
            winding: from.motor.winding_resistance().into(),
        },
        gear_efficiency: rmech_ratio::default(),
        constant_error: rmech_motor_constant { newton_metres_per_ampere: f64::INFINITY },
        no_load_error: rmech_current { amperes: f64::INFINITY },
        winding_error: rmech_resistance { ohms: f64::INFINITY },
        gear_error: rmech_ratio::default(),
        worst_voltage: rmech_voltage::default(),
        worst_torque: rmech_torque::default(),
        worst_current: rmech_current::default(),
        confounded,
        confounded_with,
        correlation,
        condition,
        spare_readings: from.spare as u64,
    }
}

impl From<MotorFit> for rmech_motor_fit {
    fn from(fit: MotorFit) -> Self {
        let base =
            common(&Common { motor: fit.motor, confounded: fit.confounded, spare: fit.spare_readings });
        Self {
            constant_error: error_of(&fit.constant, base.constant_error),
            no_load_error: error_of(&fit.no_load_current, base.no_load_error),
            winding_error: error_of(&fit.winding, base.winding_error),
            worst_voltage: fit.worst_voltage.into(),
            worst_torque: fit.worst_torque.into(),
            ..base
        }
    }
}

impl From<WinchFit> for rmech_motor_fit {
    fn from(fit: WinchFit) -> Self {
        let base =
            common(&Common { motor: fit.motor, confounded: fit.confounded, spare: fit.spare_readings });
        Self {
            gear_efficiency: fit.gear_efficiency.value.into(),
            constant_error: error_of(&fit.constant, base.constant_error),
            no_load_error: error_of(&fit.no_load_current, base.no_load_error),
            winding_error: error_of(&fit.winding, base.winding_error),
            gear_error: error_of(&fit.gear_efficiency, rmech_ratio { fraction: f64::INFINITY }),
            worst_voltage: fit.worst_voltage.into(),
            worst_current: fit.worst_current.into(),
            ..base
        }
    }
}

impl rmech_motor_point {
    fn get(&self) -> MotorPoint {
        MotorPoint {
            voltage: self.voltage.get(),
            current: self.current.get(),
            speed: self.speed.get(),
            torque: self.torque.get(),
        }
    }
}

impl rmech_winch_point {
    fn get(&self) -> WinchPoint {
        WinchPoint {
            voltage: self.voltage.get(),
            current: self.current.get(),
            line_speed: self.line_speed.get(),
            pull: self.pull.get(),
        }
    }
}

/// Fits a motor's constants to points by least squares, and warns where they can't distinguish two of them.
///
/// `residuals` takes `point_count` entries, one for each point; it may be NULL. It must not overlap `points`.
/// Formula: at the top of this topic in rope_mechanics.h.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_motor_fit_points(
    points: *const rmech_motor_point,
    point_count: usize,
    residuals: *mut rmech_motor_residual,
    fit: *mut rmech_motor_fit,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let points = unsafe { inputs("points", points, point_count)? };
        // SAFETY: as above.
        unsafe { writable_growing("fit", fit)? };
        if !residuals.is_null() {
            writable("residuals", residuals)?;
        }
        apart(("points", points), ("residuals", residuals, point_count))?;
        apart(("points", points), ("fit", fit, 1))?;
        let found = fit_motor(points.iter().map(rmech_motor_point::get))
            .listed("voltage", "points", "voltage", points.iter().map(|point| point.voltage.volts))
            .listed("current", "points", "current", points.iter().map(|point| point.current.amperes))
            .listed("speed", "points", "speed", points.iter().map(|point| point.speed.radians_per_second))
            .listed("torque", "points", "torque", points.iter().map(|point| point.torque.newton_metres))?;
        // SAFETY: as above; `residuals` takes as many entries as there are points.
        unsafe {
            growing_output("fit", fit, found.into())?;
            if !residuals.is_null() {
                for (n, point) in points.iter().enumerate() {
                    let off = found.residual(&point.get());
                    let off = rmech_motor_residual { voltage: off.voltage.into(), torque: off.torque.into() };
                    residuals.add(n).write(off);
                }
            }
        }
        Ok(())
    })
}

/// Fits a winch's motor and gear to points by least squares, its gear ratio and radius known.
///
/// `residuals` takes `point_count` entries, one for each point; it may be NULL. It must not overlap `points`.
/// Formula: at the top of this topic in rope_mechanics.h.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_winch_fit_points(
    points: *const rmech_winch_point,
    point_count: usize,
    gear_ratio: *const rmech_ratio,
    radius: *const rmech_length,
    residuals: *mut rmech_winch_residual,
    fit: *mut rmech_motor_fit,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (points, ratio, radius) = unsafe {
            (
                inputs("points", points, point_count)?,
                input("gear_ratio", gear_ratio)?.get(),
                input("radius", radius)?.get(),
            )
        };
        // SAFETY: as above.
        unsafe { writable_growing("fit", fit)? };
        if !residuals.is_null() {
            writable("residuals", residuals)?;
        }
        apart(("points", points), ("residuals", residuals, point_count))?;
        apart(("points", points), ("fit", fit, 1))?;
        let found = fit_winch(points.iter().map(rmech_winch_point::get), ratio, radius)
            .named("winch_radius", "radius")
            .listed("voltage", "points", "voltage", points.iter().map(|point| point.voltage.volts))
            .listed("current", "points", "current", points.iter().map(|point| point.current.amperes))
            .listed(
                "line_speed",
                "points",
                "line_speed",
                points.iter().map(|point| point.line_speed.metres_per_second),
            )
            .listed("pull", "points", "pull", points.iter().map(|point| point.pull.newtons))?;
        // SAFETY: as above; `residuals` takes as many entries as there are points.
        unsafe {
            growing_output("fit", fit, found.into())?;
            if !residuals.is_null() {
                for (n, point) in points.iter().enumerate() {
                    let off = found.residual(&point.get());
                    let off =
                        rmech_winch_residual { voltage: off.voltage.into(), current: off.current.into() };
                    residuals.add(n).write(off);
                }
            }
        }
        Ok(())
    })
}
