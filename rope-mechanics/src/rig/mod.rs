//! The rig: any ropes through any sheaves, in three dimensions.
//!
//! Points are fixed, or move until the forces on them balance; ropes run from a point over any number of sheaves,
//! fixed or moving, to a point. Everything else in this library is a special case: a line is a rope between two
//! fixed points, a carriage a sheave on a point with a weight, a bridle two ropes to one point, a tackle one rope
//! that goes to and fro.
//!
//! **What is solved.** Without friction an equilibrium is a minimum of the energy of the stretched and lifted ropes
//! and of the loads. For weightless ropes over any sheaves, and for heavy ropes of given length that run over none, that
//! energy is convex: there is one equilibrium at most, whatever the start. For heavy ropes over sheaves there is no such
//! proof: taut ropes behave, slack ones may have several equilibria or none, and a slack chain over a smooth peg is
//! unstable. What is returned is stable; it may not be the only one ([`Certificate::unique`]).
//! It is the one that the start leads to, or, if that leads to none, the first that is found from other starts, the
//! same ones every time. A refusal then means that none was found ([`RigError::RunsTo`]), not that there is none.
//!
//! **Friction** at turns is not a potential. [`Rig::solve`] goes from the frictionless equilibrium to the stated
//! motion of each rope. Where that equilibrium ends on the way, or there is none, the rig slides, slowly, until it comes
//! to rest elsewhere. A rope at rest counts as frictionless there, and [`Rig::solve_band`] gives the two ends of what
//! friction may hold. With friction the stiffness isn't symmetric, and positive pivots prove nothing: what is
//! returned has eigenvalues of positive real part only, each movement counted as if it had the same mass. Of rigs of
//! more than 120 variables the softest modes are looked at, not all.
//!
//! **How exact.** Forces balance to 1e-9 of the largest, or to what the last digits of places and lengths decide: for a
//! part of 10 m of 1 MN, in a rig of 100 m, about 4e-8 N. Places are told from the first fixed point inside, so that
//! a map's coordinates cost nothing.
//!
//! An example stands at [`Rig`]; how an answer follows its inputs, at [`Solution::response`].
//!
//! **Caution.** Tensions are estimates, good to about ±15 % where stiffness and friction were not measured. Sheaves
//! are points: their radius is not counted. The answer is a state of rest, not what a sudden load does.

mod assembly;
mod balance;
mod bend;
mod elsewhere;
mod error;
mod friction;
mod ids;
mod model;
mod newton;
mod part;
#[cfg(feature = "serde")]
mod record;
mod refusal;
mod response;
mod search;
mod sensitivity;
mod settle;
mod solution;
mod sparse;
#[cfg(feature = "serde")]
mod spec;
mod stability;
mod start;
mod system;

pub use error::RigError;
pub use ids::{PointId, RopeId, SheaveId};
pub use model::{End, FreePoint, Rig, Run, Supply};
#[cfg(feature = "serde")]
pub use record::{PartRecord, PointRecord, ResponseRecord, RigRecord, RopeRecord, SheaveRecord};
pub use response::{Change, PartResponse, Response, SheaveResponse};
pub use solution::{Certificate, Part, Sheave, Solution};
#[cfg(feature = "serde")]
pub use spec::{ForceText, FrictionSpec, HoldSpec, PointSpec, RigSpec, RopeSpec, TurnSpec};

use crate::motion::Motion;
use system::{Mode, System};

impl Rig {
    /// The equilibrium, ropes moving as stated, ropes at rest without friction.
    ///
    /// # Errors
    /// If a point hangs in nothing, can be moved without force, runs to the end of its rope or out of the rig; if a
    /// rope would have to stretch by more than half its length; if no equilibrium was found. Each error names the
    /// point or the rope.
    pub fn solve(&self) -> Result<Solution, RigError> {
        start::check_tied(self)?;
        let system = System::new(self, Mode::Frictionless);
        let found = search::equilibrium(&system, start::guess(&system));
        if self.has_moving_friction() {
            let (system, found, stiffness) = friction::moving(&system, found)?;
            return Ok(Solution::new(system, found, stiffness));
        }
        let found = found?;
        let stiffness = newton::least_stiffness(&system, &found)?;
        Ok(Solution::new(system, found, stiffness))
    }

    /// The two ends of what friction may hold at the turns of ropes at rest: as if they had just been hauled, and as
    /// if they had just been lowered, each towards or from its hand's end. Ropes that move stay as they are.
    ///
    /// Assumed: all ropes at rest came to rest from the same motion. Mixtures give tensions between, or near, these.
    /// A rig that friction alone keeps at rest is refused: two unequal weights over a bar may hang still, but no motion
    /// of the rope holds them, so the band has no ends to give.
    ///
    /// # Errors
    /// As [`Self::solve`], for either end.
    pub fn solve_band(&self) -> Result<AtRest, RigError> {
        let from = |motion| {
            let mut rig = self.clone();
            for rope in rig.ropes.iter_mut().filter(|rope| rope.motion == Motion::AtRest) {
                rope.motion = motion;
            }
            rig.solve()
        };
        Ok(AtRest { hauled: from(Motion::Hauling)?, lowered: from(Motion::Lowering)? })
    }
}

/// The two ends of what friction may hold in a rig at rest.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct AtRest {
    /// As the rig stands after hauling.
    pub hauled: Solution,
    /// As it stands after lowering.
    pub lowered: Solution,
}
