//! The library as programs in other languages use it.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test that can't go on has failed"
)]
#![allow(
    clippy::excessive_precision,
    clippy::approx_constant,
    reason = "values stand as their source prints them"
)]

mod abi;
mod anchor;
mod api;
mod arrest;
mod bridle;
mod carriage;
mod cookbook;
mod devices;
mod dispatch;
mod every_function;
mod frame;
mod haul;
mod header;
mod line;
mod live;
mod operation;
mod readme;
mod reeving;
mod rig;
mod rope;
mod schedule;
mod sheave;
mod tackle;
mod threads;
mod topics;
mod version;
mod winch;
mod winch_haul;
mod winch_heat;
