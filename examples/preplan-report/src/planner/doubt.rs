//! What the doubt on the inputs makes of the answers: bands, chances, and what to measure first.

use crate::units::Units;
use maud::{Markup, html};
use rope_mechanics::operation::doubt::{Doubt, LimitInDoubt, OutputBand};
use rope_mechanics::operation::study::Study;
use rope_mechanics::quantity::unit::{meter, newton};
use rope_mechanics::quantity::{Force, Length};

/// A value in SI, in the page's units.
fn shown(value: Option<f64>, unit: &str, units: Units) -> String {
    let Some(value) = value else { return "none".to_owned() };
    match unit {
        "N" => units.force_with_unit(Force::new::<newton>(value)),
        "m" => format!("{} {}", units.fine(Length::new::<meter>(value)), units.length_unit()),
        "rad" => format!("{:.1}°", value.to_degrees()),
        "A" => format!("{value:.0} A"),
        "" => format!("{value:.2}"),
        other => format!("{value:.3e} {other}"),
    }
}

/// "litter_height" or "doubt.relaxation" as a reader writes it.
fn words(output: &str) -> String {
    output.trim_start_matches("doubt.").replace(['_', '-', '.'], " ")
}

pub(super) fn draw(study: &Study, doubt: &Doubt, units: Units) -> Markup {
    html! {
        p class="hint" {
            "From " (doubt.samples) " samples of what is not exactly known (seed " (doubt.seed) "): half of them are below the median, "
            "one in twenty below the 5 % column, one in twenty above the 95 % column. Each value where it is worst on the travel."
        }
        div class="wide" tabindex="0" role="region" aria-label="bands" { table class="rows" {
            thead { tr { th { "value" } th { "the study" } th { "5 %" } th { "median" } th { "95 %" } } }
            tbody { @for band in doubt.extremes.iter().filter(|band| !band.output.starts_with("force at")) { (row(band, units)) } }
        } }
        @if !doubt.limits.is_empty() {
            h3 { "Chance of passing a limit" }
            div class="wide" tabindex="0" role="region" aria-label="chances" { table class="rows" {
                thead { tr { th { "limit" } th { "the study" } th { "at the bad side" } th { "chance" } } }
                tbody { @for limit in doubt.limits.iter().filter(|limit| told(limit)) { (chance(study, limit, units)) } }
            } }
            @let silent = doubt.limits.iter().filter(|limit| !told(limit)).count();
            @let most = doubt.limits.iter().filter(|limit| !told(limit)).map(|limit| limit.chance.high).fold(0.0, f64::max);
            @if silent > 0 { p class="hint" { "The other " (silent) " limits are passed in no sample: a chance of at most " (format!("{:.1} %", 100.0 * most)) "." } }
        }
        @if !doubt.indices.is_empty() {
            h3 { "What to measure first" }
            @if let [first, rest @ ..] = doubt.measure_first.as_slice() {
                p { b { (words(first)) } @for next in rest { ", then " (words(next)) } "." }
            }
            p class="hint" { "How much of the spread each group of inputs makes, with all that it does together with others." }
            @for output in &doubt.indices {
                figure class="bars" {
                    figcaption { b { (words(&output.output)) } }
                    @for group in output.groups.iter().filter(|group| group.total >= 0.005) {
                        div { span { (words(&group.group)) } i style=(format!("width:{:.1}%", (100.0 * group.total).clamp(0.5, 100.0))) {} span { (format!("{:.0} %", 100.0 * group.total)) } }
                    }
                }
            }
        }
    }
}

/// A limit that some sample passes, or that the study does.
fn told(limit: &LimitInDoubt) -> bool {
    limit.passed || limit.passed_at_bad_side || limit.chance.count > 0
}

fn row(band: &OutputBand, units: Units) -> Markup {
    html! {
        tr {
            td { (words(&band.output)) @if band.without_answer > 0 { span class="hint" { " (" (band.without_answer) " samples have no answer)" } } }
            @for value in [band.nominal, band.low, band.median, band.high] { td { (shown(value, band.unit, units)) } }
        }
    }
}

fn chance(study: &Study, limit: &LimitInDoubt, units: Units) -> Markup {
    let what = limit
        .component
        .and_then(|i| study.components.get(i))
        .map_or_else(|| words(&limit.output), |part| part.name.clone());
    html! {
        tr class=(if limit.passed || limit.passed_at_bad_side { "stop" } else { "" }) {
            td { (what) @if let Some(at) = limit.limit { ": " (shown(Some(at), limit.unit, units)) } @if limit.passed { " passed" } @else if limit.passed_at_bad_side { " passed at the bad side" } }
            td { (shown(limit.nominal, limit.unit, units)) }
            td { (shown(limit.bad_side, limit.unit, units)) }
            td { (format!("{:.1} % ({:.1} to {:.1})", 100.0 * limit.chance.share, 100.0 * limit.chance.low, 100.0 * limit.chance.high)) }
        }
    }
}
