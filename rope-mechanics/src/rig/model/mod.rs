//! What a rig is made of: points, and ropes that run from point to point.

pub(crate) mod ids;
pub(crate) mod point;
pub(crate) mod rope;
#[cfg(feature = "serde")]
pub(crate) mod spec;

use self::ids::{Lineage, PointId, RopeId, SheaveId};
pub(crate) use self::point::{FreePoint, Hold, PointData};
pub(crate) use self::rope::{RopeData, RopeEnd, RopeRun, RopeSupply, Supplied};
use super::error::RigError;
use crate::error::{self, Allowed, InputError};
use crate::geometry::Point3;
use alloc::borrow::ToOwned;
use alloc::collections::BTreeMap;
use alloc::string::String;
use alloc::vec::Vec;

/// Points and ropes, put together one by one, and solved as often as needed.
///
/// ```
/// use rope_mechanics::geometry::Point3;
/// use rope_mechanics::quantity::{Force, Length, unit::{kilonewton, meter, newton}};
/// use rope_mechanics::rig::{FreePoint, Rig, RopeRun, RopeSupply};
/// use rope_mechanics::rope::Stretch;
/// use rope_mechanics::sheave::Turn;
///
/// let at = |x, z| Point3::new(Length::new::<meter>(x), Length::new::<meter>(0.0), Length::new::<meter>(z));
/// let mut rig = Rig::new();
/// let left = rig.fixed("left", at(0.0, 0.0))?;
/// let right = rig.fixed("right", at(30.0, 4.0))?;
/// let carriage = rig.point("carriage", FreePoint::anywhere().with_weight(Force::new::<newton>(2000.0)))?;
/// let stretch = Stretch::linear(Force::new::<kilonewton>(40.0))?;
/// let length = RopeSupply::Length(Length::new::<meter>(32.0));
/// let track = rig.rope("track", RopeRun::new(stretch, length, left, right).over(carriage, Turn::FRICTIONLESS))?;
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
    pub(crate) ids: Lineage,
    pub(crate) points: Vec<PointData>,
    pub(crate) ropes: Vec<RopeData>,
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
        self.push_point(PointData::fixed(name, at)?)
    }

    /// Adds a point that moves.
    ///
    /// # Errors
    /// If the name is taken; unless weight, force, start and ground are finite.
    pub fn point(&mut self, name: &str, point: FreePoint) -> Result<PointId, RigError> {
        self.push_point(PointData::moving(name, point)?)
    }

    /// Adds a rope.
    ///
    /// # Errors
    /// If the name is taken, a point is another rig's, or the rope runs from a point straight back to it; unless
    /// length and tension are above zero, the weight at least zero and the strands from 1 to 1000. A heavy rope
    /// may have a set tension only at a fixed point.
    pub fn rope(&mut self, name: &str, run: RopeRun) -> Result<RopeId, RigError> {
        let weight = error::non_negative("rope_weight", run.weight)?;
        let strands = error::within("strands", f64::from(run.strands), 1.0, 1000.0)?;
        let stretch = run.stretch.strands(run.strands)?;
        let supply = match run.supply {
            RopeSupply::Length(length) => Supplied::Length(error::positive("rope_length", length)?),
            RopeSupply::Tension { at, tension } => {
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
            let id = if end == RopeEnd::First { run.from } else { run.to };
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
    pub(crate) fn has_moving_friction(&self) -> bool {
        self.ropes.iter().any(RopeData::has_moving_friction)
    }

    pub(crate) fn point_at(&self, id: PointId) -> Result<usize, RigError> {
        self.ids.point_at(id).ok_or(RigError::Foreign { kind: "point" })
    }

    pub(crate) fn rope_at(&self, id: RopeId) -> Result<usize, RigError> {
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

/// The most wraps around one turn.
const MOST_WRAPS: f64 = 31.0;

/// The most points, and the most ropes, of a rig.
const MOST: usize = 1_000_000;

fn index_of(count: usize, field: &'static str) -> Result<u32, InputError> {
    if count < MOST {
        Ok(count as u32)
    } else {
        Err(InputError::new(field, count as f64 + 1.0, "", Allowed::AtMost(MOST as f64)))
    }
}
