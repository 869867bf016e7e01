//! The equations of a carriage at twice the digits, for one last step of Newton's method.
//!
//! A taut, stiff rope magnifies: a share of its length more or less is EA/T times, or 12·(T/wL)² times, that share of
//! its tension. Just so it magnifies the roundings of the terms by which a solver in f64 measures what its answer
//! misses. So here the chords are computed at twice the digits. The stretch, and what the sag adds, stay f64: they
//! are as small a share of the length as what magnifies their roundings is large.

use crate::line::hang::{self, Gain, RopeLaw};
use crate::math::{self, double::Double};
use core::ops::{Add, Div, Mul, Neg, Sub};

/// Numbers in which the equations are written: f64, and those of twice its digits.
pub(super) trait Digits:
    Copy
    + From<f64>
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Neg<Output = Self>
{
    fn sqrt(self) -> Self;

    /// The nearest f64.
    fn rounded(self) -> f64;

    /// The part of this unstretched length that pulls at its first end.
    fn hang(law: &RopeLaw, pull: &Pull<Self>, length: Self) -> End<Self>;
}

impl Digits for f64 {
    fn sqrt(self) -> Self {
        math::sqrt(self)
    }

    fn rounded(self) -> f64 {
        self
    }

    fn hang(law: &RopeLaw, pull: &Pull<Self>, length: Self) -> End<Self> {
        hang::hang(law, pull.h, pull.v, length).into()
    }
}

impl Digits for Double {
    fn sqrt(self) -> Self {
        self.sqrt()
    }

    fn rounded(self) -> f64 {
        self.rounded()
    }

    fn hang(law: &RopeLaw, pull: &Pull<Self>, length: Self) -> End<Self> {
        let Pull { h, v, tension } = *pull;
        // V₂ = V + wL
        let v_end = v + Self::from(law.weight_n_per_m) * length;
        let t_end = (h * h + v_end * v_end).sqrt();
        // 2L/(T + T₂)
        let by = length / (tension + t_end);
        let gain = Gain::of(law, h.rounded(), v.rounded(), length.rounded());
        let twice = by + by;
        End {
            // span = H·(2L/(T + T₂)·(1 + ((artanh τ)/τ − 1)) + ∫g ds)
            span: h * (twice + Self::from(twice.rounded() * gain.bend + gain.across)),
            // rise = L·(V + V₂)/(T + T₂) + ∫V·g ds
            rise: by * (v + v_end) + Self::from(gain.upward_m),
            tension: t_end,
        }
    }
}

/// The pull of a part on the carriage, and its size.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pull<D> {
    pub(super) h: D,
    pub(super) v: D,
    pub(super) tension: D,
}

impl<D: Digits> Pull<D> {
    /// By its size and its slope, V/H.
    pub(super) fn sloping(tension: D, slope: f64) -> Self {
        let slope = D::from(slope);
        // H = T/√(1 + (V/H)²)
        let h = tension / (D::from(1.0) + slope * slope).sqrt();
        Self { h, v: h * slope, tension }
    }

    /// By its components.
    pub(super) fn of(h: D, v: D) -> Self {
        Self { h, v, tension: (h * h + v * v).sqrt() }
    }
}

/// Where a part ends, and the tension there.
#[derive(Debug, Clone, Copy)]
pub(super) struct End<D> {
    pub(super) span: D,
    pub(super) rise: D,
    pub(super) tension: D,
}

impl From<hang::HangingPart> for End<f64> {
    fn from(part: hang::HangingPart) -> Self {
        Self { span: part.span_m, rise: part.rise_m, tension: part.t_end_n }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::newtons;
    use crate::rope::Stretch;

    /// H = 12, V from 5 to 35 and T from 13 to 37: 15 m that weigh 2 N/m rise 12 m.
    #[test]
    fn a_part_with_whole_tensions_rises_by_whole_metres() {
        let law = RopeLaw { weight_n_per_m: 2.0, stretch: Stretch::RIGID };
        let pull = Pull::of(Double::from(12.0), Double::from(5.0));
        let end = Double::hang(&law, &pull, Double::from(15.0));
        assert_eq!(end.tension.rounded(), 37.0);
        // A few of 15 units of 2⁻¹⁰⁶.
        assert!((end.rise - Double::from(12.0)).rounded().abs() < 1e-29, "{end:?}");
        // The same pull by its slope, which f64 rounds: 5/12 = tan α, to 2⁻⁵⁴ of it.
        let sloping = Pull::sloping(Double::from(13.0), 5.0 / 12.0);
        assert!((sloping.h - Double::from(12.0)).rounded().abs() < 12.0 * f64::EPSILON);
        assert!(
            (sloping.h * sloping.h + sloping.v * sloping.v - Double::from(169.0)).rounded().abs() < 1e-28
        );
    }

    #[test]
    fn a_part_ends_where_the_quick_form_ends_it_but_for_rounding() {
        for b_n in [0.0, 3e5] {
            let law = RopeLaw {
                weight_n_per_m: 1.7,
                stretch: Stretch::stiffening(newtons(2e4), newtons(b_n)).unwrap(),
            };
            for (h, v, l) in
                [(2500.0, 1300.0, 40.0), (25.0, -60.0, 70.0), (3.0, -40.0, 50.0), (90.0, 9.0, 8.0)]
            {
                let quick = hang::hang(&law, h, v, l);
                let end = Double::hang(&law, &Pull::of(Double::from(h), Double::from(v)), Double::from(l));
                for (careful, quick) in
                    [(end.span, quick.span_m), (end.rise, quick.rise_m), (end.tension, quick.t_end_n)]
                {
                    let error = (careful - Double::from(quick)).rounded().abs();
                    // Some ten roundings of the size of the part, or of its tension.
                    assert!(error < 1e-15 * (l + quick.abs()), "{b_n} {h} {v} {l}: {careful:?} {quick}");
                }
            }
        }
    }
}
