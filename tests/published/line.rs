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

/// A level cable in two lengths, and what a load where they meet does to it.
struct Loaded {
    before: (f64, f64),
    after: (f64, f64),
    horizontal_n: f64,
}

fn loaded(span_m: f64, [l1, l2]: [f64; 2], w: LineWeight, stretch: Stretch, load_n: f64) -> Loaded {
    let unloaded = ElasticLine::new(m(span_m), m(0.0), m(l1 + l2), w, stretch).unwrap().solve().unwrap();
    let before = unloaded.point_at(m(l1)).unwrap();
    // The load point where both parts of the cable carry the load.
    let out_of_balance = |x: f64, z: f64| {
        let left = ElasticLine::new(m(x), m(z), m(l1), w, stretch).unwrap().solve().unwrap();
        let right = ElasticLine::new(m(span_m - x), m(-z), m(l2), w, stretch).unwrap().solve().unwrap();
        let (l, r) = (left.last_reaction(), right.first_reaction());
        // What the load point does to both, less what it can: carry the load.
        ([(l.x + r.x).value, (l.z + r.z).value + load_n], left.horizontal_tension().value)
    };
    let (mut x, mut z) = (before.x.value, before.z.value - 5.0);
    let mut horizontal_n = 0.0;
    for _ in 0..30 {
        let d = 1e-5;
        let (f, tension) = out_of_balance(x, z);
        let (fx, fz) = (out_of_balance(x + d, z).0, out_of_balance(x, z + d).0);
        let j = [[(fx[0] - f[0]) / d, (fz[0] - f[0]) / d], [(fx[1] - f[1]) / d, (fz[1] - f[1]) / d]];
        let determinant = j[0][0] * j[1][1] - j[0][1] * j[1][0];
        x -= (f[0] * j[1][1] - f[1] * j[0][1]) / determinant;
        z -= (f[1] * j[0][0] - f[0] * j[1][0]) / determinant;
        horizontal_n = tension;
    }
    Loaded { before: (before.x.value, before.z.value), after: (x, z), horizontal_n }
}

impl Loaded {
    fn moved(&self) -> (f64, f64) {
        (self.after.0 - self.before.0, self.after.1 - self.before.1)
    }
}

/// Cut so as to sag at mid-span by this, with the load point at 0.4 of the span.
fn cut_by_sag(span_m: f64, sag_m: f64, w: LineWeight, stretch: Stretch) -> [f64; 2] {
    let length = ElasticSpan::new(m(span_m), m(0.0), w, stretch).unwrap().length_for_sag(m(sag_m)).unwrap();
    let line = ElasticLine::new(m(span_m), m(0.0), length, w, stretch).unwrap().solve().unwrap();
    let first = bisect(0.0, length.value, |s| line.point_at(m(s)).unwrap().x.value - 0.4 * span_m);
    [first, length.value - first]
}

/// Michalos & Birnstiel, J. Struct. Div. ASCE 1962; displacements as in Jayaraman & Knudson, Computers & Structures 14
/// (1981) and Thai & Kim, Finite Elem. Anal. Des. 47 (2011). Inputs and outputs from memory.
///
/// The earliest print −5.472/−0.845 m (Michalos & Birnstiel) and −5.627/−0.860 m (O'Brien & Francis 1964); the later ones
/// agree with each other to a millimetre.
///
/// Set by its sag at mid-span, 30.48 m. The length of 125.88 m that is often printed with it doesn't fit that sag; the
/// geometry gives 125.847 m.
#[test]
fn an_isolated_cable_under_a_load() {
    let (w, stretch) = (n_per_m(46.12), linear(548.4 * 131.0e3));
    let lengths = cut_by_sag(304.8, 30.48, w, stretch);
    let cable = loaded(304.8, lengths, w, stretch, 35_586.0);
    near(cable.before.1, -29.276, 0.0005);
    near(lengths[0], 125.846_981_666_61, 1e-6);
    let (x, z) = cable.moved();
    near(z, -5.626, 0.0005);
    near(x, -0.859, 0.0005);
    // Own multi-precision values, to their printed digits.
    near(z, -5.625_584_6, 1e-6);
    near(x, -0.859_359_8, 1e-6);
    near(cable.horizontal_n, 89_442.876, 0.01);
}

/// The same cable by the lengths that are printed, and in the units it was first set in: own multi-precision values.
/// What is set counts: 125.88 m moves the load point by 5.631 m, not by the 5.626 m that everybody prints.
#[test]
fn that_cable_however_it_is_set() {
    let (w, stretch) = (n_per_m(46.12), linear(548.4 * 131.0e3));
    for (lengths, sag, dz, dx, h) in [
        ([125.88, 186.85], 29.3291, -5.631_276_9, -0.861_451_6, 89_297.758),
        ([125.85, 186.85], 29.2721, -5.624_973_8, -0.859_024_0, 89_455.19),
    ] {
        let cable = loaded(304.8, lengths, w, stretch, 35_586.0);
        let (x, z) = cable.moved();
        near(cable.before.1, -sag, 0.000_05);
        near(z, dz, 5e-8);
        near(x, dx, 5e-8);
        near(cable.horizontal_n, h, 0.005);
    }
    // 3 cm of rope move the load point by 6.3 mm and H by 157 N, so 5e-6 m at which these lengths are printed (twice)
    // by 2.1e-6 m and 0.05 N.
    let cable = loaded(304.8, [125.847_01, 186.855_26], w, stretch, 35_586.0);
    let (x, z) = cable.moved();
    near(z, -5.625_598_1, 2.2e-6);
    near(x, -0.859_365_6, 2.2e-6);
    near(cable.horizontal_n, 89_442.55, 0.06);

    // 1000 ft, 100 ft of sag, 3.16 lb/ft, 0.85 in² of 19 000 ksi, 8000 lb.
    let (w, stretch) = (lbf_per_ft(3.16), linear(lbf(0.85 * 19e6).value));
    let lengths = cut_by_sag(ft(1000.0).value, ft(100.0).value, w, stretch);
    let cable = loaded(ft(1000.0).value, lengths, w, stretch, lbf(8000.0).value);
    let (x, z) = cable.moved();
    near(lengths[0], ft(412.8838).value, ft(0.000_05).value);
    near(lengths[1], ft(613.0421).value, ft(0.000_05).value);
    near(cable.before.1, ft(-96.0495).value, ft(0.000_05).value);
    near(z, ft(-18.456_746).value, ft(0.000_000_5).value);
    near(x, ft(-2.819_437).value, ft(0.000_000_5).value);
    near(cable.horizontal_n, lbf(20_107.19).value, lbf(0.005).value);
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
    // The test's own tolerance is 0.5 %, around its reference and around what its elements find in either span.
    for printed in [13.93, 13.962_397_569, 13.895_279_337] {
        near(line.sag().value, printed, 0.005 * printed);
    }
    near(length, 104.989_32, 5e-6);
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

/// A textbook example, read in its public companion: Ray, Electrical Power Systems, example 5.1, 0.65 kg/m over 250 m
/// under 3500 kgf.
#[test]
fn an_overhead_line_by_its_horizontal_tension() {
    let kgf = 9.80665;
    let line = Catenary::new(m(250.0), m(0.0), n_per_m(0.65 * kgf)).unwrap();
    near(line.by_horizontal_tension(n(3500.0 * kgf)).unwrap().sag().value, 1.4510, 0.000_05);
}

/// Tayal, Engineering Mechanics, 10.4 and 10.5, read in a public companion, which take the cable for a parabola (held to
/// in `polygon.rs`). A catenary is another thing by so much, r being sag by span and q = wS/2T:
///
/// - T at the same sag: 1 + 4r²/3 + 832r⁴/45 − 351r⁶ + …
/// - L at the same sag: S(1 + 8r²/3 − 224r⁴/45 + 19r⁶ − …)
/// - sag at the same T: 1 + q²/12 + 91q⁴/360 + 0.487q⁶ + …
#[test]
fn textbook_parabolas_as_catenaries() {
    let by_sag = Catenary::new(m(30.0), m(0.0), n_per_m(0.5 * 9.81)).unwrap().by_sag(m(0.5)).unwrap();
    let r = 0.5_f64 / 30.0;
    let more = 1.0 + 4.0 * r.powi(2) / 3.0 + 832.0 * r.powi(4) / 45.0;
    near(by_sag.greatest_tension().value, 1106.075 * more, 0.0005 + 1106.0 * 351.0 * r.powi(6));
    let less = 30.0 * 224.0 / 45.0 * r.powi(4);
    near(by_sag.length().value, 30.022_222 - less, 0.000_000_5 + 30.0 * 19.0 * r.powi(6));

    let level = Catenary::new(m(30.0), m(0.0), n_per_m(3.0)).unwrap();
    let by_tension = level.by_end_tension(End::Last, n(400.0), Branch::Taut).unwrap();
    let q = 3.0 * 30.0 / (2.0 * 400.0_f64);
    let more = 1.0 + q.powi(2) / 12.0 + 91.0 * q.powi(4) / 360.0;
    near(by_tension.sag().value, 0.849_141 * more, 0.000_000_5 * more + 0.849 * 0.5 * q.powi(6));
}

/// Catenaries read in public companions. Tayal, 10.6: 200 m and 1000 kg of cable with 50 m of sag span 164.791 843 m
/// (c = 75 m). McLean, Schaum's outline of engineering mechanics, 7.7-13: 240 m of 0.6 kg/m with 24 m of sag pull
/// 1835 N and span 234 m; g is 9.8 m/s² there.
#[test]
fn catenaries_by_length_and_sag() {
    let hung = |length: f64, sag: f64, w: f64| {
        let on =
            |span: f64| Catenary::new(m(span), m(0.0), n_per_m(w)).unwrap().by_length(m(length)).unwrap();
        // The farther apart the supports, the less sag.
        let span = bisect(0.5 * length, 0.999 * length, |span| sag - on(span).sag().value);
        (span, on(span))
    };
    let (span, line) = hung(200.0, 50.0, 1000.0 * 9.81 / 200.0);
    near(span, 164.791_843, 0.000_000_5);
    // H = w·c
    near(line.horizontal_tension().value, 9.81 * 5.0 * 75.0, 1e-9 * 3679.0);
    let (span, line) = hung(240.0, 24.0, 0.6 * 9.8);
    near(span, 234.0, 0.5);
    near(line.greatest_tension().value, 1835.0, 0.5);
}

/// McLean, 7.7-12: 0.518 lb/ft over 500 ft with 50 ft of sag: 355 lb and 514 ft by c = 635 ft, read off a plot. A
/// reading good to 2.5 ft leaves 0.518·2.5 = 1.3 lb of w(c + f), and 2.5·4f/L = 1.0 ft of L = 2√(2cf + f²).
#[test]
fn a_catenary_by_a_plot() {
    let line = Catenary::new(ft(500.0), m(0.0), lbf_per_ft(0.518)).unwrap().by_sag(ft(50.0)).unwrap();
    near((line.horizontal_tension() / lbf_per_ft(0.518)).get::<foot>(), 635.0, 2.5);
    near(line.greatest_tension().get::<pound_force>(), 355.0, 0.5 + 1.3);
    near(line.length().get::<foot>(), 514.0, 0.5 + 1.0);
}

/// The conductor of the tables over 600 ft under 6300 lb: inputs from memory, own multi-precision values, to their
/// printed digits. Beside them stand those of the parabola, which the library doesn't offer: sag 7.814 286 ft, which is
/// wS²/8H, and 600.271 391 ft of its arc.
#[test]
fn an_overhead_line_worked_out() {
    let line = Catenary::new(ft(600.0), m(0.0), lbf_per_ft(1.094)).unwrap();
    let line = line.by_horizontal_tension(lbf(6300.0)).unwrap();
    near(line.sag().get::<foot>(), 7.816_053, 0.000_000_5);
    near(line.length().get::<foot>(), 600.271_428, 0.000_000_5);
    near(line.last_tension().get::<pound_force>(), 6308.5508, 0.000_05);
}

/// Own 40-digit values, printed to 14 digits: 0.735 75 N/m of EA 100 kN, from longer to shorter than its chord, almost
/// plumb, and ten times its chord.
#[test]
fn lines_from_slack_to_taut() {
    let line = |x: f64, z: f64, length: f64| {
        ElasticLine::new(m(x), m(z), m(length), n_per_m(0.735_75), linear(100e3)).unwrap().solve().unwrap()
    };
    // f64 holds the strain of a taut line to 2⁻⁵² of its length, and so its tension to 2⁻⁵²·EA: some of those, and
    // half a unit of the last printed digit.
    let rounding = 10.0 * f64::EPSILON * 100e3;
    for (length, h) in
        [(100.05, 266.119_716_028_77), (100.0, 281.825_349_822_22), (99.0, 1_030.890_820_999_2)]
    {
        near(line(100.0, 0.0, length).horizontal_tension().value, h, 5e-11 + rounding);
    }
    near(line(100.0, 0.0, 100.05).first_reaction().z.value, 36.805_893_75, 5e-9);
    // The sag goes with 1/H.
    near(line(100.0, 0.0, 100.05).sag().value, 3.452_192_500_093_7, 5e-14 + rounding * 3.5 / 266.0);
    near(line(100.0, 0.0, 99.0).sag().value, 0.883_116_743_106_01, 5e-15 + rounding * 0.9 / 1031.0);
    let plumb = line(0.001, -50.0, 60.0);
    near(plumb.horizontal_tension().value, 2.680_880_665_299_3e-5, 5e-19 + 1e-13 * 2.7e-5);
    near(plumb.first_reaction().z.value, 40.462_190_935_513, 5e-13);
    near(line(10.0, 0.0, 100.0).horizontal_tension().value, 0.817_429_711_707_14, 5e-15);
}

/// The reference lines before the load comes, worked out by two methods: 70 m out and 45 m down, two strands of 85 g/m
/// and EA 40 kN, 3000 N at the head; and level over 30 m under 2000 N.
#[test]
fn the_reference_lines_without_load() {
    let (w, stretch) = (n_per_m(2.0 * 0.085 * 9.806_65), linear(80e3));
    let slope = ElasticSpan::new(m(70.0), m(-45.0), w, stretch).unwrap();
    let length = slope.length_for_tension(End::First, n(3000.0)).unwrap();
    near(length.value, 80.248_89, 5e-6);
    let line = slope.with_length(length).unwrap().solve().unwrap();
    near(line.last_tension().value, 2927.659, 0.0005);
    near(line.horizontal_tension().value, 2492.541, 0.0005);
    for (share, tension) in [(1.01, 2183.7), (0.99, 3835.5)] {
        let line = slope.with_length(length * share).unwrap().solve().unwrap();
        near(line.first_tension().value, tension, 0.05);
    }
    let level = ElasticSpan::new(m(30.0), m(0.0), w, stretch).unwrap();
    near(level.length_for_tension(End::First, n(2000.0)).unwrap().value, 29.269_054, 5e-7);
}

/// Beer & Johnston, Statics, sample problem 7.10, and Meriam & Kraige, Statics, sample problem 5/17, from memory: check
/// the editions. The second is solved there by a drawing: T = H + w·sag is then off by as much as H, and rounded too.
#[test]
fn deep_textbook_catenaries() {
    let line = Catenary::new(ft(500.0), m(0.0), lbf_per_ft(3.0)).unwrap().by_sag(ft(100.0)).unwrap();
    near((line.horizontal_tension() / lbf_per_ft(3.0)).get::<foot>(), 328.0, 0.5);
    near(line.horizontal_tension().get::<pound_force>(), 984.0, 0.5);
    near(line.greatest_tension().get::<pound_force>(), 1284.0, 0.5);
    near(line.length().get::<foot>(), 550.0, 0.5);

    let line = Catenary::new(m(300.0), m(0.0), n_per_m(12.0 * 9.81)).unwrap().by_sag(m(60.0)).unwrap();
    near(line.horizontal_tension().value, 23.2e3, 50.0);
    near(line.greatest_tension().value, 30.3e3, 50.0 + 50.0);
    near(line.length().value, 330.0, 0.5);
}

/// The same by geometry, not published: strands that differ by ΔL in length pull differently by ΔT = EA·ΔL/L₀. A straight
/// strand over the chord c has T = EA·(c/L − 1), so that 1 + ε times that is exact to the first order of ΔL.
#[test]
fn strands_of_unlike_length_pull_unlike() {
    let (ea, l0) = (40e3, 80.248_89);
    let strand = |length: f64| {
        let line = ElasticLine::new(m(70.0), m(-45.0), m(length), n_per_m(0.0), linear(ea)).unwrap();
        line.solve().unwrap().first_tension().value
    };
    let strain = 70_f64.hypot(45.0) / l0 - 1.0;
    for shorter in [0.001, 0.01] {
        let difference = strand(l0 - shorter) - strand(l0);
        let rule = ea * shorter / l0;
        near(difference / rule, 1.0 + strain, 2.0 * shorter / l0 + 1e-9);
    }
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
