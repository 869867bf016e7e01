//! From what is given to a balance on the branch that is promised, certified.

use super::CarriageError;
use super::equations::{Given, Meaning, Problem, Unknowns};
use super::newton::{Matrix, System, eliminate, newton, settled};
use crate::line::hang::RopeLaw;
use crate::quantity::{Force, metres, newtons};
use crate::rope::Stretch;

/// An answer with its residual.
#[derive(Debug, Clone, Copy)]
pub(super) struct Balance {
    pub(super) meaning: Meaning,
    pub(super) unknowns: Unknowns,
    pub(super) iterations: u32,
    /// How the equations follow the unknowns, and det of that.
    pub(super) slope: Matrix<6>,
    determinant: f64,
}

impl Problem {
    /// The answer, from a warm start if there is one.
    ///
    /// It may ask the haul rope to push: the caller sees to that. Unless it is to be `thorough`, it isn't looked for
    /// in a loop of a heavy haul rope that a straight one would not hold.
    pub(super) fn solve(&self, warm: Option<Unknowns>, thorough: bool) -> Result<Balance, CarriageError> {
        let mut tries = Tries::default();
        let nearby = warm.and_then(|start| self.from(start, &mut tries));
        // A track through a given point has one balance, whatever its haul rope would have to do.
        if let Some(balance) = nearby.filter(|balance| self.seeks_load() || self.pulled(balance).is_ok()) {
            return Ok(balance);
        }
        let start = self.start();
        if let Some(start) = start.filter(|start| thorough && !self.may_be_held(start)) {
            self.rolls_in(start)?;
        }
        let quick = start.and_then(|start| self.from(start, &mut tries));
        let mut hauled = Ok(());
        match quick {
            Some(balance) if self.is_first(&balance) => return Ok(balance),
            None if self.heavy_haul() => hauled = self.carries_its_haul(),
            None if thorough && !tries.lifted => start.map_or(Ok(()), |start| self.rolls_in(start))?,
            _ => {}
        }
        if !thorough {
            hauled?;
        }
        let slow = self.start_by_lines().and_then(|start| self.from(start, &mut tries));
        match (quick, slow) {
            (_, Some(balance)) if self.is_first(&balance) => Ok(balance),
            (Some(quick), Some(slow)) if self.pulled(&quick).is_err() => Ok(slow),
            (quick, slow) => quick.or(slow).ok_or_else(|| hauled.err().unwrap_or(self.reason(&tries))),
        }
    }

    /// Whether the haul rope pulls; else how hard it would have to push.
    pub(super) fn pulled(&self, balance: &Balance) -> Result<(), Force> {
        let push_n = -balance.meaning.pull_n();
        let rounding_n = PUSH * (self.scale_n + balance.meaning.near.tension_n);
        if push_n > rounding_n { Err(newtons(push_n)) } else { Ok(()) }
    }

    /// Newton's method from a start, if it comes to a balance of the branch that is promised.
    pub(super) fn from(&self, start: Unknowns, tries: &mut Tries) -> Option<Balance> {
        let rest = newton(self, start)?;
        tries.steps += rest.iterations;
        tries.residual = tries.residual.min(rest.residual);
        let rest = settled(self, rest)?;
        let balance = Balance {
            meaning: rest.meaning,
            unknowns: rest.at,
            iterations: rest.iterations,
            slope: rest.slope,
            determinant: rest.determinant,
        };
        if self.seeks_load() {
            return Some(balance);
        }
        let hangs = self.hangs(&balance.meaning);
        tries.lifted |= !hangs;
        (hangs && self.is_stable(&balance)).then_some(balance)
    }

    /// Whether the carriage, pushed aside, comes back: held at its place, or by its length of haul rope.
    ///
    /// Where a balance ceases to be stable it is no longer the only one nearby, and det ∂(equations)/∂(unknowns) is
    /// zero. It is positive on a track of straight parts, and hence on all that comes of one by more weight.
    fn is_stable(&self, balance: &Balance) -> bool {
        match self.given {
            Given::LengthAndHaul { .. } | Given::LengthAndX { .. } => balance.determinant > 0.0,
            _ => {
                let held = Self { given: Given::LengthAndX { length_m: 0.0, x_m: 0.0 }, ..*self };
                eliminate(&held.slope(&balance.meaning), &[0.0; 6])
                    .is_some_and(|(_, determinant)| determinant > 0.0)
            }
        }
    }

    /// Whether the wheel presses on its track: a track that pulls the carriage down has it lifted off.
    fn hangs(&self, meaning: &Meaning) -> bool {
        // ψ₁ + ψ₂ > 0: at the carriage the track bends upward
        meaning.near.v_n * meaning.away.h_n + meaning.away.v_n * meaning.near.h_n > 0.0
    }

    /// Whether no other balance comes first. Where a tension is given there may be two: the one whose haul rope pulls,
    /// and the shorter track, on which more rope would lower the tension.
    fn is_first(&self, balance: &Balance) -> bool {
        let Given::XAndTension { .. } = self.given else { return true };
        self.pulled(balance).is_ok() && balance.length_by_last().is_some_and(|by_tension| by_tension <= 0.0)
    }

    /// Whether a place near the start may be held: by a rope that pulls, by one that would have to push, or by one so steep
    /// that it lifts.
    fn may_be_held(&self, start: &Unknowns) -> bool {
        let (Given::LengthAndX { .. }, Some(m)) = (self.given, self.meaning(start)) else { return true };
        // What the track lifts, less what is pressed down by a push along the haul rope: V − P·d_z/|dₓ|
        let lifts_n = m.near.v_n + m.away.v_n + m.haul_x_n * m.to_haul_z_m / m.to_haul_x_m;
        m.haul_x_n <= 0.0 || lifts_n > 0.0 || m.to_haul_z_m > STEEP * m.to_haul_x_m.abs()
    }

    /// Refuses a place from which the load rolls towards a haul point above it, seen from the start that led to nothing.
    ///
    /// Held level it rests where the track lifts its weight, and the lower it hangs the more the track lifts. A straight
    /// rope that pulls upward lifts as well: the carriage hangs higher with it than held level, and lower with one that
    /// pushes. So where the track draws towards the haul point, held level as well as on the first straight track on the
    /// way down, no such rope pulls; nor need there be any place where one that pushes would hold it.
    fn rolls_in(&self, start: Unknowns) -> Result<(), CarriageError> {
        let (Given::LengthAndX { x_m, .. }, Some(m)) = (self.given, self.meaning(&start)) else {
            return Ok(());
        };
        if m.haul_x_n <= 0.0 || self.heavy_haul() {
            return Ok(());
        }
        // From so far away that it is level, to a thousandth, however low the carriage hangs.
        let (z_m, far_m) = (-m.near.part.rise_m, 1e3 * self.scale_m);
        let level = Self {
            haul_x_m: x_m - far_m,
            haul_z_m: z_m,
            haul: RopeLaw { weight_n_per_m: 0.0, stretch: Stretch::RIGID },
            ..*self
        };
        let [ln_t, psi_1, psi_2, near_m, away_m, _] = start;
        let start = [ln_t, psi_1, psi_2, near_m, away_m, far_m];
        let Some(Balance { meaning: m, .. }) = level.from(start, &mut Tries::default()) else {
            return Ok(());
        };
        let push_n = m.haul_x_n;
        if push_n > PUSH * (self.scale_n + m.near.tension_n) && self.haul_z_m >= z_m.max(-m.near.part.rise_m)
        {
            return Err(CarriageError::HaulWouldPush { x: metres(x_m), push: newtons(push_n) });
        }
        Ok(())
    }

    /// Whether a straight haul rope pulls at this place with more than a heavy one weighs.
    fn carries_its_haul(&self) -> Result<(), CarriageError> {
        let straight = Self { haul: RopeLaw { weight_n_per_m: 0.0, ..self.haul }, ..*self };
        let Ok(Balance { meaning: m, .. }) = straight.solve(None, false) else { return Ok(()) };
        let (pull_n, hung_n) = (m.pull_n(), self.haul.weight_n_per_m * m.haul_length_m);
        if pull_n < 0.0 {
            Err(CarriageError::HaulWouldPush { x: metres(m.near.part.span_m), push: newtons(-pull_n) })
        } else if pull_n < hung_n {
            Err(CarriageError::haul_too_heavy(pull_n, hung_n))
        } else {
            Ok(())
        }
    }

    /// Why there is no answer, where that can be told.
    fn reason(&self, tries: &Tries) -> CarriageError {
        if let Given::XAndTension { x_m, tension_n, at_near } = self.given {
            let from_head_m = if at_near { x_m } else { self.far_x_m - x_m };
            return CarriageError::too_little_tension(from_head_m, tension_n);
        }
        tries.unsolved()
    }
}

/// What came of the starts that led to no answer.
#[derive(Debug, Clone, Copy)]
pub(super) struct Tries {
    steps: u32,
    residual: f64,
    /// Whether one led to a carriage that is lifted off its track.
    lifted: bool,
}

impl Default for Tries {
    fn default() -> Self {
        Self { steps: 0, residual: f64::INFINITY, lifted: false }
    }
}

impl Tries {
    pub(super) fn unsolved(&self) -> CarriageError {
        if self.lifted {
            CarriageError::LiftedOff
        } else {
            CarriageError::Unsolved { iterations: self.steps, residual: self.residual }
        }
    }
}

/// tan 60°, from which on a haul rope may lift the carriage off its track.
const STEEP: f64 = 1.732_050_807_568_877_2;
/// A push below this share of the forces is rounding.
const PUSH: f64 = 1e-12;
