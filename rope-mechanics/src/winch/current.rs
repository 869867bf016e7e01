//! A pull from a current: a check on the load cell, not a load cell.

use super::steady::Turning;
use super::{TableWinch, Winch};
use crate::error::{self, InputError};
use crate::quantity::{Band, ElectricCurrent, Force, Ratio, newtons};

/// What the winch is doing while its current is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
pub enum Running {
    /// Turning steadily, the load coming.
    Hauling,
    /// Turning steadily, driven out by the motor.
    Lowering,
    /// The brake is set.
    BrakeSet,
    /// The first second or so after it was switched on.
    Starting,
    /// The speed is changing.
    Accelerating,
    /// Turning, but with no power on the motor.
    Unpowered,
}

/// Why a current says nothing about the pull.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
#[non_exhaustive]
pub enum Blind {
    /// The brake holds the load, whatever it is.
    BrakeSet,
    /// The current that starts the rotor hides that of the load.
    Starting,
    /// The current that speeds up the rotor hides that of the load.
    Accelerating,
    /// No current flows.
    Unpowered,
    /// A gear that may lock carries any load going down.
    GearLocks,
    /// A pull table says nothing about lowering.
    NoLoweringInTable,
    /// Less current than turning the empty winch takes: it isn't hauling, or its constants are wrong.
    BelowIdle,
    /// Lowering takes more than turning the empty winch does: a brake drags, or the constants are wrong.
    BrakeDrags,
    /// As much as a locked rotor takes, or as the controller or fuse lets through: the pull is somewhere up to the
    /// stall.
    Stalled,
    /// Beyond the greatest pull of the table.
    BeyondTable,
}

/// What a current says about the pull.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PullReading {
    /// The pull: expected with the constants as given.
    Pull(Band<Force>),
    /// Nothing, and why.
    CannotTell(Blind),
}

/// A gauge that reads the pull off the motor's current.
///
/// Hauling F = (I − I0)·kt·N·η_f/r; lowering, with the current signed as it is drawn, F = (I0 − I)·kt·N/(r·η_b).
/// For the same force the two readings differ by 1/(η_f·η_b), 2.27 at η_f = 0.72.
///
/// At rescue loads most of a vehicle winch's current is idle drag: ±10 A there is ±1 kN of pull. So this is a check
/// of plausibility, never the measurement. It is blind with the brake set, starting and accelerating, and says so.
/// The current must be the motor's: behind a controller that holds the speed down, the battery's is less.
///
/// ```
/// use rope_mechanics::quantity::{ElectricCurrent, Force, Ratio, unit::{ampere, newton, pound_force, percent}};
/// use rope_mechanics::winch::{Blind, CurrentGauge, PullReading, Running, TableRow, TableWinch};
///
/// let amperes = |x| ElectricCurrent::new::<ampere>(x);
/// let row = |lbf, a| TableRow { pull: Force::new::<pound_force>(lbf), current: amperes(a), line_speed: None };
/// let winch = TableWinch::fit([row(0.0, 65.0), row(4000.0, 250.0), row(9000.0, 480.0)])?;
/// let gauge = CurrentGauge::of_table(&winch, amperes(10.0), Ratio::new::<percent>(0.0))?;
/// let PullReading::Pull(band) = gauge.read(amperes(100.0), Running::Hauling)? else { panic!() };
/// // ±10 A is about ±1 kN; the table's own rows lie up to 0.4 A from its line.
/// assert!(((band.high - band.expected).get::<newton>() - 1000.0).abs() < 1.0);
///
/// let braked = gauge.read(amperes(0.0), Running::BrakeSet)?;
/// assert_eq!(braked, PullReading::CannotTell(Blind::BrakeSet));
/// # Ok::<(), rope_mechanics::winch::WinchError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurrentGauge {
    idle: f64,
    idle_band: f64,
    meter_band: f64,
    /// How far a table's own rows lie from its line.
    misfit: f64,
    hauling: Scale,
    lowering: Option<Scale>,
    /// Lowering, where there is no scale.
    why_not: Blind,
    stall: f64,
    greatest: f64,
}

/// Newtons per ampere.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Scale {
    least: f64,
    likely: f64,
    most: f64,
}

impl CurrentGauge {
    /// From a winch known by its motor and gear: its idle current is good to ± this, and its gear's efficiency lies
    /// between these two (planetary 0.60–0.85, from memory), the heat's effect on kt included.
    ///
    /// Back-driven, the band of the efficiency follows from the equal-loss assumption, shifted to the gear's own.
    ///
    /// # Errors
    /// Unless the band of the current is at least zero and the gear's efficiency lies within its own band.
    pub fn of_winch(
        winch: &Winch,
        idle_band: ElectricCurrent,
        (least, most): (Ratio, Ratio),
    ) -> Result<Self, InputError> {
        let gear = winch.gear();
        let least = error::within("least_efficiency", least, 0.01, gear.forward())?;
        let most = error::within("most_efficiency", most, gear.forward(), 1.0)?;
        // N/A = 1/(A/N); proportional to η_f hauling, to 1/η_b lowering
        let hauling = 1.0 / winch.amperes_per_newton(Turning::Haul);
        let scale = Scale {
            least: hauling * least / gear.forward(),
            likely: hauling,
            most: hauling * most / gear.forward(),
        };
        // η_b + Δ(2 − 1/η_f)
        let back = |eta: f64| gear.back() + (1.0 / gear.forward() - 1.0 / eta);
        let lossless = hauling / gear.forward();
        let lowering = (back(least) > 0.0).then(|| Scale {
            least: lossless / back(most).min(1.0),
            likely: lossless / gear.back(),
            most: lossless / back(least),
        });
        Ok(Self {
            idle: winch.motor().i0_a(),
            idle_band: error::non_negative("idle_band", idle_band)?,
            meter_band: 0.0,
            misfit: 0.0,
            hauling: scale,
            lowering,
            why_not: Blind::GearLocks,
            stall: winch.motor_stall_a().min(winch.current_limit_a()),
            greatest: f64::INFINITY,
        })
    }

    /// From a maker's table: its idle current is good to ± this, its slope to ± that share.
    ///
    /// How far the line passes from the worst row of its own table, [`TableWinch::worst_residual`], comes on top of
    /// the ammeter's band: every row lies inside the band of its own current.
    ///
    /// # Errors
    /// Unless the bands are at least zero, and that of the slope at most 0.9.
    pub fn of_table(
        winch: &TableWinch,
        idle_band: ElectricCurrent,
        slope_band: Ratio,
    ) -> Result<Self, InputError> {
        let share = error::within("slope_band", slope_band, 0.0, 0.9)?;
        let likely = 1.0 / winch.amperes_per_newton();
        // A row's current back to its pull is a difference of currents, each rounded.
        let rounding =
            4.0 * f64::EPSILON * (winch.idle_current().value + winch.greatest_pull().value / likely);
        Ok(Self {
            idle: winch.idle_current().value,
            idle_band: error::non_negative("idle_band", idle_band)?,
            meter_band: 0.0,
            misfit: winch.worst_residual().value + rounding,
            hauling: Scale { least: likely / (1.0 + share), likely, most: likely / (1.0 - share) },
            lowering: None,
            why_not: Blind::NoLoweringInTable,
            stall: f64::INFINITY,
            greatest: winch.greatest_pull().value,
        })
    }

    /// The same gauge with an ammeter of this accuracy, ±.
    ///
    /// # Errors
    /// Unless it is at least zero.
    pub fn with_meter_band(self, meter: ElectricCurrent) -> Result<Self, InputError> {
        Ok(Self { meter_band: error::non_negative("meter_band", meter)?, ..self })
    }

    /// The pull that a current stands for, or why it can't be read.
    ///
    /// The current is positive while it is drawn, negative while the load drives and it flows back.
    ///
    /// # Errors
    /// Unless the current is finite.
    pub fn read(&self, current: ElectricCurrent, running: Running) -> Result<PullReading, InputError> {
        let i = error::finite("current", current)?;
        let blind = |why| Ok(PullReading::CannotTell(why));
        let (above_idle, scale, none) = match running {
            Running::Hauling => (i - self.idle, self.hauling, Blind::BelowIdle),
            Running::Lowering => match self.lowering {
                Some(scale) => (self.idle - i, scale, Blind::BrakeDrags),
                None => return blind(self.why_not),
            },
            Running::BrakeSet => return blind(Blind::BrakeSet),
            Running::Starting => return blind(Blind::Starting),
            Running::Accelerating => return blind(Blind::Accelerating),
            Running::Unpowered => return blind(Blind::Unpowered),
        };
        let reading = self.meter_band + self.misfit;
        let band = reading + self.idle_band.min(self.idle);
        // The idle current is at least zero, but may be more than said by its whole band.
        let (low_band, high_band) = match running {
            Running::Hauling => (reading + self.idle_band, band),
            _ => (band, reading + self.idle_band),
        };
        if above_idle + high_band < 0.0 {
            return blind(none);
        }
        if i + self.meter_band >= self.stall {
            return blind(Blind::Stalled);
        }
        let least = (above_idle - low_band).max(0.0) * scale.least;
        if least > self.greatest {
            return blind(Blind::BeyondTable);
        }
        let likely = above_idle.max(0.0) * scale.likely;
        let most = (above_idle + high_band) * scale.most;
        Ok(PullReading::Pull(Band { low: newtons(least), expected: newtons(likely), high: newtons(most) }))
    }
}
