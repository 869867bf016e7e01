//! Anchors against published and independently computed values.
//!
//! GEN: computed at 40 digits for this project, not published; held to half a unit of the last digit given.

use rope_mechanics::anchor::{
    Anchor, AnchorError, AnchorLeg, Beam, Deadman, DeadmanSoil, Picket, PicketSoil, Pickets, Surface,
    Vehicle, v_anchor,
};
use rope_mechanics::geometry::{Force3, Point3};
use rope_mechanics::quantity::unit::{
    degree, foot, inch, kilogram, kilonewton, meter, newton, pascal, pound_force, radian, ratio,
};
use rope_mechanics::quantity::{Angle, Force, Length, Mass, Ratio};
use rope_mechanics::uom::si::force::kilogram_force;

fn near(value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance, "{value} should be {expected} to {tolerance}");
}

fn ft(value: f64) -> Length {
    Length::new::<foot>(value)
}

#[test]
fn web_table_on_v_anchors_and_geometry_the_legs_of_a_v_anchor() {
    // Geometry: 0° .5, 60° .57735, 90° .70711, 120° 1.0, 150° 1.93185 of the load.
    for (angle, share) in [(0.0, 0.5), (60.0, 0.57735), (90.0, 0.70711), (120.0, 1.0), (150.0, 1.93185)] {
        let leg = v_anchor(Force::new::<newton>(1.0), Angle::new::<degree>(angle)).unwrap();
        near(leg.value, share, 5e-6);
    }
    // A table of an arborists' site: 400 lb at 150° → 772.7.
    let leg = v_anchor(Force::new::<pound_force>(400.0), Angle::new::<degree>(150.0)).unwrap();
    near(leg.get::<pound_force>(), 772.7, 0.05);
}

/// Legs of these lengths at these angles over the level; the load goes straight against 90°.
fn shares(legs: &[(f64, f64)]) -> Vec<f64> {
    let legs: Vec<_> = legs
        .iter()
        .map(|(length, degrees)| {
            let (sin, cos) = degrees.to_radians().sin_cos();
            let m = Length::new::<meter>;
            let at = Point3::new(m(length * cos), m(0.0), m(length * sin));
            AnchorLeg::new(at, Force::new::<kilonewton>(50.0)).unwrap()
        })
        .collect();
    let anchor = Anchor::new(Point3::default(), &legs).unwrap();
    let load = Force3::new(Force::default(), Force::default(), Force::new::<newton>(-1000.0));
    let shares = anchor.share(load).unwrap();
    assert!(shares.report.residual <= 1e-12);
    shares.shares().map(|share| share.value).collect()
}

#[test]
fn computed_at_40_digits_parallel_legs_share_by_their_length() {
    // GEN: legs of 1, 2 and 3 m → 54.55, 27.27, 18.18 %.
    for (share, expected) in
        shares(&[(1.0, 90.0), (2.0, 90.0), (3.0, 90.0)]).iter().zip([0.5455, 0.2727, 0.1818])
    {
        near(*share, expected, 5e-5);
    }
}

#[test]
fn computed_at_40_digits_spread_legs_share_by_their_length_and_angle() {
    // GEN: 120, 90 and 60°, all 1 m → .3464, .4000, .3464; 1, 1, 3 m → .2474, .5714, .2474.
    for (share, expected) in
        shares(&[(1.0, 120.0), (1.0, 90.0), (1.0, 60.0)]).iter().zip([0.3464, 0.4, 0.3464])
    {
        near(*share, expected, 5e-5);
    }
    // The long leg is softer, so the master point moves aside until both outer legs pull alike.
    for (share, expected) in
        shares(&[(1.0, 120.0), (1.0, 90.0), (3.0, 60.0)]).iter().zip([0.2474, 0.5714, 0.2474])
    {
        near(*share, expected, 5e-5);
    }
}

#[test]
fn computed_at_40_digits_a_vehicle_on_its_brakes() {
    // GEN: 12 t, μ .4 → 47.07 kN level; on a downgrade of 6 % with the rope rising 10° → 37.88 kN.
    let truck = Vehicle::new(Mass::new::<kilogram>(12_000.0), Surface::GravelWet.friction()).unwrap();
    near(truck.holds().unwrap().get::<kilonewton>(), 47.07, 0.005);
    let on_grade = truck
        .with_grade(Angle::new::<radian>(0.06_f64.atan()))
        .and_then(|truck| truck.with_rope_rise(Angle::new::<degree>(10.0)))
        .unwrap();
    near(on_grade.holds().unwrap().get::<kilonewton>(), 37.88, 0.005);
}

#[test]
fn published_tables_of_tyre_friction() {
    // Read, as ranges: asphalt dry .70–.80 and wet .45–.55, wet gravel .40–.50, wet earth .15–.25, packed snow .25–.35,
    // ice .05–.15. What is to hold is taken at the low end.
    let table = [
        (Surface::AsphaltDry, 0.70, 0.80),
        (Surface::AsphaltWet, 0.45, 0.55),
        (Surface::GravelWet, 0.40, 0.50),
        (Surface::EarthWet, 0.15, 0.25),
        (Surface::Snow, 0.25, 0.35),
        (Surface::Ice, 0.05, 0.15),
    ];
    for (surface, low, high) in table {
        assert!(low < high);
        assert_eq!(surface.friction().value, low);
    }
}

#[test]
fn us_navy_rigging_manuals_and_fm_5_125_picket_holdfasts() {
    // US Navy rigging manuals (read): 700 lb (3.11 kN), 1-1-1 1800 lb (8.0 kN), 3-2-1 4000 lb (17.8 kN) in
    // undisturbed loam. FM 5-125 (from memory): 1-1 1400 lb, 2-1 2000 lb; × 0.9 and × 0.5 in wet soils.
    let picket = Picket::new(Length::new::<inch>(3.0), ft(5.0), ft(3.0)).unwrap();
    let hold = |pickets, soil| picket.hold(pickets, soil);
    let loam = PicketSoil::UndisturbedLoam;
    near(hold(Pickets::One, loam).get::<kilonewton>(), 3.11, 0.005);
    near(hold(Pickets::OneOneOne, loam).get::<kilonewton>(), 8.0, 0.05);
    near(hold(Pickets::ThreeTwoOne, loam).get::<kilonewton>(), 17.8, 0.05);
    near(hold(Pickets::OneOne, loam).get::<pound_force>(), 1400.0, 1e-9);
    near(hold(Pickets::TwoOne, loam).get::<pound_force>(), 2000.0, 1e-9);
    near(hold(Pickets::TwoOne, PicketSoil::WetClayAndGravel).get::<pound_force>(), 1800.0, 1e-9);
    near(hold(Pickets::TwoOne, PicketSoil::WetRiverClayAndSand).get::<pound_force>(), 1000.0, 1e-9);
}

#[test]
fn us_navy_rigging_manuals_picket_holdfasts_in_kilograms() {
    // The same manuals print 1-1-1 as 810 kg and 3-2-1 as 1800 kg beside the pounds: cut to two digits.
    let picket = Picket::new(Length::new::<inch>(3.0), ft(5.0), ft(3.0)).unwrap();
    for (pickets, printed, unit) in [(Pickets::OneOneOne, 810.0, 10.0), (Pickets::ThreeTwoOne, 1800.0, 100.0)]
    {
        let above = picket.hold(pickets, PicketSoil::UndisturbedLoam).get::<kilogram_force>() - printed;
        assert!((0.0..unit).contains(&above), "{above}");
    }
}

#[test]
fn tm_5_5420_278_10_how_far_a_buried_anchor_stands_from_its_tower() {
    // The manual lets the beam stand between (H + DD) and 4·(H + DD) from a tower of height H, with DD its mean depth:
    // the rope rises from 1:1 to 1:4, and its table has a column for either end and none beyond.
    let beam = Beam::Log { diameter: ft(1.0) };
    for (tower, depth, one_to_one, one_to_four) in [(12.0, 4.0, 1750.0, 2700.0), (30.0, 7.0, 5100.0, 8400.0)]
    {
        let at = |times: f64| {
            let rise = ft(tower + depth);
            Deadman::new(ft(depth), rise / (times * rise), beam, DeadmanSoil::Loam)
        };
        // 47.88 Pa, to its last digit.
        near(at(1.0).unwrap().pressure().value / one_to_one, 47.88, 0.005);
        near(at(4.0).unwrap().pressure().value / one_to_four, 47.88, 0.005);
        for too_near_or_far in [0.99, 4.01] {
            assert_eq!(at(too_near_or_far).unwrap_err().field, "slope");
        }
    }
}

#[test]
fn tm_5_5420_278_10_buried_anchors() {
    // TM 5-5420-278-10, table 9 (read): lb by ft² of face in loamy soil, for slopes of 1:1, 1:2, 1:3, 1:4.
    let table = [
        (3.0, [950.0, 1300.0, 1450.0, 1500.0]),
        (4.0, [1750.0, 2200.0, 2600.0, 2700.0]),
        (5.0, [2800.0, 3600.0, 4000.0, 4100.0]),
        (6.0, [3800.0, 5100.0, 5800.0, 6000.0]),
        (7.0, [5100.0, 7000.0, 8000.0, 8400.0]),
    ];
    let beam = Beam::Timber { face: ft(1.0), thickness: ft(1.0) };
    for (depth, row) in table {
        for (run, pounds) in (1..).zip(row) {
            let slope = Ratio::new::<ratio>(1.0 / f64::from(run));
            let deadman = |soil| Deadman::new(ft(depth), slope, beam, soil).unwrap();
            // × 47.88 Pa, to its last digit.
            let pressure = deadman(DeadmanSoil::Loam).pressure().get::<pascal>();
            near(pressure / pounds, 47.88, 0.005);
            // ×5 in hardpan or rock, ×½ in fine-grained wet or sandy soil.
            near(deadman(DeadmanSoil::HardpanOrRock).pressure().value, 5.0 * pressure, 1e-6);
            near(deadman(DeadmanSoil::FineWetOrSandy).pressure().value, 0.5 * pressure, 1e-6);
            // D_L = CC/(HP·D_f) + 1 ft
            let length =
                deadman(DeadmanSoil::Loam).length_for(Force::new::<pound_force>(2.0 * pounds)).unwrap();
            near(length.get::<foot>(), 3.0, 1e-12);
        }
    }
    // No longer than 9 times the thickness of a timber, and 5 times the diameter of a log.
    for (beam, most) in [(beam, 9.0), (Beam::Log { diameter: ft(1.0) }, 5.0)] {
        let deadman = Deadman::new(ft(5.0), Ratio::new::<ratio>(0.25), beam, DeadmanSoil::Loam).unwrap();
        assert!(deadman.hold(ft(most)).is_ok());
        assert!(matches!(deadman.hold(ft(most + 0.01)), Err(AnchorError::Slender { .. })));
    }
}
