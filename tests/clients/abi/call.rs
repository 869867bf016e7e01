//! Calls of the shipped library, as `cases.txt` describes them.

use super::header::{Header, Kind, Parameter};
use rope_checks::{c_library, top};
use std::collections::{BTreeMap, BTreeSet};
use std::ffi::{CString, c_char, c_int, c_void};
use std::sync::OnceLock;

unsafe extern "C" {
    fn dlopen(file: *const c_char, flags: c_int) -> *mut c_void;
    fn dlsym(library: *mut c_void, name: *const c_char) -> *mut c_void;
}

/// The library as it ships.
pub(super) struct Library(usize);

impl Library {
    pub(super) fn get() -> &'static Self {
        static LIBRARY: OnceLock<Library> = OnceLock::new();
        LIBRARY.get_or_init(|| {
            let file = c_library().join("librope_mechanics.so");
            let file = CString::new(file.to_str().unwrap()).unwrap();
            // SAFETY: a text that ends with a NUL; 2 is RTLD_NOW.
            let found = unsafe { dlopen(file.as_ptr(), 2) };
            assert!(!found.is_null(), "{} can't be loaded", file.to_string_lossy());
            Self(found as usize)
        })
    }

    /// Calls a function whose arguments are pointers, sizes and 32-bit integers.
    pub(super) fn call(&self, name: &str, arguments: &[usize]) -> i32 {
        type Function = unsafe extern "C" fn(
            usize,
            usize,
            usize,
            usize,
            usize,
            usize,
            usize,
            usize,
            usize,
            usize,
            usize,
            usize,
            usize,
            usize,
        ) -> i32;
        let symbol = CString::new(name).unwrap();
        // SAFETY: the library stays loaded, and the name ends with a NUL.
        let found = unsafe { dlsym(self.0 as *mut c_void, symbol.as_ptr()) };
        assert!(!found.is_null(), "the library has no {name}");
        let mut all = [0; 14];
        all[..arguments.len()].copy_from_slice(arguments);
        // SAFETY: each argument is passed as a whole word, wherever it stands, by the calling conventions of the 64-bit
        // targets that these tests run on; words beyond those that the function takes are not looked at.
        unsafe {
            let function: Function = std::mem::transmute(found);
            let [a, b, c, d, e, f, g, h, i, j, k, l, m, n] = all;
            function(a, b, c, d, e, f, g, h, i, j, k, l, m, n)
        }
    }
}

/// Memory of a struct, or of an array of some kind, with what its pointers point to.
#[derive(Debug)]
pub(super) struct Memory {
    pub(super) kind: Kind,
    words: Vec<u64>,
    /// By the offset of the pointer.
    lists: BTreeMap<usize, Memory>,
}

/// What fills memory that a call must leave alone.
const UNTOUCHED: u64 = 0xA5A5_A5A5_A5A5_A5A5;
/// So many elements every array has, at least: none of the cases needs more.
const ROOM: usize = 600;

impl Memory {
    pub(super) fn new(kind: &Kind, fill: u64) -> Self {
        let (size, _) = Header::get().layout(kind);
        let mut memory =
            Self { kind: kind.clone(), words: vec![fill; (size * ROOM).div_ceil(8)], lists: BTreeMap::new() };
        if let Kind::Struct(name) = kind
            && Header::get().structs[name].grows()
        {
            memory.set_size(Header::get().structs[name].size);
        }
        memory
    }

    pub(super) fn set_size(&mut self, size: usize) {
        self.write(0, &(size as u32).to_ne_bytes());
    }

    pub(super) fn address(&self) -> usize {
        self.words.as_ptr() as usize
    }

    fn bytes(&self, at: usize, count: usize) -> Vec<u8> {
        self.words.iter().flat_map(|word| word.to_ne_bytes()).skip(at).take(count).collect()
    }

    fn write(&mut self, at: usize, bytes: &[u8]) {
        for (i, byte) in bytes.iter().enumerate() {
            let word = &mut self.words[(at + i) / 8];
            let mut all = word.to_ne_bytes();
            all[(at + i) % 8] = *byte;
            *word = u64::from_ne_bytes(all);
        }
    }

    pub(super) fn words(&self) -> &[u64] {
        &self.words
    }

    /// The memory that holds the leaf of a path, its place there and its kind. Lists on the way are made.
    fn leaf(&mut self, path: &str) -> (&mut Self, usize, Kind) {
        let (mut kind, mut at, mut rest) = (self.kind.clone(), 0, path);
        let mut memory = self;
        loop {
            if let Some(behind) = rest.strip_prefix('[') {
                let (index, after) = behind.split_once(']').unwrap();
                at += Header::get().layout(&kind).0 * index.parse::<usize>().unwrap();
                rest = after;
            }
            rest = rest.strip_prefix('.').unwrap_or(rest);
            let Kind::Struct(name) = &kind else { break };
            let members = &Header::get().structs[name].members;
            if rest.is_empty() {
                // A quantity: its only member.
                assert_eq!(members.len(), 1, "{path} is no number");
                at += members[0].offset;
                kind = members[0].kind.clone();
                break;
            }
            let end = rest.find(['.', '[']).unwrap_or(rest.len());
            let (member, after) = rest.split_at(end);
            let found = members.iter().find(|one| one.name == member);
            let found = found.unwrap_or_else(|| panic!("{name} has no member {member}"));
            at += found.offset;
            rest = after;
            kind = found.kind.clone();
            if let (Kind::Pointer(to), true) = (&kind, rest.starts_with('[')) {
                let list = memory.lists.entry(at).or_insert_with(|| Self::new(to, 0));
                let address = list.address();
                memory.write(at, &address.to_ne_bytes());
                kind = (**to).clone();
                memory = memory.lists.get_mut(&at).unwrap();
                at = 0;
            }
        }
        (memory, at, kind)
    }

    pub(super) fn set(&mut self, path: &str, value: f64) {
        let (memory, at, kind) = self.leaf(path);
        match kind {
            Kind::Double => memory.write(at, &value.to_ne_bytes()),
            Kind::Float => memory.write(at, &(value as f32).to_ne_bytes()),
            Kind::I32 => memory.write(at, &(value as i32).to_ne_bytes()),
            Kind::U32 => memory.write(at, &(value as u32).to_ne_bytes()),
            Kind::U64 | Kind::Size => memory.write(at, &(value as u64).to_ne_bytes()),
            other => panic!("{path} is {other:?}, no number"),
        }
    }

    pub(super) fn get(&mut self, path: &str) -> f64 {
        let (memory, at, kind) = self.leaf(path);
        let bytes = memory.bytes(at, 8);
        let four = || bytes[..4].try_into().unwrap();
        let eight = || bytes[..8].try_into().unwrap();
        match kind {
            Kind::Double => f64::from_ne_bytes(eight()),
            Kind::Float => f32::from_ne_bytes(four()).into(),
            Kind::I32 => i32::from_ne_bytes(four()).into(),
            Kind::U32 => u32::from_ne_bytes(four()).into(),
            Kind::U64 | Kind::Size => u64::from_ne_bytes(eight()) as f64,
            other => panic!("{path} is {other:?}, no number"),
        }
    }

    /// Puts a whole struct there.
    pub(super) fn set_struct(&mut self, path: &str, value: &Self) {
        let Kind::Struct(name) = &value.kind else { panic!("no struct") };
        for member in &Header::get().structs[name].members {
            let number = value.read(&member.name);
            self.set(&format!("{path}.{}", member.name), number);
        }
    }

    /// A number that no list stands before.
    pub(super) fn read(&self, path: &str) -> f64 {
        let Kind::Struct(name) = &self.kind else { panic!("no struct") };
        let member = Header::get().structs[name].members.iter().find(|one| one.name == path).unwrap();
        assert_eq!(member.kind, Kind::U32, "{path}");
        u32::from_ne_bytes(self.bytes(member.offset, 4).try_into().unwrap()).into()
    }

    pub(super) fn text(&mut self, path: &str) -> String {
        let name = match &self.kind {
            Kind::Struct(name) => name.clone(),
            _ => panic!("no struct"),
        };
        let member = Header::get().structs[&name].members.iter().find(|one| one.name == path).unwrap();
        let bytes = self.bytes(member.offset, member.count.unwrap());
        String::from_utf8(bytes.into_iter().take_while(|byte| *byte != 0).collect()).unwrap()
    }
}

/// A call that succeeds, as `cases.txt` has it.
#[derive(Debug, Clone)]
pub(crate) struct Case {
    pub(crate) function: String,
    /// Paths from the parameter on, and their numbers as written.
    pub(crate) given: Vec<(String, String)>,
    /// Paths of numbers that this call doesn't read.
    pub(super) unread: BTreeSet<String>,
    /// Paths of numbers whose fault is the status of an element of an output.
    pub(super) its_own: BTreeSet<String>,
}

/// What came of a call.
pub(super) struct Outcome {
    pub(super) status: i32,
    pub(super) field: String,
    pub(super) message: String,
    /// The outputs by the names of their parameters.
    pub(super) outputs: BTreeMap<String, Memory>,
}

impl Outcome {
    pub(super) fn untouched(&self) -> bool {
        self.outputs.values().all(|memory| {
            let sized = matches!(&memory.kind, Kind::Struct(name) if Header::get().structs[name].grows());
            memory.words()[usize::from(sized)..].iter().all(|word| *word == UNTOUCHED)
        })
    }

    pub(super) fn same_as(&self, other: &Self) -> bool {
        self.status == other.status
            && self.outputs.iter().all(|(name, memory)| memory.words() == other.outputs[name].words())
    }

    pub(super) fn get(&mut self, path: &str) -> f64 {
        let (parameter, rest) = split(path);
        let memory = self.outputs.get_mut(parameter).unwrap_or_else(|| panic!("no output {parameter}"));
        memory.get(rest)
    }
}

/// The parameter of a path, and the path from there on.
fn split(path: &str) -> (&str, &str) {
    path.split_at(path.find(['.', '[']).unwrap_or(path.len()))
}

impl Case {
    pub(super) fn parameters(&self) -> &'static [Parameter] {
        &Header::get().functions[&self.function]
    }

    /// The same call with another number there.
    #[must_use]
    pub(super) fn with(&self, path: &str, value: &str) -> Self {
        let mut case = self.clone();
        case.given.retain(|(given, _)| given != path);
        case.given.push((path.to_owned(), value.to_owned()));
        case
    }

    pub(super) fn run(&self) -> Outcome {
        self.run_with(|_, _| {})
    }

    /// Runs the call, its memory changed before by `change`, which is given the parameter's name.
    pub(super) fn run_with(&self, change: impl Fn(&str, &mut Memory)) -> Outcome {
        let header = Header::get();
        let (mut inputs, mut outputs) = (BTreeMap::new(), BTreeMap::new());
        let mut arguments = Vec::new();
        for parameter in self.parameters() {
            let given: Vec<_> =
                self.given.iter().filter(|(path, _)| split(path).0 == parameter.name).collect();
            let name = parameter.name.as_str();
            let Kind::Pointer(to) = &parameter.kind else {
                let value = given.last().map_or(0.0, |(_, value)| header.number(value));
                arguments.push(value as i64 as usize);
                continue;
            };
            let handle = matches!(&**to, Kind::Struct(name) if !header.structs.contains_key(name));
            if handle
                || matches!(&**to, Kind::Pointer(_) | Kind::Opaque | Kind::Char)
                || given.iter().any(|(_, value)| value == "NULL")
            {
                arguments.push(0);
                continue;
            }
            let reads = parameter.constant;
            let mut memory = Memory::new(to, if reads || name == "error" { 0 } else { UNTOUCHED });
            for (path, value) in given {
                memory.set(split(path).1, header.number(value));
            }
            change(name, &mut memory);
            arguments.push(memory.address());
            if reads {
                inputs.insert(name, memory)
            } else {
                outputs.insert(name.to_owned(), memory)
            };
        }
        let status = Library::get().call(&self.function, &arguments);
        let (field, message) = outputs
            .remove("error")
            .map(|mut error| (error.text("field"), error.text("message")))
            .unwrap_or_default();
        drop(inputs);
        Outcome { status, field, message, outputs }
    }

    /// Every number that the call is given or could be: all leaves of its inputs, with the elements of lists as far as
    /// they are given, and the plain parameters.
    pub(super) fn inputs(&self) -> Vec<(String, Kind, String)> {
        let mut all = Vec::new();
        for parameter in self.parameters().iter().filter(|one| one.name != "error") {
            match &parameter.kind {
                Kind::Pointer(to) if matches!(&**to, Kind::Struct(name) if !Header::get().structs.contains_key(name)) =>
                    {}
                Kind::Pointer(to) if parameter.constant && **to != Kind::Char => {
                    if !self.given.iter().any(|(path, value)| *path == parameter.name && value == "NULL") {
                        self.leaves(to, &parameter.name, true, &mut all);
                    }
                }
                Kind::Pointer(_) => {}
                kind => all.push((parameter.name.clone(), kind.clone(), String::new())),
            }
        }
        all
    }

    fn elements(&self, path: &str) -> usize {
        let opening = format!("{path}[");
        let indices = self
            .given
            .iter()
            .filter_map(|(given, _)| given.strip_prefix(&opening)?.split(']').next()?.parse::<usize>().ok());
        indices.max().map_or(0, |last| last + 1)
    }

    fn leaves(&self, kind: &Kind, path: &str, behind_pointer: bool, all: &mut Vec<(String, Kind, String)>) {
        let elements = self.elements(path);
        if behind_pointer && elements > 0 {
            for index in 0..elements {
                self.leaves(kind, &format!("{path}[{index}]"), false, all);
            }
            return;
        }
        let Kind::Struct(name) = kind else {
            all.push((path.to_owned(), kind.clone(), String::new()));
            return;
        };
        let members = &Header::get().structs[name].members;
        if let [only] = members.as_slice() {
            all.push((path.to_owned(), only.kind.clone(), String::new()));
            return;
        }
        for member in members.iter().filter(|one| !matches!(one.name.as_str(), "struct_size")) {
            let inner = format!("{path}.{}", member.name);
            match (&member.kind, member.count) {
                (Kind::Pointer(to), _) => {
                    if self.elements(&inner) > 0 {
                        self.leaves(to, &inner, true, all);
                    }
                }
                (kind, Some(count)) => {
                    for index in 0..count {
                        self.leaves(kind, &format!("{inner}[{index}]"), false, all);
                    }
                }
                (kind @ Kind::Struct(_), None) => self.leaves(kind, &inner, false, all),
                (kind, None) => all.push((inner, kind.clone(), member.says.clone())),
            }
        }
    }

    /// The name that an error has for an input: from the struct on, unless it is a quantity or an element of an array.
    pub(super) fn field(&self, path: &str) -> String {
        let (parameter, rest) = split(path);
        let found = self.parameters().iter().find(|one| one.name == parameter).unwrap();
        let Kind::Pointer(to) = &found.kind else { return path.to_owned() };
        match &**to {
            // Points, forces and directions count as quantities.
            Kind::Struct(name)
                if matches!(
                    name.as_str(),
                    "rmech_point" | "rmech_force3" | "rmech_direction" | "rmech_plane_point"
                ) =>
            {
                path.to_owned()
            }
            Kind::Struct(_) if rest.starts_with('.') => rest[1..].to_owned(),
            _ => path.to_owned(),
        }
    }
}

/// All calls of `cases.txt`.
pub(crate) fn cases() -> &'static [Case] {
    static CASES: OnceLock<Vec<Case>> = OnceLock::new();
    CASES.get_or_init(|| {
        let text = std::fs::read_to_string(top().join("tests/clients/abi/cases.txt")).unwrap();
        let mut cases: Vec<Case> = Vec::new();
        for line in text.lines().filter(|line| !line.starts_with('#') && !line.trim().is_empty()) {
            if !line.starts_with(' ') {
                let mut words = line.split_whitespace();
                let function = words.next().unwrap().to_owned();
                // What another case gives, and what differs.
                let given = match words.next() {
                    None => Vec::new(),
                    Some("like") => {
                        let like = words.next().unwrap();
                        cases.iter().rev().find(|case| case.function == like).unwrap().given.clone()
                    }
                    Some(other) => panic!("{other}?"),
                };
                assert!(Header::get().functions.contains_key(&function), "no function {function}");
                let parameters = &Header::get().functions[&function];
                let has = |path: &str| {
                    let reads = |one: &&Parameter| one.constant || !matches!(one.kind, Kind::Pointer(_));
                    parameters.iter().filter(reads).any(|one| one.name == split(path).0)
                };
                let given = given.into_iter().filter(|(path, _)| has(path)).collect();
                cases.push(Case { function, given, unread: BTreeSet::new(), its_own: BTreeSet::new() });
                continue;
            }
            let case = cases.last_mut().unwrap();
            let mut words = line.split_whitespace();
            let first = words.next().unwrap();
            if first == "unread" {
                case.unread.extend(words.map(str::to_owned));
                continue;
            }
            if first == "its_own" {
                case.its_own.extend(words.map(str::to_owned));
                continue;
            }
            // "line: span=70 rise=-45", or "length=3" of a parameter itself.
            let (prefix, own) = match first.strip_suffix(':') {
                Some(prefix) => (prefix, None),
                None => ("", Some(first)),
            };
            for word in own.into_iter().chain(words) {
                let (path, value) = word.split_once('=').unwrap_or_else(|| panic!("{line}"));
                let path = if prefix.is_empty() { path.to_owned() } else { format!("{prefix}.{path}") };
                case.given.retain(|(given, _)| *given != path);
                case.given.push((path, value.to_owned()));
            }
        }
        cases
    })
}
