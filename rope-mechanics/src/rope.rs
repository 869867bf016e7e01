//! What a rope is: how heavy, how stretchy, how strong.
//!
#![doc = include_str!("docs/pictures/rope.svg")]
//!
//! Nothing here needs a heap.

use crate::error::{InputError, non_negative, positive};
use crate::math;
use crate::quantity::{Force, LineMass, LineWeight, Ratio, line_weight_of, newtons, ratio};

/// How the tension of a rope grows with its strain: T = a·ε + b·ε².
///
/// Linear when b = 0, where a is the axial stiffness EA. A positive b stiffens with stretch, as kernmantle does.
///
/// Assumed: the rope is bedded in, and loading and unloading follow the same curve. Range: a > 0, b ≥ 0.
///
/// ```
/// use rope_mechanics::quantity::{Force, unit::{kilonewton, newton, percent}};
/// use rope_mechanics::rope::Stretch;
///
/// let stretch = Stretch::linear(Force::new::<kilonewton>(40.0))?;
/// let strain = stretch.strain(Force::new::<newton>(2000.0))?;
/// assert!((strain.get::<percent>() - 5.0).abs() < 1e-12);
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    a: f64,
    b: f64,
}

impl Stretch {
    /// No stretch at all: a = ∞. For kernels only; nothing divides by its strain.
    pub(crate) const RIGID: Self = Self { a: f64::INFINITY, b: 0.0 };

    /// T = EA·ε.
    ///
    /// # Errors
    /// Unless the axial stiffness is finite and above zero.
    #[inline]
    pub fn linear(axial_stiffness: Force) -> Result<Self, InputError> {
        Ok(Self { a: positive("axial_stiffness", axial_stiffness)?, b: 0.0 })
    }

    /// T = a·ε + b·ε².
    ///
    /// # Errors
    /// Unless a is above zero and b at least zero.
    #[inline]
    pub fn stiffening(a: Force, b: Force) -> Result<Self, InputError> {
        Ok(Self { a: positive("stretch_a", a)?, b: non_negative("stretch_b", b)? })
    }

    /// a, which is the axial stiffness of a rope without load.
    #[must_use]
    pub fn a(&self) -> Force {
        newtons(self.a)
    }

    /// b, zero for a linear rope.
    #[must_use]
    pub fn b(&self) -> Force {
        newtons(self.b)
    }

    /// Whether b = 0.
    #[must_use]
    pub fn is_linear(&self) -> bool {
        self.b == 0.0
    }

    /// The stretch of this many strands side by side: both coefficients times the count.
    ///
    /// # Errors
    /// Unless there is at least one strand.
    pub fn strands(&self, count: u32) -> Result<Self, InputError> {
        let count = crate::error::check("strands", f64::from(count), crate::error::Allowed::AtLeast(1.0))?;
        Ok(Self { a: self.a * count, b: self.b * count })
    }

    /// The same curve with both coefficients times a factor: dynamic for static stiffness, say.
    ///
    /// # Errors
    /// Unless the factor is above zero.
    pub fn scaled(&self, factor: Ratio) -> Result<Self, InputError> {
        let factor = positive("factor", factor)?;
        Ok(Self { a: self.a * factor, b: self.b * factor })
    }

    /// Strain under a tension.
    ///
    /// ε = 2T / (a + √(a² + 4bT))
    ///
    /// # Errors
    /// Unless the tension is finite and at least zero.
    pub fn strain(&self, tension: Force) -> Result<Ratio, InputError> {
        Ok(ratio(self.strain_at(non_negative("tension", tension)?)))
    }

    /// Tension under a strain.
    ///
    /// # Errors
    /// Unless the strain is finite and at least zero.
    pub fn tension(&self, strain: Ratio) -> Result<Force, InputError> {
        Ok(newtons(self.tension_at(non_negative("strain", strain)?)))
    }

    /// What a curve gains when its coefficients change by these, of either sign: δT(ε) = δa·ε + δb·ε².
    #[cfg(feature = "alloc")]
    pub(crate) const fn gain(a_n: f64, b_n: f64) -> Self {
        Self { a: a_n, b: b_n }
    }

    /// The same rope, as if it stretched by its `a` alone.
    #[cfg(feature = "alloc")]
    pub(crate) fn without_stiffening(&self) -> Self {
        Self { b: 0.0, ..*self }
    }

    pub(crate) fn a_n(&self) -> f64 {
        self.a
    }

    pub(crate) fn b_n(&self) -> f64 {
        self.b
    }

    #[inline]
    pub(crate) fn strain_at(&self, tension_n: f64) -> f64 {
        // ε = 2T / (a + √(a² + 4bT)), which has no cancellation and is T/a where b = 0
        if self.b == 0.0 {
            tension_n / self.a
        } else {
            2.0 * tension_n / (self.a + math::sqrt(self.a * self.a + 4.0 * self.b * tension_n))
        }
    }

    #[inline]
    pub(crate) fn tension_at(&self, strain: f64) -> f64 {
        // T = a·ε + b·ε²
        strain * (self.a + self.b * strain)
    }

    #[inline]
    pub(crate) fn tangent_at(&self, strain: f64) -> f64 {
        // dT/dε = a + 2b·ε
        self.a + 2.0 * self.b * strain
    }

    /// g = ε/T, also where there is no tension.
    #[inline]
    pub(crate) fn softness_at(&self, tension_n: f64) -> f64 {
        // g = 2/(a + √(a² + 4bT))
        if self.b == 0.0 {
            1.0 / self.a
        } else {
            2.0 / (self.a + math::sqrt(self.a * self.a + 4.0 * self.b * tension_n))
        }
    }

    /// g = ε/T and ε' = dε/dT, also where there is no tension.
    #[inline]
    pub(crate) fn softness_and_slope_at(&self, tension_n: f64) -> (f64, f64) {
        // T' = a + 2b·ε = √(a² + 4bT)
        let tangent = math::sqrt(self.a * self.a + 4.0 * self.b * tension_n);
        (2.0 / (self.a + tangent), 1.0 / tangent)
    }

    /// The mean strain of a rope whose tension rises evenly, as that of one that hangs plumb, by the strains at its
    /// ends.
    pub(crate) fn mean_strain(&self, e0: f64, e1: f64) -> f64 {
        // ∫ε dT/(T₁−T₀) = [a(ε₀+ε₁)/2 + ⅔b(ε₀²+ε₀ε₁+ε₁²)]/[a + b(ε₀+ε₁)]
        (0.5 * self.a * (e0 + e1) + 2.0 / 3.0 * self.b * (e0 * e0 + e0 * e1 + e1 * e1))
            / (self.a + self.b * (e0 + e1))
    }

    /// How it stretches further, from a strain that it has already.
    #[inline]
    pub(crate) fn beyond(&self, strain: f64) -> Self {
        // T(ε₀ + δ) − T(ε₀) = (a + 2b·ε₀)·δ + b·δ²
        Self { a: self.tangent_at(strain), b: self.b }
    }

    /// Energy per metre of unstretched rope.
    #[inline]
    pub(crate) fn energy_at(&self, strain: f64) -> f64 {
        // ∫T dε = a·ε²/2 + b·ε³/3
        strain * strain * (0.5 * self.a + self.b * strain / 3.0)
    }
}

/// A rope: mass, stretch and breaking strength of one strand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rope {
    mass: LineMass,
    stretch: Stretch,
    breaking_strength: Force,
}

impl Rope {
    /// A rope from its mass per unstretched metre, its stretch, and its breaking strength without knots.
    ///
    /// # Errors
    /// Unless the mass is at least zero and the strength above zero.
    pub fn new(mass: LineMass, stretch: Stretch, breaking_strength: Force) -> Result<Self, InputError> {
        non_negative("rope_mass", mass)?;
        positive("breaking_strength", breaking_strength)?;
        Ok(Self { mass, stretch, breaking_strength })
    }

    /// Mass per unstretched metre.
    #[must_use]
    pub fn mass(&self) -> LineMass {
        self.mass
    }

    /// Weight per unstretched metre, under standard gravity.
    #[must_use]
    pub fn weight(&self) -> LineWeight {
        line_weight_of(self.mass)
    }

    /// How it stretches.
    #[must_use]
    pub fn stretch(&self) -> Stretch {
        self.stretch
    }

    /// Breaking strength, new, dry and without knots.
    #[must_use]
    pub fn breaking_strength(&self) -> Force {
        self.breaking_strength
    }
}

#[cfg(test)]
mod tests {
    use super::Stretch;
    use crate::quantity::newtons;

    #[test]
    fn strain_and_tension_are_inverse() {
        let stretch = Stretch::stiffening(newtons(30e3), newtons(200e3)).unwrap();
        for t in [0.0, 1e-6, 1.0, 500.0, 2e4, 1e8] {
            let back = stretch.tension_at(stretch.strain_at(t));
            assert!((back - t).abs() <= 4.0 * f64::EPSILON * t, "{t} {back}");
        }
    }

    #[test]
    fn energy_is_the_area_under_the_tension() {
        let stretch = Stretch::stiffening(newtons(30e3), newtons(200e3)).unwrap();
        let n = 2000;
        let h = 0.08 / f64::from(n);
        let area: f64 = (0..n).map(|i| h * stretch.tension_at((f64::from(i) + 0.5) * h)).sum();
        // midpoint rule: error h²/24 · (b−a) · |T''| = 2b·0.08·h²/24
        assert!((area - stretch.energy_at(0.08)).abs() < 1e-5);
    }
}
