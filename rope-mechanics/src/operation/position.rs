//! The rig with its load at one place: balance, readings, pulls, and the force on every part.

use super::parts::Parts;
use super::plan::SiteError;
use super::power::Power;
use super::rig::Rig;
use super::study::{FrameState, Position, Reading, Xz};
use crate::frame::{FrameError, Pull};
use crate::geometry::{Force3, Point2};
use crate::line::carriage::{CarriageError, CarriageState, Held};
use crate::math;
use crate::quantity::{Force, Length, metres, newtons, ratio};
use crate::reeving::{TrackKnown, TrackTensions};
use crate::sheave::Motion;
use alloc::format;
use alloc::string::ToString;
use alloc::vec::Vec;
use nalgebra::{Matrix2, Vector2};

/// The load in balance at one place.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Balance {
    pub(crate) state: CarriageState,
    /// Pull of the haul rope at the carriage.
    pub(crate) pull_n: f64,
    /// What the ground presses, along its normal.
    pub(crate) normal_n: f64,
    pub(crate) drag_n: f64,
    /// Vertical part of what the ground carries.
    pub(crate) ground_n: f64,
    pub(crate) ground_z_m: f64,
    pub(crate) litter_height_m: f64,
    pub(crate) residual: f64,
}

/// Why the load can't be balanced at a place.
pub(crate) enum Unbalanced {
    /// It rolls towards the head by itself: nothing holds it so far out.
    RollsIn,
    /// Something else.
    Other(SiteError),
}

impl From<SiteError> for Unbalanced {
    fn from(why: SiteError) -> Self {
        Self::Other(why)
    }
}

impl Rig<'_> {
    /// The load held at x as if there were no ground: its litter may hang below it.
    pub(crate) fn lifted(
        &self,
        held: &Held,
        x_m: f64,
        nearby: Option<&Balance>,
    ) -> Result<Balance, Unbalanced> {
        let ground_z_m = self.ground_at(x_m)?;
        let solved = match nearby {
            Some(nearby) if nearby.normal_n == 0.0 => held.at_x_from(metres(x_m), &nearby.state),
            _ => held.at_x(metres(x_m)),
        };
        match solved {
            Ok(state) => Ok(Balance {
                state,
                pull_n: state.haul.map_or(0.0, |haul| haul.at_carriage.value),
                normal_n: 0.0,
                drag_n: 0.0,
                ground_n: 0.0,
                ground_z_m,
                litter_height_m: state.position.z.value - self.site.load.hang.value - ground_z_m,
                residual: state.report.residual,
            }),
            Err(CarriageError::HaulWouldPush { .. }) => Err(Unbalanced::RollsIn),
            Err(why) => Err(self.no_balance(x_m, &why).into()),
        }
    }

    /// The load held at x; on the ground where the line does not lift it.
    pub(crate) fn balance(
        &self,
        held: &Held,
        x_m: f64,
        nearby: Option<&Balance>,
    ) -> Result<Balance, Unbalanced> {
        match self.lifted(held, x_m, nearby) {
            Ok(floating) if floating.litter_height_m >= 0.0 => Ok(floating),
            Ok(_) => self.on_ground(held, x_m),
            // Whether the line can hold it up there tells whether it rolls.
            Err(Unbalanced::RollsIn) => {
                let lying = self.on_ground(held, x_m)?;
                if lying.normal_n > 0.0 { Ok(lying) } else { Err(Unbalanced::RollsIn) }
            }
            Err(why) => Err(why),
        }
    }

    fn no_balance(&self, x_m: f64, why: &CarriageError) -> SiteError {
        SiteError::new("track.set", format!("no equilibrium with the load at x = {x_m:.2} m: {why}"))
    }

    /// The load with its litter on the ground, dragged up.
    ///
    /// F_track + P·d + N·n + μN·t + W = 0, with d towards the head, n the ground's normal, t outward along it
    fn on_ground(&self, held: &Held, x_m: f64) -> Result<Balance, Unbalanced> {
        let ground_z_m = self.ground_at(x_m)?;
        let at = Point2::new(metres(x_m), metres(ground_z_m + self.site.load.hang.value));
        let state = held.track_at_point(at).map_err(|why| self.no_balance(x_m, &why))?;
        let track = state.on_carriage_by_track().si();
        let slope = self.ground_slope(x_m);
        let t = Vector2::new(1.0, slope) / math::hypot(1.0, slope);
        let n = Vector2::new(-t.y, t.x);
        let to_head = self.plan.head.si() - at.si();
        let d = to_head / math::hypot(to_head.x, to_head.y);
        let mu = self.plan.ground_friction.value;
        let rest = Vector2::new(0.0, self.weight.value) - track;
        let drag = n + mu * t;
        let solved = Matrix2::from_columns(&[d, drag]).try_inverse().map(|inverse| inverse * rest);
        let (pull_n, normal_n, along_n) = match solved {
            Some(answer) if answer.x >= 0.0 => (answer.x, answer.y.max(0.0), mu * answer.y.max(0.0)),
            // The haul rope is slack, and the ground holds the litter if friction can.
            _ => {
                let (normal, along) = (rest.dot(&n), rest.dot(&t));
                if along.abs() > mu * normal {
                    return Err(Unbalanced::RollsIn);
                }
                (0.0, normal, along)
            }
        };
        // What the forces leave over.
        let left = rest - pull_n * d - normal_n * n - along_n * t;
        let scale_n = self.weight.value + state.tension.head.value;
        let scale_m = state.track_length.value;
        let force_error = math::hypot(left.x, left.y) / scale_n;
        Ok(Balance {
            state,
            residual: force_error.max(state.closing_error.value / scale_m),
            pull_n,
            normal_n,
            drag_n: along_n.abs(),
            ground_n: normal_n * n.y + along_n * t.y,
            ground_z_m,
            litter_height_m: 0.0,
        })
    }

    /// What the load cell shows for this tension of both strands at the head, at rest.
    pub(crate) fn reading(&self, tensions: &TrackTensions, both_strands: Force) -> Reading {
        let band = tensions.cell();
        Reading { low: band.low, expected: 0.5 * both_strands, high: band.high }
    }

    pub(crate) fn track_tensions(
        &self,
        both_strands: Force,
        motion: Motion,
    ) -> Result<TrackTensions, SiteError> {
        self.reeving
            .tensions(TrackKnown::StrandsAtHead(both_strands), motion)
            .map_err(|why| SiteError::new("track", why.to_string()))
    }

    /// Everything about one place.
    pub(crate) fn position(&self, balance: &Balance, power: &Power) -> Result<(Position, Parts), SiteError> {
        let state = &balance.state;
        let both = state.tension.head;
        let tensions = self.track_tensions(both, Motion::AtRest)?;
        let pull = newtons(balance.pull_n);
        let line = self
            .haul_line(state.position, pull)
            .map_err(|why| SiteError::new("haul.redirects", why.to_string()))?;
        let at = format!("with the load at x = {:.1} m", state.position.x.value);
        let drive = power.at(line.winch, &at)?;

        let to = state.position;
        let reach = math::hypot((to.x - self.plan.head.x).value, (to.z - self.plan.head.z).value);
        let strand = 0.5 * both;
        let pulls = [
            Pull::force(Force3::new(state.on_head.x, Force::default(), state.on_head.z)),
            Pull::towards(self.site.track.redirect, strand),
            Pull::towards(self.site.track.cell_anchor, strand),
            Pull::towards(self.seen_from_base(to), pull),
            Pull::towards(self.behind_head(), line.behind_head),
        ];
        let fail = |why: &dyn core::fmt::Display| SiteError::new("frame", format!("{at}: {why}"));
        let pulls = pulls.into_iter().collect::<Result<Vec<_>, _>>().map_err(|why| fail(&why))?;
        let head_force = crate::frame::resultant(self.head, &pulls).map_err(|why| fail(&why))?;
        let frame = match self.frame.solve(&pulls) {
            Ok(forces) => Ok(FrameState {
                legs: forces.legs().iter().map(|leg| leg.compression).collect(),
                guys: forces.guys().iter().map(|guy| guy.tension).collect(),
                margin: forces.stability.margin,
            }),
            Err(FrameError::Falls(fall)) => Err(fall.to_string()),
            Err(why) => return Err(fail(&why)),
        };

        let carriage_force = state.on_carriage_by_track().magnitude();
        let parts = Parts {
            track: tensions.highest().tension,
            far: state.on_far.magnitude(),
            redirect: tensions.redirect().load,
            head: tensions.head_crossings().into_iter().fold(Force::default(), Force::max),
            cell: tensions.cell().high,
            capstan: tensions.capstan().high,
            carriage: carriage_force,
            haul: line.highest.max(pull),
            haul_redirects: line.redirects,
            winch: line.winch,
            leg: frame.as_ref().ok().and_then(|f| f.legs.iter().copied().reduce(Force::max)),
            guy: frame.as_ref().ok().and_then(|f| f.guys.iter().copied().reduce(Force::max)),
            fall: frame.as_ref().err().cloned(),
        };
        let share = balance.ground_n / self.weight.value;
        let position = Position {
            carriage: Xz::from(state.position),
            haul_length: metres(reach),
            carriage_height: state.position.z - metres(balance.ground_z_m),
            litter_height: metres(balance.litter_height_m),
            strand_tension_head: strand,
            strand_tension_far: 0.5 * state.tension.far,
            reading: self.reading(&tensions, both),
            greatest_track_tension: parts.track,
            interior_angle: state.interior_angle,
            flat: state.interior_angle.value >= core::f64::consts::PI * 2.0 / 3.0,
            ground_share: ratio(share.clamp(0.0, 1.0)),
            drag: newtons(balance.drag_n),
            haul_pull: pull,
            winch_pull: line.winch,
            straight_pull: line.straight,
            current: drive.current,
            voltage: drive.voltage,
            load_speed: drive.line_speed / self.tackle.velocity_ratio(),
            power: drive.power,
            battery_charge: None,
            head_force: head_force.into(),
            track_clearance: self.clearance(&shape(state))?,
            frame: frame.ok(),
            forces: Vec::new(),
            residual: balance.residual,
        };
        Ok((position, parts))
    }

    /// Least height of a line above the ground between its ends.
    pub(crate) fn clearance(&self, shape: &[Point2]) -> Result<Length, SiteError> {
        let mut least = f64::INFINITY;
        for point in shape {
            least = least.min(point.z.value - self.ground_at(point.x.value)?);
        }
        Ok(metres(least))
    }
}

/// The shape of the loaded line, from the head by the carriage to the far anchor.
pub(crate) fn shape(state: &CarriageState) -> Vec<Point2> {
    let mut points = [Point2::default(); 40];
    state.draw(&mut points);
    let carriage = state.position;
    let (upper, lower): (Vec<_>, Vec<_>) = points.iter().partition(|p| p.x < carriage.x);
    upper.into_iter().chain([carriage]).chain(lower).collect()
}
