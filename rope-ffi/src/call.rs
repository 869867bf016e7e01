//! How every function is entered and left.
#![allow(dead_code, reason = "one set for all modules")]

use crate::error::{
    Failure, RMECH_ERR_ENUMERATOR, RMECH_ERR_INTERNAL, RMECH_ERR_POINTER, RMECH_ERR_STRUCT_SIZE, RMECH_OK,
    rmech_error,
};

/// Runs a call, catches what unwinds, and writes the detail of a failure.
pub(crate) fn call(error: *mut rmech_error, body: impl FnOnce() -> Result<(), Failure>) -> i32 {
    let outcome = std::panic::catch_unwind(std::panic::AssertUnwindSafe(body)).unwrap_or_else(|_| {
        Err(Failure::new(RMECH_ERR_INTERNAL, "a fault of the library; please report it"))
    });
    match outcome {
        Ok(()) => RMECH_OK,
        Err(failure) => {
            if !error.is_null() && error.is_aligned() {
                // SAFETY: not NULL and aligned; the caller owns it by the contract of the ABI.
                let error = unsafe { &mut *error };
                if error.struct_size as usize == size_of::<rmech_error>() {
                    failure.write_to(error);
                }
            }
            failure.status
        }
    }
}

/// A struct that begins with `struct_size` and may grow: plain data, for which zeros are a value.
///
/// # Safety
/// `repr(C)`, its first field `struct_size: u32`, every bit pattern valid.
pub(crate) unsafe trait Growing: Copy {
    /// The size of its first published version.
    const FIRST_SIZE: usize;
}

fn pointer(name: &str) -> Failure {
    Failure::of(RMECH_ERR_POINTER, name, format_args!("{name} is NULL or not aligned"))
}

fn wrong_size<T: Growing>(name: &str, size: u32) -> Failure {
    let (least, most) = (T::FIRST_SIZE, size_of::<T>());
    Failure::of(
        RMECH_ERR_STRUCT_SIZE,
        name,
        format_args!(
            "{name}.struct_size is {size}, but must be from {least} to {most}: set it with rmech_init"
        ),
    )
}

/// A plain input.
pub(crate) unsafe fn input<T: Copy>(name: &str, at: *const T) -> Result<T, Failure> {
    if at.is_null() || !at.is_aligned() {
        return Err(pointer(name));
    }
    // SAFETY: not NULL and aligned; the caller says that a T stands there.
    Ok(unsafe { *at })
}

/// An array of inputs; NULL is fine for none.
pub(crate) unsafe fn inputs<'a, T: Copy>(name: &str, at: *const T, count: usize) -> Result<&'a [T], Failure> {
    if count == 0 {
        return Ok(&[]);
    }
    if at.is_null() || !at.is_aligned() || count > isize::MAX as usize / size_of::<T>().max(1) {
        return Err(pointer(name));
    }
    // SAFETY: not NULL, aligned and of a possible size; the caller says that `count` of T stand there.
    Ok(unsafe { core::slice::from_raw_parts(at, count) })
}

/// A growing input: what an older caller doesn't know reads as zero.
pub(crate) unsafe fn growing<T: Growing>(name: &str, at: *const T) -> Result<T, Failure> {
    if at.is_null() || !at.is_aligned() {
        return Err(pointer(name));
    }
    // SAFETY: not NULL and aligned; a Growing begins with its size.
    let size = unsafe { at.cast::<u32>().read() };
    if (size as usize) < T::FIRST_SIZE || size as usize > size_of::<T>() {
        return Err(wrong_size::<T>(name, size));
    }
    // SAFETY: zeros are a value of a Growing, and `size` bytes stand at `at`, no more than a T holds.
    unsafe {
        let mut value = core::mem::zeroed::<T>();
        core::ptr::copy_nonoverlapping(at.cast::<u8>(), (&raw mut value).cast::<u8>(), size as usize);
        Ok(value)
    }
}

/// Refuses an output that can't be written, before anything is worked out.
pub(crate) fn writable<T>(name: &str, at: *mut T) -> Result<(), Failure> {
    if at.is_null() || !at.is_aligned() { Err(pointer(name)) } else { Ok(()) }
}

/// Writes a plain output.
pub(crate) unsafe fn output<T: Copy>(name: &str, at: *mut T, value: T) -> Result<(), Failure> {
    writable(name, at)?;
    // SAFETY: not NULL and aligned; the caller says that a T may be written there.
    unsafe { at.write(value) };
    Ok(())
}

/// Writes a growing output: as much of it as the caller knows, its `struct_size` kept.
pub(crate) unsafe fn growing_output<T: Growing>(name: &str, at: *mut T, value: T) -> Result<(), Failure> {
    writable(name, at)?;
    // SAFETY: not NULL and aligned; a Growing begins with its size.
    let size = unsafe { at.cast::<u32>().read() };
    if (size as usize) < T::FIRST_SIZE || size as usize > size_of::<T>() {
        return Err(wrong_size::<T>(name, size));
    }
    // SAFETY: the caller says that `size` bytes may be written there; the size itself is put back.
    unsafe {
        core::ptr::copy_nonoverlapping((&raw const value).cast::<u8>(), at.cast::<u8>(), size as usize);
        at.cast::<u32>().write(size);
    }
    Ok(())
}

/// Refuses a reserved member that isn't zero, so that a later version may give it a meaning. Every struct that is
/// read and has one is checked; the header's test counts them.
pub(crate) fn no_reserved(structure: &str, value: i64) -> Result<(), Failure> {
    if value == 0 {
        Ok(())
    } else {
        let why = format_args!(
            "reserved of rmech_{structure} is {value}, but must be 0: start the struct from zeros before setting its \
             members"
        );
        Err(Failure::of(RMECH_ERR_ENUMERATOR, "reserved", why))
    }
}

/// Refuses flags that this version doesn't know, where it knows none.
pub(crate) fn no_flags(name: &str, flags: u32) -> Result<(), Failure> {
    if flags == 0 {
        Ok(())
    } else {
        Err(Failure::of(RMECH_ERR_ENUMERATOR, name, format_args!("{name}.flags is {flags}, but must be 0")))
    }
}
