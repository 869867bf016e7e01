//! Carriages: what a load on a track rope does.

use proptest::prelude::*;
use rope_mechanics::carriage::{
    CarriageError, CarriageState, HaulRope, Held, Load, Support, Track, fixed, rolling,
    rolling_length_for_sag, rolling_length_for_tension, rolling_length_for_x,
};
use rope_mechanics::geometry::{Point2, Profile};
use rope_mechanics::motion::Motion;
use rope_mechanics::quantity::unit::{meter, newton, ratio};
use rope_mechanics::quantity::{Force, Length, LineWeight, Ratio};
use rope_mechanics::rope::Stretch;

fn m(value: f64) -> Length {
    Length::new::<meter>(value)
}

fn n(value: f64) -> Force {
    Force::new::<newton>(value)
}

fn per_metre(value: f64) -> LineWeight {
    n(value) / m(1.0)
}

fn at(x: f64, z: f64) -> Point2 {
    Point2::new(m(x), m(z))
}

/// Reference case S: doubled rope over a slope of 33°.
fn slope_track(length: f64) -> Track {
    let stretch = Stretch::linear(n(80e3)).unwrap();
    Track::new(at(0.0, 0.0), at(70.0, -45.0), m(length), per_metre(1.667_130_5), stretch).unwrap()
}

fn litter() -> Load {
    Load::new(n(2451.6625)).unwrap()
}

fn from_head() -> HaulRope {
    HaulRope::new(at(0.0, 0.0)).unwrap()
}

fn near(value: f64, wanted: f64, tolerance: f64) {
    assert!((value - wanted).abs() <= tolerance, "{value}, not {wanted}");
}

#[test]
fn held_by_its_haul_rope_and_held_at_its_place_are_one_state() {
    let held = Held::new(slope_track(80.248_89), litter(), from_head());
    let by_rope = held.by_haul_length(m(41.608)).unwrap();
    let at_place = held.at_x(by_rope.position.x).unwrap();
    near(at_place.position.z.value, by_rope.position.z.value, 1e-10);
    near(at_place.tension.head.value, by_rope.tension.head.value, 1e-8);
    near(at_place.haul.unwrap().length.value, 41.608, 1e-10);
    assert!(by_rope.report.residual < 1e-14, "{:?}", by_rope.report);
}

#[test]
fn the_inverses_lead_back_to_the_state() {
    let held = Held::new(slope_track(80.248_89), litter(), from_head());
    let state = held.at_x(m(30.0)).unwrap();
    for back in [
        held.length_for_point(state.position).unwrap(),
        held.length_for_tension(m(30.0), state.tension.head).unwrap(),
        held.load_at_point(state.position).unwrap(),
        held.at_x_from(m(30.0), &held.at_x(m(29.0)).unwrap()).unwrap(),
    ] {
        near(back.track_length.value, 80.248_89, 1e-10);
        near(back.load.value, 2451.6625, 1e-7);
        near(back.tension.far.value, state.tension.far.value, 1e-7);
        near(back.haul.unwrap().at_carriage.value, state.haul.unwrap().at_carriage.value, 1e-7);
    }
}

#[test]
fn a_track_on_the_other_side_is_its_mirror_image() {
    let stretch = Stretch::linear(n(80e3)).unwrap();
    let mirrored =
        Track::new(at(5.0, 2.0), at(-65.0, -43.0), m(80.248_89), per_metre(1.667_130_5), stretch).unwrap();
    let haul = HaulRope::new(at(5.0, 2.0)).unwrap();
    let one = Held::new(slope_track(80.248_89), litter(), from_head()).at_x(m(30.0)).unwrap();
    let other = Held::new(mirrored, litter(), haul).at_x(m(-25.0)).unwrap();
    near(other.position.z.value, one.position.z.value + 2.0, 1e-12);
    near(other.on_head.x.value, -one.on_head.x.value, 1e-9);
    near(other.haul.unwrap().on_carriage.x.value, -one.haul.unwrap().on_carriage.x.value, 1e-9);
    near(other.lowest_point.x.value - 5.0, -one.lowest_point.x.value, 1e-10);
}

#[test]
fn a_load_on_a_level_track_rests_in_the_middle() {
    let track =
        Track::new(at(0.0, 0.0), at(30.0, 0.0), m(29.5), per_metre(1.7), Stretch::linear(n(8e4)).unwrap())
            .unwrap();
    let state = rolling(&track, &litter()).unwrap();
    near(state.position.x.value, 15.0, 1e-12);
    near(state.tension.head.value, state.tension.far.value, 1e-9);
    near(state.upper_length.value, state.lower_length.value, 1e-12);
    assert_eq!(state.haul, None);
}

#[test]
fn a_load_with_nothing_to_hold_it_runs_down_to_the_lower_support() {
    match rolling(&slope_track(80.248_89), &litter()).unwrap_err() {
        CarriageError::RunsAway { support: Support::Far, span, widest } => {
            assert_eq!(span, m(70.0));
            assert!(widest < span);
        }
        other => panic!("{other}"),
    }
    let up =
        Track::new(at(0.0, 0.0), at(70.0, 45.0), m(80.0), per_metre(1.7), Stretch::linear(n(8e4)).unwrap());
    let why = rolling(&up.unwrap(), &litter()).unwrap_err();
    assert!(why.to_string().starts_with("the carriage runs to the head"), "{why}");
}

#[test]
fn with_a_longer_rope_the_load_leaves_the_lower_support_just_where_the_error_says() {
    // The widest span that the error names is where the resting place meets the lower support.
    let mut track = slope_track(80.248_89);
    let CarriageError::RunsAway { widest, .. } = rolling(&track, &litter()).unwrap_err() else { panic!() };
    let at_span = |span: f64| {
        track = Track::new(at(0.0, 0.0), at(span, -45.0), track.length(), track.weight(), track.stretch())
            .unwrap();
        rolling(&track, &litter())
    };
    let mut at_span = at_span;
    assert!(at_span(widest.value * (1.0 + 1e-9)).is_err());
    let state = at_span(widest.value * (1.0 - 1e-6)).unwrap();
    assert!(state.lower_length.value < 1e-3, "{}", state.lower_length.value);
}

#[test]
fn the_inverses_of_the_rolling_load_lead_back_to_it() {
    let track = slope_track(95.0);
    let state = rolling(&track, &litter()).unwrap();
    let (x, z) = (state.position.x, state.position.z);
    let sag = m(-45.0 / 70.0 * x.value) - z;
    for back in [
        rolling_length_for_x(&track, &litter(), x).unwrap(),
        rolling_length_for_sag(&track, &litter(), sag).unwrap(),
        rolling_length_for_tension(&track, &litter(), state.tension.head).unwrap(),
    ] {
        near(back.track_length.value, 95.0, 1e-9);
    }
}

#[test]
fn a_haul_rope_that_is_long_enough_is_slack() {
    let track = slope_track(95.0);
    let free = rolling(&track, &litter()).unwrap();
    let held = Held::new(track, litter(), from_head()).by_haul_length(m(94.0)).unwrap();
    assert_eq!(held, free);
}

#[test]
fn a_haul_rope_pulls_but_never_pushes() {
    let track = slope_track(95.0);
    let rest = rolling(&track, &litter()).unwrap().position.x;
    let held = Held::new(track, litter(), from_head());
    let pull = held.at_x(rest - m(0.5)).unwrap().haul.unwrap().at_carriage;
    assert!(pull > n(0.0) && pull < n(200.0), "{}", pull.value);
    let why = held.at_x(rest + m(0.5)).unwrap_err();
    assert!(matches!(why, CarriageError::HaulWouldPush { .. }), "{why}");
}

/// Places from which the load rolls towards a haul point above the track: nowhere does a rope that pushes balance them,
/// and held level from the other side they pull as hard as is said. The head is at the origin or elsewhere, on either
/// side of the far anchor.
#[test]
fn a_place_from_which_the_load_rolls_in_is_refused_by_what_it_takes_to_hold_it_level() {
    let mut refused = 0;
    for (i, outward) in [1.0, -1.0, 1.0, -1.0].into_iter().enumerate() {
        let span = 130.0 + 14.0 * i as f64;
        let head = at(7.0 * i as f64, -3.0);
        let place = |x: f64, z: f64| at(head.x.value + outward * x, head.z.value + z);
        let fall = -0.55 * span;
        let stretch = Stretch::stiffening(n(5e4), n(5e4 * i as f64)).unwrap();
        let length = m(span.hypot(fall) * 1.0);
        let track = Track::new(head, place(span, fall), length, per_metre(1.7), stretch).unwrap();
        let load = Load::new(n(2400.0)).unwrap();
        // Between the carriage and the head the rope would pull; between it and the far anchor the load rolls to it.
        let from_above = HaulRope::new(place(0.6 * span, 2.0)).unwrap();
        for share in [0.2, 0.3, 0.4, 0.5] {
            let x = place(share * span, 0.0).x;
            let why = Held::new(track, load, from_above).at_x(x).unwrap_err();
            let CarriageError::HaulWouldPush { x: said, push } = why else { panic!("{share}: {why}") };
            near(said.value, x.value, 1e-9);
            // From far behind the head, level.
            let behind = HaulRope::new(place(-1e6, share * fall)).unwrap();
            let level = Held::new(track, load, behind).at_x(x).unwrap().haul.unwrap().at_carriage;
            // Said with a rope that is level to a thousandth; it takes less than the load.
            near(push.value, level.value, 2e-3 * 2400.0);
            refused += 1;
        }
    }
    assert_eq!(refused, 16);
}

#[test]
fn a_haul_rope_of_almost_no_weight_is_a_straight_one() {
    let held = Held::new(slope_track(80.248_89), litter(), from_head());
    let light =
        Held::new(slope_track(80.248_89), litter(), from_head().with_weight(per_metre(1e-7)).unwrap());
    let (one, other) = (held.at_x(m(30.0)).unwrap(), light.at_x(m(30.0)).unwrap());
    near(other.position.z.value, one.position.z.value, 1e-7);
    near(other.haul.unwrap().length.value, one.haul.unwrap().length.value, 1e-7);
}

#[test]
fn a_heavy_haul_rope_pulls_harder_at_its_upper_end() {
    let stretch = Stretch::linear(n(40e3)).unwrap();
    let rope = from_head().with_weight(per_metre(0.83)).unwrap().with_stretch(stretch);
    let held = Held::new(slope_track(80.248_89), litter(), rope);
    let state = held.at_x(m(50.0)).unwrap();
    let haul = state.haul.unwrap();
    // T + T²/2EA grows by w for each metre of height (the first integral of the elastic catenary)
    let energy = |t: f64| t + t * t / (2.0 * 40e3);
    let gained = energy(haul.at_haul_point.value) - energy(haul.at_carriage.value);
    near(gained, -0.83 * state.position.z.value, 1e-9);
    let by_rope = held.by_haul_length(haul.length).unwrap();
    near(by_rope.position.x.value, 50.0, 1e-9);
}

#[test]
fn a_wheel_that_resists_is_harder_to_haul_than_to_lower() {
    let friction = Ratio::new::<ratio>(0.02);
    let load = litter().with_wheel_friction(friction, Motion::AtRest).unwrap();
    let held = Held::new(slope_track(80.248_89), load, from_head());
    let [lowering, hauling] = held.band_at_x(m(30.0)).unwrap();
    let free = held.at_x(m(30.0)).unwrap();
    let pull = |state: &CarriageState| state.haul.unwrap().at_carriage.value;
    assert!(pull(&lowering) < pull(&free) && pull(&free) < pull(&hauling));
    near(hauling.tension.carriage_lower.value / hauling.tension.carriage_upper.value, 1.02, 1e-12);
    near(lowering.tension.carriage_upper.value / lowering.tension.carriage_lower.value, 1.02, 1e-12);
}

#[test]
fn the_shape_begins_at_the_head_and_ends_at_the_far_anchor() {
    let state = Held::new(slope_track(80.248_89), litter(), from_head()).at_x(m(30.0)).unwrap();
    let mut points = [at(0.0, 0.0); 41];
    state.draw(&mut points);
    near(points[0].x.value.hypot(points[0].z.value), 0.0, 1e-12);
    near(points[40].x.value, 70.0, 1e-12);
    near(points[40].z.value, -45.0, 1e-12);
    assert!(points.windows(2).all(|pair| pair[0].x < pair[1].x));
    let (place, tension) = state.along(state.upper_length).unwrap();
    near(place.z.value, state.position.z.value, 1e-12);
    near(tension.value, state.tension.carriage_lower.value, 1e-9);
    assert!(state.along(m(81.0)).is_err());
}

#[test]
fn a_load_that_is_partly_on_the_ground_hangs_higher() {
    let held = Held::new(slope_track(80.248_89), litter(), from_head());
    let floating = held.at_x(m(55.0)).unwrap();
    let raised = at(55.0, floating.position.z.value + 0.5);
    let state = held.load_at_point(raised).unwrap();
    assert!(state.load > n(0.0) && state.load < n(2451.0), "{}", state.load.value);
    near(state.position.z.value, raised.z.value, 1e-12);
    near(state.track_length.value, 80.248_89, 1e-12);
}

/// A shelf below the head, then a slope a little steeper than the chord, and a bench.
const GROUND: [(f64, f64); 5] = [(-5.0, -3.0), (4.0, -3.0), (10.0, -20.0), (50.0, -40.0), (75.0, -46.0)];

#[test]
fn a_carriage_is_found_again_by_its_height_above_the_ground() {
    let points = GROUND.map(|(x, z)| at(x, z));
    let ground = Profile::new(&points).unwrap();
    let held = Held::new(slope_track(80.0), litter(), from_head());
    let over = |state: &CarriageState| (state.position.z - ground.height(state.position.x).unwrap()).value;
    for height in [-2.5, -1.0, 0.0, 0.5, 2.0] {
        let (head, far) = (
            held.at_height_above(&ground, m(height), Support::Head).unwrap(),
            held.at_height_above(&ground, m(height), Support::Far).unwrap(),
        );
        for state in [&head, &far] {
            // 1e-12 of the rope's length, and the spacing of places on a slope of 70°
            near(over(state), height, 1e-10);
            assert!(state.report.residual < 1e-12, "{:?}", state.report);
            assert_eq!(
                held.at_x(state.position.x).unwrap().tension.head.value.round(),
                state.tension.head.value.round()
            );
        }
        // Nearer to the head than the one, and to the far anchor than the other, it hangs so high nowhere.
        let one_side = |from: f64, to: f64| {
            let higher = |x: f64| over(&held.at_x(m(x)).unwrap()) > height;
            (0..2000).all(|i| higher(from + (to - from) * f64::from(i) / 2000.0) == higher(from))
        };
        assert!(head.position.x <= far.position.x);
        assert!(one_side(0.071, head.position.x.value) && one_side(69.929, far.position.x.value), "{height}");
    }
}

#[test]
fn a_height_that_is_reached_nowhere_is_answered_with_those_that_are() {
    let points = GROUND.map(|(x, z)| at(x, z));
    let ground = Profile::new(&points).unwrap();
    let held = Held::new(slope_track(80.0), litter(), from_head());
    let over = |x: Length| held.at_x(x).unwrap().position.z - ground.height(x).unwrap();
    for height in [-30.0, 30.0] {
        let why = held.at_height_above(&ground, m(height), Support::Head).unwrap_err();
        let CarriageError::NoSuchHeight { least, least_x, greatest, greatest_x, .. } = why else {
            panic!("{why}")
        };
        near(over(least_x).value, least.value, 1e-10);
        near(over(greatest_x).value, greatest.value, 1e-10);
        for i in 1..1000 {
            let here = over(m(0.07 + 69.86 * f64::from(i) / 1000.0));
            // a lowest place is known to half the digits
            assert!(here >= least - m(1e-10) && here <= greatest + m(1e-10), "{i}: {}", here.value);
        }
        assert!(held.at_height_above(&ground, least + m(1e-6), Support::Far).is_ok());
        assert!(held.at_height_above(&ground, greatest - m(1e-6), Support::Far).is_ok());
    }
}

#[test]
fn two_places_within_one_part_of_the_search_are_told_apart() {
    // Straight ground that the path of the carriage dips towards: the least clearance, and a millimetre above it.
    let points = [at(0.0, -20.0), at(70.0, -60.0)];
    let ground = Profile::new(&points).unwrap();
    let held = Held::new(slope_track(80.0), litter(), from_head());
    let why = held.at_height_above(&ground, m(-90.0), Support::Head).unwrap_err();
    let CarriageError::NoSuchHeight { least, least_x, .. } = why else { panic!("{why}") };
    assert!(least_x > m(5.0) && least_x < m(65.0), "no dip, but an end: {}", least_x.value);
    let place = |nearest| held.at_height_above(&ground, least + m(1e-6), nearest).unwrap().position.x;
    let (one, other) = (place(Support::Head), place(Support::Far));
    assert!(one < least_x && least_x < other && other - one < m(0.2), "{} {}", one.value, other.value);
}

#[test]
fn the_ground_is_looked_at_as_far_as_it_is_known_and_the_haul_rope_pulls() {
    let held = Held::new(slope_track(95.0), litter(), from_head());
    let rest = rolling(&slope_track(95.0), &litter()).unwrap().position;
    // Ground parallel to the level: the load hangs lowest about where it rests by itself.
    let points = [at(20.0, -80.0), at(69.0, -80.0)];
    let ground = Profile::new(&points).unwrap();
    let state = held.at_height_above(&ground, rest.z + m(80.0 + 1e-9), Support::Far).unwrap();
    near(state.position.x.value, rest.x.value, 0.01);
    assert!(state.haul.unwrap().at_carriage < n(2.0));
    let why = held.at_height_above(&ground, m(200.0), Support::Head).unwrap_err();
    let CarriageError::NoSuchHeight { greatest_x, .. } = why else { panic!("{why}") };
    assert_eq!(greatest_x, m(20.0));
    for points in [[at(-9.0, 0.0), at(0.0, 0.0)], [at(70.0, 0.0), at(90.0, 0.0)]] {
        let why = held.at_height_above(&Profile::new(&points).unwrap(), m(1.0), Support::Head).unwrap_err();
        assert!(matches!(why, CarriageError::Input(ref why) if why.field == "ground.x"), "{why}");
    }
    let why = held.at_height_above(&ground, m(f64::NAN), Support::Head).unwrap_err();
    assert!(matches!(why, CarriageError::Input(ref why) if why.field == "height"), "{why}");
    // From below the rest everything is pushed.
    let beyond = [at(rest.x.value + 1.0, -80.0), at(69.0, -80.0)];
    let why = held.at_height_above(&Profile::new(&beyond).unwrap(), m(1.0), Support::Far).unwrap_err();
    assert!(matches!(why, CarriageError::HaulWouldPush { .. }), "{why}");
}

/// At most ten times what the forward question takes, all places together; and a haul length in one go.
#[test]
fn an_inverse_question_takes_no_more_than_ten_times_the_steps_of_the_forward_one() {
    let points = [at(-1.0, -400.0), at(400.0, -401.0)];
    let ground = Profile::new(&points).unwrap();
    let (mut forward, mut by_height, mut by_haul, mut count) = (0, 0, 0, 0);
    for i in 0..20 {
        let (span, fall) = (20.0 + 14.0 * f64::from(i), 0.05 * f64::from(i % 15));
        let stretch = Stretch::stiffening(n(5e4), n(1e5 * f64::from(i % 3))).unwrap();
        let length = span.hypot(fall * span) * (0.99 + 0.002 * f64::from(i % 7));
        let track =
            Track::new(at(0.0, 0.0), at(span, -fall * span), m(length), per_metre(1.7), stretch).unwrap();
        let held = Held::new(track, Load::new(n(2400.0)).unwrap(), HaulRope::new(at(-1.0, 2.0)).unwrap());
        for j in 1..=20 {
            let Ok(state) = held.at_x(m(span * f64::from(j) / 21.0)) else { continue };
            let height = state.position.z - ground.height(state.position.x).unwrap();
            for nearest in [Support::Head, Support::Far] {
                let found = held.at_height_above(&ground, height, nearest).unwrap();
                by_height += found.report.iterations;
                assert!(found.report.iterations < 40 * state.report.iterations, "{:?}", found.report);
            }
            by_haul += held.by_haul_length(state.haul.unwrap().length).unwrap().report.iterations;
            forward += state.report.iterations;
            count += 1;
        }
    }
    assert!(count > 300, "{count}");
    assert!(by_height <= 2 * 10 * forward, "{by_height} steps both ways against {forward}");
    assert!(by_haul <= 2 * forward, "{by_haul} steps against {forward}");
}

#[test]
fn the_place_at_a_height_has_its_mirror_image() {
    let stretch = Stretch::linear(n(80e3)).unwrap();
    let mirrored =
        Track::new(at(5.0, 2.0), at(-65.0, -43.0), m(80.0), per_metre(1.667_130_5), stretch).unwrap();
    let mirrored = Held::new(mirrored, litter(), HaulRope::new(at(5.0, 2.0)).unwrap());
    let held = Held::new(slope_track(80.0), litter(), from_head());
    let points = GROUND.map(|(x, z)| at(x, z));
    let mut other = GROUND.map(|(x, z)| at(5.0 - x, z + 2.0));
    other.reverse();
    for nearest in [Support::Head, Support::Far] {
        let here = held.at_height_above(&Profile::new(&points).unwrap(), m(0.5), nearest).unwrap();
        let there = mirrored.at_height_above(&Profile::new(&other).unwrap(), m(0.5), nearest).unwrap();
        near(5.0 - there.position.x.value, here.position.x.value, 1e-10);
    }
}

#[test]
fn a_load_fixed_to_the_rope_shares_its_level_pull() {
    let state = fixed(&slope_track(85.0), &litter(), m(30.0)).unwrap();
    near(state.horizontal_upper.value, state.horizontal_lower.value, 1e-12);
    assert!(state.tension.carriage_upper > state.tension.carriage_lower);
    near(state.upper_length.value, 30.0, 0.0);
    assert!(state.report.residual < 1e-14);
}

#[test]
fn the_track_says_how_far_it_is_stretched() {
    let state = Held::new(slope_track(80.248_89), litter(), from_head()).at_x(m(30.0)).unwrap();
    // Linear: T/EA at the head, where it pulls hardest.
    assert_eq!(state.greatest_strain().value, state.tension.head.value / 80e3);
    let short = Held::new(slope_track(40.0), litter(), from_head()).at_x(m(30.0)).unwrap();
    assert!(short.greatest_strain().value > 1.0);
}

/// Far (70, 20): the track rises, and the haul rope comes from near or beyond its far anchor.
#[test]
fn a_haul_rope_from_the_far_anchor_holds_by_its_length_what_it_holds_at_a_place() {
    let stretch = Stretch::linear(n(8e4)).unwrap();
    let track = Track::new(at(0.0, 0.0), at(70.0, 20.0), m(70.619), per_metre(1.667_13), stretch).unwrap();
    let load = Load::new(n(2451.66)).unwrap();
    for from in [at(70.0, 20.0), at(70.5, 21.0), at(75.0, 22.0), at(69.0, 22.0)] {
        let held = Held::new(track, load, HaulRope::new(from).unwrap());
        for x in [5.0, 20.0, 40.0, 60.0] {
            let Ok(state) = held.at_x(m(x)) else { continue };
            let back = held.by_haul_length(state.haul.unwrap().length).unwrap();
            near(back.position.x.value, x, 1e-9);
            near(back.tension.head.value, state.tension.head.value, 1e-6);
        }
        // The load by itself rolls to the head: from the far anchor it is held everywhere but close to the head.
        assert!(held.at_x(m(20.0)).is_ok() && held.at_x(m(60.0)).is_ok());
    }
}

#[test]
fn the_friction_of_the_wheel_counts_where_the_haul_rope_is_given() {
    let stretch = Stretch::linear(n(8e4)).unwrap();
    let track = Track::new(at(0.0, 0.0), at(80.0, -4.0), m(82.0), per_metre(1.667_13), stretch).unwrap();
    let load = litter().with_wheel_friction(Ratio::new::<ratio>(0.1), Motion::Hauling).unwrap();
    let held = Held::new(track, load, HaulRope::new(at(-2.0, 2.0)).unwrap());
    // Beyond the place of rest without friction, hauling still needs a pull.
    let rest = rolling(&track, &litter()).unwrap().position.x;
    assert!(rest < m(46.0));
    let state = held.at_x(m(48.0)).unwrap();
    let pull = state.haul.unwrap();
    assert!(pull.at_carriage > n(100.0), "{}", pull.at_carriage.value);
    let back = held.by_haul_length(pull.length).unwrap();
    near(back.position.x.value, 48.0, 1e-9);
    near(back.haul.unwrap().at_carriage.value, pull.at_carriage.value, 1e-6);
    // With rope enough the load stops where the pull is zero, and the wheel's friction holds the difference.
    let slack = held.by_haul_length(m(81.0)).unwrap();
    assert_eq!(slack.haul, None);
    near(slack.tension.carriage_lower.value / slack.tension.carriage_upper.value, 1.1, 1e-12);
    near(slack.horizontal_lower.value, slack.horizontal_upper.value, 1e-9);
    assert!(slack.position.x > m(48.0));
}

#[test]
fn hauling_towards_the_far_anchor_is_the_mirror_image_with_friction_too() {
    let stretch = Stretch::linear(n(8e4)).unwrap();
    let load = litter().with_wheel_friction(Ratio::new::<ratio>(0.05), Motion::Hauling).unwrap();
    let track = |far: Point2| Track::new(at(0.0, 0.0), far, m(80.0), per_metre(1.7), stretch).unwrap();
    let down = Held::new(track(at(70.0, -45.0)), load, HaulRope::new(at(-1.0, 2.0)).unwrap());
    let up = Held::new(track(at(70.0, 45.0)), load, HaulRope::new(at(71.0, 47.0)).unwrap());
    let (one, other) = (down.at_x(m(30.0)).unwrap(), up.at_x(m(40.0)).unwrap());
    near(other.position.z.value - 45.0, one.position.z.value, 1e-10);
    near(other.tension.far.value, one.tension.head.value, 1e-8);
    near(other.haul.unwrap().at_carriage.value, one.haul.unwrap().at_carriage.value, 1e-8);
    near(other.haul.unwrap().on_carriage.x.value, -one.haul.unwrap().on_carriage.x.value, 1e-8);
    // Behind the carriage, which is the head's side here, the track pulls harder.
    near(other.tension.carriage_upper.value / other.tension.carriage_lower.value, 1.05, 1e-12);
}

#[test]
fn close_to_the_head_the_carriage_still_hangs_on_its_track() {
    let stretch = Stretch::stiffening(n(25_767.0), n(422_664.0)).unwrap();
    let track =
        Track::new(at(0.0, 0.0), at(155.965, -50.380), m(152.478), per_metre(0.7325), stretch).unwrap();
    let held = Held::new(track, Load::new(n(751.25)).unwrap(), HaulRope::new(at(-0.7575, 2.78)).unwrap());
    near(held.at_x(m(0.18)).unwrap().position.z.value, -0.078, 1e-3);
    let mut last = 0.0;
    for i in 0..60 {
        let x = 0.9 * 0.9_f64.powi(i);
        let state = held.at_x(m(x)).unwrap();
        let z = state.position.z.value;
        // Below the straight line from head to far anchor, on the way to the head; and the wheel on its rope.
        assert!(z < -50.380 / 155.965 * x && z > -2.0 * x, "{x}: {z}");
        assert!(i == 0 || z > last, "{x}: {z} after {last}");
        assert!(state.interior_angle.value < core::f64::consts::PI);
        assert!(state.haul.unwrap().at_carriage < n(751.25));
        last = z;
    }
}

#[test]
fn a_carriage_that_the_haul_rope_would_lift_off_its_track_is_refused() {
    // A short track, and a haul rope from 400 m above.
    let stretch = Stretch::stiffening(n(13_281.358), n(11_847.276)).unwrap();
    let track = Track::new(at(0.0, 0.0), at(4.318, -0.208), m(4.0965), per_metre(0.1197), stretch).unwrap();
    let held = Held::new(track, Load::new(n(513.65)).unwrap(), HaulRope::new(at(1.1348, 399.8147)).unwrap());
    assert!(held.at_x(m(1.3)).is_ok());
    let why = held.at_x(m(0.8)).unwrap_err();
    assert_eq!(why, CarriageError::LiftedOff);
    let why = held.by_haul_length(m(399.0)).unwrap_err();
    assert!(matches!(why, CarriageError::HaulTooShort { .. }), "{why}");
}

/// A haul point far below the head draws the carriage in to where its path jumps down.
#[test]
fn a_jump_of_the_path_is_no_place_with_a_height() {
    let stretch = Stretch::linear(n(6_608_465.0)).unwrap();
    let track =
        Track::new(at(0.0, 0.0), at(60.835, -11.1707), m(61.8515), per_metre(0.3353), stretch).unwrap();
    let held = Held::new(track, Load::new(n(245.46)).unwrap(), HaulRope::new(at(0.0, -22.828)).unwrap());
    let z = |x: f64| held.at_x(m(x)).unwrap().position.z.value;
    assert!(z(4.0) < -16.0 && z(8.0) > -3.0, "no jump: {} {}", z(4.0), z(8.0));
    let points = [at(-10.0, -30.0), at(70.0, -30.0)];
    let ground = Profile::new(&points).unwrap();
    for height in [5.0, 9.0, 13.9, 18.0, 20.0, 24.0, 27.0] {
        match held.at_height_above(&ground, m(height), Support::Head) {
            Ok(state) => near(state.position.z.value + 30.0, height, 1e-9),
            Err(CarriageError::NoSuchHeight { .. }) => {}
            Err(other) => panic!("{height}: {other}"),
        }
    }
}

#[test]
fn a_heavy_haul_rope_needs_no_answer_at_every_other_place() {
    // From x = 9.7 m the haul rope holds the load between itself and the far anchor; at other places it would push.
    let track = Track::new(
        at(0.0, 0.0),
        at(20.472_25, -2.727_99),
        m(20.656_93),
        per_metre(3.149_9),
        Stretch::linear(n(1_978_142.0)).unwrap(),
    )
    .unwrap();
    let haul = HaulRope::new(at(9.672_13, -0.960_04)).unwrap().with_weight(per_metre(0.569_7)).unwrap();
    let held = Held::new(track, Load::new(n(863.2)).unwrap(), haul);
    let state = held.at_x(m(18.388)).unwrap();
    let points = [at(-10.0, -12.0), at(30.0, -12.0)];
    let ground = Profile::new(&points).unwrap();
    let height = state.position.z + m(12.0);
    for nearest in [Support::Head, Support::Far] {
        let found = held.at_height_above(&ground, height, nearest).unwrap();
        near(found.position.z.value, state.position.z.value, 1e-9);
    }
    let back = held.by_haul_length(state.haul.unwrap().length).unwrap();
    near(back.position.x.value, 18.388, 1e-9);
}

/// A deep V: the head's tension is hardly above the least that any length gives.
#[test]
fn a_rolling_load_is_found_again_by_a_tension_near_the_least() {
    let stretch = Stretch::linear(n(57_573.6)).unwrap();
    let far = at(99.137_64, 24.118_44);
    let track = |length: f64| Track::new(at(0.0, 0.0), far, m(length), per_metre(8.050_53), stretch).unwrap();
    let load = Load::new(n(84.130_8)).unwrap();
    let mut least = (f64::INFINITY, 0.0);
    for i in 0..200 {
        let length = 99.5 + 0.5 * f64::from(i);
        let Ok(state) = rolling(&track(length), &load) else { continue };
        if state.tension.head.value < least.0 {
            least = (state.tension.head.value, length);
        }
    }
    for tension in [1.0005 * least.0, 1.02 * least.0, 1.2 * least.0] {
        let state = rolling_length_for_tension(&track(1.0), &load, n(tension)).unwrap();
        near(state.tension.head.value, tension, 1e-9 * tension);
        assert!(state.track_length.value <= least.1 + 0.5, "the longer of two: {}", state.track_length.value);
        let again = rolling(&track(state.track_length.value), &load).unwrap();
        near(again.tension.head.value, tension, 1e-8 * tension);
    }
    let why = rolling_length_for_tension(&track(1.0), &load, n(0.9 * least.0)).unwrap_err();
    assert!(matches!(why, CarriageError::NoRollingTension { .. }), "{why}");
}

#[test]
fn what_makes_no_sense_is_refused_by_name() {
    let stretch = Stretch::linear(n(80e3)).unwrap();
    let track = |head: Point2, far: Point2, length: f64, weight: f64| {
        Track::new(head, far, m(length), per_metre(weight), stretch).unwrap_err().field
    };
    let (head, far) = (at(0.0, 0.0), at(70.0, -45.0));
    assert_eq!(track(at(f64::NAN, 0.0), far, 80.0, 1.0), "head");
    assert_eq!(track(head, at(70.0, f64::INFINITY), 80.0, 1.0), "far");
    assert_eq!(track(head, at(0.0, -45.0), 80.0, 1.0), "far.x");
    let above = Track::new(at(5.0, 0.0), at(5.0, 9.0), m(9.0), per_metre(1.0), stretch).unwrap_err();
    assert_eq!(above.to_string(), "far.x is 5 m, but must be other than 5 m");
    assert_eq!(track(head, far, 0.0, 1.0), "track_length");
    assert_eq!(track(head, far, f64::NAN, 1.0), "track_length");
    assert_eq!(track(head, far, 80.0, -1.0), "track_weight");
    assert_eq!(Load::new(n(0.0)).unwrap_err().field, "load_weight");
    assert_eq!(Load::new(n(f64::NAN)).unwrap_err().field, "load_weight");
    assert!(litter().with_wheel_friction(Ratio::new::<ratio>(0.6), Motion::Hauling).is_err());
    assert_eq!(HaulRope::new(at(0.0, f64::NAN)).unwrap_err().field, "haul_point");
    assert!(from_head().with_weight(per_metre(-0.1)).is_err());

    let held = Held::new(slope_track(80.0), litter(), from_head());
    let field = |outcome: Result<CarriageState, CarriageError>| match outcome {
        Err(CarriageError::Input(why)) => why.field,
        other => panic!("{other:?}"),
    };
    for x in [0.0, 70.0, -1.0, 71.0, f64::NAN, f64::INFINITY, 1e300] {
        assert_eq!(field(held.at_x(m(x))), "x");
        assert_eq!(field(held.length_for_tension(m(x), n(3000.0))), "x");
        assert_eq!(
            field(held.length_for_point(at(x, -30.0))),
            if x.abs() < 1e9 { "point.x" } else { "point" }
        );
    }
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(field(held.by_haul_length(m(bad))), "haul_length");
        assert_eq!(field(held.length_for_tension(m(30.0), n(bad))), "tension");
        assert_eq!(field(fixed(&slope_track(80.0), &litter(), m(bad))), "upper_length");
        assert_eq!(field(rolling_length_for_sag(&slope_track(80.0), &litter(), m(bad))), "sag");
    }
    assert_eq!(field(fixed(&slope_track(80.0), &litter(), m(80.0))), "upper_length");
    assert_eq!(field(rolling_length_for_x(&slope_track(80.0), &litter(), m(20.0))), "x");
}

/// Rigs as they are met on slopes, and beyond.
fn rigs() -> impl Strategy<Value = (Track, Load, HaulRope)> {
    ((10.0..300.0, -1.2..0.3, 0.97..1.1, 0.2..8.0), (4.0..6.5, 2.3..4.0), (-3.0..0.5, -1.0..3.0)).prop_map(
        |((span, slope, slack, weight), (ea, load), (hx, hz))| {
            let chord = f64::hypot(span, slope * span);
            let stretch = Stretch::linear(n(10_f64.powf(ea))).unwrap();
            let far = at(span, slope * span);
            let track = Track::new(at(0.0, 0.0), far, m(slack * chord), per_metre(weight), stretch).unwrap();
            let load = Load::new(n(10_f64.powf(load))).unwrap();
            (track, load, HaulRope::new(at(hx, hz)).unwrap())
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// Every state balances, and its tensions obey the first integral of the elastic catenary.
    #[test]
    fn held_loads_are_in_balance((track, load, haul) in rigs(), share in 0.05..0.95) {
        let held = Held::new(track, load, haul);
        let x = m(share * track.far().x.value);
        match held.at_x(x) {
            Ok(state) => {
                prop_assert!(state.report.residual < 1e-13, "{:?}", state.report);
                let pull = state.haul.unwrap().on_carriage;
                let forces = state.tension.head.value + load.weight().value;
                // all forces on the whole rope: the pulls at its ends, turned about, against all that hangs
                let hung = track.weight().value * track.length().value + load.weight().value;
                let level = -state.on_head.x.value - state.on_far.x.value + pull.x.value;
                let upward = -state.on_head.z.value - state.on_far.z.value + pull.z.value - hung;
                prop_assert!(level.abs() < 1e-12 * forces && upward.abs() < 1e-12 * forces);
                let a = track.stretch().a().value;
                let energy = |t: Force| t.value + t.value * t.value / (2.0 * a);
                let gained = energy(state.tension.head) - energy(state.tension.carriage_upper);
                let drop = -track.weight().value * state.position.z.value;
                prop_assert!((gained - drop).abs() < 1e-11 * energy(state.tension.head));
            }
            Err(CarriageError::HaulWouldPush { push, .. }) => prop_assert!(push > n(0.0)),
            Err(other) => prop_assert!(false, "{other}"),
        }
    }

    /// A shorter track is a tighter one, and its load hangs higher.
    ///
    /// T = W·cos α/sin(α − β): beyond a right angle between the parts a lower load may pull the track tighter.
    #[test]
    fn tension_falls_with_the_length_of_the_track((track, load, haul) in rigs(), share in 0.05..0.95) {
        let x = m(share * track.far().x.value);
        let longer = track.with_length(track.length() * 1.001).unwrap();
        let pair = (Held::new(track, load, haul).at_x(x), Held::new(longer, load, haul).at_x(x));
        if let (Ok(tight), Ok(loose)) = pair {
            if loose.interior_angle.value > 1.7 {
                prop_assert!(tight.tension.carriage_upper > loose.tension.carriage_upper);
            }
            prop_assert!(tight.position.z > loose.position.z);
        }
    }

    /// Rolling loads balance, or run away.
    #[test]
    fn rolling_loads_are_in_balance((track, load, _) in rigs()) {
        match rolling(&track, &load) {
            Ok(state) => {
                prop_assert!(state.report.residual < 1e-13, "{:?}", state.report);
                prop_assert_eq!(state.tension.carriage_upper, state.tension.carriage_lower);
            }
            Err(CarriageError::RunsAway { span, widest, .. }) => prop_assert!(span >= widest),
            Err(other) => prop_assert!(false, "{other}"),
        }
    }

    /// Whatever is asked, an answer closes, and every number in it is one.
    #[test]
    fn a_carriage_of_any_size_is_answered_well_or_refused(
        (x, z, l, w) in (any_size(), any_size(), any_size(), any_size()),
        (a, b, p, t) in (any_size(), prop_oneof![2 => Just(0.0), 1 => any_size()], any_size(), any_size()),
        (hx, hz, haul_w) in prop_oneof![
            Just((0.0, 0.0, 0.0)),
            (any_size(), any_size(), prop_oneof![Just(0.0), any_size()]),
        ],
        (near, part, place) in (any::<bool>(), 0.7..1.4_f64, 0.0..1.0_f64),
    ) {
        let l = if near { x.hypot(z) * part } else { l };
        let stretch = if b == 0.0 { Stretch::linear(n(a)) } else { Stretch::stiffening(n(a), n(b)) };
        let haul = HaulRope::new(at(hx, hz)).and_then(|haul| haul.with_weight(per_metre(haul_w)));
        let (Ok(stretch), Ok(load), Ok(haul)) = (stretch, Load::new(n(p)), haul) else { return Ok(()) };
        let Ok(track) = Track::new(at(0.0, 0.0), at(x, -z), m(l), per_metre(w), stretch) else { return Ok(()) };
        let held = Held::new(track, load, haul);
        let (there, point) = (m(place * x), at(place * x, -place * z - t));
        for state in [
            rolling(&track, &load),
            rolling_length_for_x(&track, &load, there),
            rolling_length_for_sag(&track, &load, m(t)),
            rolling_length_for_tension(&track, &load, n(t)),
            fixed(&track, &load, m(place * l)),
            held.at_x(there),
            held.length_for_point(point),
            held.length_for_tension(there, n(t)),
            held.load_at_point(point),
        ].into_iter().flatten() {
            prop_assert!(state.report.residual <= 1e-11, "{state:?}");
            let haul = state.haul.map_or([0.0; 3], |haul| [haul.length.value, haul.at_carriage.value, haul.at_haul_point.value]);
            let (tension, angle) = (state.tension, state.interior_angle.value);
            for value in [
                state.position.x.value, state.position.z.value, tension.head.value, tension.far.value,
                tension.carriage_upper.value, tension.carriage_lower.value, angle, state.lowest_point.z.value,
                state.on_head.z.value, state.on_far.z.value, state.load.value, haul[0], haul[1], haul[2],
            ] {
                prop_assert!(value.is_finite(), "{state:?}");
            }
            prop_assert!(state.upper_length > m(0.0) && state.lower_length > m(0.0) && tension.head > n(0.0));
            let (point, tension) = state.along(state.track_length * place).unwrap();
            prop_assert!(point.x.value.is_finite() && point.z.value.is_finite() && tension.value.is_finite());
        }
    }
}

/// Any number at all: as rigs have them, and of any size that a number can have.
fn any_size() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => (-4.0..6.0_f64).prop_map(|e| 10_f64.powf(e)),
        1 => (-31.0..16.0_f64).prop_map(|e| 10_f64.powf(e)),
        1 => (-323.3..308.2_f64).prop_map(|e| 10_f64.powf(e)),
    ]
}
