//! The quantities and units that this trade needs.
//!
//! Quantities are [`uom`] types holding SI base units in `f64`, so a length can't be given for a force.
//! Units are imported by name from [`unit`](mod@unit); those that uom rounds to seven digits (pound-force, pound,
//! horsepower, pounds per foot) or lacks (grams per metre, newtons per metre, pounds-force per foot) are defined here
//! exactly.
//!
//! ```
//! use rope_mechanics::quantity::{Force, Length, LineMass, line_weight_of};
//! use rope_mechanics::quantity::unit::{foot, gram_per_meter, kilonewton, newton_per_meter, pound_force};
//!
//! let reading = Force::new::<pound_force>(930.0);
//! assert_eq!(reading.value, 930.0 * 4.4482216152605); // `value` is in newtons
//! assert!((reading.get::<kilonewton>() - 4.1368).abs() < 1e-4);
//! assert_eq!(Length::new::<foot>(280.0).value, 280.0 * 0.3048);
//! let rope = line_weight_of(LineMass::new::<gram_per_meter>(85.0));
//! assert!((rope.get::<newton_per_meter>() - 0.83357).abs() < 1e-5);
//! ```
//!
//! Source of the imperial units: the international foot (0.3048 m) and pound (0.453 592 37 kg) of 1959 and
//! standard gravity 9.806 65 m/s² (3rd General Conference on Weights and Measures, 1901); 1 lbf is their
//! product. From memory; all three are exact by definition.

pub use uom::si::f64::{
    Acceleration, Angle, Area, ElectricCharge, ElectricCurrent, ElectricPotential, ElectricalResistance,
    Energy, Force, Length, Mass, Power, Pressure, Ratio, TemperatureInterval, ThermodynamicTemperature, Time,
    Torque, Velocity,
};
use uom::si::{ISQ, Quantity, SI};
use uom::typenum::{N1, N2, N3, P1, P2, Z0};

/// Weight of a line per metre of its unstretched length.
///
/// The same dimension serves for the stiffness of a spring, [`Stiffness`].
pub type LineWeight = Quantity<ISQ<Z0, P1, N2, Z0, Z0, Z0, Z0>, SI<f64>, f64>;

/// Force per length: how hard a rope, leg or spring resists being stretched by a metre.
pub type Stiffness = LineWeight;

/// Length per force: how far a point moves for a newton.
pub type Flexibility = Quantity<ISQ<Z0, N1, P2, Z0, Z0, Z0, Z0>, SI<f64>, f64>;

/// Mass per metre of unstretched rope.
pub type LineMass = Quantity<ISQ<N1, P1, Z0, Z0, Z0, Z0, Z0>, SI<f64>, f64>;

/// Torque of a motor per ampere, which in SI is also its volts per radian a second.
pub type MotorConstant = Quantity<ISQ<P2, P1, N2, N1, Z0, Z0, Z0>, SI<f64>, f64>;

/// Turning speed.
pub type TurningSpeed = uom::si::f64::AngularVelocity;

/// Heat taken up for each kelvin.
pub type HeatCapacity = Quantity<ISQ<P2, P1, N2, Z0, N1, Z0, Z0>, SI<f64>, f64>;

/// Kelvin for each watt of loss at steady state.
pub type ThermalResistance = Quantity<ISQ<N2, N1, uom::typenum::P3, Z0, P1, Z0, Z0>, SI<f64>, f64>;

/// The rate of losing heat for each kelvin: the reciprocal of [`ThermalResistance`].
pub type ThermalConductance = Quantity<ISQ<P2, P1, N3, Z0, N1, Z0, Z0>, SI<f64>, f64>;

/// Standard gravity, 9.806 65 m/s², with which every mass here becomes a weight.
///
/// True gravity differs by at most 0.3 % on the road network of the earth, far inside every band given here.
pub const STANDARD_GRAVITY_M_PER_S2: f64 = 9.806_65;

/// The weight of a mass under standard gravity.
///
/// W = m·g
///
/// ```
/// use rope_mechanics::quantity::{Force, Mass, unit::{kilogram, newton}, weight_of};
/// assert_eq!(weight_of(Mass::new::<kilogram>(250.0)).get::<newton>(), 2451.6625);
/// ```
#[must_use]
pub fn weight_of(mass: Mass) -> Force {
    Force::new::<unit::newton>(mass.value * STANDARD_GRAVITY_M_PER_S2)
}

/// The weight of a metre of line under standard gravity.
///
/// w = m'·g
///
/// ```
/// use rope_mechanics::quantity::{LineMass, line_weight_of, unit::{gram_per_meter, newton_per_meter}};
/// let doubled = 2.0 * line_weight_of(LineMass::new::<gram_per_meter>(85.0));
/// assert_eq!(doubled.get::<newton_per_meter>(), 2.0 * 0.085 * 9.80665);
/// ```
#[must_use]
pub fn line_weight_of(mass: LineMass) -> LineWeight {
    n_per_m(mass.value * STANDARD_GRAVITY_M_PER_S2)
}

// The short constructors below are for kernels that have their results in SI.

pub(crate) fn metres(value: f64) -> Length {
    Length { dimension: core::marker::PhantomData, units: core::marker::PhantomData, value }
}

pub(crate) fn newtons(value: f64) -> Force {
    Force { dimension: core::marker::PhantomData, units: core::marker::PhantomData, value }
}

pub(crate) fn n_per_m(value: f64) -> LineWeight {
    LineWeight { dimension: core::marker::PhantomData, units: core::marker::PhantomData, value }
}

pub(crate) fn ratio(value: f64) -> Ratio {
    Ratio { dimension: core::marker::PhantomData, units: core::marker::PhantomData, value }
}

pub(crate) fn radians(value: f64) -> Angle {
    Angle::new::<unit::radian>(value)
}

/// The units, to be imported by name.
pub mod unit {
    pub use uom::si::acceleration::meter_per_second_squared;
    pub use uom::si::angle::{degree, radian, revolution};
    pub use uom::si::angular_velocity::{radian_per_second, revolution_per_minute};
    pub use uom::si::area::{square_foot, square_meter, square_millimeter};
    pub use uom::si::electric_charge::{ampere_hour, coulomb};
    pub use uom::si::electric_current::ampere;
    pub use uom::si::electric_potential::volt;
    pub use uom::si::electrical_resistance::{milliohm, ohm};
    pub use uom::si::energy::{joule, kilojoule, watt_hour};
    pub use uom::si::force::{kilonewton, newton};
    pub use uom::si::length::{centimeter, foot, inch, meter, millimeter};
    pub use uom::si::linear_mass_density::kilogram_per_meter;
    pub use uom::si::mass::{gram, kilogram};
    pub use uom::si::power::{kilowatt, watt};
    pub use uom::si::pressure::{megapascal, pascal};
    pub use uom::si::ratio::{percent, ratio};
    pub use uom::si::temperature_interval::kelvin as kelvin_interval;
    pub use uom::si::thermodynamic_temperature::{degree_celsius, degree_fahrenheit, kelvin};
    pub use uom::si::time::{hour, minute, second};
    pub use uom::si::torque::newton_meter;
    pub use uom::si::velocity::{foot_per_minute, foot_per_second, meter_per_second};

    pub use super::force_units::pound_force;
    pub use super::line_mass_units::{gram_per_meter, pound_per_foot};
    pub use super::line_weight_units::{kilonewton_per_meter, newton_per_meter, pound_force_per_foot};
    pub use super::mass_units::pound;
    pub use super::power_units::horsepower;
}

// uom's own pound-force, pound, pounds per foot and horsepower are rounded to seven digits. These are exact.
mod force_units {
    unit! {
        system: uom::si;
        quantity: uom::si::force;

        @pound_force: 4.448_221_615_260_5; "lbf", "pound-force", "pounds-force";
    }
}

mod mass_units {
    unit! {
        system: uom::si;
        quantity: uom::si::mass;

        @pound: 0.453_592_37; "lb", "pound", "pounds";
    }
}

mod line_mass_units {
    unit! {
        system: uom::si;
        quantity: uom::si::linear_mass_density;

        @gram_per_meter: 1.0e-3; "g/m", "gram per meter", "grams per meter";
        @pound_per_foot: 0.453_592_37 / 0.3048; "lb/ft", "pound per foot", "pounds per foot";
    }
}

// uom has force per length as the energy of radiation per area, which has the same dimension and no kind of its own.
mod line_weight_units {
    unit! {
        system: uom::si;
        quantity: uom::si::radiant_exposure;

        @newton_per_meter: 1.0; "N/m", "newton per meter", "newtons per meter";
        @kilonewton_per_meter: 1.0e3; "kN/m", "kilonewton per meter", "kilonewtons per meter";
        @pound_force_per_foot: 4.448_221_615_260_5 / 0.3048; "lbf/ft", "pound-force per foot",
            "pounds-force per foot";
    }
}

mod power_units {
    unit! {
        system: uom::si;
        quantity: uom::si::power;

        // 550 ft·lbf/s
        @horsepower: 745.699_871_582_270_2; "hp", "horsepower", "horsepower";
    }
}

#[cfg(test)]
mod tests {
    use super::unit::{
        foot, gram_per_meter, horsepower, kilogram, kilogram_per_meter, kilonewton_per_meter, meter, newton,
        newton_per_meter, pound, pound_force, pound_force_per_foot, pound_per_foot, watt,
    };
    use super::{Force, Length, LineMass, LineWeight, Mass, Power, Stiffness, line_weight_of};

    #[test]
    fn imperial_units_are_exact() {
        assert_eq!(Force::new::<pound_force>(1.0).get::<newton>(), 0.453_592_37 * 9.806_65);
        assert_eq!(Mass::new::<pound>(1.0).get::<kilogram>(), 0.453_592_37);
        assert_eq!(Length::new::<foot>(1.0).get::<meter>(), 0.3048);
        let hp = 550.0 * 0.3048 * (0.453_592_37 * 9.806_65);
        assert!((Power::new::<horsepower>(1.0).get::<watt>() / hp - 1.0).abs() < 2.0 * f64::EPSILON);
    }

    #[test]
    fn a_metre_and_a_foot_of_rope_weigh_what_their_length_and_weight_say() {
        let a_foot = Length::new::<foot>(1.0);
        assert_eq!(LineMass::new::<gram_per_meter>(85.0).get::<kilogram_per_meter>(), 0.085);
        assert_eq!(LineMass::new::<pound_per_foot>(1.0), Mass::new::<pound>(1.0) / a_foot);
        assert_eq!(LineWeight::new::<pound_force_per_foot>(1.0), Force::new::<pound_force>(1.0) / a_foot);
        assert_eq!(Stiffness::new::<kilonewton_per_meter>(2.0).get::<newton_per_meter>(), 2000.0);
        // One pound weighs one pound-force; the products round apart by an ulp or two.
        let weight = line_weight_of(LineMass::new::<pound_per_foot>(0.057)).get::<pound_force_per_foot>();
        assert!((weight / 0.057 - 1.0).abs() < 4.0 * f64::EPSILON);
    }
}
