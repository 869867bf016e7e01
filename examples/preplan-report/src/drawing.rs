//! A drawing to scale: metres in, SVG out, its labels beside it as HTML at the page's own size.

use crate::chart::labels::{self, Offset, Wanted};
use maud::{Markup, PreEscaped, html};
use std::fmt::Write as _;

/// What is seen, in metres: to the right and up on the page.
#[derive(Debug, Clone, Copy)]
pub(crate) struct View {
    low: (f64, f64),
    high: (f64, f64),
}

impl View {
    /// Everything that the points span, and some room around as a share of the larger side.
    pub(crate) fn around(points: impl Iterator<Item = (f64, f64)>, room: f64) -> Self {
        let (low, high) = points.fold(
            ((f64::INFINITY, f64::INFINITY), (f64::NEG_INFINITY, f64::NEG_INFINITY)),
            |(low, high), p| ((low.0.min(p.0), low.1.min(p.1)), (high.0.max(p.0), high.1.max(p.1))),
        );
        let room = room * (high.0 - low.0).max(high.1 - low.1).max(1.0);
        Self { low: (low.0 - room, low.1 - room), high: (high.0 + room, high.1 + room) }
    }

    /// Not narrower by its height than this: room is added left and right.
    pub(crate) fn at_least_wide(self, width_by_height: f64) -> Self {
        let missing = width_by_height * self.height() - self.width();
        let room = 0.5 * missing.max(0.0);
        Self { low: (self.low.0 - room, self.low.1), high: (self.high.0 + room, self.high.1) }
    }

    pub(crate) fn width(&self) -> f64 {
        self.high.0 - self.low.0
    }

    pub(crate) fn height(&self) -> f64 {
        self.high.1 - self.low.1
    }

    pub(crate) fn low(&self) -> (f64, f64) {
        self.low
    }

    pub(crate) fn high(&self) -> (f64, f64) {
        self.high
    }

    /// Where a point stands, in shares of width and height from the upper left.
    pub(crate) fn share(&self, p: (f64, f64)) -> (f64, f64) {
        ((p.0 - self.low.0) / self.width(), (self.high.1 - p.1) / self.height())
    }

    /// The same in the drawing's own units: 1000 is its width.
    pub(crate) fn at(&self, p: (f64, f64)) -> (f64, f64) {
        let scale = 1000.0 / self.width();
        ((p.0 - self.low.0) * scale, (self.high.1 - p.1) * scale)
    }

    /// A line through points, as the data of an SVG path.
    pub(crate) fn path(&self, points: impl Iterator<Item = (f64, f64)>) -> String {
        let mut path = String::new();
        for (i, p) in points.enumerate() {
            let (x, y) = self.at(p);
            let _ = write!(path, "{}{x:.1} {y:.1}", if i == 0 { "M" } else { "L" });
        }
        path
    }

    /// The frame of the drawing: what stands in it, and its labels. `said` is what it shows, for who can't see it.
    pub(crate) fn draw(&self, said: &str, inside: &Markup, over: &Markup) -> Markup {
        let height = 1000.0 * self.height() / self.width();
        html! {
            div class="drawing" style=(format!("aspect-ratio:{:.4}", self.width() / self.height())) {
                svg viewBox=(format!("0 0 1000 {height:.1}")) role="img" aria-label=(said) { (inside) }
                div aria-hidden="true" { (over) }
            }
        }
    }

    /// Labels beside their points: text, class and point, the important ones first. Those without room are left out.
    pub(crate) fn labels(
        &self,
        wanted: &[(String, &str, (f64, f64))],
        free: &[(f64, f64)],
        widths: &[f64],
    ) -> Markup {
        let asked: Vec<Wanted<'_>> = wanted
            .iter()
            .map(|(text, _, p)| {
                let (x, y) = self.share(*p);
                Wanted { x, y, text }
            })
            .collect();
        let free: Vec<_> = free.iter().map(|p| self.share(*p)).collect();
        let offsets = labels::place(&asked, self.height() / self.width(), &free, widths);
        html! {
            @for ((text, class, p), offset) in wanted.iter().zip(&offsets) {
                @if let Some(offset) = offset {
                    span class={ "label " (class) } style=(self.label_style(*p, *offset)) { (text) }
                }
            }
        }
    }

    fn label_style(&self, p: (f64, f64), offset: Offset) -> String {
        let (x, y) = self.share(p);
        format!(
            "left:calc({:.2}% + {:.0}px);top:calc({:.2}% + {:.0}px)",
            100.0 * x,
            offset.dx,
            100.0 * y,
            offset.dy
        )
    }
}

/// A line of an SVG drawing.
pub(crate) fn line(class: &str, path: String) -> Markup {
    html! { path class=(class) d=(PreEscaped(path)) {} }
}
