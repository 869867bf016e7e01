//! What a state of the rig asks of each place: the tensions along the track rope and the haul rope, and the forces.

use super::model::Model;
use super::place::{ByPlace, MOST_HAUL_REDIRECTS, Place};
use super::state::{HoldingRope, Line, State, StateError};
use super::track_turns::{TrackAtRest, TrackTurns};
use super::under_ropes::UnderRopes;
use crate::geometry::{Direction3, Force3, Point2, Point3};
use crate::motion::Motion;
use crate::quantity::{Band, Force, newtons, ratio};
use crate::reeving::{Redirect, Strand, TrackKnown, TrackTensions};
use arrayvec::ArrayVec;

/// The haul rope over the head and behind it while it hauls, for one pull at the carriage.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct HaulLine {
    /// Tension between the head and what comes behind it.
    pub behind_head: Force,
    /// Pull at the winch without the tackle.
    pub straight: Force,
    /// Pull at the winch with it.
    pub winch: Force,
    /// Highest tension of any rope on the way.
    pub highest: Force,
    /// Force on its sheave at the head.
    pub on_head: Force,
    /// Force on each redirect behind the head; zero on one that doesn't hold.
    pub redirects: ArrayVec<Force, MOST_HAUL_REDIRECTS>,
    /// Force on the most loaded anchor of the tackle.
    pub tackle_anchor: Force,
}

impl Model<'_> {
    /// The haul rope over the head and behind it while it hauls.
    ///
    /// # Errors
    /// Unless the carriage is elsewhere than at the head and the pull is at least zero.
    pub fn haul_line(&self, carriage: Point2, pull: Force) -> Result<HaulLine, StateError> {
        self.haul_line_to(self.seen_from_base(carriage), pull)
    }

    /// The same to a load anywhere in space, seen from the base.
    pub(super) fn haul_line_to(&self, load: Point3, pull: Force) -> Result<HaulLine, StateError> {
        let (behind_head, on_head) = self.over_head(HoldingRope::Haul, load, pull)?;
        let behind = &self.behind;
        Ok(HaulLine {
            behind_head,
            straight: behind_head * behind.straight,
            winch: behind_head * behind.winch,
            highest: pull.max(behind_head * behind.highest),
            on_head,
            redirects: behind.redirects.iter().map(|share| behind_head * *share).collect(),
            tackle_anchor: behind_head * behind.tackle_anchor,
        })
    }

    /// The least tension where the haul rope's tackle or winch begins that holds this pull: friction at the head and at
    /// the redirects helps.
    #[cfg_attr(not(all(feature = "alloc", feature = "serde")), allow(dead_code))]
    pub(super) fn haul_rope_let_out(&self, carriage: Point2, pull: Force) -> Result<Force, StateError> {
        Ok(self.load_rope_let_out(HoldingRope::Haul, carriage, pull)? * self.behind.straight_let_out)
    }

    /// The least tension behind the head that holds this pull of a rope to the load: friction at the head helps.
    #[cfg_attr(not(all(feature = "alloc", feature = "serde")), allow(dead_code))]
    pub(super) fn load_rope_let_out(
        &self,
        rope: HoldingRope,
        carriage: Point2,
        pull: Force,
    ) -> Result<Force, StateError> {
        let (turn, behind) = self.load_rope(rope)?;
        let to_load = Direction3::between(self.head_at, self.seen_from_base(carriage))?;
        let behind = Direction3::between(self.head_at, behind)?;
        Ok(Redirect::new(turn, to_load, behind).load(pull, Motion::Lowering)?.pull.low)
    }

    /// Greatest tension behind the head of a rope to the load, and the force on its sheave there.
    fn over_head(&self, rope: HoldingRope, load: Point3, pull: Force) -> Result<(Force, Force), StateError> {
        let (turn, behind) = self.load_rope(rope)?;
        let to_load = Direction3::between(self.head_at, load)?;
        let behind = Direction3::between(self.head_at, behind)?;
        let on_head = Redirect::new(turn, to_load, behind).load(pull, Motion::Hauling)?;
        Ok((on_head.pull.high, on_head.load))
    }

    /// The force at each place that the rope to the load loads, for any pull of it: a state's own, or the peak of a
    /// fall. Other places are zero.
    ///
    /// # Errors
    /// As [`Model::haul_line`]; without a belay rope for [`HoldingRope::Belay`].
    pub fn load_rope_forces(
        &self,
        rope: HoldingRope,
        carriage: Point2,
        pull: Force,
    ) -> Result<ByPlace<Force>, StateError> {
        self.load_rope_forces_to(rope, self.seen_from_base(carriage), pull)
    }

    /// The same to a load anywhere in space, seen from the base.
    pub(super) fn load_rope_forces_to(
        &self,
        rope: HoldingRope,
        load: Point3,
        pull: Force,
    ) -> Result<ByPlace<Force>, StateError> {
        let mut forces = ByPlace::default();
        match rope {
            HoldingRope::Haul => {
                let line = self.haul_line_to(load, pull)?;
                forces[Place::HaulRope] = line.highest;
                forces[Place::HaulHead] = line.on_head;
                for (i, force) in line.redirects.iter().enumerate() {
                    forces[Place::HaulRedirect(i)] = *force;
                }
                forces[Place::Tackle] = line.tackle_anchor;
                forces[Place::Winch] = line.winch;
            }
            HoldingRope::Belay => {
                let (behind, on_head) = self.over_head(rope, load, pull)?;
                forces[Place::BelayRope] = pull.max(behind);
                forces[Place::BelayHead] = on_head;
                forces[Place::BelayDevice] = behind;
            }
        }
        forces[Place::Carriage] = pull;
        Ok(forces)
    }

    /// The tensions along the track rope, both strands leaving the head as the line does there: the sheaves see the
    /// loaded line, which is steeper than the chord.
    ///
    /// For both strands together at the head, and the line's pulls on the head and on the far anchor. After
    /// [`Motion::AtRest`] each tension is a band of what friction may leave.
    ///
    /// # Errors
    /// [`StateError::Reeving`] where the rope would go slack somewhere.
    pub fn track_tensions(
        &self,
        both_strands: Force,
        on_head: Force3,
        on_far: Force3,
        motion: Motion,
    ) -> Result<TrackTensions, StateError> {
        let along = |force: Force3| {
            let [x, y, z] = [force.x, force.y, force.z].map(|part| ratio(part.value));
            Direction3::new(x, y, z)
        };
        let back = |force: Force3| Force3::new(-force.x, -force.y, -force.z);
        let out = Strand::STRAIGHT.with_directions(along(on_head)?, along(back(on_far))?);
        let returning = Strand::STRAIGHT.with_directions(along(on_far)?, along(back(on_head))?);
        Ok(self
            .reeving
            .with_strands(out, returning)?
            .tensions(TrackKnown::StrandsAtHead(both_strands), motion)?)
    }
}

impl State<'_, '_> {
    /// The tensions along the track rope, whichever way its turns were left; nothing where it is gone.
    ///
    /// # Errors
    /// As [`Model::track_tensions`].
    pub fn track_tensions(&self, motion: Motion) -> Result<Option<TrackTensions>, StateError> {
        if self.balance.line == Line::Gone {
            return Ok(None);
        }
        let (on_head, on_far) = (self.line_on_head(), self.line_on_far());
        self.model.track_tensions(self.both_strands(), on_head, on_far, motion).map(Some)
    }

    /// What the load cell may show: its band over all that friction may have left, and the mean of both strands, which
    /// a rope without friction would show. See [`history`](crate::history) for what a procedure leaves.
    ///
    /// # Errors
    /// None; the result is that of the other outputs of a state.
    pub fn reading(&self) -> Result<Band<Force>, StateError> {
        let expected = self.strand_tension_head();
        Ok(self.track_at_rest().map_or(Band::exact(newtons(0.0)), |track| Band { expected, ..track.cell }))
    }

    /// The haul rope over the head and behind it; nothing where it doesn't hold the load.
    ///
    /// # Errors
    /// As [`Model::haul_line`].
    pub fn haul_line(&self) -> Result<Option<HaulLine>, StateError> {
        match self.carriage() {
            Some(carriage) if self.situation.held_by == HoldingRope::Haul => {
                self.model.haul_line(carriage, self.pull()).map(Some)
            }
            _ => Ok(None),
        }
    }

    /// The sum of the forces of all ropes on the head, without friction in the track rope and with the haul rope hauling.
    ///
    /// # Errors
    /// As [`Model::haul_line`].
    pub fn head_force(&self) -> Result<Force3, StateError> {
        let behind = match self.carriage() {
            Some(carriage) => {
                self.model
                    .over_head(self.situation.held_by, self.model.seen_from_base(carriage), self.pull())?
                    .0
            }
            None => newtons(0.0),
        };
        self.model.resultant_without_friction(&self.head_ropes(), behind)
    }

    /// The force at each place, at the worst of what friction may have left there; those of the frame's members stay
    /// zero, see [`State::frame`].
    ///
    /// # Errors
    /// As [`Model::haul_line`].
    pub fn forces(&self) -> Result<ByPlace<Force>, StateError> {
        self.forces_by(self.track_at_rest().as_ref())
    }

    /// What the places of the track rope take at rest; nothing where it is gone.
    pub(super) fn track_at_rest(&self) -> Option<TrackAtRest> {
        let line = self.line_on_head().si();
        let there = line != nalgebra::Vector3::zeros();
        there.then(|| TrackTurns::new(self.model, self.both_strands().value, line).at_rest())
    }

    /// The same with what the track rope takes at rest.
    pub(super) fn forces_by(&self, track: Option<&TrackAtRest>) -> Result<ByPlace<Force>, StateError> {
        let mut forces = match self.carriage() {
            Some(carriage) => self.model.load_rope_forces(self.situation.held_by, carriage, self.pull())?,
            None => ByPlace::default(),
        };
        if self.is_loaded() {
            forces[Place::Carriage] = forces[Place::Carriage].max(self.sling());
        }
        if let Some(track) = track {
            forces[Place::TrackRope] = track.highest;
            forces[Place::TrackRedirect] = track.on_redirect;
            forces[Place::Head] = track.on_head;
            forces[Place::Cell] = track.cell.high;
            forces[Place::Capstan] = track.capstan;
        }
        match &self.balance.line {
            Line::Gone => {}
            Line::Bare(solved) => forces[Place::Far] = newtons(solved.ends.t_last_n),
            Line::Loaded(state) => {
                let on_wheel = state.on_carriage_by_track().magnitude();
                forces[Place::Far] = state.on_far.magnitude();
                forces[Place::CarriageWheel] = on_wheel;
                forces[Place::Carriage] = forces[Place::Carriage].max(on_wheel);
            }
        }
        Ok(forces)
    }

    /// The same with the frame's most loaded leg and guy; of a frame that falls they stay zero.
    ///
    /// # Errors
    /// As [`State::forces`] and [`State::frame`].
    pub fn forces_and_frame(&self) -> Result<(ByPlace<Force>, UnderRopes), StateError> {
        let (mut forces, frame) = (self.forces()?, self.frame()?);
        frame.add_to(&mut forces);
        Ok((forces, frame))
    }
}
