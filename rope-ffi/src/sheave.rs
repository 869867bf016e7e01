//! Losses of a rope at a bend.
//!
//! ```text
//! Sheave:  T2 = T1*eta(q)    eta(q) = eta180 + (1 - eta180)*0.28*(1 - q/pi) for q from 10 degrees, from there straight to 1
//! Bar:     T2 = T1*exp(-mu*q), with one mu raising and another lowering
//! q is how far the rope turns; beyond half a turn, once more for each. At rest a turn holds anything between hauling and
//! lowering: a band, not a number.
//! Range: eta180 from 0.01 to 1, mu from 0 to 2, q from 0 to 32 turns. Sources: Poysti 2020 for 0.28 (one pulley, so take it
//! as 0.27 to 0.29); Delaney 2022 for bars; below 10 degrees our assumption.
//! ```
//!
//! ```c
//! rmech_turn sheave = {0};
//! sheave.kind = RMECH_TURN_SHEAVE;
//! sheave.efficiency = rmech_percent(91.0); // over half a turn
//! rmech_angle angle = rmech_deg(60.0);
//! rmech_band band;
//! if (rmech_turn_band(&sheave, &angle, &band, &error) == RMECH_OK)
//!     printf("hauling takes %.3f of the load\n", rmech_in_fraction(band.hauling)); // hauling takes 1.079 of the load
//! ```

use crate::call::{call, input, no_reserved, output, writable};
use crate::error::{Failure, Named, RMECH_ERR_INTERNAL, rmech_error};
use crate::quantity::{rmech_angle, rmech_ratio};
use rope_mechanics::motion::Motion;
use rope_mechanics::quantity::{Band, Ratio};
use rope_mechanics::sheave::{Measured, Turn};

/// The load comes towards the hand, winch or capstan.
pub const RMECH_MOTION_HAULING: i32 = 1;
/// The load goes away from it.
pub const RMECH_MOTION_LOWERING: i32 = 2;
/// Nothing moves: friction holds somewhere between the two. 0 is no motion: only a `rmech_rig_rope` takes it, for at
/// rest.
pub const RMECH_MOTION_AT_REST: i32 = 3;

/// A motion by its enumerator.
pub(crate) fn motion(name: &str, value: i32) -> Result<Motion, Failure> {
    match value {
        RMECH_MOTION_HAULING => Ok(Motion::Hauling),
        RMECH_MOTION_LOWERING => Ok(Motion::Lowering),
        RMECH_MOTION_AT_REST => Ok(Motion::AtRest),
        _ => Err(Failure::unknown(name, value, "one of RMECH_MOTION_...")),
    }
}

/// A turn without losses.
pub const RMECH_TURN_FRICTIONLESS: i32 = 1;
/// A sheave: `efficiency` counts.
pub const RMECH_TURN_SHEAVE: i32 = 2;
/// A fixed bar, edge or capstan: `friction_raising` and `friction_lowering` count.
pub const RMECH_TURN_BAR: i32 = 3;

/// What a rope turns on. What doesn't count for its kind is not read.
///
/// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_turn {
    /// One of `RMECH_TURN_...`.
    pub kind: i32,
    /// Zero.
    pub reserved: i32,
    /// Of a sheave, over a turn of 180 degrees: 0.01 to 1.
    pub efficiency: rmech_ratio,
    /// Of a bar, while the load comes: from 0 to 2.
    pub friction_raising: rmech_ratio,
    /// Of a bar, while the load goes: from 0 to 2.
    pub friction_lowering: rmech_ratio,
}

impl rmech_turn {
    pub(crate) fn get(self) -> Result<Turn, Failure> {
        no_reserved("turn", self.reserved.into())?;
        match self.kind {
            RMECH_TURN_FRICTIONLESS => Ok(Turn::FRICTIONLESS),
            RMECH_TURN_SHEAVE => Turn::sheave(self.efficiency.get()).named("sheave_efficiency", "efficiency"),
            RMECH_TURN_BAR => Ok(Turn::bar(self.friction_raising.get(), self.friction_lowering.get())?),
            kind => Err(Failure::unknown("kind", kind, "one of RMECH_TURN_...")),
        }
    }
}

impl rmech_turn {
    fn of_sheave(turn: Turn) -> Result<Self, Failure> {
        let efficiency =
            turn.efficiency().ok_or_else(|| Failure::new(RMECH_ERR_INTERNAL, "measured, but no sheave"))?;
        Ok(Self { kind: RMECH_TURN_SHEAVE, efficiency: efficiency.into(), ..Self::default() })
    }
}

/// A pulley of rescue size on ball bearings.
pub const RMECH_MEASURED_RESCUE_PULLEY: i32 = 1;
/// A pulley on bushings.
pub const RMECH_MEASURED_BUSHED_PULLEY: i32 = 2;
/// A small pulley with a progress capture in it.
pub const RMECH_MEASURED_CAPTURE_PULLEY: i32 = 3;
/// One bare connector.
pub const RMECH_MEASURED_CONNECTOR: i32 = 4;
/// Two bare connectors side by side.
pub const RMECH_MEASURED_TWO_CONNECTORS: i32 = 5;
/// A descender with the load on it, used as a redirect.
pub const RMECH_MEASURED_DESCENDER: i32 = 6;

/// The turns that lose the most and the least of what was measured over pulleys, connectors and descenders.
///
/// `what` is one of `RMECH_MEASURED_...`. `worst` is for what a haul takes, `best` for what a load may pull
/// while it is let down. Source: Delaney 2022, p. 90 (in notes on it); bars by the same author.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_turn_measured(
    what: i32,
    worst: *mut rmech_turn,
    best: *mut rmech_turn,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        writable("worst", worst)?;
        writable("best", best)?;
        let what = match what {
            RMECH_MEASURED_RESCUE_PULLEY => Measured::RescuePulley,
            RMECH_MEASURED_BUSHED_PULLEY => Measured::BushedPulley,
            RMECH_MEASURED_CAPTURE_PULLEY => Measured::CapturePulley,
            RMECH_MEASURED_CONNECTOR => Measured::Connector,
            RMECH_MEASURED_TWO_CONNECTORS => Measured::TwoConnectors,
            RMECH_MEASURED_DESCENDER => Measured::Descender,
            _ => return Err(Failure::unknown("what", what, "one of RMECH_MEASURED_...")),
        };
        let [most, least] = what.turns();
        let (most, least) = (rmech_turn::of_sheave(most)?, rmech_turn::of_sheave(least)?);
        // SAFETY: the caller keeps the contract of the ABI; both are writable.
        unsafe {
            output("worst", worst, most)?;
            output("best", best, least)
        }
    })
}

/// The ratio of the tensions at the two ends of a turn, pulling side by load's side.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_band {
    /// While the load comes: at least 1.
    pub hauling: rmech_ratio,
    /// While the load goes: at most 1. At rest the ratio is anywhere between.
    pub lowering: rmech_ratio,
}

impl From<Band<Ratio>> for rmech_band {
    fn from(band: Band<Ratio>) -> Self {
        Self { hauling: band.high.into(), lowering: band.low.into() }
    }
}

/// Ratio of the tensions over a turn by `angle`: a sheave, or a bar with its two coefficients.
///
/// Formula, source and range: at the top of this topic in rope_mechanics.h.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_turn_band(
    turn: *const rmech_turn,
    angle: *const rmech_angle,
    band: *mut rmech_band,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (turn, angle) = unsafe { (input("turn", turn)?, input("angle", angle)?.get()) };
        writable("band", band)?;
        let value = turn.get()?.band(angle).named("turn", "angle")?.into();
        // SAFETY: as above.
        unsafe { output("band", band, value) }
    })
}
