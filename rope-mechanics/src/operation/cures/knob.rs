//! Inputs of a site that a cure may change, one at a time.

use super::super::site::{Site, SiteWinch, TrackSetting};
use super::CureKind;
use crate::doubt::Uncertain;
use crate::quantity::unit::{kilogram, meter, newton, percent};
use crate::quantity::{ElectricCharge, Force, Length, Mass, Ratio};

/// A far anchor is moved by so much of its distance from the head, at most.
const MOVED: f64 = 0.3;
/// A litter is hung no shorter than this: its bridle needs some height.
const SHORTEST_HANG_M: f64 = 0.3;

/// An input, its value, and how far it may be changed either way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Knob {
    pub(super) kind: CureKind,
    /// In SI.
    pub(super) now: f64,
    /// No value below this is tried,
    pub(super) least: f64,
    /// and none above this.
    pub(super) most: f64,
}

impl Knob {
    /// An input of a site; nothing for one that has no such, or can't be moved.
    pub(super) fn of(site: &Site, kind: CureKind) -> Option<Self> {
        let knob = |now: f64, least: f64, most: f64| {
            Some(Self { kind, now, least: least.min(now), most: most.max(now) })
        };
        let travel = &site.travel;
        let length = |given: Option<Length>, default: f64| given.map_or(default, |given| given.value);
        match kind {
            CureKind::FarAnchor => {
                let (first, last) = (site.frame.x.value, site.ground.last()?.x.value);
                let now = site.far_anchor.x.value().value;
                // What the travel needs between the two, and a little. Moved much farther it would serve another place.
                let start = length(travel.start, 2.0).max(length(travel.float_from, 10.0));
                let nearest =
                    (first + start + length(travel.end, 2.0) + 0.5).max(now - MOVED * (now - first));
                knob(now, nearest, (last - 1e-3).min(now + MOVED * (now - first)))
            }
            CureKind::HeadHeight => {
                let now = site.frame.height.value().value;
                let feet = site.frame.feet.iter().chain(&site.frame.guys).map(|p| p.z.value);
                knob(now, feet.fold(0.3, f64::max) + 0.2, now + 4.0)
            }
            CureKind::FarHeight => {
                let now = site.far_anchor.height.value().value;
                knob(now, 0.0, now + 4.0)
            }
            CureKind::Hang => {
                let now = site.load.hang.value().value;
                knob(now, SHORTEST_HANG_M, (now + 3.0).min(20.0))
            }
            CureKind::Load => {
                let now = load_kg(site);
                knob(now, 0.2 * now, now)
            }
            CureKind::MoreRope => {
                let now = site.track.on_hand.value;
                knob(now, now, now + 300.0)
            }
            CureKind::Setting => match &site.track.set {
                TrackSetting::UnloadedTension(f)
                | TrackSetting::GreatestReading(f)
                | TrackSetting::Reading(f)
                | TrackSetting::EasedReading(f)
                | TrackSetting::LoadedReading { reading: f, .. } => {
                    let now = f.value().value;
                    knob(now, 0.3 * now, 3.0 * now)
                }
                TrackSetting::LitterHeight(l) | TrackSetting::LoadedHeight { height: l, .. } => {
                    let now = l.value().value;
                    knob(now, 0.0, now + 2.0)
                }
                TrackSetting::Sag(l) => {
                    let now = l.value().value;
                    knob(now, 0.2 * now, 5.0 * now)
                }
                TrackSetting::Strand(l) => {
                    let now = l.value().value;
                    knob(now, 0.97 * now, 1.05 * now)
                }
            },
            CureKind::BelaySlack => {
                let now = site.belay.as_ref()?.slack.value;
                knob(now, 0.0, now)
            }
            CureKind::Charge => {
                let now = battery(&site.winch).charge.value;
                knob(now, now, 20.0 * now)
            }
            CureKind::TravelStart => {
                let now = length(travel.start, 2.0);
                let chord = site.far_anchor.x.value().value - site.frame.x.value;
                knob(now, 0.1_f64.min(now), chord - length(travel.end, 2.0) - 0.5)
            }
            CureKind::RatedPull
            | CureKind::MoreHaulRope
            | CureKind::MoreBelayRope
            | CureKind::RatedStrength
            | CureKind::Tackle
            | CureKind::Wraps
            | CureKind::Guy => None,
        }
    }

    /// The SI unit of its values.
    pub(super) fn unit(&self, site: &Site) -> &'static str {
        match (self.kind, &site.track.set) {
            (CureKind::Load, _) => "kg",
            (CureKind::Charge, _) => "C",
            (
                CureKind::Setting,
                TrackSetting::UnloadedTension(_)
                | TrackSetting::GreatestReading(_)
                | TrackSetting::Reading(_)
                | TrackSetting::EasedReading(_)
                | TrackSetting::LoadedReading { .. },
            ) => "N",
            _ => "m",
        }
    }

    /// The site with this value in its place.
    pub(super) fn set(&self, site: &Site, value: f64) -> Site {
        let mut site = site.clone();
        let metres = Length::new::<meter>;
        match self.kind {
            CureKind::FarAnchor => site.far_anchor.x = metres(value).into(),
            CureKind::HeadHeight => site.frame.height = metres(value).into(),
            CureKind::FarHeight => site.far_anchor.height = metres(value).into(),
            CureKind::Hang => site.load.hang = metres(value).into(),
            CureKind::Load => {
                let share = Ratio::new::<percent>(100.0 * value / self.now);
                let scaled = |mass: Uncertain<Mass>| Uncertain::from(mass.value() * share);
                let load = &mut site.load;
                load.patient = scaled(load.patient);
                load.litter = scaled(load.litter);
                load.carriage = scaled(load.carriage);
                load.attendants = load.attendants.map(scaled);
            }
            CureKind::MoreRope => site.track.on_hand = metres(value),
            CureKind::Setting => {
                let (force, length) =
                    (Uncertain::from(Force::new::<newton>(value)), Uncertain::from(metres(value)));
                site.track.set = match site.track.set {
                    TrackSetting::UnloadedTension(_) => TrackSetting::UnloadedTension(force),
                    TrackSetting::GreatestReading(_) => TrackSetting::GreatestReading(force),
                    TrackSetting::Reading(_) => TrackSetting::Reading(force),
                    TrackSetting::EasedReading(_) => TrackSetting::EasedReading(force),
                    TrackSetting::LoadedReading { at, .. } => {
                        TrackSetting::LoadedReading { at, reading: force }
                    }
                    TrackSetting::LitterHeight(_) => TrackSetting::LitterHeight(length),
                    TrackSetting::LoadedHeight { at, .. } => {
                        TrackSetting::LoadedHeight { at, height: length }
                    }
                    TrackSetting::Sag(_) => TrackSetting::Sag(length),
                    TrackSetting::Strand(_) => TrackSetting::Strand(length),
                };
            }
            CureKind::BelaySlack => {
                if let Some(belay) = &mut site.belay {
                    belay.slack = metres(value);
                }
            }
            CureKind::Charge => {
                let battery = match &mut site.winch {
                    SiteWinch::Motor(motor) => &mut motor.battery,
                    SiteWinch::Table(table) => &mut table.battery,
                };
                battery.charge = ElectricCharge { value, ..battery.charge };
            }
            CureKind::TravelStart => site.travel.start = Some(metres(value)),
            CureKind::RatedPull
            | CureKind::MoreHaulRope
            | CureKind::MoreBelayRope
            | CureKind::RatedStrength
            | CureKind::Tackle
            | CureKind::Wraps
            | CureKind::Guy => {}
        }
        site
    }
}

/// The key of the site file that holds an input.
pub(super) fn key(site: &Site, kind: CureKind) -> &'static str {
    let motor = matches!(site.winch, SiteWinch::Motor(_));
    match kind {
        CureKind::FarAnchor => "far_anchor.x",
        CureKind::HeadHeight => "frame.height",
        CureKind::FarHeight => "far_anchor.height",
        CureKind::Hang => "load.hang",
        CureKind::Load => "load",
        CureKind::MoreRope => "track.on_hand",
        CureKind::MoreHaulRope => "haul.on_hand",
        CureKind::MoreBelayRope => "belay.on_hand",
        CureKind::Setting => site.track.set.key(),
        CureKind::BelaySlack => "belay.slack",
        CureKind::Charge if motor => "winch.motor.battery.charge",
        CureKind::Charge => "winch.table.battery.charge",
        CureKind::TravelStart => "travel.start",
        CureKind::RatedPull if motor => "winch.motor.rated_pull",
        CureKind::RatedPull => "winch.table.rated_pull",
        CureKind::RatedStrength => "ratings",
        CureKind::Tackle => "haul.tackle",
        CureKind::Wraps => "capstan.wraps",
        CureKind::Guy => "frame.guys",
    }
}

/// All that hangs on the line.
pub(super) fn load_kg(site: &Site) -> f64 {
    let load = &site.load;
    let attendants = load.attendants.map_or(0.0, |mass| mass.value().get::<kilogram>());
    [&load.patient, &load.litter, &load.carriage]
        .iter()
        .map(|mass| mass.value().get::<kilogram>())
        .sum::<f64>()
        + attendants
}

pub(super) fn battery(winch: &SiteWinch) -> &super::super::site::SiteBattery {
    match winch {
        SiteWinch::Motor(motor) => &motor.battery,
        SiteWinch::Table(table) => &table.battery,
    }
}
