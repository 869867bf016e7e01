//! Batteries: what they hold and give, by charge, current and cold.
//!
//! ```text
//! t = H*(C/(I*H))^n    usable share = (Ih/I)^(n-1), Ih = C/H    cold: by the table given, or that of a battery manual
//! Voltage: the curve over the charge given, less I*(internal + leads). Assumed: a steady current from full to flat; pauses give
//! some back. Range: n from 1 to 2, charge 0 to 1, up to 1000 in series and parallel. Source: Peukert's law (1897); a battery
//! meter's manual.
//! ```
//!
//! ```c
//! rmech_charge capacity = rmech_ah(55.0); // over 20 hours
//! rmech_time rated = rmech_h(20.0), time;
//! rmech_ratio exponent = rmech_fraction(1.2), share;
//! rmech_current current = rmech_a(90.0);
//! if (rmech_battery_at_current(&capacity, &rated, &exponent, &current, &time, &share, &error) == RMECH_OK)
//!     printf("%.0f min, %.0f %% of it\n", rmech_in_min(time), rmech_in_percent(share)); // 18 min, 50 % of it
//! ```

use crate::call::{call, growing, input, inputs, no_flags, output, versions, writable};
use crate::error::{Failure, Named, RMECH_ERR_CAPACITY, rmech_error};
use crate::quantity::{
    rmech_charge, rmech_current, rmech_ratio, rmech_resistance, rmech_temperature, rmech_time, rmech_voltage,
};
use rope_mechanics::quantity::{ElectricPotential, Ratio, ThermodynamicTemperature};
use rope_mechanics::winch::{Battery, Peukert};

/// What a battery gives at a steady current, by Peukert's law in its rated-hour form.
///
/// `time` from full to flat and `usable_share` of the stated capacity; either may be NULL. Formula and source:
/// at the top of this topic in rope_mechanics.h.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_battery_at_current(
    capacity: *const rmech_charge,
    rated_time: *const rmech_time,
    peukert_exponent: *const rmech_ratio,
    current: *const rmech_current,
    time: *mut rmech_time,
    usable_share: *mut rmech_ratio,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (capacity, rated, exponent, current) = unsafe {
            (
                input("capacity", capacity)?.get(),
                input("rated_time", rated_time)?.get(),
                input("peukert_exponent", peukert_exponent)?.get(),
                input("current", current)?.get(),
            )
        };
        if !time.is_null() {
            writable("time", time)?;
        }
        if !usable_share.is_null() {
            writable("usable_share", usable_share)?;
        }
        let peukert = Peukert::new(capacity, rated, exponent).named("battery_capacity", "capacity")?;
        let (lasts, usable) = (peukert.time(current)?.into(), peukert.usable_share(current)?.into());
        // SAFETY: as above.
        unsafe {
            if !time.is_null() {
                output("time", time, lasts)?;
            }
            if usable_share.is_null() { Ok(()) } else { output("usable_share", usable_share, usable) }
        }
    })
}

/// A point of a battery's curve of voltage without current.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_charge_voltage {
    /// State of charge: 0 empty, 1 full.
    pub charge: rmech_ratio,
    /// Without current.
    pub voltage: rmech_voltage,
}

/// A point of a table of what the cold does to a battery.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_temperature_share {
    /// Of the battery.
    pub temperature: rmech_temperature,
    /// Of the value at 25 °C.
    pub share: rmech_ratio,
}

/// How many points each table of a battery may have.
pub const RMECH_BATTERY_POINTS_MAX: u32 = 32;

/// A battery, by tables that are linear between their points and constant beyond their ends.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_battery {
    /// sizeof(rmech_battery); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// Zero.
    pub flags: u32,
    /// Stated for `rated_time`.
    pub capacity: rmech_charge,
    /// The time for which the capacity is stated.
    pub rated_time: rmech_time,
    /// Peukert's exponent, 1 to 2.
    pub peukert_exponent: rmech_ratio,
    /// Inside the battery at 25 °C.
    pub internal: rmech_resistance,
    /// At least one point, at most `RMECH_BATTERY_POINTS_MAX`, their charges growing.
    pub open_circuit: *const rmech_charge_voltage,
    /// How many.
    pub open_circuit_count: usize,
    /// What is left of the capacity, the temperatures growing; none where the cold takes nothing.
    pub cold: *const rmech_temperature_share,
    /// How many.
    pub cold_count: usize,
    /// How the internal resistance grows, the temperatures growing; none where it doesn't.
    pub cold_resistance: *const rmech_temperature_share,
    /// How many.
    pub cold_resistance_count: usize,
    /// How many batteries in series; zero stands for 1.
    pub in_series: u32,
    /// How many such rows in parallel; zero stands for 1.
    pub in_parallel: u32,
}

versions!(rmech_battery: 48 + 6 * WORD);

const POINTS: usize = RMECH_BATTERY_POINTS_MAX as usize;

/// The tables of a battery, as the library knows them.
pub(crate) struct Tables {
    open_circuit: ([(Ratio, ElectricPotential); POINTS], usize),
    cold: ([(ThermodynamicTemperature, Ratio); POINTS], usize),
    cold_resistance: ([(ThermodynamicTemperature, Ratio); POINTS], usize),
}

/// A table made of another, in place.
fn table<G: Copy, T: Copy + Default>(
    count: &str,
    given: &[G],
    make: impl Fn(G) -> T,
) -> Result<([T; POINTS], usize), Failure> {
    let mut all = [T::default(); POINTS];
    let Some(used) = all.get_mut(..given.len()) else {
        let why = format_args!("{} points, but at most {RMECH_BATTERY_POINTS_MAX}", given.len());
        return Err(Failure::of(RMECH_ERR_CAPACITY, count, why));
    };
    for (slot, given) in used.iter_mut().zip(given) {
        *slot = make(*given);
    }
    Ok((all, given.len()))
}

/// As many points as were given.
fn used<T>((all, count): &([T; POINTS], usize)) -> &[T] {
    all.get(..*count).unwrap_or_default()
}

impl Tables {
    /// # Safety
    /// The tables of `battery` stand where it says.
    pub(crate) unsafe fn of(battery: &rmech_battery) -> Result<Self, Failure> {
        no_flags(battery.flags)?;
        // SAFETY: as the caller says.
        let (open, cold, resistance) = unsafe {
            (
                inputs("open_circuit", battery.open_circuit, battery.open_circuit_count)?,
                inputs("cold", battery.cold, battery.cold_count)?,
                inputs("cold_resistance", battery.cold_resistance, battery.cold_resistance_count)?,
            )
        };
        let share = |point: rmech_temperature_share| (point.temperature.get(), point.share.get());
        Ok(Self {
            open_circuit: table("open_circuit_count", open, |p| (p.charge.get(), p.voltage.get()))?,
            cold: table("cold_count", cold, share)?,
            cold_resistance: table("cold_resistance_count", resistance, share)?,
        })
    }

    pub(crate) fn battery(&self, given: &rmech_battery) -> Result<Battery<'_>, Failure> {
        let peukert =
            Peukert::new(given.capacity.get(), given.rated_time.get(), given.peukert_exponent.get())
                .named("battery_capacity", "capacity")?;
        let or_one = |count: u32| if count == 0 { 1 } else { count };
        let open = used(&self.open_circuit);
        let mut battery = Battery::new(peukert, open, given.internal.get())
            .named("battery_resistance", "internal")
            .listed("state_of_charge", "open_circuit", "charge", open.iter().map(|point| point.0.value))
            .listed(
                "open_circuit_voltage",
                "open_circuit",
                "voltage",
                open.iter().map(|point| point.1.value),
            )?
            .bank(or_one(given.in_series), or_one(given.in_parallel))
            .named("batteries_in_series", "in_series")
            .named("batteries_in_parallel", "in_parallel")?;
        let cold = used(&self.cold);
        if !cold.is_empty() {
            battery = battery
                .with_cold(cold)
                .listed("battery_temperature", "cold", "temperature", cold.iter().map(|point| point.0.value))
                .listed("cold_capacity", "cold", "share", cold.iter().map(|point| point.1.value))?;
        }
        let stiff = used(&self.cold_resistance);
        if !stiff.is_empty() {
            let temperatures = stiff.iter().map(|point| point.0.value);
            battery = battery
                .with_cold_resistance(stiff)
                .listed("battery_temperature", "cold_resistance", "temperature", temperatures)
                .listed(
                    "cold_resistance",
                    "cold_resistance",
                    "share",
                    stiff.iter().map(|point| point.1.value),
                )?;
        }
        Ok(battery)
    }
}

/// A battery at a state of charge and a temperature, all of its bank.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_battery_state {
    /// Without current.
    pub open_circuit: rmech_voltage,
    /// Inside.
    pub internal: rmech_resistance,
    /// What it holds at this temperature, full, at its rated current.
    pub capacity: rmech_charge,
    /// The current at which the capacity of each single battery is stated.
    pub rated_current: rmech_current,
}

/// A battery at a state of charge and a temperature: voltage and resistance are what `rmech_winch` takes as
/// `open_circuit` and `battery`.
///
/// Formula: at the top of this topic in rope_mechanics.h.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_battery_at_charge(
    battery: *const rmech_battery,
    charge: *const rmech_ratio,
    temperature: *const rmech_temperature,
    state: *mut rmech_battery_state,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (battery, charge, temperature) = unsafe {
            (
                growing("battery", battery)?,
                input("charge", charge)?.get(),
                input("temperature", temperature)?.get(),
            )
        };
        writable("state", state)?;
        // SAFETY: as above.
        let tables = unsafe { Tables::of(&battery)? };
        let bank = tables.battery(&battery)?;
        let supply = bank
            .supply(charge, temperature, rmech_resistance::default().get())
            .named("state_of_charge", "charge")
            .named("battery_temperature", "temperature")?;
        let value = rmech_battery_state {
            open_circuit: bank.open_circuit(charge)?.into(),
            internal: supply.battery_resistance().into(),
            capacity: bank.capacity(temperature)?.into(),
            rated_current: bank.peukert().rated_current().into(),
        };
        // SAFETY: as above.
        unsafe { output("state", state, value) }
    })
}
