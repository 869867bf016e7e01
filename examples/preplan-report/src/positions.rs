//! The positions as a table for spreadsheets: SI, each column named for its unit.

use rope_mechanics::operation::study::{Position, Study};

/// By this a table is known as one of this program's.
pub(crate) const FIRST_COLUMN: &str = "x_m";

type Column = (&'static str, fn(&Position) -> Option<f64>);

/// A cell without value stays empty: the load doesn't run out by itself there.
const COLUMNS: [Column; 29] = [
    (FIRST_COLUMN, |p| Some(p.carriage.x.value)),
    ("z_m", |p| Some(p.carriage.z.value)),
    ("haul_length_m", |p| Some(p.haul_length.value)),
    ("carriage_height_m", |p| Some(p.carriage_height.value)),
    ("litter_height_m", |p| Some(p.litter_height.value)),
    ("strand_tension_head_n", |p| Some(p.strand_tension_head.value)),
    ("strand_tension_far_n", |p| Some(p.strand_tension_far.value)),
    ("reading_low_n", |p| Some(p.reading.low.value)),
    ("reading_expected_n", |p| Some(p.reading.expected.value)),
    ("reading_high_n", |p| Some(p.reading.high.value)),
    ("greatest_track_tension_n", |p| Some(p.greatest_track_tension.value)),
    ("interior_angle_deg", |p| Some(p.interior_angle.value.to_degrees())),
    ("ground_share_percent", |p| Some(p.ground_share.value * 100.0)),
    ("drag_n", |p| Some(p.drag.value)),
    ("haul_pull_n", |p| Some(p.haul_pull.value)),
    ("winch_pull_n", |p| Some(p.winch_pull.value)),
    ("straight_pull_n", |p| Some(p.straight_pull.value)),
    ("current_a", |p| Some(p.current.value)),
    ("voltage_v", |p| Some(p.voltage.value)),
    ("load_speed_m_per_s", |p| Some(p.load_speed.value)),
    ("power_w", |p| Some(p.power.value)),
    ("battery_charge_percent", |p| Some(p.battery_charge?.value * 100.0)),
    ("head_force_x_n", |p| Some(p.head_force.x.value)),
    ("head_force_y_n", |p| Some(p.head_force.y.value)),
    ("head_force_z_n", |p| Some(p.head_force.z.value)),
    ("track_clearance_m", |p| Some(p.track_clearance.value)),
    ("litter_height_lowering_m", |p| Some(p.lowering?.litter_height.value)),
    ("strand_tension_head_lowering_n", |p| Some(p.lowering?.strand_tension_head.value)),
    ("haul_pull_lowering_n", |p| Some(p.lowering?.haul_pull.value)),
];

/// One line for each position, from the far anchor to the head.
pub(crate) fn csv(study: &Study) -> Result<String, csv::Error> {
    let mut table = csv::Writer::from_writer(Vec::new());
    for (name, _) in COLUMNS {
        table.write_field(name)?;
    }
    for (count, name) in [(study.feet.len(), "leg"), (study.guys.len(), "guy")] {
        for i in 1..=count {
            table.write_field(format!("{name}_{i}_n"))?;
        }
    }
    for component in &study.components {
        table.write_field(format!("{} N", component.name))?;
    }
    table.write_record(None::<&[u8]>)?;
    let mut text = String::new();
    for position in &study.positions {
        let of_frame = study.feet.len() + study.guys.len();
        // Empty cells: the frame falls.
        let frame = match &position.frame {
            Some(frame) => frame.legs.iter().chain(&frame.guys).map(|force| Some(force.value)).collect(),
            None => vec![None; of_frame],
        };
        let parts = position.forces.iter().map(|force| Some(force.value));
        let cells = COLUMNS.iter().map(|(_, value)| value(position)).chain(frame).chain(parts);
        for cell in cells {
            text.clear();
            if let Some(value) = cell {
                use std::fmt::Write as _;
                // Writing to a text does not fail.
                let _ = write!(text, "{value:.4}");
            }
            table.write_field(&text)?;
        }
        table.write_record(None::<&[u8]>)?;
    }
    let bytes = table.into_inner().map_err(|why| csv::Error::from(why.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
