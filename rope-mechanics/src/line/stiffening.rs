//! A line whose rope stiffens, T = a·ε + b·ε²: its stretch, and its end forces.
//!
//! With ε(T) = g(T)·T the stretch moves the second end by ∫(H, V)·g(T) ds. In the hyperbolic parameter v that
//! integrand is as smooth as eᵛ, however slack or steep the line, so Gauss's rule of 10 points on pieces of v no
//! longer than 1 gives every digit.

use super::flexibility::Stiffness2;
use super::scalar::Hyperbolic;
use super::span::{Ends, Span, linear_apart};
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

/// Steps of the secant stiffness, then steps of Newton, and when these end.
const FIRST_STEPS: u32 = 3;
const MOST_STEPS: u32 = 60;
const LAST_MOVE: f64 = 1e-9;
const SMALLEST_PART: f64 = 1e-6;
/// Steps of all the linear ropes together; a rope that needs more is no rope at all, and its residual says so.
const MOST_ITERATIONS: u32 = 2000;

/// A rope with T = a·ε + b·ε².
///
/// What it stretches more than a linear rope of stiffness EA* does, δ = ∫(H, V)(g(T) − 1/EA*) ds, brings the
/// supports of that linear rope nearer by δ: Newton's steps on δ, each with an exact solve of the linear rope.
#[inline(never)]
pub(super) fn ends<const WAY: bool>(span: &Span) -> Ends {
    let rope = &span.stretch;
    let mut axial_n = rope.a_n();
    let mut ends = linear_apart::<WAY>(span, axial_n, None);
    if span.weight_n_per_m == 0.0 {
        return ends;
    }
    let mut iterations = ends.iterations;
    for _ in 0..FIRST_STEPS {
        let tension_n = 0.5 * (ends.t_first_n + ends.t_last_n);
        axial_n = tension_n / rope.strain_at(tension_n);
        ends = linear_apart::<WAY>(span, axial_n, None);
        iterations += ends.iterations;
    }
    let mut short = (0.0, 0.0);
    let mut gap = Gap::of(span, &ends, axial_n, short);
    for _ in 0..MOST_STEPS {
        let (step, moves) = gap.step(&ends);
        let mut part = 1.0;
        let mut trial = (short.0 + step.0, short.1 + step.1);
        let (mut next, mut next_gap);
        loop {
            next = linear_apart::<WAY>(span, axial_n, Some(trial));
            next_gap = Gap::of(span, &next, axial_n, trial);
            iterations += next.iterations;
            if next_gap.size() < gap.size()
                || moves <= LAST_MOVE
                || part < SMALLEST_PART
                || iterations > MOST_ITERATIONS
            {
                break;
            }
            part *= 0.5;
            trial = (short.0 + part * step.0, short.1 + part * step.1);
        }
        (short, ends, gap) = (trial, next, next_gap);
        if moves <= LAST_MOVE || iterations > MOST_ITERATIONS {
            break;
        }
    }
    let (_, moves) = gap.step(&ends);
    // What is not a number must not pass for solved.
    let residual = if moves <= ends.residual { ends.residual } else { moves };
    Ends { iterations, residual, ..ends }
}

/// By how much a linear rope with its supports brought nearer misses the rope that stiffens.
struct Gap {
    x: f64,
    z: f64,
    stiffness: Stiffness2,
    bend: Stretching,
}

impl Gap {
    fn of(span: &Span, ends: &Ends, axial_n: f64, short: (f64, f64)) -> Self {
        let bend = ends.stretching(span.length_m, &span.stretch, 1.0 / axial_n);
        let mut flexibility = ends.hanging(span.length_m, span.weight_n_per_m);
        flexibility.add(&Stretching::linear(span.length_m / axial_n));
        Self { x: short.0 - bend.x, z: short.1 - bend.z, stiffness: flexibility.inverse(), bend }
    }

    fn size(&self) -> f64 {
        // NaN compares as not smaller.
        math::hypot(self.x, self.z)
    }

    /// Newton's step, and how far it moves the end forces, relative to the larger tension.
    fn step(&self, ends: &Ends) -> ((f64, f64), f64) {
        let (k, r) = (&self.stiffness, &self.bend);
        // (1 + R'·K)·Δδ = −gap
        let j11 = 1.0 + r.xx * k.xx + r.xz * k.xz;
        let j12 = r.xx * k.xz + r.xz * k.zz;
        let j21 = r.xz * k.xx + r.zz * k.xz;
        let j22 = 1.0 + r.xz * k.xz + r.zz * k.zz;
        let determinant = j11 * j22 - j12 * j21;
        let step = ((j12 * self.z - j22 * self.x) / determinant, (j21 * self.x - j11 * self.z) / determinant);
        let force = math::hypot(k.xx * step.0 + k.xz * step.1, k.xz * step.0 + k.zz * step.1);
        (step, force / ends.t_first_n.max(ends.t_last_n))
    }
}

impl Ends {
    /// ∫(H, V)(g(T) − less) ds over the line.
    pub(super) fn stretching(&self, length_m: f64, rope: &Stretch, less: f64) -> Stretching {
        let u = self.half_range;
        if u == f64::INFINITY || self.h_n == 0.0 {
            return plumb(-self.v_first_n, self.v_last_n, length_m, rope, less);
        }
        let f = Hyperbolic::of(u);
        let b = self.v_middle_n() / f.cosh;
        let a = math::hypot(self.h_n, b);
        Hyperbola::new(self.h_n, a, b, length_m / (2.0 * a * f.sinh)).stretching(-u, u, rope, less)
    }
}
