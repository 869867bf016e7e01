//! The C example: a table of a line, and the whole operation of a site.

use rope_checks::{compile_c, run, top};
use rope_mechanics::operation::{self, site::Site};
use std::process::Command;

fn site() -> Site {
    let text = std::fs::read_to_string(top().join("examples/preplan-report/bend-seven.toml")).unwrap();
    toml::from_str(&text).unwrap()
}

/// After a change of the built-in site: `UPDATE_SITE=1 cargo test -p rope-checks --test clients dispatch`.
#[test]
fn the_site_of_the_c_example_is_the_built_in_one() {
    let path = top().join("examples/dispatch-c/bend-seven.json");
    let expected = serde_json::to_string_pretty(&site()).unwrap() + "\n";
    if std::env::var_os("UPDATE_SITE").is_some() {
        std::fs::write(&path, &expected).unwrap();
    }
    assert_eq!(std::fs::read_to_string(&path).unwrap(), expected, "run this test with UPDATE_SITE=1");
}

#[test]
fn c_gets_the_same_study_as_rust() {
    let program = compile_c(&top().join("examples/dispatch-c/dispatch.c"), "c99");
    let output =
        Command::new(&program).arg(top().join("examples/dispatch-c/bend-seven.json")).output().unwrap();
    let said = String::from_utf8(output.stdout).unwrap();
    assert!(output.status.success(), "{said}{}", String::from_utf8_lossy(&output.stderr));
    let study = said.lines().find(|line| line.starts_with('{')).unwrap();
    assert_eq!(study, serde_json::to_string(&operation::solve(&site()).unwrap()).unwrap());
    assert!(said.contains("sag"));
}

#[test]
fn a_bad_site_ends_the_program_with_its_key() {
    let program = compile_c(&top().join("examples/dispatch-c/dispatch.c"), "c11");
    let mut site = site();
    site.frame.height = -site.frame.height;
    let path = program.with_extension("json");
    std::fs::write(&path, serde_json::to_string(&site).unwrap()).unwrap();
    let output = Command::new(&program).arg(&path).output().unwrap();
    assert!(!output.status.success());
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(said.contains("must be from 0.05 to 50 m"), "{said}");
}

/// The haul, the frame and the battery, one after the other in one C program.
#[test]
fn a_c_program_works_out_a_haul_its_frame_and_its_battery() {
    let said = run(&compile_c(&top().join("examples/haul-check-c/haul_check.c"), "c99"));
    // 1.5 kN, ×1/η(75°) at the head, by 1 + 0.9 + 0.81: the numbers of the library's own formulas.
    let eta = 0.9 + 0.1 * 0.28 * (1.0 - 75.0 / 180.0);
    let winch = 1.5 / eta / (1.0 + 0.9 + 0.81);
    assert!(said.contains(&format!("winch {winch:.2} kN")), "{said}");
    assert!(said.contains("leg 3:") && said.contains("battery: lasts"), "{said}");
}
