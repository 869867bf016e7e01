//! What a study repeats and sums up for a crew: where things stand, what the file gives, the verdict.

use rope_mechanics::operation::layout::{PlaceKind, PlanPlace};
use rope_mechanics::operation::site::{Site, TackleKind};
use rope_mechanics::operation::study::{Study, WarningKind};
use rope_mechanics::operation::verdict::{Verdict, verdict, weight};
use rope_mechanics::operation::{self};
use rope_mechanics::quantity::Force;
use rope_mechanics::quantity::unit::kilonewton;

const SITE: &str = include_str!("../../../tests/sites/reference.toml");

fn study(change: impl FnOnce(&mut Site)) -> Study {
    let mut site: Site = toml::from_str(SITE).unwrap();
    change(&mut site);
    let go_on = |_, _| core::ops::ControlFlow::<()>::Continue(());
    let asked = operation::Asked::EVERYTHING.with_schedule(false).with_cures(false).with_changeover(false);
    operation::solve_asked(&site, &asked, go_on).unwrap().continue_value().unwrap()
}

fn place(study: &Study, kind: PlaceKind) -> &PlanPlace {
    study.layout.places.iter().find(|place| place.kind == kind).unwrap()
}

#[test]
fn places_stand_where_the_file_has_them_and_are_pulled_along_their_ropes() {
    let study = study(|_| {});
    // Worked by hand from the reference site: the device at (−4, 2, 0.8), the head at (0, 0, 3.2).
    let device = place(&study, PlaceKind::BelayDevice);
    assert!((device.distance.value - 20f64.sqrt()).abs() < 1e-12);
    let pull = device.pull.unwrap();
    assert!((pull.azimuth.value - (-2f64).atan2(4.0)).abs() < 1e-12);
    assert!((pull.elevation.value - 2.4f64.atan2(20f64.sqrt())).abs() < 1e-12);
    // The track redirect at (−0.4, 1.3, 0.3), between the capstan at (−7, 2, 0.9) and the head: along both unit vectors.
    let ways = [[-6.6, 0.7, 0.6], [0.4, -1.3, 2.9f64]];
    let sum = ways.iter().fold([0.0; 3], |sum, way: &[f64; 3]| {
        let length = way.iter().map(|c| c * c).sum::<f64>().sqrt();
        [sum[0] + way[0] / length, sum[1] + way[1] / length, sum[2] + way[2] / length]
    });
    let pull = place(&study, PlaceKind::TrackRedirect).pull.unwrap();
    assert!((pull.azimuth.value - sum[1].atan2(sum[0])).abs() < 1e-12);
    assert!((pull.elevation.value - sum[2].atan2(sum[0].hypot(sum[1]))).abs() < 1e-12);
    // The far anchor 62 m out, pulled back towards the head and up.
    let far = place(&study, PlaceKind::FarAnchor);
    assert!((far.distance.value - 62.0).abs() < 1e-12);
    let pull = far.pull.unwrap();
    assert!((pull.azimuth.value.abs() - std::f64::consts::PI).abs() < 1e-12);
    assert!(
        (pull.elevation.value - (study.head.z - far.at.z - study.base.z).value.atan2(62.0)).abs() < 1e-12
    );
    assert!(place(&study, PlaceKind::Foot).pull.is_none());
}

#[test]
fn every_rope_runs_between_places() {
    let study = study(|_| {});
    let names: Vec<_> = study.layout.ropes.iter().map(|rope| rope.name.as_str()).collect();
    assert_eq!(names, ["track rope", "haul rope", "belay rope"]);
    let head = (0.0, 0.0, (study.head.z - study.base.z).value);
    for rope in &study.layout.ropes {
        for corner in &rope.corners {
            let at = (corner.x.value, corner.y.value, corner.z.value);
            let known = study.layout.places.iter().any(|place| place.at == *corner) || at == head;
            assert!(known, "the {} has a corner at {at:?} where nothing stands", rope.name);
        }
    }
}

#[test]
fn a_rope_that_comes_back_the_way_it_went_pulls_towards_one_side() {
    // Backwards from a known answer: winch, redirect and head in one vertical plane, the redirect midway and low.
    let study = study(|site| {
        site.haul.redirects[0].at = toml_point("-1 m", "0 m", "0 m");
        site.haul.winch = toml_point("-8 m", "0 m", "0 m");
    });
    let pull = place(&study, PlaceKind::HaulRedirect).pull.unwrap();
    // To the winch: level and backward. To the head: (1, 0, 3.2)/√11.24. The sum lies in the plane, bisecting.
    let half = 0.5 * (std::f64::consts::PI + 3.2f64.atan2(1.0));
    assert!((pull.azimuth.value.abs() - std::f64::consts::PI).abs() < 1e-12);
    assert!((pull.elevation.value - (std::f64::consts::PI - half)).abs() < 1e-12);
}

fn toml_point(x: &str, y: &str, z: &str) -> rope_mechanics::geometry::Point3 {
    serde_json::from_value(serde_json::json!([x, y, z])).unwrap()
}

#[test]
fn what_the_file_gives_is_repeated() {
    let study = study(|site| site.document.revision = "C".to_string());
    let given = &study.given;
    assert_eq!(given.document.revision, "C");
    assert!((given.load.value - (90.0 + 25.0 + 85.0 + 20.0)).abs() < 1e-9);
    assert_eq!((given.hang.value, given.wraps, given.tackle), (1.1, 5.0, TackleKind::Straight));
    assert_eq!(given.belay_slack.unwrap().value, 0.6);
    assert!((given.ropes[0].on_hand.unwrap().value - 600.0 * 0.3048).abs() < 1e-9);
}

#[test]
fn lines_to_draw_are_those_of_the_positions() {
    for positions in [10, 26, 200] {
        let study = study(|site| site.travel.positions = Some(positions));
        let lines = &study.lines;
        assert!(lines.len() <= 25 && lines.len() >= study.positions.len().min(25));
        assert_eq!(lines[0].position, 0);
        assert_eq!(lines[lines.len() - 1].position, study.positions.len() - 1);
        assert!(lines.windows(2).all(|pair| pair[0].position < pair[1].position));
        for line in lines {
            let carriage = study.positions[line.position].carriage;
            assert!(line.shape.contains(&carriage));
        }
    }
}

#[test]
fn each_kind_of_warning_has_its_weight() {
    // From the dearest limits down: a rig with every margin goes, and each warning alone has its verdict.
    let mut warning = study(|site| site.limits.factor = Some(50.0)).warnings.remove(0);
    for (kind, value, expected) in [
        (WarningKind::RopeTooShort, Some(-1.0), Verdict::NoGo),
        (WarningKind::Factor, Some(3.0), Verdict::NoGo),
        (WarningKind::Reading, Some(1.0), Verdict::NoGo),
        (WarningKind::LitterHigh, Some(3.0), Verdict::NoGo),
        (WarningKind::LitterDrags, Some(0.3), Verdict::GoWith),
        (WarningKind::TrackOnGround, Some(-0.2), Verdict::NoGo),
        (WarningKind::RollsIn, Some(30.0), Verdict::GoWith),
        (WarningKind::CarriageOnGround, None, Verdict::GoWith),
        (WarningKind::Frame, None, Verdict::NoGo),
        (WarningKind::Winch, Some(1.0), Verdict::NoGo),
        (WarningKind::Battery, Some(0.1), Verdict::GoWith),
        (WarningKind::Battery, None, Verdict::NoGo),
        (WarningKind::CapstanTail, Some(60.0), Verdict::GoWith),
        (WarningKind::NotRated, None, Verdict::GoWith),
    ] {
        (warning.kind, warning.value) = (kind, value);
        assert_eq!(weight(&warning), expected, "{kind:?}");
        assert_eq!(verdict(&[warning.clone()]), expected, "{kind:?}");
    }
    // The worst of several.
    let mut good = warning.clone();
    (good.kind, warning.kind) = (WarningKind::NotRated, WarningKind::Frame);
    assert_eq!(verdict(&[good.clone(), warning.clone()]), Verdict::NoGo);
    assert_eq!(verdict(&[warning, good]), Verdict::NoGo);
    assert_eq!(verdict(&[]), Verdict::Go);
}

#[test]
fn studies_come_to_the_verdict_that_their_limits_ask_for() {
    let kn = |value| Some(Force::new::<kilonewton>(value));
    let no_go = study(|site| site.limits.reading = kn(1.0));
    assert_eq!(verdict(&no_go.warnings), Verdict::NoGo);
    // Nothing wanted of it, everything rated, a tail that a hand holds, and a belay rope too tight to lie on the ground.
    let go = study(|site| {
        site.limits = Default::default();
        site.limits.factor = Some(1.0);
        site.limits.litter_height =
            Some(rope_mechanics::quantity::Length::new::<rope_mechanics::quantity::unit::meter>(40.0));
        site.belay.as_mut().unwrap().slack =
            rope_mechanics::quantity::Length::new::<rope_mechanics::quantity::unit::meter>(0.1);
        site.capstan.wraps = 12.0;
        site.ratings.guy = None;
        let rated = &mut site.ratings;
        for part in [
            &mut rated.haul_head,
            &mut rated.haul_redirect,
            &mut rated.tackle,
            &mut rated.winch,
            &mut rated.capstan,
        ] {
            part.anchor = kn(40.0);
        }
        site.travel.start =
            Some(rope_mechanics::quantity::Length::new::<rope_mechanics::quantity::unit::meter>(25.0));
    });
    assert_eq!(verdict(&go.warnings), Verdict::Go, "{:?}", go.warnings);
}
