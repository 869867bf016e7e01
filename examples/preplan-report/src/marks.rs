//! The schedule as a table for spreadsheets: a line for each mark on the haul rope, SI, each column named for its unit.

use rope_mechanics::operation::schedule::{HaulMark, Trend};
use rope_mechanics::operation::study::Study;
use std::fmt::Write as _;

/// By this a table is known as one of this program's.
pub(crate) const FIRST_COLUMNS: &str = "mark,rope_taken_in_m";

type Column = (&'static str, fn(&HaulMark) -> Option<f64>);

/// A cell without value stays empty: the winch can't pull so hard.
const COLUMNS: [Column; 15] = [
    ("rope_taken_in_m", |mark| Some(mark.rope_taken_in.value)),
    ("winch_rope_m", |mark| Some(mark.winch_rope.value)),
    ("x_m", |mark| Some(mark.carriage.x.value)),
    ("z_m", |mark| Some(mark.carriage.z.value)),
    ("slope_distance_m", |mark| Some(mark.slope_distance.value)),
    ("litter_height_m", |mark| Some(mark.litter_height.value)),
    ("reading_low_n", |mark| Some(mark.reading.low.value)),
    ("reading_expected_n", |mark| Some(mark.reading.expected.value)),
    ("reading_high_n", |mark| Some(mark.reading.high.value)),
    ("winch_pull_low_n", |mark| Some(mark.winch_pull.low.value)),
    ("winch_pull_expected_n", |mark| Some(mark.winch_pull.expected.value)),
    ("winch_pull_high_n", |mark| Some(mark.winch_pull.high.value)),
    ("current_low_a", |mark| Some(mark.current?.low.value)),
    ("current_expected_a", |mark| Some(mark.current?.expected.value)),
    ("current_high_a", |mark| Some(mark.current?.high.value)),
];

const fn trend(trend: Trend) -> &'static str {
    match trend {
        Trend::Rises => "rises",
        Trend::Falls => "falls",
        _ => "steady",
    }
}

/// A line for each mark, from the start of the travel on; the names of the columns alone with a no-go, which has none.
pub(crate) fn csv(study: &Study) -> Result<String, csv::Error> {
    let mut table = csv::Writer::from_writer(Vec::new());
    table.write_field("mark")?;
    for (name, _) in COLUMNS {
        table.write_field(name)?;
    }
    table.write_field("reading_goes_on")?;
    table.write_field("current_goes_on")?;
    table.write_record(None::<&[u8]>)?;
    let mut text = String::new();
    for mark in study.schedule.iter().flat_map(|schedule| &schedule.marks) {
        table.write_field(mark.mark.to_string())?;
        for (_, value) in COLUMNS {
            text.clear();
            if let Some(value) = value(mark) {
                // Writing to a text does not fail.
                let _ = write!(text, "{value:.4}");
            }
            table.write_field(&text)?;
        }
        table.write_field(trend(mark.reading_goes_on))?;
        table.write_field(trend(mark.current_goes_on))?;
        table.write_record(None::<&[u8]>)?;
    }
    let bytes = table.into_inner().map_err(|why| csv::Error::from(why.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
