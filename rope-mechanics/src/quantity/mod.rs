//! The quantities and units that this trade needs.
//!
//! Quantities are [`uom`] types holding SI base units in `f64`, so a length can't be given for a force.
//! Units are imported by name from [`unit`](mod@unit); those that uom rounds to seven digits (pound-force, pound,
//! horsepower, pounds per foot) or lacks (grams per metre, newtons per metre, pounds-force per foot) are defined here
//! exactly. Short forms as in C, such as `m(52.0)`, stand in [`literal`].
//!
//! ```
//! use rope_mechanics::quantity::{Force, Length, LineMass, line_weight_of};
//! use rope_mechanics::quantity::unit::{foot, gram_per_meter, kilonewton, newton_per_meter, pound_force};
//!
//! let reading = Force::new::<pound_force>(845.0);
//! assert_eq!(reading.value, 845.0 * 4.4482216152605); // `value` is in newtons
//! assert!((reading.get::<kilonewton>() - 3.7587).abs() < 1e-4);
//! assert_eq!(Length::new::<foot>(310.0).value, 310.0 * 0.3048);
//! let rope = line_weight_of(LineMass::new::<gram_per_meter>(85.0));
//! assert!((rope.get::<newton_per_meter>() - 0.83357).abs() < 1e-5);
//! ```
//!
//! Source of the imperial units: the international foot (0.3048 m) and pound (0.453 592 37 kg) of 1959 and
//! standard gravity 9.806 65 m/s² (3rd General Conference on Weights and Measures, 1901); 1 lbf is their
//! product. From memory; all three are exact by definition.

mod band;
pub mod literal;
mod mark;
pub mod unit;

pub use band::Band;
pub use mark::Mark;
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
pub const STANDARD_GRAVITY_M_PER_S2: f64 = exact::GRAVITY_M_PER_S2;

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

/// The figures of all units that are no power of ten of another, once: [`unit`](mod@unit) and
/// [`text`](mod@crate::text) are made from them.
pub(crate) mod exact {
    /// The international foot of 1959.
    pub(crate) const FOOT_M: f64 = 0.3048;
    /// The international pound of 1959.
    pub(crate) const POUND_KG: f64 = 0.453_592_37;
    /// Standard gravity.
    pub(crate) const GRAVITY_M_PER_S2: f64 = 9.806_65;
    /// lbf = lb·g: all its digits, which the product of the two rounds.
    pub(crate) const POUND_FORCE_N: f64 = 4.448_221_615_260_5;
    /// hp = 550 ft·lbf/s
    pub(crate) const HORSEPOWER_W: f64 = 550.0 * FOOT_M * POUND_FORCE_N;
}

/// From their value in SI, for kernels that have their results in it: each makes one quantity only.
macro_rules! from_si {
    ($($name:ident -> $quantity:ident,)+) => { $(
        pub(crate) const fn $name(value: f64) -> $quantity {
            $quantity { dimension: core::marker::PhantomData, units: core::marker::PhantomData, value }
        }
    )+ };
}

from_si! {
    metres -> Length,
    metres_per_second -> Velocity,
    newtons -> Force,
    n_per_m -> LineWeight,
    newton_metres -> Torque,
    joules -> Energy,
    watts -> Power,
    seconds -> Time,
    ratio -> Ratio,
    radians -> Angle,
    radians_per_second -> TurningSpeed,
    kelvins -> ThermodynamicTemperature,
    kelvins_apart -> TemperatureInterval,
    volts -> ElectricPotential,
    amperes -> ElectricCurrent,
    ohms -> ElectricalResistance,
    coulombs -> ElectricCharge,
    volt_seconds -> MotorConstant,
}
