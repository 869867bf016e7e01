//! From a site file to a plan: every key checked, every default filled in and listed.

mod places;
mod reader;
mod rope;
mod settling;

use reader::check_sheave;
pub(crate) use reader::{check_place, check_range, distance};
pub(crate) use rope::{Strength, diameter};
pub(crate) use settling::Settling;

use super::model::FrameValues;
use super::pulls::{self, Line};
use super::site::{Holds, Site, TrackSetting};
use super::study::Assumption;
use super::travel::Travel;
use super::{rated, written};
use crate::error::{Allowed, InputError};
use crate::geometry::{Point2, Point3};
use crate::quantity::unit::{degree, foot, meter, percent};
use crate::quantity::{Angle, Length, Mark, Mass, Ratio, metres};
use crate::rope::{Rope, Stretch};
use crate::text;
use alloc::format;
use alloc::string::String;
use alloc::vec::Vec;
use reader::Reader;

/// Why a site can't be studied: the key at fault and what to change.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{key}: {problem}")]
#[non_exhaustive]
pub struct SiteError {
    /// The key of the site file, as in `track.rope.mass` or `ground[3]`.
    pub key: String,
    /// What is wrong with it, and what is allowed or what to change.
    pub problem: String,
}

impl SiteError {
    pub(crate) fn new(key: impl Into<String>, problem: impl Into<String>) -> Self {
        Self { key: key.into(), problem: problem.into() }
    }

    /// An input error of a lower layer, found at this key.
    pub(crate) fn at(key: impl Into<String>, why: InputError) -> Self {
        Self::new(key, written::problem(&why))
    }
}

/// Everything that the solution needs, checked.
#[derive(Debug, Clone)]
pub(crate) struct SitePlan {
    pub(crate) ground: Vec<Point2>,
    pub(crate) base: Point2,
    pub(crate) head: Point2,
    pub(crate) far: Point2,
    pub(crate) track: Rope,
    pub(crate) track_strength: Strength,
    /// Of the track rope behind the head.
    pub(crate) stretch_behind: Stretch,
    /// What it gives by itself once it is set.
    pub(crate) settling: Settling,
    /// What is known of the frame's own parts.
    pub(crate) frame: FrameValues,
    pub(crate) haul: Rope,
    pub(crate) haul_strength: Strength,
    pub(crate) belay: Option<BelayRope>,
    pub(crate) far_efficiency: Ratio,
    pub(crate) redirect_efficiency: Ratio,
    pub(crate) track_head_efficiency: Ratio,
    pub(crate) haul_head_efficiency: Ratio,
    pub(crate) tackle_efficiency: Ratio,
    pub(crate) haul_redirects: Vec<(Point3, Ratio)>,
    pub(crate) load: Mass,
    pub(crate) ground_friction: Ratio,
    pub(crate) wheel_friction: Ratio,
    pub(crate) capstan_friction: Ratio,
    pub(crate) factor: f64,
    pub(crate) frame_margin: Angle,
    pub(crate) litter_height_limit: Length,
    pub(crate) rope_clearance: Length,
    pub(crate) least_litter_height: Length,
    pub(crate) start: Length,
    pub(crate) end: Length,
    /// Horizontal distance from the far anchor beyond which the litter is to float.
    pub(crate) float_from: Length,
    pub(crate) positions: usize,
    /// Track rope on hand, and full turns of it on the capstan.
    pub(crate) on_hand: Length,
    pub(crate) wraps: f64,
    /// Rope used at the apparatus: knots, tails, wraps and the ways behind the frame.
    pub(crate) used: Length,
    /// What anchors hold that nobody has rated.
    pub(crate) anchors: Vec<Holds>,
    pub(crate) assumptions: Vec<Assumption>,
}

/// The belay rope, and what it holds.
#[derive(Debug, Clone)]
pub(crate) struct BelayRope {
    pub(crate) rope: Rope,
    pub(crate) strength: Strength,
}

/// Fewer would miss what happens between them.
const LEAST_POSITIONS: u32 = 10;
const MAX_POSITIONS: u32 = 20_000;
impl SitePlan {
    pub(crate) fn new(site: &Site) -> Result<Self, SiteError> {
        let mut read = Reader::default();
        let (base, head, far) = places::geometry(site)?;
        let (track, track_strength) = read.rope("track.rope", &site.track.rope)?;
        let stretch_behind = match site.track.stiffness_behind {
            None => track.stretch(),
            Some(stiffness) => {
                check_range("track.stiffness_behind", stiffness, 1e3, 1e12)?;
                Stretch::linear(stiffness).map_err(|why| SiteError::at("track.stiffness_behind", why))?
            }
        };
        let settling = read.settling(&site.track, track.stretch())?;
        let frame = places::parts(&site.frame)?;
        if site.frame.leg_mass.is_none() {
            read.assume(
                "frame.leg_mass",
                "the frame weighs nothing: its weight steadies it, and adds half of a leg's and its share of the head's to each leg",
                Mark::Choice,
            );
        }
        let (haul, haul_strength) = read.rope("haul.rope", &site.haul.rope)?;
        let mut belay_rope = None;
        if let Some(belay) = &site.belay {
            let (rope, strength) = read.rope("belay.rope", &belay.rope)?;
            belay_rope = Some(BelayRope { rope, strength });
            check_place("belay.device", belay.device)?;
            check_range("belay.slack", belay.slack, 0.0, 20.0)?;
        }

        let track_site = &site.track;
        for (key, place) in [
            ("track.redirect", track_site.redirect),
            ("track.cell_anchor", track_site.cell_anchor),
            ("capstan.at", site.capstan.at),
            ("haul.winch", site.haul.winch),
        ] {
            check_place(key, place)?;
        }
        if let TrackSetting::LoadedReading { at, .. } | TrackSetting::LoadedHeight { at, .. } = track_site.set
            && !(head.x < at && at < far.x)
        {
            return Err(SiteError::new(
                "track.set.loaded_at",
                format!(
                    "is {}, but must lie between the head and the far anchor, {} and {}",
                    text::both(at),
                    text::both(head.x),
                    text::both(far.x)
                ),
            ));
        }
        check_range("track.on_hand", track_site.on_hand, 1.0, 5000.0)?;
        for (key, length) in [
            ("haul.on_hand", site.haul.on_hand),
            ("belay.on_hand", site.belay.as_ref().and_then(|belay| belay.on_hand)),
        ] {
            if let Some(length) = length {
                check_range(key, length, 1.0, 5000.0)?;
            }
        }
        for (key, length) in [
            ("track.knots", track_site.knots),
            ("track.tails", track_site.tails),
            ("track.wraps", track_site.wraps),
        ] {
            check_range(key, length, 0.0, 500.0)?;
        }
        let above = Point3::new(metres(0.0), metres(0.0), site.frame.height.value());
        let used = track_site.knots
            + track_site.tails
            + track_site.wraps
            + distance(site.capstan.at, track_site.redirect)
            + distance(track_site.redirect, above)
            + distance(above, track_site.cell_anchor);

        let mut haul_redirects = Vec::new();
        for (i, redirect) in site.haul.redirects.iter().enumerate() {
            let key = format!("haul.redirects[{i}]");
            check_place(&format!("{key}.at"), redirect.at)?;
            let efficiency = read.efficiency(
                &format!("{key}.efficiency"),
                redirect.efficiency,
                &format!("haul redirect {}", i + 1),
            )?;
            check_sheave(&format!("{key}.sheave"), redirect.sheave)?;
            haul_redirects.push((redirect.at, efficiency));
        }
        if haul_redirects.len() > 6 {
            return Err(SiteError::new(
                "haul.redirects",
                format!("holds {}, but must hold at most 6", haul_redirects.len()),
            ));
        }

        let load = &site.load;
        let attendants = load.attendants.map_or_else(Mass::default, |mass| mass.value());
        for (key, mass, least) in [
            ("load.patient", load.patient.value(), 0.0),
            ("load.litter", load.litter.value(), 0.0),
            ("load.attendants", attendants, 0.0),
            ("load.carriage", load.carriage.value(), 0.0),
        ] {
            check_range(key, mass, least, 2000.0)?;
        }
        let mass: Mass = load.patient.value() + load.litter.value() + attendants + load.carriage.value();
        check_range("load (patient, litter, attendants and carriage together)", mass, 1.0, 2000.0)?;
        check_range("load.hang", load.hang.value(), 0.0, 20.0)?;

        let limits = &site.limits;
        let factor = match limits.factor {
            Some(factor) if factor.is_finite() && (1.0..=100.0).contains(&factor) => factor,
            Some(factor) => {
                return Err(SiteError::new(
                    "limits.factor",
                    format!("is {factor}, but must be from 1 to 100"),
                ));
            }
            None => {
                read.assume(
                    "limits.factor",
                    "least static safety factor of the system: 10",
                    Mark::CommonPractice,
                );
                10.0
            }
        };
        let frame_margin = read.or(
            "limits.frame_margin",
            limits.frame_margin,
            Angle::new::<degree>(5.0),
            "least angle by which the frame stands from tipping",
            Mark::Choice,
            Allowed::Within(0.0, core::f64::consts::FRAC_PI_2),
        )?;
        if let Some(reading) = limits.reading {
            check_range("limits.reading", reading, 1.0, 1e6)?;
        }
        if let Some(reading) = limits.least_reading {
            check_range("limits.least_reading", reading, 1.0, 1e6)?;
        }
        if let Some(current) = limits.current {
            check_range("limits.current", current, 0.1, 1e5)?;
        }
        if let Some(tail) = limits.tail {
            check_range("limits.tail", tail, 1.0, 1e6)?;
        }
        if let Some(pull) = site.capstan.rated_pull {
            check_range("capstan.rated_pull", pull, 1.0, 1e6)?;
        }
        let sheaves = [
            ("far_anchor.sheave", site.far_anchor.sheave),
            ("track.redirect_sheave", track_site.redirect_sheave),
            ("track.head_sheave", track_site.head_sheave),
            ("load.wheel", load.wheel),
            ("haul.head_sheave", site.haul.head_sheave),
            ("haul.tackle_sheave", site.haul.tackle_sheave),
        ];
        for (key, sheave) in sheaves {
            check_sheave(key, sheave)?;
        }
        if let Some(marks) = site.haul.marks {
            check_range("haul.marks", marks, 0.1, 1000.0)?;
        }
        for (key, factor) in limits.factors.given() {
            if !(factor.is_finite() && (1.0..=100.0).contains(&factor)) {
                return Err(SiteError::new(
                    format!("limits.factors.{key}"),
                    format!("is {factor}, but must be from 1 to 100"),
                ));
            }
        }
        let least_litter_height = limits.least_litter_height.unwrap_or(Length::new::<meter>(0.1));
        check_range("limits.least_litter_height", least_litter_height, 0.0, 100.0)?;
        rated::check(&site.ratings)?;
        let line = Line {
            span: far.x - head.x,
            rise: head.z - far.z,
            redirect_efficiency: track_site.redirect_efficiency.map_or(1.0, |given| given.value().value),
            haul_efficiencies: haul_redirects.iter().map(|(_, efficiency)| efficiency.value).collect(),
        };
        let anchors = site.anchors.holds(
            |place| rated::anchor(&site.ratings, place),
            |place| pulls::directions(site, &line, place),
        )?;
        let anything = Allowed::Within(0.0, 100.0);
        let litter_height_limit = read.or(
            "limits.litter_height",
            limits.litter_height,
            Length::new::<foot>(3.0),
            "greatest height of a floating litter above the ground",
            Mark::CommonPractice,
            anything,
        )?;
        let rope_clearance = read.or(
            "limits.rope_clearance",
            limits.rope_clearance,
            metres(0.3),
            "wanted clearance of every rope from the ground, as profiles are good to about so much",
            Mark::Choice,
            Allowed::Within(0.0, 5.0),
        )?;
        let start = read.or(
            "travel.start",
            site.travel.start,
            Length::new::<meter>(2.0),
            "horizontal distance from the far anchor at which the load starts",
            Mark::Choice,
            Allowed::Within(0.01, 1000.0),
        )?;
        let end = read.or(
            "travel.end",
            site.travel.end,
            Length::new::<meter>(2.0),
            "horizontal distance from the head at which the load leaves the track",
            Mark::Choice,
            Allowed::Within(0.01, 1000.0),
        )?;
        let float_from = read.or(
            "travel.float_from",
            site.travel.float_from,
            Length::new::<meter>(10.0),
            "horizontal distance from the far anchor beyond which the litter is to float",
            Mark::Choice,
            Allowed::Within(0.0, 1000.0),
        )?;
        if start.max(float_from) + end >= far.x - head.x {
            return Err(SiteError::new(
                "travel.start",
                format!(
                    "or travel.float_from, and travel.end together are {}, but must be less than the horizontal distance from the head to the far anchor, {}",
                    text::both(start.max(float_from) + end),
                    text::both(far.x - head.x)
                ),
            ));
        }
        let positions = site.travel.positions.unwrap_or(200);
        if !(LEAST_POSITIONS..=MAX_POSITIONS).contains(&positions) {
            return Err(SiteError::new(
                "travel.positions",
                format!("is {positions}, but must be from {LEAST_POSITIONS} to {MAX_POSITIONS}"),
            ));
        }
        if !(site.capstan.wraps.is_finite() && (0.0..=20.0).contains(&site.capstan.wraps)) {
            return Err(SiteError::new(
                "capstan.wraps",
                format!("is {}, but must be from 0 to 20 turns", site.capstan.wraps),
            ));
        }
        if let Some(throw) = site.haul.throw {
            check_range("haul.throw", throw, 0.1, 1000.0)?;
        }

        let unit_range = Allowed::Within(0.0, 1.0);
        let plan = Self {
            base,
            head,
            far,
            track,
            track_strength,
            stretch_behind,
            settling,
            frame,
            haul,
            haul_strength,
            belay: belay_rope,
            far_efficiency: read.efficiency(
                "far_anchor.efficiency",
                site.far_anchor.efficiency,
                "the sheave at the far anchor",
            )?,
            redirect_efficiency: read.efficiency(
                "track.redirect_efficiency",
                track_site.redirect_efficiency,
                "the track rope's redirect",
            )?,
            track_head_efficiency: read.efficiency(
                "track.head_efficiency",
                track_site.head_efficiency,
                "the track rope's sheaves on the head",
            )?,
            haul_head_efficiency: read.efficiency(
                "haul.head_efficiency",
                site.haul.head_efficiency,
                "the haul rope's sheave on the head",
            )?,
            tackle_efficiency: read.efficiency(
                "haul.tackle_efficiency",
                site.haul.tackle_efficiency,
                "the pulleys of the haul tackle",
            )?,
            haul_redirects,
            load: mass,
            ground_friction: read.or(
                "load.ground_friction",
                load.ground_friction,
                Ratio::new::<percent>(40.0),
                "friction of the litter on the ground (10 to 80 %)",
                Mark::Memory,
                unit_range,
            )?,
            wheel_friction: read.or(
                "load.wheel_friction",
                load.wheel_friction,
                Ratio::new::<percent>(2.0),
                "resistance of the carriage's wheel, as a share of the track's tension",
                Mark::Memory,
                Allowed::Within(0.0, 0.2),
            )?,
            capstan_friction: read.or(
                "capstan.friction",
                site.capstan.friction,
                Ratio::new::<percent>(10.0),
                "least friction of the rope on the capstan that it must hold with",
                Mark::Memory,
                unit_range,
            )?,
            factor,
            frame_margin,
            litter_height_limit,
            rope_clearance,
            least_litter_height,
            start,
            end,
            float_from,
            positions: positions as usize,
            on_hand: track_site.on_hand,
            wraps: site.capstan.wraps,
            used,
            ground: site.ground.clone(),
            anchors,
            assumptions: Vec::new(),
        };
        Ok(Self { assumptions: read.assumptions, ..plan })
    }
}

impl SitePlan {
    /// The travel that the study looks at.
    pub(crate) fn travel(&self) -> Travel {
        let (start, end) = (self.far.x - self.start, self.head.x + self.end);
        Travel { floats_from: self.far.x - self.float_from, ..Travel::new(start, end, self.positions) }
    }
}
