//! Why a rig can't be built or solved.

use crate::error::InputError;
use crate::line::LineError;
use alloc::string::String;

const NONE_FOUND: &str = "no equilibrium was found between the ends";

/// What is wrong with a rig, and with which point or rope.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum RigError {
    /// A value that can't be used.
    #[error(transparent)]
    Input(#[from] InputError),
    /// A value of a [`RigSpec`](super::RigSpec) that can't be used.
    #[error("{}", why.called(path))]
    At {
        /// Its place there: `ropes[0].length`.
        path: String,
        /// What is wrong with it.
        why: InputError,
    },
    /// Two points, or two ropes, with the same name.
    #[error("the name \"{name}\" is taken: give every point and every rope a name of its own")]
    NameTaken {
        /// The name.
        name: String,
    },
    /// An id that belongs to another rig.
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
        /// The point.
        point: String,
    },
    /// A rope between two fixed points at the same place: a weightless one, or a heavy one for which no hanging bight
    /// was found.
    #[error(
        "rope \"{rope}\" runs between \"{from}\" and \"{to}\", which are fixed at the same place: move one of them"
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
    /// A point that no rope connects to anything fixed or held.
    #[error("no rope connects \"{point}\" to a fixed point")]
    HangsInNothing {
        /// The point.
        point: String,
    },
    /// A mechanism: the point moves without any force but rounding.
    #[error(
        "nothing holds \"{point}\" in place: it moves without force (stiffness {stiffness:.1e} N/m); load it, or tie it"
    )]
    Loose {
        /// The point that moves most.
        point: String,
        /// Least stiffness of the rig, in N/m.
        stiffness: f64,
    },
    /// No equilibrium: a sheave, or the end of a rope with a set tension, runs along the rope until it meets another
    /// point of it.
    #[error(
        "\"{point}\" runs along rope \"{rope}\" all the way to \"{meets}\": {}",
        if *certain { "there is no equilibrium between the ends" } else { NONE_FOUND }
    )]
    RunsTo {
        /// The sheave's point.
        point: String,
        /// The point it meets.
        meets: String,
        /// The rope.
        rope: String,
        /// Whether there is certainly no equilibrium: no rope has weight, so that the energy of the rig is convex, and its
        /// minimum lies at the end of the rope. If false, none was found.
        certain: bool,
    },
    /// No equilibrium found: a heavy rope runs over a sheave until one of its parts is used up, or out of the hand that
    /// holds it.
    #[error(
        "rope \"{rope}\" runs out over \"{point}\" by its own weight, and no equilibrium was found from many starts: it needs more tension, or friction"
    )]
    RunsOut {
        /// The rope.
        rope: String,
        /// The sheave's point, or where the tension is set.
        point: String,
    },
    /// No equilibrium found: a point leaves the rig.
    #[error("nothing stops \"{point}\": what pulls on it is more than the ropes with a set tension can hold")]
    RunsAway {
        /// The point.
        point: String,
    },
    /// No equilibrium found with the ropes moving, from many starts: before the friction is all there, something slides on
    /// or jams.
    #[error(
        "with the ropes moving, no equilibrium was found beyond {:.1} % of the friction at the bends: \"{point}\" slides on, or jams",
        (100.0 * friction).min(99.9)
    )]
    RunsOn {
        /// The point or sheave that is out of balance first.
        point: String,
        /// The share of the friction up to which there was an equilibrium, from 0 to 1.
        friction: f64,
    },
    /// An equilibrium with the ropes moving that is unstable, or stable by rounding only.
    #[error(
        "with the ropes moving, the only equilibrium found is not stable at \"{point}\" (stiffness {stiffness:.1e} N/m)"
    )]
    Unstable {
        /// The point or sheave that is most out of balance.
        point: String,
        /// The least real part of the eigenvalues of the stiffness, in N/m.
        stiffness: f64,
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
        /// The greatest strain taken as possible.
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
    /// An equilibrium that fails its own certificate: a part of the rope misses its end, or the point lies below its
    /// ground.
    #[error("the equilibrium found failed its check: \"{name}\" misses its place by {miss:.1e} m")]
    Unproven {
        /// The rope or the point.
        name: String,
        /// By how much it misses, in metres.
        miss: f64,
    },
    /// A derivative with respect to an input that the rig doesn't have.
    #[error("\"{name}\" has no {input} that could change")]
    NoInput {
        /// The rope or point.
        name: String,
        /// The missing input.
        input: &'static str,
    },
    /// An inconsistent description of a rig.
    #[error("\"{name}\" {what}")]
    Spec {
        /// The point or rope.
        name: String,
        /// What is wrong with it.
        what: &'static str,
    },
    /// The steps that the caller allows are spent, and nothing is decided: there may or may not be an equilibrium.
    #[error("the {steps} steps allowed were spent before an equilibrium was found or ruled out: allow more")]
    OverBudget {
        /// The steps allowed.
        steps: u32,
    },
    /// The solver stopped before its promised residual.
    #[error("no equilibrium was found in {iterations} steps: \"{point}\" is {residual:.1e} N out of balance")]
    Unsolved {
        /// The point or sheave that is most out of balance.
        point: String,
        /// The force out of balance, in newtons.
        residual: f64,
        /// Steps taken.
        iterations: u32,
    },
}
