//! Doubt about the inputs, and what it does to the answer: bands, probabilities, and what to measure first.
//!
//! 1. Each input that is not exactly known is an [`Uncertain`] quantity, from text ("90 kg ± 20 kg") or made by hand.
//! 2. [`SobolPoints`] gives sets of shares, one for each input, that fill all their combinations evenly; each input turns
//!    its share into a value ([`Uncertain::at`]), and the model is solved once for each set.
//! 3. [`Outcomes`] gives the band of an output and the probability that it passes a limit.
//! 4. [`Design`] adds the runs that show how much of an output's variance each input, or group of inputs, causes.
//!
//! Each set depends on its number and the seed alone, so that runs can be shared out to any number of threads in any
//! order and the same answer comes out to the last bit. The shares themselves are made of integers and are the same
//! on every machine; normal and lognormal inputs go through the logarithm and the exponential of the machine's own
//! library, which may differ in the last place.
//!
//! **Caution.** A band is only as good as the doubt stated for its inputs, and says nothing about what the model leaves
//! out. A run without an answer is an outcome and is never left out: it counts on the worse side.
//!
//! Nothing here needs a heap.
//!
//! ```
//! use rope_mechanics::doubt::{Outcomes, SobolPoints, Uncertain, Without};
//! use rope_mechanics::line::elastic::ElasticLine;
//! use rope_mechanics::quantity::{Force, Length, LineMass, line_weight_of, unit::newton};
//! use rope_mechanics::rope::Stretch;
//! use rope_mechanics::text::Text;
//!
//! // How hard does a line pull whose length and stiffness are not quite known?
//! let stiffness = Uncertain::<Force>::from_text("80 kN ± 30 %")?;
//! let length = Uncertain::<Length>::from_text("80.25 m ± 0.1 m")?;
//! let points = SobolPoints::new(2, 256, 1)?;
//! let mut tensions = [None; 256];
//! for (run, tension) in tensions.iter_mut().enumerate() {
//!     let mut shares = [0.0; 2];
//!     points.fill(run, &mut shares)?;
//!     let line = ElasticLine::new(
//!         Length::from_text("70 m")?,
//!         Length::from_text("-45 m")?,
//!         length.at(shares[0])?,
//!         line_weight_of(LineMass::from_text("170 g/m")?),
//!         Stretch::linear(stiffness.at(shares[1])?)?,
//!     )?;
//!     *tension = line.solve().ok().map(|state| state.first_tension());
//! }
//! let outcomes = Outcomes::new(&mut tensions, Without::CountHigh)?;
//! let (low, high) = (outcomes.quantile(0.05)?.unwrap(), outcomes.quantile(0.95)?.unwrap());
//! assert!(low < Force::new::<newton>(2500.0) && high > Force::new::<newton>(3600.0));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod indices;
mod normal;
mod outcomes;
mod points;
mod spread;
mod text;

pub use indices::{Index, Scrambles, Variance};
pub use outcomes::{Outcomes, Share, Without};
pub use points::{Design, MOST_INPUTS, MOST_SAMPLES, SobolPoints};
pub use spread::{Uncertain, in_common};
pub use text::UncertainTextError;

use crate::error::InputError;

/// Why a sample can't be judged.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum DoubtError {
    /// An input that can't be used.
    #[error(transparent)]
    Input(#[from] InputError),
    /// A run gave something that is not a number.
    #[error("run {run} gave an output that is not a number; record a run without an answer as `None`")]
    NotANumber {
        /// The run, counted from 0.
        run: usize,
    },
    /// The output is the same in all runs.
    #[error("the output is the same in all runs: it has no variance for the inputs to share")]
    NoVariance,
}
