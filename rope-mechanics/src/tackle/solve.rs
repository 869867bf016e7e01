//! The small linear system of every tackle, its transpose, and what follows from them.

use super::TackleError;
use super::arrangement::{
    CarrierId, Kinematics, MAX_MOVING, MAX_PARTS, PartData, RopeId, RopeStop, RunData, RunKind, Tackle,
    TacklePart,
};
use crate::error::{SolveReport, non_negative};
use crate::geometry::Force3;
use crate::math::linear::{Lu, Svd};
use crate::math::lists::list;
use crate::motion::Motion;
use crate::quantity::{Angle, Force, Ratio, newtons, radians, ratio};
use arrayvec::ArrayVec;
use nalgebra::{SMatrix, SVector, Vector3};

type Matrix = SMatrix<f64, MAX_MOVING, MAX_MOVING>;
type Vector = SVector<f64, MAX_MOVING>;

/// A pivot this much smaller than the largest is zero: a carrier whose ropes all pull within 1e-11 rad of square
/// to its heading is held by nothing.
const RANK_TOLERANCE: f64 = 1e-11;
/// The residual, as a share of the largest force in a balance, beyond which no answer is given. Full pivoting on a system
/// of at most 8 with scaled rows and columns leaves about 1e-15.
const RESIDUAL_TOLERANCE: f64 = 1e-11;
/// A tension this far below zero, as a share of the largest in the tackle, is rounding.
const SLACK_TOLERANCE: f64 = 1e-11;

/// Which tensions to find.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Case {
    NoLosses,
    Moving(Motion),
}

/// One unknown tension: parts of a rope, each with its share of it.
#[derive(Debug, Clone, Copy)]
struct Unknown {
    first: usize,
    last: usize,
}

impl Kinematics {
    /// The motion of the tackle with its hand end pulled, from the transpose of the balance without losses.
    pub(super) fn of(tackle: &Tackle) -> Result<Self, TackleError> {
        let Some(travel) = Self::travel(tackle) else { return Err(tackle.why_singular()) };
        let row_of_load = tackle.row_of_load().unwrap_or(0);
        let at_load = travel.get(row_of_load).copied().unwrap_or(0.0);
        if at_load.abs() <= RANK_TOLERANCE * travel.amax() {
            return Err(TackleError::NoPurchase);
        }
        let mut motion = Self { hand: 1.0 / at_load, ..Self::default() };
        for (q, t) in motion.travel.iter_mut().zip(travel.iter()) {
            *q = t / at_load;
        }
        for run in &tackle.runs {
            motion.follow(tackle, run);
        }
        Ok(motion)
    }

    /// The travel of every carrier that moves for a length of rope handed out; nothing if there is no unique one.
    #[inline(never)] // its matrices are no longer needed where the forces are found
    fn travel(tackle: &Tackle) -> Option<Vector> {
        let shares = [1.0; MAX_PARTS];
        let unknowns = tackle.unknowns();
        let balance = tackle.balance(&unknowns, &shares);
        let (rows, columns) = (tackle.moving, unknowns.len());
        let hand = tackle
            .runs
            .iter()
            .filter(|r| !r.is_slack())
            .position(|r| matches!(r.kind, RunKind::HandFirst | RunKind::HandLast))
            .unwrap_or(columns);
        let mut handed_out = Vector::zeros();
        if let Some(x) = handed_out.get_mut(hand) {
            *x = 1.0;
        }
        // Aᵀ·q = rope handed out
        if rows == columns { solve(&balance.transpose(), rows, &handed_out) } else { None }
    }

    /// How much longer a part gets.
    pub(super) fn growth(&self, tackle: &Tackle, part: &PartData) -> f64 {
        let along = |carrier: usize| {
            let carrier = tackle.carriers.get(carrier);
            carrier.and_then(|c| Some(c.heading.dot(&part.unit) * self.travel.get(c.row()?)?)).unwrap_or(0.0)
        };
        // dℓ = u·(v_to − v_from)
        along(part.to()) - along(part.from())
    }

    /// Computes how much rope runs over the stops of a run, from the end where none does.
    fn follow(&mut self, tackle: &Tackle, run: &RunData) {
        let parts = tackle.parts.get(run.first()..=run.last()).unwrap_or_default();
        let growth: f64 = parts.iter().map(|p| self.growth(tackle, p)).sum();
        let mut flow = match run.kind {
            RunKind::Tied | RunKind::HandLast | RunKind::TailLast => 0.0,
            RunKind::HandFirst | RunKind::TailFirst => growth,
        };
        for part in parts.iter().take(parts.len().saturating_sub(1)) {
            // What a part doesn't take up runs on into the next.
            flow -= self.growth(tackle, part);
            if let Some(over) = self.flow.0.get_mut(part.first_stop() + 1) {
                *over = if flow.abs() > RANK_TOLERANCE * self.hand.abs().max(1.0) { flow } else { 0.0 };
            }
        }
    }
}

impl RunData {
    fn is_slack(&self) -> bool {
        matches!(self.kind, RunKind::TailFirst | RunKind::TailLast)
    }
}

impl Tackle {
    fn unknowns(&self) -> ArrayVec<Unknown, MAX_MOVING> {
        list(self.runs.iter().filter(|r| !r.is_slack()).map(|r| Unknown { first: r.first(), last: r.last() }))
    }

    /// A: one row for each carrier that moves, one column for each unknown tension.
    fn balance(&self, unknowns: &[Unknown], shares: &[f64; MAX_PARTS]) -> Matrix {
        let mut a = Matrix::zeros();
        for (column, unknown) in unknowns.iter().enumerate() {
            for index in unknown.first..=unknown.last {
                let (Some(part), Some(share)) = (self.parts.get(index), shares.get(index)) else { continue };
                for (carrier, pull) in [(part.from(), part.unit), (part.to(), -part.unit)] {
                    let Some(carrier) = self.carriers.get(carrier) else { continue };
                    if let Some(x) = carrier.row().and_then(|row| a.get_mut((row, column))) {
                        *x += share * carrier.heading.dot(&pull);
                    }
                }
            }
        }
        a
    }

    /// The tension of each part by that of its run, for losses in the direction of motion.
    fn shares(&self, case: Case) -> [f64; MAX_PARTS] {
        let mut shares = [1.0; MAX_PARTS];
        let mut share = 1.0;
        for (index, part) in self.parts.iter().enumerate() {
            let Some(stop) = self.stops.get(part.first_stop()) else { continue };
            share = match (stop.stop.turn(), case) {
                // A fastening begins another unknown.
                (None, _) => 1.0,
                (Some(_), Case::NoLosses) => share,
                (Some(turn), Case::Moving(motion)) => {
                    let (hauling, lowering) = turn.ratios(stop.wrap);
                    // Tension on the side to which the rope runs while hauling, by that from which it comes.
                    let onward = if motion == Motion::Lowering { lowering } else { hauling };
                    let flow = self.motion.flow.at(part.first_stop());
                    if flow > 0.0 {
                        share * onward
                    } else if flow < 0.0 {
                        share / onward
                    } else {
                        share
                    }
                }
            };
            if let Some(slot) = shares.get_mut(index) {
                *slot = share;
            }
        }
        shares
    }

    /// The carrier that floats, or the rope that locks the rest.
    #[cold]
    #[inline(never)] // two decompositions, which must not stand in the frame of the usual way
    fn why_singular(&self) -> TackleError {
        let unknowns = self.unknowns();
        let balance = self.balance(&unknowns, &[1.0; MAX_PARTS]);
        // The unknown with the largest share in what a matrix takes to nothing.
        let most = |matrix: &Matrix, count: usize| {
            let svd = Svd::of(matrix);
            let zero = RANK_TOLERANCE * svd.largest();
            let mut found = None;
            let mut largest = 1e-6;
            for i in 0..count {
                let null = svd.right().filter(|(size, _)| *size <= zero);
                let share: f64 = null.filter_map(|(_, v)| v.get(i).map(|x| x * x)).sum();
                // The first of equals, whatever the rounding.
                if share > largest * (1.0 + 1e-6) {
                    (found, largest) = (Some(i), share);
                }
            }
            found
        };
        let floating = most(&balance.transpose(), self.moving);
        if let Some(row) = floating {
            let carrier = self.carriers.iter().find(|c| c.row() == Some(row));
            return TackleError::Floats { carrier: carrier.map_or(super::Name::NONE, |c| c.name) };
        }
        let locked = most(&balance, unknowns.len());
        let part = locked.and_then(|i| unknowns.get(i)).and_then(|u| self.parts.get(u.first));
        TackleError::Locked { rope: part.map_or(super::Name::NONE, |p| self.name_of_rope(p.rope)) }
    }

    /// Tensions and balance without losses: the ideal.
    ///
    /// # Errors
    /// Unless the load's pull is finite and at least zero.
    pub fn without_losses(&self, load: Force) -> Result<TackleForces<'_>, TackleError> {
        self.forces(load, Case::NoLosses)
    }

    /// Tensions and balance while the load is hauled: every sheave takes its loss from the hand's side.
    ///
    /// Where no rope runs over a sheave, it passes on the whole tension.
    ///
    /// # Errors
    /// Unless the load's pull is finite and at least zero; if friction binds the tackle.
    pub fn hauling(&self, load: Force) -> Result<TackleForces<'_>, TackleError> {
        self.forces(load, Case::Moving(Motion::Hauling))
    }

    /// Tensions and balance while the load is lowered: every sheave helps the hand.
    ///
    /// # Errors
    /// Unless the load's pull is finite and at least zero; if friction binds the tackle, so that the load doesn't
    /// go by itself.
    pub fn lowering(&self, load: Force) -> Result<TackleForces<'_>, TackleError> {
        self.forces(load, Case::Moving(Motion::Lowering))
    }

    /// The advantage, load divided by hand force: without losses, hauling and lowering.
    ///
    /// At rest the hand force lies anywhere between that for hauling and that for lowering.
    ///
    /// # Errors
    /// If friction binds the tackle in one of the directions.
    pub fn advantage(&self) -> Result<Advantage, TackleError> {
        let load = newtons(1.0);
        let by = |forces: TackleForces<'_>| ratio(1.0 / forces.hand().value);
        Ok(Advantage {
            ideal: by(self.without_losses(load)?),
            hauling: by(self.hauling(load)?),
            lowering: by(self.lowering(load)?),
        })
    }

    /// What the stop that captures progress holds once the hand releases the rope, and the tensions then.
    ///
    /// The rope is fast at the capture on the load's side and slack beyond it. Assumed: no friction elsewhere
    /// helps; the captures nearer the hand carry nothing. The first capture is that nearest to the start of the
    /// first rope that has one.
    ///
    /// # Errors
    /// If nothing captures progress, or the load is not held by it.
    pub fn held(&self, load: Force) -> Result<TackleForces<'_>, TackleError> {
        let load_n = non_negative("load", load)?;
        let captures = |(i, s): &(usize, &super::arrangement::Placed)| {
            matches!(s.stop, RopeStop::Capture(..)) && self.motion.flow.at(*i) != 0.0
        };
        let (stop, placed) = self.stops.iter().enumerate().find(captures).ok_or(TackleError::NoCapture)?;
        let does_not_hold =
            TackleError::DoesNotHold { carrier: self.name_of(usize::from(placed.stop.carrier().0)) };
        let unknowns = self.unknowns_held_at(stop);
        let shares = [1.0; MAX_PARTS];
        let balance = self.balance(&unknowns, &shares);
        // Blocks that hang on slack rope alone carry nothing: the smallest of all tensions that balance.
        let svd = Svd::of(&balance);
        let tensions = svd.solve(&self.pull(), RANK_TOLERANCE * svd.largest());
        let forces = self.put_back(load_n, &unknowns, &shares, &tensions);
        if forces.report.residual > RESIDUAL_TOLERANCE || forces.pushing().is_some() {
            return Err(does_not_hold);
        }
        Ok(forces)
    }

    fn unknowns_held_at(&self, stop: usize) -> ArrayVec<Unknown, MAX_MOVING> {
        let mut unknowns = ArrayVec::new();
        for run in &self.runs {
            let (first, last) = (run.first(), run.last());
            let begins = |i: usize| self.parts.get(i).is_some_and(|p| p.first_stop() == stop);
            let split = (first + 1..=last).find(|i| begins(*i));
            let pieces: [Option<(usize, usize)>; 2] = match (split, run.kind) {
                (None, RunKind::Tied) => [Some((first, last)), None],
                (None, _) => [None, None],
                (Some(at), RunKind::Tied) => [Some((first, at - 1)), Some((at, last))],
                (Some(at), RunKind::HandLast | RunKind::TailLast) => [Some((first, at - 1)), None],
                (Some(at), RunKind::HandFirst | RunKind::TailFirst) => [None, Some((at, last))],
            };
            for (first, last) in pieces.into_iter().flatten() {
                // One capture splits one run, and a run in the hand is slack: never more than there were, or one.
                let _ = unknowns.try_push(Unknown { first, last });
            }
        }
        unknowns
    }

    /// The load's pull of 1 N, on the carrier that moves.
    fn pull(&self) -> Vector {
        let mut pull = Vector::zeros();
        if let Some(x) = self.row_of_load().and_then(|row| pull.get_mut(row)) {
            *x = 1.0;
        }
        pull
    }

    fn forces(&self, load: Force, case: Case) -> Result<TackleForces<'_>, TackleError> {
        let load_n = non_negative("load", load)?;
        let unknowns = self.unknowns();
        let shares = self.shares(case);
        let balance = self.balance(&unknowns, &shares);
        // A·T = W
        let tensions = solve(&balance, self.moving, &self.pull()).unwrap_or(Vector::repeat(f64::NAN));
        let forces = self.put_back(load_n, &unknowns, &shares, &tensions);
        if let Some(part) = forces.pushing() {
            let [rope, from, to] =
                [self.name_of_rope(part.rope), self.name_of(part.from()), self.name_of(part.to())];
            let part = usize::from(part.index) + 1;
            return Err(match case {
                Case::NoLosses => TackleError::Pushes { rope, part, from, to },
                Case::Moving(motion) => TackleError::Binds { motion, rope, part, from, to },
            });
        }
        forces.certified()
    }

    /// The tension of every part for the load, and the closing error of the balance.
    fn put_back(
        &self,
        load_n: f64,
        unknowns: &[Unknown],
        shares: &[f64; MAX_PARTS],
        per_newton: &Vector,
    ) -> TackleForces<'_> {
        let mut unit_n = [0.0; MAX_PARTS];
        for (unknown, tension) in unknowns.iter().zip(per_newton.iter()) {
            let parts = unit_n.iter_mut().zip(shares).take(unknown.last + 1).skip(unknown.first);
            for (slot, share) in parts {
                *slot = share * tension;
            }
        }
        let largest = unit_n.iter().fold(0.0, |a: f64, t| a.max(t.abs()));
        let mut residual: f64 = 0.0;
        for (index, carrier) in self.carriers.iter().enumerate().filter(|(_, c)| c.row().is_some()) {
            let mut sum = if self.is_load(index) { -1.0 } else { 0.0 };
            let mut term = (1e-3 * largest).max(-sum);
            for (part, tension) in self.parts.iter().zip(&unit_n) {
                let pull = carrier.heading.dot(&(part.pull_on(index) * *tension));
                sum += pull;
                term = term.max(pull.abs());
            }
            residual = if (sum / term).is_finite() { residual.max((sum / term).abs()) } else { f64::NAN };
            if residual.is_nan() {
                break;
            }
        }
        TackleForces { tackle: self, load_n, unit_n, largest, report: SolveReport::new(1, residual) }
    }
}

impl PartData {
    /// The direction in which the part pulls a carrier; zero if it isn't at it.
    fn pull_on(&self, carrier: usize) -> Vector3<f64> {
        if self.from() == carrier {
            self.unit
        } else if self.to() == carrier {
            -self.unit
        } else {
            Vector3::zeros()
        }
    }
}

/// The answer of the first `n` equations, with rows and columns scaled; nothing if there is no unique one.
fn solve(a: &Matrix, n: usize, b: &Vector) -> Option<Vector> {
    let mut scaled = *a;
    let mut right = *b;
    let mut column_scale = Vector::repeat(1.0);
    for i in 0..n.min(MAX_MOVING) {
        let largest = scaled.row(i).amax();
        scaled.row_mut(i).unscale_mut(largest);
        right.row_mut(i).unscale_mut(largest);
    }
    for j in 0..n.min(MAX_MOVING) {
        let largest = scaled.column(j).amax();
        scaled.column_mut(j).unscale_mut(largest);
        *column_scale.get_mut(j)? = largest;
    }
    if !scaled.iter().all(|x| x.is_finite()) {
        return None;
    }
    let lu = Lu::of(&scaled, n);
    let sizes = || lu.pivots().map(f64::abs);
    if sizes().fold(f64::INFINITY, f64::min) <= RANK_TOLERANCE * sizes().fold(0.0, f64::max) {
        return None;
    }
    let answer = lu.solve(&right)?.component_div(&column_scale);
    answer.iter().all(|x| x.is_finite()).then_some(answer)
}

/// The load divided by the hand force: without losses, hauling and lowering.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Advantage {
    /// Without losses; equal to the velocity ratio.
    pub ideal: Ratio,
    /// While the load comes: at most the ideal, as a rule.
    pub hauling: Ratio,
    /// While the load goes: at least the ideal, as a rule.
    pub lowering: Ratio,
}

/// The tension of every part and the force on every carrier of a tackle.
#[derive(Debug, Clone, Copy)]
pub struct TackleForces<'a> {
    tackle: &'a Tackle,
    load_n: f64,
    /// For a load of 1 N, as solved.
    unit_n: [f64; MAX_PARTS],
    /// The largest of them.
    largest: f64,
    report: SolveReport,
}

/// The tension of a part.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct PartForce {
    /// Which part.
    pub part: TacklePart,
    /// Its tension.
    pub tension: Force,
}

/// The force on a sheave, connector or bar.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct SheaveForce {
    /// Where it sits.
    pub carrier: CarrierId,
    /// The rope over it.
    pub rope: RopeId,
    /// Which stop of that rope it is, from 0.
    pub stop: usize,
    /// How far the rope turns.
    pub turn: Angle,
    /// What the rope does to it.
    pub force: Force3,
}

impl<'a> TackleForces<'a> {
    /// The tension of every part in newtons; of what is no part, zero.
    fn tensions_n(&self) -> impl Iterator<Item = f64> + '_ {
        // Rounding below zero is slack.
        let slack = -SLACK_TOLERANCE * self.largest;
        self.unit_n.iter().map(move |t| t * if *t < 0.0 && *t > slack { 0.0 } else { self.load_n })
    }

    /// The force at the hand or winch; zero when the load is held by a capture.
    #[must_use]
    pub fn hand(&self) -> Force {
        let run = self.tackle.runs.iter().find_map(|r| match r.kind {
            RunKind::HandFirst => Some(r.first()),
            RunKind::HandLast => Some(r.last()),
            _ => None,
        });
        newtons(run.and_then(|i| self.tensions_n().nth(i)).unwrap_or(0.0))
    }

    /// The load for which they were found.
    #[must_use]
    pub fn load(&self) -> Force {
        newtons(self.load_n)
    }

    /// The tension of every part, in the order in which the ropes were reeved.
    pub fn parts(&self) -> impl Iterator<Item = PartForce> + '_ {
        let parts = self.tackle.parts.iter().zip(self.tensions_n());
        parts.map(|(p, t)| PartForce { part: p.into(), tension: newtons(t) })
    }

    /// The highest tension of any part.
    #[must_use]
    pub fn highest(&self) -> Force {
        newtons(self.tensions_n().fold(0.0, f64::max))
    }

    /// The force that all ropes together put on a carrier.
    ///
    /// On an anchor: what it must hold. On the load: its pull, and across its heading what the ground takes. On a
    /// travelling block or grab: nothing along its heading.
    #[must_use]
    pub fn on(&self, carrier: CarrierId) -> Force3 {
        let mut sum = Vector3::zeros();
        for (part, tension) in self.tackle.parts.iter().zip(self.tensions_n()) {
            sum += part.pull_on(usize::from(carrier.0)) * tension;
        }
        Force3::from_si(sum)
    }

    /// The force on every sheave, in the order in which the ropes reach them.
    pub fn sheaves(&self) -> impl Iterator<Item = SheaveForce> + '_ {
        let parts = || self.tackle.parts.iter().zip(self.tensions_n());
        parts().zip(parts().skip(1)).filter_map(|((before, before_n), (after, after_n))| {
            let stop = self.tackle.stops.get(after.first_stop())?;
            stop.stop.turn()?;
            let force = after.unit * after_n - before.unit * before_n;
            Some(SheaveForce {
                carrier: stop.stop.carrier(),
                rope: RopeId(after.rope),
                stop: after.index.into(),
                turn: radians(stop.wrap),
                force: Force3::from_si(force),
            })
        })
    }

    /// The residual of every carrier's balance, each summed again from the tensions of the parts.
    #[must_use]
    pub fn report(&self) -> SolveReport {
        self.report
    }

    /// Lets an answer out only if every balance closes. Not a number fails too.
    fn certified(self) -> Result<Self, TackleError> {
        let residual = self.report.residual;
        if residual <= RESIDUAL_TOLERANCE { Ok(self) } else { Err(TackleError::Unsolved { residual }) }
    }

    fn pushing(&self) -> Option<&'a PartData> {
        let pushes = self.unit_n.iter().position(|t| *t < -SLACK_TOLERANCE * self.largest)?;
        self.tackle.parts.get(pushes)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::metres;
    use crate::sheave::Turn;
    use crate::tackle::{Layout, Usual, UsualRatio};

    #[test]
    fn tensions_that_do_not_balance_are_refused() {
        let layout = Layout::new(metres(40.0), metres(10.0)).unwrap();
        let pulley = Turn::sheave(ratio(0.9)).unwrap();
        let tackle = Usual::new(UsualRatio::ThreeToOne).build_alike(&layout, pulley).unwrap();
        let (unknowns, shares) = (tackle.unknowns(), tackle.shares(Case::Moving(Motion::Hauling)));
        let good = solve(&tackle.balance(&unknowns, &shares), tackle.moving, &tackle.pull()).unwrap();
        let put_back = |tensions: &Vector| tackle.put_back(1000.0, &unknowns, &shares, tensions).certified();
        assert!(put_back(&good).is_ok());
        for off in [1e-10, -1e-10, f64::NAN, f64::INFINITY] {
            let mut bad = good;
            bad[0] += off;
            assert!(matches!(put_back(&bad), Err(TackleError::Unsolved { .. })), "{off}");
        }
    }
}
