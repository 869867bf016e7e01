//! Every number of a carriage's state against the closed form of an elastic rope that begins with a known force.
//!
//! Nothing is solved here. From the pull on a support follow the whole rope and the force at its other end, so that a
//! state is right if its ropes, laid out from the pulls that it gives, meet at its carriage and balance there.

use rope_mechanics::carriage::{CarriageState, HaulRope, Held, Load, Track, fixed, rolling};
use rope_mechanics::geometry::{Force2, Point2};
use rope_mechanics::motion::Motion;
use rope_mechanics::quantity::literal::{fraction, m, n, n_per_m};
use rope_mechanics::rope::Stretch;

type V2 = [f64; 2];

fn at(x: f64, z: f64) -> Point2 {
    Point2::new(m(x), m(z))
}

fn place(p: Point2) -> V2 {
    [p.x.value, p.z.value]
}

fn force(f: Force2) -> V2 {
    [f.x.value, f.z.value]
}

fn plus(a: V2, b: V2) -> V2 {
    [a[0] + b[0], a[1] + b[1]]
}

fn size(a: V2) -> f64 {
    a[0].hypot(a[1])
}

/// A rope of weight w a metre and stiffness EA that begins somewhere with this pull along itself.
#[derive(Clone, Copy)]
struct Rope {
    from: V2,
    pull: V2,
    w: f64,
    ea: f64,
}

impl Rope {
    /// Where it is after s metres: x = H·s/EA + H/w·(asinh(V₂/|H|) − asinh(V₁/|H|)), z = (V₁·s + w·s²/2)/EA + (T₂ − T₁)/w.
    fn at(&self, s: f64) -> V2 {
        let Self { from, pull: [h, v], w, ea } = *self;
        let end = v + w * s;
        let level = h * s / ea + h / w * ((end / h.abs()).asinh() - (v / h.abs()).asinh());
        plus(from, [level, (v * s + 0.5 * w * s * s) / ea + (h.hypot(end) - h.hypot(v)) / w])
    }

    /// The pull along it after s metres: dV/ds = w.
    fn pull_at(&self, s: f64) -> V2 {
        [self.pull[0], self.pull[1] + self.w * s]
    }
}

/// Equal to 1e-9 of the size, which a residual of 1e-11 leaves room for.
#[track_caller]
fn near(found: f64, by_hand: f64, size: f64) {
    assert!((found - by_hand).abs() <= 1e-9 * size, "{found} is not {by_hand}");
}

#[track_caller]
fn near2(found: V2, by_hand: V2, size: f64) {
    near(found[0], by_hand[0], size);
    near(found[1], by_hand[1], size);
}

const W: f64 = 1.67;
const EA: f64 = 80e3;
const LOAD: f64 = 2451.66;

/// The track alone: returns what the track pulls on the carriage.
fn check_track(state: &CarriageState, head: V2, far: V2, length: f64, load: f64) -> V2 {
    let upper = Rope { from: head, pull: force(state.on_head), w: W, ea: EA };
    let lower = Rope { from: far, pull: force(state.on_far), w: W, ea: EA };
    let (above, below) = (state.upper_length.value, state.lower_length.value);
    let t = state.tension.head.value + state.tension.far.value;
    near(above + below, length, length);
    near(state.track_length.value, length, length);
    let carriage = place(state.position);
    near2(upper.at(above), carriage, length);
    near2(lower.at(below), carriage, length);
    let (from_upper, from_lower) = (upper.pull_at(above), lower.pull_at(below));
    near(state.tension.head.value, size(upper.pull), t);
    near(state.tension.carriage_upper.value, size(from_upper), t);
    near(state.tension.carriage_lower.value, size(from_lower), t);
    near(state.tension.far.value, size(lower.pull), t);
    let outward = (far[0] - head[0]).signum();
    near(state.horizontal_upper.value, outward * upper.pull[0], t);
    near(state.horizontal_lower.value, -outward * lower.pull[0], t);
    // What the parts pull there: back along themselves.
    let by_track = [-from_upper[0] - from_lower[0], -from_upper[1] - from_lower[1]];
    near2(force(state.on_carriage_by_track()), by_track, t);
    near(state.load.value, load, load);
    // cos θ = e₁·e₂
    let cosine =
        (from_upper[0] * from_lower[0] + from_upper[1] * from_lower[1]) / size(from_upper) / size(from_lower);
    near(state.interior_angle.value.cos(), cosine, 1.0);
    let greatest = [upper.pull, from_upper, from_lower, lower.pull].into_iter().map(size).fold(0.0, f64::max);
    near(state.greatest_strain().value, greatest / EA, 1.0);

    // The lowest of many points: a rope of curvature w/H lies within w·ds²/(8·H) of them.
    let steps = 4000;
    let mut lowest = carriage;
    for (rope, part) in [(upper, above), (lower, below)] {
        for i in 0..=steps {
            let point = rope.at(part * f64::from(i) / f64::from(steps));
            if point[1] < lowest[1] {
                lowest = point;
            }
        }
    }
    let finer =
        W * (length / f64::from(steps)).powi(2) / (8.0 * upper.pull[0].abs().min(lower.pull[0].abs()));
    let found = place(state.lowest_point);
    assert!(
        found[1] <= lowest[1] + 1e-9 * length && found[1] >= lowest[1] - finer - 1e-9 * length,
        "{found:?} {lowest:?}"
    );
    assert!((found[0] - lowest[0]).abs() <= 2.0 * length / f64::from(steps), "{found:?} {lowest:?}");

    // By arc from the head, and drawn.
    let mut drawn = [at(0.0, 0.0); 9];
    state.draw(&mut drawn);
    for (i, point) in (0..9).zip(drawn) {
        let arc = length * f64::from(i) / 8.0;
        let (by_hand, pull) = if arc < above {
            (upper.at(arc), upper.pull_at(arc))
        } else {
            (lower.at(length - arc), lower.pull_at(length - arc))
        };
        let (found, tension) = state.along(m(arc.min(state.track_length.value))).unwrap();
        near2(place(found), by_hand, length);
        near2(place(point), by_hand, length);
        near(tension.value, size(pull), t);
    }
    by_track
}

/// A track that hangs from its head at (2, 5), and its mirror image.
fn tracks() -> [(V2, V2, f64); 2] {
    [([2.0, 5.0], [72.0, -40.0], 1.0), ([2.0, 5.0], [-68.0, -40.0], -1.0)]
}

fn track_between(head: V2, far: V2, length: f64) -> Track {
    let stretch = Stretch::linear(n(EA)).unwrap();
    Track::new(at(head[0], head[1]), at(far[0], far[1]), m(length), n_per_m(W), stretch).unwrap()
}

#[test]
fn every_number_of_a_held_carriage_is_that_of_its_ropes() {
    const HAUL_EA: f64 = 40e3;
    let mut compared = 0;
    for (head, far, outward) in tracks() {
        // The haul point: at the head, above and behind it, beyond the far anchor and above the whole.
        for (dx, dz) in [(0.0, 0.0), (-0.8, 2.0), (75.0, -30.0)] {
            for weight in [0.0, 0.83] {
                for (friction, motion) in
                    [(0.0, Motion::AtRest), (0.03, Motion::Hauling), (0.03, Motion::Lowering)]
                {
                    for x in [1.5, 22.0, 51.0] {
                        let from = [head[0] + outward * dx, head[1] + dz];
                        let stretch = Stretch::linear(n(HAUL_EA)).unwrap();
                        let mut rope = HaulRope::new(at(from[0], from[1])).unwrap().with_stretch(stretch);
                        if weight > 0.0 {
                            rope = rope.with_weight(n_per_m(weight)).unwrap();
                        }
                        let load = Load::new(n(LOAD))
                            .unwrap()
                            .with_wheel_friction(fraction(friction), motion)
                            .unwrap();
                        let held = Held::new(track_between(head, far, 82.0), load, rope);
                        let Ok(state) = held.at_x(m(head[0] + outward * x)) else { continue };
                        compared += 1;
                        let by_track = check_track(&state, head, far, 82.0, LOAD);
                        let t = state.tension.head.value + state.tension.far.value;
                        let haul = state.haul.unwrap();
                        let (carriage, pull) = (place(state.position), force(haul.on_haul_point));
                        near(state.position.x.value, head[0] + outward * x, 82.0);
                        // F_track + P − W·ẑ = 0
                        near2(plus(by_track, force(haul.on_carriage)), [0.0, LOAD], t);
                        near(haul.at_carriage.value, size(force(haul.on_carriage)), t);
                        near(haul.at_haul_point.value, size(pull), t);
                        let length = haul.length.value;
                        if weight > 0.0 {
                            let rope = Rope { from, pull, w: weight, ea: HAUL_EA };
                            near2(rope.at(length), carriage, 82.0);
                            let end = rope.pull_at(length);
                            near2(force(haul.on_carriage), [-end[0], -end[1]], t);
                        } else {
                            // Straight: L·(1 + P/EA) is the distance.
                            let way = [carriage[0] - from[0], carriage[1] - from[1]];
                            near(length * (1.0 + size(pull) / HAUL_EA), size(way), 82.0);
                            near2(pull, way.map(|part| part * size(pull) / size(way)), t);
                            near2(force(haul.on_carriage), pull.map(|part| -part), t);
                        }
                        // The share by which the track pulls harder behind the wheel: behind is away from the haul point.
                        let (up, low) =
                            (state.tension.carriage_upper.value, state.tension.carriage_lower.value);
                        let (away, beside) = if dx > x { (up, low) } else { (low, up) };
                        let ratio = match motion {
                            Motion::Hauling => 1.03,
                            Motion::Lowering => 1.0 / 1.03,
                            Motion::AtRest => 1.0,
                        };
                        near(away / beside, ratio, 1.0);
                        assert!(state.report.residual <= 1e-11);
                        let closes = state.closing_error.value / 82.0;
                        assert!(closes <= 1e-11 && state.force_error.value <= 1e-11 * t);
                        // Held by so much rope it is at the same place.
                        let by_rope = held.by_haul_length(haul.length).unwrap();
                        near2(place(by_rope.position), carriage, 82.0);
                        near(by_rope.haul.unwrap().at_carriage.value, haul.at_carriage.value, t);
                    }
                }
            }
        }
    }
    // Refused are those that the haul rope would have to push.
    assert!(compared >= 60, "{compared}");
}

#[test]
fn every_number_of_a_carriage_that_rolls_or_is_fixed_is_that_of_its_ropes() {
    for (head, far, _) in tracks() {
        let load = Load::new(n(LOAD)).unwrap();
        let rolls = rolling(&track_between(head, far, 95.0), &load).unwrap();
        let t = rolls.tension.head.value + rolls.tension.far.value;
        near2(check_track(&rolls, head, far, 95.0, LOAD), [0.0, LOAD], t);
        // Without friction both parts pull alike.
        near(rolls.tension.carriage_upper.value, rolls.tension.carriage_lower.value, t);
        assert!(rolls.haul.is_none() && rolls.report.residual <= 1e-11);
        for upper in [4.0, 40.0, 81.0] {
            let state = fixed(&track_between(head, far, 85.0), &load, m(upper)).unwrap();
            let t = state.tension.head.value + state.tension.far.value;
            near2(check_track(&state, head, far, 85.0, LOAD), [0.0, LOAD], t);
            near(state.upper_length.value, upper, 85.0);
            near(state.horizontal_upper.value, state.horizontal_lower.value, t);
        }
    }
}

/// The band of the pull is that of both motions, with the load in its middle without friction.
#[test]
fn a_band_of_friction_has_its_ends_where_the_load_moves() {
    let [(head, far, _), _] = tracks();
    let load = |motion| Load::new(n(LOAD)).unwrap().with_wheel_friction(fraction(0.03), motion).unwrap();
    let rope = HaulRope::new(at(head[0], head[1])).unwrap();
    let held = |motion| Held::new(track_between(head, far, 82.0), load(motion), rope);
    let [lowering, hauling] = held(Motion::AtRest).band_at_x(m(32.0)).unwrap();
    for (found, motion) in [(lowering, Motion::Lowering), (hauling, Motion::Hauling)] {
        let one = held(motion).at_x(m(32.0)).unwrap();
        near(found.haul.unwrap().at_carriage.value, one.haul.unwrap().at_carriage.value, LOAD);
        near(found.position.z.value, one.position.z.value, 82.0);
    }
}
