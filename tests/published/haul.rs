//! The haul line against published redirect efficiencies.

use rope_mechanics::haul::{Pull, Redirect, Route};
use rope_mechanics::quantity::{
    Angle, Force, Length, Ratio,
    unit::{degree, meter, newton, ratio},
};
use rope_mechanics::sheave::Turn;
use rope_mechanics::tackle::{Layout, Usual, UsualRatio};

/// Delaney 2022, p. 90 (read in notes on it): over one bare connector, half a turn, 0.59 of the tension arrives, so
/// that 1 kN needs 1.69 kN; printed to two decimals.
#[test]
fn delaney_2022_p_90_one_kilonewton_over_a_bare_connector_needs_1_69() {
    let m = Length::new::<meter>;
    let connector = Turn::sheave(Ratio::new::<ratio>(0.59)).unwrap();
    let layout = Layout::new(m(20.0), m(5.0)).unwrap();
    let pull = Pull::steady(Force::new::<newton>(1000.0)).unwrap();
    let needed = |route: Route, usual: Usual| route.haul(usual).unwrap().forces(pull).unwrap().hauling.value;
    // As a redirect on the way, and as the 1:1 redirect through the tackle's solver.
    let half_turn = Redirect::new(connector, Angle::new::<degree>(180.0)).unwrap();
    let on_the_way = Route::new(layout, connector).with_before(&[half_turn]).unwrap();
    let at_the_anchor = Usual::new(UsualRatio::OneToOne).with_lead();
    for force in [
        needed(on_the_way, Usual::new(UsualRatio::OneToOne)),
        needed(Route::new(layout, connector), at_the_anchor),
    ] {
        assert!((force - 1690.0).abs() < 5.0, "{force}");
    }
}
