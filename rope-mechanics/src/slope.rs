//! A load on a slope: the pull that brings it up, the one that lets it down, and where the rope goes slack.
//!
#![doc = include_str!("docs/pictures/slope.svg")]
//!
//! P = W·(sin θ ± μ·cos θ), up and down. Where the friction exceeds the downhill part of the weight, the load
//! stays where it is and the rope goes slack on the way down: that is an answer of its own, not a negative
//! tension.
//!
//! Nothing here needs a heap.
//!
//! **Caution.** Friction on ground is the least known figure of all: a litter's lies anywhere from 0.1 to 0.8
//! (from memory). A load that stays on one metre of the slope may run on the next, on to a slack rope. See the
//! page of the crate.

use crate::error::{self, InputError};
use crate::math;
use crate::quantity::{Angle, Band, Force, Ratio, newtons};
use core::f64::consts::FRAC_PI_2;

/// Why a load on a slope can't be pulled.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SlopeError {
    /// An input can't be used.
    #[error(transparent)]
    Input(#[from] InputError),
    /// The rope pulls the load off the ground before it moves it up.
    #[error(
        "a rope {rope_angle} rad off the ground lifts the load: it then hangs on the rope and is no longer a load on \
         a slope; lower the rope to {lifts_from} rad, or take the load as hanging"
    )]
    LiftsOff {
        /// The rope's angle to the ground, in radians.
        rope_angle: f64,
        /// The angle at which the ground carries nothing any more, in radians.
        lifts_from: f64,
    },
    /// The rope presses the load on the ground so hard that no pull moves it.
    #[error(
        "a rope {rope_angle} rad to the ground presses the load down harder than it pulls it: raise the rope above \
         {jams_at} rad"
    )]
    Jams {
        /// The rope's angle to the ground, in radians; negative, towards the ground.
        rope_angle: f64,
        /// The angle at which it jams, in radians.
        jams_at: f64,
    },
}

/// A load on a slope, the rope that moves it, and who helps.
///
/// Assumed: a plane slope, a rigid load that slides, slow motion.
///
/// ```
/// use rope_mechanics::quantity::{Angle, Mass, Ratio, unit::{degree, kilogram, newton, ratio}, weight_of};
/// use rope_mechanics::slope::{Lowering, SlopeLoad};
///
/// let litter = weight_of(Mass::new::<kilogram>(250.0));
/// let load = SlopeLoad::new(litter, Angle::new::<degree>(35.0), Ratio::new::<ratio>(0.3))?;
/// let pull = load.pull()?;
/// assert!((pull.up.get::<newton>() - 2009.0).abs() < 0.5);
/// assert!(matches!(pull.down, Lowering::Held(force) if (force.get::<newton>() - 804.0).abs() < 0.5));
/// # Ok::<(), rope_mechanics::slope::SlopeError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SlopeLoad {
    weight_n: f64,
    slope_rad: f64,
    friction: f64,
    rope_rad: f64,
    carried: f64,
    leaning_n: f64,
}

/// What lets a load down a slope.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Lowering {
    /// It would slide: the rope holds it back with this force.
    Held(Force),
    /// It does not slide by itself: the rope goes slack, and this push along the slope moves it down.
    Slack {
        /// The push, along the slope.
        push: Force,
    },
}

/// The pulls on a load on a slope.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SlopePull {
    /// In the rope, while the load moves up.
    pub up: Force,
    /// While it moves down.
    pub down: Lowering,
    /// While nothing moves: friction may take anything between the two. From zero where the load stays by
    /// itself; expected without friction.
    pub at_rest: Band<Force>,
}

impl SlopeLoad {
    /// A load by its weight, the slope from level, and its coefficient of friction with the ground. The rope runs
    /// along the slope.
    ///
    /// # Errors
    /// Unless the weight is at least zero, the slope from 0 to 90° and the friction from 0 to 2.
    pub fn new(weight: Force, slope: Angle, friction: Ratio) -> Result<Self, InputError> {
        Ok(Self {
            weight_n: error::non_negative("weight", weight)?,
            slope_rad: error::within("slope", slope, 0.0, FRAC_PI_2)?,
            friction: error::within("friction", friction, 0.0, 2.0)?,
            rope_rad: 0.0,
            carried: 0.0,
            leaning_n: 0.0,
        })
    }

    /// With a rope that rises from the ground at this angle to the slope; negative, it presses the load down.
    ///
    /// # Errors
    /// Unless the angle is from −90° to 90°.
    pub fn with_rope_angle(self, angle: Angle) -> Result<Self, InputError> {
        Ok(Self { rope_rad: error::within("rope_angle", angle, -FRAC_PI_2, FRAC_PI_2)?, ..self })
    }

    /// With a share of the weight carried straight up, by attendants on their feet or by a line above.
    ///
    /// What is carried neither rubs nor pulls downhill: P = (1 − c)·W·(sin θ ± μ·cos θ).
    ///
    /// # Errors
    /// Unless the share is from 0 to 1.
    pub fn with_carried_share(self, share: Ratio) -> Result<Self, InputError> {
        Ok(Self { carried: error::within("carried_share", share, 0.0, 1.0)?, ..self })
    }

    /// With attendants who walk beside the load and hang on its rope.
    ///
    /// `leaning` is the share of the downhill part of their weight that they leave to the rope: 0 where they walk
    /// by themselves, 1 where they lean back with their legs square to the ground. They add
    /// leaning·W_a·sin θ, up and down, and no friction.
    ///
    /// # Errors
    /// Unless the weight of all of them is at least zero and the share from 0 to 1.
    pub fn with_attendants(self, weight: Force, leaning: Ratio) -> Result<Self, InputError> {
        let weight_n = error::non_negative("attendants", weight)?;
        let leaning = error::within("leaning", leaning, 0.0, 1.0)?;
        Ok(Self { leaning_n: weight_n * leaning, ..self })
    }

    /// The pulls in the rope, up, down and at rest.
    ///
    /// With G = ((1−c)·W + λ·W_a)·sin θ downhill, N₀ = (1−c)·W·cos θ on the ground and a rope at δ to the slope:
    /// P_up = (G + μN₀)/(cos δ + μ sin δ) and P_down = (G − μN₀)/(cos δ − μ sin δ).
    ///
    /// # Errors
    /// A rope so steep that it lifts the load, or so far below the slope that it jams it.
    pub fn pull(&self) -> Result<SlopePull, SlopeError> {
        let (sin, cos) = (math::sin(self.slope_rad), math::cos(self.slope_rad));
        let (rope_sin, rope_cos) = (math::sin(self.rope_rad), math::cos(self.rope_rad));
        let on_ground_n = (1.0 - self.carried) * self.weight_n;
        // G, N₀ and μN₀
        let downhill_n = (on_ground_n + self.leaning_n) * sin;
        let pressing_n = on_ground_n * cos;
        let rubbing_n = self.friction * pressing_n;
        // N = N₀ − P·sin δ < 0, which starts at tan δ = N₀/G for any friction
        if self.rope_rad > 0.0 && downhill_n * rope_sin > pressing_n * rope_cos * (1.0 + 4.0 * f64::EPSILON) {
            let lifts_from = math::atan2(pressing_n, downhill_n);
            return Err(SlopeError::LiftsOff { rope_angle: self.rope_rad, lifts_from });
        }
        // cos δ + μ sin δ ≤ 0
        let lever = rope_cos + self.friction * rope_sin;
        if lever < 1e-9 {
            let jams_at = -math::atan2(1.0, self.friction);
            return Err(SlopeError::Jams { rope_angle: self.rope_rad, jams_at });
        }
        let up_n = (downhill_n + rubbing_n) / lever;
        // Without friction G/cos δ
        let free_n = downhill_n / rope_cos;
        let sliding_n = downhill_n - rubbing_n;
        let down = if sliding_n < 0.0 {
            Lowering::Slack { push: newtons(-sliding_n) }
        } else {
            // Never above the pull without friction.
            let held_n = sliding_n / (rope_cos - self.friction * rope_sin);
            Lowering::Held(newtons(held_n.min(free_n)))
        };
        let low = if let Lowering::Held(force) = down { force } else { newtons(0.0) };
        Ok(SlopePull {
            up: newtons(up_n),
            down,
            at_rest: Band::around(low, newtons(free_n), newtons(up_n.max(low.value))),
        })
    }
}

/// Drag of a load of which the ground carries only a share, the rest hanging on a line.
///
/// D = μ·s·W·cos θ, against the motion
///
/// ```
/// use rope_mechanics::quantity::{Angle, Force, Ratio, unit::{degree, newton, ratio}};
/// use rope_mechanics::slope::ground_drag;
///
/// let (weight, level) = (Force::new::<newton>(2000.0), Angle::new::<degree>(0.0));
/// let drag = ground_drag(weight, Ratio::new::<ratio>(0.25), level, Ratio::new::<ratio>(0.4))?;
/// assert!((drag.get::<newton>() - 200.0).abs() < 1e-9);
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
///
/// # Errors
/// Unless the weight is at least zero, the share from 0 to 1, the slope from 0 to 90° and the friction from 0
/// to 2.
pub fn ground_drag(weight: Force, share: Ratio, slope: Angle, friction: Ratio) -> Result<Force, InputError> {
    let share = error::within("ground_share", share, 0.0, 1.0)?;
    let load = SlopeLoad::new(weight, slope, friction)?;
    Ok(newtons(load.friction * share * load.weight_n * math::cos(load.slope_rad)))
}

/// How steep ground is, in the words of rope rescue.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
pub enum SlopeClass {
    /// Walkable without a rope.
    Flat,
    /// Low angle: attendants carry the load, the rope steadies them.
    Low,
    /// Steep angle: load and attendants share the rope and the ground.
    Steep,
    /// High angle: the rope carries everything.
    High,
}

/// Where the classes of slope begin.
///
/// Sources disagree: low from 15°, steep from 30 to 35°, high from 50 to 60° (read in five of them). Local rules
/// come first.
///
/// ```
/// use rope_mechanics::quantity::{Angle, unit::degree};
/// use rope_mechanics::slope::{SlopeClass, SlopeClasses};
///
/// let bank = Angle::new::<degree>(33.0);
/// assert_eq!(SlopeClasses::EARLY.class(bank)?, SlopeClass::Steep);
/// assert_eq!(SlopeClasses::LATE.class(bank)?, SlopeClass::Low);
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SlopeClasses {
    low_rad: f64,
    steep_rad: f64,
    high_rad: f64,
}

const DEGREE: f64 = core::f64::consts::PI / 180.0;

impl SlopeClasses {
    /// The lowest limits in use, which are the cautious ones: 15, 30 and 50°.
    pub const EARLY: Self =
        Self { low_rad: 15.0 * DEGREE, steep_rad: 30.0 * DEGREE, high_rad: 50.0 * DEGREE };
    /// The highest limits in use: 15, 35 and 60°.
    pub const LATE: Self = Self { low_rad: 15.0 * DEGREE, steep_rad: 35.0 * DEGREE, high_rad: 60.0 * DEGREE };

    /// Classes by the slopes, from level, at which low, steep and high angle begin.
    ///
    /// # Errors
    /// Unless they are from 0 to 90° and none is below the one before.
    pub fn new(low: Angle, steep: Angle, high: Angle) -> Result<Self, InputError> {
        let low_rad = error::within("low_from", low, 0.0, FRAC_PI_2)?;
        let steep_rad = error::within("steep_from", steep, low_rad, FRAC_PI_2)?;
        Ok(Self { low_rad, steep_rad, high_rad: error::within("high_from", high, steep_rad, FRAC_PI_2)? })
    }

    /// The class of a slope; at a limit, the steeper one.
    ///
    /// # Errors
    /// Unless the slope is from 0 to 90°.
    pub fn class(&self, slope: Angle) -> Result<SlopeClass, InputError> {
        // 1e-12 rad, so that 30° is 30° however it was computed.
        let slope = error::within("slope", slope, 0.0, FRAC_PI_2)? + 1e-12;
        Ok(if slope >= self.high_rad {
            SlopeClass::High
        } else if slope >= self.steep_rad {
            SlopeClass::Steep
        } else if slope >= self.low_rad {
            SlopeClass::Low
        } else {
            SlopeClass::Flat
        })
    }
}

impl Default for SlopeClasses {
    fn default() -> Self {
        Self::EARLY
    }
}
