//! The description of a site and the kit on it: what a site file holds.
//!
//! Every quantity is a text with its unit ("145 ft", "44.2 m"). Optional keys that stand for a physical value fall
//! back on a default that the study lists among its assumptions, each with its mark. Unknown keys are errors;
//! [`unreadable`] names them, and those that are missing, by their whole path.
//!
//! Every key stands, annotated, in the examples of [`keys`].
//!
//! Axes: x runs level outward over the slope from any origin, z up from the same origin. Things at the apparatus
//! are placed by `[x, y, z]` from the point of the ground below the head: x outward (so negative behind the
//! frame), y to the left of somebody who looks out, z up.
//!
//! A key that is read as [`Uncertain`] may carry a tolerance: "90 kg ± 20 kg", "50 kN ± 30 %", "85 % to 95 %". The study
//! goes by its value; [`SiteDoubt`] asks what the tolerances make of the answers. Where a tolerance would change nothing
//! it is refused.

use crate::doubt::Uncertain;
use crate::geometry::{Point2, Point3};
use crate::quantity::{
    Angle, ElectricCharge, ElectricCurrent, ElectricPotential, ElectricalResistance, Force, Length, LineMass,
    Mass, MotorConstant, Ratio, ThermodynamicTemperature, Velocity,
};
use crate::text::as_text;
use alloc::format;
use alloc::string::String;
use alloc::vec::Vec;
use reading::{Count, List, Number, Words, by, one_of, optional};
use serde::{Deserialize, Serialize};

mod anchors;
mod changeover;
mod crew;
mod document;
mod factors;
mod file;
mod ground;
mod kit;
mod missing;
mod origin;
mod reading;
mod setting;
mod tree;

pub(crate) use anchors::Holds;
pub use anchors::{SiteAnchor, SiteAnchors, SiteBuried, SiteLeg, SitePickets, SiteVehicle};
pub use changeover::{LitterWay, PullingIn, SiteChangeover};
pub use crew::{SiteCrew, SiteHeat};
pub use document::SiteDocument;
pub use factors::PartFactors;
pub use file::{FilesBeside, NoFiles, SiteFile, SiteProblem, SiteVariant};
pub use missing::{Unreadable, unreadable};
pub use origin::SiteSource;
pub use setting::TrackSetting;
pub use tree::KeyTree;

#[doc = concat!(
    "Every key of a site file and of a kit file, each in an annotated example.\n\n# A site file\n```toml\n",
    include_str!("examples/site.toml"),
    "```\n\n# A kit file\n```toml\n",
    include_str!("examples/kit.toml"),
    "```"
)]
pub mod keys {}

/// The format of a site file: raised when a key goes or changes its meaning, not when one is added. A file that names another
/// one is refused; one that names none is of this one.
///
/// ```
/// use rope_mechanics::operation::site::Site;
///
/// let newer = toml::from_str::<Site>("format = 2\ntitle = \"A bank\"").unwrap_err();
/// assert!(newer.to_string().contains("format 2 of a site is not known; this version reads format 1"));
/// ```
pub const FORMAT: u32 = 1;

/// A site and the kit on it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "SiteKeys")]
#[non_exhaustive]
pub struct Site {
    /// What the report is called.
    pub title: String,
    /// What a reader should know of this site.
    pub notes: String,
    /// What stands at the head of each sheet of a report.
    pub document: SiteDocument,
    /// The ground from behind the frame to beyond the far anchor: `[x, z]`, x increasing.
    pub ground: Vec<Point2>,
    /// How far each of these heights may be off: one for each, in their order, or none at all. It takes the place of
    /// [`SiteDoubt::ground`] point by point.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub ground_tolerance: Vec<Tolerance>,
    /// The frame.
    pub frame: SiteFrame,
    /// The anchor at the far end of the track rope.
    pub far_anchor: FarAnchor,
    /// The track rope.
    pub track: SiteTrack,
    /// What travels.
    pub load: SiteLoad,
    /// The haul rope.
    pub haul: SiteHaul,
    /// The belay rope.
    pub belay: Option<SiteBelay>,
    /// The powered capstan that tensions the track rope, and who holds its tail.
    pub capstan: SiteCapstan,
    /// The winch on the haul rope.
    pub winch: SiteWinch,
    /// Rated strength of what takes the forces, place by place.
    pub ratings: SiteRatings,
    /// Anchors by what they are, where nobody has rated them.
    #[serde(skip_serializing_if = "no_anchors")]
    pub anchors: SiteAnchors,
    /// What the crew wants kept.
    pub limits: SiteLimits,
    /// What part of the travel is studied.
    pub travel: SiteTravel,
    /// What the crew does, and how long it takes.
    pub crew: SiteCrew,
    /// How the load is taken over at the head and swung in.
    #[serde(skip_serializing_if = "is_default")]
    pub changeover: SiteChangeover,
    /// What is asked about doubt; nothing where it isn't.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub doubt: Option<SiteDoubt>,
}

fn no_anchors(anchors: &SiteAnchors) -> bool {
    *anchors == SiteAnchors::default()
}

fn is_default(changeover: &SiteChangeover) -> bool {
    *changeover == SiteChangeover::default()
}

/// The keys of a site file: what is missing is named by what it holds.
#[derive(Deserialize)]
#[serde(deny_unknown_fields, expecting = "a site file")]
struct SiteKeys {
    /// The format of the file: 1, unless given. Another one is refused.
    #[serde(default, deserialize_with = "known_format")]
    #[allow(dead_code, reason = "nothing is left to know of it once it was read")]
    format: Option<u32>,
    #[serde(default, deserialize_with = "optional::<Words, _, _>")]
    title: Option<String>,
    #[serde(default, deserialize_with = "optional::<Words, _, _>")]
    notes: Option<String>,
    #[serde(default)]
    document: SiteDocument,
    #[serde(default, deserialize_with = "optional::<List<_>, _, _>")]
    ground: Option<Vec<Point2>>,
    #[serde(default, deserialize_with = "by::<List<_>, _, _>")]
    ground_tolerance: Vec<Tolerance>,
    frame: Option<SiteFrame>,
    far_anchor: Option<FarAnchor>,
    track: Option<SiteTrack>,
    load: Option<SiteLoad>,
    haul: Option<SiteHaul>,
    belay: Option<SiteBelay>,
    capstan: Option<SiteCapstan>,
    winch: Option<SiteWinch>,
    #[serde(default)]
    ratings: SiteRatings,
    #[serde(default)]
    anchors: SiteAnchors,
    #[serde(default)]
    limits: SiteLimits,
    #[serde(default)]
    travel: SiteTravel,
    #[serde(default)]
    crew: SiteCrew,
    #[serde(default)]
    changeover: SiteChangeover,
    doubt: Option<SiteDoubt>,
}

fn known_format<'de, D: serde::Deserializer<'de>>(deserializer: D) -> Result<Option<u32>, D::Error> {
    let format = optional::<Count, u32, D>(deserializer)?;
    match format.filter(|format| *format != FORMAT) {
        None => Ok(format),
        Some(other) => Err(serde::de::Error::custom(format_args!(
            "format {other} of a site is not known; this version reads format {FORMAT}"
        ))),
    }
}

impl TryFrom<SiteKeys> for Site {
    type Error = &'static str;

    fn try_from(keys: SiteKeys) -> Result<Self, Self::Error> {
        Ok(Self {
            title: keys.title.ok_or("title is missing: what the report is called")?,
            notes: keys.notes.unwrap_or_default(),
            document: keys.document,
            ground: keys.ground.ok_or(
                "ground is missing: the points of the ground from behind the frame to beyond the far anchor",
            )?,
            ground_tolerance: keys.ground_tolerance,
            frame: keys
                .frame
                .ok_or("[frame] is missing: x of its head, its height, and where its feet and guys stand")?,
            far_anchor: keys
                .far_anchor
                .ok_or("[far_anchor] is missing: x and height of the sheave at the far end of the track rope")?,
            track: keys.track.ok_or(
                "[track] is missing: the track rope, how much of it there is, where it runs, and how it is set",
            )?,
            load: keys
                .load
                .ok_or("[load] is missing: the mass of patient, litter and carriage, and how low the litter hangs")?,
            haul: keys.haul.ok_or("[haul] is missing: the haul rope, its tackle, and where its winch stands")?,
            belay: keys.belay,
            capstan: keys.capstan.ok_or(
                "[capstan] is missing: where the capstan of the track rope stands (at) and the turns on it (wraps)",
            )?,
            winch: keys.winch.ok_or(
                "[winch.motor] or [winch.table] is missing: what the haul winch pulls and draws, and its battery",
            )?,
            ratings: keys.ratings,
            anchors: keys.anchors,
            limits: keys.limits,
            travel: keys.travel,
            crew: keys.crew,
            changeover: keys.changeover,
            doubt: keys.doubt,
        })
    }
}

/// How far a height may be off, either way.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Tolerance(#[serde(with = "as_text")] pub Length);

/// What is known of a sheave beside its efficiency and its strength.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, expecting = "the table of a sheave: diameter, swivel")]
#[non_exhaustive]
pub struct SiteSheave {
    /// Its diameter where the rope lies.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub diameter: Option<Length>,
    /// Whether a swivel lets it turn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub swivel: Option<bool>,
}

/// The frame: where it stands, how high its head is, where its feet and guys are.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(
    deny_unknown_fields,
    expecting = "the table of the frame: x, height, feet, guys, hobbles, leg_mass, head_plate"
)]
#[non_exhaustive]
pub struct SiteFrame {
    /// x of the head, in the ground's axes.
    #[serde(with = "as_text")]
    pub x: Length,
    /// Height of the head above the ground there.
    pub height: Uncertain<Length>,
    /// Feet of the legs.
    #[serde(deserialize_with = "by::<List<_>, _, _>")]
    pub feet: Vec<Point3>,
    /// Anchors of the guys.
    #[serde(default, deserialize_with = "by::<List<_>, _, _>")]
    pub guys: Vec<Point3>,
    /// Hobbles, ropes that tie pairs of feet: each by the numbers of its two feet in their order, counted from 1.
    #[serde(default, deserialize_with = "by::<List<_>, _, _>", skip_serializing_if = "Vec::is_empty")]
    pub hobbles: Vec<(u32, u32)>,
    /// Mass of each leg: half of it loads the head, half its foot.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub leg_mass: Option<Mass>,
    /// The plate at the head, if there is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub head_plate: Option<SiteHeadPlate>,
}

/// The plate at the head of the frame, at which legs and guys meet and from which the sheaves hang.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, expecting = "the plate at the head: mass, above")]
#[non_exhaustive]
pub struct SiteHeadPlate {
    /// Its mass, with the sheaves and connectors that hang from it.
    #[serde(with = "as_text")]
    pub mass: Mass,
    /// How far legs and guys meet above the head, which is where the ropes run over their sheaves.
    #[serde(with = "as_text")]
    pub above: Length,
}

/// The anchor at the far end.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, expecting = "the table of the far anchor: x, height, efficiency, sheave")]
#[non_exhaustive]
pub struct FarAnchor {
    /// x of its sheave, in the ground's axes.
    pub x: Uncertain<Length>,
    /// Height of its sheave above the ground there.
    pub height: Uncertain<Length>,
    /// Efficiency of its sheave over half a turn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub efficiency: Option<Uncertain<Ratio>>,
    /// What else is known of its sheave.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sheave: Option<SiteSheave>,
}

/// The track rope: one rope from the capstan past the redirect, over the frame, through the sheave at the far
/// anchor, back over the frame to the load cell and its anchor.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, expecting = "the table of the track rope")]
#[non_exhaustive]
pub struct SiteTrack {
    /// The rope.
    pub rope: SiteRope,
    /// Length on hand.
    #[serde(with = "as_text")]
    pub on_hand: Length,
    /// What knots use of it.
    #[serde(with = "as_text")]
    pub knots: Length,
    /// What tails use of it.
    #[serde(with = "as_text")]
    pub tails: Length,
    /// What the wraps on the capstan and the lead to it use of it.
    #[serde(with = "as_text")]
    pub wraps: Length,
    /// Where the redirect stands.
    pub redirect: Point3,
    /// Efficiency of the redirect over half a turn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub redirect_efficiency: Option<Uncertain<Ratio>>,
    /// What else is known of the redirect's sheave.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub redirect_sheave: Option<SiteSheave>,
    /// Efficiency of each of the two sheaves on the frame's head over half a turn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub head_efficiency: Option<Uncertain<Ratio>>,
    /// What else is known of each of the two sheaves.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub head_sheave: Option<SiteSheave>,
    /// Where the anchor behind the load cell stands.
    pub cell_anchor: Point3,
    /// Axial stiffness of what lies behind the head, to the capstan and to the load cell, if it isn't the track rope's
    /// own: of a tail of another kind, say.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub stiffness_behind: Option<Force>,
    /// Axial stiffness of one strand that was pulled hard before, where that is known: not below the rope's `stiffness`,
    /// which is that of its first pull and of the study.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub working_stiffness: Option<Force>,
    /// Share of its tension that the set rope loses in its first ten minutes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub relaxation: Option<Uncertain<Ratio>>,
    /// Rope that its knots give as they pull tight under the load.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub knots_setting: Option<Uncertain<Length>>,
    /// Rope that runs back over the locked capstan.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub capstan_slip: Option<Uncertain<Length>>,
    /// How it is tensioned before the load is on.
    pub set: TrackSetting,
}

/// A rope: of a class with known defaults, or with its own values, or a class with some values replaced.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(
    deny_unknown_fields,
    expecting = "the table of a rope: a class, or its own mass, stiffness and strength"
)]
#[non_exhaustive]
pub struct SiteRope {
    /// "11 mm nylon", "11 mm polyester", "12.5 mm nylon" or "12.5 mm polyester".
    #[serde(default, deserialize_with = "optional::<Words, _, _>", skip_serializing_if = "Option::is_none")]
    pub class: Option<String>,
    /// Mass per metre of one strand.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mass: Option<Uncertain<LineMass>>,
    /// Axial stiffness EA of one strand: force for a strain of 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stiffness: Option<Uncertain<Force>>,
    /// b of T = aε + bε², where a is `stiffness`.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub stiffening: Option<Force>,
    /// Breaking strength, new, dry and without knots.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub strength: Option<Force>,
    /// Share of the strength that its knots leave.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub knot_factor: Option<Ratio>,
    /// Share of the strength that wet leaves: "80 %" for wet nylon, say. Left out for a dry rope.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub wet_factor: Option<Ratio>,
    /// Its own diameter; a class has it.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub diameter: Option<Length>,
    /// Diameter of the thinnest thing it runs over or is bent around: a sheave, a bar, a connector.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub thinnest_bend: Option<Length>,
}

/// What travels: the masses on the carriage, and how the litter hangs below it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, expecting = "the table of the load")]
#[non_exhaustive]
pub struct SiteLoad {
    /// The patient.
    pub patient: Uncertain<Mass>,
    /// The litter with its rigging.
    pub litter: Uncertain<Mass>,
    /// Attendants whose weight hangs on the line; none if they walk.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub attendants: Option<Uncertain<Mass>>,
    /// Carriage, connectors, and whatever else hangs on the line.
    pub carriage: Uncertain<Mass>,
    /// From the track rope down to the underside of the litter.
    pub hang: Uncertain<Length>,
    /// Friction of the litter on the ground.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ground_friction: Option<Uncertain<Ratio>>,
    /// Rolling resistance of the carriage on the track rope: share of the tension.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wheel_friction: Option<Uncertain<Ratio>>,
    /// What is known of the carriage's wheel on the track rope.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wheel: Option<SiteSheave>,
}

/// A redirect of the haul rope.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, expecting = "a redirect: { at = [\"…\", \"…\", \"…\"] }")]
#[non_exhaustive]
pub struct SiteRedirect {
    /// Where it stands.
    pub at: Point3,
    /// Its efficiency over half a turn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub efficiency: Option<Uncertain<Ratio>>,
    /// What else is known of its sheave.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sheave: Option<SiteSheave>,
}

/// The haul rope: from the carriage over the head, through redirects, to the winch.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, expecting = "the table of the haul rope")]
#[non_exhaustive]
pub struct SiteHaul {
    /// The rope.
    pub rope: SiteRope,
    /// Length on hand.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub on_hand: Option<Length>,
    /// Mechanical advantage between the winch and the haul rope: "1:1", "2:1" or "3:1".
    pub tackle: TackleKind,
    /// Efficiency over half a turn of the pulleys in the tackle.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tackle_efficiency: Option<Uncertain<Ratio>>,
    /// What else is known of these pulleys.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tackle_sheave: Option<SiteSheave>,
    /// How far one setting of a 2:1 or 3:1 can haul before it is reset: the load's travel.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub throw: Option<Length>,
    /// Efficiency of the sheave on the frame's head.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub head_efficiency: Option<Uncertain<Ratio>>,
    /// What else is known of that sheave.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub head_sheave: Option<SiteSheave>,
    /// Redirects from the head to the winch, in the order the rope passes them.
    #[serde(default, deserialize_with = "by::<List<_>, _, _>")]
    pub redirects: Vec<SiteRedirect>,
    /// Where the winch stands.
    pub winch: Point3,
    /// Distance between the marks on the haul rope: 5 m unless given.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub marks: Option<Length>,
}

/// Tackles that the haul knows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "Words")]
#[non_exhaustive]
pub enum TackleKind {
    /// A straight pull.
    #[serde(rename = "1:1")]
    Straight,
    /// Two to one.
    #[serde(rename = "2:1")]
    TwoToOne,
    /// Three to one.
    #[serde(rename = "3:1")]
    ThreeToOne,
}

impl TryFrom<Words> for TackleKind {
    type Error = String;

    fn try_from(words: Words) -> Result<Self, String> {
        match String::from(words).as_str() {
            "1:1" => Ok(Self::Straight),
            "2:1" => Ok(Self::TwoToOne),
            "3:1" => Ok(Self::ThreeToOne),
            other => {
                Err(format!("\"{other}\" is not a tackle of the haul: write \"1:1\", \"2:1\" or \"3:1\""))
            }
        }
    }
}

/// The belay rope, which carries nothing while all goes well and takes over if the haul rope lets go.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, expecting = "the table of the belay rope")]
#[non_exhaustive]
pub struct SiteBelay {
    /// The rope.
    pub rope: SiteRope,
    /// Length on hand.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub on_hand: Option<Length>,
    /// Where its device stands.
    pub device: Point3,
    /// Slack in it when something lets go, with what the device needs to react.
    #[serde(with = "as_text")]
    pub slack: Length,
}

/// The powered capstan, and who holds its tail.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, expecting = "the table of the capstan: at, wraps, friction, rated_pull")]
#[non_exhaustive]
pub struct SiteCapstan {
    /// Where it stands.
    pub at: Point3,
    /// Full turns of rope taken on it.
    #[serde(deserialize_with = "by::<Number, _, _>")]
    pub wraps: f64,
    /// The least friction to count on when it must hold.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub friction: Option<Ratio>,
    /// Greatest pull that its maker allows. The schedule keeps it.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub rated_pull: Option<Force>,
}

/// The winch on the haul rope: its motor, or its published table of pull and current.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", try_from = "WinchKeys")]
#[non_exhaustive]
pub enum SiteWinch {
    /// A permanent-magnet motor by its constants.
    Motor(SiteMotor),
    /// Points of line pull and current from the data sheet.
    Table(SiteWinchTable),
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, expecting = "the table [winch.motor] or [winch.table]")]
struct WinchKeys {
    motor: Option<SiteMotor>,
    table: Option<SiteWinchTable>,
}

impl TryFrom<WinchKeys> for SiteWinch {
    type Error = String;

    fn try_from(keys: WinchKeys) -> Result<Self, String> {
        one_of([("motor", keys.motor.map(Self::Motor)), ("table", keys.table.map(Self::Table))])
    }
}

/// A permanent-magnet motor, its gear, drum, battery and leads.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, expecting = "the table of a motor")]
#[non_exhaustive]
pub struct SiteMotor {
    /// Torque per ampere.
    #[serde(with = "as_text")]
    pub constant: MotorConstant,
    /// Current without load.
    #[serde(with = "as_text")]
    pub no_load_current: ElectricCurrent,
    /// Resistance of the windings.
    #[serde(with = "as_text")]
    pub resistance: ElectricalResistance,
    /// Turns of the motor for one of the drum.
    #[serde(deserialize_with = "by::<Number, _, _>")]
    pub gear: f64,
    /// Efficiency of the gear, motor driving.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub gear_efficiency: Option<Ratio>,
    /// Radius at which the rope leaves the drum.
    #[serde(with = "as_text")]
    pub radius: Length,
    /// Greatest line pull that its maker allows.
    #[serde(with = "as_text")]
    pub rated_pull: Force,
    /// How warm it may get.
    #[serde(default)]
    pub heat: SiteHeat,
    /// The battery.
    pub battery: SiteBattery,
}

/// A published table: line pull and current on the first layer, one speed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, expecting = "the table of a winch: points, speed, rated_pull, battery")]
#[non_exhaustive]
pub struct SiteWinchTable {
    /// Line pull and current, at least two pairs.
    #[serde(deserialize_with = "by::<List<_>, _, _>")]
    pub points: Vec<PullCurrent>,
    /// Line speed to count with.
    #[serde(with = "as_text")]
    pub speed: Velocity,
    /// Greatest line pull that its maker allows.
    #[serde(with = "as_text")]
    pub rated_pull: Force,
    /// How warm it may get.
    #[serde(default)]
    pub heat: SiteHeat,
    /// The battery.
    pub battery: SiteBattery,
}

/// A point of a winch's table.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, expecting = "a point of the winch's table: { pull = \"…\", current = \"…\" }")]
#[non_exhaustive]
pub struct PullCurrent {
    /// Line pull.
    #[serde(with = "as_text")]
    pub pull: Force,
    /// Current.
    #[serde(with = "as_text")]
    pub current: ElectricCurrent,
}

/// The battery and the leads to the winch.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, expecting = "the table of a battery")]
#[non_exhaustive]
pub struct SiteBattery {
    /// Voltage without load.
    #[serde(with = "as_text")]
    pub voltage: ElectricPotential,
    /// Resistance inside.
    #[serde(with = "as_text")]
    pub resistance: ElectricalResistance,
    /// Resistance of the leads, both ways.
    #[serde(with = "as_text")]
    pub leads: ElectricalResistance,
    /// Charge it gives at its rated time.
    #[serde(with = "as_text")]
    pub charge: ElectricCharge,
    /// The time over which its charge is rated: 20 h unless given.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub rated_over: Option<crate::quantity::Time>,
    /// Peukert's exponent.
    #[serde(default, deserialize_with = "optional::<Number, _, _>", skip_serializing_if = "Option::is_none")]
    pub peukert: Option<f64>,
    /// Its temperature.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub temperature: Option<ThermodynamicTemperature>,
}

/// Rated strength of the parts that take the force at one place. Whatever is left out is not judged, and the study
/// says so.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(
    deny_unknown_fields,
    expecting = "a table of rated strengths: anchor, sling, connector, sheave, load_cell"
)]
#[non_exhaustive]
pub struct PlaceRatings {
    /// The anchor itself.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub anchor: Option<Force>,
    /// A sling.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub sling: Option<Force>,
    /// A connector.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub connector: Option<Force>,
    /// A sheave, by the force on its body.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub sheave: Option<Force>,
    /// A load cell.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub load_cell: Option<Force>,
}

/// Rated strength, place by place.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, expecting = "the table of rated strengths")]
#[non_exhaustive]
pub struct SiteRatings {
    /// At the far anchor.
    #[serde(default)]
    pub far: PlaceRatings,
    /// At the redirect of the track rope.
    #[serde(default)]
    pub redirect: PlaceRatings,
    /// At each of the two sheaves of the track rope on the head.
    #[serde(default)]
    pub head: PlaceRatings,
    /// At the load cell.
    #[serde(default)]
    pub cell: PlaceRatings,
    /// Behind the capstan.
    #[serde(default)]
    pub capstan: PlaceRatings,
    /// At the carriage.
    #[serde(default)]
    pub carriage: PlaceRatings,
    /// At the haul rope's sheave on the head.
    #[serde(default)]
    pub haul_head: PlaceRatings,
    /// At each redirect of the haul rope.
    #[serde(default)]
    pub haul_redirect: PlaceRatings,
    /// At the anchor of the haul tackle.
    #[serde(default)]
    pub tackle: PlaceRatings,
    /// Behind the haul winch.
    #[serde(default)]
    pub winch: PlaceRatings,
    /// A leg of the frame, in compression.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub leg: Option<Force>,
    /// A guy of the frame.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub guy: Option<Force>,
}

/// What the crew wants kept. Passing a limit is a warning of the study.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, expecting = "the table of limits")]
#[non_exhaustive]
pub struct SiteLimits {
    /// Greatest load-cell reading.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub reading: Option<Force>,
    /// Least load-cell reading while the load travels: a line that shows less is slack, or something has let go.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub least_reading: Option<Force>,
    /// Least safety factor: 10 unless given.
    #[serde(default, deserialize_with = "optional::<Number, _, _>", skip_serializing_if = "Option::is_none")]
    pub factor: Option<f64>,
    /// Least safety factor of each kind of part, where it is another.
    #[serde(default)]
    pub factors: PartFactors,
    /// Least angle by which the frame is to stand from tipping: 5° unless given.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub frame_margin: Option<Angle>,
    /// Greatest height of the litter above the ground.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub litter_height: Option<Length>,
    /// Least height of the litter above the ground where it is to float: 0.1 m unless given. The schedule keeps it.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub least_litter_height: Option<Length>,
    /// Least height of every rope above the ground, outward of the head: 0.3 m unless given.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub rope_clearance: Option<Length>,
    /// Greatest force on the capstan's tail that whoever or whatever holds it takes. The schedule keeps it.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub tail: Option<Force>,
    /// Greatest winch current.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub current: Option<ElectricCurrent>,
}

/// What part of the travel is studied.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, expecting = "the table of the travel")]
#[non_exhaustive]
pub struct SiteTravel {
    /// Horizontal distance from the far anchor at which the load starts: 2 m unless given.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub start: Option<Length>,
    /// Horizontal distance from the head at which it is taken over by haul and belay alone: 2 m unless given.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub end: Option<Length>,
    /// Horizontal distance from the far anchor beyond which the litter is to float: 10 m unless given.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub float_from: Option<Length>,
    /// Number of evenly spaced positions: 200 unless given. One more stands over every corner of the ground.
    #[serde(default, deserialize_with = "optional::<Count, _, _>", skip_serializing_if = "Option::is_none")]
    pub positions: Option<u32>,
}

/// What the doubt on the inputs makes of the answers: `[doubt]` asks for it.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(
    deny_unknown_fields,
    expecting = "the table of the doubt: samples, seed, parts, ground, reading, eased, relaxation, slip"
)]
#[non_exhaustive]
pub struct SiteDoubt {
    /// How many samples, a power of two from 64 to 8192: 2048 unless given.
    #[serde(default, deserialize_with = "optional::<Count, _, _>", skip_serializing_if = "Option::is_none")]
    pub samples: Option<u32>,
    /// The seed of the samples: 1 unless given. Another seed shows how far the answers hang on the draw.
    #[serde(default, deserialize_with = "optional::<Count, _, _>", skip_serializing_if = "Option::is_none")]
    pub seed: Option<u32>,
    /// How many parts of the travel every sample looks at, from 1 to 200: 24 unless given. The fewer, the faster, and the
    /// more of an extreme between them may be missed.
    #[serde(default, deserialize_with = "optional::<Count, _, _>", skip_serializing_if = "Option::is_none")]
    pub parts: Option<u32>,
    /// By how much the ground may lie higher than the profile says, smoothly along it: "0 m ± 0.2 m" unless given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ground: Option<Uncertain<Length>>,
    /// By what share the load cell shows too much while the track rope is set: "0 % ± 3 %" unless given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reading: Option<Uncertain<Ratio>>,
    /// How far the bends of the track rope have run back when the cell is read: 0 % just after taking in, 100 % with no
    /// friction left. "0 % to 20 %" unless given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub eased: Option<Uncertain<Ratio>>,
    /// What share of its tension the set track rope loses before the load is on: "0 % to 15 %" unless given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub relaxation: Option<Uncertain<Ratio>>,
    /// How much rope knots and capstan give after it is set: "0 m to 0.2 m" unless given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub slip: Option<Uncertain<Length>>,
}
