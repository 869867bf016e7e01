//! The enumerators of a rig, by what a rig built with them does: every member of its answers is compared with Rust's.

use super::call::{Library, Memory};
use super::header::{Header, Kind};
use rope_mechanics::geometry::{Direction3, Force3, Point3};
use rope_mechanics::motion::Motion;
use rope_mechanics::quantity::unit::{meter, newton, ratio};
use rope_mechanics::quantity::{Force, Length, LineWeight, Ratio};
use rope_mechanics::rig::{Change, FreePoint, PointId, Rig, RopeEnd, RopeId, RopeRun, RopeSupply, Solution};
use rope_mechanics::rope::Stretch;
use rope_mechanics::sheave::Turn;
use std::ffi::CString;

fn m(x: f64) -> Length {
    Length::new::<meter>(x)
}

fn n(x: f64) -> Force {
    Force::new::<newton>(x)
}

fn r(x: f64) -> Ratio {
    Ratio::new::<ratio>(x)
}

/// Memory of a struct with these numbers, or constants, at its paths.
fn of(structure: &str, given: &[(&str, &str)]) -> Memory {
    let mut memory = Memory::new(&Kind::Struct(structure.to_owned()), 0);
    for (path, value) in given {
        memory.set(path, Header::get().number(value));
    }
    memory
}

/// A handle that some call makes, its arguments around the handle's place.
#[track_caller]
fn made(function: &str, before: &[usize]) -> usize {
    let mut handle = 0_usize;
    let arguments: Vec<usize> = before.iter().copied().chain([(&raw mut handle) as usize, 0]).collect();
    assert_eq!(Library::get().call(function, &arguments), 0, "{function}");
    assert_ne!(handle, 0);
    handle
}

/// What some call writes.
#[track_caller]
fn answer(function: &str, structure: &str, before: &[usize]) -> Memory {
    let memory = Memory::new(&Kind::Struct(structure.to_owned()), 0);
    let arguments: Vec<usize> = before.iter().copied().chain([memory.address(), 0]).collect();
    assert_eq!(Library::get().call(function, &arguments), 0, "{function}");
    memory
}

/// A rig in C.
struct CRig(usize);

impl CRig {
    fn new() -> Self {
        Self(made("rmech_rig_create", &[]))
    }

    fn fixed(&self, name: &str, [x, y, z]: [&str; 3]) -> Memory {
        let (name, at) = (CString::new(name).unwrap(), of("rmech_point", &[("x", x), ("y", y), ("z", z)]));
        answer("rmech_rig_add_fixed", "rmech_rig_point_id", &[self.0, name.as_ptr() as usize, at.address()])
    }

    fn point(&self, name: &str, given: &[(&str, &str)]) -> Memory {
        let (name, point) = (CString::new(name).unwrap(), of("rmech_rig_point", given));
        answer(
            "rmech_rig_add_point",
            "rmech_rig_point_id",
            &[self.0, name.as_ptr() as usize, point.address()],
        )
    }

    fn rope(
        &self,
        name: &str,
        (from, to): (&Memory, &Memory),
        given: &[(&str, &str)],
        turns: &[(&Memory, &[(&str, &str)])],
    ) -> Memory {
        let (name, mut rope) = (CString::new(name).unwrap(), of("rmech_rig_rope", given));
        rope.set_struct("from", from);
        rope.set_struct("to", to);
        let mut all = Memory::new(&Kind::Struct("rmech_rig_turn".to_owned()), 0);
        for (i, (point, given)) in turns.iter().enumerate() {
            all.set_struct(&format!("[{i}].point"), point);
            for (path, value) in *given {
                all.set(&format!("[{i}].{path}"), Header::get().number(value));
            }
        }
        let arguments = [self.0, name.as_ptr() as usize, rope.address(), all.address(), turns.len()];
        answer("rmech_rig_add_rope", "rmech_rig_rope_id", &arguments)
    }

    fn solve(&self) -> usize {
        made("rmech_rig_solve", &[self.0])
    }
}

impl Drop for CRig {
    fn drop(&mut self) {
        Library::get().call("rmech_rig_destroy", &[self.0]);
    }
}

/// Every number of `memory`, in the order of the header, against Rust's.
#[track_caller]
fn same(memory: &mut Memory, expected: &[(&str, f64)]) {
    let Kind::Struct(name) = memory.kind.clone() else { panic!() };
    let mut paths = Vec::new();
    leaves(&name, "", &mut paths);
    paths.retain(|path| !expected.iter().any(|(given, _)| given == path));
    assert!(paths.is_empty(), "{name}: {paths:?} are compared with nothing");
    for (path, rust) in expected {
        let c = memory.get(path);
        assert!((c - rust).abs() <= 1e-9 * rust.abs().max(1e-6), "{name}.{path}: C {c}, Rust {rust}");
    }
}

fn leaves(structure: &str, path: &str, into: &mut Vec<String>) {
    let members = &Header::get().structs[structure].members;
    for member in members.iter().filter(|one| one.name != "reserved") {
        let inner = if path.is_empty() { member.name.clone() } else { format!("{path}.{}", member.name) };
        match &member.kind {
            Kind::Struct(name) if Header::get().structs[name].members.len() > 1 => leaves(name, &inner, into),
            _ => into.push(inner),
        }
    }
}

fn vector(path: &str, [x, y, z]: [f64; 3]) -> Vec<(String, f64)> {
    vec![(format!("{path}.x"), x), (format!("{path}.y"), y), (format!("{path}.z"), z)]
}

fn forces(f: Force3) -> [f64; 3] {
    [f.x.value, f.y.value, f.z.value]
}

fn places(p: Point3) -> [f64; 3] {
    [p.x.value, p.y.value, p.z.value]
}

#[track_caller]
fn same_all(memory: &mut Memory, expected: Vec<(String, f64)>) {
    same(memory, &expected.iter().map(|(path, value)| (path.as_str(), *value)).collect::<Vec<_>>());
}

/// The same rig in both: a load in a sling and on a hauled rope over a sheave and a bar, its end on a held point, and a
/// rope of set tension. How the point is held, and at which ends hand and tension are, may differ.
struct Both {
    c: CRig,
    rust: Rig,
    points: Vec<(Memory, PointId)>,
    ropes: Vec<(Memory, RopeId)>,
}

fn rigs(hold: &str, hand: &str, tension_end: &str) -> Both {
    let (c, mut rust) = (CRig::new(), Rig::new());
    let mut points = Vec::new();
    let at = |x, y, z| Point3::new(m(x), m(y), m(z));
    for (name, [x, y, z]) in
        [("tree", ["0", "0", "9"]), ("winch", ["14", "1", "8"]), ("post", ["-6", "2", "1"])]
    {
        let [px, py, pz] = [x, y, z].map(|text| text.parse().unwrap());
        points.push((c.fixed(name, [x, y, z]), rust.fixed(name, at(px, py, pz)).unwrap()));
    }
    let free =
        FreePoint::anywhere().with_weight(n(900.0)).with_force(Force3::new(n(20.0), n(30.0), n(-40.0)));
    let load =
        c.point("load", &[("weight", "900"), ("force.x", "20"), ("force.y", "30"), ("force.z", "-40")]);
    points.push((load, rust.point("load", free).unwrap()));

    let normal = || Direction3::new(r(0.1), r(0.3), r(1.0)).unwrap();
    let through = at(3.0, -2.0, 2.0);
    let held = match hold {
        "RMECH_HOLD_FREE" => FreePoint::anywhere(),
        "RMECH_HOLD_PLANE" => FreePoint::on_plane(through, normal()).unwrap(),
        "RMECH_HOLD_LINE" => FreePoint::on_line(through, normal()).unwrap(),
        "RMECH_HOLD_GROUND" => FreePoint::above_ground(through, normal()),
        other => panic!("{other}"),
    };
    let held = held.with_weight(n(60.0)).with_start(at(3.0, -1.0, 2.5));
    let given = [
        ("hold", hold),
        ("flags", "RMECH_RIG_POINT_HAS_START"),
        ("weight", "60"),
        ("start.x", "3"),
        ("start.y", "-1"),
        ("start.z", "2.5"),
        ("through.x", "3"),
        ("through.y", "-2"),
        ("through.z", "2"),
        ("direction[0]", "0.1"),
        ("direction[1]", "0.3"),
        ("direction[2]", "1"),
    ];
    points.push((c.point("held", &given), rust.point("held", held).unwrap()));

    let end = |name| if name == "RMECH_END_FIRST" { RopeEnd::First } else { RopeEnd::Last };
    let stretch = Stretch::stiffening(n(30e3), n(90e3)).unwrap();
    let mass = LineWeight { value: 0.08 * 9.80665, ..LineWeight::default() };
    let common = [("stretch.a", "30e3"), ("stretch.b", "90e3"), ("mass", "0.08")];
    let [tree, winch, post, load, held] = [0, 1, 2, 3, 4].map(|i| points[i].1);
    let mut ropes = Vec::new();
    // The sling.
    let given: Vec<_> = common.iter().copied().chain([("length", "7.5"), ("strands", "2")]).collect();
    let run = RopeRun::new(stretch, RopeSupply::Length(m(7.5)), tree, load).with_weight(mass).with_strands(2);
    ropes
        .push((c.rope("sling", (&points[0].0, &points[3].0), &given, &[]), rust.rope("sling", run).unwrap()));
    // Hauled over a sheave at the winch and a bar at the post.
    let given: Vec<_> = common
        .iter()
        .copied()
        .chain([("length", "37"), ("motion", "RMECH_MOTION_HAULING"), ("hand", hand)])
        .collect();
    let run = RopeRun::new(stretch, RopeSupply::Length(m(37.0)), load, held)
        .with_weight(mass)
        .with_motion(Motion::Hauling, end(hand))
        .over(winch, Turn::sheave(r(0.92)).unwrap())
        .over(post, Turn::bar(r(0.12), r(0.08)).unwrap());
    let turns: [(&Memory, &[(&str, &str)]); 2] = [
        (&points[1].0, &[("turn.kind", "RMECH_TURN_SHEAVE"), ("turn.efficiency", "0.92")]),
        (
            &points[2].0,
            &[
                ("turn.kind", "RMECH_TURN_BAR"),
                ("turn.friction_raising", "0.12"),
                ("turn.friction_lowering", "0.08"),
            ],
        ),
    ];
    ropes.push((
        c.rope("haul", (&points[3].0, &points[4].0), &given, &turns),
        rust.rope("haul", run).unwrap(),
    ));
    // A heavy one of set tension at one of its fixed ends.
    let given: Vec<_> = common
        .iter()
        .copied()
        .chain([("flags", "RMECH_RIG_ROPE_TENSION"), ("tension", "250"), ("tension_end", tension_end)])
        .collect();
    let supply = RopeSupply::Tension { at: end(tension_end), tension: n(250.0) };
    let run = RopeRun::new(stretch, supply, tree, post).with_weight(mass);
    ropes.push((c.rope("tag", (&points[0].0, &points[2].0), &given, &[]), rust.rope("tag", run).unwrap()));
    Both { c, rust, points, ropes }
}

impl Both {
    fn compare(&self) -> (usize, Solution) {
        let (c, rust) = (self.c.solve(), self.rust.solve().unwrap());
        for (id, point) in &self.points {
            let mut place = answer("rmech_rig_solution_point", "rmech_rig_place", &[c, id.address()]);
            let mut expected = vector("at", places(rust.position(*point).unwrap()));
            expected.extend(vector("rope_force", forces(rust.rope_force(*point).unwrap())));
            expected.extend(vector("reaction", forces(rust.reaction(*point).unwrap())));
            expected.push(("on_ground".into(), f64::from(u8::from(rust.on_ground(*point).unwrap()))));
            same_all(&mut place, expected);
        }
        for (id, rope) in &self.ropes {
            for (number, part) in rust.parts(*rope).unwrap().iter().enumerate() {
                let arguments = [c, id.address(), number];
                let mut found = answer("rmech_rig_solution_part", "rmech_rig_part", &arguments);
                let place = |point| -> [f64; 2] {
                    let (id, _) = self.points.iter().find(|(_, known)| *known == point).unwrap();
                    [id.read("rig"), id.read("point")]
                };
                let (from, to) = (place(part.from), place(part.to));
                let mut expected: Vec<(String, f64)> = [
                    ("from.rig", from[0]),
                    ("from.point", from[1]),
                    ("to.rig", to[0]),
                    ("to.point", to[1]),
                    ("share", part.share.value),
                    ("chord", part.chord.value),
                    ("strain", part.strain.value),
                    ("tension_first", part.tension_first.value),
                    ("tension_last", part.tension_last.value),
                    ("sag", rust.sag(*rope, number).unwrap().unwrap().value),
                    ("slack", f64::from(u8::from(part.slack))),
                    ("strands", f64::from(part.strands)),
                ]
                .map(|(path, value)| (path.to_owned(), value))
                .into();
                expected.extend(vector("pull_first", forces(part.pull_first)));
                expected.extend(vector("pull_last", forces(part.pull_last)));
                same_all(&mut found, expected);
            }
            for (number, sheave) in self.rust.sheaves(*rope).unwrap().enumerate() {
                let arguments = [c, id.address(), number];
                let mut found = answer("rmech_rig_solution_sheave", "rmech_rig_sheave", &arguments);
                let sheave = rust.sheave(sheave).unwrap();
                let (at, _) = self.points.iter().find(|(_, known)| *known == sheave.point).unwrap();
                let mut expected: Vec<(String, f64)> = [
                    ("point.rig", at.read("rig")),
                    ("point.point", at.read("point")),
                    ("turn", sheave.turn.value),
                    ("interior", sheave.interior.value),
                    ("tension_before", sheave.tension_before.value),
                    ("tension_after", sheave.tension_after.value),
                ]
                .map(|(path, value)| (path.to_owned(), value))
                .into();
                expected.extend(vector("force", forces(sheave.force)));
                same_all(&mut found, expected);
            }
        }
        let mut proof = answer("rmech_rig_solution_certificate", "rmech_rig_certificate", &[c]);
        let certificate = rust.certificate();
        same(
            &mut proof,
            &[
                ("iterations", f64::from(certificate.iterations)),
                ("unique", f64::from(u8::from(certificate.unique))),
                ("force_residual", certificate.force_residual.value),
                ("closing_residual", certificate.closing_residual.value),
                ("largest_force", certificate.largest_force.value),
                ("least_stiffness", certificate.least_stiffness.value),
            ],
        );
        (c, rust)
    }
}

#[test]
fn what_holds_a_point_and_where_hand_and_tension_are() {
    let mut seen = Vec::new();
    for hold in ["RMECH_HOLD_PLANE", "RMECH_HOLD_LINE", "RMECH_HOLD_GROUND", "RMECH_HOLD_FREE"] {
        let both = rigs(hold, "RMECH_END_LAST", "RMECH_END_LAST");
        let (c, rust) = both.compare();
        Library::get().call("rmech_rig_solution_destroy", &[c]);
        let point = both.points[4].1;
        let place = (places(rust.position(point).unwrap()), rust.on_ground(point).unwrap());
        assert!(!seen.contains(&place), "{hold} is as another one");
        seen.push(place);
    }
    let tensions = |hand: &str, tension_end: &str| {
        let both = rigs("RMECH_HOLD_PLANE", hand, tension_end);
        let (c, rust) = both.compare();
        Library::get().call("rmech_rig_solution_destroy", &[c]);
        let of = |rope: usize| rust.parts(both.ropes[rope].1).unwrap()[0].tension_first.value;
        (of(1), of(2))
    };
    let (last, first) =
        (tensions("RMECH_END_LAST", "RMECH_END_LAST"), tensions("RMECH_END_FIRST", "RMECH_END_FIRST"));
    assert!((last.0 - first.0).abs() > 1.0 && (last.1 - first.1).abs() > 1.0);
    assert!((first.1 - 250.0).abs() < 1e-6, "{first:?}");
}

#[test]
fn each_small_change_of_an_input() {
    let both = rigs("RMECH_HOLD_PLANE", "RMECH_END_LAST", "RMECH_END_LAST");
    let (c, rust) = both.compare();
    let force = Force3::new(n(3.0), n(5.0), n(7.0));
    let place = Point3::new(m(0.01), m(0.02), m(0.03));
    let [tree, load, held] = [0, 3, 4].map(|i| both.points[i].1);
    let [sling, haul, tag] = [0, 1, 2].map(|i| both.ropes[i].1);
    let turns: Vec<_> = both.rust.sheaves(haul).unwrap().collect();
    let weight = LineWeight { value: 0.2, ..LineWeight::default() };
    let changes = [
        ("RMECH_CHANGE_LENGTH", Change::Length(sling, m(0.4)), Some(0), None, 0),
        ("RMECH_CHANGE_TENSION", Change::Tension(tag, n(3.0)), Some(2), None, 0),
        ("RMECH_CHANGE_STIFFNESS", Change::Stiffness(sling, r(0.05)), Some(0), None, 0),
        ("RMECH_CHANGE_STRETCH_A", Change::StretchA(sling, n(3.0)), Some(0), None, 0),
        ("RMECH_CHANGE_STRETCH_B", Change::StretchB(sling, n(3.0)), Some(0), None, 0),
        ("RMECH_CHANGE_WEIGHT", Change::Weight(sling, weight), Some(0), None, 0),
        ("RMECH_CHANGE_EFFICIENCY", Change::Efficiency(turns[0], r(0.05)), Some(1), None, 0),
        ("RMECH_CHANGE_FRICTION_RAISING", Change::FrictionRaising(turns[1], r(0.05)), Some(1), None, 1),
        ("RMECH_CHANGE_FRICTION_LOWERING", Change::FrictionLowering(turns[1], r(0.05)), Some(1), None, 1),
        ("RMECH_CHANGE_LOAD", Change::Load(load, force), None, Some(3), 0),
        ("RMECH_CHANGE_PLACE", Change::Place(tree, place), None, Some(0), 0),
        ("RMECH_CHANGE_THROUGH", Change::Through(held, place), None, Some(4), 0),
        ("RMECH_CHANGE_TILT", Change::Tilt(held, [0.01, -0.02, 0.03].map(r)), None, Some(4), 0),
    ];
    for (kind, change, rope, point, number) in changes {
        let mut by = of(
            "rmech_rig_change",
            &[
                ("kind", kind),
                ("length", "0.4"),
                ("force.x", "3"),
                ("force.y", "5"),
                ("force.z", "7"),
                ("place.x", "0.01"),
                ("place.y", "0.02"),
                ("place.z", "0.03"),
                ("ratio", "0.05"),
                ("line_weight", "0.2"),
                ("tilt[0]", "0.01"),
                ("tilt[1]", "-0.02"),
                ("tilt[2]", "0.03"),
            ],
        );
        by.set("number", f64::from(number));
        if let Some(rope) = rope {
            by.set_struct("rope", &both.ropes[rope].0);
        }
        if let Some(point) = point {
            by.set_struct("point", &both.points[point].0);
        }
        let response = made("rmech_rig_respond", &[c, by.address()]);
        let expected = rust.response(change).unwrap();
        for (id, point) in &both.points {
            let mut moved =
                answer("rmech_rig_response_point", "rmech_rig_point_response", &[response, id.address()]);
            let mut all = vector("moves", places(expected.position(*point).unwrap()));
            all.extend(vector("rope_force", forces(expected.rope_force(*point).unwrap())));
            all.extend(vector("reaction", forces(expected.reaction(*point).unwrap())));
            same_all(&mut moved, all);
        }
        for (id, rope) in &both.ropes {
            let mut longer = answer("rmech_rig_response_length", "rmech_length", &[response, id.address()]);
            same(&mut longer, &[("metres", expected.length(*rope).unwrap().value)]);
            for (number, part) in expected.parts(*rope).unwrap().iter().enumerate() {
                let arguments = [response, id.address(), number];
                let mut found = answer("rmech_rig_response_part", "rmech_rig_part_response", &arguments);
                let mut all: Vec<(String, f64)> = [
                    ("share", part.share.value),
                    ("chord", part.chord.value),
                    ("strain", part.strain.value),
                    ("tension_first", part.tension_first.value),
                    ("tension_last", part.tension_last.value),
                    ("sag", part.sag.value),
                ]
                .map(|(path, value)| (path.to_owned(), value))
                .into();
                all.extend(vector("pull_first", forces(part.pull_first)));
                all.extend(vector("pull_last", forces(part.pull_last)));
                same_all(&mut found, all);
            }
        }
        for (number, turn) in turns.iter().enumerate() {
            let arguments = [response, both.ropes[1].0.address(), number];
            let mut found = answer("rmech_rig_response_sheave", "rmech_rig_sheave_response", &arguments);
            let turn = expected.sheave(*turn).unwrap();
            let mut all: Vec<(String, f64)> = [
                ("turn", turn.turn.value),
                ("interior", turn.interior.value),
                ("tension_before", turn.tension_before.value),
                ("tension_after", turn.tension_after.value),
            ]
            .map(|(path, value)| (path.to_owned(), value))
            .into();
            all.extend(vector("force", forces(turn.force)));
            same_all(&mut found, all);
        }
        Library::get().call("rmech_rig_response_destroy", &[response]);
    }
    Library::get().call("rmech_rig_solution_destroy", &[c]);
}
