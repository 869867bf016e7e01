//! The set-up from above: outward over the slope is up on the page, as a crew sees it that looks out.

use super::content::SetUp;
use crate::drawing::{View, line};
use maud::{Markup, html};
use rope_mechanics::operation::layout::PlaceKind;
use rope_mechanics::operation::study::{PlaceAtApparatus, Study};

/// Widths that the drawing has on a card, in pixels.
const WIDTHS: [f64; 4] = [138.0, 180.0, 250.0, 330.0];

/// On the page: right and up.
fn seen(at: &PlaceAtApparatus) -> (f64, f64) {
    (-at.y.value, at.x.value)
}

pub(crate) fn draw(study: &Study, set_up: &[SetUp]) -> Markup {
    let places = &study.layout.places;
    let near = || places.iter().filter(|place| place.kind != PlaceKind::FarAnchor);
    // The line to the far anchor leaves the drawing at its upper edge.
    let view = View::around(near().map(|place| seen(&place.at)).chain([(0.0, 0.0)]), 0.0);
    let reach = (0.16 * view.height().max(view.width())).max(0.6);
    let view = View::around([view.low(), (view.high().0, view.high().1 + 1.4 * reach)].into_iter(), 0.11)
        .at_least_wide(0.66);
    let top = (0.0, view.high().1);
    // Arrows of one length, small enough for the narrowest drawing.
    let arrow = 0.11 * view.width();
    // What ropes pull on first; a foot goes without its number where there is no room.
    let numbers = |feet: bool| {
        near()
            .zip(set_up.iter().filter(|item| item.kind != PlaceKind::FarAnchor))
            .filter(move |(place, _)| (place.kind == PlaceKind::Foot) == feet)
            .map(|(place, item)| (item.number.to_string(), "badge", seen(&place.at)))
    };
    // The far anchor lies beyond the upper edge, where the arrow points.
    let far = set_up.iter().find(|item| item.kind == PlaceKind::FarAnchor);
    let far = far.map(|item| (item.number.to_string(), "badge", (0.0, top.1 - 0.6 * arrow)));
    let labels: Vec<(String, &str, (f64, f64))> =
        far.into_iter().chain(numbers(false)).chain(numbers(true)).collect();
    // No label on the places, on their arrows, or on the line to the far anchor.
    let arrows = near().filter_map(|place| {
        let (sin, cos) = place.pull?.azimuth.value.sin_cos();
        let (x, y) = seen(&place.at);
        Some([0.5, 1.0].map(|along| (x - along * arrow * sin, y + along * arrow * cos)))
    });
    let out = (0..=6).map(|i| (0.0, top.1 * f64::from(i) / 6.0));
    let free: Vec<_> = near().map(|place| seen(&place.at)).chain(arrows.flatten()).chain(out).collect();
    let inside = html! {
        @for rope in &study.layout.ropes {
            @let (class, corners) = match rope.name.as_str() {
                "track rope" => ("rope track", rope.corners.as_slice()),
                "haul rope" => ("rope haul", rope.corners.as_slice()),
                "belay rope" => ("rope belay", rope.corners.as_slice()),
                _ => ("rope guy", rope.corners.as_slice()),
            };
            (line(class, view.path(corners.iter().map(seen).map(|p| (p.0, p.1.min(top.1))))))
        }
        @for place in near() {
            @let (x, y) = seen(&place.at);
            @if place.kind == PlaceKind::Foot {
                (line("leg", view.path([(0.0, 0.0), (x, y)].into_iter())))
                (dot("foot", &view, (x, y)))
            } @else {
                (dot("place", &view, (x, y)))
            }
            @if let Some(pull) = &place.pull {
                @let (sin, cos) = pull.azimuth.value.sin_cos();
                (pulled(&view, (x, y), (-sin, cos), arrow))
            }
        }
        (dot("head", &view, (0.0, 0.0)))
        (pulled(&view, (0.0, top.1 - 1.2 * arrow), (0.0, 1.0), arrow))
    };
    let said = "The set-up from above. Outward over the slope is up. The places are listed beside it.";
    html! {
        figure class="plan" {
            (view.draw(said, &inside, &view.labels(&labels, &free, &WIDTHS)))
        }
    }
}

/// What the lines of the plan are.
pub(crate) fn legend(study: &Study) -> Markup {
    html! {
        p class="legend" {
            span class="key up" { "out" }
            span class="key head" { "head" }
            span class="key track" { "track" }
            span class="key haul" { "haul" }
            @if study.given.belay_slack.is_some() { span class="key belay" { "belay" } }
            @if !study.guys.is_empty() { span class="key guy" { "guy" } }
            span class="key pull" { "pull" }
        }
    }
}

fn dot(class: &str, view: &View, at: (f64, f64)) -> Markup {
    let (x, y) = view.at(at);
    html! { circle class=(class) cx=(format!("{x:.1}")) cy=(format!("{y:.1}")) r="15" {} }
}

/// An arrow from a place along a unit vector of the page.
fn pulled(view: &View, from: (f64, f64), way: (f64, f64), length: f64) -> Markup {
    let at = |along: f64, aside: f64| {
        (from.0 + length * (along * way.0 - aside * way.1), from.1 + length * (along * way.1 + aside * way.0))
    };
    html! {
        (line("pull", view.path([at(0.2, 0.0), at(0.8, 0.0)].into_iter())))
        (line("pull-head", view.path([at(1.15, 0.0), at(0.7, 0.22), at(0.7, -0.22)].into_iter()) + "Z"))
    }
}
