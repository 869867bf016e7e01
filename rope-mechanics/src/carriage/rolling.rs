//! A carriage that rolls free, and one that is fixed to the rope: no haul rope, so the level tension is one and
//! the same in both parts, and two unknowns are enough.
#![allow(clippy::indexing_slicing, reason = "fixed places in vectors of fixed length")]

use super::careful;
use super::newton::{Rest, System, newton, settled};
use super::part::{Law, Part, hang};
use super::{CarriageError, Support, rounding};
use crate::math::roots::bracketed;
use crate::math::{self, double::Double};
use nalgebra::{Const, DimMin, SMatrix, SVector};

/// The two parts of a rope without a haul rope.
#[derive(Debug, Clone, Copy)]
pub(super) struct Hung {
    pub(super) h_n: f64,
    pub(super) upper_v_n: f64,
    pub(super) lower_v_n: f64,
    pub(super) upper_m: f64,
    pub(super) lower_m: f64,
    pub(super) upper: Part,
    pub(super) lower: Part,
    pub(super) iterations: u32,
}

/// A rope over (X, Z) with a load on it, in SI, in the frame of the track.
#[derive(Debug, Clone, Copy)]
pub(super) struct Span {
    pub(super) track: Law,
    pub(super) far_x_m: f64,
    pub(super) far_z_m: f64,
    pub(super) length_m: f64,
    pub(super) load_n: f64,
}

impl Span {
    fn chord_m(&self) -> f64 {
        math::hypot(self.far_x_m, self.far_z_m)
    }

    /// Without friction both parts pull alike, and level alike, hence upward alike: V = P/2 each.
    pub(super) fn rolling(&self) -> Result<Hung, CarriageError> {
        if let Some(widest_m) = self.widest()?
            && self.far_x_m >= widest_m
        {
            let support = if self.far_z_m < 0.0 { Support::Far } else { Support::Head };
            return Err(CarriageError::runs_away(support, self.far_x_m, widest_m));
        }
        let free = Rolling { span: self, sought: Sought::Length };
        let direct = self.straight_roll().and_then(|start| newton(&free, start));
        if let Some(hung) = direct.and_then(|rest| free.settle(rest)) {
            return Ok(hung);
        }
        let (iterations, residual) =
            direct.map_or((0, f64::INFINITY), |rest| (rest.iterations, rest.residual));
        // The scalar equation of a linear rope, which has exactly one root; then the same steps from there.
        self.one_equation()
            .and_then(|start| free.settle(newton(&free, start)?))
            .ok_or(CarriageError::Unsolved { iterations, residual })
    }

    /// The rope with which the load rolls to what is sought. `length_m` is not used.
    pub(super) fn rolling_to(&self, sought: Sought) -> Result<Hung, CarriageError> {
        let mut guess = self.start_to(sought, self.load_n);
        // once more, with half of the rope's weight on the load
        let heavier = self.load_n + 0.5 * self.track.weight_n_per_m * (guess[1] + guess[2]);
        guess = self.start_to(sought, heavier);
        let rolling = Rolling { span: self, sought };
        let rest = newton(&rolling, guess);
        let (iterations, residual) = rest.map_or((0, f64::INFINITY), |rest| (rest.iterations, rest.residual));
        rest.and_then(|rest| rolling.settle(rest)).ok_or(CarriageError::Unsolved { iterations, residual })
    }

    /// A guess from two straight lines: x = ½(X − Z·cot α), sag below the chord = ½(X·tan α − Z²·cot α/X).
    fn start_to(&self, sought: Sought, load_n: f64) -> SVector<f64, 3> {
        let (x, z) = (self.far_x_m, self.far_z_m);
        let flattest = z.abs() / x;
        let tan = match sought {
            Sought::Length => 1.0,
            Sought::X(at_m) => -z / (2.0 * at_m - x),
            Sought::Sag(sag_m) => (sag_m + math::hypot(sag_m, z)) / x,
            Sought::HeadTension(t) => {
                let sin = (0.5 * load_n / t).min(0.99);
                sin / math::sqrt(1.0 - sin * sin)
            }
        };
        let tan = tan.max(1.01 * flattest);
        let secant = math::sqrt(1.0 + tan * tan);
        let t = 0.5 * load_n * secant / tan;
        let stretched = 1.0 + self.track.strain(t);
        let (even, uneven) = (x * secant, z * secant / tan);
        SVector::<f64, 3>::new(
            math::ln(t / secant),
            0.5 * (even - uneven) / stretched,
            0.5 * (even + uneven) / stretched,
        )
    }

    /// The widest span that holds the load between the supports: with it the load hangs at the lower one.
    ///
    /// `None` if any span does, as on a level.
    fn widest(&self) -> Result<Option<f64>, CarriageError> {
        let drop_m = self.far_z_m.abs();
        if drop_m == 0.0 {
            return Ok(None);
        }
        // The whole rope rises from the load, which pulls it down by P/2: rise falls as H grows.
        let rise = |h: f64| hang(&self.track, h, 0.5 * self.load_n, self.length_m).rise_m;
        let full_n = self.load_n + self.track.weight_n_per_m * self.length_m;
        let least = 1e-12 * full_n;
        if rise(least) <= drop_m {
            return Ok(Some(0.0));
        }
        let mut most = full_n;
        for _ in 0..200 {
            if rise(most) < drop_m {
                let excess = |ln_h: f64| rise(math::exp(ln_h)) / drop_m - 1.0;
                let Some(root) = bracketed(math::ln(least), math::ln(most), 1e-15, excess) else { break };
                let h = math::exp(root.x);
                return Ok(Some(hang(&self.track, h, 0.5 * self.load_n, self.length_m).span_m));
            }
            if most > 1e3 * self.track.a_n.max(full_n) {
                // A rope that stretches this far up to the higher support is held by stretch alone.
                return Ok(None);
            }
            most *= 4.0;
        }
        Ok(None)
    }

    /// A first guess: two straight lines, with half of the rope's weight on the load.
    fn straight_roll(&self) -> Option<SVector<f64, 3>> {
        let load = self.load_n + 0.5 * self.track.weight_n_per_m * self.length_m;
        // (P/2T)² + (X/(L(1 + ε)))² = 1
        let excess = |ln_t: f64| {
            let t = math::exp(ln_t);
            let level = self.far_x_m / (self.length_m * (1.0 + self.track.strain(t)));
            0.25 * load * load / (t * t) + level * level - 1.0
        };
        let least = math::ln(0.5 * load);
        let most = math::ln(load + 4.0 * self.track.a_n * (1.0 + self.far_x_m / self.length_m));
        let t = math::exp(bracketed(least, most, 1e-5, excess)?.x);
        let stretched = 1.0 + self.track.strain(t);
        let h = t * self.far_x_m / (self.length_m * stretched);
        // (L₁ − L₂)·(1 + ε)·sin α = −Z
        let unlike = -self.far_z_m / (stretched * 0.5 * load / t);
        let most = 0.98 * self.length_m;
        let upper_m = 0.5 * (self.length_m + unlike.clamp(-most, most));
        Some(SVector::<f64, 3>::new(math::ln(h), upper_m, self.length_m - upper_m))
    }

    /// With Q = wL + P, q = Q/2EA and t = tanh μ: L₁ − L₂ = −Z/(q + t), H = √(Q² − (w(L₁ − L₂)t)²)/(2 sinh μ),
    /// and the span falls as μ grows.
    fn one_equation(&self) -> Option<SVector<f64, 3>> {
        let (w, l, p) = (self.track.weight_n_per_m, self.length_m, self.load_n);
        let sum = w * l + p;
        let q = 0.5 * sum / self.track.a_n;
        let shape = |ln_mu: f64| {
            let mu = math::exp(ln_mu);
            let t = math::tanh(mu);
            let unlike = -self.far_z_m / (q + t);
            let lean = w * unlike * t;
            let h = math::sqrt((sum - lean) * (sum + lean)) / (2.0 * math::sinh(mu));
            (h, 0.5 * (l + unlike))
        };
        let spare = |ln_mu: f64| {
            let (h, upper_m) = shape(ln_mu);
            if !(upper_m > 0.0 && upper_m < l) {
                return 1.0;
            }
            if !(h > 0.0) {
                return -1.0;
            }
            let linear = Law { b_n: 0.0, ..self.track };
            let spans =
                hang(&linear, h, 0.5 * p, upper_m).span_m + hang(&linear, h, 0.5 * p, l - upper_m).span_m;
            spans / self.far_x_m - 1.0
        };
        let (h, upper_m) = shape(bracketed(-40.0, 6.5, 1e-12, spare)?.x);
        Some(SVector::<f64, 3>::new(math::ln(h), upper_m, l - upper_m))
    }

    /// The load fixed to the rope, `upper_m` of it above: a convex problem, with one answer.
    pub(super) fn fixed(&self, upper_m: f64) -> Result<Hung, CarriageError> {
        let mut steps = 0;
        let mut best = f64::INFINITY;
        for guess in [Pinned::guess, Pinned::search] {
            // Unknown is first the pull of the upper part, then of the lower one if that is the lesser: the
            // difference of two large pulls would not be known well.
            let mut pinned = Pinned { span: self, upper_m, lower_is_unknown: false };
            let Some(mut start) = guess(&pinned) else { continue };
            for _ in 0..2 {
                let Some(rest) = newton(&pinned, start) else { break };
                steps += rest.iterations;
                best = rest.residual.min(best);
                let (h_n, v1, v2) = pinned.forces(&rest.at);
                let swap = (v1.abs() > v2.abs()) != pinned.lower_is_unknown;
                if !swap {
                    let hung = |at: &SVector<f64, 2>| {
                        self.hung(pinned.forces(at), (upper_m, self.length_m - upper_m))
                    };
                    match self.certified(&pinned, Rest { iterations: steps, ..rest }, hung) {
                        Some(hung) => return Ok(hung),
                        None => break,
                    }
                }
                pinned.lower_is_unknown = !pinned.lower_is_unknown;
                let v = if pinned.lower_is_unknown { v2 } else { v1 };
                start = SVector::<f64, 2>::new(math::ln(h_n), v / pinned.scale_n());
            }
        }
        Err(CarriageError::Unsolved { iterations: steps, residual: best })
    }

    /// The two parts by their forces and lengths.
    fn hung(&self, (h_n, upper_v_n, lower_v_n): (f64, f64, f64), (upper_m, lower_m): (f64, f64)) -> Hung {
        Hung {
            h_n,
            upper_v_n,
            lower_v_n,
            upper_m,
            lower_m,
            upper: hang(&self.track, h_n, upper_v_n, upper_m),
            lower: hang(&self.track, h_n, lower_v_n, lower_m),
            iterations: 0,
        }
    }

    /// What Newton's method came to, if its closing error is rounding.
    fn certified<const N: usize, S: System<N>>(
        &self,
        system: &S,
        rest: Rest<N>,
        hung: impl Fn(&SVector<f64, N>) -> Hung,
    ) -> Option<Hung>
    where
        Const<N>: DimMin<Const<N>, Output = Const<N>>,
    {
        let found = |at: &SVector<f64, N>| {
            let hung = hung(at);
            let extent = hung.upper.extent_m() + hung.lower.extent_m();
            Some((hung, rounding(1.0 + extent / self.chord_m())))
        };
        let (hung, Rest { iterations, .. }) = settled(system, rest, found)?;
        Some(Hung { iterations, ..hung })
    }

    /// By how much two parts at twice the digits miss the far support, over the chord.
    fn careful_miss(&self, upper: &careful::End, lower: &careful::End) -> (f64, f64) {
        let by = 1.0 / self.chord_m();
        (
            (upper.span + lower.span - Double::from(self.far_x_m)).rounded() * by,
            (lower.rise - upper.rise - Double::from(self.far_z_m)).rounded() * by,
        )
    }
}

/// What a rolling load is to do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Sought {
    /// Hang on the rope as long as it is.
    Length,
    /// Rest here.
    X(f64),
    /// Hang this far below the chord, measured plumb.
    Sag(f64),
    /// Pull like this at the head.
    HeadTension(f64),
}

/// Unknown: ln H, L₁ and L₂.
struct Rolling<'a> {
    span: &'a Span,
    sought: Sought,
}

impl Rolling<'_> {
    fn settle(&self, rest: Rest<3>) -> Option<Hung> {
        let v = 0.5 * self.span.load_n;
        self.span.certified(self, rest, |at| self.span.hung((math::exp(at[0]), v, v), (at[1], at[2])))
    }
}

impl System<3> for Rolling<'_> {
    fn equations(&self, at: &SVector<f64, 3>) -> Option<(SVector<f64, 3>, SMatrix<f64, 3, 3>)> {
        let span = self.span;
        let (h, upper_m, lower_m) = (math::exp(at[0]), at[1], at[2]);
        if !(h > 0.0 && h.is_finite() && upper_m > 0.0 && lower_m > 0.0) {
            return None;
        }
        let v = 0.5 * span.load_n;
        let (upper, lower) = (hang(&span.track, h, v, upper_m), hang(&span.track, h, v, lower_m));
        let by = 1.0 / span.chord_m();
        let slope_of_chord = span.far_z_m / span.far_x_m;
        let (third, row) = match self.sought {
            Sought::Length => ((upper_m + lower_m - span.length_m) * by, [0.0, by, by]),
            Sought::X(x_m) => {
                ((upper.span_m - x_m) * by, [h * upper.span_by_h * by, upper.span_by_l * by, 0.0])
            }
            // sag = Z·x/X − z, z = −rise
            Sought::Sag(sag_m) => (
                (slope_of_chord * upper.span_m + upper.rise_m - sag_m) * by,
                [
                    h * (slope_of_chord * upper.span_by_h + upper.cross) * by,
                    (slope_of_chord * upper.span_by_l + upper.rise_by_l) * by,
                    0.0,
                ],
            ),
            Sought::HeadTension(t) => (
                upper.t_end_n / t - 1.0,
                [
                    h * h / (upper.t_end_n * t),
                    span.track.weight_n_per_m * upper.v_end_n / (upper.t_end_n * t),
                    0.0,
                ],
            ),
        };
        let value = SVector::<f64, 3>::new(
            (upper.span_m + lower.span_m - span.far_x_m) * by,
            (lower.rise_m - upper.rise_m - span.far_z_m) * by,
            third,
        );
        #[rustfmt::skip]
        let slope = SMatrix::<f64, 3, 3>::new(
            h * (upper.span_by_h + lower.span_by_h) * by, upper.span_by_l * by, lower.span_by_l * by,
            h * (lower.cross - upper.cross) * by, -upper.rise_by_l * by, lower.rise_by_l * by,
            row[0], row[1], row[2],
        );
        Some((value, slope))
    }

    fn careful(&self, at: &SVector<f64, 3>) -> SVector<f64, 3> {
        let d = Double::from;
        let span = self.span;
        let pull = careful::Pull::of(d(math::exp(at[0])), d(0.5 * span.load_n));
        let upper = careful::hang(&span.track, &pull, d(at[1]));
        let lower = careful::hang(&span.track, &pull, d(at[2]));
        let (x, z) = span.careful_miss(&upper, &lower);
        let third = match self.sought {
            Sought::Length => d(at[1]) + d(at[2]) - d(span.length_m),
            Sought::X(x_m) => upper.span - d(x_m),
            Sought::Sag(sag_m) => d(span.far_z_m) / d(span.far_x_m) * upper.span + upper.rise - d(sag_m),
            Sought::HeadTension(t) => (upper.tension - d(t)) * d(span.chord_m() / t),
        };
        SVector::<f64, 3>::new(x, z, third.rounded() / span.chord_m())
    }

    fn longest(&self, at: &SVector<f64, 3>, step: &SVector<f64, 3>) -> f64 {
        let mut share = 1.5 / step[0].abs();
        for part in 1..3 {
            if step[part] < 0.0 {
                share = share.min(-0.8 * at[part] / step[part]);
            }
        }
        share
    }
}

/// Unknown: ln H and the upward pull of one part, over the scale of forces.
struct Pinned<'a> {
    span: &'a Span,
    upper_m: f64,
    lower_is_unknown: bool,
}

impl Pinned<'_> {
    fn scale_n(&self) -> f64 {
        self.span.load_n + self.span.track.weight_n_per_m * self.span.length_m
    }

    /// H, V₁ and V₂, where V₁ + V₂ = P.
    fn forces(&self, at: &SVector<f64, 2>) -> (f64, f64, f64) {
        let (h, v) = (math::exp(at[0]), at[1] * self.scale_n());
        let other = self.span.load_n - v;
        if self.lower_is_unknown { (h, other, v) } else { (h, v, other) }
    }

    /// What both parts miss level and upward.
    fn miss(&self, h: f64, v1: f64) -> (f64, f64) {
        let span = self.span;
        let upper = hang(&span.track, h, v1, self.upper_m);
        let lower = hang(&span.track, h, span.load_n - v1, span.length_m - self.upper_m);
        (upper.span_m + lower.span_m - span.far_x_m, lower.rise_m - upper.rise_m - span.far_z_m)
    }

    /// Two straight lines.
    fn guess(&self) -> Option<SVector<f64, 2>> {
        let span = self.span;
        let chord = span.chord_m();
        let share = 1.0 - self.upper_m / span.length_m;
        let sag = 0.5 * math::sqrt((span.length_m * span.length_m - chord * chord).max(1e-6 * chord * chord));
        let h = self.scale_n() * share * self.upper_m / sag.min(span.length_m) * span.far_x_m / chord;
        // V₁ + V₂ = P, and the moment about the chord: the nearer support carries more
        let half = 0.5 * span.track.weight_n_per_m * self.upper_m;
        let v = span.load_n * share - h * span.far_z_m / span.far_x_m * 0.999 - half * share;
        Some(SVector::<f64, 2>::new(math::ln(h), v / self.scale_n()))
    }

    /// The rise falls with V₁ for a given H; with that V₁ the span grows with H: two brackets, one in the other.
    fn search(&self) -> Option<SVector<f64, 2>> {
        let span = self.span;
        let upward = |h: f64| {
            bracketed(-100.0, 100.0, 1e-12, |psi| self.miss(h, h * math::sinh(psi)).1)
                .map(|root| h * math::sinh(root.x))
        };
        let wide = |ln_h: f64| {
            let h = math::exp(ln_h);
            upward(h).map_or(f64::NAN, |v1| self.miss(h, v1).0)
        };
        let most = self.scale_n().max(span.track.a_n) * (1.0 + span.chord_m() / span.length_m);
        let middle = math::ln(self.scale_n());
        let root = bracketed(middle - 40.0, math::ln(most) + 3.0, 1e-9, wide)?;
        let h = math::exp(root.x);
        Some(SVector::<f64, 2>::new(root.x, upward(h)? / self.scale_n()))
    }
}

impl System<2> for Pinned<'_> {
    fn equations(&self, at: &SVector<f64, 2>) -> Option<(SVector<f64, 2>, SMatrix<f64, 2, 2>)> {
        let span = self.span;
        let (h, v1, v2) = self.forces(at);
        if !(h > 0.0 && h.is_finite()) {
            return None;
        }
        let upper = hang(&span.track, h, v1, self.upper_m);
        let lower = hang(&span.track, h, v2, span.length_m - self.upper_m);
        let by = 1.0 / span.chord_m();
        let value = SVector::<f64, 2>::new(
            (upper.span_m + lower.span_m - span.far_x_m) * by,
            (lower.rise_m - upper.rise_m - span.far_z_m) * by,
        );
        let f = if self.lower_is_unknown { -self.scale_n() * by } else { self.scale_n() * by };
        let slope = SMatrix::<f64, 2, 2>::new(
            h * (upper.span_by_h + lower.span_by_h) * by,
            (upper.cross - lower.cross) * f,
            h * (lower.cross - upper.cross) * by,
            -(upper.rise_by_v + lower.rise_by_v) * f,
        );
        Some((value, slope))
    }

    fn careful(&self, at: &SVector<f64, 2>) -> SVector<f64, 2> {
        let d = Double::from;
        let span = self.span;
        let (h, v) = (d(math::exp(at[0])), d(at[1] * self.scale_n()));
        let other = d(span.load_n) - v;
        let (v1, v2) = if self.lower_is_unknown { (other, v) } else { (v, other) };
        let lower_m = d(span.length_m) - d(self.upper_m);
        let upper = careful::hang(&span.track, &careful::Pull::of(h, v1), d(self.upper_m));
        let lower = careful::hang(&span.track, &careful::Pull::of(h, v2), lower_m);
        let (x, z) = span.careful_miss(&upper, &lower);
        SVector::<f64, 2>::new(x, z)
    }

    fn longest(&self, _: &SVector<f64, 2>, step: &SVector<f64, 2>) -> f64 {
        1.5 / step[0].abs()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Away from their root, too: what the last step goes by is what the steps before went by.
    #[test]
    fn the_careful_equations_are_the_quick_ones_but_for_rounding() {
        let track = Law { weight_n_per_m: 1.7, a_n: 8e4, b_n: 0.0 };
        let span = &Span { track, far_x_m: 70.0, far_z_m: -45.0, length_m: 84.0, load_n: 2450.0 };
        for sought in [Sought::Length, Sought::X(50.0), Sought::Sag(4.0), Sought::HeadTension(3000.0)] {
            let rolling = Rolling { span, sought };
            let at = SVector::<f64, 3>::new(8.0, 60.0, 25.0);
            let (quick, _) = rolling.equations(&at).unwrap();
            assert!(quick.amax() > 1e-4, "a root, where a missing term would not show");
            // Some ten roundings of terms that are at most 1.
            assert!((rolling.careful(&at) - quick).amax() < 2e-15, "{sought:?} {quick}");
        }
        for lower_is_unknown in [false, true] {
            let pinned = Pinned { span, upper_m: 50.0, lower_is_unknown };
            let at = SVector::<f64, 2>::new(8.0, 0.6);
            let (quick, _) = pinned.equations(&at).unwrap();
            assert!(quick.amax() > 1e-4, "a root, where a missing term would not show");
            assert!((pinned.careful(&at) - quick).amax() < 2e-15, "{lower_is_unknown} {quick}");
        }
    }
}
