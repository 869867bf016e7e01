//! From what is given to a balance on the branch that is promised, certified.

use super::CarriageError;
use super::equations::{Given, Meaning, Problem, Slopes, Unknowns};
use super::newton::{Rest, newton, settled};
use super::{extent_m, rounding};
use crate::line::hang::RopeLaw;
use crate::math;
use crate::math::linear::{Lu, Pivots};
use crate::quantity::{Force, metres, newtons};

/// An answer with its residual.
#[derive(Debug, Clone, Copy)]
pub(super) struct Balance {
    pub(super) meaning: Meaning,
    pub(super) unknowns: Unknowns,
    pub(super) iterations: u32,
    /// How the equations follow the unknowns, and det of that.
    pub(super) slope: Slopes,
    determinant: f64,
}

impl Problem {
    /// The answer, from a warm start if there is one.
    ///
    /// It may ask the haul rope to push: the caller sees to that.
    pub(super) fn solve(&self, warm: Option<Unknowns>) -> Result<Balance, CarriageError> {
        self.solve_by(warm, &[Self::start, Self::start_by_lines])
    }

    /// The same without the slow start from two lines.
    pub(super) fn solve_quick(&self, warm: Option<Unknowns>) -> Result<Balance, CarriageError> {
        self.solve_by(warm, &[Self::start])
    }

    fn solve_by(
        &self,
        warm: Option<Unknowns>,
        starts: &[fn(&Self) -> Option<Unknowns>],
    ) -> Result<Balance, CarriageError> {
        let mut tries = Tries::default();
        if let Some(balance) = warm.and_then(|start| self.from(start, &mut tries)) {
            return Ok(balance);
        }
        let mut second_best: Option<Balance> = None;
        for start in starts {
            if let Some(balance) = start(self).and_then(|start| self.from(start, &mut tries)) {
                if self.is_first(&balance) {
                    return Ok(balance);
                }
                let better = second_best.is_none_or(|other| self.pulled(&other).is_err());
                second_best = if better { Some(balance) } else { second_best };
            }
        }
        second_best.ok_or_else(|| self.reason(&tries))
    }

    /// Whether the haul rope pulls; else how hard it would have to push.
    pub(super) fn pulled(&self, balance: &Balance) -> Result<(), Force> {
        let push_n = -balance.meaning.pull_n();
        let rounding_n = PUSH * (self.scale_n + balance.meaning.near_tension_n);
        if push_n > rounding_n { Err(newtons(push_n)) } else { Ok(()) }
    }

    /// Newton's method from a start, if it comes to a balance of the branch that is promised.
    pub(super) fn from(&self, start: Unknowns, tries: &mut Tries) -> Option<Balance> {
        let rest = newton(self, start)?;
        tries.steps += rest.iterations;
        tries.residual = tries.residual.min(rest.residual);
        let balance = self.settle(rest)?;
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
            _ => Lu::of(&self.held_at_x(&balance.slope), Pivots::Partial).determinant() > 0.0,
        }
    }

    /// Whether the wheel presses on its track: a track that pulls the carriage down has it lifted off.
    fn hangs(&self, meaning: &Meaning) -> bool {
        // ψ₁ + ψ₂ > 0: at the carriage the track bends upward
        meaning.near.v * meaning.away.h + meaning.away.v * meaning.near.h > 0.0
    }

    /// Whether no other balance comes first. Where a tension is given there may be two: the one whose haul rope pulls,
    /// and the shorter track, on which more rope would lower the tension.
    fn is_first(&self, balance: &Balance) -> bool {
        let Given::XAndTension { .. } = self.given else { return true };
        self.pulled(balance).is_ok() && balance.length_by_last().is_some_and(|by_tension| by_tension <= 0.0)
    }

    /// Why there is no answer, where that can be told.
    fn reason(&self, tries: &Tries) -> CarriageError {
        let x_m = match self.given {
            Given::LengthAndX { x_m, .. } | Given::XAndTension { x_m, .. } | Given::Point { x_m, .. } => x_m,
            _ => return tries.unsolved(),
        };
        if let Given::XAndTension { tension_n, at_near, .. } = self.given {
            let from_head_m = if at_near { x_m } else { self.far_x_m - x_m };
            return CarriageError::too_little_tension(from_head_m, tension_n);
        }
        if self.heavy_haul()
            && let Ok(straight) =
                (Self { haul: RopeLaw { weight_n_per_m: 0.0, ..self.haul }, ..*self }).solve(None)
        {
            let m = &straight.meaning;
            let (pull_n, hung_n) = (m.pull_n(), self.haul.weight_n_per_m * m.haul_length_m);
            if pull_n < 0.0 {
                return CarriageError::HaulWouldPush {
                    x: metres(m.near_part.span_m),
                    push: newtons(-pull_n),
                };
            }
            if pull_n < hung_n {
                return CarriageError::haul_too_heavy(pull_n, hung_n);
            }
        }
        tries.unsolved()
    }

    /// Accepts where Newton's method came to rest, if every equation is met to within rounding.
    fn settle(&self, rest: Rest<6>) -> Option<Balance> {
        let found = |at: &Unknowns| {
            let meaning = self.meaning(at)?;
            Some((meaning, self.rounding(&meaning)))
        };
        let (meaning, Rest { at, slope, iterations, determinant, .. }) = settled(self, rest, found)?;
        Some(Balance { meaning, unknowns: at, iterations, slope, determinant })
    }

    /// What rounding may leave of the equations.
    fn rounding(&self, meaning: &Meaning) -> f64 {
        let mut extent = extent_m(&meaning.near_part) + extent_m(&meaning.away_part) + meaning.haul_length_m;
        if self.heavy_haul() {
            // Its pull is the difference of two tensions, and carries their rounding.
            let tensions = meaning.near_tension_n + meaning.away_tension_n;
            extent += meaning.haul_length_m * tensions / math::hypot(meaning.haul_x_n, meaning.haul_z_n);
        }
        rounding(1.0 + extent / self.scale_m)
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

/// A push below this share of the forces is rounding.
const PUSH: f64 = 1e-12;
