//! The stiffness of a rig, put together from that of its ropes.
#![allow(clippy::indexing_slicing, reason = "every index was made together with the array it goes into")]

use super::bend;
use super::sparse::SparseMatrix;
use super::{Element, ElementKind, Equations, NONE, RigState, Seat};
use crate::rig::model::RopeData;
use alloc::vec::Vec;
use nalgebra::Matrix3;

impl Equations<'_> {
    /// The derivative of what is out of balance: the stiffness of the rig.
    pub(crate) fn assemble(&self, state: &RigState, matrix: &mut SparseMatrix, local: &mut Vec<f64>) {
        matrix.clear();
        for e in &self.elements {
            let m = e.count as usize;
            if m == 0 {
                continue;
            }
            // And a row beside it.
            local.clear();
            local.resize(m * m + m, 0.0);
            let (local, row) = local.split_at_mut(m * m);
            let rope = &self.rig.ropes[e.rope as usize];
            match e.kind {
                ElementKind::Part(k) => self.part_stiffness(e, rope, k as usize, state, local),
                ElementKind::Whole => self.whole_stiffness(e, rope, state, local, row),
                ElementKind::Turn(k) => self.turn_stiffness(e, rope, k as usize, state, local),
            }
            self.add(e, local, matrix);
        }
    }

    fn add(&self, e: &Element, local: &[f64], matrix: &mut SparseMatrix) {
        let m = e.count as usize;
        let mut places = self.places[e.places as usize..].iter();
        let symmetric = matrix.is_symmetric();
        for i in 0..m {
            for j in i..m {
                if let Some(&place) = places.next() {
                    matrix.add(place, local[i * m + j]);
                    if !symmetric && i != j {
                        matrix.add_mirrored(place, local[j * m + i]);
                    }
                }
            }
        }
    }

    /// Where a point's variables stand within an element.
    fn offset(&self, e: &Element, var: u32) -> usize {
        let vars = &self.element_vars[e.vars as usize..(e.vars + e.count) as usize];
        vars.iter().position(|&v| v == var).unwrap_or(0)
    }

    fn part_stiffness(&self, e: &Element, rope: &RopeData, k: usize, state: &RigState, local: &mut [f64]) {
        let m = e.count as usize;
        let part = &state.parts[self.runs[e.rope as usize].parts as usize + k];
        let (a, b) = (&self.seats[rope.nodes[k] as usize], &self.seats[rope.nodes[k + 1] as usize]);
        let (ia, ib) = (0, usize::from(a.count));
        let kk = &part.stiffness;
        block(local, m, (ia, a), (ia, a), kk, 1.0);
        block(local, m, (ib, b), (ib, b), kk, 1.0);
        block(local, m, (ia, a), (ib, b), kk, -1.0);
        block(local, m, (ib, b), (ia, a), kk, -1.0);
        let (sa, sb) = (self.knot(e.rope as usize, k), self.knot(e.rope as usize, k + 1));
        if sa == NONE && sb == NONE {
            return;
        }
        let first_by_length = part.first_by_length(rope.weight_n_per_m);
        let (ta, tb) = (part.first.direction(), part.last.direction());
        // ∂P/∂L = (1+ε)·∂T/∂L
        let pa = (1.0 + part.first.strain) * ta.dot(&first_by_length);
        let pb = (1.0 + part.last.strain) * tb.dot(&part.by_length);
        let is = usize::from(a.count) + usize::from(b.count);
        let knots = [(sa, -1.0), (sb, 1.0)];
        let mut column = is;
        for (knot, sign) in knots {
            if knot == NONE {
                continue;
            }
            // ∂²E/∂r∂L: the last end is pulled along the rope, the first against it.
            for (offset, seat, v) in [(ia, a, -first_by_length), (ib, b, part.by_length)] {
                for i in 0..usize::from(seat.count) {
                    let value = sign * seat.basis[i].dot(&v);
                    local[(offset + i) * m + column] += value;
                    local[column * m + offset + i] += value;
                }
            }
            column += 1;
        }
        let mut row = is;
        // ∂E/∂s is −P of the last tip at the part's end, +P of the first tip at its start.
        for (knot, sign, p) in [(sa, 1.0, pa), (sb, -1.0, pb)] {
            if knot == NONE {
                continue;
            }
            let mut column = is;
            for (other, direction) in knots {
                if other != NONE {
                    local[row * m + column] += sign * direction * p;
                    column += 1;
                }
            }
            row += 1;
        }
        if self.is_lossy(rope) {
            // The rows of the turns are not the energy's.
            let mut row = is;
            for (knot, node) in [(sa, k), (sb, k + 1)] {
                if knot == NONE {
                    continue;
                }
                if node > 0 && node < rope.parts() {
                    local[row * m..(row + 1) * m].fill(0.0);
                }
                row += 1;
            }
        }
    }

    fn whole_stiffness(
        &self,
        e: &Element,
        rope: &RopeData,
        state: &RigState,
        local: &mut [f64],
        gradient: &mut [f64],
    ) {
        let m = e.count as usize;
        let first = self.runs[e.rope as usize].parts as usize;
        let slope = state.slopes[e.rope as usize];
        for k in 0..rope.parts() {
            let part = &state.parts[first + k];
            if part.first.tension == 0.0 {
                continue;
            }
            let (a, b) = (&self.seats[rope.nodes[k] as usize], &self.seats[rope.nodes[k + 1] as usize]);
            let (ia, ib) = (self.offset(e, a.first), self.offset(e, b.first));
            let kk = &part.stiffness;
            block(local, m, (ia, a), (ia, a), kk, 1.0);
            block(local, m, (ib, b), (ib, b), kk, 1.0);
            block(local, m, (ia, a), (ib, b), kk, -1.0);
            block(local, m, (ib, b), (ia, a), kk, -1.0);
            let u = part.first.direction();
            for (offset, seat, sign) in [(ia, a, -1.0), (ib, b, 1.0)] {
                for i in 0..usize::from(seat.count) {
                    gradient[offset + i] += sign * seat.basis[i].dot(&u);
                }
            }
        }
        if slope > 0.0 {
            for i in 0..m {
                for j in 0..m {
                    local[i * m + j] += slope * gradient[i] * gradient[j];
                }
            }
        }
    }

    fn turn_stiffness(&self, e: &Element, rope: &RopeData, k: usize, state: &RigState, local: &mut [f64]) {
        let m = e.count as usize;
        let r = e.rope as usize;
        let first = self.runs[r].parts as usize + k;
        let (before, after) = (&state.parts[first], &state.parts[first + 1]);
        let slopes = bend::slopes(rope, k, self.friction_level, &before.last, &after.first);
        let row = self.offset(e, self.knot(r, k + 1)) * m;
        // What the residual changes by when the tension vector of either part changes.
        let by_before = before.stiffness * slopes.before;
        let by_after = after.stiffness * slopes.after;
        for (node, v) in [(k, -by_before), (k + 1, by_before - by_after), (k + 2, by_after)] {
            let seat = &self.seats[rope.nodes[node] as usize];
            let offset = self.offset(e, seat.first);
            for i in 0..usize::from(seat.count) {
                local[row + offset + i] += seat.basis[i].dot(&v);
            }
        }
        let l_before = slopes.before.dot(&before.by_length);
        let l_after = slopes.after.dot(&after.first_by_length(rope.weight_n_per_m));
        for (node, value) in [(k, -l_before), (k + 1, l_before - l_after), (k + 2, l_after)] {
            let knot = self.knot(r, node);
            if knot != NONE {
                local[row + self.offset(e, knot)] += value;
            }
        }
    }

    /// A net of springs without length along the rig's parts, from which a first guess is made.
    pub(crate) fn assemble_net(&self, stiffness: &[f64], matrix: &mut SparseMatrix, local: &mut Vec<f64>) {
        matrix.clear();
        for e in &self.elements {
            let m = e.count as usize;
            local.clear();
            local.resize(m * m, 0.0);
            let rope = &self.rig.ropes[e.rope as usize];
            let parts = match e.kind {
                ElementKind::Part(k) => k as usize..k as usize + 1,
                ElementKind::Whole => 0..rope.parts(),
                ElementKind::Turn(_) => continue,
            };
            for k in parts {
                let q =
                    Matrix3::from_diagonal_element(stiffness[self.runs[e.rope as usize].parts as usize + k]);
                let (a, b) = (&self.seats[rope.nodes[k] as usize], &self.seats[rope.nodes[k + 1] as usize]);
                let (ia, ib) = (self.offset(e, a.first), self.offset(e, b.first));
                block(local, m, (ia, a), (ia, a), &q, 1.0);
                block(local, m, (ib, b), (ib, b), &q, 1.0);
                block(local, m, (ia, a), (ib, b), &q, -1.0);
                block(local, m, (ib, b), (ia, a), &q, -1.0);
            }
            self.add(e, local, matrix);
        }
        for v in self.coordinates..self.variables() {
            *matrix.diagonal_mut(&self.pattern, v) = 1.0;
        }
    }
}

/// Adds sign·Bᵢᵀ·K·Bⱼ at (i, j).
fn block(local: &mut [f64], m: usize, i: (usize, &Seat), j: (usize, &Seat), k: &Matrix3<f64>, sign: f64) {
    let (row, a) = i;
    let (column, b) = j;
    for p in 0..usize::from(a.count) {
        let left = k.tr_mul(&a.basis[p]);
        for q in 0..usize::from(b.count) {
            local[(row + p) * m + column + q] += sign * left.dot(&b.basis[q]);
        }
    }
}
