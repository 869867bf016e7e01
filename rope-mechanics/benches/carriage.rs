//! What each question about a carriage costs against the forward solve, [`Held::at_x`], in one run.
//!
//! ```text
//! cargo bench -p rope-mechanics --bench carriage
//! ```
//!
//! Medians of interleaved rounds over 400 carriages: 20 tracks of 20 to 300 m, with the haul point behind the head.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, reason = "a benchmark that can't go on has failed")]

use rope_mechanics::carriage::{CarriageState, HaulRope, Held, Load, Support, Track, rolling};
use rope_mechanics::geometry::{Point2, Profile};
use rope_mechanics::quantity::{Force, Length, unit::meter, unit::newton};
use rope_mechanics::rope::Stretch;
use std::hint::black_box;
use std::time::Instant;

const ROUNDS: usize = 15;

fn main() {
    let (m, n) = (Length::new::<meter>(1.0), Force::new::<newton>(1.0));
    let at = |x: f64, z: f64| Point2::new(m * x, m * z);
    let mut cases = Vec::new();
    for i in 0..20 {
        let (span, fall) = (20.0 + 14.0 * f64::from(i), -0.05 * f64::from(i % 15));
        let stretch = Stretch::stiffening(n * 5e4, n * 1e5 * f64::from(i % 3)).unwrap();
        let far = at(span, fall * span);
        let length = m * span.hypot(fall * span) * (0.99 + 0.002 * f64::from(i % 7));
        let track = Track::new(at(0.0, 0.0), far, length, n * 1.7 / m, stretch).unwrap();
        let load = Load::new(n * 2400.0).unwrap();
        let held = Held::new(track, load, HaulRope::new(at(-1.0, 2.0)).unwrap());
        let mut nearby: Option<CarriageState> = None;
        for j in 1..=20 {
            if let Ok(state) = held.at_x(m * (span * f64::from(j) / 21.0)) {
                cases.push((track, load, held, state, nearby.unwrap_or(state)));
                nearby = Some(state);
            }
        }
    }
    let points = [at(-1.0, -400.0), at(400.0, -401.0)];
    let ground = Profile::new(&points).unwrap();
    type Case = (Track, Load, Held, CarriageState, CarriageState);
    type Question<'a> = (&'static str, Box<dyn Fn(&Case) -> bool + 'a>);
    let asked: [Question<'_>; 9] = [
        ("at_x", Box::new(|c| c.2.at_x(c.3.position.x).is_ok())),
        ("at_x_from nearby", Box::new(|c| c.2.at_x_from(c.3.position.x, &c.4).is_ok())),
        ("rolling, or refused", Box::new(|c| rolling(&c.0, &c.1).is_ok())),
        ("by_haul_length", Box::new(|c| c.2.by_haul_length(c.3.haul.unwrap().length).is_ok())),
        ("length_for_point", Box::new(|c| c.2.length_for_point(c.3.position).is_ok())),
        (
            "length_for_tension",
            Box::new(|c| c.2.length_for_tension(c.3.position.x, c.3.tension.head).is_ok()),
        ),
        ("load_at_point", Box::new(|c| c.2.load_at_point(c.3.position).is_ok())),
        ("at_height_above, from the head", Box::new(|c| height(c, &ground, Support::Head))),
        ("at_height_above, from the far anchor", Box::new(|c| height(c, &ground, Support::Far))),
    ];
    let mut times = vec![Vec::new(); asked.len()];
    for _ in 0..ROUNDS {
        for ((_, ask), times) in asked.iter().zip(&mut times) {
            let begun = Instant::now();
            for case in &cases {
                black_box(ask(black_box(case)));
            }
            times.push(begun.elapsed().as_secs_f64() / cases.len() as f64);
        }
    }
    let medians: Vec<f64> = times
        .iter_mut()
        .map(|times| {
            times.sort_by(f64::total_cmp);
            times[times.len() / 2]
        })
        .collect();
    for ((name, _), median) in asked.iter().zip(&medians) {
        println!("{name}: {:.2} µs, {:.2} of at_x", 1e6 * median, median / medians[0]);
    }
}

fn height(
    case: &(Track, Load, Held, CarriageState, CarriageState),
    ground: &Profile<'_>,
    from: Support,
) -> bool {
    let place = case.3.position;
    case.2.at_height_above(ground, place.z - ground.height(place.x).unwrap(), from).is_ok()
}
