//! The ground as it was measured: points, shots of a range finder, a table in CSV, a track of a satellite receiver.
//!
//! All of it becomes points [x, z] and, where one says so, a tolerance of each height.

use super::file::Reading;
use super::reading::{List, Words, optional};
use super::tree::{KeyTree, within};
use crate::doubt::Uncertain;
use crate::error::{self, Checked};
use crate::geometry::Point2;
use crate::math;
use crate::operation::written;
use crate::quantity::{Angle, Length, metres};
use crate::text::{Text, as_text, both};
use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec::Vec;
use serde::Deserialize;

/// The ground in another form than a list of points. One of `shots`, `legs`, `csv`, `gpx` and `file`; `points` beside any of them.
#[derive(Debug, Clone, Deserialize)]
#[serde(
    deny_unknown_fields,
    expecting = "the points of the ground in [ ], or a table with shots, legs, points, file, csv or gpx"
)]
pub(super) struct GroundKeys {
    /// Where the instrument stands: a point of the ground, in its axes.
    station: Option<Point2>,
    /// How high the instrument is above the ground at its station.
    #[serde(default, with = "as_text::option")]
    eye: Option<Length>,
    /// How high above the ground what is aimed at is: 0 m unless given.
    #[serde(default, with = "as_text::option")]
    target: Option<Length>,
    /// Shots from the station, each by its slope distance and its angle, in any order.
    #[serde(default, deserialize_with = "optional::<List<_>, _, _>")]
    shots: Option<Vec<Shot>>,
    /// Shots in a chain: the first from the station, each further one from the point before.
    #[serde(default, deserialize_with = "optional::<List<_>, _, _>")]
    legs: Option<Vec<Shot>>,
    /// More points, in any order.
    #[serde(default, deserialize_with = "optional::<List<_>, _, _>")]
    points: Option<Vec<GroundPoint>>,
    /// The name of a file beside the site file, ending in .csv or .gpx.
    #[serde(default, deserialize_with = "optional::<Words, _, _>")]
    file: Option<String>,
    /// The text of a CSV file: in its first line x, z, or slope or leg, and angle, each with its unit, as in "x [m]".
    #[serde(default, deserialize_with = "optional::<Words, _, _>")]
    csv: Option<String>,
    /// The text of a GPX file.
    #[serde(default, deserialize_with = "optional::<Words, _, _>")]
    gpx: Option<String>,
    /// Of a GPX file: latitude and longitude of x = 0.
    from: Option<Position>,
    /// Of a GPX file: latitude and longitude of a place towards which x increases.
    to: Option<Position>,
    /// Of a GPX file: how far a point may lie beside the line of the travel: 5 m unless given.
    #[serde(default, with = "as_text::option")]
    corridor: Option<Length>,
    /// How far the heights may be off, where a point has no tolerance of its own.
    #[serde(default, with = "as_text::option")]
    tolerance: Option<Length>,
}

/// A shot of a range finder.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(deny_unknown_fields, expecting = "a shot: { slope = \"…\", angle = \"…\" }")]
pub(super) struct Shot {
    /// Slope distance from the instrument.
    #[serde(with = "as_text")]
    slope: Length,
    /// Above the horizontal; negative downhill.
    #[serde(with = "as_text")]
    angle: Angle,
    /// How far the height may be off.
    #[serde(default, with = "as_text::option")]
    tolerance: Option<Length>,
}

/// A point of the ground, its height with or without a tolerance.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(expecting = "a point of the ground: how far out and how high, as in [\"70 m\", \"-45 m ± 0.3 m\"]")]
pub(super) struct GroundPoint(#[serde(with = "as_text")] Length, Uncertain<Length>);

/// A place on the earth.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(expecting = "latitude and longitude, as in [\"47.1234 deg\", \"-122.5678 deg\"]")]
pub(super) struct Position(#[serde(with = "as_text")] Angle, #[serde(with = "as_text")] Angle);

/// A point of the ground in metres, with what its height may be off.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Measured {
    x_m: f64,
    z_m: f64,
    tolerance_m: Option<f64>,
}

/// What a point without a tolerance has where others have one: as `doubt.ground`.
const USUAL_M: f64 = 0.2;

impl Reading<'_> {
    /// Puts points in the place of whatever the ground was measured with.
    pub(super) fn ground(&mut self, tree: &mut KeyTree) {
        if let Some(KeyTree::List(points)) = tree.at("ground") {
            self.same_unit(&units(points, "ground"));
        }
        let measured = match tree.at("ground") {
            Some(KeyTree::List(points)) if points.iter().any(has_tolerance) => self.listed(points),
            Some(keys @ KeyTree::Table(_)) => {
                let keys = keys.clone();
                self.surveyed(&keys)
            }
            _ => return,
        };
        let Some(points) = measured else {
            self.mend_with_example(tree, "ground");
            return;
        };
        let text = |m: f64| KeyTree::Text(format!("{m} m"));
        let list = points.iter().map(|p| KeyTree::List(alloc::vec![text(p.x_m), text(p.z_m)])).collect();
        if points.iter().any(|p| p.tolerance_m.is_some()) {
            let asked = tree.at("doubt.ground").and_then(KeyTree::text);
            let asked = asked.and_then(|asked| Uncertain::<Length>::from_text(asked).ok()).map(half_m);
            let usual = asked.unwrap_or(USUAL_M);
            let list = points.iter().map(|p| text(p.tolerance_m.unwrap_or(usual))).collect();
            tree.put("ground_tolerance", KeyTree::List(list));
        }
        tree.put("ground", KeyTree::List(list));
    }

    /// A list in which heights carry a tolerance.
    fn listed(&mut self, points: &[KeyTree]) -> Option<Vec<Measured>> {
        let read: Vec<_> = points.iter().map(KeyTree::read::<GroundPoint>).collect();
        let mut measured = Vec::with_capacity(points.len());
        for (i, point) in read.into_iter().enumerate() {
            match point {
                Ok(point) => measured.push(point.measured()),
                Err(why) => self.add_at(&within(&format!("ground[{i}]"), &why.path), &why.why),
            }
        }
        (measured.len() == points.len()).then_some(measured)
    }

    /// The ground by a table.
    fn surveyed(&mut self, tree: &KeyTree) -> Option<Vec<Measured>> {
        let mut tree = tree.clone();
        let mut fine = self.one_unit(&tree);
        let mut keys = loop {
            let why = match tree.read::<GroundKeys>() {
                Ok(keys) => break keys,
                Err(why) => why,
            };
            fine = false;
            let path = self.add_found("ground", why);
            let own = path.strip_prefix("ground").unwrap_or("").trim_start_matches('.');
            // A faulty shot or point is left out, so that the next fault shows; indices stay, for each is told before.
            let sample = if own.starts_with("points[") {
                KeyTree::List(alloc::vec![KeyTree::Text("0 m".into()), KeyTree::Text("0 m".into())])
            } else {
                KeyTree::Table(alloc::vec![
                    ("slope".into(), KeyTree::Text("1 m".into())),
                    ("angle".into(), KeyTree::Text("0 deg".into())),
                ])
            };
            let mended = match own.split_once(']') {
                Some((item, _)) => tree.put(&format!("{item}]"), sample),
                None => tree.take(own).is_some(),
            };
            if !mended {
                return None;
            }
        };
        let named = keys.file.is_some();
        if let Some(name) = keys.file.take() {
            if keys.csv.is_some() || keys.gpx.is_some() {
                self.add_at("ground.file", "csv or gpx is given, too: leave one of them out");
                return None;
            }
            match self.files.text(&name) {
                Ok(text) if name.to_ascii_lowercase().ends_with(".csv") => keys.csv = Some(text),
                Ok(text) if name.to_ascii_lowercase().ends_with(".gpx") => keys.gpx = Some(text),
                Ok(_) => {
                    self.add_at("ground.file", format!("\"{name}\" ends neither in .csv nor in .gpx"));
                    return None;
                }
                Err(why) => {
                    self.add_at("ground.file", why);
                    return None;
                }
            }
        }
        match keys.measured() {
            Ok(points) => fine.then_some(points),
            Err((key, why)) => {
                // A text that stood in a file is told by the file.
                let key =
                    if named && matches!(key.as_str(), "csv" | "gpx") { "file".to_string() } else { key };
                let at = if key.is_empty() { "ground".to_string() } else { within("ground", &key) };
                self.add_at(&at, why);
                None
            }
        }
    }

    /// Whether the lengths of each list have one unit: a mixture of feet and metres is more often a slip than a wish.
    fn one_unit(&mut self, tree: &KeyTree) -> bool {
        let mut fine = true;
        let slopes = ["shots", "legs"].map(|list| {
            let items = tree.at(list).map(KeyTree::items).unwrap_or_default();
            let slopes = items.iter().enumerate();
            slopes
                .filter_map(|(i, shot)| {
                    Some((format!("ground.{list}[{i}].slope"), unit(shot.at("slope")?.text()?)))
                })
                .collect::<Vec<_>>()
        });
        let points = tree.at("points").map(KeyTree::items).unwrap_or_default();
        for list in slopes.into_iter().chain([units(points, "ground.points")]) {
            fine &= self.same_unit(&list);
        }
        fine
    }

    /// Whether all of these, each a key with its unit, have the same; the first that hasn't is told.
    fn same_unit(&mut self, list: &[(String, String)]) -> bool {
        let Some((first, unit)) = list.first() else { return true };
        let Some((at, other)) = list.iter().find(|(_, other)| other != unit) else { return true };
        self.add_at(
            at,
            format!("is in {other}, but {first} is in {unit}: write all of them in one unit, so that none is misread"),
        );
        false
    }
}

/// The unit of each coordinate of a list of points that has one, by its key.
fn units(points: &[KeyTree], list: &str) -> Vec<(String, String)> {
    let coordinates = points.iter().enumerate().flat_map(|(i, point)| {
        let of = point.items().iter().enumerate();
        // What is no length is refused where it is read.
        let lengths = of.filter_map(|(j, value)| {
            value.text().filter(|text| Uncertain::<Length>::from_text(text).is_ok()).map(|text| (j, text))
        });
        lengths.map(move |(j, text)| (format!("{list}[{i}][{j}]"), unit(text)))
    });
    coordinates.collect()
}

/// Whether a point of a list has a tolerance.
fn has_tolerance(point: &KeyTree) -> bool {
    let marked = |text: &str| ["±", "+/-", "+-", " to "].iter().any(|mark| text.contains(mark));
    point.items().iter().filter_map(KeyTree::text).any(marked)
}

/// The unit of a length: what stands behind its last digit.
fn unit(text: &str) -> String {
    // Without its tolerance.
    let ends = ["±", "+/-", "+-", " to "].iter().filter_map(|mark| text.find(mark));
    let value = text.get(..ends.min().unwrap_or(text.len())).unwrap_or(text);
    let rest = value.trim_start_matches(|c: char| !c.is_alphabetic());
    // The exponent of a number belongs to it, as in "1e2 m".
    let exponent = rest.strip_prefix(['e', 'E']).map(|rest| rest.trim_start_matches(['+', '-']));
    let unit = match exponent.filter(|rest| rest.starts_with(|c: char| c.is_ascii_digit())) {
        Some(digits) => digits.trim_start_matches(|c: char| c.is_ascii_digit()),
        None => rest,
    };
    unit.trim().to_string()
}

/// How far a height may be off either way, in metres.
fn half_m(height: Uncertain<Length>) -> f64 {
    let ([low, high], value) = (height.band(), height.value());
    (high - value).value.max((value - low).value)
}

type Fault = (String, String);

fn within_range<Q: Checked>(key: impl Into<String>, value: Q, lo: f64, hi: f64) -> Result<f64, Fault> {
    let key = key.into();
    error::within("", value, lo, hi).map_err(|why| (key, written::problem(&why)))
}

impl GroundPoint {
    fn measured(&self) -> Measured {
        let tolerance_m = (!self.1.is_exact()).then(|| half_m(self.1));
        Measured { x_m: self.0.value, z_m: self.1.value().value, tolerance_m }
    }
}

impl Shot {
    /// The ground where a shot ends, from the ground where its instrument stands.
    fn end(&self, key: &str, from: Measured, eye_m: f64, target_m: f64) -> Result<Measured, Fault> {
        let slope_m = within_range(format!("{key}.slope"), self.slope, 0.01, 10_000.0)?;
        let steepest = core::f64::consts::FRAC_PI_2;
        let angle = within_range(format!("{key}.angle"), self.angle, -steepest, steepest)?;
        Ok(Measured {
            // x = x₀ + s·cos α
            x_m: from.x_m + slope_m * math::cos(angle),
            // z = z₀ + eye + s·sin α − target
            z_m: from.z_m + eye_m + slope_m * math::sin(angle) - target_m,
            tolerance_m: self.tolerance.map(|tolerance| tolerance.value),
        })
    }
}

impl GroundKeys {
    /// The points, by growing x.
    fn measured(&self) -> Result<Vec<Measured>, Fault> {
        let table = match &self.csv {
            Some(text) => csv::read(text).map_err(|why| ("csv".to_string(), why))?,
            None => csv::Table::default(),
        };
        let shots = self.shots.iter().flatten().chain(&table.shots);
        let legs = self.legs.iter().flatten().chain(&table.legs);
        let mut points: Vec<Measured> = self
            .points
            .iter()
            .flatten()
            .map(GroundPoint::measured)
            .chain(table.points.iter().copied())
            .collect();
        let ways = [shots.clone().next().is_some(), legs.clone().next().is_some(), self.gpx.is_some()];
        if ways.iter().filter(|way| **way).count() > 1 {
            return Err((String::new(), "give one of shots, legs and gpx, and points beside it".to_string()));
        }
        if ways[0] || ways[1] {
            let missing = |key: &str, what: &str| (key.to_string(), format!("is missing: {what}"));
            let station = self.station.ok_or_else(|| {
                missing(
                    "station",
                    "where the instrument stands, a point of the ground, as in [\"0 m\", \"0 m\"]",
                )
            })?;
            let eye = self.eye.ok_or_else(|| {
                missing("eye", "how high the instrument is above the ground there, as in \"1.6 m\"; \"0 m\" on the ground")
            })?;
            let eye_m = within_range("eye", eye, 0.0, 20.0)?;
            let target_m = within_range("target", self.target.unwrap_or_default(), 0.0, 20.0)?;
            let station = Measured { x_m: station.x.value, z_m: station.z.value, tolerance_m: None };
            if !points.iter().any(|p| p.x_m == station.x_m) {
                points.push(station);
            }
            for (i, shot) in shots.enumerate() {
                points.push(shot.end(&format!("shots[{i}]"), station, eye_m, target_m)?);
            }
            let mut from = station;
            for (i, leg) in legs.enumerate() {
                from = leg.end(&format!("legs[{i}]"), from, eye_m, target_m)?;
                points.push(from);
            }
        } else {
            for (key, given) in [
                ("station", self.station.is_some()),
                ("eye", self.eye.is_some()),
                ("target", self.target.is_some()),
            ] {
                if given {
                    return Err((key.to_string(), "goes with shots or legs only".to_string()));
                }
            }
        }
        points.extend(self.of_gpx()?);
        if let Some(tolerance) = self.tolerance {
            let usual = within_range("tolerance", tolerance, 0.0, 100.0)?;
            for point in points.iter_mut().filter(|point| point.tolerance_m.is_none()) {
                point.tolerance_m = Some(usual);
            }
        }
        for point in &points {
            if let Some(tolerance_m) = point.tolerance_m {
                within_range("tolerance", metres(tolerance_m), 0.0, 100.0)?;
            }
        }
        points.sort_by(|a, b| a.x_m.total_cmp(&b.x_m));
        if let Some([a, b]) = points.windows(2).find(|pair| matches!(pair, [a, b] if b.x_m - a.x_m < 1e-6)) {
            return Err((
                String::new(),
                format!(
                    "two points stand at x = {}, {} and {} high: leave one of them out",
                    both(metres(a.x_m)),
                    both(metres(a.z_m)),
                    both(metres(b.z_m))
                ),
            ));
        }
        Ok(points)
    }

    /// The points of a GPX file on the line of the travel.
    fn of_gpx(&self) -> Result<Vec<Measured>, Fault> {
        let Some(text) = &self.gpx else {
            for (key, given) in [
                ("from", self.from.is_some()),
                ("to", self.to.is_some()),
                ("corridor", self.corridor.is_some()),
            ] {
                if given {
                    return Err((key.to_string(), "goes with a GPX file only".to_string()));
                }
            }
            return Ok(Vec::new());
        };
        let missing = |key: &str, what: &str| (key.to_string(), format!("is missing: {what}"));
        let from = self.from.ok_or_else(|| {
            missing("from", "latitude and longitude of x = 0, as in [\"47.1234 deg\", \"-122.5678 deg\"]")
        })?;
        let to = self
            .to
            .ok_or_else(|| missing("to", "latitude and longitude of a place towards which x increases"))?;
        if self.tolerance.is_none() {
            return Err(missing(
                "tolerance",
                "a receiver's heights are off by metres: say by how much, as in \"3 m\"",
            ));
        }
        let corridor_m = within_range("corridor", self.corridor.unwrap_or(metres(5.0)), 0.0, 1000.0)?;
        for (key, place) in [("from", from), ("to", to)] {
            within_range(key, place.0, -MOST_LATITUDE, MOST_LATITUDE)?;
            within_range(key, place.1, -core::f64::consts::PI, core::f64::consts::PI)?;
        }
        let line = gpx::Line::new(from.radians(), to.radians(), corridor_m)
            .map_err(|why| ("to".to_string(), why))?;
        gpx::read(text, &line).map_err(|why| ("gpx".to_string(), why))
    }
}

/// Nearer to a pole than this, longitude says little: 85°.
const MOST_LATITUDE: f64 = 85.0 * core::f64::consts::PI / 180.0;

impl Position {
    fn radians(self) -> [f64; 2] {
        [self.0.value, self.1.value]
    }
}

mod csv {
    //! A table of points or shots, its units in its first line.

    use super::{Angle, Length, Measured, Shot, String, Text, ToString, Vec, format};

    #[derive(Default)]
    pub(super) struct Table {
        pub(super) points: Vec<Measured>,
        pub(super) shots: Vec<Shot>,
        pub(super) legs: Vec<Shot>,
    }

    /// What a column may hold.
    const COLUMNS: [&str; 7] = ["x", "z", "slope", "leg", "angle", "tolerance", "datum"];

    struct Column {
        name: &'static str,
        unit: String,
    }

    fn cells(line: &str, separator: char) -> impl Iterator<Item = &str> {
        line.split(separator).map(|cell| cell.trim().trim_matches('"').trim())
    }

    fn columns(line: &str, separator: char) -> Result<Vec<Option<Column>>, String> {
        let mut list: Vec<Option<Column>> = Vec::new();
        for cell in cells(line, separator) {
            let (name, unit) = cell.split_once('[').unwrap_or((cell, ""));
            let name = name.trim().to_ascii_lowercase();
            if name == "note" {
                list.push(None);
                continue;
            }
            let Some(known) = COLUMNS.iter().find(|known| **known == name) else {
                return Err(format!(
                    "there is no column \"{cell}\" here: write x [m], z [m], slope [m], leg [m], angle [deg], tolerance [m], datum or note"
                ));
            };
            let unit = unit.trim_end_matches(']').trim().to_string();
            if unit.is_empty() && *known != "datum" {
                let example = if *known == "angle" { "deg" } else { "m" };
                return Err(format!("the column {known} has no unit: write {known} [{example}]"));
            }
            if list.iter().flatten().any(|column| column.name == *known) {
                return Err(format!("the column {known} stands there twice"));
            }
            list.push(Some(Column { name: known, unit }));
        }
        let lengths: Vec<_> = list
            .iter()
            .flatten()
            .filter(|column| matches!(column.name, "x" | "z" | "slope" | "leg"))
            .collect();
        if let [first, others @ ..] = lengths.as_slice()
            && let Some(other) = others.iter().find(|other| other.unit != first.unit)
        {
            return Err(format!(
                "{} is in {} and {} in {}: write both in one unit, so that none is misread",
                first.name, first.unit, other.name, other.unit
            ));
        }
        let has = |name: &str| list.iter().flatten().any(|column| column.name == name);
        match (has("x") && has("z"), has("slope") && has("angle"), has("leg") && has("angle")) {
            (true, false, false) if !has("slope") && !has("leg") && !has("angle") => Ok(list),
            (false, true, false) if !has("x") && !has("z") && !has("leg") => Ok(list),
            (false, false, true) if !has("x") && !has("z") && !has("slope") => Ok(list),
            _ => Err("the columns must be x and z, or slope and angle, or leg and angle".to_string()),
        }
    }

    /// Reads a table. Lines that begin with # and empty ones are passed over.
    pub(super) fn read(text: &str) -> Result<Table, String> {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let mut lines = text.lines().enumerate().filter(|(_, line)| {
            let line = line.trim();
            !line.is_empty() && !line.starts_with('#')
        });
        let (first, heads) = lines.next().ok_or("the table is empty")?;
        let separator = [';', '\t'].into_iter().find(|separator| heads.contains(*separator)).unwrap_or(',');
        let columns = columns(heads, separator).map_err(|why| format!("line {}: {why}", first + 1))?;
        let mut table = Table::default();
        let mut datum: Option<String> = None;
        for (at, line) in lines {
            let at = at + 1;
            let row: Vec<_> = cells(line, separator).collect();
            if row.len() != columns.len() {
                return Err(format!(
                    "line {at}: has {} values, but there are {} columns; a decimal comma is written as a point",
                    row.len(),
                    columns.len()
                ));
            }
            let cell = |name: &str| {
                let found = columns.iter().zip(&row);
                found
                    .filter_map(|(column, cell)| Some((column.as_ref()?, *cell)))
                    .find(|(column, _)| column.name == name)
            };
            let told = |name: &str, why: &dyn core::fmt::Display| format!("line {at}: {name}: {why}");
            let length = |name: &str| -> Result<Option<Length>, String> {
                match cell(name) {
                    Some((column, text)) if !(text.is_empty() && name == "tolerance") => {
                        let read = Length::from_text(&format!("{text} {}", column.unit));
                        read.map(Some).map_err(|why| told(name, &why))
                    }
                    _ => Ok(None),
                }
            };
            if let Some((_, this)) = cell("datum") {
                if this.is_empty() {
                    return Err(told("datum", &"is empty: say above what the height is"));
                }
                match &datum {
                    Some(other) if other != this => {
                        return Err(format!(
                            "line {at}: its height is above \"{this}\", those before it above \"{other}\": heights of two data are no profile"
                        ));
                    }
                    _ => datum = Some(this.to_string()),
                }
            }
            let tolerance = length("tolerance")?;
            if let (Some(x), Some(z)) = (length("x")?, length("z")?) {
                let tolerance_m = tolerance.map(|tolerance| tolerance.value);
                table.points.push(Measured { x_m: x.value, z_m: z.value, tolerance_m });
            } else if let Some((column, text)) = cell("angle") {
                let angle = Angle::from_text(&format!("{text} {}", column.unit))
                    .map_err(|why| told("angle", &why))?;
                if let Some(slope) = length("slope")? {
                    table.shots.push(Shot { slope, angle, tolerance });
                } else if let Some(slope) = length("leg")? {
                    table.legs.push(Shot { slope, angle, tolerance });
                }
            }
        }
        if table.points.is_empty() && table.shots.is_empty() && table.legs.is_empty() {
            return Err("the table has no rows".to_string());
        }
        Ok(table)
    }
}

mod gpx {
    //! Points of a satellite receiver (GPX 1.0 and 1.1: degrees on WGS 84, heights in metres), on the line of the travel.

    use super::{Measured, String, Vec, both, format, math, metres};

    /// WGS 84: equatorial radius in metres, and the first eccentricity squared.
    const RADIUS_M: f64 = 6_378_137.0;
    const E2: f64 = 6.694_379_990_14e-3;
    /// Farther from x = 0 than this the plane in which all this is drawn is none.
    const FARTHEST_M: f64 = 5_000.0;

    /// The line of the travel on the earth.
    pub(super) struct Line {
        from: [f64; 2],
        /// East and north, of length one.
        along: [f64; 2],
        corridor_m: f64,
    }

    /// How far east and north a place is of another, in metres, by the radii of curvature M and N at the mean latitude.
    ///
    /// e = N·cos φ·Δλ, n = M·Δφ, with M = a·(1 − e²)/(1 − e²·sin² φ)^(3/2) and N = a/√(1 − e²·sin² φ). Within 5 km and up to
    /// 85° the plane misses the ellipsoid's distance by less than a part in 10⁴.
    pub(super) fn east_north(from: [f64; 2], to: [f64; 2]) -> [f64; 2] {
        use core::f64::consts::PI;
        let sin = math::sin(0.5 * (from[0] + to[0]));
        let w = 1.0 - E2 * sin * sin;
        let (n, m) = (RADIUS_M / math::sqrt(w), RADIUS_M * (1.0 - E2) / (w * math::sqrt(w)));
        let turn = to[1] - from[1];
        let turn = if turn > PI {
            turn - 2.0 * PI
        } else if turn < -PI {
            turn + 2.0 * PI
        } else {
            turn
        };
        [n * math::sqrt((1.0 - sin * sin).max(0.0)) * turn, m * (to[0] - from[0])]
    }

    impl Line {
        pub(super) fn new(from: [f64; 2], to: [f64; 2], corridor_m: f64) -> Result<Self, String> {
            let [east, north] = east_north(from, to);
            let long = math::hypot(east, north);
            if !(1.0..=FARTHEST_M).contains(&long) {
                return Err(format!(
                    "is {} from `from`, but must be from {} to {}",
                    both(metres(long)),
                    both(metres(1.0)),
                    both(metres(FARTHEST_M))
                ));
            }
            Ok(Self { from, along: [east / long, north / long], corridor_m })
        }

        /// How far along the line a place is, and how far beside it.
        fn on(&self, place: [f64; 2]) -> (f64, f64) {
            let [east, north] = east_north(self.from, place);
            let [a, b] = self.along;
            (east * a + north * b, (east * b - north * a).abs())
        }
    }

    #[cfg(not(feature = "gpx"))]
    pub(super) fn read(_: &str, _: &Line) -> Result<Vec<Measured>, String> {
        Err("this build of the library reads no GPX: it lacks the feature gpx".into())
    }

    #[cfg(feature = "gpx")]
    pub(super) fn read(text: &str, line: &Line) -> Result<Vec<Measured>, String> {
        let document = roxmltree::Document::parse(text).map_err(|why| format!("is not XML: {why}"))?;
        let root = document.root_element();
        if root.tag_name().name() != "gpx" {
            return Err(format!("its root is <{}>, not <gpx>", root.tag_name().name()));
        }
        match root.attribute("version") {
            Some("1.0" | "1.1") => {}
            other => {
                return Err(format!(
                    "is GPX of version {}, but must be 1.0 or 1.1",
                    other.unwrap_or("unknown")
                ));
            }
        }
        let of = |name: &'static str| root.descendants().filter(move |node| node.tag_name().name() == name);
        let kinds = ["trkpt", "rtept", "wpt"].map(|name| (name, of(name).count()));
        let mut given = kinds.iter().filter(|(_, count)| *count > 0);
        let (name, _) = *match (given.next(), given.next()) {
            (Some(one), None) => one,
            (None, _) => return Err("has no points".into()),
            (Some(_), Some(_)) => {
                return Err("has points of several kinds (track, route, waypoints): leave one of them".into());
            }
        };
        for (list, what) in [("trk", "tracks"), ("rte", "routes")] {
            if of(list).count() > 1 {
                return Err(format!("has several {what}: leave the one that follows the line of the travel"));
            }
        }
        let mut points = Vec::new();
        for (i, node) in of(name).enumerate() {
            let at = i + 1;
            let degrees = |key: &str, most: f64| {
                let value = node.attribute(key).and_then(|text| text.trim().parse::<f64>().ok());
                value
                    .filter(|value| value.abs() <= most)
                    .map(f64::to_radians)
                    .ok_or_else(|| format!("point {at} has no {key} from -{most} to {most} degrees"))
            };
            let place = [degrees("lat", 90.0)?, degrees("lon", 180.0)?];
            let height = node.children().find(|child| child.tag_name().name() == "ele");
            let height = height.and_then(|ele| ele.text()).and_then(|text| text.trim().parse::<f64>().ok());
            let z_m =
                height.filter(|z| z.is_finite()).ok_or_else(|| format!("point {at} has no height (ele)"))?;
            let (x_m, beside_m) = line.on(place);
            if !(x_m.abs() <= FARTHEST_M) {
                return Err(format!(
                    "point {at} is {} from x = 0: that is another place",
                    both(metres(x_m.abs()))
                ));
            }
            if !(beside_m <= line.corridor_m) {
                return Err(format!(
                    "point {at} lies {} beside the line of the travel, and the corridor is {}: leave it out, or give a wider corridor",
                    both(metres(beside_m)),
                    both(metres(line.corridor_m))
                ));
            }
            points.push(Measured { x_m, z_m, tolerance_m: None });
        }
        if name == "wpt" {
            return Ok(points);
        }
        // A track is walked one way.
        if let (Some(first), Some(last)) = (points.first(), points.last())
            && last.x_m < first.x_m
        {
            points.reverse();
        }
        let back = points.windows(2).position(|pair| matches!(pair, [a, b] if b.x_m <= a.x_m));
        match back {
            Some(at) => Err(format!(
                "the track runs back along the line near x = {}: leave those points out",
                both(metres(points.get(at).map_or(0.0, |p| p.x_m)))
            )),
            None => Ok(points),
        }
    }

    #[cfg(test)]
    mod tests {
        use super::east_north;

        /// A degree of the WGS 84 ellipsoid: 110 574 m of latitude and 111 320 m of longitude at the equator, 111 132 m and
        /// 78 847 m at 45°, 111 412 m and 55 800 m at 60°, as printed in tables of the ellipsoid (to a metre, from memory).
        #[test]
        fn a_degree_is_as_long_as_the_tables_of_the_ellipsoid_say() {
            for (latitude, north_m, east_m) in
                [(0.0_f64, 110_574.0, 111_320.0), (45.0, 111_132.0, 78_847.0), (60.0, 111_412.0, 55_800.0)]
            {
                // A hundredth of a degree, so that the radii are those of the latitude.
                let half = 0.005_f64.to_radians();
                let at = latitude.to_radians();
                let north = east_north([at - half, 0.0], [at + half, 0.0])[1];
                let east = east_north([at, 3.0 - half], [at, 3.0 + half])[0];
                assert!((100.0 * north - north_m).abs() < 1.0, "{latitude}: {}", 100.0 * north);
                assert!((100.0 * east - east_m).abs() < 1.0, "{latitude}: {}", 100.0 * east);
            }
            // Over the date line.
            let near = east_north([0.0, 3.12], [0.0, -3.12])[0];
            assert!((near - 2.0 * (core::f64::consts::PI - 3.12) * 6_378_137.0).abs() < 1e-3);
        }
    }
}
