//! A sheave's band.

use rope_checks::{assert_same_bits, numbers_from_c};
use rope_mechanics::quantity::{Angle, Ratio};
use rope_mechanics::sheave::Turn;
use rope_mechanics::uom::si::{angle::radian, ratio::ratio};

#[test]
fn c_and_rust_agree_on_a_band() {
    let c = numbers_from_c("sheave.c");
    let turn = Turn::sheave(Ratio::new::<ratio>(90.0 * 1e-2)).unwrap();
    let band = turn.band(Angle::new::<radian>(120.0 * 0.017453292519943295)).unwrap();
    assert_same_bits!(c, "hauling", band.hauling.value);
    assert_same_bits!(c, "lowering", band.lowering.value);
}
