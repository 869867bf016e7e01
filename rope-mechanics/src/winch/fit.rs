//! A motor's constants from a data sheet or from measured points.

use super::least_squares::{LeastSquares, LeastSquaresFit};
use super::{Motor, WinchError};
use crate::error;
use crate::math;
use crate::quantity::{
    ElectricCurrent, ElectricPotential, ElectricalResistance, Force, Length, MotorConstant, Ratio, Torque,
    TurningSpeed, Velocity, amperes, newton_metres, ohms, ratio, volt_seconds, volts,
};
use core::borrow::Borrow;
use core::fmt;

/// A constant that a fit looks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
pub enum Constant {
    /// kt.
    MotorConstant,
    /// R of the winding.
    WindingResistance,
    /// I0.
    NoLoadCurrent,
    /// η of the gear.
    GearEfficiency,
}

impl fmt::Display for Constant {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::MotorConstant => "the motor constant",
            Self::WindingResistance => "the winding resistance",
            Self::NoLoadCurrent => "the no-load current",
            Self::GearEfficiency => "the gear efficiency",
        })
    }
}

/// A fitted constant and its standard error.
///
/// The error comes from how far the points scatter about the fit, so it is none where there is no point to spare. It
/// knows nothing of what all points have wrong together: a meter out of scale, a warm winding.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fitted<Q> {
    /// The best value.
    pub value: Q,
    /// One standard deviation.
    pub standard_error: Option<Q>,
}

/// Two constants that the points hardly tell apart: a wrong one is made good by the other.
///
/// Typical of a winch measured at rescue loads only: the winding's voltage drop is then too small a part of the
/// voltage to be distinguished from a slightly larger kt. Add points under much larger loads, or measure the winding.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Confounded {
    /// One of them.
    pub one: Constant,
    /// The other.
    pub other: Constant,
    /// Of their errors: near ±1, only a combination of the two is known.
    pub correlation: f64,
    /// Readings wrong by 1 % of their whole may leave a constant (I0: as a share of the largest current) wrong by
    /// about this many per cent. The warning is given from 30.
    pub condition: f64,
}

/// A condition number from which two constants count as confounded: readings good to 1 % leave one 30 % wrong.
const HARDLY_TOLD: f64 = 30.0;

/// A motor on the bench, or one row of its data sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MotorPoint {
    /// At its terminals.
    pub voltage: ElectricPotential,
    /// Through it.
    pub current: ElectricCurrent,
    /// Of its shaft.
    pub speed: TurningSpeed,
    /// At its shaft.
    pub torque: Torque,
}

/// A motor fitted to points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MotorFit {
    /// With the best constants.
    pub motor: Motor,
    /// kt.
    pub constant: Fitted<MotorConstant>,
    /// R.
    pub winding: Fitted<ElectricalResistance>,
    /// I0.
    pub no_load_current: Fitted<ElectricCurrent>,
    /// The largest |V − I·R − kt·ω|.
    pub worst_voltage: ElectricPotential,
    /// The largest |τ − kt·(I − I0)|.
    pub worst_torque: Torque,
    /// How many readings there are beyond those needed.
    pub spare_readings: usize,
    /// A warning where the points hardly tell two constants apart.
    pub confounded: Option<Confounded>,
}

/// How far a point of a motor lies from its fit: measured less fitted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MotorResidual {
    /// V − I·R − kt·ω.
    pub voltage: ElectricPotential,
    /// τ − kt·(I − I0).
    pub torque: Torque,
}

impl MotorFit {
    /// How far a point lies from the fit, whether or not it is one of those fitted: measured less fitted.
    ///
    /// Residuals that grow or bend along the points say that the model doesn't hold, such as of a series-wound motor;
    /// a single large one, that a reading is wrong.
    ///
    /// ```
    /// # use rope_mechanics::quantity::{ElectricCurrent, ElectricPotential, Torque, TurningSpeed};
    /// # use rope_mechanics::quantity::unit::{ampere, newton_meter, revolution_per_minute, volt};
    /// # use rope_mechanics::winch::{MotorPoint, fit_motor};
    /// # let point = |torque, amperes, rpm| MotorPoint {
    /// #     voltage: ElectricPotential::new::<volt>(24.0),
    /// #     current: ElectricCurrent::new::<ampere>(amperes),
    /// #     speed: TurningSpeed::new::<revolution_per_minute>(rpm),
    /// #     torque: Torque::new::<newton_meter>(torque),
    /// # };
    /// let points = [point(0.0, 6.0, 4146.0), point(5.5, 106.0, 3799.0), point(20.0, 369.6, 2884.0)];
    /// let fit = fit_motor(points)?;
    /// for residual in points.iter().map(|point| fit.residual(point)) {
    ///     assert!(residual.voltage.get::<volt>().abs() < 0.01);
    /// }
    /// # Ok::<(), rope_mechanics::winch::WinchError>(())
    /// ```
    #[must_use]
    pub fn residual(&self, point: &MotorPoint) -> MotorResidual {
        let (kt, r) = (self.motor.constant(), self.motor.winding_resistance());
        MotorResidual {
            voltage: point.voltage - r * point.current - volts(kt.value * point.speed.value),
            torque: point.torque - newton_metres((kt * (point.current - self.motor.no_load_current())).value),
        }
    }
}

/// Fits kt, R and I0 to points of a motor at one temperature (a slice, an array, or an iterator that can be cloned),
/// by least squares.
///
/// kt·ω + R·I = V and kt·I − kt·I0 = τ, each reading taken to be good to the same share of its greatest value. The
/// torque without load is zero and counts as a point.
///
/// ```
/// use rope_mechanics::quantity::{ElectricCurrent, ElectricPotential, Torque, TurningSpeed};
/// use rope_mechanics::quantity::unit::{ampere, milliohm, newton_meter, revolution_per_minute, volt};
/// use rope_mechanics::winch::{MotorPoint, fit_motor};
///
/// let point = |torque, amperes, rpm| MotorPoint {
///     voltage: ElectricPotential::new::<volt>(24.0),
///     current: ElectricCurrent::new::<ampere>(amperes),
///     speed: TurningSpeed::new::<revolution_per_minute>(rpm),
///     torque: Torque::new::<newton_meter>(torque),
/// };
/// let fit = fit_motor([point(0.0, 6.0, 4146.0), point(5.5, 106.0, 3799.0), point(20.0, 369.6, 2884.0)])?;
/// assert!((fit.winding.value.get::<milliohm>() - 20.0).abs() < 0.1);
/// assert!(fit.confounded.is_none());
/// # Ok::<(), rope_mechanics::winch::WinchError>(())
/// ```
///
/// # Errors
/// [`WinchError::TooFewPoints`] below two points; [`WinchError::CannotTellApart`] where they don't fix the
/// constants; [`WinchError::ImpossibleFit`] where one comes out with a sign it can't have; an input error where a
/// reading can't be used.
pub fn fit_motor(
    points: impl IntoIterator<Item: Borrow<MotorPoint>> + Clone,
) -> Result<MotorFit, WinchError> {
    let points = || points.clone().into_iter().map(|point| *point.borrow());
    let (mut v_max, mut t_max, mut i_max) = (0.0_f64, 0.0_f64, 0.0_f64);
    for point in points() {
        v_max = v_max.max(error::positive("voltage", point.voltage)?);
        t_max = t_max.max(error::non_negative("torque", point.torque)?);
        i_max = i_max.max(error::non_negative("current", point.current)?);
        error::non_negative("speed", point.speed)?;
    }
    let given = points().count();
    if given < 2 {
        return Err(WinchError::TooFewPoints { given, needed: 2, constants: 3 });
    }
    let t_scale = if t_max > 0.0 { t_max } else { 1.0 };
    let mut squares = LeastSquares::new(3);
    for point in points() {
        let (v, i) = (point.voltage.value, point.current.value);
        // kt·ω + R·I = V
        squares.add([point.speed.value, i, 0.0].map(|x| x / v_max), v / v_max);
        // kt·I − kt·I0 = τ
        squares.add([i, 0.0, -1.0].map(|x| x / t_scale), point.torque.value / t_scale);
    }
    let names = [Constant::MotorConstant, Constant::WindingResistance, Constant::NoLoadCurrent];
    let solved = solve(&squares, names)?;
    let [kt, r, drag] = solved.values;
    require_positive("motor constant", kt, "N·m/A")?;
    require_positive("winding resistance", r, "ohm")?;
    let i0 = drag / kt;
    // I0 = c/kt: ∂/∂kt = −c/kt², ∂/∂c = 1/kt
    let i0_error = solved.error_along([-drag / (kt * kt), 0.0, 1.0 / kt]);
    let i0 =
        at_least_zero("no-load current", i0, i0_error, solved.rounding * (i0.abs() + t_scale / kt), "A")?;
    let motor = Motor::new(volt_seconds(kt), amperes(i0), ohms(r))?;
    let mut fit = MotorFit {
        motor,
        constant: Fitted {
            value: volt_seconds(kt),
            standard_error: solved.error_along([1.0, 0.0, 0.0]).map(volt_seconds),
        },
        winding: Fitted { value: ohms(r), standard_error: solved.error_along([0.0, 1.0, 0.0]).map(ohms) },
        no_load_current: Fitted { value: amperes(i0), standard_error: i0_error.map(amperes) },
        worst_voltage: volts(0.0),
        worst_torque: newton_metres(0.0),
        spare_readings: 2 * given - 3,
        confounded: confounded(&solved, [kt, r, kt * i_max], names),
    };
    for point in points() {
        let residual = fit.residual(&point);
        fit.worst_voltage = volts(fit.worst_voltage.value.max(residual.voltage.value.abs()));
        fit.worst_torque = newton_metres(fit.worst_torque.value.max(residual.torque.value.abs()));
    }
    Ok(fit)
}

/// A winch at work, read off its meters, or one row of its data sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WinchPoint {
    /// At the motor's terminals.
    pub voltage: ElectricPotential,
    /// Through the motor.
    pub current: ElectricCurrent,
    /// Of the rope, hauling.
    pub line_speed: Velocity,
    /// On the rope.
    pub pull: Force,
}

/// A winch fitted to points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WinchFit {
    /// With the best constants.
    pub motor: Motor,
    /// kt.
    pub constant: Fitted<MotorConstant>,
    /// R.
    pub winding: Fitted<ElectricalResistance>,
    /// I0.
    pub no_load_current: Fitted<ElectricCurrent>,
    /// η_f.
    pub gear_efficiency: Fitted<Ratio>,
    /// The largest |V − I·R − kt·ω|.
    pub worst_voltage: ElectricPotential,
    /// The largest |I − I0 − F·r/(N·η_f·kt)|.
    pub worst_current: ElectricCurrent,
    /// How many readings there are beyond those needed.
    pub spare_readings: usize,
    /// A warning where the points hardly tell two constants apart.
    pub confounded: Option<Confounded>,
    /// N/r.
    turns: f64,
    /// r/(N·η_f·kt).
    amperes_per_newton: f64,
}

/// How far a point of a winch lies from its fit: measured less fitted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WinchResidual {
    /// V − I·R − kt·ω.
    pub voltage: ElectricPotential,
    /// I − I0 − F·r/(N·η_f·kt).
    pub current: ElectricCurrent,
}

impl WinchFit {
    /// How far a point lies from the fit, whether or not it is one of those fitted: measured less fitted.
    ///
    /// Currents that bend away from the line say that the gear's efficiency changes with the pull, or that the motor
    /// has no permanent magnets; a single large one, that a reading is wrong.
    #[must_use]
    pub fn residual(&self, point: &WinchPoint) -> WinchResidual {
        let (kt, r) = (self.motor.constant().value, self.motor.winding_resistance());
        WinchResidual {
            voltage: point.voltage - r * point.current - volts(kt * self.turns * point.line_speed.value),
            current: point.current
                - self.motor.no_load_current()
                - amperes(self.amperes_per_newton * point.pull.value),
        }
    }
}

/// Fits kt, R, I0 and η_f to points of a winch, hauling, its gear ratio and radius known, by least squares.
///
/// kt·(N/r)·v + R·I = V fixes kt and R; I0 + s·F = I fixes I0 and s, and η_f = r/(N·kt·s). Without speeds, kt and η_f
/// can't be distinguished: pull and current alone only fix their product.
///
/// ```
/// use rope_mechanics::quantity::{ElectricCurrent, ElectricPotential, Force, Length, Ratio, Velocity};
/// use rope_mechanics::quantity::unit::{ampere, meter, meter_per_second, newton, ratio, volt};
/// use rope_mechanics::winch::{WinchPoint, fit_winch};
///
/// // 100:1 on a drum of 0.1 m radius: the motor turns by 1000 rad for each metre of rope.
/// let reading = |newtons, amperes, metres_per_second| WinchPoint {
///     voltage: ElectricPotential::new::<volt>(12.0),
///     current: ElectricCurrent::new::<ampere>(amperes),
///     line_speed: Velocity::new::<meter_per_second>(metres_per_second),
///     pull: Force::new::<newton>(newtons),
/// };
/// let readings = [reading(0.0, 10.0, 0.236), reading(2000.0, 60.0, 0.216), reading(4000.0, 110.0, 0.196)];
/// let fit = fit_winch(readings, Ratio::new::<ratio>(100.0), Length::new::<meter>(0.1))?;
/// // 50 A more slow it by 20 rad/s: kt·20 = R·50. At 10 A, kt·236 + R·10 = 12 V: kt = 0.05 N·m/A, R = 0.02 Ω.
/// assert!((fit.constant.value.value - 0.05).abs() < 1e-9 && (fit.winding.value.value - 0.02).abs() < 1e-9);
/// // 10 A without pull, and 0.025 A/N = 1/(1000·0.05·η_f): η_f = 0.8.
/// assert!((fit.no_load_current.value.get::<ampere>() - 10.0).abs() < 1e-9);
/// assert!((fit.gear_efficiency.value.get::<ratio>() - 0.8).abs() < 1e-9);
/// # Ok::<(), rope_mechanics::winch::WinchError>(())
/// ```
///
/// # Errors
/// Those of [`fit_motor`]; [`WinchError::ImpossibleFit`] where the efficiency comes out above 1.
pub fn fit_winch(
    points: impl IntoIterator<Item: Borrow<WinchPoint>> + Clone,
    gear_ratio: Ratio,
    radius: Length,
) -> Result<WinchFit, WinchError> {
    let points = || points.clone().into_iter().map(|point| *point.borrow());
    let turns = error::positive("gear_ratio", gear_ratio)? / error::positive("winch_radius", radius)?;
    let (mut v_max, mut i_max, mut still) = (0.0_f64, 0.0_f64, true);
    for point in points() {
        v_max = v_max.max(error::positive("voltage", point.voltage)?);
        i_max = i_max.max(error::positive("current", point.current)?);
        error::non_negative("pull", point.pull)?;
        still &= error::non_negative("line_speed", point.line_speed)? == 0.0;
    }
    let given = points().count();
    if given < 2 {
        return Err(WinchError::TooFewPoints { given, needed: 2, constants: 4 });
    }
    if still {
        let (one, other) = (Constant::MotorConstant, Constant::GearEfficiency);
        return Err(WinchError::CannotTellApart { one, other, condition: f64::INFINITY });
    }
    let mut of_voltage = LeastSquares::new(2);
    let mut of_current = LeastSquares::new(2);
    for point in points() {
        let (v, i) = (point.voltage.value, point.current.value);
        // kt·(N/r)·v + R·I = V
        of_voltage.add([turns * point.line_speed.value / v_max, i / v_max, 0.0], v / v_max);
        // I0 + s·F = I
        of_current.add([1.0 / i_max, point.pull.value / i_max, 0.0], i / i_max);
    }
    // Each fixes two constants; the third name stands for none.
    let of_voltage_names =
        [Constant::MotorConstant, Constant::WindingResistance, Constant::WindingResistance];
    let of_current_names = [Constant::NoLoadCurrent, Constant::GearEfficiency, Constant::GearEfficiency];
    let (of_voltage, of_current) =
        (solve(&of_voltage, of_voltage_names)?, solve(&of_current, of_current_names)?);
    let ([kt, r, _], [i0, s, _]) = (of_voltage.values, of_current.values);
    require_positive("motor constant", kt, "N·m/A")?;
    require_positive("winding resistance", r, "ohm")?;
    require_positive("amperes per newton", s, "A/N")?;
    let i0_error = of_current.error_along([1.0, 0.0, 0.0]);
    let i0 = at_least_zero("no-load current", i0, i0_error, of_current.rounding * i_max, "A")?;
    // η_f = r/(N·kt·s)
    let eta = 1.0 / (turns * kt * s);
    let (kt_error, s_error) =
        (of_voltage.error_along([1.0, 0.0, 0.0]), of_current.error_along([0.0, 1.0, 0.0]));
    let eta_error = kt_error.zip(s_error).map(|(a, b)| eta * math::hypot(a / kt, b / s));
    if eta > 1.0 + 3.0 * eta_error.unwrap_or(0.0) + of_voltage.rounding + of_current.rounding {
        return Err(WinchError::ImpossibleFit { constant: "gear efficiency", value: eta, unit: "" });
    }
    let mut fit = WinchFit {
        motor: Motor::new(volt_seconds(kt), amperes(i0), ohms(r))?,
        constant: Fitted { value: volt_seconds(kt), standard_error: kt_error.map(volt_seconds) },
        winding: Fitted { value: ohms(r), standard_error: of_voltage.error_along([0.0, 1.0, 0.0]).map(ohms) },
        no_load_current: Fitted { value: amperes(i0), standard_error: i0_error.map(amperes) },
        gear_efficiency: Fitted { value: ratio(eta.min(1.0)), standard_error: eta_error.map(ratio) },
        worst_voltage: volts(0.0),
        worst_current: amperes(0.0),
        spare_readings: 2 * given - 4,
        confounded: [
            confounded(&of_voltage, [kt, r, 0.0], of_voltage_names),
            confounded(&of_current, [i_max, s, 0.0], of_current_names),
        ]
        .into_iter()
        .flatten()
        .max_by(|a, b| a.condition.total_cmp(&b.condition)),
        turns,
        amperes_per_newton: s,
    };
    for point in points() {
        let residual = fit.residual(&point);
        fit.worst_voltage = volts(fit.worst_voltage.value.max(residual.voltage.value.abs()));
        fit.worst_current = amperes(fit.worst_current.value.max(residual.current.value.abs()));
    }
    Ok(fit)
}

fn solve(squares: &LeastSquares, names: [Constant; 3]) -> Result<LeastSquaresFit, WinchError> {
    squares.solve().map_err(|weak| {
        let [one, other] = weak.pair.map(|j| name(names, j));
        WinchError::CannotTellApart { one, other, condition: weak.condition }
    })
}

fn confounded(solved: &LeastSquaresFit, sizes: [f64; 3], names: [Constant; 3]) -> Option<Confounded> {
    let weak = solved.weakest(sizes);
    let [one, other] = weak.pair.map(|j| name(names, j));
    let (correlation, condition) = (solved.correlation(weak.pair), weak.condition);
    (condition >= HARDLY_TOLD).then_some(Confounded { one, other, correlation, condition })
}

fn name([first, second, third]: [Constant; 3], column: usize) -> Constant {
    match column {
        0 => first,
        1 => second,
        _ => third,
    }
}

fn require_positive(constant: &'static str, value: f64, unit: &'static str) -> Result<(), WinchError> {
    if value > 0.0 { Ok(()) } else { Err(WinchError::ImpossibleFit { constant, value, unit }) }
}

/// The value, or zero where it is below zero by no more than its error.
fn at_least_zero(
    constant: &'static str,
    value: f64,
    error: Option<f64>,
    rounding: f64,
    unit: &'static str,
) -> Result<f64, WinchError> {
    if value < -(3.0 * error.unwrap_or(0.0) + rounding) {
        return Err(WinchError::ImpossibleFit { constant, value, unit });
    }
    Ok(value.max(0.0))
}
