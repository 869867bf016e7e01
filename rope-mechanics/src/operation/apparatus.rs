//! The rig of a plan: what the solution of every position shares.

use super::plan::{SiteError, SitePlan};
use super::site::{self, Site};
use crate::carriage::{HaulRope, Held, Load, Track};
use crate::frame::{Frame, Guy, Leg};
use crate::geometry::{Direction3, Piece, Point2, Point3};
use crate::haul::{HaulRedirect, LoadPull, Route};
use crate::motion::Motion;
use crate::quantity::{Force, Length, LineWeight, Ratio, metres, weight_of};
use crate::reeving::{DoubledTrack, DoubledTrackPlaces, DoubledTrackTurns};
use crate::sheave::Turn;
use crate::tackle::{Layout, Tackle, TackleError, Usual, UsualRatio};
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
    pub(crate) haul_turns: Vec<(Point3, Turn)>,
    route: Route,
    straight: Tackle,
    pub(crate) tackle: Tackle,
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

/// The route of the haul rope without its redirects, and the tackle in it, straight and as the site file has it.
fn tackle(site: &Site, plan: &SitePlan) -> Result<(Route, Tackle, Tackle), SiteError> {
    let key = "haul.tackle";
    let ratio = match site.haul.tackle {
        site::TackleKind::Straight => UsualRatio::OneToOne,
        site::TackleKind::TwoToOne => UsualRatio::TwoToOne,
        site::TackleKind::ThreeToOne => UsualRatio::ThreeToOne,
    };
    let fail = |why: TackleError| SiteError::new(key, why.to_string());
    let pulley = sheave("haul.tackle_efficiency", plan.tackle_efficiency)?;
    // The forces don't depend on where its pulleys stand: any room will do.
    let layout = Layout::new(metres(10.0), metres(1.0)).map_err(|why| SiteError::at(key, why))?;
    let build = |ratio| Usual::new(ratio).build_alike(&layout, pulley).map_err(fail);
    Ok((Route::new(layout, pulley), build(UsualRatio::OneToOne)?, build(ratio)?))
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

        let mut haul_turns = alloc::vec![(head, haul_head_turn)];
        for (i, (at, efficiency)) in plan.haul_redirects.iter().enumerate() {
            haul_turns.push((*at, sheave(&format!("haul.redirects[{i}].efficiency"), *efficiency)?));
        }
        for (i, pair) in haul_turns
            .iter()
            .map(|turn| turn.0)
            .chain([site.haul.winch])
            .collect::<Vec<_>>()
            .windows(2)
            .enumerate()
        {
            if let [a, b] = pair {
                Direction3::between(*a, *b).map_err(|_| {
                    SiteError::new(
                        format!("haul.redirects[{i}].at"),
                        "stands where the haul rope already is: move it, or leave it out",
                    )
                })?;
            }
        }

        let (route, straight, tackle) = tackle(site, plan)?;
        let chord = metres(crate::math::hypot(
            plan.far.x.value - plan.head.x.value,
            plan.far.z.value - plan.head.z.value,
        ));
        let beside = 0.5 * chord.value * (plan.haul.weight().value + plan.belay_weight.value);
        Ok(Self {
            plan,
            site,
            weight: weight_of(plan.load) + crate::quantity::newtons(beside),
            litter_weight: weight_of(plan.load - site.load.carriage),
            head,
            reeving,
            track_head_turn,
            far_turn,
            haul_head_turn,
            frame,
            track_weight: 2.0 * plan.track.weight(),
            haul_turns,
            route,
            straight,
            tackle,
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

    /// The haul rope over the head and its redirects, with and without the tackle, hauling.
    pub(crate) fn haul_line(&self, carriage: Point2, pull: Force) -> Result<HaulLine, TackleError> {
        let mut before = self.seen_from_base(carriage);
        let mut redirects = Vec::with_capacity(self.haul_turns.len());
        let mut behind_head = pull;
        for (i, (at, turn)) in self.haul_turns.iter().enumerate() {
            let next = self.haul_turns.get(i + 1).map_or(self.site.haul.winch, |turn| turn.0);
            let angle = Direction3::between(before, *at)?.angle_to(Direction3::between(*at, next)?);
            if i == 0 {
                behind_head = pull * turn.band(angle)?.high;
            }
            redirects.push(HaulRedirect::new(*turn, angle)?);
            before = *at;
        }
        let route = self.route.clone().with_before(&redirects)?;
        let pull = LoadPull::steady(pull)?;
        let straight = route.haul_with(self.straight.clone());
        let tackled = route.haul_with(self.tackle.clone()).forces(pull)?;
        let mut on: Vec<Force> = straight.redirects(pull)?.map(|on| on.hauling).collect();
        Ok(HaulLine {
            behind_head,
            straight: straight.forces(pull)?.hauling,
            winch: tackled.hauling,
            highest: tackled.highest,
            on_head: if on.is_empty() { Force::default() } else { on.remove(0) },
            redirects: on,
            tackle_anchor: tackled.anchor,
        })
    }

    /// Where the haul rope goes behind the head.
    pub(crate) fn behind_head(&self) -> Point3 {
        self.haul_turns.get(1).map_or(self.site.haul.winch, |turn| turn.0)
    }
}
