//! What stands on the card: chosen and rounded from the study, computed nowhere here.

use crate::identity::Identity;
use crate::one_system::one_system;
use crate::units::{Round, Units};
use rope_mechanics::operation::changeover::{Changeover, EventKind, PulledInBy, StageKind};
use rope_mechanics::operation::layout::PlaceKind;
use rope_mechanics::operation::schedule::{HaulMark, Outcome, Schedule};
use rope_mechanics::operation::site::TackleKind;
use rope_mechanics::operation::study::{Position, Study, Warning, WarningKind};
use rope_mechanics::operation::verdict::{Verdict, judgement, weight};
use rope_mechanics::quantity::unit::newton;
use rope_mechanics::quantity::{Band, Force, Length};
use serde::Serialize;

/// The format of `card.json`: raised when a key goes or changes its meaning, not when one is added.
const FORMAT: u32 = 1;
/// The most stations of the travel.
const STATIONS: usize = 8;
/// The most conditions that are told on a card that is worked from; the report has all.
const REASONS: usize = 7;
/// The most reasons of a no-go, whose card has nothing else on it.
const REASONS_OF_NO_GO: usize = 16;

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
    /// How to read the stations, and by what is hauled.
    pub(crate) hauling: Vec<String>,
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
    /// Readings, the capstan turning, between which every limit is kept on the whole travel; absent where one setting
    /// doesn't keep them.
    pub(crate) keep: Option<[Shown; 2]>,
    /// With the load on at the start, the capstan turning.
    pub(crate) loaded: Option<Shown>,
    /// What it shows ten minutes after it was locked, line empty.
    pub(crate) after_minutes: Option<[Shown; 2]>,
    /// What the report says of other settings, where this one doesn't keep every limit.
    pub(crate) beyond: Option<String>,
    pub(crate) wraps: f64,
}

/// A place of the travel.
#[derive(Debug, Serialize)]
pub(crate) struct Station {
    /// The mark on the haul rope; absent at the ends of the travel, and where the site file gives no marks.
    pub(crate) mark: Option<u32>,
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
        let judged = judgement(study);
        let (verdict, workable) = (judged.verdict, workable(judged.verdict));
        let reasons: Vec<String> = if workable {
            // What kills first.
            let told = judged.go_with.iter().filter_map(|i| study.warnings.get(*i));
            told.map(|w| reason(study, w, units)).chain(in_doubt(study)).collect()
        } else {
            // Nothing else matters yet.
            let told = study.warnings.iter().filter(|w| weight(w) == Verdict::NoGo);
            told.map(|w| reason(study, w, units)).collect()
        };
        let room = if workable { REASONS } else { REASONS_OF_NO_GO };
        Self {
            format: FORMAT,
            title: study.title.clone(),
            identity,
            units,
            verdict,
            reasons: reasons.iter().take(room).cloned().collect(),
            more_reasons: reasons.len().saturating_sub(room),
            load: load(study, units),
            set_up: if workable { set_up(study, units) } else { Vec::new() },
            tension: workable.then(|| tension(study, units)),
            travel: if workable { stations(study, units) } else { Vec::new() },
            hauling: if workable { hauling(study) } else { Vec::new() },
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
        WarningKind::CapstanTail => match by_hand(warning, units) {
            Some([pull, hand]) => format!(
                "Tie off the capstan's tail, or take more wraps: it pulls {pull}, the weakest hand holds {hand}."
            ),
            None => one_system(&warning.text, units),
        },
        // Of the pulls while the load is taken over, the one that is judged by a hand.
        WarningKind::SwingIn if warning.limit == Some(study.summary.hand.value) => {
            match by_hand(warning, units) {
                Some([pull, hand]) => format!(
                    "Swing-in: several hands or a tackle, and tie off. It takes {pull}, the weakest hand holds {hand}."
                ),
                None => one_system(&warning.text, units),
            }
        }
        WarningKind::NotSurvivable | WarningKind::FrameInFailure => {
            one_system(&without_places(&warning.text), units)
        }
        _ => one_system(&warning.text, units),
    }
}

/// A pull, rounded up, and what a hand holds, rounded down.
fn by_hand(warning: &Warning, units: Units) -> Option<[String; 2]> {
    let shown = |value: f64, round| units.force_rounded(Force::new::<newton>(value), round);
    (warning.unit == "N").then_some(())?;
    Some([shown(warning.value?, Round::Up), shown(warning.limit?, Round::Down)])
}

/// "the haul rope (with the load 9 ft to 120 ft out); the brake …" without where the load is then.
fn without_places(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, after)) = rest.split_once(" (with the load ") {
        out += before;
        // Inside there are lengths in both systems, in parentheses of their own.
        let mut open = 1_usize;
        let end = after.find(|c| {
            open = match c {
                '(' => open + 1,
                ')' => open - 1,
                _ => open,
            };
            open == 0
        });
        rest = end.and_then(|end| after.get(end + 1..)).unwrap_or("");
    }
    out + rest
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
    let schedule = study.schedule.as_ref();
    let set = schedule.and_then(|schedule| schedule.set_point.as_ref());
    let keep = schedule.and_then(|schedule| keep(study, schedule));
    let beyond = schedule.filter(|_| keep.is_none()).and_then(|schedule| match schedule.outcome {
        Outcome::OneSetting => {
            Some("This setting passes a limit that the report names; another keeps them all.".to_owned())
        }
        Outcome::Moves => {
            Some("One setting does not keep every limit: the report says where to set anew.".to_owned())
        }
        Outcome::NoLength => {
            Some("No setting keeps every limit all the way: the report says where not.".to_owned())
        }
        _ => None,
    });
    Tension {
        while_turning: force(line.reading_while_tensioning, units, Round::Nearest),
        at_rest_low: force(line.reading.low, units, Round::Down),
        at_rest_high: force(line.reading.high, units, Round::Up),
        keep: keep
            .filter(|window| units.has_window(*window))
            .map(|[loose, tight]| [force(loose, units, Round::Up), force(tight, units, Round::Down)]),
        loaded: set
            .and_then(|set| set.loaded.first())
            .map(|line| force(line.reading.taking_in, units, Round::Nearest)),
        after_minutes: set.map(|set| {
            let band = &set.empty.reading_after_minutes;
            [force(band.low, units, Round::Down), force(band.high, units, Round::Up)]
        }),
        beyond,
        wraps: study.given.wraps,
    }
}

/// The readings between which one setting keeps every limit, if the one that is set is among them.
fn keep(study: &Study, schedule: &Schedule) -> Option<[Force; 2]> {
    let [setting] = schedule.settings.as_slice() else { return None };
    let [loose, tight] = setting.readings;
    let set = study.unloaded.reading_while_tensioning;
    (schedule.outcome == Outcome::OneSetting && (loose..=tight).contains(&set)).then_some([loose, tight])
}

/// Haul rope in since the start of the travel.
pub(crate) fn rope_in(study: &Study, position: &Position) -> Length {
    study.positions.first().map_or(Length::default(), |first| first.haul_length - position.haul_length)
}

/// Start and end of the travel, and between them marks on the haul rope, or the places nearest to round lengths where
/// the site file gives no marks: at most eight.
fn stations(study: &Study, units: Units) -> Vec<Station> {
    let (Some(first), Some(last)) = (study.positions.first(), study.positions.last()) else {
        return Vec::new();
    };
    let marks = study.schedule.as_ref().filter(|schedule| schedule.marks_given).map(|s| s.marks.as_slice());
    let between = match marks {
        Some(marks) => at_marks(study, marks, last, units),
        None => at_round_lengths(study, last, units),
    };
    [at_position(study, first, units)]
        .into_iter()
        .chain(between)
        .chain([at_position(study, last, units)])
        .collect()
}

/// Each mark, or each second, third …, so that there is room.
fn at_marks(study: &Study, marks: &[HaulMark], last: &Position, units: Units) -> Vec<Station> {
    let room = STATIONS - 2;
    let whole = rope_in(study, last);
    let every = (1..).find(|every| marks.len() / every <= room).unwrap_or(1);
    let chosen = marks.iter().skip(every - 1).step_by(every);
    // Not so near to the end that both say the same.
    let step = marks.get(every - 1).map_or(whole, |mark| mark.rope_taken_in);
    chosen
        .filter(|mark| mark.rope_taken_in <= whole - 0.4 * step)
        .filter_map(|mark| at_mark(study, mark, units))
        .collect()
}

/// A mark, with the worse of the two positions that it lies between: the lower litter, the higher stop.
fn at_mark(study: &Study, mark: &HaulMark, units: Units) -> Option<Station> {
    let after = study.positions.partition_point(|p| rope_in(study, p) < mark.rope_taken_in);
    let beside = study.positions.get(after.saturating_sub(1)..=after)?;
    let height = beside.iter().map(Position::least_litter_height).fold(mark.litter_height, Length::min);
    let friction = beside.iter().map(Position::greatest_reading).fold(mark.reading.high, Force::max);
    let found = Found {
        mark: Some(mark.mark),
        rope_in: mark.rope_taken_in,
        reading: &mark.reading,
        height,
        friction,
    };
    Some(station(study, &found, units))
}

fn at_round_lengths(study: &Study, last: &Position, units: Units) -> Vec<Station> {
    let whole = units.of_length(rope_in(study, last));
    let room = STATIONS - 2;
    let step = units.marks().iter().copied().find(|step| whole / step <= room as f64 + 1.0).unwrap_or(whole);
    let between = (1..=room).map(|i| i as f64 * step).filter(|mark| *mark <= whole - 0.4 * step);
    let nearest = |mark: f64| {
        let away = |p: &Position| (units.of_length(rope_in(study, p)) - mark).abs();
        study.positions.iter().min_by(|a, b| away(a).total_cmp(&away(b)))
    };
    between.filter_map(nearest).map(|position| at_position(study, position, units)).collect()
}

fn at_position(study: &Study, position: &Position, units: Units) -> Station {
    let found = Found {
        mark: None,
        rope_in: rope_in(study, position),
        // What the cell will show after the stated procedure, where it can be followed; else all that friction may leave.
        reading: position.reading_expected.as_ref().unwrap_or(&position.reading),
        height: position.least_litter_height(),
        friction: position.greatest_reading(),
    };
    station(study, &found, units)
}

/// What a station is made from.
struct Found<'a> {
    mark: Option<u32>,
    rope_in: Length,
    reading: &'a Band<Force>,
    height: Length,
    /// The most that friction explains there.
    friction: Force,
}

fn station(study: &Study, found: &Found<'_>, units: Units) -> Station {
    let on_ground = found.height.value <= 0.0;
    // The limit, rounded down, or what friction explains there, rounded up: whichever is less.
    let stop = match study.limits.reading {
        Some(limit) if limit <= found.friction => force(limit, units, Round::Down),
        _ => force(found.friction, units, Round::Up),
    };
    Station {
        mark: found.mark,
        rope_in: Shown { si: found.rope_in.value, text: units.distance(found.rope_in) },
        reading_low: force(found.reading.low, units, Round::Down),
        reading_high: force(found.reading.high, units, Round::Up),
        litter_height: Shown {
            si: found.height.value,
            text: if on_ground { "drags".to_owned() } else { units.height(found.height) },
        },
        stop_above: stop,
    }
}

fn hauling(study: &Study) -> Vec<String> {
    let tackle = tackle(study.given.tackle);
    let counted = if tackle == "straight" {
        "Rope in: haul rope since the start.".to_owned()
    } else {
        format!(
            "Hauled by a {tackle}, set {} times. Rope in: over the head since the start, not at the winch.",
            study.summary.haul.settings
        )
    };
    vec![
        counted,
        "Read the cell while hauling. Above its band: go slowly, look. Above its stop value: stop. Litter: at its lowest."
            .to_owned(),
    ]
}

fn change_over(study: &Study, units: Units) -> Vec<String> {
    let Some(last) = study.positions.last() else { return Vec::new() };
    let at_end = units.distance_with_unit(rope_in(study, last));
    let out = units.distance_with_unit(last.carriage.x - study.head.x);
    // What nobody has planned is not told as if it were.
    match study.changeover.as_ref().filter(|changeover| changeover.given) {
        Some(changeover) => taken_over(changeover, belayed(study), &at_end, units),
        None => {
            let [hold, held] = if belayed(study) {
                ["Lock the haul rope. Take the belay rope tight.", "Haul and belay rope now hold the load."]
            } else {
                ["Lock the haul rope.", "The haul rope alone now holds the load."]
            };
            vec![
                format!("At {at_end} of rope in, stop. The load is {out} out from the head."),
                hold.to_owned(),
                format!("Let the track rope right down, slowly. {held}"),
            ]
        }
    }
}

/// The stages of the changeover, a line or two for each.
fn taken_over(changeover: &Changeover, belayed: bool, at_end: &str, units: Units) -> Vec<String> {
    let by_belay = changeover.pulled_in_by == PulledInBy::Belay;
    let mut lines = Vec::new();
    for stage in &changeover.stages {
        let turned = changeover
            .events
            .iter()
            .any(|event| event.kind == EventKind::Turned && (stage.first..=stage.last).contains(&event.step));
        match stage.kind {
            StageKind::HaulUp if stage.first == stage.last => {
                lines.push(format!("At {at_end} of rope in, stop."))
            }
            StageKind::HaulUp => lines.push(format!(
                "At {at_end} of rope in, go slowly. Haul {} more{}. Stop.",
                units.pace(stage.haul_in),
                if turned { "; turn the litter with its long side outward" } else { "" }
            )),
            StageKind::LetDown => {
                lines.push(if by_belay {
                    "Lock the haul rope. Belay rope off the head, straight to where it pulls from: tend it."
                        .to_owned()
                } else if belayed {
                    "Lock haul and belay rope.".to_owned()
                } else {
                    "Lock the haul rope.".to_owned()
                });
                lines.push(match stage.track_out {
                    Some(out) => format!(
                        "Let the track rope out, slowly: {}, then until it is slack.",
                        units.pace(out)
                    ),
                    None => "Let the track rope out, slowly, until it is slack.".to_owned(),
                });
            }
            StageKind::SwingIn => lines.push(format!(
                "Out on the haul rope, in {}, level, until the litter is inside the edge.",
                if by_belay { "on the belay rope" } else { "by hand" }
            )),
            StageKind::SetDown => lines.push("Lower the litter to the road.".to_owned()),
            _ => lines.push(one_system(&stage.text, units)),
        }
    }
    lines
}

/// Whether a belay rope is planned.
pub(crate) fn belayed(study: &Study) -> bool {
    study.given.belay_slack.is_some()
}

fn if_wrong(study: &Study, units: Units) -> Vec<Wrong> {
    let wrong = |when: &str, what: String| Wrong { when: when.to_owned(), what };
    let summary = &study.summary;
    let both = if belayed(study) { "Lock both ropes." } else { "Lock the haul rope." };
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
            "Stop. Hold. Litter on the ground? Anchor moving? Rope slipping?".to_owned(),
        ),
        wrong(
            "haul rope or brake fails",
            match &summary.haul_lost {
                Some(lost) => format!(
                    "Belay catches after up to {}. Lock it. Keep clear below.",
                    units.fine(lost.travel) + " " + units.length_unit()
                ),
                None => "Nothing else holds the load: no belay rope is planned.".to_owned(),
            },
        ),
        wrong("track rope or far anchor fails", format!("{drop}. {both}")),
        wrong(
            "winch stops pulling",
            if belayed(study) {
                "Hold the haul rope. Lock the belay. The load can wait.".to_owned()
            } else {
                "Lock the haul rope. The load can wait.".to_owned()
            },
        ),
    ]
}

fn not_covered(study: &Study) -> Vec<String> {
    let swung_in = match &study.changeover {
        Some(changeover) if changeover.given => {
            "Jerks while the litter is swung in: the report has its statics, in pictures."
        }
        Some(_) => {
            "How the litter is swung in: the site file doesn't say. Use your own drill; the report shows what is assumed."
        }
        None => "How the litter is swung in from under the frame: use your own drill.",
    };
    vec![
        swung_in.to_owned(),
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn where_the_load_is_when_something_fails_is_left_to_the_report() {
        let text = "It may fall: the track rope (with the load 2.80 m (9.19 ft) to 44.5 m (146 ft) out); the jam \
                    (with the load 2.80 m (9.19 ft) out). It hits at up to 9 m/s (30 ft/s).";
        let short = "It may fall: the track rope; the jam. It hits at up to 9 m/s (30 ft/s).";
        assert_eq!(without_places(text), short);
        assert_eq!(without_places(short), short);
        assert_eq!(
            one_system(short, Units::Us),
            "It may fall: the track rope; the jam. It hits at up to 30 ft/s."
        );
    }
}
