//! Buried anchors (deadmen) from the published table.

use super::AnchorError;
use crate::error::{self, InputError};
use crate::quantity::exact::FOOT_M;
use crate::quantity::unit::{pascal, pound_force};
use crate::quantity::{Force, Length, Pressure, Ratio, metres, newtons};

/// A depth in feet or a slope as a fraction may come out a rounding off.
const ROUNDING: f64 = 1e-9;

/// Mean depth in feet, and lbf by square foot of face for ropes that rise 1:1, 1:2, 1:3 and 1:4 (rise by run).
const TABLE: [(f64, [f64; 4]); 5] = [
    (3.0, [950.0, 1300.0, 1450.0, 1500.0]),
    (4.0, [1750.0, 2200.0, 2600.0, 2700.0]),
    (5.0, [2800.0, 3600.0, 4000.0, 4100.0]),
    (6.0, [3800.0, 5100.0, 5800.0, 6000.0]),
    (7.0, [5100.0, 7000.0, 8000.0, 8400.0]),
];

/// What a beam is buried in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
pub enum DeadmanSoil {
    /// Hardpan or rock: 5 times the table.
    HardpanOrRock,
    /// Loam, as the table.
    Loam,
    /// Fine-grained wet or sandy soil: half the table.
    FineWetOrSandy,
}

/// The section of the beam.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Beam {
    /// A squared timber: the height of the face that bears on the soil, and its thickness along the pull. It may
    /// be up to 9 times as long as thick.
    Timber {
        /// Height of the face.
        face: Length,
        /// Thickness along the pull.
        thickness: Length,
    },
    /// A log, whose face is its diameter. It may be up to 5 times as long as thick.
    Log {
        /// Diameter.
        diameter: Length,
    },
}

/// A beam buried across the pull, with the rope leaving its middle through a sloping trench.
///
/// CC = HP·D_f·(D_L − 1 ft), with HP the pressure that the soil holds by the table, D_f the height of the face and
/// D_L the length of the beam, of which 1 ft counts for the trench of the rope
///
/// Nothing is extrapolated, and nothing interpolated: between two rows the shallower one counts, between two
/// columns the steeper one. Range: mean depth 3 ft to 7 ft, rope from 1:1 to 1:4.
///
/// Source: TM 5-5420-278-10, table 9 (read; public domain). How well it fits other soils than its own isn't known.
///
/// ```
/// use rope_mechanics::anchor::{Beam, Deadman, DeadmanSoil};
/// use rope_mechanics::quantity::{Length, Ratio, unit::{foot, pound_force, ratio}};
///
/// let ft = Length::new::<foot>;
/// let beam = Beam::Timber { face: ft(1.0), thickness: ft(1.0) };
/// let deadman = Deadman::new(ft(5.0), Ratio::new::<ratio>(0.25), beam, DeadmanSoil::Loam)?;
/// assert!((deadman.hold(ft(4.0))?.get::<pound_force>() - 4100.0 * 3.0).abs() < 1e-6);
/// # Ok::<(), rope_mechanics::anchor::AnchorError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Deadman {
    pressure_pa: f64,
    face_m: f64,
    longest_m: f64,
}

impl Deadman {
    /// A beam at a mean depth, with a rope that rises by `slope` (rise by run: 0.25 for 1:4).
    ///
    /// # Errors
    /// Outside the table; unless the section is above zero.
    pub fn new(mean_depth: Length, slope: Ratio, beam: Beam, soil: DeadmanSoil) -> Result<Self, InputError> {
        let depth_m = error::within(
            "mean_depth",
            mean_depth,
            3.0 * FOOT_M * (1.0 - ROUNDING),
            7.0 * FOOT_M * (1.0 + ROUNDING),
        )?;
        let slope = error::within("slope", slope, 0.25 * (1.0 - ROUNDING), 1.0 + ROUNDING)?;
        let (face_m, longest_m) = match beam {
            Beam::Timber { face, thickness } => {
                (error::positive("face", face)?, 9.0 * error::positive("thickness", thickness)?)
            }
            Beam::Log { diameter } => {
                let diameter_m = error::positive("diameter", diameter)?;
                (diameter_m, 5.0 * diameter_m)
            }
        };
        // The deepest row not deeper than the beam.
        let (_, mut row) = TABLE[0];
        for (feet, deeper) in TABLE {
            if depth_m >= feet * FOOT_M * (1.0 - ROUNDING) {
                row = deeper;
            }
        }
        let [one, two, three, four] = row;
        let pounds_per_square_foot = if slope <= 0.25 * (1.0 + ROUNDING) {
            four
        } else if slope <= (1.0 + ROUNDING) / 3.0 {
            three
        } else if slope <= 0.5 * (1.0 + ROUNDING) {
            two
        } else {
            one
        };
        let factor = match soil {
            DeadmanSoil::HardpanOrRock => 5.0,
            DeadmanSoil::Loam => 1.0,
            DeadmanSoil::FineWetOrSandy => 0.5,
        };
        // 1 lbf/ft² in pascals
        let unit = Force::new::<pound_force>(1.0).value / (FOOT_M * FOOT_M);
        Ok(Self { pressure_pa: factor * pounds_per_square_foot * unit, face_m, longest_m })
    }

    /// The pressure on the face that the soil holds.
    #[must_use]
    pub fn pressure(&self) -> Pressure {
        Pressure::new::<pascal>(self.pressure_pa)
    }

    /// The pull at which a beam of this length begins to give.
    ///
    /// # Errors
    /// Unless longer than 1 ft and no longer than its section allows.
    pub fn hold(&self, length: Length) -> Result<Force, AnchorError> {
        let length_m = error::check("length", length, error::Allowed::Above(FOOT_M))?;
        self.not_slender(length_m)?;
        // CC = HP·D_f·(D_L − 1 ft)
        Ok(newtons(self.pressure_pa * self.face_m * (length_m - FOOT_M)))
    }

    /// The length that the beam needs for a pull.
    ///
    /// D_L = CC/(HP·D_f) + 1 ft
    ///
    /// # Errors
    /// Unless the pull is at least zero, and the beam no longer than its section allows.
    pub fn length_for(&self, pull: Force) -> Result<Length, AnchorError> {
        let pull_n = error::non_negative("pull", pull)?;
        let length_m = pull_n / (self.pressure_pa * self.face_m) + FOOT_M;
        self.not_slender(length_m)?;
        Ok(metres(length_m))
    }

    fn not_slender(&self, length_m: f64) -> Result<(), AnchorError> {
        if length_m > self.longest_m * (1.0 + ROUNDING) {
            return Err(AnchorError::Slender { length_m, most_m: self.longest_m });
        }
        Ok(())
    }
}
