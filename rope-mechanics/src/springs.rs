//! One point held by ropes that only pull, under a given force: what bridles and anchors share.
//!
//! Minimum over p of Σ Lᵢ·∫Tᵢ dε − F·p,  εᵢ = max(0, |p − aᵢ|/Lᵢ − 1)
//!
//! with straight, weightless ropes from the places aᵢ. The energy is convex, so that there is one equilibrium, and only
//! where ropes are slack may the point be anywhere in it.

use crate::math;
use crate::rope::Stretch;
use nalgebra::{Matrix3, Vector3};

/// The largest closing error of an answer, by its largest force.
const CLOSED: f64 = 1e-9;
/// How well the forces balance, by the load, before the next stage.
const NEAR: f64 = 1e-6;
/// From one stage of stiffness to the next.
const STAGE: f64 = 30.0;
/// Newton steps at each stage of stiffness, and halvings along a step.
const STEPS: u32 = 200;
const HALVINGS: u32 = 60;

/// Up to N of them, from where the point is now.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Springs<const N: usize>(pub(crate) [Option<Spring>; N]);

/// A rope that is straight from its own anchor to the point.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Spring {
    /// From its anchor to the point.
    run: Vector3<f64>,
    distance_m: f64,
    /// Without load.
    length_m: f64,
    stretch: Stretch,
    /// ℓ − L, negative for slack.
    longer_m: f64,
    /// At a tension as large as the load.
    stiffness_n_per_m: f64,
}

/// A spring after a shift of the point.
struct Pulled {
    /// From its anchor to the point.
    unit: Vector3<f64>,
    tension_n: f64,
    /// Stiffness along and across.
    along: f64,
    across: f64,
}

impl Spring {
    /// From its anchor by `run`, so much longer than its unstretched length (negative: slack by so much).
    pub(crate) fn new(
        run: Vector3<f64>,
        length_m: f64,
        longer_m: f64,
        stretch: Stretch,
        load_n: f64,
    ) -> Self {
        let distance_m = math::sqrt(run.norm_squared());
        // dT/dℓ = T'(ε)/L
        let stiffness_n_per_m = stretch.tangent_at(stretch.strain_at(load_n)) / length_m;
        Self { run, distance_m, length_m, stretch, longer_m, stiffness_n_per_m }
    }

    /// Its run, distance and lengthening after a shift.
    fn shifted(&self, shift: Vector3<f64>) -> (Vector3<f64>, f64, f64) {
        let now = self.run + shift;
        let distance_m = math::sqrt(now.norm_squared());
        // ℓ' − ℓ = (2·run·u + u²)/(ℓ' + ℓ), without the cancellation
        let more = (2.0 * self.run.dot(&shift) + shift.norm_squared()) / (distance_m + self.distance_m);
        (now, distance_m, self.longer_m + more)
    }

    /// Softened so that it is no stiffer than this under the load.
    fn pull(&self, shift: Vector3<f64>, cap: f64) -> Pulled {
        let (now, distance_m, longer_m) = self.shifted(shift);
        if longer_m > 0.0 && distance_m > 0.0 {
            let softer = (cap / self.stiffness_n_per_m).min(1.0);
            // ε = (ℓ − L)/L
            let strain = longer_m / self.length_m;
            let tension_n = softer * self.stretch.tension_at(strain);
            let along = softer * self.stretch.tangent_at(strain) / self.length_m;
            Pulled { unit: now / distance_m, tension_n, along, across: tension_n / distance_m }
        } else {
            Pulled { unit: Vector3::zeros(), tension_n: 0.0, along: 0.0, across: 0.0 }
        }
    }
}

impl<const N: usize> Springs<N> {
    fn all(&self) -> impl Iterator<Item = &Spring> {
        self.0.iter().flatten()
    }

    /// Moves the point.
    ///
    /// From there on small shifts keep all their digits, so that the forces of stiff springs close as well as
    /// those of soft ones. What rounding there is in the lengths is some 1e-15 of them.
    fn shift(&mut self, shift: Vector3<f64>) {
        for spring in self.0.iter_mut().flatten() {
            (spring.run, spring.distance_m, spring.longer_m) = spring.shifted(shift);
        }
    }

    /// F − Σ Tᵢ·uᵢ
    fn unbalanced(&self, shift: Vector3<f64>, load: Vector3<f64>, cap: f64) -> Vector3<f64> {
        self.all().fold(load, |left, spring| {
            let p = spring.pull(shift, cap);
            left - p.unit * p.tension_n
        })
    }

    /// Σ T'(ε)/L·u·uᵀ + T/ℓ·(I − u·uᵀ)
    fn stiffness(&self, cap: f64) -> Matrix3<f64> {
        self.all().fold(Matrix3::zeros(), |sum, spring| {
            let p = spring.pull(Vector3::zeros(), cap);
            let line = p.unit * p.unit.transpose();
            if p.along == 0.0 { sum } else { sum + line * p.along + (Matrix3::identity() - line) * p.across }
        })
    }

    /// The longest of all lengths and distances.
    pub(crate) fn longest_m(&self) -> f64 {
        self.all().fold(0.0, |m: f64, s| m.max(s.length_m).max(s.distance_m))
    }

    /// Tensions where the point is.
    pub(crate) fn tensions_n(&self) -> [f64; N] {
        let tension = |spring: Spring| spring.pull(Vector3::zeros(), f64::INFINITY).tension_n;
        self.0.map(|spring| spring.map_or(0.0, tension))
    }

    /// Tensions where the point is, and the closing error by the largest force; `None` if it is too large.
    pub(crate) fn certified(&self, load: Vector3<f64>, load_n: f64) -> Option<([f64; N], f64)> {
        let tensions_n = self.tensions_n();
        let largest_n = tensions_n.iter().fold(load_n, |m: f64, t| m.max(*t));
        let residual = self.unbalanced(Vector3::zeros(), load, f64::INFINITY).amax() / largest_n;
        (residual <= CLOSED).then_some((tensions_n, residual))
    }

    /// Moves the point to where the springs balance the load, `first` to a place from which to begin, until the forces
    /// close to `closed` of the load. How far it moved, and the steps it took.
    ///
    /// Newton with a line search on the directional derivative, which is monotone along the step since the energy is
    /// convex. First with no spring stiffer than that the load stretches it by a thirtieth of the longest, which any
    /// start leads to; then this cap 30 times as high, time after time, each time from the answer before. So the soft
    /// springs find their place before the stiff ones make the valley of the energy narrow.
    pub(crate) fn settle(
        &mut self,
        load: Vector3<f64>,
        load_n: f64,
        first: Vector3<f64>,
        closed: f64,
    ) -> Option<(Vector3<f64>, u32)> {
        let longest = self.longest_m();
        let stiffest = self.all().fold(0.0, |m: f64, s| m.max(s.stiffness_n_per_m));
        let mut cap = STAGE * load_n / longest;
        let mut moved = first;
        self.shift(moved);
        let mut steps = 0;
        loop {
            let enough = if cap < stiffest { NEAR } else { closed };
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
            cap *= STAGE;
        }
    }

    /// The Newton step, with a little stiffness added where the springs have none.
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::newtons;

    #[test]
    fn a_point_off_its_place_is_refused() {
        let stretch = Stretch::linear(newtons(40e3)).unwrap();
        let load = Vector3::new(0.0, 0.0, -2000.0);
        let at =
            |x: f64| Spring::new(Vector3::new(x, 0.0, -3.0), 3.5, math::hypot(x, 3.0) - 3.5, stretch, 2000.0);
        let mut springs = Springs([Some(at(2.0)), Some(at(-2.0)), None]);
        assert!(springs.certified(load, 2000.0).is_none(), "not yet settled");
        springs.settle(load, 2000.0, load * 3e-3, 1e-14).unwrap();
        let (tensions_n, residual) = springs.certified(load, 2000.0).unwrap();
        assert!(residual < 1e-12 && tensions_n[2] == 0.0 && (tensions_n[0] - tensions_n[1]).abs() < 1e-9);
        // 1 μm off, and a load that is a millionth larger.
        assert!(springs.certified(load * 1.000_001, 2000.0).is_none());
        springs.shift(Vector3::new(0.0, 0.0, 1e-6));
        assert!(springs.certified(load, 2000.0).is_none());
        springs.shift(Vector3::new(f64::NAN, 0.0, 0.0));
        assert!(springs.certified(load, 2000.0).is_none());
    }
}
