//! The cone of resultants that a frame bears, one vertical plane after another.

use super::legs_and_guys::Members;
use super::solve::solve;
use super::stability::{IN_PLANE, lone_margin, sides};
use super::{Frame, FrameError};
use crate::math;
use crate::quantity::{Angle, radians};
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
    /// Of several parts, the one around the least use of strength. Found by looking at 90 tilts, then to 1e-9 rad.
    pub bears: Option<(Angle, Angle)>,
}

/// See [`Frame::cone_edge`].
pub(super) fn cone_edge(frame: &Frame, azimuth: f64, size_n: f64) -> Result<ConeEdge, FrameError> {
    const LOOKS: u32 = 90;
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

    // Force by strength of the member nearest to its limit; above any limit where it falls.
    let used = |tilt: f64| -> Result<f64, FrameError> {
        let lean = size_n * math::sin(tilt);
        match solve(frame, Vector3::new(lean * cos, lean * sin, -size_n * math::cos(tilt))) {
            Ok(forces) => {
                let legs = forces.legs().iter().filter_map(|leg| leg.factor);
                let guys = forces.guys().iter().filter_map(|guy| guy.factor);
                Ok(legs.chain(guys).fold(0.0, |most: f64, factor| most.max(1.0 / factor.value)))
            }
            Err(FrameError::Falls(_)) => Ok(f64::INFINITY),
            Err(other) => Err(other),
        }
    };
    let step = (to - from) / f64::from(LOOKS);
    let mut best = (f64::INFINITY, 0);
    for look in 0..=LOOKS {
        let use_there = used(from + step * f64::from(look))?;
        if use_there < best.0 {
            best = (use_there, look);
        }
    }
    if best.0 > 1.0 {
        return Ok(edge);
    }
    let limit = |mut good: f64, end: f64| -> Result<f64, FrameError> {
        let stride = if end > good { step } else { -step };
        loop {
            let next = if (end - good).abs() <= step.abs() { end } else { good + stride };
            if used(next)? > 1.0 {
                let mut bad = next;
                while (bad - good).abs() > 1e-9 {
                    let half = 0.5 * (good + bad);
                    *(if used(half)? > 1.0 { &mut bad } else { &mut good }) = half;
                }
                return Ok(good);
            }
            good = next;
            if next == end {
                return Ok(end);
            }
        }
    };
    let start = from + step * f64::from(best.1);
    // The very ends may fall by rounding: they are approached to 1e-9 rad.
    edge.bears = Some((radians(limit(start, from)?), radians(limit(start, to)?)));
    Ok(edge)
}
