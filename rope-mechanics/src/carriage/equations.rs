//! The equations of a carriage that a haul rope holds on a track rope.
//!
//! The frame: the haul point lies level with or on the minus side of the carriage, and the support on that side, the
//! near one, is the origin; the other one, the away support, is at (X, Z) with X > 0. A carriage that is hauled
//! towards the far anchor is seen from there, mirrored. Part 1 of the track is the near part, part 2 the away part.
//!
//! Six unknowns: ln T and the slope ψ₁ of the near part at the carriage, the slope ψ₂ of the away part, the
//! unstretched lengths L₁ and L₂ of both (or the load, if that is sought), and that of the haul rope.
//! Six equations: the two parts meet (2), the forces balance across the haul rope and its length fits (2), and
//! what is given (2).
#![allow(clippy::indexing_slicing, reason = "fixed places in arrays of fixed length")]

use super::Behind;
use super::careful::{Digits, End, Pull};
use super::newton::{Matrix, System, Vector, eliminate};
use super::solve::Balance;
use super::{extent_m, rounding};
use crate::line::hang::{HangingPart, RopeLaw, hang};
use crate::math::{self, double::Double, norm};

pub(super) type Unknowns = Vector<6>;

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
    /// The track rope, and that the carriage hangs on the line z = level + slope·x.
    LengthAndLine { length_m: f64, level_m: f64, slope: f64 },
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

/// A part of the track: its pull on the carriage, and how it hangs from there.
#[derive(Debug, Clone, Copy)]
pub(super) struct Side {
    pub(super) h_n: f64,
    pub(super) v_n: f64,
    pub(super) tension_n: f64,
    pub(super) length_m: f64,
    pub(super) part: HangingPart,
}

/// All that a set of unknowns means.
#[derive(Debug, Clone, Copy)]
pub(super) struct Meaning {
    pub(super) near: Side,
    pub(super) away: Side,
    /// The haul rope, if it hangs in a curve.
    pub(super) haul_part: Option<HangingPart>,
    pub(super) haul_length_m: f64,
    pub(super) load_n: f64,
    /// The pull of the haul rope on the carriage that balance asks for.
    pub(super) haul_x_n: f64,
    pub(super) haul_z_n: f64,
    /// From the carriage to the haul point.
    pub(super) to_haul_x_m: f64,
    pub(super) to_haul_z_m: f64,
}

impl Meaning {
    /// The unknowns of a problem that doesn't seek its load.
    pub(super) fn unknowns(&self) -> Unknowns {
        [
            math::ln(self.near.tension_n),
            math::asinh(self.near.v_n / self.near.h_n),
            math::asinh(self.away.v_n / self.away.h_n),
            self.near.length_m,
            self.away.length_m,
            self.haul_length_m,
        ]
    }

    /// The pull of the haul rope along the way to its haul point; negative if it would have to push.
    pub(super) fn pull_n(&self) -> f64 {
        (self.haul_x_n * self.to_haul_x_m + self.haul_z_n * self.to_haul_z_m)
            / norm(self.to_haul_x_m, self.to_haul_z_m)
    }
}

/// What the equations are made of, in f64 or at twice the digits.
struct Terms<D> {
    near: Pull<D>,
    away: Pull<D>,
    near_end: End<D>,
    away_end: End<D>,
    near_m: D,
    away_m: D,
    behind_m: D,
    haul_m: D,
    load: D,
    haul_end: Option<End<D>>,
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

    #[inline]
    fn side(&self, tension_n: f64, psi: f64, length_m: f64) -> Option<Side> {
        let Pull { h, v, .. } = Pull::sloping(tension_n, sinh(psi));
        let inside = h > 0.0 && tension_n.is_finite() && length_m > 0.0;
        inside.then(|| Side { h_n: h, v_n: v, tension_n, length_m, part: hang(&self.track, h, v, length_m) })
    }

    fn values_of<D: Digits>(&self, terms: &Terms<D>) -> Unknowns {
        let Terms { near, away, near_end, away_end, near_m, away_m, behind_m, haul_m, load, .. } = *terms;
        let d = D::from;
        // the two parts meet: span₁ + span₂ = X, rise₂ − rise₁ = Z
        let meet_x = near_end.span + away_end.span - d(self.far_x_m);
        let meet_z = away_end.rise - near_end.rise - d(self.far_z_m);

        // the pull p on the carriage that balances the rest, and the way d to the haul point
        let (px, pz) = (near.h - away.h, load - near.v - away.v);
        let (dx, dz) = (d(self.haul_x_m) - near_end.span, d(self.haul_z_m) + near_end.rise);
        let (balance, fit) = if let Some(end) = terms.haul_end {
            // the haul rope, hung from the carriage by p, ends at the haul point
            ((end.span + dx).rounded() / self.scale_m, end.rise - dz)
        } else {
            let distance = (dx * dx + dz * dz).sqrt();
            // p × d = 0, over the distance
            let across = ((px * dz - pz * dx) / distance).rounded();
            // |d| = L·(1 + ε(P)), P = p·d/|d|
            let along = ((px * dx + pz * dz) / distance).rounded();
            let stretched = d(1.0) + d(self.haul.stretch.strain_at(along.max(0.0)));
            (across / (self.scale_n + near.tension.rounded()), distance - haul_m * stretched)
        };

        let by = |metres: D| metres.rounded() / self.scale_m;
        let whole = |length_m: f64| by(near_m + away_m + behind_m - d(length_m));
        let at_x = |x_m: f64| by(near_end.span - d(x_m));
        let (first, second) = match self.given {
            Given::LengthAndX { length_m, x_m } => (whole(length_m), at_x(x_m)),
            Given::LengthAndHaul { length_m, haul_m: given_m } => (whole(length_m), by(haul_m - d(given_m))),
            Given::LengthAndLine { length_m, level_m, slope } => {
                (whole(length_m), by(-near_end.rise - d(level_m) - d(slope) * near_end.span))
            }
            Given::Point { x_m, z_m } | Given::LengthAndPoint { x_m, z_m, .. } => {
                (at_x(x_m), by(-near_end.rise - d(z_m)))
            }
            Given::XAndTension { x_m, tension_n, at_near } => {
                let end = if at_near { near_end } else { away_end };
                (at_x(x_m), (end.tension - d(tension_n)).rounded() / tension_n)
            }
        };
        [by(meet_x), by(meet_z), balance, by(fit), first, second]
    }
}

impl Balance {
    /// How the unknowns follow what the last equation asks for.
    fn by_last(&self) -> Option<Unknowns> {
        eliminate(&self.slope, &[0.0, 0.0, 0.0, 0.0, 0.0, 1.0]).map(|(by_last, _)| by_last)
    }

    /// How the length of the track follows the share of the tension at its head, where that is given.
    pub(super) fn length_by_last(&self) -> Option<f64> {
        self.by_last().map(|by_tension| by_tension[L_1] + by_tension[L_2])
    }

    /// How the haul rope's length and the height of the carriage follow the place at which it is held: dr/dx, dz/dx.
    pub(super) fn by_x(&self, problem: &Problem) -> Option<(f64, f64)> {
        // Only the last equation, (x₁ − x)/scale = 0, has the place in it.
        let by_x = self.by_last()?.map(|by| by / problem.scale_m);
        let rise = self.meaning.near.slopes().rise;
        Some((by_x[L_H], -(rise[0] * by_x[LN_T] + rise[1] * by_x[PSI_1] + rise[2] * by_x[L_1])))
    }
}

/// How a quantity of one part changes with its ln T, ψ and L.
type BySide = Vector<3>;

/// How all those of one part do.
struct SideSlopes {
    h: BySide,
    v: BySide,
    span: BySide,
    rise: BySide,
}

impl Side {
    #[inline]
    fn slopes(&self) -> SideSlopes {
        let Self { h_n, v_n, tension_n, part, .. } = self;
        // H = T/cosh ψ, V = T·tanh ψ
        let h = [*h_n, -h_n * v_n / tension_n, 0.0];
        let v = [*v_n, h_n * h_n / tension_n, 0.0];
        SideSlopes {
            h,
            v,
            span: sum([(part.span_by_h, h), (part.cross, v), (part.span_by_l, BY_L)]),
            rise: sum([(part.cross, h), (part.rise_by_v, v), (part.rise_by_l, BY_L)]),
        }
    }
}

const BY_L: BySide = [0.0, 0.0, 1.0];

#[inline]
fn sum<const N: usize>(terms: [(f64, BySide); N]) -> BySide {
    let mut sum = [0.0; 3];
    for (by, row) in terms {
        for i in 0..3 {
            sum[i] += by * row[i];
        }
    }
    sum
}

/// How a quantity changes with both parts, the haul rope's length and the load.
#[derive(Clone, Copy, Default)]
struct By {
    near: BySide,
    away: BySide,
    haul: f64,
    load: f64,
}

impl System<6> for Problem {
    type Meaning = Meaning;

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

    #[inline]
    fn meaning(&self, u: &Unknowns) -> Option<Meaning> {
        let tension_n = math::exp(u[LN_T]);
        let (near_m, haul_length_m) = (u[L_1], u[L_H]);
        if self.mirrored && self.behind != Behind::NONE {
            return None;
        }
        let near = self.side(tension_n, u[PSI_1], near_m)?;
        let (away_m, load_n) = match self.given {
            Given::LengthAndPoint { length_m, .. } => {
                let behind_m = self.behind.rope_m(near.part.t_end_n).0;
                (length_m - behind_m - near_m, u[L_2] * self.scale_n)
            }
            _ => (u[L_2], self.load_n),
        };
        let away = self.side(tension_n * self.away_by_near, u[PSI_2], away_m)?;
        // The near part pulls back, the away part outward.
        let (haul_x_n, haul_z_n) = (near.h_n - away.h_n, load_n - near.v_n - away.v_n);
        let (to_haul_x_m, to_haul_z_m) = (self.haul_x_m - near.part.span_m, self.haul_z_m + near.part.rise_m);
        let ends = if self.heavy_haul() { -haul_x_n } else { norm(to_haul_x_m, to_haul_z_m) };
        if !(haul_length_m > 0.0 && ends > 0.0) {
            return None;
        }
        let haul_part = self.heavy_haul().then(|| hang(&self.haul, -haul_x_n, haul_z_n, haul_length_m));
        Some(Meaning {
            near,
            away,
            haul_part,
            haul_length_m,
            load_n,
            haul_x_n,
            haul_z_n,
            to_haul_x_m,
            to_haul_z_m,
        })
    }

    #[inline]
    fn values(&self, m: &Meaning) -> Unknowns {
        let pull = |side: &Side| Pull { h: side.h_n, v: side.v_n, tension: side.tension_n };
        self.values_of(&Terms {
            near: pull(&m.near),
            away: pull(&m.away),
            near_end: m.near.part.into(),
            away_end: m.away.part.into(),
            near_m: m.near.length_m,
            away_m: m.away.length_m,
            behind_m: self.behind.rope_m(m.near.part.t_end_n).0,
            haul_m: m.haul_length_m,
            load: m.load_n,
            haul_end: m.haul_part.map(Into::into),
        })
    }

    #[inline]
    fn slope(&self, m: &Meaning) -> Matrix<6> {
        let (near, away) = (m.near.slopes(), m.away.slopes());
        // Of the pull p = (H₁ − H₂, P − V₁ − V₂) and the way d = (hₓ − span₁, h_z + rise₁), each by so much.
        let across_haul = |(px, pz): (f64, f64), (dx, dz): (f64, f64), haul: f64| By {
            near: sum([(px, near.h), (-pz, near.v), (-dx, near.span), (dz, near.rise)]),
            away: sum([(-px, away.h), (-pz, away.v)]),
            haul,
            load: pz,
        };
        let (dx, dz, px, pz) = (m.to_haul_x_m, m.to_haul_z_m, m.haul_x_n, m.haul_z_n);
        let by_m = 1.0 / self.scale_m;
        let (balance, fit) = if let Some(part) = m.haul_part {
            // hung by −pₓ and p_z
            (
                (by_m, across_haul((-part.span_by_h, part.cross), (1.0, 0.0), part.span_by_l)),
                (by_m, across_haul((-part.cross, part.rise_by_v), (0.0, -1.0), part.rise_by_l)),
            )
        } else {
            // e = d/|d|: ∂|d| = e·∂d, ∂(p·e) = e·∂p + (p − (p·e)e)·∂d/|d|, and alike for p × e
            let by = 1.0 / norm(dx, dz);
            let (ex, ez) = (dx * by, dz * by);
            let (across, along) = (px * ez - pz * ex, px * ex + pz * ez);
            let across_by_d = (-(pz + across * ex) * by, (px - across * ez) * by);
            let law = &self.haul.stretch;
            let strain = law.strain_at(along.max(0.0));
            let softness = if along > 0.0 { m.haul_length_m / law.tangent_at(strain) } else { 0.0 };
            let fit_by_d = (ex - softness * (px - along * ex) * by, ez - softness * (pz - along * ez) * by);
            (
                (1.0 / (self.scale_n + m.near.tension_n), across_haul((ez, -ex), across_by_d, 0.0)),
                (by_m, across_haul((-softness * ex, -softness * ez), fit_by_d, -(1.0 + strain))),
            )
        };
        let zero = By::default();
        let minus = |row: BySide| row.map(|by| -by);
        // T = √(H² + (V + wL)²) at the support
        let tension = |side: &Side, slopes: &SideSlopes| {
            let by_v = side.part.v_end_n;
            sum([(side.h_n, slopes.h), (by_v, slopes.v), (by_v * self.track.weight_n_per_m, BY_L)])
        };
        // What is behind the head follows the tension there.
        let behind = match self.behind.rope_m(m.near.part.t_end_n) {
            (_, 0.0) => [0.0; 3],
            (_, by_t) => sum([(by_t / m.near.part.t_end_n, tension(&m.near, &near))]),
        };
        let whole = (by_m, By { near: sum([(1.0, BY_L), (1.0, behind)]), away: BY_L, ..zero });
        let at_x = (by_m, By { near: near.span, ..zero });
        let (first, second) = match self.given {
            Given::LengthAndX { .. } => (whole, at_x),
            Given::LengthAndHaul { .. } => (whole, (by_m, By { haul: 1.0, ..zero })),
            Given::LengthAndLine { slope, .. } => {
                (whole, (by_m, By { near: sum([(-1.0, near.rise), (-slope, near.span)]), ..zero }))
            }
            Given::Point { .. } | Given::LengthAndPoint { .. } => {
                (at_x, (by_m, By { near: minus(near.rise), ..zero }))
            }
            Given::XAndTension { tension_n, at_near, .. } => {
                if at_near {
                    let by = 1.0 / (m.near.part.t_end_n * tension_n);
                    (at_x, (by, By { near: tension(&m.near, &near), ..zero }))
                } else {
                    let by = 1.0 / (m.away.part.t_end_n * tension_n);
                    (at_x, (by, By { away: tension(&m.away, &away), ..zero }))
                }
            }
        };
        let meet_x = (by_m, By { near: near.span, away: away.span, ..zero });
        let meet_z = (by_m, By { near: minus(near.rise), away: away.rise, ..zero });
        let seeks_load = self.seeks_load();
        let mut slope = [[0.0; 6]; 6];
        for (row, (scale, by)) in slope.iter_mut().zip([meet_x, meet_z, balance, fit, first, second]) {
            // L₂ = L − L₁ − what is behind, where the load is sought
            let (of_near, l2) = if seeks_load {
                (sum([(1.0, by.near), (-by.away[2], BY_L), (-by.away[2], behind)]), by.load * self.scale_n)
            } else {
                (by.near, by.away[2])
            };
            *row = [of_near[0] + by.away[0], of_near[1], by.away[1], of_near[2], l2, by.haul];
            for by in row {
                *by *= scale;
            }
        }
        slope
    }

    /// Tension and slopes are what f64 makes of their logarithm and angles.
    fn careful(&self, u: &Unknowns) -> Unknowns {
        let d = Double::from;
        let tension = d(math::exp(u[LN_T]));
        let near = Pull::sloping(tension, sinh(u[PSI_1]));
        let away = Pull::sloping(tension * d(self.away_by_near), sinh(u[PSI_2]));
        let near_m = d(u[L_1]);
        let near_end = Double::hang(&self.track, &near, near_m);
        // way/(1 + ε) = way − way·ε/(1 + ε)
        let strain = self.behind.stretch.strain_at(near_end.tension.rounded());
        let behind_m = d(self.behind.way_m) - d(self.behind.way_m * strain / (1.0 + strain));
        let (away_m, load) = match self.given {
            Given::LengthAndPoint { length_m, .. } => {
                (d(length_m) - behind_m - near_m, d(u[L_2]) * d(self.scale_n))
            }
            _ => (d(u[L_2]), d(self.load_n)),
        };
        let haul_m = d(u[L_H]);
        let haul = || Pull::of(away.h - near.h, load - near.v - away.v);
        self.values_of(&Terms {
            near,
            away,
            near_end,
            away_end: Digits::hang(&self.track, &away, away_m),
            near_m,
            away_m,
            behind_m,
            haul_m,
            load,
            haul_end: self.heavy_haul().then(|| Digits::hang(&self.haul, &haul(), haul_m)),
        })
    }

    fn rounding(&self, m: &Meaning) -> f64 {
        let mut extent = extent_m(&m.near.part) + extent_m(&m.away.part) + m.haul_length_m;
        if self.heavy_haul() {
            // Its pull is the difference of two tensions, and carries their rounding.
            let tensions = m.near.tension_n + m.away.tension_n;
            extent += m.haul_length_m * tensions / norm(m.haul_x_n, m.haul_z_n);
        }
        rounding(1.0 + extent / self.scale_m)
    }
}

/// sinh x to the last digits, by E = eˣ − 1: ½(E + E/(1 + E)).
fn sinh(x: f64) -> f64 {
    let e = math::exp_m1(x.abs());
    let sinh = 0.5 * (e + e / (1.0 + e));
    if x < 0.0 { -sinh } else { sinh }
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
            Given::LengthAndLine { length_m: 80.0, level_m: -20.0, slope: -0.2 },
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
                let at = [8.3, 0.75, -0.48, 37.0, fifth, 39.0];
                let quick = problem.values(&problem.meaning(&at).unwrap());
                for (careful, quick) in problem.careful(&at).into_iter().zip(quick) {
                    // Some ten roundings of terms that are at most 1.
                    assert!((careful - quick).abs() < 2e-15, "{given:?} {careful} {quick}");
                }
                // Central differences of 1e-6: their third derivative, and the rounding of the values over twice that.
                let slope = problem.slope(&problem.meaning(&at).unwrap());
                for unknown in 0..6 {
                    let values = |step: f64| {
                        let mut at = at;
                        at[unknown] += step;
                        problem.values(&problem.meaning(&at).unwrap())
                    };
                    let (before, after) = (values(-1e-6), values(1e-6));
                    for equation in 0..6 {
                        let difference = (after[equation] - before[equation]) / 2e-6;
                        let off = slope[equation][unknown] - difference;
                        // Of the scale of forces it is left out that it follows the tension.
                        let left_out = if equation == 2 { before[2].abs() } else { 0.0 };
                        assert!(off.abs() < 1e-8 + left_out, "{given:?} {equation} {unknown}: {off}");
                    }
                }
            }
        }
    }
}
