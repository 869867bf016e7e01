//! A load that hangs from two or three ropes, each from a point of its own.
//!
//! No call allocates.
//!
//! ```text
//! sum of T[i]*u[i] = W upward    |r - p[i]| = L[i]*(1 + e[i])    at the least of  sum of L*integral(T de) + W*z
//! r the load, p[i] where rope i comes from, u[i] from the load to there; a rope that would have to push is slack.
//! Assumed: straight, weightless, elastic ropes; the load a point; nothing swings. Range: 2 or 3 ropes of a millimetre at least.
//! A lost track rope: v^2 <= 2*g*(c + U0/W), and peaks by the energy stored and set free, an upper bound.
//! Source: statics of a point; energy. Checked against printed sling factors.
//! ```
//!
//! ```c
//! rmech_bridle_rope ropes[2]; // from two points 6 m apart
//! memset(ropes, 0, sizeof ropes);
//! ropes[0].from.x = rmech_m(-3.0);
//! ropes[1].from.x = rmech_m(3.0);
//! ropes[0].stretch.a = ropes[1].stretch.a = rmech_kn(33.0);
//! rmech_length lengths[2] = {rmech_m(4.0), rmech_m(5.0)};
//! rmech_force weight = rmech_kn(2.1);
//! rmech_hang hang = RMECH_INIT(rmech_hang);
//! rmech_hang_rope each[2];
//! if (rmech_bridle_at_lengths(&weight, ropes, lengths, 2, &hang, each, &error) == RMECH_OK)
//!     printf("%.2f and %.2f kN\n", rmech_in_kn(each[0].tension), rmech_in_kn(each[1].tension)); // 1.56 and 1.14 kN
//! ```

use crate::call::{call, growing_output, input, inputs, output, versions, writable, writable_growing};
use crate::error::{
    Failure, Named, RMECH_ERR_GEOMETRY, RMECH_ERR_INTERNAL, RMECH_ERR_UNSOLVED, RMECH_ERR_VALUE, RMECH_OK,
    rmech_error,
};
use crate::quantity::{rmech_force, rmech_force3, rmech_length, rmech_point, rmech_velocity};
use crate::rope::rmech_stretch;
use rope_mechanics::arrest::{TrackLost, track_lost};
use rope_mechanics::bridle::{Bridle, BridleError, BridleRope, Hang, HangPath};
use rope_mechanics::quantity::Length;

/// A rope of a bridle.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_bridle_rope {
    /// Where it leaves its last sheave or anchor.
    pub from: rmech_point,
    /// How it stretches from there to the load.
    pub stretch: rmech_stretch,
}

/// A load at rest on its ropes.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_hang {
    /// sizeof(rmech_hang).
    pub struct_size: u32,
    /// Zero.
    pub flags: u32,
    /// Where the load is.
    pub position: rmech_point,
    /// The largest gap left between the end of a stretched rope and the load.
    pub closing_error: rmech_length,
    /// The sum of all forces on the load that is left over.
    pub imbalance: rmech_force,
}

versions!(rmech_hang: 48);

/// One rope of a load at rest.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_hang_rope {
    /// How hard it pulls; zero if it is slack.
    pub tension: rmech_force,
    /// Its unstretched length.
    pub length: rmech_length,
    /// What it does to the point that it comes from: y is the side force on a frame's head.
    pub on_point: rmech_force3,
    /// 1 if it is slack, else 0.
    pub slack: i32,
    /// Zero.
    pub reserved: i32,
}

/// A load at rest at one step of its way.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_hang_step {
    /// RMECH_OK, or why the load can't hang there; the rest of the step and its ropes are zero then.
    pub status: i32,
    /// Zero.
    pub reserved: i32,
    /// Where the load is.
    pub position: rmech_point,
    /// The largest gap left between the end of a stretched rope and the load.
    pub closing_error: rmech_length,
    /// The sum of all forces on the load that is left over.
    pub imbalance: rmech_force,
}

impl From<BridleError> for Failure {
    fn from(why: BridleError) -> Self {
        match why {
            BridleError::Input(why) => why.into(),
            BridleError::NoRope { .. } => Self::of(RMECH_ERR_VALUE, "rope", why),
            BridleError::Pushes { .. }
            | BridleError::OutOfPlane { .. }
            | BridleError::Indeterminate
            | BridleError::AtPoint { .. } => Self::of(RMECH_ERR_GEOMETRY, "position", why),
            BridleError::Unsolved { .. } => Self::new(RMECH_ERR_UNSOLVED, why),
            _ => Self::new(RMECH_ERR_INTERNAL, why),
        }
    }
}

/// Two ropes or three.
fn bad_count(count: usize) -> Failure {
    Failure::of(RMECH_ERR_VALUE, "count", format_args!("count is {count}, but must be 2 or 3"))
}

fn bridle<const N: usize>(weight: rmech_force, given: &[rmech_bridle_rope]) -> Result<Bridle<N>, Failure> {
    let rope = |given: &rmech_bridle_rope| -> Result<BridleRope, Failure> {
        let stretch = given.stretch.get().inside("stretch")?;
        BridleRope::new(given.from.get(), stretch).point("from", "from", &given.from)
    };
    let first = given.first().ok_or_else(|| bad_count(0))?;
    let mut ropes = [rope(first).item("ropes", 0)?; N];
    for (index, (rope_at, given)) in ropes.iter_mut().zip(given).enumerate().skip(1) {
        *rope_at = rope(given).item("ropes", index)?;
    }
    Ok(Bridle::new(weight.get(), ropes)?)
}

/// Of a list of lengths: which of them is at fault.
fn in_list<T>(
    found: Result<T, impl Into<Failure>>,
    list: &str,
    given: &[rmech_length],
) -> Result<T, Failure> {
    found.listed("rope_length", list, "", given.iter().map(|length| length.metres))
}

fn lengths<const N: usize>(lengths: &[rmech_length]) -> Result<[Length; N], Failure> {
    let Ok(given) = <[rmech_length; N]>::try_from(lengths) else { return Err(bad_count(lengths.len())) };
    Ok(given.map(rmech_length::get))
}

fn hang_to<const N: usize>(
    value: Hang<N>,
    hang: *mut rmech_hang,
    each: *mut rmech_hang_rope,
) -> Result<(), Failure> {
    let whole = rmech_hang {
        struct_size: size_of::<rmech_hang>() as u32,
        flags: 0,
        position: value.position.into(),
        closing_error: value.closing_error.into(),
        imbalance: value.imbalance.into(),
    };
    // SAFETY: the caller says that a rmech_hang and N ropes may be written there; both are checked.
    unsafe {
        growing_output("hang", hang, whole)?;
        ropes_to(&value, each)
    }
}

/// # Safety
/// N ropes must fit at `each`.
unsafe fn ropes_to<const N: usize>(value: &Hang<N>, each: *mut rmech_hang_rope) -> Result<(), Failure> {
    let ropes = value.tensions.into_iter().zip(value.lengths).zip(value.on_points).zip(value.slack);
    for (i, (((tension, length), on_point), slack)) in ropes.enumerate() {
        let rope = rmech_hang_rope {
            tension: tension.into(),
            length: length.into(),
            on_point: on_point.into(),
            slack: i32::from(slack),
            reserved: 0,
        };
        // SAFETY: as above.
        unsafe { output("each", each.add(i), rope)? };
    }
    Ok(())
}

/// # Safety
/// As many steps as the path has must fit at `steps`, and N times as many ropes at `each`.
unsafe fn path_to<const N: usize>(
    path: HangPath<N>,
    steps: *mut rmech_hang_step,
    each: *mut rmech_hang_rope,
) -> Result<(), Failure> {
    for (i, hang) in path.enumerate() {
        let (step, value) = match hang {
            Ok(value) => {
                let step = rmech_hang_step {
                    status: RMECH_OK,
                    reserved: 0,
                    position: value.position.into(),
                    closing_error: value.closing_error.into(),
                    imbalance: value.imbalance.into(),
                };
                (step, Some(value))
            }
            Err(why) => (rmech_hang_step { status: Failure::from(why).status, ..Default::default() }, None),
        };
        // SAFETY: as above.
        unsafe {
            output("steps", steps.add(i), step)?;
            match value {
                Some(value) => ropes_to(&value, each.add(i * N))?,
                None => {
                    for rope in i * N..(i + 1) * N {
                        output("each", each.add(rope), rmech_hang_rope::default())?;
                    }
                }
            }
        }
    }
    Ok(())
}

/// Where a load hangs on ropes of given unstretched lengths, and how hard each pulls.
///
/// `ropes` and `lengths` hold `count` elements, two or three; `each` takes as many, in the same order. A rope too
/// long to be reached is slack.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_bridle_at_lengths(
    weight: *const rmech_force,
    ropes: *const rmech_bridle_rope,
    lengths: *const rmech_length,
    count: usize,
    hang: *mut rmech_hang,
    each: *mut rmech_hang_rope,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (weight, ropes, given) = unsafe {
            (input("weight", weight)?, inputs("ropes", ropes, count)?, inputs("lengths", lengths, count)?)
        };
        // SAFETY: as above.
        unsafe { writable_growing("hang", hang)? };
        writable("each", each)?;
        match count {
            2 => {
                let found = bridle::<2>(weight, ropes)?.at_lengths(self::lengths(given)?);
                hang_to(in_list(found, "lengths", given)?, hang, each)
            }
            3 => {
                let found = bridle::<3>(weight, ropes)?.at_lengths(self::lengths(given)?);
                hang_to(in_list(found, "lengths", given)?, hang, each)
            }
            _ => Err(bad_count(count)),
        }
    })
}

/// The tensions and unstretched lengths that hold a load at a position.
///
/// A position that no pull can hold is RMECH_ERR_GEOMETRY; the message names the rope that would have to push, or
/// says how far the position lies beside the vertical plane of two ropes.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_bridle_at_position(
    weight: *const rmech_force,
    ropes: *const rmech_bridle_rope,
    count: usize,
    position: *const rmech_point,
    hang: *mut rmech_hang,
    each: *mut rmech_hang_rope,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (weight, ropes, position) = unsafe {
            (input("weight", weight)?, inputs("ropes", ropes, count)?, input("position", position)?)
        };
        // SAFETY: as above.
        unsafe { writable_growing("hang", hang)? };
        writable("each", each)?;
        match count {
            2 => {
                let found = bridle::<2>(weight, ropes)?.at_position(position.get());
                hang_to(found.point("position", "position", &position)?, hang, each)
            }
            3 => {
                let found = bridle::<3>(weight, ropes)?.at_position(position.get());
                hang_to(found.point("position", "position", &position)?, hang, each)
            }
            _ => Err(bad_count(count)),
        }
    })
}

/// The length from which on a rope (counted from 0) is slack, the others being of the lengths given.
///
/// That rope's own entry in `lengths` isn't used.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_bridle_slack_length(
    weight: *const rmech_force,
    ropes: *const rmech_bridle_rope,
    lengths: *const rmech_length,
    count: usize,
    rope: usize,
    length: *mut rmech_length,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (weight, ropes, given) = unsafe {
            (input("weight", weight)?, inputs("ropes", ropes, count)?, inputs("lengths", lengths, count)?)
        };
        writable("length", length)?;
        let value = match count {
            2 => bridle::<2>(weight, ropes)?.slack_length(rope, self::lengths(given)?),
            3 => bridle::<3>(weight, ropes)?.slack_length(rope, self::lengths(given)?),
            _ => return Err(bad_count(count)),
        };
        let value = in_list(value, "lengths", given)?;
        // SAFETY: as above.
        unsafe { output("length", length, value.into()) }
    })
}

/// The way of a load while all ropes move evenly from one set of unstretched lengths to another.
///
/// `ropes`, `from` and `to` hold `count` elements, two or three. `step_count` moves give one step more, the first and the
/// last included: `steps` takes step_count + 1 elements and `each` count times as many, step after step, with the slack
/// and the side force of each rope.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_bridle_swing(
    weight: *const rmech_force,
    ropes: *const rmech_bridle_rope,
    from: *const rmech_length,
    to: *const rmech_length,
    count: usize,
    step_count: u32,
    steps: *mut rmech_hang_step,
    each: *mut rmech_hang_rope,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (weight, ropes) = unsafe { (input("weight", weight)?, inputs("ropes", ropes, count)?) };
        // SAFETY: as above.
        let (from, to) = unsafe { (inputs("from", from, count)?, inputs("to", to, count)?) };
        writable("steps", steps)?;
        writable("each", each)?;
        // SAFETY: as above.
        unsafe {
            match count {
                2 => {
                    let way = bridle::<2>(weight, ropes)?
                        .swing(lengths(from)?, lengths(to)?, step_count)
                        .named("steps", "step_count");
                    path_to(in_list(in_list(way, "from", from), "to", to)?, steps, each)
                }
                3 => {
                    let way = bridle::<3>(weight, ropes)?
                        .swing(lengths(from)?, lengths(to)?, step_count)
                        .named("steps", "step_count");
                    path_to(in_list(in_list(way, "from", from), "to", to)?, steps, each)
                }
                _ => Err(bad_count(count)),
            }
        }
    })
}

/// The way of a load straight from one position to another: what lengths it takes, and what forces.
///
/// `ropes` holds `count` elements, two or three. `step_count` moves give one step more, the first and the last included:
/// `steps` takes step_count + 1 elements and `each` count times as many, step after step. A position on the way that
/// can't be held is a status of its own step.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_bridle_carry(
    weight: *const rmech_force,
    ropes: *const rmech_bridle_rope,
    count: usize,
    from: *const rmech_point,
    to: *const rmech_point,
    step_count: u32,
    steps: *mut rmech_hang_step,
    each: *mut rmech_hang_rope,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (weight, ropes) = unsafe { (input("weight", weight)?, inputs("ropes", ropes, count)?) };
        // SAFETY: as above.
        let (from, to) = unsafe { (input("from", from)?, input("to", to)?) };
        writable("steps", steps)?;
        writable("each", each)?;
        // SAFETY: as above.
        unsafe {
            match count {
                2 => {
                    let way = bridle::<2>(weight, ropes)?
                        .carry(from.get(), to.get(), step_count)
                        .named("steps", "step_count");
                    path_to(way.point("from", "from", &from).point("to", "to", &to)?, steps, each)
                }
                3 => {
                    let way = bridle::<3>(weight, ropes)?
                        .carry(from.get(), to.get(), step_count)
                        .named("steps", "step_count");
                    path_to(way.point("from", "from", &from).point("to", "to", &to)?, steps, each)
                }
                _ => Err(bad_count(count)),
            }
        }
    })
}

/// The litter after the track rope fails.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_track_lost {
    /// sizeof(rmech_track_lost).
    pub struct_size: u32,
    /// 1 if the litter comes down on the ground before it hangs, else 0.
    pub lands: i32,
    /// How far it goes down: to the ground or until it hangs, whichever comes first.
    pub drop: rmech_length,
    /// No faster than this does it meet the ground; zero if it doesn't.
    pub landing_speed: rmech_velocity,
    /// Where it would hang if no ground were in the way.
    pub rest: rmech_point,
}

versions!(rmech_track_lost: 48);

/// A remaining rope after the track rope fails.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_track_lost_rope {
    /// Its tension once the litter hangs, if no ground were in the way.
    pub rest: rmech_force,
    /// It is pulled no harder than this at any moment, however the litter swings.
    pub peak_bound: rmech_force,
}

fn lost_to<const N: usize>(
    value: TrackLost<N>,
    lost: *mut rmech_track_lost,
    each: *mut rmech_track_lost_rope,
) -> Result<(), Failure> {
    let whole = rmech_track_lost {
        struct_size: size_of::<rmech_track_lost>() as u32,
        lands: i32::from(value.lands),
        drop: value.drop.into(),
        landing_speed: value.landing_speed.into(),
        rest: value.rest.position.into(),
    };
    // SAFETY: the caller says that a rmech_track_lost and N ropes may be written there; both are checked.
    unsafe {
        growing_output("lost", lost, whole)?;
        for (i, (rest, bound)) in value.rest.tensions.into_iter().zip(value.peak_bound).enumerate() {
            output(
                "each",
                each.add(i),
                rmech_track_lost_rope { rest: rest.into(), peak_bound: bound.into() },
            )?;
        }
    }
    Ok(())
}

/// The track rope fails: the litter drops from `position` by its `clearance`, or until it hangs on the ropes left.
///
/// `ropes` and `lengths` hold `count` elements, two or three; `each` takes as many, in the same order.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_track_rope_lost(
    weight: *const rmech_force,
    ropes: *const rmech_bridle_rope,
    lengths: *const rmech_length,
    count: usize,
    position: *const rmech_point,
    clearance: *const rmech_length,
    lost: *mut rmech_track_lost,
    each: *mut rmech_track_lost_rope,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (weight, ropes, given) = unsafe {
            (input("weight", weight)?, inputs("ropes", ropes, count)?, inputs("lengths", lengths, count)?)
        };
        // SAFETY: as above.
        let (position, clearance) =
            unsafe { (input("position", position)?, input("clearance", clearance)?.get()) };
        // SAFETY: as above.
        unsafe { writable_growing("lost", lost)? };
        writable("each", each)?;
        match count {
            2 => {
                let bridle = bridle::<2>(weight, ropes)?;
                let found = track_lost(&bridle, self::lengths(given)?, position.get(), clearance);
                let found = found.point("position", "position", &position);
                lost_to(in_list(found, "lengths", given)?, lost, each)
            }
            3 => {
                let bridle = bridle::<3>(weight, ropes)?;
                let found = track_lost(&bridle, self::lengths(given)?, position.get(), clearance);
                let found = found.point("position", "position", &position);
                lost_to(in_list(found, "lengths", given)?, lost, each)
            }
            _ => Err(bad_count(count)),
        }
    })
}
