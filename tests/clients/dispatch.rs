//! The C example: a table of a line, and the whole operation of a site.

use rope_checks::{compile_c, run, top};
use rope_mechanics::frame::{Frame, HeadPull, Leg};
use rope_mechanics::geometry::{Direction3, Point3};
use rope_mechanics::motion::Motion;
use rope_mechanics::operation::{self, site::Site};
use rope_mechanics::quantity::unit::{degree, kilonewton, meter, percent};
use rope_mechanics::quantity::{Force, Length, Ratio};
use rope_mechanics::reeving::Redirect;
use rope_mechanics::sheave::Turn;
use std::process::Command;

fn site() -> Site {
    let text = std::fs::read_to_string(top().join("examples/preplan-report/demo.toml")).unwrap();
    toml::from_str(&text).unwrap()
}

/// After a change of the demo site: `UPDATE_SITE=1 cargo test -p rope-checks --test clients dispatch`.
#[test]
fn the_site_of_the_c_example_is_the_built_in_one() {
    let path = top().join("examples/dispatch-c/demo.json");
    let expected = serde_json::to_string_pretty(&site()).unwrap() + "\n";
    if std::env::var_os("UPDATE_SITE").is_some() {
        std::fs::write(&path, &expected).unwrap();
    }
    assert_eq!(std::fs::read_to_string(&path).unwrap(), expected, "run this test with UPDATE_SITE=1");
}

#[test]
fn c_gets_the_same_study_as_rust() {
    let program = compile_c(&top().join("examples/dispatch-c/dispatch.c"), "c99");
    let path = program.with_extension("study.json");
    let output =
        Command::new(&program).arg(top().join("examples/dispatch-c/demo.json")).arg(&path).output().unwrap();
    let said = String::from_utf8(output.stdout).unwrap();
    assert!(output.status.success(), "{said}{}", String::from_utf8_lossy(&output.stderr));
    assert_eq!(
        std::fs::read_to_string(&path).unwrap(),
        serde_json::to_string(&operation::solve(&site()).unwrap()).unwrap()
    );
    assert!(said.contains("sag") && said.contains("bytes of JSON, written to "), "{said}");
    assert!(said.len() < 2000, "it prints the study itself");
}

#[test]
fn a_bad_site_ends_the_program_with_its_key() {
    let program = compile_c(&top().join("examples/dispatch-c/dispatch.c"), "c11");
    let mut site = site();
    site.frame.height = (-site.frame.height.value()).into();
    let path = program.with_extension("json");
    std::fs::write(&path, serde_json::to_string(&site).unwrap()).unwrap();
    let output = Command::new(&program).arg(&path).output().unwrap();
    assert!(!output.status.success());
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(said.contains("must be from 0.05 m (0.164 ft) to 50 m (164 ft)"), "{said}");
}

/// The haul, the frame and the battery, one after the other in one C program.
#[test]
fn a_c_program_works_out_a_haul_its_frame_and_its_battery() {
    let said = run(&compile_c(&top().join("examples/haul-check-c/haul_check.c"), "c99"));
    let number = |before: &str, unit: &str| -> f64 {
        let from = said.find(before).unwrap_or_else(|| panic!("no {before}: {said}")) + before.len();
        said[from..].split(unit).next().unwrap().trim().parse().unwrap()
    };

    // From the points of the example: the sheave on the head turns the rope by what the two runs leave of 180°.
    let (load, head, anchor) = (point(40.0, 0.0, -37.0), point(0.0, 0.0, 3.0), point(-22.0, 0.0, 0.0));
    let (pull, pulley) = (Force::new::<kilonewton>(1.5), Turn::sheave(Ratio::new::<percent>(90.0)).unwrap());
    let on_head = Redirect::new(
        pulley,
        Direction3::between(head, load).unwrap(),
        Direction3::between(head, anchor).unwrap(),
    );
    let over = on_head.load(pull, Motion::Hauling).unwrap();
    assert!((number("turns ", " degrees") - over.wrap.get::<degree>()).abs() <= 0.05);

    // 1.5 kN by the turn's efficiency, by 1 + 0.9 + 0.81.
    let eta = 0.9 + 0.1 * 0.28 * (1.0 - over.wrap.get::<degree>() / 180.0);
    assert!((number("winch ", " kN") - 1.5 / eta / (1.0 + 0.9 + 0.81)).abs() <= 0.005);

    // What the haul puts on the sheave is what the frame carries, to the digits printed.
    let on_sheave = number("degrees, ", " kN");
    assert_eq!(on_sheave, number("carries ", " kN"));
    assert!((on_sheave - over.load.get::<kilonewton>()).abs() <= 0.005);

    let legs = [point(1.0, 1.1, 0.0), point(1.0, -1.1, 0.0), point(-1.8, 0.0, 0.0)];
    let tripod = Frame::new(head, &legs.map(|foot| Leg::new(foot).unwrap()), &[]).unwrap();
    let ropes = [HeadPull::towards(load, pull).unwrap(), HeadPull::towards(anchor, over.pull.high).unwrap()];
    for (i, leg) in (1..).zip(tripod.solve(&ropes).unwrap().legs()) {
        let printed = number(&format!("leg {i}: "), " kN");
        assert!((printed - leg.compression.get::<kilonewton>()).abs() <= 0.005, "leg {i}: {said}");
    }
    assert!(said.contains("battery: lasts"), "{said}");
}

fn point(x: f64, y: f64, z: f64) -> Point3 {
    let m = Length::new::<meter>;
    Point3::new(m(x), m(y), m(z))
}
