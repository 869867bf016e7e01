//! The load where no line lifts it: its litter lags behind the carriage on the ground, or lies at the end of a rope.

use super::model::Model;
use super::state::{Balance, Line, StateError};
use super::way::Way;
use crate::carriage::CarriageState;
use crate::geometry::Point2;
use crate::math::{self, roots};
use crate::motion::Motion;
use crate::quantity::metres;
use core::cell::RefCell;
use nalgebra::{Matrix2, Vector2};

/// Heights of the carriage are found to this.
const HEIGHT_TOLERANCE_M: f64 = 1e-12;
/// A litter that hangs closer than this under the carriage moves with it.
const RIGID_BELOW_M: f64 = 1e-3;

/// The side of the carriage on which the litter lies.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Side {
    Outward,
    Inward,
}

/// Where the litter lies, seen from the carriage.
struct Spot {
    /// From the carriage to the litter, of length one.
    sling: Vector2<f64>,
    /// Out of the ground.
    normal: Vector2<f64>,
    /// Outward along the ground, against the motion.
    along: Vector2<f64>,
}

/// Forces with the carriage at one height: what the sling, the ground and the rope take if it stays there.
struct Forces {
    sling_n: f64,
    normal_n: f64,
    along_n: f64,
    pull_n: f64,
    /// Vertical part of what the ground carries.
    ground_n: f64,
    /// What is left at the carriage, across the rope or, where that is slack, across the sling.
    left_n: f64,
}

/// The load on the ground, moving one way.
pub(super) struct Lying<'a, 'g> {
    model: &'a Model<'g>,
    way: &'a Way,
    /// Friction of the litter on the ground, outward along it: against the motion, none without.
    friction: f64,
    /// The track at the point that was asked last: the next one is near it.
    last: RefCell<Option<CarriageState>>,
}

impl<'a, 'g> Lying<'a, 'g> {
    pub(super) fn new(model: &'a Model<'g>, way: &'a Way) -> Self {
        Self { model, way, friction: friction(model, way.motion), last: RefCell::new(None) }
    }

    /// The load dragged with its litter on the ground, the carriage at x.
    ///
    /// The litter hangs on a sling and lags behind, so that the sling leans. For the litter, with its weight W₁ and
    /// the sling's direction s from the carriage: −S·s + N·(n + μ·t) = W₁·ẑ. For the carriage with the rest W₂:
    /// F_track + P·d + S·s = W₂·ẑ, with d towards the head. The height of the carriage is the one at which both hold.
    ///
    /// Where the rope would have to push it is slack, and the ground's friction, if it can, keeps the litter from
    /// sliding in.
    pub(super) fn at_x(&self, x_m: f64) -> Result<Balance, StateError> {
        let ground_z_m = self.ground_m(x_m)?;
        let hang_m = self.model.values().load.hang.value;
        if hang_m < RIGID_BELOW_M {
            return self.sliding(x_m, ground_z_m + hang_m, ground_z_m);
        }
        self.ground_m(x_m + hang_m)?;
        let held = self.model.values().load.ground_friction.value;
        let mut rolls = false;
        // The litter lags: outward of the carriage while it is hauled, and inward first where it is lowered.
        let sides = match self.way.motion {
            Motion::Lowering => [Side::Inward, Side::Outward],
            Motion::Hauling | Motion::AtRest => [Side::Outward, Side::Inward],
        };
        for side in sides {
            for slack in [false, true] {
                let forces = |z_m: f64| self.forces_at(x_m, z_m, side, slack).ok().flatten();
                let left = |z_m: f64| forces(z_m).map_or(f64::NAN, |(_, f)| f.left_n);
                // From just above the ground to where the litter just touches it.
                let (low, high) = (ground_z_m, ground_z_m + hang_m * (1.0 - 1e-12));
                let Some(root) = roots::bracketed(low, high, HEIGHT_TOLERANCE_M, left) else { continue };
                let Some((state, f)) = forces(root.x) else { continue };
                if f.sling_n < 0.0 || f.normal_n < 0.0 {
                    continue;
                }
                if !slack && f.pull_n < 0.0 {
                    continue;
                }
                // With nothing to hold it but the ground: outward, against its rolling in.
                if slack && f.along_n.abs() > held * f.normal_n {
                    rolls |= f.along_n > 0.0;
                    continue;
                }
                return Ok(self.balance(ground_z_m, state, &f));
            }
        }
        let x = metres(x_m);
        Err(if rolls { StateError::RollsIn { x } } else { StateError::LiesDown { x } })
    }

    /// Whether the line carries the whole load with its litter just touching the ground: then it doesn't lie there.
    pub(super) fn is_lifted(&self, x_m: f64) -> bool {
        let touching =
            self.model.ground_m(x_m).map(|ground_m| ground_m + self.model.values().load.hang.value);
        let state = touching.and_then(|z_m| self.track_at(Point2::new(metres(x_m), metres(z_m))).ok());
        state.is_some_and(|state| state.on_carriage_by_track().z >= self.model.weight)
    }

    fn ground_m(&self, x_m: f64) -> Result<f64, StateError> {
        self.model.ground_m(x_m).ok_or(StateError::OffGround { x: metres(x_m) })
    }

    fn balance(&self, ground_z_m: f64, state: CarriageState, f: &Forces) -> Balance {
        let scale_n = self.model.weight.value + state.tension.head.value;
        let error = (f.left_n.abs() / scale_n).max(state.closing_error.value / state.track_length.value);
        Balance {
            line: Line::Loaded(state),
            carriage: state.position,
            pull_n: f.pull_n,
            sling_n: f.sling_n,
            drag_n: f.along_n.abs(),
            ground_n: f.ground_n,
            ground_z_m,
            litter_height_m: 0.0,
            on_ground: true,
            residual: error,
        }
    }

    /// The track's state with the carriage at that point.
    fn track_at(&self, at: Point2) -> Result<CarriageState, StateError> {
        let mut last = self.last.borrow_mut();
        let state = self.way.held.track_at_point(at, last.as_ref());
        let state = state.map_err(|why| StateError::Carriage { x: at.x, why })?;
        *last = Some(state);
        Ok(state)
    }

    /// From a point of the plane to the head, of length one.
    fn to_head(&self, at: Vector2<f64>) -> Vector2<f64> {
        to_head(self.model, at)
    }

    /// The forces with the carriage at this height, or `None` where the litter reaches no ground on that side.
    fn forces_at(
        &self,
        x_m: f64,
        z_m: f64,
        side: Side,
        slack: bool,
    ) -> Result<Option<(CarriageState, Forces)>, StateError> {
        let at = Point2::new(metres(x_m), metres(z_m));
        let Some(spot) = self.spot(at.si(), side) else { return Ok(None) };
        let state = self.track_at(at)?;
        let up = Vector2::new(0.0, 1.0);
        let litter = self.model.litter_weight.value;
        let carriage = state.on_carriage_by_track().si() - (self.model.weight.value - litter) * up;
        let Spot { sling, normal, along } = spot;
        let carried = |normal_n: f64, along_n: f64| normal_n * normal.y + along_n * along.y;
        let forces = if slack {
            // F_track − W₂·ẑ lies along the sling; what it pulls is held by the ground.
            let sling_n = -carriage.dot(&sling);
            let on_ground = litter * up + sling_n * sling;
            let (normal_n, along_n) = (on_ground.dot(&normal), on_ground.dot(&along));
            Forces {
                sling_n,
                normal_n,
                along_n,
                pull_n: 0.0,
                ground_n: carried(normal_n, along_n),
                left_n: carriage.perp(&sling),
            }
        } else {
            let mu = self.friction;
            let columns = Matrix2::from_columns(&[-sling, normal + mu * along]);
            let Some(inverse) = columns.try_inverse() else { return Ok(None) };
            let solved = inverse * (litter * up);
            let rest = carriage + solved.x * sling;
            let d = self.to_head(at.si());
            Forces {
                sling_n: solved.x,
                normal_n: solved.y,
                along_n: mu * solved.y,
                pull_n: -rest.dot(&d),
                ground_n: carried(solved.y, mu * solved.y),
                left_n: rest.perp(&d),
            }
        };
        Ok(Some((state, forces)))
    }

    /// The nearest place of the ground on that side which the litter reaches from the carriage with a taut sling.
    fn spot(&self, carriage: Vector2<f64>, side: Side) -> Option<Spot> {
        let hang_m = self.model.values().load.hang.value;
        let segment = |a: Vector2<f64>, b: Vector2<f64>| {
            let (near, far) = if side == Side::Outward { (a, b) } else { (b, a) };
            let (s, along) = reached(carriage, hang_m, near, far)?;
            let least = ((carriage.x - near.x) / (far.x - near.x)).max(0.0);
            if !(s >= least && s <= 1.0) {
                return None;
            }
            let along = if side == Side::Outward { along } else { -along };
            let sling = near - carriage + s * (far - near);
            let length = math::hypot(sling.x, sling.y);
            Some(Spot { sling: sling / length, normal: Vector2::new(-along.y, along.x), along })
        };
        let ground = self.model.values().ground;
        if side == Side::Outward {
            pieces(ground, carriage.x, carriage.x + hang_m).find_map(|(a, b)| segment(a, b))
        } else {
            pieces(ground, carriage.x - hang_m, carriage.x).rev().find_map(|(a, b)| segment(a, b))
        }
    }

    /// A litter right under the carriage, which slides with it on the ground.
    ///
    /// F_track + P·d + N·n + μN·t = W·ẑ
    fn sliding(&self, x_m: f64, z_m: f64, ground_z_m: f64) -> Result<Balance, StateError> {
        let at = Point2::new(metres(x_m), metres(z_m));
        let state = self.track_at(at)?;
        let (n, t) = directions(self.model, x_m);
        let d = self.to_head(at.si());
        let rest = Vector2::new(0.0, self.model.weight.value) - state.on_carriage_by_track().si();
        let (pull_n, normal_n, along_n) = on_slope(self.model, self.friction, rest, d, n, t)
            .ok_or(StateError::RollsIn { x: metres(x_m) })?;
        let left = rest - pull_n * d - normal_n * n - along_n * t;
        let scale_n = self.model.weight.value + state.tension.head.value;
        Ok(Balance {
            residual: (math::hypot(left.x, left.y) / scale_n)
                .max(state.closing_error.value / state.track_length.value),
            line: Line::Loaded(state),
            carriage: state.position,
            pull_n,
            sling_n: 0.0,
            drag_n: along_n.abs(),
            ground_n: normal_n * n.y + along_n * t.y,
            ground_z_m,
            litter_height_m: 0.0,
            on_ground: true,
        })
    }
}

impl Model<'_> {
    /// The load at the end of so much rope from the head, without the track rope: plumb below the head, or, coming in
    /// from outward, where its litter first meets the ground with rope and sling in one line.
    ///
    /// Lying there: P·d + N·(n + μ·t) = W·ẑ, or without the rope where friction holds it.
    pub(super) fn without_track(&self, rope_m: f64, motion: Motion) -> Result<Balance, StateError> {
        let head = self.head.si();
        let hang_m = self.values().load.hang.value;
        let reach_m = rope_m + hang_m;
        let weight_n = self.weight.value;
        let hanging = self.ground_m(head.x).is_none_or(|ground_z_m| head.y - reach_m >= ground_z_m);
        let mu = friction(self, motion);
        for (a, b) in pieces(self.values().ground, head.x, head.x + reach_m).rev() {
            let Some((s, t)) = reached(head, reach_m, a, b) else { continue };
            if !(0.0..=1.0).contains(&s) {
                continue;
            }
            let litter = a + s * (b - a);
            if litter.x < head.x {
                continue;
            }
            let (n, d) = (Vector2::new(-t.y, t.x), to_head(self, litter));
            let up = Vector2::new(0.0, weight_n);
            let Some((pull_n, normal_n, along_n)) = on_slope(self, mu, up, d, n, t) else { continue };
            let left = up - pull_n * d - normal_n * n - along_n * t;
            let carriage = litter + hang_m * d;
            let ground_z_m =
                self.ground_m(carriage.x).ok_or(StateError::OffGround { x: metres(carriage.x) })?;
            return Ok(Balance {
                line: Line::Gone,
                carriage: Point2::from_si(carriage),
                pull_n,
                sling_n: pull_n,
                drag_n: along_n.abs(),
                ground_n: normal_n * n.y + along_n * t.y,
                ground_z_m,
                litter_height_m: 0.0,
                on_ground: true,
                residual: math::hypot(left.x, left.y) / weight_n,
            });
        }
        if !hanging {
            return Err(StateError::NotHeld);
        }
        let carriage = Point2::new(self.head.x, metres(head.y - rope_m));
        let ground_z_m = self.ground_m(head.x).ok_or(StateError::OffGround { x: self.head.x })?;
        Ok(Balance {
            line: Line::Gone,
            carriage,
            pull_n: weight_n,
            sling_n: self.litter_weight.value,
            drag_n: 0.0,
            ground_n: 0.0,
            ground_z_m,
            litter_height_m: head.y - reach_m - ground_z_m,
            on_ground: false,
            residual: 0.0,
        })
    }
}

/// Friction of the litter on the ground, outward along it: against the motion, none without.
fn friction(model: &Model<'_>, motion: Motion) -> f64 {
    let friction = model.values().load.ground_friction.value;
    match motion {
        Motion::Hauling => friction,
        Motion::AtRest => 0.0,
        Motion::Lowering => -friction,
    }
}

fn to_head(model: &Model<'_>, at: Vector2<f64>) -> Vector2<f64> {
    let to_head = model.head.si() - at;
    to_head / math::hypot(to_head.x, to_head.y)
}

/// Out of the ground and outward along it.
fn directions(model: &Model<'_>, x_m: f64) -> (Vector2<f64>, Vector2<f64>) {
    let slope = model.ground_slope(x_m);
    let t = Vector2::new(1.0, slope) / math::hypot(1.0, slope);
    (Vector2::new(-t.y, t.x), t)
}

/// Pull, normal force and force along the ground that carry `rest`: with the rope, or where it would push without it
/// if friction can hold.
fn on_slope(
    model: &Model<'_>,
    mu: f64,
    rest: Vector2<f64>,
    d: Vector2<f64>,
    n: Vector2<f64>,
    t: Vector2<f64>,
) -> Option<(f64, f64, f64)> {
    let solved = Matrix2::from_columns(&[d, n + mu * t]).try_inverse().map(|inverse| inverse * rest);
    match solved {
        Some(answer) if answer.x >= 0.0 && answer.y >= 0.0 => Some((answer.x, answer.y, mu * answer.y)),
        // The rope is slack, and the ground holds the litter if friction can.
        _ => {
            let (normal, along) = (rest.dot(&n), rest.dot(&t));
            let held = model.values().load.ground_friction.value;
            (normal >= 0.0 && along.abs() <= held * normal).then_some((0.0, normal, along))
        }
    }
}

/// Where on the line from `near` to `far` the distance from a point is `reach`, the farther of two places: as a share
/// of the way, and the direction of the line.
///
/// |near + s·(far − near) − point| = reach, the greater root
fn reached(
    point: Vector2<f64>,
    reach: f64,
    near: Vector2<f64>,
    far: Vector2<f64>,
) -> Option<(f64, Vector2<f64>)> {
    let (from, run) = (near - point, far - near);
    let (aa, bb, cc) = (run.norm_squared(), from.dot(&run), from.norm_squared() - reach * reach);
    let under = bb * bb - aa * cc;
    (under >= 0.0).then(|| ((-bb + math::sqrt(under)) / aa, run / math::hypot(run.x, run.y)))
}

/// The pieces of the ground of which some part lies between two places.
fn pieces(
    ground: &[Point2],
    from_x_m: f64,
    to_x_m: f64,
) -> impl DoubleEndedIterator<Item = (Vector2<f64>, Vector2<f64>)> + '_ {
    let first = ground.partition_point(|p| p.x.value <= from_x_m).saturating_sub(1);
    let last = ground.partition_point(|p| p.x.value < to_x_m).min(ground.len().saturating_sub(1));
    ground.get(first..=last).unwrap_or_default().windows(2).filter_map(|pair| match pair {
        [a, b] => Some((a.si(), b.si())),
        _ => None,
    })
}
