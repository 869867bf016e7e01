//! The inverse of the normal distribution.

use crate::math;

/// The smallest share whose quantile is asked for: every sample lies further from 0 and from 1.
pub(super) const LEAST_SHARE: f64 = 1.0 / (1_u64 << 34) as f64;

/// The standard normal quantile of a share from [`LEAST_SHARE`] to 1 − [`LEAST_SHARE`], good to 1e-15 of its size.
///
/// Source: Wichura, Algorithm AS 241 (PPND16), Applied Statistics 37 (1988).
pub(super) fn quantile(share: f64) -> f64 {
    let q = share - 0.5;
    if q.abs() <= 0.425 {
        let r = 0.180_625 - q * q;
        return q * polynomial(r, &MIDDLE[0]) / polynomial(r, &MIDDLE[1]);
    }
    let tail = if q < 0.0 { share } else { 1.0 - share };
    // r = √(−ln p), up to 5 for p from e⁻²⁵ = 1.4e-11 on
    let r = math::sqrt(-math::ln(tail)) - 1.6;
    let z = polynomial(r, &TAIL[0]) / polynomial(r, &TAIL[1]);
    if q < 0.0 { -z } else { z }
}

/// The share of the standard normal distribution below z: the inverse of [`quantile`], by Newton's method on it.
///
/// z(u) rises, is convex above ½ and its slope is √(2π)·e^(z²/2), so that the steps from outside go one way.
pub(super) fn share_below(z: f64) -> f64 {
    let size = z.abs();
    // The tail is at most ½·e^(−z²/2): a start from outside.
    let mut tail = (0.5 * math::exp(-0.5 * size * size)).max(LEAST_SHARE);
    for _ in 0..60 {
        let at = -quantile(tail);
        // dp/dz = −e^(−z²/2)/√(2π)
        let slope = math::exp(-0.5 * at * at) * FRAC_1_SQRT_2PI;
        let next = (tail + (at - size) * slope).clamp(LEAST_SHARE, 0.5);
        if (next - tail).abs() <= 1e-16 * tail {
            break;
        }
        tail = next;
    }
    if z < 0.0 { tail } else { 1.0 - tail }
}

/// 1/√(2π)
const FRAC_1_SQRT_2PI: f64 = 0.398_942_280_401_432_677_94;

fn polynomial(x: f64, coefficients: &[f64; 8]) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, c| sum * x + c)
}

const MIDDLE: [[f64; 8]; 2] = [
    [
        3.387_132_872_796_366_608_0e0,
        1.331_416_678_917_843_774_5e2,
        1.971_590_950_306_551_442_7e3,
        1.373_169_376_550_946_112_5e4,
        4.592_195_393_154_987_145_7e4,
        6.726_577_092_700_870_085_3e4,
        3.343_057_558_358_812_810_5e4,
        2.509_080_928_730_122_672_7e3,
    ],
    [
        1.0,
        4.231_333_070_160_091_125_2e1,
        6.871_870_074_920_579_083_0e2,
        5.394_196_021_424_751_107_7e3,
        2.121_379_430_158_659_586_7e4,
        3.930_789_580_009_271_061_0e4,
        2.872_908_573_572_194_267_4e4,
        5.226_495_278_852_854_561_0e3,
    ],
];

const TAIL: [[f64; 8]; 2] = [
    [
        1.423_437_110_749_683_577_34e0,
        4.630_337_846_156_545_295_90e0,
        5.769_497_221_460_691_405_50e0,
        3.647_848_324_763_204_605_04e0,
        1.270_458_252_452_368_382_58e0,
        2.417_807_251_774_506_117_70e-1,
        2.272_384_498_926_918_458_33e-2,
        7.745_450_142_783_414_076_40e-4,
    ],
    [
        1.0,
        2.053_191_626_637_758_821_87e0,
        1.676_384_830_183_803_849_40e0,
        6.897_673_349_851_000_045_50e-1,
        1.481_039_764_274_800_745_90e-1,
        1.519_866_656_361_645_719_66e-2,
        5.475_938_084_995_344_946_00e-4,
        1.050_750_071_644_416_843_24e-9,
    ],
];

#[cfg(test)]
mod tests {
    use super::{LEAST_SHARE, quantile};

    #[test]
    fn the_share_undoes_the_quantile() {
        for share in [1e-9, 1e-4, 0.03, 0.075, 0.2, 0.5, 0.6, 0.97, 1.0 - 1e-6] {
            let back = super::share_below(quantile(share));
            // z is good to 1e-15, and a share changes by the density times that.
            assert!((back - share).abs() < 1e-14 * (1.0 + 10.0 * share), "{share} {back}");
        }
    }

    /// Φ(z) by Simpson's rule over the density, in steps so fine that it errs by less than 1e-14.
    fn share_below(z: f64) -> f64 {
        let steps = 20_000;
        let h = z / f64::from(steps);
        let density = |x: f64| (-0.5 * x * x).exp() / (2.0 * core::f64::consts::PI).sqrt();
        let inside: f64 =
            (1..steps).map(|i| if i % 2 == 1 { 4.0 } else { 2.0 } * density(f64::from(i) * h)).sum();
        0.5 + h / 3.0 * (density(0.0) + inside + density(z))
    }

    #[test]
    fn the_quantile_undoes_the_distribution() {
        for z in [-3.5, -2.0, -1.2, -0.7, -0.1, 0.0, 0.3, 1.0, 1.8, 2.5, 4.0] {
            let share = share_below(z);
            // What 1e-14 of the share is in z: divided by the density, at least 1e-4 here.
            assert!((quantile(share) - z).abs() < 1e-9, "{z} {}", quantile(share));
        }
    }

    // Tables of the normal distribution print these, here to ten decimals (from memory): half a unit of the last.
    #[test]
    fn the_usual_quantiles() {
        for (share, z) in [(0.95, 1.644_853_627_0), (0.975, 1.959_963_984_5), (0.995, 2.575_829_303_5)] {
            assert!((quantile(share) - z).abs() < 6e-11);
            assert!((quantile(1.0 - share) + z).abs() < 6e-11);
        }
        assert_eq!(quantile(0.5), 0.0);
        assert!(quantile(LEAST_SHARE) < -6.2 && quantile(LEAST_SHARE) > -6.7);
        // The two formulas meet at a share of 0.075 and 0.925.
        assert!((quantile(0.925 + 1e-12) - quantile(0.925 - 1e-12)).abs() < 2e-11);
    }
}
