//! How stable an equilibrium is: the least stiffness against any small movement.

use super::sparse::Factor;
use super::system::System;
use crate::math;
use alloc::vec::Vec;

/// Steps of the iteration; the mode found bounds the least stiffness from above in any case.
const MOST_STEPS: u32 = 60;
/// The iteration ends when the eigenvalue changes by less than this part.
const STEADY: f64 = 1e-6;

/// The least eigenvalue of the stiffness, and its mode, by inverse iteration with factors of the matrix plus `shift`
/// on its diagonal.
///
/// With w = (K+σ)⁻¹·v, λ = wᵀ·K·w/wᵀ·w = wᵀ·v/wᵀ·w − σ, which is above the least eigenvalue by a square of what is
/// wrong with w.
pub(super) fn softest(system: &System<'_>, factor: &Factor, shift: f64) -> (f64, Vec<f64>) {
    let n = system.variables();
    // A start that no mode of a symmetric rig is square to.
    let mut v: Vec<f64> = (0..n).map(|i| 1.0 + 0.5 * math::sin(1.0 + 2.4 * i as f64)).collect();
    let mut w = v.clone();
    let mut room = Vec::new();
    let mut least = f64::INFINITY;
    for _ in 0..MOST_STEPS {
        scale(&mut v);
        w.copy_from_slice(&v);
        factor.solve_in(&system.pattern, &mut w, &mut room);
        let (wv, ww) = w.iter().zip(&v).fold((0.0, 0.0), |s, (w, v)| (s.0 + w * v, s.1 + w * w));
        let before = least;
        least = wv / ww - shift;
        core::mem::swap(&mut v, &mut w);
        if (before - least).abs() <= STEADY * least.abs() {
            break;
        }
    }
    scale(&mut v);
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
