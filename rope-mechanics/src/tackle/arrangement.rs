//! What a tackle is made of.

use crate::error::{Allowed, InputError};
use crate::quantity::{Length, Ratio, metres, ratio};
use crate::sheave::Turn;
use arrayvec::{ArrayString, ArrayVec};
use core::fmt;
use nalgebra::Vector3;

/// The most carriers of a tackle, anchors included.
pub const MAX_CARRIERS: usize = 24;
/// The most carriers that may move, the load included; and the most lengths of rope between fastenings.
pub const MAX_MOVING: usize = 8;
/// The most ropes of a tackle.
pub const MAX_ROPES: usize = 8;
/// The most stops of all ropes of a tackle together.
pub const MAX_STOPS: usize = 48;
/// The most parts of rope in a tackle.
pub const MAX_PARTS: usize = MAX_STOPS - 1;

/// A name of a carrier or rope: 1 to 23 bytes of UTF-8, kept without a heap.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct Name(ArrayString<23>);

impl Name {
    pub(super) const NONE: Self = Self(ArrayString::new_const());

    /// A name from text.
    ///
    /// # Errors
    /// Unless it has from 1 to 23 bytes.
    pub fn new(text: &str) -> Result<Self, InputError> {
        let wrong = || {
            #[allow(clippy::cast_precision_loss, reason = "for a message")]
            let bytes = text.len() as f64;
            InputError::new("name_length", bytes, "bytes", Allowed::Within(1.0, 23.0))
        };
        let name = ArrayString::from(text).map_err(|_| wrong())?;
        if name.is_empty() { Err(wrong()) } else { Ok(Self(name)) }
    }

    /// The text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        self.0.as_str()
    }
}

impl fmt::Display for Name {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl fmt::Debug for Name {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(self.as_str(), f)
    }
}

/// A carrier of a tackle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct CarrierId(pub(super) u8);

/// A rope of a tackle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct RopeId(pub(super) u8);

/// Where a rope stops on its way.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum RopeStop {
    /// Tied to a carrier. Only first or last.
    End(CarrierId),
    /// In the hand, on the winch or capstan, which stands at a carrier: an anchor, or a load that pulls itself up.
    /// Only first or last, and once in a tackle.
    Hand(CarrierId),
    /// Hanging slack or tailed without force, at a carrier. Only first or last.
    Tail(CarrierId),
    /// Over a sheave, connector or bar on a carrier.
    Sheave(CarrierId, Turn),
    /// Over a sheave that captures progress, or straight through a grab that lets the rope run one way (then
    /// [`Turn::FRICTIONLESS`]).
    Capture(CarrierId, Turn),
    /// Held by a grab that sits on a carrier.
    Grab(CarrierId),
}

impl RopeStop {
    /// The carrier at which it stands.
    #[must_use]
    pub fn carrier(&self) -> CarrierId {
        match *self {
            Self::End(at)
            | Self::Hand(at)
            | Self::Tail(at)
            | Self::Sheave(at, _)
            | Self::Capture(at, _)
            | Self::Grab(at) => at,
        }
    }

    pub(super) fn turn(&self) -> Option<Turn> {
        match *self {
            Self::Sheave(_, turn) | Self::Capture(_, turn) => Some(turn),
            _ => None,
        }
    }

    pub(super) fn is_fastened(&self) -> bool {
        matches!(self, Self::End(_) | Self::Grab(_))
    }
}

#[derive(Debug, Clone, Copy)]
pub(super) struct Carrier {
    pub(super) name: Name,
    pub(super) at: Vector3<f64>,
    pub(super) heading: Vector3<f64>,
    /// Its place among the carriers that move.
    row: Option<u8>,
}

impl Carrier {
    pub(super) fn new(name: Name, at: Vector3<f64>, heading: Vector3<f64>, row: Option<usize>) -> Self {
        Self { name, at, heading, row: row.map(small) }
    }

    pub(super) fn row(&self) -> Option<usize> {
        self.row.map(usize::from)
    }
}

/// A place in a list: no list here has more than 48 entries. A controller has little stack, so that they take a byte.
pub(super) fn small(place: usize) -> u8 {
    u8::try_from(place).unwrap_or(u8::MAX)
}

#[derive(Debug, Clone, Copy)]
pub(super) struct Placed {
    pub(super) stop: RopeStop,
    pub(super) rope: u8,
    /// How far the rope turns there, in radians; zero where it is fastened.
    pub(super) wrap: f64,
}

/// A straight piece of rope between two stops that follow each other.
#[derive(Debug, Clone, Copy)]
pub(super) struct PartData {
    pub(super) rope: u8,
    /// Its place in its rope, from 0.
    pub(super) index: u8,
    from_stop: u8,
    from: u8,
    to: u8,
    /// From `from` to `to`.
    pub(super) unit: Vector3<f64>,
    pub(super) length_m: f64,
}

impl PartData {
    /// The part from this stop to the next, between two carriers.
    pub(super) fn new(
        rope: u8,
        index: u8,
        from_stop: usize,
        [from, to]: [CarrierId; 2],
        along: Vector3<f64>,
        length_m: f64,
    ) -> Self {
        let unit = along / length_m;
        Self { rope, index, from_stop: small(from_stop), from: from.0, to: to.0, unit, length_m }
    }

    pub(super) fn first_stop(&self) -> usize {
        self.from_stop.into()
    }

    pub(super) fn from(&self) -> usize {
        self.from.into()
    }

    pub(super) fn to(&self) -> usize {
        self.to.into()
    }
}

/// What the two ends of a run do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum RunKind {
    /// Fastened at both ends.
    Tied,
    /// One end in the hand.
    HandFirst,
    HandLast,
    /// One end slack.
    TailFirst,
    TailLast,
}

/// The parts of a rope from one fastening to the next: one length, one unknown tension.
#[derive(Debug, Clone, Copy)]
pub(super) struct RunData {
    first: u8,
    last: u8,
    pub(super) kind: RunKind,
}

impl RunData {
    pub(super) fn new(first: usize, last: usize, kind: RunKind) -> Self {
        Self { first: small(first), last: small(last), kind }
    }

    /// Its first part.
    pub(super) fn first(&self) -> usize {
        self.first.into()
    }

    /// Its last part.
    pub(super) fn last(&self) -> usize {
        self.last.into()
    }
}

/// A tackle that works: every carrier held, no rope too many, every part pulling when nothing is lost.
#[derive(Debug, Clone)]
pub struct Tackle {
    pub(super) carriers: ArrayVec<Carrier, MAX_CARRIERS>,
    pub(super) stops: ArrayVec<Placed, MAX_STOPS>,
    pub(super) ropes: ArrayVec<Name, MAX_ROPES>,
    pub(super) parts: ArrayVec<PartData, MAX_PARTS>,
    pub(super) runs: ArrayVec<RunData, MAX_MOVING>,
    /// Which carrier is the load; of a tackle that isn't built yet, there may be none.
    pub(super) load: Option<CarrierId>,
    pub(super) moving: usize,
    pub(super) motion: Kinematics,
}

/// How everything moves, for each metre that the load travels along its heading.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Kinematics {
    /// Travel of each moving carrier along its heading.
    pub(super) travel: [f64; MAX_MOVING],
    /// Rope out of the tackle through the hand.
    pub(super) hand: f64,
    /// Rope over each stop, positive towards the later parts of its rope.
    pub(super) flow: Flow,
}

#[derive(Debug, Clone, Copy)]
pub(super) struct Flow(pub(super) [f64; MAX_STOPS]);

impl Default for Flow {
    fn default() -> Self {
        Self([0.0; MAX_STOPS])
    }
}

impl Flow {
    pub(super) fn at(&self, stop: usize) -> f64 {
        self.0.get(stop).copied().unwrap_or(0.0)
    }
}

/// A straight part of a rope.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TacklePart {
    /// Its rope.
    pub rope: RopeId,
    /// Its place in its rope, from 0.
    pub index: usize,
    /// Where it begins.
    pub from: CarrierId,
    /// Where it ends.
    pub to: CarrierId,
    /// Its length as drawn.
    pub length: Length,
}

impl Tackle {
    /// The name of a carrier; empty for one of another tackle.
    #[must_use]
    pub fn carrier_name(&self, carrier: CarrierId) -> &str {
        self.carriers.get(usize::from(carrier.0)).map_or("", |c| c.name.as_str())
    }

    /// The name of a rope; empty for one of another tackle.
    #[must_use]
    pub fn rope_name(&self, rope: RopeId) -> &str {
        self.ropes.get(usize::from(rope.0)).map_or("", Name::as_str)
    }

    /// All its carriers, in the order they were added.
    pub fn carriers(&self) -> impl Iterator<Item = CarrierId> + '_ {
        (0..self.carriers.len()).map(|i| CarrierId(small(i)))
    }

    /// All its parts, in the order in which the ropes were reeved.
    pub fn parts(&self) -> impl Iterator<Item = TacklePart> + '_ {
        self.parts.iter().map(TacklePart::from)
    }

    /// How many sheaves its ropes turn over; a grab that a rope runs through straight isn't one.
    #[must_use]
    pub fn sheaves(&self) -> usize {
        self.stops.iter().filter(|s| s.stop.turn().is_some() && s.wrap > 1e-6).count()
    }

    /// The rope in all its parts, as drawn: what the tackle needs apart from knots and tails.
    #[must_use]
    pub fn rope_needed(&self) -> Length {
        metres(self.parts.iter().map(|p| p.length_m).sum())
    }

    /// The length of one rope as drawn, apart from knots and tails.
    #[must_use]
    pub fn rope_length(&self, rope: RopeId) -> Length {
        metres(self.parts.iter().filter(|p| p.rope == rope.0).map(|p| p.length_m).sum())
    }

    /// Rope through the hand divided by the travel of the load: the ideal advantage.
    ///
    /// By virtual work, from the lengths of the ropes alone.
    #[must_use]
    pub fn velocity_ratio(&self) -> Ratio {
        ratio(self.motion.hand)
    }

    /// Travel of a carrier along its heading divided by that of the load; zero for an anchor.
    #[must_use]
    pub fn travel_of(&self, carrier: CarrierId) -> Ratio {
        let row = self.carriers.get(usize::from(carrier.0)).and_then(Carrier::row);
        ratio(row.and_then(|row| self.motion.travel.get(row)).copied().unwrap_or(0.0))
    }

    pub(super) fn name_of(&self, carrier: usize) -> Name {
        self.carriers.get(carrier).map_or(Name::NONE, |c| c.name)
    }

    pub(super) fn is_load(&self, carrier: usize) -> bool {
        self.load.is_some_and(|load| usize::from(load.0) == carrier)
    }

    pub(super) fn row_of_load(&self) -> Option<usize> {
        self.load.and_then(|load| self.carriers.get(usize::from(load.0))).and_then(Carrier::row)
    }

    pub(super) fn name_of_rope(&self, rope: u8) -> Name {
        self.ropes.get(usize::from(rope)).copied().unwrap_or(Name::NONE)
    }
}

impl From<&PartData> for TacklePart {
    fn from(part: &PartData) -> Self {
        Self {
            rope: RopeId(part.rope),
            index: part.index.into(),
            from: CarrierId(part.from),
            to: CarrierId(part.to),
            length: metres(part.length_m),
        }
    }
}
