//! Frames: statics that must hold for any of them, and what is refused.

use proptest::prelude::*;
use rope_mechanics::frame::{Frame, FrameError, FrameForces, FrameMember, Guy, HeadPull, Leg, Sharing};
use rope_mechanics::geometry::{Direction3, Force3, Point3};
use rope_mechanics::quantity::unit::{degree, kilonewton, meter, newton};
use rope_mechanics::quantity::{Angle, Force, Length};
use std::f64::consts::PI;

fn point(x: f64, y: f64, z: f64) -> Point3 {
    let m = Length::new::<meter>;
    Point3::new(m(x), m(y), m(z))
}

fn n(value: f64) -> Force {
    Force::new::<newton>(value)
}

fn force(x: f64, y: f64, z: f64) -> HeadPull {
    HeadPull::force(Force3::new(n(x), n(y), n(z))).unwrap()
}

fn down(value: f64) -> HeadPull {
    HeadPull::along(Direction3::DOWN, n(value)).unwrap()
}

fn polar(radius: f64, azimuth: f64, z: f64) -> Point3 {
    point(radius * azimuth.cos(), radius * azimuth.sin(), z)
}

fn tripod(height: f64) -> Frame {
    let legs = [0.0, 120.0, 240.0].map(|a: f64| Leg::new(polar(1.2, a.to_radians(), 0.0)).unwrap());
    Frame::new(point(0.0, 0.0, height), &legs, &[]).unwrap()
}

/// A frame as numbers, to be turned and loaded: polar feet and anchors.
#[derive(Debug, Clone)]
struct Numbers {
    height: f64,
    feet: Vec<(f64, f64, f64)>,
    guys: Vec<(f64, f64, f64)>,
    ropes: Vec<(f64, f64, f64, f64)>,
}

impl Numbers {
    fn frame(&self, turn: f64) -> Frame {
        let legs: Vec<_> =
            self.feet.iter().map(|(r, a, z)| Leg::new(polar(*r, a + turn, *z)).unwrap()).collect();
        let guys: Vec<_> =
            self.guys.iter().map(|(r, a, z)| Guy::new(polar(*r, a + turn, *z)).unwrap()).collect();
        Frame::new(point(0.0, 0.0, self.height), &legs, &guys).unwrap().hobbled_around().unwrap()
    }

    fn pulls(&self, turn: f64, scale: f64) -> Vec<HeadPull> {
        let rope = |(t, r, a, z): &(f64, f64, f64, f64)| {
            HeadPull::towards(polar(*r, a + turn, *z), n(t * scale)).unwrap()
        };
        self.ropes.iter().map(rope).collect()
    }
}

/// Standing or not, 3–6 feet around, up to 4 guys, 1–4 ropes that go more or less down.
fn numbers() -> impl Strategy<Value = Numbers> {
    let feet = (3_usize..=6, 0.0..PI, prop::collection::vec((0.8..2.0, -0.3..0.3, -0.5..0.5), 6)).prop_map(
        |(count, start, each)| {
            let step = 2.0 * PI / count as f64;
            (0..count)
                .map(|i| (each[i].0, start + step * i as f64 + each[i].1, each[i].2))
                .collect::<Vec<_>>()
        },
    );
    let guys = prop::collection::vec((2.0..12.0, -PI..PI, -4.0..2.0), 0..=4);
    let ropes = prop::collection::vec((100.0..6000.0, 0.0..8.0, -PI..PI, -40.0..-1.0), 1..=4);
    (2.0..4.0, feet, guys, ropes).prop_map(|(height, feet, guys, ropes)| Numbers {
        height,
        feet,
        guys,
        ropes,
    })
}

/// The largest component of the sum of all forces on the isolated head.
fn head_unbalanced(numbers: &Numbers, forces: &FrameForces) -> f64 {
    let head = [0.0, 0.0, numbers.height];
    let mut sum = [forces.resultant.x.value, forces.resultant.y.value, forces.resultant.z.value];
    let mut add = |end: Point3, tension: f64| {
        let run = [end.x.value - head[0], end.y.value - head[1], end.z.value - head[2]];
        let length = run.iter().map(|x| x * x).sum::<f64>().sqrt();
        for (sum, run) in sum.iter_mut().zip(run) {
            *sum += tension * run / length;
        }
    };
    for ((r, a, z), leg) in numbers.feet.iter().zip(forces.legs()) {
        add(polar(*r, *a, *z), -leg.compression.value);
    }
    for ((r, a, z), guy) in numbers.guys.iter().zip(forces.guys()) {
        add(polar(*r, *a, *z), guy.tension.value);
    }
    sum.iter().fold(0.0, |m, x| m.max(x.abs()))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn forces_on_the_isolated_head_sum_to_zero(numbers in numbers()) {
        match numbers.frame(0.0).solve(&numbers.pulls(0.0, 1.0)) {
            Ok(forces) => {
                let largest = forces.legs().iter().map(|l| l.compression.value)
                    .chain(forces.guys().iter().map(|g| g.tension.value))
                    .fold(forces.resultant.magnitude().value, f64::max);
                // The residual promised, and the rounding of this sum.
                prop_assert!(head_unbalanced(&numbers, &forces) <= 2e-12 * largest);
                prop_assert!(forces.report.residual <= 1e-12);
                prop_assert!(forces.legs().iter().all(|l| l.compression.value >= 0.0));
                prop_assert!(forces.guys().iter().all(|g| g.tension.value >= 0.0));
                prop_assert!(forces.stability.margin.value > -1e-9);
            }
            Err(FrameError::Falls(fall)) => {
                prop_assert!(fall.margin.value < 1e-9, "{fall:?}");
                // The missing force is just what makes it stand, on its edge.
                let mut pulls = numbers.pulls(0.0, 1.0);
                pulls.push(HeadPull::force(fall.missing).unwrap());
                if let Err(FrameError::Falls(rest)) = numbers.frame(0.0).solve(&pulls) {
                    prop_assert!(rest.missing.magnitude().value <= 1e-11 * fall.missing.magnitude().value.max(6000.0));
                }
            }
            Err(other) => prop_assert!(false, "{other}"),
        }
    }

    #[test]
    fn what_leaves_the_feet_and_guys_is_what_came_in_at_the_head(numbers in numbers()) {
        // Hobbles are inside the frame and add nothing.
        if let Ok(forces) = numbers.frame(0.0).solve(&numbers.pulls(0.0, 1.0)) {
            let mut sum = [0.0; 3];
            for leg in forces.legs() {
                for (sum, part) in sum.iter_mut().zip([leg.on_ground.x, leg.on_ground.y, leg.on_ground.z]) {
                    *sum += part.value;
                }
            }
            for ((r, a, z), guy) in numbers.guys.iter().zip(forces.guys()) {
                let end = polar(*r, *a, *z);
                let run = [end.x.value, end.y.value, end.z.value - numbers.height];
                let length = run.iter().map(|x| x * x).sum::<f64>().sqrt();
                for (sum, run) in sum.iter_mut().zip(run) {
                    *sum -= guy.tension.value * run / length;
                }
            }
            let r = forces.resultant;
            let largest = forces.legs().iter().map(|l| l.compression.value).fold(r.magnitude().value, f64::max);
            for (sum, r) in sum.iter().zip([r.x, r.y, r.z]) {
                prop_assert!((sum - r.value).abs() <= 4e-12 * largest);
            }
        }
    }

    #[test]
    fn twice_the_load_is_twice_the_force(numbers in numbers(), scale in 0.01..100.0) {
        let frame = numbers.frame(0.0);
        if let (Ok(one), Ok(more)) = (frame.solve(&numbers.pulls(0.0, 1.0)), frame.solve(&numbers.pulls(0.0, scale))) {
            let size = one.resultant.magnitude().value;
            for (a, b) in one.legs().iter().zip(more.legs()) {
                prop_assert!((a.compression.value * scale - b.compression.value).abs() <= 1e-9 * size * scale);
            }
            for (a, b) in one.guys().iter().zip(more.guys()) {
                prop_assert!((a.tension.value * scale - b.tension.value).abs() <= 1e-9 * size * scale);
            }
        }
    }

    #[test]
    fn a_rig_that_is_turned_round_has_the_same_forces(numbers in numbers(), turn in -PI..PI) {
        let one = numbers.frame(0.0).solve(&numbers.pulls(0.0, 1.0));
        let turned = numbers.frame(turn).solve(&numbers.pulls(turn, 1.0));
        if let (Ok(one), Ok(turned)) = (one, turned) {
            // Guys are softer than legs by some thousand times: so much is lost of sixteen digits.
            let size = one.resultant.magnitude().value;
            for (a, b) in one.legs().iter().zip(turned.legs()) {
                prop_assert!((a.compression.value - b.compression.value).abs() <= 1e-9 * size);
                prop_assert!((a.on_ground.z.value - b.on_ground.z.value).abs() <= 1e-9 * size);
            }
            for (a, b) in one.hobbles().iter().zip(turned.hobbles()) {
                prop_assert!((a.value - b.value).abs() <= 1e-8 * size);
            }
            prop_assert!((one.stability.margin.value - turned.stability.margin.value).abs() <= 1e-12);
        } else {
            let one = numbers.frame(0.0).solve(&numbers.pulls(0.0, 1.0)).is_ok();
            let turned = numbers.frame(turn).solve(&numbers.pulls(turn, 1.0)).is_ok();
            prop_assert_eq!(one, turned);
        }
    }

    #[test]
    fn another_guy_never_makes_a_standing_frame_fall(
        numbers in numbers(), guy in (2.0..12.0, -PI..PI, -4.0..2.0)
    ) {
        if let Ok(before) = numbers.frame(0.0).solve(&numbers.pulls(0.0, 1.0)) {
            let mut more = numbers.clone();
            more.guys.push(guy);
            let after = more.frame(0.0).solve(&numbers.pulls(0.0, 1.0));
            prop_assert!(after.is_ok());
            // A larger cone: its sides are never nearer.
            prop_assert!(after.unwrap().stability.margin.value >= before.stability.margin.value - 1e-12);
        }
    }

    #[test]
    fn it_stands_exactly_within_its_safe_cone(numbers in numbers(), azimuth in -PI..PI, tilt in 0.0..PI) {
        let frame = numbers.frame(0.0);
        let cone = frame.cone_edge(Angle::new::<degree>(azimuth.to_degrees()), n(1000.0)).unwrap();
        let (sin, cos) = tilt.sin_cos();
        let pull = force(1000.0 * sin * azimuth.cos(), 1000.0 * sin * azimuth.sin(), -1000.0 * cos);
        let stands = frame.solve(&[pull]).is_ok();
        match cone.stands {
            Some((from, to)) if (tilt - from.value).abs() > 1e-9 && (tilt - to.value).abs() > 1e-9 => {
                prop_assert_eq!(stands, (from.value..=to.value).contains(&tilt));
            }
            Some(_) => {}
            None => prop_assert!(!stands),
        }
        // Without strengths nothing but tipping bounds it.
        prop_assert_eq!(cone.stands.is_some(), cone.bears.is_some());
    }
}

/// At every tilt that is said to be borne no member exceeds its strength, and just beyond either end one does, or the
/// frame falls. Each tilt is solved by itself here.
#[test]
fn the_ends_of_what_is_borne_are_where_a_strength_is_reached() {
    let mut seed = 5_u64;
    let mut random = |from: f64, to: f64| {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        from + (to - from) * (seed >> 11) as f64 / (1_u64 << 53) as f64
    };
    let (mut by_strength, mut by_tipping, mut never) = (0, 0, 0);
    for case in 0..400 {
        let height = random(1.5, 4.0);
        let legs: Vec<Leg> = (0..3 + case % 3)
            .map(|_| {
                let foot = polar(random(0.5, 2.0), random(-PI, PI), random(-0.4, 0.4));
                Leg::new(foot)
                    .unwrap()
                    .with_strength(n(random(1500.0, 15e3)), Length::new::<meter>(2.8))
                    .unwrap()
            })
            .collect();
        let guys: Vec<Guy> = (0..case % 4)
            .map(|_| {
                let anchor = polar(random(2.0, 9.0), random(-PI, PI), random(-1.0, 1.0));
                Guy::new(anchor).unwrap().with_strength(n(random(800.0, 9e3))).unwrap()
            })
            .collect();
        let frame = Frame::new(point(0.0, 0.0, height), &legs, &guys).unwrap();
        let (azimuth, size) = (random(-PI, PI), random(1000.0, 4000.0));
        let used = |tilt: f64| {
            let (sin, cos) = tilt.sin_cos();
            let pull = force(size * sin * azimuth.cos(), size * sin * azimuth.sin(), -size * cos);
            frame.solve(&[pull]).map_or(f64::INFINITY, |forces| {
                let legs = forces.legs().iter().filter_map(|leg| leg.factor);
                let guys = forces.guys().iter().filter_map(|guy| guy.factor);
                legs.chain(guys).fold(0.0, |most: f64, factor| most.max(1.0 / factor.value))
            })
        };
        let edge = frame.cone_edge(Angle::new::<degree>(azimuth.to_degrees()), n(size)).unwrap();
        let Some((low, high)) = edge.stands.map(|(low, high)| (low.value, high.value)) else { continue };
        let looks = |from: f64, to: f64| (0..=60).map(move |i| from + (to - from) * f64::from(i) / 60.0);
        let Some((from, to)) = edge.bears.map(|(from, to)| (from.value, to.value)) else {
            never += 1;
            assert!(looks(low, high).all(|tilt| used(tilt) > 1.0 - 1e-9), "case {case}");
            continue;
        };
        assert!(low <= from && from <= to && to <= high, "case {case}");
        for tilt in looks(from, to).filter(|tilt| (low + 2e-9..high - 2e-9).contains(tilt)) {
            assert!(used(tilt) <= 1.0 + 1e-9, "case {case}: {tilt} of {from} to {to}");
        }
        for (end, limit, beyond) in [(from, low, from - 1e-6), (to, high, to + 1e-6)] {
            if (end - limit).abs() > 2e-6 {
                by_strength += 1;
                assert!((used(end) - 1.0).abs() < 1e-9 && used(beyond) > 1.0, "case {case}: {end}");
            } else {
                by_tipping += 1;
            }
        }
    }
    assert!(by_strength > 50 && by_tipping > 50 && never > 10, "{by_strength} {by_tipping} {never}");
}

/// A tripod with nothing to choose, one with a guy, and six legs: many resultants asked at once are answered as one by one,
/// whether the frame stands or falls.
#[test]
fn many_resultants_at_once_are_answered_as_one_by_one() {
    let legs = |count: u32| -> Vec<Leg> {
        (0..count)
            .map(|i| Leg::new(polar(1.3, 2.0 * PI * f64::from(i) / f64::from(count) + 0.2, 0.0)).unwrap())
            .collect()
    };
    let guy = Guy::new(point(-5.0, 0.4, 0.0)).unwrap();
    let head = point(0.0, 0.0, 2.7);
    let (mut stood, mut fell) = (0, 0);
    for frame in [
        Frame::new(head, &legs(3), &[]).unwrap(),
        Frame::new(head, &legs(3), &[guy]).unwrap(),
        Frame::new(head, &legs(6), &[guy]).unwrap().hobbled_around().unwrap(),
        Frame::new(head, &legs(2), &[guy]).unwrap(),
    ] {
        let resultants: Vec<Force3> = (0..400)
            .map(|i| {
                let (azimuth, tilt) = (0.37 * f64::from(i), 0.003 * f64::from(i));
                let level = 4000.0 * tilt.sin();
                Force3::new(n(level * azimuth.cos()), n(level * azimuth.sin()), n(-4000.0 * tilt.cos()))
            })
            .collect();
        assert_eq!(frame.under_each(resultants.clone()).count(), resultants.len());
        for (found, r) in frame.under_each(resultants.clone()).zip(&resultants) {
            match (found, frame.solve(&[HeadPull::force(*r).unwrap()])) {
                (Ok(found), Ok(whole)) => {
                    stood += 1;
                    let legs: Vec<Force> = whole.legs().iter().map(|leg| leg.compression).collect();
                    let guys: Vec<Force> = whole.guys().iter().map(|guy| guy.tension).collect();
                    assert_eq!((found.legs(), found.guys()), (&*legs, &*guys));
                    assert_eq!(
                        (found.margin, found.edge, found.report),
                        (whole.stability.margin, whole.stability.edge, whole.report)
                    );
                }
                (Err(FrameError::Falls(found)), Err(FrameError::Falls(whole))) => {
                    fell += 1;
                    assert_eq!(found, whole);
                    assert_eq!(found.margin, frame.stability(*r).unwrap().margin);
                }
                (found, whole) => panic!("{found:?} {whole:?}"),
            }
        }
        let endless = Force3::new(n(f64::NAN), n(0.0), n(-1.0));
        assert!(matches!(frame.under_each([endless]).next(), Some(Err(FrameError::Input(_)))));
    }
    assert!(stood > 300 && fell > 300, "{stood} {fell}");
}

/// Six legs and a guy, hauled every way: once the plumb pull was found unsolved, and the cone's edge with it.
#[test]
fn a_frame_of_many_members_is_judged_under_any_resultant() {
    let feet = [
        (1.626708696910361, 0.5656146566895177, 0.0),
        (0.8, 1.6128122078861153, 0.0),
        (1.8865245501574455, 2.4601552601829764, -0.21669740419845177),
        (0.9688799670616621, 3.6960261661683953, 0.018522000162098783),
        (0.8, 4.7544048614759085, 0.0),
        (0.8194617528441526, 5.596015473872847, 0.025900105182321657),
    ]
    .map(|(r, a, z)| Leg::new(polar(r, a, z)).unwrap());
    let guy = [Guy::new(polar(4.3826628742823335, -1.3389599529104146, 1.8602260886068103)).unwrap()];
    let frame = Frame::new(point(0.0, 0.0, 3.2313433691191116), &feet, &guy).unwrap();
    let azimuth = 1.8246851327835676_f64;
    for i in 0..=20_000 {
        let tilt = PI * f64::from(i) / 20_000.0;
        let (sin, cos) = tilt.sin_cos();
        let pull = force(1000.0 * sin * azimuth.cos(), 1000.0 * sin * azimuth.sin(), -1000.0 * cos);
        match frame.solve(&[pull]) {
            Ok(forces) => assert!(forces.report.residual <= 1e-12),
            Err(why) => assert!(matches!(why, FrameError::Falls(_)), "{tilt}: {why}"),
        }
    }
    frame.cone_edge(Angle::new::<degree>(azimuth.to_degrees()), n(1000.0)).unwrap();
}

#[test]
fn a_monopod_leaning_out_stands_on_two_guys_behind_it() {
    let pole = [Leg::new(point(0.0, 0.0, 0.0)).unwrap()];
    let guys = [4.0, -4.0].map(|y| Guy::new(point(-6.0, y, 0.0)).unwrap());
    let frame = Frame::new(point(1.0, 0.0, 4.0), &pole, &guys).unwrap();
    let forces = frame.solve(&[down(2000.0)]).unwrap();
    assert_eq!(forces.sharing, Sharing::Statics);
    assert!((forces.guys()[0].tension.value - forces.guys()[1].tension.value).abs() < 1e-9);
    // Moments about the foot: W·1 m = H·4 m − V·1 m with H and V the guys' pull behind and down.
    let length = (49.0_f64 + 16.0 + 16.0).sqrt();
    let pull = 2.0 * forces.guys()[0].tension.value / length;
    assert!((2000.0 - (pull * 7.0 * 4.0 - pull * 4.0)).abs() < 1e-9);
    // Without them it falls, and says that nothing but a guy on the other side of the lean would help.
    let Err(FrameError::Falls(fall)) = frame.unguyed().solve(&[down(2000.0)]) else { panic!("stands") };
    assert!((fall.guy_needed_towards.unwrap().get::<degree>().abs() - 180.0).abs() < 1e-9);
    assert!(fall.margin.value < 0.0);
}

#[test]
fn a_bipod_without_guys_is_always_on_its_edge_and_falls_sideways_beyond_its_feet() {
    let feet = [Leg::new(point(0.0, 1.2, 0.0)).unwrap(), Leg::new(point(0.0, -1.2, 0.0)).unwrap()];
    let bipod = Frame::new(point(0.0, 0.0, 3.0), &feet, &[]).unwrap();
    let forces = bipod.solve(&[down(1000.0)]).unwrap();
    assert_eq!(forces.stability.margin.value, 0.0);
    assert!(bipod.solve(&[force(1.0, 0.0, -1000.0)]).is_err());
    let Err(FrameError::Falls(fall)) = bipod.solve(&[force(0.0, 500.0, -1000.0)]) else { panic!("stands") };
    // Its leg leans by atan 0.4 and the load by atan 0.5.
    assert!((fall.margin.value - (0.4_f64.atan() - 0.5_f64.atan())).abs() < 1e-12);
    let edge = fall.edge.unwrap();
    assert_eq!((edge.from, edge.to), (FrameMember::Leg(0), FrameMember::Leg(0)));
    assert!(fall.to_string().contains("over legs[0]"), "{fall}");
}

#[test]
fn a_tripod_tips_towards_a_side_and_says_where_a_guy_is_needed() {
    let frame = tripod(2.5);
    // The side opposite the foot on x faces −x; its limit is 0.6/2.5.
    assert!(frame.solve(&[force(-239.9, 0.0, -1000.0)]).is_ok());
    let Err(FrameError::Falls(fall)) = frame.solve(&[force(-240.1, 0.0, -1000.0)]) else { panic!("stands") };
    assert_eq!(fall.wrong_guys().count(), 0);
    assert!(fall.guy_needed_towards.unwrap().value.abs() < 1e-9);
    // Towards a foot it bears twice as much: 1.2/2.5.
    let r = Force3::new(n(100.0), n(0.0), n(-1000.0));
    let stability = frame.stability(r).unwrap();
    assert!((stability.tip_limit.unwrap().value - 0.48).abs() < 1e-12);
    assert!((stability.lateral.unwrap().value - 0.1).abs() < 1e-12);
}

#[test]
fn the_lever_is_the_distance_of_the_plumb_line_from_the_edge() {
    // A plumb load acts 0.6 m inside each side.
    let stability = tripod(2.5).stability(Force3::new(n(0.0), n(0.0), n(-1.0))).unwrap();
    assert!((stability.lever.unwrap().value - 0.6).abs() < 1e-12);
    assert!((stability.margin.value - (0.6_f64 / 2.5).atan()).abs() < 1e-12);
}

#[test]
fn feet_at_different_heights_carry_as_the_ground_lets_them() {
    // A tripod on a slope: the forces go along the legs whatever the heights, so the taller side carries by its
    // own slope. Moments of a plumb load about the line of two feet give the third.
    let legs =
        [point(1.5, 0.0, -1.0), point(-1.0, 1.0, 0.0), point(-1.0, -1.0, 0.0)].map(|p| Leg::new(p).unwrap());
    let forces = Frame::new(point(0.0, 0.0, 2.5), &legs, &[]).unwrap().solve(&[down(1000.0)]).unwrap();
    // About the line x = −1, z = 0: 1000·1 = on_ground.z·2.5 plus its thrust at a metre below.
    let foot = forces.legs()[0].on_ground;
    assert!((1000.0 + foot.z.value * 2.5 + foot.x.value * 1.0).abs() < 1e-9);
}

#[test]
fn four_legs_share_by_their_stiffness() {
    let square = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)];
    let leg = |(x, y), ea| {
        Leg::new(point(x, y, 0.0)).unwrap().with_axial_stiffness(Force::new::<kilonewton>(ea)).unwrap()
    };
    let head = point(0.0, 0.0, 2.0);
    let stiff = |i: usize| if i.is_multiple_of(2) { 3000.0 } else { 1000.0 };
    let legs: Vec<_> = square.iter().enumerate().map(|(i, at)| leg(*at, stiff(i))).collect();
    let forces = Frame::new(head, &legs, &[]).unwrap().solve(&[down(8000.0)]).unwrap();
    assert_eq!(forces.sharing, Sharing::Stiffness);
    // All shorten alike, so they take 3:1:3:1 of the load.
    let slope = 5.0_f64.sqrt() / 2.0;
    for (leg, vertical) in forces.legs().iter().zip([3000.0, 1000.0, 3000.0, 1000.0]) {
        assert!((leg.compression.value - vertical * slope).abs() < 1e-8);
    }
    let plain = square.map(|(x, y)| Leg::new(point(x, y, 0.0)).unwrap());
    let forces = Frame::new(head, &plain, &[]).unwrap().solve(&[down(8000.0)]).unwrap();
    assert_eq!(forces.sharing, Sharing::AssumedStiffness);
    assert!((forces.legs()[0].compression.value - 2000.0 * slope).abs() < 1e-8);
}

#[test]
fn a_staked_foot_holds_a_tripod_that_would_tip() {
    let legs = [0.0, 120.0, 240.0].map(|a: f64| Leg::new(polar(1.2, a.to_radians(), 0.0)).unwrap());
    let [first, second, third] = legs;
    let staked = Frame::new(point(0.0, 0.0, 2.5), &[first.staked(), second, third], &[]).unwrap();
    let forces = staked.solve(&[force(-300.0, 0.0, -1000.0)]).unwrap();
    let leg = forces.legs()[0];
    assert!(leg.compression.value < 0.0 && leg.on_ground.z.value > 0.0);
    assert_eq!(leg.friction_needed, None);
}

#[test]
fn without_hobbles_the_feet_need_friction_by_the_slope_of_the_legs() {
    let forces = tripod(2.5).solve(&[down(5000.0)]).unwrap();
    for leg in forces.legs() {
        assert!((leg.friction_needed.unwrap().value - 1.2 / 2.5).abs() < 1e-12);
    }
    assert!(forces.hobbles().is_empty());
}

#[test]
fn the_higher_the_head_the_weaker_the_frame() {
    let strong = |p| Leg::new(p).unwrap().with_strength(n(10_000.0), Length::new::<meter>(2.5)).unwrap();
    let legs = [0.0, 120.0, 240.0].map(|a: f64| strong(polar(1.2, a.to_radians(), 0.0)));
    let frame = Frame::new(point(0.0, 0.0, 2.0), &legs, &[]).unwrap();
    let pulls = [down(9000.0)];
    let heights = [2.0, 2.5, 3.0, 3.5, 4.0];
    let forces: Vec<_> =
        frame.at_heads(heights.map(|z| point(0.0, 0.0, z)), &pulls).collect::<Result<_, _>>().unwrap();
    for pair in forces.windows(2) {
        assert!(pair[1].stability.tip_limit < pair[0].stability.tip_limit);
    }
    // Longer than 2.5 m the legs lose by the square of their length.
    let factor = |i: usize| forces[i].legs()[0].factor.unwrap().value;
    let length2 = |z: f64| z * z + 1.44;
    let carried = |z: f64| 3000.0 * length2(z).sqrt() / z;
    assert!((factor(2) - 10_000.0 * 6.25 / length2(3.0) / carried(3.0)).abs() < 1e-9);
    assert!((factor(0) - 10_000.0 / carried(2.0)).abs() < 1e-9);
    assert!(factor(2) > factor(3) && factor(3) > factor(4));
}

#[test]
fn the_strength_of_the_legs_narrows_the_safe_cone() {
    // Towards a foot that leg takes most; with a strength of half the load it is reached before tipping.
    let strong = |p| Leg::new(p).unwrap().with_strength(n(600.0), Length::new::<meter>(10.0)).unwrap();
    let legs = [0.0, 120.0, 240.0].map(|a: f64| strong(polar(1.2, a.to_radians(), 0.0)));
    let frame = Frame::new(point(0.0, 0.0, 2.5), &legs, &[]).unwrap();
    let cone = frame.cone_edge(Angle::new::<degree>(0.0), n(1000.0)).unwrap();
    let (_, tips) = cone.stands.unwrap();
    let (from, bears) = cone.bears.unwrap();
    assert_eq!(from.value, 0.0);
    assert!((tips.value - (1.2_f64 / 2.5).atan()).abs() < 1e-12);
    assert!(bears < tips);
    let at =
        |t: f64| frame.solve(&[force(1000.0 * t.sin(), 0.0, -1000.0 * t.cos())]).unwrap().legs()[0].factor;
    assert!((at(bears.value).unwrap().value - 1.0).abs() < 1e-8);
    // And a load that no tilt allows.
    assert_eq!(frame.cone_edge(Angle::new::<degree>(0.0), n(9000.0)).unwrap().bears, None);
}

#[test]
fn what_is_no_frame_is_refused_by_name() {
    let head = point(0.0, 0.0, 2.0);
    let leg = Leg::new(point(1.0, 0.0, 0.0)).unwrap();
    let text = |r: Result<Frame, FrameError>| r.unwrap_err().to_string();
    assert_eq!(text(Frame::new(head, &[], &[])), "0 legs were given, but there must be from 1 to 8");
    assert!(text(Frame::new(head, &[leg; 9], &[])).starts_with("9 legs"));
    let guy = Guy::new(point(5.0, 0.0, 0.0)).unwrap();
    assert!(text(Frame::new(head, &[leg], &[guy; 9])).starts_with("9 guys"));
    assert!(text(Frame::new(point(f64::NAN, 0.0, 0.0), &[leg], &[])).starts_with("head is NaN"));
    let at_head = Guy::new(head).unwrap();
    assert_eq!(
        text(Frame::new(head, &[leg], &[guy, at_head])),
        "guys[1] has its two ends within 1 mm of each other: move one of them"
    );
    let above = Leg::new(point(1.0, 0.0, 3.0)).unwrap();
    assert!(
        text(Frame::new(head, &[leg, above], &[])).starts_with("legs[1] has its foot 1 m above the head")
    );
    let frame = Frame::new(head, &[leg, Leg::new(point(-1.0, 0.0, 0.0)).unwrap()], &[]).unwrap();
    assert!(text(frame.with_hobbles(&[(0, 2)])).starts_with("hobbles[0] joins feet 0 and 2"));
    assert!(text(frame.with_hobbles(&[(1, 1)])).starts_with("hobbles[0]"));
    assert!(frame.solve(&[]).unwrap_err().to_string().starts_with("0 pulls"));
    assert!(Leg::new(point(0.0, f64::INFINITY, 0.0)).is_err());
    assert!(HeadPull::towards(head, n(-1.0)).unwrap_err().to_string().starts_with("tension is -1 N"));
    assert!(leg.with_axial_stiffness(n(0.0)).is_err());
    assert!(frame.stability(Force3::default()).is_err());
    assert!(frame.cone_edge(Angle::new::<degree>(0.0), n(0.0)).is_err());
    let at_head = HeadPull::towards(head, n(10.0)).unwrap();
    assert!(frame.solve(&[down(1.0), at_head]).unwrap_err().to_string().starts_with("pulls[1]"));
}

#[test]
fn no_number_of_a_frame_is_infinite_but_a_tip_limit() {
    // Staked legs so nearly level, and forces so small, that a quotient would leave the range of numbers.
    let tiny = 1e-309;
    let legs = [(2.0, 0.0), (-1.0, 1.0), (-1.0, -1.0)].map(|(x, y)| {
        Leg::new(point(x, y, 0.0))
            .unwrap()
            .staked()
            .with_strength(n(1e15), Length::new::<meter>(1e6))
            .unwrap()
    });
    let flat = Frame::new(point(0.0, 0.0, tiny), &legs, &[]).unwrap();
    let level = flat.solve(&[force(1000.0, 0.0, 0.0)]).unwrap();
    for leg in level.legs() {
        assert_eq!(leg.friction_needed, None, "a stake holds it, not the ground");
    }
    let loads = [force(1000.0, 0.0, 0.0), force(1000.0, 0.0, -tiny), force(1e-140, 1e-150, -1e-145)];
    let frames = [flat, Frame::new(point(0.0, 0.0, 2.0), &legs, &[]).unwrap()];
    for (frame, load) in frames.iter().flat_map(|frame| loads.map(|load| (frame, load))) {
        let Ok(forces) = frame.solve(&[load]) else { continue };
        for leg in forces.legs() {
            let ratios = [leg.friction_needed, leg.factor].into_iter().flatten().map(|ratio| ratio.value);
            assert!(
                ratios.chain([leg.compression.value, leg.on_ground.z.value]).all(f64::is_finite),
                "{leg:?}"
            );
        }
        let stability = forces.stability;
        assert!(stability.lateral.is_none_or(|lateral| lateral.value.is_finite()), "{stability:?}");
        assert!(
            stability.lever.is_none_or(|lever| lever.value.is_finite()) && stability.margin.value.is_finite()
        );
    }
}

/// Five legs and two guys: near the plumb pull two members were taken and dropped in turn, by rounding, without end.
#[test]
fn members_that_take_turns_by_rounding_end_the_search() {
    let feet = [
        (0.8, 2.88306303681967, -0.3264738964203084),
        (0.8, 4.139700098255587, -0.20196660294084623),
        (1.457812496233769, 5.396337159691504, 0.14117146703054778),
        (1.3258458257697592, 6.647529234240135, -0.455333728406556),
        (1.3541547256302402, 7.909611282563339, 0.17824229993851115),
    ]
    .map(|(r, a, z)| Leg::new(polar(r, a, z)).unwrap());
    let guys = [
        (3.4559225409233427, 1.678541960806904, 0.025016805941686208),
        (8.961836993026292, 1.7067599771176718, -3.5185223002677373),
    ]
    .map(|(r, a, z)| Guy::new(polar(r, a, z)).unwrap());
    let frame = Frame::new(point(0.0, 0.0, 2.5964797206815273), &feet, &guys).unwrap();
    // One azimuth in seven failed.
    for step in 0..60 {
        let azimuth = -1.1434894891813512 + 1e-13 * f64::from(step);
        let edge = frame.cone_edge(Angle::new::<degree>(azimuth.to_degrees()), n(1000.0)).unwrap();
        assert!(edge.stands.is_some() && edge.bears.is_some());
    }
}
