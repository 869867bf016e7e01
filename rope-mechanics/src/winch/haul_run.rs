//! One step of a haul after another: what the winch takes, what changes with time, and what stops it.

use super::WinchError;
use super::haul_cycle::{
    Extent, HaulCycle, HaulOutcome, HaulSample, HaulStep, HaulStopped, Machine, StopCause,
};
use super::heat::Heat;
use super::motor;
use crate::error::{self, InputError, SolveReport};
use crate::math::{self, roots};
use crate::motion::Motion;
use crate::quantity::{amperes, joules, kelvins, metres, metres_per_second, ohms, ratio, seconds, volts};
use core::borrow::Borrow;

/// The most intervals of one step. Rests and timed pulls take some 1500 at most, and a distance some 1000 more for
/// each time that the line slows down to a third: a line that all but stops before it is through.
const MOST_INTERVALS: u32 = 10_000;

/// What changes while a haul goes on.
#[derive(Debug, Clone, Copy)]
struct HaulState {
    /// When the step began.
    began: f64,
    /// Since then. The step's own clock: taken from the haul's, the time left might never round to zero.
    elapsed: f64,
    distance: f64,
    charge: f64,
    /// Winding and case, above the air.
    warm: [f64; 2],
    energy: f64,
    work: f64,
}

impl HaulState {
    fn time(&self) -> f64 {
        self.began + self.elapsed
    }
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
    StopCause(StopCause),
    Input(WinchError),
}

impl HaulCycle<'_> {
    /// Runs through the steps (a slice, an array, or an iterator that can be cloned), calling `each` at the start
    /// and end of every step and after every interval.
    ///
    /// # Errors
    /// [`WinchError::NoSpeedInTable`], [`WinchError::NoLoweringInTable`] and [`WinchError::NoWindingInTable`], where a
    /// table can't answer; [`WinchError::TooManyIntervals`] for a line that all but stops; an input error where
    /// a step's number can't be used. What stops the haul is no error but part of the outcome.
    pub fn run(
        &self,
        steps: impl IntoIterator<Item: Borrow<HaulStep>> + Clone,
        mut each: impl FnMut(&HaulSample),
    ) -> Result<HaulOutcome, WinchError> {
        for step in steps.clone() {
            self.check(step.borrow())?;
        }
        let (winding, case) = self.start;
        let mut state = HaulState {
            began: 0.0,
            elapsed: 0.0,
            distance: 0.0,
            charge: self.charge,
            warm: [winding - self.air, case - self.air],
            energy: 0.0,
            work: 0.0,
        };
        let mut outcome = HaulOutcome {
            stopped: None,
            time: seconds(0.0),
            hauled: metres(0.0),
            lowered: metres(0.0),
            energy: joules(0.0),
            work: joules(0.0),
            charge: ratio(self.charge),
            largest_current: amperes(0.0),
            lowest_voltage: volts(self.battery.volts(self.charge)),
            hottest_winding: kelvins(winding),
            report: SolveReport::new(0, 0.0),
        };
        for (number, step) in steps.into_iter().enumerate() {
            let step = step.borrow();
            state = HaulState { began: state.time(), elapsed: 0.0, distance: 0.0, ..state };
            let stop = self.through(number, step, &mut state, &mut outcome, &mut each)?;
            match step.motion {
                Motion::Hauling => outcome.hauled += metres(state.distance),
                Motion::Lowering => outcome.lowered += metres(state.distance),
                Motion::AtRest => {}
            }
            if let Some(why) = stop {
                outcome.stopped = Some(HaulStopped { step: number, distance: metres(state.distance), why });
                break;
            }
        }
        outcome.time = seconds(state.time());
        outcome.energy = joules(state.energy);
        outcome.work = joules(state.work);
        outcome.charge = ratio(state.charge);
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
        state: &mut HaulState,
        outcome: &mut HaulOutcome,
        each: &mut impl FnMut(&HaulSample),
    ) -> Result<Option<StopCause>, WinchError> {
        let mut draw = match self.allowed(step, state) {
            Ok(draw) => draw,
            Err(Halt::StopCause(why)) => return Ok(Some(why)),
            Err(Halt::Input(error)) => return Err(error),
        };
        // A second at a time, or a thousandth of the step, whichever is longer.
        let mut pace = self.interval;
        for _ in 0..MOST_INTERVALS {
            self.note(number, step, state, &draw, outcome, each);
            let left = match step.extent {
                Extent::Distance(length) => {
                    let left = length.value - state.distance;
                    left / draw.speed.unwrap_or(0.0).max(f64::MIN_POSITIVE)
                }
                Extent::Duration(time) => time.value - state.elapsed,
            };
            if left <= 0.0 {
                return Ok(None);
            }
            pace = pace.max(left / 1000.0);
            // Never more than 0.2 % of the battery.
            let drain = self.battery.drain_per_s(draw.battery, self.air);
            let mut h = pace.min(0.002 / drain);
            let ends = match step.extent {
                Extent::Duration(time) if h >= left => {
                    h = left;
                    Some(time.value)
                }
                _ => None,
            };
            let (mut next, mut stop) = match self.advance(step, state, &draw, h) {
                Ok(next) => (next, None),
                Err(Halt::Input(error)) => return Err(error),
                Err(Halt::StopCause(why)) => {
                    // What stops it lies within this interval: the longest one that goes, to the last bit.
                    let (mut good, mut bad) = (0.0, h);
                    let mut reached = (*state, draw);
                    let mut why = why;
                    for _ in 0..60 {
                        let middle = 0.5 * (good + bad);
                        match self.advance(step, state, &draw, middle) {
                            Ok(next) => (good, reached) = (middle, next),
                            Err(Halt::StopCause(earlier)) => (bad, why) = (middle, earlier),
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
                let short = |t: f64| match self.further(step, state, &draw, t) {
                    Ok(next) => next.distance - length.value,
                    Err(_) => f64::NAN,
                };
                if let Some(root) = roots::bracketed(0.0, h, 0.0, short)
                    && let Ok(end) = self.advance(step, state, &draw, root.x)
                {
                    next = end;
                }
                // The root is the length to the last bits of its sums.
                next.0.distance = length.value;
                stop = None;
            }
            if let (Some(time), None) = (ends, stop) {
                next.0.elapsed = time;
            }
            (*state, draw) = next;
            outcome.report.iterations = outcome.report.iterations.saturating_add(1);
            if let Some(why) = stop {
                self.note(number, step, state, &draw, outcome, each);
                return Ok(Some(why));
            }
        }
        Err(WinchError::TooManyIntervals { step: number, intervals: MOST_INTERVALS })
    }

    /// The state after an interval, from what the winch takes at its beginning, and what it takes at its end.
    fn advance(
        &self,
        step: &HaulStep,
        from: &HaulState,
        first: &Draw,
        h: f64,
    ) -> Result<(HaulState, Draw), Halt> {
        let to = self.further(step, from, first, h)?;
        let draw = self.allowed(step, &to)?;
        Ok((to, draw))
    }

    /// The same state by the midpoint rule, whether it is allowed or not.
    fn further(&self, step: &HaulStep, from: &HaulState, first: &Draw, h: f64) -> Result<HaulState, Halt> {
        let middle = self.draw(step, &self.moved(step, from, first, 0.5 * h))?;
        Ok(self.moved(step, from, &middle, h))
    }

    fn moved(&self, step: &HaulStep, from: &HaulState, draw: &Draw, h: f64) -> HaulState {
        let distance = draw.speed.unwrap_or(0.0) * h;
        let hauls = step.motion == Motion::Hauling;
        HaulState {
            began: from.began,
            elapsed: from.elapsed + h,
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
    fn allowed(&self, step: &HaulStep, state: &HaulState) -> Result<Draw, Halt> {
        if state.charge < self.reserve || (state.charge <= self.reserve && step.motion != Motion::AtRest) {
            return Err(Halt::StopCause(StopCause::BatteryFlat));
        }
        if let Some((_, limit)) = self.heat
            && state.warm[0] + self.air > limit
            && step.motion != Motion::AtRest
        {
            return Err(Halt::StopCause(StopCause::TooHot));
        }
        let draw = self.draw(step, state)?;
        if draw.terminals < self.lowest_voltage {
            return Err(Halt::StopCause(StopCause::VoltageTooLow));
        }
        Ok(draw)
    }

    fn draw(&self, step: &HaulStep, state: &HaulState) -> Result<Draw, Halt> {
        let input = |error: InputError| Halt::Input(error.into());
        let open = self.battery.volts(math::clamp(state.charge, 0.0, 1.0));
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
                let supply =
                    super::Supply::new(volts(open), ohms(r_battery), ohms(self.leads)).map_err(input)?;
                let mut winch = winch.with_supply(supply);
                if self.heat.is_some() {
                    let winding = math::clamp(state.warm[0] + self.air, motor::COLDEST_K, motor::HOTTEST_K);
                    winch = winch.with_motor(winch.motor().warmed_to(kelvins(winding)).map_err(input)?);
                }
                winch = winch.with_radius(winch.radius() / step.pull_ratio).map_err(input)?;
                let turning = match (step.motion, step.speed) {
                    (Motion::Lowering, None) => winch.lowering(step.pull),
                    (Motion::Lowering, Some(speed)) => winch.lowering_at(step.pull, speed),
                    (_, None) => winch.hauling(step.pull),
                    (_, Some(speed)) => winch.hauling_at(step.pull, speed),
                };
                let at_work = turning.map_err(|error| match error {
                    WinchError::Input(_) | WinchError::PowerUnsolved { .. } => Halt::Input(error),
                    // Too fast for this battery: it has sagged too far for the speed asked.
                    _ => Halt::StopCause(StopCause::CannotPull(error)),
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
                let layer = table.with_radius_ratio(table.radius_ratio() / step.pull_ratio).map_err(input)?;
                let at_work = layer.hauling(step.pull).map_err(|error| match error {
                    WinchError::Input(_) => Halt::Input(error),
                    _ => Halt::StopCause(StopCause::CannotPull(error)),
                })?;
                let speed = match (step.speed, at_work.line_speed) {
                    (Some(asked), Some(full)) if asked > full => {
                        let (speed, pull, greatest) = (asked.value, step.pull.value, full.value);
                        return Err(Halt::StopCause(StopCause::CannotPull(WinchError::TooFast {
                            speed,
                            pull,
                            greatest,
                        })));
                    }
                    (asked, full) => asked.or(full),
                };
                // A table that goes down to its stall: no length of rope ever comes.
                if speed.is_some_and(|v| v.value <= 0.0) {
                    let (pull, stall) = (step.pull.value, layer.stall_n());
                    return Err(Halt::StopCause(StopCause::CannotPull(WinchError::BeyondStall {
                        pull,
                        stall,
                    })));
                }
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
        state: &HaulState,
        draw: &Draw,
        outcome: &mut HaulOutcome,
        each: &mut impl FnMut(&HaulSample),
    ) {
        let winding = state.warm[0] + self.air;
        outcome.largest_current = amperes(outcome.largest_current.value.max(draw.battery));
        outcome.lowest_voltage = volts(outcome.lowest_voltage.value.min(draw.terminals));
        outcome.hottest_winding = kelvins(outcome.hottest_winding.value.max(winding));
        outcome.report.residual = outcome.report.residual.max(draw.residual);
        each(&HaulSample {
            step: number,
            time: seconds(state.time()),
            distance: metres(state.distance),
            motion: step.motion,
            pull: step.pull,
            current: amperes(draw.battery),
            terminal_voltage: volts(draw.terminals),
            line_speed: draw.speed.map(metres_per_second),
            charge: ratio(state.charge),
            winding: kelvins(winding),
            energy: joules(state.energy),
        });
    }
}
