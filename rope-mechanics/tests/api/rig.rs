//! Rigs: what any correct equilibrium must be, whatever solved it; and every special case against its own solver.

use rope_mechanics::anchor::{Anchor, AnchorLeg};
use rope_mechanics::bridle::{Bridle, BridleRope};
use rope_mechanics::carriage::{HaulRope, Held, Load, Track, rolling};
use rope_mechanics::geometry::{Direction3, Force3, Point2, Point3};
use rope_mechanics::line::elastic::ElasticLine;
use rope_mechanics::motion::Motion;
use rope_mechanics::quantity::unit::{meter, newton, ratio};
use rope_mechanics::quantity::{Force, Length, LineWeight, Ratio};
use rope_mechanics::rig::{
    Change, FreePoint, PointId, Rig, RigError, RopeEnd, RopeId, RopeRun, RopeSupply, Solution,
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

fn length(l: f64) -> RopeSupply {
    RopeSupply::Length(m(l))
}

fn weight(w: f64) -> LineWeight {
    n(w) / m(1.0)
}

fn close(a: f64, b: f64, tolerance: f64) {
    assert!((a - b).abs() <= tolerance, "{a} is not {b} to within {tolerance}");
}

#[test]
fn a_load_on_one_rope_hangs_straight_below() {
    let mut rig = Rig::new();
    let top = rig.fixed("top", at(1.0, 2.0, 10.0)).unwrap();
    let load = rig.point("load", FreePoint::anywhere().with_weight(n(1000.0))).unwrap();
    let rope = rig.rope("rope", RopeRun::new(linear(50e3), length(4.0), top, load)).unwrap();
    let solution = rig.solve().unwrap();
    let p = solution.position(load).unwrap();
    close(p.x.value, 1.0, 1e-12);
    close(p.y.value, 2.0, 1e-12);
    // T = EA·ε
    close(p.z.value, 10.0 - 4.0 * (1.0 + 1000.0 / 50e3), 1e-12);
    let part = solution.parts(rope).unwrap()[0];
    close(part.tension_first.value, 1000.0, 1e-7);
    close(solution.reaction(top).unwrap().z.value, 1000.0, 1e-7);
    let proof = solution.certificate();
    assert!(proof.unique);
    // A pendulum: T/ℓ sideways is the least.
    close(proof.least_stiffness.value, 1000.0 / 4.08, 1e-4);
}

#[test]
fn a_frictionless_carriage_has_equal_tension_on_both_sides() {
    for w in [0.0, 0.8] {
        let mut rig = Rig::new();
        let left = rig.fixed("left", at(0.0, 0.0, 0.0)).unwrap();
        let right = rig.fixed("right", at(30.0, 5.0, 6.0)).unwrap();
        let carriage = rig.point("carriage", FreePoint::anywhere().with_weight(n(2000.0))).unwrap();
        let run = RopeRun::new(linear(40e3), length(33.0), left, right).over(carriage, Turn::FRICTIONLESS);
        let track = rig.rope("track", run.with_weight(weight(w))).unwrap();
        let solution = rig.solve().unwrap();
        let parts = solution.parts(track).unwrap();
        close(parts[0].tension_last.value, parts[1].tension_first.value, 1e-7);
        close((parts[0].share + parts[1].share).value, 33.0, 1e-12);
        let sheave = solution.sheave(rig.sheaves(track).unwrap().next().unwrap()).unwrap();
        close(sheave.force.z.value, 2000.0, 1e-6);
        close(sheave.force.x.value, 0.0, 1e-6);
        let proof = solution.certificate();
        assert!(proof.closing_residual.value < 1e-11, "{proof:?}");
        assert_eq!(proof.unique, w == 0.0);
    }
}

fn direction(x: f64, y: f64, z: f64) -> Direction3 {
    let r = Ratio::new::<ratio>;
    Direction3::new(r(x), r(y), r(z)).unwrap()
}

/// To nine digits: what the certificate promises of forces, and two solvers may differ by.
fn same(a: f64, b: f64) {
    // What is zero comes out as rounding.
    close(a, b, 1e-9 * a.abs().max(b.abs()).max(1e-3));
}

#[test]
fn a_rope_between_two_fixed_points_is_the_elastic_line() {
    for (span, rise, l, w, stretch) in [
        (50.0, 10.0, 52.0, 0.8, linear(40e3)),
        (50.0, -30.0, 58.0, 1.6, linear(80e3)),
        (20.0, 0.0, 30.0, 2.0, linear(80e3)),
        (40.0, 5.0, 40.0, 1.0, Stretch::stiffening(n(30e3), n(200e3)).unwrap()),
    ] {
        let line = ElasticLine::new(m(span), m(rise), m(l), weight(w), stretch).unwrap().solve().unwrap();
        let mut rig = Rig::new();
        // The same plane, turned.
        let (cos, sin) = (0.6, 0.8);
        let a = rig.fixed("a", at(3.0, -2.0, 7.0)).unwrap();
        let b = rig.fixed("b", at(3.0 + span * cos, -2.0 + span * sin, 7.0 + rise)).unwrap();
        let rope = rig.rope("line", RopeRun::new(stretch, length(l), a, b).with_weight(weight(w))).unwrap();
        let solution = rig.solve().unwrap();
        let part = solution.parts(rope).unwrap()[0];
        same(part.tension_first.value, line.first_tension().value);
        same(part.tension_last.value, line.last_tension().value);
        same(part.pull_first.x.value, line.horizontal_tension().value * cos);
        same(part.pull_last.y.value, -line.horizontal_tension().value * sin);
        same(solution.sags(rope).unwrap()[0].value, line.sag().value);
        assert_eq!(part.slack, l > span.hypot(rise));
    }
}

#[test]
fn a_sheave_on_a_weight_is_the_rolling_carriage() {
    for (x, z, l, w, p) in
        [(60.0, 0.0, 60.5, 1.6, 2400.0), (50.0, -30.0, 59.0, 1.6, 2400.0), (80.0, 10.0, 80.0, 1.2, 900.0)]
    {
        let point = |x: f64, z: f64| Point2::new(m(x), m(z));
        let track = Track::new(point(0.0, 0.0), point(x, z), m(l), weight(w), linear(80e3)).unwrap();
        let carriage = rolling(&track, &Load::new(n(p)).unwrap()).unwrap();
        let mut rig = Rig::new();
        let (head, far) =
            (rig.fixed("head", at(0.0, 0.0, 0.0)).unwrap(), rig.fixed("far", at(x, 0.0, z)).unwrap());
        let load = rig.point("load", FreePoint::anywhere().with_weight(n(p))).unwrap();
        let run = RopeRun::new(linear(80e3), length(l), head, far)
            .over(load, Turn::FRICTIONLESS)
            .with_weight(weight(w));
        let rope = rig.rope("track", run).unwrap();
        let solution = rig.solve().unwrap();
        let parts = solution.parts(rope).unwrap();
        same(parts[0].tension_first.value, carriage.tension.head.value);
        same(parts[1].tension_last.value, carriage.tension.far.value);
        same(solution.position(load).unwrap().x.value, carriage.position.x.value);
        same(solution.position(load).unwrap().z.value, carriage.position.z.value);
        same(parts[0].share.value, carriage.upper_length.value);
        let sheave = solution.sheave(rig.sheaves(rope).unwrap().next().unwrap()).unwrap();
        same(sheave.interior.value, carriage.interior_angle.value);
    }
}

#[test]
fn a_haul_rope_to_the_sheave_is_the_held_carriage() {
    let point = |x: f64, z: f64| Point2::new(m(x), m(z));
    let track =
        Track::new(point(0.0, 0.0), point(70.0, -45.0), m(80.25), weight(1.66713), linear(80e3)).unwrap();
    let haul = HaulRope::new(point(0.0, 0.0)).unwrap().with_stretch(linear(40e3));
    for (l, w) in [(41.0, 0.0), (30.0, 0.0), (41.0, 0.8)] {
        let haul = haul.with_weight(weight(w)).unwrap();
        let held = Held::new(track, Load::new(n(2451.6625)).unwrap(), haul).by_haul_length(m(l)).unwrap();
        let mut rig = Rig::new();
        let (head, far) =
            (rig.fixed("head", at(0.0, 0.0, 0.0)).unwrap(), rig.fixed("far", at(70.0, 0.0, -45.0)).unwrap());
        let load = rig.point("load", FreePoint::anywhere().with_weight(n(2451.6625))).unwrap();
        let run = RopeRun::new(linear(80e3), length(80.25), head, far).over(load, Turn::FRICTIONLESS);
        let rope = rig.rope("track", run.with_weight(weight(1.66713))).unwrap();
        let pull = rig
            .rope("haul", RopeRun::new(linear(40e3), length(l), head, load).with_weight(weight(w)))
            .unwrap();
        let solution = rig.solve().unwrap();
        let parts = solution.parts(rope).unwrap();
        same(parts[0].tension_first.value, held.tension.head.value);
        same(parts[0].tension_last.value, held.tension.carriage_upper.value);
        same(solution.parts(pull).unwrap()[0].tension_last.value, held.haul.unwrap().at_carriage.value);
        same(solution.position(load).unwrap().x.value, held.position.x.value);
        same(solution.position(load).unwrap().z.value, held.position.z.value);
    }
}

#[test]
fn ropes_to_one_load_are_the_bridle() {
    let ropes = [
        BridleRope::new(at(0.0, 0.0, 3.0), linear(40e3)).unwrap(),
        BridleRope::new(at(-6.0, 2.0, 1.5), Stretch::stiffening(n(30e3), n(100e3)).unwrap()).unwrap(),
        BridleRope::new(at(-2.0, -5.0, 2.0), linear(60e3)).unwrap(),
    ];
    for lengths in [[2.6, 5.5, 6.5], [2.6, 9.0, 6.5], [4.0, 5.0, 5.5]] {
        let hang = Bridle::new(n(2451.66), ropes).unwrap().at_lengths(lengths.map(m)).unwrap();
        let mut rig = Rig::new();
        let load = rig.point("load", FreePoint::anywhere().with_weight(n(2451.66))).unwrap();
        let ids: Vec<RopeId> = (0..3)
            .map(|i| {
                let from = rig.fixed(&format!("point {i}"), ropes[i].from()).unwrap();
                rig.rope(
                    &format!("rope {i}"),
                    RopeRun::new(ropes[i].stretch(), length(lengths[i]), from, load),
                )
                .unwrap()
            })
            .collect();
        let solution = rig.solve().unwrap();
        for (i, id) in ids.iter().enumerate() {
            let part = solution.parts(*id).unwrap()[0];
            same(part.tension_first.value, hang.tensions[i].value);
            assert_eq!(part.slack, hang.slack[i]);
        }
        same(solution.position(load).unwrap().z.value, hang.position.z.value);
        same(solution.position(load).unwrap().y.value, hang.position.y.value);
    }
}

#[test]
fn slings_to_a_master_point_are_the_anchor() {
    let places = [(-1.0, 0.0, 0.2), (-2.0, 0.8, 0.5), (-1.5, -1.0, 0.0)];
    let legs: Vec<AnchorLeg> = places
        .iter()
        .map(|p| AnchorLeg::new(at(p.0, p.1, p.2), n(50e3)).unwrap().with_slack(m(0.01)).unwrap())
        .collect();
    let load = Force3::new(n(3000.0), n(200.0), n(-800.0));
    let settled = Anchor::new(Point3::default(), &legs).unwrap().settle(load).unwrap();
    let mut rig = Rig::new();
    let master = rig.point("master", FreePoint::anywhere().with_force(load)).unwrap();
    let ids: Vec<RopeId> = places
        .iter()
        .enumerate()
        .map(|(i, p)| {
            let from = rig.fixed(&format!("leg {i}"), at(p.0, p.1, p.2)).unwrap();
            let l = f64::sqrt(p.0 * p.0 + p.1 * p.1 + p.2 * p.2) + 0.01;
            rig.rope(&format!("leg {i}"), RopeRun::new(linear(50e3), length(l), from, master)).unwrap()
        })
        .collect();
    let solution = rig.solve().unwrap();
    for (id, tension) in ids.iter().zip(settled.shares.tensions()) {
        same(solution.parts(*id).unwrap()[0].tension_first.value, tension.value);
    }
    same(solution.position(master).unwrap().x.value, settled.master.x.value);
}

/// A 3:1 with the rope tied to the load's sheave: hand, anchor sheave, load sheave, anchor, in one plumb line.
fn three_to_one(turn: Turn, motion: Motion) -> (Solution, RopeId) {
    let mut rig = Rig::new();
    let anchor = rig.fixed("anchor", at(0.0, 0.0, 0.0)).unwrap();
    let load = rig.point("load", FreePoint::anywhere().with_weight(n(900.0))).unwrap();
    let ground = rig.fixed("hand", at(0.0, 0.0, -12.0)).unwrap();
    // From the load over the anchor's sheave, round the load's sheave, over the anchor's again, down to the hand.
    let run = RopeRun::new(linear(50e3), length(30.0), load, ground)
        .over(anchor, turn)
        .over(load, turn)
        .over(anchor, turn)
        .with_motion(motion, RopeEnd::Last);
    let rope = rig.rope("tackle", run).unwrap();
    (rig.solve().unwrap(), rope)
}

#[test]
fn a_tackle_of_straight_ropes_has_its_advantage() {
    let (solution, rope) = three_to_one(Turn::FRICTIONLESS, Motion::AtRest);
    // 900 N on three parts.
    same(solution.parts(rope).unwrap()[3].tension_last.value, 300.0);
    let pulley = Turn::sheave(Ratio::new::<ratio>(0.9)).unwrap();
    // T₁ + T₂ + T₃ = W with each part η of the next towards the hand: hand = W/(η³ + η² + η)
    let (hauled, rope) = three_to_one(pulley, Motion::Hauling);
    same(hauled.parts(rope).unwrap()[3].tension_last.value, 900.0 / (0.9 + 0.81 + 0.729));
    // Lowering each part is 1/η of the next: hand = W·η³/(1 + η + η²)
    let (lowered, rope) = three_to_one(pulley, Motion::Lowering);
    same(lowered.parts(rope).unwrap()[3].tension_last.value, 900.0 * 0.729 / (1.0 + 0.9 + 0.81));
    assert!(!hauled.certificate().unique);
}

#[test]
fn a_rope_doubled_through_the_far_sheave_is_a_track_of_two_strands() {
    let mut tension = [0.0; 2];
    for (doubled, tension) in [true, false].into_iter().zip(&mut tension) {
        let mut rig = Rig::new();
        let (head, far) =
            (rig.fixed("head", at(0.0, 0.0, 0.0)).unwrap(), rig.fixed("far", at(70.0, 0.0, -45.0)).unwrap());
        let load = rig.point("load", FreePoint::anywhere().with_weight(n(2451.6625))).unwrap();
        let track = if doubled {
            let f = Turn::FRICTIONLESS;
            RopeRun::new(linear(40e3), length(2.0 * 80.25), head, head)
                .over(load, f)
                .over(far, f)
                .over(load, f)
        } else {
            RopeRun::new(linear(40e3), length(80.25), head, far)
                .over(load, Turn::FRICTIONLESS)
                .with_strands(2)
        };
        let rope = rig.rope("track", track.with_weight(weight(0.833565))).unwrap();
        rig.rope("haul", RopeRun::new(linear(40e3), length(41.0), head, load)).unwrap();
        let solution = rig.solve().unwrap();
        let part = solution.parts(rope).unwrap()[0];
        assert_eq!(part.strands, if doubled { 1 } else { 2 });
        *tension = part.tension_first.value / f64::from(part.strands);
    }
    same(tension[0], tension[1]);
}

#[test]
fn a_litter_on_a_slope_pulls_with_its_share_and_the_ground_pushes() {
    let mut rig = Rig::new();
    let top = rig.fixed("top", at(0.0, 0.0, 0.0)).unwrap();
    let slope = 35.0_f64.to_radians();
    let ground = FreePoint::above_ground(Point3::default(), direction(slope.sin(), 0.0, slope.cos()));
    let litter = rig.point("litter", ground.with_weight(n(2500.0))).unwrap();
    let rope = rig.rope("haul", RopeRun::new(linear(40e3), length(30.0), top, litter)).unwrap();
    let solution = rig.solve().unwrap();
    same(solution.parts(rope).unwrap()[0].tension_last.value, 2500.0 * slope.sin());
    assert!(solution.on_ground(litter).unwrap());
    let push = solution.reaction(litter).unwrap();
    same(push.z.value, 2500.0 * slope.cos() * slope.cos());
    // Lifted by a force, the litter leaves the ground: it never pulls.
    let mut rig = Rig::new();
    let top = rig.fixed("top", at(0.0, 0.0, 0.0)).unwrap();
    let up = Force3::new(n(0.0), n(0.0), n(3000.0));
    let litter = rig.point("litter", ground.with_weight(n(2500.0)).with_force(up)).unwrap();
    rig.rope("haul", RopeRun::new(linear(40e3), length(30.0), top, litter)).unwrap();
    let solution = rig.solve().unwrap();
    assert!(!solution.on_ground(litter).unwrap());
    close(solution.reaction(litter).unwrap().z.value, 0.0, 1e-6);
}

#[test]
fn a_plane_and_a_line_hold_what_they_must() {
    let mut rig = Rig::new();
    let top = rig.fixed("top", at(0.0, 0.0, 10.0)).unwrap();
    let rail = FreePoint::on_line(at(4.0, 0.0, 0.0), direction(0.0, 0.0, 1.0)).unwrap();
    let cart = rig.point("cart", rail.with_weight(n(1000.0))).unwrap();
    let wall = FreePoint::on_plane(at(-3.0, 0.0, 0.0), direction(1.0, 0.0, 0.0)).unwrap();
    let block = rig.point("block", wall.with_weight(n(600.0))).unwrap();
    let rope = rig.rope("a", RopeRun::new(linear(40e3), length(6.0), top, cart)).unwrap();
    rig.rope("b", RopeRun::new(linear(40e3), length(6.0), top, block)).unwrap();
    let solution = rig.solve().unwrap();
    let part = solution.parts(rope).unwrap()[0];
    close(part.pull_last.z.value, 1000.0, 1e-6);
    close(solution.reaction(cart).unwrap().x.value, -part.pull_last.x.value, 1e-9);
    close(solution.position(block).unwrap().x.value, -3.0, 1e-12);
    close(solution.position(block).unwrap().y.value, 0.0, 1e-9);
    close(solution.reaction(block).unwrap().z.value, 0.0, 1e-6);
}

#[test]
fn a_set_tension_fixes_the_tension_and_frees_the_length() {
    for (w, end) in [(0.0, RopeEnd::First), (0.8, RopeEnd::First), (0.8, RopeEnd::Last)] {
        let mut rig = Rig::new();
        let (head, far) =
            (rig.fixed("head", at(0.0, 0.0, 0.0)).unwrap(), rig.fixed("far", at(60.0, 4.0, -6.0)).unwrap());
        let load = rig.point("load", FreePoint::anywhere().with_weight(n(1500.0))).unwrap();
        let run = |supply| {
            RopeRun::new(linear(40e3), supply, head, far)
                .over(load, Turn::FRICTIONLESS)
                .with_weight(weight(w))
        };
        let set = rig.rope("track", run(RopeSupply::Tension { at: end, tension: n(4000.0) })).unwrap();
        let solution = rig.solve().unwrap();
        let parts = solution.parts(set).unwrap();
        let there = if end == RopeEnd::First { parts[0].tension_first } else { parts[1].tension_last };
        same(there.value, 4000.0);
        // The length that follows gives the same rig.
        let l = solution.length(set).unwrap();
        let mut again = Rig::new();
        let (head, far) = (
            again.fixed("head", at(0.0, 0.0, 0.0)).unwrap(),
            again.fixed("far", at(60.0, 4.0, -6.0)).unwrap(),
        );
        let load2 = again.point("load", FreePoint::anywhere().with_weight(n(1500.0))).unwrap();
        let run =
            RopeRun::new(linear(40e3), RopeSupply::Length(l), head, far).over(load2, Turn::FRICTIONLESS);
        let rope = again.rope("track", run.with_weight(weight(w))).unwrap();
        let second = again.solve().unwrap();
        close(second.parts(rope).unwrap()[0].tension_first.value, parts[0].tension_first.value, 1e-5);
        close(second.position(load2).unwrap().z.value, solution.position(load).unwrap().z.value, 1e-8);
    }
}

#[test]
fn friction_moves_the_tension_by_its_ratio_and_the_band_holds_the_frictionless_answer() {
    let pulley = Turn::sheave(Ratio::new::<ratio>(0.85)).unwrap();
    let build = |motion| {
        let mut rig = Rig::new();
        let hand = rig.fixed("hand", at(-6.0, 1.0, -1.0)).unwrap();
        let head = rig.fixed("head", at(0.0, 0.0, 3.0)).unwrap();
        let side = rig.fixed("side", at(8.0, 5.0, 2.0)).unwrap();
        let load = rig.point("load", FreePoint::anywhere().with_weight(n(2000.0))).unwrap();
        let run = RopeRun::new(linear(40e3), length(19.0), load, hand)
            .over(head, pulley)
            .with_motion(motion, RopeEnd::Last);
        let haul = rig.rope("haul", run.with_weight(weight(0.8))).unwrap();
        rig.rope("belay", RopeRun::new(linear(40e3), length(14.0), side, load)).unwrap();
        (rig, haul)
    };
    for motion in [Motion::Hauling, Motion::Lowering] {
        let (rig, haul) = build(motion);
        let solution = rig.solve().unwrap();
        let sheave = solution.sheave(rig.sheaves(haul).unwrap().next().unwrap()).unwrap();
        let band = pulley.band(sheave.turn).unwrap();
        let expected = if motion == Motion::Hauling { band.high } else { band.low };
        same(sheave.tension_after.value / sheave.tension_before.value, expected.value);
        assert!(solution.certificate().force_residual < n(1e-5));
    }
    let (rig, haul) = build(Motion::AtRest);
    let rest = rig.solve_band().unwrap();
    let at_hand = |s: &Solution| s.parts(haul).unwrap()[1].tension_last.value;
    assert!(at_hand(&rest.lowered) < at_hand(&rig.solve().unwrap()));
    assert!(at_hand(&rig.solve().unwrap()) < at_hand(&rest.hauled));
}

#[test]
fn a_slack_rope_says_so_and_carries_nothing() {
    let mut rig = Rig::new();
    let (a, b) = (rig.fixed("a", at(0.0, 0.0, 0.0)).unwrap(), rig.fixed("b", at(5.0, 0.0, 0.0)).unwrap());
    let load = rig.point("load", FreePoint::anywhere().with_weight(n(700.0))).unwrap();
    let tight = rig.rope("tight", RopeRun::new(linear(40e3), length(4.0), a, load)).unwrap();
    let loose = rig.rope("loose", RopeRun::new(linear(40e3), length(20.0), b, load)).unwrap();
    let solution = rig.solve().unwrap();
    assert!(solution.parts(loose).unwrap()[0].slack && !solution.parts(tight).unwrap()[0].slack);
    assert_eq!(solution.parts(loose).unwrap()[0].tension_first, n(0.0));
    same(solution.parts(tight).unwrap()[0].tension_first.value, 700.0);
}

#[test]
fn what_cannot_be_is_refused_by_name() {
    let mut rig = Rig::new();
    let a = rig.fixed("a", at(0.0, 0.0, 0.0)).unwrap();
    assert_eq!(rig.fixed("a", at(1.0, 0.0, 0.0)), Err(RigError::NameTaken { name: "a".into() }));
    let lost = rig.point("lost", FreePoint::anywhere().with_weight(n(1.0))).unwrap();
    assert_eq!(rig.solve().unwrap_err(), RigError::HangsInNothing { point: "lost".into() });
    let mut other = Rig::new();
    let foreign = other.fixed("far away", at(1.0, 1.0, 1.0)).unwrap();
    let run = |x: PointId, y: PointId| RopeRun::new(linear(1e4), length(1.0), x, y);
    assert_eq!(rig.rope("r", run(a, foreign)), Err(RigError::Foreign { kind: "point" }));
    assert!(matches!(rig.rope("r", run(a, a)), Err(RigError::NoPart { .. })));
    rig.rope("r", run(a, lost)).unwrap();
    assert!(rig.solve().unwrap().position(foreign).is_err());
    // Nothing pulls on it, so nothing says where it is.
    let mut rig = Rig::new();
    let a = rig.fixed("a", at(0.0, 0.0, 0.0)).unwrap();
    let idle = rig.point("idle", FreePoint::anywhere()).unwrap();
    rig.rope("r", RopeRun::new(linear(1e4), length(1.0), a, idle)).unwrap();
    assert!(matches!(rig.solve(), Err(RigError::Loose { point, .. }) if point == "idle"));
    // A rope pulled to a hundred times its length.
    let mut rig = Rig::new();
    let (a, b) = (rig.fixed("a", at(0.0, 0.0, 0.0)).unwrap(), rig.fixed("b", at(100.0, 0.0, 0.0)).unwrap());
    rig.rope("short", RopeRun::new(linear(1e4), length(1.0), a, b)).unwrap();
    assert!(matches!(rig.solve(), Err(RigError::Overstretched { rope, .. }) if rope == "short"));
    // A light carriage on a tight steep rope runs to the lower end.
    let mut rig = Rig::new();
    let (a, b) =
        (rig.fixed("top", at(0.0, 0.0, 0.0)).unwrap(), rig.fixed("foot", at(10.0, 0.0, -40.0)).unwrap());
    let light = rig.point("light", FreePoint::anywhere().with_weight(n(20.0))).unwrap();
    rig.rope("track", RopeRun::new(linear(4e4), length(40.0), a, b).over(light, Turn::FRICTIONLESS)).unwrap();
    let refused = rig.solve().unwrap_err();
    assert!(
        matches!(&refused, RigError::RunsTo { point, meets, .. } if point == "light" && meets == "foot"),
        "{refused}"
    );
    // More weight than a set tension can hold.
    let mut rig = Rig::new();
    let a = rig.fixed("a", at(0.0, 0.0, 0.0)).unwrap();
    let heavy = rig.point("heavy", FreePoint::anywhere().with_weight(n(200.0))).unwrap();
    let winch = RopeSupply::Tension { at: RopeEnd::First, tension: n(150.0) };
    rig.rope("r", RopeRun::new(linear(4e4), winch, a, heavy)).unwrap();
    assert_eq!(rig.solve().unwrap_err(), RigError::RunsAway { point: "heavy".into() });
    assert!(rig.point("nan", FreePoint::anywhere().with_weight(n(f64::NAN))).is_err());
}

#[test]
fn a_slack_chain_never_stays_balanced_on_a_smooth_peg() {
    let mut rig = Rig::new();
    let (a, b) = (rig.fixed("a", at(-1.0, 0.0, 0.0)).unwrap(), rig.fixed("b", at(1.0, 0.0, 0.0)).unwrap());
    let peg = rig.fixed("peg", at(0.0, 0.0, 2.0)).unwrap();
    let run =
        RopeRun::new(linear(1e5), length(40.0), a, b).over(peg, Turn::FRICTIONLESS).with_weight(weight(5.0));
    rig.rope("chain", run).unwrap();
    let solution = rig.solve().unwrap();
    // Half on either side would balance, as a pencil on its point does. What stands is one side drawn taut.
    let id = rig.ropes().next().unwrap();
    let parts = solution.parts(id).unwrap();
    assert!((parts[0].share - parts[1].share).value.abs() > 30.0);
    assert!(parts[0].slack != parts[1].slack);
    let proof = solution.certificate();
    assert!(proof.least_stiffness.value > 0.0 && !proof.unique);
}

/// A rig with every kind of input, of which one at a time is a little larger.
fn sample(which: usize, by: f64) -> (Rig, Vec<Change>, [PointId; 2], [RopeId; 4]) {
    let d = |k: usize| if k == which { by } else { 0.0 };
    let mut rig = Rig::new();
    let head = rig.fixed("head", at(0.0, d(0), 0.0)).unwrap();
    let far = rig.fixed("far", at(60.0, 3.0, -20.0)).unwrap();
    let side = rig.fixed("side", at(20.0, 30.0, 5.0)).unwrap();
    let load_force = Force3::new(n(50.0), n(d(1)), n(0.0));
    let load =
        rig.point("load", FreePoint::anywhere().with_weight(n(2000.0)).with_force(load_force)).unwrap();
    let litter = rig.point("litter", FreePoint::anywhere().with_weight(n(800.0))).unwrap();
    let f = Turn::FRICTIONLESS;
    let heavy = linear(40e3 * (1.0 + d(3)));
    let run =
        RopeRun::new(heavy, length(64.5 + d(2)), head, far).over(load, f).with_weight(weight(1.2 + d(4)));
    let track = rig.rope("track", run).unwrap();
    let stiffening = Stretch::stiffening(n(3e4 * (1.0 + d(6))), n(1e5 * (1.0 + d(6)))).unwrap();
    let haul = rig
        .rope("haul", RopeRun::new(stiffening, length(30.0 + d(5)), head, load).with_weight(weight(0.7)))
        .unwrap();
    let run = RopeRun::new(linear(5e4 * (1.0 + d(8))), length(62.0 + d(7)), side, load).over(litter, f);
    let whole = rig.rope("hoist", run).unwrap();
    let tension = RopeSupply::Tension { at: RopeEnd::Last, tension: n(300.0 + d(9)) };
    let winch = rig.rope("winch", RopeRun::new(linear(3e4), tension, litter, far).over(side, f)).unwrap();
    let changes = vec![
        Change::Place(head, at(0.0, 1.0, 0.0)),
        Change::Load(load, Force3::new(n(0.0), n(1.0), n(0.0))),
        Change::Length(track, m(1.0)),
        Change::Stiffness(track, Ratio::new::<ratio>(1.0)),
        Change::Weight(track, weight(1.0)),
        Change::Length(haul, m(1.0)),
        Change::Stiffness(haul, Ratio::new::<ratio>(1.0)),
        Change::Length(whole, m(1.0)),
        Change::Stiffness(whole, Ratio::new::<ratio>(1.0)),
        Change::Tension(winch, n(1.0)),
    ];
    (rig, changes, [load, litter], [track, haul, whole, winch])
}

#[test]
fn responses_are_the_difference_quotients_of_whole_solves() {
    let (rig, changes, points, ropes) = sample(usize::MAX, 0.0);
    let solution = rig.solve().unwrap();
    for (k, change) in changes.iter().enumerate() {
        let response = solution.response(*change).unwrap();
        let h = [1e-4, 1e-1, 1e-4, 1e-4, 1e-4, 1e-4, 1e-4, 1e-4, 1e-4, 1e-1][k];
        let ends = [-h, h].map(|by| {
            let (rig, _, points, ropes) = sample(k, by);
            let s = rig.solve().unwrap();
            let mut out: Vec<f64> = Vec::new();
            for p in points {
                let at = s.position(p).unwrap();
                out.extend([at.x.value, at.y.value, at.z.value]);
            }
            for r in ropes {
                for part in s.parts(r).unwrap() {
                    out.extend([
                        part.tension_first.value,
                        part.tension_last.value,
                        part.share.value,
                        part.pull_last.y.value,
                    ]);
                }
            }
            out
        });
        let mut analytic: Vec<f64> = Vec::new();
        for p in points {
            let at = response.position(p).unwrap();
            analytic.extend([at.x.value, at.y.value, at.z.value]);
        }
        for r in ropes {
            for part in response.parts(r).unwrap() {
                analytic.extend([
                    part.tension_first.value,
                    part.tension_last.value,
                    part.share.value,
                    part.pull_last.y.value,
                ]);
            }
        }
        let largest = analytic.iter().fold(0.0_f64, |m, x| m.max(x.abs()));
        for (i, a) in analytic.iter().enumerate() {
            let difference = (ends[1][i] - ends[0][i]) / (2.0 * h);
            // A central difference is good to h² of curvature and to rounding by h: 1e-6 of the largest covers both.
            close(*a, difference, 1e-5 * a.abs() + 2e-6 * largest);
        }
    }
}

#[test]
fn a_turned_rig_has_a_turned_answer() {
    // About the plumb line with gravity; any way at all for weightless ropes under forces.
    let turn = |p: [f64; 3], any: bool| {
        let (c, s) = (0.8, 0.6);
        let [x, y, z] = [c * p[0] - s * p[1], s * p[0] + c * p[1], p[2]];
        if any { [x, 0.28 * y - 0.96 * z, 0.96 * y + 0.28 * z] } else { [x, y, z] }
    };
    for any in [false, true] {
        let mut found = Vec::new();
        for turned in [false, true] {
            let place = |p: [f64; 3]| if turned { turn(p, any) } else { p };
            let fixed = |p: [f64; 3]| {
                let [x, y, z] = place(p);
                at(x, y, z)
            };
            let mut rig = Rig::new();
            let a = rig.fixed("a", fixed([0.0, 0.0, 0.0])).unwrap();
            let b = rig.fixed("b", fixed([30.0, 6.0, 8.0])).unwrap();
            let c = rig.fixed("c", fixed([12.0, -9.0, 5.0])).unwrap();
            let pull = |f: [f64; 3]| {
                let [x, y, z] = place(f);
                FreePoint::anywhere().with_force(Force3::new(n(x), n(y), n(z)))
            };
            let load = rig.point("load", pull([300.0, -100.0, -2000.0])).unwrap();
            let rider = rig.point("rider", pull([0.0, 50.0, -400.0])).unwrap();
            let w = if any { 0.0 } else { 0.8 };
            let run = RopeRun::new(linear(40e3), length(36.0), a, b).over(load, Turn::FRICTIONLESS);
            rig.rope("track", run.with_weight(weight(w))).unwrap();
            rig.rope("tie", RopeRun::new(linear(30e3), length(11.0), c, load).with_weight(weight(w)))
                .unwrap();
            let run = RopeRun::new(linear(30e3), length(9.0), load, rider);
            rig.rope("hanger", run.with_weight(weight(w))).unwrap();
            let solution = rig.solve().unwrap();
            let p = [load, rider].map(|id| {
                let p = solution.position(id).unwrap();
                let p = [p.x.value, p.y.value, p.z.value];
                if turned { p } else { turn(p, any) }
            });
            found.push(p);
        }
        for (p, q) in found[0].iter().flatten().zip(found[1].iter().flatten()) {
            close(*p, *q, 1e-9);
        }
    }
}

#[cfg(feature = "serde")]
#[test]
fn a_rig_in_json_is_the_rig() {
    use rope_mechanics::rig::RigSpec;
    let text = r#"{
        "points": [
            { "name": "head", "at": ["0 m", "0 m", "3 m"], "fixed": true },
            { "name": "far", "at": ["60 m", "0 m", "-20 m"], "fixed": true },
            { "name": "load", "weight": "2 kN" },
            { "name": "litter", "weight": "500 N",
              "held": { "ground": { "through": ["0 m", "0 m", "-60 m"], "normal": [0.3, 0, 1] } } }
        ],
        "ropes": [
            { "name": "track", "from": "head", "over": [{ "point": "load" }], "to": "far", "length": "66 m",
              "stretch": "40 kN", "mass": "85 g/m", "strands": 2 },
            { "name": "haul", "from": "head", "to": "load", "tension": "300 N", "hand": "first", "stretch": "40 kN" },
            { "name": "tether", "from": "load", "to": "litter", "length": "12 m", "stretch": "30 kN" }
        ]
    }"#;
    let spec: RigSpec = serde_json::from_str(text).unwrap();
    let again: RigSpec = serde_json::from_str(&serde_json::to_string(&spec).unwrap()).unwrap();
    assert_eq!(spec, again);
    let rig = spec.build().unwrap();
    let record = rig.solve().unwrap().record();
    assert_eq!(record.ropes[1].name, "haul");
    close(record.ropes[1].parts[0].tension_first.value, 300.0, 1e-9);
    let json = serde_json::to_value(&record).unwrap();
    assert!(json["points"][2]["at"][2].as_str().unwrap().ends_with(" m"));
    for (broken, says) in [
        (text.replace("\"to\": \"far\"", "\"to\": \"fra\""), "fra"),
        (text.replace("\"length\": \"12 m\",", ""), "tether"),
        (text.replace("\"at\": [\"0 m\", \"0 m\", \"3 m\"], ", ""), "head"),
    ] {
        let refused = serde_json::from_str::<RigSpec>(&broken).unwrap().build().unwrap_err();
        assert!(refused.to_string().contains(says), "{refused}");
    }
    assert!(serde_json::from_str::<RigSpec>(&text.replace("12 m", "12")).is_err());
    assert!(serde_json::from_str::<RigSpec>(&text.replace("strands", "strand")).is_err());
}
