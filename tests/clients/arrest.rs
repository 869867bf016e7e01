//! Falls, slip, sudden stops and hand-overs.

use rope_checks::{assert_same_bits, numbers_from_c};
use rope_mechanics::arrest::{
    Fall, Holding, SlipDevice, SuddenStop, hand_over, step_factor, stiffness_from_drop_test,
};
use rope_mechanics::quantity::unit::{meter, meter_per_second, newton, ratio};
use rope_mechanics::quantity::{Force, Length, Ratio, Velocity};
use rope_mechanics::rope::Stretch;

#[test]
fn c_and_rust_agree_on_an_arrest() {
    let c = numbers_from_c("arrest.c");
    let (n, m, r) = (Force::new::<newton>, Length::new::<meter>, Ratio::new::<ratio>);
    let stretch = Stretch::stiffening(n(60e3), n(150e3)).unwrap();
    let fall = Fall::new(n(2745.9), m(0.5), m(3.0), stretch).unwrap();
    let fall = fall.with_slack(m(0.25)).unwrap().with_reaction(m(0.3)).unwrap();
    let arrest = fall.arrest().unwrap();
    assert_same_bits!(c, "peak", arrest.peak_force.value);
    assert_same_bits!(c, "drop", arrest.total_drop.value);
    assert_same_bits!(c, "speed", arrest.speed.value);
    let device = SlipDevice::new(n(9e3)).unwrap();
    assert_same_bits!(c, "slip", fall.with_slip(device).arrest().unwrap().slip.value);
    let bottomed = fall.with_slip(device.with_travel(m(0.01)).unwrap()).arrest().unwrap();
    assert_same_bits!(c, "bottomed", bottomed.peak_force.value);
    assert_same_bits!(c, "stop", bottomed.stopping_distance.value);

    let lanyard = Stretch::stiffening(n(60e3), n(900e3)).unwrap();
    let both = fall.with_in_series(lanyard, m(0.5)).unwrap();
    assert_same_bits!(c, "with_lanyard", both.arrest().unwrap().peak_force.value);
    assert_same_bits!(c, "with_lanyard_elongation", both.arrest().unwrap().elongation.value);
    assert_same_bits!(c, "factor", both.factor().value);

    let speed = Velocity::new::<meter_per_second>(0.8);
    let sudden = SuddenStop::new(n(2745.9), speed, m(3.0), stretch).unwrap();
    assert_same_bits!(c, "sudden", sudden.arrest().unwrap().peak_force.value);
    let sudden = sudden.with_in_series(lanyard, m(0.5)).unwrap().with_in_series(lanyard, m(1.5)).unwrap();
    let sudden = sudden.arrest().unwrap();
    assert_same_bits!(c, "sudden_with_lanyards", sudden.peak_force.value);
    assert_same_bits!(c, "sudden_with_lanyards_stop", sudden.stopping_distance.value);
    assert_same_bits!(c, "step", step_factor(r(0.08)).unwrap().value);
    let stiffness = stiffness_from_drop_test(n(9e3), n(784.8), r(1.77)).unwrap();
    assert_same_bits!(c, "stiffness", stiffness.value);

    let belay = Holding::slack(Stretch::linear(n(80e3)).unwrap(), m(40.0), m(0.5)).unwrap();
    let tag = Holding::taut(Stretch::stiffening(n(20e3), n(100e3)).unwrap(), m(60.0), n(300.0)).unwrap();
    let after = hand_over(n(1363.0), &[belay, tag]).unwrap();
    assert_same_bits!(c, "travel", after.peak_travel.value);
    assert_same_bits!(c, "share_0", after.peak[0].value);
    assert_same_bits!(c, "share_1", after.rest[1].value);
    let belay = belay.with_in_series(lanyard, m(0.5)).unwrap().with_in_series(lanyard, m(1.5)).unwrap();
    let after = hand_over(n(1363.0), &[belay, tag.with_in_series(lanyard, m(2.5)).unwrap()]).unwrap();
    assert_same_bits!(c, "travel_in_series", after.peak_travel.value);
    assert_same_bits!(c, "share_0_in_series", after.peak[0].value);
    assert_same_bits!(c, "share_1_in_series", after.rest[1].value);
}
