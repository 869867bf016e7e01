//! The end forces of any line: the kernel that every other kind of line is made of.

use super::LineError;
use super::linear::{QUICK, ROBUST, linear};
use super::stiffening;

pub(crate) use super::linear::{Ends, Solved, Span};

/// A larger residual is an error.
pub(super) const RESIDUAL: f64 = 1e-12;

/// The end forces. Without weight and slack all are zero (see [`Solved::is_shapeless`]).
pub(crate) fn solve(span: &Span) -> Result<Solved, LineError> {
    solve_here(span)
}

/// [`solve`], evaluated in place: its answer needn't be carried to the caller.
#[inline(always)]
pub(super) fn solve_here(span: &Span) -> Result<Solved, LineError> {
    solve_by::<QUICK>(span)
}

/// The same by bracketed steps alone.
pub(crate) fn solve_robust(span: &Span) -> Result<Solved, LineError> {
    solve_by::<ROBUST>(span)
}

#[inline(always)]
fn solve_by<const WAY: bool>(span: &Span) -> Result<Solved, LineError> {
    // The linear rope is evaluated in place, which keeps its numbers in registers.
    if span.stretch.is_linear() {
        certified(span, linear::<WAY>(span, span.stretch.a_n(), None))
    } else {
        certified(span, stiffening::ends::<WAY>(span))
    }
}

#[inline(always)]
fn certified(span: &Span, ends: Ends) -> Result<Solved, LineError> {
    if ends.residual <= RESIDUAL && (ends.t_first_n + ends.t_last_n).is_finite() {
        Ok(Solved { span: *span, ends })
    } else {
        Err(span.unsolved_by(ends.residual, ends.iterations))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::newtons;
    use crate::rope::Stretch;

    fn line(span_m: f64, rise_m: f64, length_m: f64, weight_n_per_m: f64, ea: f64) -> Solved {
        let stretch = Stretch::linear(newtons(ea)).unwrap();
        solve(&Span { span_m, rise_m, length_m, weight_n_per_m, stretch }).unwrap()
    }

    fn close(a: f64, b: f64, tolerance: f64) {
        assert!((a / b - 1.0).abs() <= tolerance, "{a} is not {b}: {:e}", a / b - 1.0);
    }

    // Own multi-precision values, printed to 14 digits: half a unit of the last.
    #[test]
    fn reference_lines() {
        let ends = line(100.0, 0.0, 100.05, 0.73575, 1e5).ends;
        close(ends.h_n, 266.119_716_028_77, 1e-13);
        close(ends.v_last_n, 36.805_893_75, 1e-15);
        close(line(100.0, 0.0, 100.0, 0.73575, 1e5).ends.h_n, 281.825_349_822_22, 1e-13);
        close(line(100.0, 0.0, 99.0, 0.73575, 1e5).ends.h_n, 1_030.890_820_999_2, 1e-13);
        let ends = line(1e-3, -50.0, 60.0, 0.73575, 1e5).ends;
        close(ends.h_n, 2.680_880_665_299_3e-5, 1e-13);
        close(ends.v_first_n, 40.462_190_935_513, 1e-13);
        close(line(10.0, 0.0, 100.0, 0.73575, 1e5).ends.h_n, 0.817_429_711_707_14, 1e-13);
    }
}
