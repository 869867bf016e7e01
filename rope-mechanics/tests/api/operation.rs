//! A site in, its study out.

use core::ops::ControlFlow;
use rope_mechanics::geometry::{Point2, Point3};
use rope_mechanics::motion::Motion;
use rope_mechanics::operation::failures::Failure;
use rope_mechanics::operation::site::{Site, TrackSetting, Unreadable, unreadable};
use rope_mechanics::operation::study::{self, LineClass, Position, Study, WarningKind};
use rope_mechanics::operation::{self, Asked, Place, SiteError};
use rope_mechanics::quantity::unit::{self, degree, foot, kilogram, meter, newton};
use rope_mechanics::quantity::{Force, Length, LineMass, Mass, Ratio};
use rope_mechanics::reeving::{DoubledTrack, DoubledTrackPlaces, DoubledTrackTurns, TrackKnown};
use rope_mechanics::sheave::Turn;

const SITE: &str = include_str!("../../../tests/sites/reference.toml");

fn site() -> Site {
    toml::from_str(SITE).unwrap()
}

fn study(change: impl FnOnce(&mut Site)) -> Result<Study, SiteError> {
    let mut site = site();
    change(&mut site);
    without_orders(&site)
}

/// Schedule and cures have tests of their own, and take as long as all the rest.
fn without_orders(site: &Site) -> Result<Study, SiteError> {
    let go_on = |_, _| ControlFlow::<()>::Continue(());
    match operation::solve_asked(site, &Asked::EVERYTHING.with_schedule(false).with_cures(false), go_on)? {
        ControlFlow::Continue(study) => Ok(study),
        ControlFlow::Break(()) => unreachable!(),
    }
}

/// A rope behind the head that doesn't stretch, as the independent codes have it.
fn stiff_behind(site: &mut Site) {
    site.track.stiffness_behind = Some(text("1000000000 kN"));
}

fn text<Q: rope_mechanics::text::Text>(text: &str) -> Q {
    Q::from_text(text).unwrap()
}

#[test]
fn every_position_of_the_built_in_site_is_in_balance() {
    let study = study(|_| {}).unwrap();
    // 200 evenly spaced, and one over each of the nine corners of the ground between the two ends of the travel.
    assert_eq!(study.positions.len(), 209);
    for p in &study.positions {
        assert!(p.residual < 1e-11, "{} at x = {}", p.residual, p.carriage.x.value);
        assert!(p.reading.low <= p.reading.expected && p.reading.expected <= p.reading.high);
        assert_eq!(p.forces.len(), study.components.len());
        assert!(p.greatest_track_tension >= p.reading.high);
    }
    assert!(study.summary.reach.spare.value > 0.0);
    assert!(study.cautions.iter().any(|caution| caution.contains("no redundancy")));
}

#[test]
fn the_greatest_reading_is_the_one_that_was_asked_for() {
    let study = study(|_| {}).unwrap();
    let greatest = study.summary.greatest_reading;
    // The search ends when the governing place is within 1 µN or the length within 1 nm: EA/L of both strands
    // times that is far below a millinewton.
    assert!((greatest.si.get::<newton>() - 3200.0).abs() < 1e-3, "{}", greatest.si.value);
    assert!(study.positions.iter().all(|p| p.reading.expected <= greatest.si));
}

#[test]
fn the_litter_floats_as_high_as_was_asked_for() {
    let study = study(|site| {
        site.track.set = operation::site::TrackSetting::LitterHeight(text::<Length>("0.4 m").into())
    })
    .unwrap();
    assert!((study.summary.least_litter_height.si.get::<meter>() - 0.4).abs() < 1e-6);
    let float_from = study.far.x - Length::new::<meter>(10.0);
    assert!(
        study
            .positions
            .iter()
            .filter(|p| p.carriage.x <= float_from)
            .all(|p| p.litter_height.value > 0.4 - 1e-6)
    );
}

/// Reference case S of the trade's core model: head at (0, 0), far anchor 70 m out and 45 m down, each strand
/// 85 g/m and 40 kN, 250 kg, 1500 N in each strand without load. At x = 29.7215 m it was worked out twice (two elastic
/// segments, and lumped nodes), to the digits below.
#[test]
fn the_whole_operation_finds_the_reference_case() {
    let study = study(|site| {
        *site = toml::from_str(
            r#"
            title = "S"
            ground = [["-5 m", "-1 m"], ["1 m", "-1 m"], ["2 m", "-60 m"], ["80 m", "-60 m"]]
            frame = { x = "0 m", height = "1 m", feet = [["1 m", "1 m", "0 m"], ["1 m", "-1 m", "0 m"], ["-1 m", "0 m", "0 m"]] }
            far_anchor = { x = "70 m", height = "15 m" }
            load = { patient = "200 kg", litter = "0 kg", carriage = "0 kg", hang = "0 m", wheel_friction = "0 %" }
            haul = { rope = { class = "11 mm polyester" }, tackle = "1:1", winch = ["-5 m", "0 m", "0 m"] }
            capstan = { at = ["-5 m", "1 m", "0 m"], wraps = 5 }
            travel = { start = "20 m", end = "29.7215 m", positions = 10 }

            [track]
            rope = { mass = "85 g/m", stiffness = "40 kN", strength = "40 kN" }
            on_hand = "600 ft"
            knots = "0 m"
            tails = "0 m"
            wraps = "0 m"
            redirect = ["0 m", "1 m", "0 m"]
            cell_anchor = ["-5 m", "0 m", "0 m"]
            stiffness_behind = "1000000000 kN"
            set = { unloaded_tension = "1500 N" }

            [winch.motor]
            constant = "0.055 N·m/A"
            no_load_current = "6 A"
            resistance = "20 mohm"
            gear = 180
            gear_efficiency = "72 %"
            radius = "36 mm"
            rated_pull = "5 kN"
            battery = { voltage = "25.6 V", resistance = "8 mohm", leads = "3 mohm", charge = "50 Ah" }
            "#,
        )
        .unwrap();
        // Half of the haul rope hangs on the carriage: 250 kg in all.
        let half = 0.5 * 70f64.hypot(45.0) * 0.085;
        site.load.patient = Mass::new::<kilogram>(250.0 - half).into();
    })
    .unwrap();
    let at = study.positions.last().unwrap();
    assert!((study.unloaded.strand_length.value - 80.24889).abs() < 5e-6);
    assert!((2.0 * study.unloaded.strand_tension_far.value - 2927.659).abs() < 5e-4);
    assert!((at.carriage.x.value - 29.7215).abs() < 1e-12);
    // The case is given by 41.608 m of haul rope, so that x itself is rounded to 0.1 mm: at dT/dx of some 20 N/m
    // that is 1 mN, beside the rounding of the forces to 1 mN.
    assert!((at.carriage.z.value + 29.1184).abs() < 2e-4, "{}", at.carriage.z.value);
    assert!(
        (2.0 * at.strand_tension_head.value - 4682.990).abs() < 5e-3,
        "{}",
        2.0 * at.strand_tension_head.value
    );
    assert!((at.haul_pull.value - 1362.770).abs() < 5e-3, "{}", at.haul_pull.value);
}

/// Values of an independent code for the reference site (a general nonlinear solver of the elastic catenary), to the
/// digits that it prints: greatest tension of a strand hauled, at rest and lowered; the frame's least margin over all
/// corners of friction; the friction that the feet need; the rope that the winch takes in against the carriage's path.
#[test]
fn friction_acts_both_ways_on_the_reference_site() {
    let study = study(stiff_behind).unwrap();
    let greatest = |tension: &dyn Fn(&Position) -> Option<Force>| {
        study.positions.iter().filter_map(tension).fold(Force::default(), Force::max).value
    };
    for (found, independent) in [
        (greatest(&|p| Some(p.strand_tension_head)), 3200.0),
        (greatest(&|p| Some(p.at_rest?.strand_tension_head)), 3235.0),
        (greatest(&|p| Some(p.lowering?.strand_tension_head)), 3271.0),
    ] {
        assert!((found - independent).abs() <= 0.5, "{found} is not {independent}");
    }
    let margin = study.summary.least_margin.as_ref().unwrap().margin.get::<degree>();
    assert!((margin - 6.12).abs() <= 0.005, "{margin}");
    let needed: Vec<_> = study.summary.foot_friction.iter().map(|mu| mu.value).collect();
    assert!(needed.iter().zip([0.60, 0.60, 0.47]).all(|(a, b)| (a - b).abs() <= 0.005), "{needed:?}");
    let path: f64 = study
        .positions
        .windows(2)
        .map(|pair| {
            let (a, b) = (pair[0].carriage, pair[1].carriage);
            (a.x - b.x).value.hypot((a.z - b.z).value)
        })
        .sum();
    let taken_in = study.positions[0].haul_length - study.positions.last().unwrap().haul_length;
    assert!((1.0 - taken_in.value / path - 0.011).abs() <= 0.0005, "{taken_in:?} of {path}");
    // Friction at the wheels lowers the load on its way down, all the way.
    for p in &study.positions {
        let Some((at_rest, lowering)) = p.at_rest.zip(p.lowering) else { continue };
        assert!(p.litter_height >= at_rest.litter_height && at_rest.litter_height >= lowering.litter_height);
        assert!(p.haul_pull > at_rest.haul_pull && at_rest.haul_pull > lowering.haul_pull);
    }
    assert!(study.positions.iter().filter(|p| p.lowering.is_some()).count() > 200);
}

/// The places of the reference site that the independent code of the test above visits: every fifth of the 200 evenly
/// spaced ones, without those over corners of the ground. The last is 4.13 m out, and the lowest near 47.74 m.
fn every_fifth(study: &Study) -> Vec<&Position> {
    let corner =
        |p: &&Position| study.ground.iter().all(|corner| (corner.x - p.carriage.x).value.abs() > 1e-9);
    let even: Vec<_> = study.positions.iter().filter(corner).collect();
    assert_eq!(even.len(), 200);
    even.into_iter().step_by(5).collect()
}

/// Least height of the litter where it floats, greatest pull and legs at those places, to the digits printed; and over all
/// places, where both are worse, by a second derivation (Newton's method on the closed form of the elastic rope, by hand).
#[test]
fn heights_pulls_and_legs_of_the_reference_site_are_those_of_two_independent_codes() {
    let study = study(stiff_behind).unwrap();
    let all: Vec<_> = study.positions.iter().collect();
    let least = |places: &[&Position], height: &dyn Fn(&Position) -> Option<Length>| {
        let floats = places.iter().filter(|p| p.carriage.x.value <= 52.0);
        floats.filter_map(|p| height(p)).map(|h| h.value).fold(f64::INFINITY, f64::min)
    };
    let greatest = |places: &[&Position], pull: &dyn Fn(&Position) -> Option<Force>| {
        places.iter().filter_map(|p| pull(p)).map(|f| f.value).fold(0.0, f64::max)
    };
    type Heights<'a> = &'a dyn Fn(&Position) -> Option<Length>;
    type Pulls<'a> = &'a dyn Fn(&Position) -> Option<Force>;
    let ways: [(Heights<'_>, Pulls<'_>); 3] = [
        (&|p| Some(p.litter_height), &|p| Some(p.haul_pull)),
        (&|p| Some(p.at_rest?.litter_height), &|p| Some(p.at_rest?.haul_pull)),
        (&|p| Some(p.lowering?.litter_height), &|p| Some(p.lowering?.haul_pull)),
    ];
    for (places, heights, pulls, height_digit, pull_digit) in [
        (every_fifth(&study), [0.228, 0.176, 0.124], [1636.0, 1522.0, 1406.0], 0.001, 1.0),
        (all.clone(), [0.2251, 0.1742, 0.1227], [1645.2, 1532.6, 1418.0], 0.0001, 0.1),
    ] {
        for ((height, pull), (h, p)) in ways.iter().zip(heights.into_iter().zip(pulls)) {
            let (height, pull) = (least(&places, *height), greatest(&places, *pull));
            assert!((height - h).abs() <= 0.5 * height_digit + 1e-9, "{height} is not {h}");
            assert!((pull - p).abs() <= 0.5 * pull_digit + 1e-6, "{pull} is not {p}");
        }
    }
    let legs = |places: &[&Position]| {
        [0, 1, 2]
            .map(|leg| greatest(places, &|p| p.frame.as_ref().and_then(|frame| frame.legs.get(leg).copied())))
    };
    // By the second derivation, all 16 corners of friction and both ways. The code above prints 6030, 4411 and 4607 N: two
    // of them 0.1 % less (why is not known), the third hauled only, where this one has 4605 N. What is judged is the greater.
    for (found, by_hand) in legs(&all).into_iter().zip([6035.1, 4413.6, 4703.7]) {
        assert!((found - by_hand).abs() <= 0.05 + 1e-6, "{found} is not {by_hand}");
    }
}

/// The sheaves at the head see the loaded line, which falls off more steeply than the chord, the more so the nearer
/// the load: some 6 % more with the load 3 m out. The chord would be on the unsafe side all the way.
#[test]
fn the_sheaves_at_the_head_see_the_loaded_line() {
    // Without friction at the carriage, so that hauling and lowering are the same.
    let study = study(|site| site.load.wheel_friction = Some(text::<Ratio>("0 %").into())).unwrap();
    let sheave = |percent: f64| Turn::sheave(Ratio::new::<unit::percent>(percent)).unwrap();
    let base = study.base;
    let track = DoubledTrack::new(
        DoubledTrackPlaces {
            capstan: point("-7 m", "2 m", "0.9 m"),
            redirect: point("-0.4 m", "1.3 m", "0.3 m"),
            head: point("0 m", "0 m", "3.2 m"),
            far_sheave: Point3::new(study.far.x - base.x, Length::default(), study.far.z - base.z),
            anchor: point("-6 m", "-1 m", "0.6 m"),
        },
        DoubledTrackTurns { redirect: sheave(90.0), frame: Some(sheave(90.0)), far_sheave: sheave(90.0) },
    )
    .unwrap();
    let head = study.components.iter().position(|c| c.name == "sheave at the head").unwrap();
    let pairs: Vec<(f64, f64)> = study
        .positions
        .iter()
        .map(|p| {
            let known = TrackKnown::StrandsAtHead(2.0 * p.strand_tension_head);
            let chord = track.tensions(known, Motion::AtRest).unwrap().head_crossings();
            (p.forces[head].value, chord[0].max(chord[1]).value)
        })
        .collect();
    let more: Vec<f64> = pairs.iter().map(|(found, by_chord)| found / by_chord - 1.0).collect();
    // The independent code: 3.3 % at the greatest tension, to the digits printed; 6.2 % "with the load 3 m out", while its
    // places end 4.13 m out.
    let tension = |i: &usize| study.positions[*i].strand_tension_head.value;
    let greatest = (0..more.len()).max_by(|a, b| tension(a).total_cmp(&tension(b))).unwrap();
    assert!((more[greatest] - 0.033).abs() <= 0.0005, "{}", more[greatest]);
    let its_last = study.positions.iter().position(|p| p.carriage.x.value < 4.13).unwrap();
    assert!(more[its_last] < 0.062 && 0.062 < more[more.len() - 1], "{} {more:?}", more[its_last]);
    assert!(more[0] > 0.0 && more.windows(2).all(|pair| pair[1] > pair[0]), "{more:?}");
    assert!(more[more.len() - 1] > 0.06, "{more:?}");
}

/// Common practice, no source: the reading falls as the litter nears the head on a locked track rope.
#[test]
fn the_reading_falls_over_the_upper_half() {
    let study = study(|_| {}).unwrap();
    let upper = &study.positions[study.positions.len() / 2 + 20..];
    assert!(upper.windows(2).all(|pair| pair[1].reading.expected < pair[0].reading.expected));
}

/// Common practice, no source: a 600 ft rope doubled reaches about 280 ft; knots, tails and wraps use the rest.
#[test]
fn six_hundred_feet_doubled_reach_about_two_hundred_and_eighty() {
    let study = study(|site| {
        site.track.on_hand = text("600 ft");
        // All close to the frame: 2.7 m to the redirect, 3.2 m up, 3.3 m down to the cell.
        site.track.redirect = point("-0.3 m", "0.8 m", "0.2 m");
        site.capstan.at = point("-2.8 m", "1.5 m", "0.8 m");
        site.track.cell_anchor = point("-1.5 m", "-1 m", "0.5 m");
        (site.track.knots, site.track.tails, site.track.wraps) = (text("1 m"), text("1 m"), text("1.5 m"));
    })
    .unwrap();
    let reach = study.summary.reach.longest_strand.get::<foot>();
    assert!((275.0..=285.0).contains(&reach), "{reach}");
}

#[test]
fn a_litter_that_the_line_does_not_lift_drags() {
    let study = study(|site| {
        site.track.set = operation::site::TrackSetting::UnloadedTension(text::<Force>("1.2 kN").into())
    })
    .unwrap();
    let dragging: Vec<_> = study.positions.iter().filter(|p| p.litter_height.value == 0.0).collect();
    assert!(dragging.len() > 50);
    for p in dragging {
        assert_eq!(p.litter_height.value, 0.0);
        assert!(p.drag.value > 0.0 && p.carriage_height.value < site().load.hang.value().value);
    }
    assert!(study.warnings.iter().any(|w| w.kind == WarningKind::LitterDrags));
}

#[test]
fn a_frame_with_its_guy_on_the_wrong_side_is_told_where_it_needs_one() {
    let study = study(|site| {
        site.frame.feet = vec![point("0 m", "1.2 m", "0 m"), point("0 m", "-1.2 m", "0 m")];
        site.frame.guys = vec![point("3 m", "2 m", "-3 m"), point("3 m", "-2 m", "-3 m")];
    })
    .unwrap();
    let frame = study.warnings.iter().find(|w| w.kind == WarningKind::Frame).unwrap();
    assert!(frame.text.contains("falls") && frame.text.contains("guy"), "{}", frame.text);
    assert!(study.positions.iter().any(|p| p.frame.is_none()));
    assert!(study.components.iter().all(|c| !c.name.contains("of the frame")));
}

fn point(x: &str, y: &str, z: &str) -> rope_mechanics::geometry::Point3 {
    rope_mechanics::geometry::Point3::new(text(x), text(y), text(z))
}

#[test]
fn a_shorter_rope_does_not_reach_and_the_study_says_so() {
    let study = study(|site| site.track.on_hand = text("150 m")).unwrap();
    assert!(study.summary.reach.spare.value < 0.0);
    assert!(study.warnings.iter().any(|w| w.kind == WarningKind::RopeTooShort));
}

/// Where no haul rope could hold the load by pulling, that alone doesn't mean that it rolls in.
#[test]
fn a_line_too_low_over_a_shoulder_is_told_as_that() {
    let shoulder = |end: &str| {
        let at = |(x, z): (&str, &str)| Point2::new(text(x), text(z));
        study(|site| {
            site.ground = [
                ("-10 m", "0 m"),
                ("2 m", "0 m"),
                ("20 m", "-18.9 m"),
                ("26 m", "-27 m"),
                ("45 m", "-46 m"),
                ("60 m", "-48 m"),
            ]
            .map(at)
            .to_vec();
            site.far_anchor.x = text::<Length>("45 m").into();
            site.track.set = TrackSetting::UnloadedTension(text::<Force>("4 kN").into());
            site.load.patient = text::<Mass>("250 lb").into();
            site.load.litter = text::<Mass>("40 kg").into();
            site.travel.end = Some(text(end));
        })
    };
    // The carriage itself is 11 mm above the shoulder at 22.6 m and would touch it at 22.4 m.
    let stops_before = shoulder("22.6 m").unwrap();
    assert!(stops_before.positions.last().unwrap().haul_pull.value > 2000.0);
    let refused = shoulder("22.4 m").unwrap_err().to_string();
    assert!(refused.contains("even the carriage would lie on the ground"), "{refused}");
}

#[test]
fn a_rope_that_reaches_only_once_it_is_stretched_can_not_be_reeved() {
    let reach = study(|_| {}).unwrap().summary.reach;
    // A metre less than it takes to lay it round slack, more than the taut strands are unstretched.
    let short = reach.used_at_the_apparatus + reach.to_reeve - text::<Length>("1 m");
    assert!(short > reach.used_at_the_apparatus + reach.strands);
    let study = study(|site| site.track.on_hand = short).unwrap();
    assert!((study.summary.reach.spare.value + 1.0).abs() < 1e-9);
    assert!(study.warnings.iter().any(|w| w.kind == WarningKind::RopeTooShort));
}

#[test]
fn a_haul_rope_that_would_break_with_the_track_is_told() {
    let with = |strength: &str| study(|site| site.haul.rope.strength = Some(text(strength))).unwrap();
    let said =
        |study: &Study| study.warnings.iter().any(|w| w.text.contains("the haul rope may break as well"));
    let study = with("6 kN");
    let lost = study.summary.track_lost.unwrap();
    // 6 kN with knots at 70 %
    assert!((lost.factor * lost.peak_bound.value / 4200.0 - 1.0).abs() < 1e-12);
    assert!(lost.factor < 1.0 && said(&study));
    // 11.5 kN, at which a free fall on to the haul rope would have it break, holds: no false alarm.
    let holds = with("11.5 kN");
    assert!(holds.summary.track_lost.unwrap().factor > 1.0 && !said(&holds));
}

/// What the summary says of a failure is what its row says where that is worst.
#[test]
fn the_summary_of_the_failures_is_that_of_their_rows() {
    let study = study(|_| {}).unwrap();
    let summary = &study.summary;
    let failures = study.failures.as_ref().unwrap();
    let row = |failure: Failure| failures.rows.iter().find(|row| row.failure == failure).unwrap();
    let cell = |failure: Failure, position: usize| {
        row(failure).cells.iter().find(|cell| cell.position == position).unwrap()
    };
    let farthest = summary.track_lost_farthest.unwrap();
    let there = cell(Failure::TrackRope, farthest.position);
    assert!(row(Failure::TrackRope).cells.iter().all(|cell| cell.drop.bound <= farthest.drop));
    assert_eq!(there.drop.bound, farthest.drop);
    assert_eq!(there.impact.map(|impact| impact.speed.bound), farthest.speed);
    assert_eq!(there.impact.map(|impact| impact.into_ground.bound), farthest.speed_onto_ground);
    assert_eq!(there.still_height.is_some_and(|height| height.value == 0.0), farthest.lands);
    let hardest = summary.track_lost.unwrap();
    for cell in &row(Failure::TrackRope).cells {
        let least = cell.least_factor.as_ref().unwrap();
        if least.place == Place::HaulRope {
            assert!(least.peak.bound <= hardest.peak_bound);
        }
    }
    let lost = summary.haul_lost.unwrap();
    let there = cell(Failure::HaulRope, lost.position);
    assert_eq!(there.run.bound, lost.travel);
    assert_eq!(study.positions[lost.position].haul_pull, lost.lost);
    assert!(lost.peak > lost.lost && lost.factor > 1.0);
    // Without the failures nothing is said of them.
    let plain = operation::solve_asked(&site(), &Asked::PLAIN, |_, _| ControlFlow::<()>::Continue(()));
    let plain = plain.unwrap().continue_value().unwrap().summary;
    assert!(plain.track_lost.is_none() && plain.track_lost_farthest.is_none() && plain.haul_lost.is_none());
}

/// Judged at the bad side: by what the cell will show and not by the mean of the strands, and by the high end of its band.
#[test]
fn the_reading_is_judged_by_what_the_cell_will_show_at_its_high_end() {
    let whole = study(|_| {}).unwrap();
    let most = whole.summary.most_reading_expected.unwrap();
    let least = whole.summary.least_reading_expected.unwrap();
    let mut bands = whole.positions.iter().flat_map(Position::readings_expected);
    assert!(bands.all(|band| band.high <= most.si && band.low >= least.si && band.low <= band.high));
    let expected = whole.positions.iter().flat_map(Position::readings_expected).map(|band| band.expected);
    let expected = expected.reduce(Force::max).unwrap();
    let high = whole.positions.iter().map(Position::greatest_reading).reduce(Force::max).unwrap();
    assert!(high >= most.si && most.si > expected);
    let judged = |limit: f64| {
        let study = study(|site| site.limits.reading = Some(Force::new::<newton>(limit))).unwrap();
        study.warnings.into_iter().find(|w| w.kind == WarningKind::Reading).map(|w| w.text)
    };
    assert!(judged(expected.value - 1.0).unwrap().starts_with("The load cell is expected to pass"));
    assert!(judged(expected.value + 1.0).unwrap().starts_with("Friction, or doubt"));
    assert!(judged(high.value - 1.0).unwrap().starts_with("Friction, or doubt"));
    assert!(judged(high.value + 1.0).is_none());
}

#[test]
fn a_reading_that_can_not_be_followed_is_said_so() {
    let unknown = |study: &Study| study.warnings.iter().any(|w| w.kind == WarningKind::ReadingUnknown);
    let whole = study(|_| {}).unwrap();
    assert!(!unknown(&whole) && whole.positions.iter().all(|p| p.reading_expected.is_some()));
    let stiff = study(stiff_behind).unwrap();
    assert!(unknown(&stiff) && stiff.positions.iter().all(|p| p.readings_expected().next().is_none()));
    assert!(stiff.summary.most_reading_expected.is_none() && stiff.summary.least_reading_expected.is_none());
    assert!(stiff.warnings.iter().any(|w| w.text.contains("(track.stiffness_behind): go by the band")));
    // What isn't asked for isn't missed.
    let plain = operation::solve_asked(&site(), &Asked::PLAIN, |_, _| ControlFlow::<()>::Continue(()));
    assert!(!unknown(&plain.unwrap().continue_value().unwrap()));
}

/// Let out again over the same turns the cell shows more than hauled: what lies behind the head has run back.
#[test]
fn the_cell_is_followed_on_the_way_down_as_far_as_the_load_can_be_lowered() {
    let study = study(|_| {}).unwrap();
    let last = study.positions.last().unwrap();
    assert!(last.lowering.unwrap().reading_expected.is_some());
    let mut seen = 0;
    let mut ended = false;
    for p in study.positions.iter().rev() {
        let lowered = p.lowering.and_then(|way| way.reading_expected);
        ended |= lowered.is_none();
        // Once the load can't be lowered further, there is nothing further out.
        assert!(!(ended && lowered.is_some()));
        if let Some(lowered) = lowered {
            seen += 1;
            assert!(lowered.low < lowered.expected && lowered.expected < lowered.high);
        }
        assert!(p.at_rest.is_none_or(|way| way.reading_expected.is_none()));
    }
    assert!(seen > 100, "{seen}");
}

/// TOML names the table once more behind its message: the path is said already, and exactly.
#[test]
fn an_unreadable_value_is_placed_once() {
    let told = unreadable("ground[0][1]", "a length has a unit\nin `ground`\n");
    assert_eq!(told, unreadable("ground[0][1]", "a length has a unit"));
    assert_eq!(told.problem, "ground[0][1]: a length has a unit");
    assert!(unreadable(".", "what\nin `ground`").problem.contains("in `ground`"));
}

#[test]
fn the_same_site_gives_the_same_bytes() {
    let json = |study: &Study| serde_json::to_string(study).unwrap();
    assert_eq!(json(&study(|_| {}).unwrap()), json(&study(|_| {}).unwrap()));
}

#[test]
fn a_site_reads_back_as_it_was_written() {
    let site = site();
    let json = serde_json::to_string(&site).unwrap();
    assert_eq!(serde_json::from_str::<Site>(&json).unwrap(), site);
}

/// Each change of the site file, and the key that the error must name.
#[test]
fn what_is_wrong_with_a_site_is_named_by_its_key() {
    let cases: [(&str, &str, &str); 24] = [
        ("height = \"3.2 m\" ", "height = \"-3.2 m\" ", "frame.height"),
        ("height = \"3.2 m\" ", "height = \"NaN m\" ", "frame.height"),
        ("height = \"3.2 m\" ", "height = \"3.2\" ", "frame.height"),
        ("height = \"3.2 m\" ", "height = \"3.2 kN\" ", "frame.height"),
        ("height = \"3.2 m\" ", "", "height"),
        ("height = \"3.2 m\" ", "heigth = \"3.2 m\" ", "heigth"),
        ("x = \"62 m\" ", "x = \"99 m\" ", "far_anchor.x"),
        ("x = \"62 m\" ", "x = \"-3 m\" ", "far_anchor.x"),
        ("[\"5 m\", ", "[\"2.7 m\", ", "ground[3]"),
        ("[\"39 m\", \"-32.9 m\"]", "[\"39 m\", \"-2 m\"]", "ground"),
        ("height = \"0.8 m\" ", "height = \"47 m\" ", "far_anchor.height"),
        ("on_hand = \"600 ft\"", "on_hand = \"600 lbf\"", "on_hand"),
        ("on_hand = \"600 ft\"", "on_hand = \"1e999 ft\"", "on_hand"),
        ("redirect_efficiency = \"90 %\"", "redirect_efficiency = \"190 %\"", "track.redirect_efficiency"),
        ("set = { greatest_reading = \"3.2 kN\" }", "set = { greatest_reading = \"3200 lb\" }", "lbf"),
        (
            "set = { greatest_reading = \"3.2 kN\" }",
            "set = { greatest_reading = \"900 kN\" }",
            "track.set.greatest_reading",
        ),
        (
            "set = { greatest_reading = \"3.2 kN\" }",
            "set = { greatest_reading = \"2 N\" }",
            "track.set.greatest_reading",
        ),
        (
            "set = { greatest_reading = \"3.2 kN\" }",
            "set = { litter_height = \"40 m\" }",
            "track.set.litter_height",
        ),
        ("class = \"12.5 mm nylon\"", "class = \"13 mm hemp\"", "track.rope.class"),
        ("patient = \"90 kg\"", "patient = \"-90 kg\"", "load.patient"),
        ("tackle = \"1:1\"", "tackle = \"7:1\"", "tackle"),
        ("wraps = 5 ", "wraps = 500 ", "capstan.wraps"),
        ("rated_pull = \"5 kN\"       # the most", "rated_pull = \"0 kN\"       # the most", "rated_pull"),
        ("positions = 200", "positions = 1", "travel.positions"),
    ];
    for (from, to, key) in cases {
        assert!(SITE.contains(from), "the site file has no {from}");
        let said = match toml::from_str::<Site>(&SITE.replacen(from, to, 1)) {
            Err(why) => why.to_string(),
            Ok(site) => match without_orders(&site) {
                Err(why) => why.to_string(),
                Ok(_) => panic!("{to} was taken"),
            },
        };
        // What can't be read is shown in its place in the file; the last part of the key stands there.
        let key = if said.contains("TOML parse error") { key.rsplit('.').next().unwrap() } else { key };
        assert!(said.contains(key), "{to}: {said}");
    }
}

/// Rope that weighs next to nothing over sheaves without friction: what the study says can be added up by hand.
fn light(site: &mut Site) {
    let all = Some(text::<Ratio>("100 %").into());
    for rope in [&mut site.track.rope, &mut site.haul.rope] {
        rope.mass = Some(text::<LineMass>("1 g/m").into());
    }
    site.belay = None;
    site.load.wheel_friction = Some(text::<Ratio>("0 %").into());
    (site.far_anchor.efficiency, site.track.redirect_efficiency, site.track.head_efficiency) =
        (all, all, all);
    site.haul.head_efficiency = all;
    for redirect in &mut site.haul.redirects {
        redirect.efficiency = all;
    }
}

fn unit(from: [f64; 3], to: [f64; 3]) -> [f64; 3] {
    let d = [to[0] - from[0], to[1] - from[1], to[2] - from[2]];
    let length = d.iter().map(|v| v * v).sum::<f64>().sqrt();
    d.map(|v| v / length)
}

fn sum(forces: &[(f64, [f64; 3])]) -> [f64; 3] {
    let mut total = [0.0; 3];
    for (size, direction) in forces {
        for (t, d) in total.iter_mut().zip(direction) {
            *t += size * d;
        }
    }
    total
}

fn size(v: [f64; 3]) -> f64 {
    v.iter().map(|x| x * x).sum::<f64>().sqrt()
}

#[test]
fn forces_on_carriage_head_and_anchors_add_up_by_hand() {
    let study = study(light).unwrap();
    // 2 g/m over 85 m weigh 1.7 N; half of the haul rope, 0.4 N more, hangs on the carriage.
    let near = |a: f64, b: f64, what: &str| assert!((a - b).abs() < 4.0, "{what}: {a} is not {b}");
    let weight = (90.0 + 25.0 + 85.0 + 20.0) * 9.80665;
    // Seen from the ground below the head, as the site file has it.
    let base_z = study.base.z.value;
    let place = |p: study::Xz| [p.x.value, 0.0, p.z.value - base_z];
    let (head, far) = (place(study.head), place(study.far));
    let (redirect, cell, capstan) = ([-0.4, 1.3, 0.3], [-6.0, -1.0, 0.6], [-7.0, 2.0, 0.9]);
    let (haul_redirect, winch) = ([-0.3, -0.8, 0.4], [-7.0, -2.0, 0.9]);
    let force = |p: &study::Position, name: &str| {
        p.forces[study.components.iter().position(|c| c.name == name).unwrap()].value
    };
    for p in study.positions.iter().filter(|p| p.litter_height.value > 0.0).step_by(20) {
        let carriage = place(p.carriage);
        let (t, haul) = (p.strand_tension_head.value, p.haul_pull.value);
        let (up, down) = (unit(carriage, head), unit(carriage, far));
        let on_carriage = sum(&[(2.0 * t, up), (2.0 * t, down), (haul, up), (weight, [0.0, 0.0, -1.0])]);
        near(size(on_carriage), 0.0, "left at the carriage");
        let on_head = sum(&[
            (2.0 * t + haul, unit(head, carriage)),
            (t, unit(head, redirect)),
            (t, unit(head, cell)),
            (haul, unit(head, haul_redirect)),
        ]);
        for (found, by_hand) in
            [(p.head_force.x, on_head[0]), (p.head_force.y, on_head[1]), (p.head_force.z, on_head[2])]
        {
            near(found.value, by_hand, "on the head");
        }
        // The legs carry that to the ground: Σ Nᵢ·(head − footᵢ)/|…| = −R
        let frame = p.frame.as_ref().unwrap();
        let feet = [[1.4, 1.3, 0.0], [1.4, -1.3, 0.0], [-1.5, 0.0, 0.0]];
        let mut left = vec![(1.0, on_head)];
        left.extend(frame.legs.iter().zip(feet).map(|(n, at)| (n.value, unit(at, head))));
        near(size(sum(&left)), 0.0, "left at the head");
        near(
            force(p, "sheave at the far anchor"),
            size(sum(&[(2.0 * t, unit(far, carriage))])),
            "far anchor",
        );
        let on_redirect = sum(&[(t, unit(redirect, head)), (t, unit(redirect, capstan))]);
        near(force(p, "anchor at the track redirect"), size(on_redirect), "redirect");
        near(force(p, "anchor at the capstan"), t, "capstan");
        near(force(p, "load cell"), t, "load cell");
        let on_haul_head = sum(&[(haul, unit(head, carriage)), (haul, unit(head, haul_redirect))]);
        near(force(p, "sheave at the head for the haul rope"), size(on_haul_head), "haul sheave");
        let on_haul_redirect = sum(&[(haul, unit(haul_redirect, head)), (haul, unit(haul_redirect, winch))]);
        near(force(p, "anchor at haul redirect 1"), size(on_haul_redirect), "haul redirect");
        near(force(p, "anchor at the haul winch"), haul, "winch");
        near(force(p, "sheave at the carriage"), size(sum(&[(2.0 * t, up), (2.0 * t, down)])), "wheel");
        // What hangs under the carriage is all but the carriage itself.
        let hung = weight - 20.0 * 9.80665;
        near(
            force(p, "connector at the carriage"),
            hung.max(haul).max(force(p, "sheave at the carriage")),
            "hang",
        );
        for (component, f) in study.components.iter().zip(&p.forces) {
            let factor = component.strength.map(|s| s.value / f.value);
            assert!(
                factor.is_none_or(|by| by >= study.summary.governing.as_ref().unwrap().factor),
                "{component:?}"
            );
        }
    }
    // The tail by 5 turns at 10 %, the reach by what is used.
    let greatest = study.positions.iter().map(|p| p.greatest_track_tension.value).fold(0.0, f64::max);
    let tail = greatest.max(study.unloaded.capstan_pull.value) * (-0.1 * 10.0 * std::f64::consts::PI).exp();
    assert!((study.summary.capstan_tail.value / tail - 1.0).abs() < 1e-9);
    let reach = study.summary.reach;
    // Slack it lies along the chord twice, which is longer than the taut strands are unstretched.
    let chord = (study.far.x - study.head.x).value.hypot((study.far.z - study.head.z).value);
    assert!(chord > study.unloaded.strand_length.value);
    let left = (reach.on_hand - reach.used_at_the_apparatus).value - 2.0 * chord;
    assert!((reach.spare.value - left).abs() < 1e-9);
}

/// Friction in the track rope's sheaves pulls the head towards the capstan or away from it.
#[test]
fn the_frame_is_judged_at_the_worst_that_friction_may_leave() {
    let narrow = |site: &mut Site| {
        site.frame.feet = vec![
            point("1.2 m", "1.1 m", "0 m"),
            point("1.2 m", "-1.1 m", "0 m"),
            point("-1.5 m", "0 m", "0 m"),
        ];
    };
    let with = study(narrow).unwrap();
    let without = study(|site| {
        narrow(site);
        let all = Some(text::<Ratio>("100 %").into());
        (site.far_anchor.efficiency, site.track.redirect_efficiency, site.track.head_efficiency) =
            (all, all, all);
    })
    .unwrap();
    let margin = |study: &Study| study.summary.least_margin.as_ref().unwrap().margin.value;
    assert!(margin(&with) < margin(&without));
    assert!(with.warnings.iter().any(|w| w.kind == WarningKind::Frame && w.text.contains("from tipping")));
    let leg = |study: &Study| study.positions[100].frame.as_ref().unwrap().legs[0].value;
    assert!(leg(&with) > 1.05 * leg(&without));
}

/// The litter on its sling, the carriage and both together are in balance where the ground carries a part.
#[test]
fn what_lies_on_the_ground_is_carried_by_the_ground() {
    let level = |site: &mut Site| {
        light(site);
        site.ground = vec![
            point2("-12 m", "0 m"),
            point2("1.5 m", "0 m"),
            point2("2 m", "-6 m"),
            point2("90 m", "-6 m"),
        ];
        site.far_anchor.height = text::<Length>("4 m").into();
        // Further out it would roll in by itself.
        site.travel.start = Some(text("30 m"));
    };
    // Lifted by this, the carriage comes down to 0.3 m above the ground.
    let tension = study(|site| {
        level(site);
        site.load.hang = text::<Length>("0.3 m").into();
        site.track.set = operation::site::TrackSetting::LitterHeight(text::<Length>("0 m").into());
    })
    .unwrap()
    .unloaded
    .strand_tension_head;
    for hang in ["0.6 m", "1.1 m", "3.3 m"] {
        let study = study(|site| {
            level(site);
            site.load.hang = text::<Length>(hang).into();
            site.track.set = operation::site::TrackSetting::UnloadedTension(tension.into());
        })
        .unwrap();
        let weight = (90.0 + 25.0 + 85.0 + 20.0) * 9.80665;
        let mut lying = 0;
        for p in study.positions.iter().filter(|p| p.ground_share.value > 0.0) {
            lying += 1;
            assert!(p.interior_angle.value <= std::f64::consts::PI, "{hang}: {}", p.interior_angle.value);
            let share = p.ground_share.value * weight;
            // On level ground the drag is μN, or less where the haul rope is slack; 0.4 N of haul rope in the weight.
            let spare = 0.4 * share - p.drag.value;
            assert!(if p.haul_pull.value > 0.0 { spare.abs() < 0.5 } else { spare >= -0.5 });
            let at = |q: study::Xz| [q.x.value, 0.0, q.z.value];
            let (carriage, t) = (at(p.carriage), p.strand_tension_head.value);
            let (up, down) = (unit(carriage, at(study.head)), unit(carriage, at(study.far)));
            let left = sum(&[
                (2.0 * t, up),
                (2.0 * t, down),
                (p.haul_pull.value, up),
                (share, [0.0, 0.0, 1.0]),
                (p.drag.value, [1.0, 0.0, 0.0]),
                (weight, [0.0, 0.0, -1.0]),
            ]);
            // 2 N for the weight of the ropes.
            assert!(size(left) < 2.5, "{hang} at {}: {left:?}", p.carriage.x.value);
        }
        assert!(lying > 20, "{hang}: {lying}");
    }
}

/// A litter hauled and lowered along a slope: carriage and litter together are in balance with friction outward along the
/// ground on the way up, and inward on the way down.
#[test]
fn a_litter_on_a_slope_is_dragged_against_its_way() {
    let (mu, fall) = (0.15, 0.5);
    let slope = |site: &mut Site| {
        light(site);
        site.ground = [("-12 m", "0 m"), ("1.5 m", "0 m"), ("2 m", "-6 m"), ("90 m", "-50 m")]
            .map(|(x, z)| point2(x, z))
            .to_vec();
        site.far_anchor.height = text::<Length>("4 m").into();
        site.load.ground_friction = Some(text::<Ratio>("15 %").into());
        site.travel.start = Some(text("30 m"));
    };
    // Lifted by this, a litter on a shorter sling just floats.
    let tension = study(|site| {
        slope(site);
        site.load.hang = text::<Length>("0.3 m").into();
        site.track.set = TrackSetting::LitterHeight(text::<Length>("0 m").into());
    })
    .unwrap()
    .unloaded
    .strand_tension_head;
    let study = study(|site| {
        slope(site);
        site.load.hang = text::<Length>("1.1 m").into();
        site.track.set = TrackSetting::UnloadedTension(tension.into());
    })
    .unwrap();
    // With half of the haul rope, 1 g/m.
    let chord = (study.far.x - study.head.x).value.hypot((study.far.z - study.head.z).value);
    let weight = (90.0 + 25.0 + 85.0 + 20.0 + 0.0005 * chord) * 9.80665;
    let length = 1f64.hypot(fall);
    // Out of the ground, and outward along it.
    let (normal, along) = ([fall / length, 0.0, 1.0 / length], [1.0 / length, 0.0, -fall / length]);
    let (head, far) =
        ([study.head.x.value, 0.0, study.head.z.value], [study.far.x.value, 0.0, study.far.z.value]);
    let mut lying = [0, 0];
    for p in study.positions.iter().filter(|p| p.carriage.x.value > 3.0) {
        let x = p.carriage.x.value;
        let ground = p.carriage.z.value - p.carriage_height.value;
        let ways = [
            (1.0, Some((p.carriage_height, p.strand_tension_head, p.haul_pull, p.ground_share, p.drag))),
            (
                -1.0,
                p.lowering
                    .map(|w| (w.carriage_height, w.strand_tension_head, w.haul_pull, w.ground_share, w.drag)),
            ),
        ];
        for (lying, (outward, way)) in lying.iter_mut().zip(ways) {
            let Some((height, t, pull, share, drag)) = way else { continue };
            if share.value == 0.0 || pull.value == 0.0 {
                continue;
            }
            *lying += 1;
            let carriage = [x, 0.0, ground + height.value];
            let (up, down) = (unit(carriage, head), unit(carriage, far));
            let pressed = drag.value / mu;
            let on_litter = sum(&[(pressed, normal), (outward * drag.value, along)]);
            // The share of the ground is the vertical part.
            assert!(
                (on_litter[2] - share.value * weight).abs() < 1e-6 * weight,
                "{x}: {on_litter:?} {share:?}"
            );
            let left = sum(&[
                (2.0 * t.value, up),
                (2.0 * t.value, down),
                (pull.value, up),
                (1.0, on_litter),
                (weight, [0.0, 0.0, -1.0]),
            ]);
            // 2 N for the weight of the ropes; friction the wrong way would be 2·drag.
            assert!(size(left) < 2.5, "{outward} at {x}: {left:?}");
            assert!(drag.value < 20.0 || 2.0 * drag.value > 10.0 * size(left));
        }
    }
    assert!(lying.iter().all(|lying| *lying > 20), "{lying:?}");
}

fn point2(x: &str, z: &str) -> rope_mechanics::geometry::Point2 {
    rope_mechanics::geometry::Point2::new(text(x), text(z))
}

#[test]
fn how_many_positions_are_studied_does_not_change_the_tension_for_a_height() {
    let length = |positions: u32| {
        study(|site| {
            site.travel.positions = Some(positions);
            site.track.set = operation::site::TrackSetting::LitterHeight(text::<Length>("1 ft").into());
        })
        .unwrap()
        .unloaded
        .strand_length
        .value
    };
    // Between corners of the ground the path is smooth, so that what lies between two positions is missed by no more
    // than z″·h²/8: ten times as many, a hundredth of it.
    let (few, usual, many) = (length(20), length(200), length(2000));
    assert!((usual - many).abs() < 0.02 * (few - many).abs(), "{few} {usual} {many}");
    assert!((usual - many).abs() < 1e-3);
}

#[test]
fn a_narrow_rock_under_the_line_is_seen() {
    let study = study(|site| {
        let at = |x: f64, z: f64| {
            rope_mechanics::geometry::Point2::new(Length::new::<meter>(x), Length::new::<meter>(z))
        };
        let before = site.ground.iter().position(|p| p.x.get::<meter>() > 20.5).unwrap();
        for (i, p) in [at(20.4, -19.2), at(20.5, -18.4), at(20.6, -19.3)].into_iter().enumerate() {
            site.ground.insert(before + i, p);
        }
    })
    .unwrap();
    assert!(study.summary.least_litter_height.si.value == 0.0);
    assert!(study.warnings.iter().any(|w| w.kind == WarningKind::LitterDrags));
    assert!(study.unloaded.clearance.value < 6.0);
}

/// A rock in the ground of the built-in site: up from 20.4 m, level for half a metre, and down again.
fn with_a_rock(height: f64, face: f64, tension: &str) -> Result<Study, SiteError> {
    study(|site| {
        site.track.set = operation::site::TrackSetting::UnloadedTension(text::<Force>(tension).into());
        let at = |x: f64, z: f64| {
            rope_mechanics::geometry::Point2::new(Length::new::<meter>(x), Length::new::<meter>(z))
        };
        let from = site.ground.iter().position(|p| p.x.get::<meter>() > 20.4).unwrap();
        let top = 20.4 + face + 0.5;
        let rock =
            [at(20.4, -19.3), at(20.4 + face, height - 19.3), at(top, height - 19.3), at(top + face, -20.5)];
        site.ground.splice(from..from, rock);
    })
}

#[test]
fn a_rock_that_the_litter_can_not_lie_beside_is_named_with_what_to_change() {
    for (height, face) in [(1.0, 0.01), (3.0, 0.2), (2.0, 1.0)] {
        let why = with_a_rock(height, face, "1.2 kN").unwrap_err();
        // The litter comes up from below: the outer face is ground[8] to ground[9].
        assert_eq!(why.key, "ground[8]", "{why}");
        for says in ["ground[9]", "60°", "1.10 m (3.61 ft)", "track.set", "travel.end"] {
            assert!(why.problem.contains(says), "{says}: {why}");
        }
        // Lifted over it, the load passes.
        assert!(with_a_rock(height, face, "12 kN").is_ok());
    }
    // Lower than the litter hangs and no steeper than the ground around, it is none: what is wrong is told as before.
    let why = study(|site| {
        site.track.set = operation::site::TrackSetting::UnloadedTension(text::<Force>("1 N").into());
        site.load.hang = text::<Length>("0.1 m").into();
        site.ground = vec![point2("-12 m", "0 m"), point2("1.5 m", "0 m"), point2("74 m", "-50 m")];
    });
    assert!(!why.unwrap_err().key.starts_with("ground"));
}

#[test]
fn more_slack_in_the_belay_costs_more() {
    let lost = |slack: &str| {
        study(|site| site.belay.as_mut().unwrap().slack = text(slack)).unwrap().summary.haul_lost.unwrap()
    };
    let (tight, loose) = (lost("0 m"), lost("3 m"));
    // Without slack a load put on suddenly pulls twice, of the pull that friction doesn't hold.
    // The sheave on the head, of 90 % over half a turn, may add its loss behind it.
    let (peak, lost) = (tight.peak.value, tight.lost.value);
    assert!(peak <= 2.0 / 0.9 * lost && peak > 0.5 * lost, "{peak} {lost}");
    assert!(loose.peak > tight.peak && loose.travel.value > tight.travel.value + 3.0);
    assert!(study(|site| site.belay = None).unwrap().summary.haul_lost.is_none());
}

#[test]
fn the_farthest_fall_is_at_least_as_far_as_the_hardest() {
    let summary = study(|_| {}).unwrap().summary;
    let (hardest, farthest) = (summary.track_lost.unwrap(), summary.track_lost_farthest.unwrap());
    assert!(farthest.drop >= hardest.drop);
    assert!(hardest.peak_bound >= farthest.peak_bound);
}

#[test]
fn a_bend_thinner_than_the_knots_governs_the_rope() {
    let rope = |bend: Option<&str>| {
        let study = study(|site| site.track.rope.thinnest_bend = bend.map(text)).unwrap();
        study.components[0].strength.unwrap().value
    };
    // 12.5 mm over 25 mm leaves 65 %, less than the knots' 70 %; over 76 mm more.
    assert!((rope(Some("25 mm")) / 40e3 - 0.65).abs() < 1e-12);
    assert!((rope(Some("76 mm")) / 40e3 - 0.70).abs() < 1e-12);
    assert!((rope(None) / 40e3 - 0.70).abs() < 1e-12);
}

#[test]
fn ratings_and_limits_that_make_no_sense_are_refused() {
    let key = |change: fn(&mut Site)| study(change).unwrap_err().key;
    assert_eq!(key(|site| site.ratings.leg = Some(text("-36 kN"))), "ratings.leg");
    assert_eq!(key(|site| site.ratings.far.sling = Some(text("0 N"))), "ratings.far.sling");
    assert_eq!(key(|site| site.limits.current = Some(text("-120 A"))), "limits.current");
    assert_eq!(key(|site| site.limits.reading = Some(text("-1 N"))), "limits.reading");
    assert_eq!(key(|site| site.limits.frame_margin = Some(text("-1 deg"))), "limits.frame_margin");
    assert_eq!(key(|site| site.travel.positions = Some(2)), "travel.positions");
}

/// What a changed site file is refused with.
fn refused(from: &str, to: &str) -> String {
    assert!(SITE.contains(from), "the site file has no {from}");
    match toml::from_str::<Site>(&SITE.replacen(from, to, 1)) {
        Err(why) => why.to_string(),
        Ok(site) => without_orders(&site).map_or_else(|why| why.to_string(), |_| panic!("{to} was taken")),
    }
}

#[test]
fn a_point_with_a_coordinate_too_many_or_too_few_is_refused() {
    let redirect = "redirect = [\"-0.4 m\", \"1.3 m\", \"0.3 m\"]";
    for (from, to, says) in [
        (
            "[\"39 m\", \"-32.9 m\"]",
            "[\"39 m\", \"-32.9 m\", \"0 m\"]",
            "two values: how far out and how high",
        ),
        ("[\"39 m\", \"-32.9 m\"]", "[\"39 m\"]", "this one has 1"),
        (redirect, "redirect = [\"-4 ft\", \"0 ft\", \"0 ft\", \"0.5 ft\"]", "this one has 4"),
        (redirect, "redirect = [\"-0.4 m\", \"1.3 m\"]", "three values: how far out, to the left and up"),
    ] {
        let said = refused(from, to);
        assert!(said.contains(says), "{to}: {said}");
    }
}

/// What a crew reads, without the words of programmers.
#[test]
fn what_can_not_be_read_is_told_in_plain_words() {
    let set = "set = { greatest_reading = \"3.2 kN\" }";
    for (from, to, says) in [
        ("wraps = 5 ", "wraps = \"5\" ", "a number without quotes"),
        ("gear = 180", "gear = \"180:1\"", "a number without quotes"),
        ("factor = 5 ", "factor = \"5\" ", "a number without quotes"),
        ("positions = 200", "positions = \"200\"", "a whole number"),
        ("positions = 200", "positions = 99.5", "99.5 is not a whole number"),
        ("positions = 200", "positions = -3", "-3 is below zero"),
        ("positions = 200", "positions = 5000000000", "too large"),
        ("title = ", "title = 3 #", "words in quotes"),
        ("class = \"12.5 mm nylon\"", "class = 12.5", "words in quotes"),
        ("tackle = \"1:1\"", "tackle = 1", "words in quotes"),
        ("tackle = \"1:1\"", "tackle = \"7:1\"", "write \"1:1\", \"2:1\" or \"3:1\""),
        ("redirect = [", "redirect = \"1 m\" # [", "three values"),
        (set, "set = \"tight\"", "one of { unloaded_tension"),
        (set, "set = {}", "give one of unloaded_tension, greatest_reading, litter_height"),
        (
            set,
            "set = { greatest_reading = \"3.2 kN\", unloaded_tension = \"1.5 kN\" }",
            "only; unloaded_tension and greatest_reading are given",
        ),
        ("[frame]", "frame = 3\n[frames]", "the table of the frame"),
        ("feet = [", "feet = \"three\" # [", "a list in [ ]"),
    ] {
        let said = refused(from, to);
        assert!(said.contains(says), "{to}: {said}");
        for jargon in ["element", "tuple", "u32", "f64", "struct", "sequence", "enum", "variant", "string or"]
        {
            assert!(!said.contains(jargon), "{to}: {said}");
        }
    }
}

#[test]
fn a_missing_table_is_told_by_what_it_holds() {
    for (table, holds) in [
        ("frame", "height"),
        ("far_anchor", "sheave"),
        ("track", "track rope"),
        ("load", "patient"),
        ("haul", "tackle"),
        ("capstan", "wraps"),
        ("winch", "battery"),
        ("ground", "points"),
        ("title", "report"),
    ] {
        let mut keys: toml::Table = toml::from_str(SITE).unwrap();
        keys.remove(table).unwrap();
        let said = toml::from_str::<Site>(&toml::to_string(&keys).unwrap()).unwrap_err().to_string();
        assert!(said.contains(table) && said.contains("is missing: ") && said.contains(holds), "{said}");
    }
    for table in ["belay", "ratings", "limits", "travel", "notes"] {
        let mut keys: toml::Table = toml::from_str(SITE).unwrap();
        keys.remove(table).unwrap();
        assert!(toml::from_str::<Site>(&toml::to_string(&keys).unwrap()).is_ok(), "{table} may be left out");
    }
}

/// The built-in site without one of its keys, or with one more.
type Changed = (String, toml::Table);

/// Every key of a table and of the tables inside it, by its path, with the whole as it is without that key.
fn without_each(whole: &toml::Table) -> Vec<Changed> {
    fn tables(at: &toml::Value, path: Vec<String>, found: &mut Vec<Vec<String>>) {
        match at {
            toml::Value::Table(table) => {
                for (key, value) in table {
                    let path = [&path[..], std::slice::from_ref(key)].concat();
                    found.push(path.clone());
                    tables(value, path, found);
                }
            }
            toml::Value::Array(list) => {
                for (i, value) in list.iter().enumerate() {
                    tables(value, [&path[..], &[i.to_string()]].concat(), found);
                }
            }
            _ => {}
        }
    }
    let whole = toml::Value::Table(whole.clone());
    let mut paths = Vec::new();
    tables(&whole, Vec::new(), &mut paths);
    let shown = |path: &[String]| {
        path.iter().fold(String::new(), |shown, part| match part.parse::<usize>() {
            Ok(i) => format!("{shown}[{i}]"),
            Err(_) if shown.is_empty() => part.clone(),
            Err(_) => format!("{shown}.{part}"),
        })
    };
    paths
        .into_iter()
        .map(|path| {
            let mut changed = whole.clone();
            let (key, front) = path.split_last().unwrap();
            let mut at = &mut changed;
            for part in front {
                at = match part.parse::<usize>() {
                    Ok(i) => &mut at[i],
                    Err(_) => &mut at[part.as_str()],
                };
            }
            at.as_table_mut().unwrap().remove(key).unwrap();
            let toml::Value::Table(changed) = changed else { panic!() };
            (shown(&path), changed)
        })
        .collect()
}

/// What is told of a site that can't be read, from TOML and from JSON; nothing of one that can.
fn told(site: &toml::Table) -> Option<[Unreadable; 2]> {
    let text = toml::to_string(site).unwrap();
    let of_toml = serde_path_to_error::deserialize::<_, Site>(toml::Deserializer::parse(&text).unwrap());
    let text = serde_json::to_string(site).unwrap();
    let of_json = serde_path_to_error::deserialize::<_, Site>(&mut serde_json::Deserializer::from_str(&text));
    match (of_toml, of_json) {
        (Ok(one), Ok(other)) => {
            assert_eq!(one, other);
            None
        }
        (Err(one), Err(other)) => Some([
            unreadable(&one.path().to_string(), one.inner()),
            unreadable(&other.path().to_string(), other.inner()),
        ]),
        (one, other) => panic!("{one:?} {other:?}"),
    }
}

#[test]
fn a_missing_key_is_told_by_its_whole_path_and_what_it_holds() {
    let by_motor: toml::Table = toml::from_str(SITE).unwrap();
    let mut by_table = by_motor.clone();
    by_table["winch"] = toml::from_str::<toml::Table>(
        r#"
        [table]
        points = [{ pull = "0 lbf", current = "65 A" }, { pull = "4000 lbf", current = "250 A" }]
        speed = "5 m/min"
        rated_pull = "9000 lbf"
        battery = { voltage = "25.6 V", resistance = "8 mohm", leads = "3 mohm", charge = "50 Ah" }
        "#,
    )
    .unwrap()
    .into();
    let mut needed = 0;
    for (key, changed) in [by_motor, by_table].iter().flat_map(without_each) {
        // Of the site as a whole another test asks; a winch is a motor or a table, and the track is set in one of
        // three ways.
        if !key.contains('.')
            || ["winch.motor", "winch.table", "track.set.greatest_reading"].contains(&key.as_str())
        {
            continue;
        }
        for said in told(&changed).into_iter().flatten() {
            needed += 1;
            assert!(said.problem.contains(&format!("{key} is missing: ")), "{key}: {}", said.problem);
            assert_eq!(said.key, key);
            for strange in ["field", "without it", "struct"] {
                assert!(!said.problem.contains(strange), "{key}: {}", said.problem);
            }
        }
    }
    // Twice each: TOML and JSON.
    assert_eq!(needed, 2 * (37 + 38));
}

#[test]
fn an_unknown_key_is_told_by_its_whole_path_and_what_could_stand_there() {
    for (from, to, key, known) in [
        ("height = \"3.2 m\" ", "heigth = \"3.2 m\" ", "frame.heigth", "`height`"),
        ("charge = \"50 Ah\"", "capacity = \"50 Ah\"", "winch.motor.battery.capacity", "`charge`"),
        ("redirects = [{ at = ", "redirects = [{ place = ", "haul.redirects[0].place", "`at`"),
        ("title = ", "titel = ", "titel", "`title`"),
    ] {
        assert!(SITE.contains(from), "the site file has no {from}");
        for said in told(&toml::from_str(&SITE.replacen(from, to, 1)).unwrap()).unwrap() {
            assert_eq!(said.key, key);
            assert!(said.problem.contains(&format!("{key} is not known there: write ")), "{}", said.problem);
            assert!(said.problem.contains(known), "{}", said.problem);
        }
    }
}

#[test]
fn what_else_can_not_be_read_is_told_by_its_whole_path() {
    for (from, to, key) in [
        ("height = \"3.2 m\" ", "height = \"3.2 kN\" ", "frame.height"),
        ("[\"39 m\", \"-32.9 m\"]", "[\"39 m\"]", "ground[8]"),
        ("tackle = \"1:1\"", "tackle = \"7:1\"", "haul.tackle"),
    ] {
        for said in told(&toml::from_str(&SITE.replacen(from, to, 1)).unwrap()).unwrap() {
            assert_eq!(said.key, key);
            assert!(said.problem.starts_with(&format!("{key}: ")), "{}", said.problem);
        }
    }
}

#[test]
fn what_is_out_of_range_is_told_in_the_units_of_a_crew() {
    for (from, to, says) in [
        (
            "hang = \"1.1 m\"",
            "hang = \"300 ft\"",
            "load.hang: is 91.4 m (300 ft), but must be from 0 m (0 ft) to 20 m (65.6 ft)",
        ),
        // Rounded to three digits it would be the bound itself.
        ("hang = \"1.1 m\"", "hang = \"20.003 m\"", "is 20.003 m (65.627 ft), but must be from 0 m"),
        (
            "redirect_efficiency = \"90 %\"",
            "redirect_efficiency = \"180 %\"",
            "is 180 %, but must be from 30 % to 100 %",
        ),
        ("patient = \"90 kg\"", "patient = \"21000 lb\"", "is 9525 kg (21000 lb)"),
        ("charge = \"50 Ah\"", "charge = \"0 Ah\"", "is 0 Ah, but must be above 0 Ah"),
        ("gear = 180 ", "gear = 0 ", "winch.motor.gear: is 0, but must be above 0"),
        ("# peukert = 1.2", "peukert = 3", "peukert: is 3, but must be from 1 to 2"),
        (
            "# temperature = \"20 °C\"",
            "temperature = \"-80 °C\"",
            "is -80 °C (-112 °F), but must be from -50 °C (-58 °F) to 70 °C (158 °F)",
        ),
        ("# rated_over = \"20 h\"", "rated_over = \"20 s\"", "is 20 s, but must be from 1 min to 1000 h"),
        ("# stiffness = \"50 kN\"", "stiffness = \"339.8121408865531 N\"", "is 0.34 kN (76.4 lbf)"),
    ] {
        let said = refused(from, to);
        assert!(said.contains(says), "{to}: {said}");
    }
}

fn table_of(points: &[(&str, &str)]) -> operation::site::SiteWinch {
    let points: String = points
        .iter()
        .map(|(pull, current)| format!("{{ pull = \"{pull}\", current = \"{current}\" }},"))
        .collect();
    let battery = "{ voltage = \"25.6 V\", resistance = \"8 mohm\", leads = \"3 mohm\", charge = \"50 Ah\" }";
    let keys = format!(
        "table = {{ points = [{points}], speed = \"5 m/min\", rated_pull = \"9 kN\", battery = {battery} }}"
    );
    toml::from_str(&keys).unwrap()
}

#[test]
fn a_winch_table_that_makes_no_sense_is_refused_by_its_row() {
    for (points, key, says) in [
        (
            [("0 N", "45 A"), ("5000 N", "110 A"), ("3000 N", "230 A")],
            "winch.table.points[2]",
            "has 3.00 kN (674 lbf) at 230 A, after 5.00 kN",
        ),
        ([("0 N", "45 A"), ("3 kN", "40 A"), ("5 kN", "230 A")], "winch.table.points[1]", "doesn't fall"),
        ([("3 kN", "45 A"), ("3 kN", "60 A"), ("3 kN", "80 A")], "winch.table.points", "different pulls"),
        // The load needs more than the table tells of.
        (
            [("0 N", "45 A"), ("100 N", "50 A"), ("200 N", "55 A")],
            "winch.table",
            "ends at 0.200 kN (45.0 lbf)",
        ),
    ] {
        let why = study(|site| site.winch = table_of(&points)).unwrap_err();
        assert_eq!(why.key, key);
        assert!(why.problem.contains(says), "{why}");
    }
}

/// By hand: 45, 110 and 250 A at 0, 3 and 9 kN, means 4 kN and 135 A, slope 960/42 A/kN, 43.57 A at no pull; the line
/// passes 112.14 A at 3 kN.
#[test]
fn the_line_through_a_winch_table_is_an_assumption_with_its_worst_miss() {
    let study = study(|site| site.winch = table_of(&[("0 N", "45 A"), ("3 kN", "110 A"), ("9 kN", "250 A")]))
        .unwrap();
    let line = study.assumptions.iter().find(|a| a.key == "winch.table.points").unwrap();
    assert!(
        line.text.contains("a straight line through the winch's table, worst off by 2.1 A"),
        "{}",
        line.text
    );
}

/// 120° divides a tracking line from a highline: a slack line is the one in part of its travel and the other in the
/// rest, a taut one a highline all the way.
#[test]
fn a_line_is_classed_by_its_angle_at_the_carriage() {
    let deep = |tension: &str| {
        study(|site| {
            site.ground = [("-12 m", "0 m"), ("1.5 m", "0 m"), ("2 m", "-80 m"), ("74 m", "-80 m")]
                .map(|(x, z)| point2(x, z))
                .to_vec();
            site.far_anchor.height = text::<Length>("37.4 m").into();
            site.track.set = TrackSetting::UnloadedTension(text::<Force>(tension).into());
        })
        .unwrap()
    };
    for (tension, class) in [("0.1 kN", LineClass::Both), ("3 kN", LineClass::Highline)] {
        let study = deep(tension);
        let angles: Vec<f64> = study.positions.iter().map(|p| p.interior_angle.get::<degree>()).collect();
        for (p, angle) in study.positions.iter().zip(&angles) {
            assert_eq!(p.flat, *angle >= 120.0);
        }
        assert_eq!(study.summary.line_class, class);
        assert_eq!(angles.iter().any(|angle| *angle < 120.0), class == LineClass::Both);
        assert_eq!(angles.iter().any(|angle| (120.0..126.0).contains(angle)), class == LineClass::Both);
    }
}

/// Asked after each position in turn; what it breaks off with comes back, and no position is done after that.
#[test]
fn a_study_is_stopped_where_it_is_told_to() {
    let site = site();
    let mut asked = Vec::new();
    let stopped = operation::solve_while(&site, |done, of| {
        asked.push((done, of));
        if done == 7 { ControlFlow::Break("enough") } else { ControlFlow::Continue(()) }
    });
    assert_eq!(stopped.unwrap().break_value(), Some("enough"));
    assert_eq!(asked, (1..=7).map(|done| (done, 209)).collect::<Vec<_>>());
    // Never stopped, it is the study of `solve`.
    let whole = operation::solve_while(&site, |_, _| ControlFlow::<()>::Continue(())).unwrap();
    assert!(whole == ControlFlow::Continue(operation::solve(&site).unwrap()));
}
