//! How long rigs take, how many steps, and how the cost grows; beside SciPy on the same energy where Python has it.
//!
//! `cargo bench -p rope-mechanics --bench rig` (`PYTHON` names another Python)
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a benchmark that can't go on has failed"
)]

use rope_mechanics::geometry::Point3;
use rope_mechanics::quantity::unit::{meter, newton};
use rope_mechanics::quantity::{Force, Length};
use rope_mechanics::rig::{Change, FreePoint, Rig, RopeRun, RopeSupply, Solution};
use rope_mechanics::rope::Stretch;
use rope_mechanics::sheave::Turn;
use std::hint::black_box;
use std::process::Command;
use std::time::Instant;

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

/// Three ropes to a loaded node; `w` in N/m.
fn node(w: f64) -> Rig {
    let mut rig = Rig::new();
    let load = rig.point("load", FreePoint::anywhere().with_weight(n(2000.0))).unwrap();
    for (i, (x, y, l)) in [(0.0, 0.0, 9.0), (10.0, 0.0, 8.5), (4.0, 8.0, 9.5)].into_iter().enumerate() {
        let top = rig.fixed(&format!("top {i}"), at(x, y, 5.0)).unwrap();
        let run = RopeRun::new(linear(40e3), RopeSupply::Length(m(l)), top, load).with_weight(n(w) / m(1.0));
        rig.rope(&format!("rope {i}"), run).unwrap();
    }
    rig
}

/// A cable in `parts` parts of `w` N/m with a load at each joint.
fn chain(parts: usize, w: f64) -> Rig {
    let mut rig = Rig::new();
    let span = 100.0;
    let load = 4000.0 / parts as f64;
    let mut before = rig.fixed("left", at(0.0, 0.0, 0.0)).unwrap();
    for i in 1..=parts {
        let next = if i == parts {
            rig.fixed("right", at(span, 0.0, 5.0)).unwrap()
        } else {
            rig.point(&format!("load {i}"), FreePoint::anywhere().with_weight(n(load))).unwrap()
        };
        let length = RopeSupply::Length(m(1.05 * span / parts as f64));
        let run = RopeRun::new(linear(80e3), length, before, next).with_weight(n(w) / m(1.0));
        rig.rope(&format!("part {i}"), run).unwrap();
        before = next;
    }
    rig
}

/// The rig of the reference site (tests/sites/reference.toml): a doubled track through the far sheave over
/// the carriage, tensioned to 1.5 kN unloaded, and the haul rope with the carriage half way.
fn site() -> Rig {
    let ground = 0.2 * 1.5 / 13.5; // below the head
    let f = Turn::FRICTIONLESS;
    let mut rig = Rig::new();
    let mut fixed = |name, p: [f64; 3]| (rig.fixed(name, at(p[0], p[1], p[2])).unwrap(), p);
    let capstan = fixed("capstan", [-7.0, 2.0, 0.9 + ground]);
    let redirect = fixed("redirect", [-0.4, 1.3, 0.3 + ground]);
    let head = fixed("head", [0.0, 0.0, 3.2 + ground]);
    let far = fixed("far anchor", [62.0, 0.0, 0.8 - 43.4]);
    let cell = fixed("load cell", [-6.0, -1.0, 0.6 + ground]);
    let haul_redirect = fixed("haul redirect", [-0.3, -0.8, 0.4 + ground]);
    let winch = fixed("winch", [-7.0, -2.0, 0.9 + ground]);
    let path = |points: &[[f64; 3]]| -> f64 {
        let distance = |p: &[[f64; 3]]| (0..3).map(|k| (p[1][k] - p[0][k]).powi(2)).sum::<f64>().sqrt();
        points.windows(2).map(distance).sum()
    };
    // Patient, litter, attendants and carriage.
    let weight = (90.0 + 25.0 + 85.0 + 20.0) * 9.80665;
    let carriage = rig.point("carriage", FreePoint::anywhere().with_weight(n(weight))).unwrap();
    let track = path(&[capstan.1, redirect.1, head.1, far.1, head.1, cell.1]) / (1.0 + 1500.0 / 50e3);
    let track = RopeRun::new(linear(50e3), RopeSupply::Length(m(track)), capstan.0, cell.0)
        .over(redirect.0, f)
        .over(head.0, f)
        .over(carriage, f)
        .over(far.0, f)
        .over(carriage, f)
        .over(head.0, f);
    rig.rope("track", track.with_weight(n(0.105 * 9.80665) / m(1.0))).unwrap();
    let middle = [31.0, 0.0, -24.0];
    let haul = path(&[winch.1, haul_redirect.1, head.1, middle]);
    let haul = RopeRun::new(linear(80e3), RopeSupply::Length(m(haul)), winch.0, carriage)
        .over(haul_redirect.0, f)
        .over(head.0, f);
    rig.rope("haul", haul.with_weight(n(0.085 * 9.80665) / m(1.0))).unwrap();
    rig
}

/// Seconds for one solve: the least of several rounds, so that other work on the machine counts least.
fn seconds(rig: &Rig) -> f64 {
    let begin = Instant::now();
    black_box(rig.solve().unwrap());
    let once = begin.elapsed().as_secs_f64();
    let each = ((0.02 / once) as usize).clamp(1, 2000);
    let mut least = once;
    for _ in 0..7 {
        let begin = Instant::now();
        for _ in 0..each {
            black_box(rig.solve().unwrap());
        }
        least = least.min(begin.elapsed().as_secs_f64() / each as f64);
    }
    least
}

/// Seconds for the same rig solved again with a centimetre more or less of its last rope, and the most steps.
fn seconds_again(rig: &Rig) -> (f64, u32) {
    let rope = rig.ropes().last().unwrap();
    let mut solution = rig.solve().unwrap();
    let turn = |solution: &mut Solution| {
        let mut most = 0;
        for by in [0.01, -0.01] {
            solution.resolve(&[Change::Length(rope, m(by))]).unwrap();
            most = most.max(solution.certificate().iterations);
        }
        most
    };
    turn(&mut solution);
    let begin = Instant::now();
    let steps = turn(&mut solution);
    let each = ((0.01 / begin.elapsed().as_secs_f64()) as usize).clamp(1, 1000);
    let mut least = f64::INFINITY;
    for _ in 0..7 {
        let begin = Instant::now();
        for _ in 0..each {
            black_box(turn(&mut solution));
        }
        least = least.min(begin.elapsed().as_secs_f64() / (2 * each) as f64);
    }
    (least, steps)
}

fn report(name: &str, rig: &Rig) -> f64 {
    let proof = rig.solve().unwrap().certificate();
    let (time, (again, steps)) = (seconds(rig), seconds_again(rig));
    println!(
        "{name:34} {:12.1} µs {:4} steps  again {:10.1} µs {:2} steps  {:8.1e} N left of {:8.1e} N",
        time * 1e6,
        proof.iterations,
        again * 1e6,
        steps,
        proof.force_residual.value,
        proof.largest_force.value
    );
    time
}

fn main() {
    // `cargo test --benches` only wants to know that it runs.
    let short = std::env::args().any(|a| a == "--test");
    report("3 weightless ropes to a node", &node(0.0));
    report("3 heavy ropes to a node", &node(0.8));
    report("5 loads on a weightless cable", &chain(6, 0.0));
    report("5 loads on a heavy cable", &chain(6, 1.6));
    report("the example site, doubled track", &site());
    for w in [0.0, 1.6] {
        let sizes: &[usize] = if short { &[10, 100] } else { &[10, 100, 1000, 10_000] };
        let mut points = Vec::new();
        for &size in sizes {
            let kind = if w == 0.0 { "weightless" } else { "heavy" };
            let time = report(&format!("chain of {size} {kind} parts"), &chain(size, w));
            points.push(((size as f64).ln(), time.ln()));
        }
        // The exponent of growth: slope of the best straight line through the logarithms.
        let k = points.len() as f64;
        let (mx, my) = points.iter().fold((0.0, 0.0), |s, p| (s.0 + p.0 / k, s.1 + p.1 / k));
        let slope = points.iter().map(|p| (p.0 - mx) * (p.1 - my)).sum::<f64>()
            / points.iter().map(|p| (p.0 - mx) * (p.0 - mx)).sum::<f64>();
        let ends = (points[points.len() - 1].1 - points[points.len() - 2].1)
            / (points[points.len() - 1].0 - points[points.len() - 2].0);
        println!("    grows with the power {slope:.2} of the parts ({ends:.2} over the last decade)");
    }
    if !short {
        let script = concat!(env!("CARGO_MANIFEST_DIR"), "/benches/rig_scipy.py");
        let python = std::env::var("PYTHON").unwrap_or_else(|_| "python3".into());
        let run = Command::new(&python).arg(script).status();
        if !run.is_ok_and(|status| status.success()) {
            println!(
                "NOT COMPARED WITH SCIPY: {python} can't run {script}; PYTHON names another one with NumPy and SciPy"
            );
        }
    }
}
