//! Points and forces in the plane and in space.
//!
//! x runs level from the head of the rig out over the slope, z runs up, and y completes a right-handed set: it
//! runs to the left of somebody at the head who looks out. Whoever works in the plane leaves y out.

mod profile;

pub use profile::Profile;
#[cfg(all(feature = "alloc", feature = "serde"))]
pub(crate) use profile::over;
pub(crate) use profile::{Piece, clearance_m};

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
                let v: [f64; _] = v.into();
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
        [ratio(self.0.x), ratio(self.0.y), ratio(self.0.z)]
    }

    /// The other way.
    #[must_use]
    pub fn reversed(self) -> Self {
        Self(-self.0)
    }

    /// The angle between two directions, from 0 to 180°.
    #[must_use]
    pub fn angle_to(self, other: Self) -> Angle {
        radians(angle_between(&self.0, &other.0))
    }

    pub(crate) fn unit(self) -> Vector3<f64> {
        self.0
    }

    fn along(field: &'static str, unit: &'static str, v: Vector3<f64>) -> Result<Self, InputError> {
        // Scaled first, so that a tiny vector keeps its direction.
        let largest = v.x.abs().max(v.y.abs()).max(v.z.abs());
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
    use core::fmt;
    use serde::de::{Error, SeqAccess, Visitor};
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
            let values = "two values: how far out and how high, as in [\"70 m\", \"-45 m\"]";
            let [x, z] = deserializer.deserialize_tuple(2, Values(values))?;
            Ok(Self { x, z })
        }
    }

    impl Serialize for Point3 {
        fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
            (Coordinate(self.x), Coordinate(self.y), Coordinate(self.z)).serialize(serializer)
        }
    }

    impl<'de> Deserialize<'de> for Point3 {
        fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
            let values =
                "three values: how far out, to the left and up, as in [\"-7 m\", \"-2 m\", \"0.9 m\"]";
            let [x, y, z] = deserializer.deserialize_tuple(3, Values(values))?;
            Ok(Self { x, y, z })
        }
    }

    /// Reads exactly so many lengths, described by these words in an error.
    struct Values<const N: usize>(&'static str);

    impl<'de, const N: usize> Visitor<'de> for Values<N> {
        type Value = [Length; N];

        fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            f.write_str(self.0)
        }

        fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<[Length; N], A::Error> {
            let mut values = [Length::default(); N];
            let mut count = 0_usize;
            while let Some(Coordinate(value)) = list.next_element()? {
                if let Some(place) = values.get_mut(count) {
                    *place = value;
                }
                count += 1;
            }
            if count == N {
                Ok(values)
            } else {
                Err(A::Error::custom(format_args!("a point here has {}; this one has {count}", self.0)))
            }
        }
    }
}

/// The angle between two vectors, in radians.
pub(crate) fn angle_between(a: &Vector3<f64>, b: &Vector3<f64>) -> f64 {
    // θ = atan2(|a × b|, a · b), which is accurate at both ends
    crate::math::atan2(crate::math::sqrt(a.cross(b).norm_squared()), a.dot(b))
}
