//! Bridles: a load that hangs from two or three ropes, each from a point of its own.
//!
#![doc = include_str!("../docs/pictures/bridle.svg")]
//!
//! The litter, once the track rope is let down, hangs on the haul rope over the frame and on the belay from the
//! side. Paying one out and taking the other in swings it from under the frame to the road.
//!
//! Source: statics of a point and the stretch stated for each rope, nothing else. Checked against printed sling leg
//! factors (read).
//!
//! Nothing here needs a heap.
//!
//! ```
//! use rope_mechanics::bridle::{Bridle, BridleRope};
//! use rope_mechanics::geometry::Point3;
//! use rope_mechanics::quantity::{Force, Length, unit::{kilonewton, meter, newton}};
//! use rope_mechanics::rope::Stretch;
//!
//! let m = Length::new::<meter>;
//! let stretch = Stretch::linear(Force::new::<kilonewton>(40.0))?;
//! // The haul rope over the frame's head, 3 m up; the belay from a vehicle 6 m in and 2 m to the left.
//! let haul = BridleRope::new(Point3::new(m(0.0), m(0.0), m(3.0)), stretch)?;
//! let belay = BridleRope::new(Point3::new(m(-6.0), m(2.0), m(1.5)), stretch)?;
//! let bridle = Bridle::new(Force::new::<newton>(2451.66), [haul, belay])?;
//!
//! let hang = bridle.at_lengths([m(2.6), m(4.5)])?;
//! assert!(hang.position.x < m(0.0) && hang.position.y > m(0.0)); // pulled in, and to the left
//! let head = hang.on_points[0];
//! assert!(head.x < Force::new::<newton>(0.0)); // and the head of the frame is pulled in with it
//! # Ok::<(), rope_mechanics::bridle::BridleError>(())
//! ```
//!
//! **Caution.** The ropes are straight and weightless here: 10 m of rope of 100 g/m weighs 10 N. Nothing swings;
//! for what a sudden change costs see [`arrest`](crate::arrest). A frame is made for forces down its legs: hold
//! [`Hang::on_points`] against what it stands. Local codes, makers' instructions and the authority having
//! jurisdiction come first.

mod hang;
mod path;

pub use hang::Hang;
pub use path::HangPath;

use crate::error::{Allowed, InputError, check, positive};
use crate::geometry::Point3;
use crate::quantity::{Force, Length};
use crate::rope::Stretch;
use nalgebra::Vector3;

/// Shorter than this no rope is taken.
const SHORTEST_M: f64 = 1e-3;
/// Longer than this none is, so that such a rope is slack anywhere.
const LONGEST_M: f64 = 1e7;
/// How far out of the vertical plane of its two ropes a given position may lie, by the distance of the points.
///
/// Far above the rounding of coordinates, and a side force of only this share of the tension.
const IN_PLANE: f64 = 1e-9;

/// Why a load can't hang so.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum BridleError {
    /// An input that can't be used.
    #[error(transparent)]
    Input(#[from] InputError),
    /// A rope would have to push to hold the load there.
    #[error(
        "rope {rope} (counted from 0) would have to push with {force} N to hold the load there; move the position between the points of the ropes, and below them"
    )]
    Pushes {
        /// The rope, counted from 0.
        rope: usize,
        /// The push, in N.
        force: f64,
    },
    /// The position is off the vertical plane through the two points, where two ropes can't hold it.
    #[error(
        "the position is {offset} m off the vertical plane through the two points; two ropes hold a load only in that plane"
    )]
    OutOfPlane {
        /// How far off, in m.
        offset: f64,
    },
    /// The position leaves open how the ropes share, or no finite tension holds the load there.
    #[error(
        "the position is in line, or in one plane, with the ropes, so that their tensions are undetermined or unbounded; give the lengths instead, or another position"
    )]
    Indeterminate,
    /// The position lies in the point that a rope comes from.
    #[error(
        "the position is less than a millimetre from the point that rope {rope} (counted from 0) comes from"
    )]
    AtPoint {
        /// The rope, counted from 0.
        rope: usize,
    },
    /// There is no rope of that number.
    #[error("there is no rope {rope}: the bridle has {ropes}, counted from 0")]
    NoRope {
        /// The rope asked for.
        rope: usize,
        /// How many there are.
        ropes: usize,
    },
    /// The solver did not reach its promised residual.
    #[error("the hang closes only to {closing_error} m and {imbalance} N; please report the inputs")]
    Unsolved {
        /// The largest gap between the end of a rope and the load, in m.
        closing_error: f64,
        /// The sum of all forces on the load, in N.
        imbalance: f64,
    },
}

/// A rope of a bridle: where it comes from and how it stretches.
///
/// The point is where the rope leaves its last sheave or anchor. The stretch is that of the length given, from
/// there to the load; where rope behind the sheave stretches too, scale it down: by L/(L + L behind) for a
/// linear rope.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BridleRope {
    from_m: Vector3<f64>,
    stretch: Stretch,
}

impl BridleRope {
    /// A rope from a point.
    ///
    /// # Errors
    /// Unless the coordinates are finite.
    pub fn new(from: Point3, stretch: Stretch) -> Result<Self, InputError> {
        Ok(Self { from_m: from.finite("from")?, stretch })
    }

    /// Where it comes from.
    #[must_use]
    pub fn from(&self) -> Point3 {
        Point3::from_si(self.from_m)
    }

    /// How it stretches.
    #[must_use]
    pub fn stretch(&self) -> Stretch {
        self.stretch
    }
}

/// A load on two or three ropes.
///
/// Assumed: straight, weightless, elastic ropes, and a load small against them. Its energy
///
/// Φ(r) = Σ Lᵢ·∫T dε + W·z,  εᵢ = max(0, |r − pᵢ|/Lᵢ − 1)
///
/// is convex, so that one hang exists for any lengths, and only one. A rope too long to be reached is slack;
/// ropes too short to meet the load are stretched until they do, however hard they pull: compare the tensions
/// with their strength.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bridle<const N: usize> {
    weight_n: f64,
    ropes: [BridleRope; N],
}

impl<const N: usize> Bridle<N> {
    /// A bridle from the weight of the load and its ropes, two or three (any other number doesn't compile).
    ///
    /// # Errors
    /// Unless the weight is above zero.
    pub fn new(weight: Force, ropes: [BridleRope; N]) -> Result<Self, BridleError> {
        const { assert!(N == 2 || N == 3, "a bridle has two or three ropes") };
        Ok(Self { weight_n: positive("weight", weight)?, ropes })
    }

    /// The ropes.
    #[must_use]
    pub fn ropes(&self) -> &[BridleRope; N] {
        &self.ropes
    }

    /// The weight of the load.
    #[must_use]
    pub fn weight(&self) -> Force {
        crate::quantity::newtons(self.weight_n)
    }

    /// The hang for unstretched lengths, from each point to the load.
    ///
    /// One rope that leaves all others slack is a plain hang, in closed form. Otherwise Φ is brought to its least
    /// by Newton's method with a line search, on ropes that start soft and are made stiffer until they are
    /// themselves, and the answer polished in position and tensions together. The residual is certified: no gap
    /// above 1e-12 of the largest distance, no force left over above 1e-11 of the largest tension.
    ///
    /// # Errors
    /// Unless each rope is at least a millimetre long.
    pub fn at_lengths(&self, lengths: [Length; N]) -> Result<Hang<N>, BridleError> {
        self.hang_on(&checked(lengths)?, [true; N])
    }

    /// The tensions and unstretched lengths that hold the load at a position.
    ///
    /// # Errors
    /// [`BridleError::Pushes`] if a rope would have to push; for two ropes [`BridleError::OutOfPlane`] if the
    /// position is beside the vertical plane through their points; [`BridleError::Indeterminate`] in line with
    /// the points of two ropes, or in one plane with those of three.
    pub fn at_position(&self, position: Point3) -> Result<Hang<N>, BridleError> {
        self.hang_at(position.finite("position")?)
    }

    /// The length from which on a rope is slack, the others being of the lengths given.
    ///
    /// That rope's own length in `lengths` isn't used. It is its distance from where the load hangs without it.
    ///
    /// # Errors
    /// Unless there is such a rope and each of the others is at least a millimetre long.
    pub fn slack_length(&self, rope: usize, lengths: [Length; N]) -> Result<Length, BridleError> {
        let Some(own) = self.ropes.get(rope) else { return Err(BridleError::NoRope { rope, ropes: N }) };
        let mut taut = [true; N];
        let mut used = lengths;
        for (i, (may_pull, length)) in taut.iter_mut().zip(&mut used).enumerate() {
            if i == rope {
                *may_pull = false;
                *length = crate::quantity::metres(LONGEST_M);
            }
        }
        let without = self.hang_on(&checked(used)?, taut)?;
        Ok(crate::quantity::metres((without.position.si() - own.from_m).norm()))
    }

    /// The hangs on the way from one set of unstretched lengths to another, all ropes moving evenly.
    ///
    /// `steps` moves give `steps` + 1 hangs, the first and the last included.
    ///
    /// # Errors
    /// Unless each rope is at least a millimetre long and there is at least one step.
    pub fn swing(&self, from: [Length; N], to: [Length; N], steps: u32) -> Result<HangPath<N>, BridleError> {
        HangPath::by_lengths(*self, checked(from)?, checked(to)?, steps)
    }

    /// The hangs on a straight way from one position to another: what lengths it takes, and what forces.
    ///
    /// # Errors
    /// Unless the positions are finite and there is at least one step. A position on the way that can't be held
    /// is an error of its own step.
    pub fn carry(&self, from: Point3, to: Point3, steps: u32) -> Result<HangPath<N>, BridleError> {
        HangPath::by_positions(*self, from.finite("from")?, to.finite("to")?, steps)
    }
}

fn checked<const N: usize>(lengths: [Length; N]) -> Result<[f64; N], InputError> {
    for length in lengths {
        check("rope_length", length, Allowed::AtLeast(SHORTEST_M))?;
    }
    Ok(lengths.map(|length| length.value))
}
