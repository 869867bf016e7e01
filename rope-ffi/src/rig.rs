//! The rig: any ropes through any sheaves, by opaque handles.
//!
//! Make a rig, add points and ropes, solve it, read the solution, destroy both. A handle may be used by one thread at
//! a time. Ids are good for the rig that gave them out, and for its solutions.

use crate::call::{Growing, call, growing, input, inputs, no_reserved, output, writable};
use crate::error::{
    Failure, RMECH_ERR_ENUMERATOR, RMECH_ERR_GEOMETRY, RMECH_ERR_POINTER, RMECH_ERR_TEXT, RMECH_ERR_UNSOLVED,
    RMECH_ERR_VALUE, rmech_error,
};
use crate::quantity::{
    rmech_angle, rmech_force, rmech_force3, rmech_length, rmech_line_mass, rmech_point, rmech_ratio,
    rmech_stiffness,
};
use crate::rope::rmech_stretch;
use crate::sheave::{motion, rmech_turn};
use core::ffi::{CStr, c_char};
use rope_mechanics::error::{Allowed, InputError};
use rope_mechanics::geometry::Direction3;
use rope_mechanics::quantity::line_weight_of;
use rope_mechanics::rig::{End, FreePoint, PointId, Rig, RigError, RopeId, Run, Solution, Supply};

/// Free to move anywhere.
pub const RMECH_HOLD_FREE: i32 = 0;
/// Held to a plane, which pushes and pulls.
pub const RMECH_HOLD_PLANE: i32 = 1;
/// Held to a line.
pub const RMECH_HOLD_LINE: i32 = 2;
/// On or above even ground, which only pushes.
pub const RMECH_HOLD_GROUND: i32 = 3;

/// The end where a rope starts: `from` of a `rmech_rig_rope`.
pub const RMECH_END_FIRST: i32 = 1;
/// The end where a rope ends: `to` of a `rmech_rig_rope`.
pub const RMECH_END_LAST: i32 = 2;

/// A flag of a point: its start counts.
pub const RMECH_RIG_POINT_HAS_START: u32 = 1;
/// A flag of a rope: `tension` is set at the hand's end, and `length` follows; else `length` is given.
pub const RMECH_RIG_ROPE_TENSION: u32 = 1;

/// A rig.
#[derive(Debug)]
pub struct rmech_rig {
    rig: Rig,
    points: Vec<PointId>,
    ropes: Vec<RopeId>,
}

/// An equilibrium of a rig. It stays good when the rig is changed or destroyed.
#[derive(Debug)]
pub struct rmech_rig_solution {
    solution: Solution,
    points: Vec<PointId>,
    ropes: Vec<RopeId>,
}

/// A point of a rig.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_rig_point_id {
    /// Counted from 0 in the order of adding.
    pub point: u32,
}

/// A rope of a rig.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_rig_rope_id {
    /// Counted from 0 in the order of adding.
    pub rope: u32,
}

/// A point that moves.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_rig_point {
    /// sizeof(rmech_rig_point); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// `RMECH_RIG_POINT_HAS_START` or none.
    pub flags: u32,
    /// One of `RMECH_HOLD_...`.
    pub hold: i32,
    /// Zero.
    pub reserved: i32,
    /// Its weight.
    pub weight: rmech_force,
    /// A force on it.
    pub force: rmech_force3,
    /// Where the search for it starts.
    pub start: rmech_point,
    /// A point of the plane, line or ground.
    pub through: rmech_point,
    /// Normal of the plane or ground, or along the line: x, y, z. Its length doesn't matter.
    pub direction: [rmech_ratio; 3],
}

// SAFETY: repr(C), begins with struct_size, plain numbers.
unsafe impl Growing for rmech_rig_point {
    const FIRST_SIZE: usize = size_of::<Self>();
}

/// A turn of a rope at a point.
///
/// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_rig_turn {
    /// Over what.
    pub point: rmech_rig_point_id,
    /// Zero.
    pub reserved: u32,
    /// What it loses there.
    pub turn: rmech_turn,
}

/// A rope of a rig.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_rig_rope {
    /// sizeof(rmech_rig_rope); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// `RMECH_RIG_ROPE_TENSION` or none.
    pub flags: u32,
    /// Where it starts.
    pub from: rmech_rig_point_id,
    /// Where it ends.
    pub to: rmech_rig_point_id,
    /// Strands side by side; 0 counts as 1.
    pub strands: u32,
    /// What the hand does: `RMECH_MOTION_HAULING`, rope comes to it; `RMECH_MOTION_LOWERING`, rope goes from it; 0 or
    /// `RMECH_MOTION_AT_REST`, neither, and the turns count as frictionless. (Elsewhere 0 is refused.)
    pub motion: i32,
    /// At which end the hand, winch or brake is: `RMECH_END_FIRST`, at `from`; `RMECH_END_LAST` or 0, at `to`. There
    /// `tension` is set, and while rope is hauled each turn leaves more tension on that side.
    pub hand: i32,
    /// Zero.
    pub reserved: i32,
    /// Unstretched length.
    pub length: rmech_length,
    /// Tension set at the hand's end, all strands together.
    pub tension: rmech_force,
    /// Stretch of one strand.
    pub stretch: rmech_stretch,
    /// Mass per metre of one strand.
    pub mass: rmech_line_mass,
}

// SAFETY: repr(C), begins with struct_size, plain numbers.
unsafe impl Growing for rmech_rig_rope {
    const FIRST_SIZE: usize = size_of::<Self>();
}

/// The proof of an equilibrium.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_rig_certificate {
    /// Steps taken.
    pub iterations: u32,
    /// 1 if no other equilibrium exists, else 0.
    pub unique: u32,
    /// Largest force out of balance.
    pub force_residual: rmech_force,
    /// Largest distance by which a part misses its end.
    pub closing_residual: rmech_length,
    /// Largest force in the rig.
    pub largest_force: rmech_force,
    /// Least stiffness against any small movement: above zero is stable. Infinite where nothing moves.
    pub least_stiffness: rmech_stiffness,
}

/// A point of a solution.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_rig_place {
    /// Where it is.
    pub at: rmech_point,
    /// Force of all ropes on it.
    pub rope_force: rmech_force3,
    /// What has to hold it: an anchor, a plane, the ground.
    pub reaction: rmech_force3,
    /// 1 if it lies on its ground, else 0.
    pub on_ground: u32,
    /// Zero.
    pub reserved: u32,
}

/// A part of a rope of a solution. Forces count all strands together.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_rig_part {
    /// Where it starts.
    pub from: rmech_rig_point_id,
    /// Where it ends.
    pub to: rmech_rig_point_id,
    /// Unstretched length in it.
    pub share: rmech_length,
    /// Tension where it starts.
    pub tension_first: rmech_force,
    /// Tension where it ends.
    pub tension_last: rmech_force,
    /// Force on the point where it starts.
    pub pull_first: rmech_force3,
    /// Force on the point where it ends.
    pub pull_last: rmech_force3,
    /// How far it hangs below its chord.
    pub sag: rmech_length,
    /// 1 if it is slack, else 0.
    pub slack: u32,
    /// Strands that share the tension.
    pub strands: u32,
}

/// A turn of a rope of a solution.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_rig_sheave {
    /// Where it is.
    pub point: rmech_rig_point_id,
    /// Zero.
    pub reserved: u32,
    /// By how much the rope changes its direction.
    pub turn: rmech_angle,
    /// Tension of the part before.
    pub tension_before: rmech_force,
    /// Tension of the part after.
    pub tension_after: rmech_force,
    /// Force of the rope on the sheave.
    pub force: rmech_force3,
}

impl From<RigError> for Failure {
    fn from(why: RigError) -> Self {
        match why {
            RigError::Input(why) => why.into(),
            RigError::Unsolved { ref point, .. } => Self::of(RMECH_ERR_UNSOLVED, point, &why),
            RigError::NameTaken { ref name } => Self::of(RMECH_ERR_TEXT, name, &why),
            RigError::Foreign { kind } => Self::of(RMECH_ERR_VALUE, kind, &why),
            RigError::HangsInNothing { ref point }
            | RigError::Loose { ref point, .. }
            | RigError::RunsTo { ref point, .. }
            | RigError::RunsAway { ref point } => Self::of(RMECH_ERR_GEOMETRY, point, &why),
            RigError::NoPart { ref rope, .. }
            | RigError::NoSpan { ref rope, .. }
            | RigError::TensionOnTheMove { ref rope }
            | RigError::RunsOut { ref rope, .. }
            | RigError::Overstretched { ref rope, .. } => Self::of(RMECH_ERR_GEOMETRY, rope, &why),
            _ => Self::new(RMECH_ERR_GEOMETRY, why),
        }
    }
}

unsafe fn handle<'a, T>(name: &str, at: *const T) -> Result<&'a T, Failure> {
    if at.is_null() || !at.is_aligned() {
        return Err(Failure::of(RMECH_ERR_POINTER, name, format_args!("{name} is NULL or not aligned")));
    }
    // SAFETY: not NULL and aligned; the caller says that it came from the library and was not destroyed.
    Ok(unsafe { &*at })
}

unsafe fn handle_mut<'a, T>(name: &str, at: *mut T) -> Result<&'a mut T, Failure> {
    if at.is_null() || !at.is_aligned() {
        return Err(Failure::of(RMECH_ERR_POINTER, name, format_args!("{name} is NULL or not aligned")));
    }
    // SAFETY: as above, and nobody else uses it meanwhile.
    Ok(unsafe { &mut *at })
}

unsafe fn text<'a>(name: &str, at: *const c_char) -> Result<&'a str, Failure> {
    if at.is_null() {
        return Err(Failure::of(RMECH_ERR_POINTER, name, format_args!("{name} is NULL")));
    }
    // SAFETY: not NULL; the caller says that it ends with a NUL.
    let text = unsafe { CStr::from_ptr(at) };
    text.to_str().map_err(|_| Failure::of(RMECH_ERR_TEXT, name, format_args!("{name} is not UTF-8")))
}

fn point_id(points: &[PointId], id: rmech_rig_point_id, name: &str) -> Result<PointId, Failure> {
    let missing = || {
        Failure::of(
            RMECH_ERR_VALUE,
            name,
            format_args!("{name} is {}, but the rig has {} points", id.point, points.len()),
        )
    };
    points.get(id.point as usize).copied().ok_or_else(missing)
}

fn rope_id(ropes: &[RopeId], id: rmech_rig_rope_id) -> Result<RopeId, Failure> {
    let missing = || {
        Failure::of(
            RMECH_ERR_VALUE,
            "rope",
            format_args!("rope is {}, but the rig has {} ropes", id.rope, ropes.len()),
        )
    };
    ropes.get(id.rope as usize).copied().ok_or_else(missing)
}

/// Index of an id in the order of adding; the rig gives ids out in that order.
fn index(points: &[PointId], id: PointId) -> rmech_rig_point_id {
    rmech_rig_point_id { point: points.binary_search(&id).unwrap_or(0) as u32 }
}

/// Makes a rig with nothing in it. Destroy it with `rmech_rig_destroy`.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_rig_create(rig: *mut *mut rmech_rig, error: *mut rmech_error) -> i32 {
    call(error, || {
        writable("rig", rig)?;
        let made = Box::new(rmech_rig { rig: Rig::new(), points: Vec::new(), ropes: Vec::new() });
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        unsafe { output("rig", rig, Box::into_raw(made)) }
    })
}

/// Destroys a rig; NULL is fine.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_rig_destroy(rig: *mut rmech_rig) {
    if !rig.is_null() {
        // SAFETY: made by rmech_rig_create and not destroyed before.
        drop(unsafe { Box::from_raw(rig) });
    }
}

/// Adds a fixed point.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_rig_add_fixed(
    rig: *mut rmech_rig,
    name: *const c_char,
    at: *const rmech_point,
    id: *mut rmech_rig_point_id,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let (rig, name, at) =
            unsafe { (handle_mut("rig", rig)?, text("name", name)?, input("at", at)?.get()) };
        writable("id", id)?;
        rig.points.push(rig.rig.fixed(name, at)?);
        // SAFETY: as above.
        unsafe { output("id", id, rmech_rig_point_id { point: rig.points.len() as u32 - 1 }) }
    })
}

/// Adds a point that moves.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_rig_add_point(
    rig: *mut rmech_rig,
    name: *const c_char,
    point: *const rmech_rig_point,
    id: *mut rmech_rig_point_id,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let (rig, name, point) =
            unsafe { (handle_mut("rig", rig)?, text("name", name)?, growing("point", point)?) };
        writable("id", id)?;
        no_reserved("rig_point", point.reserved.into())?;
        let direction = || {
            let [x, y, z] = point.direction;
            Direction3::new(x.get(), y.get(), z.get())
        };
        let through = point.through.get();
        let mut free = match point.hold {
            RMECH_HOLD_FREE => FreePoint::anywhere(),
            RMECH_HOLD_PLANE => FreePoint::on_plane(through, direction()?)?,
            RMECH_HOLD_LINE => FreePoint::on_line(through, direction()?)?,
            RMECH_HOLD_GROUND => FreePoint::above_ground(through, direction()?),
            hold => {
                let message = format_args!("point.hold is {hold}, but must be one of RMECH_HOLD_...");
                return Err(Failure::of(RMECH_ERR_ENUMERATOR, "hold", message));
            }
        };
        if point.flags & !RMECH_RIG_POINT_HAS_START != 0 {
            return Err(Failure::of(RMECH_ERR_ENUMERATOR, "flags", "point.flags has an unknown flag"));
        }
        free = free.with_weight(point.weight.get()).with_force(point.force.get());
        if point.flags & RMECH_RIG_POINT_HAS_START != 0 {
            free = free.with_start(point.start.get());
        }
        rig.points.push(rig.rig.point(name, free)?);
        // SAFETY: as above.
        unsafe { output("id", id, rmech_rig_point_id { point: rig.points.len() as u32 - 1 }) }
    })
}

/// Adds a rope that runs over `turn_count` turns in order; `turns` may be NULL if there are none.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_rig_add_rope(
    rig: *mut rmech_rig,
    name: *const c_char,
    rope: *const rmech_rig_rope,
    turns: *const rmech_rig_turn,
    turn_count: usize,
    id: *mut rmech_rig_rope_id,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let (rig, name, rope, turns) = unsafe {
            (
                handle_mut("rig", rig)?,
                text("name", name)?,
                growing("rope", rope)?,
                inputs("turns", turns, turn_count)?,
            )
        };
        writable("id", id)?;
        no_reserved("rig_rope", rope.reserved.into())?;
        if rope.flags & !RMECH_RIG_ROPE_TENSION != 0 {
            return Err(Failure::of(RMECH_ERR_ENUMERATOR, "flags", "rope.flags has an unknown flag"));
        }
        let hand = match rope.hand {
            0 | RMECH_END_LAST => End::Last,
            RMECH_END_FIRST => End::First,
            hand => {
                let message = format_args!("rope.hand is {hand}, but must be one of RMECH_END_...");
                return Err(Failure::of(RMECH_ERR_ENUMERATOR, "hand", message));
            }
        };
        let supply = if rope.flags & RMECH_RIG_ROPE_TENSION != 0 {
            Supply::Tension { at: hand, tension: rope.tension.get() }
        } else {
            Supply::Length(rope.length.get())
        };
        let (from, to) = (point_id(&rig.points, rope.from, "from")?, point_id(&rig.points, rope.to, "to")?);
        let mass = rope.mass.kilograms_per_metre;
        if !(mass >= 0.0) {
            // As C gives it: the core would speak of the weight.
            return Err(InputError::new("mass", mass, "kg/m", Allowed::AtLeast(0.0)).into());
        }
        let mut run = Run::new(rope.stretch.get()?, supply, from, to)
            .with_weight(line_weight_of(rope.mass.get()))
            .with_strands(rope.strands.max(1));
        if rope.motion != 0 {
            run = run.with_motion(motion(rope.motion)?, hand);
        }
        for turn in turns {
            no_reserved("rig_turn", turn.reserved.into())?;
            run = run.over(point_id(&rig.points, turn.point, "turns.point")?, turn.turn.get()?);
        }
        rig.ropes.push(rig.rig.rope(name, run)?);
        // SAFETY: as above.
        unsafe { output("id", id, rmech_rig_rope_id { rope: rig.ropes.len() as u32 - 1 }) }
    })
}

/// Solves a rig. Destroy the solution with `rmech_rig_solution_destroy`.
///
/// The detail of an error names the point or rope at fault in `field`. Assumptions, and where an equilibrium may
/// not be the only one: `rope_mechanics::rig` in the library's documentation.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_rig_solve(
    rig: *const rmech_rig,
    solution: *mut *mut rmech_rig_solution,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let rig = unsafe { handle("rig", rig)? };
        writable("solution", solution)?;
        let found = rig.rig.solve()?;
        let made =
            rmech_rig_solution { solution: found, points: rig.points.clone(), ropes: rig.ropes.clone() };
        // SAFETY: as above.
        unsafe { output("solution", solution, Box::into_raw(Box::new(made))) }
    })
}

/// Destroys a solution; NULL is fine.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_rig_solution_destroy(solution: *mut rmech_rig_solution) {
    if !solution.is_null() {
        // SAFETY: made by rmech_rig_solve and not destroyed before.
        drop(unsafe { Box::from_raw(solution) });
    }
}

/// The proof of a solution.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_rig_solution_certificate(
    solution: *const rmech_rig_solution,
    certificate: *mut rmech_rig_certificate,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let proof = unsafe { handle("solution", solution)? }.solution.certificate();
        let value = rmech_rig_certificate {
            iterations: proof.iterations,
            unique: proof.unique.into(),
            force_residual: proof.force_residual.into(),
            closing_residual: proof.closing_residual.into(),
            largest_force: proof.largest_force.into(),
            least_stiffness: proof.least_stiffness.into(),
        };
        // SAFETY: as above.
        unsafe { output("certificate", certificate, value) }
    })
}

/// A point of a solution.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_rig_solution_point(
    solution: *const rmech_rig_solution,
    id: *const rmech_rig_point_id,
    place: *mut rmech_rig_place,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let (of, id) = unsafe { (handle("solution", solution)?, input("id", id)?) };
        let id = point_id(&of.points, id, "id")?;
        let value = rmech_rig_place {
            at: of.solution.position(id)?.into(),
            rope_force: of.solution.rope_force(id)?.into(),
            reaction: of.solution.reaction(id)?.into(),
            on_ground: of.solution.on_ground(id)?.into(),
            reserved: 0,
        };
        // SAFETY: as above.
        unsafe { output("place", place, value) }
    })
}

/// Part `number` of a rope of a solution, counted from 0 at its first end: a rope over n turns has n + 1 of them.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_rig_solution_part(
    solution: *const rmech_rig_solution,
    id: *const rmech_rig_rope_id,
    number: usize,
    part: *mut rmech_rig_part,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let (of, id) = unsafe { (handle("solution", solution)?, input("id", id)?) };
        let id = rope_id(&of.ropes, id)?;
        let parts = of.solution.parts(id)?;
        let sags = of.solution.sags(id)?;
        let (Some(p), Some(sag)) = (parts.get(number), sags.get(number)) else {
            let message = format_args!("number is {number}, but the rope has {} parts", parts.len());
            return Err(Failure::of(RMECH_ERR_VALUE, "number", message));
        };
        let value = rmech_rig_part {
            from: index(&of.points, p.from),
            to: index(&of.points, p.to),
            share: p.share.into(),
            tension_first: p.tension_first.into(),
            tension_last: p.tension_last.into(),
            pull_first: p.pull_first.into(),
            pull_last: p.pull_last.into(),
            sag: (*sag).into(),
            slack: p.slack.into(),
            strands: p.strands,
        };
        // SAFETY: as above.
        unsafe { output("part", part, value) }
    })
}

/// Turn `number` of a rope of a solution, counted from 0 at its first end.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_rig_solution_sheave(
    solution: *const rmech_rig_solution,
    id: *const rmech_rig_rope_id,
    number: usize,
    sheave: *mut rmech_rig_sheave,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let (of, id) = unsafe { (handle("solution", solution)?, input("id", id)?) };
        let id = rope_id(&of.ropes, id)?;
        let mut sheaves = of.solution.rig().sheaves(id)?;
        let count = sheaves.len();
        let Some(sheave_id) = sheaves.nth(number) else {
            let message = format_args!("number is {number}, but the rope has {count} turns");
            return Err(Failure::of(RMECH_ERR_VALUE, "number", message));
        };
        let s = of.solution.sheave(sheave_id)?;
        let value = rmech_rig_sheave {
            point: index(&of.points, s.point),
            reserved: 0,
            turn: s.turn.into(),
            tension_before: s.tension_before.into(),
            tension_after: s.tension_after.into(),
            force: s.force.into(),
        };
        // SAFETY: as above.
        unsafe { output("sheave", sheave, value) }
    })
}
