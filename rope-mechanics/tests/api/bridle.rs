//! Loads on two and three ropes: geometry by hand, properties, bad input.
use proptest::prelude::*;
use rope_mechanics::bridle::{Bridle, BridleError, BridleRope, Hang};
use rope_mechanics::geometry::Point3;
use rope_mechanics::quantity::unit::{meter, newton};
use rope_mechanics::quantity::{Force, Length};
use rope_mechanics::rope::Stretch;

fn n(value: f64) -> Force {
    Force::new::<newton>(value)
}

fn m(value: f64) -> Length {
    Length::new::<meter>(value)
}

fn point(x: f64, y: f64, z: f64) -> Point3 {
    Point3::new(m(x), m(y), m(z))
}

fn rope(x: f64, y: f64, z: f64, ea_n: f64) -> BridleRope {
    BridleRope::new(point(x, y, z), Stretch::linear(n(ea_n)).unwrap()).unwrap()
}

fn xyz(p: Point3) -> [f64; 3] {
    [p.x.value, p.y.value, p.z.value]
}

fn distance(a: Point3, b: Point3) -> f64 {
    let (a, b) = (xyz(a), xyz(b));
    a.iter().zip(b).map(|(a, b)| (a - b) * (a - b)).sum::<f64>().sqrt()
}

/// The forces on the points sum to the weight, downward; each rope is as long as its tension says.
#[track_caller]
fn holds<const N: usize>(bridle: &Bridle<N>, hang: &Hang<N>) {
    let mut sum = [0.0, 0.0, bridle.weight().value];
    let mut largest = bridle.weight().value;
    let mut furthest = xyz(hang.position).iter().fold(0.0_f64, |a, b| a.max(b.abs()));
    for rope in bridle.ropes() {
        furthest = furthest.max(distance(rope.from(), hang.position));
    }
    for i in 0..N {
        let (force, tension) = (hang.on_points[i], hang.tensions[i].value);
        for (sum, part) in sum.iter_mut().zip([force.x, force.y, force.z]) {
            *sum += part.value;
        }
        largest = largest.max(tension);
        assert!(tension >= 0.0);
        assert!((force.magnitude().value - tension).abs() <= 1e-14 * tension.max(1.0));
        let span = distance(bridle.ropes()[i].from(), hang.position);
        let own = hang.lengths[i].value;
        if hang.slack[i] {
            assert!(tension == 0.0 && span <= own + 1e-12 * furthest, "{span} {own}");
        } else {
            let strain = bridle.ropes()[i].stretch().strain(hang.tensions[i]).unwrap().value;
            assert!((span - own * (1.0 + strain)).abs() <= 2e-12 * furthest, "{span} {own} {strain}");
        }
    }
    for part in sum {
        assert!(part.abs() <= 1e-9 * largest, "{sum:?} {largest}");
    }
    assert!(hang.closing_error.value <= 1e-12 * furthest * 1.001);
}

#[test]
fn two_equal_ropes_at_right_angles_share_the_load_by_the_root_of_two() {
    // Half an isosceles right-angled triangle: legs of 5·√2 m between points 10 m apart.
    let bridle = Bridle::new(n(1000.0), [rope(0.0, 0.0, 0.0, 1e12), rope(10.0, 0.0, 0.0, 1e12)]).unwrap();
    let leg = 50.0_f64.sqrt();
    let hang = bridle.at_lengths([m(leg), m(leg)]).unwrap();
    holds(&bridle, &hang);
    // T·L/EA is 5e-9 m of stretch, and moves the load by no more than √2 of that
    assert!(distance(hang.position, point(5.0, 0.0, -5.0)) < 1e-8);
    for tension in hang.tensions {
        assert!((tension.value - 1000.0 / 2.0_f64.sqrt()).abs() < 1e-5);
    }
}

#[test]
fn a_rope_from_the_side_pulls_the_load_out_of_line_and_the_head_sideways() {
    let bridle = Bridle::new(n(2451.66), [rope(0.0, 0.0, 3.0, 4e4), rope(-6.0, 2.0, 1.5, 4e4)]).unwrap();
    let hang = bridle.at_lengths([m(2.6), m(4.5)]).unwrap();
    holds(&bridle, &hang);
    // in the vertical plane through both points: x = −3y
    assert!((hang.position.x.value + 3.0 * hang.position.y.value).abs() < 1e-9);
    assert!(hang.on_points[0].y.value > 0.0 && hang.on_points[1].y.value < 0.0);
}

#[test]
fn a_rope_paid_out_far_enough_is_slack_and_the_other_hangs_plumb() {
    let bridle = Bridle::new(n(2000.0), [rope(0.0, 0.0, 3.0, 4e4), rope(-6.0, 0.0, 1.5, 4e4)]).unwrap();
    // Plumb below the head at 2·(1 + 2000/4e4) = 2.1 m, and √(36 + .6²) m from the belay.
    let limit = bridle.slack_length(1, [m(2.0), m(1.0)]).unwrap();
    assert!((limit.value - (36.0_f64 + 0.6 * 0.6).sqrt()).abs() < 1e-14);
    let hang = bridle.at_lengths([m(2.0), limit * 1.001]).unwrap();
    assert_eq!(hang.slack, [false, true]);
    assert_eq!(hang.tensions[0].value, 2000.0);
    assert!(distance(hang.position, point(0.0, 0.0, 0.9)) < 1e-14);
    assert_eq!(hang.on_points[1].magnitude().value, 0.0);
    let taut = bridle.at_lengths([m(2.0), limit * 0.999]).unwrap();
    assert_eq!(taut.slack, [false, false]);
    holds(&bridle, &taut);
}

#[test]
fn the_third_of_three_ropes_goes_slack_where_the_other_two_leave_it() {
    let ropes = [rope(0.0, 0.0, 3.0, 4e4), rope(-6.0, 2.0, 1.5, 4e4), rope(-5.0, -4.0, 2.0, 6e4)];
    let bridle = Bridle::new(n(2451.66), ropes).unwrap();
    let limit = bridle.slack_length(2, [m(3.0), m(4.0), m(0.0)]).unwrap();
    let slack = bridle.at_lengths([m(3.0), m(4.0), limit * 1.01]).unwrap();
    assert_eq!(slack.slack, [false, false, true]);
    let two = Bridle::new(n(2451.66), [ropes[0], ropes[1]]).unwrap().at_lengths([m(3.0), m(4.0)]).unwrap();
    assert!(distance(slack.position, two.position) < 1e-12);
    for share in [0.999_999, 0.99, 0.9, 0.6] {
        let taut = bridle.at_lengths([m(3.0), m(4.0), limit * share]).unwrap();
        assert_eq!(taut.slack, [false; 3]);
        holds(&bridle, &taut);
    }
}

#[test]
fn swinging_in_to_the_road_hands_the_load_from_one_rope_to_the_other() {
    let bridle = Bridle::new(n(2451.66), [rope(0.0, 0.0, 3.0, 4e4), rope(-6.0, 1.0, 2.5, 4e4)]).unwrap();
    let path = bridle.swing([m(2.0), m(9.0)], [m(9.0), m(1.5)], 40).unwrap();
    assert_eq!(path.size_hint(), (41, Some(41)));
    let hangs: Vec<_> = path.map(Result::unwrap).collect();
    assert_eq!(hangs.len(), 41);
    assert_eq!(hangs[0].slack, [false, true]);
    assert_eq!(hangs[40].slack, [true, false]);
    assert!(hangs[20].slack == [false, false]);
    for pair in hangs.windows(2) {
        holds(&bridle, &pair[0]);
        // inward all the way, out of the head's plumb line and into the belay's
        assert!(pair[1].position.x.value <= pair[0].position.x.value + 1e-12);
        // paying out one and taking in the other never moves the load further than the ropes go, stretch
        // and geometry apart: no jump from one branch to another
        assert!(distance(pair[0].position, pair[1].position) < 1.0);
    }
}

#[test]
fn a_way_given_by_positions_says_what_lengths_it_takes() {
    let bridle = Bridle::new(n(2451.66), [rope(0.0, 0.0, 3.0, 4e4), rope(-6.0, 0.0, 2.5, 4e4)]).unwrap();
    for hang in bridle.carry(point(0.0, 0.0, 0.5), point(-4.0, 0.0, 0.8), 25).unwrap() {
        let hang = hang.unwrap();
        holds(&bridle, &hang);
        let again = bridle.at_lengths(hang.lengths).unwrap();
        assert!(distance(again.position, hang.position) < 1e-10);
    }
}

#[test]
fn a_position_that_no_pull_can_hold_is_refused_by_name() {
    let bridle = Bridle::new(n(1000.0), [rope(0.0, 0.0, 3.0, 4e4), rope(-6.0, 0.0, 2.5, 4e4)]).unwrap();
    // beyond the head: the belay would have to push outward
    let Err(BridleError::Pushes { rope: 1, force }) = bridle.at_position(point(1.0, 0.0, 0.0)) else {
        panic!()
    };
    assert!(force > 0.0);
    assert!(matches!(bridle.at_position(point(-7.0, 0.0, 0.0)), Err(BridleError::Pushes { rope: 0, .. })));
    // above both points
    assert!(matches!(bridle.at_position(point(-3.0, 0.0, 5.0)), Err(BridleError::Pushes { .. })));
    // in line with them
    assert_eq!(bridle.at_position(point(-3.0, 0.0, 2.75)), Err(BridleError::Indeterminate));
    let Err(BridleError::OutOfPlane { offset }) = bridle.at_position(point(-3.0, 0.25, 0.0)) else {
        panic!()
    };
    assert!((offset.abs() - 0.25).abs() < 1e-14);
    assert_eq!(bridle.at_position(point(0.0, 0.0, 3.0)), Err(BridleError::AtPoint { rope: 0 }));

    // Three ropes hold a load below their triangle, and nowhere else.
    let ropes = [rope(0.0, 0.0, 3.0, 4e4), rope(-6.0, 3.0, 3.0, 4e4), rope(-6.0, -3.0, 3.0, 4e4)];
    let three = Bridle::new(n(1000.0), ropes).unwrap();
    holds(&three, &three.at_position(point(-3.0, 0.5, 0.0)).unwrap());
    assert!(matches!(three.at_position(point(-3.0, 2.5, 0.0)), Err(BridleError::Pushes { rope: 2, .. })));
    assert_eq!(three.at_position(point(-3.0, 0.5, 3.0)), Err(BridleError::Indeterminate));
}

#[test]
fn points_one_above_the_other_share_by_stiffness() {
    let bridle = Bridle::new(n(3000.0), [rope(0.0, 0.0, 5.0, 1e4), rope(0.0, 0.0, 3.0, 1e4)]).unwrap();
    let hang = bridle.at_lengths([m(4.0), m(2.0)]).unwrap();
    holds(&bridle, &hang);
    // k = EA/L: 2500 and 5000 N/m
    assert!((hang.tensions[0].value - 1000.0).abs() < 1e-9 && (hang.tensions[1].value - 2000.0).abs() < 1e-9);
    assert_eq!(bridle.at_position(hang.position), Err(BridleError::Indeterminate));
}

#[test]
fn ropes_shorter_than_the_distance_of_their_points_are_stretched_until_they_meet() {
    let bridle = Bridle::new(n(10.0), [rope(0.0, 0.0, 0.0, 4e4), rope(10.0, 0.0, 0.0, 4e4)]).unwrap();
    let hang = bridle.at_lengths([m(4.5), m(4.5)]).unwrap();
    holds(&bridle, &hang);
    // nearly straight: ε = 10/9 − 1
    assert!((hang.tensions[0].value / (4e4 / 9.0) - 1.0).abs() < 1e-5);
}

#[test]
fn bad_input_is_named() {
    let stretch = Stretch::linear(n(4e4)).unwrap();
    assert_eq!(BridleRope::new(point(f64::NAN, 0.0, 0.0), stretch).unwrap_err().field, "from");
    let ropes = [rope(0.0, 0.0, 3.0, 4e4), rope(-6.0, 0.0, 2.5, 4e4)];
    let field = |e: BridleError| match e {
        BridleError::Input(e) => e.field,
        other => panic!("{other}"),
    };
    assert_eq!(field(Bridle::new(n(0.0), ropes).unwrap_err()), "weight");
    assert_eq!(field(Bridle::new(n(f64::INFINITY), ropes).unwrap_err()), "weight");
    let bridle = Bridle::new(n(1000.0), ropes).unwrap();
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e9] {
        assert_eq!(field(bridle.at_lengths([m(bad), m(1.0)]).unwrap_err()), "rope_length");
        assert_eq!(field(bridle.swing([m(1.0), m(1.0)], [m(1.0), m(bad)], 3).unwrap_err()), "rope_length");
    }
    assert_eq!(field(bridle.at_position(point(0.0, f64::NAN, 0.0)).unwrap_err()), "position");
    assert_eq!(field(bridle.carry(point(0.0, 0.0, 0.0), point(-1.0, 0.0, 0.0), 0).unwrap_err()), "steps");
    let none = bridle.slack_length(2, [m(1.0), m(1.0)]).unwrap_err();
    assert_eq!(none, BridleError::NoRope { rope: 2, ropes: 2 });
}

fn points() -> impl Strategy<Value = [f64; 3]> {
    [-20.0..20.0_f64, -20.0..20.0_f64, -10.0..10.0_f64]
}

fn stretches() -> impl Strategy<Value = Stretch> {
    (2.0..12.0_f64, prop_oneof![Just(0.0), (2.0..8.0_f64).prop_map(|p| 10f64.powf(p))])
        .prop_map(|(a, b)| Stretch::stiffening(n(10f64.powf(a)), n(b)).unwrap())
}

fn ropes() -> impl Strategy<Value = BridleRope> {
    (points(), stretches()).prop_map(|([x, y, z], s)| BridleRope::new(point(x, y, z), s).unwrap())
}

fn lengths() -> impl Strategy<Value = f64> {
    prop_oneof![4 => 1.0..40.0_f64, 1 => (-1.0..3.0_f64).prop_map(|p| 10f64.powf(p))]
}

fn mirrored<const N: usize>(bridle: &Bridle<N>) -> Bridle<N> {
    let ropes = bridle.ropes().map(|rope| {
        let p = rope.from();
        BridleRope::new(Point3::new(p.x, -p.y, p.z), rope.stretch()).unwrap()
    });
    Bridle::new(bridle.weight(), ropes).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    #[test]
    fn any_two_ropes_hold_the_load(a in ropes(), b in ropes(), l in [lengths(), lengths()], w in 0.0..5.0_f64) {
        let bridle = Bridle::new(n(10f64.powf(w)), [a, b]).unwrap();
        holds(&bridle, &bridle.at_lengths(l.map(m)).unwrap());
    }

    #[test]
    fn any_three_ropes_hold_the_load(
        a in ropes(), b in ropes(), c in ropes(), l in [lengths(), lengths(), lengths()], w in 0.0..5.0_f64
    ) {
        let bridle = Bridle::new(n(10f64.powf(w)), [a, b, c]).unwrap();
        holds(&bridle, &bridle.at_lengths(l.map(m)).unwrap());
    }

    #[test]
    fn a_position_held_is_found_again_by_its_lengths(
        a in points(), b in points(), c in points(), share in [0.05..1.0_f64, 0.05..1.0_f64, 0.05..1.0_f64],
        depth in 0.5..20.0_f64, s in [stretches(), stretches(), stretches()]
    ) {
        // below a point inside the triangle, and below the lowest of its corners
        let sum: f64 = share.iter().sum();
        let mix = |k: usize| (share[0] * a[k] + share[1] * b[k] + share[2] * c[k]) / sum;
        let at = point(mix(0), mix(1), a[2].min(b[2]).min(c[2]) - depth);
        let corner = |p: [f64; 3], s| BridleRope::new(point(p[0], p[1], p[2]), s).unwrap();
        let three = [corner(a, s[0]), corner(b, s[1]), corner(c, s[2])];
        let bridle = Bridle::new(n(2000.0), three).unwrap();
        match bridle.at_position(at) {
            Ok(hang) => {
                holds(&bridle, &hang);
                let again = bridle.at_lengths(hang.lengths).unwrap();
                holds(&bridle, &again);
                // The stiffness against a move is at least T/d of the taut ropes, so a move without force is
                // small; a triangle seen edge-on leaves a direction with little of it.
                let area = ((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])).abs();
                if area > 10.0 {
                    prop_assert!(distance(again.position, at) < 1e-6);
                }
            }
            Err(BridleError::Indeterminate) => {}
            Err(other) => prop_assert!(false, "{other}"),
        }
    }

    #[test]
    fn a_mirrored_bridle_hangs_mirrored(
        a in ropes(), b in ropes(), c in ropes(), l in [lengths(), lengths(), lengths()]
    ) {
        let bridle = Bridle::new(n(1000.0), [a, b, c]).unwrap();
        let (here, there) =
            (bridle.at_lengths(l.map(m)).unwrap(), mirrored(&bridle).at_lengths(l.map(m)).unwrap());
        let [x, y, z] = xyz(there.position);
        prop_assert!(distance(here.position, point(x, -y, z)) < 1e-6);
    }

    #[test]
    fn a_symmetric_bridle_hangs_in_the_middle(
        half in 0.1..20.0_f64, height in -5.0..5.0_f64, l in 0.5..40.0_f64, s in stretches()
    ) {
        let at = |y: f64| BridleRope::new(point(-3.0, y, height), s).unwrap();
        let bridle = Bridle::new(n(1000.0), [at(half), at(-half)]).unwrap();
        let hang = bridle.at_lengths([m(l), m(l)]).unwrap();
        prop_assert!(hang.position.y.value.abs() < 1e-9);
        prop_assert!((hang.tensions[0].value / hang.tensions[1].value - 1.0).abs() < 1e-8);
    }

    #[test]
    fn taking_in_a_rope_never_lowers_its_tension(
        a in ropes(), b in ropes(), l in [1.0..40.0_f64, 1.0..40.0_f64], shorter in 0.5..0.999_f64
    ) {
        // T is −∂Φ/∂L in a convex energy that is jointly convex in position and length
        let bridle = Bridle::new(n(1000.0), [a, b]).unwrap();
        let before = bridle.at_lengths(l.map(m)).unwrap();
        let after = bridle.at_lengths([m(l[0] * shorter), m(l[1])]).unwrap();
        prop_assert!(after.tensions[0].value >= before.tensions[0].value * (1.0 - 1e-7) - 1e-9);
    }
}
