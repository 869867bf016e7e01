//! Anchors: statics that must hold for any of them, and what is refused.

use proptest::prelude::*;
use rope_mechanics::anchor::{
    Anchor, AnchorError, AnchorLeg, Beam, Deadman, DeadmanSoil, Picket, PicketSoil, Pickets, Surface,
    Vehicle, v_anchor,
};
use rope_mechanics::geometry::{Force3, Point3};
use rope_mechanics::quantity::unit::{
    degree, foot, inch, kilogram, kilonewton, meter, newton, pound_force, radian, ratio,
};
use rope_mechanics::quantity::{Angle, Force, Length, Mass, Ratio};

fn point(x: f64, y: f64, z: f64) -> Point3 {
    let m = Length::new::<meter>;
    Point3::new(m(x), m(y), m(z))
}

fn n(value: f64) -> Force {
    Force::new::<newton>(value)
}

fn load(x: f64, y: f64, z: f64) -> Force3 {
    Force3::new(n(x), n(y), n(z))
}

fn leg(x: f64, y: f64, z: f64, kilonewtons: f64) -> AnchorLeg {
    AnchorLeg::new(point(x, y, z), Force::new::<kilonewton>(kilonewtons)).unwrap()
}

/// The largest component of the sum of all forces on the master point, by the load.
fn unbalanced(legs: &[(f64, f64, f64)], master: Point3, tensions: &[Force], load: Force3) -> f64 {
    let mut sum = [load.x.value, load.y.value, load.z.value];
    for ((x, y, z), tension) in legs.iter().zip(tensions) {
        let run = [x - master.x.value, y - master.y.value, z - master.z.value];
        let length = run.iter().map(|x| x * x).sum::<f64>().sqrt();
        for (sum, run) in sum.iter_mut().zip(run) {
            *sum += tension.value * run / length;
        }
    }
    sum.iter().fold(0.0, |m: f64, x| m.max(x.abs())) / load.magnitude().value
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn forces_on_the_settled_master_point_sum_to_zero(
        legs in prop::collection::vec((-6.0..6.0, -6.0..6.0, -6.0..6.0), 1..=8),
        ea in 3.0..6.5, slack in 0.0..0.5,
        (x, y, z) in (-5e3..5e3, -5e3..5e3, -2e4..-10.0)
    ) {
        prop_assume!(legs.iter().all(|(x, y, z)| x * x + y * y + z * z > 0.01));
        let made: Vec<_> = legs.iter().enumerate().map(|(i, (x, y, z))| {
            let one = leg(*x, *y, *z, 10.0_f64.powf(ea - 3.0));
            if i == 1 { one.with_slack(Length::new::<meter>(slack)).unwrap() } else { one }
        }).collect();
        let anchor = Anchor::new(Point3::default(), &made).unwrap();
        let load = load(x, y, z);
        let settled = anchor.settle(load).unwrap();
        prop_assert!(settled.shares.report.residual <= 1e-9);
        prop_assert!(settled.shares.tensions().iter().all(|t| t.value >= 0.0));
        // Each tension is its leg's stiffness times its stretch there, so that no other set is meant.
        for ((leg, at), tension) in made.iter().zip(&legs).zip(settled.shares.tensions()) {
            let _ = leg;
            let before = (at.0 * at.0 + at.1 * at.1 + at.2 * at.2).sqrt();
            let slack = if at == &legs[usize::min(1, legs.len() - 1)] && legs.len() > 1 { slack } else { 0.0 };
            let run = [at.0 - settled.master.x.value, at.1 - settled.master.y.value, at.2 - settled.master.z.value];
            let now = run.iter().map(|x| x * x).sum::<f64>().sqrt();
            let stiffness = 10.0_f64.powf(ea) / (before + slack);
            // Rounding of the lengths, by the stiffness.
            let rounding = stiffness * 1e-14 * (before + now);
            let expected = (stiffness * (now - before - slack)).max(0.0);
            prop_assert!((tension.value - expected).abs() <= rounding + 1e-9 * load.magnitude().value);
        }
        let largest = settled.shares.tensions().iter().map(|t| t.value).fold(load.magnitude().value, f64::max);
        let rounding = 1e-13 * settled.shares.tensions().len() as f64;
        prop_assert!(
            unbalanced(&legs, settled.master, settled.shares.tensions(), load)
                <= 1e-9 * largest / load.magnitude().value + rounding
        );
    }

    #[test]
    fn an_anchor_settles_however_soft_or_stiff_its_legs(
        legs in prop::collection::vec((-3.0..3.0, -3.0..3.0, -3.0..3.0, -1.0..5.0), 1..=8),
        direction in (-1.0..1.0, -1.0..1.0, -1.0..1.0), size in 1.0..5.0
    ) {
        // Stiffness 100 N to 100 MN, loads 10 N to 100 kN, from any side. Beyond 10 MN by newton the rounding of
        // the lengths is felt.
        let made: Vec<_> = legs.iter().map(|(x, y, z, ea)| leg(*x, *y, *z + 0.01, 10.0_f64.powf(*ea))).collect();
        let newtons = 10.0_f64.powf(size);
        let (x, y, z) = direction;
        let load = load(x * newtons, y * newtons, z * newtons);
        prop_assume!(load.magnitude().value > 10.0);
        let settled = Anchor::new(Point3::default(), &made).unwrap().settle(load);
        prop_assert!(settled.is_ok(), "{settled:?}");
    }

    #[test]
    fn twice_the_load_is_twice_the_tension(
        legs in prop::collection::vec((-3.0..3.0_f64, -3.0..3.0_f64, 2.0..6.0_f64), 3..=6), newtons in 1.0..1e5_f64
    ) {
        let made: Vec<_> = legs.iter().map(|(x, y, z)| leg(*x, *y, *z, 50.0)).collect();
        let anchor = Anchor::new(Point3::default(), &made).unwrap();
        if let Ok(one) = anchor.share(load(0.0, 0.0, -newtons)) {
            let two = anchor.share(load(0.0, 0.0, -2.0 * newtons)).unwrap();
            for (a, b) in one.tensions().iter().zip(two.tensions()) {
                prop_assert!((2.0 * a.value - b.value).abs() <= 1e-9 * newtons);
            }
        }
    }

    #[test]
    fn the_forces_on_a_vehicle_about_to_slide_sum_to_zero(
        tons in 1.0..40.0_f64, friction in 0.05..1.0_f64, braked in 0.3..1.0_f64,
        grade in -20.0..20.0_f64, rise in -40.0..60.0_f64,
    ) {
        let mass = Mass::new::<kilogram>(tons * 1e3);
        let truck = Vehicle::new(mass, Ratio::new::<ratio>(friction))
            .and_then(|truck| truck.with_braked_share(Ratio::new::<ratio>(braked)))
            .and_then(|truck| truck.with_grade(Angle::new::<degree>(grade)))
            .and_then(|truck| truck.with_rope_rise(Angle::new::<degree>(rise)))
            .unwrap();
        let Ok(pull) = truck.holds() else { return Ok(()) };
        let (weight, pull) = (tons * 1e3 * 9.80665, pull.value);
        let (grade, rise) = (grade.to_radians(), rise.to_radians());
        // Out of the road, and along it in the direction of the pull: weight, rope, road.
        let pressing = weight * grade.cos() - pull * rise.sin();
        let dragging = friction * braked * pressing;
        prop_assert!((pull * rise.cos() + weight * grade.sin() - dragging).abs() <= 1e-12 * (weight + pull));
    }

    #[test]
    fn a_vehicle_holds_less_the_steeper_and_the_more_slippery_it_stands(
        grade in -0.3..0.3, rise in 0.0..0.7, more in 0.001..0.1
    ) {
        let held = |grade: f64, friction: f64| {
            Vehicle::new(Mass::new::<kilogram>(5000.0), Ratio::new::<ratio>(friction)).unwrap()
                .with_grade(Angle::new::<radian>(grade)).unwrap()
                .with_rope_rise(Angle::new::<radian>(rise)).unwrap()
                .holds().unwrap()
        };
        prop_assert!(held(grade + more, 0.7) < held(grade, 0.7));
        // Balance on the road: what the brakes hold is what the rope and the slope ask.
        let f = held(grade, 0.7).value;
        let weight = 5000.0 * 9.80665;
        let normal = weight * grade.cos() - f * rise.sin();
        prop_assert!((0.7 * normal - f * rise.cos() - weight * grade.sin()).abs() < 1e-9 * weight);
    }
}

#[test]
fn a_settled_anchor_nears_the_shares_of_a_rigid_one_as_the_load_gets_small() {
    let legs = [
        leg(2.0, 0.0, 4.0, 1e4),
        leg(-1.0, 1.7, 3.0, 1e4),
        leg(-1.0, -1.5, 5.0, 1e4),
        leg(0.3, 0.2, 4.0, 1e4),
    ];
    let anchor = Anchor::new(Point3::default(), &legs).unwrap();
    let differ = |newtons: f64| {
        let load = load(0.0, 0.0, -newtons);
        let (shares, settled) = (anchor.share(load).unwrap(), anchor.settle(load).unwrap());
        shares
            .shares()
            .zip(settled.shares.shares())
            .map(|(a, b)| (a.value - b.value).abs())
            .fold(0.0_f64, f64::max)
    };
    // What displacement changes is of first order in the load: a hundredth for a hundredth, but for the next order.
    let (one, less) = (differ(1e4), differ(1e2));
    assert!((one / less - 100.0).abs() < 5.0, "{one} {less}");
    assert!(one < 0.01);
}

#[test]
fn a_leg_that_would_push_drops_out() {
    // Two legs up and one down: the load goes down, the leg below goes slack.
    let anchor = Anchor::new(
        Point3::default(),
        &[leg(1.0, 0.0, 2.0, 50.0), leg(-1.0, 0.0, 2.0, 50.0), leg(0.0, 0.0, -2.0, 50.0)],
    )
    .unwrap();
    let shares = anchor.share(load(0.0, 0.0, -1000.0)).unwrap();
    assert_eq!(shares.tensions()[2].value, 0.0);
    assert!((shares.tensions()[0].value - 500.0 * 5.0_f64.sqrt() / 2.0).abs() < 1e-9);
}

#[test]
fn a_load_out_of_the_plane_of_the_legs_swings_the_master_point() {
    let anchor =
        Anchor::new(Point3::default(), &[leg(1.0, 0.0, 2.0, 50.0), leg(-1.0, 0.0, 2.0, 50.0)]).unwrap();
    let aside = load(0.0, 100.0, -1000.0);
    let Err(AnchorError::Swings { missing_n }) = anchor.share(aside) else { panic!("held") };
    assert!((missing_n - 100.0).abs() < 1e-9);
    // It swings into the plane of the load, by symmetry: y/z of the way down from the line of the anchors.
    let settled = anchor.settle(aside).unwrap();
    let (y, z) = (settled.master.y.value, 2.0 - settled.master.z.value);
    assert!((y / z - 0.1).abs() < 1e-9 && settled.master.x.value.abs() < 1e-9);
}

#[test]
fn a_v_anchor_that_loses_a_leg_drops_onto_the_other() {
    // Legs of √5 m at 2 m below and 1 m beside each anchor: afterwards the load hangs plumb below the other one.
    let anchor =
        Anchor::new(Point3::default(), &[leg(1.0, 0.0, 2.0, 100.0), leg(-1.0, 0.0, 2.0, 100.0)]).unwrap();
    let loss = anchor.after_losing(0, load(0.0, 0.0, -2000.0)).unwrap();
    assert_eq!(loss.after.shares.tensions()[0].value, 0.0);
    assert!((loss.after.shares.tensions()[1].value - 2000.0).abs() < 1e-6);
    let hangs = 5.0_f64.sqrt() * (1.0 + 2000.0 / 100e3);
    assert!((loss.after.master.x.value + 1.0).abs() < 1e-6);
    assert!((2.0 - loss.after.master.z.value - hangs).abs() < 1e-9);
    assert!((loss.drop.value - (loss.before.master.z.value - loss.after.master.z.value)).abs() < 1e-12);
    let before: Vec<f64> = loss.before.shares.shares().map(|s| s.value).collect();
    assert!((before[0] - before[1]).abs() < 1e-9 && before[0] > 0.5 && before[0] < 0.57);
}

#[test]
fn a_slack_leg_takes_nothing_until_the_others_have_stretched() {
    // The taut leg stretches 2 m · 500/50 000 = 20 mm before the other comes in.
    let mm = |x: f64| Length::new::<meter>(x / 1000.0);
    let anchor = |slack| {
        let other = leg(0.0, 0.0, 2.0, 50.0).with_slack(mm(slack)).unwrap();
        Anchor::new(Point3::default(), &[leg(0.0, 0.0, 2.0, 50.0), other]).unwrap()
    };
    let tensions = |slack| anchor(slack).settle(load(0.0, 0.0, -500.0)).unwrap().shares.tensions().to_vec();
    assert_eq!(tensions(20.1)[1].value, 0.0);
    assert!(tensions(10.0)[1].value > 100.0);
    assert!((tensions(0.0)[1].value - 250.0).abs() < 1e-6);
    assert!(matches!(anchor(10.0).share(load(0.0, 0.0, -1.0)), Err(AnchorError::Slack { index: 1 })));
}

#[test]
fn a_parking_brake_on_one_axle_holds_its_share() {
    let truck = Vehicle::new(Mass::new::<kilogram>(10_000.0), Surface::AsphaltDry.friction()).unwrap();
    let whole = truck.holds().unwrap().value;
    let half = truck.with_braked_share(Ratio::new::<ratio>(0.5)).unwrap().holds().unwrap().value;
    assert!((half - whole / 2.0).abs() < 1e-9);
}

#[test]
fn a_vehicle_that_slides_by_itself_is_no_anchor() {
    let grade = Angle::new::<degree>(5.0);
    let on_ice = Vehicle::new(Mass::new::<kilogram>(8000.0), Surface::Ice.friction())
        .unwrap()
        .with_grade(grade)
        .unwrap();
    assert!(matches!(on_ice.holds(), Err(AnchorError::Slides { .. })));
    assert!(on_ice.holds().unwrap_err().to_string().contains("slides by itself"));
    // Nor is one that runs away from the rope: its rope would have to hold it.
    for (degrees, friction, braked) in
        [(-5.0, 0.05, 1.0), (-30.0, 0.05, 1.0), (-10.0, 0.0, 1.0), (-20.0, 0.7, 0.5)]
    {
        let runaway = Vehicle::new(Mass::new::<kilogram>(12_000.0), Ratio::new::<ratio>(friction))
            .and_then(|truck| truck.with_grade(Angle::new::<degree>(degrees)))
            .and_then(|truck| truck.with_braked_share(Ratio::new::<ratio>(braked)))
            .unwrap();
        assert!(
            matches!(runaway.holds(), Err(AnchorError::Slides { .. })),
            "{degrees}°: {:?}",
            runaway.holds()
        );
    }
    // The steepest grade that it stands on by itself is the same to either side: atan μ.
    for side in [-1.0, 1.0] {
        let at = |share: f64| {
            Vehicle::new(Mass::new::<kilogram>(12_000.0), Surface::Ice.friction())
                .and_then(|truck| truck.with_grade(Angle::new::<radian>(side * share * 0.05_f64.atan())))
                .unwrap()
                .holds()
        };
        assert!(at(0.999).is_ok());
        assert!(matches!(at(1.001), Err(AnchorError::Slides { .. })));
    }
    let steep = Vehicle::new(Mass::new::<kilogram>(8000.0), Surface::AsphaltDry.friction()).unwrap();
    let down = steep.with_rope_rise(Angle::new::<degree>(-80.0)).unwrap();
    assert!(matches!(down.holds(), Err(AnchorError::NoSliding { .. })));
}

#[test]
fn between_rows_and_columns_the_weaker_value_counts() {
    let ft = Length::new::<foot>;
    let at = |depth: f64, slope: f64| {
        let beam = Beam::Log { diameter: ft(1.0) };
        let deadman = Deadman::new(ft(depth), Ratio::new::<ratio>(slope), beam, DeadmanSoil::Loam)?;
        deadman.hold(ft(2.0)).map(|f| f.get::<pound_force>().round())
    };
    assert_eq!(at(4.99, 0.25).unwrap(), 2700.0);
    assert_eq!(at(5.0, 0.26).unwrap(), 4000.0);
    assert_eq!(at(5.0, 0.51).unwrap(), 2800.0);
    assert_eq!(at(7.0, 1.0).unwrap(), 5100.0);
    // Outside the table there is no value.
    for (depth, slope) in [(2.9, 0.5), (7.1, 0.5), (5.0, 1.1), (5.0, 0.2), (f64::NAN, 0.5)] {
        assert!(matches!(at(depth, slope), Err(AnchorError::Input(_))), "{depth} {slope}");
    }
}

#[test]
fn a_beam_too_long_for_its_section_is_refused() {
    let ft = Length::new::<foot>;
    let log =
        Deadman::new(ft(3.0), Ratio::new::<ratio>(1.0), Beam::Log { diameter: ft(1.0) }, DeadmanSoil::Loam)
            .unwrap();
    assert!(log.hold(ft(5.0)).is_ok());
    assert!(matches!(log.hold(ft(5.1)), Err(AnchorError::Slender { .. })));
    assert!(matches!(
        log.length_for(Force::new::<pound_force>(950.0 * 4.1)),
        Err(AnchorError::Slender { .. })
    ));
    assert!(log.hold(ft(1.0)).is_err());
    let timber = Beam::Timber { face: ft(1.0), thickness: ft(0.5) };
    let timber = Deadman::new(ft(3.0), Ratio::new::<ratio>(1.0), timber, DeadmanSoil::Loam).unwrap();
    assert!(timber.hold(ft(4.5)).is_ok() && timber.hold(ft(4.6)).is_err());
}

#[test]
fn pickets_outside_the_table_are_refused_by_name() {
    let (inches, ft) = (Length::new::<inch>, Length::new::<foot>);
    for (thickness, length, driven, field) in [
        (2.9, 5.0, 3.0, "thickness"),
        (3.0, 4.9, 3.0, "length"),
        (3.0, 5.0, 2.9, "driven"),
        (3.0, 6.0, 4.1, "driven"),
    ] {
        let error = Picket::new(inches(thickness), ft(length), ft(driven)).unwrap_err();
        assert_eq!(error.field, field);
    }
    let picket = Picket::new(inches(3.0), ft(5.0), ft(4.0)).unwrap();
    assert!(
        picket.hold(Pickets::One, PicketSoil::WetRiverClayAndSand)
            < picket.hold(Pickets::One, PicketSoil::WetClayAndGravel)
    );
}

#[test]
fn what_is_no_anchor_is_refused_by_name() {
    let one = leg(0.0, 0.0, 1.0, 50.0);
    let text = |r: Result<Anchor, AnchorError>| r.unwrap_err().to_string();
    assert!(text(Anchor::new(Point3::default(), &[])).starts_with("0 legs"));
    assert!(text(Anchor::new(Point3::default(), &[one; 9])).starts_with("9 legs"));
    assert!(text(Anchor::new(point(0.0, 0.0, 1.0), &[one])).starts_with("legs[0] is shorter"));
    assert!(text(Anchor::new(point(0.0, f64::NAN, 1.0), &[one])).starts_with("master is NaN"));
    let anchor = Anchor::new(Point3::default(), &[one]).unwrap();
    assert!(anchor.share(Force3::default()).is_err());
    assert!(anchor.settle(load(f64::INFINITY, 0.0, 0.0)).is_err());
    assert!(matches!(anchor.after_losing(1, load(0.0, 0.0, -1.0)), Err(AnchorError::NoLeg { .. })));
    assert!(matches!(anchor.after_losing(0, load(0.0, 0.0, -1.0)), Err(AnchorError::Count { .. })));
    assert!(AnchorLeg::new(Point3::default(), n(0.0)).is_err());
    assert!(v_anchor(n(1.0), Angle::new::<degree>(180.0)).unwrap_err().to_string().starts_with("angle"));
    for wrong in [f64::NAN, f64::INFINITY, -1.0] {
        assert!(v_anchor(n(wrong), Angle::new::<degree>(90.0)).is_err());
        assert!(v_anchor(n(1.0), Angle::new::<degree>(wrong)).is_err());
    }
    assert!(v_anchor(n(-1.0), Angle::new::<degree>(10.0)).is_err());
}
