//! What is known of a line once it is solved.

use super::linear::{Ends, Solved};
use crate::error::{InputError, SolveReport, within};
use crate::geometry::{Force2, Point2};
use crate::quantity::{Force, Length, Ratio, metres, newtons, ratio};

/// A line in equilibrium: its forces, and where each part of it hangs.
///
/// Points are given from the first end, x level toward the second end and z up. `s` is always an unstretched
/// length along the rope from the first end: a mark painted on the rope keeps its `s` under any tension.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LineState {
    pub(super) solved: Solved,
}

impl LineState {
    /// H, the level component of the tension, the same all along.
    #[must_use]
    pub fn horizontal_tension(&self) -> Force {
        newtons(self.solved.ends.h_n)
    }

    /// Tension at the first end.
    #[must_use]
    pub fn first_tension(&self) -> Force {
        newtons(self.solved.ends.t_first_n)
    }

    /// Tension at the second end.
    #[must_use]
    pub fn last_tension(&self) -> Force {
        newtons(self.solved.ends.t_last_n)
    }

    /// The larger end tension, which is the greatest anywhere in the line.
    #[must_use]
    pub fn greatest_tension(&self) -> Force {
        newtons(self.solved.ends.t_first_n.max(self.solved.ends.t_last_n))
    }

    /// The strain where the tension is greatest; zero for a catenary, which doesn't stretch.
    ///
    /// A line is solved for any strain, also one at which every rope has long parted: compare this with the range
    /// in which your rope's stretch was measured. The rig refuses strains above 50 %.
    #[must_use]
    pub fn greatest_strain(&self) -> Ratio {
        let Ends { t_first_n, t_last_n, .. } = self.solved.ends;
        ratio(self.solved.span.stretch.strain_at(t_first_n.max(t_last_n)))
    }

    /// What the first support does to the rope: it pulls it back, and usually up.
    ///
    /// A negative z means that the rope lifts its support, as at the lower end of a taut, steep line.
    #[must_use]
    pub fn first_reaction(&self) -> Force2 {
        Force2::new(newtons(-self.solved.ends.h_n), newtons(self.solved.ends.v_first_n))
    }

    /// What the second support does to the rope. The two reactions add up to the weight of the rope.
    #[must_use]
    pub fn last_reaction(&self) -> Force2 {
        Force2::new(newtons(self.solved.ends.h_n), newtons(self.solved.ends.v_last_n))
    }

    /// Tension at a mark on the rope.
    ///
    /// T = √(H² + V²), V = V_A + w·s
    ///
    /// # Errors
    /// Unless s is from 0 to the unstretched length.
    pub fn tension_at(&self, s: Length) -> Result<Force, InputError> {
        Ok(newtons(self.solved.tension(self.mark(s)?)))
    }

    /// Where a mark on the rope hangs.
    ///
    /// # Errors
    /// Unless s is from 0 to the unstretched length.
    pub fn point_at(&self, s: Length) -> Result<Point2, InputError> {
        let (x, z) = self.solved.point(self.mark(s)?);
        Ok(Point2::new(metres(x), metres(z)))
    }

    fn mark(&self, s: Length) -> Result<f64, InputError> {
        within("s", s, 0.0, self.solved.span.length_m)
    }

    /// The lowest point of the line: the lower support where the line nowhere hangs below it.
    #[must_use]
    pub fn lowest_point(&self) -> Point2 {
        let (x, z) = self.solved.point(self.solved.lowest_mark());
        Point2::new(metres(x), metres(z))
    }

    /// The greatest vertical distance of the line below the straight chord between its supports.
    ///
    /// Above a plumb chord there is no such distance: a line without span gives how far its lowest point is below
    /// the lower support.
    ///
    /// It is exact to a part of itself, however small and however steep the line.
    #[must_use]
    pub fn sag(&self) -> Length {
        metres(self.solved.sag())
    }

    /// Unstretched length.
    #[must_use]
    pub fn length(&self) -> Length {
        metres(self.solved.span.length_m)
    }

    /// Length as it hangs: L + ∫ε ds.
    #[must_use]
    pub fn stretched_length(&self) -> Length {
        metres(self.solved.span.length_m + self.solved.stretch_m())
    }

    /// Steps taken, and the residual: by how much of itself one more step would move the answer.
    ///
    /// That is stricter than a closing error in metres: a stiff, taut line closes to the last digit of a length
    /// with a tension that is still far off.
    #[must_use]
    pub fn report(&self) -> SolveReport {
        SolveReport::new(self.solved.ends.iterations, self.solved.ends.residual)
    }

    /// This many points of the line, at least two: the first end, the second end, and points between them that cut
    /// its length in equal parts.
    #[must_use]
    pub fn points(&self, count: u32) -> Points {
        Points { solved: self.solved, parts: count.max(2) - 1, next: 0 }
    }
}

/// One of the two ends of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
pub enum End {
    /// The end from which span, rise and marks are measured.
    First,
    /// The other one.
    Last,
}

/// The points of a line, in order. See [`LineState::points`].
#[derive(Debug, Clone)]
pub struct Points {
    solved: Solved,
    parts: u32,
    next: u32,
}

impl Iterator for Points {
    type Item = Point2;

    fn next(&mut self) -> Option<Point2> {
        if self.next > self.parts {
            return None;
        }
        let s_m = self.solved.span.length_m * (f64::from(self.next) / f64::from(self.parts));
        self.next += 1;
        let (x, z) = self.solved.point(s_m);
        Some(Point2::new(metres(x), metres(z)))
    }

    fn size_hint(&self) -> (usize, Option<usize>) {
        let left = (self.parts - self.next.min(self.parts)) as usize + usize::from(self.next <= self.parts);
        (left, Some(left))
    }
}

impl ExactSizeIterator for Points {}
