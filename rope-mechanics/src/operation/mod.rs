//! The job: a site and a kit in, everything a crew asks of them out.
//!
//! **Caution.** An aid for planning and training by qualified people, never the only limit on a load. A doubled
//! track rope on one sheave has no redundancy, and a winch built for pulling may be barred by its own standard
//! from lifting people. Local codes, makers' instructions and the authority having jurisdiction come first.
//!
//! [`solve`] takes a [`Site`](site::Site) and gives a [`Study`](study::Study): the load on its way
//! from the far anchor to the head, with the balance of the track line at every place (each solved, none
//! interpolated), the readings, pulls and currents, the force on every part and its safety factor.
//!
//! What is assumed beyond the site stands in [`Study::assumptions`](study::Study::assumptions), each with its mark.
//!
//! | question | where |
//! |---|---|
//! | which parts a study holds, so that the others cost nothing | [`Asked`], [`solve_asked`] |
//! | what a site file holds, key by key | [`Site`](site::Site) |
//! | whether the rope reaches, doubled | [`Reach`](study::Reach) in [`Summary`](study::Summary) |
//! | tension, load-cell reading and sag before the load is on | [`Unloaded`](study::Unloaded) |
//! | the balance, heights, pulls and current at each place | [`Position`](study::Position) |
//! | the least safety factor, and of which part | [`Governing`](study::Governing), [`RatedPart`](study::RatedPart) |
//! | time, energy, battery and settings of the whole haul | [`HaulTotals`](study::HaulTotals) |
//! | a part fails: what holds next, how the litter falls and lands | [`FailureTable`](failures::FailureTable), [`State::failure`] |
//! | other ways to haul and to belay, attendants, other systems on the same ground | [`Alternatives`](alternatives::Alternatives) |
//! | how the load is taken over at the head and swung in to the road | [`Changeover`](changeover::Changeover) |
//! | how near each rope and the litter come to the ground and the edge | [`Clearances`](clearance::Clearances), [`State::load_rope_shape`] |
//! | what is left of the reading and of the litter's height after the first minutes | [`SettledTrack`](settled::SettledTrack) |
//! | what passes a limit | [`Study::warnings`](study::Study::warnings) |
//! | the figures of variants side by side, what another kit changes | [`solve_file`], [`variants`] |
//! | go, go with, or no-go, and by what | [`Judgement`](verdict::Judgement) |
//! | what to set the track rope to, where, and what can be seen on the way | [`schedule`] |
//! | the least change that mends what is broken, or refused | [`cures`] |
//! | how far each number may be off, how likely each limit is passed, what to measure first | [`doubt`] |
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

#[cfg(all(feature = "alloc", feature = "serde"))]
mod asked;
mod at_places;
pub mod changeover;
pub mod failures;
mod footing;
mod lying;
mod model;
mod place;
mod setting;
mod shape;
mod state;
mod track_turns;
mod travel;
mod under_ropes;
mod way;

#[cfg(all(feature = "alloc", feature = "serde"))]
pub mod alternatives;
#[cfg(all(feature = "alloc", feature = "serde"))]
pub mod clearance;
#[cfg(all(feature = "alloc", feature = "serde"))]
pub mod cures;
#[cfg(all(feature = "alloc", feature = "serde"))]
pub mod doubt;
#[cfg(all(feature = "alloc", feature = "serde"))]
mod expected;
#[cfg(all(feature = "alloc", feature = "serde"))]
pub mod given;
#[cfg(all(feature = "alloc", feature = "serde"))]
pub mod layout;
#[cfg(all(feature = "alloc", feature = "serde"))]
mod limits;
#[cfg(all(feature = "alloc", feature = "serde"))]
mod model_of;
#[cfg(all(feature = "alloc", feature = "serde"))]
mod plan;
#[cfg(all(feature = "alloc", feature = "serde"))]
mod position;
#[cfg(all(feature = "alloc", feature = "serde"))]
mod power;
#[cfg(all(feature = "alloc", feature = "serde"))]
mod pulls;
#[cfg(all(feature = "alloc", feature = "serde"))]
mod rated;
#[cfg(all(feature = "alloc", feature = "serde"))]
mod rock;
#[cfg(all(feature = "alloc", feature = "serde"))]
pub mod schedule;
#[cfg(all(feature = "alloc", feature = "serde"))]
pub mod settled;
#[cfg(all(feature = "alloc", feature = "serde"))]
pub mod site;
#[cfg(all(feature = "alloc", feature = "serde"))]
mod solve;
#[cfg(all(feature = "alloc", feature = "serde"))]
pub mod study;
#[cfg(all(feature = "alloc", feature = "serde"))]
mod summary;
#[cfg(all(feature = "alloc", feature = "serde"))]
pub mod variants;
#[cfg(all(feature = "alloc", feature = "serde"))]
pub mod verdict;
#[cfg(all(feature = "alloc", feature = "serde"))]
mod words;
#[cfg(all(feature = "alloc", feature = "serde"))]
mod written;

pub use at_places::HaulLine;
pub use footing::Footing;
pub use model::{
    BelayValues, FrameValues, HaulValues, LoadValues, Model, ModelError, RedirectAt, RigValues, TrackValues,
};
pub use place::{ByPlace, MOST_HAUL_REDIRECTS, Place};
pub use shape::{LOAD_ROPE_POINTS, SHAPE_POINTS};
pub use state::{HoldingRope, LoadPlace, Situation, State, StateError};
pub use travel::{Moved, Travel, TravelError, Wanted};
pub use under_ropes::{FrameWorst, HeadRopes, UnderRopes};

#[cfg(all(feature = "alloc", feature = "serde"))]
pub use asked::Asked;
#[cfg(all(feature = "alloc", feature = "serde"))]
pub use plan::SiteError;
#[cfg(all(feature = "alloc", feature = "serde"))]
pub use solve::{solve, solve_asked, solve_while, solve_with_progress};
#[cfg(all(feature = "alloc", feature = "serde"))]
pub use variants::{solve_file, solve_file_asked};
