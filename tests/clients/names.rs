//! An error in C speaks of members and parameters that C has.

use rope_checks::top;
use std::collections::BTreeSet;
use std::path::Path;

/// What no C function is given (profiles, ropes by mass and strength and so on), or what is renamed
/// where it is given.
const NOT_IN_C: [&str; 7] =
    ["arc", "name_length", "pieces", "profile_point", "profile_point.x", "profile_points", "rope_mass"];

fn sources(folder: &Path, into: &mut Vec<String>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            // The operation speaks of keys of the site file.
            if !path.ends_with("operation") {
                sources(&path, into);
            }
        } else {
            let text = std::fs::read_to_string(path).unwrap();
            let code = text.split("#[cfg(test)]\nmod tests").next().unwrap();
            into.push(
                code.lines()
                    .filter(|line| !line.trim_start().starts_with("//"))
                    .collect::<Vec<_>>()
                    .join("\n"),
            );
        }
    }
}

/// The literals that stand right behind such a call.
fn named_behind(openers: &[&str], sources: &[String]) -> BTreeSet<String> {
    let mut names = BTreeSet::new();
    for source in sources {
        for opener in openers {
            for (at, _) in source.match_indices(opener) {
                let rest = source[at + opener.len()..].trim_start();
                if let Some(name) = rest.strip_prefix('"').and_then(|rest| rest.split('"').next())
                    && !name.is_empty()
                {
                    names.insert(name.to_owned());
                }
            }
        }
    }
    names
}

/// That the member is one of the struct which the function takes, only the tests of each function tell.
#[test]
fn an_error_names_what_stands_in_the_header() {
    let header = std::fs::read_to_string(top().join("include/rope_mechanics.h")).unwrap();
    let code: String =
        header.lines().map(|line| line.split("//").next().unwrap().to_owned() + "\n").collect();
    let in_c: BTreeSet<&str> = code.split(|c: char| !c.is_ascii_alphanumeric() && c != '_').collect();

    let mut core = Vec::new();
    sources(&top().join("rope-mechanics/src"), &mut core);
    let mut names = named_behind(
        &["finite(", "positive(", "non_negative(", "within(", "check(", "temperature(", "InputError::new("],
        &core,
    );
    assert!(names.len() > 150, "the search finds {} names only", names.len());

    // What the core calls otherwise than C: ("line_weight", "weight").
    let error = std::fs::read_to_string(top().join("rope-ffi/src/error.rs")).unwrap();
    let table = error.split("const C_NAMES").nth(1).unwrap().split("];").next().unwrap();
    let mut literals = table.split('"').skip(1).step_by(2);
    while let (Some(core), Some(c)) = (literals.next(), literals.next()) {
        assert!(names.remove(core), "{core} is renamed for C, but the core has no such name");
        names.insert(c.to_owned());
    }
    for name in NOT_IN_C {
        assert!(names.remove(name), "the core has no input {name}");
    }
    // "amperes per newton" is a constant that a fit finds, no input.
    names.retain(|name| !name.contains(' '));

    let mut boundary = Vec::new();
    sources(&top().join("rope-ffi/src"), &mut boundary);
    names.extend(named_behind(&["called(", "input(", "inputs(", "growing(", "writable("], &boundary));

    let strange: Vec<_> = names
        .iter()
        .filter(|name| name.split(['.', ' ']).any(|part| part != "to" && !in_c.contains(part)))
        .collect();
    assert!(strange.is_empty(), "C has no {strange:?}");
}
