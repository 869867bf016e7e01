//! The alternatives side by side, each computed by the same model: ways to haul and to belay, attendants, systems.
//!
//! | question | where |
//! |---|---|
//! | straight, 2:1, 3:1, 5:1, or straight first and a tackle from a mark: pull, current, heat, charge, minutes, people | [`HaulWays`] |
//! | what winch and battery need for the way down and the haul, with margin | [`Operation`] |
//! | battery and motor over time, through the job as planned | [`Course`] |
//! | by hands, by a device, on a fixed rope, both ropes shared, none: slack, stopping distance, peak, people | [`BelayWays`] |
//! | none, one or three attendants: what the line carries, whether their feet stay down, what happens when one detaches | [`AttendantWays`] |
//! | without a track, on one strand, doubled, on two ropes: pull, tension, height, rope, anchors, what is left after a failure | [`SystemWay`] |
//!
//! **Caution.** What costs the least here isn't the safest. A doubled track rope on one sheave has no redundancy, a belay
//! by hands holds next to nothing, and a winch built for pulling may be barred by its own standard from lifting people.
//! Local codes, makers' instructions and the authority having jurisdiction come first.

mod attendants;
mod belay;
mod course;
mod crew;
mod haul;
mod over_head;
mod systems;

pub use attendants::{AttendantWay, AttendantWays, AttendantsFound, Detaches};
pub use belay::{BelayKind, BelayWay, BelayWays};
pub use course::{Course, Doing, Moment};
pub use haul::{ChangeBy, Conversion, HaulWay, HaulWays, HeldMeanwhile, LoweringFirst, MotorHeat, Operation};
pub use systems::{AfterFailure, SystemFound, SystemKind, SystemNeeds, SystemWay};

use super::failures;
use super::model::Model;
use super::plan::{SiteError, SitePlan, distance};
use super::power::Drive;
use super::site::Site;
use super::state::State;
use super::study::{Assumption, Study};
use super::travel::Moved;
use alloc::vec::Vec;
use crew::Crew;
use haul::Hauling;
use serde::Serialize;

/// The alternatives, side by side.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Alternatives {
    /// Ways to haul.
    pub haul: HaulWays,
    /// Ways to belay.
    pub belay: BelayWays,
    /// Attendants at the litter.
    pub attendants: AttendantWays,
    /// Systems on the same ground.
    pub systems: Vec<SystemWay>,
}

/// A rig solved over its travel, which the alternatives are compared with.
pub(super) struct SolvedRig<'s, 'm, 'g> {
    pub(super) site: &'s Site,
    pub(super) plan: &'s SitePlan,
    pub(super) model: &'m Model<'g>,
    pub(super) drive: &'s Drive,
    /// At each of the positions.
    pub(super) states: &'s [Moved<'m, 'g>],
    pub(super) study: &'s Study,
}

impl<'m, 'g> SolvedRig<'_, 'm, 'g> {
    /// The load hauled at so many of the positions, evenly spread, first and last among them, and at the one with the
    /// greatest pull.
    fn spread(&self, most: usize) -> Vec<(usize, State<'m, 'g>)> {
        let last = self.states.len().saturating_sub(1);
        let spaces = most.min(self.states.len()).saturating_sub(1).max(1);
        let mut at: Vec<usize> = (0..=spaces).map(|i| (i * last + spaces / 2) / spaces).collect();
        let pull = |i: &usize| self.states.get(*i).map_or(0.0, |moved| moved.hauling.pull().value);
        at.extend((0..self.states.len()).max_by(|a, b| pull(a).total_cmp(&pull(b))));
        at.sort_unstable();
        at.dedup();
        at.into_iter().filter_map(|i| Some((i, self.states.get(i)?.hauling))).collect()
    }

    /// All of them; what is assumed for them is added to the list.
    pub(super) fn alternatives(&self, assumptions: &mut Vec<Assumption>) -> Result<Alternatives, SiteError> {
        let haul = &self.model.values().haul;
        let before_winch = haul.redirects.last().map_or(self.model.head_at, |redirect| redirect.at);
        let crew = Crew::new(self.site, self.drive, distance(before_winch, haul.winch), assumptions)?;
        let hauled: Vec<State<'_, '_>> = self.states.iter().map(|moved| moved.hauling).collect();
        let hauling = Hauling {
            model: self.model,
            drive: self.drive,
            crew: &crew,
            positions: &self.study.positions,
            states: &hauled,
            current_limit: self.site.limits.current,
            patient: self.site.load.patient.value(),
        };
        let values = failures::values(self.site, self.plan, &self.study.components, None)?;
        Ok(Alternatives {
            haul: hauling.ways()?,
            belay: belay::ways(self, &crew, &values)?,
            attendants: attendants::ways(self, &crew)?,
            systems: systems::ways(self, &crew, &values)?,
        })
    }
}
