//! The stretch of a line whose rope stiffens: T = a·ε + b·ε².
//!
//! With ε(T) = g(T)·T the stretch moves the second end by ∫(H, V)·g(T) ds. In the hyperbolic parameter v that
//! integrand is as smooth as eᵛ, however slack or steep the line, so Gauss's rule of 10 points on pieces of v no
//! longer than 1 gives every digit.

use crate::math;
use crate::rope::Stretch;

/// ∫(H, V)·g ds of a piece of rope, and its derivatives by the force.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Stretching {
    pub(super) x: f64,
    pub(super) z: f64,
    pub(super) xx: f64,
    pub(super) xz: f64,
    pub(super) zz: f64,
    /// ∫ε ds, nothing taken off.
    pub(super) along: f64,
}

impl Stretching {
    /// The derivatives for a rope that is linear.
    pub(super) fn linear(flexibility: f64) -> Self {
        Self { xx: flexibility, zz: flexibility, ..Self::default() }
    }
}

/// Zeros of the Legendre polynomial of degree 10, and their weights. Worked out at 30 digits.
const GAUSS: [(f64, f64); 5] = [
    (0.148_874_338_981_631_21, 0.295_524_224_714_752_87),
    (0.433_395_394_129_247_19, 0.269_266_719_309_996_36),
    (0.679_409_568_299_024_41, 0.219_086_362_515_982_04),
    (0.865_063_366_688_984_51, 0.149_451_349_150_580_59),
    (0.973_906_528_517_171_72, 0.066_671_344_308_688_138),
];
/// Beyond this distance from either end, in v, tension and length are below 1e-19 of those at the end.
const REACH: f64 = 44.0;

/// A rope in the hyperbolic parameter: T + V = p·eᵛ, T − V = q·e⁻ᵛ and ds = k·T dv.
#[derive(Debug, Clone, Copy)]
pub(super) struct Hyperbola {
    pub(super) h: f64,
    pub(super) p: f64,
    pub(super) q: f64,
    pub(super) k: f64,
}

impl Hyperbola {
    /// From tension and its upward part at v = 0.
    pub(super) fn new(h: f64, tension: f64, upward: f64, k: f64) -> Self {
        // (T + V)(T − V) = H²
        let (p, q) = if upward >= 0.0 {
            (tension + upward, h * h / (tension + upward))
        } else {
            (h * h / (tension - upward), tension - upward)
        };
        Self { h, p, q, k }
    }

    /// The rope from v = `from` to v = `to`.
    ///
    /// `less` is taken off g: 0, or the constant compliance of a line already accounted for.
    pub(super) fn stretching(&self, from: f64, to: f64, rope: &Stretch, less: f64) -> Stretching {
        let mut sum = Stretching::default();
        if to - from > 2.0 * REACH {
            self.add(&mut sum, from, from + REACH, rope, less);
            self.add(&mut sum, to - REACH, to, rope, less);
        } else {
            self.add(&mut sum, from, to, rope, less);
        }
        sum
    }

    fn add(&self, sum: &mut Stretching, from: f64, to: f64, rope: &Stretch, less: f64) {
        let Self { h, p, q, k } = *self;
        let count = math::ceil(to - from).max(1.0);
        let half = 0.5 * (to - from) / count;
        let mut i = 0.0;
        while i < count {
            let middle = from + half * (2.0 * i + 1.0);
            for (node, weight) in GAUSS {
                for v in [middle - half * node, middle + half * node] {
                    let e = math::exp(v);
                    let (up, down) = (0.5 * p * e, 0.5 * q / e);
                    let (tension, upward) = (up + down, up - down);
                    let strain = rope.strain_at(tension);
                    let slope = 1.0 / rope.tangent_at(strain);
                    let g = strain / tension;
                    let ds = k * tension * half * weight;
                    sum.along += strain * ds;
                    sum.x += h * (g - less) * ds;
                    sum.z += upward * (g - less) * ds;
                    // ∂[(H, V)·g]/∂(H, V) = (g − g_less)·1 + (ε' − g)·(H, V)(H, V)/T²
                    let (cos, sin) = (h / tension, upward / tension);
                    let bend = slope - g;
                    sum.xx += (g - less + bend * cos * cos) * ds;
                    sum.xz += bend * cos * sin * ds;
                    sum.zz += (g - less + bend * sin * sin) * ds;
                }
            }
            i += 1.0;
        }
    }
}

/// A plumb rope, from upward tension `v0` to `v1`: ∫ε ds with its sign, and the derivative by the force.
pub(super) fn plumb(v0: f64, v1: f64, length: f64, rope: &Stretch, less: f64) -> Stretching {
    if v0 < 0.0 && v1 > 0.0 {
        // Folded: the lower end of both parts is free of tension.
        let span = v1 - v0;
        let (left, right) = (length * (-v0 / span), length * (v1 / span));
        let (l, r) = (hanging(0.0, -v0, left, rope, less), hanging(0.0, v1, right, rope, less));
        return Stretching {
            z: r.z - l.z,
            zz: r.zz + l.zz,
            along: r.along + l.along,
            ..Stretching::default()
        };
    }
    if v1 <= 0.0 {
        let mirrored = hanging(-v1, -v0, length, rope, less);
        return Stretching { z: -mirrored.z, ..mirrored };
    }
    hanging(v0, v1, length, rope, less)
}

fn hanging(t0: f64, t1: f64, length: f64, rope: &Stretch, less: f64) -> Stretching {
    let (a, b) = (rope.a_n(), rope.b_n());
    let (e0, e1) = (rope.strain_at(t0), rope.strain_at(t1));
    // mean ε = ∫ε dT/(T₁−T₀) = [a(ε₀+ε₁)/2 + ⅔b(ε₀²+ε₀ε₁+ε₁²)]/[a + b(ε₀+ε₁)]
    let tangent = a + b * (e0 + e1);
    let mean = (0.5 * a * (e0 + e1) + 2.0 / 3.0 * b * (e0 * e0 + e0 * e1 + e1 * e1)) / tangent;
    // d(mean ε)/dT = (ε₁−ε₀)/(T₁−T₀) = 1/[a + b(ε₀+ε₁)]
    Stretching {
        along: length * mean,
        z: length * (mean - 0.5 * less * (t0 + t1)),
        zz: length * (1.0 / tangent - less),
        ..Stretching::default()
    }
}
