//! Each number that a function reads is checked, and an error names it by its path in the header.

use super::{Case, Header, Kind, cases};
use std::collections::BTreeSet;

const OK: i32 = 0;
const VALUE: i32 = 3;
const ENUMERATOR: i32 = 4;

/// Functions of handles, texts and versions, which `rig.c`, `operation.c`, `devices.c` and `version.c` call.
fn has_no_case(function: &str) -> bool {
    function.starts_with("rmech_rig_")
        || function.starts_with("rmech_operation_")
        || matches!(function, "rmech_init" | "rmech_status_text" | "rmech_check_version")
}

#[test]
fn every_case_succeeds_and_every_function_has_one() {
    let mut wrong = Vec::new();
    for case in cases() {
        let outcome = case.run();
        if outcome.status != OK {
            wrong.push(format!("{}: {} {}", case.function, outcome.status, outcome.message));
        }
    }
    let called: BTreeSet<&str> = cases().iter().map(|case| case.function.as_str()).collect();
    for function in Header::get().functions.keys() {
        if !has_no_case(function) && !called.contains(function.as_str()) {
            wrong.push(format!("{function} is in no case"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Without its indices: "frame.legs[2].foot.x" is "frame.legs.foot.x".
fn plain(path: &str) -> String {
    path.split('[').map(|part| part.split_once(']').map_or(part, |(_, rest)| rest)).collect()
}

#[test]
fn a_value_that_is_no_number_is_refused_and_named_by_its_path() {
    let (mut wrong, mut refused, mut asked) = (Vec::new(), BTreeSet::new(), 0);
    for case in cases() {
        let good = case.run();
        let structs = structs_of(case);
        for (path, kind, _) in case.inputs() {
            if !matches!(kind, Kind::Double | Kind::Float) {
                continue;
            }
            asked += 1;
            let bad = case.with(&path, "nan").run();
            let unread = case.unread.contains(&path);
            if case.its_own.contains(&path) {
                // The element it belongs to refuses it.
                assert!(bad.status == OK && !bad.same_as(&good), "{}: {path}", case.function);
                refused.insert(of_struct(&structs, &path));
                continue;
            }
            if bad.status == VALUE && bad.field == case.field(&path) && bad.untouched() {
                if unread {
                    wrong.push(format!("{}: {path} is read", case.function));
                }
                refused.insert(of_struct(&structs, &path));
            } else if !unread || !bad.same_as(&good) {
                wrong.push(format!(
                    "{}: {path} = NaN gives {} \"{}\": {}",
                    case.function, bad.status, bad.field, bad.message
                ));
            }
        }
    }
    assert!(asked > 500, "{asked}");
    // No number of a struct that is read without a call that refuses it.
    for (function, parameters) in &Header::get().functions {
        let inputs = parameters.iter().filter(|one| one.constant && !has_no_case(function));
        for parameter in inputs {
            if let Kind::Pointer(to) = &parameter.kind
                && let Kind::Struct(name) = &**to
                && Header::get().structs.contains_key(name)
            {
                numbers(name, name, &mut |path| {
                    if !refused.contains(path) {
                        wrong.push(format!("no case refuses {path}"));
                    }
                });
            }
        }
    }
    wrong.sort();
    wrong.dedup();
    assert!(wrong.is_empty(), "{} wrong\n{}", wrong.len(), wrong.join("\n"));
}

/// The struct behind each parameter.
fn structs_of(case: &Case) -> Vec<(&'static str, &'static str)> {
    let of = |one: &'static super::header::Parameter| match &one.kind {
        Kind::Pointer(to) => match &**to {
            Kind::Struct(name) => Some((one.name.as_str(), name.as_str())),
            _ => None,
        },
        _ => None,
    };
    case.parameters().iter().filter_map(of).collect()
}

fn of_struct(structs: &[(&str, &str)], path: &str) -> String {
    let path = plain(path);
    let (parameter, rest) = path.split_at(path.find('.').unwrap_or(path.len()));
    structs.iter().find(|(name, _)| *name == parameter).map_or(path.clone(), |(_, of)| format!("{of}{rest}"))
}

/// All numbers in a struct, lists included, by their path without indices.
fn numbers(structure: &str, path: &str, see: &mut impl FnMut(&str)) {
    let members = &Header::get().structs[structure].members;
    if let [only] = members.as_slice()
        && matches!(only.kind, Kind::Double | Kind::Float)
    {
        return see(path);
    }
    for member in members {
        let inner = format!("{path}.{}", member.name);
        let kind = match &member.kind {
            Kind::Pointer(to) => &**to,
            kind => kind,
        };
        match kind {
            Kind::Double | Kind::Float => see(&inner),
            Kind::Struct(name) => numbers(name, &inner, see),
            _ => {}
        }
    }
}

#[test]
fn an_unknown_enumerator_or_flag_is_refused_and_named_by_its_path() {
    let (mut wrong, mut asked) = (Vec::new(), 0);
    for case in cases() {
        let good = case.run();
        for (path, kind, says) in case.inputs() {
            let name = path.rsplit('.').next().unwrap();
            let plain_parameter = says.is_empty() && kind == Kind::I32;
            if matches!(kind, Kind::Double | Kind::Float)
                || !(plain_parameter
                    || says.contains("RMECH_")
                    || matches!(name, "flags" | "reserved" | "staked"))
            {
                continue;
            }
            // A count may speak of a constant.
            if kind == Kind::Size || name.ends_with("count") {
                continue;
            }
            asked += 1;
            let bad = case.with(&path, "1073741824").run();
            let refused = bad.status == ENUMERATOR && bad.field == case.field(&path) && bad.untouched();
            if refused == case.unread.contains(&path) || !refused && !bad.same_as(&good) {
                wrong.push(format!(
                    "{}: {path} gives {} \"{}\": {}",
                    case.function, bad.status, bad.field, bad.message
                ));
            }
        }
    }
    assert!(asked > 150, "{asked}");
    assert!(wrong.is_empty(), "{} wrong\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn numbers_in_a_message_are_short() {
    let line = cases().iter().find(|case| case.function == "rmech_line_solve").unwrap();
    for (value, said) in [("1e300", "1e300 N/m"), ("-3e-7", "-3e-7 N/m"), ("-0.5", "-0.5 N/m")] {
        let outcome = line.with("line.weight", value).run();
        assert!(
            outcome.message.starts_with(&format!("weight is {said}, but must be ")),
            "{}",
            outcome.message
        );
    }
}
