//! The changeover of a study, as it goes out: every number in SI, its key named for its unit.

use super::litter::LitterLies;
use crate::operation::study::{FrameState, PlaceAtApparatus, Xz};
use crate::quantity::{Angle, Band, Force, Length};
use alloc::string::String;
use alloc::vec::Vec;
use serde::Serialize;
use serde::ser::{SerializeStruct, Serializer};

/// A band of forces as numbers: the least, what to expect, the greatest.
fn in_newtons<S: Serializer>(band: &Band<Force>, serializer: S) -> Result<S::Ok, S::Error> {
    let mut fields = serializer.serialize_struct("Band", 3)?;
    fields.serialize_field("low_n", &band.low)?;
    fields.serialize_field("expected_n", &band.expected)?;
    fields.serialize_field("high_n", &band.high)?;
    fields.end()
}

/// How the load is taken over at the head: from the last place of its travel on the track, by the track rope let down, on
/// to haul and belay, and in to the road. The way out over the edge at the start is the same backwards.
///
/// **Caution.** Statics of each step, none of the jerks between. Try it without a person first.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Changeover {
    /// Whether the site file says anything of it. Where it doesn't, all rests on what is assumed, and what passes a limit is
    /// a condition, but for a frame that falls.
    pub given: bool,
    /// The litter as a body.
    pub litter: LitterSize,
    /// Where the ground begins to fall, in the ground's axes.
    pub edge: Xz,
    /// What pulls the load in.
    pub pulled_in_by: PulledInBy,
    /// From where the belay rope pulls it in.
    pub pull_from: Option<PlaceAtApparatus>,
    /// Haul rope between the head and the load when the track rope is let down.
    #[serde(rename = "rope_m")]
    pub rope: Length,
    /// What carriage and connectors need of it at least.
    #[serde(rename = "least_rope_m")]
    pub least_rope: Length,
    /// Clearance of the litter that is wanted.
    #[serde(rename = "clearance_wanted_m")]
    pub clearance_wanted: Length,
    /// The steps, from the last place of the travel to the road.
    pub steps: Vec<ChangeoverStep>,
    /// The stages, in order.
    pub stages: Vec<ChangeoverStage>,
    /// What happens at which step.
    pub events: Vec<ChangeoverEvent>,
    /// The worst of all steps.
    pub worst: ChangeoverWorst,
    /// The track rope handed over to the haul rope.
    pub hand_over: LoadTransfer,
    /// The way out over the edge at the start.
    pub way_out: WayOut,
    /// The least height of the head at which the litter has its clearance on the whole way, with the least haul rope left,
    /// its track set to the same tension without load. Absent where none up to three times the height does.
    #[serde(rename = "least_head_height_m")]
    pub least_head_height: Option<Length>,
    /// The largest error of any solved equilibrium, as a share of its largest term.
    pub residual: f64,
}

/// The litter as a body, as used.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct LitterSize {
    /// Its long side.
    #[serde(rename = "length_m")]
    pub length: Length,
    /// Its short side.
    #[serde(rename = "width_m")]
    pub width: Length,
    /// From its underside to the top of who lies in it.
    #[serde(rename = "depth_m")]
    pub depth: Length,
    /// How far its outer end is lower, or its left end where it lies across.
    #[serde(rename = "tilt_rad")]
    pub tilt: Angle,
    /// Which way its long side lies on the track.
    pub comes: LitterLies,
    /// Which way it lies when it passes the frame.
    pub lies: LitterLies,
}

/// What pulls the load in from under the head.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum PulledInBy {
    /// The belay rope, off the head and straight from behind.
    Belay,
    /// People at the litter.
    Hands,
}

/// What is done in a stage.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum StageKind {
    /// Hauled on along the track, from the last place of the travel, until the haul rope is as short as it has to be.
    HaulUp,
    /// The track rope eased, haul and belay rope locked.
    LetDown,
    /// Out on the haul rope and in on what pulls, at the same height, until the litter is inside the edge.
    SwingIn,
    /// Lowered to the road.
    SetDown,
}

/// A stage of the changeover.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct ChangeoverStage {
    /// What is done.
    pub kind: StageKind,
    /// Index of its first step.
    pub first: usize,
    /// Index of its last step.
    pub last: usize,
    /// Haul rope taken in (positive) or let out by the winch in it, at the load.
    #[serde(rename = "haul_in_m")]
    pub haul_in: Length,
    /// Track rope let out at the capstan; absent where none is.
    #[serde(rename = "track_out_m")]
    pub track_out: Option<Length>,
    /// What the crew does on the way in, in words.
    pub text: String,
    /// What it does in this stage on the way out, which begins with the last stage and goes backwards.
    pub way_out: String,
}

/// The ropes at one step of the changeover.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct ChangeoverStep {
    /// The stage that it belongs to.
    pub stage: StageKind,
    /// Which way the long side of the litter lies.
    pub lies: LitterLies,
    /// Where the load is: the carriage, or the point at which its ropes meet, from the base of the frame.
    pub load: PlaceAtApparatus,
    /// From the head to it.
    #[serde(rename = "haul_length_m")]
    pub haul_length: Length,
    /// Haul rope taken in by the winch since the first step, at the load; negative where it was let out.
    #[serde(rename = "haul_in_m")]
    pub haul_in: Length,
    /// From where the belay rope comes, the head or what pulls in, to the load. Absent without a belay rope.
    #[serde(rename = "belay_length_m")]
    pub belay_length: Option<Length>,
    /// Track rope let out at the capstan since the track was set. Absent once it lies on the ground, where its length depends
    /// on how it lies.
    #[serde(rename = "track_out_m")]
    pub track_out: Option<Length>,
    /// Tension of each strand of the track at the head, with the carriage's wheel turning either way.
    #[serde(rename = "strand_tension_head", serialize_with = "in_newtons")]
    pub strand_tension_head: Band<Force>,
    /// What the load cell may show.
    #[serde(serialize_with = "in_newtons")]
    pub reading: Band<Force>,
    /// What the capstan holds: low while it lets out, high while it takes in.
    #[serde(serialize_with = "in_newtons")]
    pub capstan: Band<Force>,
    /// The haul rope at the load.
    #[serde(serialize_with = "in_newtons")]
    pub haul: Band<Force>,
    /// The haul rope behind the head: low while it is let out, high while it is taken in.
    #[serde(serialize_with = "in_newtons")]
    pub haul_behind_head: Band<Force>,
    /// Pull at the winch, hauling.
    #[serde(rename = "winch_pull_n")]
    pub winch_pull: Force,
    /// The belay rope at the load.
    #[serde(serialize_with = "in_newtons")]
    pub belay: Band<Force>,
    /// Pull of a hand that takes the belay rope in at its device, or the level pull of people at the litter; zero where
    /// nothing is pulled in.
    #[serde(rename = "hand_n")]
    pub hand: Force,
    /// The level part of what pulls the load in.
    #[serde(rename = "inward_pull_n")]
    pub inward_pull: Force,
    /// The ropes that are on the load.
    pub ropes: Vec<LoadRope>,
    /// Least height of the litter's underside above the ground. Absent where the ground isn't known below any of it.
    #[serde(rename = "litter_height_m")]
    pub litter_height: Option<Length>,
    /// Least distance of the litter from the frame's legs and guys.
    #[serde(rename = "frame_clearance_m")]
    pub frame_clearance: Length,
    /// Whether the track rope touches the ground, or would hang below it: there it lies on it, and pulls less than is counted.
    pub track_on_ground: bool,
    /// The frame at the worst of friction, if it stands.
    pub frame: Option<FrameState>,
    /// Greatest force on each component, in the order of the study's list; without the frame's where that falls somewhere.
    #[serde(rename = "forces_n")]
    pub forces: Vec<Force>,
    /// Peak in the haul rope if all that the track still carries came on it at once, at zero slack.
    #[serde(rename = "shock_n")]
    pub shock: Force,
    /// Largest error of the solved equilibrium, as a share of its largest term.
    pub residual: f64,
}

/// A rope that is on the load, taut or tended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum LoadRope {
    /// The track rope.
    Track,
    /// The haul rope.
    Haul,
    /// The belay rope.
    Belay,
}

/// Something that happens on the way.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct ChangeoverEvent {
    /// What happens.
    pub kind: EventKind,
    /// At this step, or on the way to it from the one before.
    pub step: usize,
    /// The same in words.
    pub text: String,
}

/// What may happen on the way in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum EventKind {
    /// The belay rope comes off the head, while track and haul rope hold the load, and goes straight to where it pulls from.
    BelayOffTheHead,
    /// The litter is turned with its long side outward.
    Turned,
    /// The inner end of the litter comes over the edge.
    OverTheEdge,
    /// The outer end of the litter is inside the edge.
    InsideTheEdge,
    /// The track rope touches the ground.
    TrackOnGround,
    /// The track rope is slack: haul and belay rope have the load.
    TrackSlack,
    /// The belay rope over the head comes taut, as the haul rope stretches.
    BelayTaut,
    /// The pull in comes on.
    PulledIn,
    /// The litter is on the road.
    OnTheRoad,
}

/// A number, and the step at which it occurs.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct AtStep<Q> {
    /// The value, in SI.
    pub si: Q,
    /// Index in the steps.
    pub step: usize,
}

/// The worst of all steps.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct ChangeoverWorst {
    /// Least height of the litter above the ground until it is inside the edge and lowered.
    #[serde(rename = "litter_height_m")]
    pub litter_height: Option<AtStep<Length>>,
    /// Least distance of the litter from legs and guys.
    #[serde(rename = "frame_clearance_m")]
    pub frame_clearance: AtStep<Length>,
    /// How near the frame comes to tipping, and over what; none where it falls, or where nothing tips it.
    #[serde(rename = "margin_rad")]
    pub margin: Option<AtStep<Angle>>,
    /// What it tips over there, in words.
    pub over: String,
    /// The first step at which the frame falls.
    pub falls_at: Option<usize>,
    /// The least factor of the rated parts: strength by force.
    pub factor: Option<AtStep<f64>>,
    /// Index of that part in the study's components.
    pub component: Option<usize>,
    /// Greatest pull of the haul rope at the load.
    #[serde(rename = "haul_n")]
    pub haul: AtStep<Force>,
    /// Greatest pull at the winch.
    #[serde(rename = "winch_pull_n")]
    pub winch_pull: AtStep<Force>,
    /// Greatest pull of the belay rope at the load.
    #[serde(rename = "belay_n")]
    pub belay: AtStep<Force>,
    /// Greatest pull of hands.
    #[serde(rename = "hand_n")]
    pub hand: AtStep<Force>,
    /// Fewest ropes on the load.
    pub fewest_ropes: AtStep<usize>,
}

/// The track rope handed over to the haul rope.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct LoadTransfer {
    /// The haul rope at the load before and after.
    #[serde(rename = "haul_before_n")]
    pub haul_before: Force,
    /// After.
    #[serde(rename = "haul_after_n")]
    pub haul_after: Force,
    /// Peak if the whole came at once, at zero slack: by ΔT above what it is in the end. Haul rope and load only: what a
    /// litter falls on its sling when the track parts is in the failures.
    #[serde(rename = "shock_n")]
    pub shock: Force,
    /// How far the load comes down as it swings in under the head.
    #[serde(rename = "down_m")]
    pub down: Length,
    /// Track rope let out until it touches the ground, or until it is slack where it touches nowhere before.
    #[serde(rename = "track_out_m")]
    pub track_out: Length,
    /// Track rope to let out until it lies along the ground and hangs plumb from the load: all of its slack.
    #[serde(rename = "track_out_slack_m")]
    pub track_out_slack: Length,
    /// What the rope on hand leaves for that; negative where its tail is too short.
    #[serde(rename = "track_spare_m")]
    pub track_spare: Length,
}

/// What the way out over the edge asks for: the steps backwards, with friction the other way.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct WayOut {
    /// Greatest pull at the winch while it lifts the litter from the road.
    #[serde(rename = "winch_pull_n")]
    pub winch_pull: Force,
    /// Greatest pull of the capstan while it takes the track rope in under the load.
    #[serde(rename = "capstan_pull_n")]
    pub capstan_pull: Force,
    /// What the load cell shows at the end of that, as the capstan stops.
    #[serde(rename = "reading_n")]
    pub reading: Force,
    /// Greatest pull that holds the litter back on its way out from the road to below the head.
    #[serde(rename = "hold_back_n")]
    pub hold_back: Force,
}
