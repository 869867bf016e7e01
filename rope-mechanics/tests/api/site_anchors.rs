//! Anchors of a site by what they are, and what a site says of its sheaves.

use rope_mechanics::anchor::{Surface, Vehicle};
use rope_mechanics::operation::site::{KeyTree, NoFiles, Site, SiteFile};
use rope_mechanics::operation::study::{PartKind, Study};
use rope_mechanics::operation::{self, Asked, Place};
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

#[test]
fn a_vehicle_holds_what_it_holds_in_the_worst_direction_of_its_rope() {
    let site = site(&format!("\n[anchors.winch.vehicle]\nsurface = \"gravel-wet\"\n{VEHICLE}"));
    let study = study(&site).unwrap();
    let found = strength(&study, Place::Winch);
    // The same vehicle asked in every direction, a hundredth of a degree apart.
    let vehicle = Vehicle::new(kg(12000.0), Surface::GravelWet.friction())
        .and_then(|vehicle| vehicle.with_grade(deg(3.0)))
        .and_then(|vehicle| vehicle.with_braked_share(percent(60.0)))
        .unwrap();
    let all = (-6000..9000)
        .map(|i| vehicle.with_rope_rise(deg(0.01 * f64::from(i))).unwrap().holds().unwrap().value);
    let least = all.fold(f64::INFINITY, f64::min);
    // Beside the worst direction the force grows with the square of the angle: 0.005° give (8.7e-5)²/2 of it.
    assert!(found <= least * (1.0 + 1e-12) && found > least * (1.0 - 4e-9), "{found} {least}");
    // By hand: 117.68 kN·(0.24·cos 3° − sin 3°)/√(1 + 0.24²).
    let by_hand =
        12000.0 * 9.80665 * (0.24 * 3f64.to_radians().cos() - 3f64.to_radians().sin()) / 0.24f64.hypot(1.0);
    assert!((found - by_hand).abs() < 1e-6 * by_hand);
    // It is judged as any part is: by the force at each position.
    let at = study
        .components
        .iter()
        .position(|part| part.place == Place::Winch && part.kind == PartKind::Anchor)
        .unwrap();
    assert!(study.positions.iter().all(|p| p.forces[at].value > 0.0 && p.forces[at] == p.winch_pull));
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
    let given = study(&site).unwrap().given.sheaves;
    let [far, tackle, redirect] = given.as_slice() else { panic!("{given:?}") };
    // 38 mm on the track's 11.5 mm, and on the haul rope's 11 mm, which its class says.
    assert!((far.ratio.unwrap() - 38.0 / 11.5).abs() < 1e-12 && far.ratio.unwrap() < far.least_ratio);
    assert!((redirect.ratio.unwrap() - 38.0 / 11.0).abs() < 1e-12);
    assert_eq!((far.swivel, tackle.swivel, tackle.ratio), (Some(false), Some(true), None));
    assert_eq!(redirect.name, "haul redirect 1");
}
