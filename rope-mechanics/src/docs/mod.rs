//! What the formulas stand on: the symbols, and the sources.

#[doc = include_str!("sources.md")]
pub mod sources {}

#[doc = include_str!("symbols.md")]
pub mod symbols {}
