//! What the people of the crew do and how long it takes them, and how warm the haul winch may get.

use crate::quantity::{ElectricCurrent, Force, Length, Mass, Ratio, Time};
use crate::text::as_text;
use serde::{Deserialize, Serialize};

/// The crew: how hard they pull, how late they tend, how long their changes take. Only the alternatives need it.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(
    deny_unknown_fields,
    expecting = "the table of the crew: pull, delay, reset, conversion, attendant, attachment, share"
)]
#[non_exhaustive]
pub struct SiteCrew {
    /// Steady pull of one person on a rope.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub pull: Option<Force>,
    /// How late a belay is tended.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub delay: Option<Time>,
    /// To reset a tackle in the haul rope.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub reset: Option<Time>,
    /// To convert a straight pull into a tackle under load.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub conversion: Option<Time>,
    /// Mass of one attendant with gear.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub attendant: Option<Mass>,
    /// Length of the attachment between an attendant's harness and the litter.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub attachment: Option<Length>,
    /// Share of their weight that attendants leave to the line while their feet are on the ground.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub share: Option<Ratio>,
}

/// How warm the motor of the haul winch may get. Only the alternatives need it.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(
    deny_unknown_fields,
    expecting = "the table of the motor's heat: continuous_current or short_time, time_constant"
)]
#[non_exhaustive]
pub struct SiteHeat {
    /// Current that the motor bears for ever.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub continuous_current: Option<ElectricCurrent>,
    /// How long it bears its rated pull from cold, where its continuous current isn't known.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub short_time: Option<Time>,
    /// Thermal time constant.
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    pub time_constant: Option<Time>,
}
