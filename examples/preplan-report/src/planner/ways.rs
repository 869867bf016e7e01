//! The alternatives side by side: ways to haul and to belay, attendants, systems.

use super::brief::out;
use crate::one_system::one_system;
use crate::units::{Units, amperes, factor};
use maud::{Markup, html};
use rope_mechanics::operation::alternatives::{
    Alternatives, AttendantWay, AttendantsFound, BelayWay, HaulWay, LoweringFirst, SystemWay,
};
use rope_mechanics::operation::failures::AtMost;
use rope_mechanics::operation::study::Study;
use rope_mechanics::quantity::unit::{ampere_hour, degree, minute, percent};
use rope_mechanics::quantity::{ElectricCharge, Force, Length, Ratio, Time};

/// A table whose columns are the alternatives and whose rows are what they are compared by.
pub(super) struct Beside<'a> {
    pub(super) label: &'a str,
    /// The name of each, and whether it is the one of the site file.
    pub(super) names: Vec<(String, bool)>,
    pub(super) rows: Vec<(&'static str, Vec<String>)>,
}

impl Beside<'_> {
    pub(super) fn draw(&self) -> Markup {
        html! {
            div class="wide" tabindex="0" role="region" aria-label=(self.label) { table class="rows beside-each-other" {
                thead { tr {
                    th { "" }
                    @for (name, planned) in &self.names { th class=(if *planned { "planned" } else { "" }) { (name) @if *planned { " (planned)" } } }
                } }
                tbody { @for (name, cells) in &self.rows { tr {
                    th scope="row" { (name) }
                    @for (cell, (_, planned)) in cells.iter().zip(&self.names) { td class=(if *planned { "planned" } else { "" }) { (cell) } }
                } } }
            } }
        }
    }
}

struct Words<'a> {
    study: &'a Study,
    units: Units,
}

fn minutes(time: Time) -> String {
    format!("{:.0} min", time.get::<minute>())
}

fn share(ratio: Ratio) -> String {
    format!("{:.0} %", ratio.get::<percent>())
}

fn charge(charge: ElectricCharge) -> String {
    format!("{:.0} Ah", charge.get::<ampere_hour>().ceil())
}

fn people(most: &AtMost<u32>) -> String {
    if most.expected == most.bound {
        most.bound.to_string()
    } else {
        format!("{} to {}", most.expected, most.bound)
    }
}

impl Words<'_> {
    fn force(&self, force: Force) -> String {
        self.units.force_with_unit(force)
    }

    fn length(&self, length: Length) -> String {
        format!("{} {}", self.units.fine(length), self.units.length_unit())
    }

    fn at(&self, position: usize) -> String {
        self.study
            .positions
            .get(position)
            .map_or_else(String::new, |p| format!("{} out", out(self.study, p, self.units)))
    }

    fn over(&self, position: Option<usize>) -> String {
        position.map_or_else(|| "never".to_owned(), |position| format!("from {} on", self.at(position)))
    }
}

pub(super) fn draw(study: &Study, ways: &Alternatives, units: Units) -> Markup {
    let words = Words { study, units };
    html! {
        p class="hint" { "Each is computed by the same model on this ground. What costs the least here isn't the safest." }
        h3 { "To haul" }
        (haul(&words, &ways.haul.ways, ways.haul.motor_is_assumed))
        @if let Some(change) = &ways.haul.change { p { (one_system(&change.text, units)) } }
        (lowering(&words, &ways.haul.lowering))
        p class="hint" {
            "From a full battery and a cold motor, the way down of the litter without its patient counted in. With margin: all pulls 15 % harder than expected. By hand: people who each pull "
            (words.force(ways.haul.one_person_pulls)) ", at least " (words.force(ways.haul.one_person_pulls_at_least)) ", steadily. One setting of a tackle hauls "
            (words.length(ways.haul.throw)) "."
        }
        h3 { "To belay" }
        (belay(&words, &ways.belay.ways))
        h3 { "Attendants at the litter" }
        (attendants(&words, &ways.attendants.ways))
        p class="hint" {
            "One weighs " (words.force(ways.attendants.one_weighs)) " and leaves " (share(ways.attendants.share))
            " of it to the line while the feet are on the ground: up to a litter " (words.length(ways.attendants.feet_down_to)) " high."
        }
        h3 { "Systems on this ground" }
        (systems(&words, &ways.systems))
        @for system in &ways.systems {
            @if let Some(after) = &system.after_failure { p { b { (system.name) ": " } (one_system(&after.text, units)) } }
        }
    }
}

fn haul(words: &Words<'_>, ways: &[HaulWay], assumed: bool) -> Markup {
    let each = |of: &dyn Fn(&HaulWay) -> String| ways.iter().map(of).collect::<Vec<_>>();
    let heat = |way: &HaulWay| match &way.heat {
        None => "not known".to_owned(),
        Some(heat) if heat.bound.rests == 0 => share(heat.bound.without_rests),
        Some(heat) if !heat.bound.gets_through => format!("{}: burns", share(heat.bound.without_rests)),
        Some(heat) => format!(
            "{}: rests {} times, {}",
            share(heat.bound.without_rests),
            heat.bound.rests,
            minutes(heat.bound.resting)
        ),
    };
    let table = Beside {
        label: "ways to haul",
        names: ways.iter().map(|way| (way.name.clone(), way.is_the_sites)).collect(),
        rows: vec![
            ("winch pulls up to", each(&|way| words.force(way.greatest_pull.si))),
            (
                "draws up to",
                each(&|way| {
                    way.greatest_current.map_or("too much".to_owned(), |i| format!("{} A", amperes(i)))
                }),
            ),
            ("over its rated pull", each(&|way| words.over(way.over_rated_at))),
            ("over the current limit", each(&|way| words.over(way.over_current_at))),
            ("rope tension up to", each(&|way| words.force(way.greatest_rope_tension))),
            (
                "tackle's anchor holds",
                each(&|way| {
                    if way.tackle_anchor.value > 0.0 {
                        words.force(way.tackle_anchor)
                    } else {
                        "none".to_owned()
                    }
                }),
            ),
            ("tackle is reset", each(&|way| format!("{} times", way.resets))),
            ("winch runs", each(&|way| minutes(way.running))),
            ("whole job takes", each(&|way| minutes(way.operation.time))),
            ("left in the battery", each(&|way| share(way.operation.charge_left))),
            (
                "the same with margin",
                each(&|way| way.operation.charge_left_with_margin.map_or("not through".to_owned(), share)),
            ),
            (
                "battery needed",
                each(&|way| way.operation.battery_needed.map_or("none will do".to_owned(), charge)),
            ),
            ("winch rating needed", each(&|way| words.force(way.operation.winch_pull_needed))),
            (if assumed { "motor's heat, assumed" } else { "motor's heat" }, each(&heat)),
            ("people by hand", each(&|way| people(&way.people_by_hand))),
            (
                "stopped by",
                each(&|way| {
                    if way.stopped_by.is_empty() {
                        "nothing".to_owned()
                    } else {
                        one_system(&way.stopped_by, words.units)
                    }
                }),
            ),
        ],
    };
    html! {
        (table.draw())
        p class="hint" { "Motor's heat: at its hottest without rests, at most, as a share of the rise that it bears; 100 % is its limit." }
    }
}

fn lowering(words: &Words<'_>, lowering: &LoweringFirst) -> Markup {
    html! {
        p {
            b { "The way down before: " }
            "the winch holds back up to " (words.force(lowering.greatest_hold))
            @if let Some(time) = lowering.running { ", " (minutes(time)) " by the winch" }
            @if let Some(position) = lowering.does_not_run_at { "; the litter doesn't run down by itself " (words.at(position)) " and nearer: pull it there" }
            @if !lowering.problem.is_empty() { "; " (one_system(&lowering.problem, words.units)) }
            "."
        }
    }
}

fn belay(words: &Words<'_>, ways: &[BelayWay]) -> Markup {
    let each = |of: &dyn Fn(&BelayWay) -> String| ways.iter().map(of).collect::<Vec<_>>();
    let table = Beside {
        label: "ways to belay",
        names: ways.iter().map(|way| (way.name.clone(), way.is_the_sites)).collect(),
        rows: vec![
            ("holds the load", each(&|way| if way.holds { "yes" } else { "no" }.to_owned())),
            ("people", each(&|way| people(&way.people))),
            ("slack when it matters", each(&|way| words.length(way.slack))),
            (
                "load runs out",
                each(&|way| way.stopping.map_or("–".to_owned(), |stop| words.length(stop.bound))),
            ),
            (
                "peak in its rope",
                each(&|way| way.peak.map_or("–".to_owned(), |peak| words.force(peak.bound))),
            ),
            ("factor by it", each(&|way| way.factor.map_or("–".to_owned(), factor))),
            ("pull to take it in", each(&|way| words.force(way.to_take_in))),
            ("doesn't cover", each(&|way| one_system(&way.does_not_cover.join("; "), words.units))),
        ],
    };
    table.draw()
}

fn attendants(words: &Words<'_>, ways: &[AttendantWay]) -> Markup {
    let each = |of: &dyn Fn(&AttendantsFound) -> String| {
        ways.iter().map(|way| way.found.as_ref().map_or("–".to_owned(), of)).collect::<Vec<_>>()
    };
    let mut rows = vec![
        ("lowest, where it is to float", each(&|way| words.length(way.least_height.si))),
        ("highest", each(&|way| words.length(way.greatest_height.si))),
        ("strand at the head", each(&|way| words.force(way.greatest_strand_tension.si))),
        ("haul rope", each(&|way| words.force(way.greatest_pull.si))),
        ("their weight on the line", each(&|way| share(way.greatest_share.si))),
        (
            "lifted off their feet",
            each(&|way| match (way.lifted_from, way.lifted_to) {
                (Some(from), Some(to)) => format!("{} to {}", words.at(from), words.at(to)),
                (Some(from), None) => words.over(Some(from)),
                _ => "never".to_owned(),
            }),
        ),
        (
            "if one comes off, it rises",
            each(&|way| way.detaches.as_ref().map_or("–".to_owned(), |one| words.length(one.rise.bound))),
        ),
    ];
    if ways.iter().any(|way| !way.problem.is_empty()) {
        rows.push(("can't be told", ways.iter().map(|way| one_system(&way.problem, words.units)).collect()));
    }
    let planned = if words.study.given.attendants.is_some() { None } else { Some(0) };
    let names = ways.iter().map(|way| (way.name.clone(), Some(way.count) == planned)).collect();
    Beside { label: "attendants", names, rows }.draw()
}

fn systems(words: &Words<'_>, ways: &[SystemWay]) -> Markup {
    use rope_mechanics::operation::alternatives::{SystemFound, SystemKind};
    let each = |of: &dyn Fn(&SystemFound) -> String| {
        ways.iter().map(|way| way.found.as_ref().map_or("–".to_owned(), of)).collect::<Vec<_>>()
    };
    let needs = |of: &dyn Fn(&SystemWay) -> String| ways.iter().map(of).collect::<Vec<_>>();
    let maybe = |force: Option<Force>| force.map_or("–".to_owned(), |force| words.force(force));
    let mut rows = vec![
        ("haul rope pulls", each(&|way| words.force(way.greatest_pull.si))),
        ("winch pulls", each(&|way| words.force(way.greatest_winch_pull.si))),
        ("track tension", each(&|way| maybe(way.greatest_track_tension.map(|at| at.si)))),
        ("its factor", each(&|way| way.track_factor.map_or("–".to_owned(), factor))),
        ("far anchor holds", each(&|way| maybe(way.far_anchor))),
        ("litter, lowest", each(&|way| words.length(way.least_height.si))),
        ("on the ground", each(&|way| share(way.greatest_ground_share.si))),
        (
            "frame",
            each(&|way| match (way.frame_falls_at, way.least_margin) {
                (Some(at), _) => format!("falls, {}", words.at(at)),
                (None, Some(margin)) => format!("{:.1}°", margin.get::<degree>()),
                _ => "nothing tips it".to_owned(),
            }),
        ),
        ("haul rope on the ground", each(&|way| words.over(way.haul_rope_on_ground_at))),
        (
            "track rope needed",
            needs(&|way| {
                format!(
                    "{}{}",
                    words.units.distance_with_unit(way.needs.track_rope),
                    if way.needs.track_rope_is_enough { "" } else { ": too short" }
                )
            }),
        ),
        ("anchors here, far", needs(&|way| format!("{}, {}", way.needs.near_anchors, way.needs.far_anchors))),
        ("people", needs(&|way| way.needs.people.to_string())),
        (
            "after one failure",
            needs(&|way| {
                way.after_failure.as_ref().map_or("not told".to_owned(), |after| {
                    if after.redundant {
                        "another rope holds".to_owned()
                    } else {
                        "nothing of its kind is left".to_owned()
                    }
                })
            }),
        ),
        (
            "then it drops",
            needs(&|way| {
                way.after_failure
                    .as_ref()
                    .and_then(|after| after.drop)
                    .map_or("–".to_owned(), |drop| words.length(drop.bound))
            }),
        ),
        (
            "peak then, factor",
            needs(&|way| {
                let after = way.after_failure.as_ref();
                after
                    .and_then(|after| Some((after.peak?, after.factor?)))
                    .map_or("–".to_owned(), |(peak, by)| {
                        format!("{}, {}", words.force(peak.bound), factor(by))
                    })
            }),
        ),
    ];
    if ways.iter().any(|way| !way.problem.is_empty()) {
        rows.push(("can't be told", ways.iter().map(|way| one_system(&way.problem, words.units)).collect()));
    }
    let names = ways.iter().map(|way| (way.name.clone(), way.kind == SystemKind::Doubled)).collect();
    Beside { label: "systems", names, rows }.draw()
}
