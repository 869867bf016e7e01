//! Quantities as C sees them.
//!
//! ```text
//! A value is a double in the SI unit of its member's name; rope_mechanics_units.h converts exactly (pound 0.45359237 kg, foot
//! 0.3048 m, g = 9.80665 m/s^2). Axes: x level, outward from the head over the slope; y level, to the left of somebody who
//! looks out; z up.
//! ```
//!
//! ```c
//! rmech_force pull = rmech_lbf(740.0); // built in one unit, read in another
//! rmech_point head = {rmech_m(0.0), rmech_m(0.0), rmech_ft(10.0)};
//! printf("%.2f kN, %.2f m\n", rmech_in_kn(pull), rmech_in_m(head.z)); // 3.29 kN, 3.05 m
//! ```

use crate::error::{Failure, Named};
use rope_mechanics::quantity as core;

macro_rules! convert {
    ($($c:ident.$unit:ident = $rust:ident;)*) => { $(
        impl $c {
            /// The quantity as the library knows it.
            #[allow(dead_code, reason = "the same set for each type")]
            pub(crate) fn get(self) -> core::$rust {
                core::$rust { dimension: ::core::marker::PhantomData, units: ::core::marker::PhantomData, value: self.$unit }
            }
        }

        impl From<core::$rust> for $c {
            fn from(quantity: core::$rust) -> Self {
                Self { $unit: quantity.value }
            }
        }
    )* };
}

/// A length.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_length {
    /// In metres.
    pub metres: f64,
}

/// A force.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_force {
    /// In newtons.
    pub newtons: f64,
}

/// A mass.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_mass {
    /// In kilograms.
    pub kilograms: f64,
}

/// A mass per metre of unstretched line.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_line_mass {
    /// In kilograms per metre.
    pub kilograms_per_metre: f64,
}

/// A force per metre of unstretched line: its weight.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_line_weight {
    /// In newtons per metre.
    pub newtons_per_metre: f64,
}

/// A force per metre of stretch.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_stiffness {
    /// In newtons per metre.
    pub newtons_per_metre: f64,
}

/// An angle.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_angle {
    /// In radians.
    pub radians: f64,
}

/// A plain ratio: an efficiency, a coefficient of friction, a strain.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_ratio {
    /// As a fraction: 0.02, not 2.
    pub fraction: f64,
}

/// A speed.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_velocity {
    /// In metres per second.
    pub metres_per_second: f64,
}

/// A time.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_time {
    /// In seconds.
    pub seconds: f64,
}

/// An energy.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_energy {
    /// In joules.
    pub joules: f64,
}

/// A power.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_power {
    /// In watts.
    pub watts: f64,
}

/// A torque.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_torque {
    /// In newton metres.
    pub newton_metres: f64,
}

/// An electric current.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_current {
    /// In amperes.
    pub amperes: f64,
}

/// A voltage.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_voltage {
    /// In volts.
    pub volts: f64,
}

/// An electrical resistance.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_resistance {
    /// In ohms.
    pub ohms: f64,
}

/// An electric charge.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_charge {
    /// In coulombs: 3600 to the ampere hour.
    pub coulombs: f64,
}

/// The torque of a motor per ampere.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_motor_constant {
    /// In newton metres per ampere, which is volt seconds per radian.
    pub newton_metres_per_ampere: f64,
}

/// A turning speed.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_turning_speed {
    /// In radians per second.
    pub radians_per_second: f64,
}

/// A temperature.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_temperature {
    /// In kelvin: degrees Celsius plus 273.15.
    pub kelvin: f64,
}

/// An area.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_area {
    /// In square metres.
    pub square_metres: f64,
}

/// A difference of two temperatures.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_temperature_interval {
    /// In kelvin.
    pub kelvin: f64,
}

/// A heat capacity.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_heat_capacity {
    /// In joules per kelvin.
    pub joules_per_kelvin: f64,
}

/// A thermal resistance.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_thermal_resistance {
    /// In kelvin per watt.
    pub kelvin_per_watt: f64,
}

/// A pressure.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_pressure {
    /// In pascals.
    pub pascals: f64,
}

/// A rate at which a force rises.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_force_rate {
    /// In newtons per second.
    pub newtons_per_second: f64,
}

/// A current squared times a time: what a fuse can take, or a winding too quick to cool.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_current_squared_time {
    /// In ampere squared seconds.
    pub ampere_squared_seconds: f64,
}

convert! {
    rmech_length.metres = Length;
    rmech_force.newtons = Force;
    rmech_mass.kilograms = Mass;
    rmech_line_mass.kilograms_per_metre = LineMass;
    rmech_line_weight.newtons_per_metre = LineWeight;
    rmech_stiffness.newtons_per_metre = Stiffness;
    rmech_angle.radians = Angle;
    rmech_ratio.fraction = Ratio;
    rmech_velocity.metres_per_second = Velocity;
    rmech_time.seconds = Time;
    rmech_energy.joules = Energy;
    rmech_power.watts = Power;
    rmech_torque.newton_metres = Torque;
    rmech_current.amperes = ElectricCurrent;
    rmech_voltage.volts = ElectricPotential;
    rmech_resistance.ohms = ElectricalResistance;
    rmech_charge.coulombs = ElectricCharge;
    rmech_motor_constant.newton_metres_per_ampere = MotorConstant;
    rmech_turning_speed.radians_per_second = TurningSpeed;
    rmech_temperature.kelvin = ThermodynamicTemperature;
    rmech_area.square_metres = Area;
    rmech_temperature_interval.kelvin = TemperatureInterval;
    rmech_heat_capacity.joules_per_kelvin = HeatCapacity;
    rmech_thermal_resistance.kelvin_per_watt = ThermalResistance;
    rmech_pressure.pascals = Pressure;
}

/// A point in space: x horizontal, outward from the head; y horizontal, to the left of somebody who looks out; z up.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_point {
    /// Horizontal, outward.
    pub x: rmech_length,
    /// Horizontal, to the left.
    pub y: rmech_length,
    /// Up.
    pub z: rmech_length,
}

/// A force in space, in the axes of `rmech_point`.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_force3 {
    /// Horizontal, outward.
    pub x: rmech_force,
    /// Horizontal, to the left.
    pub y: rmech_force,
    /// Up.
    pub z: rmech_force,
}

impl From<rope_mechanics::winch::ForceRate> for rmech_force_rate {
    fn from(rate: rope_mechanics::winch::ForceRate) -> Self {
        Self { newtons_per_second: rate.value }
    }
}

impl From<rope_mechanics::winch::CurrentSquaredTime> for rmech_current_squared_time {
    fn from(taken: rope_mechanics::winch::CurrentSquaredTime) -> Self {
        Self { ampere_squared_seconds: taken.value }
    }
}

impl rmech_point {
    #[allow(dead_code, reason = "the same set for each type")]
    pub(crate) fn get(self) -> rope_mechanics::geometry::Point3 {
        rope_mechanics::geometry::Point3::new(self.x.get(), self.y.get(), self.z.get())
    }
}

impl From<rope_mechanics::geometry::Point3> for rmech_point {
    fn from(p: rope_mechanics::geometry::Point3) -> Self {
        Self { x: p.x.into(), y: p.y.into(), z: p.z.into() }
    }
}

impl rmech_force3 {
    #[allow(dead_code, reason = "the same set for each type")]
    pub(crate) fn get(self) -> rope_mechanics::geometry::Force3 {
        rope_mechanics::geometry::Force3::new(self.x.get(), self.y.get(), self.z.get())
    }
}

impl From<rope_mechanics::geometry::Force3> for rmech_force3 {
    fn from(f: rope_mechanics::geometry::Force3) -> Self {
        Self { x: f.x.into(), y: f.y.into(), z: f.z.into() }
    }
}

/// A direction in space: a vector in the axes of `rmech_point`, whose length doesn't matter.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_direction {
    /// Horizontal, outward.
    pub x: rmech_ratio,
    /// Horizontal, to the left.
    pub y: rmech_ratio,
    /// Up.
    pub z: rmech_ratio,
}

impl rmech_direction {
    pub(crate) fn get(self) -> Result<rope_mechanics::geometry::Direction3, Failure> {
        rope_mechanics::geometry::Direction3::new(self.x.get(), self.y.get(), self.z.get())
            // All three zero: the fault is of the whole.
            .named("direction", "")
    }
}

macro_rules! coordinates {
    ($($structure:ty, $unit:ident: $($axis:ident)+;)*) => { $(
        impl crate::error::Coordinates for $structure {
            fn coordinates(&self) -> impl Iterator<Item = (&'static str, f64)> {
                [$((stringify!($axis), self.$axis.$unit)),+].into_iter()
            }
        }
    )* };
}
pub(crate) use coordinates;

coordinates! {
    rmech_point, metres: x y z;
    rmech_force3, newtons: x y z;
}

/// A force that lies between two.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_force_band {
    /// At least this.
    pub low: rmech_force,
    /// At most this.
    pub high: rmech_force,
}

impl From<rope_mechanics::quantity::Band<rope_mechanics::quantity::Force>> for rmech_force_band {
    fn from(band: rope_mechanics::quantity::Band<rope_mechanics::quantity::Force>) -> Self {
        Self { low: band.low.into(), high: band.high.into() }
    }
}
