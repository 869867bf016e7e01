//! The frame from above: its feet, its guys, and where the line of the force on its head meets the ground.

use crate::drawing::{View, line};
use crate::units::Units;
use maud::{Markup, html};
use rope_mechanics::operation::study::{PlaceAtApparatus, Study};
use rope_mechanics::quantity::unit::degree;

const WIDTHS: [f64; 4] = [300.0, 340.0, 430.0, 520.0];

/// On the page: outward is up, left is left.
fn seen(p: &PlaceAtApparatus) -> (f64, f64) {
    (-p.y.value, p.x.value)
}

/// Where the forces on the head point to on the level of the ground below it, over the travel.
fn trace(study: &Study) -> Vec<(f64, f64)> {
    let height = (study.head.z - study.base.z).value;
    study
        .positions
        .iter()
        .filter(|p| p.head_force.z.value < 0.0)
        .map(|p| {
            let f = &p.head_force;
            // The head plus h/(−Fz) of the force.
            let share = height / -f.z.value;
            (-f.y.value * share, f.x.value * share)
        })
        .collect()
}

pub(super) fn draw(study: &Study, units: Units) -> Markup {
    let trace = trace(study);
    let feet: Vec<_> = study.feet.iter().map(seen).collect();
    let guys: Vec<_> = study.guys.iter().map(seen).collect();
    let head = (0.0, 0.0);
    let view =
        View::around(feet.iter().chain(&guys).chain(&trace).copied().chain([head]), 0.16).at_least_wide(0.9);
    let mut labels: Vec<(String, &str, (f64, f64))> = Vec::new();
    labels.extend(feet.iter().enumerate().map(|(i, p)| (format!("foot {}", i + 1), "", *p)));
    labels.extend(guys.iter().enumerate().map(|(i, p)| (format!("guy {}", i + 1), "", *p)));
    // No label on a member.
    let along = |p: &(f64, f64)| [0.25, 0.5, 0.75, 0.9, 1.0].map(|share| (share * p.0, share * p.1));
    let free: Vec<_> = feet
        .iter()
        .chain(&guys)
        .flat_map(along)
        .chain([head])
        .chain(trace.iter().copied().step_by(10))
        .collect();
    let outline: Vec<_> = feet.iter().copied().chain(feet.first().copied()).collect();
    let inside = html! {
        @for guy in &guys { (line("rope guy", view.path([head, *guy].into_iter()))) }
        (line("outline", view.path(outline.into_iter())))
        @for foot in &feet {
            (line("leg", view.path([head, *foot].into_iter())))
            (dot(&view, "foot", *foot))
        }
        @for guy in &guys { (dot(&view, "place", *guy)) }
        (line("trace", view.path(trace.iter().copied())))
        @for end in trace.first().into_iter().chain(trace.last()) { (dot(&view, "trace-end", *end)) }
        (dot(&view, "head", head))
    };
    let said = "The frame from above, and where the line of the force on its head meets the ground.";
    html! {
        div class="frame" {
            figure {
                (view.draw(said, &inside, &view.labels(&labels, &free, &WIDTHS)))
                figcaption {
                    span class="key head" { "head" }
                    span class="key trace" { "where the force on the head points to, over the travel" }
                    @if !guys.is_empty() { span class="key guy" { "guy" } }
                }
            }
            div {
                p { "From above; outward over the slope is up. Where the force points inside the dashed outline of the feet, the frame stands by itself; outside it, guys on the other side hold it." }
                (members(study, units))
            }
        }
    }
}

/// Legs and guys where each is loaded most.
fn members(study: &Study, units: Units) -> Markup {
    let states =
        || study.unloaded.frame.iter().chain(study.positions.iter().filter_map(|p| p.frame.as_ref()));
    let most = |of: &dyn Fn(&rope_mechanics::operation::study::FrameState) -> Option<f64>| {
        states().filter_map(of).fold(0.0, f64::max)
    };
    let force = |n: f64| {
        units.force_with_unit(rope_mechanics::quantity::Force::new::<rope_mechanics::quantity::unit::newton>(
            n,
        ))
    };
    let falls = study.unloaded.frame.is_none() || study.positions.iter().any(|p| p.frame.is_none());
    html! {
        @if falls { p class="stop" { "The frame falls somewhere: these are its forces where it stands." } }
        table class="rows" {
            thead { tr { th { "member" } th { "greatest force" } } }
            tbody {
                @for i in 0..study.feet.len() {
                    tr { td { "leg " (i + 1) ", pressed" } td { (force(most(&|f| Some(f.legs.get(i)?.value)))) } }
                }
                @for i in 0..study.guys.len() {
                    tr { td { "guy " (i + 1) ", pulled" } td { (force(most(&|f| Some(f.guys.get(i)?.value)))) } }
                }
                @if let Some(least) = &study.summary.least_margin {
                    tr { td { "least margin, over " (least.over) } td { (format!("{:.1}°", least.margin.get::<degree>())) } }
                }
            }
        }
    }
}

fn dot(view: &View, class: &str, at: (f64, f64)) -> Markup {
    let (x, y) = view.at(at);
    html! { circle class=(class) cx=(format!("{x:.1}")) cy=(format!("{y:.1}")) r="10" {} }
}
