//! What the header declares: structs with their layout, functions, constants.

use rope_checks::top;
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// What a member or parameter is.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Kind {
    Double,
    Float,
    I32,
    U32,
    U64,
    Size,
    Char,
    Pointer(Box<Kind>),
    /// Also one that is known by its name only.
    Struct(String),
    /// Of no kind that the header says.
    Opaque,
}

#[derive(Debug)]
pub(crate) struct Member {
    pub(crate) name: String,
    pub(crate) kind: Kind,
    pub(crate) offset: usize,
    /// How many, of an array.
    pub(crate) count: Option<usize>,
    /// The comment above it.
    pub(crate) says: String,
}

#[derive(Debug)]
pub(crate) struct Struct {
    pub(crate) size: usize,
    pub(crate) align: usize,
    pub(crate) members: Vec<Member>,
}

impl Struct {
    pub(crate) fn grows(&self) -> bool {
        self.members[0].name == "struct_size"
    }
}

#[derive(Debug, Clone)]
pub(crate) struct Parameter {
    pub(crate) name: String,
    pub(crate) kind: Kind,
    /// Behind a pointer that only reads.
    pub(crate) constant: bool,
}

/// What the header declares, in its order.
#[derive(Debug)]
pub(crate) enum Item {
    /// With the value as it is written.
    Constant { name: String, value: String, says: String },
    /// A struct known by its name only.
    Handle { name: String, says: String },
    /// One of `Header::structs`.
    Struct { name: String, says: String },
    /// With what it returns, as it is written.
    Function { name: String, returns: String, parameters: Vec<Parameter>, says: String },
}

#[derive(Debug, Default)]
pub(crate) struct Header {
    pub(crate) items: Vec<Item>,
    pub(crate) structs: BTreeMap<String, Struct>,
    pub(crate) functions: BTreeMap<String, Vec<Parameter>>,
    pub(crate) constants: BTreeMap<String, i64>,
}

/// A comment with one line more: lines become paragraphs, and an empty one parts two.
fn said(mut before: String, line: &str) -> String {
    let line = line.trim();
    let parts = before.is_empty() || before.ends_with('\n');
    before.push_str(match (parts, line) {
        (true, _) => "",
        (false, "") => "\n\n",
        (false, _) => " ",
    });
    before + line
}

impl Header {
    /// The committed header.
    pub(crate) fn get() -> &'static Self {
        static HEADER: OnceLock<Header> = OnceLock::new();
        HEADER.get_or_init(|| {
            let text = std::fs::read_to_string(top().join("include/rope_mechanics.h")).unwrap();
            let mut header = Self::read(&text);
            // To see that a test notices: see mod.rs.
            if let Ok(pair) = std::env::var("RMECH_SWAP") {
                let (one, other) = pair.split_once(',').unwrap();
                let (a, b) = (header.constants[one], header.constants[other]);
                header.constants.extend([(one.to_owned(), b), (other.to_owned(), a)]);
            }
            assert!(
                header.structs.len() > 90 && header.functions.len() >= 134 && header.constants.len() > 180
            );
            header
        })
    }

    fn read(text: &str) -> Self {
        let mut header = Self::default();
        let mut lines = text.lines();
        let mut says = String::new();
        while let Some(line) = lines.next() {
            if let Some(comment) = line.strip_prefix("//") {
                says = said(says, comment);
                continue;
            }
            if line == "RMECH_NODISCARD" {
                continue;
            }
            let says = std::mem::take(&mut says);
            if let Some(name) = line.strip_prefix("typedef struct ").and_then(|rest| rest.strip_suffix(" {"))
            {
                let made = header.structure(&mut lines);
                header.structs.insert(name.to_owned(), made);
                header.items.push(Item::Struct { name: name.to_owned(), says });
            } else if let Some(rest) = line.strip_prefix("typedef struct ") {
                let name = rest.split(' ').next().unwrap().to_owned();
                header.items.push(Item::Handle { name, says });
            } else if let Some(rest) = line.strip_prefix("#define RMECH_") {
                let (name, value) = rest.split_once(' ').unwrap();
                // Versions change; version.rs compares them.
                let version = name.starts_with("VERSION_") || name == "ABI_VERSION";
                if let (false, Ok(value)) = (version, value.parse()) {
                    header.constants.insert(format!("RMECH_{name}"), value);
                }
                let (name, value) = (format!("RMECH_{name}"), value.to_owned());
                header.items.push(Item::Constant { name, value, says });
            } else if ["int32_t ", "uint32_t ", "void ", "const char "]
                .iter()
                .any(|kind| line.starts_with(kind))
            {
                let mut whole = line.to_owned();
                while !whole.ends_with(';') {
                    whole += lines.next().unwrap();
                }
                let (declared, rest) = whole.split_once('(').unwrap();
                let at = declared.find("rmech_").unwrap();
                let (returns, name) = (declared[..at].trim().to_owned(), declared[at..].to_owned());
                let rest = rest.strip_suffix(");").unwrap();
                let taken = rest.split(',').filter(|one| *one != "void");
                let parameters: Vec<_> = taken.map(|one| header.parameter(one)).collect();
                if matches!(returns.as_str(), "int32_t" | "void") {
                    header.functions.insert(name.clone(), parameters.clone());
                }
                header.items.push(Item::Function { name, returns, parameters, says });
            }
        }
        header
    }

    fn structure<'a>(&self, lines: &mut impl Iterator<Item = &'a str>) -> Struct {
        let (mut members, mut says): (Vec<Member>, _) = (Vec::new(), String::new());
        let (mut end, mut align) = (0, 1);
        for line in lines {
            let line = line.trim();
            if line.starts_with('}') {
                break;
            }
            if let Some(comment) = line.strip_prefix("//") {
                says = said(says, comment);
                continue;
            }
            let (declared, count) = match line.trim_end_matches(';').split_once('[') {
                Some((declared, count)) => (declared, Some(count.trim_end_matches(']').parse().unwrap())),
                None => (line.trim_end_matches(';'), None),
            };
            let Parameter { name, kind, .. } = self.parameter(declared);
            let (size, needs) = self.layout(&kind);
            let offset = usize::next_multiple_of(end, needs);
            end = offset + size * count.unwrap_or(1);
            align = align.max(needs);
            members.push(Member { name, kind, offset, count, says: std::mem::take(&mut says) });
        }
        Struct { size: end.next_multiple_of(align), align, members }
    }

    fn parameter(&self, declared: &str) -> Parameter {
        let words: Vec<&str> = declared.split_whitespace().filter(|word| *word != "struct").collect();
        let (&last, types) = words.split_last().unwrap();
        let name = last.trim_start_matches('*');
        let stars = declared.matches('*').count();
        let base = types.iter().find(|word| !matches!(**word, "const" | "*")).unwrap();
        let mut kind = match *base {
            "double" => Kind::Double,
            "float" => Kind::Float,
            "int32_t" => Kind::I32,
            "uint32_t" => Kind::U32,
            "uint64_t" => Kind::U64,
            "size_t" => Kind::Size,
            "char" => Kind::Char,
            "void" => Kind::Opaque,
            name => Kind::Struct(name.to_owned()),
        };
        for _ in 0..stars {
            kind = Kind::Pointer(Box::new(kind));
        }
        Parameter { name: name.to_owned(), kind, constant: types.contains(&"const") }
    }

    /// Size and alignment.
    pub(crate) fn layout(&self, kind: &Kind) -> (usize, usize) {
        match kind {
            Kind::Double | Kind::U64 => (8, align_of::<u64>()),
            Kind::Float | Kind::I32 | Kind::U32 => (4, 4),
            Kind::Size | Kind::Pointer(_) => (size_of::<usize>(), align_of::<usize>()),
            Kind::Char => (1, 1),
            Kind::Struct(name) => (self.structs[name].size, self.structs[name].align),
            Kind::Opaque => panic!("what has no kind has no size"),
        }
    }

    /// The number of a constant, or a number as it is written.
    pub(crate) fn number(&self, text: &str) -> f64 {
        let whole = |name: &str| {
            self.constants.get(name).map(|value| *value as f64).unwrap_or_else(|| match name {
                "inf" => f64::INFINITY,
                _ => name.parse().unwrap_or_else(|_| panic!("no number: {name}")),
            })
        };
        text.split('+').filter(|part| !part.is_empty()).map(whole).sum()
    }
}
