//! The travel in rows, and the parts by their factor.

use super::brief::out;
use super::steps::{NAMES, texts};
use crate::one_system::one_system;
use crate::units::{Units, factor};
use maud::{Markup, html};
use rope_mechanics::operation::study::{Position, Study};
use rope_mechanics::quantity::Force;
use std::collections::BTreeSet;

/// Rows of the travel.
const ROWS: usize = 10;

pub(super) fn travel(study: &Study, units: Units) -> Markup {
    let last = study.positions.len().saturating_sub(1);
    let rows: Vec<&Position> =
        (0..=ROWS).filter_map(|i| study.positions.get((last * i + ROWS / 2) / ROWS)).collect();
    html! {
        div class="wide" tabindex="0" role="region" aria-label="the load on its way" { table class="rows travel-rows" {
            thead { tr { @for name in NAMES { th { (name) } } } }
            tbody { @for p in rows { tr { @for text in texts(study, p, units) { td { (text) } } } } }
        } }
        p class="hint" { "Cell: what it will show, as on the card. Strand, haul rope and winch: hauling. Leg and margin: the worst that friction leaves. All positions stand in positions.csv." }
    }
}

pub(super) fn parts(study: &Study, units: Units) -> Markup {
    struct Row {
        part: usize,
        force: Force,
        at: Option<usize>,
        by: Option<f64>,
    }
    let mut rows: Vec<Row> = study
        .components
        .iter()
        .enumerate()
        .map(|(part, component)| {
            let loaded = study.positions.iter().enumerate().map(|(at, p)| (Some(at), &p.forces));
            let (force, at) = std::iter::once((None, &study.unloaded.forces))
                .chain(loaded)
                .filter_map(|(at, forces)| forces.get(part).map(|force| (*force, at)))
                .max_by(|a, b| a.0.value.total_cmp(&b.0.value))
                .unwrap_or_default();
            let by = component.strength.filter(|_| force.value > 0.0).map(|s| s.value / force.value);
            Row { part, force, at, by }
        })
        .collect();
    rows.sort_by(|a, b| a.by.unwrap_or(f64::INFINITY).total_cmp(&b.by.unwrap_or(f64::INFINITY)));
    let own: BTreeSet<String> = study
        .components
        .iter()
        .map(|part| study.limits.factor_of(part.kind))
        .filter(|wanted| *wanted != study.limits.factor)
        .map(factor)
        .collect();
    html! {
        p class="hint" {
            "Greatest force on each part over the whole job, and its strength by it. " (factor(study.limits.factor)) " is wanted"
            @if !own.is_empty() { ", of some kinds of parts " (own.into_iter().collect::<Vec<_>>().join(", ")) }
            "."
        }
        div class="wide" tabindex="0" role="region" aria-label="parts by factor" { table class="rows parts" {
            thead { tr {
                th { "factor" } th { "part" } th { "greatest force, " (units.force_unit()) }
                th { "strength, " (units.force_unit()) } th { "load out from the head" }
            } }
            tbody {
                @for row in rows {
                    @if let Some(component) = study.components.get(row.part) {
                        @let low = row.by.is_some_and(|by| by < study.limits.factor_of(component.kind));
                        tr class=(if low { "stop" } else { "" }) {
                            td { @match row.by { Some(by) => { (factor(by)) @if low { " below" } } None => "–" } }
                            td { (component.name) @if !component.basis.is_empty() { span class="hint" { " (" (one_system(&component.basis, units)) ")" } } }
                            td { (units.force(row.force)) }
                            td { @match component.strength { Some(strength) => (units.force(strength)) None => "not rated" } }
                            td { @match row.at.and_then(|at| study.positions.get(at)) { Some(p) => (out(study, p, units)) None => "tensioning" } }
                        }
                    }
                }
            }
        } }
    }
}
