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
use rope_mechanics::rig::{FreePoint, Rig, Run, Supply};
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
        let run = Run::new(linear(40e3), Supply::Length(m(l)), top, load).with_weight(n(w) / m(1.0));
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
        let length = Supply::Length(m(1.05 * span / parts as f64));
        let run = Run::new(linear(80e3), length, before, next).with_weight(n(w) / m(1.0));
        rig.rope(&format!("part {i}"), run).unwrap();
        before = next;
    }
    rig
}

/// The rig of a roadside rescue: a doubled track through the far sheave, a haul rope over the frame, a belay.
fn site() -> Rig {
    let mut rig = Rig::new();
    let f = Turn::FRICTIONLESS;
    let winch = rig.fixed("track winch", at(-6.0, 0.5, 0.8)).unwrap();
    let head = rig.fixed("head", at(0.0, 0.0, 3.0)).unwrap();
    let cell = rig.fixed("load cell", at(-5.0, -0.5, 0.5)).unwrap();
    let far = rig.fixed("far anchor", at(70.0, 0.0, -45.0)).unwrap();
    let hauler = rig.fixed("haul winch", at(-6.0, -1.0, 0.8)).unwrap();
    let belayer = rig.fixed("belay", at(-3.0, 4.0, 0.0)).unwrap();
    let carriage = rig.point("carriage", FreePoint::anywhere().with_weight(n(2451.66))).unwrap();
    let w = |x: f64| n(x) / m(1.0);
    let track = Run::new(linear(40e3), Supply::Length(m(181.0)), winch, cell);
    let track = track.over(head, f).over(carriage, f).over(far, f).over(carriage, f).over(head, f);
    rig.rope("track", track.with_weight(w(0.83))).unwrap();
    let haul = Run::new(linear(40e3), Supply::Length(m(48.0)), hauler, carriage).over(head, f);
    rig.rope("haul", haul.with_weight(w(0.83))).unwrap();
    let belay = Run::new(linear(40e3), Supply::Length(m(52.0)), belayer, carriage);
    rig.rope("belay", belay.with_weight(w(0.83))).unwrap();
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

fn report(name: &str, rig: &Rig) -> f64 {
    let proof = rig.solve().unwrap().certificate();
    let time = seconds(rig);
    println!(
        "{name:34} {:12.1} µs {:4} steps  {:8.1e} N left of {:8.1e} N",
        time * 1e6,
        proof.iterations,
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
    report("roadside rig, doubled track", &site());
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
        match Command::new(std::env::var("PYTHON").unwrap_or_else(|_| "python3".into())).arg(script).output()
        {
            Ok(out) if out.status.success() => print!("{}", String::from_utf8_lossy(&out.stdout)),
            _ => println!("no SciPy here to compare with"),
        }
    }
}
