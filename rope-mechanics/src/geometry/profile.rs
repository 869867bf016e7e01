//! The ground under a line, or a line drawn by its points: straight from point to point.

use super::Point2;
use crate::error::{self, Allowed, InputError};
use crate::math;
use crate::quantity::{Length, metres};

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
        let allowed = Allowed::Within(first.value, last.value);
        let at = error::check("x", x, allowed)?;
        let piece = Piece::at(self.points, at).ok_or(InputError::new("x", at, "m", allowed))?;
        Ok(metres(piece.height_m(at)))
    }

    /// The piece at x, the first and the last one going on beyond the ends.
    pub(crate) fn nearest_piece(&self, x_m: f64) -> Piece {
        // `new` makes sure of two points.
        Piece::nearest(self.points, x_m).unwrap_or(Piece { from_m: [0.0; 2], to_m: [1.0, 0.0] })
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

/// One straight piece of a row of points whose x grows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Piece {
    from_m: [f64; 2],
    to_m: [f64; 2],
}

impl Piece {
    /// The piece at x, if the points reach so far; at a corner, the one on the side of the smaller x.
    pub(crate) fn at(points: &[Point2], x_m: f64) -> Option<Self> {
        let (first, last) = (points.first()?, points.last()?);
        if (first.x.value..=last.x.value).contains(&x_m) { Self::nearest(points, x_m) } else { None }
    }

    /// The same, with the first and the last piece going on beyond the points; `None` of fewer than two points.
    pub(crate) fn nearest(points: &[Point2], x_m: f64) -> Option<Self> {
        let last = points.len().checked_sub(1)?;
        // The first point not before x.
        let to = points.partition_point(|point| point.x.value < x_m).clamp(1, last.max(1));
        match points.get(to - 1..=to) {
            Some([a, b]) => Some(Self { from_m: [a.x.value, a.z.value], to_m: [b.x.value, b.z.value] }),
            _ => None,
        }
    }

    pub(crate) fn height_m(&self, x_m: f64) -> f64 {
        let ([x1, z1], [x2, z2]) = (self.from_m, self.to_m);
        // z = z₁ + (z₂ − z₁)·(x − x₁)/(x₂ − x₁), exact at both points
        let share = (x_m - x1) / (x2 - x1);
        z1 * (1.0 - share) + z2 * share
    }

    /// dz/dx
    pub(crate) fn slope(&self) -> f64 {
        (self.to_m[1] - self.from_m[1]) / (self.to_m[0] - self.from_m[0])
    }

    /// The unit vector along it, towards the greater x.
    pub(crate) fn along(&self) -> [f64; 2] {
        let (run_m, rise_m) = (self.to_m[0] - self.from_m[0], self.to_m[1] - self.from_m[1]);
        let length_m = math::hypot(run_m, rise_m);
        [run_m / length_m, rise_m / length_m]
    }
}

/// The least height of a line above the ground, where it stands above or below it.
///
/// Both are straight between their points, so that the least is at a point of one of them. Infinite where neither
/// has a point above or below the other.
pub(crate) fn clearance_m(ground: &[Point2], line: &[Point2]) -> f64 {
    let height_m = |points, x_m| Some(Piece::at(points, x_m)?.height_m(x_m));
    let over_line = line.iter().filter_map(|p| Some(p.z.value - height_m(ground, p.x.value)?));
    let least = over_line.fold(f64::INFINITY, f64::min);
    let (Some(first), Some(last)) = (line.first(), line.last()) else { return least };
    let corners = between(ground, first.x.value, last.x.value);
    over(line, corners).fold(least, |least, (corner, z_m)| least.min(z_m - corner.z.value))
}

/// The points from one x to another, both counted.
pub(crate) fn between(points: &[Point2], from_x_m: f64, to_x_m: f64) -> &[Point2] {
    let first = points.partition_point(|p| p.x.value < from_x_m);
    let behind = points.partition_point(|p| p.x.value <= to_x_m);
    points.get(first..behind).unwrap_or_default()
}

/// Each of some points whose x grows, and how high a line is there, as [`Piece::at`] has it: both are walked along once. A
/// point before the line or beyond it is left out.
pub(crate) fn over<'p>(
    line: &'p [Point2],
    points: &'p [Point2],
) -> impl Iterator<Item = (&'p Point2, f64)> + 'p {
    let mut pieces = line.windows(2).peekable();
    points.iter().filter_map(move |point| {
        let x_m = point.x.value;
        // The first piece that ends at x or behind it.
        while pieces.next_if(|piece| piece.last().is_some_and(|end| end.x.value < x_m)).is_some() {}
        match pieces.peek() {
            Some([a, b]) if a.x.value <= x_m => {
                let piece = Piece { from_m: [a.x.value, a.z.value], to_m: [b.x.value, b.z.value] };
                Some((point, piece.height_m(x_m)))
            }
            _ => None,
        }
    })
}

#[cfg(test)]
mod tests {
    use super::{Piece, Point2, Profile, between, clearance_m, over};
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

    #[test]
    fn at_a_corner_the_piece_of_the_smaller_x_counts() {
        let points =
            [Point2::new(m(0.0), m(0.0)), Point2::new(m(3.0), m(-3.0)), Point2::new(m(4.0), m(-1.0))];
        for (x, slope) in [(0.0, -1.0), (1.0, -1.0), (3.0, -1.0), (3.5, 2.0), (4.0, 2.0)] {
            assert_eq!(Piece::at(&points, x).map(|piece| piece.slope()), Some(slope), "{x}");
        }
        assert_eq!(Piece::at(&points, -0.1), None);
        assert_eq!(Piece::at(&points, 4.1), None);
        assert_eq!(Piece::nearest(&points, 5.0).map(|piece| piece.height_m(5.0)), Some(1.0));
        assert_eq!(Piece::nearest(&points, -2.0).map(|piece| piece.height_m(-2.0)), Some(2.0));
        assert_eq!(Piece::nearest(&points[..1], 0.0), None);
        assert_eq!(Piece::nearest(&[], 0.0), None);
    }

    #[test]
    fn clearance_is_least_at_a_point_of_the_line_or_at_a_corner_of_the_ground() {
        let p = |x, z| Point2::new(m(x), m(z));
        let ground = [p(0.0, 0.0), p(4.0, -1.0), p(8.0, -6.0)];
        // Over the corner at x = 4 the line is at −0.5, over the ends at 1 and 4.
        assert_eq!(clearance_m(&ground, &[p(0.0, 1.0), p(8.0, -2.0)]), 0.5);
        // The lowest point of the line, with the ground at −0.5 below it.
        assert_eq!(clearance_m(&ground, &[p(0.0, 1.0), p(2.0, -0.75), p(8.0, 1.0)]), -0.25);
        assert_eq!(clearance_m(&ground, &[p(9.0, 1.0), p(12.0, 1.0)]), f64::INFINITY);
        assert_eq!(clearance_m(&ground, &[]), f64::INFINITY);
        // Over a corner that the line ends at, and not over those beside it.
        assert_eq!(clearance_m(&ground, &[p(4.0, -0.75), p(6.0, 3.0)]), 0.25);
        assert_eq!(clearance_m(&ground, &[p(1.0, 3.0), p(4.0, -0.5)]), 0.5);
    }

    #[test]
    fn a_walk_along_a_line_finds_what_is_looked_up_point_by_point() {
        let p = |x: f64, z: f64| Point2::new(m(x), m(z));
        let line: Vec<_> = (0..40).map(|i| p(0.37 * f64::from(i), (0.4 * f64::from(i)).sin())).collect();
        // Before it, beyond it, at its points and between them, several on one piece and none on others.
        let mut points: Vec<_> = (0..70).map(|i| p(0.21 * f64::from(i) - 0.5, 0.0)).collect();
        points.extend(line.iter().step_by(7));
        points.sort_by(|a, b| a.x.value.total_cmp(&b.x.value));
        let walked: Vec<_> = over(&line, &points).map(|(point, z_m)| (point.x.value, z_m)).collect();
        let looked_up =
            points.iter().filter_map(|p| Some((p.x.value, Piece::at(&line, p.x.value)?.height_m(p.x.value))));
        assert_eq!(walked, looked_up.collect::<Vec<_>>());
        assert!(walked.len() > 60);
        let counted = between(&points, 0.0, 0.37 * 39.0);
        assert_eq!(counted.len(), walked.len());
    }
}
