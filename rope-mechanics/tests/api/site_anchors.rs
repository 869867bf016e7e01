//! Anchors of a site by what they are, and what a site says of its sheaves.

use rope_mechanics::anchor::{Anchor, AnchorLeg, Vehicle};
use rope_mechanics::geometry::{Force3, Point3};
use rope_mechanics::operation::given::GivenAnchor;
use rope_mechanics::operation::site::{KeyTree, NoFiles, Site, SiteAnchor, SiteAnchors, SiteFile};
use rope_mechanics::operation::study::{PartKind, Study, WarningKind};
use rope_mechanics::operation::{self, Asked, Place, verdict};
use rope_mechanics::quantity::literal::{deg, kg, lbf, percent};

const SITE: &str = include_str!("../../../examples/preplan-report/demo.toml");

/// The demo site without rated anchors at these places, and with these keys.
fn site(more: &str) -> Site {
    let text = SITE
        .replacen("positions = 200", "positions = 10", 1)
        .replace("anchor = \"35 kN\"\n", "")
        .replace("[ratings.winch]\nanchor = \"25 kN\"\n", "[ratings.winch]\n");
    toml::from_str(&(text + more)).unwrap()
}

fn study(site: &Site) -> Result<Study, operation::SiteError> {
    let go_on = |_, _| core::ops::ControlFlow::<()>::Continue(());
    let core::ops::ControlFlow::Continue(study) = operation::solve_asked(site, &Asked::PLAIN, go_on)? else {
        panic!("stopped")
    };
    Ok(study)
}

/// Strength of the anchor at a place.
fn strength(study: &Study, place: Place) -> f64 {
    let part =
        study.components.iter().find(|part| part.place == place && part.kind == PartKind::Anchor).unwrap();
    assert!(part.basis.contains("no margin"), "{}", part.basis);
    part.strength.unwrap().value
}

const VEHICLE: &str = "mass = \"12000 kg\"\ngrade = \"3 deg\"\nbraked = \"60 %\"\n";

/// What the anchor of a place holds, found anew in every direction of pull that is given: the least.
fn given(study: &Study, place: Place) -> &GivenAnchor {
    study.given.anchors.iter().find(|anchor| anchor.place == place).unwrap()
}

#[test]
fn a_vehicle_holds_what_it_holds_along_the_rope_that_pulls_it() {
    let site = site(&format!("\n[anchors.winch.vehicle]\nsurface = \"gravel-wet\"\n{VEHICLE}"));
    let study = study(&site).unwrap();
    let found = strength(&study, Place::Winch);
    // From the winch at (-7.5, -1.6, 0.7) to the redirect at (-0.5, -1, 0.3), by hand; the road falls by 3°.
    let rise = (-0.4_f64).atan2(7_f64.hypot(0.6));
    assert!((given(&study, Place::Winch).least_rise.value - rise).abs() < 1e-12);
    assert_eq!(given(&study, Place::Winch).least_rise, given(&study, Place::Winch).most_rise);
    let over_road = rise + 3_f64.to_radians();
    // 117.68 kN·(0.24·cos 3° − sin 3°)/(cos δ + 0.24·sin δ).
    let grip = 0.24 * 3_f64.to_radians().cos() - 3_f64.to_radians().sin();
    let by_hand = 12000.0 * 9.80665 * grip / (over_road.cos() + 0.24 * over_road.sin());
    assert!((found - by_hand).abs() < 1e-9 * by_hand, "{found} {by_hand}");
    // It is judged as any part is: by the force at each position.
    let at = study
        .components
        .iter()
        .position(|part| part.place == Place::Winch && part.kind == PartKind::Anchor)
        .unwrap();
    assert!(study.positions.iter().all(|p| p.forces[at].value > 0.0 && p.forces[at] == p.winch_pull));
}

#[test]
fn a_vehicle_at_the_far_end_holds_what_it_does_in_the_worst_direction_that_occurs() {
    let mut site = site("");
    site.ratings.far.anchor = None;
    let of = |friction: &str| {
        let text =
            format!("mass = \"12000 kg\"\ngrade = \"-3 deg\"\nbraked = \"60 %\"\nfriction = \"{friction}\"");
        let mut site = site.clone();
        site.anchors.far = Some(SiteAnchor::Vehicle(toml::from_str(&text).unwrap()));
        study(&site).unwrap()
    };
    for friction in ["20 %", "50 %", "190 %"] {
        let study = of(friction);
        let anchor = given(&study, Place::Far);
        // No rope rises above the straight line to the head.
        let chord = (study.head.z - study.far.z).value.atan2((study.far.x - study.head.x).value);
        assert!((anchor.most_rise.value - chord).abs() < 1e-12);
        assert!((anchor.least_rise.value + std::f64::consts::FRAC_PI_6).abs() < 1e-12);
        // Asked in every direction between them, ten thousand of them.
        let share: f64 = friction.trim_end_matches(" %").parse().unwrap();
        let vehicle = Vehicle::new(kg(12000.0), percent(share))
            .and_then(|vehicle| vehicle.with_grade(deg(-3.0)))
            .and_then(|vehicle| vehicle.with_braked_share(percent(60.0)))
            .unwrap();
        let all = (0..=10_000).map(|i| {
            let rise = anchor.least_rise + (anchor.most_rise - anchor.least_rise) * (f64::from(i) / 10_000.0);
            vehicle.with_rope_rise(rise + deg(-3.0)).unwrap().holds().unwrap().value
        });
        let least = all.fold(f64::INFINITY, f64::min);
        let found = strength(&study, Place::Far);
        // Beside the worst direction the force grows with the square of the angle: 5e-5 rad give 1.3e-9 of it.
        assert!(
            found <= least * (1.0 + 1e-12) && found > least * (1.0 - 4e-9),
            "{friction}: {found} {least}"
        );
    }
}

#[test]
fn the_directions_of_pull_are_those_of_the_ropes_in_the_study() {
    // Pickets everywhere, so that every place tells its directions.
    let pickets = "pickets]\narrangement = \"three-two-one\"\nsoil = \"wet-clay-and-gravel\"\nthickness = \"80 mm\"\nlength = \"1.6 m\"\ndriven = \"1 m\"\n";
    let mut site = site("");
    let anchor: SiteAnchors = toml::from_str(&format!("[winch.{pickets}")).unwrap();
    let winch = anchor.winch.unwrap();
    for chain in
        [&mut site.ratings.far, &mut site.ratings.redirect, &mut site.ratings.cell, &mut site.ratings.capstan]
    {
        chain.anchor = None;
    }
    site.ratings.haul_redirect.anchor = None;
    site.ratings.tackle.anchor = None;
    let anchors = &mut site.anchors;
    for place in [
        &mut anchors.far,
        &mut anchors.redirect,
        &mut anchors.cell,
        &mut anchors.capstan,
        &mut anchors.haul_redirect,
        &mut anchors.tackle,
        &mut anchors.winch,
    ] {
        *place = Some(winch.clone());
    }
    let study = study(&site).unwrap();
    let rises = |place| {
        let anchor = given(&study, place);
        (anchor.least_rise.value.to_degrees(), anchor.most_rise.value.to_degrees())
    };
    let line = |from: [f64; 3], to: [f64; 3]| {
        let way: Vec<f64> = from.iter().zip(to).map(|(a, b)| b - a).collect();
        way[2].atan2(way[0].hypot(way[1])).to_degrees()
    };
    // The demo's places, by hand: head, cell, capstan and redirect, winch and redirect.
    let near = |found: f64, by_hand: f64| assert!((found - by_hand).abs() < 1e-9, "{found} {by_hand}");
    let cell = line([-5.5, -1.4, 0.4], [0.0, 0.0, 2.8]);
    near(rises(Place::Cell).0, cell);
    near(rises(Place::Cell).1, cell);
    near(rises(Place::Capstan).0, line([-6.4, 2.2, 0.7], [-0.7, 1.0, 0.2]));
    near(rises(Place::Tackle).1, line([-7.5, -1.6, 0.7], [-0.5, -1.0, 0.3]));
    // A redirect is pulled between its two ropes, and with equal tensions along the line that halves their angle.
    let half = |at: [f64; 3], one: [f64; 3], other: [f64; 3]| {
        let unit = |to: [f64; 3]| {
            let way: Vec<f64> = at.iter().zip(to).map(|(a, b)| b - a).collect();
            let length = way.iter().map(|x| x * x).sum::<f64>().sqrt();
            way.into_iter().map(move |x| x / length).collect::<Vec<_>>()
        };
        let sum: Vec<f64> = unit(one).into_iter().zip(unit(other)).map(|(a, b)| a + b).collect();
        sum[2].atan2(sum[0].hypot(sum[1])).to_degrees()
    };
    for (place, at, to) in [
        (Place::TrackRedirect, [-0.7, 1.0, 0.2], [-6.4, 2.2, 0.7]),
        (Place::HaulRedirect(0), [-0.5, -1.0, 0.3], [-7.5, -1.6, 0.7]),
    ] {
        let (least, most) = rises(place);
        let (down, middle, up) = (line(at, to), half(at, [0.0, 0.0, 2.8], to), line(at, [0.0, 0.0, 2.8]));
        assert!(down < least && least < middle - 3.0 && middle + 3.0 < most && most < up, "{least} {most}");
    }
    // Pickets are good for a rope along the ground: those pulled up say so, the others don't.
    let told: Vec<_> = study.warnings.iter().filter(|w| w.kind == WarningKind::AnchorPull).collect();
    let steep = study.given.anchors.iter().filter(|a| a.most_rise > deg(10.0)).count();
    assert!(told.len() == steep && steep == 4, "{told:#?}");
    for warning in told {
        assert!(warning.value.unwrap() > warning.limit.unwrap() && warning.text.contains("10°"));
        assert_eq!(verdict::weight(warning), verdict::Verdict::NoGo);
    }
}

/// Two legs behind the winch, a V whose halves stand at ±30° to its rope.
fn legs(more: &str) -> String {
    // Along the rope from the redirect at (-0.5, -1, 0.3) to the winch at (-7.5, -1.6, 0.7), and level across it.
    let (x, y, z) = (-7.0, -0.6, 0.4);
    let length = f64::sqrt(x * x + y * y + z * z);
    let (u, side) =
        ([x / length, y / length, z / length], [0.6 / 7_f64.hypot(0.6), -7.0 / 7_f64.hypot(0.6), 0.0]);
    let leg = |sign: f64, strength: &str, more: &str| {
        let (c, s) = (30_f64.to_radians().cos(), 30_f64.to_radians().sin());
        let at: Vec<String> =
            (0..3).map(|i| format!("\"{} m\"", 2.0 * (c * u[i] + sign * s * side[i]))).collect();
        format!("{{ at = [{}], strength = \"{strength}\", stiffness = \"400 kN\"{more} }}", at.join(", "))
    };
    format!("\n[anchors.winch]\nlegs = [{}, {}]\n", leg(1.0, "20 kN", more), leg(-1.0, "9 kN", ""))
}

#[test]
fn legs_hold_until_the_first_takes_its_strength() {
    let found = study(&site(&legs(""))).unwrap();
    // A V of 60°: T = F/(2·cos 30°), and the weaker leg holds 9 kN. It settles by 9/400 of 2 m along the rope, which closes
    // its angle: cos grows by 2.2 % of sin² at most.
    let by_hand = 2.0 * 9000.0 * 30_f64.to_radians().cos();
    let holds = strength(&found, Place::Winch);
    assert!(holds > by_hand && holds < by_hand * (1.0 + 0.0225 * 0.25 / 0.75 * 1.2), "{holds} {by_hand}");
    let part =
        found.components.iter().find(|part| part.place == Place::Winch && part.kind == PartKind::Anchor);
    assert!(part.unwrap().basis.contains("leg 2 is the first"), "{part:?}");
    // The same anchor settled under it by the module for anchors: just its strength.
    let site_legs = site(&legs(""));
    let Some(SiteAnchor::Legs(given)) = &site_legs.anchors.winch else { panic!() };
    let made: Vec<AnchorLeg> =
        given.iter().map(|leg| AnchorLeg::new(leg.at, leg.stiffness).unwrap()).collect();
    let anchor = Anchor::new(Point3::default(), &made).unwrap();
    let length = f64::sqrt(49.0 + 0.36 + 0.16);
    let n = |share: f64| lbf(1.0) * (share * holds / length / lbf(1.0).value);
    let settled = anchor.settle(Force3::new(n(7.0), n(0.6), n(-0.4))).unwrap();
    assert!((settled.shares.tensions()[1].value / 9000.0 - 1.0).abs() < 1e-7);
    // A leg that is too long leaves the pull to the other until it is tight: it holds less than before.
    let slack = strength(&study(&site(&legs(", slack = \"10 cm\""))).unwrap(), Place::Winch);
    assert!(slack < holds && slack > 9000.0 * (1.0 - 1e-6), "{slack}");
    // Written and read again.
    assert_eq!(toml::from_str::<Site>(&toml::to_string(&site_legs).unwrap()).unwrap(), site_legs);
    let why = study(&site("\n[anchors.winch]\nlegs = []\n")).unwrap_err();
    assert_eq!(why.key, "anchors.winch.legs");
    let why = study(&site(&legs("").replacen("20 kN", "1 N", 1))).unwrap_err();
    assert_eq!(why.key, "anchors.winch.legs[0].strength");
}

#[test]
fn pickets_and_a_buried_beam_hold_what_their_tables_say() {
    let site = site(
        "\n[anchors.winch.pickets]\narrangement = \"three-two-one\"\nsoil = \"wet-clay-and-gravel\"\nthickness = \"80 mm\"\nlength = \"1.6 m\"\ndriven = \"1 m\"\n\
         \n[anchors.far.buried]\ndepth = \"5 ft\"\nslope = \"25 %\"\nsoil = \"fine-wet-or-sandy\"\nlength = \"4 ft\"\nface = \"1 ft\"\nthickness = \"1 ft\"\n",
    );
    let study = study(&site).unwrap();
    // 4000 lbf by 0.9 (US Navy rigging manuals; FM 5-125 from memory).
    assert!((strength(&study, Place::Winch) - lbf(3600.0).value).abs() < 1e-6);
    // 4100 lbf/ft² on a face of 1 ft, 4 ft less the trench of 1 ft, by a half (TM 5-5420-278-10, table 9).
    assert!((strength(&study, Place::Far) - lbf(0.5 * 4100.0 * 3.0).value).abs() < 1e-6);
    // Written and read again.
    assert_eq!(toml::from_str::<Site>(&toml::to_string(&site).unwrap()).unwrap(), site);
}

#[test]
fn what_an_anchor_lacks_or_cannot_be_is_told_by_its_key() {
    let refused = |more: &str, key: &str, words: &str| {
        let why = study(&site(more)).unwrap_err();
        assert_eq!(why.key, key, "{why}");
        assert!(why.problem.contains(words), "{why}");
    };
    let vehicle = |more: &str| format!("\n[anchors.winch.vehicle]\n{more}");
    refused(&vehicle(VEHICLE), "anchors.winch.vehicle", "give one of surface and friction");
    refused(
        &vehicle(&format!("surface = \"ice\"\nfriction = \"40 %\"\n{VEHICLE}")),
        "anchors.winch.vehicle",
        "give one of",
    );
    // 5 % of friction on 60 % of the weight don't hold it on 3°.
    refused(&vehicle(&format!("surface = \"ice\"\n{VEHICLE}")), "anchors.winch.vehicle", "slides by itself");
    let worse =
        |from: &str, to: &str| vehicle(&format!("surface = \"gravel-wet\"\n{}", VEHICLE.replace(from, to)));
    refused(&worse("12000 kg", "-1 kg"), "anchors.winch.vehicle.mass", "must be above");
    refused(&worse("3 deg", "70 deg"), "anchors.winch.vehicle.grade", "must be from");
    refused(&worse("60 %", "160 %"), "anchors.winch.vehicle.braked", "must be from");
    let buried =
        "\n[anchors.far.buried]\ndepth = \"5 ft\"\nslope = \"25 %\"\nsoil = \"loam\"\nlength = \"4 ft\"\n";
    refused(buried, "anchors.far.buried", "give the diameter of a log");
    refused(&format!("{buried}diameter = \"8 in\"\n"), "anchors.far.buried.length", "may be at most");
    refused(
        &format!("{}diameter = \"1 ft\"\n", buried.replace("5 ft", "9 ft")),
        "anchors.far.buried.depth",
        "must be from",
    );
    refused(
        &format!("{}diameter = \"1 ft\"\n", buried.replace("25 %", "5 %")),
        "anchors.far.buried.slope",
        "must be from",
    );
    let pickets = "\n[anchors.winch.pickets]\narrangement = \"one\"\nsoil = \"undisturbed-loam\"\nthickness = \"80 mm\"\nlength = \"1.6 m\"\ndriven = \"20 cm\"\n";
    refused(pickets, "anchors.winch.pickets.driven", "must be at least");
    refused(
        "\n[anchors.cell.vehicle]\nmass = \"9 t\"\nsurface = \"snow\"\ngrade = \"0 deg\"\nbraked = \"100 %\"\n",
        "anchors.cell",
        "ratings.cell.anchor says",
    );

    let text = format!(
        "{SITE}\n[anchors.winch]\npickets = {{ arrangement = \"two\" }}\nvehicle = {{ mass = \"1 t\" }}\n"
    );
    let keys: KeyTree = toml::from_str(&text).unwrap();
    let problems = SiteFile::read(&keys, &mut NoFiles).unwrap_err();
    assert!(problems[0].key.starts_with("anchors.winch"), "{problems:#?}");
}

#[test]
fn a_sheave_is_told_by_its_size_against_the_rope() {
    let plain = study(&site("")).unwrap();
    assert!(plain.given.sheaves.is_empty());
    let mut site = site("");
    let wheel = toml::from_str("diameter = \"38 mm\"\nswivel = false").unwrap();
    site.far_anchor.sheave = Some(wheel);
    site.haul.redirects[0].sheave = Some(wheel);
    site.haul.tackle_sheave = Some(toml::from_str("swivel = true").unwrap());
    let study = study(&site).unwrap();
    let given = &study.given.sheaves;
    let [far, tackle, redirect] = given.as_slice() else { panic!("{given:?}") };
    // 38 mm on the track's 11.5 mm, and on the haul rope's 11 mm, which its class says.
    assert!((far.ratio.unwrap() - 38.0 / 11.5).abs() < 1e-12 && far.ratio.unwrap() < far.least_ratio);
    assert!((redirect.ratio.unwrap() - 38.0 / 11.0).abs() < 1e-12);
    assert_eq!((far.swivel, tackle.swivel, tackle.ratio), (Some(false), Some(true), None));
    assert_eq!(redirect.name, "haul redirect 1");
    // Each is a condition: two small ones, and the far one that can't turn between two strands.
    let told: Vec<_> = study.warnings.iter().filter(|w| w.kind == WarningKind::Sheave).collect();
    let values: Vec<_> = told.iter().map(|w| (w.value, w.limit)).collect();
    assert_eq!(values, [(far.ratio, Some(4.0)), (None, None), (redirect.ratio, Some(4.0))]);
    assert!(told[1].text.contains("no swivel") && told[1].text.contains("far anchor"));
    assert!(told.iter().all(|w| verdict::weight(w) == verdict::Verdict::GoWith));
}
