//! Rope wrapped on a capstan.

use proptest::prelude::*;
use rope_mechanics::capstan::{Capstan, Grip, Hand, RaiseLowerTest};
use rope_mechanics::quantity::unit::{degree, newton, radian, ratio, revolution};
use rope_mechanics::quantity::{Angle, Force, Ratio};
use rope_mechanics::sheave::Turn;

fn n(x: f64) -> Force {
    Force::new::<newton>(x)
}

fn r(x: f64) -> Ratio {
    Ratio::new::<ratio>(x)
}

fn turns(x: f64) -> Angle {
    Angle::new::<revolution>(x)
}

#[test]
fn a_groove_wedges_the_rope() {
    let flat = Capstan::new(r(0.1), r(0.2)).unwrap();
    let groove = flat.with_groove(Angle::new::<degree>(60.0)).unwrap();
    let twice = Capstan::new(r(0.2), r(0.4)).unwrap();
    let (a, b) = (groove.tail(n(1e3), turns(1.0)).unwrap(), twice.tail(n(1e3), turns(1.0)).unwrap());
    assert!(((a.low / b.low).value - 1.0).abs() < 1e-14 && ((a.high / b.high).value - 1.0).abs() < 1e-14);
    // Twice the friction, half the wrap: ln(10)/(2·0.1).
    let needed = groove.turns_to_hold(n(1e3), n(100.0)).unwrap();
    assert!((needed.wrap.value - 10.0_f64.ln() / 0.2).abs() < 1e-12);
    assert_eq!(needed.whole, 2);
    let open = flat.with_groove(Angle::new::<degree>(180.0)).unwrap();
    assert_eq!(open.tail(n(1e3), turns(1.0)).unwrap(), flat.tail(n(1e3), turns(1.0)).unwrap());
}

#[test]
fn without_a_wrap_the_hand_holds_everything() {
    let tail = Capstan::DRUM.tail(n(700.0), turns(0.0)).unwrap();
    assert_eq!((tail.low, tail.high), (n(700.0), n(700.0)));
    assert_eq!(Capstan::DRUM.turns_to_hold(n(100.0), n(200.0)).unwrap().whole, 0);
}

#[test]
fn a_tail_and_a_load_are_expected_at_the_mean_of_both_coefficients() {
    // Two turns at (0.1 + 0.3)/2: e^(0.2·4π).
    let mean = (0.8 * core::f64::consts::PI).exp();
    let tail = Capstan::DRUM.tail(n(2000.0), turns(2.0)).unwrap().expected.value;
    let load = Capstan::DRUM.load(n(50.0), turns(2.0)).unwrap().expected.value;
    assert!((tail * mean / 2000.0 - 1.0).abs() < 1e-14, "{tail}");
    assert!((load / (50.0 * mean) - 1.0).abs() < 1e-14, "{load}");
}

#[test]
fn a_grip_is_certain_only_outside_the_band_of_friction() {
    let tail = Capstan::DRUM.tail(n(2670.0), turns(3.0)).unwrap();
    let grip = |t: f64| Capstan::DRUM.grip(n(2670.0), n(t), turns(3.0)).unwrap();
    assert_eq!(grip(tail.high.value), Grip::Holds);
    assert_eq!(grip(tail.high.value * 0.99), Grip::Uncertain);
    assert_eq!(grip(tail.low.value * 1.01), Grip::Uncertain);
    assert_eq!(grip(tail.low.value * 0.99), Grip::Slips);
}

#[test]
fn hands_differ() {
    let holds = |t: f64| Hand::that_holds(n(t)).unwrap();
    assert_eq!(
        [46.0, 46.1, 209.0, 209.1, 425.0, 425.1].map(holds),
        [Hand::Everybody, Hand::Average, Hand::Average, Hand::Strongest, Hand::Strongest, Hand::Nobody]
    );
    assert!(Hand::Everybody < Hand::Nobody);
}

#[test]
fn a_test_with_a_known_weight_gives_two_coefficients() {
    let turn = RaiseLowerTest::new(n(98.0), n(50.0), turns(0.25)).unwrap().turn(n(75.0)).unwrap();
    let band = turn.band(turns(0.25)).unwrap();
    assert!((band.high.value - 98.0 / 75.0).abs() < 1e-15);
    assert!((band.low.value - 50.0 / 75.0).abs() < 1e-15);
    let equal = RaiseLowerTest::new(n(75.0), n(75.0), turns(0.25)).unwrap();
    assert_eq!(equal.turn(n(75.0)).unwrap(), Turn::bar(r(0.0), r(0.0)).unwrap());
}

#[test]
fn bad_input_names_itself() {
    for x in [f64::NAN, f64::INFINITY, -1.0, 1e300] {
        assert_eq!(Capstan::DRUM.tail(n(x), turns(1.0)).unwrap_err().field, "load");
        assert_eq!(Capstan::DRUM.tail(n(1.0), Angle::new::<radian>(x)).unwrap_err().field, "wrap");
        assert_eq!(Capstan::DRUM.load(n(x), turns(1.0)).unwrap_err().field, "tail");
        assert_eq!(Capstan::DRUM.grip(n(1.0), n(x), turns(1.0)).unwrap_err().field, "tail");
        assert_eq!(Capstan::DRUM.turns_to_hold(n(1.0), n(x)).unwrap_err().field, "hand");
        assert_eq!(Capstan::DRUM.with_groove(Angle::new::<radian>(x)).unwrap_err().field, "groove");
        assert_eq!(Hand::that_holds(n(x)).unwrap_err().field, "tail");
        assert_eq!(RaiseLowerTest::new(n(x), n(1.0), turns(1.0)).unwrap_err().field, "raising");
        assert_eq!(RaiseLowerTest::new(n(1.0), n(x), turns(1.0)).unwrap_err().field, "lowering");
        assert_eq!(Capstan::new(r(x), r(0.5)).unwrap_err().field.split('_').next(), Some("friction"));
    }
    assert!(Capstan::new(r(0.3), r(0.2)).is_err());
    assert!(RaiseLowerTest::new(n(1.0), n(2.0), turns(1.0)).is_err());
    assert!(RaiseLowerTest::new(n(2.0), n(1.0), turns(0.0)).is_err());
    assert!(RaiseLowerTest::new(n(2.0), n(1.0), turns(1.0)).unwrap().turn(n(3.0)).is_err());
}

#[test]
fn a_hundred_turns_stay_a_number() {
    let capstan = Capstan::new(r(2.0), r(2.0)).unwrap().with_groove(Angle::new::<degree>(10.0)).unwrap();
    assert!(capstan.load(n(1e15), turns(100.0)).unwrap().high.value.is_finite());
    assert!(capstan.tail(n(1e15), turns(100.0)).unwrap().high.value >= 0.0);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn holding_takes_the_low_friction_and_dragging_the_high(
        load in 1.0..1e5_f64, wrap in 0.0..6.0_f64, low in 0.05..0.5_f64, more in 0.0..0.3_f64,
    ) {
        let capstan = Capstan::new(r(low), r(low + more)).unwrap();
        let tail = capstan.tail(n(load), turns(wrap)).unwrap();
        prop_assert!(tail.low <= tail.high && tail.high.value <= load);
        // What holds in any case holds that load, and no more is dragged by the least tail.
        prop_assert!((capstan.load(tail.high, turns(wrap)).unwrap().low.value / load - 1.0).abs() < 1e-13);
        prop_assert!((capstan.load(tail.low, turns(wrap)).unwrap().high.value / load - 1.0).abs() < 1e-13);
    }

    #[test]
    fn the_turns_to_hold_are_enough_and_not_one_too_many(load in 1.0..1e5_f64, hand in 1.0..500.0_f64) {
        let needed = Capstan::DRUM.turns_to_hold(n(load), n(hand)).unwrap();
        let tail = |t: f64| Capstan::DRUM.tail(n(load), turns(t)).unwrap().high.value;
        prop_assert!(tail(f64::from(needed.whole)) <= hand * (1.0 + 1e-13));
        if needed.whole > 0 {
            prop_assert!(tail(f64::from(needed.whole) - 1.0) > hand * (1.0 - 1e-13));
        }
    }
}
