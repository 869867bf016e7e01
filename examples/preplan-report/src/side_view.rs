//! The rig from the side, to scale: ground, frame, unloaded and loaded line, the litter's path and its clearance.

use crate::chart::{WIDTH, fix, ticks};
use maud::{Markup, html};
use rope_mechanics::operation::study::{Study, Xz};
use rope_mechanics::text;
use std::fmt::Write as _;

const FOOT: f64 = 0.3048;
const MARGIN: f64 = 74.0;
const TALLEST: f64 = 860.0;

/// From metres to the drawing.
struct Scale {
    x0: f64,
    z1: f64,
    size: f64,
    left: f64,
    top: f64,
}

impl Scale {
    fn x(&self, x: f64) -> f64 {
        self.left + (x - self.x0) * self.size
    }

    fn z(&self, z: f64) -> f64 {
        self.top + (self.z1 - z) * self.size
    }

    fn path(&self, points: impl Iterator<Item = (f64, f64)>) -> String {
        let mut path = String::new();
        for (i, (x, z)) in points.enumerate() {
            let _ = write!(path, "{}{:.1} {:.1}", if i == 0 { "M" } else { "L" }, self.x(x), self.z(z));
        }
        path
    }
}

fn xz(p: &Xz) -> (f64, f64) {
    (p.x.value, p.z.value)
}

pub(crate) fn draw(study: &Study) -> Markup {
    // What must be seen: everything from behind the guys to beyond the far anchor.
    let around: Vec<(f64, f64)> = [study.head, study.base, study.far]
        .iter()
        .map(xz)
        .chain(
            study
                .feet
                .iter()
                .chain(&study.guys)
                .map(|p| (study.base.x.value + p.x.value, study.base.z.value + p.z.value)),
        )
        .chain(study.unloaded.shape.iter().chain(&study.loaded.shape).map(xz))
        .collect();
    let fold = |axis: fn(&(f64, f64)) -> f64| {
        around.iter().map(axis).fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), v| (lo.min(v), hi.max(v)))
    };
    let (x_low, x_high) = fold(|p| p.0);
    let room = 0.04 * (x_high - x_low);
    let (x_low, x_high) = (x_low - room, x_high + room);
    let (mut z_low, mut z_high) = fold(|p| p.1);
    for p in study.ground.iter().map(xz).filter(|p| (x_low..=x_high).contains(&p.0)) {
        z_low = z_low.min(p.1);
        z_high = z_high.max(p.1);
    }
    let (z_low, z_high) = (z_low - room, z_high + room);
    let size = ((WIDTH - 2.0 * MARGIN) / (x_high - x_low)).min(TALLEST / (z_high - z_low));
    let width = (x_high - x_low) * size;
    let scale = Scale { x0: x_low, z1: z_high, size, left: (WIDTH - width) / 2.0, top: 44.0 };
    let (left, right) = (scale.x(x_low), scale.x(x_high));
    let (top, bottom) = (scale.z(z_high), scale.z(z_low));
    let height = bottom + 50.0;

    let ground = clipped(study, x_low, x_high);
    let ground_path = scale.path(ground.iter().copied().chain([(x_high, z_low), (x_low, z_low)])) + "Z";
    let litter: Vec<(f64, f64)> = study
        .positions
        .iter()
        .map(|p| (p.carriage.x.value, p.carriage.z.value - p.carriage_height.value + p.litter_height.value))
        .collect();
    let head = xz(&study.head);
    let foot = |p: &rope_mechanics::operation::study::Place| {
        (study.base.x.value + p.x.value, study.base.z.value + p.z.value)
    };
    let shown = study.positions.get(study.loaded.position);
    let marks = [
        ("least", study.summary.least_litter_height.position, 1.0),
        ("greatest", study.summary.greatest_litter_height.position, -1.0),
    ];
    html! {
        figure class="view" {
            figcaption {
                strong { "The rig from the side, to scale" }
                span class="key ground" { "ground" }
                span class="key unloaded" { "track line without load" }
                span class="key loaded" { "track line with the load, where the reading is greatest" }
                span class="key litter" { "path of the litter's underside" }
                span class="key height" { "litter height above the ground" }
            }
            svg viewBox=(format!("0 0 {WIDTH} {height:.0}")) role="img" aria-label="Side view of the rig, to scale" {
                @for (value, label) in ticks(x_low, x_high, 9.0) {
                    line class="grid" x1=(fix(scale.x(value))) x2=(fix(scale.x(value))) y1=(fix(top)) y2=(fix(bottom)) {}
                    text class="tick middle" x=(fix(scale.x(value))) y=(fix(bottom + 18.0)) { (label) }
                }
                @for (value, label) in ticks(x_low / FOOT, x_high / FOOT, 9.0) {
                    line class="frame" x1=(fix(scale.x(value * FOOT))) x2=(fix(scale.x(value * FOOT))) y1=(fix(top - 5.0)) y2=(fix(top)) {}
                    text class="tick middle" x=(fix(scale.x(value * FOOT))) y=(fix(top - 9.0)) { (label) }
                }
                @for (value, label) in ticks(z_low, z_high, 6.0) {
                    line class="grid" x1=(fix(left)) x2=(fix(right)) y1=(fix(scale.z(value))) y2=(fix(scale.z(value))) {}
                    text class="tick end" x=(fix(left - 7.0)) y=(fix(scale.z(value) + 5.0)) { (label) }
                }
                @for (value, label) in ticks(z_low / FOOT, z_high / FOOT, 6.0) {
                    line class="frame" x1=(fix(right)) x2=(fix(right + 5.0)) y1=(fix(scale.z(value * FOOT))) y2=(fix(scale.z(value * FOOT))) {}
                    text class="tick" x=(fix(right + 8.0)) y=(fix(scale.z(value * FOOT) + 5.0)) { (label) }
                }
                text class="unit" x=(fix(left - 62.0)) y="18" { "height, m" }
                text class="unit end" x=(fix(right + 62.0)) y="18" { "height, ft" }
                text class="unit middle" x=(fix((left + right) / 2.0)) y="15" { "level distance outward, ft" }
                text class="unit middle" x=(fix((left + right) / 2.0)) y=(fix(bottom + 40.0)) { "level distance outward, m" }
                path class="ground" d=(ground_path) {}
                @for guy in &study.guys {
                    path class="guy" d=(scale.path([head, foot(guy)].into_iter())) {}
                }
                @for leg in &study.feet {
                    path class="leg" d=(scale.path([head, foot(leg)].into_iter())) {}
                }
                path class="curve unloaded" d=(scale.path(study.unloaded.shape.iter().map(xz))) {}
                path class="curve litter" d=(scale.path(litter.iter().copied())) {}
                path class="curve loaded" d=(scale.path(study.loaded.shape.iter().map(xz))) {}
                @if let Some(p) = shown {
                    @let (x, z) = xz(&p.carriage);
                    @let floor = z - p.carriage_height.value + p.litter_height.value;
                    path class="hang" d=(scale.path([(x, z), (x, floor)].into_iter())) {}
                    circle class="carriage" cx=(fix(scale.x(x))) cy=(fix(scale.z(z))) r="5" {}
                    rect class="carriage" x=(fix(scale.x(x - 1.0))) y=(fix(scale.z(floor) - 4.0)) width=(fix(2.0 * size)) height="4" {}
                }
                @for (word, position, side) in marks {
                    @if let (Some(p), Some(&(x, z))) = (study.positions.get(position), litter.get(position)) {
                        @let ground = p.carriage.z.value - p.carriage_height.value;
                        path class="height" d=(scale.path([(x, ground), (x, z)].into_iter())) {}
                        @let text_x = (scale.x(x) + side * 40.0 - 95.0).clamp(left + 100.0, right - 100.0);
                        @let text_z = (scale.z(ground) + 70.0 + 25.0 * side).min(bottom - 12.0);
                        path class="leader" d=(format!("M{:.1} {:.1}L{:.1} {:.1}", scale.x(x), scale.z(0.5 * (z + ground)), text_x, text_z - 15.0)) {}
                        text class="note middle" x=(fix(text_x)) y=(fix(text_z)) {
                            (word) " " (text::both(p.litter_height).with_digits(2))
                        }
                    }
                }
                circle class="anchor" cx=(fix(scale.x(study.far.x.value))) cy=(fix(scale.z(study.far.z.value))) r="5" {}
                circle class="anchor" cx=(fix(scale.x(head.0))) cy=(fix(scale.z(head.1))) r="5" {}
                text class="note end" x=(fix(scale.x(study.far.x.value) - 10.0)) y=(fix((scale.z(study.far.z.value) + 30.0).min(bottom - 6.0))) { "far anchor" }
                text class="note" x=(fix(scale.x(head.0) + 12.0)) y=(fix(scale.z(head.1) - 8.0)) { "head" }
                rect class="frame" x=(fix(left)) y=(fix(top)) width=(fix(right - left)) height=(fix(bottom - top)) {}
            }
        }
    }
}

/// The ground between the two edges of the drawing, level beyond its ends.
fn clipped(study: &Study, x_low: f64, x_high: f64) -> Vec<(f64, f64)> {
    let points: Vec<_> = study.ground.iter().map(xz).collect();
    let at = |x: f64| {
        let inside = points.windows(2).find_map(|pair| match pair {
            [a, b] if (a.0..=b.0).contains(&x) => Some(a.1 + (b.1 - a.1) * (x - a.0) / (b.0 - a.0)),
            _ => None,
        });
        let end = if points.first().is_some_and(|p| x < p.0) { points.first() } else { points.last() };
        inside.or(end.map(|p| p.1)).unwrap_or(0.0)
    };
    let mut clipped = vec![(x_low, at(x_low))];
    clipped.extend(points.iter().copied().filter(|p| p.0 > x_low && p.0 < x_high));
    clipped.push((x_high, at(x_high)));
    clipped
}
