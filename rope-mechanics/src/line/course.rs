//! Where each part of a line hangs, and how hard it pulls there.

use super::scalar::Hyperbolic;
use super::span::{Ends, Solved, Span};
use super::stiffening::{self, Hyperbola};
use crate::math;
use crate::rope::Stretch;

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
