//! What is filled in and kept: a check list made from the kit, and a log sheet.

use crate::card::{Card, tackle};
use crate::units::Units;
use maud::{Markup, html};
use rope_mechanics::operation::study::Study;

/// Empty rows of the log sheet below those of the stations.
const EMPTY: usize = 12;

pub(super) fn check_list(study: &Study, units: Units) -> Markup {
    let given = &study.given;
    let mut items: Vec<(String, String)> = given
        .ropes
        .iter()
        .map(|rope| {
            let mut what = vec![rope.class.clone()];
            what.extend(rope.on_hand.map(|length| units.distance_with_unit(length)));
            what.push(format!("holds {} with its knots", units.force_with_unit(rope.strength)));
            what.retain(|text| !text.is_empty());
            (rope.name.clone(), what.join(", "))
        })
        .collect();
    items.push(("capstan".to_owned(), format!("{} full turns", given.wraps)));
    items.push(("haul tackle".to_owned(), tackle(given.tackle).to_owned()));
    items.extend(given.belay_slack.map(|slack| {
        (
            "belay rope tended".to_owned(),
            format!("slack at most {} {}", units.fine(slack), units.length_unit()),
        )
    }));
    items.push((
        "litter".to_owned(),
        format!("hangs {} {} below the track", units.fine(given.hang), units.length_unit()),
    ));
    let ropes = given.ropes.len();
    // The parts, without the ropes themselves.
    items.extend(
        study.components.iter().filter(|c| !given.ropes.iter().any(|rope| rope.name == c.name)).map(|c| {
            let rated = c.strength.map_or_else(
                || "not rated in the plan: judge it by hand".to_owned(),
                |strength| format!("rated {}", units.force_with_unit(strength)),
            );
            (c.name.clone(), rated)
        }),
    );
    html! {
        p class="hint" { "Made from the kit of the site file: " (ropes) " ropes and the parts that the plan judges. Tick what was seen, not what was told." }
        table class="rows check" {
            thead { tr { th { "seen" } th { "what" } th { "as planned" } th { "by" } } }
            tbody {
                @for (name, planned) in items { tr { td { span class="box" {} } td { (name) } td { (planned) } td {} } }
            }
        }
    }
}

pub(super) fn log_sheet(card: &Card) -> Markup {
    let units = card.units;
    html! {
        div class="wide" tabindex="0" role="region" aria-label="log sheet" { table class="rows log" {
            thead { tr {
                th { "time" } th { "rope in, " (units.length_unit()) } th { "cell reads, " (units.force_unit()) }
                th { "planned" } th { "litter up" } th { "current, A" } th { "remark" }
            } }
            tbody {
                @if let Some(tension) = &card.tension {
                    tr { td {} td { "empty" } td {} td { (tension.while_turning.text) " turning" } td {} td {} td {} }
                }
                @for station in &card.travel {
                    tr {
                        td {} td { (station.rope_in.text) } td {} td { (station.reading_low.text) "–" (station.reading_high.text) }
                        td {} td {} td {}
                    }
                }
                @for _ in 0..EMPTY { tr { @for _ in 0..7 { td { } } } }
            }
        } }
    }
}
