//! A load on a track rope.

use rope_checks::{assert_same_bits, numbers_from_c};
use rope_mechanics::carriage::{HaulRope, Held, Load, Support, Track, rolling};
use rope_mechanics::geometry::{Point2, Profile};
use rope_mechanics::motion::Motion;
use rope_mechanics::quantity::unit::{meter, newton, ratio};
use rope_mechanics::quantity::{Force, Length, Ratio};
use rope_mechanics::rope::Stretch;

#[test]
fn c_and_rust_agree_on_a_carriage() {
    let c = numbers_from_c("carriage.c");
    let m = Length::new::<meter>;
    let n = Force::new::<newton>;
    let at = |x, z| Point2::new(m(x), m(z));
    let stretch = Stretch::linear(n(80e3)).unwrap();
    let track =
        Track::new(at(0.0, 0.0), at(70.0, -45.0), m(80.24889), n(1.6671305) / m(1.0), stretch).unwrap();
    let load = Load::new(n(2451.6625)).unwrap();
    let haul = HaulRope::new(at(0.0, 0.0)).unwrap();
    let held = Held::new(track, load, haul);

    let state = held.at_x(m(30.0)).unwrap();
    let haul_length = state.haul.unwrap().length;
    assert_same_bits!(c, "held_z", state.position.z.value);
    assert_same_bits!(c, "held_head", state.tension.head.value);
    assert_same_bits!(c, "held_haul", haul_length.value);
    assert_same_bits!(c, "held_strain", state.greatest_strain().value);
    assert_same_bits!(c, "held_on_head_z", state.on_head.z.value);
    assert_same_bits!(c, "by_haul_x", held.by_haul_length(haul_length).unwrap().position.x.value);
    let sought = held.length_for_tension(m(30.0), n(4000.0)).unwrap();
    assert_same_bits!(c, "length_for_tension", sought.track_length.value);
    let sought = held.length_for_point(at(30.0, -29.0)).unwrap();
    assert_same_bits!(c, "length_for_point", sought.track_length.value);

    let points = [at(0.0, -3.0), at(10.0, -20.0), at(70.0, -46.0)];
    let ground = Profile::new(&points).unwrap();
    let place = |nearest| held.at_height_above(&ground, m(2.0), nearest).unwrap().position;
    assert_same_bits!(c, "height_near_head_x", place(Support::Head).x.value);
    assert_same_bits!(c, "height_near_far_x", place(Support::Far).x.value);
    assert_same_bits!(c, "height_near_far_z", place(Support::Far).z.value);

    let heavy = haul.with_weight(n(0.83) / m(1.0)).unwrap().with_stretch(Stretch::linear(n(40e3)).unwrap());
    let load = load.with_wheel_friction(Ratio::new::<ratio>(2.0 * 1e-2), Motion::Hauling).unwrap();
    let hauling = Held::new(track, load, heavy).at_x(m(30.0)).unwrap();
    assert_same_bits!(c, "hauling_pull", hauling.haul.unwrap().at_haul_point.value);

    let free = rolling(&track.with_length(m(95.0)).unwrap(), &load).unwrap();
    assert_same_bits!(c, "rolling_x", free.position.x.value);
}
