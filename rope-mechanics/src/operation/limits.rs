//! What passes which limit, as data: what was found, at which position, its value and the limit.

use super::changeover::Changeover;
use super::clearance::OutgoingRope;
use super::failures::{Failure, FailureCell, FailureEnd, FailureRow};
use super::place::Place;
use super::study::{At, Position, RatedPart, Study, WarningKind};
use crate::quantity::unit::{meter, percent};
use crate::quantity::{Force, Length};
use alloc::vec::Vec;

/// A track line that would hang less than this below the ground touches it only.
const TOUCHING_M: f64 = 0.01;
/// The haul rope that clears the edge is found to this.
const FOUND_M: f64 = 1e-5;
/// A battery that the haul leaves with less is reported.
pub(super) const LOW_CHARGE_PERCENT: f64 = 20.0;

/// What was found to be so.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Finding {
    FrameMargin,
    FrameFalls,
    RopeTooShort,
    HaulRopeTooShort,
    BelayRopeTooShort,
    /// The factor of one of the study's components.
    PartFactor(usize),
    ReadingExpected,
    ReadingWithFriction,
    ReadingLow,
    LitterHigh,
    LitterDrags,
    CarriageOnGround,
    TrackOnGround,
    WinchPull,
    WinchCurrent,
    HaulStops,
    BatteryLow,
    BelayBreaks,
    HaulBreaks,
    CapstanTail,
    RollsIn,
    /// And whether the site file says how it is done.
    Changeover(AtChangeover, bool),
    NotRated,
    NotFollowed,
    /// A rope, by its index in the study's clearances.
    RopeNear(usize),
    LitterTouches,
    /// Settled, the litter drags where it floats as the rope was set.
    SettlesDown,
    /// The frame falls when something else fails.
    FrameInFailure,
    NotSurvivable,
    /// A sheave too small for its rope, by its index in what is given,
    SheaveSmall(usize),
    /// one that can't turn between two strands,
    NoSwivel(usize),
    /// and an anchor that is pulled more steeply upwards than its figure is good for.
    AnchorPull(usize),
}

/// What was found while the load is taken over at the head.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum AtChangeover {
    LitterLow,
    FrameNear,
    FrameMargin,
    FrameFalls,
    Factor,
    WinchPull,
    Hand,
    OneRope,
    TrackTail,
}

impl Finding {
    pub(crate) fn kind(self) -> WarningKind {
        match self {
            Self::FrameMargin | Self::FrameFalls => WarningKind::Frame,
            Self::RopeTooShort => WarningKind::RopeTooShort,
            Self::HaulRopeTooShort => WarningKind::HaulRopeTooShort,
            Self::BelayRopeTooShort => WarningKind::BelayRopeTooShort,
            Self::PartFactor(_) | Self::BelayBreaks | Self::HaulBreaks => WarningKind::Factor,
            Self::ReadingExpected | Self::ReadingWithFriction => WarningKind::Reading,
            Self::ReadingLow => WarningKind::ReadingLow,
            Self::LitterHigh => WarningKind::LitterHigh,
            Self::LitterDrags | Self::SettlesDown => WarningKind::LitterDrags,
            Self::CarriageOnGround => WarningKind::CarriageOnGround,
            Self::TrackOnGround => WarningKind::TrackOnGround,
            Self::WinchPull | Self::WinchCurrent => WarningKind::Winch,
            Self::HaulStops | Self::BatteryLow => WarningKind::Battery,
            Self::CapstanTail => WarningKind::CapstanTail,
            Self::RollsIn => WarningKind::RollsIn,
            Self::Changeover(AtChangeover::FrameFalls, _) => WarningKind::Frame,
            Self::Changeover(_, false) => WarningKind::SwingIn,
            Self::Changeover(finding, true) => match finding {
                AtChangeover::LitterLow | AtChangeover::FrameNear => WarningKind::Changeover,
                AtChangeover::FrameMargin | AtChangeover::FrameFalls => WarningKind::Frame,
                AtChangeover::Factor => WarningKind::Factor,
                AtChangeover::WinchPull => WarningKind::Winch,
                AtChangeover::Hand | AtChangeover::OneRope | AtChangeover::TrackTail => WarningKind::SwingIn,
            },
            Self::NotRated => WarningKind::NotRated,
            Self::NotFollowed => WarningKind::ReadingUnknown,
            Self::RopeNear(_) => WarningKind::RopeNear,
            Self::LitterTouches => WarningKind::LitterTouches,
            Self::FrameInFailure => WarningKind::FrameInFailure,
            Self::NotSurvivable => WarningKind::NotSurvivable,
            Self::SheaveSmall(_) | Self::NoSwivel(_) => WarningKind::Sheave,
            Self::AnchorPull(_) => WarningKind::AnchorPull,
        }
    }

    /// The unit of value and limit; empty for a plain number, and where there is neither.
    pub(crate) fn unit(self) -> &'static str {
        match self {
            Self::FrameMargin | Self::FrameInFailure | Self::AnchorPull(_) => "rad",
            Self::NotSurvivable => "m/s",
            Self::RopeTooShort
            | Self::HaulRopeTooShort
            | Self::BelayRopeTooShort
            | Self::LitterHigh
            | Self::TrackOnGround
            | Self::RollsIn
            | Self::RopeNear(_)
            | Self::SettlesDown
            | Self::LitterTouches => "m",
            Self::ReadingLow
            | Self::ReadingExpected
            | Self::ReadingWithFriction
            | Self::WinchPull
            | Self::CapstanTail => "N",
            Self::WinchCurrent => "A",
            Self::Changeover(finding, _) => match finding {
                AtChangeover::LitterLow | AtChangeover::FrameNear | AtChangeover::TrackTail => "m",
                AtChangeover::FrameMargin => "rad",
                AtChangeover::WinchPull | AtChangeover::Hand => "N",
                AtChangeover::FrameFalls | AtChangeover::Factor | AtChangeover::OneRope => "",
            },
            Self::FrameFalls
            | Self::PartFactor(_)
            | Self::LitterDrags
            | Self::CarriageOnGround
            | Self::HaulStops
            | Self::BatteryLow
            | Self::BelayBreaks
            | Self::HaulBreaks
            | Self::NotRated
            | Self::SheaveSmall(_)
            | Self::NoSwivel(_)
            | Self::NotFollowed => "",
        }
    }
}

/// A finding where it is worst.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Passed {
    pub(crate) finding: Finding,
    /// Index in the positions; none for what doesn't belong to one, and while the track rope is tensioned.
    pub(crate) position: Option<usize>,
    /// In SI.
    pub(crate) value: Option<f64>,
    pub(crate) limit: Option<f64>,
}

/// What the solution of the positions found on its way.
#[derive(Debug, Clone, Copy)]
pub(crate) struct OnTheWay {
    /// Further out than the first position the load would roll in by itself.
    pub(crate) rolls_in: bool,
    /// The first position at which, lowered, even the carriage would lie on the ground.
    pub(crate) lies_down: Option<usize>,
    /// Where the frame falls first: at a position, or while the track rope is tensioned.
    pub(crate) falls: Option<Option<usize>>,
    /// What the load cell will show was asked for and can't be followed.
    pub(crate) not_followed: bool,
    /// The site file says by how much the set rope settles.
    pub(crate) settles: bool,
}

/// Everything that passes a limit, the frame and the rope first.
pub(crate) fn passed(study: &Study, way: OnTheWay) -> Vec<Passed> {
    let mut list = Vec::new();
    let mut add = |finding, position, value, limit| list.push(Passed { finding, position, value, limit });
    let (summary, limits) = (&study.summary, &study.limits);

    if let Some(least) = &summary.least_margin
        && least.margin < limits.frame_margin
    {
        let (value, limit) = (least.margin.value, limits.frame_margin.value);
        add(Finding::FrameMargin, least.position, Some(value), Some(limit));
    }
    if summary.reach.spare.value < 0.0 {
        add(Finding::RopeTooShort, None, Some(summary.reach.spare.value), Some(0.0));
    }
    for (finding, reach) in
        [(Finding::HaulRopeTooShort, summary.haul_reach), (Finding::BelayRopeTooShort, summary.belay_reach)]
    {
        if let Some(reach) = reach.filter(|reach| reach.spare.value < 0.0) {
            add(finding, Some(0), Some(reach.spare.value), Some(0.0));
        }
    }
    if let Some(position) = way.falls {
        add(Finding::FrameFalls, position, None, None);
    }
    for (i, component) in study.components.iter().enumerate() {
        if let Some((position, factor)) = least_factor(study, i, component)
            && factor < limits.factor_of(component.kind)
        {
            let limit = limits.factor_of(component.kind);
            add(Finding::PartFactor(i), position, Some(factor), Some(limit));
        }
    }
    let readings = study.positions.iter().enumerate().map(|(at, p)| (at, p.greatest_reading()));
    if let Some(limit) = limits.reading
        && let Some((at, high)) = readings.reduce(|a, b| if b.1 > a.1 { b } else { a })
    {
        let expected = greatest_expected(study);
        if expected.si > limit {
            let (value, limit) = (expected.si.value, limit.value);
            add(Finding::ReadingExpected, Some(expected.position), Some(value), Some(limit));
        } else if high > limit {
            add(Finding::ReadingWithFriction, Some(at), Some(high.value), Some(limit.value));
        }
    }
    if let Some(limit) = limits.least_reading
        && let Some(least) = least_shown(study)
        && least.si < limit
    {
        add(Finding::ReadingLow, Some(least.position), Some(least.si.value), Some(limit.value));
    }
    let high = summary.greatest_litter_height;
    if high.si > limits.litter_height {
        let limit = limits.litter_height.value;
        add(Finding::LitterHigh, Some(high.position), Some(high.si.value), Some(limit));
    }
    let drags = |p: &Position| p.least_litter_height().value <= 0.0;
    if let Some(nearest) = study.positions.iter().rposition(drags) {
        let share = study.positions.iter().filter(|p| drags(p)).map(ground_share).fold(0.0, f64::max);
        add(Finding::LitterDrags, Some(nearest), Some(share), Some(0.0));
    }
    if let Some(position) = way.lies_down {
        add(Finding::CarriageOnGround, Some(position), None, None);
    }
    let lies = |clearance: Length| clearance.get::<meter>() < -TOUCHING_M;
    if lies(study.unloaded.clearance) {
        add(Finding::TrackOnGround, None, Some(study.unloaded.clearance.value), Some(0.0));
    }
    if let Some((at, p)) = study.positions.iter().enumerate().find(|(_, p)| lies(p.track_clearance)) {
        add(Finding::TrackOnGround, Some(at), Some(p.track_clearance.value), Some(0.0));
    }
    let pull = summary.greatest_winch_pull;
    if pull.si > limits.winch_pull {
        add(Finding::WinchPull, Some(pull.position), Some(pull.si.value), Some(limits.winch_pull.value));
    }
    let current = summary.greatest_current;
    if let Some(limit) = limits.current
        && current.si > limit
    {
        add(Finding::WinchCurrent, Some(current.position), Some(current.si.value), Some(limit.value));
    }
    let left = summary.haul.charge_left;
    if summary.haul.stopped_at.is_some() {
        add(Finding::HaulStops, summary.haul.stopped_at, None, None);
    } else if left.get::<percent>() < LOW_CHARGE_PERCENT {
        add(Finding::BatteryLow, None, Some(left.value), Some(0.01 * LOW_CHARGE_PERCENT));
    }
    if let Some(lost) = &summary.haul_lost
        && lost.factor < 1.0
    {
        add(Finding::BelayBreaks, Some(lost.position), Some(lost.factor), Some(1.0));
    }
    if let Some(lost) = &summary.track_lost
        && lost.factor < 1.0
    {
        add(Finding::HaulBreaks, Some(lost.position), Some(lost.factor), Some(1.0));
    }
    if summary.capstan_tail > summary.hand {
        add(Finding::CapstanTail, None, Some(summary.capstan_tail.value), Some(summary.hand.value));
    }
    if way.rolls_in
        && let Some(first) = study.positions.first()
    {
        add(Finding::RollsIn, Some(0), Some((first.carriage.x - study.head.x).value), None);
    }
    if let Some(changeover) = &study.changeover {
        for (finding, value, limit) in at_changeover(changeover, study) {
            add(Finding::Changeover(finding, changeover.given), None, value, limit);
        }
    }
    if study.components.iter().any(|c| c.strength.is_none()) {
        add(Finding::NotRated, None, None, None);
    }
    for (i, anchor) in study.given.anchors.iter().enumerate() {
        if let Some(good) = anchor.good_to_rise
            && anchor.most_rise > good
        {
            add(Finding::AnchorPull(i), None, Some(anchor.most_rise.value), Some(good.value));
        }
    }
    for (i, sheave) in study.given.sheaves.iter().enumerate() {
        if let Some(ratio) = sheave.ratio.filter(|ratio| *ratio < sheave.least_ratio) {
            add(Finding::SheaveSmall(i), None, Some(ratio), Some(sheave.least_ratio));
        }
        // Two strands go out from the far anchor only.
        if sheave.place == Place::Far && sheave.swivel == Some(false) {
            add(Finding::NoSwivel(i), None, None, None);
        }
    }
    if let Some(clearances) = &study.clearances {
        for (i, rope) in clearances.ropes.iter().enumerate() {
            // A track that lies on the ground is said already.
            let said = rope.rope == OutgoingRope::Track && lies(rope.worst.clearance);
            if rope.worst.clearance < clearances.wanted && !said {
                let (value, limit) = (rope.worst.clearance.value, clearances.wanted.value);
                add(Finding::RopeNear(i), Some(rope.worst.position), Some(value), Some(limit));
            }
        }
        if let Some(litter) = &clearances.litter.worst
            && litter.clearance.value < 0.0
        {
            let value = litter.clearance.value;
            add(Finding::LitterTouches, Some(litter.position), Some(value), Some(0.0));
        }
    }
    if way.not_followed {
        add(Finding::NotFollowed, None, None, None);
    }
    if way.settles
        && let Some(settled) = &study.settled
        && settled.settled_most.least_litter_height.si.value <= 0.0
        && settled.as_set.least_litter_height.si.value > 0.0
    {
        let at = settled.settled_most.least_litter_height.position;
        add(Finding::SettlesDown, Some(at), Some(0.0), Some(0.0));
    }
    let margin =
        |(_, cell): &(&FailureRow, &FailureCell)| cell.frame_margin.map_or(0.0, |margin| margin.value);
    if let Some(worst) = frame_falls(study).min_by(|a, b| margin(a).total_cmp(&margin(b))) {
        add(Finding::FrameInFailure, Some(worst.1.position), Some(margin(&worst)), Some(0.0));
    }
    let speed = |(_, cell): &(&FailureRow, &FailureCell)| {
        cell.impact.map_or(0.0, |impact| impact.into_ground.bound.value)
    };
    if let Some(worst) = not_survivable(study).max_by(|a, b| speed(a).total_cmp(&speed(b))) {
        let limit = super::failures::NOT_SURVIVABLE_M_PER_S;
        add(Finding::NotSurvivable, Some(worst.1.position), Some(speed(&worst)), Some(limit));
    }
    list
}

/// Every failure at every position that is judged, but those of feet: a frame that loses one falls.
fn failures(study: &Study) -> impl Iterator<Item = (&FailureRow, &FailureCell)> {
    let rows = study.failures.iter().flat_map(|table| &table.rows);
    rows.filter(|row| !matches!(row.failure, Failure::Foot(_)))
        .flat_map(|row| row.cells.iter().map(move |cell| (row, cell)))
}

/// Those that bring the frame down.
pub(crate) fn frame_falls(study: &Study) -> impl Iterator<Item = (&FailureRow, &FailureCell)> {
    failures(study).filter(|(_, cell)| {
        cell.end == FailureEnd::FrameFalls || cell.frame_margin.is_some_and(|margin| margin.value < 0.0)
    })
}

/// Those that somebody in the litter may not survive.
pub(crate) fn not_survivable(study: &Study) -> impl Iterator<Item = (&FailureRow, &FailureCell)> {
    failures(study).filter(|(_, cell)| cell.end == FailureEnd::NotSurvivable)
}

/// The least that the load cell may show: the low end of what it will show or, where that isn't known, of what friction
/// may leave.
fn least_shown(study: &Study) -> Option<At<Force>> {
    let will_show = study.summary.least_reading_expected;
    will_show.or_else(|| {
        let low = study.positions.iter().enumerate().map(|(position, p)| {
            let others = p.at_rest.iter().chain(&p.lowering).map(|way| way.reading.low);
            At { si: others.fold(p.reading.low, Force::min), position }
        });
        low.reduce(|a, b| if b.si < a.si { b } else { a })
    })
}

/// What passes a limit while the load is taken over: value and limit in SI.
fn at_changeover(changeover: &Changeover, study: &Study) -> Vec<(AtChangeover, Option<f64>, Option<f64>)> {
    let (worst, limits) = (&changeover.worst, &study.limits);
    let wanted = changeover.clearance_wanted.value;
    let mut list = Vec::new();
    let mut add = |passed: bool, finding, value: f64, limit: f64| {
        if passed {
            list.push((finding, Some(value), Some(limit)));
        }
    };
    if let Some(least) = worst.litter_height {
        add(least.si.value < wanted - FOUND_M, AtChangeover::LitterLow, least.si.value, wanted);
    }
    let near = worst.frame_clearance.si.value;
    add(near < wanted, AtChangeover::FrameNear, near, wanted);
    if let Some(margin) = worst.margin {
        let wanted = limits.frame_margin;
        add(margin.si < wanted, AtChangeover::FrameMargin, margin.si.value, wanted.value);
    }
    if let Some(factor) = worst.factor {
        add(factor.si < limits.factor, AtChangeover::Factor, factor.si, limits.factor);
    }
    let pull = worst.winch_pull.si;
    add(pull > limits.winch_pull, AtChangeover::WinchPull, pull.value, limits.winch_pull.value);
    let (hand, weakest) = (worst.hand.si, study.summary.hand);
    add(hand > weakest, AtChangeover::Hand, hand.value, weakest.value);
    let spare = changeover.hand_over.track_spare.value;
    add(spare < 0.0, AtChangeover::TrackTail, spare, 0.0);
    if worst.falls_at.is_some() {
        list.push((AtChangeover::FrameFalls, None, None));
    }
    if worst.fewest_ropes.si < 2 {
        list.push((AtChangeover::OneRope, None, None));
    }
    list
}

/// The greatest reading to expect: of what the cell will show or, where that isn't known, of the mean of both strands.
fn greatest_expected(study: &Study) -> At<Force> {
    let will_show =
        study.positions.iter().enumerate().flat_map(|(position, p)| {
            p.readings_expected().map(move |band| At { si: band.expected, position })
        });
    will_show.reduce(|a, b| if b.si > a.si { b } else { a }).unwrap_or(study.summary.greatest_reading)
}

/// The greatest share of the load's weight that the ground carries at a place, hauled or lowered.
fn ground_share(p: &Position) -> f64 {
    let others = p.at_rest.iter().chain(&p.lowering);
    others.map(|way| way.ground_share.value).fold(p.ground_share.value, f64::max)
}

/// The least factor of a part and where; none without a rated strength or a force.
fn least_factor(study: &Study, i: usize, part: &RatedPart) -> Option<(Option<usize>, f64)> {
    let strength = part.strength?.value;
    let loaded = study.positions.iter().enumerate().map(|(at, p)| (Some(at), &p.forces));
    core::iter::once((None, &study.unloaded.forces))
        .chain(loaded)
        .filter_map(|(at, forces)| Some((at, forces.get(i).filter(|force| force.value > 0.0)?.value)))
        .reduce(|a, b| if b.1 > a.1 { b } else { a })
        .map(|(at, force)| (at, strength / force))
}
