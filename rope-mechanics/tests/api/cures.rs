//! What would mend a plan: each change applied mends it, and a slightly smaller one doesn't.

use core::ops::ControlFlow;
use rope_mechanics::doubt::Uncertain;
use rope_mechanics::operation::cures::{self, Cure, CureKind, InTheWay};
use rope_mechanics::operation::site::{Site, SiteWinch, TackleKind, TrackSetting};
use rope_mechanics::operation::study::{Study, Warning, WarningKind};
use rope_mechanics::operation::verdict::{Verdict, weight};
use rope_mechanics::operation::{self, Asked, Moved, UnderRopes};
use rope_mechanics::quantity::literal::deg;
use rope_mechanics::quantity::unit::{kilogram, kilonewton, meter, newton};
use rope_mechanics::quantity::{ElectricCharge, Force, Length, Mass};
use std::collections::BTreeSet;

const DEMO: &str = include_str!("../../../examples/preplan-report/demo.toml");

fn m(metres: f64) -> Length {
    Length::new::<meter>(metres)
}

fn n(newtons: f64) -> Force {
    Force::new::<newton>(newtons)
}

fn demo(change: impl FnOnce(&mut Site)) -> Site {
    let mut site: Site = toml::from_str(DEMO).unwrap();
    site.travel.positions = Some(30);
    change(&mut site);
    site
}

fn asked(site: &Site, asked: Asked) -> Study {
    let found = operation::solve_asked(site, &asked, |_, _| ControlFlow::<()>::Continue(()));
    found.unwrap().continue_value().unwrap()
}

/// The travel, what the cell will show and what fails: every warning but those of the changeover.
const WARNED: Asked = Asked::PLAIN.with_failures(true).with_expected_readings(true);

fn plain(site: &Site) -> Study {
    asked(site, WARNED)
}

fn cured(site: &Site) -> Study {
    asked(site, WARNED.with_cures(true))
}

/// The site with a cure applied, its value replaced by this one.
fn with(site: &Site, cure: &Cure, value: f64) -> Site {
    let mut site = site.clone();
    match cure.kind {
        CureKind::FarAnchor => site.far_anchor.x = m(value).into(),
        CureKind::HeadHeight => site.frame.height = m(value).into(),
        CureKind::FarHeight => site.far_anchor.height = m(value).into(),
        CureKind::Hang => site.load.hang = m(value).into(),
        CureKind::Load => {
            let share = value / cure.from.unwrap();
            let scaled =
                |mass: Uncertain<Mass>| Mass::new::<kilogram>(share * mass.value().get::<kilogram>()).into();
            site.load.patient = scaled(site.load.patient);
            site.load.litter = scaled(site.load.litter);
            site.load.carriage = scaled(site.load.carriage);
            site.load.attendants = site.load.attendants.map(scaled);
        }
        CureKind::MoreRope => site.track.on_hand = m(value),
        CureKind::Setting => {
            site.track.set = match site.track.set {
                TrackSetting::UnloadedTension(_) => TrackSetting::UnloadedTension(n(value).into()),
                TrackSetting::GreatestReading(_) => TrackSetting::GreatestReading(n(value).into()),
                TrackSetting::LitterHeight(_) => TrackSetting::LitterHeight(m(value).into()),
                TrackSetting::Strand(_) => TrackSetting::Strand(m(value).into()),
                other => panic!("{other:?}"),
            };
        }
        CureKind::RatedPull => match &mut site.winch {
            SiteWinch::Motor(motor) => motor.rated_pull = n(value),
            _ => panic!(),
        },
        CureKind::Tackle => {
            site.haul.tackle = if value > 2.5 { TackleKind::ThreeToOne } else { TackleKind::TwoToOne };
        }
        CureKind::Wraps => site.capstan.wraps = value,
        CureKind::BelaySlack => site.belay.as_mut().unwrap().slack = m(value),
        CureKind::Charge => match &mut site.winch {
            SiteWinch::Motor(motor) => {
                motor.battery.charge = ElectricCharge { value, ..motor.battery.charge }
            }
            _ => panic!(),
        },
        CureKind::TravelStart => site.travel.start = Some(m(value)),
        CureKind::Guy => {
            for p in &cure.guys.as_ref().unwrap().anchors {
                site.frame.guys.push(rope_mechanics::geometry::Point3::new(p.x, p.y, p.z));
            }
        }
        other => panic!("{other:?}"),
    }
    site
}

/// Whether a study still has a warning: of the same kind, unit and part.
fn still(before: &Study, warning: &Warning, after: &Study) -> bool {
    if warning.kind == WarningKind::LitterDrags {
        // Where it is to float: it may drag farther out.
        return after.summary.least_litter_height.si.value <= 0.0;
    }
    let part = |study: &Study, warning: &Warning| {
        warning.component.map(|i| (study.components[i].place, study.components[i].kind))
    };
    after.warnings.iter().any(|w| {
        // A battery that ends low is another finding than one that stops the haul.
        let same = w.kind != WarningKind::Battery || w.value.is_some() == warning.value.is_some();
        same && (w.kind, w.unit) == (warning.kind, warning.unit) && part(after, w) == part(before, warning)
    })
}

/// Sites with something broken.
fn broken() -> Vec<(&'static str, Site)> {
    vec![
        ("too little rope", demo(|site| site.track.on_hand = m(112.0))),
        ("too high", demo(|site| site.limits.litter_height = Some(m(1.9)))),
        ("reads too much", demo(|site| site.limits.reading = Some(n(2100.0)))),
        ("drags", demo(|site| site.track.set = TrackSetting::GreatestReading(n(1450.0).into()))),
        (
            "a weak winch",
            demo(|site| {
                site.haul.tackle = TackleKind::Straight;
                if let SiteWinch::Motor(motor) = &mut site.winch {
                    motor.rated_pull = n(900.0);
                }
            }),
        ),
        (
            "a weak anchor",
            demo(|site| {
                site.ratings.capstan.anchor = Some(Force::new::<kilonewton>(11.0));
            }),
        ),
        ("no guys", demo(|site| site.frame.guys.clear())),
        (
            "a small battery",
            demo(|site| {
                if let SiteWinch::Motor(motor) = &mut site.winch {
                    motor.battery.charge *= 0.04;
                }
            }),
        ),
    ]
}

#[test]
fn each_cure_mends_what_it_is_told_for_and_a_slightly_smaller_change_does_not() {
    let mut kinds = BTreeSet::new();
    let mut solved = 0;
    for (name, site) in broken() {
        let study = cured(&site);
        let found = study.cures.as_ref().unwrap();
        solved += found.solved;
        assert!(!found.warnings.is_empty(), "{name}");
        for mends in &found.warnings {
            let warning = &study.warnings[mends.warning];
            println!("{name}: {}", warning.text);
            assert!(!mends.cures.is_empty(), "{name}: {:?}", warning.kind);
            for cure in &mends.cures {
                println!("    {} [{:?}, breaks {:?}]", cure.text, cure.verdict, cure.breaks);
                kinds.insert(format!("{:?}", cure.kind));
                if cure.kind == CureKind::RatedStrength {
                    continue; // tried below
                }
                let after = plain(&with(&site, cure, cure.to.unwrap_or_default()));
                assert!(!still(&study, warning, &after), "{name}: {}", cure.text);
                // The cure's verdict doesn't look at failures.
                assert!(rope_mechanics::operation::verdict::verdict(&after.warnings) >= cure.verdict);
                let (Some(from), Some(to)) = (cure.from, cure.to) else {
                    continue; // without the guy it falls
                };
                let less = match cure.kind {
                    CureKind::Tackle => continue,
                    CureKind::Wraps => to - 1.0,
                    // Found to 0.1 % of the change.
                    _ => to - 0.01 * (to - from),
                };
                let mended_by_less = operation::solve_asked(&with(&site, cure, less), &WARNED, |_, _| {
                    ControlFlow::<()>::Continue(())
                })
                .is_ok_and(|after| !still(&study, warning, &after.continue_value().unwrap()));
                assert!(!mended_by_less, "{name}: {} from {from}: {less} is enough", cure.text);
            }
        }
    }
    println!("{kinds:?}, {solved} sites solved");
    let all = [
        "FarAnchor",
        "HeadHeight",
        "Hang",
        "Load",
        "MoreRope",
        "Setting",
        "RatedPull",
        "RatedStrength",
        "Tackle",
        "Wraps",
        "Guy",
        "Charge",
        "FarHeight",
    ];
    for kind in all {
        assert!(kinds.contains(kind), "{kind}");
    }
}

#[test]
fn more_rope_is_what_is_missing_and_turns_are_those_of_the_capstan_law() {
    let site = demo(|site| site.track.on_hand = m(112.0));
    let study = cured(&site);
    let all = &study.cures.as_ref().unwrap().warnings;
    let cure = |kind| all.iter().flat_map(|mends| &mends.cures).find(|cure| cure.kind == kind).unwrap();
    let rope = cure(CureKind::MoreRope);
    assert!((rope.to.unwrap() - rope.from.unwrap() + study.summary.reach.spare.value).abs() < 1e-9);
    // Eytelwein: T·e^(−2πμn) ≤ 46 N, by hand with the study's greatest tension.
    let tail = study.summary.capstan_tail.value;
    let more = (tail / 46.0).ln() / (core::f64::consts::TAU * 0.12);
    assert_eq!(cure(CureKind::Wraps).to, Some((4.0 + more).ceil()));
}

#[test]
fn a_part_strong_enough_has_just_its_factor() {
    let site = demo(|site| site.ratings.capstan.anchor = Some(Force::new::<kilonewton>(11.0)));
    let study = cured(&site);
    let found = &study.cures.as_ref().unwrap().warnings;
    let cure = found.iter().flat_map(|m| &m.cures).find(|c| c.kind == CureKind::RatedStrength).unwrap();
    for (share, broken) in [(1.0 + 1e-12, false), (0.999, true)] {
        let mut site = site.clone();
        site.ratings.capstan.anchor = Some(n(cure.to.unwrap() * share));
        let after = plain(&site);
        assert_eq!(after.warnings.iter().any(|w| w.kind == WarningKind::Factor), broken);
    }
}

#[test]
fn a_guy_is_told_with_its_greatest_force_over_all_places() {
    let site = demo(|site| site.frame.guys.clear());
    let study = cured(&site);
    let found = &study.cures.as_ref().unwrap().warnings;
    let cure = found.iter().flat_map(|m| &m.cures).find(|c| c.kind == CureKind::Guy).unwrap();
    let guys = cure.guys.as_ref().unwrap();
    // Each place by itself, the forces at the worst corner of friction.
    let guyed = with(&site, cure, 0.0);
    let model = guyed.model().unwrap();
    let after = plain(&guyed);
    let mut greatest = n(0.0);
    let mut first = None;
    for p in &after.positions {
        let moved: Moved<'_, '_> = model.moved(after.unloaded.strand_length, p.carriage.x, None).unwrap();
        let ropes: Vec<_> = moved.ends().map(operation::State::head_ropes).collect();
        let UnderRopes::Stands(worst) = model.frame_under(&ropes).unwrap() else { panic!() };
        greatest = greatest.max(worst.guy());
        first = first.or(Some(worst.guy()));
    }
    let bare = after.unloaded.frame.as_ref().unwrap();
    greatest = bare.guys.iter().copied().fold(greatest, Force::max);
    assert!((greatest - guys.greatest_force).value.abs() < 1e-3 * greatest.value, "{greatest:?} {guys:?}");
    assert!(guys.greatest_force > first.unwrap(), "the first place is not the worst");
    assert_eq!(guys.strength, guys.greatest_force * 6.0);
    assert!(guys.anchors.iter().all(|p| p.x.value < 0.0), "behind the frame");
}

/// The demo's ground with a nose in the middle, above or below the line of sight.
fn nose(height: f64) -> Site {
    demo(|site| {
        let i = site.ground.iter().position(|p| p.x == m(21.0)).unwrap();
        site.ground[i].z = m(height);
    })
}

#[test]
fn ground_that_blocks_the_line_is_named_with_what_clears_it() {
    let site = nose(-10.2);
    let refusal = cures::of_refusal(&site).unwrap();
    assert_eq!(refusal.key, "ground");
    let bulge = refusal.bulge.as_ref().unwrap();
    assert_eq!((bulge.does, bulge.at.x.value, bulge.at.z.value), (InTheWay::Blocks, 21.0, -10.2));
    // The line from the head, 2.8 m above the road, to the sheave at (47, −28.7 + 1.1), by hand.
    let base = 0.3 * 1.2 / 10.2;
    let top = base + 2.8;
    let line = top + (-27.6 - top) * 21.0 / 47.0;
    assert!((bulge.above_line.value - (-10.2 - line)).abs() < 1e-12);
    // Through (21, −10.2) from the sheave up to x = 0.
    let head = -10.2 + (-10.2 + 27.6) / (47.0 - 21.0) * 21.0;
    assert!((bulge.head_height.value - (head - base)).abs() < 1e-9);
    let far = -10.2 + (-10.2 - top) / 21.0 * (47.0 - 21.0) + 28.7;
    assert!((bulge.far_height.unwrap().value - far).abs() < 1e-9);
    // Which far anchors see the head: each by what solve says of it.
    for x in (10..=57).map(f64::from).map(|x| x + 0.37).filter(|x| *x < 58.0) {
        let clear = bulge.clear_anchors.iter().any(|[a, b]| a.value <= x && x <= b.value);
        let mut moved = site.clone();
        moved.far_anchor.x = m(x).into();
        moved.travel.float_from = Some(m(0.5));
        moved.travel.start = Some(m(0.5));
        let blocked = operation::solve_asked(&moved, &Asked::PLAIN, |_, _| ControlFlow::<()>::Continue(()))
            .is_err_and(|why| why.key == "ground" && why.problem.contains("straight line"));
        assert_eq!(clear, !blocked, "x = {x}");
    }
    for cure in &refusal.cures {
        println!("{}", cure.text);
        let to = cure.to.unwrap();
        assert!(cures::of_refusal(&with(&site, cure, to)).is_none(), "{}", cure.text);
        let less = to - 0.01 * (to - cure.from.unwrap());
        assert!(cures::of_refusal(&with(&site, cure, less)).is_some(), "{}", cure.text);
    }
    // Below the line of sight nothing is refused.
    assert!(cures::of_refusal(&nose(-16.4)).is_none());
}

#[test]
fn a_rope_too_slack_is_refused_with_what_would_do() {
    let site = demo(|site| site.track.set = TrackSetting::Strand(m(58.5).into()));
    let refusal = cures::of_refusal(&site).unwrap();
    assert_eq!(refusal.key, "track.set");
    let kinds: Vec<_> = refusal.cures.iter().map(|cure| cure.kind).collect();
    assert!(kinds.contains(&CureKind::Setting), "{kinds:?}");
    for cure in &refusal.cures {
        println!("{}", cure.text);
        let to = cure.to.unwrap();
        assert!(cures::of_refusal(&with(&site, cure, to)).is_none(), "{}", cure.text);
        let less = to - 0.01 * (to - cure.from.unwrap());
        assert!(cures::of_refusal(&with(&site, cure, less)).is_some(), "{}", cure.text);
    }
}

#[test]
fn a_value_out_of_range_has_no_cure_but_its_own_message() {
    let site = demo(|site| site.limits.factor = Some(0.2));
    let refusal = cures::of_refusal(&site).unwrap();
    assert_eq!(refusal.key, "limits.factor");
    assert!(refusal.cures.is_empty() && refusal.problem.contains("from 1 to 100"));
    assert!(cures::of_refusal(&demo(|_| {})).is_none());
}

#[test]
fn a_stretch_without_a_length_is_opened_by_the_least_change() {
    // A factor that leaves no room between the rope's strength and the ground.
    let site = demo(|site| {
        site.limits.factors = toml::from_str("rope = 17").unwrap();
        site.travel.positions = Some(40);
    });
    let study = asked(&site, Asked::PLAIN.with_schedule(true).with_cures(true));
    let stretches = &study.schedule.as_ref().unwrap().no_length;
    let opens = &study.cures.as_ref().unwrap().no_length;
    assert!(!stretches.is_empty() && stretches.len() == opens.len());
    let mut kinds = BTreeSet::new();
    for open in opens {
        let stretch = &stretches[open.stretch];
        println!("{}", stretch.text);
        // At the positions that were judged.
        let (from, to) = (stretch.from.unwrap(), stretch.to.unwrap());
        let at = (0..5).map(|i| from + (to - from) * i / 4).chain(stretch.at);
        let at: Vec<_> = at.map(|i| study.positions[i].carriage.x).collect();
        for cure in &open.cures {
            println!("    {}", cure.text);
            kinds.insert(format!("{:?}", cure.kind));
            let (from, to) = (cure.from.unwrap(), cure.to.unwrap());
            for (value, opened) in [(to, true), (to - 0.01 * (to - from), false)] {
                // The first position is always looked at: let the travel start at each place.
                let shut = |x: &Length| {
                    let mut site = with(&site, cure, value);
                    site.travel.start = Some(site.far_anchor.x.value() - *x);
                    site.travel.positions = Some(10);
                    let study = asked(&site, Asked::PLAIN.with_schedule(true));
                    assert!((study.positions[0].carriage.x - *x).value.abs() < 1e-9);
                    let windows = &study.schedule.as_ref().unwrap().windows;
                    windows.iter().find(|place| place.position == Some(0)).unwrap().windows.is_empty()
                };
                assert_eq!(at.iter().any(shut), !opened, "{}: at {value}", cure.text);
            }
        }
    }
    assert!(kinds.contains("Load"), "{kinds:?}");
}

/// The demo with a belay rope so slack and weak that it doesn't catch the load: the peak is a quarter more than it holds.
fn weak_belay() -> Site {
    let slack = |strength: &str| {
        demo(|site| {
            let belay = site.belay.as_mut().unwrap();
            belay.slack = m(3.0);
            belay.rope =
                toml::from_str(&format!("class = \"11 mm nylon\"\nstrength = \"{strength}\"")).unwrap();
        })
    };
    let factor = plain(&slack("30 kN")).summary.haul_lost.unwrap().factor;
    slack(&format!("{} kN", 0.8 * 30.0 / factor))
}

#[test]
fn the_slack_of_a_belay_that_does_not_catch_is_taken_up_as_far_as_needed() {
    let site = weak_belay();
    let study = cured(&site);
    let warned = |study: &Study| {
        let mut list = study.warnings.iter();
        list.any(|w| w.kind == WarningKind::Factor && w.component.is_none() && w.text.contains("belay rope"))
    };
    assert!(warned(&study));
    let found = study.cures.as_ref().unwrap().warnings.iter();
    let slack = found.flat_map(|mends| &mends.cures).find(|cure| cure.kind == CureKind::BelaySlack).unwrap();
    assert_eq!((slack.key.as_str(), slack.from, slack.unit), ("belay.slack", Some(3.0), "m"));
    let to = slack.to.unwrap();
    assert!((0.0..3.0).contains(&to), "{}", slack.text);
    assert!(!warned(&plain(&with(&site, slack, to))), "{}", slack.text);
    assert!(warned(&plain(&with(&site, slack, to + 0.01 * (3.0 - to)))), "{}", slack.text);
    // At the slack told the belay rope takes just what it holds: its factor is 1.
    let lost = plain(&with(&site, slack, to)).summary.haul_lost.unwrap();
    assert!(lost.factor >= 1.0 && lost.factor < 1.01, "{}", lost.factor);
}

#[test]
fn a_frame_that_stands_too_near_to_tipping_is_mended_without_a_fall() {
    let site = demo(|site| site.limits.frame_margin = Some(deg(38.0)));
    let study = cured(&site);
    let at = study.warnings.iter().position(|w| w.kind == WarningKind::Frame).unwrap();
    let warning = &study.warnings[at];
    assert!(
        study.positions.iter().all(|p| p.frame.is_some()) && warning.value.unwrap() < warning.limit.unwrap()
    );
    let mends = study.cures.as_ref().unwrap().warnings.iter().find(|mends| mends.warning == at).unwrap();
    assert!(!mends.cures.is_empty(), "{}", warning.text);
    for cure in &mends.cures {
        println!("{}", cure.text);
        let after = plain(&with(&site, cure, cure.to.unwrap_or_default()));
        let least = after.summary.least_margin.as_ref().map_or(deg(90.0), |least| least.margin);
        assert!(least >= deg(38.0), "{}: {least:?}", cure.text);
        if let (Some(from), Some(to)) = (cure.from, cure.to) {
            let less = plain(&with(&site, cure, to - 0.01 * (to - from)));
            assert!(less.warnings.iter().any(|w| w.kind == WarningKind::Frame), "{}", cure.text);
        }
    }
}

#[test]
fn a_current_above_its_limit_and_a_pull_that_the_motor_can_not_give_are_mended() {
    // A tenth too much.
    let limit = plain(&demo(|_| {})).summary.greatest_current.si * 0.9;
    let site = demo(|site| site.limits.current = Some(limit));
    let study = cured(&site);
    let (at, _) = study.warnings.iter().enumerate().find(|(_, w)| w.unit == "A").unwrap();
    let mends = study.cures.as_ref().unwrap().warnings.iter().find(|mends| mends.warning == at).unwrap();
    let kinds: BTreeSet<String> = mends.cures.iter().map(|cure| format!("{:?}", cure.kind)).collect();
    assert!(kinds.contains("Load") && kinds.len() > 1, "{kinds:?}");
    for cure in &mends.cures {
        println!("{}", cure.text);
        let greatest = |value| plain(&with(&site, cure, value)).summary.greatest_current.si;
        let (from, to) = (cure.from.unwrap(), cure.to.unwrap());
        assert!(greatest(to) <= limit, "{}", cure.text);
        if cure.kind != CureKind::Tackle {
            assert!(greatest(to - 0.01 * (to - from)) > limit, "{}", cure.text);
        }
    }
}

#[test]
fn a_track_that_lies_on_a_nose_is_lifted_off_it() {
    let site = nose(-13.2);
    let study = cured(&site);
    let at: Vec<usize> =
        (0..study.warnings.len()).filter(|i| study.warnings[*i].kind == WarningKind::TrackOnGround).collect();
    assert!(!at.is_empty());
    let all = &study.cures.as_ref().unwrap().warnings;
    for at in at {
        let mends = all.iter().find(|mends| mends.warning == at).unwrap();
        let bulge = mends.bulge.as_ref().unwrap();
        assert_eq!((bulge.does, bulge.at.x.value), (InTheWay::Supports, 21.0));
        assert!(bulge.above_line.value < 0.0 && !mends.cures.is_empty());
        for cure in &mends.cures {
            println!("{}", cure.text);
            let lies = |value| {
                let after = plain(&with(&site, cure, value));
                after.warnings.iter().any(|w| w.kind == WarningKind::TrackOnGround)
            };
            let (from, to) = (cure.from.unwrap(), cure.to.unwrap());
            assert!(!lies(to), "{}", cure.text);
            assert!(lies(to - 0.01 * (to - from)), "{}", cure.text);
        }
    }
}

#[test]
fn a_load_that_would_start_on_the_ground_starts_farther_in() {
    // The least slack rope of these on which even the carriage would lie on the ground somewhere.
    let slack = |strand: f64| demo(|site| site.track.set = TrackSetting::Strand(m(strand).into()));
    let mut found = None;
    for i in 0..40 {
        let site = slack(57.0 + 0.05 * f64::from(i));
        if let Some(refusal) = cures::of_refusal(&site) {
            found = Some((site, refusal));
            break;
        }
    }
    let (site, refusal) = found.unwrap();
    println!("{}: {}", refusal.key, refusal.problem);
    let start = refusal.cures.iter().find(|cure| cure.kind == CureKind::TravelStart).unwrap();
    assert_eq!((start.key.as_str(), start.from), ("travel.start", Some(2.5)));
    for cure in &refusal.cures {
        println!("{}", cure.text);
        let (from, to) = (cure.from.unwrap(), cure.to.unwrap());
        assert!(cures::of_refusal(&with(&site, cure, to)).is_none(), "{}", cure.text);
        let less = to - 0.01 * (to - from);
        assert!(cures::of_refusal(&with(&site, cure, less)).is_some(), "{}", cure.text);
    }
}

#[test]
fn the_verdict_names_the_first_limit_that_fails_and_what_to_keep_to() {
    let study = plain(&demo(|site| {
        site.limits.reading = Some(n(2100.0));
        site.limits.litter_height = Some(m(1.9));
        site.capstan.wraps = 3.0;
    }));
    let judged = &study.verdict;
    assert_eq!(judged.verdict, Verdict::NoGo);
    let no_go: Vec<usize> =
        (0..study.warnings.len()).filter(|i| weight(&study.warnings[*i]) == Verdict::NoGo).collect();
    let kinds: BTreeSet<String> = no_go.iter().map(|i| format!("{:?}", study.warnings[*i].kind)).collect();
    assert!(kinds.contains("Reading") && kinds.contains("LitterHigh"), "{kinds:?}");
    // As the crew would meet them: before the load is on, then by position.
    let first = &study.warnings[judged.first_no_go.unwrap()];
    for i in no_go {
        let other = &study.warnings[i];
        let before = other.position.map_or(-1, |at| at as i64) < first.position.map_or(-1, |at| at as i64);
        assert!(!before, "{} comes before {}", other.text, first.text);
    }
    let go_with: Vec<usize> =
        (0..study.warnings.len()).filter(|i| weight(&study.warnings[*i]) == Verdict::GoWith).collect();
    assert!(judged.go_with == go_with && !go_with.is_empty());
    assert!(judged.in_doubt.is_empty());
    // Nothing fails: no first, and the list remains.
    let study = plain(&demo(|site| site.capstan.wraps = 3.0));
    assert_eq!((study.verdict.verdict, study.verdict.first_no_go), (Verdict::GoWith, None));
    assert!(study.verdict.go_with.iter().all(|i| weight(&study.warnings[*i]) == Verdict::GoWith));
}

/// The search for cures asks within each site that it tries, and ends with the first no: nothing is asked, and so nothing
/// solved, after it. The sites that it tries tell no progress of their own.
#[test]
fn a_search_for_cures_can_be_stopped() {
    let site = demo(|site| site.load.patient = Mass::new::<kilogram>(150.0).into());
    let ask = Asked::PLAIN.with_cures(true);
    let mut questions = Vec::new();
    let whole = operation::solve_asked(&site, &ask, |done, of| {
        questions.push((done, of));
        ControlFlow::<()>::Continue(())
    });
    let whole = whole.unwrap().continue_value().unwrap();
    let (positions, solved) = (whole.positions.len(), whole.cures.as_ref().unwrap().solved);
    assert!(solved > 100, "{solved}");
    // Some 24 positions of each site tried, and all of them of some.
    assert!(questions.len() > positions + 20 * solved, "{} for {solved} sites", questions.len());
    assert!(questions[positions - 1..].iter().all(|told| *told == (positions, positions)));
    for last in [positions + 1, positions + 2, positions + 500, questions.len()] {
        let mut asked = 0;
        let stopped = operation::solve_asked(&site, &ask, |_, _| {
            asked += 1;
            if asked < last { ControlFlow::Continue(()) } else { ControlFlow::Break(asked) }
        });
        assert_eq!(stopped.unwrap(), ControlFlow::Break(last));
        assert_eq!(asked, last);
    }
}

/// From the load at its start straight over the head, by every redirect, to the winch; of the belay to its device, and its
/// slack. Worked out here from the places of the file.
#[test]
fn haul_and_belay_rope_reach_the_load_at_its_start_or_it_is_a_no_go() {
    let with = |haul: Option<f64>, belay: Option<f64>| {
        let mut site = demo(|_| {});
        site.haul.on_hand = haul.map(m);
        site.belay.as_mut().unwrap().on_hand = belay.map(m);
        site
    };
    let solved = |site: &Site| {
        let asked = Asked::PLAIN.with_cures(true);
        let found = operation::solve_asked(site, &asked, |_, _| ControlFlow::<()>::Continue(()));
        found.unwrap().continue_value().unwrap()
    };
    let site = with(None, None);
    let study = solved(&site);
    assert!(study.summary.haul_reach.is_none() && study.summary.belay_reach.is_none());
    let known = study.verdict.verdict;

    let first = &study.positions[0];
    let head = [0.0, 0.0, site.frame.height.value().value];
    let out =
        (first.carriage.x.value - study.head.x.value).hypot(first.carriage.z.value - study.head.z.value);
    let at = |p: rope_mechanics::geometry::Point3| [p.x.value, p.y.value, p.z.value];
    let way = |places: &[[f64; 3]]| -> f64 {
        places.windows(2).map(|p| (0..3).map(|i| (p[0][i] - p[1][i]).powi(2)).sum::<f64>().sqrt()).sum()
    };
    let mut haul = vec![head];
    haul.extend(site.haul.redirects.iter().map(|redirect| at(redirect.at)));
    haul.push(at(site.haul.winch));
    assert!(haul.len() > 2);
    let belay = site.belay.as_ref().unwrap();
    let needed = [out + way(&haul), out + way(&[head, at(belay.device)]) + belay.slack.value];

    for (i, (warning, kind)) in [
        (WarningKind::HaulRopeTooShort, CureKind::MoreHaulRope),
        (WarningKind::BelayRopeTooShort, CureKind::MoreBelayRope),
    ]
    .into_iter()
    .enumerate()
    {
        for (more, short) in [(0.01, false), (-0.01, true)] {
            let on_hand = Some(needed[i] + more);
            let site = if i == 0 { with(on_hand, None) } else { with(None, on_hand) };
            let study = solved(&site);
            let reach = if i == 0 { study.summary.haul_reach } else { study.summary.belay_reach }.unwrap();
            assert!((reach.needed.value - needed[i]).abs() < 1e-9, "{reach:?} {}", needed[i]);
            assert!((reach.spare.value - more).abs() < 1e-9);
            let told = study.warnings.iter().position(|told| told.kind == warning);
            assert_eq!(told.is_some(), short);
            let Some(told) = told else {
                assert_eq!(study.verdict.verdict, known);
                continue;
            };
            assert_eq!(study.verdict.verdict, Verdict::NoGo);
            assert!((study.warnings[told].value.unwrap() + 0.01).abs() < 1e-9);
            // The same length, and a start that much nearer.
            let mends =
                study.cures.unwrap().warnings.into_iter().find(|mends| mends.warning == told).unwrap();
            let cure = mends.cures.iter().find(|cure| cure.kind == kind).unwrap();
            assert_eq!(cure.verdict, known);
            let enough = Some(cure.to.unwrap());
            let mended = solved(&if i == 0 { with(enough, None) } else { with(None, enough) });
            assert_eq!(mended.verdict.verdict, known);
            assert!(mends.cures.iter().any(|cure| cure.kind == CureKind::TravelStart), "{mends:?}");
        }
    }
}
