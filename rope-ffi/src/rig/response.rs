//! How a solved rig answers to a small change of one input, by an opaque handle.
//!
//! ```text
//! K*dx = df: the solved rig, linearised; exact to first order in the change. Where a part is slack, or a rope at rest over a
//! rough turn starts to move, the answer holds for one side only.
//! ```
//!
//! ```c
//! // solution, first: as in the topic above
//! rmech_rig_change change = RMECH_INIT(rmech_rig_change);
//! rmech_rig_response *response = NULL;
//! rmech_rig_point_response moved;
//! change.kind = RMECH_CHANGE_LENGTH;
//! change.rope = first;
//! change.length = rmech_mm(10.0); // more of it
//! int32_t status = rmech_rig_respond(solution, &change, &response, &error);
//! if (status == RMECH_OK) status = rmech_rig_response_point(response, &load, &moved, &error);
//! if (status == RMECH_OK) printf("%.1f mm\n", rmech_in_mm(moved.moves.z)); // -11.6 mm
//! rmech_rig_response_destroy(response);
//! ```

use crate::call::{call, growing, input, output, versions, writable};
use crate::error::{Failure, Named, rmech_error};
use crate::quantity::{
    rmech_angle, rmech_force, rmech_force3, rmech_length, rmech_line_weight, rmech_point, rmech_ratio,
};
use crate::rig::{Ids, handle, no_part, rmech_rig_point_id, rmech_rig_rope_id, rmech_rig_solution};
use rope_mechanics::rig::{Change, Response, ResponseRecord, RigError};

/// More rope at the last end of a rope of given length: `length`.
pub const RMECH_CHANGE_LENGTH: i32 = 1;
/// More tension where it is set, all strands together: `force.x`.
pub const RMECH_CHANGE_TENSION: i32 = 2;
/// The whole curve T = a*strain + b*strain^2 raised by this part: `ratio`.
pub const RMECH_CHANGE_STIFFNESS: i32 = 3;
/// More of a alone, of one strand: `force.x`.
pub const RMECH_CHANGE_STRETCH_A: i32 = 4;
/// More of b alone, of one strand: `force.x`.
pub const RMECH_CHANGE_STRETCH_B: i32 = 5;
/// A heavier rope, all strands together; it must have weight already: `line_weight`.
pub const RMECH_CHANGE_WEIGHT: i32 = 6;
/// A sheave that passes more over half a turn: `ratio`, at turn `number` of the rope.
pub const RMECH_CHANGE_EFFICIENCY: i32 = 7;
/// A rougher bar, raising: `ratio`, at turn `number` of the rope.
pub const RMECH_CHANGE_FRICTION_RAISING: i32 = 8;
/// A rougher bar, lowering: `ratio`, at turn `number` of the rope.
pub const RMECH_CHANGE_FRICTION_LOWERING: i32 = 9;
/// A force added on a point that moves: `force`.
pub const RMECH_CHANGE_LOAD: i32 = 10;
/// A fixed point moved: `place`.
pub const RMECH_CHANGE_PLACE: i32 = 11;
/// The plane, line or ground of a point moved: `place`.
pub const RMECH_CHANGE_THROUGH: i32 = 12;
/// The unit vector of the plane, line or ground of a point changed: `tilt`.
pub const RMECH_CHANGE_TILT: i32 = 13;

/// A small change of one input. What its kind doesn't name is not read.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_rig_change {
    /// sizeof(rmech_rig_change); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// None yet: 0.
    pub flags: u32,
    /// One of `RMECH_CHANGE_...`.
    pub kind: i32,
    /// A turn of the rope, counted from 0 at its first end.
    pub number: u32,
    /// The rope that changes.
    pub rope: rmech_rig_rope_id,
    /// The point that changes.
    pub point: rmech_rig_point_id,
    /// A change of a length.
    pub length: rmech_length,
    /// A change of a force.
    pub force: rmech_force3,
    /// A change of a place: x, y, z.
    pub place: rmech_point,
    /// A change of a plain number.
    pub ratio: rmech_ratio,
    /// A change of a weight per metre.
    pub line_weight: rmech_line_weight,
    /// A change of a unit vector: x, y, z.
    pub tilt: [rmech_ratio; 3],
}

versions!(rmech_rig_change: 128);

/// What a small change does to every output of a solution, to first order.
#[derive(Debug)]
pub struct rmech_rig_response {
    response: Response,
    ids: Ids,
    rig: rope_mechanics::rig::Rig,
}

impl rmech_rig_response {
    pub(crate) fn record(&self) -> Result<ResponseRecord, RigError> {
        self.response.record(&self.rig)
    }
}

/// How a point answers.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_rig_point_response {
    /// How far it moves.
    pub moves: rmech_point,
    /// More force of all ropes on it.
    pub rope_force: rmech_force3,
    /// More reaction of what holds it.
    pub reaction: rmech_force3,
}

/// How a part of a rope answers.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_rig_part_response {
    /// More unstretched length in it.
    pub share: rmech_length,
    /// More distance of its ends.
    pub chord: rmech_length,
    /// More strain where it is largest.
    pub strain: rmech_ratio,
    /// More tension where it starts.
    pub tension_first: rmech_force,
    /// More tension where it ends.
    pub tension_last: rmech_force,
    /// More force on the point where it starts.
    pub pull_first: rmech_force3,
    /// More force on the point where it ends.
    pub pull_last: rmech_force3,
    /// More sag.
    pub sag: rmech_length,
}

/// How a turn of a rope answers.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_rig_sheave_response {
    /// More turn.
    pub turn: rmech_angle,
    /// More of the angle between its two parts.
    pub interior: rmech_angle,
    /// More tension of the part before.
    pub tension_before: rmech_force,
    /// More tension of the part after.
    pub tension_after: rmech_force,
    /// More force of the rope on the sheave.
    pub force: rmech_force3,
}

fn change(ids: &Ids, c: &rmech_rig_change) -> Result<Change, Failure> {
    let rope = || ids.rope(c.rope);
    let point = || ids.point(c.point, "point");
    let sheave = || ids.sheave(c.rope, c.number as usize);
    let force = c.force.get();
    Ok(match c.kind {
        RMECH_CHANGE_LENGTH => Change::Length(rope()?, c.length.get()),
        RMECH_CHANGE_TENSION => Change::Tension(rope()?, force.x),
        RMECH_CHANGE_STIFFNESS => Change::Stiffness(rope()?, c.ratio.get()),
        RMECH_CHANGE_STRETCH_A => Change::StretchA(rope()?, force.x),
        RMECH_CHANGE_STRETCH_B => Change::StretchB(rope()?, force.x),
        RMECH_CHANGE_WEIGHT => Change::Weight(rope()?, c.line_weight.get()),
        RMECH_CHANGE_EFFICIENCY => Change::Efficiency(sheave()?, c.ratio.get()),
        RMECH_CHANGE_FRICTION_RAISING => Change::FrictionRaising(sheave()?, c.ratio.get()),
        RMECH_CHANGE_FRICTION_LOWERING => Change::FrictionLowering(sheave()?, c.ratio.get()),
        RMECH_CHANGE_LOAD => Change::Load(point()?, force),
        RMECH_CHANGE_PLACE => Change::Place(point()?, c.place.get()),
        RMECH_CHANGE_THROUGH => Change::Through(point()?, c.place.get()),
        RMECH_CHANGE_TILT => Change::Tilt(point()?, c.tilt.map(|x| x.get())),
        kind => return Err(Failure::unknown("kind", kind, "one of RMECH_CHANGE_...")),
    })
}

/// What a small change of one input does to every output. Destroy the response with `rmech_rig_response_destroy`.
///
/// What is assumed: at the top of this topic in rope_mechanics.h.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_rig_respond(
    solution: *const rmech_rig_solution,
    by: *const rmech_rig_change,
    response: *mut *mut rmech_rig_response,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (of, by) = unsafe { (handle("solution", solution)?, growing("by", by)?) };
        writable("response", response)?;
        crate::call::no_flags(by.flags)?;
        let found = of
            .solution
            .response(change(&of.ids, &by)?)
            .named("length_change", "length")
            .named("tension_change", "force.x")
            .named("stretch_a_change", "force.x")
            .named("stretch_b_change", "force.x")
            .named("stiffness_change", "ratio")
            .named("loss_change", "ratio")
            .named("weight_change", "line_weight")
            .point("load_change", "force", &by.force)
            .point("place_change", "place", &by.place)
            .listed("tilt", "tilt", "", by.tilt.iter().map(|axis| axis.fraction))?;
        let made =
            rmech_rig_response { response: found, ids: of.ids.clone(), rig: of.solution.rig().clone() };
        // SAFETY: as above.
        unsafe { output("response", response, Box::into_raw(Box::new(made))) }
    })
}

/// Destroys a response; NULL is fine.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_rig_response_destroy(response: *mut rmech_rig_response) {
    if !response.is_null() {
        // SAFETY: made by rmech_rig_respond and not destroyed before.
        drop(unsafe { Box::from_raw(response) });
    }
}

/// How a point answers.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_rig_response_point(
    response: *const rmech_rig_response,
    id: *const rmech_rig_point_id,
    point: *mut rmech_rig_point_response,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let (of, id) = unsafe { (handle("response", response)?, input("id", id)?) };
        let id = of.ids.point(id, "id")?;
        let value = rmech_rig_point_response {
            moves: of.response.position(id)?.into(),
            rope_force: of.response.rope_force(id)?.into(),
            reaction: of.response.reaction(id)?.into(),
        };
        // SAFETY: as above.
        unsafe { output("point", point, value) }
    })
}

/// How part `number` of a rope answers, counted from 0 at its first end.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_rig_response_part(
    response: *const rmech_rig_response,
    id: *const rmech_rig_rope_id,
    number: usize,
    part: *mut rmech_rig_part_response,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let (of, id) = unsafe { (handle("response", response)?, input("id", id)?) };
        let p = of.response.part(of.ids.rope(id)?, number)?.ok_or_else(|| no_part(number))?;
        let value = rmech_rig_part_response {
            share: p.share.into(),
            chord: p.chord.into(),
            strain: p.strain.into(),
            tension_first: p.tension_first.into(),
            tension_last: p.tension_last.into(),
            pull_first: p.pull_first.into(),
            pull_last: p.pull_last.into(),
            sag: p.sag.into(),
        };
        // SAFETY: as above.
        unsafe { output("part", part, value) }
    })
}

/// How turn `number` of a rope answers, counted from 0 at its first end.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_rig_response_sheave(
    response: *const rmech_rig_response,
    id: *const rmech_rig_rope_id,
    number: usize,
    sheave: *mut rmech_rig_sheave_response,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let (of, id) = unsafe { (handle("response", response)?, input("id", id)?) };
        let s = of.response.sheave(of.ids.sheave(id, number)?)?;
        let value = rmech_rig_sheave_response {
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

/// More unstretched length of a rope.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_rig_response_length(
    response: *const rmech_rig_response,
    id: *const rmech_rig_rope_id,
    length: *mut rmech_length,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let (of, id) = unsafe { (handle("response", response)?, input("id", id)?) };
        let found = of.response.length(of.ids.rope(id)?)?;
        // SAFETY: as above.
        unsafe { output("length", length, found.into()) }
    })
}
