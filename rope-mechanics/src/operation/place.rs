//! The places of the rig that take a force, and a table with something for each of them.

use core::ops::{Index, IndexMut};

/// Redirects that the haul rope may have, at most.
pub const MOST_HAUL_REDIRECTS: usize = 6;

/// A place of the rig that takes a force, in the order in which the forces run.
///
/// What its force is stands beside each; all are sizes, in the direction in which the place is loaded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Place {
    /// The track rope itself: the greatest tension anywhere in it.
    TrackRope,
    /// The haul rope itself: the greatest tension anywhere in it, its tackle included.
    HaulRope,
    /// The belay rope itself: the greatest tension anywhere in it.
    BelayRope,
    /// The anchor of the sheave at the far end of the track: both strands.
    Far,
    /// The redirect of the track rope beside the frame.
    TrackRedirect,
    /// The more loaded of the two sheaves of the track rope on the head.
    Head,
    /// The load cell and its anchor, at the standing end of the track rope.
    Cell,
    /// The capstan that holds the track rope.
    Capstan,
    /// The wheel of the carriage on the track.
    CarriageWheel,
    /// The most loaded of what hangs in the carriage: wheel, litter and haul rope.
    Carriage,
    /// The sheave of the haul rope on the head.
    HaulHead,
    /// A redirect of the haul rope behind the head, counted from 0; below [`MOST_HAUL_REDIRECTS`].
    HaulRedirect(usize),
    /// The most loaded anchor of the haul tackle.
    Tackle,
    /// The haul winch.
    Winch,
    /// The sheave of the belay rope on the head.
    BelayHead,
    /// The device that holds the belay rope.
    BelayDevice,
    /// The most loaded leg of the frame, in compression.
    Leg,
    /// The most loaded guy of the frame.
    Guy,
}

/// Places before the haul redirects, and how many there are altogether.
const BEFORE: usize = 11;
const COUNT: usize = BEFORE + MOST_HAUL_REDIRECTS + 6;

impl Place {
    /// Every place, in order.
    pub fn all() -> impl Iterator<Item = Self> {
        use Place::{
            BelayDevice, BelayHead, BelayRope, Capstan, Carriage, CarriageWheel, Cell, Far, Guy, HaulHead,
            HaulRedirect, HaulRope, Head, Leg, Tackle, TrackRedirect, TrackRope, Winch,
        };
        let before = [
            TrackRope,
            HaulRope,
            BelayRope,
            Far,
            TrackRedirect,
            Head,
            Cell,
            Capstan,
            CarriageWheel,
            Carriage,
            HaulHead,
        ];
        let behind = [Tackle, Winch, BelayHead, BelayDevice, Leg, Guy];
        before.into_iter().chain((0..MOST_HAUL_REDIRECTS).map(HaulRedirect)).chain(behind)
    }

    /// A word for it, stable between versions: "track-redirect", "haul-redirect-1".
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::TrackRope => "track-rope",
            Self::HaulRope => "haul-rope",
            Self::BelayRope => "belay-rope",
            Self::Far => "far",
            Self::TrackRedirect => "track-redirect",
            Self::Head => "head",
            Self::Cell => "cell",
            Self::Capstan => "capstan",
            Self::CarriageWheel => "carriage-wheel",
            Self::Carriage => "carriage",
            Self::HaulHead => "haul-head",
            Self::HaulRedirect(0) => "haul-redirect-1",
            Self::HaulRedirect(1) => "haul-redirect-2",
            Self::HaulRedirect(2) => "haul-redirect-3",
            Self::HaulRedirect(3) => "haul-redirect-4",
            Self::HaulRedirect(4) => "haul-redirect-5",
            Self::HaulRedirect(_) => "haul-redirect-6",
            Self::Tackle => "tackle",
            Self::Winch => "winch",
            Self::BelayHead => "belay-head",
            Self::BelayDevice => "belay-device",
            Self::Leg => "leg",
            Self::Guy => "guy",
        }
    }

    const fn index(self) -> usize {
        match self {
            Self::TrackRope => 0,
            Self::HaulRope => 1,
            Self::BelayRope => 2,
            Self::Far => 3,
            Self::TrackRedirect => 4,
            Self::Head => 5,
            Self::Cell => 6,
            Self::Capstan => 7,
            Self::CarriageWheel => 8,
            Self::Carriage => 9,
            Self::HaulHead => 10,
            Self::HaulRedirect(i) => {
                BEFORE + if i < MOST_HAUL_REDIRECTS { i } else { MOST_HAUL_REDIRECTS - 1 }
            }
            Self::Tackle => COUNT - 6,
            Self::Winch => COUNT - 5,
            Self::BelayHead => COUNT - 4,
            Self::BelayDevice => COUNT - 3,
            Self::Leg => COUNT - 2,
            Self::Guy => COUNT - 1,
        }
    }
}

#[cfg(feature = "serde")]
impl serde::Serialize for Place {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.key())
    }
}

/// Something for each place.
///
/// ```
/// use rope_mechanics::operation::{ByPlace, Place};
/// use rope_mechanics::quantity::{Force, unit::newton};
///
/// let mut forces: ByPlace<Force> = ByPlace::default();
/// forces[Place::Cell] = Force::new::<newton>(2800.0);
/// let greatest = forces.iter().max_by(|a, b| a.1.value.total_cmp(&b.1.value)).map(|(place, _)| place);
/// assert_eq!(greatest, Some(Place::Cell));
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ByPlace<T>([T; COUNT]);

impl<T: Default + Copy> Default for ByPlace<T> {
    fn default() -> Self {
        Self([T::default(); COUNT])
    }
}

impl<T: Copy> ByPlace<T> {
    /// Every place and what is there, in order.
    pub fn iter(&self) -> impl Iterator<Item = (Place, T)> + '_ {
        Place::all().map(|place| (place, self[place]))
    }

    /// Place by place, from this table.
    #[must_use]
    pub fn map<U>(&self, f: impl Fn(T) -> U) -> ByPlace<U> {
        ByPlace(self.0.map(f))
    }

    /// Place by place, from this table and another.
    #[must_use]
    pub fn with<U: Copy, V>(&self, other: &ByPlace<U>, f: impl Fn(T, U) -> V) -> ByPlace<V> {
        let mut others = other.0.iter();
        // Both have as many.
        ByPlace(self.0.map(|one| f(one, others.next().copied().unwrap_or(other.0[0]))))
    }
}

#[allow(clippy::indexing_slicing, reason = "an index is below the count of places by its making")]
impl<T> Index<Place> for ByPlace<T> {
    type Output = T;

    fn index(&self, place: Place) -> &T {
        &self.0[place.index()]
    }
}

#[allow(clippy::indexing_slicing, reason = "an index is below the count of places by its making")]
impl<T> IndexMut<Place> for ByPlace<T> {
    fn index_mut(&mut self, place: Place) -> &mut T {
        &mut self.0[place.index()]
    }
}

#[cfg(test)]
mod tests {
    use super::{COUNT, Place};

    #[test]
    fn every_place_has_its_own_index() {
        assert!(Place::all().map(Place::index).eq(0..COUNT));
        for (place, other) in Place::all().flat_map(|one| Place::all().map(move |other| (one, other))) {
            assert_eq!(place == other, place.key() == other.key());
        }
    }
}
