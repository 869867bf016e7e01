//! A winch through C: the same bits as in Rust.

use rope_checks::{assert_same_bits, numbers_from_c};
use rope_mechanics::quantity::unit::{
    ampere, degree_celsius, joule, meter, meter_per_second, millimeter, milliohm, newton, newton_meter,
    pound_force, radian_per_second, ratio, second, volt,
};
use rope_mechanics::quantity::{
    Area, ElectricCurrent, ElectricPotential, ElectricalResistance, Energy, Force, Length, MotorConstant,
    Ratio, Stiffness, ThermodynamicTemperature, Time, Torque, TurningSpeed, Velocity,
};
use rope_mechanics::text::Text;
use rope_mechanics::uom::si::{Dimension, Quantity, SI};
use rope_mechanics::winch::{
    CurrentGauge, Drum, DrumSize, Gear, Motor, MotorPoint, PullReading, Running, Supply, TableRow,
    TableWinch, Winch, WinchPoint, cable_resistance, copper_resistance, fit_motor, fit_winch, jam_rate,
};

pub(super) fn force(n: f64) -> Force {
    Force::new::<newton>(n)
}

pub(super) fn amperes(a: f64) -> ElectricCurrent {
    ElectricCurrent::new::<ampere>(a)
}

pub(super) fn milliohms(r: f64) -> ElectricalResistance {
    ElectricalResistance::new::<milliohm>(r)
}

pub(super) fn volts(v: f64) -> ElectricPotential {
    ElectricPotential::new::<volt>(v)
}

pub(super) fn share(x: f64) -> Ratio {
    Ratio::new::<ratio>(x)
}

fn mm(x: f64) -> Length {
    Length::new::<millimeter>(x)
}

pub(super) fn celsius(t: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<degree_celsius>(t)
}

pub(super) fn seconds(t: f64) -> Time {
    Time::new::<second>(t)
}

pub(super) fn plain<D: Dimension + ?Sized>(x: f64) -> Quantity<D, SI<f64>, f64> {
    Quantity { dimension: std::marker::PhantomData, units: std::marker::PhantomData, value: x }
}

pub(super) fn winch() -> Winch {
    let motor =
        Motor::new(MotorConstant::from_text("0.055 N·m/A").unwrap(), amperes(6.0), milliohms(20.0)).unwrap();
    let gear = Gear::new(share(180.0), share(0.72)).unwrap();
    Winch::new(motor, gear, mm(36.0), Supply::new(volts(25.6), milliohms(8.0), milliohms(3.0)).unwrap())
        .unwrap()
}

#[test]
fn c_and_rust_agree_on_a_winch() {
    let c = numbers_from_c("winch.c");
    let winch = winch();
    let slow = Velocity::new::<meter_per_second>(0.05);

    let hauling = winch.hauling(force(2000.0)).unwrap();
    assert_same_bits!(c, "current", hauling.current.value);
    assert_same_bits!(c, "terminal_voltage", hauling.terminal_voltage.value);
    assert_same_bits!(c, "motor_speed", hauling.motor_speed.value);
    assert_same_bits!(c, "line_speed", hauling.line_speed.value);
    assert_same_bits!(c, "efficiency", hauling.efficiency().unwrap().value);
    assert_same_bits!(c, "slow_current", winch.hauling_at(force(2000.0), slow).unwrap().current.value);
    let lowering = winch.lowering(force(2000.0)).unwrap();
    assert_same_bits!(c, "lowering_current", lowering.current.value);
    assert_same_bits!(c, "gear_loss", lowering.losses.gear.value);
    let back = winch.running_back(force(4000.0), milliohms(100.0)).unwrap();
    assert_same_bits!(c, "running_back", back.line_speed.value);
    let holding = winch.holding(force(4000.0)).unwrap();
    assert_same_bits!(c, "holding_least", holding.least.value);
    assert_same_bits!(c, "holding_most", holding.most.value);
    assert_same_bits!(c, "stall", winch.stall().pull.value);
    let jam = winch.jam(Stiffness::from_text("8000 N/m").unwrap(), force(2000.0)).unwrap();
    let jam = jam.with_rotor(Energy::new::<joule>(50.0)).unwrap();
    assert_same_bits!(c, "jam_greatest", jam.greatest.value);
    assert_same_bits!(c, "jam_rate", jam.rate.value);
    assert_same_bits!(c, "jam_time", jam.time_to(force(8000.0)).unwrap().unwrap().value);
    assert_same_bits!(c, "jam_force", jam.force_after(seconds(2.0)).unwrap().value);
    assert_same_bits!(c, "gear_back", winch.gear().back_efficiency().value);
    let rate = jam_rate(force(40e3), Length::new::<meter>(5.0), slow).unwrap();
    assert_same_bits!(c, "rate", rate.value);

    let row =
        |lbf, a| TableRow { pull: Force::new::<pound_force>(lbf), current: amperes(a), line_speed: None };
    let table = TableWinch::fit([row(0.0, 65.0), row(4000.0, 250.0), row(9000.0, 480.0)]).unwrap();
    assert_same_bits!(c, "table_current", table.hauling(force(2000.0)).unwrap().current.value);
    assert_same_bits!(c, "table_worst", table.worst_residual().value);
    let speed =
        |lbf, a, v| TableRow { line_speed: Some(Velocity::new::<meter_per_second>(v)), ..row(lbf, a) };
    let speeds = [speed(0.0, 65.0, 0.2), speed(4000.0, 250.0, 0.08), speed(9000.0, 480.0, 0.05)];
    let found = TableWinch::fit(speeds).unwrap().hauling(force(2000.0)).unwrap().line_speed_band.unwrap();
    assert_same_bits!(c, "table_speed", found.expected.value);
    assert_same_bits!(c, "table_speed_least", found.low.value);
    assert_same_bits!(c, "table_speed_most", found.high.value);

    let gauge = CurrentGauge::of_winch(&winch, amperes(1.0), (share(0.60), share(0.85))).unwrap();
    let read = gauge.with_meter_band(amperes(0.5)).unwrap().read(amperes(16.0), Running::Hauling).unwrap();
    let PullReading::Pull(band) = read else { panic!("{read:?}") };
    assert_same_bits!(c, "pull_least", band.low.value);
    assert_same_bits!(c, "pull_likely", band.expected.value);
    assert_same_bits!(c, "pull_most", band.high.value);
    let gauge = CurrentGauge::of_table(&table, amperes(10.0), share(0.05)).unwrap();
    let read = gauge.read(amperes(100.0), Running::Hauling).unwrap();
    let PullReading::Pull(band) = read else { panic!("{read:?}") };
    assert_same_bits!(c, "table_pull_most", band.high.value);

    let size = DrumSize { core_diameter: mm(64.0), width: mm(220.0), rope_diameter: mm(11.0), layers: 5 };
    let drum = Drum::new(size).unwrap();
    let layer = drum.layer_at(Length::new::<meter>(20.0)).unwrap();
    assert_same_bits!(c, "layer_pull_ratio", layer.pull_ratio.value);
    assert_same_bits!(c, "layer_room", layer.room.value);
    assert_same_bits!(c, "turns", drum.turns_per_layer().value);
    assert_same_bits!(c, "capacity", drum.capacity().value);
    let grooved = drum.with_layer_rise(share(0.866)).unwrap();
    assert_same_bits!(c, "third_radius", grooved.radius(3).unwrap().value);
    assert_same_bits!(c, "third_pull_ratio", grooved.pull_ratio(3).unwrap().value);

    // The header's rpm is 0.10471975511965977 rad/s, uom's may differ in the last bit: the same number goes in.
    let rpm = |x: f64| TurningSpeed::new::<radian_per_second>(x * 0.10471975511965977);
    let motor = Motor::from_no_load_and_stall(
        volts(12.0),
        rpm(3800.0),
        amperes(0.0),
        Torque::new::<newton_meter>(0.030),
    );
    let motor = motor.unwrap();
    assert_same_bits!(c, "motor_constant", motor.constant().value);
    assert_same_bits!(c, "motor_current", motor.at_speed(volts(12.0), rpm(2500.0)).unwrap().current.value);
    let tenth = motor.at_torque(volts(12.0), Torque::new::<newton_meter>(0.003)).unwrap();
    assert_same_bits!(c, "motor_speed_at_torque", tenth.speed.value);
    let leads = cable_resistance(Length::new::<meter>(3.0), Area::from_text("35 mm²").unwrap()).unwrap();
    assert_same_bits!(c, "leads", leads.value);
    assert_same_bits!(c, "hot", copper_resistance(leads, celsius(100.0)).unwrap().value);

    let point = |a: f64, turns: f64, t: f64| MotorPoint {
        voltage: volts(24.0),
        current: amperes(a),
        speed: rpm(turns),
        torque: Torque::new::<newton_meter>(t),
    };
    let points = [point(6.0, 4146.0, 0.0), point(106.0, 3799.0, 5.5), point(369.6, 2884.0, 20.0)];
    let fit = fit_motor(points).unwrap();
    assert_same_bits!(c, "off_voltage", fit.residual(&points[1]).voltage.value);
    assert_same_bits!(c, "off_torque", fit.residual(&points[2]).torque.value);
    assert_same_bits!(c, "fit_winding", fit.winding.value.value);
    assert_same_bits!(c, "fit_winding_error", fit.winding.standard_error.unwrap().value);
    let work = [2000.0, 4000.0].map(|f| {
        let state = winch.hauling(force(f)).unwrap();
        WinchPoint {
            voltage: state.terminal_voltage,
            current: state.motor_current,
            line_speed: state.line_speed,
            pull: force(f),
        }
    });
    let fit = fit_winch(work, share(180.0), mm(36.0)).unwrap();
    assert_same_bits!(c, "fit_gear", fit.gear_efficiency.value.value);
    assert_same_bits!(c, "fit_condition", fit.confounded.unwrap().condition);
    let three = [work[0], work[1], WinchPoint { current: amperes(30.0), ..work[1] }];
    let fit = fit_winch(three, share(180.0), mm(36.0)).unwrap();
    assert_same_bits!(c, "off_current", fit.residual(&three[2]).current.value);
    assert_same_bits!(c, "off_line_voltage", fit.residual(&three[2]).voltage.value);
}
