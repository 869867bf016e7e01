//! One site in several variants, or with another kit: the figures of each study side by side.

use super::Asked;
use super::site::{SiteFile, SiteProblem};
use super::solve::{solve_asked, where_it_grows};
use super::study::{Study, WarningKind};
use super::verdict::{self, Verdict};
use crate::quantity::{Angle, ElectricCurrent, Energy, Force, Length, Mass, Ratio, Time};
use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec::Vec;
use core::convert::Infallible;
use core::ops::ControlFlow;
use serde::Serialize;

/// The figures of one study, or why there is none. All are those of the study: worst values of hauling, resting and
/// lowering where it has them, without the doubt on the inputs.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Figures {
    /// The name of the variant; of the site itself "as planned".
    pub name: String,
    /// What its warnings come to. No-go where it can't be studied.
    pub verdict: Verdict,
    /// The kinds of its warnings, each once, the first that counts first.
    pub warnings: Vec<WarningKind>,
    /// Its warnings in words; where it can't be studied, why.
    pub reasons: Vec<String>,
    /// The figures; none where it can't be studied.
    pub found: Option<FiguresFound>,
}

/// What a study found, in brief.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct FiguresFound {
    /// All that hangs on the line.
    #[serde(rename = "load_kg")]
    pub load: Mass,
    /// Track rope that is left over when it is reeved; negative where it doesn't reach.
    #[serde(rename = "spare_rope_m")]
    pub spare_rope: Length,
    /// What the load cell shows while the track rope is tensioned.
    #[serde(rename = "reading_while_tensioning_n")]
    pub reading_while_tensioning: Force,
    /// The greatest reading to expect.
    #[serde(rename = "greatest_reading_n")]
    pub greatest_reading: Force,
    /// The greatest tension anywhere in the track rope.
    #[serde(rename = "greatest_track_tension_n")]
    pub greatest_track_tension: Force,
    /// The least height of the litter where it is to float.
    #[serde(rename = "least_litter_height_m")]
    pub least_litter_height: Length,
    /// The greatest height of the litter.
    #[serde(rename = "greatest_litter_height_m")]
    pub greatest_litter_height: Length,
    /// The greatest pull at the winch.
    #[serde(rename = "greatest_winch_pull_n")]
    pub greatest_winch_pull: Force,
    /// The greatest current of the winch.
    #[serde(rename = "greatest_current_a")]
    pub greatest_current: ElectricCurrent,
    /// How long the haul takes.
    #[serde(rename = "haul_time_s")]
    pub haul_time: Time,
    /// What the haul takes from the battery.
    #[serde(rename = "haul_energy_j")]
    pub haul_energy: Energy,
    /// What it leaves in the battery.
    #[serde(rename = "charge_left_fraction")]
    pub charge_left: Ratio,
    /// The least safety factor of all rated parts, and of which; none where none is rated.
    pub least_factor: Option<f64>,
    /// The part that has it.
    pub governing: Option<String>,
    /// The least angle from tipping; none where the frame falls or nothing tips it.
    #[serde(rename = "frame_margin_rad")]
    pub frame_margin: Option<Angle>,
    /// The force that the tail of the capstan must be held with.
    #[serde(rename = "capstan_tail_n")]
    pub capstan_tail: Force,
}

impl Figures {
    /// The figures of a study.
    #[must_use]
    pub fn of(name: &str, study: &Study) -> Self {
        let mut warnings: Vec<_> = study.warnings.iter().collect();
        // Those that weigh most first, otherwise in the order of the study.
        warnings.sort_by_key(|warning| core::cmp::Reverse(verdict::weight(warning)));
        let mut kinds: Vec<WarningKind> = Vec::new();
        for warning in &warnings {
            if !kinds.contains(&warning.kind) {
                kinds.push(warning.kind);
            }
        }
        let summary = &study.summary;
        let tightest = study.positions.iter().map(|p| p.greatest_track_tension);
        let governing = summary.governing.as_ref();
        Self {
            name: name.to_string(),
            verdict: verdict::of_study(study),
            warnings: kinds,
            reasons: warnings.iter().map(|warning| warning.text.clone()).collect(),
            found: Some(FiguresFound {
                load: study.given.load,
                spare_rope: summary.reach.spare,
                reading_while_tensioning: study.unloaded.reading_while_tensioning,
                greatest_reading: summary.greatest_reading.si,
                greatest_track_tension: tightest.fold(study.unloaded.capstan_pull, Force::max),
                least_litter_height: summary.least_litter_height.si,
                greatest_litter_height: summary.greatest_litter_height.si,
                greatest_winch_pull: summary.greatest_winch_pull.si,
                greatest_current: summary.greatest_current.si,
                haul_time: summary.haul.time,
                haul_energy: summary.haul.energy,
                charge_left: summary.haul.charge_left,
                least_factor: governing.map(|governing| governing.factor),
                governing: governing
                    .and_then(|governing| study.components.get(governing.component))
                    .map(|part| part.name.clone()),
                frame_margin: summary.least_margin.as_ref().map(|least| least.margin),
                capstan_tail: summary.capstan_tail,
            }),
        }
    }

    /// A site that can't be studied.
    #[must_use]
    pub fn not_studied(name: &str, why: &str) -> Self {
        Self {
            name: name.to_string(),
            verdict: Verdict::NoGo,
            warnings: Vec::new(),
            reasons: alloc::vec![why.to_string()],
            found: None,
        }
    }
}

/// One site with its own kit and with another.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct KitChange {
    /// The site.
    pub site: String,
    /// With its own kit.
    pub before: Figures,
    /// With the other one.
    pub after: Figures,
    /// How the verdict changes.
    pub change: VerdictChange,
}

/// How a verdict changes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum VerdictChange {
    /// It gets worse.
    Worse,
    /// It stays, but for other reasons.
    OtherReasons,
    /// It stays, for the same kinds of reasons.
    None,
    /// It gets better.
    Better,
}

impl KitChange {
    /// What becomes of a site.
    #[must_use]
    pub fn new(site: &str, before: Figures, after: Figures) -> Self {
        let change = match after.verdict.cmp(&before.verdict) {
            core::cmp::Ordering::Greater => VerdictChange::Worse,
            core::cmp::Ordering::Less => VerdictChange::Better,
            core::cmp::Ordering::Equal if after.found.is_none() && before.found.is_some() => {
                VerdictChange::Worse
            }
            core::cmp::Ordering::Equal if after.found.is_some() && before.found.is_none() => {
                VerdictChange::Better
            }
            core::cmp::Ordering::Equal => {
                let kinds = |figures: &Figures| {
                    let mut kinds: Vec<_> = figures.warnings.iter().map(|kind| format!("{kind:?}")).collect();
                    kinds.sort();
                    kinds
                };
                if kinds(&before) == kinds(&after) {
                    VerdictChange::None
                } else {
                    VerdictChange::OtherReasons
                }
            }
        };
        Self { site: site.to_string(), before, after, change }
    }
}

/// Studies a site file: the site, and its figures beside those of each variant in [`Study::variants`]. `progress` is told
/// after each position how many of how many are done, over all of them together.
///
/// A variant that can't be studied has its reason in the place of its figures.
///
/// # Errors
/// What is wrong with the site itself, by the file that the key stands in.
pub fn solve_file(file: &SiteFile, progress: impl FnMut(usize, usize)) -> Result<Study, SiteProblem> {
    let never = |found| match found {
        ControlFlow::Continue(study) => study,
        ControlFlow::<Infallible, Study>::Break(never) => match never {},
    };
    solve_file_asked(file, &Asked::EVERYTHING, where_it_grows(progress)).map(never)
}

/// The same with the parts that are asked for, and for as long as `progress` says to go on, as
/// [`solve_asked`] does for one site. Of the variants only what their figures show is computed.
///
/// # Errors
/// As [`solve_file`].
pub fn solve_file_asked<B>(
    file: &SiteFile,
    asked: &Asked,
    mut progress: impl FnMut(usize, usize) -> ControlFlow<B>,
) -> Result<ControlFlow<B, Study>, SiteProblem> {
    let several = 1 + file.variants.len();
    // As if every variant took as many steps as this one.
    let mut told = |before: usize, done: usize, of: usize| progress(before * of + done, several * of);
    let found =
        solve_asked(&file.site, asked, |done, of| told(0, done, of)).map_err(|why| file.told(&why))?;
    let mut study = match found {
        ControlFlow::Continue(study) => study,
        ControlFlow::Break(why) => return Ok(ControlFlow::Break(why)),
    };
    if file.variants.is_empty() {
        return Ok(ControlFlow::Continue(study));
    }
    let brief = asked.with_expected_readings(false).with_schedule(false);
    study.variants.push(Figures::of("as planned", &study));
    for (i, variant) in file.variants.iter().enumerate() {
        study.variants.push(match solve_asked(&variant.site, &brief, |done, of| told(1 + i, done, of)) {
            Ok(ControlFlow::Continue(found)) => Figures::of(&variant.name, &found),
            Ok(ControlFlow::Break(why)) => return Ok(ControlFlow::Break(why)),
            Err(why) => Figures::not_studied(&variant.name, &variant.told(&why).problem),
        });
    }
    Ok(ControlFlow::Continue(study))
}
