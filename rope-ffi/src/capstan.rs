//! Rope wrapped on a capstan, and what a hand holds.
//!
//! ```text
//! T_tail = T*exp(-mu*q)    groove of opening g: mu' = mu/sin(g/2)    q = ln(T/T_hand)/mu
//! Assumed: a rigid drum much thicker than the rope, wraps side by side. mu is a band: tail low with the highest mu.
//! Range: mu from 0 to 2, q from 0 to 100 turns, g from 10 to 180 degrees. CAUTION. A wet, iced or worn drum holds less; a hand
//! is no brake. Source: the belt equation of any statics textbook; hands by Mauthner, in Moyer 2006.
//! ```
//!
//! ```c
//! rmech_capstan capstan = RMECH_INIT(rmech_capstan);
//! capstan.friction_low = rmech_fraction(0.12);
//! capstan.friction_high = rmech_fraction(0.28);
//! rmech_force load = rmech_kn(2.1);
//! rmech_angle wrap = rmech_deg(3.5 * 360.0);
//! rmech_force_band tail;
//! if (rmech_capstan_tail(&capstan, &load, &wrap, &tail, &error) == RMECH_OK)
//!     printf("the tail takes %.0f to %.0f N\n", rmech_in_n(tail.low), rmech_in_n(tail.high)); // the tail takes 4 to 150 N
//! ```

use crate::call::{call, growing, input, output, versions, writable};
use crate::error::{Failure, rmech_error};
use crate::quantity::{rmech_angle, rmech_force, rmech_force_band, rmech_ratio};
use crate::sheave::{RMECH_TURN_BAR, rmech_turn};
use rope_mechanics::capstan::{Capstan, Grip, Hand, RaiseLowerTest};

/// A drum, bollard or bar with rope wrapped round it.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_capstan {
    /// sizeof(rmech_capstan); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// Zero.
    pub flags: u32,
    /// The lowest coefficient of friction that the rope may have on it: above 0.
    pub friction_low: rmech_ratio,
    /// The highest: at most 2.
    pub friction_high: rmech_ratio,
    /// Angle between the flanks of its groove, from 10 to 180 degrees; zero if it is flat.
    pub groove: rmech_angle,
}

versions!(rmech_capstan: 32);

impl rmech_capstan {
    fn get(self) -> Result<Capstan, Failure> {
        crate::call::no_flags(self.flags)?;
        let capstan = Capstan::new(self.friction_low.get(), self.friction_high.get())?;
        Ok(if self.groove.radians == 0.0 { capstan } else { capstan.with_groove(self.groove.get())? })
    }
}

/// The lowest friction of a smooth metal drum. From memory.
pub const RMECH_DRUM_FRICTION_LOW: f64 = 0.10;
/// The highest friction of a smooth metal drum. From memory.
pub const RMECH_DRUM_FRICTION_HIGH: f64 = 0.30;

/// The tail force holds even with the lowest friction.
pub const RMECH_GRIP_HOLDS: i32 = 1;
/// It depends on the friction: count on neither.
pub const RMECH_GRIP_UNCERTAIN: i32 = 2;
/// The rope slips even with the highest friction.
pub const RMECH_GRIP_SLIPS: i32 = 3;

/// Everybody tested held it: up to 46 N.
pub const RMECH_HAND_EVERYBODY: i32 = 1;
/// An average hand held it, weaker ones did not: up to 209 N.
pub const RMECH_HAND_AVERAGE: i32 = 2;
/// Only hands stronger than the average held it: up to 425 N.
pub const RMECH_HAND_STRONGEST: i32 = 3;
/// Nobody held it: above 425 N.
pub const RMECH_HAND_NOBODY: i32 = 4;

/// The tail force that holds `load` for the `wrap` taken: from `tail->low`, if friction is at its highest, to
/// `tail->high`, which holds in any case.
///
/// Formula and source: at the top of this topic in rope_mechanics.h.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_capstan_tail(
    capstan: *const rmech_capstan,
    load: *const rmech_force,
    wrap: *const rmech_angle,
    tail: *mut rmech_force_band,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (capstan, load, wrap) =
            unsafe { (growing("capstan", capstan)?, input("load", load)?, input("wrap", wrap)?) };
        writable("tail", tail)?;
        let value = capstan.get()?.tail(load.get(), wrap.get())?.into();
        // SAFETY: as above.
        unsafe { output("tail", tail, value) }
    })
}

/// The load that a `tail` force holds: `load->low` is held in any case; above `load->high` the rope runs in any
/// case.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_capstan_load(
    capstan: *const rmech_capstan,
    tail: *const rmech_force,
    wrap: *const rmech_angle,
    load: *mut rmech_force_band,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (capstan, tail, wrap) =
            unsafe { (growing("capstan", capstan)?, input("tail", tail)?, input("wrap", wrap)?) };
        writable("load", load)?;
        let value = capstan.get()?.load(tail.get(), wrap.get())?.into();
        // SAFETY: as above.
        unsafe { output("load", load, value) }
    })
}

/// Whether a `tail` force holds `load`: one of `RMECH_GRIP_...`.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_capstan_grip(
    capstan: *const rmech_capstan,
    load: *const rmech_force,
    tail: *const rmech_force,
    wrap: *const rmech_angle,
    grip: *mut i32,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (capstan, load) = unsafe { (growing("capstan", capstan)?, input("load", load)?) };
        // SAFETY: as above.
        let (tail, wrap) = unsafe { (input("tail", tail)?, input("wrap", wrap)?) };
        writable("grip", grip)?;
        let value = match capstan.get()?.grip(load.get(), tail.get(), wrap.get())? {
            Grip::Holds => RMECH_GRIP_HOLDS,
            Grip::Uncertain => RMECH_GRIP_UNCERTAIN,
            Grip::Slips => RMECH_GRIP_SLIPS,
        };
        // SAFETY: as above.
        unsafe { output("grip", grip, value) }
    })
}

/// The wrap that lets a `hand` force hold `load` with the lowest friction, and its whole turns, rounded up.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_capstan_turns(
    capstan: *const rmech_capstan,
    load: *const rmech_force,
    hand: *const rmech_force,
    wrap: *mut rmech_angle,
    whole_turns: *mut u32,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (capstan, load, hand) =
            unsafe { (growing("capstan", capstan)?, input("load", load)?, input("hand", hand)?) };
        writable("wrap", wrap)?;
        writable("whole_turns", whole_turns)?;
        let turns = capstan.get()?.turns_to_hold(load.get(), hand.get())?;
        // SAFETY: as above.
        unsafe {
            output("wrap", wrap, turns.wrap.into())?;
            output("whole_turns", whole_turns, turns.whole)
        }
    })
}

/// Which hands hold a `tail` force on a moving rope: one of `RMECH_HAND_...`.
///
/// Bands from a test of people; source: at the top of this topic in rope_mechanics.h. A hand is
/// no brake to rely on.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_hand_hold(
    tail: *const rmech_force,
    hand: *mut i32,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let tail = unsafe { input("tail", tail)? };
        writable("hand", hand)?;
        let value = match Hand::that_holds(tail.get())? {
            Hand::Everybody => RMECH_HAND_EVERYBODY,
            Hand::Average => RMECH_HAND_AVERAGE,
            Hand::Strongest => RMECH_HAND_STRONGEST,
            Hand::Nobody => RMECH_HAND_NOBODY,
        };
        // SAFETY: as above.
        unsafe { output("hand", hand, value) }
    })
}

/// The coefficient of friction from a test in which a weight was just raised and just lowered over a bar.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_friction_from_test(
    raising: *const rmech_force,
    lowering: *const rmech_force,
    wrap: *const rmech_angle,
    friction: *mut rmech_ratio,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (raising, lowering, wrap) =
            unsafe { (input("raising", raising)?, input("lowering", lowering)?, input("wrap", wrap)?) };
        writable("friction", friction)?;
        let value = RaiseLowerTest::new(raising.get(), lowering.get(), wrap.get())?.friction().into();
        // SAFETY: as above.
        unsafe { output("friction", friction, value) }
    })
}

/// A turn with a coefficient of friction for each direction, from such a test and the `weight` that hung on the rope.
///
/// `turn` takes a `RMECH_TURN_BAR`.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_turn_from_test(
    raising: *const rmech_force,
    lowering: *const rmech_force,
    wrap: *const rmech_angle,
    weight: *const rmech_force,
    turn: *mut rmech_turn,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (raising, lowering, wrap) =
            unsafe { (input("raising", raising)?, input("lowering", lowering)?, input("wrap", wrap)?) };
        // SAFETY: as above.
        let weight = unsafe { input("weight", weight)? };
        writable("turn", turn)?;
        let test = RaiseLowerTest::new(raising.get(), lowering.get(), wrap.get())?;
        // A turn of more friction than any bar has is refused, as in Rust.
        test.turn(weight.get())?;
        let (raising, lowering) = test.frictions(weight.get())?;
        let value = rmech_turn {
            kind: RMECH_TURN_BAR,
            friction_raising: raising.into(),
            friction_lowering: lowering.into(),
            ..rmech_turn::default()
        };
        // SAFETY: as above.
        unsafe { output("turn", turn, value) }
    })
}
