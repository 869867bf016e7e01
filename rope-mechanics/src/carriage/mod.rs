//! A load on a track rope: rolling free, held by a haul rope, or fixed to the rope.
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
mod careful;
mod error;
mod held;
mod newton;
mod part;
mod rolling;
mod state;
mod system;

pub use error::{CarriageError, Support};
pub use state::{CarriageState, HaulPull, TrackTension};

use crate::error::{Allowed, InputError, check, finite, non_negative, positive};
use crate::geometry::Point2;
use crate::math;
use crate::motion::Motion;
use crate::quantity::{Force, Length, LineWeight, Ratio, metres, newtons};
use crate::rope::Stretch;
use part::Law;
use rolling::{Sought, Span};
use system::{Given, Problem, Unknowns};

/// Certified closing errors are below this many roundings of the largest term, and never above [`LOOSEST`].
fn rounding(scale: f64) -> f64 {
    (96.0 * f64::EPSILON * scale).min(LOOSEST)
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
        Ok(Self { head, far, length, weight, stretch })
    }

    /// The same with another unstretched length.
    ///
    /// # Errors
    /// Unless it is above zero.
    pub fn with_length(self, length: Length) -> Result<Self, InputError> {
        positive("track_length", length)?;
        Ok(Self { length, ..self })
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

    fn law(&self) -> Law {
        Law::new(self.weight.value, Some(self.stretch))
    }

    fn span(&self, load: &Load) -> Span {
        let (far_x_m, far_z_m) = self.inside(self.far);
        Span { track: self.law(), far_x_m, far_z_m, length_m: self.length.value, load_n: load.weight.value }
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

    /// The same on a wheel that resists: behind the moving carriage the track pulls harder, by this share.
    ///
    /// T_behind = T_ahead·(1 + f). Hauled towards the head, the far side is behind. At rest the ratio lies
    /// anywhere between the two directions: a band, see [`Held::band_at_x`]; what is given for it is the middle,
    /// without friction. About 0.02 for wheels that run well (from memory).
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

    fn lower_by_upper(&self) -> f64 {
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
    stretch: Option<Stretch>,
}

impl HaulRope {
    /// A weightless rope that doesn't stretch, from the haul point: the head of the frame, say.
    ///
    /// # Errors
    /// Unless the point is finite.
    pub fn new(from: Point2) -> Result<Self, InputError> {
        from.finite("haul_point")?;
        Ok(Self { from, weight: LineWeight::default(), stretch: None })
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
        Self { stretch: Some(stretch), ..self }
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
    let span = track.span(load);
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
/// As [`rolling`]; and unless the tension is above half of the load.
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

/// A load on a track, held by a haul rope.
///
/// Assumed: the carriage's wheel passes the track's tension on, but for its friction; the haul rope is tied to
/// the carriage where the load hangs. Three forces balance there: T·(e₁ + r·e₂) + P·d = W.
///
/// Each method finds one balance. With a track that is very slack under its own weight there may be several;
/// the one nearest to two straight parts is given.
///
/// ```
/// # use rope_mechanics::geometry::Point2;
/// # use rope_mechanics::carriage::{HaulRope, Held, Load, Track};
/// # use rope_mechanics::quantity::{Force, Length, LineMass, line_weight_of, unit::{gram_per_meter, kilonewton, meter, newton}};
/// # use rope_mechanics::rope::Stretch;
/// # let m = Length::new::<meter>;
/// let (head, far) = (Point2::new(m(0.0), m(0.0)), Point2::new(m(70.0), m(-45.0)));
/// let stretch = Stretch::linear(Force::new::<kilonewton>(40.0))?.strands(2)?;
/// let track = Track::new(head, far, m(80.0), line_weight_of(LineMass::new::<gram_per_meter>(170.0)), stretch)?;
/// let (load, haul) = (Load::new(Force::new::<newton>(2450.0))?, HaulRope::new(head)?);
///
/// // How much rope to leave in the line so that the load hangs 24 m below the head, 30 m out; then held there.
/// let wanted = Held::new(track, load, haul).length_for_point(Point2::new(m(30.0), m(-24.0)))?;
/// let again = Held::new(track.with_length(wanted.track_length)?, load, haul).at_x(m(30.0))?;
/// assert!((again.position.z.get::<meter>() + 24.0).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Held {
    track: Track,
    load: Load,
    haul: HaulRope,
}

impl Held {
    /// The three together.
    #[must_use]
    pub const fn new(track: Track, load: Load, haul: HaulRope) -> Self {
        Self { track, load, haul }
    }

    /// Held at a level place `x`.
    ///
    /// # Errors
    /// Unless `x` is strictly between the supports; [`CarriageError::HaulWouldPush`] where the load rolls
    /// towards the haul point by itself.
    pub fn at_x(&self, x: Length) -> Result<CarriageState, CarriageError> {
        let x_m = self.track.between("x", x)?;
        self.solve(Given::LengthAndX { length_m: self.track.length.value, x_m }, None)
    }

    /// The same, beginning from the state at a place nearby, which saves half of the time.
    ///
    /// # Errors
    /// As [`Held::at_x`].
    pub fn at_x_from(&self, x: Length, nearby: &CarriageState) -> Result<CarriageState, CarriageError> {
        let x_m = self.track.between("x", x)?;
        self.solve(Given::LengthAndX { length_m: self.track.length.value, x_m }, nearby.warm())
    }

    /// Held at rest at `x`: the states just about to be lowered and to be hauled, between which friction holds.
    ///
    /// # Errors
    /// As [`Held::at_x`].
    pub fn band_at_x(&self, x: Length) -> Result<[CarriageState; 2], CarriageError> {
        let moving = |motion| Self { load: Load { motion, ..self.load }, ..*self }.at_x(x);
        Ok([moving(Motion::Lowering)?, moving(Motion::Hauling)?])
    }

    /// Held by an unstretched `length` of haul rope.
    ///
    /// If the load rolls to rest nearer than the haul rope reaches, that rope is slack and the state is that of
    /// [`rolling`], without a haul pull.
    ///
    /// # Errors
    /// Unless the length is above zero; [`CarriageError::Unsolved`] if there is no balance between the supports.
    pub fn by_haul_length(&self, length: Length) -> Result<CarriageState, CarriageError> {
        let haul_m = positive("haul_length", length)?;
        if self.haul.weight.value == 0.0
            && let Ok(free) = rolling(&self.track, &self.load)
        {
            let (x, z) = (free.position.x - self.haul.from.x, free.position.z - self.haul.from.z);
            if math::hypot(x.value, z.value) <= haul_m {
                return Ok(free);
            }
        }
        self.solve(Given::LengthAndHaul { length_m: self.track.length.value, haul_m }, None)
    }

    /// The length of track with which the carriage stands at `point`, its height above the ground included: see
    /// [`Profile::above`](crate::geometry::Profile::above), and [`Held::at_height_above`] for the place on a given
    /// length. The track's own length isn't used.
    ///
    /// # Errors
    /// Unless the point is between the supports; [`CarriageError::Unsolved`] if it lies so high that no tension
    /// would hold the load there.
    pub fn length_for_point(&self, point: Point2) -> Result<CarriageState, CarriageError> {
        point.finite("point")?;
        let x_m = self.track.between("point.x", point.x)?;
        self.solve(Given::Point { x_m, z_m: self.track.inside(point).1 }, None)
    }

    /// The length of track with which it pulls with `tension` at the head while the carriage stands at `x`. The
    /// track's own length isn't used.
    ///
    /// Below a right angle between its parts a track pulls harder the lower its load hangs, so that two lengths
    /// give the same tension: the shorter one is given.
    ///
    /// # Errors
    /// Unless `x` is between the supports and the tension is above zero; [`CarriageError::TooLittleTension`] if
    /// the load can't hang on so little.
    pub fn length_for_tension(&self, x: Length, tension: Force) -> Result<CarriageState, CarriageError> {
        let x_m = self.track.between("x", x)?;
        let tension_n = positive("tension", tension)?;
        self.solve(Given::XAndTension { x_m, tension_n }, None)
    }

    /// What the track and the haul rope carry with the carriage at `point`: the rest of the load stands on the
    /// ground. The load's own weight isn't used.
    ///
    /// [`CarriageState::load`] is what they carry; less than zero if the track hangs lower than the point by
    /// itself, and rests on the carriage.
    ///
    /// # Errors
    /// Unless the point is between the supports; [`CarriageError::HaulWouldPush`] as for [`Held::at_x`].
    pub fn load_at_point(&self, point: Point2) -> Result<CarriageState, CarriageError> {
        point.finite("point")?;
        let x_m = self.track.between("point.x", point.x)?;
        let z_m = self.track.inside(point).1;
        self.solve(Given::LengthAndPoint { length_m: self.track.length.value, x_m, z_m }, None)
    }

    /// The load.
    #[cfg(all(feature = "alloc", feature = "serde"))]
    pub(crate) fn load(&self) -> &Load {
        &self.load
    }

    /// The track with its carriage at `point`, whatever holds it there: [`CarriageState::on_carriage_by_track`] is
    /// the track's pull on it. The state's haul rope and force error are those of another balance.
    #[cfg(all(feature = "alloc", feature = "serde"))]
    pub(crate) fn track_at_point(&self, point: Point2) -> Result<CarriageState, CarriageError> {
        point.finite("point")?;
        let x_m = self.track.between("point.x", point.x)?;
        let z_m = self.track.inside(point).1;
        Ok(self.solved(Given::LengthAndPoint { length_m: self.track.length.value, x_m, z_m }, None)?.0)
    }

    fn solve(&self, given: Given, warm: Option<Unknowns>) -> Result<CarriageState, CarriageError> {
        match self.solved(given, warm)? {
            (state, Some(push)) => Err(CarriageError::HaulWouldPush { x: state.position.x, push }),
            (state, None) => state.sealed(),
        }
    }

    /// The state, and the push if the haul rope would have to.
    fn solved(
        &self,
        given: Given,
        warm: Option<Unknowns>,
    ) -> Result<(CarriageState, Option<Force>), CarriageError> {
        let (far_x_m, far_z_m) = self.track.inside(self.track.far);
        let (haul_x_m, haul_z_m) = self.track.inside(self.haul.from);
        let track = self.track.law();
        let scale_m = math::hypot(far_x_m, far_z_m);
        let problem = Problem {
            track,
            haul: Law::new(self.haul.weight.value, self.haul.stretch),
            far_x_m,
            far_z_m,
            haul_x_m,
            haul_z_m,
            load_n: self.load.weight.value,
            lower_by_upper: self.load.lower_by_upper(),
            given,
            scale_m,
            scale_n: self.load.weight.value + track.weight_n_per_m * scale_m,
        };
        let solved = problem.solve(warm)?;
        let state = CarriageState::of_held(&self.track, &problem, &solved);
        let pull_n = solved.meaning.pull_n();
        let pushes = pull_n < -PUSH * (problem.scale_n + solved.meaning.upper_tension_n);
        Ok((state, pushes.then(|| newtons(-pull_n))))
    }
}

/// A push below this share of the forces is rounding.
const PUSH: f64 = 1e-12;
