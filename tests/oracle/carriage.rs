//! Carriages against `carriage_vectors.py`, and asked backwards from balances that are built in closed form.

use rope_checks::carriage::{Known, Outcome, RandomCarriages};
use rope_mechanics::carriage::{CarriageError, CarriageState, HaulRope, Held, Load, Track, fixed, rolling};
use rope_mechanics::geometry::Point2;
use rope_mechanics::motion::Motion;
use rope_mechanics::quantity::unit::{meter, newton};
use rope_mechanics::quantity::{Force, Length};
use rope_mechanics::rope::Stretch;

fn m(value: f64) -> Length {
    Length::new::<meter>(value)
}

fn n(value: f64) -> Force {
    Force::new::<newton>(value)
}

fn at(x: f64, z: f64) -> Point2 {
    Point2::new(m(x), m(z))
}

fn numbers(text: &str) -> Vec<f64> {
    text.split_whitespace().map(|word| word.parse().unwrap()).collect()
}

fn solve(kind: &str, given: &[f64]) -> CarriageState {
    let [x, z, length, w, a, b, load] = given[..7] else { panic!("{given:?}") };
    let stretch = Stretch::stiffening(n(a), n(b)).unwrap();
    let track = Track::new(at(0.0, 0.0), at(x, z), m(length), n(w) / m(1.0), stretch).unwrap();
    let load = Load::new(n(load)).unwrap();
    match kind {
        "rolling" => rolling(&track, &load),
        "fixed" => fixed(&track, &load, m(given[7])),
        _ => Held::new(track, load, HaulRope::new(at(given[8], given[9])).unwrap()).at_x(m(given[7])),
    }
    .unwrap_or_else(|why| panic!("{kind} {given:?}: {why}"))
}

/// Place and share of the rope against the size of the rig, and every tension against itself; the haul pull is the
/// difference of two tensions, and stands against these.
fn answers(kind: &str, given: &[f64], wanted: &[f64]) -> Vec<f64> {
    let state = solve(kind, given);
    let chord = given[0].hypot(given[1]);
    let mut answers = vec![
        state.position.x.value / chord,
        -state.position.z.value / chord,
        state.upper_length.value / given[2],
        state.tension.head.value / wanted[3],
        state.tension.carriage_upper.value / wanted[4],
        state.tension.carriage_lower.value / wanted[5],
        state.tension.far.value / wanted[6],
    ];
    if kind == "held" {
        answers.push(state.haul.unwrap().at_carriage.value / (wanted[4] + wanted[7]));
    }
    answers
}

/// Promised of place, share of the rope and every tension.
const PROMISED: f64 = 1e-11;

#[test]
fn carriages_agree_with_40_digits() {
    let mut worst = std::collections::BTreeMap::<String, (f64, f64)>::new();
    let mut steepest = 0.0_f64;
    let mut cases = 0;
    for line in include_str!("carriage_vectors.txt").lines().filter(|line| !line.starts_with('#')) {
        let columns: Vec<&str> = line.split('|').map(str::trim).collect();
        let (name, given, wanted) = (columns[0], numbers(columns[1]), numbers(columns[2]));
        let sensitivity: f64 = columns[3].parse().unwrap();
        let kind = name.trim_end_matches("-extreme");
        let chord = given[0].hypot(given[1]);
        let mut right = vec![wanted[0] / chord, wanted[1] / chord, wanted[2] / given[2], 1.0, 1.0, 1.0, 1.0];
        if kind == "held" {
            right.push(wanted[7] / (wanted[4] + wanted[7]));
        }
        let found = answers(kind, &given, &wanted);
        let error = found.iter().zip(&right).fold(0.0_f64, |most, (a, b)| most.max((a - b).abs()));
        assert!(error <= PROMISED, "{error:e} {line}\n{found:?}");
        let entry = worst.entry(name.to_owned()).or_default();
        *entry = (entry.0.max(error), entry.1.max(error / (f64::EPSILON * sensitivity)));
        cases += 1;
        steepest = steepest.max(sensitivity);
    }
    for (name, (error, against)) in worst {
        // The last step is taken by a residual of twice the digits: in f64 alone it is some 20 roundings.
        assert!(against <= 8.0, "{name}: {against:.1} roundings times the sensitivity");
        println!("{name}: worst error {error:.1e}, {against:.1} roundings times the sensitivity");
    }
    assert!(cases >= 800, "{cases}");
    // Where a tension follows an input by so many times, the terms' rounding alone would break the promise.
    assert!(steepest * f64::EPSILON > PROMISED, "{steepest:e}");
}

/// Of balances at which [`Held::at_x`] gives what was built, every inverse question leads back.
///
/// Not one answer may be wrong. In the range that [`Held`] calls ordinary none may be refused, but for heights that are
/// reached only near the end of a travel; beyond it one in fifty, by an error that says what a crew can change.
#[test]
fn every_question_of_a_carriage_is_answered_backwards() {
    let mut tally = std::collections::BTreeMap::<&str, [u32; 3]>::new();
    let mut cases = RandomCarriages::new(20_240_917);
    let mut count = |name: &'static str, outcome: &Outcome, known: &Known, ordinary: bool| {
        let place = match outcome {
            Outcome::Met(_) => 0,
            Outcome::Refused(why) => {
                let documented = match why {
                    CarriageError::NoSuchHeight { .. } => name.starts_with("at_height"),
                    CarriageError::TooLittleTension { .. } => name == "length_for_tension",
                    CarriageError::NoRollingTension { .. } => name == "rolling_length_for_tension",
                    CarriageError::HaulTooShort { .. } => name == "by_haul_length",
                    CarriageError::HaulWouldPush { .. }
                    | CarriageError::LiftedOff
                    | CarriageError::HaulTooHeavy { .. }
                    | CarriageError::Unsolved { .. } => !name.starts_with("rolling"),
                    _ => false,
                };
                assert!(documented, "{name}: {why}\n  {known:?}");
                assert!(!ordinary || name.starts_with("at_height"), "{name}: {why}\n  {known:?}");
                1 + usize::from(ordinary)
            }
            Outcome::Wrong(why) => panic!("{name}: {why}\n  {known:?}"),
        };
        tally.entry(name).or_default()[place] += 1;
    };
    let mut ordinary = 0;
    for _ in 0..3000 {
        let known = cases.next().unwrap();
        let is_ordinary = known.is_ordinary();
        ordinary += u32::from(is_ordinary);
        count("at_x", &known.asked_at_x(), &known, is_ordinary);
        if known.is_first() {
            for (name, outcome) in known.asked_held() {
                count(name, &outcome, &known, is_ordinary);
            }
        }
        let rolls = cases.rolling();
        for (name, outcome) in rolls.asked_rolling() {
            count(name, &outcome, &rolls, false);
        }
    }
    assert!(ordinary > 900, "{ordinary}");
    for (name, [met, refused, in_range]) in tally {
        println!("{name}: {met} met, {refused} refused, and {in_range} of the ordinary range");
        assert!(
            50 * (refused + in_range) <= met && 500 * in_range <= met,
            "{name}: {refused} {in_range} of {met}"
        );
    }
}

/// Hauled from nearly straight above, with friction: beyond the haul point the wheel resists the other way.
#[test]
fn a_carriage_beyond_its_haul_point_is_not_taken_for_one_before_it() {
    let known = Known {
        far: (91.68538437248817, -38.934417182501335),
        track: (0.0, 15790.18782618051, 29201.638648173328),
        length_m: 98.80425210793649,
        load_n: 9040.716882111787,
        friction: 0.05026709447308258,
        motion: Motion::Hauling,
        haul_point: (75.56460000016196, 364.8544105570351),
        haul: (0.0, f64::INFINITY, 0.0),
        place: (76.39262985773435, -35.14473240024047),
        haul_m: 400.0,
        head_n: 168.1453988942171,
        pull_n: 9012.938151178789,
    };
    for (name, outcome) in known.asked_held() {
        assert!(!matches!(outcome, Outcome::Wrong(_)), "{name}: {outcome:?}");
    }
}
