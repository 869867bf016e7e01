//! A haul over the frame with a 3:1 to the winch.

use rope_checks::{assert_same_bits, numbers_from_c};
use rope_mechanics::haul::{HaulRedirect, LoadPull, Route};
use rope_mechanics::quantity::{
    Angle, Force, Length, Ratio, Velocity,
    unit::{meter, meter_per_second, newton, radian, ratio},
};
use rope_mechanics::sheave::Turn;
use rope_mechanics::tackle::{CyclePlan, Layout, Usual, UsualForm, UsualRatio};

#[test]
fn c_and_rust_agree_on_a_haul() {
    let c = numbers_from_c("haul.c");
    let (m, n) = (Length::new::<meter>, Force::new::<newton>);
    let pulley = |percent: f64| Turn::sheave(Ratio::new::<ratio>(percent * 1e-2)).unwrap();
    let redirect = |percent: f64, deg: f64| {
        HaulRedirect::new(pulley(percent), Angle::new::<radian>(deg * 0.017453292519943295)).unwrap()
    };
    let layout = Layout::new(m(60.0), m(8.0)).unwrap().with_hand(m(3.0)).unwrap();
    let route = Route::new(layout, pulley(90.0)).with_before(&[redirect(85.0, 50.0)]).unwrap();
    let route = route.with_after(&[redirect(90.0, 90.0)]).unwrap();
    let haul = route.haul(Usual::new(UsualRatio::ThreeToOne)).unwrap();
    let pull = LoadPull::new(n(2009.0), n(804.0)).unwrap();
    let forces = haul.forces(pull).unwrap();
    assert_same_bits!(c, "hauling", forces.hauling.value);
    assert_same_bits!(c, "lowering", forces.lowering.value);
    assert_same_bits!(c, "highest", forces.highest.value);
    assert_same_bits!(c, "anchor", forces.anchor.value);
    let plan =
        CyclePlan::new(m(20.0)).unwrap().with_clearance(m(0.5)).unwrap().with_setback(m(0.05)).unwrap();
    let journey = haul.journey(&plan, Velocity::new::<meter_per_second>(0.3)).unwrap();
    assert_same_bits!(c, "load_speed", journey.load_speed.value);
    assert_same_bits!(c, "pulling", journey.pulling.value);
    assert_same_bits!(c, "rope", journey.cycle.rope.value);
    let on: Vec<_> = haul.redirects(pull).unwrap().collect();
    assert_same_bits!(c, "on_the_frame", on[0].hauling.value);
    assert_same_bits!(c, "at_the_winch_lowering", on[1].lowering.value);
    let edge = Turn::bar(Ratio::new::<ratio>(44.0 * 1e-2), Ratio::new::<ratio>(30.0 * 1e-2)).unwrap();
    let edge = HaulRedirect::new(edge, Angle::new::<radian>(35.0 * 0.017453292519943295)).unwrap();
    let straight = HaulRedirect::new(Turn::FRICTIONLESS, Angle::new::<radian>(0.0)).unwrap();
    let over_edge = Route::new(layout, pulley(90.0)).with_before(&[edge]).unwrap();
    let haul = over_edge.with_after(&[straight]).unwrap().haul(Usual::new(UsualRatio::ThreeToOne)).unwrap();
    let forces = haul.forces(pull).unwrap();
    assert_same_bits!(c, "over_an_edge_hauling", forces.hauling.value);
    assert_same_bits!(c, "over_an_edge_lowering", forces.lowering.value);
    assert_same_bits!(c, "on_the_edge", haul.redirects(pull).unwrap().next().unwrap().hauling.value);
    let two = route.least_advantage(pull, n(1500.0), UsualForm::Direct, false).unwrap();
    assert_same_bits!(c, "with_a_2:1", two.forces.hauling.value);
}
