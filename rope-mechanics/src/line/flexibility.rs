//! How the end forces of a line follow its second end and its length.

use super::linear::{Ends, Solved, Span};
use super::scalar::Hyperbolic;
use super::stretching::Stretching;
use crate::math;

/// How the end forces follow the second end: ∂(H, V_B)/∂(X, Z), symmetric, in N/m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Stiffness2 {
    pub(crate) xx: f64,
    pub(crate) xz: f64,
    pub(crate) zz: f64,
    /// Out of the plane: H/X.
    pub(crate) across: f64,
}

/// ∂(X, Z)/∂(H, V_B).
#[derive(Debug, Clone, Copy)]
pub(super) struct Flexibility2 {
    xx: f64,
    xz: f64,
    zz: f64,
    /// X/H
    across: f64,
}

impl Flexibility2 {
    pub(super) fn add(&mut self, more: &Stretching) {
        self.xx += more.xx;
        self.xz += more.xz;
        self.zz += more.zz;
    }

    pub(super) fn inverse(&self) -> Stiffness2 {
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
    /// What the line gives by its shape, without stretch.
    pub(super) fn hanging(&self, length_m: f64, weight_n_per_m: f64) -> Flexibility2 {
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
}

impl Solved {
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
            let stretching = self.span.stretching(&self.ends, 0.0);
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

#[cfg(test)]
mod tests {
    use crate::line::span::{Solved, Span, solve};
    use crate::quantity::newtons;
    use crate::rope::Stretch;

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
