//! Tackle: what any arrangement of ropes, sheaves, grabs and carriers gains, and what it costs in rope and travel.
//!
#![doc = include_str!("../docs/pictures/tackle.svg")]
//!
//! **Caution.** An aid for planning and training by qualified people. A tackle multiplies force as well as saving
//! it: a crew or winch on a 9:1 can break what a jammed load hangs on. The forces on the anchors are given for
//! that reason. Makers' instructions and the authority having jurisdiction come first.
//!
//! # The model
//! - A **carrier** is whatever ropes pull on: the load, an anchor, a travelling block, a grab on another rope. An
//!   anchor stays; every other carrier moves along its own straight line of travel, its heading.
//! - A **rope** runs from stop to stop: tied to a carrier, over a sheave on one, held by a grab that sits on one,
//!   and to the hand (or winch), or to a tail that hangs slack. Between two stops lies a **part**, straight and
//!   weightless, with one tension.
//! - A **sheave** passes on part of the tension, by its [`Turn`](crate::sheave::Turn) and by how far the rope turns.
//!   Which way the rope runs over it is found from the motion of the whole tackle.
//! - Each carrier that can move is in balance along its heading. Across it, something else holds: ground, or the
//!   other ropes; [`TackleForces::on`] says how much.
//!
//! One small linear system gives the tension of each length of rope between two fastenings,
//!
//! Σ over the part ends at a carrier of T·cos(angle to its heading) = W at the load, 0 elsewhere
//!
//! and the transpose of the same system without losses gives how the carriers move (virtual work):
//!
//! Σ over the part ends of a rope of travel·cos(angle to the heading) = rope through the hand, 0 for a tied rope
//!
//! It is solved three times: without losses, hauling, lowering. A system without a unique answer is a
//! [`TackleError`] that names the carrier that floats or the rope that locks the rest; a negative tension names the
//! part that would have to push.
//!
//! Source: statics and virtual work; what a sheave passes on is its own statement. Checked against the printed ratios
//! of a rigger's handbook and of McAllister, *Pipeline Rules of Thumb Handbook*, p. 6 (both read).
//!
//! Ropes don't stretch here and have no weight; angles are those of the tackle as drawn. Nothing here needs a heap but
//! `TackleSpec`, a tackle as text.
//!
//! ```
//! use rope_mechanics::quantity::{Force, Length, Ratio, unit::{meter, newton, percent}};
//! use rope_mechanics::sheave::Turn;
//! use rope_mechanics::tackle::{Builder, RopeStop};
//!
//! let m = Length::new::<meter>;
//! let pulley = Turn::sheave(Ratio::new::<percent>(90.0))?;
//!
//! // A 3:1 made with the load's own rope, drawn along a line.
//! let mut rig = Builder::new();
//! let anchor = rig.anchor_in_line("anchor", m(0.0))?;
//! let grab = rig.carrier_in_line("grab", m(10.0))?;
//! let load = rig.load_in_line("load", m(40.0))?;
//! let crew = rig.anchor_in_line("crew", m(-2.0))?;
//! rig.rope("haul", &[
//!     RopeStop::End(load),
//!     RopeStop::Grab(grab),
//!     RopeStop::Capture(anchor, pulley),
//!     RopeStop::Sheave(grab, pulley),
//!     RopeStop::Hand(crew),
//! ])?;
//! let tackle = rig.build()?;
//!
//! let load = Force::new::<newton>(2000.0);
//! assert!((tackle.velocity_ratio().value - 3.0).abs() < 1e-12);
//! // 1 + 0.9 + 0.9²
//! let hand = tackle.hauling(load)?.hand();
//! assert!((hand.get::<newton>() - 2000.0 / 2.71).abs() < 1e-9);
//! # Ok::<(), rope_mechanics::tackle::TackleError>(())
//! ```

mod arrangement;
mod builder;
mod error;
mod search;
mod solve;
#[cfg(all(feature = "serde", feature = "alloc"))]
mod spec;
mod travel;
mod usual;

pub use arrangement::{
    CarrierId, MAX_CARRIERS, MAX_MOVING, MAX_PARTS, MAX_ROPES, MAX_STOPS, Name, RopeId, RopeStop, Tackle,
    TacklePart,
};
pub use builder::Builder;
pub use error::TackleError;
pub use search::{Found, Preference, TackleSearch};
pub use solve::{Advantage, PartForce, SheaveForce, TackleForces};
#[cfg(all(feature = "serde", feature = "alloc"))]
pub use spec::{CarrierKind, CarrierSpec, RopeSpec, SpecError, StopSpec, TackleSpec};
pub use travel::{Cycle, CyclePlan, Throw};
pub use usual::{Layout, Usual, UsualForm, UsualRatio};
