//! The permanent-magnet motor.

use crate::error::{self, InputError};
use crate::math;
use crate::quantity::{
    ElectricCurrent, ElectricPotential, ElectricalResistance, MotorConstant, Power, Ratio,
    ThermodynamicTemperature, Torque, TurningSpeed, amperes, newton_metres, ohms, radians_per_second, ratio,
    volt_seconds, watts,
};

/// The temperature for which a winding's resistance is stated: 25 °C, as on data sheets.
pub(crate) const REFERENCE_K: f64 = 298.15;
/// Copper's resistance grows by this share of its value at 20 °C for each kelvin.
const COPPER_AT_20_C: f64 = 0.003_93;

/// Above this the copper law isn't meant to hold, and no insulation lasts: 300 °C.
pub(crate) const HOTTEST_K: f64 = 573.15;
/// Below this no motor works: −100 °C. A zero that was forgotten, or degrees Celsius taken for kelvin, lie below.
pub(crate) const COLDEST_K: f64 = 173.15;

/// A temperature of a motor or of the air around it, checked.
pub(crate) fn temperature(
    field: &'static str,
    temperature: ThermodynamicTemperature,
) -> Result<f64, InputError> {
    error::within(field, temperature, COLDEST_K, HOTTEST_K)
}

/// A permanent-magnet motor: torque by current, speed by voltage.
///
/// τ = kt·(I − I0),  ω = (V − I·R)/kt
///
/// Assumed: steady turning, a constant I0 (idle friction and iron loss together), no loss of magnetism with heat
/// (which costs some 0.1–0.2 % of kt a kelvin; from memory). A series-wound motor doesn't follow this law: fit a
/// [`TableWinch`](super::TableWinch) instead. R is the winding with its brushes at 25 °C.
///
/// ```
/// use rope_mechanics::quantity::{ElectricCurrent, ElectricPotential, Torque, TurningSpeed};
/// use rope_mechanics::quantity::unit::{ampere, newton_meter, percent, revolution_per_minute, volt};
/// use rope_mechanics::winch::Motor;
///
/// let volts = ElectricPotential::new::<volt>(12.0);
/// let motor = Motor::from_no_load_and_stall(
///     volts,
///     TurningSpeed::new::<revolution_per_minute>(3800.0),
///     ElectricCurrent::new::<ampere>(0.0),
///     Torque::new::<newton_meter>(0.030),
/// )?;
/// let state = motor.at_speed(volts, TurningSpeed::new::<revolution_per_minute>(2500.0))?;
/// assert!((state.efficiency.get::<percent>() - 65.79).abs() < 0.01);
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Motor {
    kt: f64,
    i0: f64,
    r: f64,
}

/// A motor that turns steadily.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MotorState {
    /// Through the winding.
    pub current: ElectricCurrent,
    /// At the shaft.
    pub torque: Torque,
    /// Of the shaft.
    pub speed: TurningSpeed,
    /// Taken in: V·I.
    pub electrical_power: Power,
    /// Given out: τ·ω.
    pub mechanical_power: Power,
    /// Of the motor alone: τ·ω/(V·I).
    pub efficiency: Ratio,
}

impl Motor {
    /// A motor from its torque constant, its current without load, and its winding's resistance at 25 °C.
    ///
    /// # Errors
    /// Unless constant and resistance are above zero and the current at least zero.
    pub fn new(
        constant: MotorConstant,
        no_load_current: ElectricCurrent,
        winding: ElectricalResistance,
    ) -> Result<Self, InputError> {
        Ok(Self {
            kt: error::positive("motor_constant", constant)?,
            i0: error::non_negative("no_load_current", no_load_current)?,
            r: error::positive("winding_resistance", winding)?,
        })
    }

    /// A motor from the ends of its curve at one voltage: speed and current without load, torque at stall.
    ///
    /// V = I0·R + kt·ω0 and τs = kt·(V/R − I0), whence with P = τs·ω0
    ///
    /// R = 2V² / (2V·I0 + P + √(P² + 4P·V·I0)),  kt = (V − I0·R)/ω0
    ///
    /// # Errors
    /// Unless voltage, speed and torque are above zero and the current at least zero.
    pub fn from_no_load_and_stall(
        voltage: ElectricPotential,
        no_load_speed: TurningSpeed,
        no_load_current: ElectricCurrent,
        stall_torque: Torque,
    ) -> Result<Self, InputError> {
        let v = error::positive("voltage", voltage)?;
        let w0 = error::positive("no_load_speed", no_load_speed)?;
        let i0 = error::non_negative("no_load_current", no_load_current)?;
        let stall = error::positive("stall_torque", stall_torque)?;
        // R = 2V² / (2V·I0 + P + √(P² + 4P·V·I0))
        let p = stall * w0;
        let r = 2.0 * v * v / (2.0 * v * i0 + p + math::sqrt(p * (p + 4.0 * v * i0)));
        // kt = (V − I0·R)/ω0
        Ok(Self { kt: (v - i0 * r) / w0, i0, r })
    }

    /// Torque per ampere; also volts per radian a second.
    #[must_use]
    pub fn constant(&self) -> MotorConstant {
        volt_seconds(self.kt)
    }

    /// The current that turns the motor without load.
    #[must_use]
    pub fn no_load_current(&self) -> ElectricCurrent {
        amperes(self.i0)
    }

    /// The winding's resistance at 25 °C.
    #[must_use]
    pub fn winding_resistance(&self) -> ElectricalResistance {
        ohms(self.r)
    }

    /// The same motor with its copper winding at another temperature: R by [`copper_resistance`].
    ///
    /// # Errors
    /// Those of [`copper_resistance`].
    pub fn warmed_to(&self, winding: ThermodynamicTemperature) -> Result<Self, InputError> {
        Ok(Self { r: copper_resistance(ohms(self.r), winding)?.value, ..*self })
    }

    /// The motor at a voltage at its terminals, turning at a speed.
    ///
    /// I = (V − kt·ω)/R,  τ = kt·(I − I0)
    ///
    /// # Errors
    /// Unless the voltage is above zero and the speed between standstill and the speed without load.
    pub fn at_speed(
        &self,
        voltage: ElectricPotential,
        speed: TurningSpeed,
    ) -> Result<MotorState, InputError> {
        let v = error::positive("voltage", voltage)?;
        let no_load = ((v - self.i0 * self.r) / self.kt).max(0.0);
        let w = error::within("motor_speed", speed, 0.0, no_load)?;
        Ok(self.state(v, (v - self.kt * w) / self.r, w))
    }

    /// The motor at a voltage at its terminals, under a torque.
    ///
    /// I = I0 + τ/kt,  ω = (V − I·R)/kt
    ///
    /// # Errors
    /// Unless the voltage is above zero and the torque between zero and that at stall.
    pub fn at_torque(&self, voltage: ElectricPotential, torque: Torque) -> Result<MotorState, InputError> {
        let v = error::positive("voltage", voltage)?;
        let stall = (self.kt * (v / self.r - self.i0)).max(0.0);
        let torque = error::within("motor_torque", torque, 0.0, stall)?;
        // I = I0 + τ/kt
        let i = self.i0 + torque / self.kt;
        // ω = (V − I·R)/kt
        Ok(self.state(v, i, ((v - i * self.r) / self.kt).max(0.0)))
    }

    fn state(&self, v: f64, i: f64, w: f64) -> MotorState {
        // τ = kt·(I − I0)
        let torque = self.kt * (i - self.i0);
        let (electrical, mechanical) = (v * i, torque * w);
        MotorState {
            current: amperes(i),
            torque: newton_metres(torque),
            speed: radians_per_second(w),
            electrical_power: watts(electrical),
            mechanical_power: watts(mechanical),
            efficiency: ratio(if electrical > 0.0 { mechanical / electrical } else { 0.0 }),
        }
    }

    pub(crate) fn kt(&self) -> f64 {
        self.kt
    }

    pub(crate) fn i0_a(&self) -> f64 {
        self.i0
    }

    pub(crate) fn r_ohm(&self) -> f64 {
        self.r
    }
}

/// The resistance at a temperature of a copper conductor whose resistance at 25 °C is known.
///
/// R(T) = R₂₅·(1 + α·(T − 20 °C))/(1 + α·5 K),  α = 0.003 93 a kelvin at 20 °C
///
/// Range: −100 to 300 °C, where copper is straight to within a per cent.
///
/// Source: the international annealed copper standard, IEC 60028 (from memory): the coefficient belongs to 20 °C;
/// taken at 25 °C it would overstate the rise by 2 %.
///
/// ```
/// use rope_mechanics::quantity::{ElectricalResistance, ThermodynamicTemperature};
/// use rope_mechanics::quantity::unit::{degree_celsius, milliohm};
/// use rope_mechanics::winch::copper_resistance;
///
/// let hot = ThermodynamicTemperature::new::<degree_celsius>(100.0);
/// let winding = copper_resistance(ElectricalResistance::new::<milliohm>(20.0), hot)?;
/// // 80 K over 20 °C: 1 + 0.00393·80 = 1.3144, where 25 °C has 1.01965. 20·1.3144/1.01965 = 25.78.
/// assert!((winding.get::<milliohm>() - 25.78).abs() < 0.005);
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
///
/// # Errors
/// Unless the resistance is at least zero and the temperature in range.
pub fn copper_resistance(
    at_25_c: ElectricalResistance,
    temperature: ThermodynamicTemperature,
) -> Result<ElectricalResistance, InputError> {
    let r = error::non_negative("resistance", at_25_c)?;
    let t = self::temperature("winding_temperature", temperature)?;
    Ok(ohms(r * (1.0 + copper_slope() * (t - REFERENCE_K))))
}

/// α at 25 °C: 0.003 93/(1 + 0.003 93·5).
pub(crate) const fn copper_slope() -> f64 {
    COPPER_AT_20_C / (1.0 + COPPER_AT_20_C * 5.0)
}
