//! Strain and tension of a rope.

use rope_checks::{assert_same_bits, numbers_from_c};
use rope_mechanics::quantity::{Force, unit::newton};
use rope_mechanics::rope::Stretch;

#[test]
fn c_and_rust_agree_on_a_stretch() {
    let c = numbers_from_c("rope.c");
    let n = Force::new::<newton>;
    let stretch = Stretch::stiffening(n(30e3), n(200e3)).unwrap();
    let strain = stretch.strain(n(2000.0)).unwrap();
    assert_same_bits!(c, "strain", strain.value);
    assert_same_bits!(c, "tension", stretch.tension(strain).unwrap().value);
}
