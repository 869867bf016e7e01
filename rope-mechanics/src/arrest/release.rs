//! The track rope fails under the litter.

use super::{ArrestError, stop};
use crate::bridle::{Bridle, Hang};
use crate::error::non_negative;
use crate::geometry::Point3;
use crate::math;
use crate::quantity::{
    Force, Length, STANDARD_GRAVITY_M_PER_S2 as G, Velocity, metres, newtons, unit::meter_per_second,
};

/// What becomes of the litter when the track rope fails. Whatever belongs to a rope stands in the order of the
/// ropes.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct TrackLost<const N: usize> {
    /// How it would hang on the ropes that are left, if no ground were in the way.
    pub rest: Hang<N>,
    /// Whether the ground is in the way: the litter comes down on it before it hangs.
    pub lands: bool,
    /// How far it goes down: to the ground or to that hang, whichever comes first.
    pub drop: Length,
    /// No faster than this does it meet the ground; zero if it doesn't.
    pub landing_speed: Velocity,
    /// No rope is pulled harder than this at any moment, however the litter swings.
    pub peak_bound: [Force; N],
}

/// The track rope fails: the litter drops by its clearance, or until it hangs on haul and belay.
///
/// `lengths` are the unstretched lengths of the ropes that are left, from their points to the litter, and
/// `position` is where the litter is before. `clearance` is how far it can go down before the ground stops it,
/// anywhere that it may swing.
///
/// Assumed: the litter starts at rest; point load, weightless ropes, no damping. Give the stretch that the ropes
/// have in a fall ([`STIFFER_AT_MOST`](super::STIFFER_AT_MOST)).
///
/// The bounds are of energy, and hold for any swing: what is stored in one rope can't be more than what was
/// stored in all of them before, and the height lost, which is at most the clearance c, and at most what leads
/// to the lowest point that rope i allows:
///
/// Lᵢ·∫T dε ≤ U₀ + W·min(c, z − pᵢ + Lᵢ·(1 + ε));  v² ≤ 2g·(c + U₀/W)
///
/// A litter that hangs plumb below its rope meets the bound exactly; one that swings stays below it.
///
/// ```
/// use rope_mechanics::arrest::track_lost;
/// use rope_mechanics::bridle::{Bridle, BridleRope};
/// use rope_mechanics::geometry::Point3;
/// use rope_mechanics::quantity::{Force, Length, unit::{kilonewton, meter, newton}};
/// use rope_mechanics::rope::Stretch;
///
/// let m = Length::new::<meter>;
/// let stretch = Stretch::linear(Force::new::<kilonewton>(80.0))?;
/// let haul = BridleRope::new(Point3::new(m(0.0), m(0.0), m(3.0)), stretch)?;
/// let belay = BridleRope::new(Point3::new(m(-5.0), m(4.0), m(1.0)), stretch)?;
/// let bridle = Bridle::new(Force::new::<newton>(2451.66), [haul, belay])?;
///
/// // The litter floats 0.8 m above the ground, 20 m out and 14 m down; both ropes are just straight.
/// let litter = Point3::new(m(20.0), m(0.0), m(-14.0));
/// let lost = track_lost(&bridle, [m(26.25), m(29.5)], litter, m(0.8))?;
/// assert!(lost.lands);
/// assert!(lost.peak_bound[0] < Force::new::<kilonewton>(4.0));
/// # Ok::<(), rope_mechanics::arrest::ArrestError>(())
/// ```
///
/// # Errors
/// Unless the position is finite, the clearance at least zero and each rope at least a millimetre long.
pub fn track_lost<const N: usize>(
    bridle: &Bridle<N>,
    lengths: [Length; N],
    position: Point3,
    clearance: Length,
) -> Result<TrackLost<N>, ArrestError> {
    let at_m = position.finite("position")?;
    let clearance_m = non_negative("clearance", clearance)?;
    let rest = bridle.at_lengths(lengths)?;
    let weight_n = bridle.weight().value;
    let mut stored_j = 0.0;
    for (rope, length) in bridle.ropes().iter().zip(&lengths) {
        let strain = ((at_m - rope.from().si()).norm() - length.value) / length.value;
        // U = L·∫T dε
        stored_j += length.value * rope.stretch().energy_at(strain.max(0.0));
    }
    let mut peak_bound = [newtons(0.0); N];
    for ((bound, rope), length) in peak_bound.iter_mut().zip(bridle.ropes()).zip(&lengths) {
        let (a_n, b_n, length_m) = (rope.stretch().a_n(), rope.stretch().b_n(), length.value);
        // L·∫T dε = U₀ + W·c
        let to_ground = stop(a_n, b_n, 0.0, (stored_j + weight_n * clearance_m) / length_m);
        // L·∫T dε = U₀ + W·(z − p + L·(1 + ε))
        let above_plumb_m = at_m.z - rope.from().z.value + length_m;
        let to_plumb = stop(a_n, b_n, weight_n, (stored_j + weight_n * above_plumb_m) / length_m);
        *bound = newtons(to_ground.added_n.min(to_plumb.added_n));
    }
    let to_hang_m = at_m.z - rest.position.z.value;
    let lands = to_hang_m > clearance_m;
    // v² = 2g·(c + U₀/W)
    let speed_m_per_s = if lands { math::sqrt(2.0 * G * (clearance_m + stored_j / weight_n)) } else { 0.0 };
    Ok(TrackLost {
        rest,
        lands,
        drop: metres(to_hang_m.min(clearance_m)),
        landing_speed: Velocity::new::<meter_per_second>(speed_m_per_s),
        peak_bound,
    })
}
