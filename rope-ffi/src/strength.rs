//! Strength left in a rope, and the weakest link.

use crate::call::{call, input, inputs, output, writable};
use crate::error::{Failure, RMECH_ERR_CAPACITY, RMECH_ERR_ENUMERATOR, rmech_error};
use crate::quantity::{rmech_force, rmech_length, rmech_ratio};
use rope_mechanics::strength::{
    Component, ComponentKind, Mark, Reduction, Weakening, reduced_strength, weakest_link,
};

/// A knot, at one place.
pub const RMECH_WEAKENING_KNOT: i32 = 1;
/// A bend over something thin, at one place.
pub const RMECH_WEAKENING_BEND: i32 = 2;
/// Water, in the whole rope.
pub const RMECH_WEAKENING_WET: i32 = 3;
/// Wear, age, sun, in the whole rope.
pub const RMECH_WEAKENING_WORN: i32 = 4;

/// The most reductions that one call takes.
pub const RMECH_MAX_REDUCTIONS: i32 = 32;

/// The share of its strength that a rope keeps, and why.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_reduction {
    /// One of `RMECH_WEAKENING_...`.
    pub weakening: i32,
    /// Zero.
    pub reserved: i32,
    /// The share that is left: above 0 and at most 1.
    pub factor: rmech_ratio,
}

impl rmech_reduction {
    fn get(self) -> Result<Reduction, Failure> {
        let weakening = match self.weakening {
            RMECH_WEAKENING_KNOT => Weakening::Knot,
            RMECH_WEAKENING_BEND => Weakening::Bend,
            RMECH_WEAKENING_WET => Weakening::Wet,
            RMECH_WEAKENING_WORN => Weakening::Worn,
            other => {
                return Err(Failure::of(
                    RMECH_ERR_ENUMERATOR,
                    "weakening",
                    format_args!("weakening is {other}, but must be one of RMECH_WEAKENING_..."),
                ));
            }
        };
        Ok(Reduction::new(weakening, self.factor.get(), Mark::Given)?)
    }
}

/// The strength of a rope with all that weakens it. Of knots and bends only the worst counts.
///
/// `weakest_place` takes the index of that knot or bend, or -1 if there is none; it may be NULL.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_strength_reduced(
    breaking_strength: *const rmech_force,
    reductions: *const rmech_reduction,
    reduction_count: usize,
    strength: *mut rmech_force,
    weakest_place: *mut i32,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let breaking = unsafe { input("breaking_strength", breaking_strength)? };
        // SAFETY: as above.
        let given = unsafe { inputs("reductions", reductions, reduction_count)? };
        writable("strength", strength)?;
        if !weakest_place.is_null() {
            writable("weakest_place", weakest_place)?;
        }
        let mut all = [Reduction::KNOT; RMECH_MAX_REDUCTIONS as usize];
        let Some(all) = all.get_mut(..given.len()) else {
            return Err(Failure::of(
                RMECH_ERR_CAPACITY,
                "reduction_count",
                format_args!(
                    "reduction_count is {}, but must be at most {RMECH_MAX_REDUCTIONS}",
                    given.len()
                ),
            ));
        };
        for (slot, reduction) in all.iter_mut().zip(given) {
            *slot = reduction.get()?;
        }
        let left = reduced_strength(breaking.get(), all)?;
        let place = left.weakest_place.and_then(|index| i32::try_from(index).ok()).unwrap_or(-1);
        // SAFETY: as above.
        unsafe {
            output("strength", strength, left.strength.into())?;
            if weakest_place.is_null() { Ok(()) } else { output("weakest_place", weakest_place, place) }
        }
    })
}

/// The share of its strength that a rope keeps over a bend of this diameter.
///
/// From a table for wire rope; for fibre rope it is a stand-in from memory. See `Reduction::bend` in the
/// library's documentation.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_bend_factor(
    bend_diameter: *const rmech_length,
    rope_diameter: *const rmech_length,
    factor: *mut rmech_ratio,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (bend, rope) =
            unsafe { (input("bend_diameter", bend_diameter)?, input("rope_diameter", rope_diameter)?) };
        writable("factor", factor)?;
        let value = Reduction::bend(bend.get(), rope.get())?.factor().into();
        // SAFETY: as above.
        unsafe { output("factor", factor, value) }
    })
}

/// A component with the load at which it fails and the load on it.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_component {
    /// The load at which it fails: above 0.
    pub strength: rmech_force,
    /// The load on it: at least 0.
    pub load: rmech_force,
}

/// The component with the least safety factor.
///
/// `index` takes its index, or -1 if no component bears a load; `safety_factor` is then 0, which no loaded
/// component has.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_weakest_link(
    components: *const rmech_component,
    component_count: usize,
    index: *mut i32,
    safety_factor: *mut rmech_ratio,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let components = unsafe { inputs("components", components, component_count)? };
        writable("index", index)?;
        writable("safety_factor", safety_factor)?;
        if i32::try_from(components.len()).is_err() {
            return Err(Failure::of(
                RMECH_ERR_CAPACITY,
                "component_count",
                "component_count is above INT32_MAX",
            ));
        }
        let mut weakest = (-1, rmech_ratio { fraction: 0.0 });
        for (at, component) in (0..).zip(components) {
            let component =
                Component::new(ComponentKind::Other, component.strength.get(), component.load.get())?;
            // One at a time, so that no heap is needed: a chain of one is its own weakest link.
            if let Some(link) = weakest_link(&[component])
                && (weakest.0 < 0 || link.safety_factor.value < weakest.1.fraction)
            {
                weakest = (at, link.safety_factor.into());
            }
        }
        // SAFETY: as above.
        unsafe {
            output("index", index, weakest.0)?;
            output("safety_factor", safety_factor, weakest.1)
        }
    })
}
