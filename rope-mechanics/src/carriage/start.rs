//! A first guess for the held carriage: a track of straight parts, with half of the ropes' weight on its carriage.
//!
//! Without weight T·(e₁ + ρ·e₂) + P·d = W is in closed form for a given place. One bracketed search over the depth
//! below the chord then meets what is given. From there Newton's method takes three to five steps.

use super::equations::{Given, Problem, Unknowns};
use super::newton::System;
use super::scan::first_root;
use crate::math;
use crate::math::roots::bracketed;

/// A straight track with its carriage at (x, z).
struct StraightTrack {
    /// Infinite where no tension would do.
    tension_n: f64,
    /// Unstretched lengths, their sag included.
    near_length_m: f64,
    away_length_m: f64,
}

impl Problem {
    /// A first guess.
    pub(super) fn start(&self) -> Option<Unknowns> {
        match self.given {
            Given::LengthAndX { length_m, x_m } => {
                let length_m = length_m - self.least_behind_m();
                let z_m = self.straight_depth(x_m, length_m)?;
                self.start_at(x_m, z_m, length_m, Some(length_m))
            }
            Given::XAndTension { x_m, tension_n, at_near } => {
                let top_m = if at_near { 0.0 } else { self.far_z_m };
                let share = if at_near { 1.0 } else { self.away_by_near };
                let z_m = self.depth(x_m, 4.0 * tension_n, |z| {
                    let here = self.straight(x_m, z, self.scale_m + 2.0 * z.abs());
                    // the head hangs higher than the carriage, and the tension there is more
                    tension_n / (share * here.tension_n + self.track.weight_n_per_m * (top_m - z)) - 1.0
                })?;
                self.start_at(x_m, z_m, self.chords(x_m, z_m), None)
            }
            Given::Point { x_m, z_m } => self.start_at(x_m, z_m, self.chords(x_m, z_m), None),
            Given::LengthAndPoint { length_m, x_m, z_m } => {
                self.start_by_length(length_m - self.least_behind_m(), x_m, z_m)
            }
            Given::LengthAndLine { .. } => None,
            Given::LengthAndHaul { length_m, haul_m } => {
                // x from a chord of the track, then from how low the carriage hangs there
                let slope = self.far_z_m / self.far_x_m;
                // (x − hₓ)² + (m·x − h_z)² = r²
                let a = 1.0 + slope * slope;
                let b = self.haul_x_m + slope * self.haul_z_m;
                let c = self.haul_x_m * self.haul_x_m + self.haul_z_m * self.haul_z_m - haul_m * haul_m;
                let inside = |x_m: f64| math::clamp(x_m, 0.02 * self.far_x_m, 0.98 * self.far_x_m);
                let x_m = inside((b + math::sqrt((b * b - a * c).max(0.0))) / a);
                let at = |x_m: f64| Self { given: Given::LengthAndX { length_m, x_m }, ..*self };
                let z_m = at(x_m).straight_depth(x_m, length_m - self.least_behind_m())?;
                let down_m = self.haul_z_m - z_m;
                let x_m = inside(self.haul_x_m + math::sqrt((haul_m * haul_m - down_m * down_m).max(0.0)));
                // A heavy haul rope must pull from the start: it does nearer to its haul point.
                [1.0, 0.9, 0.75]
                    .into_iter()
                    .find_map(|share| at(share * x_m).start().filter(|start| self.meaning(start).is_some()))
            }
        }
    }

    /// How low a straight track of this length hangs at a place.
    fn straight_depth(&self, x_m: f64, length_m: f64) -> Option<f64> {
        // Twice as long as it is, the rope would pull harder than any answer.
        let tension_n = self.track.stretch.tension_at(1.0 + 2.0 * self.scale_m / length_m);
        self.depth(x_m, tension_n, |z| self.straight(x_m, z, length_m).length() / length_m - 1.0)
    }

    fn chords(&self, x: f64, z: f64) -> f64 {
        norm(x, z) + norm(self.far_x_m - x, self.far_z_m - z)
    }

    /// The height at which `spare`, negative at the chord, first changes its sign on the way down: from where the
    /// track would pull with some `tension_n`, far more than any answer.
    fn depth(&self, x_m: f64, tension_n: f64, spare: impl Fn(f64) -> f64) -> Option<f64> {
        let chord_z_m = self.far_z_m * (x_m / self.far_x_m);
        let at = |ln_depth: f64| spare(chord_z_m - self.scale_m * math::exp(ln_depth));
        // T·d·(1/x + 1/(X − x)) is about W, times a cosine of the slope
        let depth_m = self.load_n / tension_n * x_m * (1.0 - x_m / self.far_x_m);
        let first = math::clamp(math::ln(depth_m / self.scale_m), SHALLOWEST, FIRST) - DOWNWARD;
        let root = first_root(first, DOWNWARD, DEEPEST, COARSE, at)?;
        Some(chord_z_m - self.scale_m * math::exp(root))
    }

    /// A first guess for a place; `whole_m` is the length of the track, if it is given.
    fn start_at(&self, x: f64, z: f64, rope_m: f64, whole_m: Option<f64>) -> Option<Unknowns> {
        let here = self.straight(x, z, rope_m);
        let (near_m, away_m) = (here.near_length_m, here.away_length_m);
        let fit = whole_m.map_or(1.0, |length_m| length_m / (near_m + away_m));
        (here.tension_n.is_finite() && near_m > 0.0 && away_m > 0.0)
            .then(|| self.unknowns(x, z, here.tension_n, near_m * fit, away_m * fit))
    }

    /// A first guess where the place and the rope are given: the tension by its strain, less the sag.
    fn start_by_length(&self, length_m: f64, x_m: f64, z_m: f64) -> Option<Unknowns> {
        let (c1, c2) = (norm(x_m, z_m), norm(self.far_x_m - x_m, self.far_z_m - z_m));
        let level1 = self.track.weight_n_per_m * x_m / c1;
        let level2 = self.track.weight_n_per_m * (self.far_x_m - x_m) / c2;
        // arc of a shallow part: c + (w·cos α)²·c³/(24·T²)
        let arc = |c: f64, w: f64, t: f64| c * (1.0 + w * w * c * c / (24.0 * t * t));
        let short = |ln_t: f64| {
            let t = math::exp(ln_t);
            (arc(c1, level1, t) + arc(c2, level2, t * self.away_by_near))
                / (1.0 + self.track.stretch.strain_at(t))
                / length_m
                - 1.0
        };
        // From far below the weight of the rope to far above its stiffness,
        let least = 1e-9 * (self.track.weight_n_per_m * length_m).max(1e-9 * self.track.stretch.a_n());
        let most = (1e9 * self.track.stretch.a_n()).max(1e3 * least);
        // and where between: k/T² of sag is no more than what the rope has over its chords, stretched or not, and no less.
        let cube = |c: f64, w: f64| w * w * c * c * c / 24.0;
        let k = cube(c1, level1) + cube(c2, level2) / (self.away_by_near * self.away_by_near);
        let over_m = |t: f64| length_m * (1.0 + self.track.stretch.strain_at(t)) - (c1 + c2);
        let (low, high) = if over_m(0.0) > 0.0 {
            let high = math::sqrt(k / over_m(0.0)).min(most);
            (math::sqrt(k / over_m(high)), high)
        } else {
            // without sag: T₀ = T((c₁ + c₂)/L − 1)
            let low = self.track.stretch.tension_at(-over_m(0.0) / length_m).max(least);
            (low, self.track.stretch.tension_at((k / (low * low) - over_m(0.0)) / length_m))
        };
        let between = |low: f64, high: f64| {
            let (low, high) = (math::ln(low), math::ln(high));
            (low < high).then(|| bracketed(low, high, 0.1 * COARSE, short)).flatten()
        };
        let root =
            between((0.99 * low).max(least), (1.01 * high).min(most)).or_else(|| between(least, most))?;
        let tension_n = math::exp(root.x);
        let near_m = length_m * c1 / (c1 + c2);
        Some(self.unknowns(x_m, z_m, tension_n, near_m, length_m - near_m))
    }

    /// The unknowns that go with a place, a tension and the two lengths.
    fn unknowns(&self, x: f64, z: f64, tension_n: f64, near_m: f64, away_m: f64) -> Unknowns {
        let half = 0.5 * self.track.weight_n_per_m;
        let (dx, dz) = (self.far_x_m - x, self.far_z_m - z);
        let (c1, c2) = (norm(x, z), norm(dx, dz));
        // V = H·tan α − wL/2: half of its weight hangs at each end of a part
        let h1 = tension_n * x / c1;
        let h2 = tension_n * self.away_by_near * dx / c2;
        let slope1 = -z / x - half * near_m / h1;
        let slope2 = dz / dx - half * away_m / h2;
        self.unknowns_of((h1, slope1), (h2, slope2), (x, z), (near_m, away_m))
    }

    /// The unknowns by level pull and slope of both parts, the place, and both lengths.
    pub(super) fn unknowns_of(
        &self,
        (h1, slope1): (f64, f64),
        (h2, slope2): (f64, f64),
        (x, z): (f64, f64),
        (near_m, away_m): (f64, f64),
    ) -> Unknowns {
        let v = h1 * slope1 + h2 * slope2;
        let (to_x, to_z) = (self.haul_x_m - x, self.haul_z_m - z);
        let distance = norm(to_x, to_z);
        let load_n = if self.seeks_load() {
            // P·d balances level, the load takes the rest
            let p = if to_x == 0.0 { 0.0 } else { (h1 - h2) / to_x };
            v + p * to_z
        } else {
            self.load_n
        };
        let pull = ((h1 - h2) * to_x + (load_n - v) * to_z) / distance;
        let haul_m = distance / (1.0 + self.haul.stretch.strain_at(pull.max(0.0)));
        let fifth = if self.seeks_load() { load_n / self.scale_n } else { away_m };
        [
            math::ln(h1) + 0.5 * math::ln(1.0 + slope1 * slope1),
            math::asinh(slope1),
            math::asinh(slope2),
            near_m,
            fifth,
            haul_m,
        ]
    }

    /// The straight track through (x, z), with half of the weight of `rope_m` and of the haul rope on its carriage.
    fn straight(&self, x: f64, z: f64, rope_m: f64) -> StraightTrack {
        let (far_x, far_z) = (self.far_x_m - x, self.far_z_m - z);
        let (to_x, to_z) = (self.haul_x_m - x, self.haul_z_m - z);
        let near_chord_m = norm(x, z);
        let away_chord_m = norm(far_x, far_z);
        let rho = self.away_by_near / away_chord_m;
        // s = e₁ + ρ·e₂, the pull of the track on the carriage for each newton of tension
        let sx = -x / near_chord_m + far_x * rho;
        let sz = -z / near_chord_m + far_z * rho;
        let hung = self.track.weight_n_per_m * rope_m + self.haul.weight_n_per_m * norm(to_x, to_z);
        let load_n = self.load_n + 0.5 * hung;
        // across the haul rope: T·(s × d) = W·(up × d) = −W·dₓ; where that rope would push, it is left out
        let holds = if sx > 0.0 { sz - sx * to_z / to_x } else { sz };
        let tension_n = if holds == f64::INFINITY {
            f64::MIN_POSITIVE
        } else if holds > 0.0 {
            load_n / holds
        } else {
            f64::INFINITY
        };
        let arc = |across: f64, up: f64, t: f64| {
            // √(Z² + (X·sinh q/q)²) with q = wX/2H, over 1 + ε
            let q = (0.5 * self.track.weight_n_per_m * norm(across, up) / t).min(MOST_SAG);
            let wider = if q > 0.5 { math::sinh(q) / q } else { 1.0 + q * q / 6.0 };
            norm(across * wider, up) / (1.0 + self.track.stretch.strain_at(t))
        };
        StraightTrack {
            tension_n,
            near_length_m: arc(x, z, tension_n),
            away_length_m: arc(far_x, far_z, tension_n * self.away_by_near),
        }
    }
}

impl StraightTrack {
    /// Unstretched; nothing where the tension would be infinite.
    fn length(&self) -> f64 {
        if self.tension_n.is_finite() { self.near_length_m + self.away_length_m } else { 0.0 }
    }
}

/// A guess need not be better than this share.
const COARSE: f64 = 1e-2;
/// Logarithms of a depth against the size of the track: where the search begins, its steps, and where it ends.
const SHALLOWEST: f64 = -36.0;
const FIRST: f64 = -3.0;
const DOWNWARD: f64 = 1.5;
const DEEPEST: f64 = 16.0;
/// wX/2H of a part that hangs deep: its guess need not be longer.
const MOST_SAG: f64 = 3.0;

/// √(x² + z²), good enough for a guess.
fn norm(x: f64, z: f64) -> f64 {
    math::sqrt(x * x + z * z)
}
