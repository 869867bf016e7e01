//! What is not exactly known of a site: how it is distributed, and which number of the rig it changes.

use super::super::model::RigValues;
use super::super::plan::{SiteError, SitePlan};
use super::super::site::{Site, SiteDoubt, SiteRope, TrackSetting};
use crate::doubt::{Uncertain, in_common};
use crate::error::InputError;
use crate::geometry::Point2;
use crate::math;
use crate::quantity::{Length, Mark, Mass, Ratio, metres, ratio};
use crate::rope::Rope;
use crate::sheave::{PULLEY, Turn};
use crate::text::{self, Text};
use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec::Vec;

/// Of the doubt on turns of which nothing is known, the half that all have in common: weather, rope, make.
const COMMON_TO_TURNS: f64 = 0.5;
/// The group of all turns.
const TURNS: &str = "efficiencies";
/// The ground's error is a constant and two waves, each with a third of its variance.
const WAVES: usize = 5;

/// Which number of the rig, or of how it is set, an input changes.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Effect {
    Stiffness,
    TrackMass,
    HaulMass,
    BelayMass,
    /// The masses of which only the value is given.
    Load {
        litter: Mass,
        carriage: Mass,
    },
    Litter,
    Carriage,
    Hang,
    GroundFriction,
    WheelFriction,
    FarX,
    FarHeight,
    HeadHeight,
    FarTurn,
    HeadTurn,
    RedirectTurn,
    HaulHeadTurn,
    HaulRedirectTurn(usize),
    TackleTurn,
    /// What the track rope is set to.
    Set,
    Reading,
    Eased,
    Relaxation,
    Slip,
    Ground(usize),
}

impl Effect {
    /// The SI unit of its values; empty for a share.
    const fn unit(self) -> &'static str {
        match self {
            Self::Stiffness | Self::Set => "N",
            Self::TrackMass | Self::HaulMass | Self::BelayMass => "kg/m",
            Self::Litter | Self::Carriage => "kg",
            Self::Hang | Self::FarX | Self::FarHeight | Self::HeadHeight | Self::Slip | Self::Ground(_) => {
                "m"
            }
            Self::Load { .. }
            | Self::GroundFriction
            | Self::WheelFriction
            | Self::FarTurn
            | Self::HeadTurn
            | Self::RedirectTurn
            | Self::HaulHeadTurn
            | Self::HaulRedirectTurn(_)
            | Self::TackleTurn
            | Self::Reading
            | Self::Eased
            | Self::Relaxation => "",
        }
    }
}

/// Something that is not exactly known.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    key: String,
    unit: &'static str,
    value: f64,
    spread: Uncertain<Ratio>,
    range: [f64; 2],
    mark: Mark,
    group: usize,
    is_turn: bool,
    effect: Effect,
}

impl Input {
    /// The key of the site file that gives it, or would.
    #[must_use]
    pub fn key(&self) -> &str {
        &self.key
    }

    /// The SI unit of its values; empty for a share.
    #[must_use]
    pub const fn unit(&self) -> &'static str {
        self.unit
    }

    /// The value that the study goes by, in its unit.
    #[must_use]
    pub const fn value(&self) -> f64 {
        self.value
    }

    /// Between these it lies in 90 % of cases, in its unit.
    #[must_use]
    pub fn band(&self) -> [f64; 2] {
        self.spread.band().map(|end| self.kept(end.value))
    }

    /// Where its spread comes from.
    #[must_use]
    pub const fn mark(&self) -> Mark {
        self.mark
    }

    /// Its group: inputs with a cause in common are judged together.
    #[must_use]
    pub const fn group(&self) -> usize {
        self.group
    }

    /// What lies beyond the possible is taken as its end.
    fn kept(&self, value: f64) -> f64 {
        let [low, high] = self.range;
        value.clamp(low, high)
    }
}

/// All inputs of a site.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Inputs {
    pub(super) list: Vec<Input>,
    /// What each group is called.
    pub(super) groups: Vec<String>,
    /// What share of the ground's error each point has; none where all have the whole.
    pub(super) ground_shares: Vec<f64>,
}

/// One draw of the rig.
pub(super) struct Draw<'g> {
    pub(super) values: RigValues<'g>,
    /// True tension by the one that is announced.
    pub(super) set: f64,
    pub(super) eased: f64,
    pub(super) relaxation: f64,
    pub(super) slip: Length,
    ground_m: [f64; WAVES],
}

impl<'g> Draw<'g> {
    pub(super) fn of(values: RigValues<'g>) -> Self {
        Self { values, set: 1.0, eased: 0.0, relaxation: 0.0, slip: metres(0.0), ground_m: [0.0; WAVES] }
    }

    /// The ground where it isn't as the profile says.
    ///
    /// With ξ from 0 at the head to 1 at the far anchor, δz = a₀ + a₁·cos πξ + b₁·sin πξ + a₂·cos 2πξ + b₂·sin 2πξ: alike
    /// in size all along, and smooth; of each point its share, where some were measured better than others.
    pub(super) fn ground(&self, shares: &[f64]) -> Option<Vec<Point2>> {
        if self.ground_m == [0.0; WAVES] {
            return None;
        }
        let [a0, a1, b1, a2, b2] = self.ground_m;
        let (from, to) = (self.values.base.x.value, self.values.far.x.value);
        let moved = |(at, p): (usize, &Point2)| {
            let share = shares.get(at).copied().unwrap_or(1.0);
            let angle = core::f64::consts::PI * (p.x.value - from) / (to - from);
            let (sin, cos) = (math::sin(angle), math::cos(angle));
            // cos 2φ = cos² φ − sin² φ, sin 2φ = 2·sin φ·cos φ
            let by = a0 + a1 * cos + b1 * sin + a2 * (cos * cos - sin * sin) + b2 * 2.0 * sin * cos;
            Point2::new(p.x, p.z + metres(share * by))
        };
        Some(self.values.ground.iter().enumerate().map(moved).collect())
    }

    fn take(&mut self, input: &Input, value: f64) -> Result<(), InputError> {
        let turn = || Turn::sheave(ratio(value));
        let by = value - input.value;
        let values = &mut self.values;
        let kg = |mass: f64| Mass { value: mass, ..Mass::default() };
        let heavier = |rope: &Rope| {
            let mass = crate::quantity::LineMass { value, ..rope.mass() };
            Rope::new(mass, rope.stretch(), rope.breaking_strength())
        };
        match input.effect {
            Effect::Stiffness => {
                let rope = values.track.rope;
                let stretch = rope.stretch().scaled(ratio(value / input.value))?;
                // A tail of another kind behind the head stays as it is.
                if values.track.stretch_behind == rope.stretch() {
                    values.track.stretch_behind = stretch;
                }
                values.track.rope = Rope::new(rope.mass(), stretch, rope.breaking_strength())?;
            }
            Effect::TrackMass => values.track.rope = heavier(&values.track.rope)?,
            Effect::HaulMass => values.haul.rope = heavier(&values.haul.rope)?,
            Effect::BelayMass => {
                if let Some(belay) = &mut values.belay {
                    belay.rope = heavier(&belay.rope)?;
                }
            }
            Effect::Load { litter, carriage } => {
                values.load.litter += by * litter;
                values.load.carriage += by * carriage;
            }
            Effect::Litter => values.load.litter += kg(by),
            Effect::Carriage => values.load.carriage += kg(by),
            Effect::Hang => values.load.hang = metres(value),
            Effect::GroundFriction => values.load.ground_friction = ratio(value),
            Effect::WheelFriction => values.load.wheel_friction = ratio(value),
            Effect::FarX => values.far.x += metres(by),
            Effect::FarHeight => values.far.z += metres(by),
            Effect::HeadHeight => values.head_height = metres(value),
            Effect::FarTurn => values.track.far_turn = turn()?,
            Effect::HeadTurn => values.track.head_turn = turn()?,
            Effect::RedirectTurn => values.track.redirect.turn = turn()?,
            Effect::HaulHeadTurn => {
                values.haul.head_turn = turn()?;
                if let Some(belay) = &mut values.belay {
                    belay.head_turn = turn()?;
                }
            }
            Effect::HaulRedirectTurn(i) => {
                if let Some(redirect) = values.haul.redirects.get_mut(i) {
                    redirect.turn = turn()?;
                }
            }
            Effect::TackleTurn => values.haul.tackle_turn = turn()?,
            Effect::Set => self.set *= value / input.value,
            // What shows a share too much is set so much too low.
            Effect::Reading => self.set /= 1.0 + value,
            Effect::Eased => self.eased = value,
            Effect::Relaxation => self.relaxation = value,
            Effect::Slip => self.slip += metres(value),
            Effect::Ground(wave) => {
                if let Some(amplitude) = self.ground_m.get_mut(wave) {
                    *amplitude = value;
                }
            }
        }
        Ok(())
    }
}

/// A spread for what the site file gives without one, or not at all.
struct Usual<Q> {
    spread: Result<Uncertain<Q>, InputError>,
    mark: Mark,
    group: Option<&'static str>,
}

impl<Q> Usual<Q> {
    fn new(spread: Result<Uncertain<Q>, InputError>, mark: Mark) -> Option<Self> {
        Some(Self { spread, mark, group: None })
    }

    fn in_group(self, group: &'static str) -> Self {
        Self { group: Some(group), ..self }
    }
}

impl Inputs {
    /// What is uncertain of a site: whatever carries a tolerance, and what never is exactly known.
    pub(super) fn new(site: &Site, plan: &SitePlan) -> Result<Self, SiteError> {
        let mut inputs = Self { list: Vec::new(), groups: Vec::new(), ground_shares: Vec::new() };
        inputs.load(site)?;
        inputs.track(site, plan)?;
        inputs.places(site)?;
        inputs.turns(site, plan)?;
        inputs.setting(site)?;
        Ok(inputs)
    }

    /// How many shares a draw takes.
    pub(super) fn coordinates(&self) -> usize {
        self.list.len() + 1
    }

    /// The group of each share of a draw; the last is what the turns have in common.
    pub(super) fn group_of(&self) -> Vec<usize> {
        let turns = self.list.iter().find(|input| input.is_turn).map_or(0, |input| input.group);
        self.list.iter().map(|input| input.group).chain([turns]).collect()
    }

    /// The values that the study goes by.
    pub(super) fn nominal(&self) -> Vec<f64> {
        self.list.iter().map(|input| input.value).collect()
    }

    /// The values at these shares.
    pub(super) fn at(&self, shares: &[f64]) -> Result<Vec<f64>, InputError> {
        let wanted = self.coordinates() as f64;
        crate::error::within("shares", shares.len() as f64, wanted, wanted)?;
        let common = shares.last().copied().unwrap_or(0.5);
        let at = |(input, own): (&Input, &f64)| {
            let share = if input.is_turn { in_common(common, *own, COMMON_TO_TURNS)? } else { *own };
            Ok(input.kept(input.spread.at(share)?.value))
        };
        self.list.iter().zip(shares).map(at).collect()
    }

    /// The rig with these values.
    pub(super) fn draw<'g>(&self, values: &[f64], nominal: RigValues<'g>) -> Result<Draw<'g>, InputError> {
        let mut draw = Draw::of(nominal);
        for (input, value) in self.list.iter().zip(values) {
            if *value != input.value {
                draw.take(input, *value)?;
            }
        }
        Ok(draw)
    }

    fn group(&mut self, name: &str) -> usize {
        self.groups.iter().position(|group| group == name).unwrap_or_else(|| {
            self.groups.push(name.to_string());
            self.groups.len() - 1
        })
    }

    /// With the tolerance that is given, or the usual one about the value of the study.
    fn add<Q: Text>(
        &mut self,
        key: &str,
        effect: Effect,
        value: Q,
        given: Option<&Uncertain<Q>>,
        usual: Option<Usual<Q>>,
        range: [f64; 2],
    ) -> Result<(), SiteError> {
        let given = given.filter(|given| !given.is_exact());
        let (spread, mark, group) = match (given, usual) {
            (Some(given), _) => {
                let band = given.band().map(|end| end.to_si());
                if !band.iter().all(|end| (range[0]..=range[1]).contains(end)) {
                    let [low, high] = given.band().map(text::si);
                    let [least, greatest] = range.map(|end| text::si(Q::from_si(end)));
                    return Err(SiteError::new(
                        key,
                        format!(
                            "its tolerance reaches from {low} to {high}, but must stay from {least} to {greatest}"
                        ),
                    ));
                }
                (*given, Mark::Given, None)
            }
            (None, Some(Usual { spread, mark, group })) => {
                (spread.map_err(|why| SiteError::at(key, why))?, mark, group)
            }
            (None, None) => return Ok(()),
        };
        // A known amount that the study doesn't count is drawn, too.
        if spread.is_exact() && spread.value().to_si() == value.to_si() {
            return Ok(());
        }
        let is_turn = group == Some(TURNS);
        let group = self.group(group.unwrap_or(key));
        self.list.push(Input {
            key: key.to_string(),
            unit: effect.unit(),
            value: value.to_si(),
            spread: spread.in_si(),
            range,
            mark,
            is_turn,
            group,
            effect,
        });
        Ok(())
    }

    fn load(&mut self, site: &Site) -> Result<(), SiteError> {
        let load = &site.load;
        let (mut litter, mut carriage) = (Mass::default(), Mass::default());
        let attendants = load.attendants.as_ref();
        let hung = [
            ("load.patient", Some(&load.patient)),
            ("load.litter", Some(&load.litter)),
            ("load.attendants", attendants),
        ];
        for (key, mass) in hung.into_iter().filter_map(|(key, mass)| Some((key, mass?))) {
            if mass.is_exact() {
                litter += mass.value();
            } else {
                self.add(key, Effect::Litter, mass.value(), Some(mass), None, [0.0, 2000.0])?;
            }
        }
        if load.carriage.is_exact() {
            carriage += load.carriage.value();
        } else {
            let mass = load.carriage;
            self.add("load.carriage", Effect::Carriage, mass.value(), Some(&mass), None, [0.0, 2000.0])?;
        }
        if litter + carriage > Mass::default() {
            // Weighed or not, what was carried down and what was put in the litter is guessed to a tenth.
            let usual = Usual::new(Ok(Uncertain::within_factor(ratio(1.0), 0.1)), Mark::Choice);
            let effect = Effect::Load { litter, carriage };
            self.add("load", effect, ratio(1.0), None, usual, [0.0, 10.0])?;
        }
        let hang = load.hang;
        self.add("load.hang", Effect::Hang, hang.value(), Some(&hang), None, [0.0, 20.0])
    }

    fn track(&mut self, site: &Site, plan: &SitePlan) -> Result<(), SiteError> {
        let rope = &site.track.rope;
        let stiffness = plan.track.stretch().a();
        let usual = Usual::new(Ok(Uncertain::within_factor(stiffness, 0.3)), Mark::Memory);
        let (key, given) = ("track.rope.stiffness", rope.stiffness.as_ref());
        self.add(key, Effect::Stiffness, stiffness, given, usual, [1e3, 1e8])?;
        let held = [("haul", Some(&site.haul.rope)), ("belay", site.belay.as_ref().map(|belay| &belay.rope))];
        for (name, rope) in held {
            if rope.and_then(|rope| rope.stiffness).is_some_and(|stiffness| !stiffness.is_exact()) {
                return Err(SiteError::new(
                    format!("{name}.rope.stiffness"),
                    "has a tolerance, but nothing that is drawn on follows from it: write the value alone",
                ));
            }
        }
        let mut mass = |key: &str, effect, rope: &SiteRope, planned: &Rope| {
            self.add(key, effect, planned.mass(), rope.mass.as_ref(), None, [1e-3, 10.0])
        };
        mass("track.rope.mass", Effect::TrackMass, rope, &plan.track)?;
        mass("haul.rope.mass", Effect::HaulMass, &site.haul.rope, &plan.haul)?;
        if let (Some(belay), Some(planned)) = (&site.belay, &plan.belay) {
            mass("belay.rope.mass", Effect::BelayMass, &belay.rope, &planned.rope)?;
        }
        Ok(())
    }

    fn places(&mut self, site: &Site) -> Result<(), SiteError> {
        let near = |value: Length| {
            let usual = Usual::new(Ok(Uncertain::within_distance(value, 0.3)), Mark::Choice);
            usual.map(|usual| usual.in_group("far_anchor"))
        };
        let far = &site.far_anchor;
        let (x, height) = (far.x.value(), far.height.value());
        self.add("far_anchor.x", Effect::FarX, x, Some(&far.x), near(x), [-1e4, 1e4])?;
        // What is wrong with its height may put it lower than the ground was taken to be.
        let range = [-50.0, 50.0];
        self.add("far_anchor.height", Effect::FarHeight, height, Some(&far.height), near(height), range)?;
        let head = site.frame.height;
        self.add("frame.height", Effect::HeadHeight, head.value(), Some(&head), None, [0.05, 50.0])
    }

    fn turns(&mut self, site: &Site, plan: &SitePlan) -> Result<(), SiteError> {
        let mut turn = |key: &str, effect, planned: Ratio, given: Option<&Uncertain<Ratio>>| {
            let usual = match given {
                // Seven hundredths worse to five better, as pulleys of one make differ.
                Some(given) => {
                    let value = given.value().value;
                    let spread = Uncertain::uniform(ratio(value - 0.07), ratio((value + 0.05).min(1.0)));
                    Usual::new(spread, Mark::Memory)
                }
                None => {
                    let half = 0.5 * (PULLEY.high - PULLEY.low);
                    Usual::new(Ok(Uncertain::within_distance(planned, half)), Mark::Read("Delaney 2022"))
                }
            };
            let usual = usual.map(|usual| usual.in_group(TURNS));
            self.add(key, effect, planned, given, usual, [0.3, 1.0])
        };
        let (track, haul) = (&site.track, &site.haul);
        let far = site.far_anchor.efficiency.as_ref();
        turn("far_anchor.efficiency", Effect::FarTurn, plan.far_efficiency, far)?;
        let (planned, given) = (plan.track_head_efficiency, track.head_efficiency.as_ref());
        turn("track.head_efficiency", Effect::HeadTurn, planned, given)?;
        let (planned, given) = (plan.redirect_efficiency, track.redirect_efficiency.as_ref());
        turn("track.redirect_efficiency", Effect::RedirectTurn, planned, given)?;
        let (planned, given) = (plan.haul_head_efficiency, haul.head_efficiency.as_ref());
        turn("haul.head_efficiency", Effect::HaulHeadTurn, planned, given)?;
        for (i, ((_, planned), redirect)) in plan.haul_redirects.iter().zip(&haul.redirects).enumerate() {
            let key = format!("haul.redirects[{i}].efficiency");
            turn(&key, Effect::HaulRedirectTurn(i), *planned, redirect.efficiency.as_ref())?;
        }
        if haul.tackle != super::super::site::TackleKind::Straight {
            let (planned, given) = (plan.tackle_efficiency, haul.tackle_efficiency.as_ref());
            turn("haul.tackle_efficiency", Effect::TackleTurn, planned, given)?;
        }

        let (wheel, given) = (plan.wheel_friction, site.load.wheel_friction.as_ref());
        let usual = (wheel.value > 0.0).then(|| Uncertain::within_factor(wheel, 1.0));
        let usual = usual.and_then(|spread| Usual::new(Ok(spread), Mark::Memory));
        self.add("load.wheel_friction", Effect::WheelFriction, wheel, given, usual, [0.0, 0.2])?;
        let (held, given) = (plan.ground_friction, site.load.ground_friction.as_ref());
        let usual = (held.value > 0.0).then(|| Uncertain::uniform(0.25 * held, (2.0 * held).min(ratio(1.0))));
        let usual = usual.and_then(|spread| Usual::new(spread, Mark::Memory));
        self.add("load.ground_friction", Effect::GroundFriction, held, given, usual, [0.0, 1.0])
    }

    /// What the study takes to be zero: "0 %" by itself says that it is.
    fn asked<Q: Text>(
        &mut self,
        key: &str,
        effect: Effect,
        zero: Q,
        given: Option<&Uncertain<Q>>,
        usual: Option<Usual<Q>>,
        range: [f64; 2],
    ) -> Result<(), SiteError> {
        match given {
            Some(given) if given.is_exact() && given.value().to_si() == 0.0 => Ok(()),
            Some(given) if given.is_exact() => {
                Err(SiteError::new(key, "is one value: give two limits with \"to\", or zero for none of it"))
            }
            _ => self.add(key, effect, zero, given, usual, range),
        }
    }

    fn setting(&mut self, site: &Site) -> Result<(), SiteError> {
        let asked = site.doubt.unwrap_or_default();
        let SiteDoubt { ground, reading, eased, relaxation, slip, .. } = &asked;
        let set = match &site.track.set {
            TrackSetting::UnloadedTension(tension) => Some(("track.set.unloaded_tension", tension)),
            TrackSetting::GreatestReading(tension) => Some(("track.set.greatest_reading", tension)),
            other if !other.is_exact() => {
                return Err(SiteError::new(
                    other.key(),
                    "has a tolerance, but the rope is set by its reading: give doubt.reading instead",
                ));
            }
            _ => None,
        };
        let mut is_given = false;
        if let Some((key, tension)) = set {
            is_given = !tension.is_exact();
            self.add(key, Effect::Set, tension.value(), Some(tension), None, [1.0, 1e6])?;
        }
        let none = ratio(0.0);
        let about = Usual::new(Ok(Uncertain::within_distance(none, 0.03)), Mark::Choice);
        let about = about.filter(|_| !is_given);
        self.asked("doubt.reading", Effect::Reading, none, reading.as_ref(), about, [-0.5, 0.5])?;
        let to = |most: f64| Usual::new(Uncertain::uniform(none, ratio(most)), Mark::Choice);
        self.asked("doubt.eased", Effect::Eased, none, eased.as_ref(), to(0.2), [0.0, 1.0])?;
        // What the track says of it, unless something else is asked for.
        let track = &site.track;
        let (key, usual) = match track.relaxation.filter(|_| relaxation.is_none()) {
            Some(given) => ("track.relaxation", Usual::new(Ok(given), Mark::Given)),
            None => ("doubt.relaxation", to(0.15)),
        };
        self.asked(key, Effect::Relaxation, none, relaxation.as_ref(), usual, [0.0, 0.9])?;
        let own = [("track.knots_setting", track.knots_setting), ("track.capstan_slip", track.capstan_slip)];
        if slip.is_none() && own.iter().any(|(_, given)| given.is_some()) {
            for (key, given) in own {
                let usual = given.and_then(|given| Usual::new(Ok(given), Mark::Given));
                self.asked(key, Effect::Slip, metres(0.0), None, usual, [0.0, 20.0])?;
            }
        } else {
            let usual = Usual::new(Uncertain::uniform(metres(0.0), metres(0.2)), Mark::Choice);
            self.asked("doubt.slip", Effect::Slip, metres(0.0), slip.as_ref(), usual, [0.0, 20.0])?;
        }

        // Every wave with a third of the variance: the same share in 90 % of cases.
        let half = ground.map_or(0.2, |ground| {
            let [low, high] = ground.band();
            0.5 * (high - low).value
        });
        // Where points have tolerances of their own, the error is that of the worst of them, and each has its share of it.
        let worst = site.ground_tolerance.iter().map(|tolerance| tolerance.0.value).fold(0.0, f64::max);
        let half = if site.ground_tolerance.is_empty() { half } else { worst };
        if worst > 0.0 {
            self.ground_shares = site.ground_tolerance.iter().map(|own| own.0.value / worst).collect();
        }
        if ground.is_some_and(|ground| ground.value() != metres(0.0)) {
            return Err(SiteError::new("doubt.ground", "must lie about 0 m, as in \"0 m ± 0.2 m\""));
        }
        for wave in 0..WAVES {
            let spread = Uncertain::within_distance(metres(0.0), half / math::sqrt(3.0));
            let mark = if ground.is_some() || worst > 0.0 { Mark::Given } else { Mark::Choice };
            let usual = (half > 0.0).then_some(Usual { spread: Ok(spread), mark, group: None });
            self.add("doubt.ground", Effect::Ground(wave), metres(0.0), None, usual, [-100.0, 100.0])?;
        }
        Ok(())
    }
}
