//! What the doubt on a site makes of its study: reference values one at a time, bands and chances against fresh draws.

use core::ops::ControlFlow;
use rope_mechanics::doubt::{Design, Index, SobolPoints};
use rope_mechanics::operation;
use rope_mechanics::operation::doubt::{Doubt, Doubts, OutputBand, Sampling, Worst};
use rope_mechanics::operation::site::{Site, TrackSetting};
use rope_mechanics::operation::study::WarningKind;
use rope_mechanics::quantity::unit::{kilonewton, meter};
use rope_mechanics::quantity::{Force, Length};

const SITE: &str = include_str!("../../../tests/sites/reference.toml");

fn read(text: &str) -> Site {
    toml::from_str(text).unwrap()
}

/// The reference site with these lines under `[doubt]`, its rope behind the head without stretch, as the independent
/// code has it.
fn in_doubt(lines: &str) -> Site {
    let mut site = read(&format!("{SITE}\n[doubt]\n{lines}\n"));
    site.track.stiffness_behind = Some(Force::new::<kilonewton>(1e9));
    site
}

fn index_of(doubts: &Doubts<'_>, key: &str) -> usize {
    doubts.inputs().iter().position(|input| input.key() == key).unwrap()
}

fn with(doubts: &Doubts<'_>, key: &str, value: f64) -> Worst {
    let mut values = doubts.nominal();
    values[index_of(doubts, key)] = value;
    doubts.worst(&values)
}

fn band<'d>(doubt: &'d Doubt, output: &str) -> &'d OutputBand {
    doubt.extremes.iter().find(|band| band.output == output).unwrap()
}

// Height and tension by an independent code, printed to 1 mm and 1 N: an elastic catenary for both strands in one, each
// case set to the same reading without its load. Its heights are those of every fifth place, which at the flat bottom of
// the height differs by less than the last digit but for the nominal case (0.228 there, 0.2251 of all places).
#[test]
fn one_thing_at_a_time_moves_height_and_tension_by_the_reference_values() {
    let site = in_doubt("");
    let doubts = Doubts::new(&site).unwrap();
    let found = |worst: &Worst| {
        (worst.get("litter_height_hauled").unwrap(), worst.get("strand_tension_head").unwrap())
    };
    let (height, tension) = found(&doubts.worst(&doubts.nominal()));
    assert!((height - 0.2251).abs() < 5e-5 && (tension - 3200.0).abs() < 1e-6);

    let (height, tension) = found(&with(&doubts, "track.rope.stiffness", 35e3));
    assert!((height - 0.120).abs() < 5e-4 && (tension - 3094.0).abs() < 0.5, "{height} {tension}");
    // 0.5 m of rope, half of it in each strand.
    let (height, tension) = found(&with(&doubts, "doubt.slip", 0.5));
    assert!((height - 0.030).abs() < 6e-4 && (tension - 3060.0).abs() < 0.5, "{height} {tension}");
    // 220 kg hang on the line.
    let (height, tension) = found(&with(&doubts, "load", 240.0 / 220.0));
    assert!((height - -0.044).abs() < 2e-3 && (tension - 3257.0).abs() < 0.5, "{height} {tension}");
    // "−13 %" stands for 12.5 to 13.5 %: one number of these gives both digits.
    let fits = (1250..1350).any(|loss| {
        let (height, tension) = found(&with(&doubts, "doubt.relaxation", 1e-4 * f64::from(loss)));
        (height - -0.189).abs() < 2e-3 && (tension - 2922.0).abs() < 0.5
    });
    assert!(fits);
    // A cell that shows so much too much does the same, but for what the bends of an easier rope turn by.
    let (low, slack) = found(&with(&doubts, "doubt.reading", 1.0 / 0.87 - 1.0));
    let (height, tension) = found(&with(&doubts, "doubt.relaxation", 0.13));
    assert!((low - height).abs() < 2e-4 && (slack - tension).abs() < 0.2);
}

#[test]
fn without_doubt_the_worst_of_a_draw_is_what_the_study_prints() {
    let site = read(SITE);
    let study = operation::solve(&site).unwrap();
    assert!(study.doubt.is_none());
    let doubts = Doubts::new(&site).unwrap();
    let worst = doubts.worst(&doubts.nominal());
    let summary = &study.summary;
    for (output, printed) in [
        ("litter_height", summary.least_litter_height.si.value),
        ("strand_tension_head", summary.greatest_reading.si.value),
        ("winch_pull", summary.greatest_winch_pull.si.value),
        ("current", summary.greatest_current.si.value),
    ] {
        let found = worst.get(output).unwrap();
        assert!((found - printed).abs() < 1e-8 * (1.0 + printed.abs()), "{output}: {found} {printed}");
    }
    // These are the worst of the places looked at: of 25 of 206, on the safe side of none by more than this.
    for (output, printed, off) in [
        ("greatest_litter_height", summary.greatest_litter_height.si.value, 0.01),
        ("frame_margin", summary.least_margin.as_ref().unwrap().margin.value, 2e-4),
    ] {
        let found = worst.get(output).unwrap();
        assert!((found - printed).abs() < off, "{output}: {found} {printed}");
    }
    assert!(worst.get("litter").is_none() && worst.get("force at moon").is_none());
}

#[test]
fn a_tolerance_is_read_where_something_is_drawn_from_it_and_refused_by_its_key_elsewhere() {
    let changed = |from: &str, to: &str| {
        assert!(SITE.contains(from));
        SITE.replacen(from, to, 1)
    };
    // The study goes by the value.
    let plain = operation::solve(&read(SITE)).unwrap();
    let text = changed("patient = \"90 kg\"", "patient = \"90 kg ± 20 kg\"");
    let site = read(&text);
    assert_eq!(operation::solve(&site).unwrap().summary, plain.summary);
    let doubts = Doubts::new(&site).unwrap();
    let patient = &doubts.inputs()[index_of(&doubts, "load.patient")];
    let [low, high] = patient.band();
    assert!((low - 70.0).abs() < 1e-9 && (high - 110.0).abs() < 1e-9 && patient.value() == 90.0);
    // Written and read again it is the same.
    let again: Site = serde_json::from_str(&serde_json::to_string(&site).unwrap()).unwrap();
    assert_eq!(again.load.patient.value(), site.load.patient.value());
    for (end, other) in again.load.patient.band().into_iter().zip(site.load.patient.band()) {
        assert!((end - other).value.abs() < 1e-12);
    }

    for (from, to, key) in [
        ("head_efficiency = \"90 %\"", "head_efficiency = \"85 % to 95 %\"", "track.head_efficiency"),
        (
            "set = { greatest_reading = \"3.2 kN\" }",
            "set = { greatest_reading = \"3.2 kN ± 5 %\" }",
            "track.set.greatest_reading",
        ),
        ("x = \"62 m\"", "x = \"62 m ± 1 m\"", "far_anchor.x"),
        ("# stiffness = \"50 kN\"", "stiffness = \"50 kN +/- 10 %\" #", "track.rope.stiffness"),
        ("hang = \"1.1 m\"", "hang = \"1 m to 1.2 m\"", "load.hang"),
    ] {
        let text = changed(from, to);
        let site = read(&text);
        let doubts = Doubts::new(&site).unwrap();
        let input = &doubts.inputs()[index_of(&doubts, key)];
        assert!(input.band()[0] < input.value() && input.value() < input.band()[1], "{key}");
        assert_eq!(doubts.groups().nth(input.group()), Some(key), "by itself");
    }
    // The set's own tolerance stands for the cell's.
    let text = changed("3.2 kN", "3.2 kN ± 5 %");
    let site = read(&text);
    assert!(!Doubts::new(&site).unwrap().inputs().iter().any(|input| input.key() == "doubt.reading"));

    for (from, to, key) in [
        ("reading = \"930 lbf\"       #", "reading = \"930 lbf ± 5 %\" #", "limits.reading"),
        ("on_hand = \"600 ft\"", "on_hand = \"600 ft ± 2 ft\"", "track.on_hand"),
        ("leg = \"36 kN\"", "leg = \"30 kN to 40 kN\"", "ratings.leg"),
    ] {
        let text = changed(from, to);
        let mut track = serde_path_to_error::Track::new();
        let reader =
            serde_path_to_error::Deserializer::new(toml::Deserializer::parse(&text).unwrap(), &mut track);
        let why = <Site as serde::Deserialize>::deserialize(reader).unwrap_err().to_string();
        assert!(why.contains("has a tolerance, but none is drawn on here"), "{why}");
        assert_eq!(track.path().to_string(), key);
    }
    for (from, to, key) in [
        (
            "class = \"11 mm polyester\"",
            "class = \"11 mm polyester\"\nstiffness = \"80 kN ± 30 %\"",
            "haul.rope.stiffness",
        ),
        ("ground_friction = \"40 %\"", "ground_friction = \"90 % ± 30 %\"", "load.ground_friction"),
        (
            "set = { greatest_reading = \"3.2 kN\" }",
            "set = { litter_height = \"0.4 m ± 0.1 m\" }",
            "track.set.litter_height",
        ),
    ] {
        let text = changed(from, to);
        let why = Doubts::new(&read(&text)).err().unwrap();
        assert_eq!(why.key, key);
        assert!(why.problem.contains("tolerance"), "{why}");
    }
    for (lines, key) in [
        ("samples = 100", "doubt.samples"),
        ("samples = 32", "doubt.samples"),
        ("parts = 0", "doubt.parts"),
        ("relaxation = \"10 %\"", "doubt.relaxation"),
        ("ground = \"1 m ± 0.2 m\"", "doubt.ground"),
    ] {
        assert_eq!(operation::solve(&in_doubt(lines)).unwrap_err().key, key);
    }
    let none = in_doubt(
        "relaxation = \"0 %\"\nslip = \"0 m\"\neased = \"0 %\"\nreading = \"0 %\"\nground = \"0 m\"",
    );
    assert!(!Doubts::new(&none).unwrap().inputs().iter().any(|input| input.key().starts_with("doubt.")));
}

#[test]
fn the_same_seed_gives_the_same_bits_on_any_number_of_threads_and_another_seed_others() {
    let site = in_doubt("parts = 8");
    let doubts = Doubts::new(&site).unwrap();
    let sampling = Sampling::new().with_samples(64);
    let one = doubts.sample(sampling.with_threads(1)).unwrap();
    let two = doubts.sample(sampling.with_threads(2)).unwrap();
    assert_eq!(one, two);
    let json = |doubt: &Doubt| serde_json::to_string(doubt).unwrap();
    assert_eq!(json(&one), json(&two));
    let quick = sampling.without_indices();
    let three = doubts.sample(quick.with_threads(3)).unwrap();
    assert_eq!(one.extremes, three.extremes);
    assert!(three.indices.is_empty() && three.measure_first.is_empty());
    let other = doubts.sample(quick.with_seed(2)).unwrap();
    assert_ne!(one.extremes, other.extremes);

    // The groups' parts of the variance add up to about one, each total is at least its first but for noise.
    assert_eq!(one.indices.len(), 5);
    assert!(!one.measure_first.is_empty() && one.measure_first.len() <= 3);
    for output in &one.indices {
        assert_eq!(output.groups.len(), doubts.groups().count());
        assert!(output.groups.windows(2).all(|pair| pair[0].total >= pair[1].total));
    }
}

#[test]
fn a_study_that_is_asked_for_doubt_has_it_and_can_be_stopped_on_the_way() {
    let site = in_doubt("samples = 64\nparts = 8\nseed = 3");
    let mut told = Vec::new();
    let study = operation::solve_with_progress(&site, |done, of| told.push((done, of))).unwrap();
    let doubt = study.doubt.as_ref().unwrap();
    assert_eq!((doubt.samples, doubt.seed), (64, 3));
    // 64 samples, and 8 of each group, of none and of all.
    let runs = 64 + 8 * (Doubts::new(&site).unwrap().groups().count() + 2);
    let all = study.positions.len() + runs;
    assert_eq!(*told.last().unwrap(), (all, all));
    assert!(told.windows(2).all(|pair| pair[0].0 < pair[1].0));
    // Every band holds what the study prints, or lies wholly on the slack side of it, to which relaxation and slip go.
    let height = band(doubt, "litter_height");
    assert!(height.low.unwrap() < height.median.unwrap() && height.median.unwrap() < height.nominal.unwrap());
    for bands in &doubt.positions {
        let position = &study.positions[bands.position];
        let pull = bands.bands.iter().find(|band| band.output == "haul_pull").unwrap();
        assert!((pull.nominal.unwrap() - position.haul_pull.value).abs() < 1e-6);
        let angle = bands.bands.iter().find(|band| band.output == "interior_angle").unwrap();
        assert!((angle.nominal.unwrap() - position.interior_angle.value).abs() < 1e-9);
        assert!(angle.low < angle.median && angle.median < angle.high, "{angle:?}");
        let carriage = bands.bands.iter().find(|band| band.output == "carriage_height").unwrap();
        assert!((carriage.nominal.unwrap() - position.carriage_height.value).abs() < 1e-9);
        assert!(carriage.low < carriage.median && carriage.median < carriage.high, "{carriage:?}");
        // Of what is used, the mean pull over a part of the travel makes less than 1 % of another figure than the study's
        // over all its positions.
        let charge = bands.bands.iter().find(|band| band.output == "battery_charge").unwrap();
        let used = 1.0 - position.battery_charge.unwrap().value;
        assert!((1.0 - charge.nominal.unwrap() - used).abs() <= 0.01 * used, "{charge:?} {used}");
        let spread = [charge.low, charge.median, charge.high].map(Option::unwrap);
        assert!(bands.position == 0 && spread == [1.0; 3] || spread.is_sorted_by(|a, b| a < b), "{charge:?}");
        assert!(pull.low.unwrap() < pull.high.unwrap());
    }
    let json = serde_json::to_value(&study).unwrap();
    assert!(json["doubt"]["limits"].as_array().unwrap().iter().any(|limit| limit["kind"] == "litter-drags"));
    let battery = doubt.limits.iter().find(|limit| limit.output == "battery_charge").unwrap();
    assert_eq!((battery.kind, battery.limit), (WarningKind::Battery, Some(0.2)));
    assert_eq!(battery.bad_side, band(doubt, "battery_charge").low);

    let mut asked = 0;
    let stopped = operation::solve_while(&site, |_, of| {
        asked += 1;
        if of > study.positions.len() { ControlFlow::Break(asked) } else { ControlFlow::Continue(()) }
    });
    // Asked after each position, after each failure, after the first sample, and after each other part before: the readings
    // to expect, the changeover, the clearances, the settled track and the alternatives.
    let failures = study.failures.as_ref().unwrap().rows.len();
    assert_eq!(stopped.unwrap(), ControlFlow::Break(study.positions.len() + failures + 1 + 5));
}

#[test]
fn a_sample_without_an_equilibrium_is_counted_on_the_worse_side() {
    // So much rope may slip that even the carriage, a hand above its litter, would lie on the ground.
    let mut site = in_doubt("parts = 8\nslip = \"0 m to 19 m\"");
    site.load.hang = Length::new::<meter>(0.1).into();
    let doubts = Doubts::new(&site).unwrap();
    let doubt = doubts.sample(Sampling::new().with_samples(64).without_indices()).unwrap();
    let slip = index_of(&doubts, "doubt.slip");
    let points = SobolPoints::new(doubts.shares(), 64, 1).unwrap();
    let mut none = 0;
    for run in 0..64 {
        let mut shares = vec![0.0; doubts.shares()];
        points.fill(run, &mut shares).unwrap();
        let values = doubts.at(&shares).unwrap();
        let worst = doubts.worst(&values);
        none += usize::from(worst.get("strand_tension_head").is_none());
        // Its sign is known: the slackest have none, the tightest do.
        assert!(!worst.no_balance || values[slip] > 1.0);
    }
    assert!(none > 4 && none < 60, "{none}");
    for output in ["strand_tension_head", "litter_height"] {
        assert_eq!(band(&doubt, output).without_answer, none);
    }
    // More than one in twenty: a height has no lower end, a tension no upper one.
    assert!(band(&doubt, "litter_height").low.is_none() && band(&doubt, "litter_height").high.is_some());
    assert!(
        band(&doubt, "strand_tension_head").high.is_none()
            && band(&doubt, "strand_tension_head").low.is_some()
    );
    let lost = doubt.limits.iter().find(|limit| limit.kind == WarningKind::CarriageOnGround).unwrap();
    assert_eq!((lost.chance.count, lost.chance.of), (none, 64));
    assert!(lost.passed_at_bad_side && !lost.passed);
    // They pass every limit.
    for limit in &doubt.limits {
        assert!(
            limit.kind == WarningKind::RollsIn
                || limit.kind == WarningKind::RopeTooShort
                || limit.chance.count >= none
        );
    }
}

/// Xorshift: random shares that have nothing of the sequence.
struct Random(u64);

impl Random {
    fn share(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        ((self.0 >> 12) as f64 + 0.5) / (1_u64 << 52) as f64
    }
}

// Of 1000 draws a band of exactly 90 % holds 900 ± 9.5; with the band's own error from 512 samples, about as much again,
// 88 to 92 % are twice its standard deviation. The draws are the same in every run of the test.
#[test]
fn bands_hold_nine_tenths_of_fresh_draws_and_chances_are_those_of_brute_force() {
    let site = in_doubt("parts = 8");
    let doubts = Doubts::new(&site).unwrap();
    let doubt = doubts.sample(Sampling::new().with_samples(512).without_indices()).unwrap();
    const FRESH: usize = 1000;
    let mut random = Random(0x2545_f491_4f6c_dd1d);
    let mut draws = Vec::with_capacity(FRESH);
    for _ in 0..FRESH {
        let shares: Vec<f64> = (0..doubts.shares()).map(|_| random.share()).collect();
        draws.push(doubts.worst(&doubts.at(&shares).unwrap()));
    }
    for output in ["litter_height", "strand_tension_head", "greatest_reading", "winch_pull", "frame_margin"] {
        let band = band(&doubt, output);
        let (low, high) = (band.low.unwrap(), band.high.unwrap());
        let held = draws.iter().filter(|draw| (low..=high).contains(&draw.get(output).unwrap())).count();
        assert!((880..=920).contains(&held), "{output}: {held} of {FRESH}");
    }
    let mut judged = 0;
    for limit in doubt.limits.iter().filter(|limit| limit.limit.is_some()) {
        let Some(nominal) = limit.nominal else { continue };
        if limit.output == "spare_rope" || limit.output == "capstan_tail" {
            continue;
        }
        let bound = limit.limit.unwrap();
        let falls = matches!(
            limit.kind,
            WarningKind::Frame | WarningKind::LitterDrags | WarningKind::TrackOnGround | WarningKind::Battery
        );
        assert_eq!(limit.passed, if falls { nominal < bound } else { nominal > bound });
        let passes = |draw: &Worst| {
            draw.get(&limit.output).is_none_or(|value| if falls { value < bound } else { value > bound })
        };
        let brute = draws.iter().filter(|draw| passes(draw)).count() as f64 / FRESH as f64;
        let share = limit.chance.share;
        // Four standard deviations of the difference, of both as if they were random draws.
        let p = 0.5 * (brute + share);
        let off = 4.0 * (p * (1.0 - p) * (1.0 / 512.0 + 1.0 / FRESH as f64)).sqrt();
        assert!((brute - share).abs() <= off, "{}: {share} {brute}", limit.output);
        assert!(limit.chance.low <= share && share <= limit.chance.high);
        judged += usize::from(share > 0.0 && share < 1.0);
        let bad = limit.bad_side.unwrap();
        assert_eq!(limit.passed_at_bad_side, if falls { bad < bound } else { bad > bound });
    }
    assert!(judged >= 3, "limits that are passed in some cases only");
}

// The mean over N random draws errs by σ/√N. Over a scrambled sequence it errs by less, and faster so.
#[test]
fn a_mean_over_the_samples_errs_less_than_one_over_random_draws_and_falls_faster() {
    let site = in_doubt("parts = 8");
    let doubts = Doubts::new(&site).unwrap();
    let mean_and_variance = |samples: usize, seed: u32| {
        let points = SobolPoints::new(doubts.shares(), samples, seed).unwrap();
        let values: Vec<f64> = (0..samples)
            .map(|run| {
                let mut shares = vec![0.0; doubts.shares()];
                points.fill(run, &mut shares).unwrap();
                doubts.worst(&doubts.at(&shares).unwrap()).get("strand_tension_head").unwrap()
            })
            .collect();
        let mean = values.iter().sum::<f64>() / samples as f64;
        (mean, values.iter().map(|value| (value - mean).powi(2)).sum::<f64>() / samples as f64)
    };
    const SEEDS: u32 = 8;
    let error = |samples: usize| {
        let found: Vec<_> = (1..=SEEDS).map(|seed| mean_and_variance(samples, seed)).collect();
        let middle = found.iter().map(|(mean, _)| mean).sum::<f64>() / f64::from(SEEDS);
        let square = found.iter().map(|(mean, _)| (mean - middle).powi(2)).sum::<f64>();
        let variance = found.iter().map(|(_, variance)| variance).sum::<f64>() / f64::from(SEEDS);
        ((square / f64::from(SEEDS - 1)).sqrt(), (variance / samples as f64).sqrt())
    };
    let ((few, _), (many, of_random)) = (error(8), error(64));
    let order = (few / many).ln() / 8_f64.ln();
    println!("order {order:.2}; {many:.2} N where random draws err by {of_random:.2} N");
    assert!(many < 0.5 * of_random, "{many} {of_random}");
    assert!(order > 0.5, "{order}");
}

// Backwards: of small spreads every output is a linear function, f = Σ aᵢ·xᵢ, so that Sᵢ = S_Tᵢ = aᵢ²σᵢ²/Σ aⱼ²σⱼ².
#[test]
fn of_small_spreads_the_indices_are_those_of_the_slopes() {
    let site = in_doubt("parts = 8");
    let doubts = Doubts::new(&site).unwrap();
    // Uniform over these widths about the nominal values.
    let inputs = [("load", 0.02), ("track.rope.stiffness", 500.0), ("doubt.reading", 0.006)];
    let places = inputs.map(|(key, _)| index_of(&doubts, key));
    let at = |shares: [f64; 3]| {
        let mut values = doubts.nominal();
        for ((place, (_, width)), share) in places.iter().zip(inputs).zip(shares) {
            values[*place] += width * (share - 0.5);
        }
        doubts.worst(&values).get("strand_tension_head").unwrap()
    };
    let slopes = [0, 1, 2].map(|i| {
        let (mut low, mut high) = ([0.5; 3], [0.5; 3]);
        (low[i], high[i]) = (0.0, 1.0);
        at(high) - at(low)
    });
    let sum: f64 = slopes.iter().map(|slope| slope * slope).sum();
    let design = Design::new(&[0, 1, 2], 64, 1).unwrap();
    let values: Vec<f64> = (0..design.runs())
        .map(|run| {
            let mut shares = [0.0; 3];
            design.fill(run, &mut shares).unwrap();
            at(shares)
        })
        .collect();
    let mut indices = [Index::default(); 3];
    let variance = design.indices(&values, &mut indices).unwrap();
    // Of a share the variance is 1/12.
    assert!((variance.variance / (sum / 12.0) - 1.0).abs() < 0.02);
    for (index, slope) in indices.iter().zip(slopes) {
        let exact = slope * slope / sum;
        assert!(exact > 0.02, "each of them matters");
        // 64 samples of a linear function: the error falls as N^(−3/2), times the number of terms.
        assert!(
            (index.first - exact).abs() < 0.02 && (index.total - exact).abs() < 0.02,
            "{index:?} {exact}"
        );
    }
}

#[test]
fn a_rope_is_set_by_its_reading_whatever_was_asked_for() {
    let mut site = read(SITE);
    for set in [
        TrackSetting::UnloadedTension(Force::new::<kilonewton>(3.2).into()),
        TrackSetting::LitterHeight(Length::new::<meter>(0.2).into()),
    ] {
        site.track.set = set;
        let study = operation::solve(&site).unwrap();
        let doubts = Doubts::new(&site).unwrap();
        let worst = doubts.worst(&doubts.nominal());
        let printed = study.summary.least_litter_height.si.value;
        assert!((worst.get("litter_height").unwrap() - printed).abs() < 1e-8);
        // With worse sheaves the same reading stands for more in the strands.
        let far = with(&doubts, "far_anchor.efficiency", 0.85);
        assert!(far.get("strand_tension_head") > worst.get("strand_tension_head"));
    }
}
