//! Winches: steady state, drum, table.

use proptest::prelude::*;
use rope_mechanics::error::{Allowed, InputError};
use rope_mechanics::quantity::unit::{
    ampere, kilonewton, meter, meter_per_second, millimeter, milliohm, newton, ohm, pound_force,
    radian_per_second, ratio, volt,
};
use rope_mechanics::quantity::{
    ElectricCurrent, ElectricPotential, ElectricalResistance, Force, Length, MotorConstant, Ratio,
    ThermodynamicTemperature, Torque, TurningSpeed, Velocity,
};
use rope_mechanics::text::Text;
use rope_mechanics::winch::{
    Bound, Drum, DrumSize, Gear, Motor, Supply, TableRow, TableWinch, Winch, WinchError, cable_resistance,
    copper_resistance,
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
    let torque = Torque::new::<rope_mechanics::quantity::unit::newton_meter>(9.0);
    let motor = Motor::from_no_load_and_stall(volts(24.0), speed, amperes(7.0), torque).unwrap();
    let free = motor.at_torque(volts(24.0), torque * 0.0).unwrap();
    assert!(((free.speed / speed).value - 1.0).abs() < 1e-14);
    assert!(((free.current / amperes(7.0)).value - 1.0).abs() < 1e-14);
    let stalled = motor.at_speed(volts(24.0), speed * 0.0).unwrap();
    assert!(((stalled.torque / torque).value - 1.0).abs() < 1e-13);
}

#[test]
fn speed_and_torque_are_two_views_of_one_curve() {
    let by_torque = motor()
        .at_torque(volts(25.0), Torque::new::<rope_mechanics::quantity::unit::newton_meter>(0.6))
        .unwrap();
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
    let silent = TableWinch::fit(&[row(0.0, 65.0, None), row(9000.0, 480.0, None)]).unwrap();
    assert_eq!(silent.hauling(force(1000.0)).unwrap().line_speed, None);
    let beyond = silent.hauling(Force::new::<pound_force>(9001.0));
    assert!(matches!(beyond, Err(WinchError::BeyondTable { .. })), "{beyond:?}");

    let speaking = TableWinch::fit(&[row(0.0, 65.0, Some(0.2)), row(9000.0, 480.0, Some(0.02))]).unwrap();
    let half = speaking.hauling(Force::new::<pound_force>(4500.0)).unwrap();
    assert!((half.line_speed.unwrap().get::<meter_per_second>() - 0.11).abs() < 1e-12);
    assert!((half.current.get::<ampere>() - 272.5).abs() < 1e-9);
}

#[test]
fn an_upper_layer_takes_more_current_and_runs_faster() {
    let winch = TableWinch::fit(&[row(0.0, 65.0, Some(0.2)), row(9000.0, 480.0, Some(0.02))]).unwrap();
    let upper = winch.with_radius_ratio(share(1.0 / 0.63)).unwrap();
    let (low, high) = (winch.hauling(force(2000.0)).unwrap(), upper.hauling(force(2000.0)).unwrap());
    assert!(high.current > low.current && high.line_speed > low.line_speed);
    assert!(((upper.greatest_pull() / winch.greatest_pull()).value - 0.63).abs() < 1e-12);
}

#[test]
fn a_table_that_contradicts_a_winch_is_refused() {
    let few = TableWinch::fit(&[row(4000.0, 250.0, None), row(4000.0, 260.0, None)]);
    assert!(matches!(few, Err(WinchError::TooFewPoints { given: 2, needed: 2, .. })), "{few:?}");
    assert!(matches!(TableWinch::fit(&[]), Err(WinchError::TooFewPoints { given: 0, .. })));
    for rows in [
        [row(0.0, 480.0, None), row(9000.0, 65.0, None)],
        [row(4000.0, 10.0, None), row(9000.0, 480.0, None)],
        [row(0.0, 65.0, Some(0.02)), row(9000.0, 480.0, Some(0.2))],
    ] {
        assert!(matches!(TableWinch::fit(&rows), Err(WinchError::ImpossibleFit { .. })), "{rows:?}");
    }
    assert_eq!(input(TableWinch::fit(&[row(f64::NAN, 65.0, None)])).0, "table_pull");
    assert_eq!(input(TableWinch::fit(&[row(0.0, -65.0, None)])).0, "table_current");
    assert_eq!(input(TableWinch::fit(&[row(0.0, 65.0, Some(-1.0))])).0, "table_line_speed");
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
        let table = TableWinch::fit(&rows).unwrap();
        let (by_table, by_motor) = (table.hauling(top * part).unwrap(), winch.hauling(top * part).unwrap());
        let scale = rows[5].current;
        prop_assert!(((by_table.current - by_motor.current) / scale).value.abs() < 1e-12);
        let speeds = (by_table.line_speed.unwrap() - by_motor.line_speed) / rows[0].line_speed.unwrap();
        prop_assert!(speeds.value.abs() < 1e-12);
    }
}

#[test]
fn the_errors_say_what_to_change() {
    let message = winch().hauling(Force::new::<kilonewton>(200.0)).unwrap_err().to_string();
    assert!(message.contains("200000 N") && message.contains("another winch"), "{message}");
}
