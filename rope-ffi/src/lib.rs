//! The C ABI of rope-mechanics: conversion and checks only, no physics.
//!
//! The contract stands where its readers are: at the top of `include/rope_mechanics.h`, whose words `cbindgen.toml` holds.
//! What it asks of the sources:
//! - Nothing but pointers, fixed-width integers and sizes crosses by value.
//! - Inputs are copied before anything is written; where an array is still read meanwhile, `apart` refuses an overlap.
//! - Outputs are checked before anything is computed, and written last.
//! - No function keeps state, but for the number that the next rig gets, and `call` lets none unwind.
#![cfg_attr(not(feature = "std"), no_std)]
#![allow(non_camel_case_types, reason = "the names are the C names")]
#![allow(
    clippy::result_large_err,
    reason = "a failure carries its texts, since there is no heap to put them on"
)]
#![allow(clippy::missing_safety_doc, reason = "the contract of the header holds for every function")]

pub mod anchor;
pub mod arrest;
pub mod bridle;
mod call;
pub mod capstan;
pub mod carriage;
pub mod error;
pub mod frame;
#[cfg(not(feature = "std"))]
mod freestanding;
pub mod haul;
#[cfg(test)]
mod heap_free;
pub mod line;
pub mod live;
#[cfg(feature = "std")]
pub mod operation;
pub mod quantity;
pub mod reeving;
#[cfg(feature = "std")]
pub mod rig;
pub mod rope;
#[cfg(feature = "std")]
pub mod schedule;
pub mod sheave;
pub mod slope;
pub mod strength;
pub mod tackle;
pub mod version;
pub mod winch;
