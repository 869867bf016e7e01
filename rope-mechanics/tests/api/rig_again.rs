//! A rig solved again after a change: it is what the changed rig is when solved from the beginning.
#![cfg(feature = "serde")]

use crate::rig_response::{MOVING, STILL, inputs, settled, solved};
use rope_mechanics::geometry::Point3;
use rope_mechanics::quantity::unit::{meter, newton, ratio};
use rope_mechanics::quantity::{Force, Length, Ratio};
use rope_mechanics::rig::{Change, HoldSpec, PointSpec, RigError, Solution};

fn m(x: f64) -> Length {
    Length::new::<meter>(x)
}

fn n(x: f64) -> Force {
    Force::new::<newton>(x)
}

/// So many units of a change.
fn times(change: Change, by: f64) -> Change {
    let place = |p: Point3| Point3::new(p.x * by, p.y * by, p.z * by);
    match change {
        Change::Length(id, x) => Change::Length(id, x * by),
        Change::Tension(id, x) => Change::Tension(id, x * by),
        Change::Stiffness(id, x) => Change::Stiffness(id, x * by),
        Change::StretchA(id, x) => Change::StretchA(id, x * by),
        Change::StretchB(id, x) => Change::StretchB(id, x * by),
        Change::Weight(id, x) => Change::Weight(id, x * by),
        Change::Efficiency(id, x) => Change::Efficiency(id, x * by),
        Change::FrictionRaising(id, x) => Change::FrictionRaising(id, x * by),
        Change::FrictionLowering(id, x) => Change::FrictionLowering(id, x * by),
        Change::Load(id, mut f) => {
            (f.x, f.y, f.z) = (f.x * by, f.y * by, f.z * by);
            Change::Load(id, f)
        }
        Change::Place(id, p) => Change::Place(id, place(p)),
        Change::Through(id, p) => Change::Through(id, place(p)),
        Change::Tilt(id, t) => Change::Tilt(id, t.map(|x| x * by)),
        other => panic!("{other:?}"),
    }
}

/// Every output of one is that of the other. Each leaves forces to 1e-13 of the largest, and lengths to the last digits of a
/// hundred metres; the softest part of these rigs makes a hundred times as much of it.
fn same(one: &Solution, other: &Solution, what: &str) {
    let (rig, other_rig) = (one.rig(), other.rig());
    for (one, other) in solved(one, rig).iter().zip(solved(other, other_rig)) {
        assert_eq!(one.0, other.0);
        let allowed = match one.1 {
            "N" => 1e-8,
            "m" => 1e-10,
            _ => 1e-11,
        };
        assert!((one.2 - other.2).abs() <= allowed, "{what}: {} is {} and {}", one.0, one.2, other.2);
    }
}

/// So much of a vector added to a unit vector, but for what it has in its direction.
fn tilt(point: &mut PointSpec, by: [Ratio; 3], share: f64) {
    let Some(
        HoldSpec::Plane { normal: axis, .. }
        | HoldSpec::Line { along: axis, .. }
        | HoldSpec::Ground { normal: axis, .. },
    ) = &mut point.held
    else {
        panic!("{} can't be tilted", point.name)
    };
    let along: f64 = axis.iter().zip(by).map(|(axis, by)| axis * by.value).sum();
    let turned: [f64; 3] = std::array::from_fn(|i| axis[i] + share * (by[i].value - along * axis[i]));
    let size = turned.iter().map(|x| x * x).sum::<f64>().sqrt();
    *axis = turned.map(|x| x / size);
}

/// How many changes were made, and how many of the small ones took no more than three steps.
fn as_from_the_beginning(text: &str, most: u32) -> (usize, usize) {
    let (spec, rig, solution) = settled(text);
    let (mut changes, mut quick) = (0, 0);
    for input in inputs(&rig, &spec) {
        // Once a little, once a good deal more, and back by both together.
        let mut again = solution.clone();
        let mut changed = spec.clone();
        for by in [input.little, 30.0 * input.little] {
            let name = format!("{by} of {}", input.name);
            again.resolve(&[times(input.change, by)]).unwrap_or_else(|why| panic!("{name}: {why}"));
            let steps = again.certificate().iterations;
            if let Change::Tilt(id, unit) = input.change {
                tilt(&mut changed.points[rig.points().position(|point| point == id).unwrap()], unit, by);
            } else {
                (input.apply)(&mut changed, by);
            }
            let fresh = changed.build().unwrap().solve().unwrap();
            same(&again, &fresh, &name);
            // What it says it is made of is what it is.
            same(&again, &again.rig().solve().unwrap(), &name);
            changes += 1;
            quick += usize::from(by == input.little && steps <= most);
        }
        // A plane that has turned is not turned back by as much, nor is a rope half as stiff again by half.
        if !matches!(input.change, Change::Tilt(..) | Change::Stiffness(..)) {
            let back = times(input.change, -input.little);
            again.resolve(&[back, times(back, 30.0)]).unwrap();
            same(&again, &solution, &input.name);
        }
    }
    (changes, quick)
}

#[test]
fn a_changed_rig_solved_again_is_one_solved_from_the_beginning() {
    let (changes, quick) = as_from_the_beginning(STILL, 3);
    println!("{changes} changes without friction, {quick} small ones in three steps");
    assert!(changes > 150 && 2 * quick == changes, "{changes} {quick}");
    let (changes, quick) = as_from_the_beginning(MOVING, 5);
    println!("{changes} changes with friction, {quick} small ones in five steps");
    // One of them begins anew.
    assert!(changes > 100 && 2 * (quick + 1) >= changes, "{changes} {quick}");
}

/// A load let down 20 m in steps of 10 cm, its rope paid out and its weight changed at once, drifts off nowhere.
#[test]
fn two_hundred_steps_lead_where_one_leads() {
    let (_, rig, mut solution) = settled(STILL);
    let (track, load) = (rig.find_rope("hoist").unwrap(), rig.find_point("litter").unwrap());
    let mut more = rope_mechanics::geometry::Force3 { z: n(-1.0), ..Default::default() };
    let mut steps = 0;
    for _ in 0..200 {
        solution.resolve(&[Change::Length(track, m(0.1)), Change::Load(load, more)]).unwrap();
        steps += solution.certificate().iterations;
    }
    same(&solution, &solution.rig().solve().unwrap(), "200 steps");
    assert!(steps <= 700, "{steps}");
    // All of it at once, and all back at once.
    let (_, rig, mut once) = settled(STILL);
    let (track, load) = (rig.find_rope("hoist").unwrap(), rig.find_point("litter").unwrap());
    more.z = n(-200.0);
    once.resolve(&[Change::Length(track, m(20.0)), Change::Load(load, more)]).unwrap();
    same(&once, &solution, "one step");
}

#[test]
fn a_change_that_is_refused_leaves_the_solution_as_it_was() {
    let (_, rig, solution) = settled(STILL);
    let mut again = solution.clone();
    let rope = |name| rig.find_rope(name).unwrap();
    let point = |name| rig.find_point(name).unwrap();
    let sheave = rig.sheaves(rope("haul")).unwrap().next().unwrap();
    let r = Ratio::new::<ratio>;
    let other = settled(MOVING).1;
    for (change, said) in [
        (Change::Length(rope("track"), m(-64.5)), "rope_length"),
        (Change::Length(rope("track"), m(f64::NAN)), "length_change"),
        (Change::Tension(rope("winch"), n(-300.0)), "set_tension"),
        (Change::Stiffness(rope("track"), r(-1.0)), "factor"),
        (Change::StretchB(rope("track"), n(-31e3)), "stretch_b"),
        (Change::Weight(rope("track"), n(-1.2) / m(1.0)), "rope_weight"),
        (Change::Weight(rope("hoist"), n(1.0) / m(1.0)), "weight"),
        (Change::FrictionRaising(sheave, r(0.1)), "friction raising"),
        (Change::Place(point("load"), Point3::default()), "fixed place"),
        (Change::Length(other.find_rope("track").unwrap(), m(0.1)), "another rig"),
        // Shorter than the way between its fixed ends by more than it may stretch.
        (Change::Length(rope("track"), m(-30.0)), "track"),
    ] {
        // Beside one that could be made.
        let why = again.resolve(&[Change::Length(rope("haul"), m(0.2)), change]).unwrap_err();
        assert!(why.to_string().contains(said), "{change:?}: {why}");
        assert_eq!(solved(&again, again.rig()), solved(&solution, &rig), "{change:?}");
        assert_eq!(again.certificate(), solution.certificate());
        same(&again.rig().solve().unwrap(), &solution, said);
    }
    again.resolve(&[Change::Length(rope("haul"), m(0.2))]).unwrap();
    let mut fresh = solution.clone();
    fresh.resolve(&[Change::Length(rope("haul"), m(0.2))]).unwrap();
    assert_eq!(solved(&again, again.rig()), solved(&fresh, fresh.rig()));
    assert!(matches!(
        again.resolve(&[Change::Tilt(point("load"), [r(0.1); 3])]),
        Err(RigError::NoInput { .. })
    ));
    // Nothing changed is nothing changed.
    again.resolve(&[]).unwrap();
    same(&again, &fresh, "no change");
}

/// A rope at rest that begins to lose at its turn, or ceases to, once it moves: other equations.
#[test]
fn a_turn_that_begins_to_lose_is_another_rig() {
    let text = STILL.replace(
        "\"over\": [{ \"point\": \"head\" }], \"to\": \"load\", \"length\": \"37 m\"",
        "\"over\": [{ \"point\": \"head\" }], \"to\": \"load\", \"length\": \"37 m\", \"motion\": \"hauling\"",
    );
    let (mut spec, rig, solution) = settled(&text);
    let sheave = rig.sheaves(rig.find_rope("haul").unwrap()).unwrap().next().unwrap();
    let mut again = solution.clone();
    again.resolve(&[Change::Efficiency(sheave, Ratio::new::<ratio>(-0.1))]).unwrap();
    spec.ropes[1].over[0].efficiency = Some(Ratio::new::<ratio>(0.9));
    same(&again, &spec.build().unwrap().solve().unwrap(), "a loss");
    again.resolve(&[Change::Efficiency(sheave, Ratio::new::<ratio>(0.1))]).unwrap();
    same(&again, &solution, "no loss any more");
}
