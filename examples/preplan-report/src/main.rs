//! A site file in, a preplan report out.
fn main() {}
