//! The command as a crew's planner runs it.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    reason = "a test that can't go on has failed"
)]

use std::path::Path;
use std::process::{Command, Output, Stdio};

const SITE: &str = include_str!("../demo.toml");
const FILES: [&str; 6] =
    ["card.html", "card.json", "positions.csv", "report.html", "schedule.csv", "study.json"];

fn command(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_preplan-report"));
    command.args(arguments).current_dir(folder);
    command
}

fn run(folder: &Path, arguments: &[&str]) -> Output {
    command(folder, arguments).output().unwrap()
}

fn said(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|file| file.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

fn content(folder: &Path) -> Vec<String> {
    FILES.iter().map(|name| std::fs::read_to_string(folder.join(name)).unwrap()).collect()
}

#[test]
fn without_a_site_it_reports_on_the_built_in_one() {
    let folder = tempfile::tempdir().unwrap();
    let output = run(folder.path(), &[]);
    assert_eq!(output.status.code(), Some(0), "{}", said(&output.stderr));
    let out = folder.path().join("preplan");
    assert_eq!(names(&out), FILES);
    let page = std::fs::read_to_string(out.join("report.html")).unwrap();
    for wanted in
        ["Before you use this", "no redundancy", "From the side", "from memory", "Check list", "Log sheet"]
    {
        assert!(page.contains(wanted), "the report lacks {wanted}");
    }
    let card = std::fs::read_to_string(out.join("card.html")).unwrap();
    for wanted in [
        "go with",
        "set up",
        "tension",
        "travel",
        "stop and change over",
        "who says stop",
        "Not on this card",
    ] {
        assert!(card.contains(wanted), "the card lacks {wanted}");
    }
    // Self-contained pages: nothing is loaded from anywhere.
    for foreign in ["http://", "https://", "src=", "@import", "url("] {
        assert!(!page.contains(foreign) && !card.contains(foreign), "a page asks for {foreign}");
    }
    let table = std::fs::read_to_string(out.join("positions.csv")).unwrap();
    let mut rows = csv::Reader::from_reader(table.as_bytes());
    let columns = rows.headers().unwrap().len();
    let rows: Vec<_> = rows.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 207);
    assert!(rows.iter().all(|row| row.len() == columns));
    let study: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(out.join("study.json")).unwrap()).unwrap();
    assert_eq!(study["positions"].as_array().unwrap().len(), 207);
    // The table has the study's numbers, at their place.
    let first = &study["positions"][0];
    assert_eq!(rows[0][0], format!("{:.4}", first["carriage"]["x_m"].as_f64().unwrap()));
    assert_eq!(rows[0][8], format!("{:.4}", first["reading"]["expected_n"].as_f64().unwrap()));
}

#[test]
fn the_card_has_the_numbers_of_the_study() {
    let folder = tempfile::tempdir().unwrap();
    for (units, unit, newtons, step) in [("si", "kN", 1000.0, 0.05), ("us", "lbf", 4.448_221_615_260_5, 10.0)]
    {
        assert!(run(folder.path(), &["--out", units, "--units", units]).status.success());
        let read = |name: &str| -> serde_json::Value {
            serde_json::from_str(&std::fs::read_to_string(folder.path().join(units).join(name)).unwrap())
                .unwrap()
        };
        let (card, study) = (read("card.json"), read("study.json"));
        let page = std::fs::read_to_string(folder.path().join(units).join("card.html")).unwrap();
        let turning = &card["tension"]["while_turning"];
        assert_eq!(turning["si"], study["unloaded"]["reading_while_tensioning_n"]);
        let shown: f64 = turning["text"].as_str().unwrap().parse().unwrap();
        assert!((shown - turning["si"].as_f64().unwrap() / newtons).abs() <= 0.5 * step + 1e-9);
        assert!(page.contains(&format!("{} {unit}", turning["text"].as_str().unwrap())));
        let stations = card["travel"].as_array().unwrap();
        assert!((3..=8).contains(&stations.len()));
        for station in stations {
            let value = |key: &str| station[key]["text"].as_str().unwrap().parse::<f64>().unwrap();
            // The band is never narrower than the study's, and never beyond the stop.
            assert!(value("reading_low") * newtons <= station["reading_low"]["si"].as_f64().unwrap() + 1e-6);
            assert!(
                value("reading_high") * newtons >= station["reading_high"]["si"].as_f64().unwrap() - 1e-6
            );
            assert!(value("stop_above") >= value("reading_high"));
            assert!(value("stop_above") * newtons <= study["limits"]["reading_n"].as_f64().unwrap() + 1e-6);
        }
        let rope_in: Vec<f64> = stations.iter().map(|s| s["rope_in"]["si"].as_f64().unwrap()).collect();
        assert!(rope_in[0] == 0.0 && rope_in.windows(2).all(|pair| pair[0] < pair[1]));
        // One system of units, and no other.
        let other = if units == "si" { ["lbf", " ft"] } else { ["kN", " m "] };
        let card_text = page.split("<main>").nth(1).unwrap();
        assert!(!other.iter().any(|unit| card_text.contains(unit)), "{units}");
    }
}

/// The demo site without a belay rope, its ground so far below that a fall kills.
fn without_belay() -> String {
    let (before, after) = SITE.split_once("# (optional) The belay rope carries nothing").unwrap();
    let (_, after) = after.split_once("# The powered capstan").unwrap();
    format!("{before}# The powered capstan{after}")
        .replacen("height = \"2.8 m\"", "height = \"4.6 m\"", 1)
        .replacen("litter_height = \"7.5 ft\"", "litter_height = \"14 ft\"", 1)
        .replacen(
            "\"1.1 m\", \"0 m\"], [",
            "\"1.1 m\", \"0 m\"], [\"1 m\", \"1.6 m\", \"0 m\"], [\"1 m\", \"-1.6 m\", \"0 m\"], [",
            1,
        )
}

#[test]
fn what_kills_is_the_first_condition_and_no_belay_is_told_of_that_is_not_there() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("site.toml"), without_belay()).unwrap();
    assert!(run(folder.path(), &["site.toml", "--out", "out"]).status.success());
    let (card, study) =
        (json(&folder.path().join("out"), "card.json"), json(&folder.path().join("out"), "study.json"));
    assert_eq!(card["verdict"], "go-with");
    let reasons: Vec<&str> =
        card["reasons"].as_array().unwrap().iter().map(|r| r.as_str().unwrap()).collect();
    assert!(
        reasons[0].contains("may not survive it: the haul rope; the brake of the haul winch. It hits"),
        "{reasons:?}"
    );
    // It stands among others in the study.
    let kinds: Vec<&str> =
        study["warnings"].as_array().unwrap().iter().map(|w| w["kind"].as_str().unwrap()).collect();
    assert!(
        kinds.len() > 1 && kinds[0] != "not-survivable" && kinds.contains(&"not-survivable"),
        "{kinds:?}"
    );
    // Nobody is told to lock, or to take tight, a rope that isn't there.
    for what in ["change_over", "if_wrong"] {
        assert!(
            !card[what].to_string().replace("no belay rope is planned", "").to_lowercase().contains("belay"),
            "{}",
            card[what]
        );
        assert!(!card[what].to_string().contains("both ropes"), "{}", card[what]);
    }
    let page = std::fs::read_to_string(folder.path().join("out/card.html")).unwrap();
    assert!(page.contains("<span>winch</span>") && !page.contains("<span>belay</span>"));
}

#[test]
fn a_pull_on_a_hand_is_rounded_up_and_what_it_holds_down() {
    let folder = tempfile::tempdir().unwrap();
    for (units, unit, newtons, step) in [("si", "kN", 1000.0, 0.01), ("us", "lbf", 4.448_221_615_260_5, 1.0)]
    {
        assert!(run(folder.path(), &["--out", units, "--units", units]).status.success());
        let (card, study) =
            (json(&folder.path().join(units), "card.json"), json(&folder.path().join(units), "study.json"));
        for (kind, words) in [("capstan-tail", "Tie off the capstan's tail"), ("swing-in", "several hands")] {
            let reason = card["reasons"].as_array().unwrap().iter().map(|r| r.as_str().unwrap());
            let reason = reason.clone().find(|r| r.contains(words)).unwrap();
            let shown: Vec<f64> = reason
                .split(&format!(" {unit}"))
                .filter_map(|s| s.rsplit(' ').next()?.parse().ok())
                .collect();
            let warning = study["warnings"].as_array().unwrap().iter().find(|w| w["kind"] == kind).unwrap();
            let found = ["value", "limit"].map(|key| warning[key].as_f64().unwrap() / newtons);
            assert!(
                shown.len() == 2 && found[0] <= shown[0] + 1e-9 && shown[0] < found[0] + step,
                "{reason}: {found:?}"
            );
            assert!(shown[1] <= found[1] + 1e-9 && shown[1] > found[1] - step, "{reason}: {found:?}");
        }
    }
}

#[test]
fn each_curve_has_its_band_or_the_page_says_that_it_has_none() {
    let folder = tempfile::tempdir().unwrap();
    let site = SITE.replacen("# [doubt]", "[doubt]", 1).replacen("# samples = 2048 ", "samples = 64 ", 1);
    std::fs::write(folder.path().join("site.toml"), site).unwrap();
    assert!(run(folder.path(), &["site.toml", "--out", "doubt"]).status.success());
    assert!(run(folder.path(), &["--out", "plain"]).status.success());
    let page = |of: &str| std::fs::read_to_string(folder.path().join(of).join("report.html")).unwrap();
    let (doubt, plain) = (page("doubt"), page("plain"));
    for of in [
        "least and most that it may show",
        "litter at its lowest",
        "track rope",
        "haul rope at the carriage",
        "at the winch",
        "current",
        "most loaded leg",
        "most loaded guy",
        "margin",
        "angle",
    ] {
        let name = format!("5, 50, 95 %: {of}<");
        assert!(doubt.contains(&name) && !plain.contains(&name), "{of}");
    }
    assert!(doubt.contains("Without a band:") && !plain.contains("Without a band:"));
    assert!(
        plain.contains("No curve has its 5, 50 and 95 %")
            && !doubt.contains("No curve has its 5, 50 and 95 %")
    );
}

/// Where the ticks of one side of a chart stand, in percent, and what they say.
fn ticks_of(chart: &str, side: &str) -> Vec<(f64, f64)> {
    let tick = |text: &str| {
        let (at, text) = text.split_once(':')?.1.split_once("%\">")?;
        Some((at.parse().ok()?, text.split('<').next()?.parse().ok()?))
    };
    chart.split(&format!("class=\"tick {side}\" style=\"")).skip(1).filter_map(tick).collect()
}

#[test]
fn both_sides_of_a_chart_say_the_same() {
    let folder = tempfile::tempdir().unwrap();
    // How many of the page's unit make one of the other side.
    let (lbf_kn, ft_m) = (0.004_448_221_615, 0.3048);
    for (units, force, length) in [("si", lbf_kn, ft_m), ("us", 1.0 / lbf_kn, 1.0 / ft_m)] {
        assert!(run(folder.path(), &["--out", units, "--units", units]).status.success());
        let report = std::fs::read_to_string(folder.path().join(units).join("report.html")).unwrap();
        for (title, upright) in
            [("Load-cell reading", force), ("Height above the ground", length), ("Pull", force)]
        {
            let chart = report.split(&format!("<h3>{title}</h3>")).nth(1).unwrap();
            let chart = chart.split("</figure>").next().unwrap();
            for (own, other, size) in [("left", "right", upright), ("under", "over", length)] {
                let (own, other) = (ticks_of(chart, own), ticks_of(chart, other));
                assert!(own.len() >= 3 && other.len() >= 3, "{title}: {own:?}, {other:?}");
                let ((p, v), (q, w)) = (own[0], own[own.len() - 1]);
                for (at, value) in other {
                    let there = v + (w - v) * (at - p) / (q - p);
                    assert!(
                        (there - value * size).abs() <= 2e-3 * (w - v),
                        "{units}, {title}: {value} at {there}"
                    );
                }
            }
        }
    }
}

#[test]
fn a_no_go_has_no_set_point() {
    let folder = tempfile::tempdir().unwrap();
    let site = SITE.replacen("reading = \"520 lbf\"", "reading = \"300 lbf\"", 1);
    std::fs::write(folder.path().join("site.toml"), site).unwrap();
    let output = run(folder.path(), &["site.toml", "--out", "out"]);
    // Written: the verdict is the report's answer, not the command's failure.
    assert_eq!(output.status.code(), Some(0));
    assert!(said(&output.stdout).contains("\n  no-go\n"));
    let card: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(folder.path().join("out/card.json")).unwrap()).unwrap();
    assert_eq!(card["verdict"], "no-go");
    assert!(card["tension"].is_null() && card["travel"].as_array().unwrap().is_empty());
    assert!(card["reasons"][0].as_str().unwrap().contains("load cell"));
    let page = std::fs::read_to_string(folder.path().join("out/card.html")).unwrap();
    assert!(page.contains("no set-point") && !page.contains("who says stop"));
    // No mark says what to read on the way.
    let table = std::fs::read_to_string(folder.path().join("out/schedule.csv")).unwrap();
    assert_eq!(table.lines().count(), 1);
    let report = std::fs::read_to_string(folder.path().join("out/report.html")).unwrap();
    assert!(report.contains("There is no set-point with a no-go") && !report.contains("set-point 290"));
}

fn json(folder: &Path, name: &str) -> serde_json::Value {
    serde_json::from_str(&std::fs::read_to_string(folder.join(name)).unwrap()).unwrap()
}

fn number(shown: &serde_json::Value) -> f64 {
    shown["text"].as_str().unwrap().parse().unwrap()
}

#[test]
fn the_card_keeps_inside_the_window_that_the_schedule_found() {
    let folder = tempfile::tempdir().unwrap();
    for (units, newtons) in [("si", 1000.0), ("us", 4.448_221_615_260_5)] {
        assert!(run(folder.path(), &["--out", units, "--units", units]).status.success());
        let out = folder.path().join(units);
        let (card, study) = (json(&out, "card.json"), json(&out, "study.json"));
        let (tension, schedule) = (&card["tension"], &study["schedule"]);
        assert_eq!(schedule["outcome"], "one-setting");
        let window = &schedule["settings"][0]["readings_n"];
        let keep: Vec<f64> = (0..2).map(|end| number(&tension["keep"][end]) * newtons).collect();
        // Rounded inward, so that who keeps to the card keeps every limit; and the set-point is among them.
        assert!(
            keep[0] >= window[0].as_f64().unwrap() - 1e-6 && keep[1] <= window[1].as_f64().unwrap() + 1e-6
        );
        let set = number(&tension["while_turning"]) * newtons;
        assert!(keep[0] < set && set < keep[1]);
        assert!(tension["beyond"].is_null());
        let at_start = &schedule["set_point"]["loaded"][0];
        assert_eq!(at_start["position"], 0);
        assert_eq!(tension["loaded"]["si"], at_start["reading"]["taking_in_n"]);
        let relaxed = &schedule["set_point"]["empty"]["reading_after_minutes"];
        assert_eq!(tension["after_minutes"][0]["si"], relaxed["low_n"]);
        assert_eq!(tension["after_minutes"][1]["si"], relaxed["high_n"]);
    }
}

#[test]
fn a_setting_that_is_outside_the_window_is_said_to_be() {
    let folder = tempfile::tempdir().unwrap();
    // The litter may hang no higher than 1.2 m: one length of rope keeps that all the way nowhere.
    let site = SITE.replacen("litter_height = \"7.5 ft\"", "litter_height = \"1.2 m\"", 1).replacen(
        "set = { greatest_reading = \"1.9 kN\" }",
        "set = { greatest_reading = \"1.5 kN\" }",
        1,
    );
    std::fs::write(folder.path().join("site.toml"), site).unwrap();
    assert!(run(folder.path(), &["site.toml", "--out", "out"]).status.success());
    let out = folder.path().join("out");
    let (card, study) = (json(&out, "card.json"), json(&out, "study.json"));
    assert_eq!((&card["verdict"], &study["schedule"]["outcome"]), (&"go-with".into(), &"moves".into()));
    assert!(card["tension"]["keep"].is_null());
    assert!(card["tension"]["beyond"].as_str().unwrap().contains("where to set anew"));
    let report = std::fs::read_to_string(out.join("report.html")).unwrap();
    let settings = study["schedule"]["settings"].as_array().unwrap();
    assert!(settings.len() > 1);
    for number in 2..=settings.len() {
        assert!(report.contains(&format!("Change to setting {number}: ")), "{number}");
    }
}

#[test]
fn marks_that_the_file_gives_are_the_stations() {
    let folder = tempfile::tempdir().unwrap();
    let site = SITE.replacen("throw = \"14 m\"", "marks = \"3 m\"\nthrow = \"14 m\"", 1);
    std::fs::write(folder.path().join("site.toml"), site).unwrap();
    assert!(run(folder.path(), &["site.toml", "--out", "out"]).status.success());
    let out = folder.path().join("out");
    let (card, study) = (json(&out, "card.json"), json(&out, "study.json"));
    let stations = card["travel"].as_array().unwrap();
    assert!((4..=8).contains(&stations.len()), "{}", stations.len());
    let (first, last) = (&stations[0], &stations[stations.len() - 1]);
    assert!(first["mark"].is_null() && last["mark"].is_null());
    let marks = study["schedule"]["marks"].as_array().unwrap();
    let positions = study["positions"].as_array().unwrap();
    for station in &stations[1..stations.len() - 1] {
        let mark = &marks[station["mark"].as_u64().unwrap() as usize - 1];
        assert_eq!(mark["mark"], station["mark"]);
        let si = |key: &str| station[key]["si"].as_f64().unwrap();
        assert_eq!(station["rope_in"]["si"], mark["rope_taken_in_m"]);
        assert!((si("rope_in") / 3.0).fract() < 1e-9);
        assert_eq!(station["reading_low"]["si"], mark["reading"]["low_n"]);
        assert_eq!(station["reading_high"]["si"], mark["reading"]["high_n"]);
        assert!(si("stop_above") >= si("reading_high"));
        // The litter is no higher than at the mark, nor than at the position before and behind it.
        let x = mark["carriage"]["x_m"].as_f64().unwrap();
        let behind = positions.iter().position(|p| p["carriage"]["x_m"].as_f64().unwrap() <= x).unwrap();
        for p in [
            &mark["litter_height_m"],
            &positions[behind - 1]["litter_height_m"],
            &positions[behind]["litter_height_m"],
        ] {
            assert!(si("litter_height") <= p.as_f64().unwrap() + 1e-12);
        }
    }
    let rope_in: Vec<f64> = stations.iter().map(|s| s["rope_in"]["si"].as_f64().unwrap()).collect();
    assert!(rope_in.windows(2).all(|pair| pair[0] < pair[1]), "{rope_in:?}");
    // The table has every mark, with the study's numbers at their place.
    let table = std::fs::read_to_string(out.join("schedule.csv")).unwrap();
    let mut rows = csv::Reader::from_reader(table.as_bytes());
    assert_eq!(&rows.headers().unwrap()[7], "reading_low_n");
    let rows: Vec<_> = rows.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), marks.len());
    for (row, mark) in rows.iter().zip(marks) {
        assert_eq!(row[0], mark["mark"].to_string());
        assert_eq!(row[7], format!("{:.4}", mark["reading"]["low_n"].as_f64().unwrap()));
        assert_eq!(&row[16], mark["reading_goes_on"].as_str().unwrap());
    }
}

#[test]
fn each_cell_of_what_fails_leads_to_its_story_worst_first() {
    let folder = tempfile::tempdir().unwrap();
    assert!(run(folder.path(), &[]).status.success());
    let out = folder.path().join("preplan");
    let (page, study) = (std::fs::read_to_string(out.join("report.html")).unwrap(), json(&out, "study.json"));
    let rows = study["failures"]["rows"].as_array().unwrap();
    let cells: usize = rows.iter().map(|row| row["cells"].as_array().unwrap().len()).sum();
    let links: Vec<&str> =
        page.split("href=\"#fails-").skip(1).map(|rest| rest.split('"').next().unwrap()).collect();
    assert_eq!(links.len(), cells);
    for link in &links {
        assert_eq!(page.matches(&format!("id=\"fails-{link}\"")).count(), 1, "{link}");
    }
    // A frame that falls comes before a load that drops, and that before one that stays.
    let section = page.split("id=\"failures\"").nth(1).unwrap();
    let at = |words: &str| section.find(words).unwrap();
    assert!(at("frame falls") < at("drops, lies") && at("drops, lies") < at(">stays<"));
    for row in rows {
        let text = row["text"].as_str().unwrap().split(" (").next().unwrap();
        assert!(section.contains(text), "{text}");
    }
}

#[test]
fn alternatives_stages_and_variants_stand_side_by_side() {
    let folder = tempfile::tempdir().unwrap();
    let site = SITE.replacen("# pulled_in_by = \"belay\"       #", "pulled_in_by = \"hands\"       #", 1)
        + "\n[[variant]]\nname = \"heavier <patient>\"\nload.patient = \"130 kg\"\n\n[[variant]]\nname = \"weak cell\"\nlimits.reading = \"300 lbf\"\n";
    std::fs::write(folder.path().join("site.toml"), site).unwrap();
    let output = run(folder.path(), &["site.toml", "--out", "out"]);
    assert_eq!(output.status.code(), Some(0), "{}", said(&output.stderr));
    let out = folder.path().join("out");
    let (page, study) = (std::fs::read_to_string(out.join("report.html")).unwrap(), json(&out, "study.json"));
    let section = |id: &str| {
        page.split(&format!("id=\"{id}\" class")).nth(1).unwrap().split("</section>").next().unwrap()
    };
    let ways = section("ways");
    for (group, key) in [("haul", "ways"), ("belay", "ways"), ("attendants", "ways")] {
        for way in study["alternatives"][group][key].as_array().unwrap() {
            assert!(ways.contains(way["name"].as_str().unwrap()), "{way}");
        }
    }
    let stages = section("changeover");
    assert_eq!(
        stages.matches("<figure class=\"stage").count(),
        study["changeover"]["stages"].as_array().unwrap().len()
    );
    assert!(!stages.contains("all of this is assumed"));
    let card = json(&out, "card.json");
    let last = card["change_over"].as_array().unwrap().last().unwrap();
    assert_eq!(last, "Lower the litter to the road.");
    let variants = section("variants");
    assert!(variants.contains("heavier &lt;patient&gt;") && variants.contains("as planned"));
    // Whatever is no-go has no set-point, here neither.
    assert_eq!(study["variants"][2]["verdict"], "no-go");
    assert!(variants.contains("<td>no set-point</td>") || variants.contains(">no set-point</td>"));
}

#[test]
fn whatever_the_file_says_stands_on_the_sheets_and_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    let site = SITE.replacen(
        "document = { kit = \"demonstration kit\", revision = \"A\" }",
        "document = { kit = \"truck <one>\", revision = \"C\", author = \"A & B\" }",
        1,
    );
    std::fs::write(folder.path().join("site.toml"), &site).unwrap();
    assert!(run(folder.path(), &["site.toml", "--out", "a"]).status.success());
    assert!(run(folder.path(), &["site.toml", "--out", "b"]).status.success());
    // The same input, the same bytes.
    assert_eq!(content(&folder.path().join("a")), content(&folder.path().join("b")));
    let page = &content(&folder.path().join("a"))[3];
    for wanted in ["truck &lt;one&gt;", "A &amp; B", "approved <i></i>", "<b>C</b>"] {
        assert!(page.contains(wanted), "{wanted}");
    }
    std::fs::write(folder.path().join("site.toml"), site + "\n").unwrap();
    assert!(run(folder.path(), &["site.toml", "--out", "b"]).status.success());
    let sum = |text: &str| text.split("input <b>").nth(1).unwrap()[..10].to_owned();
    assert_ne!(sum(page), sum(&content(&folder.path().join("b"))[3]), "another input, another checksum");
}

#[test]
fn several_sites_get_a_folder_each_and_an_index() {
    let folder = tempfile::tempdir().unwrap();
    for (name, from, to) in [
        ("good", "[track]", "[[variant]]\nname = \"looser\"\nlimits.reading = \"300 lbf\"\n\n[track]"),
        ("never", "reading = \"520 lbf\"", "reading = \"300 lbf\""),
        ("wrong", "wraps = 4 ", "wraps = \"four\" "),
    ] {
        std::fs::write(folder.path().join(format!("{name}.toml")), SITE.replacen(from, to, 1)).unwrap();
    }
    let both = run(folder.path(), &["good.toml", "never.toml", "--out", "out"]);
    assert_eq!(both.status.code(), Some(0), "{}", said(&both.stderr));
    let out = folder.path().join("out");
    assert_eq!(names(&out), ["good", "index.html", "never"]);
    assert_eq!(names(&out.join("good")), FILES);
    let told = said(&both.stdout);
    assert!(told.contains("go with: ") && told.contains("no-go: "), "{told}");
    // One that fails is told, and doesn't stop the others.
    let all = run(folder.path(), &["wrong.toml", "good.toml", "never.toml", "--out", "all"]);
    assert_eq!(all.status.code(), Some(1));
    assert!(said(&all.stderr).contains("capstan.wraps"), "{}", said(&all.stderr));
    let out = folder.path().join("all");
    assert_eq!(names(&out), ["good", "index.html", "never"]);
    let index = std::fs::read_to_string(out.join("index.html")).unwrap();
    for wanted in [
        "not studied",
        "capstan.wraps",
        "good/card.html",
        "never/report.html",
        "no-go",
        "go with",
        "looser: no-go</b>. ",
    ] {
        assert!(index.contains(wanted), "the index lacks {wanted}");
    }
}

#[test]
fn a_failed_run_leaves_an_older_report_alone() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    assert!(run(folder.path(), &["--out", "out"]).status.success());
    let older = content(&out);
    let bad = [
        ("height = \"2.8 m\" ", "height = \"-2.8 m\" ", "frame.height"),
        ("height = \"2.8 m\" ", "heigth = \"2.8 m\" ", "frame.heigth is not known there: write one of `x`"),
        ("height = \"2.8 m\" ", "", "frame.height is missing: the height of the head above the ground"),
        ("leads = \"4 mohm\" ", "", "winch.motor.battery.leads is missing: the resistance of the leads"),
        ("[\"40 m\", \"-27 m\"]", "[\"40 m\"]", "ground[9]"),
        ("[frame]", "[frame", "line"),
        ("title = ", "titel = ", "titel"),
        ("[\"40 m\", \"-27 m\"]", "[\"40 m\", \"-27 m\", \"1 m\"]", "two values"),
        ("charge = \"85 Ah\"", "charge = \"0 Ah\"", "0 Ah"),
    ];
    for (from, to, names_key) in bad {
        std::fs::write(folder.path().join("site.toml"), SITE.replacen(from, to, 1)).unwrap();
        let output = run(folder.path(), &["site.toml", "--out", "out"]);
        assert_eq!(output.status.code(), Some(1));
        let why = said(&output.stderr);
        assert!(why.contains("site.toml") && why.contains(names_key), "{why}");
        assert!(why.lines().all(|line| line.chars().count() < 300), "{why}");
        assert_eq!((names(&out), content(&out)), (FILES.map(str::to_owned).to_vec(), older.clone()));
    }
}

#[test]
fn all_that_is_wrong_is_told_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let site =
        SITE.replacen("charge = \"85 Ah\"", "charge = 85", 1).replacen("[frame]", "[frame]\ntilt = 3", 1);
    std::fs::write(folder.path().join("site.toml"), site).unwrap();
    let output = run(folder.path(), &["site.toml"]);
    let why = said(&output.stderr);
    assert!(
        why.contains("2 problems") && why.contains("battery.charge") && why.contains("frame.tilt"),
        "{why}"
    );
}

#[test]
fn a_file_of_somebody_else_is_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    std::fs::create_dir(&out).unwrap();
    std::fs::write(out.join("report.html"), "<p>my own").unwrap();
    std::fs::write(out.join("report.replaced"), "mine too").unwrap();
    let output = run(folder.path(), &["--out", "out"]);
    assert_eq!(output.status.code(), Some(3));
    assert!(said(&output.stderr).contains("report.html: stands there"), "{}", said(&output.stderr));
    assert_eq!(names(&out), ["report.html", "report.replaced"]);
    assert_eq!(std::fs::read_to_string(out.join("report.html")).unwrap(), "<p>my own");
    std::fs::remove_file(out.join("report.html")).unwrap();
    assert!(run(folder.path(), &["--out", "out"]).status.success());
    assert_eq!(std::fs::read_to_string(out.join("report.replaced")).unwrap(), "mine too");
}

#[test]
fn a_run_that_can_not_put_one_file_writes_none() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    std::fs::create_dir_all(out.join("positions.csv")).unwrap();
    let output = run(folder.path(), &["--out", "out"]);
    assert_eq!(output.status.code(), Some(3));
    assert!(said(&output.stderr).contains("positions.csv"), "{}", said(&output.stderr));
    assert_eq!(names(&out), ["positions.csv"]);
}

#[test]
fn runs_into_one_folder_never_mix_their_files() {
    let folder = tempfile::tempdir().unwrap();
    let sites: Vec<String> = (0..4)
        .map(|i| {
            let name = format!("site{i}.toml");
            let site = SITE.replacen("title = \"Bend four", &format!("title = \"Run {i}"), 1);
            std::fs::write(folder.path().join(&name), site).unwrap();
            name
        })
        .collect();
    for _ in 0..3 {
        let runs: Vec<_> = sites
            .iter()
            .map(|site| {
                let mut run = command(folder.path(), &[site.as_str(), "--out", "out"]);
                run.stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap()
            })
            .collect();
        for mut run in runs {
            assert!(run.wait().unwrap().success());
        }
        let out = folder.path().join("out");
        assert_eq!(names(&out), FILES);
        let files = content(&out);
        let title = |i: usize| format!("Run {i}: invented demonstration site");
        let of = (0..4).find(|i| files[5].contains(&title(*i))).unwrap();
        for file in [&files[0], &files[1], &files[3]] {
            assert!(file.contains(&title(of)), "files of two runs");
        }
    }
}

#[cfg(unix)]
#[test]
fn ctrl_c_leaves_nothing_behind() {
    let folder = tempfile::tempdir().unwrap();
    let site = SITE.replacen("positions = 200", "positions = 10000", 1);
    std::fs::write(folder.path().join("site.toml"), site).unwrap();
    for wait in [60, 150, 400] {
        let mut run = command(folder.path(), &["site.toml", "--out", "out"]);
        let mut run = run.stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
        std::thread::sleep(std::time::Duration::from_millis(wait));
        assert!(Command::new("kill").args(["-INT", &run.id().to_string()]).status().unwrap().success());
        let code = run.wait().unwrap().code();
        let out = folder.path().join("out");
        let found = if out.is_dir() { names(&out) } else { Vec::new() };
        // Interrupted before its files, or all of them there.
        assert!(found.is_empty() && code == Some(130) || found == FILES, "{code:?}: {found:?}");
        let _ = std::fs::remove_dir_all(out);
    }
}

#[test]
fn a_file_is_no_folder_to_report_into() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("site.toml"), SITE).unwrap();
    let output = run(folder.path(), &["site.toml", "--out", "site.toml"]);
    assert_eq!(output.status.code(), Some(3));
    assert!(said(&output.stderr).contains("takes the name of a folder"), "{}", said(&output.stderr));
    assert_eq!(std::fs::read_to_string(folder.path().join("site.toml")).unwrap(), SITE);
}

#[test]
fn a_full_disk_for_what_it_says_is_an_error() {
    let Ok(full) = std::fs::File::create("/dev/full") else { return };
    let folder = tempfile::tempdir().unwrap();
    let status = command(folder.path(), &[]).stdout(full).stderr(Stdio::null()).status().unwrap();
    assert_eq!(status.code(), Some(3));
}

#[test]
fn what_it_does_not_know_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    for (arguments, code) in [
        (&["--nonsense"][..], 2),
        (&["a.toml", "in/a.toml"], 2),
        (&["--out"], 2),
        (&["missing.toml"], 3),
        (&["--out", ""], 2),
        (&["--out", "a", "--out", "b"], 2),
        (&["--units", "cgs"], 2),
        (&["--units", "si", "--units", "us"], 2),
    ] {
        let output = run(folder.path(), arguments);
        assert_eq!(output.status.code(), Some(code), "{arguments:?}");
        assert!(said(&output.stderr).starts_with("preplan-report: "), "{}", said(&output.stderr));
    }
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}

#[test]
fn the_example_that_it_prints_is_a_site() {
    let folder = tempfile::tempdir().unwrap();
    let example = run(folder.path(), &["--example"]);
    assert_eq!(said(&example.stdout), SITE);
    let help = said(&run(folder.path(), &["--help"]).stdout);
    for told in ["site.toml", "--units si|us", "Exit codes", "--example > site.toml"] {
        assert!(help.contains(told), "{told}");
    }
    assert!(help.lines().all(|line| line.chars().count() <= 120));
    let version = run(folder.path(), &["--version"]);
    assert!(version.status.success());
    assert_eq!(said(&version.stdout), concat!("preplan-report ", env!("CARGO_PKG_VERSION"), "\n"));
}

/// A site that names a kit beside it, with the kit's own rope and winch.
fn with_kit() -> String {
    let site = SITE.replacen("title = ", "kit = \"kits/own.toml\"\ntitle = ", 1);
    let rope = site.find("[track.rope]").unwrap()..site.find("[load]").unwrap();
    let site = site.replacen(&site[rope], "", 1).replacen("on_hand = \"140 m\"", "rope = \"red\"", 1);
    site.replacen("positions = 200", "positions = 20", 1)
}

fn kit(length: &str) -> String {
    let rope = SITE.find("[track.rope]").unwrap()..SITE.find("[load]").unwrap();
    let rope = SITE[rope].replacen("[track.rope]", &format!("[ropes.red]\nlength = \"{length}\""), 1);
    format!("name = \"kit A\"\n\n{rope}")
}

#[test]
fn a_folder_of_sites_shares_a_kit_and_another_kit_is_tried_on_all_of_them() {
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).unwrap();
    std::fs::create_dir_all(folder.path().join("sites/kits")).unwrap();
    write("sites/kits/own.toml", &kit("140 m"));
    write("sites/spare.toml", &kit("100 m"));
    write("sites/a.toml", &with_kit());
    write("sites/b.toml", &with_kit().replacen("far_anchor]\nx = \"47 m\"", "far_anchor]\nx = \"20 m\"", 1));
    let output = run(folder.path(), &["sites", "--out", "out", "--with-kit", "sites/spare.toml"]);
    assert_eq!(output.status.code(), Some(0), "{}", said(&output.stderr));
    let told = said(&output.stdout);
    assert!(told.contains("With the kit sites/spare.toml:"), "{told}");
    assert_eq!(names(&folder.path().join("out")), ["a", "b", "index.html", "kits.json"]);
    let json = std::fs::read_to_string(folder.path().join("out/kits.json")).unwrap();
    let changes: serde_json::Value = serde_json::from_str(&json).unwrap();
    let of = |site: &str| changes.as_array().unwrap().iter().find(|change| change["site"] == site).unwrap();
    // 100 m are too short for the far one and enough for the near one.
    let after = &of("a")["after"];
    assert!(after["warnings"].as_array().unwrap().iter().any(|kind| kind == "rope-too-short"), "{after}");
    assert!(after["found"]["spare_rope_m"].as_f64().unwrap() < 0.0);
    assert!(of("b")["after"]["found"]["spare_rope_m"].as_f64().unwrap() > 0.0);
    assert_ne!(of("a")["change"], "none");
    assert_eq!(of("b")["change"], "none");
    let page = std::fs::read_to_string(folder.path().join("out/index.html")).unwrap();
    assert!(page.contains("With the other kit"));

    // Without the other kit, the same reports and nothing of it.
    let output = run(folder.path(), &["sites", "--out", "plain"]);
    assert_eq!(output.status.code(), Some(0), "{}", said(&output.stderr));
    assert_eq!(names(&folder.path().join("plain")), ["a", "b", "index.html"]);
    let study = |out: &str| std::fs::read_to_string(folder.path().join(out).join("a/study.json")).unwrap();
    assert_eq!(study("out"), study("plain"));
}

#[test]
fn faults_of_a_kit_are_told_with_its_own_path_and_line() {
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).unwrap();
    std::fs::create_dir_all(folder.path().join("kits")).unwrap();
    let broken = kit("140 m").replacen("mass = \"92 g/m\"", "mass = \"92 kg\"", 1);
    let line = broken.lines().position(|line| line.starts_with("mass")).unwrap() + 1;
    write("kits/own.toml", &broken);
    write("a.toml", &with_kit().replacen("patient = \"82 kg\"", "patient = \"82 N\"", 1));
    let output = run(folder.path(), &["a.toml"]);
    assert_eq!(output.status.code(), Some(1));
    let told = said(&output.stderr);
    assert!(told.contains(&format!("kit kits/own.toml: line {line}: ropes.red.mass")), "{told}");
    assert!(told.contains("load.patient") && told.contains("2 problems"), "{told}");
    write("a.toml", &with_kit().replacen("kits/own.toml", "none.toml", 1));
    let output = run(folder.path(), &["a.toml"]);
    assert!(said(&output.stderr).contains("kit: \"none.toml\""), "{}", said(&output.stderr));
}

#[test]
fn variants_are_in_the_study() {
    let folder = tempfile::tempdir().unwrap();
    let text = SITE.replacen("positions = 200", "positions = 20", 1)
        + "\n[[variant]]\nname = \"heavy\"\nload.patient = \"120 kg\"\n";
    std::fs::write(folder.path().join("a.toml"), text).unwrap();
    let output = run(folder.path(), &["a.toml"]);
    assert_eq!(output.status.code(), Some(0), "{}", said(&output.stderr));
    let study = std::fs::read_to_string(folder.path().join("preplan/study.json")).unwrap();
    let study: serde_json::Value = serde_json::from_str(&study).unwrap();
    let names: Vec<_> =
        study["variants"].as_array().unwrap().iter().map(|row| row["name"].as_str().unwrap()).collect();
    assert_eq!(names, ["as planned", "heavy"]);
}
