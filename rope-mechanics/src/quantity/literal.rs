//! Quantities written as in the C header: `m(52.0)`, `kn(62.0)`, `lbf(740.0)`, ready to import by name.
//!
//! ```
//! use rope_mechanics::quantity::literal::{ft, g_per_m, kn, lbf, m};
//! use rope_mechanics::quantity::{Force, Length, line_weight_of, unit::pound_force};
//!
//! const HEAD: Length = m(2.7);
//! assert_eq!(ft(145.0) - HEAD, m(145.0 * 0.3048 - 2.7));
//! assert_eq!(lbf(740.0), Force::new::<pound_force>(740.0));
//! assert!(kn(3.2) < lbf(740.0));
//! assert!(line_weight_of(g_per_m(85.0)).value < 0.84);
//! ```
//!
//! Each multiplies by the size of its unit in SI once, so that the same number gives the same bits in C. Nothing is
//! checked here: what a quantity may be is checked where it is used.

use super::{
    Angle, ElectricCharge, ElectricCurrent, ElectricPotential, ElectricalResistance, Energy, Force, Length,
    LineMass, LineWeight, Mass, MotorConstant, Power, Ratio, ThermodynamicTemperature, Time, Torque,
    TurningSpeed, Velocity, exact,
};

macro_rules! literals {
    ($($name:ident -> $quantity:ident, $size:expr, $doc:literal;)+) => { $(
        #[doc = $doc]
        #[must_use]
        pub const fn $name(value: f64) -> $quantity {
            $quantity {
                dimension: core::marker::PhantomData,
                units: core::marker::PhantomData,
                value: value * $size,
            }
        }
    )+ };
}

literals! {
    m -> Length, 1.0, "Metres.";
    mm -> Length, 1e-3, "Millimetres.";
    ft -> Length, exact::FOOT_M, "Feet.";
    inch -> Length, exact::FOOT_M / 12.0, "Inches.";
    n -> Force, 1.0, "Newtons.";
    kn -> Force, 1e3, "Kilonewtons.";
    lbf -> Force, exact::POUND_FORCE_N, "Pounds-force.";
    kg -> Mass, 1.0, "Kilograms.";
    lb -> Mass, exact::POUND_KG, "Pounds, of mass.";
    kg_per_m -> LineMass, 1.0, "Kilograms of a metre of rope.";
    g_per_m -> LineMass, 1e-3, "Grams of a metre of rope.";
    n_per_m -> LineWeight, 1.0, "Newtons a metre: weight of a rope, or stiffness.";
    kn_per_m -> LineWeight, 1e3, "Kilonewtons a metre, of a stiffness.";
    rad -> Angle, 1.0, "Radians.";
    deg -> Angle, core::f64::consts::PI / 180.0, "Degrees.";
    fraction -> Ratio, 1.0, "A share of one.";
    percent -> Ratio, 1e-2, "A share of a hundred.";
    m_per_s -> Velocity, 1.0, "Metres a second.";
    ft_per_min -> Velocity, exact::FOOT_M / 60.0, "Feet a minute.";
    s -> Time, 1.0, "Seconds.";
    min -> Time, 60.0, "Minutes.";
    h -> Time, 3600.0, "Hours.";
    j -> Energy, 1.0, "Joules.";
    kj -> Energy, 1e3, "Kilojoules.";
    w -> Power, 1.0, "Watts.";
    n_m -> Torque, 1.0, "Newton metres.";
    a -> ElectricCurrent, 1.0, "Amperes.";
    v -> ElectricPotential, 1.0, "Volts.";
    ohm -> ElectricalResistance, 1.0, "Ohms.";
    mohm -> ElectricalResistance, 1e-3, "Milliohms.";
    ah -> ElectricCharge, 3600.0, "Ampere hours.";
    n_m_per_a -> MotorConstant, 1.0, "Newton metres an ampere.";
    rad_per_s -> TurningSpeed, 1.0, "Radians a second.";
    rpm -> TurningSpeed, core::f64::consts::PI / 30.0, "Revolutions a minute.";
}

/// Degrees Celsius.
#[must_use]
pub const fn celsius(value: f64) -> ThermodynamicTemperature {
    super::kelvins(value + 273.15)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::unit;

    #[test]
    fn each_is_the_quantity_of_its_unit() {
        // Rounded once here, and once or twice there.
        let same =
            |ours: f64, theirs: f64| assert!((ours - theirs).abs() <= 2.0 * f64::EPSILON * theirs.abs());
        same(inch(7.3).value, Length::new::<unit::inch>(7.3).value);
        same(mm(7.3).value, Length::new::<unit::millimeter>(7.3).value);
        same(ft(7.3).value, Length::new::<unit::foot>(7.3).value);
        same(kn(7.3).value, Force::new::<unit::kilonewton>(7.3).value);
        same(lbf(7.3).value, Force::new::<unit::pound_force>(7.3).value);
        same(lb(7.3).value, Mass::new::<unit::pound>(7.3).value);
        same(g_per_m(73.0).value, LineMass::new::<unit::gram_per_meter>(73.0).value);
        same(kn_per_m(7.3).value, LineWeight::new::<unit::kilonewton_per_meter>(7.3).value);
        same(deg(73.0).value, Angle::new::<unit::degree>(73.0).value);
        same(percent(7.3).value, Ratio::new::<unit::percent>(7.3).value);
        same(ft_per_min(7.3).value, Velocity::new::<unit::foot_per_minute>(7.3).value);
        same(min(7.3).value, Time::new::<unit::minute>(7.3).value);
        same(h(7.3).value, Time::new::<unit::hour>(7.3).value);
        same(kj(7.3).value, Energy::new::<unit::kilojoule>(7.3).value);
        same(mohm(7.3).value, ElectricalResistance::new::<unit::milliohm>(7.3).value);
        same(ah(7.3).value, ElectricCharge::new::<unit::ampere_hour>(7.3).value);
        same(rpm(730.0).value, TurningSpeed::new::<unit::revolution_per_minute>(730.0).value);
        same(celsius(-7.3).value, ThermodynamicTemperature::new::<unit::degree_celsius>(-7.3).value);
    }
}
