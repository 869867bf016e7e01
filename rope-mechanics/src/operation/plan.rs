//! From a site file to a plan: every key checked, every default filled in and listed.

use super::site::{self, Holds, Site, SiteRope};
use super::study::Assumption;
use super::travel::Travel;
use super::{rated, written};
use crate::doubt::Uncertain;
use crate::error::{self, Allowed, Checked, InputError};
use crate::geometry::{Piece, Point2, Point3};
use crate::quantity::Mark;
use crate::quantity::unit::{degree, foot, kilonewton, meter, percent};
use crate::quantity::{Angle, Force, Length, LineMass, Mass, Ratio, metres, ratio};
use crate::rope::{Rope, Stretch};
use crate::sheave::PULLEY;
use crate::strength::{Reduction, Weakening, reduced_strength};
use crate::text::{self, Text};
use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec::Vec;

/// Why a site can't be studied: the key at fault and what to change.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{key}: {problem}")]
#[non_exhaustive]
pub struct SiteError {
    /// The key of the site file, as in `track.rope.mass` or `ground[3]`.
    pub key: String,
    /// What is wrong with it, and what is allowed or what to change.
    pub problem: String,
}

impl SiteError {
    pub(crate) fn new(key: impl Into<String>, problem: impl Into<String>) -> Self {
        Self { key: key.into(), problem: problem.into() }
    }

    /// An input error of a lower layer, found at this key.
    pub(crate) fn at(key: impl Into<String>, why: InputError) -> Self {
        Self::new(key, written::problem(&why))
    }
}

/// Everything that the solution needs, checked.
#[derive(Debug, Clone)]
pub(crate) struct SitePlan {
    pub(crate) ground: Vec<Point2>,
    pub(crate) base: Point2,
    pub(crate) head: Point2,
    pub(crate) far: Point2,
    pub(crate) track: Rope,
    pub(crate) track_strength: Strength,
    /// Of the track rope behind the head.
    pub(crate) stretch_behind: Stretch,
    pub(crate) haul: Rope,
    pub(crate) haul_strength: Strength,
    pub(crate) belay: Option<BelayRope>,
    pub(crate) far_efficiency: Ratio,
    pub(crate) redirect_efficiency: Ratio,
    pub(crate) track_head_efficiency: Ratio,
    pub(crate) haul_head_efficiency: Ratio,
    pub(crate) tackle_efficiency: Ratio,
    pub(crate) haul_redirects: Vec<(Point3, Ratio)>,
    pub(crate) load: Mass,
    pub(crate) ground_friction: Ratio,
    pub(crate) wheel_friction: Ratio,
    pub(crate) capstan_friction: Ratio,
    pub(crate) factor: f64,
    pub(crate) frame_margin: Angle,
    pub(crate) litter_height_limit: Length,
    pub(crate) rope_clearance: Length,
    pub(crate) least_litter_height: Length,
    pub(crate) start: Length,
    pub(crate) end: Length,
    /// Horizontal distance from the far anchor beyond which the litter is to float.
    pub(crate) float_from: Length,
    pub(crate) positions: usize,
    /// Track rope on hand, and full turns of it on the capstan.
    pub(crate) on_hand: Length,
    pub(crate) wraps: f64,
    /// Rope used at the apparatus: knots, tails, wraps and the ways behind the frame.
    pub(crate) used: Length,
    /// What anchors hold that nobody has rated.
    pub(crate) anchors: Vec<Holds>,
    pub(crate) assumptions: Vec<Assumption>,
}

/// The belay rope, and what it holds.
#[derive(Debug, Clone)]
pub(crate) struct BelayRope {
    pub(crate) rope: Rope,
    pub(crate) strength: Strength,
}

/// What a rope holds with its knots, and how that comes about.
#[derive(Debug, Clone)]
pub(crate) struct Strength {
    pub(crate) strength: Force,
    pub(crate) basis: String,
}

/// Classes of rope with known defaults: stiffness in kN, g/m, strength in kN, diameter in mm, from memory. EN 1891
/// bounds the stiffness: at most 5 % between 50 and 150 kg gives at least 19.6 kN.
const CLASSES: [(&str, f64, f64, f64, f64); 4] = [
    ("11 mm nylon", 35.0, 77.0, 30.0, 11.0),
    ("11 mm polyester", 80.0, 85.0, 30.0, 11.0),
    ("12.5 mm nylon", 50.0, 105.0, 40.0, 12.5),
    ("12.5 mm polyester", 110.0, 119.0, 40.0, 12.5),
];

/// The diameter of a rope: its own, or that of its class.
pub(crate) fn diameter(kind: &SiteRope) -> Option<Length> {
    let class = kind.class.as_ref().and_then(|name| CLASSES.iter().find(|class| class.0 == name));
    kind.diameter.or(class.map(|class| metres(1e-3 * class.4)))
}

/// Fewer would miss what happens between them.
const LEAST_POSITIONS: u32 = 10;
const MAX_POSITIONS: u32 = 20_000;

/// Collects the assumptions while the keys are read.
struct Reader {
    assumptions: Vec<Assumption>,
}

impl Reader {
    fn assume(&mut self, key: &str, text: impl Into<String>, mark: Mark) {
        self.assumptions.push(Assumption { key: key.to_string(), text: text.into(), mark });
    }

    /// The value given, or a default that is listed.
    fn or<Q: Text + Checked>(
        &mut self,
        key: &str,
        given: Option<impl Into<Uncertain<Q>>>,
        default: Q,
        what: &str,
        mark: Mark,
        allowed: Allowed,
    ) -> Result<Q, SiteError> {
        match given {
            Some(given) => {
                let value = given.into().value();
                error::check("", value, allowed).map_err(|why| SiteError::at(key, why))?;
                Ok(value)
            }
            None => {
                self.assume(key, format!("{what}: {}", text::both(default)), mark);
                Ok(default)
            }
        }
    }

    fn efficiency(
        &mut self,
        key: &str,
        given: Option<Uncertain<Ratio>>,
        what: &str,
    ) -> Result<Ratio, SiteError> {
        let what = format!(
            "efficiency of {what} over half a turn (nine pulleys measured: 74 to 91 %; a tenth may have 73 to 95 %)"
        );
        self.or(
            key,
            given,
            ratio(PULLEY.expected),
            &what,
            Mark::Read("Delaney 2022"),
            Allowed::Within(0.3, 1.0),
        )
    }

    fn rope(&mut self, key: &str, kind: &SiteRope) -> Result<(Rope, Strength), SiteError> {
        let class = match &kind.class {
            None => None,
            Some(name) => match CLASSES.iter().find(|class| class.0 == name) {
                Some(class) => Some(class),
                None => {
                    let names: Vec<_> = CLASSES.iter().map(|class| format!("\"{}\"", class.0)).collect();
                    return Err(SiteError::new(
                        format!("{key}.class"),
                        format!("\"{name}\" is not a class of rope; the classes are {}", names.join(", ")),
                    ));
                }
            },
        };
        let mut pick =
            |field: &str, given: Option<f64>, from_class: Option<f64>, unit: &str, range: &str| match (
                given, from_class,
            ) {
                (Some(value), _) => Ok(value),
                (None, Some(value)) => {
                    self.assume(
                        &format!("{key}.{field}"),
                        format!("{} of {} rope: {value} {unit}{range}", field, class.map_or("", |c| c.0)),
                        Mark::Memory,
                    );
                    Ok(value)
                }
                (None, None) => Err(SiteError::new(
                    format!("{key}.{field}"),
                    "is missing: give it, or a class with known defaults",
                )),
            };
        let stiffness = pick(
            "stiffness",
            kind.stiffness.map(|q| q.value().get::<kilonewton>()),
            class.map(|c| c.1),
            "kN",
            ", good to about 30 % either way",
        )?;
        let mass = pick("mass", kind.mass.map(|q| q.value().value * 1e3), class.map(|c| c.2), "g/m", "")?;
        let strength =
            pick("strength", kind.strength.map(|q| q.get::<kilonewton>()), class.map(|c| c.3), "kN", "")?;
        let knot = self.or(
            &format!("{key}.knot_factor"),
            kind.knot_factor,
            Ratio::new::<percent>(70.0),
            "share of the rope's strength that its knots leave (55 to 80 %)",
            Mark::Memory,
            Allowed::Within(0.2, 1.0),
        )?;
        let wet = kind.wet_factor.unwrap_or(Ratio::new::<percent>(100.0));
        error::within("", wet, 0.2, 1.0).map_err(|why| SiteError::at(format!("{key}.wet_factor"), why))?;
        let stiffness = Force::new::<kilonewton>(stiffness);
        let stretch = match kind.stiffening {
            None => {
                Stretch::linear(stiffness).map_err(|why| SiteError::at(format!("{key}.stiffness"), why))?
            }
            Some(b) => Stretch::stiffening(stiffness, b).map_err(|why| {
                SiteError::at(
                    format!("{key}.{}", if why.field == "stretch_b" { "stiffening" } else { "stiffness" }),
                    why,
                )
            })?,
        };
        check_range(&format!("{key}.stiffness"), stiffness, 1e3, 1e8)?;
        let strength = Force::new::<kilonewton>(strength);
        check_range(&format!("{key}.strength"), strength, 1e3, 1e6)?;
        let mass = LineMass {
            value: mass * 1e-3,
            ..LineMass::new::<uom::si::linear_mass_density::kilogram_per_meter>(0.0)
        };
        check_range(&format!("{key}.mass"), mass, 1e-3, 10.0)?;
        let rope = Rope::new(mass, stretch, strength).map_err(|why| SiteError::at(key, why))?;
        let reduction = |weakening, factor, field: &str| {
            Reduction::new(weakening, factor, Mark::Given)
                .map_err(|why| SiteError::at(format!("{key}.{field}"), why))
        };
        let bend = self.bend(key, kind, class.map(|c| c.4))?;
        let reductions = [
            reduction(Weakening::Knot, knot, "knot_factor")?,
            reduction(Weakening::Wet, wet, "wet_factor")?,
            bend,
        ];
        let left = reduced_strength(strength, &reductions)
            .map_err(|why| SiteError::at(format!("{key}.strength"), why))?;
        let mut basis = format!("{} with knots at {}", text::both(strength), text::si(knot));
        if bend.factor() < knot {
            basis = format!("{} with its thinnest bend at {}", text::both(strength), text::si(bend.factor()));
        }
        if wet.value < 1.0 {
            basis += &format!(", wet at {}", text::si(wet));
        }
        Ok((rope, Strength { strength: left.strength, basis }))
    }

    /// What the thinnest bend of a rope leaves of its strength.
    fn bend(&mut self, key: &str, kind: &SiteRope, class_mm: Option<f64>) -> Result<Reduction, SiteError> {
        let diameter = kind.diameter.or(class_mm.map(|mm| metres(1e-3 * mm)));
        if let Some(diameter) = kind.diameter {
            check_range(&format!("{key}.diameter"), diameter, 1e-3, 0.1)?;
        }
        match (kind.thinnest_bend, diameter) {
            (None, _) => {
                self.assume(
                    &format!("{key}.thinnest_bend"),
                    "no bend weakens the rope more than its knots do (a bend over 3 rope diameters leaves 70 %)",
                    Mark::Memory,
                );
                Reduction::new(Weakening::Bend, Ratio::new::<percent>(100.0), Mark::Memory)
                    .map_err(|why| SiteError::at(key, why))
            }
            (Some(_), None) => Err(SiteError::new(
                format!("{key}.diameter"),
                "is missing: thinnest_bend says something only beside it",
            )),
            (Some(bend), Some(diameter)) => {
                check_range(&format!("{key}.thinnest_bend"), bend, 1e-3, 10.0)?;
                Reduction::bend(bend, diameter)
                    .map_err(|why| SiteError::at(format!("{key}.thinnest_bend"), why))
            }
        }
    }
}

pub(crate) fn check_range<Q: Checked>(key: &str, value: Q, lo: f64, hi: f64) -> Result<(), SiteError> {
    error::within("", value, lo, hi).map(|_| ()).map_err(|why| SiteError::at(key, why))
}

pub(crate) fn check_place(key: &str, place: Point3) -> Result<(), SiteError> {
    for coordinate in [place.x, place.y, place.z] {
        check_range(key, coordinate, -200.0, 200.0)?;
    }
    Ok(())
}

pub(crate) fn distance(a: Point3, b: Point3) -> Length {
    Point3::from_si(b.si() - a.si()).magnitude()
}

impl SitePlan {
    pub(crate) fn new(site: &Site) -> Result<Self, SiteError> {
        let mut read = Reader { assumptions: Vec::new() };
        let (base, head, far) = geometry(site)?;
        let (track, track_strength) = read.rope("track.rope", &site.track.rope)?;
        let stretch_behind = match site.track.stiffness_behind {
            None => track.stretch(),
            Some(stiffness) => {
                check_range("track.stiffness_behind", stiffness, 1e3, 1e12)?;
                Stretch::linear(stiffness).map_err(|why| SiteError::at("track.stiffness_behind", why))?
            }
        };
        let (haul, haul_strength) = read.rope("haul.rope", &site.haul.rope)?;
        let mut belay_rope = None;
        if let Some(belay) = &site.belay {
            let (rope, strength) = read.rope("belay.rope", &belay.rope)?;
            belay_rope = Some(BelayRope { rope, strength });
            check_place("belay.device", belay.device)?;
            check_range("belay.slack", belay.slack, 0.0, 20.0)?;
        }

        let track_site = &site.track;
        for (key, place) in [
            ("track.redirect", track_site.redirect),
            ("track.cell_anchor", track_site.cell_anchor),
            ("capstan.at", site.capstan.at),
            ("haul.winch", site.haul.winch),
        ] {
            check_place(key, place)?;
        }
        check_range("track.on_hand", track_site.on_hand, 1.0, 5000.0)?;
        for (key, length) in [
            ("track.knots", track_site.knots),
            ("track.tails", track_site.tails),
            ("track.wraps", track_site.wraps),
        ] {
            check_range(key, length, 0.0, 500.0)?;
        }
        let above = Point3::new(metres(0.0), metres(0.0), site.frame.height.value());
        let used = track_site.knots
            + track_site.tails
            + track_site.wraps
            + distance(site.capstan.at, track_site.redirect)
            + distance(track_site.redirect, above)
            + distance(above, track_site.cell_anchor);

        let mut haul_redirects = Vec::new();
        for (i, redirect) in site.haul.redirects.iter().enumerate() {
            let key = format!("haul.redirects[{i}]");
            check_place(&format!("{key}.at"), redirect.at)?;
            let efficiency = read.efficiency(
                &format!("{key}.efficiency"),
                redirect.efficiency,
                &format!("haul redirect {}", i + 1),
            )?;
            haul_redirects.push((redirect.at, efficiency));
        }
        if haul_redirects.len() > 6 {
            return Err(SiteError::new(
                "haul.redirects",
                format!("holds {}, but must hold at most 6", haul_redirects.len()),
            ));
        }

        let load = &site.load;
        let attendants = load.attendants.map_or_else(Mass::default, |mass| mass.value());
        for (key, mass, least) in [
            ("load.patient", load.patient.value(), 0.0),
            ("load.litter", load.litter.value(), 0.0),
            ("load.attendants", attendants, 0.0),
            ("load.carriage", load.carriage.value(), 0.0),
        ] {
            check_range(key, mass, least, 2000.0)?;
        }
        let mass: Mass = load.patient.value() + load.litter.value() + attendants + load.carriage.value();
        check_range("load (patient, litter, attendants and carriage together)", mass, 1.0, 2000.0)?;
        check_range("load.hang", load.hang.value(), 0.0, 20.0)?;

        let limits = &site.limits;
        let factor = match limits.factor {
            Some(factor) if factor.is_finite() && (1.0..=100.0).contains(&factor) => factor,
            Some(factor) => {
                return Err(SiteError::new(
                    "limits.factor",
                    format!("is {factor}, but must be from 1 to 100"),
                ));
            }
            None => {
                read.assume(
                    "limits.factor",
                    "least static safety factor of the system: 10",
                    Mark::CommonPractice,
                );
                10.0
            }
        };
        let frame_margin = read.or(
            "limits.frame_margin",
            limits.frame_margin,
            Angle::new::<degree>(5.0),
            "least angle by which the frame stands from tipping",
            Mark::Choice,
            Allowed::Within(0.0, core::f64::consts::FRAC_PI_2),
        )?;
        if let Some(reading) = limits.reading {
            check_range("limits.reading", reading, 1.0, 1e6)?;
        }
        if let Some(current) = limits.current {
            check_range("limits.current", current, 0.1, 1e5)?;
        }
        if let Some(tail) = limits.tail {
            check_range("limits.tail", tail, 1.0, 1e6)?;
        }
        if let Some(pull) = site.capstan.rated_pull {
            check_range("capstan.rated_pull", pull, 1.0, 1e6)?;
        }
        if let Some(marks) = site.haul.marks {
            check_range("haul.marks", marks, 0.1, 1000.0)?;
        }
        for (key, factor) in limits.factors.given() {
            if !(factor.is_finite() && (1.0..=100.0).contains(&factor)) {
                return Err(SiteError::new(
                    format!("limits.factors.{key}"),
                    format!("is {factor}, but must be from 1 to 100"),
                ));
            }
        }
        let least_litter_height = limits.least_litter_height.unwrap_or(Length::new::<meter>(0.1));
        check_range("limits.least_litter_height", least_litter_height, 0.0, 100.0)?;
        rated::check(&site.ratings)?;
        let anchors = site.anchors.holds(|place| rated::anchor(&site.ratings, place))?;
        let anything = Allowed::Within(0.0, 100.0);
        let litter_height_limit = read.or(
            "limits.litter_height",
            limits.litter_height,
            Length::new::<foot>(3.0),
            "greatest height of a floating litter above the ground",
            Mark::CommonPractice,
            anything,
        )?;
        let rope_clearance = read.or(
            "limits.rope_clearance",
            limits.rope_clearance,
            metres(0.3),
            "wanted clearance of every rope from the ground, as profiles are good to about so much",
            Mark::Choice,
            Allowed::Within(0.0, 5.0),
        )?;
        let start = read.or(
            "travel.start",
            site.travel.start,
            Length::new::<meter>(2.0),
            "horizontal distance from the far anchor at which the load starts",
            Mark::Choice,
            Allowed::Within(0.01, 1000.0),
        )?;
        let end = read.or(
            "travel.end",
            site.travel.end,
            Length::new::<meter>(2.0),
            "horizontal distance from the head at which the load leaves the track",
            Mark::Choice,
            Allowed::Within(0.01, 1000.0),
        )?;
        let float_from = read.or(
            "travel.float_from",
            site.travel.float_from,
            Length::new::<meter>(10.0),
            "horizontal distance from the far anchor beyond which the litter is to float",
            Mark::Choice,
            Allowed::Within(0.0, 1000.0),
        )?;
        if start.max(float_from) + end >= far.x - head.x {
            return Err(SiteError::new(
                "travel.start",
                format!(
                    "or travel.float_from, and travel.end together are {}, but must be less than the horizontal distance from the head to the far anchor, {}",
                    text::both(start.max(float_from) + end),
                    text::both(far.x - head.x)
                ),
            ));
        }
        let positions = site.travel.positions.unwrap_or(200);
        if !(LEAST_POSITIONS..=MAX_POSITIONS).contains(&positions) {
            return Err(SiteError::new(
                "travel.positions",
                format!("is {positions}, but must be from {LEAST_POSITIONS} to {MAX_POSITIONS}"),
            ));
        }
        if !(site.capstan.wraps.is_finite() && (0.0..=20.0).contains(&site.capstan.wraps)) {
            return Err(SiteError::new(
                "capstan.wraps",
                format!("is {}, but must be from 0 to 20 turns", site.capstan.wraps),
            ));
        }
        if let Some(throw) = site.haul.throw {
            check_range("haul.throw", throw, 0.1, 1000.0)?;
        }

        let unit_range = Allowed::Within(0.0, 1.0);
        let plan = Self {
            base,
            head,
            far,
            track,
            track_strength,
            stretch_behind,
            haul,
            haul_strength,
            belay: belay_rope,
            far_efficiency: read.efficiency(
                "far_anchor.efficiency",
                site.far_anchor.efficiency,
                "the sheave at the far anchor",
            )?,
            redirect_efficiency: read.efficiency(
                "track.redirect_efficiency",
                track_site.redirect_efficiency,
                "the track rope's redirect",
            )?,
            track_head_efficiency: read.efficiency(
                "track.head_efficiency",
                track_site.head_efficiency,
                "the track rope's sheaves on the head",
            )?,
            haul_head_efficiency: read.efficiency(
                "haul.head_efficiency",
                site.haul.head_efficiency,
                "the haul rope's sheave on the head",
            )?,
            tackle_efficiency: read.efficiency(
                "haul.tackle_efficiency",
                site.haul.tackle_efficiency,
                "the pulleys of the haul tackle",
            )?,
            haul_redirects,
            load: mass,
            ground_friction: read.or(
                "load.ground_friction",
                load.ground_friction,
                Ratio::new::<percent>(40.0),
                "friction of the litter on the ground (10 to 80 %)",
                Mark::Memory,
                unit_range,
            )?,
            wheel_friction: read.or(
                "load.wheel_friction",
                load.wheel_friction,
                Ratio::new::<percent>(2.0),
                "resistance of the carriage's wheel, as a share of the track's tension",
                Mark::Memory,
                Allowed::Within(0.0, 0.2),
            )?,
            capstan_friction: read.or(
                "capstan.friction",
                site.capstan.friction,
                Ratio::new::<percent>(10.0),
                "least friction of the rope on the capstan that it must hold with",
                Mark::Memory,
                unit_range,
            )?,
            factor,
            frame_margin,
            litter_height_limit,
            rope_clearance,
            least_litter_height,
            start,
            end,
            float_from,
            positions: positions as usize,
            on_hand: track_site.on_hand,
            wraps: site.capstan.wraps,
            used,
            ground: site.ground.clone(),
            anchors,
            assumptions: Vec::new(),
        };
        Ok(Self { assumptions: read.assumptions, ..plan })
    }
}

impl SitePlan {
    /// The travel that the study looks at.
    pub(crate) fn travel(&self) -> Travel {
        let (start, end) = (self.far.x - self.start, self.head.x + self.end);
        Travel { floats_from: self.far.x - self.float_from, ..Travel::new(start, end, self.positions) }
    }
}

/// (base, head, far anchor), with the ground checked against the straight line between the last two.
fn geometry(site: &Site) -> Result<(Point2, Point2, Point2), SiteError> {
    if site.ground.len() < 2 {
        return Err(SiteError::new(
            "ground",
            format!("holds {} points, but must hold at least 2", site.ground.len()),
        ));
    }
    if site.ground.len() > 10_000 {
        return Err(SiteError::new(
            "ground",
            format!("holds {} points, but must hold at most 10000", site.ground.len()),
        ));
    }
    for (i, point) in site.ground.iter().enumerate() {
        check_range(&format!("ground[{i}]"), point.x, -10_000.0, 10_000.0)?;
        check_range(&format!("ground[{i}]"), point.z, -10_000.0, 10_000.0)?;
    }
    for (i, pair) in site.ground.windows(2).enumerate() {
        if let [a, b] = pair
            && b.x <= a.x
        {
            return Err(SiteError::new(
                format!("ground[{}]", i + 1),
                format!(
                    "its x of {} must be greater than that of the point before it, {}: the profile runs outward and can't cross itself",
                    text::both(b.x),
                    text::both(a.x)
                ),
            ));
        }
    }
    let tolerances = site.ground_tolerance.len();
    if tolerances > 0 && tolerances != site.ground.len() {
        return Err(SiteError::new(
            "ground_tolerance",
            format!(
                "holds {tolerances}, but must hold one for each of the {} points of the ground",
                site.ground.len()
            ),
        ));
    }
    for (i, tolerance) in site.ground_tolerance.iter().enumerate() {
        check_range(&format!("ground_tolerance[{i}]"), tolerance.0, 0.0, 100.0)?;
    }
    check_range("frame.height", site.frame.height.value(), 0.05, 50.0)?;
    check_range("far_anchor.height", site.far_anchor.height.value(), 0.0, 50.0)?;
    let on_ground = |key: &str, x: Length, height: Length| {
        let piece = Piece::at(&site.ground, x.value).ok_or_else(|| {
            SiteError::new(
                key,
                format!("is {}, where the ground profile does not reach: extend `ground`", text::both(x)),
            )
        })?;
        Ok(Point2::new(x, metres(piece.height_m(x.value)) + height))
    };
    let base = on_ground("frame.x", site.frame.x, metres(0.0))?;
    let head = on_ground("frame.x", site.frame.x, site.frame.height.value())?;
    let far = on_ground("far_anchor.x", site.far_anchor.x.value(), site.far_anchor.height.value())?;
    if far.x.value - head.x.value < 1.0 {
        return Err(SiteError::new(
            "far_anchor.x",
            format!(
                "is {}, but must lie at least 1 m outward of frame.x, {}",
                text::both(far.x),
                text::both(head.x)
            ),
        ));
    }
    if far.z >= head.z {
        return Err(SiteError::new(
            "far_anchor.height",
            format!(
                "puts the far anchor {} above the head of the frame: the load travels up to the head, so raise frame.height or lower the far anchor",
                text::both(far.z - head.z)
            ),
        ));
    }
    let worst = site
        .ground
        .iter()
        .filter(|p| p.x > head.x && p.x < far.x)
        .map(|p| {
            (
                p,
                p.z.value
                    - head.z.value
                    - (far.z.value - head.z.value) * (p.x.value - head.x.value)
                        / (far.x.value - head.x.value),
            )
        })
        .max_by(|a, b| a.1.total_cmp(&b.1));
    if let Some((point, above)) = worst
        && above >= 0.0
    {
        return Err(SiteError::new(
            "ground",
            format!(
                "at x = {} stands {} above the straight line from the head to the far anchor, so no track line can pass: raise frame.height, raise far_anchor.height, or move far_anchor.x",
                text::both(point.x),
                text::both(metres(above))
            ),
        ));
    }
    frame(&site.frame)?;
    Ok((base, head, far))
}

fn frame(frame: &site::SiteFrame) -> Result<(), SiteError> {
    if frame.feet.is_empty() || frame.feet.len() > 8 {
        return Err(SiteError::new(
            "frame.feet",
            format!("holds {} feet, but must hold from 1 to 8", frame.feet.len()),
        ));
    }
    if frame.guys.len() > 8 {
        return Err(SiteError::new(
            "frame.guys",
            format!("holds {} guys, but must hold at most 8", frame.guys.len()),
        ));
    }
    for (list, points) in [("feet", &frame.feet), ("guys", &frame.guys)] {
        for (i, point) in points.iter().enumerate() {
            let key = format!("frame.{list}[{i}]");
            check_place(&key, *point)?;
            if point.z >= frame.height.value() {
                return Err(SiteError::new(
                    key,
                    format!(
                        "its z of {} must be below the head, {} above the ground",
                        text::both(point.z),
                        text::both(frame.height.value())
                    ),
                ));
            }
        }
    }
    Ok(())
}
