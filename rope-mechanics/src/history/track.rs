//! A doubled track rope that is tensioned, locked, loaded and travelled: what its load cell reads on the way.
#![allow(clippy::indexing_slicing, reason = "fixed places in arrays of fixed length")]

use super::chain::straight_n;
use super::strand::{Strands, TrackStrand};
use super::{Chain, HistoryError, PartPull};
use crate::error::{Allowed, InputError, SolveReport, check, non_negative, positive, within};
use crate::geometry::{Direction3, Point3};
use crate::line::elastic::{ElasticSpan, End};
use crate::math;
use crate::math::roots::try_bracketed;
use crate::motion::Motion;
use crate::quantity::{Band, Energy, Force, Length, LineWeight, Ratio, metres, newtons, ratio};
use crate::reeving::{DoubledTrackPlaces, DoubledTrackTurns};
use crate::rope::Stretch;
use crate::sheave::Turn;
use nalgebra::Vector3;

/// The parts of the rope: capstan to redirect, redirect to head, strand out, strand back, head to load cell.
const PARTS: usize = 5;
const BENDS: usize = PARTS - 1;
/// The load is put on in so many steps, so that a bend that slips late in it does so from where it stuck.
const LOADING_STEPS: u32 = 4;
/// Steps of a secant to the height of the carriage.
const SECANTS: u32 = 12;
/// A height is settled when the forces miss balance by this share of the load: ten times what the strands are solved to.
const SETTLED: f64 = 1e-11;
/// The forces on the carriage may be out of balance by this share of the load.
const BALANCE: f64 = 1e-10;

/// A doubled track rope whose ends are locked: capstan → redirect → head → far sheave → head → load cell.
///
/// The strands between head and far sheave are exact elastic catenaries over the wheels of the carriage, each with
/// its own tension; the three parts behind the head are straight elastic ropes without weight. All of it is one
/// rope: what passes a bend leaves one part and enters the next, see [`Chain`].
///
/// Assumed: quasi-static; the capstan holds without slip; the litter floats, or the height of the carriage is given;
/// the haul rope comes from the head, straight and without weight; the wrap at the head and at the far sheave is that
/// of the loaded strands with the rope of the step before.
///
/// **Caution.** Both strands are one rope on one sheave: a doubled track has no redundancy. The friction of sheaves
/// is seldom known to ±5 %, and the reading follows it: run it with low and high efficiencies
/// ([`TrackProcedure::cell_band`]).
///
/// ```
/// use rope_mechanics::geometry::Point3;
/// use rope_mechanics::history::{Carriage, LockedTrack};
/// use rope_mechanics::quantity::{Force, Length, LineMass, Mass, Ratio, line_weight_of, weight_of};
/// use rope_mechanics::quantity::unit::{gram_per_meter, kilogram, kilonewton, meter, newton, percent};
/// use rope_mechanics::reeving::{DoubledTrackPlaces, DoubledTrackTurns, TrackKnown};
/// use rope_mechanics::rope::Stretch;
/// use rope_mechanics::motion::Motion;
/// use rope_mechanics::sheave::Turn;
///
/// let m = Length::new::<meter>;
/// let at = |x, y, z| Point3::new(m(x), m(y), m(z));
/// let sheave = Turn::sheave(Ratio::new::<percent>(90.0))?;
/// let track = LockedTrack::new(
///     DoubledTrackPlaces {
///         capstan: at(-8.0, 2.0, -2.0),
///         redirect: at(-1.0, 1.5, -2.5),
///         head: at(0.0, 0.0, 0.0),
///         far_sheave: at(70.0, 0.0, -45.0),
///         anchor: at(-10.0, -1.0, -2.0),
///     },
///     DoubledTrackTurns { redirect: sheave, frame: Some(sheave), far_sheave: sheave },
///     line_weight_of(LineMass::new::<gram_per_meter>(105.0)),
///     Stretch::linear(Force::new::<kilonewton>(50.0))?,
/// )?;
/// // Taken in until the cell reads 2 kN, locked, loaded 60 m out, hauled to 40 m.
/// let set = track.tensioned(Force::new::<kilonewton>(2.0), Motion::Hauling)?;
/// let load = weight_of(Mass::new::<kilogram>(220.0));
/// let mut state = track.loaded(&set, Carriage::new(load, m(60.0))?)?;
/// for x in [55.0, 50.0, 45.0, 40.0] {
///     state = track.moved(&state, Carriage::new(load, m(x))?)?;
/// }
/// assert!(state.strand_out > state.strand_back && state.strand_back > state.cell);
/// assert!(state.report.residual < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// Source: the statics of the elastic catenary and Coulomb's law at each bend, nothing else.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LockedTrack {
    strands: Strands,
    /// The level direction from the head to the far sheave.
    out: Vector3<f64>,
    /// From capstan to redirect, redirect to head, head to anchor.
    behind: [Vector3<f64>; 3],
    turns: DoubledTrackTurns,
}

/// A load on the track: what it weighs, how its wheels run, where it is, and which way it goes there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Carriage {
    weight_n: f64,
    wheel_friction: f64,
    motion: Motion,
    x_m: f64,
    z_m: Option<f64>,
}

impl Carriage {
    /// A load at a horizontal distance from the head, held there by the haul rope, on wheels without friction.
    ///
    /// # Errors
    /// Unless both are above zero.
    pub fn new(weight: Force, distance: Length) -> Result<Self, InputError> {
        Ok(Self {
            weight_n: positive("load_weight", weight)?,
            wheel_friction: 0.0,
            motion: Motion::AtRest,
            x_m: positive("distance", distance)?,
            z_m: None,
        })
    }

    /// The same on wheels that resist: behind the moving carriage the track pulls harder, by this share.
    ///
    /// # Errors
    /// Unless the friction is from 0 to 0.5.
    pub fn with_wheel_friction(self, friction: Ratio, motion: Motion) -> Result<Self, InputError> {
        Ok(Self { wheel_friction: within("wheel_friction", friction, 0.0, 0.5)?, motion, ..self })
    }

    /// The same with its height given, from the head up: a litter that lies on the ground takes the rest of the load.
    ///
    /// # Errors
    /// Unless the height is finite.
    pub fn at_height(self, height: Length) -> Result<Self, InputError> {
        Ok(Self { z_m: Some(crate::error::finite("height", height)?), ..self })
    }

    fn lower_by_upper(&self) -> f64 {
        match self.motion {
            Motion::Hauling => 1.0 + self.wheel_friction,
            Motion::Lowering => 1.0 / (1.0 + self.wheel_friction),
            Motion::AtRest => 1.0,
        }
    }
}

/// A doubled track rope after a step.
#[derive(Debug, Clone, PartialEq)]
pub struct TrackState {
    /// What the load cell reads.
    pub cell: Force,
    /// What the locked capstan holds.
    pub capstan: Force,
    /// The tension at the head of the strand that goes out.
    pub strand_out: Force,
    /// The tension at the head of the strand that comes back.
    pub strand_back: Force,
    /// The load at each bend, from the capstan: redirect, head out, far sheave, head back.
    pub bend_loads: [Force; BENDS],
    /// Where the carriage is: horizontal distance from the head, and height from it up; nothing before the load is on.
    pub carriage: Option<(Length, Length)>,
    /// The pull of the haul rope; zero before the load is on, and where the height of the carriage is given.
    pub haul: Force,
    /// The unstretched rope in each part: capstan, behind the head, strand out, strand back, cell.
    pub rope: [Length; PARTS],
    /// What the friction of the bends turned into heat in this step.
    pub heat: Energy,
    /// Steps and the largest residual of bends and carriage.
    pub report: SolveReport,
    chain: Chain,
    /// The strands with the carriage on them: where the next step begins.
    last: Option<Trial>,
}

impl TrackState {
    /// The mean of the two strands at the head, which a calculation without friction would give for both.
    #[must_use]
    pub fn mean_strand(&self) -> Force {
        0.5 * (self.strand_out + self.strand_back)
    }

    fn load_n(&self, next: &Carriage) -> f64 {
        if self.carriage.is_some() { next.weight_n } else { 0.0 }
    }
}

/// A trial of the whole rope.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Trial {
    strands: [TrackStrand; 2],
    z_m: f64,
    haul_n: f64,
    unbalanced: f64,
}

impl LockedTrack {
    /// A track rope by its places, what it turns on, and the weight and stretch of one strand.
    ///
    /// A frame that the rope passes without contact is taken as a bend without friction.
    ///
    /// # Errors
    /// Places that are not finite, or two neighbours at the same place; unless the far sheave stands at a horizontal
    /// distance from the head and the weight is above zero.
    pub fn new(
        places: DoubledTrackPlaces,
        turns: DoubledTrackTurns,
        weight: LineWeight,
        stretch: Stretch,
    ) -> Result<Self, HistoryError> {
        let point = |field, place: Point3| place.finite(field);
        let head = point("head", places.head)?;
        let redirect = point("redirect", places.redirect)?;
        let behind = [
            redirect - point("capstan", places.capstan)?,
            head - redirect,
            point("anchor", places.anchor)? - head,
        ];
        for (field, part) in ["capstan_to_redirect", "redirect_to_head", "head_to_anchor"].iter().zip(&behind)
        {
            positive(field, metres(part.norm()))?;
        }
        let chord = point("far_sheave", places.far_sheave)? - head;
        let far_x_m = positive("span", metres(math::hypot(chord.x, chord.y)))?;
        Ok(Self {
            strands: Strands {
                far_x_m,
                far_z_m: chord.z,
                weight_n_per_m: positive("line_weight", weight)?,
                stretch,
            },
            out: Vector3::new(chord.x / far_x_m, chord.y / far_x_m, 0.0),
            behind,
            turns,
        })
    }

    /// The same rope on other sheaves.
    #[must_use]
    pub const fn with_turns(self, turns: DoubledTrackTurns) -> Self {
        Self { turns, ..self }
    }

    /// The rope tensioned without load until the cell reads so much, and locked: every bend slipped last in this
    /// direction.
    ///
    /// Taking in is [`Motion::Hauling`], easing [`Motion::Lowering`]; [`Motion::AtRest`] is a rope without friction.
    ///
    /// # Errors
    /// [`LineError::OutOfReach`](crate::line::LineError::OutOfReach) for a reading so low that the strands' own weight
    /// pulls harder.
    pub fn tensioned(&self, cell: Force, motion: Motion) -> Result<TrackState, HistoryError> {
        let cell_n = positive("cell", cell)?;
        let Strands { far_x_m, far_z_m, weight_n_per_m, stretch } = self.strands;
        let span = ElasticSpan::new(
            metres(far_x_m),
            metres(far_z_m),
            crate::quantity::n_per_m(weight_n_per_m),
            stretch,
        )?;
        let straight = |tension_n: f64, part: usize| {
            // L = c/(1 + ε(T))
            metres(self.behind[part].norm() / (1.0 + stretch.strain_at(tension_n)))
        };
        // The wraps follow from the strands and the strands from the wraps: three rounds settle the angles to 1e-6.
        let mut bands = self.bands(&[TrackStrand::straight(&self.strands); 2])?;
        let mut lengths = [metres(0.0); PARTS];
        for _ in 0..3 {
            let pulls = bands.map(|band| match motion {
                Motion::Hauling => band.high.value,
                Motion::Lowering => band.low.value,
                Motion::AtRest => 1.0,
            });
            let back_n = pulls[3] * cell_n;
            let back = span.length_for_tension(End::First, newtons(back_n))?;
            let strand_back = self.strands.free(back.value)?;
            let out = span.length_for_tension(End::Last, newtons(pulls[2] * strand_back.at_far_n))?;
            let strand_out = self.strands.free(out.value)?;
            let behind_n = pulls[1] * strand_out.at_head_n;
            lengths =
                [straight(pulls[0] * behind_n, 0), straight(behind_n, 1), out, back, straight(cell_n, 2)];
            bands = self.bands(&[strand_out, strand_back])?;
        }
        let chain = Chain::new(&lengths, &bands)?;
        self.step(&chain, None, None)
    }

    /// The load put on where it starts, in a few steps.
    ///
    /// # Errors
    /// As for [`LockedTrack::moved`].
    pub fn loaded(&self, from: &TrackState, carriage: Carriage) -> Result<TrackState, HistoryError> {
        let before_n = from.load_n(&carriage);
        let mut state = from.clone();
        let mut heat = Energy::default();
        for step in 1..=LOADING_STEPS {
            let share = f64::from(step) / f64::from(LOADING_STEPS);
            let weight_n = before_n + share * (carriage.weight_n - before_n);
            state = self.step(&state.chain, state.last.as_ref(), Some(&Carriage { weight_n, ..carriage }))?;
            heat += state.heat;
        }
        Ok(TrackState { heat, ..state })
    }

    /// The load moved to its next place in one step.
    ///
    /// # Errors
    /// Unless the place lies between head and far sheave; [`HistoryError::HaulWouldPush`] where the load rolls to the
    /// head by itself; [`HistoryError::NoBalance`] where no height balances it.
    pub fn moved(&self, from: &TrackState, carriage: Carriage) -> Result<TrackState, HistoryError> {
        self.step(&from.chain, from.last.as_ref(), Some(&carriage))
    }

    /// Rope taken in by the capstan, negative for rope eased, with the load where it is.
    ///
    /// # Errors
    /// As for [`LockedTrack::moved`]; and unless rope is left in the part at the capstan.
    pub fn taken_in(
        &self,
        from: &TrackState,
        rope: Length,
        carriage: Option<Carriage>,
    ) -> Result<TrackState, HistoryError> {
        let chain = from.chain.clone().with_added(0, -rope)?;
        self.step(&chain, from.last.as_ref(), carriage.as_ref())
    }

    /// Rope gained by one of the five parts without passing a bend: by relaxation, by knots.
    ///
    /// # Errors
    /// As for [`LockedTrack::moved`]; and unless there is such a part and rope is left in it.
    pub fn gained(
        &self,
        from: &TrackState,
        part: usize,
        rope: Length,
        carriage: Option<Carriage>,
    ) -> Result<TrackState, HistoryError> {
        let chain = from.chain.clone().with_added(part, rope)?;
        self.step(&chain, from.last.as_ref(), carriage.as_ref())
    }

    fn step(
        &self,
        chain: &Chain,
        last: Option<&Trial>,
        carriage: Option<&Carriage>,
    ) -> Result<TrackState, HistoryError> {
        if let Some(carriage) = carriage {
            check("distance", metres(carriage.x_m), Allowed::Below(self.strands.far_x_m))?;
        }
        let lengths = chain.lengths();
        let strand_m = |lengths: &[Length]| [lengths[2].value, lengths[3].value];
        let mut trial = self.trial(strand_m(lengths), carriage, last)?;
        let mut chain = chain.clone();
        for (bend, band) in self.bands(&trial.strands)?.into_iter().enumerate() {
            chain = chain.with_band(bend, band)?;
        }
        // Trials that change the straight parts alone leave the strands as they are.
        let mut tried = strand_m(lengths);
        let settled = chain.settle(|lengths, pulls| {
            let wanted = strand_m(lengths);
            if wanted != tried {
                trial = self.trial(wanted, carriage, Some(&trial))?;
                tried = wanted;
            }
            let straight = |part: usize, vector: usize| {
                PartPull::even(straight_n(
                    self.behind[vector].norm(),
                    lengths[part].value,
                    &self.strands.stretch,
                ))
            };
            let [out, back] = trial.strands;
            pulls.copy_from_slice(&[
                straight(0, 0),
                straight(1, 1),
                PartPull { first: newtons(out.at_head_n), last: newtons(out.at_far_n) },
                PartPull { first: newtons(back.at_far_n), last: newtons(back.at_head_n) },
                straight(4, 2),
            ]);
            Ok::<(), HistoryError>(())
        })?;
        let at = self.trial(strand_m(settled.rope.lengths()), carriage, Some(&trial))?;
        if let Some(carriage) = carriage
            && at.haul_n < -BALANCE * carriage.weight_n
        {
            return Err(HistoryError::HaulWouldPush { x_m: carriage.x_m, push_n: -at.haul_n });
        }
        let residual = settled.report.residual.max(at.unbalanced);
        if !(residual <= BALANCE) {
            return Err(HistoryError::Unsolved { residual, iterations: settled.report.iterations });
        }
        let mut rope = [metres(0.0); PARTS];
        rope.copy_from_slice(settled.rope.lengths());
        Ok(TrackState {
            cell: settled.pulls[4].last,
            capstan: settled.pulls[0].first,
            strand_out: newtons(at.strands[0].at_head_n),
            strand_back: newtons(at.strands[1].at_head_n),
            bend_loads: self.bend_loads(&at.strands, &settled.pulls),
            carriage: carriage.map(|carriage| (metres(carriage.x_m), metres(at.z_m))),
            haul: newtons(at.haul_n.max(0.0)),
            rope,
            heat: settled.heat,
            report: SolveReport::new(settled.report.iterations, residual),
            chain: settled.rope,
            last: carriage.map(|_| at),
        })
    }

    /// Both strands, with the carriage at the height where the forces across the haul rope balance.
    fn trial(
        &self,
        lengths_m: [f64; 2],
        carriage: Option<&Carriage>,
        nearby: Option<&Trial>,
    ) -> Result<Trial, HistoryError> {
        let Some(carriage) = carriage else {
            let strands = [self.strands.free(lengths_m[0])?, self.strands.free(lengths_m[1])?];
            return Ok(Trial { strands, z_m: 0.0, haul_n: 0.0, unbalanced: 0.0 });
        };
        let x_m = carriage.x_m;
        let strands_at = |z_m: f64, near: Option<&Trial>| -> Result<[TrackStrand; 2], HistoryError> {
            let strand = |i: usize| {
                let share = near.map(|near| near.strands[i].upper_share);
                self.strands.over_wheel(lengths_m[i], (x_m, z_m), carriage.lower_by_upper(), share)
            };
            Ok([strand(0)?, strand(1)?])
        };
        if let Some(z_m) = carriage.z_m {
            return Ok(Trial { strands: strands_at(z_m, nearby)?, z_m, haul_n: 0.0, unbalanced: 0.0 });
        }
        let at = |z_m: f64, near: Option<&Trial>| -> Result<(Trial, f64), HistoryError> {
            let strands = strands_at(z_m, near)?;
            // d points from the carriage to the head, n up across it: n·F = 0 gives the height, P = −d·F the pull.
            let distance_m = math::hypot(x_m, z_m);
            let (d_x, d_z) = (-x_m / distance_m, -z_m / distance_m);
            let f_x = strands[0].on_carriage.0 + strands[1].on_carriage.0;
            let f_z = strands[0].on_carriage.1 + strands[1].on_carriage.1 - carriage.weight_n;
            let across_n = f_x * d_z - f_z * d_x;
            let trial = Trial {
                strands,
                z_m,
                haul_n: -(f_x * d_x + f_z * d_z),
                unbalanced: across_n.abs() / carriage.weight_n,
            };
            Ok((trial, across_n))
        };
        // From a height nearby by secants, which settle in three or four steps.
        if let Some(near) = nearby {
            let (mut trial, mut across_n) = at(near.z_m, Some(near))?;
            let mut step_m = 1e-5 * self.strands.far_x_m * across_n.signum();
            for _ in 0..SECANTS {
                if trial.unbalanced <= SETTLED {
                    return Ok(trial);
                }
                let (next, next_n) = at(trial.z_m + step_m, Some(&trial))?;
                // The lower, the harder the strands lift: z goes up where they lift too much.
                step_m *= next_n / (across_n - next_n);
                (trial, across_n) = (next, next_n);
                if !(step_m.abs() < 0.1 * self.strands.far_x_m) {
                    break;
                }
            }
        }
        self.bracketed(x_m, nearby, at)
    }

    /// The trial that balances, between brackets: for the first one, and where secants don't settle.
    fn bracketed(
        &self,
        x_m: f64,
        nearby: Option<&Trial>,
        at: impl Fn(f64, Option<&Trial>) -> Result<(Trial, f64), HistoryError>,
    ) -> Result<Trial, HistoryError> {
        let across = |z_m: f64| Ok::<f64, HistoryError>(at(z_m, None)?.1);
        let span_m = self.strands.far_x_m;
        let chord_z_m = self.strands.far_z_m * x_m / span_m;
        let none = HistoryError::NoBalance { x_m };
        let (mut high, mut low) = match nearby {
            Some(near) => (near.z_m + 1e-4 * span_m, near.z_m - 1e-4 * span_m),
            None => (chord_z_m, chord_z_m - 1e-2 * span_m),
        };
        let mut reach = 1e-3 * span_m;
        while across(high)? > 0.0 {
            low = high;
            high += reach;
            reach *= 4.0;
            if reach > 1e3 * span_m {
                return Err(none);
            }
        }
        reach = 1e-3 * span_m;
        while across(low)? < 0.0 {
            high = low;
            low -= reach;
            reach *= 4.0;
            if reach > 1e3 * span_m {
                return Err(none);
            }
        }
        let root = try_bracketed(low, high, 0.0, across)?.ok_or(none)?;
        Ok(at(root.x, None)?.0)
    }

    /// The direction of a rope in the plane of the strands.
    fn along(&self, (x_n, z_n): (f64, f64)) -> Vector3<f64> {
        let along = self.out * x_n + Vector3::new(0.0, 0.0, z_n);
        along / math::sqrt(along.norm_squared())
    }

    /// The directions in which the rope enters and leaves each bend, from the capstan.
    fn directions(&self, [out, back]: &[TrackStrand; 2]) -> [[Vector3<f64>; 2]; BENDS] {
        let behind = self.behind.map(|part| part / math::sqrt(part.norm_squared()));
        [
            [behind[0], behind[1]],
            [behind[1], self.along(out.from_head)],
            [-self.along(out.from_far), self.along(back.from_far)],
            [-self.along(back.from_head), behind[2]],
        ]
    }

    /// The limits of each bend with the strands as they run.
    fn bands(&self, strands: &[TrackStrand; 2]) -> Result<[Band<Ratio>; BENDS], HistoryError> {
        let frame = self.turns.frame.unwrap_or(Turn::FRICTIONLESS);
        let turns = [self.turns.redirect, frame, self.turns.far_sheave, frame];
        let mut bands = [Band::exact(ratio(1.0)); BENDS];
        for ((band, turn), [into, out_of]) in bands.iter_mut().zip(turns).zip(self.directions(strands)) {
            *band = turn.band(direction(into)?.angle_to(direction(out_of)?))?;
        }
        Ok(bands)
    }

    /// |T_out_of·e_out_of − T_into·e_into|
    fn bend_loads(&self, strands: &[TrackStrand; 2], pulls: &[PartPull]) -> [Force; BENDS] {
        let mut loads = [newtons(0.0); BENDS];
        for ((bend, load), [into, out_of]) in loads.iter_mut().enumerate().zip(self.directions(strands)) {
            let force = out_of * pulls[bend + 1].first.value - into * pulls[bend].last.value;
            *load = newtons(math::sqrt(force.norm_squared()));
        }
        loads
    }
}

fn direction(v: Vector3<f64>) -> Result<Direction3, InputError> {
    Direction3::new(ratio(v.x), ratio(v.y), ratio(v.z))
}

impl TrackStrand {
    /// A strand along its chord, for a first guess of the wraps.
    fn straight(strands: &Strands) -> Self {
        let along = (strands.far_x_m, strands.far_z_m);
        Self {
            at_head_n: 0.0,
            at_far_n: 0.0,
            from_head: along,
            from_far: (-along.0, -along.1),
            on_carriage: (0.0, 0.0),
            upper_share: 1.0,
        }
    }
}

/// The order of things on the road: tensioned, locked, loaded at the first place, then moved from place to place.
///
/// Of each run, what the cell reads at each place; of several with other sheaves, the band of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrackProcedure<'a> {
    /// What the cell reads when the unloaded rope is locked.
    pub set_cell: Force,
    /// How it got there: taking in is hauling, easing lowering.
    pub set_by: Motion,
    /// The load: carriage and all that hangs on it.
    pub load: Force,
    /// The share by which the track pulls harder behind the wheels of the carriage.
    pub wheel_friction: Ratio,
    /// Horizontal distances from the head, in the order in which the load visits them. It turns where they turn.
    pub places: &'a [Length],
}

impl TrackProcedure<'_> {
    /// Follows the rope through the procedure, and hands each state after the load is on to `each`.
    ///
    /// # Errors
    /// As for [`LockedTrack::tensioned`] and [`LockedTrack::moved`]; unless there is a place.
    pub fn run(
        &self,
        track: &LockedTrack,
        mut each: impl FnMut(usize, &TrackState),
    ) -> Result<(), HistoryError> {
        let Some(first) = self.places.first() else {
            return Err(InputError::new("places", 0.0, "", Allowed::AtLeast(1.0)).into());
        };
        non_negative("wheel_friction", self.wheel_friction)?;
        let mut at = *first;
        let mut state = track.tensioned(self.set_cell, self.set_by)?;
        for (i, place) in self.places.iter().enumerate() {
            let motion = match place.partial_cmp(&at) {
                Some(core::cmp::Ordering::Less) => Motion::Hauling,
                Some(core::cmp::Ordering::Greater) => Motion::Lowering,
                _ => Motion::AtRest,
            };
            let carriage =
                Carriage::new(self.load, *place)?.with_wheel_friction(self.wheel_friction, motion)?;
            state = if i == 0 { track.loaded(&state, carriage)? } else { track.moved(&state, carriage)? };
            at = *place;
            each(i, &state);
        }
        Ok(())
    }

    /// The reading at each place on the given sheaves, and the least and the greatest over others that are tried.
    ///
    /// `tried` are the corners of the doubt on the efficiencies: all low, all high, one low and the others high.
    /// Nothing proves that a reading between them can't lie outside; it is a band of what was tried.
    ///
    /// # Errors
    /// As for [`TrackProcedure::run`]; unless there is room for every place in `bands`.
    pub fn cell_band(
        &self,
        track: &LockedTrack,
        tried: &[DoubledTrackTurns],
        bands: &mut [Band<Force>],
    ) -> Result<(), HistoryError> {
        check("bands", bands.len() as f64, Allowed::AtLeast(self.places.len() as f64))?;
        self.run(track, |i, state| {
            bands[i] = Band::exact(state.cell);
        })?;
        for turns in tried {
            self.run(&track.with_turns(*turns), |i, state| {
                bands[i].low = bands[i].low.min(state.cell);
                bands[i].high = bands[i].high.max(state.cell);
            })?;
        }
        Ok(())
    }
}
