//! A length of track rope judged at one place of the load: every limit, at the worst of what friction may leave.

use super::super::model::Model;
use super::super::place::{ByPlace, Place};
use super::super::power::Drive;
use super::super::state::{Balance, Situation, State, StateError};
use super::super::study::{LimitsUsed, RatedPart};
use super::super::travel::Moved;
use super::super::under_ropes::{HeadRopes, UnderRopes};
use super::in_doubt::{InDoubt, Worse};
use crate::math;
use crate::motion::Motion;
use crate::quantity::{Force, Length};
use alloc::vec::Vec;
use arrayvec::ArrayVec;
use core::cell::Cell;
use core::f64::consts::TAU;
use serde::Serialize;

/// A limit that a length of track rope is judged by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum LimitKind {
    /// The litter hangs lower than its margin where it is to float.
    LitterLow,
    /// The litter hangs higher than it may.
    LitterHigh,
    /// A part has less than its factor.
    Factor,
    /// The load cell may show more than its limit.
    Reading,
    /// The capstan would have to pull more than it is rated for.
    CapstanPull,
    /// The capstan's tail takes more than its limit.
    CapstanTail,
    /// The frame is nearer to tipping than it may be.
    FrameMargin,
    /// The frame falls.
    FrameFalls,
    /// The winch would have to pull more than it is rated for.
    WinchPull,
    /// The winch draws more than its limit.
    WinchCurrent,
    /// The track rope hangs below the ground.
    TrackOnGround,
    /// The strands are longer than the rope on hand allows.
    RopeTooShort,
    /// Even the carriage lies on the ground.
    CarriageOnGround,
    /// No balance was found.
    NoBalance,
}

/// A limit, and the part that it is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[non_exhaustive]
pub struct Limit {
    /// What is passed.
    pub kind: LimitKind,
    /// Index in the study's components, of a part below its factor.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub component: Option<usize>,
}

impl Limit {
    pub(crate) const fn of(kind: LimitKind) -> Self {
        Self { kind, component: None }
    }

    /// The SI unit of its values; empty for a plain number, and for what has none.
    #[must_use]
    pub const fn unit(&self) -> &'static str {
        match self.kind {
            LimitKind::LitterLow
            | LimitKind::LitterHigh
            | LimitKind::TrackOnGround
            | LimitKind::RopeTooShort => "m",
            LimitKind::Reading | LimitKind::CapstanPull | LimitKind::CapstanTail | LimitKind::WinchPull => {
                "N"
            }
            LimitKind::WinchCurrent => "A",
            LimitKind::FrameMargin => "rad",
            LimitKind::Factor
            | LimitKind::FrameFalls
            | LimitKind::CarriageOnGround
            | LimitKind::NoBalance => "",
        }
    }
}

/// How a limit is kept at one place, with one length of rope.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Kept {
    /// The limit.
    #[serde(flatten)]
    pub limit: Limit,
    /// The value at its worst, in `unit`; absent where there is none, as for a frame that falls.
    pub value: Option<f64>,
    /// What is allowed, in `unit`.
    pub allowed: Option<f64>,
    /// The SI unit of both; empty for a plain number.
    pub unit: &'static str,
    /// By how much it is kept, as a share of what is allowed, or in metres for a height; negative where it is passed.
    pub slack: f64,
}

impl Kept {
    fn at_most(kind: LimitKind, value: f64, allowed: f64) -> Self {
        Self::new(Limit::of(kind), value, allowed, (allowed - value) / allowed)
    }

    fn new(limit: Limit, value: f64, allowed: f64, slack: f64) -> Self {
        Self { limit, value: Some(value), allowed: Some(allowed), unit: limit.unit(), slack }
    }

    fn passed(kind: LimitKind) -> Self {
        Self { limit: Limit::of(kind), value: None, allowed: None, unit: "", slack: NOT_AT_ALL }
    }
}

/// The slack of what has no measure: no balance, a frame that falls.
const NOT_AT_ALL: f64 = -1.0;
/// A track line that would hang less than this below the ground touches it only.
const TOUCHING_M: f64 = 0.01;

/// Everything that judges a length of rope.
pub(crate) struct Judge<'a, 'g> {
    pub(crate) model: &'a Model<'g>,
    pub(crate) drive: &'a Drive,
    pub(crate) limits: &'a LimitsUsed,
    pub(crate) parts: &'a [RatedPart],
    /// The litter is to float from here on to the head.
    pub(crate) floats_from: Length,
    /// Of one strand, by the rope on hand.
    pub(crate) longest_strand: Length,
    /// The least friction on the capstan times its wrap.
    pub(crate) capstan_exponent: f64,
    /// What the doubt adds to the worst that friction leaves.
    pub(crate) in_doubt: &'a InDoubt,
    /// How often a place was judged.
    pub(crate) judged: Cell<usize>,
}

/// A place judged.
pub(crate) struct Judged<'m, 'g> {
    /// Its states; nothing where the load can't be there, or isn't on.
    pub(crate) moved: Option<Moved<'m, 'g>>,
    /// Every limit.
    pub(crate) kept: Vec<Kept>,
}

impl Judged<'_, '_> {
    /// The limit that is kept least.
    pub(crate) fn least(&self) -> Kept {
        let none = Kept::passed(LimitKind::NoBalance);
        self.kept.iter().copied().reduce(|a, b| if b.slack < a.slack { b } else { a }).unwrap_or(none)
    }
}

/// The greatest of hauled and lowered, for each limit that a place has.
struct Worst {
    forces: ByPlace<Force>,
    reading_n: f64,
    clearance_m: f64,
    ropes: ArrayVec<HeadRopes, 2>,
}

impl<'a, 'g> Judge<'a, 'g> {
    /// This length of each strand, with the load at x or, for nothing, without load.
    pub(crate) fn at(
        &self,
        strand: Length,
        x: Option<Length>,
        nearby: Option<&Moved<'_, '_>>,
    ) -> Judged<'a, 'g> {
        self.judged.set(self.judged.get() + 1);
        let mut kept = Vec::with_capacity(self.parts.len() + 10);
        let longest_m = self.longest_strand.value;
        kept.push(Kept::new(
            Limit::of(LimitKind::RopeTooShort),
            strand.value,
            longest_m,
            (longest_m - strand.value) / longest_m.abs().max(1.0),
        ));
        let moved = match x {
            Some(x) => match self.states(strand, x, nearby) {
                Ok(moved) => Some(moved),
                // It has rolled to where the next places are judged.
                Err(StateError::RollsIn { .. }) => None,
                Err(why) => {
                    kept.push(no_state(&why));
                    None
                }
            },
            None => None,
        };
        let judged = match (&moved, x) {
            (Some(moved), Some(x)) => self.loaded(x, moved, &mut kept),
            (None, Some(_)) => Ok(()),
            (_, None) => self.unloaded(strand, &mut kept),
        };
        if let Err(why) = judged {
            kept.push(no_state(&why));
        }
        Judged { moved, kept }
    }

    /// The load at x hauled, at rest and lowered. Where its litter is to float it hangs, below the ground if need be: so the
    /// height falls smoothly with the length.
    fn states(
        &self,
        strand: Length,
        x: Length,
        nearby: Option<&Moved<'_, '_>>,
    ) -> Result<Moved<'a, 'g>, StateError> {
        let model = self.model;
        if x > self.floats_from {
            return model.moved(strand, x, nearby);
        }
        let locked = model.locked_rope(strand)?;
        let lifted = |motion, near: Option<&Balance>| -> Result<State<'a, 'g>, StateError> {
            let balance = model.way(locked, motion)?.lifted(model, x.value, near)?;
            Ok(State { model, situation: Situation::at_x(strand, x, motion), balance })
        };
        let hauling = lifted(Motion::Hauling, nearby.map(|nearby| &nearby.hauling.balance))?;
        let other = |motion| match lifted(motion, Some(&hauling.balance)) {
            Ok(state) => Ok(Some(state)),
            Err(StateError::RollsIn { .. }) => Ok(None),
            Err(why) => Err(why),
        };
        let (at_rest, lowering) = (other(Motion::AtRest)?, other(Motion::Lowering)?);
        Ok(Moved { hauling, at_rest, lowering, lies_down: false })
    }

    fn unloaded(&self, strand: Length, kept: &mut Vec<Kept>) -> Result<(), StateError> {
        let state = self.model.state(&Situation::unloaded(strand))?;
        let track = state.track_at_rest();
        let worst = Worst {
            forces: state.forces_by(track.as_ref())?,
            reading_n: track.as_ref().map_or(0.0, |track| track.cell.high.value),
            clearance_m: state.track_clearance().value,
            ropes: [state.head_ropes()].into_iter().collect(),
        };
        self.shared(worst, &self.in_doubt.at(None), kept)
    }

    fn loaded(&self, x: Length, moved: &Moved<'_, '_>, kept: &mut Vec<Kept>) -> Result<(), StateError> {
        let mut worst: Option<Worst> = None;
        for state in moved.ends() {
            let track = state.track_at_rest();
            let forces = state.forces_by(track.as_ref())?;
            let reading_n = track.as_ref().map_or(0.0, |track| track.cell.high.value);
            let clearance_m = state.track_clearance().value;
            match &mut worst {
                None => {
                    let ropes = [state.head_ropes()].into_iter().collect();
                    worst = Some(Worst { forces, reading_n, clearance_m, ropes });
                }
                Some(worst) => {
                    worst.forces = worst.forces.with(&forces, Force::max);
                    worst.reading_n = worst.reading_n.max(reading_n);
                    worst.clearance_m = worst.clearance_m.min(clearance_m);
                    worst.ropes.push(state.head_ropes());
                }
            }
        }
        let worse = self.in_doubt.at(Some(x));
        if let Some(worst) = worst {
            self.shared(worst, &worse, kept)?;
        }
        self.heights(x, moved, &worse, kept);
        self.winch(&moved.hauling, &worse, kept)
    }

    fn heights(&self, x: Length, moved: &Moved<'_, '_>, worse: &Worse, kept: &mut Vec<Kept>) {
        let heights = || moved.ways().map(|state| state.litter_height().value);
        let (least_m, most_m) = (heights().fold(f64::INFINITY, f64::min), heights().fold(0.0, f64::max));
        if x <= self.floats_from {
            let wanted_m = self.limits.least_litter_height.value;
            let least_m = least_m - worse.lower_m;
            let slack = least_m - wanted_m;
            kept.push(Kept::new(Limit::of(LimitKind::LitterLow), least_m, wanted_m, slack));
        }
        let (allowed_m, most_m) = (self.limits.litter_height.value, most_m + worse.higher_m);
        kept.push(Kept::new(Limit::of(LimitKind::LitterHigh), most_m, allowed_m, allowed_m - most_m));
    }

    fn winch(&self, hauling: &State<'_, '_>, worse: &Worse, kept: &mut Vec<Kept>) -> Result<(), StateError> {
        let carriage = hauling.balance.carriage;
        let line = self.model.haul_line(carriage, hauling.pull())?;
        let rated_n = self.limits.winch_pull.value;
        kept.push(Kept::at_most(LimitKind::WinchPull, line.winch.value * worse.winch_pull, rated_n));
        if let Some(limit) = self.limits.current {
            // A winch that can't pull as much draws more than any limit.
            kept.push(match self.drive.at(line.winch, carriage.x) {
                Ok(driven) => {
                    Kept::at_most(LimitKind::WinchCurrent, driven.current.value * worse.current, limit.value)
                }
                Err(_) => Kept::passed(LimitKind::WinchCurrent),
            });
        }
        Ok(())
    }

    /// What is judged with and without a load.
    fn shared(&self, worst: Worst, worse: &Worse, kept: &mut Vec<Kept>) -> Result<(), StateError> {
        let Worst { mut forces, reading_n, clearance_m, ropes } = worst;
        let frame = self.model.frame_under(&ropes)?;
        frame.add_to(&mut forces);
        let forces = forces.with(&worse.forces, |force, share| force * share);
        let (reading_n, clearance_m) = (reading_n * worse.reading, clearance_m - worse.clearance_m);
        match &frame {
            UnderRopes::Stands(frame) if frame.edge.is_some() => {
                let (margin, allowed) =
                    (frame.margin.value - worse.margin_rad, self.limits.frame_margin.value);
                let slack = (margin - allowed) / allowed.max(0.01);
                kept.push(Kept::new(Limit::of(LimitKind::FrameMargin), margin, allowed, slack));
            }
            UnderRopes::Stands(_) => {}
            UnderRopes::Falls(_) => kept.push(Kept::passed(LimitKind::FrameFalls)),
        }
        for (i, part) in self.parts.iter().enumerate() {
            let force_n = forces[part.place].value;
            if let Some(strength) = part.strength
                && force_n > 0.0
            {
                let (factor, wanted) = (strength.value / force_n, self.limits.factor_of(part.kind));
                let limit = Limit { kind: LimitKind::Factor, component: Some(i) };
                // 1 − F·n/S
                kept.push(Kept::new(limit, factor, wanted, 1.0 - wanted / factor));
            }
        }
        if let Some(limit) = self.limits.reading {
            kept.push(Kept::at_most(LimitKind::Reading, reading_n, limit.value));
        }
        if let Some(rated) = self.limits.capstan_pull {
            kept.push(Kept::at_most(LimitKind::CapstanPull, forces[Place::Capstan].value, rated.value));
        }
        if let Some(limit) = self.limits.tail {
            // T_tail = T·e^(−μθ)
            let tail_n = forces[Place::TrackRope].value * math::exp(-self.capstan_exponent);
            kept.push(Kept::at_most(LimitKind::CapstanTail, tail_n, limit.value));
        }
        let slack = clearance_m + TOUCHING_M;
        kept.push(Kept::new(Limit::of(LimitKind::TrackOnGround), clearance_m, -TOUCHING_M, slack));
        Ok(())
    }
}

/// μθ of a capstan with so many turns on it.
pub(crate) fn capstan_exponent(friction: f64, turns: f64) -> f64 {
    friction * TAU * turns
}

fn no_state(why: &StateError) -> Kept {
    Kept::passed(match why {
        StateError::LiesDown { .. } => LimitKind::CarriageOnGround,
        _ => LimitKind::NoBalance,
    })
}
