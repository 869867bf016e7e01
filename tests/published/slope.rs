//! Loads on a slope.

use rope_mechanics::quantity::unit::{degree, kilogram, ratio};
use rope_mechanics::quantity::{Angle, Mass, Ratio, weight_of};
use rope_mechanics::slope::{Lowering, SlopeClass, SlopeClasses, SlopeLoad};

/// 250 kg on 35° with μ 0.3 → 2009 N up, 804 N down: worked out beforehand by hand from
/// P = W(sin θ ± μ cos θ), not published; printed to 1 N.
#[test]
fn worked_out_by_hand_litter_on_a_bank() {
    let weight = weight_of(Mass::new::<kilogram>(250.0));
    let pull =
        SlopeLoad::new(weight, Angle::new::<degree>(35.0), Ratio::new::<ratio>(0.3)).unwrap().pull().unwrap();
    assert!((pull.up.value - 2009.0).abs() <= 0.5);
    assert!(matches!(pull.down, Lowering::Held(force) if (force.value - 804.0).abs() <= 0.5));
}

/// Five sources on classes of slope disagree: low from 15°, steep from 30 or 35°, high from 50 or 60°.
#[test]
fn five_sources_on_classes_of_slope() {
    let both = |slope: f64| {
        let slope = Angle::new::<degree>(slope);
        (SlopeClasses::EARLY.class(slope).unwrap(), SlopeClasses::LATE.class(slope).unwrap())
    };
    assert_eq!(both(14.9), (SlopeClass::Flat, SlopeClass::Flat));
    assert_eq!(both(15.0), (SlopeClass::Low, SlopeClass::Low));
    assert_eq!(both(30.0), (SlopeClass::Steep, SlopeClass::Low));
    assert_eq!(both(35.0), (SlopeClass::Steep, SlopeClass::Steep));
    assert_eq!(both(50.0), (SlopeClass::High, SlopeClass::Steep));
    assert_eq!(both(60.0), (SlopeClass::High, SlopeClass::High));
}
