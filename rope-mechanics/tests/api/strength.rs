//! What a rope still holds, and the weakest link.

use proptest::prelude::*;
use rope_mechanics::quantity::Mark;
use rope_mechanics::quantity::unit::{millimeter, newton, ratio};
use rope_mechanics::quantity::{Force, Length, Ratio};
use rope_mechanics::strength::{
    Component, ComponentKind, Reduction, Weakening, reduced_strength, weakest_link,
};

fn n(x: f64) -> Force {
    Force::new::<newton>(x)
}

fn r(x: f64) -> Ratio {
    Ratio::new::<ratio>(x)
}

fn mm(x: f64) -> Length {
    Length::new::<millimeter>(x)
}

fn component(strength: f64, load: f64) -> Component {
    Component::new(ComponentKind::Other, n(strength), n(load)).unwrap()
}

#[test]
fn a_second_knot_costs_nothing_more_but_water_does() {
    let left = |reductions: &[Reduction]| reduced_strength(n(30e3), reductions).unwrap();
    assert_eq!(left(&[]).strength, n(30e3));
    assert_eq!(left(&[]).weakest_place, None);
    let one = left(&[Reduction::KNOT]);
    assert_eq!(one.strength, n(30e3 * 0.70));
    assert_eq!(left(&[Reduction::KNOT; 5]), one);
    let bad = Reduction::new(Weakening::Knot, r(0.55), Mark::Given).unwrap();
    assert_eq!(left(&[Reduction::KNOT, bad]).weakest_place, Some(1));
    let worn = Reduction::new(Weakening::Worn, r(0.9), Mark::Given).unwrap();
    let wet = left(&[worn, Reduction::WET_NYLON]);
    assert!((wet.strength.value - 30e3 * 0.9 * 0.8).abs() < 1e-9);
    assert_eq!(wet.weakest_place, None);
}

#[test]
fn every_factor_says_where_it_comes_from() {
    assert_eq!(Reduction::KNOT.mark(), Mark::Memory);
    assert_eq!(Reduction::bend(mm(20.0), mm(10.0)).unwrap().mark(), Mark::Memory);
    assert!(matches!(Reduction::WET_NYLON.mark(), Mark::Read(source) if source.contains("1990")));
}

#[test]
fn nothing_hangs_on_an_unloaded_chain() {
    assert_eq!(weakest_link(&[]), None);
    assert_eq!(weakest_link(&[component(1e3, 0.0)]), None);
    assert_eq!(component(1e3, 0.0).safety_factor(), None);
    assert!(component(1e3, 0.0).meets(r(1e6)));
}

#[test]
fn a_component_tells_what_it_was_made_of() {
    let guy = Component::new(ComponentKind::Guy, n(30e3), n(2.5e3)).unwrap();
    assert_eq!((guy.kind(), guy.strength(), guy.load()), (ComponentKind::Guy, n(30e3), n(2.5e3)));
    assert_eq!(guy.safety_factor(), Some(r(12.0)));
}

#[test]
fn the_weakest_link_is_the_least_factor_not_the_least_strength() {
    let chain = [component(10e3, 100.0), component(40e3, 5e3), component(40e3, 5e3), component(30e3, 0.0)];
    let weakest = weakest_link(&chain).unwrap();
    assert_eq!((weakest.index, weakest.safety_factor), (1, r(8.0)));
    assert!(chain[1].meets(r(8.0)) && !chain[1].meets(r(8.1)));
}

#[test]
fn bad_input_names_itself() {
    for x in [f64::NAN, f64::INFINITY, -1.0, 1e300] {
        assert_eq!(reduced_strength(n(x), &[]).unwrap_err().field, "breaking_strength");
        assert_eq!(Reduction::new(Weakening::Knot, r(x), Mark::Given).unwrap_err().field, "factor");
        assert_eq!(Reduction::bend(mm(x), mm(10.0)).unwrap_err().field, "bend_diameter");
        assert_eq!(Reduction::bend(mm(10.0), mm(x)).unwrap_err().field, "rope_diameter");
        assert_eq!(Component::new(ComponentKind::Rope, n(x), n(1.0)).unwrap_err().field, "strength");
        assert_eq!(Component::new(ComponentKind::Rope, n(1.0), n(x)).unwrap_err().field, "load");
    }
    assert!(reduced_strength(n(0.0), &[]).is_err());
    assert!(Reduction::new(Weakening::Wet, r(0.0), Mark::Given).is_err());
    assert!(Reduction::new(Weakening::Wet, r(1.01), Mark::Given).is_err());
    let thin = Reduction::bend(mm(9.0), mm(11.0)).unwrap_err();
    assert!(thin.to_string().starts_with("bend_diameter is 0.00"), "{thin}");
    assert!(thin.to_string().contains("must be at least 0.011"), "{thin}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn a_thicker_bend_never_weakens_more(a in 1.0..60.0_f64, b in 1.0..60.0_f64) {
        let factor = |d: f64| Reduction::bend(mm(10.0 * d), mm(10.0)).unwrap().factor();
        prop_assert!(factor(a.min(b)) <= factor(a.max(b)));
        prop_assert!((0.5..=0.95).contains(&factor(a).value));
    }

    #[test]
    fn a_reduction_never_adds_strength(factors in prop::collection::vec((0.1..1.0_f64, 0..4_usize), 0..8)) {
        let kinds = [Weakening::Knot, Weakening::Bend, Weakening::Wet, Weakening::Worn];
        let all: Vec<_> =
            factors.iter().map(|(f, k)| Reduction::new(kinds[*k], r(*f), Mark::Given).unwrap()).collect();
        let mut last = n(10e3);
        for count in 0..=all.len() {
            let now = reduced_strength(n(10e3), &all[..count]).unwrap().strength;
            prop_assert!(now <= last);
            last = now;
        }
    }

    #[test]
    fn no_link_is_weaker_than_the_weakest(chain in prop::collection::vec((1.0..1e5_f64, 0.0..1e5_f64), 1..20)) {
        let chain: Vec<_> = chain.iter().map(|(s, l)| component(*s, *l)).collect();
        let weakest = weakest_link(&chain).unwrap();
        for link in &chain {
            prop_assert!(link.safety_factor().is_none_or(|factor| factor >= weakest.safety_factor));
        }
    }
}
