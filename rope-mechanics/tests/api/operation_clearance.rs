//! How near every rope and the litter come to the ground: against closed forms of hanging ropes, and against the heights of
//! many places one by one.

use core::ops::ControlFlow;
use rope_mechanics::motion::Motion;
use rope_mechanics::operation::clearance::{Clearances, OutgoingRope, RopeClearance};
use rope_mechanics::operation::site::Site;
use rope_mechanics::operation::study::{Study, WarningKind};
use rope_mechanics::operation::{self, Asked, HoldingRope, Situation, State};
use rope_mechanics::quantity::Length;
use rope_mechanics::quantity::unit::meter;

const SITE: &str = include_str!("../../../tests/sites/reference.toml");

fn m(metres: f64) -> Length {
    Length::new::<meter>(metres)
}

fn site(change: impl FnOnce(&mut Site)) -> Site {
    let mut site: Site = toml::from_str(SITE).unwrap();
    change(&mut site);
    site
}

fn study(site: &Site) -> Study {
    let asked = Asked::PLAIN.with_clearances(true);
    let found = operation::solve_asked(site, &asked, |_, _| ControlFlow::<()>::Continue(()));
    found.unwrap().continue_value().unwrap()
}

fn of(clearances: &Clearances, rope: OutgoingRope) -> &RopeClearance {
    clearances.ropes.iter().find(|found| found.rope == rope).unwrap()
}

/// Straight between the points.
fn height(points: &[(f64, f64)], x: f64) -> f64 {
    let pair = points.windows(2).find(|pair| pair[0].0 <= x && x <= pair[1].0).unwrap();
    let [(x0, z0), (x1, z1)] = [pair[0], pair[1]];
    z0 + (z1 - z0) * (x - x0) / (x1 - x0)
}

#[test]
fn the_lines_of_a_study_have_their_haul_and_belay_rope_as_they_hang() {
    let site = site(|_| {});
    let study = study(&site);
    let model = site.model().unwrap();
    assert!(study.lines.len() > 20 && study.lines.iter().any(|line| line.position == 0));
    for line in study.lines.iter().chain([&study.loaded]) {
        let x = study.positions[line.position].carriage.x;
        let situation = Situation::at_x(study.unloaded.strand_length, x, Motion::Hauling);
        let state = model.state(&situation).unwrap();
        for (rope, found) in [(HoldingRope::Haul, &line.haul), (HoldingRope::Belay, &line.belay)] {
            let alone = drawn(state.load_rope_shape(rope).unwrap());
            assert_eq!(alone.len(), found.len());
            for (alone, found) in alone.iter().zip(found) {
                // Solved from another start: as near as a place is solved.
                assert!((alone.0 - found.x.value).hypot(alone.1 - found.z.value) < 1e-6);
            }
        }
        // The slack one hangs lower.
        assert!(line.belay[line.belay.len() / 2].z < line.haul[line.haul.len() / 2].z);
    }
}

fn drawn(points: impl IntoIterator<Item = rope_mechanics::geometry::Point2>) -> Vec<(f64, f64)> {
    points.into_iter().map(|p| (p.x.value, p.z.value)).collect()
}

#[test]
fn ropes_to_the_load_hang_by_their_weight_as_far_below_their_chord_as_closed_forms_say() {
    let site = site(|_| {});
    let study = study(&site);
    let model = site.model().unwrap();
    for x in [55.0, 40.0, 25.0] {
        let situation = Situation::at_x(study.unloaded.strand_length, m(x), Motion::Hauling);
        let state = model.state(&situation).unwrap();
        let carriage = state.carriage().unwrap();
        let head = model.head().z.value;
        let (run, fall) = (carriage.x.value, head - carriage.z.value);
        let chord = run.hypot(fall);
        let below = |rope: HoldingRope| {
            let shape = drawn(state.load_rope_shape(rope).unwrap());
            assert_eq!((shape[0].0, shape[0].1), (0.0, head));
            let last = shape[shape.len() - 1];
            assert!((last.0 - run).abs() < 1e-9 && (last.1 - carriage.z.value).abs() < 1e-9);
            shape.iter().map(|(x, z)| head - fall * x / run - z).fold(0.0, f64::max)
        };
        // Flat curves: w·c·x/(8·H), H level, of 85 g/m under the pull at the carriage; half the weight of the rope makes the
        // tension in the middle another, and rope of its own length is drawn in 33 points.
        let pull = state.pull().value;
        let haul = 0.085 * 9.80665 * chord * run / (8.0 * pull * run / chord);
        assert!((below(HoldingRope::Haul) / haul - 1.0).abs() < 0.03, "{} {haul}", below(HoldingRope::Haul));
        // 0.6 m more than the chord, and what 77 g/m stretch by themselves at EA = 35 kN: d = √(3·c·s/8) square to the chord,
        // with T = w·cos φ·c²/(8·d) along it
        let (mut slack, mut square) = (0.6, 1.0);
        for _ in 0..50 {
            square = (3.0 * chord * slack / 8.0_f64).sqrt();
            slack = 0.6 + 0.077 * 9.80665 * run * chord / (8.0 * square) * chord / 35e3;
        }
        let belay = square * chord / run;
        assert!(
            (below(HoldingRope::Belay) / belay - 1.0).abs() < 0.05,
            "{} {belay}",
            below(HoldingRope::Belay)
        );
    }
    // A load that hangs on nothing, and a rope that there isn't.
    let bare = model.state(&Situation::unloaded(study.unloaded.strand_length)).unwrap();
    assert!(bare.load_rope_shape(HoldingRope::Haul).is_none());
    let without = model.with(|values| values.belay = None).unwrap();
    let situation = Situation::at_x(study.unloaded.strand_length, m(30.0), Motion::Hauling);
    assert!(without.state(&situation).unwrap().load_rope_shape(HoldingRope::Belay).is_none());
}

#[test]
fn the_least_height_of_every_rope_is_that_of_many_places_looked_at_one_by_one() {
    let site = site(|site| site.travel.positions = Some(25));
    let study = study(&site);
    let clearances = study.clearances.as_ref().unwrap();
    let model = site.model().unwrap();
    let ground = drawn(site.ground.iter().copied());
    for (rope, to_load) in [
        (OutgoingRope::Track, None),
        (OutgoingRope::Haul, Some(HoldingRope::Haul)),
        (OutgoingRope::Belay, Some(HoldingRope::Belay)),
    ] {
        let found = of(clearances, rope);
        assert_eq!(found.least.len(), study.positions.len());
        let mut worst = (f64::INFINITY, 0);
        for (at, p) in study.positions.iter().enumerate() {
            let state = |motion| {
                model.state(&Situation::at_x(study.unloaded.strand_length, p.carriage.x, motion)).ok()
            };
            let other = state(Motion::Lowering).or_else(|| state(Motion::AtRest));
            let ends: Vec<State<'_, '_>> = state(Motion::Hauling).into_iter().chain(other).collect();
            let mut least = f64::INFINITY;
            for end in &ends {
                let shape = match to_load {
                    None => drawn(end.track_shape()),
                    Some(rope) => drawn(end.load_rope_shape(rope).unwrap()),
                };
                let (from, to) = (shape[0].0 + 1.0, shape[shape.len() - 1].0 - 1.0);
                let even = (0..=4000).map(|i| from + (to - from) * f64::from(i) / 4000.0);
                let corners = ground.iter().map(|p| p.0).filter(|x| (from..=to).contains(x));
                for x in even.chain(corners).filter(|_| from < to) {
                    least = least.min(height(&shape, x) - height(&ground, x));
                }
            }
            match found.least[at] {
                // A place between two of 4000 may be lower by what the slopes make of it.
                Some(said) => assert!((least - said.value).abs() < 0.05 && said.value <= least + 1e-9),
                None => assert!(least.is_infinite()),
            }
            if least < worst.0 {
                worst = (least, at);
            }
        }
        assert!((found.worst.clearance.value - worst.0).abs() < 0.05);
        assert_eq!(found.least[found.worst.position], Some(found.worst.clearance));
        let there = height(&ground, found.worst.at.x.value);
        assert!((there - found.worst.at.z.value).abs() < 1e-9);
        if let Some(point) = found.worst.ground_point {
            assert_eq!(site.ground[point].x, found.worst.at.x);
        }
    }
}

#[test]
fn a_belay_with_slack_lies_on_the_ground_and_is_said_to() {
    let loose = study(&site(|_| {}));
    let belay = of(loose.clearances.as_ref().unwrap(), OutgoingRope::Belay);
    assert!(belay.worst.clearance.value < 0.0);
    let said = |study: &Study, name: &str| {
        let near = study.warnings.iter().filter(|w| w.kind == WarningKind::RopeNear);
        near.filter(|w| w.text.contains(name)).map(|w| w.text.clone()).next()
    };
    let text = said(&loose, "belay rope").unwrap();
    assert!(text.contains("lies on the ground") && text.contains("0.30 m"), "{text}");
    // As much less slack as lifts it: only the limit decides then.
    let tight = |wanted: f64| {
        study(&site(|site| {
            site.belay.as_mut().unwrap().slack = m(0.0);
            site.limits.rope_clearance = Some(m(wanted));
        }))
    };
    let worst = of(tight(0.0).clearances.as_ref().unwrap(), OutgoingRope::Belay).worst;
    assert!(worst.clearance.value > 0.0);
    assert!(said(&tight(worst.clearance.value - 1e-6), "belay rope").is_none());
    let near = tight(worst.clearance.value + 1e-6);
    assert!(said(&near, "belay rope").unwrap().contains("comes down to"));
    let warning = near.warnings.iter().find(|w| w.text.contains("belay rope")).unwrap();
    assert_eq!((warning.value, warning.unit), (Some(worst.clearance.value), "m"));
    assert_eq!(warning.position, Some(worst.position));
    let without = study(&site(|site| site.belay = None));
    let ropes = &without.clearances.as_ref().unwrap().ropes;
    assert!(ropes.iter().all(|found| found.rope != OutgoingRope::Belay) && ropes.len() == 2);
    // Not asked for, nothing is said.
    let plain = operation::solve_asked(&site(|_| {}), &Asked::PLAIN, |_, _| ControlFlow::<()>::Continue(()));
    let plain = plain.unwrap().continue_value().unwrap();
    assert!(plain.clearances.is_none() && said(&plain, "rope").is_none());
}

#[test]
fn the_edge_is_named_and_every_rope_over_it_is_measured_there() {
    let site = site(|_| {});
    let study = study(&site);
    let clearances = study.clearances.as_ref().unwrap();
    // The road ends at 1.5 m, where the bank begins to fall by 59°.
    let edge = clearances.edge.unwrap();
    assert_eq!((edge.x.value, edge.z.value), (1.5, 0.0));
    for rope in &clearances.ropes {
        let over = rope.over_edge.unwrap();
        assert!(over.at_edge && over.ground_point == Some(1) && over.at == edge);
        assert!(over.clearance >= rope.worst.clearance);
    }
}

#[test]
fn a_long_litter_touches_a_slope_with_its_end_before_its_middle_does() {
    let with = |lies: &str| {
        let text = format!(
            "{SITE}\n[changeover]\nlitter_length = \"2 m\"\nlitter_width = \"0.6 m\"\nlitter_lies = \"{lies}\"\n"
        );
        study(&toml::from_str(&text).unwrap())
    };
    let (along, across) = (with("along"), with("across"));
    let ground: Vec<(f64, f64)> = along.ground.iter().map(|p| (p.x.value, p.z.value)).collect();
    for (study, reach) in [(&along, 1.0), (&across, 0.3)] {
        let litter = &study.clearances.as_ref().unwrap().litter;
        let mut seen = 0;
        for (p, said) in study.positions.iter().zip(&litter.least) {
            let ends = core::iter::once((p.litter_height, p.carriage_height));
            let other = p.lowering.as_ref().or(p.at_rest.as_ref());
            let ends = ends.chain(other.map(|way| (way.litter_height, way.carriage_height)));
            let mut least = f64::INFINITY;
            for (_, carriage) in ends.filter(|(litter, _)| litter.value > 0.0) {
                let underside = height(&ground, p.carriage.x.value) + carriage.value - 1.1;
                for i in -500..=500 {
                    let x = p.carriage.x.value + reach * f64::from(i) / 500.0;
                    least = least.min(underside - height(&ground, x));
                }
            }
            match said {
                Some(said) => assert!((said.value - least).abs() < 5e-3, "{} {least}", said.value),
                None => assert!(least.is_infinite()),
            }
            seen += usize::from(said.is_some());
        }
        assert!(seen > 100);
        let worst = litter.worst.unwrap();
        let touches = study.warnings.iter().find(|w| w.kind == WarningKind::LitterTouches);
        assert_eq!(touches.is_some(), worst.clearance.value < 0.0);
        assert_eq!(
            touches.and_then(|w| w.value),
            (worst.clearance.value < 0.0).then_some(worst.clearance.value)
        );
    }
    let worst = |study: &Study| study.clearances.as_ref().unwrap().litter.worst.unwrap().clearance;
    assert!(worst(&along) < worst(&across));
}
