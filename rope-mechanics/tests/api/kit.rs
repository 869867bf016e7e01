//! A site with its kit and its variants: what is taken from where, and how faults are told.

use rope_mechanics::operation::site::{
    FilesBeside, KeyTree, NoFiles, Site, SiteFile, SiteProblem, SiteSource, TrackSetting,
};
use rope_mechanics::operation::study::WarningKind;
use rope_mechanics::operation::variants::{Figures, KitChange, VerdictChange};
use rope_mechanics::operation::verdict::Verdict;
use rope_mechanics::operation::{self, solve_file};
use rope_mechanics::quantity::literal::{kg, kn, m, percent};
use std::collections::BTreeMap;

const SITE: &str = include_str!("../../../examples/preplan-report/demo.toml");

/// Every rope, sheave and winch of the demo site in a kit, and nothing of them in the site.
const KIT: &str = r#"
name = "kit A"
notes = "invented"

[ropes.red]
length = "140 m"
measured = "spring"
mass = "92 g/m"
stiffness = "62 kN"
strength = "34 kN"
knot_factor = "68 %"
diameter = "11.5 mm"
thinnest_bend = "58 mm"

[ropes.blue]
length = "120 m"
class = "11 mm polyester"
marks = "1 m"

[ropes.white]
length = "100 m"
class = "11 mm nylon"

[sheaves.large]
efficiency = "88 %"
strength = "32 kN"
diameter = "76 mm"
swivel = true

[sheaves.small]
efficiency = "91 %"
strength = "30 kN"
diameter = "38 mm"

[winches.front.motor]
constant = "0.048 N·m/A"
no_load_current = "5 A"
resistance = "24 mohm"
gear = 140
gear_efficiency = "70 %"
radius = "32 mm"
rated_pull = "3.6 kN"
heat = { short_time = "4 min", time_constant = "18 min" }
battery = { voltage = "12.8 V", resistance = "7 mohm", leads = "4 mohm", charge = "85 Ah" }

[site.load]
litter = "19 kg"
carriage = "12 kg"

[site.limits]
factor = 6
litter_height = "7.5 ft"
"#;

fn keys(text: &str) -> KeyTree {
    toml::from_str(text).unwrap()
}

/// The demo site as its own file has it, but for what the kit has.
fn with_kit() -> toml::Table {
    let mut site: toml::Table = SITE.parse().unwrap();
    let table = |site: &mut toml::Table, key: &str| -> toml::Table { site[key].as_table().unwrap().clone() };
    site.insert("kit".into(), "kit.toml".into());
    let mut track = table(&mut site, "track");
    track.insert("rope".into(), "red".into());
    track.remove("on_hand");
    site.insert("track".into(), track.into());
    for (key, name) in [("haul", "blue"), ("belay", "white")] {
        let mut own = table(&mut site, key);
        own.insert("rope".into(), name.into());
        site.insert(key.into(), own.into());
    }
    site.insert("winch".into(), "front".into());
    let mut load = table(&mut site, "load");
    load.remove("litter");
    load.remove("carriage");
    site.insert("load".into(), load.into());
    let mut limits = table(&mut site, "limits");
    limits.remove("factor");
    limits.remove("litter_height");
    site.insert("limits".into(), limits.into());
    site
}

struct Kits(BTreeMap<&'static str, &'static str>);

impl FilesBeside for Kits {
    fn kit(&mut self, name: &str) -> Result<KeyTree, String> {
        self.0.get(name).map(|text| keys(text)).ok_or_else(|| "no such file".into())
    }
    fn text(&mut self, name: &str) -> Result<String, String> {
        self.0.get(name).map(|text| (*text).to_string()).ok_or_else(|| "no such file".into())
    }
}

fn kits() -> Kits {
    Kits(BTreeMap::from([("kit.toml", KIT)]))
}

fn read(site: &toml::Table) -> Result<SiteFile, Vec<SiteProblem>> {
    SiteFile::read(&keys(&toml::to_string(site).unwrap()), &mut kits())
}

fn put(site: &mut toml::Table, path: &str, value: impl Into<toml::Value>) {
    let (table, key) = path.rsplit_once('.').map_or((None, path), |(table, key)| (Some(table), key));
    let mut here = site;
    for step in table.iter().flat_map(|table| table.split('.')) {
        here = here.entry(step).or_insert_with(|| toml::Table::new().into()).as_table_mut().unwrap();
    }
    here.insert(key.into(), value.into());
}

fn variant(site: &mut toml::Table, text: &str) {
    let list = site.entry("variant").or_insert_with(|| toml::Value::Array(Vec::new()));
    list.as_array_mut().unwrap().push(text.parse::<toml::Table>().unwrap().into());
}

/// What is told, each by its file and key.
fn told(problems: &[SiteProblem]) -> Vec<(SiteSource, &str)> {
    problems.iter().map(|problem| (problem.source.clone(), problem.key.as_str())).collect()
}

#[test]
fn a_site_without_kit_reads_as_it_always_did() {
    let direct: Site = toml::from_str(SITE).unwrap();
    let file = SiteFile::read(&keys(SITE), &mut NoFiles).unwrap();
    assert_eq!(file.site, direct);
    assert!(file.variants.is_empty());
    assert_eq!(solve_file(&file, |_, _| {}).unwrap(), operation::solve(&direct).unwrap());
    // Through JSON, as C gives it.
    let json: KeyTree = serde_json::from_str(&serde_json::to_string(&direct).unwrap()).unwrap();
    assert_eq!(SiteFile::read(&json, &mut NoFiles).unwrap().site, direct);
}

#[test]
fn a_site_on_its_kit_is_the_site_with_the_same_things_written_out() {
    let file = read(&with_kit()).unwrap();
    let mut direct: Site = toml::from_str(SITE).unwrap();
    assert_eq!(file.site.document.kit, "demonstration kit", "the site's own name of the kit stands");
    assert_eq!((file.site.haul.on_hand, file.site.haul.marks), (Some(m(120.0)), Some(m(1.0))));
    assert_eq!(file.site.belay.as_ref().unwrap().on_hand, Some(m(100.0)));
    direct.haul.on_hand = Some(m(120.0));
    direct.haul.marks = Some(m(1.0));
    direct.belay.as_mut().unwrap().on_hand = Some(m(100.0));
    assert_eq!(file.site, direct);

    let mut unnamed = with_kit();
    unnamed.remove("document");
    assert_eq!(read(&unnamed).unwrap().site.document.kit, "kit A");
}

#[test]
fn what_the_site_says_itself_goes_before_its_kit() {
    let mut site = with_kit();
    put(&mut site, "track.on_hand", "90 m");
    put(&mut site, "load.litter", "25 kg");
    put(&mut site, "track.rope", toml::toml! { kit = "red" wet_factor = "80 %" mass = "100 g/m" });
    let site = read(&site).unwrap().site;
    assert_eq!(site.track.on_hand, m(90.0));
    assert_eq!(site.load.litter.value(), kg(25.0));
    assert_eq!(site.load.carriage.value(), kg(12.0));
    assert_eq!(site.track.rope.wet_factor, Some(percent(80.0)));
    assert!((site.track.rope.mass.unwrap().value().value - 0.1).abs() < 1e-15);
    assert_eq!(site.track.rope.strength, Some(kn(34.0)));
}

#[test]
fn a_sheave_brings_its_efficiency_and_its_strength() {
    let mut site = with_kit();
    site["far_anchor"].as_table_mut().unwrap().remove("efficiency");
    put(&mut site, "far_anchor.sheave", "large");
    // The site's own efficiency stands; the strength of its ratings, too.
    put(&mut site, "track.head_sheave", "large");
    // Of two redirects the weaker sheave is what is rated.
    site["ratings"].as_table_mut().unwrap()["haul_redirect"].as_table_mut().unwrap().remove("sheave");
    put(
        &mut site,
        "haul.redirects",
        toml::toml! { list = [
            { at = ["-0.5 m", "-1 m", "0.3 m"], sheave = "large" }, { at = ["-3 m", "-1.2 m", "0.3 m"], sheave = "small" }
        ] }["list"]
            .clone(),
    );
    put(&mut site, "load.wheel", toml::toml! { diameter = "60 mm" });
    let read = read(&site).unwrap().site;
    assert_eq!(read.far_anchor.efficiency.unwrap().value(), percent(88.0));
    let sheave = read.far_anchor.sheave.unwrap();
    assert_eq!((sheave.diameter, sheave.swivel), (Some(m(0.076)), Some(true)));
    assert_eq!(read.ratings.far.sheave, Some(kn(32.0)));
    assert_eq!(read.track.head_efficiency.unwrap().value(), percent(92.0));
    assert_eq!(read.haul.redirects[1].efficiency.unwrap().value(), percent(91.0));
    assert_eq!(read.ratings.haul_redirect.sheave, Some(kn(30.0)));
    assert_eq!(read.load.wheel.unwrap().diameter, Some(m(0.06)));
}

#[test]
fn a_variant_is_the_site_with_those_keys_changed() {
    let mut site = with_kit();
    variant(&mut site, "name = \"heavy\"\nload.attendants = \"75 kg\"");
    variant(
        &mut site,
        "name = \"blue track\"\ntrack.rope = \"blue\"\nwithout = [\"belay\", \"limits.current\"]",
    );
    variant(&mut site, "name = \"floating\"\ntrack.set = { litter_height = \"0.5 m\" }\ntitle = \"T\"");
    variant(
        &mut site,
        "name = \"wet\"\ntrack.rope.wet_factor = \"80 %\"\nwinch.motor.battery.charge = \"60 Ah\"",
    );
    let file = read(&site).unwrap();
    let [heavy, blue, floating, wet] = file.variants.as_slice() else { panic!("{}", file.variants.len()) };

    let mut expected = file.site.clone();
    expected.title += ": heavy";
    expected.load.attendants = Some(kg(75.0).into());
    assert_eq!(heavy.site, expected);

    let mut expected = file.site.clone();
    expected.title += ": blue track";
    expected.track.rope = file.site.haul.rope.clone();
    // Another rope of the kit has another length.
    expected.track.on_hand = m(120.0);
    expected.belay = None;
    expected.limits.current = None;
    assert_eq!(blue.site, expected);

    let mut expected = file.site.clone();
    expected.title = "T".into();
    expected.track.set = TrackSetting::LitterHeight(m(0.5).into());
    assert_eq!(floating.site, expected);

    let mut expected = file.site.clone();
    expected.title += ": wet";
    expected.track.rope.wet_factor = Some(percent(80.0));
    let operation::site::SiteWinch::Motor(motor) = &mut expected.winch else { panic!() };
    motor.battery.charge *= 60.0 / 85.0;
    assert_eq!(wet.site.track, expected.track);
    let operation::site::SiteWinch::Motor(read) = &wet.site.winch else { panic!() };
    assert!((read.battery.charge / motor.battery.charge).value - 1.0 < 1e-12);
    assert_eq!(wet.site.title, expected.title);
}

#[test]
fn variants_stand_side_by_side_with_the_figures_of_their_own_studies() {
    let mut site = with_kit();
    put(&mut site, "travel.positions", 20);
    variant(&mut site, "name = \"heavy\"\nload.patient = \"160 kg\"");
    variant(&mut site, "name = \"too far\"\nfar_anchor.x = \"57.9 m\"\ntravel.start = \"60 m\"");
    let file = read(&site).unwrap();
    let mut steps = Vec::new();
    let study = solve_file(&file, |done, of| steps.push((done, of))).unwrap();
    let [own, heavy, far] = study.variants.as_slice() else { panic!("{}", study.variants.len()) };
    let alone = operation::solve(&file.variants[0].site).unwrap();
    assert_eq!(*heavy, Figures::of("heavy", &alone));
    assert_eq!(*own, Figures::of("as planned", &operation::solve(&file.site).unwrap()));
    let (own, more) = (own.found.as_ref().unwrap(), heavy.found.as_ref().unwrap());
    assert!((more.load - own.load - kg(78.0)).value.abs() < 1e-9);
    // 78 kg more on a line that is set to the same greatest reading hang lower.
    assert!(more.least_litter_height < own.least_litter_height);
    assert!(more.greatest_winch_pull > own.greatest_winch_pull);
    // What can't be studied says why, by its key.
    assert_eq!((far.verdict, far.found.is_none()), (Verdict::NoGo, true));
    assert!(far.reasons[0].starts_with("travel.start: "), "{:?}", far.reasons);
    assert!(steps.windows(2).all(|pair| pair[0].0 < pair[1].0), "{steps:?}");
    // The site alone has no table.
    assert!(operation::solve(&file.site).unwrap().variants.is_empty());
}

#[test]
fn faults_of_site_kit_and_variants_are_told_in_one_go_each_by_its_file() {
    let bad_kit: &'static str = Box::leak(
        KIT.replace("mass = \"92 g/m\"", "mass = \"92 kg\"")
            .replace("rated_pull = \"3.6 kN\"", "")
            .replace("efficiency = \"88 %\"", "eficiency = \"88 %\"")
            .replace("carriage = \"12 kg\"", "carriage = \"12 lbf\"")
            .into_boxed_str(),
    );
    let mut site = with_kit();
    site["frame"].as_table_mut().unwrap().remove("height");
    put(&mut site, "belay.rope", "green");
    put(&mut site, "capstan.wraps", "four");
    variant(&mut site, "name = \"one\"\nload.patient = \"82 lbf\"");
    variant(&mut site, "name = \"two\"\nfar_anchor.y = \"1 m\"\nwithout = [\"doubt\"]");
    variant(&mut site, "load.patient = \"82 kg\"");
    let problems = SiteFile::read(
        &keys(&toml::to_string(&site).unwrap()),
        &mut Kits(BTreeMap::from([("kit.toml", bad_kit)])),
    )
    .unwrap_err();
    let of = |name: &str| SiteSource::Variant(name.into());
    let mut found = told(&problems);
    found.sort_by_key(|(source, key)| (format!("{source:?}"), (*key).to_string()));
    assert_eq!(
        found,
        [
            (SiteSource::Kit, "ropes.red.mass"),
            (SiteSource::Kit, "sheaves.large.eficiency"),
            (SiteSource::Kit, "site.load.carriage"),
            (SiteSource::Kit, "winches.front.motor.rated_pull"),
            (SiteSource::Site, "belay.rope"),
            (SiteSource::Site, "capstan.wraps"),
            (SiteSource::Site, "frame.height"),
            (SiteSource::Site, "variant[2].name"),
            (of("one"), "variant[0].load.patient"),
            (of("two"), "variant[1].far_anchor.y"),
            (of("two"), "variant[1].without[0]"),
        ],
        "{problems:#?}"
    );
    let said: Vec<_> = problems.iter().map(ToString::to_string).collect();
    for wanted in [
        "kit: ropes.red.mass: \"92 kg\"",
        "kit: winches.front.motor.rated_pull is missing: the most that its maker allows",
        "belay.rope: the kit has no rope \"green\"; it has \"blue\", \"red\", \"white\"",
        "variant \"one\": load.patient: \"82 lbf\"",
        "variant \"two\": far_anchor.y is not known there",
    ] {
        assert!(said.iter().any(|said| said.starts_with(wanted)), "{wanted}: {said:#?}");
    }
}

#[test]
fn a_range_is_told_by_the_file_that_the_value_stands_in() {
    let mut site = with_kit();
    variant(&mut site, "name = \"tall\"\nframe.height = \"70 m\"");
    let file = read(&site).unwrap();
    let fault = |site: &Site| operation::solve(site).unwrap_err();
    let tall = file.variants[0].told(&fault(&file.variants[0].site));
    assert_eq!(
        (tall.source.clone(), tall.key.as_str()),
        (SiteSource::Variant("tall".into()), "variant[0].frame.height")
    );
    assert!(tall.to_string().starts_with("variant \"tall\": frame.height: is 70 m"), "{tall}");

    let mut site = file.site.clone();
    site.track.rope.mass = Some((site.track.rope.mass.unwrap().value() * 1e6).into());
    let heavy = file.told(&fault(&site));
    assert_eq!((heavy.source.clone(), heavy.key.as_str()), (SiteSource::Kit, "ropes.red.mass"));
    assert!(heavy.to_string().starts_with("kit: ropes.red.mass: is "), "{heavy}");
}

#[test]
fn names_without_a_kit_and_a_kit_that_cannot_be_read() {
    let mut site = with_kit();
    site.remove("kit");
    let problems = read(&site).unwrap_err();
    assert!(problems[0].problem.contains("the site names no kit"), "{problems:#?}");
    put(&mut site, "kit", "elsewhere.toml");
    let problems = read(&site).unwrap_err();
    assert_eq!(told(&problems)[0], (SiteSource::Site, "kit"));
    assert!(problems.iter().all(|problem| !problem.problem.contains("the kit has no")), "{problems:#?}");
    // The kit itself in the place of its name, as JSON of a program has it.
    put(&mut site, "kit", KIT.parse::<toml::Table>().unwrap());
    let inline = SiteFile::read(&keys(&toml::to_string(&site).unwrap()), &mut NoFiles).unwrap();
    assert_eq!(inline.site, read(&with_kit()).unwrap().site);
}

#[test]
fn each_single_fault_of_a_kit_is_told_once_and_by_its_key() {
    let kit: toml::Table = KIT.parse().unwrap();
    let mut paths = Vec::new();
    let groups = ["ropes", "sheaves", "winches", "site"].map(|group| (group, kit[group].as_table().unwrap()));
    for (group, name, key) in groups.iter().flat_map(|(group, table)| {
        table.iter().flat_map(move |(name, item)| {
            item.as_table().unwrap().keys().map(move |key| (*group, name.clone(), key.clone()))
        })
    }) {
        paths.push(format!("{group}.{name}.{key}"));
    }
    assert!(paths.len() > 20);
    for path in paths {
        let mut broken = kit.clone();
        put(&mut broken, &path, -7);
        let mut site = with_kit();
        put(&mut site, "kit", broken);
        let problems = SiteFile::read(&keys(&toml::to_string(&site).unwrap()), &mut NoFiles);
        // A factor of −7 can be read; the study refuses it.
        if path == "site.limits.factor" {
            let file = problems.unwrap();
            let fault = file.told(&operation::solve(&file.site).unwrap_err());
            assert_eq!((fault.source, fault.key.as_str()), (SiteSource::Kit, "site.limits.factor"));
            continue;
        }
        let problems = problems.unwrap_err();
        assert_eq!(told(&problems), [(SiteSource::Kit, path.as_str())], "{problems:#?}");
    }
}

#[test]
fn another_kit_breaks_the_sites_that_need_the_old_one() {
    let mut near = with_kit();
    put(&mut near, "travel.positions", 20);
    let old = solve_file(&read(&near).unwrap(), |_, _| {}).unwrap();
    let old = Figures::of("bend four", &old);

    // The red rope was cut: it doesn't reach any more.
    let short: &'static str =
        Box::leak(KIT.replace("length = \"140 m\"", "length = \"90 m\"").into_boxed_str());
    let text = keys(&toml::to_string(&near).unwrap());
    let new = SiteFile::read(&text, &mut Kits(BTreeMap::from([("kit.toml", short)]))).unwrap();
    let new = Figures::of("bend four", &solve_file(&new, |_, _| {}).unwrap());
    assert!(new.warnings.contains(&WarningKind::RopeTooShort));
    assert_eq!(new.verdict, Verdict::NoGo);
    let change = KitChange::new("bend four", old.clone(), new.clone());
    let wanted =
        if old.verdict == Verdict::NoGo { VerdictChange::OtherReasons } else { VerdictChange::Worse };
    assert_eq!(change.change, wanted);
    assert_eq!(
        KitChange::new("bend four", new.clone(), old.clone()).change,
        match wanted {
            VerdictChange::Worse => VerdictChange::Better,
            other => other,
        }
    );
    assert_eq!(KitChange::new("bend four", new.clone(), new.clone()).change, VerdictChange::None);
    let lost = Figures::not_studied("bend four", "no rope");
    assert_eq!(KitChange::new("bend four", new.clone(), lost.clone()).change, VerdictChange::Worse);
    assert_eq!(KitChange::new("bend four", lost, new).change, VerdictChange::Better);
}

#[test]
fn a_key_given_twice_is_refused_in_json_too() {
    let why = serde_json::from_str::<KeyTree>(r#"{ "title": "a", "title": "b" }"#).unwrap_err();
    assert!(why.to_string().contains("`title` is given twice"), "{why}");
}
