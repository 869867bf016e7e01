//! The card: the first sheet of the report, and a page of its own for a phone.

mod content;
mod plan_view;

use content::belayed;
pub(crate) use content::{Card, rope_in, tackle};

use maud::{Markup, html};
use rope_mechanics::operation::study::Study;
use rope_mechanics::operation::verdict::Verdict;

/// What is filled in by hand.
const BLANKS: [&str; 10] =
    ["lead", "capstan", "winch", "load cell", "belay", "litter", "radio", "date", "started", "up"];

/// A title of more letters takes a second line on paper.
const LONG_TITLE: usize = 60;

/// The verdict as it is shouted.
pub(crate) fn verdict_words(verdict: Verdict) -> (&'static str, &'static str) {
    match verdict {
        Verdict::Go => ("go", "No limit of the plan is passed."),
        Verdict::GoWith => ("go with", "Only if each of these is dealt with:"),
        _ => ("no-go", "Do not rig this. Mend first:"),
    }
}

fn verdict_class(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Go => "go",
        Verdict::GoWith => "go-with",
        _ => "no-go",
    }
}

pub(crate) fn draw(study: &Study, card: &Card) -> Markup {
    let units = card.units;
    let (word, meaning) = verdict_words(card.verdict);
    let long: usize = card.reasons.iter().map(String::len).sum();
    // What takes more lines than usual at the top of the sheet.
    let tight = long > 340 || card.title.chars().count() > LONG_TITLE;
    html! {
        article class={ "card" @if card.tension.is_some() { " workable" } @if tight { " tight" } } aria-label="card" {
            header class="card-head" {
                h1 { (card.title) }
                p class="load" { (card.load) }
            }
            section class={ "verdict " (verdict_class(card.verdict)) @if long > 150 { " many" } } aria-label="verdict" {
                p class="word" { (word) }
                div {
                    p { (meaning) }
                    @if !card.reasons.is_empty() {
                        ul {
                            @for reason in &card.reasons { li { (reason) } }
                            @if card.more_reasons > 0 { li { "and " (card.more_reasons) " more: see the report" } }
                        }
                    }
                }
            }
            @if let Some(tension) = &card.tension {
                (set_up(study, card))
                section class="tension" {
                    h2 { span class="step" { "2" } " tension" }
                    p { "Line empty, " (tension.wraps) " turns on the capstan. Capstan turning, cell shows" }
                    p { strong class="figure" { (tension.while_turning.text) " " (units.force_unit()) } }
                    @if let Some([loose, tight]) = &tension.keep { p { "While it turns " b { (loose.text) " to " (tight.text) } " will do." } }
                    p { "Stop. Tie off." }
                    p {
                        "At rest it shows " b { (tension.at_rest_low.text) " to " (tension.at_rest_high.text) }
                        @if let Some([low, high]) = &tension.after_minutes { ", after 10 min " b { (low.text) " to " (high.text) } }
                        "."
                    }
                    @if let Some(loaded) = &tension.loaded { p { "Only if you set it anew with the load on, at the start: " b { (loaded.text) } " while it turns." } }
                    @if let Some(beyond) = &tension.beyond { p { b { (beyond) } } }
                }
                (travel(card))
                section class="change" {
                    h2 { span class="step" { "4" } " stop and change over" }
                    @for text in &card.change_over { p { (text) } }
                    div class="blanks" {
                        @for name in BLANKS.iter().filter(|name| **name != "belay" || belayed(study)) { p { span { (name) } i {} } }
                    }
                }
                section class="wrong" {
                    h2 { span class="step" { "5" } " if something goes wrong" }
                    dl { @for line in &card.if_wrong { div { dt { (line.when) } dd { (line.what) } } } }
                }
                section class="stop-call" {
                    h2 { span class="step" { "6" } " who says stop" }
                    p { @for (i, text) in card.who_says_stop.iter().enumerate() { @if i == 0 { strong class="stop" { (text) } } @else { " " (text) } } }
                }
            } @else {
                p class="no-set-point" { "There is no set-point and nothing to set up until the plan is mended. The report shows where each limit is passed, and what may mend it." }
            }
            section class="not-covered" {
                p { b { "Not on this card: " } (card.not_covered.join(" ")) }
                p { (card.cautions.join(" ")) }
            }
        }
    }
}

fn set_up(study: &Study, card: &Card) -> Markup {
    html! {
        section class="set-up" {
            h2 { span class="step" { "1" } " set up" }
            div class="beside" {
                (plan_view::draw(study, &card.set_up))
                div {
                    table {
                        thead { tr { th { "" } th { "what" } th colspan="2" { "from below the head" } } }
                        tbody {
                            @for item in &card.set_up {
                                tr { td class="number" { (item.number) } td { (item.name) } td { (item.out.text) } td { (item.left.text) } }
                            }
                        }
                    }
                    (plan_view::legend(study))
                    p class="hint" { "Left and right as you look out over the slope." }
                }
            }
        }
    }
}

fn travel(card: &Card) -> Markup {
    let (stations, units) = (card.travel.as_slice(), card.units);
    let marked = stations.iter().any(|station| station.mark.is_some());
    html! {
        section class="travel" {
            h2 { span class="step" { "3" } " travel" }
            table {
                thead {
                    tr {
                        @if marked { th { "mark" } }
                        th { "rope in " span class="unit" { (units.length_unit()) } }
                        th { "cell reads " span class="unit" { (units.force_unit()) } }
                        th { "litter up " span class="unit" { (units.length_unit()) } }
                        th class="stop" { "stop above " span class="unit" { (units.force_unit()) } }
                    }
                }
                tbody {
                    @for (i, station) in stations.iter().enumerate() {
                        tr {
                            @if marked { td class="mark" { @match station.mark { Some(mark) => (mark), None => (if i == 0 { "start" } else { "end" }) } } }
                            td { (station.rope_in.text) }
                            td { (station.reading_low.text) "–" (station.reading_high.text) }
                            td { (station.litter_height.text) }
                            td class="stop" { (station.stop_above.text) }
                        }
                    }
                }
            }
        }
        div class="travel-notes" { @for text in &card.hauling { p { (text) } } }
    }
}
