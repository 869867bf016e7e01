//! A whole haul on a battery.
//!
//! ```text
//! The winch at each moment, with the charge by Peukert's law, the voltage by charge and cold, the motor by its heat, in
//! intervals of at most the one given (1500 to a step as a rule, 10000 at most, else RMECH_ERR_UNSOLVED).
//! Stops at the reserve of charge, the stall, the heat, or the end of the steps. Assumed, range, sources: of the four topics
//! above; resistance grows as the motor warms.
//! ```
//!
//! ```c
//! rmech_winch winch = RMECH_INIT(rmech_winch);
//! winch.motor_constant = rmech_n_m_per_a(0.055);
//! winch.no_load_current = rmech_a(4.0);
//! winch.winding = rmech_mohm(18.0);
//! winch.gear_ratio = rmech_fraction(180.0);
//! winch.gear_efficiency = rmech_percent(72.0);
//! winch.radius = rmech_mm(36.0);
//! winch.open_circuit = rmech_v(25.0);
//! winch.battery = rmech_mohm(8.0);
//! winch.leads = rmech_mohm(3.0);
//! rmech_charge_voltage curve[2] = {{rmech_fraction(0.0), rmech_v(11.6)}, {rmech_fraction(1.0), rmech_v(12.7)}};
//! rmech_battery battery = RMECH_INIT(rmech_battery); // two in series
//! battery.capacity = rmech_ah(55.0);
//! battery.rated_time = rmech_h(20.0);
//! battery.peukert_exponent = rmech_fraction(1.2);
//! battery.open_circuit = curve;
//! battery.open_circuit_count = 2;
//! battery.internal = rmech_mohm(4.0);
//! battery.in_series = 2;
//! battery.in_parallel = 1;
//! rmech_haul_limits limits = RMECH_INIT(rmech_haul_limits);
//! limits.charge = rmech_percent(90.0);
//! limits.reserve = rmech_percent(20.0);
//! limits.air = rmech_celsius(15.0);
//! limits.interval = rmech_s(1.0);
//! rmech_haul_step step;
//! memset(&step, 0, sizeof step);
//! step.motion = RMECH_MOTION_HAULING;
//! step.extent = RMECH_EXTENT_DISTANCE;
//! step.pull = rmech_kn(2.1);
//! step.distance = rmech_m(60.0);
//! step.pull_ratio = rmech_fraction(1.0);
//! rmech_haul_outcome outcome = RMECH_INIT(rmech_haul_outcome);
//! if (rmech_winch_haul(&winch, &battery, &limits, &step, 1, NULL, 0, NULL, &outcome, &error) == RMECH_OK)
//!     printf("%.0f %% of the charge is left\n", rmech_in_percent(outcome.charge)); // 83 % of the charge is left
//! ```

use crate::call::{
    apart, call, growing, growing_output, input, inputs, no_flags, output, versions, writable,
    writable_growing,
};
use crate::error::{Failure, Named, RMECH_ERR_CAPACITY, RMECH_ERR_POINTER, rmech_error};
use crate::quantity::{
    rmech_current, rmech_energy, rmech_force, rmech_length, rmech_ratio, rmech_resistance, rmech_temperature,
    rmech_time, rmech_velocity, rmech_voltage,
};
use crate::sheave::{RMECH_MOTION_AT_REST, RMECH_MOTION_HAULING, RMECH_MOTION_LOWERING};
use crate::winch::battery::{Tables, rmech_battery};
use crate::winch::gauge::{rmech_winch_row, table};
use crate::winch::heat::{rmech_motor_heat, rmech_motor_temperatures};
use crate::winch::rmech_winch;
use rope_mechanics::motion::Motion;
use rope_mechanics::winch::{Extent, HaulCycle, HaulOutcome, HaulSample, HaulStep, Machine, StopCause};

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
        let motion = crate::sheave::motion("motion", self.motion)?;
        let extent = match (motion, self.extent) {
            (Motion::AtRest, _) | (_, RMECH_EXTENT_DURATION) => Extent::Duration(self.duration.get()),
            (_, RMECH_EXTENT_DISTANCE) => Extent::Distance(self.distance.get()),
            (_, extent) => return Err(Failure::unknown("extent", extent, "one of RMECH_EXTENT_...")),
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

/// A flag of a haul's limits: the samples are the end of each step that began, and no others.
pub const RMECH_HAUL_STEP_ENDS: u32 = 1;
/// A flag of a haul's limits: the motor starts as warm as `start` says, else at the temperature of the air.
pub const RMECH_HAUL_WARM_START: u32 = 2;

/// From where a haul starts, how closely it is followed, and what stops it.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_haul_limits {
    /// sizeof(rmech_haul_limits); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// `RMECH_HAUL_STEP_ENDS`, `RMECH_HAUL_WARM_START`, both or none.
    pub flags: u32,
    /// State of charge at the start, 0 to 1.
    pub charge: rmech_ratio,
    /// State of charge that must be left.
    pub reserve: rmech_ratio,
    /// At the end of the leads, below which the controller drops out; zero for none.
    pub lowest_voltage: rmech_voltage,
    /// What flows while the winch rests.
    pub standby: rmech_current,
    /// Of air and battery.
    pub air: rmech_temperature,
    /// Of the winding; read where heat is followed.
    pub winding_limit: rmech_temperature,
    /// How the motor takes up heat.
    pub heat: rmech_motor_heat,
    /// Of the motor at the start; read only with `RMECH_HAUL_WARM_START`. One node has only a winding.
    pub start: rmech_motor_temperatures,
    /// Between two samples, but longer in steps of more than a thousand of it; zero stands for a second.
    pub interval: rmech_time,
}

versions!(rmech_haul_limits: 144);

/// The haul at one moment.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_haul_sample {
    /// In which step, counted from 0.
    pub step: u32,
    /// One of `RMECH_MOTION_...`.
    pub motion: i32,
    /// Since the start of the haul.
    pub time: rmech_time,
    /// Rope moved in this step.
    pub distance: rmech_length,
    /// On the rope.
    pub pull: rmech_force,
    /// From the battery.
    pub current: rmech_current,
    /// At the end of the leads.
    pub terminal_voltage: rmech_voltage,
    /// Of the rope; zero where a table gives no speeds.
    pub line_speed: rmech_velocity,
    /// State of charge.
    pub charge: rmech_ratio,
    /// Of the winding; that of the air where no heat is followed.
    pub winding: rmech_temperature,
    /// What the battery has given up since the start of the haul.
    pub energy: rmech_energy,
}

impl From<&HaulSample> for rmech_haul_sample {
    #[allow(clippy::cast_possible_truncation, reason = "checked to be a u32 before the haul")]
    fn from(sample: &HaulSample) -> Self {
        Self {
            step: sample.step as u32,
            motion: match sample.motion {
                Motion::Hauling => RMECH_MOTION_HAULING,
                Motion::Lowering => RMECH_MOTION_LOWERING,
                Motion::AtRest => RMECH_MOTION_AT_REST,
            },
            time: sample.time.into(),
            distance: sample.distance.into(),
            pull: sample.pull.into(),
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

versions!(rmech_haul_outcome: 104);

impl rmech_haul_outcome {
    #[allow(clippy::cast_possible_truncation, reason = "checked to be a u32 before the haul")]
    fn of(outcome: &HaulOutcome, steps: usize) -> Self {
        let stopped = outcome.stopped;
        Self {
            struct_size: 0,
            flags: 0,
            stop: match stopped.map(|s| s.why) {
                None => RMECH_STOP_NONE,
                Some(StopCause::BatteryFlat) => RMECH_STOP_BATTERY_FLAT,
                Some(StopCause::VoltageTooLow) => RMECH_STOP_VOLTAGE_TOO_LOW,
                Some(StopCause::TooHot) => RMECH_STOP_TOO_HOT,
                Some(StopCause::CannotPull(_)) => RMECH_STOP_CANNOT_PULL,
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

/// Where the haul goes, and where its answers.
struct Asked {
    steps: *const rmech_haul_step,
    step_count: usize,
    samples: *mut rmech_haul_sample,
    sample_capacity: usize,
    sample_count: *mut usize,
    outcome: *mut rmech_haul_outcome,
}

/// # Safety
/// The pointers keep the contract of the ABI.
unsafe fn haul(
    machine: impl Into<Machine>,
    leads: rmech_resistance,
    battery: *const rmech_battery,
    limits: *const rmech_haul_limits,
    asked: &Asked,
) -> Result<(), Failure> {
    let &Asked { steps, step_count, samples, sample_capacity, sample_count, outcome } = asked;
    // SAFETY: as the caller says.
    let (battery, limits, steps) = unsafe {
        (growing("battery", battery)?, growing("limits", limits)?, inputs("steps", steps, step_count)?)
    };
    no_flags(limits.flags & !(RMECH_HAUL_STEP_ENDS | RMECH_HAUL_WARM_START))?;
    if u32::try_from(step_count).is_err() {
        return Err(Failure::of(RMECH_ERR_POINTER, "step_count", "more steps than fit any memory"));
    }
    for (index, step) in steps.iter().enumerate() {
        step.get().item("steps", index)?;
    }
    apart(("steps", steps), ("samples", samples, sample_capacity))?;
    apart(("steps", steps), ("sample_count", sample_count, 1))?;

    // SAFETY: as above.
    let tables = unsafe { Tables::of(&battery)? };
    let mut cycle = HaulCycle::new(machine, tables.battery(&battery)?, leads.get(), limits.air.get())
        .named("lead_resistance", "leads")
        .named("air_temperature", "air")?
        .with_charge(limits.charge.get(), limits.reserve.get())
        .named("state_of_charge", "charge")?
        .with_lowest_voltage(limits.lowest_voltage.get())?
        .with_standby(limits.standby.get())
        .named("standby_current", "standby")?;
    if let Some(heat) = limits.heat.get().inside("heat")? {
        cycle = cycle.with_heat(heat, limits.winding_limit.get())?;
    }
    if limits.flags & RMECH_HAUL_WARM_START != 0 {
        cycle = cycle
            .with_warm_motor(limits.start.get())
            .named("winding_temperature", "start.winding")
            .named("case_temperature", "start.case_")?;
    }
    if limits.interval.seconds != 0.0 {
        cycle = cycle.with_interval(limits.interval.get())?;
    }

    // Nothing is written unless all of it goes well: a first run shows that, before the second fills the array.
    let every = limits.flags & RMECH_HAUL_STEP_ENDS == 0;
    let given = steps;
    let steps = given.iter().map_while(|step| step.get().ok());
    let (mut count, mut last) = (0_usize, usize::MAX);
    let found = cycle
        .run(steps.clone(), |sample| {
            count += usize::from(every || sample.step != last);
            last = sample.step;
        })
        .listed("pull", "steps", "pull", given.iter().map(|step| step.pull.newtons))
        .listed("distance", "steps", "distance", given.iter().map(|step| step.distance.metres))
        .listed("duration", "steps", "duration", given.iter().map(|step| step.duration.seconds))
        .listed(
            "line_speed",
            "steps",
            "line_speed",
            given.iter().map(|step| step.line_speed.metres_per_second),
        )
        .listed("pull_ratio", "steps", "pull_ratio", given.iter().map(|step| step.pull_ratio.fraction))?;
    if !sample_count.is_null() {
        // SAFETY: as above.
        unsafe { output("sample_count", sample_count, count)? };
    }
    if sample_capacity > 0 {
        if sample_capacity < count {
            let why = format_args!("samples has room for {sample_capacity}, but {count} are to be written");
            return Err(Failure::of(RMECH_ERR_CAPACITY, "samples", why));
        }
        let (mut next, mut last) = (0_usize, usize::MAX);
        cycle.run(steps, |sample| {
            next += usize::from(every || sample.step != last);
            last = sample.step;
            // SAFETY: the same haul gives the same samples: `next` is from 1 to `count`.
            unsafe { samples.add(next - 1).write(sample.into()) };
        })?;
    }
    // SAFETY: as above.
    unsafe { growing_output("outcome", outcome, rmech_haul_outcome::of(&found, step_count)) }
}

impl Asked {
    /// # Safety
    /// The pointers keep the contract of the ABI.
    unsafe fn check(&self) -> Result<(), Failure> {
        // SAFETY: as the caller says.
        unsafe { writable_growing("outcome", self.outcome)? };
        if self.sample_capacity > 0 {
            writable("samples", self.samples)?;
        }
        if self.sample_capacity > 0 || !self.sample_count.is_null() {
            writable("sample_count", self.sample_count)?;
        }
        Ok(())
    }
}

/// A whole haul on one battery: whether it finishes, and what stops it.
///
/// `samples` takes the haul over time, at the start and end of every step and after every interval; with
/// `RMECH_HAUL_STEP_ENDS` only the ends. `sample_count` takes how many there are. With `sample_capacity` 0 (`samples`
/// may then be NULL) that is all: the size query. A buffer that is too small gives `RMECH_ERR_CAPACITY`, with
/// `sample_count` written and the rest untouched. Where no samples are asked for, both may be NULL. Neither may overlap
/// `steps`: RMECH_ERR_POINTER.
///
/// The winch's own `open_circuit`, `battery` and `leads` give way to the battery and its leads, of which only `leads`
/// is read from the winch. That a haul is stopped is no failure: `outcome->stop` then says why. A step that can't be
/// used is `RMECH_ERR_VALUE`; one whose line all but stops, so that it isn't through after 10 000 intervals,
/// `RMECH_ERR_UNSOLVED`. Formula: at the top of this topic in rope_mechanics.h.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_winch_haul(
    winch: *const rmech_winch,
    battery: *const rmech_battery,
    limits: *const rmech_haul_limits,
    steps: *const rmech_haul_step,
    step_count: usize,
    samples: *mut rmech_haul_sample,
    sample_capacity: usize,
    sample_count: *mut usize,
    outcome: *mut rmech_haul_outcome,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        let asked = Asked { steps, step_count, samples, sample_capacity, sample_count, outcome };
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        unsafe { asked.check()? };
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let mut winch: rmech_winch = unsafe { growing("winch", winch)? };
        winch.open_circuit = rmech_voltage { volts: 1.0 };
        winch.battery = rmech_resistance { ohms: 0.0 };
        // SAFETY: as above.
        unsafe { haul(winch.get()?, winch.leads, battery, limits, &asked) }
    })
}

/// A whole haul of a winch known by its maker's table, at the end of these leads. Otherwise as `rmech_winch_haul`.
///
/// `radius_ratio` is the radius by that of the table's layer, 1 on the same; a step's `pull_ratio` comes on top. A
/// table says nothing of lowering, where the load drives the gear, or of the winding: such a step, and heat of two
/// nodes, are `RMECH_ERR_GEOMETRY`.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_winch_haul_by_table(
    rows: *const rmech_winch_row,
    row_count: usize,
    radius_ratio: *const rmech_ratio,
    leads: *const rmech_resistance,
    battery: *const rmech_battery,
    limits: *const rmech_haul_limits,
    steps: *const rmech_haul_step,
    step_count: usize,
    samples: *mut rmech_haul_sample,
    sample_capacity: usize,
    sample_count: *mut usize,
    outcome: *mut rmech_haul_outcome,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        let asked = Asked { steps, step_count, samples, sample_capacity, sample_count, outcome };
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        unsafe { asked.check()? };
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (rows, ratio, leads) = unsafe {
            (inputs("rows", rows, row_count)?, input("radius_ratio", radius_ratio)?, input("leads", leads)?)
        };
        // SAFETY: as above.
        unsafe { haul(table(rows, ratio)?, leads, battery, limits, &asked) }
    })
}
