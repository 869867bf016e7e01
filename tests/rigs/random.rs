//! Random rigs: 1–8 points that move, 1–10 ropes, sheaves fixed and floating, slack parts, slopes, poor starts.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a random rig that can't be built is a fault of the test"
)]

use rope_mechanics::geometry::{Direction3, Force3, Point3};
use rope_mechanics::quantity::unit::{gram, meter, newton, ratio};
use rope_mechanics::quantity::{Force, Length, Mass, Ratio, line_weight_of};
use rope_mechanics::rig::{FreePoint, PointId, Rig, RigError, Run, Solution, Supply};
use rope_mechanics::rope::Stretch;
use rope_mechanics::sheave::Turn;

/// The numbers behind a rig: the same seed, the same rig.
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0xD1B5_4A32_D192_ED03)
    }

    /// From 0 to 1.
    pub(crate) fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn from(&mut self, lo: f64, hi: f64) -> f64 {
        lo + (hi - lo) * self.unit()
    }

    /// Spread evenly over the decades.
    fn decades(&mut self, lo: f64, hi: f64) -> f64 {
        lo * (hi / lo).powf(self.unit())
    }

    fn below(&mut self, n: usize) -> usize {
        ((self.unit() * n as f64) as usize).min(n - 1)
    }

    fn chance(&mut self, p: f64) -> bool {
        self.unit() < p
    }

    fn place(&mut self, lo: [f64; 3], hi: [f64; 3]) -> [f64; 3] {
        [self.from(lo[0], hi[0]), self.from(lo[1], hi[1]), self.from(lo[2], hi[2])]
    }
}

fn point(p: [f64; 3]) -> Point3 {
    let m = Length::new::<meter>;
    Point3::new(m(p[0]), m(p[1]), m(p[2]))
}

fn distance(a: [f64; 3], b: [f64; 3]) -> f64 {
    a.iter().zip(b).map(|(a, b)| (a - b) * (a - b)).sum::<f64>().sqrt()
}

/// A direction leaning by 10° to 50° from upright.
fn leaning(dice: &mut Dice) -> Direction3 {
    let lean = dice.from(10.0, 50.0).to_radians();
    let around = dice.from(0.0, core::f64::consts::TAU);
    let r = Ratio::new::<ratio>;
    Direction3::new(r(lean.sin() * around.cos()), r(lean.sin() * around.sin()), r(lean.cos())).unwrap()
}

/// The rig of a seed.
pub(crate) fn rig(seed: u64) -> Rig {
    let mut dice = Dice::new(seed);
    let newtons = Force::new::<newton>;
    let mut rig = Rig::new();
    // Everything the ropes may lead to: where it is thought to be, and its id.
    let mut places: Vec<([f64; 3], PointId)> = Vec::new();
    for i in 0..2 + dice.below(4) {
        let at = dice.place([0.0, -15.0, 0.0], [60.0, 15.0, 30.0]);
        places.push((at, rig.fixed(&format!("anchor {i}"), point(at)).unwrap()));
    }
    let anchors = places.len();
    let movers = 1 + dice.below(8);
    for i in 0..movers {
        let near = dice.place([0.0, -15.0, -25.0], [60.0, 15.0, 15.0]);
        let below = point([near[0], near[1], near[2] - 3.0]);
        let kind = dice.unit();
        let mut free = if kind < 0.15 {
            FreePoint::above_ground(below, leaning(&mut dice))
        } else if kind < 0.2 {
            FreePoint::on_plane(below, leaning(&mut dice)).unwrap()
        } else if kind < 0.25 {
            FreePoint::on_line(below, leaning(&mut dice)).unwrap()
        } else {
            FreePoint::anywhere()
        };
        free = free.with_weight(newtons(dice.decades(10.0, 5000.0)));
        if dice.chance(0.2) {
            let f = dice.place([-500.0; 3], [500.0, 500.0, 0.0]);
            free = free.with_force(Force3::new(newtons(f[0]), newtons(f[1]), newtons(f[2])));
        }
        if dice.chance(0.7) {
            free = free.with_start(point(dice.place([-60.0, -60.0, -60.0], [120.0, 60.0, 60.0])));
        }
        places.push((near, rig.point(&format!("mover {i}"), free).unwrap()));
    }
    // Each mover hangs in a rope of its own; what ropes are left run anywhere.
    let ropes = movers.max(1 + dice.below(10));
    for i in 0..ropes {
        let mut way = Vec::new();
        if i < movers {
            let mover = anchors + i;
            way.push(dice.below(mover));
            if dice.chance(0.4) {
                // Over the mover, which rolls on it, perhaps over something fixed, and on.
                way.push(mover);
                if dice.chance(0.5) {
                    way.push(dice.below(anchors));
                }
                if way.len() > 2 && dice.chance(0.3) {
                    way.push(mover);
                }
                way.push(dice.below(mover));
            } else {
                if dice.chance(0.3) {
                    way.push(dice.below(anchors));
                }
                way.push(mover);
            }
        } else {
            // From anything over fixed sheaves to anything; seldom over what floats, where loads on one rope would
            // run together.
            way.push(dice.below(places.len()));
            for _ in 0..dice.below(4) {
                let floats = dice.chance(0.05);
                way.push(dice.below(if floats { places.len() } else { anchors }));
            }
            way.push(dice.below(places.len()));
        }
        way.dedup();
        if way.len() < 2 {
            let other = (way[0] + 1) % places.len();
            way.push(other);
        }
        let chords: f64 = way.windows(2).map(|w| distance(places[w[0]].0, places[w[1]].0)).sum();
        let stretch = if dice.chance(0.25) {
            let a = dice.decades(2e4, 5e5);
            Stretch::stiffening(newtons(a), newtons(a * dice.from(0.0, 10.0))).unwrap()
        } else {
            Stretch::linear(newtons(dice.decades(2e4, 2e6))).unwrap()
        };
        let length = Length::new::<meter>((chords * dice.from(0.97, 1.4)).max(1.0));
        let ends = (places[way[0]].1, places[way[way.len() - 1]].1);
        let mut run =
            Run::new(stretch, Supply::Length(length), ends.0, ends.1).with_strands(1 + dice.below(2) as u32);
        for &over in &way[1..way.len() - 1] {
            run = run.over(places[over].1, Turn::FRICTIONLESS);
        }
        if dice.chance(0.5) {
            let a_metre = Mass::new::<gram>(dice.decades(20.0, 500.0)) / Length::new::<meter>(1.0);
            run = run.with_weight(line_weight_of(a_metre));
        }
        rig.rope(&format!("rope {i}"), run).unwrap();
    }
    rig
}

/// What came of a rig.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Outcome {
    Solved {
        iterations: u32,
    },
    /// No equilibrium exists, and the error says why.
    Impossible(&'static str),
    /// The solver gave up.
    Failed(String),
    /// An answer that its own certificate, or the forces added up again from outside, show to be wrong.
    Wrong(String),
}

/// Solves a rig and holds the answer against what any equilibrium must be.
pub(crate) fn outcome(rig: &Rig) -> Outcome {
    match rig.solve() {
        Ok(solution) => match wrong(rig, &solution) {
            Some(why) => Outcome::Wrong(why),
            None => Outcome::Solved { iterations: solution.certificate().iterations },
        },
        Err(RigError::RunsTo { .. }) => Outcome::Impossible("a sheave runs to the end of its rope"),
        Err(RigError::RunsOut { .. }) => Outcome::Impossible("a heavy rope runs out over a sheave"),
        Err(RigError::Overstretched { .. }) => Outcome::Impossible("a rope would stretch by more than half"),
        Err(RigError::NoSpan { .. }) => Outcome::Impossible("a rope between two points at one place"),
        Err(error) => Outcome::Failed(error.to_string()),
    }
}

/// What is wrong with an answer, if anything is.
pub(crate) fn wrong(rig: &Rig, solution: &Solution) -> Option<String> {
    let proof = solution.certificate();
    let scale = proof.largest_force.value;
    // The promise of the certificate, and what rounding of a 100 m coordinate does to a rope of 4 MN on 1 m.
    let slip = 1e-9 * scale + 4e6 * 100.0 * 64.0 * f64::EPSILON;
    if !(proof.force_residual.value <= slip) {
        return Some(format!("{} N out of balance of {scale}", proof.force_residual.value));
    }
    if !(proof.closing_residual.value <= 1e-9) {
        return Some(format!("a part misses its end by {} m", proof.closing_residual.value));
    }
    if !(proof.least_stiffness.value > 0.0) {
        return Some(format!("not stable: {} N/m", proof.least_stiffness.value));
    }
    for rope in rig.ropes() {
        let parts = solution.parts(rope).ok()?;
        for pair in parts.windows(2) {
            let difference = (pair[0].tension_last - pair[1].tension_first).value.abs();
            if !(difference <= 2.0 * slip) {
                return Some(format!("tension changes by {difference} N over a frictionless sheave"));
            }
        }
    }
    None
}
