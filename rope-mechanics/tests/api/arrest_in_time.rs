//! Falls followed in time: closed forms, energy, and the bounds that they must stay below.
use rope_mechanics::arrest::{
    ArrestError, DAMPING, EndState, FallInTime, FallMotion, FallingRope, TiedTo, arc_tension, lying_bound,
    point_bound, sling_bound, step_factor, taken_over,
};
use rope_mechanics::geometry::{Point2, Profile};
use rope_mechanics::quantity::unit::{
    degree, kilogram, meter, meter_per_second, newton, newton_per_meter, ratio, second,
};
use rope_mechanics::quantity::{Angle, Force, Length, Mass, Ratio, Stiffness, Time, Velocity};
use rope_mechanics::rope::Stretch;

const G: f64 = 9.80665;

fn m(value: f64) -> Length {
    Length::new::<meter>(value)
}

fn n(value: f64) -> Force {
    Force::new::<newton>(value)
}

fn r(value: f64) -> Ratio {
    Ratio::new::<ratio>(value)
}

fn kg(value: f64) -> Mass {
    Mass::new::<kilogram>(value)
}

fn s(value: f64) -> Time {
    Time::new::<second>(value)
}

fn deg(value: f64) -> Angle {
    Angle::new::<degree>(value)
}

fn at(x: f64, z: f64) -> Point2 {
    Point2::new(m(x), m(z))
}

fn linear(ea_n: f64) -> Stretch {
    Stretch::linear(n(ea_n)).unwrap()
}

/// The same to the tolerance of the run.
fn near<const N: usize>(found: f64, expected: f64, motion: &FallMotion<N>, within: f64) {
    assert!((found / expected - 1.0).abs() < within, "{found} for {expected}: {motion:?}");
}

#[test]
fn a_load_put_on_all_at_once_pulls_twice_its_weight() {
    let rope = FallingRope::taut(at(0.0, 0.0), m(10.0), linear(80e3), n(0.0)).unwrap();
    let fall = FallInTime::new(kg(250.0), at(0.0, -10.0), [rope]).unwrap();
    let motion = fall.run(s(3.0), r(1e-4)).unwrap();
    near(motion.rope_peaks[0].value, 2.0 * 250.0 * G, &motion, 2e-4);
    // x = 2W/k
    near(motion.drop.value, 2.0 * 250.0 * G * 10.0 / 80e3, &motion, 2e-4);
    assert_eq!(motion.end, EndState::Swings);
    assert!(motion.first_landing.is_none());
    assert!(motion.report.energy_error < 1e-4 && motion.report.error <= 1e-4);
    // One that carries it already stays as it is.
    let carries = FallingRope::taut(at(0.0, 0.0), m(10.0), linear(80e3), n(250.0 * G)).unwrap();
    let still = FallInTime::new(kg(250.0), at(0.0, -10.0), [carries]).unwrap().run(s(3.0), r(1e-4)).unwrap();
    near(still.rope_peaks[0].value, 250.0 * G, &still, 1e-9);
    assert_eq!(still.end, EndState::Hangs);
}

#[test]
fn a_fall_through_slack_meets_the_energy_balance() {
    for slack in [0.1, 0.6, 3.0] {
        let (weight, k) = (200.0 * G, 60e3 / 12.0);
        let rope = FallingRope::slack(at(0.0, 0.0), m(12.0), linear(60e3), m(slack)).unwrap();
        let fall = FallInTime::new(kg(200.0), at(0.0, -12.0), [rope]).unwrap();
        let motion = fall.run(s(3.0), r(1e-4)).unwrap();
        // W + √(W² + 2W·k·h)
        near(
            motion.rope_peaks[0].value,
            weight + (weight * weight + 2.0 * weight * k * slack).sqrt(),
            &motion,
            2e-4,
        );
        assert_eq!(
            motion.rope_peaks[0].value,
            motion.rope_peaks[0].value.max(taken_over_at(weight, k, slack) * 0.999)
        );
    }
}

fn taken_over_at(pull: f64, k: f64, slack: f64) -> f64 {
    taken_over(n(pull), Stiffness::new::<newton_per_meter>(k), m(slack)).unwrap().value
}

#[test]
fn a_pendulum_pulls_as_its_closed_form() {
    // So stiff that its stretch of 3W/EA = 6e-4 at the lowest point is what the answer can be off.
    let (mass, length, ea) = (100.0, 8.0, 5e6);
    for from in [90.0, 60.0, 30.0] {
        let angle = f64::to_radians(from);
        let start = at(length * angle.sin(), -length * angle.cos());
        let held = mass * G * angle.cos();
        let rope = FallingRope::taut(at(0.0, 0.0), m(length), linear(ea), n(held)).unwrap();
        let motion = FallInTime::new(kg(mass), start, [rope]).unwrap().run(s(4.0), r(1e-3)).unwrap();
        let expected = arc_tension(n(mass * G), deg(from), deg(0.0)).unwrap().value;
        near(motion.rope_peaks[0].value, expected, &motion, 5e-3);
        near(motion.drop.value, length * (1.0 - angle.cos()), &motion, 2e-3);
        // v² = 2gΔ
        near(motion.fastest.value, (2.0 * G * length * (1.0 - angle.cos())).sqrt(), &motion, 2e-3);
        assert_eq!(motion.end, EndState::Swings);
    }
    assert!((arc_tension(n(1.0), deg(90.0), deg(60.0)).unwrap().value - 1.5).abs() < 1e-12);
    assert!(arc_tension(n(1.0), deg(30.0), deg(60.0)).is_err());
}

#[test]
fn a_damped_load_overshoots_as_a_step_response() {
    for damping in [0.05, DAMPING, 0.3] {
        let rope = FallingRope::taut(at(0.0, 0.0), m(10.0), linear(50e3), n(0.0)).unwrap();
        let rope = rope.with_damping(r(damping)).unwrap();
        let motion =
            FallInTime::new(kg(200.0), at(0.0, -10.0), [rope]).unwrap().run(s(20.0), r(1e-4)).unwrap();
        let rest = 200.0 * G * 10.0 / 50e3;
        // x_max/x_rest = 1 + e^(−πζ/√(1−ζ²))
        near(motion.drop.value, rest * step_factor(r(damping)).unwrap().value, &motion, 5e-4);
        assert_eq!(motion.end, EndState::Hangs);
        near(-10.0 - motion.at.z.value, rest, &motion, 0.02);
        assert!(motion.report.energy_error < 1e-4);
    }
}

#[test]
fn a_free_fall_lands_at_its_speed_and_goes_into_the_slope_by_its_normal() {
    let slope = [at(-10.0, 5.0), at(50.0, -40.0)]; // 3 down on 4 out
    for height in [0.3, 2.0] {
        let ground = Profile::new(&slope).unwrap();
        let start = ground.above(m(10.0), m(height)).unwrap();
        let fall = FallInTime::<0>::new(kg(200.0), start, []).unwrap();
        let motion = fall.on_ground(ground, r(2.0)).unwrap().run(s(5.0), r(1e-4)).unwrap();
        let landing = motion.first_landing.unwrap();
        // v² = 2gΔ, of which cos θ = 0.8 goes into the slope
        let speed = (2.0 * G * height).sqrt();
        near(landing.speed.value, speed, &motion, 1e-6);
        near(landing.into_ground.value, 0.8 * speed, &motion, 1e-6);
        near(landing.time.value, speed / G, &motion, 1e-6);
        near(landing.at.x.value, 10.0, &motion, 1e-9);
        // μ = 2 takes all that is left along the slope, and holds it.
        assert_eq!(motion.end, EndState::Lies);
        near(motion.drop.value, height, &motion, 1e-6);
        assert_eq!(motion.hardest_landing, motion.first_landing);
    }
}

#[test]
fn on_a_slope_it_slides_if_the_slope_is_steeper_than_its_friction() {
    let slope = [at(-10.0, 5.0), at(500.0, -377.5)]; // tan θ = 0.75
    let ground = Profile::new(&slope).unwrap();
    let lying = ground.above(m(10.0), m(0.0)).unwrap();
    let end = |friction: f64, time: f64| {
        let fall =
            FallInTime::<0>::new(kg(200.0), lying, []).unwrap().on_ground(ground, r(friction)).unwrap();
        fall.run(s(time), r(1e-4)).unwrap()
    };
    assert_eq!(end(0.76, 2.0).end, EndState::Lies);
    let slides = end(0.3, 2.0);
    assert_eq!(slides.end, EndState::Slides);
    // a = g·(sin θ − μ·cos θ)
    near(slides.speed.value, 2.0 * G * (0.6 - 0.3 * 0.8), &slides, 1e-6);
    assert!(slides.first_landing.is_none() && slides.report.energy_error < 1e-6);
    // Pushed up the slope it comes to rest after v²/2a, with a = g·(sin θ + μ·cos θ), and stays.
    let pushed = FallInTime::<0>::new(kg(200.0), lying, [])
        .unwrap()
        .on_ground(ground, r(0.8))
        .unwrap()
        .moving(Velocity::new::<meter_per_second>(-0.8 * 3.0), Velocity::new::<meter_per_second>(0.6 * 3.0))
        .unwrap()
        .run(s(3.0), r(1e-3))
        .unwrap();
    assert_eq!(pushed.end, EndState::Lies);
    let up = 9.0 / (2.0 * G * (0.6 + 0.8 * 0.8));
    near(10.0 - pushed.at.x.value, 0.8 * up, &pushed, 5e-3);
}

#[test]
fn a_swing_into_a_face_is_measured_by_its_normal() {
    // A face that leans back at 60° above a flat ledge; the litter swings in from 5 m out on a rope from the lip.
    let face = [at(-3.0, 0.1), at(-1.0, 0.0), at(0.0, -1.0), at(1.0, -15.0), at(20.0, -16.0)];
    let ground = Profile::new(&face).unwrap();
    let rope = FallingRope::taut(at(1.5, 2.0), m(9.0), linear(2e5), n(0.0)).unwrap();
    let start = at(1.5 + 9.0 * 0.8, 2.0 - 9.0 * 0.6);
    let motion = FallInTime::new(kg(200.0), start, [rope])
        .unwrap()
        .on_ground(ground, r(0.4))
        .unwrap()
        .run(s(4.0), r(0.01))
        .unwrap();
    let hit = motion.first_landing.unwrap();
    // It has fallen nearly to the lowest point of its arc: √(2g·9·(1 − 0.6)) = 8.4 m/s, and most of it goes in.
    assert!(hit.speed.value > 7.0 && hit.speed.value < 8.5, "{motion:?}");
    assert!(hit.into_ground.value > 0.9 * hit.speed.value);
    assert!(hit.at.x.value < 1.0 && hit.at.z.value < -1.0);
}

/// The haul rope on the S7-like slope: 0.66 down for 1 out, head 3.2 m up.
fn track_lost(
    x: f64,
    carriage_kg: f64,
    hang: f64,
    clearance: Option<f64>,
    ea: f64,
) -> (FallMotion<1>, Bound) {
    let z = -0.7 * x;
    let (mass, weight) = (200.0, 200.0 * G);
    let distance = f64::hypot(x, z);
    let service = distance + 6.0;
    // What the haul rope carried along the track: about three quarters of the weight along it.
    let held = 0.75 * (weight + carriage_kg * G) * (-z / distance);
    let rope = FallingRope::taut(at(0.0, 0.0), m(service), linear(ea), n(held)).unwrap();
    let litter = at(x, z - hang);
    let mut fall = FallInTime::new(kg(mass), litter, [rope])
        .unwrap()
        .with_carriage(kg(carriage_kg), at(x, z), linear(ea))
        .unwrap();
    let points;
    if let Some(clearance) = clearance {
        points = [
            at(-20.0, z - hang - clearance + 0.7 * (x + 20.0)),
            at(200.0, z - hang - clearance - 0.7 * (200.0 - x)),
        ];
        fall = fall.on_ground(Profile::new(&points).unwrap(), r(0.4)).unwrap();
        let motion = fall.run(s(6.0), r(0.01)).unwrap();
        return (motion, bound(x, z, hang, weight, ea, service, held));
    }
    (fall.run(s(6.0), r(0.01)).unwrap(), bound(x, z, hang, weight, ea, service, held))
}

#[derive(Debug)]
struct Bound {
    point: f64,
    sling: f64,
}

fn bound(x: f64, z: f64, hang: f64, weight: f64, ea: f64, service: f64, held: f64) -> Bound {
    let distance = f64::hypot(x, z);
    let to_litter = f64::hypot(x, z - hang);
    let weight = weight + 20.0 * G;
    // The whole swing to plumb: no ground.
    let angle = |x: f64, z: f64| Angle::new::<degree>(x.atan2(-z).to_degrees());
    let arc = arc_tension(n(weight), angle(x, z - hang), deg(0.0)).unwrap();
    let stiffness = Stiffness::new::<newton_per_meter>(1.0 / (service / ea + hang / ea));
    let point = arc_tension(n(weight), angle(x, z), deg(0.0)).unwrap();
    Bound {
        point: point_bound(n(held), point).unwrap().value,
        sling: sling_bound(arc, stiffness, m(distance + hang - to_litter)).unwrap().value,
    }
}

#[test]
fn no_motion_passes_the_bound_for_a_sling() {
    let mut passed_the_point_bound = 0;
    for x in [4.0, 10.0, 25.0, 50.0] {
        for hang in [0.6, 1.1, 2.0] {
            for ea in [80e3, 200e3] {
                let (motion, bound) = track_lost(x, 20.0, hang, None, ea);
                let peak = motion.rope_peaks[0].value;
                println!(
                    "x {x} hang {hang} EA {ea}: {peak:.0} of {:.0} (point {:.0}), {} steps",
                    bound.sling, bound.point, motion.report.steps
                );
                assert!(peak <= bound.sling * 1.01, "{x} {hang} {ea}: {peak} {bound:?}");
                passed_the_point_bound += usize::from(peak > bound.point);
                assert!(peak > 200.0 * G);
                assert!(motion.report.error <= 0.01 && motion.report.energy_error <= 0.01);
            }
        }
    }
    // What the point bound's caution says: a litter on a sling passes it.
    assert!(passed_the_point_bound > 0);
}

/// Carriage and litter under one haul rope from the origin, by the plainest method there is: kick, drift, kick, with
/// steps so short that they don't matter. The peaks of rope and sling, and the drop of the litter.
fn leapfrog(x: f64, hang: f64, ea: f64, service: f64, held: f64, time: f64) -> (f64, f64, f64) {
    let (carriage_kg, litter_kg) = (20.0, 200.0);
    let start = f64::hypot(x, 0.7 * x);
    let taut_at = start - service * held / ea;
    let sling_m = hang / (1.0 + litter_kg * G / ea);
    let mut at = [x, -0.7 * x, x, -0.7 * x - hang];
    let mut v = [0.0; 4];
    let (mut rope_peak, mut sling_peak, mut lowest) = (0.0_f64, 0.0_f64, at[3]);
    let mut pulls = |at: &[f64; 4]| {
        let distance = f64::hypot(at[0], at[1]);
        let rope = (ea * (distance - taut_at) / service).max(0.0);
        let (dx, dz) = (at[0] - at[2], at[1] - at[3]);
        let apart = f64::hypot(dx, dz);
        let sling = (ea * (apart - sling_m) / sling_m).max(0.0);
        (rope_peak, sling_peak) = (rope_peak.max(rope), sling_peak.max(sling));
        [
            (-rope * at[0] / distance - sling * dx / apart) / carriage_kg,
            (-rope * at[1] / distance - sling * dz / apart) / carriage_kg - G,
            sling * dx / apart / litter_kg,
            sling * dz / apart / litter_kg - G,
        ]
    };
    let step = 1e-5;
    let mut a = pulls(&at);
    for _ in 0..(time / step) as usize {
        for i in 0..4 {
            v[i] += 0.5 * step * a[i];
            at[i] += step * v[i];
        }
        a = pulls(&at);
        for i in 0..4 {
            v[i] += 0.5 * step * a[i];
        }
        lowest = lowest.min(at[3]);
    }
    (rope_peak, sling_peak, -0.7 * x - hang - lowest)
}

#[test]
fn another_integration_meets_the_same_peaks() {
    for (x, hang, ea) in [(10.0, 1.1, 80e3), (25.0, 1.1, 200e3), (25.0, 2.0, 80e3)] {
        let distance = f64::hypot(x, 0.7 * x);
        let (service, held) = (distance + 6.0, 1200.0);
        let rope = FallingRope::taut(at(0.0, 0.0), m(service), linear(ea), n(held)).unwrap();
        let motion = FallInTime::new(kg(200.0), at(x, -0.7 * x - hang), [rope])
            .unwrap()
            .with_carriage(kg(20.0), at(x, -0.7 * x), linear(ea))
            .unwrap()
            .run(s(1.5), r(1e-3))
            .unwrap();
        let (rope_peak, sling_peak, drop) = leapfrog(x, hang, ea, service, held, 1.5);
        // The tolerance asked for, and as much again for what the halved steps still miss.
        near(motion.rope_peaks[0].value, rope_peak, &motion, 2e-3);
        near(motion.sling_peak.value, sling_peak, &motion, 2e-3);
        near(motion.drop.value, drop, &motion, 2e-3);
    }
}

#[test]
fn a_litter_near_the_ground_lands_softer_than_it_would_fall() {
    for x in [10.0, 25.0, 50.0] {
        for clearance in [0.2, 0.8] {
            let (motion, _) = track_lost(x, 20.0, 1.1, Some(clearance), 160e3);
            let landing = motion.first_landing.unwrap();
            println!("x {x} clearance {clearance}: {landing:?} end {:?}", motion.end);
            // v² ≤ 2g·(clearance, and what it goes down the slope until it lands)
            let free = (2.0 * G * motion.drop.value).sqrt();
            assert!(landing.speed.value <= free * 1.01, "{motion:?}");
            assert!(landing.into_ground <= landing.speed * 1.000_001);
            // Along the slope the ground takes at least the clearance's fall across it.
            assert!(landing.into_ground.value <= (2.0 * G * clearance).sqrt() * 1.2);
        }
    }
}

#[test]
fn energy_is_conserved_where_nothing_is_damped() {
    let rope = |x: f64| FallingRope::slack(at(x, 3.0), m(14.0), linear(90e3), m(0.4)).unwrap();
    let track =
        |fall: FallInTime<'static, 2>| fall.with_track(at(0.0, 3.0), at(30.0, -15.0), m(36.5), linear(100e3));
    let fall = FallInTime::new(kg(180.0), at(10.0, -6.0), [rope(0.0), rope(-4.0).tied_to(TiedTo::Litter)])
        .unwrap()
        .with_carriage(kg(20.0), at(10.0, -5.0), linear(90e3))
        .unwrap();
    let motion = track(fall).unwrap().run(s(2.0), r(1e-3)).unwrap();
    assert!(motion.report.energy_error < 1e-3, "{motion:?}");
    assert!(motion.track_peak.value > 500.0 && motion.sling_peak.value > 180.0 * G);
}

#[test]
fn the_rope_with_the_sling_of_a_light_carriage_comes_near_the_load_alone() {
    // With a carriage of a kilogram and hardly a sling, the load hangs as if it were tied to the rope.
    let rope = || FallingRope::slack(at(0.0, 0.0), m(12.0), linear(60e3), m(0.5)).unwrap();
    let alone = FallInTime::new(kg(200.0), at(0.0, -12.0), [rope()]).unwrap().run(s(2.0), r(1e-3)).unwrap();
    let both = FallInTime::new(kg(200.0), at(0.0, -12.1), [rope()])
        .unwrap()
        .with_carriage(kg(1.0), at(0.0, -12.0), linear(1e6))
        .unwrap()
        .run(s(2.0), r(5e-3))
        .unwrap();
    near(both.rope_peaks[0].value, alone.rope_peaks[0].value, &both, 0.02);
}

#[test]
fn what_can_not_be_is_refused() {
    let rope = FallingRope::taut(at(0.0, 0.0), m(10.0), linear(80e3), n(0.0)).unwrap();
    assert!(FallingRope::taut(at(0.0, 0.0), m(0.0), linear(80e3), n(0.0)).is_err());
    assert!(FallingRope::slack(at(0.0, 0.0), m(1.0), linear(80e3), m(-0.1)).is_err());
    assert!(rope.with_damping(r(1.1)).is_err());
    assert!(FallInTime::new(kg(0.0), at(0.0, -10.0), [rope]).is_err());
    let fall = FallInTime::new(kg(200.0), at(0.0, -10.0), [rope]).unwrap();
    assert!(fall.with_carriage(kg(20.0), at(0.0, -10.0), linear(1e4)).is_err());
    let above = [at(-5.0, -9.0), at(5.0, -9.0)];
    let refused = fall.on_ground(Profile::new(&above).unwrap(), r(0.4)).unwrap_err();
    assert_eq!(refused.field, "litter_at.z");
    assert!(fall.run(s(1e4), r(0.01)).is_err() && fall.run(s(1.0), r(0.0)).is_err());
    // A steel wire on a feather for ten minutes: more steps than are allowed.
    let wire = FallingRope::slack(at(0.0, 0.0), m(0.01), linear(1e9), m(0.1)).unwrap();
    let stiff = FallInTime::new(kg(0.01), at(0.0, -0.01), [wire]).unwrap();
    assert!(matches!(stiff.run(s(600.0), r(1e-6)), Err(ArrestError::NotConverged { .. })));
    assert!(lying_bound(n(0.0), n(1.0), deg(91.0)).is_err());
    assert!(sling_bound(n(0.0), Stiffness::new::<newton_per_meter>(1.0), m(0.1)).is_err());
}
