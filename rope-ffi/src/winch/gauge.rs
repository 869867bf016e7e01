//! A winch by its maker's table, and a pull from a current.
//!
//! ```text
//! Table:    I = a + b*F*r/r1    v = (c - d*F*r/r1)*r/r1, or 1/v = e + g*F, whichever passes nearer to its farthest row
//! Pull:     hauling F = (I - I0)*kt*N*ef/r    lowering F = (I0 - I)*kt*N/(r*eb)
//! Assumed: the table's voltage, layer and temperature. Range: up to the table's greatest pull. Makers' tables followed the
//! better curve within 4, 10 and 19 % (measured.md). CAUTION. A pull from a current is a check on the load cell, not a load
//! cell; with the brake set it says nothing. Source: the motor's law; published pull and current tables.
//! ```
//!
//! ```c
//! rmech_winch_row rows[2]; // the maker's table, first layer
//! memset(rows, 0, sizeof rows);
//! rows[0].current = rmech_a(65.0);
//! rows[0].line_speed = rmech_m_per_s(0.20);
//! rows[1].pull = rmech_kn(18.0);
//! rows[1].current = rmech_a(250.0);
//! rows[1].line_speed = rmech_m_per_s(0.12);
//! rmech_ratio layer = rmech_fraction(1.2); // its radius by that of the first
//! rmech_force pull = rmech_kn(9.0);
//! rmech_winch_table_state state;
//! if (rmech_winch_by_table(rows, 2, &layer, &pull, &state, &error) == RMECH_OK)
//!     printf("%.0f A\n", rmech_in_a(state.current)); // 176 A
//! ```

use crate::call::{call, growing, input, inputs, output, writable};
use crate::error::{Failure, Named, RMECH_ERR_GEOMETRY, RMECH_ERR_VALUE, rmech_error};
use crate::quantity::{rmech_current, rmech_force, rmech_ratio, rmech_velocity};
use crate::winch::rmech_winch;
use rope_mechanics::winch::{Blind, CurrentGauge, PullReading, Running, TableRow, TableWinch, WinchError};

/// One line of a maker's table of line pull and current.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_winch_row {
    /// Line pull.
    pub pull: rmech_force,
    /// Current at that pull.
    pub current: rmech_current,
    /// Line speed at that pull; zero where the table gives none.
    pub line_speed: rmech_velocity,
}

/// Current and speed at a pull, from a table.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_winch_table_state {
    /// From the battery.
    pub current: rmech_current,
    /// Of the rope; zero where the table gives no speeds.
    pub line_speed: rmech_velocity,
    /// At least this: how far the rows lie from the curve, or with two rows only, which say nothing of it, the slower
    /// of both curves less 5 %. For time and charge.
    pub line_speed_least: rmech_velocity,
    /// At most this. For a jam.
    pub line_speed_most: rmech_velocity,
    /// Current without pull.
    pub idle_current: rmech_current,
    /// The greatest pull of the table, on the layer asked about.
    pub greatest_pull: rmech_force,
    /// How far the line of the currents passes from the worst row.
    pub worst_residual: rmech_current,
}

pub(crate) fn table(rows: &[rmech_winch_row], radius_ratio: rmech_ratio) -> Result<TableWinch, Failure> {
    let given = rows;
    let rows = given.iter().map(|row| TableRow {
        pull: row.pull.get(),
        current: row.current.get(),
        line_speed: (row.line_speed.metres_per_second != 0.0).then(|| row.line_speed.get()),
    });
    let table = TableWinch::fit(rows).map_err(|why| match why {
        WinchError::TooFewPoints { .. } => Failure::of(RMECH_ERR_VALUE, "rows", why),
        WinchError::ImpossibleFit { .. } => Failure::of(RMECH_ERR_GEOMETRY, "rows", why),
        why => Failure::from(why),
    });
    let table = table
        .listed("table_pull", "rows", "pull", given.iter().map(|row| row.pull.newtons))
        .listed("table_current", "rows", "current", given.iter().map(|row| row.current.amperes))
        .listed(
            "table_line_speed",
            "rows",
            "line_speed",
            given.iter().map(|row| row.line_speed.metres_per_second),
        )?;
    Ok(table.with_radius_ratio(radius_ratio.get())?)
}

/// Current for a `pull` by one straight line through the maker's table, and speed by another or by 1/v = e + g·F,
/// whichever passes nearer to its farthest row. Hauling only.
///
/// Going down, the load drives the gear, and how much of its losses the load pays, the motor or a brake inside, no row
/// of a pull table says: for lowering describe the winch by its motor and gear.
///
/// `radius_ratio` is the radius by that of the table's layer, 1 on the same. A pull beyond the table is
/// `RMECH_ERR_VALUE`; a table that no winch has, or whose pull falls from one row to the next, `RMECH_ERR_GEOMETRY`.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_winch_by_table(
    rows: *const rmech_winch_row,
    row_count: usize,
    radius_ratio: *const rmech_ratio,
    pull: *const rmech_force,
    state: *mut rmech_winch_table_state,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (rows, ratio, pull) = unsafe {
            (inputs("rows", rows, row_count)?, input("radius_ratio", radius_ratio)?, input("pull", pull)?)
        };
        writable("state", state)?;
        let winch = table(rows, ratio)?;
        let found = winch.hauling(pull.get())?;
        let speed = found.line_speed_band.unwrap_or_default();
        let value = rmech_winch_table_state {
            current: found.current.into(),
            line_speed: speed.expected.into(),
            line_speed_least: speed.low.into(),
            line_speed_most: speed.high.into(),
            idle_current: winch.idle_current().into(),
            greatest_pull: winch.greatest_pull().into(),
            worst_residual: winch.worst_residual().into(),
        };
        // SAFETY: as above.
        unsafe { output("state", state, value) }
    })
}

/// The winch turns steadily, the load coming.
pub const RMECH_RUNNING_HAULING: i32 = 1;
/// The winch turns steadily, driven out by its motor.
pub const RMECH_RUNNING_LOWERING: i32 = 2;
/// The brake is set.
pub const RMECH_RUNNING_BRAKE_SET: i32 = 3;
/// The winch was switched on a second or so ago.
pub const RMECH_RUNNING_STARTING: i32 = 4;
/// Its speed is changing.
pub const RMECH_RUNNING_ACCELERATING: i32 = 5;
/// It turns with no power on its motor.
pub const RMECH_RUNNING_UNPOWERED: i32 = 6;

/// The current gives the pull.
pub const RMECH_BLIND_NOT: i32 = 0;
/// The brake holds the load, whatever it is.
pub const RMECH_BLIND_BRAKE_SET: i32 = 1;
/// The current that starts the rotor hides that of the load.
pub const RMECH_BLIND_STARTING: i32 = 2;
/// The current that speeds up the rotor hides that of the load.
pub const RMECH_BLIND_ACCELERATING: i32 = 3;
/// No current flows.
pub const RMECH_BLIND_UNPOWERED: i32 = 4;
/// A gear that may lock carries any load going down.
pub const RMECH_BLIND_GEAR_LOCKS: i32 = 5;
/// A pull table says nothing of lowering.
pub const RMECH_BLIND_NO_LOWERING_IN_TABLE: i32 = 6;
/// Less current than turning the empty winch takes: it isn't hauling, or its constants are wrong.
pub const RMECH_BLIND_BELOW_IDLE: i32 = 7;
/// Lowering takes more than turning the empty winch does: a brake drags, or the constants are wrong.
pub const RMECH_BLIND_BRAKE_DRAGS: i32 = 8;
/// As much current as a locked rotor takes.
pub const RMECH_BLIND_STALLED: i32 = 9;
/// Beyond the greatest pull of the table.
pub const RMECH_BLIND_BEYOND_TABLE: i32 = 10;
/// For a reason that this version of the header doesn't know.
pub const RMECH_BLIND_OTHERWISE: i32 = 99;

/// How well the constants behind a current reading are known.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_gauge_bands {
    /// The ammeter, ±.
    pub meter: rmech_current,
    /// The idle current, ±.
    pub idle: rmech_current,
    /// For a winch by its motor: the gear's least efficiency. For a table: zero.
    pub least_efficiency: rmech_ratio,
    /// For a winch by its motor: the gear's greatest efficiency. For a table: zero.
    pub most_efficiency: rmech_ratio,
    /// For a table: its slope, ±, as a share. For a winch by its motor: zero.
    pub slope: rmech_ratio,
}

/// What a current says about the pull.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_pull_reading {
    /// `RMECH_BLIND_NOT`, or why the current says nothing of the pull; the forces are then zero.
    pub blind: i32,
    /// Zero.
    pub reserved: i32,
    /// At least this.
    pub least: rmech_force,
    /// With the constants as given.
    pub likely: rmech_force,
    /// At most this.
    pub most: rmech_force,
}

fn running(value: i32) -> Result<Running, Failure> {
    Ok(match value {
        RMECH_RUNNING_HAULING => Running::Hauling,
        RMECH_RUNNING_LOWERING => Running::Lowering,
        RMECH_RUNNING_BRAKE_SET => Running::BrakeSet,
        RMECH_RUNNING_STARTING => Running::Starting,
        RMECH_RUNNING_ACCELERATING => Running::Accelerating,
        RMECH_RUNNING_UNPOWERED => Running::Unpowered,
        _ => return Err(Failure::unknown("state", value, "one of RMECH_RUNNING_...")),
    })
}

impl From<PullReading> for rmech_pull_reading {
    fn from(reading: PullReading) -> Self {
        let blind = match reading {
            PullReading::Pull(band) => {
                return Self {
                    blind: RMECH_BLIND_NOT,
                    reserved: 0,
                    least: band.low.into(),
                    likely: band.expected.into(),
                    most: band.high.into(),
                };
            }
            PullReading::CannotTell(why) => why,
        };
        let blind = match blind {
            Blind::BrakeSet => RMECH_BLIND_BRAKE_SET,
            Blind::Starting => RMECH_BLIND_STARTING,
            Blind::Accelerating => RMECH_BLIND_ACCELERATING,
            Blind::Unpowered => RMECH_BLIND_UNPOWERED,
            Blind::GearLocks => RMECH_BLIND_GEAR_LOCKS,
            Blind::NoLoweringInTable => RMECH_BLIND_NO_LOWERING_IN_TABLE,
            Blind::BelowIdle => RMECH_BLIND_BELOW_IDLE,
            Blind::BrakeDrags => RMECH_BLIND_BRAKE_DRAGS,
            Blind::Stalled => RMECH_BLIND_STALLED,
            Blind::BeyondTable => RMECH_BLIND_BEYOND_TABLE,
            _ => RMECH_BLIND_OTHERWISE,
        };
        Self { blind, ..Self::default() }
    }
}

/// The pull that a motor's current stands for, and its band: a check on the load cell, never the measurement.
///
/// `state` is one of `RMECH_RUNNING_...`; the current is positive while it is drawn. That a current says nothing is
/// no failure: `reading->blind` then says why. Formula: at the top of this topic in rope_mechanics.h.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_winch_pull_from_current(
    winch: *const rmech_winch,
    bands: *const rmech_gauge_bands,
    current: *const rmech_current,
    state: i32,
    reading: *mut rmech_pull_reading,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (winch, bands, current) =
            unsafe { (growing("winch", winch)?, input("bands", bands)?, input("current", current)?) };
        writable("reading", reading)?;
        let efficiency = (bands.least_efficiency.get(), bands.most_efficiency.get());
        let gauge =
            CurrentGauge::of_winch(&winch.get()?, bands.idle.get(), efficiency).named("idle_band", "idle")?;
        let gauge = gauge.with_meter_band(bands.meter.get()).named("meter_band", "meter")?;
        let value = gauge.read(current.get(), running(state)?)?.into();
        // SAFETY: as above.
        unsafe { output("reading", reading, value) }
    })
}

/// The pull that a current stands for by the maker's table, and its band. Otherwise as
/// `rmech_winch_pull_from_current`.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_winch_pull_from_current_by_table(
    rows: *const rmech_winch_row,
    row_count: usize,
    radius_ratio: *const rmech_ratio,
    bands: *const rmech_gauge_bands,
    current: *const rmech_current,
    state: i32,
    reading: *mut rmech_pull_reading,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (rows, ratio, bands, current) = unsafe {
            (
                inputs("rows", rows, row_count)?,
                input("radius_ratio", radius_ratio)?,
                input("bands", bands)?,
                input("current", current)?,
            )
        };
        writable("reading", reading)?;
        let gauge = CurrentGauge::of_table(&table(rows, ratio)?, bands.idle.get(), bands.slope.get())
            .named("idle_band", "idle")
            .named("slope_band", "slope")?;
        let gauge = gauge.with_meter_band(bands.meter.get()).named("meter_band", "meter")?;
        let value = gauge.read(current.get(), running(state)?)?.into();
        // SAFETY: as above.
        unsafe { output("reading", reading, value) }
    })
}
