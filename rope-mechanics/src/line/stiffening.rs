//! A line whose rope stiffens, T = a·ε + b·ε²: its end forces.

use super::flexibility::Stiffness2;
use super::linear::{self, Ends, Span, VERTICAL_BELOW, linear_apart};
use super::stretching::Stretching;
use crate::math;

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
    if span.span_m < VERTICAL_BELOW * span.length_m && span.weight_n_per_m > 0.0 {
        return plumb(span);
    }
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

/// A rope without span: taut between its ends, or folded below the lower one. One equation for the reaction there.
fn plumb(span: &Span) -> Ends {
    let Span { rise_m, length_m, weight_n_per_m: weight, stretch, .. } = *span;
    let (drop_m, weight_n) = (rise_m.abs(), weight * length_m);
    // What a piece stretches whose tension rises from one value to another.
    let stretched = |length_m: f64, low_n: f64, high_n: f64| {
        length_m * stretch.mean_strain(stretch.strain_at(low_n), stretch.strain_at(high_n))
    };
    // |Z| − L, which rounds nothing where they are nearly the same
    let longer_m = drop_m - length_m;
    let taut = longer_m >= stretched(length_m, 0.0, weight_n);
    // By the tension at the lower end, downward on the rope where it is taut, else upward.
    let gap = |lower_n: f64| {
        if taut {
            // L·mean ε = |Z| − L
            let strains = [lower_n, lower_n + weight_n].map(|t_n| stretch.strain_at(t_n));
            let slope = length_m / stretch.tangent_at(0.5 * (strains[0] + strains[1]));
            (stretched(length_m, lower_n, lower_n + weight_n) - longer_m, slope)
        } else {
            // Both parts hang from an end, free of tension where they meet: one reaches |Z| further than the other, and
            // without stretch by L − 2V/w.
            let upper_n = weight_n - lower_n;
            let more_m =
                stretched(upper_n / weight, 0.0, upper_n) - stretched(lower_n / weight, 0.0, lower_n);
            let slope = -(2.0 + stretch.strain_at(upper_n) + stretch.strain_at(lower_n)) / weight;
            (more_m - longer_m - 2.0 * lower_n / weight, slope)
        }
    };
    // Taut, the gap rises and bends down, so that Newton's steps from 0 never pass the root; folded, it is so nearly
    // straight that they stay between nothing and half the weight.
    let mut lower_n = 0.0;
    let mut moved_n = f64::INFINITY;
    let mut iterations = 0;
    while iterations < MOST_STEPS && moved_n.abs() > LAST_MOVE * (lower_n + weight_n) {
        let (gap_m, slope) = gap(lower_n);
        moved_n = -gap_m / slope;
        lower_n = (lower_n + moved_n).max(0.0);
        if !taut {
            lower_n = lower_n.min(0.5 * weight_n);
        }
        iterations += 1;
    }
    let (gap_m, slope) = gap(lower_n);
    let lower_n = if taut { -lower_n } else { lower_n };
    // The lower support holds the rope up, or down; the upper one holds the rest.
    let upper_n = weight_n - lower_n;
    let v_middle_n = (0.5 * (upper_n - lower_n)).copysign(rise_m);
    // tanh u = wL/(T_A + T_B)
    let t = weight_n / (upper_n - lower_n);
    let u = if taut && t < 1.0 { 0.5 * (math::ln_1p(t) - math::ln_1p(-t)) } else { f64::INFINITY };
    let residual = (gap_m / slope).abs() / upper_n;
    linear::ends(0.0, v_middle_n, weight_n, u, iterations, residual)
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
        let bend = span.stretching(ends, 1.0 / axial_n);
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

impl Span {
    /// ∫(H, V)(g(T) − g₀) ds over the line, and its derivatives by the force.
    pub(super) fn stretching(&self, ends: &Ends, less: f64) -> Stretching {
        let v0 = -ends.v_first_n;
        if ends.half_range == f64::INFINITY || ends.h_n == 0.0 {
            return Stretching::plumb(v0, ends.v_last_n, self.length_m, &self.stretch, less);
        }
        let hung = self.weight_n_per_m * self.length_m;
        let first = (v0, ends.t_first_n);
        Stretching::of(ends.h_n, first, hung, self.length_m, ends.half_range, &self.stretch, less)
    }
}
