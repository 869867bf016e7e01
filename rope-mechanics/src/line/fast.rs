//! The quick way to the half-range: a closed first guess and two or three of Halley's steps, without a bracket.
//!
//! It answers only where it can certify its answer, and leaves all else to [`scalar::robust`].

use super::scalar::{HalfRange, Hyperbolic, Shape};
use crate::math;

/// Steps before the robust way is taken.
const MOST_STEPS: u32 = 4;
/// Halley's steps nearly cube the error: after one this small, relative to u, it is worth looking at the residual.
const LAST_STEP: f64 = 1e-4;
/// Residual, relative to u, that is good enough: a tenth of what is promised.
const GOOD: f64 = 1e-13;
/// Beyond, the equation is too steep for this way, and the series too short.
const HIGHEST: f64 = 3.0;

/// u, or `None` where the residual isn't certified.
#[inline(always)]
pub(super) fn fast(shape: &Shape) -> Option<HalfRange> {
    let Shape { x, z, s, eps, .. } = *shape;
    let (x2, z2) = (x * x, z * z);
    let mut u = guess(x, x2, z2, s, eps);
    for iterations in 1..=MOST_STEPS {
        // NaN fails this, too.
        if !(u > 0.0 && u < HIGHEST) {
            return None;
        }
        // The first step only has to find the neighbourhood.
        let f = if iterations == 1 { Hyperbolic::roughly(u) } else { Hyperbolic::by_series(u) };
        let (m, d_inverse) = gap(x2, z2, s, eps, u, &f);
        // C·S − u,  q − u = ε(Sₘ−u·Cₘ)/(S+εC),  q' − 1 = −ε[(C·S−u)+ε·S²]/(S+εC)²
        let cs_u = f.cosh * f.sinh_less_u + u * f.cosh_less_1;
        let q_u = eps * (f.sinh_less_u - u * f.cosh_less_1) * d_inverse;
        let q1_1 = -eps * (cs_u + eps * f.sinh * f.sinh) * (d_inverse * d_inverse);
        // M'/2 = x²(C·S−u) + z²(q·q'−u) − s·u − ε
        let m1 = x2 * cs_u + z2 * (q_u * (1.0 + q1_1) + u * q1_1) - s * u - eps;
        // M''/2 ≈ 2x²S² − s + z²(q'²−1)
        let m2 = 2.0 * x2 * (f.sinh * f.sinh) - s + z2 * q1_1 * (q1_1 + 2.0);
        let du = -m * m1 / (2.0 * m1 * m1 - 0.5 * m * m2);
        if iterations == 1 || du.abs() > LAST_STEP * u {
            u += du;
            continue;
        }
        // Put the answer back: sinh and cosh move with u by their own series, to du⁴/24.
        let sinh_less_u = f.sinh_less_u + du * (f.cosh_less_1 + 0.5 * du * (f.sinh + du * f.cosh / 3.0));
        let cosh_less_1 = f.cosh_less_1 + du * (f.sinh + 0.5 * du * (f.cosh + du * f.sinh / 3.0));
        u += du;
        let g = Hyperbolic { sinh: u + sinh_less_u, sinh_less_u, cosh: 1.0 + cosh_less_1, cosh_less_1 };
        let (left, d_inverse) = gap(x2, z2, s, eps, u, &g);
        let residual = (0.5 * left / (m1 * u)).abs();
        if residual <= GOOD {
            return Some(HalfRange { u, rise_by: g.cosh * d_inverse, iterations, residual });
        }
    }
    None
}

/// The root of u³ = p·u + q, which the equation is for small u, drawn in for larger ones.
#[inline(always)]
fn guess(x: f64, x2: f64, z2: f64, s: f64, eps: f64) -> f64 {
    let slack = s >= 0.0;
    // 1 − s = x² + z² and x² + s = 1 − z²: good enough here, and sooner at hand.
    let c = math::sqrt(x2 + z2);
    // p = 6s/(x² + x√(x²+s)) or 6cs/(x²(1+c)),  q = 6εc/x²
    let q = (6.0 / x2) * eps * c;
    let b = pick(slack, x2 + x * math::sqrt((1.0 - z2).max(0.0)), x2 * (1.0 + c));
    let p = 6.0 * s * pick(slack, 1.0, c) / b;
    let r2 = two_thirds_power(q);
    let u = pick(slack, math::sqrt(p + r2), q / (r2 - p));
    // One of Halley's steps on the cubic, and sinh's next term, √(2/(1+√(1+u²/5))), as a fraction.
    let u2 = u * u;
    let (f, f1) = ((u2 - p) * u - q, 3.0 * u2 - p);
    let drawn_in = (1.0 + 0.0625 * u2) / (1.0 + 0.0875 * u2);
    (u - f * f1 / (f1 * f1 - 3.0 * u * f)) * drawn_in
}

/// One of two numbers, both at hand, without a branch: whether a rope is slack can't be guessed ahead.
#[inline(always)]
fn pick(first: bool, a: f64, b: f64) -> f64 {
    let mask = u64::from(first).wrapping_neg();
    f64::from_bits((a.to_bits() & mask) | (b.to_bits() & !mask))
}

const THIRD: f64 = 1.0 / 3.0;

/// q^⅔ to three digits: q^−⅓ by a third of the exponent and one of Newton's steps, times q.
#[inline(always)]
fn two_thirds_power(q: f64) -> f64 {
    let y = f64::from_bits(0x553E_F0FF_289D_D796_u64.wrapping_sub(q.to_bits() / 3));
    (q * y) * (4.0 / 3.0 - (THIRD * q) * (y * y) * y)
}

/// M(u), as in the robust way, and 1/(S+εC).
#[inline(always)]
fn gap(x2: f64, z2: f64, s: f64, eps: f64, u: f64, f: &Hyperbolic) -> (f64, f64) {
    let v = u + eps;
    let d_inverse = 1.0 / (f.sinh + eps * f.cosh);
    let e = eps * f.cosh * d_inverse;
    // M = x²(Sₘ−ε)(S+u+ε) − (u+ε)²[s + z²e(2−e)]
    let m = x2 * (f.sinh_less_u - eps) * (f.sinh + v) - v * v * (s + z2 * e * (2.0 - e));
    (m, d_inverse)
}

#[cfg(test)]
mod tests {
    use super::fast;
    use crate::line::scalar::{Shape, robust};

    #[test]
    fn lines_as_they_are_rigged_take_the_quick_way() {
        let (mut lines, mut quick, mut steps) = (0, 0, [0; 8]);
        for i in 0..24 {
            let slope = f64::from(i) * 2.5_f64.to_radians();
            for part in [0.97, 0.99, 0.999, 0.9999, 1.0, 1.0001, 1.001, 1.01, 1.03, 1.1, 1.2, 1.3, 1.5] {
                for eps in [1e-6, 1e-5, 1e-4, 1e-3, 1e-2] {
                    let shape = Shape::new(slope.cos(), slope.sin(), part, eps, (0.0, 0.0));
                    let slow = robust(&shape);
                    lines += 1;
                    if let Some(found) = fast(&shape) {
                        quick += 1;
                        steps[found.iterations as usize] += 1;
                        assert!((found.u / slow.u - 1.0).abs() < 1e-12, "{shape:?} {found:?} {slow:?}");
                    } else {
                        println!("{slope} {part} {eps} {slow:?}");
                    }
                }
            }
        }
        println!("{lines} {quick} {steps:?}");
        assert_eq!(quick, lines);
        assert!(steps[4..].iter().sum::<i32>() == 0, "{steps:?}");
    }
}
