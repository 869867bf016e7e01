//! The changeover of a study, from its steps to what goes out.

use super::found::{
    AtStep, Changeover, ChangeoverEvent, ChangeoverStage, ChangeoverStep, ChangeoverWorst, EventKind,
    LoadRope, LoadTransfer, PulledInBy, StageKind, WayOut,
};
use super::least_head::least_head_height;
use super::path::{ChangeoverError, Path, Step, Takeover};
use super::setup::Setup;
use super::swing::PullsIn;
use super::under::{BelayWay, OnParts, on_parts};
use crate::geometry::Point3;
use crate::math;
use crate::operation::place::Place;
use crate::operation::position;
use crate::operation::study::{RatedPart, Unloaded};
use crate::operation::travel::Moved;
use crate::operation::words;
use crate::quantity::{Band, Force, Length, metres, newtons};
use alloc::string::String;
use alloc::vec::Vec;

/// What a study has already found that the changeover starts from.
pub(crate) struct Before<'a> {
    /// The track without its load.
    pub(crate) unloaded: &'a Unloaded,
    pub(crate) components: &'a [RatedPart],
    /// Track rope that is left over with its strands as they are.
    pub(crate) spare: Length,
}

/// The changeover from the last place of the travel on.
pub(crate) fn changeover(
    setup: &Setup,
    last: &Moved<'_, '_>,
    before: &Before<'_>,
) -> Result<Changeover, ChangeoverError> {
    let model = last.hauling.model();
    let takeover = Takeover { model, setup, strand: before.unloaded.strand_length };
    let path = takeover.path(last)?;
    let mut table = Table { takeover, before, steps: Vec::new(), taking_in: (newtons(0.0), newtons(0.0)) };
    let locked_m = path.steps.first().and_then(|step| step.locked_m).unwrap_or_default();
    let haul_rope_m = path.steps.first().map_or(0.0, |step| step.haul_rope_m);
    for step in &path.steps {
        let printed = table.step(step, locked_m, haul_rope_m)?;
        table.steps.push(printed);
    }
    let steps = core::mem::take(&mut table.steps);
    let worst = worst(&steps, before.components);
    let of = |kind: StageKind| steps.iter().filter(move |step| step.stage == kind);
    let most = |forces: &mut dyn Iterator<Item = Force>| forces.fold(newtons(0.0), Force::max);
    let lifting = || of(StageKind::SetDown).chain(of(StageKind::SwingIn));
    let way_out = WayOut {
        winch_pull: most(&mut lifting().map(|step| step.winch_pull)),
        capstan_pull: table.taking_in.0,
        reading: table.taking_in.1,
        hold_back: most(&mut lifting().map(|step| step.hand)),
    };
    Ok(Changeover {
        given: setup.given,
        litter: setup.size,
        edge: setup.edge.into(),
        pulled_in_by: setup.pulled_in_by,
        pull_from: match setup.pulls {
            PullsIn::RopeFrom(place) => Some(place.into()),
            PullsIn::Hands => None,
        },
        rope: metres(path.rope_m),
        least_rope: setup.least_rope,
        clearance_wanted: metres(setup.clearance_m),
        stages: stages(&steps, setup),
        events: events(&steps, setup, &takeover),
        hand_over: hand_over(&steps, &takeover, &path, before),
        way_out,
        worst,
        least_head_height: least_head_height(model, setup, before.unloaded.strand_tension_head),
        residual: steps.iter().map(|step| step.residual).fold(0.0, f64::max),
        steps,
    })
}

struct Table<'a, 'm, 'g> {
    takeover: Takeover<'a, 'm, 'g>,
    before: &'a Before<'a>,
    steps: Vec<ChangeoverStep>,
    /// The most that the capstan pulls while it takes the track in under the load; what the cell shows with the track as
    /// long as it was.
    taking_in: (Force, Force),
}

impl Table<'_, '_, '_> {
    fn step(
        &mut self,
        step: &Step,
        locked_m: f64,
        haul_rope_m: f64,
    ) -> Result<ChangeoverStep, ChangeoverError> {
        let (model, setup) = (self.takeover.model, self.takeover.setup);
        let parts = on_parts(model, &setup.belay, &step.ropes)?;
        let OnParts { forces, frame, haul_behind, winch, device, reading, capstan, taking_in } = parts;
        if let (StageKind::LetDown, Some((pull, cell))) = (step.stage, taking_in) {
            self.taking_in.0 = self.taking_in.0.max(pull);
            if self.steps.iter().all(|step| step.stage != StageKind::LetDown) {
                self.taking_in.1 = cell;
            }
        }
        let (frame, falls) = position::printed(frame);
        let load = step.load();
        let band = |of: &dyn Fn(&super::under::Ropes) -> f64| {
            let mut values = step.ropes.iter().map(of);
            let first = values.next().unwrap_or_default();
            let (low, high) = values.fold((first, first), |(low, high), x| (low.min(x), high.max(x)));
            Band { low: newtons(low), expected: newtons(first), high: newtons(high) }
        };
        let haul = band(&|ropes| ropes.haul_n);
        let weight = model.weight();
        let mut ropes = Vec::new();
        if step.locked_m.is_some() {
            ropes.push(LoadRope::Track);
        }
        ropes.push(LoadRope::Haul);
        if setup.belay != BelayWay::None {
            ropes.push(LoadRope::Belay);
        }
        let by_hand = if setup.pulled_in_by == PulledInBy::Hands { newtons(step.pull_n) } else { device };
        let parts_of_frame = |place| matches!(place, Place::Leg | Place::Guy);
        let components = self.before.components.iter();
        Ok(ChangeoverStep {
            stage: step.stage,
            lies: step.litter.lies(),
            load: load.into(),
            haul_length: metres(step.way_m),
            haul_in: metres(haul_rope_m - step.haul_rope_m),
            belay_length: match setup.belay {
                BelayWay::None => None,
                BelayWay::From { place, .. } if step.stage != StageKind::HaulUp => {
                    Some(Point3::from_si(place.si() - load.si()).magnitude())
                }
                _ => Some(metres(step.way_m)),
            },
            // Two strands.
            track_out: step
                .locked_m
                .filter(|_| !step.below_ground())
                .map(|now_m| metres(2.0 * (now_m - locked_m))),
            strand_tension_head: band(&|ropes| {
                ropes.track.map_or(0.0, |track| 0.5 * track.tension.head.value)
            }),
            reading,
            capstan,
            haul,
            haul_behind_head: Band { low: haul_behind.0, expected: haul.expected, high: haul_behind.1 },
            winch_pull: winch,
            belay: band(&|ropes| ropes.belay_n),
            hand: if step.pull_n > 0.0 { by_hand } else { newtons(0.0) },
            inward_pull: newtons(step.inward_n),
            ropes,
            litter_height: self.takeover.litter_height_m(&step.litter, load).map(metres),
            frame_clearance: metres(self.takeover.frame_clearance_m(&step.litter, load)),
            track_on_ground: step.on_ground(),
            forces: components
                .filter(|part| falls.is_none() || !parts_of_frame(part.place))
                .map(|part| forces[part.place])
                .collect(),
            frame,
            // P + 2·(W − P), which is more than both while P is less than W.
            shock: haul.high.max(2.0 * weight - haul.low),
            residual: step.residual,
        })
    }
}

/// The first of the smallest, or of the largest with the sign changed.
fn least(values: impl Iterator<Item = Option<f64>>) -> Option<(f64, usize)> {
    let known = values.enumerate().filter_map(|(step, value)| Some((value?, step)));
    known.reduce(|best, next| if next.0 < best.0 { next } else { best })
}

fn worst(steps: &[ChangeoverStep], components: &[RatedPart]) -> ChangeoverWorst {
    let greatest = |of: &dyn Fn(&ChangeoverStep) -> Force| {
        let (value, step) = least(steps.iter().map(|step| Some(-of(step).value))).unwrap_or_default();
        AtStep { si: newtons(-value), step }
    };
    let height = |step: &ChangeoverStep| {
        let judged = step.stage != StageKind::SetDown;
        step.litter_height.filter(|_| judged).map(|height| height.value)
    };
    let margins = steps.iter().map(|step| {
        step.frame.as_ref().filter(|frame| !frame.over.is_empty()).map(|frame| frame.margin.value)
    });
    let margin = least(margins);
    let (clear_m, clear_at) =
        least(steps.iter().map(|step| Some(step.frame_clearance.value))).unwrap_or_default();
    let mut factor: Option<(AtStep<f64>, usize)> = None;
    for (at, step) in steps.iter().enumerate() {
        for (i, (part, force)) in components.iter().zip(&step.forces).enumerate() {
            let Some(strength) = part.strength.filter(|_| force.value > 0.0) else { continue };
            let found = strength.value / force.value;
            if factor.is_none_or(|(least, _)| found < least.si) {
                factor = Some((AtStep { si: found, step: at }, i));
            }
        }
    }
    let (fewest, fewest_at) =
        least(steps.iter().map(|step| Some(step.ropes.len() as f64))).unwrap_or_default();
    let falls_at = steps.iter().position(|step| step.frame.is_none());
    let over = margin.and_then(|(_, at)| steps.get(at)?.frame.as_ref()).map(|frame| frame.over.clone());
    ChangeoverWorst {
        litter_height: least(steps.iter().map(height)).map(|(si, step)| AtStep { si: metres(si), step }),
        frame_clearance: AtStep { si: metres(clear_m), step: clear_at },
        margin: margin
            .filter(|_| falls_at.is_none())
            .map(|(si, step)| AtStep { si: crate::quantity::radians(si), step }),
        over: over.unwrap_or_default(),
        falls_at,
        factor: factor.map(|(factor, _)| factor),
        component: factor.map(|(_, component)| component),
        haul: greatest(&|step| step.haul.high),
        winch_pull: greatest(&|step| step.winch_pull),
        belay: greatest(&|step| step.belay.high),
        hand: greatest(&|step| step.hand),
        fewest_ropes: AtStep { si: fewest as usize, step: fewest_at },
    }
}

fn stages(steps: &[ChangeoverStep], setup: &Setup) -> Vec<ChangeoverStage> {
    let mut list: Vec<ChangeoverStage> = Vec::new();
    for (at, step) in steps.iter().enumerate() {
        match list.last_mut() {
            Some(stage) if stage.kind == step.stage => stage.last = at,
            _ => list.push(ChangeoverStage {
                kind: step.stage,
                first: at,
                last: at,
                haul_in: metres(0.0),
                track_out: None,
                text: String::new(),
                way_out: String::new(),
            }),
        }
    }
    let mut from = steps.first().map_or_else(|| metres(0.0), |step| step.haul_in);
    for stage in &mut list {
        let within = steps.get(stage.first..=stage.last).unwrap_or_default();
        if let Some(last) = within.last() {
            stage.haul_in = last.haul_in - from;
            from = last.haul_in;
        }
        if stage.kind == StageKind::LetDown {
            stage.track_out = within.iter().rev().find_map(|step| step.track_out);
        }
        (stage.text, stage.way_out) = words::changeover_stage(stage, setup.pulled_in_by);
    }
    list
}

fn events(steps: &[ChangeoverStep], setup: &Setup, takeover: &Takeover<'_, '_, '_>) -> Vec<ChangeoverEvent> {
    let mut list = Vec::new();
    let mut add = |kind: EventKind, is_so: &dyn Fn(&ChangeoverStep) -> bool| {
        if let Some(step) = steps.iter().position(is_so) {
            list.push(ChangeoverEvent { kind, step, text: words::changeover_event(kind) });
        }
    };
    let edge = setup.edge.x - takeover.model.values().base.x;
    let stage = |kind: StageKind| move |step: &ChangeoverStep| step.stage == kind;
    if let BelayWay::From { .. } = setup.belay {
        add(EventKind::BelayOffTheHead, &stage(StageKind::LetDown));
    } else {
        add(EventKind::BelayTaut, &|step| step.belay.high.value > 0.0);
    }
    if setup.size.comes != setup.size.lies {
        add(EventKind::Turned, &|step| step.lies == setup.size.lies);
    }
    let inner = |step: &ChangeoverStep| step.load.x - setup.litter.lying(step.lies).reach();
    add(EventKind::OverTheEdge, &|step| inner(step) <= edge);
    add(EventKind::TrackOnGround, &|step| step.track_on_ground);
    add(EventKind::TrackSlack, &|step| !step.ropes.contains(&LoadRope::Track));
    add(EventKind::PulledIn, &|step| step.inward_pull.value > 0.0);
    add(EventKind::InsideTheEdge, &|step| step.load.x + setup.litter.lying(step.lies).reach() <= edge);
    let last = steps.len().saturating_sub(1);
    list.push(ChangeoverEvent {
        kind: EventKind::OnTheRoad,
        step: last,
        text: words::changeover_event(EventKind::OnTheRoad),
    });
    list.sort_by_key(|event| event.step);
    list
}

fn hand_over(
    steps: &[ChangeoverStep],
    takeover: &Takeover<'_, '_, '_>,
    path: &Path,
    before: &Before<'_>,
) -> LoadTransfer {
    let mut eased = steps.iter().filter(|step| step.stage == StageKind::LetDown);
    let first = eased.next();
    let last_out = steps.iter().rev().find_map(|step| step.track_out);
    let last = steps.iter().rfind(|step| step.stage == StageKind::LetDown);
    let slack = slack_strand_m(takeover, path.rope_m) - before.unloaded.strand_length.value;
    let zero = newtons(0.0);
    LoadTransfer {
        haul_before: first.map_or(zero, |step| step.haul.expected),
        haul_after: last.map_or(zero, |step| step.haul.expected),
        shock: first.map_or(zero, |step| step.shock),
        down: first.zip(last).map_or_else(|| metres(0.0), |(first, last)| first.load.z - last.load.z),
        track_out: last_out.unwrap_or_default(),
        track_out_slack: metres(2.0 * slack.max(0.0)),
        track_spare: before.spare - metres(2.0 * slack.max(0.0)),
    }
}

/// A strand that lies along the ground from the far anchor to below the head, and hangs plumb from there to the load, and
/// from the load to the head.
fn slack_strand_m(takeover: &Takeover<'_, '_, '_>, rope_m: f64) -> f64 {
    let values = takeover.model.values();
    let (from, to) = (values.base, values.far);
    let between = values.ground.iter().filter(|p| p.x > from.x && p.x < to.x);
    let (mut at, mut length_m) = (from, 0.0);
    for point in between.chain(core::iter::once(&to)) {
        length_m += math::hypot((point.x - at.x).value, (point.z - at.z).value);
        at = *point;
    }
    let below_m = (values.head_height.value - rope_m).max(0.0);
    length_m + below_m + rope_m
}
