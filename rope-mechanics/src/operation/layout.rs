//! Where things stand, and which way the ropes pull on them: what a crew needs to set up.

use super::plan::SitePlan;
use super::site::Site;
use super::study::PlaceAtApparatus;
use crate::geometry::{Direction3, Point3};
use crate::math;
use crate::quantity::{Angle, Length, metres, radians};
use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec::Vec;
use serde::Serialize;

/// What stands where, and the ropes between.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct PlanView {
    /// Everything that a rope or the frame is fastened to, from the frame's feet to the far anchor.
    pub places: Vec<PlanPlace>,
    /// The ropes as the study counts them, straight from place to place, the track's two strands on their chord.
    pub ropes: Vec<RopeWay>,
}

/// Something that stands on the ground.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct PlanPlace {
    /// What it is.
    pub kind: PlaceKind,
    /// The same in words: "haul redirect 1".
    pub name: String,
    /// Where, from the point of the ground below the head.
    pub at: PlaceAtApparatus,
    /// Horizontal distance from there.
    #[serde(rename = "distance_m")]
    pub distance: Length,
    /// Which way the ropes pull on it. Absent for a foot.
    pub pull: Option<PlanPull>,
}

/// Which way ropes pull on a place: the sum of their directions there, each taken as equally tight. Friction turns it
/// a little towards the tighter one.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct PlanPull {
    /// Seen from above, from outward towards the left; from −180° to 180°.
    #[serde(rename = "azimuth_rad")]
    pub azimuth: Angle,
    /// Above the horizontal.
    #[serde(rename = "elevation_rad")]
    pub elevation: Angle,
}

/// Kinds of places.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum PlaceKind {
    /// A foot of the frame.
    Foot,
    /// The anchor of a guy.
    Guy,
    /// The capstan of the track rope.
    Capstan,
    /// The redirect of the track rope beside the frame.
    TrackRedirect,
    /// The anchor behind the load cell.
    LoadCell,
    /// A redirect of the haul rope.
    HaulRedirect,
    /// The haul winch.
    HaulWinch,
    /// The device of the belay rope.
    BelayDevice,
    /// The far anchor's sheave.
    FarAnchor,
}

/// A rope from place to place.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct RopeWay {
    /// What it is, in words: "haul rope".
    pub name: String,
    /// Its corners, from the point of the ground below the head.
    pub corners: Vec<PlaceAtApparatus>,
}

impl PlanView {
    pub(crate) fn new(site: &Site, plan: &SitePlan) -> Self {
        let from_base =
            |x: Length, z: Length| Point3 { x: x - plan.base.x, y: metres(0.0), z: z - plan.base.z };
        let head = from_base(plan.head.x, plan.head.z);
        let far = from_base(plan.far.x, plan.far.z);
        let (capstan, redirect, cell) = (site.capstan.at, site.track.redirect, site.track.cell_anchor);

        let mut places = Vec::new();
        let mut add = |kind, name: String, at: Point3, to: &[Point3]| {
            places.push(PlanPlace {
                kind,
                name,
                at: at.into(),
                distance: metres(math::hypot(at.x.value, at.y.value)),
                pull: pull(at, to),
            });
        };
        for (i, foot) in site.frame.feet.iter().enumerate() {
            add(PlaceKind::Foot, format!("foot {}", i + 1), *foot, &[]);
        }
        for (i, guy) in site.frame.guys.iter().enumerate() {
            add(PlaceKind::Guy, format!("guy {}", i + 1), *guy, &[head]);
        }
        add(PlaceKind::Capstan, "capstan".to_string(), capstan, &[redirect]);
        add(PlaceKind::TrackRedirect, "track redirect".to_string(), redirect, &[capstan, head]);
        add(PlaceKind::LoadCell, "load cell".to_string(), cell, &[head]);
        let haul: Vec<Point3> = core::iter::once(head)
            .chain(site.haul.redirects.iter().map(|redirect| redirect.at))
            .chain([site.haul.winch])
            .collect();
        for (i, way) in haul.windows(3).enumerate() {
            if let [before, at, after] = way {
                add(PlaceKind::HaulRedirect, format!("haul redirect {}", i + 1), *at, &[*before, *after]);
            }
        }
        if let [.., before, winch] = haul.as_slice() {
            add(PlaceKind::HaulWinch, "haul winch".to_string(), *winch, &[*before]);
        }
        if let Some(belay) = &site.belay {
            add(PlaceKind::BelayDevice, "belay device".to_string(), belay.device, &[head]);
        }
        add(PlaceKind::FarAnchor, "far anchor".to_string(), far, &[head]);

        let rope = |name: &str, corners: &[Point3]| RopeWay {
            name: name.to_string(),
            corners: corners.iter().copied().map(Into::into).collect(),
        };
        let mut ropes = alloc::vec![
            rope("track rope", &[capstan, redirect, head, far, head, cell]),
            rope("haul rope", &haul)
        ];
        ropes.extend(site.belay.as_ref().map(|belay| rope("belay rope", &[head, belay.device])));
        ropes.extend(
            site.frame.guys.iter().enumerate().map(|(i, guy)| rope(&format!("guy {}", i + 1), &[head, *guy])),
        );
        Self { places, ropes }
    }
}

/// Σ uᵢ of the unit vectors along the ropes.
fn pull(at: Point3, to: &[Point3]) -> Option<PlanPull> {
    let sum = to
        .iter()
        .filter_map(|to| Direction3::between(at, *to).ok())
        .map(Direction3::unit)
        .reduce(|sum, next| sum + next)?;
    let level = math::hypot(sum.x, sum.y);
    // Two ropes that pull against each other leave no direction.
    (math::hypot(level, sum.z) > 1e-9).then(|| PlanPull {
        azimuth: radians(math::atan2(sum.y, sum.x)),
        elevation: radians(math::atan2(sum.z, level)),
    })
}
