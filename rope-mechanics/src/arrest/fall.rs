//! A load that falls on one rope, with a device that may slip.

use super::pieces::{Pieces, StoppedRope};
use super::{ArrestError, certified};
use crate::error::{Allowed, InputError, SolveReport, check, non_negative, positive};
use crate::math;
use crate::quantity::{
    Force, Length, Ratio, STANDARD_GRAVITY_M_PER_S2 as G, Velocity, metres, newtons, ratio,
    unit::meter_per_second,
};
use crate::rope::Stretch;

/// A device that lets rope slip through at a constant force: a belay device, a shock absorber.
///
/// Assumed: the force is the same at every speed and over the whole travel. Real devices vary; take the
/// highest force for the peak and the lowest for the distance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SlipDevice {
    force_n: f64,
    travel_m: f64,
}

impl SlipDevice {
    /// A device by the force at which it slips, with as much travel as it takes.
    ///
    /// # Errors
    /// Unless the force is above zero.
    pub fn new(slip_force: Force) -> Result<Self, InputError> {
        Ok(Self { force_n: positive("slip_force", slip_force)?, travel_m: f64::INFINITY })
    }

    /// The same device with a limited travel, after which it no longer slips.
    ///
    /// # Errors
    /// Unless the travel is at least zero.
    pub fn with_travel(self, travel: Length) -> Result<Self, InputError> {
        Ok(Self { travel_m: non_negative("slip_travel", travel)?, ..self })
    }
}

/// What the device did.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "kebab-case"))]
pub enum DeviceState {
    /// There is none, or the force stayed below its slip force.
    Idle,
    /// It slipped, and stopped the load within its travel.
    Slipped,
    /// It used up its travel, and the rope took the rest.
    Bottomed,
}

/// A load that falls freely and is then stopped by a rope, or by several end to end.
///
/// Assumed: a vertical fall, a weightless rope that is fixed at its other end, no losses but those of a slipping
/// device. The balance at the lowest point is
///
/// W·(h + Σ Lᵢ·εᵢ + s) = Σ Lᵢ·∫Tᵢ dε + Fₛ·s
///
/// with the weight W, the whole free fall h, the pieces of rope in service Lᵢ, their strains εᵢ under the peak
/// force, which is the same in all of them, and the slip s at the force Fₛ. One rope with T = EA·ε without a
/// device gives F = W + √(W² + 2W·EA·f), with the fall factor f = h/L: at least 2W, and exactly that when the
/// load comes on suddenly without a fall. Linear pieces end to end are one spring of 1/k = Σ Lᵢ/EAᵢ, and give
/// F = W + √(W² + 2W·k·h).
///
/// ```
/// use rope_mechanics::arrest::{Fall, SlipDevice};
/// use rope_mechanics::quantity::{Force, Length, Mass, unit::{kilogram, kilonewton, meter}, weight_of};
/// use rope_mechanics::rope::Stretch;
///
/// let metres = Length::new::<meter>;
/// let fall = Fall::new(
///     weight_of(Mass::new::<kilogram>(280.0)),
///     metres(1.0),
///     metres(3.0),
///     Stretch::linear(Force::new::<kilonewton>(80.0))?,
/// )?;
/// let held = fall.arrest()?;
/// let slipping = fall.with_slip(SlipDevice::new(Force::new::<kilonewton>(12.0))?).arrest()?;
/// assert!(held.peak_force > slipping.peak_force);
/// assert!(held.stopping_distance < slipping.stopping_distance);
/// // A metre of stiff lanyard between the two makes the rope longer, and yet the peak hardly lower.
/// let lanyard = Stretch::stiffening(Force::new::<kilonewton>(60.0), Force::new::<kilonewton>(900.0))?;
/// let both = fall.with_in_series(lanyard, metres(1.0))?.arrest()?;
/// assert!(both.peak_force < held.peak_force && both.peak_force > 0.9 * held.peak_force);
/// # Ok::<(), rope_mechanics::arrest::ArrestError>(())
/// ```
///
/// Source: Bansal, Strength of Materials, ch. 4 (impact loads); EN 892 and UIAA drop geometry in
/// `tests/published/arrest.rs`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fall {
    weight_n: f64,
    height_m: f64,
    rope: Pieces,
    slip: Option<SlipDevice>,
}

/// How a load was stopped.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Arrest {
    /// The greatest tension of the rope, and force on the load and on the anchor.
    pub peak_force: Force,
    /// The stretch of the rope at that moment, from its unstretched length; of all pieces together.
    pub elongation: Length,
    /// The rope that ran through the device.
    pub slip: Length,
    /// What the device did.
    pub device: DeviceState,
    /// The distance from where the rope begins to brake to the lowest point.
    pub stopping_distance: Length,
    /// The distance from where the load comes loose to the lowest point: the clearance needed below it.
    pub total_drop: Length,
    /// The speed at which the rope begins to brake.
    pub speed: Velocity,
    /// How the answer was reached: the residual is that of the energy balance, as a share of the energy turned over.
    pub report: SolveReport,
}

impl Fall {
    /// A fall by the weight of the load, the height it falls freely, the unstretched rope from load to anchor,
    /// and the stretch of the rope in a fall.
    ///
    /// # Errors
    /// Unless the weight is above zero, the height at least zero and the rope at least a millimetre long.
    pub fn new(weight: Force, height: Length, length: Length, stretch: Stretch) -> Result<Self, InputError> {
        Ok(Self {
            weight_n: positive("weight", weight)?,
            height_m: non_negative("fall_height", height)?,
            rope: Pieces::one(length, stretch)?,
            slip: None,
        })
    }

    /// Adds another piece of rope end to end with the first, which stretches in its own way: a lanyard, a sling,
    /// the rest of the rope beyond a knot to another one.
    ///
    /// Their order makes no difference. Slack and the free fall are those of the whole.
    ///
    /// # Errors
    /// Unless the piece is at least a millimetre long; if there are [`MOST_PIECES`](super::MOST_PIECES) already.
    pub fn with_in_series(self, stretch: Stretch, length: Length) -> Result<Self, InputError> {
        Ok(Self { rope: self.rope.and(length, stretch)?, ..self })
    }

    /// Adds slack: the load falls further, on the same rope.
    ///
    /// # Errors
    /// Unless the slack is at least zero.
    pub fn with_slack(self, slack: Length) -> Result<Self, InputError> {
        let height_m = self.height_m + non_negative("slack", slack)?;
        Ok(Self { height_m: non_negative("fall_height", metres(height_m))?, ..self })
    }

    /// Adds the rope that runs freely through a belay device before it grabs: the load falls further, and there
    /// is as much more of the first rope between the two.
    ///
    /// # Errors
    /// Unless the length is at least zero.
    pub fn with_reaction(self, reaction: Length) -> Result<Self, InputError> {
        let reaction_m = non_negative("reaction_length", reaction)?;
        Ok(Self {
            height_m: non_negative("fall_height", metres(self.height_m + reaction_m))?,
            rope: self.rope.with_longer_first(reaction_m)?,
            ..self
        })
    }

    /// Puts a device that slips in series with the rope.
    #[must_use]
    pub const fn with_slip(self, device: SlipDevice) -> Self {
        Self { slip: Some(device), ..self }
    }

    /// The fall factor: the whole free fall divided by the rope in service, all pieces together.
    #[must_use]
    pub fn factor(&self) -> Ratio {
        ratio(self.height_m / self.rope.length_m())
    }

    /// How the load is stopped.
    ///
    /// # Errors
    /// [`ArrestError::NeverStops`] if the device would have to slip and slips below the weight.
    pub fn arrest(&self) -> Result<Arrest, ArrestError> {
        let Self { weight_n, height_m, rope, slip } = *self;
        // Σ Lᵢ·∫Tᵢ dε − W·Σ Lᵢ·εᵢ = W·h
        let mut stopped = rope.stop(weight_n, weight_n * height_m);
        let mut slip_m = 0.0;
        let mut device = DeviceState::Idle;
        let mut slip_force_n = 0.0;
        if let Some(SlipDevice { force_n, travel_m }) = slip
            && stopped.peak_n > force_n
        {
            slip_force_n = force_n;
            let slipping = StoppedRope {
                peak_n: force_n,
                elongation_m: rope.elongation_m(force_n),
                energy_j: rope.energy_j(force_n),
                steps: stopped.steps,
            };
            // s = [W·(h + Σ Lᵢ·εᵢ) − Σ Lᵢ·∫Tᵢ dε] / (Fₛ − W)
            let left = weight_n * (height_m + slipping.elongation_m) - slipping.energy_j;
            slip_m = if force_n > weight_n { left / (force_n - weight_n) } else { f64::INFINITY };
            if slip_m <= travel_m {
                if slip_m.is_infinite() {
                    return Err(ArrestError::NeverStops { slip_force: force_n, weight: weight_n });
                }
                device = DeviceState::Slipped;
                stopped = slipping;
            } else {
                // Σ Lᵢ·∫Tᵢ dε − W·Σ Lᵢ·εᵢ = W·(h + s) − Fₛ·s
                device = DeviceState::Bottomed;
                slip_m = travel_m;
                let before = stopped.steps;
                stopped = rope.stop(weight_n, weight_n * height_m - (force_n - weight_n) * slip_m);
                stopped.steps += before;
            }
        }
        let StoppedRope { peak_n, elongation_m, energy_j, steps } = stopped;
        let gained = weight_n * (height_m + elongation_m + slip_m);
        let taken = energy_j + slip_force_n * slip_m;
        let residual = certified((gained - taken).abs() / gained)?;
        Ok(Arrest {
            peak_force: newtons(peak_n),
            elongation: metres(elongation_m),
            slip: metres(slip_m),
            device,
            stopping_distance: metres(elongation_m + slip_m),
            total_drop: metres(height_m + elongation_m + slip_m),
            // v = √(2gh)
            speed: Velocity::new::<meter_per_second>(math::sqrt(2.0 * G * height_m)),
            report: SolveReport::new(steps, residual),
        })
    }
}

/// The axial stiffness that makes a rope give the peak force printed for it in a standard drop test.
///
/// EA = F·(F − 2W) / (2W·f)
///
/// Assumed: a linear rope, the fall factor of the test. It is the stiffness *in a fall*, of the first drop.
///
/// # Errors
/// Unless the weight and the factor are above zero and the peak force is above twice the weight, which is the
/// least that any fall gives.
///
/// ```
/// use rope_mechanics::arrest::stiffness_from_drop_test;
/// use rope_mechanics::quantity::{Force, Ratio, unit::{kilonewton, newton, ratio}};
///
/// // 80 kg, fall factor 1.77, 9 kN
/// let stiffness = stiffness_from_drop_test(
///     Force::new::<kilonewton>(9.0), Force::new::<newton>(784.8), Ratio::new::<ratio>(4.6 / 2.6))?;
/// assert!((stiffness.get::<kilonewton>() - 24.081).abs() < 5e-4);
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
pub fn stiffness_from_drop_test(peak: Force, weight: Force, factor: Ratio) -> Result<Force, InputError> {
    let weight_n = positive("weight", weight)?;
    let factor = check("fall_factor", factor, Allowed::Within(1e-3, 1e3))?;
    let peak_n = check("peak_force", peak, Allowed::Above(2.0 * weight_n))?;
    // EA = F·(F − 2W) / (2W·f)
    Ok(newtons(peak_n * (peak_n - 2.0 * weight_n) / (2.0 * weight_n * factor)))
}
