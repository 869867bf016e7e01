//! The forces on carriage and litter, in SI.
#![allow(clippy::indexing_slicing, reason = "fixed places in arrays of fixed length")]

use super::ground::Ground;
use crate::math;
use crate::quantity::STANDARD_GRAVITY_M_PER_S2 as G;
use crate::rope::Stretch;

/// A rope without mass that pulls beyond a length and damps while it does.
#[derive(Debug, Clone, Copy)]
pub(super) struct SpringDamper {
    /// Between its ends when it comes taut.
    pub(super) taut_m: f64,
    /// What stretches.
    pub(super) length_m: f64,
    pub(super) stretch: Stretch,
    pub(super) damping_n_s_per_m: f64,
}

impl SpringDamper {
    /// The pull, and what its damping takes up, in W.
    fn pull(&self, distance_m: f64, rate_m_per_s: f64) -> (f64, f64) {
        let elongation_m = distance_m - self.taut_m;
        if elongation_m <= 0.0 {
            return (0.0, 0.0);
        }
        // T = T(e/L) + c·ė, never below zero
        let elastic_n = self.stretch.tension_at(elongation_m / self.length_m);
        let pull_n = (elastic_n + self.damping_n_s_per_m * rate_m_per_s).max(0.0);
        (pull_n, (pull_n - elastic_n) * rate_m_per_s)
    }

    fn energy_j(&self, distance_m: f64) -> f64 {
        // L·∫T dε
        self.length_m * self.stretch.energy_at((distance_m - self.taut_m).max(0.0) / self.length_m)
    }

    /// Its stiffness at this pull.
    fn stiffness_n_per_m(&self, pull_n: f64) -> f64 {
        self.stretch.tangent_at(self.stretch.strain_at(pull_n)) / self.length_m
    }
}

/// A rope from a fixed point.
#[derive(Debug, Clone, Copy)]
pub(super) struct HeldBy {
    pub(super) from: [f64; 2],
    pub(super) to_litter: bool,
    pub(super) spring: SpringDamper,
}

/// Everything that doesn't change while things fall.
#[derive(Debug, Clone, Copy)]
pub(super) struct Setup<'a, const N: usize> {
    pub(super) litter_kg: f64,
    /// Its mass, and the sling below it.
    pub(super) carriage: Option<(f64, SpringDamper)>,
    pub(super) ropes: [HeldBy; N],
    /// Head, far anchor, rope.
    pub(super) track: Option<([f64; 2], [f64; 2], SpringDamper)>,
    pub(super) ground: Option<Ground<'a>>,
    /// Of carriage and litter.
    pub(super) start: [[f64; 2]; 2],
    pub(super) velocity: [f64; 2],
}

/// Carriage and litter: where, and how fast.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Bodies {
    pub(super) at: [[f64; 2]; 2],
    pub(super) velocity: [[f64; 2]; 2],
}

pub(super) const CARRIAGE: usize = 0;
pub(super) const LITTER: usize = 1;

/// What acts on the bodies.
#[derive(Debug, Clone, Copy)]
pub(super) struct Loading<const N: usize> {
    /// On each, its weight included.
    pub(super) force_n: [[f64; 2]; 2],
    pub(super) ropes_n: [f64; N],
    pub(super) track_n: f64,
    pub(super) sling_n: f64,
    /// What damping takes up, in W.
    pub(super) damped_w: f64,
}

pub(super) fn dot(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}

/// The unit vector from one point to another, and how far it is; any direction for the same point.
fn towards(from: [f64; 2], to: [f64; 2]) -> ([f64; 2], f64) {
    let (x, z) = (to[0] - from[0], to[1] - from[1]);
    // Metres: neither square leaves the range of a number. A call of hypot costs as much as all the rest here.
    let distance = math::sqrt(x * x + z * z);
    if distance > 0.0 { ([x / distance, z / distance], distance) } else { ([0.0, 1.0], 0.0) }
}

fn add(force: &mut [f64; 2], size: f64, direction: [f64; 2]) {
    force[0] += size * direction[0];
    force[1] += size * direction[1];
}

impl<const N: usize> Setup<'_, N> {
    pub(super) fn mass_kg(&self, body: usize) -> f64 {
        if body == LITTER { self.litter_kg } else { self.carriage.map_or(0.0, |carriage| carriage.0) }
    }

    /// Whether there is such a body.
    pub(super) fn has(&self, body: usize) -> bool {
        body == LITTER || self.carriage.is_some()
    }

    /// Which body a rope pulls.
    fn body(&self, rope: &HeldBy) -> usize {
        if rope.to_litter { LITTER } else { CARRIAGE }
    }

    /// Which body the track carries.
    fn on_track(&self) -> usize {
        if self.carriage.is_some() { CARRIAGE } else { LITTER }
    }

    pub(super) fn acting(&self, bodies: &Bodies) -> Loading<N> {
        let weight = |body: usize| [0.0, -G * self.mass_kg(body)];
        let mut acting = Loading {
            force_n: [weight(CARRIAGE), weight(LITTER)],
            ropes_n: [0.0; N],
            track_n: 0.0,
            sling_n: 0.0,
            damped_w: 0.0,
        };
        for (rope, pulls) in self.ropes.iter().zip(&mut acting.ropes_n) {
            let body = self.body(rope);
            let (direction, distance_m) = towards(bodies.at[body], rope.from);
            let (pull_n, damped_w) = rope.spring.pull(distance_m, -dot(bodies.velocity[body], direction));
            add(&mut acting.force_n[body], pull_n, direction);
            acting.damped_w += damped_w;
            *pulls = pull_n;
        }
        if let Some((_, sling)) = &self.carriage {
            let (direction, distance_m) = towards(bodies.at[LITTER], bodies.at[CARRIAGE]);
            let apart = dot(bodies.velocity[CARRIAGE], direction) - dot(bodies.velocity[LITTER], direction);
            let (pull_n, damped_w) = sling.pull(distance_m, apart);
            add(&mut acting.force_n[LITTER], pull_n, direction);
            add(&mut acting.force_n[CARRIAGE], -pull_n, direction);
            acting.damped_w += damped_w;
            acting.sling_n = pull_n;
        }
        if let Some((head, far, spring)) = &self.track {
            let body = self.on_track();
            let (to_head, upper_m) = towards(bodies.at[body], *head);
            let (to_far, lower_m) = towards(bodies.at[body], *far);
            let both = [to_head[0] + to_far[0], to_head[1] + to_far[1]];
            let (pull_n, damped_w) = spring.pull(upper_m + lower_m, -dot(bodies.velocity[body], both));
            add(&mut acting.force_n[body], pull_n, both);
            acting.damped_w += damped_w;
            acting.track_n = pull_n;
        }
        acting
    }

    /// Potential, stored and kinetic energy.
    pub(super) fn energy_j(&self, bodies: &Bodies) -> f64 {
        let mut energy_j = 0.0;
        for body in [CARRIAGE, LITTER] {
            let (at, v) = (bodies.at[body], bodies.velocity[body]);
            energy_j += self.mass_kg(body) * (G * (at[1] - self.start[LITTER][1]) + 0.5 * dot(v, v));
        }
        for rope in &self.ropes {
            energy_j += rope.spring.energy_j(towards(bodies.at[self.body(rope)], rope.from).1);
        }
        if let Some((_, sling)) = &self.carriage {
            energy_j += sling.energy_j(towards(bodies.at[LITTER], bodies.at[CARRIAGE]).1);
        }
        if let Some((head, far, spring)) = &self.track {
            let at = bodies.at[self.on_track()];
            energy_j += spring.energy_j(towards(at, *head).1 + towards(at, *far).1);
        }
        energy_j
    }

    /// The fastest oscillation that the stiffest ropes and the lightest body allow, at a pull of ten times the weight.
    pub(super) fn fastest_rad_per_s(&self) -> f64 {
        let pull_n = 10.0 * G * (self.litter_kg + self.mass_kg(CARRIAGE));
        let mut fastest = 0.0_f64;
        for body in [CARRIAGE, LITTER].into_iter().filter(|body| self.has(*body)) {
            let mut stiffness = 0.0;
            for rope in self.ropes.iter().filter(|rope| self.body(rope) == body) {
                stiffness += rope.spring.stiffness_n_per_m(pull_n);
            }
            if let Some((_, sling)) = &self.carriage {
                stiffness += sling.stiffness_n_per_m(pull_n);
            }
            if let Some((_, _, spring)) = &self.track
                && body == self.on_track()
            {
                stiffness += 4.0 * spring.stiffness_n_per_m(pull_n);
            }
            // ω = √(k/m)
            fastest = fastest.max(math::sqrt(stiffness / self.mass_kg(body)));
        }
        fastest.max(1.0)
    }
}
