//! Live calls in single precision: what a control loop asks again and again, on a processor whose floating-point unit
//! has no double precision.
//!
#![doc = include_str!("docs/pictures/live.svg")]
//!
//! Everything is computed in `f32`, but for the value in an error. So quantities are plain numbers here, with their
//! unit in the name: the types of [`quantity`](mod@crate::quantity) are double. Prepare a rig with the rest of the
//! library; ask here while it runs.
//!
//! **How good.** Against the double face with the same inputs, over two million random lines and many turns, of
//! which the tests repeat a part: each force of [`LiveLine::ends`] is off by less than 1e-6 of the greater end tension, a
//! ratio by less than 5e-6 of itself. That is of the arithmetic. A length given as `f32` is itself rounded, by up to
//! 6e-8: of a taut line that is EA·6e-8 of tension, 7 mN at 120 kN.
//!
//! Nothing here needs a heap, and no path leads to a panic.
//!
//! **Caution.** As of the whole library: an aid, not a safety function, and never the only limit on a load.

use crate::error::{Allowed, InputError};
use crate::math::single::{about_cbrt, excess, exp, sqrt};
use crate::motion::Motion;
use core::f32::consts::PI;

/// Why a live call has no answer.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum LiveError {
    /// An input can't be used.
    #[error(transparent)]
    Input(#[from] InputError),
    /// So slack or so steep that a live call doesn't follow it.
    #[error("length_m is too slack, or the line too steep, for a live call: ask in double precision")]
    Slack,
    /// However much of it there is, the rope pulls harder than that at its first end.
    #[error("first_n is less than what the rope's weight alone makes there: ask for more")]
    OutOfReach,
    /// The residual promised is not reached.
    #[error(
        "not solved to single precision: the rope is too stiff for lengths in single precision, or its figures lie far from any rope's"
    )]
    Unsolved,
}

fn within(field: &'static str, value: f32, unit: &'static str, lo: f32, hi: f32) -> Result<f32, InputError> {
    if value >= lo && value <= hi {
        return Ok(value);
    }
    Err(InputError::new(field, f64::from(value), unit, Allowed::Within(f64::from(lo), f64::from(hi))))
}

/// A rope between two supports that stretches in proportion to its tension, in SI.
///
/// Range: span 0.01 to 1e5 m, rise −1e5 to 1e5 m, length 0.01 to 2e5 m, weight 0.001 to 1e4 N/m, stiffness (EA) 1 to
/// 1e10 N; not slacker than some thousand times the span.
///
/// ```
/// use rope_mechanics::live::LiveLine;
///
/// // From a frame to an anchor 52 m out and 31 m down: both strands as one line.
/// let mut line =
///     LiveLine { span_m: 52.0, rise_m: -31.0, length_m: 60.0, weight_n_per_m: 1.8, stiffness_n: 124e3 };
/// let ends = line.ends()?;
/// assert!((ends.first_n - 1176.7).abs() < 0.1 && ends.residual < 2e-6);
/// // And how long it is at that reading.
/// assert!((line.length_for(ends.first_n)?.length_m - 60.0).abs() < 1e-4);
/// # Ok::<(), rope_mechanics::live::LiveError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LiveLine {
    /// Horizontal distance between the supports.
    pub span_m: f32,
    /// Height of the second support above the first; negative if it is lower.
    pub rise_m: f32,
    /// Unstretched length. Not read where the length is what is asked for.
    pub length_m: f32,
    /// Weight per unstretched metre.
    pub weight_n_per_m: f32,
    /// Axial stiffness EA: tension by strain.
    pub stiffness_n: f32,
}

/// The forces at the supports of a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LiveEnds {
    /// Horizontal component of the tension, the same all along the rope.
    pub horizontal_n: f32,
    /// Tension at the first end.
    pub first_n: f32,
    /// Tension at the second end.
    pub last_n: f32,
    /// What the first support carries, upward; negative where the rope lifts it.
    pub first_up_n: f32,
    /// What the second support carries, upward; negative where the rope lifts it.
    pub last_up_n: f32,
    /// Relative change of the answer in one more step of the solver: at most 2e-6, or the call fails.
    pub residual: f32,
    /// Steps of the solver: at most [`MOST_STEPS`].
    pub iterations: u32,
}

/// The length of rope that pulls as hard as asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LiveLength {
    /// Unstretched length.
    pub length_m: f32,
    /// How far the tension of that length is from the one asked for, by the latter: at most 1e-3, or the call fails.
    /// The next length that single precision has may be EA·6e-8 of tension away.
    pub residual: f32,
    /// Lines solved: at most [`MOST_LINES`].
    pub iterations: u32,
}

/// The most steps of [`LiveLine::ends`].
pub const MOST_STEPS: u32 = 60;
/// The most lines that [`LiveLine::length_for`] solves.
pub const MOST_LINES: u32 = 120;
/// Larger than what rounding leaves of a step, some 2e-7.
const MOST_RESIDUAL: f32 = 2e-6;
/// sinh 10/10 = 1100: so many times its span is the slackest rope long.
const MOST_U: f32 = 10.0;

/// One look at the equation: its value N by its slope, and whether the root lies below.
struct Look {
    du: f32,
    beyond: bool,
}

/// x², z², s and ε of the line: see `line::scalar`, whose equation this is.
struct Shape {
    x2: f32,
    z2: f32,
    s: f32,
    eps: f32,
}

/// sinh u − u, cosh u − 1 and tanh u.
fn hyperbolic(u: f32) -> (f32, f32, f32) {
    let (less_u, less_1) = if u < 1.5 {
        let y = u * u;
        // u³/3! + u⁵/5! + … to u¹³/13!, and u²/2! + u⁴/4! + … to u¹⁴/14!
        let tail = |[a, b, c, d, e]: [f32; 5]| {
            1.0 + y / a * (1.0 + y / b * (1.0 + y / c * (1.0 + y / d * (1.0 + y / e))))
        };
        (
            u * y / 6.0 * tail([20.0, 42.0, 72.0, 110.0, 156.0]),
            0.5 * y * (1.0 + y / 12.0 * tail([30.0, 56.0, 90.0, 132.0, 182.0])),
        )
    } else {
        let e = exp(u);
        (0.5 * (e - 1.0 / e) - u, 0.5 * (e + 1.0 / e) - 1.0)
    };
    (less_u, less_1, (u + less_u) / (1.0 + less_1))
}

impl Shape {
    /// N(u) = (u+ε)·(G−1) = x²(Sₘ−ε)(2+q) − z²p(2−p)(u+ε) − s(u+ε), with Sₘ = sinh u − u, q = (Sₘ−ε)/(u+ε) and
    /// p = ε/(tanh u+ε): no two terms of it cancel but where the root is.
    fn look(&self, u: f32) -> Look {
        let Self { x2, z2, s, eps } = *self;
        let (less_u, less_1, t) = hyperbolic(u);
        let v = u + eps;
        let (q, p) = ((less_u - eps) / v, eps / (t + eps));
        let n = x2 * (less_u - eps) * (2.0 + q) - (z2 * p * (2.0 - p) + s) * v;
        // N' = x²[Cₘ(2+q) + q(Cₘ−q)] − z²[p(2−p) − 2v(1−p)p(1−t²)/(t+ε)] − s, with Cₘ = cosh u − 1
        let by_z = p * (2.0 - p) - 2.0 * v * (1.0 - p) * p * (1.0 - t * t) / (t + eps);
        let slope = x2 * (less_1 * (2.0 + q) + q * (less_1 - q)) - z2 * by_z - s;
        Look { du: -n / slope, beyond: n > 0.0 }
    }

    /// Where three terms of the equation vanish: x²u³/3 = s·u + 2ε.
    fn guess(&self) -> f32 {
        let sag = about_cbrt(6.0 * self.eps / self.x2);
        if self.s > 0.0 { sag + sqrt(3.0 * self.s / self.x2) } else { sag.min(-2.0 * self.eps / self.s) }
    }

    /// The root u, how far one more step would move it by u, and the steps taken.
    fn root(&self) -> Result<(f32, f32, u32), LiveError> {
        let (mut lo, mut hi) = (0.0, MOST_U);
        let mut u = (1.1 * self.guess()).min(MOST_U);
        for step in 1..=MOST_STEPS {
            let Look { du, beyond } = self.look(u);
            if u == MOST_U && !beyond {
                return Err(LiveError::Slack);
            }
            if beyond {
                hi = u
            } else {
                lo = u
            }
            let next = u + du;
            if du.abs() <= 1e-4 * u {
                // A step squares the error: this is the last.
                let residual = self.look(next).du.abs() / next;
                let found = if residual <= MOST_RESIDUAL {
                    Ok((next, residual, step + 1))
                } else {
                    Err(LiveError::Unsolved)
                };
                return found;
            }
            u = if next > lo && next < hi {
                next
            } else if lo > 0.0 {
                sqrt(lo) * sqrt(hi)
            } else {
                hi / 16.0
            };
        }
        Err(LiveError::Unsolved)
    }
}

impl LiveLine {
    /// The forces at both supports of the line in equilibrium.
    ///
    /// [x·sinh u/(u+ε)]² + [z·t/(t+ε)]² = 1, H = wX/(2(u+ε)), V = wZ/(2(t+ε)) ± wL/2: the equations of
    /// [`line`](mod@crate::line), by Newton's steps in a bracket. Irvine, Cable Structures (1981).
    ///
    /// # Errors
    /// An input outside its range; a line too slack; a residual above 2e-6.
    pub fn ends(&self) -> Result<LiveEnds, LiveError> {
        self.check()?;
        within("length_m", self.length_m, "m", 0.01, 2e5)?;
        self.solve(self.length_m)
    }

    /// The unstretched length at which the line pulls so hard at its first end: the shorter, where two do.
    ///
    /// # Errors
    /// An input outside its range; a tension below what the rope's weight alone makes there; a rope so stiff that
    /// no length in single precision comes within a thousandth.
    pub fn length_for(&self, first_n: f32) -> Result<LiveLength, LiveError> {
        self.check()?;
        within("first_n", first_n, "N", 0.01, self.stiffness_n)?;
        let chord = sqrt(self.span_m * self.span_m + self.rise_m * self.rise_m);
        let strain = first_n / self.stiffness_n;
        // So short that it pulls twice as hard, whatever it weighs.
        let mut lo = chord / (1.0 + 2.0 * strain + self.weight_n_per_m * chord / self.stiffness_n);
        // T₁/T − 1 becomes T/T₁ − 1, which grows with the length, and bends less.
        let miss = |length: f32| Ok::<_, LiveError>(first_n / self.solve(length)?.first_n - 1.0);
        let mut lines = 1;
        let mut at_lo = miss(lo)?;
        if at_lo > 0.0 {
            return Err(LiveError::Unsolved);
        }
        let mut gap = (strain + 1e-5) * chord;
        let mut before = (lo, at_lo);
        let (mut hi, mut at_hi) = loop {
            let length = lo + gap;
            let at = miss(length)
                .map_err(|why| if why == LiveError::Slack { LiveError::OutOfReach } else { why })?;
            lines += 1;
            if at >= 0.0 {
                break (length, at);
            }
            if lines > MOST_LINES / 2 || gap < 1e-6 * lo {
                return Err(LiveError::OutOfReach);
            }
            if at > at_lo {
                before = (lo, at_lo);
                (lo, at_lo) = (length, at);
                gap *= 1.6;
            } else {
                // Beyond the least tension: back, in smaller steps.
                (lo, at_lo) = before;
                gap *= 0.3;
            }
        };
        // False position; an end that stays for a second time counts half.
        let mut best = if -at_lo < at_hi { (lo, -at_lo) } else { (hi, at_hi) };
        let mut stayed = 0;
        while lines < MOST_LINES && best.1 > 2e-7 {
            let mut length = lo + (hi - lo) * (at_lo / (at_lo - at_hi));
            if !(length > lo && length < hi) {
                length = 0.5 * (lo + hi);
                if length <= lo || length >= hi {
                    break; // neighbours among the numbers
                }
            }
            let at = miss(length)?;
            lines += 1;
            if at.abs() < best.1 {
                best = (length, at.abs());
            }
            if at < 0.0 {
                at_hi *= if stayed > 0 { 0.5 } else { 1.0 };
                (lo, at_lo, stayed) = (length, at, 1);
            } else {
                at_lo *= if stayed < 0 { 0.5 } else { 1.0 };
                (hi, at_hi, stayed) = (length, at, -1);
            }
        }
        if best.1 <= 1e-3 {
            Ok(LiveLength { length_m: best.0, residual: best.1, iterations: lines })
        } else {
            Err(LiveError::Unsolved)
        }
    }

    /// All but the length.
    fn check(&self) -> Result<(), InputError> {
        within("span_m", self.span_m, "m", 0.01, 1e5)?;
        within("rise_m", self.rise_m, "m", -1e5, 1e5)?;
        within("weight_n_per_m", self.weight_n_per_m, "N/m", 1e-3, 1e4)?;
        within("stiffness_n", self.stiffness_n, "N", 1.0, 1e10)?;
        Ok(())
    }

    fn solve(&self, length_m: f32) -> Result<LiveEnds, LiveError> {
        let Self { span_m, rise_m, weight_n_per_m, stiffness_n, .. } = *self;
        let weight_n = weight_n_per_m * length_m;
        let (x, z) = (span_m / length_m, rise_m / length_m);
        let s = excess(span_m, rise_m, length_m) / (length_m * length_m);
        let shape = Shape { x2: x * x, z2: z * z, s, eps: 0.5 * weight_n / stiffness_n };
        let (u, residual, iterations) = shape.root()?;
        let (_, _, t) = hyperbolic(u);
        // H = wX/(2(u+ε)), V = wZ/(2(t+ε)) ± wL/2
        let horizontal_n = 0.5 * weight_n_per_m * span_m / (u + shape.eps);
        let mean_up_n = 0.5 * weight_n_per_m * rise_m / (t + shape.eps);
        let (first_up_n, last_up_n) = (0.5 * weight_n - mean_up_n, 0.5 * weight_n + mean_up_n);
        let tension = |up_n: f32| sqrt(horizontal_n * horizontal_n + up_n * up_n);
        let (first_n, last_n) = (tension(first_up_n), tension(last_up_n));
        Ok(LiveEnds { horizontal_n, first_n, last_n, first_up_n, last_up_n, residual, iterations })
    }
}

/// What a rope turns on: as [`Turn`](crate::sheave::Turn).
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum LiveTurn {
    /// A sheave by its efficiency over half a turn: 0.3 to 1.
    Sheave {
        /// Tension after by tension before.
        efficiency: f32,
    },
    /// A bar or capstan by its coefficient of friction in this direction: 0 to 2.
    Bar {
        /// The coefficient.
        friction: f32,
    },
}

/// Tension on the pulling side by that on the load's side, over a turn by `wrap_rad`: at least 1 hauling, at most 1
/// lowering.
///
/// A sheave: 1/η or η, η(θ) = η₁₈₀ + (1 − η₁₈₀)·0.28·(1 − θ/π), straight to 1 below 10°, once more for each further
/// half turn; a bar: e^(±μθ). Sources: [`sheave`](mod@crate::sheave).
///
/// # Errors
/// An input outside its range: the wrap goes from 0 to 4π. At rest the ratio is a band: ask
/// [`Turn::band`](crate::sheave::Turn::band).
pub fn turn_ratio(turn: LiveTurn, motion: Motion, wrap_rad: f32) -> Result<f32, LiveError> {
    const FULL_CONTACT_RAD: f32 = PI / 18.0;
    within("wrap_rad", wrap_rad, "rad", 0.0, 4.0 * PI)?;
    let hauling = match motion {
        Motion::Hauling => true,
        Motion::Lowering => false,
        Motion::AtRest => return Err(InputError::new("motion", 3.0, "", Allowed::Within(1.0, 2.0)).into()),
    };
    let ratio = match turn {
        LiveTurn::Sheave { efficiency } => {
            within("efficiency", efficiency, "", 0.3, 1.0)?;
            let (mut eta, mut rest) = (1.0, wrap_rad);
            while rest >= PI {
                eta *= efficiency;
                rest -= PI;
            }
            // 1 − η(θ) = (1 − η₁₈₀)·(1 − 0.28·(1 − θ/π))
            let lost = |theta: f32| (1.0 - efficiency) * (1.0 - 0.28 * (1.0 - theta / PI));
            eta *= if rest >= FULL_CONTACT_RAD {
                1.0 - lost(rest)
            } else {
                1.0 - lost(FULL_CONTACT_RAD) * rest / FULL_CONTACT_RAD
            };
            if hauling { 1.0 / eta } else { eta }
        }
        LiveTurn::Bar { friction } => {
            within("friction", friction, "", 0.0, 2.0)?;
            exp(if hauling { friction * wrap_rad } else { -friction * wrap_rad })
        }
    };
    Ok(ratio)
}
