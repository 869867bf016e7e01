//! What each enumerator stands for, by what a call with it does: no two of a kind can be swapped without a failure.
//!
//! Their numbers are frozen in `numbers.txt`. A kind is tried here through the shipped library: an input by a result that
//! only it gives, an output by inputs that can only mean it. Expected values are computed here by hand or by the core.

use super::{Case, Header, cases};
use crate::winch::plain;
use rope_checks::top;
use rope_mechanics::anchor::{Beam, Deadman, DeadmanSoil, Picket, PicketSoil, Pickets, Surface};
use rope_mechanics::quantity::unit::{meter, ratio};
use rope_mechanics::quantity::{Length, Ratio};
use rope_mechanics::sheave::Measured;
use std::collections::BTreeSet;

/// The first case of a function.
fn case(function: &str) -> Case {
    cases().iter().find(|case| case.function == function).unwrap().clone()
}

fn with(case: Case, changes: &[(&str, &str)]) -> Case {
    changes.iter().fold(case, |case, (path, value)| case.with(path, value))
}

/// What the call finds at `output`.
#[track_caller]
fn found(case: &Case, output: &str) -> f64 {
    let mut outcome = case.run();
    assert_eq!(outcome.status, 0, "{}: {}", case.function, outcome.message);
    outcome.get(output)
}

/// Each enumerator at `path` gives its own value at `output`.
#[track_caller]
fn gives(case: &Case, path: &str, output: &str, expected: &[(&str, f64)]) {
    let values: BTreeSet<u64> = expected.iter().map(|(_, value)| value.to_bits()).collect();
    assert_eq!(values.len(), expected.len(), "{path}: two of a kind give the same");
    for (name, value) in expected {
        let c = found(&case.with(path, name), output);
        let off = (c - value).abs();
        // The same operations in another order: a few roundings.
        assert!(off <= 1e-12 * value.abs(), "{}: {name} gives {c}, not {value}", case.function);
    }
}

/// Inputs that can only mean one enumerator give it at `output`.
#[track_caller]
fn means(case: &Case, output: &str, expected: &[(&str, &[(&str, &str)])]) {
    for (name, changes) in expected {
        let c = found(&with(case.clone(), changes), output);
        assert!(c == Header::get().number(name), "{}: {output} is {c}, not {name}", case.function);
    }
}

#[test]
fn the_numbers_of_all_constants_are_frozen() {
    let text = std::fs::read_to_string(top().join("tests/clients/abi/numbers.txt")).unwrap();
    let frozen: Vec<(String, i64)> = text
        .lines()
        .filter(|line| !line.starts_with('#'))
        .map(|line| line.split_once(' ').unwrap())
        .map(|(name, value)| (name.to_owned(), value.parse().unwrap()))
        .collect();
    for (name, value) in &frozen {
        assert_eq!(Header::get().constants.get(name), Some(value), "{name}");
    }
    for name in Header::get().constants.keys() {
        assert!(
            frozen.iter().any(|(known, _)| known == name),
            "{name} is new: freeze its number in numbers.txt"
        );
    }
}

#[test]
fn surfaces_soils_pickets_and_beams() {
    let of = |surface: Surface| surface.friction().value;
    gives(
        &case("rmech_surface_friction"),
        "surface",
        "friction",
        &[
            ("RMECH_SURFACE_ASPHALT_DRY", of(Surface::AsphaltDry)),
            ("RMECH_SURFACE_ASPHALT_WET", of(Surface::AsphaltWet)),
            ("RMECH_SURFACE_GRAVEL_WET", of(Surface::GravelWet)),
            ("RMECH_SURFACE_SNOW", of(Surface::Snow)),
            ("RMECH_SURFACE_EARTH_WET", of(Surface::EarthWet)),
            ("RMECH_SURFACE_ICE", of(Surface::Ice)),
        ],
    );
    let m = Length::new::<meter>;
    let picket = Picket::new(m(0.08), m(1.6), m(1.0)).unwrap();
    let holds = |pickets, soil| picket.hold(pickets, soil).value;
    gives(
        &case("rmech_pickets_hold"),
        "arrangement",
        "pull",
        &[
            ("RMECH_PICKETS_1", holds(Pickets::One, PicketSoil::UndisturbedLoam)),
            ("RMECH_PICKETS_1_1", holds(Pickets::OneOne, PicketSoil::UndisturbedLoam)),
            ("RMECH_PICKETS_1_1_1", holds(Pickets::OneOneOne, PicketSoil::UndisturbedLoam)),
            ("RMECH_PICKETS_2_1", holds(Pickets::TwoOne, PicketSoil::UndisturbedLoam)),
            ("RMECH_PICKETS_3_2_1", holds(Pickets::ThreeTwoOne, PicketSoil::UndisturbedLoam)),
        ],
    );
    gives(
        &case("rmech_pickets_hold"),
        "soil",
        "pull",
        &[
            ("RMECH_PICKET_SOIL_LOAM", holds(Pickets::OneOne, PicketSoil::UndisturbedLoam)),
            ("RMECH_PICKET_SOIL_WET_CLAY_GRAVEL", holds(Pickets::OneOne, PicketSoil::WetClayAndGravel)),
            ("RMECH_PICKET_SOIL_WET_RIVER", holds(Pickets::OneOne, PicketSoil::WetRiverClayAndSand)),
        ],
    );
    let timber = Beam::Timber { face: m(0.3), thickness: m(0.25) };
    let log = Beam::Log { diameter: m(0.3) };
    let buried = |beam, soil| Deadman::new(m(1.6), Ratio::new::<ratio>(0.4), beam, soil).unwrap();
    gives(
        &case("rmech_deadman_pressure"),
        "deadman.soil",
        "pressure",
        &[
            ("RMECH_DEADMAN_SOIL_HARD", buried(timber, DeadmanSoil::HardpanOrRock).pressure().value),
            ("RMECH_DEADMAN_SOIL_LOAM", buried(timber, DeadmanSoil::Loam).pressure().value),
            ("RMECH_DEADMAN_SOIL_FINE_WET", buried(timber, DeadmanSoil::FineWetOrSandy).pressure().value),
        ],
    );
    // The same face: the bearing area is the same, but a log may be less long for its section.
    let beam = case("rmech_deadman_holds").with("length", "1.6");
    assert!(buried(log, DeadmanSoil::Loam).hold(m(1.6)).is_err());
    assert_eq!(beam.with("deadman.beam", "RMECH_BEAM_LOG").run().status, 100);
    assert_eq!(beam.with("deadman.beam", "RMECH_BEAM_TIMBER").run().status, 0);
}

#[test]
fn ends_branches_and_supports() {
    let line = case("rmech_line_solve");
    let span = case("rmech_line_length_for_tension");
    for (end, tension) in
        [("RMECH_LINE_FIRST", "state.first_tension"), ("RMECH_LINE_LAST", "state.last_tension")]
    {
        let length = found(&span.with("line_end", end), "length");
        let back = found(&line.with("line.length", &length.to_string()), tension);
        assert!((back - 3300.0).abs() < 1e-6, "{end}: {back}");
        let hung = case("rmech_catenary_by_end_tension").with("line_end", end);
        assert!((found(&hung, tension) - 900.0).abs() < 1e-9, "{end}");
    }
    let hung = case("rmech_catenary_by_end_tension");
    let sag = |which| found(&hung.with("which", which), "state.sag");
    assert!(sag("RMECH_BRANCH_TAUT") < sag("RMECH_BRANCH_SLACK"));
    // Over a hump the load passes the same height twice: at x = 10 and x = 24.
    let height = |x: &str| {
        let held = with(case("rmech_carriage_held_at_x"), &[("x", x), ("carriage.haul_weight", "0")]);
        found(&held, "state.position.z")
    };
    let ground = [
        ("0", height("10") - 9.0),
        ("10", height("10") - 1.6),
        ("17", height("17") - 0.5),
        ("24", height("24") - 1.6),
        ("52", -60.0),
    ];
    let mut over =
        case("rmech_carriage_held_at_height_above").with("count", "5").with("carriage.haul_weight", "0");
    for (i, (x, z)) in ground.iter().enumerate() {
        over = over.with(&format!("ground[{i}].x"), x).with(&format!("ground[{i}].z"), &z.to_string());
    }
    let x = |nearest| found(&over.with("nearest", nearest), "state.position.x");
    assert!((x("RMECH_SUPPORT_HEAD") - 10.0).abs() < 1e-6, "{}", x("RMECH_SUPPORT_HEAD"));
    assert!((x("RMECH_SUPPORT_FAR") - 24.0).abs() < 1e-6, "{}", x("RMECH_SUPPORT_FAR"));
}

#[test]
fn turns_motions_and_measured_pulleys() {
    let sheave = case("rmech_turn_band");
    let bar = cases().iter().filter(|case| case.function == "rmech_turn_band").nth(1).unwrap();
    assert!(found(&sheave.with("turn.kind", "RMECH_TURN_FRICTIONLESS"), "band.hauling") == 1.0);
    // e^(μθ)
    assert!((found(bar, "band.hauling") - (0.3_f64 * 1.5).exp()).abs() < 1e-14);
    let over = found(&sheave, "band.hauling");
    assert!(over > 1.0 && over < 1.0 / 0.91, "{over}");

    // 2100 N of the load: hauling it takes more, lowering holds less, at rest either.
    let redirect = case("rmech_redirect_resultant");
    let pull = |motion, side: &str| found(&redirect.with("motion_of_rope", motion), &format!("pull.{side}"));
    assert!(pull("RMECH_MOTION_HAULING", "low") > 2100.0);
    assert!(pull("RMECH_MOTION_LOWERING", "high") < 2100.0);
    assert!(pull("RMECH_MOTION_AT_REST", "low") < 2100.0 && pull("RMECH_MOTION_AT_REST", "high") > 2100.0);
    for motion in ["RMECH_MOTION_HAULING", "RMECH_MOTION_LOWERING"] {
        let winch = case("rmech_winch_turning").with("motion", motion);
        assert!(found(&winch, "state.motion") == Header::get().number(motion));
    }
    // Samples tell the motion of their step: hauling, at rest, lowering.
    let mut haul = case("rmech_winch_haul").with("limits.flags", "RMECH_HAUL_STEP_ENDS").run();
    assert_eq!(haul.status, 0);
    for (step, motion) in
        ["RMECH_MOTION_HAULING", "RMECH_MOTION_AT_REST", "RMECH_MOTION_LOWERING"].iter().enumerate()
    {
        assert!(haul.get(&format!("samples[{step}].motion")) == Header::get().number(motion));
        assert!(haul.get(&format!("samples[{step}].step")) == step as f64);
    }
    assert!(haul.get("outcome.hauled") > 1.99 && haul.get("outcome.lowered") > 0.1);

    let measured = [
        ("RMECH_MEASURED_RESCUE_PULLEY", Measured::RescuePulley),
        ("RMECH_MEASURED_BUSHED_PULLEY", Measured::BushedPulley),
        ("RMECH_MEASURED_CAPTURE_PULLEY", Measured::CapturePulley),
        ("RMECH_MEASURED_CONNECTOR", Measured::Connector),
        ("RMECH_MEASURED_TWO_CONNECTORS", Measured::TwoConnectors),
        ("RMECH_MEASURED_DESCENDER", Measured::Descender),
    ];
    let of = |what: Measured| what.turns().map(|turn| turn.efficiency().unwrap().value);
    let worst = measured.map(|(name, what)| (name, of(what)[0]));
    gives(&case("rmech_turn_measured"), "what", "worst.efficiency", &worst);
    for (name, what) in measured {
        let best = found(&case("rmech_turn_measured").with("what", name), "best.efficiency");
        assert!(best == of(what)[1] && best >= of(what)[0]);
    }
}

#[test]
fn grips_hands_slopes_devices_and_weakenings() {
    means(
        &case("rmech_capstan_grip"),
        "grip",
        &[
            ("RMECH_GRIP_HOLDS", &[("tail", "2000")]),
            ("RMECH_GRIP_UNCERTAIN", &[("tail", "150")]),
            ("RMECH_GRIP_SLIPS", &[("tail", "0.001")]),
        ],
    );
    means(
        &case("rmech_hand_hold"),
        "hand",
        &[
            ("RMECH_HAND_EVERYBODY", &[("tail", "40")]),
            ("RMECH_HAND_AVERAGE", &[("tail", "200")]),
            ("RMECH_HAND_STRONGEST", &[("tail", "400")]),
            ("RMECH_HAND_NOBODY", &[("tail", "450")]),
        ],
    );
    means(
        &case("rmech_slope_class"),
        "class_",
        &[
            ("RMECH_SLOPE_FLAT", &[("slope", "0.2")]),
            ("RMECH_SLOPE_LOW", &[("slope", "0.3")]),
            ("RMECH_SLOPE_STEEP", &[("slope", "0.6")]),
            ("RMECH_SLOPE_HIGH", &[("slope", "1.1")]),
        ],
    );
    means(
        &case("rmech_fall_arrest"),
        "arrest.device",
        &[
            ("RMECH_DEVICE_IDLE", &[("fall.slip_force", "90e3")]),
            ("RMECH_DEVICE_SLIPPED", &[("fall.slip_force", "5e3"), ("fall.slip_travel", "9")]),
            ("RMECH_DEVICE_BOTTOMED", &[("fall.slip_force", "2e3"), ("fall.slip_travel", "0.01")]),
        ],
    );
    means(
        &case("rmech_usual_reduction"),
        "reduction.mark",
        &[
            ("RMECH_MARK_MEMORY", &[("weakening", "RMECH_WEAKENING_KNOT")]),
            ("RMECH_MARK_READ", &[("weakening", "RMECH_WEAKENING_WET")]),
        ],
    );
    means(&case("rmech_bend_reduction"), "reduction.weakening", &[("RMECH_WEAKENING_BEND", &[])]);
    for weakening in ["RMECH_WEAKENING_KNOT", "RMECH_WEAKENING_WET"] {
        let usual = case("rmech_usual_reduction").with("weakening", weakening);
        assert!(found(&usual, "reduction.weakening") == Header::get().number(weakening));
    }
    // Of two that weaken one place the worse counts; of water and wear both.
    let pair = |one, other| {
        let changes = [("reductions[0].weakening", one), ("reductions[1].weakening", other)];
        found(&with(case("rmech_strength_reduced"), &changes), "strength") / 27e3
    };
    let all = ["RMECH_WEAKENING_KNOT", "RMECH_WEAKENING_BEND", "RMECH_WEAKENING_WET", "RMECH_WEAKENING_WORN"];
    for (i, one) in all.into_iter().enumerate() {
        for (j, other) in all.into_iter().enumerate() {
            let expected = if i < 2 && j < 2 { 0.7 } else { 0.7 * 0.85 };
            assert!((pair(one, other) - expected).abs() < 1e-12, "{one} {other}");
        }
    }
}

#[test]
fn what_pulls_and_holds_a_frame() {
    let head = case("rmech_head_resultant").with("pull_count", "1");
    let along =
        with(head.clone(), &[("pulls[0].direction.y", "1"), ("pulls[0].kind", "RMECH_AT_HEAD_ALONG")]);
    assert!((found(&along, "force.y") - 2100.0).abs() < 1e-9 && found(&along, "force.x").abs() < 1e-9);
    assert!(found(&head.with("pulls[0].kind", "RMECH_AT_HEAD_TOWARDS"), "force.x") > 1500.0);
    let frame = case("rmech_frame_solve");
    let tripod = [
        ("frame.guy_count", "0"),
        ("frame.hobble_count", "0"),
        ("pull_count", "1"),
        ("pulls[0].point.x", "0.5"),
    ];
    let bare: Vec<_> = tripod.iter().copied().chain([("frame.legs[2].staked", "0")]).collect();
    means(
        &frame,
        "forces.sharing",
        &[
            ("RMECH_SHARING_STATICS", &bare),
            ("RMECH_SHARING_STIFFNESS", &[]),
            ("RMECH_SHARING_ASSUMED", &[("frame.guys[0].axial_stiffness", "0")]),
        ],
    );
    // Straight down nothing leans; the nearest edge is between two feet, or between a foot and a guy's anchor.
    let stands = case("rmech_frame_stability");
    let known = |bits: &str| Header::get().number(bits);
    assert!(
        found(&stands, "stability.known")
            == known("RMECH_STABILITY_LEVER+RMECH_STABILITY_LATERAL+RMECH_STABILITY_TIP_LIMIT")
    );
    let plumb = with(stands.clone(), &[("resultant.x", "0"), ("resultant.y", "0")]);
    assert!(found(&plumb, "stability.lateral") == 0.0);
    let up = with(stands.clone(), &[("resultant.z", "3000")]);
    let bits = found(&up, "stability.known") as i64;
    assert!(
        bits & known("RMECH_STABILITY_TIP_LIMIT") as i64 == 0
            || bits & known("RMECH_STABILITY_LATERAL") as i64 == 0,
        "{bits}"
    );
    let edge = |case: &Case| (found(case, "stability.edge_from"), found(case, "stability.edge_to"));
    let bare = with(stands.clone(), &[("frame.guy_count", "0"), ("frame.hobble_count", "0")]);
    let pole = with(bare.clone(), &[("frame.leg_count", "1")]);
    assert_eq!(edge(&pole), (known("RMECH_FRAME_PART_NONE"), known("RMECH_FRAME_PART_NONE")));
    let leg = known("RMECH_FRAME_PART_LEG");
    assert_eq!(edge(&bare), (leg, leg));
    let towards_guys =
        with(stands, &[("resultant.x", "-2500"), ("resultant.y", "1500"), ("resultant.z", "-900")]);
    let (from, to) = edge(&towards_guys);
    let guy = known("RMECH_FRAME_PART_GUY");
    assert!(from == guy || to == guy, "{from} {to}");
}

#[test]
fn spots_and_ends_of_a_rope() {
    let rope = case("rmech_reeving_tensions");
    // A rise of −12 N from the pulling to the standing side of part 2.
    for (side, at, other) in [
        ("RMECH_SIDE_PULLING", "pulling_side", "standing_side"),
        ("RMECH_SIDE_STANDING", "standing_side", "pulling_side"),
    ] {
        let known = rope.with("known.side", side);
        assert!((found(&known, &format!("parts[2].{at}.high")) - 2100.0).abs() < 1e-9);
        assert!((found(&known, &format!("parts[2].{other}.high")) - 2100.0).abs() > 11.0);
        // The highest tension of a rope let down is at its standing end, or before the rise there.
        let known = with(known, &[("known.part", "2"), ("motion_of_rope", "RMECH_MOTION_LOWERING")]);
        assert!(found(&known, "summary.highest.part") == 2.0);
        assert!(found(&known, "summary.highest.side") == Header::get().number("RMECH_SIDE_PULLING"));
    }
    let falling =
        with(rope.clone(), &[("reeving.strands[0].rise", "12"), ("motion_of_rope", "RMECH_MOTION_LOWERING")]);
    assert!(found(&falling, "summary.highest.side") == Header::get().number("RMECH_SIDE_STANDING"));
    // Wraps alone say nothing of directions, but a strand with its own does: at one end.
    let blind = with(
        rope,
        &[
            ("reeving.flags", "0"),
            ("reeving.bends[0].given", "RMECH_BEND_WRAP"),
            ("reeving.bends[0].wrap", "1.2"),
            ("reeving.bends[1].given", "RMECH_BEND_WRAP"),
            ("reeving.strands[0].given", "RMECH_STRAND_DIRECTIONS"),
        ],
    );
    means(
        &blind,
        "summary.ends_known",
        &[
            ("RMECH_END_PULLING", &[("reeving.strands[0].part", "0")]),
            ("RMECH_END_STANDING", &[("reeving.strands[0].part", "2")]),
        ],
    );

    // Without contact the frame feels nothing.
    let track = case("rmech_doubled_track_tensions");
    let apart = track.with("track.flags", "RMECH_TRACK_FRAME_WITHOUT_CONTACT");
    assert!(
        found(&track, "tensions.head_crossings[0]") > 100.0
            && found(&apart, "tensions.head_crossings[0]") == 0.0
    );
    let sum = |known: &str, spots: &[&str]| -> f64 {
        let track = track.with("known", known);
        spots.iter().map(|spot| found(&track, &format!("tensions.{spot}.high"))).sum()
    };
    for (known, spots) in [
        ("RMECH_TRACK_KNOWN_CELL", &["cell"] as &[_]),
        ("RMECH_TRACK_KNOWN_CAPSTAN", &["capstan"]),
        ("RMECH_TRACK_KNOWN_STRANDS_AT_HEAD", &["strand_out.pulling_side", "strand_back.standing_side"]),
        (
            "RMECH_TRACK_KNOWN_STRANDS_AT_FAR_SHEAVE",
            &["strand_out.standing_side", "strand_back.pulling_side"],
        ),
    ] {
        assert!((sum(known, spots) - 2100.0).abs() < 1e-8, "{known}: {}", sum(known, spots));
    }
}

#[test]
fn tackles_and_their_parts() {
    let usual = with(
        case("rmech_tackle_advantage"),
        &[("tackle.efficiencies[0]", "0"), ("tackle.efficiencies[1]", "0")],
    );
    let ideal = [
        ("RMECH_TACKLE_1_TO_1", 1.0),
        ("RMECH_TACKLE_2_TO_1", 2.0),
        ("RMECH_TACKLE_3_TO_1", 3.0),
        ("RMECH_TACKLE_4_TO_1", 4.0),
        ("RMECH_TACKLE_5_TO_1", 5.0),
        ("RMECH_TACKLE_6_TO_1", 6.0),
        ("RMECH_TACKLE_9_TO_1", 9.0),
    ];
    gives(&usual, "tackle.ready", "advantage.ideal", &ideal);
    // One rope of five parts: 1 + η + η² + η³ + η⁴; the complex one is 5:1 as well, but not of one rope.
    let simple = usual.with("tackle.ready", "RMECH_TACKLE_5_TO_1");
    let sum: f64 = (0..5).map(|power| 0.9_f64.powi(power)).sum();
    assert!((found(&simple, "advantage.hauling") - sum).abs() < 1e-12);
    let complex = usual.with("tackle.ready", "RMECH_TACKLE_5_TO_1_COMPLEX");
    assert!((found(&complex, "advantage.ideal") - 5.0).abs() < 1e-12);
    assert!((found(&complex, "advantage.hauling") - sum).abs() > 0.01);

    // A lead is one sheave more; a piggyback grips the load's rope.
    let solved = case("rmech_tackle_solve");
    let sheaves = |flags| found(&solved.with("tackle.flags", flags), "forces.sheaves");
    assert!(sheaves("RMECH_TACKLE_LEAD") == sheaves("0") + 1.0);
    assert!(sheaves("RMECH_TACKLE_PIGGYBACK") == sheaves("0"));
    let parts = |flags| found(&solved.with("tackle.flags", flags), "forces.parts");
    assert!(parts("RMECH_TACKLE_PIGGYBACK") > parts("0"));

    // Hauling takes more than without losses, lowering less, and a capture holds all.
    let captured = solved.clone();
    let hand = |state| found(&captured.with("state", state), "forces.hand");
    assert!((hand("RMECH_TACKLE_LOSSLESS") - 700.0).abs() < 1e-9);
    assert!(hand("RMECH_MOTION_HAULING") > 700.0 && hand("RMECH_MOTION_LOWERING") < 700.0);
    assert!(hand("RMECH_TACKLE_HELD") == 0.0);

    // With half the load at hand a 3:1 is enough with 2 sheaves; less rope is another matter.
    let search = case("rmech_tackle_search");
    let lead = Header::get().number("RMECH_TACKLE_LEAD") as i64;
    let flags = |choice| found(&search.with("lead", choice), "found.flags") as i64 & lead;
    assert!(
        flags("RMECH_LEAD_WITH") == lead
            && flags("RMECH_LEAD_WITHOUT") == 0
            && flags("RMECH_LEAD_EITHER") == 0
    );
    let mut found_some = BTreeSet::new();
    for available in [2500, 1300, 900, 700, 560, 480, 400, 340, 300] {
        let search = search.with("available", &available.to_string());
        let best = |wanted| {
            let mut outcome = search.with("wanted", wanted).run();
            assert_eq!(outcome.status, 0, "{}", outcome.message);
            ["found.ready", "found.flags", "found.hand", "found.rope"].map(|path| outcome.get(path))
        };
        let (fewest, least) = (best("RMECH_WANTED_FEWEST_SHEAVES"), best("RMECH_WANTED_LEAST_ROPE"));
        assert!(least[3] <= fewest[3]);
        found_some.insert((fewest[0] as i64, least[0] as i64));
        // What was found does what it says.
        for of in [fewest, least] {
            let again = with(
                solved.clone(),
                &[
                    ("tackle.ready", &(of[0] as i64).to_string()),
                    ("tackle.flags", &(of[1] as i64).to_string()),
                ],
            );
            assert!((found(&again, "forces.hand") - of[2]).abs() < 1e-9 * of[2]);
            assert!(of[2] <= f64::from(available));
        }
    }
    assert!(found_some.len() >= 5, "{found_some:?}");
    assert!(found_some.iter().any(|(fewest, least)| fewest != least), "{found_some:?}");
}

#[test]
fn carriers_and_stops_of_a_tackle_of_ones_own() {
    // A 2:1 that pulls a grab on the load's rope, which a capture at the anchor holds: 4:1 with a tail.
    let own = with(
        Case { function: "rmech_tackle_solve".into(), ..case("rmech_tackle_setback") },
        &[
            ("tackle.ready", "RMECH_TACKLE_OWN"),
            ("tackle.carrier_count", "3"),
            ("tackle.carriers[0].kind", "RMECH_CARRIER_ANCHOR"),
            ("tackle.carriers[1].kind", "RMECH_CARRIER_LOAD"),
            ("tackle.carriers[1].at.x", "30"),
            ("tackle.carriers[2].kind", "RMECH_CARRIER_FREE"),
            ("tackle.carriers[2].at.x", "12"),
            // From the load through the capture at the anchor, its end a tail; the grab rides on it.
            ("tackle.stops[0].kind", "RMECH_TACKLE_STOP_END"),
            ("tackle.stops[0].carrier", "1"),
            ("tackle.stops[1].kind", "RMECH_TACKLE_STOP_GRAB"),
            ("tackle.stops[1].carrier", "2"),
            ("tackle.stops[2].kind", "RMECH_TACKLE_STOP_CAPTURE"),
            ("tackle.stops[2].carrier", "0"),
            ("tackle.stops[2].efficiency", "0.9"),
            ("tackle.stops[3].kind", "RMECH_TACKLE_STOP_TAIL"),
            ("tackle.stops[3].carrier", "2"),
            // The 2:1: from the anchor around the grab's sheave to the hand.
            ("tackle.stops[4].rope", "1"),
            ("tackle.stops[4].kind", "RMECH_TACKLE_STOP_END"),
            ("tackle.stops[4].carrier", "0"),
            ("tackle.stops[5].rope", "1"),
            ("tackle.stops[5].kind", "RMECH_TACKLE_STOP_SHEAVE"),
            ("tackle.stops[5].carrier", "2"),
            ("tackle.stops[5].efficiency", "0.8"),
            ("tackle.stops[6].rope", "1"),
            ("tackle.stops[6].kind", "RMECH_TACKLE_STOP_HAND"),
            ("tackle.stops[6].carrier", "0"),
            ("tackle.stop_count", "7"),
            ("load", "2100"),
            ("state", "RMECH_MOTION_HAULING"),
            ("capacity", "20"),
        ],
    );
    // Over the sheave of the grab: T(1 + η) = load.
    assert!((found(&own, "forces.hand") - 2100.0 / 1.8).abs() < 1e-9);
    assert!(found(&own, "forces.carriers") == 3.0);
    // The capture holds the load with the hand off.
    assert!(found(&own.with("state", "RMECH_TACKLE_HELD"), "forces.hand") == 0.0);
    assert!((found(&own.with("state", "RMECH_TACKLE_HELD"), "forces.highest") - 2100.0).abs() < 1e-9);
    // It is the rope at the anchor that is held: the 2:1 behind it is slack.
    let mut held = own.with("state", "RMECH_TACKLE_HELD").run();
    let held = [0, 1, 2, 3, 4].map(|part| held.get(&format!("tensions[{part}]")));
    assert!((held[1] - 2100.0).abs() < 1e-9 && held[3] == 0.0 && held[4] == 0.0, "{held:?}");
    // A bar in place of the sheave: T(1 + e^(−μπ)) = load.
    let bar = with(
        own.clone(),
        &[
            ("tackle.stops[5].kind", "RMECH_TACKLE_STOP_BAR"),
            ("tackle.stops[5].friction_raising", "0.3"),
            ("tackle.stops[5].friction_lowering", "0.2"),
        ],
    );
    let kept = (-0.3 * std::f64::consts::PI).exp();
    assert!((found(&bar, "forces.hand") - 2100.0 / (1.0 + kept)).abs() < 1e-9);
    // Any two kinds in each other's place give something else, or nothing.
    let good = found(&own, "forces.hand");
    let in_parts = |outcome: &mut super::call::Outcome| {
        [0, 1, 2, 3, 4].map(|part| outcome.get(&format!("tensions[{part}]")).round())
    };
    let good_held = in_parts(&mut own.with("state", "RMECH_TACKLE_HELD").run());
    let names =
        ["END", "HAND", "TAIL", "GRAB", "SHEAVE", "CAPTURE"].map(|name| format!("RMECH_TACKLE_STOP_{name}"));
    for (i, one) in names.iter().enumerate() {
        for other in &names[..i] {
            let mut swapped = own.clone();
            for (_, value) in swapped.given.iter_mut().filter(|(path, _)| path.ends_with(".kind")) {
                *value = if *value == *one {
                    other.clone()
                } else if *value == *other {
                    one.clone()
                } else {
                    value.clone()
                };
            }
            let mut outcome = swapped.run();
            let mut held = swapped.with("state", "RMECH_TACKLE_HELD").run();
            assert!(
                outcome.status != 0
                    || held.status != 0
                    || in_parts(&mut held) != good_held
                    || (outcome.get("forces.hand") - good).abs() > 1.0,
                "{one} for {other} is not noticed"
            );
        }
    }
}

#[test]
fn winches_and_what_stops_them() {
    means(
        &case("rmech_winch_stall"),
        "stall.bound",
        &[
            ("RMECH_BOUND_STALL", &[("winch.current_limit", "0"), ("winch.slip", "0")]),
            ("RMECH_BOUND_CURRENT_LIMIT", &[("winch.current_limit", "50"), ("winch.slip", "0")]),
            ("RMECH_BOUND_SLIP", &[("winch.current_limit", "0"), ("winch.slip", "500")]),
        ],
    );
    let gauge = case("rmech_winch_pull_from_current");
    means(
        &gauge,
        "reading.blind",
        &[
            ("RMECH_BLIND_NOT", &[("state", "RMECH_RUNNING_HAULING")]),
            ("RMECH_BLIND_NOT", &[("state", "RMECH_RUNNING_LOWERING"), ("current", "-20")]),
            ("RMECH_BLIND_BRAKE_SET", &[("state", "RMECH_RUNNING_BRAKE_SET")]),
            ("RMECH_BLIND_STARTING", &[("state", "RMECH_RUNNING_STARTING")]),
            ("RMECH_BLIND_ACCELERATING", &[("state", "RMECH_RUNNING_ACCELERATING")]),
            ("RMECH_BLIND_UNPOWERED", &[("state", "RMECH_RUNNING_UNPOWERED")]),
            (
                "RMECH_BLIND_GEAR_LOCKS",
                &[
                    ("state", "RMECH_RUNNING_LOWERING"),
                    ("bands.least_efficiency", "0.3"),
                    ("winch.gear_efficiency", "0.4"),
                    ("winch.flags", "0"),
                    ("bands.most_efficiency", "0.45"),
                ],
            ),
            ("RMECH_BLIND_BELOW_IDLE", &[("current", "1")]),
            ("RMECH_BLIND_BRAKE_DRAGS", &[("state", "RMECH_RUNNING_LOWERING"), ("current", "40")]),
            ("RMECH_BLIND_STALLED", &[("current", "9000"), ("winch.current_limit", "0")]),
        ],
    );
    means(
        &case("rmech_winch_pull_from_current_by_table"),
        "reading.blind",
        &[
            ("RMECH_BLIND_NOT", &[("state", "RMECH_RUNNING_HAULING")]),
            ("RMECH_BLIND_NO_LOWERING_IN_TABLE", &[("state", "RMECH_RUNNING_LOWERING")]),
            ("RMECH_BLIND_BEYOND_TABLE", &[("current", "900")]),
        ],
    );
    let haul = with(
        case("rmech_winch_haul"),
        &[("step_count", "1"), ("limits.flags", "0"), ("sample_capacity", "0"), ("steps[0].line_speed", "0")],
    );
    means(
        &haul,
        "outcome.stop",
        &[
            ("RMECH_STOP_NONE", &[]),
            (
                "RMECH_STOP_BATTERY_FLAT",
                &[("limits.reserve", "0.89"), ("steps[0].distance", "500"), ("steps[0].pull", "9000")],
            ),
            ("RMECH_STOP_VOLTAGE_TOO_LOW", &[("limits.lowest_voltage", "25"), ("steps[0].pull", "9000")]),
            (
                "RMECH_STOP_TOO_HOT",
                &[("limits.winding_limit", "291"), ("steps[0].distance", "300"), ("steps[0].pull", "9000")],
            ),
            ("RMECH_STOP_CANNOT_PULL", &[("steps[0].pull", "90e3")]),
        ],
    );
    assert!((found(&haul, "outcome.hauled") - 2.0).abs() < 1e-9);
    let timed =
        with(haul.clone(), &[("steps[0].extent", "RMECH_EXTENT_DURATION"), ("steps[0].duration", "7")]);
    assert!((found(&timed, "outcome.time") - 7.0).abs() < 1e-9);
    // Only the ends of steps, or all; a warm start is warmer.
    let (ends, all) = (with(haul.clone(), &[("limits.flags", "RMECH_HAUL_STEP_ENDS")]), haul.clone());
    assert!(found(&ends, "sample_count") == 1.0 && found(&all, "sample_count") > 2.0);
    let warm = with(haul.clone(), &[("limits.flags", "RMECH_HAUL_WARM_START")]);
    assert!(found(&warm, "outcome.hottest_winding") > found(&haul, "outcome.hottest_winding") + 5.0);
}

/// Points so close together that a fit can't tell two of its constants apart.
#[test]
fn constants_that_a_fit_cannot_tell_apart() {
    use rope_mechanics::winch::{Constant, MotorPoint, WinchPoint, fit_motor, fit_winch};
    let number = |constant| {
        Header::get().number(match constant {
            Constant::MotorConstant => "RMECH_CONSTANT_MOTOR",
            Constant::WindingResistance => "RMECH_CONSTANT_WINDING",
            Constant::NoLoadCurrent => "RMECH_CONSTANT_NO_LOAD",
            Constant::GearEfficiency => "RMECH_CONSTANT_GEAR",
        })
    };
    let none = Header::get().number("RMECH_CONSTANT_NONE");
    let mut seen = BTreeSet::new();
    // A motor of 0.055 N·m/A, 0.02 Ω and 6 A at 24 V: close to idle, close to stall, spread out.
    for currents in [[6.0, 24.0, 42.0], [900.0, 930.0, 960.0], [1100.0, 1150.0, 1199.0], [6.0, 300.0, 900.0]]
    {
        let mut fit = case("rmech_motor_fit_points");
        let points = currents.map(|a: f64| (a, (24.0 - 0.02 * a) / 0.055, 0.055 * (a - 6.0)));
        for (i, (a, speed, torque)) in points.iter().enumerate() {
            for (member, value) in
                [("voltage", 24.0), ("current", *a), ("speed", *speed), ("torque", *torque)]
            {
                fit = fit.with(&format!("points[{i}].{member}"), &format!("{value}"));
            }
        }
        let rust = fit_motor(points.map(|(a, speed, torque)| MotorPoint {
            voltage: plain(24.0),
            current: plain(a),
            speed: plain(speed),
            torque: plain(torque),
        }));
        let (one, other) =
            rust.unwrap().confounded.map_or((none, none), |pair| (number(pair.one), number(pair.other)));
        assert!(
            found(&fit, "fit.confounded") == one && found(&fit, "fit.confounded_with") == other,
            "{currents:?}"
        );
        seen.extend([one as i64, other as i64]);
    }
    // The same motor behind a gear of 180 and 0.7, on a drum of 0.036 m.
    let even = [24.0; 3];
    for (pulls, volts) in [
        ([1000.0, 1020.0, 1050.0], even),
        ([200.0, 400.0, 600.0], even),
        ([500.0, 9e3, 30e3], even),
        ([30e3, 30.3e3, 30.6e3], [24.0, 16.0, 10.0]),
    ] {
        let mut fit = case("rmech_winch_fit_points");
        let points: [(f64, f64, f64, f64); 3] = std::array::from_fn(|i| {
            let (n, v) = (pulls[i], volts[i]);
            let a = 6.0 + n * 0.036 / (180.0 * 0.7 * 0.055);
            (v, a, (v - 0.02 * a) / 0.055 / 180.0 * 0.036, n)
        });
        for (i, (v, a, speed, pull)) in points.iter().enumerate() {
            for (member, value) in [("voltage", *v), ("current", *a), ("line_speed", *speed), ("pull", *pull)]
            {
                fit = fit.with(&format!("points[{i}].{member}"), &format!("{value}"));
            }
        }
        let rust = fit_winch(
            points.map(|(v, a, speed, pull)| WinchPoint {
                voltage: plain(v),
                current: plain(a),
                line_speed: plain(speed),
                pull: plain(pull),
            }),
            plain(180.0),
            plain(0.036),
        );
        let (one, other) =
            rust.unwrap().confounded.map_or((none, none), |pair| (number(pair.one), number(pair.other)));
        assert!(
            found(&fit, "fit.confounded") == one && found(&fit, "fit.confounded_with") == other,
            "{pulls:?}"
        );
        seen.extend([one as i64, other as i64]);
    }
    assert_eq!(seen.len(), 5, "{seen:?}");
}

/// Constants that name no kind of anything: how many there may be. The compiler compares them with the core's.
const COUNTS: [&str; 8] = [
    "RMECH_BATTERY_POINTS_MAX",
    "RMECH_GROUND_POINTS_MAX",
    "RMECH_MAX_GUYS",
    "RMECH_MAX_HOBBLES",
    "RMECH_MAX_LEGS",
    "RMECH_MAX_REDUCTIONS",
    "RMECH_MAX_TURNS",
    "RMECH_TACKLE_MAX_PARTS",
];

/// What no call can tell from another of its kind: marks of an input change no number, and these reasons and limits are for
/// later versions of the library. (Nor can `RMECH_LEAD_EITHER` be told from `RMECH_LEAD_WITHOUT`: a lead takes a sheave and rope
/// and loses force, so that the best tackle has none unless one is asked for.)
const SAME_BY_DESIGN: [&str; 6] = [
    "RMECH_BLIND_OTHERWISE",
    "RMECH_LIMIT_OTHER",
    "RMECH_STOP_OTHERWISE",
    "RMECH_MARK_CHOICE",
    "RMECH_MARK_COMMON_PRACTICE",
    "RMECH_MARK_GIVEN",
];

#[test]
fn every_constant_is_tried() {
    let folder = top().join("tests/clients/abi");
    let mut tried = String::new();
    for file in ["enumerators.rs", "rig.rs", "cases.txt", "../schedule.rs"] {
        tried += &std::fs::read_to_string(folder.join(file)).unwrap();
    }
    // The names that stand here as no more than a list.
    let tried = tried.replace("\"RMECH_TACKLE_STOP_{name}\"", "");
    let words: BTreeSet<&str> = tried.split(|c: char| !c.is_ascii_alphanumeric() && c != '_').collect();
    for name in Header::get().constants.keys() {
        let status = name.starts_with("RMECH_ERR_") || name == "RMECH_OK";
        assert!(words.contains(name.as_str()) || status, "{name} is tried nowhere in tests/clients/abi");
    }
    for name in COUNTS.iter().chain(&SAME_BY_DESIGN) {
        assert!(Header::get().constants.contains_key(*name), "{name}");
    }
}
