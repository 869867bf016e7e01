//! The units, to be imported by name.
//!
//! Those that uom rounds to seven digits or lacks are defined here, exactly.

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

pub use force_units::pound_force;
pub use line_mass_units::{gram_per_meter, pound_per_foot};
pub use line_weight_units::{kilonewton_per_meter, newton_per_meter, pound_force_per_foot};
pub use mass_units::pound;
pub use power_units::horsepower;

// uom rounds pound-force, pound, pounds per foot and horsepower to seven digits. These are exact.
mod force_units {
    unit! {
        system: uom::si;
        quantity: uom::si::force;

        @pound_force: crate::quantity::exact::POUND_FORCE_N; "lbf", "pound-force", "pounds-force";
    }
}

mod mass_units {
    unit! {
        system: uom::si;
        quantity: uom::si::mass;

        @pound: crate::quantity::exact::POUND_KG; "lb", "pound", "pounds";
    }
}

mod line_mass_units {
    unit! {
        system: uom::si;
        quantity: uom::si::linear_mass_density;

        @gram_per_meter: 1.0e-3; "g/m", "gram per meter", "grams per meter";
        @pound_per_foot: crate::quantity::exact::POUND_KG / crate::quantity::exact::FOOT_M; "lb/ft", "pound per foot", "pounds per foot";
    }
}

// uom has force per length as the energy of radiation per area, which has the same dimension and no kind of its own.
mod line_weight_units {
    unit! {
        system: uom::si;
        quantity: uom::si::radiant_exposure;

        @newton_per_meter: 1.0; "N/m", "newton per meter", "newtons per meter";
        @kilonewton_per_meter: 1.0e3; "kN/m", "kilonewton per meter", "kilonewtons per meter";
        @pound_force_per_foot: crate::quantity::exact::POUND_FORCE_N / crate::quantity::exact::FOOT_M; "lbf/ft", "pound-force per foot",
            "pounds-force per foot";
    }
}

mod power_units {
    unit! {
        system: uom::si;
        quantity: uom::si::power;

        @horsepower: crate::quantity::exact::HORSEPOWER_W; "hp", "horsepower", "horsepower";
    }
}

#[cfg(test)]
mod tests {
    use super::{
        foot, gram_per_meter, horsepower, kilogram, kilogram_per_meter, kilonewton_per_meter, meter, newton,
        newton_per_meter, pound, pound_force, pound_force_per_foot, pound_per_foot, watt,
    };
    use crate::quantity::{Force, Length, LineMass, LineWeight, Mass, Power, Stiffness, line_weight_of};

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
