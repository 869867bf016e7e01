//! Every failure of the simulation against what the library says of it.

use super::{Failure as Theirs, Rig, found, metres, rigs, site};
use rope_mechanics::motion::Motion;
use rope_mechanics::operation::failures::{Consequence, Detail, Failure, FailureValues, WinchPull};
use rope_mechanics::operation::{ByPlace, Model, Place, Situation, State};
use rope_mechanics::quantity::unit::{meter_per_second, newton, ratio, revolution};
use rope_mechanics::quantity::{Angle, Force, Ratio, Velocity};
use rope_mechanics::rope::Stretch;
use rope_mechanics::winch::ForceRate;
use std::collections::BTreeMap;

/// Of the winch, in m/s: what a jam takes by metre of rope doesn't depend on it.
const SPEED: f64 = 0.1;

fn values(rig: &Rig) -> FailureValues<'static> {
    FailureValues {
        strengths: ByPlace::default(),
        capstan_friction: Ratio::new::<ratio>(0.1),
        capstan_wrap: Angle::new::<revolution>(rig.capstan.wraps),
        // Two metres of rope, as there.
        capstan_tail: Force::new::<newton>(2.0 * 9.806_65 * rig.track.mass),
        winch: Some(WinchPull {
            speed: Velocity::new::<meter_per_second>(SPEED),
            greatest: Force::new::<newton>(20e3),
        }),
        sling: Stretch::linear(Force::new::<newton>(200e3)).unwrap(),
        anchors: &[],
    }
}

/// The load hauled to x with its litter as high as there, whatever length of rope that takes.
fn as_high<'m, 'g>(model: &'m Model<'g>, x: f64, height: f64) -> State<'m, 'g> {
    let at = |strand: f64| model.state(&Situation::at_x(metres(strand), metres(x), Motion::Hauling));
    let chord = model.chord().value;
    let high = |strand: f64| {
        at(strand).ok().filter(|state| !state.on_ground()).map(|state| state.litter_height().value)
    };
    // From taut to slack the litter comes down.
    let steps = (0..340).map(|i| chord * (0.89 + 5e-4 * f64::from(i)));
    let (mut short, mut long) = (f64::NAN, f64::NAN);
    for strand in steps {
        match high(strand) {
            Some(found) if found >= height => short = strand,
            _ if short.is_finite() => {
                long = strand;
                break;
            }
            _ => {}
        }
    }
    for _ in 0..50 {
        let middle = 0.5 * (short + long);
        if high(middle).is_some_and(|found| found >= height) { short = middle } else { long = middle }
    }
    at(short).unwrap()
}

fn failure(case: &str) -> Failure {
    match case {
        "track" => Failure::TrackRope,
        "haul" => Failure::HaulRope,
        "track_redirect" => Failure::TrackRedirect,
        "haul_redirect" => Failure::HaulRedirect(0),
        "capstan_tail" => Failure::CapstanTail,
        "jam" => Failure::Jam,
        other => panic!("{other}"),
    }
}

/// What is compared of a case: its name, what the simulation found, what is expected, and the bounds in closed form
/// and in time.
fn compared(
    theirs: &Theirs,
    quick: &Consequence,
    full: &Consequence,
) -> Vec<(&'static str, f64, f64, f64, f64)> {
    let peak = |names: &[&str]| {
        names.iter().filter_map(|name| theirs.peaks.get(*name)).fold(0.0_f64, |a, b| a.max(*b))
    };
    let mut rows = Vec::new();
    let mut force = |name, places: &[Place], names: &[&str]| {
        let found = peak(names);
        let of = |c: &Consequence, bound: bool| {
            places
                .iter()
                .map(|p| if bound { c.peaks[*p].bound.value } else { c.peaks[*p].expected.value })
                .fold(0.0, f64::max)
        };
        rows.push((name, found, of(full, false), of(quick, true), of(full, true)));
    };
    match theirs.case.as_str() {
        "track" | "capstan_tail" => {
            force("haul rope", &[Place::HaulRope], &["winch", "haul_head", "haul_carriage"]);
            force("winch", &[Place::Winch], &["winch"]);
        }
        "haul" => {
            force("belay rope", &[Place::BelayRope], &["device", "belay_carriage"]);
            force("track rope", &[Place::TrackRope], &["capstan", "out", "ret", "cell"]);
        }
        "track_redirect" => {
            force("haul rope", &[Place::HaulRope], &["winch", "haul_head", "haul_carriage"]);
            force("capstan", &[Place::Capstan], &["capstan"]);
        }
        "haul_redirect" => {
            force("belay rope", &[Place::BelayRope], &["device", "belay_carriage"]);
            force("haul rope", &[Place::HaulRope], &["winch", "haul_head", "haul_carriage"]);
        }
        _ => {
            let rate = |rate: ForceRate| rate.value / SPEED;
            let (quick, full) = (quick.jam.unwrap().rate, full.jam.unwrap().rate);
            rows.push((
                "rate",
                theirs.rate.unwrap(),
                rate(full.expected),
                rate(quick.bound),
                rate(full.bound),
            ));
        }
    }
    if theirs.case != "jam" {
        rows.push((
            "drop",
            theirs.landing.as_ref().map_or(theirs.drop, |l| l.drop),
            full.drop.expected.value,
            quick.drop.bound.value,
            full.drop.bound.value,
        ));
        if let Some(landing) = &theirs.landing {
            let of = |c: &Consequence, normal: bool, bound: bool| {
                c.impact.map_or(0.0, |i| {
                    let v = if normal { i.into_ground } else { i.speed };
                    if bound { v.bound.value } else { v.expected.value }
                })
            };
            rows.push((
                "speed",
                landing.speed,
                of(full, false, false),
                of(quick, false, true),
                of(full, false, true),
            ));
            rows.push((
                "into ground",
                landing.normal,
                of(full, true, false),
                of(quick, true, true),
                of(full, true, true),
            ));
        }
    }
    rows
}

fn cpu() -> std::time::Duration {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").unwrap();
    std::time::Duration::from_nanos(text.split_whitespace().next().unwrap().parse().unwrap())
}

/// Where a bound is more than twice what the simulation finds, at most by how much, and why.
const LOOSE: [(&str, &str, f64, &str); 19] = [
    (
        "track",
        "winch",
        2.6,
        "as if friction behind the head acted for the load; while the rope runs out it acts against it",
    ),
    ("capstan_tail", "winch", 2.6, "as for the track"),
    ("track", "haul rope", 2.1, "ropes up to 3.3 times as stiff as slowly pulled; the simulation has 2.08"),
    (
        "capstan_tail",
        "haul rope",
        2.3,
        "as for the track, and nothing for the friction of the rope that runs out",
    ),
    ("haul", "belay rope", 4.0, "no friction of wheels and no weight of the belay, which takes up its slack"),
    ("haul", "drop", 3.6, "twice what is found without the sag of the track, and wheels without friction"),
    ("haul", "speed", 2.6, "the same, and a belay without weight"),
    ("haul", "into ground", 9.5, "along a slope: all of the speed counts where it does not land in time"),
    ("haul_redirect", "belay rope", 4.7, "the belay takes all of it, before the haul rope is taut"),
    ("haul_redirect", "haul rope", 2.4, "the same the other way round"),
    ("haul_redirect", "drop", 3.7, "as for the haul"),
    ("haul_redirect", "speed", 2.7, "as for the haul"),
    ("haul_redirect", "into ground", 9.5, "as for the haul"),
    (
        "track_redirect",
        "haul rope",
        4.1,
        "the slack is there at once; in the simulation it runs in against friction and mass",
    ),
    ("track_redirect", "drop", 3.8, "the same"),
    ("track_redirect", "speed", 3.2, "the same"),
    ("track_redirect", "into ground", 3.6, "the same"),
    ("track_redirect", "capstan", 2.3, "twice the tension at rest"),
    ("jam", "rate", 2.6, "2.08 times the slow stiffness; the simulation pulls slowly, and long ropes sag"),
];

/// No bound is passed, neither in closed form nor in time, and what is followed in time is at most twice what the
/// simulation finds, or stands in [`LOOSE`].
///
/// The simulation's floor gives by up to 4 mm, and its haul rope, which has weight, pulls at the head by w·Δz more than
/// at the carriage.
#[test]
fn no_failure_of_the_simulation_passes_a_bound() {
    let found = found();
    let (mut quick_time, mut full_time) = (std::time::Duration::ZERO, std::time::Duration::ZERO);
    let mut cases = 0;
    let mut worst: BTreeMap<(String, &str), [f64; 5]> = BTreeMap::new();
    for (name, rig) in rigs() {
        let site = site(&rig, rig.load.wheel_friction);
        let model = site.model().unwrap();
        let values = values(&rig);
        for theirs in &found[&name].failures {
            if theirs.height < 1e-3 {
                continue;
            }
            let state = as_high(&model, theirs.x, theirs.height);
            let which = failure(&theirs.case);
            let start = cpu();
            let quick = state.failure(which, &values, Detail::Bounds).unwrap();
            quick_time += cpu() - start;
            let start = cpu();
            let full = state.failure(which, &values, Detail::InTime).unwrap();
            full_time += cpu() - start;
            cases += 1;
            let rope_n = rig.haul.mass * 9.806_65 * (model.head().z - state.carriage().unwrap().z).value;
            for (what, found, expected, closed, bound) in compared(theirs, &quick, &full) {
                let slack = match what {
                    "drop" => 0.004,
                    "haul rope" | "winch" => rope_n,
                    _ => 0.0,
                };
                println!(
                    "{name:9} {:14} {:6.1} h {:.2} {what:11} {found:9.3} expected {expected:9.3} closed {closed:9.3} ({:5.2}) time {bound:9.3} ({:5.2}) {}{}",
                    theirs.case,
                    theirs.x,
                    theirs.height,
                    closed / found,
                    bound / found,
                    if closed + slack < found { "CLOSED-PASSED " } else { "" },
                    if bound + slack < found { "TIME-PASSED" } else { "" },
                );
                let key = (theirs.case.clone(), what);
                let row = worst.entry(key).or_insert([f64::INFINITY, 0.0, f64::INFINITY, 0.0, 0.0]);
                row[0] = row[0].min((bound + slack) / found);
                row[1] = row[1].max(bound / found);
                row[2] = row[2].min((closed + slack) / found);
                row[3] = row[3].max(closed / found);
                row[4] += 1.0;
            }
        }
    }
    for ((case, what), [least, most, least_closed, most_closed, count]) in &worst {
        println!(
            "| {case} | {what} | {count} | {least:.2} to {most:.2} | {least_closed:.2} to {most_closed:.2} |"
        );
    }
    println!("{cases} cases: {:?} closed, {:?} in time, each", quick_time / cases, full_time / cases);
    for ((case, what), [least, most, least_closed, ..]) in &worst {
        assert!(*least >= 1.0 && *least_closed >= 1.0, "{case}, {what}: a bound is passed");
        let loose = LOOSE.iter().find(|loose| loose.0 == case && loose.1 == *what);
        let allowed = loose.map_or(2.0, |loose| loose.2);
        assert!(*most <= allowed, "{case}, {what}: {most} times what is found");
    }
    assert!(cases >= 190);
}
