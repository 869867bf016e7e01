//! Why there is no answer for a carriage.

use crate::error::InputError;
use crate::quantity::{Force, Length, metres, newtons};

/// Why there is no answer for a carriage.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CarriageError {
    /// An input can't be used.
    #[error(transparent)]
    Input(#[from] InputError),
    /// Nothing holds the load between its supports.
    #[error(
        "the carriage runs to the {support}: with this rope it would rest between its supports only if these \
         were less than {} m apart, but they are {} m; a longer rope or a haul rope would hold it",
        .widest.value, .span.value
    )]
    RunsAway {
        /// Where it ends up: at the lower support.
        support: Support,
        /// Horizontal distance between the supports.
        span: Length,
        /// The horizontal distance below which it would rest between them.
        widest: Length,
    },
    /// A haul rope can only pull, but the place asks for a push.
    #[error(
        "at x = {} m the haul rope would have to push with {} N: by itself the carriage rolls on towards the haul \
         point; hold it nearer to that point, or give the track another length",
        .x.value, .push.value
    )]
    HaulWouldPush {
        /// Where the carriage was to be held.
        x: Length,
        /// How hard the haul rope would have to push.
        push: Force,
    },
    /// The haul rope, not the track, would carry the load.
    #[error(
        "the haul rope would lift the carriage off its track: it comes from too far above for this place and length of \
         track"
    )]
    LiftedOff,
    /// So little haul rope draws the carriage to the end of its travel.
    #[error(
        "{} m of haul rope is too little: it would draw the carriage against its support or lift it off the track; \
         give it more rope",
        .length.value
    )]
    HaulTooShort {
        /// The unstretched length of the haul rope.
        length: Length,
    },
    /// No length of track was found that holds the load there with so little tension, however low it hangs.
    ///
    /// Beyond the range of [`Held`](crate::carriage::Held) this isn't a proof that there is none.
    #[error(
        "no length of track was found that holds this load at {} m from the head with as little as {} N at the head: \
         ask for more tension",
        .from_head.value, .tension.value
    )]
    TooLittleTension {
        /// Horizontal distance from the head.
        from_head: Length,
        /// The tension asked for.
        tension: Force,
    },
    /// No length of track was found that pulls so hard at the head while the load rests between its supports.
    ///
    /// Beside the lower support, and on tracks much longer than their chord, this isn't a proof that there is none.
    #[error(
        "no length of track was found on which the load rolls to rest between its supports and pulls with {} N at the \
         head: ask for another tension",
        .tension.value
    )]
    NoRollingTension {
        /// The tension asked for.
        tension: Force,
    },
    /// The haul rope's own weight would let it hang in a deep loop.
    #[error(
        "the haul rope needs to pull with {} N only, less than its own weight of {} N: it would hang in a deep loop \
         and lie on the ground; leave its weight out",
        .pull.value, .weight.value
    )]
    HaulTooHeavy {
        /// What a straight haul rope would pull with.
        pull: Force,
        /// The weight of the haul rope.
        weight: Force,
    },
    /// Nowhere on this track does the carriage hang at that height above the ground.
    #[error(
        "held on this track the carriage hangs from {} m above the ground, at x = {} m, to {} m, at x = {} m, but \
         never {} m: ask for a height between, or give the track another length",
        .least.value, .least_x.value, .greatest.value, .greatest_x.value, .height.value
    )]
    NoSuchHeight {
        /// The height asked for.
        height: Length,
        /// The least height found.
        least: Length,
        /// Where that is.
        least_x: Length,
        /// The greatest height found.
        greatest: Length,
        /// Where that is.
        greatest_x: Length,
    },
    /// The solver did not reach its promised residual.
    #[error(
        "no balance was found after {iterations} steps (closing error {residual}): the track is too slack or too \
         short for this load and place"
    )]
    Unsolved {
        /// Steps taken.
        iterations: u32,
        /// The largest closing error left, as a share of the lengths and forces involved.
        residual: f64,
    },
}

impl CarriageError {
    pub(super) fn runs_away(support: Support, span_m: f64, widest_m: f64) -> Self {
        Self::RunsAway { support, span: metres(span_m), widest: metres(widest_m) }
    }

    pub(super) fn haul_too_heavy(pull_n: f64, weight_n: f64) -> Self {
        Self::HaulTooHeavy { pull: newtons(pull_n), weight: newtons(weight_n) }
    }

    pub(super) fn too_little_tension(from_head_m: f64, tension_n: f64) -> Self {
        Self::TooLittleTension { from_head: metres(from_head_m), tension: newtons(tension_n) }
    }
}

/// An end of the track.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
pub enum Support {
    /// The end the load is hauled to.
    Head,
    /// The end beyond the load.
    Far,
}

impl core::fmt::Display for Support {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.write_str(match self {
            Self::Head => "head",
            Self::Far => "far anchor",
        })
    }
}
