//! A carriage that rolls free, and one that is fixed to the rope: no haul rope, so the level tension is one and
//! the same in both parts, and two unknowns are enough.
#![allow(clippy::indexing_slicing, reason = "fixed places in vectors of fixed length")]

use super::careful::{Digits, End, Pull};
use super::newton::{Matrix, Rest, System, Vector, eliminate, newton, settled};
use super::scan::first_root;
use super::{CarriageError, Support, extent_m, rounding};
use crate::line::hang::{HangingPart, RopeLaw, hang};
use crate::math::roots::bracketed;
use crate::math::{self, double::Double, norm};
use crate::quantity::newtons;

/// The two parts of a rope without a haul rope.
#[derive(Debug, Clone, Copy)]
pub(super) struct Hung {
    pub(super) h_n: f64,
    pub(super) upper_v_n: f64,
    pub(super) lower_v_n: f64,
    pub(super) upper_m: f64,
    pub(super) lower_m: f64,
    pub(super) upper: HangingPart,
    pub(super) lower: HangingPart,
    pub(super) iterations: u32,
}

impl<const N: usize> From<Rest<N, Hung>> for Hung {
    fn from(rest: Rest<N, Hung>) -> Self {
        Self { iterations: rest.iterations, ..rest.meaning }
    }
}

/// A rope over (X, Z) with a load on it, in SI, in the frame of the track.
#[derive(Debug, Clone, Copy)]
pub(super) struct TrackSpan {
    pub(super) track: RopeLaw,
    pub(super) far_x_m: f64,
    pub(super) far_z_m: f64,
    pub(super) length_m: f64,
    pub(super) load_n: f64,
    /// Tension of the lower part at the carriage by that of the upper part, as the wheel's friction has it.
    pub(super) lower_by_upper: f64,
}

/// The upward pulls of both parts on the carriage, and how the upper one follows H.
struct Shares {
    upper: f64,
    lower: f64,
    upper_by_h: f64,
}

impl TrackSpan {
    /// V₁ + V₂ = P with √(H² + V₂²) = ρ·√(H² + V₁²); half of the load each without friction.
    ///
    /// With friction there is none where H is large: there the load doesn't roll.
    fn shares(&self, h: f64) -> Shares {
        let (p, rho) = (self.load_n, self.lower_by_upper);
        // k·V₁² + 2P·V₁ = P² − k·H², k = ρ² − 1
        let k = (rho - 1.0) * (rho + 1.0);
        let root = math::sqrt(rho * rho * p * p - k * k * h * h);
        let upper = if k == 0.0 { 0.5 * p } else { (p * p - k * h * h) / (p + root) };
        Shares { upper, lower: p - upper, upper_by_h: -k * h / root }
    }

    fn chord_m(&self) -> f64 {
        norm(self.far_x_m, self.far_z_m)
    }

    /// Without friction both parts pull alike, and level alike, hence upward alike: V = P/2 each.
    pub(super) fn rolling(&self) -> Result<Hung, CarriageError> {
        let free = Rolling { span: self, sought: Sought::Length };
        let direct = self.straight_roll().and_then(|start| newton(&free, start));
        if let Some(rest) = direct.and_then(|rest| settled(&free, rest)) {
            return Ok(rest.into());
        }
        if self.lower_by_upper == 1.0
            && let Some(widest_m) = self.widest()?
            && self.far_x_m >= widest_m
        {
            let support = if self.far_z_m < 0.0 { Support::Far } else { Support::Head };
            return Err(CarriageError::runs_away(support, self.far_x_m, widest_m));
        }
        let (iterations, residual) =
            direct.map_or((0, f64::INFINITY), |rest| (rest.iterations, rest.residual));
        Err(CarriageError::Unsolved { iterations, residual })
    }

    /// The rope with which the load rolls to what is sought. `length_m` is not used.
    ///
    /// Of two ropes with the tension sought the shorter one.
    pub(super) fn rolling_to(&self, sought: Sought) -> Result<Hung, CarriageError> {
        let rolling = Rolling { span: self, sought };
        let (mut iterations, mut residual) = (0, f64::INFINITY);
        let mut from = |start: Option<Vector<3>>| {
            let rest = newton(&rolling, start?)?;
            (iterations, residual) = (rest.iterations, rest.residual);
            settled(&rolling, rest)
        };
        if let Some(rest) = from(Some(self.start_to(sought))).filter(|rest| rolling.is_shorter(rest)) {
            return Ok(rest.into());
        }
        let Sought::HeadTension(tension_n) = sought else {
            return Err(CarriageError::Unsolved { iterations, residual });
        };
        from(self.straight_with_tension(tension_n))
            .filter(|rest| rolling.is_shorter(rest))
            .or_else(|| from(self.first_with_tension(tension_n)))
            .map(Into::into)
            .ok_or(CarriageError::NoRollingTension { tension: newtons(tension_n) })
    }

    /// The shortest rope that pulls so hard at the head, to begin from.
    fn first_with_tension(&self, tension_n: f64) -> Option<Vector<3>> {
        let at = |ln_length: f64| {
            (Self { length_m: self.chord_m() * math::exp(ln_length), ..*self }).rolling().ok()
        };
        let spare =
            |ln_length: f64| at(ln_length).map_or(f64::NAN, |hung| 1.0 - hung.upper.t_end_n / tension_n);
        // Stretched as this tension stretches it, the rope is shortest; where it begins to rest between the supports
        // it may pull less already, and more again the deeper it hangs.
        let shortest = -math::ln(1.0 + self.track.stretch.strain_at(tension_n)) - 1e-9;
        let root = first_root(shortest, LENGTHENED, LONGEST, 1e-6, spare)?;
        let hung = match at(root)? {
            hung if (hung.upper.t_end_n / tension_n - 1.0).abs() < 1e-3 => hung,
            _ => at(first_root(root, LENGTHENED, LONGEST, 1e-6, |ln_length| -spare(ln_length))?)?,
        };
        Some([math::ln(hung.h_n), hung.upper_m, hung.lower_m])
    }

    /// A guess from two straight lines: x = ½(X − Z·cot α), sag below the chord = ½(X·tan α − Z²·cot α/X).
    fn start_to(&self, sought: Sought) -> Vector<3> {
        let (x, z) = (self.far_x_m, self.far_z_m);
        let flattest = 1.01 * z.abs() / x;
        let tan = match sought {
            Sought::Length => 1.0,
            Sought::X(at_m) => -z / (2.0 * at_m - x),
            Sought::Sag(sag_m) => (sag_m + norm(sag_m, z)) / x,
            Sought::HeadTension(tension_n) => {
                let sin = (0.5 * self.load_n / tension_n).min(0.99);
                sin / math::sqrt(1.0 - sin * sin)
            }
        };
        self.straight(tan.max(flattest))
    }

    /// The flattest two straight lines, hence the shortest, that pull so hard at the head with the rope's weight.
    fn straight_with_tension(&self, tension_n: f64) -> Option<Vector<3>> {
        let spare = |ln_tan: f64| {
            let [ln_h, upper_m, _] = self.straight(math::exp(ln_tan));
            let v_n = 0.5 * self.load_n + self.track.weight_n_per_m * upper_m;
            1.0 - norm(math::exp(ln_h), v_n) / tension_n
        };
        let flattest = 1.01 * self.far_z_m.abs() / self.far_x_m;
        let root = first_root(math::ln(flattest.max(FLATTEST)), STEEPER, STEEPEST, 1e-3, spare)?;
        Some(self.straight(math::exp(root)))
    }

    /// ln H and the lengths of two straight parts of this slope, half of their weight on the load.
    fn straight(&self, tan: f64) -> Vector<3> {
        let (x, z) = (self.far_x_m, self.far_z_m);
        let secant = math::sqrt(1.0 + tan * tan);
        let (even, uneven) = (x * secant, z * secant / tan);
        let at = |load_n: f64| {
            let t = 0.5 * load_n * secant / tan;
            (t, 1.0 + self.track.stretch.strain_at(t))
        };
        // The rope's own weight, as long as it is under the load alone.
        let hung_n = self.track.weight_n_per_m * even / at(self.load_n).1;
        let (t, stretched) = at(self.load_n + 0.5 * hung_n);
        [math::ln(t / secant), 0.5 * (even - uneven) / stretched, 0.5 * (even + uneven) / stretched]
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
            if most > 1e3 * self.track.stretch.a_n().max(full_n) {
                // A rope that stretches this far up to the higher support is held by stretch alone.
                return Ok(None);
            }
            most *= 4.0;
        }
        Ok(None)
    }

    /// A first guess: two straight lines, with half of the rope's weight on the load.
    fn straight_roll(&self) -> Option<Vector<3>> {
        let load = self.load_n + 0.5 * self.track.weight_n_per_m * self.length_m;
        // (P/2T)² + (X/(L(1 + ε)))² = 1
        let excess = |ln_t: f64| {
            let t = math::exp(ln_t);
            let level = self.far_x_m / (self.length_m * (1.0 + self.track.stretch.strain_at(t)));
            0.25 * load * load / (t * t) + level * level - 1.0
        };
        let least = math::ln(0.5 * load);
        let most = math::ln(load + 4.0 * self.track.stretch.a_n() * (1.0 + self.far_x_m / self.length_m));
        let t = math::exp(bracketed(least, most, 1e-5, excess)?.x);
        let stretched = 1.0 + self.track.stretch.strain_at(t);
        let h = t * self.far_x_m / (self.length_m * stretched);
        // (L₁ − L₂)·(1 + ε)·sin α = −Z
        let unlike = -self.far_z_m / (stretched * 0.5 * load / t);
        let most = 0.98 * self.length_m;
        let upper_m = 0.5 * (self.length_m + math::clamp(unlike, -most, most));
        Some([math::ln(h), upper_m, self.length_m - upper_m])
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
                let Hung { h_n, upper_v_n: v1, lower_v_n: v2, .. } = rest.meaning;
                let swap = (v1.abs() > v2.abs()) != pinned.lower_is_unknown;
                if !swap {
                    match settled(&pinned, Rest { iterations: steps, ..rest }) {
                        Some(rest) => return Ok(rest.into()),
                        None => break,
                    }
                }
                pinned.lower_is_unknown = !pinned.lower_is_unknown;
                let v = if pinned.lower_is_unknown { v2 } else { v1 };
                start = [math::ln(h_n), v / pinned.scale_n()];
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

    /// What rounding may leave of the equations.
    fn rounding(&self, hung: &Hung) -> f64 {
        rounding(1.0 + (extent_m(&hung.upper) + extent_m(&hung.lower)) / self.chord_m())
    }

    /// By how much two parts miss the far support, over the chord.
    fn miss<D: Digits>(&self, upper: &End<D>, lower: &End<D>) -> Vector<2> {
        let by = 1.0 / self.chord_m();
        [
            (upper.span + lower.span - D::from(self.far_x_m)).rounded() * by,
            (lower.rise - upper.rise - D::from(self.far_z_m)).rounded() * by,
        ]
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
    /// LowerPull like this at the head.
    HeadTension(f64),
}

/// Unknown: ln H, L₁ and L₂.
struct Rolling<'a> {
    span: &'a TrackSpan,
    sought: Sought,
}

/// Logarithms of a length against the chord: its steps, and where they end.
const LENGTHENED: f64 = 0.08;
const LONGEST: f64 = 3.0;

/// The slope of a part from which on its tension is looked for; and logarithms of it: steps, and the last.
const FLATTEST: f64 = 1e-6;
const STEEPER: f64 = 0.4;
const STEEPEST: f64 = 8.0;

impl Rolling<'_> {
    /// Whether more rope would lower the tension at the head, if that is sought.
    fn is_shorter(&self, rest: &Rest<3, Hung>) -> bool {
        let Sought::HeadTension(_) = self.sought else { return true };
        // Only the last equation has the tension in it.
        eliminate(&rest.slope, &[0.0, 0.0, 1.0]).is_some_and(|([_, upper, lower], _)| upper + lower <= 0.0)
    }

    fn values_of<D: Digits>(&self, (upper, lower): (End<D>, End<D>), upper_m: D, lower_m: D) -> Vector<3> {
        let (span, d) = (self.span, D::from);
        let [x, z] = span.miss(&upper, &lower);
        let third = match self.sought {
            Sought::Length => upper_m + lower_m - d(span.length_m),
            Sought::X(x_m) => upper.span - d(x_m),
            // sag = Z·x/X − z, z = −rise
            Sought::Sag(sag_m) => d(span.far_z_m) / d(span.far_x_m) * upper.span + upper.rise - d(sag_m),
            Sought::HeadTension(t) => (upper.tension - d(t)) * d(span.chord_m() / t),
        };
        [x, z, third.rounded() / span.chord_m()]
    }
}

impl System<3> for Rolling<'_> {
    type Meaning = Hung;

    fn meaning(&self, &[ln_h, upper_m, lower_m]: &Vector<3>) -> Option<Hung> {
        let h = math::exp(ln_h);
        let Shares { upper, lower, upper_by_h } = self.span.shares(h);
        let inside = h > 0.0 && h.is_finite() && upper_m > 0.0 && lower_m > 0.0 && upper_by_h.is_finite();
        inside.then(|| self.span.hung((h, upper, lower), (upper_m, lower_m)))
    }

    fn values(&self, hung: &Hung) -> Vector<3> {
        self.values_of((hung.upper.into(), hung.lower.into()), hung.upper_m, hung.lower_m)
    }

    fn slope(&self, hung: &Hung) -> Matrix<3> {
        let Hung { h_n: h, upper, lower, .. } = hung;
        let (span, by_h) = (self.span, self.span.shares(*h).upper_by_h);
        // What follows H follows V₁ and V₂ = P − V₁ with it.
        let (span1, rise1) = (upper.span_by_h + upper.cross * by_h, upper.cross + upper.rise_by_v * by_h);
        let (span2, rise2) = (lower.span_by_h - lower.cross * by_h, lower.cross - lower.rise_by_v * by_h);
        let slope_of_chord = span.far_z_m / span.far_x_m;
        let third = match self.sought {
            Sought::Length => [0.0, 1.0, 1.0],
            Sought::X(_) => [h * span1, upper.span_by_l, 0.0],
            Sought::Sag(_) => [
                h * (slope_of_chord * span1 + rise1),
                slope_of_chord * upper.span_by_l + upper.rise_by_l,
                0.0,
            ],
            Sought::HeadTension(t) => {
                let by = span.chord_m() / (upper.t_end_n * t);
                let weight = span.track.weight_n_per_m;
                [h * (h + upper.v_end_n * by_h) * by, weight * upper.v_end_n * by, 0.0]
            }
        };
        let meet_x = [h * (span1 + span2), upper.span_by_l, lower.span_by_l];
        let meet_z = [h * (rise2 - rise1), -upper.rise_by_l, lower.rise_by_l];
        let by = 1.0 / span.chord_m();
        [meet_x, meet_z, third].map(|row| row.map(|value| value * by))
    }

    fn careful(&self, &[ln_h, upper_m, lower_m]: &Vector<3>) -> Vector<3> {
        let d = Double::from;
        let (h, upper_m, lower_m) = (math::exp(ln_h), d(upper_m), d(lower_m));
        let upper_v = d(self.span.shares(h).upper);
        let hang = |v: Double, length: Double| Digits::hang(&self.span.track, &Pull::of(d(h), v), length);
        let ends = (hang(upper_v, upper_m), hang(d(self.span.load_n) - upper_v, lower_m));
        self.values_of(ends, upper_m, lower_m)
    }

    fn rounding(&self, hung: &Hung) -> f64 {
        self.span.rounding(hung)
    }

    fn longest(&self, at: &Vector<3>, step: &Vector<3>) -> f64 {
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
    span: &'a TrackSpan,
    upper_m: f64,
    lower_is_unknown: bool,
}

impl Pinned<'_> {
    fn scale_n(&self) -> f64 {
        self.span.load_n + self.span.track.weight_n_per_m * self.span.length_m
    }

    /// H, V₁ and V₂, where V₁ + V₂ = P.
    fn forces(&self, at: &Vector<2>) -> (f64, f64, f64) {
        let (h, v) = (math::exp(at[0]), at[1] * self.scale_n());
        let other = self.span.load_n - v;
        if self.lower_is_unknown { (h, other, v) } else { (h, v, other) }
    }

    /// What both parts miss level and upward.
    fn miss(&self, h: f64, v1: f64) -> Vector<2> {
        let parts = (self.upper_m, self.span.length_m - self.upper_m);
        self.values(&self.span.hung((h, v1, self.span.load_n - v1), parts))
    }

    /// Two straight lines.
    fn guess(&self) -> Option<Vector<2>> {
        let span = self.span;
        let chord = span.chord_m();
        let share = 1.0 - self.upper_m / span.length_m;
        let sag = 0.5 * math::sqrt((span.length_m * span.length_m - chord * chord).max(1e-6 * chord * chord));
        let h = self.scale_n() * share * self.upper_m / sag.min(span.length_m) * span.far_x_m / chord;
        // V₁ + V₂ = P, and the moment about the chord: the nearer support carries more
        let half = 0.5 * span.track.weight_n_per_m * self.upper_m;
        let v = span.load_n * share - h * span.far_z_m / span.far_x_m * 0.999 - half * share;
        Some([math::ln(h), v / self.scale_n()])
    }

    /// The rise falls with V₁ for a given H; with that V₁ the span grows with H: two brackets, one in the other.
    fn search(&self) -> Option<Vector<2>> {
        let span = self.span;
        let upward = |h: f64| {
            bracketed(-100.0, 100.0, 1e-12, |psi| self.miss(h, h * math::sinh(psi))[1])
                .map(|root| h * math::sinh(root.x))
        };
        let wide = |ln_h: f64| {
            let h = math::exp(ln_h);
            upward(h).map_or(f64::NAN, |v1| self.miss(h, v1)[0])
        };
        let most = self.scale_n().max(span.track.stretch.a_n()) * (1.0 + span.chord_m() / span.length_m);
        let middle = math::ln(self.scale_n());
        let root = bracketed(middle - 40.0, math::ln(most) + 3.0, 1e-9, wide)?;
        let h = math::exp(root.x);
        Some([root.x, upward(h)? / self.scale_n()])
    }
}

impl System<2> for Pinned<'_> {
    type Meaning = Hung;

    fn meaning(&self, at: &Vector<2>) -> Option<Hung> {
        let forces = self.forces(at);
        (forces.0 > 0.0 && forces.0.is_finite())
            .then(|| self.span.hung(forces, (self.upper_m, self.span.length_m - self.upper_m)))
    }

    fn values(&self, hung: &Hung) -> Vector<2> {
        self.span.miss::<f64>(&hung.upper.into(), &hung.lower.into())
    }

    fn slope(&self, Hung { h_n: h, upper, lower, .. }: &Hung) -> Matrix<2> {
        let by = 1.0 / self.span.chord_m();
        let f = if self.lower_is_unknown { -self.scale_n() * by } else { self.scale_n() * by };
        [
            [h * (upper.span_by_h + lower.span_by_h) * by, (upper.cross - lower.cross) * f],
            [h * (lower.cross - upper.cross) * by, -(upper.rise_by_v + lower.rise_by_v) * f],
        ]
    }

    fn careful(&self, at: &Vector<2>) -> Vector<2> {
        let d = Double::from;
        let span = self.span;
        let (h, v) = (d(math::exp(at[0])), d(at[1] * self.scale_n()));
        let other = d(span.load_n) - v;
        let (v1, v2) = if self.lower_is_unknown { (other, v) } else { (v, other) };
        let hang = |v: Double, length: Double| Digits::hang(&span.track, &Pull::of(h, v), length);
        let lower_m = d(span.length_m) - d(self.upper_m);
        span.miss(&hang(v1, d(self.upper_m)), &hang(v2, lower_m))
    }

    fn rounding(&self, hung: &Hung) -> f64 {
        self.span.rounding(hung)
    }

    fn longest(&self, _: &Vector<2>, step: &Vector<2>) -> f64 {
        1.5 / step[0].abs()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::newtons;
    use crate::rope::Stretch;

    /// Away from their root, too: what the last step goes by is what the steps before went by.
    fn the_careful_equations_are_the_quick_ones<const N: usize, S: System<N>>(system: &S, at: Vector<N>) {
        let quick = system.values(&system.meaning(&at).unwrap());
        for (careful, quick) in system.careful(&at).into_iter().zip(quick) {
            assert!(quick.abs() > 1e-6, "a root, where a missing term would not show");
            // Some ten roundings of terms that are at most 1.
            assert!((careful - quick).abs() < 2e-15, "{careful} {quick}");
        }
    }

    #[test]
    fn the_careful_equations_are_the_quick_ones_but_for_rounding() {
        let track = RopeLaw { weight_n_per_m: 1.7, stretch: Stretch::linear(newtons(8e4)).unwrap() };
        let span = &TrackSpan {
            track,
            far_x_m: 70.0,
            far_z_m: -45.0,
            length_m: 84.0,
            load_n: 2450.0,
            lower_by_upper: 1.0,
        };
        for sought in [Sought::Length, Sought::X(50.0), Sought::Sag(4.0), Sought::HeadTension(3000.0)] {
            the_careful_equations_are_the_quick_ones(&Rolling { span, sought }, [8.0, 60.0, 25.0]);
        }
        for lower_is_unknown in [false, true] {
            the_careful_equations_are_the_quick_ones(
                &Pinned { span, upper_m: 50.0, lower_is_unknown },
                [8.0, 0.6],
            );
        }
    }
}
