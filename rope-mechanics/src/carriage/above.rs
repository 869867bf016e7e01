//! Where on a given track a held carriage hangs at a given height above the ground.

use super::equations::Unknowns;
use super::solve::Balance;
use super::{CarriageError, CarriageState, Held, Support};
use crate::error::{Allowed, InputError, SolveReport, finite};
use crate::geometry::Profile;
use crate::math::roots::try_bracketed;
use crate::quantity::{Length, metres};

/// Places are looked at without the slow start from two lines.
const QUICK: bool = true;
/// Even parts of the travel that are looked at one by one, and again between the points of the ground.
const PARTS: u32 = 16;
/// Nearer to a support than this share of the span nothing is looked for.
const MARGIN: f64 = 1e-3;
/// A lowest or highest place is known to this share of its part, and its height to the square of that.
const TURN: f64 = 1e-7;
/// Halvings until the place where the travel ends is known.
const HALVINGS: u32 = 20;
/// Steps to the height asked for, at most.
const MOST_STEPS: u32 = 60;
/// The height found is the one asked for to within this share of the sizes involved, and the spacing of places.
const CLOSED: f64 = 1e-12;

impl Held {
    /// Held where it hangs `height` above the ground, measured plumb: of several such places the one nearest to the
    /// support named.
    ///
    /// z(x) − ground(x) = height, with z(x) from [`Held::at_x`]. Looked for between a thousandth of the span from
    /// either support, as far as the ground is given, and where [`Held::at_x`] has an answer: in parts of at most
    /// 1/16 of that travel that end at every point of the ground, each with its lowest or highest place by the slope
    /// of the path. A height that is reached only within less than such a part by more than one dip may be passed
    /// over, and so may one beside the end of the travel of a heavy haul rope that is nearly slack.
    ///
    /// To choose the length of track for a height at a given place, take [`Held::length_for_point`] with
    /// [`Profile::above`].
    ///
    /// # Errors
    /// [`CarriageError::NoSuchHeight`] with the least and the greatest height found; unless the height is finite and
    /// some of the ground lies between the supports; else as [`Held::at_x`].
    ///
    /// ```
    /// # use rope_mechanics::geometry::{Point2, Profile};
    /// # use rope_mechanics::carriage::{HaulRope, Held, Load, Support, Track};
    /// # use rope_mechanics::quantity::{Force, Length, LineMass, line_weight_of, unit::{kilogram_per_meter, kilonewton, meter, newton}};
    /// # use rope_mechanics::rope::Stretch;
    /// # let m = Length::new::<meter>;
    /// let (head, far) = (Point2::new(m(0.0), m(0.0)), Point2::new(m(70.0), m(-45.0)));
    /// let stretch = Stretch::linear(Force::new::<kilonewton>(40.0))?.strands(2)?;
    /// let track = Track::new(head, far, m(80.0), line_weight_of(LineMass::new::<kilogram_per_meter>(0.17)), stretch)?;
    /// let held = Held::new(track, Load::new(Force::new::<newton>(2450.0))?, HaulRope::new(head)?);
    ///
    /// let points = [Point2::new(m(0.0), m(-3.0)), Point2::new(m(10.0), m(-20.0)), Point2::new(m(70.0), m(-46.0))];
    /// let ground = Profile::new(&points)?;
    /// // Coming down from the head, where does the load first hang 2 m above the ground?
    /// let state = held.at_height_above(&ground, m(2.0), Support::Head)?;
    /// let height = state.position.z - ground.height(state.position.x)?;
    /// assert!((height.get::<meter>() - 2.0).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn at_height_above(
        &self,
        ground: &Profile<'_>,
        height: Length,
        nearest: Support,
    ) -> Result<CarriageState, CarriageError> {
        let height_m = finite("height", height)?;
        let mut search = Search::new(self, ground, height_m);
        let (travel, reach) = (self.travel()?, search.reach()?);
        // The side of the haul point to which the load rolls comes first.
        let sides = [Some(travel.ends_m()), travel.other_ends_m()];
        for side in sides.into_iter().flatten() {
            let Some(mut walk) = Walk::new(self, ground, nearest, side, reach) else { continue };
            if let Some(spot) = search.along(&mut walk)? {
                return search.certified(&spot);
            }
        }
        if search.lowest.is_none() && search.refused.is_none() {
            // The ground is known only where the load rolls by itself: why, its first place says.
            search.look(reach.0)?;
        }
        Err(search.nowhere())
    }
}

/// A place on the track, how much higher than asked the carriage hangs there, and the slope of its path.
#[derive(Debug, Clone, Copy)]
struct Spot {
    x_m: f64,
    over_m: f64,
    slope: f64,
    balance: Balance,
}

/// The places to be looked at, in order.
#[derive(Debug)]
struct Walk<'a> {
    ground: &'a Profile<'a>,
    start_m: f64,
    end_m: f64,
    here_m: f64,
    parts: u32,
}

impl<'a> Walk<'a> {
    /// From the support named to the other one, between these ends and over ground that is known.
    fn new(
        held: &Held,
        ground: &'a Profile<'a>,
        nearest: Support,
        ends: (f64, f64),
        reach: (f64, f64),
    ) -> Option<Self> {
        let (from, to) = (reach.0.max(ends.0.min(ends.1)), reach.1.min(ends.0.max(ends.1)));
        let outward = (nearest == Support::Head) == (held.track.outward() > 0.0);
        let (start_m, end_m) = if outward { (from, to) } else { (to, from) };
        (from < to).then_some(Self { ground, start_m, end_m, here_m: start_m, parts: 0 })
    }

    /// The next point of the ground.
    fn corner_m(&self) -> Option<f64> {
        let (points, here) = (self.ground.points(), self.here_m);
        let at = if self.start_m < self.end_m {
            points.partition_point(|point| point.x.value <= here)
        } else {
            points.partition_point(|point| point.x.value < here).checked_sub(1)?
        };
        points.get(at).map(|point| point.x.value)
    }

    fn next(&mut self) -> Option<f64> {
        if self.parts == PARTS {
            return None;
        }
        let share = f64::from(self.parts + 1) / f64::from(PARTS);
        let even_m = self.start_m * (1.0 - share) + self.end_m * share;
        let sooner = |x_m: &f64| (even_m - x_m) * (self.end_m - self.start_m) > 0.0;
        self.here_m = match self.corner_m().filter(sooner) {
            Some(corner_m) => corner_m,
            None => {
                self.parts += 1;
                even_m
            }
        };
        Some(self.here_m)
    }
}

struct Search<'a> {
    held: &'a Held,
    ground: &'a Profile<'a>,
    height_m: f64,
    lowest: Option<Spot>,
    highest: Option<Spot>,
    warm: Option<(bool, Unknowns)>,
    /// Why there is no carriage where there is none.
    refused: Option<CarriageError>,
}

impl<'a> Search<'a> {
    fn new(held: &'a Held, ground: &'a Profile<'a>, height_m: f64) -> Self {
        Self { held, ground, height_m, lowest: None, highest: None, warm: None, refused: None }
    }

    /// Where the ground is known, away from the supports.
    fn reach(&self) -> Result<(f64, f64), InputError> {
        let (head_m, far_m) = (self.held.track.head.x.value, self.held.track.far.x.value);
        let margin_m = MARGIN * (far_m - head_m).abs();
        let (lo, hi) = (head_m.min(far_m) + margin_m, head_m.max(far_m) - margin_m);
        let (first, last) = self.ground.reach();
        let (from, to) = (lo.max(first.value), hi.min(last.value));
        if from < to {
            return Ok((from, to));
        }
        let end_m = if first.value >= hi { first.value } else { last.value };
        Err(InputError::new("ground.x", end_m, "m", Allowed::Within(lo, hi)))
    }

    /// The first place of a walk that has the height asked for.
    fn along(&mut self, walk: &mut Walk<'_>) -> Result<Option<Spot>, CarriageError> {
        let mut from_m = walk.here_m;
        let mut last = self.look(from_m)?;
        while let Some(to_m) = walk.next() {
            let next = self.look(to_m)?;
            let part = match (last, next) {
                (Some(a), Some(b)) => Some((a, b)),
                // The travel ends within this part.
                (Some(a), None) => Some((a, self.edge(a, to_m)?)),
                (None, Some(b)) => Some((self.edge(b, from_m)?, b)),
                (None, None) => None,
            };
            if let Some((a, b)) = part
                && let Some(spot) = self.within(a, b)?
            {
                return Ok(Some(spot));
            }
            (from_m, last) = (to_m, next);
        }
        Ok(None)
    }

    /// `None` where a haul rope doesn't hold the carriage.
    fn look(&mut self, x_m: f64) -> Result<Option<Spot>, CarriageError> {
        let ground_m = self.ground.height(metres(x_m))?.value;
        match self.held.balance_at(metres(x_m), self.warm, QUICK) {
            Ok((problem, balance)) => {
                self.warm = Some((problem.mirrored, balance.unknowns));
                let (z_m, slope) = self.held.track.path(&problem, &balance);
                let spot = Spot { x_m, over_m: z_m - ground_m - self.height_m, slope, balance };
                if self.lowest.is_none_or(|lowest| spot.over_m < lowest.over_m) {
                    self.lowest = Some(spot);
                }
                if self.highest.is_none_or(|highest| spot.over_m > highest.over_m) {
                    self.highest = Some(spot);
                }
                Ok(Some(spot))
            }
            Err(why @ CarriageError::Input(_)) => Err(why),
            Err(why) => {
                self.refused = Some(why);
                Ok(None)
            }
        }
    }

    /// The last place where the haul rope holds the carriage, on the way to one where it doesn't.
    fn edge(&mut self, held: Spot, beyond_m: f64) -> Result<Spot, CarriageError> {
        let (mut held, mut beyond_m) = (held, beyond_m);
        for _ in 0..HALVINGS {
            let middle_m = 0.5 * (held.x_m + beyond_m);
            match self.look(middle_m)? {
                Some(spot) => held = spot,
                None => beyond_m = middle_m,
            }
        }
        Ok(held)
    }

    /// The first place from `a` to `b` that has the height asked for. The ground runs straight between them.
    fn within(&mut self, a: Spot, b: Spot) -> Result<Option<Spot>, CarriageError> {
        let ground = |x_m: f64| self.ground.height(metres(x_m)).map(|height| height.value);
        let steepness = (ground(b.x_m)? - ground(a.x_m)?) / (b.x_m - a.x_m);
        let (over_a, over_b) = (a.slope - steepness, b.slope - steepness);
        let mut spots = [Some(a), None, Some(b)];
        if over_a * over_b < 0.0 {
            let (lo, hi) = (a.x_m.min(b.x_m), a.x_m.max(b.x_m));
            let root = try_bracketed(lo, hi, TURN * (hi - lo), |x_m| {
                self.look(x_m).map(|spot| spot.map_or(f64::NAN, |spot| spot.slope - steepness))
            })?;
            if let Some(root) = root {
                spots[1] = self.look(root.x)?;
            }
        }
        let mut last = a;
        for next in spots.into_iter().flatten() {
            let crosses =
                last.over_m == 0.0 || next.over_m == 0.0 || (last.over_m > 0.0) != (next.over_m > 0.0);
            if crosses && let Some(spot) = self.meet(last, next, steepness)? {
                return Ok(Some(spot));
            }
            last = next;
        }
        Ok(None)
    }

    /// The place between two that hang too high and too low, if the path doesn't jump there: Newton's steps, halving
    /// where one leads out.
    fn meet(&mut self, a: Spot, b: Spot, steepness: f64) -> Result<Option<Spot>, CarriageError> {
        let (mut high, mut low) = if a.over_m > b.over_m { (a, b) } else { (b, a) };
        let mut best = if high.over_m.abs() < low.over_m.abs() { high } else { low };
        for _ in 0..MOST_STEPS {
            let newton_m = best.x_m - best.over_m / (best.slope - steepness);
            let inside = (newton_m - low.x_m) * (newton_m - high.x_m) < 0.0;
            let x_m = if inside { newton_m } else { 0.5 * (low.x_m + high.x_m) };
            if best.over_m == 0.0 || x_m == low.x_m || x_m == high.x_m || x_m == best.x_m {
                break;
            }
            let Some(spot) = self.look(x_m)? else { return Ok(None) };
            if spot.over_m > 0.0 {
                high = spot;
            } else {
                low = spot;
            }
            let closer = spot.over_m.abs() < best.over_m.abs();
            // A step that gains nothing more is rounding, unless it was a half.
            if !closer && inside && best.over_m.abs() < CLOSED * self.scale_m(&best) {
                break;
            }
            best = spot;
        }
        let nearest = if high.over_m.abs() < low.over_m.abs() { high } else { low };
        Ok((nearest.over_m.abs() <= self.allowed_m(&nearest)).then_some(nearest))
    }

    /// How far from the height asked for a place may be: rounding, and the step to the next place.
    fn allowed_m(&self, spot: &Spot) -> f64 {
        CLOSED * self.scale_m(spot) + 2.0 * f64::EPSILON * spot.x_m.abs() * spot.slope.abs()
    }

    fn scale_m(&self, spot: &Spot) -> f64 {
        self.held.track.length.value + (spot.over_m + self.height_m).abs() + self.height_m.abs()
    }

    /// The state at a place, its height put back.
    fn certified(&self, spot: &Spot) -> Result<CarriageState, CarriageError> {
        let problem = self.held.with_x(self.held.track.between("x", metres(spot.x_m))?);
        let mut state = self.held.state(&problem, &spot.balance)?;
        let ground_m = self.ground.height(metres(spot.x_m))?.value;
        let miss_m = (state.position.z.value - ground_m - self.height_m).abs();
        let scale_m = self.scale_m(spot);
        if !(miss_m <= self.allowed_m(spot)) {
            let iterations = state.report.iterations;
            return Err(CarriageError::Unsolved { iterations, residual: miss_m / scale_m });
        }
        state.closing_error = state.closing_error.max(metres(miss_m));
        state.report = SolveReport::new(state.report.iterations, state.report.residual.max(miss_m / scale_m));
        Ok(state)
    }

    /// Why no place was found.
    fn nowhere(&self) -> CarriageError {
        match (self.lowest, self.highest, self.refused) {
            (Some(lowest), Some(highest), _) => CarriageError::NoSuchHeight {
                height: metres(self.height_m),
                least: metres(lowest.over_m + self.height_m),
                least_x: metres(lowest.x_m),
                greatest: metres(highest.over_m + self.height_m),
                greatest_x: metres(highest.x_m),
            },
            (_, _, Some(refused)) => refused,
            // Nothing was looked at: the walk has at least its start.
            _ => CarriageError::Unsolved { iterations: 0, residual: f64::INFINITY },
        }
    }
}
