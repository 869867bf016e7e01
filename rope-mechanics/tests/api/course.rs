//! Battery and motor over time: every moment from the one before by hand, and the end against the totals.

use rope_mechanics::operation::alternatives::{Course, Doing, HaulWay, HaulWays, Moment};
use rope_mechanics::operation::site::{Site, SiteWinch};
use rope_mechanics::operation::study::Study;
use rope_mechanics::operation::{self, Asked};
use rope_mechanics::quantity::literal::m;
use std::ops::ControlFlow;

const SITE: &str = include_str!("../../../tests/sites/reference.toml");

fn study(change: impl FnOnce(&mut Site)) -> Study {
    let mut site: Site = toml::from_str(SITE).unwrap();
    site.travel.positions = Some(30);
    change(&mut site);
    let go_on = |_, _| ControlFlow::<()>::Continue(());
    match operation::solve_asked(&site, &Asked::PLAIN.with_alternatives(true), go_on).unwrap() {
        ControlFlow::Continue(study) => study,
        ControlFlow::Break(()) => unreachable!(),
    }
}

/// An invented motor, its heat in place of HEAT; charge over 20 h, Peukert's exponent 1.2; at 25 °C the battery gives all of it.
const MOTOR: &str = r#"
constant = "0.05 N·m/A"
no_load_current = "6 A"
resistance = "20 mohm"
gear = 150
gear_efficiency = "72 %"
radius = "35 mm"
rated_pull = "4 kN"
heat = { HEAT }
battery = { voltage = "12.6 V", resistance = "6 mohm", leads = "5 mohm", charge = "CHARGE Ah", rated_over = "20 h", peukert = 1.2, temperature = "25 °C" }
"#;
/// An invented winch by its table.
const TABLE: &str = r#"
points = [{ pull = "0 N", current = "60 A" }, { pull = "4 kN", current = "260 A" }]
speed = "0.1 m/s"
rated_pull = "4 kN"
heat = { HEAT }
battery = { voltage = "12.6 V", resistance = "6 mohm", leads = "5 mohm", charge = "CHARGE Ah", rated_over = "20 h", peukert = 1.2, temperature = "25 °C" }
"#;

fn by_motor(heat: &str, charge: f64) -> SiteWinch {
    SiteWinch::Motor(
        toml::from_str(&MOTOR.replace("HEAT", heat).replace("CHARGE", &charge.to_string())).unwrap(),
    )
}

fn by_table(heat: &str, charge: f64) -> SiteWinch {
    SiteWinch::Table(
        toml::from_str(&TABLE.replace("HEAT", heat).replace("CHARGE", &charge.to_string())).unwrap(),
    )
}

fn ways(study: &Study) -> &HaulWays {
    &study.alternatives.as_ref().unwrap().haul
}

fn planned(study: &Study) -> (&HaulWay, &Course) {
    let ways = ways(study);
    (ways.ways.iter().find(|way| way.is_the_sites).unwrap(), ways.as_planned.as_ref().unwrap())
}

fn end(course: &Course) -> &Moment {
    course.moments.last().unwrap()
}

fn close(one: f64, other: f64, within: f64) {
    assert!((one - other).abs() <= within * other.abs().max(1.0), "{one} is not {other}");
}

/// How often the motor stopped to cool: a rest may be cut into several moments.
fn rests(course: &Course) -> usize {
    let cools = |moment: &Moment| moment.doing == Doing::Cools;
    course.moments.windows(2).filter(|pair| cools(&pair[1]) && !cools(&pair[0])).count()
}

/// Every moment from the one before: dE = V_oc·I·dt, dq = (I/I₂₀)^1.2·dt/20 h, ϑ = s + (ϑ₀ − s)·e^(−dt/τ) with
/// s = (I/Iₙ)².
fn follows(course: &Course, charge_ah: f64, continuous_a: f64, tau_s: f64) {
    let rated = charge_ah / 20.0;
    for pair in course.moments.windows(2) {
        let [a, b] = pair else { unreachable!() };
        let (dt, amps) = ((b.time - a.time).value, b.current.value);
        assert!((0.0..=60.0 + 1e-9).contains(&dt), "{dt} s at once");
        close((b.energy - a.energy).value, 12.6 * amps * dt, 1e-9);
        close(b.voltage.value, 12.6 - amps * 0.011, 1e-12);
        // Below its rated current a battery gives no more than it is rated for.
        let used = amps.max(0.0) / rated * (amps / rated).max(1.0).powf(0.2) * dt / 72_000.0;
        close((a.charge - b.charge).value, used, 1e-9);
        let lasting = (amps / continuous_a) * (amps / continuous_a);
        let warm = |heat: f64| lasting + (heat - lasting) * (-dt / tau_s).exp();
        let (before, after) = (a.heat.unwrap(), b.heat.unwrap());
        close(after.expected.value, warm(before.expected.value), 1e-9);
        let still = matches!(b.doing, Doing::Waits | Doing::Cools);
        assert_eq!(still, amps == 0.0);
        let way = (a.haul_length - b.haul_length).value;
        match b.doing {
            Doing::Hauls => assert!(way >= 0.0),
            Doing::Lowers => assert!(way <= 0.0),
            _ => assert!(way == 0.0),
        }
    }
}

#[test]
fn each_moment_follows_from_the_one_before_and_the_end_is_the_total() {
    let study = study(|site| {
        site.winch = by_motor(r#"continuous_current = "8 A", time_constant = "6 min""#, 160.0);
        site.haul.tackle = serde_json::from_value("3:1".into()).unwrap();
        site.haul.throw = Some(m(9.0));
    });
    let (way, course) = planned(&study);
    follows(course, 160.0, 8.0, 360.0);
    let (start, end) = (&course.moments[0], end(course));
    assert!(course.stopped_by.is_empty() && course.with_way_down);
    assert_eq!(
        (start.time.value, start.energy.value, start.charge.value, start.doing),
        (0.0, 0.0, 1.0, Doing::Starts)
    );
    // The end is what is said of the whole job.
    assert_eq!(
        (end.time, end.energy, end.charge),
        (way.operation.time, way.operation.energy, way.operation.charge_left)
    );
    // And that is the way down, the haul, its resets and its rests, each from elsewhere.
    let (lowering, heat) = (&ways(&study).lowering, way.heat.unwrap().expected);
    assert!(way.resets > 1 && heat.rests > 0 && heat.gets_through, "{} {}", way.resets, heat.rests);
    let parts = lowering.running.unwrap() + way.running + way.changes + heat.resting;
    close(end.time.value, parts.value, 1e-12);
    close(end.energy.value, (lowering.energy.unwrap() + way.energy).value, 1e-12);
    assert_eq!(rests(course), heat.rests as usize);
    let hottest = course.moments.iter().map(|moment| moment.heat.unwrap().expected.value).fold(0.0, f64::max);
    close(hottest, 1.0, 1e-12);
    // From the head down to the far anchor, and back.
    let (first, last) =
        (study.positions[0].haul_length.value, study.positions.last().unwrap().haul_length.value);
    close(start.haul_length.value, last, 1e-12);
    close(end.haul_length.value, last, 1e-12);
    let down = course.moments.iter().rposition(|moment| moment.doing == Doing::Lowers).unwrap();
    close(course.moments[down].haul_length.value, first, 1e-12);
}

#[test]
fn a_winch_by_its_table_is_followed_on_the_way_up() {
    let study = study(|site| {
        site.winch = by_table(r#"continuous_current = "300 A", time_constant = "15 min""#, 400.0)
    });
    let (way, course) = planned(&study);
    follows(course, 400.0, 300.0, 900.0);
    let end = end(course);
    assert!(!course.with_way_down && course.stopped_by.is_empty() && rests(course) == 0);
    close(end.charge.value, way.charge_left.value, 1e-12);
    close(end.energy.value, way.energy.value, 1e-12);
    close(end.time.value, (way.running + way.changes).value, 1e-12);
    // Without rests the hottest is what it is without rests.
    let hottest = course.moments.iter().map(|moment| moment.heat.unwrap().expected.value).fold(0.0, f64::max);
    close(hottest, way.heat.unwrap().expected.without_rests.value, 1e-12);
    assert!(hottest < 1.0);
    close(course.moments[0].haul_length.value, study.positions[0].haul_length.value, 1e-12);
}

#[test]
fn a_motor_that_is_only_assumed_does_not_rest_but_its_bound_is_hotter() {
    let study = study(|site| site.winch = by_table("", 400.0));
    let (way, course) = planned(&study);
    let known = |of: fn(&Moment) -> f64| course.moments.iter().map(of).fold(0.0, f64::max);
    let (expected, bound) = (
        known(|moment| moment.heat.unwrap().expected.value),
        known(|moment| moment.heat.unwrap().bound.value),
    );
    let heat = way.heat.unwrap();
    close(expected, heat.expected.without_rests.value, 1e-12);
    close(bound, heat.bound.without_rests.value, 1e-12);
    assert!(bound > 1.5 * expected && rests(course) == 0);
}

#[test]
fn a_flat_battery_ends_the_course_where_it_is_flat() {
    let study = study(|site| site.winch = by_table(r#"continuous_current = "300 A""#, 6.0));
    let (way, course) = planned(&study);
    follows(course, 6.0, 300.0, 1200.0);
    let end = end(course);
    assert_eq!((course.stopped_by.as_str(), end.charge.value), ("the battery is flat", 0.0));
    assert_eq!(course.stopped_by, way.stopped_by);
    close(end.time.value, (way.running + way.changes).value, 1e-12);
    assert!(end.haul_length > study.positions.last().unwrap().haul_length);
    assert_eq!(end.time, way.operation.time);
}

#[test]
fn a_motor_far_too_small_gives_up() {
    let study = study(|site| {
        site.winch = by_table(r#"continuous_current = "4 A", time_constant = "40 min""#, 4000.0);
    });
    let (way, course) = planned(&study);
    assert!(!way.heat.unwrap().expected.gets_through);
    assert_eq!(
        (course.stopped_by.as_str(), rests(course)),
        ("the motor is too small: it does little but cool", 200)
    );
}
