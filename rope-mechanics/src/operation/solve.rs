//! The study of a site, from its plan to its warnings.

use super::apparatus::Apparatus;
use super::given::Given;
use super::layout::Layout;
use super::limits::{self, OnTheWay};
use super::parts;
use super::plan::{SiteError, SitePlan};
use super::position::{self, Moved, Unbalanced};
use super::power::Drive;
use super::site::Site;
use super::study::{self, CAUTIONS, LimitsUsed, Loaded, Position, SIMPLIFICATIONS, Study, Xz};
use super::{summary, words};
use alloc::format;
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
pub fn solve_with_progress(site: &Site, mut progress: impl FnMut(usize, usize)) -> Result<Study, SiteError> {
    let found = solve_while(site, |done, of| {
        progress(done, of);
        ControlFlow::<Infallible>::Continue(())
    })?;
    match found {
        ControlFlow::Continue(study) => Ok(study),
        ControlFlow::Break(never) => match never {},
    }
}

/// The same, for as long as `progress` says to go on. It is asked after each position, with how many of how many are
/// done; what it breaks off with is returned in place of the study. Between two questions lies the work of one position.
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
    mut progress: impl FnMut(usize, usize) -> ControlFlow<B>,
) -> Result<ControlFlow<B, Study>, SiteError> {
    let mut plan = SitePlan::new(site)?;
    let mut assumptions = core::mem::take(&mut plan.assumptions);
    let power = Drive::new(site, &mut assumptions)?;
    let rig = Apparatus::new(site, &plan)?;
    let listed = parts::components(site, &plan);

    let length = rig.strand_length()?;
    let (mut unloaded, parts) = rig.unloaded(length)?;
    unloaded.forces = listed.iter().map(|(_, source)| parts.force(*source)).collect();
    let mut falls = parts.frame.fall.map(|how| (None, how));
    let track = rig.track(length)?;
    let ways = rig.ways(track)?;
    let (start, rolls_in) = rig.start_x(&ways.hauling, &track)?;
    let places = rig.places(start);

    let mut positions: Vec<Position> = Vec::with_capacity(places.len());
    let mut states: Vec<Moved> = Vec::with_capacity(places.len());
    for x_m in &places {
        let moved = match rig.moved(&ways, *x_m, states.last()) {
            Ok(moved) => moved,
            Err(Unbalanced::Other(why)) => return Err(why),
            Err(Unbalanced::LiesDown(why)) => return Err(rig.rock_beside(*x_m).unwrap_or(why)),
            Err(Unbalanced::RollsIn) => {
                return Err(rig.rock_beside(*x_m).unwrap_or_else(|| {
                    SiteError::new(
                        "travel.start",
                        format!(
                            "with the load at x = {x_m:.2} m it rolls towards the head by itself, so that no haul rope holds it there: start nearer to the head"
                        ),
                    )
                }));
            }
        };
        let (mut position, forces) = rig.position(&moved, &power)?;
        position.forces = listed.iter().map(|(_, source)| forces.force(*source)).collect();
        if falls.is_none()
            && let Some(how) = forces.frame.fall
        {
            falls = Some((Some(positions.len()), how));
        }
        positions.push(position);
        states.push(moved);
        if let ControlFlow::Break(why) = progress(positions.len(), places.len()) {
            return Ok(ControlFlow::Break(why));
        }
    }
    // The forces in a frame that falls somewhere are not those of a part that can be judged.
    let mut components: Vec<_> = listed.into_iter().map(|(component, _)| component).collect();
    if falls.is_some() {
        let of_frame =
            components.iter().position(|c| c.name.ends_with("of the frame")).unwrap_or(components.len());
        components.truncate(of_frame);
        unloaded.forces.truncate(of_frame);
        for position in &mut positions {
            position.forces.truncate(of_frame);
        }
    }

    let spent = power.spent(&positions, rig.velocity_ratio.value, site.haul.throw)?;
    for (position, charge) in positions.iter_mut().zip(&spent.charge) {
        position.battery_charge = Some(*charge);
    }

    let limits = LimitsUsed {
        reading: site.limits.reading,
        factor: plan.factor,
        frame_margin: plan.frame_margin,
        litter_height: plan.litter_height_limit,
        current: site.limits.current,
        winch_pull: power.rated_pull,
    };
    let summary = summary::summary(&rig, spent.totals, power.rated_pull, &unloaded, &positions, &components)?;
    let loaded = |(position, moved): (usize, &Moved)| {
        let shape = position::shape(&moved.hauling.state).into_iter().map(Xz::from).collect();
        Loaded { position, shape }
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
        loaded: states
            .get(hardest)
            .map_or(Loaded { position: hardest, shape: Vec::new() }, |moved| loaded((hardest, moved))),
        lines,
        given: Given::new(site, &plan),
        layout: Layout::new(site, &plan),
        positions,
        components,
        summary,
        warnings: Vec::new(),
        assumptions,
        simplifications: SIMPLIFICATIONS.iter().map(|text| (*text).to_string()).collect(),
        limits,
    };
    let way = OnTheWay {
        rolls_in,
        lies_down: states.iter().position(|moved| moved.lies_down),
        falls: falls.as_ref().map(|(position, _)| *position),
    };
    let how = falls.as_ref().map_or("", |(_, how)| how.as_str());
    study.warnings =
        limits::passed(&study, way).iter().map(|passed| words::warning(&study, passed, how)).collect();
    Ok(ControlFlow::Continue(study))
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
