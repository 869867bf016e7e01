//! What a rope stretches along its course: integrals over its unstretched length.
//!
//! With ε(T) = g(T)·T the stretch moves the second end by ∫(H, V)·g(T) ds. Over a short arc that integrand is smooth in
//! s; over a long one in the hyperbolic parameter v of V = H·sinh v, where it is as smooth as eᵛ. So Gauss's rule gives
//! every digit, of a rope however slack or steep.

use crate::math::gauss::{Rule, TEN};
use crate::math::{self, norm};
use crate::rope::Stretch;

/// ∫(H, V)·(g − g₀) ds of a piece of rope, and its derivatives by the force.
///
/// g₀ is 0, or the constant compliance of a linear rope already accounted for.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Stretching {
    pub(super) x: f64,
    pub(super) z: f64,
    pub(super) xx: f64,
    pub(super) xz: f64,
    pub(super) zz: f64,
}

/// A point of a rope on the way along it.
pub(super) struct Point {
    /// V
    pub(super) upward_n: f64,
    /// T
    pub(super) tension_n: f64,
    /// V₂ − V, the weight of the rope between here and the second end.
    pub(super) beyond_n: f64,
    /// The unstretched length for which it stands.
    pub(super) ds_m: f64,
}

/// An arc up to this τ = tanh u is integrated in s: V = ±iH, the nearest singularity, is 1/τ half-lengths away, so that
/// ten points err by 6⁻²⁰ and, below the second, four points by 100⁻⁸.
const SHORT: f64 = 0.3;
const SHORTEST: f64 = 0.02;
/// Beyond this distance from either end, in v, tension and length are below 1e-19 of those at the end.
const REACH: f64 = 44.0;

/// Visits the points of a rule along a rope, by H, by V and T at its first end, its weight, its
/// length and its half-range u.
#[inline]
pub(super) fn walk(
    h: f64,
    (v, t): (f64, f64),
    hung: f64,
    length: f64,
    half_range: f64,
    mut visit: impl FnMut(Point),
) {
    if half_range <= SHORT {
        let rule = if half_range <= SHORTEST { Rule::Four } else { Rule::Ten };
        let half = 0.5 * hung;
        rule.each(|x, weight| {
            let upward_n = v + half * (1.0 + x);
            visit(Point {
                upward_n,
                tension_n: norm(h, upward_n),
                beyond_n: half * (1.0 - x),
                ds_m: 0.5 * length * weight,
            });
        });
        return;
    }
    // T + V = p·eᵛ, T − V = q·e⁻ᵛ and ds = k·T dv, with (T + V)(T − V) = H²
    let (p, q) = if v >= 0.0 { (t + v, h * (h / (t + v))) } else { (h * (h / (t - v)), t - v) };
    let (k, v_end) = (length / hung, v + hung);
    let mut piece = |from: f64, to: f64| {
        // Pieces no longer than 1, ±iπ/2 at the nearest away: ten points err by 6⁻²⁰.
        let count = math::ceil(to - from).max(1.0);
        let half = 0.5 * (to - from) / count;
        // e^(m ± hx) = e^m·e^(±hx), the second alike in every piece
        let nodes = TEN.map(|(x, weight)| (math::exp(half * x), half * weight));
        let mut i = 0.0;
        while i < count {
            let middle = math::exp(from + half * (2.0 * i + 1.0));
            for (e, weight) in nodes {
                for e in [middle / e, middle * e] {
                    let (up, down) = (0.5 * p * e, 0.5 * q / e);
                    let (tension_n, upward_n) = (up + down, up - down);
                    let ds_m = k * tension_n * weight;
                    visit(Point { upward_n, tension_n, beyond_n: v_end - upward_n, ds_m });
                }
            }
            i += 1.0;
        }
    };
    let range = 2.0 * half_range;
    if range > 2.0 * REACH {
        piece(0.0, REACH);
        piece(range - REACH, range);
    } else {
        piece(0.0, range);
    }
}

impl Stretching {
    /// The derivatives for a rope that is linear.
    pub(super) fn linear(flexibility: f64) -> Self {
        Self { xx: flexibility, zz: flexibility, ..Self::default() }
    }

    /// Of a rope with level tension H > 0.
    #[inline]
    pub(super) fn of(
        h: f64,
        first: (f64, f64),
        hung: f64,
        length: f64,
        half_range: f64,
        stretch: &Stretch,
        less: f64,
    ) -> Self {
        if stretch.is_linear() {
            // g = 1/EA
            let g = (1.0 / stretch.a_n() - less) * length;
            return Self { x: h * g, z: (first.0 + 0.5 * hung) * g, ..Self::linear(g) };
        }
        let (mut soft, mut up, mut bend, mut bend_up, mut bend_up_up) = (0.0, 0.0, 0.0, 0.0, 0.0);
        walk(h, first, hung, length, half_range, |Point { upward_n, tension_n, ds_m, .. }| {
            let (g, slope) = stretch.softness_and_slope_at(tension_n);
            // ∂[(H, V)·g]/∂(H, V) = (g − g₀)·1 + (ε' − g)·(H, V)(H, V)/T²
            let (soft_here, sin) = ((g - less) * ds_m, upward_n / tension_n);
            let bend_here = (slope - g) * ds_m / tension_n;
            soft += soft_here;
            up += upward_n * soft_here;
            bend += bend_here / tension_n;
            bend_up += bend_here * sin;
            bend_up_up += bend_here * tension_n * (sin * sin);
        });
        Self { x: h * soft, z: up, xx: soft + h * (h * bend), xz: h * bend_up, zz: soft + bend_up_up }
    }

    /// Of a plumb rope, from upward tension `v0` to `v1`.
    pub(super) fn plumb(v0: f64, v1: f64, length: f64, stretch: &Stretch, less: f64) -> Self {
        if v0 < 0.0 && v1 > 0.0 {
            // Folded: the lower end of both parts is free of tension.
            let span = v1 - v0;
            let left = Self::hanging(0.0, -v0, length * (-v0 / span), stretch, less);
            let right = Self::hanging(0.0, v1, length * (v1 / span), stretch, less);
            return Self { z: right.z - left.z, zz: right.zz + left.zz, ..Self::default() };
        }
        if v1 <= 0.0 {
            let mirrored = Self::hanging(-v1, -v0, length, stretch, less);
            return Self { z: -mirrored.z, ..mirrored };
        }
        Self::hanging(v0, v1, length, stretch, less)
    }

    fn hanging(t0: f64, t1: f64, length: f64, stretch: &Stretch, less: f64) -> Self {
        let (e0, e1) = (stretch.strain_at(t0), stretch.strain_at(t1));
        Self {
            z: length * (stretch.mean_strain(e0, e1) - 0.5 * less * (t0 + t1)),
            // d(mean ε)/dT = (ε₁−ε₀)/(T₁−T₀) = 1/[a + b(ε₀+ε₁)]
            zz: length * (1.0 / stretch.tangent_at(0.5 * (e0 + e1)) - less),
            ..Self::default()
        }
    }
}
