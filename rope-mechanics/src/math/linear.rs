//! Small dense systems of fixed size, without a call that could panic.
//!
//! A controller's build must hold no path to a panic, and a general library's asserts are such paths. What is left is
//! short: elimination, and singular values by one-sided Jacobi rotations (Golub & Van Loan,
//! Matrix Computations, 3.4 and 8.6.3, from memory).

use super::sqrt;
use nalgebra::{SMatrix, SVector};

/// P·A·Q = L·U, both triangles in one square.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Lu<const N: usize> {
    rows: [[f64; N]; N],
    /// Which row of A each row was, and which column each column.
    row_order: [usize; N],
    column_order: [usize; N],
    /// How many rows and columns there are.
    order: usize,
}

impl<const N: usize> Lu<N> {
    /// Of the first `order` rows and columns, by the largest pivot of all that is left: the pivots then tell the rank.
    pub(crate) fn of(matrix: &SMatrix<f64, N, N>, order: usize) -> Self {
        let mut rows = [[0.0; N]; N];
        for (column, from) in matrix.data.0.iter().enumerate().take(order) {
            for (row, x) in rows.iter_mut().zip(from).take(order) {
                if let Some(slot) = row.get_mut(column) {
                    *slot = *x;
                }
            }
        }
        let mut row_order = core::array::from_fn(|i| i);
        let mut column_order = row_order;
        for k in 0..order {
            let (mut best, mut largest) = ((k, k), -1.0);
            for (i, row) in rows.iter().enumerate().take(order).skip(k) {
                for (j, x) in row.iter().enumerate().take(order).skip(k) {
                    if x.abs() > largest {
                        (best, largest) = ((i, j), x.abs());
                    }
                }
            }
            if best.0 != k {
                swap(&mut rows, k, best.0);
                swap(&mut row_order, k, best.0);
            }
            if best.1 != k {
                rows.iter_mut().take(order).for_each(|row| swap(row, k, best.1));
                swap(&mut column_order, k, best.1);
            }
            let Some((pivot_row, rest)) = rows.get_mut(k..order).and_then(|left| left.split_first_mut())
            else {
                break;
            };
            let Some(pivot) = pivot_row.get(k).copied().filter(|x| *x != 0.0) else { continue };
            for row in rest {
                let Some((head, tail)) = row.get_mut(k..order).and_then(|left| left.split_first_mut()) else {
                    break;
                };
                // lᵢₖ = aᵢₖ/aₖₖ, aᵢⱼ − lᵢₖ·aₖⱼ
                *head /= pivot;
                for (x, above) in tail.iter_mut().zip(pivot_row.iter().skip(k + 1)) {
                    *x -= *head * above;
                }
            }
        }
        Self { rows, row_order, column_order, order }
    }

    /// x of A·x = b, zero beyond the rows that there are; none if a pivot is zero.
    pub(crate) fn solve(&self, b: &SVector<f64, N>) -> Option<SVector<f64, N>> {
        let [b] = &b.data.0;
        let mut y = [0.0; N];
        // L·y = P·b
        for (i, (row, from)) in self.rows.iter().zip(&self.row_order).enumerate().take(self.order) {
            let known: f64 = row.iter().zip(&y).take(i).map(|(l, y)| l * y).sum();
            *y.get_mut(i)? = b.get(*from)? - known;
        }
        // U·(Qᵀ·x) = y
        for (i, row) in self.rows.iter().enumerate().take(self.order).rev() {
            let known: f64 = row.iter().zip(&y).take(self.order).skip(i + 1).map(|(u, x)| u * x).sum();
            let pivot = *row.get(i)?;
            if pivot == 0.0 {
                return None;
            }
            let slot = y.get_mut(i)?;
            *slot = (*slot - known) / pivot;
        }
        let mut x = [0.0; N];
        for (from, to) in y.iter().zip(&self.column_order) {
            *x.get_mut(*to)? = *from;
        }
        Some(SVector::from(x))
    }

    pub(crate) fn pivots(&self) -> impl Iterator<Item = f64> + '_ {
        self.rows.iter().enumerate().take(self.order).filter_map(|(i, row)| row.get(i).copied())
    }
}

fn swap<T: Copy>(list: &mut [T], a: usize, b: usize) {
    let (Some(x), Some(y)) = (list.get(a).copied(), list.get(b).copied()) else { return };
    for (place, value) in [(a, y), (b, x)] {
        if let Some(slot) = list.get_mut(place) {
            *slot = value;
        }
    }
}

/// A = U·Σ·Vᵀ, in no order.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Svd<const M: usize, const N: usize> {
    /// σₖ·uₖ.
    scaled: [[f64; M]; N],
    /// vₖ, of length one and square to each other.
    right: [[f64; N]; N],
    /// σₖ ≥ 0.
    pub(crate) sizes: [f64; N],
}

/// Rounds over all pairs of columns; ten are enough for any matrix of this size.
const MOST_SWEEPS: u32 = 40;

impl<const M: usize, const N: usize> Svd<M, N> {
    pub(crate) fn of(matrix: &SMatrix<f64, M, N>) -> Self {
        let mut scaled = matrix.data.0;
        let mut right = SMatrix::<f64, N, N>::identity().data.0;
        for _ in 0..MOST_SWEEPS {
            let mut turned = false;
            for i in 0..N {
                for j in i + 1..N {
                    turned |= square(&mut scaled, &mut right, i, j);
                }
            }
            if !turned {
                break;
            }
        }
        let sizes = scaled.map(|column| norm(&column));
        Self { scaled, right, sizes }
    }

    /// vₖ of each size.
    pub(crate) fn right(&self) -> impl Iterator<Item = (f64, SVector<f64, N>)> + '_ {
        self.sizes.iter().zip(&self.right).map(|(size, v)| (*size, SVector::from(*v)))
    }

    pub(crate) fn largest(&self) -> f64 {
        self.sizes.iter().fold(0.0, |a, b| f64::max(a, *b))
    }

    /// The least x with the least |A·x − b|, sizes up to `zero` taken as none.
    pub(crate) fn solve(&self, b: &SVector<f64, M>, zero: f64) -> SVector<f64, N> {
        let [b] = &b.data.0;
        // x = Σ vₖ·(uₖ·b)/σₖ
        self.right()
            .zip(&self.scaled)
            .filter(|((size, _), _)| *size > zero)
            .fold(SVector::zeros(), |x, ((size, v), column)| x + v * (dot(column, b) / size / size))
    }
}

fn dot<const M: usize>(a: &[f64; M], b: &[f64; M]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

fn norm<const M: usize>(a: &[f64; M]) -> f64 {
    // Scaled, so that no square leaves the range.
    let most = a.iter().fold(0.0, |most: f64, x| most.max(x.abs()));
    if most > 0.0 && most.is_finite() {
        most * sqrt(dot(&a.map(|x| x / most), &a.map(|x| x / most)))
    } else {
        most
    }
}

/// Turns two columns square to each other; false if they were.
fn square<const M: usize, const N: usize>(
    scaled: &mut [[f64; M]; N],
    right: &mut [[f64; N]; N],
    i: usize,
    j: usize,
) -> bool {
    let (Some(a), Some(b)) = (scaled.get(i).copied(), scaled.get(j).copied()) else { return false };
    let (alpha, beta, gamma) = (dot(&a, &a), dot(&b, &b), dot(&a, &b));
    if !(gamma.abs() > f64::EPSILON * sqrt(alpha) * sqrt(beta)) {
        return false;
    }
    // tan 2φ = 2·γ/(α − β), t = sign(ζ)/(|ζ| + √(1 + ζ²)) with ζ = (β − α)/(2·γ)
    let zeta = (beta - alpha) / (2.0 * gamma);
    let t = 1.0f64.copysign(zeta) / (zeta.abs() + sqrt(1.0 + zeta * zeta));
    let c = 1.0 / sqrt(1.0 + t * t);
    let s = c * t;
    turn(scaled, i, j, c, s);
    turn(right, i, j, c, s);
    true
}

/// (aᵢ, aⱼ) becomes (c·aᵢ − s·aⱼ, s·aᵢ + c·aⱼ).
fn turn<const M: usize, const N: usize>(columns: &mut [[f64; M]; N], i: usize, j: usize, c: f64, s: f64) {
    let (Some(a), Some(b)) = (columns.get(i).copied(), columns.get(j).copied()) else { return };
    let mixed = |x: f64, y: f64| {
        let mut column = [0.0; M];
        for ((slot, a), b) in column.iter_mut().zip(&a).zip(&b) {
            *slot = x * a + y * b;
        }
        column
    };
    if let Some(slot) = columns.get_mut(i) {
        *slot = mixed(c, -s);
    }
    if let Some(slot) = columns.get_mut(j) {
        *slot = mixed(s, c);
    }
}

#[cfg(test)]
mod tests {
    use super::{Lu, Svd};
    use nalgebra::{SMatrix, SVector};
    use proptest::prelude::*;

    type M5 = SMatrix<f64, 5, 5>;

    fn matrix() -> impl Strategy<Value = M5> {
        proptest::array::uniform25(-1.0..1.0f64).prop_map(|x| M5::from_column_slice(&x))
    }

    proptest! {
        #[test]
        fn a_system_is_solved_to_a_small_residual(a in matrix(), b in proptest::array::uniform5(-1.0..1.0f64)) {
            let b = SVector::from(b);
            // |x| may be as large as the condition lets it be: what is promised is a small residual.
            let x = Lu::of(&a, 5).solve(&b).unwrap();
            prop_assert!((a * x - b).amax() <= 1e-14 * (1.0 + x.amax()));
        }

        #[test]
        fn singular_values_are_those_of_a_general_library(a in matrix()) {
            let ours = Svd::of(&a);
            let mut sizes = ours.sizes;
            sizes.sort_by(|a, b| b.total_cmp(a));
            let theirs = a.svd(false, false).singular_values;
            prop_assert!(sizes.iter().zip(theirs.iter()).all(|(a, b)| (a - b).abs() <= 1e-14));
            // A·vₖ = σₖ·uₖ
            for (size, v) in ours.right() {
                prop_assert!(((a * v).norm() - size).abs() <= 1e-14);
                prop_assert!((v.norm() - 1.0).abs() <= 1e-14);
            }
        }
    }

    #[test]
    fn a_zero_pivot_is_no_solution() {
        let a = SMatrix::<f64, 2, 2>::new(1.0, 2.0, 2.0, 4.0);
        assert_eq!(Lu::of(&a, 2).solve(&SVector::from([1.0, 1.0])), None);
    }

    #[test]
    fn of_many_solutions_the_least_is_given() {
        // x + y = 2: the least is (1, 1).
        let a = SMatrix::<f64, 2, 2>::new(1.0, 1.0, 0.0, 0.0);
        let svd = Svd::of(&a);
        let x = svd.solve(&SVector::from([2.0, 0.0]), 1e-12 * svd.largest());
        assert!((x - SVector::from([1.0, 1.0])).amax() < 1e-15);
    }
}
