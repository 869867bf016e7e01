//! Bracketed root finding with a promised bound on the number of steps.

/// A root of a continuous function.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Root {
    pub(crate) x: f64,
    /// The function there.
    pub(crate) value: f64,
    pub(crate) evaluations: u32,
}

/// The root of `f` in [lo, hi], to within `x_tolerance` or the spacing of f64.
///
/// `f(lo)` and `f(hi)` must differ in sign (either may be zero); else `None`. The interval-truncation-
/// projection method never needs more than one evaluation beyond bisection: at most
/// ⌈log₂((hi−lo)/2ε)⌉ + 1 of them, with ε half the tolerance.
///
/// Source: Oliveira & Takahashi, ACM Trans. Math. Softw. 47 (2020), with κ₁ = 0.2/(hi−lo), κ₂ = 2, n₀ = 1.
pub(crate) fn bracketed(lo: f64, hi: f64, x_tolerance: f64, mut f: impl FnMut(f64) -> f64) -> Option<Root> {
    let (mut a, mut b) = (lo, hi);
    let (mut fa, mut fb) = (f(a), f(b));
    let mut evaluations = 2;
    if fa == 0.0 {
        return Some(Root { x: a, value: fa, evaluations });
    }
    if fb == 0.0 {
        return Some(Root { x: b, value: fb, evaluations });
    }
    if !(fa * fb.signum() < 0.0 && a < b) {
        return None;
    }
    let eps = 0.5 * x_tolerance.max(2.0 * f64::EPSILON * a.abs().max(b.abs()));
    let k1 = 0.2 / (b - a);
    let half_steps = super::ceil(super::ln((b - a) / (2.0 * eps)) / core::f64::consts::LN_2).max(0.0);
    let mut radius_scale = eps * super::powf(2.0, half_steps + 1.0);
    let up = if fb > 0.0 { 1.0 } else { -1.0 };
    let mut last = if fa.abs() < fb.abs() { (a, fa) } else { (b, fb) };
    while b - a > 2.0 * eps {
        let half = 0.5 * (a + b);
        let radius = radius_scale - 0.5 * (b - a);
        // interpolation
        let falsi = (fb * a - fa * b) / (fb - fa);
        // truncation
        let delta = k1 * (b - a) * (b - a);
        let side = if half >= falsi { 1.0 } else { -1.0 };
        let truncated = if delta <= (half - falsi).abs() { falsi + side * delta } else { half };
        // projection
        let mut x = if (truncated - half).abs() <= radius { truncated } else { half - side * radius };
        if !(x > a && x < b) {
            x = half;
        }
        if x <= a || x >= b {
            break;
        }
        let fx = f(x);
        evaluations += 1;
        last = (x, fx);
        if fx * up > 0.0 {
            b = x;
            fb = fx;
        } else if fx * up < 0.0 {
            a = x;
            fa = fx;
        } else if fx == 0.0 {
            break;
        } else {
            return None; // NaN
        }
        radius_scale *= 0.5;
    }
    if last.1 != 0.0 {
        last = if fa.abs() < fb.abs() { (a, fa) } else { (b, fb) };
    }
    Some(Root { x: last.0, value: last.1, evaluations })
}

/// The same for a function that may fail: the first failure ends the search.
pub(crate) fn try_bracketed<E>(
    lo: f64,
    hi: f64,
    x_tolerance: f64,
    mut f: impl FnMut(f64) -> Result<f64, E>,
) -> Result<Option<Root>, E> {
    let mut failure = None;
    let root = bracketed(lo, hi, x_tolerance, |x| match &failure {
        Some(_) => f64::NAN,
        None => f(x).unwrap_or_else(|why| {
            failure = Some(why);
            f64::NAN
        }),
    });
    failure.map_or(Ok(root), Err)
}

#[cfg(test)]
mod tests {
    use super::{bracketed, try_bracketed};

    #[test]
    fn finds_a_cube_root_within_the_promised_steps() {
        let root = bracketed(0.0, 2.0, 0.0, |x| x * x * x - 2.0).unwrap();
        assert!((root.x - 2.0_f64.powf(1.0 / 3.0)).abs() < 1e-15);
        assert!(root.evaluations <= 56, "{}", root.evaluations);
    }

    #[test]
    fn a_steep_and_flat_function_takes_no_more_than_bisection() {
        let root = bracketed(-1.0, 1e6, 1e-9, |x| (x - 1.0).powi(21)).unwrap();
        assert!((root.x - 1.0).abs() < 1e-9);
        assert!(root.evaluations <= 2 + 51, "{}", root.evaluations);
    }

    #[test]
    fn no_sign_change_is_no_root() {
        assert_eq!(bracketed(0.0, 1.0, 0.0, |x| x + 1.0), None);
    }

    #[test]
    fn a_failure_ends_the_search() {
        let root = try_bracketed(0.0, 2.0, 0.0, |x| if x < 1.9 { Ok(x - 1.0) } else { Err(x) });
        assert_eq!(root, Err(2.0));
        let root = try_bracketed(0.0, 2.0, 0.0, |x| Ok::<_, f64>(x - 1.0));
        assert_eq!(root.unwrap().unwrap().x, 1.0);
    }
}
