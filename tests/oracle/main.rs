//! Checks against the multi-precision generators beside this file.
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

mod carriage;
mod line;
mod operation;
mod rig;
