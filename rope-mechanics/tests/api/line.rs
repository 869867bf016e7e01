//! Lines: how they are asked, what they answer, and what must hold for every one of them.

use proptest::prelude::*;
use rope_mechanics::geometry::Point2;
use rope_mechanics::line::catenary::{Branch, Catenary};
use rope_mechanics::line::elastic::{ElasticLine, ElasticSpan, End};
use rope_mechanics::line::{LineError, LineState};
use rope_mechanics::quantity::{Force, Length, LineWeight, unit::foot, unit::meter, unit::newton};
use rope_mechanics::rope::Stretch;

fn m(value: f64) -> Length {
    Length::new::<meter>(value)
}

fn n(value: f64) -> Force {
    Force::new::<newton>(value)
}

fn n_per_m(value: f64) -> LineWeight {
    n(value) / m(1.0)
}

#[derive(Debug, Clone, Copy)]
struct Case {
    span: f64,
    rise: f64,
    length: f64,
    weight: f64,
    a: f64,
    b: f64,
}

impl Case {
    fn stretch(&self) -> Stretch {
        Stretch::stiffening(n(self.a), n(self.b)).unwrap()
    }

    fn line(&self) -> ElasticLine {
        ElasticLine::new(m(self.span), m(self.rise), m(self.length), n_per_m(self.weight), self.stretch())
            .unwrap()
    }

    fn state(&self) -> LineState {
        self.line().solve().unwrap()
    }

    fn supports(&self) -> ElasticSpan {
        ElasticSpan::new(m(self.span), m(self.rise), n_per_m(self.weight), self.stretch()).unwrap()
    }
}

/// Marks along a rope with their shares of it, for Gauss's rule of five points: even in the hyperbolic parameter, so
/// that they crowd where the rope turns sharply.
fn marks(h: f64, v_first: f64, weight: f64, length: f64) -> Vec<(f64, f64)> {
    const GAUSS: [(f64, f64); 5] = [
        (-0.906_179_845_938_664, 0.236_926_885_056_189_1),
        (-0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
        (0.0, 0.568_888_888_888_888_9),
        (0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
        (0.906_179_845_938_664, 0.236_926_885_056_189_1),
    ];
    let (from, to) = ((v_first / h).asinh(), ((v_first + weight * length) / h).asinh());
    let panels = 40 + (20.0 * (to - from)).ceil() as u32;
    let mut marks = Vec::new();
    for panel in 0..panels {
        for (node, share) in GAUSS {
            let part = (f64::from(panel) + 0.5 * (1.0 + node)) / f64::from(panels);
            let half = 0.5 * share / f64::from(panels);
            marks.push(if to - from < 1e-2 {
                (length * part, length * half)
            } else {
                let v = from + (to - from) * part;
                ((h * v.sinh() - v_first) / weight, h * v.cosh() / weight * (to - from) * half)
            });
        }
    }
    marks
}

/// Lines from 10 % too short to twice too long, up to 80°; half of them of a rope that stiffens.
fn cases() -> impl Strategy<Value = Case> {
    (1.0..300.0, -80.0..80.0_f64, 0.9..2.0, 0.2..60.0, 1e4..1e6, prop_oneof![Just(0.0), 0.1..100.0]).prop_map(
        |(chord, slope, part, weight, a, b)| {
            let slope = slope.to_radians();
            Case {
                span: chord * slope.cos(),
                rise: chord * slope.sin(),
                length: chord * part,
                weight,
                a,
                b: a * b,
            }
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn the_supports_carry_the_rope_and_the_rope_reaches_them(case in cases()) {
        let state = case.state();
        let t = state.greatest_tension().value;
        let (first, last) = (state.first_reaction(), state.last_reaction());
        prop_assert!((first.x + last.x).value == 0.0);
        // A rounding of each of the three.
        prop_assert!(((first.z + last.z).value - case.weight * case.length).abs() <= 1e-15 * (t + case.weight * case.length));
        prop_assert!(state.report().residual <= 1e-12);
        // A point is laid out from the nearer end: the two meet at the middle.
        let half = 0.5 * case.length;
        let below = state.point_at(m(half)).unwrap();
        let above = state.point_at(m(half * (1.0 + 1e-13))).unwrap();
        prop_assert!((below.x - above.x).value.abs() + (below.z - above.z).value.abs() < 1e-11 * case.length);
        let end = state.points(8).last().unwrap();
        prop_assert!((end.x.value - case.span).abs() + (end.z.value - case.rise).abs() < 1e-12 * case.length);
        prop_assert_eq!(state.points(8).count(), 8);
        let start = state.points(8).next().unwrap();
        prop_assert!(start == Point2::default() && start.x.value.is_sign_positive() && start.z.value.is_sign_positive());
    }

    #[test]
    fn a_line_has_no_favourite_unit(case in cases(), by in prop_oneof![Just(0.5), Just(4.0), Just(1024.0)]) {
        // Twice the lengths at half the weight per metre: the same forces. Powers of two, so to the last bit.
        let other = Case { span: case.span * by, rise: case.rise * by, length: case.length * by, weight: case.weight / by, ..case };
        let (one, two) = (case.state(), other.state());
        prop_assert_eq!(one.first_tension(), two.first_tension());
        prop_assert_eq!(one.horizontal_tension(), two.horizontal_tension());
        prop_assert_eq!(one.sag() * by, two.sag());
    }

    #[test]
    fn a_line_has_no_favourite_unit_of_any_size(case in cases(), by_m in 0.01..100.0_f64, by_n in 0.01..100.0_f64) {
        let other = Case {
            span: case.span * by_m, rise: case.rise * by_m, length: case.length * by_m,
            weight: case.weight * by_n / by_m, a: case.a * by_n, b: case.b * by_n,
        };
        let (one, two) = (case.state(), other.state());
        // Each input is rounded once more, and a length that is off by its spacing moves a tension by EA/T of that.
        let t = one.greatest_tension().value;
        let slope = (case.a * case.a + 4.0 * case.b * t).sqrt();
        let tolerance = 1e-12 + 4.0 * f64::EPSILON * slope / one.horizontal_tension().value;
        prop_assert!((two.first_tension().value / by_n - one.first_tension().value).abs() <= tolerance * t);
        prop_assert!((two.last_tension().value / by_n - one.last_tension().value).abs() <= tolerance * t);
        // Of a rope that stiffens the slope at the middle less that of the chord is a difference of two slopes, each
        // good to its last digit, and moves the sag by so much of the length.
        let slopes = if case.b > 0.0 { 4.0 * f64::EPSILON * case.length } else { 0.0 };
        prop_assert!((two.sag().value / by_m - one.sag().value).abs() <= 4.0 * tolerance * one.sag().value + slopes);
    }

    #[test]
    fn a_line_seen_from_behind_is_the_same_line(case in cases()) {
        let (here, there) = (case.state(), Case { rise: -case.rise, ..case }.state());
        // The promise of the shipped path.
        let close = |a: Force, b: Force| (a - b).value.abs() <= 1e-12 * here.greatest_tension().value;
        prop_assert!(close(here.first_tension(), there.last_tension()));
        prop_assert!(close(here.horizontal_tension(), there.horizontal_tension()));
        let (low, mirrored) = (here.lowest_point(), there.lowest_point());
        prop_assert!((low.x.value + mirrored.x.value - case.span).abs() < 1e-10 * case.length);
        prop_assert!((low.z.value - case.rise - mirrored.z.value).abs() < 1e-10 * case.length);
    }

    #[test]
    fn more_rope_pulls_less_on_the_level(case in cases(), more in 1.001..1.5_f64) {
        let longer = Case { length: case.length * more, ..case }.state();
        prop_assert!(longer.horizontal_tension() < case.state().horizontal_tension());
        prop_assert!(longer.sag() > case.state().sag());
    }

    #[test]
    fn tension_grows_with_height_by_the_weight_between(case in cases(), s in 0.0..1.0_f64) {
        // T + T²/2EA − w·z is the same all along a linear rope.
        let case = Case { b: 0.0, ..case };
        let state = case.state();
        let energy = |t: Force| t.value + t.value * t.value / (2.0 * case.a);
        let at = m(s * case.length);
        let z = state.point_at(at).unwrap().z.value;
        let t = state.tension_at(at).unwrap();
        let scale = energy(state.greatest_tension()) + case.weight * case.length;
        prop_assert!((energy(t) - energy(state.first_tension()) - case.weight * z).abs() < 1e-12 * scale);
    }

    #[test]
    fn a_level_line_hangs_symmetrically(case in cases(), s in 0.0..0.5_f64) {
        let state = Case { rise: 0.0, ..case }.state();
        prop_assert_eq!(state.first_tension(), state.last_tension());
        let (left, right) = (m(s * case.length), m(case.length - s * case.length));
        let (p, q) = (state.point_at(left).unwrap(), state.point_at(right).unwrap());
        prop_assert!((p.x.value + q.x.value - case.span).abs() < 1e-12 * case.length);
        prop_assert!((p.z.value - q.z.value).abs() < 1e-12 * case.length);
        prop_assert!((state.lowest_point().z + state.sag()).value.abs() < 1e-12 * case.length);
    }

    #[test]
    fn any_other_shape_holds_more_energy(
        case in cases(), bumps in prop::collection::vec(-1.0..1.0_f64, 8), size in -4.0..-1.0_f64
    ) {
        // From the forces of the line alone: how its shape runs at every mark, ṙ = (1 + ε)·(H, V)/T.
        let state = case.state();
        let (h, v_first) = (state.horizontal_tension().value, state.first_reaction().z.value);
        prop_assume!(bumps.iter().map(|bump| bump * bump).sum::<f64>() > 0.1);
        let bump = 10_f64.powf(size) * case.length;
        let strain = |t: f64| 2.0 * t / (case.a + (case.a * case.a + 4.0 * case.b * t).sqrt());
        // ∫T dε from one strain to another: a(e+f)/2 + b(e² + ef + f²)/3 of their difference; a slack part has none
        let taken_up = |e: f64, more: f64| {
            let f = e + more;
            if f > 0.0 {
                more * (0.5 * case.a * (e + f) + case.b / 3.0 * (e * e + e * f + f * f))
            } else {
                -e * e * (0.5 * case.a + case.b / 3.0 * e)
            }
        };
        let (mut end, mut gained, mut height) = ((0.0, 0.0), 0.0, 0.0_f64);
        for (s, ds) in marks(h, -v_first, case.weight, case.length) {
            let v = case.weight * s - v_first;
            let t = h.hypot(v);
            let e = strain(t);
            let run = ((1.0 + e) * h / t, (1.0 + e) * v / t);
            end = (end.0 + run.0 * ds, end.1 + run.1 * ds);
            let (mut up, mut slope) = (0.0, (0.0, 0.0));
            for (k, &size) in bumps.iter().enumerate() {
                let wave = (k % 4 + 1) as f64 * std::f64::consts::PI / case.length;
                let by = bump * size * wave * (wave * s).cos();
                if k < 4 { slope.0 += by } else { slope.1 += by; up += bump * size * (wave * s).sin(); }
            }
            // |ṙ + φ̇| − |ṙ|, without cancellation
            let bent = (run.0 + slope.0).hypot(run.1 + slope.1);
            let more = (2.0 * (run.0 * slope.0 + run.1 * slope.1) + slope.0 * slope.0 + slope.1 * slope.1)
                / (bent + 1.0 + e);
            gained += (case.weight * up + taken_up(e, more)) * ds;
            height += (case.weight * up).abs() * ds;
        }
        // The shape hangs between the supports, and every bump of it, from a tenth of the length to a ten thousandth,
        // costs energy.
        prop_assert!((end.0 - case.span).abs() + (end.1 - case.rise).abs() < 1e-10 * case.length, "{end:?}");
        prop_assert!(gained > 0.0, "{gained} of {height}");
    }

    #[test]
    fn the_length_asked_for_gives_what_was_asked(case in cases()) {
        let state = case.state();
        let supports = case.supports();
        let again = |length: Length| supports.with_length(length).unwrap().solve().unwrap();
        // A length that is off by its own spacing moves a tension by EA/T of that.
        let tolerance = 1e-12 + 1e-15 * (case.a + case.b) / state.horizontal_tension().value;
        let h = again(supports.length_for_horizontal_tension(state.horizontal_tension()).unwrap());
        prop_assert!(((h.horizontal_tension() / state.horizontal_tension()).value - 1.0).abs() <= tolerance);
        let sag = again(supports.length_for_sag(state.sag()).unwrap());
        prop_assert!(((sag.sag() / state.sag()).value - 1.0).abs() <= 1e-12 + 1e-15 * case.length / state.sag().value);
        for end in [End::First, End::Last] {
            let of = |state: &LineState| match end { End::First => state.first_tension(), End::Last => state.last_tension() };
            let length = supports.length_for_tension(end, of(&state)).unwrap();
            prop_assert!(((of(&again(length)) / of(&state)).value - 1.0).abs() <= 1e-11 + tolerance);
            // The shorter of the two.
            prop_assert!(length.value <= case.length * (1.0 + 1e-9));
        }
    }

    #[test]
    fn a_catenary_is_the_same_however_it_is_asked(span in 1.0..300.0_f64, slope in -3.0..3.0_f64, slack in 1e-6..2.0_f64) {
        let chord = span.hypot(span * slope);
        let supports = Catenary::new(m(span), m(span * slope), n_per_m(2.0)).unwrap();
        let line = supports.by_length(m(chord * (1.0 + slack))).unwrap();
        // A length fixes the rest to its spacing by the slack, no better.
        let tolerance = 1e-12 + 1e-15 / slack;
        let same = |other: LineState| {
            ((other.horizontal_tension() / line.horizontal_tension()).value - 1.0).abs() <= tolerance
                && ((other.length() / line.length()).value - 1.0).abs() <= 1e-12
                && ((other.sag() / line.sag()).value - 1.0).abs() <= tolerance
        };
        prop_assert!(same(supports.by_horizontal_tension(line.horizontal_tension()).unwrap()));
        prop_assert!(same(supports.by_sag(line.sag()).unwrap()));
        for (end, tension) in [(End::First, line.first_tension()), (End::Last, line.last_tension())] {
            let both = [Branch::Taut, Branch::Slack].map(|branch| supports.by_end_tension(end, tension, branch).unwrap());
            for state in both {
                let found = match end { End::First => state.first_tension(), End::Last => state.last_tension() };
                prop_assert!(((found / tension).value - 1.0).abs() < 1e-12);
            }
            prop_assert!(both[0].length() <= both[1].length());
        }
        // And the limit of ropes that stretch less and less.
        let stiff = ElasticLine::new(m(span), m(span * slope), line.length(), n_per_m(2.0), Stretch::linear(n(1e15)).unwrap());
        let stiff = stiff.unwrap().solve().unwrap();
        let stretch = line.greatest_tension().value / 1e15 / slack;
        prop_assert!(((stiff.horizontal_tension() / line.horizontal_tension()).value - 1.0).abs() <= 1e-12 + 10.0 * stretch);
    }
}

/// Any number at all: as rigs have them, of any size that a number can have, and the ends of the ranges.
fn any_size() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => (-4.0..6.0_f64).prop_map(|e| 10_f64.powf(e)),
        2 => (-31.0..16.0_f64).prop_map(|e| 10_f64.powf(e)),
        2 => (-323.3..308.2_f64).prop_map(|e| 10_f64.powf(e)),
        1 => prop::sample::select(vec![0.0, 5e-324, f64::MIN_POSITIVE, 1e-30, 1e7, 1e12, 1e15, f64::MAX]),
    ]
}

fn any_sign(size: f64, negative: bool) -> f64 {
    if negative { -size } else { size }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(3000))]

    /// Whatever is asked, an answer has no number that isn't one, and a promise that is kept.
    #[test]
    fn a_line_of_any_size_is_answered_well_or_refused(
        (x, z, l, w) in (any_size(), any_size(), any_size(), any_size()),
        (a, b) in (any_size(), prop_oneof![Just(0.0), any_size()]),
        (down, near, part) in (any::<bool>(), any::<bool>(), 0.7..1.4_f64),
        t in any_size(),
    ) {
        let (chord, z) = (x.hypot(z), any_sign(z, down));
        let l = if near { chord * part } else { l };
        let well = |state: &LineState, weight: f64, stiffness: f64| -> Result<(), TestCaseError> {
            let t = state.greatest_tension().value;
            prop_assert!(state.report().residual <= 1e-12, "{state:?}");
            for value in [
                t, state.horizontal_tension().value, state.first_tension().value, state.last_tension().value,
                state.first_reaction().z.value, state.last_reaction().z.value, state.lowest_point().x.value,
                state.lowest_point().z.value, state.sag().value, state.stretched_length().value,
            ] {
                prop_assert!(value.is_finite(), "{state:?}");
            }
            prop_assert!(state.sag().value >= 0.0);
            let length = state.length().value;
            for part in [0.0, 0.3, 0.7, 1.0] {
                let (tension, point) = (state.tension_at(m(part * length)).unwrap(), state.point_at(m(part * length)).unwrap());
                prop_assert!(tension.value.is_finite() && point.x.value.is_finite() && point.z.value.is_finite());
            }
            // The rope carries half of its weight at one end at least, and reaches as far as its supports are apart; a
            // length that is off by a few roundings moves the tension by EA times that.
            let least = (stiffness * (chord / length - 1.0)).max(0.5 * weight * length);
            prop_assert!(t >= least * (1.0 - 1e-9) - 1e-14 * stiffness, "{state:?}: {t} is not {least}");
            Ok(())
        };
        let stretch = if b == 0.0 { Stretch::linear(n(a)) } else { Stretch::stiffening(n(a), n(b)) };
        if let Ok(stretch) = stretch {
            if let Ok(line) = ElasticLine::new(m(x), m(z), m(l), n_per_m(w), stretch) {
                for state in [line.solve(), line.solve_robust()].into_iter().flatten() {
                    well(&state, w, a)?;
                }
            }
            if let Ok(supports) = ElasticSpan::new(m(x), m(z), n_per_m(w), stretch) {
                for length in [
                    supports.length_for_tension(End::First, n(t)),
                    supports.length_for_horizontal_tension(n(t)),
                    supports.length_for_sag(m(t)),
                ].into_iter().flatten() {
                    prop_assert!(length.value >= 1e-30 && length.value <= 1e7);
                }
            }
        }
        if let Ok(supports) = Catenary::new(m(x), m(z), n_per_m(w)) {
            for state in [
                supports.by_length(m(l)),
                supports.by_horizontal_tension(n(t)),
                supports.by_end_tension(End::Last, n(t), Branch::Taut),
                supports.by_end_tension(End::First, n(t), Branch::Slack),
                supports.by_sag(m(t)),
            ].into_iter().flatten() {
                well(&state, w, 0.0)?;
            }
        }
    }
}

#[test]
fn a_catenary_that_is_pulled_very_hard_is_as_flat_as_that() {
    let supports = Catenary::new(m(10.0), m(0.0), n_per_m(1.0)).unwrap();
    for tension in [1e3, 1e5, 1e7, 1e10] {
        let state = supports.by_end_tension(End::Last, n(tension), Branch::Taut).unwrap();
        assert!((state.last_tension().value / tension - 1.0).abs() < 1e-13, "{tension}");
        // sag = wX²/8H, the next term smaller by (wX/H)²/48; H is T but for (wX/T)²/8: 1.5e-5 in all at 1 kN
        assert!((state.sag().value * 8.0 * tension / 100.0 - 1.0).abs() < 1.5e-5, "{tension}");
    }
}

#[test]
fn sizes_far_below_any_rig_are_refused_by_name() {
    let stiff = |ea: f64| Stretch::linear(n(ea));
    let line = |span: f64, length: f64, weight: f64| {
        ElasticLine::new(m(span), m(-45.0), m(length), n_per_m(weight), stiff(8e4).unwrap()).unwrap_err()
    };
    for (error, message) in [
        (line(70.0, 1e-200, 1.7), "length is 1e-200 m, but must be at least 1e-30 m"),
        (line(70.0, 5e-324, 1.7), "length is 5e-324 m, but must be at least 1e-30 m"),
        (line(70.0, 80.0, 1e-320), "line_weight is 1e-320 N/m, but must be zero, or at least 1e-30 N/m"),
        (stiff(1e-200).unwrap_err(), "axial_stiffness is 1e-200 N, but must be at least 1e-30 N"),
    ] {
        let [value, allowed] = [error.to_string(), message.to_owned()];
        // However a number this small is written.
        assert!(value.ends_with(allowed.split(", but").nth(1).unwrap()), "{value}");
        assert!(value.starts_with(allowed.split(' ').next().unwrap()), "{value}");
    }
    assert_eq!(line(70.0, 1e-5, 1.7).field, "length");
}

#[test]
fn a_plumb_rope() {
    let rope = |rise: f64, length: f64| Case { span: 0.0, rise, length, weight: 2.0, a: 1e4, b: 0.0 }.state();
    // Stretched between two points: 1 m of stretch in 9 m, and half the weight of 18 N either way.
    let taut = rope(10.0, 9.0);
    assert_eq!(taut.horizontal_tension(), n(0.0));
    assert!((taut.last_tension().value - (1e4 / 9.0 + 9.0)).abs() < 1e-10);
    assert!((taut.first_tension().value - (1e4 / 9.0 - 9.0)).abs() < 1e-10);
    assert_eq!(taut.sag(), m(0.0));
    // Hung doubled, 10 m above: each end carries its own part.
    let doubled = rope(10.0, 30.0);
    assert!(((doubled.first_tension() + doubled.last_tension()).value - 60.0).abs() < 1e-12);
    assert!((doubled.sag().value - 10.0).abs() < 0.1, "{:?}", doubled.sag());
    // Both ends at one point.
    let loop_of_rope = rope(0.0, 30.0);
    assert_eq!(loop_of_rope.first_tension(), n(30.0));
    assert_eq!(loop_of_rope.last_tension(), n(30.0));
}

#[test]
fn a_rope_without_weight() {
    let rope = |length: f64| {
        ElasticLine::new(m(3.0), m(4.0), m(length), n_per_m(0.0), Stretch::linear(n(1e4)).unwrap())
            .unwrap()
            .solve()
    };
    let taut = rope(4.0).unwrap();
    assert!((taut.first_tension().value - 2500.0).abs() < 1e-11);
    assert!((taut.last_reaction().x.value - 1500.0).abs() < 1e-11);
    assert_eq!(taut.sag(), m(0.0));
    assert_eq!(taut.stretched_length(), m(5.0));
    // As long as the chord: straight, without tension. Longer: no shape at all.
    assert_eq!(rope(5.0).unwrap().first_tension(), n(0.0));
    assert_eq!(rope(5.5), Err(LineError::NoShape { length_m: 5.5, chord_m: 5.0 }));
}

#[test]
fn a_line_in_feet_is_the_line_in_metres() {
    let feet = ElasticLine::new(
        Length::new::<foot>(280.0),
        Length::new::<foot>(-100.0),
        Length::new::<foot>(300.0),
        n_per_m(1.7),
        Stretch::linear(n(8e4)).unwrap(),
    );
    let metres = Case {
        span: 280.0 * 0.3048,
        rise: -100.0 * 0.3048,
        length: 300.0 * 0.3048,
        weight: 1.7,
        a: 8e4,
        b: 0.0,
    };
    assert_eq!(feet.unwrap(), metres.line());
}

#[test]
fn bad_input_is_named() {
    let new = |span: f64, rise: f64, length: f64, weight: f64| {
        ElasticLine::new(m(span), m(rise), m(length), n_per_m(weight), Stretch::linear(n(8e4)).unwrap())
    };
    for (line, field) in [
        (new(f64::NAN, 0.0, 1.0, 1.0), "span"),
        (new(-1.0, 0.0, 1.0, 1.0), "span"),
        (new(1e8, 0.0, 1.0, 1.0), "span"),
        (new(1.0, f64::INFINITY, 1.0, 1.0), "rise"),
        (new(1.0, 0.0, 0.0, 1.0), "length"),
        (new(1.0, 0.0, -2.0, 1.0), "length"),
        (new(1.0, 0.0, 1.0, -1.0), "line_weight"),
        (new(1.0, 0.0, 1.0, f64::NAN), "line_weight"),
    ] {
        assert_eq!(line.unwrap_err().field, field);
    }
    let line = new(70.0, -45.0, 80.0, 1.7).unwrap().solve().unwrap();
    assert_eq!(line.tension_at(m(80.1)).unwrap_err().field, "s");
    assert_eq!(line.point_at(m(-0.1)).unwrap_err().field, "s");
}

#[test]
fn a_line_too_short_for_its_span_says_how_far_it_is_stretched() {
    let stretch = Stretch::linear(n(8e4)).unwrap();
    let short = ElasticLine::new(m(50.0), m(0.0), m(20.0), n_per_m(0.0), stretch).unwrap().solve().unwrap();
    // Straight and without weight: (50 − 20)/20, after a few roundings.
    assert!((short.greatest_strain().value - 1.5).abs() < 1e-14);
    let heavy = ElasticLine::new(m(50.0), m(-30.0), m(58.0), n_per_m(1.7), stretch).unwrap().solve().unwrap();
    assert_eq!(heavy.greatest_strain(), stretch.strain(heavy.first_tension()).unwrap());
    let rigid = Catenary::new(m(100.0), m(0.0), n_per_m(10.0)).unwrap().by_length(m(101.0)).unwrap();
    assert_eq!(rigid.greatest_strain().value, 0.0);
}

#[test]
fn what_no_rope_can_do_is_said() {
    let supports =
        ElasticSpan::new(m(100.0), m(0.0), n_per_m(10.0), Stretch::linear(n(1e6)).unwrap()).unwrap();
    // A level catenary of 10 N/m over 100 m never pulls less than 0.7544·wX at its ends; one that stretches about so.
    let Err(LineError::OutOfReach { field: "tension", lowest, .. }) =
        supports.length_for_tension(End::Last, n(500.0))
    else {
        panic!("a rope with less than its least tension");
    };
    assert!((lowest - 754.4).abs() < 1.0, "{lowest}");
    let rigid = Catenary::new(m(100.0), m(0.0), n_per_m(10.0)).unwrap();
    let error = rigid.by_end_tension(End::Last, n(500.0), Branch::Taut).unwrap_err();
    assert!(error.to_string().contains("tension is 500 N"), "{error}");
    assert!(matches!(rigid.by_length(m(100.0)), Err(LineError::TooShort { .. })));
    assert!(matches!(rigid.by_length(m(0.0)), Err(LineError::Input(_))));
    assert!(matches!(supports.length_for_sag(m(0.0)), Err(LineError::Input(_))));
}
