//! What happens when a part of the rig fails under its load: each failure from one state of the rig.
//!
//! For each: what holds next, how far the litter falls and how hard it lands, the peak at every place, the frame judged
//! again under the ropes that are left, and whether the haul can go on.
//!
//! | fails | followed by |
//! |---|---|
//! | track rope, far anchor, the tail of its capstan | two bodies on the haul rope; [`sling_bound`](crate::arrest::sling_bound) |
//! | track redirect | two bodies on a longer track; the part that snaps tight |
//! | haul rope, haul winch's brake, a haul redirect | two bodies on the track, caught by the belay; [`hand_over`](crate::arrest::hand_over) |
//! | power; a jam | the inertia of the load; the greatest pull of the winch |
//! | a guy, a foot; a leg of an anchor | statics without it, put on all at once |
//!
//! **Caution.** Ropes are new, dry and not cut by an edge here, nobody is in the way, and everything stays in one plane. A
//! lost rope whips back along its line. Local codes, makers' instructions and the authority having jurisdiction come
//! first.

mod fall;
mod frame;
mod haul;
#[cfg(feature = "alloc")]
mod matrix;
#[cfg(all(feature = "alloc", feature = "serde"))]
mod table;
mod track;

#[cfg(feature = "alloc")]
pub use matrix::{Cell, Failures, Row};
#[cfg(all(feature = "alloc", feature = "serde"))]
pub use table::{FailureCell, FailureFactor, FailureRow, FailureTable};
#[cfg(all(feature = "alloc", feature = "serde"))]
pub(crate) use table::{Lost, table, values};

use super::model::{Model, ModelError};
use super::place::{ByPlace, Place};
use super::state::{HoldingRope, State, StateError};
use super::under_ropes::{HeadRopes, UnderRopes};
use crate::anchor::{Anchor, AnchorError, LegLoss};
use crate::arrest::ArrestError;
use crate::error::InputError;
use crate::geometry::Point2;
use crate::quantity::{Angle, Force, Length, Ratio, Time, Velocity, metres_per_second, newtons};
use crate::rope::Stretch;
use crate::winch::ForceRate;

/// A part that fails, or a thing that goes wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
#[non_exhaustive]
pub enum Failure {
    /// The track rope parts, or comes off.
    TrackRope,
    /// The far anchor fails: the track rope holds nothing any more.
    FarAnchor,
    /// A leg of an anchor of [`FailureValues::anchors`] fails: which anchor, and which of its legs.
    AnchorLeg(usize, usize),
    /// The redirect of the track rope beside the frame.
    TrackRedirect,
    /// The haul rope parts.
    HaulRope,
    /// A redirect of the haul rope, counted from 0.
    HaulRedirect(usize),
    /// The brake of the haul winch: its rope runs out.
    WinchBrake,
    /// The power of the haul winch: its brake holds.
    Power,
    /// The tail of the track rope behind its capstan is let go.
    CapstanTail,
    /// A guy of the frame.
    Guy(usize),
    /// A foot of the frame slips: its leg holds nothing any more.
    Foot(usize),
    /// The load jams while the winch hauls.
    Jam,
}

impl Model<'_> {
    /// Every failure that this rig can have, with so many legs at each of its anchors.
    pub fn failures<'a>(&'a self, anchors: &'a [(Place, Anchor)]) -> impl Iterator<Item = Failure> + 'a {
        use Failure::{
            AnchorLeg, CapstanTail, FarAnchor, Foot, Guy, HaulRedirect, HaulRope, Jam, Power, TrackRedirect,
            TrackRope, WinchBrake,
        };
        let values = self.values();
        let redirects = values.haul.redirects.iter().enumerate().filter(|(_, r)| r.holds);
        [TrackRope, FarAnchor, CapstanTail]
            .into_iter()
            .chain(values.track.redirect.holds.then_some(TrackRedirect))
            .chain([HaulRope, WinchBrake, Power, Jam])
            .chain(redirects.map(|(i, _)| HaulRedirect(i)))
            .chain((0..values.guys.len()).map(Guy))
            .chain((0..values.feet.len()).map(Foot))
            .chain(
                anchors
                    .iter()
                    .enumerate()
                    .flat_map(|(at, (_, anchor))| (0..anchor.legs()).map(move |leg| AnchorLeg(at, leg))),
            )
    }
}

/// A quantity of which more is worse: what to expect, and what it doesn't pass.
///
/// Safe side: the bound is the greater.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct AtMost<Q> {
    /// At the mean of what was measured of ropes in falls.
    pub expected: Q,
    /// At the worst of it.
    pub bound: Q,
}

impl<Q: Copy + PartialOrd> AtMost<Q> {
    /// The same for both.
    pub(super) fn known(value: Q) -> Self {
        Self { expected: value, bound: value }
    }

    /// What is expected, and a bound that is at least as much.
    pub(super) fn new(expected: Q, bound: Q) -> Self {
        Self { expected, bound: if bound > expected { bound } else { expected } }
    }

    /// The greater of each.
    #[must_use]
    pub fn max(self, other: Self) -> Self {
        let greater = |a: Q, b: Q| if b > a { b } else { a };
        Self { expected: greater(self.expected, other.expected), bound: greater(self.bound, other.bound) }
    }
}

/// What holds the load after a failure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
#[non_exhaustive]
pub enum Holds {
    /// Track and haul rope, as before.
    TrackAndHaul,
    /// The haul rope alone.
    Haul,
    /// Track and belay rope.
    TrackAndBelay,
    /// The track rope alone, along which it runs away.
    Track,
}

/// How a failure ends. The first that is true, in this order: worst first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
#[non_exhaustive]
pub enum FailureEnd {
    /// It may hit the ground or the face as fast as [`NOT_SURVIVABLE_M_PER_S`], or faster.
    NotSurvivable,
    /// The frame falls, and every rope over it goes slack.
    FrameFalls,
    /// Some place may be loaded beyond its strength.
    Breaks,
    /// Nothing holds the load along the track.
    RunsAway,
    /// It lies on the ground and slides: no rope holds it there, nor does friction.
    Slides,
    /// It comes down on the ground faster than [`SET_DOWN_M_PER_S`], and lies there.
    Lies,
    /// It hangs, or swings until it hangs.
    Hangs,
    /// It is set down on the ground, no faster than [`SET_DOWN_M_PER_S`], and lies there.
    SetDown,
    /// It stays where it is.
    Stays,
}

impl FailureEnd {
    /// Whether such a failure at most sets the litter down.
    #[must_use]
    pub const fn at_most_sets_down(self) -> bool {
        matches!(self, Self::SetDown | Self::Stays)
    }
}

/// Faster than this straight into the ground, a litter isn't set down: 2 m/s, as from a height of 0.2 m.
///
/// Common practice, no source.
pub const SET_DOWN_M_PER_S: f64 = 2.0;

/// As fast as this straight into the ground or a face, that somebody in the litter survives isn't to be counted on:
/// 7.7 m/s, as from a height of 3 m (10 ft).
///
/// From that height on, guidelines for field triage (2021, from memory) count a fall among those that hurt a healthy
/// person gravely. A patient is hurt already, lies, and can't brace. Safe side: the lower. Slower isn't harmless.
pub const NOT_SURVIVABLE_M_PER_S: f64 = 7.7;

/// How fast the litter meets the ground, or the face that it swings into.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Impact {
    /// Its speed.
    #[cfg_attr(feature = "serde", serde(rename = "speed_m_per_s"))]
    pub speed: AtMost<Velocity>,
    /// The part of it that goes straight in.
    #[cfg_attr(feature = "serde", serde(rename = "into_ground_m_per_s"))]
    pub into_ground: AtMost<Velocity>,
}

/// How much is computed of a failure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
#[non_exhaustive]
pub enum Detail {
    /// Statics and bounds in closed form: some tens of microseconds.
    Bounds,
    /// What falls is followed in time as well, at the ends and the middle of what was measured of ropes in falls: some
    /// milliseconds.
    InTime,
}

/// What the load does when all is still again.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Still {
    /// The carriage.
    pub carriage: Point2,
    /// Height of the litter's underside; zero where it lies.
    pub litter_height: Length,
    /// Whether it lies.
    pub on_ground: bool,
    /// Pull at the carriage of the rope that holds it.
    pub pull: Force,
    /// Tension of each strand of the track at the head.
    pub strand_tension: Force,
}

impl Still {
    fn of(state: &State<'_, '_>) -> Self {
        Self {
            carriage: state.carriage().unwrap_or_default(),
            litter_height: state.litter_height(),
            on_ground: state.on_ground(),
            pull: state.pull(),
            strand_tension: state.strand_tension_head(),
        }
    }
}

/// How fast a jam loads the haul rope.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct JamRise {
    /// At the winch, k·v: with the slow stiffness of the rope, and with that of a rope in motion.
    pub rate: AtMost<ForceRate>,
    /// The greatest pull at the winch.
    pub greatest: Force,
    /// How soon the first place is loaded beyond its strength; none if none is.
    pub time_to_break: Option<Time>,
}

/// What happens when a part fails.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Consequence {
    /// What failed.
    pub failure: Failure,
    /// How it ends: judged by the bounds.
    pub end: FailureEnd,
    /// What holds next.
    pub holds: Holds,
    /// How far the litter goes down before it first meets the ground, or at most.
    pub drop: AtMost<Length>,
    /// How far the carriage runs out along the rope that catches it.
    pub run: AtMost<Length>,
    /// How far it is to the far anchor: what runs further meets it.
    pub room: Length,
    /// How it meets the ground; nothing if it doesn't.
    pub impact: Option<Impact>,
    /// Peak at every place; zero where nothing changes, and for members of a frame that falls.
    pub peaks: ByPlace<AtMost<Force>>,
    /// The place with the least strength by the bound of its peak; nothing where no strength is known.
    pub least_factor: Option<(Place, f64)>,
    /// The frame under the ropes that are left, at their peaks and at the worst of friction; nothing where its last leg
    /// went.
    pub frame: Option<UnderRopes>,
    /// How much slack the rope that holds the load gets if the frame falls.
    pub slack_if_frame_falls: Length,
    /// What the load does when all is still again, or why there is no such state.
    pub still: Result<Still, StateError>,
    /// Whether the haul can go on as it is.
    pub haul_goes_on: bool,
    /// How a jam loads the rope.
    pub jam: Option<JamRise>,
    /// The legs of an anchor that lost one.
    pub legs: Option<LegLoss>,
    /// How much was computed.
    pub detail: Detail,
}

/// A haul winch, as far as a failure needs it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WinchPull {
    /// Of the rope at the winch, at the greatest.
    pub speed: Velocity,
    /// The greatest pull at the winch, none of its losses counted: stall, current limit or slip, whichever comes first.
    pub greatest: Force,
}

/// What failures need beyond a rig's own numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FailureValues<'a> {
    /// What each place bears.
    pub strengths: ByPlace<Option<Force>>,
    /// Friction of the track rope on its capstan: the lowest.
    pub capstan_friction: Ratio,
    /// Wrap of it on the capstan.
    pub capstan_wrap: Angle,
    /// What still pulls at its tail when that is let go: its own weight.
    pub capstan_tail: Force,
    /// The haul winch; without it a jam has no end.
    pub winch: Option<WinchPull>,
    /// How the sling below the carriage stretches.
    pub sling: Stretch,
    /// Anchors of several legs, and which place each holds: the far anchor, capstan, cell or winch.
    pub anchors: &'a [(Place, Anchor)],
}

/// Why the consequence of a failure can't be computed.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum FailureError {
    /// A number given is out of range.
    #[error(transparent)]
    Input(#[from] InputError),
    /// The state before, or its forces.
    #[error(transparent)]
    State(#[from] StateError),
    /// The rig without the part.
    #[error(transparent)]
    Model(#[from] ModelError),
    /// The fall.
    #[error(transparent)]
    Arrest(#[from] ArrestError),
    /// The legs of the anchor.
    #[error(transparent)]
    Anchor(#[from] AnchorError),
    /// There is no such part.
    #[error("the rig has no {part} {index}, counted from 0")]
    NoSuchPart {
        /// What.
        part: &'static str,
        /// Which.
        index: usize,
    },
    /// No load, or no track rope: nothing to fail under.
    #[error("the state has no load on a track rope")]
    NoLoad,
    /// The winch isn't given.
    #[error("a jam needs the speed and the greatest pull of the winch")]
    NoWinch,
}

/// A state of the rig in which something fails, and what every story needs of it.
pub(super) struct Before<'s, 'm, 'g> {
    pub(super) state: &'s State<'m, 'g>,
    pub(super) model: &'m Model<'g>,
    pub(super) values: &'s FailureValues<'s>,
    pub(super) failure: Failure,
    pub(super) detail: Detail,
    pub(super) carriage: Point2,
    pub(super) forces: ByPlace<Force>,
}

impl<'m, 'g> State<'m, 'g> {
    /// What happens when a part fails in this state.
    ///
    /// Assumed: the load stands still; the haul rope holds it, the belay is slack by what it is given; ropes are up to
    /// [`STIFFER_AT_MOST`](crate::arrest::STIFFER_AT_MOST) as stiff in a fall as slowly pulled, for a bound, and
    /// [`STIFFER_IN_A_FALL`](crate::arrest::STIFFER_IN_A_FALL) for what to expect; nothing is damped but by the ground.
    ///
    /// # Errors
    /// [`FailureError`]: without a load on a track rope; a part that there isn't; a jam without a winch; a fall that can't
    /// be followed.
    pub fn failure(
        &self,
        failure: Failure,
        values: &FailureValues<'_>,
        detail: Detail,
    ) -> Result<Consequence, FailureError> {
        let before = Before::of(self, failure, values, detail)?;
        match failure {
            Failure::TrackRope | Failure::FarAnchor => before.track_lost(),
            Failure::CapstanTail => before.capstan_tail(|| before.track_lost()),
            Failure::TrackRedirect => before.track_redirect(),
            Failure::HaulRope | Failure::WinchBrake => before.haul_lost(None),
            Failure::HaulRedirect(i) => before.haul_redirect(i),
            Failure::Power => before.power(),
            Failure::Jam => before.jam(),
            Failure::Guy(i) => before.guy(i),
            Failure::Foot(i) => before.foot(i),
            Failure::AnchorLeg(at, leg) => before.anchor_leg(at, leg),
        }
    }

    /// What happens when the capstan's tail is let go, from what happens here when the track rope is lost.
    #[cfg(feature = "alloc")]
    pub(super) fn tail_let_go(
        &self,
        values: &FailureValues<'_>,
        track_lost: &Consequence,
    ) -> Result<Consequence, FailureError> {
        let before = Before::of(self, Failure::CapstanTail, values, track_lost.detail)?;
        before.capstan_tail(|| Ok(track_lost.clone()))
    }
}

impl<'s, 'm, 'g> Before<'s, 'm, 'g> {
    fn of(
        state: &'s State<'m, 'g>,
        failure: Failure,
        values: &'s FailureValues<'s>,
        detail: Detail,
    ) -> Result<Self, FailureError> {
        let carriage = state.carriage().ok_or(FailureError::NoLoad)?;
        if state.on_track().is_none() || state.situation().held_by != HoldingRope::Haul {
            return Err(FailureError::NoLoad);
        }
        let forces = state.forces()?;
        Ok(Self { state, model: state.model(), values, failure, detail, carriage, forces })
    }

    /// Nothing falls, and every place keeps what it has.
    pub(super) fn unchanged(&self) -> Result<Consequence, FailureError> {
        let frame = self.model.frame_under(&[self.state.head_ropes()])?;
        Ok(Consequence {
            failure: self.failure,
            end: FailureEnd::Stays,
            holds: Holds::TrackAndHaul,
            drop: AtMost::default(),
            run: AtMost::default(),
            room: crate::quantity::metres({
                let far = self.model.values().far.si() - self.carriage.si();
                crate::math::hypot(far.x, far.y)
            }),
            impact: None,
            peaks: self.forces.map(AtMost::known),
            least_factor: None,
            frame: Some(frame),
            slack_if_frame_falls: self.slack_without_frame(HoldingRope::Haul)?,
            still: Ok(Still::of(self.state)),
            haul_goes_on: true,
            jam: None,
            legs: None,
            detail: self.detail,
        })
    }

    /// Peaks that a rope to the load brings to its places, on top of what is there.
    pub(super) fn with_load_rope(
        &self,
        peaks: &mut ByPlace<AtMost<Force>>,
        rope: HoldingRope,
        at: Point2,
        peak: AtMost<Force>,
    ) -> Result<(), FailureError> {
        let one = self.model.load_rope_forces(rope, at, newtons(1.0))?;
        for (place, share) in one.iter().filter(|(_, share)| share.value > 0.0) {
            let force = AtMost { expected: peak.expected * share.value, bound: peak.bound * share.value };
            peaks[place] = peaks[place].max(force);
        }
        Ok(())
    }

    /// The frame under several sets of ropes, its members among the peaks; and everything judged.
    pub(super) fn judged(
        &self,
        mut consequence: Consequence,
        model: &Model<'_>,
        ropes: &[HeadRopes],
    ) -> Result<Consequence, FailureError> {
        let frame = model.frame_under(ropes)?;
        if let UnderRopes::Stands(worst) = &frame {
            consequence.peaks[Place::Leg] = AtMost::known(worst.leg());
            consequence.peaks[Place::Guy] = AtMost::known(worst.guy());
        }
        consequence.frame = Some(frame);
        Ok(self.ended(consequence))
    }

    /// With its least factor, and the worst of its ends.
    pub(super) fn ended(&self, mut consequence: Consequence) -> Consequence {
        let factors = consequence.peaks.iter().filter_map(|(place, peak)| {
            let strength = self.values.strengths[place]?;
            (peak.bound.value > 0.0).then(|| (place, strength.value / peak.bound.value))
        });
        consequence.least_factor = factors.min_by(|a, b| a.1.total_cmp(&b.1));
        let hard = metres_per_second(NOT_SURVIVABLE_M_PER_S);
        let falls = !matches!(consequence.frame, Some(UnderRopes::Stands(_)));
        let breaks = consequence.least_factor.is_some_and(|(_, factor)| factor < 1.0);
        if consequence.impact.is_some_and(|impact| impact.into_ground.bound >= hard) {
            consequence.end = FailureEnd::NotSurvivable;
        } else if falls {
            consequence.end = FailureEnd::FrameFalls;
        } else if breaks {
            consequence.end = FailureEnd::Breaks;
        }
        if matches!(consequence.end, FailureEnd::NotSurvivable | FailureEnd::FrameFalls | FailureEnd::Breaks)
        {
            consequence.haul_goes_on = false;
        }
        consequence
    }

    /// Slack in a rope to the load once the frame no longer holds it up: the way over the head less the straight one to
    /// where it goes behind it.
    pub(super) fn slack_without_frame(&self, rope: HoldingRope) -> Result<Length, FailureError> {
        let (_, behind) = self.model.load_rope(rope)?;
        let at = self.model.seen_from_base(self.carriage).si();
        let (head, behind) = (self.model.head_at.si(), behind.si());
        let far =
            |a: nalgebra::Vector3<f64>, b: nalgebra::Vector3<f64>| crate::math::sqrt((b - a).norm_squared());
        Ok(crate::quantity::metres(far(at, head) + far(head, behind) - far(at, behind)))
    }
}
