//! The changeover at the head: the load taken over from the track by haul and belay rope, and swung in to the road.
//!
//! | stage | what is locked, what moves | solved by |
//! |---|---|---|
//! | haul up | track locked, haul rope taken in | [`State`](super::State) on a rope of given length |
//! | let down | haul and belay rope locked, track rope eased | length of track for the lean of the haul rope |
//! | swing in | out on the haul rope, in on what pulls | the forces at a place: two ropes, two directions |
//! | set down | the same, to the road | the same |
//!
//! The way out over the edge is the same backwards, with friction the other way.
//!
//! Assumed, each with its key in the site file's `[changeover]`:
//! - The haul rope runs over the head all the way. The belay rope either comes off the head while track and haul rope hold
//!   the load, and then pulls straight from its device (or from a sheave at `pull_from`): that is the second direction
//!   which an inward pull needs. Or it stays over the head beside the haul rope, and people pull the litter in by hand.
//! - While the track rope is eased, a belay rope from behind is tended: the load comes nearer to it. One over the head is
//!   locked with the slack that the site file gives it, and takes its share once the haul rope has stretched by that.
//! - The haul rope stretches over its whole length to the winch as if its sheaves had no friction: the load comes down as
//!   far as it can. A tackle isn't counted in that.
//! - The litter hangs plumb below the point at which its ropes meet, as far as on the track, and doesn't turn.
//! - The load weighs what it does on the track, half of the weight of haul and belay rope included: too much, near the head.
//! - Where the eased track would hang below the ground it lies on it, and pulls the less: states on from there have a track
//!   that pulls as hard as one in the air would.
//!
//! **Caution.** A frame is at its worst between the ends of this way: look at all of its steps. Local codes, makers'
//! instructions and the authority having jurisdiction come first.

mod litter;
mod swing;

#[cfg(all(feature = "alloc", feature = "serde"))]
mod found;
#[cfg(all(feature = "alloc", feature = "serde"))]
mod least_head;
#[cfg(all(feature = "alloc", feature = "serde"))]
mod let_down;
#[cfg(all(feature = "alloc", feature = "serde"))]
mod over_head;
#[cfg(all(feature = "alloc", feature = "serde"))]
mod path;
#[cfg(all(feature = "alloc", feature = "serde"))]
mod setup;
#[cfg(all(feature = "alloc", feature = "serde"))]
mod table;
#[cfg(all(feature = "alloc", feature = "serde"))]
mod under;

pub use litter::{LitterBody, LitterLies, edge};
pub use swing::{PulledIn, PullsIn, Swing};

#[cfg(all(feature = "alloc", feature = "serde"))]
pub use found::{
    AtStep, Changeover, ChangeoverEvent, ChangeoverStage, ChangeoverStep, ChangeoverWorst, EventKind,
    LitterSize, LoadRope, LoadTransfer, PulledInBy, StageKind, WayOut,
};
#[cfg(all(feature = "alloc", feature = "serde"))]
pub(crate) use path::ChangeoverError;
#[cfg(all(feature = "alloc", feature = "serde"))]
pub(crate) use setup::{Setup, litter_on_the_way};
#[cfg(all(feature = "alloc", feature = "serde"))]
pub(crate) use table::{Before, changeover};
