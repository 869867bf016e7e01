//! What the haul winch draws, and what it leaves of its battery.

use super::failures::WinchPull;
use super::plan::SiteError;
use super::site::{self, Site};
use super::study::{Assumption, HaulTotals, Position};
use crate::error::{self, Allowed};
use crate::math;
use crate::quantity::Mark;
use crate::quantity::unit::{ampere, degree_celsius, hour, percent, ratio};
use crate::quantity::{
    ElectricCurrent, ElectricPotential, ElectricalResistance, Force, Length, Ratio, ThermodynamicTemperature,
    Time, Velocity, metres_per_second, n_per_m, newtons,
};
use crate::text;
use crate::winch::{
    Battery, Extent, Gear, HaulCycle, HaulStep, LEAD_ACID_COLD, Machine, Motor, Peukert, StopCause, Supply,
    TableRow, TableWinch, Winch, WinchError,
};
use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec::Vec;

/// The winch and its battery.
#[derive(Debug, Clone)]
pub(crate) struct Drive {
    machine: Machine,
    supply: Supply,
    leads: ElectricalResistance,
    /// The open-circuit voltage that the site file gives, for any state of charge.
    open_circuit: [(Ratio, ElectricPotential); 1],
    internal: ElectricalResistance,
    peukert: Peukert,
    air: ThermodynamicTemperature,
    key: &'static str,
    pub(crate) rated_pull: Force,
}

/// The winch at one pull.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Driven {
    pub(crate) current: ElectricCurrent,
    pub(crate) voltage: ElectricPotential,
    pub(crate) line_speed: Velocity,
    pub(crate) power: crate::quantity::Power,
}

/// How the battery went through the haul.
pub(crate) struct Spent {
    pub(crate) totals: HaulTotals,
    /// State of charge at each position, as far as the haul got.
    pub(crate) charge: Vec<Ratio>,
}

fn at(key: impl Into<String>) -> impl FnOnce(error::InputError) -> SiteError {
    let key = key.into();
    move |why| SiteError::at(key, why)
}

/// Why the winch can't haul, in the units of a crew.
fn told(why: &WinchError) -> String {
    let both = |n| text::both(newtons(n));
    match *why {
        WinchError::BeyondStall { pull, stall } => format!(
            "a pull of {} stops the winch, which stalls at {}: take fewer layers of rope, a tackle, or another winch",
            both(pull),
            both(stall)
        ),
        WinchError::BeyondTable { pull, greatest } => format!(
            "a pull of {} is outside the winch's table, which ends at {}: take a tackle, or another winch",
            both(pull),
            both(greatest)
        ),
        WinchError::TooFewPoints { given, .. } => {
            format!("holds {given} points, but must hold at least 2, under different pulls")
        }
        _ => why.to_string(),
    }
}

/// A value given, or a default that is listed.
fn or<T>(
    given: Option<T>,
    assumptions: &mut Vec<Assumption>,
    key: String,
    default: T,
    text: String,
    mark: Mark,
) -> T {
    given.unwrap_or_else(|| {
        assumptions.push(Assumption { key, text, mark });
        default
    })
}

impl Drive {
    pub(crate) fn new(site: &Site, assumptions: &mut Vec<Assumption>) -> Result<Self, SiteError> {
        let (key, battery, rated_pull) = match &site.winch {
            site::SiteWinch::Motor(motor) => ("winch.motor", &motor.battery, motor.rated_pull),
            site::SiteWinch::Table(table) => ("winch.table", &table.battery, table.rated_pull),
        };
        error::positive("", rated_pull).map_err(at(format!("{key}.rated_pull")))?;
        let supply = Supply::new(battery.voltage, battery.resistance, battery.leads).map_err(|why| {
            let field = match why.field {
                "open_circuit_voltage" => "voltage",
                "battery_resistance" => "resistance",
                _ => "leads",
            };
            SiteError::at(format!("{key}.battery.{field}"), why)
        })?;
        let machine = machine(site, supply, assumptions)?;

        let exponent = or(
            battery.peukert,
            assumptions,
            format!("{key}.battery.peukert"),
            1.2,
            "Peukert's exponent of the battery: 1.2 (lead-acid 1.1 to 1.4)".to_string(),
            Mark::Memory,
        );
        error::within("peukert_exponent", exponent, 1.0, 2.0)
            .map_err(at(format!("{key}.battery.peukert")))?;
        let rated_over = or(
            battery.rated_over,
            assumptions,
            format!("{key}.battery.rated_over"),
            Time::new::<hour>(20.0),
            "the battery's charge is rated over 20 h".to_string(),
            Mark::CommonPractice,
        );
        error::within("", rated_over, 60.0, 3.6e6).map_err(at(format!("{key}.battery.rated_over")))?;
        error::check("", battery.charge, Allowed::Above(0.0)).map_err(at(format!("{key}.battery.charge")))?;
        let air = or(
            battery.temperature,
            assumptions,
            format!("{key}.battery.temperature"),
            ThermodynamicTemperature::new::<degree_celsius>(20.0),
            "the battery is at 20 °C; in the cold it gives less, as lead-acid ones do".to_string(),
            Mark::Memory,
        );
        error::within("", air, 223.15, 343.15).map_err(at(format!("{key}.battery.temperature")))?;
        let peukert = Peukert::new(battery.charge, rated_over, Ratio::new::<ratio>(exponent))
            .map_err(at(format!("{key}.battery.peukert")))?;
        Ok(Self {
            machine,
            supply,
            leads: battery.leads,
            open_circuit: [(Ratio::new::<ratio>(1.0), battery.voltage)],
            internal: battery.resistance,
            peukert,
            air,
            key,
            rated_pull,
        })
    }

    fn fail(&self, place: &str, why: &dyn core::fmt::Display) -> SiteError {
        SiteError::new(self.key, format!("{place}: {why}"))
    }

    /// The winch if the load jams while it hauls this pull: its speed, and the greatest pull, none of its losses counted.
    /// Of one known by its table, the end of that, or its rated pull if that is more: it may pull harder.
    pub(crate) fn jammed(&self, pull: Force) -> Option<WinchPull> {
        match &self.machine {
            Machine::Motor(winch) => {
                // dF/dt = k·v, for k = 1 N/m
                let jam = winch.jam(n_per_m(1.0), pull).ok()?;
                Some(WinchPull { speed: metres_per_second(jam.rate.value), greatest: jam.greatest })
            }
            Machine::Table(table) => {
                let speed = self.machine.hauling(pull).ok()?.line_speed?;
                Some(WinchPull { speed, greatest: table.greatest_pull().max(self.rated_pull) })
            }
        }
    }

    /// The winch while it hauls this pull, with the load at x.
    pub(crate) fn at(&self, pull: Force, x: Length) -> Result<Driven, SiteError> {
        let place = || format!("with the load at x = {:.1} m", x.value);
        let state = self.machine.hauling(pull).map_err(|why| self.fail(&place(), &told(&why)))?;
        // V = V_oc − I·(R_battery + R_leads)
        let voltage =
            self.supply.open_circuit() - state.current * (self.supply.battery_resistance() + self.leads);
        if voltage.value <= 0.0 {
            return Err(self.fail(
                &place(),
                &format_args!(
                    "battery and leads leave no voltage at {}: less resistance, or another battery",
                    text::si(state.current)
                ),
            ));
        }
        let line_speed = state.line_speed.ok_or_else(|| self.fail(&place(), &"no line speed is known"))?;
        Ok(Driven {
            current: state.current,
            voltage,
            line_speed,
            power: self.supply.open_circuit() * state.current,
        })
    }

    /// The haul through all positions, from a full battery.
    pub(crate) fn spent(
        &self,
        positions: &[Position],
        velocity_ratio: f64,
        throw: Option<Length>,
    ) -> Result<Spent, SiteError> {
        let fail = |why: &dyn core::fmt::Display| self.fail("over the haul", why);
        let battery = Battery::new(self.peukert, &self.open_circuit, self.internal)
            .and_then(|battery| battery.with_cold(&LEAD_ACID_COLD))
            .map_err(|why| fail(&why))?;
        let steps: Vec<HaulStep> = positions
            .windows(2)
            .filter_map(|pair| match pair {
                [a, b] => {
                    // The winch takes in what the haul rope gets shorter, not the carriage's path.
                    let distance = (velocity_ratio * (a.haul_length - b.haul_length)).max(Length::default());
                    Some(HaulStep::haul(0.5 * (a.winch_pull + b.winch_pull), Extent::Distance(distance)))
                }
                _ => None,
            })
            .collect();
        let cycle = HaulCycle::new(self.machine, battery, self.leads, self.air).map_err(|why| fail(&why))?;
        let full = Ratio::new::<percent>(100.0);
        let mut charge = alloc::vec![full];
        let outcome = cycle
            .run(&steps, |sample| {
                // A step is reported at its start, on its way and at its end: the last word is its end.
                charge.resize(sample.step + 2, full);
                if let Some(last) = charge.last_mut() {
                    *last = sample.charge;
                }
            })
            .map_err(|why| fail(&why))?;
        let hauled = match (positions.first(), positions.last()) {
            (Some(first), Some(last)) => first.haul_length - last.haul_length,
            _ => Length::default(),
        };
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a small whole number above zero"
        )]
        let settings = throw.map_or(1, |throw| math::ceil((hauled / throw).value - 1e-9).max(1.0) as u32);
        let mut totals = HaulTotals {
            time: outcome.time,
            energy: outcome.energy,
            charge_left: outcome.charge,
            stopped_at: None,
            stopped_by: String::new(),
            settings,
        };
        if let Some(stopped) = outcome.stopped {
            charge.truncate(stopped.step + 1);
            totals.stopped_at = Some(stopped.step);
            totals.stopped_by = match stopped.why {
                StopCause::BatteryFlat => "the battery is flat".to_string(),
                StopCause::VoltageTooLow => "the voltage is too low".to_string(),
                StopCause::TooHot => "the motor is too hot".to_string(),
                StopCause::CannotPull(why) => told(&why),
            };
        }
        Ok(Spent { totals, charge })
    }
}

fn machine(site: &Site, supply: Supply, assumptions: &mut Vec<Assumption>) -> Result<Machine, SiteError> {
    match &site.winch {
        site::SiteWinch::Motor(motor) => {
            let default = Ratio::new::<percent>(70.0);
            let efficiency = or(
                motor.gear_efficiency,
                assumptions,
                "winch.motor.gear_efficiency".to_string(),
                default,
                format!("efficiency of the winch's planetary gear: {} (60 to 85 %)", text::si(default)),
                Mark::Memory,
            );
            let key = |field: &str| {
                let key = match field {
                    "motor_constant" => "constant",
                    "winding_resistance" => "resistance",
                    "gear_ratio" => "gear",
                    field => field,
                };
                format!("winch.motor.{key}")
            };
            let windings = Motor::new(motor.constant, motor.no_load_current, motor.resistance)
                .map_err(|why| SiteError::at(key(why.field), why))?;
            let gear = Gear::new(Ratio::new::<ratio>(motor.gear), efficiency)
                .map_err(|why| SiteError::at(key(why.field), why))?;
            Ok(Winch::new(windings, gear, motor.radius, supply).map_err(at("winch.motor.radius"))?.into())
        }
        site::SiteWinch::Table(table) => {
            error::positive("", table.speed).map_err(at("winch.table.speed"))?;
            let rows: Vec<TableRow> = table
                .points
                .iter()
                .map(|point| TableRow {
                    pull: point.pull,
                    current: point.current,
                    line_speed: Some(table.speed),
                })
                .collect();
            let fit = TableWinch::fit(&rows).map_err(|why| match why {
                WinchError::RowOutOfOrder { row, pull, current, pull_before, current_before } => SiteError::new(
                    format!("winch.table.points[{}]", row - 1),
                    format!(
                        "has {} at {}, after {} at {}: give the points by growing pull, with a current that doesn't fall as the pull grows",
                        text::both(newtons(pull)),
                        text::si(ElectricCurrent::new::<ampere>(current)),
                        text::both(newtons(pull_before)),
                        text::si(ElectricCurrent::new::<ampere>(current_before)),
                    ),
                ),
                why => SiteError::new("winch.table.points", told(&why)),
            })?;
            assumptions.push(Assumption {
                key: "winch.table.points".to_string(),
                text: format!(
                    "the winch's current: a straight line through the winch's table, worst off by {:.1} A",
                    fit.worst_residual().get::<ampere>()
                ),
                mark: Mark::Choice,
            });
            Ok(fit.into())
        }
    }
}
