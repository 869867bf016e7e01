//! Ticks: round values whose labels have room.

/// A tick: where it stands and what is written there.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Tick {
    pub(crate) value: f64,
    pub(crate) text: String,
}

/// The least round step, 1, 2 or 5 times a power of ten, that cuts the range into at most `most` parts.
fn step(range: f64, most: usize) -> f64 {
    let raw = (range / most.max(1) as f64).max(1e-12);
    let power = 10f64.powf(raw.log10().floor());
    // A step that is short by its last digit only is long enough.
    let factor = [1.0, 2.0, 5.0].into_iter().find(|f| f * power >= raw * (1.0 - 1e-9)).unwrap_or(10.0);
    factor * power
}

/// The round values in the range, first and last included: at most `most` + 1 of them.
pub(crate) fn ticks(low: f64, high: f64, most: usize) -> Vec<Tick> {
    if !(high > low) {
        return Vec::new();
    }
    let step = step(high - low, most);
    let decimals = (-(step * 1.000_001).log10().floor()).clamp(0.0, 9.0) as usize;
    let first = (low / step - 1e-9).ceil() as i64;
    let last = (high / step + 1e-9).floor() as i64;
    (first..=last)
        .map(|i| {
            let value = i as f64 * step;
            Tick { value, text: format!("{value:.decimals$}") }
        })
        .collect()
}

/// A range that holds all values, begins at zero if none is below, and ends at round values.
pub(crate) fn range_of(values: impl Iterator<Item = f64>) -> (f64, f64) {
    let (low, high) =
        values.filter(|v| v.is_finite()).fold((0.0_f64, 0.0_f64), |(low, high), v| (low.min(v), high.max(v)));
    let high = if high > low { high } else { low + 1.0 };
    let step = step(high - low, 5);
    ((low / step + 1e-9).floor() * step, ((high * 1.02) / step).ceil() * step)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Ranges of every size, from a fixed sequence.
    fn ranges() -> impl Iterator<Item = (f64, f64)> {
        let mut state = 7_u64;
        let mut next = move || {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (state >> 11) as f64 / (1_u64 << 53) as f64
        };
        (0..5000).map(move |_| {
            let size = 10f64.powf(next() * 8.0 - 3.0);
            let low = (next() - 0.5) * size * 3.0;
            (low, low + size * (0.1 + next()))
        })
    }

    #[test]
    fn there_are_never_too_many_nor_too_few() {
        for (low, high) in ranges() {
            for most in [4, 5, 6, 8] {
                let ticks = ticks(low, high, most);
                assert!(ticks.len() <= most + 1, "{low} to {high}: {ticks:?}");
                // 1, 2, 5: a step is at most 2.5 times the next smaller one.
                assert!(ticks.len() >= most * 2 / 5, "{low} to {high}: {ticks:?}");
            }
        }
    }

    #[test]
    fn they_stand_inside_at_equal_steps_and_say_what_they_are() {
        for (low, high) in ranges() {
            let ticks = ticks(low, high, 6);
            let room = (high - low) * 1e-6;
            for tick in &ticks {
                assert!(tick.value >= low - room && tick.value <= high + room);
                let said: f64 = tick.text.parse().unwrap();
                assert!((said - tick.value).abs() <= (high - low) * 1e-6, "{tick:?}");
                assert_ne!(tick.text, "-0");
            }
            for pair in ticks.windows(2) {
                assert_ne!(pair[0].text, pair[1].text);
                assert!(pair[1].value > pair[0].value);
            }
        }
    }

    #[test]
    fn known_ranges_have_known_ticks() {
        let texts = |low, high, most| ticks(low, high, most).into_iter().map(|t| t.text).collect::<Vec<_>>();
        assert_eq!(texts(0.0, 47.0, 6), ["0", "10", "20", "30", "40"]);
        assert_eq!(texts(0.0, 2.5, 5), ["0.0", "0.5", "1.0", "1.5", "2.0", "2.5"]);
        assert_eq!(texts(-0.3, 0.3, 6), ["-0.3", "-0.2", "-0.1", "0.0", "0.1", "0.2", "0.3"]);
        assert!(texts(1.0, 1.0, 5).is_empty());
        assert!(texts(f64::NAN, 1.0, 5).is_empty());
    }

    #[test]
    fn a_range_holds_its_values_and_ends_at_round_ones() {
        for (low, high) in ranges() {
            let (from, to) = range_of([low, high].into_iter());
            assert!(from <= low.min(0.0) + 1e-9 && to >= high, "{low} to {high}: {from} to {to}");
            // Not much more than its values need: a step of room at each end.
            let whole = high.max(0.0) - low.min(0.0);
            assert!(
                to - from <= 2.0 * whole.max(1e-12) || whole < 1.0 && to - from <= 1.4,
                "{low} to {high}"
            );
        }
        assert!(range_of([0.0].into_iter()).1 >= 1.0, "a range of nothing is none");
    }
}
