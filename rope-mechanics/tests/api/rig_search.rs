//! Rigs that are hard to find the equilibrium of: where maps put them, very stiff, nearly empty, moving, or without one.

use rope_mechanics::geometry::{Direction3, Point3};
use rope_mechanics::motion::Motion;
use rope_mechanics::quantity::unit::{meter, newton, percent, ratio};
use rope_mechanics::quantity::{Force, Length, LineWeight, Ratio};
use rope_mechanics::rig::{
    FreePoint, PointId, Rig, RigError, RopeEnd, RopeId, RopeRun, RopeSupply, Solution,
};
use rope_mechanics::rope::Stretch;
use rope_mechanics::sheave::Turn;

fn m(x: f64) -> Length {
    Length::new::<meter>(x)
}

fn n(x: f64) -> Force {
    Force::new::<newton>(x)
}

fn at(x: f64, y: f64, z: f64) -> Point3 {
    Point3::new(m(x), m(y), m(z))
}

fn linear(ea: f64) -> Stretch {
    Stretch::linear(n(ea)).unwrap()
}

fn weight(w: f64) -> LineWeight {
    n(w) / m(1.0)
}

/// A carriage on a heavy track with a haul rope over the head, at this easting and northing.
fn carriage_at(east: f64, north: f64, ea: f64, span: f64) -> (Rig, PointId, RopeId) {
    let mut rig = Rig::new();
    let head = rig.fixed("head", at(east, north, 600.0)).unwrap();
    let far = rig.fixed("far", at(east + span, north + 3.0, 592.0)).unwrap();
    let winch = rig.fixed("winch", at(east - 5.0, north + 1.0, 599.0)).unwrap();
    let load = rig.point("load", FreePoint::anywhere().with_weight(n(2000.0))).unwrap();
    let track = RopeRun::new(linear(ea), RopeSupply::Length(m(1.02 * span + 1.0)), head, far);
    let track = rig.rope("track", track.over(load, Turn::FRICTIONLESS).with_weight(weight(1.5))).unwrap();
    let haul = RopeRun::new(linear(ea), RopeSupply::Length(m(28.0)), winch, load);
    rig.rope("haul", haul.over(head, Turn::FRICTIONLESS).with_weight(weight(1.0))).unwrap();
    (rig, load, track)
}

#[test]
fn a_rig_in_a_maps_coordinates_is_the_rig_at_the_origin() {
    for ea in [8e4, 4e5, 2e7] {
        for step in 0..20 {
            // Places that a double holds exactly at either end of the map, so that the two rigs are the same one.
            let span = 40.0 + f64::from(step) * 0.25;
            let (rig, load, track) = carriage_at(0.0, 0.0, ea, span);
            let here = rig.solve().unwrap();
            let (rig, far_load, far_track) = carriage_at(412_000.5, 5_200_000.25, ea, span);
            let there = rig.solve().unwrap();
            let (a, b) = (here.certificate(), there.certificate());
            assert!(b.force_residual <= a.largest_force * 1e-9, "{b:?}");
            let difference =
                here.parts(track).unwrap()[0].tension_last - there.parts(far_track).unwrap()[0].tension_last;
            assert!(difference.abs() < a.largest_force * 1e-9);
            let (p, q) = (here.position(load).unwrap(), there.position(far_load).unwrap());
            // The last digit of 5.2e6 is 9e-10.
            assert!((q.y.value - 5_200_000.25 - p.y.value).abs() < 1e-8);
            assert!((q.z.value - p.z.value).abs() < 1e-8);
        }
    }
}

#[test]
fn a_fixed_point_stays_to_the_last_digit() {
    let (rig, ..) = carriage_at(0.1, 5_200_000.3, 8e4, 40.7);
    let solution = rig.solve().unwrap();
    let places = [(0.1, 5_200_000.3, 600.0), (0.1 + 40.7, 5_200_000.3 + 3.0, 592.0)];
    for (id, (x, y, z)) in rig.points().zip(places) {
        assert_eq!(solution.position(id).unwrap(), at(x, y, z));
    }
}

#[test]
fn light_loads_on_very_stiff_ropes_hang_where_they_would_on_softer_ones() {
    let solved = |ea: f64, load: f64| {
        let mut rig = Rig::new();
        let (a, b) =
            (rig.fixed("a", at(0.0, 0.0, 0.0)).unwrap(), rig.fixed("b", at(10.0, 0.0, 1.0)).unwrap());
        let left = rig.point("left", FreePoint::anywhere().with_weight(n(load))).unwrap();
        let right = rig.point("right", FreePoint::anywhere().with_weight(n(load))).unwrap();
        for (name, from, to, length) in [("1", a, left, 5.0), ("2", left, right, 4.0), ("3", right, b, 3.0)] {
            rig.rope(name, RopeRun::new(linear(ea), RopeSupply::Length(m(length)), from, to)).unwrap();
        }
        let solution = rig.solve().unwrap();
        assert!(solution.certificate().unique);
        (solution.position(left).unwrap(), solution.position(right).unwrap())
    };
    // With no stretch to speak of, where they hang doesn't depend on load or stiffness.
    let shape = solved(1e6, 1.0);
    for (ea, load) in [(1e9, 0.1), (1e9, 1e3), (1e8, 0.01), (1e7, 0.01)] {
        let other = solved(ea, load);
        for (p, q) in [(shape.0, other.0), (shape.1, other.1)] {
            // T/EA is below 2e-6, and a 1e-4 of the load is what the last digits of 10 m decide at 1e9 N and 0.1 N.
            assert!((p.x - q.x).abs() < m(1e-3) && (p.z - q.z).abs() < m(1e-3), "{ea} {load}: {p:?} {q:?}");
        }
    }
}

#[test]
fn a_light_load_among_heavy_ones_is_found() {
    let mut rig = Rig::new();
    let (a, b) = (rig.fixed("a", at(0.0, 0.0, 0.0)).unwrap(), rig.fixed("b", at(12.0, 2.0, 1.0)).unwrap());
    let heavy = rig.point("heavy", FreePoint::anywhere().with_weight(n(400.0))).unwrap();
    let light = rig.point("light", FreePoint::anywhere().with_weight(n(2e-3))).unwrap();
    for (name, from, to, length, ea) in [
        ("1", a, heavy, 7.0, 1e9),
        ("2", heavy, light, 5.0, 2e8),
        ("3", light, b, 4.0, 1e3),
        ("4", heavy, b, 8.0, 1e6),
    ] {
        rig.rope(name, RopeRun::new(linear(ea), RopeSupply::Length(m(length)), from, to)).unwrap();
    }
    let solution = rig.solve().unwrap();
    assert!(solution.certificate().least_stiffness.value > 0.0);
}

#[test]
fn a_refusal_says_whether_it_is_sure() {
    let refused = |w: f64| {
        let mut rig = Rig::new();
        let peg = rig.fixed("peg", at(0.0, 0.0, 3.0)).unwrap();
        let light = rig.point("light", FreePoint::anywhere().with_weight(n(100.0))).unwrap();
        let heavy = rig.point("heavy", FreePoint::anywhere().with_weight(n(120.0))).unwrap();
        let run = RopeRun::new(linear(1e5), RopeSupply::Length(m(10.0)), light, heavy)
            .over(peg, Turn::FRICTIONLESS);
        rig.rope("rope", run.with_weight(weight(w))).unwrap();
        rig.solve().unwrap_err()
    };
    match refused(0.0) {
        RigError::RunsTo { point, meets, certain, .. } => {
            assert_eq!((point.as_str(), meets.as_str()), ("light", "peg"));
            assert!(certain);
        }
        other => panic!("{other}"),
    }
    let other = refused(0.5);
    assert!(!matches!(other, RigError::RunsTo { certain: true, .. }), "{other}");
    assert!(other.to_string().contains("no equilibrium was found"), "{other}");
}

#[test]
fn a_winch_that_pulls_harder_than_its_load_says_so() {
    let mut rig = Rig::new();
    let winch = rig.fixed("winch", at(0.0, 0.0, 10.0)).unwrap();
    let load = rig.point("load", FreePoint::anywhere().with_weight(n(51.0))).unwrap();
    let pull = RopeSupply::Tension { at: RopeEnd::First, tension: n(72.0) };
    rig.rope("rope", RopeRun::new(linear(4e4), pull, winch, load)).unwrap();
    assert!(matches!(rig.solve(), Err(RigError::RunsTo { point, certain: true, .. }) if point == "load"));
}

#[test]
fn a_span_pulled_less_than_its_weight_needs_runs_out() {
    // The least tension at the ends of a catenary of 10 N/m over 10 m is 0.754·10·10 N.
    let solved = |tension: f64| {
        let mut rig = Rig::new();
        let (a, b) =
            (rig.fixed("a", at(0.0, 0.0, 0.0)).unwrap(), rig.fixed("b", at(10.0, 0.0, 0.0)).unwrap());
        let pull = RopeSupply::Tension { at: RopeEnd::Last, tension: n(tension) };
        rig.rope("rope", RopeRun::new(linear(1e5), pull, a, b).with_weight(weight(10.0))).unwrap();
        rig.solve()
    };
    assert!(solved(80.0).is_ok());
    assert!(matches!(solved(60.0), Err(RigError::RunsOut { .. })));
}

#[test]
fn an_absurd_load_on_a_rope_of_given_length_stretches_it() {
    let mut rig = Rig::new();
    let top = rig.fixed("top", at(0.0, 0.0, 0.0)).unwrap();
    let load = rig.point("load", FreePoint::anywhere().with_weight(n(1e9))).unwrap();
    rig.rope("rope", RopeRun::new(linear(4e4), RopeSupply::Length(m(5.0)), top, load)).unwrap();
    assert!(matches!(rig.solve(), Err(RigError::Overstretched { rope, .. }) if rope == "rope"));
}

/// A slack chain from a fixed point over a peg to a fixed point as far on, hauled at its last end.
fn chain_over_a_peg(turn: Turn) -> Rig {
    let mut rig = Rig::new();
    let left = rig.fixed("left", at(-3.0, 0.0, 0.0)).unwrap();
    let peg = rig.fixed("peg", at(0.0, 0.0, 0.0)).unwrap();
    let right = rig.fixed("right", at(3.0, 0.0, 0.0)).unwrap();
    let chain = RopeRun::new(linear(1e6), RopeSupply::Length(m(20.0)), left, right).over(peg, turn);
    rig.rope("chain", chain.with_weight(weight(20.0)).with_motion(Motion::Hauling, RopeEnd::Last)).unwrap();
    rig
}

#[test]
fn a_moving_slack_chain_never_stays_balanced_on_a_peg() {
    // The longer side gets heavier with every metre that runs over, with friction as without.
    for efficiency in [0.999, 0.95, 0.8] {
        let turn = Turn::sheave(Ratio::new::<ratio>(efficiency)).unwrap();
        match chain_over_a_peg(turn).solve() {
            Ok(solution) => assert!(solution.certificate().least_stiffness.value > 0.0),
            Err(RigError::RunsOut { .. } | RigError::RunsOn { .. } | RigError::Unstable { .. }) => {}
            Err(other) => panic!("{other}"),
        }
    }
}

/// Two brakes lower a litter: without the friction of their bars it would fall.
#[test]
fn a_load_that_only_its_moving_brakes_hold_is_found() {
    let bar = Turn::bar(Ratio::new::<ratio>(0.2), Ratio::new::<ratio>(0.2)).unwrap();
    let rig = |hand_pull: f64| {
        let mut rig = Rig::new();
        let litter = rig.point("litter", FreePoint::anywhere().with_weight(n(1600.0))).unwrap();
        for (side, x) in [("left", -10.0), ("right", 10.0)] {
            let post = rig.fixed(&format!("{side} bar"), at(x, 0.0, 0.0)).unwrap();
            let hand = rig.fixed(&format!("{side} hand"), at(1.3 * x, 0.0, 0.0)).unwrap();
            let held = RopeSupply::Tension { at: RopeEnd::Last, tension: n(hand_pull) };
            let run = RopeRun::new(linear(4e4), held, litter, hand).over_with_wraps(post, bar, 1);
            rig.rope(side, run.with_motion(Motion::Lowering, RopeEnd::Last)).unwrap();
        }
        (rig, litter)
    };
    let (held, litter) = rig(200.0);
    let solution = held.solve().unwrap();
    // 2·T·sin α = W with T = 200 N·e^(0.2·(2π + α)), the rope turned by α and once around its bar.
    let lift = |a: f64| 400.0 * (0.2 * (std::f64::consts::TAU + a)).exp() * a.sin() - 1600.0;
    let (mut low, mut high) = (0.0, std::f64::consts::FRAC_PI_2);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if lift(middle) > 0.0 { high = middle } else { low = middle }
    }
    let z = solution.position(litter).unwrap().z.value;
    assert!((z / (-10.0 * f64::tan(low)) - 1.0).abs() < 1e-9, "{z} {}", -10.0 * f64::tan(low));
    // Hands too weak for it: even both ropes plumb hold 2·100 N·e^(0.2·5π/2) < 1600 N.
    let refused = rig(100.0).0.solve();
    assert!(matches!(&refused, Err(RigError::RunsOn { point, .. }) if point == "litter"), "{refused:?}");
}

#[test]
fn a_part_may_be_short_as_a_knot_from_its_sheave() {
    // 5 mm of a rope of 99 m: a block that slides on a post beside the anchor of its rope.
    for beside in [0.1, 0.02, 0.005, 0.001] {
        let mut rig = Rig::new();
        let near = rig.fixed("near", at(0.0, 0.0, 0.0)).unwrap();
        let far = rig.fixed("far", at(100.0, 0.0, 0.0)).unwrap();
        let post = FreePoint::on_line(at(beside, 0.0, 0.0), Direction3::UP).unwrap().with_weight(n(15.0));
        let block = rig.point("block", post).unwrap();
        let run =
            RopeRun::new(linear(4e4), RopeSupply::Length(m(99.0)), near, far).over(block, Turn::FRICTIONLESS);
        let rope = rig.rope("rope", run.with_weight(weight(0.8))).unwrap();
        let solution = rig.solve().unwrap();
        let share = solution.parts(rope).unwrap()[0].share.value;
        assert!(share > 0.9 * beside && share < 1.1 * beside, "{share}");
    }
}

#[test]
fn a_moving_tackle_is_stable_in_every_mode() {
    let mut rig = Rig::new();
    let top = rig.fixed("top", at(0.0, 0.0, 10.0)).unwrap();
    let hand = rig.fixed("hand", at(4.0, 0.0, 9.0)).unwrap();
    let load = rig.point("load", FreePoint::anywhere().with_weight(n(1000.0))).unwrap();
    let turn = Turn::sheave(Ratio::new::<ratio>(0.9)).unwrap();
    let run =
        RopeRun::new(linear(4e4), RopeSupply::Length(m(22.0)), top, hand).over(load, turn).over(top, turn);
    rig.rope("rope", run.with_motion(Motion::Hauling, RopeEnd::Last)).unwrap();
    let proof = rig.solve().unwrap().certificate();
    assert!(!proof.unique);
    // A pendulum of 1000 N on about 9 m is the softest.
    assert!((proof.least_stiffness.value - 1000.0 / 9.0).abs() < 60.0, "{proof:?}");
}

#[test]
fn a_hopeless_rig_is_refused_in_a_moment() {
    // All ways and all starts take so many steps at most, whatever the rig: some tens of milliseconds for a small one.
    let mut rig = Rig::new();
    let a = rig.fixed("a", at(0.0, 0.0, 0.0)).unwrap();
    let b = rig.fixed("b", at(20.0, 0.0, -6.0)).unwrap();
    let load = rig.point("load", FreePoint::anywhere().with_weight(n(2e5))).unwrap();
    let low = rig.point("low", FreePoint::anywhere().with_weight(n(0.5))).unwrap();
    let run = RopeRun::new(linear(3e8), RopeSupply::Length(m(41.0)), a, b).over(load, Turn::FRICTIONLESS);
    let run = run.over(low, Turn::FRICTIONLESS).with_weight(weight(2.0));
    rig.rope("rope", run).unwrap();
    let begin = std::time::Instant::now();
    assert!(rig.solve().is_err());
    assert!(begin.elapsed().as_secs_f64() < 5.0);
}

/// With too few steps a rig is neither solved nor refused; with enough it is what it is without a budget, to the last bit.
#[test]
fn a_budget_of_steps_changes_no_answer_and_is_kept() {
    let falls = |weight_of_rope: f64, turn: Turn, motion: Motion| {
        let mut rig = Rig::new();
        let peg = rig.fixed("peg", at(0.0, 0.0, 3.0)).unwrap();
        let light = rig.point("light", FreePoint::anywhere().with_weight(n(100.0))).unwrap();
        let heavy = rig.point("heavy", FreePoint::anywhere().with_weight(n(120.0))).unwrap();
        let run = RopeRun::new(linear(1e5), RopeSupply::Length(m(10.0)), light, heavy).over(peg, turn);
        rig.rope("rope", run.with_weight(weight(weight_of_rope)).with_motion(motion, RopeEnd::Last)).unwrap();
        rig
    };
    let mut hangs = Rig::new();
    let (a, b) =
        (hangs.fixed("a", at(0.0, 0.0, 4.0)).unwrap(), hangs.fixed("b", at(25.0, 0.0, 1.0)).unwrap());
    let load = hangs.point("load", FreePoint::anywhere().with_weight(n(700.0))).unwrap();
    let run = RopeRun::new(linear(3e4), RopeSupply::Length(m(27.0)), a, b).over(load, Turn::FRICTIONLESS);
    hangs.rope("track", run.with_weight(weight(0.8))).unwrap();
    let rough = Turn::sheave(Ratio::new::<percent>(70.0)).unwrap();
    // One that hangs, one that surely runs, one that is looked for from many starts, one of which friction is raised.
    let rigs = [
        hangs,
        falls(0.0, Turn::FRICTIONLESS, Motion::AtRest),
        falls(0.5, Turn::FRICTIONLESS, Motion::AtRest),
        falls(0.5, rough, Motion::Hauling),
    ];
    for (number, rig) in rigs.iter().enumerate() {
        let said = |found: Result<Solution, RigError>| found.map(|solution| format!("{solution:?}"));
        let whole = said(rig.solve());
        let mut steps = 0;
        loop {
            match said(rig.solve_within(steps)) {
                Err(RigError::OverBudget { steps: of }) => assert_eq!(of, steps),
                found => {
                    assert_eq!(format!("{found:?}"), format!("{whole:?}"), "rig {number}, {steps} steps");
                    break;
                }
            }
            assert!(steps < 1_000_000, "rig {number} takes more than {steps} steps");
            steps = (steps + 1).max(steps * 3 / 2);
        }
        assert!(steps > 1, "rig {number} takes no steps");
        assert_eq!(format!("{:?}", said(rig.solve_within(2 * steps))), format!("{whole:?}"));
    }
}
