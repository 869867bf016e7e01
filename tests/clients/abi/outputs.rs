//! Every member of the larger outputs, against what Rust finds for the same call of `cases.txt`.

use super::call::Outcome;
use super::header::{Header, Kind};
use super::{Case, cases};
use crate::winch::plain;
use rope_checks::top;
use rope_mechanics::anchor::{Anchor, AnchorLeg};
use rope_mechanics::arrest::{Holding, hand_over, track_lost};
use rope_mechanics::bridle::{Bridle, BridleRope, Hang};
use rope_mechanics::carriage::{CarriageState, HaulRope, Held, Load, Track};
use rope_mechanics::frame::{Frame, FrameError, Guy, HeadPull, Leg};
use rope_mechanics::geometry::{Direction3, Force3, Point2, Point3};
use rope_mechanics::motion::Motion;
use rope_mechanics::rope::Stretch;
use rope_mechanics::winch::{
    Drum, DrumSize, Gear, Motor, MotorPoint, Supply, TableRow, TableWinch, Winch, WinchPoint, fit_motor,
    fit_winch,
};
use std::collections::BTreeSet;

/// The first case of a function, and its numbers.
pub(super) struct Given(Case);

impl Given {
    pub(super) fn of(function: &str) -> Self {
        Self(cases().iter().find(|case| case.function == function).unwrap().clone())
    }

    /// The same call with another number there.
    pub(super) fn with(&self, path: &str, value: &str) -> Self {
        Self(self.0.with(path, value))
    }

    /// What the call is given there; zero where nothing is.
    pub(super) fn n(&self, path: &str) -> f64 {
        let found = self.0.given.iter().find(|(given, _)| given == path);
        found.map_or(0.0, |(_, value)| Header::get().number(value))
    }

    pub(super) fn point(&self, path: &str) -> Point3 {
        let at = |axis| plain(self.n(&format!("{path}.{axis}")));
        Point3::new(at("x"), at("y"), at("z"))
    }

    fn plane(&self, path: &str) -> Point2 {
        let at = |axis| plain(self.n(&format!("{path}.{axis}")));
        Point2::new(at("x"), at("z"))
    }

    fn force(&self, path: &str) -> Force3 {
        let at = |axis| plain(self.n(&format!("{path}.{axis}")));
        Force3::new(at("x"), at("y"), at("z"))
    }

    fn stretch(&self, path: &str) -> Stretch {
        let of = |member| plain(self.n(&format!("{path}.{member}")));
        Stretch::stiffening(of("a"), of("b")).unwrap()
    }

    #[track_caller]
    pub(super) fn run(&self) -> Outcome {
        let outcome = self.0.run();
        assert_eq!(outcome.status, 0, "{}", outcome.message);
        outcome
    }
}

/// The numbers of a struct by their paths.
pub(super) type Numbers = Vec<(String, f64)>;

pub(super) fn numbers(all: &[(&str, f64)]) -> Numbers {
    all.iter().map(|(path, value)| ((*path).to_owned(), *value)).collect()
}

pub(super) fn place_of_force(path: &str, f: Force3) -> Numbers {
    vec![(format!("{path}.x"), f.x.value), (format!("{path}.y"), f.y.value), (format!("{path}.z"), f.z.value)]
}

fn place(path: &str, p: Point3) -> Numbers {
    vec![(format!("{path}.x"), p.x.value), (format!("{path}.y"), p.y.value), (format!("{path}.z"), p.z.value)]
}

fn plane(path: &str, x: f64, z: f64) -> Numbers {
    vec![(format!("{path}.x"), x), (format!("{path}.z"), z)]
}

fn flag(is: bool) -> f64 {
    f64::from(u8::from(is))
}

/// Every member of the struct at `path` of the outcome is what Rust found, and none is left out.
#[track_caller]
pub(super) fn same(outcome: &mut Outcome, path: &str, expected: Numbers) {
    let parameter = path.split(['.', '[']).next().unwrap();
    let Kind::Struct(name) = outcome.outputs[parameter].kind.clone() else { panic!("{path} is no struct") };
    let mut left = leaves(&name);
    left.retain(|leaf| !expected.iter().any(|(given, _)| given == leaf));
    assert!(left.is_empty(), "{name}: {left:?} are compared with nothing");
    for (leaf, rust) in expected {
        let c = outcome.get(&format!("{path}.{leaf}"));
        assert!(c.to_bits() == rust.to_bits(), "{name}.{leaf}: C {c}, Rust {rust}");
    }
}

/// The numbers of a struct, but for what the contract of the interface says of it.
fn leaves(structure: &str) -> Vec<String> {
    let mut all = Vec::new();
    for member in &Header::get().structs[structure].members {
        if matches!(member.name.as_str(), "struct_size" | "flags" | "reserved") || member.kind == Kind::Char {
            continue;
        }
        let names: Vec<String> = match member.count {
            Some(count) => (0..count).map(|i| format!("{}[{i}]", member.name)).collect(),
            None => vec![member.name.clone()],
        };
        for name in names {
            match &member.kind {
                Kind::Struct(inner) if Header::get().structs[inner].members.len() > 1 => {
                    all.extend(leaves(inner).into_iter().map(|leaf| format!("{name}.{leaf}")));
                }
                _ => all.push(name),
            }
        }
    }
    all
}

#[test]
fn a_carriage() {
    let given = Given::of("rmech_carriage_held_at_x");
    let track = Track::new(
        given.plane("carriage.head"),
        given.plane("carriage.far"),
        plain(given.n("carriage.track_length")),
        plain(given.n("carriage.track_weight")),
        given.stretch("carriage.track_stretch"),
    );
    let load = Load::new(plain(given.n("carriage.load_weight"))).unwrap();
    let load = load.with_wheel_friction(plain(given.n("carriage.wheel_friction")), Motion::Hauling).unwrap();
    let haul = HaulRope::new(given.plane("carriage.haul_point")).unwrap();
    let haul = haul.with_weight(plain(given.n("carriage.haul_weight"))).unwrap();
    let haul = haul.with_stretch(given.stretch("carriage.haul_stretch"));
    let state = Held::new(track.unwrap(), load, haul).at_x(plain(given.n("x"))).unwrap();
    same(&mut given.run(), "state", carriage(&state));
}

fn carriage(state: &CarriageState) -> Numbers {
    let haul = state.haul.unwrap();
    let mut all = numbers(&[
        ("track_length", state.track_length.value),
        ("upper_length", state.upper_length.value),
        ("lower_length", state.lower_length.value),
        ("tension_head", state.tension.head.value),
        ("tension_carriage_upper", state.tension.carriage_upper.value),
        ("tension_carriage_lower", state.tension.carriage_lower.value),
        ("tension_far", state.tension.far.value),
        ("horizontal_upper", state.horizontal_upper.value),
        ("horizontal_lower", state.horizontal_lower.value),
        ("load", state.load.value),
        ("interior_angle", state.interior_angle.value),
        ("haul_pulls", 1.0),
        ("iterations", f64::from(state.report.iterations)),
        ("haul_length", haul.length.value),
        ("haul_at_carriage", haul.at_carriage.value),
        ("haul_at_haul_point", haul.at_haul_point.value),
        ("force_error", state.force_error.value),
        ("closing_error", state.closing_error.value),
        ("residual", state.report.residual),
        ("greatest_strain", state.greatest_strain().value),
    ]);
    all.extend(plane("position", state.position.x.value, state.position.z.value));
    all.extend(plane("lowest_point", state.lowest_point.x.value, state.lowest_point.z.value));
    all.extend(plane("on_head", state.on_head.x.value, state.on_head.z.value));
    all.extend(plane("on_far", state.on_far.x.value, state.on_far.z.value));
    all.extend(plane("haul_on_carriage", haul.on_carriage.x.value, haul.on_carriage.z.value));
    all.extend(plane("haul_on_haul_point", haul.on_haul_point.x.value, haul.on_haul_point.z.value));
    all
}

fn frame(given: &Given) -> Frame {
    let count = |list: &str| given.n(&format!("frame.{list}_count")) as usize;
    let legs: Vec<Leg> = (0..count("leg"))
        .map(|i| {
            let path = |member: &str| format!("frame.legs[{i}].{member}");
            let leg = Leg::new(given.point(&path("foot"))).unwrap();
            let leg = leg.with_axial_stiffness(plain(given.n(&path("axial_stiffness")))).unwrap();
            let leg = match given.n(&path("strength")) {
                0.0 => leg,
                strength => {
                    leg.with_strength(plain(strength), plain(given.n(&path("strength_length")))).unwrap()
                }
            };
            if given.n(&path("staked")) == 1.0 { leg.staked() } else { leg }
        })
        .collect();
    let guys: Vec<Guy> = (0..count("guy"))
        .map(|i| {
            let path = |member: &str| format!("frame.guys[{i}].{member}");
            let guy = Guy::new(given.point(&path("anchor"))).unwrap();
            let guy = guy.with_axial_stiffness(plain(given.n(&path("axial_stiffness")))).unwrap();
            guy.with_strength(plain(given.n(&path("strength")))).unwrap()
        })
        .collect();
    let hobbles = if count("hobble") == 1 { &[(0, 1)][..] } else { &[] };
    Frame::new(given.point("frame.head"), &legs, &guys).unwrap().with_hobbles(hobbles).unwrap()
}

fn head_pulls(given: &Given) -> [HeadPull; 2] {
    let along = |axis| plain(given.n(&format!("pulls[1].direction.{axis}")));
    [
        HeadPull::towards(given.point("pulls[0].point"), plain(given.n("pulls[0].tension"))).unwrap(),
        HeadPull::along(
            Direction3::new(along("x"), along("y"), along("z")).unwrap(),
            plain(given.n("pulls[1].tension")),
        )
        .unwrap(),
    ]
}

#[test]
fn a_frame() {
    let given = Given::of("rmech_frame_solve");
    let (frame, pulls) = (frame(&given), head_pulls(&given));
    let forces = frame.solve(&pulls).unwrap();
    let mut outcome = given.run();
    let sharing = Header::get().number("RMECH_SHARING_STIFFNESS");
    let mut whole = numbers(&[
        ("sharing", sharing),
        ("residual", forces.report.residual),
        ("margin", forces.stability.margin.value),
    ]);
    whole.extend(place_of_force("resultant", forces.resultant));
    same(&mut outcome, "forces", whole);
    for (i, leg) in forces.legs().iter().enumerate() {
        let mut all = numbers(&[
            ("compression", leg.compression.value),
            ("friction_needed", leg.friction_needed.map_or(-1.0, |needed| needed.value)),
            ("factor", leg.factor.map_or(0.0, |factor| factor.value)),
        ]);
        all.extend(place_of_force("on_ground", leg.on_ground));
        same(&mut outcome, &format!("legs[{i}]"), all);
    }
    for (i, guy) in forces.guys().iter().enumerate() {
        let all = numbers(&[
            ("tension", guy.tension.value),
            ("factor", guy.factor.map_or(0.0, |factor| factor.value)),
        ]);
        same(&mut outcome, &format!("guys[{i}]"), all);
    }
    assert!(outcome.get("hobbles[0]") == forces.hobbles()[0].value);

    let at_heads = Given::of("rmech_frame_at_heads");
    let mut outcome = at_heads.run();
    for i in 0..2 {
        let head = at_heads.point(&format!("heads[{i}]"));
        let forces = frame.with_head(head).unwrap().solve(&pulls).unwrap();
        let tip_limit = forces.stability.tip_limit.map_or(-1.0, |limit| limit.value);
        let mut all = numbers(&[
            ("status", 0.0),
            ("sharing", sharing),
            ("margin", forces.stability.margin.value),
            ("tip_limit", tip_limit),
            ("residual", forces.report.residual),
        ]);
        all.extend(place_of_force("resultant", forces.resultant));
        same(&mut outcome, &format!("at_heads[{i}]"), all);
    }

    let given = Given::of("rmech_frame_stability");
    let found = frame.stability(given.force("resultant")).unwrap();
    let edge = found.edge.unwrap();
    let part = |part| match part {
        rope_mechanics::frame::FrameMember::Leg(i) => {
            (Header::get().number("RMECH_FRAME_PART_LEG"), i as f64)
        }
        rope_mechanics::frame::FrameMember::Guy(i) => {
            (Header::get().number("RMECH_FRAME_PART_GUY"), i as f64)
        }
    };
    let (from, to) = (part(edge.from), part(edge.to));
    same(
        &mut given.run(),
        "stability",
        numbers(&[
            ("known", 7.0),
            ("margin", found.margin.value),
            ("lever", found.lever.unwrap().value),
            ("lateral", found.lateral.unwrap().value),
            ("tip_limit", found.tip_limit.unwrap().value),
            ("edge_from", from.0),
            ("edge_from_index", from.1),
            ("edge_to", to.0),
            ("edge_to_index", to.1),
        ]),
    );

    // What is known of it, where not all is.
    let bit = |is: bool, name| if is { Header::get().number(name) } else { 0.0 };
    let mut seen = BTreeSet::new();
    let bare = given.with("frame.guy_count", "0").with("frame.hobble_count", "0");
    for given in [
        // Pulled up, a pole that stands at no lean, and a tripod with all its feet staked, which nothing tips.
        given.with("resultant.z", "3000"),
        bare.with("frame.leg_count", "1"),
        bare.with("frame.legs[0].staked", "1").with("frame.legs[1].staked", "1"),
    ] {
        let found = self::frame(&given).stability(given.force("resultant")).unwrap();
        let known = bit(found.lever.is_some(), "RMECH_STABILITY_LEVER")
            + bit(found.lateral.is_some(), "RMECH_STABILITY_LATERAL")
            + bit(found.tip_limit.is_some(), "RMECH_STABILITY_TIP_LIMIT");
        assert!(given.run().get("stability.known") == known, "{found:?}");
        seen.insert([found.lever.is_some(), found.lateral.is_some(), found.tip_limit.is_some()]);
    }
    for (one, other) in [(0, 1), (0, 2), (1, 2)] {
        assert!(seen.iter().any(|known| known[one] != known[other]), "{seen:?}");
    }

    let given = Given::of("rmech_frame_cone_edge");
    let cone = frame.cone_edge(plain(given.n("azimuth")), plain(given.n("size"))).unwrap();
    let (stands, bears) = (cone.stands.unwrap(), cone.bears.unwrap());
    same(
        &mut given.run(),
        "edge",
        numbers(&[
            ("stands", 1.0),
            ("stands_from", stands.0.value),
            ("stands_to", stands.1.value),
            ("bears_from", bears.0.value),
            ("bears_to", bears.1.value),
            ("bears", 1.0),
        ]),
    );
}

/// Pulled straight up, and so hard that no stake and guy holds it.
#[test]
fn a_frame_that_falls() {
    let given = Given::of("rmech_frame_falls");
    let changed = [
        ("frame.legs[2].staked", "0"),
        ("pulls[0].point.x", "-40"),
        ("pulls[0].point.y", "9"),
        ("pulls[0].point.z", "3"),
    ];
    let given = changed.iter().fold(given, |given, (path, value)| given.with(path, value));
    let Err(FrameError::Falls(fall)) = frame(&given).solve(&head_pulls(&given)) else { panic!("it stands") };
    let mut all = numbers(&[
        ("falls", 1.0),
        ("guy_needed_towards", fall.guy_needed_towards.map_or(0.0, |side| side.value)),
        ("side_known", flag(fall.guy_needed_towards.is_some())),
        ("wrong_guys", fall.wrong_guys().map(|guy| f64::from(1_u32 << guy)).sum()),
    ]);
    all.extend(place_of_force("missing", fall.missing));
    same(&mut given.run(), "fall", all);
}

#[test]
fn an_anchor_that_settles() {
    let given = Given::of("rmech_anchor_settle");
    let legs = [0, 1, 2].map(|i| {
        let path = |member: &str| format!("legs[{i}].{member}");
        let leg = AnchorLeg::new(given.point(&path("at")), plain(given.n(&path("axial_stiffness")))).unwrap();
        leg.with_slack(plain(given.n(&path("slack")))).unwrap()
    });
    let settled = Anchor::new(given.point("master"), &legs).unwrap().settle(given.force("load")).unwrap();
    let mut all = numbers(&[("moved", settled.moved.value), ("residual", settled.shares.report.residual)]);
    all.extend(place("master", settled.master));
    same(&mut given.run(), "anchor", all);
}

#[test]
fn ropes_that_take_over() {
    let given = Given::of("rmech_lost_rope");
    let slack = Holding::slack(
        given.stretch("holding[0].stretch"),
        plain(given.n("holding[0].length")),
        plain(given.n("holding[0].slack")),
    )
    .unwrap();
    let slack = slack
        .with_in_series(
            given.stretch("holding[0].in_series[0].stretch"),
            plain(given.n("holding[0].in_series[0].length")),
        )
        .unwrap();
    let taut = Holding::taut(
        given.stretch("holding[1].stretch"),
        plain(given.n("holding[1].length")),
        plain(given.n("holding[1].tension")),
    )
    .unwrap();
    let over = hand_over(plain(given.n("lost")), &[slack, taut]).unwrap();
    let mut outcome = given.run();
    same(
        &mut outcome,
        "hand_over",
        numbers(&[
            ("rest_travel", over.rest_travel.value),
            ("peak_travel", over.peak_travel.value),
            ("residual", over.report.residual),
        ]),
    );
    for i in 0..2 {
        let share = numbers(&[("rest", over.rest[i].value), ("peak", over.peak[i].value)]);
        same(&mut outcome, &format!("shares[{i}]"), share);
    }
}

fn bridle(given: &Given) -> Bridle<2> {
    let rope = |i| {
        let path = |member: &str| format!("ropes[{i}].{member}");
        BridleRope::new(given.point(&path("from")), given.stretch(&path("stretch"))).unwrap()
    };
    Bridle::new(plain(given.n("weight")), [rope(0), rope(1)]).unwrap()
}

fn hanging(hang: &Hang<2>) -> Numbers {
    let mut all =
        numbers(&[("closing_error", hang.closing_error.value), ("imbalance", hang.imbalance.value)]);
    all.extend(place("position", hang.position));
    all
}

fn on_ropes(outcome: &mut Outcome, from: usize, hang: &Hang<2>) {
    for i in 0..2 {
        let mut all = numbers(&[
            ("tension", hang.tensions[i].value),
            ("length", hang.lengths[i].value),
            ("slack", flag(hang.slack[i])),
        ]);
        all.extend(place_of_force("on_point", hang.on_points[i]));
        same(outcome, &format!("each[{}]", from + i), all);
    }
}

#[test]
fn a_bridle_and_what_is_left_of_the_track() {
    let given = Given::of("rmech_bridle_at_lengths");
    let lengths = |name: &str, given: &Given| [0, 1].map(|i| plain(given.n(&format!("{name}[{i}]"))));
    let hang = bridle(&given).at_lengths(lengths("lengths", &given)).unwrap();
    let mut outcome = given.run();
    same(&mut outcome, "hang", hanging(&hang));
    on_ropes(&mut outcome, 0, &hang);

    let given = Given::of("rmech_bridle_swing");
    let swing =
        bridle(&given).swing(lengths("from", &given), lengths("to", &given), given.n("step_count") as u32);
    let mut outcome = given.run();
    for (i, hang) in swing.unwrap().enumerate() {
        let hang = hang.unwrap();
        let mut step = hanging(&hang);
        step.push(("status".into(), 0.0));
        same(&mut outcome, &format!("steps[{i}]"), step);
        on_ropes(&mut outcome, 2 * i, &hang);
    }

    let given = Given::of("rmech_track_rope_lost");
    let (position, clearance) = (given.point("position"), plain(given.n("clearance")));
    let lost = track_lost(&bridle(&given), lengths("lengths", &given), position, clearance).unwrap();
    let mut all = numbers(&[
        ("lands", flag(lost.lands)),
        ("drop", lost.drop.value),
        ("landing_speed", lost.landing_speed.value),
    ]);
    all.extend(place("rest", lost.rest.position));
    let mut outcome = given.run();
    same(&mut outcome, "lost", all);
    for i in 0..2 {
        let rope =
            numbers(&[("rest", lost.rest.tensions[i].value), ("peak_bound", lost.peak_bound[i].value)]);
        same(&mut outcome, &format!("each[{i}]"), rope);
    }
}

fn winch(given: &Given) -> Winch {
    let n = |member: &str| given.n(&format!("winch.{member}"));
    let motor =
        Motor::new(plain(n("motor_constant")), plain(n("no_load_current")), plain(n("winding"))).unwrap();
    let gear = Gear::new(plain(n("gear_ratio")), plain(n("gear_efficiency"))).unwrap();
    let gear = gear.with_back_efficiency(plain(n("back_efficiency"))).unwrap();
    let supply = Supply::new(plain(n("open_circuit")), plain(n("battery")), plain(n("leads"))).unwrap();
    let winch = Winch::new(motor, gear, plain(n("radius")), supply).unwrap();
    winch.with_current_limit(plain(n("current_limit"))).unwrap().with_slip(plain(n("slip"))).unwrap()
}

#[test]
fn a_winch() {
    let given = Given::of("rmech_winch_turning");
    let state = winch(&given).hauling_at(plain(given.n("pull")), plain(given.n("line_speed"))).unwrap();
    same(
        &mut given.run(),
        "state",
        numbers(&[
            ("motion", Header::get().number("RMECH_MOTION_HAULING")),
            ("pull", state.pull.value),
            ("current", state.current.value),
            ("motor_current", state.motor_current.value),
            ("terminal_voltage", state.terminal_voltage.value),
            ("battery_voltage", state.battery_voltage.value),
            ("motor_speed", state.motor_speed.value),
            ("motor_torque", state.motor_torque.value),
            ("line_speed", state.line_speed.value),
            ("electrical_power", state.electrical_power.value),
            ("mechanical_power", state.mechanical_power.value),
            ("battery_loss", state.losses.battery.value),
            ("lead_loss", state.losses.leads.value),
            ("winding_loss", state.losses.winding.value),
            ("idle_loss", state.losses.idle.value),
            ("gear_loss", state.losses.gear.value),
            ("efficiency", state.efficiency().unwrap().value),
            ("residual", state.report.residual),
        ]),
    );
    let given = Given::of("rmech_winch_stall");
    let stall = winch(&given).stall();
    same(
        &mut given.run(),
        "stall",
        numbers(&[
            ("current", stall.current.value),
            ("pull", stall.pull.value),
            ("pull_without_gear_loss", stall.pull_without_gear_loss.value),
            ("bound", f64::from(stall.bound as i32 + 1)),
        ]),
    );

    let given = Given::of("rmech_winch_by_table");
    let rows = [0, 1, 2].map(|i| TableRow {
        pull: plain(given.n(&format!("rows[{i}].pull"))),
        current: plain(given.n(&format!("rows[{i}].current"))),
        line_speed: Some(plain(given.n(&format!("rows[{i}].line_speed")))),
    });
    let table = TableWinch::fit(rows).unwrap().with_radius_ratio(plain(given.n("radius_ratio"))).unwrap();
    let state = table.hauling(plain(given.n("pull"))).unwrap();
    let speed = state.line_speed_band.unwrap();
    same(
        &mut given.run(),
        "state",
        numbers(&[
            ("current", state.current.value),
            ("line_speed", speed.expected.value),
            ("line_speed_least", speed.low.value),
            ("line_speed_most", speed.high.value),
            ("idle_current", table.idle_current().value),
            ("greatest_pull", table.greatest_pull().value),
            ("worst_residual", table.worst_residual().value),
        ]),
    );

    let given = Given::of("rmech_drum_layer_at");
    let n = |member: &str| given.n(&format!("drum.{member}"));
    let drum = Drum::new(DrumSize {
        core_diameter: plain(n("core_diameter")),
        width: plain(n("width")),
        rope_diameter: plain(n("rope_diameter")),
        layers: n("layers") as u32,
    });
    let drum = drum.unwrap().with_layer_rise(plain(n("layer_rise"))).unwrap();
    let layer = drum.layer_at(plain(given.n("rope_on_drum"))).unwrap();
    same(
        &mut given.run(),
        "layer",
        numbers(&[
            ("number", f64::from(layer.number)),
            ("radius", layer.radius.value),
            ("pull_ratio", layer.pull_ratio.value),
            ("room", layer.room.value),
            ("on_layer", layer.on_layer.value),
        ]),
    );
}

#[test]
fn a_motor_and_its_fits() {
    let given = Given::of("rmech_motor_from_ends");
    let [v, w, i, t] =
        ["voltage", "no_load_speed", "no_load_current", "stall_torque"].map(|name| given.n(name));
    let motor = Motor::from_no_load_and_stall(plain(v), plain(w), plain(i), plain(t)).unwrap();
    let of = |motor: &Motor| {
        [motor.constant().value, motor.no_load_current().value, motor.winding_resistance().value]
    };
    let [constant, no_load, winding] = of(&motor);
    same(
        &mut given.run(),
        "motor",
        numbers(&[("constant", constant), ("no_load_current", no_load), ("winding", winding)]),
    );

    let given = Given::of("rmech_motor_at_speed");
    let [k, i0, r] = ["constant", "no_load_current", "winding"].map(|name| given.n(&format!("motor.{name}")));
    let motor = Motor::new(plain(k), plain(i0), plain(r)).unwrap();
    let state = motor.at_speed(plain(given.n("voltage")), plain(given.n("speed"))).unwrap();
    same(
        &mut given.run(),
        "state",
        numbers(&[
            ("current", state.current.value),
            ("torque", state.torque.value),
            ("speed", state.speed.value),
            ("electrical_power", state.electrical_power.value),
            ("mechanical_power", state.mechanical_power.value),
            ("efficiency", state.efficiency.value),
        ]),
    );

    let given = Given::of("rmech_motor_fit_points");
    let fit = fit_motor([0, 1, 2].map(|i| MotorPoint {
        voltage: plain(given.n(&format!("points[{i}].voltage"))),
        current: plain(given.n(&format!("points[{i}].current"))),
        speed: plain(given.n(&format!("points[{i}].speed"))),
        torque: plain(given.n(&format!("points[{i}].torque"))),
    }))
    .unwrap();
    let [constant, no_load, winding] = of(&fit.motor);
    let unsure = f64::INFINITY;
    same(
        &mut given.run(),
        "fit",
        numbers(&[
            ("motor.constant", constant),
            ("motor.no_load_current", no_load),
            ("motor.winding", winding),
            ("gear_efficiency", 0.0),
            ("constant_error", fit.constant.standard_error.map_or(unsure, |error| error.value)),
            ("no_load_error", fit.no_load_current.standard_error.map_or(unsure, |error| error.value)),
            ("winding_error", fit.winding.standard_error.map_or(unsure, |error| error.value)),
            ("gear_error", 0.0),
            ("worst_voltage", fit.worst_voltage.value),
            ("worst_torque", fit.worst_torque.value),
            ("worst_current", 0.0),
            ("confounded", 0.0),
            ("confounded_with", 0.0),
            ("correlation", 0.0),
            ("condition", 0.0),
            ("spare_readings", fit.spare_readings as f64),
        ]),
    );

    let given = Given::of("rmech_winch_fit_points");
    let points = [0, 1, 2].map(|i| WinchPoint {
        voltage: plain(given.n(&format!("points[{i}].voltage"))),
        current: plain(given.n(&format!("points[{i}].current"))),
        line_speed: plain(given.n(&format!("points[{i}].line_speed"))),
        pull: plain(given.n(&format!("points[{i}].pull"))),
    });
    let fit = fit_winch(points, plain(given.n("gear_ratio")), plain(given.n("radius"))).unwrap();
    let [constant, no_load, winding] = of(&fit.motor);
    let pair = fit.confounded.unwrap();
    // A winch has one name for each, counted from 1 as in the header.
    same(
        &mut given.run(),
        "fit",
        numbers(&[
            ("motor.constant", constant),
            ("motor.no_load_current", no_load),
            ("motor.winding", winding),
            ("gear_efficiency", fit.gear_efficiency.value.value),
            ("constant_error", fit.constant.standard_error.map_or(unsure, |error| error.value)),
            ("no_load_error", fit.no_load_current.standard_error.map_or(unsure, |error| error.value)),
            ("winding_error", fit.winding.standard_error.map_or(unsure, |error| error.value)),
            ("gear_error", fit.gear_efficiency.standard_error.map_or(unsure, |error| error.value)),
            ("worst_voltage", fit.worst_voltage.value),
            ("worst_torque", 0.0),
            ("worst_current", fit.worst_current.value),
            ("confounded", f64::from(pair.one as i32 + 1)),
            ("confounded_with", f64::from(pair.other as i32 + 1)),
            ("correlation", pair.correlation),
            ("condition", pair.condition),
            ("spare_readings", fit.spare_readings as f64),
        ]),
    );
}

/// Every number that a function gives is compared with Rust's: here, in `rig.rs`, in `schedule.rs`, or in a client in C, which shows it.
#[test]
fn every_member_of_an_output_is_compared() {
    let folder = |name: &str| top().join("tests/clients").join(name);
    let mut here = String::new();
    for file in ["outputs.rs", "ropes.rs", "rig.rs", "enumerators.rs"] {
        here += &std::fs::read_to_string(folder("abi").join(file)).unwrap();
    }
    here += &std::fs::read_to_string(top().join("tests/clients/schedule.rs")).unwrap();
    let mut shown = String::new();
    for entry in std::fs::read_dir(folder("c")).unwrap() {
        let client = std::fs::read_to_string(entry.unwrap().path()).unwrap();
        shown.extend(
            client.split("show(").skip(1).map(|rest| rest.split(");").next().unwrap().to_owned() + " "),
        );
    }
    let words = |text: &str, opening: char| -> BTreeSet<String> {
        let parts = text.split(opening).skip(1);
        parts
            .map(|part| part.chars().take_while(|c| c.is_ascii_alphanumeric() || *c == '_').collect())
            .collect()
    };
    let (here_quoted, here_dotted) = (words(&here, '"'), words(&here, '.'));
    let in_c = words(&shown, '.');
    let mut left = Vec::new();
    for (function, parameters) in &Header::get().functions {
        for parameter in parameters.iter().filter(|one| !one.constant && one.name != "error") {
            let Kind::Pointer(to) = &parameter.kind else { continue };
            let Kind::Struct(name) = &**to else { continue };
            if !Header::get().structs.contains_key(name) {
                continue;
            }
            for leaf in leaves(name) {
                let member = leaf.split(['.', '[']).next().unwrap();
                let compared = [&here_quoted, &here_dotted, &in_c].iter().any(|words| words.contains(member));
                if !compared && Header::get().structs[name].members.len() > 1 {
                    left.push(format!("{function}: {name}.{leaf}"));
                }
            }
        }
    }
    assert!(left.is_empty(), "compared with nothing:\n{}", left.join("\n"));
}
