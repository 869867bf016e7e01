//! Every call of `cases.txt` twice in one C++ program, by `rope_mechanics.hpp` and by the C header: the same bits.

use super::cpp::{Call, bare, type_of};
use super::{Api, Function, Parameter, Role};
use crate::abi::{Case, cases};
use rope_checks::{STRICT, c_library, compile_c, has_cpp, run, top};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::process::Command;

struct Program<'a> {
    api: &'a Api,
    text: String,
    /// Lists inside of structs of the call at hand: the variable, its elements' type, where it goes, and how many.
    lists: BTreeMap<String, (String, String, usize)>,
}

/// A number as C and C++ write it.
fn number(written: &str, kind: &str) -> String {
    let value = written.replace("inf", "HUGE_VAL");
    match kind {
        "double" => value,
        "float" => format!("static_cast<float>({value})"),
        "size_t" => format!("static_cast<std::size_t>({value})"),
        kind => format!("static_cast<std::{kind}>({value})"),
    }
}

impl Program<'_> {
    /// Sets what a path leads to from a variable of some type, in both languages.
    fn set(&mut self, variable: &str, kind: &str, path: &str, written: &str) {
        let (mut cpp, mut c) = (variable.to_owned(), format!("{variable}_c"));
        let (mut kind, mut rest) = (kind.to_owned(), path);
        loop {
            if let Some((index, after)) = rest.strip_prefix('[').and_then(|rest| rest.split_once(']')) {
                write!(cpp, "[{index}]").unwrap();
                write!(c, "[{index}]").unwrap();
                rest = after;
            }
            rest = rest.strip_prefix('.').unwrap_or(rest);
            let Some(of) = self.api.structs.iter().find(|of| of.name == kind) else {
                writeln!(self.text, "        {cpp} = {};", number(written, &kind)).unwrap();
                writeln!(self.text, "        {c} = {};", number(written, &kind)).unwrap();
                return;
            };
            if of.quantity {
                let value = number(written, "double");
                writeln!(self.text, "        {cpp} = {}::from_si({value});", type_of(&kind)).unwrap();
                writeln!(self.text, "        {c}.{} = {value};", of.members[0].name).unwrap();
                return;
            }
            let end = rest.find(['.', '[']).unwrap_or(rest.len());
            let (name, after) = rest.split_at(end);
            let member = of.members.iter().find(|one| one.name == name).unwrap();
            rest = after;
            if of.members.iter().any(|one| one.length.as_deref() == Some(name)) {
                // A count, which C++ takes from the list.
                writeln!(self.text, "        {c}.{name} = {};", number(written, "size_t")).unwrap();
                return;
            }
            kind.clone_from(&member.kind);
            if member.length.is_some() {
                let list = format!("{}_{name}", cpp.replace(['.', '[', ']'], "_"));
                let count = rest[1..].split(']').next().unwrap().parse::<usize>().unwrap() + 1;
                let goes = (format!("{cpp}.{name}"), format!("{c}.{name}"));
                let known = self.lists.entry(list.clone()).or_insert((goes.0, goes.1, 0));
                if known.2 == 0 {
                    writeln!(self.text, "        std::vector<{}> {list};", type_of(&kind)).unwrap();
                    writeln!(self.text, "        std::vector<{kind}> {list}_c;").unwrap();
                }
                if count > known.2 {
                    known.2 = count;
                    writeln!(self.text, "        {list}.resize({count});\n        {list}_c.resize({count});")
                        .unwrap();
                }
                (cpp, c) = (list.clone(), format!("{list}_c"));
            } else {
                write!(cpp, ".{name}").unwrap();
                write!(c, ".{name}").unwrap();
            }
        }
    }

    fn input(&mut self, case: &Case, one: &Parameter) {
        let name = &one.name;
        let given: Vec<_> =
            case.given.iter().filter(|(path, _)| path.split(['.', '[']).next() == Some(name)).collect();
        let null = given.iter().any(|(_, value)| value == "NULL");
        let (kind, c_kind) = (type_of(&one.kind), &one.kind);
        match one.role {
            Role::In if null => {
                writeln!(
                    self.text,
                    "        std::optional<{kind}> {name};\n        {c_kind} *{name}_at = nullptr;"
                )
                .unwrap();
            }
            Role::In => {
                let init = if self.api.structs.iter().any(|of| of.name == *c_kind && of.grows) {
                    format!(" = RMECH_INIT({c_kind})")
                } else {
                    "{}".to_owned()
                };
                writeln!(self.text, "        {kind} {name}{{}};\n        {c_kind} {name}_c{init};").unwrap();
                for (path, value) in given {
                    self.set(name, c_kind, &path[name.len()..], value);
                }
                writeln!(self.text, "        const {c_kind} *{name}_at = &{name}_c;").unwrap();
            }
            Role::InArray => {
                let count = given
                    .iter()
                    .filter_map(|(path, _)| path[name.len()..].strip_prefix('[')?.split(']').next());
                let count = count.map(|index| index.parse::<usize>().unwrap() + 1).max().unwrap_or(0);
                // It may be given more than it is told to read.
                let told = case.given.iter().rev().find(|(path, _)| Some(path) == one.length.as_ref());
                let told = told.map_or(count, |(_, told)| told.parse().unwrap());
                writeln!(self.text, "        std::vector<{kind}> {name}({count});").unwrap();
                writeln!(self.text, "        std::vector<{c_kind}> {name}_c({count});").unwrap();
                for (path, value) in given.iter().filter(|(_, value)| value != "NULL") {
                    self.set(name, c_kind, &path[name.len()..], value);
                }
                writeln!(self.text, "        {name}.resize({told});").unwrap();
                writeln!(self.text, "        const {c_kind} *{name}_at = {name}_c.data();").unwrap();
            }
            Role::Number | Role::Size => {
                let value = given.last().map_or("0", |(_, value)| value);
                writeln!(self.text, "        const {kind} {name} = {};", number(value, c_kind)).unwrap();
            }
            Role::Out => {
                let init = if self.api.structs.iter().any(|of| of.name == *c_kind && of.grows) {
                    format!(" = RMECH_INIT({c_kind})")
                } else {
                    "{}".to_owned()
                };
                let c_kind = if c_kind.starts_with("rmech_") { c_kind } else { &kind };
                writeln!(
                    self.text,
                    "        {c_kind} {name}_c{init};\n        {c_kind} *{name}_at = &{name}_c;"
                )
                .unwrap();
            }
            Role::OutArray => {
                writeln!(self.text, "        std::vector<{c_kind}> {name}_c(600);").unwrap();
                writeln!(self.text, "        {c_kind} *{name}_at = {name}_c.data();").unwrap();
            }
            Role::Error => {}
            role => panic!("{}: {role:?}", case.function),
        }
    }

    fn case(&mut self, case: &Case, of: &Function) {
        self.lists.clear();
        let text = format!("    {{ // {}\n        rmech_error error = RMECH_INIT(rmech_error);\n", of.name);
        self.text += &text;
        for one in &of.parameters {
            self.input(case, one);
        }
        for (list, (cpp, c, _)) in &self.lists {
            writeln!(self.text, "        {cpp} = {list};\n        {c} = {list}_c.data();").unwrap();
        }
        let call = Call::new(of);
        let taken = call.taken.iter().map(|one| {
            let one = one.split(" = ").next().unwrap();
            one.rsplit([' ', '&']).next().unwrap().to_owned()
        });
        let taken: Vec<_> = taken.collect();
        let given: Vec<_> = of
            .parameters
            .iter()
            .map(|one| match one.role {
                Role::Error => "&error".to_owned(),
                Role::Number | Role::Size => one.name.clone(),
                _ => format!("{}_at", one.name),
            })
            .collect();
        writeln!(self.text, "        require({}({}) == RMECH_OK, error.message);", of.name, given.join(", "))
            .unwrap();
        writeln!(
            self.text,
            "        const auto found = rope_mechanics::{}({});",
            bare(&of.name),
            taken.join(", ")
        )
        .unwrap();
        writeln!(self.text, "        require(found.has_value(), found ? \"\" : found.error().message());")
            .unwrap();
        let out = of.parameters.iter().filter(|one| matches!(one.role, Role::Out | Role::OutArray));
        let out: Vec<_> = out.collect();
        for one in &out {
            let value = if out.len() == 1 { "*found".to_owned() } else { format!("found->{}", one.name) };
            let compare = if one.role == Role::OutArray { "same_all" } else { "same" };
            writeln!(self.text, "        {compare}(\"{}.{}\", {value}, {}_c);", of.name, one.name, one.name)
                .unwrap();
        }
        self.text += "    }\n";
    }
}

const BEFORE: &str = r#"#include <cmath>
#include <cstring>

#include "rope_mechanics.hpp"

static void require(bool fine, const char *why) {
    if (!fine) {
        std::fprintf(stderr, "%s\n", why);
        std::exit(1);
    }
}
template <class A, class B> void same(const char *what, const A &a, const B &b) {
    static_assert(sizeof(A) == sizeof(B), "another layout");
    require(std::memcmp(&a, &b, sizeof a) == 0, what);
}
template <class A, class B> void same_all(const char *what, const std::vector<A> &a, const std::vector<B> &b) {
    static_assert(sizeof(A) == sizeof(B), "another layout");
    require(a.size() <= b.size() && (a.empty() || std::memcmp(a.data(), b.data(), a.size() * sizeof(A)) == 0), what);
}

int main() {
"#;

#[test]
fn every_call_gives_the_same_bits_in_cpp_as_in_c() {
    if !has_cpp() {
        println!("not checked: this machine has no C++ compiler (c++)");
        return;
    }
    let api = Api::new();
    let mut program = Program { api: &api, text: BEFORE.to_owned(), lists: BTreeMap::new() };
    let mut called = BTreeSet::new();
    for case in cases() {
        let of = api.functions.iter().find(|of| of.name == case.function).unwrap();
        program.case(case, of);
        called.insert(&case.function);
    }
    writeln!(program.text, "    std::puts(\"{}\");\n}}", called.len()).unwrap();
    assert!(called.len() >= 105, "{}", called.len());
    let file = c_library().join("every_call.cpp");
    std::fs::write(&file, &program.text).unwrap();
    assert_eq!(run(&compile_c(&file, "c++17")).trim(), called.len().to_string());
}

/// In each standard: the third has std::expected.
#[test]
fn units_failures_and_handles_of_cpp() {
    if !has_cpp() {
        println!("not checked: this machine has no C++ compiler (c++)");
        return;
    }
    for standard in ["c++17", "c++20", "c++2b"] {
        assert_eq!(run(&compile_c(&top().join("tests/clients/cpp/client.cpp"), standard)), "ok\n");
    }
    let clang = Command::new("clang++").arg("--version").output();
    if !clang.is_ok_and(|run| run.status.success()) {
        println!("not checked by a second compiler: this machine has no clang++");
        return;
    }
    for standard in ["c++17", "c++20"] {
        let mut command = Command::new("clang++");
        command
            .arg(format!("-std={standard}"))
            .args(STRICT)
            .arg("-fsyntax-only")
            .arg("-I")
            .arg(top().join("include"));
        let said = command.arg(top().join("tests/clients/cpp/client.cpp")).output().unwrap();
        assert!(said.status.success(), "{}", String::from_utf8_lossy(&said.stderr));
    }
}

/// Each line of `mixed.txt` in a program of its own.
#[test]
fn units_can_not_be_mixed_in_cpp() {
    if !has_cpp() {
        println!("not checked: this machine has no C++ compiler (c++)");
        return;
    }
    let lines = include_str!("../cpp/mixed.txt").lines().filter(|line| !line.starts_with('#'));
    let (mut fine, mut refused) = (0, 0);
    // The header is read once.
    let folder = c_library().join("mixed");
    std::fs::create_dir_all(&folder).unwrap();
    let mut command = Command::new("c++");
    command.args(["-std=c++17", "-x", "c++-header"]).args(STRICT).arg("-I").arg(top().join("include"));
    command
        .arg(top().join("include/rope_mechanics.hpp"))
        .arg("-o")
        .arg(folder.join("rope_mechanics.hpp.gch"));
    assert!(command.status().unwrap().success());
    for (i, line) in lines.enumerate() {
        let must = line.strip_prefix("= ");
        let file = folder.join(format!("mixed-{i}.cpp"));
        let body = must.unwrap_or(line);
        std::fs::write(
            &file,
            format!("#include \"rope_mechanics.hpp\"\nusing namespace rope_mechanics::literals;\nint main() {{ {body} }}\n"),
        )
        .unwrap();
        let mut command = Command::new("c++");
        command
            .args(["-std=c++17", "-fsyntax-only"])
            .args(STRICT)
            .arg("-I")
            .arg(&folder)
            .arg("-I")
            .arg(top().join("include"));
        let said = command.arg(&file).output().unwrap();
        let why = String::from_utf8_lossy(&said.stderr);
        assert_eq!(said.status.success(), must.is_some(), "{body}\n{why}");
        // Refused for what stands in the line, not for something in the header alone.
        assert!(must.is_some() || why.contains(&format!("mixed-{i}.cpp:3:")), "{body}\n{why}");
        if must.is_some() { fine += 1 } else { refused += 1 }
    }
    assert!(fine >= 3 && refused >= 15, "{fine} {refused}");
}
