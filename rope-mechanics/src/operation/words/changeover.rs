//! What a crew reads of the changeover, in English.

use super::{near, no_state};
use crate::carriage::CarriageError;
use crate::math;
use crate::operation::changeover::{
    Changeover, ChangeoverError, ChangeoverStage, ChangeoverStep, EventKind, PulledInBy, StageKind,
};
use crate::operation::limits::AtChangeover;
use crate::operation::model::Model;
use crate::operation::plan::SiteError;
use crate::operation::state::StateError;
use crate::operation::study::{Study, Warning, WarningKind};
use crate::quantity::unit::degree;
use crate::quantity::{metres, newtons, radians};
use crate::text;
use alloc::format;
use alloc::string::String;

/// What the crew does in a stage of the changeover on the way in, and on the way out.
pub(crate) fn changeover_stage(stage: &ChangeoverStage, by: PulledInBy) -> (String, String) {
    let (taken_in, let_out) = (near(stage.haul_in), near(-stage.haul_in));
    match stage.kind {
        StageKind::HaulUp if stage.first == stage.last => (
            String::from("Stop at the end of the travel: the haul rope is short enough."),
            String::from("Lower on the haul rope: the travel begins."),
        ),
        StageKind::HaulUp => (
            format!("Haul on along the track, {taken_in} of haul rope."),
            format!("Lower on the haul rope, {taken_in} along the track, to where the travel begins."),
        ),
        StageKind::LetDown => {
            let track = stage.track_out.map_or_else(
                || String::from("slack"),
                |out| format!("{} and then until it is slack", near(out)),
            );
            let belay = match by {
                PulledInBy::Belay => {
                    "Take the belay rope off the head and straight to where it pulls from, and tend it. "
                }
                PulledInBy::Hands => "Lock the belay rope. ",
            };
            (
                format!("{belay}Lock the haul rope. Let the track rope out at the capstan, {track}."),
                String::from(
                    "Haul rope locked, take the track rope in at the capstan until it is as long as it was set: it lifts the load outward.",
                ),
            )
        }
        StageKind::SwingIn => {
            let pull = match by {
                PulledInBy::Belay => "in on the belay rope",
                PulledInBy::Hands => "in by hand",
            };
            (
                format!(
                    "Out on the haul rope, {let_out}, and {pull}, at the same height, until the litter is inside the edge."
                ),
                format!(
                    "In on the haul rope, {let_out}, holding the litter back as it goes out, until it hangs below the head."
                ),
            )
        }
        StageKind::SetDown => (
            format!("Lower the litter to the road, {let_out} on the haul rope."),
            format!("Lift the litter from the road, {let_out} on the haul rope, holding it back."),
        ),
    }
}

/// What happens at a step of the changeover.
pub(crate) fn changeover_event(kind: EventKind) -> String {
    String::from(match kind {
        EventKind::BelayOffTheHead => {
            "The belay rope comes off the head while track and haul rope hold the load."
        }
        EventKind::Turned => "The litter is turned with its long side outward.",
        EventKind::OverTheEdge => "The inner end of the litter comes over the edge.",
        EventKind::InsideTheEdge => "All of the litter is inside the edge.",
        EventKind::TrackOnGround => {
            "The track rope touches the ground, and lies on it more and more from here on."
        }
        EventKind::TrackSlack => "The track rope is slack: the load hangs below the head.",
        EventKind::BelayTaut => "The belay rope comes taut beside the haul rope.",
        EventKind::PulledIn => "The litter is pulled in.",
        EventKind::OnTheRoad => "The litter is on the road.",
    })
}

/// What passes a limit while the load is taken over.
pub(super) fn changeover_finding(
    study: &Study,
    changeover: &Changeover,
    finding: AtChangeover,
    value: f64,
    limit: f64,
) -> String {
    let worst = &changeover.worst;
    let force = |n: f64| text::both(newtons(n));
    let at = |step: usize| changeover.steps.get(step).map_or_else(String::new, while_what);
    match finding {
        AtChangeover::LitterLow => {
            // While it is hauled up, less of it is in the way the further it is hauled: no question of the head's height.
            let up = worst.litter_height.and_then(|least| changeover.steps.get(least.step));
            let head = match changeover.least_head_height {
                Some(height) if up.is_some_and(|step| step.stage != StageKind::HaulUp) => {
                    format!("; the head has to be {} high at least", near(height))
                }
                _ => String::new(),
            };
            let by = if value < 0.0 {
                format!("strikes the ground by {}", near(metres(-value)))
            } else {
                format!("clears the ground by {} only", near(metres(value)))
            };
            let at = worst.litter_height.map_or_else(String::new, |least| at(least.step));
            format!("{at}, the litter {by}; {} is wanted{head}.", near(metres(limit)))
        }
        AtChangeover::FrameNear => format!(
            "{}, the litter comes within {} of a leg or guy of the frame; {} is wanted.",
            at(worst.frame_clearance.step),
            near(metres(value)),
            near(metres(limit))
        ),
        AtChangeover::FrameMargin => format!(
            "{}, the frame is only {:.1}° from tipping over {}; {:.0}° is wanted: move a foot, or set a guy.",
            at(worst.margin.map_or(0, |margin| margin.step)),
            radians(value).get::<degree>(),
            worst.over,
            radians(limit).get::<degree>()
        ),
        AtChangeover::FrameFalls => {
            format!("{}, the frame falls: a guy or foot is needed.", at(worst.falls_at.unwrap_or(0)))
        }
        AtChangeover::Factor => format!(
            "{}, the {} has a factor of {:.1}; {limit:.1} is wanted.",
            at(worst.factor.map_or(0, |factor| factor.step)),
            worst.component.and_then(|i| study.components.get(i)).map_or("", |part| part.name.as_str()),
            math::floor(10.0 * value) / 10.0
        ),
        AtChangeover::WinchPull => format!(
            "{}, the pull at the winch reaches {}, above the rated {}.",
            at(worst.winch_pull.step),
            force(value),
            force(limit)
        ),
        AtChangeover::Hand => format!(
            "{}, it takes {} to pull the litter in, more than the weakest hand holds ({}): take more hands or a tackle, and tie off.",
            at(worst.hand.step),
            force(value),
            force(limit)
        ),
        AtChangeover::OneRope => format!(
            "{}, one rope alone is on the load: the litter hangs on the haul rope.",
            at(worst.fewest_ropes.step)
        ),
        AtChangeover::TrackTail => format!(
            "To let the track rope right down {} more of it is needed than there is behind the capstan: a longer rope, or its tail is let go.",
            near(metres(-value))
        ),
    }
}

/// In which stage, as the beginning of a sentence.
fn while_what(step: &ChangeoverStep) -> String {
    String::from(match step.stage {
        StageKind::HaulUp => "While the load is hauled up to the head",
        StageKind::LetDown => "While the track rope is let down",
        StageKind::SwingIn => "While the litter is swung in",
        StageKind::SetDown => "While the litter is set down",
    })
}

/// A changeover that can't be computed, as a warning.
pub(crate) fn changeover_not_computed(model: &Model<'_>, why: ChangeoverError) -> Warning {
    let why = no_changeover(model, why);
    Warning {
        kind: WarningKind::Changeover,
        component: None,
        position: None,
        value: None,
        limit: None,
        unit: "",
        text: format!(
            "How the load is taken over at the head can't be computed: {} {}.",
            why.key, why.problem
        ),
    }
}

/// Why the load can't be taken over, by the key of the site file where one is at fault.
fn no_changeover(model: &Model<'_>, why: ChangeoverError) -> SiteError {
    match why {
        ChangeoverError::State(StateError::LiesDown { x }) => SiteError::new(
            "track.set",
            format!(
                "hauled on to the head, the litter meets the ground with the load {} out from it: ask for more tension or height, or raise the head",
                near(x - model.head().x)
            ),
        ),
        ChangeoverError::State(StateError::Carriage {
            why: CarriageError::HaulWouldPush { .. }, x, ..
        }) => SiteError::new(
            "changeover.rope",
            format!(
                "hauled on to the head, the load rolls in by itself {} out from it, where no haul rope holds it back: give more rope than that",
                near(x - model.head().x)
            ),
        ),
        ChangeoverError::State(why) => no_state(model, why),
        ChangeoverError::Input(why) => SiteError::at("changeover", why),
        ChangeoverError::RopeThere { asked, there } => SiteError::new(
            "changeover.rope",
            format!(
                "is {}, but the haul rope is {} long already at the last place of the travel: give less, or leave it out",
                text::both(asked),
                text::both(there)
            ),
        ),
        ChangeoverError::Lies { rope } => SiteError::new(
            "changeover.rope",
            format!(
                "with {} of haul rope the litter lies on the ground, so that the track can't be let down there: give less, or raise the head",
                text::both(rope)
            ),
        ),
        ChangeoverError::NotHeld { inward, below } => SiteError::new(
            "changeover.pull_from",
            format!(
                "doesn't hold the load {} inward of the head and {} below it, where it is swung in to: pull from further behind, give less changeover.inside, or write pulled_in_by = \"hands\"",
                near(inward),
                near(below)
            ),
        ),
    }
}
