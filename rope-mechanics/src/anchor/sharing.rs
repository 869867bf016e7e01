//! Legs that share a load at a master point.

use super::AnchorError;
use crate::error::{self, InputError, SolveReport};
use crate::geometry::{Force3, Point3};
use crate::math;
use crate::members::{self, Member};
use crate::quantity::{Angle, Force, Length, Ratio, metres, newtons, ratio};
use crate::rope::Stretch;
use crate::springs::{Spring, Springs};
use core::f64::consts::PI;
use nalgebra::Vector3;

/// Most legs of an anchor.
pub const MOST_LEGS: usize = 8;
/// Settled until the forces balance to this share of the load, or no better for rounding.
const ROUNDING: f64 = 1e-14;
/// Legs shorter than this have no direction.
const APART_M: f64 = 1e-3;

/// The force in each leg of two that share a load evenly: two anchors in a V, or a sling.
///
/// T = W / (2·cos(α/2)), with α the angle between the legs
///
/// Assumed: the load bisects the angle, and the legs are equally stiff or adjust themselves. At 120° each leg
/// takes the whole load. Range: 0 ≤ α < 180°.
///
/// Source: statics of a point, nothing else. Checked against a web table on V anchors (read).
///
/// ```
/// use rope_mechanics::anchor::v_anchor;
/// use rope_mechanics::quantity::{Angle, Force, unit::{degree, newton}};
///
/// let leg = v_anchor(Force::new::<newton>(1000.0), Angle::new::<degree>(120.0))?;
/// assert!((leg.get::<newton>() - 1000.0).abs() < 1e-9);
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
///
/// # Errors
/// Unless the load is at least zero and the angle from 0 to below 180°.
pub fn v_anchor(load: Force, angle: Angle) -> Result<Force, InputError> {
    let load_n = error::non_negative("load", load)?;
    error::non_negative("angle", angle)?;
    // Nearer to 180° than this, the cosine is rounding.
    let angle = error::check("angle", angle, error::Allowed::AtMost(PI - 1e-9))?;
    // T = W / (2·cos(α/2))
    Ok(newtons(load_n / (2.0 * math::cos(0.5 * angle))))
}

/// One leg of an anchor: a rope or sling from its own anchor to the master point. It only pulls.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AnchorLeg {
    at_m: Vector3<f64>,
    stretch: Stretch,
    slack_m: f64,
}

impl AnchorLeg {
    /// A leg by the place of its own anchor and its axial stiffness EA.
    ///
    /// # Errors
    /// Unless the place is finite and the stiffness from 100 N to 1e12 N.
    pub fn new(at: Point3, axial_stiffness: Force) -> Result<Self, InputError> {
        error::within("axial_stiffness", axial_stiffness, 1e2, 1e12)?;
        Ok(Self { at_m: at.finite("at")?, stretch: Stretch::linear(axial_stiffness)?, slack_m: 0.0 })
    }

    /// The same leg, longer than the distance to the master point by this much. Without slack it is just taut before the
    /// load.
    ///
    /// # Errors
    /// Unless at least zero.
    pub fn with_slack(mut self, slack: Length) -> Result<Self, InputError> {
        self.slack_m = error::non_negative("slack", slack)?;
        Ok(self)
    }
}

/// An anchor: several legs that meet at a master point, where the load hangs.
///
/// Each leg is a linear spring, k = EA/L; a leg that would have to push drops out. Range: 1 to 8 legs; no
/// allocation.
///
/// Source: statics of linear springs; which legs [`Anchor::share`] finds slack, by Lawson & Hanson, *Solving Least
/// Squares Problems* (1974), ch. 23, and Nocedal & Wright, *Numerical Optimization* (2006), § 16.5, both from memory.
///
/// ```
/// use rope_mechanics::anchor::{Anchor, AnchorLeg};
/// use rope_mechanics::geometry::{Force3, Point3};
/// use rope_mechanics::quantity::{Force, Length, unit::{kilonewton, meter, newton}};
///
/// // Three parallel legs of 1, 2 and 3 m: the shortest takes most.
/// let leg = |x: f64| {
///     let at = Point3::new(Length::new::<meter>(-x), Length::default(), Length::default());
///     AnchorLeg::new(at, Force::new::<kilonewton>(50.0))
/// };
/// let anchor = Anchor::new(Point3::default(), &[leg(1.0)?, leg(2.0)?, leg(3.0)?])?;
/// let load = Force3::new(Force::new::<newton>(1000.0), Force::default(), Force::default());
/// let shares = anchor.share(load)?;
/// assert!((shares.tensions()[0].value - 545.45).abs() < 0.005);
/// # Ok::<(), rope_mechanics::anchor::AnchorError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Anchor {
    master_m: Vector3<f64>,
    legs: [Option<AnchorLeg>; MOST_LEGS],
    count: usize,
}

/// How legs share a load at a master point that stays where it is.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Shares {
    tensions: ([Force; MOST_LEGS], usize),
    load_n: f64,
    /// Residual of the equilibrium of the master point, as a share of the largest force.
    pub report: SolveReport,
}

impl Shares {
    /// Tension of each leg, in the order given. Zero for a slack one.
    #[must_use]
    pub fn tensions(&self) -> &[Force] {
        self.tensions.0.get(..self.tensions.1).unwrap_or_default()
    }

    /// Tension of each leg divided by the load.
    pub fn shares(&self) -> impl Iterator<Item = Ratio> + '_ {
        self.tensions().iter().map(|t| ratio(t.value / self.load_n))
    }
}

/// An anchor that has settled under its load: its master point has moved to where the legs balance it.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct SettledAnchor {
    /// Tensions and shares there.
    pub shares: Shares,
    /// Where the master point ends up.
    pub master: Point3,
    /// How far it has moved.
    pub moved: Length,
}

/// What happens when one leg of an anchor fails.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct LegLoss {
    /// With all legs.
    pub before: SettledAnchor,
    /// Without that leg, whose tension reads zero.
    pub after: SettledAnchor,
    /// How far the load drops in its own direction, from one equilibrium to the other.
    ///
    /// The tensions after the loss are those at rest; for the peak on the way see [`crate::arrest`].
    pub drop: Length,
}

impl Anchor {
    /// An anchor by its master point and its legs.
    ///
    /// # Errors
    /// Unless the master point is finite and there are 1 to 8 legs, none shorter than 1 mm.
    pub fn new(master: Point3, legs: &[AnchorLeg]) -> Result<Self, AnchorError> {
        if legs.is_empty() || legs.len() > MOST_LEGS {
            return Err(AnchorError::Count { given: legs.len(), least: 1, most: MOST_LEGS });
        }
        let mut anchor =
            Self { master_m: master.finite("master")?, legs: [None; MOST_LEGS], count: legs.len() };
        for (index, (slot, leg)) in anchor.legs.iter_mut().zip(legs).enumerate() {
            if math::sqrt((anchor.master_m - leg.at_m).norm_squared()) < APART_M {
                return Err(AnchorError::NoDirection { index });
            }
            *slot = Some(*leg);
        }
        Ok(anchor)
    }

    /// How many legs it has.
    #[must_use]
    pub const fn legs(&self) -> usize {
        self.count
    }

    /// How the legs share a load while the master point hardly moves.
    ///
    /// Tᵢ = kᵢ·max(0, aᵢ·d), with kᵢ = EAᵢ/Lᵢ, aᵢ from the anchor of the leg to the master point, and d the same
    /// shift for all
    ///
    /// Assumed: small displacements, so that no leg changes its direction; a master point like a knot or a ring
    /// that doesn't let legs run through it. Where the legs can't hold the load at this place, the master point
    /// swings: see [`Anchor::settle`].
    ///
    /// # Errors
    /// Unless the load is finite and not zero; if a leg has slack; [`AnchorError::Swings`]; if the residual isn't
    /// reached.
    pub fn share(&self, load: Force3) -> Result<Shares, AnchorError> {
        let (load, load_n) = checked_load(load)?;
        let none = Member { along: Vector3::zeros(), stiffness: 0.0, both_ways: false };
        let mut all = [none; MOST_LEGS];
        for (index, (member, leg)) in all.iter_mut().zip(self.legs.iter().flatten()).enumerate() {
            if leg.slack_m > 0.0 {
                return Err(AnchorError::Slack { index });
            }
            let run = leg.at_m - self.master_m;
            let length_m = math::sqrt(run.norm_squared());
            *member =
                Member { along: run / length_m, stiffness: leg.stretch.a_n() / length_m, both_ways: false };
        }
        let balance = members::balance(all.get(..self.count).unwrap_or_default(), -load)
            .ok_or(AnchorError::Unsolved)?;
        if !balance.holds() {
            return Err(AnchorError::Swings { missing_n: math::sqrt(balance.missing.norm_squared()) });
        }
        let mut tensions = [Force::default(); MOST_LEGS];
        for (tension, x) in tensions.iter_mut().zip(&balance.forces) {
            *tension = newtons(*x);
        }
        Ok(Shares {
            tensions: (tensions, self.count),
            load_n,
            report: SolveReport::new(balance.steps, balance.residual),
        })
    }

    /// Where the master point moves to under the load, and what the legs carry there.
    ///
    /// Minimum over p of Σ ½·kᵢ·max(0, |p − aᵢ| − Lᵢ)² − F·p
    ///
    /// Assumed: linear springs whose lengths Lᵢ are the distances before the load plus their slack; directions
    /// exact, however far the master point swings; nothing in its way. The energy is convex, so there is one
    /// equilibrium. Residual at most 1e-9.
    ///
    /// # Errors
    /// Unless the load is finite and not zero; if the residual isn't reached.
    pub fn settle(&self, load: Force3) -> Result<SettledAnchor, AnchorError> {
        let (load, load_n) = checked_load(load)?;
        self.settle_without(None, load, load_n)
    }

    /// What happens when a leg fails: the anchor before, and settled again without it.
    ///
    /// # Errors
    /// As [`Anchor::settle`]; if there is no such leg, or no other.
    pub fn after_losing(&self, leg: usize, load: Force3) -> Result<LegLoss, AnchorError> {
        let (load, load_n) = checked_load(load)?;
        if leg >= self.count {
            return Err(AnchorError::NoLeg { index: leg, legs: self.count });
        }
        if self.count == 1 {
            return Err(AnchorError::Count { given: 1, least: 2, most: MOST_LEGS });
        }
        let before = self.settle_without(None, load, load_n)?;
        let after = self.settle_without(Some(leg), load, load_n)?;
        let drop = (after.master.si() - before.master.si()).dot(&load) / load_n;
        Ok(LegLoss { before, after, drop: metres(drop) })
    }

    fn settle_without(
        &self,
        lost: Option<usize>,
        load: Vector3<f64>,
        load_n: f64,
    ) -> Result<SettledAnchor, AnchorError> {
        let mut springs = Springs([None; MOST_LEGS]);
        for (index, (slot, leg)) in springs.0.iter_mut().zip(self.legs.iter().flatten()).enumerate() {
            if lost != Some(index) {
                let run = self.master_m - leg.at_m;
                let length_m = math::sqrt(run.norm_squared()) + leg.slack_m;
                *slot = Some(Spring::new(run, length_m, -leg.slack_m, leg.stretch, load_n));
            }
        }
        // From where every leg is stretched.
        let first = load * (2.0 * springs.longest_m() / load_n);
        let (moved, steps) = springs.settle(load, load_n, first, ROUNDING).ok_or(AnchorError::Unsolved)?;
        let (tensions, residual) = springs.certified(load, load_n).ok_or(AnchorError::Unsolved)?;
        let report = SolveReport::new(steps, residual);
        Ok(SettledAnchor {
            shares: Shares { tensions: (tensions.map(newtons), self.count), load_n, report },
            master: Point3::from_si(self.master_m + moved),
            moved: metres(math::sqrt(moved.norm_squared())),
        })
    }
}

fn checked_load(load: Force3) -> Result<(Vector3<f64>, f64), InputError> {
    let load = load.finite("load")?;
    let size = math::sqrt(load.norm_squared());
    error::positive("load", newtons(size))?;
    Ok((load, size))
}
