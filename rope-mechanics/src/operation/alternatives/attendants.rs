//! Attendants at the litter: what they leave to the line, whether their feet stay down, what happens when one detaches.

use super::SolvedRig;
use super::crew::Crew;
use crate::math::roots;
use crate::operation::failures::AtMost;
use crate::operation::model::{Model, ModelError};
use crate::operation::plan::SiteError;
use crate::operation::solve::wanted;
use crate::operation::state::{Situation, State, StateError};
use crate::operation::study::At;
use crate::operation::words;
use crate::quantity::{Force, Length, Mass, Ratio, metres, newtons, ratio, weight_of};
use alloc::string::{String, ToString};
use alloc::vec::Vec;
use serde::Serialize;

/// How many attendants are set side by side.
const COUNTS: [u32; 3] = [0, 1, 3];
/// Places of the load that are looked at, evenly spread, at most.
const SPREAD: usize = 50;
/// The share of an attendant's weight on the line is found to this.
const SHARE_TOLERANCE: f64 = 1e-10;

/// Numbers of attendants, side by side; the track rope is set anew for each as the site file asks.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct AttendantWays {
    /// None, one, three.
    pub ways: Vec<AttendantWay>,
    /// Weight of one attendant.
    #[serde(rename = "one_weighs_n")]
    pub one_weighs: Force,
    /// Share of that which they leave to the line with their feet on the ground.
    #[serde(rename = "share_fraction")]
    pub share: Ratio,
    /// Their feet stay down while the litter is no higher than this, standing beside it on the same contour: length of
    /// the attachment + height of the harness (1 m) − height of the litter's rail above its underside (0.3 m).
    #[serde(rename = "feet_down_to_m")]
    pub feet_down_to: Length,
}

/// So many attendants at the litter.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct AttendantWay {
    /// How many.
    pub count: u32,
    /// In words.
    pub name: String,
    /// What was found; absent where it can't be.
    pub found: Option<AttendantsFound>,
    /// Why it can't; empty if it can.
    pub problem: String,
}

/// What so many attendants make of the rig, hauled.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct AttendantsFound {
    /// Least litter height, where it is to float.
    #[serde(rename = "least_litter_height_m")]
    pub least_height: At<Length>,
    /// Greatest litter height.
    #[serde(rename = "greatest_litter_height_m")]
    pub greatest_height: At<Length>,
    /// Greatest mean tension of the strands at the head.
    #[serde(rename = "greatest_strand_tension_n")]
    pub greatest_strand_tension: At<Force>,
    /// Greatest pull of the haul rope at the carriage.
    #[serde(rename = "greatest_haul_pull_n")]
    pub greatest_pull: At<Force>,
    /// Greatest share of each attendant's weight on the line: above the share that they leave to it where the line lifts
    /// them, 1 where their feet hang free.
    #[serde(rename = "greatest_share_fraction")]
    pub greatest_share: At<Ratio>,
    /// First position at which the line begins to lift them; none where their feet stay down all the way.
    pub lifted_from: Option<usize>,
    /// Last position at which it still does.
    pub lifted_to: Option<usize>,
    /// What the line loses where one of them detaches, at the worst place; absent without attendants.
    pub detaches: Option<Detaches>,
}

/// One attendant detaches while the load stands.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Detaches {
    /// Where the litter then rises most.
    pub position: usize,
    /// What comes off the line at once.
    #[serde(rename = "step_n")]
    pub step: Force,
    /// How far the litter rises: in the end, and at the top of its first swing, undamped: twice as far.
    #[serde(rename = "rise_m")]
    pub rise: AtMost<Length>,
    /// What each strand of the track loses.
    #[serde(rename = "strand_tension_drop_n")]
    pub strand_tension_drop: Force,
    /// What the haul rope loses.
    #[serde(rename = "haul_pull_drop_n")]
    pub haul_pull_drop: Force,
}

/// A model with so much of some attendants on the line.
struct Hung<'a, 'g> {
    /// With the litter and its patient alone.
    bare: Model<'g>,
    crew: &'a Crew,
}

impl<'g> Hung<'_, 'g> {
    fn model(&self, attendants: f64) -> Result<Model<'g>, SiteError> {
        self.bare
            .with(|values| values.load.litter += attendants * self.crew.attendant)
            .map_err(|why: ModelError| SiteError::new("crew.attendant", why.to_string()))
    }
}

/// What was found at one place.
struct Found {
    height: Length,
    tension: Force,
    pull: Force,
    share: f64,
}

impl Found {
    fn of(state: &State<'_, '_>, share: f64) -> Self {
        Self {
            height: state.litter_height(),
            tension: state.strand_tension_head(),
            pull: state.pull(),
            share,
        }
    }
}

pub(super) fn ways(rig: &SolvedRig<'_, '_, '_>, crew: &Crew) -> Result<AttendantWays, SiteError> {
    let there = rig.site.load.attendants.map_or_else(Mass::default, |mass| mass.value());
    let bare = rig
        .model
        .with(|values| values.load.litter = (values.load.litter - there).max(Mass::default()))
        .map_err(|why| SiteError::new("load.attendants", why.to_string()))?;
    let hung = Hung { bare, crew };
    let ways = COUNTS
        .into_iter()
        .map(|count| {
            let (found, problem) = match found(rig, &hung, count) {
                Ok(found) => (Some(found), String::new()),
                Err(why) => (None, why.to_string()),
            };
            AttendantWay { count, name: words::attendants(count).to_string(), found, problem }
        })
        .collect();
    Ok(AttendantWays {
        ways,
        one_weighs: weight_of(crew.attendant),
        share: crew.share,
        feet_down_to: crew.feet_down_to(),
    })
}

fn found(rig: &SolvedRig<'_, '_, '_>, hung: &Hung<'_, '_>, count: u32) -> Result<AttendantsFound, SiteError> {
    let of = f64::from(count);
    let share = hung.crew.share.value;
    let standing = hung.model(of * share)?;
    let set = &rig.site.track.set;
    let travel = rig.plan.travel();
    let strand =
        standing.strand_for(wanted(set), &travel).map_err(|why| words::no_strand(&standing, set, why))?;
    let mut list: Vec<(usize, Length, Found)> = Vec::new();
    let mut detaches: Option<Detaches> = None;
    for (position, state) in rig.spread(SPREAD) {
        let situation = Situation { strand: Some(strand), ..*state.situation() };
        let Some(at) = at_place(hung, &situation, count)? else { continue };
        if count > 0 {
            let step = detaching(hung, &situation, position, count, &at)?;
            if step.is_some_and(|step| detaches.is_none_or(|most| step.rise.bound > most.rise.bound)) {
                detaches = step;
            }
        }
        let x = state.carriage().map_or_else(Length::default, |carriage| carriage.x);
        list.push((position, x, at));
    }
    let no_place =
        || SiteError::new("track.set", "no place of the load has an equilibrium with these attendants");
    let most =
        |of: &dyn Fn(&Found) -> f64, counts: &dyn Fn(Length) -> bool| -> Result<(usize, f64), SiteError> {
            let all = list.iter().filter(|(_, x, _)| counts(*x)).map(|(position, _, at)| (*position, of(at)));
            all.max_by(|a, b| a.1.total_cmp(&b.1)).ok_or_else(no_place)
        };
    let anywhere = |_: Length| true;
    let floats = |x: Length| x <= travel.floats_from;
    let least = most(&|at| -at.height.value, &floats)?;
    let greatest = most(&|at| at.height.value, &anywhere)?;
    let tension = most(&|at| at.tension.value, &anywhere)?;
    let pull = most(&|at| at.pull.value, &anywhere)?;
    let on_line = most(&|at| at.share, &anywhere)?;
    // To within what the share is solved for.
    let lifted = || list.iter().filter(|(.., at)| count > 0 && at.share > share + 1e-6).map(|(i, ..)| *i);
    Ok(AttendantsFound {
        least_height: At { position: least.0, si: metres(-least.1) },
        greatest_height: At { position: greatest.0, si: metres(greatest.1) },
        greatest_strand_tension: At { position: tension.0, si: newtons(tension.1) },
        greatest_pull: At { position: pull.0, si: newtons(pull.1) },
        greatest_share: At { position: on_line.0, si: ratio(if count > 0 { on_line.1 } else { 0.0 }) },
        lifted_from: lifted().next(),
        lifted_to: lifted().next_back(),
        detaches,
    })
}

/// The load with so many attendants at one place: they leave their share to the line, or, where that would lift the
/// litter beyond their reach, as much more as keeps it there; or all of it, with their feet off the ground. None where the
/// load rolls in or lies down.
fn at_place(hung: &Hung<'_, '_>, situation: &Situation, count: u32) -> Result<Option<Found>, SiteError> {
    let solved = |share: f64| -> Result<Option<Found>, SiteError> {
        let model = hung.model(f64::from(count) * share)?;
        match model.state(situation) {
            Ok(state) => Ok(Some(Found::of(&state, share))),
            Err(StateError::RollsIn { .. } | StateError::LiesDown { .. }) => Ok(None),
            Err(why) => Err(words::no_state(&model, why)),
        }
    };
    let least = hung.crew.share.value;
    let reach = hung.crew.feet_down_to();
    let Some(standing) = solved(least)? else { return Ok(None) };
    if count == 0 || standing.height <= reach || least >= 1.0 {
        return Ok(Some(standing));
    }
    match solved(1.0)? {
        Some(hanging) if hanging.height >= reach => Ok(Some(hanging)),
        // Between the two it hangs as high as they reach: h(share) falls.
        _ => {
            let over = |share: f64| -> Result<f64, SiteError> {
                Ok(solved(share)?.map_or(-1.0, |at| (at.height - reach).value))
            };
            let root = roots::try_bracketed(least, 1.0, SHARE_TOLERANCE, over)?;
            root.map_or(Ok(None), |root| solved(root.x))
        }
    }
}

/// One of them detaches; those who stay leave to the line what they did.
fn detaching(
    hung: &Hung<'_, '_>,
    situation: &Situation,
    position: usize,
    count: u32,
    at: &Found,
) -> Result<Option<Detaches>, SiteError> {
    let model = hung.model(f64::from(count - 1) * at.share)?;
    let after = match model.state(situation) {
        Ok(state) => Found::of(&state, at.share),
        Err(StateError::RollsIn { .. } | StateError::LiesDown { .. }) => return Ok(None),
        Err(why) => return Err(words::no_state(&model, why)),
    };
    let rise = (after.height - at.height).max(metres(0.0));
    Ok(Some(Detaches {
        position,
        step: at.share * weight_of(hung.crew.attendant),
        // A load that comes off at once overshoots by as much again: 1 + e^(−πζ/√(1−ζ²)) for ζ = 0.
        rise: AtMost { expected: rise, bound: 2.0 * rise },
        strand_tension_drop: at.tension - after.tension,
        haul_pull_drop: at.pull - after.pull,
    }))
}
