//! The way of the load while ropes are paid out and taken in.

use super::{Bridle, BridleError, Hang};
use crate::error::{Allowed, InputError};
use nalgebra::Vector3;

/// The hangs of a load on its way, one after another, without a heap.
///
/// Each is solved on its own, so an error at one step says nothing of the next.
#[derive(Debug, Clone)]
pub struct HangPath<const N: usize> {
    bridle: Bridle<N>,
    way: PathKind<N>,
    steps: u32,
    next: u32,
}

#[derive(Debug, Clone, Copy)]
enum PathKind<const N: usize> {
    Lengths([f64; N], [f64; N]),
    Positions(Vector3<f64>, Vector3<f64>),
}

impl<const N: usize> HangPath<N> {
    pub(super) fn by_lengths(
        bridle: Bridle<N>,
        from_m: [f64; N],
        to_m: [f64; N],
        steps: u32,
    ) -> Result<Self, BridleError> {
        Self::new(bridle, PathKind::Lengths(from_m, to_m), steps)
    }

    pub(super) fn by_positions(
        bridle: Bridle<N>,
        from_m: Vector3<f64>,
        to_m: Vector3<f64>,
        steps: u32,
    ) -> Result<Self, BridleError> {
        Self::new(bridle, PathKind::Positions(from_m, to_m), steps)
    }

    fn new(bridle: Bridle<N>, way: PathKind<N>, steps: u32) -> Result<Self, BridleError> {
        if steps == 0 {
            return Err(InputError::new("steps", 0.0, "", Allowed::AtLeast(1.0)).into());
        }
        Ok(Self { bridle, way, steps, next: 0 })
    }
}

impl<const N: usize> Iterator for HangPath<N> {
    type Item = Result<Hang<N>, BridleError>;

    fn next(&mut self) -> Option<Self::Item> {
        if self.next > self.steps {
            return None;
        }
        let share = f64::from(self.next) / f64::from(self.steps);
        self.next += 1;
        // both ends exactly
        let between = |from: f64, to: f64| from * (1.0 - share) + to * share;
        Some(match &self.way {
            PathKind::Lengths(from, to) => {
                let mut lengths = *from;
                for (length, to) in lengths.iter_mut().zip(to) {
                    *length = between(*length, *to);
                }
                self.bridle.hang_on(&lengths, [true; N])
            }
            PathKind::Positions(from, to) => self.bridle.hang_at(from.zip_map(to, between)),
        })
    }

    fn size_hint(&self) -> (usize, Option<usize>) {
        let left = (u64::from(self.steps) + 1).saturating_sub(u64::from(self.next));
        let left = usize::try_from(left).unwrap_or(usize::MAX);
        (left, Some(left))
    }
}
