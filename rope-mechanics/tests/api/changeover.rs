//! The load taken over at the head: from the track to haul and belay rope, and in to the road.

use rope_mechanics::bridle::{Bridle, BridleRope};
use rope_mechanics::geometry::Point3;
use rope_mechanics::operation::changeover::{
    Changeover, ChangeoverStep, LoadRope, PullsIn, StageKind, Swing,
};
use rope_mechanics::operation::site::{Site, TrackSetting};
use rope_mechanics::operation::study::Study;
use rope_mechanics::operation::{self, Asked};
use rope_mechanics::quantity::unit::{kilonewton, meter, newton};
use rope_mechanics::quantity::{Force, Length, LineMass};
use rope_mechanics::rope::Stretch;
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
