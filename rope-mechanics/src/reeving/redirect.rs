//! A rope that turns once: what it does to the thing it turns on.

use super::{Angle, Band, Direction3, Force, Force3, InputError, Motion, Turn, error, math, newtons};
use core::f64::consts::PI;

/// |R| from the tensions of the two parts and the wrap between them.
///
/// R² = (T₁ − T₂)² + 4·T₁·T₂·sin²(θ/2), which has no cancellation
pub(crate) fn turn_load_n(one_n: f64, other_n: f64, wrap_rad: f64) -> f64 {
    let half = math::sin(0.5 * wrap_rad);
    math::hypot(one_n - other_n, 2.0 * math::sqrt(one_n * other_n) * half)
}

/// Load on a turn without loss, from the tension and the angle between its two lines.
///
/// R = 2·T·cos(β/2), with β = 0 where the rope comes straight back and 180° where it runs straight on
///
/// ```
/// use rope_mechanics::quantity::{Angle, Force, unit::{degree, newton}};
/// use rope_mechanics::reeving::redirect_load;
///
/// // At 120° between the lines the load on the turn is the tension itself.
/// let load = redirect_load(Force::new::<newton>(1000.0), Angle::new::<degree>(120.0))?;
/// assert!((load.get::<newton>() - 1000.0).abs() < 1e-9);
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
///
/// Source: geometry; printed as a table of block factors in industrial catalogues.
///
/// # Errors
/// Unless the tension is at least zero and the angle from 0 to 180°.
pub fn redirect_load(tension: Force, between_lines: Angle) -> Result<Force, InputError> {
    let tension_n = error::non_negative("tension", tension)?;
    let between = error::within("between_lines", between_lines, 0.0, PI)?;
    // 2·T·cos(β/2) = 2·T·sin((π−β)/2)
    Ok(newtons(turn_load_n(tension_n, tension_n, PI - between)))
}

/// One turn between two lines: a redirect.
///
/// ```
/// use rope_mechanics::geometry::Direction3;
/// use rope_mechanics::quantity::{Force, Ratio, unit::{newton, ratio}};
/// use rope_mechanics::reeving::Redirect;
/// use rope_mechanics::motion::Motion;
/// use rope_mechanics::sheave::Turn;
///
/// let along = |x, z| Direction3::new(Ratio::new::<ratio>(x), Ratio::new::<ratio>(0.0), Ratio::new::<ratio>(z));
/// // The load hangs straight down, the hand pulls straight back.
/// let redirect = Redirect::new(Turn::sheave(Ratio::new::<ratio>(0.9))?, along(0.0, -1.0)?, along(-1.0, 0.0)?);
/// let on_it = redirect.load(Force::new::<newton>(1000.0), Motion::Hauling)?;
/// assert!((on_it.force.z.get::<newton>() + 1000.0).abs() < 1e-9);
/// assert!((on_it.force.x + on_it.pull.high).get::<newton>().abs() < 1e-9);
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Redirect {
    turn: Turn,
    to_load: Direction3,
    to_pull: Direction3,
}

/// What a redirect takes and gives.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct RedirectLoad {
    /// Tension on the pulling side.
    pub pull: Band<Force>,
    /// How far the rope wraps the turn.
    pub wrap: Angle,
    /// Size of the force on what holds the turn; at rest the greatest that friction may leave.
    pub load: Force,
    /// The same as a vector.
    pub force: Force3,
}

impl Redirect {
    /// A turn, with the directions in which its two lines run away from it.
    #[must_use]
    pub const fn new(turn: Turn, to_load: Direction3, to_pull: Direction3) -> Self {
        Self { turn, to_load, to_pull }
    }

    /// How far the rope wraps the turn: 180° less the angle between the lines.
    #[must_use]
    pub fn wrap(&self) -> Angle {
        self.to_load.reversed().angle_to(self.to_pull)
    }

    /// The force on what holds the turn, and the tension on the pulling side, for a tension on the load's side.
    ///
    /// R = T_load·u_load + T_pull·u_pull
    ///
    /// # Errors
    /// Unless the tension is at least zero.
    pub fn load(&self, load_tension: Force, motion: Motion) -> Result<RedirectLoad, InputError> {
        let load_n = error::non_negative("load_tension", load_tension)?;
        let wrap = self.wrap();
        let pull = motion.of(self.turn.band(wrap)?).map(|ratio| newtons(load_n * ratio.value));
        let sum = |pull: Force| self.to_load.unit() * load_n + self.to_pull.unit() * pull.value;
        // R² is convex in the pull, so its greatest stands at one end of the band.
        let (one, other) = (sum(pull.low), sum(pull.high));
        let force = Force3::from_si(if one.norm_squared() > other.norm_squared() { one } else { other });
        Ok(RedirectLoad { pull, wrap, load: force.magnitude(), force })
    }
}
