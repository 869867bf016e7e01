//! How rigs answer to small changes: every output by every input against whole solves on either side.
#![cfg(feature = "serde")]

use rope_mechanics::geometry::{Force3, Point3};
use rope_mechanics::quantity::unit::{meter, newton, ratio};
use rope_mechanics::quantity::{Force, Length, Ratio};
use rope_mechanics::rig::{Change, HoldSpec, Response, Rig, RigError, RigSpec, Solution};

fn m(x: f64) -> Length {
    Length::new::<meter>(x)
}

fn n(x: f64) -> Force {
    Force::new::<newton>(x)
}

fn r(x: f64) -> Ratio {
    Ratio::new::<ratio>(x)
}

/// Ropes of every kind without friction: heavy and weightless, stiffening and not, of one strand and of two, over
/// sheaves and not, of given length and of set tension, taut and slack; points anywhere, on ground, in a plane, on a
/// line.
pub(crate) const STILL: &str = r#"{
    "points": [
        { "name": "head", "at": ["0 m", "0 m", "3 m"], "fixed": true },
        { "name": "far", "at": ["60 m", "3 m", "-20 m"], "fixed": true },
        { "name": "side", "at": ["20 m", "30 m", "5 m"], "fixed": true },
        { "name": "back", "at": ["-6 m", "1 m", "0.5 m"], "fixed": true },
        { "name": "load", "weight": "2 kN", "force": ["50 N", "10 N", "0 N"] },
        { "name": "litter", "weight": "800 N" },
        { "name": "sledge", "weight": "900 N",
          "held": { "ground": { "through": ["5 m", "-12 m", "-20 m"], "normal": [0.5, 0.1, 1] } } },
        { "name": "hovering", "weight": "300 N",
          "held": { "ground": { "through": ["0 m", "0 m", "-90 m"], "normal": [0.1, 0.2, 1] } } },
        { "name": "slider", "weight": "400 N",
          "held": { "plane": { "through": ["10 m", "10 m", "-3 m"], "normal": [0.3, 1, 0.2] } } },
        { "name": "trolley", "weight": "350 N", "force": ["20 N", "0 N", "0 N"],
          "held": { "line": { "through": ["30 m", "-8 m", "-5 m"], "along": [1, 0.2, 0.3] } } }
    ],
    "ropes": [
        { "name": "track", "from": "head", "over": [{ "point": "load" }], "to": "far", "length": "64.5 m",
          "stretch": "20 kN", "stiffening": "30 kN", "weight": "0.6 N/m", "strands": 2 },
        { "name": "haul", "from": "back", "over": [{ "point": "head" }], "to": "load", "length": "37 m",
          "stretch": "30 kN", "stiffening": "100 kN", "weight": "0.7 N/m" },
        { "name": "hoist", "from": "side", "over": [{ "point": "litter" }], "to": "load", "length": "62 m",
          "stretch": "50 kN", "stiffening": "20 kN" },
        { "name": "winch", "from": "litter", "over": [{ "point": "side" }], "to": "far", "tension": "300 N",
          "stretch": "30 kN", "stiffening": "10 kN" },
        { "name": "brake", "from": "load", "over": [{ "point": "side" }], "to": "back", "tension": "400 N",
          "hand": "last", "stretch": "25 kN", "stiffening": "10 kN", "weight": "0.9 N/m" },
        { "name": "tail", "from": "back", "to": "slider", "tension": "150 N", "tension_at": "first",
          "stretch": "25 kN", "weight": "0.4 N/m" },
        { "name": "tether", "from": "head", "to": "sledge", "length": "27 m", "stretch": "30 kN",
          "stiffening": "40 kN" },
        { "name": "drag", "from": "side", "to": "sledge", "length": "60 m", "stretch": "30 kN", "weight": "0.8 N/m" },
        { "name": "sling", "from": "side", "to": "hovering", "length": "16 m", "stretch": "30 kN" },
        { "name": "strop", "from": "head", "to": "slider", "length": "16 m", "stretch": "30 kN" },
        { "name": "cord", "from": "side", "to": "trolley", "length": "43 m", "stretch": "30 kN", "weight": "0.5 N/m" },
        { "name": "stay", "from": "far", "to": "trolley", "length": "38 m", "stretch": "30 kN" },
        { "name": "idle", "from": "back", "over": [{ "point": "side" }], "to": "load", "length": "120 m",
          "stretch": "30 kN" },
        { "name": "loose", "from": "far", "to": "litter", "length": "95 m", "stretch": "30 kN", "weight": "0.3 N/m" }
    ]
}"#;

/// Ropes that move over sheaves and bars, hauled and lowered, from either end.
pub(crate) const MOVING: &str = r#"{
    "points": [
        { "name": "head", "at": ["0 m", "0 m", "3 m"], "fixed": true },
        { "name": "far", "at": ["60 m", "3 m", "-20 m"], "fixed": true },
        { "name": "side", "at": ["20 m", "30 m", "5 m"], "fixed": true },
        { "name": "bollard", "at": ["-4 m", "-2 m", "0 m"], "fixed": true },
        { "name": "back", "at": ["-8 m", "1 m", "0.5 m"], "fixed": true },
        { "name": "load", "weight": "2 kN", "force": ["50 N", "10 N", "0 N"] },
        { "name": "redirect", "weight": "20 N" },
        { "name": "sledge", "weight": "900 N",
          "held": { "ground": { "through": ["5 m", "-12 m", "-20 m"], "normal": [0.5, 0.1, 1] } } },
        { "name": "slider", "weight": "400 N",
          "held": { "plane": { "through": ["10 m", "10 m", "-3 m"], "normal": [0.3, 1, 0.2] } } },
        { "name": "trolley", "weight": "350 N",
          "held": { "line": { "through": ["30 m", "-8 m", "-5 m"], "along": [1, 0.2, 0.3] } } }
    ],
    "ropes": [
        { "name": "track", "from": "head", "over": [{ "point": "load", "efficiency": "95 %" }], "to": "far",
          "length": "64.5 m", "stretch": "20 kN", "stiffening": "30 kN", "weight": "0.6 N/m", "strands": 2,
          "motion": "hauling" },
        { "name": "haul", "from": "load",
          "over": [{ "point": "head", "efficiency": "85 %" }, { "point": "redirect" },
                   { "point": "bollard", "friction": { "raising": 0.03, "lowering": 0.05 }, "wraps": 1 }],
          "to": "back", "length": "48 m", "stretch": "30 kN", "stiffening": "100 kN", "weight": "0.7 N/m",
          "motion": "hauling" },
        { "name": "sling", "from": "side", "to": "redirect", "length": "34 m", "stretch": "30 kN" },
        { "name": "lower", "from": "back", "over": [{ "point": "head", "friction": { "raising": 0.2, "lowering": 0.1 } }],
          "to": "sledge", "length": "36 m", "stretch": "30 kN", "stiffening": "20 kN", "motion": "lowering",
          "hand": "first" },
        { "name": "winch", "from": "slider", "over": [{ "point": "head", "efficiency": "90 %" }], "to": "bollard",
          "tension": "200 N", "stretch": "25 kN", "stiffening": "30 kN", "weight": "0.4 N/m", "motion": "hauling" },
        { "name": "strop", "from": "side", "to": "slider", "length": "26 m", "stretch": "30 kN" },
        { "name": "cord", "from": "back", "over": [{ "point": "side", "efficiency": "80 %" }], "to": "trolley",
          "tension": "500 N", "stretch": "30 kN", "motion": "lowering", "tension_at": "last", "hand": "first" },
        { "name": "stay", "from": "far", "to": "trolley", "length": "38 m", "stretch": "30 kN" }
    ]
}"#;

pub(crate) type Apply = Box<dyn Fn(&mut RigSpec, f64)>;

/// An input: its name, one unit more of it, what makes it a little more, and how much a little is.
pub(crate) struct Input {
    pub(crate) name: String,
    pub(crate) change: Change,
    pub(crate) apply: Apply,
    pub(crate) little: f64,
}

fn axis(k: usize) -> [f64; 3] {
    core::array::from_fn(|i| if i == k { 1.0 } else { 0.0 })
}

fn place([x, y, z]: [f64; 3]) -> Point3 {
    Point3::new(m(x), m(y), m(z))
}

pub(crate) fn inputs(rig: &Rig, spec: &RigSpec) -> Vec<Input> {
    let mut all: Vec<Input> = Vec::new();
    let mut push =
        |name: String, change, little, apply: Apply| all.push(Input { name, change, apply, little });
    for (i, (rope, id)) in spec.ropes.iter().zip(rig.ropes()).enumerate() {
        let name = |what: &str| format!("{what} of {}", rope.name);
        let strands = f64::from(rope.strands);
        if rope.length.is_some() {
            let apply = move |s: &mut RigSpec, by| *s.ropes[i].length.as_mut().unwrap() += m(by);
            push(name("length"), Change::Length(id, m(1.0)), 1e-3, Box::new(apply));
        } else {
            let apply = move |s: &mut RigSpec, by| *s.ropes[i].tension.as_mut().unwrap() += n(by);
            push(name("tension"), Change::Tension(id, n(1.0)), 0.1, Box::new(apply));
        }
        let apply = move |s: &mut RigSpec, by: f64| {
            let rope = &mut s.ropes[i];
            rope.stretch *= 1.0 + by;
            rope.stiffening = rope.stiffening.map(|b| b * (1.0 + by));
        };
        push(name("stiffness"), Change::Stiffness(id, r(1.0)), 1e-2, Box::new(apply));
        let apply = move |s: &mut RigSpec, by| s.ropes[i].stretch += n(by);
        push(name("a"), Change::StretchA(id, n(1.0)), 100.0, Box::new(apply));
        if rope.stiffening.is_some() {
            let apply = move |s: &mut RigSpec, by| *s.ropes[i].stiffening.as_mut().unwrap() += n(by);
            push(name("b"), Change::StretchB(id, n(1.0)), 1000.0, Box::new(apply));
        }
        if rope.weight.is_some() {
            let apply =
                move |s: &mut RigSpec, by| *s.ropes[i].weight.as_mut().unwrap() += n(by / strands) / m(1.0);
            push(name("weight"), Change::Weight(id, n(1.0) / m(1.0)), 1e-3, Box::new(apply));
        }
        for (k, (turn, sheave)) in rope.over.iter().zip(rig.sheaves(id).unwrap()).enumerate() {
            if turn.efficiency.is_some() {
                let apply =
                    move |s: &mut RigSpec, by| *s.ropes[i].over[k].efficiency.as_mut().unwrap() += r(by);
                push(name("efficiency"), Change::Efficiency(sheave, r(1.0)), 1e-3, Box::new(apply));
            }
            if turn.friction.is_some() {
                let apply =
                    move |s: &mut RigSpec, by| s.ropes[i].over[k].friction.as_mut().unwrap().raising += by;
                push(name("raising"), Change::FrictionRaising(sheave, r(1.0)), 1e-3, Box::new(apply));
                let apply =
                    move |s: &mut RigSpec, by| s.ropes[i].over[k].friction.as_mut().unwrap().lowering += by;
                push(name("lowering"), Change::FrictionLowering(sheave, r(1.0)), 1e-3, Box::new(apply));
            }
        }
    }
    for (i, (point, id)) in spec.points.iter().zip(rig.points()).enumerate() {
        for k in 0..3 {
            let name = |what: &str| format!("{what} {} of {}", ["x", "y", "z"][k], point.name);
            let unit = axis(k);
            if point.fixed {
                let apply = move |s: &mut RigSpec, by| {
                    let at = s.points[i].at.as_mut().unwrap();
                    *[&mut at.x, &mut at.y, &mut at.z][k] += m(by);
                };
                push(name("place"), Change::Place(id, place(unit)), 1e-3, Box::new(apply));
                continue;
            }
            let apply = move |s: &mut RigSpec, by: f64| {
                let zero = [rope_mechanics::rig::ForceText(n(0.0)); 3];
                s.points[i].force.get_or_insert(zero)[k].0 += n(by);
            };
            let [x, y, z] = unit.map(n);
            push(name("load"), Change::Load(id, Force3::new(x, y, z)), 0.1, Box::new(apply));
            if point.held.is_some() {
                let apply = move |s: &mut RigSpec, by| {
                    let (HoldSpec::Plane { through, .. }
                    | HoldSpec::Line { through, .. }
                    | HoldSpec::Ground { through, .. }) = s.points[i].held.as_mut().unwrap();
                    *[&mut through.x, &mut through.y, &mut through.z][k] += m(by);
                };
                push(name("through"), Change::Through(id, place(unit)), 1e-3, Box::new(apply));
                let apply = move |s: &mut RigSpec, by| {
                    let (HoldSpec::Plane { normal: axis, .. }
                    | HoldSpec::Line { along: axis, .. }
                    | HoldSpec::Ground { normal: axis, .. }) = s.points[i].held.as_mut().unwrap();
                    axis[k] += by;
                };
                push(name("tilt"), Change::Tilt(id, unit.map(r)), 1e-4, Box::new(apply));
            }
        }
    }
    all
}

/// Everything a solution, or a response, says, in one order: what it is, of which kind, and how much.
macro_rules! outputs {
    ($name:ident, $of:ty, $sags:expr) => {
        pub(crate) fn $name(said: &$of, rig: &Rig) -> Vec<(String, &'static str, f64)> {
            let mut all = Vec::new();
            let mut push =
                |of: &str, kind, what: &str, value: f64| all.push((format!("{what} of {of}"), kind, value));
            for id in rig.points() {
                let name = rig.point_name(id).unwrap();
                let at = said.position(id).unwrap();
                for (what, x) in ["x", "y", "z"].into_iter().zip([at.x, at.y, at.z]) {
                    push(name, "m", what, x.value);
                }
                for (what, f) in
                    [("force", said.rope_force(id).unwrap()), ("reaction", said.reaction(id).unwrap())]
                {
                    for f in [f.x, f.y, f.z] {
                        push(name, "N", what, f.value);
                    }
                }
            }
            for id in rig.ropes() {
                let name = rig.rope_name(id).unwrap();
                push(name, "m", "length", said.length(id).unwrap().value);
                let sags: Vec<f64> = $sags(said, id);
                for (p, sag) in said.parts(id).unwrap().iter().zip(sags) {
                    push(name, "m", "share", p.share.value);
                    push(name, "m", "chord", p.chord.value);
                    push(name, "m", "sag", sag);
                    push(name, "1", "strain", p.strain.value);
                    push(name, "N", "first tension", p.tension_first.value);
                    push(name, "N", "last tension", p.tension_last.value);
                    for f in [p.pull_first, p.pull_last] {
                        for f in [f.x, f.y, f.z] {
                            push(name, "N", "pull", f.value);
                        }
                    }
                }
                for sheave in rig.sheaves(id).unwrap() {
                    let s = said.sheave(sheave).unwrap();
                    push(name, "rad", "turn", s.turn.value);
                    push(name, "rad", "interior", s.interior.value);
                    push(name, "N", "tension before", s.tension_before.value);
                    push(name, "N", "tension after", s.tension_after.value);
                    for f in [s.force.x, s.force.y, s.force.z] {
                        push(name, "N", "force", f.value);
                    }
                }
            }
            all
        }
    };
}

outputs!(solved, Solution, |s: &Solution, id| s.sags(id).unwrap().iter().map(|s| s.value).collect());
outputs!(answered, Response, |s: &Response, id| s.parts(id).unwrap().iter().map(|p| p.sag.value).collect());

/// The rig and its solution, and the spec with every moving point looked for where it is.
pub(crate) fn settled(text: &str) -> (RigSpec, Rig, Solution) {
    let mut spec: RigSpec = serde_json::from_str(text).unwrap();
    for point in &mut spec.points {
        // Unit normals, so that a change of them is a change of a unit vector.
        if let Some(
            HoldSpec::Plane { normal: axis, .. }
            | HoldSpec::Line { along: axis, .. }
            | HoldSpec::Ground { normal: axis, .. },
        ) = &mut point.held
        {
            let size = axis.iter().map(|x| x * x).sum::<f64>().sqrt();
            *axis = axis.map(|x| x / size);
        }
    }
    let rig = spec.build().unwrap();
    let solution = rig.solve().unwrap();
    for (point, id) in spec.points.iter_mut().zip(rig.points()) {
        point.at = Some(solution.position(id).unwrap());
    }
    (spec, rig, solution)
}

/// How many pairs of input and output were compared.
fn compare(text: &str) -> usize {
    let (spec, rig, solution) = settled(text);
    let mut pairs = 0;
    for input in inputs(&rig, &spec) {
        let exact = answered(&solution.response(input.change).unwrap(), &rig);
        let at = |by: f64| {
            let mut spec = spec.clone();
            (input.apply)(&mut spec, by);
            let rig = spec.build().unwrap();
            solved(&rig.solve().unwrap_or_else(|e| panic!("{} {by}: {e}", input.name)), &rig)
        };
        let h = input.little;
        let [a, b, c, d] = [-h, -0.5 * h, 0.5 * h, h].map(at);
        let largest = |kind| exact.iter().filter(|o| o.1 == kind).fold(0.0_f64, |m, o| m.max(o.2.abs()));
        for (i, (what, kind, value)) in exact.iter().enumerate() {
            // Two central differences, extrapolated: what is left is of fourth order.
            let (wide, narrow) = ((d[i].2 - a[i].2) / (2.0 * h), (c[i].2 - b[i].2) / h);
            let quotient = (4.0 * narrow - wide) / 3.0;
            // The solver leaves forces to 1e-13 of the largest, and lengths to the last digits of a hundred metres.
            let rounding = match *kind {
                "N" => 1e-8 / h,
                "m" => 1e-11 / h,
                _ => 1e-12 / h,
            };
            let allowed = 1e-6 * value.abs() + 1e-7 * largest(*kind) + rounding;
            assert!(
                (quotient - value).abs() <= allowed,
                "{what} by {}: {value} is not the quotient {quotient}, to within {allowed:.1e}",
                input.name
            );
            pairs += 1;
        }
    }
    pairs
}

#[test]
fn every_output_answers_to_every_input_as_whole_solves_do() {
    let (still, moving) = (compare(STILL), compare(MOVING));
    println!("{still} and {moving} pairs of input and output");
    assert!(still > 20_000 && moving > 15_000, "{still} {moving}");
}

#[test]
fn what_the_rig_was_not_given_is_no_input() {
    let (_, rig, solution) = settled(STILL);
    let point = |name| rig.find_point(name).unwrap();
    let rope = |name| rig.find_rope(name).unwrap();
    let sheave = |name| rig.sheaves(rope(name)).unwrap().next().unwrap();
    let nothing = Force3::default();
    for (change, name, lacks) in [
        (Change::Load(point("head"), nothing), "head", "load"),
        (Change::Place(point("load"), Point3::default()), "load", "fixed place"),
        (Change::Through(point("load"), Point3::default()), "load", "plane, line or ground"),
        (Change::Tilt(point("head"), [r(0.0); 3]), "head", "plane, line or ground"),
        (Change::Length(rope("winch"), m(0.1)), "winch", "length"),
        (Change::Tension(rope("track"), n(1.0)), "track", "set tension"),
        (Change::Weight(rope("hoist"), n(1.0) / m(1.0)), "hoist", "weight"),
        (Change::FrictionRaising(sheave("haul"), r(0.1)), "haul", "friction raising"),
        (Change::FrictionLowering(sheave("haul"), r(0.1)), "haul", "friction lowering"),
    ] {
        let refused = solution.response(change).unwrap_err();
        assert_eq!(refused, RigError::NoInput { name: name.into(), input: lacks }, "{change:?}");
    }
    assert!(solution.response(Change::Length(rope("track"), m(f64::NAN))).is_err());
    assert!(solution.response(Change::Tilt(point("slider"), [r(f64::INFINITY); 3])).is_err());
    // A rope at rest loses nothing, whatever its sheaves would.
    let still = solution.response(Change::Efficiency(sheave("haul"), r(0.1))).unwrap();
    assert_eq!(still.position(point("load")).unwrap(), Point3::default());
    // A rope that moves and loses nothing anywhere has no equations of loss to change.
    let moving = STILL.replace("\"length\": \"37 m\"", "\"length\": \"37 m\", \"motion\": \"hauling\"");
    let (_, rig, solution) = settled(&moving);
    let sheave = rig.sheaves(rig.find_rope("haul").unwrap()).unwrap().next().unwrap();
    let refused = solution.response(Change::Efficiency(sheave, r(-0.1))).unwrap_err();
    assert_eq!(refused, RigError::NoInput { name: "haul".into(), input: "efficiency" });
}

#[test]
fn a_response_can_be_written_and_read() {
    use rope_mechanics::rig::ResponseRecord;
    let (_, rig, solution) = settled(MOVING);
    let haul = rig.find_rope("haul").unwrap();
    let response = solution.response(Change::Length(haul, m(0.1))).unwrap();
    let record = response.record(&rig).unwrap();
    assert_eq!(record.ropes[1].name, "haul");
    assert_eq!(record.ropes[1].sheaves[2].point, "bollard");
    assert!((record.ropes[1].length.value - 0.1).abs() < 1e-12);
    let text = serde_json::to_string(&record).unwrap();
    let again: ResponseRecord = serde_json::from_str(&text).unwrap();
    assert_eq!(again.points, record.points);
    assert!(response.record(&Rig::new()).is_err());
}
