//! A rope that hangs from a known force: where its other end lies, in closed form, and how that changes.

use super::stretching::Stretching;
#[cfg(feature = "alloc")]
use super::stretching::walk;
use crate::math::{self, norm};
use crate::rope::Stretch;

/// Weight and stretch of a rope, in SI. [`Stretch::RIGID`] is a rope that doesn't stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct RopeLaw {
    pub(crate) weight_n_per_m: f64,
    pub(crate) stretch: Stretch,
}

/// Where a part of a rope ends, and how that changes with its first end's pull and with its length.
#[derive(Debug, Clone, Copy)]
pub(crate) struct HangingPart {
    /// Level and upward distance to the other end.
    pub(crate) span_m: f64,
    pub(crate) rise_m: f64,
    /// The pull at the other end: its vertical component, and its size.
    pub(crate) v_end_n: f64,
    pub(crate) t_end_n: f64,
    /// ∂span/∂H, ∂span/∂V = ∂rise/∂H, ∂rise/∂V.
    pub(crate) span_by_h: f64,
    pub(crate) cross: f64,
    pub(crate) rise_by_v: f64,
    /// ∂span/∂L, ∂rise/∂L.
    pub(crate) span_by_l: f64,
    pub(crate) rise_by_l: f64,
}

/// The part of `length_m`, unstretched, whose tension at its first end is `h_n` > 0 level and `v_n` upward.
///
/// Good to some ten roundings for any sag and stretch, a weightless rope included: no difference of near-equal numbers
/// is formed.
#[inline]
pub(crate) fn hang(rope: &RopeLaw, h_n: f64, v_n: f64, length_m: f64) -> HangingPart {
    let (h, v, l) = (h_n, v_n, length_m);
    // V₂ = V + wL
    let hung = rope.weight_n_per_m * l;
    let v_end = v + hung;
    // T = √(H² + V²)
    let (t, t_end) = (norm(h, v), norm(h, v_end));
    let sum = t + t_end;
    // τ = wL/(T + T₂) = tanh u,  u = ½(asinh(V₂/H) − asinh(V/H))
    let tau = hung / sum;
    let bend = bend(h, (v, t), (v_end, t_end), tau);
    // I₁ = ∫ds/T = (2L/(T + T₂))·u/τ
    let i1 = 2.0 * l / sum * (1.0 + bend);
    // T·T₂ + V·V₂, which is H²(H² + V² + V₂²)/(T·T₂ − V·V₂) where the second product is negative
    let product = v * v_end;
    let both = if product >= 0.0 {
        t * t_end + product
    } else {
        h * h * (h * h + v * v + v_end * v_end) / (t * t_end - product)
    };
    // I₃ = ∫H²/T³ ds = H²·L·(T + T₂)/(T·T₂·(H² + T·T₂ + V·V₂))
    let i3 = h * h * l * sum / (t * t_end * (h * h + both));
    let half_range = tau * (1.0 + bend);
    let more = Stretching::of(h, (v, t), hung, l, half_range, &rope.stretch, 0.0);
    // The unit tangent at the other end, stretched: (1 + ε)/T
    let along = 1.0 / t_end + rope.stretch.softness_at(t_end);
    HangingPart {
        // span = H·∫ds/T + ∫H·g ds
        span_m: h * i1 + more.x,
        // rise = L·(V + V₂)/(T + T₂) + ∫V·g ds
        rise_m: l * ((v + v_end) / sum) + more.z,
        v_end_n: v_end,
        t_end_n: t_end,
        // ∂span/∂H = ∫V²/T³ ds + ∫∂(H·g)/∂H ds
        span_by_h: i1 - i3 + more.xx,
        // ∂span/∂V = −∫HV/T³ ds + ∫∂(H·g)/∂V ds
        cross: -h * l * (v + v_end) / (sum * t * t_end) + more.xz,
        // ∂rise/∂V = ∫H²/T³ ds + ∫∂(V·g)/∂V ds
        rise_by_v: i3 + more.zz,
        span_by_l: h * along,
        rise_by_l: v_end * along,
    }
}

/// What a part gains by its sag and its stretch, which is little where it is taut: all of it to the last digits.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Gain {
    /// u/τ − 1
    pub(crate) bend: f64,
    /// ∫g ds
    pub(crate) across: f64,
    /// ∫V·g ds
    pub(crate) upward_m: f64,
}

impl Gain {
    /// Of the part that [`hang`] hangs.
    pub(crate) fn of(rope: &RopeLaw, h_n: f64, v_n: f64, length_m: f64) -> Self {
        let hung = rope.weight_n_per_m * length_m;
        let v_end = v_n + hung;
        let (t, t_end) = (norm(h_n, v_n), norm(h_n, v_end));
        let tau = hung / (t + t_end);
        let bend = bend(h_n, (v_n, t), (v_end, t_end), tau);
        let more = Stretching::of(h_n, (v_n, t), hung, length_m, tau * (1.0 + bend), &rope.stretch, 0.0);
        Self { bend, across: more.x / h_n, upward_m: more.z }
    }
}

/// By how much the other end comes nearer, level and upward, when the curve of the rope gains δT(ε) and the pull at its
/// first end stays: ∫(H, V)/T·δT/T' ds. For a rope with weight.
#[cfg(feature = "alloc")]
pub(crate) fn shortened(rope: &RopeLaw, gain: &Stretch, h_n: f64, v_n: f64, length_m: f64) -> (f64, f64) {
    let (h, v, stretch) = (h_n, v_n, &rope.stretch);
    let hung = rope.weight_n_per_m * length_m;
    let v_end = v + hung;
    if stretch.is_linear() && gain.is_linear() {
        // (H, ½(V + V₂))·L/EA·δEA/EA
        let by = length_m / stretch.a_n() * (gain.a_n() / stretch.a_n());
        return (h * by, 0.5 * (v + v_end) * by);
    }
    if h == 0.0 {
        // With dV = w·ds and dT = T'·dε: (∫δT dε at the other end − at the first)/w
        let energy = |upward_n: f64| gain.energy_at(stretch.strain_at(upward_n.abs()));
        return (0.0, (energy(v_end) - energy(v)) / rope.weight_n_per_m);
    }
    let (t, t_end) = (norm(h, v), norm(h, v_end));
    let tau = hung / (t + t_end);
    let half_range = tau * (1.0 + bend(h, (v, t), (v_end, t_end), tau));
    let (mut x, mut z) = (0.0, 0.0);
    walk(h, (v, t), hung, length_m, half_range, |point| {
        let strain = stretch.strain_at(point.tension_n);
        let by = gain.tension_at(strain) / stretch.tangent_at(strain) / point.tension_n * point.ds_m;
        x += h * by;
        z += point.upward_n * by;
    });
    (x, z)
}

/// u/τ − 1 = (artanh τ)/τ − 1, from V and T at both ends.
#[inline]
fn bend(h: f64, (v, t): (f64, f64), (v_end, t_end): (f64, f64), tau: f64) -> f64 {
    if tau < 0.1 {
        // τ²/3 + τ⁴/5 + …, the ninth term below 2e-17 of the first
        let y = tau * tau;
        y * BEND.iter().rev().fold(0.0, |sum, c| c + y * sum)
    } else if tau < 0.5 {
        0.5 * math::ln_1p(2.0 * tau / (1.0 - tau)) / tau - 1.0
    } else {
        // asinh(V/H) = ±ln((T + |V|)/H): H drops out, however small it is, but where V changes its sign
        let (first, last) = (math::ln(t + v.abs()), math::ln(t_end + v_end.abs()));
        let twice_u = match (v < 0.0, v_end < 0.0) {
            (true, true) => first - last,
            (true, false) => last + first - 2.0 * math::ln(h),
            (false, _) => last - first,
        };
        0.5 * twice_u / tau - 1.0
    }
}

/// 1/3, 1/5, …
const BEND: [f64; 8] =
    [1.0 / 3.0, 1.0 / 5.0, 1.0 / 7.0, 1.0 / 9.0, 1.0 / 11.0, 1.0 / 13.0, 1.0 / 15.0, 1.0 / 17.0];

#[cfg(test)]
mod tests {
    use super::{HangingPart, RopeLaw, hang};
    use crate::quantity::newtons;
    use crate::rope::Stretch;

    fn rope(weight_n_per_m: f64, a_n: f64, b_n: f64) -> RopeLaw {
        RopeLaw { weight_n_per_m, stretch: Stretch::stiffening(newtons(a_n), newtons(b_n)).unwrap() }
    }

    /// The same rope hung piece by piece, each from the end of the one before.
    fn in_pieces(rope: &RopeLaw, h: f64, v: f64, l: f64, count: u32) -> (f64, f64) {
        let ds = l / f64::from(count);
        (0..count).fold((0.0, 0.0), |(x, z), i| {
            let piece = hang(rope, h, v + rope.weight_n_per_m * (ds * f64::from(i)), ds);
            (x + piece.span_m, z + piece.rise_m)
        })
    }

    /// A level tension whose square is no number left the rope at infinity.
    #[test]
    fn a_rope_that_hangs_all_but_plumb_ends_below_its_support() {
        for h in [1e-300, 3e-161, 1e-100, 1e-20] {
            for (v, l) in [(-493.0, 59.8), (-100.0, 59.8), (100.0, 59.8), (-1e-3, 1.0)] {
                let part = hang(&rope(6.56, 436e3, 0.0), h, v, l);
                // Within H·∫ds/T; the larger end tension is at least 1e-3 N, and asinh(V/H) below 705 at each end.
                assert!(
                    part.span_m >= 0.0 && part.span_m <= h * (1500.0 / 6.56 + l / 436e3),
                    "{h} {v}: {part:?}"
                );
                // ∫sign V ds + ∫V/EA ds, to some ten roundings of the length
                let v2 = v + 6.56 * l;
                let rise = (v2.abs() - v.abs()) / 6.56 + (v2 * v2 - v * v) / (2.0 * 436e3 * 6.56);
                assert!((part.rise_m - rise).abs() < 20.0 * f64::EPSILON * l, "{h} {v}: {part:?}");
            }
        }
    }

    #[test]
    fn the_closed_form_is_the_textbook_catenary() {
        // Irvine 1981, as printed
        let law = rope(1.7, 8e4, 0.0);
        for (h, v, l) in
            [(2500.0, 1300.0, 40.0), (2500.0, -60.0, 70.0), (3.0, -40.0, 50.0), (0.1, 5.0, 300.0_f64)]
        {
            let (w, end) = (1.7, v + 1.7 * l);
            let span = h * l / 8e4 + h / w * ((end / h).asinh() - (v / h).asinh());
            let rise = (v + 0.5 * w * l) * l / 8e4 + (f64::hypot(h, end) - f64::hypot(h, v)) / w;
            let part = hang(&law, h, v, l);
            // the textbook form loses the ratio of its terms to their difference: at most 1e4 here
            assert!((part.span_m / span - 1.0).abs() < 1e-11, "{h} {v} {l}");
            assert!((part.rise_m - rise).abs() < 1e-11 * l, "{h} {v} {l}");
        }
    }

    #[test]
    fn a_weightless_part_is_a_straight_stretched_line() {
        for b in [0.0, 4e4] {
            let law = rope(0.0, 1e4, b);
            let stretched = 10.0 * (1.0 + law.stretch.strain_at(500.0));
            let part = hang(&law, 300.0, 400.0, 10.0);
            assert!((part.span_m - 0.6 * stretched).abs() < 1e-14);
            assert!((part.rise_m - 0.8 * stretched).abs() < 1e-14);
        }
    }

    #[test]
    fn a_rope_ends_where_its_pieces_end_however_it_stiffens() {
        // From nearly linear to b alone; taut, sagging, slack, and doubled back on itself.
        for (a, b) in [(3e3, 0.0), (3e3, 2e5), (3e3, 1e9), (1.0, 1e6), (1e-6, 1e4)] {
            let law = rope(2.0, a, b);
            for (h, v, l) in [
                (2500.0, 1300.0, 40.0),
                (250.0, 130.0, 40.0),
                (60.0, -30.0, 40.0),
                (20.0, -60.0, 70.0),
                (0.5, -50.0, 60.0),
                (1e-6, -70.0, 70.0),
                (1e-30, 3.0, 7.0),
            ] {
                let part = hang(&law, h, v, l);
                let (span, rise) = in_pieces(&law, h, v, l, 4096);
                // 4096 roundings of a sum, at worst all one way; and of V, 3 digits near V = 0.
                let size = span + rise.abs() + l * (1.0 + law.stretch.strain_at(part.t_end_n));
                assert!((part.span_m - span).abs() < 2e-13 * size, "{a} {b} {h} {v}: {} {span}", part.span_m);
                assert!((part.rise_m - rise).abs() < 2e-13 * size, "{a} {b} {h} {v}: {} {rise}", part.rise_m);
            }
        }
    }

    #[test]
    fn the_derivatives_are_those_of_the_function() {
        for b in [0.0, 3e5] {
            for (h, v, l) in [(2500.0, 1300.0, 40.0), (25.0, -60.0, 70.0), (3.0, -40.0, 50.0)] {
                let law = rope(1.7, 2e4, b);
                let slope = |f: &dyn Fn(f64) -> f64, step: f64| (f(step) - f(-step)) / (2.0 * step);
                let part = hang(&law, h, v, l);
                // Central differences of 1e-4: their third derivative.
                let near = |value: f64, difference: f64| {
                    assert!((value - difference).abs() < 1e-6 * (value.abs() + 1e-3), "{value} {difference}");
                };
                let by_h = |pick: fn(HangingPart) -> f64| slope(&|d| pick(hang(&law, h + d, v, l)), 1e-4 * h);
                let by_v = |pick: fn(HangingPart) -> f64| slope(&|d| pick(hang(&law, h, v + d, l)), 1e-4 * h);
                let by_l = |pick: fn(HangingPart) -> f64| slope(&|d| pick(hang(&law, h, v, l + d)), 1e-4 * l);
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
