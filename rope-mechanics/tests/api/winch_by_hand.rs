//! Winches at work: each number of a state, a haul and a warming motor against a sum by hand or an integration of its own.

use rope_mechanics::quantity::literal::{
    a, ah, celsius, fraction, h, m, m_per_s, mohm, n, n_m, n_m_per_a, rad_per_s, s, v, w,
};
use rope_mechanics::quantity::unit::{ampere_hour, degree_celsius, hour, kelvin_interval};
use rope_mechanics::quantity::{ElectricPotential, Ratio, TemperatureInterval};
use rope_mechanics::uom;
use rope_mechanics::winch::{
    Battery, Extent, Gear, HaulCycle, HaulStep, Heat, Heating, LEAD_ACID_COLD, LEAD_ACID_OPEN_CIRCUIT, Motor,
    OneNode, Peukert, StopCause, Supply, TableRow, TableWinch, Temperatures, TwoNode, Winch, WinchError,
};

fn near(a: f64, b: f64) -> bool {
    (a / b - 1.0).abs() < 1e-12
}

/// r/(N·η_f·kt) = 0.036/(180·0.72·0.055) A/N: 198 N/A hauling.
fn winch() -> Winch {
    let motor = Motor::new(n_m_per_a(0.055), a(6.0), mohm(20.0)).unwrap();
    let supply = Supply::new(v(25.6), mohm(8.0), mohm(3.0)).unwrap();
    Winch::new(motor, Gear::new(fraction(180.0), fraction(0.72)).unwrap(), m(0.036), supply).unwrap()
}

// ——— steady state ———

#[test]
fn every_number_of_a_winch_at_work_is_that_of_a_sum_by_hand() {
    // 3960 N at 198 N/A: 20 A and the idle 6 A. ω = (25.6 − 26·0.031)/0.055.
    let state = winch().hauling(n(3960.0)).unwrap();
    let w = (25.6 - 26.0 * 0.031) / 0.055;
    let v = w * 0.036 / 180.0;
    assert!(near(state.current.value, 26.0) && near(state.motor_current.value, 26.0));
    assert!(near(state.motor_speed.value, w) && near(state.line_speed.value, v));
    assert!(near(state.motor_torque.value, 0.055 * 20.0));
    assert!(near(state.battery_voltage.value, 25.6 - 26.0 * 0.008));
    assert!(near(state.terminal_voltage.value, 25.6 - 26.0 * 0.011));
    assert!(
        near(state.electrical_power.value, 25.6 * 26.0) && near(state.mechanical_power.value, 3960.0 * v)
    );
    let losses = state.losses;
    assert!(near(losses.battery.value, 676.0 * 0.008) && near(losses.leads.value, 676.0 * 0.003));
    assert!(near(losses.winding.value, 676.0 * 0.020) && near(losses.idle.value, 0.055 * 6.0 * w));
    assert!(near(losses.gear.value, 3960.0 * v * 0.28 / 0.72));
    assert!(near(state.efficiency().unwrap().value, 3960.0 * v / (25.6 * 26.0)));

    // Half that speed by a controller: P = (26·0.020 + 0.055·ω/2)·26, of V·I − I²·0.011 = P the smaller root.
    let slow = winch().hauling_at(n(3960.0), state.line_speed * 0.5).unwrap();
    let power = (26.0 * 0.020 + 0.055 * 0.5 * w) * 26.0;
    let i = (25.6 - (25.6 * 25.6 - 4.0 * power * 0.011_f64).sqrt()) / 0.022;
    assert!((slow.current.value / i - 1.0).abs() < 1e-10 && near(slow.motor_current.value, 26.0));
    assert!((slow.terminal_voltage.value / (25.6 - i * 0.011) - 1.0).abs() < 1e-10);
    let fast = winch().hauling_at(n(3960.0), state.line_speed * 1.01);
    assert!(matches!(fast, Err(WinchError::TooFast { greatest, .. }) if near(greatest, v)), "{fast:?}");

    // A light load is driven down: 6 A − 900/450, so that power is drawn and no efficiency is told.
    let down = winch().lowering(n(900.0)).unwrap();
    assert!(near(down.current.value, 4.0) && down.electrical_power.value > 0.0);
    assert_eq!(down.efficiency(), None);
    assert!(near(winch().hauling(n(0.0)).unwrap().current.value, 6.0));

    // Shorted over 0.5 Ω, 4500 N turn it back with 10 − 6 A through 0.52 Ω.
    let back = winch().running_back(n(4500.0), mohm(500.0)).unwrap();
    assert!(near(back.motor_current.value, -4.0) && near(back.terminal_voltage.value, 2.0));
    assert!(near(back.motor_speed.value, 4.0 * 0.52 / 0.055) && near(back.losses.leads.value, 8.0));
    assert!(near(back.motor_torque.value, -0.055 * 10.0));

    // Held: 10 − 6 A at least, 4500/198 + 6 A at most.
    let held = winch().holding(n(4500.0)).unwrap();
    assert!(near(held.least.value, 4.0) && near(held.most.value, 6.0 + 4500.0 / 198.0));
    let beyond = winch().holding(n(450.0 * 900.0));
    assert!(matches!(beyond, Err(WinchError::BeyondStall { .. })), "{beyond:?}");

    // A grab that slips at 3960 N lets the motor draw no more than that takes.
    let slips = winch().with_slip(n(3960.0)).unwrap().stall();
    assert!(near(slips.current.value, 26.0) && near(slips.pull.value, 3960.0));
}

#[test]
fn a_weak_battery_gives_all_the_power_that_it_has() {
    // 0.1 Ω behind 25.6 V: V²/(4·R) = 1638.4 W at 128 A. At 115 A the motor may have 1621.5 W, and takes them at full
    // speed.
    let supply = Supply::new(v(25.6), mohm(60.0), mohm(40.0)).unwrap();
    assert_eq!((supply.open_circuit(), supply.lead_resistance()), (v(25.6), mohm(40.0)));
    let winch = winch().with_supply(supply);
    for i in [100.0, 115.0, 127.0, 128.0] {
        let pull = n((i - 6.0) * 198.0);
        let full = winch.hauling(pull).unwrap();
        let paced = winch.hauling_at(pull, full.line_speed).unwrap();
        assert!((paced.current.value / i - 1.0).abs() < 1e-5, "{i}: {paced:?}");
        assert!((full.current.value / i - 1.0).abs() < 1e-12);
    }
}

#[test]
fn a_motor_is_asked_within_its_curve_only() {
    // (24 − 6·0.02)/0.055 = 434.2 rad/s without load, 0.055·(24/0.02 − 6) = 65.67 N·m at stall.
    let motor = winch().motor();
    let speed = |w: f64| motor.at_speed(v(24.0), rad_per_s(w));
    assert!(speed(434.1).is_ok());
    assert_eq!(speed(434.3).unwrap_err().field, "motor_speed");
    let torque = |t: f64| motor.at_torque(v(24.0), n_m(t));
    assert!(torque(65.6).is_ok());
    assert_eq!(torque(65.7).unwrap_err().field, "motor_torque");
}

// ——— battery ———

fn peukert() -> Peukert {
    Peukert::new(ah(100.0), h(20.0), fraction(1.2)).unwrap()
}

fn battery() -> Battery<'static> {
    Battery::new(peukert(), &LEAD_ACID_OPEN_CIRCUIT, mohm(4.0)).unwrap()
}

#[test]
fn a_battery_is_rated_at_its_capacity_by_its_hours() {
    assert_eq!(peukert().rated_current(), a(5.0));
    // At the rated current the rated time, at four times of it a quarter less by 4^0.2.
    assert!(near(peukert().time(a(5.0)).unwrap().get::<hour>(), 20.0));
    assert!(near(peukert().time(a(20.0)).unwrap().get::<hour>(), 5.0 / 4.0_f64.powf(0.2)));
}

#[test]
fn between_two_points_of_its_table_a_voltage_lies_in_proportion() {
    let bank = battery().bank(2, 3).unwrap();
    // Half way from 11.6 to 11.9 V, a quarter from 12.15 to 12.35 V, on the last point.
    for (charge, one) in [(0.1, 11.75), (0.45, 12.20), (1.0, 12.7)] {
        assert!(near(battery().open_circuit(fraction(charge)).unwrap().value, one), "{charge}");
        assert!(near(bank.open_circuit(fraction(charge)).unwrap().value, 2.0 * one), "{charge}");
    }
}

#[test]
fn in_the_cold_a_current_takes_a_larger_share_of_a_smaller_charge() {
    // At −3.9 °C the capacity is 1/1.52. Two in parallel share 40 A: 20 A each, four times the rated 5 A, for which
    // Peukert's law takes 4^0.2 times as much. A tenth of an hour of it is 2 Ah of 100 Ah.
    let cold = celsius(-3.9);
    let bank = battery().with_cold(&LEAD_ACID_COLD).unwrap().bank(2, 2).unwrap();
    assert!(near(bank.capacity(cold).unwrap().get::<ampere_hour>(), 200.0 / 1.52));
    let rest = HaulCycle::new(winch(), bank, mohm(3.0), cold).unwrap().with_standby(a(40.0)).unwrap();
    let outcome = rest.run([HaulStep::rest(h(0.1))], |_| {}).unwrap();
    let taken = 0.02 * 4.0_f64.powf(0.2) * 1.52;
    assert!((1.0 - outcome.charge.value - taken).abs() < 1e-9, "{outcome:?}");
    // Below the rated current nothing is gained.
    let slow = HaulCycle::new(winch(), bank, mohm(3.0), cold).unwrap().with_standby(a(2.0)).unwrap();
    let outcome = slow.run([HaulStep::rest(h(0.1))], |_| {}).unwrap();
    assert!((1.0 - outcome.charge.value - 0.001 * 1.52).abs() < 1e-9, "{outcome:?}");
}

#[test]
fn a_gear_that_locks_has_an_efficiency_below_zero_from_behind() {
    let gear = Gear::new(fraction(100.0), fraction(0.5)).unwrap();
    for back in [-100.0, -0.4, 0.0, 0.2] {
        let measured = gear.with_back_efficiency(fraction(back)).unwrap();
        assert_eq!((measured.back_efficiency(), measured.is_self_locking()), (fraction(back), back <= 0.0));
    }
    assert_eq!(gear.with_back_efficiency(fraction(-100.1)).unwrap_err().field, "back_efficiency");
}

// ——— a whole haul ———

const LEVEL: [(Ratio, ElectricPotential); 1] = [(LEAD_ACID_OPEN_CIRCUIT[0].0, LEAD_ACID_OPEN_CIRCUIT[5].1)];

fn metres(x: f64) -> Extent {
    Extent::Distance(m(x))
}

/// Two batteries of 12.7 V at any charge, 4 mΩ each, with leads of 3 mΩ.
fn level() -> HaulCycle<'static> {
    let bank = Battery::new(peukert(), &LEVEL, mohm(4.0)).unwrap().bank(2, 1).unwrap();
    HaulCycle::new(winch(), bank, mohm(3.0), celsius(25.0)).unwrap()
}

#[test]
fn a_current_at_rest_takes_its_energy_and_sags_the_leads() {
    let rest = level().with_standby(a(40.0)).unwrap();
    let outcome = rest.run([HaulStep::rest(h(0.1))], |_| {}).unwrap();
    // 25.4 V · 40 A · 360 s; 25.4 V − 40 A · (8 + 3) mΩ.
    assert!(near(outcome.energy.value, 25.4 * 40.0 * 360.0), "{outcome:?}");
    assert!(near(outcome.lowest_voltage.value, 25.4 - 0.44), "{outcome:?}");
    assert_eq!((outcome.work.value, outcome.stopped), (0.0, None));
    // A controller that drops out just below that goes on, one just above it does not.
    let at = |least: f64| {
        let rest = rest.with_lowest_voltage(v(least)).unwrap();
        rest.run([HaulStep::rest(h(0.1))], |_| {}).unwrap().stopped.map(|stopped| stopped.why)
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
    let at_reserve = level().with_charge(fraction(0.5), fraction(0.5)).unwrap();
    let stopped = at_reserve.run([HaulStep::haul(n(2000.0), metres(1.0))], |_| {}).unwrap();
    assert_eq!(stopped.stopped.unwrap().why, StopCause::BatteryFlat);
    assert_eq!(stopped.hauled.value, 0.0);
    let rested = at_reserve.run([HaulStep::rest(h(1.0))], |_| {}).unwrap();
    assert!(rested.stopped.is_none() && near(rested.time.get::<hour>(), 1.0));
}

#[test]
fn a_motor_that_is_warm_already_starts_and_cools_from_there() {
    let nodes = two_nodes();
    let warm = Temperatures { winding: celsius(120.0), case: celsius(60.0) };
    let cycle = level().with_heat(nodes, celsius(155.0)).unwrap().with_warm_motor(warm).unwrap();
    let mut samples = Vec::new();
    let steps = [HaulStep::rest(h(0.1)), HaulStep::haul(n(4000.0), metres(1.0))];
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
        current: a(current),
        line_speed: Some(m_per_s(speed)),
    };
    let table = TableWinch::fit([row(0.0, 50.0, 0.2), row(10_000.0, 250.0, 0.1)]).unwrap();
    let full = table.hauling(n(4000.0)).unwrap().line_speed.unwrap();
    let bank = Battery::new(peukert(), &LEVEL, mohm(4.0)).unwrap().bank(2, 1).unwrap();
    let cycle = HaulCycle::new(table, bank, mohm(3.0), celsius(25.0)).unwrap();
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

fn table(rows: &[(f64, f64, f64)]) -> Result<TableWinch, WinchError> {
    let rows: Vec<_> = rows
        .iter()
        .map(|(pull, current, speed)| TableRow {
            pull: n(*pull),
            current: a(*current),
            line_speed: Some(m_per_s(*speed)),
        })
        .collect();
    TableWinch::fit(&rows)
}

#[test]
fn a_table_names_the_pull_at_which_its_line_comes_to_a_stand() {
    let stands = table(&[(0.0, 50.0, 0.2), (10_000.0, 250.0, 0.0)]).unwrap();
    let bank = Battery::new(peukert(), &LEAD_ACID_OPEN_CIRCUIT, mohm(4.0)).unwrap().bank(2, 1).unwrap();
    let cycle = HaulCycle::new(stands, bank, mohm(3.0), celsius(25.0)).unwrap();
    // On its own layer, and on one of 0.8 of the radius, where it pulls 1/0.8 as much.
    for share in [1.0, 1.25] {
        let step = HaulStep::haul(n(10_000.0 * share), metres(1.0)).on_layer(fraction(share));
        let why = cycle.run([step], |_| {}).unwrap().stopped.unwrap().why;
        assert!(
            matches!(why, StopCause::CannotPull(WinchError::BeyondStall { stall, .. }) if near(stall, 10_000.0 * share)),
            "{why:?}"
        );
    }
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
    let idle = w(30.0);
    Heating { current: a(i), winding: mohm(20.0), idle, air: celsius(20.0) }
}

#[test]
fn a_lump_that_is_warm_already_takes_the_less_time() {
    // Twice the rated current leads to 4·80 K: from 20 to 50 K in τ·ln((320 − 20)/(320 − 50)).
    let kelvins = TemperatureInterval::new::<kelvin_interval>;
    let motor = OneNode::new(a(60.0), kelvins(80.0), s(1200.0)).unwrap();
    let time = motor.time_to(kelvins(20.0), a(120.0), kelvins(50.0)).unwrap().unwrap().value;
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
    assert!((4..8).contains(&reached), "{reached}");
}

#[test]
fn cycles_settle_where_repeating_them_does_or_burn_out_as_it_does() {
    let (mut settled, mut burnt) = (0, 0);
    for k in 0..16 {
        for (on, off) in [(60.0, 600.0), (120.0, 300.0), (400.0, 200.0), (900.0, 60.0)] {
            let i = 60.0 + 20.0 * f64::from(k);
            let (on, off) = (s(on), s(off));
            let found = two_nodes().duty_cycle(heating(i), on, off);
            let rest = Heating { current: a(0.0), idle: w(0.0), ..heating(i) };
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
    // A lump settles above the air it stands in: on and off for as long, at twice the rated current of 80 K,
    // 320·(1 − e^(−t/τ))/(1 − e^(−2t/τ)) at its hottest.
    let motor = OneNode::new(a(60.0), TemperatureInterval::new::<kelvin_interval>(80.0), s(1200.0));
    let half = s(600.0);
    let lump = Heat::from(motor.unwrap()).duty_cycle(heating(120.0), half, half).unwrap();
    let rise = 320.0 / (1.0 + (-0.5_f64).exp());
    assert!((lump.after_pull.winding.get::<degree_celsius>() - 20.0 - rise).abs() < 1e-9, "{lump:?}");
    let burnt = Heat::from(motor.unwrap()).duty_cycle(heating(150.0), half, half);
    assert_eq!(burnt, Err(WinchError::CyclesBurnOut));
    // In the hottest air that may be asked for, a motor that idles at 30 W is above it, and too hot.
    let oven = Heating { air: celsius(299.9), ..heating(1.0) };
    let burning = two_nodes().duty_cycle(oven, s(60.0), s(0.0));
    assert_eq!(burning, Err(WinchError::CyclesBurnOut));
}
