//! Where a carriage is held by a given length of haul rope.

use super::equations::{Given, Problem, Unknowns};
use super::held::Frame;
use super::solve::{Balance, Tries};
use super::{CarriageError, CarriageState, Held, Support, rolling_with};
use crate::error::positive;
use crate::math;
use crate::quantity::{Length, metres};

/// Places tried, at most.
const MOST_PLACES: u32 = 60;
/// Nearer to an end of the travel than this share of it nothing is looked for.
const MARGIN: f64 = 1e-9;
/// Where else in the travel a balance is looked for if there is none at the first place.
const ELSEWHERE: [f64; 7] = [0.5, 0.2, 0.8, 0.05, 0.35, 0.65, 0.95];
/// A heavy haul rope in a loop holds the load this share of its travel beyond where it rests by itself, at most.
const LOOP: f64 = 0.1;

impl Held {
    /// Held by an unstretched `length` of haul rope.
    ///
    /// Looked for at once where a circle about the haul point meets the track, and else place by place:
    /// r(x) = length, with r(x) from [`Held::at_x`]: within the range of [`Held`] the place found is one that
    /// [`Held::at_x`] has, on the side of the haul point to which the load rolls. Beyond it, where less haul rope no
    /// longer brings the carriage nearer, it may be a lower one. Where the load comes to rest before the haul rope is taut, that rope
    /// is slack, and the state has no haul pull: a weightless haul rope longer than r where its pull is zero, with
    /// the wheel's friction as the load says.
    ///
    /// # Errors
    /// Unless the length is above zero; [`CarriageError::HaulTooShort`] if so little rope would draw the carriage
    /// against its support, or lift it off the track under a haul point between the supports;
    /// [`CarriageError::RunsAway`] if so much would let it run to the other support.
    pub fn by_haul_length(&self, length: Length) -> Result<CarriageState, CarriageError> {
        let haul_m = positive("haul_length", length)?;
        if let Some(taut) = self.taut(haul_m) {
            return Ok(taut);
        }
        let travel = self.travel()?;
        if let Some(rest) = travel.rest {
            let (x, z) = (rest.position.x - self.haul.from.x, rest.position.z - self.haul.from.z);
            if math::hypot(x.value, z.value) <= haul_m {
                return Ok(rest);
            }
        }
        let (haul_x_m, far_x_m) = (travel.low_m, travel.frame.far_x_m);
        let found = travel.search(haul_m);
        if found.is_ok() || haul_x_m == 0.0 {
            return found;
        }
        // From a haul point between the supports the load hangs on its other side, too, if that rope lifts it enough.
        let frame = Frame { mirrored: !travel.frame.mirrored, ..travel.frame };
        let other = Travel { frame, low_m: far_x_m - haul_x_m, high_m: far_x_m, rest: None, ..travel };
        other.search(haul_m).or(found)
    }

    /// Straight from where a circle about the haul point meets a straight track, if that point isn't between the
    /// supports, where it would have to be known first on which side of it the load hangs.
    fn taut(&self, haul_m: f64) -> Option<CarriageState> {
        let (haul_x_m, _) = self.track.inside(self.haul.from);
        let (far_x_m, _) = self.track.inside(self.track.far);
        if haul_x_m > 0.0 && haul_x_m < far_x_m {
            return None;
        }
        let length_m = self.track.length.value;
        // The side of the haul point is all that the first argument says.
        let problem = self.problem(0.5 * far_x_m, |_| Given::LengthAndHaul { length_m, haul_m });
        let balance = problem.from(problem.start()?, &mut Tries::default())?;
        problem.pulled(&balance).ok()?;
        self.state(&problem, &balance).ok()
    }

    /// From where the haul rope draws the carriage as near as it can to where the load rests by itself.
    pub(super) fn travel(&self) -> Result<Travel<'_>, CarriageError> {
        let (haul_x_m, haul_z_m) = self.track.inside(self.haul.from);
        let (far_x_m, far_z_m) = self.track.inside(self.track.far);
        // The load rolls away from the haul point, to this side of it.
        let free = self.rest(1.0)?;
        let frame = Frame { mirrored: free.x_m < haul_x_m, far_x_m, far_z_m };
        let low_m = frame.seen(haul_x_m, haul_z_m).0.max(0.0);
        let mut travel = Travel {
            held: self,
            frame,
            low_m,
            high_m: far_x_m,
            rest: None,
            rest_m: frame.seen(free.x_m, 0.0).0,
        };
        if self.haul.weight.value == 0.0 {
            let rho = self.load.away_by_near();
            let lower_by_upper = if frame.mirrored { 1.0 / rho } else { rho };
            let rest = if rho == 1.0 { free } else { self.rest(lower_by_upper)? };
            let rest_m = frame.seen(rest.x_m, 0.0).0;
            if rest.state.is_some() && rest_m > low_m {
                (travel.rest, travel.high_m) = (rest.state, rest_m);
            }
        }
        Ok(travel)
    }

    /// Where the load rolls to rest with this ratio of the lower part's tension to the upper one's: a support if it
    /// rests at neither.
    fn rest(&self, lower_by_upper: f64) -> Result<Rest, CarriageError> {
        match rolling_with(&self.track, &self.load, lower_by_upper) {
            Ok(state) => Ok(Rest { x_m: self.track.inside(state.position).0, state: Some(state) }),
            Err(CarriageError::RunsAway { support, .. }) => {
                let x_m = if support == Support::Head { 0.0 } else { self.track.inside(self.track.far).0 };
                Ok(Rest { x_m, state: None })
            }
            // With friction the load needn't roll anywhere.
            Err(CarriageError::Unsolved { .. }) if lower_by_upper != 1.0 => {
                Ok(Rest { x_m: f64::NAN, state: None })
            }
            Err(why) => Err(why),
        }
    }
}

struct Rest {
    x_m: f64,
    state: Option<CarriageState>,
}

/// The places at which a haul rope holds the carriage, in the frame of the near support.
pub(super) struct Travel<'a> {
    held: &'a Held,
    frame: Frame,
    low_m: f64,
    high_m: f64,
    /// The load at rest by itself, where the travel ends there.
    rest: Option<CarriageState>,
    /// Where the load rests without friction.
    rest_m: f64,
}

/// What a carriage needs at a place.
struct Need {
    balance: Balance,
    haul_m: f64,
    /// dr/dx
    slope: f64,
}

impl Travel<'_> {
    /// From the haul point, where that is between the supports, to the support on its other side.
    pub(super) fn other_ends_m(&self) -> Option<(f64, f64)> {
        let track = &self.held.track;
        let at = |x_m: f64| track.head.x.value + track.outward() * self.frame.seen(x_m, 0.0).0;
        (self.low_m > 0.0).then(|| (at(self.low_m), at(0.0)))
    }

    /// Its two ends, in the user's frame.
    pub(super) fn ends_m(&self) -> (f64, f64) {
        let track = &self.held.track;
        let at = |x_m: f64| track.head.x.value + track.outward() * self.frame.seen(x_m, 0.0).0;
        let end_m = if self.rest_m > self.low_m {
            self.high_m.min(self.rest_m + LOOP * (self.rest_m - self.low_m))
        } else {
            self.high_m
        };
        (at(self.low_m), at(end_m))
    }

    fn search(&self, haul_m: f64) -> Result<CarriageState, CarriageError> {
        let (low_m, high_m) = (self.low_m, self.high_m);
        LengthSearch { travel: self, haul_m, low_m, high_m, tries: Tries::default() }.search()
    }
}

/// The places between which the one is sought that needs the haul rope given.
struct LengthSearch<'a> {
    travel: &'a Travel<'a>,
    haul_m: f64,
    /// Here the haul rope given is longer than needed,
    low_m: f64,
    /// and here shorter, or it would have to push.
    high_m: f64,
    tries: Tries,
}

impl LengthSearch<'_> {
    fn search(mut self) -> Result<CarriageState, CarriageError> {
        let (start_m, end_m) = (self.low_m, self.high_m);
        let margin_m = MARGIN * (end_m - start_m);
        let mut warm: Option<Unknowns> = None;
        let mut failed = None;
        let (mut known, mut elsewhere) = (None, 0);
        let mut x_m = self.first_guess();
        for _ in 0..MOST_PLACES {
            match self.need(x_m, warm) {
                Ok(need) => {
                    let over_m = need.haul_m - self.haul_m;
                    if over_m > 0.0 {
                        self.high_m = self.high_m.min(x_m);
                    } else {
                        self.low_m = self.low_m.max(x_m);
                    }
                    warm = Some(need.balance.unknowns);
                    known = Some(x_m);
                    // Near enough, the haul rope itself is what is given.
                    if over_m.abs() < 0.3 * self.haul_m
                        && let Some((problem, balance)) = self.by_length(need.balance.unknowns, true)
                    {
                        return self.travel.held.state(&problem, &balance);
                    }
                    let next_m = x_m - over_m / need.slope;
                    let inside = next_m > self.low_m && next_m < self.high_m && need.slope > 0.0;
                    x_m = if inside { next_m } else { self.middle(start_m) };
                    failed = None;
                }
                Err(CarriageError::HaulWouldPush { .. } | CarriageError::HaulTooHeavy { .. }) => {
                    self.high_m = self.high_m.min(x_m);
                    x_m = self.middle(start_m);
                }
                Err(why) => {
                    failed = Some(why);
                    x_m = match (known, ELSEWHERE.get(elsewhere)) {
                        // Nearer to a place that is known to have a balance,
                        (Some(known_m), _) => 0.5 * (x_m + known_m),
                        // or to any.
                        (None, Some(share)) => self.low_m + share * (self.high_m - self.low_m),
                        (None, None) => return Err(why),
                    };
                    elsewhere += 1;
                }
            }
            if self.high_m - self.low_m <= 4.0 * f64::EPSILON * end_m || self.high_m - start_m < margin_m {
                // Where x(r) turns back, less rope draws the carriage outward again, more up than in.
                if let Some((problem, balance)) = warm.and_then(|nearby| self.by_length(nearby, false)) {
                    return self.travel.held.state(&problem, &balance);
                }
                return Err(CarriageError::HaulTooShort { length: metres(self.haul_m) });
            }
            if end_m - self.low_m < margin_m {
                // So much rope lets it run to the other support.
                let held = self.travel.held;
                return rolling_with(&held.track, &held.load, 1.0).and(Err(self.tries.unsolved()));
            }
        }
        Err(failed.unwrap_or_else(|| self.tries.unsolved()))
    }

    fn middle(&self, start_m: f64) -> f64 {
        // Near the start the places that need little rope crowd.
        let (low, high) = (self.low_m - start_m, self.high_m - start_m);
        start_m + if low > 0.0 { math::sqrt(low * high) } else { 0.1 * high }
    }

    /// Where a circle about the haul point meets the chord.
    fn first_guess(&self) -> f64 {
        let (x, z) = self.travel.held.track.inside(self.travel.held.track.far);
        let (hx, hz) = self.travel.held.track.inside(self.travel.held.haul.from);
        let (hx, hz) = self.travel.frame.seen(hx, hz);
        let slope = if self.travel.frame.mirrored { -z / x } else { z / x };
        // (x − hₓ)² + (m·x − h_z)² = r²
        let a = 1.0 + slope * slope;
        let b = hx + slope * hz;
        let c = hx * hx + hz * hz - self.haul_m * self.haul_m;
        let x_m = (b + math::sqrt((b * b - a * c).max(0.0))) / a;
        let room = 0.02 * (self.high_m - self.low_m);
        math::clamp(x_m, self.low_m + room, self.high_m - room)
    }

    /// The carriage at a place.
    fn need(&mut self, x_m: f64, warm: Option<Unknowns>) -> Result<Need, CarriageError> {
        let problem = self.travel.held.with_x(self.travel.frame.seen(x_m, 0.0).0);
        let balance = problem.solve(warm, false)?;
        problem.pulled(&balance).map_err(|push| CarriageError::HaulWouldPush { x: metres(x_m), push })?;
        let slope = balance.by_x(&problem).map_or(f64::NAN, |(slope, _)| slope);
        Ok(Need { haul_m: balance.meaning.haul_length_m, slope, balance })
    }

    /// The balance with the haul rope given, from a place nearby.
    fn by_length(&mut self, nearby: Unknowns, bounded: bool) -> Option<(Problem, Balance)> {
        let x_m = self.travel.frame.seen(0.5 * (self.low_m + self.high_m), 0.0).0;
        let (length_m, haul_m) = (self.travel.held.track.length.value, self.haul_m);
        let problem = self.travel.held.problem(x_m, |_| Given::LengthAndHaul { length_m, haul_m });
        let balance = problem.from(nearby, &mut self.tries)?;
        let found_m = balance.meaning.near.part.span_m;
        let within = found_m >= self.low_m && found_m <= self.high_m;
        // Beyond the haul point the other part of the track is the near one.
        let near = balance.meaning.to_haul_x_m <= 0.0;
        (near && (within || !bounded) && problem.pulled(&balance).is_ok()).then_some((problem, balance))
    }
}
