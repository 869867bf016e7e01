//! Battery, and a whole haul on it.

use crate::call::{Growing, call, growing, growing_output, input, inputs, no_flags, output, writable};
use crate::error::{Failure, RMECH_ERR_CAPACITY, RMECH_ERR_ENUMERATOR, RMECH_ERR_POINTER, rmech_error};
use crate::quantity::{
    rmech_charge, rmech_current, rmech_energy, rmech_force, rmech_length, rmech_ratio, rmech_resistance,
    rmech_temperature, rmech_time, rmech_velocity, rmech_voltage,
};
use crate::winch::rmech_winch;
use crate::winch_heat::rmech_motor_heat;
use rope_mechanics::quantity::{ElectricPotential, Ratio};
use rope_mechanics::sheave::Motion;
use rope_mechanics::winch::{Battery, Extent, HaulCycle, HaulOutcome, HaulSample, HaulStep, Peukert, Stop};

/// What a battery gives at a steady current, by Peukert's law in its rated-hour form.
///
/// `time` from full to flat and `usable_share` of the stated capacity; either may be NULL. Formula and source:
/// `rope_mechanics::winch::Peukert` in the library's documentation.
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
        let peukert = Peukert::new(capacity, rated, exponent)?;
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

/// How many points a battery's curve may have.
pub const RMECH_BATTERY_POINTS_MAX: u32 = 32;

/// A battery, and the place in which it stands.
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
    /// Share of the capacity that is left at the temperature of the haul; zero stands for 1.
    pub cold_capacity: rmech_ratio,
    /// Inside the battery, at the temperature of the haul.
    pub internal: rmech_resistance,
    /// At least one point, at most `RMECH_BATTERY_POINTS_MAX`, their charges growing.
    pub open_circuit: *const rmech_charge_voltage,
    /// How many.
    pub open_circuit_count: usize,
    /// How many batteries in series; zero stands for 1.
    pub in_series: u32,
    /// How many such rows in parallel; zero stands for 1.
    pub in_parallel: u32,
}

// SAFETY: repr(C), struct_size first, every bit pattern valid (the pointer is only followed as its count says).
unsafe impl Growing for rmech_battery {
    const FIRST_SIZE: usize = 56 + 2 * size_of::<usize>();
}

/// Until so much rope has moved: `distance` counts.
pub const RMECH_EXTENT_DISTANCE: i32 = 1;
/// For so long: `duration` counts.
pub const RMECH_EXTENT_DURATION: i32 = 2;

/// One step of a haul.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_haul_step {
    /// One of `RMECH_MOTION_...`; at rest the brake is set, and only `duration` counts.
    pub motion: i32,
    /// One of `RMECH_EXTENT_...`; at rest not read.
    pub extent: i32,
    /// On the rope where it leaves the winch.
    pub pull: rmech_force,
    /// How far.
    pub distance: rmech_length,
    /// How long.
    pub duration: rmech_time,
    /// What a controller holds; zero for full speed.
    pub line_speed: rmech_velocity,
    /// Of the drum's layer, 1 on that for which the winch is described; zero stands for 1.
    pub pull_ratio: rmech_ratio,
}

impl rmech_haul_step {
    fn get(self) -> Result<HaulStep, Failure> {
        let motion = crate::sheave::motion(self.motion)?;
        let extent = match (motion, self.extent) {
            (Motion::AtRest, _) | (_, RMECH_EXTENT_DURATION) => Extent::Duration(self.duration.get()),
            (_, RMECH_EXTENT_DISTANCE) => Extent::Distance(self.distance.get()),
            (_, extent) => {
                let why = format_args!("extent is {extent}, but must be one of RMECH_EXTENT_...");
                return Err(Failure::of(RMECH_ERR_ENUMERATOR, "extent", why));
            }
        };
        let mut step = match motion {
            Motion::Hauling => HaulStep::haul(self.pull.get(), extent),
            Motion::Lowering => HaulStep::lower(self.pull.get(), extent),
            Motion::AtRest => return Ok(HaulStep::rest(self.duration.get())),
        };
        if self.line_speed.metres_per_second != 0.0 {
            step = step.at_speed(self.line_speed.get());
        }
        if self.pull_ratio.fraction != 0.0 {
            step = step.on_layer(self.pull_ratio.get());
        }
        Ok(step)
    }
}

/// From where a haul starts, and what stops it.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_haul_limits {
    /// sizeof(rmech_haul_limits); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// Zero.
    pub flags: u32,
    /// State of charge at the start, 0 to 1.
    pub charge: rmech_ratio,
    /// State of charge that must be left.
    pub reserve: rmech_ratio,
    /// At the end of the leads, below which the controller drops out; zero for none.
    pub lowest_voltage: rmech_voltage,
    /// What flows while the winch rests.
    pub standby: rmech_current,
    /// Of air, motor and battery at the start.
    pub air: rmech_temperature,
    /// Of the winding; read where heat is followed.
    pub winding_limit: rmech_temperature,
    /// How the motor takes up heat.
    pub heat: rmech_motor_heat,
}

// SAFETY: repr(C), struct_size first, every bit pattern valid.
unsafe impl Growing for rmech_haul_limits {
    const FIRST_SIZE: usize = 120;
}

/// The haul at the end of a step.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_haul_sample {
    /// 1 if the haul got into this step, else 0, and the rest is zero.
    pub reached: i32,
    /// Zero.
    pub reserved: i32,
    /// Since the start of the haul.
    pub time: rmech_time,
    /// Rope moved in this step.
    pub distance: rmech_length,
    /// From the battery.
    pub current: rmech_current,
    /// At the end of the leads.
    pub terminal_voltage: rmech_voltage,
    /// Of the rope.
    pub line_speed: rmech_velocity,
    /// State of charge.
    pub charge: rmech_ratio,
    /// Of the winding; that of the air where no heat is followed.
    pub winding: rmech_temperature,
    /// What the battery has given up since the start of the haul.
    pub energy: rmech_energy,
}

impl From<&HaulSample> for rmech_haul_sample {
    fn from(sample: &HaulSample) -> Self {
        Self {
            reached: 1,
            reserved: 0,
            time: sample.time.into(),
            distance: sample.distance.into(),
            current: sample.current.into(),
            terminal_voltage: sample.terminal_voltage.into(),
            line_speed: sample.line_speed.unwrap_or_default().into(),
            charge: sample.charge.into(),
            winding: sample.winding.into(),
            energy: sample.energy.into(),
        }
    }
}

/// The haul finished.
pub const RMECH_STOP_NONE: i32 = 0;
/// The battery is down to its reserve.
pub const RMECH_STOP_BATTERY_FLAT: i32 = 1;
/// The voltage at the end of the leads is below what the controller needs.
pub const RMECH_STOP_VOLTAGE_TOO_LOW: i32 = 2;
/// The winding has reached its limit.
pub const RMECH_STOP_TOO_HOT: i32 = 3;
/// The winch can't move this pull, or not at the speed asked.
pub const RMECH_STOP_CANNOT_PULL: i32 = 4;
/// For a reason that this version of the header doesn't know.
pub const RMECH_STOP_OTHERWISE: i32 = 99;

/// How a haul went.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_haul_outcome {
    /// sizeof(rmech_haul_outcome); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// Zero.
    pub flags: u32,
    /// One of `RMECH_STOP_...`.
    pub stop: i32,
    /// In which step it stopped, counted from 0; the number of steps if it finished.
    pub stopped_step: u32,
    /// Rope moved in the step in which it stopped; zero if it finished.
    pub stopped_distance: rmech_length,
    /// How long it took, or until it stopped.
    pub time: rmech_time,
    /// Rope hauled in, all steps.
    pub hauled: rmech_length,
    /// Rope lowered out, all steps.
    pub lowered: rmech_length,
    /// What the battery gave up, net of what flowed back.
    pub energy: rmech_energy,
    /// What the rope took up hauling.
    pub work: rmech_energy,
    /// State of charge at the end.
    pub charge: rmech_ratio,
    /// The largest current from the battery.
    pub largest_current: rmech_current,
    /// The lowest voltage at the end of the leads.
    pub lowest_voltage: rmech_voltage,
    /// The hottest that the winding was.
    pub hottest_winding: rmech_temperature,
    /// The largest closing error of the power balance.
    pub residual: f64,
}

// SAFETY: repr(C), struct_size first, every bit pattern valid.
unsafe impl Growing for rmech_haul_outcome {
    const FIRST_SIZE: usize = 104;
}

impl rmech_haul_outcome {
    #[allow(clippy::cast_possible_truncation, reason = "checked to be a u32 before the haul")]
    fn of(outcome: &HaulOutcome, steps: usize) -> Self {
        let stopped = outcome.stopped;
        Self {
            struct_size: 0,
            flags: 0,
            stop: match stopped.map(|s| s.why) {
                None => RMECH_STOP_NONE,
                Some(Stop::BatteryFlat) => RMECH_STOP_BATTERY_FLAT,
                Some(Stop::VoltageTooLow) => RMECH_STOP_VOLTAGE_TOO_LOW,
                Some(Stop::TooHot) => RMECH_STOP_TOO_HOT,
                Some(Stop::CannotPull(_)) => RMECH_STOP_CANNOT_PULL,
                Some(_) => RMECH_STOP_OTHERWISE,
            },
            stopped_step: stopped.map_or(steps, |s| s.step) as u32,
            stopped_distance: stopped.map(|s| s.distance).unwrap_or_default().into(),
            time: outcome.time.into(),
            hauled: outcome.hauled.into(),
            lowered: outcome.lowered.into(),
            energy: outcome.energy.into(),
            work: outcome.work.into(),
            charge: outcome.charge.into(),
            largest_current: outcome.largest_current.into(),
            lowest_voltage: outcome.lowest_voltage.into(),
            hottest_winding: outcome.hottest_winding.into(),
            residual: outcome.report.residual,
        }
    }
}

/// A whole haul on one battery: whether it finishes, and what stops it.
///
/// `ends` takes `step_count` entries, one for the end of each step; it may be NULL. The winch's own `open_circuit`,
/// `battery` and `leads` give way to the battery and its leads, of which only `leads` is read from the winch. That a
/// haul is stopped is no failure: `outcome->stop` then says why. A step that can't be used is `RMECH_ERR_VALUE`.
/// Formula: `rope_mechanics::winch::HaulCycle` in the library's documentation.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_winch_haul(
    winch: *const rmech_winch,
    battery: *const rmech_battery,
    limits: *const rmech_haul_limits,
    steps: *const rmech_haul_step,
    step_count: usize,
    ends: *mut rmech_haul_sample,
    outcome: *mut rmech_haul_outcome,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (winch, battery, limits, steps) = unsafe {
            (
                growing("winch", winch)?,
                growing("battery", battery)?,
                growing("limits", limits)?,
                inputs("steps", steps, step_count)?,
            )
        };
        no_flags("battery", battery.flags)?;
        no_flags("limits", limits.flags)?;
        writable("outcome", outcome)?;
        if !ends.is_null() {
            writable("ends", ends)?;
        }
        if u32::try_from(step_count).is_err() {
            return Err(Failure::of(RMECH_ERR_POINTER, "step_count", "more steps than fit any memory"));
        }
        for step in steps {
            step.get()?;
        }

        // SAFETY: as above.
        let points = unsafe { inputs("open_circuit", battery.open_circuit, battery.open_circuit_count)? };
        let mut curve = [(Ratio::default(), ElectricPotential::default()); RMECH_BATTERY_POINTS_MAX as usize];
        let Some(curve) = curve.get_mut(..points.len()) else {
            let why = format_args!("{} points, but at most {RMECH_BATTERY_POINTS_MAX}", points.len());
            return Err(Failure::of(RMECH_ERR_CAPACITY, "open_circuit_count", why));
        };
        for (slot, point) in curve.iter_mut().zip(points) {
            *slot = (point.charge.get(), point.voltage.get());
        }
        let or_one = |count: u32| if count == 0 { 1 } else { count };
        let peukert =
            Peukert::new(battery.capacity.get(), battery.rated_time.get(), battery.peukert_exponent.get())?;
        let mut stored = Battery::new(peukert, curve, battery.internal.get())?
            .bank(or_one(battery.in_series), or_one(battery.in_parallel))?;
        // Its temperature stays that of the air, so one point is the whole table.
        let cold = [(limits.air.get(), battery.cold_capacity.get())];
        if battery.cold_capacity.fraction != 0.0 {
            stored = stored.with_cold(&cold)?;
        }

        let leads = winch.leads.get();
        let mut winch = winch;
        winch.open_circuit = rmech_voltage { volts: 1.0 };
        winch.battery = rmech_resistance { ohms: 0.0 };
        let mut cycle = HaulCycle::new(winch.get()?, stored, leads, limits.air.get())?
            .with_charge(limits.charge.get(), limits.reserve.get())?
            .with_lowest_voltage(limits.lowest_voltage.get())?
            .with_standby(limits.standby.get())?;
        if let Some(heat) = limits.heat.get()? {
            cycle = cycle.with_heat(heat, limits.winding_limit.get())?;
        }
        let steps = steps.iter().map_while(|step| step.get().ok());
        // Nothing is written unless all of it goes well: a first run shows that, before the second fills the array.
        let found = cycle.run(steps.clone(), |_| {})?;
        if !ends.is_null() {
            for number in 0..step_count {
                // SAFETY: `ends` is writable for `step_count` entries by the contract of the ABI.
                unsafe { ends.add(number).write(rmech_haul_sample::default()) };
            }
            cycle.run(steps, |sample| {
                // SAFETY: the step is one of `step_count`.
                unsafe { ends.add(sample.step).write(sample.into()) };
            })?;
        }
        // SAFETY: as above.
        unsafe { growing_output("outcome", outcome, rmech_haul_outcome::of(&found, step_count)) }
    })
}
