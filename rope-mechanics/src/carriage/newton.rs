//! Newton's method with halving, for the small square systems of a carriage.

use crate::math::linear::{Lu, Pivots};
use nalgebra::{SMatrix, SVector};

/// Where Newton's method came to rest.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rest<const N: usize> {
    pub(super) at: SVector<f64, N>,
    /// How the equations change there.
    pub(super) slope: SMatrix<f64, N, N>,
    /// The largest of the scaled equations there.
    pub(super) residual: f64,
    /// det of the slope that the last step was taken by.
    pub(super) determinant: f64,
    pub(super) iterations: u32,
}

/// What the method needs to know of a system.
pub(super) trait System<const N: usize> {
    /// The equations and their derivatives; `None` outside of the domain.
    fn equations(&self, at: &SVector<f64, N>) -> Option<(SVector<f64, N>, SMatrix<f64, N, N>)>;

    /// The equations, their terms at twice the digits.
    fn careful(&self, at: &SVector<f64, N>) -> SVector<f64, N>;

    /// The largest share of this step that stays well inside the domain.
    fn longest(&self, at: &SVector<f64, N>, step: &SVector<f64, N>) -> f64;
}

/// Steps, each at most; halvings of one step, at most.
const MOST_STEPS: u32 = 60;
const MOST_HALVINGS: u32 = 14;

/// Goes from `start` downhill in the largest equation, until that can't be lowered any more.
///
/// Bounded: 60 steps of at most 15 evaluations each. The caller decides by the residual.
pub(super) fn newton<const N: usize, S: System<N>>(system: &S, start: SVector<f64, N>) -> Option<Rest<N>> {
    let mut at = start;
    let (mut value, mut slope) = system.equations(&at)?;
    let mut residual = value.amax();
    let mut iterations = 1;
    while iterations < MOST_STEPS && residual > NEAR {
        let Some(step) = Lu::of(&slope, Pivots::Partial).solve(&-value) else { break };
        let mut share = system.longest(&at, &step).min(1.0);
        let mut halvings = 0;
        let taken = loop {
            let trial = at + step * share;
            iterations += 1;
            if let Some((new_value, new_slope)) = system.equations(&trial) {
                let new_residual = new_value.amax();
                // A full step lowers the equations in proportion; ask for a tenth of that.
                if new_residual < residual * (1.0 - 0.1 * share) {
                    break Some((trial, new_value, new_slope, new_residual));
                }
            }
            halvings += 1;
            if halvings > MOST_HALVINGS {
                break None;
            }
            share *= 0.5;
        };
        let Some((trial, new_value, new_slope, new_residual)) = taken else { break };
        (at, value, slope, residual) = (trial, new_value, new_slope, new_residual);
    }
    Some(Rest { at, slope, residual, iterations, determinant: f64::NAN })
}

/// Where Newton's method came to rest, after its last steps by the equations at twice the digits, which take away what
/// the slope makes of their rounding.
///
/// `found` gives what a place means, and what rounding may leave of the equations there: no more than that is
/// accepted. Where the equations hardly tell one place from another, a step may lead out of it: then it isn't taken.
pub(super) fn settled<const N: usize, S: System<N>, M>(
    system: &S,
    rest: Rest<N>,
    found: impl Fn(&SVector<f64, N>) -> Option<(M, f64)>,
) -> Option<(M, Rest<N>)> {
    if !(rest.residual <= NEAR) {
        return None;
    }
    let within = |rest: Rest<N>| {
        let (meaning, rounding) = found(&rest.at)?;
        // NaN compares as not within.
        (rest.residual <= rounding).then_some((meaning, rest))
    };
    let mut last = rest;
    for _ in 0..LAST_STEPS {
        let lu = Lu::of(&last.slope, Pivots::Partial);
        let Some(step) = lu.solve(&-system.careful(&last.at)) else { break };
        let at = last.at + step;
        let Some((value, slope)) = system.equations(&at) else { break };
        let iterations = last.iterations + 1;
        let next = Rest { at, slope, residual: value.amax(), iterations, determinant: lu.determinant() };
        // What a step leaves is as its square.
        if step.iter().zip(&last.at).all(|(step, at)| step.abs() <= SHORT * at.abs().max(1.0)) {
            return within(next).or_else(|| within(Rest { determinant: next.determinant, ..last }));
        }
        last = next;
    }
    within(last)
}

/// Scaled equations below this leave the rest of the way to [`settled`].
const NEAR: f64 = 1e-9;
/// Steps at twice the digits, at most.
const LAST_STEPS: u32 = 4;
/// The last of them is no longer than this.
const SHORT: f64 = 1e-8;
