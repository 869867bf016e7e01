//! A whole haul: pulls and rests one after the other, on one battery.

use super::heat::{self, Heat, Temperatures};
use super::{Battery, TableState, TableWinch, Winch, WinchError, si};
use crate::error::{self, Allowed, InputError, SolveReport};
use crate::math::roots;
use crate::quantity::{
    ElectricCurrent, ElectricPotential, ElectricalResistance, Energy, Force, Length, Ratio,
    ThermodynamicTemperature, Time, Velocity,
};
use crate::sheave::Motion;
use core::borrow::Borrow;

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
                Ok(TableState { pull, current: state.current, line_speed: Some(state.line_speed) })
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
    motion: Motion,
    pull: Force,
    extent: Extent,
    speed: Option<Velocity>,
    pull_ratio: Ratio,
}

impl HaulStep {
    /// Hauling against a pull, at full speed.
    #[must_use]
    pub const fn haul(pull: Force, extent: Extent) -> Self {
        Self { motion: Motion::Hauling, pull, extent, speed: None, pull_ratio: si(1.0) }
    }

    /// Lowering against a pull with the motor, at full speed.
    #[must_use]
    pub const fn lower(pull: Force, extent: Extent) -> Self {
        Self { motion: Motion::Lowering, ..Self::haul(pull, extent) }
    }

    /// Resting with the brake set.
    #[must_use]
    pub const fn rest(duration: Time) -> Self {
        Self { motion: Motion::AtRest, ..Self::haul(si(0.0), Extent::Duration(duration)) }
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
/// intervals of at most a second (longer only in hauls of more than a quarter of an hour, then a thousandth of what
/// is left). Halving the interval changes times by less than 1e-6 of themselves in the tests.
///
/// What flows back into the battery while the load drives counts for nothing. With the brake set the winch takes its
/// standby current. Nothing is allocated, and the number of intervals is bounded.
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
    machine: Machine,
    battery: Battery<'a>,
    leads: f64,
    air: f64,
    charge: f64,
    reserve: f64,
    lowest_voltage: f64,
    standby: f64,
    interval: f64,
    heat: Option<(Heat, f64)>,
    start: (f64, f64),
}

/// The haul at one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
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
pub struct HaulOutcome {
    /// Where and why it stopped; none if it finished.
    pub stopped: Option<Stopped>,
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
pub struct Stopped {
    /// In which step, counted from 0.
    pub step: usize,
    /// Rope moved in that step.
    pub distance: Length,
    /// Why.
    pub why: Stop,
}

/// What stops a haul.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Stop {
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

/// What changes while a haul goes on.
#[derive(Debug, Clone, Copy)]
struct State {
    time: f64,
    distance: f64,
    charge: f64,
    /// Winding and case, above the air.
    warm: [f64; 2],
    energy: f64,
    work: f64,
}

/// What the winch takes at one moment.
#[derive(Debug, Clone, Copy)]
struct Draw {
    /// V_oc.
    open: f64,
    battery: f64,
    motor: f64,
    terminals: f64,
    speed: Option<f64>,
    idle_w: f64,
    residual: f64,
}

/// Why no further, or an input that can't be used.
enum Halt {
    Stop(Stop),
    Input(WinchError),
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
        let air = error::within("air_temperature", air, 173.15, heat::HOTTEST_K)?;
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
        let winding = error::within("winding_temperature", warm.winding, 173.15, heat::HOTTEST_K)?;
        let case = error::within("case_temperature", warm.case, 173.15, heat::HOTTEST_K)?;
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

    /// Runs through the steps (a slice, an array, or an iterator that can be cloned), calling `each` at the start
    /// and end of every step and after every interval.
    ///
    /// # Errors
    /// [`WinchError::NoSpeedInTable`], [`WinchError::NoLoweringInTable`] and [`WinchError::NoWindingInTable`], where a
    /// table can't answer; an input error where a step's number can't be used. What stops the haul is no error but
    /// part of the outcome.
    pub fn run(
        &self,
        steps: impl IntoIterator<Item: Borrow<HaulStep>> + Clone,
        mut each: impl FnMut(&HaulSample),
    ) -> Result<HaulOutcome, WinchError> {
        for step in steps.clone() {
            self.check(step.borrow())?;
        }
        let (winding, case) = self.start;
        let mut state = State {
            time: 0.0,
            distance: 0.0,
            charge: self.charge,
            warm: [winding - self.air, case - self.air],
            energy: 0.0,
            work: 0.0,
        };
        let mut outcome = HaulOutcome {
            stopped: None,
            time: si(0.0),
            hauled: si(0.0),
            lowered: si(0.0),
            energy: si(0.0),
            work: si(0.0),
            charge: si(self.charge),
            largest_current: si(0.0),
            lowest_voltage: si(self.battery.volts(self.charge)),
            hottest_winding: si(winding),
            report: SolveReport::new(0, 0.0),
        };
        for (number, step) in steps.into_iter().enumerate() {
            let step = step.borrow();
            state.distance = 0.0;
            let stop = self.through(number, step, &mut state, &mut outcome, &mut each)?;
            match step.motion {
                Motion::Hauling => outcome.hauled += si(state.distance),
                Motion::Lowering => outcome.lowered += si(state.distance),
                Motion::AtRest => {}
            }
            if let Some(why) = stop {
                outcome.stopped = Some(Stopped { step: number, distance: si(state.distance), why });
                break;
            }
        }
        outcome.time = si(state.time);
        outcome.energy = si(state.energy);
        outcome.work = si(state.work);
        outcome.charge = si(state.charge);
        Ok(outcome)
    }

    fn check(&self, step: &HaulStep) -> Result<(), WinchError> {
        error::non_negative("pull", step.pull)?;
        error::within("pull_ratio", step.pull_ratio, 0.1, 10.0)?;
        match step.extent {
            Extent::Distance(length) => error::non_negative("distance", length)?,
            Extent::Duration(time) => error::non_negative("duration", time)?,
        };
        if let Some(speed) = step.speed {
            error::positive("line_speed", speed)?;
        }
        if let Machine::Table(table) = &self.machine {
            if matches!(self.heat, Some((Heat::TwoNode(_), _))) {
                return Err(WinchError::NoWindingInTable);
            }
            match (step.motion, step.extent) {
                (Motion::Lowering, _) => return Err(WinchError::NoLoweringInTable),
                (Motion::Hauling, Extent::Distance(_)) if step.speed.is_none() && !table.has_speeds() => {
                    return Err(WinchError::NoSpeedInTable);
                }
                _ => {}
            }
        }
        Ok(())
    }

    /// One step, to its end or to what stops it.
    fn through(
        &self,
        number: usize,
        step: &HaulStep,
        state: &mut State,
        outcome: &mut HaulOutcome,
        each: &mut impl FnMut(&HaulSample),
    ) -> Result<Option<Stop>, WinchError> {
        let began = state.time;
        let mut draw = match self.allowed(step, state) {
            Ok(draw) => draw,
            Err(Halt::Stop(why)) => return Ok(Some(why)),
            Err(Halt::Input(error)) => return Err(error),
        };
        loop {
            self.note(number, step, state, &draw, outcome, each);
            let left = match step.extent {
                Extent::Distance(length) => {
                    let left = length.value - state.distance;
                    left / draw.speed.unwrap_or(0.0).max(f64::MIN_POSITIVE)
                }
                Extent::Duration(time) => time.value - (state.time - began),
            };
            if left <= 0.0 || left.is_nan() {
                return Ok(None);
            }
            // A second at a time, or a thousandth of what is left; never more than 0.2 % of the battery.
            let drain = self.battery.drain_per_s(draw.battery, self.air);
            let mut h = self.interval.max(left / 1000.0).min(0.002 / drain.max(1e-12));
            if let Extent::Duration(_) = step.extent {
                h = h.min(left);
            }
            let (mut next, mut stop) = match self.advance(step, state, h) {
                Ok(next) => (next, None),
                Err(Halt::Input(error)) => return Err(error),
                Err(Halt::Stop(why)) => {
                    // What stops it lies within this interval: the longest one that goes, to the last bit.
                    let (mut good, mut bad) = (0.0, h);
                    let mut reached = (*state, draw);
                    let mut why = why;
                    for _ in 0..60 {
                        let middle = 0.5 * (good + bad);
                        match self.advance(step, state, middle) {
                            Ok(next) => (good, reached) = (middle, next),
                            Err(Halt::Stop(earlier)) => (bad, why) = (middle, earlier),
                            Err(Halt::Input(error)) => return Err(error),
                        }
                    }
                    h = good;
                    (reached, Some(why))
                }
            };
            if let Extent::Distance(length) = step.extent
                && next.0.distance >= length.value
            {
                let short = |t: f64| match self.advance(step, state, t) {
                    Ok((next, _)) => next.distance - length.value,
                    Err(_) => f64::NAN,
                };
                if let Some(root) = roots::bracketed(0.0, h, 0.0, short)
                    && let Ok(end) = self.advance(step, state, root.x)
                {
                    next = end;
                }
                // The root is the length to the last bits of its sums.
                next.0.distance = length.value;
                stop = None;
            }
            (*state, draw) = next;
            outcome.report.iterations = outcome.report.iterations.saturating_add(1);
            if let Some(why) = stop {
                self.note(number, step, state, &draw, outcome, each);
                return Ok(Some(why));
            }
        }
    }

    /// The state after an interval by the midpoint rule, and what the winch takes there.
    fn advance(&self, step: &HaulStep, from: &State, h: f64) -> Result<(State, Draw), Halt> {
        let first = self.draw(step, from)?;
        let middle = self.draw(step, &self.moved(step, from, &first, 0.5 * h))?;
        let to = self.moved(step, from, &middle, h);
        let draw = self.allowed(step, &to)?;
        Ok((to, draw))
    }

    fn moved(&self, step: &HaulStep, from: &State, draw: &Draw, h: f64) -> State {
        let distance = draw.speed.unwrap_or(0.0) * h;
        let hauls = step.motion == Motion::Hauling;
        State {
            time: from.time + h,
            distance: from.distance + distance,
            charge: from.charge - self.battery.drain_per_s(draw.battery, self.air) * h,
            warm: self.warmed(from.warm, draw, h),
            energy: from.energy + draw.open * draw.battery * h,
            work: from.work + if hauls { step.pull.value * distance } else { 0.0 },
        }
    }

    fn warmed(&self, warm: [f64; 2], draw: &Draw, h: f64) -> [f64; 2] {
        match self.heat {
            None => warm,
            Some((Heat::OneNode(node), _)) => {
                let rise = node.rise_k(warm[0], draw.motor, h);
                [rise, rise]
            }
            Some((Heat::TwoNode(nodes), _)) => {
                // A table has no winding, and was refused at the start.
                let r = match &self.machine {
                    Machine::Motor(winch) => winch.motor().r_ohm(),
                    Machine::Table(_) => f64::NAN,
                };
                nodes.path_si(warm, self.air, draw.motor * draw.motor * r, draw.idle_w).at_raw(h)
            }
        }
    }

    /// What the winch takes, if charge, voltage and heat allow it.
    fn allowed(&self, step: &HaulStep, state: &State) -> Result<Draw, Halt> {
        if state.charge < self.reserve || (state.charge <= self.reserve && step.motion != Motion::AtRest) {
            return Err(Halt::Stop(Stop::BatteryFlat));
        }
        if let Some((_, limit)) = self.heat
            && state.warm[0] + self.air > limit
            && step.motion != Motion::AtRest
        {
            return Err(Halt::Stop(Stop::TooHot));
        }
        let draw = self.draw(step, state)?;
        if draw.terminals < self.lowest_voltage {
            return Err(Halt::Stop(Stop::VoltageTooLow));
        }
        Ok(draw)
    }

    fn draw(&self, step: &HaulStep, state: &State) -> Result<Draw, Halt> {
        let input = |error: InputError| Halt::Input(error.into());
        let open = self.battery.volts(state.charge.clamp(0.0, 1.0));
        let r_battery = self.battery.ohms(self.air);
        let sag = |i: f64| open - i * (r_battery + self.leads);
        if step.motion == Motion::AtRest {
            let i = self.standby;
            return Ok(Draw {
                open,
                battery: i,
                motor: 0.0,
                terminals: sag(i),
                speed: Some(0.0),
                idle_w: 0.0,
                residual: 0.0,
            });
        }
        match &self.machine {
            Machine::Motor(winch) => {
                let supply = super::Supply::new(si(open), si(r_battery), si(self.leads)).map_err(input)?;
                let mut winch = winch.with_supply(supply);
                if self.heat.is_some() {
                    let winding = (state.warm[0] + self.air).clamp(173.15, heat::HOTTEST_K);
                    winch = winch.with_motor(winch.motor().warmed_to(si(winding)).map_err(input)?);
                }
                winch = winch.with_radius(winch.radius() / step.pull_ratio).map_err(input)?;
                let turning = match (step.motion, step.speed) {
                    (Motion::Lowering, None) => winch.lowering(step.pull),
                    (Motion::Lowering, Some(speed)) => winch.lowering_at(step.pull, speed),
                    (_, None) => winch.hauling(step.pull),
                    (_, Some(speed)) => winch.hauling_at(step.pull, speed),
                };
                let at_work = turning.map_err(|error| match error {
                    WinchError::Input(_) => Halt::Input(error),
                    // Too fast for this battery: it has sagged too far for the speed asked.
                    _ => Halt::Stop(Stop::CannotPull(error)),
                })?;
                Ok(Draw {
                    open,
                    battery: at_work.current.value,
                    motor: at_work.motor_current.value,
                    terminals: at_work.terminal_voltage.value,
                    speed: Some(at_work.line_speed.value),
                    idle_w: at_work.losses.idle.value,
                    residual: at_work.report.residual,
                })
            }
            Machine::Table(table) => {
                let layer = table.with_radius_ratio(step.pull_ratio.recip()).map_err(input)?;
                let at_work = layer.hauling(step.pull).map_err(|error| match error {
                    WinchError::Input(_) => Halt::Input(error),
                    _ => Halt::Stop(Stop::CannotPull(error)),
                })?;
                let speed = match (step.speed, at_work.line_speed) {
                    (Some(asked), Some(full)) if asked > full => {
                        let (speed, pull, greatest) = (asked.value, step.pull.value, full.value);
                        return Err(Halt::Stop(Stop::CannotPull(WinchError::TooFast {
                            speed,
                            pull,
                            greatest,
                        })));
                    }
                    (asked, full) => asked.or(full),
                };
                let i = at_work.current.value;
                Ok(Draw {
                    open,
                    battery: i,
                    motor: i,
                    terminals: sag(i),
                    speed: speed.map(|v| v.value),
                    idle_w: 0.0,
                    residual: 0.0,
                })
            }
        }
    }

    fn note(
        &self,
        number: usize,
        step: &HaulStep,
        state: &State,
        draw: &Draw,
        outcome: &mut HaulOutcome,
        each: &mut impl FnMut(&HaulSample),
    ) {
        let winding = state.warm[0] + self.air;
        outcome.largest_current = si(outcome.largest_current.value.max(draw.battery));
        outcome.lowest_voltage = si(outcome.lowest_voltage.value.min(draw.terminals));
        outcome.hottest_winding = si(outcome.hottest_winding.value.max(winding));
        outcome.report.residual = outcome.report.residual.max(draw.residual);
        each(&HaulSample {
            step: number,
            time: si(state.time),
            distance: si(state.distance),
            motion: step.motion,
            pull: step.pull,
            current: si(draw.battery),
            terminal_voltage: si(draw.terminals),
            line_speed: draw.speed.map(si),
            charge: si(state.charge),
            winding: si(winding),
            energy: si(state.energy),
        });
    }
}
