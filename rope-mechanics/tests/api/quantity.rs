//! What is said of a value that lies in a band.

use rope_mechanics::capstan::Capstan;
use rope_mechanics::haul::{HaulRedirect, LoadPull, Route};
use rope_mechanics::motion::Motion;
use rope_mechanics::quantity::unit::{degree, meter, newton, ratio, revolution};
use rope_mechanics::quantity::{Angle, Band, Force, Length, Ratio};
use rope_mechanics::reeving::{Bend, Known, Reeving, Side};
use rope_mechanics::sheave::Turn;
use rope_mechanics::slope::SlopeLoad;
use rope_mechanics::tackle::{Layout, Usual, UsualRatio};

fn n(x: f64) -> Force {
    Force::new::<newton>(x)
}

fn r(x: f64) -> Ratio {
    Ratio::new::<ratio>(x)
}

fn deg(x: f64) -> Angle {
    Angle::new::<degree>(x)
}

#[test]
fn a_motion_leaves_one_end_of_a_band_and_rest_leaves_all_of_it() {
    let band = Turn::bar(r(0.3), r(0.1)).unwrap().band(deg(180.0)).unwrap();
    assert_eq!(band.expected, r(1.0));
    assert_eq!(Motion::Hauling.of(band), Band::exact(band.high));
    assert_eq!(Motion::Lowering.of(band), Band::exact(band.low));
    assert_eq!(Motion::AtRest.of(band), band);
}

#[test]
fn at_rest_a_band_expects_what_there_is_without_friction() {
    // 1000 N on 30° by a rope at 20° to the slope: G/cos δ
    let slope = |friction| {
        let load = SlopeLoad::new(n(1000.0), deg(30.0), r(friction)).unwrap();
        load.with_rope_angle(deg(20.0)).unwrap().pull().unwrap().at_rest
    };
    for friction in [0.0, 0.3, 0.9] {
        let free = 500.0 / 20_f64.to_radians().cos();
        assert!((slope(friction).expected.value / free - 1.0).abs() < 1e-15, "{friction}");
    }
    // The mean pull of 1500 N by a third
    let m = Length::new::<meter>;
    let pulley = Turn::sheave(r(0.8)).unwrap();
    let layout = Layout::new(m(60.0), m(8.0)).unwrap().with_hand(m(3.0)).unwrap();
    let route =
        Route::new(layout, pulley).with_before(&[HaulRedirect::new(pulley, deg(90.0)).unwrap()]).unwrap();
    let haul = route.haul(Usual::new(UsualRatio::ThreeToOne)).unwrap();
    let at_rest = haul.forces(LoadPull::new(n(2000.0), n(1000.0)).unwrap()).unwrap().at_rest;
    assert!((at_rest.expected.value / 500.0 - 1.0).abs() < 1e-15);
    assert!(at_rest.low < at_rest.expected && at_rest.expected < at_rest.high);
}

#[test]
fn a_reeved_rope_at_rest_expects_its_own_weight_and_nothing_else_to_change_its_tension() {
    let bend = || Bend::of(deg(150.0), Turn::sheave(r(0.8)).unwrap()).unwrap();
    let rope = Reeving::new(&[bend(), bend()]).unwrap();
    let known = Known::at(0, Side::Pulling, n(1000.0)).unwrap();
    let rest = rope.tensions(known, Motion::AtRest).unwrap();
    for part in rest.parts() {
        assert!((part.standing_side.expected.value - 1000.0).abs() < 1e-12);
    }
    assert!(rest.parts()[2].pulling_side.low < n(700.0) && rest.parts()[2].pulling_side.high > n(1400.0));
    let hauling = rope.tensions(known, Motion::Hauling).unwrap().parts()[2].pulling_side;
    assert_eq!(hauling, Band::exact(hauling.high));
}

#[test]
fn a_capstan_expects_the_mean_of_its_coefficients() {
    let wrap = Angle::new::<revolution>(2.0);
    let capstan = Capstan::new(r(0.1), r(0.2)).unwrap();
    let mean = Capstan::new(r(0.15), r(0.15)).unwrap();
    let (band, middle) = (capstan.tail(n(1e3), wrap).unwrap(), mean.tail(n(1e3), wrap).unwrap());
    assert!(((band.expected / middle.high).value - 1.0).abs() < 1e-14);
    assert!(band.low < band.expected && band.expected < band.high);
    let (band, middle) = (capstan.load(n(10.0), wrap).unwrap(), mean.load(n(10.0), wrap).unwrap());
    assert!(((band.expected / middle.high).value - 1.0).abs() < 1e-14);
}
