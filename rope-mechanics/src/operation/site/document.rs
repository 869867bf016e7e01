//! What stands at the head of each sheet of a report.

use super::reading::{Words, by};
use alloc::string::String;
use serde::{Deserialize, Serialize};

/// What a file keeps of a preplan: who wrote it, when, and who approved it. The study repeats it as it stands. What is
/// left out, a report leaves blank, to be written by hand.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, expecting = "the table of the document: kit, date, revision, author, approver")]
#[non_exhaustive]
pub struct SiteDocument {
    /// The name of the kit that the site is planned for.
    #[serde(default, deserialize_with = "by::<Words, _, _>", skip_serializing_if = "String::is_empty")]
    pub kit: String,
    /// The date of the plan.
    #[serde(default, deserialize_with = "by::<Words, _, _>", skip_serializing_if = "String::is_empty")]
    pub date: String,
    /// Its revision.
    #[serde(default, deserialize_with = "by::<Words, _, _>", skip_serializing_if = "String::is_empty")]
    pub revision: String,
    /// Who wrote it.
    #[serde(default, deserialize_with = "by::<Words, _, _>", skip_serializing_if = "String::is_empty")]
    pub author: String,
    /// Who approved it.
    #[serde(default, deserialize_with = "by::<Words, _, _>", skip_serializing_if = "String::is_empty")]
    pub approver: String,
}
