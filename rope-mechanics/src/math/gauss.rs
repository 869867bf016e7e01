//! Gauss's rule for the integral of a smooth function.

/// The zeros above 0 of the Legendre polynomial of degree 4, and their weights on [−1, 1]. Computed at 40 digits.
const FOUR: [(f64, f64); 2] = [
    (0.339_981_043_584_856_265, 0.652_145_154_862_546_143),
    (0.861_136_311_594_052_575, 0.347_854_845_137_453_857),
];
/// The same of degree 10.
pub(crate) const TEN: [(f64, f64); 5] = [
    (0.148_874_338_981_631_211, 0.295_524_224_714_752_870),
    (0.433_395_394_129_247_191, 0.269_266_719_309_996_355),
    (0.679_409_568_299_024_406, 0.219_086_362_515_982_044),
    (0.865_063_366_688_984_511, 0.149_451_349_150_580_593),
    (0.973_906_528_517_171_720, 0.066_671_344_308_688_138),
];

/// How many points a rule has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Rule {
    /// Exact for polynomials up to degree 7.
    Four,
    /// Exact for polynomials up to degree 19.
    Ten,
}

impl Rule {
    /// Visits every point of the rule on [−1, 1] with its weight; the weights add up to 2.
    ///
    /// ∫f dx ≈ Σ wᵢ·f(xᵢ). Where f is analytic up to a distance d from the middle, straight out of the line, the error
    /// is of the size of (d + √(d² + 1))⁻²ⁿ.
    #[inline]
    pub(crate) fn each(self, mut visit: impl FnMut(f64, f64)) {
        let half: &[(f64, f64)] = match self {
            Self::Four => &FOUR,
            Self::Ten => &TEN,
        };
        for (x, weight) in half {
            visit(-x, *weight);
            visit(*x, *weight);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Rule;

    #[test]
    fn a_rule_is_exact_up_to_its_degree_and_not_beyond() {
        for (rule, degree) in [(Rule::Four, 7), (Rule::Ten, 19)] {
            for k in 0..=degree + 1 {
                let mut sum = 0.0;
                rule.each(|x, weight| sum += weight * x.powi(k));
                let exact = if k % 2 == 0 { 2.0 / f64::from(k + 1) } else { 0.0 };
                assert_eq!((sum - exact).abs() < 4.0 * f64::EPSILON, k <= degree, "{rule:?} {k}");
            }
        }
    }
}
