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

    /// Reads exactly so many lengths, which are told in these words.
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

/// The ground under a line: straight from point to point, x growing.
///
/// ```
/// use rope_mechanics::geometry::{Point2, Profile};
/// use rope_mechanics::quantity::{Length, unit::meter};
///
/// let m = Length::new::<meter>;
/// let points = [Point2::new(m(0.0), m(0.0)), Point2::new(m(5.0), m(-1.0)), Point2::new(m(70.0), m(-46.0))];
/// let ground = Profile::new(&points)?;
/// assert_eq!(ground.height(m(2.5))?, m(-0.5));
/// assert_eq!(ground.above(m(5.0), m(2.0))?, Point2::new(m(5.0), m(1.0)));
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Profile<'a> {
    points: &'a [Point2],
}

impl<'a> Profile<'a> {
    /// A profile through these points.
    ///
    /// # Errors
    /// Unless there are at least two points, all finite, and x grows from each to the next.
    pub fn new(points: &'a [Point2]) -> Result<Self, InputError> {
        if points.len() < 2 {
            return Err(InputError::new("profile_points", points.len() as f64, "", Allowed::AtLeast(2.0)));
        }
        let mut last = f64::NEG_INFINITY;
        for point in points {
            point.finite("profile_point")?;
            last = error::check("profile_point.x", point.x, Allowed::Above(last))?;
        }
        Ok(Self { points })
    }

    /// The points it was made from.
    #[must_use]
    pub fn points(&self) -> &'a [Point2] {
        self.points
    }

    /// The least and greatest x.
    #[must_use]
    pub fn reach(&self) -> (Length, Length) {
        match self.points {
            [first, .., last] => (first.x, last.x),
            _ => (metres(0.0), metres(0.0)), // `new` makes sure of two
        }
    }

    /// Height of the ground at `x`.
    ///
    /// # Errors
    /// Unless `x` lies within the profile.
    pub fn height(&self, x: Length) -> Result<Length, InputError> {
        let (first, last) = self.reach();
        let at = error::check("x", x, Allowed::Within(first.value, last.value))?;
        // The first point beyond x, but the last one at most.
        let beyond = self.points.partition_point(|point| point.x.value <= at).min(self.points.len() - 1);
        match self.points.get(beyond - 1..=beyond) {
            Some([a, b]) => {
                // z = z₁ + (z₂ − z₁)·(x − x₁)/(x₂ − x₁), exact at both points
                let share = (at - a.x.value) / (b.x.value - a.x.value);
                Ok(metres(a.z.value * (1.0 - share) + b.z.value * share))
            }
            _ => Err(InputError::new("x", at, "m", Allowed::Within(first.value, last.value))),
        }
    }

    /// The point at `x` this far above the ground, measured plumb.
    ///
    /// # Errors
    /// Unless `x` lies within the profile and the height is finite.
    pub fn above(&self, x: Length, height: Length) -> Result<Point2, InputError> {
        error::finite("height", height)?;
        Ok(Point2::new(x, self.height(x)? + height))
    }
}

/// The angle between two vectors, in radians.
pub(crate) fn angle_between(a: &Vector3<f64>, b: &Vector3<f64>) -> f64 {
    // θ = atan2(|a × b|, a · b), which is accurate at both ends
    crate::math::atan2(crate::math::sqrt(a.cross(b).norm_squared()), a.dot(b))
}

#[cfg(test)]
mod tests {
    use super::{Point2, Profile};
    use crate::quantity::metres as m;

    #[test]
    fn the_ground_runs_straight_from_point_to_point() {
        let points =
            [Point2::new(m(-2.0), m(1.0)), Point2::new(m(3.0), m(-4.0)), Point2::new(m(4.0), m(-4.0))];
        let ground = Profile::new(&points).unwrap();
        for (x, z) in [(-2.0, 1.0), (0.5, -1.5), (3.0, -4.0), (3.5, -4.0), (4.0, -4.0)] {
            assert_eq!(ground.height(m(x)).unwrap(), m(z), "{x}");
        }
        assert_eq!(ground.reach(), (m(-2.0), m(4.0)));
    }

    #[test]
    fn beyond_its_ends_there_is_no_ground() {
        let points = [Point2::new(m(-2.0), m(1.0)), Point2::new(m(3.0), m(-4.0))];
        let ground = Profile::new(&points).unwrap();
        for x in [-2.1, 3.1, f64::NAN, f64::INFINITY] {
            assert_eq!(ground.height(m(x)).unwrap_err().field, "x");
        }
    }

    #[test]
    fn a_profile_that_turns_back_is_refused() {
        let one = Point2::new(m(0.0), m(0.0));
        assert!(Profile::new(&[]).is_err());
        assert!(Profile::new(&[one]).is_err());
        assert_eq!(
            Profile::new(&[one, one]).unwrap_err().to_string(),
            "profile_point.x is 0 m, but must be above 0 m"
        );
        assert!(Profile::new(&[one, Point2::new(m(f64::NAN), m(0.0))]).is_err());
    }
}
