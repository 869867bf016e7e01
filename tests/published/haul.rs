//! The haul line against published redirect efficiencies.

use rope_mechanics::haul::{HaulRedirect, LoadPull, Route};
use rope_mechanics::quantity::{
    Angle, Force, Length, Ratio,
    unit::{degree, meter, newton, ratio},
};
use rope_mechanics::sheave::{Measured, Turn};
use rope_mechanics::tackle::{Layout, Usual, UsualRatio};

/// Delaney 2022, p. 90 (read in notes on it): over one bare connector, half a turn, 0.59 of the tension arrives, so
/// that 1 kN needs 1.69 kN; printed to two decimals.
#[test]
fn delaney_2022_p_90_one_kilonewton_over_a_bare_connector_needs_1_69() {
    let m = Length::new::<meter>;
    let connector = Turn::sheave(Ratio::new::<ratio>(0.59)).unwrap();
    let layout = Layout::new(m(20.0), m(5.0)).unwrap();
    let pull = LoadPull::steady(Force::new::<newton>(1000.0)).unwrap();
    let needed = |route: Route, usual: Usual| route.haul(usual).unwrap().forces(pull).unwrap().hauling.value;
    // As a redirect on the way, and as the 1:1 redirect through the tackle's solver.
    let half_turn = HaulRedirect::new(connector, Angle::new::<degree>(180.0)).unwrap();
    let on_the_way = Route::new(layout, connector).with_before(&[half_turn]).unwrap();
    let at_the_anchor = Usual::new(UsualRatio::OneToOne).with_lead();
    for force in [
        needed(on_the_way, Usual::new(UsualRatio::OneToOne)),
        needed(Route::new(layout, connector), at_the_anchor),
    ] {
        assert!((force - 1690.0).abs() < 5.0, "{force}");
    }
}

/// The force at the winch for a pull of 1 kN over a redirect of half a turn.
fn over(redirect: Turn) -> f64 {
    let m = Length::new::<meter>;
    let half_turn = HaulRedirect::new(redirect, Angle::new::<degree>(180.0)).unwrap();
    let route =
        Route::new(Layout::new(m(20.0), m(5.0)).unwrap(), redirect).with_before(&[half_turn]).unwrap();
    let haul = route.haul(Usual::new(UsualRatio::OneToOne)).unwrap();
    haul.forces(LoadPull::steady(Force::new::<newton>(1000.0)).unwrap()).unwrap().hauling.value
}

/// Delaney 2022, p. 90 (read in notes on it), what redirects of half a turn were measured to pass on: rescue-size
/// pulleys on ball bearings 0.86 to 0.93, bushed 0.80, small ones with a progress capture 0.74 to 0.88, one bare
/// connector 0.59, two side by side 0.54, a loaded descender 0.38 to 0.45. The text works one of them out, 1 kN over a
/// connector needs 1.69 kN; by the same rule, 1 kN by the efficiency, the others need what stands here.
#[test]
fn delaney_2022_p_90_what_one_kilonewton_needs_over_each_redirect() {
    for (what, [worst, best], kilonewtons) in [
        (Measured::RescuePulley, [0.86, 0.93], [1.16, 1.08]),
        (Measured::BushedPulley, [0.80, 0.80], [1.25, 1.25]),
        (Measured::CapturePulley, [0.74, 0.88], [1.35, 1.14]),
        (Measured::Connector, [0.59, 0.59], [1.69, 1.69]),
        (Measured::TwoConnectors, [0.54, 0.54], [1.85, 1.85]),
        (Measured::Descender, [0.38, 0.45], [2.63, 2.22]),
    ] {
        assert_eq!(what.efficiency().map(|share| share.value), [worst, best]);
        for (turn, printed) in what.turns().into_iter().zip(kilonewtons) {
            assert!((over(turn) / 1000.0 - printed).abs() <= 0.005, "{what:?}: {}", over(turn));
        }
    }
}

/// The same text sums a 3:1 up as 1 + P₂ + P₁P₂, with P₁ at the load's side. A progress capture is as a rule the first
/// pulley there: what the general solver makes of the measured pulleys, and which of two should be nearest the hand.
#[test]
fn delaney_2022_p_90_a_3_to_1_of_a_capture_and_a_rescue_pulley() {
    let m = Length::new::<meter>;
    let layout = Layout::new(m(40.0), m(10.0)).unwrap();
    let of = |first: Turn, second: Turn| {
        let tackle = Usual::new(UsualRatio::ThreeToOne).build(&layout, &[first, second]).unwrap();
        tackle.advantage().unwrap().hauling.value
    };
    let [capture, good_capture] = Measured::CapturePulley.turns();
    let [pulley, good_pulley] = Measured::RescuePulley.turns();
    // 1 + 0.86 + 0.74·0.86 and 1 + 0.93 + 0.88·0.93
    assert!((of(capture, pulley) - 2.4964).abs() < 1e-12);
    assert!((of(good_capture, good_pulley) - 2.7484).abs() < 1e-12);
    // "The efficient pulley nearest the hand": the other way round it is less.
    assert!((of(pulley, capture) - 2.3764).abs() < 1e-12);
    assert!(of(good_pulley, good_capture) < of(good_capture, good_pulley));
}

/// Another set of measurements (hwstock.org, read): 3.2 mm HMPE over a small bearing pulley 0.89; rope with an 8 mm
/// polyester sheath over an aluminium connector about 0.5 to 0.6. They lie where the ones above do. Its other two, HMPE
/// over one steel connector 0.60 and over two 0.48, have nothing to be worked out from them: no second figure is printed,
/// and nobody else measured that rope on steel.
#[test]
fn hwstock_measurements_lie_where_delaneys_do() {
    let range = |what: Measured| what.efficiency().map(|share| share.value);
    let [worst, best] = range(Measured::RescuePulley);
    assert!((worst..=best).contains(&0.89));
    for connector in [Measured::Connector, Measured::TwoConnectors] {
        assert!(range(connector).into_iter().all(|passed| (0.5..=0.6).contains(&passed)));
    }
}

/// Delaney 2022: a rope over aluminium, μ 0.18 as the mean of its tests, 0.14 to 0.21. Taken as a bar a connector then passes
/// e^(−0.18π) = 0.57 over half a turn, which lies in the range that the other measurements above have for aluminium.
#[test]
fn delaney_2022_friction_on_aluminium_is_what_a_connector_loses() {
    let mu = Ratio::new::<ratio>(0.18);
    let passed = 1000.0 / over(Turn::bar(mu, mu).unwrap());
    assert!((0.5..=0.6).contains(&passed), "{passed}");
}
