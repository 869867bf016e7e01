//! The job: a site and a kit in, everything a crew asks of them out.
//!
//! **Caution.** See the front page: an aid for planning and training, never the only limit. A doubled track rope
//! on one sheave has no redundancy, and a winch built for pulling may be barred from lifting people.

mod plan;
pub mod site;
pub mod study;

pub use plan::SiteError;
