//! What fails and how it ends, in English.

use super::{near, place};
use crate::operation::failures::{
    Consequence, Failure, FailureCell, FailureEnd, FailureError, FailureRow, Holds,
};
use crate::operation::study::Study;
use crate::quantity::Length;
use crate::text;
use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec::Vec;

/// What fails: "the track rope".
pub(crate) fn failure(failure: Failure) -> String {
    let fixed = match failure {
        Failure::TrackRope => "the track rope",
        Failure::FarAnchor => "the far anchor",
        Failure::AnchorLeg(at, leg) => return format!("leg {} of anchor {}", leg + 1, at + 1),
        Failure::TrackRedirect => "the track redirect",
        Failure::HaulRope => "the haul rope",
        Failure::HaulRedirect(i) => return format!("haul redirect {}", i + 1),
        Failure::WinchBrake => "the brake of the haul winch",
        Failure::Power => "the power of the haul winch",
        Failure::CapstanTail => "the tail behind the capstan",
        Failure::Guy(i) => return format!("guy {}", i + 1),
        Failure::Foot(i) => return format!("foot {}", i + 1),
        Failure::Jam => "the load",
    };
    fixed.to_string()
}

/// What happens when something fails, in a sentence; `out` is how far the load is out from the head.
pub(crate) fn consequence(of: &Consequence, out: Length) -> String {
    let fails = match of.failure {
        Failure::TrackRope | Failure::HaulRope => "parts",
        Failure::CapstanTail => "is let go",
        Failure::Foot(_) => "slips",
        Failure::Jam => "jams while the winch hauls",
        Failure::Guy(_) => "is lost",
        _ => "fails",
    };
    let drop = text::both(of.drop.bound);
    let into = of.impact.map_or_else(String::new, |impact| per_second(impact.into_ground.bound.value));
    let holds = match of.holds {
        Holds::TrackAndHaul => "track and haul rope",
        Holds::Haul => "the haul rope alone",
        Holds::TrackAndBelay => "the track and the belay rope",
        Holds::Track => "the track alone",
    };
    let what = match of.end {
        FailureEnd::NotSurvivable => format!(
            "the litter may meet the ground or the face at {into}: that somebody in it survives is not to be counted on"
        ),
        FailureEnd::FrameFalls => format!(
            "the frame may fall: it stands only with another guy or foot, and {} of slack would come into the rope that holds the load",
            text::both(of.slack_if_frame_falls)
        ),
        FailureEnd::Breaks => match of.least_factor {
            Some((at, factor)) => {
                format!("something {} may break: its strength is {factor:.2} of the peak there", place(at))
            }
            None => "something may break".to_string(),
        },
        FailureEnd::RunsAway => format!("nothing holds the load, and it runs down along {holds}"),
        FailureEnd::Slides => format!("the litter goes down by up to {drop} and slides on the ground"),
        FailureEnd::Lies => {
            format!("the litter goes down by up to {drop}, lands at up to {into} and lies there")
        }
        FailureEnd::Hangs if of.impact.is_some() => {
            format!(
                "the litter goes down by up to {drop}, may touch the ground at {into}, and hangs on {holds}"
            )
        }
        FailureEnd::Hangs => format!("the litter goes down by up to {drop} and hangs on {holds}"),
        FailureEnd::SetDown => format!("the litter is set down on the ground, held by {holds}"),
        FailureEnd::Stays => format!("the litter stays where it is, on {holds}"),
    };
    let least = match (of.end, of.least_factor) {
        (FailureEnd::Breaks, _) | (_, None) => String::new(),
        (_, Some((at, factor))) => format!("; the least factor is {factor:.1}, {}", place(at)),
    };
    let then = if of.haul_goes_on { "; the haul can go on" } else { "; the haul can't go on" };
    format!(
        "With the load {} out from the head, if {} {fails}, {what}{least}{then}.",
        near(out),
        failure(of.failure)
    )
}

/// Why what happens when something fails isn't known.
pub(crate) fn not_computed(of: Failure, why: &FailureError) -> String {
    format!("What happens if {} fails can't be computed: {why}.", failure(of))
}

/// A speed, in both systems.
fn per_second(m_per_s: f64) -> String {
    format!("{m_per_s:.1} m/s ({:.0} ft/s)", m_per_s / 0.3048)
}

/// What fails, and with the load between which distances from the head: each part once.
pub(super) fn failing<'a>(
    study: &Study,
    cells: impl Iterator<Item = (&'a FailureRow, &'a FailureCell)>,
) -> String {
    let mut parts: Vec<(&str, Length, Length)> = Vec::new();
    for (row, cell) in cells {
        let Some(position) = study.positions.get(cell.position) else { continue };
        let out = position.carriage.x - study.head.x;
        let name =
            if row.failure == Failure::Jam { "a load that jams while the winch hauls" } else { &row.name };
        match parts.iter_mut().find(|part| part.0 == name) {
            Some((_, near, far)) => (*near, *far) = (near.min(out), far.max(out)),
            None => parts.push((name, out, out)),
        }
    }
    let words = parts.iter().map(|(name, nearest, farthest)| {
        if nearest == farthest {
            format!("{name} (with the load {} out)", near(*nearest))
        } else {
            format!("{name} (with the load {} to {} out)", near(*nearest), near(*farthest))
        }
    });
    words.collect::<Vec<_>>().join("; ")
}
