//! The library as programs in other languages use it.

mod header;
mod rope;
mod sheave;
