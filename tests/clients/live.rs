//! Live calls in single precision.

use rope_checks::{assert_same_bits, numbers_from_c};
use rope_mechanics::live::{LiveLine, LiveTurn, turn_ratio};
use rope_mechanics::motion::Motion;

#[test]
fn c_and_rust_agree_in_single_precision() {
    let c = numbers_from_c("live.c");
    let line =
        LiveLine { span_m: 52.0, rise_m: -31.0, length_m: 60.25, weight_n_per_m: 1.8, stiffness_n: 124e3 };
    let ends = line.ends().unwrap();
    assert_same_bits!(c, "horizontal_n", f64::from(ends.horizontal_n));
    assert_same_bits!(c, "first_n", f64::from(ends.first_n));
    assert_same_bits!(c, "last_n", f64::from(ends.last_n));
    assert_same_bits!(c, "first_up_n", f64::from(ends.first_up_n));
    assert_same_bits!(c, "last_up_n", f64::from(ends.last_up_n));
    assert_same_bits!(c, "residual", f64::from(ends.residual));
    assert_same_bits!(c, "iterations", f64::from(ends.iterations));
    let length = line.length_for(1500.0).unwrap();
    assert_same_bits!(c, "length_m", f64::from(length.length_m));
    assert_same_bits!(c, "length_residual", f64::from(length.residual));
    assert_same_bits!(c, "length_iterations", f64::from(length.iterations));
    let sheave = turn_ratio(LiveTurn::Sheave { efficiency: 0.91 }, Motion::Hauling, 2.1).unwrap();
    assert_same_bits!(c, "sheave", f64::from(sheave));
    let bar = turn_ratio(LiveTurn::Bar { friction: 0.2 }, Motion::Lowering, 2.1).unwrap();
    assert_same_bits!(c, "bar", f64::from(bar));
}
