//! A whole haul: pulls and rests one after the other, on one battery.

use super::heat::{self, Heat, Temperatures};
use super::motor;
use super::{Battery, TableState, TableWinch, Winch, WinchError};
use crate::error::{self, Allowed, InputError, SolveReport};
use crate::motion::Motion;
use crate::quantity::{
    Band, ElectricCurrent, ElectricPotential, ElectricalResistance, Energy, Force, Length, Ratio,
    ThermodynamicTemperature, Time, Velocity, newtons, ratio,
};

/// A winch by its motor, or by its maker's table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Machine {
    /// Known by motor and gear.
    Motor(Winch),
    /// Known by its table of pull and current.
    Table(TableWinch),
}

impl From<Winch> for Machine {
    fn from(winch: Winch) -> Self {
        Self::Motor(winch)
    }
}

impl From<TableWinch> for Machine {
    fn from(table: TableWinch) -> Self {
        Self::Table(table)
    }
}

impl Machine {
    /// What both kinds tell of hauling a pull at full speed.
    ///
    /// # Errors
    /// Those of [`Winch::hauling`] or [`TableWinch::hauling`].
    pub fn hauling(&self, pull: Force) -> Result<TableState, WinchError> {
        match self {
            Self::Table(table) => table.hauling(pull),
            Self::Motor(winch) => {
                let state = winch.hauling(pull)?;
                let speed = state.line_speed;
                let (line_speed, line_speed_band) = (Some(speed), Some(Band::exact(speed)));
                Ok(TableState { pull, current: state.current, line_speed, line_speed_band })
            }
        }
    }
}

/// How far or how long a step goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Extent {
    /// Until so much rope has moved.
    Distance(Length),
    /// For so long.
    Duration(Time),
}

/// One step of a haul.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HaulStep {
    pub(super) motion: Motion,
    pub(super) pull: Force,
    pub(super) extent: Extent,
    pub(super) speed: Option<Velocity>,
    pub(super) pull_ratio: Ratio,
}

impl HaulStep {
    /// Hauling against a pull, at full speed.
    #[must_use]
    pub const fn haul(pull: Force, extent: Extent) -> Self {
        Self { motion: Motion::Hauling, pull, extent, speed: None, pull_ratio: ratio(1.0) }
    }

    /// Lowering against a pull with the motor, at full speed.
    #[must_use]
    pub const fn lower(pull: Force, extent: Extent) -> Self {
        Self { motion: Motion::Lowering, ..Self::haul(pull, extent) }
    }

    /// Resting with the brake set.
    #[must_use]
    pub const fn rest(duration: Time) -> Self {
        Self { motion: Motion::AtRest, ..Self::haul(newtons(0.0), Extent::Duration(duration)) }
    }

    /// At a speed that a controller holds.
    #[must_use]
    pub const fn at_speed(self, speed: Velocity) -> Self {
        Self { speed: Some(speed), ..self }
    }

    /// From a layer of the drum with this pull ratio, 1 on the layer for which the winch is described.
    #[must_use]
    pub const fn on_layer(self, pull_ratio: Ratio) -> Self {
        Self { pull_ratio, ..self }
    }
}

/// A haul on one battery, to be run through.
///
/// Between the steps' changes the current in the motor depends on the pull alone, so that charge and heat are
/// followed exactly; the speed, which falls as the battery empties and the winding warms, by the midpoint rule in
/// intervals of at most a second (longer only in steps of more than a quarter of an hour, then a thousandth of the
/// step). Halving the interval changes times by less than 1e-6 of themselves in the tests.
///
/// What flows back into the battery while the load drives counts for nothing. With the brake set the winch takes its
/// standby current. Nothing is allocated. A step takes some 1500 intervals at most, unless its line slows down to a
/// fraction of its speed, and never more than 10 000.
///
/// **Caution.** A winch built for pulling may be barred by its own standard from lifting people: ask its maker. Keep
/// a way to finish the haul by hand, whatever this says.
///
/// ```
/// use rope_mechanics::quantity::unit::*;
/// use rope_mechanics::quantity::*;
/// use rope_mechanics::text::Text;
/// use rope_mechanics::winch::*;
///
/// let motor = Motor::new(
///     MotorConstant::from_text("0.055 N·m/A")?,
///     ElectricCurrent::from_text("6 A")?,
///     ElectricalResistance::from_text("20 mohm")?,
/// )?;
/// let gear = Gear::new(Ratio::from_text("18000 %")?, Ratio::from_text("72 %")?)?;
/// let (charge, rated) = (ElectricCharge::from_text("60 Ah")?, Time::from_text("20 h")?);
/// let peukert = Peukert::new(charge, rated, Ratio::from_text("120 %")?)?;
/// let internal = ElectricalResistance::from_text("4 mohm")?;
/// let battery = Battery::new(peukert, &LEAD_ACID_OPEN_CIRCUIT, internal)?.bank(2, 1)?;
/// let leads = ElectricalResistance::from_text("3 mohm")?;
/// let full = Ratio::from_text("100 %")?;
/// let air = ThermodynamicTemperature::from_text("15 °C")?;
/// let winch = Winch::new(motor, gear, Length::from_text("36 mm")?, battery.supply(full, air, leads)?)?;
///
/// let up = HaulStep::haul(Force::from_text("2 kN")?, Extent::Distance(Length::from_text("60 m")?));
/// let outcome = HaulCycle::new(winch, battery, leads, air)?.run([up], |_| {})?;
/// assert!(outcome.stopped.is_none());
/// assert!((outcome.time.get::<minute>() - 11.2).abs() < 0.3);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HaulCycle<'a> {
    pub(super) machine: Machine,
    pub(super) battery: Battery<'a>,
    pub(super) leads: f64,
    pub(super) air: f64,
    pub(super) charge: f64,
    pub(super) reserve: f64,
    pub(super) lowest_voltage: f64,
    pub(super) standby: f64,
    pub(super) interval: f64,
    pub(super) heat: Option<(Heat, f64)>,
    pub(super) start: (f64, f64),
}

/// The haul at one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct HaulSample {
    /// Which step, counted from 0.
    pub step: usize,
    /// Since the start.
    pub time: Time,
    /// Rope moved in this step.
    pub distance: Length,
    /// What the rope does.
    pub motion: Motion,
    /// On the rope.
    pub pull: Force,
    /// From the battery.
    pub current: ElectricCurrent,
    /// At the end of the leads.
    pub terminal_voltage: ElectricPotential,
    /// Of the rope; none where a table gives none.
    pub line_speed: Option<Velocity>,
    /// State of charge.
    pub charge: Ratio,
    /// Of the winding; that of the air where no heat is followed.
    pub winding: ThermodynamicTemperature,
    /// What the battery has given up so far: ∫V_oc·I dt.
    pub energy: Energy,
}

/// How a haul went.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct HaulOutcome {
    /// Where and why it stopped; none if it finished.
    pub stopped: Option<HaulStopped>,
    /// How long it took, or until it stopped.
    pub time: Time,
    /// Rope hauled in, all steps.
    pub hauled: Length,
    /// Rope lowered out, all steps.
    pub lowered: Length,
    /// What the battery gave up: ∫V_oc·I dt, net of what flowed back.
    pub energy: Energy,
    /// What the rope took up hauling: Σ F·v·t.
    pub work: Energy,
    /// State of charge at the end.
    pub charge: Ratio,
    /// The largest current from the battery.
    pub largest_current: ElectricCurrent,
    /// The lowest voltage at the end of the leads.
    pub lowest_voltage: ElectricPotential,
    /// The hottest that the winding was.
    pub hottest_winding: ThermodynamicTemperature,
    /// Intervals taken, and the largest closing error of the power balance in any of them.
    pub report: SolveReport,
}

/// Where and why a haul stopped.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct HaulStopped {
    /// In which step, counted from 0.
    pub step: usize,
    /// Rope moved in that step.
    pub distance: Length,
    /// Why.
    pub why: StopCause,
}

/// What stops a haul.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum StopCause {
    /// The battery is down to its reserve.
    BatteryFlat,
    /// The voltage at the end of the leads is below what the controller needs.
    VoltageTooLow,
    /// The winding has reached its limit.
    TooHot,
    /// The winch can't move this pull, or not at the speed asked: beyond its stall, a limit, a slipping grab, the
    /// table, what the battery still gives.
    CannotPull(WinchError),
}

impl<'a> HaulCycle<'a> {
    /// A haul from a full battery, everything at the temperature of the air.
    ///
    /// # Errors
    /// Unless the leads' resistance is at least zero and the air from −100 to 300 °C.
    pub fn new(
        machine: impl Into<Machine>,
        battery: Battery<'a>,
        leads: ElectricalResistance,
        air: ThermodynamicTemperature,
    ) -> Result<Self, InputError> {
        let air = motor::temperature("air_temperature", air)?;
        Ok(Self {
            machine: machine.into(),
            battery,
            leads: error::non_negative("lead_resistance", leads)?,
            air,
            charge: 1.0,
            reserve: 0.0,
            lowest_voltage: 0.0,
            standby: 0.0,
            interval: 1.0,
            heat: None,
            start: (air, air),
        })
    }

    /// From a state of charge, down to a reserve that must be left.
    ///
    /// # Errors
    /// Unless 0 ≤ reserve ≤ charge ≤ 1.
    pub fn with_charge(self, charge: Ratio, reserve: Ratio) -> Result<Self, InputError> {
        let charge = error::within("state_of_charge", charge, 0.0, 1.0)?;
        Ok(Self { charge, reserve: error::within("reserve", reserve, 0.0, charge)?, ..self })
    }

    /// With a lowest voltage at the end of the leads, below which controller or contactor drop out.
    ///
    /// # Errors
    /// Unless it is at least zero.
    pub fn with_lowest_voltage(self, voltage: ElectricPotential) -> Result<Self, InputError> {
        Ok(Self { lowest_voltage: error::non_negative("lowest_voltage", voltage)?, ..self })
    }

    /// With the motor's heat followed, up to a limit of its winding.
    ///
    /// # Errors
    /// Unless the limit is above the air's temperature and at most 300 °C.
    pub fn with_heat(
        self,
        heat: impl Into<Heat>,
        limit: ThermodynamicTemperature,
    ) -> Result<Self, InputError> {
        let limit = heat::winding_limit(limit)?;
        if limit <= self.air {
            return Err(InputError::new("winding_limit", limit, "K", Allowed::Above(self.air)));
        }
        Ok(Self { heat: Some((heat.into(), limit)), ..self })
    }

    /// With a motor that is warm already; as one lump, only its winding counts.
    ///
    /// # Errors
    /// Unless both temperatures are from −100 to 300 °C.
    pub fn with_warm_motor(self, warm: Temperatures) -> Result<Self, InputError> {
        let winding = motor::temperature("winding_temperature", warm.winding)?;
        let case = motor::temperature("case_temperature", warm.case)?;
        Ok(Self { start: (winding, case), ..self })
    }

    /// With a current that flows while the winch rests.
    ///
    /// # Errors
    /// Unless it is at least zero.
    pub fn with_standby(self, current: ElectricCurrent) -> Result<Self, InputError> {
        Ok(Self { standby: error::non_negative("standby_current", current)?, ..self })
    }

    /// With another interval than a second.
    ///
    /// # Errors
    /// Unless it is from a hundredth of a second to a minute.
    pub fn with_interval(self, interval: Time) -> Result<Self, InputError> {
        Ok(Self { interval: error::within("interval", interval, 0.01, 60.0)?, ..self })
    }
}
