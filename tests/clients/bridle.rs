//! The litter on haul and belay.

use rope_checks::{assert_same_bits, numbers_from_c};
use rope_mechanics::arrest::track_lost;
use rope_mechanics::bridle::{Bridle, BridleRope};
use rope_mechanics::geometry::Point3;
use rope_mechanics::quantity::unit::{meter, newton};
use rope_mechanics::quantity::{Force, Length};
use rope_mechanics::rope::Stretch;

#[test]
fn c_and_rust_agree_on_a_bridle() {
    let c = numbers_from_c("bridle.c");
    let (n, m) = (Force::new::<newton>, Length::new::<meter>);
    let at = |x, y, z| Point3::new(m(x), m(y), m(z));
    let rope = |from| BridleRope::new(from, Stretch::linear(n(40e3)).unwrap()).unwrap();
    let [a, b, d] = [at(0.0, 0.0, 3.0), at(-6.0, 2.0, 1.5), at(-5.0, -4.0, 2.0)].map(rope);
    let two = Bridle::new(n(2451.66), [a, b]).unwrap();
    let three = Bridle::new(n(2451.66), [a, b, d]).unwrap();

    let hang = two.at_lengths([m(2.6), m(4.5)]).unwrap();
    assert_same_bits!(c, "two_x", hang.position.x.value);
    assert_same_bits!(c, "two_tension", hang.tensions[0].value);
    assert_same_bits!(c, "two_side", hang.on_points[0].y.value);
    let hang = three.at_lengths([m(2.6), m(4.5), m(4.0)]).unwrap();
    assert_same_bits!(c, "three_z", hang.position.z.value);
    assert_same_bits!(c, "three_tension", hang.tensions[2].value);
    let hang = three.at_position(at(-3.0, 0.0, -1.0)).unwrap();
    assert_same_bits!(c, "position_length", hang.lengths[1].value);
    let hang = two.at_position(at(-3.0, 1.0, -1.0)).unwrap();
    assert_same_bits!(c, "plane_tension", hang.tensions[1].value);
    assert_same_bits!(c, "slack", two.slack_length(1, [m(2.6), m(4.5)]).unwrap().value);

    let swing = two.swing([m(2.6), m(4.5)], [m(6.0), m(2.0)], 4).unwrap();
    for (i, hang) in swing.map(Result::unwrap).enumerate() {
        assert_same_bits!(c, &format!("swing_y_{i}"), hang.position.y.value);
        assert_same_bits!(c, &format!("side_{i}"), hang.on_points[0].y.value);
        assert_same_bits!(c, &format!("haul_slack_{i}"), f64::from(u8::from(hang.slack[0])));
    }
    let carried: Vec<_> =
        three.carry(at(-3.0, 0.0, -1.0), at(-5.0, -0.5, -1.0), 2).unwrap().map(Result::unwrap).collect();
    assert_same_bits!(c, "carry_length", carried[1].lengths[2].value);
    assert_same_bits!(c, "carry_tension", carried[2].tensions[0].value);

    let lost = track_lost(&two, [m(26.25), m(29.5)], at(20.0, 0.0, -14.0), m(0.8)).unwrap();
    assert_same_bits!(c, "landing", lost.landing_speed.value);
    assert_same_bits!(c, "bound", lost.peak_bound[0].value);
}
