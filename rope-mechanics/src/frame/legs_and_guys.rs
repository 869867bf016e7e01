//! The legs and guys of a frame as members that meet at its head.

use super::{Frame, FrameError, USUAL_GUY_N, USUAL_LEG_N, direction};
use crate::members::{self, Member};
use nalgebra::Vector3;

/// Legs first, then guys.
pub(super) struct Members {
    members: [Member; members::MOST],
    pub(super) lengths_m: [f64; members::MOST],
    count: usize,
}

impl Members {
    pub(super) fn of(frame: &Frame) -> Result<Self, FrameError> {
        let none = Member { along: Vector3::zeros(), stiffness: 0.0, both_ways: false };
        let mut all = Self { members: [none; members::MOST], lengths_m: [0.0; members::MOST], count: 0 };
        let mut slots = all.members.iter_mut().zip(&mut all.lengths_m);
        for (index, leg) in frame.legs.iter().enumerate() {
            let (along, length_m) = direction("legs", index, frame.head_m - leg.foot_m)?;
            if let Some((member, length)) = slots.next() {
                // k = EA/L
                let stiffness = leg.stiffness_n.unwrap_or(USUAL_LEG_N) / length_m;
                (*member, *length) = (Member { along, stiffness, both_ways: leg.staked }, length_m);
                all.count += 1;
            }
        }
        for (index, guy) in frame.guys.iter().enumerate() {
            let (along, length_m) = direction("guys", index, guy.anchor_m - frame.head_m)?;
            if let Some((member, length)) = slots.next() {
                let stiffness = guy.stiffness_n.unwrap_or(USUAL_GUY_N) / length_m;
                (*member, *length) = (Member { along, stiffness, both_ways: false }, length_m);
                all.count += 1;
            }
        }
        Ok(all)
    }

    pub(super) fn all(&self) -> &[Member] {
        self.members.get(..self.count).unwrap_or_default()
    }
}
