//! What to set the track rope to: the window that keeps every limit, the fewest settings, and what to see at each mark.

use super::brief::out;
use crate::chart::{Axis, Band, Chart, Curve, Stroke};
use crate::one_system::one_system;
use crate::units::{Round, Units, amperes};
use maud::{Markup, html};
use rope_mechanics::operation::schedule::{
    EndedBy, HaulMark, Kept, Limit, LimitKind, PlaceWindows, Schedule, Setting, Stands, Trend, Window,
};
use rope_mechanics::operation::study::Study;
use rope_mechanics::operation::verdict::{Verdict, of_study};
use rope_mechanics::quantity::unit::{foot, kilonewton, meter, pound_force};
use rope_mechanics::quantity::{Force, Length};

/// The most marks that are told; the table of the schedule has all.
const MARKS: usize = 40;

pub(super) fn draw(study: &Study, schedule: &Schedule, units: Units) -> Markup {
    let no_go = of_study(study) == Verdict::NoGo;
    html! {
        p { b { (schedule.text) } }
        @if no_go { p class="stop" { "There is no set-point with a no-go. What follows shows what a mended plan has room for." } }
        @for stretch in &schedule.no_length { p { (one_system(&stretch.text, units)) } }
        div class="charts one" { (chart(study, schedule, units).draw()) }
        p class="hint" {
            "Each limit is judged hauling, at rest and lowering, at the worst of friction, at " (schedule.windows.len().saturating_sub(1)) " places of the load. "
            "The load travels from the right to the left."
        }
        (ends(study, schedule, units))
        @if !schedule.settings.is_empty() {
            h3 { @if no_go { "Settings that would keep every limit of the track rope" } @else { "Settings that keep every limit" } }
            @for (i, setting) in schedule.settings.iter().enumerate() { (one_setting(study, setting, i + 1, units)) }
        }
        @if !schedule.marks.is_empty() {
            h3 { "At each mark on the haul rope" }
            (marks(study, schedule, units))
            h3 { "When cell and current leave what is expected" }
            (meanings(schedule))
        }
        (map(study, schedule, units))
    }
}

/// A limit that ends a window, in a few words.
fn words(study: &Study, limit: &Limit) -> String {
    let text = match limit.kind {
        LimitKind::LitterLow => "litter too low",
        LimitKind::LitterHigh => "litter too high",
        LimitKind::Factor => {
            let part = limit.component.and_then(|i| study.components.get(i));
            return format!(
                "{} below its factor",
                part.map_or("a part of the frame", |part| part.name.as_str())
            );
        }
        LimitKind::Reading => "load cell past its limit",
        LimitKind::CapstanPull => "capstan pulls too much",
        LimitKind::CapstanTail => "capstan's tail takes too much",
        LimitKind::FrameMargin => "frame too near to tipping",
        LimitKind::FrameFalls => "frame falls",
        LimitKind::WinchPull => "winch pulls too much",
        LimitKind::WinchCurrent => "winch draws too much",
        LimitKind::TrackOnGround => "track rope on the ground",
        LimitKind::RopeTooShort => "rope too short",
        LimitKind::CarriageOnGround => "carriage on the ground",
        LimitKind::NoBalance => "no balance",
        _ => "another limit",
    };
    text.to_owned()
}

/// Windows of neighbouring places that have lengths in common, one band each: position and readings.
fn chains(study: &Study, schedule: &Schedule) -> Vec<Vec<(f64, [f64; 2])>> {
    struct Chain {
        last: Window,
        at: usize,
        points: Vec<(f64, [f64; 2])>,
    }
    let mut chains: Vec<Chain> = Vec::new();
    for (at, place) in schedule.windows.iter().enumerate() {
        let Some(p) = place.position.and_then(|i| study.positions.get(i)) else { continue };
        let x = (p.carriage.x - study.head.x).value;
        for (window, readings) in place.windows.iter().zip(&place.readings) {
            let [Some(loose), Some(tight)] = readings else { continue };
            let point = (x, [loose.value, tight.value]);
            let goes_on = chains.iter_mut().find(|chain| {
                chain.at + 1 == at
                    && chain.last.shortest <= window.longest
                    && window.shortest <= chain.last.longest
            });
            match goes_on {
                Some(chain) => {
                    (chain.last, chain.at) = (*window, at);
                    chain.points.push(point);
                }
                None => chains.push(Chain { last: *window, at, points: vec![point] }),
            }
        }
    }
    chains.into_iter().map(|chain| chain.points).collect()
}

/// The reading to set, by the position of the load: the feasible window, and what is set.
fn chart(study: &Study, schedule: &Schedule, units: Units) -> Chart {
    let force = |n: f64| units.of_force(Force::new::<rope_mechanics::quantity::unit::newton>(n));
    let metres = |m: f64| units.of_length(Length::new::<meter>(m));
    let chains = chains(study, schedule);
    let bands: Vec<Band> = chains
        .iter()
        .enumerate()
        .map(|(i, points)| {
            // A window at a single place is as wide as a line.
            let thin = if points.len() == 1 { [-0.15, 0.15].as_slice() } else { [0.0].as_slice() };
            let edge = |end: usize| -> Vec<(f64, f64)> {
                points
                    .iter()
                    .flat_map(|(x, readings)| {
                        thin.iter().filter_map(move |off| Some((metres(x + off), force(*readings.get(end)?))))
                    })
                    .collect()
            };
            let name = if i == 0 { "keeps every limit".to_owned() } else { String::new() };
            Band { name, low: edge(0), high: edge(1), middle: Vec::new(), wide: false }
        })
        .collect();
    let out = |i: usize| study.positions.get(i).map(|p| units.of_length(p.carriage.x - study.head.x));
    let first = schedule.seen.first().and_then(|_| out(0));
    let last = out(study.positions.len().saturating_sub(1));
    let mut curves = Vec::new();
    if let (Some(set), Some(first), Some(last)) = (&schedule.set_point, first, last) {
        let reading = units.of_force(set.empty.reading.taking_in);
        curves.push(Curve {
            stroke: Stroke::Solid,
            name: format!(
                "set-point {}",
                units.reading_with_unit(set.empty.reading.taking_in, Round::Nearest)
            ),
            points: vec![(first, reading), (last, reading)],
        });
    }
    if schedule.settings.len() > 1 || schedule.set_point.is_none() {
        for (i, setting) in schedule.settings.iter().enumerate() {
            let reading = units.of_force(setting.target.empty.reading.taking_in);
            let ends = [setting.from.unwrap_or(0), setting.to].into_iter().filter_map(out);
            curves.push(Curve {
                stroke: if i % 2 == 0 { Stroke::Dashed } else { Stroke::Dotted },
                name: format!("setting {}", i + 1),
                points: ends.map(|x| (x, reading)).collect(),
            });
        }
    }
    let (lbf_kn, foot_m) =
        (Force::new::<pound_force>(1.0).get::<kilonewton>(), Length::new::<foot>(1.0).get::<meter>());
    let us = units == Units::Us;
    let values: Vec<f64> = bands
        .iter()
        .flat_map(|band| band.low.iter().chain(&band.high))
        .chain(curves.iter().flat_map(|curve| &curve.points))
        .map(|p| p.1)
        .collect();
    Chart {
        title: "Feasible window: what the cell shows as the capstan turns, line empty".to_owned(),
        across: "load out from the head",
        x: Axis {
            low: 0.0,
            high: units.of_length(study.far.x - study.head.x),
            unit: units.length_unit(),
            other: Some((if us { 1.0 / foot_m } else { foot_m }, units.other().length_unit())),
        },
        y: Axis::over(
            values.into_iter(),
            units.force_unit(),
            Some((if us { 1.0 / lbf_kn } else { lbf_kn }, units.other().force_unit())),
        ),
        bands,
        curves,
        lines: Vec::new(),
        follows: true,
    }
}

/// Neighbouring places at which the same limit ends the window.
struct Run {
    words: String,
    from: usize,
    to: usize,
}

fn runs(study: &Study, schedule: &Schedule, of: impl Fn(&PlaceWindows) -> Option<Kept>) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::new();
    let mut goes_on = false;
    for place in &schedule.windows {
        let Some(position) = place.position else { continue };
        let Some(kept) = of(place) else {
            goes_on = false;
            continue;
        };
        let words = words(study, &kept.limit);
        match runs.last_mut() {
            Some(run) if goes_on && run.words == words => run.to = position,
            _ => runs.push(Run { words, from: position, to: position }),
        }
        goes_on = true;
    }
    runs
}

/// What ends the window on both sides, and where.
fn ends(study: &Study, schedule: &Schedule, units: Units) -> Markup {
    let told = |runs: Vec<Run>| {
        let told = runs.into_iter().map(|run| {
            let at = |i: usize| study.positions.get(i).map_or_else(String::new, |p| out(study, p, units));
            if run.from == run.to {
                format!("{} ({} out)", run.words, at(run.from))
            } else {
                format!("{} ({} to {} out)", run.words, at(run.from), at(run.to))
            }
        });
        told.collect::<Vec<_>>().join("; ")
    };
    let looser = told(runs(study, schedule, |place| place.windows.last()?.longer_passes));
    let tighter = told(runs(study, schedule, |place| place.windows.first()?.shorter_passes));
    html! {
        @if !looser.is_empty() { p { b { "A looser line passes: " } (looser) "." } }
        @if !tighter.is_empty() { p { b { "A tighter line passes: " } (tighter) "." } }
    }
}

fn one_setting(study: &Study, setting: &Setting, number: usize, units: Units) -> Markup {
    let at = |i: usize| study.positions.get(i).map_or_else(String::new, |p| out(study, p, units));
    let shown = |force: Force, round| units.reading_with_unit(force, round);
    let [loose, tight] = setting.readings;
    let passes = |ended: &Option<EndedBy>| {
        ended.as_ref().map(|ended| {
            let place = ended
                .position
                .map_or_else(|| "before the load is on".to_owned(), |i| format!("{} out", at(i)));
            format!("{} ({place})", words(study, &ended.passes.limit))
        })
    };
    let mut notes = Vec::new();
    if !setting.can_be_set {
        notes.push("The window is narrower than a reading can be set, 3 % either way.");
    }
    if setting.narrower_than_friction {
        notes.push("The reading counts only if the rope was taken in last, for friction leaves more than the window.");
    }
    if !setting.holds_relaxed {
        notes.push("Take it in again after the first minutes: as it relaxes it leaves the window.");
    }
    html! {
        div class="setting whole" {
            @if let Some(change) = &setting.change {
                p {
                    b { "Change to setting " (number) ": " } "stop at " (at(change.stop)) " out. The cell shows " (shown(change.reading_before, Round::Nearest))
                    @if change.take_in.value >= 0.0 {
                        ". Take in " (units.fine(change.take_in)) " " (units.length_unit()) " at the capstan, until it shows " b { (shown(change.target.reading.taking_in, Round::Nearest)) } " as it turns."
                    } @else {
                        ". Let out " (units.fine(-change.take_in)) " " (units.length_unit()) " at the capstan, until it shows " b { (shown(change.target.reading.easing, Round::Nearest)) } " as it eases."
                    }
                    @if !change.both_hold { " A limit is passed while the capstan turns." }
                }
            } @else {
                p {
                    b { "Setting " (number) ": " (shown(setting.target.empty.reading.taking_in, Round::Nearest)) }
                    " as the capstan turns, line empty"
                    @if units.has_window([loose, tight]) { "; keep it from " (shown(loose, Round::Up)) " to " (shown(tight, Round::Down)) "." }
                    @else { "; there is no room on either side." }
                    @if let Some(line) = setting.target.loaded.first() {
                        " With the load on, " (at(line.position)) " out: " (shown(line.reading.taking_in, Round::Nearest)) " as the capstan turns."
                    }
                }
            }
            p {
                "Serves " @match setting.from { Some(from) => { "from " (at(from)) } None => "from the start" } " to " (at(setting.to)) " out."
                @if let Some(text) = passes(&setting.longer_passes) { " Looser: " (text) "." }
                @if let Some(text) = passes(&setting.shorter_passes) { " Tighter: " (text) "." }
            }
            @for note in notes { p { b { (note) } } }
        }
    }
}

const fn trend(trend: Trend) -> &'static str {
    match trend {
        Trend::Rises => "rises",
        Trend::Falls => "falls",
        _ => "steady",
    }
}

/// "7–8", and "8" where both ends are the same.
fn range(low: String, high: String) -> String {
    if low == high { low } else { format!("{low}–{high}") }
}

fn marks(study: &Study, schedule: &Schedule, units: Units) -> Markup {
    let row = |mark: &HaulMark| {
        let band =
            |low, high| format!("{}–{}", units.reading(low, Round::Down), units.reading(high, Round::Up));
        html! { tr {
            td { (mark.mark) }
            td { (units.fine(mark.rope_taken_in)) }
            td { (units.fine(mark.winch_rope)) }
            td { (units.distance(mark.slope_distance)) }
            td { (units.fine(mark.litter_height)) }
            td { (band(mark.reading.low, mark.reading.high)) }
            td { (trend(mark.reading_goes_on)) }
            td { (units.force(mark.winch_pull.low)) "–" (units.force(mark.winch_pull.high)) }
            td { @match &mark.current { Some(current) => (range(amperes(current.low), amperes(current.high))), None => "too much" } }
            td { (trend(mark.current_goes_on)) }
        } }
    };
    html! {
        p class="hint" {
            "A mark each " (units.fine(schedule.mark_spacing)) " " (units.length_unit())
            @if !schedule.marks_given { ", for the site file doesn't say (haul.marks)" }
            ", counted from the start of the travel as they come in over the head. The slope is measured straight from its edge, "
            (units.distance_with_unit(schedule.edge.x - study.head.x)) " out from the head. Litter: hauling."
        }
        div class="wide" tabindex="0" role="region" aria-label="at each mark" { table class="rows marks" {
            thead { tr {
                th { "mark" } th { "rope in, " (units.length_unit()) } th { "at the winch" } th { "down the slope" }
                th { "litter up" } th { "cell reads, " (units.force_unit()) } th { "then" } th { "winch pulls" }
                th { "current, A" } th { "then" }
            } }
            tbody { @for mark in schedule.marks.iter().take(MARKS) { (row(mark)) } }
        } }
        @if schedule.marks.len() > MARKS { p class="hint" { "The other " (schedule.marks.len() - MARKS) " marks stand in schedule.csv." } }
    }
}

fn meanings(schedule: &Schedule) -> Markup {
    let stands = |stands: Stands| match stands {
        Stands::Low => "low",
        Stands::High => "high",
        _ => "as expected",
    };
    html! {
        table class="rows" {
            thead { tr { th { "cell" } th { "current" } th { "it may be" } } }
            tbody {
                @for meaning in &schedule.meanings {
                    tr {
                        td { (stands(meaning.reading)) } td { (stands(meaning.current)) }
                        td { (meaning.text) }
                    }
                }
            }
        }
    }
}

/// Reading by position: a dot where every limit is kept, else a letter for the one that is passed most.
fn map(study: &Study, schedule: &Schedule, units: Units) -> Markup {
    let map = &schedule.map;
    if map.passes.is_empty() {
        return html! {};
    }
    let mut names: Vec<String> = Vec::new();
    let rows: Vec<(Force, Vec<Option<usize>>)> = map
        .readings
        .iter()
        .zip(&map.passes)
        .rev()
        .map(|(reading, cells)| {
            let letters = cells.iter().map(|cell| {
                let name = words(study, cell.as_ref()?);
                Some(names.iter().position(|known| *known == name).unwrap_or_else(|| {
                    names.push(name);
                    names.len() - 1
                }))
            });
            (*reading, letters.collect())
        })
        .collect();
    let letter = |i: usize| char::from(b'a' + u8::try_from(i.min(25)).unwrap_or(25));
    html! {
        h3 { "Map: reading to set by position of the load" }
        p class="hint" {
            "A dot: every limit is kept. Else the one that is passed most: "
            @for (i, name) in names.iter().enumerate() { @if i > 0 { ", " } b { (letter(i)) } " " (name) }
            "."
        }
        div class="wide" tabindex="0" role="region" aria-label="map of readings" { table class="rows map" {
            thead { tr {
                th { (units.force_unit()) }
                // To the right is outward, as in the charts.
                @for (i, position) in map.positions.iter().enumerate().rev() {
                    th { @if let Some(p) = study.positions.get(*position).filter(|_| i % 4 == 0) { (units.distance(p.carriage.x - study.head.x)) } }
                }
            } }
            tbody {
                @for (reading, cells) in rows {
                    tr {
                        th scope="row" { (units.reading(reading, Round::Nearest)) }
                        @for cell in cells.iter().rev() {
                            td class=(if cell.is_some() { "passes" } else { "keeps" }) { @match cell { Some(i) => (letter(*i)), None => "·" } }
                        }
                    }
                }
            }
        } }
        p class="hint" { "Above the columns: load out from the head, " (units.length_unit()) "." }
    }
}
