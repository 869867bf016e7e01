//! Rigs that can't be: each refusal names the rope or the point at fault, and says so in few digits.

use rope_mechanics::geometry::Point3;
use rope_mechanics::quantity::unit::{meter, newton};
use rope_mechanics::quantity::{Force, Length};
use rope_mechanics::rig::{FreePoint, PointId, Rig, RigError, RopeEnd, RopeRun, RopeSupply, Solution};
use rope_mechanics::rope::Stretch;
use rope_mechanics::sheave::Turn;

fn m(x: f64) -> Length {
    Length::new::<meter>(x)
}

fn n(x: f64) -> Force {
    Force::new::<newton>(x)
}

/// A rig by a few numbers: points named p0, p1, … and ropes r0, r1, … in the order of adding.
#[derive(Default)]
struct Sketch {
    rig: Rig,
    points: Vec<PointId>,
    ropes: u32,
}

impl Sketch {
    fn fixed(&mut self, x: f64, y: f64, z: f64) -> usize {
        let name = format!("p{}", self.points.len());
        self.points.push(self.rig.fixed(&name, Point3::new(m(x), m(y), m(z))).unwrap());
        self.points.len() - 1
    }

    fn load(&mut self, weight: f64) -> usize {
        let name = format!("p{}", self.points.len());
        self.points.push(self.rig.point(&name, FreePoint::anywhere().with_weight(n(weight))).unwrap());
        self.points.len() - 1
    }

    /// A rope through these points, w in N/m.
    fn rope(&mut self, nodes: &[usize], supply: RopeSupply, ea: f64, w: f64) {
        let ends = (self.points[nodes[0]], self.points[nodes[nodes.len() - 1]]);
        let mut run =
            RopeRun::new(Stretch::linear(n(ea)).unwrap(), supply, ends.0, ends.1).with_weight(n(w) / m(1.0));
        for &over in &nodes[1..nodes.len() - 1] {
            run = run.over(self.points[over], Turn::FRICTIONLESS);
        }
        self.rig.rope(&format!("r{}", self.ropes), run).unwrap();
        self.ropes += 1;
    }

    fn solve(&self) -> Result<Solution, RigError> {
        self.rig.solve()
    }

    fn refusal(&self) -> RigError {
        self.solve().unwrap_err()
    }
}

fn length(l: f64) -> RopeSupply {
    RopeSupply::Length(m(l))
}

fn pulled(at: RopeEnd, tension: f64) -> RopeSupply {
    RopeSupply::Tension { at, tension: n(tension) }
}

fn runs_to(point: &str, meets: &str, rope: &str) -> RigError {
    RigError::RunsTo { point: point.into(), meets: meets.into(), rope: rope.into(), certain: true }
}

#[test]
fn what_runs_along_a_rope_is_what_can_move() {
    // The lighter of two weights over a fixed sheave is drawn up to it.
    let mut s = Sketch::default();
    let (light, heavy, sheave) = (s.load(100.0), s.load(120.0), s.fixed(0.0, 0.0, 3.0));
    for nodes in [[light, sheave, heavy], [heavy, sheave, light]] {
        let mut s = Sketch { rig: s.rig.clone(), points: s.points.clone(), ropes: 0 };
        s.rope(&nodes, length(10.0), 1e5, 0.0);
        assert_eq!(s.refusal(), runs_to("p0", "p2", "r0"));
    }
    // A light carriage on a tight steep rope runs to the foot, led either way.
    for turned in [false, true] {
        let mut s = Sketch::default();
        let (top, foot, light) = (s.fixed(0.0, 0.0, 0.0), s.fixed(10.0, 0.0, -40.0), s.load(20.0));
        let nodes = if turned { [foot, light, top] } else { [top, light, foot] };
        s.rope(&nodes, length(40.0), 4e4, 0.0);
        assert_eq!(s.refusal(), runs_to("p2", "p1", "r0"));
    }
}

#[test]
fn a_load_hauled_in_by_a_set_tension_runs_to_the_winch() {
    for end in [RopeEnd::First, RopeEnd::Last] {
        let mut s = Sketch::default();
        let (winch, load) = (s.fixed(0.0, 0.0, 10.0), s.load(51.0));
        let nodes = if end == RopeEnd::First { [winch, load] } else { [load, winch] };
        s.rope(&nodes, pulled(end, 72.0), 4e4, 0.0);
        assert_eq!(s.refusal(), runs_to("p1", "p0", "r0"));
        // A slack belay changes nothing.
        let side = s.fixed(9.0, 0.0, 10.0);
        s.rope(&[side, load], length(30.0), 4e4, 0.0);
        assert_eq!(s.refusal(), runs_to("p1", "p0", "r0"));
    }
}

#[test]
fn a_heavy_rope_with_too_little_set_tension_runs_out() {
    // T = wa·cosh(x/a) is least at 1.5089·w·x: 75.4 N for 10 N/m over twice 5 m.
    for end in [RopeEnd::First, RopeEnd::Last] {
        for (tension, stands) in [(60.0, false), (75.0, false), (76.5, true), (200.0, true)] {
            let mut s = Sketch::default();
            let (a, b) = (s.fixed(0.0, 0.0, 0.0), s.fixed(10.0, 0.0, 0.0));
            s.rope(&[a, b], pulled(end, tension), 1e7, 10.0);
            match s.solve() {
                Ok(_) => assert!(stands, "{tension} N"),
                Err(e) => {
                    let point = if end == RopeEnd::First { "p0" } else { "p1" };
                    assert!(!stands, "{tension} N: {e}");
                    assert_eq!(e, RigError::RunsOut { rope: "r0".into(), point: point.into() });
                }
            }
        }
    }
    let mut s = Sketch::default();
    let (a, b, load) = (s.fixed(0.0, 0.0, 0.0), s.fixed(60.0, 0.0, -25.0), s.load(500.0));
    s.rope(&[a, load], length(20.0), 4e4, 0.0);
    s.rope(&[load, b], pulled(RopeEnd::Last, 40.0), 4e4, 3.0);
    assert_eq!(s.refusal(), RigError::RunsOut { rope: "r1".into(), point: "p1".into() });
}

#[test]
fn a_load_too_heavy_for_its_rope_overstretches_it() {
    for (load, w) in [(1e7, 0.0), (1e9, 0.0), (1e12, 0.0), (1e9, 0.8)] {
        let mut s = Sketch::default();
        let (top, load_id) = (s.fixed(0.0, 0.0, 0.0), s.load(load));
        s.rope(&[top, load_id], length(5.0), 4e4, w);
        match s.refusal() {
            RigError::Overstretched { rope, strain, .. } => {
                assert_eq!(rope, "r0");
                assert!((strain / (load / 4e4) - 1.0).abs() < 1e-6, "{strain}");
            }
            e => panic!("{load} N: {e}"),
        }
    }
    // More than a set tension can hold still runs away.
    let mut s = Sketch::default();
    let (winch, load) = (s.fixed(0.0, 0.0, 10.0), s.load(200.0));
    s.rope(&[winch, load], pulled(RopeEnd::First, 150.0), 4e4, 0.0);
    assert_eq!(s.refusal(), RigError::RunsAway { point: "p1".into() });
}

#[test]
fn two_fixed_points_of_a_rope_at_one_place_are_named() {
    let mut s = Sketch::default();
    let (end, sheave, foot, load) =
        (s.fixed(0.0, 0.0, 0.0), s.fixed(0.0, 0.0, 0.0), s.fixed(6.0, 0.0, -3.0), s.load(500.0));
    s.rope(&[end, sheave, load, foot], length(12.0), 4e4, 0.8);
    assert_eq!(s.refusal(), RigError::NoSpan { rope: "r0".into(), from: "p0".into(), to: "p1".into() });
}

#[test]
fn refusals_say_what_they_mean_in_few_digits() {
    let mut s = Sketch::default();
    let (a, b) = (s.fixed(0.0, 0.0, 0.0), s.fixed(10.0, 0.0, 0.0));
    s.rope(&[a, b], length(6.6), 4e4, 0.0);
    let said = s.refusal().to_string();
    assert!(said.contains("51.5 % of its length") && said.contains("more than 50 %"), "{said}");
    let unsolved = RigError::Unsolved { point: "p".into(), residual: 2.1e117, iterations: 60 }.to_string();
    assert!(unsolved.contains("2.1e117 N") && unsolved.len() < 120, "{unsolved}");
    let loose = RigError::Loose { point: "p".into(), stiffness: 1.234_567_890_123e-30 }.to_string();
    assert!(loose.contains("1.2e-30 N/m"), "{loose}");
}
