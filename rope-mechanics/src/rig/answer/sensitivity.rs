//! The derivative of everything a rig says by anything it was given, without solving it again.
//!
//! At an equilibrium R(x, p) = 0, so dx/dp = −(∂R/∂x)⁻¹·∂R/∂p: one substitution into the factors that the solution
//! left behind. Everything else follows from x.
#![allow(clippy::needless_range_loop, reason = "two lists share the index")]
#![allow(clippy::indexing_slicing, reason = "every index was made together with the array it goes into")]

use super::Solution;
use super::response::{Change, PartChange, Response};
use crate::error;
use crate::line::hang::{self, RopeLaw};
use crate::line::span;
use crate::math;
use crate::motion::Motion;
use crate::rig::equations::balance;
use crate::rig::equations::bend;
use crate::rig::equations::part::{PartState, Tip};
use crate::rig::equations::{self, Equations, NONE, RopeForm};
use crate::rig::error::RigError;
use crate::rig::model::ids::{RopeId, SheaveId};
use crate::rig::model::{Hold, RopeData, RopeEnd, Supplied};
use crate::rope::Stretch;
use crate::sheave::Loss;
use alloc::vec;
use alloc::vec::Vec;
use nalgebra::Vector3;

impl Solution {
    /// What a small change of one input does to every output: their derivative times the change.
    ///
    /// # Errors
    /// If the point, rope or sheave is another rig's; if the change is not finite; if the rig has no such input: a
    /// length or a set tension that was not given, the weight of a weightless rope, the load on a fixed point, the
    /// place of one that moves, the plane of one that has none, the friction of a sheave, or a loss where a moving rope
    /// loses nothing at all.
    ///
    /// ```
    /// # use rope_mechanics::geometry::Point3;
    /// # use rope_mechanics::quantity::{Force, Length, unit::{kilonewton, meter, newton}};
    /// # use rope_mechanics::rig::{Change, FreePoint, Rig, RopeRun, RopeSupply};
    /// # use rope_mechanics::rope::Stretch;
    /// # use rope_mechanics::sheave::Turn;
    /// # let at = |x, z| Point3::new(Length::new::<meter>(x), Length::new::<meter>(0.0), Length::new::<meter>(z));
    /// # let mut rig = Rig::new();
    /// # let (left, right) = (rig.fixed("left", at(0.0, 0.0))?, rig.fixed("right", at(30.0, 0.0))?);
    /// # let weight = Force::new::<newton>(2000.0);
    /// # let carriage = rig.point("carriage", FreePoint::anywhere().with_weight(weight))?;
    /// # let stretch = Stretch::linear(Force::new::<kilonewton>(40.0))?;
    /// # let length = RopeSupply::Length(Length::new::<meter>(31.0));
    /// # let track = rig.rope("track", RopeRun::new(stretch, length, left, right).over(carriage, Turn::FRICTIONLESS))?;
    /// // 10 cm more rope in a line of 31 m over 30 m: how much lower does the carriage hang?
    /// let more = rig.solve()?.response(Change::Length(track, Length::new::<meter>(0.1)))?;
    /// assert!(more.position(carriage)?.z < Length::new::<meter>(-0.1));
    /// # Ok::<(), rope_mechanics::rig::RigError>(())
    /// ```
    pub fn response(&self, change: Change) -> Result<Response, RigError> {
        let mut changed = Changed::new(self);
        changed.begin(change)?;
        changed.settle();
        changed.finish()
    }
}

/// A solution and what has changed of it so far.
struct Changed<'s> {
    solution: &'s Solution,
    system: &'s Equations<'static>,
    parts: Vec<PartChange>,
    moved: Vec<Vector3<f64>>,
    /// ∂R/∂p·δp
    unbalanced: Vec<f64>,
    /// More load on a point.
    load: Option<(usize, Vector3<f64>)>,
    /// The rope whose own nature changes, and how.
    nature: Option<(usize, Nature)>,
}

/// How the rope itself changes: what its curve gains, and by which part its weight grows.
#[derive(Debug, Clone, Copy)]
struct Nature {
    gain: Stretch,
    heavier: f64,
}

impl Nature {
    const SAME: Self = Self { gain: Stretch::gain(0.0, 0.0), heavier: 0.0 };
}

impl<'s> Changed<'s> {
    fn new(solution: &'s Solution) -> Self {
        let system = &solution.system;
        Self {
            solution,
            system,
            parts: vec![PartChange::default(); system.part_count],
            moved: vec![Vector3::zeros(); system.rig.points.len()],
            unbalanced: equations::zeros(system.variables()),
            load: None,
            nature: None,
        }
    }

    /// What the change does with nothing moving.
    fn begin(&mut self, change: Change) -> Result<(), RigError> {
        let (system, rig) = (self.system, &self.system.rig);
        let states = &self.solution.found.state.parts;
        let missing = |name: &str, input| RigError::NoInput { name: name.into(), input };
        match change {
            Change::Length(id, by) => {
                let r = rig.rope_at(id)?;
                let by = error::finite("length_change", by)?;
                if !matches!(rig.ropes[r].supply, Supplied::Length(_)) {
                    return Err(missing(&rig.ropes[r].name, "length"));
                }
                longer(system, states, r, by, &mut self.parts);
            }
            Change::Tension(id, by) => {
                let r = rig.rope_at(id)?;
                let by = error::finite("tension_change", by)?;
                let Supplied::Tension(end, tension) = rig.ropes[r].supply else {
                    return Err(missing(&rig.ropes[r].name, "set tension"));
                };
                self.pull(r, end, tension, by);
            }
            Change::Stiffness(id, by) => {
                let by = error::finite("stiffness_change", by)?;
                self.alter(id, |rope| {
                    let gain = Stretch::gain(by * rope.stretch.a_n(), by * rope.stretch.b_n());
                    Nature { gain, ..Nature::SAME }
                })?;
            }
            Change::StretchA(id, by) => {
                let by = error::finite("stretch_a_change", by)?;
                self.alter(id, |rope| Nature {
                    gain: Stretch::gain(by * f64::from(rope.strands), 0.0),
                    ..Nature::SAME
                })?;
            }
            Change::StretchB(id, by) => {
                let by = error::finite("stretch_b_change", by)?;
                self.alter(id, |rope| Nature {
                    gain: Stretch::gain(0.0, by * f64::from(rope.strands)),
                    ..Nature::SAME
                })?;
            }
            Change::Weight(id, by) => {
                let rope = &rig.ropes[rig.rope_at(id)?];
                let by = error::finite("weight_change", by)?;
                if rope.weight_n_per_m == 0.0 {
                    return Err(missing(&rope.name, "weight"));
                }
                self.alter(id, |rope| Nature { heavier: by / rope.weight_n_per_m, ..Nature::SAME })?;
            }
            Change::Efficiency(id, by) => self.lose(id, Loss::Efficiency, "efficiency", by.value)?,
            Change::FrictionRaising(id, by) => self.lose(id, Loss::Raising, "friction raising", by.value)?,
            Change::FrictionLowering(id, by) => {
                self.lose(id, Loss::Lowering, "friction lowering", by.value)?
            }
            Change::Load(id, by) => {
                let p = rig.point_at(id)?;
                let by = by.finite("load_change")?;
                if rig.points[p].hold == Hold::Fixed {
                    return Err(missing(&rig.points[p].name, "load"));
                }
                self.load = Some((p, by));
                equations::spread(&system.seats[p], &-by, &mut self.unbalanced);
            }
            Change::Place(id, by) => {
                let p = rig.point_at(id)?;
                if rig.points[p].hold != Hold::Fixed {
                    return Err(missing(&rig.points[p].name, "fixed place"));
                }
                self.moved[p] = by.finite("place_change")?;
            }
            Change::Through(id, by) => {
                let p = rig.point_at(id)?;
                if matches!(rig.points[p].hold, Hold::Fixed | Hold::Free) {
                    return Err(missing(&rig.points[p].name, "plane, line or ground"));
                }
                self.moved[p] = by.finite("place_change")?;
            }
            Change::Tilt(id, [x, y, z]) => {
                let p = rig.point_at(id)?;
                let (Hold::Plane { through, normal: axis }
                | Hold::Ground { through, normal: axis }
                | Hold::Line { through, along: axis }) = rig.points[p].hold
                else {
                    return Err(missing(&rig.points[p].name, "plane, line or ground"));
                };
                let checked = |x| error::finite("tilt", x);
                let by = Vector3::new(checked(x)?, checked(y)?, checked(z)?);
                // A small turn ω = n × δn of the plane: every direction in it by ω × that.
                let turn = axis.cross(&by);
                self.moved[p] =
                    turn.cross(&(self.solution.found.state.at[p] - (through - self.solution.system.origin)));
                let (seat, held) = (&system.seats[p], self.solution.held_n(p));
                for k in 0..usize::from(seat.count) {
                    self.unbalanced[seat.first as usize + k] += turn.cross(&seat.basis[k]).dot(&held);
                }
            }
        }
        Ok(())
    }

    /// More of a set tension.
    fn pull(&mut self, r: usize, end: RopeEnd, tension: f64, by: f64) {
        let (run, rope) = (&self.system.runs[r], &self.system.rig.ropes[r]);
        let first = run.parts as usize;
        let strain = rope.stretch.strain_at(tension);
        if run.form == RopeForm::Whole {
            for k in first..first + rope.parts() {
                let state = &self.solution.found.state.parts[k];
                self.parts[k] = pulled(state, by);
                let softer = by / rope.stretch.tangent_at(strain);
                self.parts[k].length = -state.length_m * softer / (1.0 + strain);
            }
        } else {
            // P changes by (1+ε)·δT
            let knot = self.system.knot(r, if end == RopeEnd::First { 0 } else { rope.parts() });
            let p = (1.0 + strain) * by;
            self.unbalanced[knot as usize] += if end == RopeEnd::First { -p } else { p };
        }
    }

    /// Another curve or weight of a rope, every point and every share where it was.
    fn alter(&mut self, id: RopeId, how: impl FnOnce(&RopeData) -> Nature) -> Result<(), RigError> {
        let r = self.system.rig.rope_at(id)?;
        let (rope, run) = (&self.system.rig.ropes[r], &self.system.runs[r]);
        let nature = how(rope);
        self.nature = Some((r, nature));
        let first = run.parts as usize;
        for k in first..first + rope.parts() {
            let part = &self.solution.found.state.parts[k];
            let strain = part.first.strain;
            if rope.weight_n_per_m > 0.0 {
                (self.parts[k].first, self.parts[k].last) = altered(part, rope, nature);
            } else if let (RopeForm::Whole, Supplied::Tension(..)) = (run.form, rope.supply) {
                // Only the length answers: ε falls by δT/T'.
                let less = nature.gain.tension_at(strain) / rope.stretch.tangent_at(strain);
                self.parts[k].length = part.length_m * less / (1.0 + strain);
            } else {
                self.parts[k] = pulled(part, nature.gain.tension_at(strain));
            }
        }
        Ok(())
    }

    /// Another loss at a turn.
    fn lose(&mut self, id: SheaveId, loss: Loss, input: &'static str, by: f64) -> Result<(), RigError> {
        let rig = &self.system.rig;
        let r = rig.rope_at(id.rope())?;
        let (rope, turn) = (&rig.ropes[r], id.turn as usize);
        let by = error::finite("loss_change", crate::quantity::ratio(by))?;
        if turn >= rope.turns.len() {
            return Err(RigError::Foreign { kind: "sheave" });
        }
        let missing = RigError::NoInput { name: rope.name.clone(), input };
        let first = self.system.runs[r].parts as usize + turn;
        let states = &self.solution.found.state.parts;
        let slope = bend::by_loss(rope, turn, loss, &states[first].last, &states[first + 1].first)
            .ok_or_else(|| missing.clone())?;
        if rope.motion == Motion::AtRest {
            return Ok(());
        }
        if !rope.has_moving_friction() {
            return Err(missing);
        }
        self.unbalanced[self.system.knot(r, turn + 1) as usize] += slope * by;
        Ok(())
    }

    /// Moves what moves until all is in balance again.
    fn settle(&mut self) {
        let moved = self.moved.clone();
        self.carry(&moved, None);
        self.gather();
        let mut step: Vec<f64> = self.unbalanced.iter().map(|r| -r).collect();
        self.solution.found.factor.solve(&self.system.pattern, &mut step);
        let mut moved = vec![Vector3::zeros(); self.moved.len()];
        for ((seat, by_step), all) in self.system.seats.iter().zip(&mut moved).zip(&mut self.moved) {
            for k in 0..usize::from(seat.count) {
                *by_step += seat.basis[k] * step[seat.first as usize + k];
            }
            *all += *by_step;
        }
        self.carry(&moved, Some(&step));
    }

    /// Adds what moved points and moved shares do to the forces and lengths of all parts.
    fn carry(&mut self, moved: &[Vector3<f64>], step: Option<&[f64]>) {
        let (system, state, direct) = (self.system, &self.solution.found.state, &mut self.parts);
        for (r, rope) in system.rig.ropes.iter().enumerate() {
            let run = &system.runs[r];
            let first = run.parts as usize;
            let by = |k: usize| moved[rope.nodes[k + 1] as usize] - moved[rope.nodes[k] as usize];
            if run.form == RopeForm::Whole {
                let longer: f64 =
                    (0..rope.parts()).map(|k| state.parts[first + k].first.direction().dot(&by(k))).sum();
                let distances: Vec<f64> =
                    (0..rope.parts()).map(|k| distance(&self.solution.chord_m(rope, k))).collect();
                let chords: f64 = distances.iter().sum();
                // Slack or taut, the shares go by the chords.
                let own = |k: usize| self.solution.heading(&Tip::SLACK, rope, k).dot(&by(k));
                let sum: f64 = (0..rope.parts()).map(own).sum();
                let strain = state.parts[first].first.strain;
                for k in 0..rope.parts() {
                    let part = &state.parts[first + k];
                    let change = part.stiffness * by(k) + part.first.direction() * (state.slopes[r] * longer);
                    direct[first + k].first += change;
                    direct[first + k].last += change;
                    // L = L_total·ℓ/Σℓ, or ℓ/(1+ε) under a set tension
                    direct[first + k].length += match rope.supply {
                        Supplied::Length(total) if chords > 0.0 => {
                            total * (own(k) - distances[k] * sum / chords) / chords
                        }
                        Supplied::Length(_) => 0.0,
                        Supplied::Tension(..) => own(k) / (1.0 + strain),
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

    /// What changed forces leave out of balance.
    fn gather(&mut self) {
        let (system, state) = (self.system, &self.solution.found.state);
        let (direct, unbalanced) = (&self.parts, &mut self.unbalanced);
        for (r, rope) in system.rig.ropes.iter().enumerate() {
            let first = system.runs[r].parts as usize;
            for k in 0..rope.parts() {
                equations::spread(
                    &system.seats[rope.nodes[k] as usize],
                    &-direct[first + k].first,
                    unbalanced,
                );
                equations::spread(
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
                if system.is_lossy(rope) && inner {
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
    /// Everything that follows from what has moved.
    fn finish(mut self) -> Result<Response, RigError> {
        let (system, solution) = (self.system, self.solution);
        let rig = &system.rig;
        let states = &solution.found.state.parts;
        let mut forces = vec![Vector3::zeros(); rig.points.len()];
        for (r, rope) in rig.ropes.iter().enumerate() {
            let first = system.runs[r].parts as usize;
            let nature = self.nature.filter(|(of, _)| *of == r).map_or(Nature::SAME, |(_, nature)| nature);
            for k in 0..rope.parts() {
                let (state, change) = (&states[first + k], &mut self.parts[first + k]);
                let (a, b) = (rope.nodes[k] as usize, rope.nodes[k + 1] as usize);
                forces[a] += change.first;
                forces[b] -= change.last;
                let by = self.moved[b] - self.moved[a];
                change.chord = solution.heading(&Tip::SLACK, rope, k).dot(&by);
                change.tension_first = state.first.direction().dot(&change.first);
                change.tension_last = state.last.direction().dot(&change.last);
                let (tip, more) = if state.first.strain >= state.last.strain {
                    (&state.first, change.tension_first)
                } else {
                    (&state.last, change.tension_last)
                };
                if tip.tension > 0.0 {
                    // δε = (δT − what the curve itself gains)/T'
                    change.strain =
                        (more - nature.gain.tension_at(tip.strain)) / rope.stretch.tangent_at(tip.strain);
                }
                if rope.weight_n_per_m > 0.0 {
                    change.sag = sag(solution, rope, k, state, change, &by, nature)?;
                }
            }
            for k in 0..rope.turns.len() {
                let heading = |part: usize| {
                    let (state, change) = (&states[first + part], &self.parts[first + part]);
                    let (tip, force) =
                        if part == k { (&state.last, change.last) } else { (&state.first, change.first) };
                    let by =
                        self.moved[rope.nodes[part + 1] as usize] - self.moved[rope.nodes[part] as usize];
                    let chord = distance(&solution.chord_m(rope, part));
                    let u = solution.heading(tip, rope, part);
                    let (by, size) = if tip.tension > 0.0 { (force, tip.tension) } else { (by, chord) };
                    // δ(F/T) = (δF − u·(u·δF))/T
                    let turned = if size > 0.0 { (by - u * u.dot(&by)) / size } else { Vector3::zeros() };
                    (u, turned)
                };
                self.parts[first + k].turn = turned(heading(k), heading(k + 1));
            }
        }
        let mut reactions: Vec<_> = forces.iter().map(|force| -force).collect();
        if let Some((point, load)) = self.load {
            reactions[point] -= load;
        }
        let ropes = system
            .runs
            .iter()
            .zip(&rig.ropes)
            .map(|(run, rope)| (run.parts as usize, rope.parts()))
            .collect();
        Ok(Response { ids: rig.ids.clone(), at: self.moved, forces, reactions, parts: self.parts, ropes })
    }
}

fn distance(chord: &Vector3<f64>) -> f64 {
    math::sqrt(chord.norm_squared())
}

/// By how much the angle between two directions changes when they do.
fn turned((a, da): (Vector3<f64>, Vector3<f64>), (b, db): (Vector3<f64>, Vector3<f64>)) -> f64 {
    /// Below this sine, the two run along one line.
    const STRAIGHT: f64 = 1e-12;
    let (cross, cos) = (a.cross(&b), a.dot(&b));
    let by = da.cross(&b) + a.cross(&db);
    let sin = distance(&cross);
    if sin > STRAIGHT {
        // δθ = cos θ·δ sin θ − sin θ·δ cos θ
        cos * cross.dot(&by) / sin - sin * (da.dot(&b) + a.dot(&db))
    } else if cos < 0.0 {
        -distance(&by)
    } else {
        distance(&by)
    }
}

/// By how much the sag of a heavy part changes.
///
/// At the mark where it hangs lowest, the sag doesn't depend on the mark; so the mark may stay. The rope from the first
/// end to the mark answers to the force at its end as any part does.
fn sag(
    solution: &Solution,
    rope: &RopeData,
    k: usize,
    state: &PartState,
    change: &PartChange,
    by: &Vector3<f64>,
    nature: Nature,
) -> Result<f64, RigError> {
    let span = solution.span(rope, k, state.length_m);
    let refused = |source| RigError::Part { rope: rope.name.clone(), source };
    let line = span::solve(&span).map_err(refused)?;
    let mark = super::lowest(&span, &line);
    let (x, z) = line.point(mark);
    let w = span.weight_n_per_m;
    if span.span_m == 0.0 {
        if mark <= 0.0 || mark >= span.length_m {
            return Ok(0.0);
        }
        // D = ∫(1+ε) dT/w from 0 to the tension at the first end
        let deeper = ((1.0 + state.first.strain) * change.tension_first + z * w * nature.heavier) / w;
        let shorter = shortening(&state.first.along, mark, rope, &nature.gain).z;
        return Ok(deeper + shorter + if span.rise_m < 0.0 { by.z } else { 0.0 });
    }
    let chord = solution.chord_m(rope, k);
    let level = Vector3::new(chord.x, chord.y, 0.0) / span.span_m;
    let place = level * x + Vector3::new(0.0, 0.0, z);
    let upper = PartState::heavy(place, mark, w, &rope.stretch).map_err(refused)?;
    let soft = upper.stiffness.try_inverse().ok_or_else(|| RigError::Loose {
        point: solution.system.rig.points[rope.nodes[k + 1] as usize].name.clone(),
        stiffness: 0.0,
    })?;
    let moved = soft * (change.first - altered(&upper, rope, nature).0);
    // sag = Z/X·x − z
    let steep = span.rise_m / span.span_m;
    Ok((by.z - steep * level.dot(by)) / span.span_m * x + steep * level.dot(&moved) - moved.z)
}

/// A part whose tension changes with nothing moving.
fn pulled(part: &PartState, by: f64) -> PartChange {
    let change = part.first.direction() * by;
    PartChange { first: change, last: change, ..PartChange::default() }
}

/// More rope at the last end, every point and every other share where it was.
fn longer(system: &Equations<'_>, parts: &[PartState], r: usize, by: f64, direct: &mut [PartChange]) {
    let (rope, run) = (&system.rig.ropes[r], &system.runs[r]);
    let first = run.parts as usize;
    if run.form == RopeForm::Whole {
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

/// What another curve or weight does to the forces at the ends of a heavy part, both ends where they were.
fn altered(part: &PartState, rope: &RopeData, nature: Nature) -> (Vector3<f64>, Vector3<f64>) {
    // F(λw, λa, λb) = λ·F: w·∂F/∂w = F − ∂F/∂(ln stiffness)
    let h = nature.heavier;
    let gain =
        Stretch::gain(nature.gain.a_n() - h * rope.stretch.a_n(), nature.gain.b_n() - h * rope.stretch.b_n());
    // At unchanged forces the part would be shorter by this; it isn't.
    let held = part.stiffness * shortening(&part.first.along, part.length_m, rope, &gain);
    (held + part.first.along * h, held + part.last.along * h)
}

/// By how much the last end of a heavy part comes nearer when the curve of the rope gains this and the force at its
/// first end stays.
fn shortening(first: &Vector3<f64>, length_m: f64, rope: &RopeData, gain: &Stretch) -> Vector3<f64> {
    let law = RopeLaw { weight_n_per_m: rope.weight_n_per_m, stretch: rope.stretch };
    let h = math::hypot(first.x, first.y);
    let (level, up) = hang::shortened(&law, gain, h, first.z, length_m);
    let part = if h > 0.0 { level / h } else { 0.0 };
    Vector3::new(first.x * part, first.y * part, up)
}
