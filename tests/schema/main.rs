//! The schemas of what goes out and what comes in: made from the library's source, committed, and held against real files.
//!
//! After a change of what a study, a site file or a kit file holds: `UPDATE_SCHEMA=1 cargo test -p rope-checks --test schema`.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test that can't go on has failed"
)]

mod derive;
mod keys;
mod ranges;
mod source;

use derive::{Deriver, Way};
use rope_checks::top;
use rope_mechanics::operation::site::{KeyTree, NoFiles, SiteFile};
use rope_mechanics::operation::{self, solve_file};
use serde_json::{Value, json};
use source::Source;
use std::collections::BTreeMap;
use std::path::PathBuf;

fn source() -> Source {
    Source::read(&top().join("rope-mechanics/src"))
}

fn at(path: &str) -> PathBuf {
    top().join("rope-mechanics/src").join(path)
}

fn study_schema(source: &Source) -> Value {
    // Written by hand in the library, and so here.
    let by_hand = BTreeMap::from([
        ("Place of place", json!({ "type": "string", "pattern": "^[a-z]+(-[a-z0-9]+)*$" })),
        ("TackleKind", json!({ "enum": ["1:1", "2:1", "3:1"] })),
        (
            "Mark",
            json!({ "oneOf": [
            { "enum": ["common-practice", "memory", "given", "choice"] },
            { "type": "object", "properties": { "read": { "type": "string" } }, "required": ["read"], "additionalProperties": false }
        ] }),
        ),
    ]);
    let file = at("operation/study.rs");
    Deriver::new(source, Way::Out, by_hand).schema(
        "A study of rope-mechanics (study.json)",
        "Study",
        &file,
        &[],
        &[],
    )
}

/// A schema as it is committed.
fn compare(name: &str, schema: &Value) {
    let path = top().join("schemas").join(name);
    let text = serde_json::to_string_pretty(schema).unwrap() + "\n";
    if std::env::var_os("UPDATE_SCHEMA").is_some() {
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(&path, &text).unwrap();
    }
    assert!(
        std::fs::read_to_string(&path).unwrap_or_default() == text,
        "schemas/{name} is out of date: UPDATE_SCHEMA=1 cargo test -p rope-checks --test schema"
    );
}

/// What a validator of its own says of it.
fn faults(schema: &Value, document: &Value) -> Vec<String> {
    let validator = jsonschema::draft202012::new(schema).unwrap();
    validator.iter_errors(document).map(|why| format!("{}: {why}", why.instance_path())).collect()
}

#[track_caller]
fn valid(schema: &Value, document: &Value) {
    let faults = faults(schema, document);
    assert!(
        faults.is_empty(),
        "{}",
        faults.iter().take(5).map(|s| &s[..s.len().min(600)]).collect::<Vec<_>>().join("\n")
    );
}

/// A study with every part that a file can ask for.
fn full_study() -> Value {
    let text = std::fs::read_to_string(top().join("examples/preplan-report/demo.toml")).unwrap();
    let text = text.replacen("positions = 200", "positions = 12", 1)
        + "\n[doubt]\nsamples = 64\nparts = 4\n[[variant]]\nname = \"heavy\"\nload.patient = \"120 kg\"\n[[variant]]\nname = \"none\"\nframe.height = \"70 m\"\n";
    let keys: KeyTree = toml::from_str(&text).unwrap();
    let file = SiteFile::read(&keys, &mut NoFiles).unwrap();
    serde_json::to_value(solve_file(&file, |_, _| {}).unwrap()).unwrap()
}

#[test]
fn the_schema_of_a_study_is_up_to_date_and_every_study_keeps_to_it() {
    let schema = study_schema(&source());
    compare("study.schema.json", &schema);
    jsonschema::draft202012::meta::validate(&schema)
        .unwrap_or_else(|why| panic!("the schema is none: {why}"));
    let study = full_study();
    valid(&schema, &study);
    let reference = std::fs::read_to_string(top().join("tests/sites/reference.toml")).unwrap();
    let reference: operation::site::Site =
        toml::from_str(&reference.replacen("positions = 200", "positions = 12", 1)).unwrap();
    valid(&schema, &serde_json::to_value(operation::solve(&reference).unwrap()).unwrap());

    // It is no schema that takes anything: each of these makes it wrong.
    let broken = |change: &dyn Fn(&mut Value)| {
        let mut study = study.clone();
        change(&mut study);
        assert_ne!(study, self::full(&study, &schema).unwrap_or_default(), "still valid");
    };
    broken(&|study| drop(study.as_object_mut().unwrap().remove("summary")));
    broken(&|study| study["extra"] = 1.into());
    broken(&|study| study["positions"][0]["winch_pull_n"] = "1 kN".into());
    broken(&|study| drop(study["positions"][0].as_object_mut().unwrap().remove("winch_pull_n")));
    broken(&|study| study["warnings"][0]["kind"] = "none-such".into());
    broken(&|study| study["head"]["y_m"] = 1.0.into());
    broken(&|study| study["components"][0]["strength_n"] = json!([1.0]));
    broken(&|study| study["assumptions"][0]["mark"] = "guessed".into());
    broken(&|study| study["variants"][1]["found"]["least_factor"] = "6".into());
    broken(&|study| study["positions"][0]["reading"]["low"] = 1.0.into());
}

/// The document, if it is valid.
fn full(document: &Value, schema: &Value) -> Option<Value> {
    faults(schema, document).is_empty().then(|| document.clone())
}
