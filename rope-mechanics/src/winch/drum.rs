//! The drum and its layers of rope.

use super::WinchError;
use crate::error::{self, Allowed, InputError};
use crate::math;
use crate::quantity::{Length, Ratio, metres, ratio};
use core::f64::consts::PI;

/// The most layers a drum is asked about.
const MOST_LAYERS: u32 = 100;

/// A drum that takes rope in layers: each further one pulls less and runs faster.
///
/// r_k = D/2 + d/2 + (k − 1)·p·d, to the middle of the rope
///
/// p = 1 where each turn lies on the crown of the one below, √3/2 = 0.866 where it lies in the groove between two.
/// Assumed: whole turns, ⌊width/d⌋ of them in each layer; a round rope that is not crushed. A drum without
/// grooves fills worse than this.
///
/// Source: geometry of round rope, nothing else; no published check.
///
/// ```
/// use rope_mechanics::quantity::{Length, Ratio, unit::{meter, millimeter, ratio}};
/// use rope_mechanics::winch::{Drum, DrumSize};
///
/// let mm = |x| Length::new::<millimeter>(x);
/// let drum =
///     Drum::new(DrumSize { core_diameter: mm(64.0), width: mm(220.0), rope_diameter: mm(11.0), layers: 5 })?;
/// assert!((drum.pull_ratio(3)?.get::<ratio>() - 0.630).abs() < 5e-4);
/// assert_eq!(drum.layer_at(Length::new::<meter>(20.0))?.number, 4);
/// # Ok::<(), rope_mechanics::winch::WinchError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drum {
    core: f64,
    turns: f64,
    rope: f64,
    pitch: f64,
    layers: u32,
}

/// The measures of a drum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DrumSize {
    /// The diameter of the bare drum.
    pub core_diameter: Length,
    /// The width between the flanges.
    pub width: Length,
    /// The diameter of the rope.
    pub rope_diameter: Length,
    /// The number of layers that the flanges allow.
    pub layers: u32,
}

/// The layer from which the rope leaves the drum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layer {
    /// Counted from 1, on the core.
    pub number: u32,
    /// From the drum's axis to the middle of the rope.
    pub radius: Length,
    /// The pull by that on the first layer, for the same torque.
    pub pull_ratio: Ratio,
    /// How much rope can still be wound on before the next layer begins.
    pub room: Length,
    /// How much rope leaves the drum before the layer below is reached.
    pub on_layer: Length,
}

impl Drum {
    /// A drum of these measures, on which each turn lies on the crown of the one below (p = 1).
    ///
    /// # Errors
    /// Unless core and rope are thicker than nothing, at least one turn fits the width, and there are 1 to 100
    /// layers.
    pub fn new(size: DrumSize) -> Result<Self, InputError> {
        let DrumSize { core_diameter, width, rope_diameter, layers } = size;
        let core = error::positive("core_diameter", core_diameter)?;
        let rope = error::positive("rope_diameter", rope_diameter)?;
        let width = error::check("drum_width", width, Allowed::AtLeast(rope))?;
        let most = f64::from(MOST_LAYERS);
        error::within("layers", f64::from(layers), 1.0, most)?;
        // The width of so many ropes, rounded, must still count as that many turns.
        let turns =
            error::check("turns_per_layer", math::floor(width / rope * (1.0 + 1e-12)), Allowed::AtMost(1e6))?;
        Ok(Self { core, turns, rope, pitch: 1.0, layers })
    }

    /// With the rise of each layer as a share of the rope's diameter: 0.866 where turns lie in grooves.
    ///
    /// # Errors
    /// Unless it is from 0.5 to 1.5.
    pub fn with_layer_rise(self, rise: Ratio) -> Result<Self, InputError> {
        Ok(Self { pitch: error::within("layer_rise", rise, 0.5, 1.5)?, ..self })
    }

    /// Whole turns in a layer.
    #[must_use]
    pub fn turns_per_layer(&self) -> Ratio {
        ratio(self.turns)
    }

    /// From the axis to the middle of the rope on a layer, counted from 1.
    ///
    /// # Errors
    /// Unless the drum has that layer.
    pub fn radius(&self, layer: u32) -> Result<Length, InputError> {
        error::within("layer", f64::from(layer), 1.0, f64::from(self.layers))?;
        Ok(metres(self.radius_m(layer)))
    }

    /// The pull on a layer by the pull on the first, for the same torque: r₁/r_k. The line's speed goes the other
    /// way.
    ///
    /// # Errors
    /// Unless the drum has that layer.
    pub fn pull_ratio(&self, layer: u32) -> Result<Ratio, InputError> {
        Ok(ratio(self.radius_m(1) / self.radius(layer)?.value))
    }

    /// How much rope the drum takes, all layers full: Σ 2π·r_k·turns.
    #[must_use]
    pub fn capacity(&self) -> Length {
        metres(self.length_below(self.layers + 1))
    }

    /// The layer from which the rope leaves when this much of it is on the drum, the turns that must stay on it
    /// included.
    ///
    /// A length that just fills a layer still leaves from that layer.
    ///
    /// # Errors
    /// [`WinchError::DrumFull`] where that much doesn't fit; an input error where the length is below zero.
    pub fn layer_at(&self, on_drum: Length) -> Result<Layer, WinchError> {
        let length = error::non_negative("rope_on_drum", on_drum)?;
        let capacity = self.capacity().value;
        let number = (1..=self.layers)
            .find(|&k| length <= self.length_below(k + 1))
            .ok_or(WinchError::DrumFull { length, capacity })?;
        let radius = self.radius_m(number);
        Ok(Layer {
            number,
            radius: metres(radius),
            pull_ratio: ratio(self.radius_m(1) / radius),
            room: metres(self.length_below(number + 1) - length),
            on_layer: metres(length - self.length_below(number)),
        })
    }

    fn radius_m(&self, layer: u32) -> f64 {
        // r_k = D/2 + d/2 + (k − 1)·p·d
        0.5 * (self.core + self.rope) + f64::from(layer - 1) * self.pitch * self.rope
    }

    /// The rope in all the layers under this one.
    fn length_below(&self, layer: u32) -> f64 {
        // Σ 2π·r_k·turns over k < layer = 2π·turns·(layer − 1)·(r₁ + r_(layer−1))/2
        let full = layer - 1;
        if full == 0 {
            return 0.0;
        }
        PI * self.turns * f64::from(full) * (self.radius_m(1) + self.radius_m(full))
    }
}
