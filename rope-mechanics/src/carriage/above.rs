//! Where on a given track a held carriage hangs at a given height above the ground.

use super::{CarriageError, CarriageState, Held, Support};
use crate::error::{Allowed, InputError, SolveReport, finite};
use crate::geometry::Profile;
use crate::math::roots::try_bracketed;
use crate::quantity::{Length, metres};

/// Even parts of the span that are looked at one by one, and again between the points of the ground.
const PARTS: u32 = 64;
/// Nearer to a support than this share of the span nothing is looked for.
const MARGIN: f64 = 1e-3;
/// Steps of the golden section, after which a lowest or highest place is known to half the digits of its part.
const GOLDEN_STEPS: u32 = 40;
/// Halvings until the place from which the haul rope would have to push is known to the spacing of numbers.
const HALVINGS: u32 = 52;
/// The height found is the one asked for to within this share of the sizes involved, and the spacing of places.
const CLOSED: f64 = 1e-12;

impl Held {
    /// Held where it hangs `height` above the ground, measured plumb: of several such places the one nearest to the
    /// support named.
    ///
    /// z(x) − ground(x) = height, with z(x) from [`Held::at_x`]. Looked for between a thousandth of the span from
    /// either support, as far as the ground is given, and where the haul rope needn't push: in parts of at most 1/64
    /// of the span that end at every point of the ground, each with its lowest or highest place. A height that is
    /// reached only within less than such a part by more than one dip may be passed over.
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
        let mut walk = Walk::new(self, ground, nearest)?;
        let mut search = Search { held: self, ground, height_m, lowest: None, highest: None, pushed: None };
        let mut from_m = walk.here_m;
        let mut last = search.look(from_m)?;
        while let Some(to_m) = walk.next() {
            let next = search.look(to_m)?;
            let part = match (last, next) {
                (Some(a), Some(b)) => Some((a, b)),
                // In some of this part the haul rope would have to push.
                (Some(a), None) => Some((a, search.edge(a, to_m)?)),
                (None, Some(b)) => Some((search.edge(b, from_m)?, b)),
                (None, None) => None,
            };
            if let Some((a, b)) = part
                && let Some(x_m) = search.within(a, b)?
            {
                return search.certified(x_m);
            }
            (from_m, last) = (to_m, next);
        }
        Err(search.nowhere())
    }
}

/// A place on the track, and how much higher than asked the carriage hangs there.
#[derive(Debug, Clone, Copy)]
struct Place {
    x_m: f64,
    over_m: f64,
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
    /// From the support named to the other one, over ground that is known.
    fn new(held: &Held, ground: &'a Profile<'a>, nearest: Support) -> Result<Self, InputError> {
        let (head_m, far_m) = (held.track.head.x.value, held.track.far.x.value);
        let margin_m = MARGIN * (far_m - head_m).abs();
        let (lo, hi) = (head_m.min(far_m) + margin_m, head_m.max(far_m) - margin_m);
        let (first, last) = ground.reach();
        let (from, to) = (lo.max(first.value), hi.min(last.value));
        if !(from < to) {
            let end_m = if first.value >= hi { first.value } else { last.value };
            return Err(InputError::new("ground.x", end_m, "m", Allowed::Within(lo, hi)));
        }
        let outward = (nearest == Support::Head) == (head_m < far_m);
        let (start_m, end_m) = if outward { (from, to) } else { (to, from) };
        Ok(Self { ground, start_m, end_m, here_m: start_m, parts: 0 })
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
    lowest: Option<Place>,
    highest: Option<Place>,
    /// Where the haul rope would have to push.
    pushed: Option<CarriageError>,
}

impl Search<'_> {
    /// How much higher than asked a carriage hangs.
    fn over_m(&self, x_m: f64, state: &CarriageState) -> Result<f64, InputError> {
        Ok(state.position.z.value - self.ground.height(metres(x_m))?.value - self.height_m)
    }

    /// `None` where the haul rope would have to push.
    fn look(&mut self, x_m: f64) -> Result<Option<Place>, CarriageError> {
        match self.held.at_x(metres(x_m)) {
            Ok(state) => {
                let place = Place { x_m, over_m: self.over_m(x_m, &state)? };
                if self.lowest.is_none_or(|lowest| place.over_m < lowest.over_m) {
                    self.lowest = Some(place);
                }
                if self.highest.is_none_or(|highest| place.over_m > highest.over_m) {
                    self.highest = Some(place);
                }
                Ok(Some(place))
            }
            Err(why @ CarriageError::HaulWouldPush { .. }) => {
                self.pushed = Some(why);
                Ok(None)
            }
            Err(why) => Err(why),
        }
    }

    /// The last place where the haul rope pulls, on the way to one where it would have to push.
    fn edge(&mut self, pulled: Place, pushed_m: f64) -> Result<Place, CarriageError> {
        let (mut pulled, mut pushed_m) = (pulled, pushed_m);
        for _ in 0..HALVINGS {
            let middle_m = 0.5 * (pulled.x_m + pushed_m);
            match self.look(middle_m)? {
                Some(place) => pulled = place,
                None => pushed_m = middle_m,
            }
        }
        Ok(pulled)
    }

    /// The first place from `a` to `b` that has the height asked for. The ground runs straight between them.
    fn within(&mut self, a: Place, b: Place) -> Result<Option<f64>, CarriageError> {
        let mut places = [Some(a), self.look(0.5 * (a.x_m + b.x_m))?, None, Some(b)];
        if let Some(middle) = places[1] {
            // A parabola through the three has its vertex at ½(y₋ − y₊)/(y₋ − 2y₀ + y₊) half parts from the middle.
            let bend_m = a.over_m - 2.0 * middle.over_m + b.over_m;
            if 0.5 * (a.over_m - b.over_m).abs() < bend_m.abs() {
                let turn = self.turn(a, b, bend_m.signum())?;
                let sooner = (turn.x_m - middle.x_m) * (b.x_m - a.x_m) < 0.0;
                places = if sooner {
                    [Some(a), Some(turn), Some(middle), Some(b)]
                } else {
                    [Some(a), Some(middle), Some(turn), Some(b)]
                };
            }
        }
        let mut last = a;
        for next in places.into_iter().flatten() {
            if last.over_m == 0.0 || next.over_m == 0.0 || (last.over_m > 0.0) != (next.over_m > 0.0) {
                return self.meet(last, next).map(Some);
            }
            last = next;
        }
        Ok(None)
    }

    /// The lowest (`sign` 1) or highest (−1) place between two.
    fn turn(&mut self, a: Place, b: Place, sign: f64) -> Result<Place, CarriageError> {
        // (√5 − 1)/2
        let golden = 0.618_033_988_749_894_9;
        let (mut lo, mut hi) = (a.x_m, b.x_m);
        let value = |place: Option<Place>| place.map_or(f64::INFINITY, |place| sign * place.over_m);
        let (mut left, mut right) = (hi - golden * (hi - lo), lo + golden * (hi - lo));
        let (mut at_left, mut at_right) = (self.look(left)?, self.look(right)?);
        for _ in 0..GOLDEN_STEPS {
            if value(at_left) < value(at_right) {
                (hi, right, at_right) = (right, left, at_left);
                left = hi - golden * (hi - lo);
                at_left = self.look(left)?;
            } else {
                (lo, left, at_left) = (left, right, at_right);
                right = lo + golden * (hi - lo);
                at_right = self.look(right)?;
            }
        }
        Ok(if value(at_left) < value(at_right) { at_left } else { at_right }.unwrap_or(a))
    }

    /// The place between two that hang too high and too low.
    fn meet(&mut self, a: Place, b: Place) -> Result<f64, CarriageError> {
        let root = try_bracketed(a.x_m.min(b.x_m), a.x_m.max(b.x_m), 0.0, |x_m| {
            self.look(x_m).map(|place| place.map_or(f64::NAN, |place| place.over_m))
        })?;
        root.map(|root| root.x).ok_or(CarriageError::Unsolved { iterations: 0, residual: a.over_m.abs() })
    }

    /// The state at a place, its height put back.
    fn certified(&mut self, x_m: f64) -> Result<CarriageState, CarriageError> {
        let mut state = self.held.at_x(metres(x_m))?;
        let over_m = self.over_m(x_m, &state)?;
        let miss_m = over_m.abs();
        let scale_m = state.track_length.value + state.position.z.value.abs() + self.height_m.abs();
        // A cliff's height changes with the last digit of the place.
        let beside_m = x_m * (1.0 + 4.0 * f64::EPSILON);
        let spacing_m = match self.look(beside_m) {
            Ok(Some(beside)) => (beside.over_m - over_m).abs(),
            _ => 0.0,
        };
        if miss_m > CLOSED * scale_m + spacing_m {
            return Err(CarriageError::Unsolved {
                iterations: state.report.iterations,
                residual: miss_m / scale_m,
            });
        }
        state.closing_error = state.closing_error.max(metres(miss_m));
        state.report = SolveReport::new(state.report.iterations, state.report.residual.max(miss_m / scale_m));
        Ok(state)
    }

    /// Why no place was found.
    fn nowhere(&self) -> CarriageError {
        match (self.lowest, self.highest, self.pushed) {
            (Some(lowest), Some(highest), _) => CarriageError::NoSuchHeight {
                height: metres(self.height_m),
                least: metres(lowest.over_m + self.height_m),
                least_x: metres(lowest.x_m),
                greatest: metres(highest.over_m + self.height_m),
                greatest_x: metres(highest.x_m),
            },
            (_, _, Some(pushed)) => pushed,
            // Nothing was looked at: the walk has at least its start.
            _ => CarriageError::Unsolved { iterations: 0, residual: f64::INFINITY },
        }
    }
}
