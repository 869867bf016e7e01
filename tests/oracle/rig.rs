//! Rigs with sheaves against SciPy's least energy of ropes cut into pieces (`rig.py`), and random rigs.

#[path = "../soaks/random_rigs.rs"]
mod random;

use rope_mechanics::geometry::{Direction3, Force3, Point3};
use rope_mechanics::quantity::unit::{meter, newton, ratio};
use rope_mechanics::quantity::{Force, Length, Ratio};
use rope_mechanics::rig::{
    Change, FreePoint, PointId, Rig, RigError, RopeEnd, RopeId, RopeRun, RopeSupply, Solution,
};
use rope_mechanics::rope::Stretch;
use rope_mechanics::sheave::Turn;
use serde::Deserialize;
use std::collections::BTreeMap;

#[derive(Deserialize)]
struct Case {
    name: String,
    points: Vec<PointCase>,
    ropes: Vec<RopeCase>,
    found: Vec<Found>,
}

#[derive(Deserialize, PartialEq, Clone, Copy)]
#[serde(rename_all = "kebab-case")]
enum Hold {
    Fixed,
    Free,
    Plane,
    Line,
    Ground,
}

#[derive(Deserialize)]
struct PointCase {
    hold: Hold,
    /// Where it is, if fixed.
    at: [f64; 3],
    load: [f64; 3],
    /// Of a plane, a line or ground: a point, and the normal or the direction of the line.
    #[serde(default)]
    through: [f64; 3],
    #[serde(default)]
    direction: [f64; 3],
}

#[derive(Deserialize)]
struct RopeCase {
    nodes: Vec<usize>,
    length: Option<f64>,
    pulled: Option<RopeEnd>,
    tension: Option<f64>,
    a: f64,
    b: f64,
    w: f64,
    strands: u32,
}

/// The least energy of so many pieces in each part.
#[derive(Deserialize)]
struct Found {
    pieces: u32,
    /// How far places and lengths may be from the least energy's, and forces.
    within: [f64; 2],
    /// Where points are that move.
    at: Vec<[f64; 3]>,
    /// Whether they rest on ground.
    grounded: Vec<bool>,
    /// How long ropes of set tension are.
    lengths: Vec<f64>,
    /// What holds all points but the free ones.
    forces: Vec<[f64; 3]>,
}

fn point([x, y, z]: [f64; 3]) -> Point3 {
    let m = Length::new::<meter>;
    Point3::new(m(x), m(y), m(z))
}

fn build(case: &Case) -> (Rig, Vec<PointId>, Vec<RopeId>) {
    let (n, m) = (Force::new::<newton>, Length::new::<meter>);
    let mut rig = Rig::new();
    let point_of = |rig: &mut Rig, (i, p): (usize, &PointCase)| {
        let through = point(p.through);
        let direction = || {
            let [x, y, z] = p.direction.map(Ratio::new::<ratio>);
            Direction3::new(x, y, z).unwrap()
        };
        let free = match p.hold {
            Hold::Fixed => return rig.fixed(&format!("{i}"), point(p.at)).unwrap(),
            Hold::Free => FreePoint::anywhere(),
            Hold::Plane => FreePoint::on_plane(through, direction()).unwrap(),
            Hold::Line => FreePoint::on_line(through, direction()).unwrap(),
            Hold::Ground => FreePoint::above_ground(through, direction()),
        };
        let [x, y, z] = p.load.map(n);
        rig.point(&format!("{i}"), free.with_force(Force3::new(x, y, z))).unwrap()
    };
    let ids: Vec<PointId> = case.points.iter().enumerate().map(|p| point_of(&mut rig, p)).collect();
    let rope_of = |rig: &mut Rig, (i, r): (usize, &RopeCase)| {
        let supply = match (r.length, r.pulled, r.tension) {
            (Some(length), None, None) => RopeSupply::Length(m(length)),
            (None, Some(at), Some(tension)) => RopeSupply::Tension { at, tension: n(tension) },
            _ => panic!("{}: rope {i} has a length or a set tension", case.name),
        };
        let (first, last) = (ids[r.nodes[0]], ids[r.nodes[r.nodes.len() - 1]]);
        let mut run = RopeRun::new(Stretch::stiffening(n(r.a), n(r.b)).unwrap(), supply, first, last)
            .with_weight(n(r.w) / m(1.0))
            .with_strands(r.strands);
        for &over in &r.nodes[1..r.nodes.len() - 1] {
            run = run.over(ids[over], Turn::FRICTIONLESS);
        }
        rig.rope(&format!("{i}"), run).unwrap()
    };
    let ropes = case.ropes.iter().enumerate().map(|r| rope_of(&mut rig, r)).collect();
    (rig, ids, ropes)
}

/// How far all places and lengths are from what was found, and all forces.
fn apart(case: &Case, found: &Found, solution: &Solution, points: &[PointId], ropes: &[RopeId]) -> [f64; 2] {
    let off = |mine: [f64; 3], theirs: &[f64; 3]| {
        mine.iter().zip(theirs).map(|(a, b)| (a - b) * (a - b)).sum::<f64>().sqrt()
    };
    let but =
        |hold: Hold| points.iter().zip(&case.points).filter(move |(_, p)| p.hold != hold).map(|(id, _)| *id);
    assert_eq!(but(Hold::Fixed).count(), found.at.len());
    assert_eq!(but(Hold::Free).count(), found.forces.len());
    for (id, grounded) in but(Hold::Fixed).zip(&found.grounded) {
        assert_eq!(solution.on_ground(id).unwrap(), *grounded, "{}: {} pieces", case.name, found.pieces);
    }
    let places = but(Hold::Fixed).zip(&found.at).map(|(id, at)| {
        let p = solution.position(id).unwrap();
        off([p.x.value, p.y.value, p.z.value], at)
    });
    let pulled = ropes.iter().zip(&case.ropes).filter(|(_, r)| r.pulled.is_some());
    let lengths =
        pulled.zip(&found.lengths).map(|((id, _), l)| (solution.length(*id).unwrap().value - l).abs());
    let forces = but(Hold::Free).zip(&found.forces).map(|(id, force)| {
        let f = solution.reaction(id).unwrap();
        off([f.x.value, f.y.value, f.z.value], force)
    });
    [places.chain(lengths).fold(0.0, f64::max), forces.fold(0.0, f64::max)]
}

#[test]
fn cut_into_ever_smaller_pieces_ropes_converge_to_the_rig() {
    let cases: Vec<Case> = serde_json::from_str(include_str!("rig.json")).unwrap();
    assert!(cases.len() >= 32);
    println!("errors in metres and in newtons by pieces in each part, and the order of their fall");
    for case in &cases {
        let (rig, points, ropes) = build(case);
        let solution = rig.solve().unwrap_or_else(|e| panic!("{}: {e}", case.name));
        let pieces: Vec<u32> = case.found.iter().map(|f| f.pieces).collect();
        let errors: Vec<[f64; 2]> =
            case.found.iter().map(|f| apart(case, f, &solution, &points, &ropes)).collect();
        println!("{} {pieces:?}", case.name);
        for (kind, unit) in ["m", "N"].into_iter().enumerate() {
            let errors: Vec<f64> = errors.iter().map(|e| e[kind]).collect();
            let orders: Vec<f64> = errors.windows(2).map(|e| (e[0] / e[1]).log2()).collect();
            let shown: Vec<String> = errors.iter().map(|e| format!("{e:.2e}")).collect();
            println!("    {} {unit}, order {orders:.3?}", shown.join(" "));
            // An error e that may be off by d moves an order by d/(e·ln 2).
            let unsure: f64 =
                case.found.iter().zip(&errors).rev().take(2).map(|(f, e)| f.within[kind] / e).sum();
            // Pieces with their weight at their ends are a rope to within a constant times 1/n²: order 2, to the next
            // power of 1/n, which is 1/32 at the finest.
            let off = (orders[orders.len() - 1] - 2.0).abs() + unsure / core::f64::consts::LN_2;
            assert!(off < 0.1, "{}: {errors:?} {unit}, orders {orders:?}", case.name);
        }
    }
}

/// `cargo run --release -p rope-checks --bin rig-soak -- 100000` is the same with more.
#[test]
fn random_rigs_are_solved_or_refused_for_a_reason() {
    let mut solved = 0;
    for seed in 0..500 {
        match random::outcome(seed) {
            random::Outcome::Solved { .. } => solved += 1,
            random::Outcome::Refused(_) => {}
            outcome => panic!("seed {seed}: {outcome:?}"),
        }
    }
    assert!(solved > 250, "{solved}");
}

/// A heavy rope lets its sheave rest in few places only, far from where the search starts.
const RARE: [u64; 26] = [
    18, 261, 661, 1114, 1128, 1616, 3300, 3785, 4162, 4405, 4718, 8385, 9731, 11213, 11241, 12441, 13037,
    13347, 13744, 14370, 16138, 18224, 19965, 20133, 21078, 26366,
];
/// Friction ends the equilibrium that the rig has without it; it slides to another.
const SLIDING: [u64; 19] = [
    78, 262, 525, 798, 1315, 1583, 2384, 3053, 3293, 3668, 4530, 4566, 7233, 9905, 11010, 11166, 11579,
    12995, 13273,
];
/// The start stretches a part beyond what its own equations can be solved for, or beyond all reason on the way to an
/// equilibrium that has nothing of it.
const STRETCHED: [u64; 3] = [28_805, 30_272, 48_944];

#[test]
fn rigs_with_few_places_to_rest_are_solved() {
    for seed in RARE.into_iter().chain(SLIDING).chain(STRETCHED) {
        let outcome = random::outcome(seed);
        assert!(matches!(outcome, random::Outcome::Solved { .. }), "seed {seed}: {outcome:?}");
    }
}

/// An equilibrium with friction that a small push would end, and no other.
#[test]
fn an_unstable_equilibrium_is_never_an_answer() {
    let rig = random::case(98, 0).rig;
    match rig.solve() {
        Err(RigError::Unstable { stiffness, .. }) => assert!(stiffness < 0.0, "{stiffness}"),
        other => panic!("{other:?}"),
    }
}

#[derive(Deserialize)]
struct Derivatives {
    span: f64,
    rise: f64,
    length: f64,
    ea: f64,
    w: f64,
    load: f64,
    /// x, z, tension at the head, share on the head's side.
    value: [f64; 4],
    by: BTreeMap<String, [f64; 4]>,
}

#[test]
fn responses_are_the_derivatives_at_sixty_digits() {
    let cases: Vec<Derivatives> = serde_json::from_str(include_str!("rig_derivatives.json")).unwrap();
    for case in &cases {
        let n = Force::new::<newton>;
        let mut rig = Rig::new();
        let head = rig.fixed("head", point([0.0; 3])).unwrap();
        let far = rig.fixed("far", point([case.span, 0.0, case.rise])).unwrap();
        let load = rig.point("load", FreePoint::anywhere().with_weight(n(case.load))).unwrap();
        let m = Length::new::<meter>;
        let stretch = Stretch::linear(n(case.ea)).unwrap();
        let run = RopeRun::new(stretch, RopeSupply::Length(m(case.length)), head, far)
            .over(load, Turn::FRICTIONLESS);
        let track = rig.rope("track", run.with_weight(n(case.w) / m(1.0))).unwrap();
        let solution = rig.solve().unwrap();
        let part = solution.parts(track).unwrap()[0];
        let at = solution.position(load).unwrap();
        for (mine, exact) in
            [at.x.value, at.z.value, part.tension_first.value, part.share.value].iter().zip(case.value)
        {
            // The certificate's nine digits of force, and what they move a point by.
            assert!((mine - exact).abs() <= 1e-9 * exact.abs(), "{mine} {exact}");
        }
        for (input, exact) in &case.by {
            let change = match input.as_str() {
                "length" => Change::Length(track, m(1.0)),
                "stiffness" => Change::Stiffness(track, Ratio::new::<ratio>(1.0 / case.ea)),
                "weight" => Change::Weight(track, n(1.0) / m(1.0)),
                _ => Change::Load(load, Force3::new(n(0.0), n(0.0), n(-1.0))),
            };
            let response = solution.response(change).unwrap();
            let (at, part) = (response.position(load).unwrap(), response.parts(track).unwrap()[0]);
            for (mine, exact) in
                [at.x.value, at.z.value, part.tension_first.value, part.share.value].iter().zip(exact)
            {
                // Nine digits, as the state they are taken at.
                assert!((mine - exact).abs() <= 1e-9 * exact.abs(), "by {input}: {mine} {exact}");
            }
        }
    }
}

#[derive(Deserialize)]
struct InSpace {
    given: BTreeMap<String, f64>,
    value: BTreeMap<String, f64>,
    by: BTreeMap<String, BTreeMap<String, f64>>,
}

/// A heavy stiffening track over the load, a heavy haul rope of set tension over the head, a weightless stiffening guy
/// (`rig_space.py`).
#[test]
fn responses_in_space_are_the_derivatives_at_forty_digits() {
    let case: InSpace = serde_json::from_str(include_str!("rig_space.json")).unwrap();
    let (n, m) = (Force::new::<newton>, Length::new::<meter>);
    let given = |name: &str| case.given[name];
    let three = |name: &str| ["_x", "_y", "_z"].map(|k| given(&format!("{name}{k}")));
    let mut rig = Rig::new();
    let fixed: BTreeMap<&str, PointId> = ["head", "far", "post", "winch"]
        .map(|name| (name, rig.fixed(name, point(three(name))).unwrap()))
        .into();
    let [x, y, z] = three("load").map(n);
    let free = FreePoint::anywhere().with_force(Force3::new(x, y, z)).with_start(point([28.0, 6.0, -9.0]));
    let load = rig.point("load", free).unwrap();
    let curve = |name: &str| {
        Stretch::stiffening(n(given(&format!("{name}_a"))), n(given(&format!("{name}_b")))).unwrap()
    };
    let f = Turn::FRICTIONLESS;
    let run = RopeRun::new(
        curve("track"),
        RopeSupply::Length(m(given("track_length"))),
        fixed["head"],
        fixed["far"],
    )
    .over(load, f)
    .with_weight(n(given("track_w")) / m(1.0));
    let track = rig.rope("track", run).unwrap();
    let winch = RopeSupply::Tension { at: RopeEnd::First, tension: n(given("haul_tension")) };
    let run = RopeRun::new(curve("haul"), winch, fixed["winch"], load)
        .over(fixed["head"], f)
        .with_weight(n(given("haul_w")) / m(1.0));
    let haul = rig.rope("haul", run).unwrap();
    let guy = RopeSupply::Length(m(given("guy_length")));
    let guy = rig.rope("guy", RopeRun::new(curve("guy"), guy, fixed["post"], load)).unwrap();
    let solution = rig.solve().unwrap();
    let sheave = rig.sheaves(track).unwrap().next().unwrap();
    macro_rules! said {
        ($of:expr) => {{
            let (of, t, h) = (&$of, $of.parts(track).unwrap(), $of.parts(haul).unwrap());
            let at = of.position(load).unwrap();
            let (head, far) = (of.reaction(fixed["head"]).unwrap(), of.reaction(fixed["far"]).unwrap());
            BTreeMap::from([
                ("x", at.x.value),
                ("y", at.y.value),
                ("z", at.z.value),
                ("share", t[0].share.value),
                ("haul_length", of.length(haul).unwrap().value),
                ("turn", of.sheave(sheave).unwrap().turn.value),
                ("track_head", t[0].tension_first.value),
                ("track_far", t[1].tension_last.value),
                ("haul_load", h[1].tension_last.value),
                ("guy", of.parts(guy).unwrap()[0].tension_first.value),
                ("head_x", head.x.value),
                ("head_y", head.y.value),
                ("head_z", head.z.value),
                ("far_x", far.x.value),
                ("far_y", far.y.value),
                ("far_z", far.z.value),
            ])
        }};
    }
    let is_force = |name: &str| !matches!(name, "x" | "y" | "z" | "share" | "haul_length" | "turn");
    let check = |mine: BTreeMap<&str, f64>, exact: &BTreeMap<String, f64>, by: &str| {
        assert_eq!(mine.len(), exact.len());
        for (name, exact_value) in exact {
            let mine = mine[name.as_str()];
            let alike = exact.iter().filter(|(other, _)| is_force(other) == is_force(name));
            let largest = alike.fold(0.0_f64, |m, (_, v)| m.max(v.abs()));
            // Nine digits of the largest force, or length, of all.
            assert!((mine - exact_value).abs() <= 1e-9 * largest, "{name} by {by}: {mine} {exact_value}");
        }
    };
    check(said!(solution), &case.value, "nothing");
    for (input, exact) in &case.by {
        let unit = |k: &str| ["x", "y", "z"].map(|axis| if axis == k { 1.0 } else { 0.0 });
        let rope = match input.split_once('_').unwrap().0 {
            "track" => track,
            "haul" => haul,
            _ => guy,
        };
        let change = match input.split_once('_').unwrap() {
            (_, "length") => Change::Length(rope, m(1.0)),
            (_, "tension") => Change::Tension(rope, n(1.0)),
            (_, "a") => Change::StretchA(rope, n(1.0)),
            (_, "b") => Change::StretchB(rope, n(1.0)),
            (_, "w") => Change::Weight(rope, n(1.0) / m(1.0)),
            ("load", k) => {
                let [x, y, z] = unit(k).map(n);
                Change::Load(load, Force3::new(x, y, z))
            }
            (name, k) => Change::Place(fixed[name], point(unit(k))),
        };
        check(said!(solution.response(change).unwrap()), exact, input);
    }
    assert_eq!(case.by.len(), 26);
}
