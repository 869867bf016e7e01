//! The battery: what it holds, what it gives at a current, in the cold, and at which voltage.

use super::{Supply, WinchError};
use crate::error::{self, Allowed, Checked, InputError};
use crate::math;
use crate::quantity::{
    ElectricCharge, ElectricCurrent, ElectricPotential, ElectricalResistance, Ratio,
    ThermodynamicTemperature, Time, amperes, coulombs, kelvins, ohms, ratio, seconds, volts,
};

/// Open-circuit voltage of a rested lead-acid battery of six cells by its state of charge.
///
/// From memory; makers differ by 0.1–0.3 V, sealed ones standing higher: use the maker's own table.
pub const LEAD_ACID_OPEN_CIRCUIT: [(Ratio, ElectricPotential); 6] = [
    (ratio(0.0), volts(11.6)),
    (ratio(0.2), volts(11.9)),
    (ratio(0.4), volts(12.15)),
    (ratio(0.6), volts(12.35)),
    (ratio(0.8), volts(12.5)),
    (ratio(1.0), volts(12.7)),
];

/// Capacity of a lead-acid battery by its temperature, as a share of that at 25 °C.
///
/// The reciprocals of the sizing factors of IEEE 485, table 1 (from memory: 1.52 at −3.9 °C, 1.30 at 4.4 °C, 1.11 at
/// 15.6 °C); at −20 °C by the polynomial 1.405 − 2.4941x + 4.1916x² − 2.8117x³, x = ϑ/100 °C, that a manual for
/// sizing stationary batteries gives outside that table. Above 25 °C no gain is counted.
pub const LEAD_ACID_COLD: [(ThermodynamicTemperature, Ratio); 5] = [
    (kelvins(253.15), ratio(1.0 / 2.0938)),
    (kelvins(269.25), ratio(1.0 / 1.52)),
    (kelvins(277.55), ratio(1.0 / 1.30)),
    (kelvins(288.75), ratio(1.0 / 1.11)),
    (kelvins(298.15), ratio(1.0)),
];

/// What a battery gives at a current above its rated one: Peukert's law in its rated-hour form.
///
/// t = H·(C/(I·H))ⁿ, so that of the capacity C, stated for H hours, the share (I_H/I)^(n−1) is usable, with I_H = C/H.
///
/// Assumed: a steady current from full to flat. Pauses give some of the rest back, so that hauling in parts gets
/// more than this. Lead-acid: n 1.1–1.4; lithium iron phosphate about 1.05 (from memory).
///
/// ```
/// use rope_mechanics::quantity::unit::{ampere, ampere_hour, hour, percent, ratio};
/// use rope_mechanics::quantity::{ElectricCharge, ElectricCurrent, Ratio, Time};
/// use rope_mechanics::winch::Peukert;
///
/// let battery = Peukert::new(
///     ElectricCharge::new::<ampere_hour>(100.0),
///     Time::new::<hour>(20.0),
///     Ratio::new::<ratio>(1.3),
/// )?;
/// let usable = battery.usable_share(ElectricCurrent::new::<ampere>(100.0))?;
/// assert!((usable.get::<percent>() - 41.0).abs() < 0.5);
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Peukert {
    capacity: f64,
    rated_time: f64,
    exponent: f64,
}

impl Peukert {
    /// A battery by its capacity, the time for which that is stated, and its exponent.
    ///
    /// # Errors
    /// Unless capacity and time are above zero and the exponent from 1 to 2.
    pub fn new(capacity: ElectricCharge, rated_time: Time, exponent: Ratio) -> Result<Self, InputError> {
        Ok(Self {
            capacity: error::positive("battery_capacity", capacity)?,
            rated_time: error::positive("rated_time", rated_time)?,
            exponent: error::within("peukert_exponent", exponent, 1.0, 2.0)?,
        })
    }

    /// The charge that it gives over its rated time.
    #[must_use]
    pub fn capacity(&self) -> ElectricCharge {
        coulombs(self.capacity)
    }

    /// The same law for a battery of another charge over the same rated time.
    ///
    /// # Errors
    /// Unless the charge is above zero.
    pub fn with_capacity(self, capacity: ElectricCharge) -> Result<Self, InputError> {
        Ok(Self { capacity: error::positive("battery_capacity", capacity)?, ..self })
    }

    /// The current at which the capacity is stated: C/H.
    #[must_use]
    pub fn rated_current(&self) -> ElectricCurrent {
        amperes(self.capacity / self.rated_time)
    }

    /// How long a steady current flows, from full to flat.
    ///
    /// # Errors
    /// Unless the current is above zero.
    pub fn time(&self, current: ElectricCurrent) -> Result<Time, InputError> {
        let i = error::positive("current", current)?;
        // t = H·(C/(I·H))ⁿ
        Ok(seconds(self.rated_time * math::powf(self.capacity / (i * self.rated_time), self.exponent)))
    }

    /// The share of the stated capacity that a steady current gets; above 1 below the rated current.
    ///
    /// # Errors
    /// Unless the current is above zero.
    pub fn usable_share(&self, current: ElectricCurrent) -> Result<Ratio, InputError> {
        let i = error::positive("current", current)?;
        // (I_H/I)^(n−1)
        Ok(ratio(math::powf(self.capacity / self.rated_time / i, self.exponent - 1.0)))
    }

    /// Share of the whole charge that a current takes each second. Below the rated current no gain is counted, and
    /// what flows back counts for nothing.
    fn drain_per_s(&self, i: f64) -> f64 {
        let over = (i * self.rated_time / self.capacity).max(1.0);
        i.max(0.0) * math::powf(over, self.exponent - 1.0) / self.capacity
    }
}

/// A battery with its voltage by state of charge, its resistance, and what the cold does to both.
///
/// Tables are straight lines between their points and level beyond their ends. They stay the caller's: nothing is
/// copied.
///
/// Assumed: the voltage follows the charge at once. A battery under load sags further over seconds to minutes and
/// recovers when it rests.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Battery<'a> {
    peukert: Peukert,
    open_circuit: &'a [(Ratio, ElectricPotential)],
    resistance: f64,
    cold: &'a [(ThermodynamicTemperature, Ratio)],
    cold_resistance: &'a [(ThermodynamicTemperature, Ratio)],
    series: f64,
    parallel: f64,
}

impl<'a> Battery<'a> {
    /// A battery from its capacity, its table of open-circuit voltage by state of charge, and its internal
    /// resistance at 25 °C.
    ///
    /// # Errors
    /// Unless the table has at least one point, its charges grow from 0 to at most 1, its voltages are above zero and
    /// don't fall, and the resistance is at least zero.
    pub fn new(
        peukert: Peukert,
        open_circuit: &'a [(Ratio, ElectricPotential)],
        internal: ElectricalResistance,
    ) -> Result<Self, InputError> {
        let mut last = 0.0;
        for &(charge, volts) in growing("state_of_charge", open_circuit)? {
            error::within("state_of_charge", charge, 0.0, 1.0)?;
            error::positive("open_circuit_voltage", volts)?;
            last = error::check("open_circuit_voltage", volts, Allowed::AtLeast(last))?;
        }
        let resistance = error::non_negative("battery_resistance", internal)?;
        Ok(Self {
            peukert,
            open_circuit,
            resistance,
            cold: &[],
            cold_resistance: &[],
            series: 1.0,
            parallel: 1.0,
        })
    }

    /// With a table of the share of the capacity that is left at a temperature, such as [`LEAD_ACID_COLD`].
    ///
    /// # Errors
    /// Unless its temperatures grow and its shares are above 0 and at most 2.
    pub fn with_cold(self, capacity: &'a [(ThermodynamicTemperature, Ratio)]) -> Result<Self, InputError> {
        for &(temperature, share) in growing("battery_temperature", capacity)? {
            error::positive("battery_temperature", temperature)?;
            error::within("cold_capacity", share, 0.01, 2.0)?;
        }
        Ok(Self { cold: capacity, ..self })
    }

    /// With a table of the internal resistance at a temperature by that at 25 °C.
    ///
    /// # Errors
    /// Unless its temperatures grow and its ratios are from 0.1 to 100.
    pub fn with_cold_resistance(
        self,
        ratio: &'a [(ThermodynamicTemperature, Ratio)],
    ) -> Result<Self, InputError> {
        for &(temperature, share) in growing("battery_temperature", ratio)? {
            error::positive("battery_temperature", temperature)?;
            error::within("cold_resistance", share, 0.1, 100.0)?;
        }
        Ok(Self { cold_resistance: ratio, ..self })
    }

    /// So many of this battery in series, and so many such rows in parallel.
    ///
    /// # Errors
    /// Unless both are from 1 to 1000.
    pub fn bank(self, series: u32, parallel: u32) -> Result<Self, InputError> {
        Ok(Self {
            series: error::within("batteries_in_series", f64::from(series), 1.0, 1e3)?,
            parallel: error::within("batteries_in_parallel", f64::from(parallel), 1.0, 1e3)?,
            ..self
        })
    }

    /// Its capacity and Peukert's law, of a single battery of the bank.
    #[must_use]
    pub fn peukert(&self) -> Peukert {
        self.peukert
    }

    /// What the bank holds at a temperature at its rated current.
    ///
    /// # Errors
    /// Unless the temperature is above absolute zero.
    pub fn capacity(&self, temperature: ThermodynamicTemperature) -> Result<ElectricCharge, InputError> {
        let t = error::positive("battery_temperature", temperature)?;
        Ok(coulombs(self.peukert.capacity * self.cold_share(t) * self.parallel))
    }

    /// The voltage of the bank without current at a state of charge.
    ///
    /// # Errors
    /// Unless the charge is from 0 to 1.
    pub fn open_circuit(&self, charge: Ratio) -> Result<ElectricPotential, InputError> {
        Ok(volts(self.volts(error::within("state_of_charge", charge, 0.0, 1.0)?)))
    }

    /// The bank at a state of charge and a temperature, with its leads.
    ///
    /// # Errors
    /// Unless the charge is from 0 to 1, the temperature above absolute zero, and the leads' resistance at least
    /// zero.
    pub fn supply(
        &self,
        charge: Ratio,
        temperature: ThermodynamicTemperature,
        leads: ElectricalResistance,
    ) -> Result<Supply, WinchError> {
        let charge = error::within("state_of_charge", charge, 0.0, 1.0)?;
        let t = error::positive("battery_temperature", temperature)?;
        Ok(Supply::new(volts(self.volts(charge)), ohms(self.ohms(t)), leads)?)
    }

    pub(crate) fn volts(&self, charge: f64) -> f64 {
        between(self.open_circuit, charge).unwrap_or(0.0) * self.series
    }

    pub(crate) fn ohms(&self, temperature_k: f64) -> f64 {
        let cold = between(self.cold_resistance, temperature_k).unwrap_or(1.0);
        self.resistance * cold * self.series / self.parallel
    }

    /// Share of the whole charge that a current from the bank takes each second.
    pub(crate) fn drain_per_s(&self, i: f64, temperature_k: f64) -> f64 {
        self.peukert.drain_per_s(i / self.parallel) / self.cold_share(temperature_k)
    }

    fn cold_share(&self, temperature_k: f64) -> f64 {
        between(self.cold, temperature_k).unwrap_or(1.0)
    }
}

/// The table, if it has points and their first numbers are finite and grow.
fn growing<'a, X: Checked, Y>(field: &'static str, table: &'a [(X, Y)]) -> Result<&'a [(X, Y)], InputError> {
    if table.is_empty() {
        return Err(InputError::new(field, 0.0, "points", Allowed::AtLeast(1.0)));
    }
    let mut last = f64::NEG_INFINITY;
    for &(x, _) in table {
        let x = error::finite(field, x)?;
        if x <= last {
            return Err(InputError::new(field, x, X::UNIT, Allowed::Above(last)));
        }
        last = x;
    }
    Ok(table)
}

/// Straight lines between the points, level beyond the ends; none without points.
fn between<X: Checked, Y: Checked>(table: &[(X, Y)], x: f64) -> Option<f64> {
    let after = table.partition_point(|point| point.0.si() <= x);
    let last = after.checked_sub(1).and_then(|i| table.get(i));
    Some(match (last, table.get(after)) {
        (Some(&(x0, y0)), Some(&(x1, y1))) => {
            let share = (x - x0.si()) / (x1.si() - x0.si());
            y0.si() + (y1.si() - y0.si()) * share
        }
        (Some(&(_, y)), None) | (None, Some(&(_, y))) => y.si(),
        (None, None) => return None,
    })
}
