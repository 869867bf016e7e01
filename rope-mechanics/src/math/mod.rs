//! The elementary functions, from the standard library or from libm, the root finders and one rule for integrals.
//!
//! No other module calls `f64::sqrt` and its kind, so that the whole library builds without `std`.

pub(crate) mod double;
pub(crate) mod gauss;
pub(crate) mod linear;
pub(crate) mod lists;
pub(crate) mod roots;
pub(crate) mod single;

macro_rules! functions {
    ($($name:ident($($arg:ident),+) = $std:ident, $libm:ident;)*) => { $(
        #[inline]
        pub(crate) fn $name($($arg: f64),+) -> f64 {
            #[cfg(feature = "std")]
            { functions!(@call $std, $($arg),+) }
            #[cfg(not(feature = "std"))]
            { libm::$libm($($arg),+) }
        }
    )* };
    (@call $std:ident, $first:ident $(, $rest:ident)*) => { f64::$std($first $(, $rest)*) };
}

#[allow(dead_code, reason = "a complete set is easier to trust than one that follows its uses")]
mod elementary {
    functions! {
        sqrt(x) = sqrt, sqrt;
        cbrt(x) = cbrt, cbrt;
        exp(x) = exp, exp;
        exp_m1(x) = exp_m1, expm1;
        ln(x) = ln, log;
        ln_1p(x) = ln_1p, log1p;
        sin(x) = sin, sin;
        cos(x) = cos, cos;
        tan(x) = tan, tan;
        asin(x) = asin, asin;
        acos(x) = acos, acos;
        atan(x) = atan, atan;
        sinh(x) = sinh, sinh;
        cosh(x) = cosh, cosh;
        tanh(x) = tanh, tanh;
        floor(x) = floor, floor;
        ceil(x) = ceil, ceil;
        round(x) = round, round;
        hypot(x, y) = hypot, hypot;
        atan2(y, x) = atan2, atan2;
        powf(x, y) = powf, pow;
    }

    /// x within bounds, `lo` ≤ `hi`; NaN stays. Unlike `f64::clamp` it has no check that could panic.
    #[inline]
    pub(crate) fn clamp(x: f64, lo: f64, hi: f64) -> f64 {
        if x < lo {
            lo
        } else if x > hi {
            hi
        } else {
            x
        }
    }

    /// Fused multiply-add, a·b + c with one rounding.
    #[inline]
    pub(crate) fn fma(a: f64, b: f64, c: f64) -> f64 {
        #[cfg(feature = "std")]
        {
            f64::mul_add(a, b, c)
        }
        #[cfg(not(feature = "std"))]
        {
            libm::fma(a, b, c)
        }
    }

    /// √(a² + b²), by the slower function only where the squares might leave the range of the numbers.
    #[inline]
    pub(crate) fn norm(a: f64, b: f64) -> f64 {
        let square = a * a + b * b;
        if is_safe_square(square) { sqrt(square) } else { hypot(a, b) }
    }

    /// Whether no part of a sum of squares can have left the range of the numbers.
    #[inline(always)]
    pub(crate) fn is_safe_square(square: f64) -> bool {
        (square > 1e-250) & (square < 1e250)
    }

    /// The inverse hyperbolic sine, accurate near zero and for negative arguments.
    ///
    /// asinh x = ln(1 + |x| + x²/(1+√(1+x²))), with the sign of x
    #[inline]
    pub(crate) fn asinh(x: f64) -> f64 {
        let a = x.abs();
        let value = if a < 1e8 {
            let r = a * a;
            ln_1p(a + r / (1.0 + sqrt(1.0 + r)))
        } else {
            ln(a) + core::f64::consts::LN_2
        };
        if x < 0.0 { -value } else { value }
    }
}

#[allow(unused_imports, reason = "as above")]
pub(crate) use elementary::*;
