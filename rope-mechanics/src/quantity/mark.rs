//! Where a figure comes from.

/// Where a figure comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize), serde(rename_all = "kebab-case"))]
#[non_exhaustive]
pub enum Mark {
    /// Read in this source.
    Read(&'static str),
    /// A fact of the trade without a source.
    CommonPractice,
    /// From memory: check it before relying on it.
    Memory,
    /// Given by the caller.
    Given,
    /// A choice of this library, where something had to be chosen.
    Choice,
}
