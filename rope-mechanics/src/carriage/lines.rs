//! A start from two lines that meet at the carriage, for tracks that are far from straight.
//!
//! Each part is an elastic line between its support and the carriage. The rope is shared so that T₂ = ρ·T₁; then the
//! forces across the haul rope say whether the carriage hangs too high or too low. Both are brackets.

use super::equations::{Given, Problem, Unknowns};
use super::scan::first_root;
use crate::line::span::{Span, solve};
use crate::math::roots::bracketed;
use crate::math::{self, norm};

/// Pulls (H, V) of both parts on the carriage, and their lengths.
#[derive(Debug, Clone, Copy)]
struct TwoLines {
    near: (f64, f64),
    away: (f64, f64),
    near_m: f64,
    away_m: f64,
}

impl Problem {
    /// A start by two exact lines, where the straight track led to nothing.
    pub(super) fn start_by_lines(&self) -> Option<Unknowns> {
        match self.given {
            Given::LengthAndX { length_m, x_m } => {
                let length_m = length_m - self.least_behind_m();
                let chord_z_m = self.far_z_m * (x_m / self.far_x_m);
                let depth_m = |ln_depth: f64| chord_z_m - self.scale_m * math::exp(ln_depth);
                let excess = |ln_depth: f64| {
                    let z_m = depth_m(ln_depth);
                    self.share(x_m, z_m, length_m).map_or(f64::NAN, |lines| self.too_low(x_m, z_m, &lines))
                };
                let root = first_root(FIRST_DEPTH, 0.5, 3.0, COARSE, excess)?;
                let z_m = depth_m(root);
                self.unknowns_by(x_m, z_m, &self.share(x_m, z_m, length_m)?)
            }
            Given::Point { x_m, z_m } => {
                let chords = norm(x_m, z_m) + norm(self.far_x_m - x_m, self.far_z_m - z_m);
                let at = |ln_length: f64| self.share(x_m, z_m, chords * math::exp(ln_length));
                let excess =
                    |ln_length: f64| at(ln_length).map_or(f64::NAN, |lines| -self.too_low(x_m, z_m, &lines));
                let root = first_root(-0.7, 0.05, 3.0, COARSE, excess)?;
                self.unknowns_by(x_m, z_m, &at(root)?)
            }
            Given::LengthAndPoint { length_m, x_m, z_m } => {
                self.unknowns_by(x_m, z_m, &self.share(x_m, z_m, length_m - self.least_behind_m())?)
            }
            Given::XAndTension { x_m, tension_n, at_near } => {
                let chord_z_m = self.far_z_m * (x_m / self.far_x_m);
                let at = |ln_depth: f64| {
                    let z_m = chord_z_m - self.scale_m * math::exp(ln_depth);
                    Some((z_m, self.lines_with_tension(x_m, z_m, tension_n, at_near)?))
                };
                let excess = |ln_depth: f64| {
                    at(ln_depth).map_or(f64::NAN, |(z_m, lines)| self.too_low(x_m, z_m, &lines))
                };
                let (z_m, lines) = at(first_root(FIRST_DEPTH, 0.5, 3.0, COARSE, excess)?)?;
                self.unknowns_by(x_m, z_m, &lines)
            }
            Given::LengthAndHaul { .. } | Given::LengthAndLine { .. } => None,
        }
    }

    /// The part at the head as long as its tension there asks for, and the other one as long as ρ does.
    fn lines_with_tension(&self, x_m: f64, z_m: f64, tension_n: f64, at_near: bool) -> Option<TwoLines> {
        let rho = self.away_by_near;
        let near = (x_m, -z_m);
        let away = (self.far_x_m - x_m, self.far_z_m - z_m);
        let tension = |(h, v): (f64, f64)| norm(h, v);
        // The support's end: V + wL.
        let at_head = |part: (f64, f64), length_m: f64| {
            tension((part.0, part.1 + self.track.weight_n_per_m * length_m))
        };
        let head = if at_near { near } else { away };
        let head_m = self.length_with(head, tension_n, at_head)?;
        let t = tension(self.part_by_line(head.0, head.1, head_m)?);
        let (other, t) = if at_near { (away, t * rho) } else { (near, t / rho) };
        let other_m = self.length_with(other, t, |part, _| tension(part))?;
        let (near_m, away_m) = if at_near { (head_m, other_m) } else { (other_m, head_m) };
        Some(TwoLines {
            near: self.part_by_line(near.0, near.1, near_m)?,
            away: self.part_by_line(away.0, away.1, away_m)?,
            near_m,
            away_m,
        })
    }

    /// The shortest part with this tension at one of its ends.
    fn length_with(
        &self,
        (x, z): (f64, f64),
        tension_n: f64,
        at_end: impl Fn((f64, f64), f64) -> f64,
    ) -> Option<f64> {
        let chord_m = norm(x, z);
        let spare = |ln_length: f64| {
            let length_m = chord_m * math::exp(ln_length);
            self.part_by_line(x, z, length_m)
                .map_or(f64::NAN, |part| 1.0 - at_end(part, length_m) / tension_n)
        };
        // A rope without weight is this long, others are longer.
        let straight = -math::ln(1.0 + self.track.stretch.strain_at(tension_n)) - 1e-9;
        Some(chord_m * math::exp(first_root(straight, 0.1, 2.0, COARSE, spare)?))
    }

    /// The pull of a part on the carriage, from which its support lies (x, z) away, x > 0.
    fn part_by_line(&self, x: f64, z: f64, length_m: f64) -> Option<(f64, f64)> {
        let span = Span {
            span_m: x,
            rise_m: z,
            length_m,
            weight_n_per_m: self.track.weight_n_per_m,
            stretch: self.track.stretch,
        };
        let ends = solve(&span).ok()?.ends;
        Some((ends.h_n, -ends.v_first_n))
    }

    /// The rope shared so that T₂ = ρ·T₁.
    fn share(&self, x_m: f64, z_m: f64, length_m: f64) -> Option<TwoLines> {
        let at = |share: f64| {
            let (near_m, away_m) = (length_m * share, length_m * (1.0 - share));
            let near = self.part_by_line(x_m, -z_m, near_m)?;
            let away = self.part_by_line(self.far_x_m - x_m, self.far_z_m - z_m, away_m)?;
            Some(TwoLines { near, away, near_m, away_m })
        };
        let (c1, c2) = (norm(x_m, z_m), norm(self.far_x_m - x_m, self.far_z_m - z_m));
        let logit = math::ln(c1 / c2);
        let share = |place: f64| 1.0 / (1.0 + math::exp(-logit - place));
        let spare = |place: f64| {
            at(share(place)).map_or(f64::NAN, |lines| {
                let (t1, t2) = (norm(lines.near.0, lines.near.1), norm(lines.away.0, lines.away.1));
                // Slack and weightless parts pull with nothing.
                (t2 - self.away_by_near * t1) / (t1 + t2 + 1e-12 * self.scale_n)
            })
        };
        let mut reach = 0.05;
        while !(spare(-reach) < 0.0 && spare(reach) > 0.0) {
            reach *= 2.0;
            if reach > 20.0 {
                return None;
            }
        }
        at(share(bracketed(-reach, reach, 1e-6, spare)?.x))
    }

    /// Positive where the track lifts a carriage at (x, z) more, across the haul rope, than it weighs.
    fn too_low(&self, x_m: f64, z_m: f64, lines: &TwoLines) -> f64 {
        let (dx, dz) = (self.haul_x_m - x_m, self.haul_z_m - z_m);
        let half = 0.5 * self.haul.weight_n_per_m * norm(dx, dz);
        let px = lines.near.0 - lines.away.0;
        let pz = self.load_n + half - lines.near.1 - lines.away.1;
        // p × d, over the horizontal distance
        (pz * dx - px * dz) / norm(dx, dz)
    }

    fn unknowns_by(&self, x_m: f64, z_m: f64, lines: &TwoLines) -> Option<Unknowns> {
        let ((h1, v1), (h2, v2)) = (lines.near, lines.away);
        (h1 > 0.0 && h2 > 0.0)
            .then(|| self.unknowns_of((h1, v1 / h1), (h2, v2 / h2), (x_m, z_m), (lines.near_m, lines.away_m)))
    }
}

/// Logarithm of the depth below the chord, against the size of the track, from which on a carriage is looked for.
const FIRST_DEPTH: f64 = -7.0;
/// A start need not be better than this.
const COARSE: f64 = 1e-4;
