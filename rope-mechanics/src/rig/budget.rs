//! How much work a rig may take.

use super::error::RigError;
use core::sync::atomic::{AtomicBool, AtomicU32, Ordering};

/// Steps that may still be taken, shared by a rig and all that are made from it on the way to its answer. A step solves the
/// linear equations of the rig once.
#[derive(Debug)]
pub(crate) struct Budget {
    steps: u32,
    left: AtomicU32,
    refused: AtomicBool,
}

impl Budget {
    pub(crate) const fn of(steps: u32) -> Self {
        Self { steps, left: AtomicU32::new(steps), refused: AtomicBool::new(false) }
    }

    /// Takes one step, if there is one. Only one thread asks: atomic, so that what refers to it may go to another one.
    pub(crate) fn spend(&self) -> bool {
        let left = self.left.load(Ordering::Relaxed);
        match left.checked_sub(1) {
            Some(left) => self.left.store(left, Ordering::Relaxed),
            None => self.refused.store(true, Ordering::Relaxed),
        }
        left > 0
    }

    /// Whether a step was asked for that there was not.
    pub(crate) fn refused(&self) -> bool {
        self.refused.load(Ordering::Relaxed)
    }

    /// What a rig is refused with then.
    pub(crate) const fn spent(&self) -> RigError {
        RigError::OverBudget { steps: self.steps }
    }
}
