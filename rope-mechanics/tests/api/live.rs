//! Live calls in single precision, against the double face with the same numbers.

use rope_mechanics::capstan::Capstan;
use rope_mechanics::line::elastic::ElasticLine;
use rope_mechanics::live::{LiveError, LiveLine, LiveTurn, MOST_LINES, MOST_STEPS, turn_ratio};
use rope_mechanics::motion::Motion;
use rope_mechanics::quantity::unit::{meter, newton, radian, ratio};
use rope_mechanics::quantity::{Angle, Force, Length, Ratio};
use rope_mechanics::rope::Stretch;
use rope_mechanics::sheave::Turn;

/// What the pages say of the arithmetic: of the greater end tension, and of a ratio.
const FORCE_OFF: f64 = 1e-6;
const RATIO_OFF: f64 = 5e-6;

/// Numbers from 0 to 1, the same in each run (a multiplicative generator, modulo 2⁶⁴).
struct Random(u64);

impl Random {
    fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }
    fn within(&mut self, lo: f64, hi: f64) -> f64 {
        lo + (hi - lo) * self.share()
    }
    /// Evenly in the logarithm.
    fn between(&mut self, lo: f64, hi: f64) -> f64 {
        lo * (hi / lo).powf(self.share())
    }
    /// A line of some size, level to plumb, stretched by up to 20 % to hanging with up to four times the chord.
    fn line(&mut self, wide: bool) -> LiveLine {
        let chord = if wide { self.between(0.1, 5e4) } else { self.between(3.0, 600.0) };
        let slope = self.within(-1.55, 1.55);
        let longer = if self.share() < 0.4 { -self.between(1e-5, 0.17) } else { self.between(1e-6, 3.0) };
        let weight = if wide { self.between(1e-2, 1e2) } else { self.between(0.3, 12.0) };
        let stiffness = if wide { self.between(1e4, 1e9) } else { self.between(1e4, 5e6) };
        LiveLine {
            span_m: (chord * slope.cos()).max(0.01) as f32,
            rise_m: (chord * slope.sin()) as f32,
            length_m: (chord * (1.0 + longer)) as f32,
            weight_n_per_m: weight as f32,
            // No rope stretches to twice its length by its own weight.
            stiffness_n: stiffness.max(4.0 * weight * chord) as f32,
        }
    }
}

fn double(line: &LiveLine) -> ElasticLine {
    let m = |x: f32| Length::new::<meter>(x.into());
    let n = |x: f32| Force::new::<newton>(x.into());
    let stretch = Stretch::linear(n(line.stiffness_n)).unwrap();
    let weight = n(line.weight_n_per_m) / Length::new::<meter>(1.0);
    ElasticLine::new(m(line.span_m), m(line.rise_m), m(line.length_m), weight, stretch).unwrap()
}

/// The largest error of the five forces, by the greater end tension.
fn off(line: &LiveLine) -> Result<f64, LiveError> {
    let live = line.ends()?;
    assert!(live.residual <= 2e-6 && live.iterations <= MOST_STEPS, "{line:?}: {live:?}");
    let state = double(line).solve().unwrap();
    let most = state.greatest_tension().value;
    let pairs = [
        (live.horizontal_n, state.horizontal_tension().value),
        (live.first_n, state.first_tension().value),
        (live.last_n, state.last_tension().value),
        (live.first_up_n, state.first_reaction().z.value),
        (live.last_up_n, state.last_reaction().z.value),
    ];
    let off = pairs.iter().map(|(live, exact)| (f64::from(*live) - exact).abs() / most);
    Ok(off.fold(0.0, f64::max))
}

#[test]
fn the_ends_of_random_lines_are_those_of_the_double_face() {
    for wide in [false, true] {
        let (mut random, mut worst) = (Random(7), 0.0_f64);
        for _ in 0..300_000 {
            let line = random.line(wide);
            worst = worst.max(off(&line).unwrap_or_else(|why| panic!("{why}: {line:?}")));
        }
        println!("off by {worst:e}");
        assert!(worst < FORCE_OFF, "{worst:e}");
    }
}

#[test]
fn a_length_gives_back_its_tension_and_is_the_shorter() {
    let (mut random, mut refused) = (Random(11), 0);
    for _ in 0..30_000 {
        let line = random.line(false);
        let tension = line.ends().unwrap().first_n;
        if tension < 0.01 {
            continue;
        }
        let Ok(found) = line.length_for(tension) else {
            refused += 1; // within a millionth of the least
            continue;
        };
        assert!(found.iterations <= MOST_LINES && found.residual <= 1e-3, "{line:?}: {found:?}");
        // In double precision the length found pulls as hard as asked for, but for what half a unit of its last digit
        // makes in a straight rope: EA·6e-8.
        let there = double(&LiveLine { length_m: found.length_m, ..line }).solve().unwrap();
        let off = (there.first_tension().value - f64::from(tension)).abs();
        let most = there.greatest_tension().value;
        assert!(off < FORCE_OFF * most + 6e-8 * f64::from(line.stiffness_n), "{line:?}: {off}");
        assert!(f64::from(found.length_m) < f64::from(line.length_m) * 1.001, "{line:?}: {found:?}");
    }
    assert!(refused < 3, "{refused}");
}

#[test]
fn the_ratio_of_a_turn_is_that_of_the_double_face() {
    let (mut random, mut worst) = (Random(3), 0.0_f64);
    let r = |x: f32| Ratio::new::<ratio>(x.into());
    for i in 0..100_000 {
        let wrap = random.within(0.0, if i % 2 == 0 { 0.4 } else { 12.5 }) as f32;
        let (efficiency, friction) = (random.within(0.3, 1.0) as f32, random.within(0.0, 2.0) as f32);
        let angle = Angle::new::<radian>(wrap.into());
        let sheave = Turn::sheave(r(efficiency)).unwrap().band(angle).unwrap();
        let bar = Turn::bar(r(friction), r(friction)).unwrap().band(angle).unwrap();
        for (turn, band) in [(LiveTurn::Sheave { efficiency }, sheave), (LiveTurn::Bar { friction }, bar)] {
            for (motion, exact) in [(Motion::Hauling, band.high.value), (Motion::Lowering, band.low.value)] {
                let off = f64::from(turn_ratio(turn, motion, wrap).unwrap()) / exact - 1.0;
                worst = worst.max(off.abs());
            }
        }
    }
    println!("off by {worst:e}");
    assert!(worst < RATIO_OFF, "{worst:e}");
    // A capstan's tail is the load by this ratio: e^(−0.2·2π) of 900 N.
    let tail = Capstan::new(r(0.2), r(0.2)).unwrap();
    let turn = core::f32::consts::TAU;
    let tail = tail.tail(Force::new::<newton>(900.0), Angle::new::<radian>(turn.into())).unwrap().high.value;
    let live = 900.0 * turn_ratio(LiveTurn::Bar { friction: 0.2 }, Motion::Lowering, turn).unwrap();
    assert!((f64::from(live) / tail - 1.0).abs() < RATIO_OFF);
}

#[test]
fn what_lies_outside_is_refused_and_named() {
    let good =
        LiveLine { span_m: 52.0, rise_m: -31.0, length_m: 60.0, weight_n_per_m: 1.8, stiffness_n: 124e3 };
    let named = |result: Result<f32, LiveError>| match result {
        Err(LiveError::Input(why)) => why.field,
        other => panic!("{other:?}"),
    };
    for bad in [f32::NAN, f32::INFINITY, -f32::INFINITY, 3e38] {
        let ends = |line: LiveLine| named(line.ends().map(|ends| ends.first_n));
        assert_eq!(ends(LiveLine { span_m: bad, ..good }), "span_m");
        assert_eq!(ends(LiveLine { rise_m: bad, ..good }), "rise_m");
        assert_eq!(ends(LiveLine { length_m: bad, ..good }), "length_m");
        assert_eq!(ends(LiveLine { weight_n_per_m: bad, ..good }), "weight_n_per_m");
        assert_eq!(ends(LiveLine { stiffness_n: bad, ..good }), "stiffness_n");
        assert_eq!(named(good.length_for(bad).map(|found| found.length_m)), "first_n");
        let sheave = LiveTurn::Sheave { efficiency: bad };
        assert_eq!(named(turn_ratio(sheave, Motion::Hauling, 1.0)), "efficiency");
        let bar = LiveTurn::Bar { friction: bad };
        assert_eq!(named(turn_ratio(bar, Motion::Hauling, 1.0)), "friction");
        assert_eq!(named(turn_ratio(LiveTurn::Bar { friction: 0.1 }, Motion::Hauling, bad)), "wrap_rad");
    }
    let bar = LiveTurn::Bar { friction: 0.1 };
    assert_eq!(named(turn_ratio(bar, Motion::AtRest, 1.0)), "motion");
    // A rope of 2 km between posts 1 m apart, and a pull that its own weight already makes: the least is some 60 N.
    let slack = LiveLine { span_m: 0.5, rise_m: 0.0, length_m: 2000.0, ..good };
    assert_eq!(slack.ends(), Err(LiveError::Slack));
    assert_eq!(LiveLine { rise_m: 0.0, ..good }.length_for(40.0), Err(LiveError::OutOfReach));
    // One metre of rope of 10 GN: the floats next to each other are 600 N apart.
    let stiff = LiveLine { span_m: 1.0, rise_m: 0.0, stiffness_n: 1e10, ..good };
    assert_eq!(stiff.length_for(1000.0), Err(LiveError::Unsolved));
}
