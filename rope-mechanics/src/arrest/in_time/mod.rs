//! What falls, swings and lands, followed in time.

mod forces;
mod ground;
mod march;

use super::ArrestError;
use crate::error::{Allowed, InputError, check, finite, non_negative, positive, within};
use crate::geometry::{Point2, Profile};
use crate::math;
use crate::quantity::unit::{meter_per_second, second};
use crate::quantity::{Force, Length, Mass, Ratio, Time, Velocity, metres, newtons};
use crate::rope::Stretch;
use forces::{HeldBy, Setup, SpringDamper};
use march::March;

/// What a rope is tied to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TiedTo {
    /// The carriage; the litter itself, where there is no carriage.
    Carriage,
    /// The litter.
    Litter,
}

/// A rope from a fixed point to a falling body: where it comes from, how much of it stretches, how taut it is at first.
///
/// The point is where it leaves its last sheave. The length is all that stretches: from the point to the body, and
/// what lies behind the point as far as friction lets it share (η of each bend between: with η = 0.9 count 0.9 of the
/// length behind). A shorter length is stiffer: conservative for the peak, not for the drop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FallingRope {
    from: Point2,
    length_m: f64,
    stretch: Stretch,
    tied_to: TiedTo,
    /// At the start; one of the two is zero.
    tension_n: f64,
    slack_m: f64,
    damping: f64,
}

impl FallingRope {
    /// A rope that pulls with a tension when the fall begins; zero for one that is just straight.
    ///
    /// # Errors
    /// Unless the point is finite, the length above zero and the tension at least zero.
    pub fn taut(from: Point2, length: Length, stretch: Stretch, tension: Force) -> Result<Self, InputError> {
        from.finite("from")?;
        Ok(Self {
            from,
            length_m: check("rope_length", length, Allowed::AtLeast(super::SHORTEST_M))?,
            stretch,
            tied_to: TiedTo::Carriage,
            tension_n: non_negative("tension", tension)?,
            slack_m: 0.0,
            damping: 0.0,
        })
    }

    /// A rope with slack in it when the fall begins, the reaction of its device included.
    ///
    /// # Errors
    /// Unless the point is finite, the length above zero and the slack at least zero.
    pub fn slack(from: Point2, length: Length, stretch: Stretch, slack: Length) -> Result<Self, InputError> {
        let taut = Self::taut(from, length, stretch, newtons(0.0))?;
        Ok(Self { slack_m: non_negative("slack", slack)?, ..taut })
    }

    /// The same rope, tied to the litter or to the carriage. Ropes are tied to the carriage unless this says otherwise.
    #[must_use]
    pub const fn tied_to(self, body: TiedTo) -> Self {
        Self { tied_to: body, ..self }
    }

    /// The same rope with damping, as a share of the critical one of the body that it is tied to, on its stiffness at
    /// zero. [`DAMPING`](super::DAMPING) is usual; none is on the safe side.
    ///
    /// # Errors
    /// Unless it is from 0 to 1.
    pub fn with_damping(self, damping: Ratio) -> Result<Self, InputError> {
        Ok(Self { damping: within("damping", damping, 0.0, 1.0)?, ..self })
    }
}

/// A litter, with or without a carriage above it, that falls in the vertical plane of the track until ropes or the
/// ground stop it.
///
/// Two points with mass: the carriage and the litter on its sling. Each rope pulls only; a track, if any is left, runs
/// over the wheel of the carriage without friction. The ground is a line of straight pieces that bodies meet without
/// rebound and slide on with Coulomb friction; beyond its ends it goes on as its last pieces do.
///
/// Assumed: ropes without mass, no air drag, everything in one plane, ropes don't touch the ground. The litter
/// is a point at its underside: a litter of 2 m can touch 1 m further out and in. Give the stretch that the ropes have
/// in a fall, by [`STIFFER_IN_A_FALL`](super::STIFFER_IN_A_FALL): its high end for a peak, its low end for a drop.
///
/// The steps are halved until the results change by no more than the tolerance and the energy balance closes to it; the
/// last change is part of the answer.
///
/// ```
/// use rope_mechanics::arrest::{EndState, FallInTime, FallingRope};
/// use rope_mechanics::geometry::{Point2, Profile};
/// use rope_mechanics::quantity::{Force, Length, Mass, Ratio, Time};
/// use rope_mechanics::quantity::unit::{kilogram, kilonewton, meter, meter_per_second, newton, percent, second};
/// use rope_mechanics::rope::Stretch;
///
/// let m = Length::new::<meter>;
/// let at = |x, z| Point2::new(m(x), m(z));
/// let stretch = Stretch::linear(Force::new::<kilonewton>(160.0))?;
/// // The track is lost with the carriage 20 m out and 12 m down, the litter 1.1 m below it, and the haul rope taut.
/// let haul = FallingRope::taut(at(0.0, 0.0), m(23.3), stretch, Force::new::<newton>(1400.0))?;
/// let slope = [at(-5.0, -3.0), at(0.0, -3.0), at(40.0, -31.0)];
/// let fall = FallInTime::new(Mass::new::<kilogram>(200.0), at(20.0, -13.1), [haul])?
///     .with_carriage(Mass::new::<kilogram>(20.0), at(20.0, -12.0), stretch)?
///     .on_ground(Profile::new(&slope)?, Ratio::new::<percent>(40.0))?;
/// let motion = fall.run(Time::new::<second>(8.0), Ratio::new::<percent>(1.0))?;
/// let landing = motion.first_landing.unwrap();
/// assert!(landing.into_ground <= landing.speed && landing.speed.get::<meter_per_second>() < 9.0);
/// assert!(motion.rope_peaks[0] > Force::new::<newton>(1400.0));
/// assert_ne!(motion.end, EndState::Hangs);
/// # Ok::<(), rope_mechanics::arrest::ArrestError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FallInTime<'a, const N: usize> {
    litter_kg: f64,
    litter: Point2,
    velocity: [f64; 2],
    ropes: [FallingRope; N],
    carriage: Option<(f64, Point2, Stretch)>,
    track: Option<(Point2, Point2, f64, Stretch)>,
    ground: Option<(Profile<'a>, f64)>,
}

/// A body that meets the ground.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Landing {
    /// The time since the fall began.
    pub time: Time,
    /// The place.
    pub at: Point2,
    /// The speed.
    pub speed: Velocity,
    /// The component of the speed into the ground or the face; the rest is along it.
    pub into_ground: Velocity,
}

/// The state of the litter when the time is up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
pub enum EndState {
    /// The litter lies on the ground and doesn't move.
    Lies,
    /// It is on the ground and still slides.
    Slides,
    /// It hangs and hardly moves.
    Hangs,
    /// It still swings or falls.
    Swings,
}

/// The outcome of a fall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FallMotion<const N: usize> {
    /// The greatest depth of the litter below its start.
    pub drop: Length,
    /// Where the litter first meets the ground.
    pub first_landing: Option<Landing>,
    /// Its hardest impact on the ground, or on the face while it swings.
    pub hardest_landing: Option<Landing>,
    /// The greatest speed of the litter.
    pub fastest: Velocity,
    /// The greatest tension of each rope.
    pub rope_peaks: [Force; N],
    /// The greatest tension of the track, if one is left.
    pub track_peak: Force,
    /// The greatest tension of the sling between carriage and litter.
    pub sling_peak: Force,
    /// Where the litter is when the time is up.
    pub at: Point2,
    /// The speed of the litter then.
    pub speed: Velocity,
    /// The state of the litter then.
    pub end: EndState,
    /// The accuracy of the answer.
    pub report: MotionReport,
}

/// The accuracy of an integration in time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MotionReport {
    /// The largest relative change of any peak, speed or drop when the steps were last halved (relative to at least the
    /// weight of the litter, 0.1 m/s and 0.1 m).
    pub error: f64,
    /// The residual of the energy balance, as a share of the energy turned over.
    pub energy_error: f64,
    /// The steps of the last run.
    pub steps: u32,
}

/// More steps than this are not taken, all runs together.
const BUDGET: u32 = 8_000_000;
/// The first run takes this share of the fastest oscillation's radian for a step,
const FIRST_STEP: f64 = 0.4;
/// and no longer steps than this.
const LONGEST_STEP_S: f64 = 5e-3;

impl<'a, const N: usize> FallInTime<'a, N> {
    /// A litter of a mass at a point, by its underside, that hangs on ropes; the load is the litter with all in it.
    ///
    /// # Errors
    /// Unless the mass is above zero and the point finite.
    pub fn new(litter: Mass, at: Point2, ropes: [FallingRope; N]) -> Result<Self, InputError> {
        at.finite("litter_at")?;
        Ok(Self {
            litter_kg: positive("litter_mass", litter)?,
            litter: at,
            velocity: [0.0; 2],
            ropes,
            carriage: None,
            track: None,
            ground: None,
        })
    }

    /// The same litter below a carriage, by the stretch of the sling between them, which is as long as they are apart and
    /// at first carries only the weight of the litter.
    ///
    /// # Errors
    /// Unless the mass is above zero, and the carriage at least a millimetre from the litter.
    pub fn with_carriage(self, mass: Mass, at: Point2, sling: Stretch) -> Result<Self, InputError> {
        let carriage = at.finite("carriage_at")?;
        let apart = carriage - self.litter.si();
        check("sling_length", metres(math::hypot(apart.x, apart.y)), Allowed::AtLeast(super::SHORTEST_M))?;
        Ok(Self { carriage: Some((positive("carriage_mass", mass)?, at, sling)), ..self })
    }

    /// The same with what is left of a track: a rope of an unstretched length from the head over the carriage to the far
    /// anchor.
    ///
    /// # Errors
    /// Unless the points are finite and the length above zero.
    pub fn with_track(
        self,
        head: Point2,
        far: Point2,
        length: Length,
        stretch: Stretch,
    ) -> Result<Self, InputError> {
        head.finite("head")?;
        far.finite("far")?;
        Ok(Self { track: Some((head, far, positive("track_length", length)?, stretch)), ..self })
    }

    /// The same above ground, on which both bodies slide with this friction.
    ///
    /// # Errors
    /// Unless the friction is from 0 to 2, and no body starts below the ground.
    pub fn on_ground(self, ground: Profile<'a>, friction: Ratio) -> Result<Self, InputError> {
        let friction = within("ground_friction", friction, 0.0, 2.0)?;
        for (field, at) in [("litter_at.z", Some(self.litter)), ("carriage_at.z", self.carriage.map(|c| c.1))]
        {
            if let Some(at) = at {
                // A litter that lies may start a rounding below.
                let floor = ground.nearest_piece(at.x.value).height_m(at.x.value) - 1e-9;
                check(field, at.z, Allowed::AtLeast(floor))?;
            }
        }
        Ok(Self { ground: Some((ground, friction)), ..self })
    }

    /// The same with an initial velocity of both bodies, level (outward) and up.
    ///
    /// # Errors
    /// Unless both are finite.
    pub fn moving(self, outward: Velocity, up: Velocity) -> Result<Self, InputError> {
        Ok(Self { velocity: [finite("outward", outward)?, finite("up", up)?], ..self })
    }

    fn setup(&self) -> Setup<'a, N> {
        let carriage_at = self.carriage.map_or(self.litter, |(_, at, _)| at);
        let ropes = self.ropes.map(|rope| {
            let (body, kg) = match (rope.tied_to, self.carriage) {
                (TiedTo::Carriage, Some((kg, at, _))) => (at, kg),
                _ => (self.litter, self.litter_kg),
            };
            let apart = body.si() - rope.from.si();
            let distance_m = math::hypot(apart.x, apart.y);
            // e₀ = L·ε(T₀), or −slack
            let elongation_m = rope.length_m * rope.stretch.strain_at(rope.tension_n) - rope.slack_m;
            // c = 2ζ·√(k·m)
            let damping = 2.0 * rope.damping * math::sqrt(rope.stretch.a_n() / rope.length_m * kg);
            HeldBy {
                from: [rope.from.x.value, rope.from.z.value],
                to_litter: rope.tied_to == TiedTo::Litter || self.carriage.is_none(),
                spring: SpringDamper {
                    taut_m: distance_m - elongation_m,
                    length_m: rope.length_m,
                    stretch: rope.stretch,
                    damping_n_s_per_m: damping,
                },
            }
        });
        let si = |at: Point2| [at.x.value, at.z.value];
        Setup {
            litter_kg: self.litter_kg,
            carriage: self.carriage.map(|(kg, at, stretch)| {
                let apart = at.si() - self.litter.si();
                let distance_m = math::hypot(apart.x, apart.y);
                let strain = stretch.strain_at(self.litter_kg * crate::quantity::STANDARD_GRAVITY_M_PER_S2);
                // l·(1 + ε(W)) is how far they are apart
                let length_m = distance_m / (1.0 + strain);
                (kg, SpringDamper { taut_m: length_m, length_m, stretch, damping_n_s_per_m: 0.0 })
            }),
            ropes,
            track: self.track.map(|(head, far, length_m, stretch)| {
                let spring = SpringDamper { taut_m: length_m, length_m, stretch, damping_n_s_per_m: 0.0 };
                (si(head), si(far), spring)
            }),
            ground: self.ground.map(|(profile, friction)| ground::Ground { profile, friction }),
            start: [si(carriage_at), si(self.litter)],
            velocity: self.velocity,
        }
    }

    /// Follows the fall for this time, to a tolerance.
    ///
    /// # Errors
    /// Unless the time is from a millisecond to ten minutes and the tolerance from 1e-6 to 0.1;
    /// [`ArrestError::NotConverged`] if 8 million steps don't reach it: a motion with many landings may hang on the
    /// least of them, and a stiff rope on a light body takes short steps.
    pub fn run(&self, time: Time, tolerance: Ratio) -> Result<FallMotion<N>, ArrestError> {
        let time_s = within("time", time, 1e-3, 600.0)?;
        let tolerance = within("tolerance", tolerance, 1e-6, 0.1)?;
        let setup = self.setup();
        let mut step_s = (FIRST_STEP / setup.fastest_rad_per_s()).min(LONGEST_STEP_S).min(time_s / 100.0);
        let mut left = BUDGET;
        let mut coarse: Option<March<N>> = None;
        let mut error = f64::INFINITY;
        loop {
            // A run that can't be finished isn't begun.
            let fine = if time_s / step_s < f64::from(left) {
                march::march(&setup, time_s, step_s, left)
            } else {
                None
            };
            let Some(fine) = fine else {
                return Err(ArrestError::NotConverged { error, steps: BUDGET - left });
            };
            left -= fine.steps;
            if let Some(coarse) = coarse {
                error = fine.differs_from(&coarse, &setup);
                if error <= tolerance && fine.energy_error <= tolerance {
                    return Ok(fine.motion(error));
                }
            }
            coarse = Some(fine);
            step_s *= 0.5;
        }
    }
}

impl<const N: usize> March<N> {
    fn motion(&self, error: f64) -> FallMotion<N> {
        let speed = Velocity::new::<meter_per_second>;
        let landing = |met: march::Met| Landing {
            time: Time::new::<second>(met.time_s),
            at: Point2::new(metres(met.at[0]), metres(met.at[1])),
            speed: speed(met.speed),
            into_ground: speed(met.into_ground),
        };
        let moves = self.end_speed > SLOW_M_PER_S;
        FallMotion {
            drop: metres(self.drop_m),
            first_landing: self.first.map(landing),
            hardest_landing: self.hardest.map(landing),
            fastest: speed(self.fastest),
            rope_peaks: self.rope_peaks_n.map(newtons),
            track_peak: newtons(self.track_peak_n),
            sling_peak: newtons(self.sling_peak_n),
            at: Point2::new(metres(self.end_at[0]), metres(self.end_at[1])),
            speed: speed(self.end_speed),
            end: match (self.on_ground, moves) {
                (true, false) => EndState::Lies,
                (true, true) => EndState::Slides,
                (false, false) => EndState::Hangs,
                (false, true) => EndState::Swings,
            },
            report: MotionReport { error, energy_error: self.energy_error, steps: self.steps },
        }
    }
}

/// Slower than this counts as at rest.
const SLOW_M_PER_S: f64 = 0.05;
