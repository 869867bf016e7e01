//! The least height of the head at which the litter keeps its clearance.

use super::path::Takeover;
use super::setup::Setup;
use crate::motion::Motion;
use crate::operation::model::Model;
use crate::operation::travel::{Travel, Wanted};
use crate::quantity::{Force, Length, metres};

/// Heights up to so many times the rig's own are looked at.
const HIGHEST: f64 = 3.0;
/// Found to this.
const CLOSE_M: f64 = 1e-6;
const STEPS: u32 = 60;

/// The least height of the head at which the litter keeps its clearance on the way from the track to below the head, with
/// the least haul rope left, the track set to this tension of each strand without load. Nothing where none is found up to
/// three times the rig's own, or where the rig isn't possible with one on the way there.
///
/// The clearance grows with the height by nearly as much, so that each step takes the height by what is missing.
pub(super) fn least_head_height(model: &Model<'_>, setup: &Setup, unloaded: Force) -> Option<Length> {
    let own_m = model.values().head_height.value;
    let mut height_m = own_m;
    for _ in 0..STEPS {
        let missing_m = missing_m(model, setup, unloaded, height_m)?;
        if missing_m.abs() <= CLOSE_M {
            return Some(metres(height_m));
        }
        height_m += missing_m;
        if height_m > HIGHEST * own_m {
            return None;
        }
    }
    None
}

/// What is missing of the clearance with the head so high.
fn missing_m(model: &Model<'_>, setup: &Setup, unloaded: Force, height_m: f64) -> Option<f64> {
    let other = model.with(|values| values.head_height = metres(height_m)).ok()?;
    // The tension without load doesn't depend on the travel.
    let strand = other
        .strand_for(Wanted::UnloadedTension(unloaded), &Travel::new(other.head.x, other.head.x, 2))
        .ok()?;
    let takeover = Takeover { model: &other, setup, strand };
    let out_m = other.head.x.value + setup.least_rope.value;
    let near = takeover.lifted(out_m, Motion::Hauling, None).ok()?;
    let state = takeover.hauled_to(setup.least_rope.value, &near).ok()?;
    Some(setup.clearance_m - takeover.clearance_m(&state).ok()?)
}
