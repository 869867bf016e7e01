//! The load where the line does not lift it: its litter lags behind the carriage on the ground.

use super::apparatus::{Apparatus, Way};
use super::plan::{SiteError, SitePlan};
use super::position::{Balanced, Unbalanced};
use crate::carriage::CarriageState;
use crate::geometry::Point2;
use crate::math::{self, roots};
use crate::motion::Motion;
use crate::quantity::metres;
use crate::text;
use alloc::format;
use alloc::vec::Vec;
use nalgebra::{Matrix2, Vector2};

/// Heights of the carriage are found to this.
const HEIGHT_TOLERANCE_M: f64 = 1e-12;
/// A litter that hangs closer than this under the carriage moves with it.
const RIGID_BELOW_M: f64 = 1e-3;

/// Rise by run from which ground counts as a rock face: tan 60°. A litter doesn't lie on it, it hangs.
const ROCK_SLOPE: f64 = 1.732_050_807_568_877_2;

/// The side of the carriage on which the litter lies.
#[derive(Debug, Clone, Copy, PartialEq)]
enum LyingSide {
    Outward,
    Inward,
}

/// Where the litter lies, seen from the carriage.
struct Lying {
    /// From the carriage to the litter, of length one.
    sling: Vector2<f64>,
    /// Out of the ground.
    normal: Vector2<f64>,
    /// Outward along the ground, against the motion.
    along: Vector2<f64>,
}

/// LyingForces with the carriage at one height: what the sling, the ground and the haul rope take if it stays there.
struct LyingForces {
    sling_n: f64,
    normal_n: f64,
    along_n: f64,
    pull_n: f64,
    /// Vertical part of what the ground carries.
    ground_n: f64,
    /// What is left at the carriage, across the haul rope or, where that is slack, across the sling.
    left_n: f64,
}

impl Way {
    /// Friction of the litter on the ground, outward along it: against the motion, none without.
    fn ground_friction(&self, plan: &SitePlan) -> f64 {
        match self.motion {
            Motion::Hauling => plan.ground_friction.value,
            Motion::AtRest => 0.0,
            Motion::Lowering => -plan.ground_friction.value,
        }
    }
}

impl Apparatus<'_> {
    /// The load dragged up with its litter on the ground, the carriage at x.
    ///
    /// The litter hangs on a sling and lags behind, so that the sling leans. For the litter, with its weight W₁ and
    /// the sling's direction s from the carriage: −S·s + N·(n + μ·t) = W₁·ẑ. For the carriage with the rest W₂:
    /// F_track + P·d + S·s = W₂·ẑ, with d towards the head. The height of the carriage is the one at which both hold.
    ///
    /// Where the haul rope would have to push it is slack, and the ground's friction, if it can, keeps the litter
    /// from sliding in.
    pub(crate) fn on_ground(&self, way: &Way, x_m: f64) -> Result<Balanced, Unbalanced> {
        let ground_z_m = self.ground_at(x_m)?;
        let hang_m = self.site.load.hang.value;
        if hang_m < RIGID_BELOW_M {
            return self.sliding(way, x_m, ground_z_m + hang_m, ground_z_m);
        }
        self.ground_at(x_m + hang_m)?;
        let held = self.plan.ground_friction.value;
        let mut rolls = false;
        // The litter lags: outward of the carriage while it is hauled, and inward first where it is lowered.
        let sides = match way.motion {
            Motion::Lowering => [LyingSide::Inward, LyingSide::Outward],
            Motion::Hauling | Motion::AtRest => [LyingSide::Outward, LyingSide::Inward],
        };
        for side in sides {
            for slack in [false, true] {
                let forces = |z_m: f64| self.forces_at(way, x_m, z_m, side, slack).ok().flatten();
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
                return Ok(self.lying_balance(ground_z_m, state, &f));
            }
        }
        if rolls {
            return Err(Unbalanced::RollsIn);
        }
        Err(Unbalanced::LiesDown(SiteError::new(
            "track.set",
            format!(
                "with the load at x = {x_m:.2} m the track line is so low that even the carriage would lie on the ground: ask for more tension or height, or leave that part of the travel out (travel.start, travel.end)"
            ),
        )))
    }

    /// Where the load has no balance: the nearest rock beside which its litter can't lie, if one is within its reach.
    ///
    /// That is a row of faces, each steeper than 60° and all to the same side, which are together higher than the litter
    /// hangs below the line.
    pub(crate) fn rock_beside(&self, x_m: f64) -> Option<SiteError> {
        let hang_m = self.site.load.hang.value;
        let ground = &self.plan.ground;
        let faces = ground.windows(2).filter_map(|pair| match pair {
            [a, b] => Some((b.z.value - a.z.value) / (b.x.value - a.x.value)),
            _ => None,
        });
        let side = |slope: f64| if slope > ROCK_SLOPE { 1 } else { -i32::from(slope < -ROCK_SLOPE) };
        // First and last point of each row.
        let mut rows: Vec<(i32, usize, usize)> = Vec::new();
        for (i, slope) in faces.enumerate() {
            match rows.last_mut() {
                Some((same, _, last)) if *same == side(slope) => *last = i + 1,
                _ => rows.push((side(slope), i, i + 1)),
            }
        }
        let rocks = rows.into_iter().filter(|(side, ..)| *side != 0).filter_map(|(_, first, last)| {
            let (a, b) = (ground.get(first)?.si(), ground.get(last)?.si());
            let away_m = (a.x - x_m).max(x_m - b.x).max(0.0);
            let height_m = (b.y - a.y).abs();
            (away_m <= hang_m && height_m > hang_m).then_some((away_m, first, last, a.x, b.x, height_m))
        });
        let (_, first, last, from_m, to_m, height_m) =
            rocks.min_by(|one, other| one.0.total_cmp(&other.0))?;
        Some(SiteError::new(
            format!("ground[{first}]"),
            format!(
                "from there to ground[{last}], at x = {from_m:.2} to {to_m:.2} m, the ground is steeper than 60° and {} high, more than the litter hangs below the track line ({}): where the line doesn't lift the litter over it, here with the load at x = {x_m:.2} m, it can't lie beside such a rock. Ask for more tension or height (track.set), leave that part of the travel out (travel.start, travel.end), or describe the ground as the litter passes it",
                text::both(metres(height_m)),
                text::both(self.site.load.hang),
            ),
        ))
    }

    fn lying_balance(&self, ground_z_m: f64, state: CarriageState, f: &LyingForces) -> Balanced {
        let scale_n = self.weight.value + state.tension.head.value;
        let error = (f.left_n.abs() / scale_n).max(state.closing_error.value / state.track_length.value);
        Balanced {
            state,
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

    /// The forces with the carriage at this height, or `None` where the litter reaches no ground on that side.
    fn forces_at(
        &self,
        way: &Way,
        x_m: f64,
        z_m: f64,
        side: LyingSide,
        slack: bool,
    ) -> Result<Option<(CarriageState, LyingForces)>, Unbalanced> {
        let at = Point2::new(metres(x_m), metres(z_m));
        let Some(lying) = self.lying(at.si(), side) else { return Ok(None) };
        let state = way.held.track_at_point(at).map_err(|why| self.no_balance(x_m, &why))?;
        let up = Vector2::new(0.0, 1.0);
        let litter = self.litter_weight.value;
        let carriage = state.on_carriage_by_track().si() - (self.weight.value - litter) * up;
        let Lying { sling, normal, along } = lying;
        let carried = |normal_n: f64, along_n: f64| normal_n * normal.y + along_n * along.y;
        let forces = if slack {
            // F_track − W₂·ẑ lies along the sling; what it pulls is held by the ground.
            let sling_n = -carriage.dot(&sling);
            let on_ground = litter * up + sling_n * sling;
            let (normal_n, along_n) = (on_ground.dot(&normal), on_ground.dot(&along));
            LyingForces {
                sling_n,
                normal_n,
                along_n,
                pull_n: 0.0,
                ground_n: carried(normal_n, along_n),
                left_n: carriage.perp(&sling),
            }
        } else {
            let mu = way.ground_friction(self.plan);
            let columns = Matrix2::from_columns(&[-sling, normal + mu * along]);
            let Some(inverse) = columns.try_inverse() else { return Ok(None) };
            let solved = inverse * (litter * up);
            let rest = carriage + solved.x * sling;
            let to_head = self.plan.head.si() - at.si();
            let d = to_head / math::hypot(to_head.x, to_head.y);
            LyingForces {
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
    fn lying(&self, carriage: Vector2<f64>, side: LyingSide) -> Option<Lying> {
        let hang_m = self.site.load.hang.value;
        let reach = if side == LyingSide::Outward { carriage.x + hang_m } else { carriage.x - hang_m };
        let segment = |a: Vector2<f64>, b: Vector2<f64>| {
            let (near, far) = if side == LyingSide::Outward { (a, b) } else { (b, a) };
            if (far.x - carriage.x) * (reach - carriage.x) <= 0.0 {
                return None;
            }
            // |near + s·(far − near) − carriage| = hang, the greater root
            let (from, run) = (near - carriage, far - near);
            let (aa, bb, cc) = (run.norm_squared(), from.dot(&run), from.norm_squared() - hang_m * hang_m);
            let under = bb * bb - aa * cc;
            if under < 0.0 {
                return None;
            }
            let s = (-bb + math::sqrt(under)) / aa;
            let least = ((carriage.x - near.x) / (far.x - near.x)).max(0.0);
            if !(s >= least && s <= 1.0) {
                return None;
            }
            let along = (b - a) / math::hypot(b.x - a.x, b.y - a.y);
            let sling = from + s * run;
            let length = math::hypot(sling.x, sling.y);
            Some(Lying { sling: sling / length, normal: Vector2::new(-along.y, along.x), along })
        };
        let pairs = self.plan.ground.windows(2).filter_map(|pair| match pair {
            [a, b] => Some((a.si(), b.si())),
            _ => None,
        });
        if side == LyingSide::Outward {
            pairs.into_iter().find_map(|(a, b)| segment(a, b))
        } else {
            pairs.into_iter().rev().find_map(|(a, b)| segment(a, b))
        }
    }

    /// A litter right under the carriage, which slides with it on the ground.
    ///
    /// F_track + P·d + N·n + μN·t = W·ẑ
    fn sliding(&self, way: &Way, x_m: f64, z_m: f64, ground_z_m: f64) -> Result<Balanced, Unbalanced> {
        let at = Point2::new(metres(x_m), metres(z_m));
        let state = way.held.track_at_point(at).map_err(|why| self.no_balance(x_m, &why))?;
        let slope = self.ground_slope(x_m);
        let t = Vector2::new(1.0, slope) / math::hypot(1.0, slope);
        let n = Vector2::new(-t.y, t.x);
        let to_head = self.plan.head.si() - at.si();
        let d = to_head / math::hypot(to_head.x, to_head.y);
        let mu = way.ground_friction(self.plan);
        let rest = Vector2::new(0.0, self.weight.value) - state.on_carriage_by_track().si();
        let solved = Matrix2::from_columns(&[d, n + mu * t]).try_inverse().map(|inverse| inverse * rest);
        let (pull_n, normal_n, along_n) = match solved {
            Some(answer) if answer.x >= 0.0 && answer.y >= 0.0 => (answer.x, answer.y, mu * answer.y),
            // The haul rope is slack, and the ground holds the litter if friction can.
            _ => {
                let (normal, along) = (rest.dot(&n), rest.dot(&t));
                if normal < 0.0 || along.abs() > self.plan.ground_friction.value * normal {
                    return Err(Unbalanced::RollsIn);
                }
                (0.0, normal, along)
            }
        };
        let left = rest - pull_n * d - normal_n * n - along_n * t;
        let scale_n = self.weight.value + state.tension.head.value;
        Ok(Balanced {
            residual: (math::hypot(left.x, left.y) / scale_n)
                .max(state.closing_error.value / state.track_length.value),
            state,
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
