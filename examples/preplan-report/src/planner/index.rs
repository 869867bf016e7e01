//! A page over several sites: verdict, first reason and a small picture of each.

use super::side_view;
use crate::card::{Card, verdict_words};
use crate::one_system::one_system;
use crate::page;
use maud::{Markup, html};
use rope_mechanics::operation::study::Study;
use rope_mechanics::operation::verdict::Verdict;

const STYLE: &str = include_str!("../../style/planner.css");

/// A site of the index; `folder` is where its pages are.
pub(crate) fn entry(folder: &str, study: &Study, card: &Card) -> Markup {
    let (word, _) = verdict_words(card.verdict);
    html! {
        article class="site" {
            (side_view::small(study))
            div {
                h2 { (study.title) }
                p class=(if card.verdict == Verdict::NoGo { "verdict-word stop" } else { "verdict-word" }) { (word) }
                @for reason in &card.reasons { p { (reason) } }
                @for variant in study.variants.iter().skip(1) {
                    @let word = if variant.found.is_some() { verdict_words(variant.verdict).0 } else { "not studied" };
                    @let worst = variant.reasons.first().filter(|_| variant.verdict != Verdict::Go);
                    p { "Variant " b { (variant.name) ": " (word) } @if let Some(reason) = worst { ". " (one_system(reason, card.units)) } }
                }
                p { a href=(format!("{folder}/card.html")) { "card" } " " a href=(format!("{folder}/report.html")) { "report" } }
                p class="hint" { (folder) ", input " (card.identity.input) ", version " (card.identity.version) }
            }
        }
    }
}

/// A site that could not be studied.
pub(crate) fn failed_entry(folder: &str, why: &str) -> Markup {
    html! {
        article class="site" {
            div {}
            div {
                h2 { (folder) }
                p class="verdict-word stop" { "not studied" }
                @for line in why.lines() { p { (line) } }
            }
        }
    }
}

/// The page over all sites; and what another kit makes of each, a line for each, if one was asked for.
pub(crate) fn index_page(entries: &[Markup], other_kit: &[String]) -> String {
    let body = html! {
        div class="sites" {
            h1 { "Preplans" }
            p class="hint" { "An aid for planning and training by qualified people. Never the only limit on a load." }
            @if !other_kit.is_empty() {
                h2 { "With the other kit" }
                ul { @for line in other_kit { li { (line) } } }
            }
            @for entry in entries { (entry) }
        }
    };
    page::plain("Preplans", &[STYLE], &body)
}
