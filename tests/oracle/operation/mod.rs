//! The operation against a second world: the simulation beside this file, which shares no formula with it.

mod changeover;
mod failures;

use rope_mechanics::arrest::{FallInTime, FallingRope, STIFFER_IN_A_FALL};
use rope_mechanics::geometry::{Point2, Point3, Profile};
use rope_mechanics::history::{LockedTrack, TrackProcedure};
use rope_mechanics::motion::Motion;
use rope_mechanics::operation::site::{Site, TrackSetting};
use rope_mechanics::operation::study::Study;
use rope_mechanics::operation::{self, Asked};
use rope_mechanics::quantity::unit::{gram_per_meter, kilogram, meter, newton, ratio, second};
use rope_mechanics::quantity::{Force, Length, LineMass, Mass, Ratio, Time, line_weight_of, weight_of};
use rope_mechanics::reeving::{DoubledTrackPlaces, DoubledTrackTurns};
use rope_mechanics::rope::Stretch;
use rope_mechanics::sheave::Turn;
use serde::Deserialize;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::convert::Infallible;
use std::ops::ControlFlow;

/// A rig of `rigs.json`, as far as the operation knows it.
#[derive(Debug, Deserialize)]
struct Rig {
    head: [f64; 2],
    base: f64,
    far: [f64; 2],
    ground: Vec<[f64; 2]>,
    feet: Vec<[f64; 3]>,
    guys: Vec<[f64; 3]>,
    track: TrackRope,
    load: Load,
    haul: HaulRope,
    belay: BelayRope,
    capstan: Capstan,
    set: Set,
    travel: Travel,
}

#[derive(Debug, Deserialize)]
struct TrackRope {
    ea: f64,
    mass: f64,
    capstan: [f64; 3],
    redirect: [f64; 3],
    cell: [f64; 3],
    half_turn: f64,
}

#[derive(Debug, Deserialize)]
struct Load {
    litter: f64,
    carriage: f64,
    hang: f64,
    ground_friction: f64,
    wheel_friction: f64,
}

#[derive(Debug, Deserialize)]
struct HaulRope {
    ea: f64,
    mass: f64,
    redirect: [f64; 3],
    winch: [f64; 3],
}

#[derive(Debug, Deserialize)]
struct BelayRope {
    ea: f64,
    mass: f64,
    device: [f64; 3],
    slack: f64,
}

#[derive(Debug, Deserialize)]
struct Capstan {
    wraps: f64,
}

#[derive(Debug, Deserialize)]
struct Set {
    unloaded_tension: f64,
}

#[derive(Debug, Deserialize)]
struct Travel {
    start: f64,
    end: f64,
}

/// What the simulation found of a rig.
#[derive(Debug, Deserialize)]
struct Found {
    plain: Plain,
    wheels: Plain,
    history: History,
    light: Light,
    failures: Vec<Failure>,
}

/// Equal tensions everywhere but for the wheels: what the study calls the mean.
#[derive(Debug, Deserialize)]
struct Plain {
    /// And its error.
    strand_length: [f64; 2],
    /// x, tension of a strand at the head, z of the carriage, pull of the haul rope; then the errors of the last three.
    rows: Vec<[f64; 7]>,
}

/// The same history with a haul rope without weight.
#[derive(Debug, Deserialize)]
struct Light {
    /// x, cell, strand out and back at the head, pull.
    rows: Vec<[f64; 5]>,
}

/// Tensioned until the cell shows what was asked for, locked, loaded, hauled in and let out again.
#[derive(Debug, Deserialize)]
struct History {
    unloaded: BTreeMap<String, f64>,
    /// What each number of a row is.
    keys: Vec<String>,
    inward: Vec<Vec<f64>>,
    outward: Vec<Vec<f64>>,
}

/// A part lost at a place.
#[derive(Debug, Deserialize)]
struct Failure {
    case: String,
    x: f64,
    /// Of the litter, before.
    height: f64,
    drop: f64,
    /// Of a jam, by metre of rope taken in, in kN.
    rate: Option<f64>,
    landing: Option<Landing>,
    peaks: BTreeMap<String, f64>,
}

#[derive(Debug, Deserialize)]
struct Landing {
    drop: f64,
    speed: f64,
    normal: f64,
}

fn rigs() -> BTreeMap<String, Rig> {
    serde_json::from_str(include_str!("rigs.json")).unwrap()
}

fn found() -> BTreeMap<String, Found> {
    serde_json::from_str(include_str!("found.json")).unwrap()
}

fn m(value: f64) -> String {
    format!("{value} m")
}

fn place(at: [f64; 3]) -> [String; 3] {
    at.map(m)
}

fn rope(ea_n: f64, mass_kg_per_m: f64) -> Value {
    json!({ "stiffness": format!("{ea_n} N"), "mass": format!("{} g/m", 1e3 * mass_kg_per_m), "strength": "40 kN" })
}

/// The site file of a rig, with as much friction on the wheels as asked for. The simulation without history has rope
/// behind its head that is a hundred thousand times as stiff as the rest.
fn site(rig: &Rig, wheel_friction: f64) -> Site {
    let behind = format!("{} N", 1e5 * rig.track.ea);
    let under_far = rig.ground.windows(2).find(|w| w[0][0] <= rig.far[0] && rig.far[0] <= w[1][0]).unwrap();
    let share = (rig.far[0] - under_far[0][0]) / (under_far[1][0] - under_far[0][0]);
    let ground_far = under_far[0][1] + share * (under_far[1][1] - under_far[0][1]);
    let half_turn = format!("{} %", 100.0 * rig.track.half_turn);
    let site = json!({
        "title": "an invented rig of the simulation",
        "ground": rig.ground.iter().map(|p| p.map(m)).collect::<Vec<_>>(),
        "frame": {
            "x": m(rig.head[0]),
            "height": m(rig.head[1] - rig.base),
            "feet": rig.feet.iter().map(|p| place(*p)).collect::<Vec<_>>(),
            "guys": rig.guys.iter().map(|p| place(*p)).collect::<Vec<_>>(),
        },
        "far_anchor": { "x": m(rig.far[0]), "height": m(rig.far[1] - ground_far), "efficiency": half_turn },
        "track": {
            "rope": rope(rig.track.ea, rig.track.mass),
            "on_hand": "600 m", "knots": "2 m", "tails": "2 m", "wraps": "3 m",
            "redirect": place(rig.track.redirect),
            "redirect_efficiency": half_turn,
            "head_efficiency": half_turn,
            "stiffness_behind": behind,
            "cell_anchor": place(rig.track.cell),
            "set": { "unloaded_tension": format!("{} N", rig.set.unloaded_tension) },
        },
        "load": {
            "patient": format!("{} kg", rig.load.litter - 20.0), "litter": "20 kg",
            "carriage": format!("{} kg", rig.load.carriage),
            "hang": m(rig.load.hang),
            "ground_friction": format!("{} %", 100.0 * rig.load.ground_friction),
            "wheel_friction": format!("{} %", 100.0 * wheel_friction),
        },
        "haul": {
            "rope": rope(rig.haul.ea, rig.haul.mass),
            "tackle": "1:1",
            "redirects": [{ "at": place(rig.haul.redirect) }],
            "winch": place(rig.haul.winch),
        },
        "belay": {
            "device": place(rig.belay.device), "slack": m(rig.belay.slack),
            "rope": rope(rig.belay.ea, rig.belay.mass),
        },
        "capstan": { "at": place(rig.track.capstan), "wraps": rig.capstan.wraps },
        "winch": {
            "table": {
                "points": [{ "pull": "0 N", "current": "60 A" }, { "pull": "20 kN", "current": "300 A" }],
                "speed": "6 m/min", "rated_pull": "20 kN",
                "battery": { "voltage": "25.6 V", "resistance": "8 mohm", "leads": "3 mohm", "charge": "100 Ah" },
            },
        },
        "travel": { "start": m(rig.travel.start), "end": m(rig.travel.end), "positions": PLACES },
    });
    serde_json::from_value(site).unwrap()
}

/// Places of the load in the simulation, evenly spaced over the travel.
const PLACES: u32 = 121;

/// How far what a study and the simulation say of the same rig are apart, by the error that the simulation states.
///
/// Its chains are cut into 80 pieces; its error is a third of the change from 40 pieces, and falls with the square of
/// their number, which leaves a fortieth of it unaccounted for. It prints eleven digits.
fn worst(name: &str, study: &Study, plain: &Plain) -> (usize, f64) {
    let mut worst = 0.0_f64;
    let mut compare = |what: &str, x: f64, ours: f64, theirs: f64, error: f64, floor: f64| {
        let by = (ours - theirs).abs() / (1.1 * error + floor);
        assert!(by <= 1.0, "{name}, {what} at x = {x}: {ours}, the simulation {theirs} ± {error}");
        worst = worst.max((ours - theirs).abs() / error.max(floor));
    };
    let [length, error] = plain.strand_length;
    compare("strand length", 0.0, study.unloaded.strand_length.value, length, error, 1e-6);
    let mut compared = 0;
    for &[x, mean, z, pull, mean_error, z_error, pull_error] in &plain.rows {
        let Some(ours) = study.positions.iter().find(|p| (p.carriage.x.value - x).abs() < 1e-6) else {
            panic!("{name}: the study has no position at x = {x}")
        };
        // The places where the litter just touches the ground are the study's, not the simulation's.
        assert!(ours.drag.value == 0.0 && ours.ground_share.value == 0.0, "{name}: on the ground at x = {x}");
        compare("strand tension", x, ours.strand_tension_head.value, mean, mean_error, 1e-3);
        compare("height of the carriage", x, ours.carriage.z.value, z, z_error, 1e-5);
        compare("pull", x, ours.haul_pull.value, pull, pull_error, 1e-3);
        compared += 1;
    }
    (compared, worst)
}

/// The study of a rig set by its cell: without load both strands have the mean of those of the simulation.
fn study_set_by_the_cell(rig: &Rig, unloaded: &BTreeMap<String, f64>) -> Study {
    let mut site = site(rig, rig.load.wheel_friction);
    site.track.stiffness_behind = None;
    let mean = 0.5 * (unloaded["out"] + unloaded["ret"]);
    site.track.set = TrackSetting::UnloadedTension(Force::new::<newton>(mean).into());
    study_of(&site)
}

/// The study with what is compared here: positions and expected readings.
fn study_of(site: &Site) -> Study {
    let asked = Asked::PLAIN.with_expected_readings(true);
    match operation::solve_asked(site, &asked, |_, _| ControlFlow::<Infallible>::Continue(())).unwrap() {
        ControlFlow::Continue(study) => study,
        ControlFlow::Break(never) => match never {},
    }
}

#[test]
fn without_friction_and_hauling_with_that_of_the_wheels_the_study_says_what_a_chain_of_masses_says() {
    let found = found();
    for (name, rig) in rigs() {
        let found = &found[&name];
        for (what, friction, plain) in
            [("plain", 0.0, &found.plain), ("wheels", rig.load.wheel_friction, &found.wheels)]
        {
            let study = study_of(&site(&rig, friction));
            let (compared, by) = worst(&name, &study, plain);
            println!("{name}, {what}: {compared} places within {by:.2} of the simulation's own error");
            // Over the soft rope's ground the litter lies at most places: seven are left.
            assert!(compared >= 7, "{name}: {compared} places only");
        }
    }
}

/// What the vectors must be to be held against anything: whole, and in agreement with what they were made of.
#[test]
fn the_vectors_are_whole() {
    let (rigs, found) = (rigs(), found());
    assert!(rigs.len() >= 6 && rigs.keys().eq(found.keys()));
    for (name, found) in &found {
        let rig = &rigs[name];
        let history = &found.history;
        let column = |key: &str| history.keys.iter().position(|k| k == key).unwrap();
        let (x, cell, out, back) = (column("x"), column("cell"), column("out"), column("ret"));
        // Set by the cell.
        assert!((history.unloaded["cell"] / rig.set.unloaded_tension - 1.0).abs() < 1e-5, "{name}");
        assert!(history.inward.len() >= 20 && history.outward.len() >= 20, "{name}");
        // The whole travel, there and back.
        let ends = [rig.far[0] - rig.travel.start, rig.head[0] + rig.travel.end];
        for (way, from) in [(&history.inward, ends[0]), (&history.outward, ends[1])] {
            assert!((way[0][x] - from).abs() < 1e-4 * from.abs().max(1.0), "{name}: begins at {}", way[0][x]);
        }
        for row in history.inward.iter().chain(&history.outward) {
            // No turn passes more than a rope at rest can have on its two sides: cell by far strand.
            let lowest = rig.track.half_turn * row[back] * (1.0 - 1e-4);
            assert!(
                row[cell] >= lowest && row[cell] <= row[back] / rig.track.half_turn * (1.0 + 1e-4),
                "{name}"
            );
            assert!(row[back] >= rig.track.half_turn.powi(2) * row[out], "{name}");
        }
        // Six failures at five places each; nothing lands faster than it can fall, nor harder than fast.
        assert_eq!(found.failures.len(), 30, "{name}");
        for failure in &found.failures {
            assert!(failure.x <= ends[0] + 1e-3 && failure.x >= ends[1] - 1e-3);
            assert!(!failure.peaks.is_empty());
            if let Some(landing) = &failure.landing {
                assert!(landing.normal <= landing.speed * (1.0 + 1e-4), "{name} {}", failure.case);
                if failure.case == "track" {
                    let free = (2.0 * 9.806_65 * failure.drop).sqrt();
                    // The sling and the ropes do no work on the whole that isn't in the drop, but the stretch of the
                    // haul rope gives back up to its own energy.
                    assert!(landing.speed <= 1.2 * free, "{name}: {} by {free}", landing.speed);
                }
            }
        }
    }
}

/// The turns of a rig, by their efficiency over half a turn.
fn locked(rig: &Rig) -> LockedTrack {
    let at = |[x, y, z]: [f64; 3]| Point3::new(metres(x), metres(y), metres(z));
    let above = |[x, y, z]: [f64; 3]| at([x, y, z + rig.base]);
    let sheave = Turn::sheave(Ratio::new::<ratio>(rig.track.half_turn)).unwrap();
    LockedTrack::new(
        DoubledTrackPlaces {
            capstan: above(rig.track.capstan),
            redirect: above(rig.track.redirect),
            head: at([rig.head[0], 0.0, rig.head[1]]),
            far_sheave: at([rig.far[0], 0.0, rig.far[1]]),
            anchor: above(rig.track.cell),
        },
        DoubledTrackTurns { redirect: sheave, frame: Some(sheave), far_sheave: sheave },
        line_weight_of(LineMass::new::<gram_per_meter>(1e3 * rig.track.mass)),
        Stretch::linear(Force::new::<newton>(rig.track.ea)).unwrap(),
    )
    .unwrap()
}

fn metres(value: f64) -> Length {
    Length::new::<meter>(value)
}

/// The cell, both strands and the pull all the way in and out again, with the friction of every turn and its history.
///
/// The two differ in the wrap of each turn: the simulation keeps the efficiency that the unloaded chords give, the
/// library follows the loaded strands, which leave the head by up to 20° steeper and the far sheave likewise. Of the
/// loss 1 − η, 0.28·Δθ/π goes with the wrap: at most 0.28·20/180 = 3.1 % of the loss of each of the three turns between
/// cell and capstan that a reading stands behind.
#[test]
fn the_cell_of_a_locked_track_reads_what_it_reads_in_the_simulation() {
    let found = found();
    for (name, rig) in rigs() {
        let light = &found[&name].light.rows;
        let chord = (rig.far[0] - rig.head[0]).hypot(rig.far[1] - rig.head[1]);
        // Half of the haul and of the belay rope hang on the carriage.
        let kg = rig.load.litter + rig.load.carriage + 0.5 * chord * (rig.haul.mass + rig.belay.mass);
        let places: Vec<Length> = light.iter().map(|row| metres(row[0] - rig.head[0])).collect();
        let procedure = TrackProcedure {
            set_cell: Force::new::<newton>(rig.set.unloaded_tension),
            set_by: Motion::Hauling,
            load: weight_of(Mass::new::<kilogram>(kg)),
            wheel_friction: Ratio::new::<ratio>(rig.load.wheel_friction),
            places: &places,
        };
        let within = 3.0 * 0.031 * (1.0 - rig.track.half_turn);
        let mut worst = [0.0_f64; 3];
        procedure
            .run(&locked(&rig), |i, state| {
                let [x, cell, out, back, _] = light[i];
                for (k, (ours, theirs)) in
                    [(state.cell, cell), (state.strand_out, out), (state.strand_back, back)]
                        .into_iter()
                        .enumerate()
                {
                    // The first place is where the load is put on, on wheels without friction here, and the one
                    // where it turns: there the wheels stand.
                    if i == 0 || light[i][0] == light[i - 1][0] {
                        continue;
                    }
                    let by = (ours.value / theirs - 1.0).abs();
                    worst[k] = worst[k].max(by);
                    assert!(by <= within, "{name} at x = {x}, {k}: {} by {theirs}, place {i}", ours.value);
                }
            })
            .unwrap();
        println!(
            "{name}: cell within {:.2e}, strands within {:.2e} and {:.2e}, allowed {within:.2e}",
            worst[0], worst[1], worst[2]
        );
    }
}

/// What the study says that the cell will show, all the way in: its band holds every reading of the simulation, and the
/// reading expected is as near as the other wraps of the turns leave it (see above) and drawing it straight between the
/// places at which the rope is followed.
#[test]
fn the_cell_shows_what_the_study_expects_of_it() {
    let found = found();
    for (name, rig) in rigs() {
        let (light, unloaded) = (&found[&name].light.rows, &found[&name].history.unloaded);
        let study = study_set_by_the_cell(&rig, unloaded);
        let within = 3.0 * 0.031 * (1.0 - rig.track.half_turn);
        let set = study.unloaded.reading_while_tensioning.value;
        assert!((set / unloaded["cell"] - 1.0).abs() <= within, "{name}: {set} by {}", unloaded["cell"]);
        let (mut worst, mut by_mean, mut compared) = (0.0_f64, 0.0_f64, 0);
        for pair in light.windows(2).take_while(|pair| pair[1][0] < pair[0][0]) {
            let [x, cell, ..] = pair[1];
            let Some(at) =
                study.positions.windows(2).find(|p| p[0].carriage.x.value >= x && x >= p[1].carriage.x.value)
            else {
                continue;
            };
            let (one, other) = (&at[0], &at[1]);
            let share = (x - one.carriage.x.value) / (other.carriage.x - one.carriage.x).value;
            let [a, b] = [one, other].map(|p| p.reading_expected.unwrap());
            let between = |a: Force, b: Force| a.value + share * (b - a).value;
            let (low, high) = (between(a.low, b.low), between(a.high, b.high));
            assert!((low..=high).contains(&cell), "{name} at x = {x}: {cell} not from {low} to {high}");
            assert!(high / low < 1.5, "{name}: a band that says nothing, {low} to {high}");
            worst = worst.max((between(a.expected, b.expected) / cell - 1.0).abs());
            by_mean = by_mean.max((between(one.reading.expected, other.reading.expected) / cell - 1.0).abs());
            compared += 1;
        }
        println!("{name}: {compared} readings within {worst:.2e}, of the mean of the strands {by_mean:.2e}");
        // The bulge's rows are the coarsest.
        assert!(compared >= 8, "{name}: {compared} readings only");
        // Beside the wraps, a straight line between the places followed: within what its band counts for that.
        assert!(worst <= within + 2e-3 && worst < by_mean, "{name}: {worst:.2e}");
    }
}

/// The same on the way out again, as far as both let the load out: every reading of the simulation lies in the band.
///
/// The simulation turns round where its travel ends, within a step of the study's; its wraps are another (see above).
#[test]
fn the_cell_shows_what_the_study_expects_of_it_on_the_way_down() {
    let found = found();
    let mut rigs_compared = 0;
    for (name, rig) in rigs() {
        let (light, unloaded) = (&found[&name].light.rows, &found[&name].history.unloaded);
        let study = study_set_by_the_cell(&rig, unloaded);
        let within = 3.0 * 0.031 * (1.0 - rig.track.half_turn);
        let (mut compared, mut worst) = (0, 0.0_f64);
        for pair in light.windows(2).filter(|pair| pair[1][0] > pair[0][0]) {
            let [x, cell, ..] = pair[1];
            let lowered = |p: &rope_mechanics::operation::study::Position| {
                p.lowering.and_then(|way| way.reading_expected)
            };
            let at = study.positions.windows(2);
            let Some(at) = at.into_iter().find(|p| p[0].carriage.x.value >= x && x >= p[1].carriage.x.value)
            else {
                continue;
            };
            let (Some(a), Some(b)) = (lowered(&at[0]), lowered(&at[1])) else { continue };
            let share = (x - at[0].carriage.x.value) / (at[1].carriage.x - at[0].carriage.x).value;
            let between = |a: Force, b: Force| a.value + share * (b - a).value;
            let (low, high) = (between(a.low, b.low), between(a.high, b.high));
            assert!((low..=high).contains(&cell), "{name} at x = {x}: {cell} not from {low} to {high}");
            worst = worst.max((between(a.expected, b.expected) / cell - 1.0).abs());
            compared += 1;
        }
        println!("{name}: {compared} readings within {worst:.2e} on the way down");
        if compared > 0 {
            rigs_compared += 1;
            assert!(worst <= within + 2e-3, "{name}: {worst:.2e}");
        }
    }
    assert!(rigs_compared >= 4, "{rigs_compared} rigs only");
}

/// How the litter falls and lands when the track is lost with the haul rope taut, wherever it hangs free.
///
/// Both conserve energy until the litter lands, so that the squares of the speeds differ by no more than what the haul
/// rope can hold back of it, E = T²·L/(2·EA) at its peak, at another phase of its bounce; by the drops, which differ with
/// the place of the landing; by the ropes that fall along in the simulation, half of whose mass goes with the carriage;
/// and by 1 % of each, to which both are converged. The curve that the haul rope hangs in gives it up to w²·r³/(24·T²)
/// more room, 2 cm on the longest site; friction at the head holds back more of it than it gives, so that the library
/// falls at least as far.
#[test]
fn the_litter_falls_and_lands_as_in_the_simulation_when_the_track_is_lost() {
    let found = found();
    let mut compared = 0;
    let mut worst = 0.0_f64;
    for (name, rig) in rigs() {
        let ground: Vec<Point2> =
            rig.ground.iter().map(|[x, z]| Point2::new(metres(*x), metres(*z))).collect();
        let floor = |x: f64| {
            let w = rig.ground.windows(2).find(|w| w[0][0] <= x && x <= w[1][0]).unwrap();
            w[0][1] + (w[1][1] - w[0][1]) * (x - w[0][0]) / (w[1][0] - w[0][0])
        };
        let history = &found[&name].history;
        let pulls = history.keys.iter().position(|k| k == "pull").unwrap();
        let way = &history.inward;
        let pull_at = |x: f64| {
            let w = way.windows(2).find(|w| w[1][0] - 1e-3 <= x && x <= w[0][0] + 1e-3);
            let w = w.unwrap_or(&way[way.len() - 2..]);
            w[0][pulls] + (w[1][pulls] - w[0][pulls]) * (x - w[0][0]) / (w[1][0] - w[0][0])
        };
        for failure in found[&name].failures.iter().filter(|f| f.case == "track" && f.height > 0.1) {
            let Some(theirs) = &failure.landing else { continue };
            let (x, z) = (failure.x, floor(failure.x) + failure.height);
            let at = |x, z| Point2::new(metres(x), metres(z));
            let (head, carriage) = (at(rig.head[0], rig.head[1]), at(x, z + rig.load.hang));
            let reach = (x - rig.head[0]).hypot(z + rig.load.hang - rig.head[1]);
            let [a, b, c] = [0, 1, 2].map(|i| [0.0, 0.0, rig.head[1] - rig.base][i] - rig.haul.redirect[i]);
            let [d, e, f] = [0, 1, 2].map(|i| rig.haul.redirect[i] - rig.haul.winch[i]);
            let behind = (a * a + b * b + c * c).sqrt() + (d * d + e * e + f * f).sqrt();
            let stretch =
                Stretch::linear(Force::new::<newton>(STIFFER_IN_A_FALL.expected * rig.haul.ea)).unwrap();
            let sling = Stretch::linear(Force::new::<newton>(200e3)).unwrap();
            let kg = Mass::new::<kilogram>;
            let fall = |shared: f64| {
                let length = metres(reach + shared * behind);
                let haul =
                    FallingRope::taut(head, length, stretch, Force::new::<newton>(pull_at(x))).unwrap();
                let motion = FallInTime::new(kg(rig.load.litter), at(x, z), [haul])
                    .and_then(|fall| fall.with_carriage(kg(rig.load.carriage), carriage, sling))
                    .and_then(|fall| {
                        fall.on_ground(Profile::new(&ground)?, Ratio::new::<ratio>(rig.load.ground_friction))
                    })
                    .unwrap()
                    .run(Time::new::<second>(3.6), Ratio::new::<ratio>(0.01))
                    .unwrap();
                let landing = motion.first_landing.unwrap();
                let peak_n = motion.rope_peaks[0].value;
                let held_j = peak_n * peak_n * length.value / (2.0 * stretch.a().value);
                [z - landing.at.z.value, landing.speed.value, held_j]
            };
            let (none, all) = (fall(0.0), fall(1.0));
            let load_kg = rig.load.litter + rig.load.carriage;
            let mass = 0.5 * reach * (rig.haul.mass + rig.belay.mass) / load_kg;
            for [drop, speed, held_j] in [none, all] {
                let squares = (speed * speed - theirs.speed * theirs.speed).abs();
                let most = 2.0 * held_j / load_kg
                    + 2.0 * 9.806_65 * (drop - theirs.drop).abs()
                    + (mass + 0.04) * speed * speed;
                assert!(squares <= most, "{name} at {x}: {speed} m/s, the simulation {}", theirs.speed);
                worst = worst.max((speed / theirs.speed - 1.0).abs());
            }
            assert!(theirs.normal <= theirs.speed);
            let (ours, theirs) = (none[0].max(all[0]), theirs.drop);
            assert!(ours >= theirs - 0.02, "{name} at {x}: drops {ours}, the simulation {theirs}");
            compared += 1;
        }
    }
    println!(
        "{compared} falls, speeds within {worst:.3} whether none or all of the haul rope behind the head stretches"
    );
    assert!(compared >= 25, "{compared}");
}
