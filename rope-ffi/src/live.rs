//! Live calls in single precision, for a controller whose floating-point unit has no double precision.
//!
//! ```text
//! The line of rmech_line_solve and the turns of rmech_turn_band, by the same formulas, all of it computed in float. Lines that
//! stretch in proportion (b = 0). Prepare a rig with the double calls; ask these while it runs.
//! Measured against the double calls with the same numbers, over 2 million random lines: each force is off by less than 1e-6 of
//! the greater end tension (5.4e-7 seen); a ratio by less than 5e-6 of itself (3e-6 seen). That is of the arithmetic alone: a
//! length given as float is itself rounded by up to 6e-8, which makes EA*6e-8 of tension in a taut line, 7 mN at 120 kN.
//! Range: span 0.01 to 1e5 m, length to 2e5 m, weight 0.001 to 1e4 N/m, EA 1 to 1e10 N; not slacker than some thousand times
//! the span. CAUTION. As of every call: an aid, not a safety function. Sources: those of lines and of losses at a bend.
//! ```
//!
//! ```c
//! rmech_live_line live = {0}; // 52 m out, 31 m down
//! rmech_live_ends at_ends;
//! live.span_m = 52.0f;
//! live.rise_m = -31.0f;
//! live.length_m = 60.0f;
//! live.weight_n_per_m = 1.8f;
//! live.stiffness_n = 124e3f;
//! if (rmech_live_line_ends(&live, &at_ends, &error) == RMECH_OK)
//!     printf("%.0f N\n", (double)at_ends.first_n); // 1177 N
//! ```

use crate::call::{call, input, output, writable};
use crate::error::{Failure, RMECH_ERR_GEOMETRY, RMECH_ERR_UNSOLVED, rmech_error};
use crate::sheave::{RMECH_TURN_BAR, RMECH_TURN_FRICTIONLESS, RMECH_TURN_SHEAVE, motion};
use rope_mechanics::live::{LiveError, LiveLine, LiveTurn, turn_ratio};

/// A rope between two supports that stretches in proportion to its tension. Each member's unit stands in its name.
///
/// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_live_line {
    /// Horizontal distance between the supports.
    pub span_m: f32,
    /// Height of the second support above the first; negative if it is lower.
    pub rise_m: f32,
    /// Unstretched length. Not read where the length is what is asked for.
    pub length_m: f32,
    /// Weight per unstretched metre.
    pub weight_n_per_m: f32,
    /// Axial stiffness EA: tension by strain.
    pub stiffness_n: f32,
    /// Tension at the first end. Read by `rmech_live_line_length` alone.
    pub first_n: f32,
}

impl rmech_live_line {
    fn get(self) -> LiveLine {
        let Self { span_m, rise_m, length_m, weight_n_per_m, stiffness_n, .. } = self;
        LiveLine { span_m, rise_m, length_m, weight_n_per_m, stiffness_n }
    }
}

/// The forces at the supports of a line.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_live_ends {
    /// Horizontal component of the tension, the same all along the rope.
    pub horizontal_n: f32,
    /// Tension at the first end.
    pub first_n: f32,
    /// Tension at the second end.
    pub last_n: f32,
    /// What the first support carries, upward; negative where the rope lifts it.
    pub first_up_n: f32,
    /// What the second support carries, upward; negative where the rope lifts it.
    pub last_up_n: f32,
    /// Relative change of the answer in one more step of the solver: at most 2e-6, or the call fails.
    pub residual: f32,
    /// Steps of the solver.
    pub iterations: u32,
}

/// The length of rope that pulls as hard as asked for.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_live_length {
    /// Unstretched length.
    pub length_m: f32,
    /// How far the tension of that length is from the one asked for, by the latter: at most 1e-3, or the call fails.
    pub residual: f32,
    /// Lines solved.
    pub iterations: u32,
}

/// A turn, the way the rope goes over it, and how far it turns.
///
/// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_live_turn {
    /// One of `RMECH_TURN_...`.
    pub kind: i32,
    /// `RMECH_MOTION_HAULING` or `RMECH_MOTION_LOWERING`: at rest the ratio is a band, see `rmech_turn_band`.
    pub motion: i32,
    /// Of a sheave, over a turn of 180 degrees: 0.3 to 1.
    pub efficiency: f32,
    /// Of a bar or capstan, in this direction: 0 to 2.
    pub friction: f32,
    /// How far the rope wraps it, in radians: 0 to 4 pi.
    pub wrap_rad: f32,
}

/// Tension on the pulling side by that on the load's side.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_live_ratio {
    /// At least 1 hauling, at most 1 lowering.
    pub ratio: f32,
}

impl From<LiveError> for Failure {
    fn from(why: LiveError) -> Self {
        match why {
            LiveError::Input(why) => why.into(),
            LiveError::Slack => Self::of(RMECH_ERR_GEOMETRY, "length_m", why),
            LiveError::OutOfReach => Self::of(RMECH_ERR_GEOMETRY, "first_n", why),
            _ => Self::new(RMECH_ERR_UNSOLVED, why),
        }
    }
}

/// The forces at the supports of a line, in single precision.
///
/// Formula, range and measured error: at the top of this topic in rope_mechanics.h.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_live_line_ends(
    line: *const rmech_live_line,
    ends: *mut rmech_live_ends,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let line = unsafe { input("line", line)? };
        writable("ends", ends)?;
        let found = line.get().ends()?;
        let value = rmech_live_ends {
            horizontal_n: found.horizontal_n,
            first_n: found.first_n,
            last_n: found.last_n,
            first_up_n: found.first_up_n,
            last_up_n: found.last_up_n,
            residual: found.residual,
            iterations: found.iterations,
        };
        // SAFETY: as above.
        unsafe { output("ends", ends, value) }
    })
}

/// The unstretched length at which a line pulls with `first_n` at its first end, in single precision: the shorter,
/// where two do.
///
/// A tension below what the rope's weight alone makes there is refused with `RMECH_ERR_GEOMETRY`; so may be one within
/// a millionth of the least. A rope so stiff that no float comes within a thousandth: `RMECH_ERR_UNSOLVED`.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_live_line_length(
    line: *const rmech_live_line,
    length: *mut rmech_live_length,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let line = unsafe { input("line", line)? };
        writable("length", length)?;
        let found = line.get().length_for(line.first_n)?;
        let value = rmech_live_length {
            length_m: found.length_m,
            residual: found.residual,
            iterations: found.iterations,
        };
        // SAFETY: as above.
        unsafe { output("length", length, value) }
    })
}

/// The ratio of the tensions over a turn, in single precision: a sheave, a bar or capstan, or no loss.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_live_turn_ratio(
    turn: *const rmech_live_turn,
    ratio: *mut rmech_live_ratio,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let turn = unsafe { input("turn", turn)? };
        writable("ratio", ratio)?;
        let of = match turn.kind {
            RMECH_TURN_FRICTIONLESS => LiveTurn::Bar { friction: 0.0 },
            RMECH_TURN_SHEAVE => LiveTurn::Sheave { efficiency: turn.efficiency },
            RMECH_TURN_BAR => LiveTurn::Bar { friction: turn.friction },
            kind => return Err(Failure::unknown("kind", kind, "one of RMECH_TURN_...")),
        };
        let value =
            rmech_live_ratio { ratio: turn_ratio(of, motion("motion", turn.motion)?, turn.wrap_rad)? };
        // SAFETY: as above.
        unsafe { output("ratio", ratio, value) }
    })
}
