//! How warm the motor gets, and how long it may work.

use super::WinchError;
use super::motor::{COLDEST_K, HOTTEST_K, REFERENCE_K, copper_slope, temperature};
use crate::error::{self, InputError};
use crate::math::{self, roots};
use crate::quantity::{
    ElectricCurrent, ElectricalResistance, HeatCapacity, Power, Ratio, TemperatureInterval,
    ThermalResistance, ThermodynamicTemperature, Time, amperes, kelvins, kelvins_apart, ratio, seconds,
    watts,
};
use uom::si::{ISQ, Quantity, SI};
use uom::typenum::{P1, P2, Z0};

/// Current squared times time: what a fuse, and a winding too quick to cool, can take.
pub type CurrentSquaredTime = Quantity<ISQ<Z0, Z0, P1, P2, Z0, Z0, Z0>, SI<f64>, f64>;

/// How well the temperatures must meet the balance of heat, by its largest term: rounding leaves some 1e-14 of a
/// motor, and above 1e-9 the two time constants are too far apart for the arithmetic to separate.
const CERTIFIED: f64 = 1e-9;

/// A motor as one lump, from its data plate: its continuous current, the rise which that leads to, and its time
/// constant.
///
/// ΔT = ΔT_n·(I/I_n)²·(1 − e^(−t/τ)) from cold
///
/// Assumed: loss as I², a winding at the same temperature as its case. A winding runs ahead of its case when it is
/// overloaded: for minutes at many times the rated current use [`TwoNode`].
///
/// Source: the balance of heat in one body, nothing else; no published check.
///
/// ```
/// use rope_mechanics::quantity::{ElectricCurrent, TemperatureInterval, Time};
/// use rope_mechanics::quantity::unit::{ampere, kelvin_interval, minute};
/// use rope_mechanics::winch::OneNode;
///
/// let amperes = |x| ElectricCurrent::new::<ampere>(x);
/// let kelvin = |x| TemperatureInterval::new::<kelvin_interval>(x);
/// let motor = OneNode::new(amperes(60.0), kelvin(80.0), Time::new::<minute>(20.0))?;
/// let cold = kelvin(0.0);
/// let time = motor.time_to(cold, amperes(120.0), kelvin(80.0))?.unwrap();
/// assert!((time.get::<minute>() - 5.75).abs() < 0.01); // −20·ln(1 − ¼)
/// assert_eq!(motor.time_to(cold, amperes(60.0), kelvin(80.0))?, None); // for ever
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OneNode {
    current: f64,
    rise: f64,
    tau: f64,
}

/// The hottest and coolest that a motor gets in cycles that go on for ever, above the air.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct DutyCycle {
    /// At the end of each pull.
    pub hottest: TemperatureInterval,
    /// At the end of each rest.
    pub coolest: TemperatureInterval,
}

impl OneNode {
    /// A motor by its continuous current, the rise above the air that this leads to, and its time constant.
    ///
    /// # Errors
    /// Unless all are above zero.
    pub fn new(
        continuous_current: ElectricCurrent,
        rise: TemperatureInterval,
        time_constant: Time,
    ) -> Result<Self, InputError> {
        Ok(Self {
            current: error::positive("continuous_current", continuous_current)?,
            rise: error::positive("rated_rise", rise)?,
            tau: error::positive("thermal_time_constant", time_constant)?,
        })
    }

    /// The rise above the air after a steady current.
    ///
    /// ΔT = ΔT∞ + (ΔT₀ − ΔT∞)·e^(−t/τ),  ΔT∞ = ΔT_n·(I/I_n)²
    ///
    /// # Errors
    /// Unless all are finite, and the time at least zero.
    pub fn rise_after(
        &self,
        start: TemperatureInterval,
        current: ElectricCurrent,
        duration: Time,
    ) -> Result<TemperatureInterval, InputError> {
        let start = error::finite("starting_rise", start)?;
        let i = error::finite("current", current)?;
        let t = error::non_negative("duration", duration)?;
        Ok(kelvins_apart(self.rise_k(start, i, t)))
    }

    pub(crate) fn rise_k(&self, start: f64, i: f64, t: f64) -> f64 {
        start - (self.lasting_k(i) - start) * math::exp_m1(-t / self.tau)
    }

    pub(super) fn tau_s(&self) -> f64 {
        self.tau
    }

    pub(super) fn lasting_k(&self, i: f64) -> f64 {
        // ΔT∞ = ΔT_n·(I/I_n)²
        let over = i / self.current;
        self.rise * over * over
    }

    /// The rise above the air that a steady current leads to in the end: ΔT_n·(I/I_n)².
    ///
    /// # Errors
    /// Unless the current is finite.
    pub fn lasting_rise(&self, current: ElectricCurrent) -> Result<TemperatureInterval, InputError> {
        Ok(kelvins_apart(self.lasting_k(error::finite("current", current)?)))
    }

    /// How long a steady current takes to warm the motor to a limit; none if it never does.
    ///
    /// t = τ·ln((ΔT∞ − ΔT₀)/(ΔT∞ − ΔT_limit)); from cold to the rated rise −τ·ln(1 − (I_n/I)²).
    ///
    /// # Errors
    /// Unless all are finite.
    pub fn time_to(
        &self,
        start: TemperatureInterval,
        current: ElectricCurrent,
        limit: TemperatureInterval,
    ) -> Result<Option<Time>, InputError> {
        let start = error::finite("starting_rise", start)?;
        let i = error::finite("current", current)?;
        let limit = error::finite("limit_rise", limit)?;
        let lasting = self.lasting_k(i);
        Ok(if start >= limit {
            Some(seconds(0.0))
        } else if lasting <= limit {
            None
        } else {
            // ln((ΔT∞ − ΔT₀)/(ΔT∞ − ΔT_limit)) = ln(1 + (ΔT_limit − ΔT₀)/(ΔT∞ − ΔT_limit))
            Some(seconds(self.tau * math::ln_1p((limit - start) / (lasting - limit))))
        })
    }

    /// What the winding takes from cold to its rated rise when it has no time to cool: I_n²·τ.
    ///
    /// A current I is then borne for I²t/I², a little less than [`time_to`](Self::time_to) allows.
    #[must_use]
    pub fn current_squared_time(&self) -> CurrentSquaredTime {
        amperes(self.current) * amperes(self.current) * seconds(self.tau)
    }

    /// The share of the time for which a current may flow for ever, in cycles much shorter than the time constant,
    /// at most 1: (I_n/I)².
    ///
    /// # Errors
    /// Unless the current is above zero.
    pub fn lasting_share(&self, current: ElectricCurrent) -> Result<Ratio, InputError> {
        let over = self.current / error::positive("current", current)?;
        Ok(ratio((over * over).min(1.0)))
    }

    /// How warm the motor gets in cycles of pull and rest that go on for ever.
    ///
    /// Hottest ΔT∞·(1 − e^(−on/τ))/(1 − e^(−(on+off)/τ)), coolest that times e^(−off/τ).
    ///
    /// # Errors
    /// Unless the current is finite, the pull longer than nothing, and the rest at least zero.
    pub fn duty_cycle(&self, current: ElectricCurrent, on: Time, off: Time) -> Result<DutyCycle, InputError> {
        let i = error::finite("current", current)?;
        let on = error::positive("time_on", on)?;
        let off = error::non_negative("time_off", off)?;
        let hottest = self.lasting_k(i) * math::exp_m1(-on / self.tau) / math::exp_m1(-(on + off) / self.tau);
        Ok(DutyCycle {
            hottest: kelvins_apart(hottest),
            coolest: kelvins_apart(hottest * math::exp(-off / self.tau)),
        })
    }
}

/// A motor as a winding inside a case: the winding warms in seconds, the case in many minutes.
///
/// C₁·ϑ₁' = I²·R(ϑ₁) − (ϑ₁ − ϑ₂)/R₁₂,  C₂·ϑ₂' = P_idle + (ϑ₁ − ϑ₂)/R₁₂ − (ϑ₂ − ϑ_air)/R₂
///
/// with the copper's resistance growing with its temperature, so that a winding can run away. Solved exactly, by the
/// two exponentials of the linear system, over any time.
///
/// Source: the balance of heat in two bodies; the copper's slope from IEC 60028 (from memory). No published check.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwoNode {
    c1: f64,
    c2: f64,
    /// Conductances, winding to case and case to air.
    g: f64,
    h: f64,
}

/// What warms a motor, and the air around it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heating {
    /// In the winding.
    pub current: ElectricCurrent,
    /// Of the winding at 25 °C.
    pub winding: ElectricalResistance,
    /// Idle drag, which warms the case.
    pub idle: Power,
    /// Of the air.
    pub air: ThermodynamicTemperature,
}

/// The temperatures of a motor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Temperatures {
    /// Of the winding.
    pub winding: ThermodynamicTemperature,
    /// Of the case.
    pub case: ThermodynamicTemperature,
}

/// The temperatures of a motor in cycles of pull and rest that go on for ever.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct DutyTemperatures {
    /// At the end of each pull, when the winding is hottest.
    pub after_pull: Temperatures,
    /// At the end of each rest, when the winding is coolest.
    pub after_rest: Temperatures,
}

impl TwoNode {
    /// A motor by the heat that winding and case take up, and the thermal resistances from winding to case and from
    /// case to air.
    ///
    /// # Errors
    /// Unless all are above zero.
    pub fn new(
        winding: HeatCapacity,
        case: HeatCapacity,
        winding_to_case: ThermalResistance,
        case_to_air: ThermalResistance,
    ) -> Result<Self, InputError> {
        Ok(Self {
            c1: error::positive("winding_heat_capacity", winding)?,
            c2: error::positive("case_heat_capacity", case)?,
            g: 1.0 / error::positive("winding_to_case", winding_to_case)?,
            h: 1.0 / error::positive("case_to_air", case_to_air)?,
        })
    }

    /// The temperatures after a time of steady heating.
    ///
    /// # Errors
    /// [`WinchError::BurnsOut`] where the winding passes 300 °C on the way; [`WinchError::HeatUnsolved`]; an input
    /// error where an input can't be used.
    pub fn after(
        &self,
        start: Temperatures,
        heating: Heating,
        duration: Time,
    ) -> Result<Temperatures, WinchError> {
        let t = error::non_negative("duration", duration)?;
        let path = self.path(start, heating)?;
        if let Some(seconds) = path.time_to(HOTTEST_K)?
            && seconds < t
        {
            return Err(WinchError::BurnsOut { seconds });
        }
        path.certified_at(t)
    }

    /// Where the temperatures settle; none if the winding runs away. They may lie above 300 °C, which no winding lasts.
    ///
    /// # Errors
    /// [`WinchError::HeatUnsolved`]; an input error where an input can't be used.
    pub fn settles_at(&self, heating: Heating) -> Result<Option<Temperatures>, WinchError> {
        let air = Temperatures { winding: heating.air, case: heating.air };
        self.path(air, heating)?.settled()
    }

    /// How long steady heating takes to bring the winding to a limit for the first time; none if it never does.
    ///
    /// # Errors
    /// Unless the limit is at most 300 °C; where another input can't be used; [`WinchError::HeatUnsolved`].
    pub fn time_to(
        &self,
        start: Temperatures,
        heating: Heating,
        limit: ThermodynamicTemperature,
    ) -> Result<Option<Time>, WinchError> {
        let limit = winding_limit(limit)?;
        Ok(self.path(start, heating)?.time_to(limit)?.map(seconds))
    }

    /// How warm the motor gets in cycles of pull and rest that go on for ever.
    ///
    /// # Errors
    /// [`WinchError::CyclesBurnOut`] where it doesn't settle below 300 °C; [`WinchError::HeatUnsolved`]; an input error
    /// where an input can't be used.
    pub fn duty_cycle(&self, pull: Heating, on: Time, off: Time) -> Result<DutyTemperatures, WinchError> {
        let on_s = error::positive("time_on", on)?;
        let off_s = error::non_negative("time_off", off)?;
        let rest = Heating { current: amperes(0.0), idle: watts(0.0), ..pull };
        // A cycle maps the temperatures x to M·x + c: three of them give M and c, and x = (1 − M)⁻¹·c.
        let cycle = |a: f64, b: f64| -> Result<[f64; 2], InputError> {
            let t = |x: f64| kelvins(x + pull.air.value);
            let rested = self.path(Temperatures { winding: t(a), case: t(b) }, rest)?.at_raw(off_s);
            let start = Temperatures { winding: t(rested[0]), case: t(rested[1]) };
            Ok(self.path(start, pull)?.at_raw(on_s))
        };
        let (c, m1, m2) = (cycle(0.0, 0.0)?, cycle(1.0, 0.0)?, cycle(0.0, 1.0)?);
        let (a, b) = (1.0 - (m1[0] - c[0]), -(m2[0] - c[0]));
        let (d, e) = (-(m1[1] - c[1]), 1.0 - (m2[1] - c[1]));
        let det = a * e - b * d;
        let (winding, case) = ((c[0] * e - b * c[1]) / det, (a * c[1] - d * c[0]) / det);
        let hottest = winding + pull.air.value;
        // M has no negative entry, so its cycles die away only if both leading minors of 1 − M are above zero.
        if !(a > 0.0 && det > 0.0 && hottest < HOTTEST_K) {
            return Err(WinchError::CyclesBurnOut);
        }
        let after_pull = Temperatures { winding: kelvins(hottest), case: kelvins(case + pull.air.value) };
        let after_rest = self.path(after_pull, rest)?.certified_at(off_s)?;
        // One more pull leads back to where it began.
        let again = self.path(after_rest, pull)?.certified_at(on_s)?;
        let gap = |again: ThermodynamicTemperature, first: ThermodynamicTemperature| {
            (again.value - first.value).abs() / first.value
        };
        certified(gap(again.winding, after_pull.winding) + gap(again.case, after_pull.case))?;
        Ok(DutyTemperatures { after_pull, after_rest })
    }

    fn path(&self, start: Temperatures, heating: Heating) -> Result<WarmingCurve, InputError> {
        let air = temperature("air_temperature", heating.air)?;
        // A degree more, for what is reckoned with a degree above the hottest air.
        let warm = |field, temperature| error::within(field, temperature, COLDEST_K, HOTTEST_K + 1.0);
        let winding = warm("winding_temperature", start.winding)?;
        let case = warm("case_temperature", start.case)?;
        let i = error::finite("current", heating.current)?;
        let r = error::non_negative("winding_resistance", heating.winding)?;
        let idle = error::non_negative("idle_power", heating.idle)?;
        Ok(self.path_si([winding - air, case - air], air, i * i * r, idle))
    }

    /// Temperatures above the air, copper loss at 25 °C in watts, idle loss in watts.
    pub(crate) fn path_si(&self, x: [f64; 2], air: f64, copper_w: f64, idle_w: f64) -> WarmingCurve {
        let alpha = copper_slope();
        let (g, h) = (self.g, self.h);
        // A = [[(αP − g)/C₁, g/C₁], [g/C₂, −(g + h)/C₂]]
        let (a11, a12) = ((alpha * copper_w - g) / self.c1, g / self.c1);
        let (a21, a22) = (g / self.c2, -(g + h) / self.c2);
        // b = [P·(1 + α·(ϑ_air − 25 °C))/C₁, P_idle/C₂]
        let b = [copper_w * (1.0 + alpha * (air - REFERENCE_K)) / self.c1, idle_w / self.c2];
        // λ = m ± √(d² + a₁₂·a₂₁), the one that may cancel by the determinant
        let (m, d) = (0.5 * (a11 + a22), 0.5 * (a11 - a22));
        let s = math::sqrt(d * d + a12 * a21);
        let det = (g * h - alpha * copper_w * (g + h)) / (self.c1 * self.c2);
        let (slow, fast) = if m <= 0.0 { (det / (m - s), m - s) } else { (m + s, det / (m + s)) };
        // x' = A·x + b at the start, split along the two directions
        let rate = [a11 * x[0] + a12 * x[1] + b[0], a21 * x[0] + a22 * x[1] + b[1]];
        let turned = [a11 * rate[0] + a12 * rate[1], a21 * rate[0] + a22 * rate[1]];
        let along = |turned: f64, rate: f64| (turned - fast * rate) / (slow - fast);
        let slow_part = [along(turned[0], rate[0]), along(turned[1], rate[1])];
        let fast_part = [rate[0] - slow_part[0], rate[1] - slow_part[1]];
        WarmingCurve {
            x,
            air,
            balance: [[a11, a12, b[0]], [a21, a22, b[1]]],
            slow,
            fast,
            slow_part,
            fast_part,
        }
    }
}

/// x(t) = x₀ + v₊·(e^(λ₊t) − 1)/λ₊ + v₋·(e^(λ₋t) − 1)/λ₋, above the air.
#[derive(Debug, Clone, Copy)]
pub(crate) struct WarmingCurve {
    x: [f64; 2],
    air: f64,
    /// A and b of x' = A·x + b.
    balance: [[f64; 3]; 2],
    slow: f64,
    fast: f64,
    slow_part: [f64; 2],
    fast_part: [f64; 2],
}

impl WarmingCurve {
    pub(crate) fn at_raw(&self, t: f64) -> [f64; 2] {
        self.terms_at(t).map(|terms| terms.iter().sum())
    }

    /// x₀, v₊·(e^(λ₊t) − 1)/λ₊ and v₋·(e^(λ₋t) − 1)/λ₋, of winding and case.
    fn terms_at(&self, t: f64) -> [[f64; 3]; 2] {
        let (s, f) = (grown(self.slow, t), grown(self.fast, t));
        [
            [self.x[0], self.slow_part[0] * s, self.fast_part[0] * f],
            [self.x[1], self.slow_part[1] * s, self.fast_part[1] * f],
        ]
    }

    /// The temperatures at a time, if they meet the balance of heat there.
    fn certified_at(&self, t: f64) -> Result<Temperatures, WinchError> {
        // x' = v₊·e^(λ₊t) + v₋·e^(λ₋t)
        let (s, f) = (math::exp(self.slow * t), math::exp(self.fast * t));
        let rate = |slow: f64, fast: f64| [slow * s, fast * f];
        let rates = [rate(self.slow_part[0], self.fast_part[0]), rate(self.slow_part[1], self.fast_part[1])];
        self.certified(self.terms_at(t), rates)
    }

    /// Where it settles; none if an exponential grows.
    fn settled(&self) -> Result<Option<Temperatures>, WinchError> {
        if self.slow >= 0.0 {
            return Ok(None);
        }
        // Without a growing exponential, x∞ = x₀ − v₊/λ₊ − v₋/λ₋
        let terms = |x: f64, slow: f64, fast: f64| [x, -slow / self.slow, -fast / self.fast];
        let settled = [
            terms(self.x[0], self.slow_part[0], self.fast_part[0]),
            terms(self.x[1], self.slow_part[1], self.fast_part[1]),
        ];
        self.certified(settled, [[0.0; 2]; 2]).map(Some)
    }

    /// The terms of the temperatures and of their rates, put back into x' = A·x + b.
    fn certified(&self, terms: [[f64; 3]; 2], rates: [[f64; 2]; 2]) -> Result<Temperatures, WinchError> {
        let x = terms.map(|terms| terms.iter().sum::<f64>());
        // What x is made of may cancel: its rounding is that of the largest term.
        let size = |of: &[f64]| of.iter().fold(0.0, |a: f64, b| a.max(b.abs()));
        let sizes = terms.map(|terms| size(&terms));
        for ([one, other, rest], [slow, fast]) in self.balance.into_iter().zip(rates) {
            let error = one * x[0] + other * x[1] + rest - slow - fast;
            let largest = size(&[one * sizes[0], other * sizes[1], rest, slow, fast]);
            certified(if error == 0.0 { 0.0 } else { error / largest })?;
        }
        let [winding, case] = x.map(|x| x + self.air);
        certified(if winding.is_finite() && case.is_finite() { 0.0 } else { f64::INFINITY })?;
        Ok(Temperatures { winding: kelvins(winding), case: kelvins(case) })
    }

    /// When the winding first reaches a temperature, in seconds; none if it never does.
    fn time_to(&self, limit_k: f64) -> Result<Option<f64>, WinchError> {
        let found = self.seconds_to(limit_k);
        let there = self.certified_at(found.unwrap_or(0.0))?;
        match found {
            Some(t) if t > 0.0 => certified((there.winding.value - limit_k) / limit_k)?,
            Some(_) => {}
            // It stays below for good: so it settles, or its rates are nothing.
            None => self.settled().map(|_| ())?,
        }
        Ok(found)
    }

    fn seconds_to(&self, limit_k: f64) -> Option<f64> {
        let limit = limit_k - self.air;
        let above = |t: f64| (self.at_raw(t)[0] - limit).min(1e100);
        if above(0.0) >= 0.0 {
            return Some(0.0);
        }
        let (s, f) = (self.slow_part[0], self.fast_part[0]);
        // x₁' = s·e^(λ₊t) + f·e^(λ₋t) changes sign at most once, at t* = ln(−f/s)/(λ₊ − λ₋)
        let turn = if s * f < 0.0 { math::ln(-f / s) / (self.slow - self.fast) } else { -1.0 };
        let root = |lo, hi| roots::bracketed(lo, hi, 0.0, above).map(|root| root.x);
        if turn > 0.0 && above(turn) >= 0.0 {
            return root(0.0, turn);
        }
        // From here on it rises or falls for good: double the time until it is above, or at rest below.
        let from = turn.max(0.0);
        if s < 0.0 || (s == 0.0 && f <= 0.0) {
            return None;
        }
        let mut step = 1.0 / (self.slow.abs().max(self.fast.abs()));
        for _ in 0..200 {
            let value = above(from + step);
            if value >= 0.0 {
                return root(from, from + step);
            }
            if self.slow < 0.0 && self.slow * step < -800.0 {
                return None;
            }
            step *= 2.0;
        }
        None
    }
}

/// Refuses temperatures that don't meet the balance of heat.
fn certified(residual: f64) -> Result<(), WinchError> {
    if residual.abs() <= CERTIFIED { Ok(()) } else { Err(WinchError::HeatUnsolved { residual }) }
}

/// (e^(λt) − 1)/λ, which is t for λ = 0.
fn grown(lambda: f64, t: f64) -> f64 {
    if lambda == 0.0 { t } else { math::exp_m1(lambda * t) / lambda }
}

/// How a motor takes up heat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Heat {
    /// As one lump.
    OneNode(OneNode),
    /// As a winding in a case.
    TwoNode(TwoNode),
}

impl From<OneNode> for Heat {
    fn from(node: OneNode) -> Self {
        Self::OneNode(node)
    }
}

impl From<TwoNode> for Heat {
    fn from(nodes: TwoNode) -> Self {
        Self::TwoNode(nodes)
    }
}

impl Heat {
    /// The temperatures after a time of steady heating.
    ///
    /// As one lump, only the winding's starting temperature counts, and the case is reported as warm as the winding.
    ///
    /// ```
    /// use rope_mechanics::quantity::{ElectricCurrent, TemperatureInterval, Time, ThermodynamicTemperature};
    /// use rope_mechanics::quantity::unit::{ampere, degree_celsius, kelvin_interval, minute, ohm, watt};
    /// use rope_mechanics::quantity::{ElectricalResistance, Power};
    /// use rope_mechanics::winch::{Heat, Heating, OneNode, Temperatures};
    ///
    /// let amperes = |x| ElectricCurrent::new::<ampere>(x);
    /// let twenty = Time::new::<minute>(20.0);
    /// let motor: Heat = OneNode::new(amperes(60.0), TemperatureInterval::new::<kelvin_interval>(80.0), twenty)?.into();
    /// let air = ThermodynamicTemperature::new::<degree_celsius>(15.0);
    /// let heating = Heating {
    ///     current: amperes(60.0),
    ///     winding: ElectricalResistance::new::<ohm>(0.0),
    ///     idle: Power::new::<watt>(0.0),
    ///     air,
    /// };
    /// let warm = motor.after(Temperatures { winding: air, case: air }, heating, twenty)?;
    /// // 15 °C + 80 K·(1 − e⁻¹)
    /// assert!((warm.winding.get::<degree_celsius>() - 65.57).abs() < 0.005);
    /// # Ok::<(), rope_mechanics::winch::WinchError>(())
    /// ```
    ///
    /// # Errors
    /// As [`TwoNode::after`].
    pub fn after(
        &self,
        start: Temperatures,
        heating: Heating,
        duration: Time,
    ) -> Result<Temperatures, WinchError> {
        match self {
            Self::TwoNode(nodes) => nodes.after(start, heating, duration),
            Self::OneNode(node) => {
                let air = temperature("air_temperature", heating.air)?;
                let winding = temperature("winding_temperature", start.winding)?;
                let after = node.rise_after(kelvins_apart(winding - air), heating.current, duration)?;
                let hottest = node.time_to(
                    kelvins_apart(winding - air),
                    heating.current,
                    kelvins_apart(HOTTEST_K - air),
                )?;
                match hottest {
                    Some(time) if time < duration => Err(WinchError::BurnsOut { seconds: time.value }),
                    _ => Ok(lump(air, after)),
                }
            }
        }
    }

    /// Where the temperatures settle; none if the winding runs away. They may lie above 300 °C, which no winding lasts.
    ///
    /// # Errors
    /// As [`TwoNode::settles_at`].
    pub fn settles_at(&self, heating: Heating) -> Result<Option<Temperatures>, WinchError> {
        match self {
            Self::TwoNode(nodes) => nodes.settles_at(heating),
            Self::OneNode(node) => {
                let air = temperature("air_temperature", heating.air)?;
                Ok(Some(lump(air, node.lasting_rise(heating.current)?)))
            }
        }
    }

    /// How long steady heating takes to bring the winding to a limit for the first time; none if it never does.
    ///
    /// # Errors
    /// As [`TwoNode::time_to`].
    pub fn time_to(
        &self,
        start: Temperatures,
        heating: Heating,
        limit: ThermodynamicTemperature,
    ) -> Result<Option<Time>, WinchError> {
        match self {
            Self::TwoNode(nodes) => nodes.time_to(start, heating, limit),
            Self::OneNode(node) => {
                let air = temperature("air_temperature", heating.air)?;
                let winding = temperature("winding_temperature", start.winding)?;
                let limit = winding_limit(limit)?;
                Ok(node.time_to(kelvins_apart(winding - air), heating.current, kelvins_apart(limit - air))?)
            }
        }
    }

    /// How warm the motor gets in cycles of pull and rest that go on for ever.
    ///
    /// # Errors
    /// As [`TwoNode::duty_cycle`].
    pub fn duty_cycle(&self, pull: Heating, on: Time, off: Time) -> Result<DutyTemperatures, WinchError> {
        match self {
            Self::TwoNode(nodes) => nodes.duty_cycle(pull, on, off),
            Self::OneNode(node) => {
                let air = temperature("air_temperature", pull.air)?;
                let cycle = node.duty_cycle(pull.current, on, off)?;
                if cycle.hottest.value + air >= HOTTEST_K {
                    return Err(WinchError::CyclesBurnOut);
                }
                Ok(DutyTemperatures {
                    after_pull: lump(air, cycle.hottest),
                    after_rest: lump(air, cycle.coolest),
                })
            }
        }
    }
}

/// A lump so much above the air.
fn lump(air_k: f64, rise: TemperatureInterval) -> Temperatures {
    let warm = kelvins(air_k + rise.value);
    Temperatures { winding: warm, case: warm }
}

/// A limit on the winding's temperature, checked.
pub(crate) fn winding_limit(limit: ThermodynamicTemperature) -> Result<f64, InputError> {
    temperature("winding_limit", limit)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::joules;

    #[test]
    fn temperatures_off_their_balance_are_refused() {
        let motor = TwoNode::new(
            joules(400.0) / kelvins_apart(1.0),
            joules(4000.0) / kelvins_apart(1.0),
            kelvins_apart(0.2) / watts(1.0),
            kelvins_apart(0.5) / watts(1.0),
        )
        .unwrap();
        let good = motor.path_si([20.0, 10.0], 293.15, 100.0, 30.0);
        assert!(good.certified_at(60.0).is_ok() && good.settled().is_ok_and(|settled| settled.is_some()));
        assert!(good.time_to(320.0).is_ok_and(|time| time.is_some()));
        assert!(good.time_to(570.0).is_ok_and(|time| time.is_none()));
        let (mut slower, mut split) = (good, good);
        slower.slow *= 1.001;
        split.fast_part[1] *= 1.001;
        for bad in [
            slower,
            split,
            WarmingCurve { x: [f64::NAN, 10.0], ..good },
            WarmingCurve { x: [20.0, 1e308], ..good },
        ] {
            let refused = [
                bad.certified_at(60.0).map(|_| ()),
                bad.settled().map(|_| ()),
                bad.time_to(320.0).map(|_| ()),
                bad.time_to(570.0).map(|_| ()),
            ];
            for answer in refused {
                assert!(matches!(answer, Err(WinchError::HeatUnsolved { .. })), "{answer:?} {bad:?}");
            }
        }
    }
}
