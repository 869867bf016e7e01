//! How every function is entered and left.
#![allow(dead_code, reason = "one set for all modules")]

use crate::error::{
    ERROR_SIZE, Failure, RMECH_ERR_ENUMERATOR, RMECH_ERR_POINTER, RMECH_ERR_STRUCT_SIZE, RMECH_OK,
    rmech_error,
};

/// Runs a call, catches what unwinds, and writes the detail of a failure.
pub(crate) fn call(error: *mut rmech_error, body: impl FnOnce() -> Result<(), Failure>) -> i32 {
    if !error.is_null() {
        if !error.is_aligned() {
            return RMECH_ERR_POINTER;
        }
        // SAFETY: not NULL and aligned; the caller owns it by the contract of the ABI.
        let size = unsafe { error.cast::<u32>().read() } as usize;
        // A later header's may be longer: what it has more stays as it is.
        if !(ERROR_SIZE..=MOST_ERROR_SIZE).contains(&size) || !size.is_multiple_of(8) {
            return RMECH_ERR_STRUCT_SIZE;
        }
    }
    match caught(body) {
        Ok(()) => RMECH_OK,
        Err(failure) => {
            if !error.is_null() {
                // SAFETY: not NULL, aligned and large enough, as found above.
                failure.write_to(unsafe { &mut *error });
            }
            failure.status
        }
    }
}

#[cfg(feature = "std")]
fn caught(body: impl FnOnce() -> Result<(), Failure>) -> Result<(), Failure> {
    std::panic::catch_unwind(std::panic::AssertUnwindSafe(body)).unwrap_or_else(|_| {
        Err(Failure::new(crate::error::RMECH_ERR_INTERNAL, "a fault of the library; please report it"))
    })
}

/// Without the standard library nothing can be caught, and nothing panics: see `freestanding.rs`.
#[cfg(not(feature = "std"))]
fn caught(body: impl FnOnce() -> Result<(), Failure>) -> Result<(), Failure> {
    body()
}

/// No error of any version is longer: a larger `struct_size` was never set.
const MOST_ERROR_SIZE: usize = 4096;

/// A struct that begins with `struct_size` and may grow: plain data, for which zeros are a value.
///
/// # Safety
/// `repr(C)`, its first field `struct_size: u32`, every bit pattern valid.
pub(crate) unsafe trait Growing: Copy {
    /// The size of each published version, oldest first. Frozen: a new version is added at the end.
    const SIZES: &'static [usize];
}

/// Declares what a struct measured in each of its published versions, and that the last one is this one.
///
/// Frozen numbers, never `size_of`: a member more changes the size of today's, not of those that callers were
/// compiled with. `WORD` stands for the size of a pointer or count.
macro_rules! versions {
    ($structure:ty: $($size:expr),+) => {
        // SAFETY: repr(C), struct_size first, every bit pattern valid: numbers, and pointers that are only followed
        // as their counts say.
        unsafe impl crate::call::Growing for $structure {
            const SIZES: &'static [usize] = {
                #[allow(unused_imports, reason = "only some have pointers")]
                use crate::call::WORD;
                &[$($size),+]
            };
        }
        const _: () = {
            let sizes = <$structure as crate::call::Growing>::SIZES;
            assert!(matches!(sizes.last(), Some(last) if *last == size_of::<$structure>()));
        };
    };
}
pub(crate) use versions;

/// The size of a pointer or count.
pub(crate) const WORD: usize = size_of::<usize>();

fn pointer(name: &str) -> Failure {
    Failure::of(RMECH_ERR_POINTER, name, format_args!("{name} is NULL or not aligned"))
}

/// The size that a caller gave a growing struct, if it is that of one of its versions.
///
/// # Safety
/// A `T`, of whatever version, stands at `at`, which is not NULL and aligned.
unsafe fn size_of_version<T: Growing>(name: &str, at: *const T) -> Result<usize, Failure> {
    // SAFETY: as above; a Growing begins with its size.
    let size = unsafe { at.cast::<u32>().read() };
    if T::SIZES.contains(&(size as usize)) {
        return Ok(size as usize);
    }
    let why =
        format_args!("{name}.struct_size is {size}, but must be {}: set it with rmech_init", size_of::<T>());
    Err(Failure::of(RMECH_ERR_STRUCT_SIZE, name, why))
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
    // SAFETY: as checked; zeros are a value of a Growing, and `size` bytes stand at `at`, no more than a T holds.
    unsafe {
        let size = size_of_version(name, at)?;
        let mut value = core::mem::zeroed::<T>();
        core::ptr::copy_nonoverlapping(at.cast::<u8>(), (&raw mut value).cast::<u8>(), size);
        Ok(value)
    }
}

/// Refuses an output that can't be written, before anything is computed.
pub(crate) fn writable<T>(name: &str, at: *mut T) -> Result<(), Failure> {
    if at.is_null() || !at.is_aligned() { Err(pointer(name)) } else { Ok(()) }
}

/// Refuses a growing output that can't be written or whose size is of no version, before anything is computed.
pub(crate) unsafe fn writable_growing<T: Growing>(name: &str, at: *mut T) -> Result<(), Failure> {
    writable(name, at)?;
    // SAFETY: not NULL and aligned; the caller says that a T of some version stands there.
    unsafe { size_of_version(name, at) }.map(|_| ())
}

/// Refuses an output that overlaps an array which is still read while the output is written.
pub(crate) fn apart<I, O>(
    (input, of): (&str, &[I]),
    (output, at, count): (&str, *mut O, usize),
) -> Result<(), Failure> {
    let (from, to) = (of.as_ptr() as usize, of.as_ptr() as usize + size_of_val(of));
    let (begin, end) = (at as usize, (at as usize).saturating_add(count.saturating_mul(size_of::<O>())));
    if at.is_null() || from == to || begin == end || end <= from || to <= begin {
        return Ok(());
    }
    let why = format_args!("{output} overlaps {input}, which is read while {output} is written");
    Err(Failure::of(RMECH_ERR_POINTER, output, why))
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
    // SAFETY: the caller says that a T of some version stands there; the size itself is put back.
    unsafe {
        writable_growing(name, at)?;
        let size = size_of_version(name, at)?;
        core::ptr::copy_nonoverlapping((&raw const value).cast::<u8>(), at.cast::<u8>(), size);
        at.cast::<u32>().write(size as u32);
    }
    Ok(())
}

/// Refuses a reserved member that isn't zero, so that a later version may give it a meaning. Every struct that is
/// read and has one is checked; the header's test counts them.
pub(crate) fn no_reserved(structure: &str, value: i64) -> Result<(), Failure> {
    if value == 0 {
        return Ok(());
    }
    let why = format_args!(
        "reserved of rmech_{structure} is {value}, but must be 0: start the struct from zeros before setting its members"
    );
    Err(Failure::of(RMECH_ERR_ENUMERATOR, "reserved", why))
}

/// Refuses flags that this version doesn't know.
pub(crate) fn no_flags(flags: u32) -> Result<(), Failure> {
    if flags == 0 { Ok(()) } else { Err(Failure::unknown("flags", flags, "0, or flags of this struct")) }
}
