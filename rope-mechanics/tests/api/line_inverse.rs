//! How much rope gives a tension or a sag: answered backwards from lines whose length is known.

use rope_mechanics::line::elastic::{ElasticSpan, End};
use rope_mechanics::line::{LineError, LineState};
use rope_mechanics::quantity::unit::{meter, newton, newton_per_meter};
use rope_mechanics::quantity::{Force, Length, LineWeight};
use rope_mechanics::rope::Stretch;
use std::f64::consts::FRAC_PI_2;

fn m(value: f64) -> Length {
    Length::new::<meter>(value)
}

fn n(value: f64) -> Force {
    Force::new::<newton>(value)
}

fn supports(x: f64, z: f64, w: f64, a: f64, b: f64) -> ElasticSpan {
    let stretch = Stretch::stiffening(n(a), n(b)).unwrap();
    ElasticSpan::new(m(x), m(z), LineWeight::new::<newton_per_meter>(w), stretch).unwrap()
}

fn hung(supports: &ElasticSpan, length: f64) -> LineState {
    let state = supports.with_length(m(length)).unwrap().solve();
    state.unwrap_or_else(|why| panic!("{supports:?} {length}: {why}"))
}

/// Numbers that look random and are the same on every run (splitmix64).
struct Numbers(u64);

impl Numbers {
    fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut x = self.0;
        x = (x ^ (x >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        x = (x ^ (x >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((x ^ (x >> 31)) >> 11) as f64 / 9_007_199_254_740_992.0
    }

    fn between(&mut self, lo: f64, hi: f64) -> f64 {
        lo + (hi - lo) * self.share()
    }

    /// Every power of ten alike.
    fn of_size(&mut self, lo: f64, hi: f64) -> f64 {
        self.between(lo.ln(), hi.ln()).exp()
    }
}

#[derive(Debug, Clone, Copy)]
enum Question {
    HorizontalTension,
    Tension(End),
    Sag,
}

impl Question {
    const ALL: [Self; 4] =
        [Self::HorizontalTension, Self::Tension(End::First), Self::Tension(End::Last), Self::Sag];

    fn of(self, state: &LineState) -> f64 {
        match self {
            Self::HorizontalTension => state.horizontal_tension().value,
            Self::Tension(End::First) => state.first_tension().value,
            Self::Tension(End::Last) => state.last_tension().value,
            Self::Sag => state.sag().value,
        }
    }

    fn length(self, supports: &ElasticSpan, value: f64) -> Result<f64, LineError> {
        match self {
            Self::HorizontalTension => supports.length_for_horizontal_tension(n(value)),
            Self::Tension(end) => supports.length_for_tension(end, n(value)),
            Self::Sag => supports.length_for_sag(m(value)),
        }
        .map(|length| length.value)
    }
}

/// Asks each question that the line answers, and checks that the length found gives the value back.
fn asked_backwards(supports: &ElasticSpan, length: f64, chord: f64) -> u32 {
    let known = hung(supports, length);
    let plumb = known.horizontal_tension().value == 0.0;
    let mut answered = 0;
    for question in Question::ALL {
        let value = question.of(&known);
        let larger = known.greatest_tension().value;
        let mut known_to = 1.0;
        match question {
            // Sizes below 1e-30, and above 1e15 N and 1e7 m, are refused by name.
            _ if value < 1e-29 => continue,
            Question::Sag if value > 9.99e6 => continue,
            Question::HorizontalTension | Question::Tension(_) if value > 9.99e14 => continue,
            // They need a span.
            Question::HorizontalTension | Question::Sag if plumb => continue,
            Question::HorizontalTension | Question::Sag => {}
            Question::Tension(_) => {
                // Of the two lengths with this tension the taut one is asked for.
                let step = (0.01 * (length / chord - 1.0).abs()).clamp(1e-14, 1e-6);
                let longer = supports.with_length(m(length * (1.0 + step))).unwrap().solve();
                // A longer one without weight has no shape.
                let less = longer.map_or(0.0, |longer| question.of(&longer));
                if less >= question.of(&hung(supports, length * (1.0 - step))) {
                    continue;
                }
                // A line is certified to 1e-12 of its larger tension.
                known_to = larger / value;
            }
        }
        let found = question.length(supports, value);
        let found = found.unwrap_or_else(|why| panic!("{question:?} {supports:?} {length}: {why}"));
        let again = question.of(&hung(supports, found));
        let spacing = question.of(&hung(supports, found * (1.0 + 8.0 * f64::EPSILON))) / again - 1.0;
        let error = (again / value - 1.0).abs();
        // The promise of the line, and that of the length.
        let allowed = 2e-12 * known_to + spacing.abs();
        assert!(error <= allowed, "{question:?} {supports:?} {length}: {found} is off by {error:e}");
        answered += 1;
    }
    answered
}

#[test]
fn every_line_is_found_again_by_its_tensions_and_by_its_sag() {
    let mut numbers = Numbers(1);
    let mut answered = 0;
    for line in 0..8000 {
        let chord = numbers.of_size(0.01, 1e4);
        // Level, anywhere, and nearly plumb to plumb.
        let slope = match line % 4 {
            0 => 0.0,
            1 => numbers.between(-FRAC_PI_2, FRAC_PI_2),
            2 => numbers.between(-1.2, 1.2),
            _ => (FRAC_PI_2 - numbers.of_size(1e-11, 0.3)) * if line % 8 == 3 { 1.0 } else { -1.0 },
        };
        let plumb = line % 32 == 3;
        let span = if plumb { 0.0 } else { chord * slope.cos() };
        let rise = if plumb { chord } else { chord * slope.sin() };
        let a = numbers.of_size(1e2, 1e9);
        let b = if line % 5 < 2 { 0.0 } else { a * numbers.of_size(1e-4, 1e5) };
        let weight = if line % 50 == 7 { 0.0 } else { numbers.of_size(1e-5, 1e3) };
        let slack = line % 2 == 0 && weight > 0.0;
        let length = if slack {
            chord * (1.0 + numbers.of_size(1e-8, 100.0))
        } else {
            chord / (1.0 + numbers.of_size(1e-7, 1.0))
        };
        // No rope bears three times its stiffness.
        if weight * length < 3.0 * (a + b) {
            let supports = supports(span, rise, weight, a, b);
            answered += asked_backwards(&supports, length, chord);
        }
    }
    assert!(answered > 20_000, "{answered}");
}

#[test]
fn a_rope_stretched_to_several_times_its_length_is_found_by_its_sag() {
    // Newton's slope left out that a longer rope is heavier: these were refused.
    for (x, z, length, w, ea) in [
        (
            2735.90024204513,
            358.234_647_664_913_7,
            327.034_362_713_703_4,
            7.748_328_869_511_518e-3,
            107_034.011_785_287_5,
        ),
        (
            0.517_207_838_739_937_6,
            -7_757.126_811_988_214,
            757.010_842_657_717_6,
            0.140_064_609_082_671_1,
            1.165_656_481_433_328_4e10,
        ),
    ] {
        let of = supports(x, z, w, ea, 0.0);
        assert_eq!(asked_backwards(&of, length, x.hypot(z)), 4);
    }
}

/// The range that the page of [`ElasticSpan`] states, to its ends.
#[test]
fn every_line_of_the_whole_range_is_found_again() {
    let mut numbers = Numbers(5);
    let mut answered = 0;
    for line in 0..20_000 {
        let chord = numbers.of_size(1e-3, 9.9e6);
        let slope = match line % 4 {
            0 => 0.0,
            1 => numbers.between(-FRAC_PI_2, FRAC_PI_2),
            2 => numbers.between(-1.2, 1.2),
            _ => (FRAC_PI_2 - numbers.of_size(1e-11, 0.3)) * if line % 8 == 3 { 1.0 } else { -1.0 },
        };
        let plumb = line % 32 == 3;
        let span = if plumb { 0.0 } else { chord * slope.cos() };
        let rise = if plumb { chord } else { chord * slope.sin() };
        let a = numbers.of_size(1e-29, 1e14);
        let b = if line % 5 < 2 { 0.0 } else { (a * numbers.of_size(1e-6, 1e6)).clamp(1e-30, 9e14) };
        let length = if line % 2 == 0 {
            chord * (1.0 + numbers.of_size(1e-12, 1000.0))
        } else {
            chord / (1.0 + numbers.of_size(1e-9, 4.0))
        };
        // From next to nothing to the heaviest: 99 times its stiffness.
        let heaviest = 99.0 * (a + b) / length.max(chord);
        let weight = match line % 3 {
            0 => numbers.of_size(1e-29, 1e11),
            1 => numbers.of_size(1e-10, 1.0) * heaviest,
            _ => heaviest,
        };
        if (1e-29..=heaviest.min(1e11)).contains(&weight) && length < 9.9e6 {
            answered += asked_backwards(&supports(span, rise, weight, a, b), length, chord);
        }
    }
    assert!(answered > 30_000, "{answered}");
}

#[test]
fn beyond_the_range_the_weight_or_the_value_is_refused_by_name() {
    // Supports 50 m apart, a + b = 1000 N: 100 times that is 2000 N/m.
    let of = |w| supports(30.0, 40.0, w, 400.0, 600.0);
    // The heaviest is answered; more of it pulls harder at both ends, so that it is asked for by H and sag alone.
    assert_eq!(asked_backwards(&of(1999.0), 45.0, 50.0), 2);
    for question in Question::ALL {
        let why = question.length(&of(2001.0), 10.0).unwrap_err();
        assert_eq!(why.to_string(), "line_weight is 2001 N/m, but must be at most 2000 N/m", "{question:?}");
    }
    // 100 000 N of it is 100 m of rope.
    let longest = hung(&of(1000.0), 100.0);
    for (question, within, beyond, field) in [
        (Question::HorizontalTension, 1.0 + 1e-6, 0.5, "horizontal_tension"),
        (Question::Sag, 1.0 - 1e-6, 2.0, "sag"),
    ] {
        let value = question.of(&longest);
        assert!((99.0..=100.0).contains(&question.length(&of(1000.0), value * within).unwrap()));
        let Err(LineError::OutOfReach { field: named, lowest, highest, .. }) =
            question.length(&of(1000.0), value * beyond)
        else {
            panic!("{question:?}")
        };
        let bound = if field == "sag" { highest } else { lowest };
        assert!(named == field && (bound / value - 1.0).abs() < 1e-9, "{named} {bound} {value}");
    }
}

#[test]
fn a_taut_rope_that_stiffens_is_found_by_its_sag() {
    // The sag of these was asked for more closely than it could be told.
    let of = supports(
        8.224_928_143_379_207,
        -44.113_459_755_100_86,
        0.892_264_668_625_710_9,
        309_281.331_423_132_4,
        7_209_935.572_796_628,
    );
    assert_eq!(asked_backwards(&of, 40.553_254_112_372_755, 44.87), 4);
    let mut numbers = Numbers(2);
    for _ in 0..1000 {
        let slope = numbers.between(-1.5, 1.5);
        let chord = numbers.of_size(1.0, 500.0);
        let (a, w) = (numbers.of_size(1e4, 1e6), numbers.of_size(0.1, 10.0));
        let b = a * numbers.of_size(1.0, 100.0);
        let of = supports(chord * slope.cos(), chord * slope.sin(), w, a, b);
        assert_eq!(asked_backwards(&of, chord / (1.0 + numbers.of_size(1e-3, 0.2)), chord), 4);
    }
}

#[test]
fn a_plumb_rope_is_found_by_any_tension_from_the_least_on() {
    let mut numbers = Numbers(3);
    for _ in 0..1500 {
        let (drop, w) = (numbers.of_size(1.0, 1000.0), numbers.of_size(0.1, 30.0));
        let a = numbers.of_size(1e3, 1e7);
        let of = supports(0.0, -drop, w, a, a * numbers.of_size(1e-2, 1e3));
        // Below the least tension its own weight pulls harder, and what that is is said.
        let Err(LineError::OutOfReach { lowest, .. }) = of.length_for_tension(End::First, n(1e-3 * w * drop))
        else {
            panic!("{of:?}")
        };
        assert!(lowest > 0.0 && lowest <= w * drop);
        for more in [1e-12, 1e-9, 1e-6, 1e-3, 1.0] {
            let tension = lowest * (1.0 + more);
            let length = of.length_for_tension(End::First, n(tension)).unwrap();
            let back = hung(&of, length.value).first_tension().value;
            let near = hung(&of, length.value * (1.0 - 8.0 * f64::EPSILON)).first_tension().value;
            assert!((back - tension).abs() <= 2e-12 * tension + (near - back).abs(), "{of:?} {more}");
        }
        // The lower end may pull with anything.
        for tension in [1e-9, 1.0, 1e3] {
            let length = of.length_for_tension(End::Last, n(tension)).unwrap();
            let state = hung(&of, length.value);
            let near = hung(&of, length.value * (1.0 - 8.0 * f64::EPSILON)).last_tension().value;
            let back = state.last_tension().value;
            let allowed = 2e-12 * state.greatest_tension().value + (near - back).abs();
            assert!((back - tension).abs() <= allowed, "{of:?} {tension}: {back}");
        }
    }
}

#[test]
fn no_length_gives_less_than_the_least_tension_and_that_is_told() {
    let mut numbers = Numbers(4);
    for _ in 0..500 {
        let (slope, chord) = (numbers.between(-1.5, 1.5), numbers.of_size(1.0, 500.0));
        let a = numbers.of_size(1e4, 1e6);
        let b = if numbers.share() < 0.5 { 0.0 } else { 10.0 * a };
        let of = supports(chord * slope.cos(), chord * slope.sin(), numbers.of_size(0.1, 10.0), a, b);
        for end in [End::First, End::Last] {
            let too_little = n(1e-4 * chord * 0.1);
            let Err(LineError::OutOfReach { lowest, .. }) = of.length_for_tension(end, too_little) else {
                continue;
            };
            assert!(lowest > too_little.value);
            // A little above it is found, a little below is refused with the same bound.
            let length = of.length_for_tension(end, n(lowest * (1.0 + 1e-9))).unwrap().value;
            let back = Question::Tension(end).of(&hung(&of, length));
            let larger = hung(&of, length).greatest_tension().value;
            assert!((back / lowest - 1.0).abs() < 1e-8 + 2e-12 * larger / lowest, "{of:?} {end:?}");
            let refused = of.length_for_tension(end, n(lowest * (1.0 - 1e-3))).unwrap_err();
            assert!(
                matches!(refused, LineError::OutOfReach { lowest: l, .. } if (l / lowest - 1.0).abs() < 1e-6)
            );
        }
    }
}

/// Computed at 60 digits from the two equations of the elastic catenary; half a unit of the last digit printed.
#[test]
fn the_sag_of_a_nearly_plumb_line_is_exact() {
    for (x, z, length, w, ea, sag) in [
        (1e-3, 50.0, 50.001, 2.0, 1e9, 38.826_267_680_996_752_8),
        (1e-6, -50.0, 50.0001, 2.0, 1e9, 42.634_808_078_663_658_5),
        (1e-9, -30.0, 30.0003, 5.0, 1e6, 26.920_005_975_617_563_1),
        (1e-9, 80.0, 80.000_000_1, 1.7, 1e12, 70.179_217_079_787_215_6),
        (1e-3, -50.0, 60.0, 0.73575, 1e5, 46.975_232_391_427_834_4),
        (1e-2, 20.0, 19.9, 1.7, 8e4, 0.210_478_521_607_373_131),
        (1e-7, 1.5, 1.4999, 2.0, 3e4, 0.347_074_950_463_573_870),
    ] {
        let found = hung(&supports(x, z, w, ea, 0.0), length).sag().value;
        assert!(
            (found / sag - 1.0).abs() < 1e-13,
            "{x} {z} {length}: {found} is off by {:e}",
            found / sag - 1.0
        );
    }
}

#[test]
fn a_rope_that_stiffens_may_weigh_next_to_nothing() {
    for w in [1e-10, 1e-20, 1e-29] {
        for b in [1e-3, 2e5, 1e9] {
            for length in [60.0, 90.0, 99.9999, 100.0, 101.0, 300.0] {
                let of = supports(80.0, 60.0, w, 8e4, b);
                let state = hung(&of, length);
                // Taut, it is the parabola of its tension: s = wX·c/(8H) of a stretched rope.
                if length < 99.0 {
                    let parabola = w * length * 80.0 / (8.0 * state.horizontal_tension().value);
                    let deep = state.sag().value / parabola;
                    assert!((deep - 1.0).abs() < 1e-6, "{w:e} {b} {length}: {deep}");
                }
                assert!(state.sag().value > 0.0 && state.report().residual < 1e-12);
            }
        }
    }
}
