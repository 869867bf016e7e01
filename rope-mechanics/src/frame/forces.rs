//! The forces of a solved frame.

use super::{Edge, MOST_GUYS, MOST_HOBBLES, MOST_LEGS, Stability};
use crate::error::SolveReport;
use crate::geometry::Force3;
use crate::quantity::{Angle, Force, Ratio};

/// How the members came to share the load.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
pub enum Sharing {
    /// Equilibrium alone gives every force.
    Statics,
    /// There are more members than equilibrium needs; they share by the stiffnesses given, none of them strained
    /// before the load.
    Stiffness,
    /// The same, but a stiffness wasn't given. Taken instead: EA = 40 MN for a leg, 80 kN for a guy (from memory;
    /// an aluminium tube, a polyester rope of 11 mm).
    AssumedStiffness,
}

/// The force in a leg and at its foot.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[non_exhaustive]
pub struct LegForces {
    /// Along the leg; negative if it pulls at its stake.
    pub compression: Force,
    /// What leg and hobbles together do to the ground at the foot: z negative is pressure.
    pub on_ground: Force3,
    /// Horizontal by vertical force at the foot: the coefficient of friction that keeps it in place.
    ///
    /// Zero for an idle leg; `None` where nothing presses the foot down, so that only a stake holds it.
    pub friction_needed: Option<Ratio>,
    /// The leg's strength at its length by its compression, if a strength was given and it is pressed.
    pub factor: Option<Ratio>,
}

/// The forces of a frame that stands, or is just about to tip (then [`Stability::margin`] is zero).
///
/// Hobbles take as much of the horizontal thrust of the feet as ropes between them can: their tensions leave the
/// least sum of squares of horizontal forces to friction and stakes. That is what they take when feet slide a
/// little; as long as friction holds everything, a hobble may be slack.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct FrameForces {
    /// Sum of all pulls at the head.
    pub resultant: Force3,
    /// How the members share it.
    pub sharing: Sharing,
    /// How far from tipping it stands.
    pub stability: Stability,
    /// Residual of the equilibrium of the head, by the largest force.
    pub report: SolveReport,
    pub(super) legs: ([LegForces; MOST_LEGS], usize),
    pub(super) guys: ([GuyForces; MOST_GUYS], usize),
    pub(super) hobbles: ([Force; MOST_HOBBLES], usize),
}

/// The force in a guy.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[non_exhaustive]
pub struct GuyForces {
    /// Zero for a slack guy.
    pub tension: Force,
    /// The guy's strength by its tension, if a strength was given and it isn't slack.
    pub factor: Option<Ratio>,
}

impl FrameForces {
    /// Of each leg, in the order given.
    #[must_use]
    pub fn legs(&self) -> &[LegForces] {
        self.legs.0.get(..self.legs.1).unwrap_or_default()
    }

    /// Of each guy, in the order given.
    #[must_use]
    pub fn guys(&self) -> &[GuyForces] {
        self.guys.0.get(..self.guys.1).unwrap_or_default()
    }

    /// Tension of each hobble, in the order given.
    #[must_use]
    pub fn hobbles(&self) -> &[Force] {
        self.hobbles.0.get(..self.hobbles.1).unwrap_or_default()
    }
}

/// What the legs and guys take, and how far the frame stands from tipping: the answer of [`Frame::under_each`](super::Frame::under_each).
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct HeadForces {
    /// As [`Stability::margin`].
    pub margin: Angle,
    /// As [`Stability::edge`].
    pub edge: Option<Edge>,
    /// Residual of the equilibrium of the head, by the largest force.
    pub report: SolveReport,
    pub(super) legs: ([Force; MOST_LEGS], usize),
    pub(super) guys: ([Force; MOST_GUYS], usize),
}

impl HeadForces {
    /// Compression of each leg, in the order given; negative if it pulls at its stake.
    #[must_use]
    pub fn legs(&self) -> &[Force] {
        self.legs.0.get(..self.legs.1).unwrap_or_default()
    }

    /// Tension of each guy, in the order given; zero for a slack one.
    #[must_use]
    pub fn guys(&self) -> &[Force] {
        self.guys.0.get(..self.guys.1).unwrap_or_default()
    }
}
