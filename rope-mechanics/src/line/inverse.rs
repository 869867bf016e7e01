//! How much rope gives a tension or a sag.

use super::LineError;
use super::catenary::{Catenary, DEEPEST};
use super::elastic::ElasticSpan;
use super::linear::Solved;
use super::span;
use super::state::End;
use crate::error::{Allowed, Checked, check, positive};
use crate::math;
use crate::math::roots::bracketed;
use crate::quantity::{Force, Length, metres, n_per_m};

/// What the length is to give.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Asked {
    HorizontalTension,
    Tension(End),
    Sag,
}

/// The length found gives the value asked for to within this and the spacing of lengths.
const CLOSED: f64 = 1e-12;
/// Where a step more shows nothing: a hundredth of that.
const SOLVED: f64 = 1e-14;
/// Looks at a line before a length counts as not to be found; halving brackets alone needs some 60.
const MOST_LOOKS: u32 = 120;
/// The most that a rope may weigh, of its stiffness a + b. A heavier one hangs by its own weight alone, stretched as
/// many times, and its forces at the supports say next to nothing of its length.
const HEAVIEST: f64 = 100.0;
/// The longest step, in ln L.
const LONGEST_STEP: f64 = 1.5;

/// A line looked at: f = ±ln(value/target), which falls with the length of a taut rope, and df/d(ln L).
#[derive(Debug, Clone, Copy)]
struct Look {
    length_m: f64,
    f: f64,
    slope: f64,
    value: f64,
    /// To how much of itself the value is known: end tensions to the last digits of the larger one.
    known: f64,
}

impl ElasticSpan {
    /// Unstretched length that gives this tension at an end, of the two that may: the shorter, taut one.
    ///
    /// Two lengths give the same end tension: a short rope pulled taut, and one so long that its hanging weight
    /// pulls as hard. Between them the tension has a least value.
    ///
    /// The length gives the tension to 1e-12 of the larger of the two end tensions, which is what a line is certified
    /// to, and to the spacing of lengths. At the lower end of a steep line, which may pull a thousand times less than
    /// the upper one, that is 1e-9 of the tension asked for.
    ///
    /// # Errors
    /// Unless the tension is above zero; [`LineError::OutOfReach`] with the least possible tension, if that is
    /// higher.
    pub fn length_for_tension(&self, end: End, tension: Force) -> Result<Length, LineError> {
        sensible(self.length_for_m(Asked::Tension(end), positive("tension", tension)?)?)
    }

    /// Unstretched length that gives this horizontal tension.
    ///
    /// # Errors
    /// Unless the tension and the span are above zero.
    pub fn length_for_horizontal_tension(&self, tension: Force) -> Result<Length, LineError> {
        let tension_n = positive("horizontal_tension", tension)?;
        positive("span", metres(self.span_m))?;
        sensible(self.length_for_m(Asked::HorizontalTension, tension_n)?)
    }

    /// Unstretched length that gives this sag, the greatest vertical distance below the chord.
    ///
    /// # Errors
    /// Unless the sag, the span and the weight are above zero.
    pub fn length_for_sag(&self, sag: Length) -> Result<Length, LineError> {
        let sag_m = positive("sag", sag)?;
        positive("span", metres(self.span_m))?;
        positive("line_weight", n_per_m(self.weight_n_per_m))?;
        sensible(self.length_for_m(Asked::Sag, sag_m)?)
    }

    /// The length, of two the shorter.
    fn length_for_m(&self, asked: Asked, target: f64) -> Result<f64, LineError> {
        let chord_m = positive("chord", metres(self.chord_m()))?;
        let heaviest_n_per_m = self.heaviest_n() / chord_m;
        check("line_weight", n_per_m(self.weight_n_per_m), Allowed::AtMost(heaviest_n_per_m))?;
        match asked {
            Asked::HorizontalTension if self.weight_n_per_m == 0.0 => {
                Ok(self.straight_m(target * (self.chord_m() / self.span_m)))
            }
            Asked::Tension(_) if self.weight_n_per_m == 0.0 => Ok(self.straight_m(target)),
            Asked::Tension(end) if self.span_m == 0.0 => self.plumb_m(end, target),
            _ => self.sought_m(asked, target).map(|(length_m, _)| length_m),
        }
    }

    fn chord_m(&self) -> f64 {
        math::hypot(self.span_m, self.rise_m)
    }

    fn heaviest_n(&self) -> f64 {
        HEAVIEST * (self.stretch.a_n() + self.stretch.b_n())
    }

    /// No length beyond this is looked at.
    fn longest_m(&self) -> f64 {
        (self.heaviest_n() / self.weight_n_per_m).min(Length::LARGEST)
    }

    fn look(&self, asked: Asked, target: f64, length_m: f64) -> Result<Look, LineError> {
        let line = span::solve(&self.of_length(length_m))?;
        let (value, by_length) = asked.of(&line);
        let sign = if asked == Asked::Sag { -1.0 } else { 1.0 };
        let slope = sign * by_length * length_m / value;
        let known = match asked {
            Asked::Tension(_) => line.ends.t_first_n.max(line.ends.t_last_n) / value,
            Asked::HorizontalTension | Asked::Sag => 1.0,
        };
        Ok(Look { length_m, f: sign * math::ln(value / target), slope, value, known })
    }

    /// Newton's steps on f, bent by the change of its slope, inside a bracket; and how many lines were solved.
    fn sought_m(&self, asked: Asked, target: f64) -> Result<(f64, u32), LineError> {
        let (mut lo, mut hi) = (0.0, f64::INFINITY);
        let longest_m = self.longest_m();
        let mut now = self.look(asked, target, self.first_guess_m(asked, target).min(longest_m))?;
        let mut best = now;
        let mut curvature = 0.0;
        let mut looks = 1;
        while !best.is_closed() && looks < MOST_LOOKS {
            // Beyond the least tension, where more rope pulls harder, the taut length is shorter for any value.
            if now.f > 0.0 && (now.slope < 0.0 || !matches!(asked, Asked::Tension(_))) {
                lo = now.length_m;
            } else {
                hi = now.length_m;
            }
            let step = now.step(curvature).clamp(-LONGEST_STEP, LONGEST_STEP);
            let mut next_m = now.length_m + now.length_m * math::exp_m1(step);
            if !(next_m > lo && next_m < hi) {
                next_m = if lo == 0.0 || hi == f64::INFINITY {
                    now.length_m * if lo == 0.0 { 0.25 } else { 4.0 }
                } else {
                    0.5 * (lo + hi)
                };
            }
            next_m = next_m.min(longest_m);
            if next_m == now.length_m || next_m <= lo || next_m >= hi {
                break;
            }
            let next = self.look(asked, target, next_m)?;
            looks += 1;
            // f" from the two slopes; a curvature across a kink misleads the next step only.
            curvature = (next.slope - now.slope) / math::ln_1p((next_m - now.length_m) / now.length_m);
            now = next;
            if now.f.abs() < best.f.abs() {
                best = now;
            }
        }
        self.certified(asked, target, &best, looks).map(|length_m| (length_m, looks))
    }

    fn certified(&self, asked: Asked, target: f64, best: &Look, looks: u32) -> Result<f64, LineError> {
        if best.f.abs() <= CLOSED * best.known + 4.0 * f64::EPSILON * best.slope.abs() {
            return Ok(best.length_m);
        }
        match asked {
            Asked::Tension(_) if best.f > 0.0 => Err(too_little(target, best.value)),
            Asked::HorizontalTension if self.ends_at(best) => {
                Err(beyond_longest(("horizontal_tension", target, " N"), (best.value, f64::INFINITY)))
            }
            Asked::Sag if self.ends_at(best) => Err(beyond_longest(("sag", target, " m"), (0.0, best.value))),
            _ => Err(self.of_length(best.length_m).unsolved_by(best.f.abs(), looks)),
        }
    }

    /// Whether only a longer rope than any looked at would have the value.
    fn ends_at(&self, best: &Look) -> bool {
        best.f > 0.0 && best.length_m >= self.longest_m()
    }

    /// The length of the catenary that has it, nearly, as it was before it stretched.
    fn first_guess_m(&self, asked: Asked, target: f64) -> f64 {
        let Self { span_m, rise_m, weight_n_per_m, stretch } = *self;
        let chord_m = self.chord_m();
        let chord_n = weight_n_per_m * chord_m;
        let catenary = Catenary { span_m, rise_m, weight_n_per_m };
        // u = wX/(2H), by the weight of a metre of stretched rope, and the strain at about half way up.
        let (u, strain) = match asked {
            Asked::HorizontalTension => {
                let strain = stretch.strain_at(target * (chord_m / span_m));
                (0.5 * weight_n_per_m * span_m / target / (1.0 + strain), strain)
            }
            Asked::Tension(end) => {
                // T changes by w for each metre of height.
                let half_n = 0.5 * weight_n_per_m * rise_m;
                let middle_n = target + if end == End::First { half_n } else { -half_n };
                let strain = stretch.strain_at(middle_n.max(0.25 * chord_n));
                let u = if middle_n > chord_n {
                    0.5 * chord_n / middle_n / (1.0 + strain)
                } else {
                    catenary.taut_half_range(end, target * (1.0 + strain), ROUGHLY)
                };
                (u, strain)
            }
            Asked::Sag => {
                // A flat line sags by u·chord/4.
                let flat = 4.0 * target / chord_m;
                let steep = 1.0 + rise_m.abs() / span_m;
                let u = if flat * steep < 0.1 { flat } else { catenary.half_range_by_sag(target, ROUGHLY) };
                // T(1 + ε) = ½w·chord/u
                let by_shape_n = 0.5 * chord_n / u;
                let mut strain = stretch.strain_at(by_shape_n);
                for _ in 0..3 {
                    let (tension_n, tangent_n) = (stretch.tension_at(strain), stretch.tangent_at(strain));
                    strain -=
                        (tension_n * (1.0 + strain) - by_shape_n) / (tangent_n * (1.0 + strain) + tension_n);
                }
                (u, strain)
            }
        };
        let u = u.clamp(1e-100, DEEPEST);
        // L² = Z² + (X·sinh u/u)²
        math::hypot(rise_m, span_m * (math::sinh(u) / u)) / (1.0 + strain)
    }

    /// A straight rope: L = chord/(1 + ε(T))
    fn straight_m(&self, tension_n: f64) -> f64 {
        self.chord_m() / (1.0 + self.stretch.strain_at(tension_n))
    }

    /// A plumb rope: |Z| = L(1 + mean ε), the tensions at its ends wL apart and neither below 0.
    fn plumb_m(&self, end: End, tension_n: f64) -> Result<f64, LineError> {
        let (drop_m, weight, stretch) = (self.rise_m.abs(), self.weight_n_per_m, &self.stretch);
        let upper = (end == End::First) == (self.rise_m < 0.0);
        let at_end = stretch.strain_at(tension_n);
        let gap_m = |length_m: f64| {
            let other_n = if upper { tension_n - weight * length_m } else { tension_n + weight * length_m };
            length_m - drop_m + length_m * stretch.mean_strain(at_end, stretch.strain_at(other_n.max(0.0)))
        };
        let longest_m = if upper { (tension_n / weight).min(drop_m) } else { drop_m };
        if let Some(root) = bracketed(0.0, longest_m, 0.0, gap_m) {
            return Ok(root.x);
        }
        // Even hanging by itself it doesn't reach down: (T/w)(1 + mean ε) = |Z| at the least tension.
        let alone_m = |t_n: f64| {
            let mean = stretch.mean_strain(0.0, stretch.strain_at(t_n));
            t_n / weight * (1.0 + mean) - drop_m
        };
        let least = bracketed(0.0, weight * drop_m, 0.0, alone_m);
        Err(too_little(tension_n, least.map_or(weight * drop_m, |root| root.x)))
    }
}

/// A length found, unless no rope is so short or so long.
fn sensible(length_m: f64) -> Result<Length, LineError> {
    positive("length", metres(length_m))?;
    Ok(metres(length_m))
}

/// A guess need be no better, in ln u.
const ROUGHLY: f64 = 1e-2;

fn beyond_longest(
    (field, value, unit): (&'static str, f64, &'static str),
    (lowest, highest): (f64, f64),
) -> LineError {
    let why = "the rope would be longer than 10 000 km, or weigh a hundred times its stiffness";
    LineError::OutOfReach { field, value, unit, lowest, highest, why }
}

fn too_little(tension_n: f64, least_n: f64) -> LineError {
    LineError::OutOfReach {
        field: "tension",
        value: tension_n,
        unit: " N",
        lowest: least_n,
        highest: f64::INFINITY,
        why: "the rope's own weight pulls harder, however long it is",
    }
}

impl Look {
    /// To the root of the parabola through this look that lies where f falls.
    fn step(&self, curvature: f64) -> f64 {
        let Self { f, slope, .. } = *self;
        let inner = slope * slope - 2.0 * curvature * f;
        if inner > 0.0 && (slope < 0.0 || curvature > 0.0) {
            // f + f'·δ + ½f"·δ² = 0
            if slope < 0.0 {
                -2.0 * f / (slope - math::sqrt(inner))
            } else {
                (-slope - math::sqrt(inner)) / curvature
            }
        } else if curvature > 0.0 {
            // No root: to where it is least.
            -slope / curvature
        } else {
            -f / slope
        }
    }

    /// Whether another step would show nothing but the roundings of the line.
    fn is_closed(&self) -> bool {
        self.f.abs() <= SOLVED * self.known + f64::EPSILON * self.slope.abs()
    }
}

impl Asked {
    /// The value, and its change with the length of the rope.
    fn of(self, line: &Solved) -> (f64, f64) {
        let (h_by_l, v_last_by_l) = line.by_length();
        let ends = &line.ends;
        let weight = line.span.weight_n_per_m;
        // T·dT = H·dH + V·dV,  where V_first = wL − V_last
        let tension = |t_n: f64, v_n: f64, v_by_l: f64| (t_n, (ends.h_n * h_by_l + v_n * v_by_l) / t_n);
        match self {
            Self::HorizontalTension => (ends.h_n, h_by_l),
            Self::Tension(End::First) => tension(ends.t_first_n, ends.v_first_n, weight - v_last_by_l),
            Self::Tension(End::Last) => tension(ends.t_last_n, ends.v_last_n, v_last_by_l),
            Self::Sag => line.sag_by_length(h_by_l, v_last_by_l),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Asked, End};
    use crate::line::elastic::ElasticSpan;
    use crate::line::{share, span};
    use crate::quantity::newtons;
    use crate::rope::Stretch;

    #[test]
    fn a_length_takes_no_more_than_ten_solves_of_the_line() {
        let asked =
            [Asked::HorizontalTension, Asked::Tension(End::First), Asked::Tension(End::Last), Asked::Sag];
        let (mut most, mut all, mut count) = ([0; 4], 0, 0);
        for line in 0..4000 {
            let between = |place, lo: f64, hi: f64| (lo.ln() + share(line, place) * (hi / lo).ln()).exp();
            let slope = (share(line, 0) * 2.0 - 1.0) * 1.57;
            let chord_m = between(1, 1.0, 1000.0);
            let a = between(2, 1e3, 1e7);
            let b = if line % 2 == 0 { 0.0 } else { a * between(3, 1e-2, 1e3) };
            let stretch = Stretch::stiffening(newtons(a), newtons(b)).unwrap();
            let (span_m, rise_m) = (chord_m * slope.cos(), chord_m * slope.sin());
            let of = ElasticSpan { span_m, rise_m, weight_n_per_m: between(4, 1e-2, 30.0), stretch };
            let length_m = if line % 4 < 2 {
                chord_m / (1.0 + between(5, 1e-5, 0.3))
            } else {
                chord_m * (1.0 + between(5, 1e-6, 3.0))
            };
            let Ok(known) = span::solve(&of.of_length(length_m)) else { continue };
            for (most, asked) in most.iter_mut().zip(asked) {
                let (value, by_length) = asked.of(&known);
                if matches!(asked, Asked::Tension(_)) && by_length >= 0.0 {
                    continue;
                }
                let (found_m, looks) = of.sought_m(asked, value).unwrap();
                let (again, _) = asked.of(&span::solve(&of.of_length(found_m)).unwrap());
                let larger = known.ends.t_first_n.max(known.ends.t_last_n);
                let known_to = if matches!(asked, Asked::Tension(_)) { larger / value } else { 1.0 };
                let spacing = 8.0 * f64::EPSILON * (by_length * length_m / value).abs();
                assert!(
                    (again / value - 1.0).abs() <= 2e-12 * known_to + spacing,
                    "{asked:?} {of:?} {length_m}"
                );
                *most = looks.max(*most);
                (all, count) = (all + looks, count + 1);
            }
        }
        // 3.3 on the mean
        assert!(most.iter().all(|looks| *looks <= 10) && all < 4 * count, "{most:?} {all} {count}");
    }
}
