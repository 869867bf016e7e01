//! The elastic line against a textbook Newton in (H, V) and SciPy's `fsolve`, on the same lines in one run.
//!
//! ```text
//! cargo bench -p rope-mechanics --bench line
//! ```
//!
//! Medians of interleaved rounds. `fsolve` is run where `python3` (or what `PYTHON` names) has SciPy.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::type_complexity,
    reason = "a benchmark that can't go on has failed"
)]

use rope_mechanics::line::elastic::ElasticLine;
use rope_mechanics::quantity::{Force, Length, unit::meter, unit::newton};
use rope_mechanics::rope::Stretch;
use std::hint::black_box;
use std::io::Write;
use std::process::{Command, Stdio};
use std::time::Instant;

const CASES: usize = 2000;
const ROUNDS: usize = 31;
/// A tension further off than this counts as wrong.
const WRONG: f64 = 1e-6;

#[derive(Debug, Clone, Copy)]
struct Case {
    x: f64,
    z: f64,
    l: f64,
    w: f64,
    ea: f64,
}

impl Case {
    fn line(&self) -> ElasticLine {
        let (m, n) = (Length::new::<meter>(1.0), Force::new::<newton>(1.0));
        let stretch = Stretch::linear(n * self.ea).unwrap();
        ElasticLine::new(m * self.x, m * self.z, m * self.l, n * self.w / m, stretch).unwrap()
    }
}

/// The same numbers for the same seed: splitmix64.
struct Random(u64);

impl Random {
    fn even(&mut self, lo: f64, hi: f64) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        lo + (hi - lo) * (((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64)
    }

    fn log(&mut self, lo: f64, hi: f64) -> f64 {
        self.even(lo.ln(), hi.ln()).exp()
    }
}

/// Ropes as they are rigged: 5 to 500 m, up to 60°, from 3 % of strain to 50 % of slack.
fn ordinary(random: &mut Random) -> Case {
    let chord = random.log(5.0, 500.0);
    let angle = random.even(-60.0, 60.0).to_radians();
    let part = match random.even(0.0, 3.0) as u32 {
        0 => 1.0 - random.log(1e-5, 0.03),
        1 => 1.0 + random.log(1e-5, 0.03),
        _ => random.even(0.98, 1.5),
    };
    let (w, ea) = (random.log(0.3, 50.0), random.log(1e4, 1e8));
    Case { x: chord * angle.cos(), z: chord * angle.sin(), l: chord * part, w, ea }
}

/// 0.5 to 100 times the chord, up to 89.9°, stiff and soft.
fn extreme(random: &mut Random) -> Case {
    let chord = random.log(1e-2, 1e5);
    let angle = random.even(-89.9, 89.9).to_radians();
    let l = chord * random.log(0.5, 100.0);
    let (w, ea) = (random.log(1e-6, 1e4), random.log(1e3, 1e12));
    Case { x: chord * angle.cos(), z: chord * angle.sin(), l, w, ea }
}

/// Newton's method on both equations of the elastic catenary, as in Jayaraman & Knudson, Computers & Structures 14
/// (1981): analytic flexibility, the first guess of Peyrot & Goulois (1979), halving where a step makes the gap
/// larger. Returns (H, V) at the second end.
///
/// `RANGE` is the difference of the two asinh, asinh(V_B/H) − asinh(V_A/H).
fn textbook<const RANGE: usize>(case: &Case) -> Option<(f64, f64)> {
    let Case { x, z, l, w, ea } = *case;
    // λ = √(3((L² − Z²)/X² − 1)), 0.2 if the rope is shorter than the chord
    let lambda = if l * l <= x * x + z * z { 0.2 } else { (3.0 * ((l * l - z * z) / (x * x) - 1.0)).sqrt() };
    let mut h = 0.5 * w * x / lambda;
    let mut v = 0.5 * w * (z / lambda.tanh() + l);
    // Gap at the second end, and the flexibility there.
    let gap = |h: f64, v: f64| {
        let va = v - w * l;
        let (tb, ta) = ((h * h + v * v).sqrt(), (h * h + va * va).sqrt());
        let log = match RANGE {
            STANDARD => (v / h).asinh() - (va / h).asinh(),
            QUICK => asinh(v / h) - asinh(va / h),
            _ => ((v + tb) / (va + ta)).ln(),
        };
        let gx = h * (l / ea + log / w) - x;
        let gz = (v - 0.5 * w * l) * l / ea + (tb - ta) / w - z;
        (gx, gz, va, ta, tb, log)
    };
    let mut at = gap(h, v);
    let small = 1e-12 * (x + z.abs() + l);
    for _ in 0..100 {
        let (gx, gz, va, ta, tb, log) = at;
        let size = gx.abs() + gz.abs();
        if size <= small {
            return Some((h, v));
        }
        // ∂X/∂H, ∂X/∂V = ∂Z/∂H, ∂Z/∂V
        let fzz = l / ea + (v / tb - va / ta) / w;
        let fxx = l / ea + (log - (v / tb - va / ta)) / w;
        let fxz = h / w * (1.0 / tb - 1.0 / ta);
        let determinant = fxx * fzz - fxz * fxz;
        let dh = (-gx * fzz + gz * fxz) / determinant;
        let dv = (-gz * fxx + gx * fxz) / determinant;
        let mut part = 1.0;
        loop {
            let (h1, v1) = (h + part * dh, v + part * dv);
            if h1 > 0.0 {
                let next = gap(h1, v1);
                if next.0.abs() + next.1.abs() < size {
                    (h, v, at) = (h1, v1, next);
                    break;
                }
            }
            part *= 0.5;
            if part < 1e-9 {
                return None;
            }
        }
    }
    None
}

/// With the standard library's asinh, as most would write it.
const STANDARD: usize = 0;
/// With an asinh of our own.
const QUICK: usize = 1;
/// As one logarithm, which cancels in slack lines.
const ONE_LOG: usize = 2;

/// Several times quicker than the standard library's, which takes care of squares that overflow.
fn asinh(x: f64) -> f64 {
    let a = x.abs();
    (a + a * a / (1.0 + (1.0 + a * a).sqrt())).ln_1p().copysign(x)
}

const TEXTBOOK: [fn(&Case) -> Option<(f64, f64)>; 3] =
    [textbook::<STANDARD>, textbook::<QUICK>, textbook::<ONE_LOG>];

fn greatest(case: &Case, (h, v): (f64, f64)) -> f64 {
    h.hypot(v).max(h.hypot(v - case.w * case.l))
}

fn main() {
    // `cargo test --benches` only wants to know that it runs.
    let rounds = if std::env::args().any(|argument| argument == "--bench") { ROUNDS } else { 1 };
    let mut random = Random(11);
    for (name, make) in
        [("ordinary", ordinary as fn(&mut Random) -> Case), ("extreme", extreme as fn(&mut Random) -> Case)]
    {
        let cases: Vec<Case> = (0..CASES).map(|_| make(&mut random)).collect();
        let lines: Vec<ElasticLine> = cases.iter().map(Case::line).collect();
        let mut ns = [const { Vec::new() }; 5];
        for _ in 0..rounds {
            let begun = Instant::now();
            for line in &lines {
                let _ = black_box(black_box(line).solve());
            }
            ns[0].push(begun.elapsed().as_nanos() as f64 / CASES as f64);
            let begun = Instant::now();
            for line in &lines {
                let _ = black_box(black_box(line).solve_robust());
            }
            ns[1].push(begun.elapsed().as_nanos() as f64 / CASES as f64);
            for (times, solve) in ns.iter_mut().skip(2).zip(TEXTBOOK) {
                let begun = Instant::now();
                for case in &cases {
                    let _ = black_box(solve(black_box(case)));
                }
                times.push(begun.elapsed().as_nanos() as f64 / CASES as f64);
            }
        }
        let [shipped, robust, standard, quick, one_log] = ns.map(|mut rounds: Vec<f64>| {
            rounds.sort_by(f64::total_cmp);
            rounds[rounds.len() / 2]
        });
        let truth: Vec<f64> = lines
            .iter()
            .map(|line| line.solve_robust().map_or(f64::NAN, |s| s.greatest_tension().value))
            .collect();
        let wrong = |tension: &[f64]| {
            tension
                .iter()
                .zip(&truth)
                .filter(|(got, want)| (*got / *want - 1.0).abs() > WRONG || got.is_nan())
                .count()
        };
        let of_shipped: Vec<f64> =
            lines.iter().map(|line| line.solve().map_or(f64::NAN, |s| s.greatest_tension().value)).collect();
        let of_textbook = |solve: fn(&Case) -> Option<(f64, f64)>| -> Vec<f64> {
            cases.iter().map(|case| solve(case).map_or(f64::NAN, |forces| greatest(case, forces))).collect()
        };
        println!("{name}: {CASES} lines, median of {rounds} rounds");
        let row = |what: &str, ns: f64, failed: usize| {
            println!(
                "  {what:<24}{ns:>10.0} ns a solve {:>8.2} times the shipped path, {failed} wrong or unsolved",
                ns / shipped
            );
        };
        row("shipped path", shipped, wrong(&of_shipped));
        row("robust path", robust, truth.iter().filter(|t| t.is_nan()).count());
        for (what, (ns, solve)) in [
            ("textbook Newton (H, V)", (standard, TEXTBOOK[0])),
            ("  with a quicker asinh", (quick, TEXTBOOK[1])),
            ("  with one logarithm", (one_log, TEXTBOOK[2])),
        ] {
            row(what, ns, wrong(&of_textbook(solve)));
        }
        match fsolve(&cases) {
            Ok((ns, tensions)) => row("SciPy fsolve", ns, wrong(&tensions)),
            Err(why) => println!("  SciPy fsolve            skipped: {why}"),
        }
    }
}

/// Nanoseconds a solve, and the greatest tensions.
fn fsolve(cases: &[Case]) -> Result<(f64, Vec<f64>), String> {
    let python = std::env::var("PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/benches/line_fsolve.py");
    let mut child = Command::new(&python)
        .arg(script)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .map_err(|why| format!("{python} doesn't start ({why})"))?;
    let mut text = String::new();
    for Case { x, z, l, w, ea } in cases {
        text.push_str(&format!("{x:?} {z:?} {l:?} {w:?} {ea:?}\n"));
    }
    // A script that ends early (no SciPy) closes the pipe: its output says so below.
    let _ = child.stdin.take().map(|mut pipe| pipe.write_all(text.as_bytes()));
    let output = child.wait_with_output().map_err(|why| why.to_string())?;
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    let mut numbers = text.split_whitespace().map(str::parse::<f64>);
    match numbers.next() {
        Some(Ok(ns)) => Ok((ns, numbers.filter_map(Result::ok).collect())),
        _ => Err(format!("{python} has no SciPy (set PYTHON to one that has)")),
    }
}
