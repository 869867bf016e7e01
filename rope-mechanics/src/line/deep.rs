//! The quick way for lines that hang deep: Newton's steps on the logarithm of the equation, bent by its curvature, from
//! a first guess good to a few hundredths.
//!
//! Like [`fast`](super::fast) it answers only where it can certify its answer, and leaves all else to
//! [`scalar::robust`](super::scalar::robust).

use super::scalar::{HalfRange, Shape};
use crate::math;
use core::f64::consts::LN_2;

/// Looks at the equation: two or three are enough.
const MOST_LOOKS: u32 = 5;
/// Residual, relative to u, that is good enough.
const GOOD: f64 = 1e-14;
/// Below, tanh u is too far from 1 for the first guess; no rope of x ≥ 1e-100 comes near the upper end.
const RANGE: core::ops::Range<f64> = 1.5..300.0;
/// A step up to here takes eᵘ along by a series: its first term left out is d⁸/8!, below 2e-17.
const SHORT: f64 = 0.03;

/// u, or `None` where the residual isn't certified.
#[inline(never)]
pub(super) fn deep(shape: &Shape) -> Option<HalfRange> {
    let Shape { x, z, z_1, eps, .. } = *shape;
    let mut u = guess(shape)?;
    let mut half = math::exp(u);
    for iterations in 1..=MOST_LOOKS {
        let inverse = 1.0 / half;
        // 1 − t = 2/(e²ᵘ+1)
        let one_t = 2.0 * inverse / (half + inverse);
        let t = 1.0 - one_t;
        let (span_by, rise_by) = (1.0 / (u + eps), 1.0 / (t + eps));
        let b = z * t * rise_by;
        // 1 − (zB)², from 1 − zB = (ε − t(z−1))/(t+ε)
        let rest = ((eps - z_1) + one_t * z_1) * rise_by * (1.0 + b);
        // (xA)²
        let a = 0.5 * (half - inverse) * (x * span_by);
        let a2 = a * a;
        // f = ½ln((xA)²/(1−(zB)²)) = artanh q
        let q = (a2 - rest) / (a2 + rest);
        let f = q + q * (q * q) * (1.0 / 3.0);
        // f' = coth u − 1/(u+ε) + zB·zB'/(1−(zB)²),  zB' = zε(1−t²)/(t+ε)²,  coth u = 1 + (1−t) + (1−t)² + …
        let coth = 1.0 + one_t * (1.0 + one_t * (1.0 + one_t));
        let b1 = z * eps * one_t * (1.0 + t) * (rise_by * rise_by);
        let slope = coth - span_by + b * b1 / rest;
        // f" ≈ 1/(u+ε)² − 1/sinh²u
        let bend = span_by * span_by - 4.0 * (inverse * inverse);
        let du = -f * slope / (slope * slope - 0.5 * f * bend);
        let residual = du.abs() / u;
        if residual <= GOOD {
            return Some(HalfRange { u, span_by, rise_by, iterations, residual });
        }
        u += du;
        if !RANGE.contains(&u) {
            return None;
        }
        half = if du.abs() <= SHORT { half * exp_of_little(du) } else { math::exp(u) };
    }
    None
}

/// The root where tanh u is nearly 1: sinh u = ρ(u+ε), hence u = ln 2ρ + ln(u+ε), ρ² = (1 − z²/(1+ε)²)/x².
///
/// `None` where a plumb rope would be taut, and where u is small.
pub(super) fn guess(shape: &Shape) -> Option<f64> {
    let Shape { x, z, z_1, eps, .. } = *shape;
    let by = 1.0 / (1.0 + eps);
    let rho2 = (eps - z_1) * by * (1.0 + z * by) / (x * x);
    // NaN compares as not greater.
    if !(rho2 > 0.25 && rho2 < f64::INFINITY) {
        return None;
    }
    let ln_2rho = LN_2 + 0.5 * ln_roughly(rho2);
    let first = ln_2rho + ln_roughly(ln_2rho.max(1.0) + eps);
    let v = first + eps;
    // One of Newton's steps.
    let u = first + (ln_2rho + ln_roughly(v) - first) * v / (v - 1.0);
    RANGE.contains(&u).then_some(u)
}

/// ln x to 0.007, for normal x > 0: k + log₂m, of x = m·2ᵏ, by a parabola that is exact where m is 1 and 2.
#[inline(always)]
fn ln_roughly(x: f64) -> f64 {
    let bits = x.to_bits();
    #[allow(clippy::cast_precision_loss, reason = "an exponent")]
    let k = (bits >> 52) as f64 - 1023.0;
    let m = f64::from_bits((bits & 0x000F_FFFF_FFFF_FFFF) | 0x3FF0_0000_0000_0000);
    LN_2 * (k + (m * (2.0 - m * (1.0 / 3.0)) - 5.0 / 3.0))
}

/// eᵈ for small d.
#[inline(always)]
fn exp_of_little(d: f64) -> f64 {
    let d2 = d * d;
    let low = (1.0 / 6.0 + d * (1.0 / 24.0)) + d2 * ((1.0 / 120.0 + d * (1.0 / 720.0)) + d2 * (1.0 / 5040.0));
    1.0 + (d + d2 * (0.5 + d * low))
}

#[cfg(test)]
mod tests {
    use super::{deep, exp_of_little, guess, ln_roughly};
    use crate::line::scalar::{Shape, robust};

    /// 1.02 to 1000 chords long, level to 89.99°, light to heavy for their stiffness.
    fn deep_lines() -> impl Iterator<Item = Shape> {
        let slopes = [0.0_f64, 20.0, 45.0, 70.0, 85.0, 89.0, 89.9, 89.99];
        slopes.into_iter().flat_map(|degrees| {
            (0..60).flat_map(move |i| {
                [1e-9, 1e-6, 1e-4, 1e-2, 0.3, 3.0].map(|eps| {
                    let slope = degrees.to_radians();
                    Shape::new(slope.cos(), slope.sin(), 1.02 * (0.115 * f64::from(i)).exp(), eps)
                })
            })
        })
    }

    #[test]
    fn deep_lines_take_the_quick_way_up_to_twenty_and_beyond() {
        let (mut lines, mut looks, mut deepest) = (0, 0, 0.0_f64);
        for shape in deep_lines() {
            let slow = robust(&shape);
            if !(2.5..40.0).contains(&slow.u) || guess(&shape).is_none() {
                continue;
            }
            let found = deep(&shape).unwrap_or_else(|| panic!("{shape:?} {slow:?}"));
            // The step that isn't taken any more, and some roundings.
            let allowed = found.residual + 1e-15;
            assert!((found.u / slow.u - 1.0).abs() < allowed, "{shape:?} {found:?} {slow:?}");
            assert!((found.span_by / slow.span_by - 1.0).abs() < allowed, "{shape:?}");
            assert!((found.rise_by / slow.rise_by - 1.0).abs() < allowed, "{shape:?}");
            (lines, looks, deepest) = (lines + 1, looks + found.iterations, slow.u.max(deepest));
        }
        println!("{lines} {looks} {deepest}");
        assert!(lines > 1500 && f64::from(looks) < 3.1 * f64::from(lines), "{lines} {looks}");
    }

    #[test]
    fn the_first_guess_is_good_to_a_few_hundredths() {
        let mut lines = 0;
        for shape in deep_lines() {
            let u = robust(&shape).u;
            if let Some(first) = guess(&shape).filter(|_| u > 3.0) {
                lines += 1;
                assert!((first - u).abs() < 0.06, "{shape:?}: {first} {u}");
            }
        }
        assert!(lines > 1500, "{lines}");
    }

    #[test]
    fn the_short_functions_are_as_good_as_they_say() {
        for i in -3000..=3000 {
            let d = f64::from(i) * 1e-5;
            assert!((exp_of_little(d) / d.exp() - 1.0).abs() < 3e-16, "{d}");
            let x = (f64::from(i) * 0.1).exp();
            assert!((ln_roughly(x) - x.ln()).abs() < 0.007, "{x}");
        }
    }
}
