//! A site in, its study out.

use rope_mechanics::operation::{self, SiteError, site::Site, study::Study, study::WarningKind};
use rope_mechanics::quantity::unit::{foot, kilogram, meter, newton};
use rope_mechanics::quantity::{Length, Mass};

const SITE: &str = include_str!("../../../examples/preplan-report/bend-seven.toml");

fn site() -> Site {
    toml::from_str(SITE).unwrap()
}

fn study(change: impl FnOnce(&mut Site)) -> Result<Study, SiteError> {
    let mut site = site();
    change(&mut site);
    operation::solve(&site)
}

fn text<Q: rope_mechanics::text::Text>(text: &str) -> Q {
    Q::from_text(text).unwrap()
}

#[test]
fn every_position_of_the_built_in_site_is_in_balance() {
    let study = study(|_| {}).unwrap();
    assert_eq!(study.positions.len(), 200);
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
    let study = study(|site| site.track.set = operation::site::Set::LitterHeight(text("0.4 m"))).unwrap();
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
            travel = { start = "20 m", end = "29.7215 m", positions = 2 }

            [track]
            rope = { mass = "85 g/m", stiffness = "40 kN", strength = "40 kN" }
            on_hand = "600 ft"
            knots = "0 m"
            tails = "0 m"
            wraps = "0 m"
            redirect = ["0 m", "1 m", "0 m"]
            cell_anchor = ["-5 m", "0 m", "0 m"]
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
        site.load.patient = Mass::new::<kilogram>(250.0 - half);
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
    let study = study(|site| site.track.set = operation::site::Set::UnloadedTension(text("1.2 kN"))).unwrap();
    let dragging: Vec<_> = study.positions.iter().filter(|p| p.ground_share.value > 0.0).collect();
    assert!(dragging.len() > 50);
    for p in dragging {
        assert_eq!(p.litter_height.value, 0.0);
        assert!(p.ground_share.value <= 1.0 && p.drag.value > 0.0);
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
            Ok(site) => match operation::solve(&site) {
                Err(why) => why.to_string(),
                Ok(_) => panic!("{to} was taken"),
            },
        };
        // What can't be read is shown in its place in the file; the last part of the key stands there.
        let key = if said.contains("TOML parse error") { key.rsplit('.').next().unwrap() } else { key };
        assert!(said.contains(key), "{to}: {said}");
    }
}
