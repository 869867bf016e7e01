//! Parts of a study that may be left out: what is there is the same with and without the others.

use core::ops::ControlFlow;
use rope_mechanics::operation::site::Site;
use rope_mechanics::operation::study::Study;
use rope_mechanics::operation::{self, Asked};

const SITE: &str = include_str!("../../../tests/sites/reference.toml");

fn site() -> Site {
    toml::from_str(&format!("{SITE}\n[doubt]\nsamples = 64\nparts = 8\n")).unwrap()
}

fn asked(site: &Site, asked: Asked) -> Study {
    let found = operation::solve_asked(site, &asked, |_, _| ControlFlow::<()>::Continue(()));
    found.unwrap().continue_value().unwrap()
}

#[test]
fn every_part_is_left_out_by_its_own_switch_and_changes_no_other() {
    let mut site = site();
    site.travel.positions = Some(40);
    // Schedule and cures, which have tests of their own, take as long as all the rest.
    let everything = Asked::EVERYTHING.with_schedule(false).with_cures(false);
    let whole = asked(&site, everything);
    assert!(whole.schedule.is_none() && whole.cures.is_none());
    assert!(whole.failures.is_some() && whole.doubt.is_some());
    assert!(whole.positions.iter().all(|p| p.reading_expected.is_some()));

    let mut without = asked(&site, everything.with_doubt(false));
    assert!(without.doubt.is_none());
    without.doubt.clone_from(&whole.doubt);
    // What is in doubt counts in the verdict.
    without.verdict.clone_from(&whole.verdict);
    assert_eq!(without, whole);

    let without = asked(&site, everything.with_failures(false));
    assert!(without.failures.is_none());
    assert_eq!((&without.positions, &without.doubt), (&whole.positions, &whole.doubt));

    let without = asked(&site, everything.with_expected_readings(false));
    assert!(without.positions.iter().all(|p| p.reading_expected.is_none()));
    assert_eq!((&without.failures, &without.doubt), (&whole.failures, &whole.doubt));
    assert_eq!(without.summary.governing, whole.summary.governing);

    let plain = asked(&site, Asked::PLAIN);
    assert!(plain.failures.is_none() && plain.doubt.is_none());
    assert!(plain.positions.iter().all(|p| p.reading_expected.is_none()));
    assert_eq!(plain.components, whole.components);
    // What is absent has no key.
    let json = serde_json::to_value(&plain).unwrap();
    assert!(json.get("failures").is_none() && json.get("doubt").is_none());
}
