//! What the schedule says, in English.

use super::near;
use crate::operation::schedule::{Cause, Clash, Limit, LimitKind, NoLength, Outcome};
use crate::operation::study::Study;
use alloc::format;
use alloc::string::{String, ToString};

/// What it may be when the readings leave their bands.
pub(crate) fn cause(cause: Cause) -> String {
    let text = match cause {
        Cause::Snag => {
            "Stop. Carriage or litter may be caught, or the haul rope jams. Look before you pull on."
        }
        Cause::LitterGrounded => "The litter may be on the ground, or lean on it. Stop and look.",
        Cause::AnchorCreeps => {
            "An end of the track rope may give: the capstan slips, an anchor moves, or a knot pulls tight. Stop, and look at both ends."
        }
        Cause::HaulSlack => {
            "The haul rope is slacker than it should be: the load rolls in or is held by something else, or the haul rope lets go. Hold the load by the belay."
        }
        Cause::MoreLoad => {
            "The load is heavier than planned, or the track rope shorter. Stop, and compare with the greatest reading allowed."
        }
    };
    text.to_string()
}

/// What the schedule comes to.
pub(crate) fn schedule(outcome: Outcome, settings: usize) -> String {
    match outcome {
        Outcome::OneSetting => "One setting of the track rope keeps every limit on the whole travel.".to_string(),
        Outcome::Moves => format!(
            "No single setting of the track rope keeps every limit. The fewest are {settings}, {} on the way.",
            match settings.saturating_sub(1) {
                1 => "with one change".to_string(),
                changes => format!("with {changes} changes"),
            }
        ),
        Outcome::NoLength => {
            "On part of the travel no length of the track rope keeps every limit.".to_string()
        }
        Outcome::NoGo => {
            "Something is wrong that no length of the track rope mends: there is nothing to set before that is mended."
                .to_string()
        }
    }
}

/// A limit that would be passed.
fn limit(study: &Study, limit: &Limit) -> String {
    let text = match limit.kind {
        LimitKind::LitterLow => "the litter would hang too low",
        LimitKind::LitterHigh => "the litter would hang too high",
        LimitKind::Factor => {
            let part = limit.component.and_then(|i| study.components.get(i));
            return format!(
                "the {} would be below its factor",
                part.map_or("frame's most loaded part", |part| part.name.as_str())
            );
        }
        LimitKind::Reading => "the load cell might pass its limit",
        LimitKind::CapstanPull => "the capstan would have to pull more than it is rated for",
        LimitKind::CapstanTail => "the capstan's tail would take too much",
        LimitKind::FrameMargin => "the frame would be too near to tipping",
        LimitKind::FrameFalls => "the frame would fall",
        LimitKind::WinchPull => "the winch would have to pull more than it is rated for",
        LimitKind::WinchCurrent => "the winch would draw too much current",
        LimitKind::TrackOnGround => "the track rope would lie on the ground",
        LimitKind::RopeTooShort => "the rope on hand would be too short",
        LimitKind::CarriageOnGround => "even the carriage would lie on the ground",
        LimitKind::NoBalance => "no balance was found",
    };
    text.to_string()
}

/// A stretch on which no length of rope keeps every limit.
pub(crate) fn no_length(study: &Study, stretch: &NoLength) -> String {
    let out =
        |i: Option<usize>| i.and_then(|i| study.positions.get(i)).map(|p| near(p.carriage.x - study.head.x));
    let place = match (out(stretch.from), out(stretch.to)) {
        (Some(from), Some(to)) if from != to => format!("From {from} to {to} out from the head"),
        (Some(at), _) => format!("With the load {at} out from the head"),
        _ => "Before the load is on".to_string(),
    };
    let Clash { shorter, longer, .. } = &stretch.clash;
    if shorter.limit == longer.limit {
        format!("{place} no length of the track rope will do: with any, {}.", limit(study, &shorter.limit))
    } else {
        format!(
            "{place} no length of the track rope will do: with a shorter one {}, with a longer one {}.",
            limit(study, &shorter.limit),
            limit(study, &longer.limit)
        )
    }
}
