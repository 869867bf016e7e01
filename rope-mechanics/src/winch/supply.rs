//! What feeds the motor: a battery at one moment, and the leads.

use crate::error::{self, InputError};
use crate::quantity::{Area, ElectricPotential, ElectricalResistance, Length, ohms, volts};

/// A battery at one state of charge, with its leads.
///
/// Voltage at the motor's terminals: V = V_oc − I·(R_battery + R_leads).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Supply {
    v: f64,
    r_battery: f64,
    r_leads: f64,
}

impl Supply {
    /// A supply from its open-circuit voltage, the battery's internal resistance and that of the leads, out and
    /// back, with their contacts and switches.
    ///
    /// # Errors
    /// Unless the voltage is above zero and both resistances at least zero.
    pub fn new(
        open_circuit: ElectricPotential,
        battery: ElectricalResistance,
        leads: ElectricalResistance,
    ) -> Result<Self, InputError> {
        Ok(Self {
            v: error::positive("open_circuit_voltage", open_circuit)?,
            r_battery: error::non_negative("battery_resistance", battery)?,
            r_leads: error::non_negative("lead_resistance", leads)?,
        })
    }

    /// The voltage without current.
    #[must_use]
    pub fn open_circuit(&self) -> ElectricPotential {
        volts(self.v)
    }

    /// The battery's internal resistance.
    #[must_use]
    pub fn battery_resistance(&self) -> ElectricalResistance {
        ohms(self.r_battery)
    }

    /// The resistance of the leads, out and back.
    #[must_use]
    pub fn lead_resistance(&self) -> ElectricalResistance {
        ohms(self.r_leads)
    }

    pub(crate) fn v(&self) -> f64 {
        self.v
    }

    pub(crate) fn r_battery(&self) -> f64 {
        self.r_battery
    }

    pub(crate) fn r_leads(&self) -> f64 {
        self.r_leads
    }
}

/// Resistivity of annealed copper at 20 °C, 0.017 24 Ω·mm²/m (IEC 60028).
const COPPER_OHM_M: f64 = 0.017_24e-6;

/// The resistance of a pair of copper leads at 20 °C, out and back.
///
/// R = ρ·2ℓ/A,  ρ = 0.017 24 Ω·mm²/m
///
/// Contacts, lugs and switches come on top: often as much again (common practice, no source).
///
/// ```
/// use rope_mechanics::quantity::{Area, Length, unit::{meter, milliohm, square_millimeter}};
/// use rope_mechanics::winch::cable_resistance;
///
/// let leads = cable_resistance(Length::new::<meter>(3.0), Area::new::<square_millimeter>(35.0))?;
/// assert!((leads.get::<milliohm>() - 2.955).abs() < 5e-4);
/// # Ok::<(), rope_mechanics::error::InputError>(())
/// ```
///
/// # Errors
/// Unless the length each way is at least zero and the cross-section above zero.
pub fn cable_resistance(each_way: Length, cross_section: Area) -> Result<ElectricalResistance, InputError> {
    let length = error::non_negative("cable_length", each_way)?;
    let area = error::positive("cable_cross_section", cross_section)?;
    // R = ρ·2ℓ/A
    Ok(ohms(COPPER_OHM_M * 2.0 * length / area))
}
