//! A motor's heat through C: the same bits as in Rust.

use super::winch::{amperes, celsius, milliohms, plain, seconds};
use rope_checks::{assert_same_bits, numbers_from_c};
use rope_mechanics::quantity::unit::watt;
use rope_mechanics::quantity::{Power, TemperatureInterval};
use rope_mechanics::winch::{Heating, OneNode, Temperatures, TwoNode};

#[test]
fn c_and_rust_agree_on_the_heat_of_a_motor() {
    let c = numbers_from_c("winch_heat.c");
    let nodes = TwoNode::new(plain(400.0), plain(4000.0), plain(0.2), plain(0.5)).unwrap();
    let cold = Temperatures { winding: celsius(20.0), case: celsius(20.0) };
    let idle = Power::new::<watt>(30.0);
    let by = |a| Heating { current: amperes(a), winding: milliohms(20.0), idle, air: celsius(20.0) };
    let minute = seconds(60.0);
    let warm = nodes.after(cold, by(120.0), minute).unwrap();
    assert_same_bits!(c, "warm_winding", warm.winding.value);
    assert_same_bits!(c, "warm_case", warm.case.value);
    assert_same_bits!(c, "to_limit", nodes.time_to(cold, by(120.0), celsius(155.0)).unwrap().unwrap().value);
    let cycle = nodes.duty_cycle(by(120.0), minute, minute).unwrap();
    assert_same_bits!(c, "duty_hottest", cycle.after_pull.winding.value);
    assert_same_bits!(c, "duty_hottest_case", cycle.after_pull.case.value);
    assert_same_bits!(c, "duty_coolest", cycle.after_rest.winding.value);
    assert_same_bits!(c, "duty_coolest_case", cycle.after_rest.case.value);
    let settled = nodes.settles_at(by(80.0)).unwrap().unwrap();
    assert_same_bits!(c, "settled_winding", settled.winding.value);
    assert_same_bits!(c, "settled_case", settled.case.value);

    let kelvin = |x| -> TemperatureInterval { plain(x) };
    let lump = OneNode::new(amperes(60.0), kelvin(80.0), seconds(1200.0)).unwrap();
    let air = celsius(20.0).value;
    let rise = lump.rise_after(kelvin(0.0), amperes(120.0), minute).unwrap();
    assert_same_bits!(c, "lump", air + rise.value);
    let limit = kelvin(celsius(155.0).value - air);
    let to_limit = lump.time_to(kelvin(0.0), amperes(120.0), limit).unwrap().unwrap();
    assert_same_bits!(c, "lump_to_limit", to_limit.value);
    let cycle = lump.duty_cycle(amperes(120.0), minute, minute).unwrap();
    assert_same_bits!(c, "lump_hottest", air + cycle.hottest.value);
    assert_same_bits!(c, "lump_coolest", air + cycle.coolest.value);
    assert_same_bits!(c, "lump_settled", air + lump.lasting_rise(amperes(120.0)).unwrap().value);
    assert_same_bits!(c, "squared_time", lump.current_squared_time().value);
    assert_same_bits!(c, "lasting_share", lump.lasting_share(amperes(120.0)).unwrap().value);
}
