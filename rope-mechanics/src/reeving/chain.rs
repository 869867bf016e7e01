//! The tensions along a rope as a chain of linear relations, and what friction may do to each of them.
//!
//! Spots 2p and 2p + 1 are the pulling and the standing side of part p. A strand fixes the tension of its standing
//! side from that of its pulling side; a turn at rest only bounds it:
//!
//! T₂ₚ₊₁ = s·T₂ₚ + c,  T₂ₚ₊₁/ρ_hauling ≤ T₂ₚ₊₂ ≤ T₂ₚ₊₁/ρ_lowering,  T ≥ 0 everywhere,  T_a + T_b = S
//!
//! All of these are linear, so the states of the rope are a convex set, and each tension an interval. From a tension y
//! at spot p the least and the greatest tension at any other spot follow link by link; both grow with y. A least one
//! is no less than what the rest of the rope needs in order not to go slack: its floor. So y may have any value that
//! satisfies
//!
//! least T_a(y) + least T_b(y) ≤ S ≤ greatest T_a(y) + greatest T_b(y),  y ≥ floor at p
//!
//! and the ends of this interval are attained: the state is one of the two paths, or one between them.

use super::{MAX_PARTS, ReevingError, Strand};
use crate::math;
use crate::quantity::{Band, Force, newtons};

const MAX_SPOTS: usize = 2 * MAX_PARTS;
/// Far outside any rope, and far inside of what the loads on the turns can be computed from.
const GREATEST_N: f64 = 1e100;
/// What rounding can do to two values of the same tension, of 34 spots and with room: by the larger of the two.
const ROUNDING: f64 = 1e-12;

/// The relations of one rope, in newtons.
#[derive(Debug)]
pub(super) struct TensionChain {
    links: [Link; MAX_SPOTS],
    spots: usize,
    known: [usize; 2],
    total_n: f64,
    /// Whether every turn has one ratio only.
    moves: bool,
    greatest_rise_n: f64,
    /// The least tension at each spot with which the parts towards the standing end, and those towards the pulling
    /// end, can all have T ≥ 0.
    floors_n: [[f64; MAX_SPOTS]; 2],
}

/// From a spot to the next one towards the standing end: the least and the greatest slope, that without friction, and
/// what is added.
#[derive(Debug, Clone, Copy)]
struct Link {
    least: f64,
    greatest: f64,
    smooth: f64,
    rise_n: f64,
}

/// Which of the tensions that friction allows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Extreme {
    Least,
    Greatest,
    /// What there is without friction.
    Smooth,
}

impl Link {
    const NONE: Self = Self { least: 1.0, greatest: 1.0, smooth: 1.0, rise_n: 0.0 };

    /// Towards the standing end: T' = m·T + c.
    fn slope(&self, extreme: Extreme) -> f64 {
        match extreme {
            Extreme::Least => self.least,
            Extreme::Greatest => self.greatest,
            Extreme::Smooth => self.smooth,
        }
    }

    /// Towards the pulling end: T = (T' − c)/m, least with the greatest m.
    fn slope_back(&self, extreme: Extreme) -> f64 {
        match extreme {
            Extreme::Least => self.greatest,
            Extreme::Greatest => self.least,
            Extreme::Smooth => self.smooth,
        }
    }
}

/// A tension as it follows from the tension y of another spot: max(slope·y + offset, floor).
#[derive(Debug, Clone, Copy)]
pub(super) struct Reached {
    slope: f64,
    offset_n: f64,
    floor_n: f64,
}

impl Reached {
    const ITSELF: Self = Self { slope: 1.0, offset_n: 0.0, floor_n: f64::NEG_INFINITY };

    pub(super) fn at(&self, y_n: f64) -> f64 {
        (self.slope * y_n + self.offset_n).max(self.floor_n)
    }

    /// The greatest y that leads to no more than this.
    pub(super) fn greatest_for(&self, tension_n: f64) -> f64 {
        (tension_n - self.offset_n) / self.slope
    }
}

/// The tensions that one spot can have.
#[derive(Debug, Clone, Copy)]
pub(super) struct Interval {
    pub(super) low_n: f64,
    pub(super) high_n: f64,
    /// Without friction; moving, what it is.
    expected_n: f64,
    /// The least tensions at the two known spots, by the tension here.
    pub(super) least: [Reached; 2],
    pub(super) residual: f64,
}

impl Interval {
    pub(super) fn band(&self) -> Band<Force> {
        Band::around(newtons(self.low_n), newtons(self.expected_n), newtons(self.high_n))
    }
}

impl TensionChain {
    /// Of no rope yet.
    pub(super) const EMPTY: Self = Self {
        links: [Link::NONE; MAX_SPOTS],
        spots: 0,
        known: [0; 2],
        total_n: 0.0,
        moves: true,
        greatest_rise_n: 0.0,
        floors_n: [[0.0; MAX_SPOTS]; 2],
    };

    /// Sets an empty chain. `ratios` gives the greatest and least ratio ρ of each turn, the same for a rope that moves.
    #[inline(never)] // so that the chain stands on the stack once
    pub(super) fn set(
        &mut self,
        strands: &[Strand; MAX_PARTS],
        ratios: impl Fn(usize) -> (f64, f64),
        turns: usize,
        known: [usize; 2],
        total_n: f64,
    ) {
        (self.spots, self.known, self.total_n) = (2 * turns + 2, known, total_n);
        for (link, strand) in self.links.iter_mut().step_by(2).zip(strands).take(turns + 1) {
            let scale = strand.scale;
            *link = Link { least: scale, greatest: scale, smooth: scale, rise_n: strand.rise_n };
            self.greatest_rise_n = self.greatest_rise_n.max(strand.rise_n.abs());
        }
        for (turn, link) in self.links.iter_mut().skip(1).step_by(2).enumerate().take(turns) {
            let (hauling, lowering) = ratios(turn);
            *link = Link { least: 1.0 / hauling, greatest: 1.0 / lowering, ..Link::NONE };
            self.moves &= link.least == link.greatest;
        }
        self.set_floors();
    }

    fn set_floors(&mut self) {
        let [standing, pulling] = &mut self.floors_n;
        let count = self.spots - 1;
        let mut floor = 0.0_f64;
        // greatest T' = m·T + c ≥ floor'
        for (link, slot) in self.links.iter().zip(standing.iter_mut()).take(count).rev() {
            floor = ((floor - link.rise_n) / link.greatest).max(0.0);
            *slot = floor;
        }
        floor = 0.0;
        // greatest T = (T' − c)/m ≥ floor
        for (link, slot) in self.links.iter().zip(pulling.iter_mut().skip(1)).take(count) {
            floor = (floor * link.least + link.rise_n).max(0.0);
            *slot = floor;
        }
    }

    /// The tensions that a spot can have.
    ///
    /// # Errors
    /// A part that goes slack; ratios that multiply to more than a number can hold.
    #[inline(never)] // its frame must not add to that of what calls it
    pub(super) fn interval(&self, spot: usize) -> Result<Interval, ReevingError> {
        let s = self.total_n;
        let (least, high_n) = self.without_floors(spot, Extreme::Least)?;
        if high_n < 0.0 {
            return Err(ReevingError::Slack { part: spot / 2, tension: high_n });
        }
        if self.moves {
            let residual = self.misfit(spot, [(high_n, least); 2]);
            return Ok(Interval { low_n: high_n, high_n, expected_n: high_n, least, residual });
        }
        // The same with one of the two known spots at its floor.
        let [a, b] = least;
        let high_n = high_n.min(a.greatest_for(s - b.floor_n)).min(b.greatest_for(s - a.floor_n));
        let (greatest, low_n) = self.without_floors(spot, Extreme::Greatest)?;
        let low_n = low_n.max(self.floor(0, spot)).max(self.floor(1, spot));
        if low_n - high_n > ROUNDING * low_n.max(self.greatest_rise_n) {
            return Err(self.slack(spot, high_n - low_n));
        }
        let low_n = low_n.min(high_n);
        let residual = self.misfit(spot, [(low_n, greatest), (high_n, least)]);
        let (_, expected_n) = self.without_floors(spot, Extreme::Smooth)?;
        Ok(Interval { low_n, high_n, expected_n, least, residual })
    }

    /// The pairs of tensions before and behind a turn among which its load is greatest, from what each may be.
    ///
    /// The load is convex in the two tensions T₁ and T₂ and grows with both, so that its greatest stands at a corner
    /// where one is as high as it can be and the other as low or as high as that leaves it.
    pub(super) fn extremes(&self, turn: usize, before: &Interval, behind: &Interval) -> [[f64; 2]; 4] {
        let link = self.link(2 * turn + 1);
        let (high_1, high_2) = (before.high_n, behind.high_n);
        // T₁·m_least ≤ T₂ ≤ T₁·m_greatest
        let low_2 = math::clamp(high_1 * link.least, behind.low_n, high_2);
        let low_1 = math::clamp(high_2 / link.greatest, before.low_n, high_1);
        let (mut most_1, mut most_2) = (high_1, high_2);
        let [one, other] = self.known;
        if one.min(other) <= 2 * turn + 1 && one.max(other) >= 2 * turn + 2 {
            // The sum is known of two spots, one on each side: least T_a(T₁) + least T_b(T₂) ≤ S.
            let (a, b) = if one < other { (0, 1) } else { (1, 0) };
            let (left, right) = (before.least.get(a), behind.least.get(b));
            if let (Some(left), Some(right)) = (left, right) {
                most_2 = most_2.min(right.greatest_for(self.total_n - left.at(high_1)));
                most_1 = most_1.min(left.greatest_for(self.total_n - right.at(high_2)));
            }
        }
        [[high_1, low_2], [high_1, most_2.max(low_2)], [most_1.max(low_1), high_2], [low_1, high_2]]
    }

    /// The tension at a spot that an extreme path leads from to the known sum, were a part able to push.
    fn without_floors(&self, spot: usize, extreme: Extreme) -> Result<([Reached; 2], f64), ReevingError> {
        let known @ [a, b] = self.reached(spot, extreme)?;
        // α_a·y + β_a + α_b·y + β_b = S
        let y_n = (self.total_n - a.offset_n - b.offset_n) / (a.slope + b.slope);
        // False for NaN too.
        if y_n.abs() <= GREATEST_N {
            Ok((known, y_n))
        } else {
            Err(ReevingError::TooManyWraps { part: spot / 2 })
        }
    }

    /// The part that is slack whatever friction does; where there is none, parts that can't be taut together.
    fn slack(&self, spot: usize, missing_n: f64) -> ReevingError {
        let worst = (0..self.spots).find_map(|spot| match self.without_floors(spot, Extreme::Least) {
            Ok((_, tension)) if tension < 0.0 => Some(ReevingError::Slack { part: spot / 2, tension }),
            Ok(_) => None,
            Err(error) => Some(error),
        });
        worst.unwrap_or(ReevingError::Slack { part: spot / 2, tension: missing_n })
    }

    fn link(&self, spot: usize) -> Link {
        self.links.get(spot).copied().unwrap_or(Link::NONE)
    }

    fn floor(&self, towards: usize, spot: usize) -> f64 {
        self.floors_n.get(towards).and_then(|floors| floors.get(spot)).copied().unwrap_or(0.0)
    }

    /// The extreme tensions at the two known spots, by the tension at this one.
    fn reached(&self, from: usize, extreme: Extreme) -> Result<[Reached; 2], ReevingError> {
        let mut known = [Reached::ITSELF; 2];
        for (slot, to) in known.iter_mut().zip(self.known) {
            let mut now = Reached::ITSELF;
            // T' = m·T + c, no less than the floor behind it
            for spot in from..to {
                let link = self.link(spot);
                let (m, c) = (link.slope(extreme), link.rise_n);
                let floor_n = (now.floor_n * m + c).max(self.floor(0, spot + 1));
                now = Reached { slope: now.slope * m, offset_n: now.offset_n * m + c, floor_n };
            }
            // T = (T' − c)/m, no less than the floor before it
            for spot in (to..from).rev() {
                let link = self.link(spot);
                let (m, c) = (link.slope_back(extreme), link.rise_n);
                let floor_n = ((now.floor_n - c) / m).max(self.floor(1, spot));
                now = Reached { slope: now.slope / m, offset_n: (now.offset_n - c) / m, floor_n };
            }
            if !(now.slope > 1.0 / GREATEST_N && now.slope < GREATEST_N) {
                return Err(ReevingError::TooManyWraps { part: from / 2 });
            }
            *slot = now;
        }
        Ok(known)
    }

    /// How far the known sum is from what both ends of an interval lead to, by the largest tension and by the largest
    /// term α·y or β of the sum.
    ///
    /// The high end must lead to it by its least path; the low end by its greatest, or where it stands on a floor by
    /// one between its two paths.
    fn misfit(&self, spot: usize, [low, high]: [(f64, [Reached; 2]); 2]) -> f64 {
        let s = self.total_n;
        let sum =
            |y_n: f64, extreme| self.known.map(|to| self.walk(spot, to, y_n, extreme)).iter().sum::<f64>();
        let (least_at_high, least_at_low) = (sum(high.0, Extreme::Least), sum(low.0, Extreme::Least));
        let error = (least_at_high - s).abs().max(s - sum(low.0, Extreme::Greatest)).max(least_at_low - s);
        let scale = [low, high].iter().fold(s, |scale, (y_n, known)| {
            known.iter().fold(scale.max(*y_n), |a, k| a.max((k.slope * y_n).abs()).max(k.offset_n.abs()))
        });
        if scale > 0.0 { error.max(0.0) / scale } else { 0.0 }
    }

    /// Link by link from one spot to another, the friction always at the same extreme.
    fn walk(&self, from: usize, to: usize, y_n: f64, extreme: Extreme) -> f64 {
        let mut tension_n = y_n;
        for spot in from..to {
            let link = self.link(spot);
            tension_n = (link.slope(extreme) * tension_n + link.rise_n).max(self.floor(0, spot + 1));
        }
        for spot in (to..from).rev() {
            let link = self.link(spot);
            tension_n = ((tension_n - link.rise_n) / link.slope_back(extreme)).max(self.floor(1, spot));
        }
        tension_n
    }
}
