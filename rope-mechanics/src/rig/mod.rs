//! The rig: any ropes through any sheaves, in three dimensions.
//!
#![doc = include_str!("../docs/pictures/rig.svg")]
//!
//! Points are fixed, or move until the forces on them balance; ropes run from a point over any number of sheaves,
//! fixed or moving, to a point. Everything else in this library is a special case: a line is a rope between two
//! fixed points, a carriage a sheave on a point with a weight, a bridle two ropes to one point, a tackle one rope
//! that runs back and forth.
//!
//! **What is solved.** Without friction an equilibrium is a minimum of the energy of the stretched and lifted ropes
//! and of the loads. For weightless ropes over any sheaves, and for heavy ropes of given length that run over none, that
//! energy is convex: there is one equilibrium at most, whatever the start. For heavy ropes over sheaves there is no such
//! proof: taut ropes behave, slack ones may have several equilibria or none, and a slack chain over a smooth peg is
//! unstable. What is returned is stable; it may not be the only one ([`Certificate::unique`]).
//! It is the one that the start leads to or, failing that, the first one found from other starts, which are the same
//! every time. A refusal then means that none was found ([`RigError::RunsTo`]), not that there is none.
//!
//! **Friction** at turns is not a potential. [`Rig::solve`] goes from the frictionless equilibrium to the stated
//! motion of each rope. If that equilibrium ends on the way, or there is none, the rig slides from many starts until it
//! comes to rest elsewhere. A rope at rest counts as frictionless there, and [`Rig::solve_band`] gives the two ends of what
//! friction may hold. With friction the stiffness isn't symmetric, and positive pivots prove nothing: what is
//! returned has eigenvalues of positive real part only, each movement counted as if it had the same mass. Of rigs of
//! more than 120 variables only the softest modes are checked.
//!
//! **Accuracy.** Forces balance to 1e-9 of the largest, or to what the last digits of places and lengths allow: about
//! 4e-8 N for a part of 10 m with an EA of 1 MN in a rig of 100 m. Internally places are measured from the first fixed
//! point, so that map coordinates cost no digits.
//!
//! [`Rig`] has an example; [`Solution::response`] says how an answer follows its inputs, and [`Solution::resolve`] solves a
//! rig again after a change of some.
//!
//! **Caution.** Tensions are estimates, good to about ±15 % where stiffness and friction were not measured. Sheaves
//! are points: their radius is not counted. The answer is a state of rest, not what a sudden load does.

mod answer;
mod budget;
mod equations;
mod error;
mod model;
mod options;
mod solve;

#[cfg(feature = "serde")]
pub use answer::record::{PartRecord, PointRecord, ResponseRecord, RigRecord, RopeRecord, SheaveRecord};
pub use answer::response::{Change, PartResponse, Response, SheaveResponse};
pub use answer::{Certificate, RopePart, Sheave, Solution};
pub use error::RigError;
pub use model::Rig;
pub use model::ids::{PointId, RopeId, SheaveId};
pub use model::point::FreePoint;
pub use model::rope::{RopeEnd, RopeRun, RopeSupply};
#[cfg(feature = "serde")]
pub use model::spec::{ForceText, FrictionSpec, HoldSpec, PointSpec, RigSpec, RopeRunSpec, TurnSpec};
pub use solve::AtRest;
