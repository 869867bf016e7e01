//! How far a tackle hauls before it is block to block, and what a whole haul takes.

use super::TackleError;
use super::arrangement::{RopeStop, Tackle, TacklePart};
use crate::error::{InputError, non_negative, positive};
use crate::math;
use crate::quantity::{Length, Ratio, metres, newtons, ratio};

/// The greatest travel before the tackle must be reset.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Throw {
    /// How far the load travels.
    pub load: Length,
    /// How much rope comes through the hand.
    pub hand: Length,
    /// The part that gets too short first.
    pub limit: TacklePart,
}

/// A haul to be planned: how far, what stays clear between the blocks, what a reset loses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CyclePlan {
    haul_m: f64,
    clearance_m: f64,
    setback_m: f64,
}

impl CyclePlan {
    /// A haul of this length, with nothing clear between the blocks and nothing lost at the resets.
    ///
    /// # Errors
    /// Unless the length is above zero.
    pub fn new(haul: Length) -> Result<Self, InputError> {
        Ok(Self { haul_m: positive("haul", haul)?, clearance_m: 0.0, setback_m: 0.0 })
    }

    /// What must stay clear between any two carriers that a part joins: hardware and knots.
    ///
    /// # Errors
    /// Unless it is at least zero.
    pub fn with_clearance(mut self, clearance: Length) -> Result<Self, InputError> {
        self.clearance_m = non_negative("clearance", clearance)?;
        Ok(self)
    }

    /// How far rope slips back through the capture before it holds.
    ///
    /// # Errors
    /// Unless it is at least zero.
    pub fn with_setback(mut self, setback: Length) -> Result<Self, InputError> {
        self.setback_m = non_negative("setback", setback)?;
        Ok(self)
    }
}

/// What a haul takes with a tackle that must be reset on the way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cycle {
    /// The greatest travel between two resets.
    pub throw: Throw,
    /// How far the load goes back at each reset.
    pub lost: Length,
    /// How many throws the haul takes, the last one perhaps not whole.
    pub throws: u32,
    /// How many resets lie between them.
    pub resets: u32,
    /// All the rope that comes through the hand.
    pub hand: Length,
    /// The rope in the tackle as drawn, apart from knots and tails.
    pub rope: Length,
}

impl Tackle {
    /// How far the load goes before two carriers that a part joins come closer than `clearance`.
    ///
    /// throw = the least of (length − clearance) / shortening for each length of the load's travel
    ///
    /// Exact for carriers in line; an estimate at the angles as drawn for a tackle out of line.
    ///
    /// # Errors
    /// If the clearance is negative, or some part has no room from the start.
    pub fn throw(&self, clearance: Length) -> Result<Throw, TackleError> {
        let clearance_m = non_negative("clearance", clearance)?;
        let mut least: Option<(f64, TacklePart)> = None;
        for part in &self.parts {
            let growth = self.motion.growth(self, part);
            if growth > -1e-9 {
                continue;
            }
            let room_m = part.length_m - clearance_m;
            if room_m <= 0.0 {
                return Err(TackleError::NoThrow {
                    rope: self.name_of_rope(part.rope),
                    part: usize::from(part.index) + 1,
                    from: self.name_of(part.from()),
                    to: self.name_of(part.to()),
                    length_m: part.length_m,
                    clearance_m,
                });
            }
            let travel_m = room_m / -growth;
            if least.is_none_or(|(m, _)| travel_m < m) {
                least = Some((travel_m, part.into()));
            }
        }
        // The rope out of the hand comes from some part, so there is always one.
        let (load_m, limit) = least.ok_or(TackleError::NoPurchase)?;
        Ok(Throw { load: metres(load_m), hand: metres(load_m * self.motion.hand), limit })
    }

    /// How far the load goes back when its capture takes hold, for each length of rope that slips through it.
    ///
    /// The greatest of all captures.
    ///
    /// # Errors
    /// If nothing captures progress.
    pub fn setback_ratio(&self) -> Result<Ratio, TackleError> {
        let mut most: Option<f64> = None;
        for (index, placed) in self.stops.iter().enumerate() {
            let flow = self.motion.flow.at(index).abs();
            if matches!(placed.stop, RopeStop::Capture(..)) && flow > 0.0 {
                // The load travels 1 while the flow runs over the capture.
                most = Some(most.unwrap_or(0.0).max(1.0 / flow));
            }
        }
        most.map(ratio).ok_or(TackleError::NoCapture)
    }

    /// Throws, resets and rope for a whole haul.
    ///
    /// N throws with a reset between each two bring the load N·throw − (N − 1)·lost. A tackle can be reset if the
    /// capture alone holds the load's rope, past grabs that let go of it; it can then be hauled until the load, its
    /// grabs and the capture are block to block.
    ///
    /// # Errors
    /// If there is no throw; if resets are needed and nothing captures progress, what must go back holds the load,
    /// the load has no such way to go, or a reset loses what a throw gains.
    pub fn cycle(&self, plan: &CyclePlan) -> Result<Cycle, TackleError> {
        let throw = self.throw(metres(plan.clearance_m))?;
        let throw_m = throw.load.value;
        let (lost_m, throws) = if plan.haul_m <= throw_m {
            (self.setback_ratio().map_or(0.0, |r| r.value * plan.setback_m), 1.0)
        } else {
            let lost_m = self.setback_ratio()?.value * plan.setback_m;
            self.can_reset(plan, throw_m)?;
            // N = 1 + ⌈(haul − throw)/(throw − lost)⌉; a rounding error is no reason for one more.
            let more = (plan.haul_m - throw_m) / (throw_m - lost_m);
            if throw_m <= lost_m || more > 1e6 {
                return Err(TackleError::NoProgress { throw_m, lost_m });
            }
            (lost_m, 1.0 + math::ceil(more * (1.0 - 4.0 * f64::EPSILON)))
        };
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "from 1 to 1e6 + 1")]
        let throws_count = throws as u32;
        Ok(Cycle {
            throw,
            lost: metres(lost_m),
            throws: throws_count,
            resets: throws_count - 1,
            hand: metres((plan.haul_m + (throws - 1.0) * lost_m) * self.motion.hand),
            rope: self.rope_needed(),
        })
    }
    /// Whether a haul beyond the throw can be made with resets.
    fn can_reset(&self, plan: &CyclePlan, throw_m: f64) -> Result<(), TackleError> {
        let haul_m = plan.haul_m;
        let held = self.held(newtons(1.0))?;
        let mut room_m = 0.0;
        for (part, force) in self.parts.iter().zip(held.parts()) {
            if force.tension.value < 1e-9 {
                continue;
            }
            room_m += part.length_m - plan.clearance_m;
            for placed in self.stops.iter().skip(part.first_stop()).take(2) {
                let at = usize::from(placed.stop.carrier().0);
                let moves = self.carriers.get(at).is_some_and(|c| c.row().is_some());
                let lets_go = match placed.stop {
                    RopeStop::End(_) => self.is_load(at),
                    RopeStop::Grab(_) => true,
                    _ => false,
                };
                if moves && !lets_go {
                    return Err(TackleError::NoReset { carrier: self.name_of(at), haul_m, throw_m });
                }
            }
        }
        // The same lengths summed in another order may differ in their last digits.
        if haul_m > room_m * (1.0 + 1e-12) { Err(TackleError::TooFar { haul_m, room_m }) } else { Ok(()) }
    }
}
