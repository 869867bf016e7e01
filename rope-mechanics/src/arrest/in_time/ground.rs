//! The ground as straight faces that a point can stand on.

use crate::geometry::{Piece, Profile};

/// A profile and its friction.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ground<'a> {
    pub(super) profile: Profile<'a>,
    pub(super) friction: f64,
}

/// One straight face of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Face {
    piece: Piece,
    /// The unit vectors along it, outward, and across it, up.
    pub(super) along: [f64; 2],
    pub(super) up: [f64; 2],
}

impl Ground<'_> {
    /// The face below a place; beyond the ends the first and last ones go on.
    pub(super) fn face_below(&self, x_m: f64) -> Face {
        let piece = self.profile.nearest_piece(x_m);
        let along = piece.along();
        Face { piece, along, up: [-along[1], along[0]] }
    }
}

impl Face {
    pub(super) fn height(&self, x_m: f64) -> f64 {
        self.piece.height_m(x_m)
    }
}
