//! The answers in brief, for the page and the terminal.

use crate::one_system::one_system;
use crate::units::{Round, Units, amperes, factor};
use maud::{Markup, html};
use rope_mechanics::operation::study::{LineClass, Position, Study};
use rope_mechanics::operation::verdict::{Verdict, of_study, weight};
use rope_mechanics::quantity::unit::{degree, kilojoule, minute, percent};
use rope_mechanics::quantity::{Force, Length, Mark};

pub(super) fn out(study: &Study, position: &Position, units: Units) -> String {
    units.distance_with_unit(position.carriage.x - study.head.x)
}

fn place(study: &Study, position: usize, units: Units) -> String {
    study
        .positions
        .get(position)
        .map_or_else(String::new, |p| format!("{} out from the head", out(study, p, units)))
}

fn when(study: &Study, position: Option<usize>, units: Units) -> String {
    position.map_or_else(
        || "while the track rope is tensioned".to_owned(),
        |position| place(study, position, units),
    )
}

pub(super) fn mark(mark: Mark) -> String {
    match mark {
        Mark::Read(source) => format!("read in {source}"),
        Mark::CommonPractice => "common practice, no source".to_owned(),
        Mark::Memory => "from memory".to_owned(),
        Mark::Given => "given".to_owned(),
        Mark::Choice => "a choice of this study".to_owned(),
        other => format!("{other:?}"),
    }
}

/// Question and answer.
pub(crate) fn in_brief(study: &Study, units: Units) -> Vec<(&'static str, String)> {
    let s = &study.summary;
    let force = |force: Force| units.force_with_unit(force);
    let fine = |length: Length| format!("{} {}", units.fine(length), units.length_unit());
    let at = |position| place(study, position, units);
    let mut list = Vec::new();
    if let (Some(first), Some(last)) = (study.positions.first(), study.positions.last()) {
        let text = format!("{} to {} out from the head", out(study, first, units), out(study, last, units));
        list.push(("Travel", text));
    }
    list.push((
        "Rope",
        if s.reach.spare.value >= 0.0 {
            format!("reaches, {} to spare", units.distance_with_unit(s.reach.spare))
        } else {
            format!("is {} too short", units.distance_with_unit(-s.reach.spare))
        },
    ));
    let unloaded = &study.unloaded;
    list.push((
        "Tension",
        format!(
            "{}{} on the cell while the capstan turns, line empty; {} to {} at rest",
            // With a no-go nobody is to tension to it.
            if of_study(study) == Verdict::NoGo { "no set-point with a no-go; computed for " } else { "to " },
            force(unloaded.reading_while_tensioning),
            units.reading(unloaded.reading.low, Round::Down),
            units.reading_with_unit(unloaded.reading.high, Round::Up)
        ),
    ));
    if let Some(worst) = study.positions.get(s.greatest_reading.position) {
        list.push((
            "Greatest reading",
            format!(
                "{} without friction, {} to {} with it, {}",
                force(worst.reading.expected),
                units.reading(worst.reading.low, Round::Down),
                units.reading_with_unit(worst.reading.high, Round::Up),
                at(s.greatest_reading.position)
            ),
        ));
    }
    list.push((
        "Litter",
        format!(
            "lowest {} where it is to float, {}; highest {}, {}",
            fine(s.least_litter_height.si),
            at(s.least_litter_height.position),
            fine(s.greatest_litter_height.si),
            at(s.greatest_litter_height.position)
        ),
    ));
    let straight = match s.straight_pull_fails_at {
        None => "a straight pull stays inside the winch's rated pull".to_owned(),
        Some(0) => "a straight pull is too much for the winch from the start".to_owned(),
        Some(position) => format!("a straight pull is too much from {} on", at(position)),
    };
    list.push((
        "Winch",
        format!(
            "pulls up to {} and draws up to {} A, {}; {straight}",
            force(s.greatest_winch_pull.si),
            amperes(s.greatest_current.si),
            at(s.greatest_winch_pull.position)
        ),
    ));
    list.push(("Haul", haul(study)));
    list.push((
        "Least factor",
        s.governing.as_ref().map_or_else(
            || "no part has a rated strength in the site file".to_owned(),
            |least| {
                format!(
                    "{} at the {}, {}: {}",
                    factor(least.factor),
                    study.components.get(least.component).map_or("", |c| c.name.as_str()),
                    when(study, least.position, units),
                    force(least.force)
                )
            },
        ),
    ));
    list.push(("Frame", frame(study, units)));
    list.push((
        "Feet",
        format!(
            "need a friction of {} against the ground, in their order, unless they are tied together",
            s.foot_friction.iter().map(|mu| format!("{:.2}", mu.value)).collect::<Vec<_>>().join(", ")
        ),
    ));
    list.push((
        "Line",
        format!(
            "{}: {:.0}° to {:.0}° between its two parts at the carriage",
            match s.line_class {
                LineClass::Tracking => "a tracking line",
                LineClass::Highline => "a highline",
                _ => "a tracking line in part, a highline from 120° on",
            },
            s.least_interior_angle.si.get::<degree>(),
            s.greatest_interior_angle.si.get::<degree>()
        ),
    ));
    list.push((
        "Capstan's tail",
        format!("takes up to {}; the weakest hand measured held {}", force(s.capstan_tail), force(s.hand)),
    ));
    if let (Some(hardest), Some(farthest)) = (&s.track_lost, &s.track_lost_farthest) {
        let lands = farthest
            .speed
            .map_or_else(String::new, |speed| format!(", landing at up to {}", units.speed(speed)));
        list.push((
            "Track rope lost",
            format!(
                "no second strand is left. Farthest fall up to {}, {}{lands}. Hardest on the haul rope {}: {} at most, factor {}",
                fine(farthest.drop),
                at(farthest.position),
                at(hardest.position),
                force(hardest.peak_bound),
                factor(hardest.factor)
            ),
        ));
    }
    list.push((
        "Haul rope lost",
        s.haul_lost.as_ref().map_or_else(
            || "no belay rope is in the site file".to_owned(),
            |lost| {
                format!(
                    "the load runs out up to {} before the belay rope stops it with up to {}, factor {}, {}",
                    fine(lost.travel),
                    force(lost.peak),
                    factor(lost.factor),
                    at(lost.position)
                )
            },
        ),
    ));
    list
}

fn haul(study: &Study) -> String {
    let haul = &study.summary.haul;
    let mut text = format!(
        "{:.0} min of running, {}, {:.0} kJ; ",
        haul.time.get::<minute>(),
        match crate::card::tackle(study.given.tackle) {
            "straight" => "pulled straight".to_owned(),
            tackle => format!("with a {tackle}"),
        },
        haul.energy.get::<kilojoule>()
    );
    text += &match haul.stopped_at {
        None => format!("{:.0} % left in the battery", haul.charge_left.get::<percent>()),
        Some(_) => format!("it does not finish: {}", haul.stopped_by),
    };
    if haul.settings > 1 {
        text += &format!("; the tackle is set {} times", haul.settings);
    }
    text
}

fn frame(study: &Study, units: Units) -> String {
    match &study.summary.least_margin {
        Some(least) => format!(
            "stands; least margin {:.1}° over {}, {}",
            least.margin.get::<degree>(),
            least.over,
            when(study, least.position, units)
        ),
        None if study.unloaded.frame.is_none() || study.positions.iter().any(|p| p.frame.is_none()) => {
            "falls: see the warnings".to_owned()
        }
        None => "stands, and nothing in its plane tips it".to_owned(),
    }
}

/// What would mend a warning, each by itself: the least change of one input, and what it breaks instead.
fn mends(study: &Study, warning: usize, units: Units) -> Markup {
    let mends = study.cures.iter().flat_map(|cures| &cures.warnings).find(|mends| mends.warning == warning);
    let cures = mends.map(|mends| mends.cures.as_slice()).unwrap_or_default();
    html! {
        @if !cures.is_empty() {
            ul class="mends" {
                @for cure in cures {
                    li {
                        b { "Mends it: " } (one_system(&cure.text, units))
                        @if cure.verdict == Verdict::NoGo { b { " The plan stays a no-go even so." } }
                    }
                }
            }
        }
    }
}

pub(super) fn draw(study: &Study, units: Units) -> Markup {
    html! {
        @if !study.notes.is_empty() { p { (study.notes) } }
        @if study.warnings.is_empty() {
            p { "No limit of the site file is passed." }
        } @else {
            ul class="warnings" {
                @for (i, warning) in study.warnings.iter().enumerate() {
                    @let no_go = weight(warning) == Verdict::NoGo;
                    li class=(if no_go { "stop" } else { "with" }) {
                        b { (if no_go { "no-go: " } else { "go with: " }) } (one_system(&warning.text, units))
                        (mends(study, i, units))
                    }
                }
            }
        }
        dl class="brief" { @for (question, answer) in in_brief(study, units) { div { dt { (question) } dd { (answer) } } } }
    }
}
