//! Ids of points, ropes and sheaves, and how a rig knows its own from another's.

use alloc::vec::Vec;

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident { $($field:ident: $kind:ty),+ })*) => { $(
        $(#[$doc])*
        ///
        /// Good for the rig that gave it out, and for copies made of that rig afterwards. What a rig or its copy adds
        /// once they have parted is unknown to the other.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub struct $name { $(pub(crate) $field: $kind),+ }
    )* };
}

ids! {
    /// A point of a rig.
    PointId { tag: u32, index: u32 }
    /// A rope of a rig.
    RopeId { tag: u32, index: u32 }
    /// A turn of a rope over a sheave, bar or edge at a point.
    SheaveId { rope: RopeId, turn: u32 }
}

impl SheaveId {
    /// The rope that turns here.
    #[must_use]
    pub fn rope(&self) -> RopeId {
        self.rope
    }
}

/// What was added under one tag: everything from these numbers on, up to the next tag.
#[derive(Debug, Clone, Copy)]
struct Under {
    tag: u32,
    points: u32,
    ropes: u32,
}

/// Under which tags the points and ropes of a rig were added. A copy shares them, and takes a tag of its own for what
/// it adds.
#[derive(Debug)]
pub(crate) struct Lineage {
    tags: Vec<Under>,
    points: u32,
    ropes: u32,
    /// Whether the last tag is this rig's alone.
    own: bool,
}

impl Clone for Lineage {
    fn clone(&self) -> Self {
        Self { tags: self.tags.clone(), points: self.points, ropes: self.ropes, own: false }
    }
}

impl Lineage {
    pub(crate) const fn new() -> Self {
        Self { tags: Vec::new(), points: 0, ropes: 0, own: false }
    }

    pub(crate) fn add_point(&mut self, name: &str) -> PointId {
        let id = PointId { tag: self.tag(name), index: self.points };
        self.points += 1;
        id
    }

    pub(crate) fn add_rope(&mut self, name: &str) -> RopeId {
        let id = RopeId { tag: self.tag(name), index: self.ropes };
        self.ropes += 1;
        id
    }

    /// The id of a point by its number.
    pub(crate) fn point(&self, index: u32) -> PointId {
        let under = self.tags.iter().rev().find(|under| under.points <= index);
        PointId { tag: under.map_or(0, |under| under.tag), index }
    }

    /// The id of a rope by its number.
    pub(crate) fn rope(&self, index: u32) -> RopeId {
        let under = self.tags.iter().rev().find(|under| under.ropes <= index);
        RopeId { tag: under.map_or(0, |under| under.tag), index }
    }

    /// All points, by their order.
    pub(crate) fn points(&self) -> impl ExactSizeIterator<Item = PointId> {
        (0..self.points).map(|index| self.point(index))
    }

    /// All ropes, by their order.
    pub(crate) fn ropes(&self) -> impl ExactSizeIterator<Item = RopeId> {
        (0..self.ropes).map(|index| self.rope(index))
    }

    /// The number of a point, if it is this rig's.
    pub(crate) fn point_at(&self, id: PointId) -> Option<usize> {
        (id.index < self.points && self.point(id.index) == id).then_some(id.index as usize)
    }

    /// The number of a rope, if it is this rig's.
    pub(crate) fn rope_at(&self, id: RopeId) -> Option<usize> {
        (id.index < self.ropes && self.rope(id.index) == id).then_some(id.index as usize)
    }

    /// The tag of what is about to be added.
    fn tag(&mut self, name: &str) -> u32 {
        match self.tags.last() {
            Some(last) if self.own => last.tag,
            last => {
                let tag = fresh(last.map_or(0, |last| last.tag), name);
                self.tags.push(Under { tag, points: self.points, ropes: self.ropes });
                self.own = true;
                tag
            }
        }
    }
}

/// A number that no other rig of this process has.
#[cfg(target_has_atomic = "32")]
fn fresh(_before: u32, _name: &str) -> u32 {
    use core::sync::atomic::{AtomicU32, Ordering};
    static NEXT: AtomicU32 = AtomicU32::new(1);
    NEXT.fetch_add(1, Ordering::Relaxed)
}

/// Where the processor can't count safely: a number that follows from the name of what is added first (FNV-1a), so
/// that only rigs that begin alike, or part alike, take each other's ids.
#[cfg(not(target_has_atomic = "32"))]
fn fresh(before: u32, name: &str) -> u32 {
    let mix = |hash: u32, byte: &u8| (hash ^ u32::from(*byte)).wrapping_mul(0x0100_0193);
    name.as_bytes().iter().fold(before ^ 0x811c_9dc5, mix)
}
