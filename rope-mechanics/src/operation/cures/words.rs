//! What a crew reads of a cure, in English.

use super::{Cure, CureKind};
use crate::quantity::unit::kilogram;
use crate::quantity::{Mass, metres, newtons};
use crate::text;
use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec::Vec;

/// A cure in a sentence.
pub(super) fn cure(cure: &Cure) -> String {
    let (from, to) = (cure.from.unwrap_or_default(), cure.to.unwrap_or_default());
    // A bound is said from the side that keeps: at most is rounded down, at least up, to a thousandth of the change or so.
    let bound = if to < from { "at most" } else { "at least" };
    let length = |value: f64| text::both(metres(value)).with_digits(4).to_string();
    match cure.kind {
        CureKind::FarAnchor => {
            let x = length(to);
            let out = cure.slope_distance.map_or_else(String::new, |out| {
                format!(", {} out along the slope from its edge", text::both(out).with_digits(4))
            });
            let how = if to < from { "no farther out than" } else { "at least as far out as" };
            format!("Set the far anchor {how} x = {x}{out}.")
        }
        CureKind::HeadHeight => format!("Have the head {bound} {} above the ground.", length(to)),
        CureKind::FarHeight => {
            format!("Have the far anchor's sheave {bound} {} above the ground.", length(to))
        }
        CureKind::Hang => format!("Hang the litter {bound} {} below the track rope.", length(to)),
        CureKind::Load => {
            let load = Mass::new::<kilogram>(to);
            format!("Have {bound} {} on the line altogether.", text::both(load).with_digits(4))
        }
        CureKind::MoreRope => format!("Take {} more track rope.", length(to - from)),
        CureKind::MoreHaulRope => format!("Take {} more haul rope.", length(to - from)),
        CureKind::MoreBelayRope => format!("Take {} more belay rope.", length(to - from)),
        CureKind::Setting => {
            let value = match cure.unit {
                "N" => text::both(newtons(to)).with_digits(4).to_string(),
                _ => length(to),
            };
            format!("Set the track rope otherwise: {} to {bound} {value}.", cure.key)
        }
        CureKind::RatedPull => {
            format!("Take a winch that is rated for at least {}.", text::both(newtons(to)).with_digits(4))
        }
        CureKind::RatedStrength => format!(
            "Take a part there that is rated for at least {}.",
            text::both(newtons(to)).with_digits(4)
        ),
        CureKind::Tackle => format!("Haul by a {to}:1."),
        CureKind::Wraps => format!("Take {to} turns on the capstan."),
        CureKind::BelaySlack => format!("Keep the slack of the belay rope at most {}.", length(to)),
        CureKind::Charge => {
            format!("Take a battery of at least {:.1} Ah.", to / 3600.0)
        }
        CureKind::TravelStart => {
            format!("Start {bound} {} from the far anchor.", length(to))
        }
        CureKind::Guy => {
            let Some(guys) = &cure.guys else { return String::new() };
            let places: Vec<String> = guys
                .anchors
                .iter()
                .map(|p| format!("[{:.2} m, {:.2} m, {:.2} m]", p.x.value, p.y.value, p.z.value))
                .collect();
            format!(
                "Guy the frame to {} from its base: up to {} along {}.",
                places.join(" and "),
                text::both(guys.greatest_force),
                if places.len() == 1 { "it" } else { "each" }
            )
        }
    }
}
