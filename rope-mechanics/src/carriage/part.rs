//! One part of a rope, by the force at its lower end: where its other end lies, in closed form.

use crate::math;
use crate::rope::Stretch;

/// Weight and stretch of a rope, in SI. An `a_n` of infinity is a rope that doesn't stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Law {
    pub(super) weight_n_per_m: f64,
    pub(super) a_n: f64,
    pub(super) b_n: f64,
}

impl Law {
    pub(super) fn new(weight_n_per_m: f64, stretch: Option<Stretch>) -> Self {
        let (a_n, b_n) = stretch.map_or((f64::INFINITY, 0.0), |s| (s.a_n(), s.b_n()));
        Self { weight_n_per_m, a_n, b_n }
    }

    /// The same rope with this share of its weight.
    pub(super) fn lightened(self, share: f64) -> Self {
        Self { weight_n_per_m: self.weight_n_per_m * share, ..self }
    }

    pub(super) fn strain(&self, tension_n: f64) -> f64 {
        // ε = T·g(T)
        tension_n * self.softness(tension_n).0
    }

    /// The tension at a strain, of a rope that stretches.
    pub(super) fn tension(&self, strain: f64) -> f64 {
        // T = a·ε + b·ε²
        strain * (self.a_n + self.b_n * strain)
    }

    /// dε/dT
    pub(super) fn compliance(&self, tension_n: f64) -> f64 {
        // dε/dT = 1/√(a² + 4bT)
        1.0 / math::sqrt(self.a_n * self.a_n + 4.0 * self.b_n * tension_n.max(0.0))
    }

    /// g = ε/T and dg/dT.
    fn softness(&self, tension_n: f64) -> (f64, f64) {
        if self.b_n == 0.0 {
            return (1.0 / self.a_n, 0.0);
        }
        // g = 2/(a + √(a² + 4bT)),  dg/dT = −g²·b/√(a² + 4bT)
        let root = math::sqrt(self.a_n * self.a_n + 4.0 * self.b_n * tension_n);
        let g = 2.0 / (self.a_n + root);
        (g, -g * g * self.b_n / root)
    }
}

/// Where a part ends, and how that changes.
#[derive(Debug, Clone, Copy)]
pub(super) struct Part {
    /// Level and upward distance to the other end.
    pub(super) span_m: f64,
    pub(super) rise_m: f64,
    /// The pull at the other end: its vertical component, and its size.
    pub(super) v_end_n: f64,
    pub(super) t_end_n: f64,
    /// ∂span/∂H, ∂span/∂V = ∂rise/∂H, ∂rise/∂V.
    pub(super) span_by_h: f64,
    pub(super) cross: f64,
    pub(super) rise_by_v: f64,
    /// ∂span/∂L, ∂rise/∂L.
    pub(super) span_by_l: f64,
    pub(super) rise_by_l: f64,
}

impl Part {
    /// What its ends' places are sums of, for judging rounding.
    pub(super) fn extent_m(&self) -> f64 {
        self.span_m + self.rise_m.abs()
    }
}

/// The part of `length_m`, unstretched, that pulls at its first end with `h_n` > 0 level and `v_n` upward.
///
/// Exact for any sag and stretch, a weightless rope included: no difference of near-equal numbers is formed.
pub(super) fn hang(law: &Law, h_n: f64, v_n: f64, length_m: f64) -> Part {
    let (h, v, l) = (h_n, v_n, length_m);
    // V₂ = V + wL
    let hung = law.weight_n_per_m * l;
    let v_end = v + hung;
    // T = √(H² + V²)
    let t = math::sqrt(h * h + v * v);
    let t_end = math::sqrt(h * h + v_end * v_end);
    let sum = t + t_end;
    // τ = wL/(T + T₂) = tanh ½(asinh(V₂/H) − asinh(V/H))
    let tau = hung / sum;
    // I₁ = ∫ds/T = (2L/(T + T₂))·(artanh τ)/τ
    let i1 = 2.0 * l / sum * (1.0 + bend(h, (v, t), (v_end, t_end), tau));
    // T·T₂ + V·V₂, which is H²(H² + V² + V₂²)/(T·T₂ − V·V₂) where the second product is negative
    let product = v * v_end;
    let both = if product >= 0.0 {
        t * t_end + product
    } else {
        h * h * (h * h + v * v + v_end * v_end) / (t * t_end - product)
    };
    // I₃ = ∫H²/T³ ds = H²·L·(T + T₂)/(T·T₂·(H² + T·T₂ + V·V₂))
    let i3 = h * h * l * sum / (t * t_end * (h * h + both));
    let elastic = Elastic::over(law, h, v, v_end, l, tau);
    let (g_end, _) = law.softness(t_end);
    Part {
        // span = H·(∫ds/T + ∫g ds)
        span_m: h * (i1 + elastic.g),
        // rise = L·(V + V₂)/(T + T₂) + ∫V·g ds
        rise_m: l * (v + v_end) / sum + elastic.vg,
        v_end_n: v_end,
        t_end_n: t_end,
        // ∂span/∂H = ∫V²/T³ ds + ∫(g + H²g'/T) ds
        span_by_h: i1 - i3 + elastic.g + elastic.hh,
        // ∂span/∂V = −∫HV/T³ ds + ∫HVg'/T ds
        cross: -h * l * (v + v_end) / (sum * t * t_end) + elastic.hv,
        // ∂rise/∂V = ∫H²/T³ ds + ∫(g + V²g'/T) ds
        rise_by_v: i3 + elastic.g + elastic.vv,
        // the unit tangent at the other end, stretched
        span_by_l: h * (1.0 / t_end + g_end),
        rise_by_l: v_end * (1.0 / t_end + g_end),
    }
}

/// What a part gains by its sag and its stretch, which is little where it is taut.
pub(super) struct Gain {
    /// (artanh τ)/τ − 1
    pub(super) bend: f64,
    /// ∫g ds
    pub(super) stretch: f64,
    /// ∫V·g ds
    pub(super) rise_m: f64,
}

impl Gain {
    /// Of the part that [`hang`] hangs, all of it to the last digits.
    pub(super) fn of(law: &Law, h_n: f64, v_n: f64, length_m: f64) -> Self {
        let hung = law.weight_n_per_m * length_m;
        let v_end = v_n + hung;
        let (t, t_end) = (math::sqrt(h_n * h_n + v_n * v_n), math::sqrt(h_n * h_n + v_end * v_end));
        let tau = hung / (t + t_end);
        let elastic = Elastic::over(law, h_n, v_n, v_end, length_m, tau);
        Self { bend: bend(h_n, (v_n, t), (v_end, t_end), tau), stretch: elastic.g, rise_m: elastic.vg }
    }
}

/// (artanh τ)/τ − 1, from V and T at both ends.
fn bend(h: f64, (v, t): (f64, f64), (v_end, t_end): (f64, f64), tau: f64) -> f64 {
    if tau < 0.1 {
        // τ²/3 + τ⁴/5 + …, the ninth term below 2e-17 of the first
        let y = tau * tau;
        BEND.iter().rev().fold(0.0, |sum, c| c + y * sum) * y
    } else if tau < 0.5 {
        0.5 * math::ln_1p(2.0 * tau / (1.0 - tau)) / tau - 1.0
    } else {
        half_turn(h, v, v_end, t, t_end) / tau - 1.0
    }
}

/// 1/3, 1/5, …
const BEND: [f64; 8] =
    [1.0 / 3.0, 1.0 / 5.0, 1.0 / 7.0, 1.0 / 9.0, 1.0 / 11.0, 1.0 / 13.0, 1.0 / 15.0, 1.0 / 17.0];

/// ½(asinh(V₂/H) − asinh(V/H)) for a part that turns much.
fn half_turn(h: f64, v: f64, v_end: f64, t: f64, t_end: f64) -> f64 {
    // T + V = H²/(T − V) where V is negative
    let first = if v < 0.0 { h * h / (t - v) } else { t + v };
    let last = if v_end < 0.0 { h * h / (t_end - v_end) } else { t_end + v_end };
    // e^asinh(V/H) = (T + V)/H
    0.5 * (math::ln(last) - math::ln(first))
}

/// The integrals over the unstretched rope that its stretch adds.
#[derive(Debug, Clone, Copy, Default)]
struct Elastic {
    /// ∫g ds, ∫V·g ds, and ∫H²g'/T ds, ∫HVg'/T ds, ∫V²g'/T ds.
    g: f64,
    vg: f64,
    hh: f64,
    hv: f64,
    vv: f64,
}

/// Nodes and weights of the Gauss–Legendre rule with eight points, the positive half.
const GAUSS: [(f64, f64); 4] = [
    (0.960_289_856_497_536_2, 0.101_228_536_290_376_26),
    (0.796_666_477_413_626_7, 0.222_381_034_453_374_47),
    (0.525_532_409_916_328_99, 0.313_706_645_877_887_3),
    (0.183_434_642_495_649_8, 0.362_683_783_378_361_98),
];

impl Elastic {
    fn over(law: &Law, h: f64, v: f64, v_end: f64, l: f64, tau: f64) -> Self {
        if law.b_n == 0.0 {
            // g = 1/EA
            let g = l / law.a_n;
            return Self { g, vg: 0.5 * (v + v_end) * g, ..Self::default() };
        }
        let mut sum = Self::default();
        if tau <= 0.3 {
            // In s, whose nearest singularity V = ±iH lies beyond 1/τ half-lengths: the rule errs by 6⁻¹⁶.
            for (x, weight) in GAUSS {
                for side in [-x, x] {
                    let vs = 0.5 * ((v + v_end) + side * (v_end - v));
                    sum.add(law, h, vs, math::sqrt(h * h + vs * vs), 0.5 * l * weight);
                }
            }
            return sum;
        }
        // V = H·sinh φ, ds = (H/w)·cosh φ dφ, in panels of at most 2: entire but for ±iπ
        let (from, to) = (math::asinh(v / h), math::asinh(v_end / h));
        let panels = math::ceil(0.5 * (to - from)).max(1.0);
        let half = 0.5 * (to - from) / panels;
        let mut middle = from + half;
        while middle < to {
            for (x, weight) in GAUSS {
                for side in [-x, x] {
                    let (sinh, cosh) = sinh_cosh(middle + side * half);
                    sum.add(law, h, h * sinh, h * cosh, half * weight * h * cosh * l / (v_end - v));
                }
            }
            middle += 2.0 * half;
        }
        sum
    }

    fn add(&mut self, law: &Law, h: f64, v: f64, t: f64, ds: f64) {
        let (g, dg) = law.softness(t);
        let bend = dg / t * ds;
        self.g += g * ds;
        self.vg += v * g * ds;
        self.hh += h * h * bend;
        self.hv += h * v * bend;
        self.vv += v * v * bend;
    }
}

fn sinh_cosh(x: f64) -> (f64, f64) {
    let sinh = math::sinh(x);
    (sinh, math::sqrt(1.0 + sinh * sinh))
}

/// The components (level, upward) of a pull of `tension_n` whose slope is V/H = sinh ψ, and their change by ψ.
pub(super) fn pull(tension_n: f64, psi: f64) -> Pull {
    let (sinh, cosh) = sinh_cosh(psi);
    // H = T/cosh ψ, V = T·tanh ψ
    let h = tension_n / cosh;
    let v = h * sinh;
    Pull { h, v, h_by_psi: -h * sinh / cosh, v_by_psi: h / cosh }
}

/// A pull by its components, with their change by the slope.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pull {
    pub(super) h: f64,
    pub(super) v: f64,
    pub(super) h_by_psi: f64,
    pub(super) v_by_psi: f64,
}

#[cfg(test)]
mod tests {
    use super::{Law, Part, hang};

    fn catenary(law: &Law, h: f64, v: f64, l: f64) -> (f64, f64) {
        // Irvine 1981, as printed
        let (w, end) = (law.weight_n_per_m, v + law.weight_n_per_m * l);
        let span = h * l / law.a_n + h / w * ((end / h).asinh() - (v / h).asinh());
        let rise = (v + 0.5 * w * l) * l / law.a_n + (h.hypot(end) - h.hypot(v)) / w;
        (span, rise)
    }

    #[test]
    fn the_closed_form_is_the_textbook_catenary() {
        let law = Law { weight_n_per_m: 1.7, a_n: 8e4, b_n: 0.0 };
        for (h, v, l) in
            [(2500.0, 1300.0, 40.0), (2500.0, -60.0, 70.0), (3.0, -40.0, 50.0), (0.1, 5.0, 300.0)]
        {
            let part = hang(&law, h, v, l);
            let (span, rise) = catenary(&law, h, v, l);
            // the textbook form loses the ratio of its terms to their difference: at most 1e4 here
            assert!((part.span_m / span - 1.0).abs() < 1e-11, "{h} {v} {l}");
            assert!((part.rise_m - rise).abs() < 1e-11 * l, "{h} {v} {l}");
        }
    }

    #[test]
    fn a_weightless_part_is_a_straight_stretched_line() {
        let law = Law { weight_n_per_m: 0.0, a_n: 1e4, b_n: 0.0 };
        let part = hang(&law, 300.0, 400.0, 10.0);
        assert!((part.span_m - 0.6 * 10.5).abs() < 1e-14);
        assert!((part.rise_m - 0.8 * 10.5).abs() < 1e-14);
    }

    #[test]
    fn a_stiffening_rope_is_the_sum_of_many_short_straight_ones() {
        let law = Law { weight_n_per_m: 2.0, a_n: 3e3, b_n: 2e5 };
        for (h, v, l) in [(250.0, 130.0, 40.0), (20.0, -60.0, 70.0), (0.5, -50.0, 60.0)] {
            let n = 400_000;
            let ds = l / f64::from(n);
            let (mut span, mut rise) = (0.0, 0.0);
            for i in 0..n {
                let vs = v + law.weight_n_per_m * ds * (f64::from(i) + 0.5);
                let t = f64::hypot(h, vs);
                let stretched = ds * (1.0 + law.strain(t));
                span += stretched * h / t;
                rise += stretched * vs / t;
            }
            let part = hang(&law, h, v, l);
            // midpoint rule: ds²/24 × curvature of the integrand, at most (w/H)²·l
            let bound = ds * ds * (law.weight_n_per_m / h).powi(2) * l + 1e-10;
            assert!((part.span_m - span).abs() < bound, "{} {span}", part.span_m);
            assert!((part.rise_m - rise).abs() < bound, "{} {rise}", part.rise_m);
        }
    }

    #[test]
    fn the_derivatives_are_those_of_the_function() {
        for b_n in [0.0, 3e5] {
            for (h, v, l) in [(2500.0, 1300.0, 40.0), (25.0, -60.0, 70.0), (3.0, -40.0, 50.0)] {
                let law = Law { weight_n_per_m: 1.7, a_n: 2e4, b_n };
                let slope = |f: &dyn Fn(f64) -> f64, step: f64| (f(step) - f(-step)) / (2.0 * step);
                let part = hang(&law, h, v, l);
                let near = |value: f64, difference: f64| {
                    assert!((value - difference).abs() < 1e-6 * (value.abs() + 1e-3), "{value} {difference}");
                };
                let by_h = |pick: fn(Part) -> f64| slope(&|d| pick(hang(&law, h + d, v, l)), 1e-4 * h);
                let by_v = |pick: fn(Part) -> f64| slope(&|d| pick(hang(&law, h, v + d, l)), 1e-4 * h);
                let by_l = |pick: fn(Part) -> f64| slope(&|d| pick(hang(&law, h, v, l + d)), 1e-4 * l);
                near(part.span_by_h, by_h(|p| p.span_m));
                near(part.cross, by_h(|p| p.rise_m));
                near(part.cross, by_v(|p| p.span_m));
                near(part.rise_by_v, by_v(|p| p.rise_m));
                near(part.span_by_l, by_l(|p| p.span_m));
                near(part.rise_by_l, by_l(|p| p.rise_m));
            }
        }
    }
}
