//! The frame under all ropes on its head, at the worst of what friction may leave in them.

use super::model::Model;
use super::place::{ByPlace, Place};
use super::state::{HoldingRope, Line, State, StateError};
use super::track_turns::{BehindTrack, Ratios, TrackTurns, turn_rad};
use crate::frame::{Edge, FrameError, HeadForces, HeadPull, MOST_GUYS, MOST_LEGS, Tipping, resultant};
use crate::geometry::{Direction3, Force2, Force3, Point2, Point3};
use crate::quantity::{Angle, Force, newtons};
use arrayvec::ArrayVec;
use nalgebra::Vector3;

/// What the ropes that go out from the head do to it: a state's own, or any others that are to be judged, such as the
/// peak of a fall.
///
/// What they pull behind the head depends on how they came to rest, and is not given: see [`UnderRopes`].
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct HeadRopes {
    /// Tension of both strands of the track rope together, at the head; zero where it is gone.
    pub strands: Force,
    /// Their pull on the head.
    pub line: Force3,
    /// The rope to the load: which it is, where its carriage is in the axes of the ground, and its pull.
    pub load_rope: Option<(HoldingRope, Point2, Force)>,
}

impl HeadRopes {
    /// The track rope alone.
    #[must_use]
    pub const fn track(strands: Force, line: Force3) -> Self {
        Self { strands, line, load_rope: None }
    }

    /// No track rope, and a load on one rope.
    #[must_use]
    pub fn without_track(rope: HoldingRope, carriage: Point2, pull: Force) -> Self {
        Self { load_rope: Some((rope, carriage, pull)), ..Self::track(newtons(0.0), Force3::default()) }
    }

    /// The same with this pull of a rope to the load.
    #[must_use]
    pub const fn with_load_rope(self, rope: HoldingRope, carriage: Point2, pull: Force) -> Self {
        Self { load_rope: Some((rope, carriage, pull)), ..self }
    }
}

/// The frame at the worst of what friction may leave in its ropes.
#[derive(Debug, Clone, PartialEq)]
pub enum UnderRopes {
    /// It stands.
    Stands(FrameWorst),
    /// It falls at some corner of friction.
    Falls(Tipping),
}

/// A frame that stands: each member at its greatest, the margin at its least.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct FrameWorst {
    /// Greatest compression of each leg, in the order of the feet.
    pub legs: ArrayVec<Force, MOST_LEGS>,
    /// Greatest tension of each guy, in the order of the guys; zero for a slack one.
    pub guys: ArrayVec<Force, MOST_GUYS>,
    /// Least angle between the resultant and the nearest plane over which the frame tips.
    pub margin: Angle,
    /// What it tips over first; nothing if nothing tips it.
    pub edge: Option<Edge>,
}

impl FrameWorst {
    /// The most loaded leg.
    #[must_use]
    pub fn leg(&self) -> Force {
        self.legs.iter().copied().fold(newtons(0.0), Force::max)
    }

    /// The most loaded guy; zero without one.
    #[must_use]
    pub fn guy(&self) -> Force {
        self.guys.iter().copied().fold(newtons(0.0), Force::max)
    }

    fn of(forces: &HeadForces) -> Self {
        Self {
            legs: forces.legs().iter().copied().collect(),
            guys: forces.guys().iter().copied().collect(),
            margin: forces.margin,
            edge: forces.edge,
        }
    }

    fn worse_of(&mut self, forces: &HeadForces) {
        for (greatest, force) in self.legs.iter_mut().zip(forces.legs()) {
            *greatest = greatest.max(*force);
        }
        for (greatest, force) in self.guys.iter_mut().zip(forces.guys()) {
            *greatest = greatest.max(*force);
        }
        if forces.margin < self.margin {
            (self.margin, self.edge) = (forces.margin, forces.edge);
        }
    }
}

impl UnderRopes {
    /// Sets the force of the most loaded leg and guy; none of a frame that falls.
    pub(super) fn add_to(&self, forces: &mut ByPlace<Force>) {
        if let Self::Stands(worst) = self {
            forces[Place::Leg] = worst.leg();
            forces[Place::Guy] = worst.guy();
        }
    }
}

/// The worst of a frame under many forces on its head.
#[derive(Default)]
pub(super) struct WorstOf {
    worst: Option<FrameWorst>,
    falls: Option<Tipping>,
}

impl WorstOf {
    /// Under each of these pulls of the ropes as well, with what the frame itself weighs.
    pub(super) fn add(
        &mut self,
        model: &Model<'_>,
        pulls: impl IntoIterator<Item = Force3>,
    ) -> Result<(), StateError> {
        for forces in model.frame.under_each(pulls.into_iter().map(|pull| model.with_weight(pull))) {
            match forces {
                Ok(forces) => match &mut self.worst {
                    Some(worst) => worst.worse_of(&forces),
                    None => self.worst = Some(FrameWorst::of(&forces)),
                },
                Err(FrameError::Falls(fall)) => self.falls = self.falls.or(Some(fall)),
                Err(why) => return Err(StateError::Frame(why)),
            }
        }
        Ok(())
    }

    /// Whether it stands, and how, or falls.
    pub(super) fn worst(self) -> Result<UnderRopes, StateError> {
        match (self.falls, self.worst) {
            (Some(fall), _) => Ok(UnderRopes::Falls(fall)),
            (None, Some(worst)) => Ok(UnderRopes::Stands(worst)),
            (None, None) => Err(StateError::NotHeld),
        }
    }
}

/// Of a box of five turns, at most.
const MOST_CORNERS: usize = 32;
pub(super) type Corners = ArrayVec<Force3, MOST_CORNERS>;

impl State<'_, '_> {
    /// What the ropes that go out do to the head.
    #[must_use]
    pub fn head_ropes(&self) -> HeadRopes {
        let load_rope = self.carriage().map(|at| (self.situation.held_by, at, self.pull()));
        HeadRopes { strands: self.both_strands(), line: self.line_on_head(), load_rope }
    }

    /// The pull of both strands on the head.
    pub(super) fn line_on_head(&self) -> Force3 {
        match &self.balance.line {
            Line::Gone => Force3::default(),
            Line::Bare(solved) => {
                Force3::new(newtons(solved.ends.h_n), newtons(0.0), newtons(-solved.ends.v_first_n))
            }
            Line::Loaded(state) => in_space(state.on_head),
        }
    }

    /// The pull of both strands on the far anchor.
    pub(super) fn line_on_far(&self) -> Force3 {
        match &self.balance.line {
            Line::Gone => Force3::default(),
            Line::Bare(solved) => {
                Force3::new(newtons(-solved.ends.h_n), newtons(0.0), newtons(-solved.ends.v_last_n))
            }
            Line::Loaded(state) => in_space(state.on_far),
        }
    }

    /// The frame under the ropes of this state, at the worst of what friction may leave in them.
    ///
    /// # Errors
    /// [`StateError::Frame`] where its forces can't be solved, which a frame of at most three members doesn't do.
    pub fn frame(&self) -> Result<UnderRopes, StateError> {
        self.model.frame_under(&[self.head_ropes()])
    }
}

impl Model<'_> {
    /// The frame at every corner of what friction may leave in the ropes, under each of these: each leg and guy at its
    /// greatest, the margin at its least.
    ///
    /// What the ropes pull behind the head depends on how they came to rest. With ρ of each turn from η to 1/η, S the
    /// tension of both strands at the head and P the pull of the rope to the load,
    ///
    /// T₂ = S·ρ₃/(1 + ρ₃), T₃ = S/(1 + ρ₃), to the redirect ρ₂·T₂, to the cell T₃/ρ₄, behind the head ρ_h·P,
    ///
    /// with ρ₂ and ρ₄ at the head, ρ₃ at the far anchor, ρ_h the load rope's at the head. Margin and members are linear
    /// or linear-fractional in each of these, so that their extremes are at corners.
    ///
    /// # Errors
    /// As [`State::frame`]; and for ropes whose pulls are not finite.
    pub fn frame_under(&self, ropes: &[HeadRopes]) -> Result<UnderRopes, StateError> {
        let mut found = WorstOf::default();
        for ropes in ropes {
            found.add(self, self.corners(ropes)?)?;
        }
        found.worst()
    }

    /// The resultant of all ropes on the head without friction in the track rope, the load's rope with this tension
    /// behind the head.
    pub(super) fn resultant_without_friction(
        &self,
        ropes: &HeadRopes,
        behind: Force,
    ) -> Result<Force3, StateError> {
        let half = 0.5 * ropes.strands;
        let mut pulls: ArrayVec<HeadPull, 5> = ArrayVec::new();
        pulls.push(HeadPull::force(ropes.line)?);
        pulls.push(HeadPull::towards(self.track_behind, half)?);
        pulls.push(HeadPull::towards(self.values().track.cell_anchor, half)?);
        if let Some((rope, carriage, pull)) = ropes.load_rope {
            pulls.push(HeadPull::towards(self.seen_from_base(carriage), pull)?);
            pulls.push(HeadPull::towards(self.load_rope(rope)?.1, behind)?);
        }
        resultant(self.head_at, &pulls).map_err(StateError::Frame)
    }

    /// What ropes do to the head, and what the frame's own parts weigh there.
    pub(super) fn with_weight(&self, pull: Force3) -> Force3 {
        Force3::new(pull.x, pull.y, pull.z - self.frame_weight)
    }

    /// The turn of a rope to the load on the head, and where it goes behind it.
    pub(super) fn load_rope(&self, rope: HoldingRope) -> Result<(crate::sheave::Turn, Point3), StateError> {
        match rope {
            HoldingRope::Haul => Ok((self.values().haul.head_turn, self.haul_behind)),
            HoldingRope::Belay => {
                let belay = self.values().belay.ok_or(StateError::NotHeld)?;
                Ok((belay.head_turn, belay.device))
            }
        }
    }

    /// The force on the head at each corner of the friction box.
    pub(super) fn corners(&self, ropes: &HeadRopes) -> Result<Corners, StateError> {
        let towards = |place: Point3| -> Result<Vector3<f64>, StateError> {
            Ok(Direction3::between(self.head_at, place)?.unit())
        };
        let (hauled, winch, haul) = match ropes.load_rope {
            None => (Vector3::zeros(), Vector3::zeros(), Ratios { low: 1.0, high: 1.0 }),
            Some((rope, place, pull)) => {
                let (turn, behind) = self.load_rope(rope)?;
                let (to_load, behind) = (towards(self.seen_from_base(place))?, towards(behind)?);
                let ratios = Ratios::of(&turn, turn_rad(to_load, behind));
                (pull.value * to_load, pull.value * behind, ratios)
            }
        };
        let mut corners = Corners::new();
        let line = ropes.line.si();
        if line == Vector3::zeros() {
            for (haul, _) in haul.ends() {
                corners.push(Force3::from_si(hauled + haul * winch));
            }
            return Ok(corners);
        }
        let turns = TrackTurns::new(self, ropes.strands.value, line);
        let BehindTrack { to_redirect, to_cell, .. } = self.behind_turns;
        let all_lossy = turns.far.is_lossy() && turns.leaving.is_lossy() && turns.returning.is_lossy();
        for (far, far_high) in turns.far.ends() {
            let (out_n, back_n) = turns.strands_n(far);
            for (leaving, leaving_high) in turns.leaving.ends() {
                for (returning, returning_high) in turns.returning.ends() {
                    // With ρ₃ high the pulls (ρ₂·T₂, T₃/ρ₄) span one rectangle, with ρ₃ low another, further up and to
                    // the left. Of each, the corner that looks towards the other lies between the other corners.
                    if all_lossy && leaving_high == returning_high && leaving_high != far_high {
                        continue;
                    }
                    for (haul, _) in haul.ends() {
                        corners.push(Force3::from_si(
                            line + leaving * out_n * to_redirect
                                + back_n / returning * to_cell
                                + hauled
                                + haul * winch,
                        ));
                    }
                }
            }
        }
        Ok(corners)
    }
}

/// A force in the plane of the line.
pub(super) fn in_space(force: Force2) -> Force3 {
    Force3::new(force.x, Force::default(), force.z)
}
