//! Solves random lines, ordinary and extreme ones in turn, and checks each by laying its rope out again; many at once
//! must be what each is alone, to the last bit.
//!
//! ```text
//! cargo run --release -p rope-checks --bin line-soak -- 10000000 [seed]
//! ```

#![allow(clippy::unwrap_used, clippy::indexing_slicing, reason = "what can't be checked has failed")]

use rope_checks::line::{Case, RandomLines, closing_error};
use rope_mechanics::line::many::{Answers, LineStatus, Lines};
use rope_mechanics::quantity::unit::{meter, newton};
use rope_mechanics::quantity::{Force, Length, LineWeight};
use rope_mechanics::rope::Stretch;
use std::process::ExitCode;
use std::time::Instant;

/// A larger error counts as a failure, in terms of the greatest tension.
const ALLOWED: f64 = 1e-11;

fn main() -> ExitCode {
    let mut arguments = std::env::args().skip(1);
    let count: u64 = arguments.next().and_then(|text| text.parse().ok()).unwrap_or(1_000_000);
    let seed: u64 = arguments.next().and_then(|text| text.parse().ok()).unwrap_or(1);
    let begun = Instant::now();
    let (mut failures, mut worst, mut most) = (0_u64, 0.0_f64, 0);
    let mut several = Several::default();
    for (number, case) in (1..=count).zip(RandomLines::new(seed)) {
        failures += several.add(&case);
        match case.line().solve() {
            Ok(state) => {
                let error = closing_error(&case, &state);
                most = most.max(state.report().iterations);
                worst = worst.max(error);
                if !(error <= ALLOWED) {
                    failures += 1;
                    println!("{case:?}: error {error:e}, {:?}", state.report());
                }
            }
            Err(why) => {
                failures += 1;
                println!("{case:?}: {why}");
            }
        }
        if failures > 20 {
            println!("stopped after {number} lines");
            break;
        }
        if number % 1_000_000 == 0 {
            eprintln!("{number} lines, {failures} failures, {:.0} s", begun.elapsed().as_secs_f64());
        }
    }
    failures += several.solve();
    println!("{count} lines, {failures} failures, worst error of a tension {worst:.1e}, most steps {most}");
    if failures == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

/// Lines that are solved at once.
#[derive(Default)]
struct Several {
    spans: Vec<Length>,
    rises: Vec<Length>,
    lengths: Vec<Length>,
    weights: Vec<LineWeight>,
    stretches: Vec<Stretch>,
}

impl Several {
    /// Adds one, and solves them when there are a thousand: how many are not what they are alone.
    fn add(&mut self, case: &Case) -> u64 {
        let (m, n) = (Length::new::<meter>, Force::new::<newton>);
        self.spans.push(m(case.span_m));
        self.rises.push(m(case.rise_m));
        self.lengths.push(m(case.length_m));
        self.weights.push(n(case.weight_n_per_m) / m(1.0));
        self.stretches.push(Stretch::linear(n(case.axial_n)).unwrap());
        if self.spans.len() < 1000 { 0 } else { self.solve() }
    }

    fn solve(&mut self) -> u64 {
        let Self { spans, rises, lengths, weights, stretches } = std::mem::take(self);
        let lines = Lines::new(&spans, &rises, &lengths, &weights, &stretches).unwrap();
        let mut status = vec![LineStatus::Unsolved; lines.len()];
        let zero = vec![Force::new::<newton>(0.0); lines.len()];
        let (mut h, mut first, mut last) = (zero.clone(), zero.clone(), zero);
        let mut answers = Answers::new(&mut status)
            .horizontal_tension(&mut h)
            .first_tension(&mut first)
            .last_tension(&mut last);
        lines.solve(&mut answers).unwrap();
        let mut different = 0;
        for i in 0..lines.len() {
            let alone = lines.line(i).unwrap().unwrap().solve();
            let same = match &alone {
                Ok(alone) => {
                    status[i] == LineStatus::Solved
                        && [h[i], first[i], last[i]]
                            == [alone.horizontal_tension(), alone.first_tension(), alone.last_tension()]
                }
                Err(_) => status[i] != LineStatus::Solved,
            };
            if !same {
                different += 1;
                println!("{:?}: at once {:?} {:?}, alone {alone:?}", lines.line(i), status[i], h[i]);
            }
        }
        different
    }
}
