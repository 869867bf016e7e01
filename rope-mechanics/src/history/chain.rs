//! A rope over bends with friction, followed step by step.
#![allow(
    clippy::indexing_slicing,
    clippy::needless_range_loop,
    reason = "fixed places in arrays of fixed length, by the number of the bend"
)]

use super::HistoryError;
use crate::error::{Allowed, InputError, SolveReport, check, finite, positive};
use crate::quantity::{Band, Energy, Force, Length, Ratio, metres, newtons, unit::joule};
use arrayvec::ArrayVec;
use nalgebra::{SMatrix, SVector};

/// How many parts a rope may have here; it has one bend fewer.
pub const MOST_PARTS: usize = 8;
const MOST_BENDS: usize = MOST_PARTS - 1;

/// A bend's condition may be missed by this share of the greatest tension before or after it.
///
/// The tensions themselves are good to about 1e-12, and a bend compares two of them.
const CERTIFIED: f64 = 1e-10;
/// Newton steps in one go.
const NEWTON_STEPS: u32 = 20;
/// The share by which each bend answers less than it could: where two slack parts give rope to one between them
/// nothing says which gives how much, and this makes both give. Far above the error of the slopes, 1e-6.
const DAMPING: f64 = 1e-4;
/// Rounds in which the rope is slowed.
const ROUNDS: u32 = 300;

/// The tensions at the two ends of a part.
///
/// They differ where a part has weight and rises.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PartPull {
    /// At the end towards the first part.
    pub first: Force,
    /// At the other end.
    pub last: Force,
}

impl PartPull {
    /// The same tension at both ends.
    #[must_use]
    pub const fn even(tension: Force) -> Self {
        Self { first: tension, last: tension }
    }
}

/// A rope over bends: how much unstretched rope lies in each part, and what each bend can hold.
///
/// Parts and bends are counted from the pulling end; bend i lies between parts i and i + 1. With the tension p of
/// part i at the bend and q of part i + 1 there, and the rope d that passes it from part i + 1 to part i:
///
/// low ≤ p/q ≤ high;  d > 0 only at p = high·q (hauling),  d < 0 only at p = low·q (lowering)
///
/// Each step freezes the rope in every part, lets the caller say how the parts pull now, and passes as little rope
/// over the bends as brings every one of them back within its limits.
///
/// Assumed: each part pulls harder the less rope is in it, and both ends of the rope are held. Two neighbouring parts
/// without tension stay as they are. A step is exact where every bend slips one way or not at all during it and the
/// tensions change in proportion; otherwise its error falls with the size of the step.
///
/// ```
/// use rope_mechanics::history::{Chain, HistoryError, PartPull};
/// use rope_mechanics::quantity::{Angle, Force, Length, Ratio, unit::{degree, meter, newton, percent}};
/// use rope_mechanics::sheave::Turn;
///
/// // Two springs of 1000 N/m over one bend that passes 90 %, both at 1000 N.
/// let bend = Turn::sheave(Ratio::new::<percent>(90.0))?.band(Angle::new::<degree>(180.0))?;
/// let m = Length::new::<meter>;
/// let rope = Chain::new(&[m(9.0), m(9.0)], &[bend])?;
/// let springs = |stretched_m: f64| move |rope: &[Length], pulls: &mut [PartPull]| {
///     for (part, pull) in pulls.iter_mut().enumerate() {
///         let chord_m = 10.0 + if part == 0 { stretched_m } else { 0.0 };
///         *pull = PartPull::even(Force::new::<newton>(1000.0 * (chord_m - rope[part].get::<meter>()).max(0.0)));
///     }
///     Ok::<(), HistoryError>(())
/// };
/// // Stretched by 0.1 m, the first part rises alone; by 0.3 m, the second follows at 0.9 of it.
/// let stuck = rope.settle(springs(0.1))?;
/// assert!((stuck.pulls[0].last.value - 1100.0).abs() < 1e-6 && (stuck.pulls[1].first.value - 1000.0).abs() < 1e-6);
/// let slipped = stuck.rope.settle(springs(0.3))?;
/// assert!((slipped.pulls[1].first.value - 0.9 * slipped.pulls[0].last.value).abs() < 1e-6);
/// # Ok::<(), HistoryError>(())
/// ```
///
/// Source: the complementarity conditions of Coulomb friction; closed forms in `tests/api/history.rs`.
#[derive(Debug, Clone, PartialEq)]
pub struct Chain {
    lengths: ArrayVec<Length, MOST_PARTS>,
    bands: ArrayVec<Band<Ratio>, MOST_BENDS>,
}

/// A rope after a step.
#[derive(Debug, Clone, PartialEq)]
pub struct Settled {
    /// The rope, with what lies in each part now.
    pub rope: Chain,
    /// What each part pulls.
    pub pulls: ArrayVec<PartPull, MOST_PARTS>,
    /// What passed each bend towards the first part; negative away from it.
    pub passed: ArrayVec<Length, MOST_BENDS>,
    /// What friction turned into heat, taken at the tensions after the step: Σ (p − q)·d.
    pub heat: Energy,
    /// Steps, and the largest violation of a bend's condition divided by the greatest tension before or
    /// after any rope passed.
    pub report: SolveReport,
}

impl Chain {
    /// A rope by the unstretched length in each part and the limits of each bend's ratio, from the pulling end.
    ///
    /// # Errors
    /// Unless there are 2 to [`MOST_PARTS`] parts and one bend fewer, every length is above zero, and every bend has
    /// a high limit of at least 1 and a low one above 0 and at most 1. What is expected of the ratio is not used.
    pub fn new(lengths: &[Length], bands: &[Band<Ratio>]) -> Result<Self, InputError> {
        let counted = |field, count: usize, allowed| check(field, count as f64, allowed);
        counted("parts", lengths.len(), Allowed::Within(2.0, MOST_PARTS as f64))?;
        let bends = lengths.len() as f64 - 1.0;
        counted("bends", bands.len(), Allowed::Within(bends, bends))?;
        for length in lengths {
            positive("part_length", *length)?;
        }
        let rope =
            Self { lengths: lengths.iter().copied().collect(), bands: bands.iter().copied().collect() };
        rope.bands.iter().try_for_each(checked_band)?;
        Ok(rope)
    }

    /// The unstretched rope in each part.
    #[must_use]
    pub fn lengths(&self) -> &[Length] {
        &self.lengths
    }

    /// The same rope with other limits at one bend: its wrap has changed, or the doubt on its friction is tried.
    ///
    /// # Errors
    /// Unless there is such a bend and its limits are as for [`Chain::new`].
    pub fn with_band(mut self, bend: usize, band: Band<Ratio>) -> Result<Self, InputError> {
        checked_band(&band)?;
        *slot(&mut self.bands, "bend", bend)? = band;
        Ok(self)
    }

    /// The same rope with so much more in one part: paid out or given up by knots; negative for rope taken in.
    ///
    /// # Errors
    /// Unless there is such a part and rope is left in it.
    pub fn with_added(mut self, part: usize, rope: Length) -> Result<Self, InputError> {
        finite("added_rope", rope)?;
        let length = slot(&mut self.lengths, "part", part)?;
        *length += rope;
        positive("part_length", *length)?;
        Ok(self)
    }

    /// The rope after a step: `pulls` says how each part pulls with the rope that is given to it.
    ///
    /// The function is called with trial lengths, one for each part, and fills in one pull for each. Whatever else
    /// has changed (places, loads) is already in it.
    ///
    /// # Errors
    /// What `pulls` returns; [`HistoryError::Unsolved`] if the conditions aren't met to 1e-10 of the greatest tension.
    /// Of chains with slack parts, pulled by up to 8 % of their length in one step, that is about one step in a
    /// thousand; smaller steps help. So it is where a part would have to give more rope than it has.
    pub fn settle<E: From<HistoryError>>(
        &self,
        pulls: impl FnMut(&[Length], &mut [PartPull]) -> Result<(), E>,
    ) -> Result<Settled, E> {
        let mut step = Step { rope: self, parts: self.lengths.len(), pulls, evaluations: 0, scale_n: 0.0 };
        let start = step.at([0.0; MOST_BENDS], &Slowed::NOT)?;
        step.scale_n = start.largest_n(step.parts);
        let at = match step.newton(start, &Slowed::NOT)? {
            Some(at) => at,
            None => step.slowly(start)?,
        };
        if !(at.residual <= CERTIFIED) {
            let iterations = step.evaluations;
            return Err(HistoryError::Unsolved { residual: at.residual, iterations }.into());
        }
        Ok(step.settled(&at))
    }
}

fn checked_band(band: &Band<Ratio>) -> Result<(), InputError> {
    check("band.high", band.high, Allowed::AtLeast(1.0))?;
    positive("band.low", band.low)?;
    check("band.low", band.low, Allowed::AtMost(1.0))?;
    Ok(())
}

fn slot<'a, T, const N: usize>(
    all: &'a mut ArrayVec<T, N>,
    field: &'static str,
    at: usize,
) -> Result<&'a mut T, InputError> {
    let last = all.len() as f64 - 1.0;
    all.get_mut(at).ok_or(InputError::new(field, at as f64, "", Allowed::Within(0.0, last)))
}

type PassedLengths = [f64; MOST_BENDS];

/// A trial: what passed each bend, what the parts pull then, and how well that fits.
#[derive(Debug, Clone, Copy)]
struct SlipTrial {
    passed_m: PassedLengths,
    pulls: [PartPull; MOST_PARTS],
    residual: f64,
}

impl SlipTrial {
    fn largest_n(&self, parts: usize) -> f64 {
        let most = |most: f64, pull: &PartPull| most.max(pull.first.value).max(pull.last.value);
        self.pulls[..parts].iter().fold(0.0, most)
    }

    /// p and q: the tensions on both sides of a bend.
    fn sides(&self, bend: usize) -> (f64, f64) {
        (self.pulls[bend].last.value, self.pulls[bend + 1].first.value)
    }

    /// p − high·q and p − low·q, both less what slows the bend.
    fn excess(&self, bend: usize, band: &Band<Ratio>, slowed: &Slowed) -> (f64, f64) {
        let (p, q) = self.sides(bend);
        let held_n = slowed.n_per_m * (self.passed_m[bend] - slowed.from_m[bend]);
        (p - band.high.value * q - held_n, p - band.low.value * q - held_n)
    }
}

/// A resistance that holds what passes each bend back to what passed before, so that a hard step becomes several easy
/// ones.
#[derive(Debug, Clone, Copy)]
struct Slowed {
    n_per_m: f64,
    from_m: PassedLengths,
}

impl Slowed {
    const NOT: Self = Self { n_per_m: 0.0, from_m: [0.0; MOST_BENDS] };
}

/// What a bend does in a step.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Does {
    Sticks,
    Stays,
    Hauls,
    Lowers,
}

struct Step<'a, F> {
    rope: &'a Chain,
    parts: usize,
    pulls: F,
    evaluations: u32,
    /// The greatest tension before any rope passed: what rounding is measured by where all tension is lost.
    scale_n: f64,
}

impl<E: From<HistoryError>, F: FnMut(&[Length], &mut [PartPull]) -> Result<(), E>> Step<'_, F> {
    fn lengths(&self, passed_m: &PassedLengths) -> [Length; MOST_PARTS] {
        let mut lengths = [metres(0.0); MOST_PARTS];
        for (part, length) in lengths.iter_mut().enumerate().take(self.parts) {
            // Lᵢ = Lᵢ₀ + dᵢ − dᵢ₋₁
            let gained = if part + 1 < self.parts { passed_m[part] } else { 0.0 };
            let given = if part > 0 { passed_m[part - 1] } else { 0.0 };
            *length = metres(self.rope.lengths[part].value + gained - given);
        }
        lengths
    }

    fn bends(&self) -> usize {
        self.parts - 1
    }

    fn at(&mut self, passed_m: PassedLengths, slowed: &Slowed) -> Result<SlipTrial, E> {
        let mut pulls = [PartPull::default(); MOST_PARTS];
        let lengths = self.lengths(&passed_m);
        self.evaluations += 1;
        (self.pulls)(&lengths[..self.parts], &mut pulls[..self.parts])?;
        let mut trial = SlipTrial { passed_m, pulls, residual: 0.0 };
        let sound = |pull: &PartPull| pull.first.value >= 0.0 && pull.last.value >= 0.0;
        let largest_n = trial.largest_n(self.parts).max(self.scale_n);
        if !(pulls[..self.parts].iter().all(sound) && largest_n < f64::INFINITY) {
            // Not a tension: no answer, whatever the bends say.
            trial.residual = f64::INFINITY;
        } else if largest_n > 0.0 {
            let worst = (0..self.bends()).map(|bend| {
                let (over, under) = trial.excess(bend, &self.rope.bands[bend], slowed);
                match passed_m[bend] {
                    d if d > 0.0 => over.abs(),
                    d if d < 0.0 => under.abs(),
                    _ => over.max(-under).max(0.0),
                }
            });
            trial.residual = worst.fold(0.0, f64::max) / largest_n;
        }
        Ok(trial)
    }

    /// Whether every part still has rope in it.
    fn possible(&self, passed_m: &PassedLengths) -> bool {
        self.lengths(passed_m)[..self.parts].iter().all(|length| length.value > 0.0)
    }

    /// An active set and Newton's method on the bends that slip; `None` if it cycles or leaves what is possible.
    ///
    /// For parts that pull harder with less rope the system is that of an M-matrix, on which the active set settles
    /// in a few steps.
    fn newton(&mut self, from: SlipTrial, slowed: &Slowed) -> Result<Option<SlipTrial>, E> {
        let mut trial = self.at(from.passed_m, slowed)?;
        for _ in 0..NEWTON_STEPS {
            if trial.residual <= 0.5 * CERTIFIED {
                return Ok(Some(trial));
            }
            let slopes = self.slopes(&trial, slowed)?;
            let mut matrix = SMatrix::<f64, MOST_BENDS, MOST_BENDS>::identity();
            let mut right = SVector::<f64, MOST_BENDS>::zeros();
            let mut does = [Does::Sticks; MOST_BENDS];
            for bend in 0..self.bends() {
                let band = self.rope.bands[bend];
                let (over, under) = trial.excess(bend, &band, slowed);
                let row = |limit: f64, to: usize| {
                    let (p, q) = slopes[to][bend];
                    p - limit * q - if to == bend { slowed.n_per_m } else { 0.0 }
                };
                let d = trial.passed_m[bend];
                // What the bend does is read from d + c·excess, with c = −1/(∂excess/∂d).
                let (by_over, by_under) = (row(band.high.value, bend), row(band.low.value, bend));
                let (up, down) = (d - over / by_over, d - under / by_under);
                let (limit, excess);
                (does[bend], limit, excess) = if by_over == 0.0 && by_under == 0.0 {
                    // Nothing pulls on either side, and nothing says how much should pass.
                    (Does::Stays, 0.0, 0.0)
                } else if up > 0.0 {
                    (Does::Hauls, band.high.value, over)
                } else if down < 0.0 {
                    (Does::Lowers, band.low.value, under)
                } else {
                    (Does::Sticks, 0.0, 0.0)
                };
                match does[bend] {
                    Does::Stays => {}
                    Does::Sticks => right[bend] = -d,
                    Does::Hauls | Does::Lowers => {
                        for to in 0..self.bends() {
                            matrix[(bend, to)] = row(limit, to);
                        }
                        if slowed.n_per_m == 0.0 {
                            matrix[(bend, bend)] *= 1.0 + DAMPING;
                        }
                        right[bend] = -excess;
                    }
                }
            }
            let Some(change) = matrix.lu().solve(&right) else { return Ok(None) };
            let mut next = trial.passed_m;
            let mut share = 1.0;
            loop {
                for (bend, d) in next.iter_mut().enumerate() {
                    // A bend that sticks passes nothing, and not what rounding leaves.
                    *d = if does[bend] == Does::Sticks {
                        (1.0 - share) * trial.passed_m[bend]
                    } else {
                        trial.passed_m[bend] + share * change[bend]
                    };
                }
                if self.possible(&next) {
                    break;
                }
                share *= 0.5;
                if share < 1e-6 {
                    return Ok(None);
                }
            }
            trial = self.at(next, slowed)?;
        }
        Ok(None)
    }

    /// ∂(p, q)/∂d of every bend, by what passes every bend: `slopes[to][bend]`.
    ///
    /// By differences the way each bend wants to pass rope: a part that is just straight pulls on one side only.
    fn slopes(
        &mut self,
        trial: &SlipTrial,
        slowed: &Slowed,
    ) -> Result<[[(f64, f64); MOST_BENDS]; MOST_BENDS], E> {
        let mut slopes = [[(0.0, 0.0); MOST_BENDS]; MOST_BENDS];
        for to in 0..self.bends() {
            // A millionth of the shorter part: the tension is good to 1e-12, so that its slope is good to 1e-6.
            let (one, other) = (self.rope.lengths[to].value, self.rope.lengths[to + 1].value);
            let (_, under) = trial.excess(to, &self.rope.bands[to], slowed);
            let step_m = if under < 0.0 { -1e-6 } else { 1e-6 } * one.min(other);
            let mut passed_m = trial.passed_m;
            passed_m[to] += step_m;
            let moved = self.at(passed_m, &Slowed::NOT)?;
            for bend in 0..self.bends() {
                let ((p, q), (p_moved, q_moved)) = (trial.sides(bend), moved.sides(bend));
                slopes[to][bend] = ((p_moved - p) / step_m, (q_moved - q) / step_m);
            }
        }
        Ok(slopes)
    }

    /// The step in several, each slowed by a resistance that is raised where Newton's method cycles and lowered where
    /// it settles: for parts that go slack or taut on the way.
    ///
    /// What is sought is where nothing more passes, and there the resistance is without force.
    fn slowly(&mut self, start: SlipTrial) -> Result<SlipTrial, E> {
        let shortest_m =
            self.rope.lengths.iter().fold(f64::INFINITY, |least, length| least.min(length.value));
        let mut slowed = Slowed { n_per_m: 10.0 * self.scale_n / shortest_m, from_m: start.passed_m };
        let mut trial = start;
        for _ in 0..ROUNDS {
            match self.newton(trial, &slowed)? {
                Some(settled) => {
                    trial = self.at(settled.passed_m, &Slowed::NOT)?;
                    if trial.residual <= CERTIFIED {
                        break;
                    }
                    slowed = Slowed { n_per_m: 0.3 * slowed.n_per_m, from_m: trial.passed_m };
                }
                None => slowed.n_per_m *= 4.0,
            }
        }
        Ok(trial)
    }

    fn settled(&self, at: &SlipTrial) -> Settled {
        let lengths = self.lengths(&at.passed_m);
        let passed = at.passed_m.iter().take(self.bends()).map(|d| metres(*d)).collect();
        let heat_j = (0..self.bends()).map(|bend| {
            let (p, q) = at.sides(bend);
            // (p − q)·d
            (p - q) * at.passed_m[bend]
        });
        Settled {
            rope: Chain {
                lengths: lengths[..self.parts].iter().copied().collect(),
                bands: self.rope.bands.clone(),
            },
            pulls: at.pulls[..self.parts].iter().copied().collect(),
            passed,
            heat: Energy::new::<joule>(heat_j.sum()),
            report: SolveReport::new(self.evaluations, at.residual),
        }
    }
}

/// The pull of a straight part without weight between two places.
pub(super) fn straight_n(chord_m: f64, length_m: f64, stretch: &crate::rope::Stretch) -> Force {
    // ε = c/L − 1
    newtons(stretch.tension_at((chord_m / length_m - 1.0).max(0.0)))
}
