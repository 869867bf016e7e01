//! Systems on the same ground: without a track, on one strand, on a doubled rope, on two ropes with an anchor each.

use super::SolvedRig;
use super::crew::Crew;
use super::over_head::{OverHead, head_under};
use crate::arrest::{Holding, STIFFER_AT_MOST, STIFFER_IN_A_FALL, hand_over};
use crate::geometry::{Force3, Point2, Point3, angle_between};
use crate::math;
use crate::motion::Motion;
use crate::operation::failures::{AtMost, Detail, Failure, FailureEnd, FailureValues};
use crate::operation::model::{Model, ModelError, RigValues};
use crate::operation::place::Place;
use crate::operation::plan::SiteError;
use crate::operation::solve::wanted;
use crate::operation::state::{HoldingRope, LoadPlace, Situation, State, StateError};
use crate::operation::study::At;
use crate::operation::travel::Wanted;
use crate::operation::under_ropes::{HeadRopes, UnderRopes};
use crate::operation::words;
use crate::quantity::{Angle, Force, Length, Mass, Ratio, metres, newtons, ratio, weight_of};
use crate::rope::Rope;
use alloc::string::{String, ToString};
use alloc::vec::Vec;
use serde::Serialize;

/// Places of the load at which a failure is judged, evenly spread, at most.
const SPREAD: usize = 9;
/// Attendants that a litter on the slope takes. Common practice, no source: three or four.
const ON_THE_SLOPE: u32 = 3;

/// A system.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum SystemKind {
    /// The litter on the slope with three attendants, on haul and belay rope over the frame.
    NoTrack,
    /// One strand of track rope from the capstan to the far anchor.
    OneStrand,
    /// One rope doubled on one sheave at the far anchor: the default.
    Doubled,
    /// Two ropes side by side, each with an anchor of its own at both ends.
    TwoRopes,
}

/// A system, side by side with the others: each on this site's ground, with its ropes, set as the site file asks, a
/// tension being that of one strand.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct SystemWay {
    /// Which.
    pub kind: SystemKind,
    /// In words.
    pub name: String,
    /// What was found; absent where it can't be.
    pub found: Option<SystemFound>,
    /// Why it can't; empty if it can.
    pub problem: String,
    /// Ropes and anchors that it needs, and people.
    pub needs: SystemNeeds,
    /// What is left after its worst single failure; absent where that can't be said.
    pub after_failure: Option<AfterFailure>,
}

/// What a system needs.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct SystemNeeds {
    /// Track rope with what knots, tails, wraps and ways behind the frame use of it.
    #[serde(rename = "track_rope_m")]
    pub track_rope: Length,
    /// Haul rope from the load at the start to the winch, without a tackle.
    #[serde(rename = "haul_rope_m")]
    pub haul_rope: Length,
    /// Belay rope from the load at the start to its device.
    #[serde(rename = "belay_rope_m")]
    pub belay_rope: Length,
    /// Whether the track rope on hand is enough, in one piece or, for two ropes, in two.
    pub track_rope_is_enough: bool,
    /// Anchors at the apparatus, redirects among them, without the frame's own.
    pub near_anchors: u32,
    /// Anchors at the far end.
    pub far_anchors: u32,
    /// People at the ropes and at the litter: one at each of winch, belay and capstan, and the attendants.
    pub people: u32,
}

/// What a system is like over its travel, hauled.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct SystemFound {
    /// Greatest pull of the haul rope at the load.
    #[serde(rename = "greatest_haul_pull_n")]
    pub greatest_pull: At<Force>,
    /// Greatest pull at the winch with the site's tackle.
    #[serde(rename = "greatest_winch_pull_n")]
    pub greatest_winch_pull: At<Force>,
    /// Greatest tension in any one track rope or strand, at the worst of friction. Absent without a track.
    #[serde(rename = "greatest_track_tension_n")]
    pub greatest_track_tension: Option<At<Force>>,
    /// Greatest force on any one far anchor. Absent without a track.
    #[serde(rename = "far_anchor_n")]
    pub far_anchor: Option<Force>,
    /// Strength of a track rope by that tension. Absent without a track.
    pub track_factor: Option<f64>,
    /// Least height of the litter where it is to float; zero where it lies.
    #[serde(rename = "least_litter_height_m")]
    pub least_height: At<Length>,
    /// Greatest height of the litter.
    #[serde(rename = "greatest_litter_height_m")]
    pub greatest_height: At<Length>,
    /// Greatest share of the load's weight that the ground carries.
    #[serde(rename = "greatest_ground_share_fraction")]
    pub greatest_ground_share: At<Ratio>,
    /// Least angle of the frame from tipping. Absent where it falls, and where nothing tips it.
    #[serde(rename = "least_margin_rad")]
    pub least_margin: Option<Angle>,
    /// First position at which the frame falls.
    pub frame_falls_at: Option<usize>,
    /// First position at which the straight haul rope would cut the ground: it bears there, which these numbers don't
    /// count.
    pub haul_rope_on_ground_at: Option<usize>,
    /// How many of the positions have no such state: the load rolls in there by itself, or even its carriage lies down.
    pub without_state: u32,
}

/// What is left after one failure.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct AfterFailure {
    /// What fails, and what holds then, in a sentence.
    pub text: String,
    /// Whether a rope of the same kind still holds the load where it is.
    pub redundant: bool,
    /// How it ends at the worst of the places judged, where the rig's failures judge that.
    pub end: Option<FailureEnd>,
    /// Peak in the rope that holds then.
    #[serde(rename = "peak_n")]
    pub peak: Option<AtMost<Force>>,
    /// Strength of that rope by the bound of its peak.
    pub factor: Option<f64>,
    /// How far the litter goes down.
    #[serde(rename = "drop_m")]
    pub drop: Option<AtMost<Length>>,
    /// Least height of the litter when all is still again; zero where it lies.
    #[serde(rename = "still_height_m")]
    pub still_height: Option<Length>,
}

fn no_model(why: ModelError) -> SiteError {
    SiteError::new("track", why.to_string())
}

/// What one place adds to a system.
struct AtPlace {
    position: usize,
    floats: bool,
    pull: Force,
    winch: Force,
    tension: Option<Force>,
    far: Option<Force>,
    height: Length,
    ground_share: Ratio,
    frame: UnderRopes,
    on_ground: bool,
}

pub(super) fn ways(
    rig: &SolvedRig<'_, '_, '_>,
    crew: &Crew,
    values: &FailureValues<'_>,
) -> Result<Vec<SystemWay>, SiteError> {
    let systems = Systems { rig, crew, values };
    [SystemKind::NoTrack, SystemKind::OneStrand, SystemKind::Doubled, SystemKind::TwoRopes]
        .into_iter()
        .map(|kind| systems.way(kind))
        .collect()
}

struct Systems<'a, 's, 'm, 'g> {
    rig: &'a SolvedRig<'s, 'm, 'g>,
    crew: &'a Crew,
    values: &'a FailureValues<'a>,
}

impl<'g> Systems<'_, '_, '_, 'g> {
    fn way(&self, kind: SystemKind) -> Result<SystemWay, SiteError> {
        let study = self.rig.study;
        let solved = match kind {
            SystemKind::NoTrack => self.no_track(),
            SystemKind::Doubled => self.on_track(kind, self.rig.model, study.unloaded.strand_length),
            SystemKind::TwoRopes => self.on_track(kind, self.rig.model, study.unloaded.strand_length),
            SystemKind::OneStrand => self.one_strand().and_then(|model| {
                let strand = self.set_one_strand(&model)?;
                self.on_track(kind, &model, strand)
            }),
        };
        let (found, after_failure, strand, problem) = match solved {
            Ok((found, after, strand)) => (Some(found), after, strand, String::new()),
            Err(why) => (None, None, None, why.to_string()),
        };
        Ok(SystemWay {
            kind,
            name: words::system(kind).to_string(),
            found,
            problem,
            needs: self.needs(kind, strand),
            after_failure,
        })
    }

    /// The rig on one strand of its rope, as a model of two: each of them half as heavy and half as stiff, and so behind
    /// the head, where both go as far as the one goes to the capstan.
    fn one_strand(&self) -> Result<Model<'g>, SiteError> {
        let model = self.rig.model;
        let track = &model.values().track;
        let rope = half(&track.rope)?;
        let fail = |why| SiteError::at("track.rope", why);
        let behind = track.stretch_behind.scaled(ratio(0.5)).map_err(fail)?;
        let (head, cell) = (model.head_at.si(), track.cell_anchor.si());
        let (to_capstan, to_cell) = model.track_ways_behind_head();
        let cell_anchor = Point3::from_si(head + (to_capstan / to_cell).value * (cell - head));
        let change = |values: &mut RigValues<'g>| {
            values.track.rope = rope;
            values.track.stretch_behind = behind;
            values.track.cell_anchor = cell_anchor;
        };
        model.with(change).map_err(no_model)
    }

    /// Set as the site file asks: a tension is that of one strand, of which the model holds two halves.
    fn set_one_strand(&self, model: &Model<'_>) -> Result<Length, SiteError> {
        let set = &self.rig.site.track.set;
        let wanted = match wanted(set) {
            // Without its load one strand of one hangs as one of two: by the same length.
            Wanted::UnloadedTension(_)
            | Wanted::UnloadedReading { .. }
            | Wanted::UnloadedSag(_)
            | Wanted::Strand(_) => return Ok(self.rig.study.unloaded.strand_length),
            Wanted::GreatestTension(tension) => Wanted::GreatestTension(0.5 * tension),
            Wanted::LoadedReading { at, reading, turned } => {
                Wanted::LoadedReading { at, reading: 0.5 * reading, turned }
            }
            height @ (Wanted::LitterHeight(_) | Wanted::LoadedHeight { .. }) => height,
        };
        model.strand_for(wanted, &self.rig.plan.travel()).map_err(|why| words::no_strand(model, set, why))
    }

    /// A system with a track rope over its travel.
    fn on_track(&self, kind: SystemKind, model: &Model<'g>, strand: Length) -> Solved {
        let mut places: Vec<AtPlace> = Vec::with_capacity(self.rig.study.positions.len());
        let mut without_state = 0;
        let mut last: Option<State<'_, '_>> = None;
        let floats_from = self.rig.plan.travel().floats_from;
        for (position, p) in self.rig.study.positions.iter().enumerate() {
            let situation = Situation::at_x(strand, p.carriage.x, Motion::Hauling);
            let solved = match &last {
                Some(last) => model.state_near(&situation, last),
                None => model.state(&situation),
            };
            let state = match solved {
                Ok(state) => state,
                Err(StateError::RollsIn { .. } | StateError::LiesDown { .. }) => {
                    without_state += 1;
                    continue;
                }
                Err(why) => return Err(words::no_state(model, why)),
            };
            let on_track = self.on_track_at(kind, &state).map_err(|why| words::no_state(model, why))?;
            let carriage = state.carriage().unwrap_or_default();
            let line = model.haul_line(carriage, state.pull()).map_err(|why| words::no_state(model, why))?;
            places.push(AtPlace {
                position,
                floats: p.carriage.x <= floats_from,
                pull: state.pull(),
                winch: line.winch,
                tension: Some(on_track.0),
                far: Some(on_track.1),
                height: state.litter_height(),
                ground_share: state.ground_share(),
                frame: on_track.2,
                on_ground: cuts_ground(model, carriage),
            });
            last = Some(state);
        }
        let found = self.found(&places, without_state)?;
        let after = self.after(kind, model, strand)?;
        Ok((found, after, Some(strand)))
    }

    /// Greatest tension of one rope, force on one far anchor, and the frame.
    fn on_track_at(
        &self,
        kind: SystemKind,
        state: &State<'_, '_>,
    ) -> Result<(Force, Force, UnderRopes), StateError> {
        if kind == SystemKind::Doubled {
            let (forces, frame) = state.forces_and_frame()?;
            return Ok((forces[Place::TrackRope], forces[Place::Far], frame));
        }
        let model = state.model();
        let track = &model.values().track;
        let ropes = state.head_ropes();
        let (both, far) = (ropes.strands, state.forces()?[Place::Far]);
        let haul = OverHead::load_rope(model, &ropes)?;
        if kind == SystemKind::OneStrand {
            let strand = OverHead::track(model, ropes.line, both, model.track_behind, track.head_turn)?;
            let highest = strand.highest().max(strand.behind() * over_redirect(model));
            let frame = head_under(model, &[Some(strand), haul])?;
            return Ok((highest, far, frame));
        }
        let line = Force3::from_si(0.5 * ropes.line.si());
        let half = 0.5 * both;
        let to_capstan = OverHead::track(model, line, half, model.track_behind, track.head_turn)?;
        let to_cell = OverHead::track(model, line, half, track.cell_anchor, track.head_turn)?;
        let at_redirect = to_capstan.behind() * over_redirect(model);
        let highest = to_capstan.highest().max(to_cell.highest()).max(at_redirect);
        let frame = head_under(model, &[Some(to_capstan), Some(to_cell), haul])?;
        Ok((highest, 0.5 * far, frame))
    }

    /// The litter on the slope, without carriage, on a haul rope from the head.
    fn no_track(&self) -> Solved {
        let rig = self.rig;
        let there = rig.site.load.attendants.map_or_else(Mass::default, |mass| mass.value());
        let model = rig
            .model
            .with(|values| {
                values.load.litter = (values.load.litter - there).max(Mass::default());
                values.load.carriage = Mass::default();
                values.load.hang = metres(0.0);
            })
            .map_err(no_model)?;
        let leaning = f64::from(ON_THE_SLOPE) * self.crew.share.value * weight_of(self.crew.attendant);
        let fail = |why| words::no_state(&model, why);
        let mut places: Vec<AtPlace> = Vec::new();
        let mut without_state = 0;
        for (position, p) in rig.study.positions.iter().enumerate() {
            let Some(rope) = rope_to_ground(&model, p.carriage.x) else { continue };
            let situation = Situation::without_track(rope).moving(Motion::Hauling);
            let state = match model.state(&situation) {
                Ok(state) => state,
                Err(StateError::NotHeld) => {
                    without_state += 1;
                    continue;
                }
                Err(why) => return Err(fail(why)),
            };
            let carriage = state.carriage().unwrap_or_default();
            let pull = state.pull() + leaning_pull(&model, carriage, leaning, Motion::Hauling);
            let line = model.haul_line(carriage, pull).map_err(fail)?;
            let ropes = HeadRopes::without_track(HoldingRope::Haul, carriage, pull);
            places.push(AtPlace {
                position,
                floats: true,
                pull,
                winch: line.winch,
                tension: None,
                far: None,
                height: state.litter_height(),
                ground_share: state.ground_share(),
                frame: model.frame_under(&[ropes]).map_err(fail)?,
                on_ground: cuts_ground(&model, carriage),
            });
        }
        let found = self.found(&places, without_state)?;
        let after = self.after_no_track(&model, &places)?;
        Ok((found, after, None))
    }

    fn found(&self, places: &[AtPlace], without_state: u32) -> Result<SystemFound, SiteError> {
        let no_place =
            || SiteError::new("track.set", "no place of the load has an equilibrium with this system");
        let most = |of: &dyn Fn(&AtPlace) -> Option<f64>| -> Option<(usize, f64)> {
            let all = places.iter().filter_map(|at| Some((at.position, of(at)?)));
            all.max_by(|a, b| a.1.total_cmp(&b.1))
        };
        let must = |of: &dyn Fn(&AtPlace) -> Option<f64>| most(of).ok_or_else(no_place);
        let pull = must(&|at| Some(at.pull.value))?;
        let winch = must(&|at| Some(at.winch.value))?;
        let least = must(&|at| at.floats.then_some(-at.height.value))?;
        let greatest = must(&|at| Some(at.height.value))?;
        let share = must(&|at| Some(at.ground_share.value))?;
        let tension = most(&|at| at.tension.map(|tension| tension.value));
        let far = most(&|at| at.far.map(|far| far.value));
        let strength = self.rig.plan.track_strength.strength.value;
        let falls = places.iter().find(|at| matches!(at.frame, UnderRopes::Falls(_))).map(|at| at.position);
        let margin = most(&|at| match &at.frame {
            UnderRopes::Stands(worst) if worst.edge.is_some() => Some(-worst.margin.value),
            _ => None,
        });
        Ok(SystemFound {
            greatest_pull: At { position: pull.0, si: newtons(pull.1) },
            greatest_winch_pull: At { position: winch.0, si: newtons(winch.1) },
            greatest_track_tension: tension.map(|(position, n)| At { position, si: newtons(n) }),
            far_anchor: far.map(|(_, n)| newtons(n)),
            track_factor: tension.map(|(_, n)| strength / n),
            least_height: At { position: least.0, si: metres(-least.1) },
            greatest_height: At { position: greatest.0, si: metres(greatest.1) },
            greatest_ground_share: At { position: share.0, si: ratio(share.1) },
            least_margin: margin.filter(|_| falls.is_none()).map(|(_, rad)| crate::quantity::radians(-rad)),
            frame_falls_at: falls,
            haul_rope_on_ground_at: places.iter().find(|at| at.on_ground).map(|at| at.position),
            without_state,
        })
    }

    fn needs(&self, kind: SystemKind, strand: Option<Length>) -> SystemNeeds {
        let (model, plan, site) = (self.rig.model, self.rig.plan, self.rig.site);
        let out = self.rig.study.positions.first().map_or_else(Length::default, |p| p.haul_length);
        let (to_capstan, to_cell) = model.track_ways_behind_head();
        let strand = strand.unwrap_or_else(|| model.chord()).max(model.chord());
        let ends = site.track.knots + site.track.tails + site.track.wraps;
        let knots = site.track.knots + site.track.tails;
        let track_rope = match kind {
            SystemKind::NoTrack => metres(0.0),
            SystemKind::OneStrand => ends + to_capstan + strand,
            SystemKind::Doubled => ends + to_capstan + to_cell + 2.0 * strand,
            // The second rope has knots and tails of its own, and is tied off where the load cell is.
            SystemKind::TwoRopes => ends + knots + to_capstan + to_cell + 2.0 * strand,
        };
        let redirects = u32::try_from(site.haul.redirects.len()).unwrap_or(u32::MAX);
        let belays = u32::from(site.belay.is_some());
        let (near, far) = match kind {
            SystemKind::NoTrack => (0, 0),
            // Capstan and redirect
            SystemKind::OneStrand => (2, 1),
            // The load cell's as well
            SystemKind::Doubled => (3, 1),
            SystemKind::TwoRopes => (3, 2),
        };
        let there = site.load.attendants.is_some_and(|mass| mass.value().value > 0.0);
        let people = match kind {
            SystemKind::NoTrack => ON_THE_SLOPE,
            // The capstan, and whoever the site file hangs on the line.
            _ => 1 + u32::from(there),
        };
        SystemNeeds {
            track_rope,
            haul_rope: out + model.haul_way_behind_head(),
            belay_rope: site.belay.as_ref().map_or_else(Length::default, |belay| {
                out + crate::operation::plan::distance(belay.device, model.head_at)
            }),
            track_rope_is_enough: track_rope <= plan.on_hand,
            near_anchors: 1 + redirects + belays + near,
            far_anchors: far,
            people: 1 + belays + people,
        }
    }

    /// The worst single failure of a track.
    fn after(
        &self,
        kind: SystemKind,
        model: &Model<'g>,
        strand: Length,
    ) -> Result<Option<AfterFailure>, SiteError> {
        if kind == SystemKind::TwoRopes {
            return self.after_one_of_two(model, strand).map(Some);
        }
        let mut worst: Option<AfterFailure> = None;
        for (_, state) in self.rig.spread(SPREAD) {
            let situation = Situation { strand: Some(strand), ..*state.situation() };
            let Ok(state) = model.state(&situation) else { continue };
            let story = state
                .failure(Failure::TrackRope, self.values, Detail::Bounds)
                .map_err(|why| SiteError::new("track", why.to_string()))?;
            let peak = story.peaks[Place::HaulRope];
            let this = AfterFailure {
                text: words::system_fails(kind).to_string(),
                redundant: false,
                end: Some(story.end),
                peak: Some(peak),
                factor: factor(self.rig.plan.haul_strength.strength, peak),
                drop: Some(story.drop),
                still_height: story.still.ok().map(|still| still.litter_height),
            };
            worst = Some(match worst {
                None => this,
                Some(worst) => worse(worst, this),
            });
        }
        Ok(worst)
    }

    /// One of two ropes is lost: the other takes over.
    ///
    /// Still: the rig on one strand of the same length. On its way there the rope takes up what the load loses in
    /// height, twice as much as at rest: ½T²/k ≤ ½T₀²/k + W·2Δ, at the stiffness of a rope in a fall.
    fn after_one_of_two(&self, model: &Model<'g>, strand: Length) -> Result<AfterFailure, SiteError> {
        let single = self.one_strand()?;
        let fail = |why| words::no_state(&single, why);
        let mut worst: Option<AfterFailure> = None;
        for (_, state) in self.rig.spread(SPREAD) {
            let situation = Situation { strand: Some(strand), ..*state.situation() };
            let Ok(before) = model.state(&situation) else { continue };
            let rest = situation.moving(Motion::AtRest);
            // The haul rope is as long as before.
            let rest = Situation { load: LoadPlace::OnRope(before.rope_out()), ..rest };
            let after = match single.state(&rest) {
                Ok(after) => Some(after),
                Err(
                    StateError::RollsIn { .. } | StateError::LiesDown { .. } | StateError::Carriage { .. },
                ) => None,
                Err(why) => return Err(fail(why)),
            };
            let height = |state: &State<'_, '_>| state.carriage().unwrap_or_default().z;
            let before_n = before.strand_tension_head().value;
            // Where no such state is found the litter goes all the way down.
            let (after_n, drop) = after.as_ref().map_or((before_n, before.litter_height()), |after| {
                let down = (height(&before) - height(after)).max(metres(0.0));
                (2.0 * after.strand_tension_head().value, down)
            });
            let rope = model.values().track.rope.stretch();
            let k = STIFFER_AT_MOST * rope.a_n() / strand.value;
            let falls = 2.0 * drop;
            let by_energy = math::sqrt(before_n * before_n + 2.0 * k * model.weight().value * falls.value);
            let expected = newtons((2.0 * after_n - before_n).max(after_n));
            let peak = AtMost { expected, bound: newtons(by_energy).max(expected) };
            let this = AfterFailure {
                text: words::system_fails(SystemKind::TwoRopes).to_string(),
                redundant: true,
                end: None,
                peak: Some(peak),
                factor: factor(self.rig.plan.track_strength.strength, peak),
                drop: Some(AtMost { expected: drop, bound: falls }),
                still_height: Some(after.map_or(metres(0.0), |after| after.litter_height())),
            };
            worst = Some(match worst {
                None => this,
                Some(worst) => worse(worst, this),
            });
        }
        worst.ok_or_else(|| SiteError::new("track.set", "no place of the load has an equilibrium"))
    }

    /// The haul rope is lost: the belay takes over what it pulled, its friction on the ground not counted.
    fn after_no_track(
        &self,
        model: &Model<'_>,
        places: &[AtPlace],
    ) -> Result<Option<AfterFailure>, SiteError> {
        let kind = SystemKind::NoTrack;
        let Some((belay, rope)) = model.values().belay.zip(self.rig.plan.belay.as_ref()) else {
            return Ok(Some(AfterFailure {
                text: words::NO_BELAY_FAILS.to_string(),
                redundant: false,
                end: Some(FailureEnd::RunsAway),
                peak: None,
                factor: None,
                drop: None,
                still_height: None,
            }));
        };
        let leaning = f64::from(ON_THE_SLOPE) * self.crew.share.value * weight_of(self.crew.attendant);
        let mut worst: Option<AfterFailure> = None;
        for at in places {
            let Some(p) = self.rig.study.positions.get(at.position) else { continue };
            let Some(out) = rope_to_ground(model, p.carriage.x) else { continue };
            let Ok(rest) = model.state(&Situation::without_track(out)) else { continue };
            let carriage = rest.carriage().unwrap_or_default();
            let pull = rest.pull() + leaning_pull(model, carriage, leaning, Motion::AtRest);
            if pull.value <= 0.0 {
                continue;
            }
            let stretches = model
                .load_rope_as_it_stretches(HoldingRope::Belay, carriage)
                .map_err(|why| SiteError::new("belay", why.to_string()))?;
            let after = |by: f64| -> Result<(Force, Length), SiteError> {
                let fail = |why: &dyn core::fmt::Display| SiteError::new("belay", why.to_string());
                let stretch = stretches.stretch.scaled(ratio(by)).map_err(|why| fail(&why))?;
                let holding = Holding::slack(stretch, metres(stretches.length_m), belay.slack);
                let holding = holding.map_err(|why| fail(&why))?;
                let found = hand_over(pull, &[holding]).map_err(|why| fail(&why))?;
                let [peak] = found.peak;
                Ok((peak, found.peak_travel))
            };
            let (expected, stiff) = (after(STIFFER_IN_A_FALL.expected)?, after(STIFFER_AT_MOST)?);
            let soft = after(STIFFER_IN_A_FALL.low)?;
            let peak = AtMost { expected: expected.0, bound: stiff.0 };
            // It slides down the slope by what it runs, steepest here.
            let slope = model.ground_slope(carriage.x.value);
            let down = |run: Length| run * (slope.abs() / math::hypot(1.0, slope));
            let this = AfterFailure {
                text: words::system_fails(kind).to_string(),
                redundant: true,
                end: None,
                peak: Some(peak),
                factor: factor(rope.strength.strength, peak),
                drop: Some(AtMost { expected: down(expected.1), bound: down(soft.1) }),
                still_height: Some(metres(0.0)),
            };
            worst = Some(match worst {
                None => this,
                Some(worst) => worse(worst, this),
            });
        }
        Ok(worst)
    }
}

type Solved = Result<(SystemFound, Option<AfterFailure>, Option<Length>), SiteError>;

fn factor(strength: Force, peak: AtMost<Force>) -> Option<f64> {
    (peak.bound.value > 0.0).then(|| strength.value / peak.bound.value)
}

/// The worst of each: its end, its peak with the factor by it, how far it goes down, how low it hangs.
fn worse(one: AfterFailure, other: AfterFailure) -> AfterFailure {
    let bound = |at: &AfterFailure| at.peak.map_or(0.0, |peak| peak.bound.value);
    let lower = |a: Option<Length>, b: Option<Length>| a.zip(b).map(|(a, b)| a.min(b)).or(a).or(b);
    let harder = bound(&other) > bound(&one);
    let (peak, factor) = if harder { (other.peak, other.factor) } else { (one.peak, one.factor) };
    AfterFailure {
        end: one.end.zip(other.end).map(|(a, b)| a.min(b)).or(one.end).or(other.end),
        peak,
        factor,
        drop: one.drop.zip(other.drop).map(|(a, b)| a.max(b)).or(one.drop).or(other.drop),
        still_height: lower(one.still_height, other.still_height),
        ..one
    }
}

/// Half of a rope: half as heavy, half as stiff, half as strong.
fn half(rope: &Rope) -> Result<Rope, SiteError> {
    let fail = |why| SiteError::at("track.rope", why);
    let stretch = rope.stretch().scaled(ratio(0.5)).map_err(fail)?;
    Rope::new(0.5 * rope.mass(), stretch, 0.5 * rope.breaking_strength()).map_err(fail)
}

/// Whether the straight line from the head to the load passes below a corner of the ground.
fn cuts_ground(model: &Model<'_>, load: Point2) -> bool {
    let head = model.head();
    let run = (load.x - head.x).value;
    let slope = (load.z - head.z).value / run;
    let corners = model.values().ground.iter().filter(|p| p.x > head.x && p.x < load.x);
    corners.into_iter().any(|p| p.z.value > head.z.value + slope * (p.x - head.x).value + 1e-9)
}

/// From the head to the ground there.
fn rope_to_ground(model: &Model<'_>, x: Length) -> Option<Length> {
    let ground_m = model.ground_m(x.value)?;
    let head = model.head();
    Some(metres(math::hypot((x - head.x).value, head.z.value - ground_m)))
}

/// What attendants beside a load on the slope add to the pull of its rope, leaning back on it with so much of their
/// weight.
///
/// L·sin θ/(cos δ ± μ·sin δ), with the slope θ and the rope's angle δ to it: what lifts the load takes off its friction
fn leaning_pull(model: &Model<'_>, load: Point2, leaning: Force, motion: Motion) -> Force {
    let head = model.head();
    let slope = math::atan2(-model.ground_slope(load.x.value), 1.0);
    let rope = math::atan2((head.z - load.z).value, (load.x - head.x).value);
    let delta = rope - slope;
    let mu = match motion {
        Motion::Hauling => model.values().load.ground_friction.value,
        Motion::AtRest => 0.0,
        Motion::Lowering => -model.values().load.ground_friction.value,
    };
    (leaning * math::sin(slope) / (math::cos(delta) + mu * math::sin(delta))).max(newtons(0.0))
}

/// By how much the redirect of the track rope may raise its tension.
fn over_redirect(model: &Model<'_>) -> f64 {
    let track = &model.values().track;
    if !track.redirect.holds {
        return 1.0;
    }
    let (redirect, head) = (track.redirect.at.si(), model.head_at.si());
    let angle = angle_between(&(redirect - head), &(track.capstan.si() - redirect));
    track.redirect.turn.ratios(angle).0
}
