//! The fewest settings of the track rope that keep every limit on the whole travel.

use super::window::Window;
use crate::quantity::{Length, metres};
use alloc::vec::Vec;

/// Intervals closer than this to nothing are nothing.
const LEAST_WIDTH_M: f64 = 1e-9;

/// Lengths that keep every limit, as intervals [low, high] in m, growing.
pub(super) type Lengths = Vec<(f64, f64)>;

/// What one setting serves.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Serves {
    /// From this place on,
    pub(super) first: usize,
    /// to this one.
    pub(super) last: usize,
    /// All lengths that keep every limit at all of them.
    pub(super) lengths: Lengths,
}

pub(super) fn lengths(windows: &[Window]) -> Lengths {
    windows.iter().map(|window| (window.shortest.value, window.longest.value)).collect()
}

/// The lengths that stay inside when they are missed by so much either way; of an interval that is too narrow for that, its
/// middle.
pub(super) fn with_room(lengths: &[(f64, f64)], room_m: f64) -> Lengths {
    let inner = |(low, high): &(f64, f64)| {
        let room_m = room_m.min(0.5 * (high - low - 2.0 * LEAST_WIDTH_M)).max(0.0);
        (low + room_m, high - room_m)
    };
    lengths.iter().map(inner).collect()
}

/// What is in both.
pub(super) fn both(one: &[(f64, f64)], other: &[(f64, f64)]) -> Lengths {
    let mut list = Lengths::new();
    for (a, b) in one {
        for (c, d) in other {
            let (low, high) = (a.max(*c), b.min(*d));
            if high - low >= LEAST_WIDTH_M {
                list.push((low, high));
            }
        }
    }
    list
}

/// The fewest settings: each serves as many of the places that follow as one length can.
///
/// No choice of settings has fewer. Say another plan's first k settings serve the places to b; the first k of these serve
/// at least to b, for a length that keeps the limits at a run of places keeps them at each part of the run. So by induction
/// on k no plan is ahead.
///
/// Places where no length keeps every limit belong to no setting, and end one.
pub(super) fn fewest(places: &[Lengths]) -> Vec<Serves> {
    let mut list: Vec<Serves> = Vec::new();
    let mut open: Option<Serves> = None;
    for (i, lengths) in places.iter().enumerate() {
        if lengths.is_empty() {
            list.extend(open.take());
            continue;
        }
        open = Some(match open.take() {
            None => Serves { first: i, last: i, lengths: lengths.clone() },
            Some(serves) => {
                let lengths_left = both(&serves.lengths, lengths);
                if lengths_left.is_empty() {
                    list.push(serves);
                    Serves { first: i, last: i, lengths: lengths.clone() }
                } else {
                    Serves { last: i, lengths: lengths_left, ..serves }
                }
            }
        });
    }
    list.extend(open);
    list
}

/// Of these lengths the middle of the widest interval, as far from passing anything as it goes.
pub(super) fn middle(lengths: &[(f64, f64)]) -> Option<Length> {
    let widest = lengths.iter().reduce(|a, b| if b.1 - b.0 > a.1 - a.0 { b } else { a })?;
    Some(metres(0.5 * (widest.0 + widest.1)))
}

#[cfg(test)]
mod tests {
    use super::{Lengths, fewest, with_room};

    /// The fewest by trying every way to cut the travel into runs.
    fn fewest_by_trying(places: &[Lengths]) -> usize {
        let n = places.len();
        (0..1_u32 << (n - 1))
            .filter(|cuts| {
                let mut runs: Vec<Vec<&Lengths>> = vec![vec![&places[0]]];
                for (i, place) in places.iter().enumerate().skip(1) {
                    if cuts >> (i - 1) & 1 == 1 {
                        runs.push(Vec::new());
                    }
                    runs.last_mut().unwrap().push(place);
                }
                let ends: Vec<f64> = places.iter().flatten().flat_map(|(a, b)| [*a, *b]).collect();
                runs.iter().all(|run| {
                    let served = |x: f64| run.iter().all(|place| place.iter().any(|(a, b)| *a < x && x < *b));
                    // Between two neighbouring ends nothing changes.
                    ends.iter().any(|a| ends.iter().any(|b| served(0.5 * (a + b))))
                })
            })
            .map(|cuts| cuts.count_ones() as usize + 1)
            .min()
            .unwrap()
    }

    #[test]
    fn no_plan_has_fewer_settings() {
        // Widths and places by a congruence: unlike each other, the same every time.
        let mut seed = 7_u64;
        let mut draw = || {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (seed >> 40) as f64 / f64::from(1 << 24)
        };
        for _ in 0..60 {
            let places: Vec<Lengths> = (0..8)
                .map(|_| {
                    let low = 10.0 * draw();
                    let mut one = vec![(low, low + 0.5 + 3.0 * draw())];
                    if draw() > 0.7 {
                        one.push((15.0 + draw(), 17.0 + draw()));
                    }
                    one
                })
                .collect();
            let found = fewest(&places);
            assert_eq!(found.len(), fewest_by_trying(&places), "{places:?}");
            assert!(found.windows(2).all(|pair| pair[1].first == pair[0].last + 1));
            for serves in &found {
                let at = super::middle(&serves.lengths).unwrap().value;
                for place in &places[serves.first..=serves.last] {
                    assert!(place.iter().any(|(a, b)| *a <= at && at <= *b));
                }
            }
        }
    }

    #[test]
    fn room_is_kept_on_both_sides_and_a_narrow_interval_keeps_its_middle() {
        let found = with_room(&[(1.0, 2.0), (5.0, 5.2)], 0.25);
        assert_eq!(found[0], (1.25, 1.75));
        assert!((found[1].0 - 5.1).abs() < 1e-8 && (found[1].1 - 5.1).abs() < 1e-8);
        assert!(found[1].1 - found[1].0 >= super::LEAST_WIDTH_M);
    }

    #[test]
    fn a_place_without_a_window_ends_a_setting() {
        let places = [vec![(1.0, 2.0)], vec![], vec![(1.0, 2.0)]];
        let found = fewest(&places);
        assert_eq!(found.iter().map(|s| (s.first, s.last)).collect::<Vec<_>>(), [(0, 0), (2, 2)]);
    }
}
