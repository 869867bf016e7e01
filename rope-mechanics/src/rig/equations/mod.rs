//! The equations of a rig: its variables, what is out of balance, and the stiffness of the whole.
//!
//! Variables are the coordinates of the points that move, and, for ropes that share their length among parts, the
//! unstretched length s from the first end to each turn. A part between two turns has the length s₂ − s₁, so the
//! shares add up whatever the variables are, and each part couples only its own two ends.
//!
//! Without friction the equations are the gradient of the energy E(r, s):
//!
//! ∂E/∂r = Σ tension vectors − loads,  ∂E/∂s = P(T after) − P(T before),  P(T) = T·(1+ε) − ∫T dε
//!
//! The second says that the tension is the same on both sides of a turn. A weightless rope needs no s: its tension
//! follows from its whole length, and its energy is a convex function of the sum of its chords.
#![allow(clippy::indexing_slicing, reason = "every index was made together with the array it goes into")]

mod assembly;
pub(crate) mod balance;
pub(crate) mod bend;
pub(crate) mod part;
pub(crate) mod sparse;

use self::part::PartState;
use self::sparse::{Pattern, SparseMatrix};
use super::budget::Budget;
use super::error::RigError;
use super::model::{Hold, PointData, Rig, RopeData, RopeEnd, Supplied};
use crate::math;
use crate::rig::options::Options;
use alloc::borrow::Cow;
use alloc::vec;
use alloc::vec::Vec;
use nalgebra::Vector3;

pub(crate) const NONE: u32 = u32::MAX;

/// Which equations.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Mode {
    /// The gradient of the energy.
    Frictionless,
    /// Ropes that move lose tension at their turns.
    Moving,
    /// The gradient of an energy that is convex whatever the rig: the weight of every rope stands at its points,
    /// and a sheave doesn't quite reach the points beside it ([`Equations::soften_m`]).
    Rough,
}

/// The variables of a point.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Seat {
    /// r = origin + Σ basis·variable
    pub(crate) origin: Vector3<f64>,
    pub(crate) basis: [Vector3<f64>; 3],
    pub(crate) first: u32,
    pub(crate) count: u8,
    /// Whether the first variable is the height above the ground, at least 0.
    pub(crate) grounded: bool,
}

impl Seat {
    /// That of a point whose variables begin with this one, in a rig that is measured from here.
    pub(crate) fn of(point: &PointData, here: Vector3<f64>, first: u32) -> Self {
        // Lines and planes are measured from their place nearest to the rig.
        let (origin, basis, count) = match point.hold {
            Hold::Fixed => (point.at - here, [Vector3::zeros(); 3], 0),
            Hold::Free => (Vector3::zeros(), [Vector3::x(), Vector3::y(), Vector3::z()], 3),
            Hold::Line { through, along } => {
                let from = through - here;
                (from - along * along.dot(&from), [along, Vector3::zeros(), Vector3::zeros()], 1)
            }
            Hold::Plane { through, normal } => {
                let (a, b) = across(normal);
                (normal * normal.dot(&(through - here)), [a, b, Vector3::zeros()], 2)
            }
            Hold::Ground { through, normal } => {
                let (a, b) = across(normal);
                (normal * normal.dot(&(through - here)), [normal, a, b], 3)
            }
        };
        let grounded = matches!(point.hold, Hold::Ground { .. });
        Self { origin, basis, first, count, grounded }
    }
}

/// How the length of a rope enters the equations.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum RopeForm {
    /// Weightless, one tension.
    Whole,
    /// One part of given length.
    Single,
    /// A variable at each turn.
    Shared,
}

/// A rope's place in the arrays.
#[derive(Debug, Clone)]
pub(crate) struct RopeLayout {
    pub(crate) form: RopeForm,
    /// Its first part.
    pub(crate) parts: u32,
    /// Where its `lengths` start: the variable of s at each node, or NONE where s is fixed.
    pub(crate) knots: u32,
    /// s at the last node, where that is fixed.
    pub(crate) total_m: f64,
}

/// A group of variables that are coupled.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Element {
    pub(crate) rope: u32,
    pub(crate) kind: ElementKind,
    pub(crate) vars: u32,
    pub(crate) count: u32,
    pub(crate) places: u32,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum ElementKind {
    /// One part of a rope, by its number in the rope.
    Part(u32),
    /// A whole weightless rope.
    Whole,
    /// A turn that loses tension, by its number in the rope.
    Turn(u32),
}

/// The rig as equations.
#[derive(Debug, Clone)]
pub(crate) struct Equations<'r> {
    pub(crate) rig: Cow<'r, Rig>,
    /// What may still be spent on this rig and on those that are made from it; none without a budget.
    pub(crate) budget: Option<&'r Budget>,
    pub(crate) mode: Mode,
    /// How much of the friction is there: all of it, but on the way to it.
    pub(crate) friction_level: f64,
    /// Chords count as √(ℓ² + this²) where a rope shares its length.
    pub(crate) soften_m: f64,
    /// Where the rig is: a map's coordinates are too long for the last digits of a rope's stretch, so that all
    /// places are measured from its first fixed point.
    pub(crate) origin: Vector3<f64>,
    /// Loads on the points.
    pub(crate) loads_n: Vec<Vector3<f64>>,
    pub(crate) seats: Vec<Seat>,
    pub(crate) runs: Vec<RopeLayout>,
    knots: Vec<u32>,
    pub(crate) elements: Vec<Element>,
    pub(crate) element_vars: Vec<u32>,
    pub(crate) places: Vec<u32>,
    pub(crate) pattern: Pattern,
    pub(crate) part_count: usize,
    /// Variables that are coordinates come first, so many of them.
    pub(crate) coordinates: usize,
}

/// Everything that follows from the variables.
#[derive(Debug, Clone, Default)]
pub(crate) struct RigState {
    pub(crate) x: Vec<f64>,
    /// Places, from [`Equations::origin`].
    pub(crate) at: Vec<Vector3<f64>>,
    pub(crate) parts: Vec<PartState>,
    /// ∂T/∂(sum of chords) of each whole rope, else 0.
    pub(crate) slopes: Vec<f64>,
    /// What is out of balance, one for each variable.
    pub(crate) unbalanced: Vec<f64>,
    /// Largest force in the rig.
    pub(crate) scale_n: f64,
}

impl<'r> Equations<'r> {
    pub(crate) fn new(rig: &'r Rig, mode: Mode) -> Self {
        let mut seats = Vec::with_capacity(rig.points.len());
        let mut next = 0_u32;
        let here = rig.points.iter().find(|p| p.hold == Hold::Fixed).map_or_else(Vector3::zeros, |p| p.at);
        for point in &rig.points {
            let seat = Seat::of(point, here, next);
            next += u32::from(seat.count);
            seats.push(seat);
        }
        let coordinates = next as usize;
        let mut runs = Vec::with_capacity(rig.ropes.len());
        let mut knots = Vec::new();
        let mut part_count = 0;
        for rope in &rig.ropes {
            let parts = rope.parts();
            let lossy = mode == Mode::Moving && rope.has_moving_friction();
            let given = matches!(rope.supply, Supplied::Length(_));
            let whole = mode == Mode::Rough
                || rope.weight_n_per_m == 0.0 && !lossy && parts <= Options::DEFAULT.most_whole_parts;
            let form = if parts == 1 && given {
                RopeForm::Single
            } else if whole {
                RopeForm::Whole
            } else {
                RopeForm::Shared
            };
            let total_m = if let Supplied::Length(l) = rope.supply { l } else { 0.0 };
            runs.push(RopeLayout { form, parts: part_count as u32, knots: knots.len() as u32, total_m });
            part_count += parts;
            if form == RopeForm::Shared {
                for node in 0..=parts {
                    let open = match rope.supply {
                        Supplied::Tension(RopeEnd::First, _) if node == 0 => true,
                        Supplied::Tension(RopeEnd::Last, _) if node == parts => true,
                        _ => node != 0 && node != parts,
                    };
                    knots.push(if open { next } else { NONE });
                    next += u32::from(open);
                }
            }
        }
        let mut system = Self {
            rig: Cow::Borrowed(rig),
            budget: None,
            mode,
            friction_level: 1.0,
            soften_m: 0.0,
            origin: here,
            loads_n: loads(rig, mode),
            seats,
            runs,
            knots,
            elements: Vec::new(),
            element_vars: Vec::new(),
            places: Vec::new(),
            pattern: Pattern::new(0, core::iter::empty()),
            part_count,
            coordinates,
        };
        system.connect();
        let lists = system
            .elements
            .iter()
            .map(|e| &system.element_vars[e.vars as usize..(e.vars + e.count) as usize]);
        let pattern = Pattern::new(next as usize, lists);
        for e in &mut system.elements {
            e.places = system.places.len() as u32;
            let vars = &system.element_vars[e.vars as usize..(e.vars + e.count) as usize];
            for (k, &i) in vars.iter().enumerate() {
                system.places.extend(vars[k..].iter().map(|&j| pattern.place(i, j)));
            }
        }
        system.pattern = pattern;
        system
    }

    /// Lists the elements and their variables.
    fn connect(&mut self) {
        let Self { rig, mode, seats, runs, knots, elements, element_vars, .. } = self;
        for (r, rope) in rig.ropes.iter().enumerate() {
            let run = &runs[r];
            let mut push = |kind, nodes: &[u32], open: &[u32]| {
                let vars = element_vars.len();
                for &node in nodes {
                    let seat = &seats[node as usize];
                    if seat.count > 0 && !element_vars[vars..].contains(&seat.first) {
                        element_vars.extend(seat.first..seat.first + u32::from(seat.count));
                    }
                }
                element_vars.extend(open.iter().filter(|&&k| k != NONE));
                let count = (element_vars.len() - vars) as u32;
                elements.push(Element { rope: r as u32, kind, vars: vars as u32, count, places: 0 });
            };
            match run.form {
                RopeForm::Whole => push(ElementKind::Whole, &rope.nodes, &[]),
                RopeForm::Single | RopeForm::Shared => {
                    for k in 0..rope.parts() {
                        let ends = if run.form == RopeForm::Shared {
                            let at = run.knots as usize + k;
                            [knots[at], knots[at + 1]]
                        } else {
                            [NONE, NONE]
                        };
                        push(ElementKind::Part(k as u32), &rope.nodes[k..k + 2], &ends);
                    }
                    if *mode == Mode::Moving && rope.has_moving_friction() {
                        for k in 0..rope.turns.len() {
                            let at = run.knots as usize + k;
                            let around = [knots[at], knots[at + 1], knots[at + 2]];
                            push(ElementKind::Turn(k as u32), &rope.nodes[k..k + 3], &around);
                        }
                    }
                }
            }
        }
    }

    /// The same, with steps from this budget.
    pub(crate) fn within(self, budget: Option<&'r Budget>) -> Self {
        Self { budget, ..self }
    }

    /// The same, with a copy of the rig of its own.
    pub(crate) fn into_owned(self) -> Equations<'static> {
        Equations { rig: Cow::Owned(self.rig.into_owned()), budget: None, ..self }
    }

    pub(crate) fn variables(&self) -> usize {
        self.pattern.variables()
    }

    /// Whether the energy is convex, so that there is one equilibrium at most: no heavy rope runs, none rubs.
    pub(crate) fn is_convex(&self) -> bool {
        let mut ropes = self.rig.ropes.iter().zip(&self.runs);
        self.mode != Mode::Moving
            && ropes.all(|(rope, run)| run.form != RopeForm::Shared || rope.weight_n_per_m == 0.0)
    }

    /// Whether the tensions on both sides of the turns of a rope differ.
    pub(crate) fn is_lossy(&self, rope: &RopeData) -> bool {
        self.mode == Mode::Moving && rope.has_moving_friction()
    }

    /// Whether both ends of part `k` of a rope stay where they are.
    pub(crate) fn stays(&self, rope: &RopeData, k: usize) -> bool {
        rope.nodes[k..k + 2].iter().all(|&point| self.seats[point as usize].count == 0)
    }

    pub(crate) fn has_ground(&self) -> bool {
        self.seats.iter().any(|seat| seat.grounded)
    }

    /// The variable of s at a node of a shared rope.
    pub(crate) fn knot(&self, rope: usize, node: usize) -> u32 {
        let run = &self.runs[rope];
        if run.form == RopeForm::Shared { self.knots[run.knots as usize + node] } else { NONE }
    }

    /// s at a node of a shared rope.
    fn length_to(&self, rope: usize, node: usize, x: &[f64]) -> f64 {
        let knot = self.knot(rope, node);
        if knot != NONE {
            x[knot as usize]
        } else if node == 0 {
            0.0
        } else {
            self.runs[rope].total_m
        }
    }

    pub(crate) fn positions(&self, x: &[f64], at: &mut Vec<Vector3<f64>>) {
        at.clear();
        at.extend(self.seats.iter().map(|seat| {
            let mut r = seat.origin;
            for k in 0..usize::from(seat.count) {
                r += seat.basis[k] * x[seat.first as usize + k];
            }
            r
        }));
    }

    /// Evaluates everything at the variables already in the state.
    pub(crate) fn evaluate(&self, state: &mut RigState) -> Result<(), RigError> {
        self.positions(&state.x, &mut state.at);
        state.parts.resize(self.part_count, PartState::SLACK);
        state.slopes.clear();
        state.slopes.resize(self.rig.ropes.len(), 0.0);
        state.unbalanced.clear();
        state.unbalanced.resize(self.variables(), 0.0);
        state.scale_n = 0.0;
        for (r, rope) in self.rig.ropes.iter().enumerate() {
            self.evaluate_rope(r, rope, state)?;
        }
        for (seat, load_n) in self.seats.iter().zip(&self.loads_n) {
            if seat.count > 0 {
                spread(seat, &-load_n, &mut state.unbalanced);
                state.scale_n = state.scale_n.max(largest(load_n));
            }
        }
        Ok(())
    }

    fn evaluate_rope(&self, r: usize, rope: &RopeData, state: &mut RigState) -> Result<(), RigError> {
        let run = &self.runs[r];
        let first = run.parts as usize;
        match run.form {
            RopeForm::Whole => {
                let chord =
                    |k: usize| state.at[rope.nodes[k + 1] as usize] - state.at[rope.nodes[k] as usize];
                let soft = self.soften_m * self.soften_m;
                let distance = |chord: &Vector3<f64>| math::sqrt(chord.norm_squared() + soft);
                let sum: f64 = (0..rope.parts()).map(|k| distance(&chord(k))).sum();
                let (tension, strain, total) = match rope.supply {
                    Supplied::Length(total) => {
                        let strain = ((sum - total) / total).max(0.0);
                        if strain > 0.0 {
                            state.slopes[r] = rope.stretch.tangent_at(strain) / total;
                        }
                        (rope.stretch.tension_at(strain), strain, total)
                    }
                    Supplied::Tension(_, tension) => {
                        let strain = rope.stretch.strain_at(tension);
                        (tension, strain, sum / (1.0 + strain))
                    }
                };
                for k in 0..rope.parts() {
                    let chord = state.at[rope.nodes[k + 1] as usize] - state.at[rope.nodes[k] as usize];
                    let distance = distance(&chord);
                    let share = if sum > 0.0 { total * (distance / sum) } else { 0.0 };
                    state.parts[first + k] = PartState::pulled(chord, distance, tension, strain, share);
                }
            }
            RopeForm::Single | RopeForm::Shared => {
                for k in 0..rope.parts() {
                    let chord = state.at[rope.nodes[k + 1] as usize] - state.at[rope.nodes[k] as usize];
                    let length = if run.form == RopeForm::Single {
                        run.total_m
                    } else {
                        self.length_to(r, k + 1, &state.x) - self.length_to(r, k, &state.x)
                    };
                    state.parts[first + k] = if rope.weight_n_per_m == 0.0 || self.mode == Mode::Rough {
                        PartState::straight(chord, length, &rope.stretch)
                    } else {
                        PartState::heavy(chord, length, rope.weight_n_per_m, &rope.stretch)
                            .map_err(|source| RigError::Part { rope: rope.name.clone(), source })?
                    };
                }
            }
        }
        for k in 0..rope.parts() {
            let part = &state.parts[first + k];
            state.scale_n = state.scale_n.max(part.first.tension).max(part.last.tension);
            // The energy grows along the rope at its last end, against it at its first.
            spread(&self.seats[rope.nodes[k] as usize], &-part.first.along, &mut state.unbalanced);
            spread(&self.seats[rope.nodes[k + 1] as usize], &part.last.along, &mut state.unbalanced);
        }
        if run.form == RopeForm::Shared {
            let lossy = self.is_lossy(rope);
            for node in 0..=rope.parts() {
                let knot = self.knot(r, node);
                if knot == NONE {
                    continue;
                }
                let given = || match rope.supply {
                    Supplied::Tension(_, t) => self::part::Tip {
                        tension: t,
                        strain: rope.stretch.strain_at(t),
                        along: Vector3::zeros(),
                    },
                    Supplied::Length(_) => self::part::Tip::SLACK,
                };
                let before = if node > 0 { state.parts[first + node - 1].last } else { given() };
                let after = if node < rope.parts() { state.parts[first + node].first } else { given() };
                state.unbalanced[knot as usize] = if lossy && node > 0 && node < rope.parts() {
                    self::bend::unbalanced(rope, node - 1, self.friction_level, &before, &after)
                } else {
                    // ∂E/∂s = P(T after) − P(T before)
                    after.potential(&rope.stretch) - before.potential(&rope.stretch)
                };
            }
        }
        Ok(())
    }
}

impl RopeData {
    /// How far apart the ends of part `k` are, the points of the rig being there.
    pub(crate) fn chord_m(&self, k: usize, at: &[Vector3<f64>]) -> f64 {
        math::sqrt((at[self.nodes[k + 1] as usize] - at[self.nodes[k] as usize]).norm_squared())
    }
}

/// The load on each point; in a rough rig with the weight of the ropes beside it.
pub(crate) fn loads(rig: &Rig, mode: Mode) -> Vec<Vector3<f64>> {
    let mut loads: Vec<Vector3<f64>> = rig.points.iter().map(|p| p.load_n).collect();
    for rope in rig.ropes.iter().filter(|_| mode == Mode::Rough) {
        if let Supplied::Length(length) = rope.supply {
            let half = 0.5 * rope.weight_n_per_m * length / rope.parts() as f64;
            for pair in rope.nodes.windows(2) {
                loads[pair[0] as usize].z -= half;
                loads[pair[1] as usize].z -= half;
            }
        }
    }
    loads
}

/// Two unit vectors at right angles to a unit vector and to each other.
fn across(n: Vector3<f64>) -> (Vector3<f64>, Vector3<f64>) {
    let least = if n.x.abs() <= n.y.abs() && n.x.abs() <= n.z.abs() {
        Vector3::x()
    } else if n.y.abs() <= n.z.abs() {
        Vector3::y()
    } else {
        Vector3::z()
    };
    let a = n.cross(&least);
    let a = a / math::sqrt(a.norm_squared());
    (a, n.cross(&a))
}

/// Adds a force to the variables of a point.
pub(crate) fn spread(seat: &Seat, force: &Vector3<f64>, out: &mut [f64]) {
    for k in 0..usize::from(seat.count) {
        out[seat.first as usize + k] += seat.basis[k].dot(force);
    }
}

pub(crate) fn largest(v: &Vector3<f64>) -> f64 {
    v.x.abs().max(v.y.abs()).max(v.z.abs())
}

/// The sparse matrix and its scratch space.
pub(crate) fn matrix_for(system: &Equations<'_>) -> SparseMatrix {
    match system.mode {
        Mode::Frictionless | Mode::Rough => SparseMatrix::symmetric(&system.pattern),
        Mode::Moving => SparseMatrix::unsymmetric(&system.pattern),
    }
}

pub(crate) fn zeros(n: usize) -> Vec<f64> {
    vec![0.0; n]
}
