//! How much of an output's variance each input causes.

use super::DoubtError;
use crate::error::{Allowed, InputError, check};
use crate::math;

/// How much of the variance of an output a group of inputs causes.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Index {
    /// The first-order index: the share of the variance that would vanish on average if the group were known.
    ///
    /// S = V(E(f | group))/V
    pub first: f64,
    /// The total index, with all interactions: the share of the variance that would be left if all others were known.
    ///
    /// S_T = E(V(f | others))/V
    pub total: f64,
}

/// The mean and the variance of an output over a design.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Variance {
    /// The mean, in the unit of the output.
    pub mean: f64,
    /// The variance, in its square.
    pub variance: f64,
}

/// The estimates of Saltelli et al. 2010 (first) and Jansen 1999 (total), from values in groups of A, B, A with group
/// 0 from B, and so on.
pub(super) fn estimate(values: &[f64], stride: usize, indices: &mut [Index]) -> Result<Variance, DoubtError> {
    if let Some(run) = values.iter().position(|value| !value.is_finite()) {
        return Err(DoubtError::NotANumber { run });
    }
    let samples = (values.len() / stride) as f64;
    let both = || values.chunks_exact(stride).flat_map(|sample| sample.iter().take(2));
    // f₀ = (⟨f_A⟩ + ⟨f_B⟩)/2,  V = ⟨(f − f₀)²⟩ over both
    let mean = both().sum::<f64>() / (2.0 * samples);
    let variance = both().map(|f| (f - mean) * (f - mean)).sum::<f64>() / (2.0 * samples);
    // What rounding alone would make of a constant.
    let rounding = 16.0 * f64::EPSILON * mean;
    if !(variance > rounding * rounding) {
        return Err(DoubtError::NoVariance);
    }
    for (group, index) in indices.iter_mut().enumerate() {
        let (mut first, mut total) = (0.0, 0.0);
        for sample in values.chunks_exact(stride) {
            if let [a, b, mixed @ ..] = sample
                && let Some(ab) = mixed.get(group)
            {
                // S = ⟨(f_B − f₀)·(f_AB − f_A)⟩/V: centred, which takes away most of the noise
                first += (b - mean) * (ab - a);
                // S_T = ⟨(f_A − f_AB)²⟩/2V
                total += (a - ab) * (a - ab);
            }
        }
        *index = Index { first: first / samples / variance, total: 0.5 * total / samples / variance };
    }
    Ok(Variance { mean, variance })
}

/// An estimate over several seeds: its mean, and how far that may be off.
///
/// The error of a scrambled sample can't be read from the sample itself, but from the spread over independent
/// scrambles.
///
/// ```
/// use rope_mechanics::doubt::Scrambles;
///
/// let first_index = Scrambles::new(&[0.312, 0.315, 0.313, 0.316])?;
/// assert!((first_index.mean - 0.314).abs() < 1e-12);
/// assert!((first_index.standard_error - 0.00182574 / 2.0).abs() < 1e-6);
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scrambles {
    /// The mean over the seeds.
    pub mean: f64,
    /// Its standard error: the standard deviation over the seeds, divided by the root of their number.
    pub standard_error: f64,
}

impl Scrambles {
    /// From one estimate for each seed.
    ///
    /// # Errors
    /// Unless there are at least two, all finite.
    pub fn new(estimates: &[f64]) -> Result<Self, InputError> {
        let count = check("estimates", estimates.len() as f64, Allowed::AtLeast(2.0))?;
        for estimate in estimates {
            if !estimate.is_finite() {
                return Err(InputError::new("estimate", *estimate, "", Allowed::Finite));
            }
        }
        let mean = estimates.iter().sum::<f64>() / count;
        // s² = Σ(x − x̄)²/(R − 1)
        let variance = estimates.iter().map(|x| (x - mean) * (x - mean)).sum::<f64>() / (count - 1.0);
        Ok(Self { mean, standard_error: math::sqrt(variance / count) })
    }
}
