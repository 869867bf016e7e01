//! Published measurements as data (`tests/data`), and how much of them lies within what the library predicts from
//! catalogue inputs alone. Simple models err on one side: most of what was measured lies above them.
//!
//! The table of these shares stands in the documentation, `docs::measured`.

use rope_mechanics::arrest::{Fall, STIFFER_AT_MOST, STIFFER_IN_A_FALL};
use rope_mechanics::capstan::RaiseLowerTest;
use rope_mechanics::carriage::{Load, Track, rolling};
use rope_mechanics::geometry::Point2;
use rope_mechanics::quantity::unit::{
    ampere, degree, foot, foot_per_second, kilogram, kilonewton, meter, newton, pound_force, ratio, second,
};
use rope_mechanics::quantity::{
    Angle, ElectricCurrent, Force, Length, Mass, Ratio, Time, Velocity, weight_of,
};
use rope_mechanics::rope::Stretch;
use rope_mechanics::sheave::{Bar, Measured, PULLEY, Turn};
use rope_mechanics::winch::{CurrentGauge, PullReading, Running, TableRow, TableWinch};

fn n(value: f64) -> Force {
    Force::new::<newton>(value)
}

fn m(value: f64) -> Length {
    Length::new::<meter>(value)
}

fn r(value: f64) -> Ratio {
    Ratio::new::<ratio>(value)
}

fn kgf(value: f64) -> Force {
    weight_of(Mass::new::<kilogram>(value))
}

/// The rows of a data file: comments and the line of names left out.
fn rows(text: &str) -> Vec<Vec<&str>> {
    let lines = text.lines().filter(|line| !line.starts_with('#'));
    lines.skip(1).map(|line| line.split(',').collect()).collect()
}

fn numbers(row: &[&str]) -> Vec<f64> {
    row.iter().map(|word| word.parse().unwrap()).collect()
}

/// The standard drop of EN 892: stiffness in the fall by the static one, and whether the peak is above the model's.
struct Drop {
    peak_n: f64,
    static_ea: Stretch,
}

fn drops() -> Vec<Drop> {
    let all = rows(include_str!("../data/standard_falls.csv"));
    all.iter()
        .map(|row| {
            let row = numbers(row);
            // The static elongation is that under 80 kg.
            Drop { peak_n: 1e3 * row[4], static_ea: Stretch::linear(kgf(80.0) / (0.01 * row[2])).unwrap() }
        })
        .collect()
}

impl Drop {
    /// The peak for a rope stiffer in the fall by this factor.
    fn model_n(&self, stiffer: f64) -> f64 {
        let rope = self.static_ea.scaled(r(stiffer)).unwrap();
        Fall::new(kgf(80.0), m(4.6), m(2.6), rope).unwrap().arrest().unwrap().peak_force.value
    }
}

/// 51 of 101 dynamic ropes (`standard_falls.csv`). With the static stiffness every one pulls harder than the model, with
/// the expected one half of them do; nine in ten lie in the band, and none passes the bound.
#[test]
fn standard_falls_lie_in_the_band_and_below_the_bound() {
    let drops = drops();
    assert_eq!(drops.len(), 51);
    let above = |stiffer: f64| drops.iter().filter(|drop| drop.peak_n > drop.model_n(stiffer)).count();
    assert_eq!(above(1.0), 51);
    let middle = above(STIFFER_IN_A_FALL.expected);
    // Half of 51, give or take twice √51/2.
    assert!((19..=33).contains(&middle), "{middle}");
    let within = |low: f64, high: f64| drops.len() - above(high) - (drops.len() - above(low));
    let held = within(STIFFER_IN_A_FALL.low, STIFFER_IN_A_FALL.high);
    assert!(held == 47 && held * 10 >= 51 * 9, "{held}");
    assert_eq!(above(STIFFER_AT_MOST), 0);
    // The middle 90 % of the 101, 1.42 to 2.72, has 86 % of these 51, and a bound of 2.7 is passed by six of them.
    assert_eq!(within(1.42, 2.72), 44);
    assert_eq!(above(2.7), 6);
    // The peak by the model with the static stiffness: 1.37 on the average of all, standard deviation 0.12.
    let ratios: Vec<f64> = drops.iter().map(|drop| drop.peak_n / drop.model_n(1.0)).collect();
    let mean = ratios.iter().sum::<f64>() / 51.0;
    // The mean of 51 of 101 strays by 0.12·√(1/51 − 1/101) = 0.012, three times that at most.
    assert!((mean - 1.37).abs() < 0.036, "{mean}");
}

/// Load and elongation of low-stretch ropes (`low_stretch_curves.csv`): the stiffness between two loads by the one
/// between 50 and 150 kg, which is what a catalogue says.
#[test]
fn low_stretch_curves_one_stiffness_serves_to_5_kn_and_not_beyond() {
    let all = rows(include_str!("../data/low_stretch_curves.csv"));
    let curve = |diameter: f64| -> Vec<(f64, f64)> {
        let mine = all.iter().map(|row| numbers(row)).filter(|row| row[0] == diameter);
        std::iter::once((0.0, 0.0)).chain(mine.map(|row| (row[1], 0.01 * row[2]))).collect()
    };
    let strain_at = |curve: &[(f64, f64)], kn: f64| {
        let w = curve.windows(2).find(|w| w[0].0 <= kn && kn <= w[1].0).unwrap();
        w[0].1 + (w[1].1 - w[0].1) * (kn - w[0].0) / (w[1].0 - w[0].0)
    };
    let [w50, w150] = [50.0, 150.0].map(|kg| kg * 9.806_65e-3);
    for (diameter, label, past_toe, to_five) in
        [(9.0, 38.6, 1.0, 1.22), (10.0, 46.9, 1.5, 0.97), (11.0, 34.2, 0.8, 1.45), (12.0, 26.5, 0.8, 1.62)]
    {
        let curve = curve(diameter);
        let ea = |from: f64, to: f64| (to - from) / (strain_at(&curve, to) - strain_at(&curve, from));
        let catalogue = ea(w50, w150);
        assert!((catalogue - label).abs() < 0.06, "{diameter} mm: {catalogue}");
        // By the library: how much a rope of the catalogue's stiffness gives between the two loads.
        let linear = Stretch::linear(Force::new::<kilonewton>(catalogue)).unwrap();
        let gives = |from: f64, to: f64| {
            let strain = |kn| linear.strain(Force::new::<kilonewton>(kn)).unwrap().value;
            (strain(to) - strain(from)) / (strain_at(&curve, to) - strain_at(&curve, from))
        };
        assert!((gives(w150, 5.0) - to_five).abs() < 0.02, "{diameter} mm: {}", gives(w150, 5.0));
        // Beyond 5 kN 2.2 to 2.6 times as stiff as between the toe and 5 kN.
        let beyond = ea(5.0, 10.0) / ea(past_toe, 5.0);
        assert!((2.15..2.65).contains(&beyond), "{diameter} mm beyond 5 kN: {beyond}");
    }
}

/// The library's tension of a line with 57 kg at mid-span, with the label's stiffness times a factor.
fn spread_line_n(row: &[f64], stiffer: f64) -> f64 {
    let ea = stiffer * 10_000.0 / (0.01 * row[1]);
    let standing = 1e3 * row[2];
    // weightless, straight when unloaded: L·(1 + T/EA) = span
    let stretch = Stretch::linear(n(ea)).unwrap();
    let length = m(row[0] / (1.0 + standing / ea));
    let far = Point2::new(m(row[0]), m(0.0));
    let track = Track::new(Point2::new(m(0.0), m(0.0)), far, length, n(0.0) / m(1.0), stretch).unwrap();
    rolling(&track, &Load::new(kgf(57.0)).unwrap()).unwrap().tension.head.value
}

/// Three spread lines with a person (`spread_lines.csv`): all above the model, one by more than 15 %.
#[test]
fn spread_lines_lie_up_to_18_per_cent_above_the_model() {
    let lines: Vec<_> =
        rows(include_str!("../data/spread_lines.csv")).iter().map(|row| numbers(row)).collect();
    let over: Vec<f64> = lines.iter().map(|row| 1e3 * row[3] / spread_line_n(row, 1.0)).collect();
    assert!(over.iter().all(|by| *by > 1.0), "{over:?}");
    assert_eq!(over.iter().filter(|by| **by <= 1.15).count(), 2, "{over:?}");
    assert!(over.iter().all(|by| *by <= 1.20), "{over:?}");
    // What stiffness would have fitted: 1.3 to 2.2 times the label's, each tension being good to 0.05 kN.
    for row in &lines {
        assert!(
            spread_line_n(row, 1.25) <= 1e3 * row[3] + 50.0
                && spread_line_n(row, 2.25) >= 1e3 * row[3] - 50.0
        );
    }
}

/// Rope over bars (`bars.csv`): 75 kg raised and lowered. One coefficient for both directions says too much both for
/// raising and for lowering, by 7 to 64 %; two give back both. What is right for one wrap isn't for another.
#[test]
fn bars_want_two_coefficients() {
    let all = rows(include_str!("../data/bars.csv"));
    assert_eq!(all.len(), 14);
    let mut over = Vec::new();
    let mut held = 0;
    for row in &all {
        let [wrap, raise, lower] = [row[2], row[3], row[4]].map(|word| word.parse::<f64>().unwrap());
        let wrap = Angle::new::<degree>(wrap);
        let test = RaiseLowerTest::new(kgf(raise), kgf(lower), wrap).unwrap();
        let one = Turn::bar(test.friction(), test.friction()).unwrap().band(wrap).unwrap();
        over.push(75.0 * one.high.value / raise);
        over.push(75.0 * one.low.value / lower);
        let bar = match row[0] {
            "metal" => Bar::Metal,
            "wood" => Bar::Wood,
            _ => Bar::Concrete,
        };
        let (up, down) = (bar.raising(), bar.lowering());
        let at = |up, down| Turn::bar(up, down).unwrap().band(wrap).unwrap();
        let (least, most) = (at(up.low, down.low), at(up.high, down.high));
        let raises = 75.0 * least.high.value <= raise && raise <= 75.0 * most.high.value;
        let lowers = 75.0 * most.low.value <= lower && lower <= 75.0 * least.low.value;
        held += usize::from(raises) + usize::from(lowers);
        let two = test.turn(kgf(75.0)).unwrap().band(wrap).unwrap();
        assert!((75.0 * two.high.value / raise - 1.0).abs() < 1e-12);
        assert!((75.0 * two.low.value / lower - 1.0).abs() < 1e-12);
    }
    let (least, most) = over.iter().fold((f64::INFINITY, 0.0_f64), |(a, b), x| (a.min(*x), b.max(*x)));
    assert_eq!(held, 28, "of both directions of the 14 tests, within the bands of the class");
    assert!((1.065..1.075).contains(&least) && (1.635..1.645).contains(&most), "{least} {most}");
}

/// Force that lifts 1 kN over half a turn (`pulleys.csv`).
#[test]
fn pulleys_pass_less_than_nine_tenths() {
    let all = rows(include_str!("../data/pulleys.csv"));
    let force = |efficiency: f64| {
        let band = Turn::sheave(r(efficiency)).unwrap().band(Angle::new::<degree>(180.0)).unwrap();
        band.high.value
    };
    let pulleys: Vec<f64> =
        all.iter().filter(|row| row[0] == "pulley").map(|row| row[1].parse().unwrap()).collect();
    assert_eq!(pulleys.len(), 8);
    assert_eq!(pulleys.iter().filter(|kn| **kn > force(0.90)).count(), 7);
    let mean = pulleys.iter().map(|kn| 1.0 / kn).sum::<f64>() / 8.0;
    assert!((mean - PULLEY.expected).abs() < 5e-4, "{mean}");
    assert!(pulleys.iter().all(|kn| *kn >= force(PULLEY.high) && *kn <= force(PULLEY.low)));
    // By another author, of a small sealed pulley: 0.842 ± 0.005.
    let [worse, better] = [0.837, 0.847].map(force);
    assert!(force(PULLEY.high) < better && worse < force(PULLEY.low));
    // What the library lists as measured has its connectors to the printed digit.
    for (name, what) in [("connector", Measured::Connector), ("two connectors", Measured::TwoConnectors)] {
        let kn: f64 = all.iter().find(|row| row[0] == name).unwrap()[1].parse().unwrap();
        let turn = what.turns()[0].band(Angle::new::<degree>(180.0)).unwrap();
        // 0.59 and 0.54 are printed to half a hundredth, a share of 0.0093 of either.
        assert!((turn.high.value / kn - 1.0).abs() < 0.0093 + 0.005 / kn, "{name}");
    }
}

/// Pull and speed of the three winches of `winch_speeds.csv`.
fn winch_tables() -> Vec<Vec<(f64, f64)>> {
    let all = rows(include_str!("../data/winch_speeds.csv"));
    ["1", "2", "3"]
        .map(|name| {
            let mine = all.iter().filter(|row| row[0] == name);
            mine.map(|row| (row[1].parse().unwrap(), row[2].parse().unwrap())).collect()
        })
        .to_vec()
}

fn table_of(points: &[(f64, f64)]) -> TableWinch {
    let rows: Vec<TableRow> = points
        .iter()
        .map(|&(lbf, speed)| TableRow {
            pull: Force::new::<pound_force>(lbf),
            current: ElectricCurrent::new::<ampere>(65.0 + 0.0461 * lbf),
            line_speed: Some(Length::new::<foot>(speed) / Time::new::<second>(60.0)),
        })
        .collect();
    TableWinch::fit(&rows).unwrap()
}

/// A straight line from the free speed to the last row is too fast everywhere between, by 15 to 93 %. From these two
/// rows alone the band of the speed holds every row between them; from the whole table it holds every row.
#[test]
fn winch_speeds_sag_below_the_straight_line() {
    let mut over = Vec::new();
    let mut between = 0;
    let mut farthest = Vec::new();
    for points in winch_tables() {
        let ends = table_of(&[points[0], points[points.len() - 1]]);
        let whole = table_of(&points);
        let mut miss = 0.0_f64;
        for (i, &(lbf, speed)) in points.iter().enumerate() {
            let feet = |v: Velocity| v.get::<foot_per_second>() * 60.0;
            let by_ends = ends.hauling(Force::new::<pound_force>(lbf)).unwrap();
            let band = by_ends.line_speed_band.unwrap().map(feet);
            if i > 0 && i + 1 < points.len() {
                over.push(feet(by_ends.line_speed.unwrap()) / speed);
                assert!(band.low <= speed && speed <= band.high, "{lbf} lbf: {speed} in {band:?}");
                between += 1;
            }
            let by_all = whole.hauling(Force::new::<pound_force>(lbf)).unwrap();
            let band = by_all.line_speed_band.unwrap().map(feet);
            // A dozen roundings of the fit.
            assert!(
                band.low <= speed * (1.0 + 1e-12) && speed * (1.0 - 1e-12) <= band.high,
                "{lbf} lbf: {band:?}"
            );
            miss = miss.max((feet(by_all.line_speed.unwrap()) / speed - 1.0).abs());
        }
        farthest.push(miss);
    }
    let (least, most) = over.iter().fold((f64::INFINITY, 0.0_f64), |(a, b), x| (a.min(*x), b.max(*x)));
    assert!((1.145..1.155).contains(&least) && (1.92..1.93).contains(&most), "{least} {most}");
    assert_eq!(between, 11);
    // 1/v = e + g·F through the whole table.
    for (found, printed) in farthest.iter().zip([0.186, 0.092, 0.034]) {
        assert!((found - printed).abs() < 5e-4, "{farthest:?}");
    }
}

/// The pull by layer of one winch, 8000, 6777, 5878 and 5189 lbf: it goes with the radius, which grows by the same
/// from layer to layer.
#[test]
fn a_winch_pulls_by_the_radius_of_its_layer() {
    let winch = table_of(&[(0.0, 30.0), (8000.0, 10.0)]);
    let step = 8000.0 / 6777.0 - 1.0;
    for (layer, printed) in [(0, 8000.0), (1, 6777.0), (2, 5878.0), (3, 5189.0)] {
        let on = winch.with_radius_ratio(r(1.0 + f64::from(layer) * step)).unwrap();
        // 6777 is printed to half a pound, 7.4e-5 of it, and so is the step, three of which are in the last layer.
        let within = 0.5 + printed * f64::from(layer) * 7.4e-5 * 1.19;
        assert!((on.greatest_pull().get::<pound_force>() - printed).abs() < within, "layer {layer}");
    }
}

/// The line of one class of winch read on another, 71 A without pull and 169 A at 2000 lbf: 0.7 kN wrong at 2 kN. With
/// a band of 10 A and 10 % it holds the pull.
#[test]
fn another_winch_needs_the_band_of_its_class() {
    let class =
        TableWinch::fit(&[(0.0, 65.0), (40_000.0, 65.0 + 0.010_36 * 40_000.0)].map(|(pull, current)| {
            TableRow { pull: n(pull), current: ElectricCurrent::new::<ampere>(current), line_speed: None }
        }))
        .unwrap();
    let at = |pull: f64| {
        ElectricCurrent::new::<ampere>(71.0 + 98.0 * pull / Force::new::<pound_force>(2000.0).value)
    };
    let read = |idle: f64, slope: f64, pull: f64| {
        let gauge = CurrentGauge::of_table(&class, ElectricCurrent::new::<ampere>(idle), r(slope)).unwrap();
        match gauge.read(at(pull), Running::Hauling).unwrap() {
            PullReading::Pull(band) => band,
            PullReading::CannotTell(why) => panic!("{why:?}"),
        }
    };
    let bare = read(0.0, 0.0, 2000.0);
    assert!((bare.expected.value - 2000.0 - 700.0).abs() < 50.0, "{bare:?}");
    for pull in [500.0, 2000.0, 4000.0, 8896.0] {
        let band = read(10.0, 0.1, pull);
        assert!(band.low.value <= pull && pull <= band.high.value, "{pull}: {band:?}");
    }
}
