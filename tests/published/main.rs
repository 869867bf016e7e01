//! Checks against published values. Each names its source.
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

mod anchor;
mod arrest;
mod bridle;
mod capstan;
mod carriage;
mod frame;
mod haul;
mod line;
mod measurements;
mod polygon;
mod reeving;
mod rig;
mod slope;
mod strength;
mod tackle;
mod winch;
