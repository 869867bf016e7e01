//! The frame and the parts under the ropes of one step.

use crate::carriage::CarriageState;
use crate::error::InputError;
use crate::geometry::{Direction3, Force3, Point3};
use crate::motion::Motion;
use crate::operation::model::Model;
use crate::operation::place::{ByPlace, Place};
use crate::operation::state::{HoldingRope, StateError};
use crate::operation::track_turns::{Ratios, turn_rad};
use crate::operation::under_ropes::{Corners, HeadRopes, UnderRopes, WorstOf, in_space};
use crate::quantity::{Band, Force, newtons};
use crate::reeving::TrackTensions;
use crate::sheave::Turn;
use arrayvec::ArrayVec;

/// The ropes of one step, in balance.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ropes {
    /// The load, seen from the base of the frame.
    pub(super) load: Point3,
    pub(super) track: Option<CarriageState>,
    pub(super) haul_n: f64,
    pub(super) belay_n: f64,
}

/// The belay rope: over the head beside the haul rope, or straight from behind by a turn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum BelayWay {
    None,
    OverHead,
    From { place: Point3, turn: Turn, device: Point3 },
}

/// What the ropes of a step leave along them and on the parts.
#[derive(Debug, Clone)]
pub(super) struct OnParts {
    pub(super) forces: ByPlace<Force>,
    pub(super) frame: UnderRopes,
    /// Behind the head: let out, and taken in.
    pub(super) haul_behind: (Force, Force),
    pub(super) winch: Force,
    /// At the belay's device, taking in.
    pub(super) device: Force,
    pub(super) reading: Band<Force>,
    pub(super) capstan: Band<Force>,
    /// The capstan and the cell while the capstan takes in.
    pub(super) taking_in: Option<(Force, Force)>,
}

impl BelayWay {
    /// The ratio of the tensions at the device and at the load: taking in, and letting out.
    pub(super) fn ratios(&self, load: Point3) -> Result<Ratios, InputError> {
        let straight = Ratios { low: 1.0, high: 1.0 };
        let Self::From { place, turn, device } = *self else { return Ok(straight) };
        if place == device {
            return Ok(straight);
        }
        let (to_load, to_device) =
            (Direction3::between(place, load)?.unit(), Direction3::between(place, device)?.unit());
        Ok(Ratios::of(&turn, turn_rad(to_load, to_device)))
    }
}

fn tensions(model: &Model<'_>, track: &CarriageState, motion: Motion) -> Result<TrackTensions, StateError> {
    model.track_tensions(track.tension.head, in_space(track.on_head), in_space(track.on_far), motion)
}

/// Every place and the frame, at the worst of what friction leaves in the ropes, over all of these.
pub(super) fn on_parts(model: &Model<'_>, way: &BelayWay, all: &[Ropes]) -> Result<OnParts, StateError> {
    let mut forces = ByPlace::default();
    let mut corners: ArrayVec<Corners, 2> = ArrayVec::new();
    let zero = newtons(0.0);
    let (mut haul_behind, mut winch, mut device) = ((newtons(f64::INFINITY), zero), zero, zero);
    let mut bands: Option<(Band<Force>, Band<Force>)> = None;
    let mut taking_in = None;
    for ropes in all {
        let mut here = model.load_rope_forces_to(HoldingRope::Haul, ropes.load, newtons(ropes.haul_n))?;
        winch = winch.max(here[Place::Winch]);
        let ratios = over_head_ratios(model, HoldingRope::Haul, ropes.load)?;
        haul_behind.0 = haul_behind.0.min(newtons(ratios.low * ropes.haul_n));
        haul_behind.1 = haul_behind.1.max(newtons(ratios.high * ropes.haul_n));
        match way {
            BelayWay::None => {}
            BelayWay::OverHead => {
                let belay =
                    model.load_rope_forces_to(HoldingRope::Belay, ropes.load, newtons(ropes.belay_n))?;
                device = device.max(belay[Place::BelayDevice]);
                here = here.with(&belay, Force::max);
            }
            BelayWay::From { .. } => {
                let at_device = newtons(way.ratios(ropes.load)?.high * ropes.belay_n);
                device = device.max(at_device);
                here[Place::BelayRope] = at_device.max(newtons(ropes.belay_n));
                here[Place::BelayDevice] = at_device;
            }
        }
        let hung = newtons(ropes.belay_n).max(model.litter_weight());
        here[Place::Carriage] = here[Place::Carriage].max(hung);
        if let Some(track) = &ropes.track {
            let rest = tensions(model, track, Motion::AtRest)?;
            let on_wheel = track.on_carriage_by_track().magnitude();
            here[Place::TrackRope] = rest.highest().tension;
            here[Place::TrackRedirect] =
                if model.values().track.redirect.holds { rest.redirect().load } else { zero };
            here[Place::Head] = rest.head_crossings().into_iter().fold(zero, Force::max);
            here[Place::Cell] = rest.cell().high;
            here[Place::Capstan] = rest.capstan().high;
            here[Place::Far] = track.on_far.magnitude();
            here[Place::CarriageWheel] = on_wheel;
            here[Place::Carriage] = here[Place::Carriage].max(on_wheel);
            let (cell, capstan) =
                (Band { expected: 0.5 * track.tension.head, ..rest.cell() }, rest.capstan());
            bands =
                Some(bands.map_or((cell, capstan), |(cells, capstans)| {
                    (wider(cells, cell), wider(capstans, capstan))
                }));
            // Taken in, the load goes outward: the last of them is with the wheel's friction that way.
            let moving = tensions(model, track, Motion::Hauling)?;
            taking_in = Some((moving.capstan().high, moving.cell().high));
        }
        forces = forces.with(&here, Force::max);
        corners.push(corners_of(model, way, ropes)?);
    }
    let mut worst = WorstOf::default();
    worst.add(model, corners.iter().flatten().copied())?;
    let frame = worst.worst()?;
    frame.add_to(&mut forces);
    let (reading, capstan) = bands.unwrap_or((Band::exact(zero), Band::exact(zero)));
    Ok(OnParts { forces, frame, haul_behind, winch, device, reading, capstan, taking_in })
}

/// Both, the expected value of the first.
fn wider(one: Band<Force>, other: Band<Force>) -> Band<Force> {
    Band { low: one.low.min(other.low), expected: one.expected, high: one.high.max(other.high) }
}

/// The ratio of the tensions behind the head and at the load: taken in, and let out.
fn over_head_ratios(model: &Model<'_>, rope: HoldingRope, load: Point3) -> Result<Ratios, StateError> {
    let (turn, behind) = model.load_rope(rope)?;
    let (to_load, to_behind) = (
        Direction3::between(model.head_at, load)?.unit(),
        Direction3::between(model.head_at, behind)?.unit(),
    );
    Ok(Ratios::of(&turn, turn_rad(to_load, to_behind)))
}

/// The force of all ropes on the head at each corner of what friction may leave.
fn corners_of(model: &Model<'_>, way: &BelayWay, ropes: &Ropes) -> Result<Corners, StateError> {
    let track = ropes.track.as_ref().map_or(HeadRopes::track(newtons(0.0), Force3::default()), |track| {
        HeadRopes::track(track.tension.head, in_space(track.on_head))
    });
    let mut corners = model.corners(&track)?;
    let mut add = |rope: HoldingRope, tension_n: f64| -> Result<(), StateError> {
        if tension_n <= 0.0 {
            return Ok(());
        }
        let (_, behind) = model.load_rope(rope)?;
        let ratios = over_head_ratios(model, rope, ropes.load)?;
        let (to_load, to_behind) = (
            Direction3::between(model.head_at, ropes.load)?.unit(),
            Direction3::between(model.head_at, behind)?.unit(),
        );
        let before = core::mem::take(&mut corners);
        for corner in &before {
            for (ratio, _) in ratios.ends() {
                // T·u₁ + ρ·T·u₂
                let force = corner.si() + tension_n * (to_load + ratio * to_behind);
                corners.push(Force3::from_si(force));
            }
        }
        Ok(())
    };
    add(HoldingRope::Haul, ropes.haul_n)?;
    if *way == BelayWay::OverHead {
        add(HoldingRope::Belay, ropes.belay_n)?;
    }
    Ok(corners)
}
