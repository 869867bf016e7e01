//! Winch, motor, battery: published and recomputed values.

use rope_mechanics::quantity::unit::{
    ampere, ampere_hour, degree_celsius, hour, kelvin_interval, kilonewton, meter, meter_per_second,
    millimeter, milliohm, newton, newton_meter, ohm, percent, pound_force, ratio, revolution_per_minute,
    second, volt, watt,
};
use rope_mechanics::quantity::{
    Area, ElectricCharge, ElectricCurrent, ElectricPotential, ElectricalResistance, Force, Length,
    MotorConstant, Ratio, TemperatureInterval, ThermodynamicTemperature, Time, Torque, TurningSpeed,
    Velocity,
};
use rope_mechanics::text::Text;
use rope_mechanics::winch::{
    Bound, CurrentGauge, Drum, DrumSize, Gear, LEAD_ACID_COLD, Motor, OneNode, Peukert, PullReading, Running,
    Supply, TableRow, TableWinch, Winch, cable_resistance, copper_resistance, jam_rate,
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
fn homeworklib_1976071_a_small_motor_by_the_ends_of_its_curve() {
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
fn garlway_table_a_vehicle_winch_follows_a_straight_line_to_an_ampere() {
    let published = [(0.0, 65.0), (4000.0, 250.0), (9000.0, 480.0)];
    let rows = published.map(|(lbf, amperes)| TableRow {
        pull: Force::new::<pound_force>(lbf),
        current: ElectricCurrent::new::<ampere>(amperes),
        line_speed: None,
    });
    let winch = TableWinch::fit(rows).unwrap();
    for (lbf, amperes) in published {
        let current = winch.hauling(Force::new::<pound_force>(lbf)).unwrap().current.get::<ampere>();
        assert!((current - amperes).abs() < 1.0, "{lbf} lbf: {current} A");
        // the line quoted beside the table, its slope printed to three digits
        assert!((current - (65.0 + 0.0461 * lbf)).abs() < 0.5 + 0.000_05 * lbf, "{lbf} lbf: {current} A");
    }
}

/// Recomputed, by the geometry of a drum of 64 mm with rope of 11 mm: turns on crowns to three digits, and in grooves,
/// 37.5/(37.5 + 9.526·(k − 1)), to four.
#[test]
fn recomputed_five_layers_on_a_small_drum() {
    let mm = |x| Length::new::<millimeter>(x);
    let size = DrumSize { core_diameter: mm(64.0), width: mm(150.0), rope_diameter: mm(11.0), layers: 5 };
    let drum = Drum::new(size).unwrap();
    for (layer, printed) in (1..).zip([1.0, 0.773, 0.630, 0.532, 0.460]) {
        near(drum.pull_ratio(layer).unwrap().get::<ratio>(), printed, 3);
    }
    let grooved = drum.with_layer_rise(Ratio::new::<ratio>(0.866)).unwrap();
    for (layer, printed) in (1..).zip([1.0, 0.7974, 0.6631, 0.5675, 0.4960]) {
        near(grooved.pull_ratio(layer).unwrap().get::<ratio>(), printed, 4);
    }
}

/// Source: resistivity of annealed copper 0.017 24 Ω·mm²/m (IEC 60028); the example recomputed: 35 mm², 3 m each
/// way, 250 A.
#[test]
fn iec_60028_leads_of_35_mm2() {
    let leads =
        cable_resistance(Length::from_text("3 m").unwrap(), Area::from_text("35 mm²").unwrap()).unwrap();
    near(leads.get::<milliohm>(), 2.955, 4);
    let current = ElectricCurrent::new::<ampere>(250.0);
    near((current * leads).get::<volt>(), 0.739, 3);
    near((current * leads * current).get::<watt>(), 185.0, 3);
}

/// Recomputed at 40 digits, not published: 25.6 V, 8 + 3 + 20 mΩ, 0.055 N·m/A, 6 A, 180:1 at 0.72, 36 mm.
#[test]
fn recomputed_a_winch_worked_by_hand() {
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

/// Source: Peukert's law in its rated-hour form as tabulated in a battery-meter manual (pp. 26–27): percent of the
/// stated capacity of a battery of 100 Ah at 5 A.
#[test]
fn battery_meter_manual_p26_a_battery_gives_less_the_faster_it_is_emptied() {
    let rows = [
        (1.25, 25.0, 67.0),
        (1.3, 100.0, 41.0),
        (1.1, 10.0, 93.0),
        (1.1, 50.0, 79.0),
        (1.1, 200.0, 69.0),
        (1.1, 500.0, 63.0),
        (1.4, 10.0, 76.0),
        (1.4, 50.0, 40.0),
        (1.4, 200.0, 23.0),
    ];
    for (exponent, amperes, printed) in rows {
        let (capacity, rated) = (ElectricCharge::new::<ampere_hour>(100.0), Time::new::<hour>(20.0));
        let battery = Peukert::new(capacity, rated, Ratio::new::<ratio>(exponent)).unwrap();
        let current = ElectricCurrent::new::<ampere>(amperes);
        let share = battery.usable_share(current).unwrap();
        assert!((share.get::<percent>() - printed).abs() <= 0.5, "n {exponent}, {amperes} A: {share:?}");
        // t = H·(C/(I·H))ⁿ is that share of the capacity at that current.
        let charge = battery.time(current).unwrap() * current;
        assert!(((charge / capacity).get::<ratio>() / share.get::<ratio>() - 1.0).abs() < 1e-14);
    }
}

/// Source: sizing factors of IEEE 485, table 1 (from memory), against the polynomial that a manual for sizing
/// stationary batteries gives beside it, read: 1.405 − 2.4941x + 4.1916x² − 2.8117x³, x = ϑ/100 °C, to 1 %.
#[test]
fn ieee_485_a_cold_battery_holds_less() {
    for (temperature, share) in LEAD_ACID_COLD {
        let x = temperature.get::<degree_celsius>() / 100.0;
        let polynomial = 1.405 + x * (-2.4941 + x * (4.1916 - 2.8117 * x));
        assert!((share.get::<ratio>() * polynomial - 1.0).abs() < 0.01, "{x} {polynomial}");
    }
}

/// Recomputed, by the law of a lump that warms by I²: at twice its continuous current from cold to the rated rise in
/// −τ·ln(1 − ¼) = 0.287 68 τ, and three quarters of four times the rated rise after τ·ln 4.
#[test]
fn recomputed_an_overloaded_motor_has_so_long() {
    let (amperes, kelvin) = (ElectricCurrent::new::<ampere>, TemperatureInterval::new::<kelvin_interval>);
    let motor = OneNode::new(amperes(60.0), kelvin(80.0), Time::new::<second>(1000.0)).unwrap();
    let time = motor.time_to(kelvin(0.0), amperes(120.0), kelvin(80.0)).unwrap().unwrap();
    near(time.get::<second>(), 287.68, 5);
    let rise =
        motor.rise_after(kelvin(0.0), amperes(120.0), Time::new::<second>(1000.0 * 4_f64.ln())).unwrap();
    near(rise.get::<kelvin_interval>(), 240.0, 6);
}

/// Source: IEC 60028 (from memory): copper's 0.003 93 a kelvin belongs to 20 °C. R₁₀₀/R₂₅ = 1.3144/1.019 65.
#[test]
fn iec_60028_copper_at_a_hundred_degrees() {
    let hot =
        copper_resistance(milliohms(20.0), ThermodynamicTemperature::from_text("100 °C").unwrap()).unwrap();
    near(hot.get::<milliohm>(), 20.0 * 1.3144 / 1.019_65, 8);
}

/// Common practice, no source: R(T) = R₂₅·(1 + 0.003 93·(T − 25 °C)), which takes the coefficient of 20 °C (IEC 60028) as if
/// it belonged to 25 °C. Rule and standard both give R₂₅ at 25 °C; beyond, the rule rises by 0.003 93·5 = 1.965 % more than the standard.
#[test]
fn copper_by_the_coefficient_of_25_degrees_rises_by_2_per_cent_more() {
    let at = |celsius: f64| {
        let temperature = ThermodynamicTemperature::new::<degree_celsius>(celsius);
        copper_resistance(milliohms(1.0), temperature).unwrap().get::<milliohm>()
    };
    assert!((at(25.0) - 1.0).abs() < 1e-14);
    for celsius in [-40.0, 20.0, 60.0, 130.0] {
        let rule = 1.0 + 0.003_93 * (celsius - 25.0);
        near((rule - 1.0) / (at(celsius) - 1.0), 1.019_65, 6);
    }
    // Back at 20 °C the coefficient is the standard's own.
    near((at(21.0) - at(20.0)) / at(20.0), 0.003_93, 3);
}

/// Source: National Electrical Code, chapter 9, table 8 (from memory): copper's coefficient counted from 75 °C is 0.003 23
/// a kelvin.
#[test]
fn nec_table_8_the_coefficient_of_copper_at_75_degrees() {
    let at =
        |text| copper_resistance(milliohms(1.0), ThermodynamicTemperature::from_text(text).unwrap()).unwrap();
    let (warm, hot) = (at("75 °C"), at("90 °C"));
    near(((hot - warm) / warm).get::<ratio>() / 15.0, 0.003_23, 3);
}

/// Recomputed: (EA/L)·v with 40 kN and 0.1 m/s: 100 N/s with 40 m of rope, 800 N/s with 5 m.
#[test]
fn recomputed_a_jam_near_the_head_leaves_no_time() {
    let rope = Force::new::<kilonewton>(40.0);
    let speed = Velocity::new::<meter_per_second>(0.1);
    for (metres, printed) in [(40.0, 100.0), (5.0, 800.0)] {
        near(jam_rate(rope, Length::new::<meter>(metres), speed).unwrap().value, printed, 3);
    }
}

/// Source: the vehicle winch's table above. Ten amperes of idle drag, unknown, are a kilonewton of pull, unknown.
#[test]
fn garlway_table_most_of_the_current_at_a_rescue_load_is_idle_drag() {
    let published = [(0.0, 65.0), (4000.0, 250.0), (9000.0, 480.0)];
    let rows = published.map(|(lbf, amperes)| TableRow {
        pull: Force::new::<pound_force>(lbf),
        current: ElectricCurrent::new::<ampere>(amperes),
        line_speed: None,
    });
    let winch = TableWinch::fit(rows).unwrap();
    let ten = ElectricCurrent::new::<ampere>(10.0);
    let gauge = CurrentGauge::of_table(&winch, ten, Ratio::new::<percent>(0.0)).unwrap();
    let current = winch.hauling(Force::new::<kilonewton>(2.0)).unwrap().current;
    let PullReading::Pull(band) = gauge.read(current, Running::Hauling).unwrap() else { panic!("blind") };
    near((band.high - band.expected).get::<kilonewton>(), 1.0, 1);
    assert!(current < winch.idle_current() * 1.5);
}

/// Recomputed: the same pull moves the current by 1/(η_f·η_b) = 2.27 times as much hauling as lowering, at 0.72.
#[test]
fn recomputed_a_current_says_less_while_lowering() {
    let idle = winch().motor().no_load_current();
    let hauling = winch().hauling(Force::new::<newton>(2000.0)).unwrap().current - idle;
    let lowering = idle - winch().lowering(Force::new::<newton>(2000.0)).unwrap().current;
    near((hauling / lowering).get::<ratio>(), 2.27, 3);
}
