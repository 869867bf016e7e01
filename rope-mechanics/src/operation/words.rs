//! What a crew reads of the findings, in English.

use super::alternatives::{BelayKind, ChangeBy, SystemKind};
use super::clearance::NearestGround;
use super::expected::NotFollowed;
use super::limits::{self, AtChangeover, Finding, Passed};
use super::model::Model;
use super::place::Place;
use super::plan::SiteError;
use super::site::TrackSetting;
use super::state::StateError;
use super::study::PartKind;
use super::study::{Study, Warning};
use super::travel::TravelError;
use crate::frame::{Edge, FrameMember, Tipping};
use crate::math;
use crate::quantity::unit::{degree, percent};
use crate::quantity::{Angle, Force, Length, amperes, metres, newtons, radians, ratio};
use crate::tackle::UsualRatio;
use crate::text;
use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec::Vec;

mod changeover;
mod failures;
mod schedule;

use changeover::changeover_finding;
pub(crate) use changeover::{changeover_event, changeover_not_computed, changeover_stage};
use failures::failing;
pub(crate) use failures::{consequence, failure, not_computed};
pub(crate) use schedule::{cause, no_length, schedule};

/// What findings say beyond their data.
pub(crate) struct Found {
    /// How the frame falls.
    pub(crate) falls: String,
    /// Why what the load cell will show can't be followed.
    pub(crate) not_followed: String,
}

/// A finding as a warning of the study: its data, and its words.
pub(crate) fn warning(study: &Study, passed: &Passed, found: &Found) -> Warning {
    let component = match passed.finding {
        Finding::PartFactor(i) => Some(i),
        Finding::Changeover(AtChangeover::Factor, _) => {
            study.changeover.as_ref().and_then(|c| c.worst.component)
        }
        _ => None,
    };
    Warning {
        kind: passed.finding.kind(),
        component,
        position: passed.position,
        value: passed.value,
        limit: passed.limit,
        unit: passed.finding.unit(),
        text: sentence(study, passed, found),
    }
}

fn sentence(study: &Study, passed: &Passed, found: &Found) -> String {
    let summary = &study.summary;
    let out = passed
        .position
        .and_then(|at| study.positions.get(at))
        .map_or_else(String::new, |p| near(p.carriage.x - study.head.x));
    let when = match passed.position {
        None => String::from("While the track rope is tensioned"),
        Some(_) => format!("With the load {out} out from the head"),
    };
    let (value, limit) = (passed.value.unwrap_or_default(), passed.limit.unwrap_or_default());
    let force = |n: f64| text::both(newtons(n));
    match passed.finding {
        Finding::FrameMargin => format!(
            "{when}, the frame is only {:.1}° from tipping over {}; {:.0}° is wanted: move a foot, or set a guy.",
            radians(value).get::<degree>(),
            summary.least_margin.as_ref().map_or("", |least| least.over.as_str()),
            radians(limit).get::<degree>()
        ),
        Finding::FrameFalls => format!("{when}, {}.", found.falls),
        Finding::RopeTooShort => format!(
            "The track rope is {} too short to be reeved: a longer rope, less rope behind the frame, or a nearer far anchor.",
            text::both(metres(-value))
        ),
        Finding::HaulRopeTooShort => format!(
            "The haul rope is {} too short for the load at its start, knots, tails and turns on the drum not counted: a longer rope, or a start nearer to the head.",
            text::both(metres(-value))
        ),
        Finding::BelayRopeTooShort => format!(
            "The belay rope is {} too short for the load at its start, knots and tails not counted: a longer rope, or a start nearer to the head.",
            text::both(metres(-value))
        ),
        Finding::PartFactor(i) => format!(
            "{when}, the {} has a factor of {:.1}; {limit:.1} is wanted.",
            study.components.get(i).map_or("", |c| c.name.as_str()),
            // Downwards: 5.96 is not 6.0.
            math::floor(10.0 * value) / 10.0
        ),
        Finding::ReadingExpected => format!(
            "The load cell is expected to pass its limit of {}: {} with the load {out} out from the head.",
            force(limit),
            force(value)
        ),
        Finding::ReadingWithFriction => format!(
            "Friction, or doubt on the sheaves, may carry the load cell past its limit of {}: up to {} with the load {out} out from the head.",
            force(limit),
            force(value)
        ),
        Finding::LitterHigh => format!(
            "The litter floats up to {} above the ground, {out} out from the head; its limit is {}.",
            near(metres(value)),
            text::both(metres(limit))
        ),
        Finding::LitterDrags => format!(
            "The litter drags on the ground in places, the nearest {out} out from the head; the ground carries up to {:.0} % of its weight.",
            ratio(value).get::<percent>()
        ),
        Finding::CarriageOnGround => format!(
            "Lowered, even the carriage would lie on the ground {out} out from the head: haul only, or ask for more tension."
        ),
        Finding::TrackOnGround => match passed.position {
            None => String::from(
                "Without its load the track rope would hang below the ground in places: there it lies on it, and these numbers don't count that.",
            ),
            Some(_) => format!(
                "{when}, the loaded track rope would hang below the ground: there it lies on it, and these numbers don't count that."
            ),
        },
        Finding::WinchPull => format!(
            "The pull at the winch reaches {}, above the rated {}: take a tackle.",
            force(value),
            force(limit)
        ),
        Finding::WinchCurrent => format!(
            "The winch current reaches {}, above its limit of {}.",
            text::si(amperes(value)),
            text::si(amperes(limit))
        ),
        Finding::HaulStops => {
            format!("The haul does not finish: {out} out from the head, {}.", summary.haul.stopped_by)
        }
        Finding::BatteryLow => {
            format!("The haul leaves {:.0} % in the battery.", ratio(value).get::<percent>())
        }
        Finding::BelayBreaks => format!(
            "If the haul rope lets go with the load {out} out from the head, the belay rope may break: its peak is up to {}. Take up its slack.",
            text::both(summary.haul_lost.map_or(newtons(0.0), |lost| lost.peak))
        ),
        Finding::HaulBreaks => format!(
            "If the track rope lets go with the load {out} out from the head, the haul rope may break as well: its peak is up to {}.",
            text::both(summary.track_lost.map_or(newtons(0.0), |lost| lost.peak_bound))
        ),
        Finding::CapstanTail => format!(
            "The capstan's tail takes {}, but the weakest hand holds {}: take more wraps, or tie it off.",
            force(value),
            force(limit)
        ),
        Finding::RollsIn => format!(
            "Put on further out than {} from the head, the load would roll in to there by itself: hold it back.",
            text::both(metres(value))
        ),
        Finding::Changeover(finding, _) => study.changeover.as_ref().map_or_else(String::new, |changeover| {
            changeover_finding(study, changeover, finding, value, limit)
        }),
        Finding::NotRated => {
            let unrated = study.components.iter().filter(|c| c.strength.is_none());
            let names: Vec<_> = unrated.map(|c| c.name.as_str()).collect();
            format!("Not judged, since the site file gives no strength: {}.", names.join(", "))
        }
        Finding::RopeNear(i) => {
            let found = study.clearances.as_ref().and_then(|clearances| clearances.ropes.get(i));
            let name = found.map_or("", |found| found.rope.name());
            let spot = found.map_or_else(String::new, |found| spot(study, &found.worst));
            let lies = if value <= 0.0 {
                String::from("lies on the ground")
            } else {
                format!("comes down to {} above the ground", near(metres(value)))
            };
            format!(
                "{when}, the {name} {lies} {spot}; {} is wanted: pad it there, or lift it.",
                near(metres(limit))
            )
        }
        Finding::LitterTouches => {
            let worst = study.clearances.as_ref().and_then(|clearances| clearances.litter.worst.as_ref());
            let spot = worst.map_or_else(String::new, |worst| spot(study, worst));
            format!(
                "{when}, the litter touches the ground with an end or edge {spot}, though its middle floats."
            )
        }
        Finding::ReadingLow => format!(
            "The load cell may show as little as {} with the load {out} out from the head; less than {} is slack.",
            force(value),
            force(limit)
        ),
        Finding::SettlesDown => format!(
            "In its first minutes the track rope may give so much that the litter drags {out} out from the head: tension it again before the load is on, or set it tighter."
        ),
        Finding::FrameInFailure => format!(
            "If something fails, the frame may fall: {}. Guy it against the ropes that are left, and let nobody stand where it falls.",
            failing(study, limits::frame_falls(study))
        ),
        Finding::NotSurvivable => format!(
            "If something fails, who lies in the litter may not survive it: {}. It hits at up to {:.0} m/s ({:.0} ft/s).",
            failing(study, limits::not_survivable(study)),
            value,
            value / 0.3048
        ),
        Finding::SheaveSmall(i) => format!(
            "The {} has {value:.1} times the diameter of its rope; {limit:.0} is wanted: the rope bends sharply there, holds less and wears.",
            study.given.sheaves.get(i).map_or("", |sheave| sheave.name.as_str())
        ),
        Finding::NoSwivel(i) => format!(
            "The {} has no swivel: the two strands of the track may wind round each other. Look that they lie free before the load is on.",
            study.given.sheaves.get(i).map_or("", |sheave| sheave.name.as_str())
        ),
        Finding::AnchorPull(i) => format!(
            "The rope pulls upwards by up to {:.0}° {}; what that anchor is taken to hold is good for {:.0}°: it may come out. Lead the rope lower, or take another anchor.",
            radians(value).get::<degree>(),
            study.given.anchors.get(i).map_or_else(String::new, |anchor| place(anchor.place)),
            radians(limit).get::<degree>()
        ),
        Finding::NotFollowed => format!(
            "What the load cell will show can't be followed{}: go by the band that friction leaves.",
            found.not_followed
        ),
    }
}

/// Why what the load cell will show can't be followed: ", since …".
pub(crate) fn not_followed(why: &NotFollowed) -> String {
    match why {
        NotFollowed::OtherRopeBehind => String::from(
            ", since the rope behind the head stretches otherwise than the track rope (track.stiffness_behind)",
        ),
        NotFollowed::Hauling(why) => format!(" ({why})"),
        NotFollowed::Lowering(why) => format!(" on the way down ({why})"),
    }
}

/// Where something comes nearest to the ground, in words.
fn spot(study: &Study, nearest: &NearestGround) -> String {
    let out = near(nearest.at.x - study.head.x);
    if nearest.at_edge { format!("at the edge, {out} out") } else { format!("{out} out") }
}

fn near(length: Length) -> String {
    text::both(length).with_digits(2).to_string()
}

/// What a frame tips over, in words.
pub(crate) fn over(edge: Edge) -> String {
    let part = |part: FrameMember| match part {
        FrameMember::Leg(i) => format!("the foot of leg {}", i + 1),
        FrameMember::Guy(i) => format!("the anchor of guy {}", i + 1),
    };
    if edge.from == edge.to {
        part(edge.from)
    } else {
        format!("the line from {} to {}", part(edge.from), part(edge.to))
    }
}

/// How it falls and what would keep it up, in words.
pub(crate) fn falls(fall: &Tipping) -> String {
    let mut text = String::from("the frame falls");
    if let Some(edge) = fall.edge {
        text += &format!(" over {}", over(edge));
    }
    for guy in fall.wrong_guys() {
        text += &format!("; guy {} would have to push: it is on the wrong side", guy + 1);
    }
    text += &match fall.guy_needed_towards {
        Some(side) => format!("; a guy is needed {}", towards(side)),
        None => "; the ropes lift it, or a leg is needed below the head".to_string(),
    };
    if fall.missing.magnitude().value >= 1.0 {
        text += &format!(", for {} at the head", text::both(fall.missing.magnitude()));
    }
    text
}

/// A side as seen by somebody at the head who looks out over the slope.
fn towards(azimuth: Angle) -> &'static str {
    const SIDES: [&str; 8] = [
        "outward, over the slope",
        "outward and to the left",
        "to the left",
        "behind and to the left",
        "behind, away from the slope",
        "behind and to the right",
        "to the right",
        "outward and to the right",
    ];
    let eighth = crate::math::floor(azimuth.value / core::f64::consts::FRAC_PI_4 + 0.5);
    let index = eighth - 8.0 * crate::math::floor(eighth / 8.0);
    SIDES.get(index as usize).copied().unwrap_or(SIDES[0])
}

/// Where a place is: "at the far anchor".
fn place(place: Place) -> String {
    let fixed = match place {
        Place::TrackRope => "in the track rope",
        Place::HaulRope => "in the haul rope",
        Place::BelayRope => "in the belay rope",
        Place::Far => "at the far anchor",
        Place::TrackRedirect => "at the track redirect",
        Place::Head => "at the head",
        Place::Cell => "at the load cell",
        Place::Capstan => "at the capstan",
        Place::CarriageWheel | Place::Carriage => "at the carriage",
        Place::HaulHead => "at the head for the haul rope",
        Place::HaulRedirect(i) => return format!("at haul redirect {}", i + 1),
        Place::Tackle => "at the anchor of the haul tackle",
        Place::Winch => "at the haul winch",
        Place::BelayHead => "at the head for the belay rope",
        Place::BelayDevice => "at the belay device",
        Place::Leg | Place::Guy => "of the frame",
    };
    fixed.to_string()
}

/// What a part is and where: "sling at the far anchor".
pub(crate) fn part(at: Place, kind: PartKind) -> String {
    let what = match kind {
        PartKind::Rope => {
            return match at {
                Place::HaulRope => "haul rope".to_string(),
                Place::BelayRope => "belay rope".to_string(),
                _ => "track rope".to_string(),
            };
        }
        PartKind::LoadCell => return "load cell".to_string(),
        PartKind::Anchor => "anchor",
        PartKind::Sling => "sling",
        PartKind::Connector => "connector",
        PartKind::Sheave => "sheave",
        PartKind::Leg => "most loaded leg",
        PartKind::Guy => "most loaded guy",
        PartKind::Unrated => "parts",
    };
    format!("{what} {}", place(at))
}

/// Why the rig has no state, by the key of the site file.
pub(crate) fn no_state(model: &Model<'_>, why: StateError) -> SiteError {
    match why {
        StateError::RollsIn { x } => beside_a_rock(model, x).unwrap_or_else(|| {
            SiteError::new(
                "travel.start",
                format!(
                    "with the load at x = {:.2} m it rolls towards the head by itself, so that no haul rope holds it there: start nearer to the head",
                    x.value
                ),
            )
        }),
        StateError::LiesDown { x } => beside_a_rock(model, x).unwrap_or_else(|| {
            SiteError::new(
                "track.set",
                format!(
                    "with the load at x = {:.2} m the track line is so low that even the carriage would lie on the ground: ask for more tension or height, or leave that part of the travel out (travel.start, travel.end)",
                    x.value
                ),
            )
        }),
        StateError::OffGround { x } => {
            SiteError::new("ground", format!("does not reach x = {} m: extend it", x.value))
        }
        StateError::Carriage { x, why } => {
            SiteError::new("track.set", format!("no equilibrium with the load at x = {:.2} m: {why}", x.value))
        }
        StateError::Frame(why) => SiteError::new("frame", why.to_string()),
        StateError::Input(why) => SiteError::at("track", why),
        why => SiteError::new("track", why.to_string()),
    }
}

/// A rock that is in the way of a litter which can't lie beside it.
fn beside_a_rock(model: &Model<'_>, x: Length) -> Option<SiteError> {
    let rock = model.rock_beside(x.value)?;
    let ((first, last), (from_m, to_m)) = (rock.points, rock.from_to_m);
    Some(SiteError::new(
        format!("ground[{first}]"),
        format!(
            "from there to ground[{last}], at x = {from_m:.2} to {to_m:.2} m, the ground is steeper than 60° and {} high, more than the litter hangs below the track line ({}): where the line doesn't lift the litter over it, here with the load at x = {:.2} m, it can't lie beside such a rock. Ask for more tension or height (track.set), leave that part of the travel out (travel.start, travel.end), or describe the ground as the litter passes it",
            text::both(metres(rock.height_m)),
            text::both(model.values().load.hang),
            x.value
        ),
    ))
}

/// Why no length of rope gives what the site file asks for.
pub(crate) fn no_strand(model: &Model<'_>, set: &TrackSetting, why: TravelError) -> SiteError {
    let key = set.key();
    match why {
        TravelError::State(StateError::Input(why)) => SiteError::at(key, why),
        TravelError::State(why) => no_state(model, why),
        TravelError::TooTight => SiteError::new(
            key,
            "asks for a track rope so tight that it would have to stretch by half: ask for less tension or height",
        ),
        TravelError::TooSlack { longest } => SiteError::new(
            key,
            format!(
                "asks for so little that no track rope of up to {} a strand gives it: ask for more",
                text::both(longest)
            ),
        ),
        TravelError::NoPlace => SiteError::new(key, "no place of the load has an equilibrium"),
        TravelError::Wanders => SiteError::new(
            key,
            "no length of the track rope was found that gives it: the place that governs changes with every length. Ask for another value, or give more travel.positions",
        ),
    }
}

/// Why a winch that is known by its table isn't followed while it lowers.
pub(crate) const TABLE_DOES_NOT_LOWER: &str =
    "a table of pulls and currents says nothing about lowering: describe the winch by its motor and gear";

/// A way to haul: "3:1", "straight, then 3:1".
pub(crate) fn haul_way(ratio: UsualRatio, straight_first: bool) -> String {
    let tackle = match ratio {
        UsualRatio::OneToOne => "straight",
        UsualRatio::TwoToOne => "2:1",
        UsualRatio::ThreeToOne => "3:1",
        UsualRatio::FourToOne => "4:1",
        UsualRatio::FiveToOne => "5:1",
        UsualRatio::FiveToOneComplex => "complex 5:1",
        UsualRatio::SixToOne => "6:1",
        UsualRatio::NineToOne => "9:1",
    };
    if straight_first { format!("straight, then {tackle}") } else { tackle.to_string() }
}

/// When to change from a straight pull to a tackle, and what holds meanwhile.
pub(crate) fn change_to_tackle(rope_in: Length, out: Length, by: ChangeBy, held: Force) -> String {
    let what = match by {
        ChangeBy::WinchPull => "the winch would pull more than it is rated for",
        ChangeBy::WinchCurrent => "the winch's current would pass its limit",
    };
    format!(
        "Change to a tackle when {} of haul rope have come in, with {} still out from the head: hauled straight further, {what}. While the tackle is made, a grab on the haul rope holds up to {} on an anchor of its own, and the belay is tended.",
        near(rope_in),
        near(out),
        text::both(held)
    )
}

/// A way to belay.
pub(crate) const fn belay_way(kind: BelayKind) -> &'static str {
    match kind {
        BelayKind::None => "no belay",
        BelayKind::Hands => "from above, by hands",
        BelayKind::Device => "from above, by a device",
        BelayKind::FixedRope => "a grab on a fixed rope",
        BelayKind::Shared => "both ropes share the load",
    }
}

/// What a way to belay doesn't cover.
pub(crate) const fn belay_does_not_cover(kind: BelayKind) -> &'static [&'static str] {
    const FRAME: &str = "the frame: belay and haul rope both go over it";
    const EDGE: &str = "an edge or a rock that cuts both ropes";
    match kind {
        BelayKind::None => &["the haul rope, its winch, its redirects: the load runs away"],
        BelayKind::Hands => &[
            "more than the hands hold: one holds 46 N (10 lbf) to 425 N (96 lbf) on a moving rope",
            "a tender who looks away, trips or lets go",
            FRAME,
            EDGE,
        ],
        BelayKind::Device => &["slack that nobody has taken in", FRAME, EDGE],
        BelayKind::FixedRope => &[
            "a grab that nobody moves along: it takes an attendant on the ground beside the litter",
            "a litter that floats out of the attendant's reach",
            "the track rope: where that is lost, the fixed rope runs along the ground and holds along it only",
            "the rope bearing on the edge and the ground",
        ],
        BelayKind::Shared => &["a winch that hauls both ropes, or one anchor for both devices", FRAME, EDGE],
    }
}

/// So many attendants.
pub(crate) const fn attendants(count: u32) -> &'static str {
    match count {
        0 => "no attendant",
        1 => "one attendant",
        2 => "two attendants",
        3 => "three attendants",
        _ => "attendants",
    }
}

/// A system.
pub(crate) const fn system(kind: SystemKind) -> &'static str {
    match kind {
        SystemKind::NoTrack => "no track: litter on the slope with attendants",
        SystemKind::OneStrand => "one track strand",
        SystemKind::Doubled => "one track rope, doubled on one sheave",
        SystemKind::TwoRopes => "two track ropes, each with its own anchors",
    }
}

/// What fails in a system, and what holds then.
pub(crate) const fn system_fails(kind: SystemKind) -> &'static str {
    match kind {
        SystemKind::NoTrack => {
            "If the haul rope is lost, the belay rope holds the litter on the slope: two ropes, of which either is enough."
        }
        SystemKind::OneStrand => {
            "If the track rope or its far anchor is lost, the haul rope alone holds the litter: one strand has no redundancy."
        }
        SystemKind::Doubled => {
            "If the track rope, its sheave or its far anchor is lost, both strands are gone, and the haul rope alone holds the litter: a doubled track rope on one sheave has no redundancy."
        }
        SystemKind::TwoRopes => {
            "If one track rope or one of its anchors is lost, the other carries the whole load, lower."
        }
    }
}

/// A litter on the slope without a belay.
pub(crate) const NO_BELAY_FAILS: &str =
    "If the haul rope is lost, nothing holds the litter on the slope: there is no belay rope.";
