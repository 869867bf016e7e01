//! The command as a crew's planner runs it.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    reason = "a test that can't go on has failed"
)]

use std::path::Path;
use std::process::{Command, Output};

const SITE: &str = include_str!("../demo.toml");

fn run(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_preplan-report")).args(arguments).current_dir(folder).output().unwrap()
}

fn said(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

#[test]
fn without_a_site_it_reports_on_the_built_in_one() {
    let folder = tempfile::tempdir().unwrap();
    let output = run(folder.path(), &[]);
    assert!(output.status.success(), "{}", said(&output.stderr));
    let page = std::fs::read_to_string(folder.path().join("preplan/report.html")).unwrap();
    for wanted in [
        "Before you use this",
        "no redundancy",
        "The rig from the side",
        "kN",
        "lbf",
        "governs",
        "from memory",
    ] {
        assert!(page.contains(wanted), "the page lacks {wanted}");
    }
    // One self-contained page: nothing is loaded from anywhere.
    for foreign in ["http://", "https://", "src=", "@import", "url("] {
        assert!(!page.contains(foreign), "the page asks for {foreign}");
    }
    let table = std::fs::read_to_string(folder.path().join("preplan/positions.csv")).unwrap();
    assert_eq!(table.lines().count(), 208);
    let columns = table.lines().next().unwrap().split(',').count();
    assert!(table.lines().all(|line| line.split(',').count() == columns));
    let study: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(folder.path().join("preplan/study.json")).unwrap())
            .unwrap();
    assert_eq!(study["positions"].as_array().unwrap().len(), 207);
    assert!(study["summary"]["reach"]["spare_m"].as_f64().unwrap() > 0.0);
}

#[test]
fn a_failed_run_leaves_an_older_report_alone() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    std::fs::create_dir(&out).unwrap();
    for name in ["report.html", "study.json", "positions.csv"] {
        std::fs::write(out.join(name), "older").unwrap();
    }
    let bad = [
        ("height = \"2.8 m\" ", "height = \"-2.8 m\" ", "frame.height"),
        ("height = \"2.8 m\" ", "heigth = \"2.8 m\" ", "frame.heigth is not known there: write one of `x`"),
        ("height = \"2.8 m\" ", "", "frame.height is missing: the height of the head above the ground"),
        ("leads = \"4 mohm\" ", "", "winch.motor.battery.leads is missing: the resistance of the leads"),
        ("[\"40 m\", \"-27 m\"]", "[\"40 m\"]", "ground[9]: TOML parse error at line"),
        ("[frame]", "[frame", "line"),
        ("title = ", "titel = ", "titel"),
        ("[\"40 m\", \"-27 m\"]", "[\"40 m\", \"-27 m\", \"1 m\"]", "two values"),
        ("charge = \"85 Ah\"", "charge = \"0 Ah\"", "0 Ah"),
    ];
    for (from, to, names) in bad {
        std::fs::write(folder.path().join("site.toml"), SITE.replacen(from, to, 1)).unwrap();
        let output = run(folder.path(), &["site.toml", "--out", "out"]);
        assert!(!output.status.success());
        let why = said(&output.stderr);
        assert!(why.contains("site.toml") && why.contains(names), "{why}");
        for name in ["report.html", "study.json", "positions.csv"] {
            assert_eq!(std::fs::read_to_string(out.join(name)).unwrap(), "older");
        }
        assert_eq!(std::fs::read_dir(&out).unwrap().count(), 3);
    }
}

#[test]
fn a_run_that_fails_at_its_last_file_puts_the_first_ones_back() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    std::fs::create_dir_all(out.join("positions.csv")).unwrap();
    std::fs::write(out.join("report.html"), "older").unwrap();
    let output = run(folder.path(), &["--out", "out"]);
    assert!(!output.status.success());
    assert!(said(&output.stderr).contains("positions.csv"), "{}", said(&output.stderr));
    assert_eq!(std::fs::read_to_string(out.join("report.html")).unwrap(), "older");
    assert_eq!(std::fs::read_dir(&out).unwrap().count(), 2);
}

#[test]
fn a_file_is_no_folder_to_report_into() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("site.toml"), SITE).unwrap();
    let output = run(folder.path(), &["site.toml", "--out", "site.toml"]);
    assert!(!output.status.success());
    assert!(said(&output.stderr).contains("takes the name of a folder"), "{}", said(&output.stderr));
    assert_eq!(std::fs::read_to_string(folder.path().join("site.toml")).unwrap(), SITE);
}

#[test]
fn a_full_disk_for_what_it_says_is_an_error() {
    let Ok(full) = std::fs::File::create("/dev/full") else { return };
    let folder = tempfile::tempdir().unwrap();
    let status = std::process::Command::new(env!("CARGO_BIN_EXE_preplan-report"))
        .current_dir(folder.path())
        .stdout(full)
        .stderr(std::process::Stdio::null())
        .status()
        .unwrap();
    assert!(!status.success());
}

#[test]
fn what_it_does_not_know_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    for arguments in [
        &["--nonsense"][..],
        &["a.toml", "b.toml"],
        &["--out"],
        &["missing.toml"],
        &["--out", ""],
        &["--out", "a", "--out", "b"],
    ] {
        let output = run(folder.path(), arguments);
        assert!(!output.status.success(), "{arguments:?}");
        assert!(said(&output.stderr).starts_with("preplan-report: "), "{}", said(&output.stderr));
    }
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}

#[test]
fn the_example_that_it_prints_is_a_site() {
    let folder = tempfile::tempdir().unwrap();
    let example = run(folder.path(), &["--example"]);
    assert_eq!(said(&example.stdout), SITE);
    assert!(said(&run(folder.path(), &["--help"]).stdout).contains("SITE.toml"));
    let version = run(folder.path(), &["--version"]);
    assert!(version.status.success());
    assert_eq!(said(&version.stdout), concat!("preplan-report ", env!("CARGO_PKG_VERSION"), "\n"));
}
