//! A load on a track rope: rolling free, held by a haul rope, or fixed to the rope.
//!
#![doc = include_str!("../docs/pictures/carriage.svg")]
//!
//! The track runs from its upper support, the head, over the carriage to its far anchor. All parts are exact
//! elastic catenaries with their own weight; nothing is taken to be flat. A doubled track is one line of twice
//! the weight, with [`Stretch::strands`]`(2)`.
//!
//! **Caution.** A doubled track rope that runs over one sheave at its far anchor is one rope: it has no
//! redundancy, and a belay must be able to take the load. Tensions measured on spread lines lie 6–15 % above
//! those of a linear rope: keep a band of at least ±15 % where nothing was measured. No strain is refused: look at
//! [`CarriageState::greatest_strain`].
//!
//! Nothing here needs a heap.
//!
//! ```
//! use rope_mechanics::geometry::Point2;
//! use rope_mechanics::carriage::{HaulRope, Held, Load, Track};
//! use rope_mechanics::quantity::{Force, Length, LineMass, Mass, line_weight_of, weight_of};
//! use rope_mechanics::quantity::unit::{gram_per_meter, kilogram, kilonewton, meter, newton};
//! use rope_mechanics::rope::Stretch;
//!
//! let m = Length::new::<meter>;
//! let strand = LineMass::new::<gram_per_meter>(85.0);
//! let track = Track::new(
//!     Point2::new(m(0.0), m(0.0)),
//!     Point2::new(m(70.0), m(-45.0)),
//!     m(80.24889),
//!     2.0 * line_weight_of(strand),
//!     Stretch::linear(Force::new::<kilonewton>(40.0))?.strands(2)?,
//! )?;
//! let load = Load::new(weight_of(Mass::new::<kilogram>(250.0)))?;
//! let haul = HaulRope::new(Point2::new(m(0.0), m(0.0)))?;
//!
//! let state = Held::new(track, load, haul).by_haul_length(m(41.608))?;
//! assert!((state.position.x.get::<meter>() - 29.7215).abs() < 5e-4);
//! assert!((state.tension.head.get::<newton>() - 4682.99).abs() < 0.05);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod above;
mod by_haul;
mod careful;
mod equations;
mod error;
mod held;
mod lines;
mod newton;
mod rolling;
mod scan;
mod solve;
mod start;
mod state;

pub use error::{CarriageError, Support};
pub use held::Held;
pub use state::{CarriageState, HaulPull, TrackTension};

use crate::error::{Allowed, InputError, check, finite, non_negative, positive};
use crate::geometry::Point2;
use crate::line::hang::{HangingPart, RopeLaw};
use crate::motion::Motion;
use crate::quantity::{Force, Length, LineWeight, Ratio, metres};
use crate::rope::Stretch;
use equations::Problem;
use rolling::{Sought, TrackSpan};
use solve::Balance;

/// Certified closing errors are below this many roundings of the largest term, and never above [`LOOSEST`].
fn rounding(scale: f64) -> f64 {
    (96.0 * f64::EPSILON * scale).min(LOOSEST)
}

/// What the places of the ends of a part are sums of, for judging rounding.
fn extent_m(part: &HangingPart) -> f64 {
    part.span_m + part.rise_m.abs()
}

/// No answer closes worse than this.
const LOOSEST: f64 = 1e-11;

/// A track rope: where its two ends are, and what lies between them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Track {
    head: Point2,
    far: Point2,
    length: Length,
    weight: LineWeight,
    stretch: Stretch,
    behind: Behind,
}

/// Rope of the track behind its head, which gives as the tension there grows: this long where it lies, without weight.
///
/// How much unstretched rope is in it follows from the tension at the head: way/(1 + ε(T)).
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Behind {
    pub(crate) way_m: f64,
    pub(crate) stretch: Stretch,
}

impl Behind {
    pub(crate) const NONE: Self = Self { way_m: 0.0, stretch: Stretch::RIGID };

    /// The unstretched rope in it, and how that follows the tension.
    pub(crate) fn rope_m(&self, tension_n: f64) -> (f64, f64) {
        if self.way_m == 0.0 {
            return (0.0, 0.0);
        }
        let stretched = 1.0 + self.stretch.strain_at(tension_n);
        let rope_m = self.way_m / stretched;
        (rope_m, -rope_m * self.stretch.softness_at(tension_n) / stretched)
    }
}

impl Track {
    /// A track from the head to the far anchor, on either side of it, `length` unstretched.
    ///
    /// # Errors
    /// Unless the points are finite and one not straight above the other (`far.x` is other than `head.x`, by 1e-30 m
    /// at least), the length is at least 1e-30 m and the weight zero or at least 1e-30 N/m.
    pub fn new(
        head: Point2,
        far: Point2,
        length: Length,
        weight: LineWeight,
        stretch: Stretch,
    ) -> Result<Self, InputError> {
        let (from, to) = (head.finite("head")?, far.finite("far")?);
        if to.x == from.x {
            return Err(InputError::new("far.x", to.x, "m", Allowed::OtherThan(from.x)));
        }
        positive("span", metres((to.x - from.x).abs()))?;
        positive("track_length", length)?;
        non_negative("track_weight", weight)?;
        Ok(Self { head, far, length, weight, stretch, behind: Behind::NONE })
    }

    /// The same with another unstretched length.
    ///
    /// # Errors
    /// Unless it is above zero.
    pub fn with_length(self, length: Length) -> Result<Self, InputError> {
        positive("track_length", length)?;
        Ok(Self { length, ..self })
    }

    /// The same with rope behind its head: its length is then that of all rope, the part behind included.
    ///
    /// Only for [`Held`] by a haul rope whose haul point isn't outward of the carriage.
    pub(crate) const fn with_behind(self, behind: Behind) -> Self {
        Self { behind, ..self }
    }

    /// The upper support.
    #[must_use]
    pub fn head(&self) -> Point2 {
        self.head
    }

    /// The far anchor.
    #[must_use]
    pub fn far(&self) -> Point2 {
        self.far
    }

    /// Unstretched length.
    #[must_use]
    pub fn length(&self) -> Length {
        self.length
    }

    /// Weight of an unstretched metre.
    #[must_use]
    pub fn weight(&self) -> LineWeight {
        self.weight
    }

    /// How it stretches.
    #[must_use]
    pub fn stretch(&self) -> Stretch {
        self.stretch
    }

    /// Which way is out: 1 or −1.
    fn outward(&self) -> f64 {
        if self.far.x.value < self.head.x.value { -1.0 } else { 1.0 }
    }

    /// A point in the frame of the track.
    fn inside(&self, point: Point2) -> (f64, f64) {
        (self.outward() * (point.x.value - self.head.x.value), point.z.value - self.head.z.value)
    }

    /// A level place strictly between the supports, in the frame of the track.
    fn between(&self, field: &'static str, x: Length) -> Result<f64, InputError> {
        let value = finite(field, x)?;
        let inside = self.outward() * (value - self.head.x.value);
        if inside > 0.0 && inside < self.inside(self.far).0 {
            return Ok(inside);
        }
        let (a, b) = (self.head.x.value, self.far.x.value);
        Err(InputError::new(field, value, "m", Allowed::Within(a.min(b), a.max(b))))
    }

    /// The height of the carriage and the slope of its path, dz/dx.
    fn path(&self, problem: &Problem, balance: &Balance) -> (f64, f64) {
        let rise_m = balance.meaning.near.part.rise_m;
        let slope = balance.by_x(problem).map_or(f64::NAN, |(_, slope)| slope);
        let (base, outward) = if problem.mirrored { (self.far, -1.0) } else { (self.head, 1.0) };
        (base.z.value - rise_m, outward * self.outward() * slope)
    }

    fn law(&self) -> RopeLaw {
        RopeLaw { weight_n_per_m: self.weight.value, stretch: self.stretch }
    }

    fn span(&self, load: &Load) -> TrackSpan {
        let (far_x_m, far_z_m) = self.inside(self.far);
        TrackSpan {
            track: self.law(),
            far_x_m,
            far_z_m,
            length_m: self.length.value,
            load_n: load.weight.value,
            lower_by_upper: 1.0,
        }
    }
}

/// What hangs on the carriage, the carriage included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    weight: Force,
    wheel_friction: f64,
    motion: Motion,
}

impl Load {
    /// A weight on a wheel without friction.
    ///
    /// # Errors
    /// Unless it is above zero.
    pub fn new(weight: Force) -> Result<Self, InputError> {
        positive("load_weight", weight)?;
        Ok(Self { weight, wheel_friction: 0.0, motion: Motion::AtRest })
    }

    /// The same on a wheel that resists: behind the moving carriage the track pulls harder, by this share of its
    /// tension.
    ///
    /// T_behind = T_ahead·(1 + f). [`Motion::Hauling`] is towards the haul point, whichever support that is nearer to;
    /// behind is the other side. At rest the ratio lies anywhere between the two directions: a band, see
    /// [`Held::band_at_x`]; what is given for it is the middle, without friction. About 0.02 for wheels that run well
    /// (from memory).
    ///
    /// **A share of the track's tension, not of the load on the wheel.** A coefficient of rolling resistance c, a share
    /// of the load N on the wheel, is f ≈ c·N/T with N/T = 2·cos(θ/2) at the interior angle θ of the track
    /// ([`CarriageState::interior_angle`]): a quarter of c at 166°, all of it at 120°. Too high an f is on the safe side
    /// for the pull when hauling, too low an f for what must hold when lowering.
    ///
    /// # Errors
    /// Unless the friction is from 0 to 0.5.
    pub fn with_wheel_friction(self, friction: Ratio, motion: Motion) -> Result<Self, InputError> {
        let wheel_friction = crate::error::within("wheel_friction", friction, 0.0, 0.5)?;
        Ok(Self { wheel_friction, motion, ..self })
    }

    /// The weight.
    #[must_use]
    pub fn weight(&self) -> Force {
        self.weight
    }

    /// T_away/T_near, where near is the side that the haul rope comes from.
    fn away_by_near(&self) -> f64 {
        match self.motion {
            Motion::Hauling => 1.0 + self.wheel_friction,
            Motion::Lowering => 1.0 / (1.0 + self.wheel_friction),
            Motion::AtRest => 1.0,
        }
    }
}

/// A haul rope from its haul point to the carriage: straight, unless it is given a weight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HaulRope {
    from: Point2,
    weight: LineWeight,
    stretch: Stretch,
}

impl HaulRope {
    /// A weightless rope that doesn't stretch, from the haul point: the head of the frame, say.
    ///
    /// # Errors
    /// Unless the point is finite.
    pub fn new(from: Point2) -> Result<Self, InputError> {
        from.finite("haul_point")?;
        Ok(Self { from, weight: LineWeight::default(), stretch: Stretch::RIGID })
    }

    /// The same with its own weight, so that it sags.
    ///
    /// # Errors
    /// Unless the weight is at least zero.
    pub fn with_weight(self, weight: LineWeight) -> Result<Self, InputError> {
        non_negative("haul_weight", weight)?;
        Ok(Self { weight, ..self })
    }

    /// The same, stretching.
    #[must_use]
    pub const fn with_stretch(self, stretch: Stretch) -> Self {
        Self { stretch, ..self }
    }
}

/// The load rolling free on the track, without friction.
///
/// Both parts of the track pull with the same tension T and, with nothing else that pulls level, with the same
/// horizontal tension; so each carries half of the load: T² = H² + (P/2)².
///
/// # Errors
/// [`CarriageError::RunsAway`] if there is no balance between the supports.
///
/// ```
/// use rope_mechanics::geometry::Point2;
/// use rope_mechanics::carriage::{Load, Track, rolling};
/// use rope_mechanics::quantity::{Force, Length, LineWeight, unit::{meter, newton}};
/// use rope_mechanics::rope::Stretch;
///
/// let m = Length::new::<meter>;
/// let stiff = Stretch::linear(Force::new::<newton>(1e14))?; // so stiff that the stretch adds only 7 nm of sag
/// let track = Track::new(Point2::new(m(0.0), m(0.0)), Point2::new(m(100.0), m(0.0)), m(102.0), LineWeight::default(), stiff)?;
/// let state = rolling(&track, &Load::new(Force::new::<newton>(1000.0))?)?;
/// assert!((state.position.z.get::<meter>() + 10.0498756).abs() < 1e-7);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn rolling(track: &Track, load: &Load) -> Result<CarriageState, CarriageError> {
    rolling_with(track, load, 1.0)
}

/// Rolling with this ratio of the lower part's tension to the upper one's at the carriage.
fn rolling_with(track: &Track, load: &Load, lower_by_upper: f64) -> Result<CarriageState, CarriageError> {
    let span = TrackSpan { lower_by_upper, ..track.span(load) };
    CarriageState::of_hung(track, &span, &span.rolling()?).sealed()
}

/// The unstretched length of track with which the load rolls to rest at `x`. The track's own length isn't used.
///
/// # Errors
/// As [`rolling`]; and unless `x` is between the middle of the span and the lower support, where a load can come
/// to rest: on a level track it rests in the middle with any length.
pub fn rolling_length_for_x(track: &Track, load: &Load, x: Length) -> Result<CarriageState, CarriageError> {
    let span = track.span(load);
    let at = track.between("x", x)?;
    let beyond = (2.0 * at - span.far_x_m) * -span.far_z_m;
    if !(beyond > 0.0) {
        let middle = 0.5 * (track.head.x.value + track.far.x.value);
        let lower = if span.far_z_m < 0.0 { track.far.x.value } else { track.head.x.value };
        let allowed = Allowed::Within(middle.min(lower), middle.max(lower));
        return Err(InputError::new("x", x.value, "m", allowed).into());
    }
    CarriageState::of_hung(track, &span, &span.rolling_to(Sought::X(at))?).sealed()
}

/// The unstretched length of track with which the rolling load hangs `sag` below the chord, measured plumb.
///
/// The track's own length isn't used.
///
/// # Errors
/// As [`rolling`]; and unless the sag is above zero.
pub fn rolling_length_for_sag(
    track: &Track,
    load: &Load,
    sag: Length,
) -> Result<CarriageState, CarriageError> {
    let span = track.span(load);
    let sag = positive("sag", sag)?;
    CarriageState::of_hung(track, &span, &span.rolling_to(Sought::Sag(sag))?).sealed()
}

/// The unstretched length of track with which the rolling load makes it pull with `tension` at the head.
///
/// The track's own length isn't used.
///
/// # Errors
/// As [`rolling`]; and unless the tension is above half of the load; [`CarriageError::NoRollingTension`] if no length
/// was found.
pub fn rolling_length_for_tension(
    track: &Track,
    load: &Load,
    tension: Force,
) -> Result<CarriageState, CarriageError> {
    let span = track.span(load);
    let tension = check("tension", tension, Allowed::Above(0.5 * span.load_n))?;
    CarriageState::of_hung(track, &span, &span.rolling_to(Sought::HeadTension(tension))?).sealed()
}

/// The load fixed to the track, `upper` of its unstretched length on the head's side.
///
/// Both parts have the same horizontal tension; the tensions differ.
///
/// # Errors
/// Unless `upper` is above zero and below the length of the track.
pub fn fixed(track: &Track, load: &Load, upper: Length) -> Result<CarriageState, CarriageError> {
    let span = track.span(load);
    positive("upper_length", upper)?;
    let upper = check("upper_length", upper, Allowed::Below(span.length_m))?;
    CarriageState::of_hung(track, &span, &span.fixed(upper)?).sealed()
}
