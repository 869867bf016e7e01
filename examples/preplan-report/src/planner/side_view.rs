//! The rig from the side, to scale, and the panel that follows the load.

use super::brief::out;
use super::steps::{NAMES, Step, texts};
use crate::chart::axis::ticks;
use crate::drawing::{View, line};
use crate::units::Units;
use maud::{Markup, html};
use rope_mechanics::operation::study::{At, Loaded, PlaceAtApparatus, Position, Study, Xz};
use rope_mechanics::quantity::Length;
use rope_mechanics::quantity::unit;

/// Widths that the drawing has, in pixels: a phone, paper, a screen.
const WIDTHS: [f64; 5] = [262.0, 420.0, 600.0, 800.0, 1010.0];

fn xz(p: &Xz) -> (f64, f64) {
    (p.x.value, p.z.value)
}

fn beside(study: &Study, p: &PlaceAtApparatus) -> (f64, f64) {
    (study.base.x.value + p.x.value, study.base.z.value + p.z.value)
}

/// Everything from behind the apparatus to beyond the far anchor, and the ground below.
pub(super) fn view(study: &Study) -> View {
    let seen: Vec<(f64, f64)> = [study.head, study.base, study.far]
        .iter()
        .map(xz)
        .chain(study.layout.places.iter().map(|place| beside(study, &place.at)))
        .chain(study.unloaded.shape.iter().map(xz))
        .chain(study.lines.iter().flat_map(|line| line.shape.iter().map(xz)))
        .chain(rope_end(study))
        .collect();
    let wide = View::around(seen.iter().copied(), 0.05);
    let below = study.ground.iter().map(xz).filter(|p| p.0 >= wide.low().0 && p.0 <= wide.high().0);
    let whole = View::around(seen.iter().copied().chain(below), 0.05);
    // Room for a label above the head, on a phone too.
    let above = (study.head.x.value, study.head.z.value + 0.06 * whole.width());
    View::around([whole.low(), whole.high(), above].into_iter(), 0.0).at_least_wide(0.8)
}

/// How far out the far anchor may be for the rope on hand, beyond where it is; nothing if that is too far off to draw.
fn rope_end(study: &Study) -> Option<(f64, f64)> {
    let (head, far) = (xz(&study.head), xz(&study.far));
    let (x, z) = (far.0 - head.0, far.1 - head.1);
    let times = study.summary.reach.longest_strand.value / x.hypot(z);
    (times < 1.2).then_some((head.0 + times * x, head.1 + times * z))
}

/// The load at one place, as paths of the drawing.
pub(super) struct Drawn {
    pub(super) line: String,
    pub(super) sling: String,
    pub(super) haul: String,
    pub(super) belay: String,
}

pub(super) fn load(view: &View, p: &Position, line: &Loaded) -> Drawn {
    let carriage = xz(&p.carriage);
    let litter = underside(p);
    let half = 1.0;
    let sling = [carriage, litter, (litter.0 - half, litter.1), (litter.0 + half, litter.1)];
    Drawn {
        line: view.path(line.shape.iter().map(xz)),
        sling: view.path(sling.into_iter()),
        haul: view.path(line.haul.iter().map(xz)),
        belay: view.path(line.belay.iter().map(xz)),
    }
}

fn underside(p: &Position) -> (f64, f64) {
    (p.carriage.x.value, p.carriage.z.value - p.carriage_height.value + p.litter_height.value)
}

/// The ground between the two edges of the drawing, level beyond its ends.
fn ground(study: &Study, view: &View) -> Vec<(f64, f64)> {
    let points: Vec<_> = study.ground.iter().map(xz).collect();
    let at = |x: f64| {
        let inside = points.windows(2).find_map(|pair| match pair {
            [a, b] if (a.0..=b.0).contains(&x) => Some(a.1 + (b.1 - a.1) * (x - a.0) / (b.0 - a.0)),
            _ => None,
        });
        let end = if points.first().is_some_and(|p| x < p.0) { points.first() } else { points.last() };
        inside.or(end.map(|p| p.1)).unwrap_or(0.0)
    };
    let (low, high) = (view.low().0, view.high().0);
    let mut clipped = vec![(low, at(low))];
    clipped.extend(points.iter().copied().filter(|p| p.0 > low && p.0 < high));
    clipped.push((high, at(high)));
    clipped
}

/// Ticks around a drawing to scale: the page's units on the left and below, the other ones on the right and above.
fn scales(view: &View, units: Units) -> (Markup, Markup) {
    let size = |units: Units| match units {
        Units::Si => Length::new::<unit::meter>(1.0).value,
        Units::Us => Length::new::<unit::foot>(1.0).value,
    };
    let (low, high) = (view.low(), view.high());
    // As many labels as the narrowest drawing has room for, up as well.
    let up = ((5.0 * view.height() / view.width()).round() as usize).clamp(2, 8);
    // Not at the corners: there stand the units.
    let across = |units| -> Vec<_> {
        let inside = |value: f64| (0.06..=0.94).contains(&view.share((value * size(units), 0.0)).0);
        ticks(low.0 / size(units), high.0 / size(units), 5).into_iter().filter(|t| inside(t.value)).collect()
    };
    let height = |units| ticks(low.1 / size(units), high.1 / size(units), up);
    let (own, other) = (units, units.other());
    let left = |value: f64, units| format!("left:{:.2}%", 100.0 * view.share((value * size(units), 0.0)).0);
    let top = |value: f64, units| format!("top:{:.2}%", 100.0 * view.share((0.0, value * size(units))).1);
    let grid = html! {
        @for tick in across(own) { (line("grid", view.path([(tick.value * size(own), low.1), (tick.value * size(own), high.1)].into_iter()))) }
        @for tick in height(own) { (line("grid", view.path([(low.0, tick.value * size(own)), (high.0, tick.value * size(own))].into_iter()))) }
    };
    let texts = html! {
        @for tick in across(own) { span class="tick under" style=(left(tick.value, own)) { (tick.text) } }
        @for tick in across(other) { span class="tick over" style=(left(tick.value, other)) { (tick.text) } }
        @for tick in height(own) { span class="tick left" style=(top(tick.value, own)) { (tick.text) } }
        @for tick in height(other) { span class="tick right" style=(top(tick.value, other)) { (tick.text) } }
    };
    (grid, texts)
}

/// The rig as a small picture without words.
pub(super) fn small(study: &Study) -> Markup {
    let view = view(study);
    let (low, high) = (view.low(), view.high());
    let earth = ground(study, &view).into_iter().chain([(high.0, low.1), (low.0, low.1)]);
    let inside = html! {
        (line("earth", view.path(earth) + "Z"))
        @for foot in &study.feet { (line("leg", view.path([xz(&study.head), beside(study, foot)].into_iter()))) }
        @if let Some(p) = study.positions.get(study.loaded.position) {
            @let drawn = load(&view, p, &study.loaded);
            (line("rope track", drawn.line))
            (line("sling", drawn.sling))
        }
    };
    view.draw("The rig from the side", &inside, &html! {})
}

/// How far out a far anchor may be for the rope on hand, as far as that is in the drawing: round the head, by the longest
/// strand.
fn rope_ends(study: &Study, view: &View) -> Vec<(f64, f64)> {
    let (head, radius) = (xz(&study.head), study.summary.reach.longest_strand.value);
    let seen = |p: &(f64, f64)| {
        let (x, y) = view.share(*p);
        (0.0..=1.0).contains(&x) && (0.0..=1.0).contains(&y)
    };
    let arc = (0..=120).map(|i| f64::from(i).to_radians() * 0.75);
    arc.map(|below| (head.0 + radius * below.cos(), head.1 - radius * below.sin())).filter(seen).collect()
}

pub(super) fn draw(study: &Study, units: Units, steps: &[Step]) -> Markup {
    let view = view(study);
    let ground = ground(study, &view);
    let (low, high) = (view.low(), view.high());
    let earth = view.path(ground.iter().copied().chain([(high.0, low.1), (low.0, low.1)])) + "Z";
    let (grid, ticks) = scales(&view, units);
    let shown = study.positions.get(study.loaded.position);
    let drawn = shown.map(|p| load(&view, p, &study.loaded));
    let path: Vec<_> = study.positions.iter().map(underside).collect();
    let summary = &study.summary;
    let mut labels: Vec<(String, &str, (f64, f64))> =
        vec![("head".to_owned(), "", xz(&study.head)), ("far anchor".to_owned(), "", xz(&study.far))];
    let extremes = [summary.least_litter_height, summary.greatest_litter_height];
    let heights: Vec<_> = extremes
        .iter()
        .filter_map(|At { si: at, position, .. }| {
            let p = study.positions.get(*position)?;
            let foot = (p.carriage.x.value, p.carriage.z.value - p.carriage_height.value);
            if at.value <= 0.0 {
                return None;
            }
            labels.push((format!("{} {}", units.fine(*at), units.length_unit()), "height-label", foot));
            Some([foot, (foot.0, foot.1 + at.value)])
        })
        .collect();
    let limit = rope_ends(study, &view);
    let inside = html! {
        (grid)
        (line("earth", earth))
        @for rope in &study.layout.ropes {
            @let corners = rope.corners.iter().map(|p| beside(study, p));
            @match rope.name.as_str() {
                "track rope" => {
                    // Its ways behind the frame; between head and far anchor it hangs in its own shape.
                    @let behind = corners.clone().filter(|p| *p != xz(&study.far));
                    (line("rope track thin", view.path(behind)))
                }
                "haul rope" => (line("rope haul", view.path(corners)))
                "belay rope" => (line("rope belay", view.path(corners)))
                _ => (line("rope guy", view.path(corners)))
            }
        }
        @for foot in &study.feet { (line("leg", view.path([xz(&study.head), beside(study, foot)].into_iter()))) }
        @if limit.len() > 8 { (line("rope-ends", view.path(limit.iter().copied()))) }
        (line("rope empty", view.path(study.unloaded.shape.iter().map(xz))))
        (line("litter-path", view.path(path.into_iter())))
        @for height in heights { (line("height", view.path(height.into_iter()))) }
        @if let Some(drawn) = &drawn {
            path class="rope track" id="line" d=(drawn.line) {}
            path class="rope haul" id="haul" d=(drawn.haul) {}
            path class="rope belay" id="belay" d=(drawn.belay) {}
            path class="sling" id="sling" d=(drawn.sling) {}
        }
    };
    let free: Vec<_> =
        study.loaded.shape.iter().step_by(2).map(xz).chain([xz(&study.head), xz(&study.far)]).collect();
    let over = html! { (ticks) (view.labels(&labels, &free, &WIDTHS)) };
    let said = "The rig from the side, to scale: ground, frame, ropes, the load, and the path of the litter.";
    let last = steps.len().saturating_sub(1);
    let at = steps.iter().position(|step| step.position >= study.loaded.position).unwrap_or(0);
    html! {
        p class="hint" {
            "To scale. The load is drawn where the reading is greatest"
            @if let Some(p) = shown { ", " (out(study, p, units)) " out from the head" }
            ". Haul and belay rope are drawn as they hang by their weight, the belay rope with its slack; the study counts them as straight."
        }
        figure class="side" {
            figcaption {
                span class="key" { "track, loaded" }
                span class="key empty" { "track, empty" }
                span class="key haul" { "haul" }
                @if study.given.belay_slack.is_some() { span class="key belay" { "belay" } }
                @if !study.guys.is_empty() { span class="key guy" { "guy" } }
                @if limit.len() > 8 { span class="key divide" { "the rope on hand reaches so far" } }
                span class="key litter" { "path of the litter's underside" }
                span class="key height" { "its height, lowest and highest" }
            }
            div class="scaled" {
                span class="unit corner left" { (units.length_unit()) }
                span class="unit corner right" { (units.other().length_unit()) }
                (view.draw(said, &inside, &over))
            }
        }
        div class="stepper" hidden {
            label for="step" { "Move the load: drag, or use the arrow keys" }
            input type="range" id="step" dir="rtl" min="0" max=(last) step="1" value=(at);
        }
        dl class="panel" {
            @if let Some(p) = shown {
                @for (name, text) in NAMES.iter().zip(texts(study, p, units)) { div { dt { (name) } dd { (text) } } }
            }
        }
    }
}
