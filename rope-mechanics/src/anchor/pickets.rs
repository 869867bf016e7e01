//! Picket holdfasts from the published table.

use crate::error::{self, Allowed, InputError};
use crate::quantity::exact::FOOT_M;
use crate::quantity::unit::pound_force;
use crate::quantity::{Force, Length};

const INCH_M: f64 = 0.0254;
/// A picket measured in inches or feet may come out a rounding short.
const ROUNDING: f64 = 1e-12;

/// How pickets stand behind each other, lashed head to foot: counted from the load backwards.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
pub enum Pickets {
    /// A single picket: 700 lbf.
    One,
    /// One and one: 1400 lbf.
    OneOne,
    /// Three in a row: 1800 lbf.
    OneOneOne,
    /// Two and one: 2000 lbf.
    TwoOne,
    /// Three, two and one: 4000 lbf.
    ThreeTwoOne,
}

/// What the pickets are driven into.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
pub enum PicketSoil {
    /// Undisturbed loam, as the table: 1.
    UndisturbedLoam,
    /// Wet clay and gravel: 0.9.
    WetClayAndGravel,
    /// Wet river clay and sand: 0.5.
    WetRiverClayAndSand,
}

/// One of the pickets, all of which are alike.
///
/// The table is for sound wooden ones at least 3 in thick and 5 ft long, driven 3 ft to 4 ft deep and leaning 15°
/// away from the load. Thinner, shorter or shallower ones are outside it and refused.
///
/// ```
/// use rope_mechanics::anchor::{Picket, PicketSoil, Pickets};
/// use rope_mechanics::quantity::{Length, unit::{foot, inch, pound_force}};
///
/// let picket = Picket::new(Length::new::<inch>(3.0), Length::new::<foot>(5.0), Length::new::<foot>(3.0))?;
/// let holds = picket.hold(Pickets::ThreeTwoOne, PicketSoil::UndisturbedLoam);
/// assert!((holds.get::<pound_force>() - 4000.0).abs() < 1e-9);
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Picket(());

impl Picket {
    /// A picket by its thickness, its whole length, and how deep it is driven.
    ///
    /// # Errors
    /// Outside the table: unless at least 3 in thick, 5 ft long, driven at least 3 ft and no deeper than 4 ft.
    pub fn new(thickness: Length, length: Length, driven: Length) -> Result<Self, InputError> {
        at_least("thickness", thickness, 3.0 * INCH_M)?;
        at_least("length", length, 5.0 * FOOT_M)?;
        at_least("driven", driven, 3.0 * FOOT_M)?;
        error::check("driven", driven, Allowed::AtMost(4.0 * FOOT_M * (1.0 + ROUNDING)))?;
        Ok(Self(()))
    }

    /// The pull at which a holdfast of such pickets begins to give, along the ground.
    ///
    /// The table's value times the factor of the soil. No margin is in it.
    ///
    /// Sources: single, one-one-one and three-two-one read in US Navy rigging manuals; one-one, two-one and the
    /// factors of the soils after FM 5-125, from memory. Public domain.
    #[must_use]
    pub fn hold(&self, pickets: Pickets, soil: PicketSoil) -> Force {
        let table = match pickets {
            Pickets::One => 700.0,
            Pickets::OneOne => 1400.0,
            Pickets::OneOneOne => 1800.0,
            Pickets::TwoOne => 2000.0,
            Pickets::ThreeTwoOne => 4000.0,
        };
        let factor = match soil {
            PicketSoil::UndisturbedLoam => 1.0,
            PicketSoil::WetClayAndGravel => 0.9,
            PicketSoil::WetRiverClayAndSand => 0.5,
        };
        Force::new::<pound_force>(table * factor)
    }
}

fn at_least(field: &'static str, value: Length, least_m: f64) -> Result<(), InputError> {
    error::check(field, value, Allowed::AtLeast(least_m * (1.0 - ROUNDING))).map(|_| ())
}
