//! One part of a rope: the forces at its ends, and how they follow its ends and its length.

use crate::line::LineError;
use crate::line::span::{self, Span};
use crate::math;
use crate::rope::Stretch;
use nalgebra::{Matrix3, Vector3};

/// One end of a part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Tip {
    /// Tension as a vector along the rope, pointing from the first end to the last.
    pub(crate) along: Vector3<f64>,
    pub(crate) tension: f64,
    pub(crate) strain: f64,
}

/// A part and its forces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct PartState {
    pub(crate) first: Tip,
    pub(crate) last: Tip,
    /// ∂(tension vector)/∂(last point − first point), the same at both ends.
    pub(crate) stiffness: Matrix3<f64>,
    /// ∂(tension vector at the last end)/∂L; at the first end it is less by the weight of a metre.
    pub(crate) by_length: Vector3<f64>,
    pub(crate) length_m: f64,
}

impl Tip {
    pub(crate) const SLACK: Self = Self { along: Vector3::new(0.0, 0.0, 0.0), tension: 0.0, strain: 0.0 };

    /// What a metre of rope drawn in here does not store: P = T·(1+ε) − ∫T dε.
    pub(crate) fn potential(&self, stretch: &Stretch) -> f64 {
        self.tension * (1.0 + self.strain) - stretch.energy_at(self.strain)
    }

    /// Unit vector along the rope, from the first end to the last.
    pub(crate) fn direction(&self) -> Vector3<f64> {
        if self.tension > 0.0 { self.along / self.tension } else { Vector3::zeros() }
    }
}

impl PartState {
    pub(crate) const SLACK: Self = Self {
        first: Tip::SLACK,
        last: Tip::SLACK,
        stiffness: Matrix3::new(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0),
        by_length: Vector3::new(0.0, 0.0, 0.0),
        length_m: 0.0,
    };

    /// A weightless part under a given tension whatever its length: no stiffness but that of the tension.
    pub(crate) fn pulled(
        chord: Vector3<f64>,
        distance: f64,
        tension: f64,
        strain: f64,
        length_m: f64,
    ) -> Self {
        if distance == 0.0 || tension == 0.0 {
            return Self { length_m, ..Self::SLACK };
        }
        let u = chord / distance;
        // T·(1 − u·uᵀ)/ℓ
        let stiffness = (Matrix3::identity() - u * u.transpose()) * (tension / distance);
        let tip = Tip { along: u * tension, tension, strain };
        Self { first: tip, last: tip, stiffness, by_length: Vector3::zeros(), length_m }
    }

    /// A weightless part of given length.
    pub(crate) fn straight(chord: Vector3<f64>, length_m: f64, stretch: &Stretch) -> Self {
        let distance = math::sqrt(chord.norm_squared());
        // ε = ℓ/L − 1
        let strain = (distance - length_m) / length_m;
        if strain <= 0.0 {
            return Self { length_m, ..Self::SLACK };
        }
        let slope = stretch.tangent_at(strain) / length_m;
        let mut part = Self::pulled(chord, distance, stretch.tension_at(strain), strain, length_m);
        let u = chord / distance;
        part.stiffness += u * u.transpose() * slope;
        // ∂T/∂L = −T'·(1+ε)/L
        part.by_length = u * (-slope * (1.0 + strain));
        part
    }

    /// A heavy part of given length.
    pub(crate) fn heavy(
        chord: Vector3<f64>,
        length_m: f64,
        weight_n_per_m: f64,
        stretch: &Stretch,
    ) -> Result<Self, LineError> {
        let span_m = math::hypot(chord.x, chord.y);
        let level =
            if span_m > 0.0 { Vector3::new(chord.x / span_m, chord.y / span_m, 0.0) } else { Vector3::x() };
        let side = Vector3::new(-level.y, level.x, 0.0);
        let up = Vector3::z();
        let solved =
            span::solve(&Span { span_m, rise_m: chord.z, length_m, weight_n_per_m, stretch: *stretch })?;
        let k = solved.stiffness();
        let e = solved.ends;
        let tip = |upward: f64, tension: f64| Tip {
            along: level * e.h_n + up * upward,
            tension,
            strain: stretch.strain_at(tension),
        };
        let first = tip(-e.v_first_n, e.t_first_n);
        let last = tip(e.v_last_n, e.t_last_n);
        let stiffness = level * level.transpose() * k.xx
            + (level * up.transpose() + up * level.transpose()) * k.xz
            + up * up.transpose() * k.zz
            + side * side.transpose() * k.across;
        // A metre more at the first end moves the last by the direction there times its stretched length.
        let by_length = -(stiffness * first.direction()) * (1.0 + first.strain);
        Ok(Self { first, last, stiffness, by_length, length_m })
    }

    /// ∂(tension vector at the first end)/∂L
    pub(crate) fn first_by_length(&self, weight_n_per_m: f64) -> Vector3<f64> {
        self.by_length - Vector3::new(0.0, 0.0, weight_n_per_m)
    }
}
