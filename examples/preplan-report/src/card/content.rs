//! What stands on the card: chosen and rounded from the study, computed nowhere here.

use crate::identity::Identity;
use crate::one_system::one_system;
use crate::units::{Round, Units};
use rope_mechanics::operation::layout::PlaceKind;
use rope_mechanics::operation::site::TackleKind;
use rope_mechanics::operation::study::{Position, Study, Warning, WarningKind};
use rope_mechanics::operation::verdict::{Verdict, of_study, weight};
use rope_mechanics::quantity::{Force, Length};
use serde::Serialize;

/// The format of `card.json`: raised when a key goes or changes its meaning, not when one is added.
const FORMAT: u32 = 1;
/// The most stations of the travel.
const STATIONS: usize = 8;
/// The most reasons that are told on the card; the report has all.
const REASONS: usize = 7;

/// A value in SI, and as the card shows it.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Shown {
    pub(crate) si: f64,
    pub(crate) text: String,
}

/// The card.
#[derive(Debug, Serialize)]
pub(crate) struct Card {
    pub(crate) format: u32,
    pub(crate) title: String,
    #[serde(flatten)]
    pub(crate) identity: Identity,
    pub(crate) units: Units,
    pub(crate) verdict: Verdict,
    pub(crate) reasons: Vec<String>,
    /// Reasons that had no room.
    pub(crate) more_reasons: usize,
    pub(crate) load: String,
    /// Empty with a no-go, as all that follows.
    pub(crate) set_up: Vec<SetUp>,
    pub(crate) tension: Option<Tension>,
    pub(crate) travel: Vec<Station>,
    pub(crate) change_over: Vec<String>,
    pub(crate) if_wrong: Vec<Wrong>,
    pub(crate) who_says_stop: Vec<String>,
    pub(crate) not_covered: Vec<String>,
    pub(crate) cautions: Vec<String>,
}

/// Something to be set up.
#[derive(Debug, Serialize)]
pub(crate) struct SetUp {
    pub(crate) number: usize,
    pub(crate) name: String,
    pub(crate) kind: PlaceKind,
    /// From the point below the head: outward is positive.
    pub(crate) out: Shown,
    /// To the left of somebody who looks out over the slope.
    pub(crate) left: Shown,
}

/// What the load cell shows when the track rope is tight enough.
#[derive(Debug, Serialize)]
pub(crate) struct Tension {
    pub(crate) while_turning: Shown,
    pub(crate) at_rest_low: Shown,
    pub(crate) at_rest_high: Shown,
    pub(crate) wraps: f64,
}

/// A place of the travel.
#[derive(Debug, Serialize)]
pub(crate) struct Station {
    /// Haul rope taken in since the start.
    pub(crate) rope_in: Shown,
    pub(crate) reading_low: Shown,
    pub(crate) reading_high: Shown,
    pub(crate) litter_height: Shown,
    /// A reading above this has a cause that the plan doesn't know.
    pub(crate) stop_above: Shown,
}

/// What to do when something goes wrong.
#[derive(Debug, Serialize)]
pub(crate) struct Wrong {
    pub(crate) when: String,
    pub(crate) what: String,
}

impl Card {
    pub(crate) fn new(study: &Study, identity: Identity, units: Units) -> Self {
        let verdict = of_study(study);
        // The worst first; with a no-go nothing else matters yet.
        let mut warnings: Vec<_> = study
            .warnings
            .iter()
            .filter(|w| verdict != Verdict::NoGo || weight(w) == Verdict::NoGo)
            .collect();
        warnings.sort_by_key(|w| std::cmp::Reverse(weight(w)));
        let mut reasons: Vec<String> = warnings.iter().map(|w| reason(study, w, units)).collect();
        if workable(verdict) {
            reasons.extend(in_doubt(study));
        }
        let workable = workable(verdict);
        Self {
            format: FORMAT,
            title: study.title.clone(),
            identity,
            units,
            verdict,
            reasons: reasons.iter().take(REASONS).cloned().collect(),
            more_reasons: reasons.len().saturating_sub(REASONS),
            load: load(study, units),
            set_up: if workable { set_up(study, units) } else { Vec::new() },
            tension: workable.then(|| tension(study, units)),
            travel: if workable { stations(study, units) } else { Vec::new() },
            change_over: if workable { change_over(study, units) } else { Vec::new() },
            if_wrong: if workable { if_wrong(study, units) } else { Vec::new() },
            who_says_stop: vec![
                "Anyone says stop.".to_owned(),
                "Winch off, hold ropes, stand still.".to_owned(),
            ],
            not_covered: not_covered(study),
            cautions: study.cautions.clone(),
        }
    }
}

fn workable(verdict: Verdict) -> bool {
    verdict != Verdict::NoGo
}

/// Limits that the study keeps, but not where what isn't exactly known turns out badly.
fn in_doubt(study: &Study) -> Option<String> {
    let doubt = study.doubt.as_ref()?;
    let likely = doubt.limits.iter().filter(|limit| limit.passed_at_bad_side && !limit.passed);
    let most = likely.max_by(|a, b| a.chance.share.total_cmp(&b.chance.share))?;
    let name = most
        .component
        .and_then(|i| study.components.get(i))
        .map_or_else(|| most.output.replace('_', " "), |part| part.name.clone());
    Some(format!(
        "In doubt: {name} may pass its limit ({:.0} %). Measure first what the report names.",
        100.0 * most.chance.share
    ))
}

/// A warning as the card has room for it; the report has all of its words.
fn reason(study: &Study, warning: &Warning, units: Units) -> String {
    match warning.kind {
        WarningKind::NotRated => {
            let unrated = study.components.iter().filter(|part| part.strength.is_none()).count();
            format!("Judge by hand what has no rated strength: {unrated} of the parts, named in the report.")
        }
        _ => one_system(&warning.text, units),
    }
}

fn force(force: Force, units: Units, round: Round) -> Shown {
    Shown { si: force.value, text: units.reading(force, round) }
}

fn load(study: &Study, units: Units) -> String {
    let given = &study.given;
    let mut parts = vec![
        format!("patient {}", units.mass(given.patient)),
        format!("litter {}", units.mass(given.litter)),
        format!("carriage {}", units.mass(given.carriage)),
    ];
    parts.extend(given.attendants.map(|mass| format!("attendants {}", units.mass(mass))));
    format!(
        "On the line {}: {}. The litter hangs {} {} down.",
        units.mass(given.load),
        parts.join(", "),
        units.fine(given.hang),
        units.length_unit()
    )
}

/// "21 ft back", "7 ft left"; nothing for what rounds to zero.
fn words(length: Length, positive: &str, negative: &str, units: Units) -> String {
    let text = units.pace(length.abs());
    if text.trim_start_matches(['0', '.']).starts_with(' ') {
        return String::new();
    }
    format!("{text} {}", if length > Length::default() { positive } else { negative })
}

fn set_up(study: &Study, units: Units) -> Vec<SetUp> {
    let shown = |length: Length, positive, negative| Shown {
        si: length.value,
        text: words(length, positive, negative, units),
    };
    study
        .layout
        .places
        .iter()
        .enumerate()
        .map(|(i, place)| SetUp {
            number: i + 1,
            name: place.name.clone(),
            kind: place.kind,
            out: shown(place.at.x, "out", "back"),
            left: shown(place.at.y, "left", "right"),
        })
        .collect()
}

fn tension(study: &Study, units: Units) -> Tension {
    let line = &study.unloaded;
    Tension {
        while_turning: force(line.reading_while_tensioning, units, Round::Nearest),
        at_rest_low: force(line.reading.low, units, Round::Down),
        at_rest_high: force(line.reading.high, units, Round::Up),
        wraps: study.given.wraps,
    }
}

/// Haul rope in since the start of the travel.
pub(crate) fn rope_in(study: &Study, position: &Position) -> Length {
    study.positions.first().map_or(Length::default(), |first| first.haul_length - position.haul_length)
}

/// Start and end of the travel, and the places nearest to round marks between: at most eight.
fn stations(study: &Study, units: Units) -> Vec<Station> {
    let Some(last) = study.positions.last() else { return Vec::new() };
    let whole = units.of_length(rope_in(study, last));
    let room = STATIONS - 2;
    let step = units.marks().iter().copied().find(|step| whole / step <= room as f64 + 1.0).unwrap_or(whole);
    let between = (1..=room).map(|i| i as f64 * step).filter(|mark| *mark <= whole - 0.4 * step);
    let nearest = |mark: f64| {
        let away = |p: &Position| (units.of_length(rope_in(study, p)) - mark).abs();
        study.positions.iter().min_by(|a, b| away(a).total_cmp(&away(b)))
    };
    [0.0]
        .into_iter()
        .chain(between)
        .chain([whole])
        .filter_map(nearest)
        .map(|position| station(study, position, units))
        .collect()
}

fn station(study: &Study, position: &Position, units: Units) -> Station {
    let rope_in = rope_in(study, position);
    let height = position.least_litter_height();
    let on_ground = height.value <= 0.0;
    // The limit, rounded down, or what friction explains there, rounded up: whichever is less.
    let friction = position.greatest_reading();
    let stop = match study.limits.reading {
        Some(limit) if limit <= friction => force(limit, units, Round::Down),
        _ => force(friction, units, Round::Up),
    };
    // What the cell will show after the stated procedure, where it can be followed; else all that friction may leave.
    let reading = position.reading_expected.as_ref().unwrap_or(&position.reading);
    Station {
        rope_in: Shown { si: rope_in.value, text: units.distance(rope_in) },
        reading_low: force(reading.low, units, Round::Down),
        reading_high: force(reading.high, units, Round::Up),
        litter_height: Shown {
            si: height.value,
            text: if on_ground { "drags".to_owned() } else { units.height(height) },
        },
        stop_above: stop,
    }
}

fn change_over(study: &Study, units: Units) -> Vec<String> {
    let Some(last) = study.positions.last() else { return Vec::new() };
    vec![
        format!(
            "At {} of rope in, stop. The load is {} out from the head.",
            units.distance_with_unit(rope_in(study, last)),
            units.distance_with_unit(last.carriage.x - study.head.x)
        ),
        "Hold the haul rope. Take the belay rope tight.".to_owned(),
        "Let the track rope right down, slowly. Haul and belay rope now hold the load.".to_owned(),
    ]
}

fn if_wrong(study: &Study, units: Units) -> Vec<Wrong> {
    let wrong = |when: &str, what: String| Wrong { when: when.to_owned(), what };
    let summary = &study.summary;
    let drop = match &summary.track_lost_farthest {
        None => "Both strands gone".to_owned(),
        Some(lost) if lost.drop.value <= 0.0 => "The litter is on the ground and may slide".to_owned(),
        Some(lost) => format!(
            "Both strands gone, litter {} after up to {}",
            if lost.lands { "lands" } else { "hangs on the haul" },
            units.fine(lost.drop) + " " + units.length_unit()
        ),
    };
    vec![
        wrong(
            "reading above its stop value",
            "Stop. Hold. Snagged? Look at litter, carriage, ropes.".to_owned(),
        ),
        wrong(
            "reading below its band",
            "Stop. Litter on the ground? Anchor moving? Rope slipping?".to_owned(),
        ),
        wrong(
            "haul rope or winch fails",
            match &summary.haul_lost {
                Some(lost) => format!(
                    "Belay catches after up to {}. Lock it. Keep clear below.",
                    units.fine(lost.travel) + " " + units.length_unit()
                ),
                None => "Nothing else holds the load: no belay rope is planned.".to_owned(),
            },
        ),
        wrong("track rope or far anchor fails", format!("{drop}. Lock both ropes.")),
        wrong("winch stops", "Hold the haul rope. Lock the belay. The load can wait.".to_owned()),
    ]
}

fn not_covered(study: &Study) -> Vec<String> {
    vec![
        "How the litter is swung in from under the frame: use your own drill.".to_owned(),
        match study.doubt {
            None => {
                "Bands hold friction, not doubt about weights and ropes: allow 15 % either way.".to_owned()
            }
            Some(_) => "Bands hold friction; what doubt about weights and ropes adds stands in the report."
                .to_owned(),
        },
    ]
}

/// What the tackle is called.
pub(crate) fn tackle(kind: TackleKind) -> &'static str {
    match kind {
        TackleKind::TwoToOne => "2:1",
        TackleKind::ThreeToOne => "3:1",
        _ => "straight",
    }
}
