//! The site and its variants side by side.

use super::ways::Beside;
use crate::card::verdict_words;
use crate::one_system::one_system;
use crate::units::{Round, Units, amperes, factor};
use maud::{Markup, html};
use rope_mechanics::operation::variants::{Figures, FiguresFound};
use rope_mechanics::operation::verdict::Verdict;
use rope_mechanics::quantity::Length;
use rope_mechanics::quantity::unit::{degree, minute, percent};

pub(super) fn draw(variants: &[Figures], units: Units) -> Markup {
    let each = |of: &dyn Fn(&FiguresFound) -> String| {
        variants.iter().map(|figures| figures.found.as_ref().map_or("–".to_owned(), of)).collect::<Vec<_>>()
    };
    let force = |force| units.force_with_unit(force);
    let length = |length: Length| format!("{} {}", units.fine(length), units.length_unit());
    let table = Beside {
        label: "variants side by side",
        names: variants.iter().enumerate().map(|(i, figures)| (figures.name.clone(), i == 0)).collect(),
        rows: vec![
            (
                "verdict",
                variants
                    .iter()
                    .map(|figures| match figures.found {
                        Some(_) => verdict_words(figures.verdict).0.to_owned(),
                        None => "not studied".to_owned(),
                    })
                    .collect(),
            ),
            ("on the line", each(&|f| units.mass(f.load))),
            ("rope to spare", each(&|f| units.distance_with_unit(f.spare_rope))),
            (
                "set to, capstan turning",
                variants
                    .iter()
                    .map(|figures| match &figures.found {
                        Some(_) if figures.verdict == Verdict::NoGo => "no set-point".to_owned(),
                        Some(f) => units.reading_with_unit(f.reading_while_tensioning, Round::Nearest),
                        None => "–".to_owned(),
                    })
                    .collect(),
            ),
            ("greatest reading", each(&|f| force(f.greatest_reading))),
            ("track tension up to", each(&|f| force(f.greatest_track_tension))),
            ("litter, lowest", each(&|f| length(f.least_litter_height))),
            ("litter, highest", each(&|f| length(f.greatest_litter_height))),
            ("winch pulls up to", each(&|f| force(f.greatest_winch_pull))),
            ("draws up to", each(&|f| format!("{} A", amperes(f.greatest_current)))),
            ("winch runs", each(&|f| format!("{:.0} min", f.haul_time.get::<minute>()))),
            ("left in the battery", each(&|f| format!("{:.0} %", f.charge_left.get::<percent>()))),
            (
                "least factor",
                each(&|f| match (f.least_factor, &f.governing) {
                    (Some(least), Some(part)) => format!("{}, {part}", factor(least)),
                    (Some(least), None) => factor(least),
                    _ => "none rated".to_owned(),
                }),
            ),
            (
                "frame margin",
                each(&|f| {
                    f.frame_margin
                        .map_or("–".to_owned(), |margin| format!("{:.1}°", margin.get::<degree>()))
                }),
            ),
            ("capstan's tail", each(&|f| force(f.capstan_tail))),
        ],
    };
    html! {
        p class="hint" { "Each is the site file with what its variant changes." }
        (table.draw())
        @for figures in variants {
            @if !figures.reasons.is_empty() {
                p { b { (figures.name) ": " } (one_system(&figures.reasons.join(" "), units)) }
            }
        }
    }
}
