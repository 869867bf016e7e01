//! From the site file's `[changeover]` to its numbers, with its defaults listed.

use super::found::{LitterSize, PulledInBy};
use super::litter::{LitterBody, LitterLies, edge};
use super::swing::PullsIn;
use super::under::BelayWay;
use crate::error::{self, Checked};
use crate::geometry::{Piece, Point2, Point3};
use crate::operation::plan::{SiteError, SitePlan, check_place, check_range};
use crate::operation::site::{LitterWay, PullingIn, Site, SiteChangeover};
use crate::operation::study::Assumption;
use crate::quantity::{Length, Mark, Ratio, metres, radians, ratio};
use crate::sheave::{PULLEY, Turn};
use crate::text::{self, Text};
use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec::Vec;

/// How the load is to be taken over, checked.
#[derive(Debug, Clone)]
pub(crate) struct Setup {
    /// Whether the site file says anything of it.
    pub(super) given: bool,
    pub(super) litter: LitterBody,
    pub(super) size: LitterSize,
    /// Where the ground begins to fall, in the ground's axes.
    pub(super) edge: Point2,
    /// Asked for; else the most that clears the edge.
    pub(super) rope: Option<Length>,
    pub(super) least_rope: Length,
    pub(super) clearance_m: f64,
    /// Inside the edge, by the outer end of the litter.
    pub(super) inside: Length,
    pub(super) pulled_in_by: PulledInBy,
    pub(super) pulls: PullsIn,
    pub(super) belay: BelayWay,
}

/// Collects what is assumed.
struct Reader(Vec<Assumption>);

impl Reader {
    fn assume(&mut self, key: &str, text: String, mark: Mark) {
        self.0.push(Assumption { key: format!("changeover.{key}"), text, mark });
    }

    fn length(&mut self, key: &str, given: Option<Length>, default_m: f64, what: &str, mark: Mark) -> Length {
        given.unwrap_or_else(|| {
            self.assume(key, said(what, metres(default_m)), mark);
            metres(default_m)
        })
    }
}

fn said<Q: Text>(what: &str, value: Q) -> String {
    format!("{what}: {}", text::both(value))
}

fn at(key: &str) -> impl FnOnce(error::InputError) -> SiteError + '_ {
    move |why| SiteError::at(format!("changeover.{key}"), why)
}

fn in_range<Q: Checked>(key: &str, value: Q, lo: f64, hi: f64) -> Result<(), SiteError> {
    check_range(&format!("changeover.{key}"), value, lo, hi)
}

impl Setup {
    /// The numbers, and what is assumed for the keys that are left out.
    pub(crate) fn new(site: &Site, plan: &SitePlan) -> Result<(Self, Vec<Assumption>), SiteError> {
        let keys = &site.changeover;
        let mut read = Reader(Vec::new());
        let (size, litter) = litter(site, &mut read)?;

        if let Some(rope) = keys.rope {
            in_range("rope", rope, 0.01, 100.0)?;
        }
        let what = "haul rope that carriage and connectors need below the head at least";
        let least_rope = read.length("least_rope", keys.least_rope, 0.5, what, Mark::Choice);
        in_range("least_rope", least_rope, 0.01, 50.0)?;
        let what = "wanted clearance of the litter from the ground and the frame while it is taken over";
        let clearance = read.length("clearance", keys.clearance, 0.15, what, Mark::Choice);
        in_range("clearance", clearance, 0.0, 5.0)?;
        let what = "the litter is set down with its outer end so far inside the edge";
        let inside = read.length("inside", keys.inside, 0.5, what, Mark::Choice);
        in_range("inside", inside, 0.0, 50.0)?;
        let edge = match keys.edge {
            Some(x) => {
                let piece = Piece::at(&site.ground, x.value).ok_or_else(|| {
                    let problem = "lies where the ground profile does not reach: extend `ground`";
                    SiteError::new("changeover.edge", problem)
                })?;
                Point2::new(x, metres(piece.height_m(x.value)))
            }
            None => {
                let found = edge(&site.ground, plan.base);
                let edge = found.unwrap_or(plan.base);
                let text = match found {
                    Some(edge) => {
                        said("the edge is where the ground begins to fall by more than 30°, at x", edge.x)
                    }
                    None => said(
                        "the ground falls by more than 30° nowhere: the edge is below the head, at x",
                        edge.x,
                    ),
                };
                read.assume("edge", text, Mark::Choice);
                edge
            }
        };
        let pull = pull(site, &mut read)?;
        let setup = Self {
            given: *keys != SiteChangeover::default(),
            litter,
            size,
            edge,
            rope: keys.rope,
            least_rope,
            clearance_m: clearance.value,
            inside,
            pulled_in_by: pull.0,
            pulls: pull.1,
            belay: pull.2,
        };
        Ok((setup, read.0))
    }
}

/// The litter as a body, which way its long side lies on its way up, and what is assumed of it.
pub(crate) fn litter_on_the_way(site: &Site) -> Result<(LitterLies, LitterBody, Vec<Assumption>), SiteError> {
    let mut read = Reader(Vec::new());
    let (size, body) = litter(site, &mut read)?;
    Ok((size.comes, body, read.0))
}

fn litter(site: &Site, read: &mut Reader) -> Result<(LitterSize, LitterBody), SiteError> {
    let keys = &site.changeover;
    let length = read.length("litter_length", keys.litter_length, 2.1, "length of the litter", Mark::Memory);
    let width = read.length("litter_width", keys.litter_width, 0.6, "width of the litter", Mark::Memory);
    let what = "from the underside of the litter to the top of who lies in it";
    let depth = read.length("litter_depth", keys.litter_depth, 0.4, what, Mark::Memory);
    let tilt = keys.litter_tilt.unwrap_or_else(|| radians(0.0));
    let (comes, lies) = match keys.litter_lies {
        Some(LitterWay::Along) => (LitterLies::Along, LitterLies::Along),
        Some(LitterWay::Across) => (LitterLies::Across, LitterLies::Across),
        None => {
            let text = "the litter comes up across the slope, and is turned with its long side outward as soon as it clears the edge so, to pass between the legs";
            read.assume("litter_lies", text.to_string(), Mark::Choice);
            (LitterLies::Across, LitterLies::Along)
        }
    };
    for (key, side) in [("litter_length", length), ("litter_width", width), ("litter_depth", depth)] {
        in_range(key, side, 0.01, 10.0)?;
    }
    let body = LitterBody::new(length, width, depth, lies)
        .and_then(|body| body.with_tilt(tilt))
        .map_err(at("litter_tilt"))?;
    Ok((LitterSize { length, width, depth, tilt, comes, lies }, body))
}

/// What pulls the litter in.
fn pull(site: &Site, read: &mut Reader) -> Result<(PulledInBy, PullsIn, BelayWay), SiteError> {
    let keys = &site.changeover;
    // Whether or not the rope turns there.
    if let Some(efficiency) = keys.pull_efficiency {
        in_range("pull_efficiency", efficiency, 0.3, 1.0)?;
    }
    let over_head = if site.belay.is_some() { BelayWay::OverHead } else { BelayWay::None };
    let hands = (PulledInBy::Hands, PullsIn::Hands, over_head);
    let from = match (&site.belay, keys.pulled_in_by) {
        (_, Some(PullingIn::Hands)) => {
            if keys.pull_from.is_some() {
                let problem = "says from where the belay rope pulls, but pulled_in_by is \"hands\": leave out one of both";
                return Err(SiteError::new("changeover.pull_from", problem));
            }
            return Ok(hands);
        }
        (None, Some(PullingIn::Belay)) => {
            let problem = "is \"belay\", but there is no [belay]: add it, or write \"hands\"";
            return Err(SiteError::new("changeover.pulled_in_by", problem));
        }
        (None, None) => {
            if keys.pull_from.is_some() {
                let problem = "says from where the belay rope pulls, but there is no [belay]";
                return Err(SiteError::new("changeover.pull_from", problem));
            }
            let text =
                "without a belay rope people pull the litter in by hand, and it hangs on the haul rope alone";
            read.assume("pulled_in_by", text.to_string(), Mark::Choice);
            return Ok(hands);
        }
        (Some(belay), asked) => {
            let from = keys.pull_from.unwrap_or(belay.device);
            let behind = from.x.value < 0.0;
            if asked.is_none() && keys.pull_from.is_none() && !behind {
                let text = "the belay's device doesn't stand behind the head: people pull the litter in by hand, and the belay rope stays over the head";
                read.assume("pulled_in_by", text.to_string(), Mark::Choice);
                return Ok(hands);
            }
            if !behind {
                let key = if keys.pull_from.is_some() { "changeover.pull_from" } else { "belay.device" };
                let problem = format!(
                    "its x of {} must be below 0: a rope pulls the litter in from behind the head only",
                    text::both(from.x)
                );
                return Err(SiteError::new(key, problem));
            }
            if asked.is_none() {
                let text = "the belay rope comes off the head while track and haul rope hold the load, and pulls the litter in straight from behind";
                read.assume("pulled_in_by", text.to_string(), Mark::Choice);
            }
            check_place("changeover.pull_from", from)?;
            (from, belay.device)
        }
    };
    let (place, device) = from;
    let turn = if place == device {
        Turn::FRICTIONLESS
    } else {
        let efficiency = keys.pull_efficiency.unwrap_or_else(|| {
            let what =
                "efficiency over half a turn of the sheave from which the belay rope pulls the litter in";
            let default = ratio(PULLEY.expected);
            read.assume("pull_efficiency", said::<Ratio>(what, default), Mark::Read("Delaney 2022"));
            default
        });
        Turn::sheave(efficiency).map_err(at("pull_efficiency"))?
    };
    if keys.pull_from.is_none() {
        read.assume(
            "pull_from",
            format!("the belay rope pulls the litter in straight from its device, at {}", placed(place)),
            Mark::Choice,
        );
    }
    Ok((PulledInBy::Belay, PullsIn::RopeFrom(place), BelayWay::From { place, turn, device }))
}

fn placed(place: Point3) -> String {
    let [x, y, z] = [place.x, place.y, place.z].map(|part| text::si(part).to_string());
    format!("[{x}, {y}, {z}] from the base of the frame")
}
