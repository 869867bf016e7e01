//! Lines: ropes that hang between their supports.
//!
#![doc = include_str!("../docs/pictures/line.svg")]
//!
//! [`elastic`] is the line with weight and stretch that the rest builds on, [`catenary`] the line that doesn't
//! stretch, [`many`] solves arrays of lines. A line with a load that rolls on it is a [`carriage`](crate::carriage).

// For the layers above, in the crate:
//   span::Span { span_m ≥ 0, rise_m (signed, second end above first), length_m > 0, weight_n_per_m ≥ 0, stretch }
//   span::solve(&Span) -> Result<span::Solved, LineError>         the path for everybody
//   span::Solved { span, ends }; .is_shapeless(): slack and weightless, all forces zero
//     .ends: span::Ends { h_n, v_first_n, v_last_n, t_first_n, t_last_n, iterations, residual }
//            v_… are the upward reactions of the supports on the rope; the supports pull with h_n outward
//     .tension(s) -> f64, .point(s) -> (x, z) from the first end, s unstretched from the first end
//     .stiffness() -> flexibility::Stiffness2 { xx, xz, zz, across }     d(h, v_last)/d(X, Z), N/m; across: out of plane
//     .by_length() -> (dh/dL, dv_last/dL)                          supports fixed
//   hang::hang(&RopeLaw, h, v, l) -> HangingPart                  where a rope ends that hangs from a known force, and how
//                                                                that changes; course::run is the same without h > 0

pub mod catenary;
pub(crate) mod course;
mod deep;
pub mod elastic;
mod error;
mod fast;
mod flexibility;
pub(crate) mod hang;
mod inverse;
mod linear;
pub mod many;
mod scalar;
pub(crate) mod span;
mod state;
mod stiffening;
mod stretching;

pub use error::LineError;
pub use state::{End, LineState, Points};

/// A number of its own for each line and place, from 0 to 1, the same on every run.
#[cfg(test)]
fn share(line: u64, place: u64) -> f64 {
    // splitmix64
    let mut x = (line * 16 + place).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    x = (x ^ (x >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    x = (x ^ (x >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    ((x ^ (x >> 31)) >> 11) as f64 / 9_007_199_254_740_992.0
}
