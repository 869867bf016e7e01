//! The public interface, each module on its own.
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

mod alternatives;
mod anchor;
mod arrest;
mod arrest_in_time;
mod bridle;
mod capstan;
mod carriage;
mod carriage_by_hand;
mod changeover;
mod course;
mod cures;
mod doubt;
mod failures;
mod frame;
#[cfg(feature = "serde")]
mod ground;
mod haul;
mod history;
#[cfg(feature = "serde")]
mod kit;
mod line;
mod line_inverse;
mod live;
mod operation;
mod operation_asked;
mod operation_balance;
mod operation_by_hand;
mod operation_clearance;
mod operation_crew;
mod operation_doubt;
mod operation_settled;
mod operation_state;
mod quantity;
mod reeving;
mod reeving_at_rest;
mod rig;
mod rig_again;
#[cfg(feature = "serde")]
mod rig_awkward;
mod rig_refusals;
mod rig_response;
mod rig_search;
mod rig_solvers;
mod rig_text;
mod schedule;
#[cfg(feature = "serde")]
mod site_anchors;
mod slope;
mod strength;
mod tackle;
mod text;
mod winch;
mod winch_bounds;
mod winch_by_hand;
mod winch_readings;
