//! Solves random rigs and prints what came of them.
//!
//! `cargo run --release -p rope-checks --example rig-soak -- 100000` (a second number: the first seed)
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a random rig that can't be built is a fault of the test"
)]

mod random;

use random::Outcome;
use std::collections::BTreeMap;
use std::time::Instant;

fn main() {
    let mut numbers = std::env::args().skip(1).filter_map(|a| a.parse::<u64>().ok());
    let count = numbers.next().unwrap_or(10_000);
    let first = numbers.next().unwrap_or(0);
    let begin = Instant::now();
    let mut iterations: BTreeMap<u32, u64> = BTreeMap::new();
    let mut impossible: BTreeMap<&str, u64> = BTreeMap::new();
    let (mut failed, mut wrong, mut solved) = (0, 0, 0_u64);
    for seed in first..first + count {
        match random::outcome(&random::rig(seed)) {
            Outcome::Solved { iterations: i } => {
                solved += 1;
                *iterations.entry(i.next_power_of_two()).or_default() += 1;
            }
            Outcome::Impossible(why) => *impossible.entry(why).or_default() += 1,
            Outcome::Failed(why) => {
                failed += 1;
                if failed <= 20 {
                    println!("seed {seed} FAILED: {why}");
                }
            }
            Outcome::Wrong(why) => {
                wrong += 1;
                if wrong <= 20 {
                    println!("seed {seed} WRONG: {why}");
                }
            }
        }
    }
    println!(
        "{count} rigs in {:.1} s: {solved} solved, {failed} failed, {wrong} wrong",
        begin.elapsed().as_secs_f64()
    );
    for (why, n) in impossible {
        println!("{n:8}  no equilibrium: {why}");
    }
    println!("steps taken:");
    for (most, n) in iterations {
        println!("{n:8}  up to {most:4}  {}", "#".repeat((60 * n / solved.max(1)) as usize));
    }
    if failed + wrong > 0 {
        std::process::exit(1);
    }
}
