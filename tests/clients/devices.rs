//! Capstan, hand, strength and slope.

use rope_checks::{assert_same_bits, numbers_from_c};
use rope_mechanics::capstan::{Capstan, Grip, Hand, RaiseLowerTest};
use rope_mechanics::quantity::unit::{meter, newton, radian, ratio};
use rope_mechanics::quantity::{Angle, Force, Length, Ratio};
use rope_mechanics::slope::{Lowering, SlopeClass, SlopeClasses, SlopeLoad, ground_drag};
use rope_mechanics::strength::{Component, ComponentKind, Reduction, reduced_strength, weakest_link};

fn n(x: f64) -> Force {
    Force::new::<newton>(x)
}

fn percent(x: f64) -> Ratio {
    Ratio::new::<ratio>(x * 1e-2)
}

fn deg(x: f64) -> Angle {
    Angle::new::<radian>(x * 0.017453292519943295)
}

#[test]
fn c_and_rust_agree_on_the_small_devices() {
    let c = numbers_from_c("devices.c");

    let drum = Capstan::new(percent(10.0), percent(30.0)).unwrap();
    let tail = drum.tail(n(2670.0), deg(1080.0)).unwrap();
    assert_same_bits!(c, "tail_low", tail.low.value);
    assert_same_bits!(c, "tail_high", tail.high.value);
    for held in [46.0, 209.0, 425.0, 426.0] {
        let hand = match Hand::that_holds(n(held)).unwrap() {
            Hand::Everybody => 1.0,
            Hand::Average => 2.0,
            Hand::Strongest => 3.0,
            Hand::Nobody => 4.0,
        };
        assert_same_bits!(c, &format!("hand_{held}"), hand);
    }
    assert_same_bits!(c, "needed", drum.turns_to_hold(n(2670.0), n(209.0)).unwrap().wrap.value);
    let grooved = drum.with_groove(deg(60.0)).unwrap();
    assert_same_bits!(c, "grooved_high", grooved.load(n(209.0), deg(1080.0)).unwrap().high.value);
    let test = RaiseLowerTest::new(n(98.0), n(50.0), deg(1080.0)).unwrap();
    assert_same_bits!(c, "friction", test.friction().value);
    let (raising, lowering) = test.frictions(n(70.0)).unwrap();
    assert_same_bits!(c, "friction_raising", raising.value);
    assert_same_bits!(c, "friction_lowering", lowering.value);
    let smooth = Capstan::DRUM.load(n(209.0), deg(1080.0)).unwrap();
    assert_same_bits!(c, "smooth_low", smooth.low.value);
    assert_same_bits!(c, "smooth_high", smooth.high.value);
    for tail in [500.0, 100.0, 5.0] {
        let grip = match drum.grip(n(2670.0), n(tail), deg(1080.0)).unwrap() {
            Grip::Holds => 1.0,
            Grip::Uncertain => 2.0,
            Grip::Slips => 3.0,
        };
        assert_same_bits!(c, &format!("grip_{tail}"), grip);
    }

    let mm = |x: f64| Length::new::<meter>(x * 1e-3);
    let bend = Reduction::bend(mm(50.0), mm(11.0)).unwrap();
    assert_same_bits!(c, "bend", bend.factor().value);
    assert_same_bits!(c, "knot", Reduction::KNOT.factor().value);
    assert_same_bits!(c, "wet", Reduction::WET_NYLON.factor().value);
    let all = [bend, Reduction::KNOT, Reduction::WET_NYLON];
    assert_same_bits!(c, "left", reduced_strength(n(40e3), &all).unwrap().strength.value);
    let part =
        |strength, load| Component::new(ComponentKind::Other, n(strength * 1e3), n(load * 1e3)).unwrap();
    let link = weakest_link(&[part(28.0, 2.4), part(40.0, 4.8), part(1.0, 0.0)]).unwrap();
    assert_same_bits!(c, "weakest_place", link.index as f64);
    assert_same_bits!(c, "weakest", link.safety_factor.value);

    let bank = SlopeLoad::new(n(2451.6625), deg(35.0), percent(30.0)).unwrap().pull().unwrap();
    assert_same_bits!(c, "up", bank.up.value);
    let Lowering::Held(down) = bank.down else { panic!("a litter on 35° slides") };
    assert_same_bits!(c, "down", down.value);
    let gentle = SlopeLoad::new(n(2451.6625), deg(10.0), percent(30.0))
        .unwrap()
        .with_rope_angle(deg(15.0))
        .unwrap()
        .with_carried_share(percent(25.0))
        .unwrap()
        .with_attendants(n(1600.0), percent(10.0))
        .unwrap()
        .pull()
        .unwrap();
    let Lowering::Slack { push } = gentle.down else { panic!("a litter on 10° stays") };
    assert_same_bits!(c, "push", push.value);
    assert_same_bits!(c, "rest_high", gentle.at_rest.high.value);
    let drag = ground_drag(n(2451.6625), percent(25.0), deg(10.0), percent(30.0)).unwrap();
    assert_same_bits!(c, "drag", drag.value);
    let own = SlopeClasses::new(deg(10.0), deg(20.0), deg(30.0)).unwrap();
    for slope in [5.0, 15.0, 25.0, 35.0, 55.0] {
        let class = |of: SlopeClasses| match of.class(deg(slope)).unwrap() {
            SlopeClass::Flat => 1.0,
            SlopeClass::Low => 2.0,
            SlopeClass::Steep => 3.0,
            SlopeClass::High => 4.0,
        };
        assert_same_bits!(c, &format!("usual_{slope}"), class(SlopeClasses::EARLY));
        assert_same_bits!(c, &format!("own_{slope}"), class(own));
    }
}
