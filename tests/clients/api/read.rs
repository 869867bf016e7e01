//! What `api.json` holds beyond the header: units and lengths of arrays.

use super::{Function, Unit};
use rope_checks::top;
use std::collections::BTreeMap;

/// Of arrays, by function and parameter.
pub(super) struct Lengths(Vec<(String, String, String)>);

impl Lengths {
    pub(super) fn read() -> Self {
        let mut all = Vec::new();
        let lines =
            include_str!("lengths.txt").lines().filter(|line| !line.is_empty() && !line.starts_with('#'));
        for line in lines {
            let (function, rest) = line.split_once(": ").unwrap();
            for (name, length) in rest.split(' ').map(|one| one.split_once('=').unwrap()) {
                all.push((function.to_owned(), name.to_owned(), length.to_owned()));
            }
        }
        Self(all)
    }

    pub(super) fn of(&self, function: &str, parameter: &str) -> Option<String> {
        let found = self.0.iter().find(|(of, name, _)| of == function && name == parameter);
        found.map(|(.., length)| length.clone())
    }

    /// Everything that is named is there.
    pub(super) fn check(&self, functions: &BTreeMap<&str, &Function>) {
        for (function, name, length) in &self.0 {
            let of = functions.get(function.as_str()).unwrap_or_else(|| panic!("there is no {function}"));
            let has = |name: &str| of.parameters.iter().any(|one| one.name == name);
            assert!(has(name), "{function} has no {name}");
            for part in super::names(length).filter(|part| !part.starts_with(|c: char| c.is_ascii_digit())) {
                assert!(has(part.split('.').next().unwrap()), "{function} has no {part}");
            }
        }
    }
}

/// The units of rope_mechanics_units.h.
pub(super) fn units() -> Vec<Unit> {
    let text = std::fs::read_to_string(top().join("include/rope_mechanics_units.h")).unwrap();
    let rows = text.lines().filter_map(|line| line.strip_prefix("RMECH_UNIT(")?.strip_suffix(')'));
    let units = rows.map(|row| {
        let [quantity, _, build, read, size] = row.split(", ").collect::<Vec<_>>()[..] else {
            panic!("{row}")
        };
        Unit {
            quantity: quantity.to_owned(),
            build: build.to_owned(),
            read: read.to_owned(),
            size: size.parse().unwrap(),
        }
    });
    let units: Vec<_> = units.collect();
    assert!(units.len() >= 42);
    units
}
