//! The ropes from the load over the head, locked behind it.

use crate::quantity::{Force, Length};
use crate::rope::Stretch;

/// A rope from the load over the head to where it is locked. It stretches over its whole length as if its sheaves had no
/// friction, so that the load comes down as far as it can.
///
/// r + b = N·(1 + ε(T))
///
/// with N its unstretched length, r its way to the load and b that behind the head.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Locked {
    pub(super) unstretched_m: f64,
    pub(super) behind_m: f64,
    stretch: Stretch,
}

impl Locked {
    /// Locked with this tension at this way to the load.
    pub(super) fn under(stretch: Stretch, behind: Length, way: Length, tension: Force) -> Self {
        let behind_m = behind.value;
        let unstretched_m = (way.value + behind_m) / (1.0 + stretch.strain_at(tension.value));
        Self { unstretched_m, behind_m, stretch }
    }

    /// Locked with this slack at this way to the load.
    pub(super) fn with_slack(stretch: Stretch, behind: Length, way: Length, slack: Length) -> Self {
        Self { unstretched_m: (way + behind + slack).value, behind_m: behind.value, stretch }
    }

    /// From the head to its end without tension.
    pub(super) fn slack_way_m(&self) -> f64 {
        self.unstretched_m - self.behind_m
    }

    /// The way to the load under this tension.
    pub(super) fn way_m(&self, tension_n: f64) -> f64 {
        self.unstretched_m * (1.0 + self.stretch.strain_at(tension_n)) - self.behind_m
    }

    /// Its tension at this way, zero where it is slack, and by how much that grows with the way.
    pub(super) fn tension_n(&self, way_m: f64) -> (f64, f64) {
        // ε = (r + b)/N − 1
        let strain = (way_m - self.slack_way_m()) / self.unstretched_m;
        if strain > 0.0 {
            (self.stretch.tension_at(strain), self.stretch.tangent_at(strain) / self.unstretched_m)
        } else {
            (0.0, 0.0)
        }
    }
}

/// The haul rope over the head, and the belay rope beside it where that runs there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct OverHead {
    pub(super) haul: Locked,
    pub(super) belay: Option<Locked>,
}

impl OverHead {
    /// The tension of each and of both together at this way to the load, and by how much that grows with the way.
    pub(super) fn tensions_n(&self, way_m: f64) -> (f64, f64, f64) {
        let (haul_n, haul_by) = self.haul.tension_n(way_m);
        let (belay_n, belay_by) = self.belay.map_or((0.0, 0.0), |belay| belay.tension_n(way_m));
        (haul_n, belay_n, haul_by + belay_by)
    }

    /// The way to the load at which both together pull like this.
    ///
    /// The haul rope alone is as long or longer there, and the shorter of the two without tension is shorter: from the
    /// haul rope's own way by Newton on a convex, growing function, from above.
    pub(super) fn way_m(&self, pull_n: f64) -> f64 {
        let mut way_m = self.haul.way_m(pull_n);
        if self.belay.is_none() {
            return way_m;
        }
        for _ in 0..60 {
            let (haul_n, belay_n, by) = self.tensions_n(way_m);
            let step_m = (haul_n + belay_n - pull_n) / by;
            if !(step_m > 1e-15 * way_m) {
                break;
            }
            way_m -= step_m;
        }
        way_m
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{metres, newtons};

    fn linear(kn: f64) -> Stretch {
        Stretch::linear(newtons(1e3 * kn)).unwrap()
    }

    #[test]
    fn two_ropes_over_the_head_share_by_their_stiffness_once_both_are_taut() {
        // 10 m of 80 kN under 500 N at 2 m; beside it 10 m of 35 kN with 5 mm of slack.
        let haul = Locked::under(linear(80.0), metres(8.0), metres(2.0), newtons(500.0));
        let belay = Locked::with_slack(linear(35.0), metres(8.0), metres(2.0), metres(0.005));
        let both = OverHead { haul, belay: Some(belay) };
        assert!((both.way_m(500.0) - 2.0).abs() < 1e-12);
        // Until the slack is out the haul rope alone takes it: k = EA/N.
        let n = 10.0 / (1.0 + 500.0 / 80e3);
        let k = (80e3 / n, 35e3 / 10.005);
        let before = 500.0 + 0.004 * k.0;
        assert!((both.way_m(before) - 2.004).abs() < 1e-12);
        // Then both: by hand.
        let after = 500.0 + 0.02 * k.0 + 0.015 * k.1;
        assert!((both.way_m(after) - 2.02).abs() < 1e-12);
        let (haul_n, belay_n, by) = both.tensions_n(2.02);
        assert!((haul_n - 500.0 - 0.02 * k.0).abs() < 1e-8 && (belay_n - 0.015 * k.1).abs() < 1e-8);
        assert!((by - k.0 - k.1).abs() < 1e-6);
    }

    #[test]
    fn a_stiffening_rope_is_found_too() {
        let stretch = Stretch::stiffening(newtons(30e3), newtons(200e3)).unwrap();
        let haul = Locked::under(stretch, metres(9.0), metres(1.5), newtons(800.0));
        let belay = Locked::with_slack(stretch, metres(7.0), metres(1.5), metres(0.0));
        let both = OverHead { haul, belay: Some(belay) };
        let way_m = both.way_m(1500.0);
        let (haul_n, belay_n, _) = both.tensions_n(way_m);
        assert!((haul_n + belay_n - 1500.0).abs() < 1e-9 && belay_n > 0.0);
    }
}
