//! The job: a site and a kit in, everything a crew asks of them out.
//!
//! **Caution.** An aid for planning and training by qualified people, never the only limit on a load. A doubled
//! track rope on one sheave has no redundancy, and a winch built for pulling may be barred by its own standard
//! from lifting people. Local codes, makers' instructions and the authority having jurisdiction come first.
//!
//! [`solve`] takes a [`Site`] and gives a [`Study`]: the load on its way
//! from the far anchor to the head, with the balance of the track line at every place (each solved, none
//! interpolated), the readings, pulls and currents, the force on every part and its safety factor.
//!
//! What is assumed beyond the site stands in [`Study::assumptions`], each with its mark.
//!
//! | question | where |
//! |---|---|
//! | what a site file holds, key by key | [`Site`] |
//! | whether the rope reaches, doubled | [`Reach`](study::Reach) in [`Summary`](study::Summary) |
//! | tension, load-cell reading and sag before the load is on | [`Unloaded`](study::Unloaded) |
//! | the balance, heights, pulls and current at each place | [`Position`] |
//! | the least safety factor, and of which part | [`Governing`](study::Governing), [`RatedPart`](study::RatedPart) |
//! | time, energy, battery and settings of the whole haul | [`HaulTotals`](study::HaulTotals) |
//! | the track rope lets go | [`TrackFailure`](study::TrackFailure) |
//! | what passes a limit | [`Study::warnings`] |
//!
//! A site is read with serde, from TOML or JSON. This one says as little as it may:
//!
//! ```
//! use rope_mechanics::operation::{self, site::Site};
//!
//! let site: Site = toml::from_str(r#"
//! title = "An invented bank"
//! ground = [["-9 m", "0.3 m"], ["1.2 m", "0 m"], ["12 m", "-11.3 m"], ["27 m", "-20.6 m"], ["58 m", "-29.8 m"]]
//! far_anchor = { x = "47 m", height = "1.1 m" }
//! load = { patient = "82 kg", litter = "19 kg", carriage = "12 kg", hang = "0.9 m" }
//! capstan = { at = ["-6.4 m", "2.2 m", "0.7 m"], wraps = 4 }
//!
//! [frame]
//! x = "0 m"
//! height = "2.8 m"
//! feet = [["1.2 m", "1.2 m", "0 m"], ["1.2 m", "-1.2 m", "0 m"], ["-1.4 m", "0 m", "0 m"]]
//!
//! [track]
//! rope = { class = "12.5 mm nylon" }
//! on_hand = "140 m"
//! knots = "1.5 m"
//! tails = "2.5 m"
//! wraps = "2.2 m"
//! redirect = ["-0.7 m", "1 m", "0.2 m"]
//! cell_anchor = ["-5.5 m", "-1.4 m", "0.4 m"]
//! set = { greatest_reading = "1.9 kN" }
//!
//! [haul]
//! rope = { class = "11 mm polyester" }
//! tackle = "1:1"
//! winch = ["-7.5 m", "-1.6 m", "0.7 m"]
//!
//! [winch.table]
//! points = [{ pull = "0 N", current = "58 A" }, { pull = "14 kN", current = "212 A" }]
//! speed = "4.2 m/min"
//! rated_pull = "8 kN"
//! battery = { voltage = "12.8 V", resistance = "7 mohm", leads = "4 mohm", charge = "85 Ah" }
//!
//! [travel]
//! positions = 20
//! "#)?;
//! let study = operation::solve(&site)?;
//! assert!(study.positions.len() >= 20); // and one over each corner of the ground between them
//! assert!(study.positions.iter().all(|position| position.residual < 1e-11));
//! assert!((study.summary.greatest_reading.si.value - 1900.0).abs() < 1.0); // as asked for
//! assert!(study.summary.reach.spare.value > 0.0); // it reaches, doubled
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod apparatus;
mod dragging;
pub mod given;
pub mod layout;
mod limits;
mod parts;
mod plan;
mod position;
mod power;
pub mod site;
pub mod study;
mod summary;
mod track;
mod under_frame;
pub mod verdict;
mod words;
mod written;

pub use plan::SiteError;

use alloc::format;
use alloc::string::ToString;
use alloc::vec::Vec;
use apparatus::Apparatus;
use core::convert::Infallible;
use core::ops::ControlFlow;
use given::Given;
use layout::Layout;
use limits::OnTheWay;
use plan::SitePlan;
use position::{Moved, Unbalanced};
use power::Drive;
use site::Site;
use study::{CAUTIONS, LimitsUsed, Loaded, Position, SIMPLIFICATIONS, Study, Xz};

/// Studies a site.
///
/// # Errors
/// [`SiteError`] with the key at fault: a value out of range, a ground profile that runs back, a far anchor above
/// the head, a wish for the track rope that no length gives, a place of the load without equilibrium.
///
/// An example stands on the page of the [module](self).
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
