//! The rig in a state: against the study of the reference site, which it agrees with to the last bits, and against
//! closed forms where the study has none.

use rope_mechanics::geometry::{Point2, Point3};
use rope_mechanics::history::{Carriage, LockedTrack};
use rope_mechanics::motion::Motion;
use rope_mechanics::operation::site::Site;
use rope_mechanics::operation::study::{FrameState, OtherWay, Study};
use rope_mechanics::operation::{
    self, HeadRopes, HoldingRope, LoadPlace, Model, ModelError, Place, Situation, State, StateError,
    UnderRopes,
};
use rope_mechanics::quantity::unit::{kilogram, meter, newton, ratio};
use rope_mechanics::quantity::{Force, Length, Mass, Ratio};
use rope_mechanics::reeving::{DoubledTrackPlaces, DoubledTrackTurns};
use rope_mechanics::rope::Stretch;
use rope_mechanics::sheave::Turn;

const SITE: &str = include_str!("../../../tests/sites/reference.toml");

fn site() -> Site {
    toml::from_str(SITE).unwrap()
}

fn m(metres: f64) -> Length {
    Length::new::<meter>(metres)
}

/// Two solutions of one balance from different starts agree to their residuals, at most 1e-11 of the largest term: no
/// output of this site changes by more than a hundred times that.
fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * (1.0 + a.abs().max(b.abs()))
}

/// The strand that the study found.
fn strand(study: &Study) -> Length {
    study.unloaded.strand_length
}

fn same_frame(study: Option<&FrameState>, state: &UnderRopes) {
    let (Some(study), UnderRopes::Stands(state)) = (study, state) else { panic!("{study:?} {state:?}") };
    assert!(close(study.margin.value, state.margin.value));
    assert!(study.legs.iter().zip(&state.legs).all(|(a, b)| close(a.value, b.value)));
    assert!(study.guys.iter().zip(&state.guys).all(|(a, b)| close(a.value, b.value)));
}

#[test]
fn a_state_has_what_the_study_prints_of_the_unloaded_rope() {
    let site = site();
    let (study, model) = (operation::solve(&site).unwrap(), site.model().unwrap());
    let state = model.state(&Situation::unloaded(strand(&study))).unwrap();
    assert_eq!(state.strand_tension_head(), study.unloaded.strand_tension_head);
    assert_eq!(state.strand_tension_far(), study.unloaded.strand_tension_far);
    assert_eq!(state.reading().unwrap(), study.unloaded.reading);
    let moving = state.track_tensions(Motion::Hauling).unwrap().unwrap();
    assert_eq!(moving.cell().high, study.unloaded.reading_while_tensioning);
    assert_eq!(moving.capstan().high, study.unloaded.capstan_pull);
    assert!(state.carriage().is_none() && state.pull().value == 0.0 && state.rope_out().value == 0.0);
    same_frame(study.unloaded.frame.as_ref(), &state.frame().unwrap());
    assert_eq!(state.track_clearance(), study.unloaded.clearance);
}

#[test]
fn a_state_has_what_the_study_prints_of_every_position_whichever_way_the_load_came() {
    let site = site();
    let (study, model) = (operation::solve(&site).unwrap(), site.model().unwrap());
    let mut last: Option<State<'_, '_>> = None;
    for p in &study.positions {
        let at = |motion| Situation::at_x(strand(&study), p.carriage.x, motion);
        let state = match &last {
            Some(last) => model.state_near(&at(Motion::Hauling), last),
            None => model.state(&at(Motion::Hauling)),
        }
        .unwrap();
        last = Some(state);
        assert!(state.residual() < 1e-11);
        let line = state.haul_line().unwrap().unwrap();
        for (found, printed) in [
            (state.carriage().unwrap().z.value, p.carriage.z.value),
            (state.rope_out().value, p.haul_length.value),
            (state.litter_height().value, p.litter_height.value),
            (state.carriage_height().value, p.carriage_height.value),
            (state.strand_tension_head().value, p.strand_tension_head.value),
            (state.strand_tension_far().value, p.strand_tension_far.value),
            (state.pull().value, p.haul_pull.value),
            (state.drag().value, p.drag.value),
            (state.ground_share().value, p.ground_share.value),
            (state.on_track().unwrap().interior_angle.value, p.interior_angle.value),
            (state.on_track().unwrap().tension.head.value, 2.0 * p.strand_tension_head.value),
            (state.reading().unwrap().low.value, p.reading.low.value),
            (state.reading().unwrap().high.value, p.reading.high.value),
            (line.winch.value, p.winch_pull.value),
            (line.straight.value, p.straight_pull.value),
            (state.head_force().unwrap().x.value, p.head_force.x.value),
            (state.head_force().unwrap().z.value, p.head_force.z.value),
        ] {
            assert!(close(found, printed), "{found} {printed} at {}", p.carriage.x.value);
        }
        let mut ends = vec![state];
        for (motion, printed) in [(Motion::AtRest, p.at_rest), (Motion::Lowering, p.lowering)] {
            let Some(printed) = printed else { continue };
            let other = model.state_near(&at(motion), &state).unwrap();
            same_way(&other, &printed);
            ends.retain(|end| end.situation().motion == Motion::Hauling);
            ends.push(other);
        }
        // The study prints the worst of both ends.
        let ropes: Vec<HeadRopes> = ends.iter().map(State::head_ropes).collect();
        same_frame(p.frame.as_ref(), &model.frame_under(&ropes).unwrap());
        let [one, other] = [ends[0], ends[ends.len() - 1]].map(|end| end.forces().unwrap());
        let worst = one.with(&other, Force::max);
        let clearance = ends[0].track_clearance().min(ends[ends.len() - 1].track_clearance());
        assert!(close(clearance.value, p.track_clearance.value));
        let printed = |name: &str| {
            let at = study.components.iter().position(|c| c.name == name).unwrap();
            p.forces[at].value
        };
        for (place, name) in [
            (Place::TrackRope, "track rope"),
            (Place::HaulRope, "haul rope"),
            (Place::Far, "sheave at the far anchor"),
            (Place::TrackRedirect, "sheave at the track redirect"),
            (Place::Head, "sheave at the head"),
            (Place::Cell, "load cell"),
            (Place::Capstan, "anchor at the capstan"),
            (Place::CarriageWheel, "sheave at the carriage"),
            (Place::Carriage, "connector at the carriage"),
            (Place::HaulHead, "sheave at the head for the haul rope"),
            (Place::HaulRedirect(0), "sheave at haul redirect 1"),
            (Place::Winch, "anchor at the haul winch"),
        ] {
            assert!(close(worst[place].value, printed(name)), "{name} at {}", p.carriage.x.value);
        }
        assert_eq!(worst[Place::HaulRedirect(1)].value, 0.0);
        assert_eq!(worst[Place::BelayDevice].value, 0.0);
    }
}

fn same_way(state: &State<'_, '_>, printed: &OtherWay) {
    for (found, printed) in [
        (state.litter_height().value, printed.litter_height.value),
        (state.carriage_height().value, printed.carriage_height.value),
        (state.strand_tension_head().value, printed.strand_tension_head.value),
        (state.pull().value, printed.haul_pull.value),
        (state.drag().value, printed.drag.value),
        (state.ground_share().value, printed.ground_share.value),
        (state.reading().unwrap().high.value, printed.reading.high.value),
    ] {
        assert!(close(found, printed), "{found} {printed}");
    }
}

/// A locked track without friction, followed step by step as one chain of parts (`history`), has the same strands and
/// the same height. Nothing is shared with it but the line between two points.
#[test]
fn the_rope_behind_the_head_stretches_as_that_of_a_locked_track_without_friction() {
    let site = site();
    let model = site.model().unwrap();
    let smooth = model
        .with(|values| {
            values.track.redirect.turn = Turn::FRICTIONLESS;
            values.track.head_turn = Turn::FRICTIONLESS;
            values.track.far_turn = Turn::FRICTIONLESS;
            values.load.wheel_friction = Ratio::new::<ratio>(0.0);
            // Above the ground everywhere, which the locked track doesn't know.
            values.load.hang = m(0.0);
        })
        .unwrap();
    let (values, head) = (smooth.values(), smooth.head());
    let at_head = Point3::new(m(0.0), m(0.0), values.head_height);
    let turns = DoubledTrackTurns {
        redirect: Turn::FRICTIONLESS,
        frame: Some(Turn::FRICTIONLESS),
        far_sheave: Turn::FRICTIONLESS,
    };
    let places = DoubledTrackPlaces {
        capstan: values.track.capstan,
        redirect: values.track.redirect.at,
        head: at_head,
        far_sheave: Point3::new(values.far.x - head.x, m(0.0), values.far.z - values.base.z),
        anchor: values.track.cell_anchor,
    };
    let rope = values.track.rope;
    let track = LockedTrack::new(places, turns, rope.weight(), rope.stretch()).unwrap();
    let set = track.tensioned(Force::new::<newton>(2850.0), Motion::AtRest).unwrap();
    let strand = set.rope[2];
    let bare = smooth.state(&Situation::unloaded(strand)).unwrap();
    assert!(close(bare.strand_tension_head().value, set.strand_out.value));
    let locked = smooth.locked_rope(strand).unwrap();
    assert!((smooth.strand_of(locked).unwrap() - strand).value.abs() < 1e-10);
    for x in [50.0, 32.5, 12.0] {
        let state = smooth.state(&Situation::at_x(strand, head.x + m(x), Motion::AtRest)).unwrap();
        let followed = track.loaded(&set, Carriage::new(smooth.weight(), m(x)).unwrap()).unwrap();
        let (_, z) = followed.carriage.unwrap();
        // The chain closes to 1e-10 of its forces, a step of the load at a time.
        let near = |a: f64, b: f64| (a - b).abs() < 1e-7 * (1.0 + a.abs());
        assert!(near(state.strand_tension_head().value, followed.mean_strand().value), "{x}");
        assert!(near((state.carriage().unwrap().z - head.z).value, z.value), "{x}");
        assert!(near(state.pull().value, followed.haul.value), "{x}");
        // Without that stretch it would hang higher and pull harder.
        let stiff = smooth.with(|values| values.track.stretch_behind = stiff()).unwrap();
        let stiff = stiff.state(&Situation::at_x(strand, head.x + m(x), Motion::AtRest)).unwrap();
        let higher = (stiff.litter_height() - state.litter_height()).value;
        let harder = (stiff.strand_tension_head() / state.strand_tension_head()).value;
        assert!(higher > 0.0 && harder > 1.0, "{x}");
        if x == 32.5 {
            // What a review of the study measured without it: 1 % too much tension, 0.06 m too high.
            assert!((higher - 0.06).abs() < 0.005 && (harder - 1.01).abs() < 0.005, "{higher} {harder}");
        }
    }
}

/// A rope behind the head that doesn't stretch, as the independent code has it.
fn stiff() -> Stretch {
    Stretch::linear(Force::new::<newton>(1e12)).unwrap()
}

#[test]
fn a_load_at_the_end_of_its_rope_is_where_that_rope_ends() {
    let site = site();
    let model = site.model().unwrap();
    let strand = m(73.08);
    for motion in [Motion::Hauling, Motion::AtRest, Motion::Lowering] {
        for x in [4.0, 20.0, 40.0, 57.0] {
            let at_x = model.state(&Situation::at_x(strand, m(x), motion)).unwrap();
            let on_rope = model.state(&Situation::on_rope(strand, at_x.rope_out(), motion)).unwrap();
            assert!((on_rope.carriage().unwrap().x.value - x).abs() < 1e-9, "{x}");
            assert!(on_rope.residual() < 1e-10);
        }
    }
}

/// Rope that enters when a redirect is lost (computed by an independent code for this site).
#[test]
fn a_lost_redirect_gives_its_way_to_the_rope() {
    let mut site = site();
    // As that code has it, the rope behind the head doesn't stretch.
    site.track.stiffness_behind = Some(Force::new::<newton>(1e12));
    let model = site.model().unwrap();
    assert!((model.slack_of_track_redirect().value - 2.232).abs() < 5e-4);
    assert!((model.slack_of_haul_redirect(0).value - 2.118).abs() < 5e-4);
    assert_eq!(model.slack_of_haul_redirect(1).value, 0.0);
    let study = operation::solve(&site).unwrap();
    let lost = model.with(|values| values.track.redirect.holds = false).unwrap();
    let longer = strand(&study) + 0.5 * model.slack_of_track_redirect();
    // Where the carriage was at 32.5 m: the mean strand falls from 3200 to 2612 N and the litter would hang 0.78 m
    // deep; far in, it floats by 0.42 m at 2110 N. Same code.
    let far_out = lost.state(&Situation::at_x(longer, m(32.5), Motion::Hauling)).unwrap();
    assert!(far_out.on_ground());
    let near = lost.state(&Situation::at_x(longer, m(3.0), Motion::Hauling)).unwrap();
    assert!((near.litter_height().value - 0.42).abs() < 5e-3, "{}", near.litter_height().value);
    assert!((near.strand_tension_head().value - 2110.0).abs() < 0.5, "{}", near.strand_tension_head().value);
    let forces = near.forces().unwrap();
    assert_eq!(forces[Place::TrackRedirect].value, 0.0);
    // Nothing but one sheave on the head between the strand and the capstan now.
    let half = near.strand_tension_head().value;
    assert!(forces[Place::Capstan].value > half && forces[Place::Capstan].value < half / 0.81);
    let without = model.with(|values| values.haul.redirects[0].holds = false).unwrap();
    let state = without.state(&Situation::at_x(strand(&study), m(30.0), Motion::Hauling)).unwrap();
    let (forces, line) = (state.forces().unwrap(), state.haul_line().unwrap().unwrap());
    assert_eq!(forces[Place::HaulRedirect(0)].value, 0.0);
    assert_eq!(line.winch, line.behind_head);
}

#[test]
fn without_its_track_the_load_hangs_plumb_or_lies_at_the_end_of_its_rope() {
    let site = site();
    let model = site.model().unwrap();
    // Head 3.2 m up; 1.5 m of rope and 1.1 m of sling hang free.
    let hanging = model.state(&Situation::without_track(m(1.5))).unwrap();
    assert!((hanging.pull() / model.weight()).value == 1.0);
    assert!((hanging.litter_height().value - (3.2 - 1.5 - 1.1)).abs() < 0.05);
    // Far out it lies: with μ = 0 the rope holds W·sin θ/cos(β), from P·d + N·n = W·z with β between rope and slope.
    for x in [20.0, 36.0, 50.0] {
        let state = model.state(&Situation::without_track(m(x))).unwrap();
        assert!(state.on_ground() && state.litter_height().value == 0.0);
        let carriage = state.carriage().unwrap();
        let head = model.head();
        let reach = (carriage.x - head.x).value.hypot((carriage.z - head.z).value);
        assert!((reach - x).abs() < 1e-9);
        let litter = Point2::new(
            head.x + (carriage.x - head.x) * ((x + 1.1) / x),
            head.z + (carriage.z - head.z) * ((x + 1.1) / x),
        );
        let points = model.values().ground;
        let piece = points.windows(2).find(|pair| pair[0].x <= litter.x && litter.x <= pair[1].x).unwrap();
        let slope = ((piece[1].z - piece[0].z) / (piece[1].x - piece[0].x)).value;
        let on_it = piece[0].z + (litter.x - piece[0].x) * slope;
        assert!((litter.z - on_it).value.abs() < 1e-9);
        let theta = (-slope).atan();
        let rope = (-(carriage.z - head.z).value).atan2((carriage.x - head.x).value);
        let expected = model.weight().value * theta.sin() / (rope - theta).cos();
        assert!(close(state.pull().value, expected), "{} {expected}", state.pull().value);
        // Lowered against friction it holds less, hauled more.
        let held = |motion| model.state(&Situation::without_track(m(x)).moving(motion)).unwrap().pull();
        assert!(held(Motion::Lowering) < state.pull() && state.pull() < held(Motion::Hauling));
        assert_eq!(state.forces().unwrap()[Place::Capstan].value, 0.0);
    }
}

/// The frame's margin under the haul rope alone without friction on the head: −0.33° at x = 59 m, 2.6° at 32.5 m
/// (an independent code).
#[test]
fn the_frame_falls_when_the_track_is_lost_far_out() {
    let site = site();
    let model = site.model().unwrap();
    let study = operation::solve(&site).unwrap();
    let free = model.with(|values| values.haul.head_turn = Turn::FRICTIONLESS).unwrap();
    for (x, margin) in [(59.0, -0.33), (32.5, 2.6)] {
        let state = model.state(&Situation::at_x(strand(&study), m(x), Motion::Hauling)).unwrap();
        let carriage = state.carriage().unwrap();
        let found = |pull: f64| {
            let pull = Force::new::<newton>(pull);
            let ropes = HeadRopes::without_track(HoldingRope::Haul, carriage, pull);
            match free.frame_under(&[ropes]).unwrap() {
                UnderRopes::Stands(worst) => worst.margin,
                UnderRopes::Falls(tipping) => tipping.margin,
            }
            .value
            .to_degrees()
        };
        let half_a_digit = if margin < 0.0 { 5e-3 } else { 5e-2 };
        assert!((found(1000.0) - margin).abs() < half_a_digit, "{} at {x}", found(1000.0));
        // It doesn't depend on the size of the pull.
        assert!(close(found(3000.0), found(1000.0)));
    }
}

#[test]
fn a_belay_that_holds_loads_its_own_places() {
    let site = site();
    let model = site.model().unwrap();
    let haul = model.state(&Situation::at_x(m(73.08), m(40.0), Motion::AtRest)).unwrap();
    let situation = Situation::at_x(m(73.08), m(40.0), Motion::AtRest).held_by(HoldingRope::Belay);
    let belay = model.state(&situation).unwrap();
    assert_eq!(belay.pull(), haul.pull());
    let forces = belay.forces().unwrap();
    assert_eq!(forces[Place::HaulRope].value, 0.0);
    assert_eq!(forces[Place::Winch].value, 0.0);
    assert!(
        forces[Place::BelayRope] == forces[Place::BelayDevice] && forces[Place::BelayDevice] > haul.pull()
    );
    assert!(belay.haul_line().unwrap().is_none());
    let without = model.with(|values| values.belay = None).unwrap();
    assert_eq!(without.state(&situation).unwrap_err(), StateError::NotHeld);
}

#[test]
fn what_has_no_state_is_refused_with_its_reason() {
    let site = site();
    let model = site.model().unwrap();
    let at = |strand: f64, x: f64| model.state(&Situation::at_x(m(strand), m(x), Motion::Hauling));
    // With its far anchor higher the load rolls in from far out, to where it rests by itself.
    let higher = model.with(|values| values.far.z += m(25.0)).unwrap();
    let mut rolling = Situation::at_x(m(66.0), m(30.0), Motion::AtRest);
    rolling.load = LoadPlace::Rolling;
    let rest = higher.state(&rolling).unwrap();
    let x = rest.carriage().unwrap().x;
    assert!(rest.pull().value == 0.0 && !rest.on_ground() && rest.residual() < 1e-11);
    let farther = higher.state(&Situation::at_x(m(66.0), x + m(1.0), Motion::AtRest));
    assert!(matches!(farther, Err(StateError::RollsIn { x: at }) if at == x + m(1.0)));
    assert!(matches!(at(73.08, 70.0), Err(StateError::Carriage { .. } | StateError::Input(_))));
    let mut no_track = Situation::at_x(m(73.0), m(30.0), Motion::Hauling);
    no_track.strand = None;
    assert_eq!(model.state(&no_track).unwrap_err(), StateError::NotHeld);
    let negative = model.state(&Situation::unloaded(m(-1.0)));
    assert!(matches!(negative, Err(StateError::Input(why)) if why.field == "strand"));
    let changed = |change: fn(&mut rope_mechanics::operation::RigValues<'_>)| model.with(change).unwrap_err();
    assert!(matches!(changed(|v| v.far.x = v.base.x), ModelError::Geometry(why) if why.field == "far.x"));
    assert!(matches!(changed(|v| v.load.hang = m(-1.0)), ModelError::Load(why) if why.field == "hang"));
    assert!(matches!(changed(|v| v.load.litter = Mass::new::<kilogram>(f64::NAN)), ModelError::Load(_)));
    assert!(matches!(changed(|v| v.feet.clear()), ModelError::Frame(_)));
    let here = |v: &mut rope_mechanics::operation::RigValues<'_>| v.haul.winch = v.haul.redirects[0].at;
    assert!(matches!(changed(here), ModelError::HaulRedirect { index: 1, .. }));
}

#[test]
fn a_model_with_a_value_changed_is_the_model_of_a_site_with_it_changed() {
    let (site, mut heavier) = (site(), site());
    heavier.load.patient = (heavier.load.patient.value() + Mass::new::<kilogram>(20.0)).into();
    heavier.load.wheel_friction = Some(Ratio::new::<ratio>(0.03).into());
    let changed = site.model().unwrap();
    let changed = changed
        .with(|values| {
            values.load.litter += Mass::new::<kilogram>(20.0);
            values.load.wheel_friction = Ratio::new::<ratio>(0.03);
        })
        .unwrap();
    let whole: Model<'_> = heavier.model().unwrap();
    let at = Situation::at_x(m(73.08), m(40.0), Motion::Hauling);
    let (one, other) = (changed.state(&at).unwrap(), whole.state(&at).unwrap());
    assert!(close(one.pull().value, other.pull().value));
    assert!(close(one.litter_height().value, other.litter_height().value));
    assert!(matches!(one.situation().load, LoadPlace::AtX(_)));
    // Places at the apparatus may move as well.
    let moved = changed.with(|v| v.track.cell_anchor = Point3::new(m(-9.0), m(-1.0), m(0.6))).unwrap();
    let moved = moved.state(&at).unwrap();
    assert!(moved.frame().unwrap() != one.frame().unwrap());
    // More rope behind the head gives more.
    assert!(moved.litter_height() < one.litter_height());
}

/// The track rope at rest in closed form, against the rope of any turns as `reeving` solves it: every output that a place
/// takes, at several places of the load, with turns that lose little, much, one way only or nothing, and without redirect.
#[test]
fn the_track_rope_at_rest_is_that_of_its_turns_solved_one_by_one() {
    let site = site();
    let study = operation::solve(&site).unwrap();
    let model = site.model().unwrap();
    let sheave = |eta: f64| Turn::sheave(Ratio::new::<ratio>(eta)).unwrap();
    let bar = |mu: f64| Turn::bar(Ratio::new::<ratio>(mu), Ratio::new::<ratio>(0.5 * mu)).unwrap();
    let turns = [
        [sheave(0.9), sheave(0.9), sheave(0.9)],
        [sheave(0.62), sheave(0.97), sheave(0.8)],
        [bar(0.35), sheave(0.85), bar(0.2)],
        [Turn::FRICTIONLESS; 3],
        [sheave(0.8), Turn::FRICTIONLESS, sheave(0.95)],
    ];
    let mut most = 0.0_f64;
    for [redirect, head, far] in turns {
        for holds in [true, false] {
            let changed = model
                .with(|values| {
                    values.track.redirect.turn = redirect;
                    values.track.redirect.holds = holds;
                    values.track.head_turn = head;
                    values.track.far_turn = far;
                })
                .unwrap();
            for x in [59.0, 45.0, 31.0, 12.0, 3.5] {
                let loaded = Situation::at_x(strand(&study), m(x), Motion::Hauling);
                for situation in [loaded, Situation::unloaded(strand(&study))] {
                    let state = changed.state(&situation).unwrap();
                    let (forces, reading) = (state.forces().unwrap(), state.reading().unwrap());
                    let solved = state.track_tensions(Motion::AtRest).unwrap().unwrap();
                    let crossings = solved.head_crossings();
                    let on_redirect = if holds { solved.redirect().load.value } else { 0.0 };
                    for (closed, solved) in [
                        (reading.low, solved.cell().low.value),
                        (reading.high, solved.cell().high.value),
                        (forces[Place::Cell], solved.cell().high.value),
                        (forces[Place::Capstan], solved.capstan().high.value),
                        (forces[Place::TrackRope], solved.highest().tension.value),
                        (forces[Place::TrackRedirect], on_redirect),
                        (forces[Place::Head], crossings[0].value.max(crossings[1].value)),
                    ] {
                        most = most.max((closed.value - solved).abs() / solved.max(1.0));
                    }
                    assert_eq!(reading.expected, state.strand_tension_head());
                }
            }
        }
    }
    // Both are a dozen roundings long.
    assert!(most < 1e-12, "{most:e}");
}
