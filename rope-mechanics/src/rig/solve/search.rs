//! Where an equilibrium is looked for: straight from the start, else by ways on which less can go wrong.
//!
//! A poor start may drive a sheave to the end of its rope on the way, and the energy of stiff ropes under small loads
//! is a narrow bent valley, along which Newton's steps are short. So a rough rig is solved next, which has no ends
//! ([`Mode::Rough`]) and a convex energy, with ropes so soft that its valley is wide; the ends are drawn closer and the
//! ropes made stiffer by and by. From there the rig itself is solved, or found to have its least energy at the end of
//! a rope. Where its energy isn't convex, the search goes on from starts all over the rig ([`elsewhere`]).
//!
//! A refusal is one of the rig itself, as far as there is one. Where its own steps only came to no end, what befell the
//! rough rig, or the one with plain ropes, is told instead.
#![allow(clippy::indexing_slicing, reason = "every index was made together with the array it goes into")]

use super::elsewhere;
use super::newton::{Effort, minimise};
use super::refusal::{self, nearest, runs_to};
use super::start::share_out;
use crate::quantity::ratio;
use crate::rig::equations::balance::{Equilibrium, size_m};
use crate::rig::equations::{self, Equations, Mode};
use crate::rig::error::RigError;
use crate::rig::model::{Rig, Supplied};
use alloc::vec::Vec;
use core::ops::ControlFlow::{self, Break, Continue};

/// Steps straight from a start.
const FIRST_STEPS: u32 = 60;
/// Steps of one stage on a way.
const STAGE_STEPS: u32 = 150;
/// Steps from where a way ends.
const LAST_STEPS: u32 = 400;
/// At first no rope is stiffer than this many times all loads together,
const SOFT: f64 = 10.0;
/// and no point that moves is less loaded than this part of the largest load.
const LIGHT: f64 = 0.1;
/// Then ropes are so many times stiffer, and light loads lighter, at each stage,
const STIFFER: f64 = 10.0;
/// or so many times where that was too much at a time,
const A_LITTLE_STIFFER: f64 = 2.5;
/// until loads this small.
const LIGHTEST: f64 = 1e-9;
/// By how much a sheave misses the points beside it, by the size of the rig: at first,
const BLUNT: [f64; 3] = [1e-1, 1e-2, 1e-3];
/// and then, while there are points nearer than so many times that.
const SHARP: [f64; 4] = [1e-4, 1e-5, 1e-6, 1e-7];
const NEAR: f64 = 100.0;
/// Nearer than so many times that, the blunt end pulls with 10/√(1 + 10²) = 0.995 of the tension at most, and a sharp end
/// with all of it: nothing keeps the sheave off.
const NO_ROOM: f64 = 10.0;
/// Steps from one of many starts,
const TRY_STEPS: u32 = 40;
/// of which there are so many of either kind,
const TRIES: u32 = 16;
/// fewer for one of more variables than this.
const LARGE: usize = 300;
/// Steps of all stages together; each may still take a few when they are spent.
const ALL_STEPS: u32 = 2500;
const FEW_STEPS: u32 = 10;

/// Where the rough rig led.
struct RoughPath {
    /// Coordinates at the first stage, and at the last.
    soft: Vec<f64>,
    x: Vec<f64>,
    stages: Vec<Ease>,
    /// Whether the last stage was solved, and what was near its end then.
    end: Result<Option<Meeting>, RigError>,
}

/// Two neighbours on a rope that the rough rig brings together.
struct Meeting {
    rope: usize,
    part: usize,
    /// Whether there is no room left between them.
    no_room: bool,
}

/// The equilibrium that the start leads to, or another one if it leads to none.
pub(crate) fn equilibrium(system: &Equations<'_>, start: Vec<f64>) -> Result<Equilibrium, RigError> {
    let mut steps = 0;
    let straight = minimise(system, start.clone(), Effort::full(FIRST_STEPS), &mut steps);
    let refusal = match judge(system, straight) {
        Ok(found) => return Ok(found),
        Err((error, true)) => return Err(error),
        Err((error, false)) => error,
    };
    let mut search = WideSearch { system, steps, refusal, hint: None };
    let decided = search.on_other_ways(&start);
    let iterations = search.steps;
    match (decided, search.refusal, search.hint) {
        (Break(Ok(found)), ..) => Ok(Equilibrium { iterations, ..found }),
        (Continue(()), RigError::Unsolved { .. } | RigError::Part { .. }, Some(hint)) => Err(hint),
        (Continue(()), RigError::Unsolved { point, residual, .. }, None) => {
            Err(RigError::Unsolved { point, residual, iterations })
        }
        (Break(Err(error)), ..) | (Continue(()), error, _) => Err(error),
    }
}

/// An equilibrium with strains that a rope takes; else why not, and whether that is sure because there is no other.
fn judge(
    system: &Equations<'_>,
    found: Result<Equilibrium, RigError>,
) -> Result<Equilibrium, (RigError, bool)> {
    let found = found.map_err(|error| (error, false))?;
    match refusal::check_strains(system, &found.state) {
        Ok(()) => Ok(found),
        Err(error) => Err((error, system.is_convex())),
    }
}

/// Breaks off with what is sure.
type Decided = ControlFlow<Result<Equilibrium, RigError>>;

struct WideSearch<'s, 'r> {
    system: &'s Equations<'r>,
    /// Steps on all ways so far.
    steps: u32,
    /// The refusal that says most, of those that decide nothing.
    refusal: RigError,
    /// What befell a rough or plain rig first.
    hint: Option<RigError>,
}

impl WideSearch<'_, '_> {
    /// Breaks off with an equilibrium or with a refusal that is sure, keeps any other.
    fn see(&mut self, found: Result<Equilibrium, RigError>) -> Decided {
        match judge(self.system, found) {
            Ok(found) => Break(Ok(found)),
            Err((error, true)) => Break(Err(error)),
            Err((error, false)) => self.keep(error),
        }
    }

    /// Keeps the refusal that says most.
    fn keep(&mut self, other: RigError) -> Decided {
        let says = |error: &RigError| match error {
            // A part stretched beyond all reason by one of many starts says nothing of the rig.
            RigError::Part { .. } => 0,
            RigError::Unsolved { .. } => 1,
            RigError::Loose { .. } => 2,
            _ => 3,
        };
        let unsolved = |error: &RigError| matches!(error, RigError::Unsolved { .. });
        let better = |kept: &RigError| says(&other) > says(kept) || unsolved(&other) && unsolved(kept);
        if better(&self.refusal) {
            self.refusal = other;
        }
        Continue(())
    }

    /// Remembers what befell a rough or plain rig, if that says anything.
    fn note(&mut self, error: RigError) {
        if !matches!(error, RigError::Unsolved { .. } | RigError::Part { .. } | RigError::Loose { .. }) {
            self.hint.get_or_insert(error);
        }
    }

    fn on_other_ways(&mut self, start: &[f64]) -> Decided {
        let way = self.rough_way(start)?;
        let found = from(self.system, way.x.clone(), LAST_STEPS, &mut self.steps);
        let stiff = matches!(found, Err(RigError::Unsolved { .. } | RigError::Loose { .. }));
        self.see(found)?;
        if stiff {
            match by_stiffening(self.system, &way, &mut self.steps) {
                Ok(found) => self.see(found)?,
                Err(error) => self.note(error),
            }
        }
        if self.system.is_convex() { Continue(()) } else { self.everywhere(&way.x) }
    }

    /// To where the rough rig leads. If that is the end of a rope this decides, where the rough energy becomes the
    /// rig's as its ends are drawn together: where the rig is convex and no rope has weight.
    fn rough_way(&mut self, start: &[f64]) -> ControlFlow<Result<Equilibrium, RigError>, RoughPath> {
        let mut way = by_rough(self.system, start, STIFFER, &mut self.steps);
        if matches!(way.end, Err(RigError::Unsolved { .. } | RigError::Loose { .. })) {
            way = by_rough(self.system, start, A_LITTLE_STIFFER, &mut self.steps);
        }
        if let Ok(Some(Meeting { rope, part, no_room: true })) = way.end
            && self.system.is_convex()
        {
            if self.system.rig.ropes.iter().all(|rope| rope.weight_n_per_m == 0.0) {
                return Break(Err(runs_to(self.system, rope, part, true)));
            }
            self.keep(runs_to(self.system, rope, part, false))?;
        }
        if let Err(error) = &way.end {
            self.note(error.clone());
        }
        Continue(way)
    }

    /// The rig itself, from many starts.
    fn everywhere(&mut self, base: &[f64]) -> Decided {
        let system = self.system;
        let bends: Vec<bool> = (0..system.rig.ropes.len()).map(|r| elsewhere::bends(system, r)).collect();
        // Only those that ran to their ends so far are cut; all, if it was none of them.
        let mut loose: Vec<bool> = bends.iter().map(|_| false).collect();
        let blame = |loose: &mut Vec<bool>, error: &RigError| {
            if let RigError::RunsTo { rope, .. } | RigError::RunsOut { rope, .. } = error {
                for (r, bends) in bends.iter().enumerate() {
                    loose[r] |= *bends && system.rig.ropes[r].name == *rope;
                }
            }
        };
        blame(&mut loose, &self.refusal);
        let plain = elsewhere::plain(system);
        let stiffens = system.rig.ropes.iter().any(|rope| rope.stretch.b_n() > 0.0);
        for number in 0..tries(system) {
            let chosen = if loose.contains(&true) { &loose } else { &bends };
            let starts = [
                elsewhere::cut_up(&plain, base, chosen, number, &mut self.steps),
                Ok(elsewhere::scattered(&plain, number)),
            ];
            for start in starts {
                let x = match start {
                    Ok(x) => x,
                    Err(error) => {
                        self.note(error);
                        continue;
                    }
                };
                let mut found = minimise(&plain, x, Effort::scout(TRY_STEPS), &mut self.steps);
                match found {
                    Ok(there) if stiffens => {
                        found = minimise(system, there.state.x, Effort::full(LAST_STEPS), &mut self.steps);
                    }
                    // How far the plain rope would stretch, or what it lets go, is not what the rig's would.
                    Err(error @ (RigError::Overstretched { .. } | RigError::RunsAway { .. })) if stiffens => {
                        self.note(error);
                        continue;
                    }
                    _ => {}
                }
                if let Err(error) = &found {
                    blame(&mut loose, error);
                }
                self.see(found)?;
            }
        }
        Continue(())
    }
}

/// Newton's steps from these coordinates, the ropes shared out as their chords are.
fn from(
    system: &Equations<'_>,
    mut x: Vec<f64>,
    most: u32,
    steps: &mut u32,
) -> Result<Equilibrium, RigError> {
    share_out(system, &mut x);
    stage(system, &mut x, most, steps)
}

/// One stage: what it finds becomes the start of the next.
fn stage(
    system: &Equations<'_>,
    x: &mut Vec<f64>,
    most: u32,
    steps: &mut u32,
) -> Result<Equilibrium, RigError> {
    let most = most.min(ALL_STEPS.saturating_sub(*steps)).max(FEW_STEPS);
    let found = minimise(system, x.clone(), Effort::full(most), steps)?;
    x.clone_from(&found.state.x);
    Ok(found)
}

/// What a stage does to a rig: no rope is stiffer than this, no point less loaded.
#[derive(Debug, Clone, Copy)]
struct Ease {
    stiffest_n: f64,
    least_load_n: f64,
}

/// The stages from soft ropes and even loads to those of the rig; the last one is the rig.
fn stages(rough: &Equations<'_>, stiffer: f64) -> Vec<Ease> {
    let moving = rough.seats.iter().zip(&rough.loads_n).filter(|(seat, _)| seat.count > 0);
    let loads: Vec<f64> = moving.map(|(_, load)| equations::largest(load)).collect();
    let tensions = rough.rig.ropes.iter().map(|rope| match rope.supply {
        Supplied::Length(_) => 0.0,
        Supplied::Tension(_, tension) => tension,
    });
    let tensions: f64 = tensions.sum();
    let most = loads.iter().fold(0.0_f64, |m, &load| m.max(load));
    let least = loads.iter().fold(most, |m, &load| m.min(load)).max(LIGHTEST * most);
    let even = LIGHT * most;
    let all: f64 = loads.iter().map(|load| load.max(even)).sum();
    let stiffest = rough.rig.ropes.iter().fold(0.0_f64, |m, rope| m.max(rope.stretch.a_n()));
    let mut ease = Ease { stiffest_n: SOFT * (all + tensions), least_load_n: even };
    let mut list = Vec::new();
    if !(ease.stiffest_n > 0.0 && ease.stiffest_n.is_finite()) {
        return list;
    }
    while ease.stiffest_n < stiffest || ease.least_load_n > least {
        list.push(ease);
        ease = Ease { stiffest_n: stiffer * ease.stiffest_n, least_load_n: ease.least_load_n / stiffer };
    }
    list
}

/// Eases a rig, or gives it back its own ropes and loads.
fn ease(system: &mut Equations<'_>, rig: &Rig, by: Option<Ease>) {
    let by = by.unwrap_or(Ease { stiffest_n: f64::INFINITY, least_load_n: 0.0 });
    for (rope, given) in system.rig.to_mut().ropes.iter_mut().zip(&rig.ropes) {
        let part = (by.stiffest_n / given.stretch.a_n()).min(1.0);
        rope.stretch = given.stretch.scaled(ratio(part)).unwrap_or(given.stretch);
    }
    system.loads_n = equations::loads(rig, system.mode);
    for load in &mut system.loads_n {
        let size = equations::largest(load);
        if size == 0.0 {
            load.z = -by.least_load_n;
        } else if size < by.least_load_n {
            *load *= by.least_load_n / size;
        }
    }
}

/// To where the rough rig hangs, with ropes as stiff as they are and ends as sharp as need be.
fn by_rough(system: &Equations<'_>, start: &[f64], stiffer: f64, steps: &mut u32) -> RoughPath {
    let mut rough = Equations::new(&system.rig, Mode::Rough);
    let mut x = start[..system.coordinates].to_vec();
    let mut at = Vec::new();
    rough.positions(&x, &mut at);
    let size = size_m(system, &at);
    let stages = stages(&rough, stiffer);
    ease(&mut rough, &system.rig, stages.first().copied());
    // A stage that fails costs the stages after it some steps, no more: only the last one decides.
    let mut last = Ok(());
    let runs = system.rig.ropes.iter().any(refusal::runs);
    for &blunt in if runs { &BLUNT } else { &BLUNT[2..] } {
        rough.soften_m = blunt * size;
        last = stage(&rough, &mut x, STAGE_STEPS, steps).map(drop);
    }
    let soft = x.clone();
    last = sharpen(&mut rough, &mut x, size, steps).unwrap_or(last);
    if !stages.is_empty() {
        for &by in &stages[1..] {
            ease(&mut rough, &system.rig, Some(by));
            let _ = stage(&rough, &mut x, STAGE_STEPS, steps);
        }
        ease(&mut rough, &system.rig, None);
        last = stage(&rough, &mut x, STAGE_STEPS, steps).map(drop);
    }
    last = sharpen(&mut rough, &mut x, size, steps).unwrap_or(last);
    let end = last.map(|()| {
        close(&rough, &x).map(|(gap_m, rope, part)| Meeting {
            rope,
            part,
            no_room: gap_m <= NO_ROOM * rough.soften_m,
        })
    });
    RoughPath { soft, x, stages, end }
}

/// The shortest part of all ropes, where its ends are so near to each other that it matters how sharp they are.
fn close(rough: &Equations<'_>, x: &[f64]) -> Option<(f64, usize, usize)> {
    let mut at = Vec::new();
    rough.positions(x, &mut at);
    nearest(rough, &at).filter(|(gap_m, ..)| *gap_m <= NEAR * rough.soften_m)
}

/// Draws the ends of a rough rig closer while they matter; what came of the last stage, if there was one.
fn sharpen(
    rough: &mut Equations<'_>,
    x: &mut Vec<f64>,
    size: f64,
    steps: &mut u32,
) -> Option<Result<(), RigError>> {
    let mut last = None;
    let so_far_m = rough.soften_m;
    for sharp in SHARP.into_iter().filter(|sharp| sharp * size < so_far_m) {
        // Once the ends no longer matter, it is time for the rig as it is.
        if close(rough, x).is_none() {
            break;
        }
        rough.soften_m = sharp * size;
        last = Some(stage(rough, x, STAGE_STEPS, steps).map(drop));
    }
    last
}

/// The rig itself, its ropes made stiffer by and by; an error where a rig on the way is not solved.
fn by_stiffening(
    system: &Equations<'_>,
    way: &RoughPath,
    steps: &mut u32,
) -> Result<Result<Equilibrium, RigError>, RigError> {
    let mut eased = system.clone();
    let mut x = way.soft.clone();
    share_out(system, &mut x);
    for &by in &way.stages {
        ease(&mut eased, &system.rig, Some(by));
        stage(&eased, &mut x, STAGE_STEPS, steps)?;
    }
    Ok(stage(system, &mut x, LAST_STEPS, steps))
}

/// From how many starts of each kind it is worth while.
pub(crate) fn tries(system: &Equations<'_>) -> u32 {
    if system.variables() > LARGE { TRIES / 4 } else { TRIES }
}
