//! How a solved rig answers to small changes of what it was given, without solving it again.
//!
//! At an equilibrium R(x, p) = 0, so dx/dp = −(∂R/∂x)⁻¹·∂R/∂p: one substitution into the factors that the solution
//! left behind. Everything else follows from x.
#![allow(clippy::needless_range_loop, reason = "two lists share the index")]
#![allow(clippy::indexing_slicing, reason = "every index was made together with the array it goes into")]

use super::error::RigError;
use super::model::{End, Hold, PointId, RopeData, RopeId, Supplied};
use super::part::PartState;
use super::solution::Solution;
use super::system::{self, Form, Mode, NONE, System};
use super::{balance, bend};
use crate::error;
use crate::geometry::{Force3, Point3};
use crate::math;
use crate::quantity::{Force, Length, LineWeight, Ratio, metres, newtons};
use crate::rope::Stretch;
use alloc::vec;
use alloc::vec::Vec;
use nalgebra::Vector3;

/// A small change of one input.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Change {
    /// More rope at the last end of a rope of given length.
    Length(RopeId, Length),
    /// More tension where a rope's tension is set, all strands together.
    Tension(RopeId, Force),
    /// A stiffer rope: the whole curve T = aε + bε² raised by this part.
    Stiffness(RopeId, Ratio),
    /// A heavier rope, all strands together. The rope must have weight already.
    Weight(RopeId, LineWeight),
    /// A force added to the load on a point that moves.
    Load(PointId, Force3),
    /// A fixed point moved.
    Place(PointId, Point3),
}

/// What a small change of an input does to every output, to first order.
///
/// Proportional to the change: half the change, half the response. True for changes so small that no rope goes slack
/// or taut and nothing lands on or leaves the ground.
#[derive(Debug, Clone)]
pub struct Response {
    rig: u32,
    at: Vec<Vector3<f64>>,
    parts: Vec<PartChange>,
    starts: Vec<(usize, usize)>,
}

/// The change of one part of a rope.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct PartResponse {
    /// More unstretched rope in it.
    pub share: Length,
    /// More tension where it starts.
    pub tension_first: Force,
    /// More tension where it ends.
    pub tension_last: Force,
    /// More force on the point where it starts.
    pub pull_first: Force3,
    /// More force on the point where it ends.
    pub pull_last: Force3,
}

#[derive(Debug, Clone, Copy, Default)]
struct PartChange {
    first: Vector3<f64>,
    last: Vector3<f64>,
    tension_first: f64,
    tension_last: f64,
    length: f64,
}

impl Response {
    /// How far a point moves.
    ///
    /// # Errors
    /// If the point is another rig's.
    pub fn position(&self, point: PointId) -> Result<Point3, RigError> {
        match self.at.get(point.index as usize) {
            Some(moved) if point.rig == self.rig => Ok(Point3::from_si(*moved)),
            _ => Err(RigError::Foreign { kind: "point" }),
        }
    }

    /// What each part of a rope does, from its first end to its last.
    ///
    /// # Errors
    /// If the rope is another rig's.
    pub fn parts(&self, rope: RopeId) -> Result<Vec<PartResponse>, RigError> {
        let parts = match self.starts.get(rope.index as usize) {
            Some(&(first, count)) if rope.rig == self.rig => self.parts.get(first..first + count),
            _ => None,
        };
        let parts = parts.ok_or(RigError::Foreign { kind: "rope" })?;
        Ok(parts
            .iter()
            .map(|p| PartResponse {
                share: metres(p.length),
                tension_first: newtons(p.tension_first),
                tension_last: newtons(p.tension_last),
                pull_first: Force3::from_si(p.first),
                pull_last: Force3::from_si(-p.last),
            })
            .collect())
    }
}

impl Solution {
    /// What a small change of one input does to every output: their derivative times the change.
    ///
    /// # Errors
    /// If the point or rope is another rig's; if the change is not finite; if the rig has no such input: a length
    /// or a set tension that was not given, the weight of a weightless rope, the place of a point that moves.
    ///
    /// ```
    /// # use rope_mechanics::geometry::Point3;
    /// # use rope_mechanics::quantity::{Force, Length, unit::{kilonewton, meter, newton}};
    /// # use rope_mechanics::rig::{Change, FreePoint, Rig, Run, Supply};
    /// # use rope_mechanics::rope::Stretch;
    /// # use rope_mechanics::sheave::Turn;
    /// # let at = |x, z| Point3::new(Length::new::<meter>(x), Length::new::<meter>(0.0), Length::new::<meter>(z));
    /// # let mut rig = Rig::new();
    /// # let (left, right) = (rig.fixed("left", at(0.0, 0.0))?, rig.fixed("right", at(30.0, 0.0))?);
    /// # let weight = Force::new::<newton>(2000.0);
    /// # let carriage = rig.point("carriage", FreePoint::anywhere().with_weight(weight))?;
    /// # let stretch = Stretch::linear(Force::new::<kilonewton>(40.0))?;
    /// # let length = Supply::Length(Length::new::<meter>(31.0));
    /// # let track = rig.rope("track", Run::new(stretch, length, left, right).over(carriage, Turn::FRICTIONLESS))?;
    /// // 10 cm more rope in a line of 31 m over 30 m: how much lower does the carriage hang?
    /// let more = rig.solve()?.response(Change::Length(track, Length::new::<meter>(0.1)))?;
    /// assert!(more.position(carriage)?.z < Length::new::<meter>(-0.1));
    /// # Ok::<(), rope_mechanics::rig::RigError>(())
    /// ```
    pub fn response(&self, change: Change) -> Result<Response, RigError> {
        let system = &self.system;
        let rig = &system.rig;
        let state = &self.found.state;
        let mut direct = vec![PartChange::default(); system.part_count];
        // ∂R/∂p·δp
        let mut unbalanced = system::zeros(system.variables());
        let mut moved = vec![Vector3::zeros(); rig.points.len()];
        let missing = |rope: &RopeData, input| RigError::NoInput { name: rope.name.clone(), input };
        match change {
            Change::Length(id, by) => {
                let r = rig.rope_at(id)?;
                let (rope, by) = (&rig.ropes[r], error::finite("length_change", by)?);
                if !matches!(rope.supply, Supplied::Length(_)) {
                    return Err(missing(rope, "length"));
                }
                longer(system, &state.parts, r, by, &mut direct);
            }
            Change::Tension(id, by) => {
                let r = rig.rope_at(id)?;
                let (rope, by) = (&rig.ropes[r], error::finite("tension_change", by)?);
                let Supplied::Tension(end, tension) = rope.supply else {
                    return Err(missing(rope, "set tension"));
                };
                let first = system.runs[r].parts as usize;
                if system.runs[r].form == Form::Whole {
                    for k in first..first + rope.parts() {
                        direct[k] = pulled(&state.parts[k], by);
                        let strain = rope.stretch.strain_at(tension);
                        let softer = by / rope.stretch.tangent_at(strain);
                        direct[k].length = -state.parts[k].length_m * softer / (1.0 + strain);
                    }
                } else {
                    // P changes by (1+ε)·δT
                    let knot = system.knot(r, if end == End::First { 0 } else { rope.parts() });
                    let p = (1.0 + rope.stretch.strain_at(tension)) * by;
                    unbalanced[knot as usize] += if end == End::First { -p } else { p };
                }
            }
            Change::Stiffness(id, by) => {
                let r = rig.rope_at(id)?;
                let by = error::finite("stiffness_change", by)?;
                stiffer(system, &state.parts, r, by, &mut direct);
            }
            Change::Weight(id, by) => {
                let r = rig.rope_at(id)?;
                let (rope, by) = (&rig.ropes[r], error::finite("weight_change", by)?);
                if rope.weight_n_per_m == 0.0 {
                    return Err(missing(rope, "weight"));
                }
                // F(λw, λa, λb) = λ·F: w·∂F/∂w = F − ∂F/∂(ln stiffness)
                let part = by / rope.weight_n_per_m;
                stiffer(system, &state.parts, r, -part, &mut direct);
                let first = system.runs[r].parts as usize;
                for k in first..first + rope.parts() {
                    direct[k].first += state.parts[k].first.along * part;
                    direct[k].last += state.parts[k].last.along * part;
                }
            }
            Change::Load(id, by) => {
                let p = rig.point_at(id)?;
                let by = by.finite("load_change")?;
                system::spread(&system.seats[p], &-by, &mut unbalanced);
            }
            Change::Place(id, by) => {
                let p = rig.point_at(id)?;
                if rig.points[p].hold != Hold::Fixed {
                    return Err(RigError::NoInput { name: rig.points[p].name.clone(), input: "fixed place" });
                }
                moved[p] = by.finite("place_change")?;
            }
        }
        self.carry(system, &moved, None, &mut direct);
        self.gather(system, &direct, &mut unbalanced);
        let mut step: Vec<f64> = unbalanced.iter().map(|r| -r).collect();
        self.found.factor.solve(&system.pattern, &mut step);
        for (seat, m) in system.seats.iter().zip(&mut moved) {
            for k in 0..usize::from(seat.count) {
                *m += seat.basis[k] * step[seat.first as usize + k];
            }
        }
        // Fixed points have had their effect already.
        let mut by_step = moved.clone();
        for (seat, m) in system.seats.iter().zip(&mut by_step) {
            if seat.count == 0 {
                *m = Vector3::zeros();
            }
        }
        self.carry(system, &by_step, Some(&step), &mut direct);
        for (change, part) in direct.iter_mut().zip(&state.parts) {
            change.tension_first = part.first.direction().dot(&change.first);
            change.tension_last = part.last.direction().dot(&change.last);
        }
        let starts = system
            .runs
            .iter()
            .zip(&rig.ropes)
            .map(|(run, rope)| (run.parts as usize, rope.parts()))
            .collect();
        let rig_tag = match rig.points().next() {
            Some(id) => id.rig,
            None => 0,
        };
        Ok(Response { rig: rig_tag, at: moved, parts: direct, starts })
    }

    /// Adds what moved points and moved shares do to the forces and lengths of all parts.
    fn carry(
        &self,
        system: &System<'_>,
        moved: &[Vector3<f64>],
        step: Option<&[f64]>,
        direct: &mut [PartChange],
    ) {
        let state = &self.found.state;
        for (r, rope) in system.rig.ropes.iter().enumerate() {
            let run = &system.runs[r];
            let first = run.parts as usize;
            let by = |k: usize| moved[rope.nodes[k + 1] as usize] - moved[rope.nodes[k] as usize];
            if run.form == Form::Whole {
                let longer: f64 =
                    (0..rope.parts()).map(|k| state.parts[first + k].first.direction().dot(&by(k))).sum();
                let chords: f64 = (0..rope.parts()).map(|k| self.chord(rope, k)).sum();
                let strain = state.parts[first].first.strain;
                for k in 0..rope.parts() {
                    let part = &state.parts[first + k];
                    let change = part.stiffness * by(k) + part.first.direction() * (state.slopes[r] * longer);
                    direct[first + k].first += change;
                    direct[first + k].last += change;
                    // L = L_total·ℓ/Σℓ, or ℓ/(1+ε) under a set tension
                    let own = part.first.direction().dot(&by(k));
                    direct[first + k].length += match rope.supply {
                        Supplied::Length(total) if chords > 0.0 => {
                            total * (own - self.chord(rope, k) * longer / chords) / chords
                        }
                        Supplied::Length(_) => 0.0,
                        Supplied::Tension(..) => own / (1.0 + strain),
                    };
                }
                continue;
            }
            for k in 0..rope.parts() {
                let part = &state.parts[first + k];
                let mut length = 0.0;
                if let Some(step) = step {
                    for (node, sign) in [(k, -1.0), (k + 1, 1.0)] {
                        let knot = system.knot(r, node);
                        if knot != NONE {
                            length += sign * step[knot as usize];
                        }
                    }
                }
                let change = part.stiffness * by(k);
                direct[first + k].first += change + part.first_by_length(rope.weight_n_per_m) * length;
                direct[first + k].last += change + part.by_length * length;
                direct[first + k].length += length;
            }
        }
    }

    fn chord(&self, rope: &RopeData, k: usize) -> f64 {
        let at = &self.found.state.at;
        math::sqrt((at[rope.nodes[k + 1] as usize] - at[rope.nodes[k] as usize]).norm_squared())
    }

    /// What changed forces leave out of balance.
    fn gather(&self, system: &System<'_>, direct: &[PartChange], unbalanced: &mut [f64]) {
        let state = &self.found.state;
        for (r, rope) in system.rig.ropes.iter().enumerate() {
            let first = system.runs[r].parts as usize;
            for k in 0..rope.parts() {
                system::spread(&system.seats[rope.nodes[k] as usize], &-direct[first + k].first, unbalanced);
                system::spread(
                    &system.seats[rope.nodes[k + 1] as usize],
                    &direct[first + k].last,
                    unbalanced,
                );
            }
            for node in 0..=rope.parts() {
                let knot = system.knot(r, node);
                if knot == NONE {
                    continue;
                }
                let inner = node > 0 && node < rope.parts();
                if system.mode == Mode::Moving && rope.has_moving_friction() && inner {
                    let (before, after) =
                        (&state.parts[first + node - 1].last, &state.parts[first + node].first);
                    let slopes = bend::slopes(rope, node - 1, system.friction_level, before, after);
                    unbalanced[knot as usize] += slopes.before.dot(&direct[first + node - 1].last)
                        + slopes.after.dot(&direct[first + node].first);
                    continue;
                }
                // P changes by (1+ε)·δT; what the curve itself changes is the same on both sides.
                if node > 0 {
                    let tip = &state.parts[first + node - 1].last;
                    unbalanced[knot as usize] -=
                        (1.0 + tip.strain) * tip.direction().dot(&direct[first + node - 1].last);
                }
                if node < rope.parts() {
                    let tip = &state.parts[first + node].first;
                    unbalanced[knot as usize] +=
                        (1.0 + tip.strain) * tip.direction().dot(&direct[first + node].first);
                }
            }
        }
        for (v, held) in balance::pressed(system, state).into_iter().enumerate() {
            if held {
                unbalanced[v] = 0.0;
            }
        }
    }
}

/// A part whose tension changes with nothing moving.
fn pulled(part: &PartState, by: f64) -> PartChange {
    let change = part.first.direction() * by;
    PartChange { first: change, last: change, ..PartChange::default() }
}

/// More rope at the last end, every point and every other share where it was.
fn longer(system: &System<'_>, parts: &[PartState], r: usize, by: f64, direct: &mut [PartChange]) {
    let (rope, run) = (&system.rig.ropes[r], &system.runs[r]);
    let first = run.parts as usize;
    if run.form == Form::Whole {
        let strain = parts[first].first.strain;
        for k in first..first + rope.parts() {
            // ∂T/∂L = −T'·(1+ε)/L
            let slope = if parts[k].first.tension > 0.0 {
                rope.stretch.tangent_at(strain) / run.total_m
            } else {
                0.0
            };
            direct[k] = pulled(&parts[k], -slope * (1.0 + strain) * by);
            direct[k].length = parts[k].length_m / run.total_m * by;
        }
    } else {
        let last = first + rope.parts() - 1;
        let part = &parts[last];
        direct[last].first = part.first_by_length(rope.weight_n_per_m) * by;
        direct[last].last = part.by_length * by;
        direct[last].length = by;
    }
}

/// A curve raised by a part, every point and every share where it was.
fn stiffer(system: &System<'_>, parts: &[PartState], r: usize, by: f64, direct: &mut [PartChange]) {
    let (rope, run) = (&system.rig.ropes[r], &system.runs[r]);
    let first = run.parts as usize;
    for k in first..first + rope.parts() {
        let part = &parts[k];
        if run.form == Form::Whole {
            if let Supplied::Tension(_, tension) = rope.supply {
                // Only the length answers: ε falls by T·dε/dT.
                let strain = rope.stretch.strain_at(tension);
                let less = tension / rope.stretch.tangent_at(strain) * by;
                direct[k].length = part.length_m * less / (1.0 + strain);
            } else {
                direct[k] = pulled(part, part.first.tension * by);
            }
        } else if rope.weight_n_per_m == 0.0 {
            direct[k] = pulled(part, part.first.tension * by);
        } else {
            // At unchanged forces the part would be shorter by ∫(direction)·T·dε/dT ds; it isn't.
            let change = part.stiffness * shortening(part, rope.weight_n_per_m, &rope.stretch) * by;
            direct[k].first = change;
            direct[k].last = change;
        }
    }
}

/// ∫(F/T)·T·(dε/dT) ds along a heavy part.
fn shortening(part: &PartState, weight_n_per_m: f64, stretch: &Stretch) -> Vector3<f64> {
    if stretch.is_linear() {
        // ∫F ds/EA, F rising evenly from end to end
        return (part.first.along + part.last.along) * (0.5 * part.length_m / stretch.a_n());
    }
    /// Zeros of the Legendre polynomial of degree 5, and their weights.
    const GAUSS: [(f64, f64); 5] = [
        (0.0, 0.568_888_888_888_888_9),
        (0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
        (-0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
        (0.906_179_845_938_664, 0.236_926_885_056_189_1),
        (-0.906_179_845_938_664, 0.236_926_885_056_189_1),
    ];
    const PANELS: u32 = 32;
    let half = 0.5 * part.length_m / f64::from(PANELS);
    let mut sum = Vector3::zeros();
    for panel in 0..PANELS {
        let middle = half * f64::from(2 * panel + 1);
        for (node, weight) in GAUSS {
            let s = middle + half * node;
            let along = part.first.along + Vector3::new(0.0, 0.0, weight_n_per_m * s);
            let tension = math::sqrt(along.norm_squared());
            sum += along * (half * weight / stretch.tangent_at(stretch.strain_at(tension)));
        }
    }
    sum
}
