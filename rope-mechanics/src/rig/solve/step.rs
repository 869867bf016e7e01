//! A step of all variables: how far it may go, what it leads to, and what it moves most.
#![allow(clippy::indexing_slicing, reason = "every index was made together with the array it goes into")]

use crate::rig::equations::{Equations, NONE, RigState, RopeForm};
use crate::rig::error::RigError;

/// How far a step may go before a part has lost nine tenths of its length, or a point has crossed the rig.
pub(crate) fn longest_step(system: &Equations<'_>, x: &[f64], step: &[f64], reach_m: f64) -> f64 {
    let mut most = 1.0_f64;
    let moved = step[..system.coordinates].iter().fold(0.0_f64, |m, d| m.max(d.abs()));
    if moved > reach_m {
        most = reach_m / moved;
    }
    for (r, rope) in system.rig.ropes.iter().enumerate() {
        if system.runs[r].form != RopeForm::Shared {
            continue;
        }
        let total = system.runs[r].total_m;
        let value = |node: usize, of: &[f64], end: f64| {
            let knot = system.knot(r, node);
            if knot != NONE {
                of[knot as usize]
            } else if node == 0 {
                0.0
            } else {
                end
            }
        };
        for k in 0..rope.parts() {
            let length = value(k + 1, x, total) - value(k, x, total);
            let change = value(k + 1, step, 0.0) - value(k, step, 0.0);
            if change < -0.9 * length {
                most = most.min(0.9 * length / -change);
            } else if change > 4.0 * length + reach_m {
                most = most.min((4.0 * length + reach_m) / change);
            }
        }
    }
    most
}

/// Moves from `from` by `part` of the step; gives the slope of the energy along the step there.
pub(crate) fn advance(
    system: &Equations<'_>,
    from: &[f64],
    step: &[f64],
    part: f64,
    to: &mut RigState,
) -> Result<f64, RigError> {
    to.x.clear();
    to.x.extend(from.iter().zip(step).map(|(x, d)| x + part * d));
    system.evaluate(to)?;
    Ok(slope(step, to))
}

/// How the energy changes along a step.
pub(crate) fn slope(step: &[f64], state: &RigState) -> f64 {
    step.iter().zip(&state.unbalanced).map(|(d, g)| d * g).sum()
}

/// What moves most in a mode: by how much, and the variable.
pub(crate) fn largest(mode: &[f64]) -> (f64, usize) {
    mode.iter().enumerate().fold((0.0, 0), |m, (v, d)| if d.abs() > m.0 { (d.abs(), v) } else { m })
}
