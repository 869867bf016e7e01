//! The tackles that crews build most, ready made. All go through the general solver.

use super::TackleError;
use super::arrangement::{CarrierId, RopeStop, Tackle};
use super::builder::Builder;
use crate::error::{Allowed, InputError, check, positive};
use crate::math::lists;
use crate::quantity::{Length, metres};
use crate::sheave::Turn;
use arrayvec::ArrayVec;

/// The ideal advantage of a usual tackle, and how it comes about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
#[non_exhaustive]
pub enum UsualRatio {
    /// 1:1, a straight pull; with a lead, the redirect.
    OneToOne,
    /// 2:1, a rope from the anchor around one travelling sheave.
    TwoToOne,
    /// 3:1, one sheave at the anchor and one travelling.
    ThreeToOne,
    /// 4:1, a 2:1 pulled by a 2:1.
    FourToOne,
    /// 5:1, two sheaves at the anchor and two travelling.
    FiveToOne,
    /// 5:1 of three sheaves and two grabs, one of which travels towards the load. It is pulled towards the load.
    FiveToOneComplex,
    /// 6:1, a 3:1 pulled by a 2:1.
    SixToOne,
    /// 9:1, a 3:1 pulled by a 3:1.
    NineToOne,
}

impl UsualRatio {
    /// All of them, by rising advantage.
    pub const ALL: [Self; 8] = [
        Self::OneToOne,
        Self::TwoToOne,
        Self::ThreeToOne,
        Self::FourToOne,
        Self::FiveToOne,
        Self::FiveToOneComplex,
        Self::SixToOne,
        Self::NineToOne,
    ];

    /// The advantage without losses.
    ///
    /// While it hauls a usual tackle gives no more. With r ≤ 1 passed on by each sheave it gives, in the order of
    /// [`ALL`](Self::ALL), 1, 1 + r, 1 + r + r², (1 + r)², 1 + r + r² + r³ + r⁴, 2r + 2r² + r³, (1 + r + r²)·(1 + r) and
    /// (1 + r + r²)², each times r for a lead.
    pub(super) const fn ideal(self) -> f64 {
        match self {
            Self::OneToOne => 1.0,
            Self::TwoToOne => 2.0,
            Self::ThreeToOne => 3.0,
            Self::FourToOne => 4.0,
            Self::FiveToOne | Self::FiveToOneComplex => 5.0,
            Self::SixToOne => 6.0,
            Self::NineToOne => 9.0,
        }
    }

    /// Sheaves without a lead.
    const fn sheaves(self) -> usize {
        match self {
            Self::OneToOne => 0,
            Self::TwoToOne => 1,
            Self::ThreeToOne | Self::FourToOne => 2,
            Self::FiveToOneComplex | Self::SixToOne => 3,
            Self::FiveToOne | Self::NineToOne => 4,
        }
    }
}

/// What the tackle pulls on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
pub enum UsualForm {
    /// The load's own rope makes the tackle, or its sheave sits at the load (2:1, 4:1). A sheave at the anchor, or
    /// a grab there that the rope runs straight through, captures progress.
    Direct,
    /// A tackle of its own grips the load's rope, and a grab at the anchor holds that rope.
    Piggyback,
}

/// Where the parts of a usual tackle stand along its line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layout {
    load_m: f64,
    spread_m: f64,
    hand_m: f64,
}

impl Layout {
    /// The load's distance from the anchor, and that of the travelling block or grab when the tackle is spread out.
    ///
    /// The hand stands 1 m beyond the anchor, or with a lead 1 m from it on the load's side.
    ///
    /// # Errors
    /// Unless the spread is above zero and below the load's distance.
    pub fn new(load: Length, spread: Length) -> Result<Self, InputError> {
        let spread_m = positive("spread", spread)?;
        Ok(Self { load_m: check("load_distance", load, Allowed::Above(spread_m))?, spread_m, hand_m: 1.0 })
    }

    /// How far from the anchor the hand or winch stands.
    ///
    /// # Errors
    /// Unless it is above zero.
    pub fn with_hand(mut self, distance: Length) -> Result<Self, InputError> {
        self.hand_m = positive("hand_distance", distance)?;
        Ok(self)
    }
}

/// The second grab of a compound tackle starts at this share of the first one's spread, and that of the complex 5:1,
/// which travels the other way, at the rest of it.
const SECOND_GRAB: f64 = 0.9;

/// A usual tackle: which, on what it pulls, and whether a lead sheave at the anchor turns the hand's end back.
///
/// ```
/// use rope_mechanics::quantity::{Force, Length, Ratio, unit::{meter, newton, percent}};
/// use rope_mechanics::sheave::Turn;
/// use rope_mechanics::tackle::{Layout, UsualRatio, Usual};
///
/// let m = Length::new::<meter>;
/// let pulley = Turn::sheave(Ratio::new::<percent>(90.0))?;
/// let layout = Layout::new(m(40.0), m(10.0))?;
/// let tackle = Usual::new(UsualRatio::ThreeToOne).build_alike(&layout, pulley)?;
/// assert!((tackle.advantage()?.hauling.value - 2.71).abs() < 1e-12);
/// assert!((tackle.throw(m(0.5))?.load.get::<meter>() - 9.5).abs() < 1e-12);
/// # Ok::<(), rope_mechanics::tackle::TackleError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Usual {
    /// Which ratio.
    pub ratio: UsualRatio,
    /// On what it pulls.
    pub form: UsualForm,
    /// Whether the rope turns over a lead sheave at the anchor before the hand.
    pub lead: bool,
}

type RopePath = ArrayVec<RopeStop, 10>;

impl Usual {
    /// Of any of them, the lead included.
    pub(super) const MOST_SHEAVES: usize = 5;

    /// Made with the load's own rope, without a lead.
    #[must_use]
    pub const fn new(ratio: UsualRatio) -> Self {
        Self { ratio, form: UsualForm::Direct, lead: false }
    }

    /// As a tackle of its own that grips the load's rope.
    #[must_use]
    pub const fn piggyback(mut self) -> Self {
        self.form = UsualForm::Piggyback;
        self
    }

    /// With a lead sheave at the anchor.
    #[must_use]
    pub const fn with_lead(mut self) -> Self {
        self.lead = true;
        self
    }

    /// All that can be built, by rising advantage.
    pub fn all() -> impl Iterator<Item = Self> {
        UsualRatio::ALL.into_iter().flat_map(|ratio| {
            [
                (UsualForm::Direct, false),
                (UsualForm::Direct, true),
                (UsualForm::Piggyback, false),
                (UsualForm::Piggyback, true),
            ]
            .into_iter()
            .map(move |(form, lead)| Self { ratio, form, lead })
            .filter(|usual| !(usual.lead && usual.ratio == UsualRatio::FiveToOneComplex))
        })
    }

    /// How many pulleys it takes, the lead included.
    #[must_use]
    pub const fn sheaves(&self) -> usize {
        self.ratio.sheaves() + if self.lead { 1 } else { 0 }
    }

    /// The tackle with the same pulley everywhere.
    ///
    /// # Errors
    /// [`TackleError::NoLead`] for the complex 5:1 with a lead.
    pub fn build_alike(&self, layout: &Layout, pulley: Turn) -> Result<Tackle, TackleError> {
        let mut rig = Builder::new();
        self.reeve_alike(&mut rig, layout, pulley)?;
        rig.build()
    }

    /// Adds its carriers and ropes to what is empty yet, with the same pulley everywhere.
    pub(crate) fn reeve_alike(
        &self,
        rig: &mut Builder,
        layout: &Layout,
        pulley: Turn,
    ) -> Result<(), TackleError> {
        // No usual tackle has more than seven sheaves.
        let pulleys: ArrayVec<Turn, 8> = lists::list(core::iter::repeat_n(pulley, self.sheaves()));
        self.reeve(rig, layout, &pulleys)
    }

    /// The tackle with these pulleys, in the order in which the rope reaches them from the load to the hand.
    ///
    /// # Errors
    /// If there are too few or too many pulleys; [`TackleError::NoLead`] for the complex 5:1 with a lead.
    pub fn build(&self, layout: &Layout, pulleys: &[Turn]) -> Result<Tackle, TackleError> {
        let mut rig = Builder::new();
        self.reeve(&mut rig, layout, pulleys)?;
        rig.build()
    }

    /// Adds its carriers and ropes to a builder with nothing in it yet, which then closes it in its place.
    ///
    /// # Errors
    /// As [`build`](Self::build).
    pub fn reeve(&self, rig: &mut Builder, layout: &Layout, pulleys: &[Turn]) -> Result<(), TackleError> {
        if self.lead && self.ratio == UsualRatio::FiveToOneComplex {
            return Err(TackleError::NoLead);
        }
        if pulleys.len() != self.sheaves() {
            return Err(TackleError::Pulleys { needed: self.sheaves(), given: pulleys.len() });
        }
        let mut pulleys = pulleys.iter().copied();
        let mut next = || pulleys.next().unwrap_or(Turn::FRICTIONLESS);

        let at = |rig: &mut Builder, name, x| rig.anchor_in_line(name, metres(x));
        let anchor = at(rig, "anchor", 0.0)?;
        let load = rig.load_in_line("load", metres(layout.load_m))?;
        let direct = self.form == UsualForm::Direct;

        // What the tackle pulls: the load itself, or a grab on the load's rope.
        let at_load = direct
            && matches!(self.ratio, UsualRatio::OneToOne | UsualRatio::TwoToOne | UsualRatio::FourToOne);
        let pulled = if at_load { load } else { rig.carrier_in_line("grab", metres(layout.spread_m))? };
        if !direct {
            let tail = at(rig, "tail", -layout.hand_m)?;
            let capture = RopeStop::Capture(anchor, Turn::FRICTIONLESS);
            rig.rope("main", &[RopeStop::End(load), RopeStop::Grab(pulled), capture, RopeStop::Tail(tail)])?;
        }
        let second = match self.ratio {
            UsualRatio::FiveToOneComplex => {
                Some(rig.carrier_in_line("second grab", metres(layout.spread_m * (1.0 - SECOND_GRAB)))?)
            }
            UsualRatio::FourToOne if at_load => {
                Some(rig.carrier_in_line("second block", metres(layout.spread_m))?)
            }
            UsualRatio::FourToOne | UsualRatio::SixToOne | UsualRatio::NineToOne => {
                Some(rig.carrier_in_line("second grab", metres(layout.spread_m * SECOND_GRAB))?)
            }
            _ => None,
        };
        let hand = match self.ratio {
            UsualRatio::FiveToOneComplex => at(rig, "hand", layout.spread_m + layout.hand_m)?,
            _ if self.lead => at(rig, "hand", layout.hand_m)?,
            _ => at(rig, "hand", -layout.hand_m)?,
        };
        let second_at: CarrierId = second.unwrap_or(pulled);

        let mut rope = RopePath::new();
        let mut add = |stops: &[RopeStop]| stops.iter().for_each(|stop| lists::add(&mut rope, *stop));
        // The beginning, as far as the sheave at the anchor: the load's own rope, or a rope tied to the grab.
        let odd = |turn: Turn| -> RopePath {
            if direct {
                lists::list([RopeStop::End(load), RopeStop::Grab(pulled), RopeStop::Capture(anchor, turn)])
            } else {
                lists::list([RopeStop::End(pulled), RopeStop::Sheave(anchor, turn)])
            }
        };
        let mut captured = !direct || !at_load;
        match self.ratio {
            UsualRatio::OneToOne => add(&[RopeStop::End(pulled)]),
            UsualRatio::TwoToOne => add(&[RopeStop::End(anchor), RopeStop::Sheave(pulled, next())]),
            UsualRatio::ThreeToOne => {
                add(&odd(next()));
                add(&[RopeStop::Sheave(pulled, next())]);
            }
            UsualRatio::FourToOne => {
                rig.rope(
                    "first",
                    &[RopeStop::End(anchor), RopeStop::Sheave(pulled, next()), RopeStop::End(second_at)],
                )?;
                add(&[RopeStop::End(anchor), RopeStop::Sheave(second_at, next())]);
            }
            UsualRatio::FiveToOne => {
                add(&odd(next()));
                add(&[
                    RopeStop::Sheave(pulled, next()),
                    RopeStop::Sheave(anchor, next()),
                    RopeStop::Sheave(pulled, next()),
                ]);
            }
            UsualRatio::FiveToOneComplex => {
                add(&odd(next()));
                add(&[
                    RopeStop::Grab(second_at),
                    RopeStop::Sheave(pulled, next()),
                    RopeStop::Sheave(second_at, next()),
                ]);
            }
            UsualRatio::SixToOne => {
                let mut first = odd(next());
                lists::add(&mut first, RopeStop::Sheave(pulled, next()));
                lists::add(&mut first, RopeStop::End(second_at));
                rig.rope("first", &first)?;
                add(&[RopeStop::End(anchor), RopeStop::Sheave(second_at, next())]);
            }
            UsualRatio::NineToOne => {
                add(&odd(next()));
                add(&[RopeStop::Sheave(pulled, next()), RopeStop::Grab(second_at)]);
                add(&[RopeStop::Sheave(anchor, next()), RopeStop::Sheave(second_at, next())]);
            }
        }
        // A rope that doesn't yet pass a capture on its way gets it last: at the lead, or straight through.
        if self.lead {
            let lead = next();
            add(&[if captured { RopeStop::Sheave(anchor, lead) } else { RopeStop::Capture(anchor, lead) }]);
            captured = true;
        }
        if !captured {
            add(&[RopeStop::Capture(anchor, Turn::FRICTIONLESS)]);
        }
        add(&[RopeStop::Hand(hand)]);
        rig.rope("haul", &rope)?;
        Ok(())
    }
}
