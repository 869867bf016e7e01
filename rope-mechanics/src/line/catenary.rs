//! The line that doesn't stretch: the catenary, from any quantity that is known of it.

use super::linear::{self, Solved, Span};
use super::scalar::Hyperbolic;
use super::span;
use super::state::End;
use super::{LineError, LineState};
use crate::error::{InputError, finite, positive};
use crate::math;
use crate::math::roots::{Root, bracketed};
use crate::quantity::{Force, Length, LineWeight};
use crate::rope::Stretch;

/// A heavy rope that doesn't stretch, hung between two supports.
///
/// Assumed: perfectly flexible, the same weight for every metre, free of the ground. With X the span, Z the rise and
/// u half the hyperbolic range from end to end:
///
/// H = wX/(2u),  √(L² − Z²) = X·sinh u/u,  T = ½w[√((X·cosh u/u)² + (Z/tanh u)²) ± Z] at the second and first end
///
/// Range: span and weight from 1e-30 m and N/m up to 1e7 m and 1e12 N/m, either rise. Real ropes stretch: use
/// [`ElasticLine`](super::elastic::ElasticLine) wherever the line is taut, as a catenary's tension grows without bound
/// when its length nears the chord.
///
/// ```
/// use rope_mechanics::line::catenary::Catenary;
/// use rope_mechanics::quantity::{Force, Length, LineWeight, unit::{meter, newton, newton_per_meter}};
///
/// let weight = LineWeight::new::<newton_per_meter>(0.5);
/// let level = Catenary::new(Length::new::<meter>(1000.0), Length::new::<meter>(0.0), weight)?;
/// let line = level.by_horizontal_tension(Force::new::<newton>(1000.0))?;
/// assert!((line.sag().get::<meter>() - 62.83).abs() < 0.005);
/// assert!((line.length().get::<meter>() - 1010.45).abs() < 0.005);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// Source: the catenary of any statics textbook; Irvine, Cable Structures (MIT Press 1981), chapter 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Catenary {
    pub(super) span_m: f64,
    pub(super) rise_m: f64,
    pub(super) weight_n_per_m: f64,
}

/// Which of the two ropes that pull equally hard at an end.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
pub enum Branch {
    /// The shorter, flatter one, whose tension falls when rope is let out.
    Taut,
    /// The longer, deeper one, whose tension rises with its hanging weight.
    Slack,
}

impl Catenary {
    /// A second support at a horizontal distance `span` from the first and `rise` higher, and the weight of the rope.
    ///
    /// # Errors
    /// Unless the span and the weight are above zero.
    pub fn new(span: Length, rise: Length, weight: LineWeight) -> Result<Self, InputError> {
        Ok(Self {
            span_m: positive("span", span)?,
            rise_m: finite("rise", rise)?,
            weight_n_per_m: positive("line_weight", weight)?,
        })
    }

    /// The rope of this length.
    ///
    /// # Errors
    /// [`LineError::TooShort`] unless it is longer than the chord.
    pub fn by_length(&self, length: Length) -> Result<LineState, LineError> {
        let length_m = positive("length", length)?;
        let span = self.of_length(length_m);
        if super::scalar::excess(self.span_m, self.rise_m.abs(), length_m) <= 0.0 {
            return Err(LineError::TooShort { length_m, chord_m: span.chord_m() });
        }
        Ok(LineState { solved: span::solve_robust(&span)? })
    }

    /// The rope with this horizontal tension. Closed form: u = wX/(2H).
    ///
    /// # Errors
    /// Unless the tension is above zero; [`LineError::OutOfReach`] or an input error named `length` where the rope would
    /// be longer than 1e7 m.
    pub fn by_horizontal_tension(&self, tension: Force) -> Result<LineState, LineError> {
        let h_n = positive("horizontal_tension", tension)?;
        let u = 0.5 * self.weight_n_per_m * self.span_m / h_n;
        if u > DEEPEST {
            return Err(self.beyond("horizontal_tension", h_n, " N", self.horizontal_n(DEEPEST)));
        }
        sensible(self.of_half_range(u, 0, 0.0))
    }

    /// The rope with this tension at one of its ends; two ropes have it, so say which.
    ///
    /// # Errors
    /// Unless the tension is above zero; [`LineError::OutOfReach`] with the least tension that any rope there has at
    /// that end.
    pub fn by_end_tension(&self, end: End, tension: Force, branch: Branch) -> Result<LineState, LineError> {
        let tension_n = positive("tension", tension)?;
        let at = |u: f64| self.end_tension_n(end, u);
        let least = self.least_half_range(1e-12);
        if tension_n < at(least) {
            return Err(LineError::OutOfReach {
                field: "tension",
                value: tension_n,
                unit: " N",
                lowest: at(least),
                highest: f64::INFINITY,
                why: "the rope's own weight pulls harder, however long it is",
            });
        }
        let falls = |ln_u: f64| math::ln(at(math::exp(ln_u)) / tension_n);
        let root = match branch {
            Branch::Taut => self.taut_root(end, tension_n, least, 0.0),
            Branch::Slack => {
                let mut hi = least;
                while at(hi) <= tension_n && hi < DEEPEST {
                    hi = (2.0 * hi).min(DEEPEST);
                }
                bracketed(math::ln(least), math::ln(hi), 0.0, falls)
            }
        };
        let root = root.ok_or(self.beyond("tension", tension_n, " N", at(least)))?;
        self.of_root(root, at(math::exp(root.x)) / tension_n - 1.0)
    }

    /// The rope that hangs this far below the chord at most.
    ///
    /// # Errors
    /// Unless the sag is above zero, and the rope that has it at most 1e7 m long.
    pub fn by_sag(&self, sag: Length) -> Result<LineState, LineError> {
        let sag_m = positive("sag", sag)?;
        let at = |ln_u: f64| self.of_half_range(math::exp(ln_u), 0, 0.0).solved.sag();
        let root = self.sag_root(sag_m, 0.0);
        let root = root.ok_or(self.beyond("sag", sag_m, " m", 0.0))?;
        self.of_root(root, at(root.x) / sag_m - 1.0)
    }

    /// u of the taut rope with this tension at an end, to this much of itself, or where that is least.
    pub(super) fn taut_half_range(&self, end: End, tension_n: f64, tolerance: f64) -> f64 {
        let least = self.least_half_range(tolerance);
        if tension_n <= self.end_tension_n(end, least) {
            return least;
        }
        self.taut_root(end, tension_n, least, tolerance).map_or(least, |root| math::exp(root.x))
    }

    /// u of the rope with this sag, to this much of itself.
    pub(super) fn half_range_by_sag(&self, sag_m: f64, tolerance: f64) -> f64 {
        self.sag_root(sag_m, tolerance).map_or(1.0, |root| math::exp(root.x))
    }

    /// u where the tension at either end is least.
    fn least_half_range(&self, tolerance: f64) -> f64 {
        bracketed(1e-3, 10.0, tolerance, |u| self.end_tension_slope(u)).map_or(1.0, |root| root.x)
    }

    fn taut_root(&self, end: End, tension_n: f64, least: f64, tolerance: f64) -> Option<Root> {
        let at = |u: f64| self.end_tension_n(end, u);
        // Flat enough: T > H = wX/(2u)
        let flattest = (0.5 * self.weight_n_per_m * self.span_m / tension_n).min(least) * 0.5;
        let lo = if at(flattest) > tension_n { flattest } else { flattest * 1e-3 };
        bracketed(math::ln(lo), math::ln(least), tolerance, |ln_u| math::ln(at(math::exp(ln_u)) / tension_n))
    }

    fn sag_root(&self, sag_m: f64, tolerance: f64) -> Option<Root> {
        let at = |u: f64| self.of_half_range(u, 0, 0.0).solved.sag();
        // A level line has sag/X = (cosh u − 1)/(2u) > u/4, a steeper one more.
        let mut hi = (4.0 * sag_m / self.span_m).min(DEEPEST);
        let mut lo = hi;
        while at(hi) < sag_m && hi < DEEPEST {
            hi = (2.0 * hi).min(DEEPEST);
        }
        while at(lo) > sag_m && lo > 1e-100 {
            lo *= 0.25;
        }
        bracketed(math::ln(lo), math::ln(hi), tolerance, |ln_u| math::ln(at(math::exp(ln_u)) / sag_m))
    }

    fn of_length(&self, length_m: f64) -> Span {
        let Self { span_m, rise_m, weight_n_per_m } = *self;
        Span { span_m, rise_m, length_m, weight_n_per_m, stretch: Stretch::RIGID }
    }

    fn horizontal_n(&self, u: f64) -> f64 {
        // H = wX/(2u)
        0.5 * self.weight_n_per_m * self.span_m / u
    }

    /// T = ½w[√((X·C/u)² + (Z/t)²) ± Z]
    fn end_tension_n(&self, end: End, u: f64) -> f64 {
        let f = Hyperbolic::of(u);
        let level = self.span_m * f.cosh / u;
        let upward = self.rise_m / f.tanh();
        let rise_m = match end {
            End::First => -self.rise_m,
            End::Last => self.rise_m,
        };
        // √(p² + q²) − |Z|, where it cancels, is (p² + q² − Z²)/(√(p² + q²) + |Z|), and q² − Z² = (Z/S)²
        let root = math::hypot(level, upward);
        let sum = if rise_m >= 0.0 {
            root + rise_m
        } else {
            let rest = rise_m / f.sinh;
            (level * level + rest * rest) / (root - rise_m)
        };
        0.5 * self.weight_n_per_m * sum
    }

    /// Has the sign of dT/du, at either end.
    fn end_tension_slope(&self, u: f64) -> f64 {
        // d[(X·C/u)² + (Z/t)²]/du /2 = X²·C(u·S − C)/u³ − Z²·C/S³
        let f = Hyperbolic::of(u);
        let z = self.rise_m / self.span_m;
        u * f.sinh - f.cosh - z * z * (u / f.sinh) * (u / f.sinh) * (u / f.sinh)
    }

    fn of_half_range(&self, u: f64, iterations: u32, residual: f64) -> LineState {
        let Self { span_m, rise_m, weight_n_per_m } = *self;
        let f = Hyperbolic::of(u);
        // L = √(Z² + (X·sinh u/u)²)
        let length_m = math::hypot(rise_m, span_m * (f.sinh / u));
        // Vₘ = wZ/(2t)
        let v_middle_n = 0.5 * weight_n_per_m * rise_m / f.tanh();
        let ends = linear::ends(
            self.horizontal_n(u),
            v_middle_n,
            weight_n_per_m * length_m,
            u,
            iterations,
            residual,
        );
        LineState { solved: Solved { span: self.of_length(length_m), ends } }
    }

    /// From a root in ln u.
    fn of_root(&self, root: Root, residual: f64) -> Result<LineState, LineError> {
        let state = self.of_half_range(math::exp(root.x), root.evaluations, residual.abs());
        if residual.abs() <= span::RESIDUAL {
            sensible(state)
        } else {
            Err(state.solved.span.unsolved_by(residual.abs(), root.evaluations))
        }
    }

    fn beyond(&self, field: &'static str, value: f64, unit: &'static str, lowest: f64) -> LineError {
        LineError::OutOfReach {
            field,
            value,
            unit,
            lowest,
            highest: f64::INFINITY,
            why: "no rope of sensible length hangs like that",
        }
    }
}

/// The state, unless its rope is longer than any.
fn sensible(state: LineState) -> Result<LineState, LineError> {
    positive("length", state.length())?;
    Ok(state)
}

/// The deepest line there is: 10⁷ m of rope would hang between supports 10⁻²⁰⁰ m apart.
pub(super) const DEEPEST: f64 = 350.0;
