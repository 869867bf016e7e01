//! What would mend a plan: for each limit that is broken, and for a site that can't be studied at all, the least change of
//! one input that does.
//!
//! Each change is found by a root search over the same study: the site with that one key changed is solved again, first at
//! few positions, then at all of them, and the value told is on the side that keeps the limit, within 0.1 % of the change.
//! What else such a change breaks is told beside it.
//!
//! | question | where |
//! |---|---|
//! | what mends each warning of a study | [`Study::cures`](super::study::Study::cures), [`Cures`] |
//! | what makes a site that is refused one that can be studied | [`of_refusal`] |
//! | a guy: where to, and its greatest force over all places | [`NewGuys`] |
//! | ground that bulges: which point, and the far anchors that see past it | [`Bulge`] |
//!
//! Assumed: what mends a limit a little does so more the farther it goes, up to the first try that keeps it. Several inputs
//! changed at once may need less of each.
//!
//! **Caution.** A cure keeps the limit it is named for, and no more. A changed site is another plan: study it, and look at
//! the ground. Local codes, makers' instructions and the authority having jurisdiction come first.

mod bulge;
mod guy;
mod knob;
mod opens;
mod search;
mod slack;
mod words;

pub use bulge::{Bulge, InTheWay};
pub use guy::NewGuys;

use super::asked::Asked;
use super::plan::SiteError;
use super::schedule::NoLength;
use super::site::{Site, SiteWinch, TackleKind};
use super::study::{Study, WarningKind};
use super::verdict::{Verdict, verdict, weight};
use crate::math;
use crate::quantity::{Length, metres};
use alloc::string::{String, ToString};
use alloc::vec::Vec;
use core::cell::{Cell, RefCell};
use core::f64::consts::TAU;
use core::ops::ControlFlow;
use knob::Knob;
use search::Trials;
use serde::Serialize;
use slack::Broken;

/// What a cure changes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum CureKind {
    /// The place of the far anchor.
    FarAnchor,
    /// The height of the head.
    HeadHeight,
    /// The height of the far anchor's sheave.
    FarHeight,
    /// How far the litter hangs below the track rope.
    Hang,
    /// All masses on the line, in proportion.
    Load,
    /// The track rope on hand.
    MoreRope,
    /// The haul rope on hand.
    MoreHaulRope,
    /// The belay rope on hand.
    MoreBelayRope,
    /// What the track rope is set to.
    Setting,
    /// What the winch is rated to pull.
    RatedPull,
    /// The rated strength of a part.
    RatedStrength,
    /// The tackle in the haul rope.
    Tackle,
    /// The turns on the capstan.
    Wraps,
    /// A guy of the frame, or two.
    Guy,
    /// The slack of the belay rope.
    BelaySlack,
    /// The charge of the battery.
    Charge,
    /// Where the travel starts.
    TravelStart,
}

/// The least change of one input that mends a limit.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Cure {
    /// What it changes.
    pub kind: CureKind,
    /// The key of the site file.
    pub key: String,
    /// The value of the site file, in `unit`; absent for a guy.
    pub from: Option<f64>,
    /// The value that just mends it, in `unit`; absent for a guy.
    pub to: Option<f64>,
    /// The SI unit of both; empty for a count and a ratio.
    pub unit: &'static str,
    /// Of a far anchor: straight from the edge of the slope to the ground there.
    #[serde(rename = "slope_distance_m", skip_serializing_if = "Option::is_none")]
    pub slope_distance: Option<Length>,
    /// The guy or guys.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub guys: Option<NewGuys>,
    /// The verdict on the changed site, its failures and doubts not looked at.
    pub verdict: Verdict,
    /// What the changed site breaks that this one doesn't.
    pub breaks: Vec<WarningKind>,
    /// The cure in words.
    pub text: String,
}

/// What mends one of a study's warnings.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Mends {
    /// Index in the study's warnings.
    pub warning: usize,
    /// Each by itself mends it; none where nothing that was tried does.
    pub cures: Vec<Cure>,
    /// The ground that is in the way, where the track rope lies on it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bulge: Option<Bulge>,
}

/// What opens a stretch on which no length of track rope keeps every limit.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Opens {
    /// Index in the schedule's [`no_length`](super::schedule::Schedule::no_length).
    pub stretch: usize,
    /// Each by itself opens it, judged where it is worst and at five positions of it.
    pub cures: Vec<Cure>,
}

/// What would mend a study's warnings.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Cures {
    /// For each warning that a change of one input may mend.
    pub warnings: Vec<Mends>,
    /// For each stretch on which no length of track rope keeps every limit, where the schedule was asked for.
    pub no_length: Vec<Opens>,
    /// How many sites were solved for it.
    pub solved: usize,
}

/// What would make a site one that can be studied.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Refusal {
    /// The key at fault.
    pub key: String,
    /// What is wrong with it.
    pub problem: String,
    /// Each by itself is enough; none where the file has to be put right.
    pub cures: Vec<Cure>,
    /// The ground that is in the way, if that is why.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bulge: Option<Bulge>,
    /// How many sites were solved for it.
    pub solved: usize,
}

/// Inputs that may mend anything about the line.
const LINE: [CureKind; 6] = [
    CureKind::Setting,
    CureKind::FarAnchor,
    CureKind::HeadHeight,
    CureKind::FarHeight,
    CureKind::Hang,
    CureKind::Load,
];

/// The least change of one input with which a site that [`solve`](super::solve) refuses can be studied; nothing for one
/// that it doesn't refuse.
///
/// ```
/// use rope_mechanics::operation::cures;
/// # use rope_mechanics::operation::site::Site;
/// # fn example(site: &Site) {
/// if let Some(refusal) = cures::of_refusal(site) {
///     println!("{}: {}", refusal.key, refusal.problem);
///     for cure in &refusal.cures {
///         println!("- {}", cure.text);
///     }
/// }
/// # }
/// ```
#[must_use]
pub fn of_refusal(site: &Site) -> Option<Refusal> {
    let trials = Trials { site, asked: Asked::PLAIN, solved: Cell::new(0), go_on: &|| true };
    let SiteError { key, problem } = trials.study(site).err()?;
    let mut cures = Vec::new();
    // What the rig can't do. A value out of range is put right by hand.
    let of_the_rig = ["ground", "track.set", "travel", "far_anchor", "frame.height", "winch", "haul"];
    if of_the_rig.iter().any(|start| key.starts_with(start)) {
        for kind in LINE.into_iter().chain([CureKind::TravelStart]) {
            let Some(knob) = Knob::of(site, kind) else { continue };
            let looks = trials.looks(&knob);
            cures.extend(trials.cure(Broken::Refused, &knob, &looks, &[]));
        }
    }
    let bulge = if key.starts_with("ground") { bulge::bulge(site, None) } else { None };
    Some(Refusal { key, problem, cures, bulge, solved: trials.solved.get() })
}

/// What would mend each warning of a site's study, for as long as `progress` says to go on.
pub(crate) fn cures<B>(
    site: &Site,
    study: &Study,
    progress: impl FnMut() -> ControlFlow<B>,
) -> ControlFlow<B, Cures> {
    let (progress, why) = (RefCell::new(progress), RefCell::new(None));
    let go_on = || {
        let mut why = why.borrow_mut();
        if why.is_none() {
            *why = (*progress.borrow_mut())().break_value();
        }
        why.is_none()
    };
    let found = found(site, study, &go_on);
    match why.take() {
        None => ControlFlow::Continue(found),
        Some(why) => ControlFlow::Break(why),
    }
}

fn found(site: &Site, study: &Study, go_on: &dyn Fn() -> bool) -> Cures {
    let float_from = site.travel.float_from.unwrap_or(metres(10.0));
    let floats_from = site.far_anchor.x.value() - float_from;
    let broken: Vec<(usize, Broken)> = study
        .warnings
        .iter()
        .enumerate()
        .filter_map(|(i, warning)| Some((i, Broken::of(study, warning, floats_from)?)))
        // A litter may drag where it need not float.
        .filter(|(_, broken)| broken.slack(study) < 0.0)
        .collect();
    let asked = broken.iter().fold(Asked::PLAIN, |asked, (_, broken)| broken.asks(asked));
    let trials = Trials { site, asked, solved: Cell::new(0), go_on };
    let mut list: Vec<Mends> = broken
        .iter()
        .map(|(warning, broken)| Mends {
            warning: *warning,
            cures: trials.at_once(*broken, study),
            bulge: if *broken == Broken::TrackOnGround { bulge::bulge(site, Some(study)) } else { None },
        })
        .collect();
    let known: Vec<WarningKind> = study.warnings.iter().map(|warning| warning.kind).collect();
    for kind in LINE.into_iter().chain([CureKind::BelaySlack, CureKind::Charge, CureKind::TravelStart]) {
        if !broken.iter().any(|(_, broken)| helps(kind, *broken)) {
            continue;
        }
        let Some(knob) = Knob::of(site, kind) else { continue };
        let looks = trials.looks(&knob);
        for ((_, broken), mends) in
            broken.iter().zip(&mut list).filter(|((_, broken), _)| helps(kind, *broken))
        {
            mends.cures.extend(trials.cure(*broken, &knob, &looks, &known));
        }
    }
    let stretches = study.schedule.iter().flat_map(|schedule| schedule.no_length.iter().enumerate());
    let no_length = stretches
        .map(|(stretch, no_length)| Opens { stretch, cures: trials.openings(study, no_length, &known) })
        .collect();
    Cures { warnings: list, no_length, solved: trials.solved.get() }
}

/// Whether an input can have to do with a limit.
fn helps(kind: CureKind, broken: Broken) -> bool {
    match kind {
        CureKind::BelaySlack => broken == Broken::Catches,
        CureKind::Charge => matches!(broken, Broken::BatteryLow | Broken::HaulFinishes),
        CureKind::TravelStart => matches!(broken, Broken::HaulReaches | Broken::BelayReaches),
        _ => !matches!(broken, Broken::CapstanTail),
    }
}

impl Trials<'_> {
    fn cure(
        &self,
        broken: Broken,
        knob: &Knob,
        looks: &[Vec<(f64, Result<Study, SiteError>)>; 2],
        known: &[WarningKind],
    ) -> Option<Cure> {
        let mended = self.least_change(broken, knob, looks)?;
        let slope_distance = (knob.kind == CureKind::FarAnchor).then(|| out_along(&mended.site)).flatten();
        let cure = Cure {
            kind: knob.kind,
            key: knob::key(self.site, knob.kind).to_string(),
            from: Some(knob.now),
            to: Some(mended.value),
            unit: knob.unit(self.site),
            slope_distance,
            guys: None,
            verdict: verdict(&mended.study.warnings),
            breaks: breaks(&mended.study, known),
            text: String::new(),
        };
        Some(Cure { text: words::cure(&cure), ..cure })
    }

    fn openings(&self, study: &Study, stretch: &NoLength, known: &[WarningKind]) -> Vec<Cure> {
        let lines = LINE.into_iter().filter(|kind| *kind != CureKind::Setting);
        lines
            .filter_map(|kind| {
                let knob = Knob::of(self.site, kind)?;
                let value = self.opens(&knob, study, stretch)?;
                let site = knob.set(self.site, value);
                let changed = self.study(&site);
                let cure = Cure {
                    kind,
                    key: knob::key(self.site, kind).to_string(),
                    from: Some(knob.now),
                    to: Some(value),
                    unit: knob.unit(self.site),
                    slope_distance: (kind == CureKind::FarAnchor).then(|| out_along(&site)).flatten(),
                    guys: None,
                    verdict: changed.as_ref().map_or(Verdict::NoGo, |study| verdict(&study.warnings)),
                    breaks: changed.map_or_else(|_| Vec::new(), |study| breaks(&study, known)),
                    text: String::new(),
                };
                Some(Cure { text: words::cure(&cure), ..cure })
            })
            .collect()
    }

    /// Cures that need no search: what is broken says by itself how much of them is needed. Each is tried.
    fn at_once(&self, broken: Broken, study: &Study) -> Vec<Cure> {
        let known: Vec<WarningKind> = study.warnings.iter().map(|warning| warning.kind).collect();
        let mut list = Vec::new();
        let mut told = |kind, from: f64, to: f64, unit, site: &Site| {
            let Ok(changed) = self.study(site) else { return };
            if broken.slack(&changed) < 0.0 {
                return;
            }
            let cure = Cure {
                kind,
                key: knob::key(self.site, kind).to_string(),
                from: Some(from),
                to: Some(to),
                unit,
                slope_distance: None,
                guys: None,
                verdict: verdict(&changed.warnings),
                breaks: breaks(&changed, &known),
                text: String::new(),
            };
            list.push(Cure { text: words::cure(&cure), ..cure });
        };
        let mut site = self.site.clone();
        match broken {
            Broken::RopeReaches => {
                let (now, spare) = (site.track.on_hand, study.summary.reach.spare);
                // Up by the rounding of it.
                site.track.on_hand = (now - spare) * (1.0 + 4.0 * f64::EPSILON);
                told(CureKind::MoreRope, now.value, site.track.on_hand.value, "m", &site);
            }
            Broken::HaulReaches | Broken::BelayReaches => {
                let (kind, reach, on_hand) = match broken {
                    Broken::HaulReaches => {
                        (CureKind::MoreHaulRope, study.summary.haul_reach, Some(&mut site.haul.on_hand))
                    }
                    _ => (
                        CureKind::MoreBelayRope,
                        study.summary.belay_reach,
                        site.belay.as_mut().map(|belay| &mut belay.on_hand),
                    ),
                };
                if let (Some(reach), Some(on_hand)) = (reach, on_hand) {
                    *on_hand = Some(reach.needed);
                    told(kind, reach.on_hand.value, reach.needed.value, "m", &site);
                }
            }
            Broken::CapstanTail => {
                let capstan = &mut site.capstan;
                let friction = capstan.friction.map_or(0.1, |friction| friction.value);
                // T·e^(−2πμn) ≤ hand
                let over = study.summary.capstan_tail / study.summary.hand;
                let turns = capstan.wraps + math::ln(over.value) / (TAU * friction);
                let now = capstan.wraps;
                capstan.wraps = math::ceil(turns - 1e-9);
                if friction > 0.0 && turns <= 20.0 {
                    told(CureKind::Wraps, now, site.capstan.wraps, "", &site);
                }
            }
            Broken::WinchPull => {
                let needed = study.summary.greatest_winch_pull.si * (1.0 + 4.0 * f64::EPSILON);
                let rated = match &mut site.winch {
                    SiteWinch::Motor(motor) => &mut motor.rated_pull,
                    SiteWinch::Table(table) => &mut table.rated_pull,
                };
                let now = core::mem::replace(rated, needed);
                told(CureKind::RatedPull, now.value, needed.value, "N", &site);
                self.tackles(&mut told);
            }
            Broken::WinchCurrent => self.tackles(&mut told),
            Broken::Part(place, kind) => {
                let part = study.components.iter().position(|c| (c.place, c.kind) == (place, kind));
                let strength = part.and_then(|i| study.components.get(i)).and_then(|part| part.strength);
                if let (Some(i), Some(strength)) = (part, strength) {
                    let needed = slack::greatest_force_n(study, i) * study.limits.factor_of(kind);
                    let cure = Cure {
                        kind: CureKind::RatedStrength,
                        key: knob::key(self.site, CureKind::RatedStrength).to_string(),
                        from: Some(strength.value),
                        to: Some(needed),
                        unit: "N",
                        slope_distance: None,
                        guys: None,
                        // Nothing else changes with what a part holds.
                        verdict: verdict(
                            &study
                                .warnings
                                .iter()
                                .filter(|w| w.component != Some(i))
                                .cloned()
                                .collect::<Vec<_>>(),
                        ),
                        breaks: Vec::new(),
                        text: String::new(),
                    };
                    list.push(Cure { text: words::cure(&cure), ..cure });
                }
            }
            Broken::FrameStands => {
                if let Some(guyed) = self.guyed() {
                    let cure = Cure {
                        kind: CureKind::Guy,
                        key: knob::key(self.site, CureKind::Guy).to_string(),
                        from: None,
                        to: None,
                        unit: "",
                        slope_distance: None,
                        guys: Some(guyed.guys),
                        verdict: verdict(&guyed.study.warnings),
                        breaks: breaks(&guyed.study, &known),
                        text: String::new(),
                    };
                    list.push(Cure { text: words::cure(&cure), ..cure });
                }
            }
            _ => {}
        }
        list
    }

    /// The next tackle up that is enough.
    fn tackles(&self, told: &mut impl FnMut(CureKind, f64, f64, &'static str, &Site)) {
        let ratio = |tackle: TackleKind| match tackle {
            TackleKind::Straight => 1.0,
            TackleKind::TwoToOne => 2.0,
            TackleKind::ThreeToOne => 3.0,
        };
        let now = ratio(self.site.haul.tackle);
        for tackle in [TackleKind::TwoToOne, TackleKind::ThreeToOne] {
            if ratio(tackle) > now {
                let mut site = self.site.clone();
                site.haul.tackle = tackle;
                told(CureKind::Tackle, now, ratio(tackle), "", &site);
            }
        }
    }
}

/// What a changed site breaks beyond what is known: kinds of warnings that are a no-go.
fn breaks(study: &Study, known: &[WarningKind]) -> Vec<WarningKind> {
    let mut list: Vec<WarningKind> = Vec::new();
    for warning in study.warnings.iter().filter(|warning| weight(warning) == Verdict::NoGo) {
        if !known.contains(&warning.kind) && !list.contains(&warning.kind) {
            list.push(warning.kind);
        }
    }
    list
}

/// From the edge of a site's slope straight to the ground below its far anchor.
fn out_along(site: &Site) -> Option<Length> {
    let model = site.model().ok()?;
    let edge = super::schedule::edge(&model);
    let far = model.values().far;
    let height = site.far_anchor.height.value();
    Some(metres(math::hypot((far.x - edge.x).value, (far.z - height - edge.z).value)))
}
