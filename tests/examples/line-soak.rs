//! Solves random lines, ordinary and extreme ones in turn, and checks each by laying its rope out again.
//!
//! ```text
//! cargo run --release -p rope-checks --example line-soak -- 10000000 [seed]
//! ```

use rope_checks::line::{RandomLines, closing_error};
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
    for (number, case) in (1..=count).zip(RandomLines::new(seed)) {
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
    println!("{count} lines, {failures} failures, worst error of a tension {worst:.1e}, most steps {most}");
    if failures == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}
