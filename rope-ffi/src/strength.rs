//! Strength left in a rope, and the weakest link.
//!
//! ```text
//! F = F0 * (product of what acts on the whole rope) * (least of what acts at one place)    safety factor = F/T
//! Assumed: knots and bends stand apart from each other. Sources: bends by the table for wire rope that three suppliers of blocks
//! print alike, from 0.50 at D/d = 1 to 0.95 at 40; a knot keeps 0.70, from memory, range 0.55 to 0.80.
//! The static safety factor usual in rope rescue is 10, and not below 5: common practice, no source; local rules come first.
//! ```
//!
//! ```c
//! rmech_reduction reductions[2];
//! memset(reductions, 0, sizeof reductions);
//! reductions[0].weakening = RMECH_WEAKENING_KNOT;
//! reductions[0].mark = RMECH_MARK_GIVEN;
//! reductions[0].factor = rmech_percent(70.0);
//! reductions[1].weakening = RMECH_WEAKENING_WET;
//! reductions[1].mark = RMECH_MARK_GIVEN;
//! reductions[1].factor = rmech_percent(85.0);
//! rmech_force rated = rmech_kn(27.0), left;
//! int32_t knot;
//! if (rmech_strength_reduced(&rated, reductions, 2, &left, &knot, &error) == RMECH_OK)
//!     printf("%.1f kN, by reduction %d\n", rmech_in_kn(left), (int)knot); // 16.1 kN, by reduction 0
//! ```

use crate::call::{call, input, inputs, output, writable};
use crate::error::{Failure, Named, RMECH_ERR_CAPACITY, RMECH_ERR_INTERNAL, rmech_error};
use crate::quantity::{rmech_force, rmech_length, rmech_ratio};
use rope_mechanics::quantity::Mark;
use rope_mechanics::strength::{
    Component, ComponentKind, Reduction, USUAL_SAFETY_FACTOR, Weakening, reduced_strength, weakest_link,
};

/// A knot, at one place.
pub const RMECH_WEAKENING_KNOT: i32 = 1;
/// A bend over something thin, at one place.
pub const RMECH_WEAKENING_BEND: i32 = 2;
/// Water, in the whole rope.
pub const RMECH_WEAKENING_WET: i32 = 3;
/// Wear, age, sun, in the whole rope.
pub const RMECH_WEAKENING_WORN: i32 = 4;

/// Given by the caller.
pub const RMECH_MARK_GIVEN: i32 = 0;
/// Read in a source, which the comment of the function names.
pub const RMECH_MARK_READ: i32 = 1;
/// A fact of the trade without a source.
pub const RMECH_MARK_COMMON_PRACTICE: i32 = 2;
/// From memory: check it before relying on it.
pub const RMECH_MARK_MEMORY: i32 = 3;
/// A choice of this library, where something had to be chosen.
pub const RMECH_MARK_CHOICE: i32 = 4;

/// The static safety factor that is usual in rope rescue, and not below 5. Common practice, no source; local rules come
/// first.
pub const RMECH_USUAL_SAFETY_FACTOR: f64 = 10.0;
const _: () = assert!(RMECH_USUAL_SAFETY_FACTOR == USUAL_SAFETY_FACTOR.value);

/// The most reductions that one call takes.
pub const RMECH_MAX_REDUCTIONS: i32 = 32;

/// The share of its strength that a rope keeps, and why.
///
/// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_reduction {
    /// One of `RMECH_WEAKENING_...`.
    pub weakening: i32,
    /// Where the factor comes from, one of `RMECH_MARK_...`. It says how far to trust it and changes no number.
    pub mark: i32,
    /// The share that is left: above 0 and at most 1.
    pub factor: rmech_ratio,
}

impl rmech_reduction {
    fn of(reduction: Reduction) -> Result<Self, Failure> {
        let new = || Failure::new(RMECH_ERR_INTERNAL, "a cause or mark that this interface doesn't know yet");
        Ok(Self {
            weakening: match reduction.weakening() {
                Weakening::Knot => RMECH_WEAKENING_KNOT,
                Weakening::Bend => RMECH_WEAKENING_BEND,
                Weakening::Wet => RMECH_WEAKENING_WET,
                Weakening::Worn => RMECH_WEAKENING_WORN,
                _ => return Err(new()),
            },
            mark: match reduction.mark() {
                Mark::Given => RMECH_MARK_GIVEN,
                Mark::Read(_) => RMECH_MARK_READ,
                Mark::CommonPractice => RMECH_MARK_COMMON_PRACTICE,
                Mark::Memory => RMECH_MARK_MEMORY,
                Mark::Choice => RMECH_MARK_CHOICE,
                _ => return Err(new()),
            },
            factor: reduction.factor().into(),
        })
    }
}

impl rmech_reduction {
    fn get(self) -> Result<Reduction, Failure> {
        let weakening = match self.weakening {
            RMECH_WEAKENING_KNOT => Weakening::Knot,
            RMECH_WEAKENING_BEND => Weakening::Bend,
            RMECH_WEAKENING_WET => Weakening::Wet,
            RMECH_WEAKENING_WORN => Weakening::Worn,
            other => return Err(Failure::unknown("weakening", other, "one of RMECH_WEAKENING_...")),
        };
        let mark = match self.mark {
            RMECH_MARK_GIVEN => Mark::Given,
            RMECH_MARK_READ => Mark::Read("a source named by the caller"),
            RMECH_MARK_COMMON_PRACTICE => Mark::CommonPractice,
            RMECH_MARK_MEMORY => Mark::Memory,
            RMECH_MARK_CHOICE => Mark::Choice,
            other => return Err(Failure::unknown("mark", other, "one of RMECH_MARK_...")),
        };
        Ok(Reduction::new(weakening, self.factor.get(), mark)?)
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
        for (index, (slot, reduction)) in all.iter_mut().zip(given).enumerate() {
            *slot = reduction.get().item("reductions", index)?;
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

/// What the library knows of a knot or of water in nylon: `weakening` is `RMECH_WEAKENING_KNOT` (0.70, from memory) or
/// `RMECH_WEAKENING_WET` (0.80, read).
///
/// A knot keeps 0.55 to 0.80, trainers say. Wet nylon: Flory, Hearle & Goksoy 1990. Where the mark is memory, take what your
/// rope's maker states.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_usual_reduction(
    weakening: i32,
    reduction: *mut rmech_reduction,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        writable("reduction", reduction)?;
        let value = match weakening {
            RMECH_WEAKENING_KNOT => Reduction::KNOT,
            RMECH_WEAKENING_WET => Reduction::WET_NYLON,
            other => {
                let allowed = "RMECH_WEAKENING_KNOT or RMECH_WEAKENING_WET";
                return Err(Failure::unknown("weakening", other, allowed));
            }
        };
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        unsafe { output("reduction", reduction, rmech_reduction::of(value)?) }
    })
}

/// What a bend of this diameter takes from a rope.
///
/// 0.50 at as thick as the rope; 0.65, 0.75, 0.79, 0.83, 0.86, 0.89, 0.91, 0.93, 0.95 at 2, 4, 6, 8, 10, 15, 20, 30, 40 rope
/// diameters; straight lines between, 0.95 beyond. For wire rope over bends that stand still, by a table that three suppliers of
/// blocks print alike; for fibre rope it is a stand-in, so its mark is memory.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_bend_reduction(
    bend_diameter: *const rmech_length,
    rope_diameter: *const rmech_length,
    reduction: *mut rmech_reduction,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (bend, rope) =
            unsafe { (input("bend_diameter", bend_diameter)?, input("rope_diameter", rope_diameter)?) };
        writable("reduction", reduction)?;
        let value = rmech_reduction::of(Reduction::bend(bend.get(), rope.get())?)?;
        // SAFETY: as above.
        unsafe { output("reduction", reduction, value) }
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
                Component::new(ComponentKind::Other, component.strength.get(), component.load.get());
            let component = component.item("components", at as usize)?;
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
