//! Which of the usual tackles is enough for a hand or winch.

use super::TackleError;
use super::builder::Builder;
use super::usual::{Layout, Usual};
use crate::error::{InputError, positive};
use crate::quantity::{Force, Length, newtons};
use crate::sheave::Turn;

/// What the search minimises.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Preference {
    /// Sheaves; among equals the least rope.
    FewestSheaves,
    /// Rope; among equals the fewest sheaves.
    LeastRope,
}

/// A search among the usual tackles, direct and piggyback, for one with which a hand force is enough.
///
/// ```
/// use rope_mechanics::quantity::{Force, Length, Ratio, unit::{meter, newton, percent}};
/// use rope_mechanics::sheave::Turn;
/// use rope_mechanics::tackle::{Layout, UsualRatio, TackleSearch, Preference};
///
/// let m = Length::new::<meter>;
/// let layout = Layout::new(m(40.0), m(10.0))?;
/// let pulley = Turn::sheave(Ratio::new::<percent>(90.0))?;
/// let search = TackleSearch::new(Force::new::<newton>(2000.0), Force::new::<newton>(800.0), pulley, layout)?;
/// assert_eq!(search.find(Preference::FewestSheaves)?.usual.ratio, UsualRatio::ThreeToOne);
/// # Ok::<(), rope_mechanics::tackle::TackleError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TackleSearch {
    load_n: f64,
    available_n: f64,
    pulley: Turn,
    layout: Layout,
    lead: Option<bool>,
}

/// The tackle found. [`Usual::build_alike`] makes it.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Found {
    /// The kind of tackle.
    pub usual: Usual,
    /// The force at the hand while hauling.
    pub hand: Force,
    /// Its rope as drawn, apart from knots and tails.
    pub rope: Length,
}

impl TackleSearch {
    /// A search for a load's pull, the hand force available, one kind of pulley, and the layout.
    ///
    /// # Errors
    /// Unless both forces are above zero.
    pub fn new(load: Force, available: Force, pulley: Turn, layout: Layout) -> Result<Self, InputError> {
        Ok(Self {
            load_n: positive("load", load)?,
            available_n: positive("available", available)?,
            pulley,
            layout,
            lead: None,
        })
    }

    /// The same search among the tackles with a lead sheave only, or without one only.
    #[must_use]
    pub const fn with_lead(mut self, lead: bool) -> Self {
        self.lead = Some(lead);
        self
    }

    /// The best of those that are enough.
    ///
    /// # Errors
    /// [`TackleError::NotEnough`] if none is, with the hand force that the best of them needs.
    pub fn find(&self, wanted: Preference) -> Result<Found, TackleError> {
        let all = || Usual::all().filter(|u| self.lead.is_none_or(|lead| u.lead == lead));
        let mut best: Option<Found> = None;
        for sheaves in 0..=Usual::MOST_SHEAVES {
            // No tackle gives more than its ideal: the hand's force is not known to be enough, but may be.
            let may_do = |u: &Usual| self.load_n <= self.available_n * u.ratio.ideal() * (1.0 + ROUNDING);
            for usual in all().filter(|u| u.sheaves() == sheaves).filter(may_do) {
                let found = self.look(usual)?;
                if found.hand.value > self.available_n {
                    continue;
                }
                let better = best.as_ref().is_none_or(|best| {
                    // Those with fewer sheaves came before.
                    let by_rope = found.rope < best.rope;
                    by_rope && (wanted == Preference::LeastRope || usual.sheaves() == best.usual.sheaves())
                });
                if better {
                    best = Some(found);
                }
            }
            if best.is_some() && wanted == Preference::FewestSheaves {
                break;
            }
        }
        if let Some(best) = best {
            return Ok(best);
        }
        let mut least_n = f64::INFINITY;
        for usual in all() {
            least_n = least_n.min(self.look(usual)?.hand.value);
        }
        Err(TackleError::NotEnough { least_n })
    }

    /// The force at the hand of one of them, and its rope.
    fn look(&self, usual: Usual) -> Result<Found, TackleError> {
        let mut rig = Builder::new();
        usual.reeve_alike(&mut rig, &self.layout, self.pulley)?;
        let tackle = rig.close()?;
        let hand = tackle.hauling(newtons(self.load_n))?.hand();
        Ok(Found { usual, hand, rope: tackle.rope_needed() })
    }
}

/// What the tensions of a tackle are known to, with two digits to spare.
const ROUNDING: f64 = 1e-9;
