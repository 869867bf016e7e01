//! By how much a study keeps a limit.

use super::super::asked::Asked;
use super::super::limits::LOW_CHARGE_PERCENT;
use super::super::place::Place;
use super::super::study::{PartKind, Study, Warning, WarningKind};
use crate::quantity::Length;
use crate::quantity::unit::{meter, percent};

/// A track line that would hang less than this below the ground touches it only.
const TOUCHING_M: f64 = 0.01;
/// The slack of what has no measure.
pub(super) const NOT_AT_ALL: f64 = -1.0;

/// A limit to be mended, by what names it in any study of the same site.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Broken {
    /// That the site can be studied at all.
    Refused,
    /// A part's factor.
    Part(Place, PartKind),
    /// The belay rope, or the haul rope, where the other rope is lost.
    Catches,
    FrameStands,
    RopeReaches,
    HaulReaches,
    BelayReaches,
    Reading,
    LitterHigh,
    /// Where it is to float: from there on to the head.
    LitterDrags {
        floats_from: Length,
    },
    TrackOnGround,
    WinchPull,
    WinchCurrent,
    HaulFinishes,
    BatteryLow,
    CapstanTail,
}

impl Broken {
    /// What a warning says is broken; nothing for one that no input of ours mends.
    pub(super) fn of(study: &Study, warning: &Warning, floats_from: Length) -> Option<Self> {
        Some(match warning.kind {
            WarningKind::Factor => match warning.component.and_then(|i| study.components.get(i)) {
                Some(part) => Self::Part(part.place, part.kind),
                None => Self::Catches,
            },
            WarningKind::Frame => Self::FrameStands,
            WarningKind::RopeTooShort => Self::RopeReaches,
            WarningKind::HaulRopeTooShort => Self::HaulReaches,
            WarningKind::BelayRopeTooShort => Self::BelayReaches,
            WarningKind::Reading => Self::Reading,
            WarningKind::LitterHigh => Self::LitterHigh,
            WarningKind::LitterDrags => Self::LitterDrags { floats_from },
            WarningKind::TrackOnGround => Self::TrackOnGround,
            WarningKind::Winch if warning.unit == "A" => Self::WinchCurrent,
            WarningKind::Winch => Self::WinchPull,
            WarningKind::Battery if warning.value.is_some() => Self::BatteryLow,
            WarningKind::Battery => Self::HaulFinishes,
            WarningKind::CapstanTail => Self::CapstanTail,
            _ => return None,
        })
    }

    /// The parts of a study that tell.
    pub(super) const fn asks(self, asked: Asked) -> Asked {
        match self {
            Self::Catches => asked.with_failures(true),
            Self::Reading => asked.with_expected_readings(true),
            _ => asked,
        }
    }

    /// By how much a study keeps it; negative where it doesn't.
    pub(super) fn slack(self, study: &Study) -> f64 {
        let (summary, limits) = (&study.summary, &study.limits);
        let share = |value: f64, most: f64| (most - value) / most;
        match self {
            Self::Refused => 1.0,
            Self::Part(place, kind) => {
                let Some(i) = study.components.iter().position(|c| (c.place, c.kind) == (place, kind)) else {
                    return NOT_AT_ALL;
                };
                let Some(strength) = study.components.get(i).and_then(|part| part.strength) else {
                    return 1.0;
                };
                1.0 - greatest_force_n(study, i) * limits.factor_of(kind) / strength.value
            }
            Self::Catches => {
                let belay = summary.haul_lost.map_or(f64::INFINITY, |lost| lost.factor);
                let haul = summary.track_lost.map_or(f64::INFINITY, |lost| lost.factor);
                belay.min(haul) - 1.0
            }
            Self::FrameStands => {
                let states = study.positions.iter().map(|p| &p.frame);
                if core::iter::once(&study.unloaded.frame).chain(states).any(Option::is_none) {
                    return NOT_AT_ALL;
                }
                summary.least_margin.as_ref().map_or(1.0, |least| (least.margin - limits.frame_margin).value)
            }
            Self::RopeReaches => summary.reach.spare.value,
            Self::HaulReaches => summary.haul_reach.map_or(1.0, |reach| reach.spare.value),
            Self::BelayReaches => summary.belay_reach.map_or(1.0, |reach| reach.spare.value),
            Self::Reading => {
                let Some(limit) = limits.reading else { return 1.0 };
                let greatest = study.positions.iter().map(|p| p.greatest_reading().value).fold(0.0, f64::max);
                share(greatest, limit.value)
            }
            Self::LitterHigh => (limits.litter_height - summary.greatest_litter_height.si).value,
            Self::LitterDrags { floats_from } => {
                let floats = study.positions.iter().filter(|p| p.carriage.x <= floats_from);
                let least = floats.map(|p| {
                    let others = p.at_rest.iter().chain(&p.lowering).map(|way| way.ground_share.value);
                    let lies = others.fold(p.ground_share.value, f64::max);
                    if lies > 0.0 { -lies } else { p.least_litter_height().value }
                });
                match least.fold(f64::INFINITY, f64::min) {
                    // Just touching it drags, too.
                    0.0 => -f64::MIN_POSITIVE,
                    least => least,
                }
            }
            Self::TrackOnGround => {
                let loaded = study.positions.iter().map(|p| p.track_clearance.get::<meter>());
                loaded.fold(study.unloaded.clearance.get::<meter>(), f64::min) + TOUCHING_M
            }
            Self::WinchPull => share(summary.greatest_winch_pull.si.value, limits.winch_pull.value),
            Self::WinchCurrent => {
                limits.current.map_or(1.0, |limit| share(summary.greatest_current.si.value, limit.value))
            }
            Self::HaulFinishes => match summary.haul.stopped_at {
                None => 1.0,
                // The nearer to the end the better.
                Some(at) => at as f64 / study.positions.len() as f64 - 1.0,
            },
            Self::BatteryLow if summary.haul.stopped_at.is_some() => NOT_AT_ALL,
            Self::BatteryLow => 0.01 * (summary.haul.charge_left.get::<percent>() - LOW_CHARGE_PERCENT),
            Self::CapstanTail => share(summary.capstan_tail.value, summary.hand.value),
        }
    }
}

/// The greatest force on one of a study's components.
pub(super) fn greatest_force_n(study: &Study, component: usize) -> f64 {
    let loaded = study.positions.iter().map(|p| &p.forces);
    core::iter::once(&study.unloaded.forces)
        .chain(loaded)
        .filter_map(|forces| forces.get(component))
        .map(|force| force.value)
        .fold(0.0, f64::max)
}
