//! Random lines, and a check of their solution that shares nothing with the solver.

use rope_mechanics::line::LineState;
use rope_mechanics::line::elastic::ElasticLine;
use rope_mechanics::quantity::{Force, Length, unit::meter, unit::newton};
use rope_mechanics::rope::Stretch;

/// A line in SI.
#[derive(Debug, Clone, Copy)]
pub struct Case {
    /// Level distance of the supports.
    pub span_m: f64,
    /// Height of the second one above the first.
    pub rise_m: f64,
    /// Unstretched length.
    pub length_m: f64,
    /// Weight per metre.
    pub weight_n_per_m: f64,
    /// EA.
    pub axial_n: f64,
}

impl Case {
    /// The same with units.
    ///
    /// # Panics
    /// If it isn't a line.
    #[must_use]
    pub fn line(&self) -> ElasticLine {
        let one_m = Length::new::<meter>(1.0);
        let one_n = Force::new::<newton>(1.0);
        ElasticLine::new(
            one_m * self.span_m,
            one_m * self.rise_m,
            one_m * self.length_m,
            one_n * self.weight_n_per_m / one_m,
            Stretch::linear(one_n * self.axial_n).unwrap(),
        )
        .unwrap()
    }
}

/// Numbers from 0 to 1 that look random: splitmix64, the same for the same seed.
#[derive(Debug, Clone)]
pub struct Random(u64);

impl Random {
    /// A new sequence.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// From `lo` to `hi`, evenly.
    pub fn even(&mut self, lo: f64, hi: f64) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        let bits = (z ^ (z >> 31)) >> 11;
        lo + (hi - lo) * (bits as f64 / (1_u64 << 53) as f64)
    }

    /// From `lo` to `hi`, evenly in the logarithm.
    pub fn log(&mut self, lo: f64, hi: f64) -> f64 {
        self.even(lo.ln(), hi.ln()).exp()
    }

    /// 1 or −1.
    pub fn sign(&mut self) -> f64 {
        if self.even(0.0, 1.0) < 0.5 { -1.0 } else { 1.0 }
    }
}

/// Ropes as they are rigged: 5 to 500 m, up to 60°, from 3 % of strain to 50 % of slack.
#[must_use]
pub fn ordinary(random: &mut Random) -> Case {
    let chord = random.log(5.0, 500.0);
    let angle = random.even(-60.0, 60.0).to_radians();
    let part = match random.even(0.0, 3.0) as u32 {
        0 => 1.0 - random.log(1e-5, 0.03),
        1 => 1.0 + random.log(1e-5, 0.03),
        _ => random.even(0.98, 1.5),
    };
    Case {
        span_m: chord * angle.cos(),
        rise_m: chord * angle.sin(),
        length_m: chord * part,
        weight_n_per_m: random.log(0.3, 50.0),
        axial_n: random.log(1e4, 1e8),
    }
}

/// Everything else: lengths of 0.5 to 100 chords, as near to one as numbers go, plumb and nearly plumb, stiff and soft.
#[must_use]
pub fn extreme(random: &mut Random) -> Case {
    let chord = random.log(1e-2, 1e5);
    let angle = random.even(-90.0, 90.0).to_radians();
    let (mut span_m, mut rise_m) = (chord * angle.cos(), chord * angle.sin());
    let mut length_m = chord * random.log(0.5, 100.0);
    match random.even(0.0, 8.0) as u32 {
        0 => length_m = chord * (1.0 + random.sign() * random.log(1e-16, 1e-3)),
        1 => (span_m, rise_m) = (0.0, chord * random.sign()),
        2 => (span_m, rise_m) = (random.log(1e-9, 0.1), chord * random.sign()),
        3 => {
            (span_m, rise_m) = (random.log(1e-9, 0.1), chord * random.sign());
            length_m = chord * (1.0 + random.sign() * random.log(1e-14, 1e-2));
        }
        4 => (span_m, rise_m) = (chord, 0.0),
        5 => (span_m, rise_m, length_m) = (chord, 0.0, chord),
        _ => {}
    }
    Case { span_m, rise_m, length_m, weight_n_per_m: random.log(1e-6, 1e4), axial_n: random.log(1e3, 1e12) }
}

/// Ordinary and extreme lines in turn, without end.
#[derive(Debug, Clone)]
pub struct RandomLines {
    random: Random,
    count: u64,
}

impl RandomLines {
    /// A new sequence.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self { random: Random::new(seed), count: 0 }
    }
}

impl Iterator for RandomLines {
    type Item = Case;

    fn next(&mut self) -> Option<Case> {
        self.count += 1;
        Some(if self.count.is_multiple_of(2) {
            ordinary(&mut self.random)
        } else {
            extreme(&mut self.random)
        })
    }
}

/// By how much of the greatest tension the end forces are wrong.
///
/// The rope is laid out from its first support with the forces found, by Gauss's rule in the hyperbolic parameter, in
/// the directions along and across the chord:
///
/// along = ∫[ε − (1 − cos α)(1 + ε)] ds − (chord − L),  across = ∫ sin α·(1 + ε) ds
///
/// α is the angle of the rope to the chord. No large numbers cancel in these, so that they tell a wrong tension where
/// a closing error in metres doesn't; with the flexibility of the line, from the same sum, they become a force.
#[must_use]
pub fn closing_error(case: &Case, state: &LineState) -> f64 {
    let Case { span_m, rise_m, length_m, weight_n_per_m: w, axial_n } = *case;
    let h = state.horizontal_tension().value;
    let (v_first, v_last) = (state.first_reaction().z.value, state.last_reaction().z.value);
    let greatest = state.greatest_tension().value;
    // The reactions carry the rope.
    let weight = (v_first + v_last - w * length_m).abs() / greatest;
    let v_middle = 0.5 * (v_last - v_first);
    if span_m == 0.0 {
        return weight.max(plumb_error(case, v_middle)).max(h / greatest);
    }
    let chord = span_m.hypot(rise_m);
    let (cos, sin) = (span_m / chord, rise_m / chord);
    // chord − L
    let short = -excess(span_m, rise_m, length_m) / (chord + length_m);
    // T·sin α, positive where the rope runs steeper than the chord, at the middle of the rope
    let lean_middle = v_middle * cos - h * sin;
    let (from, to) = ((-v_first / h).asinh(), (v_last / h).asinh());
    // Between ends nearly at the same slope the parameter is s itself.
    let by_length = to - from < 1e-3;
    let panels = (to - from).ceil().max(1.0);
    let (mut along, mut across) = (-short, 0.0);
    let (mut f_aa, mut f_ac, mut f_cc) = (0.0, 0.0, 0.0);
    for panel in 0..panels as u32 {
        for (node, weight) in GAUSS {
            for node in [-node, node] {
                let part = (f64::from(panel) + 0.5 * (1.0 + node)) / panels;
                let (s_middle, ds) = if by_length {
                    (length_m * (part - 0.5), length_m * 0.5 * weight / panels)
                } else {
                    let eta = from + (to - from) * part;
                    (
                        (h * eta.sinh() - v_middle) / w,
                        h * eta.cosh() / w * (to - from) * 0.5 * weight / panels,
                    )
                };
                let v = v_middle + w * s_middle;
                let t = h.hypot(v);
                let strain = t / axial_n;
                let sin_a = (lean_middle + w * s_middle * cos) / t;
                let cos_a = (h * cos + v * sin) / t;
                let less = if cos_a > 0.0 { sin_a * sin_a / (1.0 + cos_a) } else { 1.0 - cos_a };
                along += (strain - less * (1.0 + strain)) * ds;
                across += sin_a * (1.0 + strain) * ds;
                // ∂/∂F of (F/T)(1 + T/EA) is (1 − ttᵀ)/T + 1/EA
                f_aa += (sin_a * sin_a / t + 1.0 / axial_n) * ds;
                f_ac -= sin_a * cos_a / t * ds;
                f_cc += (cos_a * cos_a / t + 1.0 / axial_n) * ds;
            }
        }
    }
    let determinant = f_aa * f_cc - f_ac * f_ac;
    let force =
        ((f_cc * along - f_ac * across) / determinant).hypot((f_aa * across - f_ac * along) / determinant);
    weight.max(force / greatest)
}

fn plumb_error(case: &Case, v_middle: f64) -> f64 {
    let Case { rise_m, length_m, weight_n_per_m: w, axial_n, .. } = *case;
    let half = 0.5 * w * length_m;
    let v = v_middle.abs();
    if v >= half {
        // Z − L = V·L/EA
        let force = (rise_m.abs() - length_m) / length_m * axial_n;
        (force - v).abs() / (v + half)
    } else {
        // Z = V·L/EA + 2V/w
        let flexibility = length_m / axial_n + 2.0 / w;
        (rise_m.abs() / flexibility - v).abs() / (v + half)
    }
}

/// L² − X² − Z², rounded once or twice.
fn excess(x: f64, z: f64, l: f64) -> f64 {
    let square = |a: f64| (a * a, a.mul_add(a, -(a * a)));
    let ((x2, x3), (z2, z3), (l2, l3)) = (square(x), square(z), square(l));
    let (big, small) = (x2.max(z2), x2.min(z2));
    let first = l2 - big;
    let e1 = {
        let back = first - l2;
        (l2 - (first - back)) + (-big - back)
    };
    let second = first - small;
    let e2 = {
        let back = second - first;
        (first - (second - back)) + (-small - back)
    };
    second + (e1 + (e2 + (l3 - x3 - z3)))
}

/// Zeros of the Legendre polynomial of degree 16, and their weights.
const GAUSS: [(f64, f64); 8] = [
    (0.095_012_509_837_637_440_2, 0.189_450_610_455_068_496),
    (0.281_603_550_779_258_913, 0.182_603_415_044_923_589),
    (0.458_016_777_657_227_386, 0.169_156_519_395_002_538),
    (0.617_876_244_402_643_748, 0.149_595_988_816_576_732),
    (0.755_404_408_355_003_034, 0.124_628_971_255_533_872),
    (0.865_631_202_387_831_744, 0.095_158_511_682_492_784_8),
    (0.944_575_023_073_232_576, 0.062_253_523_938_647_892_9),
    (0.989_400_934_991_649_933, 0.027_152_459_411_754_094_9),
];
