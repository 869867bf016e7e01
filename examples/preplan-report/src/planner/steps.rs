//! The load step by step: what the slider of the report shows, and the words of its fallback.

use super::brief::out;
use crate::card::rope_in;
use crate::units::{Round, Units, amperes};
use rope_mechanics::operation::study::{Loaded, Position, Study};
use rope_mechanics::quantity::unit::degree;
use serde::Serialize;

/// One step.
#[derive(Debug, Serialize)]
pub(super) struct Step {
    /// Index in the positions.
    #[serde(skip)]
    pub(super) position: usize,
    /// Distance from the head in the page's units: where the cursors of the charts stand.
    out: f64,
    /// The same in words, for who hears the slider.
    said: String,
    /// The texts of the panel, in its order.
    texts: Vec<String>,
    /// The drawing: line, sling, haul rope, belay rope.
    pub(super) line: String,
    pub(super) sling: String,
    pub(super) haul: String,
    pub(super) belay: String,
}

/// The names of the panel's texts.
pub(super) const NAMES: [&str; 10] = [
    "out from the head",
    "rope in",
    "cell reads",
    "litter up",
    "strand at the head",
    "haul rope",
    "winch",
    "current",
    "greatest leg",
    "frame margin",
];

pub(super) fn texts(study: &Study, p: &Position, units: Units) -> Vec<String> {
    let force = |force| units.force_with_unit(force);
    let (leg, margin) = match &p.frame {
        Some(frame) => (
            frame
                .legs
                .iter()
                .copied()
                .reduce(|a, b| if b > a { b } else { a })
                .map_or_else(String::new, force),
            format!("{:.1}°", frame.margin.get::<degree>()),
        ),
        None => ("falls".to_owned(), "falls".to_owned()),
    };
    // As the card has it: what the cell will show where that can be followed, else all that friction may leave.
    let reading = p.reading_expected.as_ref().unwrap_or(&p.reading);
    vec![
        out(study, p, units),
        units.distance_with_unit(rope_in(study, p)),
        format!(
            "{}–{} {}",
            units.reading(reading.low, Round::Down),
            units.reading(reading.high, Round::Up),
            units.force_unit()
        ),
        format!("{} {}", units.fine(p.litter_height), units.length_unit()),
        force(p.strand_tension_head),
        force(p.haul_pull),
        force(p.winch_pull),
        format!("{} A", amperes(p.current)),
        leg,
        margin,
    ]
}

pub(super) fn steps(study: &Study, units: Units) -> Vec<Step> {
    let view = super::side_view::view(study);
    let step = |line: &Loaded| {
        let p = study.positions.get(line.position)?;
        let drawn = super::side_view::load(&view, p, line);
        Some(Step {
            position: line.position,
            out: units.of_length(p.carriage.x - study.head.x),
            said: format!("{} out from the head", out(study, p, units)),
            texts: texts(study, p, units),
            line: drawn.line,
            sling: drawn.sling,
            haul: drawn.haul,
            belay: drawn.belay,
        })
    };
    study.lines.iter().filter_map(step).collect()
}

/// As a script element may hold it.
pub(super) fn as_json(steps: &[Step]) -> String {
    // Plain numbers and texts don't fail; without them the slider stays hidden.
    serde_json::to_string(steps).unwrap_or_default().replace('<', "\\u003c")
}
