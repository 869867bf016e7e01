//! A point of a rig: fixed, or moving and held by a plane, a line or the ground.

use crate::error::{self, InputError};
use crate::geometry::{Direction3, Force3, Point3};
use crate::quantity::Force;
use alloc::borrow::ToOwned;
use alloc::string::String;
use nalgebra::Vector3;

/// What a point may do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Hold {
    Fixed,
    Free,
    Plane { through: Vector3<f64>, normal: Vector3<f64> },
    Line { through: Vector3<f64>, along: Vector3<f64> },
    Ground { through: Vector3<f64>, normal: Vector3<f64> },
}

/// A point that moves until the forces on it balance: a load, a carriage, a floating redirect, a litter on a slope.
///
/// It may move anywhere, or be held to a plane or a line without friction, or lie on ground that only pushes.
///
/// ```
/// use rope_mechanics::geometry::{Direction3, Point3};
/// use rope_mechanics::quantity::{Force, unit::newton};
/// use rope_mechanics::rig::FreePoint;
///
/// let litter = FreePoint::above_ground(Point3::default(), Direction3::UP).with_weight(Force::new::<newton>(2500.0));
/// # let _ = litter;
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FreePoint {
    hold: Hold,
    weight: Force,
    force: Force3,
    start: Option<Point3>,
}

impl FreePoint {
    /// Free to move anywhere.
    #[must_use]
    pub fn anywhere() -> Self {
        Self::held(Hold::Free)
    }

    /// Free to move in a plane, which pushes and pulls at right angles to itself as needed.
    ///
    /// # Errors
    /// Unless the point is finite.
    pub fn on_plane(through: Point3, normal: Direction3) -> Result<Self, InputError> {
        Ok(Self::held(Hold::Plane { through: through.finite("through")?, normal: normal.unit() }))
    }

    /// Free to move along a line, as on a rail without friction.
    ///
    /// # Errors
    /// Unless the point is finite.
    pub fn on_line(through: Point3, along: Direction3) -> Result<Self, InputError> {
        Ok(Self::held(Hold::Line { through: through.finite("through")?, along: along.unit() }))
    }

    /// Free to move on or above even ground, level or not, which pushes along its normal and never pulls.
    ///
    /// Assumed: no friction. For the pull with friction on a slope see [`crate::slope`].
    #[must_use]
    pub fn above_ground(through: Point3, normal: Direction3) -> Self {
        Self::held(Hold::Ground { through: through.si(), normal: normal.unit() })
    }

    /// The same point with a weight, which pulls straight down.
    #[must_use]
    pub const fn with_weight(mut self, weight: Force) -> Self {
        self.weight = weight;
        self
    }

    /// The same point under a force that keeps its size and direction.
    #[must_use]
    pub const fn with_force(mut self, force: Force3) -> Self {
        self.force = force;
        self
    }

    /// The same point with a start for the search: it matters where a rig has several equilibria, and may save steps
    /// elsewhere.
    ///
    /// With ropes that move over turns with friction, the search goes on from the frictionless equilibrium that the
    /// start leads to: the start doesn't choose among the equilibria with friction.
    #[must_use]
    pub const fn with_start(mut self, start: Point3) -> Self {
        self.start = Some(start);
        self
    }

    fn held(hold: Hold) -> Self {
        Self { hold, weight: Force::default(), force: Force3::default(), start: None }
    }
}

/// A point as the solver sees it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PointData {
    pub(crate) name: String,
    pub(crate) hold: Hold,
    /// Where it is fixed, or where the search starts.
    pub(crate) at: Vector3<f64>,
    pub(crate) has_start: bool,
    pub(crate) load_n: Vector3<f64>,
    /// The load as it was given.
    #[cfg_attr(not(feature = "serde"), allow(dead_code))]
    pub(crate) weight_n: f64,
    #[cfg_attr(not(feature = "serde"), allow(dead_code))]
    pub(crate) force_n: Vector3<f64>,
}

impl PointData {
    /// A point that stays where it is.
    pub(super) fn fixed(name: &str, at: Point3) -> Result<Self, InputError> {
        Ok(Self {
            name: name.to_owned(),
            hold: Hold::Fixed,
            at: at.finite("at")?,
            has_start: true,
            load_n: Vector3::zeros(),
            weight_n: 0.0,
            force_n: Vector3::zeros(),
        })
    }

    /// A point that moves.
    pub(super) fn moving(name: &str, point: FreePoint) -> Result<Self, InputError> {
        let weight_n = error::finite("weight", point.weight)?;
        let force_n = point.force.finite("force")?;
        let at = point.start.map_or(Ok(Vector3::zeros()), |start| start.finite("start"))?;
        if let Hold::Ground { through, .. } = point.hold {
            Point3::from_si(through).finite("through")?;
        }
        Ok(Self {
            name: name.to_owned(),
            hold: point.hold,
            at,
            has_start: point.start.is_some(),
            load_n: force_n - Vector3::new(0.0, 0.0, weight_n),
            weight_n,
            force_n,
        })
    }
}
