//! One rope fails, and others hold.

use super::pieces::Pieces;
use super::{ArrestError, certified};
use crate::error::{Allowed, InputError, SolveReport, non_negative, positive};
use crate::quantity::{Force, Length, metres, newtons};
use crate::rope::Stretch;

/// A rope that still holds when another fails, or several end to end: slack by so much, or already pulling.
///
/// A slack belay with a lanyard at its end: the slack is that of the whole, and both pull alike once it is used up.
///
/// ```
/// use rope_mechanics::arrest::{Holding, hand_over};
/// use rope_mechanics::quantity::{Force, Length, unit::{kilonewton, meter, newton}};
/// use rope_mechanics::rope::Stretch;
///
/// let (m, kn) = (Length::new::<meter>, Force::new::<kilonewton>);
/// let belay = Holding::slack(Stretch::linear(kn(80.0))?, m(40.0), m(0.5))?;
/// let lanyard = Stretch::linear(kn(20.0))?;
/// let lost = Force::new::<newton>(1363.0);
/// let alone = hand_over(lost, &[belay])?;
/// let with_lanyard = hand_over(lost, &[belay.with_in_series(lanyard, m(2.0))?])?;
/// assert!(with_lanyard.peak[0] < alone.peak[0]);
/// assert!(with_lanyard.peak_travel > alone.peak_travel);
/// # Ok::<(), rope_mechanics::arrest::ArrestError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Holding {
    /// As it answers to what comes on top of its standing tension.
    rope: Pieces,
    /// Travel until it comes taut; negative if it has, counted from where another one does.
    slack_m: f64,
    /// Its tension when the other rope fails.
    standing_n: f64,
}

impl Holding {
    /// A rope of this unstretched length, with slack in it: zero for one that is just straight.
    ///
    /// # Errors
    /// Unless the rope is at least a millimetre long and the slack at least zero.
    pub fn slack(stretch: Stretch, length: Length, slack: Length) -> Result<Self, InputError> {
        let rope = Pieces::one(length, stretch)?;
        Ok(Self { rope, slack_m: non_negative("slack", slack)?, standing_n: 0.0 })
    }

    /// A rope of this unstretched length that already pulls.
    ///
    /// # Errors
    /// Unless the rope is at least a millimetre long and the tension at least zero.
    pub fn taut(stretch: Stretch, length: Length, tension: Force) -> Result<Self, InputError> {
        let rope = Pieces::one(length, stretch)?;
        let standing_n = non_negative("tension", tension)?;
        Ok(Self { rope: rope.beyond(standing_n), slack_m: 0.0, standing_n })
    }

    /// Adds another piece of rope end to end with the first, which stretches in its own way: a lanyard, a sling,
    /// the rest of the rope beyond a knot to another one.
    ///
    /// Their order makes no difference. The slack or the tension is that of the whole.
    ///
    /// # Errors
    /// Unless the piece is at least a millimetre long; if there are [`MOST_PIECES`](super::MOST_PIECES) already.
    pub fn with_in_series(self, stretch: Stretch, length: Length) -> Result<Self, InputError> {
        let beyond = stretch.beyond(stretch.strain_at(self.standing_n));
        Ok(Self { rope: self.rope.and(length, beyond)?, ..self })
    }

    /// Further elongation after the load has gone down by `travel_m`.
    fn further_m(&self, travel_m: f64) -> f64 {
        (travel_m - self.slack_m).max(0.0)
    }

    /// Tension added, in N.
    fn added_n(&self, travel_m: f64) -> f64 {
        self.rope.tension_n(self.further_m(travel_m))
    }

    /// Energy taken up beyond the standing tension times the travel, in J.
    fn added_j(&self, travel_m: f64) -> f64 {
        self.rope.energy_j(self.added_n(travel_m))
    }

    /// dT/dy, in N/m.
    fn stiffness_n_per_m(&self, travel_m: f64) -> f64 {
        if travel_m > self.slack_m || self.slack_m == 0.0 {
            1.0 / self.rope.flexibility_m_per_n(self.added_n(travel_m))
        } else {
            0.0
        }
    }

    fn tension(&self, travel_m: f64) -> Force {
        newtons(self.standing_n + self.added_n(travel_m))
    }
}

/// What the remaining ropes hold after another has failed. The tensions are in the order of the ropes.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct HandOver<const N: usize> {
    /// Tensions once the load has come to rest.
    pub rest: [Force; N],
    /// How far the load has moved down along the ropes by then.
    pub rest_travel: Length,
    /// Tensions at the lowest point of the first swing, undamped.
    pub peak: [Force; N],
    /// How far down that is.
    pub peak_travel: Length,
    /// How the answer was reached: the residual is the larger of what is left over of the energy at the peak
    /// and of the force at rest, each by the terms it is made of.
    pub report: SolveReport,
}

/// A rope that carried `lost` fails; the others, side by side with it, take over.
///
/// Assumed: all ropes run the same way, and the rest of the load's weight stays where it was. That is the litter
/// on its track rope when the haul rope fails: the track keeps its share, and what runs away down the line is
/// the pull P that the haul rope had. A second rope besides the belay (a tag line, another belay) shares.
///
/// At the lowest point y, Σ Uᵢ(y) − Σ Uᵢ(0) = (P + Σ Tᵢ(0))·y;  at rest, Σ Tᵢ(y) = P + Σ Tᵢ(0).
///
/// A rope of pieces end to end has the tension Tᵢ under which their elongations add up to what it has been pulled out.
///
/// One linear belay rope of length L with the slack s gives P + √(P² + 2P·EA·s/L): exactly 2P without slack.
///
/// ```
/// use rope_mechanics::arrest::{Holding, hand_over};
/// use rope_mechanics::quantity::{Force, Length, unit::{kilonewton, meter, newton}};
/// use rope_mechanics::rope::Stretch;
///
/// let stretch = Stretch::linear(Force::new::<kilonewton>(80.0))?;
/// let belay = Holding::slack(stretch, Length::new::<meter>(40.0), Length::new::<meter>(0.0))?;
/// let after = hand_over(Force::new::<newton>(1363.0), &[belay])?;
/// assert!((after.peak[0].get::<newton>() - 2726.0).abs() < 1e-9);
/// assert!((after.rest[0].get::<newton>() - 1363.0).abs() < 1e-9);
/// # Ok::<(), rope_mechanics::arrest::ArrestError>(())
/// ```
///
/// # Errors
/// Unless the lost tension is above zero and at least one rope holds.
pub fn hand_over<const N: usize>(lost: Force, holding: &[Holding; N]) -> Result<HandOver<N>, ArrestError> {
    let lost_n = positive("lost", lost)?;
    if N == 0 {
        return Err(InputError::new("holding", 0.0, "", Allowed::AtLeast(1.0)).into());
    }
    let first_m = holding.iter().fold(f64::INFINITY, |least, rope| least.min(rope.slack_m));
    let from = |origin_m: f64| holding.map(|rope| Holding { slack_m: rope.slack_m - origin_m, ..rope });
    // Σ(Uᵢ(y) − Uᵢ(0) − Tᵢ(0)·y) − P·y is convex in y, and so is its slope: Newton from above never overshoots.
    let energy = |ropes: &[Holding; N], origin_m: f64, y: f64| {
        ropes.iter().map(|rope| rope.added_j(y)).sum::<f64>() - lost_n * (origin_m + y)
    };
    let force = |ropes: &[Holding; N], y: f64| ropes.iter().map(|rope| rope.added_n(y)).sum::<f64>() - lost_n;
    let stiffness =
        |ropes: &[Holding; N], y: f64| ropes.iter().map(|rope| rope.stiffness_n_per_m(y)).sum::<f64>();
    // Counted from where the last rope comes taut that does so on the way: the stretch of a stiff one would be lost
    // in the digits of a long travel.
    let origin = |still: &dyn Fn(f64) -> bool| {
        holding.iter().map(|rope| rope.slack_m).filter(|&slack_m| still(slack_m)).fold(first_m, f64::max)
    };
    let mut steps = 0;
    // Any one rope would stop the load alone; the others only help. So the first to do so is an upper bound.
    let peak_origin_m = origin(&|slack_m| energy(&from(slack_m), slack_m, 0.0) <= 0.0);
    let ropes = from(peak_origin_m);
    let mut travel_m = f64::INFINITY;
    for (rope, given) in ropes.iter().zip(holding) {
        // Σ Lᵢ·(½kδᵢ² + ⅓bδᵢ³) = P·(s + Σ Lᵢ·δᵢ)
        let alone = given.rope.stop(lost_n, lost_n * given.slack_m);
        travel_m = travel_m.min(rope.slack_m + alone.elongation_m);
        steps += alone.steps;
    }
    let (peak_m, more) =
        down_to_root(travel_m.max(0.0), |y| energy(&ropes, peak_origin_m, y), |y| force(&ropes, y));
    steps += more;
    let energy_scale = lost_n * (peak_origin_m + peak_m) + force(&ropes, peak_m).abs() * peak_m;
    let energy_left = energy(&ropes, peak_origin_m, peak_m) / energy_scale;
    let peak = ropes.map(|rope| rope.tension(peak_m));

    let rest_origin_m = origin(&|slack_m| force(&from(slack_m), 0.0) <= 0.0);
    let ropes = from(rest_origin_m);
    let (rest_m, more) = down_to_root(
        peak_m + (peak_origin_m - rest_origin_m),
        |y| force(&ropes, y),
        |y| stiffness(&ropes, y),
    );
    steps += more;
    let force_scale = lost_n + stiffness(&ropes, rest_m) * rest_m;
    let force_left = force(&ropes, rest_m) / force_scale;
    Ok(HandOver {
        rest: ropes.map(|rope| rope.tension(rest_m)),
        rest_travel: metres(rest_origin_m + rest_m),
        peak,
        peak_travel: metres(peak_origin_m + peak_m),
        report: SolveReport::new(steps, certified(energy_left.abs().max(force_left.abs()))?),
    })
}

/// Newton's method on a convex rising function, from a point at or above its root.
///
/// Exact arithmetic would come down to the root and never pass it; one that is passed by rounding takes one
/// more step, back up.
fn down_to_root(from: f64, value: impl Fn(f64) -> f64, slope: impl Fn(f64) -> f64) -> (f64, u32) {
    let mut y = from;
    for steps in 0..200 {
        let (excess, rise) = (value(y), slope(y));
        let next = y - excess / rise;
        if excess == 0.0 || rise <= 0.0 || next == y {
            return (y, steps);
        }
        y = next;
        if excess < 0.0 {
            return (y, steps + 1);
        }
    }
    (y, 200)
}
