//! The equations of a carriage that a haul rope holds on a track rope.
//!
//! Everything stands in the frame of the track: the head at the origin, the far support at (X, Z), X > 0.
//!
//! Six unknowns: ln T and the slope ψ₁ of the upper part at the carriage, the slope ψ₂ of the lower part, the
//! unstretched lengths L₁ and L₂ of both (or the load, if that is sought), and that of the haul rope.
//! Six equations: the two parts meet (2), the forces balance across the haul rope and its length fits (2), and
//! what is given (2).
#![allow(clippy::indexing_slicing, reason = "fixed places in vectors of fixed length")]

use super::careful;
use super::newton::System;
use super::part::{Law, Part, Pull, hang, pull};
use crate::math::{self, double::Double};
use nalgebra::{SMatrix, SVector};

pub(super) type Unknowns = SVector<f64, 6>;
type Slopes = SMatrix<f64, 6, 6>;

const LN_T: usize = 0;
const PSI_1: usize = 1;
const PSI_2: usize = 2;
const L_1: usize = 3;
const L_2: usize = 4;
const L_H: usize = 5;

/// What is given beside the supports, the load and the ropes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Given {
    /// The track rope, and where the carriage is held.
    LengthAndX { length_m: f64, x_m: f64 },
    /// The track rope, and the haul rope.
    LengthAndHaul { length_m: f64, haul_m: f64 },
    /// Where the carriage is. The length is sought.
    Point { x_m: f64, z_m: f64 },
    /// Where it is held, and the tension at the head. The length is sought.
    XAndTension { x_m: f64, tension_n: f64 },
    /// The track rope, and where the carriage is. The load is sought: it stands in place of L₂, over `scale_n`.
    LengthAndPoint { length_m: f64, x_m: f64, z_m: f64 },
}

/// One problem, in SI, in the frame of the track.
#[derive(Debug, Clone, Copy)]
pub(super) struct Problem {
    pub(super) track: Law,
    pub(super) haul: Law,
    pub(super) far_x_m: f64,
    pub(super) far_z_m: f64,
    pub(super) haul_x_m: f64,
    pub(super) haul_z_m: f64,
    pub(super) load_n: f64,
    /// Tension of the lower part at the carriage by that of the upper part.
    pub(super) lower_by_upper: f64,
    pub(super) given: Given,
    /// What lengths and forces are measured against.
    pub(super) scale_m: f64,
    pub(super) scale_n: f64,
}

/// All that a set of unknowns means.
#[derive(Debug, Clone, Copy)]
pub(super) struct Meaning {
    pub(super) upper: Pull,
    pub(super) lower: Pull,
    pub(super) upper_part: Part,
    pub(super) lower_part: Part,
    pub(super) upper_tension_n: f64,
    pub(super) lower_tension_n: f64,
    pub(super) upper_length_m: f64,
    pub(super) lower_length_m: f64,
    pub(super) haul_length_m: f64,
    pub(super) load_n: f64,
    /// The pull of the haul rope on the carriage that balance asks for.
    pub(super) haul_x_n: f64,
    pub(super) haul_z_n: f64,
    /// From the carriage to the haul point.
    pub(super) to_haul_x_m: f64,
    pub(super) to_haul_z_m: f64,
}

impl Problem {
    /// Whether the haul rope hangs in a curve.
    pub(super) fn heavy_haul(&self) -> bool {
        self.haul.weight_n_per_m > 0.0
    }

    /// The problem with this share of the ropes' own weight.
    pub(super) fn lightened(&self, share: f64) -> Self {
        Self { track: self.track.lightened(share), haul: self.haul.lightened(share), ..*self }
    }

    pub(super) fn seeks_load(&self) -> bool {
        matches!(self.given, Given::LengthAndPoint { .. })
    }

    /// `None` outside of the domain.
    pub(super) fn meaning(&self, u: &Unknowns) -> Option<Meaning> {
        let upper_tension_n = math::exp(u[LN_T]);
        let lower_tension_n = upper_tension_n * self.lower_by_upper;
        let (upper, lower) = (pull(upper_tension_n, u[PSI_1]), pull(lower_tension_n, u[PSI_2]));
        let upper_length_m = u[L_1];
        let (lower_length_m, load_n) = match self.given {
            Given::LengthAndPoint { length_m, .. } => (length_m - upper_length_m, u[L_2] * self.scale_n),
            _ => (u[L_2], self.load_n),
        };
        let inside = upper.h > 0.0 && lower.h > 0.0 && upper_length_m > 0.0 && lower_length_m > 0.0;
        if !(inside && upper_tension_n.is_finite() && u[L_H] > 0.0) {
            return None;
        }
        let upper_part = hang(&self.track, upper.h, upper.v, upper_length_m);
        let lower_part = hang(&self.track, lower.h, lower.v, lower_length_m);
        Some(Meaning {
            upper,
            lower,
            upper_part,
            lower_part,
            upper_tension_n,
            lower_tension_n,
            upper_length_m,
            lower_length_m,
            haul_length_m: u[L_H],
            load_n,
            // The upper part pulls back, the lower part outward.
            haul_x_n: upper.h - lower.h,
            haul_z_n: load_n - upper.v - lower.v,
            to_haul_x_m: self.haul_x_m - upper_part.span_m,
            to_haul_z_m: self.haul_z_m + upper_part.rise_m,
        })
    }
}

impl Meaning {
    /// The unknowns of a problem that doesn't seek its load.
    pub(super) fn unknowns(&self) -> Unknowns {
        Unknowns::new(
            math::ln(self.upper_tension_n),
            math::asinh(self.upper.v / self.upper.h),
            math::asinh(self.lower.v / self.lower.h),
            self.upper_length_m,
            self.lower_length_m,
            self.haul_length_m,
        )
    }

    /// The pull of the haul rope along the way to its haul point; negative if it would have to push.
    pub(super) fn pull_n(&self) -> f64 {
        (self.haul_x_n * self.to_haul_x_m + self.haul_z_n * self.to_haul_z_m)
            / math::hypot(self.to_haul_x_m, self.to_haul_z_m)
    }
}

/// How one quantity changes with the six unknowns.
type Row = SVector<f64, 6>;

impl System<6> for Problem {
    fn longest(&self, u: &Unknowns, step: &Unknowns) -> f64 {
        let mut share = 1.0_f64;
        for angle in [LN_T, PSI_1, PSI_2] {
            share = share.min(1.5 / step[angle].abs());
        }
        let last = if self.seeks_load() { L_1 } else { L_2 };
        for length in L_1..=last {
            if step[length] < 0.0 {
                share = share.min(-0.8 * u[length] / step[length]);
            }
        }
        if step[L_H] < 0.0 {
            share = share.min(-0.8 * u[L_H] / step[L_H]);
        }
        if let Given::LengthAndPoint { length_m, .. } = self.given
            && step[L_1] > 0.0
        {
            share = share.min(0.8 * (length_m - u[L_1]) / step[L_1]);
        }
        share
    }

    fn equations(&self, u: &Unknowns) -> Option<(Unknowns, Slopes)> {
        let m = self.meaning(u)?;
        let (upper, lower) = (m.upper_part, m.lower_part);

        // ∂H₁, ∂V₁, ∂H₂, ∂V₂
        let h1 = row(&[(LN_T, m.upper.h), (PSI_1, m.upper.h_by_psi)]);
        let v1 = row(&[(LN_T, m.upper.v), (PSI_1, m.upper.v_by_psi)]);
        let h2 = row(&[(LN_T, m.lower.h), (PSI_2, m.lower.h_by_psi)]);
        let v2 = row(&[(LN_T, m.lower.v), (PSI_2, m.lower.v_by_psi)]);
        let l1 = row(&[(L_1, 1.0)]);
        let l2 = if self.seeks_load() { row(&[(L_1, -1.0)]) } else { row(&[(L_2, 1.0)]) };
        let load = if self.seeks_load() { row(&[(L_2, self.scale_n)]) } else { Row::zeros() };
        let span1 = h1 * upper.span_by_h + v1 * upper.cross + l1 * upper.span_by_l;
        let rise1 = h1 * upper.cross + v1 * upper.rise_by_v + l1 * upper.rise_by_l;
        let span2 = h2 * lower.span_by_h + v2 * lower.cross + l2 * lower.span_by_l;
        let rise2 = h2 * lower.cross + v2 * lower.rise_by_v + l2 * lower.rise_by_l;

        // the two parts meet: span₁ + span₂ = X, rise₂ − rise₁ = Z
        let meet_x = (upper.span_m + lower.span_m - self.far_x_m, span1 + span2);
        let meet_z = (lower.rise_m - upper.rise_m - self.far_z_m, rise2 - rise1);

        // the pull p on the carriage that balances the rest, and the way d to the haul point
        let (px, pz) = (m.haul_x_n, m.haul_z_n);
        let (px_row, pz_row) = (h1 - h2, load - v1 - v2);
        let (dx, dz) = (m.to_haul_x_m, m.to_haul_z_m);
        let (dx_row, dz_row) = (-span1, rise1);
        let (balance, fit) = if self.heavy_haul() {
            // the haul rope, hung from the carriage by p, ends at the haul point
            let side = if dx < 0.0 { -1.0 } else { 1.0 };
            let h = px * side;
            if !(h > 0.0) {
                return None;
            }
            let part = hang(&self.haul, h, pz, m.haul_length_m);
            let lh = row(&[(L_H, 1.0)]);
            let h_row = px_row * side;
            let span = h_row * part.span_by_h + pz_row * part.cross + lh * part.span_by_l;
            let rise = h_row * part.cross + pz_row * part.rise_by_v + lh * part.rise_by_l;
            let across = ((part.span_m - dx * side) / self.scale_m, (span - dx_row * side) / self.scale_m);
            let up = ((part.rise_m - dz) / self.scale_m, (rise - dz_row) / self.scale_m);
            (across, up)
        } else {
            let distance = math::hypot(dx, dz);
            if !(distance > 0.0) {
                return None;
            }
            let distance_row = (dx_row * dx + dz_row * dz) / distance;
            // p × d = 0, over the distance
            let across = (px * dz - pz * dx) / distance;
            let across_row =
                (px_row * dz + dz_row * px - pz_row * dx - dx_row * pz - distance_row * across) / distance;
            // |d| = L·(1 + ε(P)), P = p·d/|d|
            let along = (px * dx + pz * dz) / distance;
            let along_row =
                (px_row * dx + dx_row * px + pz_row * dz + dz_row * pz - distance_row * along) / distance;
            let pull = along.max(0.0);
            let stretched = 1.0 + self.haul.strain(pull);
            let forces_n = self.scale_n + m.upper_tension_n;
            let fit = distance - m.haul_length_m * stretched;
            let slope = if along > 0.0 { m.haul_length_m * self.haul.compliance(pull) } else { 0.0 };
            let fit_row = distance_row - row(&[(L_H, stretched)]) - along_row * slope;
            ((across / forces_n, across_row / forces_n), (fit / self.scale_m, fit_row / self.scale_m))
        };

        let at_x = |x_m: f64| (upper.span_m - x_m, span1);
        let at_z = |z_m: f64| (-upper.rise_m - z_m, -rise1);
        let whole = |length_m: f64| (m.upper_length_m + m.lower_length_m - length_m, l1 + l2);
        let metres = |(value, by): (f64, Row)| (value / self.scale_m, by / self.scale_m);
        let (first, second) = match self.given {
            Given::LengthAndX { length_m, x_m } => (metres(whole(length_m)), metres(at_x(x_m))),
            Given::LengthAndHaul { length_m, haul_m } => {
                (metres(whole(length_m)), metres((m.haul_length_m - haul_m, row(&[(L_H, 1.0)]))))
            }
            Given::Point { x_m, z_m } | Given::LengthAndPoint { x_m, z_m, .. } => {
                (metres(at_x(x_m)), metres(at_z(z_m)))
            }
            Given::XAndTension { x_m, tension_n } => {
                // T₁ = √(H² + (V + wL)²) at the head
                let by_v = upper.v_end_n / upper.t_end_n;
                let by_h = m.upper.h / upper.t_end_n;
                let t_row = h1 * by_h + (v1 + l1 * self.track.weight_n_per_m) * by_v;
                (metres(at_x(x_m)), (upper.t_end_n / tension_n - 1.0, t_row / tension_n))
            }
        };
        let rows = [metres(meet_x), metres(meet_z), balance, fit, first, second];
        let mut values = Unknowns::zeros();
        let mut slopes = Slopes::zeros();
        for (i, (value, by)) in rows.into_iter().enumerate() {
            values[i] = value;
            slopes.set_row(i, &by.transpose());
        }
        Some((values, slopes))
    }

    /// Tension and slopes are what f64 makes of their logarithm and angles.
    fn careful(&self, u: &Unknowns) -> Unknowns {
        let d = Double::from;
        let tension = d(math::exp(u[LN_T]));
        let upper = careful::Pull::sloping(tension, math::sinh(u[PSI_1]));
        let lower = careful::Pull::sloping(tension * d(self.lower_by_upper), math::sinh(u[PSI_2]));
        let (upper_m, haul_m) = (d(u[L_1]), d(u[L_H]));
        let (lower_m, load) = match self.given {
            Given::LengthAndPoint { length_m, .. } => (d(length_m) - upper_m, d(u[L_2]) * d(self.scale_n)),
            _ => (d(u[L_2]), d(self.load_n)),
        };
        let upper_end = careful::hang(&self.track, &upper, upper_m);
        let lower_end = careful::hang(&self.track, &lower, lower_m);
        let meet_x = upper_end.span + lower_end.span - d(self.far_x_m);
        let meet_z = lower_end.rise - upper_end.rise - d(self.far_z_m);

        let (px, pz) = (upper.h - lower.h, load - upper.v - lower.v);
        let (dx, dz) = (d(self.haul_x_m) - upper_end.span, d(self.haul_z_m) + upper_end.rise);
        let (balance, fit) = if self.heavy_haul() {
            let outward = !(dx.rounded() < 0.0);
            let (h, across_m) = if outward { (px, dx) } else { (-px, -dx) };
            let end = careful::hang(&self.haul, &careful::Pull::of(h, pz), haul_m);
            ((end.span - across_m).rounded() / self.scale_m, end.rise - dz)
        } else {
            let distance = (dx * dx + dz * dz).sqrt();
            let across = ((px * dz - pz * dx) / distance).rounded();
            let along = ((px * dx + pz * dz) / distance).rounded();
            let stretched = d(1.0) + d(self.haul.strain(along.max(0.0)));
            (across / (self.scale_n + tension.rounded()), distance - haul_m * stretched)
        };

        let whole = |length_m: f64| upper_m + lower_m - d(length_m);
        let at_x = |x_m: f64| upper_end.span - d(x_m);
        let by = |metres: Double| metres.rounded() / self.scale_m;
        let (first, second) = match self.given {
            Given::LengthAndX { length_m, x_m } => (by(whole(length_m)), by(at_x(x_m))),
            Given::LengthAndHaul { length_m, haul_m: given_m } => {
                (by(whole(length_m)), by(haul_m - d(given_m)))
            }
            Given::Point { x_m, z_m } | Given::LengthAndPoint { x_m, z_m, .. } => {
                (by(at_x(x_m)), by(-upper_end.rise - d(z_m)))
            }
            Given::XAndTension { x_m, tension_n } => {
                (by(at_x(x_m)), (upper_end.tension - d(tension_n)).rounded() / tension_n)
            }
        };
        Unknowns::new(by(meet_x), by(meet_z), balance, by(fit), first, second)
    }
}

fn row(entries: &[(usize, f64)]) -> Row {
    let mut row = Row::zeros();
    for &(at, value) in entries {
        row[at] = value;
    }
    row
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Away from their root, too: what the last step goes by is what the steps before went by.
    #[test]
    fn the_careful_equations_are_the_quick_ones_but_for_rounding() {
        let law = |weight_n_per_m, a_n| Law { weight_n_per_m, a_n, b_n: 0.0 };
        for given in [
            Given::LengthAndX { length_m: 80.0, x_m: 30.0 },
            Given::LengthAndHaul { length_m: 80.0, haul_m: 40.0 },
            Given::Point { x_m: 30.0, z_m: -24.0 },
            Given::XAndTension { x_m: 30.0, tension_n: 5000.0 },
            Given::LengthAndPoint { length_m: 80.0, x_m: 30.0, z_m: -24.0 },
        ] {
            for (haul, lower_by_upper) in [(law(0.0, f64::INFINITY), 1.0), (law(0.8, 4e4), 1.02)] {
                let problem = Problem {
                    track: law(1.7, 8e4),
                    haul,
                    far_x_m: 70.0,
                    far_z_m: -45.0,
                    haul_x_m: 0.5,
                    haul_z_m: 1.0,
                    load_n: 2450.0,
                    lower_by_upper,
                    given,
                    scale_m: 83.0,
                    scale_n: 2600.0,
                };
                let fifth = if problem.seeks_load() { 0.95 } else { 44.0 };
                let at = Unknowns::new(8.3, 0.75, -0.48, 37.0, fifth, 39.0);
                let (quick, _) = problem.equations(&at).unwrap();
                assert!(quick.amax() > 1e-4, "a root, where a missing term would not show");
                // Some ten roundings of terms that are at most 1.
                assert!((problem.careful(&at) - quick).amax() < 2e-15, "{given:?} {quick}");
            }
        }
    }
}
