//! The header by topics: cbindgen writes all constants, then all types, then all functions; here each goes to the topic of
//! its source file, in the order of the contents of `cbindgen.toml`, with the example of that file's documentation.

use rope_checks::top;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::path::Path;

/// A topic as the contents name it, and its example in C, which stands in the documentation of its source file.
#[derive(Debug)]
pub(crate) struct Topic {
    pub(crate) title: String,
    file: String,
    pub(crate) example: String,
    model: String,
}

/// Quantities and what is made of nothing else come first: every topic uses them.
const QUANTITIES: &str = "quantity.rs";

fn sources() -> BTreeMap<String, String> {
    fn gather(folder: &Path, prefix: &str, into: &mut BTreeMap<String, String>) {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let name = format!("{prefix}{}", path.file_name().unwrap().to_string_lossy());
            if path.is_dir() {
                gather(&path, &format!("{name}/"), into);
            } else {
                into.insert(name, std::fs::read_to_string(path).unwrap());
            }
        }
    }
    let mut sources = BTreeMap::new();
    gather(&top().join("rope-ffi/src"), "", &mut sources);
    sources
}

/// The first block of that language in the documentation of a file: C for the example, text for the model.
fn block(source: &str, language: &str) -> String {
    let lines = source.lines().map_while(|line| line.strip_prefix("//!"));
    let opening = format!("```{language}");
    let block =
        lines.skip_while(|line| line.trim() != opening).skip(1).take_while(|line| line.trim() != "```");
    block.map(|line| line.strip_prefix(' ').unwrap_or(line).to_owned() + "\n").collect()
}

/// In the order of the contents.
pub(crate) fn topics() -> Vec<Topic> {
    let (sources, config) =
        (sources(), std::fs::read_to_string(top().join("rope-ffi/cbindgen.toml")).unwrap());
    let (_, contents) = config.split_once("\n * CONTENTS\n").unwrap();
    let (contents, _) = contents.split_once(" */").unwrap();
    let mut topics = vec![];
    for line in contents.lines() {
        if let Some(functions) = line.strip_prefix(" *     ") {
            let name = functions.trim().split(',').next().unwrap();
            let mut holds = sources.iter().filter(|(_, text)| text.contains(&format!("fn {name}(")));
            let (file, text) = holds.next().unwrap_or_else(|| panic!("no source has {name}"));
            let last: &mut Topic = topics.last_mut().unwrap();
            assert!(last.file.is_empty() || last.file == *file, "{} stands in two files", last.title);
            last.file.clone_from(file);
            last.example = block(text, "c");
            last.model = block(text, "text");
        } else if let Some(title) = line.strip_prefix(" *   ") {
            topics.push(Topic {
                title: title.to_owned(),
                file: String::new(),
                example: String::new(),
                model: String::new(),
            });
        }
    }
    let title = "Quantities, points and forces".to_owned();
    let [example, model] = ["c", "text"].map(|language| block(&sources[QUANTITIES], language));
    topics.insert(0, Topic { title, file: QUANTITIES.to_owned(), example, model });
    topics
}

/// A declaration with its comment.
struct Block<'a> {
    name: &'a str,
    text: &'a str,
    function: bool,
}

impl<'a> Block<'a> {
    fn new(text: &'a str) -> Self {
        let declared = text.lines().find(|line| !line.starts_with("//")).unwrap();
        let at = declared.to_lowercase().find("rmech_").unwrap_or_else(|| panic!("{text}"));
        let end = declared[at..]
            .find(|c: char| !c.is_ascii_alphanumeric() && c != '_')
            .map_or(declared.len(), |n| at + n);
        let function = !declared.starts_with("#define") && !declared.starts_with("typedef");
        Self { name: &declared[at..end], text, function }
    }

    /// The types that must stand before it.
    fn needs(&self) -> impl Iterator<Item = &'a str> {
        let code = self.text.lines().filter(|line| !line.trim_start().starts_with("//"));
        code.flat_map(|line| line.split(|c: char| !c.is_ascii_alphanumeric() && c != '_'))
            .filter(|word| word.starts_with("rmech_"))
    }
}

/// The picture of a topic: of the model that a module of the core draws.
fn picture(file: &str) -> Option<String> {
    let module = file.split(['/', '.']).next().unwrap();
    let path = format!("rope-mechanics/src/docs/pictures/{module}.svg");
    top().join(&path).exists().then_some(path)
}

/// What each function takes: heap; stack as `rope-ffi/freestanding.md` has it, with the tenth that CI allows; steps as
/// `rope-ffi/steps.txt` says.
fn costs() -> BTreeMap<String, String> {
    let read = |file: &str| std::fs::read_to_string(top().join(file)).unwrap();
    let (table, steps) = (read("rope-ffi/freestanding.md"), read("rope-ffi/steps.txt"));
    let stack = |function: &str| {
        let row = table.lines().find_map(|line| line.strip_prefix(&format!("| {function} | ")))?;
        let bytes: f64 = row.split(" | ").nth(1)?.trim_end_matches(" |").parse().unwrap();
        Some((1.1 * bytes / 1024.0).ceil())
    };
    let mut costs = BTreeMap::new();
    let rows = steps.lines().filter(|line| !line.is_empty() && !line.starts_with('#'));
    for (function, steps) in rows.map(|line| line.split_once(": ").unwrap()) {
        let place = match stack(function) {
            Some(stack) => format!("no heap, {stack} kB of stack"),
            None => "heap".to_owned(),
        };
        costs.insert(function.to_owned(), format!("// Cost: {place}; {steps}."));
    }
    costs
}

/// A function with its cost as the last line of its comment; anything else as it is.
fn with_cost(block: &Block, costs: &BTreeMap<String, String>) -> String {
    if !block.function {
        return block.text.to_owned();
    }
    let cost =
        costs.get(block.name).unwrap_or_else(|| panic!("rope-ffi/steps.txt doesn't know {}", block.name));
    let lines: Vec<&str> = block.text.lines().collect();
    let comment = lines.iter().take_while(|line| line.starts_with("//")).count();
    let mut text: String = lines[..comment].iter().map(|line| format!("{line}\n")).collect();
    text += &format!("{cost}\n");
    text + &lines[comment..].join("\n")
}

/// Each function has its steps, and no other has.
#[test]
fn the_steps_are_those_of_the_exported_functions() {
    let exported = std::fs::read_to_string(top().join("include/symbols.txt")).unwrap();
    let exported: BTreeSet<&str> = exported.lines().collect();
    let costs = costs();
    let named: BTreeSet<&str> = costs.keys().map(String::as_str).collect();
    assert_eq!(named, exported);
}

/// What cbindgen wrote, by topics.
pub(crate) fn in_topics(generated: &str) -> String {
    let opening = "#ifdef __cplusplus\nextern \"C\" {\n#endif // __cplusplus\n";
    let closing = "#ifdef __cplusplus\n}  // extern \"C\"\n#endif  // __cplusplus\n";
    let (before, rest) = generated.split_once("#include <stddef.h>\n").unwrap();
    let (types, rest) = rest.split_once(opening).unwrap();
    let (functions, after) = rest.split_once(closing).unwrap();
    let blocks =
        types.split("\n\n").chain(functions.split("\n\n")).map(str::trim).filter(|text| !text.is_empty());
    let blocks: Vec<Block> = blocks.map(Block::new).collect();

    let sources = sources();
    let topics = topics();
    let topic_of = |block: &Block| {
        let declared =
            ["fn ", "pub const ", "pub struct ", "pub type "].map(|word| format!("{word}{}", block.name));
        let declares = |text: &str| {
            declared.iter().any(|declared| {
                text.match_indices(declared).any(|(at, _)| {
                    !text[at + declared.len()..].starts_with(|c: char| c.is_ascii_alphanumeric() || c == '_')
                })
            })
        };
        let mut at = (0..topics.len()).filter(|number| declares(&sources[&topics[*number].file]));
        let found = at.next().unwrap_or_else(|| panic!("{} belongs to no topic", block.name));
        assert!(at.next().is_none(), "{} belongs to two topics", block.name);
        found
    };
    let of: Vec<usize> = blocks.iter().map(topic_of).collect();
    let types: BTreeMap<&str, usize> = blocks
        .iter()
        .enumerate()
        .filter(|(_, block)| !block.function)
        .map(|(i, block)| (block.name, i))
        .collect();

    let mut text = format!("{before}#include <stddef.h>\n\n{NODISCARD}\n{opening}\n");
    let costs = costs();
    let mut written = BTreeSet::new();
    fn write(
        i: usize,
        blocks: &[Block],
        types: &BTreeMap<&str, usize>,
        costs: &BTreeMap<String, String>,
        written: &mut BTreeSet<usize>,
        text: &mut String,
    ) {
        if !written.insert(i) {
            return;
        }
        for name in blocks[i].needs() {
            if let Some(&needed) = types.get(name) {
                write(needed, blocks, types, costs, written, text);
            }
        }
        let block = &blocks[i];
        let said = with_cost(block, costs);
        let block = &Block { text: &said, ..*block };
        if block.function && block.text.lines().any(|line| line.starts_with("int32_t ")) {
            // Between the comment and what it returns.
            let at = block
                .text
                .find("int32_t ")
                .filter(|at| *at == 0)
                .or(block.text.find("\nint32_t ").map(|at| at + 1))
                .unwrap();
            writeln!(text, "{}RMECH_NODISCARD\n{}\n", &block.text[..at], &block.text[at..]).unwrap();
        } else {
            writeln!(text, "{}\n", block.text).unwrap();
        }
    }
    for (number, topic) in topics.iter().enumerate() {
        writeln!(text, "/* ---- {} {}", topic.title, "-".repeat(110 - topic.title.len())).unwrap();
        for line in topic.model.lines() {
            assert!(
                line.is_ascii() && line.len() <= 130,
                "{line}: a header is plain ASCII, and its lines are short"
            );
            writeln!(text, " * {line}").unwrap();
        }
        if let Some(picture) = picture(&topic.file) {
            writeln!(text, " * Picture: {picture}").unwrap();
        }
        if !topic.example.is_empty() {
            text += " *\n";
        }
        for line in topic.example.lines() {
            assert!(!line.contains("*/") && !line.contains("/*"), "{line}: a comment in a comment; write //");
            writeln!(text, "{}", format!(" *     {line}").trim_end()).unwrap();
        }
        text += " */\n\n";
        // Constants and types, then functions, each as their sources have them.
        for functions in [false, true] {
            for i in (0..blocks.len()).filter(|i| of[*i] == number && blocks[*i].function == functions) {
                write(i, &blocks, &types, &costs, &mut written, &mut text);
            }
        }
    }
    assert_eq!(written.len(), blocks.len());
    text + closing + after
}

/// A status that nobody looks at is a warning where the compiler knows how.
const NODISCARD: &str = "\
#if defined(__cplusplus)
#  if __cplusplus >= 201703L
#    define RMECH_NODISCARD [[nodiscard]]
#  endif
#elif defined(__STDC_VERSION__)
#  if __STDC_VERSION__ > 201710L
#    define RMECH_NODISCARD [[nodiscard]]
#  endif
#endif
#ifndef RMECH_NODISCARD
#  define RMECH_NODISCARD
#endif
";

/// Each example of the header as it stands there, in one program: it prints what its comments say.
#[test]
fn the_examples_of_the_header_print_what_they_say() {
    let topics = topics();
    let of = |file: &str| &topics.iter().find(|topic| topic.file == file).unwrap().example;
    let mut source = String::from(
        "#include <stdio.h>\n#include <stdlib.h>\n#include <string.h>\n\
         #include \"rope_mechanics.h\"\n#include \"rope_mechanics_units.h\"\n\
         int main(int argc, char **argv) {\nrmech_error error = RMECH_INIT(rmech_error);\nstatic char site[100000];\n\
         FILE *file = argc > 1 ? fopen(argv[1], \"rb\") : NULL;\nif (file == NULL) return 1;\n\
         size_t bytes = fread(site, 1, sizeof site, file);\nfclose(file);\n",
    );
    let (mut said, mut examples) = (String::new(), 0);
    for topic in &topics {
        assert!(!topic.example.is_empty(), "{} has no example", topic.title);
        // These go on from the rig of the topic above.
        let (before, after) = if matches!(topic.file.as_str(), "rig/response.rs" | "rig/text.rs") {
            let rig = of("rig/mod.rs");
            let end = rig.find("rmech_rig_solution_destroy").unwrap();
            (rig[..end].to_owned(), &rig[end..])
        } else if topic.file == "schedule.rs" {
            let study = of("operation.rs");
            let end = study.find("rmech_operation_destroy").unwrap();
            (study[..end].to_owned(), &study[end..])
        } else {
            (String::new(), "")
        };
        writeln!(source, "{{ // {}\n{before}{{\n{}}}\n{after}}}", topic.title, topic.example).unwrap();
        for text in [&before, &topic.example] {
            for line in text.lines().filter(|line| line.contains("printf(")) {
                let (_, words) =
                    line.rsplit_once("// ").unwrap_or_else(|| panic!("what does it print? {line}"));
                writeln!(said, "{words}").unwrap();
            }
        }
        examples += 1;
    }
    source += "return 0;\n}\n";
    assert!(examples >= 28, "{examples}");
    let file = rope_checks::c_library().join("topics.c");
    std::fs::write(&file, source).unwrap();
    let program = rope_checks::compile_c(&file, "c99");
    let run = std::process::Command::new(program)
        .arg(top().join("examples/dispatch-c/demo.json"))
        .output()
        .unwrap();
    assert!(run.status.success());
    assert_eq!(String::from_utf8(run.stdout).unwrap(), said);
}

/// A type stands near the functions that take it, not a file away.
#[test]
fn types_stand_near_their_functions() {
    let header = std::fs::read_to_string(top().join("include/rope_mechanics.h")).unwrap();
    let lines: Vec<&str> = header.lines().collect();
    let mut between = Vec::new();
    for (at, line) in lines.iter().enumerate() {
        let Some(name) = line.strip_prefix("typedef struct ").and_then(|rest| rest.strip_suffix(" {")) else {
            continue;
        };
        let used = format!("struct {name} *");
        let first = (at + 1..lines.len()).find(|i| {
            lines[*i].contains(&used) && (lines[*i].contains('(') || lines[*i].starts_with("     "))
        });
        between.extend(first.map(|i| i - at));
    }
    between.sort_unstable();
    let median = between[between.len() / 2];
    println!("{} types, median {median} lines", between.len());
    assert!(between.len() > 90 && median < 120, "median {median} lines");
}
