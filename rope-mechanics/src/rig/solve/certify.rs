//! The gates through which every answer goes, whatever led to it: forces in balance, parts that reach their ends, nothing
//! below its ground, and a stiffness that is more than rounding.

use crate::line::course;
use crate::math;
use crate::quantity::{metres, n_per_m, newtons};
use crate::rig::answer::Certificate;
use crate::rig::equations::balance::{Equilibrium, allowed, least_felt, name, point_of, size_m, worst};
use crate::rig::equations::part::Tip;
use crate::rig::equations::{Equations, RigState, RopeForm};
use crate::rig::error::RigError;
use crate::rig::options::Options;

/// The proof of an equilibrium, or why it is none.
///
/// `stiffness_n_per_m` is the least stiffness and the variable that moves most in its mode.
pub(crate) fn certify(
    system: &Equations<'_>,
    found: &Equilibrium,
    (stiffness_n_per_m, moves): (f64, usize),
) -> Result<Certificate, RigError> {
    let state = &found.state;
    let point = |variable| name(system, point_of(system, variable));
    let (residual_n, at) = worst(system, state);
    if !(residual_n <= allowed(system, state)) {
        let (point, iterations) = (point(at), found.iterations);
        return Err(RigError::Unsolved { point, residual: residual_n, iterations });
    }
    let most_m = Options::DEFAULT.closing * size_m(system, &state.at);
    let (closing_m, rope) = closing(system, state);
    if !(closing_m <= most_m) {
        let name = system.rig.ropes.get(rope).map_or_else(Default::default, |rope| rope.name.clone());
        return Err(RigError::Unproven { name, miss: closing_m });
    }
    for seat in system.seats.iter().filter(|seat| seat.grounded) {
        let height_m = state.x.get(seat.first as usize).copied().unwrap_or_default();
        if !(height_m >= -most_m) {
            return Err(RigError::Unproven { name: point(seat.first as usize), miss: -height_m });
        }
    }
    if !(stiffness_n_per_m > least_felt(system, state)) {
        return Err(RigError::Loose { point: point(moves), stiffness: stiffness_n_per_m });
    }
    Ok(Certificate {
        iterations: found.iterations,
        force_residual: newtons(residual_n),
        closing_residual: metres(closing_m),
        largest_force: newtons(state.scale_n),
        least_stiffness: n_per_m(stiffness_n_per_m),
        unique: system.is_convex(),
    })
}

/// The largest distance by which a part misses its last end when it is laid out from its first, and its rope.
fn closing(system: &Equations<'_>, state: &RigState) -> (f64, usize) {
    let mut worst = (0.0_f64, 0);
    for (r, (rope, run)) in system.rig.ropes.iter().zip(&system.runs).enumerate() {
        let mut miss = 0.0_f64;
        let parts = state.parts.iter().skip(run.parts as usize);
        let mut sum = (0.0, 0.0);
        for (pair, part) in rope.nodes.windows(2).zip(parts) {
            let at =
                |k: usize| pair.get(k).and_then(|&p| state.at.get(p as usize)).copied().unwrap_or_default();
            let chord = at(1) - at(0);
            let distance = math::sqrt(chord.norm_squared());
            let Tip { along, tension, strain } = part.first;
            if run.form == RopeForm::Whole {
                sum = (sum.0 + distance, sum.1 + part.length_m * (1.0 + strain));
            } else if rope.weight_n_per_m == 0.0 {
                let by = distance - part.length_m * (1.0 + strain);
                miss = miss.max(if tension > 0.0 { by.abs() } else { by });
            } else {
                let h = math::hypot(along.x, along.y);
                let (x, z) = course::run(h, along.z, rope.weight_n_per_m, part.length_m, &rope.stretch);
                let span_m = math::hypot(chord.x, chord.y);
                miss = miss.max((x - span_m).abs()).max((z - chord.z).abs());
            }
        }
        if run.form == RopeForm::Whole {
            let slack = state.slopes.get(r) == Some(&0.0)
                && state.parts.get(run.parts as usize).is_some_and(|p| p.first.tension == 0.0);
            let by = sum.0 - sum.1;
            miss = miss.max(if slack { by } else { by.abs() });
        }
        if !(miss <= worst.0) {
            worst = (miss, r);
        }
    }
    worst
}

#[cfg(test)]
mod tests {
    use super::certify;
    use crate::geometry::{Direction3, Point3};
    use crate::quantity::{metres, newtons, ratio};
    use crate::rig::equations::balance::Equilibrium;
    use crate::rig::equations::{Equations, Mode};
    use crate::rig::error::RigError;
    use crate::rig::solve::{newton, search, start};
    use crate::rig::{FreePoint, Rig, RopeRun, RopeSupply};
    use crate::rope::Stretch;

    /// A load on a rope of this weight per metre, and a litter that another holds on a slope.
    fn with_litter(weight_n_per_m: f64) -> Rig {
        let at = |x: f64, z: f64| Point3::new(metres(x), metres(0.0), metres(z));
        let loaded = |free: FreePoint, weight: f64| free.with_weight(newtons(weight));
        let mut rig = Rig::new();
        let head = rig.fixed("head", at(0.0, 10.0)).unwrap();
        let load = rig.point("load", loaded(FreePoint::anywhere(), 1000.0)).unwrap();
        // A slope of 30°, down which the litter slides until its sling is taut.
        let slope = Direction3::new(ratio(0.5), ratio(0.0), ratio(0.75_f64.sqrt())).unwrap();
        let ground = FreePoint::above_ground(at(3.0, 0.0), slope);
        let litter = rig.point("litter", loaded(ground, 2000.0)).unwrap();
        let stretch = Stretch::linear(newtons(40e3)).unwrap();
        for (name, to, length) in [("line", load, 4.0), ("sling", litter, 12.0)] {
            let run = RopeRun::new(stretch, RopeSupply::Length(metres(length)), head, to);
            rig.rope(name, run.with_weight(newtons(weight_n_per_m) / metres(1.0))).unwrap();
        }
        rig
    }

    /// What the gates say of the equilibrium of a rig after something was done to it.
    fn verdict(
        weight_n_per_m: f64,
        harm: impl Fn(&Equations<'_>, &mut Equilibrium),
        stiffness: f64,
    ) -> Result<(), RigError> {
        let rig = with_litter(weight_n_per_m);
        let system = Equations::new(&rig, Mode::Frictionless);
        let mut found = search::equilibrium(&system, start::guess(&system)).unwrap();
        let (least, moves) = newton::least_stiffness(&system, &found);
        harm(&system, &mut found);
        certify(&system, &found, (least * stiffness, moves)).map(drop)
    }

    /// The number of the coordinate in which a point goes up.
    fn height_of(system: &Equations<'_>, name: &str) -> usize {
        let point = system.rig.points.iter().position(|p| p.name == name).unwrap();
        let seat = &system.seats[point];
        seat.first as usize + if seat.grounded { 0 } else { 2 }
    }

    #[test]
    fn an_equilibrium_passes_every_gate() {
        for weight in [0.0, 2.0] {
            assert_eq!(verdict(weight, |_, _| {}, 1.0), Ok(()));
        }
    }

    #[test]
    fn a_load_a_tenth_of_a_millimetre_off_its_place_is_out_of_balance() {
        for weight in [0.0, 2.0] {
            let lifted = |system: &Equations<'_>, found: &mut Equilibrium| {
                found.state.x[height_of(system, "load")] += 1e-4;
                system.evaluate(&mut found.state).unwrap();
            };
            let refused = verdict(weight, lifted, 1.0);
            assert!(
                matches!(&refused, Err(RigError::Unsolved { point, .. }) if point == "load"),
                "{refused:?}"
            );
        }
    }

    #[test]
    fn a_part_that_misses_its_end_by_a_millimetre_is_no_part_of_an_answer() {
        for weight in [0.0, 2.0] {
            let refused = verdict(weight, |_, found| found.state.parts[0].length_m += 1e-3, 1.0);
            match refused {
                Err(RigError::Unproven { name, miss }) => {
                    assert!(name == "line" && (0.9e-3..1.1e-3).contains(&miss), "{name} {miss}");
                }
                other => panic!("{other:?}"),
            }
        }
    }

    #[test]
    fn a_litter_below_its_ground_is_no_answer_though_the_ground_would_push() {
        let sunk = |system: &Equations<'_>, found: &mut Equilibrium| {
            found.state.x[height_of(system, "litter")] = -1e-3;
        };
        let refused = verdict(0.0, sunk, 1.0);
        assert!(matches!(&refused, Err(RigError::Unproven { name, .. }) if name == "litter"), "{refused:?}");
    }

    #[test]
    fn a_stiffness_of_nothing_or_of_rounding_is_loose() {
        for part in [-1.0, 0.0, 1e-15, f64::NAN] {
            let refused = verdict(0.0, |_, _| {}, part);
            assert!(matches!(&refused, Err(RigError::Loose { .. })), "{part}: {refused:?}");
        }
    }
}
