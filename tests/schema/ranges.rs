//! What each key of the annotated examples may be: a value beyond either end is refused, by its key, with what is allowed.

use crate::keys::{Beside, example};
use rope_checks::top;
use rope_mechanics::operation::doubt::Doubts;
use rope_mechanics::operation::site::{KeyTree, SiteFile};
use rope_mechanics::operation::{self, Asked};
use serde_json::Value;
use std::collections::BTreeSet;
use std::fmt::Write;
use std::ops::ControlFlow;

/// Everything that reads a key, without what takes long.
const ASKED: Asked =
    Asked::PLAIN.with_alternatives(true).with_changeover(true).with_clearances(true).with_settled(true);

/// Texts that begin with a number and plain numbers, by their path; of a list of points the first only.
fn leaves(value: &Value, path: &str, found: &mut Vec<String>) {
    match value {
        Value::Object(keys) => {
            keys.iter().for_each(|(key, value)| leaves(value, &format!("{path}/{key}"), found))
        }
        Value::Array(items) => {
            let of_points = items.first().is_some_and(|item| !item.is_string() && !item.is_number());
            let all = if of_points && !path.ends_with("variant") { 1 } else { items.len() };
            items
                .iter()
                .take(all)
                .enumerate()
                .for_each(|(i, item)| leaves(item, &format!("{path}/{i}"), found));
        }
        Value::Number(_) => found.push(path.to_string()),
        Value::String(text) if text.starts_with(|c: char| c.is_ascii_digit() || c == '-') => {
            found.push(path.to_string())
        }
        _ => {}
    }
}

/// The same text with another number before its unit; a tolerance is left out.
fn instead(value: &Value, number: &str) -> Value {
    match value {
        Value::String(text) => {
            let unit = text.split([' ', '\u{a0}']).nth(1).unwrap_or_default();
            format!("{number} {unit}").trim().into()
        }
        Value::Number(old) if old.is_f64() => number.parse::<f64>().unwrap().into(),
        _ => (number.parse::<f64>().unwrap() as i64).into(),
    }
}

/// What is said to a file: of its variant of that number, or of the site itself.
fn said(file: &Value, variant: Option<usize>) -> Option<String> {
    let keys: KeyTree = serde_json::from_value(file.clone()).unwrap();
    let read = match SiteFile::read(&keys, &mut Beside) {
        Ok(read) => read,
        Err(problems) => return Some(problems[0].to_string()),
    };
    let site = variant.map_or(&read.site, |i| &read.variants[i].site);
    if let Err(why) = Doubts::new(site) {
        return Some(why.to_string());
    }
    match operation::solve_asked(site, &ASKED, |_, _| ControlFlow::<()>::Continue(())) {
        Ok(_) => None,
        Err(why) => Some(why.to_string()),
    }
}

#[test]
fn a_value_beyond_its_range_is_refused_with_what_is_allowed() {
    let example: Value = toml::from_str(&example("site.toml")).unwrap();
    let mut paths = Vec::new();
    leaves(&example, "", &mut paths);
    let mut seen = BTreeSet::new();
    let mut text = String::new();
    for path in paths {
        let variant = path
            .strip_prefix("/variant/")
            .and_then(|rest| rest.split('/').next())
            .map(|i| i.parse().unwrap());
        let key = path.splitn(if variant.is_some() { 4 } else { 2 }, '/').last().unwrap().to_string();
        if !seen.insert(key.clone()) {
            continue;
        }
        for number in ["-1e12", "1e12"] {
            let mut file = example.clone();
            let at = file.pointer_mut(&path).unwrap();
            *at = instead(at, number);
            let said = said(&file, variant).unwrap_or_else(|| "ACCEPTED".into());
            writeln!(text, "{} {number}: {said}", key.replace('/', ".")).unwrap();
        }
    }
    let path = top().join("tests/data/site-ranges.txt");
    if std::env::var_os("UPDATE_SCHEMA").is_some() {
        std::fs::write(&path, &text).unwrap();
    }
    assert_eq!(std::fs::read_to_string(&path).unwrap_or_default(), text, "UPDATE_SCHEMA=1 writes it anew");
}
