//! Every member of what a rope through turns, a doubled track, a tackle and a haul give, against Rust's.

use super::header::Header;
use super::outputs::{Given, Numbers, numbers, place_of_force, same};
use crate::winch::plain;
use rope_mechanics::geometry::Direction3;
use rope_mechanics::haul::{HaulRedirect, LoadPull, Route};
use rope_mechanics::motion::Motion;
use rope_mechanics::quantity::{Band, Force};
use rope_mechanics::reeving::{
    Bend, DoubledTrack, DoubledTrackPlaces, DoubledTrackTurns, Highest, Known, PartTension, Reeving, Side,
    Strand, TrackKnown, TurnLoad,
};
use rope_mechanics::sheave::Turn;
use rope_mechanics::tackle::{Cycle, CyclePlan, Layout, Usual, UsualRatio};
use rope_mechanics::winch::{
    Battery, Extent, Gear, HaulCycle, HaulStep, Motor, Peukert, StopCause, Supply, Temperatures, TwoNode,
    Winch,
};

fn direction(given: &Given, path: &str) -> Direction3 {
    let [x, y, z] = ["x", "y", "z"].map(|axis| plain(given.n(&format!("{path}.{axis}"))));
    Direction3::new(x, y, z).unwrap()
}

fn turn(given: &Given, path: &str) -> Turn {
    let [kind, efficiency, raising, lowering] =
        ["kind", "efficiency", "friction_raising", "friction_lowering"]
            .map(|of| given.n(&format!("{path}.{of}")));
    if kind == Header::get().number("RMECH_TURN_SHEAVE") {
        Turn::sheave(plain(efficiency)).unwrap()
    } else {
        Turn::bar(plain(raising), plain(lowering)).unwrap()
    }
}

/// A strand whose rise or scale is given.
fn strand(given: &Given, path: &str) -> Strand {
    let n = |of: &str| given.n(&format!("{path}.{of}"));
    let run =
        if n("scale") == 0.0 { Strand::rising(plain(n("rise"))) } else { Strand::scaled(plain(n("scale"))) };
    run.unwrap().with_directions(
        direction(given, &format!("{path}.leaving")),
        direction(given, &format!("{path}.arriving")),
    )
}

fn within(path: &str, inner: Numbers) -> Numbers {
    inner.into_iter().map(|(leaf, value)| (format!("{path}.{leaf}"), value)).collect()
}

fn band(path: &str, band: Band<Force>) -> Numbers {
    within(path, numbers(&[("low", band.low.value), ("high", band.high.value)]))
}

fn part(of: &PartTension) -> Numbers {
    let mut all = band("pulling_side", of.pulling_side);
    all.extend(band("standing_side", of.standing_side));
    all
}

fn load(of: &TurnLoad) -> Numbers {
    let mut all = numbers(&[("wrap", of.wrap.value), ("load", of.load.value), ("force_known", 1.0)]);
    all.extend(place_of_force("force", of.force.unwrap()));
    all
}

fn highest(of: Highest) -> Numbers {
    let side = match of.side {
        Side::Pulling => "RMECH_SIDE_PULLING",
        Side::Standing => "RMECH_SIDE_STANDING",
    };
    numbers(&[("part", of.part as f64), ("side", Header::get().number(side)), ("tension", of.tension.value)])
}

#[test]
fn a_rope_through_its_turns() {
    let given = Given::of("rmech_reeving_tensions");
    let bends = [
        Bend::at(given.point("reeving.bends[0].place"), turn(&given, "reeving.bends[0].turn")).unwrap(),
        Bend::at(given.point("reeving.bends[1].place"), turn(&given, "reeving.bends[1].turn"))
            .unwrap()
            .with_wrap(plain(given.n("reeving.bends[1].wrap")))
            .unwrap(),
    ];
    let rope = Reeving::new(&bends).unwrap();
    let rope =
        rope.with_ends(given.point("reeving.pulling_end"), given.point("reeving.standing_end")).unwrap();
    let rope = rope.with_strand(2, strand(&given, "reeving.strands[0]")).unwrap();
    let known = Known::at(2, Side::Standing, plain(given.n("known.tension"))).unwrap();
    let found = rope.tensions(known, Motion::Hauling).unwrap();
    let mut outcome = given.run();
    for (i, of) in found.parts().iter().enumerate() {
        same(&mut outcome, &format!("parts[{i}]"), part(of));
    }
    for (i, of) in found.turns().iter().enumerate() {
        same(&mut outcome, &format!("turns[{i}]"), load(of));
    }
    let mut all = numbers(&[("ends_known", 3.0), ("residual", found.report().residual)]);
    all.extend(within("highest", highest(found.highest())));
    all.extend(place_of_force("pulling_end", found.pulling_end().unwrap()));
    all.extend(place_of_force("standing_end", found.standing_end().unwrap()));
    same(&mut outcome, "summary", all);
}

#[test]
fn a_doubled_track() {
    let given = Given::of("rmech_doubled_track_tensions");
    let at = |of: &str| given.point(&format!("track.{of}"));
    let places = DoubledTrackPlaces {
        capstan: at("capstan"),
        redirect: at("redirect"),
        head: at("head"),
        far_sheave: at("far_sheave"),
        anchor: at("anchor"),
    };
    let turns = DoubledTrackTurns {
        redirect: turn(&given, "track.redirect_turn"),
        frame: Some(turn(&given, "track.frame_turn")),
        far_sheave: turn(&given, "track.far_turn"),
    };
    let found = DoubledTrack::new(places, turns)
        .unwrap()
        .with_strands(strand(&given, "track.strand_out"), strand(&given, "track.strand_back"))
        .unwrap()
        .tensions(TrackKnown::Cell(plain(given.n("tension"))), Motion::Hauling)
        .unwrap();
    let [out, back] = found.head_crossings();
    let mut all = numbers(&[
        ("head_crossings[0]", out.value),
        ("head_crossings[1]", back.value),
        ("residual", found.report().residual),
    ]);
    all.extend(band("capstan", found.capstan()));
    all.extend(band("cell", found.cell()));
    all.extend(within("strand_out", part(&found.strand_out())));
    all.extend(within("strand_back", part(&found.strand_back())));
    all.extend(within("highest", highest(found.highest())));
    all.extend(within("redirect", load(&found.redirect())));
    all.extend(within("far_sheave", load(&found.far_sheave())));
    all.extend(place_of_force("frame", found.frame()));
    same(&mut given.run(), "tensions", all);
}

fn layout(given: &Given) -> (Layout, Turn) {
    let [far, spread, hand, efficiency] =
        ["load_distance", "spread", "hand_distance", "efficiency"].map(|of| given.n(&format!("tackle.{of}")));
    let layout = Layout::new(plain(far), plain(spread)).unwrap().with_hand(plain(hand)).unwrap();
    (layout, Turn::sheave(plain(efficiency)).unwrap())
}

fn plan(given: &Given) -> CyclePlan {
    let [haul, clearance, setback] =
        ["haul", "clearance", "setback"].map(|of| given.n(&format!("plan.{of}")));
    CyclePlan::new(plain(haul))
        .unwrap()
        .with_clearance(plain(clearance))
        .unwrap()
        .with_setback(plain(setback))
        .unwrap()
}

fn cycle(of: &Cycle) -> Numbers {
    numbers(&[
        ("throw_at_load", of.throw.load.value),
        ("throw_at_hand", of.throw.hand.value),
        ("lost", of.lost.value),
        ("hand", of.hand.value),
        ("rope", of.rope.value),
        ("throws", f64::from(of.throws)),
        ("resets", f64::from(of.resets)),
    ])
}

#[test]
fn a_tackle_and_a_haul() {
    let given = Given::of("rmech_tackle_solve");
    let (layout, pulley) = layout(&given);
    let usual = Usual::new(UsualRatio::ThreeToOne);
    let tackle = usual.build(&layout, &[pulley, pulley]).unwrap();
    let forces = tackle.hauling(plain(given.n("load"))).unwrap();
    let mut outcome = given.run();
    same(
        &mut outcome,
        "forces",
        numbers(&[
            ("hand", forces.hand().value),
            ("highest", forces.highest().value),
            ("velocity_ratio", tackle.velocity_ratio().value),
            ("parts", tackle.parts().count() as f64),
            ("sheaves", 2.0),
            ("turns", forces.sheaves().count() as f64),
            ("carriers", tackle.carriers().count() as f64),
        ]),
    );
    for (i, part) in forces.parts().enumerate() {
        assert!(outcome.get(&format!("tensions[{i}]")) == part.tension.value);
    }
    let given = Given::of("rmech_tackle_cycle");
    same(&mut given.run(), "cycle", cycle(&tackle.cycle(&plan(&given)).unwrap()));

    let given = Given::of("rmech_haul_solve");
    let redirect = |path: &str| {
        let angle = plain(given.n(&format!("{path}.angle")));
        HaulRedirect::new(turn(&given, &format!("{path}.turn")), angle).unwrap()
    };
    let route = Route::new(layout, pulley).with_before(&[redirect("before[0]")]).unwrap();
    let haul = route.with_after(&[redirect("after[0]")]).unwrap().haul(usual).unwrap();
    let pull = LoadPull::new(plain(given.n("pull.hauling")), plain(given.n("pull.lowering"))).unwrap();
    let (forces, journey) =
        (haul.forces(pull).unwrap(), haul.journey(&plan(&given), plain(given.n("winch_speed"))).unwrap());
    let mut outcome = given.run();
    let mut all = numbers(&[
        ("hauling", forces.hauling.value),
        ("lowering", forces.lowering.value),
        ("highest", forces.highest.value),
        ("anchor", forces.anchor.value),
        ("load_speed", journey.load_speed.value),
        ("pulling", journey.pulling.value),
    ]);
    all.extend(within("cycle", cycle(&journey.cycle)));
    same(&mut outcome, "haul", all);
    for (i, on) in haul.redirects(pull).unwrap().enumerate() {
        let all = numbers(&[("hauling", on.hauling.value), ("lowering", on.lowering.value)]);
        same(&mut outcome, &format!("on_redirects[{i}]"), all);
    }
}

/// A haul that stops in its third step, at its reserve.
#[test]
fn a_haul_on_a_battery() {
    let given = Given::of("rmech_winch_haul");
    let given = given.with("limits.reserve", "0.8988").with("steps[2].motion", "RMECH_MOTION_HAULING");
    let given = given.with("steps[2].duration", "300");
    let n = |of: &str| given.n(of);
    let w = |of: &str| plain(given.n(&format!("winch.{of}")));
    let motor = Motor::new(
        plain(n("winch.motor_constant")),
        plain(n("winch.no_load_current")),
        plain(n("winch.winding")),
    );
    let gear = Gear::new(w("gear_ratio"), w("gear_efficiency")).unwrap();
    let gear = gear.with_back_efficiency(w("back_efficiency")).unwrap();
    let supply = Supply::new(plain(1.0), plain(0.0), plain(n("winch.leads"))).unwrap();
    let winch = Winch::new(motor.unwrap(), gear, plain(n("winch.radius")), supply).unwrap();
    let winch = winch.with_current_limit(plain(n("winch.current_limit"))).unwrap();
    let winch = winch.with_slip(plain(n("winch.slip"))).unwrap();
    let b = |of: &str| n(&format!("battery.{of}"));
    let peukert =
        Peukert::new(plain(b("capacity")), plain(b("rated_time")), plain(b("peukert_exponent"))).unwrap();
    let pair = |list: &str, one: &str, other: &str| {
        [0, 1].map(|i| (b(&format!("{list}[{i}].{one}")), b(&format!("{list}[{i}].{other}"))))
    };
    let curve = pair("open_circuit", "charge", "voltage").map(|(x, y)| (plain(x), plain(y)));
    let cold = pair("cold", "temperature", "share").map(|(x, y)| (plain(x), plain(y)));
    let stiff = pair("cold_resistance", "temperature", "share").map(|(x, y)| (plain(x), plain(y)));
    let battery = Battery::new(peukert, &curve, plain(b("internal"))).unwrap().bank(2, 1).unwrap();
    let battery = battery.with_cold(&cold).unwrap().with_cold_resistance(&stiff).unwrap();
    let l = |of: &str| n(&format!("limits.{of}"));
    let nodes = TwoNode::new(
        plain(l("heat.winding")),
        plain(l("heat.case_")),
        plain(l("heat.winding_to_case")),
        plain(l("heat.case_to_air")),
    );
    let warm = Temperatures { winding: plain(l("start.winding")), case: plain(l("start.case_")) };
    let cycle = HaulCycle::new(winch, battery, plain(n("winch.leads")), plain(l("air")))
        .unwrap()
        .with_charge(plain(l("charge")), plain(l("reserve")))
        .unwrap()
        .with_lowest_voltage(plain(l("lowest_voltage")))
        .unwrap()
        .with_standby(plain(l("standby")))
        .unwrap()
        .with_heat(nodes.unwrap(), plain(l("winding_limit")))
        .unwrap()
        .with_warm_motor(warm)
        .unwrap()
        .with_interval(plain(l("interval")))
        .unwrap();
    let s = |i: usize, of: &str| n(&format!("steps[{i}].{of}"));
    let haul = |i: usize, extent| {
        let step = HaulStep::haul(plain(s(i, "pull")), extent).at_speed(plain(s(i, "line_speed")));
        step.on_layer(plain(s(i, "pull_ratio")))
    };
    let steps = [
        haul(0, Extent::Distance(plain(s(0, "distance")))),
        HaulStep::rest(plain(s(1, "duration"))),
        haul(2, Extent::Duration(plain(s(2, "duration")))),
    ];
    let mut samples = Vec::new();
    let found = cycle.run(steps, |sample| samples.push(*sample)).unwrap();
    let stopped = found.stopped.unwrap();
    assert!(matches!(stopped.why, StopCause::BatteryFlat), "{stopped:?}");
    let mut outcome = given.with("sample_capacity", "590").run();
    same(
        &mut outcome,
        "outcome",
        numbers(&[
            ("stop", Header::get().number("RMECH_STOP_BATTERY_FLAT")),
            ("stopped_step", stopped.step as f64),
            ("stopped_distance", stopped.distance.value),
            ("time", found.time.value),
            ("hauled", found.hauled.value),
            ("lowered", found.lowered.value),
            ("energy", found.energy.value),
            ("work", found.work.value),
            ("charge", found.charge.value),
            ("largest_current", found.largest_current.value),
            ("lowest_voltage", found.lowest_voltage.value),
            ("hottest_winding", found.hottest_winding.value),
            ("residual", found.report.residual),
        ]),
    );
    assert!(outcome.get("sample_count") == samples.len() as f64);
    for (i, sample) in samples.iter().enumerate() {
        let motion = if sample.step == 1 { "RMECH_MOTION_AT_REST" } else { "RMECH_MOTION_HAULING" };
        same(
            &mut outcome,
            &format!("samples[{i}]"),
            numbers(&[
                ("step", sample.step as f64),
                ("motion", Header::get().number(motion)),
                ("time", sample.time.value),
                ("distance", sample.distance.value),
                ("pull", sample.pull.value),
                ("current", sample.current.value),
                ("terminal_voltage", sample.terminal_voltage.value),
                ("line_speed", sample.line_speed.map_or(0.0, |speed| speed.value)),
                ("charge", sample.charge.value),
                ("winding", sample.winding.value),
                ("energy", sample.energy.value),
            ]),
        );
    }
}
