//! How stable an equilibrium is: the least stiffness against any small movement.
#![allow(clippy::indexing_slicing, reason = "the space and its matrix are made together")]

use crate::math;
use crate::rig::equations::Equations;
use crate::rig::equations::sparse::Factor;
use crate::rig::options::Options;
use alloc::vec::Vec;
use nalgebra::{DMatrix, DVector, Schur};

/// The least eigenvalue of the stiffness, and its mode, by inverse iteration with factors of the matrix plus `shift`
/// on its diagonal.
///
/// With w = (K+σ)⁻¹·v, λ = wᵀ·K·w/wᵀ·w = wᵀ·v/wᵀ·w − σ, which is above the least eigenvalue by a square of what is
/// wrong with w.
pub(crate) fn softest(system: &Equations<'_>, factor: &Factor, shift: f64) -> (f64, Vec<f64>) {
    let [mut v, mut w] = [Vec::new(), Vec::new()];
    let least = softest_in(system, factor, shift, [&mut v, &mut w], &mut Vec::new());
    (least, v)
}

/// The same in room that is kept: the mode is the first of the two lists, and where one of the same rig stands there already
/// it is where the search begins.
pub(crate) fn softest_in(
    system: &Equations<'_>,
    factor: &Factor,
    shift: f64,
    [v, w]: [&mut Vec<f64>; 2],
    room: &mut Vec<f64>,
) -> f64 {
    let n = system.variables();
    // A start that no mode of a symmetric rig is square to; and beside it the mode found before, if there is one.
    v.resize(n, 0.0);
    let even = math::sqrt(1.0 / n as f64);
    for (i, v) in v.iter_mut().enumerate() {
        *v += AFRESH * even * (1.0 + 0.5 * math::sin(1.0 + 2.4 * i as f64));
    }
    w.clone_from(v);
    let mut least = f64::INFINITY;
    for _ in 0..Options::DEFAULT.mode_steps {
        scale(v);
        w.copy_from_slice(v);
        factor.solve_in(&system.pattern, w, room);
        let (wv, ww) = w.iter().zip(v.iter()).fold((0.0, 0.0), |s, (w, v)| (s.0 + w * v, s.1 + w * w));
        let before = least;
        least = wv / ww - shift;
        core::mem::swap(v, w);
        if (before - least).abs() <= Options::DEFAULT.mode_steady * least.abs() {
            break;
        }
    }
    scale(v);
    least
}

/// How much of a start is looked for afresh, beside a mode of length one that was found before: enough that one which has
/// become softer is found in a few rounds, each of which makes more of it.
const AFRESH: f64 = 0.1;

fn scale(v: &mut [f64]) {
    let norm = math::sqrt(v.iter().map(|x| x * x).sum());
    if norm > 0.0 {
        for x in v {
            *x /= norm;
        }
    }
}

/// The least real part of the eigenvalues of an unsymmetric stiffness, from its factors: above zero, whatever moves
/// out of the equilibrium is pushed back. None if they could not be computed.
///
/// The eigenvalues are the inverses of those of K⁻¹; with λ = 1/μ, Re λ = Re μ/|μ|².
pub(crate) fn least_real_part(system: &Equations<'_>, factor: &Factor) -> Option<f64> {
    let n = system.variables();
    let mut room = Vec::new();
    let mut inverse_of = |v: &mut DVector<f64>| factor.solve_in(&system.pattern, v.as_mut_slice(), &mut room);
    let small = if n <= Options::DEFAULT.all_modes {
        let mut inverse = DMatrix::identity(n, n);
        for mut column in inverse.column_iter_mut() {
            let mut v = column.clone_owned();
            inverse_of(&mut v);
            column.copy_from(&v);
        }
        inverse
    } else {
        // Hessenberg form of K⁻¹ on the space that it spans from one vector.
        let mut basis: Vec<DVector<f64>> = Vec::with_capacity(Options::DEFAULT.soft_modes + 1);
        basis.push(DVector::from_fn(n, |i, _| 1.0 + 0.5 * math::sin(1.0 + 2.4 * i as f64)).normalize());
        let mut h = DMatrix::zeros(Options::DEFAULT.soft_modes, Options::DEFAULT.soft_modes);
        for k in 0..Options::DEFAULT.soft_modes {
            let mut w = basis.last()?.clone();
            inverse_of(&mut w);
            // Twice, against rounding.
            for _ in 0..2 {
                for (i, q) in basis.iter().enumerate() {
                    let part = q.dot(&w);
                    w.axpy(-part, q, 1.0);
                    h[(i, k)] += part;
                }
            }
            let left = math::sqrt(w.norm_squared());
            if k + 1 == Options::DEFAULT.soft_modes {
                break;
            }
            if !(left > 0.0) {
                h = h.resize(k + 1, k + 1, 0.0);
                break;
            }
            h[(k + 1, k)] = left;
            basis.push(w / left);
        }
        h
    };
    if !small.iter().all(|x| x.is_finite()) {
        return None;
    }
    let sweeps = Options::DEFAULT.sweeps * small.nrows().max(1);
    // All moved away from zero by more than the largest, so that what is lost in rounding can't keep the sweeps busy.
    let away: f64 = math::sqrt(small.norm_squared());
    let order = small.nrows();
    let moved = small + DMatrix::from_diagonal_element(order, order, away);
    let mut modes = Schur::try_new(moved, f64::EPSILON, sweeps)?.complex_eigenvalues();
    for mode in modes.iter_mut() {
        mode.re -= away;
    }
    let size = |m: &nalgebra::Complex<f64>| math::hypot(m.re, m.im);
    let softest = modes.iter().fold(0.0_f64, |most, m| most.max(size(m)));
    let seen = modes.iter().filter(|m| size(m) > Options::DEFAULT.lost_mode * softest);
    Some(seen.fold(f64::INFINITY, |least, m| least.min(m.re / (m.re * m.re + m.im * m.im))))
}
