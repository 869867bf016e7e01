//! What is wrong with an input, and what a solver promises of its answer.
//!
//! Every function here checks its inputs once, at the boundary: finite, of the right sign, within a range that
//! no rope on earth leaves. The error names the input, gives its value in SI, and says what is allowed.
//!
//! **The smallest sizes.** What must be above zero must be at least 1e-30 of its SI unit; what may be zero must be
//! zero or at least that. Smaller numbers come from a slip of units or from rounding, and their products leave the
//! range of the numbers, where no answer could be certified.

use crate::quantity::{
    Acceleration, Angle, Area, ElectricCharge, ElectricCurrent, ElectricPotential, ElectricalResistance,
    Energy, Force, HeatCapacity, Length, LineMass, LineWeight, Mass, MotorConstant, Power, Ratio,
    TemperatureInterval, ThermalConductance, ThermalResistance, ThermodynamicTemperature, Time, Torque,
    TurningSpeed, Velocity,
};
use core::fmt;

/// An input that can't be used: which one, its value in SI, and what is allowed.
///
/// ```
/// use rope_mechanics::{quantity::{Force, unit::newton}, rope::Stretch};
///
/// let stretch = Stretch::linear(Force::new::<newton>(-1.0));
/// assert_eq!(stretch.unwrap_err().to_string(), "axial_stiffness is -1 N, but must be above 0 N");
/// ```
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error("{}", self.called(field))]
#[non_exhaustive]
pub struct InputError {
    /// The input at fault, as its parameter or field is called.
    pub field: &'static str,
    /// Its value in SI.
    pub value: f64,
    /// The SI unit of the value and of what is allowed; empty for a plain number.
    pub unit: &'static str,
    /// What is allowed.
    pub allowed: Allowed,
}

impl InputError {
    /// An error about a value, in SI.
    #[must_use]
    pub const fn new(field: &'static str, value: f64, unit: &'static str, allowed: Allowed) -> Self {
        Self { field, value, unit, allowed }
    }

    /// The sentence of this error about an input that the reader knows by another name.
    ///
    /// ```
    /// use rope_mechanics::{quantity::{Force, unit::newton}, rope::Stretch};
    ///
    /// let why = Stretch::linear(Force::new::<newton>(-1.0)).unwrap_err();
    /// assert_eq!(why.called("EA").to_string(), "EA is -1 N, but must be above 0 N");
    /// ```
    pub fn called(&self, name: &str) -> impl fmt::Display {
        Called { name, why: *self }
    }
}

/// An error about an input of that name.
struct Called<'a> {
    name: &'a str,
    why: InputError,
}

impl fmt::Display for Called<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let InputError { value, allowed, .. } = self.why;
        let (name, unit) = (self.name, Unit(self.why.unit));
        if !value.is_finite() && allowed == Allowed::Finite {
            return write!(f, "{name} is {value}, but must be {allowed}");
        }
        write!(f, "{name} is {}{unit}, but must be {allowed}{unit}", Shown(value))
    }
}

/// What values an input may take, in the SI unit of its [`InputError`].
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Allowed {
    /// Any number that is neither infinite nor NaN.
    Finite,
    /// Above this.
    Above(f64),
    /// Below this.
    Below(f64),
    /// At least this.
    AtLeast(f64),
    /// At most this.
    AtMost(f64),
    /// From the first to the second, both included.
    Within(f64, f64),
    /// Anything but this.
    OtherThan(f64),
    /// Zero, or at least this.
    ZeroOrAtLeast(f64),
}

impl fmt::Display for Allowed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Finite => f.write_str("finite"),
            Self::Above(x) => write!(f, "above {}", Shown(*x)),
            Self::Below(x) => write!(f, "below {}", Shown(*x)),
            Self::AtLeast(x) => write!(f, "at least {}", Shown(*x)),
            Self::AtMost(x) => write!(f, "at most {}", Shown(*x)),
            Self::Within(lo, hi) => write!(f, "from {} to {}", Shown(*lo), Shown(*hi)),
            Self::OtherThan(x) => write!(f, "other than {}", Shown(*x)),
            Self::ZeroOrAtLeast(x) => write!(f, "zero, or at least {}", Shown(*x)),
        }
    }
}

/// A number in a message: with an exponent where its zeros would fill the line.
struct Shown(f64);

impl fmt::Display for Shown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let size = self.0.abs();
        if size == 0.0 || !size.is_finite() || (1e-4..=1e9).contains(&size) {
            write!(f, "{}", self.0)
        } else {
            write!(f, "{:e}", self.0)
        }
    }
}

/// A unit after a number: with a space, or nothing for a plain number.
struct Unit<'a>(&'a str);

impl fmt::Display for Unit<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.0.is_empty() { Ok(()) } else { write!(f, " {}", self.0) }
    }
}

/// How a solver came to its answer.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct SolveReport {
    /// Steps taken, all stages together.
    pub iterations: u32,
    /// The largest closing error of the returned answer, put back into the equations it should meet and
    /// divided by the largest term in them.
    pub residual: f64,
}

impl SolveReport {
    /// The report of an answer in closed form, or of a solve.
    #[must_use]
    pub const fn new(iterations: u32, residual: f64) -> Self {
        Self { iterations, residual }
    }
}

/// A quantity that can be checked at the boundary: its SI unit and the largest size that makes sense.
pub(crate) trait Checked: Copy {
    const UNIT: &'static str;
    const LARGEST: f64;
    fn si(self) -> f64;
}

macro_rules! checked {
    ($($quantity:ty, $unit:literal, $largest:literal;)*) => { $(
        impl Checked for $quantity {
            const UNIT: &'static str = $unit;
            const LARGEST: f64 = $largest;
            fn si(self) -> f64 { self.value }
        }
    )* };
}

// The largest values are far outside any rig, yet keep every product of three inside f64.
checked! {
    Length, "m", 1e7;
    Force, "N", 1e15;
    LineWeight, "N/m", 1e12;
    LineMass, "kg/m", 1e6;
    Mass, "kg", 1e9;
    Velocity, "m/s", 1e5;
    Acceleration, "m/s²", 1e6;
    Time, "s", 1e10;
    Angle, "rad", 1e4;
    Ratio, "", 1e9;
    Energy, "J", 1e18;
    Power, "W", 1e12;
    Torque, "N·m", 1e12;
    Area, "m²", 1e6;
    TurningSpeed, "rad/s", 1e7;
    ElectricCurrent, "A", 1e7;
    ElectricPotential, "V", 1e7;
    ElectricalResistance, "Ω", 1e9;
    ElectricCharge, "C", 1e12;
    MotorConstant, "N·m/A", 1e6;
    ThermodynamicTemperature, "K", 1e5;
    TemperatureInterval, "K", 1e5;
    HeatCapacity, "J/K", 1e12;
    ThermalResistance, "K/W", 1e9;
    ThermalConductance, "W/K", 1e9;
}

/// A plain number: a count of turns, an exponent.
impl Checked for f64 {
    const UNIT: &'static str = "";
    const LARGEST: f64 = 1e9;
    fn si(self) -> f64 {
        self
    }
}

/// The smallest size above zero that makes sense, of every quantity in its SI unit.
///
/// The smallest and the largest of three quantities can be multiplied and squared inside f64.
pub(crate) const SMALLEST: f64 = 1e-30;

/// The SI value, if it is finite and no larger than makes sense.
#[inline]
pub(crate) fn finite<Q: Checked>(field: &'static str, quantity: Q) -> Result<f64, InputError> {
    let value = quantity.si();
    // NaN is in no range.
    if (-Q::LARGEST..=Q::LARGEST).contains(&value) { Ok(value) } else { Err(too_large::<Q>(field, value)) }
}

#[cold]
fn too_large<Q: Checked>(field: &'static str, value: f64) -> InputError {
    let allowed = if value.is_finite() { Allowed::Within(-Q::LARGEST, Q::LARGEST) } else { Allowed::Finite };
    InputError::new(field, value, Q::UNIT, allowed)
}

/// The SI value, if it is allowed.
pub(crate) fn check<Q: Checked>(
    field: &'static str,
    quantity: Q,
    allowed: Allowed,
) -> Result<f64, InputError> {
    let value = quantity.si();
    let good = match allowed {
        Allowed::Finite => true,
        Allowed::Above(x) => value > x,
        Allowed::Below(x) => value < x,
        Allowed::AtLeast(x) => value >= x,
        Allowed::AtMost(x) => value <= x,
        Allowed::Within(lo, hi) => (lo..=hi).contains(&value),
        Allowed::OtherThan(x) => value != x,
        Allowed::ZeroOrAtLeast(x) => value == 0.0 || value >= x,
    };
    // For a finite number the error says what is allowed of it, not how large any quantity may be.
    if good || !value.is_finite() {
        finite(field, quantity)
    } else {
        Err(InputError::new(field, value, Q::UNIT, allowed))
    }
}

/// The SI value, if it is above zero and not absurdly small.
#[inline]
pub(crate) fn positive<Q: Checked>(field: &'static str, quantity: Q) -> Result<f64, InputError> {
    let value = quantity.si();
    if (SMALLEST..=Q::LARGEST).contains(&value) { Ok(value) } else { Err(not_positive(field, quantity)) }
}

#[cold]
fn not_positive<Q: Checked>(field: &'static str, quantity: Q) -> InputError {
    match check(field, quantity, Allowed::Above(0.0)) {
        Ok(value) => InputError::new(field, value, Q::UNIT, Allowed::AtLeast(SMALLEST)),
        Err(why) => why,
    }
}

/// The SI value, if it is zero or above and not absurdly small.
#[inline]
pub(crate) fn non_negative<Q: Checked>(field: &'static str, quantity: Q) -> Result<f64, InputError> {
    let value = quantity.si();
    if value == 0.0 || (SMALLEST..=Q::LARGEST).contains(&value) {
        Ok(value)
    } else {
        Err(negative(field, quantity))
    }
}

#[cold]
fn negative<Q: Checked>(field: &'static str, quantity: Q) -> InputError {
    match check(field, quantity, Allowed::AtLeast(0.0)) {
        Ok(value) => InputError::new(field, value, Q::UNIT, Allowed::ZeroOrAtLeast(SMALLEST)),
        Err(why) => why,
    }
}

/// The SI value, if it lies from `lo` to `hi`.
pub(crate) fn within<Q: Checked>(
    field: &'static str,
    quantity: Q,
    lo: f64,
    hi: f64,
) -> Result<f64, InputError> {
    check(field, quantity, Allowed::Within(lo, hi))
}
