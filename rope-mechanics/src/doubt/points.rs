//! Points that fill a cube evenly, and the runs of a sensitivity analysis.

use super::DoubtError;
use super::indices::{Index, Variance};
use crate::error::{Allowed, InputError, check, within};
use sobol_burley::parts::{hash, owen_scramble_rev, sobol_rev};

/// How many inputs a sample may have: a [`Design`] takes two coordinates for each.
pub const MOST_INPUTS: usize = 128;
/// How many samples: 2¹⁶.
pub const MOST_SAMPLES: usize = 1 << 16;

/// Sets of shares, one for each input: a scrambled Sobol' sequence.
///
/// Sets of a power of two fill the cube evenly: of N sets exactly one lies in each Nth part of every input's range.
/// For a smooth model the mean over them errs by about N^(−3/2) where that of random draws errs by N^(−1/2). A share is
/// never 0 or 1: it lies in the middle of one of 2³² steps.
///
/// The same number, seed and input always give the same share, on any machine and in any order of calls. Other seeds
/// give other, independent sequences: the spread over a few of them shows how good a sample is, see [`Scrambles`].
///
/// [`Scrambles`]: super::Scrambles
///
/// ```
/// use rope_mechanics::doubt::SobolPoints;
///
/// let points = SobolPoints::new(3, 8, 1)?;
/// let mut eighths = [false; 8];
/// for run in 0..8 {
///     let mut shares = [0.0; 3];
///     points.fill(run, &mut shares)?;
///     eighths[(8.0 * shares[2]) as usize] = true;
/// }
/// assert_eq!(eighths, [true; 8]);
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
///
/// Source: Sobol' 1967 with the direction numbers of Joe & Kuo 2008; scrambled as in Burley, J. Comput. Graph. Tech. 9
/// (2020), which comes close to the nested uniform scrambling of Owen 1995.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SobolPoints {
    inputs: usize,
    samples: usize,
    seed: u32,
}

impl SobolPoints {
    /// A sample of so many sets for so many inputs.
    ///
    /// # Errors
    /// Unless there are 1 to [`MOST_INPUTS`] inputs, and the samples are a power of two from 2 to [`MOST_SAMPLES`].
    pub fn new(inputs: usize, samples: usize, seed: u32) -> Result<Self, InputError> {
        within("inputs", inputs as f64, 1.0, MOST_INPUTS as f64)?;
        within("samples", samples as f64, 2.0, MOST_SAMPLES as f64)?;
        if !samples.is_power_of_two() {
            // The power of two above it.
            let next = samples.next_power_of_two() as f64;
            return Err(InputError::new("samples", samples as f64, "", Allowed::Within(next, next)));
        }
        Ok(Self { inputs, samples, seed })
    }

    /// How many sets.
    #[must_use]
    pub fn samples(&self) -> usize {
        self.samples
    }

    /// Fills in the share of each input for one run, counted from 0.
    ///
    /// # Errors
    /// Unless there is such a run and `shares` has one place for each input.
    pub fn fill(&self, run: usize, shares: &mut [f64]) -> Result<(), InputError> {
        let run = counted("run", run, self.samples)?;
        places(shares, self.inputs)?;
        for (share, coordinate) in shares.iter_mut().zip(0..) {
            *share = self.share(run, coordinate);
        }
        Ok(())
    }

    /// A coordinate of a point, strictly between 0 and 1.
    fn share(&self, run: u32, coordinate: u32) -> f64 {
        let scramble = hash(hash(self.seed) ^ coordinate.wrapping_mul(0x9e37_79b9));
        let bits = owen_scramble_rev(sobol_rev(run.reverse_bits(), coordinate), scramble).reverse_bits();
        // (n + ½)/2³²
        (f64::from(bits) + 0.5) / 4_294_967_296.0
    }
}

/// A number that is below a limit, as the generator takes it.
fn counted(field: &'static str, number: usize, below: usize) -> Result<u32, InputError> {
    check(field, number as f64, Allowed::Below(below as f64))?;
    // Below 2¹⁶, by what a sample may hold.
    u32::try_from(number).map_err(|_| InputError::new(field, number as f64, "", Allowed::Below(below as f64)))
}

fn places(shares: &[f64], inputs: usize) -> Result<(), InputError> {
    let (given, wanted) = (shares.len() as f64, inputs as f64);
    within("shares", given, wanted, wanted).map(|_| ())
}

/// The runs that tell how much of an output's variance each group of inputs makes.
///
/// Two independent samples A and B, and for each group a third one that is A with the inputs of the group from B. With
/// N samples and k groups that makes N·(k + 2) runs, which are numbered so that the runs of a sample follow each
/// other.
///
/// Inputs that are correlated belong in one group: shares of variance have no meaning for each of them alone.
///
/// ```
/// use rope_mechanics::doubt::Design;
///
/// // y = 4·u₀ + 3·u₁ + u₂, where the last two are taken together: 16 and 9 + 1 parts of 26.
/// let groups = [0, 1, 1];
/// let design = Design::new(&groups, 1024, 1)?;
/// let mut values = vec![0.0; design.runs()];
/// for (run, value) in values.iter_mut().enumerate() {
///     let mut u = [0.0; 3];
///     design.fill(run, &mut u)?;
///     *value = 4.0 * u[0] + 3.0 * u[1] + u[2];
/// }
/// let mut indices = [Default::default(); 2];
/// design.indices(&values, &mut indices)?;
/// assert!((indices[0].first - 16.0 / 26.0).abs() < 0.01 && (indices[1].total - 10.0 / 26.0).abs() < 0.01);
/// # Ok::<(), rope_mechanics::doubt::DoubtError>(())
/// ```
///
/// Source: Saltelli et al., Comput. Phys. Commun. 181 (2010), for the design and the first index; Jansen, Comput. Phys.
/// Commun. 117 (1999), for the total index.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Design<'a> {
    points: SobolPoints,
    group_of: &'a [usize],
    groups: usize,
}

impl<'a> Design<'a> {
    /// A design by the group of each input, counted from 0, the number of samples and the seed.
    ///
    /// # Errors
    /// As for [`SobolPoints::new`]; and unless every group from 0 to the last has an input.
    pub fn new(group_of: &'a [usize], samples: usize, seed: u32) -> Result<Self, InputError> {
        let points = SobolPoints::new(group_of.len(), samples, seed)?;
        let groups = group_of.iter().max().map_or(0, |last| last + 1);
        check("groups", groups as f64, Allowed::AtMost(group_of.len() as f64))?;
        for group in 0..groups {
            if !group_of.contains(&group) {
                return Err(InputError::new("group", group as f64, "", Allowed::OtherThan(group as f64)));
            }
        }
        Ok(Self { points, group_of, groups })
    }

    /// How many groups.
    #[must_use]
    pub fn groups(&self) -> usize {
        self.groups
    }

    /// How many runs: N·(k + 2).
    #[must_use]
    pub fn runs(&self) -> usize {
        self.points.samples * self.stride()
    }

    /// A, B, and A with each group from B.
    pub(super) fn stride(&self) -> usize {
        self.groups + 2
    }

    /// Fills in the share of each input for one run, counted from 0.
    ///
    /// # Errors
    /// Unless there is such a run and `shares` has one place for each input.
    pub fn fill(&self, run: usize, shares: &mut [f64]) -> Result<(), InputError> {
        check("run", run as f64, Allowed::Below(self.runs() as f64))?;
        places(shares, self.points.inputs)?;
        let sample = counted("run", run / self.stride(), self.points.samples)?;
        let matrix = run % self.stride();
        for ((share, coordinate), group) in shares.iter_mut().zip(0_u32..).zip(self.group_of) {
            // 0 is A, 1 is B, 2 + group is A with this group from B, whose coordinates follow those of A.
            let from_b = matrix == 1 || matrix == group + 2;
            let second = counted("inputs", self.points.inputs, MOST_INPUTS + 1)?;
            *share = self.points.share(sample, if from_b { coordinate + second } else { coordinate });
        }
        Ok(())
    }

    /// The first and the total index of each group, from the output of all runs in their order.
    ///
    /// The output may be in any one unit. A run without an answer has no place here: take 0 and 1 for with and without
    /// an answer as an output of its own.
    ///
    /// # Errors
    /// Unless `values` has one place for each run and `indices` one for each group;
    /// [`DoubtError::NotANumber`] for a value that is not finite; [`DoubtError::NoVariance`] where all are alike.
    pub fn indices(&self, values: &[f64], indices: &mut [Index]) -> Result<Variance, DoubtError> {
        let (runs, groups) = (self.runs() as f64, self.groups as f64);
        within("values", values.len() as f64, runs, runs)?;
        within("indices", indices.len() as f64, groups, groups)?;
        super::indices::estimate(values, self.stride(), indices)
    }
}
