//! What the haul winch draws, and what it leaves of its battery.

use super::failures::WinchPull;
use super::plan::SiteError;
use super::site::{self, Site};
use super::study::{Assumption, HaulTotals, Position};
use crate::error::{self, Allowed};
use crate::math::{self, roots};
use crate::quantity::Mark;
use crate::quantity::unit::{ampere, degree_celsius, hour, percent, ratio};
use crate::quantity::{
    ElectricCharge, ElectricCurrent, ElectricPotential, ElectricalResistance, Energy, Force, Length, Power,
    Ratio, ThermodynamicTemperature, Time, Velocity, amperes, coulombs, joules, kelvins_apart,
    metres_per_second, n_per_m, newtons, ratio as ratio_of, seconds,
};
use crate::text;
use crate::winch::{
    Battery, Extent, Gear, HaulCycle, HaulStep, LEAD_ACID_COLD, Machine, Motor, OneNode, Peukert, StopCause,
    Supply, TableRow, TableWinch, Winch, WinchError,
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
    pub(crate) power: Power,
}

/// How the battery went through the haul.
pub(crate) struct Spent {
    pub(crate) totals: HaulTotals,
    /// State of charge at each position, as far as the haul got.
    pub(crate) charge: Vec<Ratio>,
}

pub(crate) const FLAT: &str = "the battery is flat";

/// What the winch does next.
#[derive(Debug, Clone, Copy)]
pub(crate) enum WinchStep {
    /// Takes in so much rope against this pull.
    Haul { pull: Force, rope: Length },
    /// Lets out so much rope under this pull.
    Lower { pull: Force, rope: Length },
    /// Stands for so long with its brake set.
    Rest(Time),
}

impl WinchStep {
    /// The same with pulls so many times as hard.
    pub(crate) fn harder(self, times: f64) -> Self {
        match self {
            Self::Haul { pull, rope } => Self::Haul { pull: times * pull, rope },
            Self::Lower { pull, rope } => Self::Lower { pull: times * pull, rope },
            Self::Rest(time) => Self::Rest(time),
        }
    }
}

/// The winch through some steps.
#[derive(Debug, Clone)]
pub(crate) struct Through {
    /// The current and the time of each step, as far as it gets.
    pub(crate) draws: Vec<(ElectricCurrent, Time)>,
    pub(crate) time: Time,
    pub(crate) energy: Energy,
    /// State of charge at the end.
    pub(crate) charge: Ratio,
    /// What stops it; empty if nothing does.
    pub(crate) stopped_by: String,
}

fn at(key: impl Into<String>) -> impl FnOnce(error::InputError) -> SiteError {
    let key = key.into();
    move |why| SiteError::at(key, why)
}

/// Why the winch can't haul, in the units of a crew.
pub(crate) fn told(why: &WinchError) -> String {
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
        error::within("", rated_pull, 1.0, 1e6).map_err(at(format!("{key}.rated_pull")))?;
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
        let voltage = self.voltage_at(state.current);
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
        Ok(Driven { current: state.current, voltage, line_speed, power: self.power_at(state.current) })
    }

    /// The current of a pull; nothing where the winch can't haul it.
    pub(crate) fn current_of(&self, pull: Force) -> Option<ElectricCurrent> {
        self.machine.hauling(pull).ok().map(|state| state.current)
    }

    /// Voltage at the winch while it draws this current: V = V_oc − I·(R_battery + R_leads)
    pub(crate) fn voltage_at(&self, current: ElectricCurrent) -> ElectricPotential {
        self.supply.open_circuit() - current * (self.supply.battery_resistance() + self.leads)
    }

    /// What the battery gives meanwhile: P = V_oc·I
    pub(crate) fn power_at(&self, current: ElectricCurrent) -> Power {
        self.supply.open_circuit() * current
    }

    /// The share of the battery's charge that a current takes in a second.
    pub(crate) fn drain(&self, current: ElectricCurrent) -> Result<f64, SiteError> {
        Ok(self.battery(self.peukert)?.drain_per_s(current.value, self.air.value))
    }

    /// The share of the battery's charge that a step takes; nothing where the winch can't do it.
    pub(crate) fn taken_by(&self, step: &WinchStep) -> Option<f64> {
        let (current, time) = self.draw(step).ok()?;
        Some(self.drain(current).ok()? * time.value)
    }

    /// Whether it is known what the winch draws while it lowers: of a motor, not of a table.
    pub(crate) const fn lowers(&self) -> bool {
        matches!(self.machine, Machine::Motor(_))
    }

    /// What a step draws, and how long it takes.
    pub(crate) fn draw(&self, step: &WinchStep) -> Result<(ElectricCurrent, Time), WinchError> {
        let (current, speed, rope) = match (*step, &self.machine) {
            (WinchStep::Rest(time), _) => return Ok((amperes(0.0), time)),
            (WinchStep::Haul { pull, rope }, machine) => {
                let state = machine.hauling(pull)?;
                (state.current, state.line_speed.ok_or(WinchError::NoSpeedInTable)?, rope)
            }
            (WinchStep::Lower { pull, rope }, Machine::Motor(winch)) => {
                let state = winch.lowering(pull)?;
                (state.current, state.line_speed, rope)
            }
            (WinchStep::Lower { .. }, Machine::Table(_)) => return Err(WinchError::NoLoweringInTable),
        };
        Ok((current, rope / speed))
    }

    /// The motor as one lump that warms by 1 K at most when it bears what it may for ever.
    ///
    /// From cold it bears its rated pull for t: Iₙ = I·√(1 − e^(−t/τ))
    pub(crate) fn motor_by_short_time(&self, short_time: Time, time_constant: Time) -> Option<OneNode> {
        let current = self.current_of(self.rated_pull)?;
        let share = math::sqrt(-math::exp_m1(-short_time.value / time_constant.value));
        OneNode::new(share * current, kelvins_apart(1.0), time_constant).ok()
    }

    /// The winch through these steps, from a full battery.
    ///
    /// In closed form, since the battery's voltage is the same at any charge: E = Σ V_oc·Iₖ·tₖ, and the charge falls by
    /// drain(Iₖ)·tₖ. [`Drive::spent`] follows the same in time.
    pub(crate) fn through(&self, steps: impl IntoIterator<Item = WinchStep>) -> Result<Through, SiteError> {
        let battery = self.battery(self.peukert)?;
        let open = self.supply.open_circuit();
        let mut done = Through {
            draws: Vec::new(),
            time: seconds(0.0),
            energy: joules(0.0),
            charge: ratio_of(1.0),
            stopped_by: String::new(),
        };
        for step in steps {
            let (current, whole) = match self.draw(&step) {
                Ok(draw) => draw,
                Err(why) => {
                    done.stopped_by = told(&why);
                    return Ok(done);
                }
            };
            let used = battery.drain_per_s(current.value, self.air.value) * whole.value;
            let flat = used > done.charge.value;
            let share = if flat { done.charge.value / used } else { 1.0 };
            let time = share * whole;
            done.draws.push((current, time));
            done.time += time;
            done.energy += open * current * time;
            done.charge -= ratio_of(share * used);
            if flat {
                done.stopped_by = FLAT.to_string();
                return Ok(done);
            }
        }
        Ok(done)
    }

    fn battery(&self, peukert: Peukert) -> Result<Battery<'_>, SiteError> {
        Battery::new(peukert, &self.open_circuit, self.internal)
            .and_then(|battery| battery.with_cold(&LEAD_ACID_COLD))
            .map_err(|why| self.fail("over the haul", &why))
    }

    /// The battery's charge with which these currents leave this share of it: by its rated time.
    ///
    /// Σ drain(Iₖ; C)·tₖ = 1 − reserve, which falls as C grows.
    pub(crate) fn charge_needed(
        &self,
        pulls: &[(ElectricCurrent, Time)],
        reserve: Ratio,
    ) -> Result<ElectricCharge, SiteError> {
        let fail = |why: &dyn core::fmt::Display| self.fail("over the haul", why);
        let given = self.peukert.capacity().value;
        let over = |charge_as: f64| -> Result<f64, SiteError> {
            let peukert = self.peukert.with_capacity(coulombs(charge_as)).map_err(|why| fail(&why))?;
            let battery = self.battery(peukert)?;
            let used: f64 = pulls
                .iter()
                .map(|(current, time)| battery.drain_per_s(current.value, self.air.value) * time.value)
                .sum();
            Ok(used - (1.0 - reserve.value))
        };
        let (mut low, mut high) = (given, given);
        // What is drawn is drawn whatever the battery: a larger one always does.
        while over(high)? > 0.0 {
            high *= 2.0;
        }
        while low > 1e-9 * given && over(low)? <= 0.0 {
            low *= 0.5;
        }
        if low <= 1e-9 * given {
            return Ok(coulombs(0.0));
        }
        let root = roots::try_bracketed(low, high, 1e-9 * high, over)?;
        root.map(|root| coulombs(root.x)).ok_or_else(|| fail(&"no charge was found that is enough"))
    }

    /// The haul through all positions, from a full battery.
    pub(crate) fn spent(
        &self,
        positions: &[Position],
        velocity_ratio: f64,
        throw: Option<Length>,
    ) -> Result<Spent, SiteError> {
        let fail = |why: &dyn core::fmt::Display| self.fail("over the haul", why);
        let battery = self.battery(self.peukert)?;
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
        let mut totals = HaulTotals {
            time: outcome.time,
            energy: outcome.energy,
            charge_left: outcome.charge,
            stopped_at: None,
            stopped_by: String::new(),
            // A straight pull has nothing to set.
            settings: throw.filter(|_| velocity_ratio > 1.0).map_or(1, |throw| settings(hauled, throw)),
        };
        if let Some(stopped) = outcome.stopped {
            charge.truncate(stopped.step + 1);
            totals.stopped_at = Some(stopped.step);
            totals.stopped_by = match stopped.why {
                StopCause::BatteryFlat => FLAT.to_string(),
                StopCause::VoltageTooLow => "the voltage is too low".to_string(),
                StopCause::TooHot => "the motor is too hot".to_string(),
                StopCause::CannotPull(why) => told(&why),
            };
        }
        Ok(Spent { totals, charge })
    }
}

/// How often a tackle is set to haul so far: once more than it is reset.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a small whole number above zero")]
pub(crate) fn settings(hauled: Length, throw: Length) -> u32 {
    math::ceil((hauled / throw).value - 1e-9).max(1.0) as u32
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
            for (i, point) in table.points.iter().enumerate() {
                let key = format!("winch.table.points[{i}]");
                error::within("", point.pull, 0.0, 1e6).map_err(at(format!("{key}.pull")))?;
                error::within("", point.current, 0.0, 1e5).map_err(at(format!("{key}.current")))?;
            }
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
