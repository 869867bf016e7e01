//! A load on a track, held by a haul rope.

use super::equations::{Given, Problem, Unknowns};
use super::solve::{Balance, Tries};
use super::{CarriageError, CarriageState, HaulRope, Load, Track};
use crate::error::{InputError, positive};
use crate::geometry::Point2;
use crate::line::hang::RopeLaw;
use crate::math::norm;
use crate::motion::Motion;
use crate::quantity::{Force, Length, metres};

/// A load on a track, held by a haul rope.
///
/// Assumed: the carriage's wheel passes the track's tension on, but for its friction; the haul rope is tied to
/// the carriage where the load hangs. Three forces balance there: T·(e₁ + r·e₂) + P·d = W. The haul point may be near,
/// above, below or behind either support, or between them.
///
/// Each method finds one balance, and certifies it: the wheel presses on its track (the interior angle is below 180°),
/// the haul rope pulls, and the carriage is stable: pushed aside it comes back. Where several such places have the same
/// x, the first one below the chord of the track is given. That is the one which the carriage has on its travel from
/// further out, as long as that travel doesn't turn back. It turns back where the haul rope carries nearly all of the
/// load (a haul point high above the carriage) or draws it down (one far below the head): there the place jumps, or
/// ends with [`CarriageError::LiftedOff`].
///
/// **Range.** Where the haul rope climbs by 0 to 60° from the carriage, the track is at most 3 % longer than its chord
/// and not steeper than 4 : 1, and the carriage is farther than 6 % of the span from both supports, that place is found,
/// and so is the answer of each inverse question, but for some of [`Held::at_height_above`], and for one in some 20 000 of
/// [`Held::load_at_point`], on tracks that hardly stretch (EA/T above 1e6). Beyond this range a carriage
/// may have several balances: the one given is certified as above, but need not be the first below the chord, and an
/// error isn't a proof that there is none. A place lower than the one given has another length of haul rope: measure
/// that.
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
    pub(super) track: Track,
    pub(super) load: Load,
    pub(super) haul: HaulRope,
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
    /// towards the haul point by itself; [`CarriageError::LiftedOff`] where the haul rope, not the track, would carry
    /// the load; [`CarriageError::HaulTooHeavy`] where a heavy haul rope would hang in a deep loop;
    /// [`CarriageError::Unsolved`] where no balance was found, which isn't a proof that there is none.
    pub fn at_x(&self, x: Length) -> Result<CarriageState, CarriageError> {
        let x_m = self.track.between("x", x)?;
        self.solve(&self.with_x(x_m), None)
    }

    /// The same, beginning from the state at a place nearby, which saves half of the time.
    ///
    /// # Errors
    /// As [`Held::at_x`].
    pub fn at_x_from(&self, x: Length, nearby: &CarriageState) -> Result<CarriageState, CarriageError> {
        let x_m = self.track.between("x", x)?;
        self.solve(&self.with_x(x_m), nearby.warm())
    }

    /// Held at rest at `x`: the states just about to be lowered and to be hauled, between which friction holds.
    ///
    /// # Errors
    /// As [`Held::at_x`].
    pub fn band_at_x(&self, x: Length) -> Result<[CarriageState; 2], CarriageError> {
        let moving = |motion| Self { load: Load { motion, ..self.load }, ..*self }.at_x(x);
        Ok([moving(Motion::Lowering)?, moving(Motion::Hauling)?])
    }

    /// The length of track with which the carriage stands at `point`, its height above the ground included: see
    /// [`Profile::above`](crate::geometry::Profile::above), and [`Held::at_height_above`] for the place on a given
    /// length. The track's own length isn't used.
    ///
    /// # Errors
    /// Unless the point is between the supports; [`CarriageError::Unsolved`] if it lies so high that no tension
    /// would hold the load there.
    pub fn length_for_point(&self, point: Point2) -> Result<CarriageState, CarriageError> {
        let (x_m, z_m) = self.inside(point)?;
        self.solve(
            &self.problem(x_m, |frame| {
                let (x_m, z_m) = frame.seen(x_m, z_m);
                Given::Point { x_m, z_m }
            }),
            None,
        )
    }

    /// The length of track with which it pulls with `tension` at the head while the carriage stands at `x`. The
    /// track's own length isn't used.
    ///
    /// Below a right angle between its parts a track pulls harder the lower its load hangs, so that two lengths
    /// give the same tension: the shorter one is given, if the haul rope pulls on it. Beyond the range of [`Held`]
    /// there may be more, and the one given need not be the shortest; the load then hangs lower than on the shortest.
    ///
    /// # Errors
    /// Unless `x` is between the supports and the tension is above zero; [`CarriageError::TooLittleTension`] if
    /// the load can't hang on so little.
    pub fn length_for_tension(&self, x: Length, tension: Force) -> Result<CarriageState, CarriageError> {
        let x_m = self.track.between("x", x)?;
        let tension_n = positive("tension", tension)?;
        self.solve(
            &self.problem(x_m, |frame| Given::XAndTension {
                x_m: frame.seen(x_m, 0.0).0,
                tension_n,
                at_near: !frame.mirrored,
            }),
            None,
        )
    }

    /// What the track and the haul rope carry with the carriage at `point`: the rest of the load stands on the
    /// ground. The load's own weight isn't used.
    ///
    /// The load is the small difference of two tensions where the track runs nearly straight: a rounding of the point
    /// moves a weightless track's tension by up to EA/T roundings of it, and the load by T/N times as much, with N the
    /// load on the wheel.
    ///
    /// [`CarriageState::load`] is what they carry; less than zero if the track hangs lower than the point by
    /// itself, and rests on the carriage.
    ///
    /// # Errors
    /// Unless the point is between the supports; [`CarriageError::HaulWouldPush`] as for [`Held::at_x`].
    pub fn load_at_point(&self, point: Point2) -> Result<CarriageState, CarriageError> {
        self.solve(&self.with_point(point)?, None)
    }

    /// The track.
    pub(crate) fn track(&self) -> &Track {
        &self.track
    }

    /// The load.
    pub(crate) fn load(&self) -> &Load {
        &self.load
    }

    /// The track with its carriage at `point`, whatever holds it there: [`CarriageState::on_carriage_by_track`] is
    /// the track's pull on it. The state's haul rope and force error are those of another balance. From the state at a point
    /// nearby, if there is one, it takes a third of the time.
    pub(crate) fn track_at_point(
        &self,
        point: Point2,
        nearby: Option<&CarriageState>,
    ) -> Result<CarriageState, CarriageError> {
        let problem = self.with_point(point)?;
        let warm = nearby.and_then(CarriageState::warm);
        let warm = warm.filter(|warm| warm.0 == problem.mirrored).map(|warm| warm.1);
        Ok(CarriageState::of_held(&self.track, &problem, &problem.solve(warm, true)?))
    }

    /// Where it hangs on a straight line through a place and a height, both in the user's frame, with this slope.
    pub(super) fn on_line(
        &self,
        x_m: f64,
        height_m: f64,
        slope: f64,
        nearby: (bool, Unknowns),
    ) -> Option<(Problem, Balance)> {
        let length_m = self.track.length.value;
        let (x_m, z_m) = self.track.inside(Point2::new(metres(x_m), metres(height_m)));
        let problem = self.problem(x_m, |frame| {
            let (x_m, z_m) = frame.seen(x_m, z_m);
            let slope = slope * self.track.outward() * if frame.mirrored { -1.0 } else { 1.0 };
            Given::LengthAndLine { length_m, level_m: z_m - slope * x_m, slope }
        });
        let nearby = (nearby.0 == problem.mirrored).then_some(nearby.1)?;
        let balance = problem.from(nearby, &mut Tries::default())?;
        // Beyond the haul point the wheel's friction acts the other way: another problem.
        (problem.haul_x_m <= balance.meaning.near.part.span_m).then_some((problem, balance))
    }

    /// A point between the supports, in the frame of the track.
    fn inside(&self, point: Point2) -> Result<(f64, f64), InputError> {
        point.finite("point")?;
        let x_m = self.track.between("point.x", point.x)?;
        Ok((x_m, self.track.inside(point).1))
    }

    /// Held at a level place of the track.
    pub(super) fn with_x(&self, x_m: f64) -> Problem {
        let length_m = self.track.length.value;
        self.problem(x_m, |frame| Given::LengthAndX { length_m, x_m: frame.seen(x_m, 0.0).0 })
    }

    fn with_point(&self, point: Point2) -> Result<Problem, InputError> {
        let (x_m, z_m) = self.inside(point)?;
        let length_m = self.track.length.value;
        Ok(self.problem(x_m, |frame| {
            let (x_m, z_m) = frame.seen(x_m, z_m);
            Given::LengthAndPoint { length_m, x_m, z_m }
        }))
    }

    /// The problem as seen from the support on the haul rope's side of a carriage at `x_m`.
    pub(super) fn problem(&self, x_m: f64, given: impl FnOnce(&Frame) -> Given) -> Problem {
        let (haul_x_m, haul_z_m) = self.track.inside(self.haul.from);
        let (x, z) = self.track.inside(self.track.far);
        let frame = Frame { mirrored: haul_x_m > x_m, far_x_m: x, far_z_m: z };
        let (haul_x_m, haul_z_m) = frame.seen(haul_x_m, haul_z_m);
        let track = self.track.law();
        let scale_m = norm(x, z);
        Problem {
            track,
            behind: self.track.behind,
            haul: RopeLaw { weight_n_per_m: self.haul.weight.value, stretch: self.haul.stretch },
            mirrored: frame.mirrored,
            far_x_m: x,
            far_z_m: if frame.mirrored { -z } else { z },
            haul_x_m,
            haul_z_m,
            load_n: self.load.weight.value,
            away_by_near: self.load.away_by_near(),
            given: given(&frame),
            scale_m,
            scale_n: self.load.weight.value + track.weight_n_per_m * scale_m,
        }
    }

    /// The balance at a level place.
    pub(super) fn balance_at(
        &self,
        x: Length,
        warm: Option<(bool, Unknowns)>,
    ) -> Result<(Problem, Balance), CarriageError> {
        let problem = self.with_x(self.track.between("x", x)?);
        let warm = warm.filter(|warm| warm.0 == problem.mirrored).map(|warm| warm.1);
        let balance = problem.solve(warm, false)?;
        Ok((problem, balance))
    }

    fn solve(
        &self,
        problem: &Problem,
        warm: Option<(bool, Unknowns)>,
    ) -> Result<CarriageState, CarriageError> {
        let warm = warm.filter(|warm| warm.0 == problem.mirrored).map(|warm| warm.1);
        let balance = problem.solve(warm, true).map_err(|why| match why {
            CarriageError::HaulWouldPush { x, push } => {
                // As it was asked for.
                let inside_m = if problem.mirrored { problem.far_x_m - x.value } else { x.value };
                let x = self.track.head.x + metres(self.track.outward() * inside_m);
                CarriageError::HaulWouldPush { x, push }
            }
            why => why,
        })?;
        self.state(problem, &balance)
    }

    /// The state of a balance in which the haul rope pulls.
    pub(super) fn state(&self, problem: &Problem, balance: &Balance) -> Result<CarriageState, CarriageError> {
        let state = CarriageState::of_held(&self.track, problem, balance);
        let x = state.position.x;
        problem.pulled(balance).map_err(|push| CarriageError::HaulWouldPush { x, push })?;
        state.sealed()
    }
}

/// From which support a track is seen.
#[derive(Debug, Clone, Copy)]
pub(super) struct Frame {
    pub(super) mirrored: bool,
    pub(super) far_x_m: f64,
    pub(super) far_z_m: f64,
}

impl Frame {
    /// A point, seen from that support.
    pub(super) fn seen(&self, x_m: f64, z_m: f64) -> (f64, f64) {
        if self.mirrored { (self.far_x_m - x_m, z_m - self.far_z_m) } else { (x_m, z_m) }
    }
}
