//! Why a line has no answer.

use crate::error::InputError;

/// Why a line has no answer.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum LineError {
    /// An input that can't be used.
    #[error(transparent)]
    Input(#[from] InputError),
    /// A rope without weight that is longer than the distance between its supports: no tension, and any shape.
    #[error(
        "a rope of {length_m} m without weight can take any shape between supports {chord_m} m apart: \
         give its weight, or shorten it"
    )]
    NoShape {
        /// Length of the rope.
        length_m: f64,
        /// Distance between the supports.
        chord_m: f64,
    },
    /// A rope that doesn't stretch, and doesn't reach from support to support with any sag.
    #[error(
        "a rope of {length_m} m that doesn't stretch can't hang between supports {chord_m} m apart: lengthen it"
    )]
    TooShort {
        /// Length of the rope.
        length_m: f64,
        /// Distance between the supports.
        chord_m: f64,
    },
    /// No line between these supports has a tension or sag like that.
    #[error("{field} is {value}{unit}, but between these supports it is never {limit}{unit}: {why}", limit = Limit(*.lowest, *.highest))]
    OutOfReach {
        /// The input at fault.
        field: &'static str,
        /// Its value in SI.
        value: f64,
        /// Its unit, with a space before it.
        unit: &'static str,
        /// The least that is possible.
        lowest: f64,
        /// The greatest that is possible.
        highest: f64,
        /// What to change.
        why: &'static str,
    },
    /// The equations could not be solved to the promised residual. Sizes far outside any rig can do that.
    #[error(
        "the line did not close: residual {residual:e} after {iterations} steps \
         (span {span_m} m, rise {rise_m} m, length {length_m} m, weight {weight_n_per_m} N/m)"
    )]
    Unsolved {
        /// Horizontal distance between the supports.
        span_m: f64,
        /// Height of the second support above the first.
        rise_m: f64,
        /// Unstretched length.
        length_m: f64,
        /// Weight per metre.
        weight_n_per_m: f64,
        /// What was reached.
        residual: f64,
        /// Steps taken.
        iterations: u32,
    },
}

struct Limit(f64, f64);

impl core::fmt::Display for Limit {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match (self.0.is_finite(), self.1.is_finite()) {
            (true, true) => write!(f, "below {} or above {}", self.0, self.1),
            (true, false) => write!(f, "below {}", self.0),
            _ => write!(f, "above {}", self.1),
        }
    }
}
