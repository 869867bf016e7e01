//! One rope through its turns: the tension of every part, hauling, lowering and at rest.
//!
#![doc = include_str!("../docs/pictures/reeving.svg")]
//!
//! A rope runs from its pulling end (hand, winch, capstan) over a row of turns to its standing end (load or
//! anchor). Its parts are numbered from the pulling end: part 0 lies before turn 0, part n after the last of n
//! turns. The two sides of a part may differ in tension where the part has weight or bears a load: [`Strand`].
//!
//! Each turn keeps the ratio of [`Turn`] between its two parts. While the rope moves that settles every tension
//! from any one of them. At rest each turn may hold any ratio between its two directions of motion, so every
//! part has a band, whose ends are reached when friction traps as much, or as little, in that part as it can.
//!
//! Nothing here needs a heap; a rope takes at most [`MAX_TURNS`] turns.
//!
//! **Caution.** The ratios of real turns scatter by ±5 % or more each, and dirt, rain and wear change them. A
//! load cell on the rope is worth more than any table. See the page of the crate.

mod chain;
mod doubled;
mod redirect;
mod tensions;

pub use doubled::{DoubledTrack, DoubledTrackPlaces, DoubledTrackTurns, TrackKnown, TrackTensions};
pub(crate) use redirect::turn_load_n;
pub use redirect::{Redirect, RedirectLoad, redirect_load};
pub use tensions::{Highest, PartTension, Tensions, TurnLoad};

use chain::{Interval, TensionChain};

use crate::error::{self, InputError};
use crate::geometry::{Direction3, Force3, Point3};
use crate::math;
use crate::motion::Motion;
use crate::quantity::{Angle, Band, Force, Ratio, newtons, radians};
use crate::sheave::{MAX_WRAP_RAD, Turn};

/// The most turns that one rope can take.
pub const MAX_TURNS: usize = 16;
const MAX_PARTS: usize = MAX_TURNS + 1;

/// Why a rope through turns has no tensions.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ReevingError {
    /// An input can't be used.
    #[error(transparent)]
    Input(#[from] InputError),
    /// More turns than [`MAX_TURNS`].
    #[error(
        "the rope takes {turns} turns, but at most {MAX_TURNS} are allowed: combine turns that are close together"
    )]
    TooManyTurns {
        /// How many were given.
        turns: usize,
    },
    /// A part that the rope doesn't have.
    #[error("part {part} was named, but the rope has parts 0 to {last}, counted from its pulling end")]
    NoSuchPart {
        /// The part named.
        part: usize,
        /// The last part.
        last: usize,
    },
    /// A turn whose wrap is neither given nor follows from places.
    #[error(
        "the wrap at turn {turn} is unknown: give the wrap, or the places of this turn and of its two \
         neighbours"
    )]
    UnknownWrap {
        /// The turn, counted from the pulling end.
        turn: usize,
    },
    /// The two sides of a part stand at the same place, so that it has no direction.
    #[error("both ends of part {part} are at the same place: move one, or combine the turns")]
    NoLength {
        /// The part.
        part: usize,
    },
    /// A part would have to push.
    #[error(
        "part {part} would need a tension of {tension} N: it goes slack. Raise the known tension, or check the \
         weight given to the strands"
    )]
    Slack {
        /// The part.
        part: usize,
        /// The tension that balance asks for, in newtons.
        tension: f64,
    },
    /// The ratios of the turns multiply to more than a number can hold.
    #[error("the tension of part {part} is too large or too small for a number: take fewer wraps")]
    TooManyWraps {
        /// The part.
        part: usize,
    },
}

/// One of the two sides of a part of the rope.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
pub enum Side {
    /// Towards the pulling end.
    Pulling,
    /// Towards the standing end.
    Standing,
}

/// A turn in its place: where it stands, or how far the rope wraps it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bend {
    turn: Turn,
    place: Option<Point3>,
    wrap_rad: Option<f64>,
}

impl Bend {
    /// A turn at a place: its wrap follows from the directions of its two parts.
    ///
    /// # Errors
    /// Unless the place is finite.
    pub fn at(place: Point3, turn: Turn) -> Result<Self, InputError> {
        place.finite("place")?;
        Ok(Self { turn, place: Some(place), wrap_rad: None })
    }

    /// A turn by its wrap alone.
    ///
    /// # Errors
    /// Unless the wrap is from 0 to 32 turns.
    pub fn of(wrap: Angle, turn: Turn) -> Result<Self, InputError> {
        Ok(Self { turn, place: None, wrap_rad: Some(error::within("wrap", wrap, 0.0, MAX_WRAP_RAD)?) })
    }

    /// With a given wrap, where the rope is taken round more often than the places tell.
    ///
    /// # Errors
    /// Unless the wrap is from 0 to 32 turns.
    pub fn with_wrap(self, wrap: Angle) -> Result<Self, InputError> {
        Ok(Self { wrap_rad: Self::of(wrap, self.turn)?.wrap_rad, ..self })
    }
}

/// How a part of the rope runs from its pulling to its standing side.
///
/// Unless set otherwise it is straight, and both sides have the same tension.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strand {
    // tension at the standing side = scale·(tension at the pulling side) + rise
    scale: f64,
    rise_n: f64,
    directions: Option<(Direction3, Direction3)>,
}

impl Strand {
    /// Straight, with the same tension at both sides.
    pub const STRAIGHT: Self = Self { scale: 1.0, rise_n: 0.0, directions: None };

    /// A part whose standing side has so much more tension than its pulling side (negative: less).
    ///
    /// A hanging rope: its weight per metre times the height of the standing over the pulling side.
    ///
    /// # Errors
    /// Unless the rise is finite.
    pub fn rising(rise: Force) -> Result<Self, InputError> {
        Ok(Self { rise_n: error::finite("rise", rise)?, ..Self::STRAIGHT })
    }

    /// A part whose standing side has so many times the tension of its pulling side.
    ///
    /// # Errors
    /// Unless the ratio is from 0.001 to 1000.
    pub fn scaled(ratio: Ratio) -> Result<Self, InputError> {
        Ok(Self { scale: error::within("ratio", ratio, 1e-3, 1e3)?, ..Self::STRAIGHT })
    }

    /// With the directions in which a sagging or loaded part leaves its pulling side and arrives at its standing
    /// side, both seen along the rope from the pulling to the standing end.
    #[must_use]
    pub const fn with_directions(self, leaving: Direction3, arriving: Direction3) -> Self {
        Self { directions: Some((leaving, arriving)), ..self }
    }
}

/// What is known of the rope's tension.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Known {
    spots: [(usize, Side); 2],
    total_n: f64,
}

impl Known {
    /// The tension of one part at one of its sides.
    ///
    /// # Errors
    /// Unless the tension is at least zero.
    pub fn at(part: usize, side: Side, tension: Force) -> Result<Self, InputError> {
        Self::sum((part, side), (part, side), tension)
            .map(|known| Self { total_n: 2.0 * known.total_n, ..known })
    }

    /// The sum of the tensions at two spots: what a calculation that takes two strands for one line gives.
    ///
    /// # Errors
    /// Unless the sum is at least zero.
    pub fn sum(one: (usize, Side), other: (usize, Side), tension: Force) -> Result<Self, InputError> {
        Ok(Self { spots: [one, other], total_n: error::non_negative("known_tension", tension)? })
    }
}

/// One continuous rope through a row of turns.
///
/// ```
/// use rope_mechanics::quantity::{Angle, Force, Ratio, unit::{degree, newton, ratio}};
/// use rope_mechanics::reeving::{Bend, Known, Reeving, Side};
/// use rope_mechanics::motion::Motion;
/// use rope_mechanics::sheave::Turn;
///
/// // A load of 1000 N over two pulleys of 0.90, half a turn each: the hand pulls 1000/0.9².
/// let pulley = Turn::sheave(Ratio::new::<ratio>(0.9))?;
/// let half = Angle::new::<degree>(180.0);
/// let rope = Reeving::new(&[Bend::of(half, pulley)?, Bend::of(half, pulley)?])?;
/// let load = Known::at(2, Side::Standing, Force::new::<newton>(1000.0))?;
/// let hand = rope.tensions(load, Motion::Hauling)?.parts()[0].pulling_side.high;
/// assert!((hand.get::<newton>() - 1000.0 / 0.81).abs() < 1e-9);
/// # Ok::<(), rope_mechanics::reeving::ReevingError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reeving {
    bends: [Bend; MAX_TURNS],
    strands: [Strand; MAX_PARTS],
    turns: usize,
    ends: [Option<Point3>; 2],
}

impl Reeving {
    /// A rope over these turns, in order from its pulling end. It may have none.
    ///
    /// # Errors
    /// Unless there are at most [`MAX_TURNS`].
    pub fn new(bends: &[Bend]) -> Result<Self, ReevingError> {
        let turns = bends.len();
        if turns > MAX_TURNS {
            return Err(ReevingError::TooManyTurns { turns });
        }
        let mut rope = Self::STRAIGHT;
        for bend in bends {
            rope.add(*bend)?;
        }
        Ok(rope)
    }

    /// A rope without a turn, to which [`add`](Self::add) brings them one by one.
    pub const STRAIGHT: Self = Self {
        bends: [Bend { turn: Turn::FRICTIONLESS, place: None, wrap_rad: None }; MAX_TURNS],
        strands: [Strand::STRAIGHT; MAX_PARTS],
        turns: 0,
        ends: [None; 2],
    };

    /// Adds a turn behind those that there are, next to the standing end.
    ///
    /// # Errors
    /// Unless there are at most [`MAX_TURNS`].
    pub fn add(&mut self, bend: Bend) -> Result<(), ReevingError> {
        let slot = self.bends.get_mut(self.turns);
        *slot.ok_or(ReevingError::TooManyTurns { turns: self.turns + 1 })? = bend;
        self.turns += 1;
        Ok(())
    }

    /// With the places of its two ends, from which the first and last turn get their wrap.
    ///
    /// # Errors
    /// Unless both are finite.
    pub fn with_ends(mut self, pulling: Point3, standing: Point3) -> Result<Self, ReevingError> {
        self.set_ends(pulling, standing)?;
        Ok(self)
    }

    /// [`with_ends`](Self::with_ends) in its place.
    ///
    /// # Errors
    /// Unless both are finite.
    pub fn set_ends(&mut self, pulling: Point3, standing: Point3) -> Result<(), InputError> {
        pulling.finite("pulling_end")?;
        standing.finite("standing_end")?;
        self.ends = [Some(pulling), Some(standing)];
        Ok(())
    }

    /// With a part that has weight, bears a load or sags.
    ///
    /// # Errors
    /// Unless the rope has that part.
    pub fn with_strand(mut self, part: usize, strand: Strand) -> Result<Self, ReevingError> {
        self.set_strand(part, strand)?;
        Ok(self)
    }

    /// [`with_strand`](Self::with_strand) in its place.
    ///
    /// # Errors
    /// Unless the rope has that part.
    pub fn set_strand(&mut self, part: usize, strand: Strand) -> Result<(), ReevingError> {
        let last = self.turns;
        let slot = self.strands.iter_mut().take(last + 1).nth(part);
        *slot.ok_or(ReevingError::NoSuchPart { part, last })? = strand;
        Ok(())
    }

    /// How many turns it takes. It has one part more.
    #[must_use]
    pub fn turns(&self) -> usize {
        self.turns
    }

    /// The tension of every part from what is known of one, or of the sum of two.
    ///
    /// At every turn the pulling side has ρ times the tension of the standing side, ρ being the ratio of
    /// [`Turn::band`] for the motion. At rest every ρ lies in its band; the tension of a part is highest when
    /// the turns on its pulling side have their lowest ρ and those on its standing side their highest, and the
    /// other way round. Each part's band at rest is the widest that the others allow; not every combination
    /// within the bands is possible.
    ///
    /// # Errors
    /// A known part that the rope doesn't have; a wrap that is neither given nor follows from places; a part
    /// that would have to push while the rope moves, or at rest whatever friction does.
    pub fn tensions(&self, known: Known, motion: Motion) -> Result<Tensions, ReevingError> {
        let mut out = Tensions::default();
        self.tensions_into(known, motion, &mut out)?;
        Ok(out)
    }

    /// [`tensions`](Self::tensions) into memory of the caller: some 1.6 kB less on the stack of a controller.
    ///
    /// # Errors
    /// As [`tensions`](Self::tensions); what is in `out` then says nothing.
    pub fn tensions_into(
        &self,
        known: Known,
        motion: Motion,
        out: &mut Tensions,
    ) -> Result<(), ReevingError> {
        let mut runs: Runs = [None; MAX_PARTS];
        let mut wraps = [0.0; MAX_TURNS];
        self.geometry(&mut runs, &mut wraps)?;
        let [one, other] = known.spots;
        let spots = [self.spot(one)?, self.spot(other)?];
        let mut chain = TensionChain::EMPTY;
        chain.set(&self.strands, |turn| self.ratios(turn, &wraps, motion), self.turns, spots, known.total_n);
        out.clear(self.turns);
        let mut before: Option<Interval> = None;
        for (part, slot) in out.parts.iter_mut().enumerate().take(self.turns + 1) {
            let (pulling, standing) = (chain.interval(2 * part)?, chain.interval(2 * part + 1)?);
            *slot = PartTension { pulling_side: pulling.band(), standing_side: standing.band() };
            out.report.residual = out.report.residual.max(pulling.residual).max(standing.residual);
            if let (Some(turn), Some(previous)) = (part.checked_sub(1), before.replace(standing))
                && let Some(slot) = out.turns.get_mut(turn)
            {
                for tensions_n in chain.extremes(turn, &previous, &pulling) {
                    let load = self.load_on(turn, tensions_n, &runs, &wraps);
                    if load.load >= slot.load {
                        *slot = load;
                    }
                }
            }
        }
        let (first, last) = (out.parts().first().copied(), out.parts().last().copied());
        let end = |run: Option<nalgebra::Vector3<f64>>, band: Option<Band<Force>>| {
            Some(Force3::from_si(run? * band?.high.value))
        };
        out.pulling_end =
            end(runs.first().and_then(|run| Some(run.as_ref()?.0)), first.map(|p| p.pulling_side));
        let arriving = runs.get(self.turns).and_then(|run| Some(-run.as_ref()?.1));
        out.standing_end = end(arriving, last.map(|p| p.standing_side));
        Ok(())
    }

    /// The directions of every part at its two sides, and the wrap of every turn.
    #[inline(never)] // its frame must not add to that of what calls it
    fn geometry(&self, runs: &mut Runs, wraps: &mut [f64; MAX_TURNS]) -> Result<(), ReevingError> {
        let bends = self.bends.iter().take(self.turns);
        let [pulling, standing] = self.ends;
        let from = core::iter::once(pulling).chain(bends.clone().map(|bend| bend.place));
        let to = bends.clone().map(|bend| bend.place).chain(core::iter::once(standing));

        let parts = runs.iter_mut().zip(&self.strands).zip(from.zip(to));
        for (part, ((run, strand), places)) in parts.enumerate() {
            *run = match (strand.directions, places) {
                (Some((leaving, arriving)), _) => Some((leaving.unit(), arriving.unit())),
                (None, (Some(from), Some(to))) => {
                    let along = Direction3::between(from, to).map_err(|_| ReevingError::NoLength { part })?;
                    Some((along.unit(), along.unit()))
                }
                _ => None,
            };
        }
        let pairs = runs.iter().zip(runs.iter().skip(1));
        for (turn, ((wrap, bend), pair)) in wraps.iter_mut().zip(bends).zip(pairs).enumerate() {
            *wrap = match (bend.wrap_rad, pair) {
                (Some(given), _) => given,
                (None, (Some((_, arriving)), Some((leaving, _)))) => {
                    let cross = arriving.cross(leaving);
                    // θ = atan2(|a × b|, a · b)
                    math::atan2(math::sqrt(cross.norm_squared()), arriving.dot(leaving))
                }
                _ => return Err(ReevingError::UnknownWrap { turn }),
            };
        }
        Ok(())
    }

    /// The number of a side of a part in the chain.
    fn spot(&self, (part, side): (usize, Side)) -> Result<usize, ReevingError> {
        if part > self.turns {
            return Err(ReevingError::NoSuchPart { part, last: self.turns });
        }
        Ok(2 * part + usize::from(side == Side::Standing))
    }

    /// The greatest and the least ratio of a turn; equal for a rope that moves.
    fn ratios(&self, turn: usize, wraps: &[f64; MAX_TURNS], motion: Motion) -> (f64, f64) {
        let (Some(bend), Some(wrap)) = (self.bends.get(turn), wraps.get(turn)) else { return (1.0, 1.0) };
        let (hauling, lowering) = bend.turn.ratios(*wrap);
        match motion {
            Motion::Hauling => (hauling, hauling),
            Motion::Lowering => (lowering, lowering),
            Motion::AtRest => (hauling, lowering),
        }
    }

    /// What one state of tensions does to a turn.
    fn load_on(
        &self,
        turn: usize,
        [before_n, behind_n]: [f64; 2],
        runs: &Runs,
        wraps: &[f64; MAX_TURNS],
    ) -> TurnLoad {
        let wrap = wraps.get(turn).copied().unwrap_or(0.0);
        let arriving = runs.get(turn).and_then(|run| Some(run.as_ref()?.1));
        let leaving = runs.get(turn + 1).and_then(|run| Some(run.as_ref()?.0));
        // R = −T₁·u₁ + T₂·u₂
        let force = arriving.zip(leaving).map(|(a, b)| b * behind_n - a * before_n);
        let load = match force {
            Some(force) => math::sqrt(force.norm_squared()),
            None => redirect::turn_load_n(before_n, behind_n, wrap),
        };
        TurnLoad { wrap: radians(wrap), load: newtons(load), force: force.map(Force3::from_si) }
    }
}

/// Unit vectors at the pulling and the standing side of every part.
type Runs = [Option<(nalgebra::Vector3<f64>, nalgebra::Vector3<f64>)>; MAX_PARTS];
