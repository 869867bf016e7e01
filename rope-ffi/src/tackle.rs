//! Tackle: usual ones by their number, any other by arrays of carriers and stops.
//!
//! No call allocates.
//!
//! ```text
//! Each carrier that moves is in balance along its heading: sum of T*cos(angle) = load at the load, 0 elsewhere.
//! Travel by virtual work, the transpose of the same system: advantage = rope through the hand / travel of the load, without losses.
//! Losses: the tension behind each sheave by the topic on bends, in the direction in which the rope runs there.
//! Assumed: straight, weightless ropes that don't stretch; angles as drawn. Range: up to 24 carriers (8 that move), 48 stops,
//! 8 ropes. The balance is put back to 1e-11. CAUTION. A tackle multiplies what a jammed load does to its anchor.
//! Source: statics and virtual work; checked against printed ratios (McAllister, Pipeline Rules of Thumb Handbook, p. 6).
//! ```
//!
//! ```c
//! rmech_tackle tackle = RMECH_INIT(rmech_tackle);
//! rmech_tackle_forces forces;
//! tackle.ready = RMECH_TACKLE_3_TO_1;
//! tackle.load_distance = rmech_m(40.0);
//! tackle.spread = rmech_m(10.0);
//! tackle.efficiency = rmech_percent(90.0);
//! rmech_force load = rmech_kn(2.1);
//! if (rmech_tackle_solve(&tackle, &load, RMECH_MOTION_HAULING, NULL, 0, &forces, &error) == RMECH_OK)
//!     printf("%.0f N at the hand\n", rmech_in_n(forces.hand)); // 775 N at the hand
//! ```

use crate::call::{call, growing, input, inputs, no_reserved, output, versions, writable};
use crate::error::{
    Failure, Named, RMECH_ERR_CAPACITY, RMECH_ERR_ENUMERATOR, RMECH_ERR_GEOMETRY, RMECH_ERR_INTERNAL,
    RMECH_ERR_UNSOLVED, rmech_error, text,
};
use crate::quantity::{rmech_angle, rmech_force, rmech_force3, rmech_length, rmech_point, rmech_ratio};
use crate::sheave::{RMECH_MOTION_HAULING, RMECH_MOTION_LOWERING};
use core::ffi::c_char;
use rope_mechanics::geometry::Direction3;
use rope_mechanics::sheave::Turn;
use rope_mechanics::tackle::{
    Builder, CarrierId, CyclePlan, Layout, MAX_CARRIERS, MAX_PARTS, MAX_ROPES, MAX_STOPS, Preference, RopeId,
    RopeStop, Tackle, TackleError, TackleForces, TackleSearch, Usual, UsualForm, UsualRatio,
};

/// A straight pull; with a lead, the 1:1 redirect.
pub const RMECH_TACKLE_1_TO_1: i32 = 1;
/// A rope from the anchor around one travelling sheave.
pub const RMECH_TACKLE_2_TO_1: i32 = 2;
/// One sheave at the anchor and one travelling.
pub const RMECH_TACKLE_3_TO_1: i32 = 3;
/// A 2:1 pulled by a 2:1.
pub const RMECH_TACKLE_4_TO_1: i32 = 4;
/// Two sheaves at the anchor and two travelling.
pub const RMECH_TACKLE_5_TO_1: i32 = 5;
/// A 3:1 pulled by a 2:1.
pub const RMECH_TACKLE_6_TO_1: i32 = 6;
/// A 3:1 pulled by a 3:1.
pub const RMECH_TACKLE_9_TO_1: i32 = 9;
/// The 5:1 of three sheaves and two grabs, pulled towards the load. It takes no lead.
pub const RMECH_TACKLE_5_TO_1_COMPLEX: i32 = 105;

/// A tackle of one's own, of the carriers and stops given with it.
pub const RMECH_TACKLE_OWN: i32 = 201;

/// A flag of a usual tackle: it grips the load's rope, which a grab at the anchor holds, and isn't made of it.
pub const RMECH_TACKLE_PIGGYBACK: u32 = 1;
/// A flag of a usual tackle: a lead sheave at the anchor turns the hand's end back.
pub const RMECH_TACKLE_LEAD: u32 = 2;

/// A state of a tackle, beside `RMECH_MOTION_HAULING` and `RMECH_MOTION_LOWERING`: without losses, the ideal.
pub const RMECH_TACKLE_LOSSLESS: i32 = 101;
/// A state of a tackle: held by its capture, with the hand off.
pub const RMECH_TACKLE_HELD: i32 = 102;

/// A carrier that stays where it is.
pub const RMECH_CARRIER_ANCHOR: i32 = 0;
/// The carrier that is hauled. There is one.
pub const RMECH_CARRIER_LOAD: i32 = 1;
/// A travelling block or grab.
pub const RMECH_CARRIER_FREE: i32 = 2;

/// A rope's end tied to a carrier.
pub const RMECH_TACKLE_STOP_END: i32 = 0;
/// A rope's end in the hand or on the winch, which stands at a carrier. There is one.
pub const RMECH_TACKLE_STOP_HAND: i32 = 1;
/// A rope's end that hangs slack or is tailed.
pub const RMECH_TACKLE_STOP_TAIL: i32 = 2;
/// A rope held by a grab that sits on a carrier.
pub const RMECH_TACKLE_STOP_GRAB: i32 = 3;
/// A rope over a sheave or connector on a carrier.
pub const RMECH_TACKLE_STOP_SHEAVE: i32 = 4;
/// The same, with a capture of progress.
pub const RMECH_TACKLE_STOP_CAPTURE: i32 = 5;
/// A rope over a fixed bar on a carrier.
pub const RMECH_TACKLE_STOP_BAR: i32 = 6;

/// A tackle: a usual one and where its parts stand along its line, or one of one's own.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_tackle {
    /// sizeof(rmech_tackle); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// `RMECH_TACKLE_PIGGYBACK`, `RMECH_TACKLE_LEAD`, both or none; none for a tackle of one's own.
    pub flags: u32,
    /// Which: `RMECH_TACKLE_3_TO_1`, ...; or `RMECH_TACKLE_OWN`, for which only the carriers and stops count.
    pub ready: i32,
    /// Zero.
    pub reserved: i32,
    /// From the anchor to the load.
    pub load_distance: rmech_length,
    /// From the anchor to the travelling block or grab when the tackle is spread out: less than that to the load.
    pub spread: rmech_length,
    /// From the anchor to the hand or winch; zero for 1 m.
    pub hand_distance: rmech_length,
    /// Of every pulley over half a turn: tension after by tension before.
    pub efficiency: rmech_ratio,
    /// Of single pulleys, in the order in which the rope reaches them from the load to the hand; zero where it is
    /// that of every pulley.
    pub efficiencies: [rmech_ratio; 5],
    /// The carriers of a tackle of one's own. They stay the caller's, and are read during a call only.
    pub carriers: *const rmech_carrier,
    /// How many: up to 24.
    pub carrier_count: usize,
    /// The stops of its ropes, rope after rope.
    pub stops: *const rmech_stop,
    /// How many: up to 48.
    pub stop_count: usize,
}

versions!(rmech_tackle: 88 + 4 * WORD);

/// Load by hand force.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_advantage {
    /// Without losses.
    pub ideal: rmech_ratio,
    /// While the load comes.
    pub hauling: rmech_ratio,
    /// While the load goes.
    pub lowering: rmech_ratio,
}

/// What a tackle does for a load.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_tackle_forces {
    /// At the hand or winch; zero while a capture holds.
    pub hand: rmech_force,
    /// The highest tension of any part.
    pub highest: rmech_force,
    /// Rope through the hand for each length that the load travels.
    pub velocity_ratio: rmech_ratio,
    /// How many parts of rope there are.
    pub parts: u32,
    /// How many sheaves the ropes turn over.
    pub sheaves: u32,
    /// How many stops `rmech_tackle_on_sheaves` gives: the sheaves, and captures that a rope runs straight through.
    pub turns: u32,
    /// How many carriers there are.
    pub carriers: u32,
}

/// What a rope does to a sheave, connector, bar or capture.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_sheave_force {
    /// Where it sits: the place of its carrier.
    pub carrier: u32,
    /// The rope over it, in the order in which they are reeved.
    pub rope: u32,
    /// Which stop of that rope it is, from 0.
    pub stop: u32,
    /// Zero.
    pub reserved: u32,
    /// How far the rope turns.
    pub turn: rmech_angle,
    /// What the rope does to it.
    pub force: rmech_force3,
}

/// What all ropes do to a carrier, and how it moves.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_carrier_force {
    /// What it is called, NUL-terminated: "anchor", "load", "grab", ...; of a tackle of one's own "carrier 0", ...
    pub name: [c_char; 24],
    /// The force that all ropes together put on it.
    pub force: rmech_force3,
    /// How far it travels along its heading for each length that the load travels; zero for an anchor.
    pub travel: rmech_ratio,
}

/// The greatest travel before a tackle must be reset.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_throw {
    /// How far the load travels.
    pub load: rmech_length,
    /// How much rope comes through the hand.
    pub hand: rmech_length,
    /// The part that gets too short first: the place of the carrier where it begins.
    pub from: u32,
    /// That of the carrier where it ends.
    pub to: u32,
}

/// The tackle wanted has the fewest sheaves; among equals the least rope.
pub const RMECH_WANTED_FEWEST_SHEAVES: i32 = 1;
/// The tackle wanted takes the least rope; among equals it has the fewest sheaves.
pub const RMECH_WANTED_LEAST_ROPE: i32 = 2;

/// With a lead sheave or without.
pub const RMECH_LEAD_EITHER: i32 = 0;
/// Only with a lead sheave.
pub const RMECH_LEAD_WITH: i32 = 1;
/// Only without.
pub const RMECH_LEAD_WITHOUT: i32 = 2;

/// The usual tackle found.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_tackle_found {
    /// Which, as in `rmech_tackle`.
    pub ready: i32,
    /// Its flags, as in `rmech_tackle`.
    pub flags: u32,
    /// The force at the hand while hauling.
    pub hand: rmech_force,
    /// Its rope as drawn, beside knots and tails.
    pub rope: rmech_length,
}

/// A haul to be planned.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_haul_plan {
    /// How far the load is to come: above zero.
    pub haul: rmech_length,
    /// What must stay clear between any two carriers that a part joins.
    pub clearance: rmech_length,
    /// How far rope slips back through the capture before it holds.
    pub setback: rmech_length,
}

/// What a haul takes with a tackle that must be reset on the way.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_cycle {
    /// The load's travel between two resets.
    pub throw_at_load: rmech_length,
    /// Rope through the hand between two resets.
    pub throw_at_hand: rmech_length,
    /// How far the load goes back at each reset.
    pub lost: rmech_length,
    /// All the rope that comes through the hand.
    pub hand: rmech_length,
    /// The rope in the tackle as drawn, beside knots and tails.
    pub rope: rmech_length,
    /// How many throws the haul takes.
    pub throws: u32,
    /// How many resets lie between them.
    pub resets: u32,
}

/// A carrier of any tackle.
///
/// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_carrier {
    /// `RMECH_CARRIER_ANCHOR`, `RMECH_CARRIER_LOAD` or `RMECH_CARRIER_FREE`.
    pub kind: i32,
    /// Zero.
    pub reserved: i32,
    /// Where it stands.
    pub at: rmech_point,
    /// Along which it travels, of any length; all zero for against x. Ignored for an anchor.
    pub heading: [rmech_ratio; 3],
}

/// A stop of a rope. Stops that follow each other with the same `rope` make one rope, from one end to the other.
///
/// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_stop {
    /// `RMECH_TACKLE_STOP_END`, ...
    pub kind: i32,
    /// Any number that differs from those of the ropes before and after it.
    pub rope: u32,
    /// The index of its carrier.
    pub carrier: u32,
    /// Zero.
    pub reserved: u32,
    /// Of a sheave or capture, over half a turn; 1 for a capture that the rope runs straight through.
    pub efficiency: rmech_ratio,
    /// Of a bar, while raising.
    pub friction_raising: rmech_ratio,
    /// Of a bar, while lowering.
    pub friction_lowering: rmech_ratio,
}

impl From<TackleError> for Failure {
    fn from(why: TackleError) -> Self {
        match why {
            TackleError::Input(why) => why.into(),
            TackleError::Unsolved { .. } => Self::new(RMECH_ERR_UNSOLVED, why),
            TackleError::NotEnough { .. } => Self::of(RMECH_ERR_GEOMETRY, "available", why),
            _ => Self::new(RMECH_ERR_GEOMETRY, why),
        }
    }
}

/// The usual tackle of these enumerators.
pub(crate) fn usual(ready: i32, flags: u32) -> Result<Usual, Failure> {
    let ratio = match ready {
        RMECH_TACKLE_1_TO_1 => UsualRatio::OneToOne,
        RMECH_TACKLE_2_TO_1 => UsualRatio::TwoToOne,
        RMECH_TACKLE_3_TO_1 => UsualRatio::ThreeToOne,
        RMECH_TACKLE_4_TO_1 => UsualRatio::FourToOne,
        RMECH_TACKLE_5_TO_1 => UsualRatio::FiveToOne,
        RMECH_TACKLE_5_TO_1_COMPLEX => UsualRatio::FiveToOneComplex,
        RMECH_TACKLE_6_TO_1 => UsualRatio::SixToOne,
        RMECH_TACKLE_9_TO_1 => UsualRatio::NineToOne,
        _ => {
            return Err(Failure::unknown("ready", ready, "one of RMECH_TACKLE_..._TO_1 or RMECH_TACKLE_OWN"));
        }
    };
    if flags & !(RMECH_TACKLE_PIGGYBACK | RMECH_TACKLE_LEAD) != 0 {
        let allowed = "RMECH_TACKLE_PIGGYBACK, RMECH_TACKLE_LEAD, both added, or 0";
        return Err(Failure::unknown("flags", flags, allowed));
    }
    let form = if flags & RMECH_TACKLE_PIGGYBACK == 0 { UsualForm::Direct } else { UsualForm::Piggyback };
    Ok(Usual { ratio, form, lead: flags & RMECH_TACKLE_LEAD != 0 })
}

/// The enumerator of a usual tackle.
pub(crate) fn ready_of(usual: Usual) -> Result<i32, Failure> {
    Ok(match usual.ratio {
        UsualRatio::OneToOne => RMECH_TACKLE_1_TO_1,
        UsualRatio::TwoToOne => RMECH_TACKLE_2_TO_1,
        UsualRatio::ThreeToOne => RMECH_TACKLE_3_TO_1,
        UsualRatio::FourToOne => RMECH_TACKLE_4_TO_1,
        UsualRatio::FiveToOne => RMECH_TACKLE_5_TO_1,
        UsualRatio::FiveToOneComplex => RMECH_TACKLE_5_TO_1_COMPLEX,
        UsualRatio::SixToOne => RMECH_TACKLE_6_TO_1,
        UsualRatio::NineToOne => RMECH_TACKLE_9_TO_1,
        _ => return Err(Failure::new(RMECH_ERR_INTERNAL, "a tackle that this interface doesn't know yet")),
    })
}

impl rmech_tackle {
    pub(crate) fn usual(&self) -> Result<Usual, Failure> {
        no_reserved("tackle", self.reserved.into())?;
        usual(self.ready, self.flags)
    }

    pub(crate) fn layout(&self) -> Result<Layout, Failure> {
        let layout = Layout::new(self.load_distance.get(), self.spread.get())?;
        Ok(if self.hand_distance.metres == 0.0 {
            layout
        } else {
            layout.with_hand(self.hand_distance.get())?
        })
    }

    pub(crate) fn pulley(&self) -> Result<Turn, Failure> {
        Turn::sheave(self.efficiency.get()).named("sheave_efficiency", "efficiency")
    }

    /// The tackle, in the memory of an empty builder: a copy more would be too much for a controller's stack.
    ///
    /// # Safety
    /// The carriers and stops of a tackle of one's own must be as many as it says.
    pub(crate) unsafe fn build<'a>(&self, rig: &'a mut Builder) -> Result<&'a Tackle, Failure> {
        // SAFETY: as above.
        unsafe { self.reeve(rig)? };
        Ok(rig.close()?)
    }

    /// # Safety
    /// As of `build`.
    #[inline(never)]
    unsafe fn reeve(&self, rig: &mut Builder) -> Result<(), Failure> {
        if self.ready == RMECH_TACKLE_OWN {
            no_reserved("tackle", self.reserved.into())?;
            if self.flags != 0 {
                return Err(Failure::unknown("flags", self.flags, "0 for RMECH_TACKLE_OWN"));
            }
            // SAFETY: as above.
            return unsafe {
                arrange(
                    rig,
                    inputs("carriers", self.carriers, self.carrier_count)?,
                    inputs("stops", self.stops, self.stop_count)?,
                )
            };
        }
        let usual = self.usual()?;
        let mut pulleys = [self.pulley()?; 5];
        for (index, (pulley, own)) in pulleys.iter_mut().zip(self.efficiencies).enumerate() {
            if own.fraction != 0.0 {
                let turn = Turn::sheave(own.get()).named("sheave_efficiency", "");
                *pulley = turn.item("efficiencies", index)?;
            }
        }
        let pulleys = pulleys.get(..usual.sheaves()).unwrap_or_default();
        Ok(usual.reeve(rig, &self.layout()?, pulleys)?)
    }
}

impl rmech_haul_plan {
    pub(crate) fn get(self) -> Result<CyclePlan, Failure> {
        let plan = CyclePlan::new(self.haul.get())?;
        Ok(plan.with_clearance(self.clearance.get())?.with_setback(self.setback.get())?)
    }
}

impl From<rope_mechanics::tackle::Cycle> for rmech_cycle {
    fn from(cycle: rope_mechanics::tackle::Cycle) -> Self {
        Self {
            throw_at_load: cycle.throw.load.into(),
            throw_at_hand: cycle.throw.hand.into(),
            lost: cycle.lost.into(),
            hand: cycle.hand.into(),
            rope: cycle.rope.into(),
            throws: cycle.throws,
            resets: cycle.resets,
        }
    }
}

fn forces_of(tackle: &Tackle, load: rmech_force, state: i32) -> Result<TackleForces<'_>, Failure> {
    let load = load.get();
    Ok(match state {
        RMECH_TACKLE_LOSSLESS => tackle.without_losses(load)?,
        RMECH_MOTION_HAULING => tackle.hauling(load)?,
        RMECH_MOTION_LOWERING => tackle.lowering(load)?,
        RMECH_TACKLE_HELD => tackle.held(load)?,
        _ => {
            let allowed =
                "RMECH_MOTION_HAULING, RMECH_MOTION_LOWERING, RMECH_TACKLE_LOSSLESS or RMECH_TACKLE_HELD";
            return Err(Failure::unknown("state", state, allowed));
        }
    })
}

fn summary(tackle: &Tackle, forces: &TackleForces<'_>) -> rmech_tackle_forces {
    rmech_tackle_forces {
        hand: forces.hand().into(),
        highest: forces.highest().into(),
        velocity_ratio: tackle.velocity_ratio().into(),
        parts: u32::try_from(tackle.parts().count()).unwrap_or(u32::MAX),
        sheaves: u32::try_from(tackle.sheaves()).unwrap_or(u32::MAX),
        turns: u32::try_from(forces.sheaves().count()).unwrap_or(u32::MAX),
        carriers: u32::try_from(tackle.carriers().count()).unwrap_or(u32::MAX),
    }
}

/// The place of a carrier in the tackle's list.
fn place(tackle: &Tackle, carrier: CarrierId) -> u32 {
    tackle
        .carriers()
        .position(|other| other == carrier)
        .and_then(|i| u32::try_from(i).ok())
        .unwrap_or(u32::MAX)
}

/// The place of a rope: each begins with a part of its own.
fn place_of_rope(tackle: &Tackle, rope: RopeId) -> u32 {
    let mut firsts = tackle.parts().filter(|part| part.index == 0);
    firsts.position(|part| part.rope == rope).and_then(|i| u32::try_from(i).ok()).unwrap_or(u32::MAX)
}

/// Checks that an array has room for this many; NULL with no room is fine, for none are written then.
fn room<T>(name: &str, at: *mut T, capacity: usize, needed: usize) -> Result<bool, Failure> {
    if at.is_null() && capacity == 0 {
        return Ok(false);
    }
    writable(name, at)?;
    if capacity < needed {
        let message = format_args!("{name} has room for {capacity}, but {needed} are to be written");
        return Err(Failure::of(RMECH_ERR_CAPACITY, name, message));
    }
    Ok(true)
}

/// Writes the tension of every part.
unsafe fn write_tensions(tensions: *mut rmech_force, forces: &TackleForces<'_>) {
    for (i, part) in forces.parts().enumerate() {
        // SAFETY: `room` has found an aligned array of at least as many.
        unsafe { tensions.add(i).write(part.tension.into()) };
    }
}

/// The advantage of a tackle: without losses, hauling and lowering.
///
/// Model, formula and range: at the top of this topic in rope_mechanics.h.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_tackle_advantage(
    tackle: *const rmech_tackle,
    advantage: *mut rmech_advantage,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let tackle = unsafe { growing("tackle", tackle)? };
        writable("advantage", advantage)?;
        let mut rig = Builder::new();
        // SAFETY: as above.
        let found = unsafe { tackle.build(&mut rig)? }.advantage()?;
        let value = rmech_advantage {
            ideal: found.ideal.into(),
            hauling: found.hauling.into(),
            lowering: found.lowering.into(),
        };
        // SAFETY: as above.
        unsafe { output("advantage", advantage, value) }
    })
}

/// The forces in a tackle for a load, in one state: `RMECH_MOTION_HAULING`,
/// `RMECH_MOTION_LOWERING`, `RMECH_TACKLE_LOSSLESS` or `RMECH_TACKLE_HELD`.
///
/// `tensions` takes the tension of every part in the order in which the ropes were reeved (of a tackle of one's own, that
/// of its stops), if `capacity` is at least the number of parts, at most `RMECH_TACKLE_MAX_PARTS`; NULL with a capacity of
/// 0 asks for the rest alone.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_tackle_solve(
    tackle: *const rmech_tackle,
    load: *const rmech_force,
    state: i32,
    tensions: *mut rmech_force,
    capacity: usize,
    forces: *mut rmech_tackle_forces,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (tackle, load) = unsafe { (growing("tackle", tackle)?, input("load", load)?) };
        writable("forces", forces)?;
        let mut rig = Builder::new();
        // SAFETY: as above.
        let built = unsafe { tackle.build(&mut rig)? };
        let found = forces_of(built, load, state)?;
        if room("tensions", tensions, capacity, built.parts().count())? {
            // SAFETY: as above.
            unsafe { write_tensions(tensions, &found) };
        }
        // SAFETY: as above.
        unsafe { output("forces", forces, summary(built, &found)) }
    })
}

/// The force on every sheave of a tackle for a load, in one state as for `rmech_tackle_solve`.
///
/// `sheaves` takes them in the order in which the ropes reach them, as many as `turns` in `rmech_tackle_forces` says (at
/// most `RMECH_TACKLE_MAX_PARTS`).
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_tackle_on_sheaves(
    tackle: *const rmech_tackle,
    load: *const rmech_force,
    state: i32,
    sheaves: *mut rmech_sheave_force,
    capacity: usize,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (tackle, load) = unsafe { (growing("tackle", tackle)?, input("load", load)?) };
        writable("sheaves", sheaves)?;
        let mut rig = Builder::new();
        // SAFETY: as above.
        let built = unsafe { tackle.build(&mut rig)? };
        let found = forces_of(built, load, state)?;
        room("sheaves", sheaves, capacity, found.sheaves().count())?;
        for (i, on) in found.sheaves().enumerate() {
            let value = rmech_sheave_force {
                carrier: place(built, on.carrier),
                rope: place_of_rope(built, on.rope),
                stop: u32::try_from(on.stop).unwrap_or(u32::MAX),
                reserved: 0,
                turn: on.turn.into(),
                force: on.force.into(),
            };
            // SAFETY: `room` has found an aligned array of at least as many.
            unsafe { sheaves.add(i).write(value) };
        }
        Ok(())
    })
}

/// The force on every carrier of a tackle for a load, in one state as for `rmech_tackle_solve`, and how each travels.
///
/// `carriers` takes as many as `carriers` in `rmech_tackle_forces` says, at most 24.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_tackle_on_carriers(
    tackle: *const rmech_tackle,
    load: *const rmech_force,
    state: i32,
    carriers: *mut rmech_carrier_force,
    capacity: usize,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (tackle, load) = unsafe { (growing("tackle", tackle)?, input("load", load)?) };
        writable("carriers", carriers)?;
        let mut rig = Builder::new();
        // SAFETY: as above.
        let built = unsafe { tackle.build(&mut rig)? };
        let found = forces_of(built, load, state)?;
        room("carriers", carriers, capacity, built.carriers().count())?;
        for (i, carrier) in built.carriers().enumerate() {
            let value = rmech_carrier_force {
                name: text(built.carrier_name(carrier)),
                force: found.on(carrier).into(),
                travel: built.travel_of(carrier).into(),
            };
            // SAFETY: `room` has found an aligned array of at least as many.
            unsafe { carriers.add(i).write(value) };
        }
        Ok(())
    })
}

/// How far the load goes before two carriers that a part joins come closer than `clearance`.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_tackle_throw(
    tackle: *const rmech_tackle,
    clearance: *const rmech_length,
    throw: *mut rmech_throw,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (tackle, clearance) = unsafe { (growing("tackle", tackle)?, input("clearance", clearance)?) };
        writable("throw_", throw)?;
        let mut rig = Builder::new();
        // SAFETY: as above.
        let built = unsafe { tackle.build(&mut rig)? };
        let found = built.throw(clearance.get())?;
        let value = rmech_throw {
            load: found.load.into(),
            hand: found.hand.into(),
            from: place(built, found.limit.from),
            to: place(built, found.limit.to),
        };
        // SAFETY: as above.
        unsafe { output("throw_", throw, value) }
    })
}

/// How far the load goes back when its capture takes hold, for each length of rope that slips through it.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_tackle_setback(
    tackle: *const rmech_tackle,
    setback: *mut rmech_ratio,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let tackle = unsafe { growing("tackle", tackle)? };
        writable("setback", setback)?;
        let mut rig = Builder::new();
        // SAFETY: as above.
        let value = unsafe { tackle.build(&mut rig)? }.setback_ratio()?.into();
        // SAFETY: as above.
        unsafe { output("setback", setback, value) }
    })
}

/// The rope in all parts of a tackle, as drawn: what it needs beside knots and tails.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_tackle_rope(
    tackle: *const rmech_tackle,
    rope: *mut rmech_length,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let tackle = unsafe { growing("tackle", tackle)? };
        writable("rope", rope)?;
        let mut rig = Builder::new();
        // SAFETY: as above.
        let value = unsafe { tackle.build(&mut rig)? }.rope_needed().into();
        // SAFETY: as above.
        unsafe { output("rope", rope, value) }
    })
}

/// The best of the usual tackles with which the `available` hand force is enough for a load.
///
/// `tackle` gives where things stand and the one efficiency of all pulleys; its `ready`, `flags` and `efficiencies` are
/// not read. `wanted` is a `RMECH_WANTED_...`, `lead` a `RMECH_LEAD_...`. If none is enough, RMECH_ERR_GEOMETRY.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_tackle_search(
    tackle: *const rmech_tackle,
    load: *const rmech_force,
    available: *const rmech_force,
    wanted: i32,
    lead: i32,
    found: *mut rmech_tackle_found,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let tackle = unsafe { growing("tackle", tackle)? };
        // SAFETY: as above.
        let (load, available) = unsafe { (input("load", load)?, input("available", available)?) };
        writable("found", found)?;
        no_reserved("tackle", tackle.reserved.into())?;
        let wanted = match wanted {
            RMECH_WANTED_FEWEST_SHEAVES => Preference::FewestSheaves,
            RMECH_WANTED_LEAST_ROPE => Preference::LeastRope,
            other => return Err(Failure::unknown("wanted", other, "one of RMECH_WANTED_...")),
        };
        let search = TackleSearch::new(load.get(), available.get(), tackle.pulley()?, tackle.layout()?)?;
        let search = match lead {
            RMECH_LEAD_EITHER => search,
            RMECH_LEAD_WITH => search.with_lead(true),
            RMECH_LEAD_WITHOUT => search.with_lead(false),
            other => return Err(Failure::unknown("lead", other, "one of RMECH_LEAD_...")),
        };
        let best = search.find(wanted)?;
        let piggyback = if best.usual.form == UsualForm::Piggyback { RMECH_TACKLE_PIGGYBACK } else { 0 };
        let value = rmech_tackle_found {
            ready: ready_of(best.usual)?,
            flags: piggyback | if best.usual.lead { RMECH_TACKLE_LEAD } else { 0 },
            hand: best.hand.into(),
            rope: best.rope.into(),
        };
        // SAFETY: as above.
        unsafe { output("found", found, value) }
    })
}

/// Throws, resets and rope for a whole haul.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_tackle_cycle(
    tackle: *const rmech_tackle,
    plan: *const rmech_haul_plan,
    cycle: *mut rmech_cycle,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (tackle, plan) = unsafe { (growing("tackle", tackle)?, input("plan", plan)?) };
        writable("cycle", cycle)?;
        let mut rig = Builder::new();
        // SAFETY: as above.
        let value = unsafe { tackle.build(&mut rig)? }.cycle(&plan.get()?)?.into();
        // SAFETY: as above.
        unsafe { output("cycle", cycle, value) }
    })
}

/// What the carriers are called in a message: by their index.
const CARRIERS: [&str; MAX_CARRIERS] = [
    "carrier 0",
    "carrier 1",
    "carrier 2",
    "carrier 3",
    "carrier 4",
    "carrier 5",
    "carrier 6",
    "carrier 7",
    "carrier 8",
    "carrier 9",
    "carrier 10",
    "carrier 11",
    "carrier 12",
    "carrier 13",
    "carrier 14",
    "carrier 15",
    "carrier 16",
    "carrier 17",
    "carrier 18",
    "carrier 19",
    "carrier 20",
    "carrier 21",
    "carrier 22",
    "carrier 23",
];
/// What the ropes are called: in the order in which they come.
const ROPES: [&str; MAX_ROPES] = ["0", "1", "2", "3", "4", "5", "6", "7"];

fn arrange(rig: &mut Builder, carriers: &[rmech_carrier], stops: &[rmech_stop]) -> Result<(), Failure> {
    let too_many =
        |count: &str, what, most| Failure::of(RMECH_ERR_CAPACITY, count, TackleError::TooMany { what, most });
    let mut ids = [None; MAX_CARRIERS];
    if carriers.len() > MAX_CARRIERS {
        return Err(too_many("carrier_count", "carriers", MAX_CARRIERS));
    }
    for (index, ((carrier, name), id)) in carriers.iter().zip(CARRIERS).zip(&mut ids).enumerate() {
        *id = Some(carrier.add_to(rig, name).item("carriers", index)?);
    }
    let mut names = ROPES.iter();
    let mut before = 0;
    let mut left = stops;
    while let Some(first) = left.first() {
        let length = left.iter().take_while(|stop| stop.rope == first.rope).count();
        let Some((rope, rest)) = left.split_at_checked(length) else { break };
        left = rest;
        let filler = RopeStop::End(ids.first().copied().flatten().ok_or(TackleError::NoLoad)?);
        let mut path = [filler; MAX_STOPS];
        if rope.len() > MAX_STOPS {
            return Err(too_many("stop_count", "stops", MAX_STOPS));
        }
        for (index, (stop, slot)) in rope.iter().zip(&mut path).enumerate() {
            *slot = stop.get(ids.get(..carriers.len()).unwrap_or_default()).item("stops", before + index)?;
        }
        before += rope.len();
        let name = names.next().ok_or_else(|| too_many("stop_count", "ropes", MAX_ROPES))?;
        rig.rope(name, path.get(..rope.len()).unwrap_or_default())?;
    }
    Ok(())
}

impl rmech_carrier {
    fn add_to(&self, rig: &mut Builder, name: &str) -> Result<CarrierId, Failure> {
        no_reserved("carrier", self.reserved.into())?;
        let heading = || {
            let [x, y, z] = self.heading.map(|h| h.get());
            if self.heading.iter().all(|h| h.fraction == 0.0) {
                // Against x.
                let one = rmech_ratio { fraction: -1.0 };
                return Ok(Direction3::new(one.get(), y, z)?);
            }
            Direction3::new(x, y, z)
                .named("x", "heading[0]")
                .named("y", "heading[1]")
                .named("z", "heading[2]")
                .named("direction", "heading")
        };
        let at = self.at.get();
        let added = match self.kind {
            RMECH_CARRIER_ANCHOR => rig.anchor(name, at),
            RMECH_CARRIER_LOAD => rig.load(name, at, heading()?),
            RMECH_CARRIER_FREE => rig.carrier(name, at, heading()?),
            other => return Err(Failure::unknown("kind", other, "one of RMECH_CARRIER_...")),
        };
        added.point("carrier_at", "at", &self.at)
    }
}

impl rmech_stop {
    fn get(&self, ids: &[Option<CarrierId>]) -> Result<RopeStop, Failure> {
        no_reserved("stop", self.reserved.into())?;
        let at = ids.get(self.carrier as usize).copied().flatten().ok_or_else(|| {
            let message =
                format_args!("the stop is at carrier {}, but there are {}", self.carrier, ids.len());
            Failure::of(RMECH_ERR_ENUMERATOR, "carrier", message)
        })?;
        let sheave = || Turn::sheave(self.efficiency.get()).named("sheave_efficiency", "efficiency");
        Ok(match self.kind {
            RMECH_TACKLE_STOP_END => RopeStop::End(at),
            RMECH_TACKLE_STOP_HAND => RopeStop::Hand(at),
            RMECH_TACKLE_STOP_TAIL => RopeStop::Tail(at),
            RMECH_TACKLE_STOP_GRAB => RopeStop::Grab(at),
            RMECH_TACKLE_STOP_SHEAVE => RopeStop::Sheave(at, sheave()?),
            RMECH_TACKLE_STOP_CAPTURE => RopeStop::Capture(at, sheave()?),
            RMECH_TACKLE_STOP_BAR => {
                RopeStop::Sheave(at, Turn::bar(self.friction_raising.get(), self.friction_lowering.get())?)
            }
            other => return Err(Failure::unknown("kind", other, "one of RMECH_TACKLE_STOP_...")),
        })
    }
}

/// How many parts of rope a tackle has at most.
pub const RMECH_TACKLE_MAX_PARTS: u32 = 47;
const _: () = assert!(RMECH_TACKLE_MAX_PARTS as usize == MAX_PARTS);
