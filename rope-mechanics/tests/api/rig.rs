//! Rigs: what any correct equilibrium must be, whatever solved it.

use rope_mechanics::geometry::{Direction3, Force3, Point3};
use rope_mechanics::quantity::unit::{meter, newton};
use rope_mechanics::quantity::{Force, Length, LineWeight, Ratio};
use rope_mechanics::rig::{End, FreePoint, Rig, RigError, Run, Supply};
use rope_mechanics::rope::Stretch;
use rope_mechanics::sheave::{Motion, Turn};

fn m(x: f64) -> Length {
    Length::new::<meter>(x)
}

fn n(x: f64) -> Force {
    Force::new::<newton>(x)
}

fn at(x: f64, y: f64, z: f64) -> Point3 {
    Point3::new(m(x), m(y), m(z))
}

fn linear(ea: f64) -> Stretch {
    Stretch::linear(n(ea)).unwrap()
}

fn length(l: f64) -> Supply {
    Supply::Length(m(l))
}

fn weight(w: f64) -> LineWeight {
    n(w) / m(1.0)
}

fn close(a: f64, b: f64, tolerance: f64) {
    assert!((a - b).abs() <= tolerance, "{a} is not {b} to within {tolerance}");
}

#[test]
fn a_load_on_one_rope_hangs_straight_below() {
    let mut rig = Rig::new();
    let top = rig.fixed("top", at(1.0, 2.0, 10.0)).unwrap();
    let load = rig.point("load", FreePoint::anywhere().with_weight(n(1000.0))).unwrap();
    let rope = rig.rope("rope", Run::new(linear(50e3), length(4.0), top, load)).unwrap();
    let solution = rig.solve().unwrap();
    let p = solution.position(load).unwrap();
    close(p.x.value, 1.0, 1e-12);
    close(p.y.value, 2.0, 1e-12);
    // T = EA·ε
    close(p.z.value, 10.0 - 4.0 * (1.0 + 1000.0 / 50e3), 1e-12);
    let part = solution.parts(rope).unwrap()[0];
    close(part.tension_first.value, 1000.0, 1e-7);
    close(solution.reaction(top).unwrap().z.value, 1000.0, 1e-7);
    let proof = solution.certificate();
    assert!(proof.unique);
    // A pendulum: T/ℓ sideways is the least.
    close(proof.least_stiffness.value, 1000.0 / 4.08, 1e-4);
}

#[test]
fn a_frictionless_carriage_has_equal_tension_on_both_sides() {
    for w in [0.0, 0.8] {
        let mut rig = Rig::new();
        let left = rig.fixed("left", at(0.0, 0.0, 0.0)).unwrap();
        let right = rig.fixed("right", at(30.0, 5.0, 6.0)).unwrap();
        let carriage = rig.point("carriage", FreePoint::anywhere().with_weight(n(2000.0))).unwrap();
        let run = Run::new(linear(40e3), length(33.0), left, right).over(carriage, Turn::FRICTIONLESS);
        let track = rig.rope("track", run.with_weight(weight(w))).unwrap();
        let solution = rig.solve().unwrap();
        let parts = solution.parts(track).unwrap();
        close(parts[0].tension_last.value, parts[1].tension_first.value, 1e-7);
        close((parts[0].share + parts[1].share).value, 33.0, 1e-12);
        let sheave = solution.sheave(rig.sheaves(track).unwrap().next().unwrap()).unwrap();
        close(sheave.force.z.value, 2000.0, 1e-6);
        close(sheave.force.x.value, 0.0, 1e-6);
        let proof = solution.certificate();
        assert!(proof.closing_residual.value < 1e-11, "{proof:?}");
        assert_eq!(proof.unique, w == 0.0);
    }
}
