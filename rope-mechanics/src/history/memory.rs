//! What a rope remembers of its past: relaxation, a first pull that is softer than the next, knots that pull tight.

use crate::error::{Allowed, InputError, check, non_negative, positive, within};
use crate::math;
use crate::quantity::{Force, Length, Ratio, Time, metres, newtons, ratio};
use crate::rope::Stretch;
use core::f64::consts::LN_10;

/// How the tension of a rope between fixed ends fades after it was set.
///
/// T(t) = T₀·(1 − c·log₁₀(1 + t/t₀))
///
/// Assumed: the ends don't move, and the rope is not pulled again. The direction that is conservative depends on the
/// question: a large c for the height of the load, c = 0 for the greatest tension. From 0 to 15 % over the first
/// minutes is usual (from memory, no source); measure your rope.
///
/// ```
/// use rope_mechanics::history::Relaxation;
/// use rope_mechanics::quantity::{Force, Ratio, Time, unit::{minute, newton, percent, second}};
///
/// // 4 % for each tenfold of a minute: the first ten minutes take 4.17 %.
/// let rope = Relaxation::new(Ratio::new::<percent>(4.0), Time::new::<minute>(1.0))?;
/// let left = rope.tension(Force::new::<newton>(1500.0), Time::new::<second>(600.0))?;
/// assert!((left.get::<newton>() - 1500.0 * (1.0 - 0.04 * 11.0_f64.log10())).abs() < 1e-9);
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Relaxation {
    share: f64,
    reference_s: f64,
}

impl Relaxation {
    /// The share of the tension that each tenfold of time takes, and the time t₀ from which tenfolds count.
    ///
    /// # Errors
    /// Unless the share is from 0 to 0.2 and the time above zero.
    pub fn new(share_per_tenfold: Ratio, reference: Time) -> Result<Self, InputError> {
        Ok(Self {
            share: within("share_per_tenfold", share_per_tenfold, 0.0, 0.2)?,
            reference_s: positive("reference", reference)?,
        })
    }

    /// The share of the tension that is left after a time.
    ///
    /// # Errors
    /// Unless the time is at least zero, and so short that some tension is left.
    pub fn left(&self, after: Time) -> Result<Ratio, InputError> {
        let after_s = non_negative("after", after)?;
        // 1 − c·log₁₀(1 + t/t₀)
        let left = 1.0 - self.share * math::ln_1p(after_s / self.reference_s) / LN_10;
        if left > 0.0 {
            Ok(ratio(left))
        } else {
            // t < t₀·(10^(1/c) − 1)
            let longest_s = self.reference_s * math::exp_m1(LN_10 / self.share);
            Err(InputError::new("after", after_s, "s", Allowed::Below(longest_s)))
        }
    }

    /// The tension after a time, of a rope set to a tension.
    ///
    /// # Errors
    /// Unless the tension is at least zero; and as for [`Relaxation::left`].
    pub fn tension(&self, set: Force, after: Time) -> Result<Force, InputError> {
        Ok(newtons(non_negative("set_tension", set)? * self.left(after)?.value))
    }

    /// The tension to set, so that this one is left after a time.
    ///
    /// # Errors
    /// As for [`Relaxation::tension`].
    pub fn to_set(&self, wanted: Force, after: Time) -> Result<Force, InputError> {
        Ok(newtons(non_negative("wanted_tension", wanted)? / self.left(after)?.value))
    }

    /// The rope that would have to be paid out to lose as much tension: for
    /// [`Chain::with_added`](super::Chain::with_added).
    ///
    /// L'·(1 + ε(T)) = L·(1 + ε(T₀)): the stretched length stays, and L' − L is the rope gained.
    ///
    /// # Errors
    /// As for [`Relaxation::tension`]; unless the length is above zero.
    pub fn rope_gained(
        &self,
        length: Length,
        stretch: &Stretch,
        set: Force,
        after: Time,
    ) -> Result<Length, InputError> {
        let length_m = positive("length", length)?;
        let left_n = self.tension(set, after)?.value;
        let (before, now) = (stretch.strain_at(set.value), stretch.strain_at(left_n));
        // L'·(1 + ε(T)) = L·(1 + ε(T₀))
        Ok(metres(length_m * (before - now) / (1.0 + now)))
    }
}

/// A rope that follows one curve while it is pulled harder than ever before, and a stiffer one below that.
///
/// Up to the highest tension of its past T_h a used rope follows its working curve, which meets the first curve there:
///
/// ε(T) = ε₁(T) for T ≥ T_h;  ε₁(T_h) − ε_w(T_h) + ε_w(T) below
///
/// What is left at T = 0, ε₁(T_h) − ε_w(T_h), comes out of the rope only with rest.
///
/// Assumed: no time passes, and no cycle between (small quick cycles are stiffer again).
///
/// Source: the original and the working curve of Flory & Ahjem's change-in-length properties of fibre ropes, as read
/// in Falkenberg et al. 2017.
///
/// ```
/// use rope_mechanics::history::Worked;
/// use rope_mechanics::quantity::{Force, unit::{kilonewton, newton}};
/// use rope_mechanics::rope::Stretch;
///
/// let kn = Force::new::<kilonewton>;
/// let new = Worked::new(Stretch::linear(kn(40.0))?, Stretch::linear(kn(60.0))?)?;
/// let used = new.pulled(kn(3.0))?;
/// // 3 kN on the first curve; back at zero a third of that strain is left.
/// assert!((used.strain(kn(0.0))?.value - (3.0 / 40.0 - 3.0 / 60.0)).abs() < 1e-12);
/// assert_eq!(used.strain(kn(3.0))?, new.strain(kn(3.0))?);
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Worked {
    first: Stretch,
    working: Stretch,
    highest_n: f64,
}

impl Worked {
    /// A rope that was never pulled, by its two curves.
    ///
    /// # Errors
    /// Unless the working curve is at least as stiff as the first one: neither of its coefficients below.
    pub fn new(first: Stretch, working: Stretch) -> Result<Self, InputError> {
        check("working.a", working.a(), Allowed::AtLeast(first.a_n()))?;
        check("working.b", working.b(), Allowed::AtLeast(first.b_n()))?;
        Ok(Self { first, working, highest_n: 0.0 })
    }

    /// The same rope after it was pulled to a tension.
    ///
    /// # Errors
    /// Unless the tension is at least zero.
    pub fn pulled(self, tension: Force) -> Result<Self, InputError> {
        Ok(Self { highest_n: self.highest_n.max(non_negative("tension", tension)?), ..self })
    }

    /// The highest tension of its past.
    #[must_use]
    pub fn highest(&self) -> Force {
        newtons(self.highest_n)
    }

    /// The strain that stays when the rope is unloaded.
    #[must_use]
    pub fn left(&self) -> Ratio {
        // ε₁(T_h) − ε_w(T_h)
        ratio(self.first.strain_at(self.highest_n) - self.working.strain_at(self.highest_n))
    }

    /// The strain under a tension, of the rope as it was made.
    ///
    /// # Errors
    /// Unless the tension is at least zero.
    pub fn strain(&self, tension: Force) -> Result<Ratio, InputError> {
        let tension_n = non_negative("tension", tension)?;
        Ok(if tension_n >= self.highest_n {
            ratio(self.first.strain_at(tension_n))
        } else {
            self.left() + ratio(self.working.strain_at(tension_n))
        })
    }

    /// The tension under a strain; zero where the rope is still longer.
    ///
    /// # Errors
    /// Unless the strain is at least zero.
    pub fn tension(&self, strain: Ratio) -> Result<Force, InputError> {
        let strain = non_negative("strain", strain)?;
        Ok(newtons(if strain >= self.first.strain_at(self.highest_n) {
            self.first.tension_at(strain)
        } else {
            self.working.tension_at((strain - self.left().value).max(0.0))
        }))
    }
}

/// Knots that give up rope while they pull tight.
///
/// s(T) = s_all·min(1, T_h/T_tight), with the highest tension T_h so far: a knot that has set gives nothing back.
///
/// Assumed: in proportion to the tension, which no source says; the whole is from 0 to 0.2 m for the knots of one line
/// (from memory). The whole lowers the load, nothing raises the tension: try both.
///
/// ```
/// use rope_mechanics::history::SettingKnots;
/// use rope_mechanics::quantity::{Force, Length, unit::{kilonewton, meter}};
///
/// let knots = SettingKnots::new(Length::new::<meter>(0.1), Force::new::<kilonewton>(2.0))?;
/// let kn = Force::new::<kilonewton>;
/// // Set by hand at 1 kN, loaded to 3 kN: the second half comes out.
/// assert!((knots.rope_gained(kn(1.0), kn(3.0))?.get::<meter>() - 0.05).abs() < 1e-15);
/// assert_eq!(knots.rope_gained(kn(3.0), kn(1.0))?.get::<meter>(), 0.0);
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SettingKnots {
    whole_m: f64,
    tight_n: f64,
}

impl SettingKnots {
    /// All that the knots of a rope give up, and the tension at which they are tight.
    ///
    /// # Errors
    /// Unless the length is at least zero and the tension above zero.
    pub fn new(whole: Length, tight_at: Force) -> Result<Self, InputError> {
        Ok(Self { whole_m: non_negative("whole", whole)?, tight_n: positive("tight_at", tight_at)? })
    }

    /// What they give up when the highest tension rises from one to another; zero if it doesn't rise.
    ///
    /// # Errors
    /// Unless both are at least zero.
    pub fn rope_gained(&self, highest_before: Force, highest_now: Force) -> Result<Length, InputError> {
        let before = (non_negative("highest_before", highest_before)? / self.tight_n).min(1.0);
        let now = (non_negative("highest_now", highest_now)? / self.tight_n).min(1.0);
        // Δs = s_all·Δ min(1, T_h/T_tight)
        Ok(metres(self.whole_m * (now - before).max(0.0)))
    }
}
