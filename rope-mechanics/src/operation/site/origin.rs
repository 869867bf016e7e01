//! Which file a key of a site comes from, and laying one file over another.

use super::tree::{KeyTree, within};
use alloc::borrow::ToOwned;
use alloc::format;
use alloc::string::String;
use alloc::vec::Vec;

/// The file that a key stands in.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum SiteSource {
    /// The site file.
    Site,
    /// The kit that it names.
    Kit,
    /// A variant in the site file, by its name.
    Variant(String),
}

/// Where the keys of a site stand: by the path in the site as it is studied, the last entry first.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Origins(Vec<(String, SiteSource, String)>);

impl Origins {
    pub(super) fn add(&mut self, path: &str, source: &SiteSource, told: &str) {
        // What stood there before is gone.
        self.0.retain(|(other, ..)| {
            !other.strip_prefix(path).is_some_and(|rest| rest.is_empty() || rest.starts_with(['.', '[']))
        });
        self.0.push((path.to_owned(), source.clone(), told.to_owned()));
    }

    /// The file of a key, and its path there: by the longest path that leads to it.
    pub(super) fn of(&self, key: &str) -> (SiteSource, String) {
        let mut best: Option<(&(String, SiteSource, String), &str)> = None;
        for entry in &self.0 {
            if let Some(rest) = key.strip_prefix(entry.0.as_str())
                && (rest.is_empty() || rest.starts_with(['.', '[']))
                && best.is_none_or(|(longest, _)| entry.0.len() >= longest.0.len())
            {
                best = Some((entry, rest));
            }
        }
        match best {
            Some(((_, source, told), rest)) => (source.clone(), format!("{told}{rest}")),
            None => (SiteSource::Site, key.to_owned()),
        }
    }
}

/// Of these tables one key is given: another one takes its place and doesn't stand beside it.
fn is_a_choice(path: &str) -> bool {
    path == "winch" || path.ends_with(".anchor")
}

/// These are one value in several keys: another one takes the place of all of it.
fn is_whole(path: &str) -> bool {
    path == "track.set" || path == "ground"
}

/// Whether two tables are merged key by key.
fn merged(path: &str, a: &KeyTree, b: &KeyTree) -> bool {
    let (KeyTree::Table(a), KeyTree::Table(b)) = (a, b) else { return false };
    if is_whole(path) {
        return false;
    }
    !is_a_choice(path) || a.iter().any(|(key, _)| b.iter().any(|(other, _)| key == other))
}

/// Lays keys over those of a tree: tables key by key, everything else in its place.
pub(super) fn lay_over(
    tree: &mut KeyTree,
    path: &str,
    over: &KeyTree,
    source: &SiteSource,
    told: &str,
    origins: &mut Origins,
) {
    match tree.at(path) {
        Some(own) if merged(path, own, over) => {
            for (key, value) in over.keys() {
                lay_over(tree, &within(path, key), value, source, &within(told, key), origins);
            }
        }
        _ => {
            tree.put(path, over.clone());
            origins.add(path, source, told);
        }
    }
}

/// Lays keys under those of a tree: only what it leaves out is taken.
pub(super) fn lay_under(
    tree: &mut KeyTree,
    path: &str,
    under: &KeyTree,
    source: &SiteSource,
    told: &str,
    origins: &mut Origins,
) {
    match tree.at(path) {
        None => {
            tree.put(path, under.clone());
            origins.add(path, source, told);
        }
        Some(own) if merged(path, own, under) => {
            for (key, value) in under.keys() {
                lay_under(tree, &within(path, key), value, source, &within(told, key), origins);
            }
        }
        Some(_) => {}
    }
}
