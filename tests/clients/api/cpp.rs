//! `include/rope_mechanics.hpp`, written from the interface as data: all of its functions, or it is not whole.

use super::{Api, Function, Member, Parameter, Role, compare, names};
use std::collections::BTreeMap;
use std::fmt::Write;

/// What may be multiplied: one, the other, their product; and whether the product divided by each gives the other. Force by
/// length could be a weight or a stiffness, so that neither is given.
const PRODUCTS: [(&str, &str, &str, bool, bool); 17] = [
    ("velocity", "time", "length", true, true),
    ("force", "length", "energy", true, true),
    ("power", "time", "energy", true, true),
    ("force", "velocity", "power", true, true),
    ("line_weight", "length", "force", true, false),
    ("stiffness", "length", "force", true, false),
    ("line_mass", "length", "mass", true, true),
    ("voltage", "current", "power", true, true),
    ("resistance", "current", "voltage", true, true),
    ("current", "time", "charge", true, true),
    ("pressure", "area", "force", true, true),
    ("motor_constant", "current", "torque", true, true),
    ("torque", "turning_speed", "power", true, true),
    ("force_rate", "time", "force", true, true),
    ("heat_capacity", "temperature_interval", "energy", true, true),
    ("thermal_resistance", "power", "temperature_interval", true, true),
    ("turning_speed", "time", "angle", true, true),
];

/// Written by hand in the template.
const BY_HAND: [&str; 5] =
    ["rmech_init", "rmech_status_text", "rmech_version", "rmech_abi_version", "rmech_check_version"];

/// Without its prefix, and with the namespace before it, since parameters and members may have the names of types.
pub(super) fn type_of(kind: &str) -> String {
    match kind {
        "double" | "float" | "char" => kind.to_owned(),
        "int32_t" | "uint32_t" | "uint64_t" | "size_t" => format!("std::{kind}"),
        kind => format!("rope_mechanics::{}", bare(kind)),
    }
}

/// The name of a type without its prefix.
pub(super) fn bare(name: &str) -> &str {
    match name.strip_prefix("rmech_").unwrap() {
        "throw" => "throw_", // a word of the language
        name => name,
    }
}

fn comment(text: &mut String, indent: &str, doc: &str) {
    for paragraph in doc.split("\n\n").filter(|paragraph| !paragraph.is_empty()) {
        let mut line = format!("{indent}///");
        for word in paragraph.split_whitespace() {
            if line.len() + word.len() > 118 {
                writeln!(text, "{line}").unwrap();
                line = format!("{indent}///");
            }
            line += " ";
            line += word;
        }
        writeln!(text, "{line}").unwrap();
    }
}

pub(super) fn header(api: &Api) -> String {
    let template = include_str!("rope_mechanics.in.hpp");
    let (units, literals) = units(api);
    let parts = [
        ("@QUANTITIES@", quantities(api)),
        ("@UNITS@", units),
        ("@LITERALS@", literals),
        ("@STRUCTS@", structs(api)),
        ("@CALLS@", calls(api)),
    ];
    parts.iter().fold(template.to_owned(), |text, (mark, part)| {
        assert_eq!(text.matches(mark).count(), 1, "{mark}");
        text.replace(mark, part.trim_end())
    })
}

fn quantities(api: &Api) -> String {
    let mut text = String::from("namespace detail {\n");
    let all: Vec<_> = api.structs.iter().filter(|of| of.quantity).collect();
    for of in &all {
        let (name, member) = (&of.name, &of.members[0].name);
        writeln!(text, "template <> struct of_c<{name}> {{").unwrap();
        writeln!(text, "    static constexpr double get({name} c) noexcept {{ return c.{member}; }}")
            .unwrap();
        writeln!(text, "    static constexpr {name} make(double si) noexcept {{ return {name}{{si}}; }}")
            .unwrap();
        writeln!(text, "}};").unwrap();
    }
    text += "} // namespace detail\n\n";
    for of in &all {
        comment(&mut text, "", &of.doc);
        writeln!(text, "using {} = quantity<{}>;", of.name.strip_prefix("rmech_").unwrap(), of.name).unwrap();
    }
    text += "\n";
    let mut line = |gives: &str, operator: &str, one: &str, other: &str| {
        writeln!(
            text,
            "constexpr {gives} operator{operator}({one} a, {other} b) noexcept {{ return {gives}::from_si(a.si() {operator} b.si()); }}"
        )
        .unwrap();
    };
    line("area", "*", "length", "length");
    line("length", "/", "area", "length");
    for (one, other, product, by_one, by_other) in PRODUCTS {
        for name in [one, other, product] {
            assert!(all.iter().any(|of| of.name == format!("rmech_{name}")), "no quantity {name}");
        }
        line(product, "*", one, other);
        line(product, "*", other, one);
        if by_one {
            line(other, "/", product, one);
        }
        if by_other {
            line(one, "/", product, other);
        }
    }
    text
}

fn units(api: &Api) -> (String, String) {
    let (mut units, mut literals) = (String::new(), String::new());
    for of in &api.units {
        let kind = of.quantity.strip_prefix("rmech_").unwrap();
        let name = of.build.strip_prefix("rmech_").unwrap();
        writeln!(units, "inline constexpr unit<{}> {name}{{{}}};", of.quantity, of.size).unwrap();
        writeln!(
            literals,
            "template <char... Text> constexpr {kind} operator\"\"_{name}() noexcept {{\n    \
             constexpr double value = detail::number<Text...>();\n    \
             static_assert(value >= 0.0, \"write a decimal number of at most 15 digits\");\n    \
             return value * units::{name};\n}}"
        )
        .unwrap();
    }
    (units, literals)
}

fn structs(api: &Api) -> String {
    let mut text = String::new();
    for of in api.structs.iter().filter(|of| !of.quantity && of.name != "rmech_error") {
        let name = bare(&of.name);
        let counts: Vec<_> = of.members.iter().filter_map(|one| one.length.as_deref()).collect();
        let (mut members, mut asserts) = (String::new(), String::new());
        for (i, member) in of.members.iter().enumerate() {
            if counts.contains(&member.name.as_str()) {
                continue;
            }
            comment(&mut members, "    ", &member.doc);
            let Member { name: called, kind, .. } = member;
            let kind = type_of(kind);
            match (member.length.as_deref(), member.count) {
                (Some("1"), _) => writeln!(members, "    {kind} *{called} = nullptr;"),
                (Some(count), _) => {
                    assert_eq!(of.members[i + 1].name, count, "{name}.{called}: its count stands elsewhere");
                    writeln!(members, "    array_view<{kind}> {called};")
                }
                (None, Some(count)) => writeln!(members, "    std::array<{kind}, {count}> {called}{{}};"),
                _ if called == "struct_size" => {
                    writeln!(
                        members,
                        "    {kind} struct_size = static_cast<std::uint32_t>(sizeof({}));",
                        of.name
                    )
                }
                _ => writeln!(members, "    {kind} {called}{{}};"),
            }
            .unwrap();
            writeln!(asserts, "RMECH_SAME_PLACE({name}, {}, {called});", of.name).unwrap();
        }
        comment(&mut text, "", &of.doc);
        write!(text, "struct {name} {{\n{members}}};\n").unwrap();
        writeln!(text, "RMECH_SAME_SIZE({name}, {});", of.name).unwrap();
        writeln!(text, "{asserts}").unwrap();
    }
    text
}

/// A call as C++ writes it.
pub(super) struct Call<'a> {
    of: &'a Function,
    /// The class that it belongs to, if any, and whether it reads or changes its handle.
    class: Option<(&'a str, &'a Parameter)>,
    pub(super) taken: Vec<String>,
    before: String,
    given: Vec<String>,
    /// Type, name and how it is moved out.
    outputs: Vec<(String, String)>,
    after: String,
}

impl<'a> Call<'a> {
    pub(super) fn new(of: &'a Function) -> Self {
        let mut call = Self {
            of,
            class: None,
            taken: Vec::new(),
            before: String::new(),
            given: Vec::new(),
            outputs: Vec::new(),
            after: String::new(),
        };
        // A handle to begin with makes it a member of its class; one that is only made, a maker of it.
        let handle = of.parameters.iter().find(|one| one.role == Role::Handle);
        let handle = handle.or_else(|| of.parameters.iter().find(|one| one.role == Role::NewHandle));
        call.class = handle.map(|one| (one.kind.strip_prefix("rmech_").unwrap(), one));
        let buffer = of.parameters.iter().find(|one| one.role == Role::Buffer);
        for (i, one) in of.parameters.iter().enumerate() {
            let input = |one: &Parameter| {
                matches!(one.role, Role::In | Role::InArray | Role::Number | Role::Text | Role::Bytes)
            };
            call.parameter(one, !of.parameters[i + 1..].iter().any(input), buffer);
        }
        call
    }

    /// How many elements the length says, in C++.
    fn length(&self, length: &str) -> String {
        let mut text = String::new();
        let mut rest = length;
        while !rest.is_empty() {
            let end =
                rest.find(|c: char| !c.is_ascii_alphanumeric() && !"_.".contains(c)).unwrap_or(rest.len());
            let (name, after) = rest.split_at(if end == 0 { 1 } else { end });
            rest = after;
            if let Some((structure, member)) = name.split_once('.') {
                // The count of a list in a struct that is given.
                let list = member.strip_suffix("_count").unwrap();
                write!(text, "{structure}.{list}s.size()").unwrap();
            } else if let Some(array) = self.array_of(name) {
                write!(text, "{array}.size()").unwrap();
            } else if self.of.parameters.iter().any(|one| one.name == name && one.kind != "size_t") {
                write!(text, "std::size_t{{{name}}}").unwrap();
            } else {
                text += name;
            }
        }
        text
    }

    /// The first input that has so many elements.
    fn array_of(&self, size: &str) -> Option<&'a str> {
        let found = self
            .of
            .parameters
            .iter()
            .find(|one| one.role == Role::InArray && one.length.as_deref() == Some(size));
        found.map(|one| one.name.as_str())
    }

    fn parameter(&mut self, one: &'a Parameter, last: bool, buffer: Option<&Parameter>) {
        let Parameter { name, kind, .. } = one;
        let plain = |kind: &str| if kind == "char" { String::new() } else { type_of(kind) };
        let ty = plain(kind);
        let scalar = !kind.starts_with("rmech_");
        match one.role {
            Role::Error => self.given.push("&error".to_owned()),
            Role::Number => {
                self.taken.push(format!("{ty} {name}"));
                self.given.push(name.clone());
            }
            Role::In if one.optional => {
                let default = if last { " = std::nullopt" } else { "" };
                self.taken.push(format!("const std::optional<{ty}> &{name}{default}"));
                if kind == "rmech_velocity" || kind == "rmech_temperature" {
                    writeln!(
                        self.before,
                        "    const {kind} {name}_c = {name} ? static_cast<{kind}>(*{name}) : {kind}{{}};"
                    )
                    .unwrap();
                    self.given.push(format!("{name} ? &{name}_c : nullptr"));
                } else {
                    self.given.push(format!("{name} ? detail::as<{kind}>(&*{name}) : nullptr"));
                }
            }
            Role::In => {
                self.taken.push(format!("const {ty} &{name}"));
                self.given.push(format!("detail::as<{kind}>(&{name})"));
            }
            Role::InArray => {
                self.taken.push(format!("array_view<{ty}> {name}"));
                self.given.push(format!("detail::as<{kind}>({name}.data())"));
                let first = self.array_of(one.length.as_deref().unwrap()).unwrap();
                if first != name {
                    writeln!(
                        self.before,
                        "    if ({name}.size() != {first}.size()) {{\n        return detail::unequal(\"{name}\", {name}.size(), \"{first}\", {first}.size());\n    }}"
                    )
                    .unwrap();
                }
            }
            Role::Size => match (self.array_of(name), buffer) {
                (Some(array), _) => self.given.push(format!("{array}.size()")),
                (None, Some(buffer)) if buffer.length.as_deref() == Some(name) => {
                    self.given.push("@SIZE@".to_owned())
                }
                _ if self
                    .of
                    .parameters
                    .iter()
                    .any(|b| b.role == Role::Bytes && b.length.as_deref() == Some(name)) =>
                {
                    let bytes =
                        self.of.parameters.iter().find(|b| b.length.as_deref() == Some(name)).unwrap();
                    self.given.push(format!("{}.size()", bytes.name));
                }
                _ if one.enough.is_some() => self.given.push(self.length(one.enough.as_deref().unwrap())),
                _ => {
                    self.taken.push(format!("std::size_t {name}"));
                    self.given.push(name.clone());
                }
            },
            Role::Text => {
                self.taken.push(format!("const std::string &{name}"));
                self.given.push(format!("{name}.c_str()"));
            }
            Role::Bytes => {
                self.taken.push(format!("std::string_view {name}"));
                self.given.push(format!("{name}.data()"));
            }
            Role::Buffer => {
                writeln!(self.before, "    std::string {name};").unwrap();
                self.given.push("@BUFFER@".to_owned());
                self.outputs.push(("std::string".to_owned(), name.clone()));
            }
            Role::View => {
                writeln!(self.before, "    const char *{name} = nullptr;").unwrap();
                self.given.push(format!("&{name}"));
                self.outputs.push((
                    "std::string_view".to_owned(),
                    format!("std::string_view({name}, {})", one.length.as_ref().unwrap()),
                ));
            }
            Role::Out
                if buffer.is_some()
                    || kind == "size_t" && self.of.parameters.iter().any(|b| b.role == Role::View) =>
            {
                writeln!(self.before, "    std::size_t {name} = 0;").unwrap();
                self.given.push(format!("&{name}"));
            }
            Role::Out => {
                writeln!(self.before, "    {ty} {name}{{}};").unwrap();
                self.given.push(if scalar {
                    format!("&{name}")
                } else {
                    format!("detail::as<{kind}>(&{name})")
                });
                self.outputs.push((ty, name.clone()));
            }
            Role::OutArray => {
                let length = one.length.as_deref().unwrap();
                let size = self.of.parameters.iter().find(|size| size.name == length);
                let enough = size.and_then(|size| size.enough.as_deref());
                let count = self.length(enough.unwrap_or(length));
                writeln!(self.before, "    std::vector<{ty}> {name}({count});").unwrap();
                self.given.push(format!("detail::as<{kind}>({name}.data())"));
                self.outputs.push((format!("std::vector<{ty}>"), name.clone()));
                // As many as there are.
                let counted = format!("{}_count", name.trim_end_matches('s'));
                if self.of.parameters.iter().any(|count| count.name == counted) {
                    writeln!(
                        self.after,
                        "    if ({counted} < {name}.size()) {{\n        {name}.resize({counted});\n    }}"
                    )
                    .unwrap();
                }
            }
            Role::Handle => self.given.push("handle_.get()".to_owned()),
            Role::NewHandle => {
                writeln!(self.before, "    {kind} *{name}_made = nullptr;").unwrap();
                self.given.push(format!("&{name}_made"));
                self.outputs.push((ty.clone(), format!("{ty}({name}_made)")));
            }
            Role::Memory => panic!("{} takes memory of no kind", self.of.name),
        }
    }

    /// Its name in its class, or in the namespace.
    fn name(&self) -> &'a str {
        let name = self.of.name.strip_prefix("rmech_").unwrap();
        match self.class {
            Some((class, _)) => name
                .strip_prefix(class)
                .and_then(|rest| rest.strip_prefix('_'))
                .or(name.strip_prefix("rig_"))
                .unwrap(),
            None => name,
        }
    }

    fn result(&self) -> String {
        match self.outputs.as_slice() {
            [] => "result<void>".to_owned(),
            [(ty, _)] => format!("result<{ty}>"),
            _ => format!("result<{}_result>", self.of.name.strip_prefix("rmech_").unwrap()),
        }
    }

    /// The struct of several outputs.
    fn outputs(&self) -> String {
        let mut text = String::new();
        if self.outputs.len() > 1 {
            let name = self.of.name.strip_prefix("rmech_").unwrap();
            writeln!(text, "/// What {}{name} gives.", if self.class.is_some() { "rmech_" } else { "" })
                .unwrap();
            writeln!(text, "struct {name}_result {{").unwrap();
            for (ty, value) in &self.outputs {
                writeln!(text, "    {ty} {};", member(value)).unwrap();
            }
            text += "};\n";
        }
        text
    }

    fn declaration(&self, inside: bool) -> String {
        let is_const = |of: &Parameter| of.role == Role::Handle && of.reads;
        match self.class {
            Some((class, handle)) => {
                let (maker, reads) = (handle.role == Role::NewHandle, is_const(handle));
                let taken = self.taken.join(", ");
                // A default stands in the class only.
                let taken = if inside { taken } else { taken.replace(" = std::nullopt", "") };
                let (before, scope) = if inside {
                    (if maker { "static " } else { "" }, String::new())
                } else {
                    ("inline ", format!("{class}::"))
                };
                let after = if reads { " const" } else { "" };
                format!("[[nodiscard]] {before}{} {scope}{}({taken}){after}", self.result(), self.name())
                    .replace(if inside { "\0" } else { "[[nodiscard]] " }, "")
            }
            None => {
                format!("[[nodiscard]] inline {} {}({})", self.result(), self.name(), self.taken.join(", "))
            }
        }
    }

    fn definition(&self) -> String {
        let given = self.given.join(", ");
        let call = |given: &str| {
            format!(
                "    if ({}({given}) != RMECH_OK) {{\n        return detail::failed(error);\n    }}\n",
                self.of.name
            )
        };
        let called = if given.contains("@BUFFER@") {
            // How much room it takes, then the text, its NUL cut off.
            let (name, needed) = (&self.outputs[0].1, "needed");
            let ask = call(&given.replace("@BUFFER@", "nullptr").replace("@SIZE@", "0"));
            let fill = call(
                &given
                    .replace("@BUFFER@", &format!("{name}.data()"))
                    .replace("@SIZE@", &format!("{name}.size()")),
            );
            format!("{ask}    {name}.resize({needed});\n{fill}    {name}.resize({needed} - 1);\n")
        } else {
            call(&given)
        };
        let values: Vec<_> = self.outputs.iter().map(|(_, value)| moved(value)).collect();
        let back = match values.as_slice() {
            [] => "    return {};\n".to_owned(),
            [_] => format!("    return {};\n", self.outputs[0].1),
            many => format!(
                "    return {}_result{{{}}};\n",
                self.of.name.strip_prefix("rmech_").unwrap(),
                many.join(", ")
            ),
        };
        format!(
            "{} {{\n    rmech_error error = RMECH_INIT(rmech_error);\n{}{called}{}{back}}}\n",
            self.declaration(false),
            self.before,
            self.after
        )
    }
}

/// What an output is called in a struct of several.
fn member(value: &str) -> &str {
    match value.split_once('(') {
        Some((_, rest)) => rest.trim_end_matches(')').split(',').next().unwrap().trim_end_matches("_made"),
        None => value,
    }
}

fn moved(value: &str) -> String {
    if value.contains('(') { value.to_owned() } else { format!("std::move({value})") }
}

fn calls(api: &Api) -> String {
    let all = api.functions.iter().filter(|of| !BY_HAND.contains(&of.name.as_str()));
    let calls: Vec<Call> = all.filter(|of| !of.name.ends_with("_destroy")).map(Call::new).collect();
    let mut members: BTreeMap<&str, Vec<&Call>> = BTreeMap::new();
    let mut text = String::new();
    for call in &calls {
        match call.class {
            Some((class, _)) => members.entry(class).or_default().push(call),
            None => {
                assert!(
                    !api.structs.iter().any(|of| of.name == call.of.name),
                    "{} is a type and a function",
                    call.of.name
                );
                text += &call.outputs();
                comment(&mut text, "", &call.of.doc);
                text += &call.definition();
                text += "\n";
            }
        }
    }
    for of in &api.handles {
        writeln!(text, "class {};", of.name.strip_prefix("rmech_").unwrap()).unwrap();
    }
    for call in calls.iter().filter(|call| call.class.is_some() && call.outputs.len() > 1) {
        writeln!(text, "struct {}_result;", call.of.name.strip_prefix("rmech_").unwrap()).unwrap();
    }
    text += "\n";
    for of in &api.handles {
        let name = of.name.strip_prefix("rmech_").unwrap();
        comment(&mut text, "", &of.doc);
        writeln!(text, "class {name} {{\npublic:").unwrap();
        writeln!(text, "    /// Takes over a handle of C.\n    explicit {name}({} *handle) noexcept : handle_(handle) {{}}", of.name)
            .unwrap();
        writeln!(text, "    /// The handle of C, which stays owned here.\n    {} *get() const noexcept {{ return handle_.get(); }}", of.name)
            .unwrap();
        writeln!(text, "    /// Gives the handle away: to destroy it is the caller's now.\n    {} *release() noexcept {{ return handle_.release(); }}\n", of.name)
            .unwrap();
        for call in &members[name] {
            comment(&mut text, "    ", &call.of.doc);
            writeln!(text, "    {};", call.declaration(true)).unwrap();
        }
        writeln!(text, "\nprivate:\n    detail::owner<{}, {}> handle_;\n}};\n", of.name, of.destroy).unwrap();
    }
    for call in calls.iter().filter(|call| call.class.is_some()) {
        text += &call.outputs();
    }
    text += "\n";
    for call in calls.iter().filter(|call| call.class.is_some()) {
        text += &call.definition();
        text += "\n";
    }
    text
}

#[test]
fn the_cpp_header_is_up_to_date_and_whole() {
    let api = Api::new();
    let text = header(&api);
    for of in &api.functions {
        assert!(
            of.name == "rmech_init"
                || of.name == "rmech_check_version"
                || text.contains(&format!("{}(", of.name))
                || text.contains(&format!(", {}>", of.name)),
            "{} can't be reached from C++",
            of.name
        );
        assert!(names(&of.name).count() == 1);
    }
    compare("include/rope_mechanics.hpp", &text);
}
