//! What a rope still holds with its knots and bends, and how far every piece is from breaking.
//!
//! A rope breaks at its weakest place: of several knots and bends only the worst counts, while what is true of
//! the whole rope (wet, worn) takes its share in any case.
//!
//! Each factor carries a [`Mark`] that says where it comes from. Where the mark is memory, put in what your rope's
//! maker states.
//!
//! Nothing here needs a heap.
//!
//! **Caution.** Factors of knots scatter with rope, tying and loading; no factor replaces inspection. A rope with
//! a cut, a melted or stiff place or an unknown past is retired, not reckoned. See the page of the crate.

use crate::error::{self, InputError};
use crate::quantity::{Force, Length, Mark, Ratio, newtons, ratio};
use core::marker::PhantomData;

/// What takes strength from a rope.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
#[non_exhaustive]
pub enum Weakening {
    /// A knot, at one place.
    Knot,
    /// A bend over something thin, at one place.
    Bend,
    /// Water, in the whole rope.
    Wet,
    /// Wear, age, sun, in the whole rope.
    Worn,
}

impl Weakening {
    /// Whether it acts at one place only, so that the worst of its kind counts and not their product.
    #[must_use]
    pub const fn is_local(self) -> bool {
        matches!(self, Self::Knot | Self::Bend)
    }
}

/// The share of its strength that a rope keeps, with its cause and mark.
///
/// ```
/// use rope_mechanics::quantity::{Force, Length, unit::{kilonewton, millimeter}};
/// use rope_mechanics::strength::{Reduction, reduced_strength};
///
/// let mm = Length::new::<millimeter>;
/// let rope = [Reduction::KNOT, Reduction::KNOT, Reduction::bend(mm(50.0), mm(12.5))?, Reduction::WET_NYLON];
/// // The bend over 4 diameters keeps 0.75: the knots, 0.70, decide, and water takes another fifth.
/// let left = reduced_strength(Force::new::<kilonewton>(40.0), &rope)?;
/// assert!((left.strength.get::<kilonewton>() - 40.0 * 0.70 * 0.80).abs() < 1e-9);
/// assert_eq!(left.weakest_place, Some(0));
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reduction {
    weakening: Weakening,
    factor: f64,
    mark: Mark,
}

/// Strength by ratio of bend to rope diameter, D/d, on a bend that stands still.
const BENDS: [(f64, f64); 10] = [
    (1.0, 0.50),
    (2.0, 0.65),
    (4.0, 0.75),
    (6.0, 0.79),
    (8.0, 0.83),
    (10.0, 0.86),
    (15.0, 0.89),
    (20.0, 0.91),
    (30.0, 0.93),
    (40.0, 0.95),
];

impl Reduction {
    /// A knot that keeps 0.70: from memory, range 0.55 to 0.80. Trainers quote losses of 18 to 37 %.
    pub const KNOT: Self = Self { weakening: Weakening::Knot, factor: 0.70, mark: Mark::Memory };

    /// Wet nylon keeps 0.80.
    pub const WET_NYLON: Self =
        Self { weakening: Weakening::Wet, factor: 0.80, mark: Mark::Read("Flory, Hearle, Goksoy 1990") };

    /// A factor of one's own: what the maker states for a knot, what an inspection leaves of a worn rope.
    ///
    /// # Errors
    /// Unless the factor is above 0 and at most 1.
    pub fn new(weakening: Weakening, factor: Ratio, mark: Mark) -> Result<Self, InputError> {
        error::positive("factor", factor)?;
        Ok(Self { weakening, factor: error::within("factor", factor, 0.0, 1.0)?, mark })
    }

    /// A bend over something of this diameter.
    ///
    /// From 0.50 at D = d over 0.65, 0.75, 0.79, 0.83, 0.86, 0.89, 0.91, 0.93 at 2, 4, 6, 8, 10, 15, 20, 30 to
    /// 0.95 at 40 rope diameters and beyond, straight lines between. It hardly depends on the angle of the bend.
    ///
    /// Source: the table for wire rope over bends that stand still, printed alike by three suppliers of blocks.
    /// For fibre rope no table was found and this one stands in, so the mark is memory. The rule that 4 rope
    /// diameters cost nothing is common practice, not this table.
    ///
    /// # Errors
    /// Unless the rope's diameter is above zero and the bend at least as thick.
    pub fn bend(bend_diameter: Length, rope_diameter: Length) -> Result<Self, InputError> {
        let rope_m = error::positive("rope_diameter", rope_diameter)?;
        let bend_m = error::check("bend_diameter", bend_diameter, error::Allowed::AtLeast(rope_m))?;
        let by_diameter = bend_m / rope_m;
        let pairs = BENDS.iter().zip(BENDS.iter().skip(1));
        let mut factor = 0.95;
        for ((from, low), (to, high)) in pairs {
            if (*from..*to).contains(&by_diameter) {
                factor = low + (high - low) * (by_diameter - from) / (to - from);
            }
        }
        Ok(Self { weakening: Weakening::Bend, factor, mark: Mark::Memory })
    }

    /// What weakens the rope.
    #[must_use]
    pub const fn weakening(&self) -> Weakening {
        self.weakening
    }

    /// The share of strength that is left.
    #[must_use]
    pub fn factor(&self) -> Ratio {
        ratio(self.factor)
    }

    /// Where the factor comes from.
    #[must_use]
    pub const fn mark(&self) -> Mark {
        self.mark
    }
}

/// What is left of a rope's strength.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct ReducedStrength {
    /// The load at which it breaks at its weakest place.
    #[cfg_attr(feature = "serde", serde(with = "crate::text::as_text"))]
    pub strength: Force,
    /// Which of the reductions is the knot or bend where it breaks; none without knots and bends.
    pub weakest_place: Option<usize>,
}

/// The strength of a rope with all that weakens it.
///
/// F = F₀ · (product of what acts on the whole rope) · (least of what acts at one place)
///
/// Assumed: knots and bends stand apart from each other. A knot that itself lies over a thin bend is worse than
/// either.
///
/// ```
/// use rope_mechanics::quantity::{Force, Mark, Ratio, unit::{kilonewton, percent}};
/// use rope_mechanics::strength::{Reduction, Weakening, reduced_strength};
///
/// // Two knots and a worn rope of 30 kN. Only the worse knot counts, wear counts anyway: 30·0.9·0.6 = 16.2 kN.
/// let keeps = |what, share| Reduction::new(what, Ratio::new::<percent>(share), Mark::Given);
/// let rope = [keeps(Weakening::Knot, 75.0)?, keeps(Weakening::Worn, 90.0)?, keeps(Weakening::Knot, 60.0)?];
/// let left = reduced_strength(Force::new::<kilonewton>(30.0), &rope)?;
/// assert!((left.strength.get::<kilonewton>() - 16.2).abs() < 1e-9);
/// assert_eq!(left.weakest_place, Some(2));
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
///
/// # Errors
/// Unless the breaking strength is above zero.
pub fn reduced_strength(
    breaking_strength: Force,
    reductions: &[Reduction],
) -> Result<ReducedStrength, InputError> {
    let mut strength_n = error::positive("breaking_strength", breaking_strength)?;
    let mut weakest: Option<(usize, f64)> = None;
    for (index, reduction) in reductions.iter().enumerate() {
        if !reduction.weakening.is_local() {
            strength_n *= reduction.factor;
        } else if weakest.is_none_or(|(_, least)| reduction.factor < least) {
            weakest = Some((index, reduction.factor));
        }
    }
    Ok(ReducedStrength {
        strength: newtons(strength_n * weakest.map_or(1.0, |(_, factor)| factor)),
        weakest_place: weakest.map(|(index, _)| index),
    })
}

/// What a component is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
#[non_exhaustive]
pub enum ComponentKind {
    /// A rope, with its knots and bends.
    Rope,
    /// A sling, strap or lashing.
    Sling,
    /// A connector or shackle.
    Connector,
    /// A sheave with its side plates.
    Sheave,
    /// A carriage on the track.
    Carriage,
    /// A rope grab or clamp.
    Grab,
    /// A load cell.
    LoadCell,
    /// A capstan, winch or bollard.
    Winch,
    /// A leg of a frame.
    Leg,
    /// The head of a frame.
    Head,
    /// A guy of a frame.
    Guy,
    /// An anchor: vehicle, picket, rock, tree.
    Anchor,
    /// A litter or harness.
    Litter,
    /// Anything else.
    Other,
}

/// The static safety factor that is usual in rope rescue: 10, and not below 5. Common practice, no source; local
/// rules come first.
pub const USUAL_SAFETY_FACTOR: Ratio = Ratio { dimension: PhantomData, units: PhantomData, value: 10.0 };

/// A component with the load at which it fails and the load on it.
///
/// ```
/// use rope_mechanics::quantity::{Force, unit::{kilonewton, pound_force}};
/// use rope_mechanics::strength::{Component, ComponentKind, USUAL_SAFETY_FACTOR};
///
/// let strand = Component::new(
///     ComponentKind::Rope,
///     Force::new::<kilonewton>(32.0),
///     Force::new::<pound_force>(740.0),
/// )?;
/// assert!((strand.safety_factor().unwrap().value - 9.72).abs() < 0.005);
/// assert!(!strand.meets(USUAL_SAFETY_FACTOR));
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Component {
    kind: ComponentKind,
    strength_n: f64,
    load_n: f64,
}

impl Component {
    /// A component by its strength and load.
    ///
    /// # Errors
    /// Unless the strength is above zero and the load at least zero.
    pub fn new(kind: ComponentKind, strength: Force, load: Force) -> Result<Self, InputError> {
        Ok(Self {
            kind,
            strength_n: error::positive("strength", strength)?,
            load_n: error::non_negative("load", load)?,
        })
    }

    /// What it is.
    #[must_use]
    pub const fn kind(&self) -> ComponentKind {
        self.kind
    }

    /// The load at which it fails.
    #[must_use]
    pub fn strength(&self) -> Force {
        newtons(self.strength_n)
    }

    /// The load on it.
    #[must_use]
    pub fn load(&self) -> Force {
        newtons(self.load_n)
    }

    /// Strength by load; none where nothing loads it, since no number is right then.
    #[must_use]
    pub fn safety_factor(&self) -> Option<Ratio> {
        (self.load_n > 0.0).then(|| ratio(self.strength_n / self.load_n))
    }

    /// Whether its factor is at least this one, [`USUAL_SAFETY_FACTOR`] say. Without load, it is.
    #[must_use]
    pub fn meets(&self, required: Ratio) -> bool {
        self.load_n * required.value <= self.strength_n
    }
}

/// The component of a chain with the least safety factor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeakestLink {
    /// Its index; of equals, the first.
    pub index: usize,
    /// Its safety factor.
    pub safety_factor: Ratio,
}

/// The weakest link of a chain of components; none if there are none, or none of them bears a load.
///
/// ```
/// use rope_mechanics::quantity::{Force, unit::kilonewton};
/// use rope_mechanics::strength::{Component, ComponentKind, weakest_link};
///
/// let kn = Force::new::<kilonewton>;
/// let chain = [
///     Component::new(ComponentKind::Rope, kn(28.0), kn(2.4))?,
///     Component::new(ComponentKind::Connector, kn(40.0), kn(4.8))?,
///     Component::new(ComponentKind::Guy, kn(30.0), kn(0.0))?,
/// ];
/// let weakest = weakest_link(&chain).unwrap();
/// assert_eq!(weakest.index, 1);
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
#[must_use]
pub fn weakest_link(components: &[Component]) -> Option<WeakestLink> {
    let mut weakest: Option<WeakestLink> = None;
    for (index, component) in components.iter().enumerate() {
        if let Some(safety_factor) = component.safety_factor()
            && weakest.is_none_or(|link| safety_factor < link.safety_factor)
        {
            weakest = Some(WeakestLink { index, safety_factor });
        }
    }
    weakest
}
