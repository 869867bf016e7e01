//! Anchors through C.

use rope_checks::{assert_same_bits, numbers_from_c};
use rope_mechanics::anchor::{
    Anchor, AnchorLeg, Beam, Deadman, DeadmanSoil, Picket, PicketSoil, Pickets, Surface, Vehicle, v_anchor,
};
use rope_mechanics::geometry::{Force3, Point3};
use rope_mechanics::quantity::unit::{
    foot, inch, kilogram, kilonewton, meter, newton, pound_force, radian, ratio,
};
use rope_mechanics::quantity::{Angle, Force, Length, Mass, Ratio};

#[test]
fn c_and_rust_agree_on_anchors() {
    let c = numbers_from_c("anchor.c");
    let (n, m, ft) = (Force::new::<newton>, Length::new::<meter>, Length::new::<foot>);
    let legs = [-1.0, 0.0, 1.0]
        .map(|x| AnchorLeg::new(Point3::new(m(x), m(0.0), m(2.0)), Force::new::<kilonewton>(50.0)).unwrap());
    let anchor = Anchor::new(Point3::default(), &legs).unwrap();
    let load = Force3::new(n(30.0), n(0.0), n(-2000.0));
    assert_same_bits!(c, "share", anchor.share(load).unwrap().tensions()[1].value);
    let settled = anchor.settle(load).unwrap();
    assert_same_bits!(c, "settled", settled.shares.tensions()[2].value);
    assert_same_bits!(c, "moved", settled.moved.value);
    let loss = anchor.after_losing(1, load).unwrap();
    assert_same_bits!(c, "after", loss.after.shares.tensions()[0].value);
    assert_same_bits!(c, "drop", loss.drop.value);

    let angle = Angle::new::<radian>(150.0 * 0.017_453_292_519_943_295);
    assert_same_bits!(c, "v", v_anchor(Force::new::<pound_force>(400.0), angle).unwrap().value);

    let truck = Vehicle::new(Mass::new::<kilogram>(12_000.0), Surface::GravelWet.friction()).unwrap();
    assert_same_bits!(c, "wet_gravel", Surface::GravelWet.friction().value);
    let truck = truck.with_grade(Angle::new::<radian>(0.06)).unwrap();
    let truck = truck.with_rope_rise(Angle::new::<radian>(0.17)).unwrap();
    assert_same_bits!(c, "truck", truck.holds().unwrap().value);

    let picket = Picket::new(Length::new::<inch>(3.0), ft(5.0), ft(3.0)).unwrap();
    assert_same_bits!(c, "pickets", picket.hold(Pickets::ThreeTwoOne, PicketSoil::WetClayAndGravel).value);

    let beam = Beam::Timber { face: ft(1.0), thickness: ft(1.0) };
    let deadman = Deadman::new(ft(5.0), Ratio::new::<ratio>(0.25), beam, DeadmanSoil::Loam).unwrap();
    assert_same_bits!(c, "deadman_pressure", deadman.pressure().value);
    let pull = deadman.hold(ft(4.0)).unwrap();
    assert_same_bits!(c, "deadman", pull.value);
    assert_same_bits!(c, "deadman_length", deadman.length_for(pull).unwrap().value);
}
