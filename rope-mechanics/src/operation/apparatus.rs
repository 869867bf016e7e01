//! The rig of a plan: what the solution of every position shares.

use super::plan::{SiteError, SitePlan};
use super::site::{self, Site};
use crate::carriage::{HaulRope, Held, Load, Track};
use crate::frame::{Frame, Guy, Leg};
use crate::geometry::{Direction3, Piece, Point2, Point3};
use crate::haul::{HaulRedirect, LoadPull, Route};
use crate::motion::Motion;
use crate::quantity::{Force, Length, LineWeight, Ratio, metres, newtons, weight_of};
use crate::reeving::{DoubledTrack, DoubledTrackPlaces, DoubledTrackTurns, Redirect};
use crate::sheave::Turn;
use crate::tackle::{Layout, TackleError, Usual, UsualRatio};
use alloc::format;
use alloc::string::ToString;
use alloc::vec::Vec;

/// Everything at the apparatus, from the point of the ground below the head, and what the load hangs on.
#[derive(Debug, Clone)]
pub(crate) struct Apparatus<'a> {
    pub(crate) plan: &'a SitePlan,
    pub(crate) site: &'a Site,
    /// The carriage with everything that hangs on it and half of the ropes to it.
    pub(crate) weight: Force,
    /// What hangs under the carriage: litter, patient and attendants.
    pub(crate) litter_weight: Force,
    pub(crate) head: Point3,
    pub(crate) reeving: DoubledTrack,
    /// The turns that the frame feels: the track rope's on the head and at the far anchor, the haul rope's on the head.
    pub(crate) track_head_turn: Turn,
    pub(crate) far_turn: Turn,
    pub(crate) haul_head_turn: Turn,
    pub(crate) frame: Frame,
    pub(crate) track_weight: LineWeight,
    /// Where the haul rope goes behind the head.
    pub(crate) behind_head: Point3,
    behind: BehindHead,
    /// Rope hauled in at the winch by way of the load.
    pub(crate) velocity_ratio: Ratio,
}

/// What is behind the head in the haul rope while it hauls, as shares of its tension behind the head.
///
/// Every turn and every pulley passes on a share of the tension, so that all forces behind the head are
/// proportional to it; nothing there moves with the load.
#[derive(Debug, Clone)]
struct BehindHead {
    straight: f64,
    winch: f64,
    highest: f64,
    redirects: Vec<f64>,
    tackle_anchor: f64,
}

/// The load on its line, moving one way: friction at the carriage's wheels and under the litter acts against it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Way {
    pub(crate) held: Held,
    pub(crate) motion: Motion,
}

/// Hauled, without friction, and lowered: what friction leaves lies between the first and the last.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Ways {
    pub(crate) hauling: Way,
    pub(crate) at_rest: Way,
    pub(crate) lowering: Way,
}

/// The haul rope behind the head, for one pull at the carriage, hauling.
#[derive(Debug, Clone)]
pub(crate) struct HaulLine {
    /// Tension between the head and the first redirect.
    pub(crate) behind_head: Force,
    /// Pull at the winch without the tackle.
    pub(crate) straight: Force,
    /// Pull at the winch with it.
    pub(crate) winch: Force,
    /// Highest tension of any rope on the way.
    pub(crate) highest: Force,
    /// Force on its sheave at the head.
    pub(crate) on_head: Force,
    /// Force on each redirect behind the head.
    pub(crate) redirects: Vec<Force>,
    /// Force on the most loaded anchor of the tackle.
    pub(crate) tackle_anchor: Force,
}

/// The haul rope behind the head, from its first redirect by the tackle to the winch; and the tackle's velocity ratio.
fn behind_head(site: &Site, plan: &SitePlan, head: Point3) -> Result<(BehindHead, Ratio), SiteError> {
    let mut places = alloc::vec![head];
    places.extend(plan.haul_redirects.iter().map(|(at, _)| *at));
    places.push(site.haul.winch);
    let mut redirects = Vec::with_capacity(plan.haul_redirects.len());
    let key = |i: usize, part: &str| format!("haul.redirects[{i}].{part}");
    let along = |i: usize| match places.get(i..i + 2) {
        Some([a, b]) => Direction3::between(*a, *b).map_err(|_| {
            SiteError::new(key(i, "at"), "stands where the haul rope already is: move it, or leave it out")
        }),
        _ => Err(SiteError::new("haul.winch", "has no rope to it")),
    };
    let mut before = along(0)?;
    for (i, (_, efficiency)) in plan.haul_redirects.iter().enumerate() {
        let behind = along(i + 1)?;
        let turn = sheave(&key(i, "efficiency"), *efficiency)?;
        let redirect = HaulRedirect::new(turn, before.angle_to(behind));
        redirects.push(redirect.map_err(|why| SiteError::at(key(i, "at"), why))?);
        before = behind;
    }

    let fail = |why: TackleError| SiteError::new("haul.tackle", why.to_string());
    let pulley = sheave("haul.tackle_efficiency", plan.tackle_efficiency)?;
    // The forces don't depend on where its pulleys stand: any room will do.
    let layout = Layout::new(metres(10.0), metres(1.0)).map_err(|why| SiteError::at("haul.tackle", why))?;
    let route = Route::new(layout, pulley)
        .with_before(&redirects)
        .map_err(|why| SiteError::new("haul.redirects", why.to_string()))?;
    let ratio = match site.haul.tackle {
        site::TackleKind::Straight => UsualRatio::OneToOne,
        site::TackleKind::TwoToOne => UsualRatio::TwoToOne,
        site::TackleKind::ThreeToOne => UsualRatio::ThreeToOne,
    };
    let one = LoadPull::steady(newtons(1.0)).map_err(|why| SiteError::at("haul", why))?;
    let straight = route.haul(Usual::new(UsualRatio::OneToOne)).map_err(fail)?;
    let tackled = route.haul(Usual::new(ratio)).map_err(fail)?;
    let forces = tackled.forces(one).map_err(fail)?;
    let behind = BehindHead {
        straight: straight.forces(one).map_err(fail)?.hauling.value,
        winch: forces.hauling.value,
        highest: forces.highest.value,
        redirects: straight.redirects(one).map_err(fail)?.map(|on| on.hauling.value).collect(),
        tackle_anchor: forces.anchor.value,
    };
    Ok((behind, tackled.tackle().velocity_ratio()))
}

fn sheave(key: &str, efficiency: Ratio) -> Result<Turn, SiteError> {
    Turn::sheave(efficiency).map_err(|why| SiteError::at(key, why))
}

impl<'a> Apparatus<'a> {
    pub(crate) fn new(site: &'a Site, plan: &'a SitePlan) -> Result<Self, SiteError> {
        let head = Point3::new(metres(0.0), metres(0.0), site.frame.height);
        let track_head_turn = sheave("track.head_efficiency", plan.track_head_efficiency)?;
        let far_turn = sheave("far_anchor.efficiency", plan.far_efficiency)?;
        let haul_head_turn = sheave("haul.head_efficiency", plan.haul_head_efficiency)?;
        let reeving = DoubledTrack::new(
            DoubledTrackPlaces {
                capstan: site.capstan.at,
                redirect: site.track.redirect,
                head,
                far_sheave: Point3::new(plan.far.x - plan.head.x, metres(0.0), plan.far.z - plan.base.z),
                anchor: site.track.cell_anchor,
            },
            DoubledTrackTurns {
                redirect: sheave("track.redirect_efficiency", plan.redirect_efficiency)?,
                frame: Some(track_head_turn),
                far_sheave: far_turn,
            },
        )
        .map_err(|why| SiteError::new("track (redirect, cell_anchor) and capstan.at", why.to_string()))?;

        let legs = site
            .frame
            .feet
            .iter()
            .enumerate()
            .map(|(i, foot)| Leg::new(*foot).map_err(|why| SiteError::at(format!("frame.feet[{i}]"), why)))
            .collect::<Result<Vec<_>, _>>()?;
        let guys = site
            .frame
            .guys
            .iter()
            .enumerate()
            .map(|(i, anchor)| {
                Guy::new(*anchor).map_err(|why| SiteError::at(format!("frame.guys[{i}]"), why))
            })
            .collect::<Result<Vec<_>, _>>()?;
        let frame = Frame::new(head, &legs, &guys)
            .map_err(|why| SiteError::new("frame.feet or frame.guys", why.to_string()))?;

        let (behind, velocity_ratio) = behind_head(site, plan, head)?;
        let chord = metres(crate::math::hypot(
            plan.far.x.value - plan.head.x.value,
            plan.far.z.value - plan.head.z.value,
        ));
        let beside = 0.5 * chord.value * (plan.haul.weight().value + plan.belay_weight.value);
        Ok(Self {
            plan,
            site,
            weight: weight_of(plan.load) + newtons(beside),
            litter_weight: weight_of(plan.load - site.load.carriage),
            head,
            reeving,
            track_head_turn,
            far_turn,
            haul_head_turn,
            frame,
            track_weight: 2.0 * plan.track.weight(),
            behind_head: plan.haul_redirects.first().map_or(site.haul.winch, |redirect| redirect.0),
            behind,
            velocity_ratio,
        })
    }

    /// The track line with this unstretched length of each strand.
    pub(crate) fn track(&self, length: Length) -> Result<Track, SiteError> {
        let plan = self.plan;
        let stretch = plan.track.stretch().strands(2).map_err(|why| SiteError::at("track.rope", why))?;
        Track::new(plan.head, plan.far, length, self.track_weight, stretch)
            .map_err(|why| SiteError::at("track", why))
    }

    /// The load held on that line by the haul rope, moving this way.
    pub(crate) fn way(&self, track: Track, motion: Motion) -> Result<Way, SiteError> {
        let load = Load::new(self.weight)
            .and_then(|load| load.with_wheel_friction(self.plan.wheel_friction, motion))
            .map_err(|why| SiteError::at("load", why))?;
        let haul = HaulRope::new(self.plan.head).map_err(|why| SiteError::at("frame.x", why))?;
        Ok(Way { held: Held::new(track, load, haul), motion })
    }

    /// The three ways in which the load may have come to where it is.
    pub(crate) fn ways(&self, track: Track) -> Result<Ways, SiteError> {
        Ok(Ways {
            hauling: self.way(track, Motion::Hauling)?,
            at_rest: self.way(track, Motion::AtRest)?,
            lowering: self.way(track, Motion::Lowering)?,
        })
    }

    pub(crate) fn ground_at(&self, x_m: f64) -> Result<f64, SiteError> {
        Piece::at(&self.plan.ground, x_m)
            .map(|piece| piece.height_m(x_m))
            .ok_or_else(|| SiteError::new("ground", format!("does not reach x = {x_m} m: extend it")))
    }

    /// The slope of the ground, dz/dx.
    pub(crate) fn ground_slope(&self, x_m: f64) -> f64 {
        Piece::at(&self.plan.ground, x_m).map_or(0.0, |piece| piece.slope())
    }

    /// A point of the plane of the line, seen from the base of the frame.
    pub(crate) fn seen_from_base(&self, point: Point2) -> Point3 {
        Point3::new(point.x - self.plan.base.x, metres(0.0), point.z - self.plan.base.z)
    }

    /// The haul rope over the head and behind it, hauling.
    pub(crate) fn haul_line(&self, carriage: Point2, pull: Force) -> Result<HaulLine, SiteError> {
        let fail = |why| SiteError::at("haul.redirects", why);
        let to_load = Direction3::between(self.head, self.seen_from_base(carriage)).map_err(fail)?;
        let to_winch = Direction3::between(self.head, self.behind_head).map_err(fail)?;
        let on_head = Redirect::new(self.haul_head_turn, to_load, to_winch)
            .load(pull, Motion::Hauling)
            .map_err(fail)?;
        let behind_head = on_head.pull.high;
        let behind = &self.behind;
        Ok(HaulLine {
            behind_head,
            straight: behind_head * behind.straight,
            winch: behind_head * behind.winch,
            highest: pull.max(behind_head * behind.highest),
            on_head: on_head.load,
            redirects: behind.redirects.iter().map(|share| behind_head * *share).collect(),
            tackle_anchor: behind_head * behind.tackle_anchor,
        })
    }
}
