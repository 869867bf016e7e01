//! The C ABI of rope-mechanics: conversion and checks only, no physics.
//!
//! The contract, the same for every function:
//! - A quantity is a one-member struct named for what it is, its member named for its unit.
//! - Nothing but pointers, fixed-width integers and sizes crosses by value.
//! - The result is a status: 0 fine, else one of the `RMECH_ERR_…`. Outputs are written only on success.
//! - Inputs are read before outputs are written, so an output may take the place of an input. The few functions that
//!   must still read an array while they write refuse an output that overlaps it. Pointers must be aligned, and point
//!   to memory of their type that nobody changes meanwhile. NULL is refused with a status wherever the function doesn't
//!   allow it.
//! - `error` may be NULL; otherwise it takes the detail of a failure, and every function refuses it before doing
//!   anything if its `struct_size` was not set.
//! - A struct that begins with `struct_size` may grow at its end in later versions. Set it with `rmech_init` or
//!   `RMECH_INIT`; the size of an older version is understood, its missing members read as zero, and any other size is
//!   refused before anything is computed.
//! - A failure names the input at fault by its path in the header: `error.rs`.
//! - Any other struct starts from zeros too. A `reserved` member that is read must be zero.
//! - No function keeps state, but for the number that the next rig gets, and none unwinds.
#![allow(non_camel_case_types, reason = "the names are the C names")]
#![allow(
    clippy::result_large_err,
    reason = "a failure carries its texts, since there is no heap to put them on"
)]
#![allow(clippy::missing_safety_doc, reason = "the contract above holds for every function")]

pub mod anchor;
pub mod arrest;
pub mod bridle;
mod call;
pub mod capstan;
pub mod carriage;
pub mod error;
pub mod frame;
pub mod haul;
#[cfg(test)]
mod heap_free;
pub mod line;
pub mod operation;
pub mod quantity;
pub mod reeving;
pub mod rig;
pub mod rope;
pub mod sheave;
pub mod slope;
pub mod strength;
pub mod tackle;
pub mod winch;
