//! Winch, motor, battery: published and recomputed values.

use rope_mechanics::quantity::unit::{
    ampere, kilonewton, meter_per_second, millimeter, milliohm, newton, newton_meter, ohm, pound_force,
    ratio, revolution_per_minute, volt, watt,
};
use rope_mechanics::quantity::{
    Area, ElectricCurrent, ElectricPotential, ElectricalResistance, Force, Length, MotorConstant, Ratio,
    Torque, TurningSpeed,
};
use rope_mechanics::text::Text;
use rope_mechanics::winch::{
    Bound, Drum, DrumSize, Gear, Motor, Supply, TableRow, TableWinch, Winch, cable_resistance,
};

/// Half a unit in the last of `digits` significant digits of `printed`.
fn near(value: f64, printed: f64, digits: i32) {
    let unit = 10_f64.powi(printed.abs().log10().floor() as i32 + 1 - digits);
    assert!((value - printed).abs() <= 0.5 * unit * (1.0 + 1e-9), "{value} is not {printed}");
}

fn milliohms(r: f64) -> ElectricalResistance {
    ElectricalResistance::new::<milliohm>(r)
}

fn winch() -> Winch {
    let motor = Motor::new(
        MotorConstant::from_text("0.055 N·m/A").unwrap(),
        ElectricCurrent::new::<ampere>(6.0),
        milliohms(20.0),
    );
    let gear = Gear::new(Ratio::new::<ratio>(180.0), Ratio::new::<ratio>(0.72));
    let supply = Supply::new(ElectricPotential::new::<volt>(25.6), milliohms(8.0), milliohms(3.0));
    Winch::new(motor.unwrap(), gear.unwrap(), Length::new::<millimeter>(36.0), supply.unwrap()).unwrap()
}

/// Source: a textbook exercise on a 12 V permanent-magnet motor (problem 1976071 at homeworklib), its answers
/// recomputed to six digits: no-load speed 3800 rpm, stall torque 30 mN·m, asked at 2500 rpm.
#[test]
fn a_small_motor_by_the_ends_of_its_curve() {
    let volts = ElectricPotential::new::<volt>(12.0);
    let motor = Motor::from_no_load_and_stall(
        volts,
        TurningSpeed::new::<revolution_per_minute>(3800.0),
        ElectricCurrent::new::<ampere>(0.0),
        Torque::new::<newton_meter>(0.030),
    )
    .unwrap();
    near(motor.constant().value, 0.030_155_7, 6);
    near(motor.winding_resistance().get::<ohm>(), 12.0623, 6);
    let state = motor.at_speed(volts, TurningSpeed::new::<revolution_per_minute>(2500.0)).unwrap();
    near(state.current.get::<ampere>(), 0.340_339, 6);
    near(state.electrical_power.get::<watt>(), 4.084_07, 6);
    near(state.mechanical_power.get::<watt>(), 2.686_89, 6);
    near(state.efficiency.get::<ratio>(), 0.657_895, 6);
}

/// Source: a dealer's table for a 12 V vehicle winch of the 9000 lbf class, first layer (garlway.com, questions):
/// 60–70 A without pull, about 250 A at 4000 lbf, about 480 A at 9000 lbf. Within 1 A: I = 65 + 0.0461·F/lbf.
#[test]
fn a_vehicle_winch_follows_a_straight_line_to_an_ampere() {
    let published = [(0.0, 65.0), (4000.0, 250.0), (9000.0, 480.0)];
    let rows = published.map(|(lbf, amperes)| TableRow {
        pull: Force::new::<pound_force>(lbf),
        current: ElectricCurrent::new::<ampere>(amperes),
        line_speed: None,
    });
    let winch = TableWinch::fit(&rows).unwrap();
    for (lbf, amperes) in published {
        let current = winch.hauling(Force::new::<pound_force>(lbf)).unwrap().current.get::<ampere>();
        assert!((current - amperes).abs() < 1.0, "{lbf} lbf: {current} A");
        // the line quoted beside the table, its slope printed to three digits
        assert!((current - (65.0 + 0.0461 * lbf)).abs() < 0.5 + 0.000_05 * lbf, "{lbf} lbf: {current} A");
    }
}

/// Source: geometry of a drum of 64 mm with rope of 11 mm, recomputed to three digits.
#[test]
fn five_layers_on_a_small_drum() {
    let mm = |x| Length::new::<millimeter>(x);
    let size = DrumSize { core_diameter: mm(64.0), width: mm(150.0), rope_diameter: mm(11.0), layers: 5 };
    let drum = Drum::new(size).unwrap();
    for (layer, printed) in (1..).zip([1.0, 0.773, 0.630, 0.532, 0.460]) {
        near(drum.pull_ratio(layer).unwrap().get::<ratio>(), printed, 3);
    }
}

/// Source: resistivity of annealed copper 0.017 24 Ω·mm²/m (IEC 60028); the example recomputed: 35 mm², 3 m each
/// way, 250 A.
#[test]
fn leads_of_35_mm2() {
    let leads =
        cable_resistance(Length::from_text("3 m").unwrap(), Area::from_text("35 mm²").unwrap()).unwrap();
    near(leads.get::<milliohm>(), 2.955, 4);
    let current = ElectricCurrent::new::<ampere>(250.0);
    near((current * leads).get::<volt>(), 0.739, 3);
    near((current * leads * current).get::<watt>(), 185.0, 3);
}

/// Recomputed at 40 digits, not published: 25.6 V, 8 + 3 + 20 mΩ, 0.055 N·m/A, 6 A, 180:1 at 0.72, 36 mm.
#[test]
fn a_winch_worked_by_hand() {
    let state = winch().hauling(Force::new::<newton>(2000.0)).unwrap();
    near(state.current.get::<ampere>(), 16.10, 4);
    near(state.terminal_voltage.get::<volt>(), 25.423, 5);
    near(state.motor_speed.get::<revolution_per_minute>(), 4358.0, 4);
    near(state.line_speed.get::<meter_per_second>(), 0.0913, 3);
    near(state.electrical_power.get::<watt>(), 412.0, 3);
    near(state.efficiency().unwrap().get::<ratio>(), 0.443, 3);

    let state = winch().hauling(Force::new::<newton>(4000.0)).unwrap();
    near(state.current.get::<ampere>(), 26.20, 4);
    near(state.line_speed.get::<meter_per_second>(), 0.0901, 3);

    let stall = winch().stall();
    near(stall.current.get::<ampere>(), 826.0, 3);
    near(stall.pull.get::<kilonewton>(), 162.0, 3);
    assert_eq!(stall.bound, Bound::Stall);
}

/// Recomputed: the same pull moves the current by 1/(η_f·η_b) = 2.27 times as much hauling as lowering, at 0.72.
#[test]
fn a_current_says_less_while_lowering() {
    let idle = winch().motor().no_load_current();
    let hauling = winch().hauling(Force::new::<newton>(2000.0)).unwrap().current - idle;
    let lowering = idle - winch().lowering(Force::new::<newton>(2000.0)).unwrap().current;
    near((hauling / lowering).get::<ratio>(), 2.27, 3);
}
