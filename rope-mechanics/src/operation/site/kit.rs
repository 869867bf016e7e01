//! What a crew carries from site to site: its ropes, sheaves and winches by name, and keys that every site takes.

use super::file::Reading;
use super::origin::{SiteSource, lay_over, lay_under};
use super::reading::{Words, by};
use super::tree::{KeyTree, within};
use super::{SiteRope, SiteWinch};
use crate::doubt::Uncertain;
use crate::quantity::{Force, Length, Ratio};
use crate::text::{Text, as_text};
use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec::Vec;
use serde::Deserialize;

/// The keys of a kit beside its ropes, sheaves and winches.
#[derive(Debug, Clone, PartialEq, Eq, Default, Deserialize)]
#[serde(deny_unknown_fields, expecting = "a kit file: name, notes, ropes, sheaves, winches, site")]
pub(super) struct KitKeys {
    /// What the crew calls its kit; the study repeats it.
    #[serde(default, deserialize_with = "by::<Words, _, _>")]
    pub(super) name: String,
    /// What a reader should know of it.
    #[serde(default, deserialize_with = "by::<Words, _, _>")]
    pub(super) notes: String,
}

/// What a kit says of a rope beside the keys of [`SiteRope`].
#[derive(Debug, Clone, PartialEq, Default, Deserialize)]
#[serde(deny_unknown_fields, expecting = "the table of a rope of the kit")]
#[allow(dead_code, reason = "read for its errors; what is used is taken from the tree")]
pub(super) struct KitRopeKeys {
    /// Its measured length: what a site that takes it has on hand.
    #[serde(default, with = "as_text::option")]
    pub(super) length: Option<Length>,
    /// When it was measured.
    #[serde(default, deserialize_with = "by::<Words, _, _>")]
    pub(super) measured: String,
    /// The distance between the marks on it.
    #[serde(default, with = "as_text::option")]
    pub(super) marks: Option<Length>,
}

/// A sheave of the kit. A site that takes it has its efficiency, its strength, and what else is known of it.
#[derive(Debug, Clone, PartialEq, Default, Deserialize)]
#[serde(deny_unknown_fields, expecting = "the table of a sheave: efficiency, diameter, strength, swivel")]
#[allow(dead_code, reason = "read for its errors; what is used is taken from the tree")]
pub(super) struct KitSheave {
    /// Its efficiency over half a turn.
    #[serde(default)]
    pub(super) efficiency: Option<Uncertain<Ratio>>,
    /// Its rated strength, by the force on its body.
    #[serde(default, with = "as_text::option")]
    pub(super) strength: Option<Force>,
    /// Its diameter where the rope lies.
    #[serde(default, with = "as_text::option")]
    pub(super) diameter: Option<Length>,
    /// Whether a swivel lets it turn.
    #[serde(default)]
    pub(super) swivel: Option<bool>,
}

/// What of a kit's rope isn't a key of a site's rope.
const ROPE_EXTRAS: [&str; 3] = ["length", "measured", "marks"];

/// Where a site takes a rope of the kit, where its length goes, and where its marks go.
const ROPES: [(&str, &str, Option<&str>); 3] = [
    ("track.rope", "track.on_hand", None),
    ("haul.rope", "haul.on_hand", Some("haul.marks")),
    ("belay.rope", "belay.on_hand", None),
];

/// Where a site takes a sheave, where its efficiency goes, and where its strength goes.
const SHEAVES: [(&str, Option<&str>, Option<&str>); 6] = [
    ("far_anchor.sheave", Some("far_anchor.efficiency"), Some("ratings.far.sheave")),
    ("track.redirect_sheave", Some("track.redirect_efficiency"), Some("ratings.redirect.sheave")),
    ("track.head_sheave", Some("track.head_efficiency"), Some("ratings.head.sheave")),
    ("haul.head_sheave", Some("haul.head_efficiency"), Some("ratings.haul_head.sheave")),
    ("haul.tackle_sheave", Some("haul.tackle_efficiency"), None),
    ("load.wheel", None, Some("ratings.carriage.sheave")),
];

impl Reading<'_> {
    /// Checks a kit by itself, and mends what is wrong with it, so that a site can still be read with it.
    pub(super) fn check_kit(&mut self, kit: &mut KeyTree) {
        self.mend_until_read::<KitKeys>("", "", kit, &["ropes", "sheaves", "winches", "site"]);
        for (group, what) in [("ropes", "rope"), ("sheaves", "sheave"), ("winches", "winch")] {
            match kit.at(group) {
                None | Some(KeyTree::Table(_)) => {}
                Some(_) => {
                    self.add(SiteSource::Kit, group, format!("{group}: must be a table of {group} by name"));
                    kit.take(group);
                }
            }
            let names: Vec<String> = kit
                .at(group)
                .map(|group| group.keys().iter().map(|pair| pair.0.clone()).collect())
                .unwrap_or_default();
            for name in names {
                let told = within(group, &name);
                if name.is_empty() || name.contains(['.', '[', ']']) {
                    self.add(
                        SiteSource::Kit,
                        group,
                        format!(
                            "{group}: a {what} is called \"{name}\", but a name has no point and no brackets"
                        ),
                    );
                    if let Some(KeyTree::Table(all)) = kit.at_mut(group) {
                        all.retain(|(key, _)| *key != name);
                    }
                    continue;
                }
                let Some(mut item) = kit.at(&told).cloned() else { continue };
                match group {
                    "ropes" => {
                        let mut extras = KeyTree::Table(Vec::new());
                        for key in ROPE_EXTRAS {
                            if let Some(value) = item.take(key) {
                                extras.put(key, value);
                            }
                        }
                        let length = extras.at("length").is_some();
                        self.mend_until_read::<KitRopeKeys>(&told, "", &mut extras, &[]);
                        if length && extras.at("length").is_none() {
                            // Whoever takes it has a length.
                            extras.put("length", KeyTree::Text("140 m".to_string()));
                        }
                        self.mend_until_read::<SiteRope>(&told, "", &mut item, &[]);
                        for (key, value) in extras.keys() {
                            item.put(key, value.clone());
                        }
                    }
                    "sheaves" => self.mend_until_read::<KitSheave>(&told, "", &mut item, &[]),
                    _ => self.mend_until_read::<SiteWinch>(&told, "winch", &mut item, &[]),
                }
                kit.put(&told, item);
            }
        }
    }

    /// What every site of this kit takes.
    pub(super) fn take_defaults(&mut self, tree: &mut KeyTree, kit: Option<&KeyTree>) {
        let Some(kit) = kit else { return };
        if let Some(name) = kit.at("name") {
            lay_under(tree, "document.kit", name, &SiteSource::Kit, "name", &mut self.origins);
        }
        if let Some(site) = kit.at("site") {
            for (key, value) in site.keys() {
                if matches!(key.as_str(), "kit" | "variant" | "without") {
                    self.add(
                        SiteSource::Kit,
                        &within("site", key),
                        format!("site.{key}: stands in a site file only"),
                    );
                } else {
                    lay_under(tree, key, value, &SiteSource::Kit, &within("site", key), &mut self.origins);
                }
            }
        }
    }

    /// Puts what the kit has in the place of its names.
    pub(super) fn take_from_kit(&mut self, tree: &mut KeyTree, kit: Option<&KeyTree>) {
        for (at, on_hand, marks) in ROPES {
            let Some((_, told, mut rope)) = self.named(tree, kit, at, "rope", "ropes") else { continue };
            for (key, goes) in [("length", Some(on_hand)), ("marks", marks), ("measured", None)] {
                if let (Some(value), Some(goes)) = (rope.take(key), goes) {
                    self.take(tree, goes, value, &within(&told, key));
                }
            }
            let own = tree.at(at).cloned();
            let beside: Vec<_> = own.iter().flat_map(KeyTree::keys).filter(|(key, _)| key != "kit").collect();
            let origins: Vec<_> = beside.iter().map(|(key, _)| self.origins.of(&within(at, key))).collect();
            tree.put(at, rope);
            self.origins.add(at, &SiteSource::Kit, &told);
            // What the site says of it beside its name.
            for ((key, value), (source, told)) in beside.into_iter().zip(origins) {
                lay_over(tree, &within(at, key), value, &source, &told, &mut self.origins);
            }
        }
        let redirects = tree.at("haul.redirects").map_or(0, |list| list.items().len());
        let redirects: Vec<_> = (0..redirects)
            .map(|i| (format!("haul.redirects[{i}].sheave"), format!("haul.redirects[{i}].efficiency")))
            .collect();
        let redirects = redirects.iter().map(|(at, efficiency)| {
            (at.as_str(), Some(efficiency.as_str()), Some("ratings.haul_redirect.sheave"))
        });
        for (at, efficiency, strength) in SHEAVES.into_iter().chain(redirects) {
            if let Some((_, told, sheave)) = self.named(tree, kit, at, "sheave", "sheaves") {
                tree.put(at, sheave);
                self.origins.add(at, &SiteSource::Kit, &told);
            }
            // A sheave that the site itself describes has the same keys.
            let (source, told) = self.origins.of(at);
            let Some(KeyTree::Table(_)) = tree.at(at) else { continue };
            for (key, goes) in [("efficiency", efficiency), ("strength", strength)] {
                let Some(value) = tree.take(&within(at, key)) else { continue };
                let told = within(&told, key);
                match goes {
                    None => {}
                    Some(goes) if source == SiteSource::Kit => self.take_least(tree, goes, value, &told),
                    Some(goes) if tree.at(goes).is_none() || self.origins.of(goes).0 == SiteSource::Kit => {
                        tree.put(goes, value);
                        self.origins.add(goes, &source, &told);
                    }
                    Some(goes) => {
                        self.add(
                            source.clone(),
                            &told,
                            format!("{told}: {goes} says it, too: leave one of them out"),
                        );
                    }
                }
            }
        }
        if let Some((_, told, winch)) = self.named(tree, kit, "winch", "winch", "winches") {
            tree.put("winch", winch);
            self.origins.add("winch", &SiteSource::Kit, &told);
        }
    }

    /// A value of the kit where the site has none of its own.
    fn take(&mut self, tree: &mut KeyTree, goes: &str, value: KeyTree, told: &str) {
        if tree.at(goes).is_none() || self.origins.of(goes).0 == SiteSource::Kit {
            tree.put(goes, value);
            self.origins.add(goes, &SiteSource::Kit, told);
        }
    }

    /// The same; where two sheaves of the kit share a place of the ratings, the weaker one counts.
    fn take_least(&mut self, tree: &mut KeyTree, goes: &str, value: KeyTree, told: &str) {
        let newtons = |tree: &KeyTree| tree.text().and_then(|text| Force::from_text(text).ok());
        let shared = goes == "ratings.haul_redirect.sheave";
        if shared
            && let (Some(own), Some(new)) = (tree.at(goes).and_then(newtons), newtons(&value))
            && own <= new
        {
            return;
        }
        self.take(tree, goes, value, told);
    }

    /// The thing of the kit that stands at a place by its name: "red", or `{ kit = "red", … }`. Its name, its path in the
    /// kit, and a copy. Nothing where none is named; a name that the kit doesn't have is told.
    fn named(
        &mut self,
        tree: &mut KeyTree,
        kit: Option<&KeyTree>,
        at: &str,
        what: &str,
        group: &str,
    ) -> Option<(String, String, KeyTree)> {
        let here = tree.at(at)?;
        let name = here.text().or_else(|| here.at("kit").and_then(KeyTree::text))?.to_string();
        let (source, told) = self.origins.of(at);
        let all = kit.and_then(|kit| kit.at(group)).map(KeyTree::keys).unwrap_or_default();
        if let Some((_, item)) = all.iter().find(|(key, _)| *key == name) {
            return Some((name.clone(), within(group, &name), item.clone()));
        }
        let key = self.shown(&source, at, &told);
        let why = if kit.is_none() {
            format!(
                "{key}: names the {what} \"{name}\", but the site names no kit: write kit = \"…\", the path of the kit file"
            )
        } else if all.is_empty() {
            format!("{key}: names the {what} \"{name}\", but the kit has no {group}")
        } else {
            let names: Vec<_> = all.iter().map(|(name, _)| format!("\"{name}\"")).collect();
            format!("{key}: the kit has no {what} \"{name}\"; it has {}", names.join(", "))
        };
        self.add(source, &told, why);
        self.mend_with_example(tree, at);
        if at == "track.rope" && tree.at("track.on_hand").is_none() {
            self.mend_with_example(tree, "track.on_hand");
        }
        None
    }
}
