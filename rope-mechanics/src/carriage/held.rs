//! A first guess for the held carriage, and the way from it to the answer.
//!
//! Without its own weight the rope is two straight lines, and for a given place everything is in closed form:
//! T·(e₁ + r·e₂) + P·d = W. One bracketed search then meets what is given, and half of each part's weight on
//! the carriage accounts for most of the sag. From there Newton's method takes three to five steps. Where it
//! fails, the ropes' weight is put on little by little.

use super::newton::{Rest, newton, settled};
use super::system::{Given, Meaning, Problem, Unknowns};
use super::{CarriageError, rounding};
use crate::math;
use crate::math::roots::bracketed;
use core::f64::consts::FRAC_PI_2;

/// An answer with its residual.
#[derive(Debug, Clone, Copy)]
pub(super) struct Solved {
    pub(super) meaning: Meaning,
    pub(super) iterations: u32,
}

/// Where a first guess is looked for. With a haul point far below the head there may be two balances, one of them
/// high, tight, and with a haul rope that would have to push.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Guess {
    /// From high up downward.
    Highest,
    /// The same, where the haul rope pulls.
    Pulled,
    /// From far below upward.
    Lowest,
}

/// A weightless track with its carriage at (x, z).
struct Straight {
    upper_chord_m: f64,
    lower_chord_m: f64,
    /// Infinite where no tension would do.
    tension_n: f64,
    /// Of the haul rope.
    pull_n: f64,
    upper_length_m: f64,
    lower_length_m: f64,
}

impl Problem {
    /// The answer, from a warm start if there is one.
    pub(super) fn solve(&self, warm: Option<Unknowns>) -> Result<Solved, CarriageError> {
        if let Some(solved) = warm.and_then(|start| self.settle(newton(self, start)?)) {
            return Ok(solved);
        }
        let mut pushed = None;
        let mut first = None;
        for guess in [Guess::Highest, Guess::Pulled, Guess::Lowest] {
            let rest = self.start(1.0, guess).and_then(|start| newton(self, start));
            first = first.or(rest);
            match rest.and_then(|rest| self.settle(rest)) {
                Some(solved) if solved.meaning.pull_n() >= 0.0 || !self.has_guesses() => return Ok(solved),
                solved => pushed = pushed.or(solved),
            }
            if !self.has_guesses() {
                break;
            }
        }
        if let Some(solved) = pushed {
            return Ok(solved);
        }
        if let (Given::XAndTension { x_m, tension_n }, None) = (self.given, first) {
            return Err(CarriageError::too_little_tension(x_m, tension_n));
        }
        self.gradually(first).or_else(|why| self.by_places().ok_or_else(|| self.reason(why)))
    }

    /// Whether more than one first guess can be made.
    fn has_guesses(&self) -> bool {
        matches!(self.given, Given::LengthAndX { .. } | Given::XAndTension { .. })
    }

    /// Given the haul rope's length, the place at which a carriage held there needs just as much of it.
    fn by_places(&self) -> Option<Solved> {
        let Given::LengthAndHaul { length_m, haul_m } = self.given else { return None };
        let at = |x_m: f64| Self { given: Given::LengthAndX { length_m, x_m }, ..*self };
        let spare =
            |x_m: f64| at(x_m).solve(None).map_or(f64::NAN, |solved| solved.meaning.haul_length_m - haul_m);
        let behind = self.haul_x_m.max(0.0);
        let mut beyond = None;
        let mut reach = self.far_x_m - behind;
        for _ in 0..48 {
            reach *= 0.8;
            let x_m = behind + reach;
            let here = spare(x_m);
            if here > 0.0 {
                beyond = Some(x_m);
            } else if here <= 0.0 {
                beyond = bracketed(x_m, beyond?, 1e-6 * reach, spare).map(|root| root.x);
                break;
            }
        }
        let x_m = beyond?;
        let start = at(x_m).solve(None).ok()?.meaning.unknowns();
        self.settle(newton(self, start)?)
    }

    /// What is behind a failure, where that can be told.
    fn reason(&self, why: CarriageError) -> CarriageError {
        if self.heavy_haul() {
            let straight = Self { haul: self.haul.lightened(0.0), ..*self };
            if let Ok(solved) = straight.solve(None) {
                let m = &solved.meaning;
                let (pull_n, hung_n) = (m.pull_n(), self.haul.weight_n_per_m * m.haul_length_m);
                if pull_n < hung_n {
                    return CarriageError::haul_too_heavy(pull_n, hung_n);
                }
            }
        }
        why
    }

    /// Puts the ropes' weight on little by little.
    fn gradually(&self, direct: Option<Rest<6>>) -> Result<Solved, CarriageError> {
        let failed = || {
            let (iterations, residual) =
                direct.map_or((0, f64::INFINITY), |rest| (rest.iterations, rest.residual));
            CarriageError::Unsolved { iterations, residual }
        };
        let bare = self.lightened(SLIGHT);
        let start = bare.start(0.0, Guess::Highest).ok_or_else(failed)?;
        let rest = newton(&bare, start).filter(|rest| rest.residual < LOOSE).ok_or_else(failed)?;
        let (mut at, mut share, mut more) = (rest.at, SLIGHT, 1.0 - SLIGHT);
        let mut iterations = rest.iterations;
        while more > 1e-4 {
            let next = (share + more).min(1.0);
            match newton(&self.lightened(next), at) {
                Some(rest) if rest.residual < LOOSE => {
                    iterations += rest.iterations;
                    (at, share, more) = (rest.at, next, 2.0 * more);
                    if share >= 1.0 {
                        return self.settle(Rest { iterations, ..rest }).ok_or_else(failed);
                    }
                }
                _ => more *= 0.5,
            }
        }
        Err(failed())
    }

    /// Accepts where Newton's method came to rest, if every equation is met to within rounding.
    fn settle(&self, rest: Rest<6>) -> Option<Solved> {
        let found = |at: &Unknowns| {
            let meaning = self.meaning(at)?;
            Some((meaning, self.rounding(&meaning)))
        };
        let (meaning, Rest { iterations, .. }) = settled(self, rest, found)?;
        Some(Solved { meaning, iterations })
    }

    /// What rounding may leave of the equations.
    fn rounding(&self, meaning: &Meaning) -> f64 {
        let mut extent =
            meaning.upper_part.extent_m() + meaning.lower_part.extent_m() + meaning.haul_length_m;
        if self.heavy_haul() {
            // Its pull is the difference of two tensions, and carries their rounding.
            let tensions = meaning.upper_tension_n + meaning.lower_tension_n;
            extent += meaning.haul_length_m * tensions / math::hypot(meaning.haul_x_n, meaning.haul_z_n);
        }
        rounding(1.0 + extent / self.scale_m)
    }

    /// A first guess, with this share of the weight of the ropes.
    fn start(&self, share: f64, guess: Guess) -> Option<Unknowns> {
        let (x, z) = match self.given {
            Given::Point { x_m, z_m } => (x_m, z_m),
            Given::LengthAndPoint { length_m, x_m, z_m } => return self.start_at(length_m, x_m, z_m),
            Given::LengthAndX { length_m, x_m } => {
                let spare = |z: f64, guess: Guess| {
                    let here = self.straight(x_m, z, share, length_m);
                    if here.holds(guess) { here.length() - length_m } else { -length_m }
                };
                let mut z = self.depth(guess, spare)?;
                if self.straight(x_m, z, share, length_m).tension_n > TAUT * self.scale_n {
                    // Almost in line, a little depth means much tension.
                    let near = 2.0 * COARSE * self.scale_m;
                    z = bracketed(z - near, z + near, 0.0, |z| spare(z, Guess::Highest))
                        .map_or(z, |root| root.x);
                }
                (x_m, z)
            }
            Given::XAndTension { x_m, tension_n } => {
                let short = |z: f64, guess: Guess| {
                    let here = self.straight(x_m, z, share, -z);
                    // the carriage hangs lower than the head, and the tension there is less
                    if here.holds(guess) {
                        tension_n / (here.tension_n - share * self.track.weight_n_per_m * z) - 1.0
                    } else {
                        -1.0
                    }
                };
                (x_m, self.depth(guess, short)?)
            }
            Given::LengthAndHaul { length_m, haul_m } => {
                // on a circle about the haul point, from straight below it outward and up
                let side = if self.haul_x_m < 0.5 * self.far_x_m { 1.0 } else { -1.0 };
                let place = |angle: f64| {
                    (
                        self.haul_x_m + side * haul_m * math::cos(angle),
                        self.haul_z_m + haul_m * math::sin(angle),
                    )
                };
                let spare = |angle: f64| {
                    let (x, z) = place(angle);
                    self.straight(x, z, share, length_m).length() - length_m
                };
                let root = bracketed(-FRAC_PI_2, FRAC_PI_2, COARSE, spare)?;
                let (x, z) = place(root.x);
                let edge = 1e-9 * self.far_x_m;
                (x.clamp(edge, self.far_x_m - edge), z)
            }
        };
        let rope = match self.given {
            Given::LengthAndX { length_m, .. } | Given::LengthAndHaul { length_m, .. } => length_m,
            _ => math::hypot(x, z) + math::hypot(self.far_x_m - x, self.far_z_m - z),
        };
        let here = self.straight(x, z, share, rope);
        let (mut upper_m, mut lower_m) = (here.upper_length_m, here.lower_length_m);
        if !(upper_m > 0.0 && lower_m > 0.0) {
            return None;
        }
        if let Given::LengthAndX { length_m, .. } | Given::LengthAndHaul { length_m, .. } = self.given {
            let fit = length_m / (upper_m + lower_m);
            (upper_m, lower_m) = (upper_m * fit, lower_m * fit);
        }
        let mut tension_n = here.tension_n;
        if let Given::LengthAndX { length_m, .. } | Given::LengthAndHaul { length_m, .. } = self.given {
            // Tied tighter than its chord, the rope's strain tells its tension better than the balance does.
            let strain = (here.upper_chord_m + here.lower_chord_m) / length_m - 1.0;
            if length_m < self.scale_m && tension_n > TAUT * self.scale_n {
                tension_n = self.track.tension(strain);
            }
        }
        Some(self.unknowns(x, z, share, tension_n, upper_m, lower_m))
    }

    /// A first guess where the place and the rope are given: the tension by its strain, less the sag.
    fn start_at(&self, length_m: f64, x_m: f64, z_m: f64) -> Option<Unknowns> {
        let (c1, c2) = (math::hypot(x_m, z_m), math::hypot(self.far_x_m - x_m, self.far_z_m - z_m));
        let level1 = self.track.weight_n_per_m * x_m / c1;
        let level2 = self.track.weight_n_per_m * (self.far_x_m - x_m) / c2;
        // arc of a shallow part: c + (w·cos α)²·c³/(24·T²)
        let arc = |c: f64, w: f64, t: f64| c * (1.0 + w * w * c * c / (24.0 * t * t));
        let short = |ln_t: f64| {
            let t = math::exp(ln_t);
            (arc(c1, level1, t) + arc(c2, level2, t * self.lower_by_upper))
                / (1.0 + self.track.strain(t))
                / length_m
                - 1.0
        };
        // From far below the weight of the rope to far above its stiffness.
        let least = 1e-9 * (self.track.weight_n_per_m * length_m).max(1e-9 * self.track.a_n);
        let most = (1e9 * self.track.a_n).max(1e3 * least);
        let root = bracketed(math::ln(least), math::ln(most), COARSE, short)?;
        let tension_n = math::exp(root.x);
        let upper_m = length_m * c1 / (c1 + c2);
        Some(self.unknowns(x_m, z_m, 1.0, tension_n, upper_m, length_m - upper_m))
    }

    /// The unknowns that go with a place, a tension and the two lengths.
    fn unknowns(&self, x: f64, z: f64, share: f64, tension_n: f64, upper_m: f64, lower_m: f64) -> Unknowns {
        let half = 0.5 * share * self.track.weight_n_per_m;
        let (dx, dz) = (self.far_x_m - x, self.far_z_m - z);
        let (c1, c2) = (math::hypot(x, z), math::hypot(dx, dz));
        // V = H·tan α − wL/2: half of its weight hangs at each end of a part
        let h1 = tension_n * x / c1;
        let h2 = tension_n * self.lower_by_upper * dx / c2;
        let slope1 = -z / x - half * upper_m / h1;
        let slope2 = dz / dx - half * lower_m / h2;
        let (psi1, psi2) = (math::asinh(slope1), math::asinh(slope2));
        let v = h1 * slope1 + h2 * slope2;
        let (to_x, to_z) = (self.haul_x_m - x, self.haul_z_m - z);
        let distance = math::hypot(to_x, to_z);
        let load_n = if matches!(self.given, Given::LengthAndPoint { .. }) {
            // P·d balances level, the load takes the rest
            let p = if to_x == 0.0 { 0.0 } else { (h1 - h2) / to_x };
            v + p * to_z
        } else {
            self.load_n
        };
        let pull = ((h1 - h2) * to_x + (load_n - v) * to_z) / distance;
        let haul_m = match self.given {
            Given::LengthAndHaul { haul_m, .. } => haul_m,
            _ => distance / (1.0 + self.haul.strain(pull.max(0.0))),
        };
        let fifth =
            if matches!(self.given, Given::LengthAndPoint { .. }) { load_n / self.scale_n } else { lower_m };
        Unknowns::new(math::ln(tension_n), psi1, psi2, upper_m, fifth, haul_m)
    }

    /// The weightless track through (x, z), half of the ropes' weight on its carriage.
    fn straight(&self, x: f64, z: f64, share: f64, rope_m: f64) -> Straight {
        let (far_x, far_z) = (self.far_x_m - x, self.far_z_m - z);
        let (to_x, to_z) = (self.haul_x_m - x, self.haul_z_m - z);
        let upper_chord_m = math::hypot(x, z);
        let lower_chord_m = math::hypot(far_x, far_z);
        let lower = self.lower_by_upper / lower_chord_m;
        // s = e₁ + r·e₂, the pull of the track on the carriage for each newton of tension
        let sx = -x / upper_chord_m + far_x * lower;
        let sz = -z / upper_chord_m + far_z * lower;
        let hung = self.track.weight_n_per_m * rope_m + self.haul.weight_n_per_m * math::hypot(to_x, to_z);
        let load_n = self.load_n + 0.5 * share * hung;
        // across the haul rope: T·(s × d) = W·(up × d) = −W·dₓ
        let holds = (sx * to_z - sz * to_x) / -to_x;
        let tension_n = if to_x == 0.0 {
            f64::MIN_POSITIVE
        } else if holds > 0.0 {
            load_n / holds
        } else {
            f64::INFINITY
        };
        // P = (W·up − T·s)·d, d of length one
        let (up_n, back_n) = (load_n - tension_n * sz, -tension_n * sx);
        let pull_n = (back_n * to_x + up_n * to_z) / math::hypot(to_x, to_z);
        let upper_length_m = upper_chord_m / (1.0 + self.track.strain(tension_n));
        let lower_length_m = lower_chord_m / (1.0 + self.track.strain(tension_n * self.lower_by_upper));
        Straight { upper_chord_m, lower_chord_m, tension_n, pull_n, upper_length_m, lower_length_m }
    }

    /// A height at which a function that is positive far below changes its sign.
    fn depth(&self, guess: Guess, spare: impl Fn(f64, Guess) -> f64) -> Option<f64> {
        let spare = |z: f64| spare(z, guess);
        let top = self.far_z_m.max(self.haul_z_m).max(0.0) + self.scale_m;
        let (mut below, mut above);
        if guess == Guess::Lowest {
            below = self.far_z_m.min(0.0) - 4.0 * self.scale_m;
            above = below;
            // At most so many steps, however high the haul point is.
            let step = (0.02 * self.scale_m).max((top - below) / 2000.0);
            while spare(above) > 0.0 && above < top {
                below = above;
                above += step;
            }
        } else {
            above = top;
            let mut step = 0.25 * self.scale_m;
            below = above - step;
            while !(spare(below) > 0.0) && step < 1e7 * self.scale_m {
                above = below;
                step *= 1.3;
                below -= step;
            }
        }
        let z = bracketed(below, above, COARSE * self.scale_m, spare)?.x;
        // On the side that has a tension.
        Some(if spare(z) > 0.0 { z } else { (z - COARSE * self.scale_m).max(below) })
    }
}

impl Straight {
    fn holds(&self, guess: Guess) -> bool {
        self.tension_n.is_finite() && (guess != Guess::Pulled || self.pull_n >= 0.0)
    }

    /// Unstretched; nothing where the tension would be infinite.
    fn length(&self) -> f64 {
        if self.tension_n.is_finite() { self.upper_length_m + self.lower_length_m } else { 0.0 }
    }
}

/// A tension this many times the load is one of parts almost in line.
const TAUT: f64 = 8.0;
/// A guess need not be better than this share.
const COARSE: f64 = 1e-4;
/// A step on the way need not be better than this.
const LOOSE: f64 = 1e-8;
/// Where the ropes' weight begins when it is put on little by little.
const SLIGHT: f64 = 1e-6;
