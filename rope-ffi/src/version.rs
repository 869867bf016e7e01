//! Which version of the header a program was compiled with, and which library it runs with.
//!
//! ```c
//! int32_t status = RMECH_CHECK_VERSION(&error); // once, first
//! printf("%s\n", status == RMECH_OK ? "header and library go together" : error.message); // header and library go together
//! ```

use crate::call::call;
use crate::error::{Failure, RMECH_ERR_VERSION, rmech_error};
use core::ffi::c_char;

/// The version of this header: 1 in 1.2.3.
pub const RMECH_VERSION_MAJOR: u32 = 0;
/// The version of this header: 2 in 1.2.3.
pub const RMECH_VERSION_MINOR: u32 = 1;
/// The version of this header: 3 in 1.2.3.
pub const RMECH_VERSION_PATCH: u32 = 0;
/// The version of the binary interface of this header: raised whenever programs have to be compiled again. The shared
/// library carries it in its name, as in librope_mechanics.so.1.
pub const RMECH_ABI_VERSION: u32 = 1;

/// Whether a part of the package's version is the header's.
const fn is(part: &str, number: u32) -> bool {
    matches!(u32::from_str_radix(part, 10), Ok(n) if n == number)
}

const _: () = {
    assert!(is(env!("CARGO_PKG_VERSION_MAJOR"), RMECH_VERSION_MAJOR));
    assert!(is(env!("CARGO_PKG_VERSION_MINOR"), RMECH_VERSION_MINOR));
    assert!(is(env!("CARGO_PKG_VERSION_PATCH"), RMECH_VERSION_PATCH));
};

/// The version of the library that runs, as in "1.2.3", in static memory.
#[unsafe(no_mangle)]
pub extern "C" fn rmech_version() -> *const c_char {
    const TEXT: &str = concat!(env!("CARGO_PKG_VERSION"), "\0");
    TEXT.as_ptr().cast()
}

/// The binary interface of the library that runs: `RMECH_ABI_VERSION` of the header that belongs to it.
#[unsafe(no_mangle)]
pub extern "C" fn rmech_abi_version() -> u32 {
    RMECH_ABI_VERSION
}

/// Whether the library that runs serves a program that was compiled with a header of these versions. Call it once, first,
/// by `RMECH_CHECK_VERSION(error)` of rope_mechanics_units.h, which passes those of the header.
///
/// It does if the binary interface is the same and the library has at least the header's major and minor version; if
/// not, `RMECH_ERR_VERSION`, and the message names both.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_check_version(
    abi_version: u32,
    major: u32,
    minor: u32,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        if abi_version != RMECH_ABI_VERSION {
            let why = format_args!(
                "the program was compiled for binary interface {abi_version}, but the library has {RMECH_ABI_VERSION}"
            );
            return Err(Failure::of(RMECH_ERR_VERSION, "abi_version", why));
        }
        if (major, minor) > (RMECH_VERSION_MAJOR, RMECH_VERSION_MINOR) {
            let field = if major == RMECH_VERSION_MAJOR { "minor" } else { "major" };
            let why = format_args!(
                "the program was compiled with the header of version {major}.{minor}, but the library is of the older {}",
                env!("CARGO_PKG_VERSION")
            );
            return Err(Failure::of(RMECH_ERR_VERSION, field, why));
        }
        Ok(())
    })
}
