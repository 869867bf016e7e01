//! The calls in closed form, and whatever promises to run on a controller, make no allocation.
//!
//! One test for each module; each call runs once before it is counted.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test that can't go on has failed"
)]

use std::hint::black_box;

/// Runs a call and counts what it takes from the heap.
fn heap_free<T>(name: &str, call: impl Fn() -> T) {
    black_box(call());
    let counted = allocation_counter::measure(|| {
        black_box(call());
    });
    assert_eq!(counted.count_total, 0, "{name} allocates");
}

#[test]
fn the_counter_counts() {
    let counted = allocation_counter::measure(|| {
        black_box(vec![1.0; 3]);
    });
    assert_eq!(counted.count_total, 1);
}

#[test]
fn line_and_sheave() {
    use rope_mechanics::line::elastic::ElasticLine;
    use rope_mechanics::motion::Motion;
    use rope_mechanics::quantity::unit::{degree, kilogram_per_meter, meter, newton, ratio};
    use rope_mechanics::quantity::{Angle, Force, Length, LineMass, Ratio, line_weight_of};
    use rope_mechanics::rope::{Rope, Stretch};
    use rope_mechanics::sheave::{Bar, Measured, Turn};

    let (m, n) = (Length::new::<meter>, Force::new::<newton>);
    for stretch in [Stretch::linear(n(8e4)), Stretch::stiffening(n(8e4), n(2e5))] {
        let weight = 2.0 * line_weight_of(LineMass::new::<kilogram_per_meter>(0.085));
        let line = ElasticLine::new(m(70.0), m(-45.0), m(84.0), weight, stretch.unwrap()).unwrap();
        heap_free("ElasticLine::solve", || line.solve());
        heap_free("ElasticLine::solve_robust", || line.solve_robust());
    }
    let (r, wrap) = (Ratio::new::<ratio>, Angle::new::<degree>(120.0));
    heap_free("Turn::sheave, band", || Turn::sheave(r(0.9)).unwrap().band(wrap));
    heap_free("Turn::bar, band", || Turn::bar(r(0.2), r(0.25)).unwrap().band(wrap));
    heap_free("Measured::turns", || {
        Measured::Descender.turns().map(|turn| (turn.band(wrap), turn.efficiency()))
    });
    heap_free("Bar::raising, lowering", || (Bar::Wood.raising(), Bar::Wood.lowering()));
    heap_free("Motion::of, Band::map", || {
        Motion::AtRest.of(Turn::bar(r(0.2), r(0.25)).unwrap().band(wrap).unwrap()).map(|x| x * n(2e3))
    });
    heap_free("Turn, an error", || Turn::bar(r(-0.2), r(0.25)));
    for stretch in [Stretch::linear(n(8e4)).unwrap(), Stretch::stiffening(n(8e4), n(2e5)).unwrap()] {
        heap_free("Stretch::strain", || stretch.strain(n(2e3)));
        heap_free("Stretch::tension", || stretch.tension(r(0.03)));
        heap_free("Stretch::strands, scaled", || (stretch.strands(2), stretch.scaled(r(2.0))));
        heap_free("Stretch::a", || (stretch.a(), stretch.b(), stretch.is_linear()));
        heap_free("Rope::weight", || {
            let rope = Rope::new(LineMass::new::<kilogram_per_meter>(0.085), stretch, n(3e4)).unwrap();
            (rope.mass(), rope.weight(), rope.breaking_strength())
        });
    }
}

#[test]
fn carriage() {
    use rope_mechanics::carriage::{HaulRope, Held, Load, Track, fixed, rolling};
    use rope_mechanics::geometry::Point2;
    use rope_mechanics::quantity::unit::{meter, newton};
    use rope_mechanics::quantity::{Force, Length};
    use rope_mechanics::rope::Stretch;

    let (m, n) = (Length::new::<meter>, Force::new::<newton>);
    let at = |x, z| Point2::new(m(x), m(z));
    let stretch = Stretch::linear(n(80e3)).unwrap();
    let track = Track::new(at(0.0, 0.0), at(70.0, -45.0), m(95.0), n(1.7) / m(1.0), stretch).unwrap();
    let load = Load::new(n(2450.0)).unwrap();
    let held = Held::new(track, load, HaulRope::new(at(0.0, 0.0)).unwrap());
    heap_free("rolling", || rolling(&track, &load));
    heap_free("fixed", || fixed(&track, &load, m(30.0)));
    heap_free("Held::at_x", || held.at_x(m(30.0)));
    heap_free("Held::by_haul_length", || held.by_haul_length(m(40.0)));
    heap_free("Held::length_for_point", || held.length_for_point(at(30.0, -29.0)));
    heap_free("Held::length_for_tension", || held.length_for_tension(m(30.0), n(4000.0)));
    heap_free("Held::load_at_point", || held.load_at_point(at(30.0, -29.0)));
    heap_free("CarriageState::draw", || held.at_x(m(30.0)).map(|state| state.draw(&mut [at(0.0, 0.0); 9])));
    heap_free("CarriageError", || held.at_x(m(69.0)));
}

#[test]
fn reeving() {
    use rope_mechanics::geometry::{Direction3, Point3};
    use rope_mechanics::motion::Motion;
    use rope_mechanics::quantity::unit::{degree, meter, newton, ratio};
    use rope_mechanics::quantity::{Angle, Force, Length, Ratio};
    use rope_mechanics::reeving::{
        Bend, DoubledTrack, DoubledTrackPlaces, DoubledTrackTurns, Known, MAX_TURNS, Redirect, Reeving, Side,
        Strand, Tensions, TrackKnown, redirect_load,
    };
    use rope_mechanics::sheave::Turn;

    let n = Force::new::<newton>;
    let sheave = Turn::sheave(Ratio::new::<ratio>(0.9)).unwrap();
    let at = |x, y, z| Point3::new(Length::new::<meter>(x), Length::new::<meter>(y), Length::new::<meter>(z));
    let right = Angle::new::<degree>(90.0);
    heap_free("Turn::band", || sheave.band(right));
    heap_free("redirect_load", || redirect_load(n(1e3), right));
    heap_free("Redirect::load", || {
        let level = Direction3::between(at(0.0, 0.0, 0.0), at(1.0, 0.0, 0.0)).unwrap();
        Redirect::new(sheave, Direction3::DOWN, level).load(n(1e3), Motion::AtRest)
    });
    for motion in [Motion::Hauling, Motion::Lowering, Motion::AtRest] {
        heap_free("Reeving::tensions", || {
            let rope = Reeving::new(&[Bend::of(right, sheave).unwrap(); MAX_TURNS]).unwrap();
            rope.tensions(Known::at(3, Side::Pulling, n(1e3)).unwrap(), motion)
        });
        heap_free("Reeving::tensions_into", || {
            let mut rope = Reeving::STRAIGHT;
            rope.add(Bend::at(at(0.0, 0.0, 3.0), sheave).unwrap()).unwrap();
            rope.set_ends(at(9.0, 0.0, 0.0), at(-9.0, 0.0, 0.0)).unwrap();
            rope.set_strand(0, Strand::rising(n(20.0)).unwrap()).unwrap();
            let mut tensions = Tensions::default();
            rope.tensions_into(Known::at(0, Side::Pulling, n(1e3)).unwrap(), motion, &mut tensions)
        });
        heap_free("Reeving::with_strand", || {
            let rope = Reeving::new(&[Bend::at(at(0.0, 0.0, 3.0), sheave).unwrap()]).unwrap();
            let rope = rope.with_ends(at(9.0, 0.0, 0.0), at(-9.0, 0.0, 0.0)).unwrap();
            let rope = rope.with_strand(0, Strand::rising(n(20.0)).unwrap()).unwrap();
            let tensions = rope.tensions(Known::at(0, Side::Pulling, n(1e3)).unwrap(), motion).unwrap();
            (tensions.pulling_end(), tensions.standing_end(), tensions.report())
        });
        heap_free("DoubledTrack::tensions", || {
            let places = DoubledTrackPlaces {
                capstan: at(-8.0, 2.0, -2.0),
                redirect: at(-1.0, 1.5, -2.5),
                head: at(0.0, 0.0, 0.0),
                far_sheave: at(70.0, 0.0, -45.0),
                anchor: at(-10.0, -1.0, -2.0),
            };
            let turns = DoubledTrackTurns { redirect: sheave, frame: Some(sheave), far_sheave: sheave };
            let mut track = DoubledTrack::new(places, turns).unwrap();
            track.set_strands(Strand::STRAIGHT, Strand::STRAIGHT).unwrap();
            let tensions = track.tensions(TrackKnown::Cell(n(1e3)), motion).unwrap();
            let strands = (tensions.strand_out(), tensions.strand_back(), track.part_out());
            let at_head = (tensions.frame(), tensions.head_crossings(), tensions.behind_head());
            (tensions.highest(), tensions.cell(), strands, at_head)
        });
    }
    // An error doesn't allocate either.
    heap_free("ReevingError", || Reeving::new(&[Bend::of(right, sheave).unwrap(); MAX_TURNS + 1]));
}

#[test]
fn capstan() {
    use rope_mechanics::capstan::{Capstan, Hand, RaiseLowerTest};
    use rope_mechanics::quantity::unit::{newton, revolution};
    use rope_mechanics::quantity::{Angle, Force};

    let (n, three) = (Force::new::<newton>, Angle::new::<revolution>(3.0));
    heap_free("Capstan::tail", || Capstan::DRUM.tail(n(2670.0), three));
    heap_free("Capstan::load", || Capstan::DRUM.load(n(100.0), three));
    heap_free("Capstan::grip", || Capstan::DRUM.grip(n(2670.0), n(100.0), three));
    heap_free("Capstan::turns_to_hold", || Capstan::DRUM.turns_to_hold(n(2670.0), n(100.0)));
    let groove = Angle::new::<revolution>(1.0 / 6.0);
    heap_free("Capstan::with_groove", || Capstan::DRUM.with_groove(groove).unwrap().tail(n(2670.0), three));
    heap_free("Hand::that_holds", || Hand::that_holds(n(100.0)));
    let test = || RaiseLowerTest::new(n(98.0), n(50.0), three).unwrap();
    heap_free("RaiseLowerTest::friction", || test().friction());
    heap_free("RaiseLowerTest::frictions", || test().frictions(n(70.0)));
    heap_free("RaiseLowerTest::turn", || test().turn(n(70.0)));
}

#[test]
fn strength() {
    use rope_mechanics::quantity::unit::{kilonewton, millimeter, ratio};
    use rope_mechanics::quantity::{Force, Length, Ratio};
    use rope_mechanics::strength::{Component, ComponentKind, Reduction, reduced_strength, weakest_link};

    let (kn, mm) = (Force::new::<kilonewton>, Length::new::<millimeter>);
    heap_free("reduced_strength", || {
        reduced_strength(kn(40.0), &[Reduction::KNOT, Reduction::bend(mm(50.0), mm(11.0)).unwrap()])
    });
    let rope = Component::new(ComponentKind::Rope, kn(28.0), kn(2.0)).unwrap();
    heap_free("Component::meets", || (rope.safety_factor(), rope.meets(Ratio::new::<ratio>(10.0))));
    heap_free("weakest_link", || weakest_link(&[rope; 12]));
}

#[test]
fn slope() {
    use rope_mechanics::quantity::unit::{degree, newton, ratio};
    use rope_mechanics::quantity::{Angle, Force, Ratio};
    use rope_mechanics::slope::{SlopeClasses, SlopeLoad, ground_drag};

    let (n, r, bank) = (Force::new::<newton>, Ratio::new::<ratio>, Angle::new::<degree>(35.0));
    heap_free("SlopeLoad::pull", || SlopeLoad::new(n(2450.0), bank, r(0.3)).unwrap().pull());
    heap_free("SlopeLoad::pull, with all that helps", || {
        let load = SlopeLoad::new(n(2450.0), bank, r(0.3)).unwrap().with_rope_angle(bank).unwrap();
        load.with_carried_share(r(0.2)).unwrap().with_attendants(n(1600.0), r(0.1)).unwrap().pull()
    });
    heap_free("ground_drag", || ground_drag(n(2450.0), r(0.2), bank, r(0.3)));
    heap_free("SlopeClasses::class", || SlopeClasses::default().class(bank));
}

#[test]
fn tackle_and_haul() {
    use rope_mechanics::geometry::{Direction3, Point3};
    use rope_mechanics::haul::{HaulRedirect, LoadPull, Route};
    use rope_mechanics::quantity::unit::{degree, meter, meter_per_second, newton, ratio};
    use rope_mechanics::quantity::{Angle, Force, Length, Ratio, Velocity};
    use rope_mechanics::sheave::Turn;
    use rope_mechanics::tackle::{
        Builder, CyclePlan, Layout, Name, Preference, RopeStop, TackleSearch, Usual, UsualForm,
    };

    let (n, m) = (Force::new::<newton>, Length::new::<meter>);
    let pulley = Turn::sheave(Ratio::new::<ratio>(0.9)).unwrap();
    let layout = Layout::new(m(60.0), m(10.0)).unwrap();
    let plan = CyclePlan::new(m(40.0)).unwrap().with_setback(m(0.05)).unwrap();
    for usual in Usual::all() {
        heap_free("Usual::build", || usual.build_alike(&layout, pulley));
        heap_free("Usual::reeve", || {
            let mut rig = Builder::new();
            usual.reeve(&mut rig, &layout, &[pulley; 8][..usual.sheaves()]).unwrap();
            rig.close().unwrap().velocity_ratio()
        });
        let tackle = usual.build_alike(&layout, pulley).unwrap();
        heap_free("Tackle::advantage", || tackle.advantage());
        heap_free("Tackle::held", || tackle.held(n(2e3)).unwrap().highest());
        heap_free("Tackle::cycle", || tackle.cycle(&plan));
        heap_free("Tackle::throw", || tackle.throw(m(0.5)));
        heap_free("Tackle::setback_ratio", || tackle.setback_ratio());
        heap_free("Tackle::rope_needed", || (tackle.rope_needed(), tackle.velocity_ratio()));
        heap_free("Forces", || {
            let forces = tackle.hauling(n(2e3)).unwrap();
            let on_sheaves: f64 = forces.sheaves().map(|s| s.force.magnitude().value).sum();
            (forces.parts().count(), on_sheaves, tackle.carriers().map(|c| forces.on(c).x.value).sum::<f64>())
        });
        heap_free("Tackle::without_losses", || tackle.without_losses(n(2e3)).unwrap().report());
        heap_free("Tackle::travel_of", || {
            tackle
                .carriers()
                .map(|c| tackle.travel_of(c).value + tackle.carrier_name(c).len() as f64)
                .sum::<f64>()
        });
        heap_free("Tackle::lowering", || {
            let forces = tackle.lowering(n(2e3)).unwrap();
            let ropes = forces.parts().map(|of| of.part.rope);
            ropes
                .map(|rope| tackle.rope_length(rope).value + tackle.rope_name(rope).len() as f64)
                .sum::<f64>()
        });
    }
    heap_free("Search::find", || {
        TackleSearch::new(n(2e3), n(500.0), pulley, layout).unwrap().find(Preference::LeastRope).unwrap().hand
    });
    heap_free("Builder::carrier", || {
        let at = |x| Point3::new(m(x), m(0.0), m(0.0));
        let mut rig = Builder::new();
        let load = rig.load("load", at(10.0), Direction3::DOWN).unwrap();
        let block = rig.carrier("block", at(5.0), Direction3::DOWN).unwrap();
        let crew = rig.anchor("crew", at(0.0)).unwrap();
        let stop = RopeStop::Sheave(block, pulley);
        rig.rope("haul", &[RopeStop::End(load), stop, RopeStop::Hand(crew)]).unwrap();
        (stop.carrier(), Name::new("block").unwrap().as_str().len())
    });
    heap_free("TackleError", || {
        let mut rig = Builder::new();
        let load = rig.load_in_line("load", m(10.0)).unwrap();
        rig.carrier_in_line("block", m(5.0)).unwrap();
        let crew = rig.anchor_in_line("crew", m(0.0)).unwrap();
        rig.rope("haul", &[RopeStop::End(load), RopeStop::Hand(crew)]).unwrap();
        rig.build().unwrap_err()
    });
    let redirect = HaulRedirect::new(pulley, Angle::new::<degree>(90.0)).unwrap();
    let pull = LoadPull::steady(n(2e3)).unwrap();
    heap_free("Haul::forces", || {
        let haul = Route::new(layout, pulley)
            .haul_with(Usual::all().nth(2).unwrap().build_alike(&layout, pulley).unwrap());
        let speed = Velocity::new::<meter_per_second>(0.3);
        (haul.forces(pull), haul.load_speed(speed), haul.winch_speed(speed))
    });
    heap_free("Route::least_advantage", || {
        let route =
            Route::new(layout, pulley).with_before(&[redirect]).unwrap().with_after(&[redirect; 2]).unwrap();
        let choice = route.least_advantage(pull, n(600.0), UsualForm::Direct, false).unwrap();
        let haul = route.haul(choice.usual).unwrap();
        let journey = haul.journey(&plan, Velocity::new::<meter_per_second>(0.3)).unwrap();
        (journey.pulling, haul.redirects(pull).unwrap().map(|r| r.hauling.value).sum::<f64>())
    });
}

#[test]
fn arrest() {
    use rope_mechanics::arrest::{
        Fall, Holding, SlipDevice, SuddenStop, hand_over, step_factor, stiffness_from_drop_test,
    };
    use rope_mechanics::quantity::unit::{meter, meter_per_second, newton, ratio};
    use rope_mechanics::quantity::{Force, Length, Ratio, Velocity};
    use rope_mechanics::rope::Stretch;

    let (n, m) = (Force::new::<newton>, Length::new::<meter>);
    let stretch = Stretch::stiffening(n(30e3), n(200e3)).unwrap();
    let fall = Fall::new(n(2450.0), m(1.0), m(3.0), stretch).unwrap();
    heap_free("Fall::arrest", || fall.arrest());
    heap_free("Fall::arrest, out of travel", || {
        let device = SlipDevice::new(n(6e3)).unwrap().with_travel(m(0.1)).unwrap();
        Fall::new(n(2450.0), m(1.0), m(3.0), stretch).unwrap().with_slip(device).arrest()
    });
    heap_free("Fall::arrest, slipping", || fall.with_slip(SlipDevice::new(n(8e3)).unwrap()).arrest());
    heap_free("Fall::arrest, an error", || fall.with_slip(SlipDevice::new(n(1e3)).unwrap()).arrest());
    let lanyard = Stretch::stiffening(n(6e4), n(9e5)).unwrap();
    heap_free("SuddenStop::arrest", || {
        let one =
            SuddenStop::new(n(2450.0), Velocity::new::<meter_per_second>(0.5), m(9.0), stretch).unwrap();
        (one.arrest(), one.with_in_series(lanyard, m(1.0)).unwrap().arrest())
    });
    heap_free("Fall::with_reaction, with_slack", || {
        fall.with_reaction(m(0.3)).and_then(|fall| fall.with_slack(m(0.2))).unwrap().arrest()
    });
    heap_free("Fall::with_in_series", || {
        let three = fall.with_in_series(Stretch::linear(n(6e4)).unwrap(), m(1.0)).unwrap();
        let three = three.with_in_series(stretch, m(0.5)).unwrap();
        (three.factor(), three.arrest(), three.with_slip(SlipDevice::new(n(8e3)).unwrap()).arrest())
    });
    heap_free("stiffness_from_drop_test", || {
        stiffness_from_drop_test(n(9e3), n(784.8), Ratio::new::<ratio>(1.77))
    });
    heap_free("step_factor", || step_factor(Ratio::new::<ratio>(0.08)));
    heap_free("hand_over", || {
        let belay = Holding::slack(stretch, m(40.0), m(0.5)).unwrap();
        let taut = Holding::taut(stretch, m(40.0), n(300.0)).unwrap();
        let in_series = [belay, taut].map(|rope| rope.with_in_series(lanyard, m(1.0)).unwrap());
        (hand_over(n(1363.0), &[belay, taut]), hand_over(n(1363.0), &in_series))
    });
}

#[test]
fn bridle() {
    use rope_mechanics::arrest::track_lost;
    use rope_mechanics::bridle::{Bridle, BridleRope};
    use rope_mechanics::geometry::Point3;
    use rope_mechanics::quantity::unit::{meter, newton};
    use rope_mechanics::quantity::{Force, Length};
    use rope_mechanics::rope::Stretch;

    let (n, m) = (Force::new::<newton>, Length::new::<meter>);
    let at = |x, y, z| Point3::new(m(x), m(y), m(z));
    let rope = |from| BridleRope::new(from, Stretch::linear(n(4e4)).unwrap()).unwrap();
    let ropes = [rope(at(0.0, 0.0, 3.0)), rope(at(-6.0, 2.0, 1.5)), rope(at(-5.0, -4.0, 2.0))];
    let three = Bridle::new(n(2450.0), ropes).unwrap();
    heap_free("Bridle::at_lengths", || three.at_lengths([m(3.0), m(4.0), m(4.0)]));
    heap_free("Bridle::at_position", || three.at_position(at(-3.0, 0.0, -1.0)));
    heap_free("Bridle::at_position, an error", || three.at_position(at(3.0, 0.0, -1.0)));
    heap_free("Bridle::slack_length", || three.slack_length(2, [m(3.0), m(4.0), m(4.0)]));
    heap_free("Bridle::swing", || {
        let way = three.swing([m(3.0), m(4.0), m(4.0)], [m(5.0), m(2.0), m(4.0)], 20).unwrap();
        way.filter_map(Result::ok).map(|hang| hang.on_points[0].y).fold(n(0.0), Force::max)
    });
    heap_free("Bridle::carry", || {
        let way = three.carry(at(-3.0, 0.0, -1.0), at(3.0, 0.0, -1.0), 20).unwrap();
        way.map(|hang| hang.map_or(0, |hang| hang.slack.iter().filter(|slack| **slack).count()))
            .sum::<usize>()
    });
    heap_free("track_lost", || track_lost(&three, [m(3.0), m(4.0), m(4.0)], at(-3.0, 0.0, 0.5), m(0.8)));
}

#[test]
fn frames_and_anchors() {
    use rope_mechanics::anchor::{
        Anchor, AnchorLeg, Beam, Deadman, DeadmanSoil, Picket, PicketSoil, Pickets, Surface, Vehicle,
        v_anchor,
    };
    use rope_mechanics::frame::{Frame, FrameError, Guy, HeadPull, Leg, resultant};
    use rope_mechanics::geometry::{Direction3, Force3, Point3};
    use rope_mechanics::quantity::unit::{self, degree, kilogram, meter, newton, ratio};
    use rope_mechanics::quantity::{Angle, Force, Length, Mass, Ratio};

    let n = Force::new::<newton>;
    let at = |x, y, z| Point3::new(Length::new::<meter>(x), Length::new::<meter>(y), Length::new::<meter>(z));
    let legs =
        [at(1.2, 0.0, 0.0), at(-0.6, 1.0, 0.0), at(-0.6, -1.0, 0.0)].map(|foot| Leg::new(foot).unwrap());
    let guys = [at(-9.0, 2.0, 0.0), at(-9.0, -2.0, 0.0)].map(|anchor| Guy::new(anchor).unwrap());
    let frame = || Frame::new(at(0.0, 0.0, 2.5), &legs, &guys).unwrap().hobbled_around().unwrap();
    heap_free("Frame::solve", || {
        frame()
            .solve(&[HeadPull::towards(at(40.0, 0.0, -30.0), n(3e3)).unwrap()])
            .map(|forces| forces.stability)
    });
    heap_free("Frame::under_each", || {
        let resultants = [-3e3, -4e3].map(|z| Force3::new(n(1e3), n(0.0), n(z)));
        frame().under_each(resultants).filter(Result::is_ok).count()
    });
    let pulls = [HeadPull::towards(at(40.0, 0.0, -30.0), n(3e3)).unwrap()];
    heap_free("resultant", || resultant(at(0.0, 0.0, 2.5), &pulls));
    heap_free("Frame::stability", || frame().stability(Force3::new(n(1e3), n(0.0), n(-3e3))));
    heap_free("Frame::pole_share", || {
        (frame().pole_share(Length::new::<meter>(0.05)), frame().pole_share(Length::new::<meter>(0.04)))
    });
    heap_free("Frame::with_hobbles", || {
        let stiff = legs.map(|leg| leg.with_axial_stiffness(n(1e7)).unwrap().staked());
        let guys = guys.map(|guy| guy.with_axial_stiffness(n(5e4)).unwrap());
        let frame = Frame::new(at(0.0, 0.0, 2.5), &stiff, &guys).unwrap().with_hobbles(&[(0, 1)]).unwrap();
        let down = [HeadPull::along(Direction3::DOWN, n(3e3)).unwrap()];
        let without = frame.with_head(at(0.0, 0.0, 2.0)).unwrap().unguyed();
        (frame.solve(&down).map(|forces| forces.hobbles()[0]), without.solve(&down).map(|f| f.stability))
    });
    heap_free("Frame::at_heads", || {
        let heads = (0..9).map(|i| at(0.3 * f64::from(i), 0.0, 2.0));
        frame()
            .at_heads(heads, &pulls)
            .filter_map(Result::ok)
            .map(|f| f.legs()[0].compression)
            .fold(n(0.0), Force::max)
    });
    heap_free("Frame, one that falls", || {
        Frame::new(at(0.0, 0.0, 2.5), &legs, &[])
            .unwrap()
            .solve(&[HeadPull::towards(at(40.0, 0.0, 2.5), n(3e3)).unwrap()])
            .map_err(|why| match why {
                FrameError::Falls(fall) => fall.wrong_guys().count(),
                _ => 0,
            })
            .err()
    });
    heap_free("Frame::cone_edge", || frame().cone_edge(Angle::new::<degree>(30.0), n(3e3)));
    let anchor = || {
        let legs = [at(1.0, 0.0, 2.0), at(-1.0, 0.0, 2.0)].map(|at| AnchorLeg::new(at, n(5e4)).unwrap());
        Anchor::new(at(0.0, 0.0, 0.0), &legs).unwrap()
    };
    let load = Force3::new(n(0.0), n(0.0), n(-1e3));
    heap_free("v_anchor", || v_anchor(n(1e3), Angle::new::<degree>(60.0)));
    heap_free("Anchor::settle", || anchor().settle(load));
    heap_free("Vehicle::holds", || {
        Vehicle::new(Mass::new::<kilogram>(12e3), Surface::GravelWet.friction()).unwrap().holds()
    });
    heap_free("Vehicle::holds, half braked on a grade", || {
        let truck = Vehicle::new(Mass::new::<kilogram>(12e3), Surface::AsphaltDry.friction()).unwrap();
        let truck = truck.with_grade(Angle::new::<degree>(3.0)).unwrap();
        let truck = truck.with_rope_rise(Angle::new::<degree>(10.0)).unwrap();
        truck.with_braked_share(Ratio::new::<ratio>(0.6)).unwrap().holds()
    });
    heap_free("Vehicle::holds, an error", || {
        let ice = Vehicle::new(Mass::new::<kilogram>(12e3), Surface::Ice.friction()).unwrap();
        ice.with_grade(Angle::new::<degree>(-5.0)).unwrap().holds()
    });
    let ft = Length::new::<unit::foot>;
    heap_free("Picket::hold", || {
        let picket = Picket::new(ft(0.3), ft(5.0), ft(3.0)).unwrap();
        picket.hold(Pickets::ThreeTwoOne, PicketSoil::WetRiverClayAndSand)
    });
    heap_free("Deadman", || {
        let beam = Beam::Log { diameter: ft(1.0) };
        let deadman = Deadman::new(ft(5.0), Ratio::new::<ratio>(0.3), beam, DeadmanSoil::Loam).unwrap();
        (deadman.pressure(), deadman.hold(ft(4.0)), deadman.length_for(n(1e4)), deadman.hold(ft(9.0)))
    });
    heap_free("Anchor::share", || {
        anchor().share(load).map(|s| s.shares().map(|share| share.value).sum::<f64>())
    });
    heap_free("Anchor::after_losing", || anchor().after_losing(0, load));
}

#[test]
fn winch() {
    use rope_mechanics::quantity::unit::{
        ampere, meter, millimeter, milliohm, newton, newton_meter, radian_per_second, ratio, second, volt,
    };
    use rope_mechanics::quantity::{
        Area, ElectricCharge, ElectricCurrent, ElectricPotential, ElectricalResistance, Force, Length,
        MotorConstant, Ratio, Stiffness, ThermodynamicTemperature, Time, Torque, TurningSpeed, Velocity,
    };
    use rope_mechanics::text::Text;
    use rope_mechanics::winch::{
        Battery, CurrentGauge, Drum, DrumSize, Extent, Gear, HaulCycle, HaulStep, LEAD_ACID_COLD,
        LEAD_ACID_OPEN_CIRCUIT, Machine, Motor, MotorPoint, Peukert, Running, Supply, TableRow, TableWinch,
        Winch, WinchPoint, cable_resistance, copper_resistance, fit_motor, fit_winch, jam_rate,
    };

    let (n, a, r) =
        (Force::new::<newton>, ElectricCurrent::new::<ampere>, ElectricalResistance::new::<milliohm>);
    let (share, mm, volts) = (Ratio::new::<ratio>, Length::new::<millimeter>, ElectricPotential::new::<volt>);
    let motor = Motor::new(MotorConstant::from_text("0.055 N·m/A").unwrap(), a(6.0), r(20.0)).unwrap();
    let gear = Gear::new(share(180.0), share(0.72)).unwrap();
    let winch = Winch::new(motor, gear, mm(36.0), Supply::new(volts(25.6), r(8.0), r(3.0)).unwrap()).unwrap();
    let slow = Velocity::from_text("0.05 m/s").unwrap();
    heap_free("Winch::hauling", || winch.hauling(n(2e3)));
    heap_free("Winch::hauling_at", || winch.hauling_at(n(2e3), slow));
    heap_free("Winch::lowering", || winch.lowering(n(2e3)));
    heap_free("Winch::lowering_at", || winch.lowering_at(n(2e3), slow));
    heap_free("Winch::running_back", || winch.running_back(n(4e3), r(100.0)));
    heap_free("Winch::holding", || winch.holding(n(2e3)));
    heap_free("Winch::stall", || winch.stall());
    heap_free("Winch, its parts", || {
        let limited = winch.with_radius(mm(40.0)).unwrap().with_current_limit(a(200.0)).unwrap();
        let state = limited.with_motor(motor).with_supply(winch.supply()).hauling(n(2e3)).unwrap();
        (state.efficiency(), state.losses.total(), limited.gear(), limited.radius())
    });
    heap_free("Motor, its constants", || {
        (motor.constant(), motor.no_load_current(), motor.winding_resistance())
    });
    heap_free("Supply, its parts", || {
        let supply = winch.supply();
        (supply.open_circuit(), supply.battery_resistance(), supply.lead_resistance())
    });
    heap_free("Gear", || {
        let gear = gear.with_back_efficiency(share(0.5)).unwrap();
        (gear.ratio(), gear.efficiency(), gear.back_efficiency(), gear.is_self_locking())
    });
    let jam = || winch.jam(Stiffness::from_text("8 kN/m").unwrap(), n(2e3)).unwrap();
    heap_free("Winch::jam", jam);
    heap_free("Jam::force_after", || jam().force_after(Time::new::<second>(2.0)));
    heap_free("Jam::time_to", || jam().time_to(n(8e3)));
    heap_free("jam_rate", || jam_rate(n(40e3), Length::new::<meter>(5.0), slow));
    heap_free("Machine::hauling", || Machine::from(winch).hauling(n(2e3)));
    heap_free("WinchError", || winch.hauling(n(1e9)));
    let size = DrumSize { core_diameter: mm(64.0), width: mm(220.0), rope_diameter: mm(11.0), layers: 5 };
    heap_free("Drum::layer_at", || Drum::new(size).unwrap().layer_at(Length::new::<meter>(20.0)));
    let drum = Drum::new(size).unwrap();
    heap_free("Drum::radius", || (drum.radius(3), drum.pull_ratio(3), drum.turns_per_layer()));
    heap_free("Drum::capacity", || drum.with_layer_rise(share(0.866)).unwrap().capacity());
    heap_free("DrumFull", || drum.layer_at(Length::new::<meter>(1e3)));
    let row = |pull, current| TableRow { pull: n(pull), current: a(current), line_speed: None };
    heap_free("TableWinch::fit", || {
        let table = TableWinch::fit([row(0.0, 65.0), row(40e3, 480.0)]).unwrap();
        (table.hauling(n(2e3)), table.idle_current(), table.greatest_pull(), table.worst_residual())
    });
    let state = |torque| motor.at_torque(volts(24.0), Torque::new::<newton_meter>(torque)).unwrap();
    let point = |torque| {
        let state = state(torque);
        MotorPoint { voltage: volts(24.0), current: state.current, speed: state.speed, torque: state.torque }
    };
    heap_free("Motor::at_torque", || state(5.0));
    heap_free("Motor::at_speed", || motor.at_speed(volts(24.0), state(5.0).speed));
    heap_free("Motor::warmed_to", || motor.warmed_to(ThermodynamicTemperature::from_text("90 °C").unwrap()));
    heap_free("Motor::from_no_load_and_stall", || {
        let speed = TurningSpeed::new::<radian_per_second>(420.0);
        Motor::from_no_load_and_stall(volts(24.0), speed, a(6.0), Torque::new::<newton_meter>(9.0))
    });
    heap_free("copper_resistance", || {
        copper_resistance(r(20.0), ThermodynamicTemperature::from_text("90 °C").unwrap())
    });
    heap_free("cable_resistance", || {
        cable_resistance(Length::new::<meter>(3.0), Area::from_text("35 mm²").unwrap())
    });
    heap_free("fit_motor", || fit_motor([point(0.0), point(5.0), point(20.0)]));
    let fit = fit_motor([point(0.0), point(5.0), point(20.0)]).unwrap();
    heap_free("MotorFit::residual", || [point(0.0), point(5.0)].map(|point| fit.residual(&point)));
    let work = [2e3, 10e3, 40e3].map(|pull| {
        let state = winch.hauling(n(pull)).unwrap();
        WinchPoint {
            voltage: state.terminal_voltage,
            current: state.motor_current,
            line_speed: state.line_speed,
            pull: state.pull,
        }
    });
    heap_free("fit_winch", || fit_winch(work, share(180.0), mm(36.0)));
    let fit = fit_winch(work, share(180.0), mm(36.0)).unwrap();
    heap_free("WinchFit::residual", || work.map(|point| fit.residual(&point)));
    heap_free("the error of a fit", || fit_motor([point(5.0); 3]));
    heap_free("CurrentGauge::read", || {
        CurrentGauge::of_winch(&winch, a(1.0), (share(0.6), share(0.85)))
            .unwrap()
            .read(a(16.0), Running::Lowering)
    });
    heap_free("CurrentGauge::of_table", || {
        let table = TableWinch::fit([row(0.0, 65.0), row(40e3, 480.0)])
            .unwrap()
            .with_radius_ratio(share(1.5))
            .unwrap();
        CurrentGauge::of_table(&table, a(10.0), share(0.05)).unwrap().read(a(100.0), Running::Hauling)
    });
    let peukert = Peukert::new(
        ElectricCharge::from_text("60 Ah").unwrap(),
        Time::from_text("20 h").unwrap(),
        share(1.2),
    )
    .unwrap();
    heap_free("Peukert", || {
        (peukert.time(a(100.0)), peukert.usable_share(a(100.0)), peukert.rated_current())
    });
    let air = ThermodynamicTemperature::from_text("5 °C").unwrap();
    let battery = || {
        let one = Battery::new(peukert, &LEAD_ACID_OPEN_CIRCUIT, r(4.0)).unwrap();
        one.with_cold(&LEAD_ACID_COLD)
            .unwrap()
            .with_cold_resistance(&LEAD_ACID_COLD)
            .unwrap()
            .bank(2, 1)
            .unwrap()
    };
    heap_free("Battery::supply", || battery().supply(share(0.5), air, r(3.0)));
    heap_free("Battery::capacity", || (battery().capacity(air), battery().open_circuit(share(0.5))));
    heap_free("HaulCycle::run", || {
        let steps = [
            HaulStep::haul(n(2e3), Extent::Distance(Length::new::<meter>(20.0))),
            HaulStep::rest(Time::new::<second>(60.0)),
            HaulStep::lower(n(2e3), Extent::Duration(Time::new::<second>(60.0))).at_speed(slow),
        ];
        HaulCycle::new(winch, battery(), r(3.0), air).unwrap().run(steps, |_| {})
    });
    heap_free("HaulCycle::run by a table", || {
        let table = TableWinch::fit([row(0.0, 65.0), row(40e3, 480.0)]).unwrap();
        let step = HaulStep::haul(n(2e3), Extent::Distance(Length::new::<meter>(5.0))).at_speed(slow);
        HaulCycle::new(table, battery(), r(3.0), air).unwrap().run([step], |_| {})
    });
}

#[test]
fn winch_heat() {
    use rope_mechanics::quantity::unit::{ampere, milliohm, second};
    use rope_mechanics::quantity::{
        ElectricCurrent, ElectricalResistance, HeatCapacity, Power, TemperatureInterval, ThermalResistance,
        ThermodynamicTemperature, Time,
    };
    use rope_mechanics::uom::si::{heat_capacity, power, temperature_interval, thermal_resistance};
    use rope_mechanics::winch::{Heating, OneNode, Temperatures, TwoNode};

    let (a, s) = (ElectricCurrent::new::<ampere>, Time::new::<second>);
    let k = TemperatureInterval::new::<temperature_interval::kelvin>;
    heap_free("OneNode::new", || OneNode::new(a(60.0), k(80.0), s(1200.0)));
    let lump = OneNode::new(a(60.0), k(80.0), s(1200.0)).unwrap();
    heap_free("OneNode::rise_after", || lump.rise_after(k(0.0), a(120.0), s(60.0)));
    heap_free("OneNode::lasting_rise", || lump.lasting_rise(a(120.0)));
    heap_free("OneNode::time_to", || lump.time_to(k(0.0), a(120.0), k(80.0)));
    heap_free("OneNode::current_squared_time", || lump.current_squared_time());
    heap_free("OneNode::lasting_share", || lump.lasting_share(a(120.0)));
    let pulls = || [(a(120.0), s(6000.0)), (a(0.0), s(60.0))];
    heap_free("OneNode::with_rests", || lump.with_rests(k(0.0), pulls(), k(80.0), k(40.0)));
    heap_free("OneNode::duty_cycle", || lump.duty_cycle(a(120.0), s(60.0), s(60.0)));

    let takes = HeatCapacity::new::<heat_capacity::joule_per_kelvin>;
    let hinders = ThermalResistance::new::<thermal_resistance::kelvin_per_watt>;
    let nodes = || TwoNode::new(takes(400.0), takes(4000.0), hinders(0.2), hinders(0.5));
    heap_free("TwoNode::new", nodes);
    let nodes = nodes().unwrap();
    let at = |t: f64| ThermodynamicTemperature::new::<rope_mechanics::quantity::unit::degree_celsius>(t);
    let cold = Temperatures { winding: at(20.0), case: at(20.0) };
    let by = |i| Heating {
        current: a(i),
        winding: ElectricalResistance::new::<milliohm>(20.0),
        idle: Power::new::<power::watt>(30.0),
        air: at(20.0),
    };
    heap_free("TwoNode::after", || nodes.after(cold, by(120.0), s(60.0)));
    heap_free("TwoNode::time_to", || nodes.time_to(cold, by(120.0), at(155.0)));
    heap_free("TwoNode::settles_at", || nodes.settles_at(by(80.0)));
    heap_free("TwoNode::duty_cycle", || nodes.duty_cycle(by(120.0), s(60.0), s(60.0)));
    heap_free("BurnsOut", || nodes.after(cold, by(200.0), s(1e5)));
}

/// A call that works something out is counted: its name stands in this file. Settings (`with_…`) come with it, and
/// what is `const` can't allocate.
#[test]
fn every_call_of_a_device_is_counted() {
    fn sources(path: &std::path::Path, into: &mut Vec<String>) {
        if path.is_dir() {
            std::fs::read_dir(path).unwrap().for_each(|entry| sources(&entry.unwrap().path(), into));
        } else if path.exists() {
            into.push(std::fs::read_to_string(path).unwrap());
        }
    }
    let here = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let counted = std::fs::read_to_string(here.join("tests/allocations.rs")).unwrap();
    let counted: std::collections::BTreeSet<&str> =
        counted.split(|c: char| !c.is_ascii_alphanumeric() && c != '_').collect();
    let mut missing = Vec::new();
    let mut calls = 0;
    for module in [
        "anchor", "arrest", "bridle", "capstan", "frame", "haul", "reeving", "rope", "sheave", "slope",
        "strength", "tackle", "winch",
    ] {
        let mut code = Vec::new();
        sources(&here.join("src").join(module), &mut code);
        sources(&here.join("src").join(module).with_extension("rs"), &mut code);
        // And its page says so.
        let pages = code.iter().flat_map(|text| text.lines()).filter(|line| line.starts_with("//!"));
        let says = ["needs a heap", "None of it allocates"];
        assert!(
            pages.clone().any(|line| says.iter().any(|words| line.contains(words))),
            "the page of {module} doesn't say that nothing is allocated"
        );
        for text in code {
            for (at, opener) in text.match_indices("\n    pub fn ").chain(text.match_indices("\npub fn ")) {
                let name = text[at + opener.len()..].split(['(', '<']).next().unwrap();
                calls += 1;
                if !name.starts_with("with_") && !counted.contains(name) {
                    missing.push(format!("{module}: {name}"));
                }
            }
        }
    }
    assert!(calls > 250, "the search finds {calls} only");
    assert!(missing.is_empty(), "not counted: {missing:?}");
}

#[test]
fn history() {
    use rope_mechanics::geometry::Point3;
    use rope_mechanics::history::{Carriage, Chain, HistoryError, LockedTrack, PartPull};
    use rope_mechanics::motion::Motion;
    use rope_mechanics::quantity::unit::{meter, newton, ratio};
    use rope_mechanics::quantity::{Band, Force, Length, Ratio};
    use rope_mechanics::reeving::{DoubledTrackPlaces, DoubledTrackTurns};
    use rope_mechanics::rope::Stretch;
    use rope_mechanics::sheave::Turn;

    let (m, n, r) = (Length::new::<meter>, Force::new::<newton>, Ratio::new::<ratio>);
    let rope = Chain::new(&[m(9.0); 3], &[Band { low: r(0.9), expected: r(1.0), high: r(1.1) }; 2]).unwrap();
    heap_free("Chain::settle", || {
        rope.settle(|lengths: &[Length], pulls: &mut [PartPull]| {
            for (pull, (length, x)) in pulls.iter_mut().zip(lengths.iter().zip([9.2, 11.0, 8.5])) {
                *pull = PartPull::even(n(1e3 * (x - length.value).max(0.0)));
            }
            Ok::<(), HistoryError>(())
        })
        .unwrap()
    });
    let at = |x, y, z| Point3::new(m(x), m(y), m(z));
    let sheave = Turn::sheave(r(0.9)).unwrap();
    let places = DoubledTrackPlaces {
        capstan: at(-8.0, 2.0, -2.0),
        redirect: at(-1.0, 1.5, -2.5),
        head: at(0.0, 0.0, 0.0),
        far_sheave: at(70.0, 0.0, -45.0),
        anchor: at(-10.0, -1.0, -2.0),
    };
    let turns = DoubledTrackTurns { redirect: sheave, frame: Some(sheave), far_sheave: sheave };
    let stretch = Stretch::linear(n(5e4)).unwrap();
    let track = LockedTrack::new(places, turns, n(1.0) / m(1.0), stretch).unwrap();
    heap_free("LockedTrack", || {
        let set = track.tensioned(n(2e3), Motion::Hauling).unwrap();
        let on = track.loaded(&set, Carriage::new(n(2157.0), m(60.0)).unwrap()).unwrap();
        track.moved(&on, Carriage::new(n(2157.0), m(59.0)).unwrap()).unwrap()
    });
}

#[test]
fn doubt() {
    use rope_mechanics::doubt::{Design, Index, Outcomes, Uncertain, Without, in_common};
    use rope_mechanics::quantity::Force;

    let stiffness = Uncertain::<Force>::from_text("50 kN ± 30 %").unwrap();
    heap_free("Uncertain::from_text", || Uncertain::<Force>::from_text("50 kN ± 30 %"));
    heap_free("Uncertain::from_text, an error", || Uncertain::<Force>::from_text("50 kN ± 30"));
    heap_free("Uncertain::at", || (stiffness.at(0.01), stiffness.band(), in_common(0.1, 0.6, 0.5)));
    let design = Design::new(&[0, 1], 64, 1).unwrap();
    heap_free("Design, Outcomes", || {
        let mut values = [0.0; 256];
        for (run, value) in values.iter_mut().enumerate() {
            let mut u = [0.0; 2];
            design.fill(run, &mut u).unwrap();
            *value = u[0] + 2.0 * u[1];
        }
        let mut indices = [Index::default(); 2];
        let variance = design.indices(&values, &mut indices).unwrap();
        let mut outcomes = values.map(Some);
        let outcomes = Outcomes::new(&mut outcomes, Without::CountHigh).unwrap();
        (variance, outcomes.quantile(0.95).unwrap(), outcomes.above(2.0, 0.9).unwrap().count)
    });
}

#[test]
fn falls_in_time() {
    use rope_mechanics::arrest::{
        FallInTime, FallingRope, arc_tension, lying_bound, point_bound, sling_bound, taken_over,
    };
    use rope_mechanics::geometry::{Point2, Profile};
    use rope_mechanics::quantity::unit::{
        degree, kilogram, meter, meter_per_second, newton, newton_per_meter, percent, second,
    };
    use rope_mechanics::quantity::{Angle, Force, Length, Mass, Ratio, Stiffness, Time, Velocity};
    use rope_mechanics::rope::Stretch;

    let (m, n) = (Length::new::<meter>, Force::new::<newton>);
    let at = |x, z| Point2::new(m(x), m(z));
    let stretch = Stretch::linear(n(1.6e5)).unwrap();
    let slope = [at(-5.0, -3.0), at(0.0, -3.0), at(40.0, -31.0)];
    heap_free("FallInTime::run", || {
        let haul = FallingRope::taut(at(0.0, 0.0), m(23.3), stretch, n(1400.0)).unwrap();
        FallInTime::new(Mass::new::<kilogram>(200.0), at(20.0, -13.1), [haul])
            .and_then(|fall| fall.with_carriage(Mass::new::<kilogram>(20.0), at(20.0, -12.0), stretch))
            .and_then(|fall| fall.moving(Velocity::new::<meter_per_second>(0.2), Velocity::default()))
            .and_then(|fall| fall.on_ground(Profile::new(&slope)?, Ratio::new::<percent>(40.0)))
            .unwrap()
            .run(Time::new::<second>(2.0), Ratio::new::<percent>(1.0))
            .unwrap()
    });
    let (k, deg) = (Stiffness::new::<newton_per_meter>(2e3), Angle::new::<degree>);
    heap_free("bounds", || {
        (
            arc_tension(n(2e3), deg(40.0), deg(10.0)),
            lying_bound(n(1e3), n(2e3), deg(40.0)),
            point_bound(n(1e3), n(2e3)),
            sling_bound(n(2e3), k, m(0.3)),
            taken_over(n(2e3), k, m(0.3)),
        )
    });
}

/// Ropes of every form, heavy and not, a carriage, a sheave, and a litter that lies on its ground.
#[test]
fn a_rig_solved_again() {
    use rope_mechanics::geometry::{Direction3, Point3};
    use rope_mechanics::quantity::unit::{meter, newton};
    use rope_mechanics::quantity::{Force, Length};
    use rope_mechanics::rig::{Change, FreePoint, Rig, RopeEnd, RopeRun, RopeSupply};
    use rope_mechanics::rope::Stretch;
    use rope_mechanics::sheave::Turn;

    let (m, n) = (Length::new::<meter>, Force::new::<newton>);
    let at = |x: f64, z: f64| Point3::new(m(x), m(0.3), m(z));
    let stretch = Stretch::stiffening(n(4e4), n(9e4)).unwrap();
    let mut rig = Rig::new();
    let (head, far) = (rig.fixed("head", at(0.0, 3.0)).unwrap(), rig.fixed("far", at(52.0, -28.0)).unwrap());
    let back = rig.fixed("back", at(-6.0, 0.0)).unwrap();
    let load = rig.point("load", FreePoint::anywhere().with_weight(n(2000.0))).unwrap();
    let slope = FreePoint::above_ground(at(10.0, -9.0), Direction3::UP).with_weight(n(800.0));
    let litter = rig.point("litter", slope).unwrap();
    let weight = n(0.9) / m(1.0);
    let length = |x: f64| RopeSupply::Length(m(x));
    let over_load = RopeRun::new(stretch, length(62.5), head, far).over(load, Turn::FRICTIONLESS);
    let track = rig.rope("track", over_load.with_weight(weight)).unwrap();
    let haul = RopeRun::new(stretch, length(36.0), back, load).over(head, Turn::FRICTIONLESS);
    let haul = rig.rope("haul", haul).unwrap();
    rig.rope("sling", RopeRun::new(stretch, length(14.0), load, litter).with_weight(weight)).unwrap();
    let tension = RopeSupply::Tension { at: RopeEnd::Last, tension: n(90.0) };
    let winch = rig.rope("winch", RopeRun::new(stretch, tension, litter, back)).unwrap();
    let mut solution = rig.solve().unwrap();
    assert!(solution.on_ground(litter).unwrap(), "the ground takes part");
    let changes = [
        Change::Length(haul, m(0.02)),
        Change::Length(track, m(0.01)),
        Change::Tension(winch, n(1.0)),
        Change::Place(far, Point3::new(m(0.01), m(0.0), m(0.0))),
    ];
    // The first one makes the room.
    solution.resolve(&changes).unwrap();
    let counted = allocation_counter::measure(|| {
        for _ in 0..5 {
            solution.resolve(&changes).unwrap();
        }
    });
    assert_eq!(counted.count_total, 0, "a rig solved again allocates");
}
