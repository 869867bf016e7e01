//! What the samples come to: bands, chances, and what to measure first.

use super::super::limits::LOW_CHARGE_PERCENT;
use super::super::place::Place;
use super::super::study::{LimitsUsed, RatedPart, WarningKind};
use super::run::{
    CHARGE, CLEARANCE, CURRENT, LITTER, LITTER_GREATEST, MARGIN, OUTPUTS, Outputs, READING, Run, STRAND,
    WINCH_PULL, Worst,
};
use crate::capstan::Hand;
use crate::doubt::{DoubtError, Index, Outcomes, Share, Without};
use crate::quantity::Mark;
use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec::Vec;
use serde::Serialize;

/// The confidence of the interval about a chance.
const CONFIDENCE: f64 = 0.95;
/// The shares that a band prints.
const LOW: f64 = 0.05;
const MEDIAN: f64 = 0.5;
const HIGH: f64 = 0.95;
/// A track line that would hang less than this below the ground touches it only.
const TOUCHING_M: f64 = 0.01;
/// So many things to measure are named, at most.
const FIRST: usize = 3;

/// What the doubt on the inputs makes of the answers.
///
/// **Caution.** A band holds only as far as the doubt on its inputs does, and says nothing of what the model leaves out.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Doubt {
    /// How many samples the bands and the chances rest on.
    pub samples: usize,
    /// Their seed.
    pub seed: u32,
    /// How many samples each group of inputs was judged by.
    pub samples_of_indices: usize,
    /// What is not exactly known.
    pub inputs: Vec<UncertainInput>,
    /// Each output where it is worst on the travel.
    pub extremes: Vec<OutputBand>,
    /// Each output at some of the positions.
    pub positions: Vec<PositionBands>,
    /// Each limit: its chance of being passed, and what it comes to at the bad side.
    pub limits: Vec<LimitInDoubt>,
    /// Which inputs make the spread of what a crew acts on.
    pub indices: Vec<OutputIndices>,
    /// The groups of inputs that make most of it, the first one first: what to measure.
    pub measure_first: Vec<String>,
    /// How many balances were solved for all this.
    pub solves: usize,
}

/// Something that is not exactly known, in SI.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct UncertainInput {
    /// The key of the site file that gives it, or would.
    pub key: String,
    /// The group that it is judged in.
    pub group: String,
    /// The SI unit; empty for a share.
    pub unit: &'static str,
    /// What the study goes by.
    pub value: f64,
    /// One case in twenty is below this,
    pub low: f64,
    /// and one above this.
    pub high: f64,
    /// Where its spread comes from.
    pub mark: Mark,
}

/// An output in doubt, in SI.
///
/// Samples without an answer count on the worse side; where a quantile falls among them it is absent.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct OutputBand {
    /// What it is: "litter_height", "force at far".
    pub output: String,
    /// The SI unit; empty for a share.
    pub unit: &'static str,
    /// What the study finds; absent where it has no answer.
    pub nominal: Option<f64>,
    /// One sample in twenty is below this.
    pub low: Option<f64>,
    /// Half of the samples are below this.
    pub median: Option<f64>,
    /// One sample in twenty is above this.
    pub high: Option<f64>,
    /// How many samples have no answer.
    pub without_answer: usize,
}

/// The outputs at one position.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct PositionBands {
    /// Index in the study's positions.
    pub position: usize,
    /// The outputs there.
    pub bands: Vec<OutputBand>,
}

/// How likely a limit is passed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Chance {
    /// So many samples pass it,
    pub count: usize,
    /// of so many.
    pub of: usize,
    /// The share.
    pub share: f64,
    /// The lower end of Wilson's interval with 95 % confidence.
    pub low: f64,
    /// Its upper end.
    pub high: f64,
}

impl From<Share> for Chance {
    fn from(share: Share) -> Self {
        Self { count: share.count, of: share.of, share: share.share(), low: share.low, high: share.high }
    }
}

/// A limit, judged by the study's value and at the bad side of the band.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct LimitInDoubt {
    /// What is passed.
    pub kind: WarningKind,
    /// The output that is judged.
    pub output: String,
    /// Index in the study's components, where it is the strength of one of them.
    pub component: Option<usize>,
    /// The SI unit; empty for a plain number or a share.
    pub unit: &'static str,
    /// The limit; absent where there is nothing to compare, as for a load that rolls in.
    pub limit: Option<f64>,
    /// What the study finds.
    pub nominal: Option<f64>,
    /// The output at its bad side: only one sample in twenty is worse. Absent where that has no answer.
    pub bad_side: Option<f64>,
    /// Whether the study's value passes the limit.
    pub passed: bool,
    /// Whether the bad side does.
    pub passed_at_bad_side: bool,
    /// The chance that it is passed.
    pub chance: Chance,
}

/// Which groups of inputs make the spread of an output.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct OutputIndices {
    /// The output, where it is worst on the travel.
    pub output: String,
    /// The SI unit; empty for a share.
    pub unit: &'static str,
    /// Its mean over the samples.
    pub mean: f64,
    /// Its standard deviation.
    pub deviation: f64,
    /// How many runs without an answer were counted as the worst of the others.
    pub without_answer: usize,
    /// The groups, the one with the greatest total index first.
    pub groups: Vec<GroupIndex>,
}

/// How much of an output's variance a group of inputs makes.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct GroupIndex {
    /// The group, as [`UncertainInput::group`] names it.
    pub group: String,
    /// By itself.
    pub first: f64,
    /// With all that it does together with others.
    pub total: f64,
}

/// What is judged by indices: what a crew acts on.
pub(super) const JUDGED: [usize; 5] = [LITTER, STRAND, READING, WINCH_PULL, MARGIN];

impl Worst {
    fn without(self) -> Without {
        match self {
            Self::Least => Without::CountLow,
            Self::Greatest => Without::CountHigh,
        }
    }

    fn bad_side(self) -> f64 {
        match self {
            Self::Least => LOW,
            Self::Greatest => HIGH,
        }
    }
}

fn answer(value: f64) -> Option<f64> {
    value.is_finite().then_some(value)
}

/// One number of all samples.
struct Sampled<'a> {
    output: String,
    unit: &'static str,
    worst: Worst,
    runs: &'a [Run],
    nominal: &'a Run,
    of: &'a dyn Fn(&Run) -> f64,
}

impl Sampled<'_> {
    fn outcomes<R>(
        &self,
        judge: impl FnOnce(&Outcomes<'_, f64>) -> Result<R, DoubtError>,
    ) -> Result<R, DoubtError> {
        let mut values: Vec<_> = self.runs.iter().map(|run| answer((self.of)(run))).collect();
        judge(&Outcomes::new(&mut values, self.worst.without())?)
    }

    fn band(&self) -> Result<OutputBand, DoubtError> {
        self.outcomes(|outcomes| {
            Ok(OutputBand {
                output: self.output.clone(),
                unit: self.unit,
                nominal: answer((self.of)(self.nominal)),
                low: outcomes.quantile(LOW)?,
                median: outcomes.quantile(MEDIAN)?,
                high: outcomes.quantile(HIGH)?,
                without_answer: outcomes.without_answer(),
            })
        })
    }

    fn limit(
        &self,
        kind: WarningKind,
        component: Option<usize>,
        limit: f64,
    ) -> Result<LimitInDoubt, DoubtError> {
        let passes = |value: Option<f64>| match (value, self.worst) {
            (None, _) => true,
            (Some(value), Worst::Least) => value < limit,
            (Some(value), Worst::Greatest) => value > limit,
        };
        self.outcomes(|outcomes| {
            let nominal = answer((self.of)(self.nominal));
            let bad_side = outcomes.quantile(self.worst.bad_side())?;
            let chance = match self.worst {
                Worst::Least => outcomes.below(limit, CONFIDENCE)?,
                Worst::Greatest => outcomes.above(limit, CONFIDENCE)?,
            };
            Ok(LimitInDoubt {
                kind,
                output: self.output.clone(),
                component,
                unit: self.unit,
                limit: Some(limit),
                nominal,
                bad_side,
                passed: passes(nominal),
                passed_at_bad_side: passes(bad_side),
                chance: chance.into(),
            })
        })
    }
}

/// Every output of places, in order: its name, its unit, its bad side, and where it stands.
fn outputs(nominal: &Outputs) -> impl Iterator<Item = (String, &'static str, Worst, Which)> {
    let own = OUTPUTS.into_iter().enumerate();
    let own = own.map(|(i, (key, unit, worst))| (key.to_string(), unit, worst, Which::Own(i)));
    let forces: Vec<_> = nominal.forces.iter().filter(|(_, force)| *force != 0.0).collect();
    let force = |place: Place| format!("force at {}", place.key());
    own.chain(
        forces.into_iter().map(move |(place, _)| (force(place), "N", Worst::Greatest, Which::Force(place))),
    )
}

#[derive(Clone, Copy)]
enum Which {
    Own(usize),
    Force(Place),
}

impl Which {
    fn of(self, outputs: &Outputs) -> f64 {
        match self {
            Self::Own(i) => outputs.of.get(i).copied().unwrap_or(f64::NAN),
            Self::Force(place) => outputs.forces[place],
        }
    }
}

/// Each output where it is worst on the travel.
pub(super) fn extremes(runs: &[Run], nominal: &Run) -> Result<Vec<OutputBand>, DoubtError> {
    let band = |output: String, unit, worst, of: &dyn Fn(&Run) -> f64| {
        Sampled { output, unit, worst, runs, nominal, of }.band()
    };
    let mut bands = Vec::new();
    for (output, unit, worst, which) in outputs(&nominal.worst) {
        bands.push(band(output, unit, worst, &|run| which.of(&run.worst))?);
    }
    bands.push(band("spare_rope".to_string(), "m", Worst::Least, &|run| run.spare_m)?);
    bands.push(band("capstan_tail".to_string(), "N", Worst::Greatest, &|run| run.tail_n)?);
    Ok(bands)
}

/// Each output at the places that every run looks at.
pub(super) fn positions(
    runs: &[Run],
    nominal: &Run,
    coarse: &[usize],
) -> Result<Vec<PositionBands>, DoubtError> {
    let mut all = Vec::with_capacity(coarse.len());
    for ((i, position), here) in coarse.iter().enumerate().zip(&nominal.at) {
        let mut bands = Vec::new();
        for (output, unit, worst, which) in outputs(here) {
            // At one place the least and the greatest of it are the same.
            let of = |run: &Run| run.at.get(i).map_or(f64::NAN, |at| which.of(at));
            bands.push(Sampled { output, unit, worst, runs, nominal, of: &of }.band()?);
        }
        all.push(PositionBands { position: *position, bands });
    }
    Ok(all)
}

/// Each limit of the study: its chance of being passed, and what it comes to at the bad side.
pub(super) fn limits(
    runs: &[Run],
    nominal: &Run,
    limits: &LimitsUsed,
    components: &[RatedPart],
) -> Result<Vec<LimitInDoubt>, DoubtError> {
    let mut found = Vec::new();
    let mut judge = |kind, component, limit: f64, output: String, unit, worst, of: &dyn Fn(&Run) -> f64| {
        let sampled = Sampled { output, unit, worst, runs, nominal, of };
        sampled.limit(kind, component, limit).map(|limit| found.push(limit))
    };
    let mut own = |kind, limit: f64, output: usize| {
        let Some((key, unit, worst)) = OUTPUTS.get(output).copied() else { return Ok(()) };
        let of = |run: &Run| Which::Own(output).of(&run.worst);
        judge(kind, None, limit, key.to_string(), unit, worst, &of)
    };
    own(WarningKind::Frame, limits.frame_margin.value, MARGIN)?;
    if let Some(reading) = limits.reading {
        own(WarningKind::Reading, reading.value, STRAND)?;
        own(WarningKind::Reading, reading.value, READING)?;
    }
    own(WarningKind::LitterHigh, limits.litter_height.value, LITTER_GREATEST)?;
    own(WarningKind::LitterDrags, 0.0, LITTER)?;
    own(WarningKind::TrackOnGround, -TOUCHING_M, CLEARANCE)?;
    own(WarningKind::Winch, limits.winch_pull.value, WINCH_PULL)?;
    if let Some(current) = limits.current {
        own(WarningKind::Winch, current.value, CURRENT)?;
    }
    own(WarningKind::Battery, 0.01 * LOW_CHARGE_PERCENT, CHARGE)?;
    for (i, part) in components.iter().enumerate() {
        let Some(strength) = part.strength else { continue };
        let (place, output) = (part.place, format!("force at {}", part.place.key()));
        let limit = strength.value / limits.factor_of(part.kind);
        let of = |run: &Run| run.worst.forces[place];
        judge(WarningKind::Factor, Some(i), limit, output, "N", Worst::Greatest, &of)?;
    }
    let (spare, tail) = ("spare_rope".to_string(), "capstan_tail".to_string());
    judge(WarningKind::RopeTooShort, None, 0.0, spare, "m", Worst::Least, &|run| run.spare_m)?;
    let hand = Hand::HELD_N[0];
    judge(WarningKind::CapstanTail, None, hand, tail, "N", Worst::Greatest, &|run| run.tail_n)?;
    for (kind, output, of) in [
        (WarningKind::RollsIn, "rolls_in", (|run| run.rolls_in) as fn(&Run) -> bool),
        (WarningKind::CarriageOnGround, "no_balance", |run| run.no_balance),
    ] {
        let count = runs.iter().filter(|run| of(run)).count();
        let share = Share::wilson(count, runs.len(), CONFIDENCE)?;
        found.push(LimitInDoubt {
            kind,
            output: output.to_string(),
            component: None,
            unit: "",
            limit: None,
            nominal: None,
            bad_side: None,
            passed: of(nominal),
            passed_at_bad_side: share.share() > LOW,
            chance: share.into(),
        });
    }
    Ok(found)
}

/// The indices of one output over all runs of a design.
///
/// A run without an answer counts as the worst of the others.
pub(super) fn indices(
    output: usize,
    values: &mut [f64],
    groups: &[String],
    estimate: impl FnOnce(&[f64], &mut [Index]) -> Result<crate::doubt::Variance, DoubtError>,
) -> Result<Option<OutputIndices>, DoubtError> {
    let Some((key, unit, worst)) = OUTPUTS.get(output).copied() else { return Ok(None) };
    let known = values.iter().copied().filter(|value| value.is_finite());
    let end = match worst {
        Worst::Least => known.reduce(f64::min),
        Worst::Greatest => known.reduce(f64::max),
    };
    let Some(end) = end else { return Ok(None) };
    let mut without_answer = 0;
    for value in values.iter_mut().filter(|value| !value.is_finite()) {
        *value = end;
        without_answer += 1;
    }
    let mut indices = alloc::vec![Index::default(); groups.len()];
    let variance = match estimate(values, &mut indices) {
        Ok(variance) => variance,
        // The same whatever the inputs are: nothing to measure for it.
        Err(DoubtError::NoVariance) => return Ok(None),
        Err(why) => return Err(why),
    };
    let group = |(group, index): (&String, &Index)| GroupIndex {
        group: group.clone(),
        first: index.first,
        total: index.total,
    };
    let mut groups: Vec<_> = groups.iter().zip(&indices).map(group).collect();
    groups.sort_by(|a, b| b.total.total_cmp(&a.total));
    Ok(Some(OutputIndices {
        output: key.to_string(),
        unit,
        mean: variance.mean,
        deviation: crate::math::sqrt(variance.variance),
        without_answer,
        groups,
    }))
}

/// The groups with the greatest total index on the mean over all outputs.
pub(super) fn measure_first(indices: &[OutputIndices], groups: &[String]) -> Vec<String> {
    let sum = |name: &String| -> f64 {
        let of_output = |output: &OutputIndices| {
            output.groups.iter().find(|group| group.group == *name).map_or(0.0, |group| group.total)
        };
        indices.iter().map(of_output).sum()
    };
    let mut all: Vec<_> = groups.iter().map(|name| (name, sum(name))).collect();
    all.sort_by(|a, b| b.1.total_cmp(&a.1));
    all.into_iter().filter(|(_, sum)| *sum > 0.0).take(FIRST).map(|(name, _)| name.clone()).collect()
}
