//! How the keys of a site are checked one by one, and what is taken for those that are left out.

use super::SiteError;
use crate::doubt::Uncertain;
use crate::error::{self, Allowed, Checked};
use crate::geometry::Point3;
use crate::operation::site::SiteSheave;
use crate::operation::study::Assumption;
use crate::quantity::{Length, Mark, Ratio, ratio};
use crate::sheave::PULLEY;
use crate::text::{self, Text};
use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec::Vec;

/// Collects the assumptions while the keys are read.
#[derive(Default)]
pub(super) struct Reader {
    pub(super) assumptions: Vec<Assumption>,
}

impl Reader {
    pub(super) fn assume(&mut self, key: &str, text: impl Into<String>, mark: Mark) {
        self.assumptions.push(Assumption { key: key.to_string(), text: text.into(), mark });
    }

    /// The value given, or a default that is listed.
    pub(super) fn or<Q: Text + Checked>(
        &mut self,
        key: &str,
        given: Option<impl Into<Uncertain<Q>>>,
        default: Q,
        what: &str,
        mark: Mark,
        allowed: Allowed,
    ) -> Result<Q, SiteError> {
        match given {
            Some(given) => {
                let value = given.into().value();
                error::check("", value, allowed).map_err(|why| SiteError::at(key, why))?;
                Ok(value)
            }
            None => {
                self.assume(key, format!("{what}: {}", text::both(default)), mark);
                Ok(default)
            }
        }
    }

    pub(super) fn efficiency(
        &mut self,
        key: &str,
        given: Option<Uncertain<Ratio>>,
        what: &str,
    ) -> Result<Ratio, SiteError> {
        let what = format!(
            "efficiency of {what} over half a turn (nine pulleys measured: 74 to 91 %; a tenth may have 73 to 95 %)"
        );
        self.or(
            key,
            given,
            ratio(PULLEY.expected),
            &what,
            Mark::Read("Delaney 2022"),
            Allowed::Within(0.3, 1.0),
        )
    }
}

pub(crate) fn check_range<Q: Checked>(key: &str, value: Q, lo: f64, hi: f64) -> Result<(), SiteError> {
    error::within("", value, lo, hi).map(|_| ()).map_err(|why| SiteError::at(key, why))
}

pub(crate) fn check_place(key: &str, place: Point3) -> Result<(), SiteError> {
    for coordinate in [place.x, place.y, place.z] {
        check_range(key, coordinate, -200.0, 200.0)?;
    }
    Ok(())
}

pub(crate) fn check_sheave(key: &str, sheave: Option<SiteSheave>) -> Result<(), SiteError> {
    match sheave.and_then(|sheave| sheave.diameter) {
        Some(diameter) => check_range(&format!("{key}.diameter"), diameter, 1e-3, 10.0),
        None => Ok(()),
    }
}

pub(crate) fn distance(a: Point3, b: Point3) -> Length {
    Point3::from_si(b.si() - a.si()).magnitude()
}
