//! Header and library belong together: their versions, the functions that they name, and the symbols that leave.

use rope_checks::{c_library, compile_c, interface_sources, run, top};
use std::collections::BTreeSet;
use std::process::Command;

#[test]
fn a_program_is_told_when_header_and_library_differ() {
    for standard in ["c99", "c11"] {
        let told = run(&compile_c(&top().join("tests/clients/c/version.c"), standard));
        let expected = format!(
            "the program was compiled for binary interface 2, but the library has 1\n\
             the program was compiled with the header of version 1.0, but the library is of the older {}\n",
            env!("CARGO_PKG_VERSION")
        );
        assert_eq!(told, expected);
    }
}

/// The functions that the sources export.
fn functions() -> BTreeSet<String> {
    let opener = "extern \"C\" fn ";
    let mut functions = BTreeSet::new();
    for source in interface_sources() {
        let names = source.split(opener).skip(1).map(|rest| rest.split('(').next().unwrap().to_owned());
        functions.extend(names.filter(|name| name.starts_with("rmech_")));
    }
    functions
}

#[test]
fn the_contents_of_the_header_name_every_function_once() {
    let header = std::fs::read_to_string(top().join("include/rope_mechanics.h")).unwrap();
    let (_, contents) = header.split_once("\n * CONTENTS\n").unwrap();
    let (contents, _) = contents.split_once("*/").unwrap();
    let named: Vec<String> = contents
        .split(|c: char| !c.is_ascii_alphanumeric() && c != '_')
        .filter(|word| word.starts_with("rmech_"))
        .map(str::to_owned)
        .collect();
    let once: BTreeSet<String> = named.iter().cloned().collect();
    assert_eq!(once.len(), named.len(), "the contents name a function twice");
    assert_eq!(once, functions());
}

/// After a function more: `UPDATE_SYMBOLS=1 cargo test -p rope-checks --test clients symbols`. One less, or one with
/// another name, needs a new `RMECH_ABI_VERSION`.
#[test]
fn the_library_exports_the_committed_symbols_and_no_others() {
    if !cfg!(target_os = "linux") {
        println!("not checked: nm is asked on Linux only");
        return;
    }
    let library = c_library().join("librope_mechanics.so");
    let listed = Command::new("nm").args(["--dynamic", "--defined-only"]).arg(library).output().unwrap();
    assert!(listed.status.success(), "{}", String::from_utf8_lossy(&listed.stderr));
    let mut exported: Vec<String> = String::from_utf8(listed.stdout)
        .unwrap()
        .lines()
        .map(|line| line.rsplit(' ').next().unwrap().to_owned())
        .collect();
    exported.sort();
    let exported = exported.join("\n") + "\n";
    let committed = top().join("include/symbols.txt");
    if std::env::var_os("UPDATE_SYMBOLS").is_some() {
        std::fs::write(&committed, &exported).unwrap();
    }
    assert_eq!(
        exported,
        std::fs::read_to_string(&committed).unwrap(),
        "include/symbols.txt is not what leaves"
    );
    assert!(exported.lines().all(|name| name.starts_with("rmech_")));
    assert_eq!(exported.lines().map(str::to_owned).collect::<BTreeSet<_>>(), functions());
}
