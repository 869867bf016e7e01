//! A rig with a floating redirect.

use rope_checks::{assert_same_bits, compile_c, numbers_from_c, top};
use rope_mechanics::geometry::Point3;
use rope_mechanics::quantity::unit::{kilogram, kilonewton, meter, newton};
use rope_mechanics::quantity::{Force, Length, Mass, line_weight_of};
use rope_mechanics::rig::{Change, FreePoint, Rig, RopeRun, RopeSupply};
use rope_mechanics::rope::Stretch;
use rope_mechanics::sheave::Turn;
use std::process::Command;

#[test]
fn c_and_rust_agree_on_a_floating_redirect() {
    let c = numbers_from_c("rig.c");
    let m = Length::new::<meter>;
    let at = |x, y, z| Point3::new(m(x), m(y), m(z));
    let mut rig = Rig::new();
    let tree = rig.fixed("tree", at(0.0, 3.0, 4.0)).unwrap();
    let winch = rig.fixed("winch", at(-8.0, -2.0, 0.5)).unwrap();
    let edge = rig.fixed("edge", at(6.0, 0.0, 0.0)).unwrap();
    let weight = |w| FreePoint::anywhere().with_weight(Force::new::<newton>(w));
    let redirect = rig.point("redirect", weight(15.0)).unwrap();
    let load = rig.point("load", weight(2000.0)).unwrap();
    let stretch = Stretch::linear(Force::new::<kilonewton>(40.0)).unwrap();
    rig.rope("sling", RopeRun::new(stretch, RopeSupply::Length(m(2.0)), tree, redirect)).unwrap();
    let mass = Mass::new::<kilogram>(0.085) / m(1.0);
    let run = RopeRun::new(stretch, RopeSupply::Length(m(27.0)), winch, load)
        .over(redirect, Turn::FRICTIONLESS)
        .over(edge, Turn::FRICTIONLESS)
        .with_weight(line_weight_of(mass));
    let haul = rig.rope("haul", run).unwrap();
    let solution = rig.solve().unwrap();
    let place = solution.position(redirect).unwrap();
    assert_same_bits!(c, "redirect_x", place.x.value);
    assert_same_bits!(c, "redirect_z", place.z.value);
    let parts = solution.parts(haul).unwrap();
    assert_same_bits!(c, "winch_tension", parts[0].tension_first.value);
    assert_same_bits!(c, "load_share", parts[2].share.value);
    let sheave = solution.sheave(rig.sheaves(haul).unwrap().next().unwrap()).unwrap();
    assert_same_bits!(c, "redirect_turn", sheave.turn.value);
    assert_same_bits!(c, "least_stiffness", solution.certificate().least_stiffness.value);
    assert_same_bits!(c, "load_chord", parts[2].chord.value);
    assert_same_bits!(c, "load_strain", parts[2].strain.value);
    assert_same_bits!(c, "redirect_interior", sheave.interior.value);
    assert_same_bits!(c, "haul_length", solution.length(haul).unwrap().value);
    let response = solution.response(Change::Length(haul, m(0.1))).unwrap();
    assert_same_bits!(c, "load_sinks", response.position(load).unwrap().z.value);
    assert_same_bits!(c, "tree_reaction", response.reaction(tree).unwrap().z.value);
    assert_same_bits!(c, "sag_grows", response.parts(haul).unwrap()[1].sag.value);
    let over_edge = rig.sheaves(haul).unwrap().nth(1).unwrap();
    assert_same_bits!(c, "edge_turns", response.sheave(over_edge).unwrap().turn.value);
    let twin = rig.spec().build().unwrap().solve().unwrap();
    let twin_load = twin.rig().find_point("load").unwrap();
    assert_same_bits!(c, "twin_load_z", twin.position(twin_load).unwrap().z.value);
    // 90° and a round turn: W·e^(μθ), up and down.
    let turn = 2.5 * std::f64::consts::PI;
    assert!((c["band_hauled"] / (500.0 * (0.2 * turn).exp()) - 1.0).abs() < 1e-9);
    assert!((c["band_lowered"] / (500.0 * (-0.1 * turn).exp()) - 1.0).abs() < 1e-9);
}

#[test]
fn the_rig_leaves_no_memory_behind() {
    let Ok(version) = Command::new("valgrind").arg("--version").output() else {
        // Where the checks must be whole, this says so: RMECH_REQUIRE_VALGRIND=1.
        assert!(std::env::var_os("RMECH_REQUIRE_VALGRIND").is_none(), "valgrind is required, but isn't here");
        // Past the capture of the test's output, so that nobody takes this for a pass.
        let note = "NOTE: the rig's memory was NOT checked: no valgrind here. Install it and run again.\n";
        let _ = std::io::Write::write_all(&mut std::io::stderr(), note.as_bytes());
        return;
    };
    assert!(version.status.success());
    let program = compile_c(&top().join("tests/clients/c/rig.c"), "c11");
    let checked = Command::new("valgrind")
        .args([
            "--quiet",
            "--leak-check=full",
            "--errors-for-leak-kinds=definite,indirect,possible",
            "--error-exitcode=9",
        ])
        .arg(program)
        .output()
        .unwrap();
    assert!(checked.status.success(), "{}", String::from_utf8_lossy(&checked.stderr));
}

#[test]
fn the_example_finds_where_the_redirect_floats() {
    let said =
        rope_checks::run(&compile_c(&top().join("examples/floating-redirect-c/floating_redirect.c"), "c99"));
    assert!(said.contains("the redirect rests at") && said.contains("the tree feels"), "{said}");
}

/// The keys that a rig takes, as the reader lists them where one is unknown, all stand in the header's topic.
#[test]
fn the_header_has_every_key_of_a_rig_as_json() {
    let header = std::fs::read_to_string(top().join("include/rope_mechanics.h")).unwrap();
    let (_, topic) = header.split_once("/* ---- Rigs as JSON -").unwrap();
    let (topic, _) = topic.split_once("*/").unwrap();
    let words: Vec<&str> =
        topic.split(|c: char| !c.is_ascii_alphanumeric() && c != '_' && c != '-').collect();
    let rope = r#"{"name": "r", "from": "a", "to": "b", "stretch": "1 kN""#;
    let hold = r#"{"points": [{"name": "a", "held": "#;
    for (text, keys) in [
        (r#"{"other": 1}"#.to_owned(), 2),
        (r#"{"points": [{"other": 1}]}"#.to_owned(), 6),
        (format!(r#"{hold}{{"other": 1}}}}]}}"#), 3),
        (format!(r#"{hold}{{"line": {{"other": 1}}}}}}]}}"#), 2),
        (format!(r#"{hold}{{"plane": {{"other": 1}}}}}}]}}"#), 2),
        (r#"{"points": [], "ropes": [{"other": 1}]}"#.to_owned(), 14),
        (format!(r#"{{"points": [], "ropes": [{rope}, "hand": "other"}}]}}"#), 2),
        (format!(r#"{{"points": [], "ropes": [{rope}, "motion": "other"}}]}}"#), 3),
        (format!(r#"{{"points": [], "ropes": [{rope}, "over": [{{"other": 1}}]}}]}}"#), 4),
        (format!(r#"{{"points": [], "ropes": [{rope}, "over": [{{"friction": {{"other": 1}}}}]}}]}}"#), 2),
    ] {
        let said = serde_json::from_str::<rope_mechanics::rig::RigSpec>(&text).unwrap_err().to_string();
        let listed: Vec<&str> = said.split('`').skip(3).step_by(2).collect();
        assert_eq!(listed.len(), keys, "{said}");
        for key in listed {
            assert!(words.contains(&key), "the header doesn't have {key}");
        }
    }
}
