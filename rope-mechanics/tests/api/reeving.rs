//! One rope through its turns.

use proptest::prelude::*;
use rope_mechanics::geometry::{Direction3, Force3, Point3};
use rope_mechanics::motion::Motion;
use rope_mechanics::quantity::unit::{degree, meter, newton, radian, ratio};
use rope_mechanics::quantity::{Angle, Force, Length, Ratio};
use rope_mechanics::reeving::{
    Bend, DoubledTrack, DoubledTrackPlaces, DoubledTrackTurns, Known, MAX_TURNS, Redirect, Reeving,
    ReevingError, Side, Strand, Tensions, TrackKnown, TrackTensions, redirect_load,
};
use rope_mechanics::sheave::Turn;

fn n(x: f64) -> Force {
    Force::new::<newton>(x)
}

fn deg(x: f64) -> Angle {
    Angle::new::<degree>(x)
}

fn at(x: f64, y: f64, z: f64) -> Point3 {
    Point3::new(Length::new::<meter>(x), Length::new::<meter>(y), Length::new::<meter>(z))
}

fn sheave(efficiency: f64) -> Turn {
    Turn::sheave(Ratio::new::<ratio>(efficiency)).unwrap()
}

fn direction(x: f64, y: f64, z: f64) -> Direction3 {
    Direction3::new(Ratio::new::<ratio>(x), Ratio::new::<ratio>(y), Ratio::new::<ratio>(z)).unwrap()
}

fn half_turns(efficiencies: &[f64]) -> Reeving {
    let bends: Vec<_> = efficiencies.iter().map(|e| Bend::of(deg(180.0), sheave(*e)).unwrap()).collect();
    Reeving::new(&bends).unwrap()
}

fn track(frame: Option<Turn>, efficiency: f64) -> DoubledTrack {
    DoubledTrack::new(
        DoubledTrackPlaces {
            capstan: at(-8.0, 2.0, -2.0),
            redirect: at(-1.0, 1.5, -2.5),
            head: at(0.0, 0.0, 0.0),
            far_sheave: at(70.0, 0.0, -45.0),
            anchor: at(-10.0, -1.0, -2.0),
        },
        DoubledTrackTurns { redirect: sheave(efficiency), frame, far_sheave: sheave(efficiency) },
    )
    .unwrap()
}

const EPS: f64 = 64.0 * f64::EPSILON;

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= EPS * a.abs().max(b.abs())
}

#[test]
fn hauling_multiplies_the_losses_and_lowering_divides_them() {
    let rope = half_turns(&[0.9, 0.8, 0.95]);
    let load = Known::at(3, Side::Standing, n(1000.0)).unwrap();
    let hauling = rope.tensions(load, Motion::Hauling).unwrap();
    let lowering = rope.tensions(load, Motion::Lowering).unwrap();
    assert!(close(hauling.parts()[0].pulling_side.low.value, 1000.0 / (0.9 * 0.8 * 0.95)));
    assert!(close(lowering.parts()[0].pulling_side.high.value, 1000.0 * 0.9 * 0.8 * 0.95));
    assert!(close(hauling.parts()[2].pulling_side.low.value, 1000.0 / 0.95));
    assert_eq!(hauling.highest().part, 0);
    assert_eq!(lowering.highest().part, 3);
}

#[test]
fn a_rope_at_rest_may_hold_anything_between_hauling_and_lowering() {
    let rope = half_turns(&[0.9, 0.8]);
    let load = Known::at(2, Side::Standing, n(1000.0)).unwrap();
    let rest = rope.tensions(load, Motion::AtRest).unwrap().parts()[0].pulling_side;
    assert!(close(rest.high.value, 1000.0 / 0.72) && close(rest.low.value, 720.0));
    let hand = Known::at(0, Side::Pulling, n(1000.0)).unwrap();
    let rest = rope.tensions(hand, Motion::AtRest).unwrap().parts()[2].standing_side;
    assert!(close(rest.high.value, 1000.0 / 0.72) && close(rest.low.value, 720.0));
}

#[test]
fn friction_can_trap_tension_in_the_middle_of_a_rope_known_by_its_sum() {
    // Parts 0 and 2 together hold 2000 N over two turns of ρ from η to 1/η. With the most in part 1,
    // T₀ = T₁·η and T₂ = T₁·η; with the least, T₀ = T₂ = T₁/η.
    let rope = half_turns(&[0.8, 0.8]);
    let known = Known::sum((0, Side::Pulling), (2, Side::Standing), n(2000.0)).unwrap();
    let middle = rope.tensions(known, Motion::AtRest).unwrap().parts()[1].pulling_side;
    assert!(close(middle.high.value, 1000.0 / 0.8));
    assert!(close(middle.low.value, 1000.0 * 0.8));
}

/// What a controller does to save stack gives the same rope and the same numbers, also in memory that held another's.
#[test]
fn a_rope_put_together_in_its_place_is_the_same_rope() {
    let bends = [
        Bend::at(at(0.0, 0.0, 3.0), sheave(0.9)).unwrap(),
        Bend::at(at(4.0, 1.0, -2.0), sheave(0.8)).unwrap(),
    ];
    let ends = (at(9.0, 0.0, 0.0), at(-9.0, 0.0, 0.0));
    let strand = Strand::rising(n(-20.0)).unwrap();
    let whole =
        Reeving::new(&bends).unwrap().with_ends(ends.0, ends.1).unwrap().with_strand(1, strand).unwrap();
    let mut parts = Reeving::STRAIGHT;
    bends.iter().for_each(|bend| parts.add(*bend).unwrap());
    parts.set_ends(ends.0, ends.1).unwrap();
    parts.set_strand(1, strand).unwrap();
    assert_eq!(parts, whole);

    let known = Known::at(0, Side::Pulling, n(1e3)).unwrap();
    let mut memory = half_turns(&[0.5; MAX_TURNS]).tensions(known, Motion::AtRest).unwrap();
    for motion in [Motion::Hauling, Motion::AtRest, Motion::Lowering] {
        whole.tensions_into(known, motion, &mut memory).unwrap();
        assert_eq!(memory, whole.tensions(known, motion).unwrap());
    }
    assert_eq!((memory.parts().len(), memory.turns().len()), (3, 2));
    assert_eq!(Tensions::default().parts().len(), 1);

    let with = track(Some(sheave(0.95)), 0.9).with_strands(strand, Strand::STRAIGHT).unwrap();
    let mut set = track(Some(sheave(0.95)), 0.9);
    set.set_strands(strand, Strand::STRAIGHT).unwrap();
    assert_eq!(set, with);
    let mut memory = TrackTensions::default();
    set.tensions_into(TrackKnown::Cell(n(2e3)), Motion::Hauling, &mut memory).unwrap();
    assert_eq!(memory, with.tensions(TrackKnown::Cell(n(2e3)), Motion::Hauling).unwrap());
}

#[test]
fn a_rope_takes_so_many_turns_and_no_more() {
    let mut rope = half_turns(&[0.9; MAX_TURNS]);
    let more = rope.add(Bend::of(deg(90.0), sheave(0.9)).unwrap());
    assert_eq!(more.unwrap_err(), ReevingError::TooManyTurns { turns: MAX_TURNS + 1 });
    assert_eq!(rope, half_turns(&[0.9; MAX_TURNS]));
}

#[test]
fn wraps_follow_from_the_places() {
    // Down from a head, then back at a right angle, then straight on.
    let rope = Reeving::new(&[
        Bend::at(at(0.0, 0.0, 5.0), sheave(0.9)).unwrap(),
        Bend::at(at(0.0, 0.0, 0.0), sheave(0.9)).unwrap(),
        Bend::at(at(0.0, 4.0, 0.0), sheave(0.9)).unwrap(),
    ])
    .unwrap()
    .with_ends(at(0.0, 0.0, -3.0), at(0.0, 9.0, 0.0))
    .unwrap();
    let tensions = rope.tensions(Known::at(0, Side::Pulling, n(1.0)).unwrap(), Motion::Hauling).unwrap();
    let wraps: Vec<f64> = tensions.turns().iter().map(|turn| turn.wrap.get::<degree>()).collect();
    for (wrap, expected) in wraps.iter().zip([180.0, 90.0, 0.0]) {
        assert!((wrap - expected).abs() < 1e-12, "{wraps:?}");
    }
}

#[test]
fn extra_wraps_on_a_bollard_are_given_and_its_resultant_keeps_its_direction() {
    let bar = Turn::bar(Ratio::new::<ratio>(0.2), Ratio::new::<ratio>(0.2)).unwrap();
    let bollard = Bend::at(at(0.0, 0.0, 0.0), bar).unwrap().with_wrap(deg(810.0)).unwrap();
    let rope = Reeving::new(&[bollard]).unwrap().with_ends(at(-1.0, 0.0, 0.0), at(0.0, 0.0, -1.0)).unwrap();
    let tensions = rope.tensions(Known::at(1, Side::Standing, n(1000.0)).unwrap(), Motion::Lowering).unwrap();
    let hand = tensions.parts()[0].pulling_side.high.value;
    assert!(close(hand, 1000.0 * (-0.2 * 810.0_f64.to_radians()).exp()));
    let force = tensions.turns()[0].force.unwrap();
    assert!(close(force.z.value, -1000.0) && close(force.x.value, -hand));
}

#[test]
fn everything_that_holds_the_rope_together_is_in_balance() {
    // Straight parts without weight: the forces on the two ends and all turns add up to nothing.
    let track = track(Some(sheave(0.9)), 0.85);
    for motion in [Motion::Hauling, Motion::Lowering] {
        let tensions = track.tensions(TrackKnown::StrandsAtHead(n(3000.0)), motion).unwrap();
        let all = tensions.all();
        let forces = all.turns().iter().map(|turn| turn.force).chain([all.pulling_end(), all.standing_end()]);
        let sum = forces
            .map(Option::unwrap)
            .fold([0.0; 3], |s, f| [s[0] + f.x.value, s[1] + f.y.value, s[2] + f.z.value]);
        assert!(sum.iter().all(|x| x.abs() < 1e-10), "{sum:?}");
        assert!(all.report().residual <= 4.0 * f64::EPSILON, "{}", all.report().residual);
    }
}

#[test]
fn the_load_cell_lags_while_tensioning_and_leads_while_easing() {
    let track = track(Some(sheave(0.9)), 0.9);
    let sum = TrackKnown::StrandsAtHead(n(3000.0));
    let tensioning = track.tensions(sum, Motion::Hauling).unwrap();
    let easing = track.tensions(sum, Motion::Lowering).unwrap();
    let rest = track.tensions(sum, Motion::AtRest).unwrap();
    assert!(tensioning.cell().high < n(1500.0) && easing.cell().low > n(1500.0));
    assert!(rest.cell().low <= tensioning.cell().low && easing.cell().high <= rest.cell().high);
    for tensions in [tensioning, easing] {
        let at_head = tensions.strand_out().pulling_side.high + tensions.strand_back().standing_side.high;
        assert!(close(at_head.value, 3000.0));
    }
    // Capstan, redirect and frame come before the strands: the capstan pulls most while tensioning.
    assert_eq!((tensioning.highest().part, easing.highest().part), (0, 4));
    // The reading gives back the strands that it came from.
    let back = track.tensions(TrackKnown::Cell(tensioning.cell().high), Motion::Hauling).unwrap();
    assert!(close(back.capstan().high.value, tensioning.capstan().high.value));
}

#[test]
fn the_frame_carries_both_crossings_and_nothing_without_contact() {
    let free = track(None, 0.9);
    assert_eq!(
        free.tensions(TrackKnown::Cell(n(1000.0)), Motion::AtRest).unwrap().frame(),
        Force3::default()
    );
    assert_eq!(free.part_out(), 1);

    let smooth = track(Some(Turn::FRICTIONLESS), 1.0);
    let tensions = smooth.tensions(TrackKnown::Cell(n(1000.0)), Motion::AtRest).unwrap();
    assert!(close(tensions.capstan().low.value, 1000.0) && close(tensions.capstan().high.value, 1000.0));
    let towards = |p: Point3| {
        let length = p.magnitude().value;
        [1000.0 * p.x.value / length, 1000.0 * p.y.value / length, 1000.0 * p.z.value / length]
    };
    let pulls =
        [at(-1.0, 1.5, -2.5), at(70.0, 0.0, -45.0), at(70.0, 0.0, -45.0), at(-10.0, -1.0, -2.0)].map(towards);
    let frame = tensions.frame();
    for (axis, got) in [frame.x.value, frame.y.value, frame.z.value].into_iter().enumerate() {
        let expected: f64 = pulls.iter().map(|pull| pull[axis]).sum();
        assert!((got - expected).abs() < 1e-9, "axis {axis}: {got} {expected}");
    }
}

#[test]
fn a_loaded_strand_has_two_tensions_and_two_directions() {
    // Each strand weighs so much that it has 40 N less at the bottom; it leaves steeper than its chord.
    let (leave, arrive) = (direction(0.8, 0.0, -0.6), direction(0.9, 0.0, -0.4));
    let track = track(Some(sheave(0.9)), 0.9)
        .with_strands(
            Strand::rising(n(-40.0)).unwrap().with_directions(leave, arrive),
            Strand::rising(n(40.0)).unwrap().with_directions(arrive.reversed(), leave.reversed()),
        )
        .unwrap();
    let tensions = track.tensions(TrackKnown::StrandsAtHead(n(3000.0)), Motion::Hauling).unwrap();
    let (out, back) = (tensions.strand_out(), tensions.strand_back());
    assert!(close(out.pulling_side.high.value - 40.0, out.standing_side.high.value));
    assert!(close(back.pulling_side.high.value + 40.0, back.standing_side.high.value));
    // The sheave sees the tensions at the bottom.
    assert!(close(back.pulling_side.high.value, 0.9 * out.standing_side.high.value));
    let far = tensions.far_sheave();
    assert!((far.wrap.get::<degree>() - 180.0).abs() < 1e-9);
    assert!(close(far.load.value, out.standing_side.high.value + back.pulling_side.high.value));
    let sum_at_far = out.standing_side.high + back.pulling_side.high;
    let again = track.tensions(TrackKnown::StrandsAtFarSheave(sum_at_far), Motion::Hauling).unwrap();
    assert!(close(again.cell().high.value, tensions.cell().high.value));
}

#[test]
fn a_strand_that_would_push_is_slack() {
    let rope = half_turns(&[0.9]).with_strand(1, Strand::rising(n(-50.0)).unwrap()).unwrap();
    let known = Known::at(0, Side::Pulling, n(40.0)).unwrap();
    let error = rope.tensions(known, Motion::Hauling).unwrap_err();
    assert!(
        matches!(error, ReevingError::Slack { part: 1, tension } if (tension - (36.0 - 50.0)).abs() < 1e-12)
    );
    assert!(error.to_string().contains("part 1"), "{error}");
    // At rest friction might leave it as little as nothing, but 40/0.9 − 50 is still below zero.
    assert!(rope.tensions(known, Motion::AtRest).is_err());
    let known = Known::at(0, Side::Pulling, n(48.0)).unwrap();
    let rest = rope.tensions(known, Motion::AtRest).unwrap().parts()[1].standing_side;
    assert_eq!(rest.low, n(0.0));
    assert!(close(rest.high.value, 48.0 / 0.9 - 50.0));
}

#[test]
fn what_is_slack_or_too_large_is_named_by_its_part() {
    let known = |part, tension: f64| Known::at(part, Side::Pulling, n(tension)).unwrap();
    // Hauling, 40·0.81 − 60; at rest two turns may trap 40/0.81 at most: still too little.
    let rope = half_turns(&[0.9, 0.9]).with_strand(2, Strand::rising(n(-60.0)).unwrap()).unwrap();
    for (tension, motion, expected) in [
        (40.0, Motion::Hauling, 40.0 * 0.81 - 60.0),
        (40.0, Motion::AtRest, 40.0 / 0.81 - 60.0),
        (0.0, Motion::AtRest, -60.0),
    ] {
        let error = rope.tensions(known(0, tension), motion).unwrap_err();
        assert!(
            matches!(error, ReevingError::Slack { part: 2, tension } if (tension - expected).abs() < 1e-12),
            "{error:?}"
        );
    }
    // e^(2·θ): over 32 turns by 10¹⁷⁴, over 109 rad by 10⁹⁵.
    let bar = Turn::bar(Ratio::new::<ratio>(2.0), Ratio::new::<ratio>(2.0)).unwrap();
    let many = Reeving::new(&[Bend::of(deg(360.0 * 32.0), bar).unwrap()]).unwrap();
    let some = Reeving::new(&[Bend::of(Angle::new::<radian>(109.0), bar).unwrap()]).unwrap();
    for (rope, tension) in [(many, 1.0), (some, 1e12)] {
        let error = rope.tensions(known(0, tension), Motion::Lowering).unwrap_err();
        assert_eq!(error, ReevingError::TooManyWraps { part: 1 });
    }
    assert!(some.tensions(known(0, 1.0), Motion::Lowering).is_ok());
}

#[test]
fn a_rope_that_holds_nothing_is_in_balance() {
    for motion in [Motion::Hauling, Motion::Lowering, Motion::AtRest] {
        let tensions =
            half_turns(&[0.9, 0.8]).tensions(Known::at(1, Side::Pulling, n(0.0)).unwrap(), motion).unwrap();
        assert!(tensions.parts().iter().all(|part| part.standing_side.high == n(0.0)), "{motion:?}");
        assert_eq!(tensions.report().residual, 0.0);
        assert_eq!((tensions.highest().part, tensions.highest().side), (0, Side::Pulling));
    }
}

#[test]
fn the_closing_error_is_measured() {
    // The product of sixteen efficiencies is rounded: not every rope can close to the last digit.
    let mut worst = 0.0_f64;
    for k in 0..50 {
        let rope = half_turns(&[0.70 + 0.005 * f64::from(k); MAX_TURNS]);
        for motion in [Motion::Hauling, Motion::AtRest] {
            let known = Known::sum((0, Side::Pulling), (9, Side::Standing), n(1000.0)).unwrap();
            worst = worst.max(rope.tensions(known, motion).unwrap().report().residual);
        }
    }
    assert!(worst > 0.0 && worst < 1e-14, "{worst}");
}

#[test]
fn the_highest_tension_is_the_one_nearest_the_pulling_end_and_may_be_small() {
    let of = |rope: &Reeving, motion| {
        let tensions = rope.tensions(Known::at(2, Side::Standing, n(0.5)).unwrap(), motion).unwrap();
        let highest = tensions.highest();
        (highest.part, highest.side, highest.tension.value)
    };
    assert_eq!(of(&half_turns(&[1.0, 1.0]), Motion::Hauling), (0, Side::Pulling, 0.5));
    assert_eq!(of(&half_turns(&[0.9, 0.9]), Motion::Lowering), (2, Side::Pulling, 0.5));
}

#[test]
fn a_redirect_that_holds_back_may_bear_most_where_the_pull_is_least() {
    // Wrapped by 10° only: R² = L² + P² − 2·L·P·cos 10°, with P from L·e^(−2·0.1745) to L.
    let (sin, cos) = 10.0_f64.to_radians().sin_cos();
    let bar = Turn::bar(Ratio::new::<ratio>(0.0), Ratio::new::<ratio>(2.0)).unwrap();
    let redirect = Redirect::new(bar, direction(-1.0, 0.0, 0.0), direction(cos, 0.0, sin));
    let on_it = redirect.load(n(1000.0), Motion::AtRest).unwrap();
    let pull = 1000.0 * (-2.0 * 10.0_f64.to_radians()).exp();
    let expected = (1e6 + pull * pull - 2000.0 * pull * cos).sqrt();
    assert!((on_it.pull.low.value - pull).abs() < 1e-9);
    assert!((on_it.load.value - expected).abs() < 1e-9, "{} {expected}", on_it.load.value);
    // More than twice the 174 N of the same tension on both sides.
    assert!(on_it.load.value > 320.0 && on_it.load.value < 340.0);
}

#[test]
fn each_place_of_a_doubled_track_bears_what_its_two_parts_pull() {
    let places = [at(-8.0, 2.0, -2.0), at(-1.0, 1.5, -2.5), at(0.0, 0.0, 0.0), at(70.0, 0.0, -45.0)];
    let anchor = at(-10.0, -1.0, -2.0);
    // |T₁·u₁ + T₂·u₂| at a place, with the unit vectors towards its neighbours.
    let pulls = |from: Point3, one: (Point3, f64), other: (Point3, f64)| {
        let unit = |to: Point3| {
            let d = [to.x - from.x, to.y - from.y, to.z - from.z].map(|x| x.value);
            let length = d.iter().map(|x| x * x).sum::<f64>().sqrt();
            d.map(|x| x / length)
        };
        let (a, b) = (unit(one.0), unit(other.0));
        (0..3).map(|i| (one.1 * a[i] + other.1 * b[i]).powi(2)).sum::<f64>().sqrt()
    };
    // Frictionless at the turns: 1000 N everywhere.
    let tensions =
        track(Some(Turn::FRICTIONLESS), 1.0).tensions(TrackKnown::Cell(n(1000.0)), Motion::Hauling).unwrap();
    let [capstan, redirect, head, far] = places;
    let near = |a: f64, b: f64| (a - b).abs() < 1e-9;
    assert!(near(tensions.redirect().load.value, pulls(redirect, (capstan, 1e3), (head, 1e3))));
    let [out, back] = tensions.head_crossings();
    assert!(near(out.value, pulls(head, (redirect, 1e3), (far, 1e3))));
    assert!(near(back.value, pulls(head, (far, 1e3), (anchor, 1e3))));

    // With friction the part behind the head has more than the strand while the rope comes, the cell's part less.
    let rough = track(Some(sheave(0.9)), 0.9);
    assert_eq!(rough.part_out(), 2);
    let tensions = rough.tensions(TrackKnown::Cell(n(1000.0)), Motion::Hauling).unwrap();
    let (to_redirect, to_cell) = tensions.behind_head();
    let parts = tensions.all().parts();
    assert_eq!((to_redirect, to_cell), (parts[1].standing_side.high, parts[4].pulling_side.high));
    assert!(
        close(to_cell.value, 1000.0) && to_redirect.value > tensions.strand_out().pulling_side.high.value
    );
    assert!(near(
        tensions.head_crossings()[0].value,
        pulls(head, (redirect, to_redirect.value), (far, tensions.strand_out().pulling_side.high.value))
    ));

    // Without contact nothing crosses, and the strands go straight on.
    let free = track(None, 0.9).tensions(TrackKnown::Cell(n(1000.0)), Motion::Hauling).unwrap();
    assert_eq!(free.head_crossings(), [n(0.0); 2]);
    assert_eq!(
        free.behind_head(),
        (free.strand_out().pulling_side.high, free.strand_back().standing_side.high)
    );
    assert!(close(free.behind_head().1.value, 1000.0));
}

#[test]
fn a_redirect_agrees_with_a_rope_of_one_turn() {
    let (to_load, to_pull) = (direction(0.3, -0.2, -1.0), direction(-2.0, 0.5, 0.1));
    let redirect = Redirect::new(sheave(0.8), to_load, to_pull);
    let strand = |leave, arrive| Strand::STRAIGHT.with_directions(leave, arrive);
    let rope = Reeving::new(&[Bend::at(at(0.0, 0.0, 0.0), sheave(0.8)).unwrap()])
        .unwrap()
        .with_strand(0, strand(to_pull.reversed(), to_pull.reversed()))
        .unwrap()
        .with_strand(1, strand(to_load, to_load))
        .unwrap();
    for motion in [Motion::Hauling, Motion::Lowering, Motion::AtRest] {
        let one = redirect.load(n(900.0), motion).unwrap();
        let other = rope.tensions(Known::at(1, Side::Standing, n(900.0)).unwrap(), motion).unwrap();
        assert!(close(one.load.value, other.turns()[0].load.value), "{motion:?}");
        assert!(close(one.pull.high.value, other.parts()[0].pulling_side.high.value));
        assert!(close(one.pull.low.value, other.parts()[0].pulling_side.low.value));
        let by_wrap = Reeving::new(&[Bend::of(one.wrap, sheave(0.8)).unwrap()]).unwrap();
        let by_wrap = by_wrap.tensions(Known::at(1, Side::Standing, n(900.0)).unwrap(), motion).unwrap();
        assert!(close(by_wrap.turns()[0].load.value, one.load.value));
    }
}

#[test]
fn bad_input_names_itself() {
    let wrong = [f64::NAN, f64::INFINITY, -1.0, 1e300];
    for x in wrong {
        assert!(
            Bend::of(Angle::new::<radian>(x), Turn::FRICTIONLESS)
                .unwrap_err()
                .to_string()
                .starts_with("wrap")
        );
        assert!(Known::at(0, Side::Pulling, n(x)).unwrap_err().to_string().starts_with("known_tension"));
        assert!(redirect_load(n(x), deg(90.0)).is_err());
        assert!(redirect_load(n(1.0), deg(x)).is_err());
        assert!(Strand::scaled(Ratio::new::<ratio>(x)).is_err());
        if x != -1.0 {
            assert!(Bend::at(at(x, 0.0, 0.0), Turn::FRICTIONLESS).is_err());
            assert!(Strand::rising(n(x)).is_err());
        }
    }
    assert!(Strand::scaled(Ratio::new::<ratio>(0.0)).is_err());

    let bend = Bend::of(deg(90.0), sheave(0.9)).unwrap();
    assert_eq!(Reeving::new(&[bend; MAX_TURNS + 1]).unwrap_err(), ReevingError::TooManyTurns { turns: 17 });
    let rope = Reeving::new(&[bend; MAX_TURNS]).unwrap();
    assert!(rope.tensions(Known::at(16, Side::Standing, n(1.0)).unwrap(), Motion::AtRest).is_ok());
    let error = rope.tensions(Known::at(17, Side::Standing, n(1.0)).unwrap(), Motion::AtRest).unwrap_err();
    assert_eq!(error, ReevingError::NoSuchPart { part: 17, last: 16 });
    assert!(rope.with_strand(17, Strand::STRAIGHT).is_err());

    let placed = Bend::at(at(0.0, 0.0, 0.0), sheave(0.9)).unwrap();
    let known = Known::at(0, Side::Pulling, n(1.0)).unwrap();
    let error = Reeving::new(&[placed]).unwrap().tensions(known, Motion::Hauling).unwrap_err();
    assert_eq!(error, ReevingError::UnknownWrap { turn: 0 });
    let rope = Reeving::new(&[placed]).unwrap().with_ends(at(0.0, 0.0, 0.0), at(1.0, 0.0, 0.0)).unwrap();
    assert_eq!(rope.tensions(known, Motion::Hauling).unwrap_err(), ReevingError::NoLength { part: 0 });

    let bar = Turn::bar(Ratio::new::<ratio>(2.0), Ratio::new::<ratio>(2.0)).unwrap();
    let rope = Reeving::new(&[Bend::of(deg(360.0 * 32.0), bar).unwrap(); 16]).unwrap();
    let error = rope.tensions(known, Motion::Hauling).unwrap_err();
    assert!(matches!(error, ReevingError::TooManyWraps { .. }), "{error}");
}

#[test]
fn a_turn_takes_sane_losses_only() {
    let r = Ratio::new::<ratio>;
    for x in [f64::NAN, f64::INFINITY, -0.1, 0.0, 0.009, 1.01] {
        assert_eq!(Turn::sheave(r(x)).unwrap_err().field, "sheave_efficiency");
    }
    for x in [f64::NAN, f64::INFINITY, -0.1, 2.1] {
        assert_eq!(Turn::bar(r(x), r(0.1)).unwrap_err().field, "friction_raising");
        assert_eq!(Turn::bar(r(0.1), r(x)).unwrap_err().field, "friction_lowering");
        assert_eq!(sheave(0.9).band(deg(x * 1e5)).unwrap_err().field, "turn");
    }
    let most = deg(360.0 * 32.0);
    for turn in [sheave(0.01), Turn::bar(r(2.0), r(2.0)).unwrap()] {
        let band = turn.band(most).unwrap();
        assert!(band.high.value.is_finite() && band.low.value > 0.0);
    }
}

#[test]
fn a_rope_without_turns_has_one_part() {
    let rope = Reeving::new(&[]).unwrap().with_ends(at(0.0, 0.0, 0.0), at(0.0, 0.0, 2.0)).unwrap();
    let tensions = rope.tensions(Known::at(0, Side::Standing, n(5.0)).unwrap(), Motion::AtRest).unwrap();
    assert_eq!((tensions.parts().len(), tensions.turns().len()), (1, 0));
    assert_eq!(tensions.pulling_end().unwrap().z, n(5.0));
    assert_eq!(tensions.standing_end().unwrap().z, n(-5.0));
}

fn any_turn() -> impl Strategy<Value = Turn> {
    prop_oneof![
        (0.3..1.0_f64).prop_map(sheave),
        (0.0..0.5_f64, 0.0..0.5_f64).prop_map(|(r, l)| Turn::bar(
            Ratio::new::<ratio>(r),
            Ratio::new::<ratio>(l)
        )
        .unwrap()),
    ]
}

fn any_rope() -> impl Strategy<Value = Reeving> {
    prop::collection::vec((0.0..400.0_f64, any_turn()), 1..=MAX_TURNS).prop_map(|turns| {
        let bends: Vec<_> = turns.iter().map(|(wrap, turn)| Bend::of(deg(*wrap), *turn).unwrap()).collect();
        Reeving::new(&bends).unwrap()
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn more_friction_never_helps_hauling(wrap in 0.0..720.0_f64, a in 0.3..1.0_f64, b in 0.3..1.0_f64) {
        let hand = |efficiency| {
            let rope = Reeving::new(&[Bend::of(deg(wrap), sheave(efficiency)).unwrap()]).unwrap();
            rope.tensions(Known::at(1, Side::Pulling, n(1e3)).unwrap(), Motion::Hauling).unwrap().parts()[0]
        };
        prop_assert!(hand(a.min(b)).pulling_side.high >= hand(a.max(b)).pulling_side.high);
    }

    #[test]
    fn more_friction_in_any_turn_of_a_rope_never_helps_hauling_nor_hinders_lowering(
        turns in prop::collection::vec((0.0..400.0_f64, any_turn()), 1..=MAX_TURNS),
        at in 0..MAX_TURNS,
        worse in 0.3..1.0_f64,
    ) {
        let rope = |turns: &[(f64, Turn)]| {
            let bends: Vec<_> = turns.iter().map(|(wrap, turn)| Bend::of(deg(*wrap), *turn).unwrap()).collect();
            Reeving::new(&bends).unwrap()
        };
        let mut rougher = turns.clone();
        let turn = &mut rougher[at % turns.len()].1;
        *turn = match (turn.efficiency(), turn.friction()) {
            (Some(efficiency), _) => Turn::sheave(efficiency * worse).unwrap(),
            (None, Some([raising, lowering])) => Turn::bar(raising / worse, lowering / worse).unwrap(),
            (None, None) => unreachable!(),
        };
        let hand = |turns: &[(f64, Turn)], motion| {
            let load = Known::at(turns.len(), Side::Standing, n(1e3)).unwrap();
            rope(turns).tensions(load, motion).unwrap().parts()[0].pulling_side.high.value
        };
        prop_assert!(hand(&rougher, Motion::Hauling) >= hand(&turns, Motion::Hauling) * (1.0 - 1e-13));
        prop_assert!(hand(&rougher, Motion::Lowering) <= hand(&turns, Motion::Lowering) * (1.0 + 1e-13));
    }

    #[test]
    fn the_forces_on_an_isolated_rope_sum_to_zero(
        places in prop::collection::vec((-20.0..20.0_f64, -20.0..20.0_f64, -20.0..20.0_f64), 3..8),
        turns in prop::collection::vec(any_turn(), 8),
        hauling: bool,
    ) {
        let places: Vec<_> = places.iter().map(|(x, y, z)| at(*x, *y, *z)).collect();
        let (ends, between) = ([places[0], places[places.len() - 1]], &places[1..places.len() - 1]);
        let bends: Vec<_> = between.iter().zip(&turns).map(|(at, turn)| Bend::at(*at, *turn).unwrap()).collect();
        // Places that fall together give no direction, and are refused.
        let Ok(rope) = Reeving::new(&bends).unwrap().with_ends(ends[0], ends[1]) else { return Ok(()) };
        let motion = if hauling { Motion::Hauling } else { Motion::Lowering };
        let tensions = rope.tensions(Known::at(0, Side::Pulling, n(1e3)).unwrap(), motion).unwrap();
        let on_turns = tensions.turns().iter().map(|turn| turn.force.unwrap());
        let on_ends = [tensions.pulling_end().unwrap(), tensions.standing_end().unwrap()];
        // What the rope does to all that holds it: a weightless rope can do nothing on the whole.
        let all: Vec<_> = on_turns.chain(on_ends).collect();
        let greatest = tensions.highest().tension.value;
        for part in [|f: &Force3| f.x, |f: &Force3| f.y, |f: &Force3| f.z] {
            let sum: f64 = all.iter().map(|f| part(f).value).sum();
            prop_assert!(sum.abs() <= 1e-13 * greatest * all.len() as f64, "{sum}");
        }
    }

    #[test]
    fn any_part_known_gives_back_the_others(rope in any_rope(), part in 0..17_usize, hauling: bool) {
        let motion = if hauling { Motion::Hauling } else { Motion::Lowering };
        let first = rope.tensions(Known::at(0, Side::Pulling, n(1e3)).unwrap(), motion).unwrap();
        let part = part.min(rope.turns());
        let there = first.parts()[part].standing_side.high;
        let again = rope.tensions(Known::at(part, Side::Standing, there).unwrap(), motion).unwrap();
        for (a, b) in first.parts().iter().zip(again.parts()) {
            prop_assert!((a.pulling_side.high.value / b.pulling_side.high.value - 1.0).abs() < 1e-13);
        }
        prop_assert!(again.report().residual < 1e-15);
    }

    #[test]
    fn at_rest_the_band_holds_both_motions(rope in any_rope(), part in 0..17_usize, other in 0..17_usize) {
        let (part, other) = (part.min(rope.turns()), other.min(rope.turns()));
        let known = Known::sum((part, Side::Pulling), (other, Side::Standing), n(1e3)).unwrap();
        let rest = rope.tensions(known, Motion::AtRest).unwrap();
        for motion in [Motion::Hauling, Motion::Lowering] {
            let moving = rope.tensions(known, motion).unwrap();
            for (band, t) in rest.parts().iter().zip(moving.parts()) {
                let slop = 1e-13 * t.pulling_side.high.value;
                prop_assert!(band.pulling_side.low.value <= t.pulling_side.high.value + slop);
                prop_assert!(t.pulling_side.high.value <= band.pulling_side.high.value + slop);
            }
            for (band, turn) in rest.turns().iter().zip(moving.turns()) {
                prop_assert!(turn.load.value <= band.load.value * (1.0 + 1e-13));
            }
        }
    }

    #[test]
    fn at_rest_no_mixture_of_friction_leaves_the_band(
        turns in prop::collection::vec((0.0..300.0_f64, 0.5..1.0_f64, 0.0..=1.0_f64), 1..8),
        rises in prop::collection::vec(-30.0..30.0_f64, 9),
        one in 0..16_usize,
        other in 0..16_usize,
    ) {
        let bends: Vec<_> = turns.iter().map(|(w, e, _)| Bend::of(deg(*w), sheave(*e)).unwrap()).collect();
        let mut rope = Reeving::new(&bends).unwrap();
        for (part, rise) in rises.iter().enumerate().take(turns.len() + 1) {
            rope = rope.with_strand(part, Strand::rising(n(*rise)).unwrap()).unwrap();
        }
        // A state of rest: 1 kN at the pulling end, and at each turn any ratio within its band.
        let mut state = vec![[1e3, 1e3 + rises[0]]];
        for ((wrap, efficiency, mix), rise) in turns.iter().zip(&rises[1..]) {
            let band = sheave(*efficiency).band(deg(*wrap)).unwrap();
            let held = band.low.value + mix * (band.high.value - band.low.value);
            let t = state.last().unwrap()[1] / held;
            state.push([t, t + rise]);
        }
        prop_assume!(state.iter().flatten().all(|t| *t > 0.0));
        // From the sum of any two spots of it, the bands must hold it.
        let spot = |at: usize| {
            let (part, side) = (at / 2 % state.len(), at % 2);
            ((part, [Side::Pulling, Side::Standing][side]), state[part][side])
        };
        let ((a, ta), (b, tb)) = (spot(one), spot(other));
        let rest = rope.tensions(Known::sum(a, b, n(ta + tb)).unwrap(), Motion::AtRest).unwrap();
        for (t, band) in state.iter().zip(rest.parts()) {
            for (t, band) in t.iter().zip([band.pulling_side, band.standing_side]) {
                prop_assert!(band.low.value <= t + 1e-9 && *t <= band.high.value + 1e-9, "{t} {band:?}");
            }
        }
        for (turn, on_it) in rest.turns().iter().enumerate() {
            let (before, behind) = (state[turn][1], state[turn + 1][0]);
            let wrap = turns[turn].0.to_radians();
            let load = (behind * wrap.cos() - before).hypot(behind * wrap.sin());
            prop_assert!(load <= on_it.load.value + 1e-9, "{load} {on_it:?}");
        }
    }

    #[test]
    fn the_load_on_a_redirect_is_between_difference_and_sum(
        load in 0.0..1e5_f64, wrap in 0.0..180.0_f64, efficiency in 0.3..1.0_f64,
    ) {
        let rope = Reeving::new(&[Bend::of(deg(wrap), sheave(efficiency)).unwrap()]).unwrap();
        let tensions = rope.tensions(Known::at(1, Side::Pulling, n(load)).unwrap(), Motion::Hauling).unwrap();
        let pull = tensions.parts()[0].pulling_side.high.value;
        let on_it = tensions.turns()[0].load.value;
        prop_assert!(on_it >= (pull - load) * (1.0 - 1e-13) && on_it <= (pull + load) * (1.0 + 1e-13));
    }
}
