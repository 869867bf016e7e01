//! Random rigs: 1–8 points that move, 1–10 ropes, sheaves fixed and floating, slack parts, slopes, poor starts.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a random rig that can't be built is a fault of the test"
)]

use rope_mechanics::geometry::{Direction3, Force3, Point3};
use rope_mechanics::motion::Motion;
use rope_mechanics::quantity::unit::{gram, meter, newton, radian, ratio};
use rope_mechanics::quantity::{Angle, Force, Length, Mass, Ratio, line_weight_of};
use rope_mechanics::rig::{FreePoint, PointId, Rig, RigError, RopeEnd, RopeRun, RopeSupply, Solution};
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
fn leaning(dice: &mut Dice) -> (Direction3, [f64; 3]) {
    let lean = dice.from(10.0, 50.0).to_radians();
    let around = dice.from(0.0, core::f64::consts::TAU);
    let r = Ratio::new::<ratio>;
    let n = [lean.sin() * around.cos(), lean.sin() * around.sin(), lean.cos()];
    (Direction3::new(r(n[0]), r(n[1]), r(n[2])).unwrap(), n)
}

/// What holds a point, as the rig was told.
#[derive(Clone, Copy)]
enum Held {
    Fixed,
    Free,
    Ground([f64; 3]),
    Plane([f64; 3]),
    Line([f64; 3]),
}

/// The turns of a rope with the round turns on them, and which way it moves with its hand at which end.
struct Course {
    turns: Vec<(Turn, u32)>,
    moves: Option<(Motion, RopeEnd)>,
}

/// A rig, and what it was made of, to balance it from outside.
pub(crate) struct Case {
    pub(crate) rig: Rig,
    points: Vec<(PointId, Held, [f64; 3])>,
    courses: Vec<Course>,
}

/// Rigs of smaller seeds know hauling only.
const ONLY_HAULED: u64 = 14_000;

/// Half of the rigs from here on may have a single anchor, loads on winches, and starts on an anchor.
const WILD: u64 = 27_000;

/// The rig of a seed; the same rig looked for from other starts for other numbers of `start`.
pub(crate) fn case(seed: u64, start: u64) -> Case {
    let mut dice = Dice::new(seed);
    let mut starts = Dice::new(seed.wrapping_mul(31).wrapping_add(start));
    // Ropes of the first rigs, of which some are known to be hard, are all hauled at their last end.
    let mut ways = (seed >= ONLY_HAULED).then(|| Dice::new(!seed));
    let mut wild = (seed >= WILD && seed % 2 == 1).then(|| Dice::new(!seed.rotate_left(32)));
    let mut wildly = |p: f64| wild.as_mut().is_some_and(|dice| dice.chance(p));
    let rubs = dice.chance(0.15);
    let mut points = Vec::new();
    let mut courses = Vec::new();
    let newtons = Force::new::<newton>;
    let mut rig = Rig::new();
    // Everything the ropes may lead to: where it is thought to be, and its id.
    let mut places: Vec<([f64; 3], PointId)> = Vec::new();
    let anchors = 2 + dice.below(4);
    for i in 0..if wildly(0.1) { 1 } else { anchors } {
        let at = dice.place([0.0, -15.0, 0.0], [60.0, 15.0, 30.0]);
        places.push((at, rig.fixed(&format!("anchor {i}"), point(at)).unwrap()));
        points.push((places[i].1, Held::Fixed, [0.0; 3]));
    }
    let anchors = places.len();
    let movers = 1 + dice.below(8);
    for i in 0..movers {
        let near = dice.place([0.0, -15.0, -25.0], [60.0, 15.0, 15.0]);
        let below = point([near[0], near[1], near[2] - 3.0]);
        let kind = dice.unit();
        let (lean, n) = leaning(&mut dice);
        let (mut free, held) = if kind < 0.15 {
            (FreePoint::above_ground(below, lean), Held::Ground(n))
        } else if kind < 0.2 {
            (FreePoint::on_plane(below, lean).unwrap(), Held::Plane(n))
        } else if kind < 0.25 {
            (FreePoint::on_line(below, lean).unwrap(), Held::Line(n))
        } else {
            (FreePoint::anywhere(), Held::Free)
        };
        let weight = dice.decades(10.0, 5000.0);
        free = free.with_weight(newtons(weight));
        let mut load = [0.0, 0.0, -weight];
        if dice.chance(0.2) {
            let f = dice.place([-500.0; 3], [500.0, 500.0, 0.0]);
            free = free.with_force(Force3::new(newtons(f[0]), newtons(f[1]), newtons(f[2])));
            load = [f[0], f[1], f[2] - weight];
        }
        let (far, nearer) =
            ([[-60.0, -60.0, -60.0], [120.0, 60.0, 60.0]], [[0.0, -15.0, -40.0], [60.0, 15.0, 15.0]]);
        if dice.chance(0.7) {
            free = free.with_start(point(dice.place(far[0], far[1])));
        }
        if wildly(0.1) {
            free = free.with_start(point(places[0].0));
        }
        if start > 0 {
            free = free.with_start(point(starts.place(nearer[0], nearer[1])));
        }
        places.push((near, rig.point(&format!("mover {i}"), free).unwrap()));
        points.push((places[places.len() - 1].1, held, load));
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
        let heavy = dice.chance(0.5);
        // A winch or a brake holds the tension of some; of a heavy one only where that stands still.
        let pulled = i >= movers && dice.chance(0.2) && (!heavy || way[0] < anchors);
        let last = way[way.len() - 1];
        let supply = if pulled {
            RopeSupply::Tension { at: RopeEnd::First, tension: newtons(dice.decades(100.0, 2000.0)) }
        } else if wildly(0.1) && (!heavy || way[0] < anchors) {
            RopeSupply::Tension { at: RopeEnd::First, tension: newtons(dice.decades(100.0, 20_000.0)) }
        } else if wildly(0.1) && (!heavy || last < anchors) {
            RopeSupply::Tension { at: RopeEnd::Last, tension: newtons(dice.decades(100.0, 20_000.0)) }
        } else {
            RopeSupply::Length(length)
        };
        let mut run = RopeRun::new(stretch, supply, ends.0, ends.1).with_strands(1 + dice.below(2) as u32);
        let mut turns = Vec::new();
        for &over in &way[1..way.len() - 1] {
            let kind = if !rubs {
                Turn::FRICTIONLESS
            } else if dice.chance(0.7) {
                Turn::sheave(Ratio::new::<ratio>(dice.from(0.7, 1.0))).unwrap()
            } else {
                Turn::bar(
                    Ratio::new::<ratio>(dice.from(0.0, 0.3)),
                    Ratio::new::<ratio>(ways.as_mut().map_or(0.0, |ways| ways.from(0.0, 0.2))),
                )
                .unwrap()
            };
            let wraps = ways.as_mut().map_or(0, |ways| u32::from(ways.chance(0.1)));
            run = run.over_with_wraps(places[over].1, kind, wraps);
            turns.push((kind, wraps));
        }
        let moves = rubs.then(|| match &mut ways {
            None => (Motion::Hauling, RopeEnd::Last),
            Some(ways) => (
                if ways.chance(0.5) { Motion::Hauling } else { Motion::Lowering },
                if ways.chance(0.5) { RopeEnd::First } else { RopeEnd::Last },
            ),
        });
        if let Some((motion, hand)) = moves {
            run = run.with_motion(motion, hand);
        }
        courses.push(Course { turns, moves });
        if heavy {
            let a_metre = Mass::new::<gram>(dice.decades(20.0, 500.0)) / Length::new::<meter>(1.0);
            run = run.with_weight(line_weight_of(a_metre));
        }
        rig.rope(&format!("rope {i}"), run).unwrap();
    }
    Case { rig, points, courses }
}

/// What came of a rig.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Outcome {
    Solved {
        iterations: u32,
    },
    /// None was found, from this start and from others, and the error says why.
    Refused(&'static str),
    /// Refused, but another start has an answer; the energy isn't convex.
    Missed(String),
    /// The solver gave up.
    Failed(String),
    /// An answer that its own certificate, or the forces added up again from outside, show to be wrong; a refusal
    /// that says there is none where there is one, or names a point that can't move.
    Wrong(String),
}

/// Other starts from which a refused rig is looked for.
pub(crate) const OTHER_STARTS: u64 = 2;

/// Solves the rig of a seed and holds what comes of it against what any equilibrium must be.
pub(crate) fn outcome(seed: u64) -> Outcome {
    let here = case(seed, 0);
    let error = match here.rig.solve() {
        Ok(solution) => {
            return match wrong(&here, &solution) {
                Some(why) => Outcome::Wrong(why),
                None => Outcome::Solved { iterations: solution.certificate().iterations },
            };
        }
        Err(error) => error,
    };
    let (why, sure) = match &error {
        RigError::RunsTo { point, meets, certain, .. } => {
            if !(point.starts_with("mover") || meets.starts_with("mover")) {
                return Outcome::Wrong(format!("neither can move: {error}"));
            }
            if !point.starts_with("mover") {
                return Outcome::Wrong(format!("a fixed point is said to run: {error}"));
            }
            (
                if *certain { "a sheave runs to the end of its rope" } else { "none found: a sheave runs" },
                *certain,
            )
        }
        RigError::RunsOut { .. } => ("none found: a heavy rope runs out over a sheave", false),
        RigError::Overstretched { strain, .. } if *strain > 0.5 => {
            ("a rope would stretch by more than half", false)
        }
        RigError::NoSpan { .. } => ("a rope between two points at one place", false),
        RigError::RunsAway { .. } => ("a set tension is too little for what it holds", false),
        RigError::RunsOn { .. } | RigError::Unstable { .. } if here.courses[0].moves.is_some() => {
            ("none found with the ropes moving", false)
        }
        _ => return Outcome::Failed(error.to_string()),
    };
    for start in 1..=OTHER_STARTS {
        let there = case(seed, start);
        if let Ok(solution) = there.rig.solve() {
            return match wrong(&there, &solution) {
                Some(why) => Outcome::Wrong(why),
                None if sure => Outcome::Wrong(format!("there is one, but: {error}")),
                None => Outcome::Missed(error.to_string()),
            };
        }
    }
    Outcome::Refused(why)
}

fn vector(f: Force3) -> [f64; 3] {
    [f.x.value, f.y.value, f.z.value]
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// What is wrong with an answer, if anything is.
fn wrong(case: &Case, solution: &Solution) -> Option<String> {
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
    let mut forces: Vec<[f64; 3]> = case.points.iter().map(|p| p.2).collect();
    let mut add = |point: PointId, force: Force3| {
        let at = case.points.iter().position(|p| p.0 == point).unwrap();
        for (sum, f) in forces[at].iter_mut().zip(vector(force)) {
            *sum += f;
        }
    };
    let mut ends = 0;
    for (rope, Course { turns, moves }) in case.rig.ropes().zip(&case.courses) {
        let parts = solution.parts(rope).ok()?;
        for part in &parts {
            add(part.from, part.pull_first);
            add(part.to, part.pull_last);
            ends += 2;
        }
        for (pair, (turn, wraps)) in parts.windows(2).zip(turns) {
            let (a, b) = (vector(pair[0].pull_last), vector(pair[1].pull_first));
            let size = dot(a, a).sqrt() * dot(b, b).sqrt();
            let angle =
                (-dot(a, b) / size).clamp(-1.0, 1.0).acos() + f64::from(*wraps) * core::f64::consts::TAU;
            let (before, after) = (pair[0].tension_last.value, pair[1].tension_first.value);
            // On the hand's side: T = ρ·T of the other side.
            let (rise, hand, load) = match moves {
                Some((motion, hand)) if size > 0.0 => {
                    let band = turn.band(Angle::new::<radian>(angle)).unwrap();
                    let rise = if *motion == Motion::Hauling { band.high } else { band.low };
                    let (near, far) = if *hand == RopeEnd::Last { (after, before) } else { (before, after) };
                    (rise.value, near, far)
                }
                _ => (1.0, after, before),
            };
            let difference = (rise * load - hand).abs();
            // An angle out of a cosine is good to its half of the digits where the rope runs straight on.
            let rounding = if moves.is_some() { 1e-7 * scale } else { 0.0 };
            if !(difference <= 2.0 * slip * rise.max(1.0) + rounding) {
                return Some(format!("tension is {difference} N off what it should be over a sheave"));
            }
        }
    }
    // Each force is rounded once, each sum as often as forces meet.
    let slip = 2.0 * slip + f64::from(ends) * f64::EPSILON * scale;
    for (&(_, held, _), &f) in case.points.iter().zip(&forces) {
        let along = |n: [f64; 3]| dot(f, n);
        let beside = |n: [f64; 3]| (dot(f, f) - along(n) * along(n)).max(0.0).sqrt();
        // The root of a difference of squares keeps half the digits of their size.
        let half = 1e-7 * dot(f, f).sqrt();
        let left = match held {
            Held::Fixed => 0.0,
            Held::Free => dot(f, f).sqrt(),
            Held::Ground(n) => (beside(n) - half).max(along(n)),
            Held::Plane(n) => beside(n) - half,
            Held::Line(n) => along(n).abs(),
        };
        if !(left <= 2.0 * slip) {
            return Some(format!("a point is {left} N out of balance when its ropes are added up"));
        }
    }
    None
}
