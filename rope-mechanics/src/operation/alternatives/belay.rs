//! Ways to belay: what each holds if the haul rope is lost, how far the load runs, and what it doesn't cover.

use super::SolvedRig;
use super::crew::Crew;
use crate::arrest::{ArrestError, Holding, STIFFER_AT_MOST, STIFFER_IN_A_FALL, hand_over};
use crate::capstan::Hand;
use crate::error::InputError;
use crate::math;
use crate::motion::Motion;
use crate::operation::failures::{AtMost, Detail, Failure, FailureEnd, FailureError, FailureValues};
use crate::operation::model::{Model, ModelError};
use crate::operation::place::Place;
use crate::operation::plan::SiteError;
use crate::operation::state::{HoldingRope, State, StateError};
use crate::operation::words;
use crate::quantity::{Force, Length, Velocity, metres, newtons, ratio};
use crate::rope::Stretch;
use alloc::string::{String, ToString};
use alloc::vec::Vec;
use serde::Serialize;

/// How far an attendant moves the grab on a fixed rope at a time: an arm's length. From memory.
const GRAB_STEP_M: f64 = 0.5;
/// Friction of a fixed rope on a padded edge: 0.2 (0.15 to 0.4). From memory.
const EDGE_FRICTION: f64 = 0.2;
/// Places of the load that are judged, evenly spread, at most.
const SPREAD: usize = 25;

/// The ways to belay, side by side.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct BelayWays {
    /// Each of them; only none where the site file has no belay rope.
    pub ways: Vec<BelayWay>,
    /// The load's greatest speed, while it is hauled.
    #[serde(rename = "load_speed_m_per_s")]
    pub load_speed: Velocity,
}

/// How the load is belayed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum BelayKind {
    /// No belay.
    None,
    /// From above, over the head, held by hands alone.
    Hands,
    /// From above, over the head, through a device that holds by itself.
    Device,
    /// A fixed rope of its own on the ground, with a grab that an attendant moves along.
    FixedRope,
    /// Haul and belay rope both carry half, each on its own device.
    Shared,
}

/// A way to belay, judged where the haul rope is lost at the worst place.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct BelayWay {
    /// Which.
    pub kind: BelayKind,
    /// In words.
    pub name: String,
    /// Whether the file's own belay is of this kind.
    pub is_the_sites: bool,
    /// How many people it takes: hands that hold at the worst place, for [`BelayKind::Hands`].
    pub people: AtMost<u32>,
    /// Slack when the haul rope is lost: what the site file gives, and what comes in while nobody has tended it yet.
    #[serde(rename = "slack_m")]
    pub slack: Length,
    /// Of that, what comes of tending: the delay times the load's speed, or the step of the grab.
    #[serde(rename = "slack_of_tending_m")]
    pub slack_of_tending: Length,
    /// Whether it holds the load at every place that is judged.
    pub holds: bool,
    /// How far the load runs out before it turns. Absent where nothing holds it.
    #[serde(rename = "stopping_m")]
    pub stopping: Option<AtMost<Length>>,
    /// Peak in the rope that holds. Absent where none does.
    #[serde(rename = "peak_n")]
    pub peak: Option<AtMost<Force>>,
    /// Force on its device, on the hands, or on the anchor of a fixed rope then: expected with the friction of the head or
    /// of the edge, which helps while the rope runs out, and at most, without that help. Absent without a belay.
    #[serde(rename = "at_device_n")]
    pub at_device: Option<AtMost<Force>>,
    /// Index of the position of that peak; for hands, of the greatest force on them.
    pub position: Option<usize>,
    /// Strength of that rope by the bound of its peak.
    pub factor: Option<f64>,
    /// How it ends at the worst place, where the rig's failures judge that.
    pub end: Option<FailureEnd>,
    /// What the tender pulls to take the rope in, at the place with most of it out: its weight and the friction over the
    /// head. Zero where none is taken in.
    #[serde(rename = "to_take_in_n")]
    pub to_take_in: Force,
    /// What it doesn't cover.
    pub does_not_cover: Vec<String>,
    /// Why it can't be judged; empty if it can.
    pub problem: String,
}

/// The worst over all places.
#[derive(Default)]
struct Worst {
    peak: Option<(AtMost<Force>, usize)>,
    at_device: Option<AtMost<Force>>,
    stopping: Option<AtMost<Length>>,
    end: Option<FailureEnd>,
}

impl Worst {
    fn add(
        &mut self,
        position: usize,
        peak: AtMost<Force>,
        at_device: AtMost<Force>,
        stopping: AtMost<Length>,
    ) {
        if self.peak.is_none_or(|(most, _)| peak.bound > most.bound) {
            (self.peak, self.at_device) = (Some((peak, position)), Some(at_device));
        }
        self.stopping = Some(self.stopping.map_or(stopping, |most| most.max(stopping)));
    }
}

fn failed(why: FailureError) -> SiteError {
    SiteError::new("belay", why.to_string())
}

fn unusable(why: InputError) -> SiteError {
    SiteError::at("belay", why)
}

fn no_model(why: ModelError) -> SiteError {
    SiteError::new("belay", why.to_string())
}

/// A rope that takes over a pull: its stretch and length, and how it holds before.
fn taken_over(
    pull: Force,
    rope: &dyn Fn(f64) -> Result<Holding, InputError>,
) -> Result<(AtMost<Force>, AtMost<Length>), SiteError> {
    let after = |stiffer: f64| -> Result<(Force, Length), SiteError> {
        let holding = rope(stiffer).map_err(unusable)?;
        let found = hand_over(pull, &[holding])
            .map_err(|why: ArrestError| SiteError::new("belay", why.to_string()))?;
        let [peak] = found.peak;
        Ok((peak, found.peak_travel))
    };
    let (expected, stiff, soft) =
        (after(STIFFER_IN_A_FALL.expected)?, after(STIFFER_AT_MOST)?, after(STIFFER_IN_A_FALL.low)?);
    // A rope that is taut already peaks the same at any stiffness, but for rounding.
    let peak = AtMost { expected: expected.0, bound: stiff.0.max(expected.0) };
    Ok((peak, AtMost { expected: expected.1, bound: soft.1 }))
}

fn stiffer(stretch: Stretch, by: f64) -> Result<Stretch, InputError> {
    stretch.scaled(ratio(by))
}

pub(super) fn ways(
    rig: &SolvedRig<'_, '_, '_>,
    crew: &Crew,
    values: &FailureValues<'_>,
) -> Result<BelayWays, SiteError> {
    let speeds = rig.study.positions.iter().map(|p| p.load_speed);
    let load_speed = speeds.fold(Velocity::default(), Velocity::max);
    let judged: Vec<(usize, State<'_, '_>)> = rig.spread(SPREAD);
    let model = rig.model;
    let mut ways = alloc::vec![judged_as(BelayKind::None, without(model, &judged, values))];
    if let (Some(belay), Some(rope)) = (model.values().belay, &rig.plan.belay) {
        let of_tending = crew.delay * load_speed;
        let (strength, haul) = (rope.strength.strength, rig.plan.haul_strength.strength);
        let tended =
            Tended { slack: belay.slack + of_tending, of_tending, to_take_in: to_take_in(model, &judged)? };
        ways.extend([
            judged_as(BelayKind::Hands, hands(model, &judged, tended)),
            judged_as(BelayKind::Device, device(model, &judged, values, tended, strength)),
            judged_as(BelayKind::FixedRope, fixed(model, &judged, strength)),
            judged_as(BelayKind::Shared, shared(model, &judged, strength.min(haul))),
        ]);
    }
    let site_has = model.values().belay.is_some();
    for way in &mut ways {
        way.is_the_sites = way.kind == if site_has { BelayKind::Device } else { BelayKind::None };
    }
    Ok(BelayWays { ways, load_speed })
}

/// A rope that is tended: its slack, what of that comes of tending, and what it takes to take it in.
#[derive(Clone, Copy)]
struct Tended {
    slack: Length,
    of_tending: Length,
    to_take_in: Force,
}

/// A way to belay, or why it can't be judged.
fn judged_as(kind: BelayKind, way: Result<BelayWay, SiteError>) -> BelayWay {
    way.unwrap_or_else(|why| BelayWay { problem: why.to_string(), ..plain(kind) })
}

fn plain(kind: BelayKind) -> BelayWay {
    BelayWay {
        kind,
        name: words::belay_way(kind).to_string(),
        is_the_sites: false,
        people: AtMost { expected: 0, bound: 0 },
        slack: metres(0.0),
        slack_of_tending: metres(0.0),
        holds: false,
        stopping: None,
        peak: None,
        at_device: None,
        position: None,
        factor: None,
        end: None,
        to_take_in: newtons(0.0),
        does_not_cover: words::belay_does_not_cover(kind).iter().map(|gap| (*gap).to_string()).collect(),
        problem: String::new(),
    }
}

fn with(way: BelayWay, worst: &Worst, strength: Force) -> BelayWay {
    BelayWay {
        holds: true,
        stopping: worst.stopping,
        peak: worst.peak.map(|(peak, _)| peak),
        at_device: worst.at_device,
        position: worst.peak.map(|(_, position)| position),
        factor: worst
            .peak
            .filter(|(peak, _)| peak.bound.value > 0.0)
            .map(|(peak, _)| (strength / peak.bound).value),
        end: worst.end,
        ..way
    }
}

/// The pull that is lost: without friction, which would hold some of it back.
fn lost(state: &State<'_, '_>) -> Force {
    let rest = state.situation().moving(Motion::AtRest);
    state.model().state_near(&rest, state).map_or(state.pull(), |rest| rest.pull())
}

/// The rig's own failure of its haul rope, for another belay.
fn rig_fails(
    model: &Model<'_>,
    judged: &[(usize, State<'_, '_>)],
    values: &FailureValues<'_>,
) -> Result<Worst, SiteError> {
    let mut worst = Worst::default();
    for (position, state) in judged {
        // Without the belay's weight the load may roll in where it just didn't.
        let state = match model.state_near(state.situation(), state) {
            Ok(state) => state,
            Err(StateError::RollsIn { .. } | StateError::LiesDown { .. }) => continue,
            Err(why) => return Err(words::no_state(model, why)),
        };
        let story = state.failure(Failure::HaulRope, values, Detail::Bounds).map_err(failed)?;
        let (peak, at_device) = (story.peaks[Place::BelayRope], story.peaks[Place::BelayDevice]);
        let at_device = match model.values().belay {
            Some(_) => AtMost { expected: let_out(model, &state, peak.expected)?, ..at_device },
            None => at_device,
        };
        worst.add(*position, peak, at_device, story.run);
        worst.end = Some(worst.end.map_or(story.end, |end| end.min(story.end)));
    }
    Ok(worst)
}

fn without(
    model: &Model<'_>,
    judged: &[(usize, State<'_, '_>)],
    values: &FailureValues<'_>,
) -> Result<BelayWay, SiteError> {
    let without = model.with(|values| values.belay = None).map_err(no_model)?;
    let worst = rig_fails(&without, judged, values)?;
    // Where nothing pulls, nothing is lost.
    let holds = worst.end.is_some_and(|end| end == FailureEnd::Stays);
    Ok(BelayWay { end: worst.end, holds, ..plain(BelayKind::None) })
}

/// Weight of the belay rope between head and carriage and what friction over the head adds, where that is most.
fn to_take_in(model: &Model<'_>, judged: &[(usize, State<'_, '_>)]) -> Result<Force, SiteError> {
    let Some(belay) = model.values().belay else { return Ok(newtons(0.0)) };
    let mut most = newtons(0.0);
    for (_, state) in judged {
        let carriage = state.carriage().unwrap_or_default();
        // w·Δz at the head, times what its sheave adds
        let weight = belay.rope.weight() * (model.head().z - carriage.z).max(metres(0.0));
        let forces = model
            .load_rope_forces(HoldingRope::Belay, carriage, weight)
            .map_err(|why| words::no_state(model, why))?;
        most = most.max(forces[Place::BelayDevice]);
    }
    Ok(most)
}

/// The belay rope behind the head while it runs out under this pull.
fn let_out(model: &Model<'_>, state: &State<'_, '_>, pull: Force) -> Result<Force, SiteError> {
    model
        .load_rope_let_out(HoldingRope::Belay, state.carriage().unwrap_or_default(), pull)
        .map_err(|why| words::no_state(model, why))
}

/// What hands behind the head hold at the load: the head's friction helps them.
fn hands(
    model: &Model<'_>,
    judged: &[(usize, State<'_, '_>)],
    tended: Tended,
) -> Result<BelayWay, SiteError> {
    let [weakest, mean, _] = Hand::HELD_N;
    let (mut most, mut at_most) = (newtons(0.0), newtons(0.0));
    let mut at = None;
    for (position, state) in judged {
        let pull = lost(state);
        let held = let_out(model, state, pull)?;
        if held > most {
            (most, at_most, at) = (held, pull, Some(*position));
        }
    }
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a small whole number, never below zero"
    )]
    let people = |one_n: f64| math::ceil(most.value / one_n - 1e-9).max(0.0) as u32;
    Ok(BelayWay {
        people: AtMost { expected: people(mean), bound: people(weakest) },
        slack: tended.slack,
        slack_of_tending: tended.of_tending,
        // One hand.
        holds: most.value <= weakest,
        position: at,
        at_device: Some(AtMost { expected: most, bound: at_most }),
        to_take_in: tended.to_take_in,
        ..plain(BelayKind::Hands)
    })
}

fn device(
    model: &Model<'_>,
    judged: &[(usize, State<'_, '_>)],
    values: &FailureValues<'_>,
    tended: Tended,
    strength: Force,
) -> Result<BelayWay, SiteError> {
    let slacker = model
        .with(|values| {
            if let Some(belay) = &mut values.belay {
                belay.slack = tended.slack;
            }
        })
        .map_err(no_model)?;
    let worst = rig_fails(&slacker, judged, values)?;
    let way = BelayWay {
        people: AtMost { expected: 1, bound: 1 },
        slack: tended.slack,
        slack_of_tending: tended.of_tending,
        to_take_in: tended.to_take_in,
        ..plain(BelayKind::Device)
    };
    Ok(with(way, &worst, strength))
}

/// A rope on the ground from an anchor below the head: as long as the load is out, nothing behind it.
fn fixed(
    model: &Model<'_>,
    judged: &[(usize, State<'_, '_>)],
    strength: Force,
) -> Result<BelayWay, SiteError> {
    let Some(belay) = model.values().belay else { return Ok(plain(BelayKind::FixedRope)) };
    let step = metres(GRAB_STEP_M);
    let slack = belay.slack + step;
    let mut worst = Worst::default();
    for (position, state) in judged {
        let pull = lost(state);
        if pull.value <= 0.0 {
            continue;
        }
        let carriage = state.carriage().unwrap_or_default();
        let base = model.values().base;
        let out = metres(math::hypot((carriage.x - base.x).value, (carriage.z - base.z).value));
        let rope = |by: f64| Holding::slack(stiffer(belay.rope.stretch(), by)?, out, slack);
        let (peak, stopping) = taken_over(pull, &rope)?;
        // T·e^(−μθ), turning down from level over the edge
        let edge_rad = math::atan2((base.z - carriage.z).value, (carriage.x - base.x).value).max(0.0);
        let help = math::exp(-EDGE_FRICTION * edge_rad);
        let at_anchor = AtMost { expected: help * peak.expected, bound: peak.bound };
        worst.add(*position, peak, at_anchor, stopping);
    }
    let way = BelayWay {
        people: AtMost { expected: 1, bound: 1 },
        slack,
        slack_of_tending: step,
        ..plain(BelayKind::FixedRope)
    };
    Ok(with(way, &worst, strength))
}

/// Both ropes carry half: whichever is lost, the other is taut already.
fn shared(
    model: &Model<'_>,
    judged: &[(usize, State<'_, '_>)],
    strength: Force,
) -> Result<BelayWay, SiteError> {
    let mut worst = Worst::default();
    for (position, state) in judged {
        let half = 0.5 * lost(state);
        if half.value <= 0.0 {
            continue;
        }
        for rope in [HoldingRope::Haul, HoldingRope::Belay] {
            let rope = model
                .load_rope_as_it_stretches(rope, state.carriage().unwrap_or_default())
                .map_err(failed)?;
            let holding = |by: f64| Holding::taut(stiffer(rope.stretch, by)?, metres(rope.length_m), half);
            let (peak, stopping) = taken_over(half, &holding)?;
            let at_device = AtMost { expected: let_out(model, state, peak.expected)?, bound: peak.bound };
            worst.add(*position, peak, at_device, stopping);
        }
    }
    let way = BelayWay { people: AtMost { expected: 2, bound: 2 }, ..plain(BelayKind::Shared) };
    Ok(with(way, &worst, strength))
}
