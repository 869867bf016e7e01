//! Haul: the line that raises the load, from the load through its redirects and its tackle to the winch.
//!
#![doc = include_str!("docs/pictures/haul.svg")]
//!
//! **Caution.** An aid for planning and training by qualified people. A winch built for pulling may be barred by
//! its own standard from lifting people. Makers' instructions and the authority having jurisdiction come first.
//!
//! The pull at the load is given: on the ground by [`slope`](crate::slope), from the held carriage by
//! [`line`](crate::line). From there the rope runs over redirects to the tackle, and over others from the tackle
//! to the winch. Each redirect multiplies the tension by its ratio hauling or lowering
//! ([`Turn::band`](crate::sheave::Turn::band)); the tackle does what its general solver says.
//!
//! F = pull · Π before / advantage · Π after
//!
//! At rest the force at the winch is anywhere between that for lowering and that for hauling.
//!
//! | question | where |
//! |---|---|
//! | what the load asks of its haul line | [`LoadPull`] |
//! | the way of the rope: redirects before and after the tackle | [`Route`], from [`HaulRedirect`]s |
//! | the force at the winch and in every part | [`Haul::forces`] |
//! | the force on each redirect | [`Haul::redirects`] |
//! | the least usual tackle that the winch can pull with | [`Route::least_advantage`] |
//! | how fast the load comes | [`Haul::load_speed`], [`Haul::winch_speed`] |
//! | how long the haul takes, its resets and its rope | [`Haul::journey`] |
//!
//! Nothing here needs a heap.
//!
//! ```
//! use rope_mechanics::haul::{LoadPull, HaulRedirect, Route};
//! use rope_mechanics::quantity::{Angle, Force, Length, Ratio, Velocity};
//! use rope_mechanics::quantity::unit::{degree, kilonewton, meter, meter_per_second, percent};
//! use rope_mechanics::sheave::Turn;
//! use rope_mechanics::tackle::{Layout, UsualRatio, Usual};
//!
//! let m = Length::new::<meter>;
//! let pulley = Turn::sheave(Ratio::new::<percent>(90.0))?;
//! // 60 m from the load over the frame to the anchor; the tackle has 8 m of room, the winch stands 3 m beyond.
//! let layout = Layout::new(m(60.0), m(8.0))?.with_hand(m(3.0))?;
//! let over_frame = HaulRedirect::new(pulley, Angle::new::<degree>(50.0))?;
//! let route = Route::new(layout, pulley).with_before(&[over_frame])?;
//!
//! let pull = LoadPull::steady(Force::new::<kilonewton>(2.0))?;
//! let straight = route.haul(Usual::new(UsualRatio::OneToOne))?.forces(pull)?;
//! let three = route.haul(Usual::new(UsualRatio::ThreeToOne))?;
//! assert!((straight.hauling.value / three.forces(pull)?.hauling.value - 2.71).abs() < 1e-12);
//! let load_speed = three.load_speed(Velocity::new::<meter_per_second>(0.3))?;
//! assert!((load_speed.get::<meter_per_second>() - 0.1).abs() < 1e-12);
//! # Ok::<(), rope_mechanics::tackle::TackleError>(())
//! ```

use crate::error::{InputError, finite, non_negative, positive, within};
use crate::math::lists;
use crate::motion::Motion;
use crate::quantity::{Angle, Band, Force, Time, Velocity, newtons};
use crate::reeving::turn_load_n;
use crate::sheave::Turn;
use crate::slope::{Lowering, SlopePull};
use crate::tackle::{
    Builder, CarrierId, Cycle, CyclePlan, Layout, Tackle, TackleError, Usual, UsualForm, UsualRatio,
};
use arrayvec::ArrayVec;
use core::borrow::Borrow;
use core::f64::consts::PI;

/// How many redirects there may be before the tackle, and how many after it.
pub const MAX_REDIRECTS: usize = 8;

type Redirects = ArrayVec<HaulRedirect, MAX_REDIRECTS>;

/// What the load asks of its haul line, while it comes and while it goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoadPull {
    hauling_n: f64,
    lowering_n: f64,
}

impl LoadPull {
    /// For a load with friction of its own, on the ground: more while hauling than while lowering.
    ///
    /// A load that wouldn't slide by itself pulls with nothing while lowering: the rope goes slack.
    ///
    /// # Errors
    /// Unless both are at least zero and lowering takes no more than hauling.
    pub fn new(hauling: Force, lowering: Force) -> Result<Self, InputError> {
        let hauling_n = non_negative("pull_hauling", hauling)?;
        let lowering_n = within("pull_lowering", lowering, 0.0, hauling_n)?;
        Ok(Self { hauling_n, lowering_n })
    }

    /// For a load that pulls alike both ways: a carriage on its track rope.
    ///
    /// # Errors
    /// Unless it is at least zero.
    pub fn steady(pull: Force) -> Result<Self, InputError> {
        Self::new(pull, pull)
    }
}

impl From<SlopePull> for LoadPull {
    /// The pull of a load on a slope; slack while lowering is a pull of nothing.
    fn from(slope: SlopePull) -> Self {
        let lowering_n = match slope.down {
            Lowering::Held(force) => force.value,
            Lowering::Slack { .. } => 0.0,
        };
        Self { hauling_n: slope.up.value.max(lowering_n), lowering_n }
    }
}

/// A turn of the haul line outside its tackle: over the frame, or next to the winch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HaulRedirect {
    turn: Turn,
    angle: f64,
}

impl HaulRedirect {
    /// What the rope turns over, and by how much.
    ///
    /// # Errors
    /// Unless the angle is from 0 to 180°.
    pub fn new(turn: Turn, angle: Angle) -> Result<Self, InputError> {
        Ok(Self { turn, angle: within("redirect_turn", angle, 0.0, PI)? })
    }

    fn ratio(&self, motion: Motion) -> f64 {
        let (hauling, lowering) = self.turn.ratios(self.angle);
        if motion == Motion::Lowering { lowering } else { hauling }
    }
}

/// Where a haul line runs: the room for a tackle, its pulleys, and its redirects.
#[derive(Debug, Clone)]
pub struct Route {
    layout: Layout,
    pulley: Turn,
    before: Redirects,
    after: Redirects,
}

impl Route {
    /// A route without redirects: the load's distance from the tackle's anchor along the rope, the room for the
    /// tackle and the winch's distance as a [`Layout`], and the pulley that a tackle is made with.
    #[must_use]
    pub fn new(layout: Layout, pulley: Turn) -> Self {
        Self { layout, pulley, before: Redirects::new(), after: Redirects::new() }
    }

    /// Redirects between the load and the tackle, in that order.
    ///
    /// # Errors
    /// If there are more than [`MAX_REDIRECTS`].
    pub fn with_before(mut self, redirects: &[HaulRedirect]) -> Result<Self, TackleError> {
        self.before = list(redirects)?;
        Ok(self)
    }

    /// Redirects between the tackle and the winch, in that order.
    ///
    /// # Errors
    /// If there are more than [`MAX_REDIRECTS`].
    pub fn with_after(mut self, redirects: &[HaulRedirect]) -> Result<Self, TackleError> {
        self.after = list(redirects)?;
        Ok(self)
    }

    /// The haul line with a usual tackle in it; 1:1 is the straight pull.
    ///
    /// # Errors
    /// [`TackleError::NoLead`] for the complex 5:1 with a lead.
    pub fn haul(&self, usual: Usual) -> Result<Haul, TackleError> {
        Ok(self.haul_with(usual.build_alike(&self.layout, self.pulley)?))
    }

    /// The haul line with any tackle in it, or with a reference to one. Its rope is measured in the tackle as drawn.
    #[must_use]
    pub fn haul_with<T: Borrow<Tackle>>(&self, tackle: T) -> Haul<T> {
        Haul {
            tackle,
            before: lists::list(self.before.iter().copied()),
            after: lists::list(self.after.iter().copied()),
        }
    }

    /// Whether a straight pull is enough for the force to be had at the winch or from the crew; if not, the least
    /// advantage that is.
    ///
    /// Of 1:1, 2:1, 3:1, 4:1, the simple 5:1, 6:1 and 9:1 in the given form, with a lead sheave or without. Without
    /// reserve: give the available force with what it must keep in hand taken off.
    ///
    /// # Errors
    /// [`TackleError::NotEnough`] if none is enough.
    pub fn least_advantage(
        &self,
        pull: LoadPull,
        available: Force,
        form: UsualForm,
        lead: bool,
    ) -> Result<Choice, TackleError> {
        let available_n = positive("available", available)?;
        let mut least_n = f64::INFINITY;
        for ratio in UsualRatio::ALL.into_iter().filter(|r| *r != UsualRatio::FiveToOneComplex) {
            let usual = Usual { ratio, form, lead };
            let mut rig = Builder::new();
            usual.reeve_alike(&mut rig, &self.layout, self.pulley)?;
            let forces = self.haul_with(rig.close()?).forces(pull)?;
            least_n = least_n.min(forces.hauling.value);
            if forces.hauling.value <= available_n {
                return Ok(Choice { usual, straight: ratio == UsualRatio::OneToOne, forces });
            }
        }
        Err(TackleError::NotEnough { least_n })
    }
}

fn list(redirects: &[HaulRedirect]) -> Result<Redirects, TackleError> {
    if redirects.len() > MAX_REDIRECTS {
        return Err(TackleError::TooMany { what: "redirects", most: MAX_REDIRECTS });
    }
    Ok(lists::list(redirects.iter().copied()))
}

/// The least advantage that is enough.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Choice {
    /// Which tackle.
    pub usual: Usual,
    /// Whether that is a straight pull: no tackle is needed.
    pub straight: bool,
    /// The forces with it.
    pub forces: HaulForces,
}

/// A haul line with its tackle, or with a reference to one.
#[derive(Debug, Clone)]
pub struct Haul<T = Tackle> {
    tackle: T,
    before: Redirects,
    after: Redirects,
}

/// The forces in a haul line at the winch, and the highest on its way.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct HaulForces {
    /// At the winch while the load comes.
    #[cfg_attr(feature = "serde", serde(with = "crate::text::as_text"))]
    pub hauling: Force,
    /// At the winch while the load goes: what it must hold back.
    #[cfg_attr(feature = "serde", serde(with = "crate::text::as_text"))]
    pub lowering: Force,
    /// At the winch at rest: the least that keeps the load from going, and the greatest that doesn't yet haul it. Expected
    /// for the mean of both pulls at the load, without friction anywhere.
    pub at_rest: Band<Force>,
    /// The highest tension of any part of rope while hauling.
    #[cfg_attr(feature = "serde", serde(with = "crate::text::as_text"))]
    pub highest: Force,
    /// The greatest force on any one carrier of the tackle that stays, while hauling: its anchor, as a rule.
    #[cfg_attr(feature = "serde", serde(with = "crate::text::as_text"))]
    pub anchor: Force,
}

/// The force on a redirect, while hauling and while lowering.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct RedirectForce {
    /// While the load comes.
    #[cfg_attr(feature = "serde", serde(with = "crate::text::as_text"))]
    pub hauling: Force,
    /// While the load goes.
    #[cfg_attr(feature = "serde", serde(with = "crate::text::as_text"))]
    pub lowering: Force,
}

/// What a whole haul takes.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Journey {
    /// Throws, resets and rope.
    pub cycle: Cycle,
    /// The load's speed while the winch turns.
    pub load_speed: Velocity,
    /// The time with the winch turning, without the resets.
    pub pulling: Time,
}

/// Forces along the line in one direction of motion.
struct Along {
    /// At the hand of the tackle.
    hand_n: f64,
    highest_n: f64,
    anchor_n: f64,
    winch_n: f64,
}

impl<T: Borrow<Tackle>> Haul<T> {
    /// The tackle, for the tension of its parts and the forces on its sheaves.
    #[must_use]
    pub fn tackle(&self) -> &Tackle {
        self.tackle.borrow()
    }

    /// Forces at the winch for a pull at the load.
    ///
    /// # Errors
    /// If friction binds the tackle.
    pub fn forces(&self, pull: LoadPull) -> Result<HaulForces, TackleError> {
        let hauling = self.along(pull.hauling_n, Motion::Hauling)?;
        let lowering = self.along(pull.lowering_n, Motion::Lowering)?;
        let (low, high) = (newtons(lowering.winch_n), newtons(hauling.winch_n));
        // Without friction by the work done: F·VR = P
        let free = newtons(0.5 * (pull.hauling_n + pull.lowering_n)) / self.tackle().velocity_ratio();
        Ok(HaulForces {
            hauling: high,
            lowering: low,
            at_rest: Band::around(low, free, high),
            highest: newtons(hauling.highest_n),
            anchor: newtons(hauling.anchor_n),
        })
    }

    /// The force on every redirect, from the load to the winch.
    ///
    /// # Errors
    /// If friction binds the tackle.
    pub fn redirects(&self, pull: LoadPull) -> Result<impl Iterator<Item = RedirectForce> + '_, TackleError> {
        let hauling = self.along(pull.hauling_n, Motion::Hauling)?;
        let lowering = self.along(pull.lowering_n, Motion::Lowering)?;
        let before = on_redirects(&self.before, [pull.hauling_n, pull.lowering_n]);
        Ok(before.chain(on_redirects(&self.after, [hauling.hand_n, lowering.hand_n])))
    }

    /// The load's speed for a line speed at the winch: divided by the velocity ratio.
    ///
    /// # Errors
    /// Unless the speed is finite.
    pub fn load_speed(&self, winch: Velocity) -> Result<Velocity, InputError> {
        finite("winch_speed", winch)?;
        Ok(winch / self.tackle().velocity_ratio())
    }

    /// The line speed at the winch for a speed of the load.
    ///
    /// # Errors
    /// Unless the speed is finite.
    pub fn winch_speed(&self, load: Velocity) -> Result<Velocity, InputError> {
        finite("load_speed", load)?;
        Ok(load * self.tackle().velocity_ratio())
    }

    /// Throws, resets, rope and time for a whole haul at a line speed of the winch.
    ///
    /// # Errors
    /// Unless the speed is above zero; as [`Tackle::cycle`].
    pub fn journey(&self, plan: &CyclePlan, winch: Velocity) -> Result<Journey, TackleError> {
        positive("winch_speed", winch)?;
        let cycle = self.tackle().cycle(plan)?;
        Ok(Journey { cycle, load_speed: self.load_speed(winch)?, pulling: cycle.hand / winch })
    }

    fn along(&self, pull_n: f64, motion: Motion) -> Result<Along, TackleError> {
        let (at_tackle_n, before_n) = through(&self.before, pull_n, motion);
        let load = newtons(at_tackle_n);
        let tackle = self.tackle();
        let forces = if motion == Motion::Lowering { tackle.lowering(load) } else { tackle.hauling(load) }?;
        let stays = |c: &CarrierId| tackle.travel_of(*c).value == 0.0;
        let anchor_n =
            tackle.carriers().filter(stays).map(|c| forces.on(c).magnitude().value).fold(0.0, f64::max);
        let hand_n = forces.hand().value;
        let (winch_n, after_n) = through(&self.after, hand_n, motion);
        let highest_n = pull_n.max(before_n).max(forces.highest().value).max(after_n);
        Ok(Along { hand_n, highest_n, anchor_n, winch_n })
    }
}

/// The tension behind some redirects, and the highest behind any of them.
fn through(redirects: &Redirects, tension_n: f64, motion: Motion) -> (f64, f64) {
    redirects.iter().fold((tension_n, 0.0), |(tension_n, highest_n), redirect| {
        // T₂ = ρ·T₁
        let behind_n = tension_n * redirect.ratio(motion);
        (behind_n, behind_n.max(highest_n))
    })
}

/// The force on each redirect, from the tensions before the first, hauling and lowering.
fn on_redirects(redirects: &Redirects, start_n: [f64; 2]) -> impl Iterator<Item = RedirectForce> + '_ {
    redirects.iter().scan(start_n, |[up_n, down_n], redirect| {
        let on = |before_n: &mut f64, motion| {
            let behind_n = *before_n * redirect.ratio(motion);
            let force_n = turn_load_n(*before_n, behind_n, redirect.angle);
            *before_n = behind_n;
            newtons(force_n)
        };
        Some(RedirectForce { hauling: on(up_n, Motion::Hauling), lowering: on(down_n, Motion::Lowering) })
    })
}
