//! The line between two supports in plain numbers, and the end forces of one whose rope is linear.

use super::LineError;
use super::fast::fast;
use super::scalar::{self, HalfRange, Shape};
use crate::math::{self, norm};
use crate::rope::Stretch;

/// A line between two supports.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Span {
    /// Horizontal distance from the first to the second support, at least 0 (mirror the line if it runs the other way).
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

/// A line and its end forces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Solved {
    pub(crate) span: Span,
    pub(crate) ends: Ends,
}

/// A span below this part of the length counts as none.
pub(super) const VERTICAL_BELOW: f64 = 1e-140;
/// A weight below this part of the stiffness counts as none where the line is taut: it moves the tension by
/// less than 1e-40 of it.
pub(super) const WEIGHTLESS_BELOW: f64 = 1e-80;
/// The two ways to a root: the quick one where it certifies its answer, or bracketed steps alone.
pub(super) const QUICK: bool = true;
pub(super) const ROBUST: bool = false;

/// A rope with T = EA·ε, its second support `short_m` nearer than it is, if it is.
#[inline(always)]
pub(super) fn linear<const WAY: bool>(span: &Span, axial_n: f64, short_m: Option<(f64, f64)>) -> Ends {
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

/// [`linear`] for whoever calls it more than once.
#[inline(never)]
pub(super) fn linear_apart<const WAY: bool>(span: &Span, axial_n: f64, short_m: Option<(f64, f64)>) -> Ends {
    linear::<WAY>(span, axial_n, short_m)
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

impl Ends {
    pub(super) fn v_middle_n(&self) -> f64 {
        // The reactions are V_B and −V_A.
        0.5 * (self.v_last_n - self.v_first_n)
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
}
