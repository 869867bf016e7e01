//! The load on its travel from the far anchor to the head, and the length of rope that gives what is wanted on it.

use super::model::Model;
use super::state::{Balance, Line, Situation, State, StateError, TOUCHING_M};
use super::way::Way;
use crate::carriage::CarriageError;
use crate::error::{non_negative, within};
use crate::geometry::Point2;
use crate::math::roots;
use crate::motion::Motion;
use crate::quantity::{Force, Length, metres};
use arrayvec::ArrayVec;

/// The part of the line that the load travels, and the places on it that are looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Travel {
    /// Where the load is put on, in the axes of the ground.
    pub start: Length,
    /// Where it is taken off, nearer to the head.
    pub end: Length,
    /// The litter is to float from here on to the end.
    pub floats_from: Length,
    /// Places, evenly spaced from the start to the end, at least 2; one more is over every corner of the ground between.
    pub places: usize,
}

impl Travel {
    /// A travel on all of which the litter is to float.
    #[must_use]
    pub const fn new(start: Length, end: Length, places: usize) -> Self {
        Self { start, end, floats_from: start, places }
    }
}

/// What the track rope is set for.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Wanted {
    /// This tension of each strand at the head, without the load.
    UnloadedTension(Force),
    /// This mean tension of the strands at the head where it is greatest on the travel, hauled.
    GreatestTension(Force),
    /// This height of the litter where it is least on the travel, lowered or, where the load doesn't run out by itself,
    /// hauled; from where it is to float.
    LitterHeight(Length),
    /// This reading without the load, after the capstan turned last this way: taking in is hauling, easing lowering. At
    /// rest stands for a rope without friction.
    UnloadedReading {
        /// What the load cell shows.
        reading: Force,
        /// Which way the capstan turned last.
        turned: Motion,
    },
    /// This sag without the load: the greatest vertical distance of the track rope below its chord.
    UnloadedSag(Length),
    /// This length of each strand, unstretched.
    Strand(Length),
    /// This reading with the load hauled to a place and floating there, after the capstan turned last this way.
    LoadedReading {
        /// Where the carriage is, in the axes of the ground.
        at: Length,
        /// What the load cell shows.
        reading: Force,
        /// Which way the capstan turned last.
        turned: Motion,
    },
    /// This height of the litter with the load hauled to a place.
    LoadedHeight {
        /// Where the carriage is, in the axes of the ground.
        at: Length,
        /// Of the litter's underside above the ground.
        height: Length,
    },
}

/// Why no length of rope gives what is wanted.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum TravelError {
    /// At some place the rig has no state.
    #[error(transparent)]
    State(#[from] StateError),
    /// The rope would have to stretch by half.
    #[error("asks for a track rope so tight that it would have to stretch by half")]
    TooTight,
    /// No rope up to this length of each strand is slack enough.
    #[error("asks for so little that no strand of up to {} m gives it", longest.value)]
    TooSlack {
        /// Of one strand.
        longest: Length,
    },
    /// No place of the load has a balance.
    #[error("no place of the load has an equilibrium")]
    NoPlace,
    /// The place that governs changes with every length.
    #[error("the place that governs changes with every length")]
    Wanders,
}

/// The load at one place, hauled there, lowered there, and without friction.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Moved<'m, 'g> {
    /// Hauled.
    pub hauling: State<'m, 'g>,
    /// None where the haul rope would be slack: the load doesn't run out by itself.
    pub at_rest: Option<State<'m, 'g>>,
    /// The same.
    pub lowering: Option<State<'m, 'g>>,
    /// Whether even the carriage would lie on the ground on the way down.
    pub lies_down: bool,
}

impl<'m, 'g> Moved<'m, 'g> {
    /// Both ends of what friction leaves: the worst of every output is at one of them.
    pub fn ends(&self) -> impl Iterator<Item = &State<'m, 'g>> {
        core::iter::once(&self.hauling).chain(self.lowering.as_ref().or(self.at_rest.as_ref()))
    }

    /// Hauled, at rest and lowered, as far as there are.
    pub fn ways(&self) -> impl Iterator<Item = &State<'m, 'g>> {
        core::iter::once(&self.hauling).chain(&self.at_rest).chain(&self.lowering)
    }
}

/// Lengths of the track rope between these shares of the chord are looked at.
const SHORTEST: f64 = 0.5;
const LONGEST: f64 = 1.512;
/// Even places looked at first for the one that governs.
const COARSE: usize = 12;
/// A length is found to this,
const LENGTH_TOLERANCE_M: f64 = 1e-9;
/// and gives what is wanted to this, in N or in m.
const CLOSE: f64 = 1e-6;
/// How often the place that governs may move before the search gives up.
const MOST_ROUNDS: u32 = 12;
/// Places nearer to each other are one.
const APART_M: f64 = 1e-6;

impl<'g> Model<'g> {
    /// The load at x on these strands, hauled there, lowered there, and without friction.
    ///
    /// # Errors
    /// [`StateError`] where it can't be hauled there. That it can't come there another way is no error.
    pub fn moved(
        &self,
        strand: Length,
        x: Length,
        nearby: Option<&Moved<'_, '_>>,
    ) -> Result<Moved<'_, 'g>, StateError> {
        let at = |motion| Situation::at_x(strand, x, motion);
        let near = nearby.map(|nearby| &nearby.hauling.balance);
        let hauling = self.state_from(&at(Motion::Hauling), near)?;
        let mut lies_down = false;
        let mut other = |motion| match self.state_near(&at(motion), &hauling) {
            Ok(state) => Ok(Some(state)),
            Err(StateError::RollsIn { .. }) => Ok(None),
            Err(StateError::LiesDown { .. }) => {
                lies_down = true;
                Ok(None)
            }
            Err(why) => Err(why),
        };
        let (at_rest, lowering) = (other(Motion::AtRest)?, other(Motion::Lowering)?);
        Ok(Moved { hauling, at_rest, lowering, lies_down })
    }

    /// Where the load is put on: as far out as asked, but not where it would roll in by itself, and whether that is so.
    ///
    /// # Errors
    /// For a length that isn't above zero; where the ground isn't known.
    pub fn start(&self, strand: Length, asked: Length) -> Result<(Length, bool), StateError> {
        self.start_on(self.locked_rope(strand)?, asked)
    }

    fn start_on(&self, locked: Length, asked: Length) -> Result<(Length, bool), StateError> {
        let way = self.way(locked, Motion::Hauling)?;
        let Ok(free) = self.rolls_to(&way) else { return Ok((asked, false)) };
        let x = free.position.x;
        if x >= asked {
            return Ok((asked, false));
        }
        let ground_m = self.ground_m(x.value).ok_or(StateError::OffGround { x })?;
        if free.position.z.value <= ground_m + self.values().load.hang.value {
            return Ok((asked, false));
        }
        // A little nearer, so that the haul rope has something to hold.
        Ok((x - metres(1e-3), true))
    }

    /// The places of the load from `start` to the end of the travel: evenly spaced, and over every corner of the ground
    /// between, where the litter may come nearest to it.
    pub fn places(&self, start: Length, travel: &Travel) -> impl Iterator<Item = Length> + 'g {
        let (from, to) = (start.value, travel.end.value);
        let steps = travel.places.saturating_sub(1).max(1) as f64;
        let mut even = (0..travel.places).map(move |i| from + (to - from) * i as f64 / steps).peekable();
        let mut corners = self.ground_corners(to, from).rev().map(|p| p.x.value).peekable();
        let mut last = f64::INFINITY;
        core::iter::from_fn(move || {
            loop {
                let corner_first = match (even.peek(), corners.peek()) {
                    (Some(even), Some(corner)) => corner > even,
                    (None, None) => return None,
                    (even, _) => even.is_none(),
                };
                let next = if corner_first { corners.next() } else { even.next() }?;
                if !((last - next).abs() < APART_M) {
                    last = next;
                    return Some(metres(next));
                }
            }
        })
    }

    /// The points of the ground strictly between two places.
    fn ground_corners(&self, from_x_m: f64, to_x_m: f64) -> core::slice::Iter<'g, Point2> {
        let ground = self.values().ground;
        let first = ground.partition_point(|p| p.x.value <= from_x_m);
        let last = ground.partition_point(|p| p.x.value < to_x_m);
        ground.get(first..last).unwrap_or_default().iter()
    }

    /// The unstretched length of each strand, locked without load, that gives what is wanted on this travel: greatest
    /// tension and least height to 1 µN and 1 µm over all its places.
    ///
    /// From a place, and what is wanted there, follows a length: L(x). Tension and height fall with the length, so that
    /// the greatest tension wanted is had with the longest, and the least height wanted with the shortest of all L(x).
    /// The travel on that length shows whether another place governs.
    ///
    /// # Errors
    /// [`TravelError`].
    pub fn strand_for(&self, wanted: Wanted, travel: &Travel) -> Result<Length, TravelError> {
        if let Some(strand) = self.strand_set_to(wanted)? {
            return self.sensible(strand);
        }
        let goal = match wanted {
            Wanted::GreatestTension(tension) => {
                within("greatest_tension", tension, 1.0, 1e6).map_err(StateError::from)?;
                Goal { model: self, travel, tension_n: Some(2.0 * tension.value), height_m: 0.0 }
            }
            Wanted::LitterHeight(height) => {
                non_negative("litter_height", height).map_err(StateError::from)?;
                Goal { model: self, travel, tension_n: None, height_m: height.value }
            }
            _ => return Err(TravelError::NoPlace), // all others are set at one place
        };
        let mut locked = goal.first()?;
        for _ in 0..MOST_ROUNDS {
            let (x, missing) = goal.worst_on(locked)?;
            if missing.abs() < CLOSE {
                return Ok(self.strand_of(locked)?);
            }
            locked = goal.locked_at(x.value)?.ok_or(TravelError::NoPlace)?;
        }
        Err(TravelError::Wanders)
    }

    /// Shortest and longest of all ropes that are looked at, locked.
    fn shortest_and_longest_m(&self) -> (f64, f64) {
        let chord_m = self.chord().value;
        (SHORTEST * chord_m, LONGEST * chord_m + self.behind_track.way_m)
    }

    fn sensible(&self, locked: Length) -> Result<Length, TravelError> {
        let (shortest_m, longest_m) = self.shortest_and_longest_m();
        if locked.value < shortest_m {
            Err(TravelError::TooTight)
        } else if locked.value > longest_m {
            Err(TravelError::TooSlack { longest: LONGEST * self.chord() })
        } else {
            Ok(locked)
        }
    }
}

/// What is wanted on a travel. Lengths here are those of [`Model::locked_rope`].
struct Goal<'a, 'g> {
    model: &'a Model<'g>,
    travel: &'a Travel,
    /// Of both strands, where a tension is wanted: else it is the height.
    tension_n: Option<f64>,
    height_m: f64,
}

impl Goal<'_, '_> {
    /// The length by the place that seems to govern.
    fn first(&self) -> Result<Length, TravelError> {
        let (from, to) = (self.travel.start.value, self.travel.end.value);
        let even = |i: f64| from + (to - from) * i;
        let step = 1.0 / (COARSE - 1) as f64;
        let mut best: Option<(f64, f64)> = None;
        let mut try_at = |x_m: f64| -> Result<bool, TravelError> {
            let Some(length) = self.floating_at(x_m)? else { return Ok(false) };
            let better = best
                .is_none_or(|(_, best)| if self.tension_n.is_some() { length > best } else { length < best });
            if better {
                best = Some((x_m, length));
            }
            Ok(better)
        };
        let mut at = 0.0;
        for i in 0..COARSE {
            if try_at(even(i as f64 * step))? {
                at = i as f64 * step;
            }
        }
        if self.tension_n.is_none() {
            let counts = self.travel.floats_from.value.min(from);
            for corner in self.model.ground_corners(to, counts) {
                if try_at(corner.x.value)? {
                    at = (corner.x.value - from) / (to - from);
                }
            }
        }
        // Between its neighbours, by the golden section.
        let (mut low, mut high) = ((at - step).max(0.0), (at + step).min(1.0));
        let spacing = 1.0 / self.travel.places.max(2) as f64;
        const GOLDEN: f64 = 0.618_033_988_749_894_9;
        while high - low > spacing {
            let reach = GOLDEN * (high - low);
            let (left, right) = (high - reach, low + reach);
            let (one, other) = (self.floating_at(even(left))?, self.floating_at(even(right))?);
            let left_is_better = match (one, other) {
                (Some(one), Some(other)) => (one > other) == self.tension_n.is_some(),
                (one, _) => one.is_some(),
            };
            if left_is_better {
                high = right;
            } else {
                low = left;
            }
        }
        let middle = even(0.5 * (low + high));
        // Of the places that are studied, the best of the two before it and the two behind: a place beside the best one
        // would cost another travel.
        let mut around: ArrayVec<f64, 4> = ArrayVec::new();
        let mut behind = 0;
        for x in self.model.places(self.travel.start, self.travel) {
            if x.value < middle {
                behind += 1;
            } else if around.len() == 2 {
                around.remove(0);
            }
            around.push(x.value);
            if behind == 2 {
                break;
            }
        }
        let mut governs: Option<(f64, f64)> = None;
        for x_m in around {
            let Some(length) = self.floating_at(x_m)? else { continue };
            let longer = self.tension_n.is_some();
            if governs.is_none_or(|(_, best)| (length > best) == longer) {
                governs = Some((x_m, length));
            }
        }
        let by_golden = self.locked_at(governs.map_or(middle, |(x_m, _)| x_m))?;
        let by_best = match best {
            Some((x_m, _)) => self.locked_at(x_m)?,
            None => None,
        };
        let longest = self.tension_n.is_some();
        let lengths = by_golden.into_iter().chain(by_best);
        lengths.reduce(|a, b| if (b > a) == longest { b } else { a }).ok_or(TravelError::NoPlace)
    }

    fn counts(&self, x_m: f64) -> bool {
        self.tension_n.is_some() || x_m <= self.travel.floats_from.value
    }

    /// The length with which the load has what is wanted at x, if there were no ground.
    fn floating_at(&self, x_m: f64) -> Result<Option<f64>, TravelError> {
        Ok(self.floating(x_m)?.map(|(length, _)| length))
    }

    /// The same, with the height of the litter.
    fn floating(&self, x_m: f64) -> Result<Option<(f64, f64)>, TravelError> {
        if !self.counts(x_m) {
            return Ok(None);
        }
        let model = self.model;
        let x = metres(x_m);
        let ground_m = model.ground_m(x_m).ok_or(StateError::OffGround { x })?;
        let hang_m = model.values().load.hang.value;
        let any = model.chord();
        let motions: &[Motion] = match self.tension_n {
            Some(_) => &[Motion::Hauling],
            None => &[Motion::Lowering, Motion::Hauling],
        };
        for motion in motions {
            let held = model.way(any, *motion).map_err(StateError::from)?.held;
            let solved = match self.tension_n {
                Some(tension_n) => held.length_for_tension(x, crate::quantity::newtons(tension_n)),
                None => held.length_for_point(Point2::new(x, metres(ground_m + hang_m + self.height_m))),
            };
            match solved {
                Ok(state) => {
                    let height_m = state.position.z.value - hang_m - ground_m;
                    let behind_m = model.behind_track.rope_m(state.tension.head.value).0;
                    return Ok(Some((state.track_length.value + behind_m, height_m)));
                }
                Err(CarriageError::Input(why)) => return Err(StateError::Input(why).into()),
                Err(_) => {}
            }
        }
        Ok(None)
    }

    /// The length with which the load has what is wanted at x, on the ground where the line doesn't lift it.
    fn locked_at(&self, x_m: f64) -> Result<Option<Length>, TravelError> {
        match self.floating(x_m)? {
            Some((length, height_m)) if self.tension_n.is_none() || height_m >= -TOUCHING_M => {
                Ok(Some(self.model.sensible(metres(length))?))
            }
            // The ground carries some of it there: a shorter rope pulls as hard.
            found => self.bracketed_at(x_m, found.map(|(length, _)| length)),
        }
    }

    /// The same between brackets: tension and height fall as the length grows.
    fn bracketed_at(&self, x_m: f64, longest: Option<f64>) -> Result<Option<Length>, TravelError> {
        let (shortest_m, longest_m) = self.model.shortest_and_longest_m();
        let over = |length_m: f64| match self.missing_at(metres(length_m), x_m, None) {
            Ok(Some((missing, _))) => Ok(missing),
            // Lying down, the load doesn't pull most; rolling in, it hangs high.
            Ok(None) => Ok(if self.tension_n.is_some() { -1.0 } else { 1.0 }),
            Err(why) => Err(why),
        };
        let mut long = longest.unwrap_or(longest_m).min(longest_m);
        if over(long)? > 0.0 {
            return Err(TravelError::TooSlack { longest: metres(long) });
        }
        let mut step = 1e-3 * self.model.chord().value;
        let mut short = long - step;
        while over(short)? < 0.0 {
            long = short;
            step *= 2.0;
            short -= step;
            if short < shortest_m {
                return Err(TravelError::TooTight);
            }
        }
        let root = roots::try_bracketed(short, long, LENGTH_TOLERANCE_M, over)?;
        Ok(root.map(|root| metres(root.x)))
    }

    /// By how much the load at x has more than what is wanted; nothing where it has no balance there.
    fn missing_at(
        &self,
        locked: Length,
        x_m: f64,
        nearby: Option<&Balance>,
    ) -> Result<Option<(f64, Balance)>, TravelError> {
        let model = self.model;
        let way = |motion| -> Result<Way, StateError> { Ok(model.way(locked, motion)?) };
        let balance = match self.tension_n {
            Some(_) => way(Motion::Hauling)?.balance(model, x_m, nearby),
            // As low as it hangs, below the ground, too.
            None => match way(Motion::Lowering)?.lifted(model, x_m, nearby) {
                Err(StateError::RollsIn { .. }) => way(Motion::Hauling)?.lifted(model, x_m, nearby),
                lowered => lowered,
            },
        };
        match balance {
            Ok(balance) => {
                let tension = match &balance.line {
                    Line::Loaded(state) => state.tension.head,
                    _ => Force::default(),
                };
                let missing = match self.tension_n {
                    Some(tension_n) => 0.5 * (tension.value - tension_n),
                    None => balance.litter_height_m - self.height_m,
                };
                Ok(Some((missing, balance)))
            }
            Err(StateError::RollsIn { .. } | StateError::LiesDown { .. }) => Ok(None),
            Err(why) => Err(why.into()),
        }
    }

    /// The place of the travel with the greatest tension, or the least height, and by how much it has more than what is
    /// wanted.
    fn worst_on(&self, locked: Length) -> Result<(Length, f64), TravelError> {
        let (start, _) = self.model.start_on(locked, self.travel.start)?;
        let mut worst: Option<(Length, f64)> = None;
        let mut last: Option<Balance> = None;
        for x in self.model.places(start, self.travel).filter(|x| self.counts(x.value)) {
            let Some((missing, balance)) = self.missing_at(locked, x.value, last.as_ref())? else { continue };
            last = Some(balance);
            let replaces =
                worst.is_none_or(|(_, w)| if self.tension_n.is_some() { missing > w } else { missing < w });
            if replaces {
                worst = Some((x, missing));
            }
        }
        worst.ok_or(TravelError::NoPlace)
    }
}
