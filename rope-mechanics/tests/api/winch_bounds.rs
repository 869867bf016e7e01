//! What a winch can do at worst, and what is refused rather than answered.

use proptest::prelude::*;
use rope_mechanics::error::InputError;
use rope_mechanics::motion::Motion;
use rope_mechanics::quantity::unit::{
    ampere, degree_celsius, joule, kelvin_interval, newton, newton_per_meter, ohm, second, watt,
};
use rope_mechanics::quantity::{
    ElectricCurrent, ElectricalResistance, Energy, Force, Power, Stiffness, TemperatureInterval,
    ThermodynamicTemperature, Time,
};
use rope_mechanics::winch::{
    Gear, Heat, Heating, Motor, OneNode, Supply, Temperatures, TwoNode, Winch, WinchError,
};

/// A number in SI as whatever it stands for.
fn si<D: uom::si::Dimension + ?Sized>(x: f64) -> uom::si::Quantity<D, uom::si::SI<f64>, f64> {
    uom::si::Quantity { dimension: std::marker::PhantomData, units: std::marker::PhantomData, value: x }
}

fn force(n: f64) -> Force {
    Force::new::<newton>(n)
}

fn amperes(a: f64) -> ElectricCurrent {
    ElectricCurrent::new::<ampere>(a)
}

fn seconds(s: f64) -> Time {
    Time::new::<second>(s)
}

fn ohms(r: f64) -> ElectricalResistance {
    ElectricalResistance::new::<ohm>(r)
}

fn kelvin(t: f64) -> TemperatureInterval {
    TemperatureInterval::new::<kelvin_interval>(t)
}

fn celsius(t: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<degree_celsius>(t)
}

fn winch(constant: f64, efficiency: f64) -> Winch {
    let motor = Motor::new(si(constant), amperes(6.0), ohms(0.02)).unwrap();
    let gear = Gear::new(si(180.0), si(efficiency)).unwrap();
    Winch::new(motor, gear, si(0.036), Supply::new(si(25.6), ohms(0.008), ohms(0.003)).unwrap()).unwrap()
}

fn stiffness(k: f64) -> Stiffness {
    Stiffness::new::<newton_per_meter>(k)
}

// ——— a jam ———

#[test]
fn no_loss_of_the_gear_is_counted_on_in_a_jam() {
    // 0.055·(30 − 6)·180/0.036 = 6600 N, of which a gear of 0.72 would let 4752 N through.
    let limited = winch(0.055, 0.72).with_current_limit(amperes(30.0)).unwrap();
    let jam = limited.jam(stiffness(8e3), force(2000.0)).unwrap();
    assert!((jam.greatest.value - 6600.0).abs() < 1e-9);
    assert_eq!(jam.force_after(seconds(60.0)).unwrap(), jam.greatest);
    assert!(jam.time_to(force(6500.0)).unwrap().is_some());
    assert_eq!(jam.time_to(force(6601.0)).unwrap(), None);
    // A grab bounds the rope itself, whatever the gear.
    let slipping = limited.with_slip(force(5000.0)).unwrap().jam(stiffness(8e3), force(2000.0)).unwrap();
    assert_eq!(slipping.greatest, force(5000.0));
}

#[test]
fn a_rotor_adds_what_its_energy_stretches_the_rope_by() {
    let bare = winch(0.055, 0.72).with_current_limit(amperes(30.0)).unwrap();
    let jam = bare.jam(stiffness(8e3), force(2000.0)).unwrap();
    // √(2·8000·50) = 894.427 N
    let rotor = jam.with_rotor(Energy::new::<joule>(50.0)).unwrap();
    assert!((rotor.greatest.value - 6600.0 - 894.427_191).abs() < 1e-6);
    // Told anew, not on top of the first.
    assert_eq!(rotor.with_rotor(Energy::new::<joule>(50.0)).unwrap(), rotor);
    assert_eq!(rotor.with_rotor(Energy::new::<joule>(0.0)).unwrap(), jam);
    assert_eq!(rotor.time_to(force(2894.0)).unwrap(), Some(seconds(0.0)));
    assert!(rotor.time_to(force(5000.0)).unwrap() < jam.time_to(force(5000.0)).unwrap());
    assert!((rotor.force_after(seconds(0.0)).unwrap().value - 2_894.427_191).abs() < 1e-6);
    let slipping = bare.with_slip(force(7000.0)).unwrap().jam(stiffness(8e3), force(2000.0)).unwrap();
    let slipping = slipping.with_rotor(Energy::new::<joule>(50.0)).unwrap();
    assert_eq!(slipping.greatest, force(7000.0));
    assert!((slipping.with_rotor(Energy::new::<joule>(0.0)).unwrap().greatest.value - 6600.0).abs() < 1e-9);
    assert!(jam.with_rotor(Energy::new::<joule>(-1.0)).is_err());
}

/// The force in the rope and the turning rotor, step by step: J·ω' = τ(ω) − F·r/(N·η), F' = k·ω·r/N.
fn peak(winch: &Winch, efficiency: f64, k: f64, inertia: f64, pull: f64, limit_a: f64) -> (f64, f64) {
    let (kt, i0) = (winch.motor().constant().value, 6.0);
    let ohms = 0.02 + 0.011;
    let radius = 0.036 / 180.0;
    let mut speed = winch.hauling(force(pull)).unwrap().motor_speed.value;
    let energy = 0.5 * inertia * speed * speed;
    let (mut f, mut most) = (pull, pull);
    let h = 1e-5;
    for _ in 0..4_000_000 {
        // Midpoint rule.
        let rates = |speed: f64, f: f64| {
            let current = ((25.6 - kt * speed) / ohms).min(limit_a);
            ((kt * (current - i0) - f * radius / efficiency) / inertia, k * speed * radius)
        };
        let (a, b) = rates(speed, f);
        let (a, b) = rates(speed + 0.5 * h * a, f + 0.5 * h * b);
        (speed, f) = (speed + h * a, f + h * b);
        most = most.max(f);
        if speed <= 0.0 {
            break;
        }
    }
    (most, energy)
}

#[test]
fn a_jam_integrated_in_time_stays_below_its_bound() {
    for (efficiency, limit_a) in [(0.72, 40.0), (0.95, 40.0), (1.0, 60.0)] {
        for (k, inertia) in [(8e3, 2e-4), (80e3, 2e-4), (8e3, 5e-3)] {
            let winch = winch(0.055, efficiency).with_current_limit(amperes(limit_a)).unwrap();
            let (peak_n, energy_j) = peak(&winch, efficiency, k, inertia, 2000.0, limit_a);
            // The energy of a rotor whose gear loses nothing, which turns a little faster.
            let jam = winch.jam(stiffness(k), force(2000.0)).unwrap();
            let jam = jam.with_rotor(Energy::new::<joule>(1.02 * energy_j)).unwrap();
            assert!(peak_n <= jam.greatest.value, "{efficiency} {k} {inertia}: {peak_n} {jam:?}");
            assert!(efficiency < 1.0 || peak_n > 0.6 * jam.greatest.value, "{k} {inertia}: {peak_n} {jam:?}");
        }
    }
}

proptest! {
    #[test]
    fn a_better_gear_never_passes_the_bound_of_a_worse_one(
        worse in 0.3..1.0_f64, better in 0.3..1.0_f64, pull in 0.0..3000.0_f64, t in 0.0..60.0_f64,
    ) {
        let jam = winch(0.055, worse.min(better)).jam(stiffness(8e3), force(pull)).unwrap();
        let other = winch(0.055, worse.max(better)).jam(stiffness(8e3), force(pull)).unwrap();
        prop_assert_eq!(jam.greatest, other.greatest);
        prop_assert_eq!(jam.force_after(seconds(t)).unwrap(), other.force_after(seconds(t)).unwrap());
    }
}

// ——— temperatures ———

fn motors() -> [Heat; 2] {
    let two = TwoNode::new(si(400.0), si(4000.0), si(0.2), si(0.5)).unwrap();
    [OneNode::new(amperes(60.0), kelvin(80.0), seconds(1200.0)).unwrap().into(), two.into()]
}

fn heating(a: f64, air: ThermodynamicTemperature) -> Heating {
    Heating { current: amperes(a), winding: ohms(0.02), idle: Power::new::<watt>(30.0), air }
}

fn warm(t: ThermodynamicTemperature) -> Temperatures {
    Temperatures { winding: t, case: t }
}

fn field(result: Result<impl std::fmt::Debug, WinchError>) -> &'static str {
    match result.unwrap_err() {
        WinchError::Input(InputError { field, .. }) => field,
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_temperature_that_is_none_is_named_whatever_it_belongs_to() {
    let good = celsius(15.0);
    for motor in motors() {
        // A forgotten zero, no number, below absolute zero, degrees Celsius taken for kelvin, a fire.
        for bad in [0.0, f64::NAN, -300.0, 15.0, 600.0, f64::INFINITY].map(si) {
            assert_eq!(field(motor.settles_at(heating(40.0, bad))), "air_temperature");
            assert_eq!(
                field(motor.duty_cycle(heating(40.0, bad), seconds(60.0), seconds(60.0))),
                "air_temperature"
            );
            assert_eq!(field(motor.after(warm(good), heating(40.0, bad), seconds(9.0))), "air_temperature");
            assert_eq!(
                field(motor.after(warm(bad), heating(40.0, good), seconds(9.0))),
                "winding_temperature"
            );
            assert_eq!(
                field(motor.time_to(warm(bad), heating(40.0, good), celsius(100.0))),
                "winding_temperature"
            );
            assert_eq!(
                field(motor.time_to(warm(good), heating(40.0, bad), celsius(100.0))),
                "air_temperature"
            );
            assert_eq!(field(motor.time_to(warm(good), heating(40.0, good), bad)), "winding_limit");
        }
    }
}

#[test]
fn a_lump_in_the_air_is_its_rise_above_it() {
    let [lump, _] = motors();
    let node = OneNode::new(amperes(60.0), kelvin(80.0), seconds(1200.0)).unwrap();
    let air = celsius(15.0);
    let rise = |t: Temperatures| {
        assert_eq!(t.winding, t.case);
        t.winding.value - air.value
    };
    let settled = lump.settles_at(heating(60.0, air)).unwrap().unwrap();
    assert!((rise(settled) - 80.0).abs() < 1e-9);
    let after = lump.after(warm(celsius(35.0)), heating(90.0, air), seconds(300.0)).unwrap();
    let expected = node.rise_after(kelvin(20.0), amperes(90.0), seconds(300.0)).unwrap();
    assert!((rise(after) - expected.value).abs() < 1e-9);
    let (on, off) = (seconds(120.0), seconds(300.0));
    let cycle = lump.duty_cycle(heating(90.0, air), on, off).unwrap();
    let expected = node.duty_cycle(amperes(90.0), on, off).unwrap();
    assert!((rise(cycle.after_pull) - expected.hottest.value).abs() < 1e-9);
    assert!((rise(cycle.after_rest) - expected.coolest.value).abs() < 1e-9);
    let time = lump.time_to(warm(air), heating(120.0, air), celsius(95.0)).unwrap().unwrap();
    assert!((time.value + 1200.0 * 0.75_f64.ln()).abs() < 1e-9);
    assert_eq!(lump.time_to(warm(air), heating(60.0, air), celsius(95.1)).unwrap(), None);
}

#[test]
fn a_lump_burns_out_as_a_winding_does() {
    let [lump, _] = motors();
    let air = celsius(15.0);
    // 80 K·25 = 2000 K in the end; 285 K above the air after 1200 s·ln(2000/1715).
    let Err(WinchError::BurnsOut { seconds: after }) =
        lump.after(warm(air), heating(300.0, air), seconds(600.0))
    else {
        panic!("five times the current for ten minutes did no harm");
    };
    assert!((after - 1200.0 * (2000.0_f64 / 1715.0).ln()).abs() < 1e-6);
    assert!(lump.after(warm(air), heating(300.0, air), seconds(180.0)).is_ok());
    let cycle = lump.duty_cycle(heating(300.0, air), seconds(600.0), seconds(60.0));
    assert_eq!(cycle, Err(WinchError::CyclesBurnOut));
}

// ——— what can't be certified ———

#[test]
fn temperatures_that_do_not_meet_their_balance_are_refused() {
    // A winding of nearly no heat capacity beside a case of a mountain's: no arithmetic holds both.
    let absurd = TwoNode::new(si(1e-30), si(1e12), si(1e-30), si(1e9)).unwrap();
    let air = celsius(15.0);
    let hot = Heating { current: amperes(1e7), winding: ohms(1e9), ..heating(0.0, air) };
    for heating in [hot, Heating { current: amperes(1e-3), winding: ohms(1e-30), ..hot }] {
        for time in [1e-30, 1.0, 1e10] {
            match absurd.after(warm(air), heating, seconds(time)) {
                Ok(t) => assert!(t.winding.value.is_finite() && t.case.value.is_finite()),
                Err(WinchError::BurnsOut { .. } | WinchError::HeatUnsolved { .. }) => {}
                Err(other) => panic!("{other:?}"),
            }
        }
    }
    assert!(matches!(
        absurd.after(warm(air), hot, seconds(1.0)),
        Err(WinchError::HeatUnsolved { .. } | WinchError::BurnsOut { .. })
    ));
}

#[test]
fn a_load_held_back_more_slowly_than_the_battery_can_is_refused() {
    // With 10 mA·N·m the motor holds 3 kN back by 3000·0.036·0.611/(180·0.001) − 6 = 361 A: at a crawl that
    // takes 361²·20 mΩ = 2.6 kW, which a battery of 25.6 V through 11 mΩ has; with half a volt it hasn't.
    let strong = winch(0.001, 0.72);
    assert!(strong.lowering_at(force(3000.0), si(1e-3)).is_ok());
    let empty = strong.with_supply(Supply::new(si(0.5), ohms(0.008), ohms(0.003)).unwrap());
    let slow = empty.lowering_at(force(3000.0), si(1e-3));
    let Err(WinchError::TooSlow { speed, pull, power, greatest }) = slow else { panic!("{slow:?}") };
    assert!((speed - 1e-3).abs() < 1e-15 && pull == 3000.0);
    assert!((greatest - 0.25 / 0.044).abs() < 1e-12 && power > greatest);
    // At full speed it goes, whatever the battery.
    let full = empty.lowering(force(3000.0)).unwrap();
    assert!(empty.lowering_at(force(3000.0), full.line_speed).is_ok());
    assert!(slow.unwrap_err().to_string().contains("lower faster"));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn the_powers_of_every_answer_add_up_over_fifteen_decades(
        constant in -9.0..2.0_f64, gear in -1.0..3.0_f64, radius in -4.0..1.0_f64,
        resistances in prop::array::uniform3(-6.0..2.0_f64), volts in -1.0..2.0_f64, efficiency in 0.01..=1.0_f64,
        idle in -3.0..2.0_f64, pull in -6.0..5.0_f64, speed in -8.0..1.0_f64,
    ) {
        let ten = |x: f64| 10.0_f64.powf(x);
        let [winding, battery, leads] = resistances.map(|r| ohms(ten(r)));
        let winch = Winch::new(
            Motor::new(si(ten(constant)), amperes(ten(idle)), winding).unwrap(),
            Gear::new(si(ten(gear)), si(efficiency)).unwrap(),
            si(ten(radius)),
            Supply::new(si(ten(volts)), battery, leads).unwrap(),
        )
        .unwrap();
        let (pull, speed) = (force(ten(pull)), si(ten(speed)));
        let answers = [
            winch.hauling(pull),
            winch.hauling_at(pull, speed),
            winch.lowering(pull),
            winch.lowering_at(pull, speed),
            winch.running_back(pull, leads),
        ];
        for answer in answers {
            match answer {
                Err(WinchError::PowerUnsolved { residual }) => {
                    prop_assert!(false, "refused by its residual {residual}: {winch:?} {pull:?} {speed:?}");
                }
                Err(_) => {}
                Ok(state) => {
                    let works = if state.motion == Motion::Hauling { 1.0 } else { -1.0 };
                    let rope = works * state.pull.value * state.line_speed.value;
                    let open = state.electrical_power.value - state.losses.total().value - rope;
                    let largest = state.electrical_power.value.abs().max(state.losses.total().value);
                    prop_assert!(largest.is_finite() && open.abs() <= 1e-9 * largest.max(rope.abs()));
                    prop_assert!(state.report.residual <= 1e-9);
                }
            }
        }
    }
}
