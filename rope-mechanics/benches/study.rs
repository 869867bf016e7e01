//! How long the study of the reference site takes, whole and position by position, from a warm start and cold.
//!
//! `cargo bench -p rope-mechanics --bench study`
//!
//! Times here move with the machine; instructions don't. One plain study of the reference site with 200 positions took 47
//! million of them, counted by valgrind's callgrind with rustc 1.95: 37 % solved the carriage, 17 % was the
//! frame at its corners of friction, 16 % searched the length of the rope, 10 % was the battery.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::type_complexity,
    reason = "a benchmark that can't go on has failed"
)]

use rope_mechanics::operation::doubt::{Doubts, Sampling};
use rope_mechanics::operation::{self, Asked, site::Site};
use std::hint::black_box;
use std::ops::ControlFlow;
use std::time::Instant;

const SITE: &str = include_str!("../../tests/sites/reference.toml");
const ROUNDS: usize = 41;
/// Samples drawn to time one.
const DRAWN: usize = 256;
/// As few positions as a site may ask for.
const FEW: u32 = 10;

/// The median of the rounds, in milliseconds; the two are timed in turn, so that a drifting machine hits both.
fn medians(mut one: impl FnMut(), mut other: impl FnMut()) -> (f64, f64) {
    let mut times = (Vec::new(), Vec::new());
    for _ in 0..ROUNDS {
        let start = Instant::now();
        one();
        times.0.push(start.elapsed().as_secs_f64() * 1e3);
        let start = Instant::now();
        other();
        times.1.push(start.elapsed().as_secs_f64() * 1e3);
    }
    let median = |mut list: Vec<f64>| {
        list.sort_by(f64::total_cmp);
        list[ROUNDS / 2]
    };
    (median(times.0), median(times.1))
}

fn main() {
    let site: Site = toml::from_str(SITE).expect("the reference site can be read");
    let mut short = site.clone();
    short.travel.positions = Some(FEW);
    let asked = |site: &Site, asked: Asked| {
        let found = operation::solve_asked(black_box(site), &asked, |_, _| ControlFlow::<()>::Continue(()));
        assert!(black_box(found).expect("the reference site can be studied").is_continue());
    };
    let (whole, least) = medians(|| asked(&site, Asked::PLAIN), || asked(&short, Asked::PLAIN));
    println!("plain study of 200 positions: {whole:.2} ms; of {FEW}: {least:.2} ms");
    println!("each further position: {:.1} µs", (whole - least) / f64::from(200 - FEW) * 1e3);
    println!("against the aim of 5 ms for 200 positions: {:.2}", whole / 5.0);
    let (readings, failures) = medians(
        || asked(&site, Asked::PLAIN.with_expected_readings(true)),
        || asked(&site, Asked::PLAIN.with_failures(true)),
    );
    println!("with the readings to expect: {readings:.1} ms; with the failures: {failures:.1} ms");
    let (clearances, _) = medians(|| asked(&site, Asked::PLAIN.with_clearances(true)), || {});
    println!("with the clearances: {clearances:.1} ms");

    let doubts = Doubts::new(&site).expect("the reference site can be doubted");
    let sampling = Sampling::new().with_samples(DRAWN).with_threads(1).without_indices();
    let draw = || {
        black_box(doubts.sample(black_box(sampling)).expect("the reference site can be sampled"));
    };
    let start = Instant::now();
    draw();
    let each = start.elapsed().as_secs_f64() * 1e3 / DRAWN as f64;
    println!("one sample in doubt: {each:.2} ms, {:.2} of a study of 200 positions", each / whole);
    // 256 samples of each group of inputs, and of none and all of them, judge which of them matter.
    let runs = 2048 + 256 * (doubts.groups().count() + 2);
    println!("2048 samples on one thread: {:.1} s, as counted from that", 1e-3 * each * runs as f64);
}
