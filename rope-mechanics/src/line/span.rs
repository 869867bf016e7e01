//! The line between two supports in plain numbers: the kernel that every other kind of line is made of.

use super::LineError;
use super::fast::fast;
use super::scalar::{self, HalfRange, Hyperbolic, Shape};
use super::stiffening::{self, Hyperbola, Stretching};
use crate::math;
use crate::rope::Stretch;

/// A line between two supports.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Span {
    /// Level distance from the first to the second support, at least 0 (mirror the line if it runs the other way).
    pub(crate) span_m: f64,
    /// Height of the second support above the first.
    pub(crate) rise_m: f64,
    /// Unstretched length, above 0.
    pub(crate) length_m: f64,
    /// Weight per unstretched metre, at least 0.
    pub(crate) weight_n_per_m: f64,
    pub(crate) stretch: Stretch,
}

/// The forces at the two ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Ends {
    /// Level tension, the same all along.
    pub(crate) h_n: f64,
    /// Upward reactions of the supports on the rope: they add up to its weight, and one may be negative.
    pub(crate) v_first_n: f64,
    pub(crate) v_last_n: f64,
    pub(crate) t_first_n: f64,
    pub(crate) t_last_n: f64,
    /// u = ½(asinh(V_B/H) − asinh(V_A/H)): 0 where the line is straight, infinite where it hangs doubled.
    pub(crate) half_range: f64,
    pub(crate) iterations: u32,
    /// How far one more step would move the answer, relative to it.
    pub(crate) residual: f64,
}

/// How the end forces follow the second end: ∂(H, V_B)/∂(X, Z), symmetric, in N/m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Stiffness2 {
    pub(crate) xx: f64,
    pub(crate) xz: f64,
    pub(crate) zz: f64,
    /// Out of the plane: H/X.
    pub(crate) across: f64,
}

/// A line and its end forces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Solved {
    pub(crate) span: Span,
    pub(crate) ends: Ends,
}

/// A span below this part of the length counts as none.
const VERTICAL_BELOW: f64 = 1e-140;
/// A weight below this part of the stiffness counts as none where the line is taut: it moves the tension by
/// less than 1e-40 of it.
const WEIGHTLESS_BELOW: f64 = 1e-80;
/// A larger residual is an error.
pub(super) const RESIDUAL: f64 = 1e-12;
/// For a rope that stiffens: steps of its secant stiffness, then steps of Newton, and when these end.
const FIRST_STEPS: u32 = 3;
const MOST_STEPS: u32 = 60;
const LAST_MOVE: f64 = 1e-9;
const SMALLEST_PART: f64 = 1e-6;

/// The end forces. Without weight and slack all are zero (see [`Solved::is_shapeless`]).
pub(crate) fn solve(span: &Span) -> Result<Solved, LineError> {
    solve_here(span)
}

/// [`solve`], worked out in place: its answer needn't be carried to the caller.
#[inline(always)]
pub(super) fn solve_here(span: &Span) -> Result<Solved, LineError> {
    solve_by::<QUICK>(span)
}

/// The same by bracketed steps alone.
pub(crate) fn solve_robust(span: &Span) -> Result<Solved, LineError> {
    solve_by::<ROBUST>(span)
}

/// The two ways to a root: the quick one where it certifies its answer, or bracketed steps alone.
const QUICK: bool = true;
const ROBUST: bool = false;

#[inline(always)]
fn solve_by<const WAY: bool>(span: &Span) -> Result<Solved, LineError> {
    // The linear rope is worked out in place, which keeps its numbers in registers.
    if span.stretch.is_linear() {
        certified(span, linear::<WAY>(span, span.stretch.a_n(), None))
    } else {
        certified(span, stiffening::<WAY>(span))
    }
}

#[inline(always)]
fn certified(span: &Span, ends: Ends) -> Result<Solved, LineError> {
    if ends.residual <= RESIDUAL && (ends.t_first_n + ends.t_last_n).is_finite() {
        Ok(Solved { span: *span, ends })
    } else {
        Err(span.unsolved_by(ends.residual, ends.iterations))
    }
}

/// A rope with T = EA·ε, its second support `short_m` nearer than it is, if it is.
#[inline(always)]
fn linear<const WAY: bool>(span: &Span, axial_n: f64, short_m: Option<(f64, f64)>) -> Ends {
    let Span { span_m, rise_m, length_m, weight_n_per_m, .. } = *span;
    let weight_n = weight_n_per_m * length_m;
    // ε = wL/(2EA)
    let eps = 0.5 * weight_n / axial_n;
    let shape = match short_m {
        None => Shape::new(span_m, rise_m, length_m, eps),
        Some(short_m) => Shape::shortened(span_m, rise_m, length_m, eps, short_m),
    };
    if weight_n_per_m == 0.0 || (eps < WEIGHTLESS_BELOW && shape.s <= 0.0) {
        return straight(span, &shape);
    }
    let (short_x_m, short_z_m) = short_m.unwrap_or_default();
    let rise_m = rise_m - short_z_m;
    if shape.x < VERTICAL_BELOW {
        return vertical(&shape, rise_m, weight_n, axial_n);
    }
    let quick = if WAY == QUICK { fast(&shape) } else { None };
    let HalfRange { u, span_by, rise_by, iterations, residual } = match quick {
        Some(found) => found,
        None => scalar::robust(&shape),
    };
    // H = wX/(2(u+ε)),  Vₘ = wZ/(2(t+ε)),  V_A = Vₘ − wL/2,  V_B = Vₘ + wL/2
    let h_n = 0.5 * weight_n_per_m * (span_m - short_x_m) * span_by;
    let v_middle_n = 0.5 * weight_n_per_m * rise_m * rise_by;
    ends(h_n, v_middle_n, weight_n, u, iterations, residual)
}

/// A rope with T = a·ε + b·ε².
///
/// What it stretches more than a linear rope of stiffness EA* does, δ = ∫(H, V)(g(T) − 1/EA*) ds, brings the
/// supports of that linear rope nearer by δ: Newton's steps on δ, each with an exact solve of the linear rope.
#[inline(never)]
fn stiffening<const WAY: bool>(span: &Span) -> Ends {
    #[inline(never)]
    fn linear_apart<const WAY: bool>(span: &Span, axial_n: f64, short_m: Option<(f64, f64)>) -> Ends {
        linear::<WAY>(span, axial_n, short_m)
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
            if next_gap.size() < gap.size() || moves <= LAST_MOVE || part < SMALLEST_PART {
                break;
            }
            part *= 0.5;
            trial = (short.0 + part * step.0, short.1 + part * step.1);
        }
        (short, ends, gap) = (trial, next, next_gap);
        if moves <= LAST_MOVE {
            break;
        }
    }
    let (_, moves) = gap.step(&ends);
    Ends { iterations, residual: ends.residual.max(moves), ..ends }
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

pub(super) fn ends(
    h_n: f64,
    v_middle_n: f64,
    weight_n: f64,
    half_range: f64,
    iterations: u32,
    residual: f64,
) -> Ends {
    let v_first_n = 0.5 * weight_n - v_middle_n;
    let v_last_n = 0.5 * weight_n + v_middle_n;
    Ends {
        h_n,
        v_first_n,
        v_last_n,
        // T = √(H² + V²)
        t_first_n: norm(h_n, v_first_n),
        t_last_n: norm(h_n, v_last_n),
        half_range,
        iterations,
        residual,
    }
}

/// √(a² + b²), by the slower function only where the squares might leave the range of the numbers.
#[inline]
fn norm(a: f64, b: f64) -> f64 {
    let square = a * a + b * b;
    if square > 1e-250 && square < 1e250 { math::sqrt(square) } else { math::hypot(a, b) }
}

/// Without weight: T = EA·(chord/L − 1), or nothing.
fn straight(span: &Span, shape: &Shape) -> Ends {
    // c = chord/L,  c − 1 = −s/(1+c)
    let c = math::sqrt(1.0 - shape.s);
    let strain = -shape.s / (1.0 + c);
    let t = if strain > 0.0 { span.stretch.tension_at(strain) } else { 0.0 };
    let (h_n, v_n) = (t * shape.x / c, t * span.rise_m / (span.length_m * c));
    Ends {
        h_n,
        v_first_n: -v_n,
        v_last_n: v_n,
        t_first_n: t,
        t_last_n: t,
        half_range: 0.0,
        iterations: 0,
        residual: 0.0,
    }
}

/// ∂(X, Z)/∂(H, V_B).
#[derive(Debug, Clone, Copy)]
struct Flexibility2 {
    xx: f64,
    xz: f64,
    zz: f64,
    /// X/H
    across: f64,
}

impl Flexibility2 {
    fn add(&mut self, more: &Stretching) {
        self.xx += more.xx;
        self.xz += more.xz;
        self.zz += more.zz;
    }

    fn inverse(&self) -> Stiffness2 {
        if self.xx == f64::INFINITY {
            return Stiffness2 { xx: 0.0, xz: 0.0, zz: 1.0 / self.zz, across: 0.0 };
        }
        let determinant = self.xx * self.zz - self.xz * self.xz;
        Stiffness2 {
            xx: self.zz / determinant,
            xz: -self.xz / determinant,
            zz: self.xx / determinant,
            across: 1.0 / self.across,
        }
    }
}

impl Ends {
    fn v_middle_n(&self) -> f64 {
        // The reactions are V_B and −V_A.
        0.5 * (self.v_last_n - self.v_first_n)
    }

    /// What the line gives by its shape, without stretch.
    fn hanging(&self, length_m: f64, weight_n_per_m: f64) -> Flexibility2 {
        let u = self.half_range;
        if u == f64::INFINITY {
            // Doubled below the lower support: ∂Z/∂V = 2/w, and X/H → ∞
            let zz = 2.0 / weight_n_per_m;
            return Flexibility2 { xx: f64::INFINITY, xz: 0.0, zz, across: f64::INFINITY };
        }
        let f = Hyperbolic::of(u);
        // a = H·cosh φ, b = H·sinh φ = Vₘ/C
        let b = self.v_middle_n() / f.cosh;
        let a = math::hypot(self.h_n, b);
        let k = length_m / (a * self.t_first_n) / self.t_last_n;
        let h2 = self.h_n * self.h_n;
        Flexibility2 {
            // ∂X/∂H = (L/a)[(u/S)·b² + H²(C/S)(u·Cₘ − Sₘ)]/(T_A·T_B)
            xx: k * (u / f.sinh * b * b + h2 * (f.cosh / f.sinh) * (u * f.cosh_less_1 - f.sinh_less_u)),
            // ∂X/∂V = −(L/a)·H·b/(T_A·T_B)
            xz: -k * self.h_n * b,
            // ∂Z/∂V = (L/a)·H²·C/(T_A·T_B)
            zz: k * h2 * f.cosh,
            across: 2.0 * u / weight_n_per_m,
        }
    }

    /// ∫(H, V)(g(T) − less) ds over the line.
    fn stretching(&self, length_m: f64, rope: &Stretch, less: f64) -> Stretching {
        let u = self.half_range;
        if u == f64::INFINITY || self.h_n == 0.0 {
            return stiffening::plumb(-self.v_first_n, self.v_last_n, length_m, rope, less);
        }
        let f = Hyperbolic::of(u);
        let b = self.v_middle_n() / f.cosh;
        let a = math::hypot(self.h_n, b);
        Hyperbola::new(self.h_n, a, b, length_m / (2.0 * a * f.sinh)).stretching(-u, u, rope, less)
    }
}

/// Without span: a rope stretched between two points of a plumb line, or hanging doubled below the lower one.
fn vertical(shape: &Shape, rise_m: f64, weight_n: f64, axial_n: f64) -> Ends {
    if shape.z_1 >= shape.eps {
        // Vₘ = EA·(|Z| − L)/L,  tanh u = ε/(z−1),  H = wX/(2(u+ε))
        let v_middle_n = (axial_n * shape.z_1).copysign(rise_m);
        let t = shape.eps / shape.z_1;
        let u = if t < 1.0 { 0.5 * (math::ln_1p(t) - math::ln_1p(-t)) } else { f64::INFINITY };
        ends(0.5 * weight_n * shape.x / (u + shape.eps), v_middle_n, weight_n, u, 0, 0.0)
    } else {
        // Vₘ = wZ/(2(1+ε))
        let v_middle_n = 0.5 * weight_n * shape.z.copysign(rise_m) / (1.0 + shape.eps);
        ends(0.0, v_middle_n, weight_n, f64::INFINITY, 0, 0.0)
    }
}

impl Span {
    pub(super) fn unsolved_by(&self, residual: f64, iterations: u32) -> LineError {
        LineError::Unsolved {
            span_m: self.span_m,
            rise_m: self.rise_m,
            length_m: self.length_m,
            weight_n_per_m: self.weight_n_per_m,
            residual,
            iterations,
        }
    }

    pub(crate) fn chord_m(&self) -> f64 {
        math::hypot(self.span_m, self.rise_m)
    }
}

impl Solved {
    /// Whether the rope has neither weight nor tension: then its points are not defined, and stand on the chord.
    pub(crate) fn is_shapeless(&self) -> bool {
        self.span.weight_n_per_m == 0.0 && self.ends.t_last_n == 0.0
    }

    /// Upward component of the tension at s, towards the second end.
    pub(crate) fn upward(&self, s_m: f64) -> f64 {
        // V = V_A + w·s, from the nearer end
        if s_m <= 0.5 * self.span.length_m {
            self.span.weight_n_per_m * s_m - self.ends.v_first_n
        } else {
            self.ends.v_last_n - self.span.weight_n_per_m * (self.span.length_m - s_m)
        }
    }

    /// Tension at the unstretched length s from the first end.
    pub(crate) fn tension(&self, s_m: f64) -> f64 {
        math::hypot(self.ends.h_n, self.upward(s_m))
    }

    /// Where the particle at the unstretched length s from the first end hangs: level and upward from that end.
    pub(crate) fn point(&self, s_m: f64) -> (f64, f64) {
        let Span { span_m, rise_m, length_m, weight_n_per_m, stretch } = self.span;
        let (x, z) = if self.is_shapeless() {
            let part = s_m / length_m;
            (span_m * part, rise_m * part)
        } else if s_m > 0.5 * length_m {
            // From the second end, as a line that runs the other way.
            let (x, z) = run(self.ends.h_n, -self.ends.v_last_n, weight_n_per_m, length_m - s_m, &stretch);
            (span_m - x, rise_m + z)
        } else {
            run(self.ends.h_n, -self.ends.v_first_n, weight_n_per_m, s_m, &stretch)
        };
        // A zero without a sign: the first end is not printed as -0.00.
        (x + 0.0, z + 0.0)
    }

    /// The unstretched length from the first end to the lowest point.
    pub(super) fn lowest_mark(&self) -> f64 {
        let Span { rise_m, length_m, weight_n_per_m, .. } = self.span;
        if weight_n_per_m > 0.0 {
            // V = 0 at s = −V_A/w
            (self.ends.v_first_n / weight_n_per_m).clamp(0.0, length_m)
        } else if rise_m < 0.0 {
            length_m
        } else {
            0.0
        }
    }

    /// Greatest vertical distance below the chord; without span, depth below the lower support.
    pub(super) fn sag(&self) -> f64 {
        let Span { span_m, rise_m, weight_n_per_m, stretch, .. } = self.span;
        if weight_n_per_m == 0.0 || self.is_shapeless() {
            return 0.0;
        }
        let h_n = self.ends.h_n;
        if h_n == 0.0 || span_m == 0.0 {
            return (rise_m.min(0.0) - self.point(self.lowest_mark()).1).max(0.0);
        }
        // The rope runs parallel to the chord where V/H = b = Z/X; that is s = Hd/w from the first end, with
        // a = V_A/H and d = b − a = wL/(2H) − b(u−t)/(t+ε), that bracket being b − Vₘ/H
        let b = rise_m / span_m;
        let weight_n = weight_n_per_m * self.span.length_m;
        let d = 0.5 * weight_n / h_n - self.middle_less_chord(b);
        let a = b - d;
        // σ = asinh b − asinh a, with sinh σ = b√(1+a²) − a√(1+b²)
        let (ca, cb) = (math::hypot(1.0, a), math::hypot(1.0, b));
        let sinh_sigma = if a * b > 0.0 { d * (a + b) / (b * ca + a * cb) } else { b * ca - a * cb };
        let sigma = math::asinh(sinh_sigma);
        let f = Hyperbolic::of(sigma);
        // Depth by shape: (H/w)[√(1+b²)(cosh σ−1) − b(sinh σ−σ)], and with √(1+b²)−b = 1/(√(1+b²)+b) where b > 0
        let depth = if b <= 0.0 {
            cb * f.cosh_less_1 - b * f.sinh_less_u
        } else {
            // Cₘ − Sₘ = e^(−σ) − 1 + σ
            let less =
                if sigma < 1.0 { f.cosh_less_1 - f.sinh_less_u } else { math::exp(-sigma) - 1.0 + sigma };
            f.cosh_less_1 / (cb + b) + b * less
        };
        // Depth by stretch: ∫(bH − V)·g ds, for a linear rope H²d²/(2EAw)
        let s_m = h_n * d / weight_n_per_m;
        let by_stretch = if stretch.is_linear() {
            0.5 * h_n * d * s_m / stretch.a_n()
        } else {
            let more = Hyperbola::new(h_n, self.ends.t_first_n, -self.ends.v_first_n, 1.0 / weight_n_per_m)
                .stretching(0.0, sigma, &stretch, 0.0);
            b * more.x - more.z
        };
        // Rounding may leave a line that hardly sags a hair above its chord.
        (h_n / weight_n_per_m * depth + by_stretch).max(0.0)
    }

    /// Vₘ/H − Z/X: how much steeper the rope runs at its middle than the chord, b = Z/X.
    fn middle_less_chord(&self, b: f64) -> f64 {
        let Span { length_m, weight_n_per_m, stretch, .. } = self.span;
        if !stretch.is_linear() {
            return self.ends.v_middle_n() / self.ends.h_n - b;
        }
        // Vₘ/H = b(u+ε)/(t+ε), so it is b(u−t)/(t+ε), and u − t = (u·Cₘ − Sₘ)/C
        let u = self.ends.half_range;
        let f = Hyperbolic::of(u);
        let eps = 0.5 * weight_n_per_m * length_m / stretch.a_n();
        b * ((u * f.cosh_less_1 - f.sinh_less_u) / f.cosh) / (f.tanh() + eps)
    }

    /// What the rope stretches in all: ∫ε ds.
    pub(super) fn stretch_m(&self) -> f64 {
        let Span { length_m, stretch, .. } = self.span;
        let Ends { h_n, t_last_n, half_range: u, .. } = self.ends;
        if u == 0.0 {
            return stretch.strain_at(t_last_n) * length_m;
        }
        if !stretch.is_linear() || u == f64::INFINITY || h_n == 0.0 {
            return self.ends.stretching(length_m, &stretch, 0.0).along;
        }
        // ∫T ds/EA = L/(2aS·EA)·[a²(SC+u) + b²(SC−u)]
        let f = Hyperbolic::of(u);
        let b = self.ends.v_middle_n() / f.cosh;
        let a = math::hypot(h_n, b);
        let cs_u = f.cosh * f.sinh_less_u + u * f.cosh_less_1;
        length_m / (2.0 * stretch.a_n()) * (a * (cs_u + 2.0 * u) / f.sinh + b * (b / a) * (cs_u / f.sinh))
    }

    /// ∂(H, V_B)/∂(X, Z). Zero where the rope is slack and weightless.
    pub(crate) fn stiffness(&self) -> Stiffness2 {
        let Span { span_m, rise_m, length_m, weight_n_per_m, stretch } = self.span;
        if self.is_shapeless() {
            return Stiffness2 { xx: 0.0, xz: 0.0, zz: 0.0, across: 0.0 };
        }
        if self.ends.half_range == 0.0 {
            // Straight: dT/dε/L along, T/chord across
            let (t, chord) = (self.ends.t_last_n, self.span.chord_m());
            let (cos, sin) = (span_m / chord, rise_m / chord);
            let along = stretch.tangent_at(stretch.strain_at(t)) / length_m;
            let across = t / chord;
            let more = along - across;
            return Stiffness2 {
                xx: across + more * cos * cos,
                xz: more * cos * sin,
                zz: across + more * sin * sin,
                across,
            };
        }
        let mut flexibility = self.ends.hanging(length_m, weight_n_per_m);
        if stretch.is_linear() {
            flexibility.add(&Stretching::linear(length_m / stretch.a_n()));
            flexibility.across += length_m / stretch.a_n();
        } else {
            let stretching = self.ends.stretching(length_m, &stretch, 0.0);
            flexibility.add(&stretching);
            flexibility.across += if self.ends.h_n > 0.0 { stretching.x / self.ends.h_n } else { 0.0 };
        }
        flexibility.inverse()
    }

    /// ∂(H, V_B)/∂L, with both supports where they are: negative H for more rope.
    pub(crate) fn by_length(&self) -> (f64, f64) {
        if self.is_shapeless() {
            return (0.0, 0.0);
        }
        let Ends { h_n, v_first_n, t_first_n, .. } = self.ends;
        let k = self.stiffness();
        // A metre more at the first end moves the second by the direction there times its stretched length.
        let stretched = 1.0 + self.span.stretch.strain_at(t_first_n);
        let (x, z) = if t_first_n > 0.0 {
            (h_n / t_first_n * stretched, -v_first_n / t_first_n * stretched)
        } else {
            (0.0, 0.0)
        };
        (-(k.xx * x + k.xz * z), -(k.xz * x + k.zz * z))
    }
}

/// How far a rope runs in its first `s_m` from an end where its tension is (H, V).
pub(crate) fn run(h_n: f64, v_n: f64, weight_n_per_m: f64, s_m: f64, stretch: &Stretch) -> (f64, f64) {
    let ws = weight_n_per_m * s_m;
    let (v0, v1) = (v_n, v_n + ws);
    let (t0, t1) = (math::hypot(h_n, v0), math::hypot(h_n, v1));
    if t0 + t1 == 0.0 {
        return (0.0, 0.0);
    }
    // z = s·(V₀+V₁)/(T₀+T₁)
    let z = s_m * (v0 + v1) / (t0 + t1);
    if h_n == 0.0 {
        return (0.0, z + stiffening::plumb(v0, v1, s_m, stretch, 0.0).z);
    }
    // sinh Δη = (V₁T₀ − V₀T₁)/H² = y·ws,  y = (1 + (T₀T₁ − V₀V₁)/H²)/(T₀+T₁)
    let cross = if v0 * v1 > 0.0 {
        (h_n * h_n + v0 * v0 + v1 * v1) / (t0 * t1 + v0 * v1)
    } else {
        (t0 * t1 - v0 * v1) / (h_n * h_n)
    };
    let y = (1.0 + cross) / (t0 + t1);
    // x = (H/w)·Δη
    let range = math::asinh(y * ws);
    let range_by_w = if range > 0.0 { range / weight_n_per_m } else { y * s_m };
    let x = h_n * range_by_w;
    if stretch.is_linear() {
        // H·s/EA and (V₀+V₁)/2·s/EA
        (x + h_n * s_m / stretch.a_n(), z + 0.5 * (v0 + v1) * s_m / stretch.a_n())
    } else if range > 0.0 {
        let more = Hyperbola::new(h_n, t0, v0, 1.0 / weight_n_per_m).stretching(0.0, range, stretch, 0.0);
        (x + more.x, z + more.z)
    } else {
        let strain = stretch.strain_at(t0);
        (x + h_n / t0 * strain * s_m, z + v0 / t0 * strain * s_m)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::newtons;

    fn line(span_m: f64, rise_m: f64, length_m: f64, weight_n_per_m: f64, ea: f64) -> Solved {
        let stretch = Stretch::linear(newtons(ea)).unwrap();
        solve(&Span { span_m, rise_m, length_m, weight_n_per_m, stretch }).unwrap()
    }

    fn close(a: f64, b: f64, tolerance: f64) {
        assert!((a / b - 1.0).abs() <= tolerance, "{a} is not {b}: {:e}", a / b - 1.0);
    }

    // Own multi-precision values, printed to 14 digits: half a unit of the last.
    #[test]
    fn reference_lines() {
        let ends = line(100.0, 0.0, 100.05, 0.73575, 1e5).ends;
        close(ends.h_n, 266.119_716_028_77, 1e-13);
        close(ends.v_last_n, 36.805_893_75, 1e-15);
        close(line(100.0, 0.0, 100.0, 0.73575, 1e5).ends.h_n, 281.825_349_822_22, 1e-13);
        close(line(100.0, 0.0, 99.0, 0.73575, 1e5).ends.h_n, 1_030.890_820_999_2, 1e-13);
        let ends = line(1e-3, -50.0, 60.0, 0.73575, 1e5).ends;
        close(ends.h_n, 2.680_880_665_299_3e-5, 1e-13);
        close(ends.v_first_n, 40.462_190_935_513, 1e-13);
        close(line(10.0, 0.0, 100.0, 0.73575, 1e5).ends.h_n, 0.817_429_711_707_14, 1e-13);
    }

    #[test]
    fn a_rope_that_stiffens_ends_at_its_supports() {
        for b in [0.0, 1e3, 2e5, 1e9] {
            let stretch = Stretch::stiffening(newtons(30e3), newtons(b)).unwrap();
            for (x, z, l) in [
                (100.0, 10.0, 95.0),
                (100.0, -70.0, 150.0),
                (1e-3, 50.0, 49.0),
                (1e-3, 50.0, 60.0),
                (0.0, 50.0, 49.0),
                (0.0, -50.0, 60.0),
                (30.0, 0.0, 20.0),
                (1.0, 1.0, 1000.0),
                (60.0, 80.0, 100.0),
            ] {
                let solved =
                    solve(&Span { span_m: x, rise_m: z, length_m: l, weight_n_per_m: 1.7, stretch }).unwrap();
                let Ends { h_n, v_first_n, .. } = solved.ends;
                let (ex, ez) = run(h_n, -v_first_n, 1.7, l, &stretch);
                assert!((ex - x).abs() + (ez - z).abs() < 1e-12 * l, "{b} {x} {z} {l}: {ex} {ez}");
            }
        }
    }

    #[test]
    fn stiffness_is_the_slope_of_the_forces() {
        for b in [0.0, 2e5] {
            let stretch = Stretch::stiffening(newtons(30e3), newtons(b)).unwrap();
            for (x, z, l) in
                [(100.0, 10.0, 95.0), (100.0, -70.0, 150.0), (3.0, 50.0, 49.0), (3.0, 50.0, 60.0)]
            {
                let at = |dx: f64, dz: f64, dl: f64| {
                    let span = Span {
                        span_m: x + dx,
                        rise_m: z + dz,
                        length_m: l + dl,
                        weight_n_per_m: 1.7,
                        stretch,
                    };
                    solve(&span).unwrap()
                };
                let d = 1e-4;
                let slope = |plus: Solved, minus: Solved| {
                    (
                        (plus.ends.h_n - minus.ends.h_n) / (2.0 * d),
                        (plus.ends.v_last_n - minus.ends.v_last_n) / (2.0 * d),
                    )
                };
                let solved = at(0.0, 0.0, 0.0);
                let k = solved.stiffness();
                let (xx, zx) = slope(at(d, 0.0, 0.0), at(-d, 0.0, 0.0));
                let (xz, zz) = slope(at(0.0, d, 0.0), at(0.0, -d, 0.0));
                let (xl, zl) = slope(at(0.0, 0.0, d), at(0.0, 0.0, -d));
                let (hl, vl) = solved.by_length();
                // Central differences of 0.1 mm in metres: error of the third derivative, below 1e-6 of the slope.
                let size = k.xx + k.zz;
                for (a, b) in [(k.xx, xx), (k.xz, zx), (k.xz, xz), (k.zz, zz), (hl, xl), (vl, zl)] {
                    assert!((a - b).abs() < 1e-6 * size, "{b} {x} {z} {l}: {a} {b}");
                }
                assert!((k.across - solved.ends.h_n / x).abs() < 1e-12 * k.across);
            }
        }
    }
}
