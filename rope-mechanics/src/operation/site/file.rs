//! A site file as a whole: the site, the kit it names, its variants; and everything that is wrong with them in one go.

use super::missing::{example, unreadable};
use super::origin::{Origins, SiteSource, lay_over};
use super::tree::{KeyTree, TreeError, steps, within};
use super::{Site, tree::Step};
use crate::operation::SiteError;
use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec::Vec;
use core::fmt;
use serde::de::DeserializeOwned;

/// The most problems that are looked for.
const MOST: usize = 20;
/// The most variants of a site.
const MOST_VARIANTS: usize = 50;

/// The files that a site file names. The library opens none: whoever reads the site file gives their content.
pub trait FilesBeside {
    /// The kit file of that name.
    ///
    /// # Errors
    /// Why it can't be read, in words.
    fn kit(&mut self, name: &str) -> Result<KeyTree, String>;

    /// The text of the file of that name: points of the ground.
    ///
    /// # Errors
    /// Why it can't be read, in words.
    fn text(&mut self, name: &str) -> Result<String, String>;
}

/// No files: a site that names one is refused.
#[derive(Debug, Clone, Copy, Default)]
pub struct NoFiles;

impl FilesBeside for NoFiles {
    fn kit(&mut self, _: &str) -> Result<KeyTree, String> {
        Err("no files are read here: put the kit itself in the place of its name".to_string())
    }

    fn text(&mut self, _: &str) -> Result<String, String> {
        Err("no files are read here: put the points themselves in the place of the name".to_string())
    }
}

/// A key at fault, in which of the files, and what is wrong with it.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct SiteProblem {
    /// The file.
    pub source: SiteSource,
    /// The path of the key there, as in `frame.height`, `ropes.red.mass` of a kit or `variant[1].load.patient`.
    pub key: String,
    /// What is wrong with it, and what is allowed or what to change. It begins with the key.
    pub problem: String,
}

impl fmt::Display for SiteProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.source {
            SiteSource::Site => f.write_str(&self.problem),
            SiteSource::Kit => write!(f, "kit: {}", self.problem),
            SiteSource::Variant(name) => write!(f, "variant \"{name}\": {}", self.problem),
        }
    }
}

impl core::error::Error for SiteProblem {}

/// A site with another value of some keys, under a name of its own.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct SiteVariant {
    /// Its name.
    pub name: String,
    /// The whole site, as changed.
    pub site: Site,
    origins: Origins,
}

/// What a site file describes: the site, with what it takes from its kit, and its variants.
///
/// `kit` names the kit file, or holds the kit itself. Each `[[variant]]` has a `name`, any keys of a site in the place of
/// the site's own, and in `without` the keys to leave out.
///
/// ```
/// use rope_mechanics::operation::site::{KeyTree, NoFiles, SiteFile};
///
/// # fn read(text: &str) -> Result<(), Box<dyn std::error::Error>> {
/// let keys: KeyTree = toml::from_str(text)?;
/// match SiteFile::read(&keys, &mut NoFiles) {
///     Ok(file) => println!("{} and {} variants", file.site.title, file.variants.len()),
///     Err(problems) => problems.iter().for_each(|problem| println!("{problem}")),
/// }
/// # Ok(())
/// # }
/// ```
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct SiteFile {
    /// The site.
    pub site: Site,
    /// Its variants, in the order of the file.
    pub variants: Vec<SiteVariant>,
    origins: Origins,
}

impl SiteFile {
    /// Reads a site with its kit and its variants.
    ///
    /// # Errors
    /// Everything that is wrong, at most twenty problems: of each the file, the key, and what to change.
    pub fn read(keys: &KeyTree, files: &mut dyn FilesBeside) -> Result<Self, Vec<SiteProblem>> {
        let mut reading = Reading {
            files,
            problems: Vec::new(),
            origins: Origins::default(),
            example: example(),
            variant: None,
        };
        let file = reading.file(keys);
        match file {
            Some(file) if reading.problems.is_empty() => Ok(file),
            _ => Err(reading.problems),
        }
    }

    /// What is wrong with a key of the site as it was studied, by the file that the key stands in.
    #[must_use]
    pub fn told(&self, why: &SiteError) -> SiteProblem {
        told(&self.origins, why)
    }
}

impl SiteVariant {
    /// What is wrong with a key of the variant as it was studied, by the file that the key stands in.
    #[must_use]
    pub fn told(&self, why: &SiteError) -> SiteProblem {
        let problem = told(&self.origins, why);
        match problem.source {
            // The variant made it wrong, or it would have been told before.
            SiteSource::Site => SiteProblem { source: SiteSource::Variant(self.name.clone()), ..problem },
            _ => problem,
        }
    }
}

fn told(origins: &Origins, why: &SiteError) -> SiteProblem {
    let (source, key) = origins.of(&why.key);
    let shown = if matches!(source, SiteSource::Variant(_)) { &why.key } else { &key };
    SiteProblem { problem: format!("{shown}: {}", why.problem), source, key }
}

/// A site file while it is read.
pub(super) struct Reading<'a> {
    pub(super) files: &'a mut dyn FilesBeside,
    problems: Vec<SiteProblem>,
    pub(super) origins: Origins,
    /// A value that can be read, for each key that a site can't do without.
    example: KeyTree,
    /// The variant that is read.
    variant: Option<String>,
}

impl Reading<'_> {
    /// A problem, once.
    pub(super) fn add(&mut self, source: SiteSource, key: &str, problem: String) {
        let known = self.problems.iter().any(|known| known.source == source && known.key == key);
        if !known && self.problems.len() < MOST {
            self.problems.push(SiteProblem { source, key: key.to_string(), problem });
        }
    }

    /// The key as it is shown: within a variant, as a key of the site.
    pub(super) fn shown(&self, source: &SiteSource, path: &str, told: &str) -> String {
        if matches!(source, SiteSource::Variant(_)) { path.to_string() } else { told.to_string() }
    }

    /// A problem with a key of the site as it is read, by where it comes from.
    pub(super) fn add_at(&mut self, path: &str, why: impl fmt::Display) {
        let (source, told) = self.origins.of(path);
        // What only shows in a variant is the variant's.
        let source = match (&self.variant, source) {
            (Some(variant), SiteSource::Site) => SiteSource::Variant(variant.clone()),
            (_, source) => source,
        };
        let shown = self.shown(&source, path, &told);
        let why = why.to_string();
        let colon = if why.starts_with("is missing") { "" } else { ":" };
        self.add(source, &told, format!("{shown}{colon} {why}"));
    }

    /// What a tree at a path is refused for; the path of the key at fault.
    pub(super) fn add_found(&mut self, at: &str, why: TreeError) -> String {
        let (path, problem) = found(&TreeError { path: within(at, &why.path), why: why.why });
        let said = problem.strip_prefix(path.as_str()).unwrap_or(&problem);
        self.add_at(&path, said.strip_prefix(": ").unwrap_or(said.trim_start()));
        path
    }

    fn file(&mut self, keys: &KeyTree) -> Option<SiteFile> {
        if !matches!(keys, KeyTree::Table(_)) {
            self.add(SiteSource::Site, "site", "a site file is a table of keys".to_string());
            return None;
        }
        let mut tree = keys.clone();
        let kit = self.kit_of(&mut tree);
        let variants = tree.take("variant");
        self.take_defaults(&mut tree, kit.as_ref());
        self.leave_out(&mut tree, "without");
        self.take_from_kit(&mut tree, kit.as_ref());
        self.ground(&mut tree);
        let site = self.site(&mut tree);
        let origins = self.origins.clone();

        let mut all: Vec<SiteVariant> = Vec::new();
        match variants {
            None => {}
            Some(KeyTree::List(list)) if list.len() <= MOST_VARIANTS => {
                for (i, keys) in list.iter().enumerate() {
                    self.origins = origins.clone();
                    let path = format!("variant[{i}]");
                    let Some(name) = self.name_of(keys, &path) else { continue };
                    if all.iter().any(|other| other.name == name) {
                        self.add(
                            SiteSource::Site,
                            &path,
                            format!("{path}: another variant is called \"{name}\", too"),
                        );
                        continue;
                    }
                    let site = self.variant(tree.clone(), keys, &path, &name, kit.as_ref());
                    all.extend(site.map(|site| SiteVariant { name, site, origins: self.origins.clone() }));
                    self.variant = None;
                }
            }
            Some(KeyTree::List(list)) => self.add(
                SiteSource::Site,
                "variant",
                format!("variant: holds {}, but must hold at most {MOST_VARIANTS}", list.len()),
            ),
            Some(_) => self.add(
                SiteSource::Site,
                "variant",
                "variant: is a list of tables: write [[variant]] above each".to_string(),
            ),
        }
        Some(SiteFile { site: site?, variants: all, origins })
    }

    /// The kit that the site names or holds.
    fn kit_of(&mut self, tree: &mut KeyTree) -> Option<KeyTree> {
        let mut kit = match tree.take("kit")? {
            KeyTree::Nothing => return None,
            KeyTree::Text(name) => match self.files.kit(&name) {
                Ok(kit) => kit,
                Err(why) => {
                    self.add(SiteSource::Site, "kit", format!("kit: \"{name}\": {why}"));
                    // A kit of which nothing is known: its names are not told as wrong one by one.
                    self.forgive_names(tree);
                    return None;
                }
            },
            kit @ KeyTree::Table(_) => kit,
            _ => {
                self.add(
                    SiteSource::Site,
                    "kit",
                    "kit: is the path of the kit file, or the kit itself".to_string(),
                );
                return None;
            }
        };
        self.check_kit(&mut kit);
        Some(kit)
    }

    fn name_of(&mut self, keys: &KeyTree, path: &str) -> Option<String> {
        match keys.at("name").and_then(KeyTree::text) {
            Some(name) if !name.trim().is_empty() => Some(name.to_string()),
            _ => {
                let key = within(path, "name");
                self.add(
                    SiteSource::Site,
                    &key,
                    format!("{key} is missing: what the variant is called, as in \"two attendants\""),
                );
                None
            }
        }
    }

    /// The site as a variant changes it.
    fn variant(
        &mut self,
        mut tree: KeyTree,
        keys: &KeyTree,
        path: &str,
        name: &str,
        kit: Option<&KeyTree>,
    ) -> Option<Site> {
        let source = SiteSource::Variant(name.to_string());
        self.variant = Some(name.to_string());
        if let Some(without) = keys.at("without") {
            tree.put("without", without.clone());
            self.origins.add("without", &source, &within(path, "without"));
            self.leave_out(&mut tree, "without");
        }
        let title = tree.at("title").and_then(KeyTree::text).map(|title| format!("{title}: {name}"));
        if let Some(title) = title {
            tree.put("title", KeyTree::Text(title));
        }
        for (key, value) in keys.keys() {
            match key.as_str() {
                "name" | "without" => {}
                "kit" | "variant" => {
                    self.add(
                        source.clone(),
                        &within(path, key),
                        format!("{key}: a variant has no {key} of its own"),
                    );
                }
                _ => lay_over(&mut tree, key, value, &source, &within(path, key), &mut self.origins),
            }
        }
        self.take_from_kit(&mut tree, kit);
        self.ground(&mut tree);
        self.site(&mut tree)
    }

    /// Takes out the keys that a list names.
    fn leave_out(&mut self, tree: &mut KeyTree, list: &str) {
        let Some(names) = tree.take(list) else { return };
        if !matches!(names, KeyTree::List(_)) {
            self.add_at(list, "is a list of keys to leave out, as in [\"belay\", \"limits.current\"]");
        }
        for (i, name) in names.items().iter().enumerate() {
            let at = format!("{list}[{i}]");
            match name.text() {
                Some(name) if tree.take(name).is_some() => {}
                Some(name) => self.add_at(&at, format!("there is no \"{name}\" to leave out")),
                None => self.add_at(&at, "is not a key in quotes"),
            }
        }
    }

    /// The site of these keys, every problem told; what is wrong is mended on the way, so that the next one shows.
    fn site(&mut self, tree: &mut KeyTree) -> Option<Site> {
        let most = self.problems.len() + MOST;
        for _ in self.problems.len()..=most {
            let why = match tree.read::<Site>() {
                Ok(site) => return Some(site),
                Err(why) => why,
            };
            let found = found(&why);
            let (source, told) = self.origins.of(&found.0);
            let source = match (&self.variant, source) {
                (Some(variant), SiteSource::Site) => SiteSource::Variant(variant.clone()),
                (_, source) => source,
            };
            let shown = self.shown(&source, &found.0, &told);
            let problem = match found.1.strip_prefix(found.0.as_str()) {
                Some(rest) => format!("{shown}{rest}"),
                None => found.1,
            };
            self.add(source, &told, problem);
            if !self.mend_with_example(tree, &found.0) {
                return None;
            }
        }
        None
    }

    /// Reads something of the kit until nothing is wrong with it; keys that are read elsewhere are left out. `known_as` is
    /// the key of a site that holds the same.
    pub(super) fn mend_until_read<T: DeserializeOwned>(
        &mut self,
        at: &str,
        known_as: &str,
        tree: &mut KeyTree,
        elsewhere: &[&str],
    ) {
        let mut own = tree.clone();
        for key in elsewhere {
            own.take(key);
        }
        for _ in 0..MOST {
            let Err(why) = own.read::<T>() else { break };
            let (path, problem) = found(&TreeError { path: within(known_as, &why.path), why: why.why });
            let key = path.strip_prefix(known_as).unwrap_or("").trim_start_matches('.');
            let told = within(at, key);
            let problem = match problem.strip_prefix(path.as_str()) {
                Some(rest) => format!("{told}{rest}"),
                None if told.is_empty() => problem,
                None => format!("{told}: {problem}"),
            };
            self.add(SiteSource::Kit, &told, problem);
            let good = self.example.at(known_as).filter(|_| !known_as.is_empty());
            let mended = match good.and_then(|good| good.at(key)) {
                Some(good) if !key.is_empty() && own.at(key) != Some(good) => own.put(key, good.clone()),
                _ => own.take(key).is_some(),
            };
            if !mended {
                own = good.cloned().unwrap_or(KeyTree::Table(Vec::new()));
            }
        }
        for key in elsewhere {
            if let Some(value) = tree.take(key) {
                own.put(key, value);
            }
        }
        *tree = own;
    }

    /// Gives a key that is at fault a value that can be read, or takes it out. False if neither can be done.
    pub(super) fn mend_with_example(&self, tree: &mut KeyTree, path: &str) -> bool {
        let good = steps(path).try_fold(&self.example, |example, step| match (step, example) {
            (Step::Key(key), KeyTree::Table(keys)) => {
                keys.iter().find(|(name, _)| name == key).map(|pair| &pair.1)
            }
            // The first item stands for all.
            (Step::Item(i), KeyTree::List(items)) => items.get(i).or_else(|| items.first()),
            _ => None,
        });
        match good {
            Some(good) if tree.at(path) != Some(good) => tree.put(path, good.clone()),
            _ => match path.rsplit_once('[') {
                // Of a list without an example, all goes.
                Some((list, item)) if item.ends_with(']') => tree.take(list).is_some(),
                _ => tree.take(path).is_some(),
            },
        }
    }

    /// With a kit that can't be read, its names stand for things that can be.
    fn forgive_names(&self, tree: &mut KeyTree) {
        for at in ["track.rope", "haul.rope", "belay.rope", "winch", "track.on_hand"] {
            let named = tree.at(at).is_some_and(|here| here.text().is_some() || here.at("kit").is_some());
            if named || (at == "track.on_hand" && tree.at("track").is_some() && tree.at(at).is_none()) {
                self.mend_with_example(tree, at);
            }
        }
    }
}

/// The key at fault by its whole path, and what is wrong with it.
fn found(why: &TreeError) -> (String, String) {
    let path = if why.path.is_empty() { "." } else { &why.path };
    let told = unreadable(path, &why.why);
    // "[frame] is missing: …", of the whole file.
    if told.key == "site"
        && let Some((name, _)) = told.problem.trim_start_matches('[').split_once([' ', ']'])
        && told.problem.contains(" is missing")
    {
        let key = name.split('.').next().unwrap_or(name).to_string();
        return (key, told.problem);
    }
    (told.key, told.problem)
}
