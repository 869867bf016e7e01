//! A tackle as text: TOML, JSON, or whatever serde reads.

use super::TackleError;
use super::arrangement::{CarrierId, RopeStop, Tackle};
use super::builder::Builder;
use crate::error::InputError;
use crate::geometry::{Direction3, Point3};
use crate::quantity::{Length, Ratio, metres, ratio};
use crate::sheave::Turn;
use alloc::string::String;
use alloc::vec::Vec;
use serde::{Deserialize, Serialize};

/// Any tackle, as it is written in a file; [`build`](Self::build) makes a [`Tackle`] of it.
///
/// ```
/// use rope_mechanics::tackle::TackleSpec;
///
/// let spec: TackleSpec = toml::from_str(r#"
///     [[carrier]]
///     name = "anchor"
///     kind = "anchor"
///     x = "0 m"
///     [[carrier]]
///     name = "crew"
///     kind = "anchor"
///     x = "-2 m"
///     [[carrier]]
///     name = "grab"
///     kind = "free"
///     x = "10 m"
///     [[carrier]]
///     name = "load"
///     kind = "load"
///     x = "40 m"
///     [[rope]]
///     name = "haul"
///     stops = [
///         { end = "load" },
///         { grab = "grab" },
///         { capture = { at = "anchor", efficiency = "90 %" } },
///         { sheave = { at = "grab", efficiency = "90 %" } },
///         { hand = "crew" },
///     ]
/// "#)?;
/// assert!((spec.build()?.advantage()?.hauling.value - 2.71).abs() < 1e-12);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TackleSpec {
    /// Load, anchors, blocks and grabs.
    pub carrier: Vec<CarrierSpec>,
    /// The ropes.
    pub rope: Vec<RopeSpec>,
}

/// A carrier.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CarrierSpec {
    /// What the ropes call it: 1 to 23 bytes.
    pub name: String,
    /// What it does.
    pub kind: CarrierKind,
    /// Level, outward.
    #[serde(with = "crate::text::as_text")]
    pub x: Length,
    /// Level, to the left.
    #[serde(with = "crate::text::as_text", default = "nowhere")]
    pub y: Length,
    /// Up.
    #[serde(with = "crate::text::as_text", default = "nowhere")]
    pub z: Length,
    /// The carrier towards which it travels; against x if none is named. Anchors don't travel.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub towards: Option<String>,
}

fn nowhere() -> Length {
    metres(0.0)
}

fn lossless() -> Ratio {
    ratio(1.0)
}

/// What a carrier does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum CarrierKind {
    /// It stays where it is.
    Anchor,
    /// It is hauled.
    Load,
    /// A travelling block or grab.
    Free,
}

/// A rope.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RopeSpec {
    /// Its name: 1 to 23 bytes.
    pub name: String,
    /// Its stops from one end to the other.
    pub stops: Vec<StopSpec>,
}

/// A stop of a rope at the carrier of that name. See [`RopeStop`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum StopSpec {
    /// Tied on.
    End(String),
    /// In the hand or on the winch.
    Hand(String),
    /// Slack or tailed.
    Tail(String),
    /// Held by a grab.
    Grab(String),
    /// Over a sheave or connector.
    Sheave {
        /// The carrier.
        at: String,
        /// Tension after by tension before, over half a turn.
        #[serde(with = "crate::text::as_text")]
        efficiency: Ratio,
    },
    /// Over a sheave that captures progress; without an efficiency, straight through a grab.
    Capture {
        /// The carrier.
        at: String,
        /// Tension after by tension before, over half a turn.
        #[serde(with = "crate::text::as_text", default = "lossless")]
        efficiency: Ratio,
    },
    /// Over a fixed bar.
    #[serde(rename_all = "kebab-case")]
    Bar {
        /// The carrier.
        at: String,
        /// Coefficient of friction while raising.
        #[serde(with = "crate::text::as_text")]
        friction_raising: Ratio,
        /// Coefficient of friction while lowering.
        #[serde(with = "crate::text::as_text")]
        friction_lowering: Ratio,
    },
}

/// A tackle in a file that can't be built.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SpecError {
    /// The arrangement doesn't work.
    #[error(transparent)]
    Tackle(#[from] TackleError),
    /// A value can't be used.
    #[error("{at}: {why}")]
    Value {
        /// The carrier or rope.
        at: String,
        /// What is wrong with it.
        why: InputError,
    },
    /// Two carriers of one name.
    #[error("two carriers are called \"{name}\"")]
    Twice {
        /// The name.
        name: String,
    },
    /// A name that no carrier has.
    #[error("{at} names \"{name}\", but no carrier has that name")]
    Unknown {
        /// The carrier or rope that names it.
        at: String,
        /// The name.
        name: String,
    },
}

impl TackleSpec {
    /// Builds the tackle.
    ///
    /// # Errors
    /// A [`SpecError`] that names the carrier, rope or part at fault.
    pub fn build(&self) -> Result<Tackle, SpecError> {
        let mut rig = Builder::new();
        let mut ids: Vec<(&str, CarrierId)> = Vec::new();
        for carrier in &self.carrier {
            if ids.iter().any(|(name, _)| *name == carrier.name) {
                return Err(SpecError::Twice { name: carrier.name.clone() });
            }
            let (name, at) = (carrier.name.as_str(), carrier.at());
            let heading = self.heading(carrier)?;
            let id = match (carrier.kind, heading) {
                (CarrierKind::Anchor, _) => rig.anchor(name, at)?,
                (CarrierKind::Load, heading) => rig.load(name, at, heading)?,
                (CarrierKind::Free, heading) => rig.carrier(name, at, heading)?,
            };
            ids.push((name, id));
        }
        for rope in &self.rope {
            let id = |name: &String| {
                let known = ids.iter().find(|(other, _)| *other == name.as_str());
                known
                    .map(|(_, id)| *id)
                    .ok_or_else(|| SpecError::Unknown { at: rope.name.clone(), name: name.clone() })
            };
            let value = |why| SpecError::Value { at: rope.name.clone(), why };
            let mut stops = Vec::new();
            for stop in &rope.stops {
                stops.push(match stop {
                    StopSpec::End(at) => RopeStop::End(id(at)?),
                    StopSpec::Hand(at) => RopeStop::Hand(id(at)?),
                    StopSpec::Tail(at) => RopeStop::Tail(id(at)?),
                    StopSpec::Grab(at) => RopeStop::Grab(id(at)?),
                    StopSpec::Sheave { at, efficiency } => {
                        RopeStop::Sheave(id(at)?, Turn::sheave(*efficiency).map_err(value)?)
                    }
                    StopSpec::Capture { at, efficiency } => {
                        RopeStop::Capture(id(at)?, Turn::sheave(*efficiency).map_err(value)?)
                    }
                    StopSpec::Bar { at, friction_raising, friction_lowering } => RopeStop::Sheave(
                        id(at)?,
                        Turn::bar(*friction_raising, *friction_lowering).map_err(value)?,
                    ),
                });
            }
            rig.rope(&rope.name, &stops)?;
        }
        Ok(rig.build()?)
    }

    fn heading(&self, carrier: &CarrierSpec) -> Result<Direction3, SpecError> {
        let value = |why| SpecError::Value { at: carrier.name.clone(), why };
        match &carrier.towards {
            None => Direction3::new(ratio(-1.0), ratio(0.0), ratio(0.0)).map_err(value),
            Some(name) => {
                let other = self.carrier.iter().find(|c| c.name == *name);
                let unknown = || SpecError::Unknown { at: carrier.name.clone(), name: name.clone() };
                Direction3::between(carrier.at(), other.ok_or_else(unknown)?.at()).map_err(value)
            }
        }
    }
}

impl CarrierSpec {
    fn at(&self) -> Point3 {
        Point3::new(self.x, self.y, self.z)
    }
}
