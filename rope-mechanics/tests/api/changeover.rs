//! The load taken over at the head: from the track to haul and belay rope, and in to the road.

use rope_mechanics::bridle::{Bridle, BridleRope};
use rope_mechanics::frame::{Frame, HeadPull, Leg, resultant};
use rope_mechanics::geometry::{Direction3, Point3};
use rope_mechanics::operation::changeover::{
    Changeover, ChangeoverStep, EventKind, LitterLies, LoadRope, PulledInBy, PullsIn, StageKind, Swing,
};
use rope_mechanics::operation::site::{LitterWay, PullingIn, Site, TrackSetting};
use rope_mechanics::operation::study::{Study, WarningKind};
use rope_mechanics::operation::{self, Asked};
use rope_mechanics::quantity::unit::{kilonewton, meter, newton};
use rope_mechanics::quantity::{Force, Length, LineMass, Ratio};
use rope_mechanics::rope::Stretch;
use rope_mechanics::sheave::Turn;
use std::ops::ControlFlow;

const REFERENCE: &str = include_str!("../../../tests/sites/reference.toml");
const DEMO: &str = include_str!("../../../examples/preplan-report/demo.toml");

fn site(text: &str) -> Site {
    toml::from_str(text).unwrap()
}

fn text<Q: rope_mechanics::text::Text>(text: &str) -> Q {
    Q::from_text(text).unwrap()
}

fn m(value: f64) -> Length {
    Length::new::<meter>(value)
}

fn n(value: f64) -> Force {
    Force::new::<newton>(value)
}

fn ratio(value: f64) -> Ratio {
    Ratio::new::<rope_mechanics::quantity::unit::ratio>(value)
}

fn point(x: f64, y: f64, z: f64) -> Point3 {
    Point3::new(m(x), m(y), m(z))
}

fn study(site: &Site) -> Study {
    let asked = Asked::PLAIN.with_changeover(true);
    match operation::solve_asked(site, &asked, |_, _| ControlFlow::<()>::Continue(())).unwrap() {
        ControlFlow::Continue(study) => study,
        ControlFlow::Break(()) => unreachable!(),
    }
}

fn changeover(site: &Site) -> Changeover {
    let study = study(site);
    let said: Vec<_> = study.warnings.iter().map(|warning| warning.text.clone()).collect();
    study.changeover.unwrap_or_else(|| panic!("{said:?}"))
}

fn of(changeover: &Changeover, kind: StageKind) -> impl Iterator<Item = &ChangeoverStep> {
    changeover.steps.iter().filter(move |step| step.stage == kind)
}

/// Of a load, from the base: x, y, z in metres.
fn at(step: &ChangeoverStep) -> [f64; 3] {
    [step.load.x, step.load.y, step.load.z].map(|part| part.value)
}

fn distance(a: [f64; 3], b: [f64; 3]) -> f64 {
    a.iter().zip(b).map(|(a, b)| (a - b) * (a - b)).sum::<f64>().sqrt()
}

#[test]
fn it_begins_where_the_travel_ends_and_nothing_jumps_where_one_stage_ends() {
    for file in [DEMO, REFERENCE] {
        let study = study(&site(file));
        let last = study.positions.last().unwrap();
        let found = study.changeover.unwrap();
        let first = &found.steps[0];
        let base = study.base;
        assert!((first.load.x - (last.carriage.x - base.x)).value.abs() < 1e-9);
        assert!((first.load.z - (last.carriage.z - base.z)).value.abs() < 1e-9);
        assert!((first.haul.expected - last.haul_pull).value.abs() < 1e-9 * last.haul_pull.value);
        assert!((first.strand_tension_head.expected - last.strand_tension_head).value.abs() < 1e-6);
        assert!((first.winch_pull - last.winch_pull).value.abs() < 1e-6);
        assert!(first.track_out.unwrap().value.abs() < 1e-9);
        // Margin and members are those of the position, to rounding.
        let (frame, of_position) = (first.frame.as_ref().unwrap(), last.frame.as_ref().unwrap());
        assert!((frame.margin - of_position.margin).value.abs() < 1e-9);
        for (force, there) in first.forces.iter().zip(&last.forces) {
            assert!((*force - *there).value.abs() < 1e-6 * there.value.max(1.0), "{force:?} {there:?}");
        }
        // Hauled up, then the track let down from the same place.
        let up = of(&found, StageKind::HaulUp).last().unwrap();
        let down = of(&found, StageKind::LetDown).next().unwrap();
        assert!(distance(at(up), at(down)) < 1e-9, "{:?} {:?}", at(up), at(down));
        assert!((up.haul.expected - down.haul.expected).value.abs() < 1e-6);
        assert!((up.strand_tension_head.expected - down.strand_tension_head.expected).value.abs() < 1e-6);
        assert!(down.track_out.unwrap().value.abs() < 1e-9);
        assert!(found.residual < 1e-11);
    }
}

#[test]
fn one_that_ends_its_travel_near_enough_is_not_hauled_up() {
    let mut near = site(REFERENCE);
    near.travel.end = Some(text("1 m"));
    let study = study(&near);
    let last = study.positions.last().unwrap().clone();
    let found = study.changeover.unwrap();
    assert_eq!(of(&found, StageKind::HaulUp).count(), 1);
    assert_eq!(found.rope, last.haul_length);
    let down = of(&found, StageKind::LetDown).next().unwrap();
    assert!((down.load.x - last.carriage.x).value.abs() < 1e-9);
    assert!((down.haul.expected - last.haul_pull).value.abs() < 1e-6);
}

#[test]
fn at_the_end_the_haul_rope_has_all_of_the_load() {
    let site = site(REFERENCE);
    let weight = site.model().unwrap().weight();
    let found = changeover(&site);
    let plumb = of(&found, StageKind::LetDown).last().unwrap();
    assert!((plumb.haul.expected - weight).value.abs() < 1e-9 * weight.value);
    assert!(plumb.load.x.value.abs() < 1e-12 && !plumb.ropes.contains(&LoadRope::Track));
    // The haul rope takes over what the track gives up, without a step back.
    let pulls: Vec<_> = of(&found, StageKind::LetDown).map(|step| step.haul.expected).collect();
    assert!(pulls.is_sorted());
    let tensions: Vec<_> =
        of(&found, StageKind::LetDown).map(|step| step.strand_tension_head.expected).collect();
    assert!(tensions.is_sorted_by(|a, b| a > b));
    // Its stretch: the whole rope to the winch, by hand from N = (r + b)/(1 + P/EA).
    let first = of(&found, StageKind::LetDown).next().unwrap();
    let behind =
        distance([0.0, 0.0, 3.2], [-0.3, -0.8, 0.4]) + distance([-0.3, -0.8, 0.4], [-7.0, -2.0, 0.9]);
    let unstretched = (first.haul_length.value + behind) / (1.0 + first.haul.expected.value / 80e3);
    let by_hand = unstretched * (1.0 + weight.value / 80e3) - behind;
    assert!((plumb.haul_length.value - by_hand).abs() < 1e-9, "{} {by_hand}", plumb.haul_length.value);
    // P + 2·(W − P)
    let low = first.haul.low;
    assert!((found.hand_over.shock - (2.0 * weight - low)).value.abs() < 1e-9);
}

#[test]
fn two_ropes_in_a_v_share_by_half_the_angle() {
    // A rope from the head and one from a point as high, 4 m behind it; the load in the middle, 1.5 m below.
    let swing =
        Swing::new(point(0.0, 0.0, 3.0), n(1000.0), PullsIn::RopeFrom(point(-4.0, 0.0, 3.0))).unwrap();
    let held = swing.at(2.0, 1.5).unwrap();
    // T = W/(2·cos α/2), cos α/2 = 1.5/2.5
    let by_hand = 1000.0 / (2.0 * 1.5 / 2.5);
    assert!((held.haul.value - by_hand).abs() < 1e-9 && (held.inward.value - by_hand).abs() < 1e-9);
    assert!(held.residual < 1e-15);
    // By hand: W/cos ψ and W·tan ψ.
    let hands = Swing::new(point(0.0, 0.0, 3.0), n(1000.0), PullsIn::Hands).unwrap().at(2.0, 1.5).unwrap();
    assert!((hands.haul.value - 1000.0 * 2.5 / 1.5).abs() < 1e-9);
    assert!((hands.inward.value - 1000.0 * 2.0 / 1.5).abs() < 1e-9);
    assert_eq!(hands.load, point(-2.0, 0.0, 1.5));
    // Below the head nothing pulls.
    let plumb = swing.at(0.0, 1.0).unwrap();
    assert_eq!((plumb.haul, plumb.inward), (n(1000.0), n(0.0)));
}

#[test]
fn a_load_above_the_line_of_its_ropes_is_not_held() {
    let swing =
        Swing::new(point(0.0, 0.0, 3.0), n(1000.0), PullsIn::RopeFrom(point(-4.0, 0.0, 1.0))).unwrap();
    // The line from head to place is 2 m high half way.
    assert!(swing.at(2.0, 1.9).is_some() && swing.at(2.0, 2.1).is_none());
    assert!(swing.at(-0.5, 1.0).is_none(), "outward of the head a pull in does not hold");
    assert!(swing.at(4.5, 0.5).is_none(), "nor beyond the place");
    for (head, weight, from) in [
        (3.0, 0.0, -4.0),
        (f64::NAN, 1.0, -4.0),
        (3.0, f64::INFINITY, -4.0),
        (3.0, 1.0, 0.5),
        (3.0, 1.0, f64::NAN),
    ] {
        assert!(
            Swing::new(point(0.0, 0.0, head), n(weight), PullsIn::RopeFrom(point(from, 0.0, 1.0))).is_err()
        );
    }
}

/// Where two circles meet, the lower place: of radius a around (0, h), of b around (−d, k).
fn circles([h, a]: [f64; 2], [d, k, b]: [f64; 3]) -> (f64, f64) {
    let (ux, uz) = (-d, k - h);
    let c = ux.hypot(uz);
    let along = (a * a - b * b + c * c) / (2.0 * c);
    let off = (a * a - along * along).sqrt();
    // Square to the line between both, downwards.
    (ux / c * along - uz / c * off, h + uz / c * along + ux / c * off)
}

#[test]
fn the_litter_is_swung_in_where_both_ropes_reach_and_a_bridle_of_them_holds_it() {
    let mut site = site(DEMO);
    site.changeover.inside = Some(text("1.2 m"));
    let weight = site.model().unwrap().weight();
    let found = changeover(&site);
    let from = found.pull_from.unwrap();
    let (from, head) = ([from.x.value, from.y.value, from.z.value], [0.0, 0.0, 2.8]);
    let stretch = Stretch::linear(Force::new::<kilonewton>(1e6)).unwrap();
    let rope = |p: [f64; 3]| BridleRope::new(point(p[0], p[1], p[2]), stretch).unwrap();
    let bridle = Bridle::new(weight, [rope(head), rope(from)]).unwrap();
    let mut seen = 0;
    for step in of(&found, StageKind::SwingIn).chain(of(&found, StageKind::SetDown)) {
        let (haul, belay) = (step.haul_length.value, step.belay_length.unwrap().value);
        // Two ropes at given lengths: in the plane through both ends.
        let plan = from[0].hypot(from[1]);
        let (along, z) = circles([head[2], haul], [plan, from[2], belay]);
        let x = -along / plan * from[0];
        let y = -along / plan * from[1];
        assert!(distance(at(step), [x, y, z]) < 1e-9, "{:?} {x} {y} {z}", at(step));
        // The general bridle, by its energy; ropes so stiff that they give some micrometres.
        let hang = bridle.at_lengths([m(haul), m(belay)]).unwrap();
        let there = hang.position;
        assert!(distance(at(step), [there.x.value, there.y.value, there.z.value]) < 1e-4);
        // By how much the forces turn with that: some 1e-5 of them.
        let off = |a: Force, b: Force| (a - b).value.abs() / weight.value;
        assert!(off(hang.tensions[0], step.haul.expected) < 1e-4, "{:?} {:?}", hang.tensions, step.haul);
        assert!(off(hang.tensions[1], step.belay.expected) < 1e-4);
        seen += 1;
    }
    assert!(seen > 10);
}

/// The ellipse of a carriage on a rope that doesn't stretch, with the head and the far anchor as its foci.
#[test]
fn on_a_stiff_track_without_weight_the_load_moves_on_ellipses_as_the_rope_is_let_out() {
    let mut site = site(DEMO);
    for rope in [&mut site.track.rope, &mut site.haul.rope] {
        rope.stiffness = Some(text::<Force>("100000 kN").into());
        rope.mass = Some(text::<LineMass>("1 g/m").into());
    }
    site.track.set = TrackSetting::UnloadedTension(text::<Force>("500 N").into());
    let chord = site.model().unwrap().chord();
    let study = study(&site);
    let strand = study.unloaded.strand_length.value;
    let far = [study.far.x.value - study.base.x.value, 0.0, study.far.z.value - study.base.z.value];
    let found = study.changeover.unwrap();
    let mut seen = 0;
    for step in of(&found, StageKind::LetDown) {
        let Some(out) = step.track_out else { continue };
        let lower = distance(at(step), far);
        let way = step.haul_length.value + lower;
        let (both, length) = (2.0 * step.strand_tension_head.expected.value, strand + 0.5 * out.value);
        // What stretch and weight make of it: T·L/EA, and (w·c)²/(24·T²)·c of the lower part, each twice over; T falls from
        // the head to the carriage by the wheel's friction of 2 %.
        let stretched = both / 2e8 * length;
        let sagged = (0.0197 * lower).powi(2) / (24.0 * (0.97 * both).powi(2)) * lower;
        assert!(
            (way - length).abs() < 2.0 * (stretched + sagged) + 1e-5,
            "{way} {length} {stretched} {sagged}"
        );
        seen += 1;
    }
    assert!(seen > 15, "{seen}");
    assert!(chord.value < strand + found.hand_over.track_out.value);
}

fn said(study: &Study, kind: WarningKind) -> Vec<&str> {
    study.warnings.iter().filter(|w| w.kind == kind).map(|w| w.text.as_str()).collect()
}

#[test]
fn with_the_least_head_height_the_litter_just_keeps_its_clearance() {
    for file in [DEMO, REFERENCE] {
        let mut site = site(file);
        let before = study(&site);
        let least = before.changeover.as_ref().unwrap().least_head_height.unwrap();
        assert!(least < site.frame.height.value());
        site.track.set = TrackSetting::UnloadedTension(before.unloaded.strand_tension_head.into());
        site.changeover.rope = Some(m(0.5));
        // From there on the track would lie on the ground further out.
        site.travel.start = Some(before.far.x - m(8.0));
        let mut clearance_at = |height: Length| {
            site.frame.height = height.into();
            let found = changeover(&site);
            let judged = of(&found, StageKind::LetDown).chain(of(&found, StageKind::SwingIn));
            judged.map(|step| step.litter_height.unwrap().value).fold(f64::INFINITY, f64::min)
        };
        // Found to a micrometre, by 8 leans instead of 24.
        let there = clearance_at(least);
        assert!((there - 0.15).abs() < 1e-4, "{there}");
        assert!(clearance_at(least - m(0.01)) < 0.1415 && clearance_at(least + m(0.01)) > 0.1585);
    }
}

#[test]
fn the_litter_is_hauled_as_far_as_it_needs_and_no_further() {
    let found = changeover(&site(REFERENCE));
    let judged = of(&found, StageKind::LetDown).chain(of(&found, StageKind::SwingIn));
    let least = judged.map(|step| step.litter_height.unwrap().value).fold(f64::INFINITY, f64::min);
    assert!((least - 0.15).abs() < 1e-5, "{least}");
    // By hand: at plumb the road is level with the base but for its slope of 0.2/13.5 behind the edge, and the inner end of
    // the litter, 1.05 m inward, is the nearest to it.
    let inside = of(&found, StageKind::SwingIn)
        .last()
        .unwrap_or_else(|| of(&found, StageKind::LetDown).last().unwrap());
    let slope = 0.2 / 13.5;
    let ground = (1.5 - (inside.load.x.value - 1.05)) * slope - 1.5 * slope;
    let by_hand = inside.load.z.value - 1.1 - ground;
    assert!((inside.litter_height.unwrap().value - by_hand).abs() < 1e-9);
    // The outer end is as far inside the edge as asked for.
    assert!((inside.load.x.value + 1.05 - (1.5 - 0.5)).abs() < 1e-9);
    // On the road at last.
    assert!(found.steps.last().unwrap().litter_height.unwrap().value.abs() < 1e-9);
}

#[test]
fn a_litter_across_the_slope_is_turned_where_it_clears_the_edge() {
    let found = changeover(&site(REFERENCE));
    let turned = found.events.iter().find(|event| event.kind == EventKind::Turned).unwrap().step;
    assert!(turned > 0 && turned < of(&found, StageKind::HaulUp).count());
    for (i, step) in found.steps.iter().enumerate() {
        assert_eq!(step.lies, if i < turned { LitterLies::Across } else { LitterLies::Along }, "{i}");
    }
    // One step earlier it would not clear the edge lying along.
    let mut along = site(REFERENCE);
    along.changeover.litter_lies = Some(LitterWay::Along);
    let along = changeover(&along);
    assert!(along.steps[turned - 1].litter_height.unwrap().value < 0.15);
    assert!(along.steps[turned].litter_height.unwrap().value >= 0.15 - 1e-6);
    assert!(along.events.iter().all(|event| event.kind != EventKind::Turned));
}

#[test]
fn the_frame_stands_under_what_friction_may_leave_in_the_haul_rope() {
    let site = site(REFERENCE);
    let found = changeover(&site);
    let head = point(0.0, 0.0, 3.2);
    let legs = [point(1.4, 1.3, 0.0), point(1.4, -1.3, 0.0), point(-1.5, 0.0, 0.0)]
        .map(|foot| Leg::new(foot).unwrap());
    let frame = Frame::new(head, &legs, &[]).unwrap();
    let redirect = point(-0.3, -0.8, 0.4);
    let turn = Turn::sheave(ratio(0.9)).unwrap();
    let mut seen = 0;
    for step in of(&found, StageKind::SwingIn).chain(of(&found, StageKind::SetDown)) {
        let load = point(step.load.x.value, step.load.y.value, step.load.z.value);
        let (to_load, to_redirect) =
            (Direction3::between(head, load).unwrap(), Direction3::between(head, redirect).unwrap());
        let angle = to_load.reversed().angle_to(to_redirect);
        let band = turn.band(angle).unwrap();
        let (mut least, mut leg) = (f64::INFINITY, 0.0_f64);
        for ratio in [band.low, band.high] {
            let pulls = [
                HeadPull::towards(load, step.haul.expected).unwrap(),
                HeadPull::towards(redirect, step.haul.expected * ratio).unwrap(),
            ];
            let force = resultant(head, &pulls).unwrap();
            least = least.min(frame.stability(force).unwrap().margin.value);
            leg = leg.max(frame.solve(&pulls).unwrap().legs()[2].compression.value);
        }
        let judged = step.frame.as_ref().unwrap();
        assert!((judged.margin.value - least).abs() < 1e-9);
        assert!((judged.legs[2].value - leg).abs() < 1e-6);
        let high = step.haul.expected * band.high;
        assert!((step.haul_behind_head.high - high).value.abs() < 1e-9);
        seen += 1;
    }
    assert!(seen > 10);
    // A fine path: from step to step the frame leans by little.
    for pair in found.steps.windows(2) {
        let [one, next] =
            [&pair[0], &pair[1]].map(|step| step.frame.as_ref().unwrap().margin.value.to_degrees());
        assert!((one - next).abs() < 1.2, "{one} {next}");
    }
    let least =
        found.steps.iter().map(|step| step.frame.as_ref().unwrap().margin).reduce(|a, b| a.min(b)).unwrap();
    assert_eq!(found.worst.margin.unwrap().si, least);
    assert_eq!(found.steps[found.worst.margin.unwrap().step].frame.as_ref().unwrap().margin, least);
}

#[test]
fn a_belay_rope_without_slack_over_the_head_takes_its_share_as_the_haul_rope_stretches() {
    let mut site = site(REFERENCE);
    site.changeover.pulled_in_by = Some(PullingIn::Hands);
    site.belay.as_mut().unwrap().slack = m(0.0);
    let weight = site.model().unwrap().weight().value;
    let found = changeover(&site);
    let first = of(&found, StageKind::LetDown).next().unwrap();
    let plumb = of(&found, StageKind::LetDown).last().unwrap();
    let (r0, r1) = (first.haul_length.value, plumb.haul_length.value);
    assert!(first.belay.expected.value < 1e-6);
    // EA·(r₁ − r₀)/N, N from the load over the head to the device; the haul rope has the rest.
    let behind = distance([0.0, 0.0, 3.2], [-4.0, 2.0, 0.8]);
    let by_hand = 35e3 * (r1 - r0) / (r0 + behind);
    assert!((plumb.belay.expected.value - by_hand).abs() < 1e-6, "{by_hand}");
    assert!((plumb.haul.expected.value + plumb.belay.expected.value - weight).abs() < 1e-6);
    assert!(found.events.iter().any(|event| event.kind == EventKind::BelayTaut));
    // With its slack it stays slack.
    site.belay.as_mut().unwrap().slack = m(0.6);
    let found = changeover(&site);
    assert!(found.events.iter().all(|event| event.kind != EventKind::BelayTaut));
    assert!(found.steps.iter().all(|step| step.belay.high == n(0.0)));
    // Where it comes taut on the way is a step of its own: its tension begins there.
    site.belay.as_mut().unwrap().slack = m(0.02);
    let found = changeover(&site);
    let taut = of(&found, StageKind::LetDown).position(|step| step.belay.expected.value > 1e-3).unwrap();
    let before = of(&found, StageKind::LetDown).nth(taut - 1).unwrap();
    let first = of(&found, StageKind::LetDown).next().unwrap();
    assert!((before.haul_length.value - first.haul_length.value - 0.02).abs() < 1e-6);
}

#[test]
fn people_pull_by_the_lean_of_the_haul_rope() {
    let mut site = site(DEMO);
    site.changeover.pulled_in_by = Some(PullingIn::Hands);
    site.changeover.inside = Some(text("1 m"));
    let weight = site.model().unwrap().weight().value;
    let found = changeover(&site);
    assert!(found.pull_from.is_none());
    for step in of(&found, StageKind::SwingIn).chain(of(&found, StageKind::SetDown)) {
        let [x, y, z] = at(step);
        assert_eq!(y, 0.0);
        // W·tan ψ
        let by_hand = weight * -x / (2.8 - z);
        assert!((step.hand.value - by_hand).abs() < 1e-9 * weight, "{} {by_hand}", step.hand.value);
        assert_eq!(step.inward_pull, step.hand);
        assert!(step.ropes == [LoadRope::Haul, LoadRope::Belay]);
    }
}

#[test]
fn without_a_belay_rope_it_is_said_that_one_rope_is_on_the_load() {
    let mut site = site(REFERENCE);
    site.belay = None;
    let study = study(&site);
    let found = study.changeover.as_ref().unwrap();
    assert_eq!(found.pulled_in_by, PulledInBy::Hands);
    assert_eq!(found.worst.fewest_ropes.si, 1);
    assert!(said(&study, WarningKind::SwingIn).iter().any(|text| text.contains("one rope alone")));
    assert!(found.steps[0].ropes == [LoadRope::Track, LoadRope::Haul]);
    assert!(found.steps.iter().all(|step| step.belay_length.is_none()));
}

#[test]
fn a_sheave_from_which_the_belay_rope_pulls_costs_the_hand_its_loss() {
    let mut site = site(DEMO);
    site.changeover.inside = Some(text("1 m"));
    site.changeover.pull_from = Some(point(-4.2, 1.8, 0.6));
    let straight = changeover(&site);
    assert_eq!(straight.worst.hand.si, straight.worst.belay.si);
    site.belay.as_mut().unwrap().device = point(-4.2, 6.8, 0.6);
    site.changeover.pull_efficiency = Some(ratio(0.8));
    let turned = changeover(&site);
    let step = &turned.steps[turned.worst.hand.step];
    let (from, load) =
        (point(-4.2, 1.8, 0.6), point(step.load.x.value, step.load.y.value, step.load.z.value));
    let to_device = Direction3::between(from, point(-4.2, 6.8, 0.6)).unwrap();
    let angle = Direction3::between(load, from).unwrap().angle_to(to_device);
    let high = Turn::sheave(ratio(0.8)).unwrap().band(angle).unwrap().high;
    assert!((step.hand - step.belay.expected * high).value.abs() < 1e-9);
    assert!((turned.worst.belay.si - straight.worst.belay.si).value.abs() < 1e-9);
}

#[test]
fn what_passes_a_limit_is_a_condition_until_the_site_file_says_how_it_is_done() {
    let mut site = site(REFERENCE);
    let assumed = study(&site);
    assert!(!assumed.changeover.as_ref().unwrap().given);
    // The rear leg is near to tipping once the track is down.
    assert!(said(&assumed, WarningKind::Frame).is_empty());
    assert!(
        said(&assumed, WarningKind::SwingIn).iter().any(|text| text.contains("from tipping")),
        "{:?}",
        assumed.warnings
    );
    site.changeover.clearance = Some(m(0.15));
    let given = study(&site);
    assert!(said(&given, WarningKind::Frame).iter().any(|text| text.contains("from tipping")));
    assert_eq!(given.changeover.unwrap().steps, assumed.changeover.unwrap().steps);
    assert!(assumed.assumptions.iter().any(|assumption| assumption.key == "changeover.clearance"));
    assert!(given.assumptions.iter().all(|assumption| assumption.key != "changeover.clearance"));
}

#[test]
fn a_frame_that_falls_once_the_track_is_down_is_found() {
    let mut site = site(DEMO);
    for foot in &mut site.frame.feet {
        foot.x = m(-0.1);
    }
    let study = study(&site);
    let found = study.changeover.as_ref().unwrap();
    let falls = found.worst.falls_at.unwrap();
    assert!(found.steps[0].frame.is_some() && found.steps[falls].frame.is_none());
    assert!(
        said(&study, WarningKind::Frame).iter().any(|text| text.contains("falls")),
        "{:?}",
        study.warnings
    );
    assert!(found.worst.margin.is_none());
    // Its members aren't judged at those steps.
    assert!(found.steps[falls].forces.len() < found.steps[0].forces.len());
}

#[test]
fn keys_out_of_range_are_refused_by_their_name() {
    let fault = |lines: &str| {
        let text = REFERENCE.to_string() + "\n[changeover]\n" + lines;
        match toml::from_str::<Site>(&text) {
            Ok(site) => operation::solve_asked(&site, &Asked::PLAIN.with_changeover(true), |_, _| {
                ControlFlow::<()>::Continue(())
            })
            .map(|_| ())
            .unwrap_err()
            .to_string(),
            Err(why) => why.to_string(),
        }
    };
    for (lines, expected) in [
        ("litter_length = \"0 m\"", "changeover.litter_length: is 0 m"),
        ("litter_width = \"11 m\"", "changeover.litter_width"),
        ("litter_depth = \"-0.1 m\"", "changeover.litter_depth"),
        ("litter_tilt = \"61 deg\"", "changeover.litter_tilt"),
        ("litter_lies = \"upside down\"", "write \"along\" or \"across\""),
        ("pulled_in_by = \"magic\"", "write \"belay\" or \"hands\""),
        ("rope = \"0 m\"", "changeover.rope"),
        ("least_rope = \"0 m\"", "changeover.least_rope"),
        ("clearance = \"-1 cm\"", "changeover.clearance"),
        ("inside = \"-1 cm\"", "changeover.inside"),
        ("edge = \"200 m\"", "changeover.edge: lies where the ground profile does not reach"),
        ("pull_from = [\"1 m\", \"0 m\", \"1 m\"]", "changeover.pull_from: its x of 1.00 m"),
        ("pull_from = [\"-500 m\", \"0 m\", \"1 m\"]", "changeover.pull_from"),
        (
            "pull_from = [\"-3 m\", \"0 m\", \"1 m\"]\npull_efficiency = \"20 %\"",
            "changeover.pull_efficiency",
        ),
        (
            "pulled_in_by = \"hands\"\npull_from = [\"-3 m\", \"0 m\", \"1 m\"]",
            "changeover.pull_from: says from where",
        ),
        ("clearence = \"1 m\"", "unknown field `clearence`"),
    ] {
        let fault = fault(lines);
        assert!(fault.contains(expected), "{lines}: {fault}");
    }
    let mut site = site(REFERENCE);
    site.belay = None;
    site.changeover.pulled_in_by = Some(PullingIn::Belay);
    let why = operation::solve(&site).unwrap_err();
    assert_eq!(why.key, "changeover.pulled_in_by");
}

#[test]
fn what_cannot_be_is_said_in_a_warning_and_the_rest_of_the_study_stands() {
    let mut site = site(REFERENCE);
    site.changeover.rope = Some(m(9.0));
    let long = study(&site);
    assert!(long.changeover.is_none() && long.positions.len() > 100);
    assert!(
        said(&long, WarningKind::Changeover)[0].contains("changeover.rope is 9.00 m"),
        "{:?}",
        long.warnings
    );
    // Set down so far inside that the belay's device, 4.5 m behind, is passed.
    site.changeover.rope = None;
    site.changeover.inside = Some(m(6.0));
    let far = study(&site);
    assert!(said(&far, WarningKind::Changeover)[0].contains("changeover.pull_from doesn't hold the load"));
    site.changeover.pulled_in_by = Some(PullingIn::Hands);
    assert!(study(&site).changeover.is_some());
}

#[test]
fn the_way_out_is_the_way_in_with_friction_the_other_way() {
    let found = changeover(&site(REFERENCE));
    let out = found.way_out;
    let lifting = of(&found, StageKind::SwingIn).chain(of(&found, StageKind::SetDown));
    let most = lifting.map(|step| step.winch_pull).reduce(Force::max).unwrap();
    assert_eq!(out.winch_pull, most);
    // The capstan takes the track in: within what friction may leave in it, and above what the strands carry; the cell behind
    // all turns shows less than they carry.
    let first = of(&found, StageKind::LetDown).next().unwrap();
    let slip = 1.0 + 1e-9;
    assert!(
        out.capstan_pull <= first.capstan.high * slip && out.capstan_pull > first.strand_tension_head.high
    );
    assert!(out.reading * slip >= first.reading.low && out.reading < first.strand_tension_head.low);
    // Between them lie redirect, head, far sheave and head, all hauling: 90 % each over 180°, the redirect and the head's turns
    // over less.
    let passed = out.reading / out.capstan_pull;
    assert!(passed.value > 0.9_f64.powi(4) && passed.value < 0.95_f64.powi(4), "{passed:?}");
    assert!(found.hand_over.track_out_slack > found.hand_over.track_out);
}

#[test]
fn it_is_left_out_where_it_is_not_asked_for() {
    let site = site(REFERENCE);
    let go_on = |_, _| ControlFlow::<()>::Continue(());
    let plain = operation::solve_asked(&site, &Asked::PLAIN, go_on).unwrap().continue_value().unwrap();
    assert!(plain.changeover.is_none());
    assert!(plain.assumptions.iter().all(|assumption| !assumption.key.starts_with("changeover")));
    assert!(said(&plain, WarningKind::SwingIn).is_empty());
    let with = study(&site);
    assert_eq!((&with.positions, &with.summary), (&plain.positions, &plain.summary));
    let json = serde_json::to_value(&with).unwrap();
    let step = &json["changeover"]["steps"][0];
    assert!(step["haul"]["high_n"].is_number() && step["load"]["x_m"].is_number());
    assert_eq!(step["stage"], "haul-up");
    assert!(serde_json::to_value(&plain).unwrap().get("changeover").is_none());
}

/// Rigs around both sites: none that has a study is without its changeover.
#[test]
fn no_rig_that_is_studied_is_refused_its_changeover() {
    let (mut studied, mut refused, mut short) = (0, Vec::new(), 0);
    for file in [DEMO, REFERENCE] {
        for head in [-0.4, 0.0, 0.6] {
            for hang in ["0.6 m", "1.2 m"] {
                for tension in ["1.2 kN", "2.4 kN", "4 kN"] {
                    for (end, hands) in [("0.8 m", false), ("2 m", true), ("4 m", false)] {
                        let mut site = site(file);
                        site.frame.height = (site.frame.height.value() + m(head)).into();
                        site.load.hang = text::<Length>(hang).into();
                        site.track.set = TrackSetting::UnloadedTension(text::<Force>(tension).into());
                        site.travel.positions = Some(10);
                        site.travel.end = Some(text(end));
                        site.changeover.pulled_in_by = hands.then_some(PullingIn::Hands);
                        let asked = Asked::PLAIN.with_changeover(true);
                        let go_on = |_, _| ControlFlow::<()>::Continue(());
                        let Ok(found) = operation::solve_asked(&site, &asked, go_on) else { continue };
                        let study = found.continue_value().unwrap();
                        studied += 1;
                        match &study.changeover {
                            Some(found) => {
                                assert!(found.residual < 1e-11);
                                short +=
                                    usize::from(found.worst.litter_height.is_some_and(|h| h.si.value < 0.0));
                            }
                            None => refused.push(format!(
                                "{head} {hang} {tension} {end}: {:?}",
                                said(&study, WarningKind::Changeover)
                            )),
                        }
                    }
                }
            }
        }
    }
    println!("{studied} studied, {} refused, in {short} the litter strikes the ground", refused.len());
    assert!(studied > 80, "{studied}");
    assert!(refused.is_empty(), "{} of {studied}: {refused:#?}", refused.len());
}

#[test]
fn the_rope_to_let_right_down_lies_along_the_ground_and_hangs_plumb_from_the_load() {
    let site = site(REFERENCE);
    let study = study(&site);
    let found = study.changeover.as_ref().unwrap();
    // Along the profile from below the head to the far sheave, and 3.2 m up to the head, by the load.
    let from = [study.base.x.value, study.base.z.value];
    let to = [study.far.x.value, study.far.z.value];
    let between = study.ground.iter().map(|p| [p.x.value, p.z.value]).filter(|p| p[0] > 0.0 && p[0] < to[0]);
    let points: Vec<_> = std::iter::once(from).chain(between).chain([to]).collect();
    let along: f64 = points.windows(2).map(|p| (p[1][0] - p[0][0]).hypot(p[1][1] - p[0][1])).sum();
    let out = 2.0 * (along + 3.2 - study.unloaded.strand_length.value);
    assert!((found.hand_over.track_out_slack.value - out).abs() < 1e-9, "{out}");
    // What is left of the rope on hand with its strands as they are.
    let reach = study.summary.reach;
    let left = (reach.on_hand - reach.used_at_the_apparatus - reach.strands).value - out;
    assert!((found.hand_over.track_spare.value - left).abs() < 1e-9 && left < 0.0);
    assert!(
        said(&study, WarningKind::SwingIn)
            .iter()
            .any(|text| text.contains("To let the track rope right down"))
    );
}

#[test]
fn the_haul_rope_is_less_tight_behind_the_head_while_it_is_let_out() {
    let found = changeover(&site(REFERENCE));
    let plumb = of(&found, StageKind::LetDown).last().unwrap();
    // The redirect of the haul rope at (−0.3, −0.8, 0.4), the head 3.2 m up: the rope turns by what is left of 180°.
    let behind = [-0.3, -0.8, -2.8_f64];
    let lean = (behind[0].hypot(behind[1]) / -behind[2]).atan();
    let angle = Ratio::new::<rope_mechanics::quantity::unit::ratio>(std::f64::consts::PI - lean);
    let band = Turn::sheave(ratio(0.9)).unwrap().band(rope_mechanics::quantity::Angle::from(angle)).unwrap();
    let weight = plumb.haul.expected;
    assert!((plumb.haul_behind_head.low - weight * band.low).value.abs() < 1e-9);
    assert!((plumb.haul_behind_head.high - weight * band.high).value.abs() < 1e-9);
    // The rear leg stands from (−1.5, 0, 0) to the head: its distance from the inner end of the litter, 0.4 m deep and with its
    // underside 1.1 m below the load; the leg leans by 1.5 in 3.2, so that the upper inner edge of the litter is nearest.
    let (inner, top) = (plumb.load.x.value - 1.05, plumb.load.z.value - 1.1 + 0.4);
    let leg = [1.5 / 1.5_f64.hypot(3.2), 3.2 / 1.5_f64.hypot(3.2)];
    let off = ((inner + 1.5) * leg[1] - top * leg[0]).abs();
    assert!((plumb.frame_clearance.value - off).abs() < 1e-6, "{off}");
}

#[test]
fn bands_stages_and_hands_say_what_the_steps_do() {
    let mut site = site(REFERENCE);
    site.changeover.inside = Some(m(1.2));
    let study = study(&site);
    let found = study.changeover.as_ref().unwrap();
    // The wheel's friction of 2 % either way, on the track and while it is let down.
    let up = of(found, StageKind::HaulUp).last().unwrap();
    let down = of(found, StageKind::LetDown).next().unwrap();
    let width = |step: &ChangeoverStep| (step.haul.high - step.haul.low).value;
    assert!(width(down) > 100.0 && (width(down) - width(up)).abs() < 0.02 * width(up));
    // Each stage takes in what its last step has more than the last of the stage before.
    let mut before = 0.0;
    for stage in &found.stages {
        let end = found.steps[stage.last].haul_in.value;
        assert!((stage.haul_in.value - (end - before)).abs() < 1e-12, "{stage:?}");
        before = end;
    }
    assert_eq!(found.stages.len(), 4);
    // What pulls in balances the level part of the haul rope.
    for step in of(found, StageKind::SwingIn).chain(of(found, StageKind::SetDown)) {
        let [x, y, _] = at(step);
        let level = step.haul.expected.value * x.hypot(y) / step.haul_length.value;
        assert!((step.inward_pull.value - level).abs() < 1e-9 * step.haul.expected.value);
    }
    let warned = |study: &Study| {
        said(study, WarningKind::SwingIn).iter().any(|text| text.contains("to pull the litter in"))
    };
    assert!(found.worst.hand.si.value > 46.0 && warned(&study));
    // Inside far enough where it hangs: nothing to pull.
    site.changeover.inside = Some(m(0.4));
    let none = self::study(&site);
    assert_eq!(none.changeover.as_ref().unwrap().worst.hand.si, n(0.0));
    assert!(!warned(&none));
}
