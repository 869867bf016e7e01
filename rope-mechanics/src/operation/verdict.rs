//! Go, go with conditions, or no-go: what the warnings of a study come to.

use super::study::{Study, Warning, WarningKind};
use alloc::vec::Vec;
use serde::Serialize;

/// What the warnings of a study come to, from the best to the worst.
///
/// It judges a plan by its numbers. Whether anybody goes is up to those who stand there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Verdict {
    /// No warning.
    #[default]
    Go,
    /// Something that the crew has to do, or to keep to, on the spot.
    GoWith,
    /// A limit is passed, or the numbers don't hold for this rig.
    NoGo,
}

/// The verdict of a list of warnings: that of the worst one.
///
/// ```
/// use rope_mechanics::operation::verdict::{Verdict, verdict};
///
/// assert_eq!(verdict(&[]), Verdict::Go);
/// ```
#[must_use]
pub fn verdict(warnings: &[Warning]) -> Verdict {
    warnings.iter().map(weight).max().unwrap_or(Verdict::Go)
}

/// The verdict of a study: that of its warnings; and where what isn't exactly known was sampled, no better than
/// [`Verdict::GoWith`] if a limit is passed at the bad side of it.
#[must_use]
pub fn of_study(study: &Study) -> Verdict {
    let in_doubt = study.doubt.iter().flat_map(|doubt| &doubt.limits).any(|limit| limit.passed_at_bad_side);
    verdict(&study.warnings).max(if in_doubt { Verdict::GoWith } else { Verdict::Go })
}

/// The verdict of a study, and what it rests on.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
#[non_exhaustive]
pub struct Judgement {
    /// Go, go with conditions, or no-go. With no-go there is no set-point.
    pub verdict: Verdict,
    /// Index in the study's warnings of the first limit that fails, as the crew would meet them: before the load is on,
    /// then along the travel, by where each is passed most.
    pub first_no_go: Option<usize>,
    /// Indices in the study's warnings of what the crew has to do or to keep to: first what may kill if it fails, then what
    /// brings the frame down, then the rest in the study's order.
    pub go_with: Vec<usize>,
    /// Indices in the doubt's limits of those passed at the bad side of the doubt only.
    pub in_doubt: Vec<usize>,
}

/// The verdict of a study with what it rests on: see [`of_study`].
#[must_use]
pub fn judgement(study: &Study) -> Judgement {
    let weighed = || study.warnings.iter().enumerate().map(|(i, warning)| (i, warning, weight(warning)));
    let fails = weighed().filter(|(.., weight)| *weight == Verdict::NoGo);
    let mut go_with: Vec<_> = weighed().filter(|(.., weight)| *weight == Verdict::GoWith).collect();
    go_with.sort_by_key(|(_, warning, _)| gravity(warning.kind));
    let limits = study.doubt.iter().flat_map(|doubt| doubt.limits.iter().enumerate());
    Judgement {
        verdict: of_study(study),
        // Of several at one place, the first of the list.
        first_no_go: fails.min_by_key(|(i, warning, _)| (warning.position, *i)).map(|(i, ..)| i),
        go_with: go_with.into_iter().map(|(i, ..)| i).collect(),
        in_doubt: limits
            .filter(|(_, limit)| limit.passed_at_bad_side && !limit.passed)
            .map(|(i, _)| i)
            .collect(),
    }
}

/// What is told first among the conditions: what kills, then what falls.
fn gravity(kind: WarningKind) -> u8 {
    match kind {
        WarningKind::NotSurvivable => 0,
        WarningKind::FrameInFailure => 1,
        _ => 2,
    }
}

/// What one warning means for the verdict.
///
/// | no-go | go with |
/// |---|---|
/// | a rope is too short | the litter drags: people go with it |
/// | a part, or a rope that catches the load, below its factor | the load rolls in: it is held back |
/// | the load cell, the winch or the litter's height past its limit | lowered, the carriage would lie on the ground: haul only |
/// | the frame falls, or too near to it | the capstan's tail is too much for a hand: tie it off |
/// | the track rope lies on the ground, which the numbers don't count | the battery ends low |
/// | the haul does not finish | a part has no rated strength: judge it by hand |
/// | swung in, the litter strikes ground or frame, or can't be swung in | it is swung in by several hands, or on one rope |
/// | | a rope comes near the ground, or the litter touches with an end: guard, watch, turn it |
/// | the load cell may show less than its least: slack | something that fails brings the frame down, or isn't survivable: guy it, stand clear |
/// | an anchor is pulled more steeply upwards than its figure is good for | a sheave is small for its rope, or can't turn: watch the rope there |
/// | | what the load cell will show can't be followed: go by the band of friction |
///
/// A limit counts as passed where it is at the bad side of what the study finds, and so does a kind of warning that
/// this function doesn't know.
#[must_use]
pub fn weight(warning: &Warning) -> Verdict {
    match warning.kind {
        WarningKind::LitterDrags
        | WarningKind::RollsIn
        | WarningKind::CarriageOnGround
        | WarningKind::CapstanTail
        | WarningKind::SwingIn
        | WarningKind::ReadingUnknown
        | WarningKind::RopeNear
        | WarningKind::LitterTouches
        | WarningKind::FrameInFailure
        | WarningKind::NotSurvivable
        | WarningKind::Sheave
        | WarningKind::NotRated => Verdict::GoWith,
        // A battery that ends low has a charge; one that stops the haul has none.
        WarningKind::Battery if warning.value.is_some() => Verdict::GoWith,
        _ => Verdict::NoGo,
    }
}
