//! The line with weight and stretch, between two supports.

use super::span::{self, Span};
use super::{LineError, LineState};
use crate::error::{Allowed, InputError, check, finite, non_negative, positive};
use crate::quantity::{Length, LineWeight};
use crate::rope::Stretch;

pub use super::state::End;

/// A rope of given length between two supports.
///
/// Assumed: the rope is perfectly flexible, hangs free of ground and edges, and is bedded in; its weight is that of
/// its unstretched length; both ends are held. The elastic catenary (Irvine 1981) in one equation, without any
/// approximation for flat, steep, slack or taut lines:
///
/// [x·sinh u/(u+ε)]² + [z·t/(t+ε)]² = 1,  H = wX/(2(u+ε)),  V_m = wZ/(2(t+ε))
///
/// with x = X/L, z = Z/L, ε = wL/(2EA), t = tanh u. A rope that stiffens, T = a·ε + b·ε², is solved as a linear one
/// whose supports stand nearer by what it stretches more.
///
/// Range: span 0 to 10 000 km, either rise, length and axial stiffness from 1e-30 m and N and the length at least a
/// millionth of the chord, weight 0 and up; a span or weight below 1e-30 m or N/m is refused unless it is zero. A taut
/// line without weight is straight; a slack one has no shape and is an error. The strain has no other limit here,
/// though each rope has its own: 20 m of rope between supports 50 m apart is solved, stretched by 150 %. See
/// [`LineState::greatest_strain`].
///
/// **Caution.** A rope's stretch is seldom known to better than ±15 %, and so is the tension of a taut line.
///
/// ```
/// use rope_mechanics::line::elastic::ElasticLine;
/// use rope_mechanics::quantity::{Force, Length, LineMass, line_weight_of};
/// use rope_mechanics::quantity::unit::{kilonewton, meter, newton, percent};
/// use rope_mechanics::rope::Stretch;
/// use rope_mechanics::text::Text;
///
/// let line = ElasticLine::new(
///     Length::from_text("70 m")?,
///     Length::from_text("-45 m")?, // the second support is lower
///     Length::from_text("80.25 m")?,
///     line_weight_of(LineMass::from_text("170 g/m")?),
///     Stretch::linear(Force::new::<kilonewton>(80.0))?,
/// )?;
/// let state = line.solve()?;
/// assert!((state.first_tension().get::<newton>() - 2998.9).abs() < 0.5);
/// assert!((state.sag().get::<meter>() - 0.470).abs() < 0.0005);
/// assert!((state.greatest_strain().get::<percent>() - 3.75).abs() < 0.005);
/// assert!(state.report().residual < 1e-12);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// Source: Irvine, Cable Structures (MIT Press 1981), for the two equations that this one is reduced from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ElasticLine(Span);

impl ElasticLine {
    /// A rope of unstretched `length` between a first support and a second one, at a horizontal distance `span` and
    /// `rise` higher (lower, if negative).
    ///
    /// # Errors
    /// Unless the span and the weight are zero or at least 1e-30 m and N/m, and the length is at least that and a
    /// millionth of the distance between the supports.
    #[inline]
    pub fn new(
        span: Length,
        rise: Length,
        length: Length,
        weight: LineWeight,
        stretch: Stretch,
    ) -> Result<Self, InputError> {
        ElasticSpan::new(span, rise, weight, stretch)?.with_length(length)
    }

    /// The line in equilibrium.
    ///
    /// Quick first, and by [`solve_robust`](Self::solve_robust) wherever the quick way doesn't certify its answer.
    ///
    /// # Errors
    /// [`LineError::NoShape`] for a rope that is slack and has no weight; [`LineError::Unsolved`] where sizes far
    /// outside any rig leave the range of the numbers.
    pub fn solve(&self) -> Result<LineState, LineError> {
        state(span::solve_here(&self.0)?)
    }

    /// The line in equilibrium, by bracketed steps alone: slower, and good to the last digits.
    ///
    /// # Errors
    /// As for [`solve`](Self::solve).
    pub fn solve_robust(&self) -> Result<LineState, LineError> {
        state(span::solve_robust(&self.0)?)
    }
}

#[inline(always)]
pub(super) fn state(solved: span::Solved) -> Result<LineState, LineError> {
    if solved.is_shapeless() && solved.span.length_m > solved.span.chord_m() {
        return Err(LineError::NoShape { length_m: solved.span.length_m, chord_m: solved.span.chord_m() });
    }
    Ok(LineState { solved })
}

/// Two supports and a rope whose length is to be found.
///
/// The inverse questions: how much rope gives this tension, or this sag? Assumptions as for [`ElasticLine`].
///
/// Range: span, rise, weight and stiffness as for [`ElasticLine`], and the weight of as much rope as the supports are
/// apart up to 100 times its stiffness a + b; a heavier rope is refused by the name of its weight. Answers are lengths
/// from a fifth of that distance, a rope stretched to five times its length, up to 10 000 km, as far as the rope weighs
/// no more than 100 times a + b. What only a longer rope would give is [`LineError::OutOfReach`]. A shorter one, stretched
/// further, is certified like any other where it is found, but its being refused is no proof that there is none.
///
/// ```
/// use rope_mechanics::line::elastic::{ElasticSpan, End};
/// use rope_mechanics::quantity::{Force, Length, LineMass, line_weight_of, unit::newton};
/// use rope_mechanics::rope::Stretch;
/// use rope_mechanics::text::Text;
///
/// let span = ElasticSpan::new(
///     Length::from_text("70 m")?,
///     Length::from_text("-45 m")?,
///     line_weight_of(LineMass::from_text("170 g/m")?),
///     Stretch::linear(Force::from_text("80 kN")?)?,
/// )?;
/// let length = span.length_for_tension(End::First, Force::from_text("3 kN")?)?;
/// let state = span.with_length(length)?.solve()?;
/// assert!((state.first_tension().get::<newton>() - 3000.0).abs() < 1e-6);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ElasticSpan {
    pub(super) span_m: f64,
    pub(super) rise_m: f64,
    pub(super) weight_n_per_m: f64,
    pub(super) stretch: Stretch,
}

impl ElasticSpan {
    /// A second support at a horizontal distance `span` from the first and `rise` higher, and the rope between them.
    ///
    /// # Errors
    /// Unless the span and the weight are at least zero.
    #[inline]
    pub fn new(span: Length, rise: Length, weight: LineWeight, stretch: Stretch) -> Result<Self, InputError> {
        Ok(Self {
            span_m: non_negative("span", span)?,
            rise_m: finite("rise", rise)?,
            weight_n_per_m: non_negative("line_weight", weight)?,
            stretch,
        })
    }

    /// The same with a rope of this unstretched length.
    ///
    /// # Errors
    /// Unless the length is at least 1e-30 m and a millionth of the distance between the supports.
    #[inline]
    pub fn with_length(&self, length: Length) -> Result<ElasticLine, InputError> {
        let span = self.of_length(positive("length", length)?);
        // A chord is no longer than X + |Z|, which most ropes are a millionth of by far.
        if span.length_m < SHORTEST * (span.span_m + span.rise_m.abs()) {
            check("length", length, Allowed::AtLeast(SHORTEST * span.chord_m()))?;
        }
        Ok(ElasticLine(span))
    }

    #[inline]
    pub(super) fn of_length(&self, length_m: f64) -> Span {
        let Self { span_m, rise_m, weight_n_per_m, stretch } = *self;
        Span { span_m, rise_m, length_m, weight_n_per_m, stretch }
    }
}

/// No rope stretches to a million times its length, and none could be solved to the last digits.
pub(super) const SHORTEST: f64 = 1e-6;
