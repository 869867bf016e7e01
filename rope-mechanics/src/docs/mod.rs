//! What the formulas stand on: the symbols, the sources, and how exactly they are solved.

#[doc = include_str!("accuracy.md")]
pub mod accuracy {}

#[doc = include_str!("sources.md")]
pub mod sources {}

#[doc = include_str!("symbols.md")]
pub mod symbols {}
