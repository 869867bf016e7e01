//! Winches: what current a pull takes, how fast the line runs, how long motor and battery last, and what a
//! current says about a pull.
//!
#![doc = include_str!("../docs/pictures/winch.svg")]
//!
//! **Caution.** A winch built for pulling may be barred by its own standard and its maker from lifting or lowering
//! people, whatever the numbers here say. Its brake, its rated pull and the number of wraps that must stay on the
//! drum are the maker's to state. A gear that happens not to run back is not a brake. A jammed winch pulls with
//! all its motor has, many times its rated pull: only a limit or a slipping grab bounds the force.
//!
//! | question | where |
//! |---|---|
//! | current, voltage, speed, power and losses for a pull | [`Winch`], from [`Motor`], [`Gear`], [`Supply`] |
//! | the same from a maker's table of pull and current | [`TableWinch`] |
//! | radius and pull on each layer of rope | [`Drum`] |
//! | how warm the motor gets, how long it may pull | [`OneNode`], [`TwoNode`] |
//! | a motor that rests whenever it is hot | [`OneNode::with_rests`] |
//! | what the battery holds and gives | [`Battery`], [`Peukert`] |
//! | a whole haul: whether it finishes, and what stops it | [`HaulCycle`] |
//! | a jammed rope | [`Jam`] |
//! | a pull from a current | [`CurrentGauge`] |
//! | a motor's constants from measured points | [`fit_motor`], [`fit_winch`] |
//!
//! Everything here is in closed form or of bounded time. None of it allocates, errors included, which a test counts
//! for every call that computes something.

mod battery;
mod current;
mod drum;
mod fit;
mod gear;
mod haul_cycle;
mod haul_run;
mod heat;
mod jam;
mod least_squares;
mod motor;
mod rests;
mod steady;
mod supply;
mod table;

pub use battery::{Battery, LEAD_ACID_COLD, LEAD_ACID_OPEN_CIRCUIT, Peukert};
pub use current::{Blind, CurrentGauge, PullReading, Running};
pub use drum::{Drum, DrumSize, Layer};
pub use fit::{
    Confounded, Constant, Fitted, MotorFit, MotorPoint, MotorResidual, WinchFit, WinchPoint, WinchResidual,
    fit_motor, fit_winch,
};
pub use gear::Gear;
pub use haul_cycle::{Extent, HaulCycle, HaulOutcome, HaulSample, HaulStep, HaulStopped, Machine, StopCause};
pub use heat::{
    CurrentSquaredTime, DutyCycle, DutyTemperatures, Heat, Heating, OneNode, Temperatures, TwoNode,
};
pub use jam::{ForceRate, Jam, jam_rate};
pub use motor::{Motor, MotorState, copper_resistance};
pub use rests::WithRests;
pub use steady::{Bound, HoldingCurrent, PowerLosses, Stall, Winch, WinchState};
pub use supply::{Supply, cable_resistance};
pub use table::{TableRow, TableState, TableWinch};

use crate::error::InputError;

/// Why a winch can't do what is asked of it.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum WinchError {
    /// An input that can't be used.
    #[error(transparent)]
    Input(#[from] InputError),
    /// The pull stops the motor: a locked rotor, which burns.
    #[error(
        "a pull of {pull} N stops the winch, which stalls at {stall} N: take fewer layers of rope, a tackle, or \
         another winch"
    )]
    BeyondStall {
        /// The pull asked for, in newtons.
        pull: f64,
        /// The pull at which the motor stands still, in newtons.
        stall: f64,
    },
    /// The motor can't drive the rope out, because the gear locks under this pull.
    #[error(
        "paying out under {pull} N takes {current} A, but the motor stalls at {stall} A: the gear locks under this pull"
    )]
    CannotPayOut {
        /// The pull, in newtons.
        pull: f64,
        /// The motor's current needed, in amperes.
        current: f64,
        /// The motor's current at stall, in amperes.
        stall: f64,
    },
    /// The pull needs more current than the controller or fuse lets through.
    #[error("a pull of {pull} N needs {current} A in the motor, above the limit of {limit} A")]
    BeyondCurrentLimit {
        /// The pull, in newtons.
        pull: f64,
        /// The motor's current needed, in amperes.
        current: f64,
        /// The limit, in amperes.
        limit: f64,
    },
    /// The grab or clutch slips before the pull is reached. While lowering, the load then runs away.
    #[error("a pull of {pull} N is above the {slip} N at which the grab or clutch slips")]
    Slips {
        /// The pull, in newtons.
        pull: f64,
        /// The force at which it slips, in newtons.
        slip: f64,
    },
    /// A speed that battery and motor don't reach under this pull.
    #[error("the line can't run at {speed} m/s under {pull} N: {greatest} m/s at most")]
    TooFast {
        /// The speed asked for, in metres per second.
        speed: f64,
        /// The pull, in newtons.
        pull: f64,
        /// The greatest speed, in metres per second.
        greatest: f64,
    },
    /// A speed so low that holding the load back takes more power than the battery can give.
    #[error(
        "lowering {pull} N at {speed} m/s takes {power} W to hold the load back, but the battery gives {greatest} W at \
         most: lower faster, or lighten the load"
    )]
    TooSlow {
        /// The speed asked for, in metres per second.
        speed: f64,
        /// The pull, in newtons.
        pull: f64,
        /// The power that this takes, in watts.
        power: f64,
        /// The greatest power that the battery gives, in watts.
        greatest: f64,
    },
    /// The load is too light to turn the unpowered winch against its own losses.
    #[error("a pull of {pull} N does not turn the winch back: it needs more than {needed} N")]
    DoesNotRunBack {
        /// The pull, in newtons.
        pull: f64,
        /// The least pull that would turn it, in newtons; infinite where the gear locks.
        needed: f64,
    },
    /// A pull outside the maker's table.
    #[error("a pull of {pull} N is outside the table, which ends at {greatest} N")]
    BeyondTable {
        /// The pull, in newtons.
        pull: f64,
        /// The greatest pull in the table, in newtons.
        greatest: f64,
    },
    /// The table gives no line speeds.
    #[error("the table gives no line speeds: give the speed, or a table with at least two")]
    NoSpeedInTable,
    /// Fewer points than the constants to be fitted need.
    #[error("{given} points can't fix {constants} constants: give at least {needed}, under different pulls")]
    TooFewPoints {
        /// How many were given.
        given: usize,
        /// How many are needed.
        needed: usize,
        /// How many constants they must fix.
        constants: usize,
    },
    /// The points contradict the model: the named constant comes out with a sign it can't have.
    #[error(
        "the points give {constant} = {value} {unit}, which no winch has: check their order, units and signs"
    )]
    ImpossibleFit {
        /// The constant.
        constant: &'static str,
        /// Its fitted value in SI.
        value: f64,
        /// The SI unit.
        unit: &'static str,
    },
    /// A row of the table with less pull than the row before it, or with less current at more pull.
    #[error(
        "row {row} of the table has {pull} N at {current} A, after {pull_before} N at {current_before} A: give the \
         rows in order of increasing pull, with a current that doesn't fall as the pull rises"
    )]
    RowOutOfOrder {
        /// Which row, counted from 1.
        row: usize,
        /// Its pull, in newtons.
        pull: f64,
        /// Its current, in amperes.
        current: f64,
        /// The pull of the row before it, in newtons.
        pull_before: f64,
        /// The current of the row before it, in amperes.
        current_before: f64,
    },
    /// The table says nothing about lowering.
    #[error(
        "a table of pulls and currents says nothing about lowering: describe the winch by its motor and gear"
    )]
    NoLoweringInTable,
    /// A table has no winding whose loss could be followed.
    #[error("a table of pulls and currents says nothing about the winding: use a thermal model of one node")]
    NoWindingInTable,
    /// A step of a haul whose line all but stops before the step is finished.
    #[error(
        "step {step} of the haul, counted from 0, hasn't finished after {intervals} intervals: check its line \
         speed, or take shorter steps"
    )]
    TooManyIntervals {
        /// Which step, counted from 0.
        step: usize,
        /// How many intervals were taken.
        intervals: u32,
    },
    /// The winding passes 300 °C.
    #[error("the winding passes 300 °C after {seconds} s: pull less, or rest in between")]
    BurnsOut {
        /// The time from the start, in seconds.
        seconds: f64,
    },
    /// Cycles of pull and rest that warm the winding beyond 300 °C.
    #[error("these cycles warm the winding beyond 300 °C: pull less or shorter, or rest longer")]
    CyclesBurnOut,
    /// The temperatures don't satisfy the heat balance.
    #[error(
        "the temperatures don't satisfy the heat balance (residual {residual:.1e}): the heat capacities and thermal \
         resistances are too far apart, or the loss too large, for any motor; check their units"
    )]
    HeatUnsolved {
        /// The residual, as a share of the largest term.
        residual: f64,
    },
    /// The powers of a winch at work don't add up.
    #[error(
        "the powers of the winch don't add up (residual {residual:.1e}): the motor constant, the resistances and the \
         gear ratio are too far apart for any winch; check their units"
    )]
    PowerUnsolved {
        /// The residual, as a share of the largest term.
        residual: f64,
    },
    /// The points can't separate two constants.
    #[error(
        "the points can't separate {one} from {other} (condition number {condition:.1e}): add points at much \
         smaller and much larger loads"
    )]
    CannotTellApart {
        /// One of them.
        one: Constant,
        /// The other.
        other: Constant,
        /// The condition number of the equations, their columns scaled to the same length.
        condition: f64,
    },
    /// More rope than fits on the drum.
    #[error("{length} m of rope do not fit on the drum, which takes {capacity} m")]
    DrumFull {
        /// The length of rope, in metres.
        length: f64,
        /// The length of rope that fits, in metres.
        capacity: f64,
    },
}
