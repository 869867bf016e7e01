//! The rig with its load at one place: balance, readings, pulls, and the force on every part.

use super::apparatus::{Apparatus, HaulLine, Way, Ways};
use super::parts::{FrameParts, Parts};
use super::plan::SiteError;
use super::power::Drive;
use super::study::{OtherWay, Position, Xz};
use super::under_frame::OnHead;
use crate::carriage::{CarriageError, CarriageState};
use crate::geometry::{Direction3, Force2, Force3, Point2, clearance_m};
use crate::math;
use crate::motion::Motion;
use crate::quantity::{Band, Force, Length, Ratio, metres, newtons, ratio};
use crate::reeving::{ReevingError, Strand, TrackKnown, TrackTensions};
use alloc::format;
use alloc::string::ToString;
use alloc::vec::Vec;

/// Interior angle from which a line counts as a highline: 120°, common practice, no source.
pub(crate) const FLAT_FROM_RAD: f64 = core::f64::consts::PI * 2.0 / 3.0;

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

/// The load in balance at one place, hauled there, lowered there, and without friction.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Moved {
    pub(crate) hauling: Balanced,
    /// None where the haul rope would be slack: the load doesn't run out by itself.
    pub(crate) at_rest: Option<Balanced>,
    pub(crate) lowering: Option<Balanced>,
    /// Whether even the carriage would lie on the ground on the way down.
    pub(crate) lies_down: bool,
}

impl Moved {
    /// Both ends of what friction leaves: the worst of every output is at one of them.
    fn ends(&self) -> impl Iterator<Item = &Balanced> {
        core::iter::once(&self.hauling).chain(self.lowering.as_ref().or(self.at_rest.as_ref()))
    }
}

impl Apparatus<'_> {
    /// The load held at x as if there were no ground: its litter may hang below it.
    pub(crate) fn lifted(
        &self,
        way: &Way,
        x_m: f64,
        nearby: Option<&Balanced>,
    ) -> Result<Balanced, Unbalanced> {
        let ground_z_m = self.ground_at(x_m)?;
        let solved = match nearby {
            Some(nearby) if !nearby.on_ground => way.held.at_x_from(metres(x_m), &nearby.state),
            _ => way.held.at_x(metres(x_m)),
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
        way: &Way,
        x_m: f64,
        nearby: Option<&Balanced>,
    ) -> Result<Balanced, Unbalanced> {
        match self.lifted(way, x_m, nearby) {
            // Touching, to within what is solved for.
            Ok(floating) if floating.litter_height_m >= -1e-9 => {
                Ok(Balanced { litter_height_m: floating.litter_height_m.max(0.0), ..floating })
            }
            Ok(_) => self.on_ground(way, x_m),
            // Whether the line can hold it up there decides whether it rolls.
            Err(Unbalanced::RollsIn) => {
                let lying = self.on_ground(way, x_m)?;
                if lying.ground_n > 0.0 { Ok(lying) } else { Err(Unbalanced::RollsIn) }
            }
            Err(why) => Err(why),
        }
    }

    /// The load at x, hauled there, lowered there, and without friction.
    pub(crate) fn moved(&self, ways: &Ways, x_m: f64, nearby: Option<&Moved>) -> Result<Moved, Unbalanced> {
        let hauling = self.balance(&ways.hauling, x_m, nearby.map(|nearby| &nearby.hauling))?;
        let mut lies_down = false;
        let mut other = |way: &Way| match self.balance(way, x_m, Some(&hauling)) {
            Ok(balance) => Ok(Some(balance)),
            Err(Unbalanced::RollsIn) => Ok(None),
            Err(Unbalanced::LiesDown(_)) => {
                lies_down = true;
                Ok(None)
            }
            Err(why) => Err(why),
        };
        let (at_rest, lowering) = (other(&ways.at_rest)?, other(&ways.lowering)?);
        Ok(Moved { hauling, at_rest, lowering, lies_down })
    }

    pub(crate) fn no_balance(&self, x_m: f64, why: &CarriageError) -> SiteError {
        SiteError::new("track.set", format!("no equilibrium with the load at x = {x_m:.2} m: {why}"))
    }

    /// What the load cell shows for this tension of both strands at the head, at rest.
    pub(crate) fn reading(&self, tensions: &TrackTensions, both_strands: Force) -> Band<Force> {
        Band { expected: 0.5 * both_strands, ..tensions.cell() }
    }

    /// The tensions along the track rope, both strands leaving the head as the line does there: the sheaves see the
    /// loaded line, which is steeper than the chord.
    pub(crate) fn track_tensions(
        &self,
        both_strands: Force,
        on_head: Force3,
        on_far: Force3,
        motion: Motion,
    ) -> Result<TrackTensions, SiteError> {
        let fail = |why: ReevingError| SiteError::new("track", why.to_string());
        let along = |force: Force3| {
            let [x, y, z] = [force.x, force.y, force.z].map(|part| ratio(part.value));
            Direction3::new(x, y, z).map_err(|why| SiteError::at("track", why))
        };
        let back = |force: Force3| Force3::new(-force.x, -force.y, -force.z);
        let out = Strand::STRAIGHT.with_directions(along(on_head)?, along(back(on_far))?);
        let returning = Strand::STRAIGHT.with_directions(along(on_far)?, along(back(on_head))?);
        self.reeving
            .with_strands(out, returning)
            .and_then(|reeving| reeving.tensions(TrackKnown::StrandsAtHead(both_strands), motion))
            .map_err(fail)
    }

    /// The tensions of the track rope in one balance.
    fn tensions(&self, balance: &Balanced) -> Result<TrackTensions, SiteError> {
        let state = &balance.state;
        let (on_head, on_far) = (in_space(state.on_head), in_space(state.on_far));
        self.track_tensions(state.tension.head, on_head, on_far, Motion::AtRest)
    }

    /// What the load does to the ropes in one balance: the tensions of the track rope, the haul rope, and the force on
    /// every part but the frame.
    fn loads(&self, balance: &Balanced) -> Result<(TrackTensions, HaulLine, Parts), SiteError> {
        let state = &balance.state;
        let tensions = self.tensions(balance)?;
        let pull = newtons(balance.pull_n);
        let line = self.haul_line(state.position, pull)?;
        let on_sheave = state.on_carriage_by_track().magnitude();
        let parts = Parts {
            track: tensions.highest().tension,
            far: state.on_far.magnitude(),
            redirect: tensions.redirect().load,
            head: tensions.head_crossings().into_iter().fold(Force::default(), Force::max),
            cell: tensions.cell().high,
            capstan: tensions.capstan().high,
            carriage: on_sheave,
            carriage_load: on_sheave.max(newtons(balance.sling_n)).max(pull),
            haul: line.highest,
            haul_head: line.on_head,
            haul_redirects: line.redirects.clone(),
            tackle: line.tackle_anchor,
            winch: line.winch,
            frame: FrameParts::default(),
        };
        Ok((tensions, line, parts))
    }

    /// Everything about one place: balance, readings and pulls as it is hauled, forces and frame at the worst of
    /// hauling and lowering.
    pub(crate) fn position(&self, moved: &Moved, drive: &Drive) -> Result<(Position, Parts), SiteError> {
        let balance = &moved.hauling;
        let state = &balance.state;
        let both = state.tension.head;
        let at = format!("with the load at x = {:.1} m", state.position.x.value);
        let (tensions, line, mut parts) = self.loads(balance)?;
        let driven = drive.at(line.winch, &at)?;

        let mut on_head = Vec::with_capacity(2);
        let mut clearance = metres(f64::INFINITY);
        for balance in moved.ends() {
            let state = &balance.state;
            on_head.push(OnHead {
                strands: state.tension.head,
                line: in_space(state.on_head),
                haul: Some((state.position, newtons(balance.pull_n))),
            });
            clearance = clearance.min(self.clearance(&shape(state)));
        }
        // Without the load going out by itself, the other end is the one without friction.
        let mut at_rest = None;
        let mut lowering = None;
        if let Some(balance) = &moved.lowering {
            let (tensions, _, loads) = self.loads(balance)?;
            parts = parts.worst(loads);
            lowering = Some(self.other_way(balance, &tensions));
            if let Some(balance) = &moved.at_rest {
                at_rest = Some(self.other_way(balance, &self.tensions(balance)?));
            }
        } else if let Some(balance) = &moved.at_rest {
            let (tensions, _, loads) = self.loads(balance)?;
            parts = parts.worst(loads);
            at_rest = Some(self.other_way(balance, &tensions));
        }
        let frame = self.frame_under(&on_head, &at)?;
        parts.frame = FrameParts::of(&frame);

        let to = state.position;
        let reach = math::hypot((to.x - self.plan.head.x).value, (to.z - self.plan.head.z).value);
        let hauled = Some((to, newtons(balance.pull_n), line.behind_head));
        let position = Position {
            carriage: Xz::from(state.position),
            haul_length: metres(reach),
            carriage_height: state.position.z - metres(balance.ground_z_m),
            litter_height: metres(balance.litter_height_m),
            strand_tension_head: 0.5 * both,
            strand_tension_far: 0.5 * state.tension.far,
            reading: self.reading(&tensions, both),
            greatest_track_tension: parts.track,
            interior_angle: state.interior_angle,
            flat: state.interior_angle.value >= FLAT_FROM_RAD,
            ground_share: self.ground_share(balance),
            drag: newtons(balance.drag_n),
            haul_pull: newtons(balance.pull_n),
            winch_pull: line.winch,
            straight_pull: line.straight,
            current: driven.current,
            voltage: driven.voltage,
            load_speed: driven.line_speed / self.velocity_ratio,
            power: driven.power,
            battery_charge: None,
            head_force: self.resultant_without_friction(both, in_space(state.on_head), hauled, &at)?.into(),
            track_clearance: clearance,
            frame: frame.ok(),
            forces: Vec::new(),
            residual: balance.residual,
            at_rest,
            lowering,
        };
        Ok((position, parts))
    }

    fn other_way(&self, balance: &Balanced, tensions: &TrackTensions) -> OtherWay {
        let state = &balance.state;
        let both = state.tension.head;
        OtherWay {
            carriage_height: state.position.z - metres(balance.ground_z_m),
            litter_height: metres(balance.litter_height_m),
            strand_tension_head: 0.5 * both,
            strand_tension_far: 0.5 * state.tension.far,
            reading: self.reading(tensions, both),
            haul_pull: newtons(balance.pull_n),
            ground_share: self.ground_share(balance),
            drag: newtons(balance.drag_n),
            residual: balance.residual,
        }
    }

    fn ground_share(&self, balance: &Balanced) -> Ratio {
        ratio(balance.ground_n / self.weight.value)
    }

    /// Least height of a line above the ground between its ends, at its own points and at the corners of the ground.
    pub(crate) fn clearance(&self, shape: &[Point2]) -> Length {
        metres(clearance_m(&self.plan.ground, shape))
    }
}

/// A force in the plane of the line.
pub(crate) fn in_space(force: Force2) -> Force3 {
    Force3::new(force.x, Force::default(), force.z)
}

/// The shape of the loaded line, from the head by the carriage to the far anchor.
pub(crate) fn shape(state: &CarriageState) -> Vec<Point2> {
    let mut points = [Point2::default(); 40];
    state.draw(&mut points);
    let carriage = state.position;
    let (upper, lower): (Vec<_>, Vec<_>) = points.iter().partition(|p| p.x < carriage.x);
    upper.into_iter().chain([carriage]).chain(lower).collect()
}
