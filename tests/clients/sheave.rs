//! The bands of a sheave and a bar.

use rope_checks::{assert_same_bits, numbers_from_c};
use rope_mechanics::quantity::{Angle, Ratio};
use rope_mechanics::sheave::{Measured, Turn};
use rope_mechanics::uom::si::{angle::radian, ratio::ratio};

#[test]
fn c_and_rust_agree_on_a_band() {
    let c = numbers_from_c("sheave.c");
    let turn = Turn::sheave(Ratio::new::<ratio>(90.0 * 1e-2)).unwrap();
    let band = turn.band(Angle::new::<radian>(120.0 * 0.017453292519943295)).unwrap();
    assert_same_bits!(c, "hauling", band.high.value);
    assert_same_bits!(c, "lowering", band.low.value);
    let percent = |x: f64| Ratio::new::<ratio>(x * 1e-2);
    let bar = Turn::bar(percent(20.0), percent(25.0)).unwrap();
    let band = bar.band(Angle::new::<radian>(900.0 * 0.017453292519943295)).unwrap();
    assert_same_bits!(c, "bar_hauling", band.high.value);
    assert_same_bits!(c, "bar_lowering", band.low.value);

    let [worst, best] = Measured::CapturePulley.efficiency();
    assert_same_bits!(c, "capture_worst", worst.value);
    assert_same_bits!(c, "capture_best", best.value);
    for (kind, what) in [
        (1, Measured::RescuePulley),
        (2, Measured::BushedPulley),
        (4, Measured::Connector),
        (5, Measured::TwoConnectors),
        (6, Measured::Descender),
    ] {
        let band = what.turns()[0].band(Angle::new::<radian>(120.0 * 0.017453292519943295)).unwrap();
        assert_same_bits!(c, &format!("measured_{kind}"), band.high.value);
    }
}
