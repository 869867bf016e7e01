//! Friction with a history: what a rope that is locked at both ends carries after it was tensioned, loaded and moved.
//!
//! A bend with friction holds any ratio of tensions between its two limits, so the tensions of a rope at rest are
//! not a function of where the load is: they depend on how it got there. A load cell behind three sheaves therefore
//! does not follow the strands in front of them. This module follows the rope step by step.
//!
//! | question | answer |
//! |---|---|
//! | any rope over bends, each part with its own law of tension | [`Chain`] |
//! | a doubled track rope: tensioned, locked, loaded, travelled | [`LockedTrack`] |
//! | what a set rope loses in the first minutes | [`Relaxation`] |
//! | a rope that is softer on its first pull than later | [`Worked`] |
//! | knots that pull tight | [`SettingKnots`] |
//!
//! Assumed throughout: quasi-static (nothing has mass), Coulomb friction (the limits don't depend on speed or on how
//! long the rope rested), and each step a move in one direction. A move that goes out and back is two steps.
//!
//! **Caution.** Two rigs that look alike can read 30 % apart if one was tensioned last and the other was eased last. A
//! reading says little about the strands unless it is known how the rope was brought to it.
//!
//! Nothing here needs a heap.

mod chain;
mod memory;
mod strand;
mod track;

pub use chain::{Chain, MOST_PARTS, PartPull, Settled};
pub use memory::{Relaxation, SettingKnots, Worked};
pub use track::{Carriage, LockedTrack, TrackProcedure, TrackState};

use crate::error::InputError;
use crate::line::LineError;
use crate::reeving::ReevingError;

/// Why a rope can't be followed.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum HistoryError {
    /// An input that can't be used.
    #[error(transparent)]
    Input(#[from] InputError),
    /// Two places of the rope coincide, or a place is not finite.
    #[error(transparent)]
    Reeving(#[from] ReevingError),
    /// A part of the rope can't be solved.
    #[error(transparent)]
    Line(#[from] LineError),
    /// A load that would roll towards the haul point by itself.
    #[error(
        "at {x_m} m from the head the haul rope would have to push the carriage with {push_n} N: the load rolls towards the head by itself; move the place out, or lengthen the track"
    )]
    HaulWouldPush {
        /// Horizontal distance from the head, in m.
        x_m: f64,
        /// The push, in N.
        push_n: f64,
    },
    /// No height of the carriage balances the load.
    #[error("no height of the carriage at {x_m} m from the head balances the load")]
    NoBalance {
        /// Horizontal distance from the head, in m.
        x_m: f64,
    },
    /// The step did not reach its promised residual.
    #[error(
        "the step closes only to {residual} of the greatest tension after {iterations} steps; make the step smaller"
    )]
    Unsolved {
        /// The largest violation of a bend's condition, divided by the greatest tension.
        residual: f64,
        /// Steps taken.
        iterations: u32,
    },
}
