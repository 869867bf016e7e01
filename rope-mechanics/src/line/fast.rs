//! The quick way to the half-range: a closed first guess and two or three of Halley's steps, without a bracket.
//!
//! It answers only where it can certify its answer, and leaves all else to [`scalar::robust`].
//!
//! [`scalar::robust`]: super::scalar::robust

use super::deep::deep;
use super::scalar::{HalfRange, Hyperbolic, Shape};
use crate::math;

/// Steps before the robust way is taken.
const MOST_STEPS: u32 = 4;
/// Halley's steps cube the error: after one this small, relative to u, it is worth looking at the residual.
const LAST_STEP: f64 = 1e-4;
/// Residual, relative to u, that is good enough: a tenth of what is promised.
const GOOD: f64 = 1e-13;
/// Beyond, the equation is too steep for this way, and the series too short: [`deep`] takes over.
const HIGHEST: f64 = 3.0;
/// From this u² of the first guess on the line hangs deep.
const DEEP: f64 = 7.0;
/// Below, powers of u leave the range of the numbers.
const LOWEST: f64 = 1e-18;

/// u, or `None` where the residual isn't certified.
#[inline(always)]
pub(super) fn fast(shape: &Shape) -> Option<HalfRange> {
    let Shape { x, z, s, eps, .. } = *shape;
    let (x2, z2) = (x * x, z * z);
    let line = Coefficients { x2, z2_eps: z2 * eps, s, eps };
    let u2 = guess(x, x2, z2, eps);
    // Far beyond, the first guess is negative or no number.
    if !(0.0..DEEP).contains(&u2) {
        return deep(shape);
    }
    let mut u = line.roughly(u2);
    for iterations in 2..=MOST_STEPS {
        let last = line.last_step(u);
        if last.good {
            return Some(HalfRange { iterations, ..last.found });
        }
        if !(u > LOWEST && u < HIGHEST) {
            return if u >= HIGHEST { deep(shape) } else { None };
        }
        u += last.du;
    }
    None
}

/// The same in two steps and without a branch, for many lines side by side; and whether it is certified.
#[inline(always)]
#[allow(clippy::manual_range_contains, reason = "`contains` branches")]
pub(super) fn in_two_steps(x: f64, z: f64, s: f64, eps: f64) -> (HalfRange, bool) {
    let (x2, z2) = (x * x, z * z);
    let line = Coefficients { x2, z2_eps: z2 * eps, s, eps };
    let u2 = guess(x, x2, z2, eps);
    let last = line.last_step(line.roughly(u2));
    (last.found, last.good & (u2 >= 0.0) & (u2 < DEEP))
}

/// A step that may be the last one.
struct LastStep {
    du: f64,
    found: HalfRange,
    good: bool,
}

/// G(u) = x²(1+k)² + z²(1−e)², with 1 + k = S/(u+ε), D = S + εC and e = εC/D, S = sinh u and C = cosh u.
struct Coefficients {
    x2: f64,
    z2_eps: f64,
    s: f64,
    eps: f64,
}

impl Coefficients {
    /// D²·(G−1), and D.
    #[inline(always)]
    fn gap(&self, k: f64, f: &Hyperbolic) -> (f64, f64) {
        let d = f.sinh + self.eps * f.cosh;
        // D²(G−1) = D²[x²·k(2+k) − s] − z²·εC(S+D)
        let flat = self.x2 * (k * (2.0 + k)) - self.s;
        (d * d * flat - (self.z2_eps * f.cosh) * (f.sinh + d), d)
    }

    /// Halley's step, and D³·G'/2.
    #[inline(always)]
    fn step(&self, u: f64, f: &Hyperbolic) -> (f64, f64) {
        let Self { x2, z2_eps, eps, .. } = *self;
        // k = (S−u−ε)/(u+ε),  k' = (C−1−k)/(u+ε),  k" = (S−2k')/(u+ε)
        let by = 1.0 / (u + eps);
        let k = (f.sinh_less_u - eps) * by;
        let k1 = (f.cosh_less_1 - k) * by;
        let k2 = (f.sinh - 2.0 * k1) * by;
        let (gap, d) = self.gap(k, f);
        let d2 = d * d;
        // e' = −ε/D²:  D³·G'/2 = D³·x²(1+k)k' + z²·εS
        let g1 = d * d2 * (x2 * ((1.0 + k) * k1)) + z2_eps * f.sinh;
        // D⁴·G"/2 = D⁴·x²[k'² + (1+k)k"] + z²·ε(ε − 2S(C+εS))
        let bend = eps - 2.0 * f.sinh * (f.cosh + eps * f.sinh);
        let g2 = d2 * d2 * (x2 * (k1 * k1 + (1.0 + k) * k2)) + z2_eps * bend;
        (-(d * gap) * g1 / (2.0 * g1 * g1 - 0.5 * gap * g2), g1)
    }

    /// From the first guess, as u², by a step that only has to find the neighbourhood.
    #[inline(always)]
    fn roughly(&self, u2: f64) -> f64 {
        let u = math::sqrt(u2);
        u + self.step(u, &Hyperbolic::roughly(u, u2)).0
    }

    /// Halley's step from u, and what it leaves of the equation. NaN is not good.
    #[inline(always)]
    fn last_step(&self, u: f64) -> LastStep {
        let f = Hyperbolic::by_series(u);
        let (du, slope) = self.step(u, &f);
        let near = (u > LOWEST) & (u < HIGHEST) & (du.abs() <= LAST_STEP * u);
        let third = du * (1.0 / 3.0);
        // Put the answer back: sinh and cosh move with u by their own series, to du⁴/24.
        let sinh_less_u = f.sinh_less_u + du * (f.cosh_less_1 + 0.5 * du * (f.sinh + f.cosh * third));
        let cosh_less_1 = f.cosh_less_1 + du * (f.sinh + 0.5 * du * (f.cosh + f.sinh * third));
        let u = u + du;
        let f = Hyperbolic { sinh: u + sinh_less_u, sinh_less_u, cosh: 1.0 + cosh_less_1, cosh_less_1 };
        let span_by = 1.0 / (u + self.eps);
        let (gap, d) = self.gap((sinh_less_u - self.eps) * span_by, &f);
        let residual = (0.5 * gap * d / (slope * u)).abs();
        let found = HalfRange { u, span_by, rise_by: f.cosh / d, iterations: 2, residual };
        LastStep { du, found, good: near & (residual <= GOOD) }
    }
}

/// A first guess of u, good to a tenth, as u²: from [`DEEP`] on, negative or no number where the line hangs deep.
///
/// For small u the equation is u³ = p·u + q, and u² = q^⅔·φ(p/q^⅔) with φ(σ) = σ + 1/(1+0.3σ) where the rope is slack,
/// 1/(1 − 0.16σ + σ²) where it is taut. Larger u² are drawn in by (60−u²)/(60+u²).
#[inline(always)]
fn guess(x: f64, x2: f64, z2: f64, eps: f64) -> f64 {
    // c² = x² + z² = 1 − s, not to the last digit; c nearly so where it matters
    let c2 = x2 + z2;
    let c = 0.5 + 0.5 * c2;
    let s = 1.0 - c2;
    let slack = s >= 0.0;
    // p = a/b = 6s/(x² + x√(x²+s)) or 6cs/(x²(1+c)),  q = 6εc/x²,  r = q^⅔·b
    let a = 6.0 * s * pick(slack, 1.0, c);
    let b = pick(slack, x2 + x * math::sqrt(1.0 - z2), x2 * (1.0 + c));
    let r = two_thirds_power(6.0 * eps / x2 * c) * b;
    let (a2, r2) = (a * a, r * r);
    let more = r + 0.3 * a;
    // u² = n/d
    let n = pick(slack, a * more + r2, r2 * r);
    let d = b * pick(slack, more, r2 - 0.16 * (a * r) + a2);
    n * (60.0 * d - n) / (d * (60.0 * d + n))
}

/// The same as u, if it is any good.
pub(super) fn start(x: f64, z: f64, eps: f64) -> Option<f64> {
    let u2 = guess(x, x * x, z * z, eps);
    (0.0..DEEP).contains(&u2).then(|| math::sqrt(u2))
}

/// One of two numbers, both at hand, without a branch: whether a rope is slack can't be guessed ahead.
#[inline(always)]
fn pick(first: bool, a: f64, b: f64) -> f64 {
    let mask = u64::from(first).wrapping_neg();
    f64::from_bits((a.to_bits() & mask) | (b.to_bits() & !mask))
}

/// q^⅔ to 6 %: two thirds of the exponent, and straight between powers of 2.
#[inline(always)]
fn two_thirds_power(q: f64) -> f64 {
    // 2³³/3 of the upper half
    f64::from_bits(0x154F_E3DB_440E_3466 + (q.to_bits() >> 32) * 0xAAAA_AAAB)
}

#[cfg(test)]
mod tests {
    use super::{fast, start, two_thirds_power};
    use crate::line::scalar::{Shape, robust};

    /// Flat to 57.5°, 3 % of strain to 50 % of slack, light to heavy for their stiffness.
    fn lines_as_they_are_rigged() -> Vec<Shape> {
        let mut shapes = Vec::new();
        for i in 0..24 {
            let slope = f64::from(i) * 2.5_f64.to_radians();
            for part in [0.97, 0.99, 0.999, 0.9999, 1.0, 1.0001, 1.001, 1.01, 1.03, 1.1, 1.2, 1.3, 1.5] {
                for eps in [1e-6, 1e-5, 1e-4, 1e-3, 1e-2] {
                    shapes.push(Shape::new(slope.cos(), slope.sin(), part, eps));
                }
            }
        }
        shapes
    }

    #[test]
    fn lines_as_they_are_rigged_take_the_quick_way() {
        let (mut lines, mut steps) = (0, [0; 5]);
        for shape in lines_as_they_are_rigged() {
            let (slow, found) = (robust(&shape), fast(&shape).unwrap());
            lines += 1;
            steps[found.iterations as usize] += 1;
            assert!((found.u / slow.u - 1.0).abs() < 1e-12, "{shape:?} {found:?} {slow:?}");
        }
        println!("{steps:?}");
        // Two steps, and seldom a third.
        assert!(steps[2] * 20 > lines * 19 && steps[4] == 0, "{steps:?}");
    }

    #[test]
    fn the_first_guess_is_good_to_a_tenth() {
        for Shape { x, z, s, z_1, eps } in lines_as_they_are_rigged() {
            let u = robust(&Shape { x, z, s, z_1, eps }).u;
            let first = start(x, z, eps).unwrap();
            assert!((first / u - 1.0).abs() < 0.11, "{x} {z} {s} {eps}: {first} {u}");
        }
    }

    #[test]
    fn two_thirds_of_a_power_are_good_to_a_few_percent() {
        let mut worst = 0.0_f64;
        for i in -4000..4000 {
            let q = (f64::from(i) * 0.05).exp();
            worst = worst.max((two_thirds_power(q) / q.powf(2.0 / 3.0) - 1.0).abs());
        }
        assert!(worst < 0.06, "{worst}");
    }
}
