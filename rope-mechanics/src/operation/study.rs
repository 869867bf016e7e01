//! What a study finds: every number in SI, its key named for its unit.

use super::alternatives::Alternatives;
use super::changeover::Changeover;
use super::clearance::Clearances;
use super::cures::Cures;
use super::doubt::Doubt;
use super::failures::FailureTable;
use super::given::Given;
use super::layout::PlanView;
use super::place::Place;
use super::plan::SitePlan;
use super::schedule::Schedule;
use super::settled::SettledTrack;
use super::site::{PartFactors, Site};
use super::variants::Figures;
use super::verdict::Judgement;
use crate::geometry::{Force3, Point2, Point3};
use crate::quantity::{
    Angle, Band, ElectricCurrent, ElectricPotential, Energy, Force, Length, Mark, Power, Ratio, Time,
    Velocity,
};
use alloc::string::String;
use alloc::vec::Vec;
use serde::ser::SerializeStruct;
use serde::{Deserialize, Serialize};

/// What the study leaves out or makes simpler than it is.
pub(super) const SIMPLIFICATIONS: [&str; 12] = [
    "Both strands between the head and the far anchor are one line that shares the load and its rope. Friction at the sheaves makes a band of tensions, not another shape.",
    "The track rope is locked at the capstan while the load travels. Its ways behind the frame stretch with the mean tension of the strands, and have no weight.",
    "Haul and belay rope hang straight, and half of their weight, taken over the whole chord, hangs on the carriage. The belay rope carries nothing while all goes well.",
    "Where the line doesn't lift the load, the litter lags behind the carriage on its sling and is dragged.",
    "The litter is a point at the end of its sling: heights and drag are taken there. A long litter across a steep bank touches with its edge before.",
    "All ropes run in one vertical plane outward from the head. Forces are static: no jerks, no wind.",
    "Ropes are bedded in and stretch the same on the way up and down. Gravity is 9.80665 m/s².",
    "A part fails while the load stands still. What falls moves in the plane of the line, on ropes without mass that are up to 3.3 times as stiff as slowly pulled, which none of 51 measured falls passes, and nothing is damped but by the ground: bounds, not forecasts.",
    "Where more than three legs and guys share a force, they share it by usual stiffnesses of poles and ropes (from memory).",
    "The weakest hand of one measurement held 46 N (10 lbf) on a moving rope (Mauthner, quoted in Moyer 2006).",
    "The battery's voltage without load is the same at any charge and in the cold.",
    "While the load is taken over at the head it hangs still on its ropes: nothing swings. The belay rope from behind is tended without a pull until it pulls the litter in, and the litter doesn't turn.",
];

/// What stands on every result.
pub const CAUTIONS: [&str; 5] = [
    "An aid for planning and training by qualified people. It is not a certified safety function and must never be the only limit on a load.",
    "The inputs, the inspection and the equipment are the user's. Local codes, makers' instructions and the authority having jurisdiction come first.",
    "Results are estimates. Where nothing was measured on the real rope, allow at least 15 % either way on every tension.",
    "A doubled track rope on one sheave has no redundancy: if the rope, the sheave or the far anchor fails, both strands are gone.",
    "A winch built for pulling may be barred by its own standard from lifting people. Ask its maker before a person hangs on it.",
];

/// A value that the study rests on and the site file doesn't give.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Assumption {
    /// The key of the site file that would replace it.
    pub key: String,
    /// What is assumed, in words, with its unit.
    pub text: String,
    /// Where it comes from.
    pub mark: Mark,
}

/// Something that the crew should know before it relies on the rest.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Warning {
    /// A word for the kind, stable between versions.
    pub kind: WarningKind,
    /// Index in the study's components, where one of them is at fault.
    pub component: Option<usize>,
    /// Index in the positions, where it is worst; none for what doesn't belong to one of them.
    pub position: Option<usize>,
    /// The value found, in `unit`.
    pub value: Option<f64>,
    /// The limit that it passes, in `unit`.
    pub limit: Option<f64>,
    /// The SI unit of both: "N", "m", "rad", "A"; empty for a plain number or a share.
    pub unit: &'static str,
    /// What was found and where, in words.
    pub text: String,
}

/// Kinds of warnings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum WarningKind {
    /// The track rope on hand is too short.
    RopeTooShort,
    /// The haul rope on hand doesn't reach from the winch to the load at its start.
    HaulRopeTooShort,
    /// The belay rope on hand doesn't reach from its device to the load at its start.
    BelayRopeTooShort,
    /// A safety factor is below what is wanted.
    Factor,
    /// The load-cell reading passes its limit.
    Reading,
    /// The litter is higher than its limit.
    LitterHigh,
    /// The litter drags on the ground.
    LitterDrags,
    /// The track rope touches the ground.
    TrackOnGround,
    /// Further out the load would roll in by itself.
    RollsIn,
    /// On the way down even the carriage would lie on the ground.
    CarriageOnGround,
    /// A guy would have to push, or the frame would tip.
    Frame,
    /// The pull or the current is more than the winch is rated for.
    Winch,
    /// The battery does not last.
    Battery,
    /// A person can't hold the capstan's tail.
    CapstanTail,
    /// While the load is taken over at the head, the litter comes too near to the ground or to the frame.
    Changeover,
    /// Something that the crew has to do while the load is taken over, or to keep in mind: hands or a tackle for the pull, one
    /// rope only, too little track rope to let it right down; and any limit that is passed where the site file doesn't say how
    /// it is taken over.
    SwingIn,
    /// A part has no rated strength in the site file.
    NotRated,
    /// What the load cell will show can't be followed.
    ReadingUnknown,
    /// A rope comes nearer to the ground than wanted.
    RopeNear,
    /// The litter touches the ground with its end or its edge, though its middle floats.
    LitterTouches,
    /// The load cell may show less than its least: the line is slack there, or something has let go.
    ReadingLow,
    /// The frame falls when something else fails.
    FrameInFailure,
    /// A failure that somebody in the litter may not survive.
    NotSurvivable,
    /// A sheave is small for its rope, or can't turn between the two strands of the track.
    Sheave,
    /// An anchor is pulled more steeply upwards than its figure is good for.
    AnchorPull,
}

/// Kinds of parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum PartKind {
    /// A rope with its knots.
    Rope,
    /// The anchor itself.
    Anchor,
    /// Its sling.
    Sling,
    /// Its connector.
    Connector,
    /// Its sheave or pulley.
    Sheave,
    /// The load cell.
    LoadCell,
    /// A leg of the frame.
    Leg,
    /// A guy of the frame.
    Guy,
    /// All parts at a place of which the site file rates none.
    Unrated,
}

/// A part of the rig that takes a force.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct RatedPart {
    /// What it is and where, in words: "sling at the far anchor".
    pub name: String,
    /// The place whose force it takes.
    pub place: Place,
    /// What it is.
    pub kind: PartKind,
    /// What it can take: rated or reduced strength. Absent if the site file gives none.
    #[serde(rename = "strength_n")]
    pub strength: Option<Force>,
    /// How the strength comes about, where it is reduced.
    pub basis: String,
}

/// A band of forces as numbers: the least, what to expect, the greatest.
pub(super) fn in_newtons<S: serde::Serializer>(band: &Band<Force>, serializer: S) -> Result<S::Ok, S::Error> {
    let mut fields = serializer.serialize_struct("Band", 3)?;
    fields.serialize_field("low_n", &band.low)?;
    fields.serialize_field("expected_n", &band.expected)?;
    fields.serialize_field("high_n", &band.high)?;
    fields.end()
}

fn maybe_in_newtons<S: serde::Serializer>(
    band: &Option<Band<Force>>,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    match band {
        Some(band) => in_newtons(band, serializer),
        None => serializer.serialize_none(),
    }
}

/// The track rope without its load.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Unloaded {
    /// Tension of each strand at the head.
    #[serde(rename = "strand_tension_head_n")]
    pub strand_tension_head: Force,
    /// Tension of each strand at the far anchor.
    #[serde(rename = "strand_tension_far_n")]
    pub strand_tension_far: Force,
    /// What the cell shows at rest.
    #[serde(serialize_with = "in_newtons")]
    pub reading: Band<Force>,
    /// What the cell shows while the capstan still turns: the reading to tension to.
    #[serde(rename = "reading_while_tensioning_n")]
    pub reading_while_tensioning: Force,
    /// What the capstan pulls while tensioning.
    #[serde(rename = "capstan_pull_n")]
    pub capstan_pull: Force,
    /// Rope between the head and the far anchor without tension, one strand.
    #[serde(rename = "strand_length_m")]
    pub strand_length: Length,
    /// Greatest distance below the chord.
    #[serde(rename = "sag_m")]
    pub sag: Length,
    /// Least height of the line above the ground.
    #[serde(rename = "clearance_m")]
    pub clearance: Length,
    /// The frame while the rope is tensioned, eased or at rest, if it stands.
    pub frame: Option<FrameState>,
    /// Greatest force on each component meanwhile, in the order of the study's list.
    #[serde(rename = "forces_n")]
    pub forces: Vec<Force>,
    /// Its shape, from the head outward.
    pub shape: Vec<Xz>,
}

/// The track rope with its load at one of the positions, hauled.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Loaded {
    /// Index in the positions.
    pub position: usize,
    /// Its shape, from the head by the carriage to the far anchor.
    pub shape: Vec<Xz>,
    /// The haul rope as it hangs under its pull at the carriage, from the head; empty where it is too slack to hang free.
    pub haul: Vec<Xz>,
    /// The belay rope as it hangs with its slack; empty without one.
    pub belay: Vec<Xz>,
}

/// A point in the plane of the line, as numbers in metres.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Xz {
    /// Level, outward.
    #[serde(rename = "x_m")]
    pub x: Length,
    /// Up.
    #[serde(rename = "z_m")]
    pub z: Length,
}

impl From<Point2> for Xz {
    fn from(p: Point2) -> Self {
        Self { x: p.x, z: p.z }
    }
}

/// A force in space, as numbers in newtons.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Xyz {
    /// Level, outward.
    #[serde(rename = "x_n")]
    pub x: Force,
    /// Level, to the left of somebody who looks out.
    #[serde(rename = "y_n")]
    pub y: Force,
    /// Up.
    #[serde(rename = "z_n")]
    pub z: Force,
}

impl From<Force3> for Xyz {
    fn from(f: Force3) -> Self {
        Self { x: f.x, y: f.y, z: f.z }
    }
}

/// The rig with its load at one place. Balance, heights, readings and pulls are those of hauling; [`at_rest`](Self::at_rest)
/// and [`lowering`](Self::lowering) have what differs. Forces on parts, frame and the line's clearance are the worst of
/// all three.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Position {
    /// Where the carriage is.
    pub carriage: Xz,
    /// Haul rope still to come: from the head to the carriage.
    #[serde(rename = "haul_length_m")]
    pub haul_length: Length,
    /// Height of the carriage above the ground.
    #[serde(rename = "carriage_height_m")]
    pub carriage_height: Length,
    /// Height of the litter's underside above the ground; zero where it drags.
    #[serde(rename = "litter_height_m")]
    pub litter_height: Length,
    /// Tension of each strand at the head.
    #[serde(rename = "strand_tension_head_n")]
    pub strand_tension_head: Force,
    /// Tension of each strand at the far anchor.
    #[serde(rename = "strand_tension_far_n")]
    pub strand_tension_far: Force,
    /// What the load cell may show: as expected of a rope without friction, the mean of both strands, and from low to
    /// high whatever friction may leave. What it will show is [`reading_expected`](Self::reading_expected).
    #[serde(serialize_with = "in_newtons")]
    pub reading: Band<Force>,
    /// What the load cell will show: the track rope taken in until it shows
    /// [`reading_while_tensioning`](Unloaded::reading_while_tensioning), locked, the load put on at the first position and
    /// hauled from there. The friction of its turns remembers all that, so that the cell doesn't follow the strands.
    ///
    /// Expected with the efficiencies of the site; low and high over both ends of the doubt on all of them, 73 to 95 % where
    /// the site gives none and 5 points either way where it does, and 3 % either way on the reading that is set. Absent
    /// where the rope behind the head isn't the track rope, or where it can't be followed over the whole travel: a warning
    /// says so.
    #[serde(serialize_with = "maybe_in_newtons")]
    pub reading_expected: Option<Band<Force>>,
    /// Greatest tension anywhere in the track rope, friction included.
    #[serde(rename = "greatest_track_tension_n")]
    pub greatest_track_tension: Force,
    /// Angle between the two parts of the track line at the carriage.
    #[serde(rename = "interior_angle_rad")]
    pub interior_angle: Angle,
    /// Whether that angle is 120° or more: common practice, no source, for telling a tracking line from a highline.
    pub flat: bool,
    /// Share of the load's weight that the ground carries.
    #[serde(rename = "ground_share_fraction")]
    pub ground_share: Ratio,
    /// Drag of the litter on the ground, along the ground.
    #[serde(rename = "drag_n")]
    pub drag: Force,
    /// Pull of the haul rope at the carriage.
    #[serde(rename = "haul_pull_n")]
    pub haul_pull: Force,
    /// Pull at the winch, hauling.
    #[serde(rename = "winch_pull_n")]
    pub winch_pull: Force,
    /// Pull at the winch, hauling straight without the tackle.
    #[serde(rename = "straight_pull_n")]
    pub straight_pull: Force,
    /// Current of the winch.
    #[serde(rename = "current_a")]
    pub current: ElectricCurrent,
    /// Voltage at the winch.
    #[serde(rename = "voltage_v")]
    pub voltage: ElectricPotential,
    /// Speed of the load along the haul rope.
    #[serde(rename = "load_speed_m_per_s")]
    pub load_speed: Velocity,
    /// Power from the battery.
    #[serde(rename = "power_w")]
    pub power: Power,
    /// State of charge of the battery, as far as the haul gets; it starts full.
    #[serde(rename = "battery_charge_fraction")]
    pub battery_charge: Option<Ratio>,
    /// Sum of the forces of all ropes on the frame's head, without friction at the track rope's sheaves.
    pub head_force: Xyz,
    /// The frame, if it stands.
    pub frame: Option<FrameState>,
    /// Least height of the loaded track line above the ground; negative where it would lie on it.
    #[serde(rename = "track_clearance_m")]
    pub track_clearance: Length,
    /// Force on each component, in the order of the study's list.
    #[serde(rename = "forces_n")]
    pub forces: Vec<Force>,
    /// Largest error of the solved equilibrium, as a share of its largest term.
    pub residual: f64,
    /// The same place without friction at the carriage and under the litter. Absent where the haul rope would be
    /// slack.
    pub at_rest: Option<OtherWay>,
    /// The same place reached on the way down. Absent where the haul rope would be slack, so that the load doesn't run
    /// out by itself, and where even the carriage would lie on the ground.
    pub lowering: Option<OtherWay>,
}

impl Position {
    /// The least height of the litter's underside, hauled, at rest and lowered.
    #[must_use]
    pub fn least_litter_height(&self) -> Length {
        let others = self.at_rest.iter().chain(&self.lowering);
        others.map(|way| way.litter_height).fold(self.litter_height, Length::min)
    }

    /// The highest that the load cell may show, hauled, at rest and lowered: whatever friction may leave, and the high end
    /// of what it will show.
    #[must_use]
    pub fn greatest_reading(&self) -> Force {
        let others = self.at_rest.iter().chain(&self.lowering).map(|way| way.reading.high);
        let expected = self.readings_expected().map(|band| band.high);
        others.chain(expected).fold(self.reading.high, Force::max)
    }

    /// What the load cell will show, hauled and lowered, as far as it can be followed.
    pub fn readings_expected(&self) -> impl Iterator<Item = &Band<Force>> {
        let lowered = self.lowering.as_ref().and_then(|way| way.reading_expected.as_ref());
        self.reading_expected.iter().chain(lowered)
    }
}

/// The load at the same place, reached another way than by hauling: friction at the carriage's wheels and under the
/// litter acts the other way round, or not at all.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct OtherWay {
    /// Height of the carriage above the ground.
    #[serde(rename = "carriage_height_m")]
    pub carriage_height: Length,
    /// Height of the litter's underside above the ground; zero where it drags.
    #[serde(rename = "litter_height_m")]
    pub litter_height: Length,
    /// Tension of each strand at the head.
    #[serde(rename = "strand_tension_head_n")]
    pub strand_tension_head: Force,
    /// Tension of each strand at the far anchor.
    #[serde(rename = "strand_tension_far_n")]
    pub strand_tension_far: Force,
    /// What the load cell shows.
    #[serde(serialize_with = "in_newtons")]
    pub reading: Band<Force>,
    /// Pull of the haul rope at the carriage.
    #[serde(rename = "haul_pull_n")]
    pub haul_pull: Force,
    /// Share of the load's weight that the ground carries.
    #[serde(rename = "ground_share_fraction")]
    pub ground_share: Ratio,
    /// Drag of the litter on the ground, along the ground.
    #[serde(rename = "drag_n")]
    pub drag: Force,
    /// Largest error of the solved equilibrium, as a share of its largest term.
    pub residual: f64,
    /// What the load cell will show on the way down, after the load was hauled to the last position as
    /// [`Position::reading_expected`] says: only lowered, and only as far out as it can be lowered.
    #[serde(serialize_with = "maybe_in_newtons", skip_serializing_if = "Option::is_none")]
    pub reading_expected: Option<Band<Force>>,
}

/// The frame under the ropes on its head, at the worst of what friction may leave in the track rope.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct FrameState {
    /// Greatest compression of each leg, in the order of the feet.
    #[serde(rename = "legs_n")]
    pub legs: Vec<Force>,
    /// Greatest tension of each guy, in the order of the guys; zero for a slack one.
    #[serde(rename = "guys_n")]
    pub guys: Vec<Force>,
    /// Least angle between the resultant and the nearest plane over which the frame tips.
    #[serde(rename = "margin_rad")]
    pub margin: Angle,
    /// What it tips over first, in words; empty if nothing tips it.
    pub over: String,
}

/// The least safety factor, where, and of what.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Governing {
    /// Index in the study's components.
    pub component: usize,
    /// Index in the positions; none while the track rope is tensioned without its load.
    pub position: Option<usize>,
    /// The force there.
    #[serde(rename = "force_n")]
    pub force: Force,
    /// Strength by force.
    pub factor: f64,
}

/// A value and the position at which it occurs.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct At<Q> {
    /// The value, in SI.
    pub si: Q,
    /// Index in the positions.
    pub position: usize,
}

/// How the rope on hand is used.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Reach {
    /// Rope on hand.
    #[serde(rename = "on_hand_m")]
    pub on_hand: Length,
    /// What knots, tails, wraps and the ways behind the frame use.
    #[serde(rename = "used_at_the_apparatus_m")]
    pub used_at_the_apparatus: Length,
    /// What the two strands use.
    #[serde(rename = "strands_m")]
    pub strands: Length,
    /// What the two strands need while they are reeved: laid straight and slack, or as long as they are in the end if
    /// that is more. Laid over the ground they need more.
    #[serde(rename = "to_reeve_m")]
    pub to_reeve: Length,
    /// What is left over when they are reeved; negative if it does not reach.
    #[serde(rename = "spare_m")]
    pub spare: Length,
    /// The longest strand that the rope on hand allows.
    #[serde(rename = "longest_strand_m")]
    pub longest_strand: Length,
}

/// Whether a rope to the load is long enough, with the load where its travel starts.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct LoadRopeReach {
    /// Rope on hand.
    #[serde(rename = "on_hand_m")]
    pub on_hand: Length,
    /// From the load over the head to the winch or the device, straight, and the slack of a belay. Knots, tails and turns on a
    /// drum are not in it: the least that is needed.
    #[serde(rename = "needed_m")]
    pub needed: Length,
    /// What is left over; negative if it doesn't reach.
    #[serde(rename = "spare_m")]
    pub spare: Length,
}

impl LoadRopeReach {
    pub(super) fn new(on_hand: Length, needed: Length) -> Self {
        Self { on_hand, needed, spare: on_hand - needed }
    }
}

/// How near the frame comes to tipping.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct LeastMargin {
    /// The least angle between the resultant and a plane over which the frame tips.
    #[serde(rename = "margin_rad")]
    pub margin: Angle,
    /// Index in the positions; none while the track rope is tensioned without its load.
    pub position: Option<usize>,
    /// What it tips over first, in words.
    pub over: String,
}

/// What happens if the haul rope or its winch lets go, of the row of the [`failures`](Study::failures): the belay rope
/// takes over after its slack, and the track rope keeps its share of the load.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct HaulFailure {
    /// The position with the greatest peak on the belay rope, of those that the failures are judged at.
    pub position: usize,
    /// The pull that is lost.
    #[serde(rename = "lost_n")]
    pub lost: Force,
    /// How far the load runs out before it turns, at most.
    #[serde(rename = "travel_m")]
    pub travel: Length,
    /// What the belay rope holds when all is still; absent where there is no such state.
    #[serde(rename = "still_pull_n")]
    pub still_pull: Option<Force>,
    /// The bound of the peak force on the belay rope.
    #[serde(rename = "peak_n")]
    pub peak: Force,
    /// Strength of the belay rope by that peak.
    pub factor: f64,
}

/// What happens if the track rope lets go at one of the positions that the failures are judged at, of their row of the
/// [`failures`](Study::failures).
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct TrackFailure {
    /// Index in the positions.
    pub position: usize,
    /// How far the litter falls before it lands or hangs, at most.
    #[serde(rename = "drop_m")]
    pub drop: Length,
    /// How fast it meets the ground or a face, at most. Absent where it meets none.
    #[serde(rename = "speed_m_per_s")]
    pub speed: Option<Velocity>,
    /// The part of that speed which goes straight in.
    #[serde(rename = "speed_onto_ground_m_per_s")]
    pub speed_onto_ground: Option<Velocity>,
    /// Whether it comes to rest on the ground; else it hangs on the haul rope.
    pub lands: bool,
    /// What the haul rope holds when all is still; absent where there is no such state.
    #[serde(rename = "still_pull_n")]
    pub still_pull: Option<Force>,
    /// Upper bound of the peak force on the haul rope.
    #[serde(rename = "peak_bound_n")]
    pub peak_bound: Force,
    /// Strength of the haul rope by that bound.
    pub factor: f64,
}

/// Time, energy and charge of the haul.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct HaulTotals {
    /// Winch running, until the load is up or the haul stops.
    #[serde(rename = "time_s")]
    pub time: Time,
    /// From the battery.
    #[serde(rename = "energy_j")]
    pub energy: Energy,
    /// State of charge at the end.
    #[serde(rename = "charge_left_fraction")]
    pub charge_left: Ratio,
    /// The position behind which the haul stops, if it does.
    pub stopped_at: Option<usize>,
    /// What stops it; empty if nothing does.
    pub stopped_by: String,
    /// Settings of the tackle: one where there is none.
    pub settings: u32,
}

/// What kind of line the track is, by the interior angle at the carriage: 120° divides a tracking line from a highline
/// (common practice, no source). The flatter it runs, the more tension a little more load or a little less sag costs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum LineClass {
    /// Less than 120° all the way.
    Tracking,
    /// 120° or more all the way.
    Highline,
    /// Both, in different parts of the travel.
    Both,
}

/// The answers in brief.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Summary {
    /// Whether the rope reaches.
    pub reach: Reach,
    /// Whether the haul rope is long enough. Absent where the site doesn't say how much there is.
    pub haul_reach: Option<LoadRopeReach>,
    /// Whether the belay rope is long enough. Absent without one, or where the site doesn't say how much there is.
    pub belay_reach: Option<LoadRopeReach>,
    /// The least factor of all rated components. Absent if none is rated.
    pub governing: Option<Governing>,
    /// Least litter height over the part of the travel that is to float, up or down.
    #[serde(rename = "least_litter_height_m")]
    pub least_litter_height: At<Length>,
    /// Greatest litter height.
    #[serde(rename = "greatest_litter_height_m")]
    pub greatest_litter_height: At<Length>,
    /// Greatest reading of a rope without friction, which is the mean of both strands.
    #[serde(rename = "greatest_reading_n")]
    pub greatest_reading: At<Force>,
    /// The most that the load cell will show: the high end of its band where that is greatest, hauled or lowered. Absent
    /// where what it will show isn't asked for, or can't be followed.
    #[serde(rename = "most_reading_expected_n")]
    pub most_reading_expected: Option<At<Force>>,
    /// The least that it will show: the low end of its band where that is least. Less means that something has changed, or
    /// has gone slack.
    #[serde(rename = "least_reading_expected_n")]
    pub least_reading_expected: Option<At<Force>>,
    /// Greatest pull at the winch.
    #[serde(rename = "greatest_winch_pull_n")]
    pub greatest_winch_pull: At<Force>,
    /// Greatest current.
    #[serde(rename = "greatest_current_a")]
    pub greatest_current: At<ElectricCurrent>,
    /// First position, on the way up, at which a straight pull is more than the winch is rated for.
    pub straight_pull_fails_at: Option<usize>,
    /// Totals of the haul.
    pub haul: HaulTotals,
    /// Tail force that the capstan's holder must keep at the greatest track tension.
    #[serde(rename = "capstan_tail_n")]
    pub capstan_tail: Force,
    /// What the weakest hand held on a moving rope.
    #[serde(rename = "hand_n")]
    pub hand: Force,
    /// Friction that each foot of the frame needs against the ground: horizontal by vertical part, |h|/|v|, with the
    /// hobbles and the weight of the legs that the site file gives, at the worst of the travel. In the order of the feet.
    #[serde(rename = "foot_friction_fraction")]
    pub foot_friction: Vec<Ratio>,
    /// Greatest tension of each hobble, in the order of the site file: of one that takes as much of the thrust as it can.
    #[serde(rename = "hobbles_n")]
    pub hobbles: Vec<Force>,
    /// The greatest angle between the two parts of the track line at the carriage.
    #[serde(rename = "greatest_interior_angle_rad")]
    pub greatest_interior_angle: At<Angle>,
    /// The least.
    #[serde(rename = "least_interior_angle_rad")]
    pub least_interior_angle: At<Angle>,
    /// What that makes of the line.
    pub line_class: LineClass,
    /// How near the frame comes to tipping; none where it falls, or where nothing tips it.
    pub least_margin: Option<LeastMargin>,
    /// If the track rope lets go, where that pulls hardest on the haul rope. This and the next two are absent where the
    /// failures aren't asked for.
    pub track_lost: Option<TrackFailure>,
    /// If the track rope lets go, where the litter falls farthest.
    pub track_lost_farthest: Option<TrackFailure>,
    /// If the haul rope lets go. Absent without a belay rope, or where the haul rope never pulls.
    pub haul_lost: Option<HaulFailure>,
}

/// The format of a study as JSON: raised when a key goes or changes its meaning, not when one is added.
pub const FORMAT: u32 = 1;

/// What a program that reads a study as JSON asks first: whether it is of a format that this version knows. An unknown one
/// is refused, with its number.
///
/// ```
/// use rope_mechanics::operation::study::StudyHead;
///
/// let head: StudyHead = serde_json::from_str(r#"{"format": 1, "title": "A bank", "version": "0.1.0", "positions": []}"#)?;
/// assert_eq!(head.title, "A bank");
/// let newer = serde_json::from_str::<StudyHead>(r#"{"format": 2, "title": "A bank", "version": "9.0.0"}"#);
/// assert!(newer.unwrap_err().to_string().starts_with("format 2 is not known; this version reads format 1"));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[non_exhaustive]
pub struct StudyHead {
    /// [`FORMAT`].
    #[serde(deserialize_with = "known_format")]
    pub format: u32,
    /// The site's title.
    pub title: String,
    /// Version of the library that wrote it.
    pub version: String,
}

fn known_format<'de, D: serde::Deserializer<'de>>(deserializer: D) -> Result<u32, D::Error> {
    match u32::deserialize(deserializer)? {
        FORMAT => Ok(FORMAT),
        other => Err(serde::de::Error::custom(format_args!(
            "format {other} is not known; this version reads format {FORMAT}"
        ))),
    }
}

/// What the study found.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Study {
    /// The format of this study as JSON: [`FORMAT`].
    pub format: u32,
    /// The site's title.
    pub title: String,
    /// The site's notes.
    pub notes: String,
    /// Version of the library.
    pub version: String,
    /// What stands on every result.
    pub cautions: Vec<String>,
    /// The head of the frame.
    pub head: Xz,
    /// The ground below it.
    pub base: Xz,
    /// The far anchor's sheave.
    pub far: Xz,
    /// The ground.
    pub ground: Vec<Xz>,
    /// Feet of the frame, from `base`.
    pub feet: Vec<PlaceAtApparatus>,
    /// Anchors of the guys, from `base`.
    pub guys: Vec<PlaceAtApparatus>,
    /// The track rope without its load.
    pub unloaded: Unloaded,
    /// The loaded line where the load-cell reading is greatest.
    pub loaded: Loaded,
    /// The loaded line at some of the positions, evenly over the travel, first and last among them: for drawings.
    pub lines: Vec<Loaded>,
    /// What the site file gives that a crew has to find on the spot.
    pub given: Given,
    /// Where things stand.
    pub layout: PlanView,
    /// The load on its way, from the far anchor to the head.
    pub positions: Vec<Position>,
    /// The parts that take forces.
    pub components: Vec<RatedPart>,
    /// The answers in brief.
    pub summary: Summary,
    /// What happens when a part fails, where that is asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub failures: Option<FailureTable>,
    /// How the load is taken over at the head and swung in, where that is asked for and possible.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub changeover: Option<Changeover>,
    /// How near each rope and the litter come to the ground and the edge, where that is asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub clearances: Option<Clearances>,
    /// What is left of the reading and of the litter's height after the first minutes, where that is asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub settled: Option<SettledTrack>,
    /// What the crew should know first.
    pub warnings: Vec<Warning>,
    /// Values that the site file doesn't give.
    pub assumptions: Vec<Assumption>,
    /// What the study leaves out or makes simpler than it is.
    pub simplifications: Vec<String>,
    /// Limits that were asked for, as used.
    pub limits: LimitsUsed,
    /// Other ways to haul and to belay, attendants, other systems on the same ground, if asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub alternatives: Option<Alternatives>,
    /// What the doubt on the inputs makes of it, where the site file asks for it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub doubt: Option<Doubt>,
    /// Go, go with, or no-go, and by what.
    pub verdict: Judgement,
    /// What to set the track rope to, where, and what to see at each place. Absent where it wasn't asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub schedule: Option<Schedule>,
    /// The figures of this site and of each of its variants side by side, where the site file has variants.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub variants: Vec<Figures>,
    /// The least change of one input that mends each warning. Absent where it wasn't asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cures: Option<Cures>,
}

/// A place at the apparatus, as numbers in metres from `base`.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct PlaceAtApparatus {
    /// Level, outward.
    #[serde(rename = "x_m")]
    pub x: Length,
    /// Level, to the left.
    #[serde(rename = "y_m")]
    pub y: Length,
    /// Up.
    #[serde(rename = "z_m")]
    pub z: Length,
}

impl From<Point3> for PlaceAtApparatus {
    fn from(p: Point3) -> Self {
        Self { x: p.x, y: p.y, z: p.z }
    }
}

/// The limits, as used.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct LimitsUsed {
    /// Greatest load-cell reading.
    #[serde(rename = "reading_n")]
    pub reading: Option<Force>,
    /// Least load-cell reading while the load travels.
    #[serde(rename = "least_reading_n")]
    pub least_reading: Option<Force>,
    /// Least safety factor.
    pub factor: f64,
    /// Least angle by which the frame is to stand from tipping.
    #[serde(rename = "frame_margin_rad")]
    pub frame_margin: Angle,
    /// Greatest litter height.
    #[serde(rename = "litter_height_m")]
    pub litter_height: Length,
    /// Least height of every rope above the ground.
    #[serde(rename = "rope_clearance_m")]
    pub rope_clearance: Length,
    /// Greatest current.
    #[serde(rename = "current_a")]
    pub current: Option<ElectricCurrent>,
    /// Greatest line pull that the winch is rated for.
    #[serde(rename = "winch_pull_n")]
    pub winch_pull: Force,
    /// Least safety factor of each kind of part, where it is another.
    pub factors: PartFactors,
    /// Least height of the litter where it is to float: the schedule keeps it.
    #[serde(rename = "least_litter_height_m")]
    pub least_litter_height: Length,
    /// Greatest force on the capstan's tail: the schedule keeps it.
    #[serde(rename = "tail_n")]
    pub tail: Option<Force>,
    /// Greatest pull of the capstan: the schedule keeps it.
    #[serde(rename = "capstan_pull_n")]
    pub capstan_pull: Option<Force>,
}

impl LimitsUsed {
    pub(crate) fn new(site: &Site, plan: &SitePlan, winch_pull: Force) -> Self {
        Self {
            reading: site.limits.reading,
            least_reading: site.limits.least_reading,
            factor: plan.factor,
            frame_margin: plan.frame_margin,
            litter_height: plan.litter_height_limit,
            rope_clearance: plan.rope_clearance,
            current: site.limits.current,
            winch_pull,
            factors: site.limits.factors,
            least_litter_height: plan.least_litter_height,
            tail: site.limits.tail,
            capstan_pull: site.capstan.rated_pull,
        }
    }

    /// The least safety factor of a kind of part.
    #[must_use]
    pub fn factor_of(&self, kind: PartKind) -> f64 {
        self.factors.of(kind).unwrap_or(self.factor)
    }
}
