//! The way of the load from the last place of its travel to the road, step by step, in balance at each.

use super::found::StageKind;
use super::let_down::{Between, at_lean, track_clearance_m};
use super::litter::LitterBody;
use super::over_head::{Locked, OverHead};
use super::setup::Setup;
use super::swing::Swing;
use super::under::{BelayWay, Ropes};
use crate::carriage::CarriageError;
use crate::error::InputError;
use crate::geometry::{Point2, Point3};
use crate::math;
use crate::math::roots::bracketed;
use crate::motion::Motion;
use crate::operation::model::Model;
use crate::operation::state::{Situation, State, StateError};
use crate::operation::travel::Moved;
use crate::quantity::{Length, metres, newtons};
use alloc::vec::Vec;
use arrayvec::ArrayVec;

/// Why the load can't be taken over so.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub(crate) enum ChangeoverError {
    #[error(transparent)]
    State(#[from] StateError),
    #[error(transparent)]
    Input(#[from] InputError),
    /// The haul rope that is asked for is longer than it is at the last place of the travel.
    #[error("the haul rope is to be {} m, but is {} m already at the last place of the travel", asked.value, there.value)]
    RopeThere { asked: Length, there: Length },
    /// The litter lies on the ground where the track is to be let down.
    #[error("the litter lies on the ground with {} m of haul rope", rope.value)]
    Lies { rope: Length },
    /// What pulls the load in doesn't hold it there.
    #[error("the pull doesn't hold the load {} m inward of the head and {} m below it", inward.value, below.value)]
    NotHeld { inward: Length, below: Length },
}

/// The load at one step.
#[derive(Debug, Clone)]
pub(super) struct Step {
    pub(super) stage: StageKind,
    /// How the litter lies.
    pub(super) litter: LitterBody,
    /// As it is let down or hauled; then with the wheel's friction the other way, where that holds.
    pub(super) ropes: ArrayVec<Ropes, 2>,
    /// From the head to the load.
    pub(super) way_m: f64,
    /// Haul rope from its winch to the load, without tension.
    pub(super) haul_rope_m: f64,
    /// Locked rope of each strand of the track.
    pub(super) locked_m: Option<f64>,
    /// Of what pulls in, at the load, and its level part.
    pub(super) pull_n: f64,
    pub(super) inward_n: f64,
    /// Least height of the track above the ground; nothing without it.
    pub(super) track_clearance_m: Option<f64>,
    pub(super) residual: f64,
}

impl Step {
    /// Whether the track touches the ground.
    pub(super) fn on_ground(&self) -> bool {
        self.track_clearance_m.is_some_and(|clearance_m| clearance_m <= TOUCHING_M)
    }

    /// Whether the track would hang below the ground, so that more of it is let out than its length in the air says.
    pub(super) fn below_ground(&self) -> bool {
        self.track_clearance_m.is_some_and(|clearance_m| clearance_m < -TOUCHING_M)
    }

    /// The load as it is let down or hauled.
    pub(super) fn load(&self) -> Point3 {
        self.ropes.first().map_or_else(Point3::default, |ropes| ropes.load)
    }
}

/// All steps.
#[derive(Debug, Clone)]
pub(super) struct Path {
    pub(super) steps: Vec<Step>,
    /// From the head to the load when the track is let down.
    pub(super) rope_m: f64,
}

/// Between two steps of hauling up lies no more than this.
const HAUL_STEP_M: f64 = 0.2;
const MOST_HAUL_STEPS: f64 = 30.0;
/// Steps of lean while the track is let down, and of each leg afterwards.
const LEAN_STEPS: u32 = 24;
const LEG_STEPS: u32 = 10;
/// Leans that are looked at while the length of haul rope is searched.
const COARSE_LEANS: u32 = 8;
/// A track as near to the ground touches it.
const TOUCHING_M: f64 = 1e-6;
/// A length of haul rope is found to this share of it.
const ROPE: f64 = 1e-12;
/// The clearance is found to this.
const CLEAR_M: f64 = 1e-6;
const ROUNDS: u32 = 30;

/// A model, what is asked of its changeover, and the track as it is locked.
#[derive(Debug, Clone, Copy)]
pub(super) struct Takeover<'a, 'm, 'g> {
    pub(super) model: &'m Model<'g>,
    pub(super) setup: &'a Setup,
    pub(super) strand: Length,
}

impl<'m, 'g> Takeover<'_, 'm, 'g> {
    /// The least height of the underside of a litter above the ground.
    pub(super) fn litter_height_m(&self, litter: &LitterBody, load: Point3) -> Option<f64> {
        let values = self.model.values();
        let middle = Point2::new(load.x + values.base.x, load.z + values.base.z - values.load.hang);
        litter.above_ground(middle, values.ground).map(|height| height.value)
    }

    /// The least distance of a litter from legs and guys.
    pub(super) fn frame_clearance_m(&self, litter: &LitterBody, load: Point3) -> f64 {
        let values = self.model.values();
        let middle = Point3::new(load.x, load.y, load.z - values.load.hang);
        let members = values.feet.iter().chain(&values.guys);
        members
            .map(|foot| litter.from_member(middle, *foot, self.model.meet_at).value)
            .fold(f64::INFINITY, f64::min)
    }

    /// The haul rope without tension, from its winch to a load at this way and tension.
    fn haul_rope_m(&self, way_m: f64, haul_n: f64) -> f64 {
        self.locked_haul(way_m, haul_n).unstretched_m
    }

    fn locked_haul(&self, way_m: f64, haul_n: f64) -> Locked {
        let stretch = self.model.values().haul.rope.stretch();
        Locked::under(stretch, self.model.haul_way_behind_head(), metres(way_m), newtons(haul_n))
    }

    /// The ropes over the head, locked with the load hauled to here.
    pub(super) fn locked(&self, state: &State<'_, '_>) -> OverHead {
        let way = state.rope_out();
        let belay = match (&self.model.values().belay, &self.setup.belay) {
            (Some(belay), BelayWay::OverHead) => {
                let behind = Point3::from_si(belay.device.si() - self.model.head_at.si()).magnitude();
                Some(Locked::with_slack(belay.rope.stretch(), behind, way, belay.slack))
            }
            _ => None,
        };
        OverHead { haul: self.locked_haul(way.value, state.pull().value), belay }
    }

    /// By how much the haul rope leans from plumb.
    fn lean_rad(&self, state: &State<'_, '_>) -> f64 {
        let head = self.model.head;
        state.carriage().map_or(0.0, |at| math::atan2((at.x - head.x).value, (head.z - at.z).value))
    }

    /// Below the head at this way.
    fn plumb(&self, way_m: f64) -> Point3 {
        let head = self.model.head_at;
        Point3::new(head.x, head.y, head.z - metres(way_m))
    }

    /// How far inward of the head the load is when the outer end of the litter is as far inside the edge as it is to be.
    fn inward_m(&self, swing: &Swing) -> f64 {
        let setup = self.setup;
        let outward = setup.edge.x - self.model.values().base.x - setup.inside - setup.litter.reach();
        (outward - self.model.head_at.x).value.min(0.0) / swing.outward(1.0)
    }

    /// The least clearance of the litter while the track is let down from here, and it is swung in as high as it hangs then.
    pub(super) fn clearance_m(&self, state: &State<'_, '_>) -> Result<f64, StateError> {
        let over = self.locked(state);
        let plumb = self.plumb(over.way_m(self.model.weight.value));
        let off = || StateError::OffGround { x: self.model.head.x };
        let litter = &self.setup.litter;
        let swing = Swing::new(self.model.head_at, self.model.weight, self.setup.pulls)?;
        let inside = swing.place(self.inward_m(&swing), plumb.z.value);
        let mut least_m = f64::INFINITY;
        for place in [plumb, inside] {
            least_m = least_m.min(self.litter_height_m(litter, place).ok_or_else(off)?);
        }
        let (leans, mut way_m) = (self.lean_rad(state), state.rope_out().value);
        for i in 0..COARSE_LEANS {
            let lean = leans * (1.0 - f64::from(i) / f64::from(COARSE_LEANS));
            let Ok(at) = at_lean(self.model, &over, lean, Motion::Hauling, way_m) else { break };
            way_m = at.way_m;
            let load = self.model.seen_from_base(at.carriage());
            least_m = least_m.min(self.litter_height_m(litter, load).unwrap_or(f64::INFINITY));
        }
        Ok(least_m)
    }

    /// The load at x on the track as it is set, after this motion, as if there were no ground: a litter that meets the edge
    /// has no clearance there, whatever the edge would do to it.
    pub(super) fn lifted(
        &self,
        x_m: f64,
        motion: Motion,
        near: Option<&State<'m, 'g>>,
    ) -> Result<State<'m, 'g>, StateError> {
        let way = self.model.way(self.model.locked_rope(self.strand)?, motion)?;
        let balance = way.lifted(self.model, x_m, near.map(|near| &near.balance))?;
        let situation = Situation::at_x(self.strand, metres(x_m), motion);
        Ok(State { model: self.model, situation, balance })
    }

    /// The load hauled on along the track to the end of so much haul rope: x by secants, as its distance from the head.
    pub(super) fn hauled_to(&self, rope_m: f64, near: &State<'m, 'g>) -> Result<State<'m, 'g>, StateError> {
        let head_m = self.model.head.x.value;
        let most_m = self.model.values().far.x.value;
        let inside = |x_m: f64| math::clamp(x_m, head_m + 1e-6 * (most_m - head_m), most_m);
        let mut state = *near;
        let mut x_m = state.carriage().map_or(head_m, |at| at.x.value);
        let mut missing_m = state.rope_out().value - rope_m;
        // Along the haul rope: dr/dx = r/x.
        let mut slope = state.rope_out().value / (x_m - head_m);
        for _ in 0..ROUNDS {
            if missing_m.abs() <= ROPE * rope_m {
                return Ok(state);
            }
            let next_m = inside(x_m - missing_m / slope);
            state = self.lifted(next_m, Motion::Hauling, Some(&state))?;
            let left_m = state.rope_out().value - rope_m;
            let by = (left_m - missing_m) / (next_m - x_m);
            if by > 0.0 {
                slope = by;
            }
            (x_m, missing_m) = (next_m, left_m);
        }
        // What rounding of x leaves.
        let residual = missing_m.abs() / rope_m;
        if residual <= 1e2 * ROPE {
            return Ok(state);
        }
        let why = CarriageError::Unsolved { iterations: ROUNDS, residual };
        Err(StateError::Carriage { x: metres(x_m), why })
    }

    /// The haul rope at which the track is let down: as asked, or the most of it with which the litter keeps its clearance
    /// while it is; the least there may be where none does.
    fn rope_to_let_down(&self, last: &State<'m, 'g>) -> Result<State<'m, 'g>, ChangeoverError> {
        let there = last.rope_out();
        if let Some(asked) = self.setup.rope {
            if asked > there {
                return Err(ChangeoverError::RopeThere { asked, there });
            }
            return Ok(self.hauled_to(asked.value, last)?);
        }
        let least_m = self.setup.least_rope.value.min(there.value);
        let missing_at = |state: &State<'_, '_>| -> Result<f64, StateError> {
            Ok(self.setup.clearance_m - self.clearance_m(state)?)
        };
        let mut state = *last;
        let mut missing_m = missing_at(&state)?;
        if missing_m <= CLEAR_M {
            return Ok(state);
        }
        // The litter rises by nearly what is taken in: each step leaves a small share of what is missing.
        let mut rope_m = there.value;
        for _ in 0..ROUNDS {
            rope_m = math::clamp(rope_m - missing_m, least_m, there.value);
            state = self.hauled_to(rope_m, &state)?;
            missing_m = missing_at(&state)?;
            if missing_m.abs() <= CLEAR_M || (missing_m > 0.0 && rope_m <= least_m) {
                break;
            }
        }
        Ok(state)
    }

    /// The whole way.
    pub(super) fn path(&self, last: &Moved<'m, 'g>) -> Result<Path, ChangeoverError> {
        let from = self.rope_to_let_down(&last.hauling)?;
        if from.on_ground() {
            return Err(ChangeoverError::Lies { rope: from.rope_out() });
        }
        let mut steps = Vec::new();
        self.haul_up(last, &from, &mut steps)?;
        let way_m = self.let_down(&from, &mut steps)?;
        self.swing_in(way_m, &mut steps)?;
        Ok(Path { steps, rope_m: from.rope_out().value })
    }

    fn haul_up(
        &self,
        last: &Moved<'m, 'g>,
        to: &State<'m, 'g>,
        steps: &mut Vec<Step>,
    ) -> Result<(), ChangeoverError> {
        let (from_m, to_m) = (last.hauling.rope_out().value, to.rope_out().value);
        let count = math::ceil((from_m - to_m) / HAUL_STEP_M).min(MOST_HAUL_STEPS);
        let ends: ArrayVec<&State<'_, '_>, 2> = last.ends().take(2).collect();
        steps.push(self.hauled(&ends)?);
        let mut state = last.hauling;
        let mut i = 1.0;
        while i <= count {
            let rope_m = from_m + (to_m - from_m) * i / count;
            state = if i == count { *to } else { self.hauled_to(rope_m, &state)? };
            let x_m = state.carriage().map_or(0.0, |at| at.x.value);
            // The other end of friction: lowered, or without any where the load doesn't run out by itself.
            let mut other = None;
            for motion in [Motion::Lowering, Motion::AtRest] {
                match self.lifted(x_m, motion, Some(&state)) {
                    Ok(found) => {
                        other = Some(found);
                        break;
                    }
                    Err(StateError::RollsIn { .. }) => {}
                    Err(why) => return Err(why.into()),
                }
            }
            let ends: ArrayVec<_, 2> = core::iter::once(&state).chain(&other).collect();
            steps.push(self.hauled(&ends)?);
            i += 1.0;
        }
        // Turned as soon as it clears the ground so, from there on.
        for step in steps.iter_mut().rev() {
            let height_m = self.litter_height_m(&self.setup.litter, step.load());
            if !height_m.is_some_and(|height_m| height_m >= self.setup.clearance_m - CLEAR_M) {
                break;
            }
            step.litter = self.setup.litter;
        }
        Ok(())
    }

    /// A step of a load on the track, at both ends of what friction leaves.
    fn hauled(&self, ends: &[&State<'_, '_>]) -> Result<Step, StateError> {
        let mut ropes = ArrayVec::new();
        let (mut residual, mut clearance_m) = (0.0_f64, f64::INFINITY);
        for state in ends {
            let Some(load) = state.carriage() else { continue };
            ropes.push(Ropes {
                load: self.model.seen_from_base(load),
                track: state.on_track().copied(),
                haul_n: state.pull().value,
                belay_n: 0.0,
            });
            residual = residual.max(state.residual());
            clearance_m = clearance_m.min(state.track_clearance().value);
        }
        let (way, pull) =
            ends.first().map_or_else(Default::default, |state| (state.rope_out(), state.pull()));
        Ok(Step {
            stage: StageKind::HaulUp,
            litter: self.setup.litter.lying(self.setup.size.comes),
            ropes,
            way_m: way.value,
            haul_rope_m: self.haul_rope_m(way.value, pull.value),
            locked_m: Some(self.model.locked_rope(self.strand)?.value),
            pull_n: 0.0,
            inward_n: 0.0,
            track_clearance_m: Some(clearance_m),
            residual,
        })
    }

    /// Eases the track from here until it is slack. The way from the head to the load then.
    fn let_down(&self, from: &State<'_, '_>, steps: &mut Vec<Step>) -> Result<f64, ChangeoverError> {
        let (model, over) = (self.model, self.locked(from));
        let (first, rope_m) = (self.lean_rad(from), from.rope_out().value);
        let at = |lean: f64| at_lean(model, &over, lean, Motion::Hauling, rope_m);
        let mut leans: ArrayVec<f64, { LEAN_STEPS as usize + 2 }> = ArrayVec::new();
        leans.extend((0..LEAN_STEPS).map(|i| first * (1.0 - f64::from(i) / f64::from(LEAN_STEPS))));
        let last = leans.last().copied().unwrap_or(first);
        // Where the track touches the ground, and where a belay rope over the head comes taut.
        let touches = |lean: f64| at(lean).map_or(f64::NAN, |at| track_clearance_m(model, &at));
        let slack = |lean: f64| match (&over.belay, at(lean)) {
            (Some(belay), Ok(at)) => belay.slack_way_m() - at.way_m,
            _ => f64::NAN,
        };
        let found = [bracketed(last, first, 1e-9, touches), bracketed(last, first, 1e-9, slack)];
        for lean in found.into_iter().flatten().map(|root| root.x) {
            if leans.iter().all(|other| (other - lean).abs() > 1e-7) {
                leans.push(lean);
            }
        }
        leans.sort_unstable_by(|a, b| b.total_cmp(a));
        let mut tension_n = f64::INFINITY;
        for lean in leans {
            let eased = match at(lean) {
                Ok(eased) => eased,
                // A track that lies on the ground by then is as good as slack.
                Err(_) if steps.last().is_some_and(|step| step.on_ground()) => break,
                Err(why) => return Err(why.into()),
            };
            // More rope would only add to its weight.
            let now_n = eased.track.tension.head.value;
            if now_n >= tension_n {
                break;
            }
            tension_n = now_n;
            steps.push(self.eased(&over, &eased)?);
        }
        let weight_n = model.weight.value;
        let way_m = over.way_m(weight_n);
        let (haul_n, belay_n, _) = over.tensions_n(way_m);
        let mut ropes = ArrayVec::new();
        ropes.push(Ropes { load: self.plumb(way_m), track: None, haul_n, belay_n });
        steps.push(Step {
            stage: StageKind::LetDown,
            litter: self.setup.litter,
            ropes,
            way_m,
            haul_rope_m: over.haul.unstretched_m,
            locked_m: None,
            pull_n: 0.0,
            inward_n: 0.0,
            track_clearance_m: None,
            residual: (haul_n + belay_n - weight_n).abs() / weight_n,
        });
        Ok(way_m)
    }

    fn eased(&self, over: &OverHead, eased: &Between) -> Result<Step, StateError> {
        let ropes_of = |at: &Between| Ropes {
            load: self.model.seen_from_base(at.carriage()),
            track: Some(at.track),
            haul_n: at.haul_n,
            belay_n: at.belay_n,
        };
        let mut ropes = ArrayVec::new();
        ropes.push(ropes_of(eased));
        // The wheel turning the other way at the same lean: the length of the track differs by a millimetre.
        let mut residual = eased.residual;
        let other = at_lean(self.model, over, eased.leans_rad, Motion::Lowering, eased.way_m)?;
        ropes.push(ropes_of(&other));
        residual = residual.max(other.residual);
        Ok(Step {
            stage: StageKind::LetDown,
            litter: self.setup.litter,
            ropes,
            way_m: eased.way_m,
            haul_rope_m: over.haul.unstretched_m,
            locked_m: Some(eased.locked_m),
            pull_n: 0.0,
            inward_n: 0.0,
            track_clearance_m: Some(track_clearance_m(self.model, eased)),
            residual,
        })
    }

    /// In from under the head, and down to the road.
    fn swing_in(&self, way_m: f64, steps: &mut Vec<Step>) -> Result<(), ChangeoverError> {
        let (model, setup) = (self.model, self.setup);
        let swing = Swing::new(model.head_at, model.weight, setup.pulls)?;
        let height_m = self.plumb(way_m).z.value;
        let inward_m = self.inward_m(&swing);
        let held = |stage: StageKind, inward_m: f64, height_m: f64| {
            let not_held = || {
                let below = model.head_at.z - metres(height_m);
                ChangeoverError::NotHeld { inward: metres(inward_m), below }
            };
            if inward_m >= swing.plan_m() {
                return Err(not_held());
            }
            let at = swing.at(inward_m, height_m).ok_or_else(not_held)?;
            let pull = swing.pull_direction(at.load)?.unit();
            let way_m = Point3::from_si(at.load.si() - model.head_at.si()).magnitude().value;
            let belay_n = if let BelayWay::From { .. } = setup.belay { at.inward.value } else { 0.0 };
            let mut ropes = ArrayVec::new();
            ropes.push(Ropes { load: at.load, track: None, haul_n: at.haul.value, belay_n });
            Ok(Step {
                stage,
                litter: setup.litter,
                ropes,
                way_m,
                haul_rope_m: self.haul_rope_m(way_m, at.haul.value),
                locked_m: None,
                pull_n: at.inward.value,
                inward_n: at.inward.value * math::hypot(pull.x, pull.y),
                track_clearance_m: None,
                residual: at.residual,
            })
        };
        if inward_m > 0.0 {
            for i in 1..=LEG_STEPS {
                let share = f64::from(i) / f64::from(LEG_STEPS);
                steps.push(held(StageKind::SwingIn, share * inward_m, height_m)?);
            }
        }
        let there = swing.place(inward_m, height_m);
        let drop_m = self
            .litter_height_m(&setup.litter, there)
            .ok_or(StateError::OffGround { x: model.head.x })?
            .max(0.0);
        for i in 1..=LEG_STEPS {
            let share = f64::from(i) / f64::from(LEG_STEPS);
            steps.push(held(StageKind::SetDown, inward_m, height_m - share * drop_m)?);
        }
        Ok(())
    }
}
