//! Anchors: legs that share a load, vehicles on their brakes, pickets and buried beams.
//!
#![doc = include_str!("../docs/pictures/anchor.svg")]
//!
//! **Caution.** An anchor is as good as the ground and the thing it is tied to, and no table has seen yours. The
//! figures for vehicles, pickets and buried anchors are what they hold at the point of moving, with no margin in
//! them: divide by a safety factor, and let a qualified person inspect and load each anchor before a life hangs
//! on it. Local codes and the authority having jurisdiction come first.
//!
//! | question | where |
//! |---|---|
//! | what each leg of a V bears | [`v_anchor`] |
//! | how the legs of any anchor share a load | [`Anchor::share`], from [`AnchorLeg`]s |
//! | where its master point settles, slack legs included | [`Anchor::settle`] |
//! | what the others bear when a leg fails, and how far the load drops | [`Anchor::after_losing`] |
//! | what a braked vehicle holds | [`Vehicle::holds`], on a [`Surface`] |
//! | what pickets hold | [`Picket::hold`] |
//! | what a buried beam holds, and how long it must be | [`Deadman::hold`], [`Deadman::length_for`] |
//!
//! Nothing here needs a heap.

mod buried;
mod pickets;
mod sharing;
mod vehicle;

pub use buried::{Beam, Deadman, DeadmanSoil};
pub use pickets::{Picket, PicketSoil, Pickets};
pub use sharing::{Anchor, AnchorLeg, LegLoss, MOST_LEGS, SettledAnchor, Shares, v_anchor};
pub use vehicle::{Surface, Vehicle};

use crate::error::InputError;

/// Why an anchor can't be solved, or doesn't hold.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum AnchorError {
    /// A value that can't be used.
    #[error(transparent)]
    Input(#[from] InputError),
    /// Too few or too many legs.
    #[error("{given} legs were given, but there must be from {least} to {most}")]
    Count {
        /// How many were given.
        given: usize,
        /// The least.
        least: usize,
        /// The most.
        most: usize,
    },
    /// A leg whose anchor is at the master point.
    #[error("legs[{index}] is shorter than 1 mm: move its anchor away from the master point")]
    NoDirection {
        /// Its place in the list.
        index: usize,
    },
    /// Not the place of a leg.
    #[error("legs[{index}] does not exist: the anchor has {legs} legs, counted from 0")]
    NoLeg {
        /// The place asked for.
        index: usize,
        /// How many legs there are.
        legs: usize,
    },
    /// A leg with slack, where all must be just taut.
    #[error("legs[{index}] has slack: let the anchor settle instead")]
    Slack {
        /// Its place in the list.
        index: usize,
    },
    /// No pull of the legs balances the load where the master point is: it would swing.
    #[error(
        "with the master point where it is, the legs leave {missing_n:.0} N of the load unbalanced: let the anchor settle"
    )]
    Swings {
        /// What is missing, in newtons.
        missing_n: f64,
    },
    /// The brakes don't even hold the vehicle.
    #[error(
        "on a grade of {grade_rad} rad the vehicle slides by itself with a friction of {friction} on braked wheels"
    )]
    Slides {
        /// Downhill in the direction of the pull, in radians; negative where it runs away from the rope.
        grade_rad: f64,
        /// Coefficient of friction times the share of weight on braked wheels.
        friction: f64,
    },
    /// The rope rises so steeply behind the vehicle, or falls so steeply, that the pull never moves it by sliding.
    #[error(
        "a rope that rises by {rise_rad} rad never makes the vehicle slide: this is not a case of friction"
    )]
    NoSliding {
        /// The rise of the rope over the road, in radians.
        rise_rad: f64,
    },
    /// A beam longer than its section allows.
    #[error(
        "the beam is {length_m} m long, but one of this section may be at most {most_m} m: take a thicker one"
    )]
    Slender {
        /// Its length, in metres.
        length_m: f64,
        /// The longest allowed, in metres.
        most_m: f64,
    },
    /// The solver didn't reach its residual.
    #[error("the anchor can't be solved to 1e-9: its legs are far too stiff or too soft for the load")]
    Unsolved,
}
