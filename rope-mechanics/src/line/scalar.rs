//! The one equation behind a line, in plain numbers: shape in, half-range u out.
//!
//! With x = X/L, z = |Z|/L, ε = wL/(2EA), t = tanh u, the two equations of the elastic catenary (Irvine, Cable
//! Structures, 1981) reduce exactly to
//!
//! G(u) = [x·sinh u/(u+ε)]² + [z·t/(t+ε)]² = 1
//!
//! Both brackets grow with u, from G(0) = 0 to G(∞) = ∞, so there is one root, slack or taut, flat or steep.

use super::{deep, fast};
use crate::math::{self, double::square};

/// What the equation needs to know of a line. All of it free of units.
#[derive(Debug, Clone, Copy)]
pub(super) struct Shape {
    /// x = X/L
    pub(super) x: f64,
    /// z = |Z|/L
    pub(super) z: f64,
    /// z − 1, from |Z| − L
    pub(super) z_1: f64,
    /// s = (L² − X² − Z²)/L², free of cancellation
    pub(super) s: f64,
    /// ε = wL/(2EA)
    pub(super) eps: f64,
}

impl Shape {
    /// The line from support to support.
    #[inline]
    pub(super) fn new(span_m: f64, rise_m: f64, length_m: f64, eps: f64) -> Self {
        let drop_m = rise_m.abs();
        Self {
            x: span_m / length_m,
            z: drop_m / length_m,
            z_1: (drop_m - length_m) / length_m,
            s: excess(span_m, drop_m, length_m) / (length_m * length_m),
            eps,
        }
    }

    /// The same with the second support `short_m` (level, up) nearer the first.
    pub(super) fn shortened(span_m: f64, rise_m: f64, length_m: f64, eps: f64, short_m: (f64, f64)) -> Self {
        let (dx, dz) = if rise_m < 0.0 { (short_m.0, -short_m.1) } else { short_m };
        let drop_m = rise_m.abs();
        // (X−δ)² = X² − δ(2X−δ)
        let nearer = dx * (2.0 * span_m - dx) + dz * (2.0 * drop_m - dz);
        let z = (drop_m - dz) / length_m;
        Self {
            x: (span_m - dx) / length_m,
            z: z.abs(),
            z_1: if z >= 0.0 { ((drop_m - length_m) - dz) / length_m } else { -z - 1.0 },
            s: (excess(span_m, drop_m, length_m) + nearer) / (length_m * length_m),
            eps,
        }
    }
}

/// L² − X² − Z², rounded about once.
///
/// Where the squares nearly cancel their differences are exact (each within a factor of two of the other), and what
/// is left are the errors of the products. Elsewhere one rounding does no harm.
#[inline]
pub(super) fn excess(x: f64, z: f64, l: f64) -> f64 {
    let ((l2, l2_low), (x2, x2_low), (z2, z2_low)) = (square(l), square(x), square(z));
    let (big, small) = (x2.max(z2), x2.min(z2));
    let first = l2 - big;
    let lost = (l2 - first) - big;
    (first - small) + (lost + (l2_low - (x2_low + z2_low)))
}

/// sinh u, sinh u − u, cosh u and cosh u − 1, each good to the last digits.
#[derive(Debug, Clone, Copy)]
pub(super) struct Hyperbolic {
    pub(super) sinh: f64,
    pub(super) sinh_less_u: f64,
    pub(super) cosh: f64,
    pub(super) cosh_less_1: f64,
}

/// Up to here the series of [`Hyperbolic`] hold to the last digit: the first term left out is below 1e-18.
const SERIES_UP_TO: f64 = 1.5;
impl Hyperbolic {
    #[inline]
    pub(super) fn of(u: f64) -> Self {
        if u < SERIES_UP_TO {
            Self::by_series(u)
        } else {
            let e = math::exp(u);
            let (sinh, cosh) = (0.5 * (e - 1.0 / e), 0.5 * (e + 1.0 / e));
            Self { sinh, sinh_less_u: sinh - u, cosh, cosh_less_1: cosh - 1.0 }
        }
    }

    /// By the series alone, good to 2e-16 up to u = 3: the first term left out is u²⁶/27! there.
    #[inline]
    pub(super) fn by_series(u: f64) -> Self {
        let y = u * u;
        // sinh u − u = u³/3! + u⁵/5! + …
        let sinh_less_u = u * y * polynomial(y, &ODD);
        // cosh u − 1 = u²/2! + u⁴/4! + …
        let cosh_less_1 = y * polynomial(y, &EVEN);
        Self { sinh: u + sinh_less_u, sinh_less_u, cosh: 1.0 + cosh_less_1, cosh_less_1 }
    }

    /// By its first terms, from u and u²: to five digits up to u = 1.5, to three up to 3.
    #[inline]
    pub(super) fn roughly(u: f64, u2: f64) -> Self {
        let first = |[a, b, c, d, ..]: [f64; 12]| (a + b * u2) + u2 * u2 * (c + d * u2);
        let sinh_less_u = u * (u2 * first(ODD));
        let cosh_less_1 = u2 * first(EVEN);
        Self { sinh: u + sinh_less_u, sinh_less_u, cosh: 1.0 + cosh_less_1, cosh_less_1 }
    }

    pub(super) fn tanh(&self) -> f64 {
        self.sinh / self.cosh
    }
}

/// A polynomial of 12 terms, in groups that are evaluated side by side.
#[inline]
fn polynomial(y: f64, c: &[f64; 12]) -> f64 {
    let y2 = y * y;
    let y4 = y2 * y2;
    let y8 = y4 * y4;
    let group = |[a, b, c, d]: [f64; 4]| (a + b * y) + y2 * (c + d * y);
    let [c0, c1, c2, c3, c4, c5, c6, c7, c8, c9, c10, c11] = *c;
    group([c0, c1, c2, c3]) + (y4 * group([c4, c5, c6, c7]) + y8 * group([c8, c9, c10, c11]))
}

/// 1/(2k+1)! for k from 1 up, or 1/(2k)!.
#[allow(clippy::indexing_slicing, reason = "runs in the compiler only")]
const fn reciprocal_factorials(odd: bool) -> [f64; 12] {
    let mut table = [0.0; 12];
    let mut factorial = 1.0; // exact to 22!, and rounded once above
    let mut k = 1;
    while k <= 12 {
        factorial *= (2 * k) as f64;
        let even = factorial;
        factorial *= (2 * k + 1) as f64;
        table[k - 1] = 1.0 / if odd { factorial } else { even };
        k += 1;
    }
    table
}

const ODD: [f64; 12] = reciprocal_factorials(true);
const EVEN: [f64; 12] = reciprocal_factorials(false);

/// A root of the equation.
#[derive(Debug, Clone, Copy)]
pub(super) struct HalfRange {
    /// u = ½(asinh(V_B/H) − asinh(V_A/H))
    pub(super) u: f64,
    /// 1/(u + ε)
    pub(super) span_by: f64,
    /// 1/(tanh u + ε)
    pub(super) rise_by: f64,
    pub(super) iterations: u32,
    /// How far the next step would move u, by u.
    pub(super) residual: f64,
}

/// Below this u is found from M, above from a logarithm.
const LOG_FROM: f64 = 1.2;
const MOST_ITERATIONS: u32 = 400;
/// An error this small is gone after one more step, since each step at least squares it.
const LAST_ERROR: f64 = 1e-9;
/// No line with x ≥ 1e-280 has a larger u.
const HIGHEST: f64 = 700.0;

/// A look at the equation from one u.
struct RootStep {
    /// Whether the root is below.
    beyond: bool,
    /// Where to: u + du.
    du: f64,
    /// Whether du, which at least squares the error, ends the search.
    last: bool,
}

fn step(shape: &Shape, u: f64) -> RootStep {
    if u < LOG_FROM { power_step(shape, u) } else { log_step(shape, u) }
}

/// u, by Halley's or Newton's steps inside a bracket: never fails for a shape with x > 0 and, where ε = 0, s > 0.
pub(super) fn robust(shape: &Shape) -> HalfRange {
    let mut lo = 0.0_f64;
    let mut hi = HIGHEST;
    let mut u = start(shape);
    if !(u > 0.0 && u < HIGHEST) {
        u = 1.0;
    }
    let mut iterations = 0;
    loop {
        iterations += 1;
        let RootStep { beyond, du, last } = step(shape, u);
        if beyond {
            hi = hi.min(u);
        } else {
            lo = lo.max(u);
        }
        let mut next = u + du;
        if last || iterations == MOST_ITERATIONS {
            let again = if next > 0.0 { step(shape, next).du } else { f64::NAN };
            // Next to a pole the last step, a rounding long, may end on it: then the answer is the one before.
            let (u, error) = if again.is_finite() { (next, again) } else { (u, du) };
            return HalfRange {
                u,
                span_by: 1.0 / (u + shape.eps),
                rise_by: 1.0 / (tanh(u) + shape.eps),
                iterations,
                residual: error.abs() / u,
            };
        }
        if !(next > lo && next < hi) {
            // The step leaves the bracket: halve it instead, in the logarithm where it spans more than a factor.
            next = if lo == 0.0 {
                hi / 16.0
            } else if lo < 0.25 * hi {
                math::sqrt(lo) * math::sqrt(hi)
            } else {
                0.5 * (lo + hi)
            };
            if next <= lo || next >= hi {
                // Neighbours among the numbers: there is nothing between them.
                return HalfRange {
                    u,
                    span_by: 1.0 / (u + shape.eps),
                    rise_by: 1.0 / (tanh(u) + shape.eps),
                    iterations,
                    residual: (hi - lo) / u,
                };
            }
        }
        u = next;
    }
}

fn tanh(u: f64) -> f64 {
    if u < 20.0 { Hyperbolic::of(u).tanh() } else { 1.0 }
}

/// A first guess: that of the quick ways, or what holds a plumb rope taut.
fn start(shape: &Shape) -> f64 {
    let Shape { x, z, z_1, eps, .. } = *shape;
    if let Some(u) = fast::start(x, z, eps).or_else(|| deep::guess(shape)) {
        return u;
    }
    // tanh u < ε/(z−1)
    let t = eps / z_1;
    if t > 0.0 && t < 1.0 { 0.5 * math::ln_1p(2.0 * t / (1.0 - t)) * (1.0 - 1e-3) } else { 20.0 }
}

/// Halley's step on M(u) = (u+ε)²(G−1).
fn power_step(shape: &Shape, u: f64) -> RootStep {
    let Shape { x, z, s, eps, .. } = *shape;
    let f = Hyperbolic::of(u);
    let (sinh, cosh) = (f.sinh, f.cosh);
    let (x2, z2) = (x * x, z * z);
    let v = u + eps;
    let d = sinh + eps * cosh;
    // e = εC/(S+εC)
    let e = eps * cosh / d;
    // M = x²(Sₘ−ε)(S+u+ε) − (u+ε)²[s + z²e(2−e)]
    let m = x2 * (f.sinh_less_u - eps) * (sinh + v) - v * v * (s + z2 * e * (2.0 - e));
    // C·S − u
    let cs_u = cosh * f.sinh_less_u + u * f.cosh_less_1;
    // q = (u+ε)S/(S+εC):  q−u = ε(Sₘ−u·Cₘ)/(S+εC),  q'−1 = −ε[(C·S−u)+ε·S²]/(S+εC)²
    let q_u = eps * (f.sinh_less_u - u * f.cosh_less_1) / d;
    let q1_1 = -eps * (cs_u + eps * sinh * sinh) / (d * d);
    let q1 = 1.0 + q1_1;
    // M'/2 = x²(C·S−u) + z²(q·q'−u) − s·u − ε
    let m1 = x2 * cs_u + z2 * (q_u * q1 + u * q1_1) - s * u - eps;
    // M''/2 ≈ 2x²S² − s + z²(q'²−1)
    let m2 = 2.0 * x2 * sinh * sinh - s + z2 * q1_1 * (q1 + 1.0);
    // Halley with M' = 2m₁ and M'' = 2m₂: du = −M·m₁/(2m₁² − ½M·m₂)
    let halley = -m * m1 / (2.0 * m1 * m1 - 0.5 * m * m2);
    let newton = -0.5 * m / m1;
    // M falls before it rises; a falling M is before the root.
    let du = if m == 0.0 {
        0.0
    } else if (0.25..4.0).contains(&(halley / newton)) {
        // Elsewhere Halley's step may end where M is flat, root or not.
        halley
    } else {
        newton
    };
    RootStep { beyond: m > 0.0, du, last: du.abs() <= LAST_ERROR * u }
}

/// Newton's step on f(u) = ln(xA) − ½ln(1 − (zB)²), A and B the ratios of G.
fn log_step(shape: &Shape, u: f64) -> RootStep {
    let Shape { x, z, z_1, eps, .. } = *shape;
    let half = math::exp(u);
    let inverse = 1.0 / half;
    let sinh = 0.5 * (half - inverse);
    // 1 − t = 2/(e²ᵘ+1)
    let one_t = 2.0 * inverse / (half + inverse);
    let t = 1.0 - one_t;
    let b = z * t / (t + eps);
    // 1 − zB = (ε − t(z−1))/(t+ε)
    let gap = ((eps - z_1) + one_t * z_1) / (t + eps);
    let a = x * (sinh / (u + eps));
    if gap <= 0.0 || !a.is_finite() {
        return RootStep { beyond: true, du: f64::NAN, last: false };
    }
    let rest = gap * (1.0 + b);
    let ratio = a * a / rest;
    // f = ½ln(A²x²/(1−(zB)²))
    let f =
        0.5 * if (0.5..2.0).contains(&ratio) { math::ln_1p((a * a - rest) / rest) } else { math::ln(ratio) };
    // zB' = zε(1−t²)/(t+ε)²
    let b1 = z * eps * one_t * (1.0 + t) / ((t + eps) * (t + eps));
    // f' = coth u − 1/(u+ε) + zB·zB'/(1−(zB)²)
    let slope = 1.0 / t - 1.0 / (u + eps) + b * b1 / rest;
    let du = -f / slope;
    RootStep { beyond: f > 0.0, du, last: f.abs() <= LAST_ERROR || du.abs() <= 0.5 * f64::EPSILON * u }
}

#[cfg(test)]
mod tests {
    use super::{Shape, excess, robust};

    /// Lines that once stopped short: span, rise, length, weight, EA.
    #[test]
    fn awkward_lines_stay_solved() {
        for [x, z, l, w, ea] in [
            // M has a flat place before its root.
            [
                1.910_363_675_687_017_8e-7,
                68.594_100_714_507_38,
                48.535_212_410_449_19,
                1_378.482_424,
                71_506.066_58,
            ],
            // The root is next to the pole where a plumb rope would be taut.
            [
                1.416e-7,
                1_765.115_717_744_888_3,
                1_761.553_598_430_834_7,
                507.753_756_079_126_6,
                236_163_897.446_993_2,
            ],
            [
                1.748e-8,
                105.208_330_514_195_61,
                105.011_040_957_230_07,
                2.777_472_183_530_682_6,
                88_763.658_474_357_57,
            ],
            [2.163e-7, 2_154.795_046_283_588_4, 2_154.267_486_734_627, 3.170_983_206e-4, 1_665.967_094_048],
            // As long as the chord; a millimetre off; half as much strain as rope, nearly plumb.
            [3.0, 4.0, 5.0, 1.7, 1e12],
            [1e-3, 50.0, 60.0, 0.735_75, 1e5],
            [1e-3, 50.0, 100.0 / 3.0, 10.0, 1e4],
        ] {
            let root = robust(&Shape::new(x, z, l, 0.5 * w * l / ea));
            assert!(root.residual < 1e-13, "{x} {z} {l} {w} {ea}: {root:?}");
        }
    }

    #[test]
    fn the_excess_over_the_chord_has_no_cancellation() {
        assert_eq!(excess(3.0, 4.0, 5.0), 0.0);
        assert_eq!(excess(33.0 / 16.0, 56.0 / 16.0, 65.0 / 16.0), 0.0);
        // (1+d)² − 1 = 2d + d², d = 2⁻⁵⁰
        let d = 2.0_f64.powi(-50);
        assert_eq!(excess(1.0, 0.0, 1.0 + d), 2.0 * d + d * d);
        assert_eq!(excess(1.0, d, 1.0), -d * d);
    }
}
