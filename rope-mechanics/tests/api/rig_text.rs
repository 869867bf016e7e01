//! Rigs, solutions and ids: what can be written, read, copied and mixed up.

use rope_mechanics::geometry::Point3;
use rope_mechanics::motion::Motion;
use rope_mechanics::quantity::unit::{degree, meter, newton, ratio};
use rope_mechanics::quantity::{Force, Length, Ratio};
use rope_mechanics::rig::{FreePoint, Rig, RigError, RopeEnd, RopeRun, RopeSupply};
use rope_mechanics::rope::Stretch;
use rope_mechanics::sheave::Turn;

fn m(x: f64) -> Length {
    Length::new::<meter>(x)
}

fn n(x: f64) -> Force {
    Force::new::<newton>(x)
}

fn at(x: f64, y: f64, z: f64) -> Point3 {
    Point3::new(m(x), m(y), m(z))
}

fn run(from: rope_mechanics::rig::PointId, to: rope_mechanics::rig::PointId, l: f64) -> RopeRun {
    RopeRun::new(Stretch::linear(n(4e4)).unwrap(), RopeSupply::Length(m(l)), from, to)
}

#[test]
fn copies_that_part_do_not_take_each_others_ids() {
    let mut first = Rig::new();
    let top = first.fixed("top", at(0.0, 0.0, 0.0)).unwrap();
    let mut second = first.clone();
    let mine = first.point("load", FreePoint::anywhere().with_weight(n(100.0))).unwrap();
    let other = second.point("other", FreePoint::anywhere().with_weight(n(900.0))).unwrap();
    assert_ne!(mine, other);
    // What was there before is known to both.
    assert_eq!(first.point_name(top).unwrap(), "top");
    assert_eq!(second.point_name(top).unwrap(), "top");
    let foreign = Err(RigError::Foreign { kind: "point" });
    assert_eq!(second.point_name(mine), foreign);
    assert_eq!(first.point_name(other), foreign);
    assert_eq!(second.rope("rope", run(top, mine, 3.0)), Err(RigError::Foreign { kind: "point" }));
    let hers = second.rope("rope", run(top, other, 3.0)).unwrap();
    let his = first.rope("rope", run(top, mine, 3.0)).unwrap();
    assert!(first.rope_name(hers).is_err() && second.rope_name(his).is_err());
    // Before it changes, a copy's ids are its original's; a solution knows those of its rig.
    let copy = first.clone();
    assert!(copy.points().eq(first.points()) && copy.ropes().eq(first.ropes()));
    let solution = first.solve().unwrap();
    assert!(solution.position(mine).is_ok() && solution.parts(his).is_ok());
    assert!(solution.position(other).is_err() && solution.parts(hers).is_err());
    assert!(solution.rig().point_name(mine).is_ok());
    // A copy of a copy, and a third that adds a rope only.
    let mut third = second.clone();
    let late = third.rope("late", run(top, other, 4.0)).unwrap();
    assert!(third.rope_name(hers).is_ok() && third.rope_name(late).is_ok());
    assert!(second.rope_name(late).is_err());
    assert_eq!(third.find_rope("late"), Some(late));
    assert_eq!(third.find_point("other"), Some(other));
    assert_eq!(third.find_point("load"), None);
    let ids: Vec<_> = third.points().collect();
    assert_eq!(ids, [top, other]);
}

#[test]
fn a_slack_rope_turns_as_its_chords_do() {
    let mut rig = Rig::new();
    let (a, b) = (rig.fixed("a", at(0.0, 0.0, 0.0)).unwrap(), rig.fixed("b", at(10.0, 0.0, 0.0)).unwrap());
    let peg = rig.fixed("peg", at(5.0, 0.0, 5.0)).unwrap();
    let rope = rig.rope("idle", run(a, b, 30.0).over(peg, Turn::FRICTIONLESS)).unwrap();
    let solution = rig.solve().unwrap();
    assert!(solution.parts(rope).unwrap().iter().all(|p| p.slack));
    let sheave = solution.sheave(rig.sheaves(rope).unwrap().next().unwrap()).unwrap();
    assert!((sheave.turn.get::<degree>() - 90.0).abs() < 1e-12);
    assert!((sheave.interior.get::<degree>() - 90.0).abs() < 1e-12);
    assert_eq!(sheave.tension_before, n(0.0));
}

#[test]
fn wraps_around_a_bollard_multiply_its_friction() {
    let mu = Ratio::new::<ratio>(0.2);
    let bar = Turn::bar(mu, mu).unwrap();
    for wraps in [0, 1, 3] {
        let mut rig = Rig::new();
        let bollard = rig.fixed("bollard", at(0.0, 0.0, 0.0)).unwrap();
        let hand = rig.fixed("hand", at(-3.0, 0.0, 0.0)).unwrap();
        let load = rig.point("load", FreePoint::anywhere().with_weight(n(2000.0))).unwrap();
        let lowered = run(load, hand, 12.0)
            .over_with_wraps(bollard, bar, wraps)
            .with_motion(Motion::Lowering, RopeEnd::Last);
        let rope = rig.rope("rope", lowered).unwrap();
        let solution = rig.solve().unwrap();
        let sheave = solution.sheave(rig.sheaves(rope).unwrap().next().unwrap()).unwrap();
        let turn = 90.0 + 360.0 * f64::from(wraps);
        assert!((sheave.turn.get::<degree>() - turn).abs() < 1e-9);
        assert!((sheave.interior.get::<degree>() - 90.0).abs() < 1e-9);
        // T = W·e^(−μθ)
        let held = 2000.0 * (-0.2 * turn.to_radians()).exp();
        assert!((sheave.tension_after.value / held - 1.0).abs() < 1e-9, "{sheave:?}");
    }
    let mut rig = Rig::new();
    let (a, b) = (rig.fixed("a", at(0.0, 0.0, 0.0)).unwrap(), rig.fixed("b", at(1.0, 0.0, 0.0)).unwrap());
    let peg = rig.fixed("peg", at(0.5, 0.0, 1.0)).unwrap();
    let refused = rig.rope("rope", run(a, b, 3.0).over_with_wraps(peg, bar, 32)).unwrap_err();
    assert!(refused.to_string().contains("wraps"), "{refused}");
}

#[test]
fn two_weights_that_only_friction_holds_have_no_band() {
    let mu = Ratio::new::<ratio>(0.2);
    let mut rig = Rig::new();
    let bar = rig.fixed("bar", at(0.0, 0.0, 3.0)).unwrap();
    let weight = |w| FreePoint::anywhere().with_weight(n(w));
    let light = rig.point("light", weight(100.0)).unwrap();
    let heavy = rig.point("heavy", weight(110.0)).unwrap();
    rig.rope("rope", run(light, heavy, 10.0).over(bar, Turn::bar(mu, mu).unwrap())).unwrap();
    assert!(matches!(rig.solve_band(), Err(RigError::RunsTo { point, .. }) if point == "light"));
}

#[test]
fn reading_all_of_a_chain_grows_with_its_points() {
    let chain = |parts: usize| {
        let mut rig = Rig::new();
        let mut before = rig.fixed("left", at(0.0, 0.0, 0.0)).unwrap();
        for i in 1..=parts {
            let next = if i == parts {
                rig.fixed("right", at(100.0, 0.0, 5.0)).unwrap()
            } else {
                let load = FreePoint::anywhere().with_weight(n(4000.0 / parts as f64));
                rig.point(&format!("load {i}"), load).unwrap()
            };
            rig.rope(&format!("part {i}"), run(before, next, 105.0 / parts as f64)).unwrap();
            before = next;
        }
        rig.solve().unwrap()
    };
    let read = |solution: &rope_mechanics::rig::Solution| {
        let begin = std::time::Instant::now();
        for id in solution.rig().points() {
            std::hint::black_box((solution.reaction(id).unwrap(), solution.rope_force(id).unwrap()));
        }
        begin.elapsed().as_secs_f64()
    };
    let (short, long) = (chain(100), chain(3200));
    let least = |of| (0..9).map(|_| read(of)).fold(f64::INFINITY, f64::min);
    // 32 times the points: 32 times the work, not 1000 times. Half way between leaves room for a busy machine.
    let growth = least(&long) / least(&short);
    assert!(growth < 180.0, "{growth}");
}

#[cfg(feature = "serde")]
mod json {
    use super::*;
    use rope_mechanics::rig::{RigRecord, RigSpec};

    const TEXT: &str = r#"{
        "points": [
            { "name": "head", "at": ["0 m", "0 m", "3 m"], "fixed": true },
            { "name": "bollard", "at": ["-4 m", "1 m", "0 m"], "fixed": true },
            { "name": "hand", "at": ["-6 m", "0 m", "0.5 m"], "fixed": true },
            { "name": "far", "at": ["60 m", "2 m", "-20 m"], "fixed": true },
            { "name": "load", "weight": "2 kN", "force": ["10 N", "20 N", "0 N"] },
            { "name": "litter", "weight": "500 N",
              "held": { "ground": { "through": ["0 m", "0 m", "-60 m"], "normal": [0.3, 0, 1] } } },
            { "name": "slider", "weight": "300 N",
              "held": { "plane": { "through": ["5 m", "9 m", "0 m"], "normal": [0, 1, 0.2] } } }
        ],
        "ropes": [
            { "name": "track", "from": "head", "over": [{ "point": "load", "efficiency": "96 %" }], "to": "far",
              "length": "66 m", "stretch": "40 kN", "mass": "85 g/m", "strands": 3, "motion": "hauling" },
            { "name": "haul", "from": "load",
              "over": [{ "point": "head", "friction": { "raising": 0.1, "lowering": 0.08 } },
                       { "point": "bollard", "friction": { "raising": 0.05, "lowering": 0.04 }, "wraps": 1 }],
              "to": "hand", "tension": "300 N", "tension_at": "first", "hand": "last", "stretch": "40 kN",
              "motion": "lowering" },
            { "name": "tether", "from": "load", "to": "litter", "length": "12 m", "stretch": "30 kN",
              "stiffening": "90 kN" },
            { "name": "strop", "from": "head", "to": "slider", "length": "11 m", "stretch": "30 kN", "weight": "2 N/m" }
        ]
    }"#;

    #[test]
    fn a_rig_writes_itself_and_reads_itself_again() {
        let spec: RigSpec = serde_json::from_str(TEXT).unwrap();
        let rig = spec.build().unwrap();
        let written = serde_json::to_string(&rig.spec()).unwrap();
        let again: RigSpec = serde_json::from_str(&written).unwrap();
        let second = again.build().unwrap();
        // Percent and unit vectors may lose a last digit on the way; names, kinds and all else not.
        let (a, b) = (rig.solve().unwrap().record(), second.solve().unwrap().record());
        for (a, b) in a.points.iter().zip(&b.points) {
            assert_eq!(a.name, b.name);
            assert!((a.at.z - b.at.z).abs() < m(1e-9), "{a:?} {b:?}");
            assert!((a.reaction[2].0 - b.reaction[2].0).abs() < n(1e-6));
        }
        for (a, b) in again.ropes.iter().zip(&rig.spec().ropes) {
            assert_eq!(
                (&a.name, &a.from, &a.to, a.tension_at, a.hand, a.strands),
                (&b.name, &b.from, &b.to, b.tension_at, b.hand, b.strands)
            );
            assert_eq!(
                (a.length, a.tension, a.stretch, a.weight),
                (b.length, b.tension, b.stretch, b.weight)
            );
        }
        assert_eq!(again.ropes[1].over[1].wraps, 1);
        assert_eq!(again.points[4].weight, Some(n(2000.0)));
        // The tension is set at the load, the brake is at the other end.
        assert!((a.ropes[1].parts[0].tension_first.value - 300.0).abs() < 1e-9);
        assert!(a.ropes[1].parts[2].tension_last.value < 250.0);
    }

    #[test]
    fn a_record_says_everything_and_can_be_read_back() {
        let rig = serde_json::from_str::<RigSpec>(TEXT).unwrap().build().unwrap();
        let solution = rig.solve().unwrap();
        let record = solution.record();
        let text = serde_json::to_string(&record).unwrap();
        let again: RigRecord = serde_json::from_str(&text).unwrap();
        assert_eq!(again.points, record.points);
        let haul = &again.ropes[1];
        assert_eq!(haul.sheaves.iter().map(|s| s.point.as_str()).collect::<Vec<_>>(), ["head", "bollard"]);
        let id = rig.sheaves(rig.find_rope("haul").unwrap()).unwrap().nth(1).unwrap();
        let sheave = solution.sheave(id).unwrap();
        assert!((haul.sheaves[1].turn - sheave.turn).abs().value < 1e-12 && sheave.turn.value > 6.0);
        assert_eq!(haul.sheaves[1].force[0].0, sheave.force.x);
        let sag = solution.sags(rig.find_rope("track").unwrap()).unwrap()[0];
        assert_eq!(again.ropes[0].parts[0].sag, sag);
        assert!(sag > m(0.0) && again.ropes[0].parts[0].chord > m(20.0));
        assert_eq!(
            again.points[5].on_ground,
            Some(solution.on_ground(rig.find_point("litter").unwrap()).unwrap())
        );
    }

    #[test]
    fn what_a_fixed_point_or_a_turn_cannot_have_is_refused() {
        let fixed = r#""at": ["0 m", "0 m", "3 m"], "fixed": true"#;
        for (with, without, name) in [
            (format!("{fixed}, \"weight\": \"2 kN\""), fixed, "head"),
            (format!("{fixed}, \"force\": [\"2 kN\", \"0 N\", \"0 N\"]"), fixed, "head"),
            (
                format!(
                    "{fixed}, \"held\": {{ \"ground\": {{ \"through\": [\"0 m\", \"0 m\", \"0 m\"], \"normal\": [0, 0, 1] }} }}"
                ),
                fixed,
                "head",
            ),
            (
                "\"efficiency\": \"96 %\", \"friction\": { \"raising\": 0.1, \"lowering\": 0.1 }".into(),
                "\"efficiency\": \"96 %\"",
                "track",
            ),
            ("\"mass\": \"85 g/m\", \"weight\": \"1 N/m\"".into(), "\"mass\": \"85 g/m\"", "track"),
            ("\"length\": \"66 m\", \"tension_at\": \"first\"".into(), "\"length\": \"66 m\"", "track"),
        ] {
            let text = TEXT.replacen(without, &with, 1);
            let refused = serde_json::from_str::<RigSpec>(&text).unwrap().build().unwrap_err();
            assert!(matches!(&refused, RigError::Spec { name: named, .. } if named == name), "{refused}");
        }
    }

    #[test]
    fn a_number_that_cannot_be_used_is_named_by_its_path() {
        for (without, with, path) in [
            (r#""66 m""#, r#""-66 m""#, "ropes[0].length is -66 m"),
            (r#""300 N", "tension_at""#, r#""-3 N", "tension_at""#, "ropes[1].tension is -3 N"),
            (r#""85 g/m""#, r#""-85 g/m""#, "ropes[0].mass is -0.085"),
            (r#""2 N/m""#, r#""-2 N/m""#, "ropes[3].weight is -2 N/m"),
            (r#""stretch": "30 kN""#, r#""stretch": "0 kN""#, "ropes[2].stretch is 0 N"),
            (r#""90 kN""#, r#""-90 kN""#, "ropes[2].stiffening is -90000 N"),
            (r#""strands": 3"#, r#""strands": 3000"#, "ropes[0].strands is 3000"),
            (r#""96 %""#, r#""196 %""#, "ropes[0].over[0].efficiency is 1.96"),
            (r#""lowering": 0.04"#, r#""lowering": -3"#, "ropes[1].over[1].friction.lowering is -3"),
            (r#""wraps": 1"#, r#""wraps": 99"#, "ropes[1].over[1].wraps is 99"),
            (r#"["60 m", "2 m""#, r#"["60 m", "2e99 m""#, "points[3].at[1] is 2e99 m"),
            (r#"["10 N", "20 N", "0 N"]"#, r#"["10 N", "20 N", "1e99 N"]"#, "points[4].force[2] is 1e99 N"),
            (r#""500 N""#, r#""1e99 N""#, "points[5].weight is 1e99 N"),
            (r#""weight": "500 N""#, r#""at": ["0 m", "1e99 m", "0 m"]"#, "points[5].at[1] is 1e99 m"),
            (r#""-60 m""#, r#""-1e99 m""#, "points[5].held.ground.through[2] is -1e99 m"),
            ("[0.3, 0, 1]", "[0, 0, 0]", "points[5].held.ground.normal is 0"),
            (r#""9 m""#, r#""9e99 m""#, "points[6].held.plane.through[1] is 9e99 m"),
            ("[0, 1, 0.2]", "[0, 1e300, 0.2]", "points[6].held.plane.normal[1] is 1e300"),
        ] {
            let text = TEXT.replacen(without, with, 1);
            assert_ne!(text, TEXT, "{without}");
            let refused = serde_json::from_str::<RigSpec>(&text).unwrap().build().unwrap_err();
            let said = refused.to_string();
            let RigError::At { path: named, .. } = refused else { panic!("{path}: {said}") };
            assert!(said.starts_with(&named) && said.contains(path), "{path}: {said}");
        }
    }
}
