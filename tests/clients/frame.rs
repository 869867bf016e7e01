//! Frames through C.

use rope_checks::{assert_same_bits, numbers_from_c};
use rope_mechanics::frame::{Frame, FrameError, Guy, HeadPull, Leg, resultant};
use rope_mechanics::geometry::{Direction3, Point3};
use rope_mechanics::quantity::unit::{kilonewton, meter, newton, ratio};
use rope_mechanics::quantity::{Angle, Force, Length, Ratio};

#[test]
fn c_and_rust_agree_on_frames() {
    let c = numbers_from_c("frame.c");
    let (n, m, r) = (Force::new::<newton>, Length::new::<meter>, Ratio::new::<ratio>);
    let at = |x, y, z| Point3::new(m(x), m(y), m(z));
    let foot = |x, y, z| Leg::new(at(x, y, z)).unwrap();
    let along = |x, y, z, t| HeadPull::along(Direction3::new(r(x), r(y), r(z)).unwrap(), n(t)).unwrap();

    let legs = [foot(1.2, 0.0, 0.0), foot(-0.6, 1.04, 0.0), foot(-0.6, -1.04, 0.0)];
    let tripod = Frame::new(at(0.0, 0.0, 2.5), &legs, &[]).unwrap().hobbled_around().unwrap();
    let forces = tripod.solve(&[along(0.0, 0.0, -1.0, 5000.0)]).unwrap();
    assert_same_bits!(c, "tripod_leg", forces.legs()[0].compression.value);
    assert_same_bits!(c, "tripod_hobble", forces.hobbles()[1].value);
    assert_same_bits!(c, "tripod_limit", forces.stability.tip_limit.unwrap().value);
    assert_same_bits!(c, "tripod_lever", forces.stability.lever.unwrap().value);
    // 180 times the radians of a degree, as the header builds it.
    let azimuth = Angle::new::<rope_mechanics::quantity::unit::radian>(180.0 * 0.017_453_292_519_943_295);
    let edge = tripod.cone_edge(azimuth, n(5000.0)).unwrap();
    assert_same_bits!(c, "tripod_tilt", edge.stands.unwrap().1.value);

    assert_same_bits!(c, "pole_share", tripod.pole_share(m(0.06)).unwrap().value);
    let slope = [HeadPull::towards(at(1.0, 0.0, -40.0), n(5000.0)).unwrap()];
    let heads = [at(0.0, 0.0, 2.0), at(0.0, 0.0, 3.0), at(2.0, 0.0, 2.0)];
    let at_heads: Vec<_> = tripod.at_heads(heads, &slope).collect();
    let [Ok(low), Ok(high), Err(FrameError::Falls(_))] = &at_heads[..] else {
        panic!("the third should fall");
    };
    assert_same_bits!(c, "low_limit", low.stability.tip_limit.unwrap().value);
    assert_same_bits!(c, "high_limit", high.stability.tip_limit.unwrap().value);
    assert_same_bits!(c, "high_margin", high.stability.margin.value);
    assert_same_bits!(c, "low_leg", low.legs()[1].compression.value);
    assert_same_bits!(c, "high_leg", high.legs()[0].compression.value);

    let head = at(0.0, 0.0, 3.0);
    let ropes = [
        along(0.7108, 0.0, -0.7034, 4683.0),
        along(0.7108, 0.0, -0.7034, 1362.8),
        HeadPull::towards(at(-6.0, 0.0, 0.8), n(4683.0)).unwrap(),
        HeadPull::towards(at(-5.0, 0.0, 0.5), n(1362.8)).unwrap(),
    ];
    let sum = resultant(head, &ropes).unwrap();
    assert_same_bits!(c, "resultant_x", sum.x.value);
    assert_same_bits!(c, "resultant_z", sum.z.value);
    let feet = [foot(0.0, 1.2, 0.0), foot(0.0, -1.2, 0.0)];
    let guy = |x, y, z| Guy::new(at(x, y, z)).unwrap();
    let front =
        [guy(3.0, 1.5, -2.0), guy(3.0, -1.5, -2.0).with_strength(Force::new::<kilonewton>(20.0)).unwrap()];
    let forces = Frame::new(head, &feet, &front).unwrap().solve(&ropes).unwrap();
    assert_same_bits!(c, "bipod_leg", forces.legs()[0].compression.value);
    assert_same_bits!(c, "bipod_guy", forces.guys()[0].tension.value);
    assert_same_bits!(c, "bipod_factor", forces.guys()[1].factor.unwrap().value);
    assert_same_bits!(c, "bipod_friction", forces.legs()[1].friction_needed.unwrap().value);
    let rear = [guy(-3.0, 1.5, -2.0), guy(-3.0, -1.5, -2.0)];
    let Err(FrameError::Falls(fall)) = Frame::new(head, &feet, &rear).unwrap().solve(&ropes) else {
        panic!("it should fall");
    };
    assert_same_bits!(c, "missing", fall.missing.x.value);
}
