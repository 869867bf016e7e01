//! Every text that the library reads, mutated: sites, rigs and tackle as JSON and TOML, what a solved rig wrote, the kit and the tables and tracks of ground
//! that stand beside a site, and quantities. None may panic, none may
//! hang, a refusal says why in a sentence, and what is read and written again is the same.
//!
//! ```text
//! cargo run --release -p rope-checks --bin text-soak -- 20000 [seed]       hours of it: 50000000 7
//! ```
//!
//! The corpora stand in `tests/attack/corpus`, with what was once found; the site is `tests/sites/reference.toml`. Mutations keep
//! most of a text's structure: a span is doubled, cut, moved or taken from another text, a number or unit becomes an odd one, a
//! bracket is lost, a byte flips. The same seed gives the same texts.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "what can't be checked has failed"
)]

use rope_checks::top;
use rope_mechanics::operation::site::{FilesBeside, KeyTree, NoFiles, SiteFile};
use rope_mechanics::quantity::{
    Angle, Area, ElectricCharge, ElectricCurrent, ElectricPotential, ElectricalResistance, Energy, Force,
    Length, LineMass, LineWeight, Mass, MotorConstant, Power, Ratio, ThermodynamicTemperature, Time,
    TurningSpeed, Velocity,
};
use rope_mechanics::rig::{RigRecord, RigSpec};
use rope_mechanics::tackle::TackleSpec;
use rope_mechanics::text::{self, Text};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::process::ExitCode;
use std::time::Instant;

/// What a text may take: a rig of a mutated text may be large, and is given up after so many steps.
const LONGEST_S: f64 = 20.0;
const RIG_STEPS: u32 = 200;

const ODD: [&str; 30] = [
    "NaN",
    "inf",
    "-inf",
    "1e999",
    "-1e999",
    "1e-999",
    "-0",
    "00",
    "9007199254740993",
    "1.7976931348623157e308",
    "5e-324",
    "0x10",
    "1_0",
    "--1",
    "\"\"",
    "\" m\"",
    "\"1 m m\"",
    "\"1e400 kN\"",
    "\"−5 m\"",
    "\"12' 3\\\"\"",
    "null",
    "true",
    "[]",
    "{}",
    "[[]]",
    "\\u0000",
    "\\ud800",
    "\u{feff}",
    "\u{202e}",
    "kN",
];

/// Xorshift: the same numbers on every machine.
struct Random(u64);

impl Random {
    fn below(&mut self, bound: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0.wrapping_mul(0x2545_f491_4f6c_dd1d) >> 33) as usize % bound.max(1)
    }

    /// A span of at most so many bytes.
    fn span(&mut self, text: &[u8], most: usize) -> std::ops::Range<usize> {
        let from = self.below(text.len() + 1);
        from..(from + self.below(most)).min(text.len())
    }
}

/// The place of a word or number, as it stands between quotes, spaces or brackets.
fn word(random: &mut Random, text: &[u8]) -> std::ops::Range<usize> {
    let ends = |byte: &u8| b" \t\n\",:=[]{}".contains(byte);
    let at = random.below(text.len() + 1);
    let from = text[..at].iter().rposition(ends).map_or(0, |i| i + 1);
    let to = text[at..].iter().position(ends).map_or(text.len(), |i| at + i);
    from..to
}

fn mutate(random: &mut Random, text: &mut Vec<u8>, others: &[Vec<u8>]) {
    match random.below(10) {
        0 => {
            let span = random.span(text, 60);
            text.drain(span);
        }
        1 => {
            let span = random.span(text, 60);
            let copy = text[span.clone()].to_vec();
            text.splice(span.end..span.end, copy);
        }
        2 => {
            let other = &others[random.below(others.len())];
            let from = random.span(other, 60);
            let to = random.span(text, 30);
            text.splice(to, other[from].iter().copied());
        }
        3..=6 => {
            let span = word(random, text);
            text.splice(span, ODD[random.below(ODD.len())].bytes());
        }
        7 => {
            let span = word(random, text);
            let other = word(random, text);
            let copy = text[other].to_vec();
            text.splice(span, copy);
        }
        8 => {
            if let Some(byte) = {
                let at = random.below(text.len());
                text.get_mut(at)
            } {
                *byte ^= 1 << random.below(8);
            }
        }
        _ => {
            let brackets: Vec<usize> =
                (0..text.len()).filter(|i| b"[]{}\",:=\n".contains(&text[*i])).collect();
            if let Some(at) = brackets.get(random.below(brackets.len())) {
                text.remove(*at);
            }
        }
    }
}

/// Why a text is refused; none where it is read. A refusal must say something.
fn refused(why: &dyn std::fmt::Display) -> Result<Option<String>, String> {
    let said = why.to_string();
    if said.is_empty() { Err("a refusal that says nothing".to_owned()) } else { Ok(Some(said)) }
}

fn quantity<Q: Text + PartialEq + std::fmt::Debug>(given: &str) -> Result<Option<String>, String> {
    match Q::from_text(given) {
        Err(why) => refused(&why),
        Ok(value) => {
            let written = text::si(value).to_string();
            // Rounded for reading: what it says can be read again.
            Q::from_text(&written)
                .map(|_| None)
                .map_err(|why| format!("{given:?} is written as {written:?}: {why}"))
        }
    }
}

/// As a quantity of every kind: it is read as one of them, or as none.
fn any_quantity(given: &str) -> Result<Option<String>, String> {
    let refusals = [
        quantity::<Length>(given)?,
        quantity::<Force>(given)?,
        quantity::<Mass>(given)?,
        quantity::<LineMass>(given)?,
        quantity::<Angle>(given)?,
        quantity::<Ratio>(given)?,
        quantity::<Velocity>(given)?,
        quantity::<Time>(given)?,
        quantity::<ElectricCurrent>(given)?,
        quantity::<ElectricPotential>(given)?,
        quantity::<ElectricalResistance>(given)?,
        quantity::<ThermodynamicTemperature>(given)?,
        quantity::<LineWeight>(given)?,
        quantity::<ElectricCharge>(given)?,
        quantity::<Power>(given)?,
        quantity::<Energy>(given)?,
        quantity::<MotorConstant>(given)?,
        quantity::<TurningSpeed>(given)?,
        quantity::<Area>(given)?,
    ];
    Ok(if refusals.contains(&None) { None } else { refusals.into_iter().flatten().next() })
}

fn site(keys: Result<KeyTree, String>) -> Result<Option<String>, String> {
    match keys.map(|keys| SiteFile::read(&keys, &mut NoFiles)) {
        Err(why) => refused(&why),
        Ok(Ok(_)) => Ok(None),
        Ok(Err(problems)) => match problems.first() {
            None => Err("a site is refused without a problem".to_owned()),
            Some(first) => refused(first),
        },
    }
}

/// The one file beside the demo site.
struct Beside<'a>(&'a str);

impl FilesBeside for Beside<'_> {
    fn kit(&mut self, _: &str) -> Result<KeyTree, String> {
        toml::from_str(self.0).map_err(|why| why.to_string())
    }
    fn text(&mut self, _: &str) -> Result<String, String> {
        Ok(self.0.to_owned())
    }
}

/// The demo site with a key that names the file beside it.
fn beside(given: &str, key: &str, value: &str) -> Result<Option<String>, String> {
    let text = include_str!("../../examples/preplan-report/demo.toml");
    let mut table: toml::Table = text.parse().map_err(|why: toml::de::Error| why.to_string())?;
    let named: toml::Table =
        format!("{key} = {value}").parse().map_err(|why: toml::de::Error| why.to_string())?;
    table.extend(named);
    let keys: KeyTree = toml::from_str(&table.to_string()).map_err(|why| why.to_string())?;
    match SiteFile::read(&keys, &mut Beside(given)) {
        Ok(_) => Ok(None),
        Err(problems) => match problems.first() {
            None => Err("a file beside a site is refused without a problem".to_owned()),
            Some(first) => refused(first),
        },
    }
}

fn rig(given: &str) -> Result<Option<String>, String> {
    let spec: RigSpec = match serde_json::from_str(given) {
        Ok(spec) => spec,
        Err(why) => return refused(&why),
    };
    let rig = match spec.build() {
        Ok(rig) => rig,
        Err(why) => return refused(&why),
    };
    let written = serde_json::to_string(&rig.spec()).map_err(|why| why.to_string())?;
    let again: RigSpec = serde_json::from_str(&written).map_err(|why| format!("{written}: {why}"))?;
    if again != rig.spec() {
        return Err(format!("another rig when it is read again: {written}"));
    }
    match rig.solve_within(RIG_STEPS) {
        Ok(_) => Ok(None),
        Err(why) => refused(&why),
    }
}

/// What a solved rig wrote.
fn record(given: &str) -> Result<Option<String>, String> {
    let record: RigRecord = match serde_json::from_str(given) {
        Ok(record) => record,
        Err(why) => return refused(&why),
    };
    let written = serde_json::to_string(&record).map_err(|why| why.to_string())?;
    let again: RigRecord = serde_json::from_str(&written).map_err(|why| format!("{written}: {why}"))?;
    if again == record { Ok(None) } else { Err(format!("another record when it is read again: {written}")) }
}

fn tackle(spec: Result<TackleSpec, String>) -> Result<Option<String>, String> {
    match spec.map(|spec| spec.build().and_then(|tackle| Ok(tackle.advantage()?))) {
        Err(why) => refused(&why),
        Ok(Err(why)) => refused(&why),
        Ok(Ok(found)) if found.hauling.value.is_finite() => Ok(None),
        Ok(Ok(found)) => Err(format!("{found:?}")),
    }
}

type Entry = (&'static str, &'static str, fn(&str) -> Result<Option<String>, String>);

const ENTRIES: [Entry; 10] = [
    ("site.toml", "a site as TOML", |given| site(toml::from_str(given).map_err(|why| why.to_string()))),
    ("site.json", "a site as JSON", |given| site(serde_json::from_str(given).map_err(|why| why.to_string()))),
    ("rig.json", "a rig as JSON", |given| rig(given)),
    ("record.json", "what a solved rig wrote", record),
    ("tackle.toml", "a tackle as TOML", |given| tackle(toml::from_str(given).map_err(|why| why.to_string()))),
    ("tackle.json", "a tackle as JSON", |given| {
        tackle(serde_json::from_str(given).map_err(|why| why.to_string()))
    }),
    ("quantity.txt", "a quantity", any_quantity),
    ("kit.toml", "a kit", |given| beside(given, "kit", "\"kit.toml\"")),
    ("ground.csv", "a table of ground", |given| {
        beside(given, "ground", r#"{ file = "a.csv", station = ["0 m", "0 m"], eye = "0 m" }"#)
    }),
    ("ground.gpx", "a track of ground", |given| {
        beside(
            given,
            "ground",
            r#"{ file = "a.gpx", from = ["45 deg", "7 deg"], to = ["45.001 deg", "7 deg"], tolerance = "3 m" }"#,
        )
    }),
];

fn main() -> ExitCode {
    let mut arguments = std::env::args().skip(1);
    let count: usize = arguments.next().and_then(|text| text.parse().ok()).unwrap_or(20_000);
    let seed: u64 = arguments.next().and_then(|text| text.parse().ok()).unwrap_or(1);
    let mut random = Random(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1);
    let read = |path: &str| std::fs::read(top().join(path)).unwrap_or_else(|why| panic!("{path}: {why}"));
    let corpora: Vec<Vec<Vec<u8>>> = ENTRIES
        .iter()
        .map(|(file, ..)| match *file {
            "site.toml" => {
                vec![read("tests/sites/reference.toml"), read("examples/preplan-report/demo.toml")]
            }
            "site.json" => vec![read("examples/dispatch-c/demo.json")],
            // One text a paragraph.
            other => {
                let all = String::from_utf8(read(&format!("tests/attack/corpus/{other}"))).unwrap();
                let gap = if other == "quantity.txt" { "\n" } else { "\n\n" };
                all.split(gap).filter(|text| !text.is_empty()).map(|text| text.as_bytes().to_vec()).collect()
            }
        })
        .collect();
    std::panic::set_hook(Box::new(|_| {}));
    let mut taken = [0_usize; ENTRIES.len()];
    let (mut failures, mut slowest) = (0, 0.0_f64);
    let begun = Instant::now();
    for number in 0..count {
        let which = number % ENTRIES.len();
        let (file, what, entry) = ENTRIES[which];
        let mut text = corpora[which][random.below(corpora[which].len())].clone();
        // The first ones as they are.
        let times = if number < 4 * ENTRIES.len() { 0 } else { 1 + random.below(4) * random.below(2) };
        for _ in 0..times {
            mutate(&mut random, &mut text, &corpora[which]);
        }
        let given = String::from_utf8_lossy(&text);
        let start = Instant::now();
        let found =
            catch_unwind(AssertUnwindSafe(|| entry(&given))).unwrap_or_else(|_| Err("a panic".to_owned()));
        let took = start.elapsed().as_secs_f64();
        slowest = slowest.max(took);
        let found = if took > LONGEST_S { Err(format!("{took:.1} s")) } else { found };
        match found {
            Ok(None) => taken[which] += 1,
            // Of the corpus all but some quantities can be read.
            Ok(Some(why)) if times == 0 && file != "quantity.txt" => {
                failures += 1;
                println!("{what} of the corpus is not read: {why}\n{given}\n");
            }
            Ok(Some(_)) => {}
            Err(why) => {
                failures += 1;
                println!("text {number} of seed {seed}, {what}: {why}\n{given}\n");
            }
        }
        if failures > 5 {
            break;
        }
        if (number + 1) % 1_000_000 == 0 {
            eprintln!("{} texts, {failures} failures, {:.0} s", number + 1, begun.elapsed().as_secs_f64());
        }
    }
    let read: Vec<String> =
        ENTRIES.iter().zip(taken).map(|((_, what, _), taken)| format!("{what} {taken}")).collect();
    println!("{count} texts, {failures} failures, the slowest {slowest:.2} s; read: {}", read.join(", "));
    if failures == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}
