//! The study of a site, from its plan to its warnings.

use super::alternatives::{Alternatives, SolvedRig};
use super::asked::Asked;
use super::changeover::{self, Before, Setup};
use super::clearance::Clearances;
use super::doubt::{Doubt, Doubts, Sampling};
use super::expected::{self, NotFollowed};
use super::failures::{self, FailureTable, Lost};
use super::given::Given;
use super::layout::PlanView;
use super::limits::{self, OnTheWay};
use super::model::Model;
use super::place::{ByPlace, Place};
use super::plan::{SiteError, SitePlan};
use super::position;
use super::power::Drive;
use super::schedule::{Orders, Schedule};
use super::settled::SettledTrack;
use super::site::{Site, TrackSetting};
use super::state::{HoldingRope, Situation, State};
use super::study::{
    self, Assumption, CAUTIONS, LimitsUsed, LoadRopeReach, Loaded, Position, SIMPLIFICATIONS, Study,
    Unloaded, Warning, Xz,
};
use super::travel::{Moved, Wanted};
use super::verdict::Judgement;
use super::{cures, model_of, rated, summary, verdict, words};
use crate::motion::Motion;
use crate::quantity::{Force, Length};
use alloc::string::ToString;
use alloc::vec::Vec;
use core::convert::Infallible;
use core::ops::ControlFlow;

/// Studies a site.
///
/// # Errors
/// [`SiteError`] with the key at fault: a value out of range, a ground profile that runs back, a far anchor above
/// the head, a wish for the track rope that no length gives, a place of the load without equilibrium.
///
/// An example stands on the page of the [module](super).
pub fn solve(site: &Site) -> Result<Study, SiteError> {
    solve_with_progress(site, |_, _| {})
}

/// The same, telling after each position how many of how many are done.
///
/// # Errors
/// As [`solve`].
pub fn solve_with_progress(site: &Site, progress: impl FnMut(usize, usize)) -> Result<Study, SiteError> {
    match solve_while(site, where_it_grows(progress))? {
        ControlFlow::Continue(study) => Ok(study),
        ControlFlow::Break(never) => match never {},
    }
}

/// Never breaks off, and tells only of progress: what asks whether to go on asks within a position too.
pub(crate) fn where_it_grows(
    mut progress: impl FnMut(usize, usize),
) -> impl FnMut(usize, usize) -> ControlFlow<Infallible> {
    let mut told = 0;
    move |done, of| {
        if done > told {
            told = done;
            progress(done, of);
        }
        ControlFlow::Continue(())
    }
}

/// The same, for as long as `progress` says to go on. It is asked after each position, with how many of how many are
/// done, and within what follows; what it breaks off with is returned in place of the study. Between two questions lies the
/// work of one position, failure or sample, or of a whole part: of those the schedule and the alternatives take longest, as
/// long as some ten times the travel. The cures ask within each site that they try.
///
/// ```
/// use core::ops::ControlFlow;
/// use rope_mechanics::operation::{self, site::Site};
/// # fn stop(site: &Site) -> Result<(), operation::SiteError> {
/// // No more than ten positions.
/// let found = operation::solve_while(site, |done, of| {
///     if done < 10 || done == of { ControlFlow::Continue(()) } else { ControlFlow::Break("ten positions") }
/// })?;
/// match found {
///     ControlFlow::Continue(study) => println!("{}", study.title),
///     ControlFlow::Break(why) => println!("not studied: {why}"),
/// }
/// # Ok(())
/// # }
/// ```
///
/// # Errors
/// As [`solve`].
pub fn solve_while<B>(
    site: &Site,
    progress: impl FnMut(usize, usize) -> ControlFlow<B>,
) -> Result<ControlFlow<B, Study>, SiteError> {
    solve_asked(site, &Asked::EVERYTHING, progress)
}

/// The same, with the parts that are asked for only.
///
/// ```
/// use core::ops::ControlFlow;
/// use rope_mechanics::operation::{self, Asked, site::Site};
/// # fn quick(site: &Site) -> Result<(), operation::SiteError> {
/// let go_on = |_, _| ControlFlow::<()>::Continue(());
/// if let ControlFlow::Continue(study) = operation::solve_asked(site, &Asked::PLAIN, go_on)? {
///     assert!(study.failures.is_none());
/// }
/// # Ok(())
/// # }
/// ```
///
/// # Errors
/// As [`solve`].
pub fn solve_asked<B>(
    site: &Site,
    asked: &Asked,
    mut progress: impl FnMut(usize, usize) -> ControlFlow<B>,
) -> Result<ControlFlow<B, Study>, SiteError> {
    let mut plan = SitePlan::new(site)?;
    let mut assumptions = core::mem::take(&mut plan.assumptions);
    let drive = Drive::new(site, &mut assumptions)?;
    let model = model_of::model(site, &plan)?;
    let mut components = rated::components(site, &plan);

    let travel = plan.travel();
    let wanted = wanted(&site.track.set);
    let strand =
        model.strand_for(wanted, &travel).map_err(|why| words::no_strand(&model, &site.track.set, why))?;
    let fail = |why| words::no_state(&model, why);
    let empty = model.state(&Situation::unloaded(strand)).map_err(fail)?;
    let bare = position::unloaded(&empty, strand).map_err(fail)?;
    let of_parts = |forces: &ByPlace<Force>| components.iter().map(|part| forces[part.place]).collect();
    let mut unloaded = Unloaded { forces: of_parts(&bare.forces), ..bare.printed };
    let mut falls = bare.falls.map(|how| (None, how));
    let (start, rolls_in) = model.start(strand, travel.start).map_err(fail)?;
    let places: Vec<Length> = model.places(start, &travel).collect();

    let mut positions: Vec<Position> = Vec::with_capacity(places.len());
    let mut states: Vec<Moved<'_, '_>> = Vec::with_capacity(places.len());
    for x in &places {
        let moved = model.moved(strand, *x, states.last()).map_err(fail)?;
        let judged = position::position(&moved, &drive)?;
        if falls.is_none()
            && let Some(how) = judged.falls
        {
            falls = Some((Some(positions.len()), how));
        }
        positions.push(Position { forces: of_parts(&judged.forces), ..judged.printed });
        states.push(moved);
        if let ControlFlow::Break(why) = progress(positions.len(), places.len()) {
            return Ok(ControlFlow::Break(why));
        }
    }
    let solved = Solved { site, plan: &plan, model: &model, drive: &drive, states: &states };
    let mut not_followed = None;
    if asked.expected_readings {
        not_followed = solved.expected_readings(&unloaded, &mut positions);
        if let ControlFlow::Break(why) = progress(positions.len(), places.len()) {
            return Ok(ControlFlow::Break(why));
        }
    }
    // The forces in a frame that falls somewhere are not those of a part that can be judged.
    if falls.is_some() {
        components.retain(|part| !matches!(part.place, Place::Leg | Place::Guy));
        unloaded.forces.truncate(components.len());
        for position in &mut positions {
            position.forces.truncate(components.len());
        }
    }

    let spent = drive.spent(&positions, model.velocity_ratio().value, site.haul.throw)?;
    for (position, charge) in positions.iter_mut().zip(&spent.charge) {
        position.battery_charge = Some(*charge);
    }

    let limits = LimitsUsed::new(site, &plan, drive.rated_pull);
    let footing = model
        .footing_over(core::iter::once(&empty).chain(states.iter().flat_map(Moved::ends)))
        .map_err(fail)?;
    let mut summary = summary::summary(
        &plan,
        &footing,
        spent.totals,
        drive.rated_pull,
        &unloaded,
        &positions,
        &components,
    )?;
    let out = positions.first().map(|first| first.haul_length).unwrap_or_default();
    let reach = |on_hand: Option<Length>, behind: Length| Some(LoadRopeReach::new(on_hand?, out + behind));
    summary.haul_reach = reach(site.haul.on_hand, model.haul_way_behind_head());
    summary.belay_reach =
        model.belay_way_behind_head().and_then(|behind| reach(site.belay.as_ref()?.on_hand, behind));
    let loaded = |(position, moved): (usize, &Moved<'_, '_>)| {
        let shape = moved.hauling.track_shape().into_iter().map(Xz::from).collect();
        let hangs = |rope| moved.hauling.load_rope_shape(rope).into_iter().flatten().map(Xz::from).collect();
        Loaded { position, shape, haul: hangs(HoldingRope::Haul), belay: hangs(HoldingRope::Belay) }
    };
    let hardest = summary.greatest_reading.position;
    let lines = thinned(states.len()).filter_map(|at| Some(loaded((at, states.get(at)?)))).collect();
    let mut study = Study {
        format: study::FORMAT,
        title: site.title.clone(),
        notes: site.notes.clone(),
        version: env!("CARGO_PKG_VERSION").to_string(),
        cautions: CAUTIONS.iter().map(|caution| (*caution).to_string()).collect(),
        head: plan.head.into(),
        base: plan.base.into(),
        far: plan.far.into(),
        ground: plan.ground.iter().copied().map(Xz::from).collect(),
        feet: site.frame.feet.iter().copied().map(Into::into).collect(),
        guys: site.frame.guys.iter().copied().map(Into::into).collect(),
        unloaded,
        loaded: states.get(hardest).map_or_else(
            || Loaded { position: hardest, shape: Vec::new(), haul: Vec::new(), belay: Vec::new() },
            |moved| loaded((hardest, moved)),
        ),
        lines,
        given: Given::new(site, &plan),
        layout: PlanView::new(site, &plan),
        positions,
        components,
        summary,
        failures: None,
        clearances: None,
        settled: None,
        changeover: None,
        warnings: Vec::new(),
        assumptions,
        simplifications: SIMPLIFICATIONS.iter().map(|text| (*text).to_string()).collect(),
        limits,
        alternatives: None,
        doubt: None,
        verdict: Judgement::default(),
        schedule: None,
        variants: Vec::new(),
        cures: None,
    };
    // What is done of what is asked for; more of both where the inputs are in doubt.
    let mut told = (study.positions.len(), study.positions.len());
    if asked.failures {
        let (failures, lost) = match solved.failures(&study, || progress(told.0, told.1))? {
            ControlFlow::Continue(found) => found,
            ControlFlow::Break(why) => return Ok(ControlFlow::Break(why)),
        };
        study.failures = Some(failures);
        study.summary.track_lost = lost.track;
        study.summary.track_lost_farthest = lost.farthest;
        study.summary.haul_lost = lost.haul;
    }
    let mut no_changeover = None;
    if asked.changeover {
        no_changeover = solved.changeover(&mut study)?;
        if let ControlFlow::Break(why) = progress(told.0, told.1) {
            return Ok(ControlFlow::Break(why));
        }
    }
    if asked.clearances {
        solved.clearances(&mut study)?;
        if let ControlFlow::Break(why) = progress(told.0, told.1) {
            return Ok(ControlFlow::Break(why));
        }
    }
    if asked.settled {
        study.settled = Some(solved.settled(strand)?);
        if let ControlFlow::Break(why) = progress(told.0, told.1) {
            return Ok(ControlFlow::Break(why));
        }
    }
    let way = OnTheWay {
        rolls_in,
        lies_down: states.iter().position(|moved| moved.lies_down),
        falls: falls.as_ref().map(|(position, _)| *position),
        not_followed: not_followed.is_some(),
        settles: plan.settling.is_given,
    };
    let found = words::Found {
        falls: falls.as_ref().map_or_else(Default::default, |(_, how)| words::falls(how)),
        not_followed: not_followed.as_ref().map_or_else(Default::default, words::not_followed),
    };
    study.warnings =
        limits::passed(&study, way).iter().map(|passed| words::warning(&study, passed, &found)).collect();
    study.warnings.extend(no_changeover);
    if asked.alternatives {
        let mut assumptions = core::mem::take(&mut study.assumptions);
        study.alternatives = Some(solved.alternatives(&study, &mut assumptions)?);
        study.assumptions = assumptions;
        if let ControlFlow::Break(why) = progress(told.0, told.1) {
            return Ok(ControlFlow::Break(why));
        }
    }
    if asked.doubt {
        let positions = study.positions.len();
        let found = solved.doubt(|done, of| {
            told = (positions + done, positions + of);
            progress(told.0, told.1)
        })?;
        match found {
            ControlFlow::Continue(doubt) => study.doubt = doubt,
            ControlFlow::Break(why) => return Ok(ControlFlow::Break(why)),
        }
    }
    study.verdict = verdict::judgement(&study);
    if asked.schedule {
        study.schedule = Some(solved.schedule(&study, strand));
        if let ControlFlow::Break(why) = progress(told.0, told.1) {
            return Ok(ControlFlow::Break(why));
        }
    }
    if asked.cures {
        match cures::cures(site, &study, || progress(told.0, told.1)) {
            ControlFlow::Continue(found) => study.cures = Some(found),
            ControlFlow::Break(why) => return Ok(ControlFlow::Break(why)),
        }
    }
    Ok(ControlFlow::Continue(study))
}

/// A rig solved over its travel: what each further part of a study is computed from. A part is a function here, a
/// field of [`Study`] that may be absent, and a switch in [`Asked`].
struct Solved<'s, 'm, 'g> {
    site: &'s Site,
    plan: &'s SitePlan,
    model: &'m Model<'g>,
    drive: &'s Drive,
    /// At each of the positions.
    states: &'s [Moved<'m, 'g>],
}

impl Solved<'_, '_, '_> {
    /// What the load cell will show at each position; why it can't be followed, where it can't.
    fn expected_readings(&self, unloaded: &Unloaded, positions: &mut [Position]) -> Option<NotFollowed> {
        let track = &self.site.track;
        let given = [track.redirect_efficiency, track.head_efficiency, self.site.far_anchor.efficiency];
        let efficiencies = expected::efficiencies(self.plan, given.map(|given| given.is_some()));
        let set = unloaded.reading_while_tensioning;
        let readings = match expected::readings(self.model, set, self.states, efficiencies) {
            Ok(readings) => readings,
            Err(why) => return Some(why),
        };
        for ((position, hauled), lowered) in positions.iter_mut().zip(readings.hauled).zip(readings.lowered) {
            position.reading_expected = Some(hauled);
            if let Some(way) = &mut position.lowering {
                way.reading_expected = lowered;
            }
        }
        readings.not_lowered
    }

    /// The alternatives, and what is assumed for them.
    fn alternatives(
        &self,
        study: &Study,
        assumptions: &mut Vec<Assumption>,
    ) -> Result<Alternatives, SiteError> {
        let &Self { site, plan, model, drive, states } = self;
        SolvedRig { site, plan, model, drive, states, study }.alternatives(assumptions)
    }

    /// What happens when a part fails.
    fn failures<B>(
        &self,
        study: &Study,
        go_on: impl FnMut() -> ControlFlow<B>,
    ) -> Result<ControlFlow<B, (FailureTable, Lost)>, SiteError> {
        let on_the_way: Vec<State<'_, '_>> = self.states.iter().map(|moved| moved.hauling).collect();
        let least_pull = study.positions.iter().map(|p| p.winch_pull).reduce(Force::min).unwrap_or_default();
        let winch = self.drive.jammed(least_pull);
        failures::table(self.site, self.plan, &study.components, winch, &on_the_way, go_on)
    }

    /// How near each rope and the litter come to the ground and the edge.
    fn clearances(&self, study: &mut Study) -> Result<(), SiteError> {
        let (lies, litter, assumptions) = changeover::litter_on_the_way(self.site)?;
        let litter = litter.lying(lies);
        study.clearances = Some(Clearances::of(self.model, self.states, &litter, self.plan.rope_clearance));
        // The changeover assumes the same of the litter.
        for assumption in assumptions {
            if !study.assumptions.contains(&assumption) {
                study.assumptions.push(assumption);
            }
        }
        Ok(())
    }

    /// What is left of reading and height once the rope has settled.
    fn settled(&self, strand: Length) -> Result<SettledTrack, SiteError> {
        let places = self.states.iter().map(|moved| moved.hauling.balance.carriage.x).collect::<Vec<_>>();
        let travel = self.plan.travel();
        let wanted = wanted(&self.site.track.set);
        let found = SettledTrack::of(self.model, &self.plan.settling, strand, wanted, &travel, &places);
        found.map_err(|why| words::no_strand(self.model, &self.site.track.set, why))
    }

    /// What to set the track rope to along the travel, and what can be seen on it.
    fn schedule(&self, study: &Study, strand: Length) -> Schedule {
        let parts = rated::components(self.site, self.plan);
        let Self { site, plan, model, drive, .. } = *self;
        Orders { site, plan, model, drive, parts: &parts, strand }.schedule(study, study.verdict.verdict)
    }

    /// How the load is taken over at the head; where it can't be, a warning that says why.
    fn changeover(&self, study: &mut Study) -> Result<Option<Warning>, SiteError> {
        let (setup, assumptions) = Setup::new(self.site, self.plan)?;
        let Some(last) = self.states.last() else { return Ok(None) };
        let before = Before {
            unloaded: &study.unloaded,
            components: &study.components,
            spare: self.plan.on_hand - self.plan.used - 2.0 * study.unloaded.strand_length,
        };
        match changeover::changeover(&setup, last, &before) {
            Ok(found) => {
                study.changeover = Some(found);
                study.assumptions.extend(assumptions);
                Ok(None)
            }
            Err(why) => Ok(Some(words::changeover_not_computed(self.model, why))),
        }
    }

    /// What the doubt on the inputs makes of it, where the site file asks for that.
    fn doubt<B>(
        &self,
        progress: impl FnMut(usize, usize) -> ControlFlow<B>,
    ) -> Result<ControlFlow<B, Option<Doubt>>, SiteError> {
        let Some(asked) = &self.site.doubt else { return Ok(ControlFlow::Continue(None)) };
        let mut sampling = Sampling::new();
        if let Some(samples) = asked.samples {
            sampling = sampling.with_samples(samples as usize);
        }
        if let Some(seed) = asked.seed {
            sampling = sampling.with_seed(seed);
        }
        let found = Doubts::new(self.site)?.sample_while(sampling, progress)?;
        Ok(found.map_continue(Some))
    }
}

/// What the track rope is set for.
pub(crate) fn wanted(set: &TrackSetting) -> Wanted {
    match set {
        TrackSetting::UnloadedTension(tension) => Wanted::UnloadedTension(tension.value()),
        TrackSetting::GreatestReading(reading) => Wanted::GreatestTension(reading.value()),
        TrackSetting::LitterHeight(height) => Wanted::LitterHeight(height.value()),
        TrackSetting::Reading(reading) => {
            Wanted::UnloadedReading { reading: reading.value(), turned: Motion::Hauling }
        }
        TrackSetting::EasedReading(reading) => {
            Wanted::UnloadedReading { reading: reading.value(), turned: Motion::Lowering }
        }
        TrackSetting::Sag(sag) => Wanted::UnloadedSag(sag.value()),
        TrackSetting::Strand(strand) => Wanted::Strand(strand.value()),
        TrackSetting::LoadedReading { at, reading } => {
            Wanted::LoadedReading { at: *at, reading: reading.value(), turned: Motion::Hauling }
        }
        TrackSetting::LoadedHeight { at, height } => Wanted::LoadedHeight { at: *at, height: height.value() },
    }
}

/// So many of the positions get the shape of their line, for drawings.
const DRAWN: usize = 25;

/// Indices evenly over all, first and last among them, none twice.
fn thinned(all: usize) -> impl Iterator<Item = usize> {
    let (last, drawn) = (all.saturating_sub(1), DRAWN.min(all));
    // round(i·last/(drawn − 1))
    let spaces = drawn.saturating_sub(1).max(1);
    (0..drawn).map(move |i| (i * last + spaces / 2) / spaces)
}
