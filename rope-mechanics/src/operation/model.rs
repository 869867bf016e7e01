//! The rig as numbers: what every state of it shares.

use super::place::MOST_HAUL_REDIRECTS;
use super::track_turns::BehindTrack;
use crate::carriage::Behind;
use crate::error::{InputError, check, non_negative, positive, within};
use crate::frame::{Frame, FrameError, Guy, Leg, MOST_GUYS, MOST_HOBBLES, MOST_LEGS};
use crate::geometry::{Direction3, Piece, Point2, Point3, Profile};
use crate::haul::{HaulRedirect, LoadPull, Route};
use crate::math;
use crate::quantity::{Force, Length, LineWeight, Mass, Ratio, metres, newtons, weight_of};
use crate::reeving::{DoubledTrack, DoubledTrackPlaces, DoubledTrackTurns, ReevingError};
use crate::rope::{Rope, Stretch};
use crate::sheave::Turn;
use crate::tackle::{Layout, TackleError, Usual, UsualRatio};
use arrayvec::ArrayVec;

/// A rope turned aside behind the head.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RedirectAt {
    /// Where it stands, from the base of the frame.
    pub at: Point3,
    /// What the rope turns on.
    pub turn: Turn,
    /// Whether it holds: the rope goes straight past one that doesn't.
    pub holds: bool,
}

impl RedirectAt {
    /// One that holds.
    #[must_use]
    pub const fn new(at: Point3, turn: Turn) -> Self {
        Self { at, turn, holds: true }
    }
}

/// The doubled track rope: capstan, redirect, head, far sheave, head, load cell, anchor.
#[derive(Debug, Clone, PartialEq)]
pub struct TrackValues {
    /// The rope; what is given of it is that of one strand.
    pub rope: Rope,
    /// How its ways behind the head stretch, between capstan and head and between head and load cell: as the rope does,
    /// or otherwise where a tail of another kind lies there.
    pub stretch_behind: Stretch,
    /// Where the capstan stands, from the base of the frame.
    pub capstan: Point3,
    /// The redirect between capstan and head.
    pub redirect: RedirectAt,
    /// Each of the two sheaves on the head.
    pub head_turn: Turn,
    /// The sheave at the far anchor.
    pub far_turn: Turn,
    /// Where the anchor behind the load cell stands, from the base of the frame.
    pub cell_anchor: Point3,
}

/// The haul rope: carriage, head, redirects in their order, tackle, winch.
#[derive(Debug, Clone, PartialEq)]
pub struct HaulValues {
    /// The rope.
    pub rope: Rope,
    /// Its sheave on the head.
    pub head_turn: Turn,
    /// The redirects behind the head.
    pub redirects: ArrayVec<RedirectAt, MOST_HAUL_REDIRECTS>,
    /// The tackle; [`UsualRatio::OneToOne`] is a straight pull.
    pub tackle: UsualRatio,
    /// The pulleys of the tackle.
    pub tackle_turn: Turn,
    /// Where the winch stands, from the base of the frame.
    pub winch: Point3,
}

/// The belay rope: carriage, head, device. It carries nothing while the haul rope holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BelayValues {
    /// The rope.
    pub rope: Rope,
    /// Its sheave on the head.
    pub head_turn: Turn,
    /// Where its device stands, from the base of the frame.
    pub device: Point3,
    /// Slack in it, from 0 to 20 m, with what its device needs to react.
    pub slack: Length,
}

/// What travels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoadValues {
    /// The carriage, connectors, and whatever else hangs on the line.
    pub carriage: Mass,
    /// What hangs below it: litter, patient and attendants.
    pub litter: Mass,
    /// From the track rope down to the underside of the litter, from 0 to 20 m.
    pub hang: Length,
    /// Friction of the litter on the ground, from 0 to 1.
    pub ground_friction: Ratio,
    /// Resistance of the carriage's wheel, from 0 to 0.5: the share by which the track pulls harder behind it than
    /// ahead of it.
    pub wheel_friction: Ratio,
}

/// What is known of the frame beyond where its head, its feet and its guys stand. Nothing of it unless given.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FrameValues {
    /// Ropes between pairs of feet: each by the places of its two in the list of feet, counted from 0.
    pub hobbles: ArrayVec<(usize, usize), MOST_HOBBLES>,
    /// Mass of each leg, half of it at the head and half on its foot.
    pub leg: Mass,
    /// Mass of the plate at the head, with everything that hangs there and isn't a rope.
    pub plate: Mass,
    /// How far above the head, where the ropes run over their sheaves, legs and guys meet at the plate, from 0 to 5 m. The
    /// sheaves hang from it and swing into line with what the ropes do to them.
    pub plate_above: Length,
}

impl FrameValues {
    /// The same without one of the feet: its hobbles hold nothing any more.
    #[must_use]
    pub fn without_foot(&self, index: usize) -> Self {
        let left = |foot: usize| if foot > index { foot - 1 } else { foot };
        let tied = self.hobbles.iter().filter(|(a, b)| *a != index && *b != index);
        Self { hobbles: tied.map(|(a, b)| (left(*a), left(*b))).collect(), ..self.clone() }
    }
}

/// The numbers of a rig, none of them computed from another.
///
/// The plane of the line has its own axes: x level and outward, z up, from any origin, the same as the ground's.
/// Things at the apparatus are placed from the base of the frame: x outward, y to the left, z up.
#[derive(Debug, Clone, PartialEq)]
pub struct RigValues<'g> {
    /// The ground below the line, straight from point to point, x growing: see [`Profile`].
    pub ground: &'g [Point2],
    /// The ground below the head of the frame.
    pub base: Point2,
    /// Height of the head above it.
    pub head_height: Length,
    /// The sheave at the far anchor.
    pub far: Point2,
    /// The track rope.
    pub track: TrackValues,
    /// The haul rope.
    pub haul: HaulValues,
    /// The belay rope, if there is one.
    pub belay: Option<BelayValues>,
    /// What travels.
    pub load: LoadValues,
    /// The feet of the frame, 1 to 8, from its base.
    pub feet: ArrayVec<Point3, MOST_LEGS>,
    /// The anchors of its guys, from its base.
    pub guys: ArrayVec<Point3, MOST_GUYS>,
    /// What else is known of it.
    pub frame: FrameValues,
}

/// A rig as numbers, checked, with what follows from them alone: where every [`State`](super::State) starts.
///
/// Assumed: all ropes outward of the head run in one vertical plane; half of the weight of haul and belay rope, taken
/// over the whole chord from the head to the far anchor, hangs on the carriage; every turn behind the head passes on a
/// share of the tension that doesn't depend on it.
///
/// A rig with one value changed is another model: see [`Model::with`]. Making one takes some microseconds and no heap.
///
/// **Caution.** A doubled track rope on one sheave has no redundancy. Local codes, makers' instructions and the
/// authority having jurisdiction come first.
#[derive(Debug, Clone, PartialEq)]
pub struct Model<'g> {
    values: RigValues<'g>,
    pub(super) head: Point2,
    /// The head, from the base.
    pub(super) head_at: Point3,
    pub(super) ground: Profile<'g>,
    /// The carriage with everything that hangs on it and half of the ropes to it.
    pub(super) weight: Force,
    pub(super) litter_weight: Force,
    pub(super) reeving: DoubledTrack,
    pub(super) frame: Frame,
    /// Where legs and guys meet, from the base: at the head, or at the plate above it.
    pub(super) meet_at: Point3,
    /// What the frame's own parts weigh on its head.
    pub(super) frame_weight: Force,
    /// What of a leg stands on its foot.
    pub(super) on_foot: Force,
    /// Both strands together.
    pub(super) track_weight: LineWeight,
    pub(super) track_stretch: Stretch,
    /// What lies behind the head, half of it to each strand.
    pub(super) behind_track: Behind,
    /// Where the track rope goes behind the head to the capstan.
    pub(super) track_behind: Point3,
    pub(super) behind_turns: BehindTrack,
    /// Where the haul rope goes behind the head.
    pub(super) haul_behind: Point3,
    pub(super) behind: BehindHead,
    velocity_ratio: Ratio,
}

/// What is behind the head in the haul rope while it hauls, as shares of its tension behind the head.
///
/// Every turn and every pulley passes on a share of the tension, so that all forces behind the head are proportional
/// to it; nothing there moves with the load.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct BehindHead {
    pub(super) straight: f64,
    /// The same while it is let out.
    pub(super) straight_let_out: f64,
    pub(super) winch: f64,
    pub(super) highest: f64,
    /// Nothing at one that doesn't hold.
    pub(super) redirects: ArrayVec<f64, MOST_HAUL_REDIRECTS>,
    pub(super) tackle_anchor: f64,
}

/// Which numbers of a rig can't be used, and why.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ModelError {
    /// The ground, the base, the head or the far anchor.
    #[error("the ground or the ends of the line: {0}")]
    Geometry(InputError),
    /// The track rope's weight and stretch.
    #[error("the track rope: {0}")]
    TrackRope(InputError),
    /// Where the track rope runs behind the head.
    #[error("the places of the track rope: {0}")]
    TrackPlaces(ReevingError),
    /// The masses on the carriage, how the litter hangs, friction.
    #[error("the load: {0}")]
    Load(InputError),
    /// A foot of the frame.
    #[error("feet[{index}]: {why}")]
    Foot {
        /// Counted from 0.
        index: usize,
        /// What is wrong with it.
        why: InputError,
    },
    /// An anchor of a guy.
    #[error("guys[{index}]: {why}")]
    Guy {
        /// Counted from 0.
        index: usize,
        /// What is wrong with it.
        why: InputError,
    },
    /// The frame as a whole.
    #[error("the frame: {0}")]
    Frame(FrameError),
    /// A redirect of the haul rope, or what comes before it, stands where the rope already is.
    #[error("haul redirect {index}: {why}")]
    HaulRedirect {
        /// Counted from 0; one more than the last is the winch.
        index: usize,
        /// What is wrong with it.
        why: InputError,
    },
    /// The haul tackle.
    #[error("the haul tackle: {0}")]
    Tackle(TackleError),
    /// The belay rope.
    #[error("the belay: {0}")]
    Belay(InputError),
}

impl<'g> Model<'g> {
    /// A rig from its numbers.
    ///
    /// # Errors
    /// [`ModelError`] with what is at fault: a number out of range, two neighbours on a rope at the same place, a far
    /// anchor that is not outward of the head.
    pub fn new(values: RigValues<'g>) -> Result<Self, ModelError> {
        let ground = Profile::new(values.ground).map_err(ModelError::Geometry)?;
        Self::on(values, ground)
    }

    /// The same rig with some of its numbers changed.
    ///
    /// # Errors
    /// As [`Model::new`].
    pub fn with(&self, change: impl FnOnce(&mut RigValues<'g>)) -> Result<Self, ModelError> {
        let mut values = self.values.clone();
        change(&mut values);
        // The same points were checked when this one was made.
        if core::ptr::eq(values.ground, self.ground.points()) {
            return Self::on(values, self.ground);
        }
        Self::new(values)
    }

    fn on(values: RigValues<'g>, ground: Profile<'g>) -> Result<Self, ModelError> {
        let RigValues { base, head_height, far, ref track, ref haul, ref load, .. } = values;
        geometry(&values).map_err(ModelError::Geometry)?;
        let head = Point2::new(base.x, base.z + head_height);
        let head_at = Point3::new(metres(0.0), metres(0.0), head_height);
        let far_sheave = Point3::new(far.x - head.x, metres(0.0), far.z - base.z);
        let reeving = DoubledTrack::new(
            DoubledTrackPlaces {
                capstan: track.capstan,
                redirect: if track.redirect.holds {
                    track.redirect.at
                } else {
                    middle(track.capstan, head_at)
                },
                head: head_at,
                far_sheave,
                anchor: track.cell_anchor,
            },
            DoubledTrackTurns {
                // Without it the rope runs straight from the capstan to the head.
                redirect: if track.redirect.holds { track.redirect.turn } else { Turn::FRICTIONLESS },
                frame: Some(track.head_turn),
                far_sheave: track.far_turn,
            },
        )
        .map_err(ModelError::TrackPlaces)?;
        let parts = &values.frame;
        let meet_at = Point3::new(head_at.x, head_at.y, head_at.z + parts.plate_above);
        // Half of each leg at either end of it.
        let on_foot = 0.5 * weight_of(parts.leg);
        let frame_weight = weight_of(parts.plate) + values.feet.len() as f64 * on_foot;
        let (behind, velocity_ratio) = behind_head(haul, head_at)?;
        let mut belay_weight = LineWeight::default();
        if let Some(belay) = &values.belay {
            belay_weight = belay.rope.weight();
            within("belay_slack", belay.slack, 0.0, 20.0).map_err(ModelError::Belay)?;
            Direction3::between(head_at, belay.device).map_err(ModelError::Belay)?;
        }
        load_in_range(load).map_err(ModelError::Load)?;
        let chord = math::hypot(far.x.value - head.x.value, far.z.value - head.z.value);
        let beside = 0.5 * chord * (haul.rope.weight().value + belay_weight.value);
        let mass = load.carriage + load.litter;
        let haul_behind = haul.redirects.iter().find(|redirect| redirect.holds);
        Ok(Self {
            head,
            head_at,
            ground,
            weight: weight_of(mass) + newtons(beside),
            litter_weight: weight_of(load.litter),
            reeving,
            frame: frame(&values, meet_at)?,
            meet_at,
            frame_weight,
            on_foot,
            track_weight: 2.0 * track.rope.weight(),
            track_stretch: track.rope.stretch().strands(2).map_err(ModelError::TrackRope)?,
            behind_track: Behind {
                way_m: {
                    let (to_capstan, to_cell) = ways_behind(track, head_at);
                    0.5 * (to_capstan + to_cell).value
                },
                stretch: track.stretch_behind.strands(2).map_err(ModelError::TrackRope)?,
            },
            behind_turns: BehindTrack::of(track, head_at)
                .map_err(|why| ModelError::TrackPlaces(why.into()))?,
            track_behind: if track.redirect.holds { track.redirect.at } else { track.capstan },
            haul_behind: haul_behind.map_or(haul.winch, |redirect| redirect.at),
            behind,
            velocity_ratio,
            values,
        })
    }

    /// The numbers that it was made from.
    #[must_use]
    pub const fn values(&self) -> &RigValues<'g> {
        &self.values
    }

    /// The head of the frame, in the axes of the ground.
    #[must_use]
    pub const fn head(&self) -> Point2 {
        self.head
    }

    /// What the track and the haul rope carry: the carriage, what hangs on it, and half of the ropes to it.
    #[must_use]
    pub const fn weight(&self) -> Force {
        self.weight
    }

    /// What hangs on the sling below the carriage.
    #[must_use]
    pub const fn litter_weight(&self) -> Force {
        self.litter_weight
    }

    /// The frame without its pulls.
    #[must_use]
    pub const fn frame(&self) -> &Frame {
        &self.frame
    }

    /// Haul rope taken in at the winch by way of the load along the rope.
    #[must_use]
    pub const fn velocity_ratio(&self) -> Ratio {
        self.velocity_ratio
    }

    /// The distance from the head to the far anchor.
    #[must_use]
    pub fn chord(&self) -> Length {
        let (x_m, z_m) = self.chord_m();
        metres(math::hypot(x_m, z_m))
    }

    /// Rope that enters the track when its redirect is lost: the way by it less the straight way from capstan to head.
    ///
    /// |capstan − redirect| + |redirect − head| − |capstan − head|. Half of it enters each strand if friction lets it
    /// run: see [`Model::strand_of`] for the strand that has it.
    #[must_use]
    pub fn slack_of_track_redirect(&self) -> Length {
        let track = &self.values.track;
        way(&[track.capstan, track.redirect.at, self.head_at]) - way(&[track.capstan, self.head_at])
    }

    /// Rope that enters the haul rope when one of its redirects is lost; zero for one that there isn't or that is lost
    /// already.
    #[must_use]
    pub fn slack_of_haul_redirect(&self, index: usize) -> Length {
        let haul = &self.values.haul;
        let length = |without: Option<usize>| {
            let mut places: ArrayVec<Point3, { MOST_HAUL_REDIRECTS + 2 }> = ArrayVec::new();
            places.push(self.head_at);
            let redirects = haul.redirects.iter().enumerate();
            places.extend(redirects.filter(|(i, r)| r.holds && Some(*i) != without).map(|(_, r)| r.at));
            places.push(haul.winch);
            way(&places)
        };
        length(None) - length(Some(index))
    }

    /// Track rope from the capstan to the head, and from the head to the load cell.
    #[cfg_attr(not(all(feature = "alloc", feature = "serde")), allow(dead_code))]
    pub(super) fn track_ways_behind_head(&self) -> (Length, Length) {
        ways_behind(&self.values.track, self.head_at)
    }

    /// Haul rope from the head by its redirects to the winch, without a tackle.
    #[cfg_attr(not(all(feature = "alloc", feature = "serde")), allow(dead_code))]
    pub(super) fn haul_way_behind_head(&self) -> Length {
        let haul = &self.values.haul;
        let mut places: ArrayVec<Point3, { MOST_HAUL_REDIRECTS + 2 }> = ArrayVec::new();
        places.push(self.head_at);
        places.extend(haul.redirects.iter().filter(|redirect| redirect.holds).map(|redirect| redirect.at));
        places.push(haul.winch);
        way(&places)
    }

    /// Belay rope from the head to its device, and its slack.
    #[cfg_attr(not(all(feature = "alloc", feature = "serde")), allow(dead_code))]
    pub(super) fn belay_way_behind_head(&self) -> Option<Length> {
        let belay = self.values.belay.as_ref()?;
        Some(way(&[self.head_at, belay.device]) + belay.slack)
    }

    /// Horizontal and vertical distance from the head to the far anchor.
    pub(super) fn chord_m(&self) -> (f64, f64) {
        (self.values.far.x.value - self.head.x.value, self.values.far.z.value - self.head.z.value)
    }

    /// The height of the ground, where it is known.
    pub(super) fn ground_m(&self, x_m: f64) -> Option<f64> {
        Piece::at(self.values.ground, x_m).map(|piece| piece.height_m(x_m))
    }

    /// The slope of the ground, dz/dx; level where it isn't known.
    pub(super) fn ground_slope(&self, x_m: f64) -> f64 {
        Piece::at(self.values.ground, x_m).map_or(0.0, |piece| piece.slope())
    }

    /// A point of the plane of the line, seen from the base of the frame.
    pub(super) fn seen_from_base(&self, point: Point2) -> Point3 {
        Point3::new(point.x - self.values.base.x, metres(0.0), point.z - self.values.base.z)
    }
}

fn geometry(values: &RigValues<'_>) -> Result<(), InputError> {
    values.base.finite("base")?;
    positive("head_height", values.head_height)?;
    let far = values.far.finite("far")?;
    check("far.x", metres(far.x), crate::error::Allowed::Above(values.base.x.value))?;
    Ok(())
}

fn load_in_range(load: &LoadValues) -> Result<(), InputError> {
    non_negative("carriage_mass", load.carriage)?;
    non_negative("litter_mass", load.litter)?;
    positive("mass", load.carriage + load.litter)?;
    within("hang", load.hang, 0.0, 20.0)?;
    within("ground_friction", load.ground_friction, 0.0, 1.0)?;
    within("wheel_friction", load.wheel_friction, 0.0, 0.5)?;
    Ok(())
}

fn frame(values: &RigValues<'_>, meet_at: Point3) -> Result<Frame, ModelError> {
    let parts = &values.frame;
    let input = |why| ModelError::Frame(FrameError::Input(why));
    non_negative("leg_mass", parts.leg).map_err(input)?;
    non_negative("plate_mass", parts.plate).map_err(input)?;
    within("plate_above", parts.plate_above, 0.0, 5.0).map_err(input)?;
    let mut legs: ArrayVec<Leg, MOST_LEGS> = ArrayVec::new();
    for (index, foot) in values.feet.iter().enumerate() {
        legs.push(Leg::new(*foot).map_err(|why| ModelError::Foot { index, why })?);
    }
    let mut guys: ArrayVec<Guy, MOST_GUYS> = ArrayVec::new();
    for (index, anchor) in values.guys.iter().enumerate() {
        guys.push(Guy::new(*anchor).map_err(|why| ModelError::Guy { index, why })?);
    }
    let frame = Frame::new(meet_at, &legs, &guys).map_err(ModelError::Frame)?;
    frame.with_hobbles(&parts.hobbles).map_err(ModelError::Frame)
}

/// The haul rope behind the head, from its first redirect by the tackle to the winch; and the tackle's velocity ratio.
fn behind_head(haul: &HaulValues, head: Point3) -> Result<(BehindHead, Ratio), ModelError> {
    let mut places: ArrayVec<Point3, { MOST_HAUL_REDIRECTS + 2 }> = ArrayVec::new();
    places.push(head);
    places.extend(haul.redirects.iter().filter(|redirect| redirect.holds).map(|redirect| redirect.at));
    places.push(haul.winch);
    let along = |index: usize| match places.get(index..index + 2) {
        Some([a, b]) => Direction3::between(*a, *b).map_err(|why| ModelError::HaulRedirect { index, why }),
        _ => Ok(Direction3::DOWN), // there are two places at least, and one more than redirects
    };
    let mut turns: ArrayVec<HaulRedirect, MOST_HAUL_REDIRECTS> = ArrayVec::new();
    let mut before = along(0)?;
    for (index, redirect) in haul.redirects.iter().filter(|redirect| redirect.holds).enumerate() {
        let behind = along(index + 1)?;
        let turn = HaulRedirect::new(redirect.turn, before.angle_to(behind));
        turns.push(turn.map_err(|why| ModelError::HaulRedirect { index, why })?);
        before = behind;
    }
    let input = |why: InputError| ModelError::Tackle(why.into());
    // The forces don't depend on where its pulleys stand: any room will do.
    let layout = Layout::new(metres(10.0), metres(1.0)).map_err(input)?;
    let route = Route::new(layout, haul.tackle_turn).with_before(&turns).map_err(ModelError::Tackle)?;
    let one = LoadPull::steady(newtons(1.0)).map_err(input)?;
    let straight = route.haul(Usual::new(UsualRatio::OneToOne)).map_err(ModelError::Tackle)?;
    let tackled = route.haul(Usual::new(haul.tackle)).map_err(ModelError::Tackle)?;
    let forces = tackled.forces(one).map_err(ModelError::Tackle)?;
    let straight_forces = straight.forces(one).map_err(ModelError::Tackle)?;
    let mut on_redirects = straight.redirects(one).map_err(ModelError::Tackle)?;
    let behind = BehindHead {
        straight: straight_forces.hauling.value,
        straight_let_out: straight_forces.lowering.value,
        winch: forces.hauling.value,
        highest: forces.highest.value,
        redirects: haul
            .redirects
            .iter()
            .map(|redirect| if redirect.holds { on_redirects.next() } else { None })
            .map(|on| on.map_or(0.0, |on| on.hauling.value))
            .collect(),
        tackle_anchor: forces.anchor.value,
    };
    Ok((behind, tackled.tackle().velocity_ratio()))
}

/// From the capstan to the head, and from the head to the load cell.
fn ways_behind(track: &TrackValues, head: Point3) -> (Length, Length) {
    let in_front = if track.redirect.holds {
        way(&[track.capstan, track.redirect.at, head])
    } else {
        way(&[track.capstan, head])
    };
    (in_front, way(&[head, track.cell_anchor]))
}

fn middle(a: Point3, b: Point3) -> Point3 {
    Point3::from_si(0.5 * (a.si() + b.si()))
}

/// The way along places, straight from each to the next.
fn way(places: &[Point3]) -> Length {
    places.windows(2).fold(metres(0.0), |sum, pair| match pair {
        [a, b] => sum + Point3::from_si(b.si() - a.si()).magnitude(),
        _ => sum,
    })
}
