//! The rig in a state: which ropes are on, where the load is, which way it moved last.

use super::model::Model;
use super::way::Way;
use crate::carriage::{Behind, CarriageError, CarriageState, HaulRope, Held, Load, Track, rolling};
use crate::error::{InputError, positive};
use crate::frame::FrameError;
use crate::geometry::Point2;
use crate::line::LineError;
use crate::line::span::{self, Solved, Span};
use crate::math;
use crate::motion::Motion;
use crate::quantity::{Force, Length, Ratio, metres, newtons, ratio};
use crate::reeving::ReevingError;

/// The state that is asked for: everything that isn't a number of the [`Model`].
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Situation {
    /// The unstretched length of each strand of the track rope between head and far sheave, as it was locked without
    /// load; nothing where the track rope is gone. With a load on, the rope behind the head stretches and gives some.
    pub strand: Option<Length>,
    /// Where the load is.
    pub load: LoadPlace,
    /// Which way the load moved last: friction at the carriage's wheels and under the litter acts against it, and not
    /// at all for [`Motion::AtRest`].
    pub motion: Motion,
    /// Which rope holds the load back.
    pub held_by: HoldingRope,
}

/// Where the load is.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum LoadPlace {
    /// Not on the rope.
    Off,
    /// The carriage at this x, in the axes of the ground. Only where the track rope is on.
    AtX(Length),
    /// The carriage at the end of this much rope from the head, straight and without weight.
    OnRope(Length),
    /// Where it rolls to by itself, nothing holding it. Only where the track rope is on and lifts it off the ground.
    Rolling,
}

/// The rope that holds the load back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum HoldingRope {
    /// The haul rope.
    Haul,
    /// The belay rope, where the haul rope is gone or slack.
    Belay,
}

impl Situation {
    /// The track rope without its load.
    #[must_use]
    pub const fn unloaded(strand: Length) -> Self {
        Self {
            strand: Some(strand),
            load: LoadPlace::Off,
            motion: Motion::AtRest,
            held_by: HoldingRope::Haul,
        }
    }

    /// The load on the track at x, held by the haul rope.
    #[must_use]
    pub const fn at_x(strand: Length, x: Length, motion: Motion) -> Self {
        Self { strand: Some(strand), load: LoadPlace::AtX(x), motion, held_by: HoldingRope::Haul }
    }

    /// The load on the track at the end of so much haul rope.
    #[must_use]
    pub const fn on_rope(strand: Length, rope: Length, motion: Motion) -> Self {
        Self { strand: Some(strand), load: LoadPlace::OnRope(rope), motion, held_by: HoldingRope::Haul }
    }

    /// The load at the end of so much haul rope, the track rope gone.
    #[must_use]
    pub const fn without_track(rope: Length) -> Self {
        Self {
            strand: None,
            load: LoadPlace::OnRope(rope),
            motion: Motion::AtRest,
            held_by: HoldingRope::Haul,
        }
    }

    /// The same, held by another rope.
    #[must_use]
    pub const fn held_by(self, held_by: HoldingRope) -> Self {
        Self { held_by, ..self }
    }

    /// The same after another motion.
    #[must_use]
    pub const fn moving(self, motion: Motion) -> Self {
        Self { motion, ..self }
    }
}

/// Why the rig has no such state.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum StateError {
    /// A number of the situation, or one that follows from it, is out of range.
    #[error(transparent)]
    Input(#[from] InputError),
    /// The ground isn't known there.
    #[error("the ground does not reach x = {} m", x.value)]
    OffGround {
        /// Where it was asked for.
        x: Length,
    },
    /// The load rolls towards the head by itself: no rope holds it so far out.
    #[error("with the load at x = {} m it rolls towards the head by itself", x.value)]
    RollsIn {
        /// Of the carriage.
        x: Length,
    },
    /// Even the carriage would lie on the ground.
    #[error("with the load at x = {} m even the carriage would lie on the ground", x.value)]
    LiesDown {
        /// Of the carriage.
        x: Length,
    },
    /// The situation doesn't fit together: a load at x without a track rope, a belay that there isn't.
    #[error("the ropes of this situation don't hold the load where it is said to be")]
    NotHeld,
    /// No balance of the carriage was found.
    #[error("no equilibrium with the load at x = {} m: {why}", x.value)]
    Carriage {
        /// Of the carriage.
        x: Length,
        /// Why there is none.
        why: CarriageError,
    },
    /// The track rope without its load can't be solved.
    #[error(transparent)]
    Line(#[from] LineError),
    /// The tensions along the track rope can't be solved.
    #[error(transparent)]
    Reeving(#[from] ReevingError),
    /// The forces of the frame can't be solved. That it falls is no error: see [`UnderRopes`](super::UnderRopes).
    #[error(transparent)]
    Frame(FrameError),
}

/// What the track rope does.
#[derive(Debug, Clone, Copy, PartialEq)]
#[allow(clippy::large_enum_variant, reason = "there is no heap to put the larger ones on")]
pub(super) enum Line {
    Gone,
    Bare(Solved),
    Loaded(CarriageState),
}

/// The load in balance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Balance {
    pub(super) line: Line,
    /// Where the carriage is; of no meaning without a load.
    pub(super) carriage: Point2,
    /// Of the rope that holds the load, at the carriage.
    pub(super) pull_n: f64,
    pub(super) sling_n: f64,
    pub(super) on_ground: bool,
    pub(super) drag_n: f64,
    /// Vertical part of what the ground carries.
    pub(super) ground_n: f64,
    pub(super) ground_z_m: f64,
    pub(super) litter_height_m: f64,
    pub(super) residual: f64,
}

/// The rig in one state, in certified balance. Whatever else is asked of it is computed then.
///
/// ```
/// # use rope_mechanics::operation::{Model, RigValues, Situation, Place};
/// # fn example(model: &Model<'_>) -> Result<(), rope_mechanics::operation::StateError> {
/// use rope_mechanics::motion::Motion;
/// use rope_mechanics::quantity::{Length, unit::meter};
///
/// let m = Length::new::<meter>;
/// let far_out = model.state(&Situation::at_x(m(73.1), m(40.0), Motion::Hauling))?;
/// let nearer = model.state_near(&Situation::at_x(m(73.1), m(38.0), Motion::Hauling), &far_out)?;
/// assert!(nearer.pull() > far_out.pull() && nearer.residual() < 1e-11);
/// let on_the_redirect = nearer.forces()?[Place::TrackRedirect];
/// # Ok(())
/// # }
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State<'m, 'g> {
    pub(super) model: &'m Model<'g>,
    pub(super) situation: Situation,
    pub(super) balance: Balance,
}

/// A rope's place is known to this share of its length.
const ROPE_LENGTH: f64 = 1e-12;
/// Steps to it, at most.
const ROPE_STEPS: u32 = 60;
/// A litter that hangs lower than this below the ground lies on it.
pub(super) const TOUCHING_M: f64 = 1e-9;

impl<'g> Model<'g> {
    /// The rig in this state.
    ///
    /// Assumed: statics; both strands share the load as one line; the rope behind the head has their mean tension; the load's sling is plumb while its litter floats,
    /// and leans where it drags (see [`State::drag`]); the rope that holds the load is straight from the head.
    ///
    /// # Errors
    /// [`StateError`]: the load rolls in, lies down or has no balance, the ground isn't known there, or the situation
    /// doesn't fit together.
    pub fn state(&self, situation: &Situation) -> Result<State<'_, 'g>, StateError> {
        self.state_from(situation, None)
    }

    /// The same from a state nearby, which saves half of the time: same balance to its residual, not to the bit.
    ///
    /// # Errors
    /// As [`Model::state`].
    pub fn state_near(
        &self,
        situation: &Situation,
        nearby: &State<'_, '_>,
    ) -> Result<State<'_, 'g>, StateError> {
        self.state_from(situation, Some(&nearby.balance))
    }

    pub(super) fn state_from(
        &self,
        situation: &Situation,
        nearby: Option<&Balance>,
    ) -> Result<State<'_, 'g>, StateError> {
        if situation.held_by == HoldingRope::Belay && self.values().belay.is_none() {
            return Err(StateError::NotHeld);
        }
        let balance = match (situation.strand, situation.load) {
            (Some(strand), LoadPlace::Off) => self.bare(strand)?,
            (Some(strand), LoadPlace::AtX(x)) => {
                let locked = self.locked_rope(strand)?;
                self.way(locked, situation.motion)?.balance(self, x.value, nearby)?
            }
            (Some(strand), LoadPlace::OnRope(rope)) => {
                let way = self.way(self.locked_rope(strand)?, situation.motion)?;
                self.on_rope(&way, positive("rope", rope)?, nearby)?
            }
            (Some(strand), LoadPlace::Rolling) => {
                self.rolling(&self.way(self.locked_rope(strand)?, situation.motion)?)?
            }
            (None, LoadPlace::OnRope(rope)) => {
                self.without_track(positive("rope", rope)?, situation.motion)?
            }
            (None, _) => return Err(StateError::NotHeld),
        };
        Ok(State { model: self, situation: *situation, balance })
    }

    /// Half of the unstretched rope between capstan and load cell, locked with this much in each strand and no load: the
    /// strand, and half of what lies behind the head at its tension then.
    ///
    /// L₀ + b/(1 + ε(T₀))
    ///
    /// # Errors
    /// Where no line hangs by so much.
    pub fn locked_rope(&self, strand: Length) -> Result<Length, StateError> {
        positive("strand", strand)?;
        if self.behind_track.way_m == 0.0 {
            return Ok(strand);
        }
        let unloaded = span::solve(&self.span(strand))?;
        Ok(strand + metres(self.behind_track.rope_m(unloaded.ends.t_first_n).0))
    }

    /// The strand that [`Model::locked_rope`] gives this for: of a rig that has changed with its rope locked, say by a
    /// lost redirect, the strand of a rig like it that was locked without load.
    ///
    /// # Errors
    /// Where no line hangs by so much.
    pub fn strand_of(&self, locked: Length) -> Result<Length, StateError> {
        let locked_m = positive("locked_rope", locked)?;
        let over = |strand_m: f64| -> Result<f64, StateError> {
            Ok(self.locked_rope(metres(strand_m))?.value - locked_m)
        };
        // What is behind the head shrinks with the tension, the more so the shorter the strand: by secants, from half.
        let mut strand_m = locked_m - 0.95 * self.behind_track.way_m;
        let mut missing = over(strand_m)?;
        let mut slope = 1.0;
        for _ in 0..ROPE_STEPS {
            if missing.abs() <= ROPE_LENGTH * locked_m {
                return Ok(metres(strand_m));
            }
            let next = strand_m - missing / slope;
            let next_missing = over(next)?;
            let by = (next_missing - missing) / (next - strand_m);
            if by >= 1.0 {
                slope = by;
            }
            (strand_m, missing) = (next, next_missing);
        }
        let why = CarriageError::Unsolved { iterations: ROPE_STEPS, residual: missing.abs() / locked_m };
        Err(StateError::Carriage { x: self.values().far.x, why })
    }

    /// The load held on a track of this much locked rope by a rope from the head, moving this way.
    pub(super) fn way(&self, locked: Length, motion: Motion) -> Result<Way, InputError> {
        let load = Load::new(self.weight)?.with_wheel_friction(self.values().load.wheel_friction, motion)?;
        let track = Track::new(self.head, self.values().far, locked, self.track_weight, self.track_stretch)?
            .with_behind(self.behind_track);
        Ok(Way { held: Held::new(track, load, HaulRope::new(self.head)?), motion })
    }

    /// Where the load would roll to on it by itself.
    pub(super) fn rolls_to(&self, way: &Way) -> Result<CarriageState, CarriageError> {
        let (locked_m, behind) = (way.held.track().length().value, self.behind_track);
        let mut behind_m = behind.way_m;
        let plain = way.held.track().with_behind(Behind::NONE);
        for _ in 0..ROPE_STEPS {
            let state = rolling(&plain.with_length(metres(locked_m - behind_m))?, way.held.load())?;
            let next = behind.rope_m(state.tension.head.value).0;
            if (next - behind_m).abs() <= ROPE_LENGTH * locked_m {
                return Ok(state);
            }
            behind_m = next;
        }
        Err(CarriageError::Unsolved { iterations: ROPE_STEPS, residual: f64::INFINITY })
    }

    pub(super) fn span(&self, strand: Length) -> Span {
        let (span_m, rise_m) = self.chord_m();
        Span {
            span_m,
            rise_m,
            length_m: strand.value,
            weight_n_per_m: self.track_weight.value,
            stretch: self.track_stretch,
        }
    }

    fn bare(&self, strand: Length) -> Result<Balance, StateError> {
        positive("strand", strand)?;
        let solved = span::solve(&self.span(strand))?;
        Ok(Balance {
            line: Line::Bare(solved),
            carriage: self.head,
            pull_n: 0.0,
            sling_n: 0.0,
            on_ground: false,
            drag_n: 0.0,
            ground_n: 0.0,
            ground_z_m: 0.0,
            litter_height_m: 0.0,
            residual: solved.ends.residual,
        })
    }

    fn rolling(&self, way: &Way) -> Result<Balance, StateError> {
        let state = self.rolls_to(way).map_err(|why| StateError::Carriage { x: self.values().far.x, why })?;
        let balance = self.floating(state, None)?;
        if balance.litter_height_m < -TOUCHING_M {
            return Err(StateError::LiesDown { x: state.position.x });
        }
        Ok(balance)
    }

    /// A carriage in the air.
    pub(super) fn floating(
        &self,
        state: CarriageState,
        ground_z_m: Option<f64>,
    ) -> Result<Balance, StateError> {
        let x = state.position.x;
        let ground_z_m = ground_z_m.or_else(|| self.ground_m(x.value)).ok_or(StateError::OffGround { x })?;
        Ok(Balance {
            line: Line::Loaded(state),
            carriage: state.position,
            pull_n: state.haul.map_or(0.0, |haul| haul.at_carriage.value),
            sling_n: self.litter_weight.value,
            on_ground: false,
            drag_n: 0.0,
            ground_n: 0.0,
            ground_z_m,
            litter_height_m: state.position.z.value - self.values().load.hang.value - ground_z_m,
            residual: state.report.residual,
        })
    }

    /// The load on the track at the end of so much rope: x by secants on its distance from the head.
    fn on_rope(&self, way: &Way, rope_m: f64, nearby: Option<&Balance>) -> Result<Balance, StateError> {
        let start = match nearby {
            Some(nearby) => nearby.carriage.x.value,
            None => {
                let (x_m, z_m) = self.chord_m();
                self.head.x.value + rope_m * x_m / math::hypot(x_m, z_m)
            }
        };
        let (least, most) = (self.head.x.value, self.values().far.x.value);
        let inside = |x_m: f64| x_m.clamp(least + 1e-6 * (most - least), most - 1e-6 * (most - least));
        let mut x_m = inside(start);
        let mut found = way.balance(self, x_m, nearby)?;
        let over = |balance: &Balance| self.reach_m(balance.carriage) - rope_m;
        let mut missing = over(&found);
        // Along the chord: dr/dx = r/x.
        let mut slope = self.reach_m(found.carriage) / (x_m - least);
        for _ in 0..ROPE_STEPS {
            if missing.abs() <= ROPE_LENGTH * rope_m {
                break;
            }
            let next_x = inside(x_m - missing / slope);
            if next_x == x_m {
                break;
            }
            let next = way.balance(self, next_x, Some(&found))?;
            let next_missing = over(&next);
            let by = (next_missing - missing) / (next_x - x_m);
            if by > 0.0 {
                slope = by;
            }
            (x_m, found, missing) = (next_x, next, next_missing);
        }
        // The last step that still moves x leaves rounding only.
        let residual = missing.abs() / rope_m;
        if !(residual <= 1e2 * ROPE_LENGTH) {
            return Err(StateError::Carriage {
                x: metres(x_m),
                why: CarriageError::Unsolved { iterations: ROPE_STEPS, residual },
            });
        }
        found.residual = found.residual.max(residual);
        Ok(found)
    }

    /// From the head to a point of the plane.
    pub(super) fn reach_m(&self, point: Point2) -> f64 {
        math::hypot((point.x - self.head.x).value, (point.z - self.head.z).value)
    }
}

impl<'m, 'g> State<'m, 'g> {
    /// The rig.
    #[must_use]
    pub const fn model(&self) -> &'m Model<'g> {
        self.model
    }

    /// The situation that was asked for.
    #[must_use]
    pub const fn situation(&self) -> &Situation {
        &self.situation
    }

    /// Whether a load is on.
    #[must_use]
    pub fn is_loaded(&self) -> bool {
        self.situation.load != LoadPlace::Off
    }

    /// Where the carriage is, in the axes of the ground; nothing without a load.
    #[must_use]
    pub fn carriage(&self) -> Option<Point2> {
        self.is_loaded().then_some(self.balance.carriage)
    }

    /// The carriage on its track; nothing without a load, or without the track rope.
    #[must_use]
    pub const fn on_track(&self) -> Option<&CarriageState> {
        match &self.balance.line {
            Line::Loaded(state) => Some(state),
            _ => None,
        }
    }

    /// Tension of each strand at the head, the mean of both; zero where the track rope is gone.
    #[must_use]
    pub fn strand_tension_head(&self) -> Force {
        0.5 * self.both_strands()
    }

    /// Tension of each strand at the far anchor, the mean of both; zero where the track rope is gone.
    #[must_use]
    pub fn strand_tension_far(&self) -> Force {
        0.5 * match &self.balance.line {
            Line::Gone => newtons(0.0),
            Line::Bare(solved) => newtons(solved.ends.t_last_n),
            Line::Loaded(state) => state.tension.far,
        }
    }

    /// Both strands together, at the head.
    pub(super) fn both_strands(&self) -> Force {
        match &self.balance.line {
            Line::Gone => newtons(0.0),
            Line::Bare(solved) => newtons(solved.ends.t_first_n),
            Line::Loaded(state) => state.tension.head,
        }
    }

    /// Pull at the carriage of the rope that holds the load.
    #[must_use]
    pub fn pull(&self) -> Force {
        newtons(self.balance.pull_n)
    }

    /// That rope, straight from the head to the carriage; zero without a load.
    #[must_use]
    pub fn rope_out(&self) -> Length {
        metres(if self.is_loaded() { self.model.reach_m(self.balance.carriage) } else { 0.0 })
    }

    /// Height of the litter's underside above the ground; zero where it lies.
    #[must_use]
    pub fn litter_height(&self) -> Length {
        metres(self.balance.litter_height_m)
    }

    /// Height of the carriage above the ground below it.
    #[must_use]
    pub fn carriage_height(&self) -> Length {
        self.balance.carriage.z - metres(self.balance.ground_z_m)
    }

    /// Whether the litter lies on the ground.
    #[must_use]
    pub const fn on_ground(&self) -> bool {
        self.balance.on_ground
    }

    /// The part of the ground's force on the litter along the ground.
    ///
    /// Where the line doesn't lift it, the litter lags behind the carriage on its sling: −S·s + N·(n + μ·t) = W₁·ẑ for
    /// it, F_track + P·d + S·s = W₂·ẑ for the carriage.
    #[must_use]
    pub fn drag(&self) -> Force {
        newtons(self.balance.drag_n)
    }

    /// The vertical part of what the ground carries.
    #[must_use]
    pub fn on_the_ground(&self) -> Force {
        newtons(self.balance.ground_n)
    }

    /// The same as a share of the load.
    #[must_use]
    pub fn ground_share(&self) -> Ratio {
        ratio(self.balance.ground_n / self.model.weight.value)
    }

    /// Tension of the sling below the carriage.
    #[must_use]
    pub fn sling(&self) -> Force {
        newtons(self.balance.sling_n)
    }

    /// Largest error of the solved balance, as a share of its largest term: at most 1e-11.
    #[must_use]
    pub const fn residual(&self) -> f64 {
        self.balance.residual
    }
}
