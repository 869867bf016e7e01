//! Bridles: angles between ropes, and what they do to the tension.
use rope_mechanics::bridle::{Bridle, BridleRope, Hang};
use rope_mechanics::geometry::Point3;
use rope_mechanics::quantity::unit::{meter, newton, pound_force};
use rope_mechanics::quantity::{Force, Length};
use rope_mechanics::rope::Stretch;

/// A rope of EA 1e12 N: it stretches by 1e-9 of its length at 1 kN, which no printed digit here shows.
fn rope(x: f64, y: f64, z: f64) -> BridleRope {
    let stretch = Stretch::linear(Force::new::<newton>(1e12)).unwrap();
    BridleRope::new(point(x, y, z), stretch).unwrap()
}

fn point(x: f64, y: f64, z: f64) -> Point3 {
    let m = Length::new::<meter>;
    Point3::new(m(x), m(y), m(z))
}

/// Half a unit of the last printed digit.
#[track_caller]
fn printed(value: f64, printed: f64, last_digit: f64) {
    assert!((value - printed).abs() <= 0.5 * last_digit, "{value} is not {printed}");
}

/// Two equal ropes of 10 m at an angle to each other, under a load of so many N.
fn two_at(angle_deg: f64, load_n: f64) -> Hang<2> {
    let half = (0.5 * angle_deg).to_radians();
    let apart = 10.0 * half.sin();
    let bridle =
        Bridle::new(Force::new::<newton>(load_n), [rope(-apart, 0.0, 0.0), rope(apart, 0.0, 0.0)]).unwrap();
    bridle.at_lengths([Length::new::<meter>(10.0); 2]).unwrap()
}

/// Two legs at an interior angle α carry W/(2·cos(α/2)) each: 0° .5, 60° .57735, 90° .70711, 120° 1, 150° 1.93185
/// (statics; a web table on V anchors prints 772.7 lb for 400 lb at 150°, READ).
#[test]
fn web_table_on_v_anchors_and_geometry_two_legs_at_an_interior_angle() {
    for (angle, factor) in [(0.0, 0.5), (60.0, 0.577_35), (90.0, 0.707_11), (120.0, 1.0), (150.0, 1.931_85)] {
        for tension in two_at(angle, 1.0).tensions {
            printed(tension.value, factor, 1e-5);
        }
    }
    let four_hundred = Force::new::<pound_force>(400.0).value;
    printed(two_at(150.0, four_hundred).tensions[0].get::<pound_force>(), 772.7, 0.1);
}

/// Sling leg factor 1/sin(angle from level) (READ at three makers' tables; the row 35°, printed 1.742, is
/// truncated from 1.7434, the largest misprint of the table: tolerance 2e-3).
#[test]
fn three_makers_tables_sling_leg_factors() {
    for (angle, factor) in [
        (85.0, 1.004),
        (80.0, 1.015),
        (75.0, 1.035),
        (70.0, 1.064),
        (65.0, 1.104),
        (60.0, 1.155),
        (55.0, 1.221),
        (50.0, 1.305),
        (45.0, 1.414),
        (40.0, 1.555),
        (35.0, 1.742),
        (30.0, 2.0),
    ] {
        // two legs share the load: each leg takes half of it, times the factor
        printed(two_at(180.0 - 2.0 * angle, 2.0).tensions[0].value, factor, 4e-3);
    }
}

/// A weightless rope of 102 m across 100 m with the load fixed at its middle: sag √(51² − 50²) = 10.0498756 m,
/// T/W = 2.5373448 (closed form).
#[test]
fn closed_form_a_weightless_rope_with_the_load_at_its_middle() {
    let bridle =
        Bridle::new(Force::new::<newton>(1000.0), [rope(0.0, 0.0, 0.0), rope(100.0, 0.0, 0.0)]).unwrap();
    let hang = bridle.at_lengths([Length::new::<meter>(51.0); 2]).unwrap();
    // the stretch T·L/EA = 1.3e-7 m sags the middle by 51/10.05 of that
    printed(-hang.position.z.value, 10.049_875_6, 2e-6);
    printed(hang.tensions[0].value / 1000.0, 2.537_344_8, 1e-6);
}

/// Three legs of 4 m on a triangle of 3 m sides, 1000 N: 369.80013 N a leg (recomputed at 40 digits). Turned upside
/// down, the tripod is a bridle.
#[test]
fn computed_at_40_digits_three_legs_on_a_triangle() {
    let (a, r) = (1.5, 3.0_f64.sqrt());
    let corners = [rope(-a, -r / 2.0, 0.0), rope(a, -r / 2.0, 0.0), rope(0.0, r, 0.0)];
    let bridle = Bridle::new(Force::new::<newton>(1000.0), corners).unwrap();
    for tension in bridle.at_lengths([Length::new::<meter>(4.0); 3]).unwrap().tensions {
        printed(tension.value, 369.800_13, 1e-5);
    }
}

/// Apex (0, 0, 2), feet (1.5, 0), (−1.5, 0), (0, 1.25), 2.5 kN: 1.5625, 1.5625 and 0 kN (recomputed at 40 digits).
/// The third leg carries nothing: turned upside down, its rope is slack.
#[test]
fn computed_at_40_digits_the_third_leg_is_idle_where_the_load_is_over_two_feet() {
    let corners = [rope(1.5, 0.0, 0.0), rope(-1.5, 0.0, 0.0), rope(0.0, 1.25, 0.0)];
    let bridle = Bridle::new(Force::new::<newton>(2500.0), corners).unwrap();
    let hang = bridle.at_position(point(0.0, 0.0, -2.0)).unwrap();
    printed(hang.tensions[0].value, 1562.5, 1e-9);
    printed(hang.tensions[1].value, 1562.5, 1e-9);
    assert!(hang.slack == [false, false, true]);
}
