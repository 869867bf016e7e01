//! States of the rig added up by hand: each body in balance, each rope over each turn, each peak of a stop or a jam.
//!
//! What a state says of itself is put into the equations of statics with the places of the reference site. Both sides
//! are certified to 1e-11 of their largest term, so that sums agree to 1e-8 of it.

use rope_mechanics::anchor::{Anchor, AnchorLeg};
use rope_mechanics::arrest::{STIFFER_AT_MOST, STIFFER_IN_A_FALL};
use rope_mechanics::geometry::Point3;
use rope_mechanics::motion::Motion;
use rope_mechanics::operation::failures::{Consequence, Detail, Failure, FailureValues, Failures, WinchPull};
use rope_mechanics::operation::site::{Site, SiteWinch, TrackSetting};
use rope_mechanics::operation::study::WarningKind;
use rope_mechanics::operation::{self, ByPlace, HoldingRope, Model, Place, Situation, State, Travel};
use rope_mechanics::quantity::Length;
use rope_mechanics::quantity::literal::{ah, fraction, m, m_per_s, n, rad};
use rope_mechanics::rope::Stretch;
use rope_mechanics::sheave::Turn;
use rope_mechanics::tackle::UsualRatio;
use std::f64::consts::PI;

const SITE: &str = include_str!("../../../tests/sites/reference.toml");
const G: f64 = 9.80665;
/// Of the ground under the litter.
const MU: f64 = 0.4;

fn site() -> Site {
    toml::from_str(SITE).unwrap()
}

type V2 = [f64; 2];
type V3 = [f64; 3];

fn p3(p: Point3) -> V3 {
    [p.x.value, p.y.value, p.z.value]
}

fn minus(a: V3, b: V3) -> V3 {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

fn size(a: V3) -> f64 {
    a.iter().map(|part| part * part).sum::<f64>().sqrt()
}

/// The angle by which a rope turns at a place.
fn turned(before: V3, at: V3, behind: V3) -> f64 {
    let (a, b) = (minus(at, before), minus(behind, at));
    let dot: f64 = a.iter().zip(b).map(|(a, b)| a * b).sum();
    (dot / size(a) / size(b)).acos()
}

/// η(θ) = η₁₈₀ + (1 − η₁₈₀)·0.28·(1 − θ/π)
fn eta(half_turn: f64, theta: f64) -> f64 {
    half_turn + (1.0 - half_turn) * 0.28 * (1.0 - theta / PI)
}

#[track_caller]
fn near(found: f64, by_hand: f64, scale: f64) {
    assert!((found - by_hand).abs() <= 1e-8 * scale.abs(), "{found} is not {by_hand} by hand");
}

/// Height and slope of the ground.
fn ground(model: &Model<'_>, x: f64) -> (f64, f64) {
    let points = model.values().ground;
    let i = points.iter().position(|p| p.x.value >= x).unwrap().max(1);
    let (a, b) = (points[i - 1], points[i]);
    let slope = (b.z - a.z).value / (b.x - a.x).value;
    (a.z.value + slope * (x - a.x.value), slope)
}

/// A carriage in balance hands the rest of its forces to its sling; a litter in balance that and its weight to the ground.
fn check_dragged(model: &Model<'_>, state: &State<'_, '_>, motion: Motion) {
    let (w, litter) = (model.weight().value, model.litter_weight().value);
    let track = state.on_track().unwrap();
    let (by_track, at, head) = (track.on_carriage_by_track(), state.carriage().unwrap(), model.head());
    let t = state.strand_tension_head().value * 2.0 + w;
    let to_head = [(head.x - at.x).value, (head.z - at.z).value];
    let reach = to_head[0].hypot(to_head[1]);
    near(state.rope_out().value, reach, reach);
    let pull = state.pull().value;
    // F_track + P·d + S·s = W₂·ẑ
    let sling: V2 = [
        -by_track.x.value - pull * to_head[0] / reach,
        w - litter - by_track.z.value - pull * to_head[1] / reach,
    ];
    let s = sling[0].hypot(sling[1]);
    near(state.sling().value, s, t);
    // The litter is at the sling's end, on the ground.
    let hang = model.values().load.hang.value;
    let lies = [at.x.value + hang * sling[0] / s, at.z.value + hang * sling[1] / s];
    let (z, slope) = ground(model, lies[0]);
    near(lies[1], z, 100.0);
    let (under, _) = ground(model, at.x.value);
    near(state.carriage_height().value, at.z.value - under, 100.0);
    assert!(state.carriage_height().value < hang && state.on_ground());
    // −S·s + ground = W₁·ẑ
    let from_ground = [sling[0], litter + sling[1]];
    let t_hat = [1.0 / 1f64.hypot(slope), slope / 1f64.hypot(slope)];
    let along = from_ground[0] * t_hat[0] + from_ground[1] * t_hat[1];
    let normal = -from_ground[0] * t_hat[1] + from_ground[1] * t_hat[0];
    assert!(normal > 0.0 && pull > 0.0);
    // Hauled inward friction acts outward, lowered inward, at rest not at all.
    let friction = match motion {
        Motion::Hauling => MU * normal,
        Motion::AtRest => 0.0,
        Motion::Lowering => -MU * normal,
    };
    near(along, friction, t);
    near(state.drag().value, friction.abs(), t);
    near(state.on_the_ground().value, from_ground[1], t);
    near(state.ground_share().value, from_ground[1] / w, 1.0);
    assert_eq!(state.litter_height().value, 0.0);
    // Hauled, it lags outward.
    assert!(motion != Motion::Hauling || sling[0] > 0.0);
    assert!(state.residual() <= 1e-11);
}

#[test]
fn a_dragged_litter_and_its_carriage_are_each_in_balance() {
    let site = site();
    let model = site.model().unwrap();
    let mut dragged = 0;
    // On a slack track the litter lies on every slope of the ground, and beside its corners.
    for strand in [73.9, 74.4] {
        for motion in [Motion::Hauling, Motion::AtRest, Motion::Lowering] {
            for x in [9.0, 15.0, 21.9, 28.0, 31.7, 36.0, 42.0, 49.0, 55.0] {
                let Ok(state) = model.state(&Situation::at_x(m(strand), m(x), motion)) else { continue };
                if state.on_ground() && state.pull().value > 0.0 {
                    check_dragged(&model, &state, motion);
                    dragged += 1;
                }
            }
        }
    }
    assert!(dragged >= 20, "{dragged}");
}

#[test]
fn a_load_at_the_end_of_its_rope_on_the_ground_is_in_balance_with_friction() {
    let site = site();
    let model = site.model().unwrap();
    let (w, hang, head) = (model.weight().value, model.values().load.hang.value, model.head());
    for motion in [Motion::Hauling, Motion::AtRest, Motion::Lowering] {
        for rope in [14.0, 30.0, 47.0] {
            let state = model.state(&Situation::without_track(m(rope)).moving(motion)).unwrap();
            let at = state.carriage().unwrap();
            let d = [(head.x - at.x).value / rope, (head.z - at.z).value / rope];
            near(d[0].hypot(d[1]), 1.0, 1.0);
            // Rope and sling in one line, the litter at its end on the ground.
            let lies = [at.x.value - hang * d[0], at.z.value - hang * d[1]];
            let (z, slope) = ground(&model, lies[0]);
            near(lies[1], z, 100.0);
            // P·d + N·n + F·t = W·ẑ
            let t = [1.0 / 1f64.hypot(slope), slope / 1f64.hypot(slope)];
            let pull = state.pull().value;
            let rest = [-pull * d[0], w - pull * d[1]];
            let (along, normal) = (rest[0] * t[0] + rest[1] * t[1], rest[1] * t[0] - rest[0] * t[1]);
            let friction = match motion {
                Motion::Hauling => MU * normal,
                Motion::AtRest => 0.0,
                Motion::Lowering => -MU * normal,
            };
            if pull > 0.0 {
                near(along, friction, w);
            } else {
                assert!(along.abs() <= MU * normal);
            }
            near(state.drag().value, along.abs(), w);
            near(state.on_the_ground().value, rest[1], w);
            near(state.ground_share().value, rest[1] / w, 1.0);
            assert_eq!((state.sling(), state.litter_height()), (state.pull(), m(0.0)));
            assert_eq!((state.strand_tension_head(), state.strand_tension_far()), (n(0.0), n(0.0)));
            let (under, _) = ground(&model, at.x.value);
            near(state.carriage_height().value, at.z.value - under, 100.0);
        }
    }
    // Hanging, all of it is on the rope and the litter on its sling.
    let hanging = model.state(&Situation::without_track(m(1.2))).unwrap();
    assert_eq!((hanging.pull(), hanging.sling()), (model.weight(), model.litter_weight()));
    near(hanging.carriage().unwrap().z.value, head.z.value - 1.2, 1.0);
    assert_eq!((hanging.drag(), hanging.ground_share().value, hanging.on_ground()), (n(0.0), 0.0, false));
}

#[test]
fn a_track_without_a_load_has_nothing_of_one() {
    let site = site();
    let model = site.model().unwrap();
    let state = model.state(&Situation::unloaded(m(73.08))).unwrap();
    let none = [state.pull(), state.sling(), state.drag(), state.on_the_ground()];
    assert_eq!(none, [n(0.0); 4]);
    assert_eq!((state.litter_height(), state.rope_out(), state.ground_share().value), (m(0.0), m(0.0), 0.0));
    assert!(!state.on_ground() && !state.is_loaded() && state.residual() <= 1e-11);
    let forces = state.forces().unwrap();
    for place in [Place::Carriage, Place::CarriageWheel, Place::HaulRope, Place::HaulHead, Place::Winch] {
        assert_eq!(forces[place], n(0.0));
    }
}

/// Turns behind the head, each with an efficiency of its own.
const HEAD: f64 = 0.93;
const REDIRECT: f64 = 0.88;
const BELAY: f64 = 0.81;
const PULLEY: f64 = 0.91;

fn hauling_3_to_1<'g>(model: &Model<'g>) -> Model<'g> {
    model
        .with(|values| {
            values.haul.head_turn = Turn::sheave(fraction(HEAD)).unwrap();
            values.haul.redirects[0].turn = Turn::sheave(fraction(REDIRECT)).unwrap();
            values.haul.tackle = UsualRatio::ThreeToOne;
            values.haul.tackle_turn = Turn::sheave(fraction(PULLEY)).unwrap();
            values.belay.as_mut().unwrap().head_turn = Turn::sheave(fraction(BELAY)).unwrap();
        })
        .unwrap()
}

struct Line {
    carriage: V3,
    head: V3,
    redirect: V3,
    winch: V3,
    over_head: f64,
    over_redirect: f64,
}

fn line(model: &Model<'_>, state: &State<'_, '_>) -> Line {
    let (values, at) = (model.values(), state.carriage().unwrap());
    let carriage = [(at.x - values.base.x).value, 0.0, (at.z - values.base.z).value];
    let head = [0.0, 0.0, values.head_height.value];
    let (redirect, winch) = (p3(values.haul.redirects[0].at), p3(values.haul.winch));
    let over_head = eta(HEAD, turned(carriage, head, redirect));
    Line {
        carriage,
        head,
        redirect,
        winch,
        over_head,
        over_redirect: eta(REDIRECT, turned(head, redirect, winch)),
    }
}

/// The force of a rope that pulls with these tensions towards two places.
fn on_turn(at: V3, before: V3, t1: f64, behind: V3, t2: f64) -> f64 {
    let (a, b) = (minus(before, at), minus(behind, at));
    let (a, b) = (a.map(|part| part * t1 / size(a)), b.map(|part| part * t2 / size(b)));
    size([a[0] + b[0], a[1] + b[1], a[2] + b[2]])
}

#[test]
fn a_rope_to_the_load_loads_each_of_its_places_by_its_turns() {
    let site = site();
    let model = hauling_3_to_1(&site.model().unwrap());
    for x in [50.0, 20.0, 5.0] {
        let state = model.state(&Situation::at_x(m(73.08), m(x), Motion::Hauling)).unwrap();
        let at = state.carriage().unwrap();
        let l = line(&model, &state);
        let pull = 1234.0;
        let behind = pull / l.over_head;
        let straight = behind / l.over_redirect;
        let winch = straight / (1.0 + PULLEY + PULLEY * PULLEY);
        let forces = model.load_rope_forces(HoldingRope::Haul, at, n(pull)).unwrap();
        near(forces[Place::Carriage].value, pull, pull);
        near(forces[Place::HaulRope].value, straight, pull);
        near(forces[Place::HaulHead].value, on_turn(l.head, l.carriage, pull, l.redirect, behind), pull);
        let on_redirect = on_turn(l.redirect, l.head, behind, l.winch, straight);
        near(forces[Place::HaulRedirect(0)].value, on_redirect, pull);
        // Of the 3:1's standing pulley: η·F on one side, η²·F on the other.
        near(forces[Place::Tackle].value, winch * (PULLEY + PULLEY * PULLEY), pull);
        near(forces[Place::Winch].value, winch, pull);
        for place in [Place::BelayRope, Place::BelayHead, Place::BelayDevice, Place::TrackRope, Place::Far] {
            assert_eq!(forces[place], n(0.0));
        }
        let device = p3(model.values().belay.unwrap().device);
        let held = pull / eta(BELAY, turned(l.carriage, l.head, device));
        let forces = model.load_rope_forces(HoldingRope::Belay, at, n(pull)).unwrap();
        near(forces[Place::Carriage].value, pull, pull);
        near(forces[Place::BelayRope].value, held, pull);
        near(forces[Place::BelayDevice].value, held, pull);
        near(forces[Place::BelayHead].value, on_turn(l.head, l.carriage, pull, device, held), pull);
        for place in [Place::HaulRope, Place::HaulHead, Place::HaulRedirect(0), Place::Tackle, Place::Winch] {
            assert_eq!(forces[place], n(0.0));
        }
    }
}

const SPEED: f64 = 0.11;
const GREATEST: f64 = 4.2e3;

fn values<'a>() -> FailureValues<'a> {
    FailureValues {
        strengths: ByPlace::default(),
        capstan_friction: fraction(0.1),
        capstan_wrap: rad(31.0),
        capstan_tail: n(2.0),
        winch: Some(WinchPull { speed: m_per_s(SPEED), greatest: n(GREATEST) }),
        sling: Stretch::linear(n(200e3)).unwrap(),
        anchors: &[],
    }
}

fn bounds(state: &State<'_, '_>, failure: Failure, values: &FailureValues<'_>) -> Consequence {
    state.failure(failure, values, Detail::Bounds).unwrap()
}

/// Of a 3:1 the load is stopped at a third of the winch's speed. ΔF = v·√(k·m) on the rope as it stretches from the
/// load on, r + η₁·l₁ + η₁·η₂·l₂; a jam loads it from the winch on, EA/(l₂ + η₂·(l₁ + η₁·r)).
#[test]
fn a_stop_and_a_jam_load_the_haul_rope_by_its_stiffness_from_either_end() {
    let site = site();
    let model = hauling_3_to_1(&site.model().unwrap());
    let values = values();
    let ea = model.values().haul.rope.stretch();
    // Its slope at no load.
    let ea = {
        let strain = ea.strain(n(1e-3)).unwrap().value;
        1e-3 / strain
    };
    for x in [45.0, 12.0] {
        let state = model.state(&Situation::at_x(m(73.08), m(x), Motion::Hauling)).unwrap();
        let l = line(&model, &state);
        let r = size(minus(l.head, l.carriage));
        let (l1, l2) = (size(minus(l.redirect, l.head)), size(minus(l.winch, l.redirect)));
        let (w, pull) = (model.weight().value, state.pull().value);

        let stopped = bounds(&state, Failure::Power, &values);
        let length = r + l.over_head * l1 + l.over_head * l.over_redirect * l2;
        let added = |stiffer: f64| SPEED / 3.0 * (stiffer * ea / length * w / G).sqrt();
        let peak = stopped.peaks[Place::Winch];
        let at_winch = 1.0 / l.over_head / l.over_redirect / (1.0 + PULLEY + PULLEY * PULLEY);
        let within =
            |found: f64, by_hand: f64| assert!((found / by_hand - 1.0).abs() < 1e-6, "{found} {by_hand}");
        within(peak.expected.value, at_winch * (pull + added(STIFFER_IN_A_FALL.expected)));
        within(peak.bound.value, at_winch * (pull + added(STIFFER_AT_MOST)));
        assert!(!stopped.haul_goes_on);

        let jammed = bounds(&state, Failure::Jam, &values);
        let k = ea / (l2 + l.over_redirect * (l1 + l.over_head * r));
        let jam = jammed.jam.unwrap();
        within(jam.rate.expected.value, k * SPEED);
        within(jam.rate.bound.value, STIFFER_IN_A_FALL.expected * k * SPEED);
        assert_eq!((jam.greatest, jam.time_to_break), (n(GREATEST), None));
        within(jammed.peaks[Place::Winch].bound.value, GREATEST);
        // What friction leaves at the carriage is expected; without any, three times the winch's pull may come.
        within(jammed.peaks[Place::Carriage].expected.value, GREATEST / at_winch);
        within(jammed.peaks[Place::Carriage].bound.value, 3.0 * GREATEST);
        within(jammed.peaks[Place::HaulRope].bound.value, 3.0 * GREATEST);
        assert!(!jammed.haul_goes_on);

        // The first of two that would break: in proportion between what they bear before and at their peak.
        let mut weak = values;
        let before = state.forces().unwrap();
        let strength = |place: Place, share: f64| {
            let (from, to) = (before[place], jammed.peaks[place].bound);
            from + (to - from) * share
        };
        weak.strengths[Place::Winch] = Some(strength(Place::Winch, 0.7));
        weak.strengths[Place::HaulHead] = Some(strength(Place::HaulHead, 0.4));
        let time = bounds(&state, Failure::Jam, &weak).jam.unwrap().time_to_break.unwrap().value;
        let whole = (GREATEST - before[Place::Winch].value) / jam.rate.bound.value;
        within(time, 0.4 * whole);
    }
}

/// An anchor that settles freely loads its place twice; one whose legs hold as before, once.
#[test]
fn an_anchor_that_drops_loads_its_place_twice_and_gives_its_rope() {
    let site = site();
    let model = site.model().unwrap();
    let state = model.state(&Situation::at_x(m(73.08), m(20.0), Motion::Hauling)).unwrap();
    let leg = |p: V3| AnchorLeg::new(Point3::new(m(p[0]), m(p[1]), m(p[2])), n(60e3)).unwrap();
    // Legs behind each place, seen from the head.
    let values_of = model.values();
    for (place, at) in [
        (Place::Cell, p3(values_of.track.cell_anchor)),
        (Place::Capstan, p3(values_of.track.capstan)),
        (Place::Winch, p3(values_of.haul.winch)),
    ] {
        let legs = [-1.0, 0.0, 1.0].map(|y| leg([at[0] - 3.0, at[1] + y, at[2]]));
        let master = Point3::new(m(at[0]), m(at[1]), m(at[2]));
        let anchors = [(place, Anchor::new(master, &legs).unwrap())];
        let values = FailureValues { anchors: &anchors, ..values() };
        for i in 0..3 {
            let lost = bounds(&state, Failure::AnchorLeg(0, i), &values);
            let (whole, drop) = (state.forces().unwrap()[place].value, lost.legs.unwrap().drop.value);
            let times = if drop > 0.0 { 2.0 } else { 1.0 };
            near(lost.peaks[place].expected.value, whole, whole);
            near(lost.peaks[place].bound.value, times * whole, whole);
            let still = lost.still.unwrap();
            // What it gives lengthens the haul rope, or half of it each strand.
            let rope = state.rope_out() + if place == Place::Winch { m(drop.max(0.0)) } else { m(0.0) };
            let strand = m(73.08) + if place == Place::Winch { m(0.0) } else { m(0.5 * drop.max(0.0)) };
            let after = model.state(&Situation::on_rope(strand, rope, Motion::Hauling)).unwrap();
            near(still.litter_height.value, after.litter_height().value, 1.0);
            near(still.pull.value, after.pull().value, 1e3);
            let down = (state.litter_height() - after.litter_height()).value.max(0.0);
            near(lost.drop.expected.value, down, 1.0);
            near(lost.drop.bound.value, (2.0 * down).min(state.litter_height().value), 1.0);
        }
    }
}

/// Further out than its first position the load rolls in: the warning says how far out that position is.
#[test]
fn a_load_that_rolls_in_is_warned_of_with_the_place_where_it_begins() {
    let mut site = site();
    site.far_anchor.height = (site.far_anchor.height.value() + m(25.0)).into();
    site.track.set = TrackSetting::UnloadedTension(n(155.0).into());
    let study = operation::solve(&site).unwrap();
    let warning =
        study.warnings.iter().find(|w| w.kind == WarningKind::RollsIn).expect("it does not roll in");
    let first = study.positions[0].carriage.x;
    assert_eq!(warning.position, Some(0));
    near(warning.value.unwrap(), (first - study.head.x).value, 100.0);
    assert!(first < study.far.x - m(3.0));
    assert!(study.positions.iter().all(|p| p.carriage.x <= first));
}

/// Guyed three ways the frame stands whatever comes: what is left is how the load lands. The stretches of travel over
/// which a failure at most sets it down are the longest runs of places that say so.
#[test]
fn the_stretch_over_which_a_failure_sets_down_is_its_longest_run_of_places() {
    let site = site();
    let model = site.model().unwrap();
    let guyed = model.with(|values| {
        for (x, y) in [(-8.0, 0.0), (-6.0, 6.0), (-6.0, -6.0)] {
            values.guys.push(Point3::new(m(x), m(y), m(0.0)));
        }
        // So near to the ground that some places only set it down.
        values.load.hang = m(1.35);
    });
    let model = guyed.unwrap();
    let states: Vec<State<'_, '_>> = (0..24)
        .map(|i| m(59.0 - 56.0 * f64::from(i) / 23.0))
        .filter_map(|x| model.state(&Situation::at_x(m(73.08), x, Motion::Hauling)).ok())
        .collect();
    let matrix = Failures::of(&states, &values()).unwrap();
    let longest = |holds: &dyn Fn(usize) -> bool| {
        let xs: Vec<f64> = matrix.states.iter().map(|i| states[*i].carriage().unwrap().x.value).collect();
        let mut best: Option<(f64, f64)> = None;
        for a in 0..xs.len() {
            for b in a..xs.len() {
                let longer = best.is_none_or(|(from, to)| xs[a] - xs[b] > from - to);
                if (a..=b).all(holds) && longer {
                    best = Some((xs[a], xs[b]));
                }
            }
        }
        best
    };
    let metres = |found: Option<(Length, Length)>| found.map(|(from, to)| (from.value, to.value));
    let mut broken = 0;
    for row in &matrix.rows {
        let holds = |i: usize| row.cells[i].consequence.end.at_most_sets_down();
        assert_eq!(metres(row.sets_down), longest(&holds), "{:?}", row.failure);
        let all = (0..row.cells.len()).filter(|i| holds(*i)).count();
        broken += u32::from(all > 0 && all < row.cells.len());
        for (cell, i) in row.cells.iter().zip(&matrix.states) {
            let (at, far) = (states[*i].carriage().unwrap(), model.values().far);
            let room = (far.x - at.x).value.hypot((far.z - at.z).value);
            near(cell.consequence.room.value, room, room);
        }
    }
    assert!(broken > 0, "no failure tells the places apart");
    let ropes = |failure: Failure| {
        !matches!(failure, Failure::Guy(_) | Failure::Foot(_) | Failure::Power | Failure::Jam)
    };
    let holds = |i: usize| {
        let rows = matrix.rows.iter().filter(|row| ropes(row.failure));
        rows.into_iter().all(|row| row.cells[i].consequence.end.at_most_sets_down())
    };
    assert_eq!(metres(matrix.sets_down), longest(&holds));
}

/// By Peukert's law of exponent 1.2 the share of a charge C that a haul takes goes with C^(−1.2).
#[test]
fn a_battery_that_is_left_with_a_tenth_is_warned_of_and_one_with_a_third_is_not() {
    let study = |charge: f64| {
        let mut site = site();
        let SiteWinch::Motor(motor) = &mut site.winch else { panic!() };
        motor.battery.charge = ah(charge);
        operation::solve(&site).unwrap()
    };
    let used = 1.0 - study(50.0).summary.haul.charge_left.value;
    for (left, warned) in [(0.1, true), (0.33, false)] {
        let study = study(50.0 * (used / (1.0 - left)).powf(1.0 / 1.2));
        let found = study.summary.haul.charge_left.value;
        assert!((found - left).abs() < 1e-6 && study.summary.haul.stopped_at.is_none(), "{found}");
        let warning = study.warnings.iter().find(|w| w.kind == WarningKind::Battery);
        assert_eq!(warning.is_some(), warned);
        if let Some(warning) = warning {
            assert_eq!((warning.position, warning.limit, warning.unit), (None, Some(0.2), ""));
            assert_eq!(warning.value, Some(found));
        }
    }
}

#[test]
fn a_travel_of_few_places_has_its_ends_and_every_corner_of_the_ground_between() {
    let site = site();
    let model = site.model().unwrap();
    let corners: Vec<f64> = model.values().ground.iter().map(|p| p.x.value).collect();
    for places in [2, 3, 7] {
        let travel = Travel::new(m(58.0), m(4.0), places);
        let found: Vec<f64> = model.places(m(58.0), &travel).map(|x| x.value).collect();
        let mut by_hand: Vec<f64> =
            (0..places).map(|i| 58.0 - 54.0 * i as f64 / (places - 1) as f64).collect();
        by_hand.extend(corners.iter().filter(|x| **x > 4.0 && **x < 58.0));
        by_hand.sort_by(|a, b| b.total_cmp(a));
        by_hand.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
        assert_eq!(found.len(), by_hand.len());
        found.iter().zip(&by_hand).for_each(|(a, b)| near(*a, *b, 1.0));
    }
}
