//! What the checks share: the C library as it ships, and programs built against it.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test that can't go on has failed"
)]

pub mod carriage;
pub mod line;

/// The Rust of the repository's README, run as it stands there.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
#[derive(Debug)]
pub struct Readme;

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

/// The top folder of the repository.
#[must_use]
pub fn top() -> &'static Path {
    Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/.."))
}

/// The folder that holds `librope_mechanics.so` and `.a`, built now if they are not up to date: the one that this
/// program was built into, so that what it shares with them is compiled once. For that the build is of the whole
/// workspace and of one test: dependencies then have the features that `cargo test --workspace` gave them.
///
/// # Panics
/// If the library does not build.
#[must_use]
pub fn c_library() -> &'static Path {
    static BUILT: OnceLock<PathBuf> = OnceLock::new();
    BUILT.get_or_init(|| {
        // target/debug/deps/clients-…
        let program = std::env::current_exe().unwrap();
        let folder = program.parent().and_then(Path::parent).unwrap();
        let mut build = Command::new(env!("CARGO"));
        build
            .args(["build", "--quiet", "--workspace", "--lib", "--test", "published", "--target-dir"])
            .arg(folder.parent().unwrap());
        if folder.ends_with("release") {
            build.arg("--release");
        }
        assert!(build.current_dir(top()).status().unwrap().success(), "rope-ffi does not build");
        folder.to_owned()
    })
}

/// Every Rust source of the C interface, whatever folder it stands in.
///
/// # Panics
/// If they can't be read.
#[must_use]
pub fn interface_sources() -> Vec<String> {
    fn gather(folder: &Path, into: &mut Vec<String>) {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                gather(&path, into);
            } else {
                into.push(std::fs::read_to_string(path).unwrap());
            }
        }
    }
    let mut sources = Vec::new();
    gather(&top().join("rope-ffi/src"), &mut sources);
    sources
}

/// The strict flags: every C file of the project compiles with them.
pub const STRICT: [&str; 6] = ["-Wall", "-Wextra", "-Wpedantic", "-Wconversion", "-Werror", "-O1"];

/// Whether this machine has a C++ compiler. Nothing but the C++ checks of the headers needs one.
#[must_use]
pub fn has_cpp() -> bool {
    Command::new("c++").arg("--version").output().is_ok_and(|run| run.status.success())
}

/// Compiles a C program with the strict flags against the shared library; `standard` as in `c99`, `c++17`.
///
/// # Panics
/// If it doesn't compile.
#[must_use]
pub fn compile_c(source: &Path, standard: &str) -> PathBuf {
    let library = c_library();
    let compiler = if standard.starts_with("c++") { "c++" } else { "cc" };
    let name = format!("{}-{standard}", source.file_stem().unwrap().to_string_lossy());
    let program = library.join(name);
    let mut command = Command::new(compiler);
    if compiler == "c++" {
        command.args(["-x", "c++"]);
    }
    let compiled = command
        .arg(format!("-std={standard}"))
        .args(STRICT)
        .arg("-I")
        .arg(top().join("include"))
        .arg(source)
        .arg("-o")
        .arg(&program)
        .arg("-L")
        .arg(library)
        .arg(format!("-Wl,-rpath,{}", library.display()))
        .args(["-lrope_mechanics", "-lm"])
        .output()
        .unwrap();
    assert!(
        compiled.status.success(),
        "{}:\n{}",
        source.display(),
        String::from_utf8_lossy(&compiled.stderr)
    );
    program
}

/// Runs a program that must succeed, and returns what it prints.
///
/// # Panics
/// If it fails.
#[must_use]
pub fn run(program: &Path) -> String {
    let run = Command::new(program).output().unwrap();
    assert!(
        run.status.success(),
        "{} failed with {}:\n{}{}",
        program.display(),
        run.status,
        String::from_utf8_lossy(&run.stdout),
        String::from_utf8_lossy(&run.stderr)
    );
    String::from_utf8(run.stdout).unwrap()
}

/// The numbers that a C client found, by their names.
///
/// Each must be asked for: one that nobody compares with Rust fails the test that reads them.
#[derive(Debug)]
pub struct FromC {
    numbers: BTreeMap<String, f64>,
    asked: RefCell<BTreeSet<String>>,
}

impl FromC {
    /// The number of that name.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<f64> {
        self.asked.borrow_mut().insert(name.to_owned());
        self.numbers.get(name).copied()
    }
}

impl std::ops::Index<&str> for FromC {
    type Output = f64;

    fn index(&self, name: &str) -> &f64 {
        self.asked.borrow_mut().insert(name.to_owned());
        &self.numbers[name]
    }
}

impl Drop for FromC {
    fn drop(&mut self) {
        if !std::thread::panicking() {
            let asked = self.asked.borrow();
            let left: Vec<_> = self.numbers.keys().filter(|name| !asked.contains(*name)).collect();
            assert!(left.is_empty(), "C printed {left:?}, which nothing is compared with");
        }
    }
}

/// What a C client in `tests/clients/c` found: it prints a line `name bits` for each number, its `f64` as 16
/// hexadecimal digits (see `show` in `tests/clients/c/client.h`).
///
/// # Panics
/// If the client doesn't compile, fails, or prints anything else.
#[must_use]
pub fn numbers_from_c(client: &str) -> FromC {
    let program = compile_c(&top().join("tests/clients/c").join(client), "c99");
    let numbers = run(&program)
        .lines()
        .map(|line| {
            let (name, bits) = line.split_once(' ').unwrap();
            (name.to_owned(), f64::from_bits(u64::from_str_radix(bits, 16).unwrap()))
        })
        .collect();
    FromC { numbers, asked: RefCell::default() }
}

/// Asserts that C and Rust found the same bits.
#[macro_export]
macro_rules! assert_same_bits {
    ($numbers:expr, $name:expr, $rust:expr) => {{
        let c: f64 = $numbers.get($name).unwrap_or_else(|| panic!("C printed no {}", $name));
        let rust: f64 = $rust;
        assert_eq!(c.to_bits(), rust.to_bits(), "{}: C {c}, Rust {rust}", $name);
    }};
}
