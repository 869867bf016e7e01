//! Lines against published values. Tolerances are half a unit of the last printed digit, unless said otherwise.

use rope_mechanics::line::LineState;
use rope_mechanics::line::catenary::{Branch, Catenary};
use rope_mechanics::line::elastic::{ElasticLine, ElasticSpan, End};
use rope_mechanics::quantity::{
    Force, Length, LineWeight, unit::foot, unit::meter, unit::newton, unit::pound_force,
};
use rope_mechanics::rope::Stretch;

fn m(value: f64) -> Length {
    Length::new::<meter>(value)
}

fn ft(value: f64) -> Length {
    Length::new::<foot>(value)
}

fn n(value: f64) -> Force {
    Force::new::<newton>(value)
}

fn lbf(value: f64) -> Force {
    Force::new::<pound_force>(value)
}

fn n_per_m(value: f64) -> LineWeight {
    n(value) / m(1.0)
}

fn lbf_per_ft(value: f64) -> LineWeight {
    lbf(value) / ft(1.0)
}

fn linear(ea: f64) -> Stretch {
    Stretch::linear(n(ea)).unwrap()
}

#[track_caller]
fn near(found: f64, printed: f64, tolerance: f64) {
    assert!((found - printed).abs() <= tolerance, "{found} is not {printed} ± {tolerance}");
}

/// The root of a rising function.
fn bisect(mut lo: f64, mut hi: f64, f: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..200 {
        let middle = 0.5 * (lo + hi);
        if f(middle) > 0.0 { hi = middle } else { lo = middle }
    }
    0.5 * (lo + hi)
}

/// Michalos & Birnstiel, J. Struct. Div. ASCE 1962; displacements as in Jayaraman & Knudson, Computers & Structures 14
/// (1981) and Thai & Kim, Finite Elem. Anal. Des. 47 (2011). Inputs and outputs from memory.
///
/// Set by its sag at mid-span, 30.48 m. The length of 125.88 m that is often printed with it doesn't fit that sag; the
/// geometry gives 125.847 m.
#[test]
fn an_isolated_cable_under_a_load() {
    const SPAN: f64 = 304.8;
    const LOAD: f64 = 35_586.0;
    let (w, stretch) = (n_per_m(46.12), linear(548.4 * 131.0e3));
    let length = ElasticSpan::new(m(SPAN), m(0.0), w, stretch).unwrap().length_for_sag(m(30.48)).unwrap();
    let unloaded = ElasticLine::new(m(SPAN), m(0.0), length, w, stretch).unwrap().solve().unwrap();
    let first = bisect(0.0, length.value, |s| unloaded.point_at(m(s)).unwrap().x.value - 121.92);
    let before = unloaded.point_at(m(first)).unwrap();
    near(before.z.value, -29.276, 0.0005);
    near(first, 125.846_981_666_61, 1e-6);

    // The load point where both parts of the cable carry the load.
    let out_of_balance = |x: f64, z: f64| {
        let left = ElasticLine::new(m(x), m(z), m(first), w, stretch).unwrap().solve().unwrap();
        let right =
            ElasticLine::new(m(SPAN - x), m(-z), length - m(first), w, stretch).unwrap().solve().unwrap();
        let (l, r) = (left.last_reaction(), right.first_reaction());
        // What the load point does to both, less what it can: carry the load.
        ([(l.x + r.x).value, (l.z + r.z).value + LOAD], left.horizontal_tension().value)
    };
    let (mut x, mut z) = (before.x.value, before.z.value - 5.0);
    let mut h = 0.0;
    for _ in 0..30 {
        let d = 1e-5;
        let (f, tension) = out_of_balance(x, z);
        let (fx, fz) = (out_of_balance(x + d, z).0, out_of_balance(x, z + d).0);
        let j = [[(fx[0] - f[0]) / d, (fz[0] - f[0]) / d], [(fx[1] - f[1]) / d, (fz[1] - f[1]) / d]];
        let determinant = j[0][0] * j[1][1] - j[0][1] * j[1][0];
        x -= (f[0] * j[1][1] - f[1] * j[0][1]) / determinant;
        z -= (f[1] * j[0][0] - f[0] * j[1][0]) / determinant;
        h = tension;
    }
    near(z - before.z.value, -5.626, 0.0005);
    near(x - before.x.value, -0.859, 0.0005);
    // Own multi-precision values, to their printed digits.
    near(z - before.z.value, -5.625_584_6, 1e-6);
    near(x - before.x.value, -0.859_359_8, 1e-6);
    near(h, 89_442.876, 0.01);
}

/// code_aster, test SSNL100 (cable over pulleys, after Aufaure): one rope over two spans of 100 m, its end fed in by
/// 10 m. Gravity is 1 in that file, so 30 is N/m. Its reference is the rope without stretch.
#[test]
fn a_rope_over_two_spans() {
    let weight = n_per_m(30.0);
    let without = Catenary::new(m(100.0), m(0.0), weight).unwrap().by_length(m(105.0)).unwrap();
    near(without.sag().value, 13.93, 0.005);
    near(without.horizontal_tension().value, 2758.919, 0.0005);

    // 220 m of rope laid out under 5000 N; 10 m of it stay straight behind the last pulley, under the same tension
    // as both spans, which are alike.
    let ea = 5e7;
    let rope = 220.0 / (1.0 + 5000.0 / ea);
    let span = |length: f64| {
        ElasticLine::new(m(100.0), m(0.0), m(length), weight, linear(ea)).unwrap().solve().unwrap()
    };
    let length = bisect(101.0, 109.0, |length| {
        2.0 * length + 10.0 / (1.0 + span(length).last_tension().value / ea) - rope
    });
    let line = span(length);
    // The test's own tolerance is 0.5 %.
    near(line.sag().value, 13.93, 0.005 * 13.93);
    near(line.first_tension().value, line.last_tension().value, 1e-9);
    // Own values, to their printed digits.
    near(line.sag().value, 13.923_820, 2e-6);
    near(line.horizontal_tension().value, 2760.009, 0.001);
    near(line.last_tension().value, 3177.699, 0.001);
}

/// A regression set of a general mooring library (MoorPy, tests/test_catenary.py, commit 30b7fc43): H, V_A, V_B as
/// magnitudes, that library's own tolerance 1e-5.
///
/// The row whose rope is as long as its chord is not held against the printed 56 804.6 / 60 803.4 / 60 803.4 N: equal
/// ends are impossible for a rope of 1113 N. Own multi-precision values stand in its place.
#[test]
fn near_taut_lines() {
    const CHORD: f64 = 360.635_662_623_969_27;
    let (x, z) = (246.224_209_400_329_47, 263.557_663_308_431_64);
    for (x, z, l, ea, w, printed, tolerance) in [
        (400.0, 200.0, 500.0, 7.51e12, 200.0, [43_694.580_989, 22_365.599_350, 77_634.400_650], 1e-5),
        (x, z, CHORD - 0.01, 7e8, 3.08735, [71_116.8, 75_567.3, 76_680.6], 1e-5),
        (x, z, CHORD, 7e8, 3.08735, [58_377.241, 61_931.004, 63_044.413], 1e-8),
        (x, z, CHORD + 0.01, 7e8, 3.08735, [46_077.1, 48_765.2, 49_878.6], 1e-5),
    ] {
        let line = ElasticLine::new(m(x), m(z), m(l), n_per_m(w), linear(ea)).unwrap().solve().unwrap();
        let found = [
            line.horizontal_tension().value,
            line.first_reaction().z.value.abs(),
            line.last_reaction().z.value.abs(),
        ];
        for (found, printed) in found.into_iter().zip(printed) {
            near(found, printed, tolerance * printed);
        }
    }
}

/// OverheadTransmissionLineSoftware/Models, test/transmissionline/catenary_test.cc (in the public domain): H = 1000,
/// w = 0.5, span 1000.
#[test]
fn a_catenary_by_its_horizontal_tension() {
    let by_rise = |rise: f64| {
        Catenary::new(m(1000.0), m(rise), n_per_m(0.5)).unwrap().by_horizontal_tension(n(1000.0)).unwrap()
    };
    let level = by_rise(0.0);
    near(level.sag().value, 62.83, 0.005);
    near(level.length().value, 1010.45, 0.005);
    near(level.last_tension().value, 1031.41, 0.005);
    let parts = 2000;
    let mean = (0..parts)
        .map(|i| level.tension_at(level.length() * ((f64::from(i) + 0.5) / f64::from(parts))).unwrap().value)
        .sum::<f64>()
        / f64::from(parts);
    near(mean, 1010.54, 0.005);
    near(-level.point_at(level.length() * 0.25).unwrap().z.value, 46.94, 0.005);

    let steep = by_rise(500.0);
    near(steep.length().value, 1127.39, 0.005);
    near(steep.length().value - 1000.0_f64.hypot(500.0), 9.36, 0.005);
    near(steep.greatest_tension().value, 1275.78, 0.005);
    near(by_rise(100.0).lowest_point().x.value, 302.4, 0.05);
    // Half-way by length along the rope, not by distance.
    for (rise, x, z) in
        [(100.0, 506.2, -12.5), (300.0, 517.9, 89.8), (-100.0, 493.8, -112.5), (-300.0, 482.1, -210.2)]
    {
        let line = by_rise(rise);
        let middle = line.point_at(line.length() * 0.5).unwrap();
        near(middle.x.value, x, 0.05);
        near(middle.z.value, z, 0.05);
    }
}

/// The line whose mean of horizontal and end tension is that of an overhead-line table.
fn by_table_tension(span: f64, w: f64, tension: f64) -> LineState {
    let span = Catenary::new(ft(span), m(0.0), lbf_per_ft(w)).unwrap();
    let of = |h: f64| span.by_horizontal_tension(lbf(h)).unwrap();
    let h =
        bisect(0.5 * tension, tension, |h| 0.5 * (h + of(h).last_tension().get::<pound_force>()) - tension);
    of(h)
}

/// All 42 readings of two tables for one 795 kcmil 26/7 conductor, 1.094 lbf/ft bare: Grigsby (ed.), a handbook chapter
/// on sag and tension, Table 14.5 (700 ft), and the sample problem of the Aluminum Company of America's sag and tension
/// data (1000 ft).
///
/// Their tension is neither the horizontal nor the support's but the mean of the two: with that the catenary gives all
/// rows within what rounding to 1 lbf and 0.01 ft allows.
#[test]
fn overhead_line_tables() {
    // span ft, lbf/ft, final sag ft and tension lbf, initial sag and tension
    const ROWS: [(f64, f64, f64, f64, f64, f64); 21] = [
        (700.0, 2.509, 13.61, 11318.0, 13.55, 11361.0),
        (700.0, 2.094, 13.93, 9224.0, 13.33, 9643.0),
        (700.0, 1.094, 8.22, 8161.0, 7.60, 8824.0),
        (700.0, 1.094, 9.19, 7301.0, 8.26, 8115.0),
        (700.0, 1.094, 10.75, 6242.0, 9.39, 7142.0),
        (700.0, 1.094, 12.36, 5429.0, 10.65, 6300.0),
        (700.0, 1.094, 13.96, 4809.0, 11.99, 5596.0),
        (700.0, 1.094, 15.52, 4330.0, 13.37, 5020.0),
        (700.0, 1.094, 16.97, 3960.0, 15.53, 4326.0),
        (700.0, 1.094, 18.04, 3728.0, 17.52, 3837.0),
        (1000.0, 5.961, 41.11, 18287.0, 41.11, 18287.0),
        (1000.0, 2.509, 34.86, 9054.0, 31.53, 10000.0),
        (1000.0, 2.094, 35.47, 7429.0, 31.49, 8358.0),
        (1000.0, 1.094, 30.11, 4564.0, 24.72, 5549.0),
        (1000.0, 1.094, 31.25, 4399.0, 25.84, 5311.0),
        (1000.0, 1.094, 32.77, 4197.0, 27.48, 4996.0),
        (1000.0, 1.094, 33.63, 4091.0, 29.09, 4721.0),
        (1000.0, 1.094, 34.49, 3990.0, 30.67, 4482.0),
        (1000.0, 1.094, 35.33, 3896.0, 32.20, 4271.0),
        (1000.0, 1.094, 36.64, 3759.0, 34.51, 3988.0),
        (1000.0, 1.094, 37.87, 3638.0, 36.64, 3759.0),
    ];
    for (span, w, final_sag, final_tension, initial_sag, initial_tension) in ROWS {
        for (sag, tension) in [(final_sag, final_tension), (initial_sag, initial_tension)] {
            let found = by_table_tension(span, w, tension).sag().get::<foot>();
            // Half a unit of each printed number: of the sag, and of the tension and the weight, to which the sag is
            // proportional.
            let rounding = 0.005 + sag * (0.5 / tension + 0.0005 / w);
            near(found, sag, rounding);
        }
    }
}

/// Textbook examples, read in their public companions: Ray, Electrical Power Systems, example 5.1; Tayal, Engineering
/// Mechanics, 10.4 and 10.5. Tayal's are parabolas: the catenary differs by 3.7e-4 and 1.1e-3, and is held to own
/// values.
#[test]
fn textbook_catenaries() {
    let kgf = 9.80665;
    let ray = Catenary::new(m(250.0), m(0.0), n_per_m(0.65 * kgf)).unwrap();
    near(ray.by_horizontal_tension(n(3500.0 * kgf)).unwrap().sag().value, 1.4510, 0.000_05);

    let by_sag = Catenary::new(m(30.0), m(0.0), n_per_m(0.5 * 9.81)).unwrap().by_sag(m(0.5)).unwrap();
    near(by_sag.greatest_tension().value, 1106.075, 3.8e-4 * 1106.075);
    near(by_sag.greatest_tension().value, 1106.486, 0.0005);
    near(by_sag.length().value, 30.022_211, 0.000_000_5);
    let level = Catenary::new(m(30.0), m(0.0), n_per_m(3.0)).unwrap();
    let by_tension = level.by_end_tension(End::Last, n(400.0), Branch::Taut).unwrap();
    near(by_tension.sag().value, 0.849_141, 1.1e-3 * 0.849_141);
    near(by_tension.sag().value, 0.850_071, 0.000_000_5);
}

/// Beer & Johnston, Statics, sample problem 7.10, and Meriam & Kraige, Statics, sample problem 5/17 (solved there by a
/// drawing: within 0.3 %). From memory.
#[test]
fn deep_textbook_catenaries() {
    let line = Catenary::new(ft(500.0), m(0.0), lbf_per_ft(3.0)).unwrap().by_sag(ft(100.0)).unwrap();
    near(line.horizontal_tension().get::<pound_force>(), 984.0, 0.5);
    near(line.greatest_tension().get::<pound_force>(), 1284.0, 0.5);
    near(line.length().get::<foot>(), 550.0, 0.5);

    let line = Catenary::new(m(300.0), m(0.0), n_per_m(12.0 * 9.81)).unwrap().by_sag(m(60.0)).unwrap();
    near(line.horizontal_tension().value, 23.2e3, 0.003 * 23.2e3);
    near(line.greatest_tension().value, 30.3e3, 0.003 * 30.3e3);
    near(line.length().value, 330.0, 0.5);
}

/// What a parabola gets wrong, worked out once more: own values at 40 digits, to their printed digits.
///
/// For each sag by span: the sag at the same H, the greatest tension at the same sag, and the length by S(1 + 8r²/3).
#[test]
fn a_parabola_instead_of_a_catenary() {
    for (r, sag_error, tension_error, [length_error, length_rounding]) in [
        (0.01, [-0.013, 0.0005], [-0.013, 0.0005], [5e-8, 0.5e-8]),
        (0.02, [-0.053, 0.0005], [-0.054, 0.0005], [8e-7, 0.5e-7]),
        (0.05, [-0.33, 0.005], [-0.34, 0.005], [3.1e-5, 0.05e-5]),
        (0.10, [-1.29, 0.005], [-1.47, 0.005], [4.7e-4, 0.05e-4]),
        (0.125, [-1.98, 0.005], [-2.37, 0.005], [1.1e-3, 0.05e-3]),
        (0.20, [-4.7, 0.05], [-6.5, 0.05], [6.3e-3, 0.05e-3]),
        (0.30, [-9.3, 0.05], [-14.3, 0.05], [2.5e-2, 0.05e-2]),
        (0.50, [-19.0, 0.5], [-31.0, 0.5], [0.11, 0.005]),
    ] {
        let line = Catenary::new(m(1.0), m(0.0), n_per_m(1.0)).unwrap().by_sag(m(r)).unwrap();
        // Sag wX²/(8H); at the same sag H = wX²/(8·sag), T = √(H² + (wX/2)²)
        let sag = 0.125 / line.horizontal_tension().value;
        let tension = (0.125 / r).hypot(0.5);
        near(100.0 * (sag / r - 1.0), sag_error[0], sag_error[1]);
        near(100.0 * (tension / line.greatest_tension().value - 1.0), tension_error[0], tension_error[1]);
        near((1.0 + 8.0 * r * r / 3.0) / line.length().value - 1.0, length_error, length_rounding);
    }
}
