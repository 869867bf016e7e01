//! The pages: the card alone, and the whole report, whose first sheet is the card.

mod brief;
mod changeover;
mod charts;
mod doubt;
mod failures;
mod file;
mod frame_view;
mod index;
mod over_time;
mod schedule;
mod side_view;
mod steps;
mod tables;
mod variants;
mod ways;

pub(crate) use brief::in_brief;
pub(crate) use index::{entry, failed_entry, index_page};

use crate::card::{self, Card};
use crate::one_system::one_system;
use crate::page;
use maud::{Markup, PreEscaped, html};
use rope_mechanics::operation::study::Study;

const STYLE: &str = include_str!("../../style/planner.css");
const SCRIPT: &str = include_str!("step.js");

pub(crate) fn card_page(study: &Study, card: &Card) -> String {
    page::page(&card.title, &card.identity, &[page::CARD], "", &card::draw(study, card))
}

pub(crate) fn report_page(study: &Study, card: &Card) -> String {
    let units = card.units;
    let steps = steps::steps(study, units);
    let section = |id, title, content| Some((id, title, content));
    let sections: Vec<(&str, &str, Markup)> = [
        section("brief", "In brief", brief::draw(study, units)),
        section("side", "From the side", side_view::draw(study, units, &steps)),
        study.schedule.as_ref().and_then(|schedule| {
            section(
                "tension",
                "Tension: what to set, and what to see",
                schedule::draw(study, schedule, units),
            )
        }),
        section("curves", "Against the position of the load", charts::draw(study, units)),
        study.alternatives.as_ref().and_then(|ways| {
            let course = ways.haul.as_planned.as_ref()?;
            section("power", "Battery and motor over time", over_time::draw(&ways.haul, course, units))
        }),
        section("travel", "The load on its way", tables::travel(study, units)),
        study.changeover.as_ref().and_then(|changeover| {
            section("changeover", "Taken over at the head", changeover::draw(study, changeover, units))
        }),
        study.failures.as_ref().and_then(|failures| {
            section("failures", "What if something fails", failures::draw(study, failures, units))
        }),
        section("parts", "Parts by factor", tables::parts(study, units)),
        // After the parts: what may be otherwise, and what to measure first.
        study.doubt.as_ref().and_then(|doubt| section("doubt", "Doubt", doubt::draw(study, doubt, units))),
        section("frame", "The frame", frame_view::draw(study, units)),
        study
            .alternatives
            .as_ref()
            .and_then(|ways| section("ways", "Other ways", ways::draw(study, ways, units))),
        (!study.variants.is_empty())
            .then(|| ("variants", "Variants", variants::draw(&study.variants, units))),
        section("basis", "What this rests on", basis(study, card)),
        section("check", "Check list", file::check_list(study, units)),
        section("log", "Log sheet", file::log_sheet(card)),
    ]
    .into_iter()
    .flatten()
    .collect();
    let body = html! {
        (card::draw(study, card))
        nav class="contents" aria-label="contents" {
            @for (id, title, _) in &sections { a href={ "#" (id) } { (title) } }
        }
        @for (id, title, content) in &sections {
            section id=(id) class="sheet" { h2 { (title) } (content) }
        }
        script type="application/json" id="steps" { (PreEscaped(steps::as_json(&steps))) }
    };
    page::page(&card.title, &card.identity, &[page::CARD, STYLE], SCRIPT, &body)
}

/// A key of the site file, which may go on in the next line between its words.
fn key(key: &str) -> Markup {
    html! { code { @for (i, word) in key.split_inclusive(['.', '_']).enumerate() { @if i > 0 { wbr; } (word) } } }
}

/// Assumptions with their marks, what is left out, and the cautions.
fn basis(study: &Study, card: &Card) -> Markup {
    html! {
        div class="wide" tabindex="0" role="region" aria-label="assumptions" { table class="assumptions" {
            thead { tr { th { "assumed, for the site file doesn't say" } th { "from where" } th { "key" } } }
            tbody {
                @for a in &study.assumptions {
                    tr { td { (one_system(&a.text, card.units)) } td { (brief::mark(a.mark)) } td { (key(&a.key)) } }
                }
            }
        } }
        h3 { "Left out or made simpler" }
        ul class="plain" { @for text in &study.simplifications { li { (one_system(text, card.units)) } } }
        h3 { "Before you use this" }
        ul class="plain" { @for caution in &study.cautions { li { (caution) } } }
        p class="hint" {
            "Every equilibrium was put back into its equations; the largest error is "
            (format!("{:.0e}", study.positions.iter().map(|p| p.residual).fold(0.0, f64::max)))
            " of the largest term."
        }
    }
}
