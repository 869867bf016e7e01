//! One draw of the rig: set by its reading, loaded, travelled.

use super::super::model::{Model, RigValues};
use super::super::place::{ByPlace, Place};
use super::super::plan::{SiteError, SitePlan};
use super::super::power::{Drive, WinchStep};
use super::super::site::Site;
use super::super::state::{Situation, State, StateError};
use super::super::travel::{Travel, TravelError, Wanted};
use super::super::under_ropes::{HeadRopes, UnderRopes};
use super::super::{model_of, words};
use super::inputs::{Draw, Inputs};
use crate::capstan::Capstan;
use crate::motion::Motion;
use crate::quantity::unit::revolution;
use crate::quantity::{Angle, Force, Length, newtons};
use alloc::format;
use alloc::vec::Vec;
use arrayvec::ArrayVec;

/// Which of its values of an output is the worse one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Worst {
    Least,
    Greatest,
}

/// What is asked of every place of the load, beside the forces: its key, its unit, its bad side.
pub(super) const OUTPUTS: [(&str, &str, Worst); 15] = [
    ("litter_height", "m", Worst::Least),
    ("litter_height_hauled", "m", Worst::Least),
    ("greatest_litter_height", "m", Worst::Greatest),
    ("strand_tension_head", "N", Worst::Greatest),
    ("least_reading", "N", Worst::Least),
    ("greatest_reading", "N", Worst::Greatest),
    ("haul_pull", "N", Worst::Greatest),
    ("winch_pull", "N", Worst::Greatest),
    ("current", "A", Worst::Greatest),
    ("ground_share", "", Worst::Greatest),
    ("frame_margin", "rad", Worst::Least),
    ("track_clearance", "m", Worst::Least),
    ("interior_angle", "rad", Worst::Greatest),
    ("carriage_height", "m", Worst::Least),
    ("battery_charge", "", Worst::Least),
];
pub(super) const LITTER: usize = 0;
const LITTER_HAULED: usize = 1;
pub(super) const LITTER_GREATEST: usize = 2;
pub(super) const STRAND: usize = 3;
const LEAST_READING: usize = 4;
pub(super) const READING: usize = 5;
const HAUL_PULL: usize = 6;
pub(super) const WINCH_PULL: usize = 7;
pub(super) const CURRENT: usize = 8;
const GROUND_SHARE: usize = 9;
pub(super) const MARGIN: usize = 10;
pub(super) const CLEARANCE: usize = 11;
const ANGLE: usize = 12;
const CARRIAGE: usize = 13;
pub(super) const CHARGE: usize = 14;

/// The outputs at one place, or their worst over the travel; not a number where there is no answer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Outputs {
    pub(super) of: [f64; OUTPUTS.len()],
    pub(super) forces: ByPlace<f64>,
}

impl Outputs {
    const NO_ANSWER: [f64; OUTPUTS.len()] = [f64::NAN; OUTPUTS.len()];

    fn no_answer() -> Self {
        let none: ByPlace<f64> = ByPlace::default();
        Self { of: Self::NO_ANSWER, forces: none.with(&none, |_, _| f64::NAN) }
    }

    /// Before anything was seen.
    fn nothing_yet() -> Self {
        let start = |(_, _, worst): (&str, &str, Worst)| match worst {
            Worst::Least => f64::INFINITY,
            Worst::Greatest => f64::NEG_INFINITY,
        };
        Self { of: OUTPUTS.map(start), forces: ByPlace::default() }
    }

    fn add(&mut self, other: &Self, floats: bool) {
        let each = self.of.iter_mut().zip(other.of).zip(OUTPUTS).enumerate();
        for (output, ((mine, other), (_, _, worst))) in each {
            // Where the litter need not float its least height doesn't count.
            if floats || !matches!(output, LITTER | LITTER_HAULED) {
                *mine = worst.of(*mine, other);
            }
        }
        self.forces = self.forces.with(&other.forces, |a, b| Worst::Greatest.of(a, b));
    }
}

impl Worst {
    /// The worse of two; no answer is worse than any.
    fn of(self, a: f64, b: f64) -> f64 {
        if a.is_nan() || b.is_nan() {
            return f64::NAN;
        }
        match self {
            Self::Least => a.min(b),
            Self::Greatest => a.max(b),
        }
    }
}

/// What came of one draw.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Run {
    /// At each of the places that every run looks at.
    pub(super) at: Vec<Outputs>,
    pub(super) worst: Outputs,
    /// Rope to spare when it is reeved; not a number without an answer.
    pub(super) spare_m: f64,
    /// What the capstan's tail takes; not a number without an answer.
    pub(super) tail_n: f64,
    /// The load would have rolled in from the first place.
    pub(super) rolls_in: bool,
    /// At some place of the travel, hauled, there is no balance.
    pub(super) no_balance: bool,
    /// Balances that were solved.
    pub(super) solves: usize,
}

/// What all runs of a site have in common.
#[derive(Debug)]
pub(super) struct Runs<'s> {
    values: RigValues<'s>,
    pub(super) inputs: Inputs,
    drive: Drive,
    travel: Travel,
    /// The places of the study.
    places: Vec<Length>,
    /// Those that every run looks at.
    pub(super) coarse: Vec<usize>,
    /// What the cell shows when the rope is set as planned, the capstan still turning.
    reading: Force,
    /// Tension of each strand then.
    tension: Force,
    used: Length,
    on_hand: Length,
    capstan: Option<Capstan>,
    wraps: Angle,
}

/// Every run looks at one place of each of so many parts of the travel, unless the site file says another number.
const PARTS: u32 = 24;
/// Setting by a reading comes to rest in two or three steps.
const STEPS: u32 = 12;
/// The strand is known to this share then.
const STRAND_LENGTH: f64 = 1e-12;

impl<'s> Runs<'s> {
    pub(super) fn new(site: &'s Site) -> Result<Self, SiteError> {
        let plan = SitePlan::new(site)?;
        let drive = Drive::new(site, &mut Vec::new())?;
        let model = model_of::model(site, &plan)?;
        let travel = plan.travel();
        let wanted = super::super::solve::wanted(&site.track.set);
        let strand = model
            .strand_for(wanted, &travel)
            .map_err(|why| words::no_strand(&model, &site.track.set, why))?;
        let fail = |why| words::no_state(&model, why);
        let bare = model.state(&Situation::unloaded(strand)).map_err(fail)?;
        let moving = bare.track_tensions(Motion::Hauling).map_err(fail)?;
        let reading = moving.ok_or(StateError::NotHeld).map_err(fail)?.cell().high;
        let (start, _) = model.start(strand, travel.start).map_err(fail)?;
        let places: Vec<Length> = model.places(start, &travel).collect();
        let friction = plan.capstan_friction;
        let capstan = (friction.value > 0.0).then(|| Capstan::new(friction, friction));
        let mut runs = Self {
            inputs: Inputs::new(site, &plan)?,
            drive,
            travel,
            coarse: Vec::new(),
            places,
            reading,
            tension: bare.strand_tension_head(),
            used: plan.used,
            on_hand: site.track.on_hand,
            capstan: capstan.transpose().map_err(|why| SiteError::at("capstan.friction", why))?,
            wraps: Angle::new::<revolution>(site.capstan.wraps),
            values: model.values().clone(),
        };
        let parts = site.doubt.and_then(|doubt| doubt.parts).unwrap_or(PARTS);
        if !(1..=200).contains(&parts) {
            return Err(SiteError::new("doubt.parts", format!("is {parts}, but must be from 1 to 200")));
        }
        runs.coarse = runs.lowest_of_each_part(&model, strand, parts as usize);
        Ok(runs)
    }

    /// First, last, and of each part of the travel the place at which the litter hangs lowest above the ground, so that
    /// no corner of the ground that matters is missed.
    fn lowest_of_each_part(&self, model: &Model<'_>, strand: Length, parts: usize) -> Vec<usize> {
        let all = self.places.len();
        let mut coarse = Vec::with_capacity(parts + 2);
        coarse.push(0);
        for part in 0..parts {
            let (from, to) = (part * all / parts, (part + 1) * all / parts);
            let low = (from..to).filter_map(|at| Some((at, self.lowest(model, strand, at)?)));
            coarse.extend(low.reduce(|a, b| if b.1 < a.1 { b } else { a }).map(|(at, _)| at));
        }
        coarse.push(all.saturating_sub(1));
        coarse.sort_unstable();
        coarse.dedup();
        coarse
    }

    pub(super) fn nominal(&self) -> Run {
        self.run(&self.inputs.nominal())
    }

    /// What comes of these values. That there is no answer is an outcome.
    pub(super) fn run(&self, values: &[f64]) -> Run {
        let ground;
        let none = || Run {
            at: self.coarse.iter().map(|_| Outputs::no_answer()).collect(),
            worst: Outputs::no_answer(),
            spare_m: f64::NAN,
            tail_n: f64::NAN,
            rolls_in: false,
            no_balance: true,
            solves: 0,
        };
        let Ok(mut draw) = self.inputs.draw(values, self.values.clone()) else { return none() };
        if let Some(moved) = draw.ground(&self.inputs.ground_shares) {
            ground = moved;
            draw.values.ground = &ground;
        }
        let Ok(model) = Model::new(draw.values.clone()) else { return none() };
        self.travelled(&model, &draw).unwrap_or_else(|_| none())
    }

    fn travelled(&self, model: &Model<'_>, draw: &Draw<'_>) -> Result<Run, TravelError> {
        let (strand, mut worst, capstan_pull) = self.set(model, draw)?;
        let (start, rolls_in) = model.start(strand, self.travel.start)?;
        let mut run = Run {
            at: Vec::with_capacity(self.coarse.len()),
            worst: Outputs::nothing_yet(),
            spare_m: (self.on_hand - self.used - 2.0 * strand.max(model.chord())).value,
            tail_n: f64::NAN,
            rolls_in,
            no_balance: false,
            solves: 0,
        };
        let mut last: Option<State<'_, '_>> = None;
        let mut battery = ChargeOnTheWay::default();
        let [mut lowest, mut tightest] = [None::<(usize, f64)>; 2];
        for at in &self.coarse {
            let Some(x) = self.places.get(*at).copied() else { continue };
            if x > start {
                // It rolls from here to the start by itself.
                run.at.push(Outputs::no_answer());
                continue;
            }
            run.solves += 2;
            let mut outputs = self.outputs(model, strand, x, &mut last).unwrap_or_else(|_| {
                run.no_balance = true;
                Outputs::no_answer()
            });
            let rope = last.as_ref().map(|hauled| model.velocity_ratio().value * hauled.rope_out());
            outputs.of[CHARGE] = battery.to(&self.drive, rope, newtons(outputs.of[WINCH_PULL]));
            let floats = x <= self.travel.floats_from;
            worst.add(&outputs, floats);
            run.at.push(outputs);
            let [height, tension] = [outputs.of[LITTER], outputs.of[STRAND]];
            if floats && lowest.is_none_or(|(_, least)| height < least) {
                lowest = Some((*at, height));
            }
            if tightest.is_none_or(|(_, greatest)| tension > greatest) {
                tightest = Some((*at, tension));
            }
        }
        // Between the places looked at, those that govern.
        let counts =
            |at: usize| self.places.get(at).is_some_and(|x| *x <= start.min(self.travel.floats_from));
        let low = |at: usize| if counts(at) { self.lowest(model, strand, at) } else { None };
        let tight = |at: usize| {
            let x = *self.places.get(at).filter(|x| **x <= start)?;
            Some(-self.hauled(model, strand, x, last.as_ref()).ok()?.strand_tension_head().value)
        };
        let downhill = [
            lowest.map(|(at, height)| descend(at, height, &low)),
            tightest.map(|(at, tension)| descend(at, -tension, &tight)),
        ];
        for (at, steps) in downhill.into_iter().flatten() {
            run.solves += steps;
            if !self.coarse.contains(&at)
                && let Some(x) = self.places.get(at).copied()
            {
                run.solves += 2;
                match self.outputs(model, strand, x, &mut last) {
                    Ok(outputs) => worst.add(&outputs, x <= self.travel.floats_from),
                    Err(_) => run.no_balance = true,
                }
            }
        }
        let greatest = newtons(worst.forces[Place::TrackRope]).max(capstan_pull);
        run.tail_n = match &self.capstan {
            Some(capstan) => capstan.tail(greatest, self.wraps).map_or(f64::NAN, |tail| tail.high.value),
            None => greatest.value,
        };
        run.worst = worst;
        Ok(run)
    }

    /// The length of each strand when the crew has set the rope by its reading, and what has come of it since; what the
    /// rope without its load does meanwhile; what the capstan pulls.
    ///
    /// With f the cell's reading by the mean of the strands while taking in, e the share by which the bends have run back,
    /// T = R/(f + e·(1 − f)); then T·(1 − c) after relaxation c, and half of what slips in each strand.
    fn set(&self, model: &Model<'_>, draw: &Draw<'_>) -> Result<(Length, Outputs, Force), TravelError> {
        let at_tension = |tension| model.strand_for(Wanted::UnloadedTension(tension), &self.travel);
        let mut tension = self.tension;
        let mut strand = at_tension(tension)?;
        let mut step = 0;
        let (bare, moving) = loop {
            let bare = model.state(&Situation::unloaded(strand))?;
            let moving = bare.track_tensions(Motion::Hauling)?.ok_or(StateError::NotHeld)?;
            let shown = (moving.cell().high / bare.strand_tension_head()).value;
            tension = draw.set * self.reading / (shown + draw.eased * (1.0 - shown));
            let next = at_tension(tension)?;
            let off = ((next - strand) / strand).value.abs();
            if off <= STRAND_LENGTH || step >= STEPS {
                break (bare, moving);
            }
            (strand, step) = (next, step + 1);
        };
        let (forces, frame) = bare.forces_and_frame()?;
        let mut worst = Outputs::nothing_yet();
        worst.of[MARGIN] = margin(&frame);
        worst.forces = known(forces, &frame);
        if draw.relaxation > 0.0 {
            strand = at_tension((1.0 - draw.relaxation) * tension)?;
        }
        if draw.slip > Length::default() {
            strand = model.strand_of(model.locked_rope(strand)? + 0.5 * draw.slip)?;
        }
        if strand > bare.situation().strand.unwrap_or(strand) {
            let slacker = model.state(&Situation::unloaded(strand))?;
            worst.of[CLEARANCE] = slacker.track_clearance().value;
        } else {
            worst.of[CLEARANCE] = bare.track_clearance().value;
        }
        Ok((strand, worst, moving.capstan().high))
    }

    fn hauled<'m, 'g>(
        &self,
        model: &'m Model<'g>,
        strand: Length,
        x: Length,
        nearby: Option<&State<'_, '_>>,
    ) -> Result<State<'m, 'g>, StateError> {
        let near = nearby.map(|nearby| &nearby.balance);
        model.state_from(&Situation::at_x(strand, x, Motion::Hauling), near)
    }

    /// Height of the litter, lowered, as if there were no ground; nothing where no rope holds the load there.
    fn lowest(&self, model: &Model<'_>, strand: Length, at: usize) -> Option<f64> {
        let x_m = self.places.get(at)?.value;
        let locked = model.locked_rope(strand).ok()?;
        let lifted = |motion| model.way(locked, motion).ok()?.lifted(model, x_m, None).ok();
        let found = [Motion::Lowering, Motion::AtRest, Motion::Hauling].into_iter().find_map(lifted)?;
        Some(found.litter_height_m)
    }

    /// Everything about the load at x, hauled and at the other end of what friction leaves.
    fn outputs<'m, 'g>(
        &self,
        model: &'m Model<'g>,
        strand: Length,
        x: Length,
        last: &mut Option<State<'m, 'g>>,
    ) -> Result<Outputs, StateError> {
        let hauled = self.hauled(model, strand, x, last.as_ref())?;
        *last = Some(hauled);
        let other = |motion| model.state_near(&Situation::at_x(strand, x, motion), &hauled);
        let other = match other(Motion::Lowering) {
            Ok(state) => Some(state),
            Err(StateError::RollsIn { .. } | StateError::LiesDown { .. }) => other(Motion::AtRest).ok(),
            Err(why) => return Err(why),
        };
        let line = hauled.haul_line()?.ok_or(StateError::NotHeld)?;
        let current = self.drive.at(line.winch, x).map_or(f64::NAN, |driven| driven.current.value);
        let mut found = Outputs { of: [0.0; OUTPUTS.len()], forces: ByPlace::default() };
        let mut forces: ByPlace<Force> = ByPlace::default();
        let mut ropes: ArrayVec<HeadRopes, 2> = ArrayVec::new();
        let heights = [Some(&hauled), other.as_ref()].map(|state| Some(height(model, state?)));
        let [first, second] = heights;
        let hauled_height = first.unwrap_or(f64::NAN);
        let of = &mut found.of;
        of[LITTER] = second.map_or(hauled_height, |second| Worst::Least.of(hauled_height, second));
        of[LITTER_HAULED] = hauled_height;
        of[LITTER_GREATEST] =
            second.map_or(hauled_height, |second| Worst::Greatest.of(hauled_height, second));
        of[STRAND] = hauled.strand_tension_head().value;
        of[HAUL_PULL] = hauled.pull().value;
        of[WINCH_PULL] = line.winch.value;
        of[CURRENT] = current;
        of[ANGLE] = hauled.on_track().map_or(0.0, |on_track| on_track.interior_angle.value);
        of[CARRIAGE] = hauled.carriage_height().value;
        // It is known along the travel, not of one place.
        of[CHARGE] = f64::INFINITY;
        [of[LEAST_READING], of[CLEARANCE]] = [f64::INFINITY; 2];
        for state in core::iter::once(&hauled).chain(&other) {
            let track = state.track_at_rest();
            if let Some(track) = &track {
                of[LEAST_READING] = of[LEAST_READING].min(track.cell.low.value);
                of[READING] = of[READING].max(track.cell.high.value);
            }
            of[GROUND_SHARE] = of[GROUND_SHARE].max(state.ground_share().value);
            of[CLEARANCE] = of[CLEARANCE].min(state.track_clearance().value);
            forces = forces.with(&state.forces_by(track.as_ref())?, Force::max);
            ropes.push(state.head_ropes());
        }
        let frame = model.frame_under(&ropes)?;
        frame.add_to(&mut forces);
        of[MARGIN] = margin(&frame);
        found.forces = known(forces, &frame);
        Ok(found)
    }
}

/// The battery along the travel of one draw, full at its start.
#[derive(Debug, Default)]
struct ChargeOnTheWay {
    /// Rope that the winch has still to take in, and its pull, at the place before; nothing before the first.
    before: Option<(Length, Force)>,
    /// The share of the charge that was taken.
    used: f64,
}

impl ChargeOnTheWay {
    /// The share of the charge that is left when the load has come to the next place; not a number where the winch can't
    /// haul it there, or the battery is flat. From place to place the pull is the mean of both.
    fn to(&mut self, drive: &Drive, rope: Option<Length>, pull: Force) -> f64 {
        let here = rope.map(|rope| (rope, pull));
        let from = core::mem::replace(&mut self.before, here);
        self.used += match (from, here) {
            (Some((a, pull_a)), Some((b, pull_b))) => {
                let step =
                    WinchStep::Haul { pull: 0.5 * (pull_a + pull_b), rope: (a - b).max(Length::default()) };
                drive.taken_by(&step).unwrap_or(f64::NAN)
            }
            _ => 0.0,
        };
        if self.used < 1.0 { 1.0 - self.used } else { f64::NAN }
    }
}

/// From a place to a neighbour for as long as the value falls; with the steps it took.
fn descend(from: usize, value: f64, value_at: &impl Fn(usize) -> Option<f64>) -> (usize, usize) {
    let (mut at, mut least, mut steps) = (from, value, 0);
    for up in [true, false] {
        while let Some(next) = if up { at.checked_add(1) } else { at.checked_sub(1) } {
            steps += 1;
            match value_at(next) {
                Some(value) if value < least => (at, least) = (next, value),
                _ => break,
            }
        }
    }
    (at, steps)
}

/// Height of the litter's underside; where it lies, how far below the ground the line would let it hang, negative.
fn height(model: &Model<'_>, state: &State<'_, '_>) -> f64 {
    let (Some(carriage), Some(strand)) = (state.carriage(), state.situation().strand) else {
        return f64::NAN;
    };
    if !state.on_ground() {
        return state.litter_height().value;
    }
    let way = model.locked_rope(strand).ok().map(|locked| model.way(locked, state.situation().motion));
    // What would roll in if it were lifted lies where it is.
    way.and_then(Result::ok)
        .and_then(|way| way.lifted(model, carriage.x.value, None).ok())
        .map_or(0.0, |lifted| lifted.litter_height_m)
}

/// The frame's margin; no answer for one that falls.
fn margin(frame: &UnderRopes) -> f64 {
    match frame {
        UnderRopes::Stands(worst) => worst.margin.value,
        UnderRopes::Falls(_) => f64::NAN,
    }
}

/// The members of a frame that falls have no answer.
fn known(forces: ByPlace<Force>, frame: &UnderRopes) -> ByPlace<f64> {
    let mut forces = forces.with(&forces, |force, _| force.value);
    if matches!(frame, UnderRopes::Falls(_)) {
        [forces[Place::Leg], forces[Place::Guy]] = [f64::NAN; 2];
    }
    forces
}
