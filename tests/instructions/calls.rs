//! The calls whose instructions `tests/instructions/run` counts: each is a function of its own, so that callgrind
//! finds it by its name.
//!
//! It fails if one of them is refused.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "what can't be counted has failed"
)]

use rope_checks::line::{Case, Random, extreme, ordinary};
use rope_mechanics::arrest::{Holding, hand_over};
use rope_mechanics::carriage::{CarriageState, HaulRope, Held, Load, Support, Track, rolling};
use rope_mechanics::frame::{Frame, Guy, Leg};
use rope_mechanics::geometry::{Point2, Point3, Profile};
use rope_mechanics::line::LineState;
use rope_mechanics::line::elastic::{ElasticLine, ElasticSpan, End};
use rope_mechanics::line::many::{Answers, LineStatus, Lines};
use rope_mechanics::quantity::unit::{meter, newton, ratio};
use rope_mechanics::quantity::{Angle, Force, Length, LineWeight, Ratio};
use rope_mechanics::rig::{Change, FreePoint, Rig, RopeRun, RopeSupply, Solution};
use rope_mechanics::rope::Stretch;
use rope_mechanics::sheave::Turn;
use rope_mechanics::tackle::{Found, Layout, Preference, TackleSearch};
use std::cell::RefCell;
use std::hint::black_box;

fn m(x: f64) -> Length {
    Length::new::<meter>(x)
}

fn n(x: f64) -> Force {
    Force::new::<newton>(x)
}

fn n_per_m(x: f64) -> LineWeight {
    n(x) / m(1.0)
}

fn at(x: f64, z: f64) -> Point2 {
    Point2::new(m(x), m(z))
}

/// Functions that are not merged with what calls them.
macro_rules! counted {
    ($($name:ident($case:ident: $of:ty) -> $answer:ty $body:block)*) => { $(
        #[inline(never)]
        fn $name($case: $of) -> $answer $body
    )* };
}

counted! {
    line_new_and_solve(case: &Case) -> LineState { case.line().solve().unwrap() }
    line_solved_twice(case: &Case) -> (LineState, LineState) {
        (case.line().solve().unwrap(), black_box(case).line().solve().unwrap())
    }
    line_solve_extreme(line: &ElasticLine) -> LineState { line.solve().unwrap() }
    line_solve_robust(line: &ElasticLine) -> LineState { line.solve_robust().unwrap() }
    line_solve_stiffening(line: &ElasticLine) -> LineState { line.solve().unwrap() }
    lines_of_a_thousand(lines: &Lines<'_>) -> usize {
        let mut status = [LineStatus::Unsolved; 1000];
        let mut tensions = [[n(0.0); 1000]; 2];
        let [first, last] = &mut tensions;
        let mut answers = Answers::new(&mut status).first_tension(first).last_tension(last);
        lines.solve(&mut answers).unwrap()
    }
    line_sag(state: &LineState) -> Length { state.sag() }
    line_lowest_point(state: &LineState) -> Point2 { state.lowest_point() }
    line_stretched_length(state: &LineState) -> Length { state.stretched_length() }
    length_for_tension(asked: &(ElasticSpan, Force)) -> Length {
        asked.0.length_for_tension(End::First, asked.1).unwrap()
    }
    length_for_tension_stiffening(asked: &(ElasticSpan, Force)) -> Length {
        asked.0.length_for_tension(End::First, asked.1).unwrap()
    }
    length_for_sag(asked: &(ElasticSpan, Length)) -> Length { asked.0.length_for_sag(asked.1).unwrap() }
    length_for_sag_stiffening(asked: &(ElasticSpan, Length)) -> Length { asked.0.length_for_sag(asked.1).unwrap() }
    carriage_rolling(asked: &(Track, Load)) -> CarriageState { rolling(&asked.0, &asked.1).unwrap() }
    carriage_held(asked: &(Held, Length)) -> CarriageState { asked.0.at_x(asked.1).unwrap() }
    carriage_held_warm(asked: &(Held, Length, CarriageState)) -> CarriageState {
        asked.0.at_x_from(asked.1, &asked.2).unwrap()
    }
    carriage_that_would_push(asked: &(Held, Length)) -> bool { asked.0.at_x(asked.1).is_err() }
    carriage_at_height(asked: &(Held, &Profile<'_>, Length)) -> CarriageState {
        asked.0.at_height_above(asked.1, asked.2, Support::Head).unwrap()
    }
    tackle_find(search: &TackleSearch) -> Found { search.find(Preference::FewestSheaves).unwrap() }
    frame_cone_edge(asked: &(Frame, Angle)) -> bool { asked.0.cone_edge(asked.1, n(5000.0)).unwrap().bears.is_some() }
    arrest_hand_over(asked: &[Holding; 2]) -> bool { hand_over(n(1363.0), asked).is_ok() }
    rig_node(rig: &Rig) -> bool { rig.solve().is_ok() }
    rig_chain(rig: &Rig) -> u32 { rig.solve().unwrap().record().iterations }
    rig_node_again(asked: &(RefCell<Solution>, Change)) -> bool { again(asked) > 0 }
    rig_chain_again(asked: &(RefCell<Solution>, Change)) -> u32 { again(asked) }
}

fn each<T, A>(cases: &[T], call: impl Fn(&T) -> A) {
    assert!(!cases.is_empty());
    for case in cases {
        black_box(call(black_box(case)));
    }
}

/// Lines that stiffen, to 20 % of strain.
fn stiffening(case: &Case) -> Option<ElasticLine> {
    let stretch = Stretch::stiffening(n(case.axial_n), n(4.0 * case.axial_n)).unwrap();
    ElasticLine::new(m(case.span_m), m(case.rise_m), m(case.length_m), n_per_m(case.weight_n_per_m), stretch)
        .ok()
}

fn span(case: &Case, b: f64) -> ElasticSpan {
    let stretch = Stretch::stiffening(n(case.axial_n), n(b * case.axial_n)).unwrap();
    ElasticSpan::new(m(case.span_m), m(case.rise_m), n_per_m(case.weight_n_per_m), stretch).unwrap()
}

fn lines() {
    let mut random = Random::new(11);
    let cases: Vec<Case> = (0..1000).map(|_| ordinary(&mut random)).collect();
    each(&cases, line_new_and_solve);
    each(&cases, line_solved_twice);
    let extremes: Vec<ElasticLine> = (0..1000).map(|_| extreme(&mut random).line()).collect();
    each(&extremes, line_solve_extreme);
    let ordinaries: Vec<ElasticLine> = cases.iter().map(Case::line).collect();
    each(&ordinaries, line_solve_robust);
    let spans: Vec<Length> = cases.iter().map(|case| m(case.span_m)).collect();
    let rises: Vec<Length> = cases.iter().map(|case| m(case.rise_m)).collect();
    let lengths: Vec<Length> = cases.iter().map(|case| m(case.length_m)).collect();
    let weights: Vec<LineWeight> = cases.iter().map(|case| n_per_m(case.weight_n_per_m)).collect();
    let stretches: Vec<Stretch> =
        cases.iter().map(|case| Stretch::linear(n(case.axial_n)).unwrap()).collect();
    let lines = Lines::new(&spans, &rises, &lengths, &weights, &stretches).unwrap();
    each(&[lines], lines_of_a_thousand);
    let stiff: Vec<ElasticLine> = cases.iter().filter_map(stiffening).take(200).collect();
    each(&stiff, line_solve_stiffening);
    let states: Vec<LineState> = ordinaries.iter().map(|line| line.solve().unwrap()).collect();
    each(&states, line_sag);
    each(&states, line_lowest_point);
    each(&states, line_stretched_length);
    let asked = |b: f64| {
        let mut tensions = Vec::new();
        let mut sags = Vec::new();
        for case in cases.iter().take(400) {
            let span = span(case, b);
            let state = span.with_length(m(case.length_m)).unwrap().solve().unwrap();
            sags.push((span, state.sag()));
            if span.length_for_tension(End::First, state.first_tension()).is_ok() {
                tensions.push((span, state.first_tension()));
            }
        }
        (tensions, sags)
    };
    let (tensions, sags) = asked(0.0);
    each(&tensions, length_for_tension);
    each(&sags, length_for_sag);
    let (tensions, sags) = asked(4.0);
    each(&tensions, length_for_tension_stiffening);
    each(&sags, length_for_sag_stiffening);
}

/// Twenty tracks of 20 to 300 m, as in `rope-mechanics/benches/carriage.rs`; the haul point behind the head, or
/// between the supports, where a carriage on the way to it would push.
fn carriages() {
    let (mut rolls, mut held, mut warm, mut pushed) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    let mut heights = Vec::new();
    let points = [at(-1.0, -400.0), at(400.0, -401.0)];
    let ground = Profile::new(&points).unwrap();
    for i in 0..20 {
        let (span, fall) = (20.0 + 14.0 * f64::from(i), -0.05 * f64::from(i % 15));
        let stretch = Stretch::stiffening(n(5e4), n(1e5 * f64::from(i % 3))).unwrap();
        let length = m(span.hypot(fall * span) * (0.99 + 0.002 * f64::from(i % 7)));
        let track = Track::new(at(0.0, 0.0), at(span, fall * span), length, n_per_m(1.7), stretch).unwrap();
        let load = Load::new(n(2400.0)).unwrap();
        if rolling(&track, &load).is_ok() {
            rolls.push((track, load));
        }
        let from_head = Held::new(track, load, HaulRope::new(at(-1.0, 2.0)).unwrap());
        let from_between = Held::new(track, load, HaulRope::new(at(0.6 * span, 2.0)).unwrap());
        let mut nearby: Option<CarriageState> = None;
        for j in 1..=10 {
            let x = m(span * f64::from(j) / 11.0);
            if let Ok(state) = from_head.at_x(x) {
                held.push((from_head, x));
                if let Some(nearby) = nearby {
                    warm.push((from_head, x, nearby));
                }
                nearby = Some(state);
                let above = state.position.z - ground.height(x).unwrap();
                if from_head.at_height_above(&ground, above, Support::Head).is_ok() {
                    heights.push((from_head, &ground, above));
                }
            }
            if from_between.at_x(x).is_err() {
                pushed.push((from_between, x));
            }
        }
    }
    each(&rolls, carriage_rolling);
    each(&held, carriage_held);
    each(&warm, carriage_held_warm);
    each(&pushed, carriage_that_would_push);
    each(&heights, carriage_at_height);
}

fn devices() {
    let layout = Layout::new(m(40.0), m(10.0)).unwrap();
    let pulley = Turn::sheave(Ratio::new::<ratio>(0.9)).unwrap();
    let searches: Vec<TackleSearch> = (0..5)
        .map(|i| TackleSearch::new(n(2000.0), n(800.0 - 100.0 * f64::from(i)), pulley, layout).unwrap())
        .collect();
    each(&searches, tackle_find);
    let point = |x: f64, y: f64, z: f64| Point3::new(m(x), m(y), m(z));
    let leg = |x: f64, y: f64| Leg::new(point(x, y, 0.0)).unwrap().with_strength(n(9000.0), m(2.8)).unwrap();
    let guy = Guy::new(point(-6.0, 0.0, 0.0)).unwrap().with_strength(n(12_000.0)).unwrap();
    let legs = [leg(1.2, 0.0), leg(-0.6, 1.04), leg(-0.6, -1.04)];
    let frame = Frame::new(point(0.0, 0.0, 2.5), &legs, &[guy]).unwrap().hobbled_around().unwrap();
    let sides: Vec<(Frame, Angle)> =
        (0..8).map(|i| (frame, Angle::from(Ratio::new::<ratio>(0.78 * f64::from(i))))).collect();
    each(&sides, frame_cone_edge);
    let rope = Stretch::stiffening(n(6e4), n(2e5)).unwrap();
    let holding: Vec<[Holding; 2]> = (0..10)
        .map(|i| {
            let belay = Holding::slack(rope, m(40.0), m(0.1 * f64::from(i))).unwrap();
            [belay, Holding::taut(rope, m(30.0), n(200.0)).unwrap()]
        })
        .collect();
    each(&holding, arrest_hand_over);
}

/// A solution of which one rope is let out by a centimetre or hauled in again.
fn in_turn(rig: &Rig) -> Vec<(RefCell<Solution>, Change)> {
    let rope = rig.ropes().next().unwrap();
    [0.01, -0.01]
        .map(|by| {
            let mut solution = rig.solve().unwrap();
            // The first time it makes its room.
            solution.resolve(&[]).unwrap();
            (RefCell::new(solution), Change::Length(rope, m(by)))
        })
        .into()
}

#[inline(always)]
fn again((solution, change): &(RefCell<Solution>, Change)) -> u32 {
    let mut solution = solution.borrow_mut();
    solution.resolve(&[*change]).unwrap();
    solution.certificate().iterations
}

/// Three ropes to a loaded node, and a cable with five loads.
fn rigs() {
    let rope = Stretch::linear(n(40e3)).unwrap();
    let mut node = Rig::new();
    let load = node.point("load", FreePoint::anywhere().with_weight(n(2000.0))).unwrap();
    for (i, (x, y, l)) in [(0.0, 0.0, 9.0), (10.0, 0.0, 8.5), (4.0, 8.0, 9.5)].into_iter().enumerate() {
        let top = node.fixed(&format!("top {i}"), Point3::new(m(x), m(y), m(5.0))).unwrap();
        let run = RopeRun::new(rope, RopeSupply::Length(m(l)), top, load).with_weight(n_per_m(1.0));
        node.rope(&format!("rope {i}"), run).unwrap();
    }
    each(&[node.clone()], rig_node);
    each(&in_turn(&node), rig_node_again);
    let mut chain = Rig::new();
    let mut before = chain.fixed("left", Point3::new(m(0.0), m(0.0), m(0.0))).unwrap();
    for i in 1..=6 {
        let next = if i == 6 {
            chain.fixed("right", Point3::new(m(100.0), m(0.0), m(5.0))).unwrap()
        } else {
            chain.point(&format!("load {i}"), FreePoint::anywhere().with_weight(n(700.0))).unwrap()
        };
        let run = RopeRun::new(rope, RopeSupply::Length(m(17.5)), before, next).with_weight(n_per_m(1.0));
        chain.rope(&format!("part {i}"), run).unwrap();
        before = next;
    }
    each(&[chain.clone()], rig_chain);
    each(&in_turn(&chain), rig_chain_again);
}

fn main() {
    lines();
    carriages();
    devices();
    rigs();
}
