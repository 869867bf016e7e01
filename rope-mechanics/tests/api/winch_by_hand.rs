//! Winches: batteries, gauges and fits, each against a sum done by hand.

use rope_mechanics::quantity::unit::{
    ampere, ampere_hour, degree_celsius, hour, kelvin, kelvin_interval, meter, meter_per_second, milliohm,
    newton, newton_meter, radian_per_second, ratio, second, volt, watt,
};
use rope_mechanics::quantity::{
    Band, ElectricCharge, ElectricCurrent, ElectricPotential, ElectricalResistance, Force, Length,
    MotorConstant, Power, Ratio, TemperatureInterval, ThermodynamicTemperature, Time, Torque, TurningSpeed,
    Velocity,
};
use rope_mechanics::text::Text;
use rope_mechanics::uom;
use rope_mechanics::winch::{
    Battery, Blind, Constant, CurrentGauge, Extent, Gear, HaulCycle, HaulStep, Heating, LEAD_ACID_COLD,
    LEAD_ACID_OPEN_CIRCUIT, Motor, MotorPoint, OneNode, Peukert, PullReading, Running, StopCause, Supply,
    TableRow, TableWinch, Temperatures, TwoNode, Winch, WinchError, WinchFit, WinchPoint, fit_motor,
    fit_winch,
};

fn n(x: f64) -> Force {
    Force::new::<newton>(x)
}

fn amperes(x: f64) -> ElectricCurrent {
    ElectricCurrent::new::<ampere>(x)
}

fn volts(x: f64) -> ElectricPotential {
    ElectricPotential::new::<volt>(x)
}

fn milliohms(x: f64) -> ElectricalResistance {
    ElectricalResistance::new::<milliohm>(x)
}

fn r(x: f64) -> Ratio {
    Ratio::new::<ratio>(x)
}

fn near(a: f64, b: f64) -> bool {
    (a / b - 1.0).abs() < 1e-12
}

/// r/(N·η_f·kt) = 0.036/(180·0.72·0.055) A/N: 198 N/A hauling.
fn winch() -> Winch {
    let motor =
        Motor::new(MotorConstant::from_text("0.055 N·m/A").unwrap(), amperes(6.0), milliohms(20.0)).unwrap();
    let supply = Supply::new(volts(25.6), milliohms(8.0), milliohms(3.0)).unwrap();
    Winch::new(motor, Gear::new(r(180.0), r(0.72)).unwrap(), Length::new::<meter>(0.036), supply).unwrap()
}

// ——— battery ———

fn peukert() -> Peukert {
    Peukert::new(ElectricCharge::new::<ampere_hour>(100.0), Time::new::<hour>(20.0), r(1.2)).unwrap()
}

fn battery() -> Battery<'static> {
    Battery::new(peukert(), &LEAD_ACID_OPEN_CIRCUIT, milliohms(4.0)).unwrap()
}

#[test]
fn a_battery_is_rated_at_its_capacity_by_its_hours() {
    assert_eq!(peukert().rated_current(), amperes(5.0));
    // At the rated current the rated time, at four times of it a quarter less by 4^0.2.
    assert!(near(peukert().time(amperes(5.0)).unwrap().get::<hour>(), 20.0));
    assert!(near(peukert().time(amperes(20.0)).unwrap().get::<hour>(), 5.0 / 4.0_f64.powf(0.2)));
}

#[test]
fn between_two_points_of_its_table_a_voltage_lies_in_proportion() {
    let bank = battery().bank(2, 3).unwrap();
    // Half way from 11.6 to 11.9 V, a quarter from 12.15 to 12.35 V, on the last point.
    for (charge, one) in [(0.1, 11.75), (0.45, 12.20), (1.0, 12.7)] {
        assert!(near(battery().open_circuit(r(charge)).unwrap().value, one), "{charge}");
        assert!(near(bank.open_circuit(r(charge)).unwrap().value, 2.0 * one), "{charge}");
    }
}

#[test]
fn in_the_cold_a_current_takes_a_larger_share_of_a_smaller_charge() {
    // At −3.9 °C the capacity is 1/1.52. Two in parallel share 40 A: 20 A each, four times the rated 5 A, for which
    // Peukert's law takes 4^0.2 times as much. A tenth of an hour of it is 2 Ah of 100 Ah.
    let cold = ThermodynamicTemperature::new::<kelvin>(269.25);
    let bank = battery().with_cold(&LEAD_ACID_COLD).unwrap().bank(2, 2).unwrap();
    assert!(near(bank.capacity(cold).unwrap().get::<ampere_hour>(), 200.0 / 1.52));
    let rest =
        HaulCycle::new(winch(), bank, milliohms(3.0), cold).unwrap().with_standby(amperes(40.0)).unwrap();
    let outcome = rest.run([HaulStep::rest(Time::new::<hour>(0.1))], |_| {}).unwrap();
    let taken = 0.02 * 4.0_f64.powf(0.2) * 1.52;
    assert!((1.0 - outcome.charge.value - taken).abs() < 1e-9, "{outcome:?}");
    // Below the rated current nothing is gained.
    let slow =
        HaulCycle::new(winch(), bank, milliohms(3.0), cold).unwrap().with_standby(amperes(2.0)).unwrap();
    let outcome = slow.run([HaulStep::rest(Time::new::<hour>(0.1))], |_| {}).unwrap();
    assert!((1.0 - outcome.charge.value - 0.001 * 1.52).abs() < 1e-9, "{outcome:?}");
}

#[test]
fn a_gear_that_locks_has_an_efficiency_below_zero_from_behind() {
    let gear = Gear::new(r(100.0), r(0.5)).unwrap();
    for back in [-100.0, -0.4, 0.0, 0.2] {
        let measured = gear.with_back_efficiency(r(back)).unwrap();
        assert_eq!((measured.back_efficiency(), measured.is_self_locking()), (r(back), back <= 0.0));
    }
    assert_eq!(gear.with_back_efficiency(r(-100.1)).unwrap_err().field, "back_efficiency");
}

// ——— a whole haul ———

const LEVEL: [(Ratio, ElectricPotential); 1] = [(LEAD_ACID_OPEN_CIRCUIT[0].0, LEAD_ACID_OPEN_CIRCUIT[5].1)];

fn celsius(x: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<degree_celsius>(x)
}

fn metres(x: f64) -> Extent {
    Extent::Distance(Length::new::<meter>(x))
}

/// Two batteries of 12.7 V at any charge, 4 mΩ each, with leads of 3 mΩ.
fn level() -> HaulCycle<'static> {
    let bank = Battery::new(peukert(), &LEVEL, milliohms(4.0)).unwrap().bank(2, 1).unwrap();
    HaulCycle::new(winch(), bank, milliohms(3.0), celsius(25.0)).unwrap()
}

#[test]
fn a_current_at_rest_takes_its_energy_and_sags_the_leads() {
    let rest = level().with_standby(amperes(40.0)).unwrap();
    let outcome = rest.run([HaulStep::rest(Time::new::<hour>(0.1))], |_| {}).unwrap();
    // 25.4 V · 40 A · 360 s; 25.4 V − 40 A · (8 + 3) mΩ.
    assert!(near(outcome.energy.value, 25.4 * 40.0 * 360.0), "{outcome:?}");
    assert!(near(outcome.lowest_voltage.value, 25.4 - 0.44), "{outcome:?}");
    assert_eq!((outcome.work.value, outcome.stopped), (0.0, None));
    // A controller that drops out just below that goes on, one just above it does not.
    let at = |least: f64| {
        let rest = rest.with_lowest_voltage(volts(least)).unwrap();
        rest.run([HaulStep::rest(Time::new::<hour>(0.1))], |_| {}).unwrap().stopped.map(|stopped| stopped.why)
    };
    assert_eq!((at(24.95), at(24.97)), (None, Some(StopCause::VoltageTooLow)));
}

#[test]
fn what_was_hauled_and_what_was_lowered_is_told_apart() {
    let steps = [HaulStep::haul(n(2000.0), metres(3.0)), HaulStep::lower(n(2000.0), metres(5.0))];
    let outcome = level().run(steps, |_| {}).unwrap();
    assert_eq!((outcome.hauled.value, outcome.lowered.value), (3.0, 5.0));
    assert!(near(outcome.work.value, 2000.0 * 3.0));
}

#[test]
fn a_battery_at_its_reserve_hauls_no_more_but_may_rest() {
    let at_reserve = level().with_charge(r(0.5), r(0.5)).unwrap();
    let stopped = at_reserve.run([HaulStep::haul(n(2000.0), metres(1.0))], |_| {}).unwrap();
    assert_eq!(stopped.stopped.unwrap().why, StopCause::BatteryFlat);
    assert_eq!(stopped.hauled.value, 0.0);
    let rested = at_reserve.run([HaulStep::rest(Time::new::<hour>(1.0))], |_| {}).unwrap();
    assert!(rested.stopped.is_none() && near(rested.time.get::<hour>(), 1.0));
}

#[test]
fn a_motor_that_is_warm_already_starts_and_cools_from_there() {
    let nodes = two_nodes();
    let warm = Temperatures { winding: celsius(120.0), case: celsius(60.0) };
    let cycle = level().with_heat(nodes, celsius(155.0)).unwrap().with_warm_motor(warm).unwrap();
    let mut samples = Vec::new();
    let steps = [HaulStep::rest(Time::new::<hour>(0.1)), HaulStep::haul(n(4000.0), metres(1.0))];
    cycle.run(steps, |sample| samples.push(*sample)).unwrap();
    assert!((samples[0].winding.get::<degree_celsius>() - 120.0).abs() < 1e-9);
    // Without current, by the classical Runge–Kutta rule in steps of 0.1 s.
    let cooled = heated([120.0, 60.0], 0.0, 0.0, 25.0, 0.1, 3600);
    let rested = samples.iter().rfind(|sample| sample.step == 0).unwrap();
    assert!((rested.winding.get::<degree_celsius>() - cooled[0]).abs() < 1e-7, "{rested:?} {cooled:?}");

    // A winding of 120 °C has 20 mΩ·(1 + α·95 K): F·r/(N·η_f·kt) + I₀ through it, the battery and its leads.
    let hot = level().with_heat(nodes, celsius(155.0)).unwrap().with_warm_motor(warm).unwrap();
    let mut first = None;
    hot.run([HaulStep::haul(n(4000.0), metres(1.0))], |sample| first = first.or(sample.line_speed)).unwrap();
    let i = 6.0 + 4000.0 / 198.0;
    let resistance = 0.020 * (1.0 + COPPER * 95.0) + 0.011;
    let speed = (25.4 - i * resistance) / 0.055 * 0.036 / 180.0;
    assert!((first.unwrap().value / speed - 1.0).abs() < 1e-9, "{first:?} {speed}");
}

#[test]
fn a_table_is_not_asked_to_pull_faster_than_it_does() {
    let row = |pull: f64, current: f64, speed: f64| TableRow {
        pull: n(pull),
        current: amperes(current),
        line_speed: Some(Velocity::new::<meter_per_second>(speed)),
    };
    let table = TableWinch::fit([row(0.0, 50.0, 0.2), row(10_000.0, 250.0, 0.1)]).unwrap();
    let full = table.hauling(n(4000.0)).unwrap().line_speed.unwrap();
    let bank = Battery::new(peukert(), &LEVEL, milliohms(4.0)).unwrap().bank(2, 1).unwrap();
    let cycle = HaulCycle::new(table, bank, milliohms(3.0), celsius(25.0)).unwrap();
    let at = |share: f64| {
        let step = HaulStep::haul(n(4000.0), metres(1.0)).at_speed(full * share);
        cycle.run([step], |_| {}).unwrap()
    };
    for share in [0.3, 0.999, 1.0] {
        let outcome = at(share);
        assert!(outcome.stopped.is_none(), "{share}");
        assert!((outcome.time.value * full.value * share - 1.0).abs() < 1e-9, "{share}");
    }
    let why = at(1.001).stopped.unwrap().why;
    assert!(matches!(why, StopCause::CannotPull(WinchError::TooFast { .. })), "{why:?}");
}

// ——— heat ———

/// Copper's slope at 25 °C, from 0.003 93 at 20 °C.
const COPPER: f64 = 0.003_93 / (1.0 + 0.003_93 * 5.0);

/// 400 and 4000 J/K, 0.2 K/W from winding to case and 0.5 K/W from there to the air.
fn two_nodes() -> TwoNode {
    TwoNode::new(quantity(400.0), quantity(4000.0), quantity(0.2), quantity(0.5)).unwrap()
}

fn quantity<D: uom::si::Dimension + ?Sized>(x: f64) -> uom::si::Quantity<D, uom::si::SI<f64>, f64> {
    uom::si::Quantity { dimension: core::marker::PhantomData, units: core::marker::PhantomData, value: x }
}

/// Winding and case in °C after some steps of the classical Runge–Kutta rule.
fn heated(from: [f64; 2], i: f64, idle: f64, air: f64, h: f64, steps: u32) -> [f64; 2] {
    let rate = |x: [f64; 2]| {
        let loss = i * i * 0.020 * (1.0 + COPPER * (x[0] - 25.0));
        let across = (x[0] - x[1]) / 0.2;
        [(loss - across) / 400.0, (idle + across - (x[1] - air) / 0.5) / 4000.0]
    };
    let add = |x: [f64; 2], k: [f64; 2], h: f64| [x[0] + k[0] * h, x[1] + k[1] * h];
    let mut x = from;
    for _ in 0..steps {
        let k1 = rate(x);
        let k2 = rate(add(x, k1, h / 2.0));
        let k3 = rate(add(x, k2, h / 2.0));
        let k4 = rate(add(x, k3, h));
        for (n, value) in x.iter_mut().enumerate() {
            *value += h / 6.0 * (k1[n] + 2.0 * k2[n] + 2.0 * k3[n] + k4[n]);
        }
    }
    x
}

fn heating(i: f64) -> Heating {
    let idle = Power::new::<watt>(30.0);
    Heating { current: amperes(i), winding: milliohms(20.0), idle, air: celsius(20.0) }
}

#[test]
fn a_lump_that_is_warm_already_takes_the_less_time() {
    // Twice the rated current leads to 4·80 K: from 20 to 50 K in τ·ln((320 − 20)/(320 − 50)).
    let kelvins = TemperatureInterval::new::<kelvin_interval>;
    let motor = OneNode::new(amperes(60.0), kelvins(80.0), Time::new::<second>(1200.0)).unwrap();
    let time = motor.time_to(kelvins(20.0), amperes(120.0), kelvins(50.0)).unwrap().unwrap().value;
    assert!(near(time, 1200.0 * (300.0_f64 / 270.0).ln()), "{time}");
}

#[test]
fn a_winding_reaches_a_limit_when_an_integration_in_time_first_does() {
    // Winding and case at the start, current, limit: it rises; cools at first; is warmed by its case and cools after;
    // comes near and never there.
    let cases = [
        ([20.0, 20.0], 150.0, 120.0),
        ([100.0, 20.0], 150.0, 110.0),
        ([60.0, 20.0], 80.0, 59.0),
        ([60.0, 20.0], 80.0, 65.0),
        ([20.0, 120.0], 20.0, 80.0),
        ([20.0, 120.0], 20.0, 140.0),
        ([20.0, 20.0], 60.0, 150.0),
        ([20.0, 20.0], 300.0, 290.0),
    ];
    let mut reached = 0;
    for (from, i, limit) in cases {
        let start = Temperatures { winding: celsius(from[0]), case: celsius(from[1]) };
        let found = two_nodes().time_to(start, heating(i), celsius(limit)).unwrap().map(|t| t.value);
        // 0.5 s is small beside the shortest time constant of 73 s: (0.5/73)⁴ is nothing.
        let (mut x, mut at, h) = (from, None, 0.5);
        for step in 0..40_000 {
            let next = heated(x, i, 30.0, 20.0, h, 1);
            if x[0] < limit && next[0] >= limit {
                at = Some(h * (f64::from(step) + (limit - x[0]) / (next[0] - x[0])));
                break;
            }
            x = next;
        }
        if from[0] >= limit {
            at = Some(0.0);
        }
        reached += u32::from(at.is_some());
        match (found, at) {
            // A straight line over half a second misses a curve by less than 0.01 s here.
            (Some(a), Some(b)) => assert!((a - b).abs() < 0.01, "{from:?} {i} {limit}: {a} {b}"),
            (None, None) => {}
            other => panic!("{from:?} {i} {limit}: {other:?}"),
        }
    }
    assert!(reached >= 4 && reached < 8, "{reached}");
}

#[test]
fn cycles_settle_where_repeating_them_does_or_burn_out_as_it_does() {
    let (mut settled, mut burnt) = (0, 0);
    for k in 0..16 {
        for (on, off) in [(60.0, 600.0), (120.0, 300.0), (400.0, 200.0), (900.0, 60.0)] {
            let i = 60.0 + 20.0 * f64::from(k);
            let (on, off) = (Time::new::<second>(on), Time::new::<second>(off));
            let found = two_nodes().duty_cycle(heating(i), on, off);
            let rest = Heating { current: amperes(0.0), idle: Power::new::<watt>(0.0), ..heating(i) };
            let mut at = Temperatures { winding: celsius(20.0), case: celsius(20.0) };
            let mut hottest = Ok(at);
            for _ in 0..400 {
                hottest = two_nodes().after(at, heating(i), on);
                let Ok(hot) = hottest else { break };
                at = two_nodes().after(hot, rest, off).unwrap();
            }
            match (found, hottest) {
                (Ok(cycle), Ok(hot)) => {
                    settled += 1;
                    assert!((cycle.after_pull.winding.value - hot.winding.value).abs() < 1e-6, "{i}");
                    assert!((cycle.after_rest.case.value - at.case.value).abs() < 1e-6, "{i}");
                }
                (Err(WinchError::CyclesBurnOut), Err(WinchError::BurnsOut { .. })) => burnt += 1,
                other => panic!("{i} {on:?} {off:?}: {other:?}"),
            }
        }
    }
    assert!(settled > 10 && burnt > 10, "{settled} {burnt}");
    // In the hottest air that may be asked for, a motor that idles at 30 W is above it, and too hot.
    let oven = Heating { air: celsius(299.9), ..heating(1.0) };
    let burning = two_nodes().duty_cycle(oven, Time::new::<second>(60.0), Time::new::<second>(0.0));
    assert_eq!(burning, Err(WinchError::CyclesBurnOut));
}

// ——— gauge ———

fn pull(reading: PullReading) -> Band<f64> {
    match reading {
        PullReading::Pull(band) => band.map(|force| force.value),
        PullReading::CannotTell(why) => panic!("{why:?}"),
    }
}

fn is(band: Band<f64>, low: f64, expected: f64, high: f64) -> bool {
    let close = |a: f64, b: f64| (a - b).abs() < 1e-9 * b.max(1.0);
    close(band.low, low) && close(band.expected, expected) && close(band.high, high)
}

#[test]
fn a_current_is_read_by_the_band_of_the_gear_and_of_the_idle_current() {
    let of = |idle: f64| CurrentGauge::of_winch(&winch(), amperes(idle), (r(0.60), r(0.85))).unwrap();
    let read = |gauge: &CurrentGauge, i: f64, running| pull(gauge.read(amperes(i), running).unwrap());
    // Hauling, 20 A above the idle 6 A: 198 N/A, by 0.60/0.72 and 0.85/0.72 of it at its ends, ±1 A.
    let gauge = of(1.0);
    let band = read(&gauge, 26.0, Running::Hauling);
    assert!(is(band, 19.0 * 165.0, 20.0 * 198.0, 21.0 * 233.75), "{band:?}");
    // With an ammeter good to ±2 A besides.
    let band = read(&gauge.with_meter_band(amperes(2.0)).unwrap(), 26.0, Running::Hauling);
    assert!(is(band, 17.0 * 165.0, 20.0 * 198.0, 23.0 * 233.75), "{band:?}");
    // The idle current may be 10 A more than said, but not below nothing: 6 A less.
    let band = read(&of(10.0), 26.0, Running::Hauling);
    assert!(is(band, 10.0 * 165.0, 20.0 * 198.0, 26.0 * 233.75), "{band:?}");

    // Lowering, 4 A flow back: 10 A less than idle. Without loss 275 N/A; η_b = 2 − 1/0.72 = 11/18, with the same
    // shift 1/3 for a gear of 0.60, 14/17 for one of 0.85.
    let band = read(&gauge, -4.0, Running::Lowering);
    assert!(is(band, 9.0 * 275.0 * 17.0 / 14.0, 10.0 * 450.0, 11.0 * 825.0), "{band:?}");
    let band = read(&of(10.0), -4.0, Running::Lowering);
    assert!(is(band, 4.0 * 275.0 * 17.0 / 14.0, 10.0 * 450.0, 20.0 * 825.0), "{band:?}");

    // 5 A lie within the idle current's ±1 A: no pull, and one that can't be told below.
    assert!(is(read(&gauge, 5.0, Running::Hauling), 0.0, 0.0, 0.0));
    let below = gauge.read(amperes(4.9), Running::Hauling).unwrap();
    assert!(matches!(below, PullReading::CannotTell(Blind::BelowIdle)), "{below:?}");
}

#[test]
fn a_meter_that_may_read_the_limit_tells_no_pull() {
    let limited = winch().with_current_limit(amperes(60.0)).unwrap();
    let gauge = CurrentGauge::of_winch(&limited, amperes(1.0), (r(0.60), r(0.85)))
        .unwrap()
        .with_meter_band(amperes(1.0))
        .unwrap();
    let at = |i: f64| gauge.read(amperes(i), Running::Hauling).unwrap();
    assert!(matches!(at(58.9), PullReading::Pull(_)));
    assert!(matches!(at(59.0), PullReading::CannotTell(Blind::Stalled)));
}

#[test]
fn a_table_is_read_by_the_bands_of_its_slope_and_idle_current() {
    let row =
        |pull: f64, current: f64| TableRow { pull: n(pull), current: amperes(current), line_speed: None };
    // 50 N/A above 50 A, both rows on the line.
    let table = TableWinch::fit([row(0.0, 50.0), row(10_000.0, 250.0)]).unwrap();
    let gauge = CurrentGauge::of_table(&table, amperes(10.0), r(0.25)).unwrap();
    let band = pull(gauge.read(amperes(150.0), Running::Hauling).unwrap());
    // Slope 40 to 66.7 N/A, 100 ± 10 A.
    assert!(is(band, 90.0 * 40.0, 100.0 * 50.0, 110.0 * 50.0 / 0.75), "{band:?}");
    // A row off the line by some amperes widens every reading by as much as the worst.
    let bent = TableWinch::fit([row(0.0, 50.0), row(5_000.0, 156.0), row(10_000.0, 250.0)]).unwrap();
    let worst = bent.worst_residual().value;
    assert!((worst - 4.0).abs() < 1e-9, "the middle of three lies 6·2/3 A off");
    let exact = CurrentGauge::of_table(&bent, amperes(0.0), r(0.0)).unwrap();
    let band = pull(exact.read(amperes(152.0), Running::Hauling).unwrap());
    assert!(is(band, 96.0 * 50.0, 100.0 * 50.0, 104.0 * 50.0), "{band:?}");
}

// ——— fits ———

/// 100:1 on a radius of 0.1 m: 1000 rad of the motor for each metre.
fn fit(points: &[(f64, f64, f64)]) -> Result<WinchFit, WinchError> {
    let points = points.iter().map(|(pull, current, speed)| WinchPoint {
        voltage: volts(12.0),
        current: amperes(*current),
        line_speed: Velocity::new::<meter_per_second>(*speed),
        pull: n(*pull),
    });
    let points: Vec<_> = points.collect();
    fit_winch(&points, r(100.0), Length::new::<meter>(0.1))
}

/// I = I₀ + s·F with scatter, and kt·1000·v = 12 − R·I with scatter.
fn readings(i0: f64, s: f64, scatter: f64) -> Vec<(f64, f64, f64)> {
    let wobble = [1.0, -0.6, -0.9, 0.7, 0.2, -0.4];
    (0..6)
        .map(|k| {
            let pull = 1000.0 * f64::from(k + 1);
            let current = i0 + s * pull + scatter * wobble[k as usize];
            (pull, current, (12.0 - 0.02 * current + 0.003 * wobble[5 - k as usize]) / 50.0)
        })
        .collect()
}

#[test]
fn the_standard_errors_of_a_winch_are_those_of_a_textbook() {
    let points = readings(10.0, 0.025, 0.4);
    let fit = fit(&points).unwrap();
    let count = points.len() as f64;
    // A straight line: s = S_xy/S_xx, σ² = Σe²/(n − 2), SE(s) = σ/√S_xx, SE(I₀) = σ·√(1/n + x̄²/S_xx).
    let mean = |of: &dyn Fn(&(f64, f64, f64)) -> f64| points.iter().map(of).sum::<f64>() / count;
    let (x, y) = (mean(&|p| p.0), mean(&|p| p.1));
    let s_xx: f64 = points.iter().map(|p| (p.0 - x).powi(2)).sum();
    let s = points.iter().map(|p| (p.0 - x) * (p.1 - y)).sum::<f64>() / s_xx;
    let i0 = y - s * x;
    let sigma = (points.iter().map(|p| (p.1 - i0 - s * p.0).powi(2)).sum::<f64>() / (count - 2.0)).sqrt();
    let (s_error, i0_error) = (sigma / s_xx.sqrt(), sigma * (1.0 / count + x * x / s_xx).sqrt());
    // Two constants without a constant term: V = kt·ω + R·I by Cramer's rule; SE(kt) = σ·√(ΣI²/D).
    let sum = |of: &dyn Fn(f64, f64) -> f64| points.iter().map(|p| of(1000.0 * p.2, p.1)).sum::<f64>();
    let (ww, wi, ii) = (sum(&|w, _| w * w), sum(&|w, i| w * i), sum(&|_, i| i * i));
    let (w, i) = (sum(&|w, _| 12.0 * w), sum(&|_, i| 12.0 * i));
    let d = ww * ii - wi * wi;
    let (kt, ohm) = ((w * ii - i * wi) / d, (i * ww - w * wi) / d);
    let sigma = (sum(&|w, i| (12.0 - kt * w - ohm * i).powi(2)) / (count - 2.0)).sqrt();
    let (kt_error, ohm_error) = (sigma * (ii / d).sqrt(), sigma * (ww / d).sqrt());
    let eta = 1.0 / (1000.0 * kt * s);
    // Of a quotient, the relative errors add in squares.
    let eta_error = eta * ((kt_error / kt).powi(2) + (s_error / s).powi(2)).sqrt();

    // The normal equations here square the condition of about 20: 1e-9 is far more than rounding leaves.
    let like = |a: f64, b: f64| (a / b - 1.0).abs() < 1e-9;
    assert!(like(fit.no_load_current.value.value, i0) && like(fit.constant.value.value, kt));
    assert!(like(fit.winding.value.value, ohm) && like(fit.gear_efficiency.value.value, eta));
    assert!(like(fit.no_load_current.standard_error.unwrap().value, i0_error));
    assert!(like(fit.constant.standard_error.unwrap().value, kt_error));
    assert!(like(fit.winding.standard_error.unwrap().value, ohm_error));
    assert!(like(fit.gear_efficiency.standard_error.unwrap().value, eta_error));
    // Two equations a point, four constants.
    assert_eq!(fit.spare_readings, 8);
}

#[test]
fn a_constant_may_pass_what_it_can_be_by_three_standard_errors() {
    // η = 1/(1000·0.05·s): of 0.0198 A/N 1.01, of 0.019 A/N 1.05. Scatter of 1 A leaves about ±1.3 %.
    let close = fit(&readings(10.0, 0.0198, 1.0)).unwrap().gear_efficiency;
    assert_eq!(close.value, r(1.0));
    assert!(close.standard_error.unwrap().value > 0.005 && close.standard_error.unwrap().value < 0.03);
    for scatter in [0.05, 0.3] {
        let above = fit(&readings(10.0, 0.0185, scatter));
        assert!(
            matches!(above, Err(WinchError::ImpossibleFit { constant: "gear efficiency", value, .. }) if value > 1.05),
            "{above:?}"
        );
    }
    // An idle current below zero by less than three errors is none; by more it can't be.
    let at = |i0: f64, scatter: f64| fit(&readings(i0, 0.025, scatter));
    let none = at(-0.5, 0.6).unwrap().no_load_current;
    assert_eq!(none.value, amperes(0.0));
    assert!(none.standard_error.unwrap() > amperes(0.17));
    let some = at(0.2, 0.6).unwrap().no_load_current;
    assert!(some.value > amperes(0.0) && some.value < some.standard_error.unwrap() * 3.0);
    let below = at(-1.0, 0.05);
    assert!(
        matches!(below, Err(WinchError::ImpossibleFit { constant: "no-load current", value, .. }) if value < -0.9),
        "{below:?}"
    );
}

#[test]
fn the_standard_error_of_a_motors_idle_current_is_that_of_a_quotient() {
    let wobble = [0.3, -0.2, 0.1, -0.4, 0.25];
    let points: Vec<_> = (0..5)
        .map(|k| {
            let (torque, off) = (1.5 * f64::from(k), wobble[k as usize]);
            let current = 6.0 + torque / 0.055 + off;
            let speed = (24.0 - 0.02 * current) / 0.055 + 2.0 * wobble[4 - k as usize];
            (24.0, current, speed, torque)
        })
        .collect();
    let of: Vec<_> = points
        .iter()
        .map(|(v, i, w, t)| MotorPoint {
            voltage: volts(*v),
            current: amperes(*i),
            speed: TurningSpeed::new::<radian_per_second>(*w),
            torque: Torque::new::<newton_meter>(*t),
        })
        .collect();
    let fit = fit_motor(&of).unwrap();
    // Rows of kt·ω + R·I = V and kt·I − c = τ with c = kt·I₀, by the greatest V and τ; C = σ²·(AᵀA)⁻¹.
    let (v_max, t_max) = (24.0, 6.0);
    let rows: Vec<([f64; 3], f64)> = points
        .iter()
        .flat_map(|(v, i, w, t)| {
            [([w / v_max, i / v_max, 0.0], v / v_max), ([i / t_max, 0.0, -1.0 / t_max], t / t_max)]
        })
        .collect();
    let mut m = [[0.0; 4]; 3];
    for (a, b) in &rows {
        for j in 0..3 {
            (0..3).for_each(|k| m[j][k] += a[j] * a[k]);
            m[j][3] += a[j] * b;
        }
    }
    let minor = |j: usize, k: usize| {
        let (a, b) = ((j + 1) % 3, (j + 2) % 3);
        let (c, d) = ((k + 1) % 3, (k + 2) % 3);
        m[a][c] * m[b][d] - m[a][d] * m[b][c]
    };
    let det: f64 = (0..3).map(|k| m[0][k] * minor(0, k)).sum();
    let inverse = |j: usize, k: usize| minor(k, j) / det;
    let x = [0, 1, 2].map(|j| (0..3).map(|k| inverse(j, k) * m[k][3]).sum::<f64>());
    let misfit: f64 = rows.iter().map(|(a, b)| ((0..3).map(|j| a[j] * x[j]).sum::<f64>() - b).powi(2)).sum();
    let variance = misfit / (rows.len() as f64 - 3.0);
    // I₀ = c/kt: ∂/∂kt = −c/kt², ∂/∂c = 1/kt
    let g = [-x[2] / (x[0] * x[0]), 0.0, 1.0 / x[0]];
    let spread: f64 =
        (0..3).flat_map(|j| (0..3).map(move |k| (j, k))).map(|(j, k)| g[j] * inverse(j, k) * g[k]).sum();
    let error = (variance * spread).sqrt();
    let like = |a: f64, b: f64| (a / b - 1.0).abs() < 1e-7;
    assert!(like(fit.no_load_current.value.value, x[2] / x[0]), "{fit:?}");
    assert!(like(fit.no_load_current.standard_error.unwrap().value, error), "{fit:?} {error}");
    assert_eq!(fit.spare_readings, 7);
}

#[test]
fn two_points_of_a_motor_are_enough_and_each_constant_has_its_name() {
    let point = |torque: f64| {
        let current = 6.0 + torque / 0.055;
        MotorPoint {
            voltage: volts(24.0),
            current: amperes(current),
            speed: TurningSpeed::new::<radian_per_second>((24.0 - 0.02 * current) / 0.055),
            torque: Torque::new::<newton_meter>(torque),
        }
    };
    let fit = fit_motor([point(0.0), point(11.0)]).unwrap();
    assert!((fit.winding.value.value / 0.02 - 1.0).abs() < 1e-9);
    assert_eq!(fit.spare_readings, 1);
    let names = [
        (Constant::MotorConstant, "the motor constant"),
        (Constant::WindingResistance, "the winding resistance"),
        (Constant::NoLoadCurrent, "the no-load current"),
        (Constant::GearEfficiency, "the gear efficiency"),
    ];
    for (constant, name) in names {
        assert_eq!(constant.to_string(), name);
    }
}
