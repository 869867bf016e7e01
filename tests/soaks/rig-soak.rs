//! Solves random rigs and prints what came of them.
//!
//! `cargo run --release -p rope-checks --bin rig-soak -- 100000` (a second number: the first seed)
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a random rig that can't be built is a fault of the test"
)]

#[path = "random_rigs.rs"]
mod random;

use random::Outcome;
use std::collections::BTreeMap;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Instant;

/// One rig in so many may be refused although another start has an answer.
const MOST_MISSED: u64 = 5000;

/// What came of the rigs of one thread, by seed where it matters.
#[derive(Default)]
struct Tally {
    solved: u64,
    iterations: BTreeMap<u32, u64>,
    refused: BTreeMap<&'static str, u64>,
    missed: BTreeMap<u64, String>,
    failed: BTreeMap<u64, String>,
    wrong: BTreeMap<u64, String>,
}

impl Tally {
    fn count(&mut self, seed: u64) {
        match random::outcome(seed) {
            Outcome::Solved { iterations } => {
                self.solved += 1;
                *self.iterations.entry(iterations.next_power_of_two()).or_default() += 1;
            }
            Outcome::Refused(why) => *self.refused.entry(why).or_default() += 1,
            Outcome::Missed(why) => drop(self.missed.insert(seed, why)),
            Outcome::Failed(why) => drop(self.failed.insert(seed, why)),
            Outcome::Wrong(why) => drop(self.wrong.insert(seed, why)),
        }
    }

    fn add(&mut self, other: Self) {
        self.solved += other.solved;
        for (most, n) in other.iterations {
            *self.iterations.entry(most).or_default() += n;
        }
        for (why, n) in other.refused {
            *self.refused.entry(why).or_default() += n;
        }
        self.missed.extend(other.missed);
        self.failed.extend(other.failed);
        self.wrong.extend(other.wrong);
    }
}

fn main() {
    let mut numbers = std::env::args().skip(1).filter_map(|a| a.parse::<u64>().ok());
    let count = numbers.next().unwrap_or(10_000);
    let first = numbers.next().unwrap_or(0);
    let begin = Instant::now();
    let next = AtomicU64::new(first);
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let mut tally = Tally::default();
    std::thread::scope(|scope| {
        let work = || {
            let mut tally = Tally::default();
            loop {
                let seed = next.fetch_add(1, Ordering::Relaxed);
                if seed >= first + count {
                    return tally;
                }
                tally.count(seed);
            }
        };
        let workers: Vec<_> = (0..threads).map(|_| scope.spawn(work)).collect();
        for worker in workers {
            tally.add(worker.join().unwrap());
        }
    });
    let Tally { solved, iterations, refused, missed, failed, wrong } = tally;
    for (kind, list) in [("FAILED", &failed), ("WRONG", &wrong), ("missed", &missed)] {
        for (seed, why) in list.iter().take(20) {
            println!("seed {seed} {kind}: {why}");
        }
    }
    let (failed, wrong, missed) = (failed.len() as u64, wrong.len() as u64, missed.len() as u64);
    println!(
        "{count} rigs in {:.1} s: {solved} solved, {failed} failed, {wrong} wrong, {missed} missed",
        begin.elapsed().as_secs_f64()
    );
    println!("refused, from {} starts each:", 1 + random::OTHER_STARTS);
    for (why, n) in refused {
        println!("{n:8}  {why}");
    }
    println!("steps taken:");
    for (most, n) in iterations {
        println!("{n:8}  up to {most:4}  {}", "#".repeat((60 * n / solved.max(1)) as usize));
    }
    // Where the energy isn't convex a start may find what many others don't: few may.
    if failed + wrong > 0 || missed * MOST_MISSED > count {
        std::process::exit(1);
    }
}
