//! The library as programs in other languages use it.

mod anchor;
mod arrest;
mod bridle;
mod devices;
mod frame;
mod haul;
mod header;
mod line;
mod operation;
mod reeving;
mod rope;
mod sheave;
mod tackle;
mod winch;
