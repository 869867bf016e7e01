//! The cookbook in C, C++ and Python, each block as it stands on the page, prints what the page and its Rust say. The Rust is run
//! with the documentation of the library.

use rope_checks::{c_library, compile_c, has_cpp, run, top};
use std::process::Command;

const C: [&str; 2] = [
    "#include <math.h>\n#include <stdio.h>\n#include <string.h>\n#include \"rope_mechanics.h\"\n\
     #include \"rope_mechanics_units.h\"\nint main(void) {\nrmech_error error = RMECH_INIT(rmech_error);\n",
    "return 0;\n}\n",
];
const CPP: [&str; 2] = [
    "#include <cmath>\n#include <cstdio>\n#include <vector>\n#include \"rope_mechanics.hpp\"\n\
     int main() {\nusing namespace rope_mechanics::literals;\n",
    "}\n",
];
const PYTHON: [&str; 2] = ["from rope_mechanics import *\n", ""];

/// Title, what it prints, and the block of each language.
fn recipes() -> Vec<(String, String, [String; 4])> {
    let page = std::fs::read_to_string(top().join("rope-mechanics/src/docs/cookbook.md")).unwrap();
    let mut recipes = Vec::new();
    for part in page.split("\n\n# ").skip(1) {
        let title = part.lines().next().unwrap().to_owned();
        let said = part.split_once("\nPrints: `").unwrap().1.split_once("`\n").unwrap().0.to_owned();
        let block = |language: &str| {
            let (_, rest) = part.split_once(&format!("\n```{language}\n")).unwrap();
            rest.split_once("\n```").unwrap().0.to_owned() + "\n"
        };
        recipes.push((title, said, ["rust", "c", "cpp", "python"].map(block)));
    }
    recipes
}

#[test]
fn every_recipe_prints_the_same_in_every_language() {
    let recipes = recipes();
    assert_eq!(recipes.len(), 4);
    for (number, (title, said, [rust, c, cpp, python])) in recipes.iter().enumerate() {
        assert!(rust.contains(&format!("assert_eq!(said, \"{said}\");")), "{title}, in Rust");
        let write = |name: &str, [before, after]: [&str; 2], block: &str| {
            let file = c_library().join(name);
            std::fs::write(&file, format!("{before}{block}{after}")).unwrap();
            file
        };
        let file = write(&format!("cookbook{number}.c"), C, c);
        assert_eq!(run(&compile_c(&file, "c99")).trim_end(), said, "{title}, in C");
        if has_cpp() {
            let file = write(&format!("cookbook{number}.cpp"), CPP, cpp);
            assert_eq!(run(&compile_c(&file, "c++17")).trim_end(), said, "{title}, in C++");
        } else {
            println!("not checked: this machine has no C++ compiler (c++)");
        }
        let file = write(&format!("cookbook{number}.py"), PYTHON, python);
        let ran = Command::new("python3")
            .arg(file)
            .env("PYTHONPATH", top().join("examples/dispatch-python"))
            .env("ROPE_MECHANICS_LIBRARY", c_library().join("librope_mechanics.so"))
            .env("PYTHONDONTWRITEBYTECODE", "1")
            .output()
            .unwrap();
        assert!(ran.status.success(), "{title}: {}", String::from_utf8_lossy(&ran.stderr));
        assert_eq!(String::from_utf8(ran.stdout).unwrap().trim_end(), said, "{title}, in Python");
    }
}
