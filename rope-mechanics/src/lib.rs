//! Rope mechanics for rescue and rigging, with every quantity checked for its unit.
//!
//! **Caution.** This library is an aid for planning and training by qualified people. It is not a certified
//! safety function and must never be the only limit on a load. The inputs, the inspection and the equipment
//! are the user's; results are estimates, good to about ±15 % in tension where nothing was measured. Local
//! codes, makers' instructions and the authority having jurisdiction come first.
//!
//! | the question | where |
//! |---|---|
//! | does the rope reach, and how high does the litter float, all the way? | [`operation`](mod@operation) |
//! | how far does a line sag, and how hard does it pull? | [`line::elastic`], [`line::catenary`] |
//! | and with a load that rolls or is held on it? | [`carriage`] |
//! | what will the load cell read, and where is the tension highest? | [`reeving::DoubledTrack`], [`reeving::Reeving`] |
//! | what does a redirect, a leg, a guy or an anchor see? | [`reeving::Redirect`], [`frame`](mod@frame), [`anchor`](mod@anchor) |
//! | a straight pull, or a 3:1? | [`haul`](mod@haul), [`tackle`](mod@tackle) |
//! | what does the winch draw, and does the battery last? | [`winch::Winch`], [`winch::HaulCycle`] |
//! | and on a controller in single precision? | [`live`](mod@live) |
//! | can a hand hold the tail? | [`capstan`](mod@capstan) |
//! | what does the cell of a locked track read after all that happened to it? | [`history`](mod@history) |
//! | how sure is any of it, and what should be measured first? | [`doubt`](mod@doubt) |
//! | what if a rope lets go? | [`arrest`](mod@arrest), [`anchor::Anchor::after_losing`] |
//! | how does the litter swing in at the top? | [`bridle`](mod@bridle) |
//! | and any other ropes over any sheaves? | [`rig`](mod@rig) |
//!
//! Four of these questions, each answered in Rust, C, C++ and Python: [`docs::cookbook`]. What the formulas stand on:
//! [`docs`](mod@docs).
//!
//! Layers, lowest first; a lower one never imports a higher one:
//!
//! | layer | modules |
//! |---|---|
//! | numbers | [`quantity`](mod@quantity), [`text`](mod@text), [`geometry`](mod@geometry), [`error`](mod@error), [`doubt`](mod@doubt) |
//! | things | [`rope`](mod@rope), [`sheave`](mod@sheave), [`motion`](mod@motion), [`strength`](mod@strength) |
//! | mechanics | [`line`](mod@line), [`carriage`](mod@carriage), [`reeving`](mod@reeving), [`capstan`](mod@capstan), [`tackle`](mod@tackle), [`haul`](mod@haul), [`bridle`](mod@bridle), [`frame`](mod@frame), [`anchor`](mod@anchor), [`slope`](mod@slope), [`arrest`](mod@arrest), [`winch`](mod@winch), [`history`](mod@history), [`live`](mod@live) |
//! | networks | [`rig`](mod@rig) |
//! | the job | [`operation`](mod@operation) |
#![cfg_attr(not(feature = "std"), no_std)]

#[cfg(feature = "alloc")]
extern crate alloc;

/// The units-of-measurement library whose types stand in every public signature.
#[macro_use]
pub extern crate uom;

#[cfg(not(any(feature = "std", feature = "libm")))]
compile_error!("rope-mechanics needs one of the features `std` and `libm` for its mathematics");

pub mod anchor;
pub mod arrest;
pub mod bridle;
pub mod capstan;
pub mod carriage;
pub mod docs;
pub mod doubt;
pub mod error;
pub mod frame;
pub mod geometry;
pub mod haul;
pub mod history;
pub mod line;
pub mod live;
mod math;
mod members;
pub mod motion;
pub mod operation;
pub mod quantity;
pub mod reeving;
#[cfg(feature = "alloc")]
pub mod rig;
pub mod rope;
pub mod sheave;
pub mod slope;
mod springs;
pub mod strength;
pub mod tackle;
pub mod text;
pub mod winch;

/// The Rust of the package's README, run as it stands there.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
struct Readme;
