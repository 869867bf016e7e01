//! What friction may leave along the track rope, in closed form.
//!
//! Outward of the head both strands are one line, so that the rope is a chain of turns between parts without weight:
//! capstan, redirect (ρ₁), head (ρ₂), far sheave (ρ₃), head (ρ₄), load cell. Each turn at rest holds any ρ from η to
//! 1/η, counted from the capstan on. With S the tension of both strands at the head
//!
//! T₂ = S·ρ₃/(1 + ρ₃), T₃ = S/(1 + ρ₃), to the redirect ρ₂·T₂, at the capstan ρ₁·ρ₂·T₂, to the cell T₃/ρ₄
//!
//! Everything here is in proportion to S. [`reeving`](crate::reeving) solves the same for any rope, whatever its strands
//! weigh; a test holds the two against each other.

use super::model::Model;
use crate::geometry::{Direction3, Point3};
use crate::math;
use crate::quantity::{Band, Force, newtons};
use nalgebra::Vector3;

/// The least and the greatest ratio of a turn: η, 1/η.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Ratios {
    pub(super) low: f64,
    pub(super) high: f64,
}

impl Ratios {
    pub(super) fn of(turn: &crate::sheave::Turn, angle_rad: f64) -> Self {
        let (hauling, lowering) = turn.ratios(angle_rad);
        Self { low: lowering, high: hauling }
    }

    pub(super) fn is_lossy(&self) -> bool {
        self.high > self.low
    }

    /// Both ends, and whether it is the high one; one end where there is no friction.
    pub(super) fn ends(&self) -> impl Iterator<Item = (f64, bool)> + use<> {
        let lossy = self.is_lossy();
        let first = (if lossy { self.high } else { 1.0 }, true);
        core::iter::once(first).chain(lossy.then_some((self.low, false)))
    }
}

/// Where the track rope goes behind the head, and what its redirect holds: the same in every state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct BehindTrack {
    pub(super) to_redirect: Vector3<f64>,
    pub(super) to_cell: Vector3<f64>,
    /// Of the redirect, and from it to the capstan and to the head; none where the rope goes straight past it.
    redirect: Option<(Ratios, Vector3<f64>, Vector3<f64>)>,
}

impl BehindTrack {
    /// Of a track rope whose places are known to be apart from each other.
    pub(super) fn of(track: &super::TrackValues, head: Point3) -> Result<Self, crate::error::InputError> {
        let towards = |from: Point3, to: Point3| Ok(Direction3::between(from, to)?.unit());
        let at = track.redirect.at;
        let redirect = if track.redirect.holds {
            let (to_capstan, to_head) = (towards(at, track.capstan)?, towards(at, head)?);
            let turn = Ratios::of(&track.redirect.turn, turn_rad(to_capstan, to_head));
            Some((turn, to_capstan, to_head))
        } else {
            None
        };
        Ok(Self {
            to_redirect: towards(head, if track.redirect.holds { at } else { track.capstan })?,
            to_cell: towards(head, track.cell_anchor)?,
            redirect,
        })
    }
}

/// The turns of the track rope while its line leaves the head in one direction.
#[derive(Debug, Clone, Copy)]
pub(super) struct TrackTurns {
    both_n: f64,
    out: Vector3<f64>,
    behind: BehindTrack,
    pub(super) leaving: Ratios,
    pub(super) far: Ratios,
    pub(super) returning: Ratios,
}

/// What each place of the track rope takes at rest, at the worst of what friction may leave there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct TrackAtRest {
    /// What the cell may show.
    pub(super) cell: Band<Force>,
    pub(super) capstan: Force,
    /// The highest tension anywhere in the rope.
    pub(super) highest: Force,
    pub(super) on_redirect: Force,
    /// On the more loaded of the two sheaves on the head.
    pub(super) on_head: Force,
}

impl TrackTurns {
    /// For both strands together at the head, and their pull on it, which isn't zero.
    pub(super) fn new(model: &Model<'_>, both_n: f64, line: Vector3<f64>) -> Self {
        let track = &model.values().track;
        let behind = model.behind_turns;
        let out = line / math::sqrt(line.norm_squared());
        Self {
            both_n,
            out,
            behind,
            // The rope turns by what the two parts leave of a half turn.
            leaving: Ratios::of(&track.head_turn, turn_rad(behind.to_redirect, out)),
            far: Ratios::of(&track.far_turn, core::f64::consts::PI),
            returning: Ratios::of(&track.head_turn, turn_rad(out, behind.to_cell)),
        }
    }

    /// Tension of the strand that goes out and of the one that comes back, at the head.
    pub(super) fn strands_n(&self, far: f64) -> (f64, f64) {
        // T₃ = S/(1 + ρ₃), T₂ = ρ₃·T₃
        let back_n = self.both_n / (1.0 + far);
        (far * back_n, back_n)
    }

    pub(super) fn at_rest(&self) -> TrackAtRest {
        let (most_out_n, least_back_n) = self.strands_n(self.far.high);
        let (_, most_back_n) = self.strands_n(self.far.low);
        let behind_n = self.leaving.high * most_out_n;
        // A load is convex in the two tensions of its turn, so that it is greatest at an end of ρ.
        let greatest = |tension_n: f64, along: Vector3<f64>, ratios: [f64; 2], other: Vector3<f64>| {
            let size = |ratio: f64| math::sqrt((along + ratio * other).norm_squared());
            tension_n * size(ratios[0]).max(size(ratios[1]))
        };
        let BehindTrack { to_redirect, to_cell, redirect } = self.behind;
        let (capstan_n, on_redirect_n) = match redirect {
            Some((turn, to_capstan, to_head)) => {
                (turn.high * behind_n, greatest(behind_n, to_head, [turn.low, turn.high], to_capstan))
            }
            None => (behind_n, 0.0),
        };
        let leaving = [self.leaving.low, self.leaving.high];
        let returning = [1.0 / self.returning.high, 1.0 / self.returning.low];
        let on_head_n = greatest(most_out_n, self.out, leaving, to_redirect).max(greatest(
            most_back_n,
            self.out,
            returning,
            to_cell,
        ));
        let cell_n = (least_back_n / self.returning.high, most_back_n / self.returning.low);
        TrackAtRest {
            cell: Band::around(newtons(cell_n.0), newtons(0.5 * self.both_n), newtons(cell_n.1)),
            capstan: newtons(capstan_n),
            highest: newtons(capstan_n.max(cell_n.1)),
            on_redirect: newtons(on_redirect_n),
            on_head: newtons(on_head_n),
        }
    }
}

/// The angle by which a rope turns that goes off both ways from here.
pub(super) fn turn_rad(one: Vector3<f64>, other: Vector3<f64>) -> f64 {
    let cross = one.cross(&other);
    // θ = atan2(|a × b|, −a · b)
    math::atan2(math::sqrt(cross.norm_squared()), -one.dot(&other))
}
