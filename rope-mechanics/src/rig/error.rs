//! Why a rig can't be built or solved.

use crate::error::InputError;
use crate::line::LineError;
use alloc::string::String;

/// What is wrong with a rig, and with which point or rope.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum RigError {
    /// A value that can't be used.
    #[error(transparent)]
    Input(#[from] InputError),
    /// Two points, or two ropes, of one name.
    #[error("the name \"{name}\" is taken: give every point and every rope a name of its own")]
    NameTaken {
        /// The name.
        name: String,
    },
    /// An id that another rig gave out.
    #[error("this {kind} belongs to another rig")]
    Foreign {
        /// "point", "rope" or "sheave".
        kind: &'static str,
    },
    /// A rope that runs from a point to the same point.
    #[error(
        "rope \"{rope}\" runs from \"{point}\" straight back to \"{point}\": lead it over another point first"
    )]
    NoPart {
        /// The rope.
        rope: String,
        /// The point it doesn't leave.
        point: String,
    },
    /// Two fixed points at one place with a rope between them.
    #[error(
        "rope \"{rope}\" runs between \"{from}\" and \"{to}\", which are fixed at one place: move one of them"
    )]
    NoSpan {
        /// The rope.
        rope: String,
        /// One end of the part.
        from: String,
        /// The other end.
        to: String,
    },
    /// A set tension on a heavy rope whose end may move.
    #[error(
        "rope \"{rope}\" has weight and a set tension at a point that may move: fix the point, or give a length"
    )]
    TensionOnTheMove {
        /// The rope.
        rope: String,
    },
    /// A point that no rope ties to anything fixed or held.
    #[error("\"{point}\" hangs in no rope that leads to a fixed point")]
    HangsInNothing {
        /// The point.
        point: String,
    },
    /// A mechanism: the point can be moved without any force.
    #[error(
        "nothing keeps \"{point}\" in its place: it can be moved without force (stiffness {stiffness:.1e} N/m); load it, or tie it"
    )]
    Loose {
        /// The point that moves most.
        point: String,
        /// Least stiffness of the rig, in N/m.
        stiffness: f64,
    },
    /// No equilibrium: a sheave runs along its rope until it meets another point of it.
    #[error(
        "\"{point}\" runs along rope \"{rope}\" all the way to \"{meets}\": there is no equilibrium between the ends"
    )]
    RunsTo {
        /// The sheave's point.
        point: String,
        /// The point it meets.
        meets: String,
        /// The rope.
        rope: String,
    },
    /// No equilibrium: a heavy rope runs out over a sheave until a part of it is used up, or without end from where
    /// its tension is set.
    #[error(
        "rope \"{rope}\" runs out over \"{point}\" by its own weight, and nothing stops it: it needs more tension, or friction"
    )]
    RunsOut {
        /// The rope.
        rope: String,
        /// The sheave's point, or where the tension is set.
        point: String,
    },
    /// No equilibrium: a point leaves the rig.
    #[error("nothing stops \"{point}\": what pulls on it is more than the ropes with a set tension can hold")]
    RunsAway {
        /// The point.
        point: String,
    },
    /// A rope that is far too short, or a load far too heavy.
    #[error(
        "rope \"{rope}\" would have to stretch by {:.1} % of its length, and no rope takes more than {:.0} %: it is too short, too soft or too heavily loaded", 100.0 * .strain, 100.0 * .limit
    )]
    Overstretched {
        /// The rope.
        rope: String,
        /// The strain it would need.
        strain: f64,
        /// The strain that is taken for possible.
        limit: f64,
    },
    /// A part of a rope whose own equations can't be solved.
    #[error("rope \"{rope}\": {source}")]
    Part {
        /// The rope.
        rope: String,
        /// What is wrong with the part.
        source: LineError,
    },
    /// A derivative by something that was not given.
    #[error("\"{name}\" has no {input} that could change")]
    NoInput {
        /// The rope or point.
        name: String,
        /// What it lacks.
        input: &'static str,
    },
    /// A description of a rig that doesn't hold together.
    #[error("\"{name}\" {what}")]
    Spec {
        /// The point or rope.
        name: String,
        /// What is wrong with it.
        what: &'static str,
    },
    /// The solver stopped before its promised residual.
    #[error(
        "no equilibrium was found in {iterations} steps: \"{point}\" is left with {residual:.1e} N out of balance"
    )]
    Unsolved {
        /// The point, or the rope's sheave, that is least in balance.
        point: String,
        /// The force out of balance, in newtons.
        residual: f64,
        /// Steps taken.
        iterations: u32,
    },
}
