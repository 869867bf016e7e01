//! What to set the track rope to: against a fine grid of lengths, each judged here by the public states; against figures
//! of an independent code; and forth and back.

use core::ops::ControlFlow;
use rope_mechanics::motion::Motion;
use rope_mechanics::operation::schedule::{LimitKind, Outcome, Schedule};
use rope_mechanics::operation::site::{Site, TrackSetting};
use rope_mechanics::operation::study::{PartKind, Study};
use rope_mechanics::operation::{
    self, Asked, Model, Moved, Place, Situation, State, StateError, Travel, UnderRopes, Wanted,
};
use rope_mechanics::quantity::unit::{ampere, meter, newton};
use rope_mechanics::quantity::{ElectricCurrent, Force, Length};

const REFERENCE: &str = include_str!("../../../tests/sites/reference.toml");
const DEMO: &str = include_str!("../../../examples/preplan-report/demo.toml");

fn m(metres: f64) -> Length {
    Length::new::<meter>(metres)
}

fn n(newtons: f64) -> Force {
    Force::new::<newton>(newtons)
}

fn amperes(amperes: f64) -> ElectricCurrent {
    ElectricCurrent::new::<ampere>(amperes)
}

fn read(text: &str) -> Site {
    toml::from_str(text).unwrap()
}

fn solved(site: &Site) -> Study {
    let asked = Asked::PLAIN.with_schedule(true);
    let found = operation::solve_asked(site, &asked, |_, _| ControlFlow::<()>::Continue(()));
    found.unwrap().continue_value().unwrap()
}

fn schedule(study: &Study) -> &Schedule {
    study.schedule.as_ref().unwrap()
}

/// A site from what differs: ground, frame, far anchor, load, what sets and limits it.
fn invented(
    ground: &str,
    frame: &str,
    far: &str,
    load: &str,
    rope: &str,
    tension: &str,
    more: &str,
) -> String {
    format!(
        r#"
title = "Invented for a test"
ground = [{ground}]
far_anchor = {{ {far} }}
load = {{ {load} }}
capstan = {{ at = ["-6.4 m", "2.2 m", "0.7 m"], wraps = 4 }}
{more}
[frame]
x = "0 m"
{frame}
[track]
on_hand = "400 m"
knots = "1.5 m"
tails = "2.5 m"
wraps = "2.2 m"
redirect = ["-0.7 m", "1 m", "0.2 m"]
cell_anchor = ["-5.5 m", "-1.4 m", "0.4 m"]
rope = {{ {rope} }}
set = {{ unloaded_tension = "{tension}" }}
[haul]
rope = {{ class = "11 mm polyester" }}
tackle = "1:1"
winch = ["-7.5 m", "-1.6 m", "0.7 m"]
[winch.table]
points = [{{ pull = "0 N", current = "58 A" }}, {{ pull = "14 kN", current = "212 A" }}]
speed = "4.2 m/min"
rated_pull = "8 kN"
battery = {{ voltage = "12.8 V", resistance = "7 mohm", leads = "4 mohm", charge = "85 Ah" }}
"#
    )
}

const LEGS: &str =
    r#"feet = [["1.2 m", "1.2 m", "0 m"], ["1.2 m", "-1.2 m", "0 m"], ["-1.4 m", "0 m", "0 m"]]"#;
const GUYED: &str = r#"feet = [["-0.3 m", "1.1 m", "0 m"], ["-0.3 m", "-1.1 m", "0 m"]]
guys = [["-6.5 m", "2.5 m", "0.2 m"], ["-6.5 m", "-2.5 m", "0.2 m"]]"#;

/// Sites unlike each other: short and steep, long and flat, over a bulge, and with a rope that is too weak.
fn sites() -> Vec<(&'static str, String)> {
    let steep = invented(
        r#"["-9 m", "0.2 m"], ["1 m", "0 m"], ["6 m", "-9 m"], ["12 m", "-19 m"], ["20 m", "-30 m"], ["26 m", "-32 m"]"#,
        &format!("height = \"3 m\"\n{LEGS}"),
        r#"x = "20 m", height = "1 m""#,
        r#"patient = "85 kg", litter = "20 kg", carriage = "10 kg", hang = "1 m""#,
        r#"class = "12.5 mm nylon""#,
        "1 kN",
        "limits = { factor = 5 }\ntravel = { float_from = \"5 m\" }",
    );
    let flat = invented(
        r#"["-9 m", "0 m"], ["2 m", "0 m"], ["10 m", "-5.5 m"], ["40 m", "-13 m"], ["70 m", "-19 m"], ["100 m", "-22 m"], ["120 m", "-23 m"]"#,
        &format!("height = \"3.5 m\"\n{GUYED}"),
        r#"x = "105 m", height = "1.6 m""#,
        r#"patient = "75 kg", litter = "20 kg", carriage = "10 kg", hang = "0.8 m""#,
        r#"class = "12.5 mm polyester""#,
        "2.2 kN",
        "limits = { factor = 4, litter_height = \"3.5 m\", factors = { rope = 5 } }\ntravel = { float_from = \"25 m\" }",
    );
    let bulge = invented(
        r#"["-9 m", "0.3 m"], ["1.2 m", "0 m"], ["4 m", "-3.8 m"], ["16 m", "-11.2 m"], ["22 m", "-18 m"], ["33 m", "-27.5 m"], ["45 m", "-33 m"], ["58 m", "-36 m"]"#,
        &format!("height = \"2.8 m\"\n{LEGS}"),
        r#"x = "47 m", height = "1.1 m""#,
        r#"patient = "82 kg", litter = "19 kg", carriage = "12 kg", hang = "0.9 m""#,
        r#"class = "12.5 mm nylon""#,
        "1.6 kN",
        "limits = { factor = 5, litter_height = \"1.2 m\" }",
    );
    let weak = invented(
        r#"["-9 m", "0.3 m"], ["1.2 m", "0 m"], ["12 m", "-10.3 m"], ["27 m", "-20.6 m"], ["58 m", "-29.8 m"]"#,
        &format!("height = \"2.8 m\"\n{LEGS}"),
        r#"x = "47 m", height = "1.1 m""#,
        r#"patient = "90 kg", litter = "22 kg", attendants = "80 kg", carriage = "15 kg", hang = "0.9 m""#,
        r#"class = "11 mm nylon""#,
        "1.6 kN",
        "limits = { litter_height = \"2 m\" }",
    );
    vec![
        ("reference", REFERENCE.to_string()),
        ("demo", DEMO.to_string()),
        ("steep", steep),
        ("flat", flat),
        ("bulge", bulge),
        ("weak", weak),
    ]
}

/// What a length passes with the load at x, by the states themselves: every limit that the schedule says it keeps but the
/// current.
fn passes(study: &Study, model: &Model<'_>, strand: Length, x: Length) -> Vec<LimitKind> {
    let moved = match model.moved(strand, x, None) {
        Ok(moved) => moved,
        // It comes to the places that are judged.
        Err(StateError::RollsIn { .. }) => return Vec::new(),
        Err(_) => return vec![LimitKind::NoBalance],
    };
    let limits = &study.limits;
    let mut passes = Vec::new();
    let mut check = |kind, kept: bool| {
        if !kept {
            passes.push(kind);
        }
    };
    let heights: Vec<Length> = moved.ways().map(State::litter_height).collect();
    let floats_from = study.positions.iter().map(|p| p.carriage.x).filter(|x| *x <= floats_from(study));
    if floats_from.into_iter().any(|floats| floats >= x) {
        let least = heights.iter().copied().fold(m(f64::MAX), Length::min);
        check(LimitKind::LitterLow, least >= limits.least_litter_height && !moved.lies_down);
    }
    let most = heights.iter().copied().fold(m(0.0), Length::max);
    check(LimitKind::LitterHigh, most <= limits.litter_height);
    let ropes: Vec<_> = moved.ends().map(State::head_ropes).collect();
    let frame = model.frame_under(&ropes).unwrap();
    match &frame {
        UnderRopes::Falls(_) => check(LimitKind::FrameFalls, false),
        UnderRopes::Stands(worst) => {
            check(LimitKind::FrameMargin, worst.edge.is_none() || worst.margin >= limits.frame_margin);
        }
    }
    for part in &study.components {
        let Some(strength) = part.strength else { continue };
        let force = match (part.place, &frame) {
            (Place::Leg, UnderRopes::Stands(worst)) => worst.leg(),
            (Place::Guy, UnderRopes::Stands(worst)) => worst.guy(),
            (Place::Leg | Place::Guy, UnderRopes::Falls(_)) => continue,
            (place, _) => moved.ends().map(|state| state.forces().unwrap()[place]).fold(n(0.0), Force::max),
        };
        let factor = if part.kind == PartKind::Rope { limits.factors.rope } else { None };
        check(LimitKind::Factor, force * factor.unwrap_or(limits.factor) <= strength);
    }
    if let Some(limit) = limits.reading {
        let reading = moved.ends().map(|state| state.reading().unwrap().high).fold(n(0.0), Force::max);
        check(LimitKind::Reading, reading <= limit);
    }
    let clearance = moved.ends().map(State::track_clearance).fold(m(f64::MAX), Length::min);
    check(LimitKind::TrackOnGround, clearance >= m(-0.01));
    check(LimitKind::WinchPull, moved.hauling.haul_line().unwrap().unwrap().winch <= limits.winch_pull);
    check(LimitKind::RopeTooShort, strand <= study.summary.reach.longest_strand);
    passes
}

fn floats_from(study: &Study) -> Length {
    let site = study.title.contains("Invented for a test");
    // The key travel.float_from of each site.
    let from = match study.ground.len() {
        _ if !site && study.title.contains("seven") => 10.0,
        _ if !site => 8.0,
        6 => 5.0,
        7 => 25.0,
        _ => 10.0,
    };
    study.far.x - m(from)
}

#[test]
fn windows_hold_against_a_fine_grid_of_lengths() {
    // Within this of an end, which is found to 1 µm, a grid point says nothing.
    const END_M: f64 = 2e-6;
    for (name, text) in sites() {
        let site = read(&text);
        let (study, model) = (solved(&site), site.model().unwrap());
        let (mut inside, mut outside, mut windows) = (0, 0, 0);
        for place in schedule(&study).windows.iter().filter(|place| place.position.is_some()).step_by(3) {
            let x = study.positions[place.position.unwrap()].carriage.x;
            let ends: Vec<f64> =
                place.windows.iter().flat_map(|w| [w.shortest.value, w.longest.value]).collect();
            let (low, high) = match place.windows.as_slice() {
                [] => {
                    let strand = place.clash.as_ref().unwrap().strand.value;
                    (strand - 0.8, strand + 0.8)
                }
                [first, .., last] => (first.shortest.value - 0.3, last.longest.value + 0.3),
                [only] => (only.shortest.value - 0.3, only.longest.value + 0.3),
            };
            windows += place.windows.len();
            for i in 0..=60 {
                let strand = low + (high - low) * f64::from(i) / 60.0;
                if ends.iter().any(|end| (end - strand).abs() < END_M) {
                    continue;
                }
                let said =
                    place.windows.iter().any(|w| w.shortest.value <= strand && strand <= w.longest.value);
                let passes = passes(&study, &model, m(strand), x);
                assert_eq!(
                    said,
                    passes.is_empty(),
                    "{name}: x = {}, L = {strand}: {passes:?} {ends:?}",
                    x.value
                );
                if said {
                    inside += 1;
                } else {
                    outside += 1;
                }
            }
        }
        println!("{name}: {windows} windows, {inside} lengths inside and {outside} outside");
        assert!(outside > 50, "{name}");
        assert!(inside > 50 || name == "weak", "{name}: {inside}");
    }
}

#[test]
fn just_inside_an_end_every_limit_is_kept_and_just_outside_the_one_named_is_passed() {
    let site = read(REFERENCE);
    let (study, model) = (solved(&site), site.model().unwrap());
    let mut ends = 0;
    for place in schedule(&study).windows.iter().filter(|place| place.position.is_some()) {
        let x = study.positions[place.position.unwrap()].carriage.x;
        for window in &place.windows {
            for (end, out, passed) in [
                (window.shortest, -2e-6, window.shorter_passes),
                (window.longest, 2e-6, window.longer_passes),
            ] {
                if window.longest - window.shortest < m(1e-5) {
                    continue;
                }
                let inside = passes(&study, &model, end - m(out), x);
                assert!(inside.is_empty(), "x = {}: {window:?} {inside:?}", x.value);
                let Some(passed) = passed else { continue };
                assert!(passed.slack < 0.0);
                let found = passes(&study, &model, end + m(out), x);
                assert!(found.contains(&passed.limit.kind), "{:?} {found:?}", passed.limit.kind);
                ends += 1;
            }
        }
    }
    assert!(ends > 60, "{ends}");
}

#[test]
fn each_setting_keeps_every_limit_at_every_position_that_it_serves_and_no_plan_has_fewer() {
    for (name, text) in sites() {
        let site = read(&text);
        let (study, model) = (solved(&site), site.model().unwrap());
        let schedule = schedule(&study);
        let mut next = 0;
        for (k, setting) in schedule.settings.iter().enumerate() {
            let from = setting.from.unwrap_or(0);
            if schedule.no_length.is_empty() {
                assert_eq!(from, next, "{name}");
            }
            for position in (from..=setting.to).step_by(5).chain([setting.to]) {
                let x = study.positions[position].carriage.x;
                let found = passes(&study, &model, setting.target.strand, x);
                assert!(found.is_empty(), "{name}: setting {k} at {position}: {found:?}");
            }
            next = setting.to + 1;
        }
        if schedule.no_length.is_empty() && !schedule.settings.is_empty() {
            assert_eq!(next, study.positions.len(), "{name}");
        }
        let told = match schedule.outcome {
            Outcome::OneSetting => schedule.settings.len() == 1 && schedule.no_length.is_empty(),
            Outcome::Moves => schedule.settings.len() > 1 && schedule.no_length.is_empty(),
            Outcome::NoLength => !schedule.no_length.is_empty(),
            _ => schedule.settings.is_empty(),
        };
        assert!(told, "{name}: {:?}", schedule.outcome);
        println!("{name}: {:?}, {} settings", schedule.outcome, schedule.settings.len());
        // Where one won't do even if it is set exactly: at every length one of the places fails.
        if schedule.outcome == Outcome::Moves && schedule.fewest_if_exact > 1 {
            let all: Vec<_> = schedule.windows.iter().flat_map(|place| &place.windows).collect();
            let low = all.iter().map(|w| w.shortest.value).fold(f64::MAX, f64::min);
            let high = all.iter().map(|w| w.longest.value).fold(0.0, f64::max);
            for i in 0..=200 {
                let strand = m(low + (high - low) * f64::from(i) / 200.0);
                let fails =
                    |p: &usize| !passes(&study, &model, strand, study.positions[*p].carriage.x).is_empty();
                assert!(schedule.windows.iter().filter_map(|w| w.position).any(|p| fails(&p)));
            }
        }
    }
}

#[test]
fn a_demo_needs_one_setting_and_the_reference_site_a_change_near_the_head() {
    let demo = solved(&read(DEMO));
    assert_eq!((schedule(&demo).outcome, schedule(&demo).fewest_if_exact), (Outcome::OneSetting, 1));
    assert!(schedule(&demo).settings[0].can_be_set);
    let reference = solved(&read(REFERENCE));
    let [first, second] = schedule(&reference).settings.as_slice() else { panic!() };
    let change = second.change.unwrap();
    assert!(change.both_hold && change.take_in.value < 0.0 && change.stop == first.to);
    // 2·(L_locked,before − L_locked): both strands and the rope behind the head.
    let model_site = read(REFERENCE);
    let model = model_site.model().unwrap();
    let locked = |strand| 2.0 * model.locked_rope(strand).unwrap();
    let by_hand = locked(first.target.strand) - locked(second.target.strand);
    assert!((change.take_in - by_hand).value.abs() < 1e-9);
    assert_eq!(first.target.rope_in_line, locked(first.target.strand));
    // What ends the first setting: too high at a corner of the ground, too low where it starts to float.
    assert_eq!(first.shorter_passes.unwrap().passes.limit.kind, LimitKind::LitterHigh);
    assert_eq!(first.longer_passes.unwrap().passes.limit.kind, LimitKind::LitterLow);
    assert!(first.shortest <= first.target.strand && first.target.strand <= first.longest);
    // One would do if it could be set exactly: these two can be set with what a crew does.
    assert_eq!(schedule(&reference).fewest_if_exact, 1);
    assert!(first.can_be_set && second.can_be_set);
    assert!(first.readings[0] < first.target.empty.reading.taking_in);
    assert!(first.target.empty.reading.taking_in < first.readings[1]);
}

#[test]
fn where_no_length_will_do_the_two_limits_that_clash_are_named() {
    let site = read(&sites().pop().unwrap().1);
    let (study, model) = (solved(&site), site.model().unwrap());
    let schedule = schedule(&study);
    assert_eq!(schedule.outcome, Outcome::NoLength);
    let stretch = schedule.no_length.iter().find(|stretch| stretch.at.is_some()).unwrap();
    let x = study.positions[stretch.at.unwrap()].carriage.x;
    let clash = &stretch.clash;
    assert_eq!(
        (clash.shorter.limit.kind, clash.longer.limit.kind),
        (LimitKind::Factor, LimitKind::LitterLow)
    );
    // A little to either side each is passed, as it says.
    for (by, kind) in [(-0.05, LimitKind::Factor), (0.05, LimitKind::LitterLow)] {
        assert!(passes(&study, &model, clash.strand + m(by), x).contains(&kind));
    }
    assert!(stretch.text.contains("shorter") && stretch.text.contains("longer"), "{}", stretch.text);
    assert!(
        schedule
            .settings
            .iter()
            .all(|s| s.from.unwrap_or(0) > stretch.to.unwrap() || s.to < stretch.from.unwrap())
    );
}

/// Heights of 0.4 m on the reference site: an independent code's strand, mean strand tension at the head with and without
/// load, haul pull, and cell after taking in and easing, with a rope behind the head that doesn't stretch and the load
/// hauled. Printed to 1 µm and 1 mN.
#[test]
fn lengths_for_a_height_are_those_of_an_independent_code() {
    let mut site = read(REFERENCE);
    site.track.stiffness_behind = Some(Force::new::<rope_mechanics::quantity::unit::kilonewton>(1e9));
    let model = site.model().unwrap();
    let travel = Travel::new(m(59.0), m(3.0), 20);
    for (x, strand, loaded, empty, pull, taking_in, easing) in [
        (52.0, 72.920_251, 3139.556, 2886.108, 1256.667, 2732.28, 3597.55),
        (39.0, 73.118_019, 3159.460, 2743.301, 1368.190, 2749.60, 3620.36),
        (25.0, 73.164_115, 3126.433, 2710.129, 1478.164, 2720.86, 3582.51),
        (11.7, 73.331_397, 2873.774, 2590.108, 1577.632, 2500.97, 3293.00),
    ] {
        let wanted = Wanted::LoadedHeight { at: m(x), height: m(0.4) };
        let found = model.strand_for(wanted, &travel).unwrap();
        let state = model.state(&Situation::at_x(found, m(x), Motion::Hauling)).unwrap();
        let bare = model.state(&Situation::unloaded(found)).unwrap();
        let cell = |motion| state.track_tensions(motion).unwrap().unwrap().cell().high.value;
        println!(
            "{x}: {} {} {} {} {} {}",
            found.value - strand,
            state.strand_tension_head().value - loaded,
            bare.strand_tension_head().value - empty,
            state.pull().value - pull,
            cell(Motion::Hauling) / taking_in - 1.0,
            cell(Motion::Lowering) / easing - 1.0
        );
        assert!((found.value - strand).abs() < 1e-6);
        assert!((state.strand_tension_head().value - loaded).abs() < 1e-3);
        assert!((bare.strand_tension_head().value - empty).abs() < 1e-3);
        assert!((state.pull().value - pull).abs() < 1e-3);
        // That code turns the rope at the head by the chord's direction, this one by the loaded strands': 3 to 6 % on the
        // sheave, below 0.5 % on the cell.
        assert!((cell(Motion::Hauling) / taking_in - 1.0).abs() < 5e-3);
        assert!((cell(Motion::Lowering) / easing - 1.0).abs() < 5e-3);
    }
}

#[test]
fn whatever_a_set_point_shows_gives_its_strand_again() {
    for text in [REFERENCE, DEMO] {
        let site = read(text);
        let (study, model) = (solved(&site), site.model().unwrap());
        let schedule = schedule(&study);
        let travel = Travel::new(m(40.0), m(3.0), 20);
        for point in schedule.settings.iter().map(|s| &s.target).chain(&schedule.set_point) {
            let reading = point.empty.reading;
            let mut ways = vec![
                Wanted::UnloadedTension(point.empty.strand_tension_head),
                Wanted::UnloadedReading { reading: reading.taking_in, turned: Motion::Hauling },
                Wanted::UnloadedReading { reading: reading.easing, turned: Motion::Lowering },
                Wanted::UnloadedReading { reading: reading.at_rest.expected, turned: Motion::AtRest },
                Wanted::Strand(point.strand),
            ];
            for line in &point.loaded {
                let at = study.positions[line.position].carriage.x;
                if line.litter_height.value > 0.0 {
                    let [taking_in, easing] = [line.reading.taking_in, line.reading.easing];
                    ways.push(Wanted::LoadedReading { at, reading: taking_in, turned: Motion::Hauling });
                    ways.push(Wanted::LoadedReading { at, reading: easing, turned: Motion::Lowering });
                    ways.push(Wanted::LoadedHeight { at, height: line.litter_height });
                }
            }
            for wanted in ways {
                let strand = model.strand_for(wanted, &travel).unwrap();
                // A reading is met to 1e-9 of it: of some 3 kN on some 1.4 kN/m both strands.
                assert!((strand - point.strand).value.abs() < 1e-6, "{wanted:?}");
            }
            // The sag of the drawn shape is the exact one to the square of a step of 1/60 of the line.
            let by_sag = model.strand_for(Wanted::UnloadedSag(point.empty.sag), &travel).unwrap();
            assert!((by_sag - point.strand).value.abs() < 2e-2);
            // After easing the cell reads higher than after taking in, and at rest in between.
            assert!(
                reading.taking_in < reading.at_rest.expected && reading.at_rest.expected < reading.easing
            );
        }
    }
}

/// Strands from taut to so slack that the litter lies on the ground, and the carriage nearly.
#[test]
fn a_reading_with_the_load_on_gives_its_strand_again_where_the_litter_drags_too() {
    let (mut asked, mut dragged) = (0, 0);
    for text in [REFERENCE, DEMO] {
        let site = read(text);
        let model = site.model().unwrap();
        let travel = Travel::new(m(40.0), m(3.0), 20);
        let usual = solved(&site).unloaded.strand_length;
        for x in [9.0, 12.0, 20.0, 30.0, 40.0] {
            for longer in [0.995, 0.998, 1.0, 1.002, 1.005, 1.01, 1.02, 1.03] {
                let known = longer * usual;
                let Ok(state) = model.state(&Situation::at_x(known, m(x), Motion::Hauling)) else { continue };
                for turned in [Motion::Hauling, Motion::Lowering] {
                    let reading = state.track_tensions(turned).unwrap().unwrap().cell().high;
                    let wanted = Wanted::LoadedReading { at: m(x), reading, turned };
                    let strand = model.strand_for(wanted, &travel).unwrap_or_else(|why| {
                        panic!("{x} m, {longer}: {why}");
                    });
                    // A reading is met to 1e-9 of it, and changes by more than a tenth of its share where the rope's does.
                    assert!((strand - known).value.abs() < 1e-6, "{x} m, {longer}: {strand:?} by {known:?}");
                    asked += 1;
                    dragged += i32::from(state.drag().value > 0.0);
                }
            }
        }
    }
    assert!(asked > 100 && dragged > 30, "{asked}, {dragged} of them dragged");
}

/// Known strands drawn at random on sites unlike each other: each reading has a strand, so none may be refused, and the one
/// found must show that reading.
#[test]
fn no_reading_that_some_strand_shows_is_refused_on_any_site() {
    let mut state = 12_u64;
    let mut draw = || {
        // Knuth's multiplier; the upper bits.
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 11) as f64 / (1_u64 << 53) as f64
    };
    let (mut asked, mut dragged) = (0, 0);
    for (name, text) in sites() {
        let site = read(&text);
        let (study, model) = (solved(&site), site.model().unwrap());
        let usual = study.unloaded.strand_length;
        let (far, head) = (study.positions[0].carriage.x, study.positions.last().unwrap().carriage.x);
        let travel = Travel::new(far, head, 10);
        for _ in 0..40 {
            let (x, known) = (head + (far - head) * draw(), usual * (0.994 + 0.03 * draw()));
            let Ok(on_known) = model.state(&Situation::at_x(known, x, Motion::Hauling)) else { continue };
            let turned = if draw() < 0.5 { Motion::Hauling } else { Motion::Lowering };
            let shown = |state: &State<'_, '_>| state.track_tensions(turned).unwrap().unwrap().cell().high;
            let reading = shown(&on_known);
            let strand = model
                .strand_for(Wanted::LoadedReading { at: x, reading, turned }, &travel)
                .unwrap_or_else(|why| panic!("{name}: {x:?}, {known:?}: {why}"));
            let again = shown(&model.state(&Situation::at_x(strand, x, Motion::Hauling)).unwrap());
            assert!((again.value / reading.value - 1.0).abs() < 2e-9, "{name}: {x:?}, {known:?}: {again:?}");
            asked += 1;
            dragged += i32::from(on_known.drag().value > 0.0);
        }
    }
    println!("{asked}, {dragged} of them dragged");
    assert!(asked > 150 && dragged > 20, "{asked}, {dragged} of them dragged");
}

#[test]
fn the_site_file_says_which_procedure_sets_the_rope() {
    let site = read(REFERENCE);
    let base = solved(&site);
    let point = schedule(&base).settings[0].target.clone();
    let strand = |set: &str| {
        let from = "set = { greatest_reading = \"3.2 kN\" }";
        assert!(REFERENCE.contains(from));
        let site = read(&REFERENCE.replace(from, &format!("set = {{ {set} }}")));
        // Written and read again it is the same.
        let again: Site = serde_json::from_str(&serde_json::to_string(&site).unwrap()).unwrap();
        assert_eq!(again.track.set, site.track.set);
        let found = operation::solve_asked(&site, &Asked::PLAIN, |_, _| ControlFlow::<()>::Continue(()));
        found.unwrap().continue_value().unwrap().unloaded.strand_length
    };
    let (empty, line) = (&point.empty, point.loaded.last().unwrap());
    let at = base.positions[line.position].carriage.x.value;
    for set in [
        format!("reading = \"{} N\"", empty.reading.taking_in.value),
        format!("eased_reading = \"{} N\"", empty.reading.easing.value),
        format!("strand = \"{} m\"", point.strand.value),
        format!("reading = \"{} N\", loaded_at = \"{at} m\"", line.reading.taking_in.value),
    ] {
        let found = strand(&set);
        assert!((found - point.strand).value.abs() < 1e-6, "{set}: {}", found.value);
    }
    let sagging = strand(&format!("sag = \"{} m\"", empty.sag.value));
    assert!((sagging - point.strand).value.abs() < 2e-2);
    for wrong in
        ["sag = \"1 m\", loaded_at = \"20 m\"", "loaded_at = \"20 m\"", "sag = \"1 m\", reading = \"1 kN\""]
    {
        let text = REFERENCE.replace("greatest_reading = \"3.2 kN\"", wrong);
        assert!(toml::from_str::<Site>(&text).is_err(), "{wrong}");
    }
    for (set, key) in [
        ("reading = \"0 N\"", "track.set.reading"),
        ("sag = \"0 m\"", "track.set.sag"),
        ("strand = \"-1 m\"", "track.set.strand"),
        ("strand = \"700 m\"", "track.set.strand"),
    ] {
        let site = read(&REFERENCE.replace("greatest_reading = \"3.2 kN\"", set));
        assert_eq!(operation::solve(&site).unwrap_err().key, key, "{set}");
    }
}

#[test]
fn marks_come_in_at_their_spacing_and_lie_where_the_rope_says() {
    let mut site = read(DEMO);
    site.haul.marks = Some(m(4.0));
    let (study, model) = (solved(&site), site.model().unwrap());
    let schedule = schedule(&study);
    assert!(schedule.marks_given && schedule.mark_spacing == m(4.0));
    let start = study.positions[0].haul_length;
    let hauled = start - study.positions.last().unwrap().haul_length;
    assert_eq!(schedule.marks.len(), (hauled.value / 4.0).floor() as usize);
    // The demo's edge: the corner at which its road ends.
    assert_eq!((schedule.edge.x.value, schedule.edge.z.value), (1.2, 0.0));
    let mut last = None;
    for (i, mark) in schedule.marks.iter().enumerate() {
        assert_eq!(mark.mark as usize, i + 1);
        assert!((mark.rope_taken_in.value - 4.0 * (i + 1) as f64).abs() < 1e-9);
        // A 2:1 takes in twice as much.
        assert!((mark.winch_rope - 2.0 * mark.rope_taken_in).value.abs() < 1e-9);
        // The rope from the head to the carriage is what is left of it.
        let left = (mark.carriage.x - study.head.x).value.hypot((mark.carriage.z - study.head.z).value);
        assert!((left - (start - mark.rope_taken_in).value).abs() < 1e-8);
        // By Pythagoras on the ground of the profile.
        let under =
            study.ground.windows(2).find(|p| p[0].x <= mark.carriage.x && mark.carriage.x <= p[1].x).unwrap();
        let share = ((mark.carriage.x - under[0].x) / (under[1].x - under[0].x)).value;
        let z = under[0].z.value + share * (under[1].z - under[0].z).value;
        assert!((mark.slope_distance.value - (mark.carriage.x.value - 1.2).hypot(z)).abs() < 1e-9);
        let state = model
            .state(&Situation::at_x(study.unloaded.strand_length, mark.carriage.x, Motion::Hauling))
            .unwrap();
        assert!((state.litter_height() - mark.litter_height).value.abs() < 1e-7);
        let winch = state.haul_line().unwrap().unwrap().winch;
        assert!((winch - mark.winch_pull.expected).value.abs() < 1e-5);
        assert!(
            mark.winch_pull.low < mark.winch_pull.expected && mark.winch_pull.expected < mark.winch_pull.high
        );
        let current = mark.current.unwrap();
        assert!(current.low < current.expected && current.expected < current.high);
        assert!(last.is_none_or(|last| mark.carriage.x < last));
        last = Some(mark.carriage.x);
    }
    // Stop at the limit, or at all that friction explains at the positions beside, whichever is less.
    for limit in [None, Some(n(1900.0)), Some(n(1e5))] {
        let mut site = site.clone();
        site.limits.reading = limit;
        site.limits.current = limit.map(|_| amperes(40.0));
        let study = solved(&site);
        let mut by_limit = 0;
        // With no set-point there are no marks.
        for mark in &self::schedule(&study).marks {
            let after = study.positions.iter().position(|p| p.carriage.x <= mark.carriage.x).unwrap();
            let beside = [&study.positions[after - 1], &study.positions[after]];
            let friction = beside.iter().map(|p| p.greatest_reading()).fold(mark.reading.high, Force::max);
            let stop = limit.map_or(friction, |limit| limit.min(friction));
            assert_eq!(mark.stop_above_reading, stop);
            let current = mark.current.unwrap();
            let stop = limit.map_or(current.high, |_| current.high.min(amperes(40.0)));
            assert_eq!(mark.stop_above_current, Some(stop));
            by_limit += i32::from(limit == Some(mark.stop_above_reading));
        }
        assert!(limit.is_none() || by_limit == 0 || limit == Some(n(1900.0)));
    }
    for (seen, p) in schedule.seen.iter().zip(&study.positions) {
        assert!((seen.rope_taken_in - (start - p.haul_length)).value.abs() < 1e-9);
        assert!((seen.marks - seen.rope_taken_in.value / 4.0).abs() < 1e-9);
    }
    assert_eq!(schedule.seen.len(), study.positions.len());
    assert!(schedule.meanings.iter().all(|meaning| !meaning.text.is_empty()));
}

#[test]
fn with_a_no_go_there_is_no_set_point() {
    let mut site = read(DEMO);
    assert!(schedule(&solved(&site)).set_point.is_some());
    // Too high for what it is set to, which another length mends.
    site.limits.litter_height = Some(m(1.5));
    let study = solved(&site);
    let high = schedule(&study);
    assert!(high.set_point.is_none() && high.marks.is_empty());
    // Too little rope, which none does.
    site.track.on_hand = m(100.0);
    let study = solved(&site);
    let short = schedule(&study);
    assert_eq!(short.outcome, Outcome::NoGo);
    assert!(short.set_point.is_none() && short.settings.is_empty() && short.marks.is_empty());
}

#[test]
fn a_cell_of_the_map_is_free_where_its_strand_lies_in_a_window() {
    for text in [REFERENCE, DEMO] {
        let site = read(text);
        let (study, model) = (solved(&site), site.model().unwrap());
        let map = &schedule(&study).map;
        assert!(map.readings.windows(2).all(|pair| pair[0] < pair[1]));
        let (mut free, mut forbidden) = (0, 0);
        for (row, strand) in map.passes.iter().zip(&map.strands) {
            assert_eq!(row.len(), map.positions.len());
            for (cell, position) in row.iter().zip(&map.positions) {
                let found = passes(&study, &model, *strand, study.positions[*position].carriage.x);
                match cell {
                    None => {
                        assert!(found.is_empty(), "{found:?}");
                        free += 1;
                    }
                    Some(limit) => {
                        let none = limit.kind == LimitKind::CarriageOnGround;
                        assert!(found.contains(&if none { LimitKind::NoBalance } else { limit.kind }));
                        forbidden += 1;
                    }
                }
            }
        }
        assert!(free > 20 && forbidden > 20, "{free} {forbidden}");
    }
}

#[test]
fn ten_minutes_take_from_a_set_rope_what_the_site_says() {
    let mut site = read(DEMO);
    let point = schedule(&solved(&site)).set_point.clone().unwrap();
    let empty = point.empty;
    assert!((empty.reading_after_minutes.low / empty.reading.taking_in).value - 0.85 < 1e-12);
    assert!((0.85 - (empty.reading_after_minutes.low / empty.reading.taking_in).value) < 1e-12);
    assert_eq!(empty.reading_after_minutes.high, empty.reading.taking_in);
    // The relaxed rope pulls as a longer one does.
    let model = site.model().unwrap();
    let relaxed = model.state(&Situation::unloaded(point.relaxed_strand)).unwrap();
    assert!(((relaxed.strand_tension_head() / empty.strand_tension_head).value - 0.85).abs() < 1e-9);
    site.doubt = Some(toml::from_str("relaxation = \"0 % to 4 %\"").unwrap());
    let asked = Asked::PLAIN.with_schedule(true);
    let found = operation::solve_asked(&site, &asked, |_, _| ControlFlow::<()>::Continue(()));
    let study = found.unwrap().continue_value().unwrap();
    let after = schedule(&study).set_point.clone().unwrap().empty;
    // The band holds nine cases in ten: a twentieth short of each end.
    let kept = (after.reading_after_minutes.low / after.reading.taking_in).value;
    assert!((kept - (1.0 - 0.95 * 0.04)).abs() < 1e-9, "{kept}");
}

#[test]
fn in_doubt_every_limit_is_kept_at_its_bad_side() {
    let mut site = read(DEMO);
    site.travel.positions = Some(30);
    let sure = solved(&site);
    site.doubt = Some(toml::from_str("samples = 64\nparts = 6").unwrap());
    let asked = Asked::PLAIN.with_schedule(true).with_doubt(true);
    let found = operation::solve_asked(&site, &asked, |_, _| ControlFlow::<()>::Continue(()));
    let study = found.unwrap().continue_value().unwrap();
    let (doubt, model) = (study.doubt.as_ref().unwrap(), site.model().unwrap());
    let schedule = schedule(&study);
    assert!(schedule.in_doubt && !self::schedule(&sure).in_doubt);
    let mut seen = Vec::new();
    for place in &schedule.windows {
        let twin = self::schedule(&sure).windows.iter().find(|twin| twin.position == place.position);
        // What holds at the bad side holds without doubt.
        for (window, twin) in place.windows.iter().flat_map(|w| twin.map(|twin| (w, twin))) {
            let inside = |w: &operation::schedule::Window| {
                w.shortest <= window.shortest + m(2e-6) && window.longest <= w.longest + m(2e-6)
            };
            assert!(twin.windows.iter().any(inside), "{:?}", place.position);
        }
        let Some(bands) = doubt.positions.iter().find(|of| Some(of.position) == place.position) else {
            continue;
        };
        let x = study.positions[bands.position].carriage.x;
        let band = |output: &str| bands.bands.iter().find(|band| band.output == output).unwrap();
        for window in &place.windows {
            let ends = [(window.shortest, window.shorter_passes), (window.longest, window.longer_passes)];
            for (strand, kept) in ends.into_iter().filter_map(|(strand, kept)| Some((strand, kept?))) {
                let moved = model.moved(strand, x, None).unwrap();
                let heights: Vec<f64> = moved.ways().map(|state| state.litter_height().value).collect();
                let by_hand = match kept.limit.kind {
                    // One case in twenty hangs higher by so much,
                    LimitKind::LitterHigh => {
                        let band = band("greatest_litter_height");
                        heights.iter().copied().fold(0.0, f64::max) + band.high.unwrap()
                            - band.nominal.unwrap()
                    }
                    // or lower.
                    LimitKind::LitterLow => {
                        let band = band("litter_height");
                        heights.iter().copied().fold(f64::MAX, f64::min) + band.low.unwrap()
                            - band.nominal.unwrap()
                    }
                    _ => continue,
                };
                // The end is found to 1 µm; the height moves some twenty times as much.
                assert!((kept.value.unwrap() - by_hand).abs() < 1e-4, "{kept:?} {by_hand}");
                assert!((by_hand - kept.allowed.unwrap()).abs() < 1e-4, "{kept:?} {by_hand}");
                seen.push(kept.limit.kind);
            }
        }
    }
    assert!(seen.contains(&LimitKind::LitterLow), "{seen:?}");
}

#[test]
fn capstan_tail_and_kinds_of_parts_have_limits_of_their_own() {
    let mut site = read(DEMO);
    let kinds = |site: &Site| {
        let study = solved(site);
        let all = &schedule(&study).windows;
        let ends = all.iter().flat_map(|place| &place.windows).filter_map(|w| w.shorter_passes);
        ends.map(|kept| kept.limit.kind).collect::<Vec<_>>()
    };
    assert!(!kinds(&site).contains(&LimitKind::CapstanPull));
    site.capstan.rated_pull = Some(n(2400.0));
    assert!(kinds(&site).contains(&LimitKind::CapstanPull));
    site.capstan.rated_pull = None;
    // T_tail = T·e^(−μθ): four turns at 0.12.
    let exponent = (-0.12 * 4.0 * core::f64::consts::TAU).exp();
    site.limits.tail = Some(n(2400.0 * exponent));
    assert!(kinds(&site).contains(&LimitKind::CapstanTail));
    site.limits.tail = None;
    site.limits.factors = toml::from_str("rope = 12").unwrap();
    assert!(kinds(&site).contains(&LimitKind::Factor));
    let wrong: Site = read(&DEMO.replace("[limits]", "[limits]\nfactors = { sheave = 0.5 }"));
    assert_eq!(operation::solve(&wrong).unwrap_err().key, "limits.factors.sheave");
    assert!(matches!(site.track.set, TrackSetting::GreatestReading(_)));
}

/// A move of the load is the same whichever way it is asked for.
#[test]
fn the_states_of_a_setting_are_those_of_the_model() {
    let site = read(REFERENCE);
    let (study, model) = (solved(&site), site.model().unwrap());
    for setting in &schedule(&study).settings {
        for line in &setting.target.loaded {
            let x = study.positions[line.position].carriage.x;
            let moved: Moved<'_, '_> = model.moved(setting.target.strand, x, None).unwrap();
            assert!((moved.hauling.strand_tension_head() - line.strand_tension_head).value.abs() < 1e-6);
            assert!((moved.hauling.pull() - line.haul_pull).value.abs() < 1e-6);
            let least = moved.ways().map(State::litter_height).fold(m(f64::MAX), Length::min);
            assert!((least - line.least_litter_height).value.abs() < 1e-8);
        }
    }
}
