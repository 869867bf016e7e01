//! The parts of the rig that take forces, and their strength.

use super::place::Place;
use super::plan::{SiteError, SitePlan, Strength, check_range};
use super::site::{PlaceRatings, Site, SiteRatings, TackleKind};
use super::study::{PartKind, RatedPart};
use super::words;
use crate::quantity::Force;
use alloc::format;
use alloc::string::String;
use alloc::vec::Vec;

impl SiteRatings {
    /// What is rated at each place, in the order in which the forces run, and its key.
    fn chains(&self) -> [(Place, &'static str, &PlaceRatings); 10] {
        [
            (Place::Far, "far", &self.far),
            (Place::TrackRedirect, "redirect", &self.redirect),
            (Place::Head, "head", &self.head),
            (Place::Cell, "cell", &self.cell),
            (Place::Capstan, "capstan", &self.capstan),
            (Place::Carriage, "carriage", &self.carriage),
            (Place::HaulHead, "haul_head", &self.haul_head),
            (Place::HaulRedirect(0), "haul_redirect", &self.haul_redirect),
            (Place::Tackle, "tackle", &self.tackle),
            (Place::Winch, "winch", &self.winch),
        ]
    }
}

impl PlaceRatings {
    fn parts(&self) -> [(PartKind, &'static str, Option<Force>); 5] {
        [
            (PartKind::Anchor, "anchor", self.anchor),
            (PartKind::Sling, "sling", self.sling),
            (PartKind::Connector, "connector", self.connector),
            (PartKind::Sheave, "sheave", self.sheave),
            (PartKind::LoadCell, "load_cell", self.load_cell),
        ]
    }
}

/// Rated strengths are forces between what a hand and what a ship takes.
pub(crate) fn check(ratings: &SiteRatings) -> Result<(), SiteError> {
    let of_chains = ratings.chains().into_iter().flat_map(|(_, place, chain)| {
        chain.parts().map(|(_, part, strength)| (format!("ratings.{place}.{part}"), strength))
    });
    let of_members = [("leg", ratings.leg), ("guy", ratings.guy)]
        .map(|(member, strength)| (format!("ratings.{member}"), strength));
    for (key, strength) in of_chains.chain(of_members) {
        if let Some(strength) = strength {
            check_range(&key, strength, 10.0, 1e7)?;
        }
    }
    Ok(())
}

/// The rated strength of the anchor at a place, by its key.
pub(crate) fn anchor(ratings: &SiteRatings, at: &str) -> Option<Force> {
    ratings.chains().into_iter().find(|(_, place, _)| *place == at).and_then(|(.., chain)| chain.anchor)
}

/// Every part of the rig, in the order in which the forces run.
pub(crate) fn components(site: &Site, plan: &SitePlan) -> Vec<RatedPart> {
    let mut list = Vec::new();
    let mut add = |place, kind, strength: Option<Force>, basis: String| {
        list.push(RatedPart { name: words::part(place, kind), place, kind, strength, basis });
    };
    let mut rope = |place, strength: &Strength| {
        add(place, PartKind::Rope, Some(strength.strength), strength.basis.clone());
    };
    rope(Place::TrackRope, &plan.track_strength);
    rope(Place::HaulRope, &plan.haul_strength);
    for (place, _, chain) in site.ratings.chains() {
        let times = match place {
            Place::HaulRedirect(_) => plan.haul_redirects.len(),
            Place::Tackle if site.haul.tackle == TackleKind::Straight => 0,
            _ => 1,
        };
        let unrated = plan.anchors.iter().find(|anchor| anchor.place == place);
        for i in 0..times {
            let place = if let Place::HaulRedirect(_) = place { Place::HaulRedirect(i) } else { place };
            if let Some(anchor) = unrated {
                add(place, PartKind::Anchor, Some(anchor.strength), anchor.basis.clone());
            } else if chain.parts().iter().all(|(.., strength)| strength.is_none()) {
                // The wheel of the carriage, which bears the track rope, stands for what isn't rated there.
                let place = if place == Place::Carriage { Place::CarriageWheel } else { place };
                add(place, PartKind::Unrated, None, String::new());
            }
            for (kind, _, strength) in chain.parts() {
                // The wheel bears the track rope; what is hung into the carriage bears the most loaded of its ropes.
                let place = match (place, kind) {
                    (Place::Carriage, PartKind::Sheave) => Place::CarriageWheel,
                    (place, _) => place,
                };
                if strength.is_some() {
                    add(place, kind, strength, String::new());
                }
            }
        }
    }
    add(Place::Leg, PartKind::Leg, site.ratings.leg, String::new());
    if !site.frame.guys.is_empty() {
        add(Place::Guy, PartKind::Guy, site.ratings.guy, String::new());
    }
    list
}
