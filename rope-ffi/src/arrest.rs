//! Forces and distances in stopping a load.
//!
//! No call allocates.
//!
//! ```text
//! Fall:   W*(h + sum of L*e + s) = sum of L*integral(T de) + Fs*s    linear: F = W + sqrt(W^2 + 2*W*EA*f), f = h/L
//! Stop:   m*v^2/2 = sum of L*integral((T - W) de)                    linear: F = W + v*sqrt(m*k)
//! Lost:   sum of U(y) - sum of U(0) = (P + sum of T(0))*y            a load put on at once: twice its weight
//! Assumed: vertical, weightless rope, nothing damped: an upper bound for the rope described. A rope is stiffer in a fall
//! than under a slow load (2.1 times expected, 3.3 at most, measured): give that stiffness. Range: rope from a millimetre, up to
//! 4 pieces end to end. CAUTION. A person may be hurt by a force that breaks no rope. Source: energy balance; Bansal, Strength of
//! Materials, ch. 4; EN 892 for the drop.
//! ```
//!
//! ```c
//! rmech_fall fall = RMECH_INIT(rmech_fall);
//! rmech_arrest arrest = RMECH_INIT(rmech_arrest);
//! fall.weight = rmech_n(980.0);
//! fall.height = rmech_m(0.5);
//! fall.length = rmech_m(12.0);
//! fall.stretch.a = rmech_kn(60.0); // in a fall
//! if (rmech_fall_arrest(&fall, &arrest, &error) == RMECH_OK)
//!     printf("%.2f kN after %.2f m\n", rmech_in_kn(arrest.peak_force), rmech_in_m(arrest.total_drop)); // 3.40 kN after 1.18 m
//! ```

use crate::call::{
    call, growing, growing_output, input, inputs, no_flags, output, versions, writable, writable_growing,
};
use crate::error::{
    Failure, Named, RMECH_ERR_GEOMETRY, RMECH_ERR_INTERNAL, RMECH_ERR_UNSOLVED, RMECH_ERR_VALUE, rmech_error,
};
use crate::quantity::{rmech_force, rmech_length, rmech_ratio, rmech_velocity};
use crate::rope::rmech_stretch;
use rope_mechanics::arrest::{
    self, Arrest, ArrestError, DeviceState, Fall, HandOver, Holding, MOST_PIECES, SlipDevice, SuddenStop,
};
use rope_mechanics::error::{Allowed, InputError};
use rope_mechanics::quantity::Length;
use rope_mechanics::rope::Stretch;

/// The device did nothing: there is none, or the force stayed below its slip force.
pub const RMECH_DEVICE_IDLE: i32 = 0;
/// The device slipped, and stopped the load within its travel.
pub const RMECH_DEVICE_SLIPPED: i32 = 1;
/// The device used up its travel, and the rope took the rest.
pub const RMECH_DEVICE_BOTTOMED: i32 = 2;

/// How much stiffer a rope is in its first fall than under a slow load, on the average of 101 measured falls; nine in ten
/// lie between `RMECH_STIFFER_IN_A_FALL_LOW` and `RMECH_STIFFER_IN_A_FALL_HIGH`.
pub const RMECH_STIFFER_IN_A_FALL: f64 = 2.08;
/// The low end of `RMECH_STIFFER_IN_A_FALL`: for how far a load runs.
pub const RMECH_STIFFER_IN_A_FALL_LOW: f64 = 1.4;
/// The high end of `RMECH_STIFFER_IN_A_FALL`.
pub const RMECH_STIFFER_IN_A_FALL_HIGH: f64 = 2.9;
/// How much stiffer a rope may be in a fall for a peak that is called a bound: none of 51 measured falls passes it.
pub const RMECH_STIFFER_AT_MOST: f64 = 3.3;
const _: () = assert!(RMECH_STIFFER_IN_A_FALL == arrest::STIFFER_IN_A_FALL.expected);
const _: () = assert!(RMECH_STIFFER_IN_A_FALL_LOW == arrest::STIFFER_IN_A_FALL.low);
const _: () = assert!(RMECH_STIFFER_IN_A_FALL_HIGH == arrest::STIFFER_IN_A_FALL.high);
const _: () = assert!(RMECH_STIFFER_AT_MOST == arrest::STIFFER_AT_MOST);
/// The usual damping of a load on a rope, for `rmech_step_factor`: 0.05 to 0.15. From memory.
pub const RMECH_DAMPING: f64 = 0.08;
const _: () = assert!(RMECH_DAMPING == arrest::DAMPING);

/// A piece of rope.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_rope_piece {
    /// Its stretch in a fall.
    pub stretch: rmech_stretch,
    /// Its unstretched length, at least a millimetre.
    pub length: rmech_length,
}

/// A load that falls freely and is then stopped by a rope, or by several end to end.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_fall {
    /// sizeof(rmech_fall).
    pub struct_size: u32,
    /// Zero.
    pub flags: u32,
    /// The weight of the load.
    pub weight: rmech_force,
    /// How far it falls freely, slack and reaction not counted.
    pub height: rmech_length,
    /// Slack in the rope: falls further on the same rope.
    pub slack: rmech_length,
    /// What runs freely through a belay device before it grabs: falls further, on as much more rope.
    pub reaction: rmech_length,
    /// The unstretched rope from load to anchor, at least a millimetre; the first of several.
    pub length: rmech_length,
    /// The stretch of the rope in a fall: about twice as stiff as under a slow load (from memory).
    pub stretch: rmech_stretch,
    /// The force at which a device in series slips; zero for none.
    pub slip_force: rmech_force,
    /// The travel of that device; zero for as much as it takes.
    pub slip_travel: rmech_length,
    /// More pieces of rope end to end with the first, in any order: a lanyard, a sling. May be NULL for none.
    pub in_series: *const rmech_rope_piece,
    /// How many: up to 3.
    pub in_series_count: usize,
}

versions!(rmech_fall: 80 + 2 * WORD);

/// How a load was stopped.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_arrest {
    /// sizeof(rmech_arrest).
    pub struct_size: u32,
    /// What the device did, one of RMECH_DEVICE_….
    pub device: i32,
    /// The greatest tension of the rope, and force on load and anchor. Undamped.
    pub peak_force: rmech_force,
    /// The stretch of the rope at that moment, from its unstretched length; of all pieces together.
    pub elongation: rmech_length,
    /// What ran through the device.
    pub slip: rmech_length,
    /// From where the rope begins to brake to the lowest point.
    pub stopping_distance: rmech_length,
    /// From where the load is released to the lowest point: the clearance needed.
    pub total_drop: rmech_length,
    /// The speed at which the rope begins to brake.
    pub speed: rmech_velocity,
    /// What is left over of the energy turned over, as a share.
    pub residual: f64,
}

versions!(rmech_arrest: 64);

impl From<Arrest> for rmech_arrest {
    fn from(arrest: Arrest) -> Self {
        Self {
            struct_size: size_of::<Self>() as u32,
            device: match arrest.device {
                DeviceState::Idle => RMECH_DEVICE_IDLE,
                DeviceState::Slipped => RMECH_DEVICE_SLIPPED,
                DeviceState::Bottomed => RMECH_DEVICE_BOTTOMED,
            },
            peak_force: arrest.peak_force.into(),
            elongation: arrest.elongation.into(),
            slip: arrest.slip.into(),
            stopping_distance: arrest.stopping_distance.into(),
            total_drop: arrest.total_drop.into(),
            speed: arrest.speed.into(),
            residual: arrest.report.residual,
        }
    }
}

impl From<ArrestError> for Failure {
    fn from(why: ArrestError) -> Self {
        match why {
            ArrestError::Input(why) => why.into(),
            ArrestError::Bridle(why) => why.into(),
            ArrestError::NeverStops { .. } => Self::of(RMECH_ERR_GEOMETRY, "slip_force", why),
            ArrestError::Unsolved { .. } => Self::new(RMECH_ERR_UNSOLVED, why),
            _ => Self::new(RMECH_ERR_INTERNAL, why),
        }
    }
}

/// # Safety
/// The list of pieces must be as long as it says.
unsafe fn fall(given: &rmech_fall) -> Result<Fall, Failure> {
    no_flags(given.flags)?;
    let stretch = given.stretch.get().inside("stretch")?;
    let mut fall = Fall::new(given.weight.get(), given.height.get(), given.length.get(), stretch)
        .named("fall_height", "height")
        .named("rope_length", "length")?
        .with_slack(given.slack.get())?
        .with_reaction(given.reaction.get())
        .named("reaction_length", "reaction")?;
    // SAFETY: as above.
    fall = unsafe { in_series(fall, Fall::with_in_series, given.in_series, given.in_series_count)? };
    if given.slip_force.newtons != 0.0 {
        let mut device = SlipDevice::new(given.slip_force.get())?;
        if given.slip_travel.metres != 0.0 {
            device = device.with_travel(given.slip_travel.get())?;
        }
        fall = fall.with_slip(device);
    }
    Ok(fall)
}

/// Adds pieces of rope to whatever takes them.
///
/// # Safety
/// The list of pieces must be as long as it says.
unsafe fn in_series<T>(
    mut rope: T,
    with: impl Fn(T, Stretch, Length) -> Result<T, InputError>,
    pieces: *const rmech_rope_piece,
    count: usize,
) -> Result<T, Failure> {
    // SAFETY: as above.
    let pieces = unsafe { inputs("in_series", pieces, count)? };
    // The core counts the first piece, too.
    let most = MOST_PIECES - 1;
    if count > most {
        let most = Allowed::AtMost(most as f64);
        return Err(InputError::new("in_series_count", count as f64, "", most).into());
    }
    for (index, piece) in pieces.iter().enumerate() {
        let stretch = piece.stretch.get().inside("stretch").item("in_series", index)?;
        let longer = with(rope, stretch, piece.length.get()).named("rope_length", "length");
        rope = longer.item("in_series", index)?;
    }
    Ok(rope)
}

/// How a rope stops a falling load: the peak force, and the way it takes.
///
/// Without a fall it is the load put on suddenly: exactly twice the weight on a linear rope.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_fall_arrest(
    fall: *const rmech_fall,
    arrest: *mut rmech_arrest,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let given = unsafe { growing("fall", fall)? };
        // SAFETY: as above.
        unsafe { writable_growing("arrest", arrest)? };
        // SAFETY: as above.
        let value = unsafe { self::fall(&given)? }.arrest()?.into();
        // SAFETY: as above.
        unsafe { growing_output("arrest", arrest, value) }
    })
}

/// The fall factor: the whole free fall, slack and reaction included, by the rope in service.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_fall_factor(
    fall: *const rmech_fall,
    factor: *mut rmech_ratio,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let given = unsafe { growing("fall", fall)? };
        writable("factor", factor)?;
        // SAFETY: as above.
        let value = unsafe { self::fall(&given)? }.factor().into();
        // SAFETY: as above.
        unsafe { output("factor", factor, value) }
    })
}

/// A load that hangs on a rope, or on several end to end, and is being lowered at a steady speed.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_lowered_load {
    /// sizeof(rmech_lowered_load).
    pub struct_size: u32,
    /// Zero.
    pub flags: u32,
    /// The weight of the load, all of it on the rope.
    pub weight: rmech_force,
    /// The speed at which it is lowered.
    pub speed: rmech_velocity,
    /// The unstretched rope that is out, at least a millimetre; the first of several.
    pub length: rmech_length,
    /// The stretch of the rope in a fall: about twice as stiff as under a slow load (from memory).
    pub stretch: rmech_stretch,
    /// More pieces of rope end to end with the first, in any order: a lanyard, a sling. May be NULL for none.
    pub in_series: *const rmech_rope_piece,
    /// How many: up to 3.
    pub in_series_count: usize,
}

versions!(rmech_lowered_load: 48 + 2 * WORD);

/// How a rope that is locked at once stops a load that was being lowered on it.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_sudden_stop(
    load: *const rmech_lowered_load,
    arrest: *mut rmech_arrest,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let given = unsafe { growing("load", load)? };
        // SAFETY: as above.
        unsafe { writable_growing("arrest", arrest)? };
        no_flags(given.flags)?;
        let (weight, speed) = (given.weight.get(), given.speed.get());
        let stretch = given.stretch.get().inside("stretch")?;
        let stop =
            SuddenStop::new(weight, speed, given.length.get(), stretch).named("rope_length", "length")?;
        // SAFETY: as above.
        let stop =
            unsafe { in_series(stop, SuddenStop::with_in_series, given.in_series, given.in_series_count)? };
        let value = stop.arrest()?.into();
        // SAFETY: as above.
        unsafe { growing_output("arrest", arrest, value) }
    })
}

/// Peak by steady tension when a load comes all at once on a rope that damps: 2 without damping, towards 1.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_step_factor(
    damping: *const rmech_ratio,
    factor: *mut rmech_ratio,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let damping = unsafe { input("damping", damping)? };
        writable("factor", factor)?;
        let value = arrest::step_factor(damping.get())?.into();
        // SAFETY: as above.
        unsafe { output("factor", factor, value) }
    })
}

/// The axial stiffness that makes a rope give the peak force printed for it in a standard drop test.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_stiffness_from_drop_test(
    peak: *const rmech_force,
    weight: *const rmech_force,
    fall_factor: *const rmech_ratio,
    stiffness: *mut rmech_force,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (peak, weight, factor) =
            unsafe { (input("peak", peak)?, input("weight", weight)?, input("fall_factor", fall_factor)?) };
        writable("stiffness", stiffness)?;
        let found = arrest::stiffness_from_drop_test(peak.get(), weight.get(), factor.get());
        let value = found.named("peak_force", "peak")?.into();
        // SAFETY: as above.
        unsafe { output("stiffness", stiffness, value) }
    })
}

/// A rope, or several end to end, that still holds when another fails.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_holding {
    /// Its stretch in a fall.
    pub stretch: rmech_stretch,
    /// Its unstretched length; of the first of several.
    pub length: rmech_length,
    /// Slack in the whole; zero if it pulls.
    pub slack: rmech_length,
    /// The tension it already has; zero if it is slack.
    pub tension: rmech_force,
    /// More pieces of rope end to end with the first, in any order: a lanyard, a sling. May be NULL for none.
    pub in_series: *const rmech_rope_piece,
    /// How many: up to 3.
    pub in_series_count: usize,
}

/// The tension of a rope after another has failed.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_share {
    /// Its tension at rest.
    pub rest: rmech_force,
    /// Its tension at the lowest point, undamped.
    pub peak: rmech_force,
}

/// How far a load drops on the remaining ropes after one has failed.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_hand_over {
    /// sizeof(rmech_hand_over).
    pub struct_size: u32,
    /// Zero.
    pub flags: u32,
    /// Until it is at rest.
    pub rest_travel: rmech_length,
    /// Until the lowest point.
    pub peak_travel: rmech_length,
    /// What is left over of energy and force, as a share.
    pub residual: f64,
}

versions!(rmech_hand_over: 32);

/// A rope that carried `lost` fails; `count` others, one to four, side by side with it, take over.
///
/// `shares` takes `count` elements, in the order of `holding`.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_lost_rope(
    lost: *const rmech_force,
    holding: *const rmech_holding,
    count: usize,
    hand_over: *mut rmech_hand_over,
    shares: *mut rmech_share,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (lost, holding) = unsafe { (input("lost", lost)?.get(), inputs("holding", holding, count)?) };
        // SAFETY: as above.
        unsafe { writable_growing("hand_over", hand_over)? };
        writable("shares", shares)?;
        let rope = |at: usize| -> Result<Holding, Failure> {
            let Some(given) = holding.get(at) else {
                return Err(Failure::new(RMECH_ERR_INTERNAL, "a rope beyond the count"));
            };
            // SAFETY: as above.
            unsafe { holds(given) }.item("holding", at)
        };
        match count {
            1 => hand_over_to(arrest::hand_over(lost, &[rope(0)?])?, hand_over, shares),
            2 => hand_over_to(arrest::hand_over(lost, &[rope(0)?, rope(1)?])?, hand_over, shares),
            3 => hand_over_to(arrest::hand_over(lost, &[rope(0)?, rope(1)?, rope(2)?])?, hand_over, shares),
            4 => {
                let ropes = [rope(0)?, rope(1)?, rope(2)?, rope(3)?];
                hand_over_to(arrest::hand_over(lost, &ropes)?, hand_over, shares)
            }
            _ => Err(Failure::of(
                RMECH_ERR_VALUE,
                "count",
                format_args!("count is {count}, but must be from 1 to 4"),
            )),
        }
    })
}

/// # Safety
/// The list of pieces must be as long as it says.
unsafe fn holds(given: &rmech_holding) -> Result<Holding, Failure> {
    let (stretch, length) = (given.stretch.get().inside("stretch")?, given.length.get());
    let first = if given.tension.newtons == 0.0 {
        Holding::slack(stretch, length, given.slack.get())
    } else if given.slack.metres == 0.0 || given.tension.newtons.is_nan() {
        Holding::taut(stretch, length, given.tension.get())
    } else {
        return Err(Failure::of(RMECH_ERR_VALUE, "slack", "a rope has slack or tension, not both"));
    };
    let first = first.named("rope_length", "length")?;
    // SAFETY: as above.
    unsafe { in_series(first, Holding::with_in_series, given.in_series, given.in_series_count) }
}

fn hand_over_to<const N: usize>(
    value: HandOver<N>,
    hand_over: *mut rmech_hand_over,
    shares: *mut rmech_share,
) -> Result<(), Failure> {
    let travel = rmech_hand_over {
        struct_size: size_of::<rmech_hand_over>() as u32,
        flags: 0,
        rest_travel: value.rest_travel.into(),
        peak_travel: value.peak_travel.into(),
        residual: value.report.residual,
    };
    // SAFETY: the caller says that a rmech_hand_over and N shares may be written there; both are checked.
    unsafe {
        growing_output("hand_over", hand_over, travel)?;
        for (i, (rest, peak)) in value.rest.into_iter().zip(value.peak).enumerate() {
            output("shares", shares.add(i), rmech_share { rest: rest.into(), peak: peak.into() })?;
        }
    }
    Ok(())
}
