//! The parts of the rig that take forces, their strength, and the force on each at one place of the load.

use super::plan::SitePlan;
use super::site::{PlaceRatings, Site, TackleKind};
use super::study::{FrameState, RatedPart};
use crate::quantity::Force;
use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec::Vec;

/// The force at each place of the rig.
#[derive(Debug, Clone)]
pub(crate) struct Parts {
    /// Greatest tension anywhere in the track rope.
    pub(crate) track: Force,
    pub(crate) far: Force,
    pub(crate) redirect: Force,
    /// The more loaded of the two sheaves on the head.
    pub(crate) head: Force,
    pub(crate) cell: Force,
    pub(crate) capstan: Force,
    /// On the wheel of the carriage.
    pub(crate) carriage: Force,
    /// On the most loaded of what is hung into it: wheel, load and haul rope.
    pub(crate) carriage_load: Force,
    /// Greatest tension in the haul rope.
    pub(crate) haul: Force,
    /// On the haul rope's sheave at the head.
    pub(crate) haul_head: Force,
    pub(crate) haul_redirects: Vec<Force>,
    pub(crate) tackle: Force,
    pub(crate) winch: Force,
    pub(crate) frame: FrameParts,
}

/// What the frame takes, or how it falls.
#[derive(Debug, Clone, Default)]
pub(crate) struct FrameParts {
    /// The most loaded leg and guy, if the frame stands and has them.
    leg: Option<Force>,
    guy: Option<Force>,
    pub(crate) fall: Option<String>,
}

impl FrameParts {
    pub(crate) fn of(frame: &Result<FrameState, String>) -> Self {
        match frame {
            Ok(frame) => Self {
                leg: frame.legs.iter().copied().reduce(Force::max),
                guy: frame.guys.iter().copied().reduce(Force::max),
                fall: None,
            },
            Err(fall) => Self { fall: Some(fall.clone()), ..Self::default() },
        }
    }
}

/// Where a component takes its force from.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Source {
    Track,
    Far,
    Redirect,
    Head,
    Cell,
    Capstan,
    Carriage,
    CarriageLoad,
    Haul,
    HaulHead,
    HaulRedirect(usize),
    Tackle,
    Winch,
    Leg,
    Guy,
}

impl Parts {
    /// The greater of both, part by part; the frame stays as it is.
    pub(crate) fn worst(self, other: Self) -> Self {
        Self {
            track: self.track.max(other.track),
            far: self.far.max(other.far),
            redirect: self.redirect.max(other.redirect),
            head: self.head.max(other.head),
            cell: self.cell.max(other.cell),
            capstan: self.capstan.max(other.capstan),
            carriage: self.carriage.max(other.carriage),
            carriage_load: self.carriage_load.max(other.carriage_load),
            haul: self.haul.max(other.haul),
            haul_head: self.haul_head.max(other.haul_head),
            haul_redirects: self
                .haul_redirects
                .into_iter()
                .zip(other.haul_redirects)
                .map(|(one, other)| one.max(other))
                .collect(),
            tackle: self.tackle.max(other.tackle),
            winch: self.winch.max(other.winch),
            frame: self.frame,
        }
    }

    pub(crate) fn force(&self, source: Source) -> Force {
        match source {
            Source::Track => self.track,
            Source::Far => self.far,
            Source::Redirect => self.redirect,
            Source::Head => self.head,
            Source::Cell => self.cell,
            Source::Capstan => self.capstan,
            Source::Carriage => self.carriage,
            Source::CarriageLoad => self.carriage_load,
            Source::Haul => self.haul,
            Source::HaulHead => self.haul_head,
            Source::HaulRedirect(i) => self.haul_redirects.get(i).copied().unwrap_or_default(),
            Source::Tackle => self.tackle,
            Source::Winch => self.winch,
            Source::Leg => self.frame.leg.unwrap_or_default(),
            Source::Guy => self.frame.guy.unwrap_or_default(),
        }
    }
}

/// Every part of the rig, in the order in which the forces run, and where its force comes from.
pub(crate) fn components(site: &Site, plan: &SitePlan) -> Vec<(RatedPart, Source)> {
    let mut list = Vec::new();
    let mut rope = |name: &str, strength: &super::plan::Strength, source| {
        list.push((
            RatedPart {
                name: name.to_string(),
                strength: Some(strength.strength),
                basis: strength.basis.clone(),
            },
            source,
        ));
    };
    rope("track rope", &plan.track_strength, Source::Track);
    rope("haul rope", &plan.haul_strength, Source::Haul);
    let ratings = &site.ratings;
    let mut chain = |place: &str, chain: &PlaceRatings, source: Source| {
        let parts = [
            ("anchor", chain.anchor),
            ("sling", chain.sling),
            ("connector", chain.connector),
            ("sheave", chain.sheave),
            ("load cell", chain.load_cell),
        ];
        let before = list.len();
        for (part, strength) in parts {
            if strength.is_some() {
                let name = if part == "load cell" { part.to_string() } else { format!("{part} {place}") };
                // The wheel bears the track rope; what is hung into the carriage bears the most loaded of its ropes.
                let source = match source {
                    Source::Carriage if part != "sheave" => Source::CarriageLoad,
                    source => source,
                };
                list.push((RatedPart { name, strength, basis: String::new() }, source));
            }
        }
        if list.len() == before {
            list.push((
                RatedPart { name: format!("parts {place}"), strength: None, basis: String::new() },
                source,
            ));
        }
    };
    chain("at the far anchor", &ratings.far, Source::Far);
    chain("at the track redirect", &ratings.redirect, Source::Redirect);
    chain("at the head", &ratings.head, Source::Head);
    chain("at the load cell", &ratings.cell, Source::Cell);
    chain("at the capstan", &ratings.capstan, Source::Capstan);
    chain("at the carriage", &ratings.carriage, Source::Carriage);
    chain("at the head for the haul rope", &ratings.haul_head, Source::HaulHead);
    for i in 0..plan.haul_redirects.len() {
        chain(&format!("at haul redirect {}", i + 1), &ratings.haul_redirect, Source::HaulRedirect(i));
    }
    if site.haul.tackle != TackleKind::Straight {
        chain("at the anchor of the haul tackle", &ratings.tackle, Source::Tackle);
    }
    chain("at the haul winch", &ratings.winch, Source::Winch);
    let mut member = |name: &str, strength, source| {
        list.push((RatedPart { name: name.to_string(), strength, basis: String::new() }, source));
    };
    member("most loaded leg of the frame", ratings.leg, Source::Leg);
    if !site.frame.guys.is_empty() {
        member("most loaded guy of the frame", ratings.guy, Source::Guy);
    }
    list
}
