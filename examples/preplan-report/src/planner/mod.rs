//! The pages: the card alone, and the whole report, whose first sheet is the card.

mod brief;
mod charts;
mod doubt;
mod file;
mod frame_view;
mod index;
mod side_view;
mod steps;
mod tables;

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
    let mut sections = vec![
        ("brief", "In brief", brief::draw(study, units)),
        ("side", "From the side", side_view::draw(study, units, &steps)),
        ("curves", "Against the position of the load", charts::draw(study, units)),
        ("travel", "The load on its way", tables::travel(study, units)),
        ("parts", "Parts by factor", tables::parts(study, units)),
        ("frame", "The frame", frame_view::draw(study, units)),
        ("basis", "What this rests on", basis(study, card)),
        ("check", "Check list", file::check_list(study, units)),
        ("log", "Log sheet", file::log_sheet(card)),
    ];
    if let Some(doubt) = &study.doubt {
        // After the parts: what may be otherwise, and what to measure first.
        let at = sections.iter().position(|(id, ..)| *id == "frame").unwrap_or(sections.len());
        sections.insert(at, ("doubt", "Doubt", doubt::draw(study, doubt, units)));
    }
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

/// Assumptions with their marks, what is left out, and the cautions.
fn basis(study: &Study, card: &Card) -> Markup {
    html! {
        div class="wide" tabindex="0" role="region" aria-label="assumptions" { table class="assumptions" {
            thead { tr { th { "assumed, for the site file doesn't say" } th { "from where" } th { "key" } } }
            tbody {
                @for a in &study.assumptions {
                    tr { td { (one_system(&a.text, card.units)) } td { (brief::mark(a.mark)) } td { code { (a.key) } } }
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
