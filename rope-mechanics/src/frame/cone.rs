//! The cone of resultants that a frame bears, one vertical plane after another.

use super::legs_and_guys::Members;
use super::stability::{IN_PLANE, lone_margin, sides};
use super::{Frame, FrameError};
use crate::math::{self, lists::add};
use crate::members;
use crate::quantity::{Angle, radians};
use arrayvec::ArrayVec;
use core::f64::consts::{FRAC_PI_2, PI};
use nalgebra::Vector3;

/// What a frame bears in one vertical half-plane of resultants.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct ConeEdge {
    /// The side towards which the resultant leans, from x towards y.
    pub azimuth: Angle,
    /// Least and greatest tilt from straight down at which the frame stands; `None` if it falls at every tilt.
    pub stands: Option<(Angle, Angle)>,
    /// The part of that in which no leg or guy exceeds its strength; `None` if none, or if it stands nowhere.
    ///
    /// Of several parts, the one around the least use of strength, as 90 tilts and the middles of all parts say it. Its ends
    /// are where a force reaches a strength, in closed form; those of what stands are approached to 1e-9 rad.
    pub bears: Option<(Angle, Angle)>,
}

/// See [`Frame::cone_edge`].
pub(super) fn cone_edge(frame: &Frame, azimuth: f64, size_n: f64) -> Result<ConeEdge, FrameError> {
    let members = Members::of(frame)?;
    let (sin, cos) = (math::sin(azimuth), math::cos(azimuth));
    // The push needed at a tilt of t is z·cos t − e·sin t; on the inner side of n: n_z·cos t − n_e·sin t ≥ 0.
    let (mut from, mut to) = (0.0_f64, PI);
    let mut any = false;
    sides(&members, |side| {
        any = true;
        let lean = side.inward.x * cos + side.inward.y * sin;
        let up = side.inward.z;
        if math::hypot(lean, up) <= IN_PLANE {
            return;
        }
        // cos(t + ψ) ≥ 0
        let psi = math::atan2(lean, up);
        if psi > FRAC_PI_2 {
            from = from.max(3.0 * FRAC_PI_2 - psi);
        } else {
            from = from.max(-FRAC_PI_2 - psi);
            to = to.min(FRAC_PI_2 - psi);
        }
    });
    if !any {
        // All in one line, which holds nothing but itself; or all the way around.
        let down = lone_margin(&members, Vector3::new(0.0, 0.0, 1.0));
        if down < PI {
            (from, to) = if down >= -IN_PLANE { (0.0, 0.0) } else { (1.0, 0.0) };
        }
    }
    let mut edge = ConeEdge { azimuth: radians(azimuth), stands: None, bears: None };
    if from > to + IN_PLANE {
        return Ok(edge);
    }
    to = to.max(from);
    edge.stands = Some((radians(from), radians(to)));

    edge.bears = Strengths::new(frame, members, (cos, sin), size_n).bears(from, to)?;
    Ok(edge)
}

/// The forces of legs and guys under a resultant of one size that leans to one side, against their strengths.
///
/// As long as the same members carry, each force is C·cos t + S·sin t with t the tilt: it follows from two tilts, and so
/// does where it reaches a strength, or where a member goes slack. The tilts at which the same ones carry have no gap
/// between them: all forces that such a set balances with one shift of the head are a convex cone.
struct Strengths {
    members: Members,
    strengths_n: [f64; members::MOST],
    towards: (f64, f64),
    size_n: f64,
}

/// What the members carry at a tilt.
#[derive(Debug, Clone, Copy)]
struct Look {
    tilt: f64,
    /// None where the frame falls.
    forces_n: Option<[f64; members::MOST]>,
    /// Which members carry, a bit for each.
    carrying: u32,
}

impl Look {
    fn is_like(&self, other: &Self) -> bool {
        self.forces_n.is_some() == other.forces_n.is_some() && self.carrying == other.carrying
    }
}

/// Tilts this close are one.
const CLOSE: f64 = 1e-9;
/// Two tilts from which others follow are no farther apart: at π nothing does.
const APART: f64 = 1.5;
/// A member carries if it takes more than this share of the resultant.
const CARRIES: f64 = 1e-11;
/// Of several parts that are borne, the one around the least use is found by looking at so many tilts.
const LOOKS: u32 = 90;
/// Looks that wait, and all looks at most: of the halvings from 1.5 to 1e-9 rad, some at each of the few tilts where
/// other members carry.
const WAITING: usize = 48;
const MOST_LOOKS: u32 = 4000;

impl Strengths {
    fn new(frame: &Frame, members: Members, towards: (f64, f64), size_n: f64) -> Self {
        let mut strengths_n = [f64::INFINITY; members::MOST];
        let legs = frame.legs.iter().zip(&members.lengths_m).map(|(leg, length_m)| leg.strength_n(*length_m));
        let all = legs.chain(frame.guys.iter().map(|guy| guy.strength_n));
        for (slot, strength_n) in strengths_n.iter_mut().zip(all) {
            *slot = strength_n.unwrap_or(f64::INFINITY);
        }
        Self { members, strengths_n, towards, size_n }
    }

    fn look(&self, tilt: f64) -> Result<Look, FrameError> {
        let (cos, sin) = self.towards;
        let lean = self.size_n * math::sin(tilt);
        let needed = Vector3::new(-lean * cos, -lean * sin, self.size_n * math::cos(tilt));
        let balance = members::balance(self.members.all(), needed).ok_or(FrameError::Unsolved)?;
        let mut look = Look { tilt, forces_n: None, carrying: 0 };
        if balance.holds() {
            for (i, (m, x)) in self.members.all().iter().zip(&balance.forces).enumerate() {
                look.carrying |= u32::from(m.both_ways || *x > CARRIES * self.size_n) << i;
            }
            look.forces_n = Some(balance.forces);
        }
        Ok(look)
    }

    /// Force by strength of the member nearest to its limit; above any limit where the frame falls.
    fn used(&self, look: &Look) -> f64 {
        look.forces_n.map_or(f64::INFINITY, |forces_n| {
            forces_n.iter().zip(&self.strengths_n).fold(0.0, |most: f64, (x, n)| most.max(x / n))
        })
    }

    /// The tilt between two at which another member begins to carry, or one ceases, as two tilts beyond either say.
    fn turning(&self, known: (&Look, &Look), other: &Look, between: (f64, f64)) -> Option<f64> {
        let (one, two) = (known.0.forces_n.as_ref()?, known.1.forces_n.as_ref()?);
        let ends = known.1.carrying & !other.carrying;
        let mut nearest: Option<f64> = None;
        for (a, b) in one.iter().zip(two).enumerate().filter(|(i, _)| ends >> i & 1 == 1).map(|(_, x)| x) {
            // C·cos t + S·sin t = 0, t from the first of the two
            let (c, s) = wave(*a, *b, known.1.tilt - known.0.tilt);
            let zero = known.0.tilt + math::atan2(-c, s);
            for zero in [zero - PI, zero, zero + PI] {
                let first = nearest
                    .is_none_or(|nearest| (zero - known.1.tilt).abs() < (nearest - known.1.tilt).abs());
                if zero > between.0 && zero < between.1 && first {
                    nearest = Some(zero);
                }
            }
        }
        nearest
    }

    /// The tilts around the least use at which no member exceeds its strength.
    fn bears(&self, from: f64, to: f64) -> Result<Option<(Angle, Angle)>, FrameError> {
        if self.strengths_n.iter().all(|n| *n == f64::INFINITY) {
            return Ok(Some((radians(from), radians(to))));
        }
        // The very ends may fall by rounding.
        let inward = |end: f64, by: f64| -> Result<Look, FrameError> {
            let look = self.look(end)?;
            if look.forces_n.is_some() || to - from <= 2.0 * CLOSE { Ok(look) } else { self.look(end + by) }
        };
        let mut left = inward(from, CLOSE)?;
        let mut waiting = ArrayVec::<Look, WAITING>::new();
        waiting.try_push(inward(to, -CLOSE)?).map_err(|_| FrameError::Unsolved)?;
        let mut before: Option<Look> = None;
        let mut parts = Parts::beginning(&left, self.used(&left));
        let step = (to - from) / f64::from(LOOKS);
        let mut looks = 0;
        while let Some(right) = waiting.last() {
            let (a, b) = (left.tilt, right.tilt);
            if b - a <= CLOSE || left.is_like(right) && b - a <= APART {
                if b - a > CLOSE && left.forces_n.is_some() {
                    self.along(&left, right, (from, step), &mut parts);
                }
                parts.add(b, self.used(right));
                before = Some(left).filter(|left| left.is_like(right));
                left = *right;
                waiting.pop();
                continue;
            }
            looks += 1;
            if looks > MOST_LOOKS {
                return Err(FrameError::Unsolved);
            }
            let after =
                waiting.len().checked_sub(2).and_then(|i| waiting.get(i)).filter(|x| x.is_like(right));
            let ahead = before.as_ref().and_then(|before| self.turning((before, &left), right, (a, b)));
            let back = || after.and_then(|after| self.turning((after, right), &left, (a, b)));
            // On both sides of where the members that carry are said to change, or else in the middle.
            let next = match ahead.or_else(back) {
                Some(turn) if b - a > 4.0 * CLOSE => [turn + 0.4 * CLOSE, turn - 0.4 * CLOSE].map(Some),
                _ => [Some(0.5 * (a + b)), None],
            };
            for tilt in next.into_iter().flatten().filter(|tilt| *tilt > a && *tilt < b) {
                waiting.try_push(self.look(tilt)?).map_err(|_| FrameError::Unsolved)?;
            }
        }
        Ok(parts.best().map(|(from, to)| (radians(from), radians(to))))
    }

    /// What is borne between two tilts at which the same members carry.
    fn along(&self, left: &Look, right: &Look, (from, step): (f64, f64), parts: &mut Parts) {
        let (Some(one), Some(two)) = (&left.forces_n, &right.forces_n) else { return };
        let width = right.tilt - left.tilt;
        let mut waves = ArrayVec::<(f64, f64), { members::MOST }>::new();
        // Where a force reaches a strength: R·cos(t − φ) = 1, R and φ by the strength.
        let mut limits = ArrayVec::<f64, { 2 * members::MOST }>::new();
        for ((a, b), strength_n) in one.iter().zip(two).zip(&self.strengths_n).filter(|(_, n)| n.is_finite())
        {
            let (c, s) = wave(a / strength_n, b / strength_n, width);
            let size = math::hypot(c, s);
            if size > 1.0 {
                let (top, aside) = (math::atan2(s, c), math::acos(1.0 / size));
                for limit in [top - aside, top + aside] {
                    add(&mut limits, limit);
                }
            }
            add(&mut waves, (c, s));
        }
        let used = |t: f64| {
            let (sin, cos) = (math::sin(t), math::cos(t));
            waves.iter().fold(0.0, |most: f64, (c, s)| most.max(c * cos + s * sin))
        };
        let mut begin = 0.0;
        while begin < width {
            let end = limits.iter().copied().filter(|limit| *limit > begin).fold(width, f64::min);
            let middle = used(0.5 * (begin + end));
            parts.reach(left.tilt + begin, left.tilt + end, middle);
            if middle <= 1.0 && step > 0.0 {
                let mut look = math::floor((left.tilt + begin - from) / step) + 1.0;
                while from + look * step < left.tilt + end {
                    parts.least = parts.least.min(used(from + look * step - left.tilt));
                    look += 1.0;
                }
            }
            begin = end;
        }
    }
}

/// C and S of C·cos t + S·sin t, which is a at 0 and b at `width`.
fn wave(a: f64, b: f64, width: f64) -> (f64, f64) {
    (a, (b - a * math::cos(width)) / math::sin(width))
}

/// The parts that are borne, as far as they are known: the best so far, and the last one.
struct Parts {
    /// Its ends, and its least use.
    best: Option<(f64, f64, f64)>,
    open: Option<(f64, f64)>,
    least: f64,
}

impl Parts {
    fn beginning(look: &Look, used: f64) -> Self {
        let mut parts = Self { best: None, open: None, least: f64::INFINITY };
        parts.add(look.tilt, used);
        parts
    }

    /// A tilt, and what is used there.
    fn add(&mut self, tilt: f64, used: f64) {
        self.reach(tilt, tilt, used);
    }

    /// All from one tilt to another is borne, or none of it is.
    fn reach(&mut self, begin: f64, end: f64, used: f64) {
        if used <= 1.0 {
            self.open = Some((self.open.map_or(begin, |open| open.0), end));
            self.least = self.least.min(used);
        } else {
            self.close();
        }
    }

    fn close(&mut self) {
        if let Some((begin, end)) = self.open.take()
            && self.best.is_none_or(|(_, _, least)| self.least < least)
        {
            self.best = Some((begin, end, self.least));
        }
        self.least = f64::INFINITY;
    }

    fn best(mut self) -> Option<(f64, f64)> {
        self.close();
        self.best.map(|(begin, end, _)| (begin, end))
    }
}
