//! The page: one self-contained HTML file that prints on A4 and Letter.

use crate::chart::{Axis, Band, Chart, Curve, HorizontalLine, range_of};
use crate::side_view::{self, feet};
use maud::{DOCTYPE, Markup, PreEscaped, html};
use rope_mechanics::operation::study::{LineClass, Position, Study};
use rope_mechanics::quantity::Mark;
use rope_mechanics::quantity::unit::{
    ampere, degree, foot, foot_per_second, kilojoule, kilonewton, meter, meter_per_second, minute, percent,
    pound_force,
};
use rope_mechanics::quantity::{Force, Length, Velocity};
use rope_mechanics::text;

fn kn_lbf(force: Force) -> String {
    format!("{:.2} kN ({:.0} lbf)", force.get::<kilonewton>(), force.get::<pound_force>())
}

fn m_ft(length: Length) -> String {
    format!("{:.1} m ({:.0} ft)", length.get::<meter>(), length.get::<foot>())
}

/// A height that matters to the hand's breadth.
fn height(length: Length) -> String {
    format!("{:.2} m ({:.1} ft)", length.get::<meter>(), length.get::<foot>())
}

fn place(study: &Study, position: usize) -> String {
    study
        .positions
        .get(position)
        .map_or_else(String::new, |p| format!("{} out from the head", m_ft(p.carriage.x - study.head.x)))
}

fn when(study: &Study, position: Option<usize>) -> String {
    position.map_or_else(|| "while the track rope is tensioned".to_owned(), |position| place(study, position))
}

/// A factor; beyond 99 it says no more.
fn factor(factor: f64) -> String {
    if factor > 99.0 { "> 99".to_owned() } else { format!("{factor:.1}") }
}

/// The answers in brief: question and answer, as the page and the terminal have them.
pub(crate) fn answers(study: &Study) -> Vec<(&'static str, String)> {
    let s = &study.summary;
    let reach = &s.reach;
    let spare = if reach.spare.value >= 0.0 {
        format!("yes, with {} to spare", m_ft(reach.spare))
    } else {
        format!("NO: {} too short", m_ft(-reach.spare))
    };
    let governing = match &s.governing {
        None => "no part has a rated strength in the site file".to_owned(),
        Some(g) => format!(
            "{} : 1 at the {}, {} ({})",
            factor(g.factor),
            study.components.get(g.component).map_or("", |c| c.name.as_str()),
            when(study, g.position),
            kn_lbf(g.force)
        ),
    };
    let worst = study.positions.get(s.greatest_reading.position);
    let straight = match s.straight_pull_fails_at {
        None => "a straight pull stays inside the winch's rated pull all the way".to_owned(),
        Some(0) => "a straight pull is too much for the winch from the start: use the tackle".to_owned(),
        Some(position) => format!("change from a straight pull before {}", place(study, position)),
    };
    let haul = &s.haul;
    let lost = &s.track_lost;
    let frame = match &s.least_margin {
        Some(least) => format!(
            "stands; nearest to tipping over {}, {}: {:.1}° away",
            least.over,
            when(study, least.position),
            least.margin.get::<degree>()
        ),
        None if study.unloaded.frame.is_none() || study.positions.iter().any(|p| p.frame.is_none()) => {
            "it FALLS: see the warnings".to_owned()
        }
        None => "stands, and nothing in its plane tips it".to_owned(),
    };
    let covered = match (study.positions.first(), study.positions.last()) {
        (Some(first), Some(last)) => {
            let out = |p: &Position| m_ft(p.carriage.x - study.head.x);
            format!("the load from {} to {} out from the head", out(first), out(last))
        }
        _ => String::new(),
    };
    let farthest = &s.track_lost_farthest;
    let mut list = vec![
        ("What is covered", covered),
        ("Does the rope reach", spare),
        (
            "Load cell to tension to",
            format!(
                "{} while the capstan turns; at rest it may settle between {} and {}",
                kn_lbf(study.unloaded.reading_while_tensioning),
                kn_lbf(study.unloaded.reading.low),
                kn_lbf(study.unloaded.reading.high)
            ),
        ),
        (
            "Greatest load-cell reading",
            worst.map_or_else(String::new, |p| {
                format!(
                    "{} expected, {} to {} with friction, {}",
                    kn_lbf(p.reading.expected),
                    kn_lbf(p.reading.low),
                    kn_lbf(p.reading.high),
                    place(study, s.greatest_reading.position)
                )
            }),
        ),
        (
            "Height of the litter",
            format!(
                "least where it is to float {}, {}, up or down; greatest {}, {}",
                height(s.least_litter_height.si),
                place(study, s.least_litter_height.position),
                height(s.greatest_litter_height.si),
                place(study, s.greatest_litter_height.position)
            ),
        ),
        (
            "Greatest pull at the winch",
            format!(
                "{}, {}; {straight}",
                kn_lbf(s.greatest_winch_pull.si),
                place(study, s.greatest_winch_pull.position)
            ),
        ),
        ("Greatest current", format!("{:.0} A", s.greatest_current.si.get::<ampere>())),
        (
            "The haul",
            format!(
                "{:.1} min of running, {:.0} kJ; {}{}",
                haul.time.get::<minute>(),
                haul.energy.get::<kilojoule>(),
                match haul.stopped_at {
                    None => format!("{:.0} % is left in the battery", haul.charge_left.get::<percent>()),
                    Some(_) => format!("it does NOT finish: {}", haul.stopped_by),
                },
                if haul.settings > 1 {
                    format!(", {} settings of the tackle", haul.settings)
                } else {
                    String::new()
                }
            ),
        ),
        ("Least safety factor", governing),
        ("The frame", frame),
        (
            "Friction that its feet need",
            format!(
                "{}, in the order of the feet, unless they are tied together",
                s.foot_friction.iter().map(|mu| format!("{:.2}", mu.value)).collect::<Vec<_>>().join(", ")
            ),
        ),
        (
            "Kind of line",
            format!(
                "{}: the angle at the carriage is {:.0}° to {:.0}°",
                match s.line_class {
                    LineClass::Tracking => "a tracking line",
                    LineClass::Highline => "a highline",
                    _ => "a tracking line in part, a highline where it is 120° or more",
                },
                s.least_interior_angle.si.get::<degree>(),
                s.greatest_interior_angle.si.get::<degree>()
            ),
        ),
        (
            "Tail of the capstan",
            format!(
                "at least {} to hold at the greatest tension; the weakest hand measured held {} on a moving rope",
                kn_lbf(s.capstan_tail),
                kn_lbf(s.hand)
            ),
        ),
        (
            "If the track rope lets go",
            format!(
                "no second strand is left. Hardest on the haul rope {}: the litter drops {}, then {}; {} when still, at most {} at the peak (factor {}). Farthest fall {}: {}, at up to {}",
                place(study, lost.position),
                height(lost.drop),
                if lost.lands { "lies on the ground" } else { "hangs on the haul rope" },
                kn_lbf(lost.still_pull),
                kn_lbf(lost.peak_bound),
                factor(lost.factor),
                place(study, farthest.position),
                height(farthest.drop),
                speed(farthest.speed)
            ),
        ),
    ];
    list.push((
        "If the haul rope lets go",
        match &s.haul_lost {
            None => "no belay rope is in the site file".to_owned(),
            Some(lost) => format!(
                "at worst {}: the load runs out {} on the track before the belay rope stops it with up to {}; factor {}",
                place(study, lost.position),
                m_ft(lost.travel),
                kn_lbf(lost.peak),
                factor(lost.factor)
            ),
        },
    ));
    list
}

fn speed(speed: Velocity) -> String {
    format!("{:.1} m/s ({:.0} ft/s)", speed.get::<meter_per_second>(), speed.get::<foot_per_second>())
}

fn mark(mark: Mark) -> String {
    match mark {
        Mark::Read(source) => format!("read in {source}"),
        Mark::CommonPractice => "common practice, no source".to_owned(),
        Mark::Memory => "from memory".to_owned(),
        Mark::Given => "given".to_owned(),
        Mark::Choice => "a choice of this study".to_owned(),
        other => format!("{other:?}"),
    }
}

fn series(study: &Study, value: impl Fn(&Position) -> f64) -> Vec<(f64, f64)> {
    study.positions.iter().map(|p| ((p.carriage.x - study.head.x).get::<meter>(), value(p))).collect()
}

fn x_axis(study: &Study) -> Axis {
    Axis {
        low: 0.0,
        high: (study.far.x - study.head.x).get::<meter>(),
        label: "horizontal distance of the load from the head, m   (the load travels from right to left)",
        other: Some((feet(1.0), "horizontal distance of the load from the head, ft")),
    }
}

fn y_axis(
    curves: &[&[(f64, f64)]],
    limit: Option<f64>,
    label: &'static str,
    other: Option<(f64, &'static str)>,
) -> Axis {
    let (low, high) = range_of(curves.iter().flat_map(|c| c.iter().map(|p| p.1)).chain(limit));
    Axis { low, high, label, other }
}

fn charts(study: &Study) -> Markup {
    let kn = |f: Force| f.get::<kilonewton>();
    let low = series(study, |p| kn(p.reading.low));
    let expected = series(study, |p| kn(p.reading.expected));
    let high = series(study, |p| kn(p.reading.high));
    let litter = series(study, |p| p.litter_height.get::<meter>());
    let carriage = series(study, |p| p.carriage_height.get::<meter>());
    let lowest = series(study, |p| p.least_litter_height().get::<meter>());
    let angle = series(study, |p| p.interior_angle.get::<degree>());
    let haul = series(study, |p| kn(p.haul_pull));
    let winch = series(study, |p| kn(p.winch_pull));
    let straight = series(study, |p| kn(p.straight_pull));
    let current = series(study, |p| p.current.get::<ampere>());
    let charge: Vec<_> = study
        .positions
        .iter()
        .filter_map(|p| {
            Some(((p.carriage.x - study.head.x).get::<meter>(), p.battery_charge?.get::<percent>()))
        })
        .collect();
    let share = series(study, |p| p.ground_share.get::<percent>());
    let force = Some((Force::new::<pound_force>(1.0).get::<kilonewton>(), "lbf"));
    let limits = &study.limits;
    let reading_limit = limits.reading.map(kn);
    let litter_limit = limits.litter_height.get::<meter>();
    let pull_limit = kn(limits.winch_pull);
    let current_limit = limits.current.map(|i| i.get::<ampere>());
    // A limit far above the curves would flatten them; it is named in the key all the same.
    let near = |limit: f64, of: &[(f64, f64)]| of.iter().any(|p| p.1 > 0.3 * limit).then_some(limit);
    let mut pulls = vec![
        Curve { class: "a", name: "haul rope at the carriage", points: &haul },
        Curve { class: "b", name: "at the winch", points: &winch },
    ];
    if straight.iter().zip(&winch).any(|(s, w)| (s.1 - w.1).abs() > 1e-9) {
        pulls.push(Curve { class: "c", name: "at the winch without the tackle", points: &straight });
    }
    html! {
        (Chart {
            title: "Load-cell reading",
            x: x_axis(study),
            y: y_axis(&[&high], reading_limit, "kN", force),
            height: 330.0,
            band: Some(Band { name: "band that friction leaves at rest", low: &low, high: &high }),
            curves: vec![Curve { class: "a", name: "expected", points: &expected }],
            line: limits.reading.map(|f| HorizontalLine::limit(kn(f), format!("limit {}", kn_lbf(f)))),
        }.draw())
        (Chart {
            title: "Height above the ground",
            x: x_axis(study),
            y: y_axis(&[&litter, &carriage], Some(litter_limit), "m", Some((feet(1.0), "ft"))),
            height: 330.0,
            band: None,
            curves: vec![
                Curve { class: "a", name: "litter's underside, hauled", points: &litter },
                Curve { class: "c", name: "the same at its lowest, lowered", points: &lowest },
                Curve { class: "b", name: "carriage", points: &carriage },
            ],
            line: Some(HorizontalLine::limit(litter_limit, format!("most for the litter {}", height(limits.litter_height)))),
        }.draw())
        (Chart {
            title: "Angle between the two parts of the track line at the carriage",
            x: x_axis(study),
            y: y_axis(&[&angle], Some(120.0), "°", None),
            height: 230.0,
            band: None,
            curves: vec![Curve { class: "a", name: "angle", points: &angle }],
            line: Some(HorizontalLine { at: 120.0, name: "120°: from here on it counts as a highline".to_owned(), class: "divide" }),
        }.draw())
        (Chart {
            title: "Pull",
            x: x_axis(study),
            y: y_axis(&[&haul, &winch, &straight], near(pull_limit, &straight), "kN", force),
            height: 330.0,
            band: None,
            curves: pulls,
            line: Some(HorizontalLine::limit(pull_limit, format!("winch rated {}", kn_lbf(limits.winch_pull)))),
        }.draw())
        (Chart {
            title: "Winch current",
            x: x_axis(study),
            y: y_axis(&[&current], current_limit, "A", None),
            height: 270.0,
            band: None,
            curves: vec![Curve { class: "a", name: "current", points: &current }],
            line: limits.current.map(|i| HorizontalLine::limit(i.get::<ampere>(), format!("limit {:.0} A", i.get::<ampere>()))),
        }.draw())
        (Chart {
            title: "State of charge of the winch's battery",
            x: x_axis(study),
            y: Axis { low: 0.0, high: 100.0, label: "%", other: None },
            height: 230.0,
            band: None,
            curves: vec![Curve { class: "a", name: "charge left", points: &charge }],
            line: None,
        }.draw())
        @if share.iter().any(|p| p.1 > 0.0) {
            (Chart {
                title: "Share of the weight that the ground carries",
                x: x_axis(study),
                y: Axis { low: 0.0, high: 100.0, label: "%", other: None },
                height: 230.0,
                band: None,
                curves: vec![Curve { class: "a", name: "on the ground", points: &share }],
                line: None,
            }.draw())
        }
    }
}

/// A force as two cells: kN and lbf.
fn cells(force: Force) -> Markup {
    html! { td { (format!("{:.2}", force.get::<kilonewton>())) } td { (format!("{:.0}", force.get::<pound_force>())) } }
}

fn position_tables(study: &Study) -> Markup {
    let last = study.positions.len().saturating_sub(1);
    let rows: Vec<&Position> = (0..=10).filter_map(|i| study.positions.get((last * i + 5) / 10)).collect();
    html! {
        section class="whole" {
        h2 { "The load on its way" }
        div class="wide" { table {
            thead {
                tr {
                    th colspan="2" { "out from head" } th colspan="2" { "litter height" } th colspan="2" { "strand at head" }
                    th colspan="2" { "strand at far end" } th colspan="2" { "load cell" } th colspan="2" { "haul rope" }
                    th colspan="2" { "winch" } th { "current" } th { "angle" }
                }
                tr {
                    @for unit in ["m", "ft", "m", "ft", "kN", "lbf", "kN", "lbf", "kN", "lbf", "kN", "lbf", "kN", "lbf", "A", "deg"] {
                        th { (unit) }
                    }
                }
            }
            tbody {
                @for p in &rows {
                    @let out = p.carriage.x - study.head.x;
                    tr {
                        td { (format!("{:.1}", out.get::<meter>())) } td { (format!("{:.0}", out.get::<foot>())) }
                        td { (format!("{:.2}", p.litter_height.get::<meter>())) } td { (format!("{:.1}", p.litter_height.get::<foot>())) }
                        (cells(p.strand_tension_head)) (cells(p.strand_tension_far)) (cells(p.reading.expected))
                        (cells(p.haul_pull)) (cells(p.winch_pull))
                        td { (format!("{:.0}", p.current.get::<ampere>())) }
                        td { (format!("{:.0}", p.interior_angle.get::<degree>())) @if p.flat { " *" } }
                    }
                }
            }
        } }
        p class="small" { "Angle: between the two parts of the track line at the carriage. * 120° or more: the line runs flat, as a highline does. Strand and load cell: without friction at the sheaves; the parts' table below has the greatest that friction may leave." }
        }
        section class="whole" {
        h2 { "On the frame" }
        div class="wide" { table {
            thead {
                tr {
                    th colspan="2" { "out from head" } th colspan="2" { "head, outward" } th colspan="2" { "head, left" } th colspan="2" { "head, down" }
                    @for i in 1..=study.feet.len() { th colspan="2" { "leg " (i) } }
                    @for i in 1..=study.guys.len() { th colspan="2" { "guy " (i) } }
                    th { "margin" }
                }
                tr {
                    th { "m" } th { "ft" }
                    @for _ in 0..(3 + study.feet.len() + study.guys.len()) { th { "kN" } th { "lbf" } }
                    th { "deg" }
                }
            }
            tbody {
                @for p in &rows {
                    @let out = p.carriage.x - study.head.x;
                    tr {
                        td { (format!("{:.1}", out.get::<meter>())) } td { (format!("{:.0}", out.get::<foot>())) }
                        (cells(p.head_force.x)) (cells(p.head_force.y)) (cells(-p.head_force.z))
                        @match &p.frame {
                            Some(frame) => { @for force in frame.legs.iter().chain(&frame.guys) { (cells(*force)) } }
                            None => { td colspan=(2 * (study.feet.len() + study.guys.len())) { "falls" } }
                        }
                        td { @if let Some(frame) = &p.frame { (format!("{:.1}", frame.margin.get::<degree>())) } }
                    }
                }
            }
        } }
        p class="small" { "Legs in the order of the site file, in compression; guys in tension: each the greatest that friction at the track rope's sheaves may leave. Outward is away from the frame over the slope, left as seen by somebody who looks out. Margin: how far the resultant is from tipping the frame. The force on the head is without friction." }
        }
    }
}

fn component_table(study: &Study) -> Markup {
    // The greatest force on each part, and where.
    let mut rows: Vec<_> = study
        .components
        .iter()
        .enumerate()
        .map(|(i, component)| {
            let loaded = study.positions.iter().enumerate().map(|(at, p)| (Some(at), &p.forces));
            let worst = std::iter::once((None, &study.unloaded.forces))
                .chain(loaded)
                .filter_map(|(at, forces)| forces.get(i).map(|f| (*f, at)))
                .max_by(|a, b| a.0.value.total_cmp(&b.0.value))
                .unwrap_or_default();
            let by = component.strength.filter(|_| worst.0.value > 0.0).map(|s| s.value / worst.0.value);
            (i, component, worst, by)
        })
        .collect();
    rows.sort_by(|a, b| a.3.unwrap_or(f64::INFINITY).total_cmp(&b.3.unwrap_or(f64::INFINITY)));
    let governing = study.summary.governing.as_ref().map(|g| g.component);
    html! {
        h2 { "Greatest force on each part" }
        table {
            thead {
                tr { th rowspan="2" class="words" { "part" } th colspan="2" { "greatest force" } th colspan="2" { "load out from head" } th colspan="2" { "strength" } th rowspan="2" { "factor" } }
                tr { th { "kN" } th { "lbf" } th { "m" } th { "ft" } th { "kN" } th { "lbf" } }
            }
            tbody {
                @for (i, component, (force, at), by) in rows {
                    @let low = by.is_some_and(|f| f < study.limits.factor);
                    tr class=(if governing == Some(i) { "governing" } else if low { "low" } else { "" }) {
                        td class="words" {
                            (component.name)
                            @if governing == Some(i) { b { " — governs" } }
                            @if !component.basis.is_empty() { span class="small" { " (" (component.basis) ")" } }
                        }
                        (cells(force))
                        @if let Some(p) = at.and_then(|at| study.positions.get(at)) {
                            @let out = p.carriage.x - study.head.x;
                            td { (format!("{:.1}", out.get::<meter>())) } td { (format!("{:.0}", out.get::<foot>())) }
                        } @else {
                            td colspan="2" { "tensioning" }
                        }
                        @match component.strength {
                            Some(strength) => { (cells(strength)) }
                            None => { td colspan="2" { "not rated" } }
                        }
                        td { @match by { Some(f) => { (factor(f)) } None => { "–" } } }
                    }
                }
            }
        }
    }
}

/// The whole page.
pub(crate) fn page(study: &Study) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (study.title) }
                style { (PreEscaped(include_str!("../style.css"))) }
            }
            body {
                header {
                    p class="kind" { "Preplan report: a litter on a doubled track rope" }
                    h1 { (study.title) }
                    @if !study.notes.is_empty() { p { (study.notes) } }
                }
                section class="cautions" {
                    h2 { "Before you use this" }
                    ul { @for caution in &study.cautions { li { (caution) } } }
                }
                section {
                    @if study.warnings.is_empty() {
                        p { "No limit of the site file is passed." }
                    } @else {
                        h2 class="stop" { "Warnings" }
                        ul class="warnings" { @for warning in &study.warnings { li { (warning.text) } } }
                    }
                    h2 { "In brief" }
                    table class="brief" { tbody {
                        @for (question, answer) in answers(study) { tr { th scope="row" { (question) } td { (answer) } } }
                    } }
                }
                section { (side_view::draw(study)) }
                section { h2 { "Against the position of the load" } (charts(study)) }
                (position_tables(study))
                section { (component_table(study)) }
                section {
                    h2 { "What this rests on" }
                    table { thead { tr { th class="words" { "assumption" } th class="words" { "mark" } th class="words" { "key in the site file" } } } tbody {
                        @for a in &study.assumptions {
                            tr { td class="words" { (a.text) } td class="words" { (mark(a.mark)) } td class="words" { code { (a.key) } } }
                        }
                    } }
                    ul class="small" { @for text in &study.simplifications { li { (text) } } }
                    p class="small" {
                        "Every equilibrium was put back into its equations: largest error "
                        (format!("{:.0e}", study.positions.iter().map(|p| p.residual).fold(0.0, f64::max)))
                        " of the largest term. rope-mechanics " (study.version) ". Spare rope counts knots, tails, wraps and the ways behind the frame: "
                        (text::both(study.summary.reach.used_at_the_apparatus)) "."
                    }
                }
            }
        }
    }
}
