//! A load on a track rope: rolling free, or held by a haul rope.
//!
//! No call allocates.
//!
//! ```text
//! T*(e1 + r*e2) + P*d = W    e1, e2 along the track at both sides of the wheel, r = 1 without friction; P haul rope along d
//! with both parts of the track, and the haul rope, elastic lines with their own weight. Rolling: P = 0, T equal at both sides.
//! Assumed: the wheel passes the tension on but for its friction; nothing is taken to be flat. Range: certified where the haul
//! rope climbs 0 to 60 degrees and the track is at most 3 % longer than its chord; beyond, an answer is certified or refused.
//! One branch is promised: the wheel presses on its track, the haul rope pulls, the carriage is stable.
//! CAUTION. A doubled track on one sheave has no redundancy. Keep +-15 % on every tension where nothing was measured.
//! Source: statics of the carriage; Irvine for the lines; vectors at high precision (tests/oracle).
//! ```
//!
//! ```c
//! rmech_carriage carriage = RMECH_INIT(rmech_carriage); // head, haul point at the head, far anchor
//! rmech_carriage_state state = RMECH_INIT(rmech_carriage_state);
//! carriage.far.x = rmech_m(52.0);
//! carriage.far.z = rmech_m(-31.0);
//! carriage.track_length = rmech_m(60.7);
//! carriage.track_weight = rmech_n_per_m(1.8);
//! carriage.track_stretch.a = rmech_kn(124.0);
//! carriage.load_weight = rmech_n(1570.0);
//! rmech_length x = rmech_m(22.0);
//! if (rmech_carriage_held_at_x(&carriage, &x, &state, &error) == RMECH_OK)
//!     printf("%.2f kN at the head\n", rmech_in_kn(state.tension_head)); // 2.79 kN at the head
//! ```

use crate::call::{
    call, growing, growing_output, input, inputs, no_flags, no_reserved, versions, writable_growing,
};
use crate::error::{Failure, Named, RMECH_ERR_CAPACITY, RMECH_ERR_GEOMETRY, RMECH_ERR_UNSOLVED, rmech_error};
use crate::quantity::{coordinates, rmech_angle, rmech_force, rmech_length, rmech_line_weight, rmech_ratio};
use crate::rope::rmech_stretch;
use crate::sheave::motion;
use rope_mechanics::carriage::{CarriageError, CarriageState, HaulRope, Held, Load, Support, Track, rolling};
use rope_mechanics::geometry::{Force2, Point2, Profile};
use rope_mechanics::motion::Motion;
use rope_mechanics::quantity::Length;

/// The support that the load is hauled to.
pub const RMECH_SUPPORT_HEAD: i32 = 1;
/// The support beyond the load.
pub const RMECH_SUPPORT_FAR: i32 = 2;
/// The most points of a ground profile.
pub const RMECH_GROUND_POINTS_MAX: usize = 512;

/// A point in the vertical plane of a line: x horizontal, outward; z up.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_plane_point {
    /// Horizontal, outward.
    pub x: rmech_length,
    /// Up.
    pub z: rmech_length,
}

/// A force in the vertical plane of a line.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_plane_force {
    /// Horizontal, outward.
    pub x: rmech_force,
    /// Up.
    pub z: rmech_force,
}

impl rmech_plane_point {
    fn get(self) -> Point2 {
        Point2::new(self.x.get(), self.z.get())
    }
}

impl From<Point2> for rmech_plane_point {
    fn from(p: Point2) -> Self {
        Self { x: p.x.into(), z: p.z.into() }
    }
}

impl From<Force2> for rmech_plane_force {
    fn from(f: Force2) -> Self {
        Self { x: f.x.into(), z: f.z.into() }
    }
}

coordinates! {
    rmech_plane_point, metres: x z;
}

/// A track rope, the load on its carriage, and the haul rope.
///
/// It is solved for any strain of the track: see `greatest_strain` of the state.
///
/// A doubled track is one line of twice the weight and twice the stretch coefficients. On one sheave at its far
/// anchor it has no redundancy.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_carriage {
    /// sizeof(rmech_carriage); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// Zero.
    pub flags: u32,
    /// Upper support of the track.
    pub head: rmech_plane_point,
    /// Its far anchor, on either side.
    pub far: rmech_plane_point,
    /// Unstretched length of the track. Not read where a length is sought.
    pub track_length: rmech_length,
    /// Its weight per unstretched metre.
    pub track_weight: rmech_line_weight,
    /// How it stretches.
    pub track_stretch: rmech_stretch,
    /// Weight on the carriage, the carriage included.
    pub load_weight: rmech_force,
    /// By how much harder the track pulls behind the moving wheel, as a share of its tension (not of the load on the
    /// wheel): 0.02, say; zero for none. Hauling is towards the haul point.
    pub wheel_friction: rmech_ratio,
    /// One of `RMECH_MOTION_...`: with friction it must be said, and 0 is refused; without friction it is not read. (A
    /// `rmech_rig_rope` takes 0 for at rest.)
    pub motion: i32,
    /// Zero.
    pub reserved: i32,
    /// Where the haul rope comes from.
    pub haul_point: rmech_plane_point,
    /// Weight of the haul rope per unstretched metre; zero for a straight one.
    pub haul_weight: rmech_line_weight,
    /// How the haul rope stretches; zeros if it doesn't.
    pub haul_stretch: rmech_stretch,
}

versions!(rmech_carriage: 136);

impl rmech_carriage {
    fn track(&self, length: Length) -> Result<Track, Failure> {
        no_flags(self.flags)?;
        no_reserved("carriage", self.reserved.into())?;
        let weight = self.track_weight.get();
        let stretch = self.track_stretch.get().inside("track_stretch")?;
        Track::new(self.head.get(), self.far.get(), length, weight, stretch)
            .point("head", "head", &self.head)
            .point("far", "far", &self.far)
    }

    fn load(&self) -> Result<Load, Failure> {
        let load = Load::new(self.load_weight.get())?;
        if self.wheel_friction.fraction == 0.0 {
            return Ok(load);
        }
        // The friction first: without a usable one, nobody asks for the motion.
        let friction = self.wheel_friction.get();
        load.with_wheel_friction(friction, Motion::Hauling)?;
        Ok(load.with_wheel_friction(friction, motion("motion", self.motion)?)?)
    }

    fn held(&self, length: Length) -> Result<Held, Failure> {
        let haul =
            HaulRope::new(self.haul_point.get()).point("haul_point", "haul_point", &self.haul_point)?;
        let haul = haul.with_weight(self.haul_weight.get())?;
        let haul = match self.haul_stretch.given().inside("haul_stretch")? {
            None => haul,
            Some(stretch) => haul.with_stretch(stretch),
        };
        Ok(Held::new(self.track(length)?, self.load()?, haul))
    }

    /// With any length of track, for calls that seek it.
    fn held_on_some_length(&self) -> Result<Held, Failure> {
        self.held(rmech_length { metres: 1.0 }.get())
    }
}

/// A carriage in balance.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_carriage_state {
    /// sizeof(rmech_carriage_state); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// Zero.
    pub flags: u32,
    /// Where the carriage is.
    pub position: rmech_plane_point,
    /// Unstretched length of the whole track.
    pub track_length: rmech_length,
    /// Unstretched length on the head's side.
    pub upper_length: rmech_length,
    /// Unstretched length on the far side.
    pub lower_length: rmech_length,
    /// Tension of the track at the head, all strands together.
    pub tension_head: rmech_force,
    /// Tension at the carriage on the head's side.
    pub tension_carriage_upper: rmech_force,
    /// Tension at the carriage on the far side.
    pub tension_carriage_lower: rmech_force,
    /// Tension at the far anchor.
    pub tension_far: rmech_force,
    /// Horizontal tension on the head's side.
    pub horizontal_upper: rmech_force,
    /// Horizontal tension on the far side.
    pub horizontal_lower: rmech_force,
    /// The weight that track and haul rope carry.
    pub load: rmech_force,
    /// Between the two parts of the track at the carriage; half a turn where it runs straight through.
    pub interior_angle: rmech_angle,
    /// The lowest point of the track.
    pub lowest_point: rmech_plane_point,
    /// The pull of the track on the head.
    pub on_head: rmech_plane_force,
    /// The pull of the track on the far anchor.
    pub on_far: rmech_plane_force,
    /// 1 if the haul rope pulls; 0 if there is none or it is slack, and all that follows of it is zero.
    pub haul_pulls: i32,
    /// Steps of the solver.
    pub iterations: u32,
    /// Unstretched length of the haul rope from its haul point to the carriage.
    pub haul_length: rmech_length,
    /// Its tension at the carriage.
    pub haul_at_carriage: rmech_force,
    /// Its tension at the haul point.
    pub haul_at_haul_point: rmech_force,
    /// Its pull on the carriage.
    pub haul_on_carriage: rmech_plane_force,
    /// Its pull on the haul point.
    pub haul_on_haul_point: rmech_plane_force,
    /// By how much the forces at the carriage miss balance.
    pub force_error: rmech_force,
    /// By how much the parts miss their supports.
    pub closing_error: rmech_length,
    /// The larger of the two errors against the largest force or length.
    pub residual: rmech_ratio,
    /// Strain of the track where its tension is greatest: 0.05 is 5 %. No strain is refused, however soon a rope would
    /// part: compare it with the range in which the stretch of yours was measured.
    pub greatest_strain: rmech_ratio,
}

versions!(rmech_carriage_state: 248, 256);

impl From<CarriageState> for rmech_carriage_state {
    fn from(state: CarriageState) -> Self {
        let haul = state.haul;
        Self {
            struct_size: size_of::<Self>() as u32,
            flags: 0,
            position: state.position.into(),
            track_length: state.track_length.into(),
            upper_length: state.upper_length.into(),
            lower_length: state.lower_length.into(),
            tension_head: state.tension.head.into(),
            tension_carriage_upper: state.tension.carriage_upper.into(),
            tension_carriage_lower: state.tension.carriage_lower.into(),
            tension_far: state.tension.far.into(),
            horizontal_upper: state.horizontal_upper.into(),
            horizontal_lower: state.horizontal_lower.into(),
            load: state.load.into(),
            interior_angle: state.interior_angle.into(),
            lowest_point: state.lowest_point.into(),
            on_head: state.on_head.into(),
            on_far: state.on_far.into(),
            haul_pulls: i32::from(haul.is_some()),
            iterations: state.report.iterations,
            haul_length: haul.map(|h| h.length.into()).unwrap_or_default(),
            haul_at_carriage: haul.map(|h| h.at_carriage.into()).unwrap_or_default(),
            haul_at_haul_point: haul.map(|h| h.at_haul_point.into()).unwrap_or_default(),
            haul_on_carriage: haul.map(|h| h.on_carriage.into()).unwrap_or_default(),
            haul_on_haul_point: haul.map(|h| h.on_haul_point.into()).unwrap_or_default(),
            force_error: state.force_error.into(),
            closing_error: state.closing_error.into(),
            residual: rmech_ratio { fraction: state.report.residual },
            greatest_strain: state.greatest_strain().into(),
        }
    }
}

impl From<CarriageError> for Failure {
    fn from(why: CarriageError) -> Self {
        match why {
            CarriageError::Input(why) => why.into(),
            CarriageError::RunsAway { .. } => Self::of(RMECH_ERR_GEOMETRY, "track_length", why),
            CarriageError::HaulWouldPush { .. } => Self::of(RMECH_ERR_GEOMETRY, "x", why),
            CarriageError::TooLittleTension { .. } => Self::of(RMECH_ERR_GEOMETRY, "tension", why),
            CarriageError::NoSuchHeight { .. } => Self::of(RMECH_ERR_GEOMETRY, "height", why),
            CarriageError::HaulTooHeavy { .. } => Self::of(RMECH_ERR_GEOMETRY, "haul_weight", why),
            CarriageError::HaulTooShort { .. } => Self::of(RMECH_ERR_GEOMETRY, "haul_length", why),
            CarriageError::LiftedOff => Self::of(RMECH_ERR_GEOMETRY, "haul_point", why),
            CarriageError::NoRollingTension { .. } => Self::of(RMECH_ERR_GEOMETRY, "tension", why),
            _ => Self::new(RMECH_ERR_UNSOLVED, why),
        }
    }
}

/// The load rolling free on the track, without friction. The haul rope is not read.
///
/// `RMECH_ERR_GEOMETRY` if nothing holds it between its supports: it runs to the lower one.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_carriage_rolling(
    carriage: *const rmech_carriage,
    state: *mut rmech_carriage_state,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let rig = unsafe { growing("carriage", carriage)? };
        // SAFETY: as above.
        unsafe { writable_growing("state", state)? };
        let value = rolling(&rig.track(rig.track_length.get())?, &rig.load()?)?.into();
        // SAFETY: as above.
        unsafe { growing_output("state", state, value) }
    })
}

/// The load held by its haul rope at the horizontal position `x`, strictly between the supports of the track.
///
/// `RMECH_ERR_GEOMETRY` where the haul rope would have to push.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_carriage_held_at_x(
    carriage: *const rmech_carriage,
    x: *const rmech_length,
    state: *mut rmech_carriage_state,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (rig, x) = unsafe { (growing("carriage", carriage)?, input("x", x)?.get()) };
        // SAFETY: as above.
        unsafe { writable_growing("state", state)? };
        let value = rig.held(rig.track_length.get())?.at_x(x)?.into();
        // SAFETY: as above.
        unsafe { growing_output("state", state, value) }
    })
}

/// The load held by an unstretched length of haul rope. Where that rope is slack, the load rests by itself.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_carriage_held_by_haul_length(
    carriage: *const rmech_carriage,
    haul_length: *const rmech_length,
    state: *mut rmech_carriage_state,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (rig, length) =
            unsafe { (growing("carriage", carriage)?, input("haul_length", haul_length)?.get()) };
        // SAFETY: as above.
        unsafe { writable_growing("state", state)? };
        let value = rig.held(rig.track_length.get())?.by_haul_length(length)?.into();
        // SAFETY: as above.
        unsafe { growing_output("state", state, value) }
    })
}

/// The load held where it hangs `height` above the ground, measured plumb: of several such places the one nearest to
/// the support named by `nearest`, one of `RMECH_SUPPORT_...`.
///
/// `ground` has `count` points with growing x, at most `RMECH_GROUND_POINTS_MAX`. `RMECH_ERR_GEOMETRY` where the load
/// hangs so high nowhere: the message has the least and the greatest height.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_carriage_held_at_height_above(
    carriage: *const rmech_carriage,
    ground: *const rmech_plane_point,
    count: usize,
    height: *const rmech_length,
    nearest: i32,
    state: *mut rmech_carriage_state,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        if count > RMECH_GROUND_POINTS_MAX {
            let message = format_args!("count is {count}, but must be at most {RMECH_GROUND_POINTS_MAX}");
            return Err(Failure::of(RMECH_ERR_CAPACITY, "count", message));
        }
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (rig, given, height) = unsafe {
            (growing("carriage", carriage)?, inputs("ground", ground, count)?, input("height", height)?.get())
        };
        // SAFETY: as above.
        unsafe { writable_growing("state", state)? };
        let nearest = match nearest {
            RMECH_SUPPORT_HEAD => Support::Head,
            RMECH_SUPPORT_FAR => Support::Far,
            _ => return Err(Failure::unknown("nearest", nearest, "one of RMECH_SUPPORT_...")),
        };
        let mut points = [Point2::default(); RMECH_GROUND_POINTS_MAX];
        for (point, given) in points.iter_mut().zip(given) {
            *point = given.get();
        }
        let (xs, zs) = (given.iter().map(|p| p.x.metres), given.iter().map(|p| p.z.metres));
        let profile = Profile::new(points.get(..count).unwrap_or_default()).named("profile_points", "count");
        let profile = profile.listed("profile_point.x", "ground", "x", xs.clone());
        // A coordinate that is no number may be either.
        let ground = match given.iter().position(|p| !p.x.metres.is_finite()) {
            Some(_) => profile.listed("profile_point", "ground", "x", xs),
            None => profile.listed("profile_point", "ground", "z", zs),
        }?;
        let held = rig.held(rig.track_length.get())?;
        let value = held.at_height_above(&ground, height, nearest)?.into();
        // SAFETY: as above.
        unsafe { growing_output("state", state, value) }
    })
}

/// The length of track with which it pulls with `tension` at the head while the load is held at `x`.
///
/// `state` has the length. `RMECH_ERR_GEOMETRY` if the load can't hang on so little tension.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_carriage_length_for_tension(
    carriage: *const rmech_carriage,
    x: *const rmech_length,
    tension: *const rmech_force,
    state: *mut rmech_carriage_state,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (rig, x, tension) = unsafe {
            (growing("carriage", carriage)?, input("x", x)?.get(), input("tension", tension)?.get())
        };
        // SAFETY: as above.
        unsafe { writable_growing("state", state)? };
        let value = rig.held_on_some_length()?.length_for_tension(x, tension)?.into();
        // SAFETY: as above.
        unsafe { growing_output("state", state, value) }
    })
}

/// The length of track with which the held carriage stands at `point`: at a given height above the ground, say.
///
/// `state` has the length.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_carriage_length_for_point(
    carriage: *const rmech_carriage,
    point: *const rmech_plane_point,
    state: *mut rmech_carriage_state,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (rig, point) = unsafe { (growing("carriage", carriage)?, input("point", point)?) };
        // SAFETY: as above.
        unsafe { writable_growing("state", state)? };
        let found = rig.held_on_some_length()?.length_for_point(point.get());
        let value = found.point("point", "point", &point)?.into();
        // SAFETY: as above.
        unsafe { growing_output("state", state, value) }
    })
}
