//! Statuses, and the detail of a failure.
//!
//! ```c
//! rmech_line line = RMECH_INIT(rmech_line); // zeros, and its size
//! rmech_line_state state = RMECH_INIT(rmech_line_state);
//! line.length = rmech_m(20.0); // and no stiffness
//! if (rmech_line_solve(&line, &state, &error) != RMECH_OK)
//!     printf("%s\n", error.message); // stretch.a is 0 N, but must be above 0 N
//! ```

use core::ffi::{c_char, c_void};
use core::fmt::{self, Write};
use rope_mechanics::error::{Allowed, InputError};

/// Fine: the outputs are written.
pub const RMECH_OK: i32 = 0;

// 1–99: an argument.
/// A pointer that must not be NULL is NULL, or is not aligned for its type.
pub const RMECH_ERR_POINTER: i32 = 1;
/// A `struct_size` is smaller than any version of the struct, or larger than this version knows.
pub const RMECH_ERR_STRUCT_SIZE: i32 = 2;
/// A value is NaN, infinite, of the wrong sign or outside its range. The detail names it.
pub const RMECH_ERR_VALUE: i32 = 3;
/// An enumerator or a flag that this version doesn't know.
pub const RMECH_ERR_ENUMERATOR: i32 = 4;
/// A text that isn't UTF-8, or can't be read as what it should be.
pub const RMECH_ERR_TEXT: i32 = 5;
/// The header that the program was compiled with is not one that this library serves: `rmech_check_version`.
pub const RMECH_ERR_VERSION: i32 = 6;

// 100–199: the geometry or the load allows no equilibrium.
/// No equilibrium exists for these inputs. The message says which of them makes it impossible.
pub const RMECH_ERR_GEOMETRY: i32 = 100;

// 200–299: a solver.
/// A solver did not reach its promised residual.
pub const RMECH_ERR_UNSOLVED: i32 = 200;
/// The steps or positions that the caller allows are spent, and nothing is decided.
pub const RMECH_ERR_BUDGET: i32 = 201;
/// The caller said to stop.
pub const RMECH_ERR_CANCELLED: i32 = 202;

// 300–399: capacity.
/// A caller's buffer is too small. The size query says what is needed.
pub const RMECH_ERR_CAPACITY: i32 = 300;

// 900–999: the library.
/// A fault of the library itself, caught at its boundary. Please report it.
pub const RMECH_ERR_INTERNAL: i32 = 900;

/// The detail of a failure, owned by the caller.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_error {
    /// sizeof(rmech_error); set it with `rmech_init` or `RMECH_INIT`. A longer one, of a later header, is served: what it
    /// has more stays as it is. A shorter one, one above 4096, and an error that is not aligned, is refused by every
    /// function before it does anything: with nowhere to tell more, by the status alone.
    pub struct_size: u32,
    /// The status returned.
    pub status: i32,
    /// The value at fault, in SI, where the fault is one number outside its range. Zero for every other fault, as an
    /// enumerator, a text, a pointer or an equilibrium that does not exist: `field` and `message` say which.
    pub value: f64,
    /// Lower end of the allowed values, in SI; minus infinity if there is none. Only the message says whether the end
    /// itself is allowed: "above 0 m" or "at least 0 m".
    pub lowest: f64,
    /// Upper end of the allowed values, in SI; infinity if there is none. As for `lowest`: "below" or "at most".
    pub highest: f64,
    /// The input at fault, NUL-terminated; empty if none is. A member of a struct is named by its path from the
    /// struct on, as in "span" or "stretch.a"; an element of an array by the name of the array and its index,
    /// as in "legs[2].foot.x"; a quantity, point or direction that is a parameter by the name of the parameter. For a
    /// rig it may be the name of a point or rope.
    pub field: [c_char; 64],
    /// A sentence with the value and what is allowed, NUL-terminated, in UTF-8.
    pub message: [c_char; 256],
}

// A later header may declare a longer one: the members above keep their places.
const _: () = assert!(size_of::<rmech_error>() == ERROR_SIZE);

/// The size of the first published version of `rmech_error`.
pub(crate) const ERROR_SIZE: usize = 352;

/// The name of an input, as the header has it.
#[derive(Clone, Copy)]
struct Path {
    text: [u8; 64],
    length: usize,
}

impl Path {
    fn of(value: impl fmt::Display) -> Self {
        let mut path = Self { text: [0; 64], length: 0 };
        // An error only says that the path was cut.
        let _ = write!(path, "{value}");
        path
    }

    fn as_str(&self) -> &str {
        core::str::from_utf8(self.text.get(..self.length).unwrap_or_default()).unwrap_or_default()
    }
}

impl Write for Path {
    fn write_str(&mut self, s: &str) -> fmt::Result {
        for c in s.chars() {
            let mut utf8 = [0; 4];
            let encoded = c.encode_utf8(&mut utf8).as_bytes();
            let end = self.length + encoded.len();
            // One byte stays for the NUL.
            let Some(room) = self.text.get_mut(self.length..end).filter(|_| end < 64) else {
                return Err(fmt::Error);
            };
            room.iter_mut().zip(encoded).for_each(|(slot, byte)| *slot = *byte);
            self.length = end;
        }
        Ok(())
    }
}

/// What is at fault. The name of the input is only known when all of its path is.
enum Fault {
    /// A number.
    Input(InputError),
    /// An enumerator, or flags, and what would be allowed.
    Unknown(i64, &'static str),
    /// Anything else, in words.
    Text([c_char; 256]),
}

/// A failure on its way out.
pub(crate) struct Failure {
    pub(crate) status: i32,
    path: Path,
    fault: Fault,
}

impl Failure {
    /// A failure that names no input.
    #[cold]
    pub(crate) fn new(status: i32, message: impl fmt::Display) -> Self {
        Self { status, path: Path::of(""), fault: Fault::Text(sentence(status, message)) }
    }

    /// A failure that names an input.
    #[cold]
    pub(crate) fn of(status: i32, field: impl fmt::Display, message: impl fmt::Display) -> Self {
        Self { status, path: Path::of(field), fault: Fault::Text(sentence(status, message)) }
    }

    /// An enumerator, or flags, that this version doesn't know. `allowed` ends the sentence "but must be …".
    #[cold]
    pub(crate) fn unknown(field: &str, value: impl Into<i64>, allowed: &'static str) -> Self {
        let fault = Fault::Unknown(value.into(), allowed);
        Self { status: RMECH_ERR_ENUMERATOR, path: Path::of(field), fault }
    }

    /// The same failure of an input inside that member.
    #[cold]
    pub(crate) fn inside(self, member: impl fmt::Display) -> Self {
        let inner = self.path.as_str();
        // An index, or the whole member.
        let dot = if inner.is_empty() || inner.starts_with('[') { "" } else { "." };
        Self { path: Path::of(format_args!("{member}{dot}{inner}")), ..self }
    }

    /// The same failure of the input at that path.
    #[cfg(feature = "std")]
    pub(crate) fn at(self, path: impl fmt::Display) -> Self {
        Self { path: Path::of(path), ..self }
    }

    /// The value at fault, if the core calls the input by this name.
    fn value_of(&self, core: &str) -> Option<f64> {
        match self.fault {
            Fault::Input(why) if self.path.as_str() == core => Some(why.value),
            _ => None,
        }
    }

    /// Writes the detail into an error of at least its first size.
    pub(crate) fn write_to(&self, error: &mut rmech_error) {
        let (mut value, mut lowest, mut highest) = (0.0, f64::NEG_INFINITY, f64::INFINITY);
        let field = self.path.as_str();
        let message = match &self.fault {
            Fault::Input(why) => {
                value = why.value;
                (lowest, highest) = match why.allowed {
                    Allowed::Above(x) | Allowed::AtLeast(x) => (x, f64::INFINITY),
                    Allowed::Below(x) | Allowed::AtMost(x) => (f64::NEG_INFINITY, x),
                    Allowed::Within(lo, hi) => (lo, hi),
                    Allowed::ZeroOrAtLeast(_) => (0.0, f64::INFINITY),
                    _ => (f64::NEG_INFINITY, f64::INFINITY),
                };
                sentence(self.status, why.called(field))
            }
            Fault::Unknown(value, allowed) => {
                sentence(self.status, format_args!("{field} is {value}, but must be {allowed}"))
            }
            Fault::Text(message) => *message,
        };
        let struct_size = error.struct_size;
        *error = rmech_error {
            struct_size,
            status: self.status,
            value,
            lowest,
            highest,
            field: text(field),
            message,
        };
    }
}

impl From<InputError> for Failure {
    #[cold]
    fn from(why: InputError) -> Self {
        Self { status: RMECH_ERR_VALUE, path: Path::of(why.field), fault: Fault::Input(why) }
    }
}

/// The coordinates of a point, force or direction, with the names of its members.
pub(crate) trait Coordinates {
    fn coordinates(&self) -> impl Iterator<Item = (&'static str, f64)>;
}

/// What the core calls an input becomes what the header calls it, where C's struct is converted.
pub(crate) trait Named<T>: Sized {
    /// Passes a failure through this.
    fn blame(self, rename: impl FnOnce(Failure) -> Failure) -> Result<T, Failure>;

    /// The input that the core calls `core` is the member or parameter `c`.
    fn named(self, core: &str, c: &str) -> Result<T, Failure> {
        self.blame(|why| if why.path.as_str() == core { Failure { path: Path::of(c), ..why } } else { why })
    }

    /// The point that the core calls `core` is the member or parameter `c`: its coordinate at fault.
    fn point(self, core: &str, c: &str, given: &impl Coordinates) -> Result<T, Failure> {
        self.blame(|why| {
            let Some(value) = why.value_of(core) else { return why };
            let found = given.coordinates().find(|(_, at)| at.to_bits() == value.to_bits());
            let path = found.map_or(Path::of(c), |(axis, _)| Path::of(format_args!("{c}.{axis}")));
            Failure { path, ..why }
        })
    }

    /// The number that the core calls `core` is `member` of an element of `list`: of the first with that value, if any
    /// has it.
    fn listed(
        self,
        core: &str,
        list: &str,
        member: &str,
        mut values: impl Iterator<Item = f64>,
    ) -> Result<T, Failure> {
        self.blame(|why| {
            let Some(value) = why.value_of(core) else { return why };
            let place = values.position(|at| at.to_bits() == value.to_bits());
            let path = match place {
                Some(index) if member.is_empty() => Path::of(format_args!("{list}[{index}]")),
                Some(index) => Path::of(format_args!("{list}[{index}].{member}")),
                None => return why,
            };
            Failure { path, ..why }
        })
    }

    /// The input stands inside this member.
    fn inside(self, member: &str) -> Result<T, Failure> {
        self.blame(|why| why.inside(member))
    }

    /// The input stands inside this element of a list.
    fn item(self, list: &str, index: usize) -> Result<T, Failure> {
        self.blame(|why| why.inside(format_args!("{list}[{index}]")))
    }
}

impl<T, E: Into<Failure>> Named<T> for Result<T, E> {
    #[inline]
    fn blame(self, rename: impl FnOnce(Failure) -> Failure) -> Result<T, Failure> {
        self.map_err(|why| rename(why.into()))
    }
}

/// A message with its numbers.
#[cfg(feature = "std")]
fn sentence(_: i32, message: impl fmt::Display) -> [c_char; 256] {
    text(message)
}

/// A controller gets the sentence of the status: writing numbers takes more code than all of the mechanics, and can
/// panic. The numbers stand in the error.
#[cfg(not(feature = "std"))]
fn sentence(status: i32, _: impl fmt::Display) -> [c_char; 256] {
    text(of_status(status).to_str().unwrap_or_default())
}

/// The text, cut at a character boundary to fit with its NUL.
pub(crate) fn text<const N: usize>(value: impl fmt::Display) -> [c_char; N] {
    struct Cut<const N: usize> {
        bytes: [c_char; N],
        used: usize,
    }
    impl<const N: usize> Write for Cut<N> {
        fn write_str(&mut self, s: &str) -> fmt::Result {
            for c in s.chars() {
                let mut utf8 = [0; 4];
                let encoded = c.encode_utf8(&mut utf8).as_bytes();
                let Some(room) = self.bytes.get_mut(self.used..self.used + encoded.len() + 1) else {
                    return Err(fmt::Error);
                };
                for (slot, byte) in room.iter_mut().zip(encoded) {
                    *slot = *byte as c_char;
                }
                self.used += encoded.len();
            }
            Ok(())
        }
    }
    let mut cut = Cut { bytes: [0; N], used: 0 };
    // An error here only says that the text was cut.
    let _ = write!(cut, "{value}");
    cut.bytes
}

/// A sentence for a status, in static memory.
#[unsafe(no_mangle)]
pub extern "C" fn rmech_status_text(status: i32) -> *const c_char {
    of_status(status).as_ptr()
}

fn of_status(status: i32) -> &'static core::ffi::CStr {
    match status {
        RMECH_OK => c"fine",
        RMECH_ERR_POINTER => c"a pointer is NULL or not aligned",
        RMECH_ERR_STRUCT_SIZE => c"a struct_size is unknown; set it with rmech_init or RMECH_INIT",
        RMECH_ERR_VALUE => c"a value is not finite or outside its range",
        RMECH_ERR_ENUMERATOR => c"an enumerator or flag is unknown",
        RMECH_ERR_TEXT => c"a text can't be read",
        RMECH_ERR_VERSION => c"the header and the library are of versions that don't go together",
        RMECH_ERR_GEOMETRY => c"no equilibrium exists for these inputs",
        RMECH_ERR_UNSOLVED => c"a solver did not reach its promised residual",
        RMECH_ERR_BUDGET => c"the steps allowed are spent, and nothing is decided",
        RMECH_ERR_CANCELLED => c"stopped as the caller asked",
        RMECH_ERR_CAPACITY => c"a buffer is too small",
        RMECH_ERR_INTERNAL => c"a fault of the library itself",
        _ => c"not a status of this library",
    }
}

/// Fills a struct that begins with `struct_size` with zeros and sets that size.
///
/// `size` is the sizeof the struct.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_init(structure: *mut c_void, size: u32) -> i32 {
    if structure.is_null() || !structure.cast::<u32>().is_aligned() {
        return RMECH_ERR_POINTER;
    }
    if (size as usize) < size_of::<u32>() {
        return RMECH_ERR_STRUCT_SIZE;
    }
    // SAFETY: the caller says that the struct is that large and begins with its struct_size.
    unsafe {
        structure.write_bytes(0, size as usize);
        structure.cast::<u32>().write(size);
    }
    RMECH_OK
}
