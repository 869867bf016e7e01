//! The whole operation: a site as JSON in, its study as JSON out.

use crate::call::{call, inputs, output, writable};
use crate::error::{
    Failure, RMECH_ERR_CAPACITY, RMECH_ERR_GEOMETRY, RMECH_ERR_POINTER, RMECH_ERR_TEXT, rmech_error,
};
use crate::rig::text::read;
use core::ffi::c_char;
use rope_mechanics::operation::{
    self,
    site::{self, Site},
};

/// Studies a site. Both are JSON in UTF-8: the site with the keys of a site file, the study as `study.json` holds
/// it, NUL-terminated.
///
/// `needed` always takes the number of bytes that the study needs, its NUL included. With `capacity` 0 (`study`
/// may then be NULL) that is all: the size query, which returns `RMECH_OK`. A buffer that is too small gives
/// `RMECH_ERR_CAPACITY`, with `needed` written and `study` untouched. The same site gives the same bytes.
///
/// A key that is unknown or unreadable gives `RMECH_ERR_TEXT`; one that makes the rig impossible,
/// `RMECH_ERR_GEOMETRY`: `error->field` names it, as in `track.rope.mass` or `ground[3]`. A missing key gives
/// `RMECH_ERR_TEXT`, too, and the message says what the key holds; one that the whole site lacks, as `ground`, is named
/// in the message, with "site" as `error->field`.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_operation_study(
    site: *const c_char,
    site_bytes: usize,
    study: *mut c_char,
    capacity: usize,
    needed: *mut usize,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        writable("needed", needed)?;
        if capacity > 0 {
            writable("study", study)?;
        }
        if site.is_null() {
            return Err(Failure::of(RMECH_ERR_POINTER, "site", "site is NULL"));
        }
        // SAFETY: the caller keeps the contract of the ABI: `site_bytes` bytes stand there.
        let text = unsafe { inputs("site", site.cast::<u8>(), site_bytes)? };
        let site: Site = read("site", text, |path, why| {
            let said = site::unreadable(path, why);
            Failure::of(RMECH_ERR_TEXT, &said.key, said.problem)
        })?;
        let found =
            operation::solve(&site).map_err(|why| Failure::of(RMECH_ERR_GEOMETRY, &why.key, &why.problem))?;
        let found = serde_json::to_string(&found).map_err(|why| Failure::of(RMECH_ERR_TEXT, "study", why))?;
        let size = found.len() + 1;
        // SAFETY: `needed` is writable, and `study` takes `capacity` bytes by the contract of the ABI.
        unsafe { output("needed", needed, size)? };
        if capacity == 0 {
            return Ok(());
        }
        if capacity < size {
            return Err(Failure::of(
                RMECH_ERR_CAPACITY,
                "capacity",
                format_args!("capacity is {capacity} bytes, but must be at least {size}"),
            ));
        }
        // SAFETY: as above; `size` is at most `capacity`.
        unsafe {
            core::ptr::copy_nonoverlapping(found.as_ptr(), study.cast::<u8>(), found.len());
            study.add(found.len()).write(0);
        }
        Ok(())
    })
}
