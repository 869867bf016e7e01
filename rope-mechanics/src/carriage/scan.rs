//! The first root of a function, where there may be several or none.

/// Steps of the golden section towards a highest place.
const GOLDEN_STEPS: u32 = 24;
/// (√5 − 1)/2
const GOLDEN: f64 = 0.618_033_988_749_894_9;

/// The first place from `from` to `to` where a function turns positive, walked in steps; a highest place between two
/// steps is looked at too. To within `tolerance`.
///
/// Places where it isn't defined (NaN) count as negative: the root may then be the first place where it is.
pub(super) fn first_root(
    from: f64,
    step: f64,
    to: f64,
    tolerance: f64,
    f: impl Fn(f64) -> f64,
) -> Option<f64> {
    let f = |x: f64| {
        let value = f(x);
        if value.is_nan() { f64::NEG_INFINITY } else { value }
    };
    let (mut before, mut last, mut here) = (f64::NEG_INFINITY, f64::NEG_INFINITY, f(from));
    let mut x = from;
    while !(here > 0.0) {
        if last > before && last > here {
            // A hill between the last place but one and this one.
            if let Some(top) = positive_between(x - 2.0 * step, x, f) {
                return Some(root((x - 2.0 * step, before), (top, f(top)), tolerance, f));
            }
        }
        (before, last) = (last, here);
        x += step;
        if x > to {
            return None;
        }
        here = f(x);
    }
    Some(root((x - step, last), (x, here), tolerance, f))
}

/// Between a place where the function is negative and one where it is positive: by the chord, the value at an end that
/// stays halved each time (Illinois), or by halves where a value is no number or that doesn't halve the way in three.
fn root(negative: (f64, f64), positive: (f64, f64), tolerance: f64, f: impl Fn(f64) -> f64) -> f64 {
    let ((mut low, mut f_low), (mut high, mut f_high)) = (negative, positive);
    let mut stayed = 0;
    let (mut steps, mut width) = (0, (high - low).abs());
    while (high - low).abs() > tolerance {
        steps += 1;
        let chord = low + (high - low) * (f_low / (f_low - f_high));
        let slow =
            steps % 3 == 0 && (high - low).abs() > 0.5 * core::mem::replace(&mut width, (high - low).abs());
        let inside = (chord - low) * (chord - high) < 0.0;
        let x = if inside && !slow { chord } else { 0.5 * (low + high) };
        if x == low || x == high {
            break;
        }
        let here = f(x);
        if here > 0.0 {
            (high, f_high) = (x, here);
            f_low = if stayed > 0 { 0.5 * f_low } else { f_low };
            stayed = 1;
        } else {
            (low, f_low) = (x, here);
            f_high = if stayed < 0 { 0.5 * f_high } else { f_high };
            stayed = -1;
        }
    }
    if f_high.is_finite() && f_high.abs() < f_low.abs() { high } else { low }
}

/// A place where a function is positive, on the way to its highest one.
fn positive_between(lo: f64, hi: f64, f: impl Fn(f64) -> f64) -> Option<f64> {
    let (mut lo, mut hi) = (lo, hi);
    let (mut left, mut right) = (hi - GOLDEN * (hi - lo), lo + GOLDEN * (hi - lo));
    let (mut at_left, mut at_right) = (f(left), f(right));
    for _ in 0..GOLDEN_STEPS {
        if at_left > 0.0 {
            return Some(left);
        }
        if at_right > 0.0 {
            return Some(right);
        }
        if at_left > at_right {
            (hi, right, at_right) = (right, left, at_left);
            left = hi - GOLDEN * (hi - lo);
            at_left = f(left);
        } else {
            (lo, left, at_left) = (left, right, at_right);
            right = lo + GOLDEN * (hi - lo);
            at_right = f(right);
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::first_root;

    #[test]
    fn the_first_of_several_roots_is_found() {
        // −(x − 1)(x − 1.2)(x − 5): positive below 1.2 only from 1 on, narrower than the step.
        let f = |x: f64| -(x - 1.0) * (x - 1.2) * (5.0 - x);
        assert!((first_root(0.3, 0.5, 9.0, 1e-12, f).unwrap() - 1.0).abs() < 1e-11);
        assert_eq!(first_root(6.0, 0.5, 9.0, 1e-12, |_| -1.0), None);
    }

    #[test]
    fn a_function_that_begins_positive_has_its_root_where_it_begins() {
        let f = |x: f64| if x < 2.0 { f64::NAN } else { 3.0 - x };
        let x = first_root(0.0, 0.3, 9.0, 1e-6, f).unwrap();
        assert!((2.0..2.3).contains(&x), "{x}");
    }
}
