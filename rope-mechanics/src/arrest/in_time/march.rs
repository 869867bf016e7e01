//! Step by step through time: Runge and Kutta's steps, landings found between them.
#![allow(clippy::indexing_slicing, reason = "fixed places in arrays of fixed length")]

use super::forces::{Bodies, CARRIAGE, LITTER, Loading, Setup, dot};
use super::ground::Face;
use crate::math::{self, roots};
use crate::quantity::STANDARD_GRAVITY_M_PER_S2 as G;

/// A body that met the ground.
#[derive(Debug, Clone, Copy)]
pub(super) struct Met {
    pub(super) time_s: f64,
    pub(super) at: [f64; 2],
    pub(super) speed: f64,
    pub(super) into_ground: f64,
}

/// What came of a run with steps of one size.
#[derive(Debug, Clone, Copy)]
pub(super) struct March<const N: usize> {
    pub(super) drop_m: f64,
    pub(super) fastest: f64,
    pub(super) first: Option<Met>,
    pub(super) hardest: Option<Met>,
    pub(super) rope_peaks_n: [f64; N],
    pub(super) track_peak_n: f64,
    pub(super) sling_peak_n: f64,
    pub(super) end_at: [f64; 2],
    pub(super) end_speed: f64,
    pub(super) on_ground: bool,
    pub(super) energy_error: f64,
    pub(super) steps: u32,
}

impl<const N: usize> March<N> {
    /// The largest change of a peak, a speed or the drop against another run, by its size.
    pub(super) fn differs_from(&self, other: &Self, setup: &Setup<'_, N>) -> f64 {
        let weight_n = G * setup.litter_kg;
        let change = |a: f64, b: f64, least: f64| (a - b).abs() / a.abs().max(least);
        let met = |a: Option<Met>, b: Option<Met>| match (a, b) {
            (None, None) => 0.0,
            // A landing in one run and none in the other: they don't agree on anything.
            (None, Some(_)) | (Some(_), None) => f64::INFINITY,
            (Some(a), Some(b)) => {
                change(a.speed, b.speed, 0.1).max(change(a.into_ground, b.into_ground, 0.1))
            }
        };
        let mut most = change(self.drop_m, other.drop_m, 0.1)
            .max(change(self.fastest, other.fastest, 0.1))
            .max(change(self.track_peak_n, other.track_peak_n, weight_n))
            .max(change(self.sling_peak_n, other.sling_peak_n, weight_n))
            .max(met(self.first, other.first))
            .max(met(self.hardest, other.hardest));
        for (a, b) in self.rope_peaks_n.iter().zip(&other.rope_peaks_n) {
            most = most.max(change(*a, *b, weight_n));
        }
        if most.is_nan() { f64::INFINITY } else { most }
    }
}

/// A moment: the bodies, what each stands on, and what was turned into heat.
#[derive(Debug, Clone, Copy)]
struct Moment {
    bodies: Bodies,
    on: [Option<Face>; 2],
    heat_j: f64,
}

/// How the moment changes.
struct Rates {
    velocity: [[f64; 2]; 2],
    acceleration: [[f64; 2]; 2],
    heat_w: f64,
}

/// The run to a time with steps of a size, or nothing if it takes more steps than are left.
pub(super) fn march<const N: usize>(
    setup: &Setup<'_, N>,
    time_s: f64,
    step_s: f64,
    most_steps: u32,
) -> Option<March<N>> {
    let velocity = setup.velocity;
    let bodies = Bodies { at: setup.start, velocity: [velocity; 2] };
    let mut moment = Moment { bodies, on: [None; 2], heat_j: 0.0 };
    for body in [CARRIAGE, LITTER] {
        moment.stand(setup, body);
    }
    let start_j = setup.energy_j(&bodies);
    let mut run = March {
        drop_m: 0.0,
        fastest: 0.0,
        first: None,
        hardest: None,
        rope_peaks_n: [0.0; N],
        track_peak_n: 0.0,
        sling_peak_n: 0.0,
        end_at: setup.start[LITTER],
        end_speed: 0.0,
        on_ground: false,
        energy_error: 0.0,
        steps: 0,
    };
    let mut now_s = 0.0;
    // Energy that went to and fro, for judging what is missing.
    let mut turned_over_j = G * setup.litter_kg * 0.01 + 0.5 * setup.litter_kg * dot(velocity, velocity);
    loop {
        let acting = setup.acting(&moment.bodies);
        run.note(setup, &moment, &acting);
        turned_over_j = turned_over_j
            .max(G * setup.litter_kg * run.drop_m + 0.5 * setup.litter_kg * run.fastest * run.fastest);
        let lies =
            [CARRIAGE, LITTER].into_iter().all(|body| !setup.has(body) || moment.rests(setup, body, &acting));
        if lies || now_s >= time_s {
            break;
        }
        if run.steps >= most_steps {
            return None;
        }
        run.steps += 1;
        let step_s = step_s.min(time_s - now_s);
        let rates = moment.change_by(setup, &acting);
        let next = moment.after(setup, &rates, step_s);
        let landing = [CARRIAGE, LITTER].into_iter().filter(|body| next.is_below(setup, *body, &moment));
        // The first body to land, and when.
        let first = landing
            .map(|body| (moment.lands_after(setup, &rates, body, step_s), body))
            .min_by(|a, b| a.0.total_cmp(&b.0));
        if let Some((after_s, body)) = first {
            moment = moment.after(setup, &rates, after_s);
            now_s += after_s;
            moment.meet(setup, body, now_s, &mut run);
        } else {
            moment = next;
            now_s += step_s;
            moment.go_on(setup, now_s, step_s, &mut run);
        }
    }
    run.end_at = moment.bodies.at[LITTER];
    run.end_speed = math::sqrt(dot(moment.bodies.velocity[LITTER], moment.bodies.velocity[LITTER]));
    run.on_ground = moment.on[LITTER].is_some();
    let missing_j = setup.energy_j(&moment.bodies) + moment.heat_j - start_j;
    run.energy_error = missing_j.abs() / turned_over_j;
    if !run.energy_error.is_finite() {
        run.energy_error = f64::INFINITY;
    }
    Some(run)
}

impl<const N: usize> March<N> {
    fn note(&mut self, setup: &Setup<'_, N>, moment: &Moment, acting: &Loading<N>) {
        for (peak, pull) in self.rope_peaks_n.iter_mut().zip(acting.ropes_n) {
            *peak = peak.max(pull);
        }
        self.track_peak_n = self.track_peak_n.max(acting.track_n);
        self.sling_peak_n = self.sling_peak_n.max(acting.sling_n);
        self.drop_m = self.drop_m.max(setup.start[LITTER][1] - moment.bodies.at[LITTER][1]);
        let v = moment.bodies.velocity[LITTER];
        self.fastest = self.fastest.max(math::sqrt(dot(v, v)));
    }
}

impl Moment {
    /// What the ground leaves of the force on a body that stands on a face: the force, and the heat of friction.
    fn supported(face: &Face, friction: f64, force_n: [f64; 2], velocity: [f64; 2]) -> ([f64; 2], f64) {
        let (across_n, along_n) = (dot(force_n, face.up), dot(force_n, face.along));
        if across_n > 0.0 {
            return (force_n, 0.0);
        }
        let holds_n = -friction * across_n;
        let speed = dot(velocity, face.along);
        let (left_n, heat_w) = if speed == 0.0 {
            // Sticks, or starts to slide.
            (along_n - along_n.clamp(-holds_n, holds_n), 0.0)
        } else {
            (along_n - holds_n.copysign(speed), holds_n * speed.abs())
        };
        ([left_n * face.along[0], left_n * face.along[1]], heat_w)
    }

    fn change<const N: usize>(&self, setup: &Setup<'_, N>) -> Rates {
        self.change_by(setup, &setup.acting(&self.bodies))
    }

    /// How it changes under what acts on it.
    fn change_by<const N: usize>(&self, setup: &Setup<'_, N>, acting: &Loading<N>) -> Rates {
        let Loading { mut force_n, damped_w, .. } = *acting;
        let mut heat_w = damped_w;
        let mut acceleration = [[0.0; 2]; 2];
        for body in [CARRIAGE, LITTER].into_iter().filter(|body| setup.has(*body)) {
            if let (Some(face), Some(ground)) = (&self.on[body], &setup.ground) {
                let (force, friction_w) =
                    Self::supported(face, ground.friction, force_n[body], self.bodies.velocity[body]);
                force_n[body] = force;
                heat_w += friction_w;
            }
            acceleration[body] = force_n[body].map(|force| force / setup.mass_kg(body));
        }
        Rates { velocity: self.bodies.velocity, acceleration, heat_w }
    }

    fn moved(&self, change: &Rates, step_s: f64) -> Self {
        let mut moved = *self;
        for body in [CARRIAGE, LITTER] {
            for axis in 0..2 {
                moved.bodies.at[body][axis] += step_s * change.velocity[body][axis];
                moved.bodies.velocity[body][axis] += step_s * change.acceleration[body][axis];
            }
        }
        moved.heat_j += step_s * change.heat_w;
        moved
    }

    /// One step of the classical method of Runge and Kutta, from the rates k₁ at its beginning.
    fn after<const N: usize>(&self, setup: &Setup<'_, N>, k1: &Rates, step_s: f64) -> Self {
        let k2 = self.moved(k1, 0.5 * step_s).change(setup);
        let k3 = self.moved(&k2, 0.5 * step_s).change(setup);
        let k4 = self.moved(&k3, step_s).change(setup);
        let mut next = *self;
        // y + h/6·(k₁ + 2k₂ + 2k₃ + k₄)
        for (k, share) in [(k1, 1.0), (&k2, 2.0), (&k3, 2.0), (&k4, 1.0)] {
            next = next.moved(k, step_s * share / 6.0);
        }
        next
    }

    fn gap<const N: usize>(&self, setup: &Setup<'_, N>, body: usize) -> f64 {
        let at = self.bodies.at[body];
        setup.ground.map_or(f64::INFINITY, |ground| at[1] - ground.face_below(at[0]).height(at[0]))
    }

    /// Whether a body that was free is below the ground now.
    fn is_below<const N: usize>(&self, setup: &Setup<'_, N>, body: usize, before: &Self) -> bool {
        setup.has(body) && before.on[body].is_none() && self.gap(setup, body) < 0.0
    }

    /// How much of a step a body takes to the ground.
    fn lands_after<const N: usize>(
        &self,
        setup: &Setup<'_, N>,
        rates: &Rates,
        body: usize,
        step_s: f64,
    ) -> f64 {
        let gap = |after_s: f64| self.after(setup, rates, after_s).gap(setup, body);
        // Where both ends are below the ground, it stands there already.
        roots::bracketed(0.0, step_s, 1e-14 * step_s, gap).map_or(0.0, |root| root.x)
    }

    /// A body meets the ground: it stays on it, and loses what went into it.
    fn meet<const N: usize>(&mut self, setup: &Setup<'_, N>, body: usize, now_s: f64, run: &mut March<N>) {
        let Some(ground) = setup.ground else { return };
        let at = self.bodies.at[body];
        let face = ground.face_below(at[0]);
        let v = self.bodies.velocity[body];
        let (into, along) = (-dot(v, face.up), dot(v, face.along));
        self.put_on(setup, body, &face);
        if into <= 0.0 {
            return;
        }
        if body == LITTER {
            let met = Met { time_s: now_s, at, speed: math::sqrt(dot(v, v)), into_ground: into };
            run.first.get_or_insert(met);
            if run.hardest.is_none_or(|hardest| met.into_ground > hardest.into_ground) {
                run.hardest = Some(met);
            }
        }
        // No rebound; friction takes up to μ times as much along as goes in.
        let left = along - along.clamp(-ground.friction * into, ground.friction * into);
        self.set_along(setup, body, &face, left);
    }

    /// The body's height is that of the ground, to which it comes by less than the error of a step.
    fn put_on<const N: usize>(&mut self, setup: &Setup<'_, N>, body: usize, face: &Face) {
        let x_m = self.bodies.at[body][0];
        self.bodies.at[body][1] = face.height(x_m);
        if setup.has(body) {
            self.on[body] = Some(*face);
        }
    }

    /// The body goes on along the ground with this speed; the difference of kinetic energy is heat.
    fn set_along<const N: usize>(&mut self, setup: &Setup<'_, N>, body: usize, face: &Face, speed: f64) {
        let before = dot(self.bodies.velocity[body], self.bodies.velocity[body]);
        self.bodies.velocity[body] = face.along.map(|along| along * speed);
        self.heat_j += 0.5 * setup.mass_kg(body) * (before - speed * speed);
    }

    /// At the start: a body at the ground stands on it.
    fn stand<const N: usize>(&mut self, setup: &Setup<'_, N>, body: usize) {
        if let Some(ground) = setup.ground
            && setup.has(body)
            && self.gap(setup, body) <= 1e-9
        {
            let face = ground.face_below(self.bodies.at[body][0]);
            self.put_on(setup, body, &face);
        }
    }

    /// After a step: bodies that stood go on along their face, leave it, or meet the next one.
    fn go_on<const N: usize>(&mut self, setup: &Setup<'_, N>, now_s: f64, step_s: f64, run: &mut March<N>) {
        let Some(ground) = setup.ground else { return };
        if self.on == [None; 2] {
            return;
        }
        let force_n = setup.acting(&self.bodies).force_n;
        for body in [CARRIAGE, LITTER] {
            let Some(face) = self.on[body] else { continue };
            let lifts = dot(force_n[body], face.up) > 0.0;
            let next = ground.face_below(self.bodies.at[body][0]);
            if lifts {
                self.on[body] = None;
                // It may be a rounding below its face.
                let x_m = self.bodies.at[body][0];
                let floor = next.height(x_m);
                self.bodies.at[body][1] = self.bodies.at[body][1].max(floor);
            } else if next == face {
                // Friction brings to rest and doesn't turn back.
                let speed = dot(self.bodies.velocity[body], face.along);
                let holds = self.holds(setup, body, &face, force_n[body], step_s);
                self.put_on(setup, body, &face);
                self.set_along(setup, body, &face, if holds { 0.0 } else { speed });
            } else if dot(self.bodies.velocity[body], next.up) < 0.0 {
                self.meet(setup, body, now_s, run);
            } else {
                // The ground falls away.
                self.on[body] = None;
            }
        }
    }

    /// Whether friction holds a body on the ground that is as slow as what it takes from it in one step.
    fn holds<const N: usize>(
        &self,
        setup: &Setup<'_, N>,
        body: usize,
        face: &Face,
        force_n: [f64; 2],
        step_s: f64,
    ) -> bool {
        let friction = setup.ground.map_or(0.0, |ground| ground.friction);
        let (across_n, along_n) = (dot(force_n, face.up), dot(force_n, face.along));
        let holds_n = -friction * across_n;
        let speed = dot(self.bodies.velocity[body], face.along);
        along_n.abs() <= holds_n && speed.abs() <= step_s * (holds_n + along_n.abs()) / setup.mass_kg(body)
    }

    fn rests<const N: usize>(&self, setup: &Setup<'_, N>, body: usize, acting: &Loading<N>) -> bool {
        let Some(face) = self.on[body] else { return false };
        let force_n = acting.force_n[body];
        self.bodies.velocity[body] == [0.0; 2] && self.holds(setup, body, &face, force_n, 0.0)
    }
}
