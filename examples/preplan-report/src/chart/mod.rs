//! Curves against the position of the load, or against time: one small charting module.
//!
//! The plot is SVG that stretches with the page; every text stands beside it as HTML, at the page's own size, so that
//! a phone shows the same words as a sheet of paper. The crew's units are on the left and below, the other system's
//! on the right and above.

pub(crate) mod axis;
pub(crate) mod labels;

use axis::{Tick, range_of, ticks};
use maud::{Markup, html};
use std::fmt::Write as _;

/// The plot's own units: shares of its width and height, in thousandths.
const SIZE: f64 = 1000.0;
/// The most parts that an axis is cut into: so many that the labels of the narrowest page have room.
const ACROSS: usize = 5;
const UP: usize = 5;

/// An axis: its range, what it shows, and the same in other units.
#[derive(Debug, Clone)]
pub(crate) struct Axis {
    pub(crate) low: f64,
    pub(crate) high: f64,
    pub(crate) unit: &'static str,
    /// How many of the unit make one of the other, and its name.
    pub(crate) other: Option<(f64, &'static str)>,
}

impl Axis {
    /// From zero to above all values.
    pub(crate) fn over(
        values: impl Iterator<Item = f64>,
        unit: &'static str,
        other: Option<(f64, &'static str)>,
    ) -> Self {
        let (low, high) = range_of(values);
        Self { low, high, unit, other }
    }

    /// Where a value stands, as a share of the axis.
    pub(crate) fn share(&self, value: f64) -> f64 {
        (value - self.low) / (self.high - self.low)
    }

    fn ticks(&self, most: usize) -> Vec<(f64, Tick)> {
        ticks(self.low, self.high, most).into_iter().map(|tick| (self.share(tick.value), tick)).collect()
    }

    fn other_ticks(&self, most: usize) -> Vec<(f64, Tick)> {
        let Some((size, _)) = self.other else { return Vec::new() };
        ticks(self.low / size, self.high / size, most)
            .into_iter()
            .map(|tick| (self.share(tick.value * size), tick))
            .collect()
    }
}

/// How a curve is drawn. Each differs from the others in black and white, too.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Stroke {
    Solid,
    Dashed,
    Dotted,
    /// What must not be passed.
    Limit,
    /// What only divides two kinds.
    Divide,
}

impl Stroke {
    fn class(self) -> &'static str {
        match self {
            Self::Solid => "a",
            Self::Dashed => "b",
            Self::Dotted => "c",
            Self::Limit => "limit",
            Self::Divide => "divide",
        }
    }
}

/// A curve and what it is.
#[derive(Debug)]
pub(crate) struct Curve {
    pub(crate) stroke: Stroke,
    pub(crate) name: String,
    pub(crate) points: Vec<(f64, f64)>,
}

/// What lies between two curves.
#[derive(Debug)]
pub(crate) struct Band {
    /// Empty for one more piece of the band before.
    pub(crate) name: String,
    pub(crate) low: Vec<(f64, f64)>,
    pub(crate) high: Vec<(f64, f64)>,
    /// Medians, drawn as thin lines.
    pub(crate) middle: Vec<Vec<(f64, f64)>>,
    /// Drawn as an outline around another.
    pub(crate) wide: bool,
}

/// A chart with its curves.
#[derive(Debug)]
pub(crate) struct Chart {
    pub(crate) title: String,
    /// What the horizontal axis shows, without its unit.
    pub(crate) across: &'static str,
    pub(crate) x: Axis,
    pub(crate) y: Axis,
    /// Filled behind the curves, the widest first.
    pub(crate) bands: Vec<Band>,
    pub(crate) curves: Vec<Curve>,
    /// Horizontal lines: a value and its name.
    pub(crate) lines: Vec<(Stroke, f64, String)>,
    /// Whether the page's slider moves a cursor over it.
    pub(crate) follows: bool,
}

impl Chart {
    /// A band more, for which the axis makes room.
    pub(crate) fn add_band(&mut self, band: Option<Band>) {
        let Some(band) = band else { return };
        let values = band.high.iter().chain(&band.low).map(|p| p.1);
        let (low, high) = range_of(values.chain([self.y.low, self.y.high / 1.02]));
        (self.y.low, self.y.high) = (low.min(self.y.low), high.max(self.y.high));
        self.bands.push(band);
    }

    fn path(&self, points: impl Iterator<Item = (f64, f64)>) -> String {
        let mut path = String::new();
        for (i, (x, y)) in points.enumerate() {
            let (x, y) = (SIZE * self.x.share(x), SIZE * (1.0 - self.y.share(y)));
            let _ = write!(path, "{}{x:.1} {y:.1}", if i == 0 { "M" } else { "L" });
        }
        path
    }

    pub(crate) fn draw(&self) -> Markup {
        let (x, y) = (self.x.ticks(ACROSS), self.y.ticks(UP));
        let (x_other, y_other) = (self.x.other_ticks(ACROSS), self.y.other_ticks(UP));
        html! {
            figure class="chart" {
                figcaption {
                    h3 { (self.title) }
                    @for band in self.bands.iter().filter(|band| !band.name.is_empty()) { span class={ "key band" (wide(band)) } { (band.name) } }
                    @for curve in &self.curves { span class={ "key " (curve.stroke.class()) } { (curve.name) } }
                    @for (stroke, _, name) in &self.lines { span class={ "key " (stroke.class()) } { (name) } }
                }
                div class="axes" aria-hidden="true" {
                    span class="unit left" { (self.y.unit) }
                    @if let Some((_, unit)) = self.x.other { span class="unit over" { (self.across) ", " (unit) } }
                    span class="unit right" { (self.y.other.map_or("", |(_, unit)| unit)) }
                }
                div class="plot" {
                    svg viewBox="0 0 1000 1000" preserveAspectRatio="none" role="img" aria-label=(self.said()) {
                        @for (share, _) in &y { (rule(0.0, 1.0 - share, 1.0, 1.0 - share)) }
                        @for (share, _) in &x { (rule(*share, 0.0, *share, 1.0)) }
                        @for band in &self.bands {
                            path class={ "band" (wide(band)) } d=(self.path(band.low.iter().copied().chain(band.high.iter().rev().copied())) + "Z") {}
                            @for middle in &band.middle { path class="line median" d=(self.path(middle.iter().copied())) {} }
                        }
                        @for (stroke, at, _) in &self.lines {
                            @let share = self.y.share(*at);
                            @if (0.0..=1.0).contains(&share) {
                                path class={ "line " (stroke.class()) } d=(format!("M0 {0:.1}H1000", SIZE * (1.0 - share))) {}
                            }
                        }
                        @for curve in &self.curves {
                            path class={ "curve " (curve.stroke.class()) } d=(self.path(curve.points.iter().copied())) {}
                        }
                    }
                    div aria-hidden="true" {
                        @for (share, tick) in &y { span class="tick left" style=(top(*share)) { (tick.text) } }
                        @for (share, tick) in &y_other { span class="tick right" style=(top(*share)) { (tick.text) } }
                        @for (share, tick) in &x { span class="tick under" style=(left(*share)) { (tick.text) } }
                        @for (share, tick) in &x_other { span class="tick over" style=(left(*share)) { (tick.text) } }
                    }
                    @if self.follows {
                        span class="cursor" hidden data-low=(self.x.low) data-high=(self.x.high) {}
                    }
                }
                div class="axes foot" aria-hidden="true" { span class="unit under" { (self.across) ", " (self.x.unit) } }
            }
        }
    }

    /// The chart in words, for who can't see it: its title, and the ends of its curves.
    fn said(&self) -> String {
        let mut said = self.title.clone();
        for curve in &self.curves {
            let values = curve.points.iter().map(|p| p.1);
            let (least, most) =
                values.fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), v| (lo.min(v), hi.max(v)));
            if least <= most {
                let unit = self.y.unit;
                let _ = write!(said, "; {}: {least:.2} to {most:.2} {unit}", curve.name);
            }
        }
        said
    }
}

fn wide(band: &Band) -> &'static str {
    if band.wide { " wide-band" } else { "" }
}

fn rule(x1: f64, y1: f64, x2: f64, y2: f64) -> Markup {
    let at = |share: f64| format!("{:.1}", SIZE * share);
    html! { line class="grid" x1=(at(x1)) y1=(at(y1)) x2=(at(x2)) y2=(at(y2)) {} }
}

fn top(share: f64) -> String {
    format!("top:{:.2}%", 100.0 * (1.0 - share))
}

fn left(share: f64) -> String {
    format!("left:{:.2}%", 100.0 * share)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chart() -> Chart {
        Chart {
            title: "Reading".to_owned(),
            across: "out from the head",
            x: Axis { low: 0.0, high: 40.0, unit: "m", other: Some((0.3048, "ft")) },
            y: Axis::over([0.4, 1.9].into_iter(), "kN", Some((0.004_448_221_615_260_5, "lbf"))),
            bands: vec![Band {
                name: "band".to_owned(),
                low: vec![(0.0, 0.4), (40.0, 1.0)],
                high: vec![(0.0, 0.6), (40.0, 1.9)],
                middle: Vec::new(),
                wide: false,
            }],
            curves: vec![Curve {
                stroke: Stroke::Solid,
                name: "expected".to_owned(),
                points: vec![(0.0, 0.5), (40.0, 1.5)],
            }],
            lines: vec![(Stroke::Limit, 1.8, "limit".to_owned()), (Stroke::Limit, 2.2, "above".to_owned())],
            follows: true,
        }
    }

    #[test]
    fn all_four_sides_have_their_unit() {
        let drawn = chart().draw().into_string();
        for side in
            ["left\">kN<", "right\">lbf<", "under\">out from the head, m<", "over\">out from the head, ft<"]
        {
            assert!(drawn.contains(side), "no {side} in {drawn}");
        }
    }

    #[test]
    fn the_other_unit_stands_where_the_first_has_the_same_value() {
        let axis = chart().y;
        for (share, tick) in axis.other_ticks(5) {
            let kn = tick.value * 0.004_448_221_615_260_5;
            assert!((share - axis.share(kn)).abs() < 1e-12 && (-1e-9..=1.0 + 1e-9).contains(&share));
        }
    }

    #[test]
    fn what_is_drawn_stands_where_its_value_is() {
        let drawn = chart().draw().into_string();
        for part in [
            // Ticks: 10 of 40 m, 50 ft, 0.5 of 2 kN, 100 lbf.
            "tick under\" style=\"left:25.00%\">10<",
            "tick over\" style=\"left:38.10%\">50<",
            "tick left\" style=\"top:75.00%\">0.5<",
            "tick right\" style=\"top:77.76%\">100<",
            // Their lines, the limit, the band all around.
            "x1=\"0.0\" y1=\"750.0\" x2=\"1000.0\" y2=\"750.0\"",
            "x1=\"250.0\" y1=\"0.0\" x2=\"250.0\" y2=\"1000.0\"",
            "class=\"line limit\" d=\"M0 100.0H1000\"",
            "class=\"band\" d=\"M0.0 800.0L1000.0 500.0L1000.0 50.0L0.0 700.0Z\"",
            // What the page's script moves, hidden from pages without it; and the words for who can't see.
            "class=\"cursor\" hidden data-low=\"0\" data-high=\"40\"",
            "aria-label=\"Reading; expected: 0.50 to 1.50 kN\"",
        ] {
            assert!(drawn.contains(part), "no {part} in {drawn}");
        }
        // Where the last tick is not the end, its lines are not those from the other end.
        let y = Axis { low: 0.0, high: 1.9, unit: "kN", other: None };
        assert!(
            Chart { y, ..chart() }.draw().into_string().contains("y1=\"736.8\" x2=\"1000.0\" y2=\"736.8\"")
        );
        assert!(!Chart { follows: false, ..chart() }.draw().into_string().contains("cursor"));
    }

    #[test]
    fn each_stroke_has_its_own_look() {
        let strokes = [Stroke::Solid, Stroke::Dashed, Stroke::Dotted, Stroke::Limit, Stroke::Divide];
        let looks: std::collections::BTreeSet<_> = strokes.iter().map(|stroke| stroke.class()).collect();
        assert_eq!(looks.len(), strokes.len());
        let band =
            |wide| Band { name: "b".to_owned(), low: Vec::new(), high: Vec::new(), middle: Vec::new(), wide };
        assert_eq!([true, false].map(|is| wide(&band(is))), [" wide-band", ""]);
    }

    #[test]
    fn an_axis_makes_room_for_a_band() {
        let mut chart = chart();
        chart.add_band(Some(Band {
            name: "wide".to_owned(),
            low: vec![(0.0, -0.3), (40.0, 0.1)],
            high: vec![(0.0, 1.0), (40.0, 7.3)],
            middle: vec![vec![(0.0, 0.35), (40.0, 3.7)]],
            wide: true,
        }));
        assert_eq!(chart.draw().into_string().matches("class=\"line median\"").count(), 1);
        assert!(chart.y.low <= -0.3 && chart.y.high >= 7.3 && chart.bands.len() == 2);
        let (low, high) = (chart.y.low, chart.y.high);
        chart.add_band(None);
        assert_eq!((chart.y.low, chart.y.high, chart.bands.len()), (low, high, 2));
    }

    #[test]
    fn curves_stay_in_the_plot_and_a_line_outside_is_left_to_its_key() {
        let drawn = chart().draw().into_string();
        assert!(drawn.contains("M0.0 750.0L1000.0 250.0"), "{drawn}");
        assert_eq!(drawn.matches("class=\"line limit\"").count(), 1);
        assert_eq!(drawn.matches("class=\"key limit\"").count(), 2);
    }

    #[test]
    fn labels_of_an_axis_have_room_on_the_narrowest_page() {
        // A phone of 390 px leaves 266 px to the plot; a digit at 13 px takes some 8.
        const PLOT_PX: f64 = 266.0;
        for high in (1..4000).map(f64::from) {
            for size in [1.0, 0.3048, 3.28084] {
                let axis = Axis { low: 0.0, high: high * size, unit: "", other: Some((size, "")) };
                for ticks in [axis.ticks(ACROSS), axis.other_ticks(ACROSS)] {
                    for pair in ticks.windows(2) {
                        let [(a, left), (b, right)] = pair else { continue };
                        let needed = 4.0 * (left.text.len() + right.text.len()) as f64 + 4.0;
                        assert!((b - a) * PLOT_PX >= needed, "{high}: {left:?} {right:?}");
                    }
                }
            }
        }
    }
}
