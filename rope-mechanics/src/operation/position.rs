//! What the study prints of the rig at one place of the load, and without it.

use super::place::ByPlace;
use super::power::Drive;
use super::state::{State, StateError};
use super::study::{FrameState, OtherWay, Position, Unloaded, Xz};
use super::track_turns::TrackAtRest;
use super::travel::Moved;
use super::under_ropes::{FrameWorst, HeadRopes, UnderRopes};
use super::{SiteError, words};
use crate::frame::Tipping;
use crate::motion::Motion;
use crate::quantity::{Band, Force, Length, metres};
use alloc::vec::Vec;
use arrayvec::ArrayVec;

/// Interior angle from which a line counts as a highline: 120°, common practice, no source.
pub(crate) const FLAT_FROM_RAD: f64 = core::f64::consts::PI * 2.0 / 3.0;

/// What the study prints of one state, and what takes which force there.
pub(crate) struct Judged<T> {
    pub(crate) printed: T,
    /// A frame that falls has no forces.
    pub(crate) forces: ByPlace<Force>,
    pub(crate) falls: Option<Tipping>,
}

/// The track rope without its load.
pub(crate) fn unloaded(state: &State<'_, '_>, strand: Length) -> Result<Judged<Unloaded>, StateError> {
    let moving = state.track_tensions(Motion::Hauling)?.ok_or(StateError::NotHeld)?;
    let (forces, frame) = state.forces_and_frame()?;
    let shape = state.track_shape();
    let (head, far) = (state.model().head(), state.model().values().far);
    let slope = (far.z - head.z) / (far.x - head.x);
    let sag = shape.iter().map(|p| head.z + slope * (p.x - head.x) - p.z).fold(metres(0.0), Length::max);
    let (frame, falls) = printed(frame);
    let printed = Unloaded {
        strand_tension_head: state.strand_tension_head(),
        strand_tension_far: state.strand_tension_far(),
        reading: reading(state, state.track_at_rest().as_ref()),
        reading_while_tensioning: moving.cell().high,
        capstan_pull: moving.capstan().high,
        strand_length: strand,
        sag,
        clearance: state.track_clearance(),
        frame,
        forces: Vec::new(),
        shape: shape.into_iter().map(Xz::from).collect(),
    };
    Ok(Judged { printed, forces, falls })
}

/// Everything about one place: balance, readings and pulls as the load is hauled, forces and frame at the worst of
/// hauling and lowering.
pub(crate) fn position(moved: &Moved<'_, '_>, drive: &Drive) -> Result<Judged<Position>, SiteError> {
    let hauled = &moved.hauling;
    let fail = |why| words::no_state(hauled.model(), why);
    let carriage = hauled.balance.carriage;
    let track = hauled.track_at_rest();
    let line = hauled.model().haul_line(carriage, hauled.pull()).map_err(fail)?;
    let driven = drive.at(line.winch, carriage.x)?;

    let mut forces = hauled.forces_by(track.as_ref()).map_err(fail)?;
    let mut clearance = hauled.track_clearance();
    let mut ropes: ArrayVec<HeadRopes, 2> = ArrayVec::new();
    ropes.push(hauled.head_ropes());
    let [mut at_rest, mut lowering] = [None, None];
    let other_end = moved.ends().nth(1).map(|end| end.situation().motion);
    for state in moved.ways().skip(1) {
        let track = state.track_at_rest();
        let way = if state.situation().motion == Motion::AtRest { &mut at_rest } else { &mut lowering };
        *way = Some(other_way(state, track.as_ref()));
        // Without the load going out by itself, the other end is the one without friction.
        if other_end == Some(state.situation().motion) {
            let others = state.forces_by(track.as_ref()).map_err(fail)?;
            forces = forces.with(&others, Force::max);
            clearance = clearance.min(state.track_clearance());
            ropes.push(state.head_ropes());
        }
    }
    let frame = hauled.model().frame_under(&ropes).map_err(fail)?;
    frame.add_to(&mut forces);
    let (frame, falls) = printed(frame);

    let interior_angle = hauled.on_track().map_or_else(Default::default, |state| state.interior_angle);
    let printed = Position {
        carriage: Xz::from(carriage),
        haul_length: hauled.rope_out(),
        carriage_height: hauled.carriage_height(),
        litter_height: hauled.litter_height(),
        strand_tension_head: hauled.strand_tension_head(),
        strand_tension_far: hauled.strand_tension_far(),
        reading: reading(hauled, track.as_ref()),
        reading_expected: None,
        greatest_track_tension: forces[super::Place::TrackRope],
        interior_angle,
        flat: interior_angle.value >= FLAT_FROM_RAD,
        ground_share: hauled.ground_share(),
        drag: hauled.drag(),
        haul_pull: hauled.pull(),
        winch_pull: line.winch,
        straight_pull: line.straight,
        current: driven.current,
        voltage: driven.voltage,
        load_speed: driven.line_speed / hauled.model().velocity_ratio(),
        power: driven.power,
        battery_charge: None,
        head_force: hauled
            .model()
            .resultant_without_friction(&hauled.head_ropes(), line.behind_head)
            .map_err(fail)?
            .into(),
        track_clearance: clearance,
        frame,
        forces: Vec::new(),
        residual: hauled.residual(),
        at_rest,
        lowering,
    };
    Ok(Judged { printed, forces, falls })
}

fn other_way(state: &State<'_, '_>, track: Option<&TrackAtRest>) -> OtherWay {
    OtherWay {
        carriage_height: state.carriage_height(),
        litter_height: state.litter_height(),
        strand_tension_head: state.strand_tension_head(),
        strand_tension_far: state.strand_tension_far(),
        reading: reading(state, track),
        haul_pull: state.pull(),
        ground_share: state.ground_share(),
        drag: state.drag(),
        residual: state.residual(),
        reading_expected: None,
    }
}

/// What the load cell shows: as expected without friction, and what friction may leave.
fn reading(state: &State<'_, '_>, at_rest: Option<&TrackAtRest>) -> Band<Force> {
    let expected = state.strand_tension_head();
    at_rest.map_or(Band::exact(expected), |track| Band { expected, ..track.cell })
}

pub(super) fn printed(frame: UnderRopes) -> (Option<FrameState>, Option<Tipping>) {
    match frame {
        UnderRopes::Stands(FrameWorst { legs, guys, margin, edge }) => {
            let (legs, guys) = (legs.to_vec(), guys.to_vec());
            let over = edge.map_or_else(Default::default, words::over);
            (Some(FrameState { legs, guys, margin, over }), None)
        }
        UnderRopes::Falls(tipping) => (None, Some(tipping)),
    }
}
