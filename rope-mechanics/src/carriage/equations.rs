//! The equations of a carriage that a haul rope holds on a track rope.
//!
//! The frame: the haul point lies level with or on the minus side of the carriage, and the support on that side, the
//! near one, is the origin; the other one, the away support, is at (X, Z) with X > 0. A carriage that is hauled
//! towards the far anchor is seen from there, mirrored. HangingPart 1 of the track is the near part, part 2 the away part.
//!
//! Six unknowns: ln T and the slope ψ₁ of the near part at the carriage, the slope ψ₂ of the away part, the
//! unstretched lengths L₁ and L₂ of both (or the load, if that is sought), and that of the haul rope.
//! Six equations: the two parts meet (2), the forces balance across the haul rope and its length fits (2), and
//! what is given (2).
#![allow(clippy::indexing_slicing, reason = "fixed places in vectors of fixed length")]

use super::Behind;
use super::careful;
use super::newton::System;
use super::solve::Balance;
use crate::line::hang::{HangingPart, RopeLaw, hang};
use crate::math::linear::{Lu, Pivots};
use crate::math::{self, double::Double};
use nalgebra::{ArrayStorage, SMatrix, SVector};

pub(super) type Unknowns = SVector<f64, 6>;
pub(super) type Slopes = SMatrix<f64, 6, 6>;

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
    /// Where it is held, and the tension at the head, which is the near support or the other one. The length is sought.
    XAndTension { x_m: f64, tension_n: f64, at_near: bool },
    /// The track rope, and where the carriage is. The load is sought: it stands in place of L₂, over `scale_n`.
    LengthAndPoint { length_m: f64, x_m: f64, z_m: f64 },
}

/// One problem, in SI, in the frame of the track.
#[derive(Debug, Clone, Copy)]
pub(super) struct Problem {
    pub(super) track: RopeLaw,
    /// Beyond the head, which is the near support then.
    pub(super) behind: Behind,
    pub(super) haul: RopeLaw,
    /// Whether the origin is the far anchor.
    pub(super) mirrored: bool,
    /// The away support.
    pub(super) far_x_m: f64,
    pub(super) far_z_m: f64,
    pub(super) haul_x_m: f64,
    pub(super) haul_z_m: f64,
    pub(super) load_n: f64,
    /// T₂/T₁: tension of the away part at the carriage by that of the near part.
    pub(super) away_by_near: f64,
    pub(super) given: Given,
    /// What lengths and forces are measured against.
    pub(super) scale_m: f64,
    pub(super) scale_n: f64,
}

/// All that a set of unknowns means.
#[derive(Debug, Clone, Copy)]
pub(super) struct Meaning {
    pub(super) near: LowerPull,
    pub(super) away: LowerPull,
    pub(super) near_part: HangingPart,
    pub(super) away_part: HangingPart,
    pub(super) near_tension_n: f64,
    pub(super) away_tension_n: f64,
    pub(super) near_length_m: f64,
    pub(super) away_length_m: f64,
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

    /// Unstretched rope behind the head at more tension than any answer has.
    pub(super) fn least_behind_m(&self) -> f64 {
        self.behind.way_m / (1.0 + self.behind.stretch.strain_at(4.0 * self.scale_n))
    }

    pub(super) fn seeks_load(&self) -> bool {
        matches!(self.given, Given::LengthAndPoint { .. })
    }

    /// `None` outside of the domain.
    pub(super) fn meaning(&self, u: &Unknowns) -> Option<Meaning> {
        let near_tension_n = math::exp(u[LN_T]);
        let away_tension_n = near_tension_n * self.away_by_near;
        let (near, away) = (pull(near_tension_n, u[PSI_1]), pull(away_tension_n, u[PSI_2]));
        let near_length_m = u[L_1];
        let inside = near.h > 0.0 && away.h > 0.0 && near_length_m > 0.0;
        let behind_far = self.mirrored && self.behind != Behind::NONE;
        if !(inside && near_tension_n.is_finite() && u[L_H] > 0.0) || behind_far {
            return None;
        }
        let near_part = hang(&self.track, near.h, near.v, near_length_m);
        let (away_length_m, load_n) = match self.given {
            Given::LengthAndPoint { length_m, .. } => {
                let behind_m = self.behind.rope_m(near_part.t_end_n).0;
                (length_m - behind_m - near_length_m, u[L_2] * self.scale_n)
            }
            _ => (u[L_2], self.load_n),
        };
        if !(away_length_m > 0.0) {
            return None;
        }
        let away_part = hang(&self.track, away.h, away.v, away_length_m);
        Some(Meaning {
            near,
            away,
            near_part,
            away_part,
            near_tension_n,
            away_tension_n,
            near_length_m,
            away_length_m,
            haul_length_m: u[L_H],
            load_n,
            // The near part pulls back, the away part outward.
            haul_x_n: near.h - away.h,
            haul_z_n: load_n - near.v - away.v,
            to_haul_x_m: self.haul_x_m - near_part.span_m,
            to_haul_z_m: self.haul_z_m + near_part.rise_m,
        })
    }
}

impl Problem {
    /// The slope of the equations as if the track's length and the place were given: only the last two differ.
    pub(super) fn held_at_x(&self, slope: &Slopes) -> Slopes {
        let mut held = *slope;
        // Where a length is sought, x₁ − x = 0 is the equation before the last.
        let at_x = slope.row(4).into_owned();
        held.set_row(5, &at_x);
        held.set_row(4, &row(&[(L_1, 1.0 / self.scale_m), (L_2, 1.0 / self.scale_m)]).transpose());
        held
    }
}

impl Balance {
    /// How the unknowns follow what the last equation asks for.
    fn by_last(&self) -> Option<Unknowns> {
        let mut by_last = Unknowns::zeros();
        by_last[5] = 1.0;
        Lu::of(&self.slope, Pivots::Partial).solve(&by_last)
    }

    /// How the length of the track follows the share of the tension at its head, where that is given.
    pub(super) fn length_by_last(&self) -> Option<f64> {
        self.by_last().map(|by_tension| by_tension[L_1] + by_tension[L_2])
    }

    /// How the haul rope's length and the height of the carriage follow the place at which it is held: dr/dx, dz/dx.
    pub(super) fn by_x(&self, problem: &Problem) -> Option<(f64, f64)> {
        // Only the last equation, (x₁ − x)/scale = 0, has the place in it.
        let (m, by_x) = (&self.meaning, self.by_last()? / problem.scale_m);
        let h = m.near.h * by_x[LN_T] + m.near.h_by_psi * by_x[PSI_1];
        let v = m.near.v * by_x[LN_T] + m.near.v_by_psi * by_x[PSI_1];
        let part = m.near_part;
        Some((by_x[L_H], -(part.cross * h + part.rise_by_v * v + part.rise_by_l * by_x[L_1])))
    }
}

impl Meaning {
    /// The unknowns of a problem that doesn't seek its load.
    pub(super) fn unknowns(&self) -> Unknowns {
        Unknowns::new(
            math::ln(self.near_tension_n),
            math::asinh(self.near.v / self.near.h),
            math::asinh(self.away.v / self.away.h),
            self.near_length_m,
            self.away_length_m,
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
        for by in [step[LN_T], step[PSI_1], step[PSI_2]] {
            share = share.min(1.5 / by.abs());
        }
        let second = if self.seeks_load() { 0.0 } else { step[L_2] };
        for (length, by) in [(u[L_1], step[L_1]), (u[L_2], second), (u[L_H], step[L_H])] {
            if by < 0.0 {
                share = share.min(-0.8 * length / by);
            }
        }
        if let Given::LengthAndPoint { length_m, .. } = self.given
            && step[L_1] > 0.0
        {
            share = share.min(0.8 * (length_m - self.least_behind_m() - u[L_1]) / step[L_1]);
        }
        share
    }

    fn equations(&self, u: &Unknowns) -> Option<(Unknowns, Slopes)> {
        let m = self.meaning(u)?;
        let (near, away) = (m.near_part, m.away_part);

        // ∂H₁, ∂V₁, ∂H₂, ∂V₂
        let h1 = row(&[(LN_T, m.near.h), (PSI_1, m.near.h_by_psi)]);
        let v1 = row(&[(LN_T, m.near.v), (PSI_1, m.near.v_by_psi)]);
        let h2 = row(&[(LN_T, m.away.h), (PSI_2, m.away.h_by_psi)]);
        let v2 = row(&[(LN_T, m.away.v), (PSI_2, m.away.v_by_psi)]);
        let l1 = row(&[(L_1, 1.0)]);
        // What is behind the head follows the tension there, T = √(H² + (V + wL)²).
        let (behind_m, behind_by_t) = self.behind.rope_m(near.t_end_n);
        let behind = if behind_by_t == 0.0 {
            Row::zeros()
        } else {
            let (by_h, by_v) = (m.near.h / near.t_end_n, near.v_end_n / near.t_end_n);
            (h1 * by_h + (v1 + l1 * self.track.weight_n_per_m) * by_v) * behind_by_t
        };
        let l2 = if self.seeks_load() { -l1 - behind } else { row(&[(L_2, 1.0)]) };
        let load = if self.seeks_load() { row(&[(L_2, self.scale_n)]) } else { Row::zeros() };
        let span1 = h1 * near.span_by_h + v1 * near.cross + l1 * near.span_by_l;
        let rise1 = h1 * near.cross + v1 * near.rise_by_v + l1 * near.rise_by_l;
        let span2 = h2 * away.span_by_h + v2 * away.cross + l2 * away.span_by_l;
        let rise2 = h2 * away.cross + v2 * away.rise_by_v + l2 * away.rise_by_l;

        // the two parts meet: span₁ + span₂ = X, rise₂ − rise₁ = Z
        let meet_x = (near.span_m + away.span_m - self.far_x_m, span1 + span2);
        let meet_z = (away.rise_m - near.rise_m - self.far_z_m, rise2 - rise1);

        // the pull p on the carriage that balances the rest, and the way d to the haul point
        let (px, pz) = (m.haul_x_n, m.haul_z_n);
        let (px_row, pz_row) = (h1 - h2, load - v1 - v2);
        let (dx, dz) = (m.to_haul_x_m, m.to_haul_z_m);
        let (dx_row, dz_row) = (-span1, rise1);
        let (balance, fit) = if self.heavy_haul() {
            // the haul rope, hung from the carriage by p, ends at the haul point
            let h = -px;
            if !(h > 0.0) {
                return None;
            }
            let part = hang(&self.haul, h, pz, m.haul_length_m);
            let lh = row(&[(L_H, 1.0)]);
            let h_row = -px_row;
            let span = h_row * part.span_by_h + pz_row * part.cross + lh * part.span_by_l;
            let rise = h_row * part.cross + pz_row * part.rise_by_v + lh * part.rise_by_l;
            let across = ((part.span_m + dx) / self.scale_m, (span + dx_row) / self.scale_m);
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
            let stretched = 1.0 + self.haul.stretch.strain_at(pull);
            let forces_n = self.scale_n + m.near_tension_n;
            let fit = distance - m.haul_length_m * stretched;
            let slope = if along > 0.0 {
                m.haul_length_m * 1.0 / self.haul.stretch.tangent_at(self.haul.stretch.strain_at(pull))
            } else {
                0.0
            };
            let fit_row = distance_row - row(&[(L_H, stretched)]) - along_row * slope;
            ((across / forces_n, across_row / forces_n), (fit / self.scale_m, fit_row / self.scale_m))
        };

        let at_x = |x_m: f64| (near.span_m - x_m, span1);
        let at_z = |z_m: f64| (-near.rise_m - z_m, -rise1);
        let whole =
            |length_m: f64| (m.near_length_m + m.away_length_m + behind_m - length_m, l1 + l2 + behind);
        let metres = |(value, by): (f64, Row)| (value / self.scale_m, by / self.scale_m);
        let (first, second) = match self.given {
            Given::LengthAndX { length_m, x_m } => (metres(whole(length_m)), metres(at_x(x_m))),
            Given::LengthAndHaul { length_m, haul_m } => {
                (metres(whole(length_m)), metres((m.haul_length_m - haul_m, row(&[(L_H, 1.0)]))))
            }
            Given::Point { x_m, z_m } | Given::LengthAndPoint { x_m, z_m, .. } => {
                (metres(at_x(x_m)), metres(at_z(z_m)))
            }
            Given::XAndTension { x_m, tension_n, at_near } => {
                // T = √(H² + (V + wL)²) at the head
                let (h, part, rows) =
                    if at_near { (m.near.h, near, (h1, v1, l1)) } else { (m.away.h, away, (h2, v2, l2)) };
                let (by_h, by_v) = (h / part.t_end_n, part.v_end_n / part.t_end_n);
                let t_row = rows.0 * by_h + (rows.1 + rows.2 * self.track.weight_n_per_m) * by_v;
                (metres(at_x(x_m)), (part.t_end_n / tension_n - 1.0, t_row / tension_n))
            }
        };
        let rows = [metres(meet_x), metres(meet_z), balance, fit, first, second];
        let values = rows.map(|(value, _)| value);
        let slopes = rows.map(|(_, Row { data: ArrayStorage([by]), .. })| by);
        Some((Unknowns::from(values), Slopes::from(slopes).transpose()))
    }

    /// Tension and slopes are what f64 makes of their logarithm and angles.
    fn careful(&self, u: &Unknowns) -> Unknowns {
        let d = Double::from;
        let tension = d(math::exp(u[LN_T]));
        let near = careful::Pull::sloping(tension, math::sinh(u[PSI_1]));
        let away = careful::Pull::sloping(tension * d(self.away_by_near), math::sinh(u[PSI_2]));
        let (near_m, haul_m) = (d(u[L_1]), d(u[L_H]));
        let near_end = careful::hang(&self.track, &near, near_m);
        // way/(1 + ε) = way − way·ε/(1 + ε)
        let strain = self.behind.stretch.strain_at(near_end.tension.rounded());
        let behind_m = d(self.behind.way_m) - d(self.behind.way_m * strain / (1.0 + strain));
        let (away_m, load) = match self.given {
            Given::LengthAndPoint { length_m, .. } => {
                (d(length_m) - behind_m - near_m, d(u[L_2]) * d(self.scale_n))
            }
            _ => (d(u[L_2]), d(self.load_n)),
        };
        let away_end = careful::hang(&self.track, &away, away_m);
        let meet_x = near_end.span + away_end.span - d(self.far_x_m);
        let meet_z = away_end.rise - near_end.rise - d(self.far_z_m);

        let (px, pz) = (near.h - away.h, load - near.v - away.v);
        let (dx, dz) = (d(self.haul_x_m) - near_end.span, d(self.haul_z_m) + near_end.rise);
        let (balance, fit) = if self.heavy_haul() {
            let end = careful::hang(&self.haul, &careful::Pull::of(-px, pz), haul_m);
            ((end.span + dx).rounded() / self.scale_m, end.rise - dz)
        } else {
            let distance = (dx * dx + dz * dz).sqrt();
            let across = ((px * dz - pz * dx) / distance).rounded();
            let along = ((px * dx + pz * dz) / distance).rounded();
            let stretched = d(1.0) + d(self.haul.stretch.strain_at(along.max(0.0)));
            (across / (self.scale_n + tension.rounded()), distance - haul_m * stretched)
        };

        let whole = |length_m: f64| near_m + away_m + behind_m - d(length_m);
        let at_x = |x_m: f64| near_end.span - d(x_m);
        let by = |metres: Double| metres.rounded() / self.scale_m;
        let (first, second) = match self.given {
            Given::LengthAndX { length_m, x_m } => (by(whole(length_m)), by(at_x(x_m))),
            Given::LengthAndHaul { length_m, haul_m: given_m } => {
                (by(whole(length_m)), by(haul_m - d(given_m)))
            }
            Given::Point { x_m, z_m } | Given::LengthAndPoint { x_m, z_m, .. } => {
                (by(at_x(x_m)), by(-near_end.rise - d(z_m)))
            }
            Given::XAndTension { x_m, tension_n, at_near } => {
                let end = if at_near { near_end } else { away_end };
                (by(at_x(x_m)), (end.tension - d(tension_n)).rounded() / tension_n)
            }
        };
        Unknowns::new(by(meet_x), by(meet_z), balance, by(fit), first, second)
    }
}

fn row(entries: &[(usize, f64)]) -> Row {
    let mut row = Row::zeros();
    for (at, value) in entries {
        if let Some(slot) = row.get_mut(*at) {
            *slot = *value;
        }
    }
    row
}

fn sinh_cosh(x: f64) -> (f64, f64) {
    let sinh = math::sinh(x);
    (sinh, math::sqrt(1.0 + sinh * sinh))
}

/// The components (level, upward) of a pull of `tension_n` whose slope is V/H = sinh ψ, and their change by ψ.
fn pull(tension_n: f64, psi: f64) -> LowerPull {
    let (sinh, cosh) = sinh_cosh(psi);
    // H = T/cosh ψ, V = T·tanh ψ
    let h = tension_n / cosh;
    let v = h * sinh;
    LowerPull { h, v, h_by_psi: -h * sinh / cosh, v_by_psi: h / cosh }
}

/// A pull by its components, with their change by the slope.
#[derive(Debug, Clone, Copy)]
pub(super) struct LowerPull {
    pub(super) h: f64,
    pub(super) v: f64,
    pub(super) h_by_psi: f64,
    pub(super) v_by_psi: f64,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::newtons;
    use crate::rope::Stretch;

    /// Away from their root, too: what the last step goes by is what the steps before went by.
    #[test]
    fn the_careful_equations_are_the_quick_ones_but_for_rounding() {
        let law = |weight_n_per_m, stretch| RopeLaw { weight_n_per_m, stretch };
        let linear = |a_n| Stretch::linear(newtons(a_n)).unwrap();
        for given in [
            Given::LengthAndX { length_m: 80.0, x_m: 30.0 },
            Given::LengthAndHaul { length_m: 80.0, haul_m: 40.0 },
            Given::Point { x_m: 30.0, z_m: -24.0 },
            Given::XAndTension { x_m: 30.0, tension_n: 5000.0, at_near: true },
            Given::LengthAndPoint { length_m: 80.0, x_m: 30.0, z_m: -24.0 },
        ] {
            let behind = Behind { way_m: 9.0, stretch: linear(8e4) };
            for (haul, away_by_near, behind) in [
                (law(0.0, Stretch::RIGID), 1.0, Behind::NONE),
                (law(0.8, linear(4e4)), 1.02, Behind::NONE),
                (law(0.8, linear(4e4)), 1.02, behind),
            ] {
                let problem = Problem {
                    track: law(1.7, linear(8e4)),
                    behind,
                    mirrored: false,
                    haul,
                    far_x_m: 70.0,
                    far_z_m: -45.0,
                    haul_x_m: 0.5,
                    haul_z_m: 1.0,
                    load_n: 2450.0,
                    away_by_near,
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
