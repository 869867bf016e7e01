//! Rocks beside which a litter can't lie.

use super::model::Model;
use crate::geometry::Point2;

/// The nearest rock beside the carriage that is higher than its litter hangs: a row of faces, each steeper than 60°
/// and all to the same side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Rock {
    /// Its first and last point in the ground.
    pub(crate) points: (usize, usize),
    /// Between these places.
    pub(crate) from_to_m: (f64, f64),
    pub(crate) height_m: f64,
}

/// Rise by run from which ground counts as a rock face: tan 60°. A litter doesn't lie on it, it hangs.
const ROCK_SLOPE: f64 = 1.732_050_807_568_877_2;

impl Model<'_> {
    /// Where the load has no balance: the nearest rock beside which its litter can't lie, if one is within its reach.
    pub(crate) fn rock_beside(&self, x_m: f64) -> Option<Rock> {
        let hang_m = self.values().load.hang.value;
        let ground = self.values().ground;
        let side = |slope: f64| if slope > ROCK_SLOPE { 1 } else { -i32::from(slope < -ROCK_SLOPE) };
        let mut nearest: Option<(f64, Rock)> = None;
        let mut consider = |first: usize, last: usize| {
            let (Some(a), Some(b)) = (ground.get(first).map(Point2::si), ground.get(last).map(Point2::si))
            else {
                return;
            };
            let away_m = (a.x - x_m).max(x_m - b.x).max(0.0);
            let height_m = (b.y - a.y).abs();
            if away_m <= hang_m && height_m > hang_m && nearest.is_none_or(|(least, _)| away_m < least) {
                let rock = Rock { points: (first, last), from_to_m: (a.x, b.x), height_m };
                nearest = Some((away_m, rock));
            }
        };
        // First point of the row so far, and its side.
        let mut row: Option<(usize, i32)> = None;
        for (i, pair) in ground.windows(2).enumerate() {
            let slope = match pair {
                [a, b] => (b.z.value - a.z.value) / (b.x.value - a.x.value),
                _ => 0.0,
            };
            let this = side(slope);
            if let Some((first, of)) = row
                && of != this
            {
                consider(first, i);
                row = None;
            }
            if this != 0 && row.is_none() {
                row = Some((i, this));
            }
        }
        if let Some((first, _)) = row {
            consider(first, ground.len().saturating_sub(1));
        }
        nearest.map(|(_, rock)| rock)
    }
}
