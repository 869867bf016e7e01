//! Falls from a state of the rig: in closed form, and followed in time.

use super::super::model::Model;
use super::super::state::HoldingRope;
use super::{AtMost, Before, FailureError};
use crate::arrest::{FallInTime, FallMotion, FallingRope, STIFFER_AT_MOST, STIFFER_IN_A_FALL};
use crate::geometry::{Point2, Point3};
use crate::math;
use crate::quantity::{
    Force, Length, Mass, Ratio, STANDARD_GRAVITY_M_PER_S2 as G, Time, Velocity, metres, metres_per_second,
    newtons, ratio, unit::kilogram, unit::second,
};
use crate::rope::Stretch;
use nalgebra::Vector3;

/// A motion is followed to within this share of its peaks, speeds and drops.
const TOLERANCE: f64 = 0.02;
/// A sling shorter than this isn't one.
const LEAST_SLING_M: f64 = 0.05;
/// The lightest carriage that is followed as a body of its own.
const LEAST_CARRIAGE_KG: f64 = 1.0;

/// A rope to the load, as it stretches in a fall.
#[derive(Debug, Clone, Copy)]
pub(in super::super) struct LoadRope {
    /// From the head to the carriage.
    pub(in super::super) out_m: f64,
    /// What stretches: all of that, and what is behind the head by what friction lets it share.
    pub(in super::super) length_m: f64,
    pub(in super::super) stretch: Stretch,
}

impl LoadRope {
    /// Its stiffness at no load, so many times that of the slow rope.
    pub(super) fn stiffness_n_per_m(&self, stiffer: f64) -> f64 {
        stiffer * self.stretch.a_n() / self.length_m
    }
}

fn distance_m(a: Vector3<f64>, b: Vector3<f64>) -> f64 {
    math::sqrt((b - a).norm_squared())
}

impl Model<'_> {
    /// What stretches of a rope to the load at the end of so much of it: r + η₁·l₁ + η₁·η₂·l₂ + …
    ///
    /// with η at each turn from the load on, since a load that falls draws rope over them. The tackle and what is behind
    /// it count as stiff. Safe side for peaks: the shorter.
    pub(in super::super) fn load_rope_as_it_stretches(
        &self,
        rope: HoldingRope,
        carriage: Point2,
    ) -> Result<LoadRope, FailureError> {
        let out_m = self.reach_m(carriage);
        let mut length_m = out_m;
        let mut share = 1.0;
        let (mut before, mut at) = (self.seen_from_base(carriage).si(), self.head_at.si());
        let mut next = |turn: crate::sheave::Turn, to: Point3| {
            // θ between the ways in and out
            let angle = crate::geometry::angle_between(&(at - before), &(to.si() - at));
            share *= turn.ratios(angle).1;
            length_m += share * distance_m(at, to.si());
            (before, at) = (at, to.si());
        };
        let stretch = match rope {
            HoldingRope::Haul => {
                let haul = &self.values().haul;
                let mut turn = haul.head_turn;
                for redirect in haul.redirects.iter().filter(|redirect| redirect.holds) {
                    next(turn, redirect.at);
                    turn = redirect.turn;
                }
                next(turn, haul.winch);
                haul.rope.stretch()
            }
            HoldingRope::Belay => {
                let belay = self.values().belay.ok_or(super::StateError::NotHeld)?;
                next(belay.head_turn, belay.device);
                belay.rope.stretch()
            }
        };
        Ok(LoadRope { out_m, length_m, stretch })
    }
}

impl Model<'_> {
    /// The stiffness of the haul rope as the winch feels it while every turn hauls: EA/(l_w + … + η_h·η₁·r)
    ///
    /// with η at each turn from the winch on. A tackle is taken for stiff: k·n² at its load is left to it.
    pub(super) fn haul_stiffness_at_winch(&self, carriage: Point2) -> Result<f64, FailureError> {
        let haul = &self.values().haul;
        let from_load = self.load_rope_as_it_stretches(HoldingRope::Haul, carriage)?;
        let mut places: arrayvec::ArrayVec<Vector3<f64>, { super::super::place::MOST_HAUL_REDIRECTS + 3 }> =
            arrayvec::ArrayVec::new();
        places.push(self.seen_from_base(carriage).si());
        places.push(self.head_at.si());
        let held = haul.redirects.iter().filter(|redirect| redirect.holds);
        places.extend(held.clone().map(|redirect| redirect.at.si()));
        places.push(haul.winch.si());
        let turns = core::iter::once(haul.head_turn).chain(held.map(|redirect| redirect.turn));
        // Horner: S ← η·S + l, from the load to the winch.
        let mut length_m = from_load.out_m;
        for (triple, turn) in places.windows(3).zip(turns) {
            let [a, b, c] = triple else { continue };
            let angle = crate::geometry::angle_between(&(b - a), &(c - b));
            length_m = turn.ratios(angle).1 * length_m + distance_m(*b, *c);
        }
        Ok(from_load.stretch.a_n() / length_m)
    }
}

/// How fast it is after a fall: v² = 2·(g·Δ·m + U)/m₁, with the energy U that the ropes had stored, all of it in the
/// litter m₁ of the whole m.
pub(super) fn speed_bound(drop_m: f64, mass_kg: f64, litter_kg: f64, stored_j: f64) -> Velocity {
    metres_per_second(math::sqrt(2.0 * (G * drop_m * mass_kg + stored_j) / litter_kg))
}

/// What came of motions with ropes as stiff as expected, as soft and as stiff as they may be.
#[derive(Debug, Clone, Copy)]
pub(super) struct Followed {
    pub(super) drop: AtMost<Length>,
    pub(super) haul: AtMost<Force>,
    pub(super) belay: AtMost<Force>,
    pub(super) track: AtMost<Force>,
    pub(super) sling: AtMost<Force>,
    pub(super) landing: Option<(AtMost<Velocity>, AtMost<Velocity>)>,
    /// How far from the head the carriage or litter came beyond its start.
    pub(super) lies: bool,
}

/// Ropes that still act on the bodies.
#[derive(Debug, Clone, Copy)]
pub(super) struct Acting {
    /// Tension of the haul rope, or its slack below zero; nothing if it is gone.
    pub(super) haul: Option<f64>,
    /// Slack of the belay rope; nothing if there is none.
    pub(super) belay_slack_m: Option<f64>,
    /// Rope that enters the track at once; nothing if it is gone.
    pub(super) track_longer_m: Option<f64>,
}

impl Before<'_, '_, '_> {
    pub(super) fn litter(&self) -> Point2 {
        let hang = self.model.values().load.hang;
        let floor_m = self.model.ground_m(self.carriage.x.value).unwrap_or(f64::NEG_INFINITY);
        Point2::new(self.carriage.x, metres((self.carriage.z - hang).value.max(floor_m)))
    }

    /// What a sling adds to the pull of the ropes when it comes taut after a fall, between the litter and a light
    /// carriage: v·√(k·m₁m₂/(m₁ + m₂)) with v² = 2·g·Δ.
    pub(super) fn sling_jerk(&self, drop: Length) -> Force {
        let (mass_kg, litter_kg) = self.masses_kg();
        let hang_m = (self.carriage.z - self.litter().z).value;
        if hang_m < LEAST_SLING_M || mass_kg <= litter_kg {
            return newtons(0.0);
        }
        let reduced_kg = litter_kg * (mass_kg - litter_kg) / mass_kg;
        newtons(math::sqrt(2.0 * G * drop.value.max(0.0) * self.values.sling.a_n() / hang_m * reduced_kg))
    }

    /// The masses: all, and the litter's.
    pub(super) fn masses_kg(&self) -> (f64, f64) {
        let litter_kg = self.model.litter_weight().value / G;
        (
            self.model.weight().value / G,
            if litter_kg > 0.0 { litter_kg } else { self.model.weight().value / G },
        )
    }

    /// The lowest that the litter can come to on its way in, to below the head, inside a circle round the head and above
    /// the ground; and whether the ground is in its way there.
    ///
    /// Found at each corner of the ground, at each crossing of ground and circle, and at the ends.
    pub(super) fn lowest_m(&self, radius_m: f64) -> (f64, bool) {
        let head = self.model.head.si();
        let litter = self.litter().si();
        let (from, to) = (head.x.min(litter.x), litter.x.max(head.x));
        let circle = |x: f64| {
            let across = x - head.x;
            head.y - math::sqrt((radius_m * radius_m - across * across).max(0.0))
        };
        let ground = |x: f64| self.model.ground_m(x).unwrap_or(f64::NEG_INFINITY);
        let at = |x: f64| circle(x).max(ground(x));
        let mut lowest = at(from).min(at(to));
        let mut in_the_way = ground(from) >= circle(from) || ground(to) >= circle(to);
        for pair in self.model.values().ground.windows(2) {
            let [a, b] = pair else { continue };
            let (a, b) = (a.si(), b.si());
            let mut candidate = |x: f64| {
                if x >= from && x <= to && x >= a.x && x <= b.x {
                    lowest = lowest.min(at(x));
                    in_the_way |= ground(x) >= circle(x);
                }
            };
            candidate(a.x);
            candidate(b.x);
            // |a + s·(b − a) − head| = R
            let (run, off) = (b - a, a - head);
            let (aa, bb, cc) = (run.norm_squared(), off.dot(&run), off.norm_squared() - radius_m * radius_m);
            let under = bb * bb - aa * cc;
            if under >= 0.0 {
                let root = math::sqrt(under);
                candidate(a.x + (-bb + root) / aa * run.x);
                candidate(a.x + (-bb - root) / aa * run.x);
            }
        }
        (lowest, in_the_way)
    }

    /// The greatest tension of a rope that doesn't stretch, on the litter's arc of a radius about the head, from where the
    /// litter is down to where the ground stops it: W·(cos ψ + 2·Δ/R).
    pub(super) fn greatest_on_arc_n(&self, radius_m: f64) -> f64 {
        let (head, litter) = (self.model.head.si(), self.litter().si());
        let weight_n = self.model.weight().value;
        // The longer the fall and the nearer to plumb, the greater: the lowest place of the arc that is above ground.
        const STEPS: u32 = 64;
        let start = math::atan2(litter.x - head.x, head.y - litter.y);
        let mut greatest_n = weight_n * math::cos(start).max(0.0);
        for step in 0..=STEPS {
            let angle = start * (1.0 - f64::from(step) / f64::from(STEPS));
            let x = head.x + radius_m * math::sin(angle);
            let z = head.y - radius_m * math::cos(angle);
            let fallen = litter.y - z;
            greatest_n = greatest_n.max(weight_n * (math::cos(angle) + 2.0 * fallen.max(0.0) / radius_m));
            if self.model.ground_m(x).is_some_and(|ground_m| z < ground_m) && fallen > 0.0 {
                break;
            }
        }
        greatest_n
    }

    /// The motion after a failure, with ropes so many times as stiff as slowly pulled.
    fn follow_once(&self, acting: Acting, stiffer: f64) -> Result<FallMotion<2>, FailureError> {
        let model = self.model;
        let dynamic = |stretch: Stretch| stretch.scaled(ratio(stiffer));
        let head = model.head;
        let (mass_kg, litter_kg) = self.masses_kg();
        let belay = match acting.belay_slack_m {
            Some(slack_m) => {
                let rope = model.load_rope_as_it_stretches(HoldingRope::Belay, self.carriage)?;
                let length = metres(rope.length_m + slack_m);
                FallingRope::slack(head, length, dynamic(rope.stretch)?, metres(slack_m))?
            }
            None => FallingRope::slack(head, metres(1.0), model.values().haul.rope.stretch(), metres(1e4))?,
        };
        let haul_rope = model.load_rope_as_it_stretches(HoldingRope::Haul, self.carriage)?;
        let (upper, lower) = (head.si() - self.carriage.si(), model.values().far.si() - self.carriage.si());
        let (upper_m, lower_m) = (math::hypot(upper.x, upper.y), math::hypot(lower.x, lower.y));
        // T·(u₁ + u₂) + P·u₁ = W·ẑ: what both strands and the haul rope pull if none of them had weight.
        let (u1, u2) = (upper / upper_m, lower / lower_m);
        let across = u1.x * u2.y - u1.y * u2.x;
        let weight_n = mass_kg * G;
        let track_n = u1.x * weight_n / across;
        let haul_n = -u2.x * weight_n / across - track_n;
        let haul = match acting.haul {
            Some(tension_n) if tension_n >= 0.0 => {
                // With the track still on, what balances it at the start.
                let tension_n = if acting.track_longer_m.is_some() { haul_n.max(0.0) } else { tension_n };
                let stretch = dynamic(haul_rope.stretch)?;
                FallingRope::taut(head, metres(haul_rope.length_m), stretch, newtons(tension_n))?
            }
            Some(slack_m) => {
                let length = metres(haul_rope.length_m - slack_m);
                FallingRope::slack(head, length, dynamic(haul_rope.stretch)?, metres(-slack_m))?
            }
            None => FallingRope::slack(head, metres(1.0), haul_rope.stretch, metres(1e4))?,
        };
        let litter = self.litter();
        let hang_m = (self.carriage.z - litter.z).value;
        let kg = Mass::new::<kilogram>;
        let carriage_kg = mass_kg - litter_kg;
        let two = hang_m >= LEAST_SLING_M && carriage_kg >= LEAST_CARRIAGE_KG;
        let mut fall = if two {
            FallInTime::new(kg(litter_kg), litter, [haul, belay])?.with_carriage(
                kg(carriage_kg),
                self.carriage,
                self.values.sling,
            )?
        } else {
            FallInTime::new(kg(mass_kg), litter, [haul, belay])?
        };
        if let Some(longer_m) = acting.track_longer_m {
            let stretch = dynamic(model.track_stretch)?;
            let length_m = (upper_m + lower_m) / (1.0 + stretch.strain_at(track_n.max(0.0)));
            fall = fall.with_track(head, model.values().far, metres(length_m + longer_m), stretch)?;
        }
        let mu: Ratio = model.values().load.ground_friction;
        fall = fall.on_ground(model.ground, mu)?;
        // A quarter of a wide swing, and until a rope has caught.
        let time_s = (2.0 * math::sqrt((haul_rope.out_m + hang_m) / G)).clamp(2.0, 8.0);
        Ok(fall.run(Time::new::<second>(time_s), ratio(TOLERANCE))?)
    }

    /// The motion after a failure, at the ends and the middle of how stiff ropes are in falls.
    pub(super) fn follow(&self, acting: Acting) -> Result<Followed, FailureError> {
        let expected = self.follow_once(acting, STIFFER_IN_A_FALL.expected)?;
        let soft = self.follow_once(acting, STIFFER_IN_A_FALL.low)?;
        let stiff = self.follow_once(acting, STIFFER_AT_MOST)?;
        // What hangs on the carriage has half of the mass of the ropes to it: m' of the whole m. The other half falls along, and
        // may give all the energy of its fall to the load: ½·m·v'² ≤ (m + m')·g·Δ. A peak grows with that energy at most
        // in proportion, a speed by its root.
        let values = &self.model.values().load;
        let (mass_kg, hung_kg) = (self.masses_kg().0, (values.carriage + values.litter).value);
        let raised = (1.0 + TOLERANCE) * (1.0 + (mass_kg - hung_kg) / mass_kg);
        let bound =
            |of: &dyn Fn(&FallMotion<2>) -> f64| raised * of(&expected).max(of(&soft)).max(of(&stiff));
        let force =
            |of: &dyn Fn(&FallMotion<2>) -> f64| AtMost::new(newtons(of(&expected)), newtons(bound(of)));
        let start_z = self.litter().z;
        let drop = |motion: &FallMotion<2>| {
            // Until it first lands: it may slide further down then.
            motion.first_landing.map_or(motion.drop, |landing| start_z - landing.at.z).value.max(0.0)
        };
        let speed =
            |motion: &FallMotion<2>| motion.hardest_landing.map_or(0.0, |landing| landing.speed.value);
        let into = |motion: &FallMotion<2>| motion.hardest_landing.map_or(0.0, |hit| hit.into_ground.value);
        let velocity = |of: &dyn Fn(&FallMotion<2>) -> f64| {
            AtMost::new(metres_per_second(of(&expected)), metres_per_second(bound(of)))
        };
        let lands = [&expected, &soft, &stiff].iter().any(|motion| motion.hardest_landing.is_some());
        Ok(Followed {
            drop: AtMost::new(metres(drop(&expected)), metres(bound(&drop))),
            haul: force(&|motion| motion.rope_peaks[0].value),
            belay: force(&|motion| motion.rope_peaks[1].value),
            track: force(&|motion| motion.track_peak.value),
            sling: force(&|motion| motion.sling_peak.value),
            landing: lands.then(|| (velocity(&speed), velocity(&into))),
            lies: expected.first_landing.is_some(),
        })
    }
}
