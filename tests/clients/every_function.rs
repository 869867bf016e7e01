//! No function of the C interface without a call that succeeds and whose result is compared with Rust's, bit by bit.

use rope_checks::{interface_sources, top};
use std::collections::BTreeSet;

/// What gives no number, and where its work is seen instead.
const WITHOUT_A_NUMBER: [(&str, &str); 29] = [
    ("rmech_init", "fills a struct"),
    ("rmech_status_text", "gives a text, which devices.c compares"),
    ("rmech_version", "gives a text, which version.c compares"),
    ("rmech_abi_version", "gives a whole number, which version.c compares"),
    ("rmech_check_version", "gives a status, which version.c compares"),
    ("rmech_operation_create", "makes a study"),
    ("rmech_operation_json", "gives its text, which dispatch.rs compares byte by byte"),
    ("rmech_operation_format", "gives one number, which operation.c compares"),
    ("rmech_operation_destroy", "frees it"),
    ("rmech_rig_solve_within", "makes a solution as rmech_rig_solve, which rig.c compares"),
    ("rmech_operation_study", "gives a text, which dispatch.rs compares byte by byte"),
    ("rmech_rig_create", "makes a rig, which rmech_rig_solve solves"),
    ("rmech_rig_destroy", "frees it"),
    ("rmech_rig_add_fixed", "adds to it"),
    ("rmech_rig_add_point", "adds to it"),
    ("rmech_rig_add_rope", "adds to it"),
    ("rmech_rig_find_point", "finds a part of it"),
    ("rmech_rig_find_rope", "finds a part of it"),
    ("rmech_rig_read_json", "reads one, which is solved"),
    ("rmech_rig_write_json", "writes one, which is read again"),
    ("rmech_rig_solve", "makes a solution, whose numbers other functions give"),
    ("rmech_rig_solve_band", "makes solutions, whose numbers other functions give"),
    ("rmech_rig_solve_band_within", "makes solutions as rmech_rig_solve_band, which rig.c compares"),
    ("rmech_rig_solution_destroy", "frees a solution"),
    ("rmech_rig_solution_write_json", "gives a text, which rig.rs compares"),
    ("rmech_rig_respond", "makes a response, whose numbers other functions give"),
    ("rmech_rig_response_length", "changes a response, whose numbers other functions give"),
    ("rmech_rig_response_destroy", "frees a response"),
    ("rmech_rig_response_write_json", "gives a text, which rig.rs compares"),
];

/// What stands behind the closing parenthesis of each call of a function.
fn behind_calls<'a>(client: &'a str, name: &'a str) -> impl Iterator<Item = &'a str> {
    let opening = format!("{name}(");
    client.match_indices(&opening).map(|(at, _)| at).collect::<Vec<_>>().into_iter().filter_map(move |at| {
        let mut depth = 0;
        for (i, c) in client[at..].char_indices() {
            depth += i32::from(c == '(') - i32::from(c == ')');
            if depth == 0 && c == ')' {
                return Some(client[at + i + 1..].trim_start());
            }
        }
        None
    })
}

/// What follows `== RMECH_` behind a call.
fn status(behind: &str) -> Option<&str> {
    behind.strip_prefix("==")?.trim_start().strip_prefix("RMECH_")
}

/// Whether a number is shown after a call that succeeded, before the next function is called.
fn shows_its_result(client: &str, name: &str) -> bool {
    behind_calls(client, name).any(|rest| {
        let Some(after) = status(rest).and_then(|rest| rest.strip_prefix("OK")) else { return false };
        let next = after.match_indices("rmech_").map(|(at, _)| at).find(|at| {
            // Another call, not the helpers that build quantities.
            let call = &after[*at..];
            let end = call.find(|c: char| !c.is_ascii_alphanumeric() && c != '_').unwrap_or(call.len());
            call[end..].starts_with('(')
                && behind_calls(call, &call[..end]).next().is_some_and(|rest| status(rest).is_some())
        });
        after[..next.unwrap_or(after.len())].contains("show")
    })
}

/// `FromC` sees to it that each number shown is compared.
#[test]
fn every_function_is_called_and_its_result_compared() {
    let mut functions = BTreeSet::new();
    for source in interface_sources() {
        let opener = "extern \"C\" fn ";
        for (at, _) in source.match_indices(opener) {
            functions.insert(source[at + opener.len()..].split('(').next().unwrap().to_owned());
        }
    }
    assert!(functions.len() >= 134, "the search finds {} functions only", functions.len());

    let clients: Vec<String> = std::fs::read_dir(top().join("tests/clients/c"))
        .unwrap()
        .map(|entry| std::fs::read_to_string(entry.unwrap().path()).unwrap())
        .collect();
    let without: BTreeSet<&str> = WITHOUT_A_NUMBER.iter().map(|(name, _)| *name).collect();
    for name in &without {
        assert!(functions.contains(*name), "there is no {name}");
    }
    for name in &functions {
        let called = clients.iter().any(|client| behind_calls(client, name).next().is_some());
        assert!(called, "no client in tests/clients/c calls {name}");
        assert!(
            without.contains(name.as_str()) || clients.iter().any(|client| shows_its_result(client, name)),
            "no client in tests/clients/c shows what {name} finds"
        );
    }
}
