//! Bounds in closed form for the tension of a rope that holds a falling litter.

use crate::error::{InputError, non_negative, positive, within};
use crate::math;
use crate::quantity::{Angle, Force, Length, Stiffness, newtons};

/// The tension of a rope that doesn't stretch, on whose end a point load swings down from rest.
///
/// T = W·(3·cos ψ − 2·cos ψ₀), which is W·(cos ψ + 2Δ/r) with the height lost Δ = r·(cos ψ − cos ψ₀)
///
/// with the angles from plumb at the start ψ₀ and now ψ. Below zero the rope would have to push, and goes slack. The
/// greatest is at the least ψ that the ground lets the load come to.
///
/// # Errors
/// Unless the weight is above zero, both angles are from 0 to 180°, and the second is not above the first.
///
/// ```
/// use rope_mechanics::arrest::arc_tension;
/// use rope_mechanics::quantity::{Angle, Force, unit::{degree, newton}};
///
/// // From level to plumb: three times the weight.
/// let deg = Angle::new::<degree>;
/// let most = arc_tension(Force::new::<newton>(1000.0), deg(90.0), deg(0.0))?;
/// assert!((most.get::<newton>() - 3000.0).abs() < 1e-9);
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
///
/// Source: the pendulum, in any textbook on dynamics (from memory).
pub fn arc_tension(weight: Force, from: Angle, now: Angle) -> Result<Force, InputError> {
    let weight_n = positive("weight", weight)?;
    let from_rad = within("from", from, 0.0, core::f64::consts::PI)?;
    let now_rad = within("now", now, 0.0, from_rad)?;
    // T = W·(3·cos ψ − 2·cos ψ₀)
    Ok(newtons(weight_n * (3.0 * math::cos(now_rad) - 2.0 * math::cos(from_rad))))
}

/// A bound for the peak of a taut haul rope when the track is lost, for a load at the rope's own end.
///
/// max(P, 2·max T_q − P), with the tension P before and the greatest tension max T_q of the quasi-static arc, see
/// [`arc_tension`]
///
/// **Caution.** It is no bound for a litter on a sling below a light carriage, which an integration in time passes by
/// up to 66 %: the carriage flies up first, and the litter falls freely. Use [`sling_bound`], or
/// [`FallInTime`](super::FallInTime).
///
/// # Errors
/// Unless both are at least zero.
///
/// ```
/// use rope_mechanics::arrest::point_bound;
/// use rope_mechanics::quantity::{Force, unit::newton};
///
/// let n = Force::new::<newton>;
/// // A load that hangs plumb on one rope that carried nothing: twice its weight.
/// assert_eq!(point_bound(n(0.0), n(2000.0))?, n(4000.0));
/// assert_eq!(point_bound(n(1800.0), n(1500.0))?, n(1800.0));
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
pub fn point_bound(tension: Force, greatest_on_arc: Force) -> Result<Force, InputError> {
    let before_n = non_negative("tension", tension)?;
    let arc_n = non_negative("greatest_on_arc", greatest_on_arc)?;
    // max(P, 2·max T_q − P)
    Ok(newtons(before_n.max(2.0 * arc_n - before_n)))
}

/// A bound for the peak of a haul rope when the track is lost, for a litter on a sling below a light carriage.
///
/// A + √(A² + 2A·k·s₀)
///
/// with the greatest tension A on the arc of the litter about the head, of radius r + hang, the stiffness k of rope and
/// sling with what lies beyond the head, and the distance s₀ = r + hang − |head to litter| that the litter falls freely
/// before rope and sling are in one line.
///
/// Not proven; no integration in time has passed it: those lie 1.2 to 7 times below it. It is on the safe side.
///
/// # Errors
/// Unless A and k are above zero and s₀ is at least zero.
///
/// ```
/// use rope_mechanics::arrest::sling_bound;
/// use rope_mechanics::quantity::{Force, Length, Stiffness, unit::{kilonewton_per_meter, meter, newton}};
///
/// let n = Force::new::<newton>;
/// let bound = |s| sling_bound(n(2500.0), Stiffness::new::<kilonewton_per_meter>(3.0), Length::new::<meter>(s));
/// assert_eq!(bound(0.0)?, n(5000.0)); // nothing to fall: put on all at once
/// assert!(bound(0.4)? > n(5900.0));
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
pub fn sling_bound(
    greatest_on_arc: Force,
    stiffness: Stiffness,
    free_fall: Length,
) -> Result<Force, InputError> {
    let arc_n = positive("greatest_on_arc", greatest_on_arc)?;
    let stiffness_n_per_m = positive("stiffness", stiffness)?;
    let fall_m = non_negative("free_fall", free_fall)?;
    // A + √(A² + 2A·k·s₀)
    Ok(newtons(arc_n + math::sqrt(arc_n * arc_n + 2.0 * arc_n * stiffness_n_per_m * fall_m)))
}

/// The peak of a belay with slack that takes over the pull of a haul rope that is lost.
///
/// F = P + √(P² + 2P·k·s)
///
/// with the pull P that is to be taken over, the slack s and the stiffness k of the belay: the length from the load to
/// the head in full, and from the head to the device times the efficiency of the head. Assumed: the distance until it
/// holds is short compared with the rope, so that P hardly changes; a linear rope without damping.
///
/// # Errors
/// Unless P and k are above zero and s is at least zero.
///
/// ```
/// use rope_mechanics::arrest::taken_over;
/// use rope_mechanics::quantity::{Force, Length, Stiffness, unit::{kilonewton_per_meter, meter, newton}};
///
/// let n = Force::new::<newton>;
/// let peak = |s| taken_over(n(1500.0), Stiffness::new::<kilonewton_per_meter>(1.2), Length::new::<meter>(s));
/// assert_eq!(peak(0.0)?, n(3000.0));
/// assert!((peak(0.6)?.value - (1500.0 + (1500.0_f64.powi(2) + 2.0 * 1500.0 * 1200.0 * 0.6).sqrt())).abs() < 1e-9);
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
///
/// Source: the energy balance of [`Fall`](super::Fall), Bansal, Strength of Materials, ch. 4, along the track.
pub fn taken_over(pull: Force, stiffness: Stiffness, slack: Length) -> Result<Force, InputError> {
    let pull_n = positive("pull", pull)?;
    let stiffness_n_per_m = positive("stiffness", stiffness)?;
    let slack_m = non_negative("slack", slack)?;
    // F = P + √(P² + 2P·k·s)
    Ok(newtons(pull_n + math::sqrt(pull_n * pull_n + 2.0 * pull_n * stiffness_n_per_m * slack_m)))
}

/// A bound for the peak of a taut haul rope when the track is lost while the litter lies on a slope.
///
/// max(P, 2·W·sin θ − P): the share of the weight along the slope comes on suddenly. Friction is left out, which is on
/// the safe side.
///
/// # Errors
/// Unless the tension is at least zero, the weight above zero and the slope from 0 to 90°.
///
/// ```
/// use rope_mechanics::arrest::lying_bound;
/// use rope_mechanics::quantity::{Angle, Force, unit::{degree, newton}};
///
/// let n = Force::new::<newton>;
/// let bound = lying_bound(n(500.0), n(2000.0), Angle::new::<degree>(30.0))?;
/// assert!((bound.get::<newton>() - 1500.0).abs() < 1e-9);
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
pub fn lying_bound(tension: Force, weight: Force, slope: Angle) -> Result<Force, InputError> {
    let before_n = non_negative("tension", tension)?;
    let weight_n = positive("weight", weight)?;
    let slope_rad = within("slope", slope, 0.0, core::f64::consts::FRAC_PI_2)?;
    // max(P, 2·W·sin θ − P)
    Ok(newtons(before_n.max(2.0 * weight_n * math::sin(slope_rad) - before_n)))
}
