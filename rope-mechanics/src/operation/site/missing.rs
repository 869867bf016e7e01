//! What a crew reads of a key that is missing or that no table has: its whole path, and what to write.

use super::tree::KeyTree;
use alloc::format;
use alloc::string::{String, ToString};
use core::fmt::Display;

/// The keys that a table can't do without, and what they hold, with an example.
const NEEDED: [(&str, &str); 43] = [
    ("frame.x", "where the head stands, in the ground's axes, as in \"0 m\""),
    ("frame.height", "the height of the head above the ground there, as in \"2.8 m\""),
    ("frame.feet", "where the feet of its legs stand, as in [[\"-0.3 m\", \"1.1 m\", \"0 m\"], …]"),
    ("far_anchor.x", "where its sheave is, in the ground's axes, as in \"47 m\""),
    ("far_anchor.height", "the height of its sheave above the ground there, as in \"1.1 m\""),
    ("track.rope", "the track rope, as in { class = \"12.5 mm nylon\" }"),
    ("track.on_hand", "how much rope there is, as in \"140 m\""),
    ("track.knots", "what knots use of the rope, as in \"2 m\""),
    ("track.tails", "what tails use of the rope, as in \"2 m\""),
    ("track.wraps", "what the wraps on the capstan and the lead to it use of the rope, as in \"3 m\""),
    ("track.redirect", "where the redirect stands, as in [\"-0.7 m\", \"1 m\", \"0.2 m\"]"),
    (
        "track.cell_anchor",
        "where the anchor behind the load cell stands, as in [\"-5.5 m\", \"-1.4 m\", \"0.4 m\"]",
    ),
    ("track.set", "how it is tensioned, as in { greatest_reading = \"1.9 kN\" }"),
    ("load.patient", "the mass of the patient, as in \"82 kg\""),
    ("load.litter", "the mass of the litter with its rigging, as in \"19 kg\""),
    (
        "load.carriage",
        "the mass of carriage, connectors and whatever else hangs on the line, as in \"12 kg\"",
    ),
    ("load.hang", "how far the underside of the litter hangs below the track rope, as in \"0.9 m\""),
    ("haul.rope", "the haul rope, as in { class = \"11 mm polyester\" }"),
    ("haul.tackle", "the tackle between it and the winch: \"1:1\", \"2:1\" or \"3:1\""),
    ("haul.winch", "where the haul winch stands, as in [\"-7.5 m\", \"-1.6 m\", \"0.7 m\"]"),
    ("haul.redirects.at", "where the redirect stands, as in [\"-0.5 m\", \"-1 m\", \"0.3 m\"]"),
    ("belay.rope", "the belay rope, as in { class = \"11 mm nylon\" }"),
    ("belay.device", "where its device stands, as in [\"-4.2 m\", \"1.8 m\", \"0.6 m\"]"),
    (
        "belay.slack",
        "the slack in it when something lets go, with what its device needs to react, as in \"0.4 m\"",
    ),
    ("capstan.at", "where the capstan stands, as in [\"-6.4 m\", \"2.2 m\", \"0.7 m\"]"),
    ("capstan.wraps", "the full turns of rope on it, as in 4"),
    ("winch.motor.constant", "the torque of the motor for each ampere, as in \"0.048 N·m/A\""),
    ("winch.motor.no_load_current", "what the motor draws without load, as in \"5 A\""),
    ("winch.motor.resistance", "the resistance of its windings, as in \"24 mohm\""),
    ("winch.motor.gear", "the turns of the motor for one of the drum, as in 140"),
    ("winch.motor.radius", "the radius at which the rope leaves the drum, as in \"32 mm\""),
    ("winch.motor.rated_pull", "the most that its maker allows, as in \"3.6 kN\""),
    ("winch.motor.battery", "the table of its battery: voltage, resistance, leads, charge"),
    ("winch.table.points", "its pulls and currents, as in [{ pull = \"0 N\", current = \"58 A\" }, …]"),
    ("winch.table.points.pull", "the line pull of that point, as in \"3100 lbf\""),
    ("winch.table.points.current", "the current of that point, as in \"212 A\""),
    ("winch.table.speed", "the line speed to count with, as in \"4.2 m/min\""),
    ("winch.table.rated_pull", "the most that its maker allows, as in \"7400 lbf\""),
    ("winch.table.battery", "the table of its battery: voltage, resistance, leads, charge"),
    ("battery.voltage", "the voltage of the battery without load, as in \"12.8 V\""),
    ("battery.resistance", "the resistance inside the battery, as in \"7 mohm\""),
    ("battery.leads", "the resistance of the leads to the winch, there and back, as in \"4 mohm\""),
    ("battery.charge", "the charge that the battery gives over its rated time, as in \"85 Ah\""),
];

/// A key at fault, and what is wrong with it.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Unreadable {
    /// The whole path of the key, as in `frame.height` or `ground[3]`; `site` for the file as a whole.
    pub key: String,
    /// What a crew is told: the key by its whole path, and what the parser says of it, with its place in the file
    /// where the parser tells that.
    pub problem: String,
}

/// What to tell a crew of a site that can't be read.
///
/// A parser that finds a key missing or unknown names only its last part, and not where it belongs.
/// `path` is where it stopped, as the crate `serde_path_to_error` tells it: `frame`, `haul.redirects[0]`, or `.` for
/// the whole. With it, the key is named from the top, and of a missing one it is said what it holds:
///
/// ```
/// use rope_mechanics::operation::site::{Site, unreadable};
///
/// let json = r#"{ "title": "A bank", "far_anchor": { "x": "62 m" } }"#;
/// let reader = &mut serde_json::Deserializer::from_str(json);
/// let why = serde_path_to_error::deserialize::<_, Site>(reader).unwrap_err();
/// let told = unreadable(&why.path().to_string(), why.inner());
/// assert_eq!(told.key, "far_anchor.height");
/// assert!(told.problem.starts_with("far_anchor.height is missing: the height of its sheave"));
/// ```
#[must_use]
pub fn unreadable(path: &str, why: impl Display) -> Unreadable {
    let table = if path == "." { "" } else { path };
    let why = why.to_string();
    // TOML says in which table again, less exactly than the path.
    let why = match why.trim_end().rsplit_once("\nin `") {
        Some((said, place)) if !table.is_empty() && place.ends_with('`') => said.to_string(),
        _ => why,
    };
    let within = |name: &str| if table.is_empty() { name.to_string() } else { format!("{table}.{name}") };
    if let Some((before, name, after)) = named(&why, "missing field `") {
        let key = within(name);
        let problem = format!("{before}{key} is missing: {}{after}", holds(&key));
        return Unreadable { key, problem };
    }
    if let Some((before, name, after)) = named(&why, "unknown field `") {
        // The path may lead to the key or to the table that doesn't know it.
        let last = table.rsplit('.').next().unwrap_or_default();
        let key = if last == name { table.to_string() } else { within(name) };
        let known = after
            .strip_prefix(", expected")
            .map_or_else(|| after.to_string(), |known| format!(": write{known}"));
        let problem = format!("{before}{key} is not known there{known}");
        return Unreadable { key, problem };
    }
    if table.is_empty() {
        return Unreadable { key: "site".to_string(), problem: why };
    }
    Unreadable { key: table.to_string(), problem: format!("{table}: {why}") }
}

/// What stands before such words, the name behind them, and what follows.
fn named<'a>(text: &'a str, words: &str) -> Option<(&'a str, &'a str, &'a str)> {
    let (before, rest) = text.split_once(words)?;
    let (name, after) = rest.split_once('`')?;
    Some((before, name, after))
}

/// What a key holds: found by the end of its path, its places in lists left out.
fn holds(key: &str) -> &'static str {
    let mut path = String::with_capacity(key.len());
    let mut inside = false;
    for c in key.chars() {
        inside = c == '[' || (inside && c != ']');
        if !inside && c != ']' {
            path.push(c);
        }
    }
    NEEDED
        .iter()
        .find(|(end, _)| path.strip_suffix(end).is_some_and(|front| front.is_empty() || front.ends_with('.')))
        .map_or("the site can't be studied without it", |(_, holds)| holds)
}

/// A value that can be read, for each key that a site can't do without.
enum Sample {
    Text(&'static str),
    Whole(i64),
    List(&'static [Sample]),
    Table(&'static [(&'static str, Sample)]),
}

use Sample::{List, Table, Text, Whole};

impl Sample {
    fn tree(&self) -> KeyTree {
        match self {
            Text(text) => KeyTree::Text((*text).to_string()),
            Whole(number) => KeyTree::Whole(*number),
            List(items) => KeyTree::List(items.iter().map(Self::tree).collect()),
            Table(keys) => {
                KeyTree::Table(keys.iter().map(|(key, value)| ((*key).to_string(), value.tree())).collect())
            }
        }
    }
}

const PLACE: Sample = List(&[Text("-1 m"), Text("-1 m"), Text("0 m")]);
const POINT: Sample = List(&[Text("0 m"), Text("0 m")]);
const ROPE: Sample = Table(&[("class", Text("11 mm nylon"))]);
const BATTERY: Sample = Table(&[
    ("voltage", Text("12.8 V")),
    ("resistance", Text("7 mohm")),
    ("leads", Text("4 mohm")),
    ("charge", Text("85 Ah")),
]);

/// A site with the keys that it can't do without: each takes the place of one that is at fault, so that the next fault
/// shows. It is never studied.
const EXAMPLE: Sample = Table(&[
    ("title", Text("title")),
    ("ground", List(&[POINT])),
    (
        "frame",
        Table(&[
            ("x", Text("0 m")),
            ("height", Text("2.8 m")),
            ("feet", List(&[PLACE])),
            ("guys", List(&[PLACE])),
        ]),
    ),
    ("far_anchor", Table(&[("x", Text("47 m")), ("height", Text("1.1 m"))])),
    (
        "track",
        Table(&[
            ("rope", ROPE),
            ("on_hand", Text("140 m")),
            ("knots", Text("2 m")),
            ("tails", Text("2 m")),
            ("wraps", Text("3 m")),
            ("redirect", PLACE),
            ("cell_anchor", PLACE),
            ("set", Table(&[("greatest_reading", Text("1.9 kN"))])),
        ]),
    ),
    (
        "load",
        Table(&[
            ("patient", Text("82 kg")),
            ("litter", Text("19 kg")),
            ("carriage", Text("12 kg")),
            ("hang", Text("0.9 m")),
        ]),
    ),
    (
        "haul",
        Table(&[
            ("rope", ROPE),
            ("tackle", Text("1:1")),
            ("winch", PLACE),
            ("redirects", List(&[Table(&[("at", PLACE)])])),
        ]),
    ),
    ("belay", Table(&[("rope", ROPE), ("device", PLACE), ("slack", Text("0.4 m"))])),
    ("capstan", Table(&[("at", PLACE), ("wraps", Whole(4))])),
    (
        "winch",
        Table(&[
            (
                "motor",
                Table(&[
                    ("constant", Text("0.048 N·m/A")),
                    ("no_load_current", Text("5 A")),
                    ("resistance", Text("24 mohm")),
                    ("gear", Whole(140)),
                    ("radius", Text("32 mm")),
                    ("rated_pull", Text("3.6 kN")),
                    ("battery", BATTERY),
                ]),
            ),
            (
                "table",
                Table(&[
                    ("points", List(&[Table(&[("pull", Text("0 N")), ("current", Text("58 A"))])])),
                    ("speed", Text("4.2 m/min")),
                    ("rated_pull", Text("8 kN")),
                    ("battery", BATTERY),
                ]),
            ),
        ]),
    ),
]);

/// The same as a tree. Of the winch both kinds are there, so that each can be mended key by key.
pub(super) fn example() -> KeyTree {
    EXAMPLE.tree()
}
