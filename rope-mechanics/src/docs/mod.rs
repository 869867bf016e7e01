//! A cookbook, and what the formulas stand on: the symbols, the sources, how exactly they are solved, what was measured, and what an
//! independent simulation finds.

#[doc = include_str!("accuracy.md")]
pub mod accuracy {}

#[doc = include_str!("cookbook.md")]
pub mod cookbook {}

#[doc = include_str!("measured.md")]
pub mod measured {}

#[doc = include_str!("second_world.md")]
pub mod second_world {}

#[doc = include_str!("sources.md")]
pub mod sources {}

#[doc = include_str!("symbols.md")]
pub mod symbols {}
