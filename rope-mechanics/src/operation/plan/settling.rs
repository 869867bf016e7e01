//! What the set track rope gives by itself in its first minutes: by relaxation, by knots that pull tight, by a capstan that
//! slips.

use super::reader::{Reader, check_range};
use crate::doubt::Uncertain;
use crate::error::{self, Allowed, Checked};
use crate::operation::SiteError;
use crate::operation::site::SiteTrack;
use crate::quantity::{Length, Mark, Ratio, metres, ratio};
use crate::rope::Stretch;
use crate::text::Text;

/// What the set track rope gives by itself, none of which a study of the rope as it was set counts: of each what to
/// expect, and the most to count on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Settling {
    /// Share of its tension that it loses in its first ten minutes.
    pub(crate) relaxation: [Ratio; 2],
    /// Rope that its knots give as they pull tight.
    pub(crate) knots: [Length; 2],
    /// Rope that runs back over its locked capstan.
    pub(crate) slip: [Length; 2],
    /// Whether the site file gives any of the three.
    pub(crate) is_given: bool,
    /// How a strand stretches that was pulled before, if the site file says.
    pub(crate) worked_in: Option<Stretch>,
}

impl Reader {
    /// An amount that is given, or usual ones that are listed.
    fn amount<Q: Text + Checked>(
        &mut self,
        key: &str,
        given: Option<Uncertain<Q>>,
        usual: [Q; 2],
        text: &str,
        mark: Mark,
        most: f64,
    ) -> Result<[Q; 2], SiteError> {
        let Some(given) = given else {
            self.assume(key, text, mark);
            return Ok(usual);
        };
        let [low, high] = given.band();
        for value in [low, given.value(), high] {
            check_range(key, value, 0.0, most)?;
        }
        Ok([given.value(), high])
    }

    pub(super) fn settling(&mut self, track: &SiteTrack, stretch: Stretch) -> Result<Settling, SiteError> {
        let SiteTrack { relaxation, knots_setting, capstan_slip, .. } = *track;
        let worked_in = match track.working_stiffness {
            None => None,
            Some(stiffness) => {
                // What was pulled before is stiffer.
                let allowed = Allowed::Within(stretch.a().value, 1e8);
                let at = |why| SiteError::at("track.working_stiffness", why);
                error::check("", stiffness, allowed).map_err(at)?;
                Some(Stretch::stiffening(stiffness, stretch.b()).map_err(at)?)
            }
        };
        Ok(Settling {
            relaxation: self.amount(
                "track.relaxation",
                relaxation,
                [ratio(0.075), ratio(0.15)],
                "share of its tension that the set track rope loses in its first ten minutes: 0 to 15 %; the study is of the rope as it was set, and says beside it what is left",
                Mark::Memory,
                0.6,
            )?,
            knots: self.amount(
                "track.knots_setting",
                knots_setting,
                [metres(0.1), metres(0.2)],
                "rope that the knots of the track give as they pull tight: 0 to 0.2 m (0.7 ft); counted beside the study in the same way",
                Mark::Memory,
                5.0,
            )?,
            slip: self.amount(
                "track.capstan_slip",
                capstan_slip,
                [metres(0.0), metres(0.0)],
                "rope that runs back over the locked capstan: none",
                Mark::Choice,
                5.0,
            )?,
            is_given: relaxation.is_some() || knots_setting.is_some() || capstan_slip.is_some(),
            worked_in,
        })
    }
}
