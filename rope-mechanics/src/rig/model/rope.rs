//! A rope of a rig: what it is, how much of it there is, and how it runs.

use super::ids::PointId;
use crate::motion::Motion;
use crate::quantity::{Force, Length, LineWeight};
use crate::rope::Stretch;
use crate::sheave::Turn;
use alloc::string::String;
use alloc::vec::Vec;

/// One end of a rope, in the order in which it was led.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
pub enum RopeEnd {
    /// Where the rope starts.
    First,
    /// Where it ends.
    Last,
}

/// What is known of a rope: how much of it there is, or how hard it is pulled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RopeSupply {
    /// Its unstretched length between its two ends.
    Length(Length),
    /// The tension at one end, where a winch, a brake or a hanging weight keeps it; the length follows.
    Tension {
        /// Which end.
        at: RopeEnd,
        /// How much there, all strands together.
        tension: Force,
    },
}

/// How a rope runs: from a point, over any number of sheaves, to a point.
///
/// ```
/// use rope_mechanics::quantity::{Force, Length, unit::{kilonewton, meter}};
/// use rope_mechanics::rig::{FreePoint, Rig, RopeRun, RopeSupply};
/// use rope_mechanics::rope::Stretch;
/// use rope_mechanics::sheave::Turn;
/// # use rope_mechanics::geometry::Point3;
///
/// let mut rig = Rig::new();
/// let head = rig.fixed("head", Point3::default())?;
/// let load = rig.point("load", FreePoint::anywhere())?;
/// let stretch = Stretch::linear(Force::new::<kilonewton>(40.0))?;
/// let run = RopeRun::new(stretch, RopeSupply::Length(Length::new::<meter>(12.0)), head, head).over(load, Turn::FRICTIONLESS);
/// rig.rope("haul", run)?;
/// # Ok::<(), rope_mechanics::rig::RigError>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct RopeRun {
    pub(super) stretch: Stretch,
    pub(super) supply: RopeSupply,
    pub(super) from: PointId,
    pub(super) to: PointId,
    pub(super) over: Vec<(PointId, Around)>,
    pub(super) weight: LineWeight,
    pub(super) strands: u32,
    pub(super) motion: Motion,
    pub(super) hand: RopeEnd,
}

impl RopeRun {
    /// A weightless rope of one strand at rest, from a point straight to another.
    #[must_use]
    pub const fn new(stretch: Stretch, supply: RopeSupply, from: PointId, to: PointId) -> Self {
        Self {
            stretch,
            supply,
            from,
            to,
            over: Vec::new(),
            weight: LineWeight {
                dimension: core::marker::PhantomData,
                units: core::marker::PhantomData,
                value: 0.0,
            },
            strands: 1,
            motion: Motion::AtRest,
            hand: RopeEnd::Last,
        }
    }

    /// Leads the rope on over a sheave at this point, fixed or free.
    #[must_use]
    pub fn over(self, point: PointId, turn: Turn) -> Self {
        self.over_with_wraps(point, turn, 0)
    }

    /// Leads the rope on over this turn, with so many whole turns around it: a bollard, a capstan, a bar with a round turn.
    ///
    /// The angle that counts for its loss is the one between the two parts of the rope, and 360° for each wrap.
    #[must_use]
    pub fn over_with_wraps(mut self, point: PointId, turn: Turn, wraps: u32) -> Self {
        self.over.push((point, Around { turn, wraps }));
        self
    }

    /// The same rope with this weight per unstretched metre of each strand.
    #[must_use]
    pub const fn with_weight(mut self, weight: LineWeight) -> Self {
        self.weight = weight;
        self
    }

    /// The same rope with this many strands side by side, all led the same way and equally long.
    #[must_use]
    pub const fn with_strands(mut self, strands: u32) -> Self {
        self.strands = strands;
        self
    }

    /// The same rope on the move: hauled or lowered by the hand, winch or brake at that end.
    ///
    /// At every turn the tension on the hand's side divided by that on the other side is then the turn's ratio for
    /// hauling or lowering. A rope at rest counts as frictionless; [`crate::rig::Rig::solve_band`] gives the two
    /// ends of what friction may hold. For a carriage that rolls along a rope tied at both ends, hauling with the
    /// hand at the last end is a carriage that rolls towards the first end.
    #[must_use]
    pub const fn with_motion(mut self, motion: Motion, hand: RopeEnd) -> Self {
        self.motion = motion;
        self.hand = hand;
        self
    }
}

/// A turn of a rope, with so many whole turns more than its directions show.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Around {
    pub(crate) turn: Turn,
    pub(crate) wraps: u32,
}

/// A rope as the solver sees it, all strands together.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct RopeData {
    pub(crate) name: String,
    pub(crate) stretch: Stretch,
    pub(crate) weight_n_per_m: f64,
    pub(crate) strands: u32,
    /// Stretch and weight of one strand, as given.
    #[cfg_attr(not(feature = "serde"), allow(dead_code))]
    pub(crate) strand: (Stretch, LineWeight),
    pub(crate) supply: Supplied,
    pub(crate) motion: Motion,
    pub(crate) hand: RopeEnd,
    /// The points from the first end to the last.
    pub(crate) nodes: Vec<u32>,
    /// The turns at the inner nodes.
    pub(crate) turns: Vec<Around>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Supplied {
    Length(f64),
    Tension(RopeEnd, f64),
}

impl RopeData {
    pub(crate) fn parts(&self) -> usize {
        self.nodes.len() - 1
    }
}

impl RopeData {
    /// Whether it moves over a turn that loses something.
    pub(crate) fn has_moving_friction(&self) -> bool {
        self.motion != Motion::AtRest
            && self.turns.iter().any(|around| around.turn != crate::sheave::Turn::FRICTIONLESS)
    }
}
