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
