//! Single precision, for `live` alone: what a processor without double precision computes with.

/// √x
pub(crate) fn sqrt(x: f32) -> f32 {
    #[cfg(feature = "std")]
    {
        f32::sqrt(x)
    }
    #[cfg(not(feature = "std"))]
    {
        libm::sqrtf(x)
    }
}

/// eˣ
pub(crate) fn exp(x: f32) -> f32 {
    #[cfg(feature = "std")]
    {
        f32::exp(x)
    }
    #[cfg(not(feature = "std"))]
    {
        libm::expf(x)
    }
}

/// ∛x to a tenth: a third of the exponent. For a first guess.
pub(crate) fn about_cbrt(x: f32) -> f32 {
    f32::from_bits(x.to_bits() / 3 + 0x2a51_0680)
}

/// a² and what its rounding lost, by Dekker's halves; neither a nor a² near the ends of the range.
fn square(a: f32) -> (f32, f32) {
    let c = 4097.0 * a;
    let high = c - (c - a);
    let low = a - high;
    let p = a * a;
    (p, ((high * high - p) + 2.0 * high * low) + low * low)
}

/// L² − X² − Z², rounded about once, as `line::scalar::excess` has it in double precision.
pub(crate) fn excess(x: f32, z: f32, l: f32) -> f32 {
    let ((l2, l2_low), (x2, x2_low), (z2, z2_low)) = (square(l), square(x), square(z));
    let (big, small) = if x2 > z2 { (x2, z2) } else { (z2, x2) };
    let first = l2 - big;
    let lost = (l2 - first) - big;
    (first - small) + (lost + (l2_low - (x2_low + z2_low)))
}
