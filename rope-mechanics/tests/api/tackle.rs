//! Tackle: what holds of any arrangement, and what is refused.

use proptest::prelude::*;
use rope_mechanics::geometry::{Direction3, Point3};
use rope_mechanics::motion::Motion;
use rope_mechanics::quantity::{
    Force, Length, Ratio,
    unit::{meter, newton, ratio},
};
use rope_mechanics::sheave::Turn;
use rope_mechanics::tackle::{
    Builder, CarrierId, CyclePlan, Layout, Preference, RopeStop, Tackle, TackleError, TackleForces,
    TackleSearch, Usual, UsualForm, UsualRatio,
};

fn m(x: f64) -> Length {
    Length::new::<meter>(x)
}

fn n(x: f64) -> Force {
    Force::new::<newton>(x)
}

fn share(x: f64) -> Ratio {
    Ratio::new::<ratio>(x)
}

fn pulley(efficiency: f64) -> Turn {
    Turn::sheave(share(efficiency)).unwrap()
}

fn layout() -> Layout {
    Layout::new(m(40.0), m(10.0)).unwrap()
}

/// Names and places beside each carrier, so that a test can move it and measure the rope again.
struct Drawing {
    places: Vec<(CarrierId, [f64; 3], [f64; 3])>,
    ropes: Vec<Vec<RopeStop>>,
}

impl Drawing {
    fn distance(&self, a: CarrierId, b: CarrierId, travel: &dyn Fn(CarrierId) -> f64) -> f64 {
        let at = |id: CarrierId| {
            let (_, place, heading) = self.places.iter().find(|(other, ..)| *other == id).unwrap();
            [0, 1, 2].map(|i| place[i] + heading[i] * travel(id))
        };
        let (a, b) = (at(a), at(b));
        ((a[0] - b[0]).powi(2) + (a[1] - b[1]).powi(2) + (a[2] - b[2]).powi(2)).sqrt()
    }

    /// Length of every stretch of rope between fastenings, and whether the hand has one end of it.
    fn lengths(&self, travel: &dyn Fn(CarrierId) -> f64) -> Vec<(bool, bool, f64)> {
        let mut out = Vec::new();
        for rope in &self.ropes {
            let mut length = 0.0;
            let mut free = matches!(rope[0], RopeStop::Tail(_));
            let mut hand = matches!(rope[0], RopeStop::Hand(_));
            for pair in rope.windows(2) {
                length += self.distance(pair[0].carrier(), pair[1].carrier(), travel);
                hand |= matches!(pair[1], RopeStop::Hand(_));
                free |= matches!(pair[1], RopeStop::Tail(_));
                if !matches!(pair[1], RopeStop::Sheave(..) | RopeStop::Capture(..)) {
                    out.push((hand, free, length));
                    (length, hand, free) = (0.0, false, false);
                }
            }
        }
        out
    }
}

/// A compound tackle of any number of stages, in line or spread out to the sides, as proptest draws it.
#[derive(Debug, Clone)]
struct Stages {
    /// Sheaves on each stage, whether it starts at the block or at the anchor, and the places to the side.
    stages: Vec<(usize, bool, [f64; 4])>,
    efficiencies: Vec<f64>,
    in_line: bool,
}

fn stages(in_line: bool) -> impl Strategy<Value = Stages> {
    let side = -3.0..3.0;
    let stage = (1usize..6, any::<bool>(), [side.clone(), side.clone(), side.clone(), side]);
    (prop::collection::vec(stage, 1..4), prop::collection::vec(0.5..1.0, 20))
        .prop_map(move |(stages, efficiencies)| Stages { stages, efficiencies, in_line })
}

impl Stages {
    /// Each stage pulls on the block of the one before with the end of its rope.
    fn build(&self) -> (Tackle, Drawing, CarrierId) {
        let mut rig = Builder::new();
        let mut drawing = Drawing { places: Vec::new(), ropes: Vec::new() };
        let mut efficiencies = self.efficiencies.iter();
        let side = |x: f64| if self.in_line { 0.0 } else { x };
        let load_at = [60.0, side(1.0), side(-2.0)];
        let heading = if self.in_line { [-1.0, 0.0, 0.0] } else { [-0.96, 0.0, 0.28] };
        let direction = Direction3::new(share(heading[0]), share(heading[1]), share(heading[2])).unwrap();
        let point = |p: [f64; 3]| Point3::new(m(p[0]), m(p[1]), m(p[2]));
        let load = rig.load("load", point(load_at), direction).unwrap();
        drawing.places.push((load, load_at, heading));
        let mut block = load;
        for (i, (sheaves, at_block, sides)) in self.stages.iter().enumerate() {
            let stage = i as f64;
            let anchor_at = [-stage, side(sides[0]), side(sides[1])];
            let anchor = rig.anchor(&format!("anchor {i}"), point(anchor_at)).unwrap();
            drawing.places.push((anchor, anchor_at, [0.0; 3]));
            let last = i + 1 == self.stages.len();
            let end_at = [if last { -10.0 } else { 50.0 - 8.0 * stage }, side(sides[2]), side(sides[3])];
            let end = if last {
                rig.anchor("hand", point(end_at)).unwrap()
            } else {
                rig.carrier(&format!("block {i}"), point(end_at), direction).unwrap()
            };
            drawing.places.push((end, end_at, if last { [0.0; 3] } else { heading }));
            // From the load's side to the pulling side, so that the last sheave is on the block or the anchor.
            let mut path = vec![RopeStop::End(if *at_block { block } else { anchor })];
            for k in 0..*sheaves {
                let turn = pulley(*efficiencies.next().unwrap());
                path.push(RopeStop::Sheave(if (k % 2 == 0) == *at_block { anchor } else { block }, turn));
            }
            // A single part from the anchor must go around the block to lift it.
            let ends_at_anchor = matches!(path.last(), Some(RopeStop::Sheave(at, _)) if *at == anchor);
            if ends_at_anchor && !last {
                // Pulled from an anchor's sheave, the next block would have to travel away: come back over the block.
                path.push(RopeStop::Sheave(block, pulley(*efficiencies.next().unwrap())));
            }
            path.push(if last { RopeStop::Hand(end) } else { RopeStop::End(end) });
            rig.rope(&format!("rope {i}"), &path).unwrap();
            drawing.ropes.push(path);
            block = end;
        }
        (rig.build().unwrap(), drawing, load)
    }
}

fn hand_travel(lengths_before: &[(bool, bool, f64)], lengths_after: &[(bool, bool, f64)]) -> f64 {
    let of = |lengths: &[(bool, bool, f64)]| lengths.iter().find(|(hand, ..)| *hand).unwrap().2;
    of(lengths_before) - of(lengths_after)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    // The work is taken from ropes measured before and after the carriers have moved a metre: no transpose in it.
    #[test]
    fn a_frictionless_tackle_in_line_conserves_work(stages in stages(true), load_n in 1.0..1e5) {
        let (tackle, drawing, load) = stages.build();
        let still = |_: CarrierId| 0.0;
        // Far enough to matter, not so far that blocks pass each other.
        let fastest = tackle.carriers().map(|c| tackle.travel_of(c).value.abs()).fold(1.0, f64::max);
        let step = 0.5 / fastest;
        let moved = |c: CarrierId| tackle.travel_of(c).value * step;
        let (before, after) = (drawing.lengths(&still), drawing.lengths(&moved));
        for (b, a) in before.iter().zip(&after).filter(|(b, _)| !b.0 && !b.1) {
            prop_assert!((b.2 - a.2).abs() < 1e-10, "a rope between fastenings changed from {} to {}", b.2, a.2);
        }
        prop_assert!((tackle.travel_of(load).value - 1.0).abs() < 1e-12);
        let forces = tackle.without_losses(n(load_n)).unwrap();
        let done = forces.hand().value * hand_travel(&before, &after);
        // Lengths of up to 700 m differ by 0.5 m: rounding 700·ε/0.5 of the work.
        prop_assert!((done / (load_n * step) - 1.0).abs() < 1e-11, "{done} against {}", load_n * step);
    }

    #[test]
    fn a_frictionless_tackle_out_of_line_conserves_work_at_first(stages in stages(false)) {
        let (tackle, drawing, _) = stages.build();
        let work = |step: f64| {
            let there = drawing.lengths(&|c| tackle.travel_of(c).value * step);
            let back = drawing.lengths(&|c| -tackle.travel_of(c).value * step);
            hand_travel(&back, &there) / (2.0 * step) * tackle.without_losses(n(1.0)).unwrap().hand().value
        };
        let fastest = tackle.carriers().map(|c| tackle.travel_of(c).value.abs()).fold(1.0, f64::max);
        // Central difference: the error falls with the square of the step until rounding, 700·ε/step, takes over.
        let step = 1e-3 / fastest;
        prop_assert!((work(step) - 1.0).abs() < 1e-5, "{}", work(step));
    }

    #[test]
    fn the_forces_on_every_part_of_a_tackle_sum_to_zero(stages in stages(false), load_n in 1.0..1e5) {
        let (tackle, drawing, load) = stages.build();
        let check = |forces: TackleForces<'_>| {
            let mut world = [0.0; 3];
            for (id, _, heading) in &drawing.places {
                let on = forces.on(*id);
                let on = [on.x.value, on.y.value, on.z.value];
                let along: f64 = on.iter().zip(heading).map(|(a, b)| a * b).sum();
                if heading.iter().any(|x| *x != 0.0) {
                    let wanted = if *id == load { load_n } else { 0.0 };
                    assert!((along - wanted).abs() < 1e-9 * load_n, "{}: {along}", tackle.carrier_name(*id));
                }
                for (w, o) in world.iter_mut().zip(on) {
                    *w += o;
                }
            }
            // Ropes pull their two ends alike: on all carriers together they pull nothing.
            assert!(world.iter().all(|x| x.abs() < 1e-9 * load_n), "{world:?}");
            assert!(forces.report().residual < 1e-11);
            assert!(forces.parts().all(|p| p.tension.value >= 0.0));
            // Over a sheave the two tensions leave what the resultant says.
            for sheave in forces.sheaves() {
                let tension = |index: usize| {
                    forces.parts().find(|p| p.part.rope == sheave.rope && p.part.index == index).unwrap().tension.value
                };
                let (a, b) = (tension(sheave.stop - 1), tension(sheave.stop));
                // Law of cosines, with the parts at π − θ to each other.
                let resultant = (a * a + b * b - 2.0 * a * b * sheave.turn.value.cos()).sqrt();
                assert!((sheave.force.magnitude().value - resultant).abs() < 1e-9 * (a + b));
            }
        };
        check(tackle.without_losses(n(load_n)).unwrap());
        check(tackle.hauling(n(load_n)).unwrap());
        check(tackle.lowering(n(load_n)).unwrap());
    }

    #[test]
    fn more_friction_never_helps_hauling_nor_hinders_lowering(stages in stages(true), which in 0usize..20, less in 0.5..1.0) {
        let (tackle, ..) = stages.build();
        let mut worse = stages.clone();
        worse.efficiencies[which] *= less;
        let (worse, ..) = worse.build();
        let (a, b) = (tackle.advantage().unwrap(), worse.advantage().unwrap());
        prop_assert!(b.hauling.value <= a.hauling.value * (1.0 + 1e-12));
        prop_assert!(b.lowering.value >= a.lowering.value * (1.0 - 1e-12));
        prop_assert!(a.hauling.value <= a.ideal.value * (1.0 + 1e-12));
        prop_assert!(a.lowering.value >= a.ideal.value * (1.0 - 1e-12));
        prop_assert!((a.ideal.value / tackle.velocity_ratio().value - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_rope_may_be_reeved_from_either_end(stages in stages(false)) {
        let (tackle, drawing, _) = stages.build();
        let mut rig = Builder::new();
        for (id, at, heading) in &drawing.places {
            let (name, at) = (tackle.carrier_name(*id), Point3::new(m(at[0]), m(at[1]), m(at[2])));
            let heading = Direction3::new(share(heading[0]), share(heading[1]), share(heading[2]));
            let again = match (heading, name) {
                (Ok(heading), "load") => rig.load(name, at, heading),
                (Ok(heading), _) => rig.carrier(name, at, heading),
                (Err(_), _) => rig.anchor(name, at),
            };
            prop_assert_eq!(again.unwrap(), *id);
        }
        for (i, rope) in drawing.ropes.iter().enumerate() {
            let backwards: Vec<_> = rope.iter().rev().copied().collect();
            rig.rope(&format!("rope {i}"), &backwards).unwrap();
        }
        let (a, b) = (tackle.advantage().unwrap(), rig.build().unwrap().advantage().unwrap());
        for (a, b) in [(a.ideal, b.ideal), (a.hauling, b.hauling), (a.lowering, b.lowering)] {
            prop_assert!((a.value / b.value - 1.0).abs() < 1e-11);
        }
    }
}

#[test]
fn the_usual_tackles_gain_what_they_are_called_for() {
    let ideal = [1.0, 2.0, 3.0, 4.0, 5.0, 5.0, 6.0, 9.0];
    for usual in Usual::all() {
        let tackle = usual.build_alike(&layout(), pulley(0.9)).unwrap();
        let wanted = ideal[UsualRatio::ALL.iter().position(|r| *r == usual.ratio).unwrap()];
        assert!((tackle.velocity_ratio().value - wanted).abs() < 1e-12, "{usual:?}");
        assert!((tackle.advantage().unwrap().ideal.value - wanted).abs() < 1e-12, "{usual:?}");
        assert_eq!(tackle.sheaves(), usual.sheaves(), "{usual:?}");
        assert!(tackle.throw(m(0.5)).unwrap().load.value > 0.0, "{usual:?}");
    }
}

#[test]
fn the_usual_tackles_with_losses_by_hand() {
    // The tension method with a pulley of e = 0.9, from the hand at 1.
    let e: f64 = 0.9;
    let three = 1.0 + e + e * e;
    for (which, hauling) in [
        (UsualRatio::TwoToOne, 1.0 + e),
        (UsualRatio::ThreeToOne, three),
        (UsualRatio::FourToOne, (1.0 + e) * (1.0 + e)),
        (UsualRatio::FiveToOne, three + e.powi(3) + e.powi(4)),
        // G2: hand 1 and e forward, e² forward on the strand; that strand is 1 + e + e² at the anchor's sheave.
        (UsualRatio::FiveToOneComplex, e * (1.0 + e + e * e) + e + e * e),
        (UsualRatio::SixToOne, three * (1.0 + e)),
        (UsualRatio::NineToOne, three * three),
    ] {
        for usual in [Usual::new(which), Usual::new(which).piggyback()] {
            let tackle = usual.build_alike(&layout(), pulley(e)).unwrap();
            let got = tackle.advantage().unwrap().hauling.value;
            assert!((got - hauling).abs() < 1e-12, "{usual:?}: {got}, not {hauling}");
            if which != UsualRatio::FiveToOneComplex {
                let led = usual.with_lead().build_alike(&layout(), pulley(e)).unwrap();
                assert!((led.advantage().unwrap().hauling.value - e * hauling).abs() < 1e-12, "{usual:?}");
            }
        }
    }
    let redirect = Usual::new(UsualRatio::OneToOne).with_lead().build_alike(&layout(), pulley(e)).unwrap();
    assert!((redirect.advantage().unwrap().hauling.value - e).abs() < 1e-15);
    assert!((redirect.advantage().unwrap().lowering.value - 1.0 / e).abs() < 1e-15);
}

#[test]
fn the_redirect_anchor_takes_twice_the_load() {
    let tackle = Usual::new(UsualRatio::OneToOne).with_lead().build_alike(&layout(), pulley(1.0)).unwrap();
    let forces = tackle.without_losses(n(1000.0)).unwrap();
    let anchor = tackle.carriers().find(|c| tackle.carrier_name(*c) == "anchor").unwrap();
    assert!((forces.on(anchor).x.value - 2000.0).abs() < 1e-9);
    assert_eq!(forces.sheaves().count(), 1);
    assert!((forces.sheaves().next().unwrap().turn.value - std::f64::consts::PI).abs() < 1e-15);
}

#[test]
fn the_efficient_pulley_belongs_nearest_the_hand() {
    // In each simple tackle; of a compound one each stage is a tackle of its own.
    for (which, stages) in [
        (UsualRatio::ThreeToOne, [0..2, 0..0]),
        (UsualRatio::FiveToOne, [0..4, 0..0]),
        (UsualRatio::SixToOne, [0..2, 2..3]),
        (UsualRatio::NineToOne, [0..2, 2..4]),
    ] {
        let usual = Usual::new(which);
        let count = usual.sheaves();
        let hauling = |good: usize| {
            let pulleys: Vec<_> = (0..count).map(|i| pulley(if i == good { 0.95 } else { 0.6 })).collect();
            usual.build(&layout(), &pulleys).unwrap().advantage().unwrap().hauling.value
        };
        for stage in stages {
            for good in stage.clone().skip(1) {
                assert!(hauling(good) > hauling(good - 1) + 0.1, "{which:?}");
            }
        }
    }
}

#[test]
fn a_3_to_1_is_reset_when_its_grab_reaches_the_anchor() {
    let tackle = Usual::new(UsualRatio::ThreeToOne).build_alike(&layout(), pulley(0.9)).unwrap();
    let plan = CyclePlan::new(m(30.0)).unwrap().with_clearance(m(0.5)).unwrap().with_setback(m(0.1)).unwrap();
    let cycle = tackle.cycle(&plan).unwrap();
    assert!((cycle.throw.load.value - 9.5).abs() < 1e-12);
    assert!((cycle.throw.hand.value - 28.5).abs() < 1e-12);
    assert!((cycle.lost.value - 0.1).abs() < 1e-12);
    // 9.5, then 9.4 more each: 9.5, 18.9, 28.3, 37.7
    assert_eq!((cycle.throws, cycle.resets), (4, 3));
    // Three times what the load goes up, with what it fell back.
    assert!((cycle.hand.value - 3.0 * 30.3).abs() < 1e-9);
    // Load to anchor 40, back to the grab 10, and to the hand 1 m beyond the anchor 11.
    assert!((cycle.rope.value - 61.0).abs() < 1e-12);
    assert_eq!(tackle.cycle(&CyclePlan::new(m(10.0)).unwrap()).unwrap().resets, 0);
}

#[test]
fn a_haul_ends_where_its_tackle_does() {
    let plan = |haul: f64| CyclePlan::new(m(haul)).unwrap().with_clearance(m(0.5)).unwrap();
    let build = |usual: Usual| usual.build_alike(&layout(), pulley(0.9)).unwrap();
    // From 40 m: half a metre stays between load and grab, and half a metre between grab and anchor.
    for which in
        [UsualRatio::ThreeToOne, UsualRatio::FiveToOne, UsualRatio::FiveToOneComplex, UsualRatio::NineToOne]
    {
        for usual in [Usual::new(which), Usual::new(which).piggyback()] {
            let tackle = build(usual);
            assert!(tackle.cycle(&plan(39.0)).unwrap().resets > 2, "{usual:?}");
            let why = tackle.cycle(&plan(39.1)).unwrap_err();
            assert!(
                matches!(why, TackleError::TooFar { room_m, .. } if (room_m - 39.0).abs() < 1e-12),
                "{usual:?}: {why}"
            );
        }
    }
    // A straight pull needs no reset before the load is there.
    assert_eq!(build(Usual::new(UsualRatio::OneToOne)).cycle(&plan(39.5)).unwrap().resets, 0);
    assert!(matches!(
        build(Usual::new(UsualRatio::OneToOne)).cycle(&plan(39.6)).unwrap_err(),
        TackleError::TooFar { .. }
    ));
    // What holds the load can't go back.
    let carrier = |which| match build(Usual::new(which)).cycle(&plan(39.6)).unwrap_err() {
        TackleError::NoReset { carrier, .. } => carrier.to_string(),
        other => panic!("{other}"),
    };
    assert_eq!(carrier(UsualRatio::TwoToOne), "load");
    assert_eq!(carrier(UsualRatio::FourToOne), "load");
    assert!(build(Usual::new(UsualRatio::TwoToOne).piggyback()).cycle(&plan(39.0)).unwrap().resets > 2);
}

#[test]
fn a_compound_tackle_is_reset_by_its_fastest_stage() {
    let tackle = Usual::new(UsualRatio::NineToOne).build_alike(&layout(), pulley(0.9)).unwrap();
    let throw = tackle.throw(m(0.0)).unwrap();
    // The second grab starts 9 m from the anchor and travels three times as fast as the load.
    assert!((throw.load.value - 3.0).abs() < 1e-12);
    assert_eq!(tackle.carrier_name(throw.limit.from), "second grab");
    let second = tackle.carriers().find(|c| tackle.carrier_name(*c) == "second grab").unwrap();
    assert!((tackle.travel_of(second).value - 3.0).abs() < 1e-12);
}

#[test]
fn the_complex_grab_travels_towards_the_load() {
    let tackle = Usual::new(UsualRatio::FiveToOneComplex).build_alike(&layout(), pulley(1.0)).unwrap();
    let second = tackle.carriers().find(|c| tackle.carrier_name(*c) == "second grab").unwrap();
    assert!((tackle.travel_of(second).value + 1.0).abs() < 1e-12);
    // The grabs start 9 m apart and meet half way.
    assert!((tackle.throw(m(0.0)).unwrap().load.value - 4.5).abs() < 1e-12);
}

#[test]
fn the_capture_holds_the_load_when_the_hand_lets_go() {
    for usual in Usual::all() {
        let tackle = usual.build_alike(&layout(), pulley(0.9)).unwrap();
        let held = tackle.held(n(1000.0)).unwrap();
        assert_eq!(held.hand().value, 0.0);
        // The load's rope holds all of it; a rope around a sheave at the load half, and the next quarter.
        let on_the_load = usual.form == UsualForm::Direct
            && matches!(usual.ratio, UsualRatio::TwoToOne | UsualRatio::FourToOne);
        assert!((held.highest().value - if on_the_load { 500.0 } else { 1000.0 }).abs() < 1e-9, "{usual:?}");
        assert!(tackle.setback_ratio().unwrap().value <= 1.0 + 1e-12);
    }
}

#[test]
fn without_a_capture_a_tackle_can_not_be_reset() {
    let mut rig = Builder::new();
    let load = rig.load_in_line("load", m(10.0)).unwrap();
    let anchor = rig.anchor_in_line("anchor", m(0.0)).unwrap();
    let crew = rig.anchor_in_line("crew", m(-1.0)).unwrap();
    rig.rope("haul", &[RopeStop::End(anchor), RopeStop::Sheave(load, pulley(0.9)), RopeStop::Hand(crew)])
        .unwrap();
    let tackle = rig.build().unwrap();
    assert_eq!(tackle.held(n(1.0)).unwrap_err(), TackleError::NoCapture);
    assert_eq!(tackle.cycle(&CyclePlan::new(m(20.0)).unwrap()).unwrap_err(), TackleError::NoCapture);
    assert!(tackle.cycle(&CyclePlan::new(m(9.0)).unwrap()).is_ok());
}

/// What a controller does to save stack: the tackle stays in the builder, which may take more and be closed again.
#[test]
fn a_tackle_closed_in_its_place_is_the_tackle_built() {
    for usual in Usual::all() {
        let built = usual.build_alike(&layout(), pulley(0.9)).unwrap();
        let mut rig = Builder::new();
        usual.reeve(&mut rig, &layout(), &vec![pulley(0.9); usual.sheaves()]).unwrap();
        assert_eq!(format!("{:?}", rig.close().unwrap()), format!("{built:?}"), "{usual:?}");
        assert_eq!(format!("{:?}", rig.close().unwrap()), format!("{built:?}"), "closed again, {usual:?}");
    }
    let mut rig = Builder::new();
    assert_eq!(rig.close().unwrap_err(), TackleError::NoLoad);
    let load = rig.load_in_line("load", m(10.0)).unwrap();
    let anchor = rig.anchor_in_line("anchor", m(0.0)).unwrap();
    rig.rope("haul", &[RopeStop::End(load), RopeStop::Hand(anchor)]).unwrap();
    assert!((rig.close().unwrap().velocity_ratio().value - 1.0).abs() < 1e-15);
    let block = rig.carrier_in_line("block", m(5.0)).unwrap();
    assert!(matches!(rig.close().unwrap_err(), TackleError::Floats { .. }));
    // A rope that is refused leaves nothing behind; then a slack one to the block, which nothing holds still.
    let strange = rig.rope("bad", &[RopeStop::End(block), RopeStop::End(anchor), RopeStop::Tail(anchor)]);
    assert!(strange.is_err());
    let same_place = rig.anchor_in_line("same place", m(0.0)).unwrap();
    let stops = [
        RopeStop::End(block),
        RopeStop::Sheave(anchor, pulley(0.9)),
        RopeStop::Sheave(same_place, pulley(0.9)),
        RopeStop::Tail(load),
    ];
    assert!(matches!(rig.rope("bad", &stops).unwrap_err(), TackleError::NoLength { .. }));
    assert!(matches!(rig.close().unwrap_err(), TackleError::Floats { .. }));
    rig.rope("tie", &[RopeStop::End(block), RopeStop::End(anchor)]).unwrap();
    let tackle = rig.close().unwrap();
    assert_eq!(tackle.parts().count(), 2);
    assert!((tackle.advantage().unwrap().hauling.value - 1.0).abs() < 1e-15);
}

#[test]
fn a_crew_may_pull_itself_up() {
    // The load holds the hand end: up to the anchor's sheave and back makes a 2:1.
    let mut rig = Builder::new();
    let load = rig.load_in_line("crew", m(10.0)).unwrap();
    let anchor = rig.anchor_in_line("anchor", m(0.0)).unwrap();
    rig.rope("rope", &[RopeStop::End(load), RopeStop::Sheave(anchor, pulley(0.8)), RopeStop::Hand(load)])
        .unwrap();
    let tackle = rig.build().unwrap();
    assert!((tackle.velocity_ratio().value - 2.0).abs() < 1e-15);
    assert!((tackle.advantage().unwrap().hauling.value - 1.8).abs() < 1e-15);
}

#[test]
fn a_part_at_an_angle_gains_less() {
    // A 2:1 whose anchor and hand stand 60° to either side of the load's way: 2·cos 60° = 1.
    let mut rig = Builder::new();
    let half = 3.0_f64.sqrt() / 2.0;
    let at = |x: f64, y: f64| Point3::new(m(x), m(y), m(0.0));
    let out = Direction3::new(share(-1.0), share(0.0), share(0.0)).unwrap();
    let load = rig.load("load", at(10.0, 0.0), out).unwrap();
    let anchor = rig.anchor("anchor", at(5.0, 10.0 * half)).unwrap();
    let crew = rig.anchor("crew", at(5.0, -10.0 * half)).unwrap();
    rig.rope("haul", &[RopeStop::End(anchor), RopeStop::Sheave(load, pulley(0.9)), RopeStop::Hand(crew)])
        .unwrap();
    let tackle = rig.build().unwrap();
    assert!((tackle.velocity_ratio().value - 1.0).abs() < 1e-12);
    let forces = tackle.hauling(n(100.0)).unwrap();
    // The rope turns by 60° there: less loss than over half a turn.
    let sheave = forces.sheaves().next().unwrap();
    assert!((sheave.turn.value - std::f64::consts::PI / 3.0).abs() < 1e-12);
    let eta = pulley(0.9).band(sheave.turn).unwrap().low.value;
    assert!((forces.hand().value - 100.0 / (0.5 + 0.5 * eta)).abs() < 1e-9);
}

#[test]
fn the_search_finds_the_least() {
    let search = |available: f64| TackleSearch::new(n(2000.0), n(available), pulley(0.9), layout()).unwrap();
    assert_eq!(search(2000.0).find(Preference::FewestSheaves).unwrap().usual.ratio, UsualRatio::OneToOne);
    let found = search(400.0).find(Preference::FewestSheaves).unwrap();
    // 5:1 complex and 6:1 have three sheaves; the simple 5:1 has four.
    assert_eq!(found.usual.sheaves(), 3);
    for wanted in [Preference::FewestSheaves, Preference::LeastRope] {
        for available in [300.0, 500.0, 700.0, 900.0, 1200.0, 1999.0] {
            for lead in [true, false] {
                let Ok(found) = search(available).with_lead(lead).find(wanted) else { continue };
                assert!(found.hand.value <= available);
                assert_eq!(found.usual.lead, lead);
                for other in Usual::all().filter(|u| u.lead == lead) {
                    let tackle = other.build_alike(&layout(), pulley(0.9)).unwrap();
                    if tackle.hauling(n(2000.0)).unwrap().hand().value <= available {
                        match wanted {
                            Preference::FewestSheaves => assert!(found.usual.sheaves() <= other.sheaves()),
                            Preference::LeastRope => assert!(found.rope <= tackle.rope_needed()),
                        }
                    }
                }
            }
        }
    }
    let TackleError::NotEnough { least_n } = search(10.0).find(Preference::LeastRope).unwrap_err() else {
        panic!()
    };
    assert!((least_n - 2000.0 / (2.71 * 2.71)).abs() < 1e-9);
}

/// What the search leaves out can't be better: all tackles built and compared one by one, whatever is lost at a sheave.
#[test]
fn the_search_finds_what_trying_all_of_them_finds() {
    let (mut found, mut refused) = (0, 0);
    for step in 0..60 {
        let efficiency = 0.4 + 0.01 * f64::from(step);
        let pulley = pulley(efficiency.min(1.0));
        for lead in [None, Some(false), Some(true)] {
            // In odd steps what one of them needs to the last digit.
            let usual = Usual::all().nth(step as usize % 30).unwrap();
            let exact = usual.build_alike(&layout(), pulley).unwrap().hauling(n(1000.0)).unwrap().hand();
            let available = if step % 2 == 1 { exact } else { n(1000.0 / (0.7 + 0.13 * f64::from(step))) };
            let search = TackleSearch::new(n(1000.0), available, pulley, layout()).unwrap();
            let search = lead.map_or(search, |lead| search.with_lead(lead));
            for wanted in [Preference::FewestSheaves, Preference::LeastRope] {
                let mut least = n(f64::INFINITY);
                let mut best: Option<(f64, f64, Usual)> = None;
                for usual in Usual::all().filter(|usual| lead.is_none_or(|lead| usual.lead == lead)) {
                    let tackle = usual.build_alike(&layout(), pulley).unwrap();
                    let hand = tackle.hauling(n(1000.0)).unwrap().hand();
                    // No tackle gives more than its ideal, which is what lets the search leave some out.
                    assert!(
                        1000.0 / hand.value <= tackle.velocity_ratio().value * (1.0 + 1e-12),
                        "{usual:?}"
                    );
                    least = least.min(hand);
                    let (sheaves, rope) = (usual.sheaves() as f64, tackle.rope_needed().value);
                    let keys =
                        if wanted == Preference::FewestSheaves { (sheaves, rope) } else { (rope, sheaves) };
                    if hand <= available && best.is_none_or(|best| keys < (best.0, best.1)) {
                        best = Some((keys.0, keys.1, usual));
                    }
                }
                match (search.find(wanted), best) {
                    (Ok(of_search), Some((.., usual))) => {
                        found += 1;
                        assert_eq!(of_search.usual, usual, "{efficiency} {available:?} {lead:?} {wanted:?}");
                    }
                    (Err(TackleError::NotEnough { least_n }), None) => {
                        refused += 1;
                        assert_eq!(least_n, least.value);
                    }
                    other => panic!("{other:?}"),
                }
            }
        }
    }
    assert!(found > 100 && refused > 30, "{found} {refused}");
}

#[test]
fn a_carrier_that_no_rope_holds_floats_by_name() {
    let mut rig = Builder::new();
    let anchor = rig.anchor_in_line("anchor", m(0.0)).unwrap();
    let crew = rig.anchor_in_line("crew", m(-1.0)).unwrap();
    let load = rig.load_in_line("load", m(10.0)).unwrap();
    let block = rig.carrier_in_line("block", m(5.0)).unwrap();
    let mut lone = rig.clone();
    lone.rope("haul", &[RopeStop::End(load), RopeStop::Sheave(anchor, pulley(0.9)), RopeStop::Hand(crew)])
        .unwrap();
    let why = lone.build().unwrap_err();
    assert_eq!(
        why.to_string(),
        "\"block\" floats: it can move while the hand holds fast; tie or reeve another rope to it"
    );

    // Load and block share one rope, like two buckets: neither is held.
    rig.rope("haul", &[RopeStop::End(anchor), RopeStop::Sheave(block, pulley(0.9)), RopeStop::Hand(crew)])
        .unwrap();
    assert!(
        matches!(rig.build().unwrap_err(), TackleError::Floats { carrier } if carrier.as_str() == "load")
    );
}

#[test]
fn a_rope_too_many_locks_the_tackle_by_name() {
    let mut rig = Builder::new();
    let anchor = rig.anchor_in_line("anchor", m(0.0)).unwrap();
    let crew = rig.anchor_in_line("crew", m(-1.0)).unwrap();
    let load = rig.load_in_line("load", m(10.0)).unwrap();
    rig.rope("haul", &[RopeStop::End(load), RopeStop::Sheave(anchor, pulley(0.9)), RopeStop::Hand(crew)])
        .unwrap();
    let mut tied = rig.clone();
    tied.rope("tie", &[RopeStop::End(load), RopeStop::End(anchor)]).unwrap();
    assert!(matches!(tied.build().unwrap_err(), TackleError::Locked { .. }));
    // The same rope as a belay that is tailed: fine.
    rig.rope("belay", &[RopeStop::End(load), RopeStop::Tail(anchor)]).unwrap();
    assert!((rig.build().unwrap().velocity_ratio().value - 1.0).abs() < 1e-15);
}

#[test]
fn a_part_that_would_have_to_push_is_named() {
    let mut rig = Builder::new();
    let load = rig.load_in_line("load", m(10.0)).unwrap();
    let crew = rig.anchor_in_line("crew", m(20.0)).unwrap();
    rig.rope("haul", &[RopeStop::End(load), RopeStop::Hand(crew)]).unwrap();
    let why = rig.build().unwrap_err();
    assert_eq!(why.to_string(), "part 1 of rope \"haul\", from \"load\" to \"crew\", would have to push");
}

#[test]
fn a_rope_square_to_the_way_of_its_load_holds_nothing() {
    let mut rig = Builder::new();
    let out = Direction3::new(share(-1.0), share(0.0), share(0.0)).unwrap();
    let load = rig.load("load", Point3::new(m(10.0), m(0.0), m(0.0)), out).unwrap();
    let crew = rig.anchor("crew", Point3::new(m(10.0), m(5.0), m(0.0))).unwrap();
    rig.rope("haul", &[RopeStop::End(load), RopeStop::Hand(crew)]).unwrap();
    assert!(
        matches!(rig.build().unwrap_err(), TackleError::Floats { carrier } if carrier.as_str() == "load")
    );
}

#[test]
fn friction_that_binds_is_named_with_its_direction() {
    // A load that also feeds a part back against itself: with losses the return part wins while lowering.
    let mut rig = Builder::new();
    let anchor = rig.anchor_in_line("anchor", m(0.0)).unwrap();
    let below = rig.anchor_in_line("below", m(20.0)).unwrap();
    let load = rig.load_in_line("load", m(10.0)).unwrap();
    // Two parts up, and the end led down under a sheave below and back to the load from behind would lock; so the
    // hand end itself passes below and pulls the load down by one part while it gains two.
    let rope = [
        RopeStop::End(anchor),
        RopeStop::Sheave(load, pulley(0.5)),
        RopeStop::Sheave(anchor, pulley(0.5)),
        RopeStop::Sheave(below, pulley(0.5)),
    ];
    let mut path = rope.to_vec();
    path.push(RopeStop::Hand(load));
    rig.rope("haul", &path).unwrap();
    let tackle = rig.build().unwrap();
    assert!((tackle.velocity_ratio().value - 1.0).abs() < 1e-12);
    // From the hand at 1: before "below" 0.5, at the load 0.5·0.5 and 0.5·0.5·0.5: less than the 1 that pulls down.
    let why = tackle.hauling(n(1.0)).unwrap_err();
    assert!(matches!(why, TackleError::Binds { motion: Motion::Hauling, .. }), "{why}");
    assert!(tackle.lowering(n(1.0)).is_ok());
}

#[test]
fn bad_input_is_refused_by_name() {
    let mut rig = Builder::new();
    let load = rig.load_in_line("load", m(10.0)).unwrap();
    let anchor = rig.anchor_in_line("anchor", m(0.0)).unwrap();
    let crew = rig.anchor_in_line("crew", m(-1.0)).unwrap();
    assert!(rig.anchor_in_line("", m(0.0)).unwrap_err().to_string().contains("name_length is 0 bytes"));
    assert!(rig.anchor_in_line("a name that is far too long", m(0.0)).is_err());
    assert!(
        rig.anchor_in_line("nowhere", m(f64::NAN)).unwrap_err().to_string().contains("carrier_at is NaN")
    );
    assert!(matches!(rig.load_in_line("other", m(5.0)).unwrap_err(), TackleError::SecondLoad { .. }));

    let one = |stops: &[RopeStop]| rig.clone().rope("rope", stops).unwrap_err();
    assert!(matches!(one(&[]), TackleError::WrongStop { .. }));
    assert!(matches!(one(&[RopeStop::End(load)]), TackleError::WrongStop { .. }));
    let why = one(&[RopeStop::End(load), RopeStop::End(anchor), RopeStop::Hand(crew)]);
    assert!(why.to_string().starts_with("stop 2 of rope \"rope\" must be a sheave"), "{why}");
    assert!(matches!(
        one(&[RopeStop::Sheave(load, pulley(0.9)), RopeStop::Hand(crew)]),
        TackleError::WrongStop { stop: 1, .. }
    ));
    let why = one(&[RopeStop::End(load), RopeStop::Sheave(load, pulley(0.9)), RopeStop::Hand(crew)]);
    assert!(why.to_string().contains("has no length: draw \"load\" and \"load\" apart"), "{why}");
    let mut larger = rig.clone();
    let strange = larger.anchor_in_line("another", m(3.0)).unwrap();
    assert!(matches!(
        one(&[RopeStop::End(load), RopeStop::Hand(strange)]),
        TackleError::StrangeCarrier { stop: 2, .. }
    ));
    let many = vec![RopeStop::Sheave(anchor, pulley(0.9)); 60];
    assert!(matches!(
        one(&[&[RopeStop::End(load)], &many[..], &[RopeStop::Hand(crew)]].concat()),
        TackleError::TooMany { .. }
    ));

    assert_eq!(Builder::new().build().unwrap_err(), TackleError::NoLoad);
    assert_eq!(rig.clone().build().unwrap_err(), TackleError::NoHand);
    let mut two = rig.clone();
    two.rope("one", &[RopeStop::End(load), RopeStop::Hand(crew)]).unwrap();
    two.rope("two", &[RopeStop::End(load), RopeStop::Hand(crew)]).unwrap();
    assert!(matches!(two.build().unwrap_err(), TackleError::SecondHand { rope } if rope.as_str() == "two"));
    let mut free = rig.clone();
    free.rope("free", &[RopeStop::Tail(anchor), RopeStop::Sheave(load, pulley(0.9)), RopeStop::Hand(crew)])
        .unwrap();
    assert!(matches!(free.build().unwrap_err(), TackleError::Untied { .. }));

    let tackle = Usual::new(UsualRatio::ThreeToOne).build_alike(&layout(), pulley(0.9)).unwrap();
    for bad in [-1.0, f64::NAN, f64::INFINITY, 1e16] {
        assert!(tackle.hauling(n(bad)).is_err());
        assert!(tackle.throw(m(bad)).is_err());
        assert!(CyclePlan::new(m(bad)).is_err());
        assert!(Layout::new(m(bad), m(1.0)).is_err());
        assert!(Layout::new(m(10.0), m(bad)).is_err());
        assert!(TackleSearch::new(n(bad), n(1.0), pulley(0.9), layout()).is_err());
    }
    assert!(Layout::new(m(10.0), m(10.0)).is_err());
    assert!(matches!(tackle.throw(m(10.0)).unwrap_err(), TackleError::NoThrow { .. }));
    let plan = CyclePlan::new(m(30.0)).unwrap().with_setback(m(10.0)).unwrap();
    assert!(matches!(tackle.cycle(&plan).unwrap_err(), TackleError::NoProgress { .. }));
    let few = Usual::new(UsualRatio::ThreeToOne).build(&layout(), &[pulley(0.9)]);
    assert_eq!(few.unwrap_err(), TackleError::Pulleys { needed: 2, given: 1 });
    let lead = Usual::new(UsualRatio::FiveToOneComplex).with_lead().build_alike(&layout(), pulley(0.9));
    assert_eq!(lead.unwrap_err(), TackleError::NoLead);
}

#[cfg(feature = "serde")]
mod as_text {
    use super::{Turn, m, n, pulley, share};
    use rope_mechanics::geometry::{Direction3, Point3};
    use rope_mechanics::tackle::{Builder, RopeStop, SpecError, TackleError, TackleSpec};

    /// A rope out of line, over a pulley and a bar.
    const SPEC: &str = r#"
        carrier = [
            { name = "load", kind = "load", x = "10 m", towards = "anchor" },
            { name = "anchor", kind = "anchor", x = "0 m", z = "5 m" },
            { name = "crew", kind = "anchor", x = "-3 m", y = "2 m" },
        ]
        [[rope]]
        name = "haul"
        stops = [
            { end = "anchor" },
            { sheave = { at = "load", efficiency = "90 %" } },
            { bar = { at = "anchor", friction-raising = "20 %", friction-lowering = "15 %" } },
            { hand = "crew" },
        ]
    "#;

    fn changed(from: &str, to: &str) -> Result<TackleSpec, toml::de::Error> {
        assert!(SPEC.contains(from));
        toml::from_str(&SPEC.replace(from, to))
    }

    #[test]
    fn a_tackle_from_text_is_the_tackle_built_by_hand() {
        let spec: TackleSpec = toml::from_str(SPEC).unwrap();
        let mut rig = Builder::new();
        let at = |x, y, z| Point3::new(m(x), m(y), m(z));
        let anchor = rig.anchor("anchor", at(0.0, 0.0, 5.0)).unwrap();
        let heading = Direction3::between(at(10.0, 0.0, 0.0), at(0.0, 0.0, 5.0)).unwrap();
        let load = rig.load("load", at(10.0, 0.0, 0.0), heading).unwrap();
        let crew = rig.anchor("crew", at(-3.0, 2.0, 0.0)).unwrap();
        let bar = Turn::bar(share(0.2), share(0.15)).unwrap();
        rig.rope(
            "haul",
            &[
                RopeStop::End(anchor),
                RopeStop::Sheave(load, pulley(0.9)),
                RopeStop::Sheave(anchor, bar),
                RopeStop::Hand(crew),
            ],
        )
        .unwrap();
        let (by_text, by_hand) = (spec.build().unwrap(), rig.build().unwrap());
        assert_eq!(by_text.hauling(n(1e3)).unwrap().hand(), by_hand.hauling(n(1e3)).unwrap().hand());
        assert_eq!(by_text.lowering(n(1e3)).unwrap().hand(), by_hand.lowering(n(1e3)).unwrap().hand());

        let back: TackleSpec = serde_json::from_str(&serde_json::to_string(&spec).unwrap()).unwrap();
        assert_eq!(back, spec);
        let back: TackleSpec = toml::from_str(&toml::to_string(&spec).unwrap()).unwrap();
        assert_eq!(back, spec);
    }

    #[test]
    fn what_is_wrong_in_a_text_is_named() {
        let why = |from, to| changed(from, to).unwrap().build().unwrap_err();
        assert!(
            matches!(why("hand = \"crew\"", "hand = \"crow\""), SpecError::Unknown { name, .. } if name == "crow")
        );
        assert!(
            matches!(why("towards = \"anchor\"", "towards = \"moon\""), SpecError::Unknown { name, .. } if name == "moon")
        );
        assert!(
            matches!(why("name = \"crew\"", "name = \"anchor\""), SpecError::Twice { name } if name == "anchor")
        );
        let value = why("efficiency = \"90 %\"", "efficiency = \"110 %\"");
        assert_eq!(value.to_string(), "haul: sheave_efficiency is 1.1, but must be at most 1");
        assert_eq!(why("kind = \"load\"", "kind = \"free\""), SpecError::Tackle(TackleError::NoLoad));
        assert!(
            matches!(why("towards = \"anchor\"", "towards = \"load\""), SpecError::Value { at, .. } if at == "load")
        );
        // A length without its unit, and a key that isn't there.
        assert!(changed("x = \"10 m\"", "x = 10").is_err());
        assert!(changed("x = \"10 m\"", "x = \"10 m\", w = 1").is_err());
    }
}

/// Reeved without any thought. The first rope starts at the load and ends in the hand; the rest as they come.
fn at_random(
    carriers: Vec<(u8, [f64; 3], bool)>,
    ropes: Vec<Vec<(u8, prop::sample::Index, f64)>>,
) -> Result<(Tackle, CarrierId), TackleError> {
    let mut rig = Builder::new();
    let out =
        |back: bool| Direction3::new(share(if back { 1.0 } else { -1.0 }), share(0.0), share(0.0)).unwrap();
    let mut ids = vec![
        rig.load("load", Point3::new(m(25.0), m(0.0), m(0.0)), out(false))?,
        rig.anchor("anchor", Point3::new(m(-25.0), m(0.0), m(0.0)))?,
    ];
    for (i, (kind, [x, y, z], back)) in carriers.into_iter().enumerate() {
        let at = Point3::new(m(x), m(y), m(z));
        ids.push(match kind {
            0 => rig.carrier(&format!("free {i}"), at, out(back))?,
            _ => rig.anchor(&format!("anchor {i}"), at)?,
        });
    }
    for (i, stops) in ropes.iter().enumerate() {
        let last = stops.len() - 1;
        let mut path = Vec::new();
        for (k, (kind, at, efficiency)) in stops.iter().enumerate() {
            let at = ids[at.index(ids.len())];
            path.push(match (k == 0 || k == last, kind) {
                (true, _) if i == 0 && k == 0 => RopeStop::End(ids[0]),
                (true, _) if i == 0 => RopeStop::Hand(at),
                (true, 0) => RopeStop::Tail(at),
                (true, _) => RopeStop::End(at),
                (false, 0) => RopeStop::Grab(at),
                (false, 1) => RopeStop::Capture(at, pulley(*efficiency)),
                (false, _) => RopeStop::Sheave(at, pulley(*efficiency)),
            });
        }
        rig.rope(&format!("rope {i}"), &path)?;
    }
    Ok((rig.build()?, ids[0]))
}

#[test]
fn a_tackle_drawn_at_random_is_balanced_or_refused_with_a_reason() {
    use proptest::strategy::ValueTree;
    let carriers = prop::collection::vec((0u8..3, [-20.0..20.0, -3.0..3.0, -3.0..3.0], any::<bool>()), 0..5);
    let stop = (0u8..6, any::<prop::sample::Index>(), 0.3..1.0);
    let drawn = (carriers, prop::collection::vec(prop::collection::vec(stop, 2..7), 1..4));
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let (mut built, mut held, mut refused) = (0, 0, std::collections::BTreeSet::new());
    for _ in 0..20_000 {
        let (carriers, ropes) = drawn.new_tree(&mut runner).unwrap().current();
        let (tackle, load) = match at_random(carriers, ropes) {
            Ok(found) => found,
            Err(why) => {
                refused.insert(format!("{why:?}").split([' ', '(']).next().unwrap().to_owned());
                continue;
            }
        };
        built += 1;
        assert!(tackle.velocity_ratio().value > 0.0);
        let ideal = tackle.without_losses(n(1000.0)).unwrap();
        // What the hand pulls through, the load gains.
        assert!((ideal.hand().value * tackle.velocity_ratio().value / 1000.0 - 1.0).abs() < 1e-9);
        let (up, down) = (tackle.hauling(n(1000.0)), tackle.lowering(n(1000.0)));
        if let (Ok(up), Ok(down)) = (&up, &down) {
            assert!(up.hand().value >= ideal.hand().value * (1.0 - 1e-9));
            assert!(down.hand().value <= ideal.hand().value * (1.0 + 1e-9));
        }
        let hold = tackle.held(n(1000.0));
        held += usize::from(hold.is_ok());
        for forces in [up, down, hold].into_iter().flatten().chain([ideal]) {
            assert!(forces.report().residual < 1e-11);
            assert!(forces.parts().all(|p| p.tension.value >= 0.0 && p.tension.value.is_finite()));
            assert!((forces.on(load).x.value + 1000.0).abs() < 1e-7, "{}", forces.on(load).x.value);
        }
    }
    // The test is about something.
    assert!(built > 1000 && held > 100, "{built} built, {held} held");
    for reason in ["Floats", "Locked", "Pushes", "NoLength"] {
        assert!(refused.contains(reason), "{refused:?}");
    }
}
