//! The rig from the side, to scale: ground, frame, unloaded and loaded line, the litter's path and its clearance.

use crate::chart::{WIDTH, fix, ticks};
use maud::{Markup, html};
use rope_mechanics::operation::study::{Study, Xz};
use rope_mechanics::quantity::{Length, unit};
use rope_mechanics::text;
use std::fmt::Write as _;

const MARGIN: f64 = 74.0;
const TALLEST: f64 = 860.0;

/// So many feet, in metres.
pub(crate) fn feet(value: f64) -> f64 {
    Length::new::<unit::foot>(value).get::<unit::meter>()
}

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
    let foot = |p: &rope_mechanics::operation::study::PlaceAtApparatus| {
        (study.base.x.value + p.x.value, study.base.z.value + p.z.value)
    };
    let shown = study.positions.get(study.loaded.position);
    let mut notes =
        Notes { surface: &ground, scale: &scale, frame: (left, right, top, bottom), taken: Vec::new() };
    let far = notes.place(xz(&study.far), "far anchor");
    let marks: Vec<_> = [
        ("least", study.summary.least_litter_height.position),
        ("greatest", study.summary.greatest_litter_height.position),
    ]
    .into_iter()
    .filter_map(|(word, position)| {
        let p = study.positions.get(position)?;
        let top = *litter.get(position)?;
        let foot = (top.0, p.carriage.z.value - p.carriage_height.value);
        let text = format!("{word} {}", text::both(p.litter_height).with_digits(2));
        Some((notes.place(foot, &text), foot, top, text))
    })
    .collect();
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
                @for (value, label) in ticks(x_low / feet(1.0), x_high / feet(1.0), 9.0) {
                    line class="frame" x1=(fix(scale.x(feet(value)))) x2=(fix(scale.x(feet(value)))) y1=(fix(top - 5.0)) y2=(fix(top)) {}
                    text class="tick middle" x=(fix(scale.x(feet(value)))) y=(fix(top - 9.0)) { (label) }
                }
                @for (value, label) in ticks(z_low, z_high, 6.0) {
                    line class="grid" x1=(fix(left)) x2=(fix(right)) y1=(fix(scale.z(value))) y2=(fix(scale.z(value))) {}
                    text class="tick end" x=(fix(left - 7.0)) y=(fix(scale.z(value) + 5.0)) { (label) }
                }
                @for (value, label) in ticks(z_low / feet(1.0), z_high / feet(1.0), 6.0) {
                    line class="frame" x1=(fix(right)) x2=(fix(right + 5.0)) y1=(fix(scale.z(feet(value)))) y2=(fix(scale.z(feet(value)))) {}
                    text class="tick" x=(fix(right + 8.0)) y=(fix(scale.z(feet(value)) + 5.0)) { (label) }
                }
                text class="unit" x=(fix(left - 62.0)) y="18" { "height, m" }
                text class="unit end" x=(fix(right + 62.0)) y="18" { "height, ft" }
                text class="unit middle" x=(fix((left + right) / 2.0)) y="15" { "horizontal distance outward, ft" }
                text class="unit middle" x=(fix((left + right) / 2.0)) y=(fix(bottom + 40.0)) { "horizontal distance outward, m" }
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
                    rect class="carriage" x=(fix(scale.x(x - 0.3))) y=(fix(scale.z(floor) - 4.0)) width=(fix(0.6 * size)) height="4" {}
                }
                @for (at, foot, top, text) in &marks {
                    path class="height" d=(scale.path([*foot, *top].into_iter())) {}
                    path class="leader" d=(format!("M{:.1} {:.1}L{:.1} {:.1}", scale.x(foot.0), scale.z(foot.1), at.0, at.1 - 15.0)) {}
                    text class="note middle" x=(fix(at.0)) y=(fix(at.1)) { (text) }
                }
                circle class="anchor" cx=(fix(scale.x(study.far.x.value))) cy=(fix(scale.z(study.far.z.value))) r="5" {}
                circle class="anchor" cx=(fix(scale.x(head.0))) cy=(fix(scale.z(head.1))) r="5" {}
                text class="note middle" x=(fix(far.0)) y=(fix(far.1)) { "far anchor" }
                text class="note" x=(fix(scale.x(head.0) + 12.0)) y=(fix(scale.z(head.1) - 8.0)) { "head" }
                rect class="frame" x=(fix(left)) y=(fix(top)) width=(fix(right - left)) height=(fix(bottom - top)) {}
            }
        }
    }
}

/// Notes laid in the ground near what they name, clear of its surface, of the frame and of each other.
struct Notes<'a> {
    surface: &'a [(f64, f64)],
    scale: &'a Scale,
    frame: (f64, f64, f64, f64),
    taken: Vec<[f64; 4]>,
}

impl Notes<'_> {
    /// The middle of the text's base line, in the drawing.
    fn place(&mut self, of: (f64, f64), text: &str) -> (f64, f64) {
        let (left, right, top, bottom) = self.frame;
        let half = 4.3 * text.chars().count() as f64 + 6.0;
        let (x0, z0) = (self.scale.x(of.0), self.scale.z(of.1));
        let room =
            |[l, r, t, b]: [f64; 4]| l > left + 4.0 && r < right - 4.0 && t > top + 4.0 && b < bottom - 4.0;
        let apart = |a: &[f64; 4], b: &[f64; 4]| a[1] < b[0] || b[1] < a[0] || a[3] < b[2] || b[3] < a[2];
        // Between two corners the ground is straight: its highest point over the box is at an edge or a corner.
        let below_ground = |[l, r, t, _]: [f64; 4]| {
            self.surface.windows(2).all(|pair| {
                let [a, b] = pair else { return true };
                let ((ax, az), (bx, bz)) =
                    ((self.scale.x(a.0), self.scale.z(a.1)), (self.scale.x(b.0), self.scale.z(b.1)));
                let (from, to) = (ax.max(l), bx.min(r));
                let at = |x: f64| if bx > ax { az + (bz - az) * (x - ax) / (bx - ax) } else { az.max(bz) };
                from > to || at(from).max(at(to)) < t
            })
        };
        let mut best: Option<(f64, [f64; 4], (f64, f64))> = None;
        for down in (24..420).step_by(6).map(f64::from) {
            for side in (-60..=60).map(|i| 6.0 * f64::from(i)) {
                let at = (x0 + side, z0 + down);
                let place = [at.0 - half, at.0 + half, at.1 - 17.0, at.1 + 6.0];
                let far = side.hypot(down);
                if best.as_ref().is_none_or(|b| far < b.0)
                    && room(place)
                    && below_ground(place)
                    && self.taken.iter().all(|other| apart(other, &place))
                {
                    best = Some((far, place, at));
                }
            }
        }
        // No room in the ground: under the point, in the frame.
        let (place, at) = best.map_or_else(
            || {
                let at = (x0.min(right - half).max(left + half), (z0 + 28.0).min(bottom - 8.0));
                ([at.0 - half, at.0 + half, at.1 - 17.0, at.1 + 6.0], at)
            },
            |(_, place, at)| (place, at),
        );
        self.taken.push(place);
        at
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
