//! The ground as it was measured: every form against the same points by hand.

use rope_mechanics::operation;
use rope_mechanics::operation::site::{
    FilesBeside, KeyTree, NoFiles, Site, SiteFile, SiteProblem, Tolerance,
};
use rope_mechanics::quantity::literal::m;
use std::collections::BTreeMap;

const SITE: &str = include_str!("../../../examples/preplan-report/demo.toml");

struct Files(BTreeMap<&'static str, String>);

impl FilesBeside for Files {
    fn kit(&mut self, _: &str) -> Result<KeyTree, String> {
        Err("no kit here".into())
    }
    fn text(&mut self, name: &str) -> Result<String, String> {
        self.0.get(name).cloned().ok_or_else(|| "no such file".into())
    }
}

/// The demo site with this ground.
fn with_files(ground: &str, files: &[(&'static str, &str)]) -> Result<Site, Vec<SiteProblem>> {
    let mut site: toml::Table = SITE.parse().unwrap();
    let ground: toml::Table = format!("ground = {ground}").parse().unwrap();
    site.insert("ground".into(), ground["ground"].clone());
    let keys: KeyTree = toml::from_str(&toml::to_string(&site).unwrap()).unwrap();
    let files = files.iter().map(|(name, text)| (*name, (*text).to_string())).collect();
    SiteFile::read(&keys, &mut Files(files)).map(|file| file.site)
}

fn with(ground: &str) -> Result<Site, Vec<SiteProblem>> {
    with_files(ground, &[])
}

fn points(site: &Site) -> Vec<(f64, f64)> {
    site.ground.iter().map(|p| (p.x.value, p.z.value)).collect()
}

fn tolerances(site: &Site) -> Vec<f64> {
    site.ground_tolerance.iter().map(|tolerance| tolerance.0.value).collect()
}

#[track_caller]
fn close(found: &[(f64, f64)], wanted: &[(f64, f64)]) {
    assert_eq!(found.len(), wanted.len(), "{found:?}");
    for (a, b) in found.iter().zip(wanted) {
        // Sums of products of numbers below 100, each rounded once.
        assert!((a.0 - b.0).abs() < 1e-12 && (a.1 - b.1).abs() < 1e-12, "{found:?}, not {wanted:?}");
    }
}

/// The only problem: its key and its words.
#[track_caller]
fn refused(ground: &str, key: &str, words: &str) {
    refused_files(ground, &[], key, words);
}

#[track_caller]
fn refused_files(ground: &str, files: &[(&'static str, &str)], key: &str, words: &str) {
    let problems = with_files(ground, files).unwrap_err();
    assert_eq!(problems.len(), 1, "{problems:#?}");
    assert_eq!(problems[0].key, key, "{problems:#?}");
    assert!(problems[0].problem.starts_with(key) && problems[0].problem.contains(words), "{problems:#?}");
}

/// 3-4-5 and 5-12-13: slopes whose sine and cosine are exact fractions. cos α = 0.8 for tan α = −3/4.
fn degrees(rise: f64, run: f64) -> String {
    format!("{} rad", (rise / run).atan())
}

#[test]
fn shots_from_one_station_are_right_triangles() {
    let (a, b) = (degrees(-3.0, 4.0), degrees(-5.0, 12.0));
    // The instrument 1.5 m above x = 2, z = 10; aimed at a mark 0.5 m above the ground. Taken in any order.
    let site = with(&format!(
        r#"{{ station = ["2 m", "10 m"], eye = "1.5 m", target = "0.5 m",
              shots = [{{ slope = "65 m", angle = "{b}" }}, {{ slope = "20 m", angle = "{a}", tolerance = "0.4 m" }}],
              points = [["-9 m", "10.3 m"]] }}"#
    ))
    .unwrap();
    close(&points(&site), &[(-9.0, 10.3), (2.0, 10.0), (18.0, 10.0 + 1.0 - 12.0), (62.0, 10.0 + 1.0 - 25.0)]);
    // Who says of one how far it may be off, leaves the usual 0.2 m to the others.
    assert_eq!(tolerances(&site), [0.2, 0.2, 0.4, 0.2]);
}

#[test]
fn legs_begin_where_the_one_before_ended() {
    let a = degrees(-3.0, 4.0);
    // Eye and mark at one height: the shot runs as the ground does.
    let site = with(&format!(
        r#"{{ station = ["0 m", "0 m"], eye = "1.6 m", target = "1.6 m", tolerance = "0.3 m",
              legs = [{{ slope = "20 m", angle = "{a}" }}, {{ slope = "30 m", angle = "{a}" }}, {{ slope = "9 m", angle = "0 deg" }}] }}"#
    ))
    .unwrap();
    close(&points(&site), &[(0.0, 0.0), (16.0, -12.0), (40.0, -30.0), (49.0, -30.0)]);
    assert_eq!(tolerances(&site), [0.3; 4]);
    // The same as shots from the head, by hand: 36.87° all the way.
    let shots = with(&format!(
        r#"{{ station = ["0 m", "0 m"], eye = "0 m", shots = [{{ slope = "20 m", angle = "{a}" }}, {{ slope = "50 m", angle = "{a}" }}],
              points = [["49 m", "-30 m"]] }}"#
    ))
    .unwrap();
    close(&points(&site), &points(&shots));
    assert!(shots.ground_tolerance.is_empty());
}

#[test]
fn a_list_may_say_of_each_height_how_far_it_is_off() {
    let plain = with(r#"[["-9 m", "0.3 m"], ["20 m", "-16 m"], ["58 m", "-30 m"]]"#).unwrap();
    assert!(plain.ground_tolerance.is_empty());
    let site = with(r#"[["-9 m", "0.3 m ± 10 cm"], ["20 m", "-16 m"], ["58 m", "-31 m to -29 m"]]"#).unwrap();
    close(&points(&site), &points(&plain));
    let found = tolerances(&site);
    // Of anything between two limits, 90 % lie within 0.9 of the half width.
    for (found, wanted) in found.iter().zip([0.1, 0.2, 0.9]) {
        assert!((found - wanted).abs() < 1e-9, "{found} {wanted}");
    }
    refused(
        r#"[["-9 m", "0.3 m"], ["20 m ± 1 m", "-16 m"], ["58 m", "-30 m"]]"#,
        "ground[1][0]",
        "has a tolerance",
    );
    refused(
        r#"[["-9 m", "0.3 m"], ["20 m", "-16 m ± 1 kg"], ["58 m", "-30 m"]]"#,
        "ground[1][1]",
        "after \"±\"",
    );
}

#[test]
fn a_table_of_points_or_shots_is_the_same_as_the_file_says() {
    let by_hand = with(r#"[["-9 m", "0.3 m"], ["20 m", "-16 m"], ["58 m", "-30 m"]]"#).unwrap();
    for text in [
        "x [m],z [m]\n-9,0.3\n20,-16\n58,-30\n",
        "\u{feff}# surveyed\nX [m]; Z [m]; datum; note\n58; -30; local; far\n\n-9; 0.3; local;\n20; -16; local; bench\n",
        "x [cm]\tz [cm]\n-900\t30\n2000\t-1600\n5800\t-3000\n",
    ] {
        let site = with_files(r#"{ file = "bank.CSV" }"#, &[("bank.CSV", text)]).unwrap();
        close(&points(&site), &points(&by_hand));
    }
    let text = format!(
        "slope [m],angle [rad],tolerance [m]\n20,{0},0.5\n65,{1},\n",
        (-0.75_f64).atan(),
        (-5.0_f64 / 12.0).atan()
    );
    let site = with_files(
        r#"{ file = "a.csv", station = ["0 m", "0 m"], eye = "0 m" }"#,
        &[("a.csv", text.as_str())],
    )
    .unwrap();
    close(&points(&site), &[(0.0, 0.0), (16.0, -12.0), (60.0, -25.0)]);
    assert_eq!(tolerances(&site), [0.2, 0.5, 0.2]);
    let legs = text.replacen("slope", "leg", 1);
    let site = with_files(
        r#"{ file = "a.csv", station = ["0 m", "0 m"], eye = "0 m" }"#,
        &[("a.csv", legs.as_str())],
    )
    .unwrap();
    close(&points(&site), &[(0.0, 0.0), (16.0, -12.0), (76.0, -37.0)]);
}

#[test]
fn units_and_data_that_are_missing_or_mixed_are_refused() {
    let csv = |text: &str, words: &str| {
        refused_files(r#"{ file = "a.csv" }"#, &[("a.csv", text)], "ground.file", words)
    };
    csv("x,z\n0,0\n", "line 1: the column x has no unit: write x [m]");
    csv("x [m],z [ft]\n0,0\n", "x is in m and z in ft");
    csv("x [m],z [lb]\n0,0\n", "x is in m and z in lb");
    csv("x [m],z [m],datum\n0,0,road\n10,-5,sea level\n", "line 3: its height is above \"sea level\"");
    csv("x [m],z [m],datum\n0,0,road\n10,-5,\n", "line 3: datum: is empty");
    csv("x [m],z [m]\n0,0\n10 ft,-5\n", "line 3: x: ");
    csv("x [m],z [m]\n0,0\n10,5,-5\n", "line 3: has 3 values");
    csv("x [m],angle [deg]\n0,0\n", "the columns must be");
    csv("x [m],z [m],z [m]\n0,0,0\n", "twice");
    csv("x [m],height [m]\n0,0\n", "there is no column \"height [m]\"");
    csv("x [m],z [m]\n", "the table has no rows");
    csv("# nothing\n", "the table is empty");
    csv("x [m],z [m]\n0,0\nten,-5\n", "line 3: x: a length starts with a number");

    let shots = |second: &str| {
        format!(
            r#"{{ station = ["0 m", "0 m"], eye = "0 m", shots = [{{ slope = "20 m", angle = "-30 deg" }}, {second}] }}"#
        )
    };
    refused(
        &shots(r#"{ slope = "60 ft", angle = "-30 deg" }"#),
        "ground.shots[1].slope",
        "is in ft, but ground.shots[0].slope is in m",
    );
    refused(
        &shots(r#"{ slope = "60", angle = "-30 deg" }"#)
            .replace("20 m\"", "20\"")
            .replacen("\"20\"", "\"20 m\"", 1),
        "ground.shots[1].slope",
        "",
    );
    refused(&shots(r#"{ slope = "60 m", angle = "-30" }"#), "ground.shots[1].angle", "needs a unit");
    refused(&shots(r#"{ slope = "60 m", angle = "-91 deg" }"#), "ground.shots[1].angle", "must be from");
    refused(&shots(r#"{ slope = "-60 m", angle = "-30 deg" }"#), "ground.shots[1].slope", "must be from");
    refused(
        &shots(r#"{ slope = "60 m", angel = "-30 deg" }"#),
        "ground.shots[1].angel",
        "is not known there",
    );
    refused(&shots(r#"{ slope = "20 m", angle = "-30 deg" }"#), "ground", "two points stand at x = ");
    refused(r#"{ points = [["0 m", "0 m"], ["9 ft", "0 ft"]] }"#, "ground.points[1][0]", "is in ft");
    // A plain list as well, its heights with a tolerance or not.
    refused(
        r#"[["-9 m", "0 m"], ["9 m", "0 m"], ["58 m", "-90 ft"]]"#,
        "ground[2][1]",
        "is in ft, but ground[0][0]",
    );
    refused(
        r#"[["-9 m", "0 m ± 20 cm"], ["58 ft", "-20 m"]]"#,
        "ground[1][0]",
        "is in ft, but ground[0][0] is in m",
    );
}

#[test]
fn what_a_form_needs_is_asked_for_and_what_it_has_no_use_for_is_refused() {
    let shot = r#"shots = [{ slope = "20 m", angle = "-30 deg" }]"#;
    refused(
        &format!("{{ {shot}, eye = \"1.6 m\" }}"),
        "ground.station",
        "is missing: where the instrument stands",
    );
    refused(&format!("{{ {shot}, station = [\"0 m\", \"0 m\"] }}"), "ground.eye", "is missing: how high");
    refused(
        r#"{ points = [["0 m", "0 m"], ["9 m", "0 m"]], eye = "1.6 m" }"#,
        "ground.eye",
        "goes with shots or legs only",
    );
    refused(
        r#"{ points = [["0 m", "0 m"], ["9 m", "0 m"]], corridor = "5 m" }"#,
        "ground.corridor",
        "goes with a GPX file only",
    );
    let legs = r#"legs = [{ slope = "20 m", angle = "-30 deg" }]"#;
    refused(
        &format!("{{ {shot}, {legs}, station = [\"0 m\", \"0 m\"], eye = \"0 m\" }}"),
        "ground",
        "give one of",
    );
    refused(r#"{ file = "a.txt" }"#, "ground.file", "no such file");
    refused_files(r#"{ file = "a.txt" }"#, &[("a.txt", "")], "ground.file", "neither in .csv nor in .gpx");
    refused_files(
        r#"{ file = "a.csv", csv = "x [m],z [m]\n0,0" }"#,
        &[("a.csv", "")],
        "ground.file",
        "is given, too",
    );
    let problems =
        with(r#"{ shots = [{ slop = "20 m", angle = "x" }], points = [["1 m"]], eye = "1.6 kg" }"#)
            .unwrap_err();
    let keys: Vec<_> = problems.iter().map(|problem| problem.key.as_str()).collect();
    assert_eq!(
        keys,
        ["ground.eye", "ground.points[0]", "ground.shots[0].angle", "ground.station"],
        "{problems:#?}"
    );
    // Without files, the text itself.
    let keys: KeyTree = toml::from_str(&SITE.replacen("ground = [", "old = [", 1).replacen(
        "[frame]",
        "[ground]\nfile = \"a.csv\"\n[frame]",
        1,
    ))
    .unwrap();
    let problems = SiteFile::read(&keys, &mut NoFiles).unwrap_err();
    assert!(
        problems.iter().any(|p| p.key == "ground.file" && p.problem.contains("no files are read")),
        "{problems:#?}"
    );
}

/// Points every 0.0001° north of 45° N: 11.1132 m each (a degree of latitude at 45° is 111 132 m on WGS 84, to a metre).
fn track(points: &[(f64, f64, f64)], name: &str) -> String {
    let points: String = points
        .iter()
        .map(|(north, east, ele)| {
            format!(
                "<{name} lat=\"{}\" lon=\"{}\"><ele>{ele}</ele></{name}>",
                45.0 + 1e-4 * north,
                7.0 + 1e-4 * east
            )
        })
        .collect();
    let points = if name == "trkpt" { format!("<trk><trkseg>{points}</trkseg></trk>") } else { points };
    format!(
        "<?xml version=\"1.0\"?><gpx version=\"1.1\" creator=\"a receiver\" xmlns=\"http://www.topografix.com/GPX/1/1\">{points}</gpx>"
    )
}

const LINE: &str =
    r#"{ file = "a.gpx", from = ["45 deg", "7 deg"], to = ["45.001 deg", "7 deg"], tolerance = "3 m" }"#;

#[test]
fn a_track_is_laid_on_the_line_of_the_travel() {
    let walked = [(-1.0, 0.0, 500.0), (1.0, 0.0, 493.0), (2.0, 0.5, 480.0), (4.0, -0.5, 466.0)];
    let mut back = walked;
    back.reverse();
    for (points_of, name) in
        [(walked, "trkpt"), (back, "trkpt"), (walked, "wpt"), (back, "wpt"), (walked, "rtept")]
    {
        let text = track(&points_of, name);
        let text = if name == "rtept" {
            text.replacen("<rtept", "<rte><rtept", 1).replacen("</gpx>", "</rte></gpx>", 1)
        } else {
            text
        };
        let site = with_files(LINE, &[("a.gpx", text.as_str())]).unwrap();
        for ((x, z), (north, _, ele)) in points(&site).into_iter().zip(walked) {
            assert!((x - 11.1132 * north).abs() < 1e-3, "{x} {north}");
            assert!((z - ele).abs() < 1e-9);
        }
        assert_eq!(tolerances(&site), [3.0; 4]);
    }
    // Along a line that runs east, 7.8847 m each (a degree of longitude at 45°: 78 847 m).
    let east = LINE.replace("[\"45.001 deg\", \"7 deg\"]", "[\"45 deg\", \"7.001 deg\"]");
    let text = track(&[(0.0, 0.0, 9.0), (0.5, 3.0, 8.0), (0.0, 6.0, 2.0)], "trkpt");
    let wide = east.replace("tolerance", "corridor = \"6 m\", tolerance");
    let site = with_files(&wide, &[("a.gpx", text.as_str())]).unwrap();
    for ((x, _), count) in points(&site).into_iter().zip([0.0, 3.0, 6.0]) {
        assert!((x - 7.8847 * count).abs() < 1e-3, "{x}");
    }
    // The second lies 5.6 m beside it.
    refused_files(&east, &[("a.gpx", text.as_str())], "ground.file", "point 2 lies 5.56 m");
}

#[test]
fn a_track_that_is_none_is_refused() {
    let gpx = |text: &str, words: &str| refused_files(LINE, &[("a.gpx", text)], "ground.file", words);
    let good = track(&[(0.0, 0.0, 9.0), (2.0, 0.0, 2.0)], "trkpt");
    assert!(with_files(LINE, &[("a.gpx", good.as_str())]).is_ok());
    gpx("x [m],z [m]", "is not XML");
    gpx("<kml/>", "its root is <kml>");
    gpx(&good.replace("version=\"1.1\"", "version=\"2.0\""), "version 2.0");
    gpx(&good.replace("<ele>2</ele>", ""), "point 2 has no height");
    gpx(&good.replace("lon=\"7\"", ""), "point 1 has no lon");
    gpx(&good.replace("lat=\"45\"", "lat=\"450\""), "point 1 has no lat");
    gpx(&good.replace("lat=\"45\"", "lat=\"46\""), "point 1 is ");
    gpx(&good.replace("</gpx>", "<wpt lat=\"45\" lon=\"7\"/></gpx>"), "several kinds");
    gpx(&good.replace("</gpx>", "<trk/></gpx>"), "several tracks");
    gpx(&track(&[], "trkpt"), "has no points");
    gpx(
        &track(&[(0.0, 0.0, 9.0), (2.0, 0.0, 4.0), (1.0, 0.0, 5.0), (4.0, 0.0, 2.0)], "trkpt"),
        "runs back along the line",
    );
    let of =
        |line: &str, key: &str, words: &str| refused_files(line, &[("a.gpx", good.as_str())], key, words);
    of(&LINE.replace(", tolerance = \"3 m\"", ""), "ground.tolerance", "is missing");
    of(&LINE.replace("to = [\"45.001 deg\", \"7 deg\"], ", ""), "ground.to", "is missing");
    of(&LINE.replace("45.001 deg", "45 deg"), "ground.to", "must be from");
    of(&LINE.replace("45.001 deg", "47 deg"), "ground.to", "must be from");
    of(&LINE.replace("from = [\"45 deg\"", "from = [\"145 deg\""), "ground.from", "must be from");
}

#[test]
fn tolerances_stand_in_the_site_and_count_in_its_doubt() {
    let mut site: Site = toml::from_str(SITE).unwrap();
    site.ground_tolerance = vec![Tolerance(m(0.1)); 3];
    let why = operation::solve(&site).unwrap_err();
    assert_eq!(why.key, "ground_tolerance");
    site.ground_tolerance = vec![Tolerance(m(-0.1)); 12];
    assert_eq!(operation::solve(&site).unwrap_err().key, "ground_tolerance[0]");

    // Through the file and back.
    site.ground_tolerance = (0..12).map(|i| Tolerance(m(0.1 + 0.05 * f64::from(i)))).collect();
    let again: Site = toml::from_str(&toml::to_string(&site).unwrap()).unwrap();
    assert_eq!(again, site);

    // The doubt: every point 0.2 m off is what `doubt.ground` says anyway; points that are sure leave less on the height.
    let text = SITE.replacen("positions = 200", "positions = 12", 1) + "\n[doubt]\nsamples = 64\nparts = 6\n";
    let doubt: Site = toml::from_str(&text).unwrap();
    let bands = |tolerances: Vec<f64>| {
        let ground_tolerance = tolerances.into_iter().map(|t| Tolerance(m(t))).collect();
        let mut site = doubt.clone();
        site.ground_tolerance = ground_tolerance;
        let go_on = |_, _| core::ops::ControlFlow::<()>::Continue(());
        let asked = operation::Asked::PLAIN.with_doubt(true);
        let core::ops::ControlFlow::Continue(study) = operation::solve_asked(&site, &asked, go_on).unwrap()
        else {
            panic!("stopped")
        };
        study.doubt.unwrap().extremes
    };
    let width = |tolerances: Vec<f64>| {
        let bands = bands(tolerances);
        let height = bands.iter().find(|band| band.output == "litter_height").unwrap();
        height.high.unwrap() - height.low.unwrap()
    };
    assert_eq!(bands(Vec::new()), bands(vec![0.2; 12]));
    let (usual, sure, wide) = (width(Vec::new()), width(vec![0.02; 12]), width(vec![1.0; 12]));
    assert!(sure < usual && usual < wide, "{sure} {usual} {wide}");
    // Of the points that the litter never comes near, none counts.
    let mut far = vec![0.2; 12];
    (far[0], far[11]) = (0.1, 0.1);
    assert_eq!(width(far), usual);
    let mut near = vec![0.02; 12];
    near[6] = 1.0;
    assert!(width(near) > sure);
}
