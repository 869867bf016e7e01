//! This library from Rust, for `peers.py`: `peer-lines WAY ROUNDS`, lines from the standard input as `x z l w ea`. Prints
//! the median nanoseconds a line, then the greatest tension of each.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, reason = "a benchmark that can't go on has failed")]

use rope_mechanics::line::elastic::ElasticLine;
use rope_mechanics::line::many::{Answers, LineStatus, Lines};
use rope_mechanics::quantity::unit::{meter, newton};
use rope_mechanics::quantity::{Force, Length, LineWeight};
use rope_mechanics::rope::Stretch;
use std::hint::black_box;
use std::io::Read;
use std::time::Instant;

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let rounds: usize = arguments[1].parse().unwrap();
    let (m, n) = (Length::new::<meter>, Force::new::<newton>);
    let (mut spans, mut rises, mut lengths, mut weights, mut stretches) =
        (Vec::new(), Vec::new(), Vec::new(), Vec::<LineWeight>::new(), Vec::new());
    let mut text = String::new();
    std::io::stdin().read_to_string(&mut text).unwrap();
    for line in text.lines() {
        let row: Vec<f64> = line.split_whitespace().map(|word| word.parse().unwrap()).collect();
        spans.push(m(row[0]));
        rises.push(m(row[1]));
        lengths.push(m(row[2]));
        weights.push(n(row[3]) / m(1.0));
        stretches.push(Stretch::linear(n(row[4])).unwrap());
    }
    let lines = Lines::new(&spans, &rises, &lengths, &weights, &stretches).unwrap();
    let mut tensions = vec![n(f64::NAN); lines.len()];
    let mut status = vec![LineStatus::Unsolved; lines.len()];
    let (mut first, mut last) = (tensions.clone(), tensions.clone());
    let mut times = Vec::new();
    for _ in 0..rounds {
        let begun = Instant::now();
        match arguments[0].as_str() {
            "one" | "robust" => {
                for (i, tension) in tensions.iter_mut().enumerate() {
                    let line =
                        ElasticLine::new(spans[i], rises[i], lengths[i], weights[i], stretches[i]).unwrap();
                    let state = if arguments[0] == "one" {
                        black_box(line).solve()
                    } else {
                        black_box(line).solve_robust()
                    };
                    *tension = state.map_or(n(f64::NAN), |state| state.greatest_tension());
                }
            }
            _ => {
                let mut answers = Answers::new(&mut status).first_tension(&mut first).last_tension(&mut last);
                lines.solve(&mut answers).unwrap();
                for (tension, (first, last)) in tensions.iter_mut().zip(first.iter().zip(&last)) {
                    *tension = first.max(*last);
                }
            }
        }
        times.push(begun.elapsed().as_nanos() as f64 / lines.len() as f64);
    }
    times.sort_by(f64::total_cmp);
    println!("{:?}", times[rounds / 2]);
    for tension in tensions {
        println!("{:?}", tension.value);
    }
}
