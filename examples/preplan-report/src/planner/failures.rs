//! What happens when a part fails, worst first: a matrix of parts and places, each cell a link to its story.

use super::brief::out;
use crate::one_system::one_system;
use crate::units::{Units, factor};
use maud::{Markup, html};
use rope_mechanics::operation::Place;
use rope_mechanics::operation::failures::{
    AtMost, Detail, Failure, FailureCell, FailureEnd, FailureRow, FailureTable, Holds,
    NOT_SURVIVABLE_M_PER_S, SET_DOWN_M_PER_S,
};
use rope_mechanics::operation::study::Study;
use rope_mechanics::quantity::unit::{degree, meter_per_second};
use rope_mechanics::quantity::{Length, Velocity};

/// How it ends, in a cell's width.
const fn end_words(end: FailureEnd) -> &'static str {
    match end {
        FailureEnd::NotSurvivable => "strikes hard",
        FailureEnd::FrameFalls => "frame falls",
        FailureEnd::Breaks => "may break",
        FailureEnd::RunsAway => "runs away",
        FailureEnd::Slides => "slides",
        FailureEnd::Lies => "drops, lies",
        FailureEnd::Hangs => "hangs",
        FailureEnd::SetDown => "set down",
        FailureEnd::Stays => "stays",
        _ => "unknown",
    }
}

/// How grave it is: each also differs in black and white, by its weight and its edge.
const fn gravity(end: FailureEnd) -> &'static str {
    match end {
        FailureEnd::Hangs => "bad",
        FailureEnd::SetDown | FailureEnd::Stays => "mild",
        _ => "grave",
    }
}

const fn holds_words(holds: Holds) -> &'static str {
    match holds {
        Holds::TrackAndHaul => "track and haul",
        Holds::Haul => "haul alone",
        Holds::TrackAndBelay => "track and belay",
        Holds::Track => "track alone",
        _ => "unknown",
    }
}

/// What fails, in a cell's width.
fn what(row: &FailureRow) -> &str {
    match row.failure {
        Failure::Jam => "load jams",
        Failure::Power => "power of the winch",
        _ => row.name.strip_prefix("the ").unwrap_or(&row.name),
    }
}

fn worst(row: &FailureRow) -> Option<&FailureCell> {
    row.cells.get(row.worst)
}

/// The rows with the worst first; what can't be told comes before all.
fn by_consequence(table: &FailureTable) -> Vec<&FailureRow> {
    let mut rows: Vec<&FailureRow> = table.rows.iter().collect();
    rows.sort_by(|a, b| {
        let least = |row: &FailureRow| {
            worst(row).and_then(|cell| cell.least_factor.as_ref()).map_or(f64::INFINITY, |least| least.factor)
        };
        let end = |row: &FailureRow| worst(row).map(|cell| cell.end);
        end(a).cmp(&end(b)).then(least(a).total_cmp(&least(b)))
    });
    rows
}

pub(super) fn draw(study: &Study, table: &FailureTable, units: Units) -> Markup {
    let rows = by_consequence(table);
    let at = |i: usize| {
        study.positions.get(i).map_or_else(String::new, |p| units.distance(p.carriage.x - study.head.x))
    };
    html! {
        p class="hint" {
            "A row for each part that fails, the worst first; a column for each place of the load, by its distance out from the head in " (units.length_unit())
            ". Bounds, not forecasts: ropes are new and not cut, and nobody is in the way."
        }
        p {
            @match table.sets_down {
                Some((from, to)) => {
                    "From " (units.distance_with_unit(from - study.head.x)) " to " (units.distance_with_unit(to - study.head.x))
                    " out, whatever fails of ropes, anchors, redirects and brakes at most sets the litter down."
                }
                None => "Nowhere on the travel is it so that whatever fails at most sets the litter down.",
            }
        }
        div class="wide" tabindex="0" role="region" aria-label="what fails, and where" { table class="rows matrix" {
            thead { tr { th { "fails" } @for position in &table.positions { th { (at(*position)) } } } }
            tbody {
                @for (i, row) in rows.iter().enumerate() {
                    tr {
                        th scope="row" { (what(row)) }
                        @if row.cells.is_empty() { td colspan=(table.positions.len()) { a href={ "#fails-" (i) } { "can't be told" } } }
                        @for (k, cell) in row.cells.iter().enumerate() {
                            td class=(gravity(cell.end)) { a href={ "#fails-" (i) "-" (k) } { (end_words(cell.end)) } }
                        }
                    }
                }
            }
        } }
        p class="hint" {
            "strikes hard: into ground or face at " (units.speed(Velocity::new::<meter_per_second>(NOT_SURVIVABLE_M_PER_S)))
            " or more; set down: at " (units.speed(Velocity::new::<meter_per_second>(SET_DOWN_M_PER_S)))
            " or less; may break: a place is loaded beyond its strength."
        }
        h3 { "The worst of each" }
        @for (i, row) in rows.iter().enumerate() { (story(study, row, i, units)) }
        p class="hint on-paper" { "What happens at each of the other places opens on a screen, and stands in study.json." }
    }
}

fn story(study: &Study, row: &FailureRow, number: usize, units: Units) -> Markup {
    let end = worst(row).map_or("can't be told", |cell| end_words(cell.end));
    html! {
        div class="story whole" id={ "fails-" (number) } {
            p { b { (what(row)) ": " (end) ". " } (one_system(&row.text, units)) }
            @if !row.cells.is_empty() {
                details {
                    summary { "at each place: " (what(row)) }
                    div class="wide" tabindex="0" role="region" aria-label={ "at each place: " (what(row)) } { table class="rows" {
                        thead { tr {
                            th { "load out" } th { "it" } th { "on" } th { "goes down" } th { "runs out" } th { "meets the ground" }
                            th { "least factor" } th { "frame margin" } th { "then hangs" } th { "haul goes on" } th { "by" }
                        } }
                        tbody { @for (k, cell) in row.cells.iter().enumerate() {
                            tr id={ "fails-" (number) "-" (k) } { (cells(study, cell, units)) }
                        } }
                    } }
                }
            }
        }
    }
}

fn cells(study: &Study, cell: &FailureCell, units: Units) -> Markup {
    let length = |most: &AtMost<Length>| match most.bound.value > 0.0 {
        true => format!("{} {}", units.fine(most.bound), units.length_unit()),
        false => "–".to_owned(),
    };
    html! {
        td { (study.positions.get(cell.position).map_or_else(String::new, |p| out(study, p, units))) }
        td { b { (end_words(cell.end)) } }
        td { (holds_words(cell.holds)) }
        td { (length(&cell.drop)) }
        td { (length(&cell.run)) }
        td { @match &cell.impact { Some(impact) => { (units.speed(impact.into_ground.bound)) } None => "–" } }
        td { @match &cell.least_factor { Some(least) => { (factor(least.factor)) ", " (place_words(least.place)) } None => "none rated" } }
        td { @match cell.frame_margin { Some(margin) => (format!("{:.1}°", margin.get::<degree>())), None => "–" } }
        td { @match cell.still_height { Some(height) if height.value > 0.0 => { (units.fine(height)) " " (units.length_unit()) " up" } Some(_) => "lies", None => "–" } }
        td { (if cell.haul_goes_on { "yes" } else { "no" }) }
        td { (if cell.detail == Detail::InTime { "followed in time" } else { "bound" }) }
    }
}

/// A place of the rig, in words.
fn place_words(place: Place) -> String {
    let words = match place {
        Place::TrackRope => "track rope",
        Place::HaulRope => "haul rope",
        Place::BelayRope => "belay rope",
        Place::Far => "far anchor",
        Place::TrackRedirect => "track redirect",
        Place::Head => "track sheave on the head",
        Place::Cell => "load cell",
        Place::Capstan => "capstan",
        Place::CarriageWheel => "carriage wheel",
        Place::Carriage => "carriage",
        Place::HaulHead => "haul sheave on the head",
        Place::HaulRedirect(i) => return format!("haul redirect {}", i + 1),
        Place::Tackle => "tackle anchor",
        Place::Winch => "haul winch",
        Place::BelayHead => "belay sheave on the head",
        Place::BelayDevice => "belay device",
        Place::Leg => "leg",
        Place::Guy => "guy",
        _ => "another place",
    };
    words.to_owned()
}
