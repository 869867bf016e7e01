//! Winches known by their readings: tables, current gauges and fits against the formulas of a textbook.

use rope_mechanics::quantity::Band;
use rope_mechanics::quantity::literal::{a, fraction, m, m_per_s, mohm, n, n_m, n_m_per_a, rad_per_s, v};
use rope_mechanics::winch::{
    Blind, Constant, CurrentGauge, Gear, Motor, MotorPoint, PullReading, Running, Supply, TableRow,
    TableWinch, Winch, WinchError, WinchFit, WinchPoint, fit_motor, fit_winch,
};

/// r/(N·η_f·kt) = 0.036/(180·0.72·0.055) A/N: 198 N/A hauling.
fn winch() -> Winch {
    let motor = Motor::new(n_m_per_a(0.055), a(6.0), mohm(20.0)).unwrap();
    let supply = Supply::new(v(25.6), mohm(8.0), mohm(3.0)).unwrap();
    Winch::new(motor, Gear::new(fraction(180.0), fraction(0.72)).unwrap(), m(0.036), supply).unwrap()
}

// ——— table ———

fn table(rows: &[(f64, f64, f64)]) -> Result<TableWinch, WinchError> {
    let rows: Vec<_> = rows
        .iter()
        .map(|(pull, current, speed)| TableRow {
            pull: n(*pull),
            current: a(*current),
            line_speed: Some(m_per_s(*speed)),
        })
        .collect();
    TableWinch::fit(&rows)
}

#[test]
fn a_line_below_the_origin_is_refused_unless_the_rows_scatter_as_far() {
    let exact = table(&[(1000.0, 0.5, 0.2), (2000.0, 1.5, 0.2), (3000.0, 2.5, 0.2)]);
    assert!(
        matches!(exact, Err(WinchError::ImpossibleFit { value, .. }) if (value + 0.5).abs() < 1e-12),
        "{exact:?}"
    );
    // The same line with its middle row 1.5 A low and both ends 0.75 A high.
    let bent = table(&[(1000.0, 1.25, 0.2), (2000.0, 1.5, 0.2), (3000.0, 3.25, 0.2)]).unwrap();
    assert_eq!(bent.idle_current(), a(0.0));
}

#[test]
fn pulls_that_differ_by_rounding_are_one_pull() {
    let two = |one: f64, other: f64| table(&[(one, 10.0, 0.2), (other, 20.0, 0.1)]);
    assert!(matches!(two(1000.0, 1000.0 + 1e-7), Err(WinchError::TooFewPoints { .. })));
    // By a thousandth of a newton they are two, if of a line that no winch has.
    assert!(matches!(two(1000.0, 1000.001), Err(WinchError::ImpossibleFit { .. })));
    let found = two(0.0, 1.0).unwrap().hauling(n(1.0)).unwrap();
    assert!((found.current.value - 20.0).abs() < 1e-9, "{found:?}");
}

#[test]
fn a_winch_that_still_creeps_at_its_last_row_is_not_told_to_stand() {
    // A straight line through these passes below zero before the last: −0.000 25 m/s.
    let creeps = table(&[(0.0, 50.0, 0.2), (1000.0, 70.0, 0.098), (2000.0, 90.0, 0.0005)]).unwrap();
    assert!(creeps.hauling(n(2000.0)).unwrap().line_speed.unwrap().value > 0.0);
}

// ——— gauge ———

fn pull(reading: PullReading) -> Band<f64> {
    match reading {
        PullReading::Pull(band) => band.map(|force| force.value),
        PullReading::CannotTell(why) => panic!("{why:?}"),
    }
}

fn is(band: Band<f64>, low: f64, expected: f64, high: f64) -> bool {
    let close = |a: f64, b: f64| (a - b).abs() < 1e-9 * b.max(1.0);
    close(band.low, low) && close(band.expected, expected) && close(band.high, high)
}

#[test]
fn a_current_is_read_by_the_band_of_the_gear_and_of_the_idle_current() {
    let of = |idle: f64| CurrentGauge::of_winch(&winch(), a(idle), (fraction(0.60), fraction(0.85))).unwrap();
    let read = |gauge: &CurrentGauge, i: f64, running| pull(gauge.read(a(i), running).unwrap());
    // Hauling, 20 A above the idle 6 A: 198 N/A, by 0.60/0.72 and 0.85/0.72 of it at its ends, ±1 A.
    let gauge = of(1.0);
    let band = read(&gauge, 26.0, Running::Hauling);
    assert!(is(band, 19.0 * 165.0, 20.0 * 198.0, 21.0 * 233.75), "{band:?}");
    // With an ammeter good to ±2 A besides.
    let band = read(&gauge.with_meter_band(a(2.0)).unwrap(), 26.0, Running::Hauling);
    assert!(is(band, 17.0 * 165.0, 20.0 * 198.0, 23.0 * 233.75), "{band:?}");
    // The idle current may be 10 A more than said, but not below nothing: 6 A less.
    let band = read(&of(10.0), 26.0, Running::Hauling);
    assert!(is(band, 10.0 * 165.0, 20.0 * 198.0, 26.0 * 233.75), "{band:?}");

    // Lowering, 4 A flow back: 10 A less than idle. Without loss 275 N/A; η_b = 2 − 1/0.72 = 11/18, with the same
    // shift 1/3 for a gear of 0.60, 14/17 for one of 0.85.
    let band = read(&gauge, -4.0, Running::Lowering);
    assert!(is(band, 9.0 * 275.0 * 17.0 / 14.0, 10.0 * 450.0, 11.0 * 825.0), "{band:?}");
    let band = read(&of(10.0), -4.0, Running::Lowering);
    assert!(is(band, 4.0 * 275.0 * 17.0 / 14.0, 10.0 * 450.0, 20.0 * 825.0), "{band:?}");

    // 5 A lie within the idle current's ±1 A: no pull, and one that can't be told below.
    assert!(is(read(&gauge, 5.0, Running::Hauling), 0.0, 0.0, 0.0));
    let below = gauge.read(a(4.9), Running::Hauling).unwrap();
    assert!(matches!(below, PullReading::CannotTell(Blind::BelowIdle)), "{below:?}");
}

#[test]
fn a_meter_that_may_read_the_limit_tells_no_pull() {
    let limited = winch().with_current_limit(a(60.0)).unwrap();
    let gauge = CurrentGauge::of_winch(&limited, a(1.0), (fraction(0.60), fraction(0.85)))
        .unwrap()
        .with_meter_band(a(1.0))
        .unwrap();
    let at = |i: f64| gauge.read(a(i), Running::Hauling).unwrap();
    assert!(matches!(at(58.9), PullReading::Pull(_)));
    assert!(matches!(at(59.0), PullReading::CannotTell(Blind::Stalled)));
}

#[test]
fn a_table_is_read_by_the_bands_of_its_slope_and_idle_current() {
    let row = |pull: f64, current: f64| TableRow { pull: n(pull), current: a(current), line_speed: None };
    // 50 N/A above 50 A, both rows on the line.
    let table = TableWinch::fit([row(0.0, 50.0), row(10_000.0, 250.0)]).unwrap();
    let gauge = CurrentGauge::of_table(&table, a(10.0), fraction(0.25)).unwrap();
    let band = pull(gauge.read(a(150.0), Running::Hauling).unwrap());
    // Slope 40 to 66.7 N/A, 100 ± 10 A.
    assert!(is(band, 90.0 * 40.0, 100.0 * 50.0, 110.0 * 50.0 / 0.75), "{band:?}");
    // A row off the line by some amperes widens every reading by as much as the worst.
    let bent = TableWinch::fit([row(0.0, 50.0), row(5_000.0, 156.0), row(10_000.0, 250.0)]).unwrap();
    let worst = bent.worst_residual().value;
    assert!((worst - 4.0).abs() < 1e-9, "the middle of three lies 6·2/3 A off");
    let exact = CurrentGauge::of_table(&bent, a(0.0), fraction(0.0)).unwrap();
    let band = pull(exact.read(a(152.0), Running::Hauling).unwrap());
    assert!(is(band, 96.0 * 50.0, 100.0 * 50.0, 104.0 * 50.0), "{band:?}");
}

// ——— fits ———

/// 100:1 on a radius of 0.1 m: 1000 rad of the motor for each metre.
fn fit(points: &[(f64, f64, f64)]) -> Result<WinchFit, WinchError> {
    let points = points.iter().map(|(pull, current, speed)| WinchPoint {
        voltage: v(12.0),
        current: a(*current),
        line_speed: m_per_s(*speed),
        pull: n(*pull),
    });
    let points: Vec<_> = points.collect();
    fit_winch(&points, fraction(100.0), m(0.1))
}

/// I = I₀ + s·F with scatter, and kt·1000·v = 12 − R·I with scatter.
fn readings(i0: f64, s: f64, scatter: f64) -> Vec<(f64, f64, f64)> {
    let wobble = [1.0, -0.6, -0.9, 0.7, 0.2, -0.4];
    (0..6)
        .map(|k| {
            let pull = 1000.0 * f64::from(k + 1);
            let current = i0 + s * pull + scatter * wobble[k as usize];
            (pull, current, (12.0 - 0.02 * current + 0.003 * wobble[5 - k as usize]) / 50.0)
        })
        .collect()
}

#[test]
fn the_standard_errors_of_a_winch_are_those_of_a_textbook() {
    let points = readings(10.0, 0.025, 0.4);
    let fit = fit(&points).unwrap();
    let count = points.len() as f64;
    // A straight line: s = S_xy/S_xx, σ² = Σe²/(n − 2), SE(s) = σ/√S_xx, SE(I₀) = σ·√(1/n + x̄²/S_xx).
    let mean = |of: &dyn Fn(&(f64, f64, f64)) -> f64| points.iter().map(of).sum::<f64>() / count;
    let (x, y) = (mean(&|p| p.0), mean(&|p| p.1));
    let s_xx: f64 = points.iter().map(|p| (p.0 - x).powi(2)).sum();
    let s = points.iter().map(|p| (p.0 - x) * (p.1 - y)).sum::<f64>() / s_xx;
    let i0 = y - s * x;
    let sigma = (points.iter().map(|p| (p.1 - i0 - s * p.0).powi(2)).sum::<f64>() / (count - 2.0)).sqrt();
    let (s_error, i0_error) = (sigma / s_xx.sqrt(), sigma * (1.0 / count + x * x / s_xx).sqrt());
    // Two constants without a constant term: V = kt·ω + R·I by Cramer's rule; SE(kt) = σ·√(ΣI²/D).
    let sum = |of: &dyn Fn(f64, f64) -> f64| points.iter().map(|p| of(1000.0 * p.2, p.1)).sum::<f64>();
    let (ww, wi, ii) = (sum(&|w, _| w * w), sum(&|w, i| w * i), sum(&|_, i| i * i));
    let (w, i) = (sum(&|w, _| 12.0 * w), sum(&|_, i| 12.0 * i));
    let d = ww * ii - wi * wi;
    let (kt, ohm) = ((w * ii - i * wi) / d, (i * ww - w * wi) / d);
    let sigma = (sum(&|w, i| (12.0 - kt * w - ohm * i).powi(2)) / (count - 2.0)).sqrt();
    let (kt_error, ohm_error) = (sigma * (ii / d).sqrt(), sigma * (ww / d).sqrt());
    let eta = 1.0 / (1000.0 * kt * s);
    // Of a quotient, the relative errors add in squares.
    let eta_error = eta * ((kt_error / kt).powi(2) + (s_error / s).powi(2)).sqrt();

    // The normal equations here square the condition of about 20: 1e-9 is far more than rounding leaves.
    let like = |a: f64, b: f64| (a / b - 1.0).abs() < 1e-9;
    assert!(like(fit.no_load_current.value.value, i0) && like(fit.constant.value.value, kt));
    assert!(like(fit.winding.value.value, ohm) && like(fit.gear_efficiency.value.value, eta));
    assert!(like(fit.no_load_current.standard_error.unwrap().value, i0_error));
    assert!(like(fit.constant.standard_error.unwrap().value, kt_error));
    assert!(like(fit.winding.standard_error.unwrap().value, ohm_error));
    assert!(like(fit.gear_efficiency.standard_error.unwrap().value, eta_error));
    // Two equations a point, four constants.
    assert_eq!(fit.spare_readings, 8);
}

#[test]
fn constants_that_are_hardly_told_apart_have_errors_that_go_together() {
    // Loads of 200 N at the most: their errors go with −Σωi/√(Σω²·Σi²), as of any two columns.
    let points: Vec<_> = (0..5)
        .map(|k| {
            let current = 10.0 + 1.25 * f64::from(k);
            (50.0 * f64::from(k), current, (12.0 - 0.02 * current) / 50.0)
        })
        .collect();
    let sum = |of: &dyn Fn(f64, f64) -> f64| points.iter().map(|p| of(1000.0 * p.2, p.1)).sum::<f64>();
    let expected = -sum(&|w, i| w * i) / (sum(&|w, _| w * w) * sum(&|_, i| i * i)).sqrt();
    let warning = fit(&points).unwrap().confounded.unwrap();
    assert_eq!((warning.one, warning.other), (Constant::MotorConstant, Constant::WindingResistance));
    assert!((warning.correlation / expected - 1.0).abs() < 1e-9, "{warning:?} {expected}");
}

#[test]
fn a_constant_may_pass_what_it_can_be_by_three_standard_errors() {
    // η = 1/(1000·0.05·s): of 0.0198 A/N 1.01, of 0.019 A/N 1.05. Scatter of 1 A leaves about ±1.3 %.
    let close = fit(&readings(10.0, 0.0198, 1.0)).unwrap().gear_efficiency;
    assert_eq!(close.value, fraction(1.0));
    assert!(close.standard_error.unwrap().value > 0.005 && close.standard_error.unwrap().value < 0.03);
    for scatter in [0.05, 0.3] {
        let above = fit(&readings(10.0, 0.0185, scatter));
        assert!(
            matches!(above, Err(WinchError::ImpossibleFit { constant: "gear efficiency", value, .. }) if value > 1.05),
            "{above:?}"
        );
    }
    // An idle current below zero by less than three errors is none; by more it can't be.
    let at = |i0: f64, scatter: f64| fit(&readings(i0, 0.025, scatter));
    let none = at(-0.5, 0.6).unwrap().no_load_current;
    assert_eq!(none.value, a(0.0));
    assert!(none.standard_error.unwrap() > a(0.17));
    let some = at(0.2, 0.6).unwrap().no_load_current;
    assert!(some.value > a(0.0) && some.value < some.standard_error.unwrap() * 3.0);
    let below = at(-1.0, 0.05);
    assert!(
        matches!(below, Err(WinchError::ImpossibleFit { constant: "no-load current", value, .. }) if value < -0.9),
        "{below:?}"
    );
}

#[test]
fn the_standard_error_of_a_motors_idle_current_is_that_of_a_quotient() {
    let wobble = [0.3, -0.2, 0.1, -0.4, 0.25];
    let points: Vec<_> = (0..5)
        .map(|k| {
            let (torque, off) = (1.5 * f64::from(k), wobble[k as usize]);
            let current = 6.0 + torque / 0.055 + off;
            let speed = (24.0 - 0.02 * current) / 0.055 + 2.0 * wobble[4 - k as usize];
            (24.0, current, speed, torque)
        })
        .collect();
    let of: Vec<_> = points
        .iter()
        .map(|(volts, current, speed, torque)| MotorPoint {
            voltage: v(*volts),
            current: a(*current),
            speed: rad_per_s(*speed),
            torque: n_m(*torque),
        })
        .collect();
    let fit = fit_motor(&of).unwrap();
    // Rows of kt·ω + R·I = V and kt·I − c = τ with c = kt·I₀, by the greatest V and τ; C = σ²·(AᵀA)⁻¹.
    let (v_max, t_max) = (24.0, 6.0);
    let rows: Vec<([f64; 3], f64)> = points
        .iter()
        .flat_map(|(v, i, w, t)| {
            [([w / v_max, i / v_max, 0.0], v / v_max), ([i / t_max, 0.0, -1.0 / t_max], t / t_max)]
        })
        .collect();
    let mut m = [[0.0; 4]; 3];
    for (a, b) in &rows {
        for j in 0..3 {
            (0..3).for_each(|k| m[j][k] += a[j] * a[k]);
            m[j][3] += a[j] * b;
        }
    }
    let minor = |j: usize, k: usize| {
        let (a, b) = ((j + 1) % 3, (j + 2) % 3);
        let (c, d) = ((k + 1) % 3, (k + 2) % 3);
        m[a][c] * m[b][d] - m[a][d] * m[b][c]
    };
    let det: f64 = (0..3).map(|k| m[0][k] * minor(0, k)).sum();
    let inverse = |j: usize, k: usize| minor(k, j) / det;
    let x = [0, 1, 2].map(|j| (0..3).map(|k| inverse(j, k) * m[k][3]).sum::<f64>());
    let misfit: f64 = rows.iter().map(|(a, b)| ((0..3).map(|j| a[j] * x[j]).sum::<f64>() - b).powi(2)).sum();
    let variance = misfit / (rows.len() as f64 - 3.0);
    // I₀ = c/kt: ∂/∂kt = −c/kt², ∂/∂c = 1/kt
    let g = [-x[2] / (x[0] * x[0]), 0.0, 1.0 / x[0]];
    let spread: f64 =
        (0..3).flat_map(|j| (0..3).map(move |k| (j, k))).map(|(j, k)| g[j] * inverse(j, k) * g[k]).sum();
    let error = (variance * spread).sqrt();
    let like = |a: f64, b: f64| (a / b - 1.0).abs() < 1e-7;
    assert!(like(fit.no_load_current.value.value, x[2] / x[0]), "{fit:?}");
    assert!(like(fit.no_load_current.standard_error.unwrap().value, error), "{fit:?} {error}");
    assert_eq!(fit.spare_readings, 7);
}

#[test]
fn two_points_of_a_motor_are_enough_and_each_constant_has_its_name() {
    let point = |torque: f64| {
        let current = 6.0 + torque / 0.055;
        MotorPoint {
            voltage: v(24.0),
            current: a(current),
            speed: rad_per_s((24.0 - 0.02 * current) / 0.055),
            torque: n_m(torque),
        }
    };
    let fit = fit_motor([point(0.0), point(11.0)]).unwrap();
    assert!((fit.winding.value.value / 0.02 - 1.0).abs() < 1e-9);
    assert_eq!(fit.spare_readings, 1);
    let names = [
        (Constant::MotorConstant, "the motor constant"),
        (Constant::WindingResistance, "the winding resistance"),
        (Constant::NoLoadCurrent, "the no-load current"),
        (Constant::GearEfficiency, "the gear efficiency"),
    ];
    for (constant, name) in names {
        assert_eq!(constant.to_string(), name);
    }
}
