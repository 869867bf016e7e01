//! Battery and motor over the whole job as planned, against time.

use crate::chart::{Axis, Chart, Curve, Stroke};
use crate::one_system::one_system;
use crate::units::Units;
use maud::{Markup, html};
use rope_mechanics::operation::alternatives::{Course, Doing, HaulWays, Moment};
use rope_mechanics::quantity::unit::{minute, percent, volt};
use rope_mechanics::quantity::{Ratio, Time};

fn chart(
    course: &Course,
    title: &str,
    y: Axis,
    curves: Vec<Curve>,
    lines: Vec<(Stroke, f64, String)>,
) -> Chart {
    let last = course.moments.last().map_or(0.0, minutes);
    Chart {
        title: title.to_owned(),
        across: "since the start",
        x: Axis { low: 0.0, high: last.max(1.0), unit: "min", other: None },
        y,
        bands: Vec::new(),
        curves,
        lines,
        follows: false,
    }
}

fn minutes(moment: &Moment) -> f64 {
    moment.time.get::<minute>()
}

fn curve(stroke: Stroke, name: &str, course: &Course, of: impl Fn(&Moment) -> Option<f64>) -> Curve {
    let points = course.moments.iter().filter_map(|moment| Some((minutes(moment), of(moment)?))).collect();
    Curve { stroke, name: name.to_owned(), points }
}

/// What holds from one moment to the next, as steps.
fn steps(name: &str, course: &Course, of: impl Fn(&Moment) -> f64) -> Curve {
    let pairs = course.moments.windows(2).filter_map(|pair| Some((pair.first()?, pair.get(1)?)));
    let points = pairs.flat_map(|(a, b)| [(minutes(a), of(b)), (minutes(b), of(b))]).collect();
    Curve { stroke: Stroke::Solid, name: name.to_owned(), points }
}

fn voltage(course: &Course) -> Chart {
    let curve = steps("voltage", course, |moment| moment.voltage.get::<volt>());
    let (low, high) =
        curve.points.iter().fold((f64::INFINITY, 0.0_f64), |(low, high), p| (low.min(p.1), high.max(p.1)));
    // From the whole volt below: what it sags by is seen, not that there is one.
    let y = Axis { low: low.floor().min(high.floor()), high: high.floor() + 1.0, unit: "V", other: None };
    chart(course, "Voltage at the winch", y, vec![curve], Vec::new())
}

fn heat(course: &Course, assumed: bool) -> Chart {
    let share = |ratio: Ratio| ratio.get::<percent>();
    let mut curves =
        vec![curve(Stroke::Solid, "expected", course, |moment| Some(share(moment.heat?.expected)))];
    if assumed {
        curves.push(curve(Stroke::Dashed, "at most", course, |moment| Some(share(moment.heat?.bound))));
    }
    let values = curves.iter().flat_map(|curve| &curve.points).map(|p| p.1).chain([100.0]);
    let y = Axis::over(values, "%", None);
    let limit = (Stroke::Limit, 100.0, "what it bears".to_owned());
    chart(course, "Heat of the winch's motor, share of the rise that it bears", y, curves, vec![limit])
}

/// How long the winch does one thing.
fn spent(course: &Course, doing: Doing) -> Time {
    let pairs = course.moments.windows(2).filter_map(|pair| Some((pair.first()?, pair.get(1)?)));
    pairs.filter(|(_, b)| b.doing == doing).fold(Time::default(), |sum, (a, b)| sum + (b.time - a.time))
}

pub(super) fn draw(ways: &HaulWays, course: &Course, units: Units) -> Markup {
    let parts: Vec<String> = [
        (Doing::Lowers, "lowers the empty litter"),
        (Doing::Hauls, "hauls"),
        (Doing::Waits, "waits for resets"),
        (Doing::Cools, "cools its motor"),
    ]
    .into_iter()
    .map(|(doing, words)| (spent(course, doing).get::<minute>(), words))
    .filter(|(time, _)| *time > 0.0)
    .map(|(time, words)| format!("{words} {time:.0} min"))
    .collect();
    let (assumed, known) = (ways.motor_is_assumed, course.moments.iter().any(|moment| moment.heat.is_some()));
    let charge = curve(Stroke::Solid, "charge left", course, |moment| Some(moment.charge.get::<percent>()));
    let whole = Axis { low: 0.0, high: 100.0, unit: "%", other: None };
    html! {
        p { "The winch " (parts.join(", ")) "." @if !course.stopped_by.is_empty() { " " b { "It doesn't finish: " (one_system(&course.stopped_by, units)) "." } } }
        p class="hint" {
            "From a full battery and a cold motor, at the pulls that are expected: 15 % more pull takes more. Against time no curve has a band; the charge has one by place, with the other curves, if the site file asks for it ([doubt]). "
            @if !course.with_way_down { "The way down isn't in it: a winch known by its table says nothing about lowering. " }
            @if known && assumed { "The site file doesn't say what the motor bears: it is assumed, and no rest is counted." }
            @if known && !assumed { "At its limit the motor rests until it has cooled to half of it." }
            @if !known { "What the motor bears isn't known." }
        }
        div class="charts" {
            (chart(course, "Charge of the battery", whole, vec![charge], Vec::new()).draw())
            (voltage(course).draw())
            @if known { (heat(course, assumed).draw()) }
        }
    }
}
