//! The C program of the README, taken from the page and built as the page says.

use rope_checks::{c_library, compile_c, run, top};
use std::path::PathBuf;
use std::process::Command;

/// The first block of that language under the heading "Ten minutes in C".
fn block(language: &str) -> String {
    let page = std::fs::read_to_string(top().join("README.md")).unwrap();
    let (_, section) = page.split_once("\n## Ten minutes in C\n").unwrap();
    let (_, block) = section.split_once(&format!("\n```{language}\n")).unwrap();
    block.split_once("\n```").unwrap().0.to_owned() + "\n"
}

/// The C++ program, by its command.
#[test]
fn the_cpp_program_of_the_readme_prints_what_it_says() {
    if !rope_checks::has_cpp() {
        println!("not checked: this machine has no C++ compiler (c++)");
        return;
    }
    let page = std::fs::read_to_string(top().join("README.md")).unwrap();
    let (_, block) = page.split_once("\n```cpp\n").unwrap();
    let (source, rest) = block.split_once("\n```\n").unwrap();
    let said = source.rsplit_once("// ").unwrap().1.split_once('\n').unwrap().0;
    let (_, command) = rest.split_once("\n```sh\n").unwrap();
    let command = command.split_once('\n').unwrap().0;
    let folder = c_library().join("readme-cpp");
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(folder.join("line.cpp"), source.to_owned() + "\n").unwrap();
    let library = c_library().display().to_string();
    let command = command
        .replace("$PWD/target/release", &library)
        .replace("target/release", &library)
        .replace("-Iinclude", &format!("-I{}", top().join("include").display()));
    let built = Command::new("sh").args(["-c", &command]).current_dir(&folder).output().unwrap();
    assert!(built.status.success(), "{command}\n{}", String::from_utf8_lossy(&built.stderr));
    assert_eq!(run(&folder.join("line")).trim_end(), said);
}

/// The program as a file in a folder of its own, and the words that it says it prints.
fn program(folder: &str, file: &str) -> (PathBuf, String) {
    let source = block("c");
    let said = source.split_once("return 0; /* ").unwrap().1.split_once(" */").unwrap().0.to_owned();
    let folder = c_library().join(folder);
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(folder.join(file), source).unwrap();
    (folder, said)
}

#[test]
fn the_c_program_of_the_readme_prints_what_it_says() {
    let (folder, said) = program("readme-strict", "readme.c");
    for standard in ["c99", "c11"] {
        assert_eq!(run(&compile_c(&folder.join("readme.c"), standard)).trim_end(), said);
    }
}

#[test]
fn the_readme_says_how_to_link_with_both_libraries() {
    let (folder, said) = program("readme-commands", "line.c");
    let commands = block("sh");
    let mut compiled = 0;
    for command in commands.lines().filter(|line| line.starts_with("cc ")) {
        let library = c_library().display().to_string();
        let command = command
            .replace("$PWD/target/release", &library)
            .replace("target/release", &library)
            .replace("-Iinclude", &format!("-I{}", top().join("include").display()));
        let built = Command::new("sh").args(["-c", &command]).current_dir(&folder).output().unwrap();
        assert!(built.status.success(), "{command}\n{}", String::from_utf8_lossy(&built.stderr));
        assert_eq!(run(&folder.join("line")).trim_end(), said, "{command}");
        std::fs::remove_file(folder.join("line")).unwrap();
        compiled += 1;
    }
    assert_eq!(compiled, 2, "{commands}");
}
