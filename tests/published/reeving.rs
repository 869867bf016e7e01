//! Turns, redirects and legs.

use rope_mechanics::anchor::v_anchor;
use rope_mechanics::motion::Motion;
use rope_mechanics::quantity::unit::{degree, newton, pound_force, ratio};
use rope_mechanics::quantity::{Angle, Force, Ratio};
use rope_mechanics::reeving::{Bend, Known, Reeving, Side, redirect_load};
use rope_mechanics::sheave::Turn;

fn n(x: f64) -> Force {
    Force::new::<newton>(x)
}

fn deg(x: f64) -> Angle {
    Angle::new::<degree>(x)
}

fn sheave(efficiency: f64) -> Turn {
    Turn::sheave(Ratio::new::<ratio>(efficiency)).unwrap()
}

/// Block factors by the angle between the lines, as printed alike in two industrial block catalogues.
#[test]
fn two_block_catalogues_block_factors() {
    // Printed to two decimals: half a unit of the last, except where the catalogues cut the digits off.
    let rounded = [
        (0.0, 2.00),
        (10.0, 1.99),
        (20.0, 1.97),
        (30.0, 1.93),
        (50.0, 1.81),
        (60.0, 1.73),
        (70.0, 1.64),
        (80.0, 1.53),
        (90.0, 1.41),
        (100.0, 1.29),
        (110.0, 1.15),
        (120.0, 1.00),
        (140.0, 0.68),
        (150.0, 0.52),
        (160.0, 0.35),
        (170.0, 0.17),
        (180.0, 0.0),
    ];
    // Cut, not rounded: 1.8794, 1.8478, 0.8452, 0.7654.
    let cut = [(40.0, 1.87), (45.0, 1.84), (130.0, 0.84), (135.0, 0.76)];
    let factor = |angle: f64| redirect_load(n(1.0), deg(angle)).unwrap().value;
    for (angle, printed) in rounded {
        assert!((factor(angle) - printed).abs() <= 0.005, "{angle}° {}", factor(angle));
    }
    for (angle, printed) in cut {
        let above = factor(angle) - printed;
        assert!((0.0..0.01).contains(&above), "{angle}° {}", factor(angle));
    }
    // Worked there with the printed factors, so rounded and cut alike: 1000 lbf at 50° → 1810 lbf, at 135° → 760 lbf.
    let worked = |angle: f64| {
        redirect_load(Force::new::<pound_force>(1000.0), deg(angle)).unwrap().get::<pound_force>()
    };
    assert!((worked(50.0) - 1810.0).abs() <= 5.0);
    assert!((0.0..10.0).contains(&(worked(135.0) - 760.0)));
}

/// Geometry: at 120° between the lines the load on a turn is the tension of the rope.
#[test]
fn geometry_at_120_degrees_load_and_tension_are_one() {
    for tension in [1.0, 930.0 * 4.448, 2451.6625] {
        assert!(
            (redirect_load(n(tension), deg(120.0)).unwrap().value / tension - 1.0).abs() < 4.0 * f64::EPSILON
        );
        assert!((v_anchor(n(tension), deg(120.0)).unwrap().value / tension - 1.0).abs() < 4.0 * f64::EPSILON);
    }
}

/// Sling leg factors by the angle of the legs from the horizontal, as printed alike by two sling makers and a
/// university safety office; the last also gives 1000 lbf on each leg's share at 60° and 30°.
#[test]
fn two_sling_makers_and_a_safety_office_sling_leg_factors() {
    let printed = [
        (90.0, 1.0),
        (85.0, 1.004),
        (80.0, 1.015),
        (75.0, 1.035),
        (70.0, 1.064),
        (65.0, 1.104),
        (60.0, 1.155),
        (55.0, 1.221),
        (50.0, 1.305),
        (45.0, 1.414),
        (40.0, 1.555),
        (35.0, 1.742),
        (30.0, 2.0),
    ];
    for (horizontal, printed) in printed {
        let factor = v_anchor(n(2.0), deg(180.0 - 2.0 * horizontal)).unwrap().value;
        // Half a unit of the last digit; one unit where the tables cut (40°, 1.5557) or went up (65°, 1.1034), and
        // 35° is printed 1.4 units low (1.7434).
        let tolerance = match horizontal {
            40.0 | 65.0 => 1e-3,
            35.0 => 1.5e-3,
            _ => 5e-4,
        };
        assert!((factor - printed).abs() <= tolerance, "{horizontal}° {factor}");
    }
    let leg = |horizontal: f64| {
        v_anchor(Force::new::<pound_force>(2000.0), deg(180.0 - 2.0 * horizontal))
            .unwrap()
            .get::<pound_force>()
    };
    // 1154 is printed, cut from 1154.70.
    assert!((leg(60.0) - 1154.0).abs() < 1.0 && (leg(30.0) - 2000.0).abs() < 0.5);
}

/// Pöysti 2020: one pulley and rope, 0.842 over one turn of 180° and 0.747 over two of 90°.
#[test]
fn poysti_2020_one_half_turn_loses_less_than_two_quarters() {
    let pulley = sheave(0.842);
    let passed = |angles: &[f64]| {
        let bends: Vec<_> = angles.iter().map(|a| Bend::of(deg(*a), pulley).unwrap()).collect();
        let rope = Reeving::new(&bends).unwrap();
        let known = Known::at(0, Side::Pulling, n(1.0)).unwrap();
        rope.tensions(known, Motion::Hauling).unwrap().parts()[angles.len()].standing_side.high.value
    };
    assert!((passed(&[180.0]) - 0.842).abs() < 1e-15);
    assert!((passed(&[90.0, 90.0]) - 0.747).abs() <= 0.0005);
    // As the article has it for one of the two.
    assert!((passed(&[90.0]) - 0.864).abs() <= 0.0005);
}

/// Delaney 2022 p. 90: over one bare connector, a turn of 180°, 0.59 of the tension arrives, so that 1 kN needs
/// 1.69 kN.
#[test]
fn delaney_2022_p_90_a_redirect_over_a_bare_connector() {
    let rope = Reeving::new(&[Bend::of(deg(180.0), sheave(0.59)).unwrap()]).unwrap();
    let known = Known::at(1, Side::Standing, n(1000.0)).unwrap();
    let connector = rope.tensions(known, Motion::Hauling).unwrap();
    // The efficiency is printed to two digits: 1/0.585 to 1/0.595.
    assert!((connector.parts()[0].pulling_side.high.value - 1690.0).abs() <= 1690.0 * 0.005 / 0.59);
    // The redirect takes the sum of both.
    assert!((connector.turns()[0].load.value - 2690.0).abs() <= 1690.0 * 0.005 / 0.59);
}
