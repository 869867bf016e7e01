//! Random carriages whose balance is known beforehand: built from their forces, by closed forms that share nothing
//! with the solver.
//!
//! The pull of each part on the carriage and its unstretched length are drawn first. They give both supports, by the
//! elastic catenary; what the track doesn't carry gives the direction of the haul rope, and its length the haul point.

use crate::line::Random;
use rope_mechanics::carriage::{
    CarriageError, CarriageState, HaulRope, Held, Load, Support, Track, rolling, rolling_length_for_sag,
    rolling_length_for_tension, rolling_length_for_x,
};
use rope_mechanics::geometry::{Point2, Profile};
use rope_mechanics::motion::Motion;
use rope_mechanics::quantity::unit::{meter, newton, ratio};
use rope_mechanics::quantity::{Force, Length, LineWeight, Ratio};
use rope_mechanics::rope::Stretch;

fn m(value: f64) -> Length {
    Length::new::<meter>(value)
}

fn n(value: f64) -> Force {
    Force::new::<newton>(value)
}

fn per_metre(value: f64) -> LineWeight {
    n(value) / m(1.0)
}

/// Weight, a and b of a rope, in SI.
pub type Rope = (f64, f64, f64);

/// A carriage in a balance that is known.
#[derive(Debug, Clone, Copy)]
pub struct Known {
    /// The far anchor, seen from the head.
    pub far: (f64, f64),
    /// The track rope.
    pub track: Rope,
    /// Its unstretched length.
    pub length_m: f64,
    /// What hangs on the carriage.
    pub load_n: f64,
    /// Tension behind the moving carriage by that ahead of it, less 1.
    pub friction: f64,
    /// Which way it moves.
    pub motion: Motion,
    /// The haul point.
    pub haul_point: (f64, f64),
    /// The haul rope: a of infinity if it doesn't stretch.
    pub haul: Rope,
    /// Where the carriage is.
    pub place: (f64, f64),
    /// Unstretched length of the haul rope.
    pub haul_m: f64,
    /// Tension at the head.
    pub head_n: f64,
    /// Pull of the haul rope at the carriage.
    pub pull_n: f64,
}

impl Known {
    /// The track, with this unstretched length.
    ///
    /// # Panics
    /// If it isn't one.
    #[must_use]
    pub fn track(&self, length_m: f64) -> Track {
        let (w, a, b) = self.track;
        let stretch = Stretch::stiffening(n(a), n(b)).unwrap();
        let point = |(x, z)| Point2::new(m(x), m(z));
        Track::new(point((0.0, 0.0)), point(self.far), m(length_m), per_metre(w), stretch).unwrap()
    }

    /// The carriage on its track, with this load.
    ///
    /// # Panics
    /// If it isn't one.
    #[must_use]
    pub fn held(&self, length_m: f64, load_n: f64) -> Held {
        let load = Load::new(n(load_n)).unwrap();
        let load = load.with_wheel_friction(Ratio::new::<ratio>(self.friction), self.motion).unwrap();
        let (w, a, b) = self.haul;
        let mut haul = HaulRope::new(Point2::new(m(self.haul_point.0), m(self.haul_point.1)))
            .unwrap()
            .with_weight(per_metre(w))
            .unwrap();
        if a.is_finite() {
            haul = haul.with_stretch(Stretch::stiffening(n(a), n(b)).unwrap());
        }
        Held::new(self.track(length_m), load, haul)
    }

    /// What errors of a place are measured against.
    #[must_use]
    pub fn size_m(&self) -> f64 {
        self.far.0.hypot(self.far.1).max(self.length_m)
    }
}

/// Where a part ends that pulls at its first end with (h, v), and its tension there.
///
/// Irvine 1981, for a linear rope; one that stiffens is integrated by Simpson's rule in asinh(V/H).
#[must_use]
pub fn part((w, a, b): Rope, h: f64, v: f64, length: f64) -> (f64, f64, f64) {
    let end = v + w * length;
    let (t, t_end) = (h.hypot(v), h.hypot(end));
    let strain = |t: f64| 2.0 * t / (a + (a * a + 4.0 * b * t).sqrt());
    // Less than a thousandth of the tension hangs on it: two terms of the series in it are all there is to f64.
    if w * length < 1e-4 * t {
        let middle = v + 0.5 * w * length;
        let tm = h.hypot(middle);
        let stretched = length * (1.0 / tm + strain(tm) / tm);
        // ∫f ds = L·f(middle) + L³·w²/24·f''
        let second = |f: &dyn Fn(f64) -> f64| {
            let d = 0.01 * tm;
            (f(middle + d) - 2.0 * f(middle) + f(middle - d)) / (d * d) * (w * length).powi(2) / 24.0 * length
        };
        let g = |v: f64| (1.0 + strain(h.hypot(v))) / h.hypot(v);
        return (h * (stretched + second(&g)), middle * stretched + second(&|v| v * g(v)), t_end);
    }
    let (from, to) = ((v / h).asinh(), (end / h).asinh());
    let mut span = h / w * (to - from);
    let mut rise = w * length * (v + end) / (t + t_end) / w;
    if b == 0.0 {
        span += h * length / a;
        rise += 0.5 * (v + end) * length / a;
    } else {
        let steps = 400;
        let step = (to - from) / f64::from(steps);
        for i in 0..=steps {
            let u = from + step * f64::from(i);
            let weight = if i == 0 || i == steps {
                1.0
            } else if i % 2 == 1 {
                4.0
            } else {
                2.0
            };
            // ds = (H/w)·cosh u du, strain·(1, sinh u)/cosh u along it
            let more = weight * step / 3.0 * h / w * strain(h * u.cosh());
            span += more;
            rise += more * u.sinh();
        }
    }
    (span, rise, t_end)
}

/// Without end: carriages as they are rigged and beyond.
#[derive(Debug, Clone)]
pub struct RandomCarriages(Random);

impl RandomCarriages {
    /// A new sequence, the same for the same seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self(Random::new(seed))
    }

    fn chance(&mut self, share: f64) -> bool {
        self.0.even(0.0, 1.0) < share
    }

    /// A rope of the weight of ropes, or none; stiff, soft or stiffening.
    fn rope(&mut self, weightless: f64) -> Rope {
        let w = if self.chance(weightless) { 0.0 } else { self.0.log(0.1, 10.0) };
        let a = if self.chance(0.1) { 1e10 } else { self.0.log(1e4, 1e7) };
        let b = if self.chance(0.25) { a * self.0.log(0.1, 20.0) } else { 0.0 };
        (w, a, b)
    }

    /// Held by a haul rope from near, above, behind or below either support, or from between them.
    fn held(&mut self) -> Option<Known> {
        let track = self.rope(0.15);
        // The part on the haul rope's side is the steeper one.
        let steep = self.0.log(0.03, 3.0);
        let flat = steep * self.0.even(-0.98, 0.98);
        let (near_m, away_m) = (self.0.log(0.05, 150.0), self.0.log(0.5, 150.0));
        let friction = if self.chance(0.3) { self.0.even(0.0, 0.1) } else { 0.0 };
        let motion = if self.chance(0.5) { Motion::Hauling } else { Motion::Lowering };
        // T_away = ρ·T_near: hauled, the far side of the carriage is behind.
        let rho = match motion {
            Motion::Lowering => 1.0 / (1.0 + friction),
            _ => 1.0 + friction,
        };
        let (c1, s1) = (1.0 / steep.cosh(), steep.tanh());
        let (c2, s2) = (1.0 / flat.cosh(), flat.tanh());
        // The haul rope climbs by δ: along the track, steep, plumb, or down.
        let slope = (steep.sinh()).atan();
        let climb = match self.0.even(0.0, 10.0) as u32 {
            0..=5 => slope * self.0.even(0.6, 1.3),
            6 => self.0.even(0.0, 1.5),
            7 => std::f64::consts::FRAC_PI_2 - self.0.log(1e-3, 0.3),
            8 => self.0.even(-0.3, 0.1),
            _ => slope,
        };
        let tan = climb.tan();
        // level: P·cos δ = ρ·T·c₂ − T·c₁; upward: T·(s₁ + ρ·s₂) + P·sin δ = W
        let level = rho * c2 - c1;
        let up = s1 + rho * s2 + level * tan;
        let load_n = self.0.log(200.0, 1e4);
        if !(level > 0.0 && up > 0.0 && climb < 1.5705) {
            return None;
        }
        let t = load_n / up;
        let (h1, v1, h2, v2) = (t * c1, t * s1, rho * t * c2, rho * t * s2);
        let (span1, rise1, t_near) = part(track, h1, v1, near_m);
        let (span2, rise2, t_away) = part(track, h2, v2, away_m);
        let strain = |t: f64| 2.0 * t / (track.1 + (track.1 * track.1 + 4.0 * track.2 * t).sqrt());
        if !(t < 200.0 * load_n && strain(t_near.max(t_away)) < 0.5) {
            return None;
        }
        let (haul, haul_m, pull) = self.haul(level * t, tan, span1)?;
        let (across, haul_rise, _) = if haul.0 == 0.0 {
            let stretched = if haul.1.is_finite() {
                1.0 + 2.0 * pull / (haul.1 + (haul.1 * haul.1 + 4.0 * haul.2 * pull).sqrt())
            } else {
                1.0
            };
            (haul_m * stretched * climb.cos(), haul_m * stretched * climb.sin(), pull)
        } else {
            part(haul, level * t, level * t * tan, haul_m)
        };
        // Built towards the head on the left; the carriage at (span₁, −rise₁).
        let place = (span1, -rise1);
        let mut known = Known {
            far: (span1 + span2, rise2 - rise1),
            track,
            length_m: near_m + away_m,
            load_n,
            friction,
            motion,
            haul_point: (place.0 - across, place.1 + haul_rise),
            haul,
            place,
            haul_m,
            head_n: t_near,
            pull_n: pull,
        };
        if self.chance(0.3) {
            // The same seen from its other support: hauled towards the far anchor.
            let (x, z) = known.far;
            let seen = |(px, pz): (f64, f64)| (x - px, pz - z);
            known = Known {
                far: (x, -z),
                haul_point: seen(known.haul_point),
                place: seen(known.place),
                head_n: t_away,
                ..known
            };
        }
        Some(known)
    }

    /// The haul rope that pulls with `level` and climbs by `tan` from the carriage, towards a support at `span`.
    fn haul(&mut self, level: f64, tan: f64, span: f64) -> Option<(Rope, f64, f64)> {
        let cos = 1.0 / (1.0 + tan * tan).sqrt();
        let reach = match self.0.even(0.0, 4.0) as u32 {
            0 => span,
            1 => span * self.0.even(0.2, 1.0),
            2 => span + self.0.log(0.05, 5.0),
            _ => span * self.0.log(0.3, 3.0),
        };
        let haul_m = (reach / cos).min(400.0);
        let pull = level / cos;
        let mut haul = if self.chance(0.3) { self.rope(0.3) } else { (0.0, f64::INFINITY, 0.0) };
        if haul.0 > 0.0 {
            haul.0 = haul.0.min(1.5);
            // Lighter than its pull: it hangs in no loop.
            if haul.0 * haul_m > 0.9 * pull {
                return None;
            }
        }
        if haul.1.is_finite() && pull > 0.3 * haul.1 {
            return None;
        }
        Some((haul, haul_m, pull))
    }

    /// A load that rolls to rest: both parts carry half of it.
    pub fn rolling(&mut self) -> Known {
        loop {
            let track = self.rope(0.15);
            let slope = self.0.log(0.003, 8.0);
            let (near_m, away_m) = (self.0.log(0.3, 150.0), self.0.log(0.3, 150.0));
            let load_n = self.0.log(50.0, 1e4);
            let (v, h) = (0.5 * load_n, 0.5 * load_n / slope);
            let (span1, rise1, head_n) = part(track, h, v, near_m);
            let (span2, rise2, far_n) = part(track, h, v, away_m);
            let t = head_n.max(far_n);
            if 2.0 * t / (track.1 + (track.1 * track.1 + 4.0 * track.2 * t).sqrt()) > 0.5 {
                continue;
            }
            return Known {
                far: (span1 + span2, rise2 - rise1),
                track,
                length_m: near_m + away_m,
                load_n,
                friction: 0.0,
                motion: Motion::AtRest,
                haul_point: (0.0, 0.0),
                haul: (0.0, f64::INFINITY, 0.0),
                place: (span1, -rise1),
                haul_m: 0.0,
                head_n,
                pull_n: 0.0,
            };
        }
    }
}

impl Iterator for RandomCarriages {
    type Item = Known;

    fn next(&mut self) -> Option<Known> {
        loop {
            if let Some(known) = self.held() {
                return Some(known);
            }
        }
    }
}

/// What came of a question that is known to have an answer.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// An answer that holds, and that the page promises; with the steps of the solver.
    Met(u32),
    /// Another answer.
    Wrong(String),
    /// None.
    Refused(CarriageError),
}

/// A larger error, against the size of the track, is another answer.
///
/// A nearly plumb haul rope or a stiff track moves the place by up to 1e6 times a rounding of what is given.
const NEAR: f64 = 1e-6;

/// What an answer may miss by the closed forms: their Simpson's rule comes to 1e-10 of the stretch.
const HOLDS: f64 = 1e-9;

fn outcome(
    asked: Result<CarriageState, CarriageError>,
    judged: impl FnOnce(&CarriageState) -> Result<(), String>,
) -> Outcome {
    match asked {
        Ok(state) => match judged(&state) {
            Ok(()) => Outcome::Met(state.report.iterations),
            Err(why) => Outcome::Wrong(format!("{why}: {:?}", state.position)),
        },
        Err(why) => Outcome::Refused(why),
    }
}

fn within(what: &str, error: f64, most: f64) -> Result<(), String> {
    // NaN compares as not within.
    if error.abs() <= most { Ok(()) } else { Err(format!("{what} off by {error:e}")) }
}

impl Known {
    fn point(&self) -> Point2 {
        Point2::new(m(self.place.0), m(self.place.1))
    }

    /// Whether this is a carriage of the range in which [`Held`] promises one balance, and to find it.
    #[must_use]
    pub fn is_ordinary(&self) -> bool {
        let (x, z) = self.far;
        let across = (self.haul_point.0 - self.place.0).abs();
        let climb = (self.haul_point.1 - self.place.1).atan2(across).to_degrees();
        (0.0..60.0).contains(&climb)
            && self.length_m <= 1.03 * x.hypot(z)
            && z.abs() <= 4.0 * x
            && (0.06..0.94).contains(&(self.place.0 / x))
    }

    /// Whether a state holds by the closed forms: both parts end at their supports, the tensions differ by the wheel's
    /// friction, and what the track doesn't carry is the pull of the haul rope, along it.
    fn holds(&self, state: &CarriageState) -> Result<(), String> {
        let size = self.size_m().max(state.track_length.value);
        let (x, z) = (state.position.x.value, state.position.z.value);
        let (upper_m, lower_m) = (state.upper_length.value, state.lower_length.value);
        let (h1, h2) = (state.horizontal_upper.value, state.horizontal_lower.value);
        let v1 = -state.on_head.z.value - self.track.0 * upper_m;
        let v2 = -state.on_far.z.value - self.track.0 * lower_m;
        let (span1, rise1, head_n) = part(self.track, h1, v1, upper_m);
        let (span2, rise2, _) = part(self.track, h2, v2, lower_m);
        within("upper part", (span1 - x).hypot(rise1 + z), HOLDS * size)?;
        within("lower part", (span2 + x - self.far.0).hypot(rise2 + z - self.far.1), HOLDS * size)?;
        let (t1, t2) = (h1.hypot(v1), h2.hypot(v2));
        let forces = t1 + t2 + head_n + state.load.value.abs();
        within("tension at the head", head_n - state.tension.head.value, HOLDS * forces)?;
        let behind_by_ahead = match self.motion {
            Motion::Lowering => 1.0 / (1.0 + self.friction),
            _ => 1.0 + self.friction,
        };
        let (dx, dz) = (self.haul_point.0 - x, self.haul_point.1 - z);
        let (near, away) = if dx <= 0.0 { (t1, t2) } else { (t2, t1) };
        within("wheel", away - near * behind_by_ahead, HOLDS * forces)?;
        // what the track doesn't carry
        let (px, pz) = (h1 - h2, state.load.value - v1 - v2);
        let Some(haul) = state.haul else {
            within("slack haul rope", (dx.hypot(dz) - self.haul_m).max(0.0), HOLDS * size)?;
            return within("balance", px.hypot(pz), HOLDS * forces);
        };
        let length = haul.length.value;
        if self.haul.0 > 0.0 {
            let (across, up, _) = part(self.haul, px.abs(), pz, length);
            // A part that pulls with little hangs where its pull says, and that is the difference of tensions.
            let magnified = 1.0 + 1e-6 * forces / px.hypot(pz);
            within("haul rope", (across - dx.abs()).hypot(up - dz), HOLDS * magnified * (size + length))?;
        } else {
            let distance = dx.hypot(dz);
            let pull = (px * dx + pz * dz) / distance;
            within("direction of the pull", (px * dz - pz * dx) / distance, HOLDS * forces)?;
            within("a push", pull.min(0.0), HOLDS * forces)?;
            let (_, a, b) = self.haul;
            let strain = if a.is_finite() { 2.0 * pull / (a + (a * a + 4.0 * b * pull).sqrt()) } else { 0.0 };
            within("haul rope", distance - length * (1.0 + strain), HOLDS * (size + length))?;
        }
        Ok(())
    }

    /// Whether the wheel presses on its track.
    fn hangs(state: &CarriageState) -> Result<(), String> {
        within(
            "interior angle",
            state.interior_angle.value.max(std::f64::consts::PI) - std::f64::consts::PI,
            0.0,
        )
    }

    /// [`Held::at_x`] where the carriage is: of several balances the first one below the chord.
    #[must_use]
    pub fn asked_at_x(&self) -> Outcome {
        let held = self.held(self.length_m, self.load_n);
        outcome(held.at_x(m(self.place.0)), |state| {
            self.holds(state)?;
            Self::hangs(state)?;
            within("load", state.load.value / self.load_n - 1.0, HOLDS)?;
            within("x", state.position.x.value - self.place.0, HOLDS * self.size_m())?;
            within("length", state.track_length.value - self.length_m, HOLDS * self.size_m())?;
            let below = (self.place.1 - state.position.z.value).max(0.0);
            self.if_ordinary(within("the first below the chord", below, NEAR * self.size_m()))
        })
    }

    fn if_ordinary(&self, promised: Result<(), String>) -> Result<(), String> {
        if self.is_ordinary() { promised } else { Ok(()) }
    }

    /// Whether the place is the one known, and not another that comes first.
    #[must_use]
    pub fn is_first(&self) -> bool {
        let asked = self.held(self.length_m, self.load_n).at_x(m(self.place.0));
        asked.is_ok_and(|state| {
            (state.position.z.value - self.place.1).abs() <= NEAR * self.size_m()
                && (state.haul.unwrap().length.value - self.haul_m).abs() <= NEAR * self.haul_m
        })
    }

    /// Every inverse question of a held carriage, with its name.
    #[must_use]
    pub fn asked_held(&self) -> Vec<(&'static str, Outcome)> {
        let size = self.size_m();
        let held = self.held(self.length_m, self.load_n);
        // The length isn't used where one is sought, nor the load.
        let (any_length, any_load) = (self.held(1.0, self.load_n), self.held(self.length_m, 1.0));
        let longer = |state: &CarriageState| (state.track_length.value - self.length_m) / size;
        let depth = self.far.1.min(0.0) - 10.0;
        let points = [(-500.0, depth), (0.4 * self.far.0, depth - 1.0), (self.far.0 + 500.0, depth - 3.0)];
        let points = points.map(|(x, z)| Point2::new(m(x), m(z)));
        let ground = Profile::new(&points).unwrap();
        let height = self.point().z - ground.height(self.point().x).unwrap();
        let track = |state: &CarriageState| within("length", longer(state), HOLDS);
        let load = |state: &CarriageState| within("load", state.load.value / self.load_n - 1.0, HOLDS);
        let point = |state: &CarriageState| {
            let (x, z) = (state.position.x.value - self.place.0, state.position.z.value - self.place.1);
            within("place", x.hypot(z), HOLDS * size)
        };
        // A place that at_x has.
        let as_at_x = |state: &CarriageState| {
            let again = held.at_x(state.position.x).map_err(|why| format!("at_x says: {why}"))?;
            let haul_m = |state: &CarriageState| state.haul.unwrap().length.value;
            within("z by at_x", (again.position.z - state.position.z).value, NEAR * size)?;
            within("haul rope by at_x", haul_m(&again) / haul_m(state) - 1.0, NEAR)
        };
        let mut asked = vec![
            (
                "by_haul_length",
                outcome(held.by_haul_length(m(self.haul_m)), |state| {
                    self.holds(state)?;
                    Self::hangs(state)?;
                    track(state)?;
                    load(state)?;
                    let Some(haul) = state.haul else { return Ok(()) };
                    within("haul rope", haul.length.value / self.haul_m - 1.0, HOLDS)?;
                    self.if_ordinary(as_at_x(state))
                }),
            ),
            (
                "length_for_point",
                outcome(any_length.length_for_point(self.point()), |state| {
                    self.holds(state)?;
                    Self::hangs(state)?;
                    load(state)?;
                    point(state)
                }),
            ),
            (
                "length_for_tension",
                outcome(any_length.length_for_tension(m(self.place.0), n(self.head_n)), |state| {
                    self.holds(state)?;
                    Self::hangs(state)?;
                    load(state)?;
                    within("x", state.position.x.value - self.place.0, HOLDS * size)?;
                    within("tension", state.tension.head.value / self.head_n - 1.0, HOLDS)?;
                    self.if_ordinary(within("the shorter one", longer(state).max(0.0), NEAR))
                }),
            ),
            (
                "load_at_point",
                outcome(any_load.load_at_point(self.point()), |state| {
                    self.holds(state)?;
                    track(state)?;
                    point(state)
                }),
            ),
        ];
        if (1.1e-3..0.9989).contains(&(self.place.0 / self.far.0)) {
            for (name, support) in [
                ("at_height_above, from the head", Support::Head),
                ("at_height_above, from the far anchor", Support::Far),
            ] {
                asked.push((
                    name,
                    outcome(held.at_height_above(&ground, height, support), |state| {
                        self.holds(state)?;
                        Self::hangs(state)?;
                        track(state)?;
                        load(state)?;
                        let over = state.position.z - ground.height(state.position.x).unwrap() - height;
                        within("height", over.value, HOLDS * (size + height.value))
                    }),
                ));
            }
        }
        asked
    }

    /// A load that rolls, and every inverse question of it.
    #[must_use]
    pub fn asked_rolling(&self) -> Vec<(&'static str, Outcome)> {
        let size = self.size_m();
        let load = Load::new(n(self.load_n)).unwrap();
        let any = self.track(1.0);
        let longer = |state: &CarriageState| (state.track_length.value - self.length_m) / size;
        let same = |state: &CarriageState| within("length", longer(state), NEAR);
        let mut asked = vec![
            (
                "rolling",
                outcome(rolling(&self.track(self.length_m), &load), |state| {
                    let (x, z) =
                        (state.position.x.value - self.place.0, state.position.z.value - self.place.1);
                    within("place", x.hypot(z) / size, NEAR)
                }),
            ),
            (
                "rolling_length_for_tension",
                outcome(rolling_length_for_tension(&any, &load, n(self.head_n)), |state| {
                    // A shorter one is given if it exists: it is that by the forward question.
                    within("tension", state.tension.head.value / self.head_n - 1.0, HOLDS)?;
                    within("the shorter one", longer(state).max(0.0), NEAR)?;
                    let track = self.track(state.track_length.value);
                    let again = rolling(&track, &load).map_err(|why| format!("rolling says: {why}"))?;
                    within("tension by rolling", again.tension.head.value / self.head_n - 1.0, NEAR)
                }),
            ),
        ];
        // On a level track the load rests in the middle with any length.
        if (2.0 * self.place.0 - self.far.0) * -self.far.1 > 1e-3 * size * size {
            let state = rolling_length_for_x(&any, &load, m(self.place.0));
            asked.push(("rolling_length_for_x", outcome(state, same)));
        }
        let sag = self.far.1 / self.far.0 * self.place.0 - self.place.1;
        if sag > 1e-4 * size {
            let state = rolling_length_for_sag(&any, &load, m(sag));
            asked.push(("rolling_length_for_sag", outcome(state, same)));
        }
        asked
    }
}
