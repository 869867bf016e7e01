//! The schemas of site and kit file, and the annotated examples: every key stands in them.

use crate::derive::{Deriver, Way};
use crate::{at, compare, faults, source, valid};
use rope_checks::top;
use rope_mechanics::operation::site::{FilesBeside, KeyTree, SiteFile};
use serde_json::{Map, Value, json};
use std::collections::{BTreeMap, BTreeSet};

pub(crate) fn example(name: &str) -> String {
    std::fs::read_to_string(top().join("rope-mechanics/src/operation/site/examples").join(name)).unwrap()
}

/// The schema of a site file, and that of a kit file.
fn schemas() -> (Value, Value) {
    let source = source();
    let text = || json!({ "type": "string" });
    let by_hand = BTreeMap::from([
        ("Point2", json!({ "type": "array", "items": text(), "minItems": 2, "maxItems": 2 })),
        ("Point3", json!({ "type": "array", "items": text(), "minItems": 3, "maxItems": 3 })),
    ]);
    let mut deriver = Deriver::new(&source, Way::In, by_hand);
    for (name, file) in [
        ("GroundKeys", "operation/site/ground.rs"),
        ("KitKeys", "operation/site/kit.rs"),
        ("KitRopeKeys", "operation/site/kit.rs"),
        ("KitSheave", "operation/site/kit.rs"),
    ] {
        let _ = deriver.named(name, &at(file), &[], &[]);
    }
    let mut site =
        deriver.schema("A site file of rope-mechanics", "SiteKeys", &at("operation/site/mod.rs"), &[], &[]);
    let mut definitions = site["$defs"].take();
    let mut kit = definitions.as_object_mut().unwrap().remove("KitKeys").unwrap();
    let extras = definitions.as_object_mut().unwrap().remove("KitRopeKeys").unwrap();

    // A rope or a sheave may be one of the kit, with or without keys of its own.
    let sheave = definitions["KitSheave"]["properties"].clone();
    definitions["SiteSheave"]["properties"] = sheave;
    let mut kit_rope = definitions["SiteRope"].clone();
    kit_rope["properties"].as_object_mut().unwrap().extend(extras["properties"].as_object().unwrap().clone());
    let named = json!({ "type": "string", "description": "Its name in the kit." });
    definitions["SiteRope"]["properties"]["kit"] = named.clone();
    definitions["KitRope"] = kit_rope;
    for value in [&mut site["properties"], &mut definitions] {
        by_name(value, &named);
    }
    let mut point = definitions["GroundKeys"]["properties"]["points"].clone();
    point["description"] = "The ground from behind the frame to beyond the far anchor, as [x, z].".into();
    site["properties"]["ground"] = json!({ "anyOf": [point, { "$ref": "#/$defs/GroundKeys" }] });
    // What a site leaves out its kit may have; the library says what is missing.
    without_required(&mut site);
    without_required(&mut definitions);

    let keys = site["properties"].as_object().unwrap().clone();
    let mut more = keys.clone();
    more.insert("kit".into(), json!({ "description": "The path of the kit file, or the kit itself.", "type": ["string", "object"] }));
    let without =
        json!({ "description": "Keys to leave out.", "type": "array", "items": { "type": "string" } });
    more.insert("without".into(), without.clone());
    let mut variant = keys.clone();
    variant.insert("name".into(), json!({ "description": "What the variant is called.", "type": "string" }));
    variant.insert("without".into(), without);
    more.insert(
        "variant".into(),
        json!({ "type": "array", "items": { "type": "object", "properties": variant, "required": ["name"], "additionalProperties": false } }),
    );
    site["properties"] = more.into();
    site["$defs"] = definitions.clone();

    let group = |of: Value| json!({ "type": "object", "additionalProperties": of });
    kit["properties"]["ropes"] = group(json!({ "$ref": "#/$defs/KitRope" }));
    kit["properties"]["sheaves"] = group(json!({ "$ref": "#/$defs/KitSheave" }));
    kit["properties"]["winches"] = group(json!({ "$ref": "#/$defs/WinchKeys" }));
    kit["properties"]["site"] =
        json!({ "type": "object", "properties": keys, "additionalProperties": false });
    without_required(&mut kit);
    let mut whole = Map::new();
    whole.insert("$schema".into(), site["$schema"].clone());
    whole.insert("title".into(), "A kit file of rope-mechanics".into());
    whole.extend(kit.as_object().unwrap().clone());
    whole.insert("$defs".into(), definitions);
    (site, whole.into())
}

/// A name may stand wherever a thing of the kit may.
fn by_name(value: &mut Value, named: &Value) {
    match value {
        Value::Object(keys) => {
            let reference = keys.get("$ref").and_then(Value::as_str).unwrap_or_default();
            let of_kit = ["SiteRope", "SiteSheave", "WinchKeys"]
                .iter()
                .any(|name| reference == format!("#/$defs/{name}"));
            if of_kit {
                *value = json!({ "anyOf": [value.clone(), named.clone()] });
            } else {
                keys.values_mut().for_each(|value| by_name(value, named));
            }
        }
        Value::Array(items) => items.iter_mut().for_each(|item| by_name(item, named)),
        _ => {}
    }
}

fn without_required(value: &mut Value) {
    match value {
        Value::Object(keys) => {
            if keys.get("required").is_some_and(Value::is_array) {
                keys.remove("required");
            }
            keys.values_mut().for_each(without_required);
        }
        Value::Array(items) => items.iter_mut().for_each(without_required),
        _ => {}
    }
}

/// The keys of a table and of all that it refers to that stand in a file: the table's name, and the key.
fn standing(
    value: &Value,
    schema: &Value,
    table: &str,
    definitions: &Value,
    seen: &mut BTreeSet<(String, String)>,
) {
    if let Some(name) =
        schema.get("$ref").and_then(Value::as_str).and_then(|name| name.strip_prefix("#/$defs/"))
    {
        standing(value, &definitions[name], name, definitions, seen);
    }
    for list in ["anyOf", "oneOf", "allOf"] {
        for inner in schema.get(list).and_then(Value::as_array).into_iter().flatten() {
            standing(value, inner, table, definitions, seen);
        }
    }
    match value {
        Value::Object(keys) => {
            for (key, value) in keys {
                if let Some(inner) = schema.get("properties").and_then(|known| known.get(key)) {
                    seen.insert((table.to_string(), key.clone()));
                    let within = if inner.get("properties").is_some() { key.as_str() } else { table };
                    standing(value, inner, within, definitions, seen);
                } else if let Some(inner) =
                    schema.get("additionalProperties").filter(|inner| inner.is_object())
                {
                    standing(value, inner, table, definitions, seen);
                }
            }
        }
        Value::Array(items) => {
            for item in items {
                if let Some(inner) = schema.get("items").filter(|inner| inner.is_object()) {
                    standing(item, inner, table, definitions, seen);
                }
            }
        }
        _ => {}
    }
}

pub(crate) struct Beside;

impl FilesBeside for Beside {
    fn kit(&mut self, name: &str) -> Result<KeyTree, String> {
        assert_eq!(name, "kit.toml");
        Ok(toml::from_str(&example(name)).unwrap())
    }
    fn text(&mut self, name: &str) -> Result<String, String> {
        assert_eq!(name, "ground.csv");
        Ok("slope [m], angle [deg]\n".replace("slope [m], angle [deg]", "x [m], z [m]")
            + "-9, 0.3\n21, -16.4\n58, -29.8\n")
    }
}

#[test]
fn every_key_of_site_and_kit_stands_in_an_annotated_example() {
    let (site, kit) = schemas();
    compare("site.schema.json", &site);
    compare("kit.schema.json", &kit);
    for schema in [&site, &kit] {
        jsonschema::draft202012::meta::validate(schema)
            .unwrap_or_else(|why| panic!("the schema is none: {why}"));
    }
    let json = |name: &str| -> Value { toml::from_str(&example(name)).unwrap() };
    for (name, schema) in [("site.toml", &site), ("kit.toml", &kit)] {
        let example = json(name);
        valid(schema, &example);
        let mut seen = BTreeSet::new();
        let definitions = &schema["$defs"];
        standing(&example, schema, "", definitions, &mut seen);
        // A variant has the keys of a site.
        for variant in example.get("variant").and_then(Value::as_array).into_iter().flatten() {
            standing(variant, schema, "", definitions, &mut seen);
        }
        let tables = definitions.as_object().unwrap().iter().map(|(name, table)| (name.as_str(), table));
        let mut missing = Vec::new();
        for (table, schema) in tables.chain([("", schema)]) {
            // What a kit shares with a site, the site's example shows.
            if name == "kit.toml" && !matches!(table, "" | "KitRope" | "KitSheave") {
                continue;
            }
            if name == "site.toml" && matches!(table, "KitRope" | "KitSheave") {
                continue;
            }
            for key in
                schema.get("properties").and_then(Value::as_object).into_iter().flatten().map(|pair| pair.0)
            {
                if !seen.contains(&(table.to_string(), key.clone())) {
                    missing.push(format!("{table}.{key}"));
                }
            }
        }
        assert!(missing.is_empty(), "examples/{name} lacks {missing:#?}");
    }
    // Schemas that take a file with an unknown key are none.
    for (name, schema) in [("site.toml", &site), ("kit.toml", &kit)] {
        let mut broken = json(name);
        broken["frame_"] = json!({});
        assert!(!faults(schema, &broken).is_empty());
    }
    let mut broken = json("site.toml");
    broken["track"]["knots"] = 2.into();
    assert!(!faults(&site, &broken).is_empty());
    broken = json("site.toml");
    broken["variant"][0]["far_anchor"] = json!({ "y": "1 m" });
    assert!(!faults(&site, &broken).is_empty());
}

#[test]
fn the_examples_are_read_with_all_their_variants() {
    let keys: KeyTree = toml::from_str(&example("site.toml")).unwrap();
    let file = SiteFile::read(&keys, &mut Beside).unwrap_or_else(|why| {
        panic!("{}", why.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))
    });
    assert!(file.variants.len() > 10);
    let go_on = |_, _| core::ops::ControlFlow::<()>::Continue(());
    let asked = rope_mechanics::operation::Asked::PLAIN;
    let found = rope_mechanics::operation::solve_file_asked(&file, &asked, go_on).unwrap();
    let core::ops::ControlFlow::Continue(study) = found else { panic!("stopped") };
    let not: Vec<_> = study.variants.iter().filter(|row| row.found.is_none()).collect();
    assert!(not.is_empty(), "{not:#?}");
}
