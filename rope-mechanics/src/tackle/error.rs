//! What can be wrong with an arrangement.

use super::arrangement::Name;
use crate::error::InputError;
use crate::motion::Motion;

/// An arrangement that can't be, and the part of it at fault.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum TackleError {
    /// A value that can't be used.
    #[error(transparent)]
    Input(#[from] InputError),
    /// More carriers, ropes or stops than a tackle can have.
    #[error("a tackle can have at most {most} {what}")]
    TooMany {
        /// What there are too many of.
        what: &'static str,
        /// The most there can be.
        most: usize,
    },
    /// No carrier is the load.
    #[error("no carrier is the load: add one")]
    NoLoad,
    /// Two carriers are the load.
    #[error("\"{name}\" is a second load: a tackle has one, and any other carrier is an anchor or free")]
    SecondLoad {
        /// The second.
        name: Name,
    },
    /// No rope ends in the hand.
    #[error("no rope ends in the hand: end one at RopeStop::Hand")]
    NoHand,
    /// Two rope ends are in the hand.
    #[error("rope \"{rope}\" has a second hand end: a tackle is pulled at one")]
    SecondHand {
        /// The rope with the second.
        rope: Name,
    },
    /// A stop of a kind that can't stand at its place in the rope.
    #[error("stop {stop} of rope \"{rope}\" must be {must}")]
    WrongStop {
        /// The rope.
        rope: Name,
        /// Which of its stops, from 1.
        stop: usize,
        /// What may stand there.
        must: &'static str,
    },
    /// A stop at a carrier that this builder doesn't have.
    #[error("stop {stop} of rope \"{rope}\" is at a carrier of another tackle")]
    StrangeCarrier {
        /// The rope.
        rope: Name,
        /// Which of its stops, from 1.
        stop: usize,
    },
    /// A stretch of rope that nothing holds: from the hand or a tail to the hand or a tail.
    #[error("rope \"{rope}\" is not tied to anything: end it at a carrier, or grab it between its free ends")]
    Untied {
        /// The rope.
        rope: Name,
    },
    /// A part between two carriers drawn at the same place.
    #[error("part {part} of rope \"{rope}\" has no length: draw \"{from}\" and \"{to}\" apart")]
    NoLength {
        /// The rope.
        rope: Name,
        /// Which of its parts, from 1.
        part: usize,
        /// Where the part begins.
        from: Name,
        /// Where it ends.
        to: Name,
    },
    /// A carrier that can move although the hand holds fast.
    #[error("\"{carrier}\" floats: it can move while the hand holds fast; tie or reeve another rope to it")]
    Floats {
        /// The carrier that moves most.
        carrier: Name,
    },
    /// A rope too many: its tension follows from its stretch and not from balance, and it locks what it joins.
    #[error(
        "rope \"{rope}\" is one too many: it locks the carriers that it joins; leave it out or give it a tail"
    )]
    Locked {
        /// The rope.
        rope: Name,
    },
    /// Pulling at the hand doesn't move the load.
    #[error("pulling at the hand doesn't move the load")]
    NoPurchase,
    /// A part that would have to push, without any friction.
    #[error("part {part} of rope \"{rope}\", from \"{from}\" to \"{to}\", would have to push")]
    Pushes {
        /// The rope.
        rope: Name,
        /// Which of its parts, from 1.
        part: usize,
        /// Where the part begins.
        from: Name,
        /// Where it ends.
        to: Name,
    },
    /// Friction alone holds the load while it should move, so that a part would have to push.
    #[error(
        "friction binds the tackle while {}: part {part} of rope \"{rope}\", from \"{from}\" to \"{to}\", would have to push",
        doing(*motion)
    )]
    Binds {
        /// What the tackle should do.
        motion: Motion,
        /// The rope.
        rope: Name,
        /// Which of its parts, from 1.
        part: usize,
        /// Where the part begins.
        from: Name,
        /// Where it ends.
        to: Name,
    },
    /// No stop captures progress, or its rope doesn't run there.
    #[error("nothing captures progress: make one of the sheaves that the rope runs over a RopeStop::Capture")]
    NoCapture,
    /// The load isn't held once the hand releases the rope.
    #[error("the capture at \"{carrier}\" doesn't hold the load once the hand releases the rope")]
    DoesNotHold {
        /// Where it sits.
        carrier: Name,
    },
    /// No room to haul: a part that gets shorter is already as short as it may get.
    #[error(
        "no throw: part {part} of rope \"{rope}\", from \"{from}\" to \"{to}\", is {length_m} m long, and {clearance_m} m must stay clear"
    )]
    NoThrow {
        /// The rope.
        rope: Name,
        /// Which of its parts, from 1.
        part: usize,
        /// Where the part begins.
        from: Name,
        /// Where it ends.
        to: Name,
        /// Its length in metres.
        length_m: f64,
        /// What must stay clear, in metres.
        clearance_m: f64,
    },
    /// A haul longer than the throw, with a tackle that can't be reset: what would have to go back holds the load.
    #[error(
        "a haul of {haul_m} m is more than the throw of {throw_m} m, and \"{carrier}\" can't be reset: it holds the load once the hand releases the rope"
    )]
    NoReset {
        /// What can't go back.
        carrier: Name,
        /// The haul asked for, in metres.
        haul_m: f64,
        /// The throw, in metres at the load.
        throw_m: f64,
    },
    /// A haul that takes the load beyond its capture.
    #[error("a haul of {haul_m} m is too long: the load is block to block after {room_m} m")]
    TooFar {
        /// The haul asked for, in metres.
        haul_m: f64,
        /// How far the load can go, in metres.
        room_m: f64,
    },
    /// Each reset loses as much as a throw gains, or nearly.
    #[error("a throw gains {throw_m} m and the reset after it loses {lost_m} m: the load makes no progress")]
    NoProgress {
        /// What a throw gains, in metres at the load.
        throw_m: f64,
        /// What a reset loses, in metres at the load.
        lost_m: f64,
    },
    /// A ready-made tackle was given the wrong number of pulleys.
    #[error("this tackle needs {needed} pulleys, listed from the load to the hand, but {given} were given")]
    Pulleys {
        /// How many it needs.
        needed: usize,
        /// How many were given.
        given: usize,
    },
    /// The complex 5:1 is pulled towards the load as it is.
    #[error("the complex 5:1 is already pulled towards the load, so it takes no lead sheave")]
    NoLead,
    /// None of the usual tackles is enough.
    #[error("none of the usual tackles is enough: even the best needs {least_n} N at the hand")]
    NotEnough {
        /// The least hand force among them, in newtons.
        least_n: f64,
    },
    /// The balance doesn't reach its promised residual.
    #[error("the tackle is nearly singular, with a carrier that all but floats: its residual is {residual}")]
    Unsolved {
        /// The largest residual, as a share of the largest force in its balance.
        residual: f64,
    },
}

fn doing(motion: Motion) -> &'static str {
    match motion {
        Motion::Hauling => "hauling",
        Motion::Lowering => "lowering",
        Motion::AtRest => "at rest",
    }
}
