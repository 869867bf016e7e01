//! A sparse matrix with a symmetric pattern, and its factors: LDLᵀ, or LDU where the two halves differ.
//!
//! The matrix is a sum over elements (a rope part, a whole rope), each of which couples all its variables. That
//! makes both the order of elimination and the places of all entries known before the first number: they are
//! computed once for a rig, and every later step only fills in numbers. No pivoting: the pivots of the
//! symmetric form are the proof of stability, and the unsymmetric one is a stable matrix with friction added, whose
//! stability is looked at afterwards.
#![allow(clippy::indexing_slicing, reason = "every index was made together with the array it goes into")]

use crate::rig::options::Options;
use alloc::collections::BinaryHeap;
use alloc::vec;
use alloc::vec::Vec;
use core::cmp::Reverse;

const NONE: u32 = u32::MAX;
/// Marks a place in the lower triangle of the ordered matrix.
const LOWER: u32 = 1 << 31;

/// Where everything stands.
#[derive(Debug, Clone)]
pub(crate) struct Pattern {
    /// The row of each variable in the ordered matrix.
    row: Vec<u32>,
    /// Upper triangle by columns, the rows rising, the diagonal last.
    starts: Vec<u32>,
    rows: Vec<u32>,
    /// The next column that the elimination of a column touches.
    parent: Vec<u32>,
    /// Where the columns of L start.
    factor_starts: Vec<u32>,
}

impl Pattern {
    /// The pattern of a sum over elements, each given by the variables that it couples.
    pub(crate) fn new<'a>(variables: usize, elements: impl Iterator<Item = &'a [u32]> + Clone) -> Self {
        let row = if variables <= Options::DEFAULT.any_order {
            (0..variables as u32).collect()
        } else {
            least_degree_first(variables, elements.clone())
        };
        // All pairs (column, row) of the upper triangle, each once.
        let mut pairs: Vec<(u32, u32)> = (0..variables as u32).map(|i| (i, i)).collect();
        for element in elements {
            for (k, &i) in element.iter().enumerate() {
                for &j in &element[k + 1..] {
                    let (a, b) = (row[i as usize], row[j as usize]);
                    pairs.push((a.max(b), a.min(b)));
                }
            }
        }
        pairs.sort_unstable();
        pairs.dedup();
        let mut starts = vec![0; variables + 1];
        for &(column, _) in &pairs {
            starts[column as usize + 1] += 1;
        }
        for i in 0..variables {
            starts[i + 1] += starts[i];
        }
        let rows: Vec<u32> = pairs.into_iter().map(|(_, row)| row).collect();
        // The elimination tree and the length of each column of L.
        let mut parent = vec![NONE; variables];
        let mut seen = vec![NONE; variables];
        let mut factor_starts = vec![0_u32; variables + 1];
        for k in 0..variables {
            seen[k] = k as u32;
            for &row in &rows[starts[k] as usize..starts[k + 1] as usize] {
                let mut i = row as usize;
                while seen[i] != k as u32 {
                    if parent[i] == NONE {
                        parent[i] = k as u32;
                    }
                    factor_starts[i + 1] += 1;
                    seen[i] = k as u32;
                    i = parent[i] as usize;
                }
            }
        }
        for i in 0..variables {
            factor_starts[i + 1] += factor_starts[i];
        }
        Self { row, starts, rows, parent, factor_starts }
    }

    pub(crate) fn variables(&self) -> usize {
        self.row.len()
    }

    /// Where the entry (i, j) of two variables stands, for [`SparseMatrix::add`].
    pub(crate) fn place(&self, i: u32, j: u32) -> u32 {
        let (a, b) = (self.row[i as usize], self.row[j as usize]);
        let column = a.max(b) as usize;
        let span = self.starts[column] as usize..self.starts[column + 1] as usize;
        let at = self.rows[span.clone()].partition_point(|&row| row < a.min(b)) + span.start;
        at as u32 | if a > b { LOWER } else { 0 }
    }
}

/// The row of each variable when the one with the fewest neighbours is always eliminated first.
///
/// Elements stand for the pairs they couple; eliminating a variable merges the elements around it into one.
fn least_degree_first<'a>(variables: usize, elements: impl Iterator<Item = &'a [u32]>) -> Vec<u32> {
    let mut members: Vec<Vec<u32>> = elements.map(<[u32]>::to_vec).collect();
    let mut around: Vec<Vec<u32>> = vec![Vec::new(); variables];
    for (e, element) in members.iter().enumerate() {
        for &v in element {
            around[v as usize].push(e as u32);
        }
    }
    let degree_of = |around: &[u32], members: &[Vec<u32>]| -> u32 {
        around.iter().map(|&e| members[e as usize].len() as u32 - 1).sum()
    };
    let mut degree: Vec<u32> = around.iter().map(|a| degree_of(a, &members)).collect();
    let mut queue: BinaryHeap<Reverse<(u32, u32)>> =
        degree.iter().enumerate().map(|(v, &d)| Reverse((d, v as u32))).collect();
    let mut row = vec![NONE; variables];
    let mut mark = vec![NONE; variables];
    let mut next = 0;
    while let Some(Reverse((d, v))) = queue.pop() {
        let at = v as usize;
        if row[at] != NONE || degree[at] != d {
            continue;
        }
        row[at] = next;
        next += 1;
        // What is left of all elements around v becomes one.
        let mut merged = Vec::new();
        let absorbed = core::mem::take(&mut around[at]);
        for &e in &absorbed {
            for u in core::mem::take(&mut members[e as usize]) {
                if u != v && mark[u as usize] != v {
                    mark[u as usize] = v;
                    merged.push(u);
                }
            }
        }
        let element = members.len() as u32;
        for &u in &merged {
            around[u as usize].retain(|e| !absorbed.contains(e));
            around[u as usize].push(element);
        }
        members.push(merged);
        for k in 0..members[element as usize].len() {
            let u = members[element as usize][k] as usize;
            let d = degree_of(&around[u], &members);
            if d != degree[u] {
                degree[u] = d;
                queue.push(Reverse((d, u as u32)));
            }
        }
    }
    row
}

/// The numbers of a matrix.
#[derive(Debug, Clone)]
pub(crate) struct SparseMatrix {
    upper: Vec<f64>,
    /// The lower triangle, mirrored; empty for a symmetric matrix.
    lower: Vec<f64>,
}

impl SparseMatrix {
    pub(crate) fn symmetric(pattern: &Pattern) -> Self {
        Self { upper: vec![0.0; pattern.rows.len()], lower: Vec::new() }
    }

    pub(crate) fn unsymmetric(pattern: &Pattern) -> Self {
        Self { upper: vec![0.0; pattern.rows.len()], lower: vec![0.0; pattern.rows.len()] }
    }

    pub(crate) fn is_symmetric(&self) -> bool {
        self.lower.is_empty()
    }

    pub(crate) fn clear(&mut self) {
        self.upper.fill(0.0);
        self.lower.fill(0.0);
    }

    /// Adds to an entry; of a symmetric matrix each pair once, in either order.
    pub(crate) fn add(&mut self, place: u32, value: f64) {
        let at = (place & !LOWER) as usize;
        if place & LOWER != 0 && !self.lower.is_empty() {
            self.lower[at] += value;
        } else {
            self.upper[at] += value;
        }
    }

    /// Adds to the entry on the other side of the diagonal; does nothing to a symmetric matrix.
    pub(crate) fn add_mirrored(&mut self, place: u32, value: f64) {
        if !self.lower.is_empty() {
            let at = (place & !LOWER) as usize;
            if place & LOWER != 0 {
                self.upper[at] += value;
            } else {
                self.lower[at] += value;
            }
        }
    }

    /// The diagonal entry of a variable.
    pub(crate) fn diagonal_mut(&mut self, pattern: &Pattern, variable: usize) -> &mut f64 {
        let column = pattern.row[variable] as usize;
        &mut self.upper[pattern.starts[column + 1] as usize - 1]
    }

    /// A·x
    #[cfg(test)]
    fn times(&self, pattern: &Pattern, x: &[f64]) -> Vec<f64> {
        let mut product = Vec::new();
        self.times_in(pattern, x, &mut product, [&mut Vec::new(), &mut Vec::new()]);
        product
    }

    /// A·x, in room that is kept.
    pub(crate) fn times_in(
        &self,
        pattern: &Pattern,
        x: &[f64],
        out: &mut Vec<f64>,
        [ordered, product]: [&mut Vec<f64>; 2],
    ) {
        let n = pattern.variables();
        ordered.clear();
        ordered.resize(n, 0.0);
        for (v, &row) in pattern.row.iter().enumerate() {
            ordered[row as usize] = x[v];
        }
        product.clear();
        product.resize(n, 0.0);
        for column in 0..n {
            for at in pattern.starts[column] as usize..pattern.starts[column + 1] as usize {
                let row = pattern.rows[at] as usize;
                product[row] += self.upper[at] * ordered[column];
                if row != column {
                    let mirrored = if self.lower.is_empty() { self.upper[at] } else { self.lower[at] };
                    product[column] += mirrored * ordered[row];
                }
            }
        }
        out.clear();
        out.extend(pattern.row.iter().map(|&row| product[row as usize]));
    }
}

/// A = L·D·Lᵀ, or L·D·U.
#[derive(Debug, Clone)]
pub(crate) struct Factor {
    rows: Vec<u32>,
    lower: Vec<f64>,
    /// Uᵀ; empty where it is L.
    upper: Vec<f64>,
    pivots: Vec<f64>,
    work: Work,
}

/// Room for one column on its way through.
#[derive(Debug, Clone)]
struct Work {
    y: Vec<f64>,
    z: Vec<f64>,
    filled: Vec<u32>,
    marked: Vec<bool>,
    reach: Vec<u32>,
    branch: Vec<u32>,
}

/// A pivot that is not above its least: the matrix is not positive definite.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct NotPositive;

impl Factor {
    pub(crate) fn new(pattern: &Pattern, symmetric: bool) -> Self {
        let n = pattern.variables();
        let fill = pattern.factor_starts[n] as usize;
        Self {
            rows: vec![0; fill],
            lower: vec![0.0; fill],
            upper: if symmetric { Vec::new() } else { vec![0.0; fill] },
            pivots: vec![0.0; n],
            work: Work {
                y: vec![0.0; n],
                z: vec![0.0; if symmetric { 0 } else { n }],
                filled: vec![0; n],
                marked: vec![false; n],
                reach: Vec::with_capacity(n),
                branch: Vec::with_capacity(n),
            },
        }
    }

    /// Factors the matrix, `shift` added to its diagonal. Each pivot must exceed `least` times its diagonal entry,
    /// before anything was eliminated; those of a symmetric matrix must be above zero, others may have any sign.
    pub(crate) fn factor(
        &mut self,
        pattern: &Pattern,
        matrix: &SparseMatrix,
        shift: f64,
        least: f64,
    ) -> Result<(), NotPositive> {
        let symmetric = self.upper.is_empty();
        let Work { y, z, filled, marked, reach, branch } = &mut self.work;
        let n = pattern.variables();
        filled.copy_from_slice(&pattern.factor_starts[..n]);
        for k in 0..n {
            let last = pattern.starts[k + 1] as usize - 1;
            let diagonal = matrix.upper[last] + shift;
            let mut pivot = diagonal;
            reach.clear();
            for at in pattern.starts[k] as usize..last {
                let mut i = pattern.rows[at] as usize;
                y[i] = matrix.upper[at];
                if !symmetric {
                    z[i] = if matrix.lower.is_empty() { matrix.upper[at] } else { matrix.lower[at] };
                }
                branch.clear();
                while i != k && !marked[i] {
                    marked[i] = true;
                    branch.push(i as u32);
                    i = pattern.parent[i] as usize;
                }
                reach.extend(branch.iter().rev());
            }
            for &i in reach.iter().rev() {
                let i = i as usize;
                let (begin, end) = (pattern.factor_starts[i] as usize, filled[i] as usize);
                let yi = y[i];
                for at in begin..end {
                    y[self.rows[at] as usize] -= self.lower[at] * yi;
                }
                let l = if symmetric {
                    yi / self.pivots[i]
                } else {
                    let zi = z[i];
                    for at in begin..end {
                        z[self.rows[at] as usize] -= self.upper[at] * zi;
                    }
                    self.upper[end] = yi / self.pivots[i];
                    z[i] = 0.0;
                    zi / self.pivots[i]
                };
                self.rows[end] = k as u32;
                self.lower[end] = l;
                pivot -= l * yi;
                filled[i] += 1;
                y[i] = 0.0;
                marked[i] = false;
            }
            let size = if symmetric { pivot } else { pivot.abs() };
            if !(size > least * diagonal.abs() && size > 0.0 && size.is_finite()) {
                return Err(NotPositive);
            }
            self.pivots[k] = pivot;
        }
        Ok(())
    }

    /// Solves A·x = b in place.
    pub(crate) fn solve(&self, pattern: &Pattern, b: &mut [f64]) {
        self.solve_in(pattern, b, &mut Vec::new());
    }

    /// The same, in room that is kept between solves.
    pub(crate) fn solve_in(&self, pattern: &Pattern, b: &mut [f64], x: &mut Vec<f64>) {
        let lower = &self.lower;
        let upper = if self.upper.is_empty() { lower } else { &self.upper };
        let n = pattern.variables();
        x.clear();
        x.resize(n, 0.0);
        for (v, &row) in pattern.row.iter().enumerate() {
            x[row as usize] = b[v];
        }
        for i in 0..n {
            let xi = x[i];
            for at in pattern.factor_starts[i] as usize..pattern.factor_starts[i + 1] as usize {
                x[self.rows[at] as usize] -= lower[at] * xi;
            }
        }
        for i in (0..n).rev() {
            let mut xi = x[i] / self.pivots[i];
            for at in pattern.factor_starts[i] as usize..pattern.factor_starts[i + 1] as usize {
                xi -= upper[at] * x[self.rows[at] as usize];
            }
            x[i] = xi;
        }
        for (v, &row) in pattern.row.iter().enumerate() {
            b[v] = x[row as usize];
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A ring of `n` variables with a few long ties: neither banded nor a tree.
    fn ring(n: u32) -> Vec<Vec<u32>> {
        (0..n)
            .map(|i| vec![i, (i + 1) % n])
            .chain((0..n / 7).map(|i| vec![i, 3 * i + 2, n - 1 - i]))
            .collect()
    }

    fn filled(pattern: &Pattern, elements: &[Vec<u32>], skew: f64) -> SparseMatrix {
        let mut matrix =
            if skew == 0.0 { SparseMatrix::symmetric(pattern) } else { SparseMatrix::unsymmetric(pattern) };
        for (e, element) in elements.iter().enumerate() {
            for (k, &i) in element.iter().enumerate() {
                matrix.add(pattern.place(i, i), 2.0 + 0.1 * e as f64);
                for &j in &element[k + 1..] {
                    let place = pattern.place(i, j);
                    matrix.add(place, -1.0 + skew);
                    matrix.add_mirrored(place, -1.0 - skew);
                }
            }
        }
        matrix
    }

    #[test]
    fn a_solve_put_back_gives_the_right_hand_side() {
        for n in [1, 5, 12, 13, 200] {
            let elements = ring(n);
            let mut elements = if n < 3 { vec![(0..n).collect()] } else { elements };
            for e in &mut elements {
                e.sort_unstable();
                e.dedup();
            }
            let pattern = Pattern::new(n as usize, elements.iter().map(Vec::as_slice));
            for skew in [0.0, 0.3] {
                let matrix = filled(&pattern, &elements, skew);
                let mut factor = Factor::new(&pattern, matrix.is_symmetric());
                factor.factor(&pattern, &matrix, 0.0, 0.0).unwrap();
                let x: Vec<f64> = (0..n).map(|i| f64::from(i).sin()).collect();
                let mut b = matrix.times(&pattern, &x);
                factor.solve(&pattern, &mut b);
                for (x, b) in x.iter().zip(&b) {
                    assert!((x - b).abs() < 1e-12, "{n} {skew}: {x} {b}");
                }
            }
        }
    }

    #[test]
    fn a_saddle_is_not_positive() {
        let elements = [vec![0, 1]];
        let pattern = Pattern::new(2, elements.iter().map(Vec::as_slice));
        let mut matrix = SparseMatrix::symmetric(&pattern);
        matrix.add(pattern.place(0, 0), 1.0);
        matrix.add(pattern.place(0, 1), 2.0);
        matrix.add(pattern.place(1, 1), 1.0);
        let mut factor = Factor::new(&pattern, true);
        assert_eq!(factor.factor(&pattern, &matrix, 0.0, 0.0), Err(NotPositive));
        assert_eq!(factor.factor(&pattern, &matrix, 1.5, 0.0), Ok(()));
    }

    #[test]
    fn a_chain_fills_in_nothing_worth_counting() {
        let n = 3000_u32;
        let elements: Vec<Vec<u32>> = (0..n - 1).map(|i| vec![i, i + 1]).collect();
        let pattern = Pattern::new(n as usize, elements.iter().map(Vec::as_slice));
        assert!(pattern.factor_starts[n as usize] < 2 * n);
    }
}
