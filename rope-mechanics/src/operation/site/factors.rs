//! Least safety factors by kind of part.

use super::super::study::PartKind;
use super::reading::{Number, optional};
use serde::{Deserialize, Serialize};

/// The least static safety factor of each kind of part, where it differs from `limits.factor`.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(
    deny_unknown_fields,
    expecting = "a table of least factors: rope, anchor, sling, connector, sheave, load_cell, leg, guy"
)]
#[non_exhaustive]
pub struct PartFactors {
    /// Of a rope with its knots.
    #[serde(default, deserialize_with = "optional::<Number, _, _>", skip_serializing_if = "Option::is_none")]
    pub rope: Option<f64>,
    /// Of an anchor.
    #[serde(default, deserialize_with = "optional::<Number, _, _>", skip_serializing_if = "Option::is_none")]
    pub anchor: Option<f64>,
    /// Of a sling.
    #[serde(default, deserialize_with = "optional::<Number, _, _>", skip_serializing_if = "Option::is_none")]
    pub sling: Option<f64>,
    /// Of a connector.
    #[serde(default, deserialize_with = "optional::<Number, _, _>", skip_serializing_if = "Option::is_none")]
    pub connector: Option<f64>,
    /// Of a sheave or pulley.
    #[serde(default, deserialize_with = "optional::<Number, _, _>", skip_serializing_if = "Option::is_none")]
    pub sheave: Option<f64>,
    /// Of the load cell.
    #[serde(default, deserialize_with = "optional::<Number, _, _>", skip_serializing_if = "Option::is_none")]
    pub load_cell: Option<f64>,
    /// Of a leg of the frame.
    #[serde(default, deserialize_with = "optional::<Number, _, _>", skip_serializing_if = "Option::is_none")]
    pub leg: Option<f64>,
    /// Of a guy of the frame.
    #[serde(default, deserialize_with = "optional::<Number, _, _>", skip_serializing_if = "Option::is_none")]
    pub guy: Option<f64>,
}

impl PartFactors {
    /// The factor given for a kind of part.
    #[must_use]
    pub const fn of(&self, kind: PartKind) -> Option<f64> {
        match kind {
            PartKind::Rope => self.rope,
            PartKind::Anchor => self.anchor,
            PartKind::Sling => self.sling,
            PartKind::Connector => self.connector,
            PartKind::Sheave => self.sheave,
            PartKind::LoadCell => self.load_cell,
            PartKind::Leg => self.leg,
            PartKind::Guy => self.guy,
            PartKind::Unrated => None,
        }
    }

    /// Each factor given, by its key.
    pub(crate) fn given(&self) -> impl Iterator<Item = (&'static str, f64)> {
        [
            ("rope", self.rope),
            ("anchor", self.anchor),
            ("sling", self.sling),
            ("connector", self.connector),
            ("sheave", self.sheave),
            ("load_cell", self.load_cell),
            ("leg", self.leg),
            ("guy", self.guy),
        ]
        .into_iter()
        .filter_map(|(key, factor)| Some((key, factor?)))
    }
}
