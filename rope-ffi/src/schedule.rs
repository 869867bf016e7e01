//! What a study tells a controller: set-points, settings, windows, marks with what to expect and where to stop.
//!
//! ```text
//! Read from a study; nothing is computed here. A setting is a length of each strand of the track, unstretched, with all that
//! it shows: readings of the load cell by what the capstan did last, sags, heights. A window: the lengths that keep every
//! limit with the load at one place. A mark comes in over the head with every mark_spacing of haul rope.
//! Assumed: as the study; the capstan turns only while the load stands. With a no-go there is no set-point, and no mark.
//! CAUTION. A band is what friction and the stated procedure explain. A reading inside it is no proof that all is well.
//! ```
//!
//! ```c
//! // operation: of the topic above
//! rmech_schedule schedule = RMECH_INIT(rmech_schedule);
//! rmech_haul_mark mark = RMECH_INIT(rmech_haul_mark);
//! if (status == RMECH_OK) status = rmech_operation_schedule(operation, &schedule, &error);
//! for (uint32_t i = 0; status == RMECH_OK && i < schedule.mark_count; i++) {
//!     status = rmech_operation_mark(operation, i, &mark, &error);
//!     // watch the cell for mark.stop_above_reading until this mark comes in
//! }
//! if (status == RMECH_OK) printf("%s\n", schedule.mark_count == mark.mark ? "every mark read" : "?"); // every mark read
//! ```

use crate::call::{call, growing_output, versions, writable_growing};
use crate::error::{Failure, RMECH_ERR_GEOMETRY, RMECH_ERR_VALUE, rmech_error};
use crate::operation::rmech_operation;
use crate::quantity::{rmech_current, rmech_force, rmech_length, rmech_ratio};
use crate::rig::handle;
use rope_mechanics::operation::schedule::{
    Clash, EmptyLine, EndedBy, HaulMark, Kept, LimitKind, LoadedLine, NoLength, Outcome, PlaceWindows,
    Readings, Schedule, SetPoint, Setting, Trend, Window,
};
use rope_mechanics::operation::verdict::Verdict;
use rope_mechanics::quantity::{Band, ElectricCurrent, Force};

/// No warning.
pub const RMECH_VERDICT_GO: i32 = 1;
/// Something that the crew has to do, or to keep to, on the spot: `verdict.go_with` of the study.
pub const RMECH_VERDICT_GO_WITH: i32 = 2;
/// A limit is passed, or the numbers don't hold for this rig.
pub const RMECH_VERDICT_NO_GO: i32 = 3;

/// One setting keeps every limit on the whole travel.
pub const RMECH_SCHEDULE_ONE_SETTING: i32 = 1;
/// The rope has to be set anew on the way.
pub const RMECH_SCHEDULE_MOVES: i32 = 2;
/// On some stretch no length keeps every limit.
pub const RMECH_SCHEDULE_NO_LENGTH: i32 = 3;
/// Something is wrong that no length of rope mends: see the study's warnings.
pub const RMECH_SCHEDULE_NO_GO: i32 = 4;

/// The litter hangs lower than its margin where it is to float.
pub const RMECH_LIMIT_LITTER_LOW: i32 = 1;
/// The litter hangs higher than it may.
pub const RMECH_LIMIT_LITTER_HIGH: i32 = 2;
/// A part, `component` of the study, has less than its factor.
pub const RMECH_LIMIT_FACTOR: i32 = 3;
/// The load cell may show more than its limit.
pub const RMECH_LIMIT_READING: i32 = 4;
/// The capstan would have to pull more than it is rated for.
pub const RMECH_LIMIT_CAPSTAN_PULL: i32 = 5;
/// The capstan's tail takes more than its limit.
pub const RMECH_LIMIT_CAPSTAN_TAIL: i32 = 6;
/// The frame is nearer to tipping than it may be.
pub const RMECH_LIMIT_FRAME_MARGIN: i32 = 7;
/// The frame falls.
pub const RMECH_LIMIT_FRAME_FALLS: i32 = 8;
/// The winch would have to pull more than it is rated for.
pub const RMECH_LIMIT_WINCH_PULL: i32 = 9;
/// The winch draws more than its limit.
pub const RMECH_LIMIT_WINCH_CURRENT: i32 = 10;
/// The track rope hangs below the ground.
pub const RMECH_LIMIT_TRACK_ON_GROUND: i32 = 11;
/// The strands are longer than the rope on hand allows.
pub const RMECH_LIMIT_ROPE_TOO_SHORT: i32 = 12;
/// Even the carriage lies on the ground.
pub const RMECH_LIMIT_CARRIAGE_ON_GROUND: i32 = 13;
/// No balance was found.
pub const RMECH_LIMIT_NO_BALANCE: i32 = 14;
/// A limit that this version of the header doesn't know.
pub const RMECH_LIMIT_OTHER: i32 = 99;

/// By less than 1 % either way on the way to the next mark.
pub const RMECH_TREND_STEADY: i32 = 0;
/// By more than 1 %.
pub const RMECH_TREND_RISES: i32 = 1;
/// By more than 1 %.
pub const RMECH_TREND_FALLS: i32 = -1;

/// The site's own setting has a set-point: the verdict on it is not no-go.
pub const RMECH_SCHEDULE_HAS_SET_POINT: i32 = 1;
/// `reading_limit` holds one.
pub const RMECH_SCHEDULE_HAS_READING_LIMIT: i32 = 2;
/// `current_limit` holds one.
pub const RMECH_SCHEDULE_HAS_CURRENT_LIMIT: i32 = 4;

/// `shorter_passes` holds what a shorter strand passes.
pub const RMECH_SETTING_HAS_SHORTER: i32 = 1;
/// `longer_passes` holds what a longer strand passes.
pub const RMECH_SETTING_HAS_LONGER: i32 = 2;
/// There is a setting before, and the members of the change hold how to come from it.
pub const RMECH_SETTING_HAS_CHANGE: i32 = 4;
/// `reading_loose` holds a reading.
pub const RMECH_SETTING_HAS_LOOSE: i32 = 8;
/// `reading_tight` holds a reading.
pub const RMECH_SETTING_HAS_TIGHT: i32 = 16;

/// The current's band is known: the winch can pull so hard.
pub const RMECH_MARK_HAS_CURRENT: i32 = 1;
/// `stop_above_current` holds a current.
pub const RMECH_MARK_HAS_STOP_CURRENT: i32 = 2;

/// How a limit is kept at one place, with one length of rope.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_kept {
    /// One of `RMECH_LIMIT_...`; zero where there is none.
    pub kind: i32,
    /// Index in the study's components, of `RMECH_LIMIT_FACTOR`; else -1.
    pub component: i32,
    /// Whether there are a value and what is allowed: not for a frame that falls.
    pub has_value: i32,
    /// Zero.
    pub reserved: i32,
    /// At its worst, in the SI unit of its kind: metres, newtons, amperes, radians; a factor is a plain number.
    pub value: f64,
    /// What is allowed, in the same.
    pub allowed: f64,
    /// By how much it is kept, as a share of what is allowed, or in metres for a height; negative where it is passed.
    pub slack: f64,
}

/// A force to expect, and what it lies between.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_expected_force {
    /// At least this.
    pub low: rmech_force,
    /// The best estimate.
    pub expected: rmech_force,
    /// At most this.
    pub high: rmech_force,
}

/// A current to expect, and what it lies between.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_expected_current {
    /// At least this.
    pub low: rmech_current,
    /// The best estimate.
    pub expected: rmech_current,
    /// At most this.
    pub high: rmech_current,
}

impl From<Band<Force>> for rmech_expected_force {
    fn from(of: Band<Force>) -> Self {
        Self { low: of.low.into(), expected: of.expected.into(), high: of.high.into() }
    }
}

impl From<Band<ElectricCurrent>> for rmech_expected_current {
    fn from(of: Band<ElectricCurrent>) -> Self {
        Self { low: of.low.into(), expected: of.expected.into(), high: of.high.into() }
    }
}

/// What the load cell shows of one rope, by what the capstan did last.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_cell_readings {
    /// While it takes in, and just after.
    pub taking_in: rmech_force,
    /// While it eases, and just after.
    pub easing: rmech_force,
    /// At rest after anything else: the band that friction may leave.
    pub at_rest: rmech_expected_force,
}

/// What the schedule of a study comes to, and how much it holds. Positions are those of the study.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_schedule {
    /// sizeof(rmech_schedule); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// Bits `RMECH_SCHEDULE_HAS_...`.
    pub known: i32,
    /// One of `RMECH_VERDICT_...`, on the site's own setting.
    pub verdict: i32,
    /// One of `RMECH_SCHEDULE_...`, on the fewest settings.
    pub outcome: i32,
    /// Whether the doubt on the inputs was counted in.
    pub in_doubt: i32,
    /// How many settings would do if each length could be set exactly.
    pub fewest_if_exact: u32,
    /// For `rmech_operation_setting`.
    pub setting_count: u32,
    /// For `rmech_operation_place`.
    pub place_count: u32,
    /// For `rmech_operation_no_length`.
    pub no_length_count: u32,
    /// For `rmech_operation_mark`.
    pub mark_count: u32,
    /// For `rmech_operation_seen`.
    pub position_count: u32,
    /// Whether the site gives the distance of the marks.
    pub marks_given: i32,
    /// Distance between the marks on the haul rope.
    pub mark_spacing: rmech_length,
    /// Of the edge of the slope, from which slope distances are measured, in the site's own level distances.
    pub edge_x: rmech_length,
    /// Its height in the site.
    pub edge_z: rmech_length,
    /// Greatest reading that the site allows.
    pub reading_limit: rmech_force,
    /// Greatest current that it allows.
    pub current_limit: rmech_current,
}

versions!(rmech_schedule: 88);

/// One length of track rope by all that it can be set to or checked by, without its load.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_set_point {
    /// sizeof(rmech_set_point); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// With the load on at so many places: `rmech_operation_set_point_line`, `rmech_operation_setting_line`.
    pub line_count: u32,
    /// Of each strand between head and far sheave, unstretched, locked without load.
    pub strand: rmech_length,
    /// Both strands and what lies behind the head, unstretched: what the capstan takes in shortens this.
    pub rope_in_line: rmech_length,
    /// The strand that pulls as much as this one does after it has relaxed in the first minutes.
    pub relaxed_strand: rmech_length,
    /// What the load cell shows.
    pub reading: rmech_cell_readings,
    /// What it shows ten minutes after the rope was taken in and locked.
    pub reading_after_minutes: rmech_expected_force,
    /// Tension of each strand at the head.
    pub strand_tension_head: rmech_force,
    /// What the capstan pulls while it takes in.
    pub capstan_pull: rmech_force,
    /// Greatest vertical distance below the chord.
    pub sag: rmech_length,
}

versions!(rmech_set_point: 120);

/// The track rope with its load hauled to a place.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_loaded_line {
    /// sizeof(rmech_loaded_line); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// Index in the study's positions.
    pub position: u32,
    /// What the load cell shows.
    pub reading: rmech_cell_readings,
    /// Tension of each strand at the head.
    pub strand_tension_head: rmech_force,
    /// What the capstan pulls while it takes in.
    pub capstan_pull: rmech_force,
    /// Height of the litter's underside, hauled,
    pub litter_height: rmech_length,
    /// and the least of hauled, at rest and lowered.
    pub least_litter_height: rmech_length,
    /// The carriage below the chord of the track.
    pub sag: rmech_length,
    /// Pull of the haul rope at the carriage.
    pub haul_pull: rmech_force,
}

versions!(rmech_loaded_line: 96);

/// One setting of the track rope and the positions that it serves.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_track_setting {
    /// sizeof(rmech_track_setting); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// Bits `RMECH_SETTING_HAS_...`; the readings are always known.
    pub known: i32,
    /// The first position that it serves; -1 for a setting that is made before the load is on.
    pub from: i32,
    /// The last.
    pub to: i32,
    /// Whether a crew that sets its reading to within 3 % stays inside.
    pub can_be_set: i32,
    /// Whether its readings are closer together than what friction may leave: then take in last, or they say nothing.
    pub narrower_than_friction: i32,
    /// Whether the rope still keeps every limit when it has relaxed in its first minutes; else take it in again then.
    pub holds_relaxed: i32,
    /// The position at which to stop for the change to it.
    pub stop: i32,
    /// Whether both settings keep every limit there.
    pub both_hold: i32,
    /// The position of `shorter_passes`; -1 before the load is on.
    pub shorter_at: i32,
    /// The position of `longer_passes`; -1 before the load is on.
    pub longer_at: i32,
    /// Zero.
    pub reserved: i32,
    /// The lengths of each strand that keep every limit at all of its positions: from this
    pub shortest: rmech_length,
    /// to this.
    pub longest: rmech_length,
    /// Reading of the empty line, the capstan taking in, at the longest strand,
    pub reading_loose: rmech_force,
    /// and at the shortest.
    pub reading_tight: rmech_force,
    /// Rope to take in at the capstan for the change; negative for rope to let out.
    pub take_in: rmech_length,
    /// What the load cell shows before the capstan turns, if it was taken in last. After: the line of `stop`.
    pub reading_before: rmech_force,
    /// What a shorter strand passes.
    pub shorter_passes: rmech_kept,
    /// What a longer one passes.
    pub longer_passes: rmech_kept,
}

versions!(rmech_track_setting: 176);

/// A place for which the lengths that keep every limit were found: without load first, then along the travel.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_schedule_place {
    /// sizeof(rmech_schedule_place); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// Index in the study's positions; -1 before the load is on.
    pub position: i32,
    /// For `rmech_operation_window`; with none, two limits clash.
    pub window_count: u32,
    /// Whether the members below hold a clash.
    pub has_clash: i32,
    /// The strand whose worst limit is passed by least.
    pub clash_strand: rmech_length,
    /// The limit passed on the side of a shorter strand,
    pub clash_shorter: rmech_kept,
    /// and on that of a longer one. Where it is the same limit, no length of rope helps against it.
    pub clash_longer: rmech_kept,
}

versions!(rmech_schedule_place: 104);

/// An interval of lengths of each strand that keeps every limit at one place.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_strand_window {
    /// sizeof(rmech_strand_window); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// Bits `RMECH_SETTING_HAS_...`, but for a change.
    pub known: i32,
    /// The shortest strand, unstretched, as it is locked without load.
    pub shortest: rmech_length,
    /// The longest.
    pub longest: rmech_length,
    /// Reading of the empty line, the capstan taking in, at the longest strand,
    pub reading_loose: rmech_force,
    /// and at the shortest.
    pub reading_tight: rmech_force,
    /// What a shorter strand passes.
    pub shorter_passes: rmech_kept,
    /// What a longer one passes.
    pub longer_passes: rmech_kept,
}

versions!(rmech_strand_window: 120);

/// A stretch of the travel on which no length of rope keeps every limit.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_no_length {
    /// sizeof(rmech_no_length); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// From this position; -1 before the load is on,
    pub from: i32,
    /// to this.
    pub to: i32,
    /// Where the best length passes most.
    pub at: i32,
    /// The strand whose worst limit is passed by least there.
    pub strand: rmech_length,
    /// The limit passed on the side of a shorter strand,
    pub shorter: rmech_kept,
    /// and on that of a longer one.
    pub longer: rmech_kept,
}

versions!(rmech_no_length: 104);

/// A mark on the haul rope as it comes in over the head, what to expect then, and where to stop.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_haul_mark {
    /// sizeof(rmech_haul_mark); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// Bits `RMECH_MARK_HAS_...`.
    pub known: i32,
    /// Counted from 1.
    pub mark: u32,
    /// How the reading goes on to the next mark: one of `RMECH_TREND_...`,
    pub reading_goes_on: i32,
    /// and the current.
    pub current_goes_on: i32,
    /// Zero.
    pub reserved: i32,
    /// Haul rope that has come in past the head since the start.
    pub rope_taken_in: rmech_length,
    /// Rope that the winch has taken in, through its tackle.
    pub winch_rope: rmech_length,
    /// Where the carriage is: its level distance in the site,
    pub carriage_x: rmech_length,
    /// and its height.
    pub carriage_z: rmech_length,
    /// Straight from the edge of the slope to the point of the ground below the carriage.
    pub slope_distance: rmech_length,
    /// Height of the litter's underside, hauled.
    pub litter_height: rmech_length,
    /// What the load cell is to show.
    pub reading: rmech_expected_force,
    /// The pull at the winch, over what its turns may lose.
    pub winch_pull: rmech_expected_force,
    /// The winch's current at these pulls.
    pub current: rmech_expected_current,
    /// Stop when the load cell shows more: the limit, or all that friction explains there, whichever is less.
    pub stop_above_reading: rmech_force,
    /// Stop when the winch draws more: the limit, or the high end of what is expected, whichever is less.
    pub stop_above_current: rmech_current,
}

versions!(rmech_haul_mark: 160);

/// A position as it can be seen without a survey.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_seen {
    /// sizeof(rmech_seen); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// Zero.
    pub flags: u32,
    /// Haul rope that has come in past the head since the start.
    pub rope_taken_in: rmech_length,
    /// The same in marks on the haul rope: 2.5 lies half-way between the second and the third.
    pub marks: rmech_ratio,
    /// Straight from the edge of the slope to the point of the ground below the carriage.
    pub slope_distance: rmech_length,
}

versions!(rmech_seen: 32);

const fn size_of_u32<T>() -> u32 {
    size_of::<T>() as u32
}

/// An index of the study, or -1.
fn index(position: Option<usize>) -> i32 {
    position.map_or(-1, |at| at as i32)
}

const fn bit(known: bool, bit: i32) -> i32 {
    if known { bit } else { 0 }
}

const fn limit(kind: LimitKind) -> i32 {
    match kind {
        LimitKind::LitterLow => RMECH_LIMIT_LITTER_LOW,
        LimitKind::LitterHigh => RMECH_LIMIT_LITTER_HIGH,
        LimitKind::Factor => RMECH_LIMIT_FACTOR,
        LimitKind::Reading => RMECH_LIMIT_READING,
        LimitKind::CapstanPull => RMECH_LIMIT_CAPSTAN_PULL,
        LimitKind::CapstanTail => RMECH_LIMIT_CAPSTAN_TAIL,
        LimitKind::FrameMargin => RMECH_LIMIT_FRAME_MARGIN,
        LimitKind::FrameFalls => RMECH_LIMIT_FRAME_FALLS,
        LimitKind::WinchPull => RMECH_LIMIT_WINCH_PULL,
        LimitKind::WinchCurrent => RMECH_LIMIT_WINCH_CURRENT,
        LimitKind::TrackOnGround => RMECH_LIMIT_TRACK_ON_GROUND,
        LimitKind::RopeTooShort => RMECH_LIMIT_ROPE_TOO_SHORT,
        LimitKind::CarriageOnGround => RMECH_LIMIT_CARRIAGE_ON_GROUND,
        LimitKind::NoBalance => RMECH_LIMIT_NO_BALANCE,
        _ => RMECH_LIMIT_OTHER,
    }
}

const fn trend(of: Trend) -> i32 {
    match of {
        Trend::Rises => RMECH_TREND_RISES,
        Trend::Falls => RMECH_TREND_FALLS,
        _ => RMECH_TREND_STEADY,
    }
}

impl From<&Kept> for rmech_kept {
    fn from(kept: &Kept) -> Self {
        Self {
            kind: limit(kept.limit.kind),
            component: index(kept.limit.component),
            has_value: i32::from(kept.value.is_some() && kept.allowed.is_some()),
            reserved: 0,
            value: kept.value.unwrap_or_default(),
            allowed: kept.allowed.unwrap_or_default(),
            slack: kept.slack,
        }
    }
}

/// What is passed beyond an end, if anything.
fn passes(kept: Option<&Kept>) -> rmech_kept {
    kept.map_or_else(rmech_kept::default, rmech_kept::from)
}

impl From<Readings> for rmech_cell_readings {
    fn from(of: Readings) -> Self {
        Self { taking_in: of.taking_in.into(), easing: of.easing.into(), at_rest: of.at_rest.into() }
    }
}

impl From<&SetPoint> for rmech_set_point {
    fn from(of: &SetPoint) -> Self {
        let EmptyLine { reading, reading_after_minutes, strand_tension_head, capstan_pull, sag, .. } =
            of.empty;
        Self {
            struct_size: size_of_u32::<Self>(),
            line_count: of.loaded.len() as u32,
            strand: of.strand.into(),
            rope_in_line: of.rope_in_line.into(),
            relaxed_strand: of.relaxed_strand.into(),
            reading: reading.into(),
            reading_after_minutes: reading_after_minutes.into(),
            strand_tension_head: strand_tension_head.into(),
            capstan_pull: capstan_pull.into(),
            sag: sag.into(),
        }
    }
}

impl From<&LoadedLine> for rmech_loaded_line {
    fn from(of: &LoadedLine) -> Self {
        Self {
            struct_size: size_of_u32::<Self>(),
            position: of.position as u32,
            reading: of.reading.into(),
            strand_tension_head: of.strand_tension_head.into(),
            capstan_pull: of.capstan_pull.into(),
            litter_height: of.litter_height.into(),
            least_litter_height: of.least_litter_height.into(),
            sag: of.sag.into(),
            haul_pull: of.haul_pull.into(),
        }
    }
}

impl From<&Setting> for rmech_track_setting {
    fn from(of: &Setting) -> Self {
        let end = |ended: &Option<EndedBy>| {
            ended.as_ref().map_or((-1, passes(None)), |by| (index(by.position), passes(Some(&by.passes))))
        };
        let ((shorter_at, shorter_passes), (longer_at, longer_passes)) =
            (end(&of.shorter_passes), end(&of.longer_passes));
        let change = of.change.as_ref();
        Self {
            struct_size: size_of_u32::<Self>(),
            known: bit(of.shorter_passes.is_some(), RMECH_SETTING_HAS_SHORTER)
                | bit(of.longer_passes.is_some(), RMECH_SETTING_HAS_LONGER)
                | bit(change.is_some(), RMECH_SETTING_HAS_CHANGE)
                | RMECH_SETTING_HAS_LOOSE
                | RMECH_SETTING_HAS_TIGHT,
            from: index(of.from),
            to: of.to as i32,
            can_be_set: i32::from(of.can_be_set),
            narrower_than_friction: i32::from(of.narrower_than_friction),
            holds_relaxed: i32::from(of.holds_relaxed),
            stop: index(change.map(|change| change.stop)),
            both_hold: i32::from(change.is_some_and(|change| change.both_hold)),
            shorter_at,
            longer_at,
            reserved: 0,
            shortest: of.shortest.into(),
            longest: of.longest.into(),
            reading_loose: of.readings[0].into(),
            reading_tight: of.readings[1].into(),
            take_in: change.map_or_else(rmech_length::default, |change| change.take_in.into()),
            reading_before: change.map_or_else(rmech_force::default, |change| change.reading_before.into()),
            shorter_passes,
            longer_passes,
        }
    }
}

impl From<&PlaceWindows> for rmech_schedule_place {
    fn from(of: &PlaceWindows) -> Self {
        let clash = of.clash.as_ref();
        Self {
            struct_size: size_of_u32::<Self>(),
            position: index(of.position),
            window_count: of.windows.len() as u32,
            has_clash: i32::from(clash.is_some()),
            clash_strand: clash.map_or_else(rmech_length::default, |clash| clash.strand.into()),
            clash_shorter: passes(clash.map(|clash| &clash.shorter)),
            clash_longer: passes(clash.map(|clash| &clash.longer)),
        }
    }
}

/// A window, and the readings of the empty line at its longest and its shortest strand.
fn window(of: &Window, readings: Option<&[Option<Force>; 2]>) -> rmech_strand_window {
    let [loose, tight] = readings.copied().unwrap_or_default();
    rmech_strand_window {
        struct_size: size_of_u32::<rmech_strand_window>(),
        known: bit(of.shorter_passes.is_some(), RMECH_SETTING_HAS_SHORTER)
            | bit(of.longer_passes.is_some(), RMECH_SETTING_HAS_LONGER)
            | bit(loose.is_some(), RMECH_SETTING_HAS_LOOSE)
            | bit(tight.is_some(), RMECH_SETTING_HAS_TIGHT),
        shortest: of.shortest.into(),
        longest: of.longest.into(),
        reading_loose: loose.map_or_else(rmech_force::default, rmech_force::from),
        reading_tight: tight.map_or_else(rmech_force::default, rmech_force::from),
        shorter_passes: passes(of.shorter_passes.as_ref()),
        longer_passes: passes(of.longer_passes.as_ref()),
    }
}

impl From<&NoLength> for rmech_no_length {
    fn from(of: &NoLength) -> Self {
        let Clash { strand, shorter, longer, .. } = &of.clash;
        Self {
            struct_size: size_of_u32::<Self>(),
            from: index(of.from),
            to: index(of.to),
            at: index(of.at),
            strand: (*strand).into(),
            shorter: shorter.into(),
            longer: longer.into(),
        }
    }
}

impl From<&HaulMark> for rmech_haul_mark {
    fn from(of: &HaulMark) -> Self {
        Self {
            struct_size: size_of_u32::<Self>(),
            known: bit(of.current.is_some(), RMECH_MARK_HAS_CURRENT)
                | bit(of.stop_above_current.is_some(), RMECH_MARK_HAS_STOP_CURRENT),
            mark: of.mark,
            reading_goes_on: trend(of.reading_goes_on),
            current_goes_on: trend(of.current_goes_on),
            reserved: 0,
            rope_taken_in: of.rope_taken_in.into(),
            winch_rope: of.winch_rope.into(),
            carriage_x: of.carriage.x.into(),
            carriage_z: of.carriage.z.into(),
            slope_distance: of.slope_distance.into(),
            litter_height: of.litter_height.into(),
            reading: of.reading.into(),
            winch_pull: of.winch_pull.into(),
            current: of.current.map_or_else(rmech_expected_current::default, rmech_expected_current::from),
            stop_above_reading: of.stop_above_reading.into(),
            stop_above_current: of
                .stop_above_current
                .map_or_else(rmech_current::default, rmech_current::from),
        }
    }
}

/// One of a list.
fn one<'a, T>(of: &'a [T], number: usize, name: &str) -> Result<&'a T, Failure> {
    let why = || {
        let count = of.len();
        Failure::of(RMECH_ERR_VALUE, name, format_args!("{name} is {number}, but there are {count}"))
    };
    of.get(number).ok_or_else(why)
}

fn own_set_point(schedule: &Schedule) -> Result<&SetPoint, Failure> {
    let why = "the verdict on the site's own setting is no-go: there is no set-point";
    schedule.set_point.as_ref().ok_or_else(|| Failure::of(RMECH_ERR_GEOMETRY, "operation", why))
}

/// What the schedule of a study comes to, and how many of each list it holds.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_operation_schedule(
    operation: *const rmech_operation,
    schedule: *mut rmech_schedule,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let of = unsafe { handle("operation", operation)? };
        let (found, limits) = (&of.schedule, &of.limits);
        let value = rmech_schedule {
            struct_size: size_of_u32::<rmech_schedule>(),
            known: bit(found.set_point.is_some(), RMECH_SCHEDULE_HAS_SET_POINT)
                | bit(limits.reading.is_some(), RMECH_SCHEDULE_HAS_READING_LIMIT)
                | bit(limits.current.is_some(), RMECH_SCHEDULE_HAS_CURRENT_LIMIT),
            verdict: match of.verdict {
                Verdict::Go => RMECH_VERDICT_GO,
                Verdict::GoWith => RMECH_VERDICT_GO_WITH,
                _ => RMECH_VERDICT_NO_GO,
            },
            outcome: match found.outcome {
                Outcome::OneSetting => RMECH_SCHEDULE_ONE_SETTING,
                Outcome::Moves => RMECH_SCHEDULE_MOVES,
                Outcome::NoLength => RMECH_SCHEDULE_NO_LENGTH,
                _ => RMECH_SCHEDULE_NO_GO,
            },
            in_doubt: i32::from(found.in_doubt),
            fewest_if_exact: found.fewest_if_exact as u32,
            setting_count: found.settings.len() as u32,
            place_count: found.windows.len() as u32,
            no_length_count: found.no_length.len() as u32,
            mark_count: found.marks.len() as u32,
            position_count: found.seen.len() as u32,
            marks_given: i32::from(found.marks_given),
            mark_spacing: found.mark_spacing.into(),
            edge_x: found.edge.x.into(),
            edge_z: found.edge.z.into(),
            reading_limit: limits.reading.map_or_else(rmech_force::default, rmech_force::from),
            current_limit: limits.current.map_or_else(rmech_current::default, rmech_current::from),
        };
        // SAFETY: as above.
        unsafe { growing_output("schedule", schedule, value) }
    })
}

/// The setting that the site asks for, by all that it shows without its load. With a no-go there is none:
/// `RMECH_ERR_GEOMETRY`.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_operation_set_point(
    operation: *const rmech_operation,
    set_point: *mut rmech_set_point,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let of = unsafe { handle("operation", operation)? };
        // SAFETY: as above.
        unsafe { growing_output("set_point", set_point, own_set_point(&of.schedule)?.into()) }
    })
}

/// The same with its load on at one of its places, counted from 0: the first and the last position.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_operation_set_point_line(
    operation: *const rmech_operation,
    number: usize,
    line: *mut rmech_loaded_line,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let of = unsafe { handle("operation", operation)? };
        let found = one(&own_set_point(&of.schedule)?.loaded, number, "number")?;
        // SAFETY: as above.
        unsafe { growing_output("line", line, found.into()) }
    })
}

/// One of the fewest settings, counted from 0 in the order of the travel, and what to set for it. `set_point` may be NULL.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_operation_setting(
    operation: *const rmech_operation,
    number: usize,
    setting: *mut rmech_track_setting,
    set_point: *mut rmech_set_point,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let of = unsafe { handle("operation", operation)? };
        let found = one(&of.schedule.settings, number, "number")?;
        // SAFETY: as above.
        unsafe {
            writable_growing("setting", setting)?;
            if !set_point.is_null() {
                growing_output("set_point", set_point, (&found.target).into())?;
            }
            growing_output("setting", setting, found.into())
        }
    })
}

/// A setting with its load on at one of the places of its set-point: its first and last position, and its stop.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_operation_setting_line(
    operation: *const rmech_operation,
    setting: usize,
    number: usize,
    line: *mut rmech_loaded_line,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let of = unsafe { handle("operation", operation)? };
        let found = one(&one(&of.schedule.settings, setting, "setting")?.target.loaded, number, "number")?;
        // SAFETY: as above.
        unsafe { growing_output("line", line, found.into()) }
    })
}

/// A place whose windows were found, counted from 0.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_operation_place(
    operation: *const rmech_operation,
    number: usize,
    place: *mut rmech_schedule_place,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let of = unsafe { handle("operation", operation)? };
        let found = one(&of.schedule.windows, number, "number")?;
        // SAFETY: as above.
        unsafe { growing_output("place", place, found.into()) }
    })
}

/// A window of a place, both counted from 0, the shortest strand first; several where a litter may drag.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_operation_window(
    operation: *const rmech_operation,
    place: usize,
    number: usize,
    window: *mut rmech_strand_window,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let of = unsafe { handle("operation", operation)? };
        let at = one(&of.schedule.windows, place, "place")?;
        let value = self::window(one(&at.windows, number, "number")?, at.readings.get(number));
        // SAFETY: as above.
        unsafe { growing_output("window", window, value) }
    })
}

/// A stretch on which no length keeps every limit, counted from 0.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_operation_no_length(
    operation: *const rmech_operation,
    number: usize,
    no_length: *mut rmech_no_length,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let of = unsafe { handle("operation", operation)? };
        let found = one(&of.schedule.no_length, number, "number")?;
        // SAFETY: as above.
        unsafe { growing_output("no_length", no_length, found.into()) }
    })
}

/// A mark on the haul rope, counted from 0 in the order in which they come in.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_operation_mark(
    operation: *const rmech_operation,
    number: usize,
    mark: *mut rmech_haul_mark,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let of = unsafe { handle("operation", operation)? };
        let found = one(&of.schedule.marks, number, "number")?;
        // SAFETY: as above.
        unsafe { growing_output("mark", mark, found.into()) }
    })
}

/// A position of the study as it can be seen, counted from 0.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_operation_seen(
    operation: *const rmech_operation,
    number: usize,
    seen: *mut rmech_seen,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: as above.
        let of = unsafe { handle("operation", operation)? };
        let found = one(&of.schedule.seen, number, "number")?;
        let value = rmech_seen {
            struct_size: size_of_u32::<rmech_seen>(),
            flags: 0,
            rope_taken_in: found.rope_taken_in.into(),
            marks: rmech_ratio { fraction: found.marks },
            slope_distance: found.slope_distance.into(),
        };
        // SAFETY: as above.
        unsafe { growing_output("seen", seen, value) }
    })
}
