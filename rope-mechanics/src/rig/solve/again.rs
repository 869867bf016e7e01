//! A rig solved again after a change, in the room and from the place of the solution before.
//!
//! The order of elimination, the places of all entries and every list stay as they are. The start is where the solution
//! before leads to first order: x + dx/dp·δp, with dR/dp·δp from a millionth of the change and the factors at hand. From
//! there Newton's method takes full steps. What it comes to passes the same gates as any other answer.
#![allow(clippy::indexing_slicing, reason = "every index was made together with the array it goes into")]

use super::certify::certify;
use super::friction;
use super::newton::{self, Room};
use super::refusal;
use super::step::longest_step;
use crate::error::{self, InputError};
use crate::math;
use crate::quantity::{LineWeight, metres, n_per_m, newtons, ratio};
use crate::rig::Change;
use crate::rig::answer::{Certificate, Solution};
use crate::rig::equations::balance::{Equilibrium, allowed, hold_fast, pressed_into, size_m, steady, worst};
use crate::rig::equations::sparse::{Factor, SparseMatrix};
use crate::rig::equations::{self, Equations, Mode, RigState, Seat};
use crate::rig::error::RigError;
use crate::rig::model::ids::{PointId, RopeId, SheaveId};
use crate::rig::model::rope::Around;
use crate::rig::model::{Hold, PointData, RopeData, Supplied};
use crate::rig::options::Options;
use crate::rope::Stretch;
use crate::sheave::Turn;
use alloc::boxed::Box;
use alloc::vec::Vec;
use nalgebra::Vector3;

/// Newton's steps at most: each squares what is wrong, so that a start in reach takes five or fewer.
const STEPS: u32 = 8;
/// The share of a change by which its derivative is found: halfway, in digits, between its rounding and its square.
const SHARE: f64 = 1e-6;

impl Solution {
    /// Solves the same rig again with some of its inputs changed: this solution becomes the new one. If the changed rig is
    /// refused it stays as it was.
    ///
    /// The changes are the differences that [`Solution::response`] takes, but here they count in full, whatever their
    /// size; those of one call take effect together. What a small change asks for is reached in two or three steps of
    /// Newton's method, without the heap from the second call on (but for rigs with a rope that moves over a rough turn).
    /// What is found is certified as [`Rig::solve`](crate::rig::Rig::solve) certifies it. A change too large for that is
    /// solved from the beginning, as [`Rig::solve`](crate::rig::Rig::solve) does; [`Certificate::iterations`] counts the
    /// steps either way.
    ///
    /// Where the rig may have several equilibria ([`Certificate::unique`] is false) the one near this solution is given,
    /// which need not be that of [`Rig::solve`](crate::rig::Rig::solve).
    ///
    /// # Errors
    /// As [`Solution::response`] where the rig has no such input, and as [`Rig::rope`](crate::rig::Rig::rope) and
    /// [`Rig::point`](crate::rig::Rig::point) for what the input becomes; else as [`Rig::solve`](crate::rig::Rig::solve).
    ///
    /// ```
    /// # use rope_mechanics::geometry::Point3;
    /// # use rope_mechanics::quantity::{Force, Length, unit::{kilonewton, meter, newton}};
    /// # use rope_mechanics::rig::{Change, FreePoint, Rig, RopeRun, RopeSupply};
    /// # use rope_mechanics::rope::Stretch;
    /// # use rope_mechanics::sheave::Turn;
    /// # let m = Length::new::<meter>;
    /// # let at = |x, z| Point3::new(m(x), m(0.0), m(z));
    /// # let mut rig = Rig::new();
    /// # let (left, right) = (rig.fixed("left", at(0.0, 0.0))?, rig.fixed("right", at(30.0, 0.0))?);
    /// # let weight = Force::new::<newton>(2000.0);
    /// # let carriage = rig.point("carriage", FreePoint::anywhere().with_weight(weight))?;
    /// # let stretch = Stretch::linear(Force::new::<kilonewton>(40.0))?;
    /// # let length = RopeSupply::Length(m(31.0));
    /// # let track = rig.rope("track", RopeRun::new(stretch, length, left, right).over(carriage, Turn::FRICTIONLESS))?;
    /// let mut solution = rig.solve()?;
    /// for _ in 0..10 {
    ///     let before = solution.position(carriage)?.z;
    ///     solution.resolve(&[Change::Length(track, m(0.1))])?; // let out 10 cm
    ///     assert!(solution.position(carriage)?.z < before && solution.certificate().iterations <= 3);
    /// }
    /// # Ok::<(), rope_mechanics::rig::RigError>(())
    /// ```
    pub fn resolve(&mut self, changes: &[Change]) -> Result<(), RigError> {
        let mut again = self.again.take().unwrap_or_else(|| Box::new(Again::of(&self.system)));
        let done = again.solve(self, changes);
        self.again = Some(again);
        done
    }
}

/// The room in which a rig is solved again.
#[derive(Debug, Clone)]
pub(crate) struct Again {
    found: Equilibrium,
    matrix: SparseMatrix,
    local: Vec<f64>,
    step: Vec<f64>,
    held: Vec<bool>,
    room: Room,
    modes: [Vec<f64>; 2],
    before: Vec<Before>,
}

/// An input as it was, and what follows from it.
#[derive(Debug, Clone, Copy)]
enum Before {
    Rope {
        rope: usize,
        stretch: Stretch,
        strand: (Stretch, LineWeight),
        weight_n_per_m: f64,
        supply: Supplied,
        total_m: f64,
    },
    Turn {
        rope: usize,
        turn: usize,
        around: Around,
    },
    Point {
        point: usize,
        hold: Hold,
        at: Vector3<f64>,
        load_n: Vector3<f64>,
        force_n: Vector3<f64>,
        seat: Seat,
    },
}

impl Again {
    fn of(system: &Equations<'_>) -> Self {
        let symmetric = system.mode != Mode::Moving;
        Self {
            found: Equilibrium {
                state: RigState::default(),
                factor: Factor::new(&system.pattern, symmetric),
                iterations: 0,
            },
            matrix: equations::matrix_for(system),
            local: Vec::new(),
            step: Vec::new(),
            held: Vec::new(),
            room: Room::default(),
            modes: [Vec::new(), Vec::new()],
            before: Vec::new(),
        }
    }

    fn solve(&mut self, solution: &mut Solution, changes: &[Change]) -> Result<(), RigError> {
        let rubs = solution.system.rig.has_moving_friction();
        // Where the change leads to first order.
        self.lean(solution, changes)?;
        self.alter(&mut solution.system, changes, 1.0)?;
        // What takes part in the equations may be another rope now.
        let same = solution.system.rig.has_moving_friction() == rubs;
        if same && let Some(certificate) = self.nearby(&solution.system) {
            core::mem::swap(&mut solution.found, &mut self.found);
            solution.renew(certificate);
            return Ok(());
        }
        match solution.system.rig.solve() {
            Ok(fresh) => {
                *solution = fresh;
                if !same {
                    *self = Self::of(&solution.system);
                }
                Ok(())
            }
            Err(why) => {
                self.undo(&mut solution.system);
                Err(why)
            }
        }
    }

    /// The start: x + dx/dp·δp.
    fn lean(&mut self, solution: &mut Solution, changes: &[Change]) -> Result<(), RigError> {
        let Self { found: Equilibrium { state, .. }, .. } = self;
        state.x.clone_from(&solution.found.state.x);
        self.alter(&mut solution.system, changes, SHARE)?;
        let moved = solution.system.evaluate(&mut self.found.state).is_ok();
        self.undo(&mut solution.system);
        let (system, before) = (&solution.system, &solution.found.state);
        let state = &mut self.found.state;
        self.step.clear();
        self.step.resize(system.variables(), 0.0);
        if moved {
            for (step, (now, then)) in
                self.step.iter_mut().zip(state.unbalanced.iter().zip(&before.unbalanced))
            {
                // dR/dp·δp
                *step = (then - now) / SHARE;
            }
            pressed_into(system, before, &mut self.held);
            for (step, _) in self.step.iter_mut().zip(&self.held).filter(|(_, held)| **held) {
                *step = 0.0;
            }
            solution.found.factor.solve_in(&system.pattern, &mut self.step, &mut self.room.ordered);
        }
        let part = longest_step(system, &before.x, &self.step, size_m(system, &before.at));
        state.x.clone_from(&before.x);
        for (x, step) in state.x.iter_mut().zip(&self.step) {
            *x += part * step;
        }
        Ok(())
    }

    /// What Newton's steps lead to from the start, if it passes the gates.
    fn nearby(&mut self, system: &Equations<'_>) -> Option<Certificate> {
        if system.mode == Mode::Moving {
            return self.nearby_with_friction(system);
        }
        let Self {
            found: Equilibrium { state, factor, iterations }, matrix, local, step, held, room, ..
        } = self;
        let mut last = f64::INFINITY;
        for number in 0..=STEPS {
            system.evaluate(state).ok()?;
            let size = size_m(system, &state.at);
            let (residual, _) = worst(system, state);
            system.assemble(state, matrix, local);
            steady(system, state, matrix, size);
            pressed_into(system, state, held);
            if !newton::direction(system, state, matrix, factor, 0.0, held, step, room) {
                return None;
            }
            // As fine as any, or what rounding leaves.
            let fine = residual <= Options::DEFAULT.fine * state.scale_n;
            if fine || residual <= allowed(system, state) && residual >= 0.5 * last {
                *iterations = number;
                if system.has_ground() {
                    hold_fast(system, state, matrix);
                    factor.factor(&system.pattern, matrix, 0.0, Options::DEFAULT.least_pivot).ok()?;
                }
                break;
            }
            if number == STEPS {
                return None;
            }
            last = residual;
            let part = longest_step(system, &state.x, step, size);
            for (x, step) in state.x.iter_mut().zip(step.iter()) {
                *x += part * step;
            }
        }
        let found = &self.found;
        if refusal::check_strains(system, &found.state).is_err() {
            return None;
        }
        let least = newton::least_stiffness_in(system, found, &mut self.modes, &mut self.room.ordered);
        certify(system, found, least).ok()
    }

    fn nearby_with_friction(&mut self, system: &Equations<'_>) -> Option<Certificate> {
        let (found, stiffness) = friction::nearby(system, core::mem::take(&mut self.found.state))?;
        self.found = found;
        certify(system, &self.found, (stiffness, 0)).ok()
    }

    /// Changes the inputs by this share of what is asked, and what follows from them; or nothing, if one can't be.
    fn alter(
        &mut self,
        system: &mut Equations<'static>,
        changes: &[Change],
        share: f64,
    ) -> Result<(), RigError> {
        self.before.clear();
        for change in changes {
            if let Err(why) = alter(system, change, share, &mut self.before) {
                self.undo(system);
                return Err(why);
            }
            // A plane that has turned: its point stays where it is, for a start.
            if let (Change::Tilt(..), Some(Before::Point { point, seat, .. })) = (change, self.before.last())
            {
                turned(&mut self.found.state.x, seat, &system.seats[*point]);
            }
        }
        Ok(())
    }

    fn undo(&mut self, system: &mut Equations<'static>) {
        let Equations { rig, seats, runs, loads_n, .. } = system;
        let rig = rig.to_mut();
        while let Some(before) = self.before.pop() {
            match before {
                Before::Rope { rope, stretch, strand, weight_n_per_m, supply, total_m } => {
                    let data = &mut rig.ropes[rope];
                    (data.stretch, data.strand, data.supply) = (stretch, strand, supply);
                    data.weight_n_per_m = weight_n_per_m;
                    runs[rope].total_m = total_m;
                }
                Before::Turn { rope, turn, around } => rig.ropes[rope].turns[turn] = around,
                Before::Point { point, hold, at, load_n, force_n, seat } => {
                    let data = &mut rig.points[point];
                    (data.hold, data.at, data.load_n, data.force_n) = (hold, at, load_n, force_n);
                    loads_n[point] = load_n;
                    seats[point] = seat;
                }
            }
        }
    }
}

/// The variables of a point that stays where it is while its plane turns.
fn turned(x: &mut [f64], before: &Seat, now: &Seat) {
    let first = before.first as usize;
    let along = |k: usize| before.basis[k] * x[first + k];
    let at = (0..usize::from(before.count)).fold(before.origin, |at, k| at + along(k));
    for k in 0..usize::from(now.count) {
        x[first + k] = now.basis[k].dot(&(at - now.origin));
    }
}

/// Changes one input by this share of what is asked, and what follows from it.
fn alter(
    system: &mut Equations<'static>,
    change: &Change,
    share: f64,
    before: &mut Vec<Before>,
) -> Result<(), RigError> {
    let missing = |name: &str, input| RigError::NoInput { name: name.into(), input };
    match *change {
        Change::Length(id, by) => {
            let by = share * error::finite("length_change", by)?;
            rope(system, id, before, |rope| {
                let Supplied::Length(length) = rope.supply else { return Err(missing(&rope.name, "length")) };
                rope.supply = Supplied::Length(error::positive("rope_length", metres(length + by))?);
                Ok(())
            })
        }
        Change::Tension(id, by) => {
            let by = share * error::finite("tension_change", by)?;
            rope(system, id, before, |rope| {
                let Supplied::Tension(end, tension) = rope.supply else {
                    return Err(missing(&rope.name, "set tension"));
                };
                rope.supply = Supplied::Tension(end, error::positive("set_tension", newtons(tension + by))?);
                Ok(())
            })
        }
        Change::Stiffness(id, by) => {
            let by = share * error::finite("stiffness_change", by)?;
            rope(system, id, before, |rope| stretch(rope, |each| each.scaled(ratio(1.0 + by))))
        }
        Change::StretchA(id, by) => {
            let by = share * error::finite("stretch_a_change", by)?;
            rope(system, id, before, |rope| {
                stretch(rope, |each| Stretch::stiffening(newtons(each.a_n() + by), each.b()))
            })
        }
        Change::StretchB(id, by) => {
            let by = share * error::finite("stretch_b_change", by)?;
            rope(system, id, before, |rope| {
                stretch(rope, |each| Stretch::stiffening(each.a(), newtons(each.b_n() + by)))
            })
        }
        Change::Weight(id, by) => {
            let by = share * error::finite("weight_change", by)?;
            rope(system, id, before, |rope| {
                if rope.weight_n_per_m == 0.0 {
                    return Err(missing(&rope.name, "weight"));
                }
                let weight = error::positive("rope_weight", n_per_m(rope.weight_n_per_m + by))?;
                rope.weight_n_per_m = weight;
                rope.strand.1 = n_per_m(weight / f64::from(rope.strands));
                Ok(())
            })
        }
        Change::Efficiency(id, by) => {
            let by = share * error::finite("loss_change", by)?;
            turn(system, id, before, |rope, turn| {
                let Some(efficiency) = turn.efficiency() else { return Err(missing(rope, "efficiency")) };
                Ok(Turn::sheave(efficiency + ratio(by))?)
            })
        }
        Change::FrictionRaising(id, by) => {
            let by = share * error::finite("loss_change", by)?;
            turn(system, id, before, |rope, turn| {
                let Some([raising, lowering]) = turn.friction() else {
                    return Err(missing(rope, "friction raising"));
                };
                Ok(Turn::bar(raising + ratio(by), lowering)?)
            })
        }
        Change::FrictionLowering(id, by) => {
            let by = share * error::finite("loss_change", by)?;
            turn(system, id, before, |rope, turn| {
                let Some([raising, lowering]) = turn.friction() else {
                    return Err(missing(rope, "friction lowering"));
                };
                Ok(Turn::bar(raising, lowering + ratio(by))?)
            })
        }
        Change::Load(id, by) => {
            let by = by.finite("load_change")? * share;
            point(system, id, before, |point| {
                if point.hold == Hold::Fixed {
                    return Err(missing(&point.name, "load"));
                }
                point.load_n += by;
                point.force_n += by;
                Ok(())
            })
        }
        Change::Place(id, by) => {
            let by = by.finite("place_change")? * share;
            point(system, id, before, |point| {
                if point.hold != Hold::Fixed {
                    return Err(missing(&point.name, "fixed place"));
                }
                point.at += by;
                Ok(())
            })
        }
        Change::Through(id, by) => {
            let by = by.finite("place_change")? * share;
            point(system, id, before, |point| match &mut point.hold {
                Hold::Plane { through, .. } | Hold::Ground { through, .. } | Hold::Line { through, .. } => {
                    *through += by;
                    Ok(())
                }
                Hold::Fixed | Hold::Free => Err(missing(&point.name, "plane, line or ground")),
            })
        }
        Change::Tilt(id, [x, y, z]) => {
            let checked = |x| error::finite("tilt", x).map(|x| share * x);
            let by = Vector3::new(checked(x)?, checked(y)?, checked(z)?);
            point(system, id, before, |point| match &mut point.hold {
                Hold::Plane { normal: axis, .. }
                | Hold::Ground { normal: axis, .. }
                | Hold::Line { along: axis, .. } => {
                    // What it has along the axis doesn't count.
                    let turned = *axis + by - *axis * axis.dot(&by);
                    *axis = turned / math::sqrt(turned.norm_squared());
                    Ok(())
                }
                Hold::Fixed | Hold::Free => Err(missing(&point.name, "plane, line or ground")),
            })
        }
    }
}

fn rope(
    system: &mut Equations<'static>,
    id: RopeId,
    before: &mut Vec<Before>,
    change: impl FnOnce(&mut RopeData) -> Result<(), RigError>,
) -> Result<(), RigError> {
    let rope = system.rig.rope_at(id)?;
    let (data, run) = (&mut system.rig.to_mut().ropes[rope], &mut system.runs[rope]);
    let RopeData { stretch, strand, weight_n_per_m, supply, .. } = *data;
    before.push(Before::Rope { rope, stretch, strand, weight_n_per_m, supply, total_m: run.total_m });
    change(data)?;
    if let Supplied::Length(length) = data.supply {
        run.total_m = length;
    }
    Ok(())
}

/// Another curve of each strand.
fn stretch(
    rope: &mut RopeData,
    to: impl FnOnce(&Stretch) -> Result<Stretch, InputError>,
) -> Result<(), RigError> {
    rope.strand.0 = to(&rope.strand.0)?;
    rope.stretch = rope.strand.0.strands(rope.strands)?;
    Ok(())
}

fn turn(
    system: &mut Equations<'static>,
    id: SheaveId,
    before: &mut Vec<Before>,
    change: impl FnOnce(&str, &Turn) -> Result<Turn, RigError>,
) -> Result<(), RigError> {
    let (rope, turn) = (system.rig.rope_at(id.rope())?, id.turn as usize);
    let RopeData { name, turns, .. } = &mut system.rig.to_mut().ropes[rope];
    let around = turns.get_mut(turn).ok_or(RigError::Foreign { kind: "sheave" })?;
    before.push(Before::Turn { rope, turn, around: *around });
    around.turn = change(name, &around.turn)?;
    Ok(())
}

fn point(
    system: &mut Equations<'static>,
    id: PointId,
    before: &mut Vec<Before>,
    change: impl FnOnce(&mut PointData) -> Result<(), RigError>,
) -> Result<(), RigError> {
    let point = system.rig.point_at(id)?;
    let (data, seat) = (&mut system.rig.to_mut().points[point], &mut system.seats[point]);
    let PointData { hold, at, load_n, force_n, .. } = *data;
    before.push(Before::Point { point, hold, at, load_n, force_n, seat: *seat });
    change(data)?;
    *seat = Seat::of(data, system.origin, seat.first);
    system.loads_n[point] = data.load_n;
    Ok(())
}
