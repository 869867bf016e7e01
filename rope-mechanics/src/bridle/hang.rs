//! Where the load hangs, and how hard each rope pulls.

use super::{Bridle, BridleError, IN_PLANE, SHORTEST_M};
use crate::error::SolveReport;
use crate::geometry::{Force3, Point3};
use crate::quantity::{Force, Length, metres, newtons};
use crate::rope::Stretch;
use crate::springs::{Spring, Springs};
use nalgebra::{Matrix3, Vector3};

/// A load at rest on its ropes. Whatever belongs to a rope stands in the order of the ropes.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Hang<const N: usize> {
    /// Where the load is.
    pub position: Point3,
    /// How hard each rope pulls; zero if it is slack.
    pub tensions: [Force; N],
    /// The unstretched length of each.
    pub lengths: [Length; N],
    /// What each rope does to the point that it comes from: for the frame's head, y is the side force, and x
    /// pulls it out (or in, where negative).
    pub on_points: [Force3; N],
    /// Which ropes are slack. All but one: the load hangs straight down from that one.
    pub slack: [bool; N],
    /// The largest gap left between the end of a stretched rope and the load.
    pub closing_error: Length,
    /// The sum of all forces on the load that is left over.
    pub imbalance: Force,
    /// How the answer was reached: the residual is the larger of the closing error by the largest distance and
    /// the imbalance by the largest tension.
    pub report: SolveReport,
}

/// Certified: what is left over of the force, by the largest tension, and of the distances, by the largest.
const FORCE_CERTIFIED: f64 = 1e-11;
const GAP_CERTIFIED: f64 = 1e-12;
/// A rope is slack if it would be stretched by no more than this share: the rounding of its distance.
const ROUNDING: f64 = 4.0 * f64::EPSILON;
/// How well the forces must balance, by the load, for the last steps to begin.
const NEAR: f64 = 1e-6;
/// How much too long a rope may seem, by its length, and yet be tried as taut.
const NEARLY_TAUT: f64 = 1e-9;

/// A position and the tensions there.
#[derive(Debug, Clone, Copy)]
struct HangState<const N: usize> {
    at_m: Vector3<f64>,
    tensions_n: [f64; N],
}

/// What is left over when a state is put back into the equations.
#[derive(Debug, Clone, Copy)]
struct LeftOver {
    gap_m: f64,
    force_n: f64,
    /// The larger of the two by their certified bounds: at most 1 is good.
    worst: f64,
    residual: f64,
}

impl<const N: usize> Bridle<N> {
    /// The hang on those ropes that may pull.
    pub(super) fn hang_on(&self, lengths_m: &[f64; N], may_pull: [bool; N]) -> Result<Hang<N>, BridleError> {
        // One rope alone: straight down.
        for (i, (rope, length_m)) in self.ropes.iter().zip(lengths_m).enumerate() {
            let stretched_m = length_m * (1.0 + rope.stretch.strain_at(self.weight_n));
            let at_m = rope.from_m - Vector3::new(0.0, 0.0, stretched_m);
            let mut others = may_pull;
            let mut tensions_n = [0.0; N];
            let (Some(own), Some(tension_n)) = (others.get_mut(i), tensions_n.get_mut(i)) else { continue };
            if core::mem::replace(own, false) && self.most_overstretched(&at_m, lengths_m, &others).is_none()
            {
                *tension_n = self.weight_n;
                return self.answer(&HangState { at_m, tensions_n }, lengths_m, 0);
            }
        }
        let (at_m, steps) = self.settle(lengths_m, &may_pull);
        let (state, more) = self.polish(at_m, lengths_m, &may_pull);
        self.answer(&state, lengths_m, steps + more)
    }

    /// Of some ropes, the one whose length the load's distance exceeds most, if it exceeds any by more than
    /// rounding.
    fn most_overstretched(&self, at_m: &Vector3<f64>, lengths_m: &[f64; N], of: &[bool; N]) -> Option<usize> {
        let mut most = (None, 0.0);
        for (i, ((rope, length_m), asked)) in self.ropes.iter().zip(lengths_m).zip(of).enumerate() {
            let excess_m = (at_m - rope.from_m).norm() - length_m;
            let rounding_m = ROUNDING * (length_m + at_m.amax().max(rope.from_m.amax()));
            if *asked && excess_m > rounding_m && excess_m > most.1 {
                most = (Some(i), excess_m);
            }
        }
        most.0
    }

    /// Near the least of Φ(r) = Σ Lᵢ·∫T dε + W·z, from half a mean length below the middle of the points.
    fn settle(&self, lengths_m: &[f64; N], may_pull: &[bool; N]) -> (Vector3<f64>, u32) {
        let (mut start_m, mut count) = (Vector3::zeros(), 0.0);
        for ((rope, length_m), _) in
            self.ropes.iter().zip(lengths_m).zip(may_pull).filter(|(_, pulls)| **pulls)
        {
            start_m += rope.from_m - Vector3::new(0.0, 0.0, 0.5 * length_m);
            count += 1.0;
        }
        start_m /= count;
        let mut springs = Springs([None; N]);
        let ropes = springs.0.iter_mut().zip(&self.ropes).zip(lengths_m).zip(may_pull);
        for (((slot, rope), length_m), _) in ropes.filter(|(_, pulls)| **pulls) {
            let run = start_m - rope.from_m;
            *slot = Some(Spring::new(run, *length_m, run.norm() - length_m, rope.stretch, self.weight_n));
        }
        let load = Vector3::new(0.0, 0.0, -self.weight_n);
        // Where it finds no way, the certificate of the answer says so.
        let settled = springs.settle(load, self.weight_n, Vector3::zeros(), NEAR);
        let (moved_m, steps) = settled.unwrap_or_default();
        (start_m + moved_m, steps)
    }

    /// Newton's method on position and tensions together, which loses nothing where ropes hardly stretch.
    ///
    /// It begins with the ropes that are taut or nearly so at a position near the answer; one that comes to push is let go,
    /// and one found too short is taken on.
    fn polish(&self, at_m: Vector3<f64>, lengths_m: &[f64; N], may_pull: &[bool; N]) -> (HangState<N>, u32) {
        let mut taut = *may_pull;
        let mut tensions_n = [0.0; N];
        for (((rope, length_m), taut), tension_n) in
            self.ropes.iter().zip(lengths_m).zip(&mut taut).zip(&mut tensions_n)
        {
            let strain = ((at_m - rope.from_m).norm() - length_m) / length_m;
            *taut &= strain > -NEARLY_TAUT;
            if *taut {
                *tension_n = rope.stretch.tension_at(strain.max(0.0));
            }
        }
        let mut state = HangState { at_m, tensions_n };
        let mut steps = 0;
        for _ in 0..2 * N + 2 {
            // One of the two errors may grow for a step while the other falls.
            let (mut best, mut least, mut worse) = (state, self.left_over(&state, lengths_m, &taut).worst, 0);
            for _ in 0..20 {
                let Some(next) = self.together(&state, lengths_m, &taut) else { break };
                steps += 1;
                state = next;
                let left = self.left_over(&state, lengths_m, &taut).worst;
                worse += 1;
                if left < least {
                    (best, least, worse) = (state, left, 0);
                } else if worse == 3 {
                    break;
                }
            }
            state = best;
            let mut pushing = (None, 0.0);
            for (i, tension_n) in state.tensions_n.iter().enumerate() {
                if *tension_n < pushing.1 {
                    pushing = (Some(i), *tension_n);
                }
            }
            let mut slack = *may_pull;
            for (slack, taut) in slack.iter_mut().zip(&taut) {
                *slack &= !taut;
            }
            let (change, to) = match (pushing.0, self.most_overstretched(&state.at_m, lengths_m, &slack)) {
                (Some(rope), _) => (rope, false),
                (None, Some(rope)) => (rope, true),
                (None, None) => break,
            };
            if let (Some(taut), Some(tension_n)) = (taut.get_mut(change), state.tensions_n.get_mut(change)) {
                *taut = to;
                *tension_n = 0.0;
            }
        }
        (state, steps)
    }

    /// One step of Newton's method on position and tensions together; `None` if it has no finite one.
    ///
    /// Unknown: r and Tᵢ. Equations: Σ Tᵢ·uᵢ = W upward, |r − pᵢ| = Lᵢ·(1 + εᵢ(Tᵢ)).
    fn together(&self, state: &HangState<N>, lengths_m: &[f64; N], taut: &[bool; N]) -> Option<HangState<N>> {
        let mut sum = Matrix3::zeros();
        let mut right = Vector3::new(0.0, 0.0, -self.weight_n);
        let mut lines = [(Vector3::zeros(), 0.0, 0.0); N];
        let ropes = self.ropes.iter().zip(lengths_m).zip(taut).zip(&state.tensions_n);
        for ((((rope, length_m), taut), tension_n), line) in ropes.zip(&mut lines) {
            if !*taut {
                continue;
            }
            let from_point = state.at_m - rope.from_m;
            let distance_m = from_point.norm();
            let along = from_point / distance_m;
            let strain = strain_at(&rope.stretch, *tension_n);
            let stiffness = rope.stretch.tangent_at(strain.max(0.0)) / length_m;
            // m = |r − p| − L·(1 + ε)
            let gap_m = (distance_m - length_m) - length_m * strain;
            sum += tangent(&along, tension_n / distance_m, stiffness);
            right -= along * (tension_n + stiffness * gap_m);
            *line = (along, stiffness, gap_m);
        }
        let move_m = sum.cholesky()?.solve(&right);
        let mut tensions_n = state.tensions_n;
        for (tension_n, (along, stiffness, gap_m)) in tensions_n.iter_mut().zip(&lines) {
            *tension_n += stiffness * (gap_m + along.dot(&move_m));
        }
        move_m.iter().all(|m| m.is_finite()).then_some(HangState { at_m: state.at_m + move_m, tensions_n })
    }

    /// What is left over, the gaps of some ropes counted.
    fn left_over(&self, state: &HangState<N>, lengths_m: &[f64; N], of: &[bool; N]) -> LeftOver {
        let mut force_n = Vector3::new(0.0, 0.0, -self.weight_n);
        let (mut gap_m, mut largest_n, mut largest_m) = (0.0_f64, self.weight_n, state.at_m.amax());
        let ropes = self.ropes.iter().zip(lengths_m).zip(&state.tensions_n).zip(of);
        for (((rope, length_m), tension_n), counts) in ropes {
            let to_point = rope.from_m - state.at_m;
            let distance_m = to_point.norm();
            if *tension_n != 0.0 {
                force_n += to_point * (tension_n / distance_m);
            }
            let gap = (distance_m - length_m) - length_m * strain_at(&rope.stretch, *tension_n);
            if *counts {
                gap_m = gap_m.max(if *tension_n != 0.0 { gap.abs() } else { gap });
            }
            largest_n = largest_n.max(tension_n.abs());
            largest_m = largest_m.max(distance_m).max(rope.from_m.amax());
        }
        let (gap, force) = (gap_m / largest_m, force_n.norm() / largest_n);
        LeftOver {
            gap_m,
            force_n: force_n.norm(),
            worst: (gap / GAP_CERTIFIED).max(force / FORCE_CERTIFIED),
            residual: gap.max(force),
        }
    }

    /// Lets an answer out only if it closes.
    fn answer(&self, state: &HangState<N>, lengths_m: &[f64; N], steps: u32) -> Result<Hang<N>, BridleError> {
        let left = self.left_over(state, lengths_m, &[true; N]);
        let pushes = state.tensions_n.iter().any(|tension_n| *tension_n < 0.0);
        // The largest of several passes over what is no number.
        let finite = state.at_m.iter().chain(&state.tensions_n).all(|x| x.is_finite());
        if pushes || !finite || left.worst.is_nan() || left.worst > 1.0 {
            return Err(BridleError::Unsolved { closing_error: left.gap_m, imbalance: left.force_n });
        }
        let mut on_points = [Force3::default(); N];
        for ((on_point, rope), tension_n) in on_points.iter_mut().zip(&self.ropes).zip(&state.tensions_n) {
            let to_load = state.at_m - rope.from_m;
            if *tension_n > 0.0 {
                *on_point = Force3::from_si(to_load * (tension_n / to_load.norm()));
            }
        }
        Ok(Hang {
            position: Point3::from_si(state.at_m),
            tensions: state.tensions_n.map(newtons),
            lengths: lengths_m.map(metres),
            on_points,
            slack: state.tensions_n.map(|tension_n| tension_n == 0.0),
            closing_error: metres(left.gap_m),
            imbalance: newtons(left.force_n),
            report: SolveReport::new(steps, left.residual),
        })
    }

    /// The hang at a position.
    pub(super) fn hang_at(&self, mut at_m: Vector3<f64>) -> Result<Hang<N>, BridleError> {
        let to_points = self.ropes.map(|rope| rope.from_m - at_m);
        for (rope, to_point) in to_points.iter().enumerate() {
            if to_point.norm() < SHORTEST_M {
                return Err(BridleError::AtPoint { rope });
            }
        }
        // Σ (Tᵢ/dᵢ)·(pᵢ − r) = W upward
        let mut per_metre = [0.0; N];
        match (to_points.as_slice(), per_metre.as_mut_slice()) {
            ([a, b], [qa, qb]) => {
                let level = Vector3::new(b.x - a.x, b.y - a.y, 0.0);
                let apart_m = level.norm();
                let scale_m = a.norm().max(b.norm());
                if apart_m <= IN_PLANE * scale_m {
                    return Err(BridleError::Indeterminate);
                }
                let outward = level / apart_m;
                let beside = Vector3::new(outward.y, -outward.x, 0.0);
                let offset = a.dot(&beside);
                if offset.abs() > IN_PLANE * scale_m {
                    return Err(BridleError::OutOfPlane { offset });
                }
                at_m += beside * offset;
                let (sa, sb) = (a.dot(&outward), b.dot(&outward));
                let area = sa * b.z - sb * a.z;
                if area.abs() <= IN_PLANE * a.norm() * b.norm() {
                    return Err(BridleError::Indeterminate);
                }
                *qa = -self.weight_n * sb / area;
                *qb = self.weight_n * sa / area;
            }
            ([a, b, c], [qa, qb, qc]) => {
                let volume = a.dot(&b.cross(c));
                if volume.abs() <= IN_PLANE * a.norm() * b.norm() * c.norm() {
                    return Err(BridleError::Indeterminate);
                }
                *qa = self.weight_n * b.cross(c).z / volume;
                *qb = self.weight_n * c.cross(a).z / volume;
                *qc = self.weight_n * a.cross(b).z / volume;
            }
            _ => return Err(BridleError::Indeterminate),
        }
        let (mut tensions_n, mut lengths_m) = (per_metre, per_metre);
        let mut pushes: Option<(usize, f64)> = None;
        let each = tensions_n.iter_mut().zip(&mut lengths_m).zip(&self.ropes).zip(&to_points);
        for (i, (((tension_n, length_m), rope), to_point)) in each.enumerate() {
            let distance_m = to_point.norm();
            *tension_n *= distance_m;
            if tension_n.abs() <= f64::EPSILON * 4.0 * self.weight_n {
                *tension_n = 0.0;
            }
            if *tension_n < 0.0 && pushes.is_none_or(|(_, most)| -*tension_n > most) {
                pushes = Some((i, -*tension_n));
            }
            // L = d/(1 + ε)
            *length_m = distance_m / (1.0 + rope.stretch.strain_at(tension_n.max(0.0)));
        }
        if let Some((rope, force)) = pushes {
            return Err(BridleError::Pushes { rope, force });
        }
        self.answer(&HangState { at_m, tensions_n }, &lengths_m, 0)
    }
}

/// Tangent stiffness of a straight line: `across` for moves across it, `along` for moves along.
fn tangent(direction: &Vector3<f64>, across_n_per_m: f64, along_n_per_m: f64) -> Matrix3<f64> {
    Matrix3::from_diagonal_element(across_n_per_m)
        + direction * direction.transpose() * (along_n_per_m - across_n_per_m)
}

/// Strain under a tension; under a push, that of a bar as soft as the rope at rest. No answer holds such a one,
/// but a step on the way to it may.
fn strain_at(stretch: &Stretch, tension_n: f64) -> f64 {
    if tension_n >= 0.0 { stretch.strain_at(tension_n) } else { tension_n / stretch.a_n() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bridle::BridleRope;

    #[test]
    fn a_hang_that_does_not_close_is_refused() {
        let stretch = Stretch::linear(newtons(40e3)).unwrap();
        let rope = |x| BridleRope::new(Point3::new(metres(x), metres(0.0), metres(3.0)), stretch).unwrap();
        let bridle = Bridle::new(newtons(2000.0), [rope(-2.0), rope(2.0)]).unwrap();
        let lengths_m = [3.0, 3.2];
        let good = bridle.hang_on(&lengths_m, [true; 2]).unwrap();
        let state = HangState { at_m: good.position.si(), tensions_n: good.tensions.map(|t| t.value) };
        assert!(bridle.answer(&state, &lengths_m, 0).is_ok());

        // A nanometre off, a millionth of a newton too much, a push, no number.
        let moved = HangState { at_m: state.at_m + Vector3::new(1e-9, 0.0, 0.0), ..state };
        let [one, other] = state.tensions_n;
        let tensions = |tensions_n| HangState { tensions_n, ..state };
        for bad in
            [moved, tensions([one + 1e-6, other]), tensions([-one, other]), tensions([f64::NAN, other])]
        {
            let refused = bridle.answer(&bad, &lengths_m, 0);
            assert!(matches!(refused, Err(BridleError::Unsolved { .. })), "{bad:?}");
        }
        // A rope that pushes is refused even where all forces balance.
        let [up, down] = [Vector3::new(0.0, 0.0, 1.0), Vector3::new(0.0, 0.0, -1.0)].map(Point3::from_si);
        let plumb = [up, down].map(|from| BridleRope::new(from, stretch).unwrap());
        let pushed = HangState { at_m: Vector3::zeros(), tensions_n: [1500.0, -500.0] };
        let lengths_m = [1.0 / (1.0 + 1500.0 / 40e3), 1.0 / (1.0 - 500.0 / 40e3)];
        let refused = Bridle::new(newtons(2000.0), plumb).unwrap().answer(&pushed, &lengths_m, 0);
        assert!(matches!(refused, Err(BridleError::Unsolved { .. })));
    }
}
