//! Doubt: points, distributions, outcomes, indices, and quantities with a tolerance from text.
use proptest::prelude::*;
use rope_mechanics::doubt::{
    Design, DoubtError, Index, Outcomes, Scrambles, Share, SobolPoints, Uncertain, UncertainTextError,
    Without, in_common,
};
use rope_mechanics::quantity::unit::{degree_celsius, kilogram, kilonewton, meter, newton, percent};
use rope_mechanics::quantity::{Force, Length, Mass, Ratio, ThermodynamicTemperature};
use rope_mechanics::text::{Text, TextError};
use std::f64::consts::PI;

fn kg(value: f64) -> Mass {
    Mass::new::<kilogram>(value)
}

// --- points ---

#[test]
fn every_part_of_every_input_holds_one_point() {
    for (samples, seed) in [(2, 0), (64, 1), (1024, 99)] {
        let points = SobolPoints::new(128, samples, seed).unwrap();
        let mut shares = vec![0.0; 128];
        let mut seen = vec![vec![false; samples]; 128];
        for run in 0..samples {
            points.fill(run, &mut shares).unwrap();
            for (share, seen) in shares.iter().zip(&mut seen) {
                assert!(*share > 0.0 && *share < 1.0);
                seen[(share * samples as f64) as usize] = true;
            }
        }
        assert!(seen.iter().flatten().all(|seen| *seen), "{samples} {seed}");
    }
}

#[test]
fn pairs_of_the_first_inputs_fill_the_square() {
    // The first two coordinates are a (0, m, 2)-net: each rectangle of area 1/N holds one point of N = 2^m.
    let points = SobolPoints::new(2, 256, 5).unwrap();
    for wide in 0..=8 {
        let (columns, rows) = (1_usize << wide, 256_usize >> wide);
        let mut seen = vec![false; 256];
        for run in 0..256 {
            let mut u = [0.0; 2];
            points.fill(run, &mut u).unwrap();
            seen[(u[0] * columns as f64) as usize * rows + (u[1] * rows as f64) as usize] = true;
        }
        assert!(seen.iter().all(|seen| *seen), "{columns} x {rows}");
    }
}

#[test]
fn the_points_are_the_same_everywhere() {
    // Their sums in units of 2⁻³³, which integers give exactly: a change of any bit of any of them shows.
    let mut sums = [0_u64; 3];
    for (seed, sum) in (0..3).zip(&mut sums) {
        let points = SobolPoints::new(7, 512, seed).unwrap();
        let mut shares = [0.0; 7];
        for run in 0..512 {
            points.fill(run, &mut shares).unwrap();
            for share in shares {
                *sum = sum
                    .wrapping_mul(6_364_136_223_846_793_005)
                    .wrapping_add((share * 2.0_f64.powi(33)) as u64);
            }
        }
    }
    assert_eq!(sums, [17_698_979_019_773_640_970, 11_573_694_052_816_970_606, 10_701_084_503_049_571_078]);
}

#[test]
fn other_seeds_give_other_points() {
    let at = |seed, run| {
        let mut shares = [0.0; 4];
        SobolPoints::new(4, 64, seed).unwrap().fill(run, &mut shares).unwrap();
        shares
    };
    for run in 0..64 {
        for coordinate in 0..4 {
            assert_ne!(at(1, run)[coordinate], at(2, run)[coordinate]);
        }
    }
    assert_eq!(at(7, 13), at(7, 13));
}

#[test]
fn the_mean_of_a_smooth_model_converges_faster_than_random_draws() {
    // Πᵢ (1 + (uᵢ − ½)/(i + 1)) has the mean 1.
    let error = |samples: usize| {
        let seeds = 32;
        let square: f64 = (0..seeds)
            .map(|seed| {
                let points = SobolPoints::new(4, samples, seed).unwrap();
                let mut u = [0.0; 4];
                let mut mean = 0.0;
                for run in 0..samples {
                    points.fill(run, &mut u).unwrap();
                    let f: f64 = u.iter().zip(1..).map(|(u, i)| 1.0 + (u - 0.5) / f64::from(i + 1)).product();
                    mean += f / samples as f64;
                }
                (mean - 1.0).powi(2)
            })
            .sum();
        (square / f64::from(seeds)).sqrt()
    };
    let (few, many) = (error(64), error(4096));
    // The order over 2⁶ times as many: −3/2 in theory for such a model, −1/2 for random draws.
    let order = (many / few).ln() / 64.0_f64.ln();
    println!("order of convergence {order}, from {few:e} to {many:e}");
    assert!(order < -1.3, "{order}");
}

#[test]
fn samples_that_can_not_be_are_refused() {
    let field = |result: Result<SobolPoints, rope_mechanics::error::InputError>| result.unwrap_err().field;
    assert_eq!(field(SobolPoints::new(0, 64, 0)), "inputs");
    assert_eq!(field(SobolPoints::new(129, 64, 0)), "inputs");
    assert_eq!(field(SobolPoints::new(3, 1, 0)), "samples");
    assert_eq!(field(SobolPoints::new(3, 1 << 17, 0)), "samples");
    assert!(SobolPoints::new(3, 100, 0).unwrap_err().to_string().contains("128"));
    let points = SobolPoints::new(3, 64, 0).unwrap();
    assert_eq!(points.fill(64, &mut [0.0; 3]).unwrap_err().field, "run");
    assert_eq!(points.fill(0, &mut [0.0; 2]).unwrap_err().field, "shares");
    assert_eq!(Design::new(&[0, 2, 2], 64, 0).unwrap_err().field, "group");
    assert_eq!(Design::new(&[0, 7], 64, 0).unwrap_err().field, "groups");
    let design = Design::new(&[0, 1, 1], 64, 0).unwrap();
    assert_eq!((design.groups(), design.runs()), (2, 256));
    assert_eq!(design.fill(256, &mut [0.0; 3]).unwrap_err().field, "run");
    let none = design.indices(&[1.0; 256], &mut [Index::default(); 2]);
    assert_eq!(none, Err(DoubtError::NoVariance));
    let mut values = [1.0; 256];
    values[77] = f64::NAN;
    assert_eq!(design.indices(&values, &mut [Index::default(); 2]), Err(DoubtError::NotANumber { run: 77 }));
    assert!(design.indices(&values[1..], &mut [Index::default(); 2]).is_err());
    assert!(design.indices(&values, &mut [Index::default(); 3]).is_err());
}

// --- indices ---

/// First and total indices of a model, each as mean and standard error over seeds.
fn indices(
    group_of: &[usize],
    samples: usize,
    seeds: u32,
    model: impl Fn(&[f64]) -> f64,
) -> (Scrambles, Vec<[Scrambles; 2]>) {
    let groups = group_of.iter().max().unwrap() + 1;
    let mut variances = Vec::new();
    let mut found = vec![[Vec::new(), Vec::new()]; groups];
    for seed in 0..seeds {
        let design = Design::new(group_of, samples, seed).unwrap();
        let mut u = vec![0.0; group_of.len()];
        let values: Vec<f64> = (0..design.runs())
            .map(|run| {
                design.fill(run, &mut u).unwrap();
                model(&u)
            })
            .collect();
        let mut out = vec![Index::default(); groups];
        variances.push(design.indices(&values, &mut out).unwrap().variance);
        for (index, [first, total]) in out.iter().zip(&mut found) {
            first.push(index.first);
            total.push(index.total);
        }
    }
    let over = |values: &Vec<f64>| Scrambles::new(values).unwrap();
    (over(&variances), found.iter().map(|[first, total]| [over(first), over(total)]).collect())
}

/// Within four standard errors, which themselves are small.
fn holds(found: Scrambles, exact: f64, within: f64) {
    println!("{} ± {:e} for {exact}", found.mean, found.standard_error);
    assert!(found.standard_error < 0.25 * within, "{found:?} {exact}");
    assert!((found.mean - exact).abs() < 4.0 * found.standard_error + 5e-7, "{found:?} {exact}");
}

// sin x₁ + a·sin² x₂ + b·x₃⁴·sin x₁ over [−π, π]³, a = 7, b = 0.1: closed forms of Ishigami & Homma 1990, to six
// digits.
#[test]
fn ishigami() {
    let model = |u: &[f64]| {
        let [x1, x2, x3] = [0, 1, 2].map(|i| PI * (2.0 * u[i] - 1.0));
        x1.sin() + 7.0 * x2.sin().powi(2) + 0.1 * x3.powi(4) * x1.sin()
    };
    let (variance, found) = indices(&[0, 1, 2], 1 << 13, 16, model);
    holds(variance, 13.844_588, 0.02);
    let exact = [[0.313_905, 0.557_589], [0.442_411, 0.442_411], [0.0, 0.243_684]];
    for ([first, total], exact) in found.iter().zip(exact) {
        holds(*first, exact[0], 0.004);
        holds(*total, exact[1], 0.004);
    }
    // Grouped, the first and the third make all that they make together: 1 − S₂.
    let (_, grouped) = indices(&[0, 1, 0], 1 << 12, 16, model);
    holds(grouped[0][0], 1.0 - 0.442_411, 0.006);
    holds(grouped[0][1], 1.0 - 0.442_411, 0.006);
}

// Πᵢ (|4xᵢ − 2| + aᵢ)/(1 + aᵢ), a = (0, 1, 4.5, 9, 99, 99, 99, 99): closed forms of Saltelli & Sobol' 1995, to six digits.
#[test]
fn the_g_function() {
    let a = [0.0, 1.0, 4.5, 9.0, 99.0, 99.0, 99.0, 99.0];
    let model = |u: &[f64]| -> f64 {
        u.iter().zip(a).map(|(x, a)| ((4.0 * x - 2.0).abs() + a) / (1.0 + a)).product()
    };
    let (variance, found) = indices(&[0, 1, 2, 3, 4, 5, 6, 7], 1 << 12, 16, model);
    holds(variance, 0.465_424, 0.002);
    let exact =
        [[0.716_192, 0.787_144], [0.179_048, 0.242_198], [0.023_676, 0.034_317], [0.007_162, 0.010_460]];
    for ([first, total], exact) in found.iter().zip(exact) {
        holds(*first, exact[0], 0.006);
        holds(*total, exact[1], 0.006);
    }
}

#[test]
fn a_sum_shares_its_variance_by_squares() {
    // Σ aᵢ·xᵢ of normal inputs: S = S_T = aᵢ²σᵢ²/Σ
    let spread = Uncertain::<Length>::from_text("0 m ± 1 m").unwrap();
    let a = [1.0, 2.0, 3.0];
    let model = |u: &[f64]| -> f64 { u.iter().zip(a).map(|(u, a)| a * spread.at(*u).unwrap().value).sum() };
    let (_, found) = indices(&[0, 1, 2], 1 << 12, 16, model);
    for ([first, total], a) in found.iter().zip(a) {
        holds(*first, a * a / 14.0, 0.006);
        holds(*total, a * a / 14.0, 0.006);
    }
}

// --- distributions ---

/// Plain random numbers, for draws that have nothing to do with the points: Steele, Lea & Flood's splitmix64.
struct Random(u64);

impl Random {
    fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (((z ^ (z >> 31)) >> 12) as f64 + 0.5) / 2.0_f64.powi(52)
    }
}

#[test]
fn bands_hold_nine_of_ten_fresh_draws() {
    // A sag, half the span over the root of twice the strain, from three inputs of different kinds: band by 2048
    // points, then 1000 fresh random draws. 1000 draws of a 90 % event spread by 0.95 %: 88 to 92 %.
    let length = Uncertain::<Length>::from_text("80 m ± 0.3 m").unwrap();
    let stiffness = Uncertain::<Force>::from_text("50 kN ± 30 %").unwrap();
    let efficiency = Uncertain::<Ratio>::from_text("83 % to 95 %").unwrap();
    let load = Uncertain::triangular(kg(180.0), kg(200.0), kg(260.0)).unwrap();
    let model = |u: &[f64]| {
        let l = length.at(u[0]).unwrap().value;
        let ea = stiffness.at(u[1]).unwrap().value;
        let eta = efficiency.at(u[2]).unwrap().value;
        let w = 9.81 * load.at(u[3]).unwrap().value;
        // Loaded in the middle of a level rope: the sag y with 2EA(√(1 + 4y²/L²) − 1)·2y/L ≈ W gives y³ = W·L³/8EA.
        l / 2.0 * (w / ea).cbrt() / eta
    };
    for seed in 0..5_u32 {
        let points = SobolPoints::new(4, 2048, seed).unwrap();
        let mut u = [0.0; 4];
        let mut sags: Vec<Option<f64>> = (0..2048)
            .map(|run| {
                points.fill(run, &mut u).unwrap();
                Some(model(&u))
            })
            .collect();
        let outcomes = Outcomes::new(&mut sags, Without::CountHigh).unwrap();
        let (low, high) =
            (outcomes.quantile(0.05).unwrap().unwrap(), outcomes.quantile(0.95).unwrap().unwrap());
        let mut random = Random(u64::from(seed) + 1);
        let held = (0..1000)
            .filter(|_| {
                let u = [0; 4].map(|_| random.share());
                (low..=high).contains(&model(&u))
            })
            .count();
        println!("{held} of 1000 within the band");
        assert!((880..=920).contains(&held), "{held}");
    }
}

#[test]
fn each_distribution_has_its_quantiles() {
    let at = |q: &Uncertain<Length>, u: f64| q.at(u).unwrap().value;
    let m = Length::new::<meter>;
    let normal = Uncertain::normal(m(-2.0), m(6.0)).unwrap();
    assert!((at(&normal, 0.05) + 2.0).abs() < 1e-14 && (at(&normal, 0.95) - 6.0).abs() < 1e-14);
    assert!((at(&normal, 0.5) - 2.0).abs() < 1e-15 && normal.value() == m(2.0));
    let factor = Uncertain::lognormal(m(2.0), m(8.0)).unwrap();
    assert!((at(&factor, 0.05) - 2.0).abs() < 1e-13 && (at(&factor, 0.95) - 8.0).abs() < 1e-13);
    assert!((at(&factor, 0.5) - 4.0).abs() < 1e-14);
    let even = Uncertain::uniform(m(2.0), m(8.0)).unwrap();
    assert!((at(&even, 0.25) - 3.5).abs() < 1e-15);
    assert!(even.least() >= m(2.0) && even.greatest() <= m(8.0));
    // F(m) = (m − a)/(b − a); F(x) = (x − a)²/((b − a)(m − a)) below it
    let peak = Uncertain::triangular(m(1.0), m(2.0), m(5.0)).unwrap();
    assert!((at(&peak, 0.25) - 2.0).abs() < 1e-15);
    assert!((at(&peak, 0.0625) - 1.5).abs() < 1e-15);
    assert!((at(&peak, 1.0 - 3.0 / 16.0) - 3.5).abs() < 3e-1);
    let exact = Uncertain::exact(m(3.0)).unwrap();
    assert!(exact.is_exact() && !peak.is_exact() && exact.band() == [m(3.0); 2]);
    for one_sided in [(1.0, 1.0, 5.0), (1.0, 5.0, 5.0)] {
        let peak = Uncertain::triangular(m(one_sided.0), m(one_sided.1), m(one_sided.2)).unwrap();
        assert!(peak.least() >= m(1.0) && peak.greatest() <= m(5.0));
    }
    assert_eq!(Uncertain::normal(m(1.0), m(1.0)).unwrap_err().field, "high");
    assert_eq!(Uncertain::lognormal(m(0.0), m(1.0)).unwrap_err().field, "low");
    assert_eq!(Uncertain::triangular(m(0.0), m(2.0), m(1.0)).unwrap_err().field, "likely");
    assert_eq!(Uncertain::exact(m(f64::NAN)).unwrap_err().field, "value");
    assert_eq!(even.at(0.0).unwrap_err().field, "share");
    assert_eq!(even.at(f64::NAN).unwrap_err().field, "share");
}

#[test]
fn a_cause_in_common_correlates_and_keeps_the_distribution() {
    let samples = 4096;
    let points = SobolPoints::new(3, samples, 3).unwrap();
    let spread = Uncertain::<Length>::from_text("0 m ± 1 m").unwrap();
    for rho in [0.0, 0.3, 0.8, 1.0] {
        let (mut xy, mut xx, mut x) = (0.0, 0.0, 0.0);
        for run in 0..samples {
            let mut u = [0.0; 3];
            points.fill(run, &mut u).unwrap();
            let one = spread.at(in_common(u[0], u[1], rho).unwrap()).unwrap().value;
            let other = spread.at(in_common(u[0], u[2], rho).unwrap()).unwrap().value;
            x += one;
            xy += one * other;
            xx += 0.5 * (one * one + other * other);
        }
        // 1.645σ = 1 m. The error of 4096 scrambled points is below 1 % here.
        let variance = xx / samples as f64;
        assert!((variance * 1.644_853_627_f64.powi(2) - 1.0).abs() < 0.01, "{rho} {variance}");
        assert!((xy / xx - rho).abs() < 0.01 && (x / samples as f64).abs() < 1e-2, "{rho} {}", xy / xx);
    }
    assert_eq!(in_common(0.5, 0.5, 1.1).unwrap_err().field, "correlation");
    assert_eq!(in_common(0.0, 0.5, 0.5).unwrap_err().field, "common");
}

proptest! {
    #[test]
    fn a_greater_share_never_gives_a_smaller_value(a in 1e-9..1.0_f64, b in 1e-9..1.0_f64) {
        let (a, b) = (a.min(b).min(1.0 - 1e-9), a.max(b).min(1.0 - 1e-9));
        let m = Length::new::<meter>;
        for q in [
            Uncertain::normal(m(1.0), m(2.0)),
            Uncertain::lognormal(m(1.0), m(2.0)),
            Uncertain::uniform(m(1.0), m(2.0)),
            Uncertain::triangular(m(1.0), m(1.2), m(2.0)),
        ] {
            let q = q.unwrap();
            prop_assert!(q.at(a).unwrap() <= q.at(b).unwrap());
        }
    }
}

// --- outcomes ---

#[test]
fn a_run_without_an_answer_counts_on_the_bad_side() {
    let mut high: Vec<Option<f64>> = (0..98).map(|i| Some(f64::from(i))).chain([None, None]).collect();
    let outcomes = Outcomes::new(&mut high, Without::CountHigh).unwrap();
    assert_eq!(outcomes.quantile(0.98).unwrap(), Some(97.0));
    assert_eq!(outcomes.quantile(0.99).unwrap(), None);
    assert_eq!(outcomes.quantile(0.01).unwrap(), Some(0.0));
    assert_eq!(outcomes.above(90.0, 0.9).unwrap().count, 7 + 2);
    assert_eq!(outcomes.below(10.0, 0.9).unwrap().count, 10);
    let mut low: Vec<Option<f64>> = vec![Some(3.0), None, Some(1.0), None];
    let outcomes = Outcomes::new(&mut low, Without::CountLow).unwrap();
    assert_eq!(outcomes.quantile(0.5).unwrap(), None);
    assert_eq!(outcomes.quantile(0.75).unwrap(), Some(1.0));
    assert_eq!(outcomes.quantile(1.0).unwrap(), Some(3.0));
    assert_eq!(outcomes.below(2.0, 0.9).unwrap().count, 3);
    assert_eq!(outcomes.above(2.0, 0.9).unwrap().count, 1);
    let nan = Outcomes::new(&mut [Some(1.0), Some(f64::NAN)], Without::CountLow).map(|_| ());
    assert_eq!(nan, Err(DoubtError::NotANumber { run: 1 }));
    assert!(Outcomes::<f64>::new(&mut [], Without::CountLow).is_err());
}

// Newcombe, Statist. Med. 17 (1998), table I, method 3 (Wilson without correction): 95 % intervals to four decimals
// (from memory): half a unit of the last.
#[test]
fn wilson_intervals() {
    for (count, of, low, high) in
        [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718)]
    {
        let share = Share::wilson(count, of, 0.95).unwrap();
        assert!((share.low - low).abs() < 5.1e-5 && (share.high - high).abs() < 5.1e-5, "{share:?}");
    }
    assert_eq!(Share::wilson(20, 20, 0.95).unwrap().high, 1.0);
    assert_eq!(Share::wilson(21, 20, 0.95).unwrap_err().field, "count");
    assert_eq!(Share::wilson(1, 20, 1.0).unwrap_err().field, "confidence");
}

#[test]
fn the_interval_of_a_quantile_holds_it_as_often_as_it_says() {
    // 500 samples of 100 plain random draws: the 90 % quantile of a uniform input is 0.9.
    let mut random = Random(4);
    let mut held = 0;
    for _ in 0..500 {
        let mut draws: Vec<Option<f64>> = (0..100).map(|_| Some(random.share())).collect();
        let outcomes = Outcomes::new(&mut draws, Without::CountHigh).unwrap();
        let [low, high] = outcomes.quantile_interval(0.9, 0.9).unwrap();
        held += usize::from(low.unwrap() <= 0.9 && high.unwrap() >= 0.9);
    }
    // 90 % of 500 spread by 1.3 %; the interval goes by whole runs, which adds up to 3 %.
    println!("{held} of 500 intervals hold the quantile");
    assert!((430..=490).contains(&held), "{held}");
}

// --- text ---

#[test]
fn tolerances_are_read() {
    let mass = |text| Uncertain::<Mass>::from_text(text).unwrap();
    assert_eq!(mass("90 kg"), Uncertain::exact(kg(90.0)).unwrap());
    for text in ["90 kg ± 20 kg", "90kg±20kg", "90 kg +/- 20 kg", "90 kg +- 20 kg"] {
        let [low, high] = mass(text).band();
        assert!((low - kg(70.0)).value.abs() < 1e-12 && (high - kg(110.0)).value.abs() < 1e-12, "{text}");
        assert_eq!(mass(text).value(), kg(90.0));
    }
    // Units may differ.
    let [low, _] = Uncertain::<Force>::from_text("2 kN ± 100 N").unwrap().band();
    assert!((low.get::<newton>() - 1900.0).abs() < 1e-9);
    let [low, high] = Uncertain::<Force>::from_text("50 kN ± 30 %").unwrap().band();
    assert!((low.get::<kilonewton>() - 50.0 / 1.3).abs() < 1e-12);
    assert!((high.get::<kilonewton>() - 65.0).abs() < 1e-12);
    let share = |text| Uncertain::<Ratio>::from_text(text).unwrap();
    let [low, high] = share("90 % ± 3 %").band().map(|q| q.get::<percent>());
    assert!((low - 87.0).abs() < 1e-12 && (high - 93.0).abs() < 1e-12);
    let even = share("85 % to 95 %");
    assert!((even.at(0.5).unwrap().get::<percent>() - 90.0).abs() < 1e-12);
    assert!(even.least().get::<percent>() >= 85.0 && even.greatest().get::<percent>() <= 95.0);
    // A position may be below zero, and a temperature's spread counts from no zero.
    let [low, high] = Uncertain::<Length>::from_text("-45 m ± 1 ft").unwrap().band();
    assert!((low.value + 45.3048).abs() < 1e-12 && (high.value + 44.6952).abs() < 1e-12);
    let [low, high] = Uncertain::<ThermodynamicTemperature>::from_text("20 °C ± 5 °C").unwrap().band();
    assert!((low.get::<degree_celsius>() - 15.0).abs() < 1e-9);
    assert!((high.get::<degree_celsius>() - 25.0).abs() < 1e-9);
}

#[test]
fn malformed_tolerances_say_what_is_wrong() {
    use UncertainTextError as E;
    let mass = |text| Uncertain::<Mass>::from_text(text).unwrap_err();
    assert!(matches!(mass("90 ± 20 kg"), E::Value(TextError::NoUnit { .. })));
    assert!(matches!(mass("± 20 kg"), E::Value(TextError::NotANumber { .. })));
    assert!(matches!(mass("90 kg ±"), E::Spread(TextError::NotANumber { .. })));
    assert!(matches!(mass("90 kg ± 20"), E::Spread(TextError::NoUnit { .. })));
    assert!(matches!(mass("90 kg ± 20 m"), E::Spread(TextError::UnknownUnit { .. })));
    assert!(matches!(mass("90 kg to 20 m"), E::Upper(TextError::UnknownUnit { .. })));
    assert!(matches!(mass("90 kg to "), E::Upper(TextError::NotANumber { .. })));
    assert_eq!(mass("90 kg ± 0 kg"), E::NoSpread);
    assert_eq!(mass("90 kg ± -5 kg"), E::NoSpread);
    assert_eq!(mass("90 kg ± 0 %"), E::NoSpread);
    assert_eq!(mass("90 kg ± 5 kg ± 2 kg"), E::Twice);
    assert_eq!(mass("80 kg to 90 kg to 95 kg"), E::Twice);
    assert_eq!(mass("80 kg to 90 kg ± 1 kg"), E::Twice);
    assert_eq!(mass("90 kg to 80 kg"), E::Descending);
    assert_eq!(mass("90 kg to 90 kg"), E::Descending);
    assert!(matches!(mass("90 kg ± 150 %"), E::TooWide { percent: share } if (share - 150.0).abs() < 1e-12));
    let nothing = Uncertain::<Length>::from_text("-45 m ± 1 %").unwrap_err();
    assert_eq!(nothing, E::ShareOfNothing { unit: "m" });
    let warm = Uncertain::<ThermodynamicTemperature>::from_text("20 °C ± 5 %").unwrap_err();
    assert_eq!(warm, E::ShareOfNothing { unit: "°C" });
    assert_eq!(
        mass("90 kg ± 20").to_string(),
        "after \"±\": a mass needs a unit after the number: kg, g, t, lb"
    );
    // What is read without doubt is read as ever.
    assert!(Mass::from_text("90 kg").is_ok());
}

#[cfg(feature = "serde")]
#[test]
fn tolerances_stand_in_files() {
    #[derive(Debug, serde::Deserialize)]
    struct Load {
        patient: Uncertain<Mass>,
    }
    let load: Load = toml::from_str("patient = \"90 kg ± 20 kg\"").unwrap();
    assert_eq!(load.patient, Uncertain::from_text("90 kg ± 20 kg").unwrap());
    let wrong = toml::from_str::<Load>("patient = \"90 kg ± 20\"").unwrap_err().to_string();
    assert!(wrong.contains("\"90 kg ± 20\": after \"±\": a mass needs a unit"), "{wrong}");
}
