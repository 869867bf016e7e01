//! One strand of a track: from the head over the wheel of a carriage to the far sheave, in plain numbers.

use crate::line::LineError;
use crate::line::span::{self, Solved, Span};
use crate::rope::Stretch;

/// What the strands of a track have in common. Horizontal distances run from the head outward, heights from the head up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Strands {
    pub(super) far_x_m: f64,
    pub(super) far_z_m: f64,
    /// Of one strand.
    pub(super) weight_n_per_m: f64,
    pub(super) stretch: Stretch,
}

/// What one strand does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct TrackStrand {
    pub(super) at_head_n: f64,
    pub(super) at_far_n: f64,
    /// The direction in which the rope leaves the head, and the far sheave: its components (level, up) times the
    /// tension.
    pub(super) from_head: (f64, f64),
    pub(super) from_far: (f64, f64),
    /// Its pull on the carriage (level, up).
    pub(super) on_carriage: (f64, f64),
    /// The unstretched rope above the wheel, as a share of the whole: all of it without one.
    pub(super) upper_share: f64,
}

/// The ratio of tensions at a wheel may be missed by this share.
const WHEEL: f64 = 1e-13;
/// Steps to the place of the wheel on the rope: Newton's take four or five, halving the bracket 52.
const STEPS: u32 = 100;

impl Strands {
    fn span(&self, span_m: f64, rise_m: f64, length_m: f64) -> Span {
        Span { span_m, rise_m, length_m, weight_n_per_m: self.weight_n_per_m, stretch: self.stretch }
    }

    /// The strand without a carriage on it.
    pub(super) fn free(&self, length_m: f64) -> Result<TrackStrand, LineError> {
        let whole = span::solve(&self.span(self.far_x_m, self.far_z_m, length_m))?;
        Ok(strand(&whole, &whole, (0.0, 0.0), 1.0))
    }

    /// The strand over a wheel at (x, z), with this ratio of the tension below the wheel to that above it.
    ///
    /// T_lower(L − L₁) = r·T_upper(L₁): the left side rises with L₁, the right side falls. The steps begin at a share
    /// L₁/L of a strand nearby, if there is one.
    pub(super) fn over_wheel(
        &self,
        length_m: f64,
        (x_m, z_m): (f64, f64),
        lower_by_upper: f64,
        nearby: Option<f64>,
    ) -> Result<TrackStrand, LineError> {
        let parts = |upper_m: f64| -> Result<(Solved, Solved), LineError> {
            Ok((
                span::solve(&self.span(x_m, z_m, upper_m))?,
                span::solve(&self.span(self.far_x_m - x_m, self.far_z_m - z_m, length_m - upper_m))?,
            ))
        };
        let chords_m = [
            self.span(x_m, z_m, length_m).chord_m(),
            self.span(self.far_x_m - x_m, self.far_z_m - z_m, length_m).chord_m(),
        ];
        // No step goes where a part would stretch to more than ten times its length: no line is certified far beyond.
        let (mut least_m, mut most_m) = (0.1 * chords_m[0], length_m - 0.1 * chords_m[1]);
        let mut upper_m = length_m * nearby.unwrap_or(chords_m[0] / (chords_m[0] + chords_m[1]));
        let (mut upper, mut lower) = parts(upper_m)?;
        for _ in 0..STEPS {
            let (above, below) = (&upper.ends, &lower.ends);
            let excess = lower_by_upper * above.t_last_n - below.t_first_n;
            if excess.abs() <= WHEEL * below.t_first_n {
                break;
            }
            if excess > 0.0 {
                least_m = upper_m;
            } else {
                most_m = upper_m;
            }
            // T·dT/dL = H·dH/dL + V·dV/dL, with V_first = w·L − V_last below the wheel
            let (h, v) = upper.by_length();
            let upper_by = (above.h_n * h + above.v_last_n * v) / above.t_last_n;
            let (h, v) = lower.by_length();
            let lower_by = (below.h_n * h + below.v_first_n * (self.weight_n_per_m - v)) / below.t_first_n;
            let next = upper_m - excess / (lower_by_upper * upper_by + lower_by);
            let next = if next > least_m && next < most_m { next } else { 0.5 * (least_m + most_m) };
            if next == upper_m || !(next > least_m && next < most_m) {
                break;
            }
            upper_m = next;
            (upper, lower) = parts(upper_m)?;
        }
        // The reactions of the wheel on the two parts, reversed.
        let x_n = lower.ends.h_n - upper.ends.h_n;
        let z_n = -upper.ends.v_last_n - lower.ends.v_first_n;
        Ok(strand(&upper, &lower, (x_n, z_n), upper_m / length_m))
    }
}

fn strand(upper: &Solved, lower: &Solved, on_carriage: (f64, f64), upper_share: f64) -> TrackStrand {
    TrackStrand {
        at_head_n: upper.ends.t_first_n,
        at_far_n: lower.ends.t_last_n,
        // A rope runs from its support against the support's reaction.
        from_head: (upper.ends.h_n, -upper.ends.v_first_n),
        from_far: (-lower.ends.h_n, -lower.ends.v_last_n),
        on_carriage,
        upper_share,
    }
}
