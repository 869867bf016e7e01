//! Points and forces in the plane and in space.
//!
//! x runs level from the head of the rig out over the slope, z runs up, and y completes a right-handed set: it
//! runs to the left of somebody at the head who looks out. Whoever works in the plane leaves y out.

use crate::error::{self, Allowed, InputError};
use crate::quantity::{Angle, Force, Length, Ratio, metres, newtons, radians, ratio};
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

/// A direction in space: which way a rope runs.
///
/// ```
/// use rope_mechanics::geometry::Direction3;
/// use rope_mechanics::quantity::{Ratio, unit::{degree, ratio}};
///
/// let out = Direction3::new(Ratio::new::<ratio>(1.0), Ratio::new::<ratio>(0.0), Ratio::new::<ratio>(0.0))?;
/// let up = Direction3::new(Ratio::new::<ratio>(0.0), Ratio::new::<ratio>(0.0), Ratio::new::<ratio>(5.0))?;
/// assert!((out.angle_to(up).get::<degree>() - 90.0).abs() < 1e-12);
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Direction3(Vector3<f64>);

impl Direction3 {
    /// Straight up.
    pub const UP: Self = Self(Vector3::new(0.0, 0.0, 1.0));
    /// Straight down.
    pub const DOWN: Self = Self(Vector3::new(0.0, 0.0, -1.0));

    /// Along a vector, whose length doesn't matter.
    ///
    /// # Errors
    /// Unless the components are finite and not all zero.
    pub fn new(x: Ratio, y: Ratio, z: Ratio) -> Result<Self, InputError> {
        let (x, y, z) = (error::finite("x", x)?, error::finite("y", y)?, error::finite("z", z)?);
        Self::along("direction", "", Vector3::new(x, y, z))
    }

    /// From one point towards another.
    ///
    /// # Errors
    /// Unless the points are finite and apart.
    pub fn between(from: Point3, to: Point3) -> Result<Self, InputError> {
        Self::along("distance", "m", to.finite("to")? - from.finite("from")?)
    }

    /// Components of the unit vector.
    #[must_use]
    pub fn components(&self) -> [Ratio; 3] {
        [ratio(self.0[0]), ratio(self.0[1]), ratio(self.0[2])]
    }

    /// The other way.
    #[must_use]
    pub fn reversed(self) -> Self {
        Self(-self.0)
    }

    /// The angle between two directions, from 0 to 180°.
    ///
    /// θ = atan2(|a × b|, a · b), which is accurate at both ends
    #[must_use]
    pub fn angle_to(self, other: Self) -> Angle {
        let cross = self.0.cross(&other.0);
        radians(crate::math::atan2(crate::math::sqrt(cross.norm_squared()), self.0.dot(&other.0)))
    }

    pub(crate) fn unit(self) -> Vector3<f64> {
        self.0
    }

    fn along(field: &'static str, unit: &'static str, v: Vector3<f64>) -> Result<Self, InputError> {
        // Scaled first, so that a tiny vector keeps its direction.
        let largest = v[0].abs().max(v[1].abs()).max(v[2].abs());
        if largest > 0.0 {
            let v = v / largest;
            Ok(Self(v / crate::math::sqrt(v.norm_squared())))
        } else {
            Err(InputError::new(field, 0.0, unit, Allowed::Above(0.0)))
        }
    }
}

#[cfg(feature = "serde")]
mod as_list {
    //! Points as lists of texts: `["70 m", "-45 m"]`.

    use super::{Point2, Point3};
    use crate::quantity::Length;
    use serde::{Deserialize, Deserializer, Serialize, Serializer};

    #[derive(Serialize, Deserialize)]
    #[serde(transparent)]
    struct Coordinate(#[serde(with = "crate::text::as_text")] Length);

    impl Serialize for Point2 {
        fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
            (Coordinate(self.x), Coordinate(self.z)).serialize(serializer)
        }
    }

    impl<'de> Deserialize<'de> for Point2 {
        fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
            let (x, z) = <(Coordinate, Coordinate)>::deserialize(deserializer)?;
            Ok(Self { x: x.0, z: z.0 })
        }
    }

    impl Serialize for Point3 {
        fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
            (Coordinate(self.x), Coordinate(self.y), Coordinate(self.z)).serialize(serializer)
        }
    }

    impl<'de> Deserialize<'de> for Point3 {
        fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
            let (x, y, z) = <(Coordinate, Coordinate, Coordinate)>::deserialize(deserializer)?;
            Ok(Self { x: x.0, y: y.0, z: z.0 })
        }
    }
}
