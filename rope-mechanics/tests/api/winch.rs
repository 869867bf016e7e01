//! Winches: steady state, drum, table.

use proptest::prelude::*;
use rope_mechanics::error::{Allowed, InputError};
use rope_mechanics::quantity::unit::{
    ampere, ampere_hour, degree_celsius, hour, kelvin_interval, kilonewton, meter, meter_per_second,
    millimeter, milliohm, newton, newton_meter, ohm, pound_force, radian_per_second, ratio, second, volt,
};
use rope_mechanics::quantity::{
    Band, ElectricCharge, ElectricCurrent, ElectricPotential, ElectricalResistance, Force, Length,
    MotorConstant, Ratio, TemperatureInterval, ThermodynamicTemperature, Time, Torque, TurningSpeed,
    Velocity,
};
use rope_mechanics::text::Text;
use rope_mechanics::uom;
use rope_mechanics::winch::{
    Battery, Blind, Bound, Constant, CurrentGauge, Drum, DrumSize, Extent, Gear, HaulCycle, HaulStep,
    Heating, LEAD_ACID_COLD, LEAD_ACID_OPEN_CIRCUIT, Motor, MotorPoint, OneNode, Peukert, PullReading,
    Running, StopCause, Supply, TableRow, TableWinch, Temperatures, TwoNode, Winch, WinchError, WinchPoint,
    cable_resistance, copper_resistance, fit_motor, fit_winch, jam_rate,
};

fn force(n: f64) -> Force {
    Force::new::<newton>(n)
}

fn amperes(a: f64) -> ElectricCurrent {
    ElectricCurrent::new::<ampere>(a)
}

fn milliohms(r: f64) -> ElectricalResistance {
    ElectricalResistance::new::<milliohm>(r)
}

fn volts(v: f64) -> ElectricPotential {
    ElectricPotential::new::<volt>(v)
}

fn share(x: f64) -> Ratio {
    Ratio::new::<ratio>(x)
}

fn mm(x: f64) -> Length {
    Length::new::<millimeter>(x)
}

fn constant(kt: f64) -> MotorConstant {
    MotorConstant::from_text(&format!("{kt} N·m/A")).unwrap()
}

fn motor() -> Motor {
    Motor::new(constant(0.055), amperes(6.0), milliohms(20.0)).unwrap()
}

fn supply() -> Supply {
    Supply::new(volts(25.6), milliohms(8.0), milliohms(3.0)).unwrap()
}

fn winch_with(efficiency: f64) -> Winch {
    Winch::new(motor(), Gear::new(share(180.0), share(efficiency)).unwrap(), mm(36.0), supply()).unwrap()
}

fn winch() -> Winch {
    winch_with(0.72)
}

fn drum(rise: f64) -> Drum {
    Drum::new(DrumSize { core_diameter: mm(64.0), width: mm(220.0), rope_diameter: mm(11.0), layers: 5 })
        .unwrap()
        .with_layer_rise(share(rise))
        .unwrap()
}

fn row(lbf: f64, a: f64, speed: Option<f64>) -> TableRow {
    TableRow {
        pull: Force::new::<pound_force>(lbf),
        current: amperes(a),
        line_speed: speed.map(Velocity::new::<meter_per_second>),
    }
}

fn input(result: Result<impl std::fmt::Debug, impl Into<WinchError>>) -> (&'static str, Allowed) {
    match result.unwrap_err().into() {
        WinchError::Input(InputError { field, allowed, .. }) => (field, allowed),
        other => panic!("{other:?}"),
    }
}

// ——— what bad input says ———

#[test]
fn an_input_that_no_winch_has_is_named() {
    let zero = milliohms(0.0);
    assert_eq!(input(Motor::new(constant(0.0), amperes(6.0), milliohms(20.0))).0, "motor_constant");
    assert_eq!(input(Motor::new(constant(0.05), amperes(-1.0), milliohms(20.0))).0, "no_load_current");
    assert_eq!(input(Motor::new(constant(0.05), amperes(f64::NAN), milliohms(20.0))).1, Allowed::Finite);
    assert_eq!(input(Motor::new(constant(0.05), amperes(6.0), zero)).0, "winding_resistance");
    assert_eq!(input(Gear::new(share(0.0), share(0.7))).0, "gear_ratio");
    assert_eq!(input(Gear::new(share(100.0), share(1.01))), ("gear_efficiency", Allowed::Within(0.01, 1.0)));
    assert_eq!(
        input(Gear::new(share(100.0), share(0.7)).unwrap().with_back_efficiency(share(1.1))).0,
        "back_efficiency"
    );
    assert_eq!(input(Supply::new(volts(0.0), zero, zero)).0, "open_circuit_voltage");
    assert_eq!(input(Supply::new(volts(12.0), milliohms(-1.0), zero)).0, "battery_resistance");
    assert_eq!(input(Supply::new(volts(12.0), zero, milliohms(f64::INFINITY))).0, "lead_resistance");
    assert_eq!(input(winch().with_radius(mm(0.0))).0, "winch_radius");
    assert_eq!(input(winch().with_current_limit(amperes(0.0))).0, "current_limit");
    assert_eq!(input(winch().with_slip(force(-1.0))).0, "slip_force");
    for bad in [-1.0, f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300] {
        assert_eq!(input(winch().hauling(force(bad))).0, "pull");
        assert_eq!(input(winch().lowering(force(bad))).0, "pull");
        assert_eq!(input(winch().holding(force(bad))).0, "pull");
        assert_eq!(input(winch().running_back(force(bad), zero)).0, "pull");
    }
    assert_eq!(
        input(winch().hauling_at(force(10.0), Velocity::new::<meter_per_second>(0.0))).0,
        "line_speed"
    );
    let too_hot = ThermodynamicTemperature::from_text("400 °C").unwrap();
    assert_eq!(input(copper_resistance(milliohms(20.0), too_hot)).0, "winding_temperature");
    assert_eq!(
        input(cable_resistance(mm(1.0), rope_mechanics::quantity::Area::from_text("0 mm²").unwrap())).0,
        "cable_cross_section"
    );
}

#[test]
fn a_drum_without_room_for_a_turn_is_refused() {
    let size = DrumSize { core_diameter: mm(64.0), width: mm(220.0), rope_diameter: mm(11.0), layers: 5 };
    assert_eq!(input(Drum::new(DrumSize { core_diameter: mm(0.0), ..size })).0, "core_diameter");
    assert_eq!(input(Drum::new(DrumSize { width: mm(10.0), ..size })).0, "drum_width");
    assert_eq!(input(Drum::new(DrumSize { rope_diameter: mm(-11.0), ..size })).0, "rope_diameter");
    assert_eq!(input(Drum::new(DrumSize { layers: 0, ..size })).0, "layers");
    assert_eq!(input(drum(1.0).radius(6)).0, "layer");
    assert_eq!(input(drum(1.0).radius(0)).0, "layer");
    assert_eq!(input(drum(1.0).with_layer_rise(share(0.1))).0, "layer_rise");
    let too_long = drum(1.0).capacity() + Length::new::<meter>(1e-6);
    assert!(matches!(drum(1.0).layer_at(too_long), Err(WinchError::DrumFull { .. })));
}

// ——— what a winch can't do ———

#[test]
fn a_pull_beyond_stall_is_an_error_that_names_both() {
    let stall = winch().stall().pull;
    assert!(winch().hauling(stall * 0.999_999).is_ok());
    match winch().hauling(stall * 1.000_001) {
        Err(WinchError::BeyondStall { pull, stall: named }) => {
            assert!(pull > named);
            assert!((named / stall.value - 1.0).abs() < 1e-12);
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_limit_or_a_slipping_grab_bounds_a_jammed_winch() {
    let bare = winch().stall();
    assert_eq!(bare.bound, Bound::Stall);
    assert!(bare.pull_without_gear_loss > bare.pull);

    let limited = winch().with_current_limit(amperes(60.0)).unwrap();
    assert_eq!(limited.stall().bound, Bound::CurrentLimit);
    assert!(limited.hauling(limited.stall().pull * 0.999_999).is_ok());
    let above = limited.hauling(limited.stall().pull * 1.000_001);
    assert!(matches!(above, Err(WinchError::BeyondCurrentLimit { limit: 60.0, .. })), "{above:?}");

    let slipping = limited.with_slip(force(6000.0)).unwrap();
    assert_eq!((slipping.stall().bound, slipping.stall().pull), (Bound::Slip, force(6000.0)));
    assert!(slipping.hauling(force(6000.0)).is_ok());
    for beyond in [slipping.hauling(force(6000.1)), slipping.lowering(force(6000.1))] {
        assert_eq!(beyond, Err(WinchError::Slips { pull: 6000.1, slip: 6000.0 }));
    }
}

#[test]
fn a_locking_gear_does_not_run_back_and_may_not_even_be_driven_out() {
    let locking = winch_with(0.45);
    assert!(locking.gear().is_self_locking());
    assert!(!winch_with(0.51).gear().is_self_locking());
    assert!(matches!(
        locking.running_back(force(1e5), milliohms(0.0)),
        Err(WinchError::DoesNotRunBack { needed: f64::INFINITY, .. })
    ));
    // paying out takes more current than without load
    assert!(locking.lowering(force(2000.0)).unwrap().current > amperes(6.0));
    assert!(matches!(locking.lowering(force(1e7)), Err(WinchError::CannotPayOut { .. })));
    // what holds it is friction, and the answer says zero current, never less
    assert_eq!(locking.holding(force(2000.0)).unwrap().least, amperes(0.0));
}

#[test]
fn a_light_load_does_not_turn_the_winch_back() {
    let Err(WinchError::DoesNotRunBack { needed, .. }) = winch().running_back(force(10.0), milliohms(0.0))
    else {
        panic!("10 N ran back");
    };
    assert!(winch().running_back(force(needed * 1.000_001), milliohms(0.0)).is_ok());
    assert!(winch().running_back(force(needed * 0.999_999), milliohms(0.0)).is_err());
}

#[test]
fn a_controlled_line_runs_at_its_speed_up_to_full_speed() {
    let full = winch().hauling(force(2000.0)).unwrap();
    let same = winch().hauling_at(force(2000.0), full.line_speed).unwrap();
    assert!(((same.current / full.current).value - 1.0).abs() < 1e-12);
    let faster = winch().hauling_at(force(2000.0), full.line_speed * 1.001);
    assert!(matches!(faster, Err(WinchError::TooFast { .. })), "{faster:?}");

    let slow = winch().hauling_at(force(2000.0), full.line_speed * 0.2).unwrap();
    assert!(slow.current < full.current, "a controller draws less than the motor takes");
    assert_eq!(slow.motor_current, full.motor_current);
}

#[test]
fn holding_lies_between_running_back_and_coming_up() {
    let holding = winch().holding(force(4000.0)).unwrap();
    let hauling = winch().hauling(force(4000.0)).unwrap();
    let lowering = winch().lowering(force(4000.0)).unwrap();
    assert_eq!(holding.most, hauling.motor_current);
    assert!((holding.least + lowering.motor_current).get::<ampere>().abs() < 1e-12);
}

#[test]
fn a_shorted_motor_lets_a_load_down_slowly_and_a_resistor_faster() {
    let shorted = winch().running_back(force(4000.0), milliohms(0.0)).unwrap();
    let resisted = winch().running_back(force(4000.0), milliohms(500.0)).unwrap();
    assert!(shorted.line_speed < winch().lowering(force(4000.0)).unwrap().line_speed);
    assert!(resisted.line_speed > shorted.line_speed * 10.0);
    assert_eq!(shorted.current, amperes(0.0));
}

// ——— motor ———

#[test]
fn the_ends_of_a_motor_curve_come_back_out_of_its_constants() {
    let speed = TurningSpeed::new::<radian_per_second>(420.0);
    let torque = Torque::new::<newton_meter>(9.0);
    let motor = Motor::from_no_load_and_stall(volts(24.0), speed, amperes(7.0), torque).unwrap();
    let free = motor.at_torque(volts(24.0), torque * 0.0).unwrap();
    assert!(((free.speed / speed).value - 1.0).abs() < 1e-14);
    assert!(((free.current / amperes(7.0)).value - 1.0).abs() < 1e-14);
    let stalled = motor.at_speed(volts(24.0), speed * 0.0).unwrap();
    assert!(((stalled.torque / torque).value - 1.0).abs() < 1e-13);
}

#[test]
fn speed_and_torque_are_two_views_of_one_curve() {
    let by_torque = motor().at_torque(volts(25.0), Torque::new::<newton_meter>(0.6)).unwrap();
    let by_speed = motor().at_speed(volts(25.0), by_torque.speed).unwrap();
    assert!(((by_speed.torque / by_torque.torque).value - 1.0).abs() < 1e-12);
    assert_eq!(input(motor().at_speed(volts(25.0), by_torque.speed * 2.0)).0, "motor_speed");
    assert_eq!(input(motor().at_torque(volts(25.0), by_torque.torque * 1e3)).0, "motor_torque");
}

#[test]
fn a_hot_winding_resists_more() {
    let hot = motor().warmed_to(ThermodynamicTemperature::from_text("125 °C").unwrap()).unwrap();
    let same = motor().warmed_to(ThermodynamicTemperature::from_text("25 °C").unwrap()).unwrap();
    assert_eq!(same, motor());
    // IEC 60028, from memory: 0.003 93 a kelvin at 20 °C is zero resistance at −234.45 °C: 359.45/259.45.
    let expected = 359.45 / 259.45;
    assert!((hot.winding_resistance().get::<ohm>() / 0.020 - expected).abs() < 1e-4);
    assert!(
        winch().with_motor(hot).hauling(force(2000.0)).unwrap().line_speed
            < winch().hauling(force(2000.0)).unwrap().line_speed
    );
}

// ——— drum ———

#[test]
fn rope_fills_the_drum_layer_by_layer() {
    let drum = drum(0.866);
    assert_eq!(drum.layer_at(mm(0.0)).unwrap().number, 1);
    let mut filled = mm(0.0);
    for number in 1..=5 {
        let radius = drum.radius(number).unwrap();
        filled += 2.0 * std::f64::consts::PI * radius * drum.turns_per_layer();
        let within = drum.layer_at(filled * 0.999_999).unwrap();
        assert_eq!((within.number, within.radius), (number, radius));
        if number < 5 {
            assert_eq!(drum.layer_at(filled * 1.000_001).unwrap().number, number + 1);
        }
    }
    assert!(((filled / drum.capacity()).value - 1.0).abs() < 1e-14);
}

#[test]
fn a_length_between_two_layers_says_how_far_each_is() {
    let drum = drum(1.0);
    let length = Length::new::<meter>(20.0);
    let layer = drum.layer_at(length).unwrap();
    assert_eq!(drum.layer_at(length + layer.room * 0.999).unwrap().number, layer.number);
    assert_eq!(drum.layer_at(length + layer.room * 1.001).unwrap().number, layer.number + 1);
    assert_eq!(drum.layer_at(length - layer.on_layer * 1.001).unwrap().number, layer.number - 1);
}

// ——— table ———

#[test]
fn a_table_answers_only_what_it_holds() {
    let silent = TableWinch::fit([row(0.0, 65.0, None), row(9000.0, 480.0, None)]).unwrap();
    assert_eq!(silent.hauling(force(1000.0)).unwrap().line_speed, None);
    let beyond = silent.hauling(Force::new::<pound_force>(9001.0));
    assert!(matches!(beyond, Err(WinchError::BeyondTable { .. })), "{beyond:?}");

    let speaking = TableWinch::fit([row(0.0, 65.0, Some(0.2)), row(9000.0, 480.0, Some(0.02))]).unwrap();
    let half = speaking.hauling(Force::new::<pound_force>(4500.0)).unwrap();
    assert!((half.line_speed.unwrap().get::<meter_per_second>() - 0.11).abs() < 1e-12);
    assert!((half.current.get::<ampere>() - 272.5).abs() < 1e-9);
}

#[test]
fn a_table_of_speeds_takes_the_curve_that_misses_less_and_says_by_how_much() {
    let speed = |table: &TableWinch, lbf| {
        let state = table.hauling(Force::new::<pound_force>(lbf)).unwrap();
        let band = state.line_speed_band.unwrap();
        assert_eq!(state.line_speed.unwrap(), band.expected);
        assert!(band.low <= band.expected && band.expected <= band.high);
        band.map(|v| v.get::<meter_per_second>())
    };
    let at = |rows: &[(f64, f64)]| {
        TableWinch::fit(rows.iter().map(|(lbf, v)| row(*lbf, 65.0 + 0.05 * lbf, Some(*v)))).unwrap()
    };
    // 1/v = 5 + F/250 lbf, and nothing between that says otherwise.
    let curved: Vec<_> = [0.0, 2000.0, 5000.0, 8000.0].map(|f: f64| (f, 1.0 / (5.0 + f / 250.0))).to_vec();
    let found = speed(&at(&curved), 3500.0);
    for v in [found.low, found.expected, found.high] {
        assert!((v * 19.0 - 1.0).abs() < 1e-12, "{found:?}");
    }
    // A straight line likewise, even where it comes to a stand.
    let straight: Vec<_> = [0.0, 4000.0, 8000.0, 10_000.0].map(|f: f64| (f, 0.2 - f * 2e-5)).to_vec();
    let found = speed(&at(&straight), 6000.0);
    assert!((found.expected - 0.08).abs() < 1e-12 && (found.high - found.low).abs() < 1e-12, "{found:?}");
    assert!(speed(&at(&straight), 10_000.0).expected.abs() < 1e-12);
    // Two rows say nothing of the curve: from 5 % below 1/v to the straight line. Half way: 1/v = 27.5, v = 0.11.
    let found = speed(&at(&[(0.0, 0.2), (8000.0, 0.02)]), 4000.0);
    assert!((found.low - 0.95 / 27.5).abs() < 1e-12 && (found.expected - 0.11).abs() < 1e-12, "{found:?}");
    assert_eq!(found.expected, found.high);
    // And if one of them stands still, as far below as was measured.
    let found = speed(&at(&[(0.0, 0.2), (8000.0, 0.0)]), 4000.0);
    assert!((found.low - 0.1 / 1.93).abs() < 1e-12 && (found.high - 0.1).abs() < 1e-12, "{found:?}");
    // Every row lies in its own band.
    let bent = [(0.0, 0.2), (2000.0, 0.17), (5000.0, 0.06), (8000.0, 0.05)];
    for (lbf, v) in bent {
        let found = speed(&at(&bent), lbf);
        assert!(found.low <= v * (1.0 + 1e-12) && v * (1.0 - 1e-12) <= found.high, "{lbf}: {found:?}");
    }
    // On a larger radius the rope runs faster under the same torque.
    let upper = at(&bent).with_radius_ratio(share(1.25)).unwrap();
    let (low, high) = (speed(&at(&bent), 5000.0), speed(&upper, 4000.0));
    assert!((high.expected / low.expected - 1.25).abs() < 1e-12 && (high.low / low.low - 1.25).abs() < 1e-12);
}

#[test]
fn an_upper_layer_takes_more_current_and_runs_faster() {
    let winch = TableWinch::fit([row(0.0, 65.0, Some(0.2)), row(9000.0, 480.0, Some(0.02))]).unwrap();
    let upper = winch.with_radius_ratio(share(1.0 / 0.63)).unwrap();
    let (low, high) = (winch.hauling(force(2000.0)).unwrap(), upper.hauling(force(2000.0)).unwrap());
    assert!(high.current > low.current && high.line_speed > low.line_speed);
    assert!(((upper.greatest_pull() / winch.greatest_pull()).value - 0.63).abs() < 1e-12);
}

#[test]
fn a_table_that_contradicts_a_winch_is_refused() {
    let few = TableWinch::fit([row(4000.0, 250.0, None), row(4000.0, 260.0, None)]);
    assert!(matches!(few, Err(WinchError::TooFewPoints { given: 2, needed: 2, .. })), "{few:?}");
    assert!(matches!(
        TableWinch::fit(Vec::<TableRow>::new()),
        Err(WinchError::TooFewPoints { given: 0, .. })
    ));
    for rows in [
        [row(0.0, 65.0, None), row(9000.0, 65.0, None)],
        [row(4000.0, 10.0, None), row(9000.0, 480.0, None)],
        [row(0.0, 65.0, Some(0.02)), row(9000.0, 480.0, Some(0.2))],
    ] {
        assert!(matches!(TableWinch::fit(rows), Err(WinchError::ImpossibleFit { .. })), "{rows:?}");
    }
    assert_eq!(input(TableWinch::fit([row(f64::NAN, 65.0, None)])).0, "table_pull");
    assert_eq!(input(TableWinch::fit([row(0.0, -65.0, None)])).0, "table_current");
    assert_eq!(input(TableWinch::fit([row(0.0, 65.0, Some(-1.0))])).0, "table_line_speed");
}

#[test]
fn a_row_out_of_order_is_named() {
    for (rows, bad) in [
        ([row(0.0, 45.0, None), row(5000.0, 110.0, None), row(3000.0, 230.0, None)], 3),
        ([row(0.0, 45.0, None), row(3000.0, 110.0, None), row(5000.0, 109.0, None)], 3),
        ([row(1.0, 45.0, None), row(0.0, 45.0, None), row(5000.0, 109.0, None)], 2),
    ] {
        let why = TableWinch::fit(rows).unwrap_err();
        assert!(matches!(why, WinchError::RowOutOfOrder { row, .. } if row == bad), "{why:?}");
        assert!(why.to_string().contains(&format!("row {bad} ")), "{why}");
    }
    // A current that stays, and a pull that was measured twice, may be rounding and reading.
    let twice =
        [row(0.0, 45.0, None), row(3000.0, 45.0, None), row(5000.0, 110.0, None), row(5000.0, 108.0, None)];
    assert!(TableWinch::fit(twice).is_ok());
}

// ——— properties ———

prop_compose! {
    /// Any winch that somebody could bolt to a truck, and many that nobody would.
    fn any_winch()(
        kt in 1e-3..1.0_f64, i0 in 0.0..50.0_f64, r in 1.0..500.0_f64, n in 1.0..500.0_f64, eta in 0.2..1.0_f64,
        radius in 10.0..300.0_f64, v in 5.0..500.0_f64, battery in 0.0..100.0_f64, leads in 0.0..100.0_f64,
    ) -> Winch {
        let motor = Motor::new(constant(kt), amperes(i0), milliohms(r)).unwrap();
        let gear = Gear::new(share(n), share(eta)).unwrap();
        let supply = Supply::new(volts(v), milliohms(battery), milliohms(leads)).unwrap();
        Winch::new(motor, gear, mm(radius), supply).unwrap()
    }
}

proptest! {
    #[test]
    fn what_the_battery_gives_up_is_lost_or_hauls(winch in any_winch(), part in 0.0..1.0_f64, slow in 0.01..1.0_f64) {
        let pull = winch.stall().pull * part;
        let Ok(hauling) = winch.hauling(pull) else { return Ok(()) };
        // Five products and their sum, each to half a unit, near stall with a cancelling voltage.
        let tolerance = 1e-12;
        prop_assert!(hauling.report.residual < tolerance, "{hauling:?}");
        let lowering = winch.lowering(pull);
        let controlled = winch.hauling_at(pull, hauling.line_speed * slow);
        let back = winch.running_back(pull, milliohms(100.0));
        for state in [lowering, controlled, back].into_iter().flatten() {
            prop_assert!(state.report.residual < tolerance, "{state:?}");
            let closed = state.electrical_power - state.losses.total() - state.mechanical_power;
            prop_assert!(closed.value.abs() <= tolerance * state.losses.total().value.max(state.mechanical_power.value.abs()));
        }
    }

    #[test]
    fn more_pull_takes_more_current_and_runs_slower(winch in any_winch(), a in 0.0..0.99_f64, b in 0.0..0.99_f64) {
        let stall = winch.stall().pull;
        let (Ok(less), Ok(more)) = (winch.hauling(stall * a.min(b)), winch.hauling(stall * a.max(b))) else {
            return Ok(());
        };
        prop_assert!(more.current >= less.current);
        prop_assert!(more.line_speed <= less.line_speed);
        prop_assert!(more.terminal_voltage <= less.terminal_voltage);
    }

    #[test]
    fn lowering_takes_less_current_and_runs_faster_than_hauling_unless_the_gear_locks(
        winch in any_winch(), part in 0.001..0.99_f64,
    ) {
        let pull = winch.stall().pull * part;
        let (Ok(up), Ok(down)) = (winch.hauling(pull), winch.lowering(pull)) else { return Ok(()) };
        prop_assert!(down.motor_current < up.motor_current);
        prop_assert!(down.line_speed > up.line_speed);
        let free = winch.motor().no_load_current();
        prop_assert_eq!(down.motor_current > free, winch.gear().back_efficiency().value < 0.0);
    }

    #[test]
    fn a_worse_gear_never_helps_hauling(winch in any_winch(), part in 0.0..0.9_f64, worse in 0.5..1.0_f64) {
        let pull = winch.stall().pull * (part * worse);
        let gear = Gear::new(winch.gear().ratio(), winch.gear().efficiency() * worse).unwrap();
        let bad = Winch::new(winch.motor(), gear, winch.radius(), winch.supply()).unwrap();
        if let (Ok(good), Ok(bad)) = (winch.hauling(pull), bad.hauling(pull)) {
            prop_assert!(bad.current >= good.current && bad.line_speed <= good.line_speed);
        }
    }

    #[test]
    fn a_table_made_from_a_winch_gives_the_winch_back(winch in any_winch(), part in 0.0..1.0_f64) {
        let top = winch.stall().pull * 0.9;
        let rows: Vec<_> = (0..6_u32)
            .filter_map(|i| winch.hauling(top * (f64::from(i) / 5.0)).ok())
            .map(|s| TableRow { pull: s.pull, current: s.current, line_speed: Some(s.line_speed) })
            .collect();
        prop_assume!(rows.len() == 6 && top > force(1e-3));
        let table = TableWinch::fit(rows.clone()).unwrap();
        let (by_table, by_motor) = (table.hauling(top * part).unwrap(), winch.hauling(top * part).unwrap());
        let scale = rows[5].current;
        prop_assert!(((by_table.current - by_motor.current) / scale).value.abs() < 1e-12);
        let speeds = (by_table.line_speed.unwrap() - by_motor.line_speed) / rows[0].line_speed.unwrap();
        prop_assert!(speeds.value.abs() < 1e-12);
    }
}

// ——— heat ———

fn celsius(t: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<degree_celsius>(t)
}

fn kelvin(t: f64) -> TemperatureInterval {
    TemperatureInterval::new::<kelvin_interval>(t)
}

fn seconds(t: f64) -> Time {
    Time::new::<second>(t)
}

/// Of dimensions that have no units of their own in uom.
fn plain<D: uom::si::Dimension + ?Sized>(x: f64) -> uom::si::Quantity<D, uom::si::SI<f64>, f64> {
    uom::si::Quantity { dimension: std::marker::PhantomData, units: std::marker::PhantomData, value: x }
}

fn two_nodes() -> TwoNode {
    TwoNode::new(plain(400.0), plain(4000.0), plain(0.2), plain(0.5)).unwrap()
}

fn cold() -> Temperatures {
    Temperatures { winding: celsius(20.0), case: celsius(20.0) }
}

fn heating(a: f64) -> Heating {
    let idle = rope_mechanics::quantity::Power::new::<rope_mechanics::quantity::unit::watt>(30.0);
    Heating { current: amperes(a), winding: milliohms(20.0), idle, air: celsius(20.0) }
}

#[test]
fn a_lump_warms_and_cools_by_its_time_constant() {
    let motor = OneNode::new(amperes(60.0), kelvin(80.0), seconds(1200.0)).unwrap();
    let warm = motor.rise_after(kelvin(0.0), amperes(120.0), seconds(600.0)).unwrap();
    assert!((warm.value - 320.0 * (1.0 - (-0.5_f64).exp())).abs() < 1e-12);
    let cooled = motor.rise_after(warm, amperes(0.0), seconds(1200.0)).unwrap();
    assert!(((cooled / warm).value - (-1.0_f64).exp()).abs() < 1e-15);
    assert_eq!(motor.lasting_rise(amperes(120.0)).unwrap(), kelvin(320.0));
    let back = motor.time_to(kelvin(0.0), amperes(120.0), warm).unwrap().unwrap();
    assert!((back.value - 600.0).abs() < 1e-9);
    assert_eq!(motor.time_to(warm, amperes(0.0), kelvin(10.0)).unwrap(), Some(seconds(0.0)));
}

#[test]
fn a_short_overload_is_borne_by_its_i_squared_t() {
    let motor = OneNode::new(amperes(60.0), kelvin(80.0), seconds(1200.0)).unwrap();
    let by_rule = motor.current_squared_time().value / (1000.0 * 1000.0);
    let exact = motor.time_to(kelvin(0.0), amperes(1000.0), kelvin(80.0)).unwrap().unwrap().value;
    // −ln(1 − x) = x + x²/2 + …, with x = 0.0036: the rule errs to the safe side by x/2.
    assert!(by_rule < exact && exact / by_rule - 1.0 < 0.0019, "{by_rule} {exact}");
}

#[test]
fn a_motor_rests_as_often_as_it_gets_to_its_limit() {
    let motor = OneNode::new(amperes(60.0), kelvin(80.0), seconds(1200.0)).unwrap();
    let (cold, limit) = (kelvin(0.0), kelvin(80.0));
    for (amps, resume, minutes) in
        [(120.0, 40.0, 7.0), (120.0, 60.0, 30.0), (75.0, 20.0, 300.0), (400.0, 70.0, 3.0)]
    {
        let pull = (amperes(amps), seconds(60.0 * minutes));
        let haul = motor.with_rests(cold, [pull], limit, kelvin(resume)).unwrap();
        // τ·ln((ϑ∞ − ϑ₀)/(ϑ∞ − ϑ)) from cold, and the same from where it goes on; it rests once for each that is over.
        let lasting = 80.0 * (amps / 60.0_f64).powi(2);
        let to_limit = |from: f64| 1200.0 * ((lasting - from) / (lasting - 80.0)).ln();
        let rests = ((60.0 * minutes - to_limit(0.0)) / to_limit(resume)).ceil();
        assert_eq!(f64::from(haul.rests), rests, "{amps} A");
        let each = 1200.0 * (80.0 / resume).ln();
        assert!((haul.resting.value / (rests * each) - 1.0).abs() < 1e-12);
        assert_eq!((haul.hottest, haul.gets_through), (limit, true));
        // What is left after the last rest, from where it goes on.
        let left = 60.0 * minutes - to_limit(0.0) - (rests - 1.0) * to_limit(resume);
        let end = lasting + (resume - lasting) * (-left / 1200.0).exp();
        assert!((haul.at_end.value / end - 1.0).abs() < 1e-9, "{} {end}", haul.at_end.value);
    }
}

#[test]
fn a_motor_that_stays_below_its_limit_never_rests() {
    let motor = OneNode::new(amperes(60.0), kelvin(80.0), seconds(1200.0)).unwrap();
    let pulls =
        [(amperes(100.0), seconds(200.0)), (amperes(0.0), seconds(500.0)), (amperes(59.0), seconds(1e6))];
    let haul = motor.with_rests(kelvin(10.0), pulls, kelvin(80.0), kelvin(40.0)).unwrap();
    let mut rise = kelvin(10.0);
    let mut hottest = rise;
    for (current, time) in pulls {
        rise = motor.rise_after(rise, current, time).unwrap();
        hottest = if rise > hottest { rise } else { hottest };
    }
    assert_eq!((haul.at_end, haul.hottest, haul.rests, haul.resting), (rise, hottest, 0, seconds(0.0)));
    // Just as long as it bears is no rest yet; a second longer is.
    let bears = motor.time_to(kelvin(0.0), amperes(120.0), kelvin(80.0)).unwrap().unwrap();
    let after =
        |time| motor.with_rests(kelvin(0.0), [(amperes(120.0), time)], kelvin(80.0), kelvin(40.0)).unwrap();
    assert_eq!(after(bears).rests, 0);
    assert_eq!(after(bears + seconds(1.0)).rests, 1);
    // Hotter than its limit, it only cools while nothing flows, and rests before it pulls.
    let hot =
        motor.with_rests(kelvin(100.0), [(amperes(0.0), seconds(60.0))], kelvin(80.0), kelvin(40.0)).unwrap();
    assert_eq!((hot.rests, hot.hottest), (0, kelvin(100.0)));
    let hot = motor
        .with_rests(kelvin(100.0), [(amperes(120.0), seconds(60.0))], kelvin(80.0), kelvin(40.0))
        .unwrap();
    assert_eq!((hot.rests, hot.hottest), (1, kelvin(100.0)));
    assert!((hot.resting.value - 1200.0 * 2.5_f64.ln()).abs() < 1e-9);
}

#[test]
fn a_motor_far_too_small_never_gets_through() {
    let motor = OneNode::new(amperes(6.0), kelvin(80.0), seconds(1200.0)).unwrap();
    let haul = motor.with_rests(kelvin(0.0), [(amperes(120.0), seconds(3600.0))], kelvin(80.0), kelvin(79.0));
    assert!(!haul.unwrap().gets_through);
    let refused = |start, current, time, limit, resume| {
        motor.with_rests(kelvin(start), [(amperes(current), seconds(time))], kelvin(limit), kelvin(resume))
    };
    for (wrong, field) in [
        (refused(f64::NAN, 1.0, 1.0, 80.0, 40.0), "starting_rise"),
        (refused(0.0, f64::INFINITY, 1.0, 80.0, 40.0), "current"),
        (refused(0.0, 1.0, -1.0, 80.0, 40.0), "duration"),
        (refused(0.0, 1.0, 1.0, 0.0, 40.0), "limit_rise"),
        (refused(0.0, 1.0, 1.0, 80.0, 80.0), "resume_rise"),
        (refused(0.0, 1.0, 1.0, 80.0, 0.0), "resume_rise"),
    ] {
        assert_eq!(wrong.unwrap_err().field, field);
    }
}

#[test]
fn cycles_settle_where_one_more_changes_nothing() {
    let motor = OneNode::new(amperes(60.0), kelvin(80.0), seconds(1200.0)).unwrap();
    let (on, off) = (seconds(120.0), seconds(300.0));
    let cycle = motor.duty_cycle(amperes(120.0), on, off).unwrap();
    let rested = motor.rise_after(cycle.hottest, amperes(0.0), off).unwrap();
    let again = motor.rise_after(rested, amperes(120.0), on).unwrap();
    assert!((rested - cycle.coolest).value.abs() < 1e-12 && (again - cycle.hottest).value.abs() < 1e-12);

    // Very short cycles at the lasting share reach the rated rise.
    let share = motor.lasting_share(amperes(120.0)).unwrap().value;
    let short =
        motor.duty_cycle(amperes(120.0), seconds(share * 0.01), seconds((1.0 - share) * 0.01)).unwrap();
    assert!((short.hottest.value - 80.0).abs() < 0.001);

    let rest = Heating { current: amperes(0.0), idle: plain(0.0), ..heating(120.0) };
    let cycle = two_nodes().duty_cycle(heating(120.0), on, off).unwrap();
    let (hottest, coolest) = (cycle.after_pull, cycle.after_rest);
    let rested = two_nodes().after(hottest, rest, off).unwrap();
    assert_eq!(rested, coolest);
    let again = two_nodes().after(rested, heating(120.0), on).unwrap();
    assert!((again.winding.value - hottest.winding.value).abs() < 1e-9);
    assert!((again.case.value - hottest.case.value).abs() < 1e-9);
    let burning = two_nodes().duty_cycle(heating(400.0), on, off);
    assert_eq!(burning, Err(WinchError::CyclesBurnOut));
}

/// Copper's slope at 25 °C, from 0.003 93 at 20 °C.
const COPPER: f64 = 0.003_93 / (1.0 + 0.003_93 * 5.0);

#[test]
fn two_nodes_follow_their_equations() {
    // By the classical Runge–Kutta rule in steps of 0.05 s: error about (0.05/τ)⁴ with τ = 73 s, far below 1e-9.
    let (air, r, i): (f64, f64, f64) = (20.0, 0.020, 150.0);
    let rate = |x: [f64; 2]| {
        let loss = i * i * r * (1.0 + COPPER * (x[0] - 25.0));
        let across = (x[0] - x[1]) / 0.2;
        [(loss - across) / 400.0, (30.0 + across - (x[1] - air) / 0.5) / 4000.0]
    };
    let mut x = [20.0, 20.0];
    let add = |x: [f64; 2], k: [f64; 2], h: f64| [x[0] + k[0] * h, x[1] + k[1] * h];
    let h = 0.05;
    for _ in 0..4000 {
        let k1 = rate(x);
        let k2 = rate(add(x, k1, h / 2.0));
        let k3 = rate(add(x, k2, h / 2.0));
        let k4 = rate(add(x, k3, h));
        for (n, value) in x.iter_mut().enumerate() {
            *value += h / 6.0 * (k1[n] + 2.0 * k2[n] + 2.0 * k3[n] + k4[n]);
        }
    }
    let exact = two_nodes().after(cold(), heating(150.0), seconds(200.0)).unwrap();
    assert!((exact.winding.get::<degree_celsius>() - x[0]).abs() < 1e-9, "{exact:?} {x:?}");
    assert!((exact.case.get::<degree_celsius>() - x[1]).abs() < 1e-9, "{exact:?} {x:?}");
}

#[test]
fn a_motor_settles_where_its_loss_leaves_through_its_case() {
    let settled = two_nodes().settles_at(heating(80.0)).unwrap().unwrap();
    let (winding, case) = (settled.winding.get::<degree_celsius>(), settled.case.get::<degree_celsius>());
    let loss = 80.0 * 80.0 * 0.020 * (1.0 + COPPER * (winding - 25.0));
    assert!(((winding - case) / 0.2 - loss).abs() < 1e-9);
    assert!(((case - 20.0) / 0.5 - loss - 30.0).abs() < 1e-9);
    let late = two_nodes().after(cold(), heating(80.0), seconds(1e6)).unwrap();
    assert!((late.winding.value - settled.winding.value).abs() < 1e-9);
}

#[test]
fn a_hot_winding_resists_more_until_it_runs_away() {
    assert_eq!(two_nodes().settles_at(heating(200.0)).unwrap(), None);
    let Err(WinchError::BurnsOut { seconds: after }) =
        two_nodes().after(cold(), heating(200.0), seconds(1e5))
    else {
        panic!("200 A for a day did no harm");
    };
    let time = two_nodes().time_to(cold(), heating(200.0), celsius(300.0)).unwrap().unwrap();
    assert_eq!(time.value, after);
}

#[test]
fn an_input_that_no_motor_warms_by_is_named() {
    assert_eq!(input(OneNode::new(amperes(0.0), kelvin(80.0), seconds(1.0))).0, "continuous_current");
    assert_eq!(input(OneNode::new(amperes(1.0), kelvin(0.0), seconds(1.0))).0, "rated_rise");
    assert_eq!(input(OneNode::new(amperes(1.0), kelvin(80.0), seconds(0.0))).0, "thermal_time_constant");
    assert_eq!(
        input(TwoNode::new(plain(0.0), plain(1.0), plain(1.0), plain(1.0))).0,
        "winding_heat_capacity"
    );
    assert_eq!(input(TwoNode::new(plain(1.0), plain(1.0), plain(f64::NAN), plain(1.0))).0, "winding_to_case");
    assert_eq!(input(two_nodes().time_to(cold(), heating(80.0), celsius(301.0))).0, "winding_limit");
    assert_eq!(input(two_nodes().after(cold(), heating(f64::NAN), seconds(1.0))).0, "current");
    assert_eq!(input(two_nodes().after(cold(), heating(1.0), seconds(-1.0))).0, "duration");
}

// ——— battery ———

/// From 11.6 V empty to 12.7 V full along a straight line.
const FULL_RANGE: [(Ratio, ElectricPotential); 2] = [LEAD_ACID_OPEN_CIRCUIT[0], LEAD_ACID_OPEN_CIRCUIT[5]];

fn peukert(exponent: f64) -> Peukert {
    Peukert::new(ElectricCharge::new::<ampere_hour>(60.0), Time::new::<hour>(20.0), share(exponent)).unwrap()
}

fn battery() -> Battery<'static> {
    Battery::new(peukert(1.2), &FULL_RANGE, milliohms(4.0)).unwrap().bank(2, 1).unwrap()
}

#[test]
fn a_bank_adds_volts_in_series_and_charge_in_parallel() {
    let one = Battery::new(peukert(1.2), &FULL_RANGE, milliohms(4.0)).unwrap();
    let four = one.bank(2, 2).unwrap();
    let warm = celsius(25.0);
    assert_eq!(four.open_circuit(share(0.5)).unwrap(), one.open_circuit(share(0.5)).unwrap() * 2.0);
    assert_eq!(four.capacity(warm).unwrap(), one.capacity(warm).unwrap() * 2.0);
    let supply = four.supply(share(1.0), warm, milliohms(3.0)).unwrap();
    assert_eq!(supply.battery_resistance(), milliohms(4.0));
}

#[test]
fn the_cold_takes_charge_and_adds_resistance() {
    let stiff = [(celsius(-20.0), share(2.0)), (celsius(25.0), share(1.0))];
    let battery = battery().with_cold(&LEAD_ACID_COLD).unwrap().with_cold_resistance(&stiff).unwrap();
    let left = battery.capacity(celsius(-20.0)).unwrap() / battery.capacity(celsius(25.0)).unwrap();
    assert!((left.value - 0.478).abs() < 0.001);
    assert!(battery.capacity(celsius(0.0)).unwrap() < battery.capacity(celsius(10.0)).unwrap());
    let cold = battery.supply(share(1.0), celsius(-20.0), milliohms(0.0)).unwrap();
    assert_eq!(cold.battery_resistance(), milliohms(16.0));
    // level beyond the ends of the table
    assert_eq!(battery.capacity(celsius(-40.0)).unwrap(), battery.capacity(celsius(-20.0)).unwrap());
}

#[test]
fn a_battery_that_cannot_be_is_named() {
    let ah = ElectricCharge::new::<ampere_hour>(60.0);
    assert_eq!(input(Peukert::new(ah * 0.0, Time::new::<hour>(20.0), share(1.2))).0, "battery_capacity");
    assert_eq!(input(Peukert::new(ah, Time::new::<hour>(0.0), share(1.2))).0, "rated_time");
    assert_eq!(input(Peukert::new(ah, Time::new::<hour>(20.0), share(0.9))).0, "peukert_exponent");
    assert_eq!(input(peukert(1.2).time(amperes(0.0))).0, "current");
    let table =
        |points: &'static [(Ratio, ElectricPotential)]| Battery::new(peukert(1.2), points, milliohms(4.0));
    assert_eq!(input(table(&[])).0, "state_of_charge");
    let falling = [(share(0.0), volts(12.0)), (share(1.0), volts(11.0))];
    assert_eq!(input(Battery::new(peukert(1.2), &falling, milliohms(4.0))).0, "open_circuit_voltage");
    let twice = [(share(0.5), volts(12.0)), (share(0.5), volts(12.1))];
    assert_eq!(input(Battery::new(peukert(1.2), &twice, milliohms(4.0))).1, Allowed::Above(0.5));
    assert_eq!(input(battery().supply(share(1.1), celsius(0.0), milliohms(0.0))).0, "state_of_charge");
    assert_eq!(input(battery().bank(0, 1)).0, "batteries_in_series");
    assert_eq!(input(battery().with_cold(&[])).0, "battery_temperature");
}

// ——— a whole haul ———

fn cycle() -> HaulCycle<'static> {
    HaulCycle::new(winch(), battery(), milliohms(3.0), celsius(25.0)).unwrap()
}

fn metres(x: f64) -> Extent {
    Extent::Distance(Length::new::<meter>(x))
}

#[test]
fn a_haul_on_a_falling_voltage_takes_the_time_that_its_parabola_says() {
    let outcome = cycle().run([HaulStep::haul(force(2000.0), metres(60.0))], |_| {}).unwrap();
    // v = v₀ − a·t with the charge falling steadily: t = (v₀ − √(v₀² − 2a·s))/a
    let i: f64 = winch().hauling(force(2000.0)).unwrap().current.value;
    let speed = |volts: f64| (volts - i * 0.031) / 0.055 * 0.036 / 180.0;
    let v0 = speed(25.4);
    let drain = i / (60.0 * 3600.0) * (i / 3.0).powf(0.2);
    let a = drain * 2.2 / 0.055 * 0.036 / 180.0;
    let time = (v0 - (v0 * v0 - 2.0 * a * 60.0).sqrt()) / a;
    assert!(outcome.stopped.is_none());
    assert!((outcome.time.value / time - 1.0).abs() < 1e-10, "{} {time}", outcome.time.value);
    assert!((outcome.charge.value - (1.0 - drain * time)).abs() < 1e-10);
    assert_eq!(outcome.hauled, Length::new::<meter>(60.0));
    assert!((outcome.work.value / (2000.0 * 60.0) - 1.0).abs() < 1e-12);
    assert!((outcome.largest_current.value / i - 1.0).abs() < 1e-12);
    assert!(outcome.report.residual < 1e-12);
}

#[test]
fn half_the_interval_changes_next_to_nothing() {
    let steps = [
        HaulStep::haul(force(12000.0), metres(10.0)),
        HaulStep::rest(seconds(60.0)),
        HaulStep::haul(force(6000.0), metres(10.0)).at_speed(Velocity::new::<meter_per_second>(0.05)),
        HaulStep::lower(force(6000.0), metres(5.0)),
    ];
    let warm = cycle().with_heat(two_nodes(), celsius(155.0)).unwrap();
    let coarse = warm.run(steps, |_| {}).unwrap();
    let fine = warm.with_interval(seconds(0.5)).unwrap().run(steps, |_| {}).unwrap();
    assert!(coarse.stopped.is_none(), "{coarse:?}");
    assert!((coarse.time / fine.time - share(1.0)).value.abs() < 1e-6);
    assert!((coarse.energy / fine.energy - share(1.0)).value.abs() < 1e-6);
    assert!((coarse.hottest_winding.value - fine.hottest_winding.value).abs() < 1e-4);
}

#[test]
fn an_empty_battery_stops_the_haul_where_its_charge_ends() {
    let little = cycle().with_charge(share(0.05), share(0.0)).unwrap();
    let outcome = little.run([HaulStep::haul(force(4000.0), metres(500.0))], |_| {}).unwrap();
    let stopped = outcome.stopped.unwrap();
    assert_eq!((stopped.step, stopped.why), (0, StopCause::BatteryFlat));
    assert!(outcome.charge.value.abs() < 1e-12);
    let i = winch().hauling(force(4000.0)).unwrap().current.value;
    let lasts = 0.05 * 60.0 * 3600.0 / i * (3.0 / i).powf(0.2);
    assert!((outcome.time.value / lasts - 1.0).abs() < 1e-9);
    assert_eq!(stopped.distance, outcome.hauled);
}

#[test]
fn a_low_voltage_a_hot_winding_and_a_stall_stop_the_haul_and_say_so() {
    let haul = [HaulStep::haul(force(2000.0), metres(5.0)), HaulStep::haul(force(30_000.0), metres(50.0))];
    let dropping = cycle().with_lowest_voltage(volts(24.0)).unwrap().run(haul, |_| {}).unwrap();
    assert_eq!(dropping.stopped.map(|s| (s.step, s.why)), Some((1, StopCause::VoltageTooLow)));
    assert_eq!(dropping.stopped.unwrap().distance.value, 0.0);

    let hot = cycle().with_heat(two_nodes(), celsius(120.0)).unwrap().run(haul, |_| {}).unwrap();
    assert_eq!(hot.stopped.map(|s| (s.step, s.why)), Some((1, StopCause::TooHot)));
    assert!((hot.hottest_winding.get::<degree_celsius>() - 120.0).abs() < 1e-9);

    let stalled =
        cycle().run([HaulStep::haul(Force::new::<kilonewton>(200.0), metres(1.0))], |_| {}).unwrap();
    assert!(matches!(stalled.stopped.unwrap().why, StopCause::CannotPull(WinchError::BeyondStall { .. })));
}

#[test]
fn an_upper_layer_pulls_at_more_current() {
    let layer = drum(1.0).layer_at(Length::new::<meter>(20.0)).unwrap();
    let low = cycle().run([HaulStep::haul(force(2000.0), metres(5.0))], |_| {}).unwrap();
    let high = [HaulStep::haul(force(2000.0), metres(5.0)).on_layer(layer.pull_ratio)];
    let high = cycle().run(high, |_| {}).unwrap();
    let load = |i: ElectricCurrent| i.value - 6.0;
    assert!((load(low.largest_current) / load(high.largest_current) - layer.pull_ratio.value).abs() < 1e-9);
    assert!(high.time < low.time);
}

#[test]
fn samples_run_from_the_start_of_a_step_to_its_end() {
    let steps = [HaulStep::haul(force(2000.0), metres(1.0)), HaulStep::rest(seconds(30.0))];
    let mut samples = Vec::new();
    let standby = cycle().with_standby(amperes(0.5)).unwrap();
    let outcome = standby.run(steps, |sample| samples.push(*sample)).unwrap();
    assert_eq!((samples[0].step, samples[0].time.value), (0, 0.0));
    let turn = samples.iter().position(|s| s.step == 1).unwrap();
    assert_eq!(samples[turn - 1].distance, Length::new::<meter>(1.0));
    assert_eq!(samples[turn].time, samples[turn - 1].time);
    assert_eq!(samples.last().unwrap().time, outcome.time);
    assert!(samples.windows(2).all(|w| w[1].charge <= w[0].charge && w[1].time >= w[0].time));
    assert_eq!(samples.last().unwrap().current, amperes(0.5));
}

#[test]
fn a_rest_after_a_haul_ends() {
    // The time that this haul takes is no multiple of the last bit of the rest: 30 s later, 1e-15 s may seem left.
    let steps = [
        HaulStep::haul(force(2000.0), metres(0.50)),
        HaulStep::rest(seconds(30.0)),
        HaulStep::haul(force(2000.0), metres(1.0)),
    ];
    let battery = Battery::new(peukert(1.25), &LEAD_ACID_OPEN_CIRCUIT, milliohms(4.0)).unwrap();
    let cycle = HaulCycle::new(winch(), battery.bank(2, 1).unwrap(), milliohms(3.0), celsius(15.0)).unwrap();
    let mut intervals = 0;
    let outcome = cycle
        .run(steps, |_| {
            intervals += 1;
            assert!(intervals < 1000, "a haul of half a minute goes on for ever");
        })
        .unwrap();
    assert!(outcome.stopped.is_none());
    assert_eq!(outcome.hauled, Length::new::<meter>(1.5));
}

#[test]
fn a_day_of_rest_takes_no_more_intervals_than_a_quarter_of_an_hour() {
    let rested = |hours| {
        let rest = HaulStep::rest(Time::new::<hour>(hours));
        cycle().with_standby(amperes(0.01)).unwrap().run([rest], |_| {}).unwrap()
    };
    assert_eq!(rested(24.0).time, Time::new::<hour>(24.0));
    assert!((999..=1002).contains(&rested(24.0).report.iterations));
    assert!(rested(0.25).report.iterations <= 900);
}

#[test]
fn a_battery_that_holds_next_to_nothing_is_flat_at_once() {
    let peukert = |hours: f64| {
        Peukert::new(ElectricCharge::new::<ampere_hour>(hours), Time::new::<hour>(20.0), share(1.0))
    };
    assert_eq!(peukert(1e-323).unwrap_err().field, "battery_capacity");
    let battery = Battery::new(peukert(3e-24).unwrap(), &FULL_RANGE, milliohms(4.0)).unwrap();
    let cycle = HaulCycle::new(winch(), battery, milliohms(3.0), celsius(25.0)).unwrap();
    let outcome =
        cycle.with_standby(amperes(1.0)).unwrap().run([HaulStep::rest(seconds(1.0))], |_| {}).unwrap();
    assert_eq!(outcome.stopped.unwrap().why, StopCause::BatteryFlat);
    // 3e-24 A·h at 1 A
    assert!(outcome.time < seconds(1.1e-20) && outcome.report.iterations <= 1000, "{outcome:?}");
}

/// A winding that warms makes the line slow down, here on a voltage with which the warm motor hardly turns any more.
/// Then v = v∞ + (v₀ − v∞)·e^(−t/τ), and what is left of (v₀ − v∞)·τ takes as long again for each third of it.
#[test]
fn a_line_that_comes_to_a_stand_just_at_its_end_is_given_up() {
    let tau = 1e5;
    let current = winch().hauling(force(4000.0)).unwrap().motor_current;
    let heat = OneNode::new(current, kelvin(80.0), seconds(tau)).unwrap();
    let warm = motor().warmed_to(celsius(105.0)).unwrap();
    let voltage = current * (warm.winding_resistance() + milliohms(7.0)) * (1.0 + 1e-9);
    let level = [(share(0.0), voltage), (share(1.0), voltage)];
    // No haul empties it.
    let peukert = Peukert::new(ElectricCharge::new::<ampere_hour>(1e7), Time::new::<hour>(20.0), share(1.0));
    let battery = Battery::new(peukert.unwrap(), &level, milliohms(4.0)).unwrap();
    let on = winch().with_supply(battery.supply(share(1.0), celsius(25.0), milliohms(3.0)).unwrap());
    let slowdown = on.hauling(force(4000.0)).unwrap().line_speed
        - on.with_motor(warm).hauling(force(4000.0)).unwrap().line_speed;
    let cycle = HaulCycle::new(on, battery, milliohms(3.0), celsius(25.0)).unwrap();
    let cycle = cycle.with_heat(heat, celsius(120.0)).unwrap();
    let until = |left: f64| {
        let haul = HaulStep::haul(force(4000.0), metres((1.0 - left) * slowdown.value * tau));
        cycle.run([HaulStep::rest(seconds(1.0)), haul], |_| {})
    };
    let outcome = until(1e-3).unwrap();
    assert!(outcome.stopped.is_none());
    assert!((outcome.time.value / (tau * 1e3_f64.ln()) - 1.0).abs() < 1e-3, "{outcome:?}");
    let why = until(1e-6).unwrap_err();
    assert_eq!(why, WinchError::TooManyIntervals { step: 1, intervals: 10_000 });
    assert!(why.to_string().contains("step 1") && why.to_string().contains("check its line speed"), "{why}");
}

#[test]
fn a_table_that_goes_down_to_its_stall_stops_there() {
    let rows = [(0.0, 65.0, 0.2), (6000.0, 340.0, 0.05), (9000.0, 480.0, 0.0)];
    let table = TableWinch::fit(rows.map(|(lbf, a, speed)| row(lbf, a, Some(speed)))).unwrap();
    let cycle = HaulCycle::new(table, battery(), milliohms(3.0), celsius(25.0)).unwrap();
    let stopped = cycle.run([HaulStep::haul(table.greatest_pull(), metres(1.0))], |_| {}).unwrap().stopped;
    assert!(
        matches!(stopped.unwrap().why, StopCause::CannotPull(WinchError::BeyondStall { .. })),
        "{stopped:?}"
    );
}

#[test]
fn a_table_on_another_layer_stays_there_for_a_haul() {
    let table = TableWinch::fit([row(0.0, 65.0, Some(0.2)), row(9000.0, 480.0, Some(0.02))]).unwrap();
    let upper = table.with_radius_ratio(share(1.5)).unwrap();
    let on = |machine: TableWinch, pull_ratio: f64| {
        let cycle = HaulCycle::new(machine, battery(), milliohms(3.0), celsius(25.0)).unwrap();
        let step = HaulStep::haul(force(4000.0), metres(1.0)).on_layer(share(pull_ratio));
        cycle.run([step], |_| {}).unwrap().largest_current.value
    };
    assert!((on(upper, 1.0) / on(table, 1.0 / 1.5) - 1.0).abs() < 1e-14);
    assert!(on(upper, 1.0) > on(table, 1.0));
}

#[test]
fn a_table_winch_hauls_as_far_as_its_table_goes() {
    let silent = TableWinch::fit([row(0.0, 65.0, None), row(9000.0, 480.0, None)]).unwrap();
    let haul = HaulStep::haul(force(4000.0), metres(10.0));
    let on = |machine: TableWinch| HaulCycle::new(machine, battery(), milliohms(3.0), celsius(25.0)).unwrap();
    assert_eq!(on(silent).run([haul], |_| {}), Err(WinchError::NoSpeedInTable));
    let paced = on(silent).run([haul.at_speed(Velocity::new::<meter_per_second>(0.1))], |_| {}).unwrap();
    assert!((paced.time.value - 100.0).abs() < 1e-9);
    let timed = HaulStep::haul(force(4000.0), Extent::Duration(seconds(100.0)));
    assert!((on(silent).run([timed], |_| {}).unwrap().charge - paced.charge).value.abs() < 1e-12);
    let lower = HaulStep::lower(force(4000.0), metres(10.0));
    assert_eq!(on(silent).run([lower], |_| {}), Err(WinchError::NoLoweringInTable));
    let heated = on(silent).with_heat(two_nodes(), celsius(120.0)).unwrap();
    assert_eq!(heated.run([timed], |_| {}), Err(WinchError::NoWindingInTable));
}

#[test]
fn a_haul_with_a_number_that_cannot_be_is_refused() {
    assert_eq!(input(cycle().run([HaulStep::haul(force(f64::NAN), metres(1.0))], |_| {})).0, "pull");
    assert_eq!(input(cycle().run([HaulStep::haul(force(1.0), metres(-1.0))], |_| {})).0, "distance");
    assert_eq!(input(cycle().run([HaulStep::rest(seconds(-1.0))], |_| {})).0, "duration");
    assert_eq!(input(cycle().with_charge(share(0.5), share(0.6))).0, "reserve");
    assert_eq!(input(cycle().with_heat(two_nodes(), celsius(20.0))).0, "winding_limit");
    assert_eq!(input(cycle().with_interval(seconds(0.0))).0, "interval");
    assert_eq!(cycle().run(Vec::<HaulStep>::new(), |_| {}).unwrap().time, seconds(0.0));
}

// ——— current as a sensor ———

fn gauge() -> CurrentGauge {
    CurrentGauge::of_winch(&winch(), amperes(1.0), (share(0.60), share(0.85))).unwrap()
}

fn band(reading: PullReading) -> Band<Force> {
    match reading {
        PullReading::Pull(band) => band,
        PullReading::CannotTell(why) => panic!("{why:?}"),
    }
}

#[test]
fn a_current_is_blind_where_it_must_be() {
    let read = |a: f64, running| gauge().read(amperes(a), running).unwrap();
    for (running, why) in [
        (Running::BrakeSet, Blind::BrakeSet),
        (Running::Starting, Blind::Starting),
        (Running::Accelerating, Blind::Accelerating),
        (Running::Unpowered, Blind::Unpowered),
    ] {
        assert_eq!(read(16.0, running), PullReading::CannotTell(why));
    }
    assert_eq!(read(4.0, Running::Hauling), PullReading::CannotTell(Blind::BelowIdle));
    assert_eq!(read(8.0, Running::Lowering), PullReading::CannotTell(Blind::BrakeDrags));
    assert_eq!(read(900.0, Running::Hauling), PullReading::CannotTell(Blind::Stalled));
    let locking =
        CurrentGauge::of_winch(&winch_with(0.52), amperes(1.0), (share(0.49), share(0.55))).unwrap();
    assert_eq!(
        locking.read(amperes(5.0), Running::Lowering).unwrap(),
        PullReading::CannotTell(Blind::GearLocks)
    );

    let table = TableWinch::fit([row(0.0, 65.0, None), row(9000.0, 480.0, None)]).unwrap();
    let table = CurrentGauge::of_table(&table, amperes(10.0), share(0.05)).unwrap();
    let lowering = table.read(amperes(70.0), Running::Lowering).unwrap();
    assert_eq!(lowering, PullReading::CannotTell(Blind::NoLoweringInTable));
    let beyond = table.read(amperes(600.0), Running::Hauling).unwrap();
    assert_eq!(beyond, PullReading::CannotTell(Blind::BeyondTable));
}

#[test]
fn every_row_of_a_table_lies_inside_its_own_band() {
    // Series-wound: no straight line. The second has its line pushed up to the origin.
    let bent = [(0.0, 60.0), (10e3, 180.0), (20e3, 260.0), (40e3, 380.0)];
    let low = [(0.0, 0.0), (10e3, 90.0), (20e3, 210.0), (40e3, 420.0)];
    for rows in [bent, low] {
        let rows = rows.map(|(f, a)| TableRow { pull: force(f), current: amperes(a), line_speed: None });
        let winch = TableWinch::fit(rows).unwrap();
        for layer in [1.0, 1.7] {
            let winch = winch.with_radius_ratio(share(layer)).unwrap();
            let gauge = CurrentGauge::of_table(&winch, amperes(0.0), share(0.0)).unwrap();
            for row in rows {
                let band = band(gauge.read(row.current, Running::Hauling).unwrap());
                let pull = row.pull / layer;
                assert!(band.low <= pull && pull <= band.high, "{row:?} {band:?}");
            }
        }
    }
}

#[test]
fn as_much_current_as_the_controller_lets_through_tells_no_pull() {
    let limited = winch().with_current_limit(amperes(30.0)).unwrap();
    assert_eq!((limited.stall().bound, limited.stall().current), (Bound::CurrentLimit, amperes(30.0)));
    let gauge = CurrentGauge::of_winch(&limited, amperes(0.0), (share(0.72), share(0.72))).unwrap();
    let at = |a: f64| gauge.read(amperes(a), Running::Hauling).unwrap();
    assert_eq!(at(30.0), PullReading::CannotTell(Blind::Stalled));
    let below = limited.hauling(band(at(29.9)).expected).unwrap().motor_current;
    assert!((below.get::<ampere>() - 29.9).abs() < 1e-12);
}

#[test]
fn an_input_that_no_gauge_has_is_named() {
    let of =
        |idle: f64, lo: f64, hi: f64| CurrentGauge::of_winch(&winch(), amperes(idle), (share(lo), share(hi)));
    assert_eq!(input(of(-1.0, 0.6, 0.85)).0, "idle_band");
    assert_eq!(input(of(1.0, 0.8, 0.85)).0, "least_efficiency");
    assert_eq!(input(of(1.0, 0.6, 0.7)).0, "most_efficiency");
    assert_eq!(input(gauge().with_meter_band(amperes(f64::NAN))).0, "meter_band");
    assert_eq!(input(gauge().read(amperes(f64::NAN), Running::Hauling)).0, "current");
}

#[test]
fn a_worse_meter_widens_the_band() {
    let fine = band(gauge().read(amperes(26.0), Running::Hauling).unwrap());
    let coarse = gauge().with_meter_band(amperes(2.0)).unwrap();
    let coarse = band(coarse.read(amperes(26.0), Running::Hauling).unwrap());
    assert!(coarse.low < fine.low && coarse.high > fine.high && coarse.expected == fine.expected);
}

// ——— a jam ———

#[test]
fn a_jam_rises_at_first_by_stiffness_times_speed_and_ends_at_the_stall() {
    let rope = rope_mechanics::quantity::Stiffness::from_text("8 kN/m").unwrap();
    let jam = winch().jam(rope, force(2000.0)).unwrap();
    // That of the same winch with a gear that loses nothing: no gear can be faster.
    let speed = winch_with(1.0).hauling(force(2000.0)).unwrap().line_speed;
    assert_eq!(jam.rate, rope * speed);
    assert!(speed > winch().hauling(force(2000.0)).unwrap().line_speed);
    let soon = jam.force_after(seconds(0.01)).unwrap() - force(2000.0);
    assert!((soon.value / (jam.rate.value * 0.01) - 1.0).abs() < 1e-4);
    let time = jam.time_to(force(8000.0)).unwrap().unwrap();
    assert!((jam.force_after(time).unwrap().value - 8000.0).abs() < 1e-8);
    assert_eq!(jam.greatest, winch().stall().pull_without_gear_loss);
    assert_eq!(jam.force_after(seconds(1e9)).unwrap(), jam.greatest);
    assert_eq!(jam.time_to(Force::new::<kilonewton>(230.0)).unwrap(), None);

    let slipping = winch().with_slip(force(6000.0)).unwrap().jam(rope, force(2000.0)).unwrap();
    assert_eq!(slipping.time_to(force(8000.0)).unwrap(), None);
    assert_eq!(slipping.force_after(seconds(60.0)).unwrap(), force(6000.0));
    assert_eq!(input(winch().jam(rope * 0.0, force(1.0))).0, "rope_stiffness");
    assert_eq!(input(jam_rate(force(0.0), mm(1.0), speed)).0, "axial_stiffness");
}

// ——— fitting ———

fn motor_point(t: f64, wobble: f64) -> MotorPoint {
    let state = motor().at_torque(volts(24.0), Torque::new::<newton_meter>(t)).unwrap();
    MotorPoint {
        voltage: volts(24.0 * (1.0 + wobble)),
        current: state.current,
        speed: state.speed,
        torque: state.torque,
    }
}

#[test]
fn points_without_error_give_the_constants_back() {
    let points = [0.0, 1.0, 3.0, 8.0, 20.0].map(|t| motor_point(t, 0.0));
    let fit = fit_motor(points).unwrap();
    assert!((fit.constant.value / constant(0.055) - share(1.0)).value.abs() < 1e-12);
    assert!((fit.winding.value / milliohms(20.0) - share(1.0)).value.abs() < 1e-12);
    assert!((fit.no_load_current.value / amperes(6.0) - share(1.0)).value.abs() < 1e-10);
    assert!(fit.worst_voltage.value < 1e-12 && fit.worst_torque.value < 1e-12);
    assert_eq!((fit.spare_readings, fit.confounded), (7, None));
}

#[test]
fn scattered_points_say_how_far_their_constants_may_be_off() {
    let wobble = [0.004, -0.003, 0.001, -0.004, 0.002, 0.003];
    let points: Vec<_> = (0..6_u32).map(|n| motor_point(f64::from(n) * 3.0, wobble[n as usize])).collect();
    let fit = fit_motor(points).unwrap();
    let off = (fit.winding.value - milliohms(20.0)).abs();
    let error = fit.winding.standard_error.unwrap();
    assert!(off > milliohms(1e-6) && off < error * 3.0, "{off:?} {error:?}");
    assert!(fit.worst_voltage.value > 0.01);
}

#[test]
fn every_point_says_how_far_it_lies_from_the_fit() {
    let mut points = [0.0, 1.0, 3.0, 8.0, 20.0].map(|t| motor_point(t, 0.0));
    points[3].voltage += volts(0.5);
    let fit = fit_motor(points).unwrap();
    let off = points.map(|point| fit.residual(&point).voltage.abs());
    assert!(off.iter().all(|&v| v <= off[3]), "the wrong reading lies farthest off: {off:?}");
    assert_eq!(off[3], fit.worst_voltage);
    let torques = points.map(|point| fit.residual(&point).torque.abs());
    assert!(torques.contains(&fit.worst_torque));
    // Measured less fitted, by the constants alone.
    let r = fit.winding.value * points[3].current;
    let by_hand = points[3].voltage.value - r.value - fit.constant.value.value * points[3].speed.value;
    assert!((fit.residual(&points[3]).voltage.value - by_hand).abs() < 1e-13 && by_hand > 0.0);

    let mut points = [0.0, 2000.0, 10_000.0, 40_000.0].map(winch_point);
    points[2].current += amperes(3.0);
    let fit = fit_winch(points, share(180.0), mm(36.0)).unwrap();
    let off = points.map(|point| fit.residual(&point).current);
    assert!(
        off[2] == fit.worst_current && off.into_iter().sum::<ElectricCurrent>().value.abs() < 1e-11,
        "{off:?}"
    );
    assert!(points.map(|point| fit.residual(&point).voltage.abs()).contains(&fit.worst_voltage));
}

#[test]
fn points_at_small_loads_only_are_warned_about() {
    // At 6 to 42 A the winding drops 0.1 to 0.8 V of 24 V.
    let near = [0.0, 1.0, 2.0].map(|t| motor_point(t, 0.0));
    let fit = fit_motor(near).unwrap();
    let warning = fit.confounded.unwrap();
    assert_eq!((warning.one, warning.other), (Constant::MotorConstant, Constant::WindingResistance));
    assert!(warning.condition > 30.0, "{warning:?}");

    // What it warns of: voltages wrong by no more than 1 %, and the winding is wrong by tens of per cent.
    let wrong = [(0.0, 0.01), (1.0, 0.0), (2.0, -0.01)].map(|(t, wobble)| motor_point(t, wobble));
    let off = fit_motor(wrong).unwrap().winding.value / milliohms(20.0) - share(1.0);
    assert!(off.value.abs() > 0.3 && off.value.abs() < warning.condition * 0.01 * 2.0, "{off:?} {warning:?}");
    let same = fit_motor([motor_point(1.0, 0.0); 4]);
    assert!(matches!(same, Err(WinchError::CannotTellApart { .. })), "{same:?}");
    assert!(matches!(fit_motor([near[0]]), Err(WinchError::TooFewPoints { given: 1, .. })));
}

fn winch_point(pull: f64) -> WinchPoint {
    let state = winch().hauling(force(pull)).unwrap();
    WinchPoint {
        voltage: state.terminal_voltage,
        current: state.motor_current,
        line_speed: state.line_speed,
        pull: state.pull,
    }
}

#[test]
fn a_winch_gives_its_gear_away_if_its_speed_is_read_too() {
    let points = [0.0, 2000.0, 10_000.0, 40_000.0].map(winch_point);
    let fit = fit_winch(points, share(180.0), mm(36.0)).unwrap();
    assert!((fit.constant.value / constant(0.055) - share(1.0)).value.abs() < 1e-11);
    assert!((fit.gear_efficiency.value.value - 0.72).abs() < 1e-11);
    assert!((fit.winding.value / milliohms(20.0) - share(1.0)).value.abs() < 1e-10);
    assert!((fit.no_load_current.value / amperes(6.0) - share(1.0)).value.abs() < 1e-10);
    assert!(fit.worst_current.value < 1e-11 && fit.worst_voltage.value < 1e-11);

    let silent = points.map(|p| WinchPoint { line_speed: p.line_speed * 0.0, ..p });
    let apart = fit_winch(silent, share(180.0), mm(36.0)).unwrap_err();
    let WinchError::CannotTellApart { one, other, .. } = apart else { panic!("{apart:?}") };
    assert_eq!((one, other), (Constant::MotorConstant, Constant::GearEfficiency));
}

#[test]
fn points_that_contradict_a_motor_are_refused() {
    let mut points = [0.0, 3.0, 20.0].map(|t| motor_point(t, 0.0));
    points[2].speed = points[0].speed * 1.5; // faster under load
    assert!(matches!(
        fit_motor(points),
        Err(WinchError::ImpossibleFit { constant: "winding resistance", .. })
    ));
    points[0].voltage = volts(f64::NAN);
    assert_eq!(input(fit_motor(points)).0, "voltage");
    let gain =
        [2000.0, 10_000.0].map(|f| WinchPoint { current: winch_point(f).current * 0.5, ..winch_point(f) });
    assert!(matches!(fit_winch(gain, share(180.0), mm(36.0)), Err(WinchError::ImpossibleFit { .. })));
}

proptest! {
    #[test]
    fn a_pull_read_off_its_own_current_is_that_pull(winch in any_winch(), part in 0.001..0.95_f64) {
        let pull = winch.stall().pull * part;
        let efficiency = winch.gear().efficiency();
        let gauge = CurrentGauge::of_winch(&winch, amperes(0.0), (efficiency, efficiency)).unwrap();
        let close = |reading: PullReading, i: ElectricCurrent| match reading {
            PullReading::Pull(band) => {
                // The pull is a difference of currents: their rounding, back in newtons.
                let rounding = 16.0 * f64::EPSILON * i.value.abs().max(winch.motor().no_load_current().value)
                    / (winch.hauling(pull).unwrap().motor_current - winch.motor().no_load_current()).value;
                ((band.expected / pull).value - 1.0).abs() < 1e-13 + rounding / winch.gear().back_efficiency().value.abs()
            }
            PullReading::CannotTell(_) => false,
        };
        let Ok(hauling) = winch.hauling(pull) else { return Ok(()) };
        prop_assert!(close(gauge.read(hauling.motor_current, Running::Hauling).unwrap(), hauling.motor_current));
        if winch.gear().back_efficiency().value > 1e-6 {
            let lowering = winch.lowering(pull).unwrap();
            prop_assert!(close(gauge.read(lowering.motor_current, Running::Lowering).unwrap(), lowering.motor_current));
        }
    }

    #[test]
    fn the_band_of_a_current_holds_every_winch_within_it(
        eta in 0.60..0.85_f64, idle in 5.0..7.0_f64, pull in 0.0..20_000.0_f64, misread in -0.5..0.5_f64,
    ) {
        let motor = Motor::new(constant(0.055), amperes(idle), milliohms(20.0)).unwrap();
        let real = Winch::new(motor, Gear::new(share(180.0), share(eta)).unwrap(), mm(36.0), supply()).unwrap();
        let gauge = gauge().with_meter_band(amperes(0.5)).unwrap();
        let slack = force(1e-6);
        let hauling = real.hauling(force(pull)).unwrap().motor_current + amperes(misread);
        let lowering = real.lowering(force(pull)).unwrap().motor_current + amperes(misread);
        for (current, running) in [(hauling, Running::Hauling), (lowering, Running::Lowering)] {
            let band = band(gauge.read(current, running).unwrap());
            prop_assert!(band.low <= force(pull) + slack && force(pull) <= band.high + slack, "{band:?}");
            prop_assert!(band.low <= band.expected && band.expected <= band.high);
        }
    }

    #[test]
    fn the_time_to_a_temperature_is_when_it_is_reached(
        a in 0.0..300.0_f64, limit in 30.0..200.0_f64, winding in 20.0..150.0_f64, case in 20.0..150.0_f64,
    ) {
        let start = Temperatures { winding: celsius(winding), case: celsius(case) };
        let time = two_nodes().time_to(start, heating(a), celsius(limit)).unwrap();
        match time {
            Some(t) if t.value > 0.0 => {
                let then = two_nodes().after(start, heating(a), t).unwrap();
                prop_assert!((then.winding.get::<degree_celsius>() - limit).abs() < 1e-8, "{then:?}");
                let before = two_nodes().after(start, heating(a), t * 0.999).unwrap();
                prop_assert!(before.winding.get::<degree_celsius>() <= limit + 1e-8);
            }
            Some(_) => prop_assert!(winding >= limit),
            None => {
                for t in [1.0, 10.0, 100.0, 300.0, 1e3, 3e3, 1e4, 1e5] {
                    let then = two_nodes().after(start, heating(a), seconds(t)).unwrap();
                    prop_assert!(then.winding.get::<degree_celsius>() <= limit + 1e-8);
                }
            }
        }
    }

    #[test]
    fn timed_steps_last_as_long_as_they_say(
        times in proptest::collection::vec((0..3_u8, 0.0..200.0_f64), 1..20), first in 0.001..2.0_f64,
    ) {
        let step = |&(kind, t): &(u8, f64)| match kind {
            0 => HaulStep::rest(seconds(t)),
            1 => HaulStep::haul(force(500.0), Extent::Duration(seconds(t))),
            _ => HaulStep::lower(force(500.0), Extent::Duration(seconds(t))),
        };
        let steps: Vec<_> =
            core::iter::once(HaulStep::haul(force(2000.0), metres(first))).chain(times.iter().map(step)).collect();
        let (mut intervals, mut ends) = (0, vec![0.0; steps.len()]);
        let outcome = cycle()
            .run(&steps, |sample| {
                intervals += 1;
                assert!(intervals < 20_000, "endless");
                ends[sample.step] = sample.time.value;
            })
            .unwrap();
        prop_assert!(outcome.stopped.is_none());
        for (n, (_, t)) in times.iter().enumerate() {
            prop_assert_eq!(ends[n + 1], ends[n] + t);
        }
        prop_assert_eq!(outcome.time.value, ends[steps.len() - 1]);
    }

    #[test]
    fn more_pull_never_finishes_sooner_or_on_less_charge(a in 0.0..30_000.0_f64, b in 0.0..30_000.0_f64) {
        let run = |f: f64| cycle().run([HaulStep::haul(force(f), metres(20.0))], |_| {}).unwrap();
        let (less, more) = (run(a.min(b)), run(a.max(b)));
        prop_assert!(more.time >= less.time && more.charge <= less.charge && more.energy >= less.energy);
    }
}

#[test]
fn the_errors_say_what_to_change() {
    let message = winch().hauling(Force::new::<kilonewton>(200.0)).unwrap_err().to_string();
    assert!(message.contains("200000 N") && message.contains("another winch"), "{message}");
}
