//! How much rope gives a tension or a sag.

use super::LineError;
use super::elastic::{ElasticSpan, End};
use super::span::{self, Solved};
use crate::math;
use crate::math::roots::try_bracketed;

/// Doublings or halvings before a length counts as not to be found.
const MOST_DOUBLINGS: u32 = 200;
/// The length found gives the value asked for to within this and the spacing of lengths.
const CLOSED: f64 = 1e-12;

impl ElasticSpan {
    fn chord_m(&self) -> f64 {
        math::hypot(self.span_m, self.rise_m)
    }

    fn solve(&self, length_m: f64) -> Result<Solved, LineError> {
        span::solve(&self.of_length(length_m))
    }

    pub(super) fn length_for_horizontal_tension_m(&self, h_n: f64) -> Result<f64, LineError> {
        if self.weight_n_per_m == 0.0 {
            return Ok(self.straight_m(h_n * (self.chord_m() / self.span_m)));
        }
        self.length_for("horizontal_tension", h_n, None, |line| line.ends.h_n)
    }

    pub(super) fn length_for_tension_m(&self, end: End, tension_n: f64) -> Result<f64, LineError> {
        if self.weight_n_per_m == 0.0 {
            return Ok(self.straight_m(tension_n));
        }
        let at_end = |line: &Solved| match end {
            End::First => line.ends.t_first_n,
            End::Last => line.ends.t_last_n,
        };
        let slope = |line: &Solved| {
            // T·dT/dL = H·dH/dL + V·dV/dL,  where V_first = wL − V_last
            let (h, v_last) = line.by_length();
            match end {
                End::First => line.ends.h_n * h + line.ends.v_first_n * (self.weight_n_per_m - v_last),
                End::Last => line.ends.h_n * h + line.ends.v_last_n * v_last,
            }
        };
        // The taut lengths end where the tension is least. A plumb line has it where it begins to hang doubled.
        let longest = self.least(slope)?;
        let least_n = at_end(&self.solve(longest)?);
        if tension_n < least_n {
            return Err(LineError::OutOfReach {
                field: "tension",
                value: tension_n,
                unit: " N",
                lowest: least_n,
                highest: f64::INFINITY,
                why: "the rope's own weight pulls harder, however long it is",
            });
        }
        self.length_for("tension", tension_n, Some(longest), at_end)
    }

    pub(super) fn length_for_sag_m(&self, sag_m: f64) -> Result<f64, LineError> {
        // The sag grows with the length; its reciprocal falls, as tensions do.
        self.length_for("sag", 1.0 / sag_m, None, |line| 1.0 / line.sag())
    }

    /// A straight rope: L = chord/(1 + ε(T))
    fn straight_m(&self, tension_n: f64) -> f64 {
        self.chord_m() / (1.0 + self.stretch.strain_at(tension_n))
    }

    /// The length from which on more rope raises the tension.
    fn least(&self, slope: impl Fn(&Solved) -> f64) -> Result<f64, LineError> {
        let chord_m = self.chord_m();
        let (mut lo, mut hi) = (chord_m, chord_m);
        let mut doublings = 0;
        while slope(&self.solve(lo)?) > 0.0 && doublings < MOST_DOUBLINGS {
            hi = lo;
            lo *= 0.5;
            doublings += 1;
        }
        while slope(&self.solve(hi)?) < 0.0 && doublings < MOST_DOUBLINGS {
            lo = hi;
            hi *= 2.0;
            doublings += 1;
        }
        // A flat least value needs no more than half the digits of its place.
        let root =
            try_bracketed(lo, hi, 1e-9 * lo, |length_m| self.solve(length_m).map(|line| slope(&line)))?;
        Ok(root.map_or(hi, |root| root.x))
    }

    /// The length, up to `longest`, at which a value that falls with length is `target`.
    fn length_for(
        &self,
        field: &'static str,
        target: f64,
        longest: Option<f64>,
        value: impl Fn(&Solved) -> f64,
    ) -> Result<f64, LineError> {
        let start = longest.unwrap_or(self.chord_m());
        let (mut lo, mut hi) = (start, start);
        let mut doublings = 0;
        let mut reached = value(&self.solve(start)?);
        let unreached = |reached| LineError::OutOfReach {
            field,
            value: target,
            unit: " (SI)",
            lowest: reached,
            highest: f64::INFINITY,
            why: "no length of rope gives it",
        };
        while reached <= target {
            hi = lo;
            lo *= 0.5;
            doublings += 1;
            if doublings > MOST_DOUBLINGS {
                return Err(unreached(reached));
            }
            reached = value(&self.solve(lo)?);
        }
        if longest.is_none() && lo == hi {
            while reached > target {
                lo = hi;
                hi *= 2.0;
                doublings += 1;
                if doublings > MOST_DOUBLINGS {
                    return Err(unreached(reached));
                }
                reached = value(&self.solve(hi)?);
            }
        }
        if lo == hi {
            return Ok(lo);
        }
        // ln(value/target), nearly straight over many lengths
        let root = try_bracketed(lo, hi, 0.0, |length_m| {
            self.solve(length_m).map(|line| math::ln(value(&line) / target))
        })?;
        let Some(root) = root else { return Err(unreached(reached)) };
        self.certify(root.x, target, root.evaluations, value)
    }

    /// The length, if its neighbours among the numbers are no better by more than the tolerance.
    fn certify(
        &self,
        length_m: f64,
        target: f64,
        iterations: u32,
        value: impl Fn(&Solved) -> f64,
    ) -> Result<f64, LineError> {
        let line = self.solve(length_m)?;
        let residual = (value(&line) / target - 1.0).abs();
        let near = value(&self.solve(length_m * (1.0 + 4.0 * f64::EPSILON))?);
        let spacing = (near / value(&line) - 1.0).abs();
        if residual <= CLOSED + spacing {
            return Ok(length_m);
        }
        let span = self.of_length(length_m);
        Err(span.unsolved_by(residual, iterations))
    }
}
