//! Carriages against `carriage_vectors.py`.

use rope_mechanics::geometry::Point2;
use rope_mechanics::line::carriage::{CarriageState, HaulRope, Held, Load, Track, fixed, rolling};
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

/// Place, share of the rope, and every tension, to 1e-11 of its size.
///
/// Where the problem itself magnifies, no solver in f64 can promise that: the inputs are numbers of 53 bits, and one
/// that is moved by half a unit of its last place, 2⁻⁵³ of it, moves the answer by 2⁻⁵³ times the condition that the
/// generator found at 40 digits (the last column). Where that alone is more than 1e-11, the bound is what it makes of
/// the rounding of ten inputs. It is so for the three rows named at the end, and for no other.
#[test]
fn carriages_agree_with_40_digits() {
    let mut worst = std::collections::BTreeMap::<String, (f64, f64)>::new();
    let mut magnifying = Vec::new();
    let mut cases = 0;
    for line in include_str!("carriage_vectors.txt").lines().filter(|line| !line.starts_with('#')) {
        let columns: Vec<&str> = line.split('|').map(str::trim).collect();
        let (name, given, wanted) = (columns[0], numbers(columns[1]), numbers(columns[2]));
        let sensitivity: f64 = columns[3].parse().unwrap();
        let kind = name.trim_end_matches("-extreme");
        let state = solve(kind, &given);
        let chord = given[0].hypot(given[1]);
        // x, z and L₁ against the size of the rig, tensions against themselves
        let mut errors = vec![
            (state.position.x.value - wanted[0]) / chord,
            (-state.position.z.value - wanted[1]) / chord,
            (state.upper_length.value - wanted[2]) / given[2],
            state.tension.head.value / wanted[3] - 1.0,
            state.tension.carriage_upper.value / wanted[4] - 1.0,
            state.tension.carriage_lower.value / wanted[5] - 1.0,
            state.tension.far.value / wanted[6] - 1.0,
        ];
        if kind == "held" {
            // the haul pull is the difference of two tensions
            let haul = state.haul.unwrap().at_carriage.value;
            errors.push((haul - wanted[7]) / (wanted[4] + wanted[7]));
        }
        let error = errors.iter().fold(0.0_f64, |most, error| most.max(error.abs()));
        let by_one_input = 0.5 * f64::EPSILON * sensitivity;
        let bound = if by_one_input > 1e-11 {
            println!("{name}: condition {sensitivity:.2e}, so {by_one_input:.1e} by one input: {error:.1e}");
            magnifying.push(sensitivity);
            10.0 * by_one_input
        } else {
            1e-11
        };
        assert!(error <= bound, "{error:e} {line}\n{errors:?}");
        let entry = worst.entry(name.to_owned()).or_default();
        *entry = (entry.0.max(error), entry.1.max(error / (f64::EPSILON * sensitivity)));
        cases += 1;
    }
    for (name, (error, against)) in worst {
        println!("{name}: worst error {error:.1e}, {against:.1} roundings times the sensitivity");
    }
    assert!(cases >= 800, "{cases}");
    // rolling-extreme, fixed-extreme, held-extreme
    assert_eq!(magnifying, [3.77e5, 3.31e5, 1.86e5]);
}
