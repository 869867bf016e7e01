//! Where on a given track a held carriage hangs at a given height above the ground.

use super::equations::Unknowns;
use super::{CarriageError, CarriageState, Held, LOOSEST, Support};
use crate::error::{Allowed, InputError, SolveReport, finite};
use crate::geometry::Profile;
use crate::math::{self, roots::try_bracketed};
use crate::quantity::{Length, metres};

/// Even parts of the travel that are looked at one by one, and again between the points of the ground.
const PARTS: u32 = 8;
/// A part in which the path bends both ways is halved so often,
const BENT: u32 = 1;
/// and one that may hold what is sought so often.
const HALVINGS: u32 = 20;
/// Halvings of a part at an end of the travel.
const EDGE: u32 = 10;
/// A lowest or highest place is known to this share of its part, and its height to the square of that.
const TURN: f64 = 1e-7;
/// Nearer to a support than this share of the span nothing is looked for.
const MARGIN: f64 = 1e-3;
/// The height found is the one asked for to within this share of the sizes involved, and the spacing of places.
const CLOSED: f64 = 1e-12;

impl Held {
    /// Held where it hangs `height` above the ground, measured plumb: of several such places the one nearest to the
    /// support named.
    ///
    /// z(x) − ground(x) = height, with z(x) from [`Held::at_x`]. Looked for between a thousandth of the span from
    /// either support, as far as the ground is given, and where [`Held::at_x`] has an answer: in eighths of that
    /// travel that end at every point of the ground. Where the path bends one way only, it lies between its chord and
    /// its tangents, and a part is halved as long as these leave room for the height; one that bends both ways is
    /// halved once. So a height that is reached only within a sixteenth of the travel by more than one dip may be passed
    /// over, and so may one within an eight-thousandth of an end of the travel that a heavy or steep haul rope sets.
    ///
    /// [`CarriageState::report`] counts the steps at all places together: for a haul point that isn't between the
    /// supports some nine times as many as those of [`Held::at_x`].
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
        // Where there is none, again for the least and the greatest height.
        for turns in [false, true] {
            search.turns = turns;
            for side in sides.into_iter().flatten() {
                let Some(mut walk) = Walk::new(self, ground, nearest, side, reach) else { continue };
                if let Some(state) = search.along(&mut walk)? {
                    return Ok(state);
                }
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
    warm: (bool, Unknowns),
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
    /// Whether the lowest and highest places are looked for.
    turns: bool,
    /// Of the solver, at all places together.
    steps: u32,
    /// Why there is no carriage where there is none.
    refused: Option<CarriageError>,
}

impl<'a> Search<'a> {
    fn new(held: &'a Held, ground: &'a Profile<'a>, height_m: f64) -> Self {
        Self {
            held,
            ground,
            height_m,
            lowest: None,
            highest: None,
            warm: None,
            turns: false,
            steps: 0,
            refused: None,
        }
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
    fn along(&mut self, walk: &mut Walk<'_>) -> Result<Option<CarriageState>, CarriageError> {
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
                && let Some(state) = self.within(a, b, HALVINGS)?
            {
                return Ok(Some(state));
            }
            (from_m, last) = (to_m, next);
        }
        Ok(None)
    }

    /// `None` where a haul rope doesn't hold the carriage.
    fn look(&mut self, x_m: f64) -> Result<Option<Spot>, CarriageError> {
        let ground_m = self.ground_m(x_m)?;
        match self.held.balance_at(metres(x_m), self.warm) {
            Ok((problem, balance)) => {
                let warm = (problem.mirrored, balance.unknowns);
                self.warm = Some(warm);
                self.steps += balance.iterations;
                let (z_m, slope) = self.held.track.path(&problem, &balance);
                let spot = Spot { x_m, over_m: z_m - ground_m - self.height_m, slope, warm };
                if let Err(push) = problem.pulled(&balance) {
                    // The path goes on there, but nothing holds the carriage.
                    self.refused = Some(CarriageError::HaulWouldPush { x: metres(x_m), push });
                    return Ok(Some(spot));
                }
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
        for _ in 0..EDGE {
            let middle_m = 0.5 * (held.x_m + beyond_m);
            match self.look(middle_m)? {
                Some(spot) => held = spot,
                None => beyond_m = middle_m,
            }
        }
        Ok(held)
    }

    /// The first place from `a` to `b` that has the height asked for. The ground runs straight between them.
    fn within(&mut self, a: Spot, b: Spot, halvings: u32) -> Result<Option<CarriageState>, CarriageError> {
        let wide_m = b.x_m - a.x_m;
        let steepness = (self.ground_m(b.x_m)? - self.ground_m(a.x_m)?) / wide_m;
        let (slope_a, slope_b) = (a.slope - steepness, b.slope - steepness);
        if self.turns {
            if slope_a * slope_b < 0.0 {
                let (lo, hi) = (a.x_m.min(b.x_m), a.x_m.max(b.x_m));
                try_bracketed(lo, hi, TURN * (hi - lo), |x_m| {
                    self.look(x_m).map(|spot| spot.map_or(f64::NAN, |spot| spot.slope - steepness))
                })?;
            }
            return Ok(None);
        }
        // A path that bends one way lies between its chord and its tangents at both ends, which meet here:
        let chord = (b.over_m - a.over_m) / wide_m;
        let share = (chord - slope_b) / (slope_a - slope_b);
        let over_m = a.over_m + slope_a * share * wide_m;
        let bends_once = share > 0.0 && share < 1.0;
        let crosses = a.over_m == 0.0 || b.over_m == 0.0 || (a.over_m > 0.0) != (b.over_m > 0.0);
        if crosses {
            match self.meet(a, b, steepness)? {
                Some(None) if !bends_once => {}
                Some(found) => return Ok(found),
                None => {}
            }
        }
        let reaches = bends_once && (over_m > 0.0) != (a.over_m > 0.0);
        if halvings == 0 || !(crosses || reaches || (!bends_once && halvings > HALVINGS - BENT)) {
            return Ok(None);
        }
        let share = if reaches && !crosses { math::clamp(share, 0.1, 0.9) } else { 0.5 };
        let middle_m = a.x_m + share * wide_m;
        let middle = self.look(middle_m)?;
        let (before, after) = match middle {
            Some(middle) => (middle, middle),
            // Between two jumps there is none.
            None => (self.edge(a, middle_m)?, self.edge(b, middle_m)?),
        };
        if before.x_m != a.x_m
            && let Some(state) = self.within(a, before, halvings - 1)?
        {
            return Ok(Some(state));
        }
        if after.x_m == b.x_m { Ok(None) } else { self.within(after, b, halvings - 1) }
    }

    /// The place between two that hang too high and too low, if the path doesn't jump there: the carriage, or nothing
    /// where its haul rope would have to push.
    fn meet(
        &mut self,
        a: Spot,
        b: Spot,
        steepness: f64,
    ) -> Result<Option<Option<CarriageState>>, CarriageError> {
        let near = if a.over_m.abs() < b.over_m.abs() { a } else { b };
        let height_m = self.ground_m(near.x_m)? + self.height_m;
        let Some((problem, balance)) = self.held.on_line(near.x_m, height_m, steepness, near.warm) else {
            return Ok(None);
        };
        self.steps += balance.iterations;
        let state = self.held.state(&problem, &balance);
        let x_m = match &state {
            Ok(state) => state.position.x.value,
            Err(CarriageError::HaulWouldPush { x, .. }) => x.value,
            Err(_) => f64::NAN,
        };
        // A place just at an end of the part is found by its rounding on either side of it.
        let spare_m = CLOSED * self.held.track.length.value;
        if !(x_m >= a.x_m.min(b.x_m) - spare_m && x_m <= a.x_m.max(b.x_m) + spare_m) {
            return Ok(None);
        }
        state.ok().map(|state| self.certified(state)).transpose().map(Some)
    }

    fn ground_m(&self, x_m: f64) -> Result<f64, InputError> {
        let (first, last) = self.ground.reach();
        self.ground.height(metres(x_m).max(first).min(last)).map(|height| height.value)
    }

    /// The state, its height put back.
    fn certified(&self, mut state: CarriageState) -> Result<CarriageState, CarriageError> {
        let place = state.position;
        let miss_m = (place.z.value - self.ground_m(place.x.value)? - self.height_m).abs();
        let scale_m = self.held.track.length.value + place.z.value.abs() + self.height_m.abs();
        let residual = state.report.residual.max(miss_m / scale_m);
        if !(residual <= LOOSEST) {
            return Err(CarriageError::Unsolved { iterations: self.steps, residual });
        }
        state.closing_error = state.closing_error.max(metres(miss_m));
        state.report = SolveReport::new(self.steps, residual);
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
