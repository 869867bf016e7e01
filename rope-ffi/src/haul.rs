//! Haul: the line that raises the load, in one call.
//!
//! ```text
//! F = pull * product of redirects before / advantage of the tackle * product of redirects behind
//! with each redirect's ratio and the tackle's advantage hauling or lowering. At rest anything between. Load's speed = line
//! speed / velocity ratio; hand = travel * velocity ratio. Assumed, range: as of tackle; up to 8 redirects on each side, 0 to
//! 180 degrees. CAUTION. A winch built for pulling may be barred by its own standard from lifting people.
//! Source: as of tackle and bends; Delaney 2022 for what redirects pass on.
//! ```
//!
//! ```c
//! rmech_tackle tackle = RMECH_INIT(rmech_tackle);
//! tackle.load_distance = rmech_m(40.0);
//! tackle.spread = rmech_m(10.0);
//! tackle.efficiency = rmech_percent(90.0);
//! rmech_pull pull = {rmech_kn(2.1), rmech_kn(1.5)}; // hauling, lowering
//! rmech_force available = rmech_n(900.0), needed;
//! int32_t ready; // the least of the usual tackles that is enough, with no redirects
//! if (rmech_haul_least_advantage(&tackle, NULL, 0, NULL, 0, &pull, &available, &ready, &needed, &error) == RMECH_OK)
//!     printf("%s, %.0f N\n", ready == RMECH_TACKLE_3_TO_1 ? "3:1" : "another", rmech_in_n(needed)); // 3:1, 775 N
//! ```

use crate::call::{
    call, growing, growing_output, input, inputs, output, versions, writable, writable_growing,
};
use crate::error::{Failure, Named, RMECH_ERR_CAPACITY, RMECH_ERR_POINTER, rmech_error};
use crate::quantity::{rmech_angle, rmech_force, rmech_length, rmech_time, rmech_velocity};
use crate::sheave::rmech_turn;
use crate::tackle::{RMECH_TACKLE_OWN, ready_of, rmech_cycle, rmech_haul_plan, rmech_tackle};
use rope_mechanics::haul::{Haul, HaulRedirect, LoadPull, MAX_REDIRECTS, Route};
use rope_mechanics::sheave::Turn;
use rope_mechanics::tackle::{Builder, Layout, Tackle, TackleError};

/// A turn of the haul line outside its tackle: over the frame, over an edge, beside the winch.
///
/// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_haul_redirect {
    /// What the rope turns on: a sheave, a bare connector by its efficiency, a fixed bar or edge by its friction.
    pub turn: rmech_turn,
    /// How far the rope turns: from 0 to half a turn.
    pub angle: rmech_angle,
}

/// What the load asks of its haul line.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_pull {
    /// While the load comes.
    pub hauling: rmech_force,
    /// While it goes: no more than hauling; zero where the rope goes slack.
    pub lowering: rmech_force,
}

/// The force on a redirect.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_redirect_force {
    /// While the load comes.
    pub hauling: rmech_force,
    /// While the load goes.
    pub lowering: rmech_force,
}

/// The forces, speed and resets of a haul.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_haul {
    /// sizeof(rmech_haul); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// Zero.
    pub flags: u32,
    /// At the winch while the load comes; at rest, the greatest that doesn't yet haul it.
    pub hauling: rmech_force,
    /// At the winch while the load goes; at rest, the least that keeps it from going.
    pub lowering: rmech_force,
    /// The highest tension of any part of rope while hauling.
    pub highest: rmech_force,
    /// The greatest force on a carrier of the tackle that stays, while hauling: its anchor, as a rule.
    pub anchor: rmech_force,
    /// The load's speed while the winch turns.
    pub load_speed: rmech_velocity,
    /// Time with the winch turning; the resets take theirs besides.
    pub pulling: rmech_time,
    /// Throws, resets and rope.
    pub cycle: rmech_cycle,
}

versions!(rmech_haul: 104);

impl rmech_pull {
    fn get(self) -> Result<LoadPull, Failure> {
        LoadPull::new(self.hauling.get(), self.lowering.get())
            .named("pull_hauling", "hauling")
            .named("pull_lowering", "lowering")
    }
}

#[inline(never)] // its lists must not stand in the frame of the solution
fn route(
    tackle: &rmech_tackle,
    before: &[rmech_haul_redirect],
    after: &[rmech_haul_redirect],
) -> Result<Route, Failure> {
    let placeholder = HaulRedirect::new(Turn::FRICTIONLESS, rmech_angle::default().get())?;
    let list = |name: &str, count: &str, from: &[rmech_haul_redirect]| {
        if from.len() > MAX_REDIRECTS {
            let why = TackleError::TooMany { what: "redirects", most: MAX_REDIRECTS };
            return Err(Failure::of(RMECH_ERR_CAPACITY, count, why));
        }
        let mut redirects = [placeholder; MAX_REDIRECTS];
        for (index, (slot, redirect)) in redirects.iter_mut().zip(from).enumerate() {
            let turn = redirect.turn.get().inside("turn").item(name, index)?;
            let made = HaulRedirect::new(turn, redirect.angle.get()).named("redirect_turn", "angle");
            *slot = made.item(name, index)?;
        }
        Ok(redirects)
    };
    let (first, second) = (list("before", "before_count", before)?, list("after", "after_count", after)?);
    let route = if tackle.ready == RMECH_TACKLE_OWN {
        // It brings its own drawing and sheaves, so that any room and pulley do for the route.
        let m = |metres| rmech_length { metres }.get();
        Route::new(Layout::new(m(2.0), m(1.0))?, Turn::FRICTIONLESS)
    } else {
        Route::new(tackle.layout()?, tackle.pulley()?)
    };
    let route = route.with_before(first.get(..before.len()).unwrap_or_default())?;
    Ok(route.with_after(second.get(..after.len()).unwrap_or_default())?)
}

/// The whole haul: redirects from the load to the tackle, the tackle (a usual one or one's own), redirects from the tackle
/// to the winch.
///
/// The redirects are in that order; each list may be NULL with a count of 0 and has at most 8. `on_redirects` takes
/// the force on all of them, first those before the tackle; it may be NULL. Set `haul->struct_size` before.
///
/// Model, formula and range: at the top of this topic in rope_mechanics.h.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_haul_solve(
    tackle: *const rmech_tackle,
    before: *const rmech_haul_redirect,
    before_count: usize,
    after: *const rmech_haul_redirect,
    after_count: usize,
    pull: *const rmech_pull,
    plan: *const rmech_haul_plan,
    winch_speed: *const rmech_velocity,
    on_redirects: *mut rmech_redirect_force,
    haul: *mut rmech_haul,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (tackle, before, after) = unsafe {
            (
                growing("tackle", tackle)?,
                inputs("before", before, before_count)?,
                inputs("after", after, after_count)?,
            )
        };
        // SAFETY: as above.
        let (pull, plan, speed) =
            unsafe { (input("pull", pull)?, input("plan", plan)?, input("winch_speed", winch_speed)?) };
        // SAFETY: as above.
        unsafe { writable_growing("haul", haul)? };
        if !on_redirects.is_null() && !on_redirects.is_aligned() {
            return Err(Failure::of(RMECH_ERR_POINTER, "on_redirects", "on_redirects is not aligned"));
        }
        let route = route(&tackle, before, after)?;
        let mut rig = Builder::new();
        // SAFETY: as above.
        let line = route.haul_with(unsafe { tackle.build(&mut rig)? });
        let pull = pull.get()?;
        let forces = line.forces(pull)?;
        let journey = line.journey(&plan.get()?, speed.get())?;
        let value = rmech_haul {
            struct_size: 0,
            flags: 0,
            hauling: forces.hauling.into(),
            lowering: forces.lowering.into(),
            highest: forces.highest.into(),
            anchor: forces.anchor.into(),
            load_speed: journey.load_speed.into(),
            pulling: journey.pulling.into(),
            cycle: journey.cycle.into(),
        };
        if !on_redirects.is_null() {
            // SAFETY: the caller says that there is room for all redirects.
            unsafe { write_redirects(&line, pull, on_redirects)? };
        }
        // SAFETY: as above. Its size was found to be that of a version.
        unsafe { growing_output("haul", haul, value) }
    })
}

/// # Safety
/// There is room for as many as the line has.
#[inline(never)] // its lists must not stand in the frame of the solution
unsafe fn write_redirects(
    line: &Haul<&Tackle>,
    pull: LoadPull,
    on_redirects: *mut rmech_redirect_force,
) -> Result<(), Failure> {
    for (i, on) in line.redirects(pull)?.enumerate() {
        let on = rmech_redirect_force { hauling: on.hauling.into(), lowering: on.lowering.into() };
        // SAFETY: as above.
        unsafe { on_redirects.add(i).write(on) };
    }
    Ok(())
}

/// The least advantage with which a force at the winch is enough: `RMECH_TACKLE_1_TO_1` says that a straight pull is.
///
/// The tackle gives the layout, the form, the lead and the one efficiency of all pulleys; its `ready` is not read.
/// `hauling` takes the force at the winch then.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_haul_least_advantage(
    tackle: *const rmech_tackle,
    before: *const rmech_haul_redirect,
    before_count: usize,
    after: *const rmech_haul_redirect,
    after_count: usize,
    pull: *const rmech_pull,
    available: *const rmech_force,
    ready: *mut i32,
    hauling: *mut rmech_force,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (mut tackle, before, after) = unsafe {
            (
                growing("tackle", tackle)?,
                inputs("before", before, before_count)?,
                inputs("after", after, after_count)?,
            )
        };
        // SAFETY: as above.
        let (pull, available) = unsafe { (input("pull", pull)?, input("available", available)?) };
        writable("ready", ready)?;
        writable("hauling", hauling)?;
        tackle.ready = crate::tackle::RMECH_TACKLE_1_TO_1;
        let like = tackle.usual()?;
        let route = route(&tackle, before, after)?;
        let choice = route.least_advantage(pull.get()?, available.get(), like.form, like.lead)?;
        let found = ready_of(choice.usual)?;
        // SAFETY: as above.
        unsafe {
            output("ready", ready, found)?;
            output("hauling", hauling, choice.forces.hauling.into())
        }
    })
}
