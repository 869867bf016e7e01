//! The litter as a body: how far it is from the ground and from the frame.

use crate::error::{InputError, positive, within};
use crate::geometry::{Point2, Point3, clearance_m};
use crate::math;
use crate::quantity::{Angle, Length, metres};
use nalgebra::Vector3;

/// Which way the long side of the litter lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize), serde(rename_all = "kebab-case"))]
#[non_exhaustive]
pub enum LitterLies {
    /// Outward, in the plane of the line.
    Along,
    /// Across the plane of the line.
    Across,
}

/// A litter as a box below its sling: length, width, depth, and how it is tilted.
///
/// Assumed: the sling is plumb and holds it by its middle, and it doesn't turn while it is moved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LitterBody {
    length_m: f64,
    width_m: f64,
    depth_m: f64,
    tilt_rad: f64,
    lies: LitterLies,
}

/// A tilt of more than this stands it on end.
const MOST_TILT_RAD: f64 = core::f64::consts::FRAC_PI_3;
/// Sections of a member by which its distance from the litter is narrowed down: φ⁻⁴⁰ of it is left.
const SECTIONS: u32 = 40;
const GOLDEN: f64 = 0.618_033_988_749_894_9;

impl LitterBody {
    /// A litter of this length, width and depth (from its underside to the top of the patient), level.
    ///
    /// # Errors
    /// Unless each is above zero and at most 10 m.
    pub fn new(length: Length, width: Length, depth: Length, lies: LitterLies) -> Result<Self, InputError> {
        let size = |field, size| {
            positive(field, size)?;
            within(field, size, 0.0, 10.0)
        };
        Ok(Self {
            length_m: size("litter_length", length)?,
            width_m: size("litter_width", width)?,
            depth_m: size("litter_depth", depth)?,
            tilt_rad: 0.0,
            lies,
        })
    }

    /// The same, its outer end (or its left end, where it lies across) lower by this angle.
    ///
    /// # Errors
    /// Unless the tilt is from −60° to 60°.
    pub fn with_tilt(self, tilt: Angle) -> Result<Self, InputError> {
        let tilt_rad = within("tilt", tilt, -MOST_TILT_RAD, MOST_TILT_RAD)?;
        Ok(Self { tilt_rad, ..self })
    }

    /// The same, lying the other way.
    #[must_use]
    pub const fn lying(self, lies: LitterLies) -> Self {
        Self { lies, ..self }
    }

    /// Which way its long side lies.
    #[must_use]
    pub const fn lies(&self) -> LitterLies {
        self.lies
    }

    /// How far it reaches outward from its middle.
    #[must_use]
    pub fn reach(&self) -> Length {
        metres(match self.lies {
            LitterLies::Along => 0.5 * self.length_m * math::cos(self.tilt_rad),
            LitterLies::Across => 0.5 * self.width_m,
        })
    }

    /// How far its lowest end is below the middle of its underside.
    #[must_use]
    pub fn droop(&self) -> Length {
        metres(0.5 * self.length_m * math::sin(self.tilt_rad.abs()))
    }

    /// Its underside in the plane of the line, with its middle at this point: from the inner to the outer end; where it
    /// lies across, at the height of its lower end.
    #[must_use]
    pub fn underside(&self, middle: Point2) -> [Point2; 2] {
        let (reach, droop) = (self.reach(), self.droop());
        let (inner, outer) = match self.lies {
            LitterLies::Along if self.tilt_rad < 0.0 => (-droop, droop),
            LitterLies::Along => (droop, -droop),
            LitterLies::Across => (-droop, -droop),
        };
        [Point2::new(middle.x - reach, middle.z + inner), Point2::new(middle.x + reach, middle.z + outer)]
    }

    /// The least height of its underside above the ground, with its middle at this point; nothing where the ground isn't
    /// known anywhere below it.
    #[must_use]
    pub fn above_ground(&self, middle: Point2, ground: &[Point2]) -> Option<Length> {
        let height_m = clearance_m(ground, &self.underside(middle));
        height_m.is_finite().then(|| metres(height_m))
    }

    /// Its distance from a straight member between two points, with the middle of its underside at a third; zero where
    /// the member goes through it.
    ///
    /// The distance of a point from a box is convex, and so it is along a straight member: the golden section finds the
    /// least of it, to a thousandth of a millimetre.
    #[must_use]
    pub fn from_member(&self, middle: Point3, from: Point3, to: Point3) -> Length {
        let (s, c) = (math::sin(self.tilt_rad), math::cos(self.tilt_rad));
        let (long, wide, up) = match self.lies {
            LitterLies::Along => (Vector3::new(c, 0.0, -s), Vector3::y(), Vector3::new(s, 0.0, c)),
            LitterLies::Across => (Vector3::new(0.0, c, -s), Vector3::x(), Vector3::new(0.0, s, c)),
        };
        let inside = |point: Vector3<f64>| {
            let at = point - middle.si();
            Vector3::new(at.dot(&long), at.dot(&wide), at.dot(&up))
        };
        let (from, to) = (inside(from.si()), inside(to.si()));
        // How far each coordinate is outside of the box.
        let distance = |share: f64| {
            let p = from + share * (to - from);
            let out = Vector3::new(
                (p.x.abs() - 0.5 * self.length_m).max(0.0),
                (p.y.abs() - 0.5 * self.width_m).max(0.0),
                (-p.z).max(p.z - self.depth_m).max(0.0),
            );
            math::sqrt(out.norm_squared())
        };
        let (mut low, mut high) = (0.0, 1.0);
        let mut least = distance(0.0).min(distance(1.0));
        for _ in 0..SECTIONS {
            let reach = GOLDEN * (high - low);
            let (left, right) = (high - reach, low + reach);
            let (at_left, at_right) = (distance(left), distance(right));
            least = least.min(at_left).min(at_right);
            if at_left < at_right { high = right } else { low = left }
        }
        metres(least)
    }
}

/// Where the ground falls away in front of the frame: the corner nearest to the base, in x, from which on outward it
/// falls by more than 30° and up to which it doesn't. Nothing where there is no such corner.
#[must_use]
pub fn edge(ground: &[Point2], base: Point2) -> Option<Point2> {
    // tan 30°
    const STEEP: f64 = 0.577_350_269_189_625_8;
    let falls = |a: &Point2, b: &Point2| (a.z - b.z).value > STEEP * (b.x - a.x).value;
    let mut steep_before = false;
    let mut nearest: Option<Point2> = None;
    for pair in ground.windows(2) {
        let [at, next] = pair else { continue };
        let steep = falls(at, next);
        let off = |point: &Point2| (point.x - base.x).value.abs();
        if steep && !steep_before && nearest.as_ref().is_none_or(|best| off(at) < off(best)) {
            nearest = Some(*at);
        }
        steep_before = steep;
    }
    nearest
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::radians;

    fn litter(lies: LitterLies) -> LitterBody {
        LitterBody::new(metres(2.0), metres(0.6), metres(0.4), lies).unwrap()
    }

    fn p2(x: f64, z: f64) -> Point2 {
        Point2::new(metres(x), metres(z))
    }

    fn p3(x: f64, y: f64, z: f64) -> Point3 {
        Point3::new(metres(x), metres(y), metres(z))
    }

    #[test]
    fn two_metres_of_litter_lose_the_slope_by_one_metre_at_their_upper_end() {
        // The middle 0.5 m above a slope of 40°: its inner end is lower over the ground by tan 40° · 1 m.
        let slope = 0.839_099_631_177_280_0; // tan 40°
        let ground = [p2(-9.0, 9.0 * slope), p2(9.0, -9.0 * slope)];
        let height = litter(LitterLies::Along).above_ground(p2(0.0, 0.5), &ground).unwrap();
        assert!((height.value - (0.5 - slope)).abs() < 1e-12);
        // Tilted as the slope it is as high at both ends; across it loses 0.3 m of slope.
        let tilted = litter(LitterLies::Along).with_tilt(radians(slope.atan())).unwrap();
        let [inner, outer] = tilted.underside(p2(0.0, 0.5)).map(|p| p.z.value + slope * p.x.value);
        assert!((inner - 0.5).abs() < 1e-12 && (outer - 0.5).abs() < 1e-12);
        let across = litter(LitterLies::Across).above_ground(p2(0.0, 0.5), &ground).unwrap();
        assert!((across.value - (0.5 - 0.3 * slope)).abs() < 1e-12);
        assert_eq!(litter(LitterLies::Along).above_ground(p2(20.0, 0.5), &ground), None);
    }

    #[test]
    fn a_tilt_lowers_one_end_by_half_the_length() {
        for (tilt, lies) in [(0.3, LitterLies::Along), (-0.3, LitterLies::Along), (0.3, LitterLies::Across)] {
            let body = litter(lies).with_tilt(radians(tilt)).unwrap();
            let [inner, outer] = body.underside(p2(0.0, 0.0)).map(|p| p.z.value);
            assert!((inner.min(outer) + 0.3_f64.sin()).abs() < 1e-15);
            assert_eq!(inner < outer, tilt < 0.0, "the inner end is low where the outer one is high");
        }
    }

    #[test]
    fn the_distance_from_a_member_is_that_of_the_nearest_face_edge_or_corner() {
        let body = litter(LitterLies::Along);
        let from = |a, b| body.from_member(p3(0.0, 0.0, 1.0), a, b).value;
        // A plumb leg 0.5 m beside its side of 0.3 m.
        assert!((from(p3(0.2, 0.8, 0.0), p3(0.2, 0.8, 3.0)) - 0.5).abs() < 1e-6);
        // One beside a corner: 3 and 4 dm off.
        assert!((from(p3(1.3, 0.7, 0.0), p3(1.3, 0.7, 3.0)) - 0.5).abs() < 1e-6);
        // A level one over it, 0.25 m above the patient; and through it.
        assert!((from(p3(0.0, -2.0, 1.65), p3(0.0, 2.0, 1.65)) - 0.25).abs() < 1e-6);
        assert_eq!(from(p3(0.0, -2.0, 1.2), p3(0.0, 2.0, 1.2)), 0.0);
        // One that ends before it, below it.
        assert!((from(p3(0.0, 0.0, 0.0), p3(0.0, 0.0, 0.7)) - 0.3).abs() < 1e-6);
        // Across, the long side is there.
        let across =
            litter(LitterLies::Across).from_member(p3(0.0, 0.0, 1.0), p3(0.2, 1.5, 0.0), p3(0.2, 1.5, 3.0));
        assert!((across.value - 0.5).abs() < 1e-6);
    }

    #[test]
    fn the_edge_is_where_the_ground_begins_to_fall() {
        let ground =
            [p2(-9.0, 0.3), p2(1.2, 0.0), p2(2.4, -1.9), p2(6.5, -6.2), p2(12.0, -7.0), p2(14.0, -9.0)];
        assert_eq!(edge(&ground, p2(0.0, 0.0)), Some(p2(1.2, 0.0)));
        // A head further out has another edge below it.
        assert_eq!(edge(&ground, p2(11.0, -6.9)), Some(p2(12.0, -7.0)));
        assert_eq!(edge(&[p2(0.0, 0.0), p2(9.0, -2.0)], p2(0.0, 0.0)), None);
    }
}
