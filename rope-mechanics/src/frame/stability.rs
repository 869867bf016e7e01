//! How far the resultant is from tipping the frame.
//!
//! The frame stands under every resultant whose opposite lies in the cone of its members: legs that push, guys
//! that pull. A side of that cone is a plane through the head and two members; through it the frame tips over the
//! line between their two ends on the ground.

use super::legs_and_guys::Members;
use super::{Frame, quotient};
use crate::math;
use crate::quantity::{Angle, Length, Ratio, metres, radians, ratio};
use arrayvec::ArrayVec;
use core::f64::consts::PI;
use core::fmt;
use nalgebra::Vector3;

/// A leg or a guy, by its place in its list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
pub enum FrameMember {
    /// The foot of a leg.
    Leg(usize),
    /// The anchor of a guy.
    Guy(usize),
}

impl fmt::Display for FrameMember {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Leg(index) => write!(f, "legs[{index}]"),
            Self::Guy(index) => write!(f, "guys[{index}]"),
        }
    }
}

/// A line on the ground over which a frame tips: between two feet, or a foot and the anchor of a guy.
///
/// Both ends are the same where a frame falls over a single point, in the plane of all its members.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Edge {
    /// One end.
    pub from: FrameMember,
    /// The other.
    pub to: FrameMember,
}

/// How far a frame stands from tipping.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Stability {
    /// The angle between the resultant and the nearest plane through the head over which the frame tips.
    ///
    /// Positive inside; zero on the edge, as for a bipod without guys or a frame without load; negative where it
    /// falls. 180° if no resultant tips it.
    pub margin: Angle,
    /// The lever arm of the resultant about the edge, which is the distance of the edge from the head times the
    /// sine of the margin. Times the resultant it is the moment that holds the frame down.
    pub lever: Option<Length>,
    /// The line over which it tips first.
    pub edge: Option<Edge>,
    /// Horizontal by vertical part of the resultant; `None` unless it points downwards, by more than a number can hold.
    pub lateral: Option<Ratio>,
    /// The value of `lateral` at which the frame tips towards the side where the resultant leans; for a plumb
    /// resultant, the least of all sides. Infinite if it never tips that way; `None` if it doesn't stand whatever
    /// the value.
    pub tip_limit: Option<Ratio>,
}

/// A side of the cone: its inward normal, and the two members it goes through.
#[derive(Debug, Clone, Copy)]
pub(super) struct ConeSide {
    pub(super) inward: Vector3<f64>,
    members: (usize, usize),
}

/// Members closer to a plane than this, as a sine, lie in it: some thousand roundings of a unit vector.
pub(super) const IN_PLANE: f64 = 1e-12;
/// Members closer in direction than this span no plane.
const SAME_DIRECTION: f64 = 1e-9;

/// Calls `f` for each side of the cone of the frame's members.
///
/// Where all members lie in one plane, both faces of it are sides, and so are the ends of the wedge between them.
pub(super) fn sides(members: &Members, mut f: impl FnMut(ConeSide)) {
    let all = members.all();
    // Heights of all members over a plane through the head: the least and the most.
    let heights = |normal: Vector3<f64>| {
        all.iter().fold((0.0_f64, 0.0_f64), |(least, most), m| {
            let height = normal.dot(&m.along);
            let (low, high) = if m.both_ways { (-height.abs(), height.abs()) } else { (height, height) };
            (least.min(low), most.max(high))
        })
    };
    for (i, a) in all.iter().enumerate() {
        for (j, b) in all.iter().enumerate().skip(i + 1) {
            let normal = a.along.cross(&b.along);
            let size = math::sqrt(normal.norm_squared());
            if size < SAME_DIRECTION {
                continue;
            }
            let normal = normal / size;
            let (least, most) = heights(normal);
            if least >= -IN_PLANE {
                f(ConeSide { inward: normal, members: (i, j) });
            }
            if most <= IN_PLANE {
                f(ConeSide { inward: -normal, members: (i, j) });
            }
            if least >= -IN_PLANE && most <= IN_PLANE {
                for (member, end) in [(i, a.along), (j, b.along)] {
                    let across = normal.cross(&end);
                    let (least, most) = heights(across);
                    if least >= -IN_PLANE {
                        f(ConeSide { inward: across, members: (member, member) });
                    }
                    if most <= IN_PLANE {
                        f(ConeSide { inward: -across, members: (member, member) });
                    }
                }
            }
        }
    }
}

/// The sides of the cone of a frame's members, found once for many resultants.
pub(super) struct Sides {
    few: ArrayVec<ConeSide, FEW>,
    /// There are more than have room: they are found anew each time.
    more: bool,
}

/// Sides that are kept: some more than there are members. Many in one plane have more.
const FEW: usize = 20;

impl Sides {
    pub(super) fn of(members: &Members) -> Self {
        let mut found = Self { few: ArrayVec::new(), more: false };
        sides(members, |side| found.more |= found.few.try_push(side).is_err());
        found
    }

    fn each(&self, members: &Members, f: impl FnMut(ConeSide)) {
        if self.more {
            sides(members, f);
        } else {
            self.few.iter().copied().for_each(f);
        }
    }
}

/// What the frame tips over first under a resultant.
pub(super) struct Nearest {
    pub(super) margin: Angle,
    pub(super) edge: Option<Edge>,
    /// Sine of the margin, where an edge is what it tips over.
    sine: f64,
}

/// The side of the cone that is nearest to the resultant r.
pub(super) fn nearest_edge(frame: &Frame, members: &Members, all: &Sides, r: Vector3<f64>) -> Nearest {
    let size = math::sqrt(r.norm_squared());
    if size == 0.0 {
        return Nearest { margin: radians(0.0), edge: None, sine: 0.0 };
    }
    let needed = -r / size;
    let mut nearest: Option<(f64, ConeSide)> = None;
    all.each(members, |side| {
        let sine = side.inward.dot(&needed);
        if nearest.is_none_or(|(least, _)| sine < least) {
            nearest = Some((sine, side));
        }
    });
    let Some((sine, side)) = nearest else {
        return Nearest { margin: radians(lone_margin(members, needed)), edge: None, sine: 0.0 };
    };
    // asin, without its loss near a right angle
    let across = needed - side.inward * sine;
    Nearest {
        margin: radians(math::atan2(sine, math::sqrt(across.norm_squared()))),
        edge: Some(Edge { from: part(frame, side.members.0), to: part(frame, side.members.1) }),
        sine,
    }
}

/// Of a frame under the resultant r.
pub(super) fn stability(frame: &Frame, members: &Members, r: Vector3<f64>) -> Stability {
    let Nearest { margin, edge, sine } = nearest_edge(frame, members, &Sides::of(members), r);
    if r == Vector3::zeros() {
        return Stability { margin, lever: None, edge, lateral: None, tip_limit: None };
    }
    let level = math::hypot(r.x, r.y);
    // e = d·sin(margin), d the distance of head and edge
    let distance_m = edge.and_then(|edge| {
        let (a, b) = (ground(frame, edge.from)?, ground(frame, edge.to)?);
        let run = b - a;
        let area = (frame.head_m - a).cross(&run);
        Some(math::sqrt(area.norm_squared() / run.norm_squared()))
    });
    Stability {
        margin,
        lever: distance_m.filter(|d| d.is_finite()).map(|d| metres(d * sine)),
        edge,
        lateral: if r.z < 0.0 { quotient(level, -r.z) } else { None },
        tip_limit: tip_limit(members, r, level),
    }
}

/// The margin where no two members span a side: all of them in one line, or all the way around.
pub(super) fn lone_margin(members: &Members, needed: Vector3<f64>) -> f64 {
    let all = members.all();
    let Some(first) = all.first() else { return 0.0 };
    let in_line =
        |m: &crate::members::Member| math::sqrt(first.along.cross(&m.along).norm_squared()) < SAME_DIRECTION;
    if !all.iter().all(in_line) {
        return PI;
    }
    // The angle to the nearest end of the line that holds.
    let across = math::sqrt(first.along.cross(&needed).norm_squared());
    all.iter().fold(-PI, |margin: f64, m| {
        let along = m.along.dot(&needed);
        margin.max(-math::atan2(across, if m.both_ways { along.abs() } else { along }))
    })
}

/// The lateral by the vertical force at which the frame tips on the side of r, or on the weakest for a plumb r.
fn tip_limit(members: &Members, r: Vector3<f64>, level: f64) -> Option<Ratio> {
    let plumb = level <= IN_PLANE * r.z.abs();
    // The push needed is z − ρ·e for a lean of ρ on the side of e. On a side of the cone: n·z = ρ·n·e.
    let (mut least, mut most) = (0.0_f64, f64::INFINITY);
    let mut any = false;
    sides(members, |side| {
        any = true;
        let up = side.inward.z;
        let lean = if plumb {
            math::hypot(side.inward.x, side.inward.y)
        } else {
            (side.inward.x * r.x + side.inward.y * r.y) / level
        };
        if lean > IN_PLANE {
            most = most.min(up / lean);
        } else if lean < -IN_PLANE {
            least = least.max(up / lean);
        } else if up < -IN_PLANE {
            most = f64::NEG_INFINITY;
        }
    });
    // Sides that meet in the plane of the lean agree to a few roundings only.
    let most = if most < 0.0 && most > -IN_PLANE { 0.0 } else { most };
    any |= lone_margin(members, Vector3::new(0.0, 0.0, 1.0)) == PI;
    (any && most >= 0.0 && least <= most * (1.0 + IN_PLANE) + IN_PLANE).then(|| ratio(most))
}

/// Which leg or guy this member is.
fn part(frame: &Frame, member: usize) -> FrameMember {
    let legs = frame.legs.len();
    if member < legs { FrameMember::Leg(member) } else { FrameMember::Guy(member - legs) }
}

/// Its end away from the head.
fn ground(frame: &Frame, part: FrameMember) -> Option<Vector3<f64>> {
    match part {
        FrameMember::Leg(index) => frame.legs.get(index).map(|leg| leg.foot_m),
        FrameMember::Guy(index) => frame.guys.get(index).map(|guy| guy.anchor_m),
    }
}
