//! Reading by position: where the load may be with the rope set to what, and what forbids the rest.

use super::super::travel::Moved;
use super::judge::{Judge, Limit};
use crate::quantity::{Force, Length};
use alloc::vec::Vec;
use serde::Serialize;

/// Which settings of the track rope keep every limit at which positions.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Map {
    /// Readings of the empty line while the capstan takes in, growing: one for each row.
    #[serde(rename = "readings_n")]
    pub readings: Vec<Force>,
    /// The strand that each of them is.
    #[serde(rename = "strands_m")]
    pub strands: Vec<Length>,
    /// Indices in the study's positions: one for each column.
    pub positions: Vec<usize>,
    /// Row by row: the limit that is passed most, or nothing where all are kept.
    pub passes: Vec<Vec<Option<Limit>>>,
}

impl Judge<'_, '_> {
    /// The map over these settings and these places.
    pub(super) fn map(&self, settings: &[(Force, Length)], places: &[(usize, Length)]) -> Map {
        let row = |strand: Length| {
            let mut last: Option<Moved<'_, '_>> = None;
            places
                .iter()
                .map(|(_, x)| {
                    let judged = self.at(strand, Some(*x), last.as_ref());
                    let least = judged.least();
                    last = judged.moved.or(last);
                    (least.slack < 0.0).then_some(least.limit)
                })
                .collect()
        };
        Map {
            readings: settings.iter().map(|(reading, _)| *reading).collect(),
            strands: settings.iter().map(|(_, strand)| *strand).collect(),
            positions: places.iter().map(|(position, _)| *position).collect(),
            passes: settings.iter().map(|(_, strand)| row(*strand)).collect(),
        }
    }
}
