//! The answers in brief, and what the crew should know first.

use super::footing::Footing;
use super::plan::{SiteError, SitePlan};
use super::position::FLAT_FROM_RAD;
use super::study::{
    At, Governing, HaulTotals, LeastMargin, LineClass, Position, RatedPart, Reach, Summary, Unloaded,
};
use crate::capstan::{Capstan, Hand};
use crate::math;
use crate::quantity::unit::{ampere, revolution};
use crate::quantity::{Angle, Band, ElectricCurrent, Force, metres, newtons, radians};

pub(crate) fn summary(
    plan: &SitePlan,
    footing: &Footing,
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

    let straight_pull_fails_at = positions.iter().position(|p| p.straight_pull > rated_pull);
    Ok(Summary {
        reach,
        haul_reach: None,
        belay_reach: None,
        governing: governing(unloaded, positions, components),
        least_litter_height: At { si: metres(-least), position: at_least },
        greatest_litter_height: At { si: metres(greatest), position: at_greatest },
        greatest_reading: At { si: newtons(reading), position: at_reading },
        most_reading_expected: extreme_expected(positions, |band| band.high, |a, b| a > b),
        least_reading_expected: extreme_expected(positions, |band| band.low, |a, b| a < b),
        greatest_winch_pull: At { si: newtons(pull), position: at_pull },
        greatest_current: At { si: ElectricCurrent::new::<ampere>(current), position: at_current },
        straight_pull_fails_at,
        haul,
        capstan_tail: capstan,
        hand: newtons(Hand::HELD_N[0]),
        foot_friction: footing.friction.to_vec(),
        hobbles: footing.hobbles.to_vec(),
        greatest_interior_angle: At { si: radians(widest), position: at_widest },
        least_interior_angle: At { si: radians(-narrowest), position: at_narrowest },
        line_class: match (widest >= FLAT_FROM_RAD, -narrowest >= FLAT_FROM_RAD) {
            (false, _) => LineClass::Tracking,
            (true, true) => LineClass::Highline,
            (true, false) => LineClass::Both,
        },
        least_margin: least_margin(unloaded, positions),
        track_lost: None,
        track_lost_farthest: None,
        haul_lost: None,
    })
}

/// The extreme of one end of what the load cell will show.
fn extreme_expected(
    positions: &[Position],
    end: impl Fn(&Band<Force>) -> Force,
    beyond: impl Fn(Force, Force) -> bool,
) -> Option<At<Force>> {
    let all = positions
        .iter()
        .enumerate()
        .flat_map(|(position, p)| p.readings_expected().map(move |band| (position, band)));
    all.map(|(position, band)| At { si: end(band), position }).reduce(
        |a, b| {
            if beyond(b.si, a.si) { b } else { a }
        },
    )
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
