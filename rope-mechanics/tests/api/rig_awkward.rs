//! Rigs at the edge of what can be solved: each was once refused without its cause, taken for sound, or never ended.

use rope_mechanics::quantity::unit::newton;
use rope_mechanics::rig::{Rig, RigError, RigSpec};

fn rig(text: &str) -> Rig {
    serde_json::from_str::<RigSpec>(text).unwrap().build().unwrap()
}

fn refusal(text: &str) -> RigError {
    rig(text).solve().unwrap_err()
}

/// A weight on a rope that a winch at the only fixed point holds with a set tension.
fn on_a_winch(weight: &str) -> String {
    format!(
        r#"{{"points": [{{"name": "winch", "at": ["0 m", "0 m", "20 m"], "fixed": true}},
            {{"name": "load", "weight": "{weight}"}}],
         "ropes": [{{"name": "rope", "from": "winch", "to": "load", "tension": "500 N", "tension_at": "first",
            "stretch": "30 kN", "stiffening": "5 kN", "mass": "90 g/m"}}]}}"#
    )
}

#[test]
fn a_load_on_a_winch_and_nothing_else_goes_up_or_down() {
    match refusal(&on_a_winch("100 N")) {
        RigError::RunsTo { point, meets, rope, .. } => {
            assert_eq!((&*point, &*meets, &*rope), ("load", "winch", "rope"));
        }
        other => panic!("{other}"),
    }
    match refusal(&on_a_winch("600 N")) {
        RigError::RunsOut { rope, point } => assert_eq!((&*rope, &*point), ("rope", "winch")),
        other => panic!("{other}"),
    }
}

#[test]
fn a_start_on_an_anchor_is_a_start() {
    let solution = rig(r#"{"points": [{"name": "a", "at": ["0 m", "0 m", "20 m"], "fixed": true},
            {"name": "b", "at": ["10 m", "0 m", "20 m"], "fixed": true},
            {"name": "p", "weight": "100 N", "at": ["0 m", "0 m", "20 m"]}],
         "ropes": [{"name": "r", "from": "a", "to": "p", "tension": "50 N", "tension_at": "first",
            "stretch": "30 kN", "stiffening": "5 kN", "mass": "90 g/m"},
            {"name": "q", "from": "b", "to": "p", "length": "8 m", "stretch": "30 kN"}]}"#)
    .solve()
    .unwrap();
    assert!(solution.certificate().force_residual.get::<newton>() < 1e-7);
}

/// A slack rope ends in nothing; rounding alone gives it a tension, 1.8e-10 N.
#[test]
fn rounding_holds_nothing() {
    let error = refusal(
        r#"{"points": [{"name": "head", "at": ["0 m", "0 m", "0 m"], "fixed": true},
            {"name": "hand", "at": ["0.6117251025775108 m", "-7.358979944751292 m", "-2.962189735124108 m"],
             "fixed": true},
            {"name": "block", "weight": "20000 N", "at": ["3.5 m", "-9.4 m", "-14.4 m"]},
            {"name": "end", "at": ["3.6 m", "-8.8 m", "-3.5 m"]}],
         "ropes": [{"name": "slack", "from": "block", "over": [{"point": "head"}], "to": "end",
            "length": "77.12949175108719 m", "stretch": "986080.2945028401 N"},
            {"name": "side", "from": "block", "to": "hand", "length": "45.669938331984284 m",
            "stretch": "44860.92667477288 N", "mass": "0.06334205040619675 kg/m"}]}"#,
    );
    match error {
        RigError::Loose { point, .. } => assert_eq!(point, "end"),
        other => panic!("{other}"),
    }
}

#[test]
fn a_point_pulled_harder_than_a_set_tension_runs_away_whatever_hangs_beside_it() {
    let error = refusal(
        r#"{"points": [{"name": "a", "at": ["0 m", "0 m", "20 m"], "fixed": true},
            {"name": "b", "at": ["-29 m", "15 m", "24 m"], "fixed": true},
            {"name": "c", "at": ["20 m", "20 m", "10 m"], "fixed": true},
            {"name": "pulled", "weight": "100 N", "force": ["200 N", "-400 N", "200 N"]},
            {"name": "held", "weight": "80 N"}, {"name": "slung", "weight": "200 N"}],
         "ropes": [{"name": "winch", "from": "a", "to": "pulled", "tension": "6 N", "tension_at": "first",
            "stretch": "40 kN"},
            {"name": "one", "from": "a", "to": "held", "length": "30 m", "stretch": "3000 kN"},
            {"name": "two", "from": "b", "over": [{"point": "held"}], "to": "a", "length": "70 m",
            "stretch": "70 kN"},
            {"name": "loop", "from": "c", "over": [{"point": "slung"}], "to": "c", "length": "100 m",
            "stretch": "3000 kN"}]}"#,
    );
    match error {
        RigError::RunsAway { point } => assert_eq!(point, "pulled"),
        other => panic!("{other}"),
    }
}

/// Loads of milligrams to grams on ropes of up to 1.2 GN: a valley of the energy 1e12 times as steep as long.
#[test]
fn next_to_nothing_on_the_stiffest_ropes_is_found() {
    let solution = rig(r#"{"points": [{"name": "head", "at": ["0 m", "0 m", "0 m"], "fixed": true},
            {"name": "hand", "at": ["-7 m", "9 m", "-4 m"], "fixed": true},
            {"name": "block", "weight": "0.03 N"}, {"name": "end", "weight": "0.00006 N"}],
         "ropes": [{"name": "tackle", "from": "head", "over": [{"point": "block"}], "to": "end", "length": "400 m",
            "stretch": "20000 kN"},
            {"name": "side", "from": "block", "to": "hand", "length": "30 m", "stretch": "400000 kN"}]}"#)
    .solve()
    .unwrap();
    // The end hangs in its own weight, to what the last digits of 400 m of 20 MN decide.
    let rope = solution.rig().ropes().next().unwrap();
    let part = solution.part(rope, 1).unwrap().unwrap();
    let digits = 16.0 * f64::EPSILON * 20e6;
    assert!((part.tension_last.get::<newton>() - 6e-5).abs() <= digits, "{:?}", part.tension_last);
    let error = refusal(
        r#"{"points": [{"name": "head", "at": ["0 m", "0 m", "0 m"], "fixed": true},
            {"name": "block", "weight": "0.064 N"}, {"name": "counter", "weight": "0.0039 N"}],
         "ropes": [{"name": "tackle", "from": "block", "over": [{"point": "head"}, {"point": "block"},
            {"point": "head"}, {"point": "block"}, {"point": "head"}, {"point": "block"}, {"point": "head"},
            {"point": "block"}, {"point": "head"}], "to": "counter", "length": "450 m", "stretch": "1200000 kN"}]}"#,
    );
    match error {
        RigError::RunsTo { point, certain: true, .. } => assert_eq!(point, "counter"),
        other => panic!("{other}"),
    }
}

#[test]
fn a_heavy_rope_may_hang_as_a_bight_between_two_points_at_one_place() {
    let rig = rig(r#"{"points": [{"name": "one", "at": ["3 m", "2 m", "1 m"], "fixed": true},
            {"name": "two", "at": ["3 m", "2 m", "1 m"], "fixed": true}, {"name": "load", "weight": "500 N"}],
         "ropes": [{"name": "light", "from": "one", "over": [{"point": "load"}], "to": "two", "length": "20 m",
            "stretch": "500 kN"},
            {"name": "heavy", "from": "one", "over": [{"point": "two"}, {"point": "load"}], "to": "one",
            "length": "43 m", "stretch": "29 kN", "mass": "79 g/m"}]}"#);
    let solution = rig.solve().unwrap();
    let heavy = rig.ropes().nth(1).unwrap();
    let bight = solution.part(heavy, 0).unwrap().unwrap();
    // 43 m less two legs of 10 m and the bight's own stretch.
    assert!((22.0..24.0).contains(&bight.share.value) && bight.slack, "{bight:?}");
}

/// Light loads on very stiff ropes send the search by way of a rig whose sheaves miss the points beside them by a
/// thousandth of its size, 10 cm here. A block that hangs 6 mm from its anchor is nearer than that.
#[test]
fn a_block_closer_to_its_anchor_than_a_rough_search_can_see_has_not_run_to_it() {
    let rig = rig(r#"{"points": [{"name": "a", "at": ["0 m", "0 m", "0 m"], "fixed": true},
            {"name": "b", "at": ["10 m", "0 m", "1 m"], "fixed": true},
            {"name": "left", "weight": "0.1 N"}, {"name": "right", "weight": "0.1 N"},
            {"name": "near", "at": ["0 m", "5 m", "0 m"], "fixed": true},
            {"name": "far", "at": ["100 m", "5 m", "0 m"], "fixed": true},
            {"name": "block", "weight": "15 N",
             "held": {"line": {"through": ["0.005 m", "5 m", "0 m"], "along": [0, 0, 1]}}}],
         "ropes": [{"name": "1", "from": "a", "to": "left", "length": "5 m", "stretch": "1e9 N"},
            {"name": "2", "from": "left", "to": "right", "length": "4 m", "stretch": "1e9 N"},
            {"name": "3", "from": "right", "to": "b", "length": "3 m", "stretch": "1e9 N"},
            {"name": "track", "from": "near", "over": [{"point": "block"}], "to": "far", "length": "99 m",
             "stretch": "40 kN"}]}"#);
    let solution = rig.solve().unwrap();
    let chord = solution.part(rig.find_rope("track").unwrap(), 0).unwrap().unwrap().chord.value;
    assert!((0.005..0.0055).contains(&chord), "{chord}");
}

/// A loop of heavy rope let out by 140 N over a load that the other ropes leave to swing: its own weight pulls out more
/// and more of it. The strain of the other ropes at some state on the way is not the cause.
#[test]
fn a_heavy_rope_let_out_without_end_is_named_before_what_it_stretches() {
    let error = refusal(
        r#"{"points": [{"name": "brake", "at": ["42.8 m", "-7.1 m", "26.4 m"], "fixed": true},
            {"name": "low", "at": ["54 m", "13 m", "11 m"], "fixed": true},
            {"name": "side", "at": ["55 m", "10 m", "10 m"], "fixed": true},
            {"name": "block", "at": ["49 m", "11 m", "25 m"]}, {"name": "end"},
            {"name": "load", "at": ["-51 m", "-14 m", "-27 m"], "weight": "540 N"}, {"name": "other end"}],
         "ropes": [{"name": "short", "from": "low", "to": "end", "length": "4.9 m", "stretch": "1500 kN"},
            {"name": "long", "from": "low", "to": "other end", "length": "56 m", "stretch": "400 kN"},
            {"name": "loop", "from": "brake", "over": [{"point": "load", "wraps": 1}], "to": "brake",
             "tension": "140 N", "stretch": "110 kN", "weight": "4.2 N/m"},
            {"name": "tie", "from": "side", "to": "load", "length": "39 m", "stretch": "1200 kN", "strands": 2},
            {"name": "slack", "from": "block", "over": [{"point": "brake"}], "to": "load", "length": "120 m",
             "stretch": "220 kN"}]}"#,
    );
    match error {
        RigError::RunsOut { rope, point } => assert_eq!((&*rope, &*point), ("loop", "brake")),
        other => panic!("{other}"),
    }
}

/// 3900 N hang in ropes of 110 N and 430 N. The rig's own steps don't converge; what befell the rough rig is the cause.
#[test]
fn what_set_tensions_cannot_hold_is_named_though_the_rigs_own_steps_did_not_converge() {
    let error = refusal(
        r#"{"points": [{"name": "anchor", "at": ["34 m", "-12 m", "16 m"], "fixed": true}, {"name": "yoke"},
            {"name": "lower", "weight": "1800 N"}, {"name": "hand"}, {"name": "upper", "weight": "2100 N"},
            {"name": "redirect", "at": ["110 m", "29 m", "43 m"]}, {"name": "end"}, {"name": "other end"}],
         "ropes": [{"name": "sling", "from": "yoke", "over": [{"point": "lower"}], "to": "yoke", "length": "8.8 m",
             "stretch": "270 kN", "strands": 2, "weight": "1.5 N/m"},
            {"name": "tie", "from": "anchor", "to": "hand", "length": "13 m", "stretch": "54 kN"},
            {"name": "weak", "from": "yoke", "over": [{"point": "upper"}], "to": "lower", "tension": "110 N",
             "stretch": "37 kN"},
            {"name": "strong", "from": "upper", "over": [{"point": "redirect"}], "to": "hand", "tension": "430 N",
             "stretch": "31 kN"},
            {"name": "tail", "from": "redirect", "to": "end", "length": "66 m", "stretch": "140 kN"},
            {"name": "other tail", "from": "upper", "to": "other end", "length": "36 m", "stretch": "92 kN"}]}"#,
    );
    assert!(matches!(&error, RigError::RunsAway { point } if point == "lower"), "{error}");
}

/// Near an equilibrium that isn't stable the forces say little: the way down goes along the softest mode.
#[test]
fn a_slack_rope_balanced_over_a_sheave_comes_to_hang_to_one_side() {
    let solution = rig(r#"{"points": [{"name": "hand", "at": ["29 m", "2.2 m", "28 m"], "fixed": true},
            {"name": "high", "at": ["22 m", "15 m", "27 m"], "fixed": true},
            {"name": "low", "at": ["34 m", "-3.5 m", "0.093 m"], "fixed": true},
            {"name": "block", "held": {"plane": {"through": ["42 m", "-0.62 m", "12 m"],
             "normal": [-0.6035629119696333, 0.06585043631424503, 0.7945914241495186]}}}],
         "ropes": [{"name": "loop", "from": "high", "over": [{"point": "low"}, {"point": "high"}], "to": "low",
             "length": "130 m", "stretch": "110 kN", "weight": "1.6 N/m"},
            {"name": "pull", "from": "hand", "to": "block", "tension": "490 N", "stretch": "160 kN"}]}"#)
    .solve()
    .unwrap();
    assert!(solution.certificate().least_stiffness.value > 0.0);
}

/// Ropes that stiffen are searched for as plain ones first: without that this refusal takes 25 times as long.
#[test]
fn a_rig_of_stiffening_ropes_is_refused_about_as_soon_as_one_of_plain_ropes() {
    let seconds = |stiffening: &str| {
        let hopeless = rig(&format!(
            r#"{{"points": [{{"name": "a", "at": ["0 m", "0 m", "0 m"], "fixed": true}},
                {{"name": "b", "at": ["20 m", "0 m", "-6 m"], "fixed": true}},
                {{"name": "load", "weight": "2e5 N"}}, {{"name": "low", "weight": "0.5 N"}}],
             "ropes": [{{"name": "rope", "from": "a", "over": [{{"point": "load"}}, {{"point": "low"}}], "to": "b",
                "length": "41 m", "stretch": "3e8 N", "stiffening": "{stiffening}", "weight": "2 N/m"}}]}}"#
        ));
        let once = || {
            let begin = std::time::Instant::now();
            assert!(hopeless.solve().is_err());
            begin.elapsed().as_secs_f64()
        };
        (0..5).map(|_| once()).fold(f64::INFINITY, f64::min)
    };
    let (plain, stiffening) = (seconds("0 N"), seconds("1e9 N"));
    assert!(stiffening < 6.0 * plain, "{stiffening} s and {plain} s");
}

/// A heavy rope in four parts, reached only from where those parts hang with their lengths given.
#[test]
fn a_rope_shared_by_many_parts_is_found_from_where_its_cut_parts_hang() {
    let solution = rig(r#"{"points": [{"name": "a0", "at": ["43 m", "12 m", "14 m"], "fixed": true},
            {"name": "a2", "at": ["8.2 m", "-13 m", "20 m"], "fixed": true},
            {"name": "a3", "at": ["17 m", "0.16 m", "29 m"], "fixed": true},
            {"name": "a4", "at": ["16 m", "-10 m", "2.3 m"], "fixed": true},
            {"name": "m0"}, {"name": "m1", "force": ["470 N", "500 N", "-140 N"]}, {"name": "m2", "weight": "14 N"},
            {"name": "m3"}, {"name": "m4", "weight": "590 N"}, {"name": "m5", "weight": "24 N"},
            {"name": "m6", "weight": "61 N"}],
         "ropes": [{"name": "3", "from": "m0", "over": [{"point": "m3"}], "to": "m0", "length": "42 m",
             "stretch": "470000 N"},
            {"name": "4", "from": "m1", "to": "m4", "length": "11 m", "stretch": "1499999.9999999998 N"},
            {"name": "5", "from": "a3", "over": [{"point": "m5"}, {"point": "a3"}, {"point": "m5"}], "to": "m1",
             "length": "210 m", "stretch": "1999999.9999999998 N", "weight": "2.9 N/m"},
            {"name": "6", "from": "a4", "to": "m6", "length": "84 m", "stretch": "310000 N"},
            {"name": "7", "from": "a2", "to": "m0", "length": "110 m", "stretch": "510000 N"},
            {"name": "8", "from": "a4", "over": [{"point": "a0"}, {"point": "a2"}], "to": "m4", "length": "120 m",
             "stretch": "480000 N"},
            {"name": "9", "from": "m2", "to": "m3", "length": "79 m", "stretch": "140000 N"}]}"#)
    .solve()
    .unwrap();
    assert!(solution.certificate().least_stiffness.value > 0.0 && !solution.certificate().unique);
}

/// Where the friction can't be raised from the frictionless equilibrium, the rig slides from points scattered all over it.
#[test]
fn a_moving_rig_is_found_from_points_scattered_all_over_it() {
    let solution = rig(r#"{"points": [{"name": "a", "at": ["28 m", "-4 m", "20 m"], "fixed": true},
            {"name": "b", "at": ["16.2 m", "-14.1 m", "30 m"], "fixed": true},
            {"name": "c", "at": ["55.7 m", "11.7 m", "28.7 m"], "fixed": true},
            {"name": "d", "at": ["5.1 m", "10 m", "25 m"], "fixed": true}, {"name": "load"}],
         "ropes": [{"name": "tether", "from": "d", "to": "load", "length": "40 m", "stretch": "50 kN"},
            {"name": "loop", "from": "load", "over": [{"point": "c", "wraps": 1,
             "friction": {"raising": 0.0154, "lowering": 0.0589}}], "to": "load", "length": "100 m", "stretch": "20 kN",
             "weight": "0.9 N/m", "motion": "hauling"},
            {"name": "long", "from": "c", "over": [{"point": "a", "efficiency": "90 %"},
             {"point": "b", "efficiency": "90 %", "wraps": 1}, {"point": "c", "efficiency": "80 %"}], "to": "load",
             "length": "200 m", "stretch": "40 kN", "motion": "lowering"}]}"#)
    .solve()
    .unwrap();
    assert!(solution.certificate().least_stiffness.value > 0.0);
}

/// The rig slides from where it hangs with its ropes cut at their bends, too.
#[test]
fn a_moving_rig_is_found_from_where_its_cut_parts_hang() {
    let solution = rig(r#"{"points": [{"name": "low", "at": ["30 m", "8 m", "4 m"], "fixed": true},
            {"name": "high", "at": ["24 m", "-10 m", "20 m"], "fixed": true},
            {"name": "load", "weight": "20 N", "held": {"ground": {"through": ["30 m", "-3 m", "-30 m"],
             "normal": [-0.126, 0.314, 0.941]}}}],
         "ropes": [{"name": "rope", "from": "low", "over": [
             {"point": "load", "friction": {"raising": 0.066, "lowering": 0.05}}, {"point": "high", "efficiency": "70 %"},
             {"point": "load", "friction": {"raising": 0.108, "lowering": 0.114}}], "to": "low", "length": "200 m",
             "stretch": "100 kN", "weight": "0.6 N/m", "motion": "hauling"}]}"#)
    .solve()
    .unwrap();
    assert!(solution.certificate().least_stiffness.value > 0.0);
}
