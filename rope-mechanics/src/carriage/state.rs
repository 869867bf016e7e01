//! What is known of a carriage in balance.

use super::equations::{Problem, Unknowns};
use super::rolling::{Hung, TrackSpan};
use super::solve::Balance;
use super::{CarriageError, LOOSEST, Track};
use crate::error::{InputError, SolveReport, positive, within};
use crate::geometry::{Force2, Point2};
use crate::line::hang::{HangingPart, RopeLaw, hang};
use crate::math::{self, norm};
use crate::quantity::{Angle, Force, Length, Ratio, metres, newtons, radians, ratio};

/// Tension of the track rope, all its strands together, at four places.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrackTension {
    /// At the head: what a load cell there reads, the strands together.
    pub head: Force,
    /// At the carriage, on the head's side.
    pub carriage_upper: Force,
    /// At the carriage, on the far side.
    pub carriage_lower: Force,
    /// At the far anchor.
    pub far: Force,
}

/// What the haul rope does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HaulPull {
    /// Unstretched length from the haul point to the carriage.
    pub length: Length,
    /// Tension at the carriage.
    pub at_carriage: Force,
    /// Tension at the haul point.
    pub at_haul_point: Force,
    /// Its pull on the carriage.
    pub on_carriage: Force2,
    /// Its pull on the haul point.
    pub on_haul_point: Force2,
}

/// A carriage in balance: place, tensions, forces, shape, and how well all this fits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CarriageState {
    /// Where the carriage is.
    pub position: Point2,
    /// Unstretched length of the whole track.
    pub track_length: Length,
    /// Unstretched length on the head's side.
    pub upper_length: Length,
    /// Unstretched length on the far side.
    pub lower_length: Length,
    /// Tension of the track, all strands together.
    pub tension: TrackTension,
    /// Horizontal tension on the head's side.
    pub horizontal_upper: Force,
    /// Horizontal tension on the far side.
    pub horizontal_lower: Force,
    /// The weight that track and haul rope carry.
    pub load: Force,
    /// The haul rope; `None` if there is none or it is slack.
    pub haul: Option<HaulPull>,
    /// Between the two parts of the track at the carriage: 180° where it runs straight through.
    pub interior_angle: Angle,
    /// The lowest point of the track.
    pub lowest_point: Point2,
    /// The pull of the track on the head.
    pub on_head: Force2,
    /// The pull of the track on the far anchor.
    pub on_far: Force2,
    /// By how much the forces at the carriage miss balance.
    pub force_error: Force,
    /// By how much the parts miss their supports.
    pub closing_error: Length,
    /// Steps, and the larger of the two errors against the largest force or length.
    pub report: SolveReport,
    shape: TrackShape,
}

/// What gives the shape of the track: its two parts from the carriage, in the frame of the track.
#[derive(Debug, Clone, Copy, PartialEq)]
struct TrackShape {
    law: RopeLaw,
    head: Point2,
    outward: f64,
    x_m: f64,
    z_m: f64,
    upper: (f64, f64),
    lower: (f64, f64),
    warm: Option<(bool, Unknowns)>,
}

impl TrackShape {
    fn point(&self, x_m: f64, z_m: f64) -> Point2 {
        Point2::new(metres(self.head.x.value + self.outward * x_m), metres(self.head.z.value + z_m))
    }

    fn force(&self, x_n: f64, z_n: f64) -> Force2 {
        Force2::new(newtons(self.outward * x_n), newtons(z_n))
    }

    /// The point `s_m` above or below the carriage along the unstretched rope, and the tension there.
    fn along(&self, upper: bool, s_m: f64) -> (Point2, f64) {
        let ((h, v), side) = if upper { (self.upper, -1.0) } else { (self.lower, 1.0) };
        let part = hang(&self.law, h, v, s_m);
        (self.point(self.x_m + side * part.span_m, self.z_m + part.rise_m), part.t_end_n)
    }

    /// The lowest of the carriage, both ends, and where a part runs level.
    fn lowest(&self, upper_m: f64, lower_m: f64) -> Point2 {
        let mut lowest = self.point(self.x_m, self.z_m);
        for (upper, (_, v), length_m) in [(true, self.upper, upper_m), (false, self.lower, lower_m)] {
            // V + w·s = 0
            if v >= 0.0 {
                continue;
            }
            let level_m = -v / self.law.weight_n_per_m;
            let s_m = if level_m < length_m { level_m } else { length_m };
            let (point, _) = self.along(upper, s_m);
            if point.z.value < lowest.z.value {
                lowest = point;
            }
        }
        lowest
    }
}

/// The forces and lengths from which a state is made.
struct CarriageForces<'a> {
    upper: (f64, f64),
    lower: (f64, f64),
    upper_part: &'a HangingPart,
    lower_part: &'a HangingPart,
    upper_m: f64,
    lower_m: f64,
    load_n: f64,
    iterations: u32,
    warm: Option<(bool, Unknowns)>,
}

impl CarriageState {
    pub(super) fn of_hung(track: &Track, span: &TrackSpan, hung: &Hung) -> Self {
        let forces = CarriageForces {
            upper: (hung.h_n, hung.upper_v_n),
            lower: (hung.h_n, hung.lower_v_n),
            upper_part: &hung.upper,
            lower_part: &hung.lower,
            upper_m: hung.upper_m,
            lower_m: hung.lower_m,
            load_n: span.load_n,
            iterations: hung.iterations,
            warm: None,
        };
        Self::of(track, &forces)
    }

    pub(super) fn of_held(track: &Track, problem: &Problem, balance: &Balance) -> Self {
        let m = &balance.meaning;
        let near = ((m.near.h_n, m.near.v_n), &m.near.part, m.near.length_m);
        let away = ((m.away.h_n, m.away.v_n), &m.away.part, m.away.length_m);
        let (upper, lower) = if problem.mirrored { (away, near) } else { (near, away) };
        let forces = CarriageForces {
            upper: upper.0,
            lower: lower.0,
            upper_part: upper.1,
            lower_part: lower.1,
            upper_m: upper.2,
            lower_m: lower.2,
            load_n: m.load_n,
            iterations: balance.iterations,
            warm: Some((problem.mirrored, m.unknowns())),
        };
        let mut state = Self::of(track, &forces);
        state.hold(problem, balance);
        state
    }

    fn of(track: &Track, e: &CarriageForces<'_>) -> Self {
        let (far_x_m, far_z_m) = track.inside(track.far());
        // from the head, and what is missing at the far anchor
        let (x_m, z_m) = (e.upper_part.span_m, -e.upper_part.rise_m);
        let miss_x = x_m + e.lower_part.span_m - far_x_m;
        let miss_z = z_m + e.lower_part.rise_m - far_z_m;
        let ((h1, v1), (h2, v2)) = (e.upper, e.lower);
        let shape = TrackShape {
            law: track.law(),
            head: track.head(),
            outward: track.outward(),
            x_m,
            z_m,
            upper: e.upper,
            lower: e.lower,
            warm: e.warm,
        };
        let (t1, t2) = (norm(h1, v1), norm(h2, v2));
        // cos θ = e₁·e₂ with e₁ = (−H₁, V₁)/T₁, e₂ = (H₂, V₂)/T₂
        let angle = math::atan2(h1 * v2 + v1 * h2, v1 * v2 - h1 * h2);
        let force_error = norm(h2 - h1, v1 + v2 - e.load_n);
        let closing_error = norm(miss_x, miss_z);
        let mut state = Self {
            position: shape.point(x_m, z_m),
            track_length: metres(e.upper_m + e.lower_m),
            upper_length: metres(e.upper_m),
            lower_length: metres(e.lower_m),
            tension: TrackTension {
                head: newtons(e.upper_part.t_end_n),
                carriage_upper: newtons(t1),
                carriage_lower: newtons(t2),
                far: newtons(e.lower_part.t_end_n),
            },
            horizontal_upper: newtons(h1),
            horizontal_lower: newtons(h2),
            load: newtons(e.load_n),
            haul: None,
            // A track that rests on its carriage bends the other way: more than 180°.
            interior_angle: radians(if angle < 0.0 { angle + 2.0 * core::f64::consts::PI } else { angle }),
            lowest_point: shape.lowest(e.upper_m, e.lower_m),
            // the rope pulls its support towards the carriage
            on_head: shape.force(h1, -e.upper_part.v_end_n),
            on_far: shape.force(-h2, -e.lower_part.v_end_n),
            force_error: newtons(force_error),
            closing_error: metres(closing_error),
            report: SolveReport::new(e.iterations, 0.0),
            shape,
        };
        state.certify(norm(far_x_m, far_z_m), e.load_n.abs() + t1.max(t2));
        state
    }

    /// Adds the haul rope, and measures the balance with it.
    fn hold(&mut self, problem: &Problem, balance: &Balance) {
        let m = &balance.meaning;
        let (dx, dz) = (m.to_haul_x_m, m.to_haul_z_m);
        let distance_m = norm(dx, dz);
        let (on_carriage, at_end_n, on_haul_point, force_error, miss_m);
        if let Some(part) = m.haul_part {
            on_carriage = (m.haul_x_n, m.haul_z_n);
            at_end_n = part.t_end_n;
            on_haul_point = (-m.haul_x_n, -part.v_end_n);
            force_error = 0.0;
            miss_m = norm(part.span_m + dx, part.rise_m - dz);
        } else {
            let pull_n = m.pull_n().max(0.0);
            on_carriage = (pull_n * dx / distance_m, pull_n * dz / distance_m);
            at_end_n = pull_n;
            on_haul_point = (-on_carriage.0, -on_carriage.1);
            force_error = norm(on_carriage.0 - m.haul_x_n, on_carriage.1 - m.haul_z_n);
            miss_m = (distance_m - m.haul_length_m * (1.0 + problem.haul.stretch.strain_at(pull_n))).abs();
        }
        let at_carriage_n = norm(on_carriage.0, on_carriage.1);
        // A track that is seen from its far anchor is mirrored.
        let outward = if problem.mirrored { -1.0 } else { 1.0 };
        let force = |(x_n, z_n): (f64, f64)| self.shape.force(outward * x_n, z_n);
        self.haul = Some(HaulPull {
            length: metres(m.haul_length_m),
            at_carriage: newtons(at_carriage_n),
            at_haul_point: newtons(at_end_n),
            on_carriage: force(on_carriage),
            on_haul_point: force(on_haul_point),
        });
        self.force_error = newtons(force_error);
        self.closing_error = metres(self.closing_error.value.max(miss_m));
        self.certify(problem.scale_m, m.load_n.abs() + m.near.tension_n.max(at_carriage_n));
    }

    fn certify(&mut self, length_m: f64, force_n: f64) {
        let length_m = length_m.max(self.track_length.value);
        let residual = (self.closing_error.value / length_m).max(self.force_error.value / force_n);
        self.report = SolveReport::new(self.report.iterations, residual);
    }

    /// The state, if it closes and every number in it is one.
    pub(super) fn sealed(self) -> Result<Self, CarriageError> {
        let TrackTension { head, carriage_upper, carriage_lower, far } = self.tension;
        let haul = self
            .haul
            .map_or([0.0; 3], |haul| [haul.length.value, haul.at_carriage.value, haul.at_haul_point.value]);
        let sum = head + carriage_upper + carriage_lower + far + self.load;
        let places = self.position.x + self.position.z + self.lowest_point.x + self.lowest_point.z;
        let finite = sum.value.is_finite()
            && places.value.is_finite()
            && haul.iter().all(|value| value.is_finite())
            && (self.on_head.magnitude() + self.on_far.magnitude()).value.is_finite();
        if !(finite && self.report.residual <= LOOSEST) {
            let residual = if finite { self.report.residual } else { f64::INFINITY };
            return Err(CarriageError::Unsolved { iterations: self.report.iterations, residual });
        }
        positive("track_length", self.track_length)?;
        Ok(self)
    }

    /// The pull of both parts of the track on the carriage.
    ///
    /// F = T₁·e₁ + T₂·e₂
    #[must_use]
    pub fn on_carriage_by_track(&self) -> Force2 {
        let ((h1, v1), (h2, v2)) = (self.shape.upper, self.shape.lower);
        self.shape.force(h2 - h1, v1 + v2)
    }

    /// The strain of the track where its tension is greatest.
    ///
    /// A track is solved for any strain, also one at which every rope has long parted: compare this with the range
    /// in which your rope's stretch was measured. The rig refuses strains above 50 %.
    #[must_use]
    pub fn greatest_strain(&self) -> Ratio {
        let TrackTension { head, carriage_upper, carriage_lower, far } = self.tension;
        let greatest = head.value.max(carriage_upper.value).max(carriage_lower.value).max(far.value);
        ratio(self.shape.law.stretch.strain_at(greatest))
    }

    /// What a solution nearby may begin from: whether it is seen from the far anchor, and its unknowns.
    pub(super) fn warm(&self) -> Option<(bool, Unknowns)> {
        self.shape.warm
    }

    /// The point of the track at an unstretched distance along it from the head, and the tension there.
    ///
    /// # Errors
    /// Unless `arc` is from zero to the length of the track.
    pub fn along(&self, arc: Length) -> Result<(Point2, Force), InputError> {
        let arc = within("arc", arc, 0.0, self.track_length.value)?;
        let from_carriage = self.upper_length.value - arc;
        let (point, tension_n) = self.shape.along(from_carriage > 0.0, from_carriage.abs());
        Ok((point, newtons(tension_n)))
    }

    /// Fills `points` with the shape of the track, from the head to the far anchor in even steps along the rope.
    ///
    /// The carriage's own place lies between two of them: see [`CarriageState::position`].
    pub fn draw(&self, points: &mut [Point2]) {
        let steps = points.len().saturating_sub(1).max(1) as f64;
        for (i, point) in points.iter_mut().enumerate() {
            let from_carriage = self.upper_length.value - self.track_length.value * (i as f64 / steps);
            *point = self.shape.along(from_carriage > 0.0, from_carriage.abs()).0;
        }
    }
}
