//! What the doubt on a site makes of its study: bands, chances, and what to measure first.
//!
//! 1. Whatever carries a tolerance in the site file is drawn from it; what carries none, but is never exactly known, from
//!    a usual one that is listed with its mark ([`Doubts::inputs`]).
//! 2. In every sample the crew sets the track rope by the reading that the study announces, on a rope, with sheaves and on
//!    a cell that are not quite what they were taken for. Then the load travels.
//! 3. The samples give the 5, 50 and 95 % values of every output, at places and where it is worst on the travel; the
//!    chance that each limit is passed; and how much of the spread each group of inputs makes.
//!
//! Assumed beyond what the [study](super) assumes: what is drawn stays so for the whole travel; strengths are what the
//! site file says; the winch is as its site file has it. Extremes are looked for at one place of each of 24 parts of the
//! travel and from there, place by place, for the litter's least height and the strands' greatest tension; the others are
//! the worst of all places looked at.
//!
//! The same site, samples and seed give the same bits on any number of threads.
//!
//! **Caution.** A band holds only as far as the doubt on its inputs does, and says nothing of what the model leaves out.
//! A sample without an equilibrium is an outcome: it counts on the worse side. Local codes, makers' instructions and the
//! authority having jurisdiction come first.
//!
//! ```
//! use rope_mechanics::operation::doubt::{Doubts, Sampling};
//! # use rope_mechanics::operation::site::Site;
//! # fn example(site: &Site) -> Result<(), rope_mechanics::operation::SiteError> {
//! let doubts = Doubts::new(site)?;
//! let doubt = doubts.sample(Sampling::new().with_samples(256))?;
//! for limit in doubt.limits.iter().filter(|limit| limit.passed_at_bad_side && !limit.passed) {
//!     println!("{}: passed in {:.0} % of cases", limit.output, 100.0 * limit.chance.share);
//! }
//! println!("measure first: {}", doubt.measure_first.join(", "));
//! # Ok(())
//! # }
//! ```

mod found;
mod inputs;
mod run;
mod threads;

pub use found::{
    Chance, Doubt, GroupIndex, LimitInDoubt, OutputBand, OutputIndices, PositionBands, UncertainInput,
};
pub use inputs::Input;

use super::place::Place;
use super::plan::{SiteError, SitePlan};
use super::power::Drive;
use super::rated;
use super::site::Site;
use super::study::{LimitsUsed, RatedPart};
use crate::doubt::{Design, DoubtError, SobolPoints};
use crate::error::InputError;
use alloc::string::ToString;
use alloc::vec::Vec;
use core::convert::Infallible;
use core::ops::ControlFlow;
use run::{OUTPUTS, Runs};

/// How to sample.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sampling {
    samples: usize,
    seed: u32,
    threads: usize,
    indices: bool,
}

/// Groups of inputs are judged by this part of the samples: each sample of theirs takes as many runs as there are
/// groups, and two.
const OF_INDICES: usize = 8;
/// So many samples at least, and at most.
const SAMPLES: [usize; 2] = [64, 8192];

impl Sampling {
    /// 2048 samples, seed 1, as many threads as the machine has.
    #[must_use]
    pub const fn new() -> Self {
        Self { samples: 2048, seed: 1, threads: 0, indices: true }
    }

    /// So many samples: a power of two from 64 to 8192.
    #[must_use]
    pub const fn with_samples(self, samples: usize) -> Self {
        Self { samples, ..self }
    }

    /// Another seed.
    #[must_use]
    pub const fn with_seed(self, seed: u32) -> Self {
        Self { seed, ..self }
    }

    /// So many threads; 0 for as many as the machine has. Their number changes no answer.
    #[must_use]
    pub const fn with_threads(self, threads: usize) -> Self {
        Self { threads, ..self }
    }

    /// Bands and chances only: which input makes which part of the spread takes more than half of all runs.
    #[must_use]
    pub const fn without_indices(self) -> Self {
        Self { indices: false, ..self }
    }

    fn threads(&self) -> usize {
        match self.threads {
            #[cfg(feature = "std")]
            0 => std::thread::available_parallelism().map_or(1, core::num::NonZeroUsize::get),
            given => given.max(1),
        }
    }
}

impl Default for Sampling {
    fn default() -> Self {
        Self::new()
    }
}

/// A site with what is not exactly known of it.
#[derive(Debug)]
pub struct Doubts<'s> {
    runs: Runs<'s>,
    limits: LimitsUsed,
    components: Vec<RatedPart>,
}

/// What came of one set of values: outputs where they are worst on the travel, in SI.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Worst {
    outputs: run::Outputs,
    /// Whether there is a place of the travel without a balance.
    pub no_balance: bool,
}

impl Worst {
    /// An output by its key: see [`OutputBand::output`]. Nothing for an unknown key, and where there is no answer.
    ///
    /// [`OutputBand::output`]: OutputBand
    #[must_use]
    pub fn get(&self, output: &str) -> Option<f64> {
        let of = |at: usize| self.outputs.of.get(at).copied();
        let own = OUTPUTS.iter().position(|(key, ..)| *key == output).and_then(of);
        let force = || {
            let key = output.strip_prefix("force at ")?;
            Some(self.outputs.forces[Place::all().find(|place| place.key() == key)?])
        };
        own.or_else(force).filter(|value| value.is_finite())
    }
}

impl<'s> Doubts<'s> {
    /// What is not exactly known of a site.
    ///
    /// # Errors
    /// As [`solve`](super::solve); and for a tolerance that reaches beyond what the key may hold, or on a key from which
    /// nothing that is drawn follows.
    pub fn new(site: &'s Site) -> Result<Self, SiteError> {
        let plan = SitePlan::new(site)?;
        Ok(Self {
            runs: Runs::new(site)?,
            limits: LimitsUsed::new(site, &plan, Drive::new(site, &mut Vec::new())?.rated_pull),
            components: rated::components(site, &plan),
        })
    }

    /// What is not exactly known.
    #[must_use]
    pub fn inputs(&self) -> &[Input] {
        &self.runs.inputs.list
    }

    /// What each group of inputs is called: see [`Input::group`].
    pub fn groups(&self) -> impl Iterator<Item = &str> {
        self.runs.inputs.groups.iter().map(|group| group.as_str())
    }

    /// How many shares [`Doubts::at`] takes: one for each input, and one for what all bends have in common.
    #[must_use]
    pub fn shares(&self) -> usize {
        self.runs.inputs.coordinates()
    }

    /// The value of each input at these shares of its distribution, in their order.
    ///
    /// # Errors
    /// Unless there are as many as [`Doubts::shares`], each within 0 and 1.
    pub fn at(&self, shares: &[f64]) -> Result<Vec<f64>, InputError> {
        self.runs.inputs.at(shares)
    }

    /// The value of each input that the study goes by.
    #[must_use]
    pub fn nominal(&self) -> Vec<f64> {
        self.runs.inputs.nominal()
    }

    /// What comes of these values of the inputs.
    #[must_use]
    pub fn worst(&self, values: &[f64]) -> Worst {
        let run = self.runs.run(values);
        Worst { outputs: run.worst, no_balance: run.no_balance }
    }

    /// Samples it.
    ///
    /// # Errors
    /// Unless the number of samples is a power of two from 64 to 8192.
    pub fn sample(&self, sampling: Sampling) -> Result<Doubt, SiteError> {
        let found = self.sample_while(sampling, |_, _| ControlFlow::<Infallible>::Continue(()))?;
        match found {
            ControlFlow::Continue(doubt) => Ok(doubt),
            ControlFlow::Break(never) => match never {},
        }
    }

    /// The same, for as long as `progress` says to go on. It is asked after every 32 runs of each thread, with how many of
    /// how many are done.
    ///
    /// # Errors
    /// As [`Doubts::sample`].
    pub fn sample_while<B>(
        &self,
        sampling: Sampling,
        mut progress: impl FnMut(usize, usize) -> ControlFlow<B>,
    ) -> Result<ControlFlow<B, Doubt>, SiteError> {
        let fail = |why: DoubtError| SiteError::new("doubt", why.to_string());
        let samples = crate::error::within("", sampling.samples as f64, SAMPLES[0] as f64, SAMPLES[1] as f64);
        samples.map_err(|why| SiteError::at("doubt.samples", why))?;
        let of_samples = |why| SiteError::at("doubt.samples", why);
        let inputs = &self.runs.inputs;
        let points = SobolPoints::new(self.shares(), sampling.samples, sampling.seed).map_err(of_samples)?;
        let group_of = inputs.group_of();
        let design =
            Design::new(&group_of, sampling.samples / OF_INDICES, sampling.seed).map_err(of_samples)?;
        let threads = sampling.threads();
        let runs_of_indices = if sampling.indices { design.runs() } else { 0 };
        let all = sampling.samples + runs_of_indices;
        let shared = |fill: &dyn Fn(&mut [f64]) -> Result<(), InputError>| {
            let mut shares = alloc::vec![0.0; self.shares()];
            // A run that there is has its shares.
            fill(&mut shares).and_then(|()| self.at(&shares)).unwrap_or_default()
        };

        let run = |number: usize| self.runs.run(&shared(&|shares| points.fill(number, shares)));
        let runs = match threads::each(sampling.samples, threads, &run, |done| progress(done, all)) {
            ControlFlow::Continue(runs) => runs,
            ControlFlow::Break(why) => return Ok(ControlFlow::Break(why)),
        };
        let judged = |number: usize| {
            let run = self.runs.run(&shared(&|shares| design.fill(number, shares)));
            (found::JUDGED.map(|output| run.worst.of.get(output).copied().unwrap_or(f64::NAN)), run.solves)
        };
        let after = |done| progress(sampling.samples + done, all);
        let judged = match threads::each(runs_of_indices, threads, &judged, after) {
            ControlFlow::Continue(judged) => judged,
            ControlFlow::Break(why) => return Ok(ControlFlow::Break(why)),
        };

        let mut indices = Vec::new();
        for (place, output) in found::JUDGED.into_iter().enumerate().filter(|_| sampling.indices) {
            let mut values: Vec<f64> =
                judged.iter().map(|(of, _)| of.get(place).copied().unwrap_or(f64::NAN)).collect();
            let estimate = |values: &[f64], found: &mut [crate::doubt::Index]| design.indices(values, found);
            indices.extend(found::indices(output, &mut values, &inputs.groups, estimate).map_err(fail)?);
        }
        let nominal = self.runs.nominal();
        let listed = |input: &Input| {
            let [low, high] = input.band();
            UncertainInput {
                key: input.key().to_string(),
                group: inputs.groups.get(input.group()).cloned().unwrap_or_default(),
                unit: input.unit(),
                value: input.value(),
                low,
                high,
                mark: input.mark(),
            }
        };
        Ok(ControlFlow::Continue(Doubt {
            samples: sampling.samples,
            seed: sampling.seed,
            samples_of_indices: sampling.samples / OF_INDICES,
            inputs: inputs.list.iter().map(listed).collect(),
            extremes: found::extremes(&runs, &nominal).map_err(fail)?,
            positions: found::positions(&runs, &nominal, &self.runs.coarse).map_err(fail)?,
            limits: found::limits(&runs, &nominal, &self.limits, &self.components).map_err(fail)?,
            measure_first: found::measure_first(&indices, &inputs.groups),
            indices,
            solves: runs.iter().map(|run| run.solves).chain(judged.iter().map(|(_, solves)| *solves)).sum(),
        }))
    }
}
