//! The library as programs in other languages use it.

mod arrest;
mod bridle;
mod devices;
mod header;
mod reeving;
mod rope;
mod sheave;
