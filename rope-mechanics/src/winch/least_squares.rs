//! Least squares for two or three constants, with what the readings can't tell.
#![allow(
    clippy::indexing_slicing,
    reason = "every index runs from 0 to 2, and every matrix is three by three"
)]

use crate::math::{self, linear::Svd};
use nalgebra::{Matrix3, Vector3};

/// A condition number from which nothing is left of the digits of a reading.
const NO_ANSWER: f64 = 1e7;

/// A·x ≈ b, row by row: A = Q·R is kept as R, with Qᵀ·b and the square of what is left over.
///
/// Rows are turned in by Givens rotations, so that the normal equations with their squared condition number are never
/// formed, and nothing is allocated. Constants beyond those in use are held at zero by an equation of their own.
#[derive(Debug)]
pub(crate) struct LeastSquares {
    r: Matrix3<f64>,
    d: Vector3<f64>,
    left_over: f64,
    rows: usize,
    constants: usize,
}

/// The direction that the readings say least about.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Weak {
    /// The two constants that it mixes most.
    pub(crate) pair: [usize; 2],
    /// The largest singular value by the smallest.
    pub(crate) condition: f64,
}

impl Weak {
    fn of(matrix: &Matrix3<f64>) -> Self {
        let svd = Svd::of(matrix);
        let weakest = svd.right().reduce(|a, b| if b.0 < a.0 { b } else { a });
        let (size, direction) = weakest.unwrap_or((0.0, Vector3::zeros()));
        let condition = if size > 0.0 { svd.largest() / size } else { f64::INFINITY };
        let mut share = direction.map(f64::abs);
        let most = share.imax();
        if let Some(share) = share.get_mut(most) {
            *share = 0.0;
        }
        let next = share.imax();
        Self { pair: [most.min(next), most.max(next)], condition }
    }
}

#[derive(Debug)]
pub(crate) struct LeastSquaresFit {
    pub(crate) values: [f64; 3],
    /// Relative error of the values by the rounding of the readings.
    pub(crate) rounding: f64,
    r: Matrix3<f64>,
    /// (RᵀR)⁻¹.
    inverse: Matrix3<f64>,
    /// Variance of a reading; none without readings to spare.
    variance: Option<f64>,
}

impl LeastSquares {
    pub(crate) fn new(constants: usize) -> Self {
        let unused = Vector3::from_fn(|j, _| if j < constants { 0.0 } else { 1.0 });
        Self { r: Matrix3::from_diagonal(&unused), d: Vector3::zeros(), left_over: 0.0, rows: 0, constants }
    }

    pub(crate) fn add(&mut self, row: [f64; 3], right: f64) {
        let mut row = Vector3::from(row);
        let mut right = right;
        for k in 0..3 {
            let (a, b) = (self.r[(k, k)], row[k]);
            let length = math::hypot(a, b);
            if length == 0.0 {
                continue;
            }
            let (c, s) = (a / length, b / length);
            for j in k..3 {
                let (upper, lower) = (self.r[(k, j)], row[j]);
                self.r[(k, j)] = c * upper + s * lower;
                row[j] = c * lower - s * upper;
            }
            let (upper, lower) = (self.d[k], right);
            self.d[k] = c * upper + s * lower;
            right = c * lower - s * upper;
        }
        self.left_over += right * right;
        self.rows += 1;
    }

    pub(crate) fn solve(&self) -> Result<LeastSquaresFit, Weak> {
        // Columns to the same length: the condition number then measures dependence, not units.
        let lengths = Vector3::from_fn(|j, _| {
            let length = self.r.column(j).norm();
            if length > 0.0 { length } else { 1.0 }
        });
        let scaled = Matrix3::from_fn(|i, j| self.r[(i, j)] / lengths[j]);
        let weak = Weak::of(&scaled);
        if weak.condition.is_nan() || weak.condition >= NO_ANSWER {
            return Err(weak);
        }
        let svd = Svd::of(&scaled);
        // R = U·Σ·Vᵀ with scaled columns: x = V·Σ⁻¹·Uᵀ·d and (RᵀR)⁻¹ = V·Σ⁻²·Vᵀ, scaled back
        let x = svd.solve(&self.d, 0.0).component_div(&lengths);
        let inverse = svd.right().fold(Matrix3::zeros(), |sum, (s, v)| sum + v * v.transpose() / (s * s));
        let inverse = Matrix3::from_fn(|i, j| inverse[(i, j)] / (lengths[i] * lengths[j]));
        let spare = self.rows.saturating_sub(self.constants);
        #[allow(clippy::cast_precision_loss, reason = "a count of readings")]
        let variance = (spare > 0).then(|| self.left_over / spare as f64);
        let rounding = 16.0 * f64::EPSILON * weak.condition;
        Ok(LeastSquaresFit { values: x.into(), rounding, r: self.r, inverse, variance })
    }
}

impl LeastSquaresFit {
    /// Standard error of g·x.
    pub(crate) fn error_along(&self, g: [f64; 3]) -> Option<f64> {
        let g = Vector3::from(g);
        self.variance.map(|variance| math::sqrt(variance * g.dot(&(self.inverse * g))))
    }

    /// The direction that the readings say least about, each constant measured by the size that matters; zero for
    /// constants that aren't in use.
    ///
    /// With ‖Δx‖ in those sizes, ‖Δx‖ ≤ condition·‖Δb‖/‖b‖, nearly.
    pub(crate) fn weakest(&self, sizes: [f64; 3]) -> Weak {
        let mut weighed = self.r * Matrix3::from_diagonal(&Vector3::from(sizes));
        let largest = weighed.norm();
        for (j, size) in sizes.into_iter().enumerate() {
            if size == 0.0 {
                weighed[(j, j)] = largest;
            }
        }
        Weak::of(&weighed)
    }

    /// Of the errors of two constants.
    pub(crate) fn correlation(&self, [a, b]: [usize; 2]) -> f64 {
        let at = |i: usize, j: usize| self.inverse.get((i, j)).map_or(f64::NAN, |x: &f64| *x);
        at(a, b) / math::sqrt(at(a, a) * at(b, b))
    }
}
