//! A rope at rest: every band is the exact interval of what friction can leave.
//!
//! The states of a rope at rest are what a few linear relations allow: the ratio of each turn, no part that pushes,
//! the known sum. Here the corners of that set are found by trying every choice of relations that hold as equations,
//! which shares nothing with the library's way along the chain.

use proptest::prelude::*;
use rope_mechanics::motion::Motion;
use rope_mechanics::quantity::unit::{newton, radian, ratio};
use rope_mechanics::quantity::{Angle, Force, Ratio};
use rope_mechanics::reeving::{Bend, Known, Reeving, ReevingError, Side, Strand};
use rope_mechanics::sheave::Turn;

fn n(x: f64) -> Force {
    Force::new::<newton>(x)
}

/// A bar's friction raising and lowering, and its wrap in radians.
type Bar = (f64, f64, f64);

fn rope(bars: &[Bar], strands: &[(f64, f64)]) -> Reeving {
    let bends: Vec<_> = bars
        .iter()
        .map(|(raising, lowering, wrap)| {
            let bar = Turn::bar(Ratio::new::<ratio>(*raising), Ratio::new::<ratio>(*lowering)).unwrap();
            Bend::of(Angle::new::<radian>(*wrap), bar).unwrap()
        })
        .collect();
    let mut rope = Reeving::new(&bends).unwrap();
    for (part, (scale, rise)) in strands.iter().enumerate() {
        // A strand has a scale or a rise.
        let strand = if *scale == 1.0 {
            Strand::rising(n(*rise)).unwrap()
        } else {
            Strand::scaled(Ratio::new::<ratio>(*scale)).unwrap()
        };
        rope = rope.with_strand(part, strand).unwrap();
    }
    rope
}

/// a·x ≥ b, with x the tensions of the pulling sides.
#[derive(Clone)]
struct HalfSpace {
    a: Vec<f64>,
    b: f64,
}

/// A spot as a row of a·x + b.
fn spot(strands: &[(f64, f64)], spot: usize) -> (Vec<f64>, f64) {
    let mut a = vec![0.0; strands.len()];
    let (scale, rise) = strands[spot / 2];
    (a[spot / 2], _) = if spot.is_multiple_of(2) { (1.0, ()) } else { (scale, ()) };
    (a, if spot.is_multiple_of(2) { 0.0 } else { rise })
}

/// Solves a square system by elimination with full pivoting of rows; none where it has no single solution.
fn solve(mut rows: Vec<(Vec<f64>, f64)>) -> Option<Vec<f64>> {
    let size = rows.len();
    for column in 0..size {
        let pivot =
            (column..size).max_by(|i, j| rows[*i].0[column].abs().total_cmp(&rows[*j].0[column].abs()))?;
        if rows[pivot].0[column].abs() < 1e-9 {
            return None;
        }
        rows.swap(column, pivot);
        let head = rows[column].clone();
        for (at, (a, b)) in rows.iter_mut().enumerate() {
            if at != column {
                let factor = a[column] / head.0[column];
                a.iter_mut().zip(&head.0).for_each(|(x, y)| *x -= factor * y);
                *b -= factor * head.1;
            }
        }
    }
    Some(rows.iter().enumerate().map(|(i, (a, b))| b / a[i]).collect())
}

/// Every corner of the states of rest.
fn corners(bars: &[Bar], strands: &[(f64, f64)], known: [usize; 2], total: f64) -> Vec<Vec<f64>> {
    let mut sides: Vec<HalfSpace> =
        (0..2 * strands.len()).map(|at| spot(strands, at)).map(|(a, b)| HalfSpace { a, b: -b }).collect();
    for (turn, (raising, lowering, wrap)) in bars.iter().enumerate() {
        let (before, behind) = (spot(strands, 2 * turn + 1), spot(strands, 2 * turn + 2));
        // e^(μ_r·θ)·T₂ − T₁ ≥ 0 and T₁ − e^(−μ_l·θ)·T₂ ≥ 0
        for (k, m) in [((raising * wrap).exp(), -1.0), (-(-lowering * wrap).exp(), 1.0)] {
            let a = behind.0.iter().zip(&before.0).map(|(x, y)| k * x + m * y).collect();
            sides.push(HalfSpace { a, b: -(k * behind.1 + m * before.1) });
        }
    }
    let (one, other) = (spot(strands, known[0]), spot(strands, known[1]));
    let sum = (one.0.iter().zip(&other.0).map(|(x, y)| x + y).collect(), total - one.1 - other.1);

    let mut found = Vec::new();
    let choose = strands.len() - 1;
    let mut chosen: Vec<usize> = (0..choose).collect();
    loop {
        let rows = chosen.iter().map(|i| (sides[*i].a.clone(), sides[*i].b)).chain([sum.clone()]).collect();
        if let Some(x) = solve(rows) {
            let holds = |side: &HalfSpace| {
                let terms = side.a.iter().zip(&x).map(|(a, x)| a * x);
                let size = terms.clone().fold(side.b.abs().max(1.0), |s, t| s.max(t.abs()));
                terms.sum::<f64>() >= side.b - 1e-9 * size
            };
            if sides.iter().all(holds) {
                found.push(x);
            }
        }
        // The next choice in order.
        let Some(at) = (0..choose).rev().find(|at| chosen[*at] < sides.len() - choose + at) else { break };
        chosen[at] += 1;
        (at + 1..choose).for_each(|i| chosen[i] = chosen[i - 1] + 1);
    }
    found
}

#[test]
fn a_part_needs_what_keeps_its_neighbours_taut() {
    // The first part loses 30 N on its way: no friction lets it have less than 30 N at its pulling side.
    let bars = [(0.4, 0.4, 1.0), (0.2, 0.5, 20.0)];
    let rope = rope(&bars, &[(1.0, -30.0), (1.0, 26.0), (1.0, 20.0)]);
    let known = Known::at(2, Side::Standing, n(1000.0)).unwrap();
    let rest = rope.tensions(known, Motion::AtRest).unwrap();
    let first = rest.parts()[0];
    assert_eq!((first.pulling_side.low, first.standing_side.low), (n(30.0), n(0.0)));
    // At most (1000 − 20)·e⁴ behind the second bar, less 26 N, times e^0.4, and 30 N more.
    let high = (980.0 * 4.0_f64.exp() - 26.0) * 0.4_f64.exp() + 30.0;
    assert!((first.pulling_side.high.value / high - 1.0).abs() < 1e-12);
    // 0 ≤ T ≤ e^0.4·T₁, and T₁ + 26 ≥ 980·e⁻¹⁰ always: the second part may hold nothing at its pulling side.
    assert_eq!(rest.parts()[1].pulling_side.low, n(0.0));
    assert_eq!(rest.parts()[1].standing_side.low, n(26.0));
    assert!(rest.report().residual <= 1e-14);
}

#[test]
fn parts_that_can_not_be_taut_together_are_refused() {
    // 60 N together at the standing sides; the first part ends with 50 N at least, the last with 40 N.
    let bars = [(0.1, 0.1, 1.0), (0.1, 0.1, 1.0)];
    let rope = rope(&bars, &[(1.0, 50.0), (1.0, 0.0), (1.0, 40.0)]);
    let known = |total| Known::sum((0, Side::Standing), (2, Side::Standing), n(total)).unwrap();
    assert!(matches!(
        rope.tensions(known(60.0), Motion::AtRest),
        Err(ReevingError::Slack { tension, .. }) if tension < 0.0
    ));
    assert!(rope.tensions(known(150.0), Motion::AtRest).is_ok());
}

#[test]
fn parts_that_could_each_be_taut_but_not_together_are_refused_with_what_is_missing() {
    // The first part ends with 50 N at least, the last with 40 N. Bars of e⁴ between them let the part that loses
    // 40 N have just enough, so that both can stand at their least: 90 N together, 0.5 N more than there is.
    let bars = [(0.4, 0.4, 10.0), (0.4, 0.4, 10.0)];
    let rope = rope(&bars, &[(1.0, 50.0), (1.0, -40.0), (1.0, 40.0)]);
    let known = |total| Known::sum((0, Side::Standing), (2, Side::Standing), n(total)).unwrap();
    let refused = rope.tensions(known(89.5), Motion::AtRest);
    assert!(
        matches!(refused, Err(ReevingError::Slack { part: 0, tension }) if (tension + 0.5).abs() < 1e-12),
        "{refused:?}"
    );
    let rest = rope.tensions(known(90.5), Motion::AtRest).unwrap();
    assert!((rest.parts()[0].standing_side.high.value - 50.5).abs() < 1e-12);
    assert!((rest.parts()[2].standing_side.high.value - 40.5).abs() < 1e-12);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn every_band_at_rest_is_what_the_corners_of_its_states_span(
        bars in prop::collection::vec((0.0..0.6_f64, 0.0..0.6_f64, 0.2..6.0_f64), 1..=3),
        strands in prop::collection::vec(
            prop_oneof![
                3 => (-60.0..60.0_f64).prop_map(|rise| (1.0, rise)),
                1 => (0.5..2.0_f64).prop_map(|scale| (scale, 0.0)),
            ],
            4,
        ),
        one in 0..8_usize,
        other in 0..8_usize,
        total in 5.0..400.0_f64,
    ) {
        let strands = &strands[..=bars.len()];
        let known = [one % (2 * strands.len()), other % (2 * strands.len())];
        let corners = corners(&bars, strands, known, total);
        let side = |at: usize| (at / 2, if at.is_multiple_of(2) { Side::Pulling } else { Side::Standing });
        let told = Known::sum(side(known[0]), side(known[1]), n(total)).unwrap();
        let rest = rope(&bars, strands).tensions(told, Motion::AtRest);
        let Ok(rest) = rest else {
            prop_assert!(corners.is_empty(), "refused, though {:?} is a state of rest: {rest:?}", corners[0]);
            return Ok(());
        };
        prop_assert!(!corners.is_empty(), "answered, though no state of rest exists: {rest:?}");
        prop_assert!(rest.report().residual < 1e-12);
        for (part, bands) in rest.parts().iter().enumerate() {
            for (at, band) in [(2 * part, bands.pulling_side), (2 * part + 1, bands.standing_side)] {
                let (a, b) = spot(strands, at);
                let all = corners.iter().map(|x| a[part] * x[part] + b);
                let (low, high) =
                    all.fold((f64::INFINITY, 0.0_f64), |(low, high), t| (low.min(t), high.max(t)));
                // Corners are kept to 1e-9 of the largest term.
                let room = 1e-7 * high.max(100.0);
                prop_assert!((band.low.value - low).abs() < room, "spot {at}: {low} {band:?}");
                prop_assert!((band.high.value - high).abs() < room, "spot {at}: {high} {band:?}");
            }
        }
        for (turn, on_it) in rest.turns().iter().enumerate() {
            let greatest = corners.iter().fold(0.0_f64, |greatest, x| {
                let (scale, rise) = strands[turn];
                let (before, behind, wrap) = (scale * x[turn] + rise, x[turn + 1], bars[turn].2);
                greatest.max((behind * wrap.cos() - before).hypot(behind * wrap.sin()))
            });
            prop_assert!((on_it.load.value - greatest).abs() < 1e-6 * greatest.max(100.0), "turn {turn}: {greatest} {on_it:?}");
        }
    }
}
