//! The haul line from the load to the winch.

use proptest::prelude::*;
use rope_mechanics::haul::{HaulRedirect, LoadPull, MAX_REDIRECTS, Route};
use rope_mechanics::quantity::{
    Angle, Force, Length, Ratio, Velocity,
    unit::{degree, meter, meter_per_second, newton, ratio},
};
use rope_mechanics::sheave::Turn;
use rope_mechanics::slope::SlopeLoad;
use rope_mechanics::tackle::{CyclePlan, Layout, TackleError, Usual, UsualForm, UsualRatio};

fn m(x: f64) -> Length {
    Length::new::<meter>(x)
}

fn n(x: f64) -> Force {
    Force::new::<newton>(x)
}

fn pulley(efficiency: f64) -> Turn {
    Turn::sheave(Ratio::new::<ratio>(efficiency)).unwrap()
}

fn redirect(efficiency: f64, angle_deg: f64) -> HaulRedirect {
    HaulRedirect::new(pulley(efficiency), Angle::new::<degree>(angle_deg)).unwrap()
}

fn layout() -> Layout {
    Layout::new(m(60.0), m(8.0)).unwrap().with_hand(m(3.0)).unwrap()
}

#[test]
fn a_straight_pull_without_redirects_is_the_pull_itself() {
    let haul = Route::new(layout(), pulley(0.9)).haul(Usual::new(UsualRatio::OneToOne)).unwrap();
    let forces = haul.forces(LoadPull::new(n(2000.0), n(800.0)).unwrap()).unwrap();
    assert_eq!((forces.hauling, forces.lowering), (n(2000.0), n(800.0)));
    assert_eq!((forces.at_rest.low, forces.at_rest.high), (n(800.0), n(2000.0)));
    assert_eq!(forces.highest, n(2000.0));
    assert_eq!(haul.tackle().rope_needed(), m(63.0));
}

#[test]
fn every_redirect_and_the_tackle_multiply() {
    let route = Route::new(layout(), pulley(0.9))
        .with_before(&[redirect(0.8, 180.0), redirect(0.95, 180.0)])
        .unwrap()
        .with_after(&[redirect(0.85, 180.0)])
        .unwrap();
    let pull = LoadPull::steady(n(1000.0)).unwrap();
    let haul = route.haul(Usual::new(UsualRatio::ThreeToOne).with_lead()).unwrap();
    let forces = haul.forces(pull).unwrap();
    let up = 1000.0 / (0.8 * 0.95) / (0.9 * 2.71) / 0.85;
    assert!((forces.hauling.value / up - 1.0).abs() < 1e-14);
    // Lowering, the pulley nearest the load keeps most back: 1 + 1/0.9 + 1/0.81 in the tackle.
    let down = 1000.0 * 0.8 * 0.95 / ((1.0 + 1.0 / 0.9 + 1.0 / 0.81) / 0.9) * 0.85;
    assert!((forces.lowering.value / down - 1.0).abs() < 1e-14);
    assert_eq!((forces.at_rest.low, forces.at_rest.high), (forces.lowering, forces.hauling));
    // The rope is tightest where it enters the tackle.
    assert!((forces.highest.value - 1000.0 / (0.8 * 0.95)).abs() < 1e-9);

    let on: Vec<_> = haul.redirects(pull).unwrap().collect();
    assert_eq!(on.len(), 3);
    // Over half a turn the two tensions add up.
    assert!((on[0].hauling.value - (1000.0 + 1000.0 / 0.8)).abs() < 1e-9);
    assert!((on[0].lowering.value - (1000.0 + 800.0)).abs() < 1e-9);
    assert!((on[2].hauling.value - up * (1.0 + 0.85)).abs() < 1e-9);
}

#[test]
fn a_haul_may_borrow_its_tackle() {
    let route = Route::new(layout(), pulley(0.9)).with_before(&[redirect(0.8, 70.0)]).unwrap();
    let route = route.with_after(&[redirect(0.7, 40.0), redirect(0.9, 90.0)]).unwrap();
    let tackle = Usual::new(UsualRatio::FiveToOne).build_alike(&layout(), pulley(0.9)).unwrap();
    let pull = LoadPull::new(n(2000.0), n(700.0)).unwrap();
    let (borrowed, owned) =
        (route.haul_with(&tackle), route.haul(Usual::new(UsualRatio::FiveToOne)).unwrap());
    assert_eq!(borrowed.forces(pull).unwrap(), owned.forces(pull).unwrap());
    let on = |of: Vec<_>| format!("{of:?}");
    assert_eq!(on(borrowed.redirects(pull).unwrap().collect()), on(owned.redirects(pull).unwrap().collect()));
}

#[test]
fn a_redirect_by_a_right_angle_takes_the_diagonal() {
    let route = Route::new(layout(), pulley(1.0)).with_before(&[redirect(1.0, 90.0)]).unwrap();
    let haul = route.haul(Usual::new(UsualRatio::OneToOne)).unwrap();
    let on = haul.redirects(LoadPull::steady(n(1000.0)).unwrap()).unwrap().next().unwrap();
    assert!((on.hauling.value - 1000.0 * 2.0_f64.sqrt()).abs() < 1e-9);
    assert_eq!(on.hauling, on.lowering);
}

#[test]
fn the_anchor_of_a_3_to_1_takes_what_the_hand_does_not() {
    // Without losses the anchor's sheave carries two of the three parts: 2/3 of the load.
    let haul = Route::new(layout(), pulley(1.0)).haul(Usual::new(UsualRatio::ThreeToOne)).unwrap();
    let forces = haul.forces(LoadPull::steady(n(3000.0)).unwrap()).unwrap();
    assert!((forces.anchor.value - 2000.0).abs() < 1e-9);
    // A lead turns the hand's part back and adds two more.
    let led = Route::new(layout(), pulley(1.0)).haul(Usual::new(UsualRatio::ThreeToOne).with_lead()).unwrap();
    assert!((led.forces(LoadPull::steady(n(3000.0)).unwrap()).unwrap().anchor.value - 4000.0).abs() < 1e-9);
}

#[test]
fn a_whole_haul_takes_its_time_and_rope() {
    let haul = Route::new(layout(), pulley(0.9)).haul(Usual::new(UsualRatio::ThreeToOne)).unwrap();
    let plan =
        CyclePlan::new(m(20.0)).unwrap().with_clearance(m(0.5)).unwrap().with_setback(m(0.05)).unwrap();
    let journey = haul.journey(&plan, Velocity::new::<meter_per_second>(0.3)).unwrap();
    // 7.5, 14.95, 22.4
    assert_eq!(journey.cycle.resets, 2);
    assert!((journey.load_speed.value - 0.1).abs() < 1e-15);
    assert!((journey.pulling.value - 20.1 / 0.1).abs() < 1e-9);
    let back = haul.winch_speed(journey.load_speed).unwrap();
    assert!((back.value - 0.3).abs() < 1e-15);
    // 60 m to the load, 8 m back to the grab, 11 m to the winch.
    assert!((journey.cycle.rope.value - 79.0).abs() < 1e-12);
}

#[test]
fn the_least_advantage_that_is_enough() {
    let route = Route::new(layout(), pulley(0.9)).with_before(&[redirect(0.9, 180.0)]).unwrap();
    let pull = LoadPull::steady(n(1800.0)).unwrap();
    let least = |available: f64| route.least_advantage(pull, n(available), UsualForm::Direct, false);
    // 2000 N at the tackle.
    assert!(least(2000.1).unwrap().straight);
    let two = least(1999.9).unwrap();
    assert!(!two.straight);
    assert_eq!(two.usual.ratio, UsualRatio::TwoToOne);
    assert!((two.forces.hauling.value - 2000.0 / 1.9).abs() < 1e-9);
    assert_eq!(least(1000.0).unwrap().usual.ratio, UsualRatio::ThreeToOne);
    assert_eq!(least(300.0).unwrap().usual.ratio, UsualRatio::NineToOne);
    assert!(matches!(least(100.0).unwrap_err(), TackleError::NotEnough { .. }));
}

#[test]
fn at_rest_the_winch_expects_the_mean_pull_by_the_velocity_ratio() {
    // Half of 2000 N and 800 N together; by work a third of it at a 3:1, whatever the redirects lose.
    let route = Route::new(layout(), pulley(0.9)).with_after(&[redirect(0.8, 120.0)]).unwrap();
    let pull = LoadPull::new(n(2000.0), n(800.0)).unwrap();
    for (usual, share) in [(UsualRatio::OneToOne, 1.0), (UsualRatio::ThreeToOne, 3.0)] {
        let rest = route.haul(Usual::new(usual)).unwrap().forces(pull).unwrap().at_rest;
        assert!((rest.expected.value - 1400.0 / share).abs() < 1e-10, "{rest:?}");
    }
}

#[test]
fn a_load_that_would_not_slide_leaves_the_rope_slack() {
    // 20° with μ = 0.5: tan 20° = 0.364.
    let slope = |deg: f64| {
        SlopeLoad::new(n(2500.0), Angle::new::<degree>(deg), Ratio::new::<ratio>(0.5))
            .unwrap()
            .pull()
            .unwrap()
    };
    let haul = Route::new(layout(), pulley(0.9)).haul(Usual::new(UsualRatio::TwoToOne)).unwrap();
    let gentle = haul.forces(slope(20.0).into()).unwrap();
    assert_eq!((gentle.lowering, gentle.at_rest.low), (n(0.0), n(0.0)));
    assert!((gentle.hauling.value - slope(20.0).up.value / 1.9).abs() < 1e-9);
    assert!(haul.forces(slope(50.0).into()).unwrap().lowering.value > 0.0);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(100))]

    #[test]
    fn at_rest_the_winch_force_lies_between_lowering_and_hauling(
        efficiencies in prop::collection::vec((0.5..1.0, 0.0..180.0), 1..6),
        own in 0.5..1.0,
        up in 1.0..1e5,
        less in 0.0..1.0,
    ) {
        let redirects: Vec<_> = efficiencies.iter().map(|(e, a)| redirect(*e, *a)).collect();
        let route = Route::new(layout(), pulley(own)).with_after(&redirects).unwrap();
        for usual in Usual::all() {
            let haul = route.haul(usual).unwrap();
            let forces = haul.forces(LoadPull::new(n(up), n(up * less)).unwrap()).unwrap();
            let ideal = up / haul.tackle().velocity_ratio().value;
            prop_assert!(forces.lowering.value <= ideal * (1.0 + 1e-12));
            prop_assert!(forces.hauling.value >= ideal * (1.0 - 1e-12));
        }
    }

    #[test]
    fn a_haul_without_friction_conserves_work(angles in prop::collection::vec(0.0..180.0, 0..8), up in 1.0..1e5) {
        let redirects: Vec<_> = angles.iter().map(|angle| redirect(1.0, *angle)).collect();
        let (before, after) = redirects.split_at(redirects.len() / 2);
        let route = Route::new(layout(), Turn::FRICTIONLESS).with_before(before).unwrap();
        let route = route.with_after(after).unwrap();
        let speed = Velocity::new::<meter_per_second>(0.3);
        for usual in Usual::all() {
            let haul = route.haul(usual).unwrap();
            let forces = haul.forces(LoadPull::steady(n(up)).unwrap()).unwrap();
            // Power in by power out.
            let load_speed = haul.load_speed(speed).unwrap().value;
            prop_assert!((forces.hauling.value * speed.value / (up * load_speed) - 1.0).abs() < 1e-12);
            prop_assert!((forces.lowering.value / forces.hauling.value - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn more_friction_never_helps_hauling_nor_hinders_lowering(
        efficiencies in prop::collection::vec((0.5..1.0, 0.0..180.0), 1..6),
        worse in 0.5..1.0,
        which in 0_usize..6,
        frictions in (0.0..0.5, 0.0..0.5),
        more in 1.0..2.0,
        own in 0.6..1.0,
    ) {
        let share = |x: f64| Ratio::new::<ratio>(x);
        let edge = |by: f64| {
            let bar = Turn::bar(share(frictions.0 * by), share(frictions.1 * by)).unwrap();
            HaulRedirect::new(bar, Angle::new::<degree>(60.0)).unwrap()
        };
        let winch = |redirects: &[HaulRedirect], edge: HaulRedirect, own: f64, usual: Usual| {
            let route = Route::new(layout(), pulley(own)).with_before(&[edge]).unwrap();
            let haul = route.with_after(redirects).unwrap().haul(usual).unwrap();
            haul.forces(LoadPull::steady(n(1000.0)).unwrap()).unwrap()
        };
        let as_it_is: Vec<_> = efficiencies.iter().map(|(e, a)| redirect(*e, *a)).collect();
        let mut rougher = as_it_is.clone();
        let at = which % rougher.len();
        rougher[at] = redirect(efficiencies[at].0 * worse, efficiencies[at].1);
        for usual in Usual::all() {
            let before = winch(&as_it_is, edge(1.0), own, usual);
            for after in [
                winch(&rougher, edge(1.0), own, usual),
                winch(&as_it_is, edge(more), own, usual),
                winch(&as_it_is, edge(1.0), own * worse, usual),
            ] {
                prop_assert!(after.hauling.value >= before.hauling.value * (1.0 - 1e-12));
                prop_assert!(after.lowering.value <= before.lowering.value * (1.0 + 1e-12));
            }
        }
    }

    #[test]
    fn the_forces_on_an_isolated_redirect_sum_to_zero(efficiency in 0.5..1.0, angle in 0.0..180.0_f64, up in 1.0..1e5) {
        let route = Route::new(layout(), pulley(0.9)).with_before(&[redirect(efficiency, angle)]).unwrap();
        let haul = route.haul(Usual::new(UsualRatio::OneToOne)).unwrap();
        let pull = LoadPull::steady(n(up)).unwrap();
        let (forces, on) = (haul.forces(pull).unwrap(), haul.redirects(pull).unwrap().next().unwrap());
        // The rope comes in along x with the pull, and leaves turned by the angle with what the winch has.
        for (behind, on) in [(forces.hauling.value, on.hauling.value), (forces.lowering.value, on.lowering.value)] {
            let turn = angle.to_radians();
            let rope = (-up + behind * turn.cos(), behind * turn.sin());
            prop_assert!((rope.0.hypot(rope.1) - on).abs() <= 1e-12 * (up + behind));
        }
    }
}

#[test]
fn bad_input_is_refused_by_name() {
    for bad in [-1.0, f64::NAN, f64::INFINITY] {
        assert!(LoadPull::steady(n(bad)).is_err());
        assert!(HaulRedirect::new(pulley(0.9), Angle::new::<degree>(bad)).is_err());
    }
    assert!(LoadPull::new(n(1.0), n(2.0)).unwrap_err().to_string().contains("pull_lowering is 2 N"));
    assert!(HaulRedirect::new(pulley(0.9), Angle::new::<degree>(181.0)).is_err());
    let many = vec![redirect(0.9, 90.0); MAX_REDIRECTS + 1];
    assert!(matches!(
        Route::new(layout(), pulley(0.9)).with_after(&many).unwrap_err(),
        TackleError::TooMany { .. }
    ));
    let haul = Route::new(layout(), pulley(0.9)).haul(Usual::new(UsualRatio::ThreeToOne)).unwrap();
    let speed = Velocity::new::<meter_per_second>;
    assert!(haul.load_speed(speed(f64::NAN)).is_err());
    assert!(haul.journey(&CyclePlan::new(m(5.0)).unwrap(), speed(0.0)).is_err());
    let route = Route::new(layout(), pulley(0.9));
    assert!(
        route.least_advantage(LoadPull::steady(n(1.0)).unwrap(), n(0.0), UsualForm::Direct, false).is_err()
    );
}
