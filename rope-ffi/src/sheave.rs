//! What a rope loses where it turns.

use crate::call::{call, input, output, writable};
use crate::error::rmech_error;
use crate::quantity::{rmech_angle, rmech_ratio};
use rope_mechanics::sheave::{Band, Turn};

/// The ratio of the tensions at the two ends of a turn, pulling side by load's side.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_band {
    /// While the load comes: at least 1.
    pub hauling: rmech_ratio,
    /// While the load goes: at most 1. At rest the ratio is anywhere between.
    pub lowering: rmech_ratio,
}

impl From<Band> for rmech_band {
    fn from(band: Band) -> Self {
        Self { hauling: band.hauling.into(), lowering: band.lowering.into() }
    }
}

/// Ratio of the tensions over a sheave that passes `efficiency` of the tension over half a turn.
///
/// Source and range: `rope_mechanics::sheave::Turn` in the library's documentation.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_sheave_band(
    efficiency: *const rmech_ratio,
    turn: *const rmech_angle,
    band: *mut rmech_band,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (efficiency, turn) = unsafe { (input("efficiency", efficiency)?.get(), input("turn", turn)?.get()) };
        writable("band", band)?;
        let value = Turn::sheave(efficiency)?.band(turn)?.into();
        // SAFETY: as above.
        unsafe { output("band", band, value) }
    })
}
