//! The rig with its load at one place: balance, readings, pulls, and the force on every part.

use super::apparatus::Apparatus;
use super::parts::{FrameParts, Parts};
use super::plan::{SiteError, ground_at};
use super::power::Drive;
use super::study::{Position, Xz};
use crate::carriage::{CarriageError, CarriageState, Held};
use crate::geometry::{Force3, Point2};
use crate::math;
use crate::motion::Motion;
use crate::quantity::{Band, Force, Length, metres, newtons, ratio};
use crate::reeving::{TrackKnown, TrackTensions};
use alloc::format;
use alloc::string::ToString;
use alloc::vec::Vec;

/// The load in balance at one place.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Balanced {
    pub(crate) state: CarriageState,
    /// Pull of the haul rope at the carriage.
    pub(crate) pull_n: f64,
    /// What hangs under the carriage.
    pub(crate) sling_n: f64,
    pub(crate) on_ground: bool,
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
    /// Even the carriage lies on the ground.
    LiesDown(SiteError),
    /// Something else.
    Other(SiteError),
}

impl From<SiteError> for Unbalanced {
    fn from(why: SiteError) -> Self {
        Self::Other(why)
    }
}

impl Apparatus<'_> {
    /// The load held at x as if there were no ground: its litter may hang below it.
    pub(crate) fn lifted(
        &self,
        held: &Held,
        x_m: f64,
        nearby: Option<&Balanced>,
    ) -> Result<Balanced, Unbalanced> {
        let ground_z_m = self.ground_at(x_m)?;
        let solved = match nearby {
            Some(nearby) if !nearby.on_ground => held.at_x_from(metres(x_m), &nearby.state),
            _ => held.at_x(metres(x_m)),
        };
        match solved {
            Ok(state) => Ok(Balanced {
                state,
                pull_n: state.haul.map_or(0.0, |haul| haul.at_carriage.value),
                sling_n: self.litter_weight.value,
                on_ground: false,
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
        nearby: Option<&Balanced>,
    ) -> Result<Balanced, Unbalanced> {
        match self.lifted(held, x_m, nearby) {
            // Touching, to within what is solved for.
            Ok(floating) if floating.litter_height_m >= -1e-9 => {
                Ok(Balanced { litter_height_m: floating.litter_height_m.max(0.0), ..floating })
            }
            Ok(_) => self.on_ground(held, x_m),
            // Whether the line can hold it up there tells whether it rolls.
            Err(Unbalanced::RollsIn) => {
                let lying = self.on_ground(held, x_m)?;
                if lying.ground_n > 0.0 { Ok(lying) } else { Err(Unbalanced::RollsIn) }
            }
            Err(why) => Err(why),
        }
    }

    pub(crate) fn no_balance(&self, x_m: f64, why: &CarriageError) -> SiteError {
        SiteError::new("track.set", format!("no equilibrium with the load at x = {x_m:.2} m: {why}"))
    }

    /// What the load cell shows for this tension of both strands at the head, at rest.
    pub(crate) fn reading(&self, tensions: &TrackTensions, both_strands: Force) -> Band<Force> {
        Band { expected: 0.5 * both_strands, ..tensions.cell() }
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
    pub(crate) fn position(&self, balance: &Balanced, power: &Drive) -> Result<(Position, Parts), SiteError> {
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
        let on_head = Force3::new(state.on_head.x, Force::default(), state.on_head.z);
        let (head_force, frame) = self.frame_under(both, on_head, Some((to, pull, line.behind_head)), &at)?;

        let on_sheave = state.on_carriage_by_track().magnitude();
        let hung = newtons(balance.sling_n);
        let parts = Parts {
            track: tensions.highest().tension,
            far: state.on_far.magnitude(),
            redirect: tensions.redirect().load,
            head: tensions.head_crossings().into_iter().fold(Force::default(), Force::max),
            cell: tensions.cell().high,
            capstan: tensions.capstan().high,
            carriage: on_sheave,
            carriage_load: on_sheave.max(hung).max(pull),
            haul: line.highest.max(pull),
            haul_head: line.on_head,
            haul_redirects: line.redirects,
            tackle: line.tackle_anchor,
            winch: line.winch,
            frame: FrameParts::of(&frame),
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
            ground_share: ratio(share),
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
            track_clearance: self.clearance(&shape(state)),
            frame: frame.ok(),
            forces: Vec::new(),
            residual: balance.residual,
        };
        Ok((position, parts))
    }

    /// Least height of a line above the ground between its ends, at its own points and at the corners of the ground.
    pub(crate) fn clearance(&self, shape: &[Point2]) -> Length {
        let ground = &self.plan.ground;
        let over_line = shape.iter().filter_map(|p| Some(p.z.value - ground_at(ground, p.x.value)?));
        let over_corners = ground.iter().filter_map(|p| Some(ground_at(shape, p.x.value)? - p.z.value));
        metres(over_line.chain(over_corners).fold(f64::INFINITY, f64::min))
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
