//! Statuses, and the detail of a failure.

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

// 100–199: the geometry or the load allows no equilibrium.
/// No equilibrium exists for these inputs. The message says which of them makes it impossible.
pub const RMECH_ERR_GEOMETRY: i32 = 100;

// 200–299: a solver.
/// A solver did not reach its promised residual.
pub const RMECH_ERR_UNSOLVED: i32 = 200;

// 300–399: capacity.
/// A caller's buffer is too small. The size query tells what is needed.
pub const RMECH_ERR_CAPACITY: i32 = 300;

// 900–999: the library.
/// A fault of the library itself, caught at its boundary. Please report it.
pub const RMECH_ERR_INTERNAL: i32 = 900;

/// The detail of a failure, owned by the caller.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_error {
    /// sizeof(rmech_error); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// The status returned.
    pub status: i32,
    /// The value at fault, in SI, where the fault is one number outside its range. Zero for every other fault, as an
    /// enumerator, a text, a pointer or an equilibrium that isn't there: `field` and `message` say which.
    pub value: f64,
    /// Where the allowed values begin, in SI; −infinity if they don't. Whether this one is allowed itself, only the
    /// message says: "above 0 m" or "at least 0 m".
    pub lowest: f64,
    /// Where the allowed values end, in SI; infinity if they don't. As for `lowest`: "below" or "at most".
    pub highest: f64,
    /// The field at fault, NUL-terminated; empty if none is.
    pub field: [c_char; 64],
    /// A sentence with the value and what is allowed, NUL-terminated, in UTF-8.
    pub message: [c_char; 256],
}

/// A failure on its way out.
pub(crate) struct Failure {
    pub(crate) status: i32,
    value: f64,
    lowest: f64,
    highest: f64,
    field: [c_char; 64],
    message: [c_char; 256],
}

impl Failure {
    /// A failure that names no value.
    pub(crate) fn new(status: i32, message: impl fmt::Display) -> Self {
        Self {
            status,
            value: 0.0,
            lowest: f64::NEG_INFINITY,
            highest: f64::INFINITY,
            field: text(""),
            message: text(message),
        }
    }

    /// A failure that names a field.
    pub(crate) fn of(status: i32, field: &str, message: impl fmt::Display) -> Self {
        Self { field: text(field), ..Self::new(status, message) }
    }

    pub(crate) fn write_to(&self, error: &mut rmech_error) {
        *error = rmech_error {
            struct_size: error.struct_size,
            status: self.status,
            value: self.value,
            lowest: self.lowest,
            highest: self.highest,
            field: self.field,
            message: self.message,
        };
    }
}

/// The same error of an input that C calls by another name.
pub(crate) const fn called(name: &'static str, why: InputError) -> InputError {
    InputError::new(name, why.value, why.unit, why.allowed)
}

/// What the core calls otherwise than the member or parameter through which C gives it. Whatever has one name here but
/// several in C is renamed where it is given.
const C_NAMES: &[(&str, &str)] = &[
    ("air_temperature", "air"),
    ("batteries_in_parallel", "in_parallel"),
    ("batteries_in_series", "in_series"),
    ("battery_capacity", "capacity"),
    ("battery_resistance", "battery"),
    ("battery_temperature", "temperature"),
    ("cable_cross_section", "cross_section"),
    ("cable_length", "each_way"),
    ("carrier_at", "at"),
    ("cold_capacity", "cold.share"),
    ("case_heat_capacity", "case_"),
    ("case_temperature", "case_"),
    ("diameter", "thickness"),
    ("drum_width", "width"),
    ("fall_height", "height"),
    ("high_from", "high"),
    ("idle_band", "idle"),
    ("idle_power", "idle"),
    ("known_tension", "tension"),
    ("lead_resistance", "leads"),
    ("limit_rise", "limit"),
    ("line_weight", "weight"),
    ("low_from", "low"),
    ("meter_band", "meter"),
    ("open_circuit_voltage", "open_circuit"),
    ("pull_hauling", "pull.hauling"),
    ("pull_lowering", "pull.lowering"),
    ("ratio", "scale"),
    ("reaction_length", "reaction"),
    ("redirect_turn", "angle"),
    ("rope_length", "length"),
    ("rope_weight", "mass"),
    ("set_tension", "tension"),
    ("sheave_efficiency", "efficiency"),
    ("slope_band", "slope"),
    ("standby_current", "standby"),
    ("starting_rise", "start"),
    ("state_of_charge", "charge"),
    ("steep_from", "steep"),
    ("stretch_a", "stretch.a"),
    ("stretch_b", "stretch.b"),
    ("table_current", "current"),
    ("table_line_speed", "line_speed"),
    ("table_pull", "pull"),
    ("thermal_time_constant", "time_constant"),
    ("turns_per_layer", "width"),
    ("winch_radius", "radius"),
    ("winding_heat_capacity", "winding"),
    ("winding_resistance", "winding"),
    ("winding_temperature", "winding"),
    ("length_change", "length"),
    ("load_change", "force"),
    ("loss_change", "ratio"),
    ("place_change", "place"),
    ("stiffness_change", "ratio"),
    ("stretch_a_change", "force.x"),
    ("stretch_b_change", "force.x"),
    ("tension_change", "force.x"),
    ("weight_change", "line_weight"),
];

impl From<InputError> for Failure {
    fn from(why: InputError) -> Self {
        let name = C_NAMES.iter().find(|(core, _)| *core == why.field);
        let why = name.map_or(why, |(_, name)| called(name, why));
        let (lowest, highest) = match why.allowed {
            Allowed::Above(x) | Allowed::AtLeast(x) => (x, f64::INFINITY),
            Allowed::Below(x) | Allowed::AtMost(x) => (f64::NEG_INFINITY, x),
            Allowed::Within(lo, hi) => (lo, hi),
            Allowed::ZeroOrAtLeast(_) => (0.0, f64::INFINITY),
            _ => (f64::NEG_INFINITY, f64::INFINITY),
        };
        Self { value: why.value, lowest, highest, ..Self::of(RMECH_ERR_VALUE, why.field, why) }
    }
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
    match status {
        RMECH_OK => c"fine",
        RMECH_ERR_POINTER => c"a pointer is NULL or not aligned",
        RMECH_ERR_STRUCT_SIZE => c"a struct_size is unknown; set it with rmech_init or RMECH_INIT",
        RMECH_ERR_VALUE => c"a value is not finite or outside its range",
        RMECH_ERR_ENUMERATOR => c"an enumerator or flag is unknown",
        RMECH_ERR_TEXT => c"a text can't be read",
        RMECH_ERR_GEOMETRY => c"no equilibrium exists for these inputs",
        RMECH_ERR_UNSOLVED => c"a solver did not reach its promised residual",
        RMECH_ERR_CAPACITY => c"a buffer is too small",
        RMECH_ERR_INTERNAL => c"a fault of the library itself",
        _ => c"not a status of this library",
    }
    .as_ptr()
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
