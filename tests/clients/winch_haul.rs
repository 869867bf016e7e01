//! Battery and whole haul through C: the same bits as in Rust.

use super::winch::{amperes, celsius, force, milliohms, plain, seconds, share, volts, winch};
use rope_checks::{assert_same_bits, numbers_from_c};
use rope_mechanics::quantity::unit::{ampere_hour, hour, meter, meter_per_second, pound_force};
use rope_mechanics::quantity::{ElectricCharge, Force, Length, Time, Velocity};
use rope_mechanics::winch::{
    Battery, Extent, HaulCycle, HaulStep, LEAD_ACID_OPEN_CIRCUIT, Peukert, TableRow, TableWinch,
    Temperatures, TwoNode,
};

fn peukert(exponent: f64) -> Peukert {
    let (capacity, rated) = (ElectricCharge::new::<ampere_hour>(60.0), Time::new::<hour>(20.0));
    Peukert::new(capacity, rated, share(exponent)).unwrap()
}

fn haul(metres: f64) -> HaulStep {
    HaulStep::haul(force(2000.0), Extent::Distance(Length::new::<meter>(metres)))
}

#[test]
fn c_and_rust_agree_on_a_battery_and_a_haul() {
    let c = numbers_from_c("winch_haul.c");
    assert_same_bits!(c, "lasts", peukert(1.2).time(amperes(100.0)).unwrap().value);
    assert_same_bits!(c, "usable", peukert(1.2).usable_share(amperes(100.0)).unwrap().value);

    let curve = [(share(0.0), volts(11.6)), (share(1.0), volts(12.7))];
    let cold = [(celsius(-20.0), share(0.5)), (celsius(25.0), share(1.0))];
    let stiff = [(celsius(-20.0), share(2.0)), (celsius(25.0), share(1.0))];
    let one = Battery::new(peukert(1.2), &curve, milliohms(4.0)).unwrap();
    let one = one.with_cold(&cold).unwrap().with_cold_resistance(&stiff).unwrap();
    let bank = one.bank(2, 2).unwrap();
    assert_same_bits!(c, "open_circuit", bank.open_circuit(share(0.5)).unwrap().value);
    let supply = bank.supply(share(0.5), celsius(-10.0), milliohms(3.0)).unwrap();
    assert_same_bits!(c, "internal", supply.battery_resistance().value);
    assert_same_bits!(c, "capacity", bank.capacity(celsius(-10.0)).unwrap().value);
    assert_same_bits!(c, "rated_current", bank.peukert().rated_current().value);

    let nodes = TwoNode::new(plain(400.0), plain(4000.0), plain(0.2), plain(0.5)).unwrap();
    let warm = Temperatures { winding: celsius(60.0), case: celsius(40.0) };
    let cold_start = HaulCycle::new(winch(), one.bank(2, 1).unwrap(), milliohms(3.0), celsius(5.0))
        .unwrap()
        .with_charge(share(0.9), share(0.2))
        .unwrap()
        .with_lowest_voltage(volts(20.0))
        .unwrap()
        .with_standby(amperes(0.5))
        .unwrap()
        .with_heat(nodes, celsius(155.0))
        .unwrap()
        .with_interval(seconds(0.5))
        .unwrap();
    let cycle = cold_start.with_warm_motor(warm).unwrap();
    let slow = Velocity::new::<meter_per_second>(0.05);
    let steps = [
        haul(30.0),
        HaulStep::rest(seconds(60.0)),
        HaulStep::lower(force(2000.0), Extent::Duration(seconds(60.0))).at_speed(slow),
    ];
    let mut samples = Vec::new();
    let outcome = cycle.run(steps, |sample| samples.push(*sample)).unwrap();
    assert_same_bits!(c, "haul_time", outcome.time.value);
    assert_same_bits!(c, "haul_energy", outcome.energy.value);
    assert_same_bits!(c, "haul_charge", outcome.charge.value);
    assert_same_bits!(c, "haul_hottest", outcome.hottest_winding.value);
    let first_end = samples.iter().rfind(|sample| sample.step == 0).unwrap();
    assert_same_bits!(c, "haul_first_end", first_end.time.value);
    assert_same_bits!(c, "haul_lowered", outcome.lowered.value);
    assert_same_bits!(c, "sample_count", samples.len() as f64);
    assert_same_bits!(c, "sample_times", samples.iter().map(|s| s.time.value).fold(0.0, |a, b| a + b));
    assert_same_bits!(c, "sample_windings", samples.iter().map(|s| s.winding.value).fold(0.0, |a, b| a + b));
    assert_same_bits!(c, "sample_distance", samples[5].distance.value);

    let flat = cold_start.run([haul(5000.0)], |_| {}).unwrap();
    assert_same_bits!(c, "flat_distance", flat.stopped.unwrap().distance.value);

    let battery = Battery::new(peukert(1.25), &LEAD_ACID_OPEN_CIRCUIT, milliohms(4.0)).unwrap();
    let battery = battery.bank(2, 1).unwrap();
    let mild = HaulCycle::new(winch(), battery, milliohms(3.0), celsius(15.0)).unwrap();
    let steps = [haul(0.5), HaulStep::rest(seconds(30.0)), haul(1.0)];
    assert_same_bits!(c, "timed", mild.run(steps, |_| {}).unwrap().time.value);

    let row = |lbf, a, v| TableRow {
        pull: Force::new::<pound_force>(lbf),
        current: amperes(a),
        line_speed: Some(Velocity::new::<meter_per_second>(v)),
    };
    let table = TableWinch::fit([row(0.0, 65.0, 0.2), row(9000.0, 480.0, 0.02)]).unwrap();
    let table = table.with_radius_ratio(share(1.5)).unwrap();
    let by_table = HaulCycle::new(table, battery, milliohms(3.0), celsius(15.0)).unwrap();
    let outcome = by_table.run(steps, |_| {}).unwrap();
    assert_same_bits!(c, "table_time", outcome.time.value);
    assert_same_bits!(c, "table_charge", outcome.charge.value);
    assert_same_bits!(c, "table_voltage", outcome.lowest_voltage.value);
}
