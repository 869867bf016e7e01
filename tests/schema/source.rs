//! The library's own structs and enumerations, as they stand in its source.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use syn::{Attribute, Fields, Generics, Item, Meta, UseTree};

/// A struct or an enumeration with what serde is told of it.
pub(crate) struct Kind {
    pub(crate) name: String,
    pub(crate) file: PathBuf,
    pub(crate) attributes: Vec<Attribute>,
    pub(crate) parameters: Vec<String>,
    pub(crate) body: Body,
}

pub(crate) enum Body {
    Struct(Fields),
    Enum(Vec<syn::Variant>),
}

/// All of the library.
pub(crate) struct Source {
    kinds: Vec<Kind>,
    /// Of each file, the path that a name is taken from.
    uses: BTreeMap<PathBuf, BTreeMap<String, Vec<String>>>,
}

impl Source {
    /// Reads every file below a folder.
    pub(crate) fn read(folder: &Path) -> Self {
        let mut source = Self { kinds: Vec::new(), uses: BTreeMap::new() };
        source.folder(folder);
        source
    }

    fn folder(&mut self, folder: &Path) {
        let mut entries: Vec<_> =
            std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
        entries.sort();
        for path in entries {
            if path.is_dir() {
                self.folder(&path);
            } else if path.extension().is_some_and(|extension| extension == "rs") {
                let text = std::fs::read_to_string(&path).unwrap();
                let file = syn::parse_file(&text).unwrap_or_else(|why| panic!("{}: {why}", path.display()));
                self.items(&path, file.items);
            }
        }
    }

    fn items(&mut self, file: &Path, items: Vec<Item>) {
        for item in items {
            match item {
                Item::Struct(item) => {
                    self.add(file, &item.ident, item.attrs, &item.generics, Body::Struct(item.fields));
                }
                Item::Enum(item) => {
                    let variants = item.variants.into_iter().collect();
                    self.add(file, &item.ident, item.attrs, &item.generics, Body::Enum(variants));
                }
                Item::Use(item) => {
                    let all = self.uses.entry(file.to_owned()).or_default();
                    names(&item.tree, &mut Vec::new(), all);
                }
                Item::Mod(item) => {
                    self.items(file, item.content.map(|content| content.1).unwrap_or_default())
                }
                _ => {}
            }
        }
    }

    fn add(
        &mut self,
        file: &Path,
        name: &syn::Ident,
        attributes: Vec<Attribute>,
        generics: &Generics,
        body: Body,
    ) {
        let parameters = generics.type_params().map(|parameter| parameter.ident.to_string()).collect();
        self.kinds.push(Kind { name: name.to_string(), file: file.to_owned(), attributes, parameters, body });
    }

    /// What a name means in a file, or after these words of a path.
    pub(crate) fn find(&self, name: &str, file: &Path, before: &[String]) -> Option<&Kind> {
        let all: Vec<_> = self.kinds.iter().filter(|kind| kind.name == name && is_serialised(kind)).collect();
        if before.is_empty()
            && let Some(own) = all.iter().find(|kind| kind.file == file)
        {
            return Some(own);
        }
        let path = if before.is_empty() {
            self.uses.get(file).and_then(|uses| uses.get(name)).cloned().unwrap_or_default()
        } else {
            before.to_vec()
        };
        // The more of the path's words lead to its file, the better; then the nearer one.
        let words = |kind: &Kind| {
            let parts: Vec<_> = kind
                .file
                .iter()
                .map(|part| part.to_string_lossy().trim_end_matches(".rs").to_string())
                .collect();
            path.iter().filter(|word| parts.contains(word)).count()
        };
        let near = |kind: &Kind| kind.file.iter().zip(file).take_while(|(a, b)| a == b).count();
        all.into_iter().max_by_key(|kind| (words(kind), near(kind)))
    }
}

fn is_serialised(kind: &Kind) -> bool {
    let text: String =
        kind.attributes.iter().map(|attribute| quote::quote!(#attribute).to_string()).collect();
    text.contains("Serialize") || text.contains("Deserialize") || kind.name == "Place"
}

fn names(tree: &UseTree, path: &mut Vec<String>, all: &mut BTreeMap<String, Vec<String>>) {
    match tree {
        UseTree::Path(step) => {
            path.push(step.ident.to_string());
            names(&step.tree, path, all);
            path.pop();
        }
        UseTree::Name(name) => {
            all.insert(name.ident.to_string(), path.clone());
        }
        UseTree::Rename(name) => {
            all.insert(name.rename.to_string(), path.clone());
        }
        UseTree::Group(group) => group.items.iter().for_each(|tree| names(tree, path, all)),
        UseTree::Glob(_) => {}
    }
}

/// What serde is told: `rename = "…"`, `default`, …, whether straight or behind a feature.
#[derive(Debug, Default)]
pub(crate) struct Told(BTreeMap<String, String>);

impl Told {
    pub(crate) fn of(attributes: &[Attribute]) -> Self {
        let mut told = Self::default();
        for attribute in attributes {
            told.meta(&attribute.meta);
        }
        told
    }

    fn meta(&mut self, meta: &Meta) {
        let Meta::List(list) = meta else { return };
        let inner = || {
            let parser = syn::punctuated::Punctuated::<Meta, syn::Token![,]>::parse_terminated;
            list.parse_args_with(parser).unwrap_or_default()
        };
        if list.path.is_ident("cfg_attr") {
            inner().iter().for_each(|meta| self.meta(meta));
        } else if list.path.is_ident("serde") {
            for meta in inner() {
                let key = meta.path().get_ident().map(ToString::to_string).unwrap_or_default();
                let value = match &meta {
                    Meta::NameValue(pair) => match &pair.value {
                        syn::Expr::Lit(syn::ExprLit { lit: syn::Lit::Str(text), .. }) => text.value(),
                        other => quote::quote!(#other).to_string(),
                    },
                    _ => String::new(),
                };
                self.0.insert(key, value);
            }
        }
    }

    pub(crate) fn get(&self, key: &str) -> Option<&str> {
        self.0.get(key).map(String::as_str)
    }

    pub(crate) fn has(&self, key: &str) -> bool {
        self.0.contains_key(key)
    }
}

/// The documentation of an item, on one line.
pub(crate) fn documentation(attributes: &[Attribute]) -> String {
    let mut said = String::new();
    for attribute in attributes {
        if let Meta::NameValue(pair) = &attribute.meta
            && pair.path.is_ident("doc")
            && let syn::Expr::Lit(syn::ExprLit { lit: syn::Lit::Str(line), .. }) = &pair.value
        {
            let line = line.value();
            let line = line.trim();
            // The first paragraph.
            if line.is_empty() {
                break;
            }
            if !said.is_empty() {
                said.push(' ');
            }
            said += line;
        }
    }
    plain(&said)
}

/// Without the links of the documentation: [`Study::doubt`](…) is Study::doubt.
fn plain(text: &str) -> String {
    let mut said = String::new();
    let mut rest = text;
    while let Some(at) = rest.find('[') {
        let (before, from) = rest.split_at(at);
        said += before;
        match from.find(']') {
            Some(end) if from[1..end].starts_with('`') || from[end..].starts_with("](") => {
                said += &from[1..end];
                rest = &from[end + 1..];
                if rest.starts_with('(') {
                    rest = rest.find(')').map_or("", |close| &rest[close + 1..]);
                }
            }
            _ => {
                said.push('[');
                rest = &from[1..];
            }
        }
    }
    (said + rest).replace('`', "")
}
