//! What happens when a part fails: values of an independent code for the reference site, closed forms, and refusals.

use rope_mechanics::anchor::{Anchor, AnchorLeg};
use rope_mechanics::arrest::{arc_tension, point_bound, taken_over};
use rope_mechanics::geometry::{Point2, Point3};
use rope_mechanics::motion::Motion;
use rope_mechanics::operation::failures::{
    AtMost, Consequence, Detail, Failure, FailureEnd, FailureError, FailureValues, Failures, Holds,
    NOT_SURVIVABLE_M_PER_S, SET_DOWN_M_PER_S, WinchPull,
};
use rope_mechanics::operation::site::Site;
use rope_mechanics::operation::{
    self, ByPlace, HoldingRope, Model, Place, Situation, State, StateError, UnderRopes,
};
use rope_mechanics::quantity::unit::{meter, meter_per_second, newton, newton_per_meter, ratio, revolution};
use rope_mechanics::quantity::{Angle, Force, Length, Ratio, Stiffness, Velocity};
use rope_mechanics::rope::Stretch;
use rope_mechanics::sheave::Turn;

const SITE: &str = include_str!("../../../tests/sites/reference.toml");

/// As the independent code has it, the rope behind the head doesn't stretch.
fn site() -> Site {
    let mut site: Site = toml::from_str(SITE).unwrap();
    site.track.stiffness_behind = Some(n(1e12));
    site
}

fn m(metres: f64) -> Length {
    Length::new::<meter>(metres)
}

fn n(newtons: f64) -> Force {
    Force::new::<newton>(newtons)
}

fn values() -> FailureValues<'static> {
    FailureValues {
        strengths: ByPlace::default(),
        capstan_friction: Ratio::new::<ratio>(0.1),
        capstan_wrap: Angle::new::<revolution>(5.0),
        capstan_tail: n(2.0),
        winch: Some(WinchPull { speed: Velocity::new::<meter_per_second>(0.09), greatest: n(9e3) }),
        sling: Stretch::linear(n(200e3)).unwrap(),
        anchors: &[],
    }
}

/// The strand that the study of the site finds: its greatest mean tension is 3200 N.
fn strand() -> Length {
    operation::solve(&site()).unwrap().unloaded.strand_length
}

fn at<'m, 'g>(model: &'m Model<'g>, strand: Length, x: f64) -> State<'m, 'g> {
    model.state(&Situation::at_x(strand, m(x), Motion::Hauling)).unwrap()
}

fn bounds(state: &State<'_, '_>, failure: Failure) -> Consequence {
    state.failure(failure, &values(), Detail::Bounds).unwrap()
}

fn margin(frame: &UnderRopes) -> f64 {
    match frame {
        UnderRopes::Stands(worst) => worst.margin.value.to_degrees(),
        UnderRopes::Falls(tipping) => tipping.margin.value.to_degrees(),
    }
}

/// The frame under the haul rope alone, without friction on the head: −0.33° at x = 59 m, 2.6° at 32.5 m (an independent
/// code). With friction it is worse, and the failure says that it falls where it falls.
#[test]
fn the_frame_falls_outward_when_the_track_is_lost_far_out() {
    let site = site();
    let (model, strand) = (site.model().unwrap(), strand());
    let free = model.with(|values| values.haul.head_turn = Turn::FRICTIONLESS).unwrap();
    for (x, expected, half_a_digit) in [(59.0, -0.33, 5e-3), (32.5, 2.6, 5e-2)] {
        let frictionless = bounds(&at(&free, strand, x), Failure::TrackRope);
        // Falling, it only comes nearer: the place before is the worst.
        assert!((margin(frictionless.frame.as_ref().unwrap()) - expected).abs() < half_a_digit, "{x}");
        let real = bounds(&at(&model, strand, x), Failure::TrackRope);
        assert!(real.frame_margin().unwrap() < frictionless.frame_margin().unwrap());
        assert_eq!(real.end == FailureEnd::FrameFalls, x > 50.0, "{x}: {:?}", real.end);
        assert_eq!(real.holds, Holds::Haul);
        assert!(!real.haul_goes_on && real.slack_if_frame_falls > m(4.0));
        // In service it stands by 6° and more.
        assert!(margin(&at(&model, strand, x).frame().unwrap()) > 6.0);
    }
}

/// After the haul rope goes, with the belay's peak over the head: worst corner 4.4° at 59 m; at 3 m almost nothing is
/// left while a leg takes half as much again as in service (an independent code, with the slow stiffness of the belay,
/// for the pull while the load is lowered; the litter lifted off the ground).
#[test]
fn little_is_left_of_the_frame_when_the_belay_takes_over_near_the_head() {
    let site = site();
    let (model, strand) = (site.model().unwrap(), strand());
    let lifted = model.with(|values| values.load.hang = m(0.5)).unwrap();
    let frame = |x: f64| {
        let state = lifted.state(&Situation::at_x(strand, m(x), Motion::Lowering)).unwrap();
        // The length to the head in full, and from there to the device by the efficiency of the head.
        let k = 35e3 / (state.rope_out().value + 0.917 * 5.1);
        let peak = taken_over(state.pull(), Stiffness::new::<newton_per_meter>(k), m(0.6)).unwrap();
        let carriage = state.carriage().unwrap();
        let ropes = state.head_ropes().with_load_rope(HoldingRope::Belay, carriage, peak);
        let service = lifted.frame_under(&[state.head_ropes()]).unwrap();
        (lifted.frame_under(&[ropes]).unwrap(), service)
    };
    // Half a digit, and as much for the length behind the head, of which three digits are known.
    let far_out = margin(&frame(59.0).0);
    assert!((far_out - 4.4).abs() < 0.12, "{far_out}");
    let (UnderRopes::Stands(near), UnderRopes::Stands(service)) = frame(3.0) else { panic!() };
    assert!(near.margin.value.to_degrees() < 0.5);
    assert!((near.leg() / service.leg()).value > 1.45);
    // With ropes as stiff as in a fall it falls there, and the failure says so.
    assert_eq!(bounds(&at(&model, strand, 3.0), Failure::HaulRope).end, FailureEnd::FrameFalls);
    assert_ne!(bounds(&at(&model, strand, 32.5), Failure::HaulRope).end, FailureEnd::FrameFalls);
}

/// 2.232 m and 2.118 m of slack; the litter lands at 32.5 m, where it would hang 0.78 m deep, and floats by 0.42 m at
/// 3 m; the mean strand goes from 3200 to 2612 N and from 2823 to 2110 N (an independent code).
#[test]
fn a_lost_track_redirect_sets_the_litter_down_or_lets_it_float() {
    let site = site();
    let (model, strand) = (site.model().unwrap(), strand());
    assert!((model.slack_of_track_redirect().value - 2.232).abs() < 5e-4);
    assert!((model.slack_of_haul_redirect(0).value - 2.118).abs() < 5e-4);
    // At the same x, as that code has it; its litter may hang in the ground, so that here it hangs shorter.
    let short = model
        .with(|values| {
            values.track.redirect.holds = false;
            values.load.hang = m(0.2);
        })
        .unwrap();
    let longer = strand + 0.5 * model.slack_of_track_redirect();
    for (x, before, after, height) in [(32.5, 3200.0, 2612.0, -0.78), (3.0, 2823.0, 2110.0, 0.42)] {
        assert!((at(&model, strand, x).strand_tension_head().value - before).abs() < 0.5);
        let lost = at(&short, longer, x);
        assert!((lost.strand_tension_head().value - after).abs() < 0.5);
        assert!((lost.carriage_height().value - 1.1 - height).abs() < 5e-3);
    }
    let far_out = bounds(&at(&model, strand, 32.5), Failure::TrackRedirect);
    assert!(
        far_out.still.unwrap().on_ground && matches!(far_out.end, FailureEnd::Lies | FailureEnd::SetDown)
    );
    // The haul rope is as long as before: the load swings in a little, and floats by 0.46 m.
    let near = bounds(&at(&model, strand, 3.0), Failure::TrackRedirect);
    let still = near.still.unwrap();
    assert!(!still.on_ground && (still.litter_height.value - 0.42).abs() < 0.1);
    assert!((still.strand_tension.value - 2110.0).abs() < 60.0);
    assert!(near.haul_goes_on && near.peaks[Place::TrackRedirect].bound == n(0.0));
    // What is left between capstan and head snaps to twice its static tension.
    let service = at(&model, strand, 3.0).forces().unwrap()[Place::Capstan];
    let AtMost { expected, bound } = near.peaks[Place::Capstan];
    assert!(expected >= service && bound.value > 2.0 * 2110.0 && bound.value < 2.0 * 2200.0 / 0.81);
}

/// With the load at the head, max(P, 2·max T_q − P) is 2.6 kN where free fall would say 9.7 (an independent code); the
/// litter on its sling below a light carriage passes it.
#[test]
fn the_bound_of_a_point_load_is_passed_by_a_litter_on_a_sling() {
    let site = site();
    let (model, strand) = (site.model().unwrap(), strand());
    let state = at(&model, strand, 3.0);
    let (head, carriage) = (model.head(), state.carriage().unwrap());
    let angle = |x: Length, z: Length| Angle::from((x - head.x).atan2(head.z - z));
    // On the arc of the haul rope until the litter touches the ground.
    let radius = state.rope_out().value;
    let from = angle(carriage.x, carriage.z);
    let (mut down, mut up) = (0.0, from.value);
    for _ in 0..60 {
        let psi = 0.5 * (down + up);
        let x = head.x.value + radius * psi.sin();
        let z = head.z.value - radius * psi.cos() - 1.1;
        let ground = model.values().ground;
        let pair = ground.windows(2).find(|pair| pair[0].x.value <= x && x <= pair[1].x.value).unwrap();
        let share = (x - pair[0].x.value) / (pair[1].x - pair[0].x).value;
        let floor = pair[0].z.value + share * (pair[1].z - pair[0].z).value;
        if z > floor { up = psi } else { down = psi }
    }
    let now = Angle::new::<rope_mechanics::quantity::unit::radian>(up);
    let greatest = arc_tension(model.weight(), from, now).unwrap();
    let point = point_bound(state.pull(), greatest).unwrap();
    // Half a digit, and the weight of half of the ropes, 61 N, which is counted here, twice.
    assert!((point.value - 2600.0).abs() < 50.0 + 2.0 * 61.0, "{point:?}");
    let lost = state.failure(Failure::TrackRope, &values(), Detail::InTime).unwrap();
    let haul = lost.peaks[Place::HaulRope];
    assert!(haul.expected > point && haul.bound >= haul.expected);
    // Far below free fall on a rope as stiff.
    assert!(haul.expected.value < 9700.0);
    let closed = bounds(&state, Failure::TrackRope);
    assert!(closed.peaks[Place::HaulRope].bound >= haul.bound);
}

/// A jam loads the winch by 0.09 kN/s far out and by 0.5 to 1.0 near the head; starting and stopping adds 42 to 142 N
/// (an independent code, the winch at 0.09 m/s).
#[test]
fn a_jam_and_a_stop_add_what_the_stiffness_of_the_rope_gives() {
    let site = site();
    let (model, strand) = (site.model().unwrap(), strand());
    let jam = |x: f64| bounds(&at(&model, strand, x), Failure::Jam).jam.unwrap();
    let kilo = |rate: rope_mechanics::winch::ForceRate| 1e-3 * rate.value;
    assert!((kilo(jam(59.0).rate.expected) - 0.09).abs() < 0.015, "{}", kilo(jam(59.0).rate.expected));
    let near = jam(3.0).rate;
    assert!(kilo(near.expected) >= 0.5 && kilo(near.bound) <= 1.15, "{near:?}");
    let added = |x: f64, bound: bool| {
        let state = at(&model, strand, x);
        let stopped = bounds(&state, Failure::Power);
        assert_eq!(stopped.end, FailureEnd::Stays);
        let peak = stopped.peaks[Place::HaulHead];
        let before = state.forces().unwrap()[Place::HaulHead];
        ((if bound { peak.bound } else { peak.expected }) / before - Ratio::new::<ratio>(1.0)).value
            * state.pull().value
    };
    // √(k·m)·v: with the slow stiffness 42 N far out, and 2.08 times that near the head 142 N.
    let slow = added(59.0, false) / 2.08_f64.sqrt();
    assert!((slow - 42.0).abs() < 1.5, "{slow}");
    // Here the rope behind the head counts by what friction lets it share, and half of the ropes' weight is on the
    // carriage: stiffer and heavier, by less than 8 %.
    let near = added(3.0, false);
    assert!(near > 142.0 && near < 1.08 * 142.0, "{near}");
    assert!(added(3.0, true) > added(3.0, false));
    // A jam ends at the greatest pull of the winch, without its losses.
    let jammed = bounds(&at(&model, strand, 32.5), Failure::Jam);
    assert_eq!(jammed.jam.unwrap().greatest, n(9e3));
    assert!((jammed.peaks[Place::Winch].bound.value - 9e3).abs() < 1e-6);
    assert!((jammed.peaks[Place::Carriage].bound.value - 9e3).abs() < 1e-6);
    assert!(jammed.peaks[Place::HaulHead].bound > n(9e3));
    let mut weak = values();
    weak.strengths[Place::Winch] = Some(n(4e3));
    let broken = at(&model, strand, 32.5).failure(Failure::Jam, &weak, Detail::Bounds).unwrap();
    assert_eq!(broken.end, FailureEnd::Breaks);
    assert!((broken.least_factor.unwrap().1 - 4.0 / 9.0).abs() < 1e-12);
    // From what it pulled before to 4 kN, at the faster rate.
    let service = at(&model, strand, 32.5).forces().unwrap()[Place::Winch].value;
    let jam = broken.jam.unwrap();
    let time = jam.time_to_break.unwrap().value;
    assert!((time - (4e3 - service) / jam.rate.bound.value).abs() < 1e-9);
}

/// P + √(P² + 2·P·k·s), which is 2·P without slack.
#[test]
fn the_belay_takes_over_by_the_closed_form() {
    let site = site();
    let strand = strand();
    let (model, taut) = (
        site.model().unwrap(),
        site.model().unwrap().with(|v| v.belay.as_mut().unwrap().slack = m(0.0)).unwrap(),
    );
    for x in [45.0, 20.0, 5.0] {
        let pull = model.state(&Situation::at_x(strand, m(x), Motion::AtRest)).unwrap().pull();
        // At the carriage, from the greatest tension anywhere in the belay rope.
        let at_carriage = |state: &State<'_, '_>| {
            let one = model.load_rope_forces(HoldingRope::Belay, state.carriage().unwrap(), n(1.0)).unwrap();
            let peak = bounds(state, Failure::HaulRope).peaks[Place::BelayRope].bound;
            peak / one[Place::BelayRope].value
        };
        let twice = at_carriage(&at(&taut, strand, x));
        assert!(((twice / pull).value - 2.0).abs() < 1e-9, "{twice:?}");
        let state = at(&model, strand, x);
        // The belay rope runs from the carriage over the head to its device: 35 kN, 3.3 times as stiff.
        let device = ((4.0_f64).powi(2) + 2.0 * 2.0 + (3.2_f64 + 0.0 - 0.8).powi(2)).sqrt();
        let peak = at_carriage(&state);
        let by = |shared: f64| {
            let k = 3.3 * 35e3 / (state.rope_out().value + shared * device);
            taken_over(pull, Stiffness::new::<newton_per_meter>(k), m(0.6)).unwrap()
        };
        // The head passes on from 0.9 of a tension to all of it.
        assert!(peak > by(1.0) && peak < by(0.9), "{peak:?} {:?} {:?}", by(1.0), by(0.9));
        let brake = bounds(&state, Failure::WinchBrake);
        assert_eq!(brake.peaks, bounds(&state, Failure::HaulRope).peaks);
        assert_eq!(brake.holds, Holds::TrackAndBelay);
    }
}

#[test]
fn without_a_belay_a_load_that_loses_its_haul_rope_runs_away() {
    let site = site();
    let strand = strand();
    let model = site.model().unwrap().with(|values| values.belay = None).unwrap();
    let near = bounds(&at(&model, strand, 3.0), Failure::HaulRope);
    // It runs down some 40 m: √(2·g·40) = 28 m/s.
    assert_eq!(near.end, FailureEnd::NotSurvivable);
    assert_eq!(near.holds, Holds::Track);
    assert!(near.impact.unwrap().into_ground.bound.value > NOT_SURVIVABLE_M_PER_S);
    assert!(near.drop.bound > m(30.0) && near.run.bound > m(60.0));
    // A redirect that is lost gives slack only, and the haul rope catches.
    let redirect = bounds(&at(&model, strand, 20.0), Failure::HaulRedirect(0));
    assert_eq!(redirect.holds, Holds::TrackAndHaul);
    assert!(redirect.run.bound > m(2.118) && redirect.peaks[Place::HaulRope].bound > n(3000.0));
}

#[test]
fn a_litter_that_swings_into_a_face_is_not_said_to_lie_there() {
    // A cliff below the head, and the load far out over the void: it swings in by 20 m and more.
    let ground = [(-10.0, 0.0), (1.0, 0.0), (1.5, -60.0), (80.0, -62.0), (90.0, -20.0), (120.0, -20.0)];
    let points: Vec<Point2> = ground.iter().map(|(x, z)| Point2::new(m(*x), m(*z))).collect();
    let site = site();
    let mut values = site.model().unwrap().values().clone();
    values.ground = &points;
    values.base = Point2::new(m(0.0), m(0.0));
    values.far = Point2::new(m(100.0), m(-18.0));
    values.guys.push(Point3::new(m(-8.0), m(0.0), m(0.0)));
    let model = Model::new(values).unwrap();
    let strand = model.chord() * 1.0;
    let state = at(&model, strand, 30.0);
    let quick = bounds(&state, Failure::TrackRope);
    let full = state.failure(Failure::TrackRope, &self::values(), Detail::InTime).unwrap();
    for lost in [&quick, &full] {
        assert_eq!(lost.end, FailureEnd::NotSurvivable, "{lost:?}");
        assert!(lost.impact.unwrap().into_ground.bound.value > 12.0);
    }
    assert!(full.impact.unwrap().into_ground.expected.value > 12.0);
}

#[test]
fn a_load_near_the_ground_is_set_down() {
    let site = site();
    let strand = strand();
    // With three guys the frame stands whatever comes.
    let model = site
        .model()
        .unwrap()
        .with(|values| {
            for (x, y) in [(-8.0, 0.0), (-6.0, 6.0), (-6.0, -6.0)] {
                values.guys.push(Point3::new(m(x), m(y), m(0.0)));
            }
        })
        .unwrap();
    let state = model.state(&Situation::at_x(strand, m(58.0), Motion::Hauling)).unwrap();
    assert!(state.litter_height() < m(0.15));
    let lost = state.failure(Failure::TrackRope, &values(), Detail::InTime).unwrap();
    assert_eq!(lost.end, FailureEnd::SetDown, "{lost:?}");
    assert!(lost.impact.unwrap().into_ground.bound.value <= SET_DOWN_M_PER_S);
    assert!(lost.end.at_most_sets_down() && !FailureEnd::Lies.at_most_sets_down());
    // The same, half a metre up.
    let higher = model.with(|values| values.load.hang = m(0.5)).unwrap();
    let lost = at(&higher, strand, 58.0).failure(Failure::TrackRope, &values(), Detail::InTime).unwrap();
    assert_eq!(lost.end, FailureEnd::Lies, "{lost:?}");
}

#[test]
fn a_capstan_holds_its_tail_or_lets_the_track_go() {
    let site = site();
    let (model, strand) = (site.model().unwrap(), strand());
    let state = at(&model, strand, 20.0);
    let tension = state.forces().unwrap()[Place::Capstan].value;
    // T·e^(−μθ)
    let needed = tension * (-0.1 * 10.0 * std::f64::consts::PI).exp();
    let with = |tail: f64| {
        let values = FailureValues { capstan_tail: n(tail), ..values() };
        state.failure(Failure::CapstanTail, &values, Detail::Bounds).unwrap()
    };
    let held = with(needed * (1.0 + 1e-9));
    assert_eq!((held.end, held.holds), (FailureEnd::Stays, Holds::TrackAndHaul));
    let runs = with(needed * (1.0 - 1e-9));
    assert_eq!(runs.holds, Holds::Haul);
    assert_eq!(runs.drop, bounds(&state, Failure::TrackRope).drop);
}

#[test]
fn a_frame_is_judged_without_the_foot_or_the_guy_that_goes() {
    let site = site();
    let strand = strand();
    let model = site.model().unwrap();
    let state = at(&model, strand, 20.0);
    for foot in 0..3 {
        let slips = bounds(&state, Failure::Foot(foot));
        assert_eq!(slips.end, FailureEnd::FrameFalls);
        assert!(!slips.haul_goes_on && slips.slack_if_frame_falls > m(1.0));
    }
    let guyed = model
        .with(|values| {
            for (x, y) in [(-8.0, 0.0), (-7.0, 5.0)] {
                values.guys.push(Point3::new(m(x), m(y), m(0.0)));
            }
        })
        .unwrap();
    let state = at(&guyed, strand, 20.0);
    let lost = bounds(&state, Failure::Guy(0));
    assert_eq!(lost.end, FailureEnd::Stays);
    assert!(lost.haul_goes_on);
    // Each member takes twice what is added, and no less than before.
    let without = guyed
        .with(|values| {
            values.guys.remove(0);
        })
        .unwrap();
    let (UnderRopes::Stands(before), UnderRopes::Stands(after)) =
        (state.frame().unwrap(), without.frame_under(&[state.head_ropes()]).unwrap())
    else {
        panic!()
    };
    let expected = before.leg().max(2.0 * after.leg() - before.leg());
    assert_eq!(lost.peaks[Place::Leg].bound, expected.max(after.leg()));
    // One leg is no frame.
    let mono = model.with(|values| values.feet.truncate(1)).unwrap();
    assert!(bounds(&at(&mono, strand, 20.0), Failure::Foot(0)).frame.is_none());
}

#[test]
fn a_leg_of_an_anchor_that_fails_lets_it_settle_on_the_others() {
    let site = site();
    let (model, strand) = (site.model().unwrap(), strand());
    let state = at(&model, strand, 20.0);
    let leg = |x: f64, y: f64| AnchorLeg::new(Point3::new(m(x), m(y), m(0.0)), n(60e3)).unwrap();
    let anchor =
        Anchor::new(Point3::new(m(0.0), m(0.0), m(0.0)), &[leg(3.0, 1.0), leg(3.0, 0.0), leg(3.0, -1.0)]);
    let anchors = [(Place::Far, anchor.unwrap())];
    let values = FailureValues { anchors: &anchors, ..values() };
    let all: Vec<Failure> = model.failures(&anchors).collect();
    for leg in 0..3 {
        assert!(all.contains(&Failure::AnchorLeg(0, leg)));
        let lost = state.failure(Failure::AnchorLeg(0, leg), &values, Detail::Bounds).unwrap();
        let legs = lost.legs.unwrap();
        assert_eq!(legs.after.shares.tensions()[leg], n(0.0));
        assert!(legs.drop >= m(0.0));
        // The anchor gives towards the head: the litter comes down a little, and goes on.
        let still = lost.still.unwrap();
        assert!(still.litter_height < state.litter_height());
        assert!((state.litter_height() - still.litter_height).value < 0.2 && lost.haul_goes_on);
        assert!(lost.drop.bound >= lost.drop.expected && lost.drop.bound <= state.litter_height());
    }
    assert!(matches!(
        state.failure(Failure::AnchorLeg(1, 0), &values, Detail::Bounds),
        Err(FailureError::NoSuchPart { part: "anchor", index: 1 })
    ));
    assert!(matches!(
        state.failure(Failure::AnchorLeg(0, 3), &values, Detail::Bounds),
        Err(FailureError::Anchor(_))
    ));
}

#[test]
fn what_can_not_fail_is_refused() {
    let site = site();
    let (model, strand) = (site.model().unwrap(), strand());
    let state = at(&model, strand, 20.0);
    let refused = |state: &State<'_, '_>, failure: Failure, values: &FailureValues<'_>| {
        state.failure(failure, values, Detail::Bounds).unwrap_err()
    };
    for (failure, part) in
        [(Failure::HaulRedirect(1), "haul redirect"), (Failure::Guy(0), "guy"), (Failure::Foot(3), "foot")]
    {
        assert!(
            matches!(refused(&state, failure, &values()), FailureError::NoSuchPart { part: p, .. } if p == part)
        );
    }
    let without = model.with(|values| values.track.redirect.holds = false).unwrap();
    assert!(!without.failures(&[]).any(|failure| failure == Failure::TrackRedirect));
    assert!(matches!(
        refused(&at(&without, strand, 20.0), Failure::TrackRedirect, &values()),
        FailureError::NoSuchPart { part: "track redirect", index: 0 }
    ));
    let unloaded = model.state(&Situation::unloaded(strand)).unwrap();
    assert_eq!(refused(&unloaded, Failure::HaulRope, &values()), FailureError::NoLoad);
    let belayed = Situation::at_x(strand, m(20.0), Motion::AtRest).held_by(HoldingRope::Belay);
    assert_eq!(refused(&model.state(&belayed).unwrap(), Failure::TrackRope, &values()), FailureError::NoLoad);
    let gone = model.state(&Situation::without_track(m(20.0))).unwrap();
    assert_eq!(refused(&gone, Failure::TrackRope, &values()), FailureError::NoLoad);
    let no_winch = FailureValues { winch: None, ..values() };
    assert_eq!(refused(&state, Failure::Jam, &no_winch), FailureError::NoWinch);
    let standing = WinchPull { speed: Velocity::new::<meter_per_second>(0.0), greatest: n(9e3) };
    let standing = FailureValues { winch: Some(standing), ..values() };
    assert!(
        matches!(refused(&state, Failure::Jam, &standing), FailureError::Input(why) if why.field == "winch_speed")
    );
}

/// Bounds in closed form are at least what is followed in time, at every place of rigs drawn from a family, and every
/// one has an answer.
#[test]
fn what_is_followed_in_time_stays_below_the_closed_bounds() {
    let site = site();
    let base = site.model().unwrap();
    let strand = strand();
    let mut compared = 0;
    for (i, hang) in [0.4, 0.8, 1.1].into_iter().enumerate() {
        for (j, slack) in [0.1, 0.6, 1.5].into_iter().enumerate() {
            let model = base
                .with(|values| {
                    values.load.hang = m(hang);
                    values.belay.as_mut().unwrap().slack = m(slack);
                    values.load.carriage *= 1.0 + 0.3 * j as f64;
                })
                .unwrap();
            let x = 55.0 - 13.0 * i as f64 - 5.0 * j as f64;
            let Ok(state) = model.state(&Situation::at_x(strand, m(x), Motion::Hauling)) else {
                panic!("{x}")
            };
            for failure in model.failures(&[]) {
                let quick = bounds(&state, failure);
                let full = state.failure(failure, &values(), Detail::InTime).unwrap();
                for (place, peak) in full.peaks.iter() {
                    let closed = quick.peaks[place].bound.value;
                    // The members of a frame that falls have no forces.
                    if matches!(place, Place::Leg | Place::Guy) && quick.end <= FailureEnd::FrameFalls {
                        continue;
                    }
                    // What is followed in time is raised by 5 %; the frame's members follow from those.
                    assert!(
                        peak.bound.value <= 1.05 * closed + 1e-9,
                        "{failure:?} {x} {hang} {slack} {place:?}: {peak:?} {closed}"
                    );
                    assert!(peak.expected <= peak.bound);
                }
                assert!(full.drop.bound.value <= 1.05 * quick.drop.bound.value + 1e-3, "{failure:?} {x}");
                compared += 1;
            }
        }
    }
    assert!(compared >= 90, "{compared}");
}

#[test]
fn the_matrix_has_every_failure_and_its_worst() {
    let site = site();
    let (model, strand) = (site.model().unwrap(), strand());
    let mut states: Vec<State<'_, '_>> = Vec::new();
    for i in 0..40 {
        let x = 59.0 - f64::from(i) * 56.0 / 39.0;
        states.push(at(&model, strand, x));
    }
    let matrix = Failures::of(&states, &values()).unwrap();
    assert!(matrix.states.len() >= 7 && matrix.states.len() <= 10);
    assert_eq!((matrix.states[0], *matrix.states.last().unwrap()), (0, 39));
    assert_eq!(matrix.rows.len(), model.failures(&[]).count());
    for row in &matrix.rows {
        assert_eq!(row.cells.len(), matrix.states.len());
        let worst = row.worst().unwrap();
        assert!(row.cells.iter().all(|cell| cell.consequence.end >= worst.consequence.end));
        assert!(row.cells.iter().all(|cell| cell.consequence.failure == row.failure));
    }
    let of = |failure: Failure| matrix.rows.iter().find(|row| row.failure == failure).unwrap();
    assert_eq!(of(Failure::TrackRope).worst().unwrap().consequence.end, FailureEnd::FrameFalls);
    assert!(of(Failure::TrackRope).cells.iter().any(|cell| cell.consequence.detail == Detail::InTime));
    // Power goes anywhere without harm: over the whole travel.
    let (from, to) = of(Failure::Power).sets_down.unwrap();
    assert!((from - m(59.0)).abs() < m(1e-9) && (to - m(3.0)).abs() < m(1e-9));
    assert!(of(Failure::Foot(0)).sets_down.is_none() && matrix.sets_down.is_none());
    assert_eq!(Failures::of(&[], &values()).unwrap_err(), FailureError::NoLoad);
    // A state that there is not is no failure of the matrix.
    assert!(matches!(
        model.state(&Situation::at_x(strand, m(90.0), Motion::Hauling)),
        Err(StateError::Input(_) | StateError::Carriage { .. } | StateError::OffGround { .. })
    ));
}

#[test]
fn a_study_prints_the_failures_of_every_part() {
    let study = operation::solve(&site()).unwrap();
    let table = study.failures.as_ref().unwrap();
    assert_eq!(table.rows.len(), site().model().unwrap().failures(&[]).count());
    for row in &table.rows {
        assert_eq!(row.cells.len(), table.positions.len());
        assert!(row.cells.iter().zip(&table.positions).all(|(cell, position)| cell.position == *position));
        assert!(row.text.starts_with("With the load ") && row.text.ends_with('.'), "{}", row.text);
        assert!(row.text.contains(&row.name));
        // Each end says so in its own words.
        let end = row.cells[row.worst].end;
        assert!(row.cells.iter().all(|cell| cell.end >= end));
        let says = match end {
            FailureEnd::FrameFalls => "the frame may fall",
            FailureEnd::NotSurvivable => "survives is not to be counted on",
            FailureEnd::Stays => "stays where it is",
            FailureEnd::Hangs => "hangs on",
            FailureEnd::Lies => "lies there",
            other => panic!("{other:?}: {}", row.text),
        };
        assert!(row.text.contains(says), "{}", row.text);
    }
    let track = table.rows.iter().find(|row| row.failure == Failure::TrackRope).unwrap();
    // The report of service says that the frame stands; with the track lost far out it falls.
    assert!(study.summary.least_margin.unwrap().margin.value > 0.0);
    assert_eq!(track.cells[track.worst].end, FailureEnd::FrameFalls);
    assert!(track.cells[0].frame_margin.unwrap().value < 0.0);
    let json = serde_json::to_value(table).unwrap();
    let cell = &json["rows"][0]["cells"][0];
    assert_eq!(json["rows"][0]["failure"], "track-rope");
    assert_eq!(cell["end"], "frame-falls");
    for key in ["drop_m", "run_m"] {
        assert!(cell[key]["bound"].as_f64().unwrap() >= cell[key]["expected"].as_f64().unwrap());
    }
    // A haul rope that can't hold says that it may break, and how nearly.
    let mut weak = site();
    weak.haul.rope.strength = Some(n(6e3));
    let weak = operation::solve(&weak).unwrap();
    let lost = weak.failures.unwrap().rows.into_iter().find(|row| row.failure == Failure::TrackRope).unwrap();
    let breaks = lost.cells.iter().find(|cell| cell.end == FailureEnd::Breaks).expect("nothing breaks");
    let factor = breaks.least_factor.as_ref().unwrap();
    assert_eq!(factor.place, Place::HaulRope);
    assert!(factor.factor < 1.0);
}
