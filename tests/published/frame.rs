//! Frames against published and independently computed values.
//!
//! GEN: computed at 40 digits for this project, not published; held to half a unit of the last digit given.

use rope_mechanics::frame::{Edge, Frame, FrameError, FrameMember, Guy, HeadPull, Leg, resultant};
use rope_mechanics::geometry::{Direction3, Force3, Point3};
use rope_mechanics::quantity::unit::{foot, meter, newton, pound_force};
use rope_mechanics::quantity::{Force, Length, Ratio};

fn point(x: f64, y: f64, z: f64) -> Point3 {
    let m = Length::new::<meter>;
    Point3::new(m(x), m(y), m(z))
}

fn feet(x: f64, y: f64, z: f64) -> Point3 {
    let ft = Length::new::<foot>;
    Point3::new(ft(x), ft(y), ft(z))
}

fn n(value: f64) -> Force {
    Force::new::<newton>(value)
}

fn legs<const N: usize>(at: [Point3; N]) -> [Leg; N] {
    at.map(|at| Leg::new(at).unwrap())
}

fn guys<const N: usize>(at: [Point3; N]) -> [Guy; N] {
    at.map(|anchor| Guy::new(anchor).unwrap())
}

fn down(newtons: f64) -> HeadPull {
    HeadPull::along(Direction3::DOWN, n(newtons)).unwrap()
}

fn near(value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance, "{value} should be {expected} to {tolerance}");
}

/// Feet of a regular tripod on a circle around the origin, one of them on x.
fn on_circle(radius: f64) -> [Point3; 3] {
    [0.0_f64, 120.0, 240.0].map(|a| point(radius * a.to_radians().cos(), radius * a.to_radians().sin(), 0.0))
}

#[test]
fn computed_at_40_digits_a_hobbled_tripod_under_a_plumb_load() {
    // GEN: 1848.723 N a leg, 461.880 N in each hobble, tip limit 0.240.
    let tripod =
        Frame::new(point(0.0, 0.0, 2.5), &legs(on_circle(1.2)), &[]).unwrap().hobbled_around().unwrap();
    let forces = tripod.solve(&[down(5000.0)]).unwrap();
    for leg in forces.legs() {
        near(leg.compression.value, 1848.723, 0.0005);
        // The hobbles take all of the thrust.
        near(leg.friction_needed.unwrap().value, 0.0, 1e-12);
    }
    for hobble in forces.hobbles() {
        near(hobble.value, 461.880, 0.0005);
    }
    near(forces.stability.tip_limit.unwrap().value, 0.240, 0.0005);
}

#[test]
fn computed_at_40_digits_a_tripod_of_four_metre_legs_on_a_three_metre_triangle() {
    // GEN: 369.80013 N for each leg; a web answer of 333.3 N forgets the slope of the legs.
    let radius = 3.0 / 3.0_f64.sqrt();
    let head = point(0.0, 0.0, (16.0 - radius * radius).sqrt());
    let forces = Frame::new(head, &legs(on_circle(radius)), &[]).unwrap().solve(&[down(1000.0)]).unwrap();
    for leg in forces.legs() {
        near(leg.compression.value, 369.80013, 5e-6);
    }
}

#[test]
fn computed_at_40_digits_a_load_above_the_line_of_two_feet_leaves_the_third_leg_idle() {
    // GEN: 1.5625, 1.5625, 0 kN.
    let feet = [point(1.5, 0.0, 0.0), point(-1.5, 0.0, 0.0), point(0.0, 1.25, 0.0)];
    let tripod = Frame::new(point(0.0, 0.0, 2.0), &legs(feet), &[]).unwrap();
    let forces = tripod.solve(&[down(2500.0)]).unwrap();
    let compressions: Vec<f64> = forces.legs().iter().map(|leg| leg.compression.value).collect();
    near(compressions[0], 1562.5, 1e-9);
    near(compressions[1], 1562.5, 1e-9);
    near(compressions[2], 0.0, 1e-9);
    // It is about to tip over that line, and does with any more offset.
    near(forces.stability.margin.value, 0.0, 1e-15);
    assert_eq!(forces.stability.edge, Some(Edge { from: FrameMember::Leg(0), to: FrameMember::Leg(1) }));
    let offset = HeadPull::force(Force3::new(n(0.0), n(-1.0), n(-2500.0))).unwrap();
    assert!(matches!(tripod.solve(&[offset]), Err(FrameError::Falls(_))));
}

#[test]
fn computed_at_40_digits_the_bipod_of_case_s_leans_towards_the_apparatus() {
    // GEN: track rope 4682.990 N and haul rope 1362.770 N, both down at 44.700° over the slope and in from the
    // apparatus; resultant (−1318.324, 0, −6474.146) N.
    let head = point(0.0, 0.0, 3.0);
    let angle = 44.700_f64.to_radians();
    let r = Ratio::new::<rope_mechanics::quantity::unit::ratio>;
    let out = Direction3::new(r(angle.cos()), r(0.0), r(-angle.sin())).unwrap();
    let (track, haul) = (n(4682.990), n(1362.770));
    let pulls = [
        HeadPull::along(out, track).unwrap(),
        HeadPull::along(out, haul).unwrap(),
        HeadPull::towards(point(-6.0, 0.0, 0.8), track).unwrap(),
        HeadPull::towards(point(-5.0, 0.0, 0.5), haul).unwrap(),
    ];
    let r = resultant(head, &pulls).unwrap();
    near(r.x.value, -1318.324, 0.0005);
    assert_eq!(r.y.value, 0.0);
    near(r.z.value, -6474.146, 0.0005);
}

#[test]
fn computed_at_40_digits_guys_to_the_front_hold_that_bipod_and_guys_to_the_rear_are_wrong() {
    // GEN: leg 4669.7 N, guy 1322.9 N each; rear guys solve negative.
    let head = point(0.0, 0.0, 3.0);
    let feet = [point(0.0, 1.2, 0.0), point(0.0, -1.2, 0.0)];
    let pull = [HeadPull::force(Force3::new(n(-1318.324), n(0.0), n(-6474.146))).unwrap()];
    let front = guys([point(3.0, 1.5, -2.0), point(3.0, -1.5, -2.0)]);
    let forces = Frame::new(head, &legs(feet), &front).unwrap().solve(&pull).unwrap();
    for leg in forces.legs() {
        near(leg.compression.value, 4669.7, 0.05);
    }
    for guy in forces.guys() {
        near(guy.tension.value, 1322.9, 0.05);
    }

    let rear = [point(-3.0, 1.5, -2.0), point(-3.0, -1.5, -2.0)];
    let Err(FrameError::Falls(fall)) = Frame::new(head, &legs(feet), &guys(rear)).unwrap().solve(&pull)
    else {
        panic!("it should fall");
    };
    assert_eq!(fall.wrong_guys().collect::<Vec<_>>(), [0, 1]);
    // A guy is needed out over the slope.
    near(fall.guy_needed_towards.unwrap().value, 0.0, 1e-12);
    // In their place, struts would have to push as hard as guys would have to.
    let [a, b] = legs(feet);
    let [c, d] = legs(rear).map(Leg::staked);
    let forces = Frame::new(head, &[a, b, c, d], &[]).unwrap().solve(&pull).unwrap();
    assert!(forces.legs()[2].compression.value > 0.0 && forces.legs()[3].compression.value > 0.0);
}

#[test]
fn fm_5_125_the_guy_of_a_gin_pole() {
    // FM 5-125, *Rigging Techniques, Procedures, and Applications*, ch. 4 (from memory): T = D·(W_L + ½·W_P)/Y;
    // 2400 lb on a pole of 800 lb, drift 20 ft, the guy 28 ft from the foot at right angles → 2000 lb.
    let (d, y, height) = (20.0, 28.0, 40.0);
    // The horizontal distance a of the guy's anchor behind the foot that makes the right angle 28 ft.
    let (qa, qb, qc): (f64, f64, f64) =
        (height * height - y * y, -2.0 * y * y * d, -y * y * (d * d + height * height));
    let a = (-qb + (qb * qb - 4.0 * qa * qc).sqrt()) / (2.0 * qa);
    // Two guys side by side, whose pull in the plane of the pole is that of the one.
    let half = 10.0;
    let pole = Leg::new(feet(0.0, 0.0, 0.0)).unwrap();
    let frame = Frame::new(feet(d, 0.0, height), &[pole], &guys([feet(-a, half, 0.0), feet(-a, -half, 0.0)]))
        .unwrap();
    let lbf = |x| Force::new::<pound_force>(x);
    let pulls = [
        HeadPull::along(Direction3::DOWN, lbf(2400.0)).unwrap(),
        // Half of the pole's weight is at its head.
        HeadPull::along(Direction3::DOWN, lbf(400.0)).unwrap(),
    ];
    let forces = frame.solve(&pulls).unwrap();
    let in_plane = ((d + a).powi(2) + height * height).sqrt();
    let guy = (in_plane * in_plane + half * half).sqrt();
    let pair: f64 = forces.guys().iter().map(|g| g.tension.get::<pound_force>() * in_plane / guy).sum();
    near(pair, 2000.0, 1e-9);
    assert!(forces.stability.margin.value > 0.0);
}

#[test]
fn us_navy_steelworker_manual_limits_of_gin_poles_and_shears() {
    // Read: a gin pole no longer than 60 times its least thickness and leaning by no more than 45°, that is
    // 0.7 of its length in height; a leg of shears or a tripod takes 7/8 of what the table gives a gin pole.
    let thickness = Length::new::<foot>(0.5);
    let share = |head: Point3, at: &[Point3]| {
        let legs: Vec<_> = at.iter().map(|at| Leg::new(*at).unwrap()).collect();
        Frame::new(head, &legs, &[]).unwrap().pole_share(thickness)
    };
    let foot_of = [feet(0.0, 0.0, 0.0)];
    assert_eq!(share(feet(0.0, 0.0, 30.0), &foot_of).unwrap().value, 1.0);
    assert!(matches!(share(feet(0.0, 0.0, 30.01), &foot_of), Err(FrameError::Slender { index: 0, .. })));
    assert_eq!(share(feet(20.0, 0.0, 20.0), &foot_of).unwrap().value, 1.0);
    assert!(matches!(share(feet(20.1, 0.0, 20.0), &foot_of), Err(FrameError::Leans { .. })));
    let shears = [feet(0.0, 5.0, 0.0), feet(0.0, -5.0, 0.0)];
    assert_eq!(share(feet(0.0, 0.0, 20.0), &shears).unwrap().value, 0.875);
    assert!(matches!(share(feet(0.0, 0.0, 30.0), &shears), Err(FrameError::Slender { index: 0, .. })));
}
