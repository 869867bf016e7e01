//! A rope by its keys or by its class, and what is left of its strength.

use super::SiteError;
use super::reader::{Reader, check_range};
use crate::error::{self, Allowed};
use crate::operation::site::SiteRope;
use crate::quantity::unit::{kilonewton, percent};
use crate::quantity::{Force, Length, LineMass, Mark, Ratio, metres};
use crate::rope::{Rope, Stretch};
use crate::strength::{Reduction, Weakening, reduced_strength};
use crate::text;
use alloc::format;
use alloc::string::String;
use alloc::vec::Vec;

/// What a rope holds with its knots, and how that comes about.
#[derive(Debug, Clone)]
pub(crate) struct Strength {
    pub(crate) strength: Force,
    pub(crate) basis: String,
}

/// Classes of rope with known defaults: stiffness in kN, g/m, strength in kN, diameter in mm, from memory. EN 1891
/// bounds the stiffness: at most 5 % between 50 and 150 kg gives at least 19.6 kN.
const CLASSES: [(&str, f64, f64, f64, f64); 4] = [
    ("11 mm nylon", 35.0, 77.0, 30.0, 11.0),
    ("11 mm polyester", 80.0, 85.0, 30.0, 11.0),
    ("12.5 mm nylon", 50.0, 105.0, 40.0, 12.5),
    ("12.5 mm polyester", 110.0, 119.0, 40.0, 12.5),
];

/// The diameter of a rope: its own, or that of its class.
pub(crate) fn diameter(kind: &SiteRope) -> Option<Length> {
    let class = kind.class.as_ref().and_then(|name| CLASSES.iter().find(|class| class.0 == name));
    kind.diameter.or(class.map(|class| metres(1e-3 * class.4)))
}

impl Reader {
    pub(super) fn rope(&mut self, key: &str, kind: &SiteRope) -> Result<(Rope, Strength), SiteError> {
        let class = match &kind.class {
            None => None,
            Some(name) => match CLASSES.iter().find(|class| class.0 == name) {
                Some(class) => Some(class),
                None => {
                    let names: Vec<_> = CLASSES.iter().map(|class| format!("\"{}\"", class.0)).collect();
                    return Err(SiteError::new(
                        format!("{key}.class"),
                        format!("\"{name}\" is not a class of rope; the classes are {}", names.join(", ")),
                    ));
                }
            },
        };
        let mut pick =
            |field: &str, given: Option<f64>, from_class: Option<f64>, unit: &str, range: &str| match (
                given, from_class,
            ) {
                (Some(value), _) => Ok(value),
                (None, Some(value)) => {
                    self.assume(
                        &format!("{key}.{field}"),
                        format!("{} of {} rope: {value} {unit}{range}", field, class.map_or("", |c| c.0)),
                        Mark::Memory,
                    );
                    Ok(value)
                }
                (None, None) => Err(SiteError::new(
                    format!("{key}.{field}"),
                    "is missing: give it, or a class with known defaults",
                )),
            };
        let stiffness = pick(
            "stiffness",
            kind.stiffness.map(|q| q.value().get::<kilonewton>()),
            class.map(|c| c.1),
            "kN",
            ", good to about 30 % either way",
        )?;
        let mass = pick("mass", kind.mass.map(|q| q.value().value * 1e3), class.map(|c| c.2), "g/m", "")?;
        let strength =
            pick("strength", kind.strength.map(|q| q.get::<kilonewton>()), class.map(|c| c.3), "kN", "")?;
        let knot = self.or(
            &format!("{key}.knot_factor"),
            kind.knot_factor,
            Ratio::new::<percent>(70.0),
            "share of the rope's strength that its knots leave (55 to 80 %)",
            Mark::Memory,
            Allowed::Within(0.2, 1.0),
        )?;
        let wet = kind.wet_factor.unwrap_or(Ratio::new::<percent>(100.0));
        error::within("", wet, 0.2, 1.0).map_err(|why| SiteError::at(format!("{key}.wet_factor"), why))?;
        let stiffness = Force::new::<kilonewton>(stiffness);
        let stretch = match kind.stiffening {
            None => {
                Stretch::linear(stiffness).map_err(|why| SiteError::at(format!("{key}.stiffness"), why))?
            }
            Some(b) => Stretch::stiffening(stiffness, b).map_err(|why| {
                SiteError::at(
                    format!("{key}.{}", if why.field == "stretch_b" { "stiffening" } else { "stiffness" }),
                    why,
                )
            })?,
        };
        check_range(&format!("{key}.stiffness"), stiffness, 1e3, 1e8)?;
        let strength = Force::new::<kilonewton>(strength);
        check_range(&format!("{key}.strength"), strength, 1e3, 1e6)?;
        let mass = LineMass {
            value: mass * 1e-3,
            ..LineMass::new::<uom::si::linear_mass_density::kilogram_per_meter>(0.0)
        };
        check_range(&format!("{key}.mass"), mass, 1e-3, 10.0)?;
        let rope = Rope::new(mass, stretch, strength).map_err(|why| SiteError::at(key, why))?;
        let reduction = |weakening, factor, field: &str| {
            Reduction::new(weakening, factor, Mark::Given)
                .map_err(|why| SiteError::at(format!("{key}.{field}"), why))
        };
        let bend = self.bend(key, kind, class.map(|c| c.4))?;
        let reductions = [
            reduction(Weakening::Knot, knot, "knot_factor")?,
            reduction(Weakening::Wet, wet, "wet_factor")?,
            bend,
        ];
        let left = reduced_strength(strength, &reductions)
            .map_err(|why| SiteError::at(format!("{key}.strength"), why))?;
        let mut basis = format!("{} with knots at {}", text::both(strength), text::si(knot));
        if bend.factor() < knot {
            basis = format!("{} with its thinnest bend at {}", text::both(strength), text::si(bend.factor()));
        }
        if wet.value < 1.0 {
            basis += &format!(", wet at {}", text::si(wet));
        }
        Ok((rope, Strength { strength: left.strength, basis }))
    }

    /// What the thinnest bend of a rope leaves of its strength.
    fn bend(&mut self, key: &str, kind: &SiteRope, class_mm: Option<f64>) -> Result<Reduction, SiteError> {
        let diameter = kind.diameter.or(class_mm.map(|mm| metres(1e-3 * mm)));
        if let Some(diameter) = kind.diameter {
            check_range(&format!("{key}.diameter"), diameter, 1e-3, 0.1)?;
        }
        match (kind.thinnest_bend, diameter) {
            (None, _) => {
                self.assume(
                    &format!("{key}.thinnest_bend"),
                    "no bend weakens the rope more than its knots do (a bend over 3 rope diameters leaves 70 %)",
                    Mark::Memory,
                );
                Reduction::new(Weakening::Bend, Ratio::new::<percent>(100.0), Mark::Memory)
                    .map_err(|why| SiteError::at(key, why))
            }
            (Some(_), None) => Err(SiteError::new(
                format!("{key}.diameter"),
                "is missing: thinnest_bend says something only beside it",
            )),
            (Some(bend), Some(diameter)) => {
                check_range(&format!("{key}.thinnest_bend"), bend, 1e-3, 10.0)?;
                Reduction::bend(bend, diameter)
                    .map_err(|why| SiteError::at(format!("{key}.thinnest_bend"), why))
            }
        }
    }
}
