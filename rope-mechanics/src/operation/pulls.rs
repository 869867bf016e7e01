//! In which directions the ropes pull at the anchors of a site.
//!
//! Ropes behind the head are straight, so that a cell, a capstan and a winch are pulled in one direction only. A redirect is
//! pulled between those of its two ropes: by how much friction may leave between them. The far anchor is pulled below the
//! straight line to the head, which no rope rises above; how far below changes with the load, and is taken down to 30° below
//! the level.

use super::place::Place;
use super::site::Site;
use crate::geometry::Point3;
use crate::math;
use crate::quantity::{Length, metres};
use crate::sheave::PULLEY;
use alloc::vec::Vec;
use core::f64::consts::FRAC_PI_6;
use nalgebra::Vector3;

/// Directions looked at between the two ropes of a redirect, and of the far anchor.
const BETWEEN: usize = 24;

/// A direction of pull: a unit vector, x outward, y to the left, z up.
pub(crate) type Pull = Vector3<f64>;

fn towards(from: Point3, to: Point3) -> Pull {
    let way = to.si() - from.si();
    let length = math::sqrt(way.norm_squared());
    // Two things at one place pull at each other in no direction.
    if length > 0.0 { way / length } else { Vector3::zeros() }
}

/// How steeply it rises.
pub(crate) fn rise_rad(pull: &Pull) -> f64 {
    math::atan2(pull.z, math::hypot(pull.x, pull.y))
}

/// Of a redirect between two ropes, T₁·u₁ + T₂·u₂ with T₁/T₂ from η to 1/η.
fn between(at: Point3, one: Point3, other: Point3, efficiency: f64) -> impl Iterator<Item = Pull> {
    let (one, other) = (towards(at, one), towards(at, other));
    let most = -math::ln(efficiency.min(PULLEY.low));
    (0..=BETWEEN).filter_map(move |i| {
        let ratio = math::exp(most * (2.0 * i as f64 / BETWEEN as f64 - 1.0));
        let pull = one * ratio + other;
        let size = math::sqrt(pull.norm_squared());
        (size > 1e-6).then(|| pull / size)
    })
}

/// Every direction in which the anchor at a place may be pulled; for the redirects of the haul rope, those of all of them.
pub(crate) fn directions(site: &Site, line: &Line, place: Place) -> Vec<Pull> {
    let head = Point3::new(metres(0.0), metres(0.0), site.frame.height.value());
    let (track, haul) = (&site.track, &site.haul);
    let last = haul.redirects.last().map_or(head, |redirect| redirect.at);
    let one = |pull: Pull| [pull].into_iter().collect();
    match place {
        Place::Cell => one(towards(track.cell_anchor, head)),
        Place::Capstan => one(towards(site.capstan.at, track.redirect)),
        Place::Tackle | Place::Winch => one(towards(haul.winch, last)),
        Place::TrackRedirect => {
            between(track.redirect, head, site.capstan.at, line.redirect_efficiency).collect()
        }
        Place::HaulRedirect(_) => {
            let mut path: Vec<Point3> = [head].into_iter().collect();
            path.extend(haul.redirects.iter().map(|redirect| redirect.at));
            path.push(haul.winch);
            let turns = path.windows(3).zip(&line.haul_efficiencies);
            turns
                .flat_map(|(way, efficiency)| match way {
                    [before, at, after] => between(*at, *before, *after, *efficiency).collect(),
                    _ => Vec::new(),
                })
                .collect()
        }
        Place::Far => {
            // Towards the head, x inward.
            let chord = math::atan2(line.rise.value, line.span.value);
            let least = (-FRAC_PI_6).min(chord);
            (0..=BETWEEN)
                .map(|i| least + (chord - least) * i as f64 / BETWEEN as f64)
                .map(|rise| Vector3::new(-math::cos(rise), 0.0, math::sin(rise)))
                .collect()
        }
        _ => Vec::new(),
    }
}

/// The least and the greatest rise of these.
pub(crate) fn rises(pulls: &[Pull]) -> [f64; 2] {
    let of = pulls.iter().map(rise_rad);
    of.fold([f64::INFINITY, f64::NEG_INFINITY], |[a, b], rise| [a.min(rise), b.max(rise)])
}

/// The straight line from the far anchor's sheave to the head, and what the redirects lose.
#[derive(Debug, Clone)]
pub(crate) struct Line {
    pub(crate) span: Length,
    pub(crate) rise: Length,
    /// Of the track rope's redirect, and of those of the haul rope.
    pub(crate) redirect_efficiency: f64,
    pub(crate) haul_efficiencies: Vec<f64>,
}
