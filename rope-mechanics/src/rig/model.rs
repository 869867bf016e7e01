//! What a rig is made of: points, and ropes that run from point to point.

use super::error::RigError;
use super::ids::{Lineage, PointId, RopeId, SheaveId};
use crate::error::{self, Allowed, InputError};
use crate::geometry::{Direction3, Force3, Point3};
use crate::motion::Motion;
use crate::quantity::{Force, Length, LineWeight};
use crate::rope::Stretch;
use crate::sheave::Turn;
use alloc::borrow::ToOwned;
use alloc::collections::BTreeMap;
use alloc::string::String;
use alloc::vec::Vec;
use nalgebra::Vector3;

/// One end of a rope, in the order in which it was led.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
pub enum End {
    /// Where the rope starts.
    First,
    /// Where it ends.
    Last,
}

/// What is known of a rope: how much of it there is, or how hard it is pulled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Supply {
    /// Its unstretched length between its two ends.
    Length(Length),
    /// The tension at one end, where a winch, a brake or a hanging weight keeps it; the length follows.
    Tension {
        /// Which end.
        at: End,
        /// How much there, all strands together.
        tension: Force,
    },
}

/// What a point may do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Hold {
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

    /// With a weight, which pulls straight down.
    #[must_use]
    pub const fn with_weight(mut self, weight: Force) -> Self {
        self.weight = weight;
        self
    }

    /// With a force that keeps its size and direction.
    #[must_use]
    pub const fn with_force(mut self, force: Force3) -> Self {
        self.force = force;
        self
    }

    /// Looked for from here. Matters where a rig has several equilibria; elsewhere it may save steps.
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

/// How a rope runs: from a point, over any number of sheaves, to a point.
///
/// ```
/// use rope_mechanics::quantity::{Force, Length, unit::{kilonewton, meter}};
/// use rope_mechanics::rig::{FreePoint, Rig, Run, Supply};
/// use rope_mechanics::rope::Stretch;
/// use rope_mechanics::sheave::Turn;
/// # use rope_mechanics::geometry::Point3;
///
/// let mut rig = Rig::new();
/// let head = rig.fixed("head", Point3::default())?;
/// let load = rig.point("load", FreePoint::anywhere())?;
/// let stretch = Stretch::linear(Force::new::<kilonewton>(40.0))?;
/// let run = Run::new(stretch, Supply::Length(Length::new::<meter>(12.0)), head, head).over(load, Turn::FRICTIONLESS);
/// rig.rope("haul", run)?;
/// # Ok::<(), rope_mechanics::rig::RigError>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    stretch: Stretch,
    supply: Supply,
    from: PointId,
    to: PointId,
    over: Vec<(PointId, Around)>,
    weight: LineWeight,
    strands: u32,
    motion: Motion,
    hand: End,
}

impl Run {
    /// A weightless rope of one strand at rest, from a point straight to another.
    #[must_use]
    pub const fn new(stretch: Stretch, supply: Supply, from: PointId, to: PointId) -> Self {
        Self {
            stretch,
            supply,
            from,
            to,
            over: Vec::new(),
            weight: LineWeight {
                dimension: core::marker::PhantomData,
                units: core::marker::PhantomData,
                value: 0.0,
            },
            strands: 1,
            motion: Motion::AtRest,
            hand: End::Last,
        }
    }

    /// Then over a sheave at this point, fixed or free.
    #[must_use]
    pub fn over(self, point: PointId, turn: Turn) -> Self {
        self.over_with_wraps(point, turn, 0)
    }

    /// Then over this turn, with so many more whole turns around it: a bollard, a capstan, a bar with a round turn.
    ///
    /// The angle that counts for its loss is the one between the two parts of the rope, and 360° for each wrap.
    #[must_use]
    pub fn over_with_wraps(mut self, point: PointId, turn: Turn, wraps: u32) -> Self {
        self.over.push((point, Around { turn, wraps }));
        self
    }

    /// With this weight per unstretched metre of each strand.
    #[must_use]
    pub const fn with_weight(mut self, weight: LineWeight) -> Self {
        self.weight = weight;
        self
    }

    /// With this many strands side by side, all led the same way and of one length.
    #[must_use]
    pub const fn with_strands(mut self, strands: u32) -> Self {
        self.strands = strands;
        self
    }

    /// Moving: hauled or lowered by the hand, winch or brake at that end.
    ///
    /// At every turn the tension on the hand's side by the tension on the other side is then the hauling or the
    /// lowering ratio of the turn. A rope at rest counts as frictionless; [`super::Rig::solve_band`] gives the two
    /// ends of what friction may hold. For a carriage that rolls along a rope tied at both ends, hauling with the
    /// hand at the last end is a carriage that rolls towards the first end.
    #[must_use]
    pub const fn with_motion(mut self, motion: Motion, hand: End) -> Self {
        self.motion = motion;
        self.hand = hand;
        self
    }
}

/// A turn of a rope, with so many whole turns more than its directions show.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Around {
    pub(super) turn: Turn,
    pub(super) wraps: u32,
}

/// The most wraps around one turn.
const MOST_WRAPS: f64 = 31.0;

/// A point as the solver sees it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct PointData {
    pub(super) name: String,
    pub(super) hold: Hold,
    /// Where it is fixed, or where the search starts.
    pub(super) at: Vector3<f64>,
    pub(super) has_start: bool,
    pub(super) load_n: Vector3<f64>,
    /// The load as it was given.
    #[cfg_attr(not(feature = "serde"), allow(dead_code))]
    pub(super) weight_n: f64,
    #[cfg_attr(not(feature = "serde"), allow(dead_code))]
    pub(super) force_n: Vector3<f64>,
}

/// A rope as the solver sees it, all strands together.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct RopeData {
    pub(super) name: String,
    pub(super) stretch: Stretch,
    pub(super) weight_n_per_m: f64,
    pub(super) strands: u32,
    /// Stretch and weight of one strand, as given.
    #[cfg_attr(not(feature = "serde"), allow(dead_code))]
    pub(super) strand: (Stretch, LineWeight),
    pub(super) supply: Supplied,
    pub(super) motion: Motion,
    pub(super) hand: End,
    /// The points from the first end to the last.
    pub(super) nodes: Vec<u32>,
    /// The turns at the inner nodes.
    pub(super) turns: Vec<Around>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Supplied {
    Length(f64),
    Tension(End, f64),
}

impl RopeData {
    pub(super) fn parts(&self) -> usize {
        self.nodes.len() - 1
    }
}

/// Points and ropes, put together one by one, and solved as often as needed.
///
/// ```
/// use rope_mechanics::geometry::Point3;
/// use rope_mechanics::quantity::{Force, Length, unit::{kilonewton, meter, newton}};
/// use rope_mechanics::rig::{FreePoint, Rig, Run, Supply};
/// use rope_mechanics::rope::Stretch;
/// use rope_mechanics::sheave::Turn;
///
/// let at = |x, z| Point3::new(Length::new::<meter>(x), Length::new::<meter>(0.0), Length::new::<meter>(z));
/// let mut rig = Rig::new();
/// let left = rig.fixed("left", at(0.0, 0.0))?;
/// let right = rig.fixed("right", at(30.0, 4.0))?;
/// let carriage = rig.point("carriage", FreePoint::anywhere().with_weight(Force::new::<newton>(2000.0)))?;
/// let stretch = Stretch::linear(Force::new::<kilonewton>(40.0))?;
/// let length = Supply::Length(Length::new::<meter>(32.0));
/// let track = rig.rope("track", Run::new(stretch, length, left, right).over(carriage, Turn::FRICTIONLESS))?;
///
/// let solution = rig.solve()?;
/// let parts = solution.parts(track)?;
/// // Equal tension on both sides of a frictionless carriage.
/// assert!((parts[0].tension_last - parts[1].tension_first).abs() < Force::new::<newton>(1e-6));
/// assert!(solution.position(carriage)?.z < Length::new::<meter>(0.0));
/// # Ok::<(), rope_mechanics::rig::RigError>(())
/// ```
#[derive(Debug, Clone)]
pub struct Rig {
    pub(super) ids: Lineage,
    pub(super) points: Vec<PointData>,
    pub(super) ropes: Vec<RopeData>,
    point_names: BTreeMap<String, u32>,
    rope_names: BTreeMap<String, u32>,
}

impl Default for Rig {
    fn default() -> Self {
        Self::new()
    }
}

impl Rig {
    /// A rig with nothing in it.
    #[must_use]
    pub fn new() -> Self {
        Self {
            ids: Lineage::new(),
            points: Vec::new(),
            ropes: Vec::new(),
            point_names: BTreeMap::new(),
            rope_names: BTreeMap::new(),
        }
    }

    /// Adds a fixed point: an anchor, a frame's head, a sheave that can't move.
    ///
    /// # Errors
    /// If the name is taken or the place not finite.
    pub fn fixed(&mut self, name: &str, at: Point3) -> Result<PointId, RigError> {
        let at = at.finite("at")?;
        self.push_point(PointData {
            name: name.to_owned(),
            hold: Hold::Fixed,
            at,
            has_start: true,
            load_n: Vector3::zeros(),
            weight_n: 0.0,
            force_n: Vector3::zeros(),
        })
    }

    /// Adds a point that moves.
    ///
    /// # Errors
    /// If the name is taken; unless weight, force, start and ground are finite.
    pub fn point(&mut self, name: &str, point: FreePoint) -> Result<PointId, RigError> {
        let weight = error::finite("weight", point.weight)?;
        let force_n = point.force.finite("force")?;
        let load_n = force_n - Vector3::new(0.0, 0.0, weight);
        let at = point.start.map_or(Ok(Vector3::zeros()), |start| start.finite("start"))?;
        if let Hold::Ground { through, .. } = point.hold {
            Point3::from_si(through).finite("through")?;
        }
        self.push_point(PointData {
            name: name.to_owned(),
            hold: point.hold,
            at,
            has_start: point.start.is_some(),
            load_n,
            weight_n: weight,
            force_n,
        })
    }

    /// Adds a rope.
    ///
    /// # Errors
    /// If the name is taken, a point is another rig's, or the rope runs from a point straight back to it; unless
    /// length and tension are above zero, the weight at least zero and the strands from 1 to 1000. A heavy rope
    /// may have a set tension only at a fixed point.
    pub fn rope(&mut self, name: &str, run: Run) -> Result<RopeId, RigError> {
        let weight = error::non_negative("rope_weight", run.weight)?;
        let strands = error::within("strands", f64::from(run.strands), 1.0, 1000.0)?;
        let stretch = run.stretch.strands(run.strands)?;
        let supply = match run.supply {
            Supply::Length(length) => Supplied::Length(error::positive("rope_length", length)?),
            Supply::Tension { at, tension } => {
                Supplied::Tension(at, error::positive("set_tension", tension)?)
            }
        };
        let mut nodes = Vec::with_capacity(run.over.len() + 2);
        for id in
            core::iter::once(run.from).chain(run.over.iter().map(|o| o.0)).chain(core::iter::once(run.to))
        {
            let at = self.point_at(id)?;
            if nodes.last() == Some(&(at as u32)) {
                let point = self.points.get(at).map_or_else(String::new, |p| p.name.clone());
                return Err(RigError::NoPart { rope: name.to_owned(), point });
            }
            nodes.push(at as u32);
        }
        if let Supplied::Tension(end, _) = supply {
            let id = if end == End::First { run.from } else { run.to };
            let fixed = self.points.get(self.point_at(id)?).is_some_and(|p| p.hold == Hold::Fixed);
            if weight > 0.0 && !fixed {
                return Err(RigError::TensionOnTheMove { rope: name.to_owned() });
            }
        }
        for (_, around) in &run.over {
            error::within("wraps", f64::from(around.wraps), 0.0, MOST_WRAPS)?;
        }
        let index = index_of(self.ropes.len(), "ropes")?;
        claim(&mut self.rope_names, name, index)?;
        self.ropes.push(RopeData {
            name: name.to_owned(),
            stretch,
            weight_n_per_m: weight * strands,
            strands: run.strands,
            strand: (run.stretch, run.weight),
            supply,
            motion: run.motion,
            hand: run.hand,
            nodes,
            turns: run.over.into_iter().map(|o| o.1).collect(),
        });
        Ok(self.ids.add_rope(name))
    }

    /// The turns of a rope, from its first end to its last.
    ///
    /// # Errors
    /// If the rope is another rig's.
    pub fn sheaves(&self, rope: RopeId) -> Result<impl ExactSizeIterator<Item = SheaveId> + use<>, RigError> {
        let turns = self.rope_data(rope)?.turns.len() as u32;
        Ok((0..turns).map(move |turn| SheaveId { rope, turn }))
    }

    /// All points, in the order in which they were added.
    pub fn points(&self) -> impl ExactSizeIterator<Item = PointId> {
        self.ids.points()
    }

    /// All ropes, in the order in which they were added.
    pub fn ropes(&self) -> impl ExactSizeIterator<Item = RopeId> {
        self.ids.ropes()
    }

    /// The point of this name.
    #[must_use]
    pub fn find_point(&self, name: &str) -> Option<PointId> {
        self.point_names.get(name).map(|&index| self.ids.point(index))
    }

    /// The rope of this name.
    #[must_use]
    pub fn find_rope(&self, name: &str) -> Option<RopeId> {
        self.rope_names.get(name).map(|&index| self.ids.rope(index))
    }

    /// What a point is called.
    ///
    /// # Errors
    /// If the point is another rig's.
    pub fn point_name(&self, point: PointId) -> Result<&str, RigError> {
        self.points
            .get(self.point_at(point)?)
            .map(|p| p.name.as_str())
            .ok_or(RigError::Foreign { kind: "point" })
    }

    /// What a rope is called.
    ///
    /// # Errors
    /// If the rope is another rig's.
    pub fn rope_name(&self, rope: RopeId) -> Result<&str, RigError> {
        Ok(self.rope_data(rope)?.name.as_str())
    }

    /// Whether any rope moves over a turn that loses something.
    pub(super) fn has_moving_friction(&self) -> bool {
        self.ropes.iter().any(RopeData::has_moving_friction)
    }

    pub(super) fn point_at(&self, id: PointId) -> Result<usize, RigError> {
        self.ids.point_at(id).ok_or(RigError::Foreign { kind: "point" })
    }

    pub(super) fn rope_at(&self, id: RopeId) -> Result<usize, RigError> {
        self.ids.rope_at(id).ok_or(RigError::Foreign { kind: "rope" })
    }

    fn rope_data(&self, id: RopeId) -> Result<&RopeData, RigError> {
        self.ropes.get(self.rope_at(id)?).ok_or(RigError::Foreign { kind: "rope" })
    }

    fn push_point(&mut self, point: PointData) -> Result<PointId, RigError> {
        let index = index_of(self.points.len(), "points")?;
        claim(&mut self.point_names, &point.name, index)?;
        let id = self.ids.add_point(&point.name);
        self.points.push(point);
        Ok(id)
    }
}

/// Takes a name that nothing else has.
fn claim(names: &mut BTreeMap<String, u32>, name: &str, index: u32) -> Result<(), RigError> {
    if names.contains_key(name) {
        return Err(RigError::NameTaken { name: name.to_owned() });
    }
    names.insert(name.to_owned(), index);
    Ok(())
}

/// The most points, and the most ropes, of a rig.
const MOST: usize = 1_000_000;

fn index_of(count: usize, field: &'static str) -> Result<u32, InputError> {
    if count < MOST {
        Ok(count as u32)
    } else {
        Err(InputError::new(field, count as f64 + 1.0, "", Allowed::AtMost(MOST as f64)))
    }
}
