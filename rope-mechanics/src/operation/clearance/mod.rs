//! How near every rope and the litter come to the ground and the edge while the load travels.
//!
//! | | hangs |
//! |---|---|
//! | track rope | as its state has it |
//! | haul rope | from the head by its own weight, under its pull at the carriage |
//! | belay rope | from the head by its own weight, as long as the way to the carriage and its slack |
//! | litter | as a body of its length and width, level or tilted, below its sling |
//!
//! The worst of hauled and lowered at each position. Within a metre of the head, of the carriage and, for the track, of
//! the far anchor a rope's height is theirs, and is not counted.
//!
//! Assumed: all ropes run in the plane of the line, over the ground as it is drawn; a rope that hangs below the ground is
//! not laid on it. The edge is where the ground in front of the frame begins to fall by more than 30°.
//!
//! **Caution.** A rope that touches an edge saws on it. A profile is good to some 0.3 m, and brush stands higher than the
//! ground. Local codes, makers' instructions and the authority having jurisdiction come first.

use super::changeover::{LitterBody, LitterLies, edge};
use super::model::Model;
use super::state::{HoldingRope, State};
use super::study::Xz;
use super::travel::Moved;
use crate::geometry::{Piece, Point2, over};
use crate::quantity::{Length, metres};
use alloc::vec::Vec;
use serde::Serialize;

/// A rope outward of the head.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum OutgoingRope {
    /// The track rope.
    Track,
    /// The haul rope.
    Haul,
    /// The belay rope.
    Belay,
}

impl OutgoingRope {
    /// In words: "track rope".
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Track => "track rope",
            Self::Haul => "haul rope",
            Self::Belay => "belay rope",
        }
    }
}

/// Where something comes nearest to the ground.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct NearestGround {
    /// Index in the study's positions.
    pub position: usize,
    /// Height above the ground, negative below it.
    #[serde(rename = "clearance_m")]
    pub clearance: Length,
    /// The ground there.
    pub at: Xz,
    /// Index of the point of the ground, where it is one: a rope that comes down to it bends over it.
    pub ground_point: Option<usize>,
    /// Whether that point is the edge in front of the frame.
    pub at_edge: bool,
}

/// A rope over the ground.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct RopeClearance {
    /// Which.
    pub rope: OutgoingRope,
    /// Its least height above the ground at each position; absent where it is too slack to hang free, or too short to be
    /// counted.
    #[serde(rename = "least_m")]
    pub least: Vec<Option<Length>>,
    /// Where it is least of all.
    pub worst: NearestGround,
    /// Its least height above the edge, and the position; absent without an edge below it.
    pub over_edge: Option<NearestGround>,
}

/// The litter as a body over the ground.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct LitterClearance {
    /// Which way its long side lies on its way up.
    pub lies: LitterLies,
    /// The least height of its underside above the ground at each position where its middle floats.
    #[serde(rename = "least_m")]
    pub least: Vec<Option<Length>>,
    /// Where it is least of all; absent where it floats nowhere.
    pub worst: Option<NearestGround>,
}

/// Nearest to the ground, and nearest to the edge.
type NearestTwo = (Option<NearestGround>, Option<NearestGround>);

/// How near every rope and the litter come to the ground.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Clearances {
    /// The clearance of ropes that is wanted.
    #[serde(rename = "wanted_m")]
    pub wanted: Length,
    /// The edge in front of the frame, if there is one.
    pub edge: Option<Xz>,
    /// Track, haul and belay rope.
    pub ropes: Vec<RopeClearance>,
    /// The litter.
    pub litter: LitterClearance,
}

/// So near to its ends a rope is not counted.
const NEAR_ENDS_M: f64 = 1.0;
/// A place of the ground so near to one of its points is that point.
const AT_POINT_M: f64 = 1e-9;

impl Clearances {
    pub(crate) fn of(
        model: &Model<'_>,
        states: &[Moved<'_, '_>],
        litter: &LitterBody,
        wanted: Length,
    ) -> Self {
        let ground =
            Ground { points: model.values().ground, edge: edge(model.values().ground, model.values().base) };
        let rope = |rope: OutgoingRope| {
            let at_each: Vec<NearestTwo> =
                states.iter().enumerate().map(|(at, moved)| ground.below_ends(at, moved, rope)).collect();
            let least = |of: &dyn Fn(&NearestTwo) -> Option<NearestGround>| {
                at_each.iter().filter_map(of).reduce(nearer)
            };
            Some(RopeClearance {
                rope,
                worst: least(&|at| at.0)?,
                over_edge: least(&|at| at.1),
                least: at_each.iter().map(|at| at.0.map(|nearest| nearest.clearance)).collect(),
            })
        };
        let below_litter: Vec<Option<NearestGround>> =
            states.iter().enumerate().map(|(at, moved)| ground.below_litter(at, moved, litter)).collect();
        let ropes = [OutgoingRope::Track, OutgoingRope::Haul, OutgoingRope::Belay];
        Self {
            wanted,
            edge: ground.edge.map(Xz::from),
            ropes: ropes.into_iter().filter_map(rope).collect(),
            litter: LitterClearance {
                lies: litter.lies(),
                worst: below_litter.iter().flatten().copied().reduce(nearer),
                least: below_litter.iter().map(|at| at.map(|nearest| nearest.clearance)).collect(),
            },
        }
    }
}

fn nearer(a: NearestGround, b: NearestGround) -> NearestGround {
    if b.clearance < a.clearance { b } else { a }
}

struct Ground<'g> {
    points: &'g [Point2],
    edge: Option<Point2>,
}

impl Ground<'_> {
    /// What a rope comes nearest to at one position, hauled or lowered; and how near to the edge.
    fn below_ends(&self, position: usize, moved: &Moved<'_, '_>, rope: OutgoingRope) -> NearestTwo {
        let (mut least, mut over_edge) = (None, None);
        for state in moved.ends() {
            let (nearest, edge) = self.below(position, state, rope);
            least = least.into_iter().chain(nearest).reduce(nearer);
            over_edge = over_edge.into_iter().chain(edge).reduce(nearer);
        }
        (least, over_edge)
    }

    fn below(&self, position: usize, state: &State<'_, '_>, rope: OutgoingRope) -> NearestTwo {
        match rope {
            OutgoingRope::Track => self.below_line(position, &state.track_shape()),
            OutgoingRope::Haul => {
                let shape = state.load_rope_shape(HoldingRope::Haul);
                shape.map_or((None, None), |shape| self.below_line(position, &shape))
            }
            OutgoingRope::Belay => {
                let shape = state.load_rope_shape(HoldingRope::Belay);
                shape.map_or((None, None), |shape| self.below_line(position, &shape))
            }
        }
    }

    /// What a rope comes nearest to, and how near to the edge. Rope and ground are straight between their points, so that
    /// the least is at a point of one of them, or where the rope begins to count.
    fn below_line(&self, position: usize, line: &[Point2]) -> NearestTwo {
        let (Some(first), Some(last)) = (line.first(), line.last()) else { return (None, None) };
        let (from_m, to_m) = (first.x.value + NEAR_ENDS_M, last.x.value - NEAR_ENDS_M);
        if !(from_m < to_m) {
            return (None, None);
        }
        let counted = |x_m: &f64| (from_m..=to_m).contains(x_m);
        let above = |x_m: f64| self.nearest(position, x_m, height_m(line, x_m)?);
        let looked_up = line.iter().map(|p| p.x.value).filter(counted).chain([from_m, to_m]);
        let height = |x_m: f64| Some((x_m, height_m(line, x_m)? - height_m(self.points, x_m)?));
        // Corners are many: walked along, and looked at whole where it is least.
        let corners = over(line, self.between(from_m, to_m)).map(|(p, z_m)| (p.x.value, z_m - p.z.value));
        let all = looked_up.filter_map(height).chain(corners);
        let least = all.reduce(|a, b| if b.1 < a.1 { b } else { a }).and_then(|(x_m, _)| above(x_m));
        let edge = self.edge.map(|edge| edge.x.value).filter(counted).and_then(above);
        (least, edge)
    }

    /// What the underside of a floating litter comes nearest to, hauled or lowered.
    fn below_litter(
        &self,
        position: usize,
        moved: &Moved<'_, '_>,
        litter: &LitterBody,
    ) -> Option<NearestGround> {
        let floating = moved.ends().filter(|state| !state.on_ground());
        let below = floating.filter_map(|state| {
            let carriage = state.carriage()?;
            let middle = Point2::new(carriage.x, carriage.z - state.model().values().load.hang);
            let underside = litter.underside(middle);
            let [inner, outer] = underside.map(|end| end.x.value);
            let corners = self.between(inner, outer).iter().map(|p| p.x.value);
            let places = corners.chain([inner, outer]);
            places.filter_map(|x_m| self.nearest(position, x_m, height_m(&underside, x_m)?)).reduce(nearer)
        });
        below.reduce(nearer)
    }

    /// The points of the ground strictly between two places.
    fn between(&self, from_m: f64, to_m: f64) -> &[Point2] {
        let first = self.points.partition_point(|p| p.x.value <= from_m);
        let last = self.points.partition_point(|p| p.x.value < to_m);
        self.points.get(first..last).unwrap_or_default()
    }

    /// The ground at a place, below something at a height; nothing where the ground isn't known.
    fn nearest(&self, position: usize, x_m: f64, z_m: f64) -> Option<NearestGround> {
        let ground_m = height_m(self.points, x_m)?;
        let behind = self.points.partition_point(|p| p.x.value < x_m - AT_POINT_M);
        let point = self.points.get(behind).filter(|p| (p.x.value - x_m).abs() <= AT_POINT_M);
        Some(NearestGround {
            position,
            clearance: metres(z_m - ground_m),
            at: Xz { x: metres(x_m), z: metres(ground_m) },
            ground_point: point.map(|_| behind),
            at_edge: point.is_some() && self.edge.is_some_and(|edge| Some(&edge) == point),
        })
    }
}

fn height_m(points: &[Point2], x_m: f64) -> Option<f64> {
    Some(Piece::at(points, x_m)?.height_m(x_m))
}
