//! Rigs, solutions and responses as JSON.
//!
//! ```text
//! {"points": [...], "ropes": [...]}. A key that is unknown is refused; what stands in () is taken where a key is missing.
//! A point: name; at [x, y, z], where it is fixed or its search starts; fixed (false). One that moves: held, as
//!   {"plane": {"through": [x, y, z], "normal": [0, 0, 1]}}, {"ground": the same} or {"line": {"through", "along"}}; weight;
//!   force [x, y, z].
//! A rope: name; from; over ([]), a list of turns; to; length, or tension with tension_at "first" or "last" (hand); hand
//!   ("last"); stretch, which is a; stiffening, which is b (0); mass or weight of a metre of one strand (0); strands (1);
//!   motion "hauling", "lowering" or "at-rest" ("at-rest").
//! A turn: point; efficiency, or friction {"raising": 0.1, "lowering": 0.1} (no loss); wraps (0).
//! Quantities are texts with their unit ("145 ft", "96 %"); directions, friction, strands and wraps plain numbers. What is written
//! can be read again: to the last bit.
//! ```
//!
//! ```c
//! // rig: as above; first how much room it needs, then the text
//! size_t needed = 0;
//! int32_t status = rmech_rig_write_json(rig, NULL, 0, &needed, &error);
//! char *json = malloc(needed);
//! if (status == RMECH_OK && json != NULL) status = rmech_rig_write_json(rig, json, needed, &needed, &error);
//! rmech_rig *twin = NULL;
//! if (status == RMECH_OK) status = rmech_rig_read_json(json, needed - 1, &twin, &error);
//! if (status == RMECH_OK) printf("%s\n", twin != NULL ? "read again" : "?"); // read again
//! rmech_rig_destroy(twin);
//! free(json);
//! ```

use crate::call::{call, inputs, output, writable};
use crate::error::{Failure, RMECH_ERR_CAPACITY, RMECH_ERR_POINTER, RMECH_ERR_TEXT, rmech_error};
use crate::rig::response::rmech_rig_response;
use crate::rig::{boxed, handle, printable, rmech_rig, rmech_rig_solution};
use core::ffi::c_char;
use rope_mechanics::rig::RigSpec;
use serde::de::DeserializeOwned;

/// Reads JSON in UTF-8, with or without a byte order mark. An error names the path of what can't be read; "." is `whole`.
pub(crate) fn read<T: DeserializeOwned>(
    whole: &str,
    json: &[u8],
    failure: impl FnOnce(&str, &serde_json::Error) -> Failure,
) -> Result<T, Failure> {
    let mut json = serde_json::Deserializer::from_slice(json.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(json));
    let value = serde_path_to_error::deserialize(&mut json).map_err(|why| {
        let path = why.path().to_string();
        // A text that ends too soon has no path.
        failure(if path == "?" { "." } else { &path }, why.inner())
    })?;
    json.end().map_err(|why| Failure::of(RMECH_ERR_TEXT, whole, why))?;
    Ok(value)
}

unsafe fn write(
    text: Result<String, serde_json::Error>,
    json: *mut c_char,
    capacity: usize,
    needed: *mut usize,
) -> Result<(), Failure> {
    writable("needed", needed)?;
    if capacity > 0 {
        writable("json", json)?;
    }
    let text = text.map_err(|why| Failure::of(RMECH_ERR_TEXT, "json", why))?;
    let size = text.len() + 1;
    // SAFETY: `needed` is writable by the contract of the ABI.
    unsafe { output("needed", needed, size)? };
    if capacity == 0 {
        return Ok(());
    }
    if capacity < size {
        let message = format_args!("capacity is {capacity} bytes, but must be at least {size}");
        return Err(Failure::of(RMECH_ERR_CAPACITY, "capacity", message));
    }
    // SAFETY: `json` takes `capacity` bytes by the contract of the ABI, and `size` is at most that.
    unsafe {
        core::ptr::copy_nonoverlapping(text.as_ptr(), json.cast::<u8>(), text.len());
        json.add(text.len()).write(0);
    }
    Ok(())
}

/// Makes a rig from JSON in UTF-8 of `bytes` bytes. Destroy it with `rmech_rig_destroy`; find its points and ropes by
/// their names.
///
/// The keys: at the top of this topic in rope_mechanics.h.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_rig_read_json(
    json: *const c_char,
    bytes: usize,
    rig: *mut *mut rmech_rig,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        writable("rig", rig)?;
        if json.is_null() {
            return Err(Failure::of(RMECH_ERR_POINTER, "json", "json is NULL"));
        }
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here: `bytes` bytes stand there.
        let text = unsafe { inputs("json", json.cast::<u8>(), bytes)? };
        let spec: RigSpec = read("json", text, |path, why| {
            Failure::of(RMECH_ERR_TEXT, if path == "." { "json" } else { path }, why)
        })?;
        for (index, point) in spec.points.iter().enumerate() {
            printable(format_args!("points[{index}].name"), &point.name)?;
        }
        for (index, rope) in spec.ropes.iter().enumerate() {
            printable(format_args!("ropes[{index}].name"), &rope.name)?;
        }
        let made = spec.build()?;
        // SAFETY: as above.
        unsafe { output("rig", rig, boxed(made)) }
    })
}

/// A rig that `rmech_rig_read_json` makes again: JSON in UTF-8, NUL-terminated.
///
/// `needed` always takes the number of bytes that it needs, its NUL included. With `capacity` 0 (`json` may then be
/// NULL) that is all: the size query, which returns `RMECH_OK`. A buffer that is too small gives
/// `RMECH_ERR_CAPACITY`, with `needed` written and `json` untouched.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_rig_write_json(
    rig: *const rmech_rig,
    json: *mut c_char,
    capacity: usize,
    needed: *mut usize,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let of = unsafe { handle("rig", rig)? };
        // SAFETY: as above.
        unsafe { write(serde_json::to_string(&of.rig.spec()), json, capacity, needed) }
    })
}

/// Everything that a solution says, with names: JSON in UTF-8, NUL-terminated.
///
/// `needed`, `capacity` and a buffer that is too small: as of `rmech_rig_write_json`.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_rig_solution_write_json(
    solution: *const rmech_rig_solution,
    json: *mut c_char,
    capacity: usize,
    needed: *mut usize,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let of = unsafe { handle("solution", solution)? };
        // SAFETY: as above.
        unsafe { write(serde_json::to_string(&of.solution.record()), json, capacity, needed) }
    })
}

/// Everything that a response says, with names: JSON in UTF-8, NUL-terminated.
///
/// `needed`, `capacity` and a buffer that is too small: as of `rmech_rig_write_json`.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_rig_response_write_json(
    response: *const rmech_rig_response,
    json: *mut c_char,
    capacity: usize,
    needed: *mut usize,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let of = unsafe { handle("response", response)? };
        // SAFETY: as above.
        unsafe { write(serde_json::to_string(&of.record()?), json, capacity, needed) }
    })
}
