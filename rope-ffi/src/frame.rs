//! The high frame: legs, guys, hobbles and feet under all the ropes at its head.
//!
//! No call allocates.
//!
//! ```text
//! sum of c[i]*u[i] + sum of t[j]*v[j] + R = 0    c, t >= 0    least sum of x^2/(2*k), k = EA/L, where more than one answer fits
//! R the resultant of the ropes at the head, u from foot to head, v from head to guy anchor. A staked foot may also pull.
//! Assumed: a pin joint at the head, members without bending; no guy tightened beforehand. Left out: the frame's own weight
//! (add half of each leg's), buckling beyond the strength given, sinking feet, swaying. Range: 1 to 8 legs, up to 8 guys.
//! CAUTION. The forces are those of the ideal frame: its feet, guys and anchors must hold. Source: statics of a pin joint;
//! Lawson & Hanson, Solving Least Squares Problems (1974), ch. 23, from memory; poles by a US Navy rigging manual.
//! ```
//!
//! ```c
//! rmech_leg legs[3]; // a tripod 3 m high, and a rope that hangs from its head
//! memset(legs, 0, sizeof legs);
//! legs[0].foot.x = legs[1].foot.x = rmech_m(1.0);
//! legs[0].foot.y = rmech_m(1.1);
//! legs[1].foot.y = rmech_m(-1.1);
//! legs[2].foot.x = rmech_m(-1.8);
//! rmech_frame frame = RMECH_INIT(rmech_frame);
//! frame.head.z = rmech_m(3.0);
//! frame.legs = legs;
//! frame.leg_count = 3;
//! rmech_at_head pull;
//! memset(&pull, 0, sizeof pull);
//! pull.kind = RMECH_AT_HEAD_ALONG;
//! pull.direction.z = rmech_fraction(-1.0);
//! pull.tension = rmech_kn(2.1);
//! rmech_frame_forces forces = RMECH_INIT(rmech_frame_forces);
//! rmech_leg_forces in_legs[3];
//! if (rmech_frame_solve(&frame, &pull, 1, &forces, in_legs, NULL, NULL, &error) == RMECH_OK)
//!     printf("%.2f kN in the rear leg\n", rmech_in_kn(in_legs[2].compression)); // 0.87 kN in the rear leg
//! ```

use crate::call::{
    apart, call, growing, growing_output, input, inputs, no_flags, no_reserved, output, versions, writable,
    writable_growing,
};
use crate::error::{
    Failure, Named, RMECH_ERR_CAPACITY, RMECH_ERR_GEOMETRY, RMECH_ERR_INTERNAL, RMECH_ERR_UNSOLVED,
    RMECH_ERR_VALUE, RMECH_OK, rmech_error,
};
use crate::quantity::{
    rmech_angle, rmech_direction, rmech_force, rmech_force3, rmech_length, rmech_point, rmech_ratio,
};
use rope_mechanics::frame::{
    Edge, Frame, FrameError, FrameForces, FrameMember, Guy, HeadPull, Leg, LegForces, MOST_GUYS,
    MOST_HOBBLES, MOST_LEGS, Sharing, Stability, Tipping, resultant,
};
use rope_mechanics::geometry::Force3;

/// The most legs of a frame.
pub const RMECH_MAX_LEGS: i32 = 8;
/// The most guys of a frame.
pub const RMECH_MAX_GUYS: i32 = 8;
/// The most hobbles of a frame.
pub const RMECH_MAX_HOBBLES: i32 = 8;

/// A rope that runs straight towards a point.
pub const RMECH_AT_HEAD_TOWARDS: i32 = 1;
/// A rope that leaves the head in a direction, or any force that does.
pub const RMECH_AT_HEAD_ALONG: i32 = 2;

/// No part.
pub const RMECH_FRAME_PART_NONE: i32 = 0;
/// A leg, by its foot.
pub const RMECH_FRAME_PART_LEG: i32 = 1;
/// A guy, by its anchor.
pub const RMECH_FRAME_PART_GUY: i32 = 2;

/// Equilibrium alone gives every force.
pub const RMECH_SHARING_STATICS: i32 = 1;
/// Members share by the stiffnesses given.
pub const RMECH_SHARING_STIFFNESS: i32 = 2;
/// Members share by stiffness, but some of them were assumed: 40 MN for a leg, 80 kN for a guy.
pub const RMECH_SHARING_ASSUMED: i32 = 3;

/// `lever` is known.
pub const RMECH_STABILITY_LEVER: i32 = 1;
/// `lateral` is known.
pub const RMECH_STABILITY_LATERAL: i32 = 2;
/// `tip_limit` is known.
pub const RMECH_STABILITY_TIP_LIMIT: i32 = 4;

/// What a rope does to the head. One that runs over it pulls twice, once for each of its parts.
///
/// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_at_head {
    /// `RMECH_AT_HEAD_TOWARDS` or `RMECH_AT_HEAD_ALONG`.
    pub kind: i32,
    /// Zero.
    pub reserved: i32,
    /// Where it runs to, if towards a point.
    pub point: rmech_point,
    /// Where it runs to, if along a direction.
    pub direction: rmech_direction,
    /// How hard it pulls.
    pub tension: rmech_force,
}

/// A leg of a frame. It pushes only, unless its foot is staked.
///
/// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_leg {
    /// Its foot.
    pub foot: rmech_point,
    /// EA; zero if it isn't known.
    pub axial_stiffness: rmech_force,
    /// The compression that it bears at `strength_length`; zero if it isn't known.
    pub strength: rmech_force,
    /// The length of leg for which `strength` holds.
    pub strength_length: rmech_length,
    /// 1 if the foot is staked, so that the leg may pull as well; else 0.
    pub staked: i32,
    /// Zero.
    pub reserved: i32,
}

/// A guy of a frame. It pulls only.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_guy {
    /// Its anchor.
    pub anchor: rmech_point,
    /// EA; zero if it isn't known.
    pub axial_stiffness: rmech_force,
    /// The pull that it and its anchor bear; zero if it isn't known.
    pub strength: rmech_force,
}

/// A rope between two feet, by the places of their legs in the list.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_hobble {
    /// One leg, counted from 0.
    pub from: u32,
    /// The other.
    pub to: u32,
}

/// A frame. Its lists stay the caller's, and are read during a call only.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_frame {
    /// sizeof(rmech_frame); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// Zero.
    pub flags: u32,
    /// The head.
    pub head: rmech_point,
    /// The legs.
    pub legs: *const rmech_leg,
    /// How many: 1 to 8.
    pub leg_count: usize,
    /// The guys; may be NULL for none.
    pub guys: *const rmech_guy,
    /// How many: up to 8.
    pub guy_count: usize,
    /// The hobbles; may be NULL for none.
    pub hobbles: *const rmech_hobble,
    /// How many: up to 8.
    pub hobble_count: usize,
}

versions!(rmech_frame: 32 + 6 * WORD);

/// How far a frame stands from tipping.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_stability {
    /// sizeof(rmech_stability).
    pub struct_size: u32,
    /// Sum of the `RMECH_STABILITY_...` of what is known; the rest is zero.
    pub known: i32,
    /// Angle from the resultant to the nearest plane over which the frame tips; negative where it falls.
    pub margin: rmech_angle,
    /// Lever arm of the resultant about that edge.
    pub lever: rmech_length,
    /// Horizontal by vertical part of the resultant.
    pub lateral: rmech_ratio,
    /// The value of `lateral` at which it tips on the side where the resultant leans; infinite if never.
    pub tip_limit: rmech_ratio,
    /// One end of the edge: a `RMECH_FRAME_PART_...`.
    pub edge_from: i32,
    /// Its place in the list.
    pub edge_from_index: i32,
    /// The other end.
    pub edge_to: i32,
    /// Its place in the list.
    pub edge_to_index: i32,
}

versions!(rmech_stability: 56);

/// The forces of a frame that stands.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_frame_forces {
    /// sizeof(rmech_frame_forces).
    pub struct_size: u32,
    /// How the members share: a `RMECH_SHARING_...`.
    pub sharing: i32,
    /// Sum of all ropes at the head.
    pub resultant: rmech_force3,
    /// Residual of the equilibrium of the head, by the largest force.
    pub residual: f64,
    /// How far it stands from tipping. See `rmech_frame_stability` for the rest.
    pub margin: rmech_angle,
}

versions!(rmech_frame_forces: 48);

/// The force in a leg and at its foot.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_leg_forces {
    /// Along the leg; negative if it pulls at its stake.
    pub compression: rmech_force,
    /// What leg and hobbles together do to the ground.
    pub on_ground: rmech_force3,
    /// Horizontal by vertical force at the foot; negative (−1) where nothing presses it down.
    pub friction_needed: rmech_ratio,
    /// Strength by compression; zero where there is no strength or no compression.
    pub factor: rmech_ratio,
}

/// The force in a guy.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_guy_forces {
    /// Zero for a slack guy.
    pub tension: rmech_force,
    /// Strength by tension; zero where there is no strength or no tension.
    pub factor: rmech_ratio,
}

/// A frame with its head at one of several places.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_frame_at_head {
    /// RMECH_OK, or why there is no answer at this place: RMECH_ERR_GEOMETRY where the frame falls. The rest is zero
    /// then, and so are its legs; `rmech_frame_solve` with this head says more.
    pub status: i32,
    /// How the members share: a `RMECH_SHARING_...`.
    pub sharing: i32,
    /// Sum of all ropes at the head.
    pub resultant: rmech_force3,
    /// How far it stands from tipping.
    pub margin: rmech_angle,
    /// Horizontal by vertical part of the resultant at which it tips on the side where the resultant leans; infinite if
    /// never, negative (−1) if it stands at none.
    pub tip_limit: rmech_ratio,
    /// Residual of the equilibrium of the head, by the largest force.
    pub residual: f64,
}

/// Whether and how a frame falls.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_frame_fall {
    /// sizeof(rmech_frame_fall).
    pub struct_size: u32,
    /// 1 if it falls; 0 if it stands, and then the rest is zero.
    pub falls: i32,
    /// The least force at the head that would keep it up.
    pub missing: rmech_force3,
    /// The azimuth of that from x towards y: the side on which a guy is needed.
    pub guy_needed_towards: rmech_angle,
    /// 1 if `guy_needed_towards` is known: unless the missing force is vertical.
    pub side_known: i32,
    /// A bit for each guy that would have to push, the first being 1: the wrong guys.
    pub wrong_guys: u32,
}

versions!(rmech_frame_fall: 48);

/// What a frame bears in one vertical half-plane of resultants; tilts count from straight down.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_cone_edge {
    /// sizeof(rmech_cone_edge).
    pub struct_size: u32,
    /// 1 if the frame stands at some tilt.
    pub stands: i32,
    /// Least tilt at which it stands.
    pub stands_from: rmech_angle,
    /// Greatest.
    pub stands_to: rmech_angle,
    /// Least tilt at which no leg or guy exceeds its strength.
    pub bears_from: rmech_angle,
    /// Greatest.
    pub bears_to: rmech_angle,
    /// 1 if there are such tilts.
    pub bears: i32,
    /// Zero.
    pub reserved: i32,
}

versions!(rmech_cone_edge: 48);

impl From<FrameError> for Failure {
    fn from(why: FrameError) -> Self {
        match why {
            FrameError::Input(why) => why.into(),
            FrameError::Count { what, .. } => {
                let count = match what {
                    "legs" => "leg_count",
                    "guys" => "guy_count",
                    "hobbles" => "hobble_count",
                    other => other,
                };
                Self::of(RMECH_ERR_VALUE, count, why)
            }
            FrameError::NoDirection { list, index } => {
                Self::of(RMECH_ERR_GEOMETRY, format_args!("{list}[{index}]"), why)
            }
            FrameError::Slender { index, .. } | FrameError::FootAbove { index, .. } => {
                Self::of(RMECH_ERR_GEOMETRY, format_args!("legs[{index}].foot"), why)
            }
            FrameError::Leans { .. } => Self::of(RMECH_ERR_GEOMETRY, "head", why),
            FrameError::Hobble { index, .. } => {
                Self::of(RMECH_ERR_VALUE, format_args!("hobbles[{index}]"), why)
            }
            FrameError::Falls(_) => Self::of(RMECH_ERR_GEOMETRY, "pulls", why),
            FrameError::Unsolved => Self::new(RMECH_ERR_UNSOLVED, why),
            _ => Self::new(RMECH_ERR_INTERNAL, why),
        }
    }
}

/// A list made of another, in place; `None` of an empty one.
pub(crate) fn made<G: Copy, T: Copy, const N: usize>(
    list: &str,
    count: &str,
    given: &[G],
    make: impl Fn(G) -> Result<T, Failure>,
) -> Result<Option<[T; N]>, Failure> {
    if given.len() > N {
        let why = format_args!("{} {list} were given, but there may be at most {N}", given.len());
        return Err(Failure::of(RMECH_ERR_CAPACITY, count, why));
    }
    let Some(first) = given.first() else { return Ok(None) };
    let mut all = [make(*first).item(list, 0)?; N];
    for (index, (slot, given)) in all.iter_mut().zip(given).enumerate().skip(1) {
        *slot = make(*given).item(list, index)?;
    }
    Ok(Some(all))
}

/// As many of a list as were given.
pub(crate) fn used<T, const N: usize>(all: &Option<[T; N]>, count: usize) -> &[T] {
    all.as_ref().and_then(|all| all.get(..count)).unwrap_or_default()
}

fn leg(given: rmech_leg) -> Result<Leg, Failure> {
    no_reserved("leg", given.reserved.into())?;
    let mut leg = Leg::new(given.foot.get()).point("foot", "foot", &given.foot)?;
    if given.axial_stiffness.newtons != 0.0 {
        leg = leg.with_axial_stiffness(given.axial_stiffness.get())?;
    }
    if given.strength.newtons != 0.0 {
        leg = leg
            .with_strength(given.strength.get(), given.strength_length.get())
            .named("compression", "strength")
            .named("length", "strength_length")?;
    }
    match given.staked {
        0 => Ok(leg),
        1 => Ok(leg.staked()),
        other => Err(Failure::unknown("staked", other, "0 or 1")),
    }
}

fn guy(given: rmech_guy) -> Result<Guy, Failure> {
    let mut guy = Guy::new(given.anchor.get()).point("anchor", "anchor", &given.anchor)?;
    if given.axial_stiffness.newtons != 0.0 {
        guy = guy.with_axial_stiffness(given.axial_stiffness.get())?;
    }
    if given.strength.newtons != 0.0 {
        guy = guy.with_strength(given.strength.get())?;
    }
    Ok(guy)
}

/// # Safety
/// The lists of the frame must be as long as it says.
unsafe fn frame(given: &rmech_frame) -> Result<Frame, Failure> {
    no_flags(given.flags)?;
    // SAFETY: as above.
    let (legs, guys, hobbles) = unsafe {
        (
            inputs("legs", given.legs, given.leg_count)?,
            inputs("guys", given.guys, given.guy_count)?,
            inputs("hobbles", given.hobbles, given.hobble_count)?,
        )
    };
    let hobbles_made = made::<_, _, MOST_HOBBLES>("hobbles", "hobble_count", hobbles, |h| {
        Ok((h.from as usize, h.to as usize))
    })?;
    let legs_made = made::<_, _, MOST_LEGS>("legs", "leg_count", legs, leg)?;
    let guys_made = made::<_, _, MOST_GUYS>("guys", "guy_count", guys, guy)?;
    let frame = Frame::new(given.head.get(), used(&legs_made, legs.len()), used(&guys_made, guys.len()))
        .point("head", "head", &given.head)?;
    Ok(frame.with_hobbles(used(&hobbles_made, hobbles.len()))?)
}

fn pull(given: &rmech_at_head) -> Result<HeadPull, Failure> {
    no_reserved("at_head", given.reserved.into())?;
    match given.kind {
        RMECH_AT_HEAD_TOWARDS => {
            HeadPull::towards(given.point.get(), given.tension.get()).point("point", "point", &given.point)
        }
        RMECH_AT_HEAD_ALONG => {
            Ok(HeadPull::along(given.direction.get().inside("direction")?, given.tension.get())?)
        }
        other => Err(Failure::unknown("kind", other, "one of RMECH_AT_HEAD_...")),
    }
}

/// Rope by rope, as the library adds them up.
fn sum(at: rmech_point, pulls: &[rmech_at_head]) -> Result<Force3, Failure> {
    let head = at.get();
    if pulls.is_empty() {
        return resultant(head, &[]).point("head", "head", &at);
    }
    let mut sum = Force3::default();
    for (place, given) in pulls.iter().enumerate() {
        let one = resultant(head, &[pull(given).item("pulls", place)?]).map_err(|why| match why {
            FrameError::NoDirection { list, .. } => FrameError::NoDirection { list, index: place },
            other => other,
        });
        let one = one.point("head", "head", &at)?;
        sum = Force3::new(sum.x + one.x, sum.y + one.y, sum.z + one.z);
    }
    Ok(sum)
}

fn solved(
    frame: &Frame,
    head: rmech_point,
    pulls: &[rmech_at_head],
) -> Result<Result<FrameForces, Tipping>, Failure> {
    match frame.solve(&[HeadPull::force(sum(head, pulls)?)?]) {
        Ok(forces) => Ok(Ok(forces)),
        Err(FrameError::Falls(fall)) => Ok(Err(fall)),
        Err(other) => Err(other.into()),
    }
}

fn sharing(how: Sharing) -> i32 {
    match how {
        Sharing::Statics => RMECH_SHARING_STATICS,
        Sharing::Stiffness => RMECH_SHARING_STIFFNESS,
        Sharing::AssumedStiffness => RMECH_SHARING_ASSUMED,
    }
}

impl From<LegForces> for rmech_leg_forces {
    fn from(leg: LegForces) -> Self {
        Self {
            compression: leg.compression.into(),
            on_ground: leg.on_ground.into(),
            friction_needed: leg.friction_needed.map_or(rmech_ratio { fraction: -1.0 }, rmech_ratio::from),
            factor: leg.factor.map_or_else(rmech_ratio::default, rmech_ratio::from),
        }
    }
}

/// The sum of all ropes at the head of a frame.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_head_resultant(
    head: *const rmech_point,
    pulls: *const rmech_at_head,
    pull_count: usize,
    force: *mut rmech_force3,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (head, pulls) = unsafe { (input("head", head)?, inputs("pulls", pulls, pull_count)?) };
        writable("force", force)?;
        let value = sum(head, pulls)?.into();
        // SAFETY: as above.
        unsafe { output("force", force, value) }
    })
}

/// The forces of a frame under the ropes at its head.
///
/// `legs`, `guys` and `hobbles` take as many elements as the frame has, in its order; `guys` and `hobbles` may be
/// NULL where it has none. A frame that falls is RMECH_ERR_GEOMETRY; see `rmech_frame_falls`.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_frame_solve(
    frame: *const rmech_frame,
    pulls: *const rmech_at_head,
    pull_count: usize,
    forces: *mut rmech_frame_forces,
    legs: *mut rmech_leg_forces,
    guys: *mut rmech_guy_forces,
    hobbles: *mut rmech_force,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (given, pulls) = unsafe { (growing("frame", frame)?, inputs("pulls", pulls, pull_count)?) };
        // SAFETY: as above.
        unsafe { writable_growing("forces", forces)? };
        writable("legs", legs)?;
        if given.guy_count > 0 {
            writable("guys", guys)?;
        }
        if given.hobble_count > 0 {
            writable("hobbles", hobbles)?;
        }
        // SAFETY: as above.
        let frame = unsafe { self::frame(&given)? };
        let solved = solved(&frame, given.head, pulls)?.map_err(FrameError::Falls)?;
        let whole = rmech_frame_forces {
            struct_size: size_of::<rmech_frame_forces>() as u32,
            sharing: sharing(solved.sharing),
            resultant: solved.resultant.into(),
            residual: solved.report.residual,
            margin: solved.stability.margin.into(),
        };
        // SAFETY: as above; the lists of results are as long as those of the frame.
        unsafe {
            growing_output("forces", forces, whole)?;
            for (place, leg) in solved.legs().iter().enumerate() {
                output("legs", legs.add(place), rmech_leg_forces::from(*leg))?;
            }
            for (place, guy) in solved.guys().iter().enumerate() {
                let value = rmech_guy_forces {
                    tension: guy.tension.into(),
                    factor: guy.factor.map_or_else(rmech_ratio::default, rmech_ratio::from),
                };
                output("guys", guys.add(place), value)?;
            }
            for (place, tension) in solved.hobbles().iter().enumerate() {
                output("hobbles", hobbles.add(place), rmech_force::from(*tension))?;
            }
        }
        Ok(())
    })
}

/// The forces of a frame for each of several places of its head: how they change with its height and lean.
///
/// A rope towards a point turns with the head. `at_heads` takes `head_count` elements; `legs` takes as many times the
/// legs of the frame, place after place, and may be NULL. Neither may overlap `heads` or `pulls`: RMECH_ERR_POINTER.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_frame_at_heads(
    frame: *const rmech_frame,
    heads: *const rmech_point,
    head_count: usize,
    pulls: *const rmech_at_head,
    pull_count: usize,
    at_heads: *mut rmech_frame_at_head,
    legs: *mut rmech_leg_forces,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (given, pulls) = unsafe { (growing("frame", frame)?, inputs("pulls", pulls, pull_count)?) };
        // SAFETY: as above.
        let heads = unsafe { inputs("heads", heads, head_count)? };
        writable("at_heads", at_heads)?;
        if !legs.is_null() {
            writable("legs", legs)?;
        }
        let leg_room = head_count.saturating_mul(given.leg_count);
        apart(("heads", heads), ("at_heads", at_heads, head_count))?;
        apart(("heads", heads), ("legs", legs, leg_room))?;
        apart(("pulls", pulls), ("at_heads", at_heads, head_count))?;
        apart(("pulls", pulls), ("legs", legs, leg_room))?;
        // SAFETY: as above.
        let frame = unsafe { self::frame(&given)? };
        // What is wrong at every place is the call's fault; what is wrong at one place is its own.
        for (index, given) in pulls.iter().enumerate() {
            pull(given).item("pulls", index)?;
        }
        for (place, head) in heads.iter().copied().enumerate() {
            let solved = frame
                .with_head(head.get())
                .map_err(Failure::from)
                .and_then(|frame| Ok(self::solved(&frame, head, pulls)?.map_err(FrameError::Falls)?));
            let value = match &solved {
                Ok(solved) => rmech_frame_at_head {
                    status: RMECH_OK,
                    sharing: sharing(solved.sharing),
                    resultant: solved.resultant.into(),
                    margin: solved.stability.margin.into(),
                    tip_limit: solved
                        .stability
                        .tip_limit
                        .map_or(rmech_ratio { fraction: -1.0 }, rmech_ratio::from),
                    residual: solved.report.residual,
                },
                Err(why) => rmech_frame_at_head { status: why.status, ..Default::default() },
            };
            // SAFETY: as above; there is room for every place, and for the legs at each.
            unsafe {
                output("at_heads", at_heads.add(place), value)?;
                if !legs.is_null() {
                    for leg in 0..given.leg_count {
                        let of = solved.as_ref().ok().and_then(|solved| solved.legs().get(leg).copied());
                        let value = of.map_or_else(Default::default, rmech_leg_forces::from);
                        output("legs", legs.add(place * given.leg_count + leg), value)?;
                    }
                }
            }
        }
        Ok(())
    })
}

/// Whether a frame falls under the ropes at its head, which guys are on the wrong side, and where one is needed.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_frame_falls(
    frame: *const rmech_frame,
    pulls: *const rmech_at_head,
    pull_count: usize,
    fall: *mut rmech_frame_fall,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (given, pulls) = unsafe { (growing("frame", frame)?, inputs("pulls", pulls, pull_count)?) };
        // SAFETY: as above.
        unsafe { writable_growing("fall", fall)? };
        // SAFETY: as above.
        let frame = unsafe { self::frame(&given)? };
        let mut value = rmech_frame_fall {
            struct_size: size_of::<rmech_frame_fall>() as u32,
            falls: 0,
            missing: rmech_force3::default(),
            guy_needed_towards: rmech_angle::default(),
            side_known: 0,
            wrong_guys: 0,
        };
        if let Err(why) = solved(&frame, given.head, pulls)? {
            value.falls = 1;
            value.missing = why.missing.into();
            if let Some(side) = why.guy_needed_towards {
                (value.side_known, value.guy_needed_towards) = (1, side.into());
            }
            value.wrong_guys = why.wrong_guys().fold(0, |bits, guy| bits | 1 << guy);
        }
        // SAFETY: as above.
        unsafe { growing_output("fall", fall, value) }
    })
}

impl From<Stability> for rmech_stability {
    fn from(value: Stability) -> Self {
        let part = |part: FrameMember| match part {
            FrameMember::Leg(place) => (RMECH_FRAME_PART_LEG, place as i32),
            FrameMember::Guy(place) => (RMECH_FRAME_PART_GUY, place as i32),
        };
        let none = (RMECH_FRAME_PART_NONE, 0);
        let (from, to) = value.edge.map_or((none, none), |Edge { from, to }| (part(from), part(to)));
        let bit = |known: bool, bit: i32| if known { bit } else { 0 };
        Self {
            struct_size: size_of::<Self>() as u32,
            known: bit(value.lever.is_some(), RMECH_STABILITY_LEVER)
                | bit(value.lateral.is_some(), RMECH_STABILITY_LATERAL)
                | bit(value.tip_limit.is_some(), RMECH_STABILITY_TIP_LIMIT),
            margin: value.margin.into(),
            lever: value.lever.map_or_else(rmech_length::default, rmech_length::from),
            lateral: value.lateral.map_or_else(rmech_ratio::default, rmech_ratio::from),
            tip_limit: value.tip_limit.map_or_else(rmech_ratio::default, rmech_ratio::from),
            edge_from: from.0,
            edge_from_index: from.1,
            edge_to: to.0,
            edge_to_index: to.1,
        }
    }
}

/// How far a frame stands from tipping under a resultant, also where it falls.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_frame_stability(
    frame: *const rmech_frame,
    resultant: *const rmech_force3,
    stability: *mut rmech_stability,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (given, resultant) = unsafe { (growing("frame", frame)?, input("resultant", resultant)?) };
        // SAFETY: as above.
        unsafe { writable_growing("stability", stability)? };
        // SAFETY: as above.
        let value = unsafe { self::frame(&given)? }.stability(resultant.get());
        let value = value.point("resultant", "resultant", &resultant)?.into();
        // SAFETY: as above.
        unsafe { growing_output("stability", stability, value) }
    })
}

/// The share of a wooden gin pole's tabulated capacity that each leg may bear: 1 for a gin pole, 7/8 for shears or a
/// tripod.
///
/// Poles longer than 60 times their least thickness, and a gin pole that leans by more than 45 degrees, are
/// RMECH_ERR_GEOMETRY. For sound wooden poles only. Source: US Navy Steelworker manual, chapter on rigging (read).
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_frame_pole_share(
    frame: *const rmech_frame,
    least_thickness: *const rmech_length,
    share: *mut rmech_ratio,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (given, thickness) =
            unsafe { (growing("frame", frame)?, input("least_thickness", least_thickness)?.get()) };
        writable("share", share)?;
        // SAFETY: as above.
        let value = unsafe { self::frame(&given)? }.pole_share(thickness)?.into();
        // SAFETY: as above.
        unsafe { output("share", share, value) }
    })
}

/// The tilts of a resultant of a given size that a frame bears on one side, to draw its safe cone.
///
/// `azimuth` is the side to which the resultant leans, from x towards y.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_frame_cone_edge(
    frame: *const rmech_frame,
    azimuth: *const rmech_angle,
    size: *const rmech_force,
    edge: *mut rmech_cone_edge,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (given, azimuth, size) = unsafe {
            (growing("frame", frame)?, input("azimuth", azimuth)?.get(), input("size", size)?.get())
        };
        // SAFETY: as above.
        unsafe { writable_growing("edge", edge)? };
        // SAFETY: as above.
        let cone = unsafe { self::frame(&given)? }.cone_edge(azimuth, size)?;
        let (stands_from, stands_to) = cone.stands.unwrap_or_default();
        let (bears_from, bears_to) = cone.bears.unwrap_or_default();
        let value = rmech_cone_edge {
            struct_size: size_of::<rmech_cone_edge>() as u32,
            stands: i32::from(cone.stands.is_some()),
            stands_from: stands_from.into(),
            stands_to: stands_to.into(),
            bears_from: bears_from.into(),
            bears_to: bears_to.into(),
            bears: i32::from(cone.bears.is_some()),
            reserved: 0,
        };
        // SAFETY: as above.
        unsafe { growing_output("edge", edge, value) }
    })
}
