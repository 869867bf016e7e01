//! From a rig to its equilibrium.
//!
//! | file | what it does |
//! |---|---|
//! | `start` | the first guess |
//! | `newton`, `step` | from a start to the least energy nearby |
//! | `search` | from start to start until an equilibrium is found; `elsewhere` makes the starts |
//! | `friction` | from the frictionless equilibrium to moving ropes; `settle` lets a rig slide to rest |
//! | `stability`, `certify` | how stable an equilibrium is, and the gates that every answer goes through |
//! | `refusal` | why there is none |
//! | `again` | the same rig with an input changed, from where it stood |

pub(super) mod again;
mod certify;
mod elsewhere;
mod friction;
mod newton;
mod refusal;
mod search;
mod settle;
mod stability;
mod start;
mod step;

use self::certify::certify;
use super::answer::Solution;
use super::budget::Budget;
use super::equations::{Equations, Mode};
use super::error::RigError;
use super::model::Rig;
use crate::motion::Motion;

impl Rig {
    /// The equilibrium, ropes moving as stated, ropes at rest without friction.
    ///
    /// # Errors
    /// If a point hangs in nothing, can be moved without force, runs to the end of its rope or out of the rig; if a
    /// rope would have to stretch by more than half its length; if no equilibrium was found. Each error names the
    /// point or the rope.
    pub fn solve(&self) -> Result<Solution, RigError> {
        self.answer(None)
    }

    /// The same, in no more than so many steps. A step solves the linear equations of the rig once, so that its time grows
    /// with the size of the rig; what else is done takes no longer than a few of them. A rig that stands takes some ten
    /// steps, one that runs over rough turns some hundred; to refuse one may take thousands.
    ///
    /// ```
    /// # use rope_mechanics::geometry::Point3;
    /// # use rope_mechanics::quantity::{Force, Length, unit::{kilonewton, meter, newton}};
    /// # use rope_mechanics::rig::{FreePoint, Rig, RigError, RopeRun, RopeSupply};
    /// # use rope_mechanics::rope::Stretch;
    /// let m = Length::new::<meter>;
    /// let mut rig = Rig::new();
    /// let left = rig.fixed("left", Point3::new(m(0.0), m(0.0), m(5.0)))?;
    /// let right = rig.fixed("right", Point3::new(m(30.0), m(0.0), m(2.0)))?;
    /// let load = rig.point("load", FreePoint::anywhere().with_weight(Force::new::<newton>(900.0)))?;
    /// let stretch = Stretch::linear(Force::new::<kilonewton>(41.0))?;
    /// rig.rope("first", RopeRun::new(stretch, RopeSupply::Length(m(17.0)), left, load))?;
    /// rig.rope("second", RopeRun::new(stretch, RopeSupply::Length(m(15.0)), load, right))?;
    ///
    /// assert!(rig.solve_within(100).is_ok());
    /// assert_eq!(rig.solve_within(1).unwrap_err(), RigError::OverBudget { steps: 1 });
    /// # Ok::<(), RigError>(())
    /// ```
    ///
    /// # Errors
    /// As [`Self::solve`], and [`RigError::OverBudget`], which decides nothing.
    pub fn solve_within(&self, steps: u32) -> Result<Solution, RigError> {
        let budget = Budget::of(steps);
        self.answer(Some(&budget)).map_err(|why| if budget.refused() { budget.spent() } else { why })
    }

    fn answer(&self, budget: Option<&Budget>) -> Result<Solution, RigError> {
        start::check_tied(self)?;
        let system = Equations::new(self, Mode::Frictionless).within(budget);
        let found = search::equilibrium(&system, start::guess(&system));
        if self.has_moving_friction() {
            let (system, found, stiffness) = friction::moving(&system, found)?;
            let certificate = certify(&system, &found, (stiffness, 0))?;
            return Ok(Solution::new(system, found, certificate));
        }
        let found = found?;
        let certificate = certify(&system, &found, newton::least_stiffness(&system, &found))?;
        Ok(Solution::new(system, found, certificate))
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
        self.band(Self::solve)
    }

    /// The same in no more than so many steps for each of the two, as [`Self::solve_within`] counts them.
    ///
    /// # Errors
    /// As [`Self::solve_band`], and [`RigError::OverBudget`], which decides nothing.
    pub fn solve_band_within(&self, steps: u32) -> Result<AtRest, RigError> {
        self.band(|rig| rig.solve_within(steps))
    }

    fn band(&self, solve: impl Fn(&Self) -> Result<Solution, RigError>) -> Result<AtRest, RigError> {
        let from = |motion| {
            let mut rig = self.clone();
            for rope in rig.ropes.iter_mut().filter(|rope| rope.motion == Motion::AtRest) {
                rope.motion = motion;
            }
            solve(&rig)
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
