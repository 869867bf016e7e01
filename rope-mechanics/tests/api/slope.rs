//! A load on a slope.

use proptest::prelude::*;
use rope_mechanics::quantity::unit::{degree, newton, radian, ratio};
use rope_mechanics::quantity::{Angle, Force, Ratio};
use rope_mechanics::slope::{Lowering, SlopeClass, SlopeClasses, SlopeError, SlopeLoad, ground_drag};

fn n(x: f64) -> Force {
    Force::new::<newton>(x)
}

fn r(x: f64) -> Ratio {
    Ratio::new::<ratio>(x)
}

fn deg(x: f64) -> Angle {
    Angle::new::<degree>(x)
}

fn load(slope: f64, friction: f64) -> SlopeLoad {
    SlopeLoad::new(n(1000.0), deg(slope), r(friction)).unwrap()
}

#[test]
fn a_litter_on_rough_gentle_ground_stays_and_the_rope_goes_slack() {
    let pull = load(10.0, 0.4).pull().unwrap();
    let expected = 1000.0 * (0.4 * 10.0_f64.to_radians().cos() - 10.0_f64.to_radians().sin());
    assert!(matches!(pull.down, Lowering::Slack { push } if (push.value - expected).abs() < 1e-10));
    assert_eq!(pull.at_rest.low, n(0.0));
    assert_eq!(pull.at_rest.high, pull.up);
}

#[test]
fn on_a_cliff_the_rope_holds_the_weight() {
    let pull = load(90.0, 0.5).pull().unwrap();
    assert!((pull.up.value - 1000.0).abs() < 1e-9);
    assert!(matches!(pull.down, Lowering::Held(force) if (force.value - 1000.0).abs() < 1e-9));
}

#[test]
fn on_the_level_without_friction_nothing_pulls() {
    let pull = load(0.0, 0.0).pull().unwrap();
    assert_eq!((pull.up, pull.down), (n(0.0), Lowering::Held(n(0.0))));
}

#[test]
fn a_rope_at_the_angle_of_friction_pulls_least() {
    let friction: f64 = 0.4;
    let best = friction.atan().to_degrees();
    let up = |angle: f64| load(20.0, friction).with_rope_angle(deg(angle)).unwrap().pull().unwrap().up;
    assert!(up(best) < up(best - 1.0) && up(best) < up(best + 1.0));
    // P = W·sin(θ + φ) there.
    assert!((up(best).value - 1000.0 * (20.0 + best).to_radians().sin()).abs() < 1e-9);
}

#[test]
fn a_rope_that_rises_beyond_the_plumb_line_lifts_the_load() {
    let slope = 35.0;
    let plumb = load(slope, 0.3).with_rope_angle(deg(55.0)).unwrap().pull().unwrap();
    assert!((plumb.up.value - 1000.0).abs() < 1e-9, "a plumb rope holds the weight");
    let error = load(slope, 0.3).with_rope_angle(deg(56.0)).unwrap().pull().unwrap_err();
    assert!(
        matches!(error, SlopeError::LiftsOff { lifts_from, .. } if (lifts_from.to_degrees() - 55.0).abs() < 1e-9)
    );
}

#[test]
fn a_rope_just_beyond_the_plumb_line_lifts_a_load_of_any_weight() {
    // By 0.01° beyond it 1000 N leave the ground with 0.17 N, and 1 N with as large a share of itself.
    for weight in [1.0, 1000.0, 1e6] {
        let at = |angle: f64| {
            let load = SlopeLoad::new(n(weight), deg(35.0), r(0.3)).unwrap();
            load.with_rope_angle(deg(angle)).unwrap().pull()
        };
        assert!(at(54.99).is_ok());
        assert!(matches!(at(55.01), Err(SlopeError::LiftsOff { .. })), "{weight}");
    }
    // What attendants carry whole does not press on the ground, and no rope lifts it.
    let carried = load(35.0, 0.3).with_rope_angle(deg(80.0)).unwrap().with_carried_share(r(1.0)).unwrap();
    assert_eq!(carried.pull().unwrap().up, n(0.0));
}

#[test]
fn at_rest_the_pull_is_expected_as_without_friction() {
    // G/cos δ, from the balance along the slope: 1000·sin 30°/cos 20°.
    let rest = load(30.0, 0.4).with_rope_angle(deg(20.0)).unwrap().pull().unwrap().at_rest;
    assert!((rest.expected.value - 500.0 / 20.0_f64.to_radians().cos()).abs() < 1e-10, "{rest:?}");
    assert!(rest.low < rest.expected && rest.expected < rest.high);
    // Square to the slope it pulls a load that nothing moves by nothing.
    let square = load(0.0, 0.3).with_rope_angle(deg(90.0)).unwrap().with_carried_share(r(1.0)).unwrap();
    assert_eq!(square.pull().unwrap().at_rest.expected, n(0.0));
}

#[test]
fn a_rope_that_presses_down_jams_the_load() {
    let error = load(5.0, 1.0).with_rope_angle(deg(-46.0)).unwrap().pull().unwrap_err();
    assert!(matches!(error, SlopeError::Jams { jams_at, .. } if (jams_at.to_degrees() + 45.0).abs() < 1e-9));
    assert!(load(5.0, 1.0).with_rope_angle(deg(-44.0)).unwrap().pull().is_ok());
}

#[test]
fn attendants_who_carry_half_halve_the_pull_and_those_who_lean_add_theirs() {
    let alone = load(30.0, 0.3).pull().unwrap().up.value;
    let half = load(30.0, 0.3).with_carried_share(r(0.5)).unwrap();
    assert!((half.pull().unwrap().up.value - 0.5 * alone).abs() < 1e-10);
    let leaning = half.with_attendants(n(1600.0), r(0.25)).unwrap().pull().unwrap();
    assert!((leaning.up.value - 0.5 * alone - 200.0).abs() < 1e-9);
    let carried = load(30.0, 0.3).with_carried_share(r(1.0)).unwrap().pull().unwrap();
    assert_eq!((carried.up, carried.down), (n(0.0), Lowering::Held(n(0.0))));
}

#[test]
fn the_ground_drags_by_the_share_it_carries() {
    assert_eq!(ground_drag(n(1000.0), r(0.0), deg(20.0), r(0.4)).unwrap(), n(0.0));
    let whole = ground_drag(n(1000.0), r(1.0), deg(20.0), r(0.4)).unwrap();
    let half_difference = 0.5
        * (load(20.0, 0.4).pull().unwrap().up.value
            + match load(20.0, 0.4).pull().unwrap().down {
                Lowering::Held(force) => -force.value,
                Lowering::Slack { push } => push.value,
            });
    assert!((whole.value - half_difference).abs() < 1e-10);
}

#[test]
fn classes_are_where_they_are_set() {
    let classes = SlopeClasses::new(deg(10.0), deg(20.0), deg(40.0)).unwrap();
    let got = [0.0, 9.9, 10.0, 19.9, 20.0, 39.9, 40.0, 90.0].map(|slope| classes.class(deg(slope)).unwrap());
    use SlopeClass::{Flat, High, Low, Steep};
    assert_eq!(got, [Flat, Flat, Low, Low, Steep, Steep, High, High]);
    assert_eq!(SlopeClasses::default(), SlopeClasses::EARLY);
    assert!(SlopeClasses::new(deg(20.0), deg(10.0), deg(40.0)).is_err());
    assert!(SlopeClasses::new(deg(10.0), deg(20.0), deg(91.0)).is_err());
}

#[test]
fn bad_input_names_itself() {
    for x in [f64::NAN, f64::INFINITY, -2.0, 1e300] {
        assert_eq!(SlopeLoad::new(n(x), deg(1.0), r(0.1)).unwrap_err().field, "weight");
        assert_eq!(SlopeLoad::new(n(1.0), Angle::new::<radian>(x), r(0.1)).unwrap_err().field, "slope");
        assert_eq!(SlopeLoad::new(n(1.0), deg(1.0), r(x)).unwrap_err().field, "friction");
        let one = load(10.0, 0.1);
        assert_eq!(one.with_rope_angle(Angle::new::<radian>(x)).unwrap_err().field, "rope_angle");
        assert_eq!(one.with_carried_share(r(x)).unwrap_err().field, "carried_share");
        assert_eq!(one.with_attendants(n(x), r(0.5)).unwrap_err().field, "attendants");
        assert_eq!(one.with_attendants(n(1.0), r(x)).unwrap_err().field, "leaning");
        assert_eq!(ground_drag(n(1.0), r(x), deg(1.0), r(0.1)).unwrap_err().field, "ground_share");
        assert_eq!(SlopeClasses::EARLY.class(Angle::new::<radian>(x)).unwrap_err().field, "slope");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    #[test]
    fn the_forces_on_the_load_balance_and_the_ground_only_pushes(
        slope in 0.0..90.0_f64, friction in 0.0..1.5_f64, rope in -60.0..80.0_f64,
    ) {
        let load = load(slope, friction).with_rope_angle(deg(rope)).unwrap();
        let Ok(pull) = load.pull() else { return Ok(()) };
        let (slope, rope) = (slope.to_radians(), rope.to_radians());
        let balance = |pull: f64, sign: f64| {
            let pressing = 1000.0 * slope.cos() - pull * rope.sin();
            (pressing, pull * rope.cos() - 1000.0 * slope.sin() - sign * friction * pressing)
        };
        let up = pull.up.value;
        let (pressing, rest) = balance(up, 1.0);
        prop_assert!(pressing >= -1e-9 * (1000.0 + up), "{pressing}");
        prop_assert!(rest.abs() <= 1e-11 * (1000.0 + up) * (1.0 + friction), "{rest}");
        if let Lowering::Held(force) = pull.down {
            let (pressing, rest) = balance(force.value, -1.0);
            prop_assert!(pressing >= -1e-9 * 1000.0);
            // Where cos δ − μ sin δ is nearly zero, so is the ground's share; its rounding stays.
            prop_assert!(rest.abs() <= 1e-9 * 1000.0, "{rest}");
            prop_assert!(force.value <= up * (1.0 + 1e-12) + 1e-12);
        }
        prop_assert!(pull.at_rest.low <= pull.at_rest.high);
    }

    /// With a rope that doesn't rise beyond the plumb line, which would lift the load.
    #[test]
    fn more_friction_never_helps_hauling_nor_hinders_lowering(
        slope in 0.0..85.0_f64, friction in 0.0..1.5_f64, more in 0.0..0.5_f64, rope in -10.0..80.0_f64,
    ) {
        let at = |friction: f64| {
            load(slope, friction).with_rope_angle(deg(rope.min(90.0 - slope))).unwrap().pull()
        };
        let (Ok(before), Ok(after)) = (at(friction), at(friction + more)) else { return Ok(()) };
        prop_assert!(after.up.value >= before.up.value * (1.0 - 1e-12));
        let held = |down| match down {
            Lowering::Held(force) => force.value,
            Lowering::Slack { .. } => 0.0,
        };
        prop_assert!(held(after.down) <= held(before.down) * (1.0 + 1e-12) + 1e-12);
    }
}
