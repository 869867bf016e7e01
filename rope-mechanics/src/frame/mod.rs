//! The high frame: monopod, bipod or tripod under all the ropes at its head, with its guys, feet and hobbles.
//!
#![doc = include_str!("../docs/pictures/frame.svg")]
//!
//! The head is a pin joint in space. Legs push along themselves, guys pull along themselves, and nothing bends:
//!
//! Σ cᵢ·uᵢ + Σ tⱼ·vⱼ + R = 0,  cᵢ ≥ 0, tⱼ ≥ 0
//!
//! with R the resultant of the ropes, uᵢ from foot to head, vⱼ from head to anchor. A leg whose foot is staked
//! may also pull (cᵢ < 0). Three members that aren't in a plane have one answer. Where there are more, they share
//! by their axial stiffness k = EA/L with no member strained before the load comes, and those that would have to
//! work the wrong way drop out: of all the answers, the one of least energy Σ x²/2k. A guy that was tightened
//! beforehand takes more, and loads the legs more, than is found here.
//!
//! What is left out: the weight of the frame (add half of each leg's to the pulls, straight down), bending and
//! buckling of legs beyond what [`Leg::with_strength`] states, sinking feet, and swaying loads.
//!
//! **Caution.** A frame is only as good as its feet, its guys and their anchors. The forces here are those of the
//! ideal, undisturbed frame; makers' instructions and the crew's inspection come first.
//!
//! | question | where |
//! |---|---|
//! | what all ropes do to the head together | [`resultant`], from [`HeadPull`]s |
//! | the force in every leg, guy and hobble, what the feet bear, strength by force | [`Frame::solve`] |
//! | whether it falls, which guys are on the wrong side, where one is needed | [`FrameError::Falls`], [`Tipping`] |
//! | how far it stands from tipping | [`Frame::stability`] |
//! | how far a pull may lean to each side | [`Frame::cone_edge`] |
//! | the same at other places of the head | [`Frame::at_heads`] |
//! | legs, guys and margin under many resultants | [`Frame::under_each`] |
//!
//! Source: statics of a pin joint; the answer of least energy by Lawson & Hanson, *Solving Least Squares Problems*
//! (1974), ch. 23, and Nocedal & Wright, *Numerical Optimization* (2006), § 16.5, both from memory.
//!
//! Nothing here needs a heap.

mod cone;
mod forces;
mod legs_and_guys;
mod poles;
mod solve;
mod stability;

pub use cone::ConeEdge;
pub use forces::{FrameForces, GuyForces, HeadForces, LegForces, Sharing};
pub use stability::{Edge, FrameMember, Stability};

use crate::error::{self, InputError};
use crate::geometry::{Direction3, Force3, Point3};
use crate::math;
use crate::quantity::{Angle, Force, Length, Ratio, newtons};
use legs_and_guys::Members;
use nalgebra::Vector3;

/// Most legs of a frame.
pub const MOST_LEGS: usize = 8;
/// Most guys of a frame.
pub const MOST_GUYS: usize = 8;
/// Most hobbles of a frame.
pub const MOST_HOBBLES: usize = 8;

/// EA of a leg where none is given: an aluminium tube of 60 × 3 mm has 537 mm² of 70 GPa. From memory.
const USUAL_LEG_N: f64 = 40e6;
/// EA of a guy where none is given: 11 mm polyester, 60–120 kN. From memory.
const USUAL_GUY_N: f64 = 80e3;
/// Members nearer to the head than this have no direction, and points nearer than this are one.
const APART_M: f64 = 1e-3;
/// Stiffnesses that make sense, from a thread to a rigid block.
const STIFFNESS_N: (f64, f64) = (1e2, 1e12);

/// What a rope does to the head of the frame.
///
/// A rope that runs over the head pulls twice: once for each of its parts.
///
/// ```
/// use rope_mechanics::frame::{HeadPull, resultant};
/// use rope_mechanics::geometry::{Direction3, Point3};
/// use rope_mechanics::quantity::{Force, Length, unit::{meter, newton}};
///
/// let m = Length::new::<meter>;
/// let (head, winch) = (Point3::new(m(0.0), m(0.0), m(3.0)), Point3::new(m(-4.0), m(0.0), m(0.0)));
/// let tension = Force::new::<newton>(1000.0);
/// let pulls = [HeadPull::towards(winch, tension)?, HeadPull::along(Direction3::DOWN, tension)?];
/// let r = resultant(head, &pulls)?;
/// assert!((r.x.value + 800.0).abs() < 1e-9 && (r.z.value + 1600.0).abs() < 1e-9);
/// # Ok::<(), rope_mechanics::frame::FrameError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeadPull(PullKind);

#[derive(Debug, Clone, Copy, PartialEq)]
enum PullKind {
    Towards { point_m: Vector3<f64>, tension_n: f64 },
    Given { force_n: Vector3<f64> },
}

impl HeadPull {
    /// A rope that runs from the head straight towards a point.
    ///
    /// # Errors
    /// Unless the point is finite and the tension at least zero.
    pub fn towards(point: Point3, tension: Force) -> Result<Self, InputError> {
        let tension_n = error::non_negative("tension", tension)?;
        Ok(Self(PullKind::Towards { point_m: point.finite("point")?, tension_n }))
    }

    /// A rope that leaves the head in a direction: that of its end there, where it sags.
    ///
    /// # Errors
    /// Unless the tension is finite and at least zero.
    pub fn along(direction: Direction3, tension: Force) -> Result<Self, InputError> {
        let tension_n = error::non_negative("tension", tension)?;
        Ok(Self(PullKind::Given { force_n: direction.unit() * tension_n }))
    }

    /// Any other force on the head.
    ///
    /// # Errors
    /// Unless its components are finite.
    pub fn force(force: Force3) -> Result<Self, InputError> {
        Ok(Self(PullKind::Given { force_n: force.finite("force")? }))
    }
}

/// The sum of all pulls at the head.
///
/// R = Σ Tᵢ·(pᵢ − head)/|pᵢ − head|
///
/// ```
/// use rope_mechanics::frame::{HeadPull, resultant};
/// use rope_mechanics::geometry::Point3;
/// use rope_mechanics::quantity::{Force, Length, unit::{meter, newton}};
///
/// let point = |x, y, z| Point3::new(Length::new::<meter>(x), Length::new::<meter>(y), Length::new::<meter>(z));
/// let tension = Force::new::<newton>(500.0);
/// // 4 m up, a rope goes down to a point 3 m out and one to a point 3 m to the left: both run 3, 4, 5. At 500 N one
/// // pulls 300 N out and 400 N down, the other 300 N to the left and 400 N down.
/// let pulls = [HeadPull::towards(point(3.0, 0.0, 0.0), tension)?, HeadPull::towards(point(0.0, 3.0, 0.0), tension)?];
/// let r = resultant(point(0.0, 0.0, 4.0), &pulls)?;
/// let newtons = [r.x, r.y, r.z].map(|f| f.get::<newton>());
/// assert!(newtons.iter().zip([300.0, 300.0, -800.0]).all(|(f, by_hand)| (f - by_hand).abs() < 1e-9));
/// # Ok::<(), rope_mechanics::frame::FrameError>(())
/// ```
///
/// # Errors
/// Without pulls; if the head isn't finite; if a rope runs towards a point less than 1 mm from the head.
pub fn resultant(head: Point3, pulls: &[HeadPull]) -> Result<Force3, FrameError> {
    Ok(Force3::from_si(resultant_n(head.finite("head")?, pulls)?))
}

fn resultant_n(head: Vector3<f64>, pulls: &[HeadPull]) -> Result<Vector3<f64>, FrameError> {
    count("pulls", pulls.len(), 1, usize::MAX)?;
    let mut sum = Vector3::zeros();
    for (index, pull) in pulls.iter().enumerate() {
        sum += match pull.0 {
            PullKind::Given { force_n } => force_n,
            PullKind::Towards { point_m, tension_n } => {
                let (unit, _) = direction("pulls", index, point_m - head)?;
                unit * tension_n
            }
        };
    }
    Ok(sum)
}

/// A leg: a strut from its foot to the head.
///
/// It pushes only, unless its foot is staked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leg {
    foot_m: Vector3<f64>,
    staked: bool,
    stiffness_n: Option<f64>,
    strength: Option<(f64, f64)>,
}

impl Leg {
    /// A leg with its foot on the ground, held there by friction and hobbles only.
    ///
    /// # Errors
    /// Unless the foot is finite.
    pub fn new(foot: Point3) -> Result<Self, InputError> {
        Ok(Self { foot_m: foot.finite("foot")?, staked: false, stiffness_n: None, strength: None })
    }

    /// The same leg with its foot staked or bolted down, so that it may pull as well.
    #[must_use]
    pub const fn staked(mut self) -> Self {
        self.staked = true;
        self
    }

    /// The same leg with this axial stiffness EA, by which members share where equilibrium leaves a choice.
    ///
    /// # Errors
    /// Unless from 100 N to 1e12 N.
    pub fn with_axial_stiffness(mut self, axial_stiffness: Force) -> Result<Self, InputError> {
        self.stiffness_n = Some(stiffness(axial_stiffness)?);
        Ok(self)
    }

    /// The same leg with the compression that it bears at a given length, as its maker's table gives it.
    ///
    /// A longer leg is taken to bear less by the square of its length, as slender struts do (Euler's load,
    /// N = π²EI/L²; from memory); a shorter one to bear no more.
    ///
    /// # Errors
    /// Unless both are above zero.
    pub fn with_strength(mut self, compression: Force, length: Length) -> Result<Self, InputError> {
        self.strength =
            Some((error::positive("compression", compression)?, error::positive("length", length)?));
        Ok(self)
    }

    /// What it bears at this length.
    fn strength_n(&self, length_m: f64) -> Option<f64> {
        self.strength.map(|(strength_n, at_m)| {
            // N = N₀·min(1, L₀²/L²)
            let shorter = at_m / length_m;
            strength_n * (shorter * shorter).min(1.0)
        })
    }
}

/// A guy: a rope from the head to an anchor, that only pulls.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Guy {
    anchor_m: Vector3<f64>,
    stiffness_n: Option<f64>,
    strength_n: Option<f64>,
}

impl Guy {
    /// A guy to an anchor.
    ///
    /// # Errors
    /// Unless the anchor is finite.
    pub fn new(anchor: Point3) -> Result<Self, InputError> {
        Ok(Self { anchor_m: anchor.finite("anchor")?, stiffness_n: None, strength_n: None })
    }

    /// The same guy with this axial stiffness EA.
    ///
    /// # Errors
    /// Unless from 100 N to 1e12 N.
    pub fn with_axial_stiffness(mut self, axial_stiffness: Force) -> Result<Self, InputError> {
        self.stiffness_n = Some(stiffness(axial_stiffness)?);
        Ok(self)
    }

    /// The same guy with the pull that it and its anchor bear.
    ///
    /// # Errors
    /// Unless above zero.
    pub fn with_strength(mut self, tension: Force) -> Result<Self, InputError> {
        self.strength_n = Some(error::positive("strength", tension)?);
        Ok(self)
    }
}

fn stiffness(axial_stiffness: Force) -> Result<f64, InputError> {
    error::within("axial_stiffness", axial_stiffness, STIFFNESS_N.0, STIFFNESS_N.1)
}

/// A frame: its head, legs, guys and hobbles.
///
/// Range: 1 to 8 legs, up to 8 guys and 8 hobbles; no allocation.
///
/// ```
/// use rope_mechanics::frame::{Frame, Leg, HeadPull};
/// use rope_mechanics::geometry::{Direction3, Point3};
/// use rope_mechanics::quantity::{Force, Length, unit::{meter, newton}};
///
/// // A tripod of 2.5 m, its feet on a circle of 1.2 m and hobbled all around, with 5000 N straight down.
/// let point = |x: f64, y: f64, z: f64| {
///     let m = Length::new::<meter>;
///     Point3::new(m(x), m(y), m(z))
/// };
/// let half = 0.6 * 3.0_f64.sqrt();
/// let legs = [Leg::new(point(1.2, 0.0, 0.0))?, Leg::new(point(-0.6, half, 0.0))?, Leg::new(point(-0.6, -half, 0.0))?];
/// let tripod = Frame::new(point(0.0, 0.0, 2.5), &legs, &[])?.hobbled_around()?;
/// let forces = tripod.solve(&[HeadPull::along(Direction3::DOWN, Force::new::<newton>(5000.0))?])?;
/// assert!((forces.legs()[0].compression.value - 1848.723).abs() < 0.001);
/// assert!((forces.hobbles()[0].value - 461.880).abs() < 0.001);
/// assert!((forces.stability.tip_limit.unwrap().value - 0.240).abs() < 1e-3);
/// # Ok::<(), rope_mechanics::frame::FrameError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    head_m: Vector3<f64>,
    legs: UpTo<Leg, MOST_LEGS>,
    guys: UpTo<Guy, MOST_GUYS>,
    hobbles: UpTo<(usize, usize), MOST_HOBBLES>,
}

impl Frame {
    /// A frame by its head, its legs and its guys.
    ///
    /// # Errors
    /// Unless the head is finite and there are 1 to 8 legs and at most 8 guys, none of them shorter than 1 mm;
    /// if the foot of a leg that isn't staked isn't below the head.
    pub fn new(head: Point3, legs: &[Leg], guys: &[Guy]) -> Result<Self, FrameError> {
        count("legs", legs.len(), 1, MOST_LEGS)?;
        count("guys", guys.len(), 0, MOST_GUYS)?;
        let frame = Self {
            head_m: head.finite("head")?,
            legs: UpTo::of(legs),
            guys: UpTo::of(guys),
            hobbles: UpTo::of(&[]),
        };
        frame.checked()
    }

    fn checked(self) -> Result<Self, FrameError> {
        for (index, leg) in self.legs.iter().enumerate() {
            let (unit, length_m) = direction("legs", index, self.head_m - leg.foot_m)?;
            if unit.z <= 0.0 && !leg.staked {
                return Err(FrameError::FootAbove { index, above_m: -unit.z * length_m });
            }
        }
        for (index, guy) in self.guys.iter().enumerate() {
            direction("guys", index, guy.anchor_m - self.head_m)?;
        }
        Ok(self)
    }

    /// The same frame with hobbles, ropes between pairs of feet: each by the places of its two legs in the list of legs.
    ///
    /// # Errors
    /// With more than 8; if a place isn't that of a leg, or both are the same.
    pub fn with_hobbles(mut self, feet: &[(usize, usize)]) -> Result<Self, FrameError> {
        count("hobbles", feet.len(), 0, MOST_HOBBLES)?;
        for (index, (a, b)) in feet.iter().enumerate() {
            let (Some(one), Some(other)) = (self.legs.get(*a), self.legs.get(*b)) else {
                return Err(FrameError::Hobble { index, feet: (*a, *b), legs: self.legs.len() });
            };
            if a == b {
                return Err(FrameError::Hobble { index, feet: (*a, *b), legs: self.legs.len() });
            }
            direction("hobbles", index, other.foot_m - one.foot_m)?;
        }
        self.hobbles = UpTo::of(feet);
        Ok(self)
    }

    /// The same frame with a hobble from each foot to the next, in the order of the legs, and from the last to the first.
    ///
    /// # Errors
    /// If there is only one leg, or two feet are in one place.
    pub fn hobbled_around(self) -> Result<Self, FrameError> {
        let n = self.legs.len();
        let mut feet = [(0, 0); MOST_HOBBLES];
        for (i, pair) in feet.iter_mut().enumerate() {
            *pair = (i, (i + 1) % n);
        }
        // Two feet have one hobble between them, and a single foot has none but to itself.
        let used = if n == 2 { 1 } else { n };
        self.with_hobbles(feet.get(..used).unwrap_or_default())
    }

    /// The same frame without its guys.
    #[must_use]
    pub fn unguyed(mut self) -> Self {
        self.guys = UpTo::of(&[]);
        self
    }

    /// The same feet, guys and hobbles under another place of the head: higher, lower, or leaning.
    ///
    /// # Errors
    /// As [`Frame::new`].
    pub fn with_head(mut self, head: Point3) -> Result<Self, FrameError> {
        self.head_m = head.finite("head")?;
        self.checked()
    }

    /// The forces under these pulls.
    ///
    /// # Errors
    /// Without pulls, or with one towards the head itself; [`FrameError::Falls`] if no forces of legs that push
    /// and guys that pull balance it; [`FrameError::Unsolved`] if the residual isn't reached.
    pub fn solve(&self, pulls: &[HeadPull]) -> Result<FrameForces, FrameError> {
        solve::solve(self, resultant_n(self.head_m, pulls)?)
    }

    /// The forces for each of several places of the head: how they change with its height and lean.
    ///
    /// The pulls are computed anew for each place, so that a rope towards a point turns with the head. With the
    /// same feet a higher head tips more easily, and longer legs bear less.
    ///
    /// ```
    /// # use rope_mechanics::frame::{Frame, FrameError, Leg, HeadPull};
    /// # use rope_mechanics::geometry::Point3;
    /// # use rope_mechanics::quantity::{Force, Length, unit::{meter, newton}};
    /// # let point = |x: f64, y: f64, z: f64| {
    /// #     let m = Length::new::<meter>;
    /// #     Point3::new(m(x), m(y), m(z))
    /// # };
    /// let legs = [Leg::new(point(1.0, 0.0, 0.0))?, Leg::new(point(-1.0, 1.0, 0.0))?, Leg::new(point(-1.0, -1.0, 0.0))?];
    /// let frame = Frame::new(point(0.0, 0.0, 2.0), &legs, &[])?;
    /// let pulls = [HeadPull::towards(point(0.5, 0.0, -30.0), Force::new::<newton>(4000.0))?];
    /// let limits: Vec<f64> = frame
    ///     .at_heads([2.0, 2.5, 3.0].map(|z| point(0.0, 0.0, z)), &pulls)
    ///     .map(|forces| Ok(forces?.stability.tip_limit.unwrap().value))
    ///     .collect::<Result<_, FrameError>>()?;
    /// assert!(limits[0] > limits[1] && limits[1] > limits[2]);
    /// # Ok::<(), FrameError>(())
    /// ```
    pub fn at_heads<'a>(
        &'a self,
        heads: impl IntoIterator<Item = Point3> + 'a,
        pulls: &'a [HeadPull],
    ) -> impl Iterator<Item = Result<FrameForces, FrameError>> + 'a {
        heads.into_iter().map(move |head| self.with_head(head)?.solve(pulls))
    }

    /// Legs, guys and margin under each of several resultants: what friction may leave in the ropes, say.
    ///
    /// The same forces and margin as from [`Frame::solve`], without feet, hobbles, strengths and the limit of tipping;
    /// the members and the sides of their cone are found once for all of them.
    ///
    /// ```
    /// # use rope_mechanics::frame::{Frame, FrameError, Leg};
    /// # use rope_mechanics::geometry::{Force3, Point3};
    /// # use rope_mechanics::quantity::{Force, Length, unit::{meter, newton}};
    /// # let point = |x: f64, y: f64, z: f64| {
    /// #     let m = Length::new::<meter>;
    /// #     Point3::new(m(x), m(y), m(z))
    /// # };
    /// let legs = [Leg::new(point(1.0, 0.0, 0.0))?, Leg::new(point(-1.0, 1.0, 0.0))?, Leg::new(point(-1.0, -1.0, 0.0))?];
    /// let frame = Frame::new(point(0.0, 0.0, 2.0), &legs, &[])?;
    /// let n = Force::new::<newton>;
    /// let leaning = [0.0, 200.0, 400.0].map(|x| Force3::new(n(x), n(0.0), n(-4000.0)));
    /// let front: Vec<Force> =
    ///     frame.under_each(leaning).map(|forces| Ok(forces?.legs()[0])).collect::<Result<_, FrameError>>()?;
    /// assert!(front[0] < front[1] && front[1] < front[2]);
    /// # Ok::<(), FrameError>(())
    /// ```
    ///
    /// Each is refused as by [`Frame::solve`], or if it isn't finite.
    pub fn under_each<'a>(
        &'a self,
        resultants: impl IntoIterator<Item = Force3> + 'a,
    ) -> impl Iterator<Item = Result<HeadForces, FrameError>> + 'a {
        let members = Members::of(self).map(|members| {
            let sides = stability::Sides::of(&members);
            (members, sides)
        });
        resultants.into_iter().map(move |resultant| {
            let (members, sides) = members.as_ref().map_err(|why| *why)?;
            solve::at_head(self, members, sides, resultant.finite("resultant")?)
        })
    }

    /// How far from tipping the frame stands under this resultant, with its guys.
    ///
    /// Also where it falls: the margin is negative then. See [`Stability`].
    ///
    /// # Errors
    /// Unless the resultant is finite and not zero.
    pub fn stability(&self, resultant: Force3) -> Result<Stability, FrameError> {
        let r = resultant.finite("resultant")?;
        error::positive("resultant", newtons(math::sqrt(r.norm_squared())))?;
        Ok(stability::stability(self, &Members::of(self)?, r))
    }

    /// The resultants that the frame bears in one vertical half-plane, to draw its safe cone direction by direction.
    ///
    /// `azimuth` is the side towards which the resultant leans, from x towards y; `size` that of the resultant,
    /// for the limit by the strength of legs and guys. Tilts count from straight down (0) to straight up (180°).
    ///
    /// # Errors
    /// Unless the azimuth is finite and the size above zero; as [`Frame::solve`] but for falling.
    pub fn cone_edge(&self, azimuth: Angle, size: Force) -> Result<ConeEdge, FrameError> {
        let azimuth = error::finite("azimuth", azimuth)?;
        cone::cone_edge(self, azimuth, error::positive("size", size)?)
    }
}

/// Why a frame can't be solved, or doesn't stand.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum FrameError {
    /// A value that can't be used.
    #[error(transparent)]
    Input(#[from] InputError),
    /// Too few or too many of something.
    #[error("{given} {what} were given, but there must be from {least} to {most}")]
    Count {
        /// Of what.
        what: &'static str,
        /// How many were given.
        given: usize,
        /// The least.
        least: usize,
        /// The most.
        most: usize,
    },
    /// A rope, leg or guy starts and ends in one place, so that it has no direction.
    #[error("{list}[{index}] has its two ends within 1 mm of each other: move one of them")]
    NoDirection {
        /// The list it stands in.
        list: &'static str,
        /// Its place there.
        index: usize,
    },
    /// The foot of a leg that only pushes is above the head.
    #[error("legs[{index}] has its foot {above_m} m above the head: put it below, or stake it")]
    FootAbove {
        /// The leg's place in the list.
        index: usize,
        /// How far the foot is above the head, in metres.
        above_m: f64,
    },
    /// A hobble that doesn't join two legs.
    #[error("hobbles[{index}] joins feet {} and {}, but it must join two different ones of {legs}, counted from 0", feet.0, feet.1)]
    Hobble {
        /// The hobble's place in the list.
        index: usize,
        /// The feet it joins.
        feet: (usize, usize),
        /// How many legs there are.
        legs: usize,
    },
    /// A wooden pole longer than the limit of its thickness.
    #[error("legs[{index}] is {length_m} m long, but a pole of this thickness may be at most {most_m} m")]
    Slender {
        /// The leg's place in the list.
        index: usize,
        /// Its length, in metres.
        length_m: f64,
        /// 60 times its least thickness, in metres.
        most_m: f64,
    },
    /// A gin pole that leans too far.
    #[error("the gin pole leans by {:.1}° from upright, but it may lean by 45° at most", lean_rad.to_degrees())]
    Leans {
        /// How far it leans from upright, in radians.
        lean_rad: f64,
    },
    /// The frame falls.
    #[error(transparent)]
    Falls(Tipping),
    /// The solver didn't reach its residual: the stiffnesses or angles are too far apart.
    #[error(
        "the forces of the frame can't be solved to 1e-12: the stiffnesses of its members differ too much"
    )]
    Unsolved,
}

/// How a frame falls, and what would keep it up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tipping {
    /// How far the resultant is beyond tipping; negative. See [`Stability::margin`].
    pub margin: Angle,
    /// What it tips over, if it is a line.
    pub edge: Option<Edge>,
    /// The least force at the head that would keep it up.
    pub missing: Force3,
    /// The side on which a guy, or another leg's foot opposite, is needed: the azimuth of the missing force, from
    /// x towards y. `None` if it is vertical.
    pub guy_needed_towards: Option<Angle>,
    wrong_guys: [bool; MOST_GUYS],
}

impl Tipping {
    /// The guys on the wrong side: those that would have to push to keep the frame up.
    pub fn wrong_guys(&self) -> impl Iterator<Item = usize> + '_ {
        self.wrong_guys.iter().enumerate().filter(|(_, wrong)| **wrong).map(|(index, _)| index)
    }
}

impl core::fmt::Display for Tipping {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.write_str("the frame falls")?;
        match self.edge {
            Some(edge) if edge.from == edge.to => write!(f, " over {}", edge.from)?,
            Some(edge) => write!(f, " over the line between {} and {}", edge.from, edge.to)?,
            None => {}
        }
        write!(f, ": {:.0} N is missing at the head", self.missing.magnitude().value)?;
        for guy in self.wrong_guys() {
            write!(f, "; guys[{guy}] would have to push and is on the wrong side")?;
        }
        match self.guy_needed_towards {
            Some(side) => write!(f, "; a guy is needed towards {:.0}° from x to y", side.value.to_degrees()),
            None => f.write_str("; the pulls lift it, or a leg is needed below the head"),
        }
    }
}

impl core::error::Error for Tipping {}

/// Strength by force; `None` without a strength or without a force.
fn factor(strength_n: Option<f64>, force_n: f64) -> Option<Ratio> {
    strength_n.filter(|_| force_n > 0.0).and_then(|strength_n| quotient(strength_n, force_n))
}

/// A ratio, if the lower number is enough of one to be divided by.
fn quotient(upper: f64, lower: f64) -> Option<Ratio> {
    Some(upper / lower).filter(|x| x.is_finite()).map(crate::quantity::ratio)
}

fn count(what: &'static str, given: usize, least: usize, most: usize) -> Result<(), FrameError> {
    if (least..=most).contains(&given) { Ok(()) } else { Err(FrameError::Count { what, given, least, most }) }
}

/// Unit vector and length.
fn direction(list: &'static str, index: usize, v: Vector3<f64>) -> Result<(Vector3<f64>, f64), FrameError> {
    let length_m = math::sqrt(v.norm_squared());
    if length_m < APART_M {
        Err(FrameError::NoDirection { list, index })
    } else {
        Ok((v / length_m, length_m))
    }
}

/// Up to N of a kind, in place.
#[derive(Debug, Clone, Copy, PartialEq)]
struct UpTo<T, const N: usize> {
    items: [Option<T>; N],
}

impl<T: Copy, const N: usize> UpTo<T, N> {
    /// The first N of these.
    fn of(items: &[T]) -> Self {
        let mut list = Self { items: [None; N] };
        for (slot, item) in list.items.iter_mut().zip(items) {
            *slot = Some(*item);
        }
        list
    }

    fn iter(&self) -> impl Iterator<Item = &T> {
        self.items.iter().flatten()
    }

    fn get(&self, index: usize) -> Option<&T> {
        self.items.get(index)?.as_ref()
    }

    fn len(&self) -> usize {
        self.iter().count()
    }
}
