//! A JSON Schema (draft 2020-12) of a struct, from its own source: types, names, optional keys, documentation.
//!
//! A derive of a schema crate can't see through the quantities, which are types of another crate: each field would need an
//! attribute beside the one that serde has. This reads the same source that serde's derive reads.

use crate::source::{Body, Kind, Source, Told, documentation};
use serde_json::{Map, Value, json};
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use syn::{Field, Fields, GenericArgument, PathArguments, Type};

/// Quantities: numbers in what goes out, texts with a unit in what comes in.
const QUANTITIES: [&str; 25] = [
    "Acceleration",
    "Angle",
    "Area",
    "ElectricCharge",
    "ElectricCurrent",
    "ElectricPotential",
    "ElectricalResistance",
    "Energy",
    "Force",
    "Length",
    "LineMass",
    "LineWeight",
    "Mass",
    "MotorConstant",
    "Power",
    "Pressure",
    "Ratio",
    "Stiffness",
    "TemperatureInterval",
    "ThermodynamicTemperature",
    "Time",
    "Torque",
    "TurningSpeed",
    "Velocity",
    "ForceRate",
];

/// Bands by the function that writes them: what stands behind low, expected and high.
const BANDS: [(&str, &str, bool); 3] =
    [("in_newtons", "_n", false), ("maybe_in_newtons", "_n", true), ("maybe_in_amperes", "_a", true)];

/// Which way the data goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Way {
    /// Written by serde.
    Out,
    /// Read by serde.
    In,
}

pub(crate) struct Deriver<'a> {
    source: &'a Source,
    way: Way,
    /// Types that aren't derived: their schema by name.
    by_hand: BTreeMap<&'static str, Value>,
    definitions: BTreeMap<String, Value>,
    /// Names given to types of one name in several files.
    names: BTreeMap<(String, PathBuf), String>,
    working: BTreeSet<String>,
}

type Types = BTreeMap<String, Value>;

impl<'a> Deriver<'a> {
    pub(crate) fn new(source: &'a Source, way: Way, by_hand: BTreeMap<&'static str, Value>) -> Self {
        Self {
            source,
            way,
            by_hand,
            definitions: BTreeMap::new(),
            names: BTreeMap::new(),
            working: BTreeSet::new(),
        }
    }

    /// The schema of a type by its name, with all that it refers to.
    pub(crate) fn schema(
        mut self,
        title: &str,
        root: &str,
        file: &Path,
        also: &[(&str, Value)],
        needs: &[&str],
    ) -> Value {
        let mut root = self.named(root, file, &[], &[]);
        // The root stands at the top.
        if let Some(name) =
            root.get("$ref").and_then(Value::as_str).and_then(|name| name.strip_prefix("#/$defs/"))
        {
            root = self.definitions.remove(name).unwrap();
        }
        let root = root.as_object_mut().unwrap();
        for (key, schema) in also {
            root["properties"].as_object_mut().unwrap().insert((*key).to_string(), schema.clone());
        }
        for need in needs {
            root["required"].as_array_mut().unwrap().push((*need).into());
        }
        let mut all = Map::new();
        all.insert("$schema".into(), "https://json-schema.org/draft/2020-12/schema".into());
        all.insert("title".into(), title.into());
        all.extend(std::mem::take(root));
        all.insert("$defs".into(), self.definitions.into_iter().collect::<Map<_, _>>().into());
        all.into()
    }

    pub(crate) fn named(&mut self, name: &str, file: &Path, before: &[String], arguments: &[Value]) -> Value {
        if let Some(schema) = self.by_hand.get(name) {
            return schema.clone();
        }
        let Some(kind) = self.source.find(name, file, before) else {
            panic!(
                "{}: the schema of `{name}` isn't known: derive Serialize for it, or give it in tests/schema/main.rs",
                file.display()
            )
        };
        let stem = kind.file.file_stem().unwrap_or_default().to_string_lossy();
        if let Some(schema) = self.by_hand.get(format!("{name} of {stem}").as_str()) {
            return schema.clone();
        }
        let told = Told::of(&kind.attributes);
        let instead =
            if self.way == Way::Out { told.get("into") } else { told.get("try_from").or(told.get("from")) };
        if let Some(instead) = instead
            && instead != "Words"
        {
            return self.named(instead, &kind.file.clone(), &[], &[]);
        }
        if !kind.parameters.is_empty() {
            let types = kind.parameters.iter().cloned().zip(arguments.iter().cloned()).collect();
            return self.body(kind, &told, &types);
        }
        let key = (kind.name.clone(), kind.file.clone());
        let known = self.names.get(&key).cloned();
        let name = known.unwrap_or_else(|| {
            let taken = self.names.values().any(|other| *other == kind.name);
            let folder = kind.file.parent().and_then(Path::file_name).unwrap_or_default().to_string_lossy();
            let stem = kind.file.file_stem().unwrap_or_default().to_string_lossy();
            let name = if taken { format!("{}_{folder}_{stem}", kind.name) } else { kind.name.clone() };
            self.names.insert(key, name.clone());
            name
        });
        if !self.definitions.contains_key(&name) && self.working.insert(name.clone()) {
            let schema = self.body(kind, &told, &Types::new());
            self.definitions.insert(name.clone(), schema);
        }
        json!({ "$ref": format!("#/$defs/{name}") })
    }

    fn body(&mut self, kind: &Kind, told: &Told, types: &Types) -> Value {
        let mut schema = match &kind.body {
            Body::Struct(Fields::Named(fields)) => {
                self.table(&kind.file, fields.named.iter(), told.get("rename_all"), types)
            }
            Body::Struct(Fields::Unnamed(fields)) if fields.unnamed.len() == 1 => {
                self.field(&kind.file, &fields.unnamed[0], types)
            }
            Body::Struct(Fields::Unnamed(fields)) => {
                let items: Vec<_> =
                    fields.unnamed.iter().map(|field| self.field(&kind.file, field, types)).collect();
                json!({ "type": "array", "prefixItems": items, "items": false, "minItems": items.len() })
            }
            Body::Struct(Fields::Unit) => json!({ "type": "null" }),
            Body::Enum(variants) => self.choice(kind, variants, told, types),
        };
        let said = documentation(&kind.attributes);
        if !said.is_empty() {
            schema["description"] = said.into();
        }
        schema
    }

    fn choice(&mut self, kind: &Kind, variants: &[syn::Variant], told: &Told, types: &Types) -> Value {
        let (mut words, mut tables) = (Vec::new(), Vec::new());
        for variant in variants {
            let own = Told::of(&variant.attrs);
            if own.has("skip") {
                continue;
            }
            let name = own.get("rename").map_or_else(
                || cased(&variant.ident.to_string(), told.get("rename_all"), true),
                str::to_string,
            );
            let held = match &variant.fields {
                Fields::Unit => {
                    words.push(Value::from(name));
                    continue;
                }
                Fields::Unnamed(fields) if fields.unnamed.len() == 1 => {
                    self.field(&kind.file, &fields.unnamed[0], types)
                }
                Fields::Unnamed(fields) => {
                    let items: Vec<_> =
                        fields.unnamed.iter().map(|field| self.field(&kind.file, field, types)).collect();
                    json!({ "type": "array", "prefixItems": items, "items": false, "minItems": items.len() })
                }
                Fields::Named(fields) => {
                    self.table(&kind.file, fields.named.iter(), own.get("rename_all"), types)
                }
            };
            if let Some(tag) = told.get("tag") {
                let mut held = if held.get("$ref").is_some() { json!({ "allOf": [held] }) } else { held };
                held["properties"][tag] = json!({ "const": name });
                tables.push(held);
                continue;
            }
            tables.push(json!({
                "type": "object", "properties": { (name.clone()): held }, "required": [name], "additionalProperties": false
            }));
        }
        if let Some(tag) = told.get("tag") {
            tables.extend(words.drain(..).map(|word| {
                json!({ "type": "object", "properties": { tag: { "const": word } }, "required": [tag], "additionalProperties": false })
            }));
        }
        if !words.is_empty() {
            tables.insert(0, json!({ "enum": words }));
        }
        if tables.len() == 1 { tables.remove(0) } else { json!({ "oneOf": tables }) }
    }

    fn table<'f>(
        &mut self,
        file: &Path,
        fields: impl Iterator<Item = &'f Field>,
        case: Option<&str>,
        types: &Types,
    ) -> Value {
        let (mut properties, mut required) = (Map::new(), Vec::new());
        for field in fields {
            let told = Told::of(&field.attrs);
            if told.has("skip") || (self.way == Way::Out && told.has("skip_serializing")) {
                continue;
            }
            let mut schema = self.field(file, field, types);
            if told.has("flatten") {
                let inner = self.resolved(&schema);
                properties.extend(inner["properties"].as_object().unwrap().clone());
                required.extend(inner["required"].as_array().unwrap().iter().cloned());
                continue;
            }
            let ident = field.ident.as_ref().unwrap().to_string();
            let name = told
                .get("rename")
                .map_or_else(|| cased(ident.trim_start_matches("r#"), case, false), str::to_string);
            let said = documentation(&field.attrs);
            if !said.is_empty() {
                schema = if schema.get("description").is_some() || schema.get("$ref").is_some() {
                    json!({ "description": said, "allOf": [schema] })
                } else {
                    schema["description"] = said.into();
                    schema
                };
            }
            let may_be_absent = match self.way {
                Way::Out => told.has("skip_serializing_if"),
                Way::In => told.has("default") || is_option(&field.ty),
            };
            if !may_be_absent {
                required.push(Value::from(name.clone()));
            }
            properties.insert(name, schema);
        }
        json!({ "type": "object", "properties": properties, "required": required, "additionalProperties": false })
    }

    /// What a reference stands for.
    fn resolved(&self, schema: &Value) -> Value {
        match schema.get("$ref").and_then(Value::as_str).and_then(|name| name.strip_prefix("#/$defs/")) {
            Some(name) => self.definitions[name].clone(),
            None => schema.clone(),
        }
    }

    fn field(&mut self, file: &Path, field: &Field, types: &Types) -> Value {
        let told = Told::of(&field.attrs);
        if self.way == Way::Out
            && let Some(writer) = told.get("serialize_with")
        {
            let writer = writer.rsplit("::").next().unwrap_or(writer);
            let Some((_, unit, maybe)) = BANDS.iter().find(|(name, ..)| *name == writer) else {
                panic!(
                    "{}: what `{writer}` writes isn't known: give it in tests/schema/derive.rs",
                    file.display()
                )
            };
            let keys = ["low", "expected", "high"].map(|key| format!("{key}{unit}"));
            let properties: Map<_, _> =
                keys.iter().map(|key| (key.clone(), json!({ "type": "number" }))).collect();
            let band = json!({ "type": "object", "properties": properties, "required": keys, "additionalProperties": false });
            return if *maybe { or_null(band) } else { band };
        }
        if told.get("with").is_some_and(|with| with.ends_with("as_text")) {
            return quantity(Way::In, &inner_name(&field.ty));
        }
        if told.get("with").is_some_and(|with| with.ends_with("as_text::option")) {
            let text = quantity(Way::In, &inner_name(&field.ty));
            return if self.way == Way::Out { or_null(text) } else { text };
        }
        self.of(file, &field.ty, types)
    }

    fn of(&mut self, file: &Path, ty: &Type, types: &Types) -> Value {
        match ty {
            Type::Reference(inner) => self.of(file, &inner.elem, types),
            Type::Array(array) => {
                let item = self.of(file, &array.elem, types);
                json!({ "type": "array", "items": item })
            }
            Type::Slice(slice) => {
                let item = self.of(file, &slice.elem, types);
                json!({ "type": "array", "items": item })
            }
            Type::Tuple(tuple) => {
                let items: Vec<_> = tuple.elems.iter().map(|item| self.of(file, item, types)).collect();
                json!({ "type": "array", "prefixItems": items, "items": false, "minItems": items.len() })
            }
            Type::Path(path) => {
                let mut before: Vec<_> =
                    path.path.segments.iter().map(|segment| segment.ident.to_string()).collect();
                let name = before.pop().unwrap();
                let arguments: Vec<&Type> = match &path.path.segments.last().unwrap().arguments {
                    PathArguments::AngleBracketed(all) => all
                        .args
                        .iter()
                        .filter_map(
                            |argument| if let GenericArgument::Type(ty) = argument { Some(ty) } else { None },
                        )
                        .collect(),
                    _ => Vec::new(),
                };
                if let Some(schema) = types.get(&name) {
                    return schema.clone();
                }
                match name.as_str() {
                    "Option" => {
                        let inner = self.of(file, arguments[0], types);
                        if self.way == Way::Out { or_null(inner) } else { inner }
                    }
                    "Vec" | "ArrayVec" => {
                        let item = self.of(file, arguments[0], types);
                        json!({ "type": "array", "items": item })
                    }
                    "Box" => self.of(file, arguments[0], types),
                    "Uncertain" => quantity(Way::In, &inner_name(arguments[0])),
                    "f64" => json!({ "type": "number" }),
                    "usize" | "u8" | "u16" | "u32" | "u64" => json!({ "type": "integer", "minimum": 0 }),
                    "i32" | "i64" => json!({ "type": "integer" }),
                    "bool" => json!({ "type": "boolean" }),
                    "String" | "str" => json!({ "type": "string" }),
                    name if QUANTITIES.contains(&name) => quantity(self.way, name),
                    name => {
                        let arguments: Vec<_> =
                            arguments.into_iter().map(|ty| self.of(file, ty, types)).collect();
                        self.named(name, file, &before, &arguments)
                    }
                }
            }
            other => panic!("{}: the schema of `{}` isn't known", file.display(), quote::quote!(#other)),
        }
    }
}

fn quantity(way: Way, name: &str) -> Value {
    match way {
        Way::Out => json!({ "type": "number" }),
        // A number and a unit; that it is a unit of the quantity, the library says.
        Way::In => json!({ "type": "string", "pattern": "^\\s*[+-]?[0-9].*[^0-9. ]\\s*$", "$comment": name }),
    }
}

fn or_null(schema: Value) -> Value {
    match schema.get("type").and_then(Value::as_str) {
        Some(kind @ ("number" | "integer" | "string" | "boolean"))
            if schema.as_object().unwrap().len() == 1 =>
        {
            json!({ "type": [kind, "null"] })
        }
        _ => json!({ "anyOf": [schema, { "type": "null" }] }),
    }
}

fn is_option(ty: &Type) -> bool {
    matches!(ty, Type::Path(path) if path.path.segments.last().is_some_and(|segment| segment.ident == "Option"))
}

/// The innermost name: `Force` of `Option<Force>`.
fn inner_name(ty: &Type) -> String {
    let Type::Path(path) = ty else { return String::new() };
    let segment = path.path.segments.last().unwrap();
    match &segment.arguments {
        PathArguments::AngleBracketed(all) => match all.args.first() {
            Some(GenericArgument::Type(ty)) => inner_name(ty),
            _ => segment.ident.to_string(),
        },
        _ => segment.ident.to_string(),
    }
}

/// A name as serde writes it.
fn cased(name: &str, case: Option<&str>, is_variant: bool) -> String {
    let mut words: Vec<String> = Vec::new();
    if is_variant {
        for letter in name.chars() {
            if letter.is_uppercase() || words.is_empty() {
                words.push(String::new());
            }
            words.last_mut().unwrap().extend(letter.to_lowercase());
        }
    } else {
        words = name.split('_').map(str::to_string).collect();
    }
    match case {
        None => name.to_string(),
        Some("kebab-case") => words.join("-"),
        Some("snake_case") => words.join("_"),
        Some("lowercase") => words.concat(),
        Some(other) => panic!("the case {other} isn't known here"),
    }
}
