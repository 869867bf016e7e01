//! Newton's method with halving, for the small square systems of a carriage.
#![allow(
    clippy::indexing_slicing,
    clippy::needless_range_loop,
    reason = "fixed places in arrays of fixed length"
)]

pub(super) type Vector<const N: usize> = [f64; N];
pub(super) type Matrix<const N: usize> = [[f64; N]; N];

/// Where Newton's method came to rest.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rest<const N: usize, M> {
    pub(super) at: Vector<N>,
    pub(super) meaning: M,
    /// How the equations change there, or one short step before.
    pub(super) slope: Matrix<N>,
    /// The largest of the scaled equations there.
    pub(super) residual: f64,
    /// det of the slope that the last step was taken by.
    pub(super) determinant: f64,
    pub(super) iterations: u32,
}

/// What the method needs to know of a system.
pub(super) trait System<const N: usize> {
    /// What a set of unknowns stands for.
    type Meaning: Copy;

    /// `None` outside of the domain.
    fn meaning(&self, at: &Vector<N>) -> Option<Self::Meaning>;

    /// The equations.
    fn values(&self, meaning: &Self::Meaning) -> Vector<N>;

    /// Their derivatives, a row for each equation.
    fn slope(&self, meaning: &Self::Meaning) -> Matrix<N>;

    /// The equations, their terms at twice the digits.
    fn careful(&self, at: &Vector<N>) -> Vector<N>;

    /// What rounding may leave of the equations.
    fn rounding(&self, meaning: &Self::Meaning) -> f64;

    /// The largest share of this step that stays well inside the domain.
    fn longest(&self, at: &Vector<N>, step: &Vector<N>) -> f64;
}

/// Steps, each at most; halvings of one step, at most.
const MOST_STEPS: u32 = 60;
const MOST_HALVINGS: u32 = 14;

/// Goes from `start` downhill in the largest equation, until that can't be lowered any more.
///
/// Bounded: 60 steps of at most 15 evaluations each. The caller decides by the residual.
pub(super) fn newton<const N: usize, S: System<N>>(
    system: &S,
    start: Vector<N>,
) -> Option<Rest<N, S::Meaning>> {
    let mut at = start;
    let mut meaning = system.meaning(&at)?;
    let mut value = system.values(&meaning);
    let mut residual = largest(&value);
    let mut iterations = 1;
    while iterations < MOST_STEPS && residual > NEAR {
        let Some((step, _)) = eliminate(&system.slope(&meaning), &value.map(|value| -value)) else { break };
        let mut share = system.longest(&at, &step).min(1.0);
        let mut halvings = 0;
        let taken = loop {
            let trial = stepped(&at, &step, share);
            iterations += 1;
            if let Some(new_meaning) = system.meaning(&trial) {
                let new_value = system.values(&new_meaning);
                let new_residual = largest(&new_value);
                // A full step lowers the equations in proportion; ask for a tenth of that.
                if new_residual < residual * (1.0 - 0.1 * share) {
                    break Some((trial, new_meaning, new_value, new_residual));
                }
            }
            halvings += 1;
            if halvings > MOST_HALVINGS {
                break None;
            }
            share *= 0.5;
        };
        let Some(taken) = taken else { break };
        (at, meaning, value, residual) = taken;
    }
    let slope = system.slope(&meaning);
    Some(Rest { at, meaning, slope, residual, iterations, determinant: f64::NAN })
}

/// Where Newton's method came to rest, after its last steps by the equations at twice the digits, which take away what
/// the slope makes of their rounding: no more than [`System::rounding`] is accepted.
///
/// Where the equations hardly tell one place from another, a step may lead out of it: then it isn't taken.
pub(super) fn settled<const N: usize, S: System<N>>(
    system: &S,
    rest: Rest<N, S::Meaning>,
) -> Option<Rest<N, S::Meaning>> {
    if !(rest.residual <= NEAR) {
        return None;
    }
    // NaN compares as not within.
    let within =
        |rest: Rest<N, S::Meaning>| (rest.residual <= system.rounding(&rest.meaning)).then_some(rest);
    let mut last = rest;
    for _ in 0..LAST_STEPS {
        let missed = system.careful(&last.at).map(|value| -value);
        let Some((step, determinant)) = eliminate(&last.slope, &missed) else { break };
        let at = stepped(&last.at, &step, 1.0);
        let Some(meaning) = system.meaning(&at) else { break };
        let residual = largest(&system.values(&meaning));
        let next =
            Rest { at, meaning, residual, determinant, iterations: last.iterations + 1, slope: last.slope };
        // What a step leaves is as its square.
        if step.iter().zip(&last.at).all(|(step, at)| step.abs() <= SHORT * at.abs().max(1.0)) {
            return within(next).or_else(|| within(Rest { determinant, ..last }));
        }
        last = Rest { slope: system.slope(&meaning), ..next };
    }
    within(last)
}

/// Scaled equations below this leave the rest of the way to [`settled`].
const NEAR: f64 = 1e-9;
/// Steps at twice the digits, at most.
const LAST_STEPS: u32 = 4;
/// The last of them is no longer than this.
const SHORT: f64 = 1e-8;

fn stepped<const N: usize>(at: &Vector<N>, step: &Vector<N>, share: f64) -> Vector<N> {
    core::array::from_fn(|i| at[i] + share * step[i])
}

/// NaN if there is one.
fn largest<const N: usize>(values: &Vector<N>) -> f64 {
    values.iter().fold(0.0, |most: f64, value| {
        let value = value.abs();
        if most.is_nan() || value <= most { most } else { value }
    })
}

/// x of A·x = b and det A, by elimination with the largest pivot of each column; `None` where there is no answer.
///
/// For the six equations of a carriage a third of the instructions of [`Lu`](crate::math::linear::Lu), and like it
/// without a path to a panic.
#[inline]
pub(super) fn eliminate<const N: usize>(a: &Matrix<N>, b: &Vector<N>) -> Option<(Vector<N>, f64)> {
    let mut rows: [(Vector<N>, f64); N] = core::array::from_fn(|i| (a[i], b[i]));
    let mut determinant = 1.0;
    for i in 0..N {
        let (first, rest) = rows.get_mut(i..)?.split_first_mut()?;
        for row in rest.iter_mut() {
            if row.0[i].abs() > first.0[i].abs() {
                core::mem::swap(first, row);
                determinant = -determinant;
            }
        }
        let pivot = first.0[i];
        // NaN is no pivot.
        if !(pivot.abs() > 0.0) {
            return None;
        }
        determinant *= pivot;
        for row in rest {
            let share = row.0[i] / pivot;
            if share != 0.0 {
                // All columns: a loop whose length is known.
                for column in 0..N {
                    row.0[column] -= share * first.0[column];
                }
                row.1 -= share * first.1;
            }
        }
    }
    let mut x = [0.0; N];
    for i in (0..N).rev() {
        let mut sum = rows[i].1;
        for column in i + 1..N {
            sum -= rows[i].0[column] * x[column];
        }
        x[i] = sum / rows[i].0[i];
    }
    Some((x, determinant))
}

#[cfg(test)]
mod tests {
    use super::{eliminate, largest};

    #[test]
    fn three_equations_whose_first_pivot_is_zero() {
        // 2y + z = 7, x − y + 3z = 8, 4x + z = 7 for (1, 2, 3); det by the first row: −2·(1·1 − 3·4) + 1·(0 + 4)
        let a = [[0.0, 2.0, 1.0], [1.0, -1.0, 3.0], [4.0, 0.0, 1.0]];
        assert_eq!(eliminate(&a, &[7.0, 8.0, 7.0]), Some(([1.0, 2.0, 3.0], 26.0)));
        assert_eq!(eliminate(&[[1.0, 2.0], [2.0, 4.0]], &[1.0, 1.0]), None);
        assert_eq!(eliminate(&[[f64::NAN]], &[1.0]), None);
    }

    #[test]
    fn what_is_no_number_is_the_largest() {
        assert_eq!(largest(&[-3.0, 2.0]), 3.0);
        assert!(largest(&[f64::NAN, 2.0]).is_nan() && largest(&[2.0, f64::NAN]).is_nan());
    }
}
