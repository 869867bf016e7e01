//! Where the master point of an anchor comes to, however far it moves.
//!
//! Minimum over p of Σ ½·kᵢ·max(0, |p − aᵢ| − Lᵢ)² − F·p, which is convex.

use super::sharing::{Anchor, MOST_LEGS};
use crate::math;
use nalgebra::{Matrix3, Vector3};

/// The largest closing error of an answer, by its largest force.
const CLOSED: f64 = 1e-9;
/// Newton steps at each stage of stiffness, and halvings along a step.
const STEPS: u32 = 200;
const HALVINGS: u32 = 60;

/// The legs as springs from the master point where it is.
pub(super) struct Springs([Option<Spring>; MOST_LEGS]);

struct Spring {
    /// From the leg's anchor to the master point.
    run: Vector3<f64>,
    distance_m: f64,
    /// Without load.
    length_m: f64,
    /// ℓ − L, negative for slack.
    stretch_m: f64,
    stiffness_n_per_m: f64,
}

/// A spring after a shift of the master point.
struct Pulled {
    /// From the leg's anchor to the master point.
    unit: Vector3<f64>,
    tension_n: f64,
    /// Stiffness along and across.
    along: f64,
    across: f64,
}

impl Spring {
    /// Its run, distance and stretch after a shift.
    fn shifted(&self, shift: Vector3<f64>) -> (Vector3<f64>, f64, f64) {
        let now = self.run + shift;
        let distance_m = math::sqrt(now.norm_squared());
        // ℓ' − ℓ = (2·run·u + u²)/(ℓ' + ℓ), without the cancellation
        let more = (2.0 * self.run.dot(&shift) + shift.norm_squared()) / (distance_m + self.distance_m);
        (now, distance_m, self.stretch_m + more)
    }

    /// With no more than this stiffness.
    fn pull(&self, shift: Vector3<f64>, cap: f64) -> Pulled {
        let (now, distance_m, stretch_m) = self.shifted(shift);
        let along = self.stiffness_n_per_m.min(cap);
        if stretch_m > 0.0 && distance_m > 0.0 {
            let tension_n = along * stretch_m;
            Pulled { unit: now / distance_m, tension_n, along, across: tension_n / distance_m }
        } else {
            Pulled { unit: Vector3::zeros(), tension_n: 0.0, along: 0.0, across: 0.0 }
        }
    }
}

impl Springs {
    /// The legs of an anchor, but for one that is lost.
    pub(super) fn of(anchor: &Anchor, lost: Option<usize>) -> Self {
        let mut springs = [const { None }; MOST_LEGS];
        for (index, (spring, leg)) in springs.iter_mut().zip(anchor.legs.iter().flatten()).enumerate() {
            if lost != Some(index) {
                let run = anchor.master_m - leg.at_m;
                let distance_m = math::sqrt(run.norm_squared());
                let length_m = distance_m + leg.slack_m;
                let stiffness_n_per_m = leg.stiffness_n / length_m;
                *spring =
                    Some(Spring { run, distance_m, length_m, stretch_m: -leg.slack_m, stiffness_n_per_m });
            }
        }
        Self(springs)
    }

    fn all(&self) -> impl Iterator<Item = &Spring> {
        self.0.iter().flatten()
    }

    /// Moves the master point.
    ///
    /// From there on small shifts keep all their digits, so that the forces of stiff legs close as well as those
    /// of soft ones. What rounding there is in the lengths is some 1e-15 of them.
    fn shift(&mut self, shift: Vector3<f64>) {
        for spring in self.0.iter_mut().flatten() {
            (spring.run, spring.distance_m, spring.stretch_m) = spring.shifted(shift);
        }
    }

    /// F − Σ Tᵢ·uᵢ
    fn unbalanced(&self, shift: Vector3<f64>, load: Vector3<f64>, cap: f64) -> Vector3<f64> {
        self.all().fold(load, |left, spring| {
            let p = spring.pull(shift, cap);
            left - p.unit * p.tension_n
        })
    }

    /// Σ kᵢ·(u·uᵀ + (1 − L/ℓ)(I − u·uᵀ))
    fn stiffness(&self, cap: f64) -> Matrix3<f64> {
        self.all().fold(Matrix3::zeros(), |sum, spring| {
            let p = spring.pull(Vector3::zeros(), cap);
            let line = p.unit * p.unit.transpose();
            if p.along == 0.0 { sum } else { sum + line * p.along + (Matrix3::identity() - line) * p.across }
        })
    }

    /// Tensions where the master point is, and the closing error by the largest force; `None` if it is too large.
    pub(super) fn certified(&self, load: Vector3<f64>, load_n: f64) -> Option<([f64; MOST_LEGS], f64)> {
        let mut tensions_n = [0.0; MOST_LEGS];
        for (tension, spring) in tensions_n.iter_mut().zip(&self.0) {
            *tension = spring.as_ref().map_or(0.0, |s| s.pull(Vector3::zeros(), f64::INFINITY).tension_n);
        }
        let largest_n = tensions_n.iter().fold(load_n, |m: f64, t| m.max(*t));
        let residual = self.unbalanced(Vector3::zeros(), load, f64::INFINITY).amax() / largest_n;
        (residual <= CLOSED).then_some((tensions_n, residual))
    }

    /// Moves the master point to where the legs balance the load. How far it moved, and the steps it took.
    ///
    /// Newton with a line search on the directional derivative, which is monotone along the step since the energy
    /// is convex. First with no leg stiffer than that it stretches about as much as it is long, which any start
    /// leads to; then this cap ten times as high again and again, each time from the answer before. So the soft
    /// legs find their place before the stiff ones make the valley of the energy narrow.
    pub(super) fn settle(&mut self, load: Vector3<f64>, load_n: f64) -> Option<(Vector3<f64>, u32)> {
        let longest = self.all().fold(0.0, |m: f64, s| m.max(s.length_m));
        let stiffest = self.all().fold(0.0, |m: f64, s| m.max(s.stiffness_n_per_m));
        let mut cap = load_n / longest;
        let mut moved = load * (2.0 * longest / load_n);
        self.shift(moved);
        let mut steps = 0;
        loop {
            let enough = if cap < stiffest { 1e-6 } else { 1e-14 };
            let mut best = f64::INFINITY;
            let mut idle = 0;
            for _ in 0..STEPS {
                let left = self.unbalanced(Vector3::zeros(), load, cap);
                let error = left.amax() / load_n;
                // Rounding has the last word: stop when it no longer gets better.
                idle = if error < 0.5 * best { 0 } else { idle + 1 };
                best = best.min(error);
                if error <= enough || (error < CLOSED && idle > 2) {
                    break;
                }
                steps += 1;
                let step = self.newton(left, cap, load_n / longest)?;
                let step = step * self.stride(step, load, cap);
                self.shift(step);
                moved += step;
            }
            if cap >= stiffest {
                return Some((moved, steps));
            }
            cap *= 10.0;
        }
    }

    /// The Newton step, with a little stiffness added where the legs have none.
    fn newton(&self, left: Vector3<f64>, cap: f64, soft: f64) -> Option<Vector3<f64>> {
        let matrix = self.stiffness(cap);
        let mut added = 0.0;
        for _ in 0..40 {
            if let Some(cholesky) = (matrix + Matrix3::identity() * added).cholesky() {
                let step = cholesky.solve(&left);
                if step.iter().all(|x| x.is_finite()) {
                    return Some(step);
                }
            }
            added = if added == 0.0 { 1e-3 * soft } else { added * 10.0 };
        }
        None
    }

    /// How much of the step to take: all of it, or where the force along it has fallen to half.
    fn stride(&self, step: Vector3<f64>, load: Vector3<f64>, cap: f64) -> f64 {
        let slope = |t: f64| self.unbalanced(step * t, load, cap).dot(&step);
        let start = slope(0.0);
        if slope(1.0) >= -0.9 * start {
            return 1.0;
        }
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..HALVINGS {
            let half = 0.5 * (low + high);
            let there = slope(half);
            if there.abs() <= 0.5 * start {
                return half;
            }
            *(if there > 0.0 { &mut low } else { &mut high }) = half;
        }
        0.5 * (low + high)
    }
}
