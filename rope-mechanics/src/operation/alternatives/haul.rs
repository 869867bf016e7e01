//! Ways to haul: straight, by a tackle, and straight first with a tackle from a mark on.

use super::course::{Course, Following, Moment, RESUME};
use super::crew::Crew;
use crate::error::InputError;
use crate::motion::Motion;
use crate::operation::failures::AtMost;
use crate::operation::model::{Model, ModelError};
use crate::operation::plan::SiteError;
use crate::operation::power::{Drive, WinchStep, settings};
use crate::operation::state::{Situation, State, StateError};
use crate::operation::study::{At, Position};
use crate::operation::words;
use crate::quantity::{
    ElectricCharge, ElectricCurrent, Energy, Force, Length, Mass, Ratio, Time, kelvins_apart, metres,
    newtons, ratio, seconds,
};
use crate::tackle::UsualRatio;
use crate::winch::OneNode;
use alloc::string::{String, ToString};
use alloc::vec::Vec;
use serde::Serialize;

/// So much harder than expected the pulls may be: where nothing was measured on the real rope, allow 15 % either way.
pub(super) const MARGIN: f64 = 1.15;
/// Share of its charge that a battery is to keep.
pub(super) const RESERVE: f64 = 0.2;

/// The tackles that are set beside a straight pull.
const TACKLES: [UsualRatio; 3] = [UsualRatio::TwoToOne, UsualRatio::ThreeToOne, UsualRatio::FiveToOne];

/// The ways to haul, side by side.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct HaulWays {
    /// Straight, each tackle, and each tackle from the mark on where a straight pull is too much.
    pub ways: Vec<HaulWay>,
    /// When to change from a straight pull to a tackle. Absent where a straight pull stays inside the limits all the
    /// way, and where it passes one from the start.
    pub change: Option<Conversion>,
    /// The way down before: the litter without its patient, by the winch, straight.
    pub lowering: LoweringFirst,
    /// Battery and motor over time, through the way down and the haul by the way of the site file; its end is that way's
    /// [`Operation`]. Absent where that way isn't among these.
    pub as_planned: Option<Course>,
    /// Whether it is assumed what the motor bears: its rests aren't counted in any time then.
    pub motor_is_assumed: bool,
    /// Haul rope from the load at the start over the head to the winch, without a tackle.
    #[serde(rename = "haul_rope_m")]
    pub haul_rope: Length,
    /// How far one setting of a tackle hauls the load.
    #[serde(rename = "throw_m")]
    pub throw: Length,
    /// Steady pull of one person that is counted with, and the least of it.
    #[serde(rename = "one_person_pulls_n")]
    pub one_person_pulls: Force,
    /// The least that is counted with for a bound.
    #[serde(rename = "one_person_pulls_at_least_n")]
    pub one_person_pulls_at_least: Force,
}

/// One way to haul, from a full battery and a cold motor.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct HaulWay {
    /// In words: "straight", "3:1", "straight, then 3:1".
    pub name: String,
    /// The tackle.
    pub tackle: UsualRatio,
    /// Whether the haul is straight up to the mark.
    pub straight_first: bool,
    /// Whether it is the way that the site file asks for.
    pub is_the_sites: bool,
    /// Greatest pull at the winch.
    #[serde(rename = "greatest_pull_n")]
    pub greatest_pull: At<Force>,
    /// Greatest current. Absent where the winch can't haul that pull.
    #[serde(rename = "greatest_current_a")]
    pub greatest_current: Option<ElectricCurrent>,
    /// First position at which the pull is more than the winch is rated for.
    pub over_rated_at: Option<usize>,
    /// First position at which the current is above its limit.
    pub over_current_at: Option<usize>,
    /// Highest tension in the haul rope and its tackle.
    #[serde(rename = "greatest_rope_tension_n")]
    pub greatest_rope_tension: Force,
    /// Greatest force on the anchor of the tackle; zero without one.
    #[serde(rename = "tackle_anchor_n")]
    pub tackle_anchor: Force,
    /// How often the tackle is reset.
    pub resets: u32,
    /// Rope in the parts of the tackle, spread out by its throw; without knots and the lead to the winch.
    #[serde(rename = "tackle_rope_m")]
    pub tackle_rope: Length,
    /// The winch running.
    #[serde(rename = "running_s")]
    pub running: Time,
    /// Resets, and the conversion where there is one.
    #[serde(rename = "changes_s")]
    pub changes: Time,
    /// From the battery.
    #[serde(rename = "energy_j")]
    pub energy: Energy,
    /// State of charge at the end.
    #[serde(rename = "charge_left_fraction")]
    pub charge_left: Ratio,
    /// What stops it; empty if nothing does.
    pub stopped_by: String,
    /// How warm the motor gets after the way down and this haul, as a share of the rise that it bears: above 1 it burns.
    /// At its limit it rests. Absent where it isn't known what it bears.
    pub heat: Option<AtMost<MotorHeat>>,
    /// How many people pull as hard as the winch at the most, if it fails.
    pub people_by_hand: AtMost<u32>,
    /// The way down and this haul together.
    pub operation: Operation,
}

/// How warm the motor of a winch gets.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct MotorHeat {
    /// If it never rests: hottest, as a share of the rise that it bears. More than 1 is too much.
    #[serde(rename = "without_rests_fraction")]
    pub without_rests: Ratio,
    /// How often it has to rest.
    pub rests: u32,
    /// All these rests together.
    #[serde(rename = "resting_s")]
    pub resting: Time,
    /// Whether it gets through so.
    pub gets_through: bool,
}

/// When to change from a straight pull to a tackle.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Conversion {
    /// The last position at which a straight pull is inside the limits.
    pub position: usize,
    /// The mark: haul rope taken in since the start.
    #[serde(rename = "rope_in_m")]
    pub rope_in: Length,
    /// Which limit a straight pull would pass next.
    pub by: ChangeBy,
    /// What the grab on the haul rope holds while the tackle is made, where the winch was: whatever friction at the head
    /// and the redirects may leave. The belay holds nothing as long as the grab doesn't slip.
    #[serde(rename = "held_n")]
    pub held: HeldMeanwhile,
    /// What to do, in a sentence.
    pub text: String,
}

/// A band of forces as numbers.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct HeldMeanwhile {
    /// At least.
    pub low: Force,
    /// Without friction.
    pub expected: Force,
    /// At most.
    pub high: Force,
}

/// The limit that a straight pull would pass.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum ChangeBy {
    /// The pull that the winch is rated for.
    WinchPull,
    /// The current that the site file limits.
    WinchCurrent,
}

/// The way down of the litter without its patient.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct LoweringFirst {
    /// Greatest tension that the winch or a hand holds back at the winch.
    #[serde(rename = "greatest_hold_n")]
    pub greatest_hold: Force,
    /// The nearest to the far anchor of the positions from which it doesn't run down by itself: there somebody has to
    /// pull it down.
    pub does_not_run_at: Option<usize>,
    /// How long the winch takes for it. Absent where it isn't known: by its table, or where it can't let out under this
    /// pull.
    #[serde(rename = "running_s")]
    pub running: Option<Time>,
    /// From the battery: below zero where the load drives the winch, which isn't counted on.
    #[serde(rename = "energy_j")]
    pub energy: Option<Energy>,
    /// Why the winch can't do it; empty if it can.
    pub problem: String,
}

/// The way down and a haul, on one battery: at the end, or where the battery is flat, the winch stalls or the motor does
/// little but cool.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Operation {
    /// With resets, conversion and, where the site file says what the motor bears, its rests.
    #[serde(rename = "time_s")]
    pub time: Time,
    /// From the battery.
    #[serde(rename = "energy_j")]
    pub energy: Energy,
    /// State of charge at the end.
    #[serde(rename = "charge_left_fraction")]
    pub charge_left: Ratio,
    /// The same if all pulls are 15 % harder than expected. Absent where it doesn't get through then.
    #[serde(rename = "charge_left_with_margin_fraction")]
    pub charge_left_with_margin: Option<Ratio>,
    /// Pull that the winch must be rated for, with 15 % of margin.
    #[serde(rename = "winch_pull_needed_n")]
    pub winch_pull_needed: Force,
    /// Charge of the battery over its rated time that leaves a fifth of it, with all pulls 15 % harder. Absent where the
    /// winch can't haul that.
    #[serde(rename = "battery_needed_c")]
    pub battery_needed: Option<ElectricCharge>,
}

/// What the ways to haul are computed from.
pub(super) struct Hauling<'a, 'g> {
    pub(super) model: &'a Model<'g>,
    pub(super) drive: &'a Drive,
    pub(super) crew: &'a Crew,
    pub(super) positions: &'a [Position],
    pub(super) states: &'a [State<'a, 'g>],
    pub(super) current_limit: Option<ElectricCurrent>,
    pub(super) patient: Mass,
}

/// What the winch does next, and the haul rope that comes in at the carriage meanwhile: below zero for what goes out.
pub(super) type Step = (WinchStep, Length);

/// What a tackle makes of the haul rope's pull at each position.
struct Tackled {
    ratio: UsualRatio,
    velocity_ratio: f64,
    pulls: Vec<Force>,
    highest: Vec<Force>,
    anchor: Vec<Force>,
}

fn no_model(why: ModelError) -> SiteError {
    SiteError::new("haul.tackle", why.to_string())
}

impl<'a> Hauling<'a, '_> {
    pub(super) fn ways(&self) -> Result<HaulWays, SiteError> {
        let straight = self.tackled(UsualRatio::OneToOne)?;
        let change = self.change(&straight)?;
        let (down, lowering) = self.lowering()?;
        let down = if lowering.problem.is_empty() && self.drive.lowers() { down } else { Vec::new() };
        let tackles = TACKLES.into_iter().map(|ratio| self.tackled(ratio)).collect::<Result<Vec<_>, _>>()?;
        let mut found = alloc::vec![self.way(&straight, None, &down)?];
        for tackle in &tackles {
            found.push(self.way(tackle, None, &down)?);
        }
        if let Some(change) = &change {
            for tackle in &tackles {
                found.push(self.way(tackle, Some((&straight, change.position)), &down)?);
            }
        }
        let planned = found.iter().find(|(way, _)| way.is_the_sites).map(|(_, course)| course.clone());
        Ok(HaulWays {
            ways: found.into_iter().map(|(way, _)| way).collect(),
            as_planned: planned,
            change,
            lowering,
            motor_is_assumed: !self.crew.motor_is_given,
            haul_rope: self.haul_rope(),
            throw: self.crew.throw,
            one_person_pulls: self.crew.pull,
            one_person_pulls_at_least: self.crew.pull_least,
        })
    }

    fn haul_rope(&self) -> Length {
        let out = self.positions.first().map_or_else(Length::default, |p| p.haul_length);
        out + self.model.haul_way_behind_head()
    }

    fn tackled(&self, ratio: UsualRatio) -> Result<Tackled, SiteError> {
        let model = self.model.with(|values| values.haul.tackle = ratio).map_err(no_model)?;
        let mut tackled = Tackled {
            ratio,
            velocity_ratio: model.velocity_ratio().value,
            pulls: Vec::with_capacity(self.positions.len()),
            highest: Vec::with_capacity(self.positions.len()),
            anchor: Vec::with_capacity(self.positions.len()),
        };
        for position in self.positions {
            let carriage = crate::geometry::Point2::new(position.carriage.x, position.carriage.z);
            let line = model
                .haul_line(carriage, position.haul_pull)
                .map_err(|why| words::no_state(self.model, why))?;
            tackled.pulls.push(line.winch);
            tackled.highest.push(line.highest);
            tackled.anchor.push(line.tackle_anchor);
        }
        Ok(tackled)
    }

    fn over_current(&self, pull: Force) -> bool {
        self.current_limit
            .is_some_and(|limit| self.drive.current_of(pull).is_none_or(|current| current > limit))
    }

    /// Where a straight pull is about to pass a limit, if it isn't at the start.
    fn change(&self, straight: &Tackled) -> Result<Option<Conversion>, SiteError> {
        let passes = |pull: Force| pull > self.drive.rated_pull || self.over_current(pull);
        let Some(first) = straight.pulls.iter().position(|pull| passes(*pull)) else { return Ok(None) };
        let Some(position) = first.checked_sub(1) else { return Ok(None) };
        let (Some(at), Some(start), Some(pull)) =
            (self.positions.get(position), self.positions.first(), straight.pulls.get(first))
        else {
            return Ok(None);
        };
        let carriage = crate::geometry::Point2::new(at.carriage.x, at.carriage.z);
        let fail = |why| words::no_state(self.model, why);
        // Stopped, the load pulls with anything between what it took to haul it and what would let it out.
        let let_out = at.lowering.map_or(newtons(0.0), |way| way.haul_pull);
        let held = HeldMeanwhile {
            low: self.model.haul_rope_let_out(carriage, let_out).map_err(fail)?,
            expected: at.at_rest.map_or(at.haul_pull, |way| way.haul_pull),
            high: self.model.haul_line(carriage, at.haul_pull).map_err(fail)?.straight,
        };
        let by = if *pull > self.drive.rated_pull { ChangeBy::WinchPull } else { ChangeBy::WinchCurrent };
        let rope_in = start.haul_length - at.haul_length;
        Ok(Some(Conversion {
            position,
            rope_in,
            by,
            held,
            text: words::change_to_tackle(rope_in, at.haul_length, by, held.high),
        }))
    }

    /// The winch through the positions: straight up to the change, by the tackle from there on, with its resets; with the
    /// haul rope that each brings in at the carriage.
    fn steps(&self, tackle: &Tackled, straight_to: Option<(&Tackled, usize)>) -> (Vec<Step>, u32) {
        let mut steps = Vec::with_capacity(self.positions.len() + 8);
        let (mut hauled, mut resets) = (metres(0.0), 0);
        let change = straight_to.map_or(0, |(_, position)| position);
        let last = self.positions.last().map_or_else(Length::default, |p| p.haul_length);
        let all = self.positions.get(change).map_or_else(Length::default, |p| p.haul_length) - last;
        let most = if tackle.ratio == UsualRatio::OneToOne { 0 } else { settings(all, self.crew.throw) - 1 };
        for (i, pair) in self.positions.windows(2).enumerate() {
            let [a, b] = pair else { continue };
            let by = match straight_to {
                Some((straight, position)) if i < position => straight,
                _ => tackle,
            };
            if straight_to.is_some_and(|(_, position)| i == position) {
                steps.push((WinchStep::Rest(self.crew.conversion), metres(0.0)));
            }
            let way = (a.haul_length - b.haul_length).max(Length::default());
            if i >= change {
                hauled += way;
            }
            let pulls = by.pulls.get(i).zip(by.pulls.get(i + 1));
            let pull = pulls.map_or_else(Force::default, |(a, b)| 0.5 * (*a + *b));
            steps.push((WinchStep::Haul { pull, rope: by.velocity_ratio * way }, way));
            while resets < most && hauled >= f64::from(resets + 1) * self.crew.throw {
                steps.push((WinchStep::Rest(self.crew.reset), metres(0.0)));
                resets += 1;
            }
        }
        (steps, resets)
    }

    fn way(
        &self,
        tackle: &Tackled,
        straight_to: Option<(&Tackled, usize)>,
        down: &[Step],
    ) -> Result<(HaulWay, Course), SiteError> {
        let change = straight_to.map_or(0, |(_, position)| position);
        // Up to the mark straight, and from there on by the tackle.
        let by = |i: usize| match straight_to {
            Some((straight, position)) if i < position => straight,
            _ => tackle,
        };
        let at = |list: &Vec<Force>, i: usize| list.get(i).copied().unwrap_or_default();
        let all = || 0..self.positions.len();
        let pull_at = |i: usize| at(&by(i).pulls, i);
        let (position, greatest) = all()
            .map(|i| (i, pull_at(i)))
            .fold((0, newtons(0.0)), |most, next| if next.1 > most.1 { next } else { most });
        let (steps, resets) = self.steps(tackle, straight_to);
        let through = self.drive.through(steps.iter().map(|(step, _)| *step))?;
        let mut running = seconds(0.0);
        let mut changes = seconds(0.0);
        for ((step, _), (_, time)) in steps.iter().zip(&through.draws) {
            *if matches!(step, WinchStep::Rest(_)) { &mut changes } else { &mut running } += *time;
        }
        let whole: Vec<Step> = down.iter().chain(&steps).copied().collect();
        let (course, end) = self.course(&whole)?;
        let whole: Vec<WinchStep> = whole.into_iter().map(|(step, _)| step).collect();
        let heat = self.heat(&whole)?;
        let operation = self.operation(&whole, greatest, &end)?;
        let is_straight = tackle.ratio == UsualRatio::OneToOne;
        let fold = |list: &dyn Fn(usize) -> Force| all().map(list).fold(newtons(0.0), Force::max);
        let way = HaulWay {
            name: words::haul_way(tackle.ratio, straight_to.is_some()),
            tackle: tackle.ratio,
            straight_first: straight_to.is_some(),
            is_the_sites: straight_to.is_none() && tackle.ratio == self.model.values().haul.tackle,
            greatest_pull: At { si: greatest, position },
            greatest_current: self.drive.current_of(greatest),
            over_rated_at: all().find(|i| pull_at(*i) > self.drive.rated_pull),
            over_current_at: all().find(|i| self.over_current(pull_at(*i))),
            greatest_rope_tension: fold(&|i| at(&by(i).highest, i)),
            tackle_anchor: if is_straight {
                newtons(0.0)
            } else {
                all().skip(change).map(|i| at(&tackle.anchor, i)).fold(newtons(0.0), Force::max)
            },
            resets,
            // What goes through the winch until its parts are block to block.
            tackle_rope: if is_straight { metres(0.0) } else { tackle.velocity_ratio * self.crew.throw },
            running,
            changes,
            energy: through.energy,
            charge_left: through.charge,
            stopped_by: through.stopped_by,
            heat,
            people_by_hand: self.crew.people_for(greatest),
            operation,
        };
        Ok((way, course))
    }

    fn course(&self, steps: &[Step]) -> Result<(Course, Moment), SiteError> {
        let following = Following {
            drive: self.drive,
            motor: self.crew.motor,
            rests: self.crew.motor_is_given,
            longest: self.positions.first().map_or_else(Length::default, |p| p.haul_length),
        };
        following.course(steps)
    }

    /// What each step draws, as far as the winch can do it.
    fn draws(&self, steps: &[WinchStep], harder: f64) -> Option<Vec<(ElectricCurrent, Time)>> {
        steps.iter().map(|step| self.drive.draw(&step.harder(harder)).ok()).collect()
    }

    fn heat(&self, steps: &[WinchStep]) -> Result<Option<AtMost<MotorHeat>>, SiteError> {
        let Some((motor, draws)) = self.crew.motor.zip(self.draws(steps, 1.0)) else { return Ok(None) };
        let fail = |why: InputError| SiteError::at("winch", why);
        let of = |node: OneNode| -> Result<MotorHeat, SiteError> {
            let cold = kelvins_apart(0.0);
            let (mut rise, mut hottest) = (cold, cold);
            for (current, time) in &draws {
                rise = node.rise_after(rise, *current, *time).map_err(fail)?;
                hottest = if rise > hottest { rise } else { hottest };
            }
            let rested = node
                .with_rests(cold, draws.iter().copied(), kelvins_apart(1.0), kelvins_apart(RESUME))
                .map_err(fail)?;
            Ok(MotorHeat {
                without_rests: ratio(hottest.value),
                rests: rested.rests,
                resting: rested.resting,
                gets_through: rested.gets_through,
            })
        };
        Ok(Some(AtMost { expected: of(motor.expected)?, bound: of(motor.bound)? }))
    }

    fn operation(&self, steps: &[WinchStep], greatest: Force, end: &Moment) -> Result<Operation, SiteError> {
        let with_margin = self.drive.through(steps.iter().map(|step| step.harder(MARGIN)))?;
        let battery_needed = match self.draws(steps, MARGIN) {
            Some(draws) => Some(self.drive.charge_needed(&draws, ratio(RESERVE))?),
            None => None,
        };
        Ok(Operation {
            time: end.time,
            energy: end.energy,
            charge_left: end.charge,
            charge_left_with_margin: with_margin.stopped_by.is_empty().then_some(with_margin.charge),
            winch_pull_needed: MARGIN * greatest,
            battery_needed,
        })
    }

    /// The way down of the litter without its patient, straight off the winch, and the winch's steps on it.
    fn lowering(&self) -> Result<(Vec<Step>, LoweringFirst), SiteError> {
        let mut found = LoweringFirst {
            greatest_hold: newtons(0.0),
            does_not_run_at: None,
            running: None,
            energy: None,
            problem: String::new(),
        };
        let without_patient = |litter: Mass| (litter - self.patient).max(Mass::default());
        let empty = match self.model.with(|values| values.load.litter = without_patient(values.load.litter)) {
            Ok(empty) => empty,
            // Nothing hangs on the track but its patient.
            Err(why) => {
                found.problem = why.to_string();
                return Ok((Vec::new(), found));
            }
        };
        let mut holds: Vec<Force> = Vec::with_capacity(self.states.len());
        let mut last: Option<State<'_, '_>> = None;
        for (i, state) in self.states.iter().enumerate() {
            let situation: Situation = state.situation().moving(Motion::Lowering);
            let solved = match &last {
                Some(last) => empty.state_near(&situation, last),
                None => empty.state(&situation),
            };
            let hold = match solved {
                Ok(state) => {
                    last = Some(state);
                    let carriage = state.carriage().unwrap_or_default();
                    empty
                        .haul_rope_let_out(carriage, state.pull())
                        .map_err(|why| words::no_state(&empty, why))?
                }
                Err(StateError::RollsIn { .. } | StateError::LiesDown { .. }) => newtons(0.0),
                Err(why) => {
                    found.problem = words::no_state(&empty, why).to_string();
                    return Ok((Vec::new(), found));
                }
            };
            if hold.value <= 0.0 && found.does_not_run_at.is_none() {
                found.does_not_run_at = Some(i);
            }
            found.greatest_hold = found.greatest_hold.max(hold);
            holds.push(hold);
        }
        let mut steps: Vec<Step> = Vec::with_capacity(holds.len());
        for (pair, pulls) in self.positions.windows(2).zip(holds.windows(2)).rev() {
            if let ([outer, inner], [a, b]) = (pair, pulls) {
                let rope = (outer.haul_length - inner.haul_length).max(Length::default());
                steps.push((WinchStep::Lower { pull: 0.5 * (*a + *b), rope }, -rope));
            }
        }
        if self.drive.lowers() {
            let through = self.drive.through(steps.iter().map(|(step, _)| *step))?;
            if through.stopped_by.is_empty() {
                (found.running, found.energy) = (Some(through.time), Some(through.energy));
            }
            found.problem = through.stopped_by;
        } else {
            found.problem = words::TABLE_DOES_NOT_LOWER.to_string();
        }
        Ok((steps, found))
    }
}
