//! The steps that an answer reports are no more than `rope-ffi/steps.txt`, and so the header, allows: by random calls far from
//! ordinary ropes.

use super::{Header, Kind, cases};
use rope_checks::top;

/// Where a function's answer reports its steps.
fn reports(function: &str) -> Option<String> {
    let parameters = Header::get().functions.get(function)?;
    parameters.iter().filter(|one| !one.constant).find_map(|one| {
        let Kind::Pointer(to) = &one.kind else { return None };
        let Kind::Struct(name) = &**to else { return None };
        let members = &Header::get().structs.get(name)?.members;
        members.iter().any(|of| of.name == "iterations").then(|| format!("{}.iterations", one.name))
    })
}

/// Multiplicative, modulo 2⁶⁴: the same calls in each run.
fn share(state: &mut u64) -> f64 {
    *state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
    (*state >> 11) as f64 / (1_u64 << 53) as f64
}

#[test]
fn no_answer_reports_more_steps_than_the_header_allows() {
    let text = std::fs::read_to_string(top().join("rope-ffi/steps.txt")).unwrap();
    let allowed = |function: &str| -> f64 {
        let line = text.lines().find_map(|line| line.strip_prefix(&format!("{function}: ")));
        let words = line.unwrap_or_else(|| panic!("steps.txt doesn't know {function}"));
        let (_, most) = words.split_once("iterations at most ").unwrap_or_else(|| {
            panic!("{function} reports its iterations: say in steps.txt how many at most")
        });
        let digits: String = most.chars().take_while(char::is_ascii_digit).collect();
        digits.parse().unwrap()
    };
    let (mut random, mut functions, mut answers) = (5, 0, 0);
    for case in cases() {
        let Some(path) = reports(&case.function) else { continue };
        let most = allowed(&case.function);
        let numbers: Vec<(String, f64)> = case
            .inputs()
            .into_iter()
            .filter(|(_, kind, _)| matches!(kind, Kind::Double | Kind::Float))
            .map(|(path, ..)| {
                let given = case.given.iter().find(|(given, _)| *given == path);
                let value = given.map_or(0.0, |(_, value)| Header::get().number(value));
                (path, value)
            })
            .collect();
        let mut seen = 0.0_f64;
        for call in 0..100 {
            // From next to the case to far away from it, and now and then something is nothing.
            let wide = [0.02, 0.3, 1.0, 3.0][call % 4];
            let mut changed = case.clone();
            for (path, value) in &numbers {
                let by = 10_f64.powf(wide * (2.0 * share(&mut random) - 1.0));
                let value = if share(&mut random) < 0.02 { 0.0 } else { value * by };
                changed = changed.with(path, &format!("{value:e}"));
            }
            let mut outcome = changed.run();
            if outcome.status == 0 {
                answers += 1;
                seen = seen.max(outcome.get(&path));
            }
        }
        println!("{}: {seen} of {most}", case.function);
        assert!(seen <= most, "{} reports {seen} steps, and may take {most}", case.function);
        functions += 1;
    }
    assert!(functions >= 13 && answers > 250, "{functions} functions, {answers} answers");
}
