//! The rig: any ropes through any sheaves, by opaque handles.
//!
//! Make a rig, add points and ropes, solve it, read the solution, destroy both. A handle may be used by one thread at
//! a time. Ids are good for the rig that gave them out, and for its solutions; another rig's, and ids of all zeros, are
//! refused.
//!
//! ```text
//! At each point: sum of T*u + weight = 0    each rope: its length is that of its parts, T the same along it but for its turns
//! the minimum of energy of elastic, straight or heavy parts; friction at turns by the topic on bends.
//! Assumed: static, no contact but at its sheaves. Proof: `rmech_rig_solution_certificate` has both residuals, and the least
//! stiffness (is it stable?). A rig is refused where something floats, or where no equilibrium exists.
//! Source: least energy of cables; checked against every solver above and SciPy's minimiser.
//! ```
//!
//! ```c
//! rmech_rig *rig = NULL; // a load on two ropes
//! rmech_rig_solution *solution = NULL;
//! rmech_rig_point_id left, right, load;
//! rmech_rig_rope_id first, second;
//! rmech_rig_rope rope = RMECH_INIT(rmech_rig_rope);
//! rmech_rig_point weight = RMECH_INIT(rmech_rig_point);
//! rmech_point at_left = {rmech_m(0.0), rmech_m(0.0), rmech_m(5.0)}, at_right = {rmech_m(30.0), rmech_m(0.0), rmech_m(2.0)};
//! weight.weight = rmech_n(900.0);
//! rope.stretch.a = rmech_kn(41.0);
//! int32_t status = rmech_rig_create(&rig, &error);
//! if (status == RMECH_OK) status = rmech_rig_add_fixed(rig, "left", &at_left, &left, &error);
//! if (status == RMECH_OK) status = rmech_rig_add_fixed(rig, "right", &at_right, &right, &error);
//! if (status == RMECH_OK) status = rmech_rig_add_point(rig, "load", &weight, &load, &error);
//! rope.from = left;
//! rope.to = load;
//! rope.length = rmech_m(17.0);
//! if (status == RMECH_OK) status = rmech_rig_add_rope(rig, "first", &rope, NULL, 0, &first, &error);
//! rope.from = load;
//! rope.to = right;
//! rope.length = rmech_m(15.0);
//! if (status == RMECH_OK) status = rmech_rig_add_rope(rig, "second", &rope, NULL, 0, &second, &error);
//! if (status == RMECH_OK) status = rmech_rig_solve(rig, &solution, &error);
//! rmech_rig_place place;
//! if (status == RMECH_OK) status = rmech_rig_solution_point(solution, &load, &place, &error);
//! if (status == RMECH_OK) printf("the load hangs at %.2f m\n", rmech_in_m(place.at.z)); // the load hangs at -3.12 m
//! rmech_rig_solution_destroy(solution);
//! rmech_rig_destroy(rig);
//! ```

pub mod response;
pub mod text;

use crate::call::{call, growing, input, inputs, no_reserved, output, versions, writable};
use crate::error::{
    Failure, Named, RMECH_ERR_BUDGET, RMECH_ERR_GEOMETRY, RMECH_ERR_POINTER, RMECH_ERR_TEXT,
    RMECH_ERR_UNSOLVED, RMECH_ERR_VALUE, rmech_error,
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
use rope_mechanics::rig::{
    AtRest, FreePoint, PointId, Rig, RigError, RopeEnd, RopeId, RopeRun, RopeSupply, SheaveId, Solution,
};
use rope_mechanics::sheave::Turn;
use std::sync::atomic::{AtomicU32, Ordering};

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
/// A flag of a rope: `tension` is set at the end that `tension_end` names, and `length` follows; else `length` is
/// given.
pub const RMECH_RIG_ROPE_TENSION: u32 = 1;

/// The points and ropes of a rig, in the order of adding, and the number of the rig.
#[derive(Debug, Clone, Default)]
pub(crate) struct Ids {
    tag: u32,
    points: Vec<PointId>,
    ropes: Vec<RopeId>,
    sheaves: Vec<Vec<SheaveId>>,
}

/// A rig.
#[derive(Debug)]
pub struct rmech_rig {
    pub(crate) rig: Rig,
    ids: Ids,
}

/// An equilibrium of a rig. It stays good when the rig is changed or destroyed.
#[derive(Debug)]
pub struct rmech_rig_solution {
    pub(crate) solution: Solution,
    pub(crate) ids: Ids,
}

/// A point of a rig.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_rig_point_id {
    /// Whose point: the number of the rig, never 0.
    pub rig: u32,
    /// Counted from 0 in the order of adding.
    pub point: u32,
}

/// A rope of a rig.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct rmech_rig_rope_id {
    /// Whose rope: the number of the rig, never 0.
    pub rig: u32,
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

versions!(rmech_rig_point: 120);

/// A turn of a rope at a point.
///
/// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_rig_turn {
    /// Over what.
    pub point: rmech_rig_point_id,
    /// Whole turns around it, besides what the directions of the rope show: 0 to 31.
    pub wraps: u32,
    /// Zero.
    pub reserved: u32,
    /// Its losses there.
    pub turn: rmech_turn,
}

impl rmech_rig_turn {
    fn get(&self, ids: &Ids) -> Result<(PointId, Turn), Failure> {
        no_reserved("rig_turn", self.reserved.into())?;
        Ok((ids.point(self.point, "point")?, self.turn.get().inside("turn")?))
    }
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
    /// At which end the hand, winch or brake is: `RMECH_END_FIRST`, at `from`; `RMECH_END_LAST` or 0, at `to`. While
    /// rope is hauled each turn leaves more tension on that side.
    pub hand: i32,
    /// Where the tension is set: one of `RMECH_END_...`; 0 is where the hand is.
    pub tension_end: i32,
    /// Unstretched length.
    pub length: rmech_length,
    /// The set tension, all strands together.
    pub tension: rmech_force,
    /// Stretch of one strand.
    pub stretch: rmech_stretch,
    /// Mass per metre of one strand.
    pub mass: rmech_line_mass,
}

versions!(rmech_rig_rope: 80);

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
    /// The reaction of what holds it: an anchor, a plane, the ground.
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
    /// Distance of its ends.
    pub chord: rmech_length,
    /// Strain where it is largest.
    pub strain: rmech_ratio,
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
    /// By how much the rope changes its direction, with its wraps.
    pub turn: rmech_angle,
    /// The angle between its two parts.
    pub interior: rmech_angle,
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
            RigError::At { path, why } => Self::from(why).at(path),
            RigError::OverBudget { .. } => Self::of(RMECH_ERR_BUDGET, "steps", &why),
            RigError::Unsolved { ref point, .. } => Self::of(RMECH_ERR_UNSOLVED, point, &why),
            RigError::Unproven { ref name, .. } => Self::of(RMECH_ERR_UNSOLVED, name, &why),
            RigError::NameTaken { ref name } | RigError::Spec { ref name, .. } => {
                Self::of(RMECH_ERR_TEXT, name, &why)
            }
            RigError::NoInput { ref name, .. } => Self::of(RMECH_ERR_VALUE, name, &why),
            RigError::Foreign { kind } => Self::of(RMECH_ERR_VALUE, kind, &why),
            RigError::HangsInNothing { ref point }
            | RigError::Loose { ref point, .. }
            | RigError::RunsTo { ref point, .. }
            | RigError::RunsOn { ref point, .. }
            | RigError::Unstable { ref point, .. }
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

pub(crate) unsafe fn handle<'a, T>(name: &str, at: *const T) -> Result<&'a T, Failure> {
    if at.is_null() || !at.is_aligned() {
        return Err(Failure::of(RMECH_ERR_POINTER, name, format_args!("{name} is NULL or not aligned")));
    }
    // SAFETY: not NULL and aligned; the caller says that it came from the library and was not destroyed.
    Ok(unsafe { &*at })
}

pub(crate) unsafe fn handle_mut<'a, T>(name: &str, at: *mut T) -> Result<&'a mut T, Failure> {
    if at.is_null() || !at.is_aligned() {
        return Err(Failure::of(RMECH_ERR_POINTER, name, format_args!("{name} is NULL or not aligned")));
    }
    // SAFETY: as above, and nobody else uses it meanwhile.
    Ok(unsafe { &mut *at })
}

pub(crate) unsafe fn text<'a>(name: &str, at: *const c_char) -> Result<&'a str, Failure> {
    if at.is_null() {
        return Err(Failure::of(RMECH_ERR_POINTER, name, format_args!("{name} is NULL")));
    }
    // SAFETY: not NULL; the caller says that it ends with a NUL.
    let text = unsafe { CStr::from_ptr(at) };
    text.to_str().map_err(|_| Failure::of(RMECH_ERR_TEXT, name, format_args!("{name} is not UTF-8")))
}

/// A name for a point or rope: it goes into messages and JSON as it is.
pub(crate) fn printable(field: impl core::fmt::Display, name: &str) -> Result<(), Failure> {
    if !name.contains(char::is_control) {
        return Ok(());
    }
    let why = format_args!("{field} holds a control character: a name must be printable");
    Err(Failure::of(RMECH_ERR_TEXT, &field, why))
}

impl Ids {
    /// Of a rig that gets a number of its own.
    pub(crate) fn of(rig: &Rig) -> Self {
        static NEXT: AtomicU32 = AtomicU32::new(1);
        let ropes: Vec<RopeId> = rig.ropes().collect();
        let sheaves = ropes.iter().map(|rope| rig.sheaves(*rope).map(Iterator::collect).unwrap_or_default());
        Self {
            tag: NEXT.fetch_add(1, Ordering::Relaxed),
            points: rig.points().collect(),
            sheaves: sheaves.collect(),
            ropes,
        }
    }

    fn check(&self, name: &str, tag: u32) -> Result<(), Failure> {
        if tag == self.tag {
            return Ok(());
        }
        Err(Failure::of(RMECH_ERR_VALUE, name, format_args!("{name} is of no rig, or of another one")))
    }

    pub(crate) fn point(&self, id: rmech_rig_point_id, name: &str) -> Result<PointId, Failure> {
        self.check(name, id.rig)?;
        let missing = || {
            let message =
                format_args!("{name} is {}, but the rig has {} points", id.point, self.points.len());
            Failure::of(RMECH_ERR_VALUE, name, message)
        };
        self.points.get(id.point as usize).copied().ok_or_else(missing)
    }

    pub(crate) fn rope(&self, id: rmech_rig_rope_id) -> Result<RopeId, Failure> {
        self.check("rope", id.rig)?;
        let missing = || {
            let message = format_args!("rope is {}, but the rig has {} ropes", id.rope, self.ropes.len());
            Failure::of(RMECH_ERR_VALUE, "rope", message)
        };
        self.ropes.get(id.rope as usize).copied().ok_or_else(missing)
    }

    pub(crate) fn sheave(&self, id: rmech_rig_rope_id, number: usize) -> Result<SheaveId, Failure> {
        self.rope(id)?;
        let turns = self.sheaves.get(id.rope as usize).map_or(&[][..], Vec::as_slice);
        let missing = || {
            let message = format_args!("number is {number}, but the rope has {} turns", turns.len());
            Failure::of(RMECH_ERR_VALUE, "number", message)
        };
        turns.get(number).copied().ok_or_else(missing)
    }

    /// A point as C knows it: the rig gives ids out in the order of adding.
    fn point_for_c(&self, id: PointId) -> rmech_rig_point_id {
        rmech_rig_point_id { rig: self.tag, point: self.points.binary_search(&id).unwrap_or(0) as u32 }
    }

    fn add_point(&mut self, id: PointId) -> rmech_rig_point_id {
        self.points.push(id);
        rmech_rig_point_id { rig: self.tag, point: self.points.len() as u32 - 1 }
    }

    fn add_rope(&mut self, id: RopeId, sheaves: Vec<SheaveId>) -> rmech_rig_rope_id {
        self.ropes.push(id);
        self.sheaves.push(sheaves);
        rmech_rig_rope_id { rig: self.tag, rope: self.ropes.len() as u32 - 1 }
    }
}

/// Part `number` of `count`, which isn't there.
pub(crate) fn no_part(number: usize) -> Failure {
    Failure::of(RMECH_ERR_VALUE, "number", format_args!("number is {number}, but the rope has fewer parts"))
}

/// The first or the last end; `otherwise` if neither is named.
fn end(name: &str, value: i32, otherwise: RopeEnd) -> Result<RopeEnd, Failure> {
    match value {
        0 => Ok(otherwise),
        RMECH_END_FIRST => Ok(RopeEnd::First),
        RMECH_END_LAST => Ok(RopeEnd::Last),
        _ => Err(Failure::unknown(name, value, "one of RMECH_END_...")),
    }
}

/// A rig on its way to C.
pub(crate) fn boxed(rig: Rig) -> *mut rmech_rig {
    Box::into_raw(Box::new(rmech_rig { ids: Ids::of(&rig), rig }))
}

/// Makes a rig with nothing in it. Destroy it with `rmech_rig_destroy`.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_rig_create(rig: *mut *mut rmech_rig, error: *mut rmech_error) -> i32 {
    call(error, || {
        writable("rig", rig)?;
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        unsafe { output("rig", rig, boxed(Rig::new())) }
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
        let (rig, name, at) = unsafe { (handle_mut("rig", rig)?, text("name", name)?, input("at", at)?) };
        writable("id", id)?;
        printable("name", name)?;
        let added = rig.rig.fixed(name, at.get()).point("at", "at", &at)?;
        // SAFETY: as above.
        unsafe { output("id", id, rig.ids.add_point(added)) }
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
                .named("x", "direction[0]")
                .named("y", "direction[1]")
                .named("z", "direction[2]")
        };
        let through = point.through.get();
        let mut free = match point.hold {
            RMECH_HOLD_FREE => FreePoint::anywhere(),
            RMECH_HOLD_PLANE => {
                FreePoint::on_plane(through, direction()?).point("through", "through", &point.through)?
            }
            RMECH_HOLD_LINE => {
                FreePoint::on_line(through, direction()?).point("through", "through", &point.through)?
            }
            RMECH_HOLD_GROUND => FreePoint::above_ground(through, direction()?),
            hold => return Err(Failure::unknown("hold", hold, "one of RMECH_HOLD_...")),
        };
        if point.flags & !RMECH_RIG_POINT_HAS_START != 0 {
            return Err(Failure::unknown("flags", point.flags, "RMECH_RIG_POINT_HAS_START or 0"));
        }
        free = free.with_weight(point.weight.get()).with_force(point.force.get());
        if point.flags & RMECH_RIG_POINT_HAS_START != 0 {
            free = free.with_start(point.start.get());
        }
        printable("name", name)?;
        let added = rig
            .rig
            .point(name, free)
            .point("force", "force", &point.force)
            .point("start", "start", &point.start)
            .point("through", "through", &point.through)?;
        // SAFETY: as above.
        unsafe { output("id", id, rig.ids.add_point(added)) }
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
        if rope.flags & !RMECH_RIG_ROPE_TENSION != 0 {
            return Err(Failure::unknown("flags", rope.flags, "RMECH_RIG_ROPE_TENSION or 0"));
        }
        let hand = end("hand", rope.hand, RopeEnd::Last)?;
        let supply = if rope.flags & RMECH_RIG_ROPE_TENSION != 0 {
            RopeSupply::Tension {
                at: end("tension_end", rope.tension_end, hand)?,
                tension: rope.tension.get(),
            }
        } else {
            RopeSupply::Length(rope.length.get())
        };
        let (from, to) = (rig.ids.point(rope.from, "from")?, rig.ids.point(rope.to, "to")?);
        let mass = rope.mass.kilograms_per_metre;
        if !(0.0..=1e6).contains(&mass) {
            // As C gives it: the core would speak of the weight.
            let allowed = if mass < 0.0 {
                Allowed::AtLeast(0.0)
            } else if mass.is_finite() {
                Allowed::Within(0.0, 1e6)
            } else {
                Allowed::Finite
            };
            return Err(InputError::new("mass", mass, "kg/m", allowed).into());
        }
        let mut run = RopeRun::new(rope.stretch.get().inside("stretch")?, supply, from, to)
            .with_weight(line_weight_of(rope.mass.get()))
            .with_strands(rope.strands.max(1));
        if rope.motion != 0 {
            run = run.with_motion(motion("motion", rope.motion)?, hand);
        }
        for (index, turn) in turns.iter().enumerate() {
            let (over, on) = turn.get(&rig.ids).item("turns", index)?;
            run = run.over_with_wraps(over, on, turn.wraps);
        }
        printable("name", name)?;
        let added = rig
            .rig
            .rope(name, run)
            .named("rope_length", "length")
            .named("set_tension", "tension")
            .named("rope_weight", "mass")
            .listed("wraps", "turns", "wraps", turns.iter().map(|turn| f64::from(turn.wraps)))?;
        let sheaves = rig.rig.sheaves(added)?.collect();
        // SAFETY: as above.
        unsafe { output("id", id, rig.ids.add_rope(added, sheaves)) }
    })
}

/// The point of a name.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_rig_find_point(
    rig: *const rmech_rig,
    name: *const c_char,
    id: *mut rmech_rig_point_id,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let (rig, name) = unsafe { (handle("rig", rig)?, text("name", name)?) };
        let unknown = || Failure::of(RMECH_ERR_TEXT, name, format_args!("the rig has no point \"{name}\""));
        let found = rig.rig.find_point(name).ok_or_else(unknown)?;
        // SAFETY: as above.
        unsafe { output("id", id, rig.ids.point_for_c(found)) }
    })
}

/// The rope of a name.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_rig_find_rope(
    rig: *const rmech_rig,
    name: *const c_char,
    id: *mut rmech_rig_rope_id,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let (rig, name) = unsafe { (handle("rig", rig)?, text("name", name)?) };
        let unknown = || Failure::of(RMECH_ERR_TEXT, name, format_args!("the rig has no rope \"{name}\""));
        let found = rig.rig.find_rope(name).ok_or_else(unknown)?;
        let rope = rig.ids.ropes.binary_search(&found).map_err(|_| unknown())? as u32;
        // SAFETY: as above.
        unsafe { output("id", id, rmech_rig_rope_id { rig: rig.ids.tag, rope }) }
    })
}

/// Solves a rig. Destroy the solution with `rmech_rig_solution_destroy`.
///
/// Ropes that move lose tension at their turns as stated. Where the frictionless equilibrium ends before the loss is
/// full, the rig slides to where it rests. An answer may not be the only one: see the certificate's `unique`. A refusal
/// that isn't sure means that none was found.
///
/// The detail of an error names the point or rope at fault in `field`. Assumptions: at the top of this topic in rope_mechanics.h.
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
        let made = rmech_rig_solution { solution: found, ids: rig.ids.clone() };
        // SAFETY: as above.
        unsafe { output("solution", solution, Box::into_raw(Box::new(made))) }
    })
}

/// The same, in no more than so many steps, so that a rig that is hard to refuse takes no longer than one may wait.
///
/// A step solves the linear equations of the rig once, so that its time grows with the size of the rig; what else is done
/// takes no longer than a few of them. A rig that stands takes some ten steps, one that runs over rough turns some
/// hundred; to refuse one may take thousands. When they are spent: `RMECH_ERR_BUDGET`, which decides nothing. An answer, or
/// any other refusal, is the one of `rmech_rig_solve`, bit by bit.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_rig_solve_within(
    rig: *const rmech_rig,
    steps: u32,
    solution: *mut *mut rmech_rig_solution,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let rig = unsafe { handle("rig", rig)? };
        writable("solution", solution)?;
        let found = rig.rig.solve_within(steps)?;
        let made = rmech_rig_solution { solution: found, ids: rig.ids.clone() };
        // SAFETY: as above.
        unsafe { output("solution", solution, Box::into_raw(Box::new(made))) }
    })
}

/// The two ends of what friction may hold at the turns of ropes at rest: as they stand after hauling, and after
/// lowering. Destroy both with `rmech_rig_solution_destroy`.
///
/// Assumed: all ropes at rest came to rest from the same motion; mixtures give tensions between, or near, these. A rig that
/// friction alone keeps at rest is refused: no motion of its rope holds it. `rmech_rig_solve_band_within` stops in time.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_rig_solve_band(
    rig: *const rmech_rig,
    hauled: *mut *mut rmech_rig_solution,
    lowered: *mut *mut rmech_rig_solution,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let rig = unsafe { handle("rig", rig)? };
        writable("hauled", hauled)?;
        writable("lowered", lowered)?;
        // SAFETY: as above; both were found writable.
        unsafe { hand_out(rig, rig.rig.solve_band()?, hauled, lowered) }
    })
}

/// The same in no more than so many steps for each of the two, as `rmech_rig_solve_within` counts them. When they are
/// spent: `RMECH_ERR_BUDGET`, which decides nothing. An answer, or any other refusal, is the one of
/// `rmech_rig_solve_band`, bit by bit.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_rig_solve_band_within(
    rig: *const rmech_rig,
    steps: u32,
    hauled: *mut *mut rmech_rig_solution,
    lowered: *mut *mut rmech_rig_solution,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let rig = unsafe { handle("rig", rig)? };
        writable("hauled", hauled)?;
        writable("lowered", lowered)?;
        // SAFETY: as above; both were found writable.
        unsafe { hand_out(rig, rig.rig.solve_band_within(steps)?, hauled, lowered) }
    })
}

/// # Safety
/// Both pointers may be written.
unsafe fn hand_out(
    rig: &rmech_rig,
    band: AtRest,
    hauled: *mut *mut rmech_rig_solution,
    lowered: *mut *mut rmech_rig_solution,
) -> Result<(), Failure> {
    for (to, name, solution) in [(hauled, "hauled", band.hauled), (lowered, "lowered", band.lowered)] {
        let made = rmech_rig_solution { solution, ids: rig.ids.clone() };
        // SAFETY: as above.
        unsafe { output(name, to, Box::into_raw(Box::new(made)))? };
    }
    Ok(())
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
        let id = of.ids.point(id, "id")?;
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
        let id = of.ids.rope(id)?;
        let (Some(p), Some(sag)) = (of.solution.part(id, number)?, of.solution.sag(id, number)?) else {
            return Err(no_part(number));
        };
        let value = rmech_rig_part {
            from: of.ids.point_for_c(p.from),
            to: of.ids.point_for_c(p.to),
            share: p.share.into(),
            chord: p.chord.into(),
            strain: p.strain.into(),
            tension_first: p.tension_first.into(),
            tension_last: p.tension_last.into(),
            pull_first: p.pull_first.into(),
            pull_last: p.pull_last.into(),
            sag: sag.into(),
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
        let s = of.solution.sheave(of.ids.sheave(id, number)?)?;
        let value = rmech_rig_sheave {
            point: of.ids.point_for_c(s.point),
            turn: s.turn.into(),
            interior: s.interior.into(),
            tension_before: s.tension_before.into(),
            tension_after: s.tension_after.into(),
            force: s.force.into(),
        };
        // SAFETY: as above.
        unsafe { output("sheave", sheave, value) }
    })
}

/// The unstretched length of a rope of a solution: as given, or as its set tension makes it.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_rig_solution_length(
    solution: *const rmech_rig_solution,
    id: *const rmech_rig_rope_id,
    length: *mut rmech_length,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let (of, id) = unsafe { (handle("solution", solution)?, input("id", id)?) };
        let found = of.solution.length(of.ids.rope(id)?)?;
        // SAFETY: as above.
        unsafe { output("length", length, found.into()) }
    })
}
