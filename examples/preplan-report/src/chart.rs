//! Curves against the position, as SVG: SI on the left and below, US units on the right and above.

use maud::{Markup, PreEscaped, html};
use std::fmt::Write as _;

/// Width of every drawing, in its own units; the page scales it.
pub(crate) const WIDTH: f64 = 1000.0;
const LEFT: f64 = 78.0;
const RIGHT: f64 = 78.0;
const TOP: f64 = 46.0;
const BOTTOM: f64 = 52.0;

/// An axis: its range, its label, and the same in other units.
pub(crate) struct Axis {
    pub(crate) low: f64,
    pub(crate) high: f64,
    pub(crate) label: &'static str,
    /// The other unit: how many of the first make one of it, and its label.
    pub(crate) other: Option<(f64, &'static str)>,
}

/// What a curve looks like; the page's style sheet knows the class.
pub(crate) struct Curve<'a> {
    pub(crate) class: &'static str,
    pub(crate) name: &'static str,
    pub(crate) points: &'a [(f64, f64)],
}

/// A horizontal line across the chart.
pub(crate) struct HorizontalLine {
    pub(crate) at: f64,
    pub(crate) name: String,
    /// "limit" for what must not be passed, "divide" for what only divides two kinds.
    pub(crate) class: &'static str,
}

impl HorizontalLine {
    pub(crate) fn limit(at: f64, name: String) -> Self {
        Self { at, name, class: "limit" }
    }
}

/// What lies between two curves.
pub(crate) struct Band<'a> {
    pub(crate) name: &'static str,
    pub(crate) low: &'a [(f64, f64)],
    pub(crate) high: &'a [(f64, f64)],
}

/// A chart with its curves.
pub(crate) struct Chart<'a> {
    pub(crate) title: &'static str,
    pub(crate) x: Axis,
    pub(crate) y: Axis,
    pub(crate) height: f64,
    /// Filled behind the curves.
    pub(crate) band: Option<Band<'a>>,
    pub(crate) curves: Vec<Curve<'a>>,
    pub(crate) line: Option<HorizontalLine>,
}

/// Round steps that cut the range into about `count` parts: 1, 2 or 5 times a power of ten.
pub(crate) fn step(range: f64, count: f64) -> f64 {
    let raw = (range / count).max(f64::MIN_POSITIVE);
    let power = 10f64.powf(raw.log10().floor());
    let lead = raw / power;
    power
        * if lead <= 1.0 {
            1.0
        } else if lead <= 2.0 {
            2.0
        } else if lead <= 5.0 {
            5.0
        } else {
            10.0
        }
}

/// The round values of the range, each with its text.
pub(crate) fn ticks(low: f64, high: f64, count: f64) -> Vec<(f64, String)> {
    let step = step(high - low, count);
    let decimals = (-step.log10().floor()).clamp(0.0, 6.0) as usize;
    let first = (low / step - 1e-9).ceil() as i64;
    let last = (high / step + 1e-9).floor() as i64;
    (first..=last)
        .map(|i| {
            let value = i as f64 * step;
            (value, format!("{:.*}", decimals, if i == 0 { 0.0 } else { value }))
        })
        .collect()
}

/// A range that begins at zero or below and leaves a little room above.
pub(crate) fn range_of(values: impl Iterator<Item = f64>) -> (f64, f64) {
    let (low, high) = values.fold((0.0_f64, 0.0_f64), |(low, high), v| (low.min(v), high.max(v)));
    let high = if high > low { high } else { low + 1.0 };
    let step = step(high - low, 5.0);
    ((low / step).floor() * step, ((high * 1.02) / step).ceil() * step)
}

impl Chart<'_> {
    fn sx(&self, x: f64) -> f64 {
        LEFT + (x - self.x.low) / (self.x.high - self.x.low) * (WIDTH - LEFT - RIGHT)
    }

    fn sy(&self, y: f64) -> f64 {
        let bottom = self.height - BOTTOM;
        bottom - (y - self.y.low) / (self.y.high - self.y.low) * (bottom - TOP)
    }

    fn path(&self, points: impl Iterator<Item = (f64, f64)>) -> String {
        let mut path = String::new();
        for (i, (x, y)) in points.enumerate() {
            let _ = write!(path, "{}{:.1} {:.1}", if i == 0 { "M" } else { "L" }, self.sx(x), self.sy(y));
        }
        path
    }

    pub(crate) fn draw(&self) -> Markup {
        let (left, right, top, bottom) = (LEFT, WIDTH - RIGHT, TOP, self.height - BOTTOM);
        let across = |at: f64| (at >= self.y.low && at <= self.y.high).then(|| self.sy(at));
        html! {
            figure class="chart" {
                figcaption {
                    strong { (self.title) }
                    @if let Some(band) = &self.band { span class="key band" { (band.name) } }
                    @for curve in &self.curves { span class={ "key " (curve.class) } { (curve.name) } }
                    @if let Some(line) = &self.line { span class={ "key " (line.class) } { (line.name) } }
                }
                svg viewBox=(format!("0 0 {WIDTH} {}", self.height)) role="img" aria-label=(self.title) {
                    @for (value, text) in ticks(self.y.low, self.y.high, 5.0) {
                        line class="grid" x1=(left) x2=(right) y1=(fix(self.sy(value))) y2=(fix(self.sy(value))) {}
                        text class="tick end" x=(left - 8.0) y=(fix(self.sy(value) + 5.0)) { (text) }
                    }
                    @for (value, text) in ticks(self.x.low, self.x.high, 10.0) {
                        line class="grid" x1=(fix(self.sx(value))) x2=(fix(self.sx(value))) y1=(top) y2=(bottom) {}
                        text class="tick middle" x=(fix(self.sx(value))) y=(bottom + 19.0) { (text) }
                    }
                    @if let Some((size, label)) = self.y.other {
                        @for (value, text) in ticks(self.y.low / size, self.y.high / size, 5.0) {
                            line class="frame" x1=(right) x2=(right + 5.0) y1=(fix(self.sy(value * size))) y2=(fix(self.sy(value * size))) {}
                            text class="tick" x=(right + 8.0) y=(fix(self.sy(value * size) + 5.0)) { (text) }
                        }
                        text class="unit end" x=(WIDTH - 4.0) y="18" { (label) }
                    }
                    @if let Some((size, label)) = self.x.other {
                        @for (value, text) in ticks(self.x.low / size, self.x.high / size, 10.0) {
                            line class="frame" x1=(fix(self.sx(value * size))) x2=(fix(self.sx(value * size))) y1=(top - 5.0) y2=(top) {}
                            text class="tick middle" x=(fix(self.sx(value * size))) y=(top - 9.0) { (text) }
                        }
                        text class="unit middle" x=(fix((left + right) / 2.0)) y="15" { (label) }
                    }
                    text class="unit" x="4" y="18" { (self.y.label) }
                    text class="unit middle" x=(fix((left + right) / 2.0)) y=(self.height - 10.0) { (self.x.label) }
                    rect class="frame" x=(left) y=(top) width=(right - left) height=(bottom - top) {}
                    @if let Some(band) = &self.band {
                        path class="band" d=(self.path(band.low.iter().copied().chain(band.high.iter().rev().copied())) + "Z") {}
                    }
                    @if let Some(line) = &self.line {
                        @if let Some(y) = across(line.at) {
                            line class=(line.class) x1=(left) x2=(right) y1=(fix(y)) y2=(fix(y)) {}
                        }
                    }
                    @for curve in &self.curves {
                        path class={ "curve " (curve.class) } d=(self.path(curve.points.iter().copied())) {}
                    }
                }
            }
        }
    }
}

/// A coordinate, to a tenth.
pub(crate) fn fix(value: f64) -> PreEscaped<String> {
    PreEscaped(format!("{value:.1}"))
}
