//! Tackles and doubled tracks as rigs of straight ropes, each against its own solver, with losses and without.

use rope_mechanics::carriage::{HaulRope, Held, Load, Track};
use rope_mechanics::geometry::{Direction3, Force3, Point2, Point3};
use rope_mechanics::motion::Motion;
use rope_mechanics::quantity::unit::{meter, newton, ratio};
use rope_mechanics::quantity::{Force, Length, LineWeight, Ratio};
use rope_mechanics::reeving::{DoubledTrack, DoubledTrackPlaces, DoubledTrackTurns, TrackKnown};
use rope_mechanics::rig::{FreePoint, PointId, Rig, RopeEnd, RopeId, RopeRun, RopeSupply};
use rope_mechanics::rope::Stretch;
use rope_mechanics::sheave::Turn;
use rope_mechanics::tackle::{Layout, Tackle, TackleForces, Usual, UsualForm, UsualRatio};
use std::collections::BTreeMap;

fn m(x: f64) -> Length {
    Length::new::<meter>(x)
}

fn n(x: f64) -> Force {
    Force::new::<newton>(x)
}

fn weight(w: f64) -> LineWeight {
    n(w) / m(1.0)
}

fn at(x: f64, y: f64, z: f64) -> Point3 {
    Point3::new(m(x), m(y), m(z))
}

fn sheave(efficiency: f64) -> Turn {
    Turn::sheave(Ratio::new::<ratio>(efficiency)).unwrap()
}

/// To nine digits of the largest.
#[track_caller]
fn same(a: f64, b: f64, largest: f64) {
    assert!((a - b).abs() <= 1e-9 * largest, "{a} is not {b}");
}

const LOAD: f64 = 1000.0;

/// Where the carriers of a usual tackle stand: the anchor at 0, the load at 40 m, the grabs 10 m out.
fn stands_at(usual: &Usual, name: &str) -> f64 {
    let complex = usual.ratio == UsualRatio::FiveToOneComplex;
    match name {
        "load" => 40.0,
        "grab" | "second block" => 10.0,
        "second grab" => {
            if complex {
                1.0
            } else {
                9.0
            }
        }
        "hand" if complex => 11.0,
        "hand" if usual.lead => 1.0,
        "hand" | "tail" => -1.0,
        _ => 0.0,
    }
}

/// The tackle as a rig: carriers that slide along the line, ropes of hardly any stretch. A grab ends one rope and begins
/// the next; what hangs slack is left out. Which parts of the tackle stand in which rope of the rig, too.
fn as_rig(
    usual: &Usual,
    tackle: &Tackle,
    forces: &TackleForces<'_>,
    turn: Turn,
    motion: Motion,
) -> (Rig, Vec<(RopeId, Vec<usize>)>) {
    let r = Ratio::new::<ratio>;
    let inward = Direction3::new(r(-1.0), r(0.0), r(0.0)).unwrap();
    let mut rig = Rig::new();
    let mut points: BTreeMap<String, PointId> = BTreeMap::new();
    for carrier in tackle.carriers() {
        let name = tackle.carrier_name(carrier);
        let place = at(stands_at(usual, name), 0.0, 0.0);
        let id = match name {
            "load" | "grab" | "second grab" | "second block" => {
                let mut slider = FreePoint::on_line(place, inward).unwrap().with_start(place);
                if name == "load" {
                    slider = slider.with_force(Force3::new(n(LOAD), n(0.0), n(0.0)));
                }
                rig.point(name, slider).unwrap()
            }
            _ => rig.fixed(name, place).unwrap(),
        };
        points.insert(name.to_owned(), id);
    }
    let turns: Vec<_> = forces.sheaves().map(|s| (s.rope, s.stop)).collect();
    let parts: Vec<_> = forces.parts().filter(|p| p.tension > n(0.0)).map(|p| p.part).collect();
    let numbers: Vec<usize> =
        forces.parts().enumerate().filter(|(_, p)| p.tension > n(0.0)).map(|(i, _)| i).collect();
    let mut ropes = Vec::new();
    let mut next = 0;
    while next < parts.len() {
        let begin = next;
        next += 1;
        while next < parts.len()
            && parts[next].rope == parts[begin].rope
            && turns.contains(&(parts[next].rope, parts[next].index))
        {
            next += 1;
        }
        let run_parts = &parts[begin..next];
        let point = |id| points[tackle.carrier_name(id)];
        let length: Length = run_parts.iter().map(|p| p.length).fold(m(0.0), |a, b| a + b);
        let stretch = Stretch::linear(n(1e7)).unwrap();
        let (from, to) = (point(run_parts[0].from), point(run_parts[run_parts.len() - 1].to));
        let mut run =
            RopeRun::new(stretch, RopeSupply::Length(length), from, to).with_motion(motion, RopeEnd::Last);
        for part in &run_parts[1..] {
            run = run.over(point(part.from), turn);
        }
        let id = rig.rope(&format!("rope {}", ropes.len()), run).unwrap();
        ropes.push((id, numbers[begin..next].to_vec()));
    }
    (rig, ropes)
}

#[test]
fn every_usual_tackle_is_a_rig() {
    let layout = Layout::new(m(40.0), m(10.0)).unwrap();
    let mut compared = 0;
    for usual in Usual::all() {
        if usual.ratio == UsualRatio::OneToOne && usual.form == UsualForm::Direct {
            continue; // a hand on the load's rope: nothing to compare
        }
        for efficiency in [1.0, 0.9, 0.62] {
            let turn = sheave(efficiency);
            let tackle = usual.build_alike(&layout, turn).unwrap();
            for motion in [Motion::Hauling, Motion::Lowering, Motion::AtRest] {
                let forces = match motion {
                    Motion::Hauling => tackle.hauling(n(LOAD)),
                    Motion::Lowering => tackle.lowering(n(LOAD)),
                    Motion::AtRest => tackle.without_losses(n(LOAD)),
                }
                .unwrap();
                let (rig, ropes) = as_rig(&usual, &tackle, &forces, turn, motion);
                let solution = rig.solve().unwrap_or_else(|e| panic!("{usual:?} {motion:?}: {e}"));
                let tensions: Vec<f64> = forces.parts().map(|p| p.tension.value).collect();
                for (rope, numbers) in &ropes {
                    for (part, number) in solution.parts(*rope).unwrap().iter().zip(numbers) {
                        same(part.tension_first.value, tensions[*number], forces.highest().value);
                        compared += 1;
                    }
                }
                let (hand, _) = ropes[ropes.len() - 1];
                let parts = solution.parts(hand).unwrap();
                same(parts[parts.len() - 1].tension_last.value, forces.hand().value, LOAD);
            }
        }
    }
    assert!(compared > 500, "{compared}");
}

#[test]
fn a_doubled_track_over_its_frame_is_a_rig() {
    let places = DoubledTrackPlaces {
        capstan: at(-8.0, 2.0, -2.0),
        redirect: at(-1.0, 1.5, -2.5),
        head: at(0.0, 0.0, 0.0),
        far_sheave: at(70.0, 1.0, -45.0),
        anchor: at(-10.0, -1.0, -2.0),
    };
    for [redirect, frame, far_sheave] in [[sheave(1.0); 3], [sheave(0.95), sheave(0.9), sheave(0.85)]] {
        let turns = DoubledTrackTurns { redirect, frame: Some(frame), far_sheave };
        let track = DoubledTrack::new(places, turns).unwrap();
        for motion in [Motion::Hauling, Motion::Lowering] {
            let pull = 4000.0;
            let known = track.tensions(TrackKnown::Capstan(n(pull)), motion).unwrap();
            let mut rig = Rig::new();
            let mut fixed = |name, place| rig.fixed(name, place).unwrap();
            let (capstan, bollard) = (fixed("capstan", places.capstan), fixed("redirect", places.redirect));
            let (head, far) = (fixed("head", places.head), fixed("far", places.far_sheave));
            let anchor = fixed("anchor", places.anchor);
            let supply = RopeSupply::Tension { at: RopeEnd::First, tension: n(pull) };
            let run = RopeRun::new(Stretch::linear(n(40e3)).unwrap(), supply, capstan, anchor)
                .over(bollard, redirect)
                .over(head, frame)
                .over(far, far_sheave)
                .over(head, frame)
                .with_motion(motion, RopeEnd::First);
            let rope = rig.rope("track", run).unwrap();
            let solution = rig.solve().unwrap();
            let parts = solution.parts(rope).unwrap();
            let largest = known.highest().tension.value;
            for (part, tension) in parts.iter().zip(known.all().parts()) {
                same(part.tension_first.value, tension.pulling_side.high.value, largest);
                same(part.tension_last.value, tension.standing_side.high.value, largest);
            }
            for (id, load) in rig.sheaves(rope).unwrap().zip(known.all().turns()) {
                let sheave = solution.sheave(id).unwrap();
                same(sheave.turn.value, load.wrap.value, 1.0);
                same(sheave.force.magnitude().value, load.load.value, largest);
            }
            let both = solution.reaction(head).unwrap();
            let frame = known.frame();
            for (mine, theirs) in [(both.x, frame.x), (both.y, frame.y), (both.z, frame.z)] {
                same(-mine.value, theirs.value, largest);
            }
            // Given its length in place of its pull, the rope pulls as hard.
            let l = solution.length(rope).unwrap();
            let same_tension = track.tensions(TrackKnown::Cell(parts[4].tension_last), motion).unwrap();
            same(same_tension.capstan().high.value, pull, largest);
            assert!(l > m(150.0));
        }
    }
}

#[test]
fn a_carriage_on_a_doubled_track_is_the_held_carriage_on_two_strands() {
    let point = |x: f64, z: f64| Point2::new(m(x), m(z));
    let two = Stretch::linear(n(80e3)).unwrap();
    let track = Track::new(point(0.0, 0.0), point(70.0, -45.0), m(80.25), weight(1.66713), two).unwrap();
    let one = Stretch::linear(n(40e3)).unwrap();
    for l in [41.0, 30.0, 55.0] {
        let haul = HaulRope::new(point(0.0, 0.0)).unwrap().with_stretch(one);
        let held = Held::new(track, Load::new(n(2451.6625)).unwrap(), haul).by_haul_length(m(l)).unwrap();
        let mut rig = Rig::new();
        let head = rig.fixed("head", at(0.0, 0.0, 0.0)).unwrap();
        let far = rig.fixed("far", at(70.0, 0.0, -45.0)).unwrap();
        let load = rig.point("load", FreePoint::anywhere().with_weight(n(2451.6625))).unwrap();
        let f = Turn::FRICTIONLESS;
        let run = RopeRun::new(one, RopeSupply::Length(m(2.0 * 80.25)), head, head)
            .over(load, f)
            .over(far, f)
            .over(load, f);
        let rope = rig.rope("track", run.with_weight(weight(0.833565))).unwrap();
        let pull = rig.rope("haul", RopeRun::new(one, RopeSupply::Length(m(l)), head, load)).unwrap();
        let solution = rig.solve().unwrap();
        let parts = solution.parts(rope).unwrap();
        let largest = held.tension.head.value;
        same(2.0 * parts[0].tension_first.value, held.tension.head.value, largest);
        same(2.0 * parts[0].tension_last.value, held.tension.carriage_upper.value, largest);
        same(2.0 * parts[1].tension_last.value, held.tension.far.value, largest);
        same(
            solution.parts(pull).unwrap()[0].tension_last.value,
            held.haul.unwrap().at_carriage.value,
            largest,
        );
        same(solution.position(load).unwrap().x.value, held.position.x.value, 70.0);
        same(solution.position(load).unwrap().z.value, held.position.z.value, 70.0);
    }
}
