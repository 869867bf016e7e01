//! `include/api.json`: the header as data, for those who write bindings; and the bindings of this project that are
//! written from it. All of them are committed, and a test says which one is out of date.
//!
//! After a change of the C interface, once the header is generated:
//! `UPDATE_API=1 cargo test -p rope-checks --test clients api::`

mod cpp;
mod cpp_calls;
mod read;

use crate::abi::header::{Header, Item, Kind};
use read::{Lengths, units};
use rope_checks::top;
use serde::Serialize;
use std::collections::BTreeMap;

/// Everything that the headers declare, in their order.
#[derive(Debug, Serialize)]
pub(crate) struct Api {
    about: &'static str,
    format: u32,
    version: String,
    abi_version: i64,
    pub(crate) constants: Vec<Constant>,
    pub(crate) units: Vec<Unit>,
    pub(crate) handles: Vec<Handle>,
    pub(crate) structs: Vec<Struct>,
    pub(crate) functions: Vec<Function>,
}

const ABOUT: &str = "The C interface of rope-mechanics as data, generated from its headers; don't edit. Sizes and offsets \
    in bytes, on targets with 64-bit pointers. A struct with \"grows\" begins with its size, which must be set; one with \
    \"quantity\" is one double in SI. \"role\" of a parameter: in, out, in-array and out-array (of \"length\" elements), \
    text (ends with a NUL), bytes (\"length\" of them), buffer (for \"length\" bytes), view (of \"length\" bytes that \
    belong to the handle), size (how many elements an array has), number, handle, new-handle, error, memory. What a \
    function with \"status\" returns is a constant RMECH_OK or RMECH_ERR_...";

#[derive(Debug, Serialize)]
pub(crate) struct Constant {
    pub(crate) name: String,
    pub(crate) value: serde_json::Number,
    pub(crate) doc: String,
}

/// A unit, as rope_mechanics_units.h builds and reads quantities by it.
#[derive(Debug, Serialize)]
pub(crate) struct Unit {
    pub(crate) quantity: String,
    pub(crate) build: String,
    pub(crate) read: String,
    /// As it is written there.
    pub(crate) size: serde_json::Number,
}

#[derive(Debug, Serialize)]
pub(crate) struct Handle {
    pub(crate) name: String,
    pub(crate) destroy: String,
    pub(crate) doc: String,
}

#[derive(Debug, Serialize)]
pub(crate) struct Struct {
    pub(crate) name: String,
    pub(crate) size: usize,
    pub(crate) align: usize,
    pub(crate) grows: bool,
    pub(crate) quantity: bool,
    pub(crate) doc: String,
    pub(crate) members: Vec<Member>,
}

#[derive(Debug, Serialize)]
pub(crate) struct Member {
    pub(crate) name: String,
    /// double, float, int32_t, uint32_t, uint64_t, size_t, char or a struct.
    #[serde(rename = "type")]
    pub(crate) kind: String,
    pub(crate) offset: usize,
    pub(crate) size: usize,
    /// How many, of an array inside the struct.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) count: Option<usize>,
    /// Of a pointer: the member that says to how many, or 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) length: Option<String>,
    pub(crate) doc: String,
}

#[derive(Debug, Serialize)]
pub(crate) struct Function {
    pub(crate) name: String,
    /// "status", or a type of C.
    pub(crate) returns: String,
    pub(crate) doc: String,
    pub(crate) parameters: Vec<Parameter>,
}

#[derive(Debug, Serialize)]
pub(crate) struct Parameter {
    pub(crate) name: String,
    #[serde(rename = "type")]
    pub(crate) kind: String,
    /// How many stars stand behind the type.
    pub(crate) pointer: u32,
    pub(crate) role: Role,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) length: Option<String>,
    /// Of a size: what is enough, where that is known before the call.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) enough: Option<String>,
    /// Whether it points to what is only read.
    #[serde(skip)]
    pub(crate) reads: bool,
    /// Whether NULL is allowed.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub(crate) optional: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum Role {
    In,
    Out,
    InArray,
    OutArray,
    Text,
    Bytes,
    Buffer,
    View,
    Size,
    Number,
    Handle,
    NewHandle,
    Error,
    Memory,
}

/// Inputs that may be NULL, and what that means stands in the comment of the function. Of outputs many may.
const OPTIONAL: [(&str, &str); 4] = [
    ("rmech_winch_turning", "line_speed"),
    ("rmech_slope_class", "classes"),
    ("rmech_motor_warmed", "limit"),
    ("rmech_operation_create", "options"),
];

/// The name of a type, and how many pointers stand before it.
fn named(kind: &Kind) -> (String, u32) {
    let name = match kind {
        Kind::Double => "double",
        Kind::Float => "float",
        Kind::I32 => "int32_t",
        Kind::U32 => "uint32_t",
        Kind::U64 => "uint64_t",
        Kind::Size => "size_t",
        Kind::Char => "char",
        Kind::Opaque => "void",
        Kind::Struct(name) => name,
        Kind::Pointer(to) => {
            let (name, stars) = named(to);
            return (name, stars + 1);
        }
    };
    (name.to_owned(), 0)
}

impl Api {
    pub(crate) fn new() -> Self {
        let header = Header::get();
        let lengths = Lengths::read();
        let mut api = Self {
            about: ABOUT,
            format: 1,
            version: env!("CARGO_PKG_VERSION").to_owned(),
            abi_version: 0,
            constants: Vec::new(),
            units: units(),
            handles: Vec::new(),
            structs: Vec::new(),
            functions: Vec::new(),
        };
        for item in &header.items {
            match item {
                Item::Constant { name, value, says } => {
                    let value: serde_json::Number = value.parse().unwrap();
                    if name == "RMECH_ABI_VERSION" {
                        api.abi_version = value.as_i64().unwrap();
                    }
                    api.constants.push(Constant { name: name.clone(), value, doc: says.clone() });
                }
                Item::Handle { name, says } => {
                    let destroy = format!("{name}_destroy");
                    assert!(header.functions.contains_key(&destroy), "nothing destroys a {name}");
                    api.handles.push(Handle { name: name.clone(), destroy, doc: says.clone() });
                }
                Item::Struct { name, says } => api.structs.push(structure(header, name, says)),
                Item::Function { name, returns, parameters, says } => {
                    let parameters = parameters.iter().map(|one| parameter(header, &lengths, name, one));
                    let mut parameters: Vec<_> = parameters.collect();
                    for i in 0..parameters.len() {
                        // The number of bytes stands behind the bytes, the room of a buffer behind the buffer.
                        if matches!(parameters[i].role, Role::Bytes | Role::Buffer | Role::View) {
                            parameters[i].length = Some(parameters[i + 1].name.clone());
                        }
                    }
                    let known: Vec<_> = parameters.iter().filter_map(|one| one.length.clone()).collect();
                    for one in parameters.iter_mut().filter(|one| one.role == Role::Number) {
                        // One that only says how long an array is.
                        if one.kind == "size_t"
                            && known.iter().any(|length| names(length).any(|n| n == one.name))
                        {
                            one.role = Role::Size;
                            one.enough = lengths.of(name, &one.name);
                        }
                    }
                    let status = returns == "int32_t";
                    api.functions.push(Function {
                        name: name.clone(),
                        returns: if status { "status".to_owned() } else { returns.clone() },
                        doc: says.clone(),
                        parameters,
                    });
                }
            }
        }
        api
    }
}

/// The names in the length of an array.
pub(crate) fn names(length: &str) -> impl Iterator<Item = &str> {
    length.split(|c: char| !c.is_ascii_alphanumeric() && !"_.".contains(c)).filter(|name| !name.is_empty())
}

fn structure(header: &Header, name: &str, says: &str) -> Struct {
    let of = &header.structs[name];
    let members: Vec<_> = of
        .members
        .iter()
        .map(|member| {
            let (kind, stars) = named(&member.kind);
            assert!(stars <= 1, "{name}.{}", member.name);
            // As legs, leg_count; in_series, in_series_count.
            let count = of.members.iter().map(|one| one.name.as_str()).find(|one| {
                one.strip_suffix("_count")
                    .is_some_and(|stem| member.name == stem || member.name == format!("{stem}s"))
            });
            let count = count.or_else(|| {
                of.members
                    .iter()
                    .map(|one| one.name.as_str())
                    .find(|one| *one == format!("{}_count", member.name))
            });
            // A pointer without a count is to one.
            let one = stars == 1 && count.is_none();
            Member {
                name: member.name.clone(),
                kind,
                offset: member.offset,
                size: header.layout(&member.kind).0 * member.count.unwrap_or(1),
                count: member.count,
                length: if one {
                    Some("1".to_owned())
                } else {
                    count.filter(|_| stars == 1).map(str::to_owned)
                },
                doc: member.says.clone(),
            }
        })
        .collect();
    let quantity = matches!(members.as_slice(), [only] if only.kind == "double");
    Struct {
        name: name.to_owned(),
        size: of.size,
        align: of.align,
        grows: of.grows(),
        quantity,
        doc: says.to_owned(),
        members,
    }
}

fn parameter(
    header: &Header,
    lengths: &Lengths,
    function: &str,
    of: &crate::abi::header::Parameter,
) -> Parameter {
    let (kind, pointer) = named(&of.kind);
    let length = lengths.of(function, &of.name);
    let opaque = kind.starts_with("rmech_") && !header.structs.contains_key(&kind);
    let role = match (kind.as_str(), pointer, of.constant) {
        ("rmech_error", 1, _) => Role::Error,
        (_, 0, _) => Role::Number,
        ("void", ..) => Role::Memory,
        // A text with a length, as JSON, or one that ends with a NUL.
        ("char", 2, _) => Role::View,
        ("char", _, true) if of.name != "name" => Role::Bytes,
        ("char", _, true) => Role::Text,
        ("char", _, false) => Role::Buffer,
        (_, 2, _) => Role::NewHandle,
        _ if opaque => Role::Handle,
        (_, _, true) if length.is_some() => Role::InArray,
        (_, _, true) => Role::In,
        _ if length.is_some() => Role::OutArray,
        _ => Role::Out,
    };
    let optional = OPTIONAL.contains(&(function, &of.name));
    Parameter {
        name: of.name.clone(),
        kind,
        pointer,
        role,
        length,
        enough: None,
        reads: of.constant,
        optional,
    }
}

/// Writes a generated file with `UPDATE_API`, and says if the committed one is another.
fn compare(path: &str, generated: &str) {
    let file = top().join(path);
    if std::env::var_os("UPDATE_API").is_some() {
        std::fs::create_dir_all(file.parent().unwrap()).unwrap();
        std::fs::write(&file, generated).unwrap();
    }
    assert!(
        std::fs::read_to_string(&file).unwrap_or_default() == generated,
        "{path} is out of date: run UPDATE_API=1 cargo test -p rope-checks --test clients api::"
    );
}

#[test]
fn api_json_is_up_to_date() {
    compare("include/api.json", &lines(&serde_json::to_string_pretty(&Api::new()).unwrap()));
}

/// JSON with what holds nothing more on a line of its own.
fn lines(pretty: &str) -> String {
    let lines: Vec<&str> = pretty.lines().collect();
    let (mut text, mut at) = (String::new(), 0);
    while at < lines.len() {
        let next = (at + 1..lines.len())
            .find(|i| lines[*i].ends_with(['{', '[']) || lines[*i].trim().starts_with(['}', ']']));
        match next {
            Some(end) if lines[at].ends_with('{') && lines[end].trim().starts_with('}') => {
                let inside: Vec<_> = lines[at + 1..end].iter().map(|line| line.trim()).collect();
                text += &format!("{}{}{}\n", lines[at], inside.join(" "), lines[end].trim());
                at = end + 1;
            }
            _ => {
                text += lines[at];
                text += "\n";
                at += 1;
            }
        }
    }
    text
}

/// Every number of elements belongs to an array, and what the calls in `cases.txt` give as an array is one.
#[test]
fn every_array_has_its_length() {
    let api = Api::new();
    let sizes = [
        ("rmech_anchor_after_losing", "lost"),
        ("rmech_bridle_slack_length", "rope"),
        ("rmech_rig_solution_part", "number"),
        ("rmech_rig_solution_sheave", "number"),
        ("rmech_rig_response_part", "number"),
        ("rmech_rig_response_sheave", "number"),
        ("rmech_operation_set_point_line", "number"),
        ("rmech_operation_setting", "number"),
        ("rmech_operation_setting_line", "setting"),
        ("rmech_operation_setting_line", "number"),
        ("rmech_operation_place", "number"),
        ("rmech_operation_window", "place"),
        ("rmech_operation_window", "number"),
        ("rmech_operation_no_length", "number"),
        ("rmech_operation_mark", "number"),
        ("rmech_operation_seen", "number"),
    ];
    let mut functions = BTreeMap::new();
    for function in &api.functions {
        functions.insert(function.name.as_str(), function);
        for one in &function.parameters {
            let plain = one.role == Role::Number && one.kind == "size_t";
            assert!(
                !plain || sizes.contains(&(&function.name, &one.name)),
                "{}: what is {} the number of? Say so in lengths.txt",
                function.name,
                one.name
            );
        }
    }
    Lengths::read().check(&functions);
    for case in crate::abi::cases() {
        for one in &functions[case.function.as_str()].parameters {
            let listed = case.given.iter().any(|(path, _)| path.starts_with(&format!("{}[", one.name)));
            assert!(!listed || one.role == Role::InArray, "{}: {} is a list", case.function, one.name);
        }
    }
}

/// The offsets and sizes are those of the compiler: a program in C asserts each.
#[test]
fn the_layouts_are_those_of_the_compiler() {
    use std::fmt::Write;
    let mut source = String::from("#include \"rope_mechanics.h\"\nint main(void) { return 0; }\n");
    let mut asserted = 0;
    for of in Api::new().structs {
        let name = &of.name;
        writeln!(
            source,
            "_Static_assert(sizeof({name}) == {} && _Alignof({name}) == {}, \"\");",
            of.size, of.align
        )
        .unwrap();
        for member in of.members {
            writeln!(
                source,
                "_Static_assert(offsetof({name}, {0}) == {1} && sizeof((({name} *)0)->{0}) == {2}, \"{name}.{0}\");",
                member.name, member.offset, member.size
            )
            .unwrap();
            asserted += 1;
        }
    }
    assert!(asserted > 600, "{asserted}");
    let file = rope_checks::c_library().join("api-layouts.c");
    std::fs::write(&file, source).unwrap();
    assert_eq!(rope_checks::run(&rope_checks::compile_c(&file, "c11")), "");
}
