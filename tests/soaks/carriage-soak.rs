//! Asks random carriages backwards from balances that are built in closed form, and says what came of each question:
//! `carriage::Known` says what is met, and which are ordinary.
//!
//! ```text
//! cargo run --release -p rope-checks --bin carriage-soak -- 100000 [seed] [shown]
//! ```

use rope_checks::carriage::{Outcome, RandomCarriages};
use std::collections::BTreeMap;

#[derive(Default)]
struct Tally {
    met: u64,
    refused: u64,
    ordinary: u64,
    wrong: u64,
    steps: u64,
    most: u32,
}

fn main() {
    let mut arguments = std::env::args().skip(1);
    let count: u64 = arguments.next().and_then(|text| text.parse().ok()).unwrap_or(100_000);
    let seed: u64 = arguments.next().and_then(|text| text.parse().ok()).unwrap_or(1);
    let shown: u64 = arguments.next().and_then(|text| text.parse().ok()).unwrap_or(0);
    let mut tallies = BTreeMap::<&str, Tally>::new();
    let mut cases = RandomCarriages::new(seed);
    let mut ordinary = 0_u64;
    for _ in 0..count {
        let Some(known) = cases.next() else { break };
        ordinary += u64::from(known.is_ordinary());
        let at_x = known.asked_at_x();
        // Where another balance comes first, the one known is not what the inverses look for.
        let mut asked = if known.is_first() { known.asked_held() } else { Vec::new() };
        asked.push(("at_x", at_x));
        let held = asked.len();
        let rolls = cases.rolling();
        asked.extend(rolls.asked_rolling());
        for (i, (name, outcome)) in asked.into_iter().enumerate() {
            let tally = tallies.entry(name).or_default();
            let why = match outcome {
                Outcome::Met(steps) => {
                    tally.met += 1;
                    tally.steps += u64::from(steps);
                    tally.most = tally.most.max(steps);
                    continue;
                }
                Outcome::Refused(why) => {
                    tally.refused += 1;
                    tally.ordinary += u64::from(i < held && known.is_ordinary());
                    why.to_string()
                }
                Outcome::Wrong(why) => {
                    tally.wrong += 1;
                    why
                }
            };
            if tally.refused + tally.wrong <= shown {
                println!("{name}: {why}\n  {:?}", if i < held { &known } else { &rolls });
            }
        }
    }
    println!("{ordinary} of {count} held carriages are ordinary");
    for (name, tally) in tallies {
        let mean = tally.steps as f64 / tally.met.max(1) as f64;
        println!(
            "{name}: {} met in {mean:.1} steps, {} at most; {} refused, {} of them in the ordinary range; {} wrong",
            tally.met, tally.most, tally.refused, tally.ordinary, tally.wrong
        );
    }
}
