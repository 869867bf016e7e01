//! The elastic line against `line_vectors.py`: its forces, its sag, and a long random run.

use rope_checks::line::{RandomLines, closing_error};
use rope_mechanics::line::LineState;
use rope_mechanics::line::elastic::ElasticLine;
use rope_mechanics::line::many::{Answers, LineStatus, Lines};
use rope_mechanics::quantity::{Force, Length, LineWeight, unit::meter, unit::newton};
use rope_mechanics::rope::Stretch;

fn metres(value: f64) -> Length {
    Length::new::<meter>(value)
}

fn newtons(value: f64) -> Force {
    Force::new::<newton>(value)
}

fn n_per_m(value: f64) -> LineWeight {
    newtons(value) / metres(1.0)
}

/// The numbers of each row; an empty field is NaN.
fn rows(csv: &str) -> impl Iterator<Item = Vec<f64>> + '_ {
    csv.lines().skip(1).map(|line| line.split(',').map(|field| field.parse().unwrap_or(f64::NAN)).collect())
}

/// The worst error of the greatest end tension, of any force, and of the sag.
#[derive(Debug, Default)]
struct Worst {
    tension: f64,
    force: f64,
    sag: f64,
    cases: usize,
}

fn compare(csv: &str, solve: impl Fn(&ElasticLine) -> LineState) -> Worst {
    let mut worst = Worst::default();
    for row in rows(csv) {
        let &[x, z, l, w, ea, h, v_first, v_last, t, sag] = row.as_slice() else { panic!("{row:?}") };
        let stretch = Stretch::linear(newtons(ea)).unwrap();
        let line = ElasticLine::new(metres(x), metres(z), metres(l), n_per_m(w), stretch).unwrap();
        let state = solve(&line);
        let tension = (state.greatest_tension().value - t).abs() / t;
        let force = (state.horizontal_tension().value - h)
            .abs()
            .max((state.first_reaction().z.value - v_first).abs())
            .max((state.last_reaction().z.value - v_last).abs())
            / t;
        let deep = if sag.is_nan() { 0.0 } else { (state.sag().value - sag).abs() / sag };
        worst.tension = worst.tension.max(tension);
        worst.force = worst.force.max(force);
        worst.sag = worst.sag.max(deep);
        worst.cases += 1;
        if std::env::var_os("ROPE_SHOW").is_some() && (force > 2e-15 || deep > 1e-14) {
            println!("{tension:.1e} {force:.1e} {deep:.1e} {row:?} {:?}", state.report());
        }
    }
    println!("{worst:?}");
    worst
}

const ORDINARY: &str = include_str!("line_ordinary.csv");
const EXTREME: &str = include_str!("line_extreme.csv");

#[test]
fn the_robust_path_is_good_to_the_last_digits() {
    for csv in [ORDINARY, EXTREME] {
        let worst = compare(csv, |line| line.solve_robust().unwrap());
        assert!(worst.cases >= 2000);
        // The promise: 18 times the spacing of numbers, for the dozen roundings from the inputs to a tension.
        assert!(worst.tension <= 4e-15 && worst.force <= 4e-15, "{worst:?}");
        assert!(worst.sag <= 1e-13, "{worst:?}");
    }
}

#[test]
fn the_shipped_path_keeps_its_promise() {
    for csv in [ORDINARY, EXTREME] {
        let worst = compare(csv, |line| line.solve().unwrap());
        assert!(worst.tension <= 1e-12 && worst.force <= 1e-12, "{worst:?}");
    }
}

#[test]
fn a_rope_that_stiffens() {
    let mut worst = 0.0_f64;
    for row in rows(include_str!("line_stiffening.csv")) {
        let &[x, z, l, w, a, b, h, v_first, v_last] = row.as_slice() else { panic!("{row:?}") };
        let stretch = Stretch::stiffening(newtons(a), newtons(b)).unwrap();
        let line = ElasticLine::new(metres(x), metres(z), metres(l), n_per_m(w), stretch).unwrap();
        let state = line.solve().unwrap();
        let t = h.hypot(v_first).max(h.hypot(v_last));
        for (got, want) in [
            (state.horizontal_tension().value, h),
            (state.first_reaction().z.value, v_first),
            (state.last_reaction().z.value, v_last),
        ] {
            worst = worst.max((got - want).abs() / t);
        }
    }
    println!("stiffening: {worst:e}");
    // The promise of the shipped path.
    assert!(worst <= 1e-12, "{worst:e}");
}

#[test]
fn many_at_once_are_what_each_is_alone() {
    for csv in [ORDINARY, EXTREME] {
        let (mut spans, mut rises, mut lengths, mut weights, mut stretches) =
            (Vec::new(), Vec::new(), Vec::new(), Vec::new(), Vec::new());
        let mut truth = Vec::new();
        for row in rows(csv) {
            let &[x, z, l, w, ea, h, v_first, v_last, t, _] = row.as_slice() else { panic!("{row:?}") };
            spans.push(metres(x));
            rises.push(metres(z));
            lengths.push(metres(l));
            weights.push(n_per_m(w));
            stretches.push(Stretch::linear(newtons(ea)).unwrap());
            truth.push([h, v_first, v_last, t]);
        }
        let lines = Lines::new(&spans, &rises, &lengths, &weights, &stretches).unwrap();
        let count = lines.len();
        let mut status = vec![LineStatus::Unsolved; count];
        let mut forces = vec![vec![newtons(0.0); count]; 5];
        let [h, v_first, v_last, t_first, t_last] = forces.as_mut_slice() else { panic!() };
        let mut answers = Answers::new(&mut status)
            .horizontal_tension(h)
            .first_up(v_first)
            .last_up(v_last)
            .first_tension(t_first)
            .last_tension(t_last);
        assert_eq!(lines.solve(&mut answers).unwrap(), count);
        let mut worst = 0.0_f64;
        for (i, [h_true, v_first_true, v_last_true, t_true]) in truth.iter().enumerate() {
            for (got, want) in [
                (h[i].value, *h_true),
                (v_first[i].value, *v_first_true),
                (v_last[i].value, *v_last_true),
                (t_first[i].value.max(t_last[i].value), *t_true),
            ] {
                worst = worst.max((got - want).abs() / t_true);
            }
            let alone = lines.line(i).unwrap().unwrap().solve().unwrap();
            assert_eq!(h[i], alone.horizontal_tension());
            assert_eq!((t_first[i], t_last[i]), (alone.first_tension(), alone.last_tension()));
            assert_eq!((v_first[i], v_last[i]), (alone.first_reaction().z, alone.last_reaction().z));
        }
        println!("{count} at once: {worst:e}");
        assert!(worst <= 1e-12 && count >= 2000, "{worst:e}");
    }
}

#[test]
fn a_hundred_thousand_random_lines_close() {
    let mut worst = 0.0_f64;
    for case in RandomLines::new(7).take(100_000) {
        let state = case.line().solve().unwrap_or_else(|why| panic!("{case:?}: {why}"));
        let error = closing_error(&case, &state);
        assert!(error <= 1e-11, "{case:?}: {error:e} {:?}", state.report());
        worst = worst.max(error);
    }
    println!("worst closing error {worst:e}");
}
