//! How stable an equilibrium is: the least stiffness against any small movement.

use super::sparse::{Factor, Matrix};
use super::system::System;
use crate::math;
use alloc::vec::Vec;

/// Steps of the iteration; the mode found bounds the least stiffness from above in any case.
const MOST_STEPS: u32 = 60;

/// The least eigenvalue of the stiffness, and its mode, by inverse iteration with factors of the matrix (or of the
/// matrix plus a shift on its diagonal).
///
/// λ = vᵀ·K·v for a unit vector v, which is above the least eigenvalue by a square of what is wrong with v.
pub(super) fn softest(system: &System<'_>, factor: &Factor, matrix: &Matrix) -> (f64, Vec<f64>) {
    let n = system.variables();
    // A start that no mode of a symmetric rig is square to.
    let mut v: Vec<f64> = (0..n).map(|i| 1.0 + 0.5 * math::sin(1.0 + 2.4 * i as f64)).collect();
    let mut before = f64::INFINITY;
    let mut least = f64::INFINITY;
    for _ in 0..MOST_STEPS {
        scale(&mut v);
        factor.solve(&system.pattern, &mut v);
        scale(&mut v);
        let product = matrix.times(&system.pattern, &v);
        least = v.iter().zip(&product).map(|(v, p)| v * p).sum();
        if (before - least).abs() <= 1e-6 * least.abs() {
            break;
        }
        before = least;
    }
    (least, v)
}

fn scale(v: &mut [f64]) {
    let norm = math::sqrt(v.iter().map(|x| x * x).sum());
    if norm > 0.0 {
        for x in v {
            *x /= norm;
        }
    }
}
