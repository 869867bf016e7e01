//! What to set the track rope to, where along the travel, and what can be seen at each place.
//!
//! | question | where |
//! |---|---|
//! | which lengths of rope keep every limit with the load at a place | [`PlaceWindows`], [`Window`] |
//! | the fewest settings that keep them on the whole travel | [`Setting`] |
//! | where none does, and which two limits clash | [`NoLength`], [`Clash`] |
//! | one length of rope by reading, sag, height, with the load on or off | [`SetPoint`] |
//! | marks on the haul rope, distances on the slope, readings and currents there | [`HaulMark`], [`Seen`] |
//! | what it means when they leave their bands | [`Meaning`] |
//! | reading by position: allowed, or by which limit not | [`Map`] |
//!
//! Every limit is judged on solved states, at the worst of hauling and lowering and of whatever friction may have left in
//! each turn, as the [study](super) judges its positions; where the site asks for its doubt, at the bad side of that as
//! well: one case in twenty is worse. A window's ends are roots on such states.
//!
//! Where the load would roll towards the head by itself it isn't judged: it comes to the places that are.
//!
//! Assumed beyond what the study assumes: the capstan turns only while the load stands; the load doesn't move while it
//! does; the rope behind the head comes to its new tension with the rest.
//!
//! **Caution.** A setting holds for the inputs as they are: relaxation, knots that pull tight and a stiffness that is
//! only guessed can each use up a window. Look at the load cell again after the first minutes and at every stop. Local
//! codes, makers' instructions and the authority having jurisdiction come first.

mod in_doubt;
mod judge;
mod map;
mod marks;
mod moves;
mod set_point;
mod window;

pub use judge::{Kept, Limit, LimitKind};
pub use map::Map;
pub use marks::{Cause, HaulMark, Meaning, Seen, Stands, Trend};
pub use set_point::{EmptyLine, LoadedLine, Readings, SetPoint};
pub use window::{Clash, Window};

pub(crate) use in_doubt::InDoubt;
pub(crate) use judge::{Judge, capstan_exponent};
pub(super) use marks::edge;

use super::model::Model;
use super::plan::SitePlan;
use super::power::Drive;
use super::site::Site;
use super::study::{Position, RatedPart, Study, Warning, WarningKind, Xz};
use super::travel::Moved;
use super::verdict::{Verdict, weight};
use super::words;
use crate::quantity::{Force, Length, Ratio, metres};
use alloc::string::String;
use alloc::vec::Vec;
use core::cell::Cell;
use moves::Lengths;
use serde::Serialize;

/// Positions looked at first, beside those over the corners of the ground.
const PLACES: usize = 25;
/// How often positions that the settings don't serve are added.
const MOST_ROUNDS: usize = 12;
/// Rows of the map, and its columns.
const ROWS: usize = 12;
const COLUMNS: usize = 21;
/// The map goes so far beyond the windows, as a share of their width.
const BEYOND: f64 = 0.15;
/// A reading is set to this share either way.
const SET_WITHIN: f64 = 0.03;
/// Places within this are one.
const SAME_M: f64 = 1e-6;
/// Distance between the marks on the haul rope, where the site file doesn't say.
const MARKS_M: f64 = 5.0;

/// The lengths that keep every limit with the load at one place.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct PlaceWindows {
    /// Index in the study's positions; none before the load is on.
    pub position: Option<usize>,
    /// The windows, the shortest strand first; several where a litter may drag.
    pub windows: Vec<Window>,
    /// Of each window the readings of the empty line, the capstan taking in, at its longest and at its shortest strand; none
    /// where such a line has no balance.
    #[serde(rename = "readings_n")]
    pub readings: Vec<[Option<Force>; 2]>,
    /// What forbids every length, where there is no window.
    pub clash: Option<Clash>,
}

/// What ends the lengths of a setting.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct EndedBy {
    /// Index in the study's positions; none before the load is on.
    pub position: Option<usize>,
    /// The limit passed beyond.
    #[serde(flatten)]
    pub passes: Kept,
}

/// How to come to a setting from the one before.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct CapstanMove {
    /// The position at which to stop for it.
    pub stop: usize,
    /// Whether both settings keep every limit there. Where they don't, the positions next to the stop keep them with one
    /// setting each, and the limit is passed for as long as the capstan turns.
    pub both_hold: bool,
    /// Rope to take in at the capstan; negative for rope to let out.
    #[serde(rename = "take_in_m")]
    pub take_in: Length,
    /// What the load cell shows before the capstan turns, if it was taken in last,
    #[serde(rename = "reading_before_n")]
    pub reading_before: Force,
    /// and what it shows when it has turned.
    pub target: LoadedLine,
}

/// One setting of the track rope and the positions that it serves.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Setting {
    /// The first position that it serves; none for the first setting, which is made before the load is on.
    pub from: Option<usize>,
    /// The last.
    pub to: usize,
    /// The lengths of each strand that keep every limit at all of them: from this
    #[serde(rename = "shortest_strand_m")]
    pub shortest: Length,
    /// to this.
    #[serde(rename = "longest_strand_m")]
    pub longest: Length,
    /// What a shorter strand passes, and where.
    pub shorter_passes: Option<EndedBy>,
    /// What a longer one passes, and where.
    pub longer_passes: Option<EndedBy>,
    /// The readings of the empty line, the capstan taking in, at the longest and at the shortest strand.
    #[serde(rename = "readings_n")]
    pub readings: [Force; 2],
    /// Whether they are so far apart that a crew which sets its reading to within 3 % stays inside.
    pub can_be_set: bool,
    /// Whether they are closer together than what friction may leave: then the reading says nothing unless the rope was
    /// taken in last.
    pub narrower_than_friction: bool,
    /// Whether the rope still keeps every limit when it has relaxed as much as is counted on in its first minutes. Else
    /// take it in again then.
    pub holds_relaxed: bool,
    /// What to set: the middle of these lengths, by all that it shows. With the load at the first and the last position that
    /// it serves and at the stop.
    pub target: SetPoint,
    /// How to come here from the setting before; nothing for the first.
    pub change: Option<CapstanMove>,
}

/// A stretch of the travel on which no length of rope keeps every limit.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct NoLength {
    /// From this position; none before the load is on,
    pub from: Option<usize>,
    /// to this.
    pub to: Option<usize>,
    /// Where the best length passes most.
    pub at: Option<usize>,
    /// What clashes there.
    pub clash: Clash,
    /// The same in words.
    pub text: String,
}

/// What the schedule comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Outcome {
    /// One setting keeps every limit on the whole travel.
    OneSetting,
    /// The rope has to be set anew on the way.
    Moves,
    /// On some stretch no length keeps every limit.
    NoLength,
    /// Something is wrong that no length of rope mends: see the study's warnings.
    NoGo,
}

/// What to set the track rope to along the travel, and what can be seen at each place.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Schedule {
    /// What it comes to.
    pub outcome: Outcome,
    /// The same in words.
    pub text: String,
    /// The lengths that keep every limit, place by place: without load first, then along the travel.
    pub windows: Vec<PlaceWindows>,
    /// The fewest settings, in the order of the travel, each with room for 3 % either way on the reading that is set where
    /// the windows leave it; none where the plan is a no-go that no length mends.
    pub settings: Vec<Setting>,
    /// How many would do if each length could be set exactly.
    pub fewest_if_exact: usize,
    /// The stretches on which no length does.
    pub no_length: Vec<NoLength>,
    /// The length that the site file asks for, by all that it shows; absent where the verdict on it is no-go.
    pub set_point: Option<SetPoint>,
    /// The edge of the slope, from which distances are measured: the first point outward of the head from which the ground
    /// falls by 15° or more.
    pub edge: Xz,
    /// Distance between the marks on the haul rope.
    #[serde(rename = "mark_spacing_m")]
    pub mark_spacing: Length,
    /// Whether the site file gives it.
    pub marks_given: bool,
    /// Each of the study's positions as it can be seen.
    pub seen: Vec<Seen>,
    /// The marks that come in, and what to expect at each on the length that the site file asks for. None where the
    /// verdict on that is no-go.
    pub marks: Vec<HaulMark>,
    /// What it means when the readings leave their bands.
    pub meanings: Vec<Meaning>,
    /// Reading by position.
    pub map: Map,
    /// Whether the doubt on the inputs was counted in.
    pub in_doubt: bool,
    /// How often a place was judged for all this: about three balances each.
    pub judged: usize,
}

/// What a schedule is computed from.
pub(crate) struct Orders<'a, 'g> {
    pub(crate) site: &'a Site,
    pub(crate) plan: &'a SitePlan,
    pub(crate) model: &'a Model<'g>,
    pub(crate) drive: &'a Drive,
    /// Every part, those of a frame that falls among them.
    pub(crate) parts: &'a [RatedPart],
    /// The length that the site file asks for.
    pub(crate) strand: Length,
}

impl<'a, 'g> Orders<'a, 'g> {
    /// The schedule of a site whose study is done.
    pub(crate) fn schedule(&self, study: &Study, verdict: Verdict) -> Schedule {
        let doubt = study.doubt.as_ref();
        let in_doubt = doubt.map_or_else(InDoubt::nothing, |doubt| InDoubt::of(doubt, &study.positions));
        let judge = Judge {
            model: self.model,
            drive: self.drive,
            limits: &study.limits,
            parts: self.parts,
            floats_from: self.plan.far.x - self.plan.float_from,
            longest_strand: study.summary.reach.longest_strand,
            capstan_exponent: capstan_exponent(self.plan.capstan_friction.value, self.plan.wraps),
            in_doubt: &in_doubt,
            judged: Cell::new(0),
        };
        let positions = &study.positions;
        let go = study.warnings.iter().all(|warning| !no_length_mends(warning));
        let plan = Fewest::new(&judge, positions);
        let relaxes = self.site.doubt.and_then(|doubt| doubt.relaxation);
        let relaxes = relaxes.map_or(self.plan.settling.relaxation[1], |given| given.band()[1]);
        let relaxes = ratio_high(relaxes);
        let settings = if go { plan.settings(relaxes) } else { Vec::new() };
        let no_length = plan.no_length(study);
        let map = plan.map();
        let spacing = self.site.haul.marks.unwrap_or(metres(MARKS_M));
        let edge = marks::edge(self.model);
        let first = positions.first().map_or_else(Length::default, |p| p.haul_length);
        let seen = positions.iter().map(|p| {
            let rope_taken_in = first - p.haul_length;
            Seen {
                rope_taken_in,
                marks: (rope_taken_in / spacing).value,
                slope_distance: marks::slope_distance(self.model, edge, p.carriage.x),
            }
        });
        let redirects = &self.site.haul.redirects;
        let road = marks::Road {
            model: self.model,
            drive: self.drive,
            strand: self.strand,
            positions,
            spacing,
            given: [
                self.site.haul.head_efficiency.is_some(),
                !redirects.is_empty() && redirects.iter().all(|redirect| redirect.efficiency.is_some()),
                self.site.haul.tackle_efficiency.is_some(),
            ],
            limits: &study.limits,
        };
        let set = verdict != Verdict::NoGo;
        let ends = [0, positions.len().saturating_sub(1)];
        let ends: Vec<(usize, Length)> =
            ends.iter().filter_map(|i| Some((*i, positions.get(*i)?.carriage.x))).collect();
        let outcome = match (go, no_length.is_empty(), settings.len()) {
            (false, ..) => Outcome::NoGo,
            (true, false, _) => Outcome::NoLength,
            (true, true, 1) => Outcome::OneSetting,
            (true, true, _) => Outcome::Moves,
        };
        Schedule {
            outcome,
            text: words::schedule(outcome, settings.len()),
            fewest_if_exact: if go { moves::fewest(&plan.exact()).len() } else { 0 },
            settings,
            no_length,
            set_point: if set {
                set_point::set_point(self.model, self.strand, &ends, relaxes).ok()
            } else {
                None
            },
            edge: edge.into(),
            mark_spacing: spacing,
            marks_given: self.site.haul.marks.is_some(),
            seen: seen.collect(),
            marks: if set { road.marks().unwrap_or_default() } else { Vec::new() },
            meanings: marks::meanings(),
            map,
            windows: plan.places,
            in_doubt: doubt.is_some(),
            judged: judge.judged.get(),
        }
    }
}

fn ratio_high(high: Ratio) -> Ratio {
    high.max(Ratio::default())
}

/// Whether a warning is a no-go that another length of rope doesn't mend, or that the schedule doesn't judge.
fn no_length_mends(warning: &Warning) -> bool {
    let judged = match warning.kind {
        WarningKind::Factor => warning.component.is_some(),
        WarningKind::Reading
        | WarningKind::LitterHigh
        | WarningKind::LitterDrags
        | WarningKind::TrackOnGround
        | WarningKind::Frame
        | WarningKind::Winch => true,
        _ => false,
    };
    weight(warning) == Verdict::NoGo && !judged
}

/// The windows of enough places to say for every position which setting serves it.
struct Fewest<'a, 'j, 'g> {
    judge: &'a Judge<'j, 'g>,
    positions: &'a [Position],
    places: Vec<PlaceWindows>,
    serves: Vec<moves::Serves>,
    /// A reading that is off by what a crew sets it to is a strand that is off by so much.
    room_m: f64,
}

impl<'a, 'j, 'g> Fewest<'a, 'j, 'g> {
    fn new(judge: &'a Judge<'j, 'g>, positions: &'a [Position]) -> Self {
        let mut found = Self { judge, positions, places: Vec::new(), serves: Vec::new(), room_m: 0.0 };
        let last = positions.len().saturating_sub(1);
        let corners = judge.model.values().ground;
        let is_corner = |p: &Position| {
            let next = corners.partition_point(|corner| corner.x.value < p.carriage.x.value - SAME_M);
            corners.get(next).is_some_and(|corner| (corner.x - p.carriage.x).value.abs() < SAME_M)
        };
        found.look_at(None);
        let steps = PLACES.min(positions.len()).saturating_sub(1).max(1);
        for i in (0..=steps).map(|step| step * last / steps) {
            found.look_at(Some(i));
        }
        for (i, _) in positions.iter().enumerate().filter(|(_, p)| is_corner(p)) {
            found.look_at(Some(i));
        }
        // The first and the last position that must float have their neighbours on the other side.
        if let Some(i) = positions.iter().position(|p| p.carriage.x <= judge.floats_from) {
            found.look_at(Some(i));
            found.look_at(Some(i.saturating_sub(1)));
        }
        found.ends_of_stretches();
        found.room_m = found.room().unwrap_or(0.0);
        for _ in 0..MOST_ROUNDS {
            found.serves = moves::fewest(&found.lengths());
            let missed = found.missed();
            if missed.is_empty() {
                break;
            }
            for i in missed {
                found.look_at(Some(i));
            }
        }
        found.serves = moves::fewest(&found.lengths());
        found
    }

    fn x(&self, position: Option<usize>) -> Option<Length> {
        position.and_then(|i| self.positions.get(i)).map(|p| p.carriage.x)
    }

    /// Finds the windows of a place, unless they are known.
    fn look_at(&mut self, position: Option<usize>) {
        if position.is_some() && self.x(position).is_none() {
            return;
        }
        let at = self.places.partition_point(|place| place.position < position);
        if self.places.get(at).is_some_and(|place| place.position == position) {
            return;
        }
        let window::Found { windows, clash } = self.judge.windows(self.x(position));
        let model = self.judge.model;
        let reading = |strand: Length| {
            let bare = model.state(&super::Situation::unloaded(strand)).ok()?;
            super::setting::reading_after(&bare, crate::motion::Motion::Hauling).ok()
        };
        let readings = windows.iter().map(|w| [w.longest, w.shortest].map(reading)).collect();
        self.places.insert(at, PlaceWindows { position, windows, readings, clash });
    }

    /// Between a place with a window and one without, the first position without.
    fn ends_of_stretches(&mut self) {
        let mut i = 1;
        while let (Some(a), Some(b)) = (self.places.get(i - 1), self.places.get(i)) {
            let differ = a.windows.is_empty() != b.windows.is_empty();
            match (a.position, b.position) {
                (Some(a), Some(b)) if differ && b > a + 1 => self.look_at(Some((a + b) / 2)),
                _ => i += 1,
            }
        }
    }

    /// All lengths that keep every limit.
    fn exact(&self) -> Vec<Lengths> {
        self.places.iter().map(|place| moves::lengths(&place.windows)).collect()
    }

    /// Those that do so when they are set with the usual error.
    fn lengths(&self) -> Vec<Lengths> {
        self.exact().iter().map(|lengths| moves::with_room(lengths, self.room_m)).collect()
    }

    /// The error of a strand that is set by its reading: δL = δR/|dR/dL|, in the middle of the widest window.
    fn room(&self) -> Option<f64> {
        let widest = self.exact().concat();
        let strand = moves::middle(&widest)?;
        let step = 1e-4 * strand;
        let [less, more] = [self.empty_reading(strand - step)?, self.empty_reading(strand + step)?];
        Some(SET_WITHIN * 0.5 * (less + more).value * 2.0 * step.value / (less - more).value.abs())
    }

    /// What the cell shows of an empty line while the capstan takes in.
    fn empty_reading(&self, strand: Length) -> Option<Force> {
        let bare = self.judge.model.state(&super::Situation::unloaded(strand)).ok()?;
        super::setting::reading_after(&bare, crate::motion::Motion::Hauling).ok()
    }

    /// The position of a place.
    fn position(&self, place: usize) -> Option<usize> {
        self.places.get(place).and_then(|place| place.position)
    }

    /// The first position without a window after a place, or the number of positions.
    fn end_of_run(&self, place: usize) -> usize {
        self.position(place + 1).unwrap_or(self.positions.len())
    }

    /// The middle of the lengths of a setting, as near to the place before as it may be.
    fn strand(&self, k: usize) -> Option<Length> {
        let serves = self.serves.get(k)?;
        let before = k.checked_sub(1).and_then(|k| self.serves.get(k));
        // A stop where both hold, if there is one.
        if let Some(before) = before
            && before.last + 1 == serves.first
            && let Some(place) = self.places.get(before.last)
        {
            let shared = moves::both(&serves.lengths, &moves::lengths(&place.windows));
            if let Some(strand) = moves::middle(&shared) {
                return Some(strand);
            }
        }
        moves::middle(&serves.lengths)
    }

    /// Whether a strand keeps every limit at a position.
    fn holds(&self, strand: Length, position: usize, nearby: &mut Option<Moved<'j, 'g>>) -> bool {
        let judged = self.judge.at(strand, self.x(Some(position)), nearby.as_ref());
        let holds = judged.least().slack >= 0.0;
        *nearby = judged.moved.or(*nearby);
        holds
    }

    /// The last position up to which a setting holds, counted from the first that it serves.
    fn holds_to(&self, k: usize) -> Option<usize> {
        let (serves, strand) = (self.serves.get(k)?, self.strand(k)?);
        let first = self.position(serves.first).unwrap_or(0);
        let mut nearby = None;
        (first..self.end_of_run(serves.last))
            .take_while(|position| self.holds(strand, *position, &mut nearby))
            .last()
    }

    /// Positions that no setting serves although each of their neighbours that was looked at has a window.
    fn missed(&self) -> Vec<usize> {
        let mut list = Vec::new();
        for (k, serves) in self.serves.iter().enumerate() {
            let Some(last) = self.position(serves.last) else { continue };
            let first = self.position(serves.first).unwrap_or(0);
            let Some(strand) = self.strand(k) else { continue };
            let mut nearby = None;
            let mut failing: Option<usize> = None;
            for position in first..=last + 1 {
                let fails = position <= last && !self.holds(strand, position, &mut nearby);
                match (fails, failing) {
                    (true, None) => failing = Some(position),
                    // The middle of a run of them: it fails most there.
                    (false, Some(start)) => {
                        list.push((start + position - 1) / 2);
                        failing = None;
                    }
                    _ => {}
                }
            }
            // From the last place of this setting to the first of the next, either may serve.
            let next = self.serves.get(k + 1).filter(|next| next.first == serves.last + 1);
            if let (Some(_), Some(next_strand)) = (next, self.strand(k + 1)) {
                let between = last + 1..self.end_of_run(serves.last);
                let (mut one, mut other) = (None, None);
                let mut rest = between.skip_while(|position| self.holds(strand, *position, &mut one));
                list.extend(rest.find(|position| !self.holds(next_strand, *position, &mut other)));
            }
        }
        list
    }

    /// What ends the lengths of a setting on one side: of the windows that hold its target, the one that ends first.
    fn ended_by(&self, serves: &moves::Serves, strand: Length, shorter: bool) -> (Length, Option<EndedBy>) {
        let run = self.places.get(serves.first..=serves.last).unwrap_or_default();
        let mut end: Option<(Length, Option<EndedBy>)> = None;
        for place in run {
            let holds = |window: &&Window| window.shortest <= strand && strand <= window.longest;
            let Some(window) = place.windows.iter().find(holds) else { continue };
            let (at, passes) = if shorter {
                (window.shortest, window.shorter_passes)
            } else {
                (window.longest, window.longer_passes)
            };
            let first = end.is_none_or(|(best, _)| if shorter { at > best } else { at < best });
            if first {
                end = Some((at, passes.map(|passes| EndedBy { position: place.position, passes })));
            }
        }
        end.unwrap_or((strand, None))
    }

    fn settings(&self, relaxes: Ratio) -> Vec<Setting> {
        (0..self.serves.len()).filter_map(|k| self.setting(k, relaxes)).collect()
    }

    fn setting(&self, k: usize, relaxes: Ratio) -> Option<Setting> {
        let (serves, strand) = (self.serves.get(k)?, self.strand(k)?);
        let to = self.holds_to(k)?;
        let before = k.checked_sub(1).and_then(|k| Some((self.serves.get(k)?, self.strand(k)?)));
        let follows = before.filter(|(before, _)| before.last + 1 == serves.first);
        // Where the setting before ends.
        let stop = follows.and_then(|_| self.holds_to(k - 1));
        let from = stop.map(|stop| stop + 1).or(self.position(serves.first));
        let mut at: Vec<usize> = [Some(from.unwrap_or(0)), stop, Some(to)].into_iter().flatten().collect();
        at.sort_unstable();
        at.dedup();
        let at: Vec<(usize, Length)> = at.iter().filter_map(|i| Some((*i, self.x(Some(*i))?))).collect();
        let model = self.judge.model;
        let target = set_point::set_point(model, strand, &at, relaxes).ok()?;
        let (shortest, shorter_passes) = self.ended_by(serves, strand, true);
        let (longest, longer_passes) = self.ended_by(serves, strand, false);
        let readings = [self.empty_reading(longest)?, self.empty_reading(shortest)?];
        let [loose, tight] = readings;
        let set = target.empty.reading;
        let change = match (stop, follows) {
            (Some(stop), Some((_, strand_before))) => {
                let at_stop = [(stop, self.x(Some(stop))?)];
                let old = set_point::set_point(model, strand_before, &at_stop, relaxes).ok()?;
                Some(CapstanMove {
                    stop,
                    both_hold: self.holds(strand, stop, &mut None),
                    take_in: old.rope_in_line - target.rope_in_line,
                    reading_before: old.loaded.first()?.reading.taking_in,
                    target: *target.loaded.iter().find(|line| line.position == stop)?,
                })
            }
            _ => None,
        };
        Some(Setting {
            from,
            to,
            shortest,
            longest,
            shorter_passes,
            longer_passes,
            readings,
            can_be_set: set.taking_in * (1.0 + SET_WITHIN) <= tight
                && set.taking_in * (1.0 - SET_WITHIN) >= loose,
            narrower_than_friction: tight - loose < (set.easing - set.taking_in).abs(),
            holds_relaxed: target.relaxed_strand <= longest,
            target,
            change,
        })
    }

    /// The stretches without a window.
    fn no_length(&self, study: &Study) -> Vec<NoLength> {
        let mut list: Vec<NoLength> = Vec::new();
        let mut goes_on = false;
        for place in &self.places {
            let Some(clash) = place.clash.as_ref().filter(|_| place.windows.is_empty()) else {
                goes_on = false;
                continue;
            };
            let worst = |clash: &Clash| clash.shorter.slack.min(clash.longer.slack);
            match list.last_mut().filter(|last| goes_on && last.to.is_some() && place.position.is_some()) {
                Some(stretch) => {
                    stretch.to = place.position;
                    if worst(clash) < worst(&stretch.clash) {
                        (stretch.at, stretch.clash) = (place.position, clash.clone());
                    }
                }
                None => list.push(NoLength {
                    from: place.position,
                    to: place.position,
                    at: place.position,
                    clash: clash.clone(),
                    text: String::new(),
                }),
            }
            goes_on = true;
        }
        for stretch in &mut list {
            stretch.text = words::no_length(study, stretch);
        }
        list
    }

    /// The map over a little more than the windows of all places.
    fn map(&self) -> Map {
        let all = self.places.iter().filter(|place| place.position.is_some());
        let strands = all.flat_map(|place| {
            let ends = place.windows.first().zip(place.windows.last());
            let ends = ends.map(|(first, last)| [first.shortest.value, last.longest.value]);
            ends.into_iter().flatten().chain(place.clash.as_ref().map(|clash| clash.strand.value))
        });
        let (short, long) = strands.fold((f64::INFINITY, 0.0_f64), |(a, b), s| (a.min(s), b.max(s)));
        let model = self.judge.model;
        let pull = |strand_m: f64| {
            model
                .state(&super::Situation::unloaded(metres(strand_m)))
                .ok()
                .map(|state| state.both_strands().value)
        };
        let (Some(tight_n), Some(loose_n)) = (pull(short), pull(long)) else {
            return self.judge.map(&[], &[]);
        };
        let beyond = BEYOND * (tight_n - loose_n).max(0.1 * tight_n);
        let (low, high) = ((loose_n - beyond).max(0.2 * loose_n), tight_n + beyond);
        let rows = (0..ROWS).filter_map(|i| {
            let both = low + (high - low) * i as f64 / (ROWS - 1) as f64;
            let strand =
                model.unloaded_strand(crate::line::End::First, crate::quantity::newtons(both)).ok()?;
            Some((self.empty_reading(strand)?, strand))
        });
        let last = self.positions.len().saturating_sub(1);
        let steps = COLUMNS.min(self.positions.len()).saturating_sub(1).max(1);
        let columns = (0..=steps).filter_map(|step| {
            let i = step * last / steps;
            Some((i, self.x(Some(i))?))
        });
        self.judge.map(&rows.collect::<Vec<_>>(), &columns.collect::<Vec<_>>())
    }
}
