//! Pieces of rope end to end, which all pull alike and each stretch in their own way.

use super::{MOST_PIECES, SHORTEST_M, Stopping, stop};
use crate::error::{Allowed, InputError, check};
use crate::quantity::{Length, metres};
use crate::rope::Stretch;

/// A piece of rope.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Segment {
    length_m: f64,
    stretch: Stretch,
}

impl Segment {
    fn new(length: Length, stretch: Stretch) -> Result<Self, InputError> {
        Ok(Self { length_m: check("rope_length", length, Allowed::AtLeast(SHORTEST_M))?, stretch })
    }

    /// Elongation under a tension.
    fn elongation_m(&self, tension_n: f64) -> f64 {
        self.length_m * self.stretch.strain_at(tension_n)
    }

    /// Energy taken up under a tension.
    fn energy_j(&self, tension_n: f64) -> f64 {
        // L·∫T dε
        self.length_m * self.stretch.energy_at(self.stretch.strain_at(tension_n))
    }

    /// How much it gives for a further newton.
    fn flexibility_m_per_n(&self, tension_n: f64) -> f64 {
        // L/(dT/dε)
        self.length_m / self.stretch.tangent_at(self.stretch.strain_at(tension_n))
    }
}

/// Up to [`MOST_PIECES`] of them end to end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pieces {
    first: Segment,
    others: [Option<Segment>; MOST_PIECES - 1],
}

/// A rope that has stopped a load.
pub(super) struct StoppedRope {
    pub(super) peak_n: f64,
    pub(super) elongation_m: f64,
    /// Taken up by the rope.
    pub(super) energy_j: f64,
    pub(super) steps: u32,
}

impl Pieces {
    pub(super) fn one(length: Length, stretch: Stretch) -> Result<Self, InputError> {
        Ok(Self { first: Segment::new(length, stretch)?, others: [None; MOST_PIECES - 1] })
    }

    /// With another piece at its end.
    pub(super) fn and(mut self, length: Length, stretch: Stretch) -> Result<Self, InputError> {
        let piece = Segment::new(length, stretch)?;
        let Some(free) = self.others.iter_mut().find(|piece| piece.is_none()) else {
            #[allow(clippy::cast_precision_loss, reason = "a handful")]
            let (given, most) = ((MOST_PIECES + 1) as f64, MOST_PIECES as f64);
            return Err(InputError::new("pieces", given, "", Allowed::AtMost(most)));
        };
        *free = Some(piece);
        Ok(self)
    }

    /// With more of the first piece.
    pub(super) fn with_longer_first(self, by_m: f64) -> Result<Self, InputError> {
        let first = Segment::new(metres(self.first.length_m + by_m), self.first.stretch)?;
        Ok(Self { first, ..self })
    }

    /// The same rope as it answers to what comes on top of a tension that it has already.
    ///
    /// T(ε₀ + δ) − T(ε₀) = (a + 2b·ε₀)·δ + b·δ²: a rope of the same kind.
    pub(super) fn beyond(self, tension_n: f64) -> Self {
        let beyond = |piece: Segment| Segment {
            stretch: piece.stretch.beyond(piece.stretch.strain_at(tension_n)),
            ..piece
        };
        Self { first: beyond(self.first), others: self.others.map(|piece| piece.map(beyond)) }
    }

    fn all(&self) -> impl Iterator<Item = &Segment> {
        core::iter::once(&self.first).chain(self.others.iter().flatten())
    }

    fn is_one(&self) -> bool {
        self.others.iter().all(Option::is_none)
    }

    fn sum(&self, of: impl Fn(&Segment) -> f64) -> f64 {
        self.all().map(of).sum()
    }

    pub(super) fn length_m(&self) -> f64 {
        self.sum(|piece| piece.length_m)
    }

    pub(super) fn elongation_m(&self, tension_n: f64) -> f64 {
        self.sum(|piece| piece.elongation_m(tension_n))
    }

    pub(super) fn energy_j(&self, tension_n: f64) -> f64 {
        self.sum(|piece| piece.energy_j(tension_n))
    }

    pub(super) fn flexibility_m_per_n(&self, tension_n: f64) -> f64 {
        self.sum(|piece| piece.flexibility_m_per_n(tension_n))
    }

    /// The tension that stretches it by so much.
    ///
    /// Σ Lᵢ·εᵢ(T) rises and is concave, so Newton's method goes up to the root from below without overshooting. One
    /// piece starts at its answer.
    pub(super) fn tension_n(&self, elongation_m: f64) -> f64 {
        if self.is_one() {
            return self.first.stretch.tension_at(elongation_m / self.first.length_m);
        }
        let mut tension_n = 0.0;
        for _ in 0..100 {
            let short_m = elongation_m - self.elongation_m(tension_n);
            let next = tension_n + short_m / self.flexibility_m_per_n(tension_n);
            if !(short_m > 0.0 && next > tension_n) {
                break;
            }
            tension_n = next;
        }
        tension_n
    }

    /// Where it has taken up this energy and what the load loses on the stretch.
    ///
    /// Σ Lᵢ·∫Tᵢ dε = E + W·Σ Lᵢ·εᵢ
    pub(super) fn stop(&self, weight_n: f64, energy_j: f64) -> StoppedRope {
        let alone = |piece: &Segment| {
            let (a_n, b_n) = (piece.stretch.a_n(), piece.stretch.b_n());
            // L·∫T dε − W·L·ε = E
            stop(a_n, b_n, weight_n, energy_j / piece.length_m)
        };
        if self.is_one() {
            let rope = self.first;
            let Stopping { strain, added_n, steps } = alone(&rope);
            return StoppedRope {
                peak_n: added_n,
                elongation_m: rope.length_m * strain,
                energy_j: rope.length_m * rope.stretch.energy_at(strain),
                steps,
            };
        }
        // g(F) = Σ Lᵢ·(∫Tᵢ dε − W·εᵢ) − E, whose slope is g' = (F − W)·Σ Lᵢ/(dTᵢ/dεᵢ). Above W it is convex, since a
        // piece's share of g'' is L/√D·(1 − 2b·(F − W)/D) with D = a² + 4b·F, so that Newton's method goes down to
        // the root without overshooting. From 3W on no piece gains less than it costs (T = b·ε² has ∫T dε = T·ε/3),
        // so there the piece that would stop the load alone at the least force is an upper bound.
        let (mut peak_n, mut steps) = (f64::INFINITY, 0);
        for own in self.all().map(alone) {
            peak_n = peak_n.min(own.added_n);
            steps += own.steps;
        }
        peak_n = peak_n.max(3.0 * weight_n);
        for _ in 0..100 {
            let excess =
                self.sum(|piece| piece.energy_j(peak_n) - weight_n * piece.elongation_m(peak_n)) - energy_j;
            let slope = (peak_n - weight_n) * self.flexibility_m_per_n(peak_n);
            let next = peak_n - excess / slope;
            steps += 1;
            if !(excess > 0.0 && slope > 0.0 && next < peak_n) {
                break;
            }
            peak_n = next;
        }
        StoppedRope {
            peak_n,
            elongation_m: self.elongation_m(peak_n),
            energy_j: self.energy_j(peak_n),
            steps,
        }
    }
}
