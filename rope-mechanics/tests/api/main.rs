//! The public interface, each module on its own.
mod anchor;
mod arrest;
mod bridle;
mod capstan;
mod carriage;
mod frame;
mod haul;
mod line;
mod operation;
mod reeving;
mod rig;
mod slope;
mod strength;
mod tackle;
mod winch;
