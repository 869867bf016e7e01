//! Numbers of twice the digits: what an f64 operation gives, and what its rounding took.
//!
//! Only the four operations and the square root, each good to about 30 digits: enough to measure what an answer in f64
//! misses.
//!
//! Source: Dekker, Numer. Math. 18 (1971); Joldes, Muller & Popescu, ACM Trans. Math. Softw. 44 (2017), for the
//! relative errors, at most 15·2⁻¹⁰⁶.

use core::ops::{Add, Div, Mul, Neg, Sub};

/// An unevaluated sum of two numbers, the second at most half a unit of the last place of the first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Double {
    high: f64,
    low: f64,
}

/// 2²⁷ + 1, which splits a number into halves (Dekker 1971).
const SPLIT: f64 = 134_217_729.0;

/// The halves of a number, 26 bits each: their products are exact. Below 1e300.
#[inline]
fn halves(a: f64) -> (f64, f64) {
    let high = a * SPLIT - (a * SPLIT - a);
    (high, a - high)
}

/// a·b and its rounding: exact, and quick where there is no fused multiply-add.
#[inline]
fn product(a: f64, b: f64) -> (f64, f64) {
    let ((a_high, a_low), (b_high, b_low)) = (halves(a), halves(b));
    let p = a * b;
    (p, a_low * b_low - (((p - a_high * b_high) - a_low * b_high) - a_high * b_low))
}

/// a² and its rounding.
#[inline]
pub(crate) fn square(a: f64) -> (f64, f64) {
    let (high, low) = halves(a);
    let p = a * a;
    (p, low * low - ((p - high * high) - 2.0 * high * low))
}

/// a + b and its rounding.
#[inline]
fn sum(a: f64, b: f64) -> (f64, f64) {
    let s = a + b;
    let of_b = s - a;
    (s, (a - (s - of_b)) + (b - of_b))
}

impl Double {
    /// From a number and one that is far smaller.
    #[inline]
    fn normal(a: f64, b: f64) -> Self {
        let high = a + b;
        Self { high, low: b - (high - a) }
    }

    /// The nearest f64.
    #[inline]
    pub(crate) fn rounded(self) -> f64 {
        self.high
    }

    /// √x, for x ≥ 0.
    #[inline]
    pub(crate) fn sqrt(self) -> Self {
        let root = super::sqrt(self.high);
        if !(root > 0.0) {
            return Self::from(root);
        }
        // √x = r + (x − r²)/2r
        let (high, low) = square(root);
        Self::normal(root, ((self.high - high) + (self.low - low)) / (2.0 * root))
    }
}

impl From<f64> for Double {
    #[inline]
    fn from(high: f64) -> Self {
        Self { high, low: 0.0 }
    }
}

impl Neg for Double {
    type Output = Self;
    #[inline]
    fn neg(self) -> Self {
        Self { high: -self.high, low: -self.low }
    }
}

impl Add for Double {
    type Output = Self;
    #[inline]
    fn add(self, other: Self) -> Self {
        let (high, lost) = sum(self.high, other.high);
        let (low, least) = sum(self.low, other.low);
        let first = Self::normal(high, lost + low);
        Self::normal(first.high, first.low + least)
    }
}

impl Sub for Double {
    type Output = Self;
    #[inline]
    fn sub(self, other: Self) -> Self {
        self + -other
    }
}

impl Mul for Double {
    type Output = Self;
    #[inline]
    fn mul(self, other: Self) -> Self {
        let (high, low) = product(self.high, other.high);
        Self::normal(high, low + (self.high * other.low + self.low * other.high))
    }
}

impl Div for Double {
    type Output = Self;
    #[inline]
    fn div(self, other: Self) -> Self {
        let quotient = self.high / other.high;
        let rest = self - other * Self::from(quotient);
        Self::normal(quotient, rest.high / other.high)
    }
}

#[cfg(test)]
mod tests {
    use super::Double;

    fn d(x: f64) -> Double {
        Double::from(x)
    }

    #[test]
    fn what_rounding_takes_is_kept() {
        let tiny = 2.0_f64.powi(-90);
        assert_eq!((d(1.0) + d(tiny) - d(1.0)).rounded(), tiny);
        // (1 + 2⁻⁵²)² − 1 − 2⁻⁵¹ = 2⁻¹⁰⁴
        let one = d(1.0 + f64::EPSILON);
        assert_eq!((one * one - d(1.0) - d(2.0 * f64::EPSILON)).rounded(), 2.0_f64.powi(-104));
        for n in 1..200 {
            let (a, b) = (f64::from(n) * 0.7, f64::from(n * n) + 0.1);
            let error = d(a) / d(b) * d(b) - d(a);
            // 15 for the quotient and 7 for the product, in units of 2⁻¹⁰⁶
            assert!(error.rounded().abs() <= 22.0 * 2.0_f64.powi(-106) * a, "{a}/{b}: {error:?}");
            let root = d(b).sqrt();
            let error = root * root - d(b);
            assert!(error.rounded().abs() <= 22.0 * 2.0_f64.powi(-106) * b, "√{b}: {error:?}");
        }
    }

    #[test]
    fn the_square_root_of_nothing_is_nothing() {
        assert_eq!(d(0.0).sqrt(), d(0.0));
        assert!(d(-1.0).sqrt().rounded().is_nan());
    }
}
