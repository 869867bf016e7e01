//! The committed header is what the sources give, and every C and C++ standard takes it.

use rope_checks::{compile_c, has_cpp, interface_sources, run, top};

/// After a change of the C interface: `UPDATE_HEADER=1 cargo test -p rope-checks --test clients header`.
#[test]
fn the_committed_header_is_up_to_date() {
    let ffi = top().join("rope-ffi");
    let mut config = cbindgen::Config::from_file(ffi.join("cbindgen.toml")).unwrap();
    config.sort_by = cbindgen::SortKey::None;
    let mut generated = Vec::new();
    cbindgen::generate_with_config(&ffi, config).unwrap().write(&mut generated);
    let generated = crate::topics::in_topics(&String::from_utf8(generated).unwrap());
    let committed = top().join("include/rope_mechanics.h");
    if std::env::var_os("UPDATE_HEADER").is_some() {
        std::fs::write(&committed, &generated).unwrap();
    }
    assert!(
        std::fs::read_to_string(&committed).unwrap_or_default() == generated,
        "include/rope_mechanics.h is not what rope-ffi gives: run this test with UPDATE_HEADER=1"
    );
}

#[test]
fn every_exported_function_stands_in_the_header() {
    let header = std::fs::read_to_string(top().join("include/rope_mechanics.h")).unwrap();
    let mut functions = 0;
    for source in interface_sources() {
        for (_, rest) in source.match_indices("extern \"C\" fn ").map(|(at, s)| (at, &source[at + s.len()..]))
        {
            let name = rest.split('(').next().unwrap();
            assert!(header.contains(&format!("{name}(")), "{name} is missing from the header");
            functions += 1;
        }
    }
    assert!(functions >= 3, "the sources export almost nothing");
}

/// Every struct that a function reads, itself or inside another one, refuses what stands in its `reserved` member.
#[test]
fn every_reserved_member_that_is_read_is_checked() {
    let sources = interface_sources().concat();
    // Name and members of each struct.
    let structs: Vec<(&str, &str)> = sources
        .match_indices("\npub struct rmech_")
        .map(|(at, found)| {
            let (name, rest) = sources[at + found.len()..].split_once(" {").unwrap();
            (name, rest.split_once("\n}").unwrap().0)
        })
        .collect();
    let is_read = |name: &str| {
        let direct = |name: &str| {
            let from = format!("*const rmech_{name}");
            sources.match_indices(&from).any(|(at, _)| sources[at + from.len()..].starts_with([',', '\n']))
        };
        let inside = |members: &str| members.contains(&format!(": rmech_{name},"));
        direct(name) || structs.iter().any(|(outer, members)| inside(members) && direct(outer))
    };
    let mut checked = Vec::new();
    for (name, _) in
        structs.iter().filter(|(name, members)| members.contains("pub reserved:") && is_read(name))
    {
        assert!(
            sources.contains(&format!("no_reserved(\"{name}\", ")),
            "rmech_{name}.reserved is not checked"
        );
        checked.push(*name);
    }
    // The client of that name tries each of them.
    let client = std::fs::read_to_string(top().join("tests/clients/c/reserved.c")).unwrap();
    for name in &checked {
        assert!(client.contains(&format!("refused(\"rmech_{name}\"")), "reserved.c doesn't try rmech_{name}");
    }
    assert!(checked.len() >= 12, "{checked:?}");
    assert_eq!(run(&compile_c(&top().join("tests/clients/c/reserved.c"), "c99")), "ok\n");
}

#[test]
fn the_headers_compile_in_c_and_cpp_with_strict_flags() {
    let source = top().join("tests/clients/c/headers.c");
    for standard in ["c99", "c11", "c2x", "c++17"] {
        if standard == "c++17" && !has_cpp() {
            println!("not checked: this machine has no C++ compiler (c++)");
            continue;
        }
        assert_eq!(run(&compile_c(&source, standard)), "ok\n");
    }
}
