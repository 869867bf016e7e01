//! The load taken over at the head, in stages: a picture of each, what is done, and what the ropes carry.

use crate::drawing::{View, line};
use crate::one_system::one_system;
use crate::units::{Round, Units};
use maud::{Markup, html};
use rope_mechanics::geometry::Point2;
use rope_mechanics::operation::changeover::{
    Changeover, ChangeoverStage, ChangeoverStep, EventKind, LitterBody, LoadRope, PulledInBy, StageKind,
};
use rope_mechanics::operation::study::{PlaceAtApparatus, Study};
use rope_mechanics::quantity::unit::degree;
use rope_mechanics::quantity::{Force, Length};

/// Widths that a picture has, in pixels: a phone, two beside each other on paper or on a tablet, a screen.
const WIDTHS: [f64; 4] = [300.0, 340.0, 400.0, 530.0];

pub(crate) const fn stage_words(kind: StageKind) -> &'static str {
    match kind {
        StageKind::HaulUp => "haul up",
        StageKind::LetDown => "let the track down",
        StageKind::SwingIn => "swing in",
        StageKind::SetDown => "set down",
        _ => "go on",
    }
}

/// In the plane of the line, from the base of the frame.
fn xz(p: &PlaceAtApparatus) -> (f64, f64) {
    (p.x.value, p.z.value)
}

struct Pictures<'a> {
    study: &'a Study,
    changeover: &'a Changeover,
    view: View,
    ground: Vec<(f64, f64)>,
}

/// The litter as a line with its depth, its sling above it.
struct Litter {
    body: Vec<(f64, f64)>,
    sling: [(f64, f64); 2],
}

fn litter(study: &Study, changeover: &Changeover, step: &ChangeoverStep) -> Option<Litter> {
    let size = &changeover.litter;
    let body =
        LitterBody::new(size.length, size.width, size.depth, step.lies).ok()?.with_tilt(size.tilt).ok()?;
    let load = xz(&step.load);
    let middle = Point2::new(step.load.x, step.load.z - study.given.hang);
    let [inner, outer] = body.underside(middle).map(|p| (p.x.value, p.z.value));
    let depth = size.depth.value;
    let corners = vec![inner, outer, (outer.0, outer.1 + depth), (inner.0, inner.1 + depth), inner];
    Some(Litter { body: corners, sling: [load, (middle.x.value, middle.z.value + depth)] })
}

impl<'a> Pictures<'a> {
    fn new(study: &'a Study, changeover: &'a Changeover) -> Self {
        let head = (0.0, (study.head.z - study.base.z).value);
        let steps = || changeover.steps.iter();
        let litters =
            steps().filter_map(|step| litter(study, changeover, step)).flat_map(|litter| litter.body);
        let seen: Vec<(f64, f64)> = study
            .feet
            .iter()
            .map(xz)
            .chain(steps().map(|step| xz(&step.load)))
            .chain(litters)
            // Room for a label above the head.
            .chain([(0.0, 1.22 * head.1), (0.0, 0.0)])
            .collect();
        let ground: Vec<(f64, f64)> =
            study.ground.iter().map(|p| ((p.x - study.base.x).value, (p.z - study.base.z).value)).collect();
        let view = View::around(seen.into_iter(), 0.08).at_least_wide(1.1);
        Self { study, changeover, view, ground }
    }

    fn head(&self) -> (f64, f64) {
        (0.0, (self.study.head.z - self.study.base.z).value)
    }

    /// The ground between the edges of the picture, no lower than its lower edge.
    fn earth(&self) -> String {
        let (low, high) = (self.view.low(), self.view.high());
        let at = |x: f64| {
            let between = self.ground.windows(2).find_map(|pair| match pair {
                [a, b] if (a.0..=b.0).contains(&x) => {
                    Some(a.1 + (b.1 - a.1) * (x - a.0) / (b.0 - a.0).max(1e-9))
                }
                _ => None,
            });
            let end = if self.ground.first().is_some_and(|p| x < p.0) {
                self.ground.first()
            } else {
                self.ground.last()
            };
            between.or(end.map(|p| p.1)).unwrap_or(0.0)
        };
        let inside = self.ground.iter().copied().filter(|p| p.0 > low.0 && p.0 < high.0);
        let top = [(low.0, at(low.0))].into_iter().chain(inside).chain([(high.0, at(high.0))]);
        // Below the picture there is earth only.
        let below = low.1 - 1.0;
        self.view.path(top.chain([(high.0, below), (low.0, below)])) + "Z"
    }

    /// Where the belay rope comes from at a step: the head, until it is taken off.
    fn belay_from(&self, step: usize) -> (f64, f64) {
        let off = self.changeover.events.iter().find(|event| event.kind == EventKind::BelayOffTheHead);
        match (self.changeover.pull_from, off) {
            (Some(from), Some(off)) if step >= off.step => xz(&from),
            _ => self.head(),
        }
    }

    /// From a point on towards another one, as far as the picture goes.
    fn to_edge(&self, from: (f64, f64), to: (f64, f64)) -> (f64, f64) {
        let (low, high) = (self.view.low(), self.view.high());
        let share = |from: f64, to: f64, low: f64, high: f64| {
            if to > high {
                (high - from) / (to - from)
            } else if to < low {
                (low - from) / (to - from)
            } else {
                1.0
            }
        };
        let share = share(from.0, to.0, low.0, high.0).min(share(from.1, to.1, low.1, high.1));
        (from.0 + share * (to.0 - from.0), from.1 + share * (to.1 - from.1))
    }

    fn picture(&self, stage: &ChangeoverStage, number: usize, units: Units) -> Markup {
        let Self { study, changeover, view, .. } = self;
        let (Some(first), Some(last)) = (changeover.steps.get(stage.first), changeover.steps.get(stage.last))
        else {
            return html! {};
        };
        let load = xz(&last.load);
        let far = ((study.far.x - study.base.x).value, (study.far.z - study.base.z).value);
        let on = |rope: LoadRope| last.ropes.contains(&rope);
        let way = changeover
            .steps
            .get(stage.first..=stage.last)
            .unwrap_or_default()
            .iter()
            .map(|step| xz(&step.load));
        let belay = self.belay_from(stage.last);
        let inside = html! {
            (line("earth", self.earth()))
            @for foot in &study.feet { (line("leg", view.path([self.head(), xz(foot)].into_iter()))) }
            @if on(LoadRope::Track) { (line("rope track", view.path([self.head(), load, self.to_edge(load, far)].into_iter()))) }
            (line("rope haul", view.path([self.head(), load].into_iter())))
            @if on(LoadRope::Belay) { (line("rope belay", view.path([self.to_edge(load, belay), load].into_iter()))) }
            @if stage.first != stage.last {
                (line("litter-path", view.path(way)))
                @if let Some(before) = litter(study, changeover, first) { (line("outline", view.path(before.body.into_iter()))) }
            }
            @if let Some(now) = litter(study, changeover, last) {
                (line("sling", view.path(now.sling.into_iter())))
                (line("litter-body", view.path(now.body.into_iter()) + "Z"))
            }
        };
        let said = format!(
            "Stage {number}, {}: the frame, the ropes and the litter at its end, from the side.",
            stage_words(stage.kind)
        );
        html! {
            figure class="stage whole" {
                figcaption { h3 { (number) " " (stage_words(stage.kind)) } }
                (view.draw(&said, &inside, &view.labels(&[("head".to_owned(), "", self.head())], &[self.head(), load, far], &WIDTHS)))
                p { (one_system(&stage.text, units)) }
                p class="hint" { b { "Out, at the start: " } (one_system(&stage.way_out, units)) }
                @for event in changeover.events.iter().filter(|event| (stage.first..=stage.last).contains(&event.step)) {
                    @if stage.kind == changeover.steps.get(event.step).map_or(stage.kind, |step| step.stage) { p class="hint" { (one_system(&event.text, units)) } }
                }
            }
        }
    }
}

pub(super) fn draw(study: &Study, changeover: &Changeover, units: Units) -> Markup {
    let pictures = Pictures::new(study, changeover);
    let worst = &changeover.worst;
    let hand_over = &changeover.hand_over;
    let length = |length: Length| format!("{} {}", units.fine(length), units.length_unit());
    html! {
        p class="hint" {
            "From the side, to scale, the road on the left. Solid: the litter at the end of the stage; dashed: at its beginning. "
            @if !changeover.given { b { "The site file doesn't say how the load is taken over: all of this is assumed. " } }
            "Statics of each step, none of the jerks between: try it without a person first."
        }
        p class="legend" {
            span class="key" { "track" }
            span class="key haul" { "haul" }
            span class="key belay" { "belay" }
            span class="key litter" { "way of the load" }
        }
        div class="stages" { @for (i, stage) in changeover.stages.iter().enumerate() { (pictures.picture(stage, i + 1, units)) } }
        (numbers(changeover, units))
        h3 { "Where the track rope hands over" }
        p {
            "The haul rope at the load goes from " (units.force_with_unit(hand_over.haul_before)) " to " (units.force_with_unit(hand_over.haul_after))
            "; if all came on it at once, up to " (units.force_with_unit(hand_over.shock)) ". The load comes down by " (length(hand_over.down))
            ". Track rope let out: " (length(hand_over.track_out)) ", and " (length(hand_over.track_out_slack)) " until it lies slack; "
            @if hand_over.track_spare.value >= 0.0 { (length(hand_over.track_spare)) " of its tail is left then." }
            @else { b { "its tail is " (length(-hand_over.track_spare)) " too short for that." } }
        }
        h3 { "Worst of all steps" }
        p {
            @if let Some(least) = worst.litter_height { "Litter above the ground: " (length(least.si)) ", " (stage_of(changeover, least.step)) ". " }
            "Litter from the frame: " (length(worst.frame_clearance.si)) ", " (stage_of(changeover, worst.frame_clearance.step)) "; "
            (length(changeover.clearance_wanted)) " is wanted. "
            @match (worst.falls_at, worst.margin) {
                (Some(step), _) => { b { "The frame falls, " (stage_of(changeover, step)) ". " } }
                (None, Some(margin)) => { "Frame: " (format!("{:.1}°", margin.si.get::<degree>())) " from tipping over " (worst.over) ", " (stage_of(changeover, margin.step)) ". " }
                _ => {}
            }
            @if let Some(height) = changeover.least_head_height { "The head has to be " (length(height)) " high at least." }
        }
    }
}

fn stage_of(changeover: &Changeover, step: usize) -> String {
    let kind = changeover.steps.get(step).map_or(StageKind::HaulUp, |step| step.stage);
    format!("stage \"{}\"", stage_words(kind))
}

/// What the ropes carry in each stage: the most of its steps, the least of the distances.
fn numbers(changeover: &Changeover, units: Units) -> Markup {
    let most = |steps: &[ChangeoverStep], of: fn(&ChangeoverStep) -> Force| {
        units.force(steps.iter().map(of).fold(Force::default(), Force::max))
    };
    let least = |steps: &[ChangeoverStep], of: fn(&ChangeoverStep) -> Option<Length>| {
        steps.iter().filter_map(of).reduce(Length::min).map_or("–".to_owned(), |length| units.fine(length))
    };
    let reading = |steps: &[ChangeoverStep]| {
        let low = steps.iter().map(|step| step.reading.low).reduce(Force::min).unwrap_or_default();
        let high = steps.iter().map(|step| step.reading.high).fold(Force::default(), Force::max);
        format!("{}–{}", units.reading(low, Round::Down), units.reading(high, Round::Up))
    };
    let margin = |steps: &[ChangeoverStep]| {
        let least = steps
            .iter()
            .map(|step| {
                step.frame
                    .as_ref()
                    .map(|frame| (!frame.over.is_empty()).then(|| frame.margin.get::<degree>()))
            })
            .try_fold(f64::INFINITY, |least, margin| Some(least.min(margin?.unwrap_or(f64::INFINITY))));
        match least {
            None => "falls".to_owned(),
            Some(least) if least.is_finite() => format!("{least:.1}°"),
            Some(_) => "–".to_owned(),
        }
    };
    let by_hand = if changeover.pulled_in_by == PulledInBy::Belay {
        "hand at the belay"
    } else {
        "hands at the litter"
    };
    html! {
        div class="wide" tabindex="0" role="region" aria-label="the stages in numbers" { table class="rows" {
            thead { tr {
                th { "stage" } th { "haul rope in, " (units.length_unit()) } th { "track out" } th { "cell reads, " (units.force_unit()) }
                th { "haul at the load" } th { "winch" } th { "belay at the load" } th { (by_hand) }
                th { "litter up, " (units.length_unit()) } th { "from the frame" } th { "margin" }
            } }
            tbody { @for (i, stage) in changeover.stages.iter().enumerate() {
                @let steps = changeover.steps.get(stage.first..=stage.last).unwrap_or_default();
                tr {
                    td { (i + 1) " " (stage_words(stage.kind)) }
                    td { (units.fine(stage.haul_in)) }
                    td { @match stage.track_out { Some(out) => (units.fine(out)), None => "–" } }
                    td { (reading(steps)) }
                    td { (most(steps, |step| step.haul.high)) }
                    td { (most(steps, |step| step.winch_pull)) }
                    td { (most(steps, |step| step.belay.high)) }
                    td { (most(steps, |step| step.hand)) }
                    td { (least(steps, |step| step.litter_height)) }
                    td { (least(steps, |step| Some(step.frame_clearance))) }
                    td { (margin(steps)) }
                }
            } }
        } }
        p class="hint" { "Haul rope in: negative is let out. Forces: the most of the stage; distances and margin: the least." }
    }
}
