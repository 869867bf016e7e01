//! What a rope is.
//!
//! ```text
//! T = a*e + b*e^2    e = 2*T/(a + sqrt(a^2 + 4*b*T))    T tension, e strain, a the axial stiffness EA
//! Assumed: the rope is bedded in, and loads and unloads along the same curve. Range: a > 0, b >= 0 (0: linear).
//! For n strands side by side give n*a and n*b. Source: a curve to fit to a measured rope; see rope-mechanics/src/docs/measured.md.
//! ```
//!
//! ```c
//! rmech_stretch stretch = {rmech_kn(33.0), rmech_kn(120.0)}; // T = a*e + b*e^2
//! rmech_force tension = rmech_kn(2.1);
//! rmech_ratio strain;
//! if (rmech_stretch_strain(&stretch, &tension, &strain, &error) == RMECH_OK)
//!     printf("%.2f %%\n", rmech_in_percent(strain)); // 5.33 %
//! ```

use crate::call::{call, input, output, writable};
use crate::error::{Failure, Named, rmech_error};
use crate::quantity::{rmech_force, rmech_ratio};
use rope_mechanics::rope::Stretch;

/// How the tension of a rope grows with its strain: T = a·ε + b·ε².
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_stretch {
    /// The axial stiffness without load, EA: above zero.
    pub a: rmech_force,
    /// How it stiffens: zero for a linear rope, else above zero.
    pub b: rmech_force,
}

impl rmech_stretch {
    pub(crate) fn get(self) -> Result<Stretch, Failure> {
        Stretch::stiffening(self.a.get(), self.b.get()).named("stretch_a", "a").named("stretch_b", "b")
    }

    /// Of a rope whose stretch may be left out: zeros.
    pub(crate) fn given(self) -> Result<Option<Stretch>, Failure> {
        if self.a.newtons == 0.0 && self.b.newtons == 0.0 { Ok(None) } else { self.get().map(Some) }
    }
}

/// Strain under a tension.
///
/// Formula and range: at the top of this topic in rope_mechanics.h.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_stretch_strain(
    stretch: *const rmech_stretch,
    tension: *const rmech_force,
    strain: *mut rmech_ratio,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (stretch, tension) =
            unsafe { (input("stretch", stretch)?.get()?, input("tension", tension)?.get()) };
        writable("strain", strain)?;
        let value = stretch.strain(tension)?.into();
        // SAFETY: as above.
        unsafe { output("strain", strain, value) }
    })
}

/// Tension under a strain.
///
/// Formula and range: at the top of this topic in rope_mechanics.h.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_stretch_tension(
    stretch: *const rmech_stretch,
    strain: *const rmech_ratio,
    tension: *mut rmech_force,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (stretch, strain) =
            unsafe { (input("stretch", stretch)?.get()?, input("strain", strain)?.get()) };
        writable("tension", tension)?;
        let value = stretch.tension(strain)?.into();
        // SAFETY: as above.
        unsafe { output("tension", tension, value) }
    })
}
