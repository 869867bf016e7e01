//! What the haul winch draws.

use super::plan::{Plan, SiteError};
use super::rig::tackle_parts;
use super::site::{self, Site, TackleKind};
use super::study::Assumption;
use crate::error::{self, Allowed};
use crate::quantity::unit::{hour, percent, ratio};
use crate::quantity::{
    ElectricCharge, ElectricCurrent, ElectricPotential, Force, Length, Ratio, Time, Velocity,
};
use crate::sheave::Turn;
use crate::strength::Mark;
use crate::tackle::{Layout, Ready, Usual};
use crate::text;
use crate::winch::{Gear, Motor, Supply, TableRow, TableWinch, Winch};
use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec::Vec;

/// The winch and the tackle before it.
#[derive(Debug, Clone)]
pub(crate) struct Power {
    drive: Drive,
    supply: Supply,
    /// Load's pull by winch pull, hauling with losses.
    advantage: f64,
    /// Winch line by load line.
    velocity_ratio: f64,
    pub(crate) rated_pull: Force,
    pub(crate) battery: site::Battery,
    pub(crate) peukert: f64,
    pub(crate) rated_over: Time,
}

#[derive(Debug, Clone)]
enum Drive {
    Motor(Winch),
    Table(TableWinch, Velocity),
}

/// The winch at one pull.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Driven {
    pub(crate) winch_pull: Force,
    pub(crate) current: ElectricCurrent,
    pub(crate) voltage: ElectricPotential,
    pub(crate) load_speed: Velocity,
    pub(crate) power: crate::quantity::Power,
}

fn at(key: impl Into<String>) -> impl FnOnce(error::InputError) -> SiteError {
    let key = key.into();
    move |why| SiteError::at(key, why)
}

impl Power {
    pub(crate) fn new(
        site: &Site,
        plan: &Plan,
        assumptions: &mut Vec<Assumption>,
    ) -> Result<Self, SiteError> {
        let (key, battery, rated_pull) = match &site.winch {
            site::Winch::Motor(motor) => ("winch.motor", &motor.battery, motor.rated_pull),
            site::Winch::Table(table) => ("winch.table", &table.battery, table.rated_pull),
        };
        error::positive("", rated_pull).map_err(at(format!("{key}.rated_pull")))?;
        error::check("", battery.charge, Allowed::Above(0.0)).map_err(at(format!("{key}.battery.charge")))?;
        let supply = Supply::new(battery.voltage, battery.resistance, battery.leads).map_err(|why| {
            let field = match why.field {
                "open_circuit_voltage" => "voltage",
                "battery_resistance" => "resistance",
                _ => "leads",
            };
            SiteError::at(format!("{key}.battery.{field}"), why)
        })?;
        let drive = match &site.winch {
            site::Winch::Motor(motor) => {
                let efficiency = motor.gear_efficiency.unwrap_or_else(|| {
                    let default = Ratio::new::<percent>(70.0);
                    assumptions.push(Assumption {
                        key: "winch.motor.gear_efficiency".to_string(),
                        text: format!(
                            "efficiency of the winch's planetary gear: {} (60 to 85 %)",
                            text::si(default)
                        ),
                        mark: Mark::Memory,
                    });
                    default
                });
                let windings = Motor::new(motor.constant, motor.no_load_current, motor.resistance)
                    .map_err(|why| SiteError::at(format!("winch.motor ({})", why.field), why))?;
                let gear = Gear::new(Ratio::new::<ratio>(motor.gear), efficiency)
                    .map_err(|why| SiteError::at(format!("winch.motor ({})", why.field), why))?;
                let winch =
                    Winch::new(windings, gear, motor.radius, supply).map_err(at("winch.motor.radius"))?;
                Drive::Motor(winch)
            }
            site::Winch::Table(table) => {
                let rows: Vec<TableRow> = table
                    .points
                    .iter()
                    .map(|point| TableRow { pull: point.pull, current: point.current, line_speed: None })
                    .collect();
                let fit = TableWinch::fit(&rows)
                    .map_err(|why| SiteError::new("winch.table.points", why.to_string()))?;
                error::positive("", table.speed).map_err(at("winch.table.speed"))?;
                Drive::Table(fit, table.speed)
            }
        };
        let peukert = battery.peukert.unwrap_or_else(|| {
            assumptions.push(Assumption {
                key: format!("{key}.battery.peukert"),
                text: "Peukert's exponent of the battery: 1.2".to_string(),
                mark: Mark::Memory,
            });
            1.2
        });
        if !(1.0..=2.0).contains(&peukert) {
            return Err(SiteError::new(
                format!("{key}.battery.peukert"),
                format!("is {peukert}, but must be from 1 to 2"),
            ));
        }
        let rated_over = battery.rated_over.unwrap_or_else(|| {
            let default = Time::new::<hour>(20.0);
            assumptions.push(Assumption {
                key: format!("{key}.battery.rated_over"),
                text: "the battery's charge is rated over 20 h".to_string(),
                mark: Mark::CommonPractice,
            });
            default
        });
        error::within("", rated_over, 60.0, 3.6e6).map_err(at(format!("{key}.battery.rated_over")))?;

        let (advantage, velocity_ratio) = tackle(site.haul.tackle, plan.tackle_efficiency)?;
        Ok(Self {
            drive,
            supply,
            advantage,
            velocity_ratio,
            rated_pull,
            battery: battery.clone(),
            peukert,
            rated_over,
        })
    }

    /// The winch while the line before the tackle pulls this hard, hauling.
    pub(crate) fn at(&self, line: Force, place: &str) -> Result<Driven, SiteError> {
        let winch_pull = line / self.advantage;
        let fail = |key: &str, why: &dyn core::fmt::Display| SiteError::new(key, format!("{place}: {why}"));
        match &self.drive {
            Drive::Motor(winch) => {
                let state = winch.hauling(winch_pull).map_err(|why| fail("winch.motor", &why))?;
                Ok(Driven {
                    winch_pull,
                    current: state.current,
                    voltage: state.terminal_voltage,
                    load_speed: state.line_speed / self.velocity_ratio,
                    power: state.electrical_power,
                })
            }
            Drive::Table(table, speed) => {
                let state = table.hauling(winch_pull).map_err(|why| fail("winch.table.points", &why))?;
                let drop = state.current * (self.supply.battery_resistance() + self.supply.lead_resistance());
                if drop >= self.supply.open_circuit() {
                    return Err(fail(
                        "winch.table.battery.resistance",
                        &format!(
                            "battery and leads would drop {} V of {} V",
                            drop.value,
                            self.supply.open_circuit().value
                        ),
                    ));
                }
                Ok(Driven {
                    winch_pull,
                    current: state.current,
                    voltage: self.supply.open_circuit() - drop,
                    load_speed: *speed / self.velocity_ratio,
                    power: self.supply.open_circuit() * state.current,
                })
            }
        }
    }
}

impl Power {
    /// What the battery gives at this current.
    pub(crate) fn usable_charge(&self, current: ElectricCurrent) -> Result<ElectricCharge, SiteError> {
        // I·t with t = H·(C/(I·H))ⁿ, which is C·(I_H/I)ⁿ⁻¹ with I_H = C/H; never more than C
        let rated = self.battery.charge / self.rated_over;
        if current <= rated {
            return Ok(self.battery.charge);
        }
        Ok(self.battery.charge * crate::math::powf((rated / current).value, self.peukert - 1.0))
    }
}

/// (advantage hauling, velocity ratio) of the tackle, from the general solver.
fn tackle(kind: TackleKind, efficiency: Ratio) -> Result<(f64, f64), SiteError> {
    let ready = match kind {
        TackleKind::Straight => return Ok((1.0, 1.0)),
        TackleKind::TwoToOne => Ready::TwoToOne,
        TackleKind::ThreeToOne => Ready::ThreeToOne,
    };
    let key = "haul.tackle_efficiency";
    let pulley = Turn::sheave(efficiency).map_err(at(key))?;
    let ten = Length::new::<crate::quantity::unit::meter>(10.0);
    let layout = Layout::new(ten, Length::default()).map_err(at(key))?;
    let fail = |why: crate::tackle::TackleError| SiteError::new(key, why.to_string());
    let built = Usual::new(ready).build_alike(&layout, pulley).map_err(fail)?;
    let advantage = built.advantage().map_err(fail)?;
    debug_assert!((built.velocity_ratio().value - f64::from(tackle_parts(kind))).abs() < 1e-9);
    Ok((advantage.hauling.value, built.velocity_ratio().value))
}
