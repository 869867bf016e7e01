//! Weightless ropes with loads at points, hung by the general rig: they hang in straight sides. With the same load on
//! every level metre, as under a deck or a pipe, they hang as parabolas.
//!
//! For a parabola the rope is a chain of N sides of equal level span d, with a load of w·d at every corner; the half
//! panels at both ends stand on the supports. About any corner, a panel's load turns as much spread out as it does
//! halved to its two ends, so the depth of the corners, which is that moment by H, is the same: they lie on the
//! parabola, and H, the depths and the pulls on the supports are exact for any N. What isn't, in closed form:
//!
//! - the side at a support pulls √(H² + (V − wd/2)²), not √(H² + V²): the half panel makes up the rest;
//! - the sides are shorter than the arc, by S·(wd/H)²/24 or, where it is steep, somewhat less;
//! - the lowest corner is above the lowest point by w·x²/2H, x being its distance, d/2 at most.
//!
//! EA is 10⁶ times the whole load W. Every side is cut shorter by its strain, so that loaded it has the length asked
//! for; the strain is found by hanging the rope until it no longer changes. What is left is rounding: at most the
//! certified residual at each of N corners, √3 times that as a vector, which turns about mid-span like 4N·residual of
//! the load at most. So much of W is the rope's `doubt`, as a share of any result; more than 10⁻⁶ isn't let pass.

use rope_mechanics::geometry::{Force3, Point3};
use rope_mechanics::quantity::unit::{foot, meter, newton, pound_force};
use rope_mechanics::quantity::{Force, Length};
use rope_mechanics::rig::{FreePoint, Rig, RopeRun, RopeSupply};
use rope_mechanics::rope::Stretch;

/// How a rope is turned: about the plumb line, then about x, then about y. Turned out of plumb, its loads are forces
/// along what was down.
#[derive(Clone, Copy)]
struct Turned([f64; 3]);

/// Upright, but across all level axes; on its side; and any way at all.
const TURNS: [Turned; 3] =
    [Turned([0.7, 0.0, 0.0]), Turned([0.0, 1.570_796_326_794_896_6, 0.0]), Turned([0.7, 1.1, -2.3])];

impl Turned {
    fn place(self, [x, y, z]: [f64; 3]) -> [f64; 3] {
        let [a, b, c] = self.0;
        let [x, y] = [x * a.cos() - y * a.sin(), x * a.sin() + y * a.cos()];
        let [y, z] = [y * b.cos() - z * b.sin(), y * b.sin() + z * b.cos()];
        [x * c.cos() + z * c.sin(), y, z * c.cos() - x * c.sin()]
    }

    /// Back to the plane of x and z.
    fn back(self, [x, y, z]: [f64; 3]) -> [f64; 3] {
        let [a, b, c] = self.0;
        let [x, z] = [x * c.cos() - z * c.sin(), z * c.cos() + x * c.sin()];
        let [y, z] = [y * b.cos() + z * b.sin(), z * b.cos() - y * b.sin()];
        [x * a.cos() + y * a.sin(), y * a.cos() - x * a.sin(), z]
    }
}

fn ft(value: f64) -> f64 {
    Length::new::<foot>(value).value
}

fn lbf(value: f64) -> f64 {
    Force::new::<pound_force>(value).value
}

#[track_caller]
fn near(found: f64, printed: f64, tolerance: f64) {
    assert!((found - printed).abs() <= tolerance, "{found} is not {printed} ± {tolerance}");
}

/// How a chain hangs.
struct Hung {
    /// Distance and height of supports and corners.
    corners: Vec<(f64, f64)>,
    horizontal_n: f64,
    /// What the rope puts on the first and the last support.
    vertical_n: [f64; 2],
    sides_n: Vec<f64>,
    length_m: f64,
    /// Share of any result that rounding may move.
    doubt: f64,
}

impl Hung {
    fn pull_n(&self, support: usize) -> f64 {
        self.horizontal_n.hypot(self.vertical_n[support])
    }

    fn lowest(&self) -> (f64, f64) {
        self.corners.iter().copied().min_by(|a, b| a.1.total_cmp(&b.1)).unwrap()
    }
}

/// A chain whose sides, when loaded, are as long as between these points; the loads are at all but the first and last.
/// Hung up turned in every way, which must come to the same.
fn hang(shape: &[(f64, f64)], loads_n: &[f64]) -> Hung {
    let [upright, others @ ..] = TURNS.map(|turned| hang_turned(shape, loads_n, turned));
    assert!(upright.doubt < 1e-6, "{}", upright.doubt);
    let ((x, z), (span, rise)) = (upright.corners[0], upright.corners[upright.corners.len() - 1]);
    let below = |c: &(f64, f64)| z + (rise - z) * (c.0 - x) / (span - x) - c.1;
    let dip = upright.corners.iter().map(below).fold(0.0, f64::max);
    // The strains settle to 1e-12; a rope longer by that share of S hangs deeper by 3S/16f of it.
    let settled = 2e-12 * ((span - x) / dip).powi(2);
    for other in others {
        // Read for this comparison only, which allows for it.
        assert!(other.doubt < 3e-6, "{}", other.doubt);
        let share = upright.doubt + other.doubt + settled;
        let (by_n, by_m) =
            (share * loads_n.iter().sum::<f64>().max(upright.horizontal_n), share * upright.length_m);
        near(other.horizontal_n, upright.horizontal_n, by_n);
        near(other.vertical_n[0], upright.vertical_n[0], by_n);
        for (a, b) in other.corners.iter().zip(&upright.corners) {
            near(a.0, b.0, by_m);
            near(a.1, b.1, by_m);
        }
        for (a, b) in other.sides_n.iter().zip(&upright.sides_n) {
            near(*a, *b, by_n);
        }
    }
    upright
}

fn hang_turned(shape: &[(f64, f64)], loads_n: &[f64], turned: Turned) -> Hung {
    let mut strains = vec![0.0; shape.len() - 1];
    for _ in 0..30 {
        let before = strains.clone();
        let hung = cut_and_hang(shape, loads_n, &mut strains, turned);
        if strains.iter().zip(before).all(|(now, before)| (now - before).abs() < 1e-12) {
            return hung;
        }
    }
    panic!("the strains don't settle");
}

/// Sides that these strains would bring to that shape; gives back the strains they have.
fn cut_and_hang(shape: &[(f64, f64)], loads_n: &[f64], strains: &mut [f64], turned: Turned) -> Hung {
    let m = Length::new::<meter>;
    let n = Force::new::<newton>;
    let place = |(x, z): (f64, f64)| {
        let [x, y, z] = turned.place([x, 0.0, z]).map(m);
        Point3::new(x, y, z)
    };
    let whole_n: f64 = loads_n.iter().sum();
    let stretch = Stretch::linear(n(1e6 * whole_n)).unwrap();

    let mut rig = Rig::new();
    let mut points = vec![rig.fixed("first", place(shape[0])).unwrap()];
    for (i, load) in loads_n.iter().enumerate() {
        let [x, y, z] = turned.place([0.0, 0.0, -load]).map(n);
        let corner = FreePoint::anywhere().with_force(Force3::new(x, y, z));
        points.push(rig.point(&format!("corner {i}"), corner).unwrap());
    }
    points.push(rig.fixed("last", place(shape[shape.len() - 1])).unwrap());
    let mut sides = Vec::new();
    for (i, (pair, ends)) in shape.windows(2).zip(points.windows(2)).enumerate() {
        let cut = (pair[1].0 - pair[0].0).hypot(pair[1].1 - pair[0].1) / (1.0 + strains[i]);
        let run = RopeRun::new(stretch, RopeSupply::Length(m(cut)), ends[0], ends[1]);
        sides.push(rig.rope(&format!("side {i}"), run).unwrap());
    }

    let solution = rig.solve().unwrap();
    let proof = solution.certificate();
    assert!(proof.unique);
    let parts: Vec<_> = sides.iter().map(|id| solution.parts(*id).unwrap()[0]).collect();
    for (strain, part) in strains.iter_mut().zip(&parts) {
        *strain = part.strain.value;
    }
    let reaction = [points[0], points[points.len() - 1]].map(|p| {
        let f = solution.reaction(p).unwrap();
        turned.back([f.x.value, f.y.value, f.z.value])
    });
    Hung {
        corners: points
            .iter()
            .map(|p| solution.position(*p).unwrap())
            .map(|p| turned.back([p.x.value, p.y.value, p.z.value]))
            .map(|[x, _, z]| (x, z))
            .collect(),
        horizontal_n: reaction[0][0].hypot(reaction[0][1]),
        vertical_n: reaction.map(|r| r[2]),
        sides_n: parts.iter().map(|part| part.tension_first.value).collect(),
        length_m: parts.iter().map(|part| part.chord.value).sum(),
        doubt: 4.0 * parts.len() as f64 * proof.force_residual.value / whole_n,
    }
}

/// A load by level metre between a first support and a last one so much higher, in panels.
struct Deck {
    span_m: f64,
    rise_m: f64,
    load_n_per_m: f64,
    panels: u32,
}

impl Deck {
    fn level(span_m: f64, load_n_per_m: f64) -> Self {
        Self { span_m, rise_m: 0.0, load_n_per_m, panels: 10 }
    }

    fn panel_m(&self) -> f64 {
        self.span_m / f64::from(self.panels)
    }

    /// S·(wd/H)²/24
    fn arc_less_sides_m(&self, horizontal_n: f64) -> f64 {
        self.span_m * (self.load_n_per_m * self.panel_m() / horizontal_n).powi(2) / 24.0
    }

    /// With sides as on a parabola that is so deep below the chord at mid-span. The supports bear their half panels.
    fn hung(&self, dip_m: f64) -> Hung {
        let shape: Vec<_> = (0..=self.panels)
            .map(|i| {
                let share = f64::from(i) / f64::from(self.panels);
                // z = Z·x/S − 4f·(x/S)(1 − x/S)
                (self.span_m * share, self.rise_m * share - 4.0 * dip_m * share * (1.0 - share))
            })
            .collect();
        let panel_n = self.load_n_per_m * self.panel_m();
        let mut hung = hang(&shape, &vec![panel_n; shape.len() - 2]);
        hung.vertical_n = hung.vertical_n.map(|v| v + 0.5 * panel_n);
        hung
    }

    /// Let out or taken in, from so deep, until nothing is amiss.
    fn let_out(&self, dip_m: f64, amiss: impl Fn(&Hung) -> f64) -> Hung {
        let (mut before, mut dip) = (dip_m, 1.01 * dip_m);
        let mut amiss_before = amiss(&self.hung(before));
        for _ in 0..20 {
            let hung = self.hung(dip);
            let now = amiss(&hung);
            let step = -now * (dip - before) / (now - amiss_before);
            if now == 0.0 || step.abs() < 1e-9 * dip {
                return hung;
            }
            (before, amiss_before) = (dip, now);
            dip += step;
        }
        panic!("no rope hangs like that");
    }

    fn with_sag(&self, sag_m: f64) -> Hung {
        self.let_out(1.1 * sag_m, |hung| hung.lowest().1 + sag_m)
    }

    fn with_horizontal(&self, tension_n: f64) -> Hung {
        // f = wS²/8H
        let dip_m = self.load_n_per_m * self.span_m.powi(2) / (8.0 * tension_n);
        self.let_out(1.1 * dip_m, |hung| hung.horizontal_n - tension_n)
    }

    fn with_pull(&self, support: usize, tension_n: f64) -> Hung {
        let dip_m = self.load_n_per_m * self.span_m.powi(2) / (8.0 * tension_n);
        self.let_out(1.1 * dip_m, |hung| hung.pull_n(support) - tension_n)
    }
}

/// Source: Tayal, Engineering Mechanics, examples 10.1 and 10.2, read in a public companion. The rope is as long as the
/// shape that follows from moments, with the printed H and vertical reactions; the rig must find it and its pulls.
#[test]
fn cables_with_loads_at_points() {
    // 400, 600 and 400 N at every 2 m of 8 m: H 1600 N, V_B 1100 N, the last load 1.375 m below B, 1627.882 N next to
    // A and 1941.649 N at 34.5085° next to B.
    let mut shape = vec![(0.0, 0.0)];
    for slope in [-300.0 / 1600.0, 100.0 / 1600.0, 700.0 / 1600.0, 1100.0 / 1600.0] {
        let (x, z) = shape[shape.len() - 1];
        shape.push((x + 2.0, z + 2.0 * slope));
    }
    let hung = hang(&shape, &[400.0, 600.0, 400.0]);
    let rounding = 0.0005 + hung.doubt * 2000.0;
    near(hung.horizontal_n, 1600.0, rounding);
    near(hung.vertical_n[1], 1100.0, rounding);
    near(hung.sides_n[0], 1627.882, rounding);
    near(hung.sides_n[3], 1941.649, rounding);
    near(hung.corners[4].1 - hung.corners[3].1, 1.375, rounding);
    let slope = (hung.vertical_n[1] / hung.horizontal_n).atan().to_degrees();
    near(slope, 34.5085, 0.000_05 + hung.doubt * 35.0);

    // 100, 150 and 200 N at every metre, H 200 N: V_A 300, V_B 150 N, T_AC 360.555, T_CD 282.843 N.
    let mut shape = vec![(0.0, 0.0)];
    for slope in [-300.0 / 200.0, -200.0 / 200.0, -50.0 / 200.0, 150.0 / 200.0] {
        let (x, z) = shape[shape.len() - 1];
        shape.push((x + 1.0, z + slope));
    }
    let hung = hang(&shape, &[100.0, 150.0, 200.0]);
    let rounding = 0.0005 + hung.doubt * 400.0;
    near(hung.vertical_n[0], 300.0, rounding);
    near(hung.vertical_n[1], 150.0, rounding);
    near(hung.sides_n[0], 360.555, rounding);
    near(hung.sides_n[1], 282.843, rounding);
}

/// The side next to a support, and all corners, against the closed forms of the heading: what the other checks lean on.
#[test]
fn the_corners_lie_on_the_parabola_however_many_there_are() {
    for panels in [2, 5, 24] {
        let deck = Deck { span_m: 240.0, rise_m: -5.0, load_n_per_m: 6.0, panels };
        let hung = deck.with_horizontal(13_000.0);
        let (h, w) = (hung.horizontal_n, deck.load_n_per_m);
        // V = wS/2 − HZ/S at the first support, z = (½wx² − Vx)/H
        let v = 0.5 * w * deck.span_m - h * deck.rise_m / deck.span_m;
        near(hung.vertical_n[0], v, hung.doubt * v);
        near(hung.vertical_n[1], w * deck.span_m - v, hung.doubt * v);
        for (i, (x, z)) in hung.corners.iter().enumerate() {
            near(*x, i as f64 * deck.panel_m(), hung.doubt * deck.span_m);
            near(*z, (0.5 * w * x * x - v * x) / h, hung.doubt * deck.span_m);
        }
        let ends = [hung.sides_n[0], hung.sides_n[hung.sides_n.len() - 1]];
        for (side, v) in ends.into_iter().zip(hung.vertical_n) {
            near(side, h.hypot(v - 0.5 * w * deck.panel_m()), hung.doubt * h);
        }
    }
}

/// Source: Ray, Electrical Power Systems, example 5.1, read in a public companion: 250 m of 0.65 kg/m under 3500 kgf
/// sag by 1.4509 m as a parabola. Forces in kgf throughout: only their ratio counts.
#[test]
fn an_overhead_line_taken_for_a_parabola() {
    let hung = Deck::level(250.0, 0.65).with_horizontal(3500.0);
    near(-hung.lowest().1, 1.4509, 0.000_05 + hung.doubt * 1.5);
}

/// Source: Ray, example 5.3: 240 m of 0.63 kg/m under 1350 kgf, one support 5 m above the other: the lowest point is
/// 164.643 m from the higher and 6.325 m below it.
#[test]
fn an_overhead_line_between_unequal_supports() {
    let deck = Deck { span_m: 240.0, rise_m: -5.0, load_n_per_m: 0.63, panels: 24 };
    let hung = deck.with_horizontal(1350.0);
    // Up to its lowest point the rope hangs on the higher support.
    let from_higher = hung.vertical_n[0] / 0.63;
    near(from_higher, 164.643, 0.0005 + hung.doubt * 240.0);
    let (x, z) = hung.lowest();
    let below_corner = 0.63 * (x - from_higher).powi(2) / (2.0 * 1350.0);
    assert!(below_corner < 0.63 * deck.panel_m().powi(2) / (8.0 * 1350.0));
    near(below_corner - z, 6.325, 0.0005 + hung.doubt * 240.0);
}

/// Source: Tayal, Engineering Mechanics, example 10.3, read in a public companion: a pipe of 75 kg/m over 20 m; the
/// lowest point is 2 m below one support, and 4.5 m below the other by the book's x² + 32x − 320 = 0. It is 8 m from
/// the first; 11.772 and 14.715 kN. g is 9.81 m/s².
#[test]
fn a_pipe_on_a_rope_between_unequal_supports() {
    // Panels of 1 m: the lowest point is a corner.
    let deck = Deck { span_m: 20.0, rise_m: 2.5, load_n_per_m: 75.0 * 9.81, panels: 20 };
    let hung = deck.let_out(3.0, |hung| hung.lowest().1 + 2.0);
    near(hung.lowest().0, 8.0, 0.0005);
    near(hung.vertical_n[0] / deck.load_n_per_m, 8.0, 0.0005);
    near(hung.horizontal_n, 11_772.0, 0.5);
    near(hung.pull_n(1), 14_715.0, 0.5);
}

/// Source: Tayal, example 10.4: 0.5 kg/m over 30 m with 0.5 m of sag is kept by 1106.075 N, at 3.8141° to the level.
/// The length of 30.022 222 m is S(1 + 8r²/3), r being sag by span.
#[test]
fn a_cable_kept_tight_by_a_weight() {
    let deck = Deck::level(30.0, 0.5 * 9.81);
    let hung = deck.with_sag(0.5);
    near(hung.pull_n(0), 1106.075, 0.0005 + hung.doubt * 1106.0);
    let slope = (hung.horizontal_n / hung.pull_n(0)).acos().to_degrees();
    near(slope, 3.8141, 0.000_05 + hung.doubt * 3.8);
    // The arc is S(1 + 8r²/3 − 32r⁴/5 + …), of which the next is 256r⁶/7 = 8e-10; the slope, up to 1/15, takes less
    // than one per cent of what the sides are shorter.
    let deck = Deck { panels: 40, ..deck };
    let hung = deck.with_sag(0.5);
    let (r, cut) = (0.5_f64 / 30.0, deck.arc_less_sides_m(hung.horizontal_n));
    near(hung.length_m, 30.022_222 - 30.0 * 6.4 * r.powi(4) - cut, 0.000_000_5 + 0.01 * cut + 3e-8);
}

/// Source: Tayal, example 10.5: 3 N/m over 30 m, no more than 400 N: no less than 0.849 141 m of sag.
#[test]
fn the_least_sag_between_two_poles() {
    let hung = Deck::level(30.0, 3.0).with_pull(0, 400.0);
    near(-hung.lowest().1, 0.849_141, 0.000_000_5 + hung.doubt * 0.85);
}

/// Source: McLean, Schaum's outline of engineering mechanics, read in a public companion: 7.7-10, 2000 N/m over 20 m
/// under 140 kN, sag 0.72 m; 7.7-11, 10 oz/ft over 80 ft under 500 lb, sag 1.0 ft. The companion's length of 20.05 m
/// for the first lost its 8/3 to a whole-number division; 20.0694 m is S(1 + 8r²/3) done right.
#[test]
fn sags_under_a_greatest_tension() {
    let deck = Deck::level(20.0, 2000.0);
    let hung = deck.with_pull(1, 140e3);
    near(-hung.lowest().1, 0.72, 0.005);
    // The arc again, with 32r⁴/5 for r = 0.0361; here the slope, up to 1/7, takes less than two per cent.
    let cut = deck.arc_less_sides_m(hung.horizontal_n);
    near(hung.length_m, 20.0694 - 20.0 * 6.4 * 0.0361_f64.powi(4) - cut, 0.000_05 + 0.02 * cut);

    let hung = Deck::level(ft(80.0), lbf(10.0 / 16.0) / ft(1.0)).with_pull(0, lbf(500.0));
    near(-hung.lowest().1, ft(1.0), ft(0.05));
    // Own value, S/4·q/√(1 − q²) with q = wS/2T, to its printed digits.
    near(-hung.lowest().1, ft(1.001_25), ft(0.000_005));
}

/// Source: McLean, 7.7-8: 800 lb/ft over 600 ft with 40 ft of sag: 900 000 lb level, 931 450 lb at the towers. (For
/// 7.7-7, the same bridge, the companion's 929 516 lb comes from √15 where √(1 + 600²/(16·40²)) = √15.0625.)
#[test]
fn a_suspension_bridge() {
    let hung = Deck::level(ft(600.0), lbf(800.0) / ft(1.0)).with_sag(ft(40.0));
    near(hung.horizontal_n, lbf(900_000.0), lbf(0.5) + hung.doubt * lbf(900_000.0));
    near(hung.pull_n(0), lbf(931_450.0), lbf(0.5) + hung.doubt * lbf(931_450.0));
}

/// Source: McLean, 7.7-9: 29.4 N/m over 300 m, the lowest point 10 m below one support and 30 m below the other:
/// 18 585.57 N, worked out with 864 for 29.4² = 864.36, which takes 0.36·190²/(2·18 586) = 0.35 N off.
#[test]
fn a_rope_between_a_low_and_a_high_support() {
    // x = S/(1 + √(10/30)) = 0.633 975·S from the higher support, and 26/41 = 0.634 146: 5 cm to the next corner,
    // which is above the lowest point by 29.4·0.051²/(2·17 700) = 2.2e-6 m, 4e-3 N of the tension.
    let deck = Deck { span_m: 300.0, rise_m: -20.0, load_n_per_m: 29.4, panels: 41 };
    let hung = deck.let_out(20.0, |hung| hung.lowest().1 + 30.0);
    near(hung.pull_n(0), 18_585.57 + 0.35, 0.005 + 0.005 + 0.004 + hung.doubt * 18_586.0);
}

/// Source: Meriam & Kraige, Statics, sample problem 5/16, from memory (check the edition): 12 kg for every level metre
/// of 300 m, 60 m of sag: 22.1 and 28.3 kN.
#[test]
fn a_deep_parabola() {
    let hung = Deck::level(300.0, 12.0 * 9.81).with_sag(60.0);
    near(hung.horizontal_n, 22.1e3, 50.0);
    near(hung.pull_n(1), 28.3e3, 50.0);
}
