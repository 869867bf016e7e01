//! Lines: ropes that hang between their supports.

pub mod carriage;
pub mod catenary;
pub mod elastic;
