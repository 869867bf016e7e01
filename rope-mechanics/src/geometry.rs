//! Points and forces in the plane and in space.
//!
//! x runs level from the head of the rig out over the slope, z runs up, and y completes a right-handed set: it
//! runs to the left of somebody at the head who looks out. Whoever works in the plane leaves y out.

use crate::error::{self, InputError};
use crate::quantity::{Force, Length, metres, newtons};
use nalgebra::{Vector2, Vector3};

macro_rules! vectors {
    ($($(#[$doc:meta])* $name:ident($quantity:ident, $make:ident) = $vector:ident { $($axis:ident[$at:literal]: $axis_doc:literal),+ })*) => { $(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Default)]
        pub struct $name {
            $(#[doc = $axis_doc] pub $axis: $quantity,)+
        }

        #[allow(dead_code, reason = "the same set for each of the four")]
        impl $name {
            /// From its components.
            #[must_use]
            pub const fn new($($axis: $quantity),+) -> Self {
                Self { $($axis),+ }
            }

            pub(crate) fn from_si(v: $vector<f64>) -> Self {
                Self { $($axis: $make(v[$at])),+ }
            }

            pub(crate) fn si(&self) -> $vector<f64> {
                $vector::new($(self.$axis.value),+)
            }

            /// The SI components, if all of them are finite and of a sensible size.
            pub(crate) fn finite(&self, field: &'static str) -> Result<$vector<f64>, InputError> {
                Ok($vector::new($(error::finite(field, self.$axis)?),+))
            }

            /// The length of the vector: √(x² + …).
            #[must_use]
            pub fn magnitude(&self) -> $quantity {
                $make(crate::math::sqrt(self.si().norm_squared()))
            }
        }
    )* };
}

vectors! {
    /// A point in the vertical plane of a line.
    Point2(Length, metres) = Vector2 { x[0]: "Level, outward.", z[1]: "Up." }
    /// A point in space.
    Point3(Length, metres) = Vector3 { x[0]: "Level, outward.", y[1]: "Level, to the left.", z[2]: "Up." }
    /// A force in the vertical plane of a line.
    Force2(Force, newtons) = Vector2 { x[0]: "Level, outward.", z[1]: "Up." }
    /// A force in space.
    Force3(Force, newtons) = Vector3 { x[0]: "Level, outward.", y[1]: "Level, to the left.", z[2]: "Up." }
}
