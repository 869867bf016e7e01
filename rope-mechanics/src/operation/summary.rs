//! The answers in brief, and what the crew should know first.

use super::model::Model;
use super::plan::{SiteError, SitePlan, distance};
use super::position::FLAT_FROM_RAD;
use super::state::StateError;
use super::study::{
    At, Governing, HaulFailure, HaulTotals, LeastMargin, LineClass, Position, RatedPart, Reach, Summary,
    TrackFailure, Unloaded,
};
use super::words;
use crate::arrest::{ArrestError, Fall, Holding, STIFFER_AT_MOST, STIFFER_IN_A_FALL, hand_over};
use crate::capstan::{Capstan, Hand};
use crate::geometry::Point3;
use crate::math;
use crate::quantity::unit::{ampere, revolution};
use crate::quantity::{
    Angle, ElectricCurrent, Force, Ratio, STANDARD_GRAVITY_M_PER_S2, metres, metres_per_second, newtons,
    radians, ratio,
};
use alloc::string::ToString;
use alloc::vec::Vec;

pub(crate) fn summary(
    plan: &SitePlan,
    model: &Model<'_>,
    haul: HaulTotals,
    rated_pull: Force,
    unloaded: &Unloaded,
    positions: &[Position],
    components: &[RatedPart],
) -> Result<Summary, SiteError> {
    let floats_from = plan.far.x - plan.float_from;
    let extreme = |value: &dyn Fn(&Position) -> f64, among: &dyn Fn(&Position) -> bool| {
        let mut best: Option<(f64, usize)> = None;
        for (i, p) in positions.iter().enumerate().filter(|(_, p)| among(p)) {
            if best.is_none_or(|(v, _)| value(p) > v) {
                best = Some((value(p), i));
            }
        }
        best.unwrap_or((0.0, 0))
    };
    let all = |_: &Position| true;
    let (least, at_least) = extreme(&|p| -p.least_litter_height().value, &|p| p.carriage.x <= floats_from);
    let (greatest, at_greatest) = extreme(&|p| p.litter_height.value, &all);
    let (reading, at_reading) = extreme(&|p| p.reading.expected.value, &all);
    let (pull, at_pull) = extreme(&|p| p.winch_pull.value, &all);
    let (current, at_current) = extreme(&|p| p.current.value, &all);
    let (widest, at_widest) = extreme(&|p| p.interior_angle.value, &all);
    let (narrowest, at_narrowest) = extreme(&|p| -p.interior_angle.value, &all);
    let greatest_track =
        positions.iter().map(|p| p.greatest_track_tension).fold(unloaded.capstan_pull, Force::max);

    let on_hand = plan.on_hand;
    let strands = 2.0 * unloaded.strand_length;
    // Before it is tensioned the rope has to go round slack: each strand along its chord at least.
    let chord = metres(math::hypot((plan.far.x - plan.head.x).value, (plan.far.z - plan.head.z).value));
    let to_reeve = 2.0 * unloaded.strand_length.max(chord);
    let reach = Reach {
        on_hand,
        used_at_the_apparatus: plan.used,
        strands,
        to_reeve,
        spare: on_hand - plan.used - to_reeve,
        longest_strand: 0.5 * (on_hand - plan.used),
    };

    // The least friction decides what holds in any case.
    let friction = plan.capstan_friction;
    let capstan = if friction.value > 0.0 {
        Capstan::new(friction, friction)
            .and_then(|capstan| capstan.tail(greatest_track, Angle::new::<revolution>(plan.wraps)))
            .map_err(|why| SiteError::at("capstan", why))?
            .high
    } else {
        greatest_track
    };

    let (track_lost, track_lost_farthest) = track_lost(plan, model, positions)?;
    let straight_pull_fails_at = positions.iter().position(|p| p.straight_pull > rated_pull);
    Ok(Summary {
        reach,
        governing: governing(unloaded, positions, components),
        least_litter_height: At { si: metres(-least), position: at_least },
        greatest_litter_height: At { si: metres(greatest), position: at_greatest },
        greatest_reading: At { si: newtons(reading), position: at_reading },
        greatest_winch_pull: At { si: newtons(pull), position: at_pull },
        greatest_current: At { si: ElectricCurrent::new::<ampere>(current), position: at_current },
        straight_pull_fails_at,
        haul,
        capstan_tail: capstan,
        hand: newtons(Hand::HELD_N[0]),
        foot_friction: foot_friction(model),
        greatest_interior_angle: At { si: radians(widest), position: at_widest },
        least_interior_angle: At { si: radians(-narrowest), position: at_narrowest },
        line_class: match (widest >= FLAT_FROM_RAD, -narrowest >= FLAT_FROM_RAD) {
            (false, _) => LineClass::Tracking,
            (true, true) => LineClass::Highline,
            (true, false) => LineClass::Both,
        },
        least_margin: least_margin(unloaded, positions),
        track_lost,
        track_lost_farthest,
        haul_lost: haul_lost(plan, model, positions)?,
    })
}

/// |h|/|v| of a force along each leg.
fn foot_friction(model: &Model<'_>) -> Vec<Ratio> {
    let head = model.head_at.si();
    let needed = |foot: &Point3| {
        let leg = head - foot.si();
        ratio(math::hypot(leg.x, leg.y) / leg.z)
    };
    model.values().feet.iter().map(needed).collect()
}

fn governing(unloaded: &Unloaded, positions: &[Position], components: &[RatedPart]) -> Option<Governing> {
    let mut worst: Option<Governing> = None;
    let loaded = positions.iter().enumerate().map(|(at, p)| (Some(at), &p.forces));
    for (position, forces) in core::iter::once((None, &unloaded.forces)).chain(loaded) {
        for (i, (component, force)) in components.iter().zip(forces).enumerate() {
            let Some(strength) = component.strength else { continue };
            if force.value <= 0.0 {
                continue;
            }
            let factor = strength.value / force.value;
            if worst.as_ref().is_none_or(|w| factor < w.factor) {
                worst = Some(Governing { component: i, position, force: *force, factor });
            }
        }
    }
    worst
}

/// None where the frame falls somewhere.
fn least_margin(unloaded: &Unloaded, positions: &[Position]) -> Option<LeastMargin> {
    let mut least: Option<LeastMargin> = None;
    let loaded = positions.iter().enumerate().map(|(at, p)| (Some(at), &p.frame));
    for (position, frame) in core::iter::once((None, &unloaded.frame)).chain(loaded) {
        let frame = frame.as_ref()?;
        if !frame.over.is_empty() && least.as_ref().is_none_or(|least| frame.margin < least.margin) {
            least = Some(LeastMargin { margin: frame.margin, position, over: frame.over.clone() });
        }
    }
    least
}

/// The belay takes over from the haul rope, at the place where that pulls hardest on it.
fn haul_lost(
    plan: &SitePlan,
    model: &Model<'_>,
    positions: &[Position],
) -> Result<Option<HaulFailure>, SiteError> {
    let (Some(belay), Some(values)) = (&plan.belay, &model.values().belay) else { return Ok(None) };
    // As stiff as a rope may be for the peak, as soft for how far the load runs.
    let in_a_fall = |stiffer: f64| {
        let stretch = belay.rope.stretch().scaled(ratio(stiffer));
        stretch.map_err(|why| SiteError::at("belay.rope.stiffness", why))
    };
    let (stiff, soft) = (in_a_fall(STIFFER_AT_MOST)?, in_a_fall(STIFFER_IN_A_FALL.low)?);
    let mut worst: Option<HaulFailure> = None;
    for (position, p) in positions.iter().enumerate().filter(|(_, p)| p.haul_pull.value > 0.0) {
        // The belay rope runs from its device to the head, and beside the haul rope from there.
        let length = p.haul_length + distance(values.device, model.head_at);
        let after = |dynamic| {
            Holding::slack(dynamic, length, values.slack)
                .map_err(ArrestError::from)
                .and_then(|belay| hand_over(p.haul_pull, &[belay]))
                .map_err(|why| SiteError::new("belay", why.to_string()))
        };
        let [peak] = after(stiff)?.peak;
        if worst.is_none_or(|worst| peak > worst.peak) {
            worst = Some(HaulFailure {
                position,
                lost: p.haul_pull,
                travel: after(soft)?.peak_travel,
                still_pull: p.haul_pull,
                peak,
                factor: belay.strength.strength.value / peak.value,
            });
        }
    }
    Ok(worst)
}

/// The litter falls by its height and lies on the slope, or swings under the head: where the haul rope is hit hardest,
/// and where the fall is highest.
fn track_lost(
    plan: &SitePlan,
    model: &Model<'_>,
    positions: &[Position],
) -> Result<(TrackFailure, TrackFailure), SiteError> {
    let stretch = plan
        .haul
        .stretch()
        .scaled(ratio(STIFFER_AT_MOST))
        .map_err(|why| SiteError::at("haul.rope.stiffness", why))?;
    let w = model.weight.value;
    let mut worst: Option<(TrackFailure, TrackFailure)> = None;
    for (i, p) in positions.iter().enumerate() {
        let (drop, landing) = fall_of(model, p)?;
        // v² = 2·g·h
        let speed = math::sqrt(2.0 * STANDARD_GRAVITY_M_PER_S2 * drop);
        let peak = if drop > 0.0 {
            Fall::new(model.weight, metres(drop), p.haul_length, stretch)
                .map_err(ArrestError::from)
                .and_then(|fall| fall.arrest())
                .map_err(|why| SiteError::new("haul.rope", why.to_string()))?
                .peak_force
        } else {
            p.haul_pull
        };
        // Lying on a slope θ without counting on its friction: W·sin θ. Hanging: W.
        let still = landing.map_or(w, |at| w * at.slope.abs() / math::hypot(1.0, at.slope));
        let lost = TrackFailure {
            position: i,
            drop: metres(drop),
            speed: metres_per_second(speed),
            speed_onto_ground: landing.map(|at| metres_per_second(speed * at.onto_ground())),
            lands: landing.is_some(),
            still_pull: newtons(still),
            peak_bound: peak.max(newtons(still)),
            factor: plan.haul_strength.strength.value / peak.value.max(still),
        };
        let (hardest, farthest) = worst.unwrap_or((lost, lost));
        worst = Some((
            if lost.peak_bound > hardest.peak_bound { lost } else { hardest },
            if lost.drop > farthest.drop { lost } else { farthest },
        ));
    }
    worst.ok_or_else(|| SiteError::new("travel.positions", "no position was studied"))
}

/// Where the litter meets the ground on the arc of the haul rope.
#[derive(Clone, Copy)]
struct Landing {
    /// Of the ground, dz/dx.
    slope: f64,
    /// Of the haul rope from plumb.
    angle_rad: f64,
}

impl Landing {
    /// The share of its speed that is square to the ground: it moves along (−cos ψ, −sin ψ), the ground's normal is
    /// (−s, 1)/√(1 + s²).
    fn onto_ground(&self) -> f64 {
        let Self { slope, angle_rad } = *self;
        (slope * math::cos(angle_rad) - math::sin(angle_rad)).abs() / math::hypot(1.0, slope)
    }
}

/// How far the litter falls on the arc that the haul rope leaves it, and where it lands.
fn fall_of(model: &Model<'_>, p: &Position) -> Result<(f64, Option<Landing>), SiteError> {
    let head = (model.head.x.value, model.head.z.value);
    let hang = model.values().load.hang.value;
    let radius = p.haul_length.value;
    let start = math::asin(((p.carriage.x.value - head.0) / radius).clamp(-1.0, 1.0));
    if p.litter_height.value <= 0.0 {
        let slope = model.ground_slope(p.carriage.x.value);
        return Ok((0.0, Some(Landing { slope, angle_rad: start })));
    }
    // From where it is down to the plumb line under the head: the first step that ends in the ground, and the place
    // on it where the litter touches.
    const STEPS: u32 = 200;
    let ground = |x_m: f64| {
        let off = StateError::OffGround { x: metres(x_m) };
        model.ground_m(x_m).ok_or(off).map_err(|why| words::no_state(model, why))
    };
    let at = |angle: f64| (head.0 + radius * math::sin(angle), head.1 - radius * math::cos(angle));
    let mut above = start;
    for step in 1..=STEPS {
        let angle = start * (1.0 - f64::from(step) / f64::from(STEPS));
        let (x, z) = at(angle);
        if z - hang <= ground(x)? {
            let height = |angle: f64| {
                let (x, z) = at(angle);
                model.ground_m(x).map_or(f64::NAN, |ground| z - hang - ground)
            };
            // Where the two ends don't bracket it, the litter touches where it is.
            let angle = math::roots::bracketed(angle, above, 1e-12, height).map_or(angle, |root| root.x);
            let (x, z) = at(angle);
            let landing = Landing { slope: model.ground_slope(x), angle_rad: angle };
            return Ok(((p.carriage.z.value - z).max(0.0), Some(landing)));
        }
        above = angle;
    }
    Ok((p.carriage.z.value - (head.1 - radius), None))
}
