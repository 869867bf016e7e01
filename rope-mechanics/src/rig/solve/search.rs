//! Where an equilibrium is looked for: straight from the start, else by ways on which less can go wrong.
//!
//! A poor start may drive a sheave to the end of its rope on the way, and the energy of stiff ropes under small loads
//! is a narrow bent valley, along which Newton's steps are short. So a rough rig is solved next, which has no ends
//! ([`Mode::Rough`]) and a convex energy, with ropes so soft that its valley is wide; the ends are drawn closer and the
//! ropes made stiffer in stages. From there the rig itself is solved, or found to have its least energy at the end of
//! a rope. Where its energy isn't convex, the search goes on from starts all over the rig ([`elsewhere`]).
//!
//! A refusal is one of the rig itself, as far as there is one. Where its own iteration only did not converge, what befell
//! the rough rig, or the one with plain ropes, is reported instead.
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
use crate::rig::options::Options;
use alloc::vec::Vec;
use core::ops::ControlFlow::{self, Break, Continue};

/// Where the rough rig led.
struct RoughPath {
    /// Coordinates at the last stage.
    x: Vec<f64>,
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
    let straight = minimise(system, start.clone(), Effort::full(Options::DEFAULT.first_steps), &mut steps);
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
        let found = from(self.system, way.x.clone(), Options::DEFAULT.last_steps, &mut self.steps);
        self.see(found)?;
        if self.system.is_convex() { Continue(()) } else { self.everywhere(&way.x) }
    }

    /// To where the rough rig leads. If that is the end of a rope this decides, where the rough energy becomes the
    /// rig's as its ends are drawn together: where the rig is convex and no rope has weight.
    fn rough_way(&mut self, start: &[f64]) -> ControlFlow<Result<Equilibrium, RigError>, RoughPath> {
        let way = by_rough(self.system, start, &mut self.steps);
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
        let plain = elsewhere::plain(system);
        let stiffens = system.rig.ropes.iter().any(|rope| rope.stretch.b_n() > 0.0);
        for number in 0..tries(system) {
            let starts = [
                elsewhere::cut_up(&plain, base, number, &mut self.steps),
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
                let mut found =
                    minimise(&plain, x, Effort::scout(Options::DEFAULT.try_steps), &mut self.steps);
                match found {
                    Ok(there) if stiffens => {
                        found = minimise(
                            system,
                            there.state.x,
                            Effort::full(Options::DEFAULT.last_steps),
                            &mut self.steps,
                        );
                    }
                    // How far the plain rope would stretch, or what it releases, is not what the rig's would.
                    Err(error @ (RigError::Overstretched { .. } | RigError::RunsAway { .. })) if stiffens => {
                        self.note(error);
                        continue;
                    }
                    _ => {}
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
    let most = most.min(Options::DEFAULT.all_steps.saturating_sub(*steps)).max(Options::DEFAULT.few_steps);
    let found = minimise(system, x.clone(), Effort::full(most), steps)?;
    x.clone_from(&found.state.x);
    Ok(found)
}

/// How stiff the stiffest rope is at each stage, from soft ropes up to, but not with, those of the rig.
fn stages_n(rough: &Equations<'_>) -> impl Iterator<Item = f64> + use<> {
    let moving = rough.seats.iter().zip(&rough.loads_n).filter(|(seat, _)| seat.count > 0);
    let loads: f64 = moving.map(|(_, load)| equations::largest(load)).sum();
    let tensions = rough.rig.ropes.iter().map(|rope| match rope.supply {
        Supplied::Length(_) => 0.0,
        Supplied::Tension(_, tension) => tension,
    });
    let first = Options::DEFAULT.soft * (loads + tensions.sum::<f64>());
    let stiffest = rough.rig.ropes.iter().fold(0.0_f64, |m, rope| m.max(rope.stretch.a_n()));
    let next = |n: &f64| Some(Options::DEFAULT.stiffer * n);
    core::iter::successors((first > 0.0).then_some(first), next).take_while(move |n| *n < stiffest)
}

/// Makes no rope stiffer than this.
fn soften(system: &mut Equations<'_>, rig: &Rig, stiffest_n: f64) {
    for (rope, given) in system.rig.to_mut().ropes.iter_mut().zip(&rig.ropes) {
        let part = (stiffest_n / given.stretch.a_n()).min(1.0);
        rope.stretch = given.stretch.scaled(ratio(part)).unwrap_or(given.stretch);
    }
}

/// To where the rough rig hangs, with ropes as stiff as they are and ends as sharp as need be.
fn by_rough(system: &Equations<'_>, start: &[f64], steps: &mut u32) -> RoughPath {
    let mut rough = Equations::new(&system.rig, Mode::Rough).within(system.budget);
    let mut x = start[..system.coordinates].to_vec();
    let mut at = Vec::new();
    rough.positions(&x, &mut at);
    let size = size_m(system, &at);
    rough.soften_m = Options::DEFAULT.blunt * size;
    // A stage that fails costs the stages after it some steps, no more: only the last one decides.
    for (number, stiffest_n) in stages_n(&rough).enumerate() {
        soften(&mut rough, &system.rig, stiffest_n);
        let _ = stage(&rough, &mut x, Options::DEFAULT.stage_steps, steps);
        if number == 0 {
            // While ropes are soft this takes few steps.
            let _ = sharpen(&mut rough, &mut x, size, steps);
        }
    }
    soften(&mut rough, &system.rig, f64::INFINITY);
    let last = stage(&rough, &mut x, Options::DEFAULT.stage_steps, steps).map(drop);
    let last = sharpen(&mut rough, &mut x, size, steps).unwrap_or(last);
    let end = last.map(|()| {
        close(&rough, &x).map(|(gap_m, rope, part)| Meeting {
            rope,
            part,
            no_room: gap_m <= Options::DEFAULT.no_room * rough.soften_m,
        })
    });
    RoughPath { x, end }
}

/// The shortest part of all ropes, where its ends are so near to each other that it matters how sharp they are.
fn close(rough: &Equations<'_>, x: &[f64]) -> Option<(f64, usize, usize)> {
    let mut at = Vec::new();
    rough.positions(x, &mut at);
    nearest(rough, &at).filter(|(gap_m, ..)| *gap_m <= Options::DEFAULT.near * rough.soften_m)
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
    for sharp in Options::DEFAULT.sharp.into_iter().filter(|sharp| sharp * size < so_far_m) {
        // Once the ends no longer matter, it is time for the rig as it is.
        if close(rough, x).is_none() {
            break;
        }
        rough.soften_m = sharp * size;
        last = Some(stage(rough, x, Options::DEFAULT.stage_steps, steps).map(drop));
    }
    last
}

/// From how many starts of each kind it is worth while.
pub(crate) fn tries(system: &Equations<'_>) -> u32 {
    if system.variables() > Options::DEFAULT.many_variables {
        Options::DEFAULT.tries / 4
    } else {
        Options::DEFAULT.tries
    }
}
