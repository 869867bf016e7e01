//! Where each part of a line hangs, and how hard it pulls there.

use super::hang::{RopeLaw, hang};
use super::linear::{Ends, Solved, Span};
use super::scalar::Hyperbolic;
use super::stretching::{Stretching, walk};
use crate::math;
use crate::rope::Stretch;

/// The place of the greatest depth below the chord, by the slopes V/H of the rope at its upper end, a, and of the chord,
/// b: a < b ≤ 0, so that nothing that follows from them is a difference of near-equal numbers.
struct Tangent {
    a: f64,
    b: f64,
    /// b − a
    d: f64,
    /// The unstretched length from the upper end.
    s_m: f64,
    /// At the upper end.
    tension_n: f64,
}

/// A line that sags less, by its chord, is a parabola to ten digits, and its particles move along it.
const PARABOLA: f64 = 1e-5;

impl Solved {
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
            math::clamp(self.ends.v_first_n / weight_n_per_m, 0.0, length_m)
        } else if rise_m < 0.0 {
            length_m
        } else {
            0.0
        }
    }

    /// Greatest vertical distance below the chord; without span, depth below the lower support.
    pub(crate) fn sag(&self) -> f64 {
        let Span { span_m, rise_m, weight_n_per_m, stretch, .. } = self.span;
        if weight_n_per_m == 0.0 || self.is_shapeless() {
            return 0.0;
        }
        let Ends { h_n, v_first_n, v_last_n, .. } = self.ends;
        if h_n == 0.0 || span_m == 0.0 {
            // From the lower end the rope hangs by its reaction there, if that is upward.
            let lower_n = if rise_m < 0.0 { v_last_n } else { v_first_n };
            let s_m = lower_n / weight_n_per_m;
            return if s_m > 0.0 { -run(h_n, -lower_n, weight_n_per_m, s_m, &stretch).1 } else { 0.0 };
        }
        let Tangent { a, b, d, s_m, tension_n } = self.tangent();
        // σ = asinh b − asinh a,  sinh σ = b√(1+a²) − a√(1+b²) = d(a+b)/(b√(1+a²) + a√(1+b²))
        let (ca, cb) = (math::norm(1.0, a), math::norm(1.0, b));
        let sigma = math::asinh(d / (b / (a + b) * ca + a / (a + b) * cb));
        let f = Hyperbolic::of(sigma);
        // By its shape (H/w)[√(1+b²)(cosh σ−1) − b(sinh σ−σ)]
        let depth = h_n / weight_n_per_m * (cb * f.cosh_less_1 - b * f.sinh_less_u);
        // By its stretch ∫(bH − V)·g ds over s = Hd/w, for a linear rope H²d²/(2EAw)
        if stretch.is_linear() {
            return depth + 0.5 * h_n * d * s_m / stretch.a_n();
        }
        let mut by_stretch = 0.0;
        walk(h_n, (a * h_n, tension_n), h_n * d, s_m, 0.5 * sigma, |point| {
            by_stretch += point.beyond_n * stretch.softness_at(point.tension_n) * point.ds_m;
        });
        depth + by_stretch
    }

    /// The sag, and its change with the length, by those of H and of the last support's reaction.
    pub(super) fn sag_by_length(&self, h_by_l: f64, v_last_by_l: f64) -> (f64, f64) {
        let Span { weight_n_per_m, stretch, rise_m, .. } = self.span;
        let Tangent { a, b, s_m, .. } = self.tangent();
        // The sag is a maximum along the rope: only the way of the particle there counts, (∂x, ∂z)/∂L from the upper
        // end, and its depth grows by b·∂x − ∂z.
        let v_by_l = if rise_m < 0.0 { v_last_by_l - weight_n_per_m } else { -v_last_by_l };
        let (h_n, sag_m) = (self.ends.h_n, self.sag());
        if sag_m < PARABOLA * self.span.chord_m() {
            // sag = wL·X/(8H)
            return (sag_m, sag_m * (1.0 / self.span.length_m - h_by_l / h_n));
        }
        let part = hang(&RopeLaw { weight_n_per_m, stretch }, h_n, a * h_n, s_m);
        let x = part.span_by_h * h_by_l + part.cross * v_by_l;
        let z = part.cross * h_by_l + part.rise_by_v * v_by_l;
        (sag_m, b * x - z)
    }

    /// Where the rope runs parallel to the chord, seen from the upper end. It needs weight, span and level tension.
    fn tangent(&self) -> Tangent {
        let Span { span_m, rise_m, length_m, weight_n_per_m, .. } = self.span;
        let Ends { h_n, v_first_n, v_last_n, t_first_n, t_last_n, .. } = self.ends;
        let (upper_n, tension_n) = if rise_m < 0.0 { (v_first_n, t_first_n) } else { (v_last_n, t_last_n) };
        // ½wL/H + (|Vₘ|/H − |Z|/X)
        let d = 0.5 * weight_n_per_m * length_m / h_n + self.steeper_than_chord();
        Tangent { a: -upper_n / h_n, b: -rise_m.abs() / span_m, d, s_m: h_n * d / weight_n_per_m, tension_n }
    }

    /// |Vₘ|/H − |Z|/X, at least 0: how much steeper the rope runs at its middle than the chord.
    fn steeper_than_chord(&self) -> f64 {
        let Span { span_m, rise_m, length_m, weight_n_per_m, stretch } = self.span;
        let Ends { h_n, v_first_n, t_first_n, half_range: u, .. } = self.ends;
        let f = Hyperbolic::of(u);
        // u − t = (u·Cₘ − Sₘ)/C
        let u_less_t = (u * f.cosh_less_1 - f.sinh_less_u) / f.cosh;
        if stretch.is_linear() {
            // Vₘ/H = (Z/X)(u+ε)/(t+ε)
            let eps = 0.5 * weight_n_per_m * length_m / stretch.a_n();
            return rise_m.abs() / span_m * u_less_t / (f.tanh() + eps);
        }
        // Z − X·Vₘ/H = ∫(V − Vₘ)(1/T + g) ds, of which ∫(V − Vₘ)/T ds = −(2Vₘ/w)(u − t)
        let weight_n = weight_n_per_m * length_m;
        let mut odd = 0.0;
        walk(h_n, (-v_first_n, t_first_n), weight_n, length_m, u, |point| {
            odd += (point.beyond_n - 0.5 * weight_n) * stretch.softness_at(point.tension_n) * point.ds_m;
        });
        let odd = if rise_m < 0.0 { -odd } else { odd };
        (2.0 * self.ends.v_middle_n().abs() / weight_n_per_m * u_less_t + odd) / span_m
    }

    /// What the rope stretches in all: ∫ε ds.
    pub(super) fn stretch_m(&self) -> f64 {
        let Span { length_m, weight_n_per_m, stretch, .. } = self.span;
        let Ends { h_n, v_first_n, v_last_n, t_first_n, t_last_n, half_range: u, .. } = self.ends;
        if u == 0.0 {
            return stretch.strain_at(t_last_n) * length_m;
        }
        if u == f64::INFINITY || h_n == 0.0 {
            let (first, last) = (stretch.strain_at(t_first_n), stretch.strain_at(t_last_n));
            if v_first_n > 0.0 && v_last_n > 0.0 {
                // Folded: both parts hang from an end, free of tension where they meet.
                let share = v_first_n / (v_first_n + v_last_n);
                let (left, right) = (stretch.mean_strain(0.0, first), stretch.mean_strain(0.0, last));
                return length_m * (share * left + (1.0 - share) * right);
            }
            return length_m * stretch.mean_strain(first, last);
        }
        if !stretch.is_linear() {
            let mut sum = 0.0;
            walk(h_n, (-v_first_n, t_first_n), weight_n_per_m * length_m, length_m, u, |point| {
                sum += stretch.strain_at(point.tension_n) * point.ds_m;
            });
            return sum;
        }
        // ∫T ds/EA = L/(2aS·EA)·[a²(SC+u) + b²(SC−u)]
        let f = Hyperbolic::of(u);
        let b = self.ends.v_middle_n() / f.cosh;
        let a = math::hypot(h_n, b);
        let cs_u = f.cosh * f.sinh_less_u + u * f.cosh_less_1;
        length_m / (2.0 * stretch.a_n()) * (a * (cs_u + 2.0 * u) / f.sinh + b * (b / a) * (cs_u / f.sinh))
    }
}

/// How far a rope reaches with its first `s_m` from an end where its tension is (H, V).
pub(crate) fn run(h_n: f64, v_n: f64, weight_n_per_m: f64, s_m: f64, stretch: &Stretch) -> (f64, f64) {
    if h_n > 0.0 {
        let part = hang(&RopeLaw { weight_n_per_m, stretch: *stretch }, h_n, v_n, s_m);
        return (part.span_m, part.rise_m);
    }
    let v_end = v_n + weight_n_per_m * s_m;
    let sum = v_n.abs() + v_end.abs();
    if sum == 0.0 {
        return (0.0, 0.0);
    }
    // z = s·(V₀+V₁)/(T₀+T₁) + ∫V·g ds
    (0.0, s_m * ((v_n + v_end) / sum) + Stretching::plumb(v_n, v_end, s_m, stretch, 0.0).z)
}

#[cfg(test)]
mod tests {
    use super::run;
    use crate::line::span::{Ends, Span, solve};
    use crate::quantity::newtons;
    use crate::rope::Stretch;

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
}
